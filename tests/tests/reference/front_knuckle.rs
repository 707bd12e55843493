//! Cases of kind `front_knuckle`, and what every front-end case has in common.

use geometry::front::{
    Corner, CornerState, DrawnCorner, FrontError, FrontMoving, FrontRod, FrontViewCentre, Side,
    TieRod, Wishbone, anti_dive,
};
use geometry::{InstantCentre, Twist};
use nalgebra::Point3;
use serde_json::{Map, Value, json};

use crate::compare::{Report, numbers_in};
use crate::rear_axle::{number, point_of};

/// Fields of a case this reader knows.
const INPUTS: [&str; 12] = [
    "id",
    "title",
    "kind",
    "open",
    "frame",
    "rotation_order",
    "knuckle",
    "rods",
    "note",
    "sweep",
    "tolerance",
    "car",
];

pub const ROD_NAMES: [&str; 5] = [
    "lower_front",
    "lower_rear",
    "upper_front",
    "upper_rear",
    "tie_rod",
];

pub fn rod_named(name: &str) -> Option<FrontRod> {
    let index = ROD_NAMES.iter().position(|n| *n == name)?;
    Some(FrontRod::ALL[index])
}

/// The corner of a case as drawn.
pub fn read(case: &Value) -> Result<DrawnCorner, String> {
    if let Some(order) = case["rotation_order"].as_str()
        && order != "zxy"
    {
        return Err(format!("rotation order {order} is not zxy"));
    }
    let k = &case["knuckle"];
    let side = match &k["side"] {
        Value::String(word) if word == "left" => Side::Left,
        Value::String(word) if word == "right" => Side::Right,
        Value::Number(n) if n.as_f64() == Some(1.0) => Side::Left,
        Value::Number(n) if n.as_f64() == Some(-1.0) => Side::Right,
        other => return Err(format!("side {other} is neither left nor right")),
    };
    let rods = case["rods"].as_array().ok_or("rods is not a list")?;
    if rods.len() != ROD_NAMES.len() {
        return Err(format!(
            "{} rods, a double wishbone with tie rod has 5",
            rods.len()
        ));
    }
    let rod = |index: usize| {
        let name = ROD_NAMES[index];
        let rod = rods
            .iter()
            .find(|r| r["name"] == name)
            .ok_or_else(|| format!("no rod {name}"))?;
        Ok::<_, String>((
            point_of(&rod["a"])?,
            point_of(&rod["b"])?,
            rod["length"].as_f64(),
        ))
    };
    let arm = |front: usize| {
        let (f, r) = (rod(front)?, rod(front + 1)?);
        if f.1 != r.1 {
            return Err(format!("{} has two ball joints", ROD_NAMES[front]));
        }
        Ok::<_, String>(Wishbone {
            front: f.0,
            rear: r.0,
            ball: f.1,
            front_length: f.2,
            rear_length: r.2,
        })
    };
    let tie = rod(4)?;
    Ok(DrawnCorner {
        side,
        wheel_centre: point_of(&k["wheel_centre"])?,
        loaded_radius: number(k, "loaded_radius")?,
        camber: number(k, "static_camber")?,
        toe_in: number(k, "static_toe_in")?,
        lower: arm(0)?,
        upper: arm(2)?,
        tie_rod: TieRod {
            inner: tie.0,
            outer: tie.1,
            length: tie.2,
        },
    })
}

/// A stated tolerance: a number, or the first number of a sentence.
pub fn stated(case: &Value, name: &str) -> Option<f64> {
    match &case["tolerance"][name] {
        Value::Number(n) => n.as_f64(),
        Value::String(text) => numbers_in(text).first().copied(),
        _ => None,
    }
}

pub fn list(p: &Point3<f64>) -> Value {
    json!([p.x, p.y, p.z])
}

fn twist(t: &Twist) -> Value {
    json!({"v": t.v.as_slice(), "w": t.w.as_slice()})
}

