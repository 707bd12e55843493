//! Cases of kinds `joints` and `gearing`.

use std::f64::consts::TAU;

use geometry::Vector3;
use serde_json::{Value, json};
use vehicle::driveline::gearing::RPM;
use vehicle::driveline::{Gears, Goal, JointChain, JointLimits, allowed_second_angle};
use vehicle::driveshaft::axis;

use crate::compare::Report;

type Fallible<T> = Result<T, String>;

fn fault(e: impl std::fmt::Display) -> String {
    e.to_string()
}

fn number(v: &Value, name: &str) -> Fallible<f64> {
    v[name]
        .as_f64()
        .ok_or_else(|| format!("{name} is not a number"))
}

fn numbers(v: &Value) -> Vec<f64> {
    v.as_array()
        .map(|a| a.iter().filter_map(Value::as_f64).collect())
        .unwrap_or_default()
}

fn joints(case: &Value) -> Fallible<Value> {
    let speed = number(case, "rpm")? * RPM;
    let limit = case["limit"]
        .as_f64()
        .unwrap_or(JointLimits::default().torsional);
    let mut layouts = Vec::new();
    for (index, layout) in case["layouts"]
        .as_array()
        .ok_or("no layouts")?
        .iter()
        .enumerate()
    {
        let speed = layout["rpm"].as_f64().map_or(speed, |n| n * RPM);
        let axes: Vec<Vector3<f64>> = if let Some(rows) = layout["axes_down_plan"].as_array() {
            rows.iter()
                .map(|r| match numbers(r)[..] {
                    [down, plan] => Ok(axis(down, plan)),
                    _ => Err("an axis is not a pair".to_owned()),
                })
                .collect::<Fallible<_>>()?
        } else {
            layout["axes"]
                .as_array()
                .ok_or("no axes")?
                .iter()
                .map(|r| match numbers(r)[..] {
                    [x, y, z] => Ok(Vector3::new(x, y, z)),
                    _ => Err("an axis is not a triple".to_owned()),
                })
                .collect::<Fallible<_>>()?
        };
        let chain = JointChain::new(&axes, &numbers(&layout["phases"])).map_err(fault)?;
        let l = chain.layout();
        let range = chain.range();
        let samples: Vec<Value> = case["expected"]["layouts"][index]["samples"]
            .as_array()
            .map(|rows| {
                rows.iter()
                    .filter_map(|r| r["input_angle"].as_f64())
                    .map(|a| {
                        let m = chain.motion(a);
                        json!({
                            "input_angle": a,
                            "ratio": m.ratio,
                            "second_derivative": m.second_derivative,
                        })
                    })
                    .collect()
            })
            .unwrap_or_default();
        layouts.push(json!({
            "name": layout["name"],
            "working_angles": l.working_angles,
            "plane_angles": l.plane_angles,
            "equivalent_squared": l.equivalent_squared,
            "equivalent_angle": l.equivalent_angle(),
            "ratio_max": range.greatest,
            "ratio_min": range.least,
            "accel_factor": range.acceleration,
            "torsional_acceleration": l.torsional_acceleration(speed),
            "inertia_acceleration": l.inertia_acceleration(speed),
            "exact_acceleration": range.acceleration * speed * speed,
            "axes": chain.axes().iter().map(|a| [a.x, a.y, a.z]).collect::<Vec<_>>(),
            "samples": samples,
        }));
    }
    let mut allowed = Vec::new();
    for row in case["allowed"].as_array().into_iter().flatten() {
        let [rpm, first] = numbers(row)[..] else {
            return Err("an allowed pair is none".into());
        };
        allowed.push(json!({
            "rpm": rpm,
            "first": first,
            "second": allowed_second_angle(first, rpm * RPM, limit).map_err(fault)?,
        }));
    }
    Ok(json!({"layouts": layouts, "allowed_second_angle": allowed}))
}

fn gearing(case: &Value) -> Fallible<Value> {
    let d = &case["drive"];
    let ratios = numbers(&d["gears"]);
    let mut slip = numbers(&d["converter_slip"]);
    slip.resize(ratios.len(), 0.0);
    let gears = Gears {
        slip,
        ratios,
        final_drive: number(d, "final_drive")?,
        rolling_radius: number(d, "rolling_radius")?,
        redline: number(d, "redline_rpm")? * RPM,
        efficiency: number(d, "efficiency")?,
    };
    let goal = Goal {
        trap_speed: number(d, "trap_speed")?,
        trap_gear: d["trap_gear"]
            .as_u64()
            .and_then(|n| usize::try_from(n).ok())
            .and_then(|n| n.checked_sub(1))
            .ok_or("no trap_gear")?,
        trap_engine_speed: number(d, "trap_rpm_target")? * RPM,
    };
    let chart = gears.chart(&goal).map_err(fault)?;
    let torque = number(d, "engine_torque")?;
    let mut rows = Vec::new();
    for (i, g) in chart.gears.iter().enumerate() {
        let [shaft, axle, thrust] = gears.torques(i, torque).map_err(fault)?;
        rows.push(json!({
            "ratio": g.ratio,
            "overall": g.overall,
            "speed_at_redline": g.speed_at_redline,
            "speed_per_1000_rpm": gears.speed(i, 1000.0 * RPM).map_err(fault)?,
            "rpm_at_60mph": g.at_sixty / RPM,
            "rpm_at_trap": g.at_trap / RPM,
            "axle_torque": axle,
            "shaft_torque": shaft,
            "thrust": thrust,
            "rpm_after_shift": g.after_shift.map(|w| w / RPM),
        }));
    }
    let choice: Vec<Value> = gears
        .choose(&goal, &numbers(&d["final_drives"]))
        .map_err(fault)?
        .iter()
        .map(|c| {
            json!({
                "final_drive": c.final_drive,
                "rpm_at_trap": c.at_trap / RPM,
                "speed_1st_at_redline": c.first_at_redline,
                "miss": c.miss,
                "over_redline": c.over_redline,
            })
        })
        .collect();
    Ok(json!({
        "gears": rows,
        "shifts_before_60mph": chart.shifts_before_sixty,
        "gear_at_60mph": chart.shifts_before_sixty.map(|n| n + 1),
        "gear_at_trap": chart.gear_at_trap.map(|n| n + 1),
        "final_drive_for_trap": chart.final_drive_for_goal,
        "choice": choice,
    }))
}

pub fn compare(case: &Value, report: &mut Report) {
    let ours = match case["kind"].as_str() {
        Some("joints") => joints(case),
        _ => gearing(case),
    };
    let mut ours = match ours {
        Ok(ours) => super::brakes::whole(&ours),
        Err(fault) => return report.check("case", false, || fault),
    };
    let expected = super::brakes::whole(&case["expected"]);
    // Plane angles are compared modulo a turn.
    if let (Some(mine), Some(theirs)) = (
        ours["layouts"].as_array_mut(),
        expected["layouts"].as_array(),
    ) {
        for (mine, theirs) in mine.iter_mut().zip(theirs) {
            let (angles, wanted) = (
                numbers(&mine["plane_angles"]),
                numbers(&theirs["plane_angles"]),
            );
            mine["plane_angles"] = angles
                .iter()
                .zip(&wanted)
                .map(|(a, w)| a + TAU * ((w - a) / TAU).round())
                .chain(angles.iter().skip(wanted.len()).copied())
                .collect();
        }
    }
    let t = &case["tolerance"];
    let relative = t["relative"].as_f64().unwrap_or(1e-8);
    let floor = t["absolute_floor"].as_f64().unwrap_or(0.0);
    let squared = t["equivalent_squared"].as_f64().unwrap_or(floor);
    let acceleration = t["acceleration"].as_f64().unwrap_or(relative);
    let ratio = t["ratio"].as_f64().unwrap_or(relative);
    let peak = (case["rpm"].as_f64().unwrap_or(0.0) * RPM).powi(2);
    report.tree("", "", Some(&ours), &expected, &|path, want| {
        let plain = (relative * want.abs()).max(floor);
        let leaf = path.rsplit('.').find(|p| p.parse::<usize>().is_err());
        Some(match leaf.unwrap_or(path) {
            "equivalent_squared" => (relative * want.abs()).max(squared),
            "equivalent_angle" => plain.max(1e-6 * f64::from(want.abs() < 1e-6)),
            // What θ_eq² may be off, at this speed.
            "torsional_acceleration" => plain.max(squared * peak),
            "exact_acceleration" => (acceleration * want.abs()).max(squared * peak),
            "accel_factor" => (acceleration * want.abs()).max(squared),
            "ratio_max" | "ratio_min" | "ratio" if path.contains("layouts") => ratio,
            _ => plain,
        })
    });
}