/// Our figures under the names the cases use.
pub fn state_values(state: &CornerState, want: &Value, car: &Value) -> Map<String, Value> {
    let r = state.pose.rotation();
    let rows: Vec<Vec<f64>> = (0..3)
        .map(|i| (0..3).map(|j| r[(i, j)]).collect())
        .collect();
    let p = &state.pose.position;
    // An axis is a line: compared in the sense in which the case draws it.
    let sense = match want["spin_axis"][1].as_f64() {
        Some(y) if y < 0.0 => -1.0,
        _ => 1.0,
    };
    let front_ic = match state.front_view_centre {
        FrontViewCentre::At { y, z } => {
            json!({"at_infinity": false, "normal_slope": state.normal_slope, "y": y, "z": z})
        }
        FrontViewCentre::Infinity => {
            json!({"at_infinity": true, "normal_slope": state.normal_slope, "y": null, "z": null})
        }
    };
    let side_ic = match state.side_view_centre {
        InstantCentre::At { x, z } => json!({"at_infinity": false, "x": x, "z": z}),
        InstantCentre::Infinity { slope } => {
            json!({"at_infinity": true, "normal_slope": slope, "x": null, "z": null})
        }
    };
    let mut got = json!({
        "travel": state.travel,
        "rack": state.rack,
        "pose": {"x": p.x, "y": p.y, "z": p.z, "phi": state.pose.phi, "theta": state.pose.theta,
            "psi": state.pose.psi, "R": rows},
        "stretch_max": state.stretch_max,
        "steer": state.steer,
        "toe_in": state.toe_in,
        "toe": state.toe_in,
        "camber": state.camber,
        "caster": state.caster,
        "kingpin_inclination": state.kingpin_inclination,
        "mechanical_trail": state.mechanical_trail,
        "scrub_radius": state.scrub_radius,
        "contact": list(&state.contact),
        "spin_axis": (state.spin_axis * sense).as_slice(),
        "steering_axis": state.steering_axis.as_slice(),
        "front_view_ic": front_ic,
        "side_view_ic": side_ic,
        "roll_centre_above_ground": state.roll_centre_above_ground,
        "heave_twist": twist(&state.heave_twist),
        "rack_twist": twist(&state.rack_twist),
        "toe_per_travel": state.toe_per_travel,
        "camber_per_travel": state.camber_per_travel,
        "caster_per_travel": state.caster_per_travel,
        "steer_per_rack": state.steer_per_rack,
        "tan_phi": state.dive_tangent_contact,
        "tan_phi_contact": state.dive_tangent_contact,
        "tan_phi_wheel_centre": state.dive_tangent_centre,
    })
    .as_object()
    .cloned()
    .unwrap_or_default();
    let share = ["front_brake_share", "p_f", "brake_share_front"]
        .iter()
        .find_map(|n| car[*n].as_f64());
    if let (Some(share), Some(h), Some(l)) =
        (share, car["cg_height"].as_f64(), car["wheelbase"].as_f64())
    {
        let pct = |t: f64| {
            anti_dive(t, share, h, l)
                .map(|a| 100.0 * a)
                .unwrap_or(f64::NAN)
        };
        let outboard = pct(state.dive_tangent_contact);
        let inboard = pct(state.dive_tangent_centre);
        for name in ["anti_dive_pct", "anti_dive_outboard_pct"] {
            got.insert(name.into(), json!(outboard));
        }
        got.insert("anti_dive_inboard_pct".into(), json!(inboard));
    }
    got
}

/// Tolerance of a leaf of a state, from the case's own rules.
fn leaf(case: &Value, path: &str, want: f64, row: &Value) -> Option<f64> {
    let named = |name: &str| stated(case, name);
    let general = || {
        let relative = named("relative").unwrap_or(1e-7);
        Some(relative * want.abs() + named("absolute_floor").unwrap_or(1e-9))
    };
    let (first, rest) = path.split_once('.').unwrap_or((path, ""));
    match first {
        "pose" if matches!(rest, "x" | "y" | "z") => named("pose_length"),
        "pose" => named("pose_angle"),
        "travel" | "rack" | "stretch_max" => named("pose_length"),
        "steer"
        | "toe_in"
        | "camber"
        | "caster"
        | "kingpin_inclination"
        | "spin_axis"
        | "steering_axis"
        | "toe" => named("angle"),
        "mechanical_trail" | "scrub_radius" | "contact" => named("length"),
        "heave_twist" | "rack_twist" => named("twist"),
        "front_view_ic" if rest == "normal_slope" => named("twist"),
        "front_view_ic" => {
            let swing = row["front_view_ic"]["y"].as_f64()? - row["pose"]["y"].as_f64()?;
            // The rule compares the twist and scales with the swing arm.
            Some(1e-8 * (1.0 + swing * swing))
        }
        "roll_centre_above_ground" => named("roll_centre"),
        _ => general(),
    }
    .or_else(general)
}

/// Compares one case.
pub fn compare(case: &Value, report: &mut Report) {
    if let Err(fault) = compare_case(case, report) {
        report.check("case", false, || fault);
    }
}

fn compare_case(case: &Value, report: &mut Report) -> Result<(), String> {
    for key in case.as_object().ok_or("not an object")?.keys() {
        if key != "expected" && !INPUTS.contains(&key.as_str()) {
            report.skip(&format!("input {key}"));
        }
    }
    let expected = case["expected"].as_object().ok_or("no expected")?;
    let drawn = read(case)?;
    let cannot = expected.get("cannot_assemble").and_then(Value::as_bool) == Some(true);
    let corner = match (drawn.assemble(), cannot) {
        (Ok(_), true) => return Err("was assembled, expected that it cannot be".into()),
        (Ok(corner), false) => corner,
        (Err(FrontError::CannotAssemble { share, reason }), true) => {
            report.check("cannot_assemble", !reason.is_input_fault(), || {
                reason.to_string()
            });
            report.note(format!(
                "cannot assemble at {:.2} %: {reason}",
                share * 100.0
            ));
            return Ok(());
        }
        (Err(error), _) => return Err(error.to_string()),
    };
    for (key, want) in expected {
        match key.as_str() {
            "rows" => rows(&corner, case, want, report)?,
            "reason" | "cannot_assemble" => {}
            "rod_lengths" => {
                let got = json!(corner.rods.map(|r| r.length));
                let at = stated(case, "pose_length");
                report.tree("case", key, Some(&got), want, &|_, _| at);
            }
            key if key.starts_with("unreachable") => unreachable(&corner, case, key, want, report),
            _ => report.skip(key),
        }
    }
    Ok(())
}

fn rows(corner: &Corner, case: &Value, want: &Value, report: &mut Report) -> Result<(), String> {
    for (index, row) in want
        .as_array()
        .ok_or("rows is not a list")?
        .iter()
        .enumerate()
    {
        let place = |name: &str, i: usize| {
            row[name]
                .as_f64()
                .or_else(|| case["sweep"][index][i].as_f64())
                .ok_or_else(|| format!("row {index} has no {name}"))
        };
        let (travel, rack) = (place("travel", 0)?, place("rack", 1)?);
        let at = format!("row {index} (travel {travel}, rack {rack})");
        let out = row.is_null()
            || row.get("pose").is_some_and(Value::is_null)
            || row["reachable"] == false
            || row
                .get("unreachable")
                .is_some_and(|v| !v.is_null() && *v != false);
        match (corner.state(travel, rack), out) {
            (Ok(state), false) => {
                let mut got = state_values(&state, row, &case["car"]);
                if let Some(flag) = row.get("unreachable").or_else(|| row.get("reachable")) {
                    let name = if row.get("unreachable").is_some() {
                        "unreachable"
                    } else {
                        "reachable"
                    };
                    got.insert(name.into(), flag.clone());
                }
                let got = Value::Object(got);
                report.tree(&at, "", Some(&got), row, &|path, want| {
                    leaf(case, path, want, row)
                });
            }
            (Ok(_), true) => report.check(&at, false, || "reached, expected out of reach".into()),
            (Err(error), false) => report.check(&at, false, || error.to_string()),
            (Err(error), true) => {
                report.check(&at, matches!(error, FrontError::OutOfReach { .. }), || {
                    error.to_string()
                });
                for (key, value) in row.as_object().into_iter().flatten() {
                    if key.starts_with("unreachable_") {
                        unreachable(corner, case, key, value, report);
                    }
                }
            }
        }
    }
    Ok(())
}

/// Where reach ends: a bare number is the travel or rack (by its sign the way to look); an
/// object or a list of objects says at which rack or travel.
fn unreachable(corner: &Corner, case: &Value, key: &str, want: &Value, report: &mut Report) {
    const FAR: f64 = 0.9;
    match want {
        Value::Null => {}
        Value::Array(items) => {
            for item in items {
                unreachable(corner, case, key, item, report);
            }
        }
        Value::Object(fields) => {
            let get = |name: &str| fields.get(name).and_then(Value::as_f64);
            let begins = ["begins_at", "limit", "at"].iter().find_map(|n| get(n));
            let rack_moves = key.contains("rack") || fields.get("moving") == Some(&json!("rack"));
            let (travel, rack) = (get("travel"), get("rack"));
            match (begins, travel, rack) {
                (Some(at), travel, rack) => {
                    let held = if rack_moves { travel } else { rack }.unwrap_or(0.0);
                    one_limit(corner, case, key, rack_moves, held, at, FAR, report);
                }
                (None, Some(travel), rack) => {
                    let found = corner.state(travel, rack.unwrap_or(0.0));
                    report.check(
                        key,
                        matches!(found, Err(FrontError::OutOfReach { .. })),
                        || format!("{want} was not found out of reach"),
                    );
                }
                _ => {
                    for (name, value) in fields {
                        if let Some(at) = value.as_f64() {
                            one_limit(corner, case, key, rack_moves, 0.0, at, FAR, report);
                        } else {
                            report.skip(&format!("{key}.{name}"));
                        }
                    }
                }
            }
        }
        Value::Number(n) => {
            let at = n.as_f64().unwrap_or(f64::NAN);
            one_limit(
                corner,
                case,
                key,
                key.contains("rack"),
                0.0,
                at,
                FAR,
                report,
            );
        }
        _ => report.skip(key),
    }
}

#[allow(
    clippy::too_many_arguments,
    reason = "one comparison with all it depends on"
)]
fn one_limit(
    corner: &Corner,
    case: &Value,
    key: &str,
    rack_moves: bool,
    held: f64,
    want: f64,
    far: f64,
    report: &mut Report,
) {
    let to = far.copysign(want);
    let (found, moving) = if rack_moves {
        (corner.rack_limit(held, to), FrontMoving::Rack)
    } else {
        (corner.travel_limit(held, to), FrontMoving::Travel)
    };
    let tolerance = stated(case, "unreachable_travel")
        .or_else(|| stated(case, key))
        .unwrap_or(1e-6);
    match found {
        Ok(Some(FrontError::OutOfReach {
            begins_at,
            moving: m,
            ..
        })) if m == moving => {
            report.number(key, begins_at, want, tolerance);
        }
        other => report.check(key, false, || format!("ours: {other:?}, expected {want}")),
    }
}
