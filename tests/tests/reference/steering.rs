//! Cases of the front end beyond one knuckle: steering, bump steer, springs, adjusters, loads.

use geometry::front::{
    Adjuster, AdjusterChange, Alignment, Bar, Carried, Carrier, CoilOver, Corner, Front, FrontRod,
    Joint, RodSide, SteeringCar, SteeringRow, TieRodMove, Wanted, rod_bars, segment_distance,
    turns_for,
};
use nalgebra::Vector3;
use serde_json::{Map, Value, json};
use vehicle::front::{CoilSpring, LongitudinalAt, TyreLoad, handwheel_load, steering_moment};

use crate::compare::{Report, numbers_in};
use crate::front_knuckle::{read, rod_named, state_values, stated};
use crate::rear_axle::{number, point_of};

/// Fields of a case this reader knows.
const INPUTS: [&str; 22] = [
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
    "steering",
    "racks",
    "coilover",
    "loads",
    "pairs",
    "radii",
    "joints",
    "travels",
    "adjusters",
    "conventions",
];

/// Compares one case.
pub fn compare(case: &Value, report: &mut Report) {
    if let Err(fault) = compare_case(case, report) {
        report.check("case", false, || fault);
    }
}

fn leaf(case: &Value, path: &str, want: f64) -> Option<f64> {
    let relative = if path.contains("curvature") || path.contains("d2") || path.contains("dmr") {
        stated(case, "second_derivatives_relative")
    } else {
        None
    };
    let relative = relative
        .or_else(|| stated(case, "relative"))
        .unwrap_or(1e-7);
    Some(relative * want.abs() + stated(case, "absolute_floor").unwrap_or(1e-9))
}

fn compare_case(case: &Value, report: &mut Report) -> Result<(), String> {
    for key in case.as_object().ok_or("not an object")?.keys() {
        if key != "expected" && !INPUTS.contains(&key.as_str()) {
            report.skip(&format!("input {key}"));
        }
    }
    let drawn = read(case)?;
    let front = Front::symmetric(&drawn).map_err(|e| e.to_string())?;
    let corner = drawn.assemble().map_err(|e| e.to_string())?;
    let expected = case["expected"].as_object().ok_or("no expected")?;
    for (key, want) in expected {
        match key.as_str() {
            "axis_track" => {
                let got = front.axis_track().map_err(|e| e.to_string())?;
                let want = want.as_f64().ok_or("axis_track is not a number")?;
                report.number(key, got, want, leaf(case, key, want).unwrap_or(1e-9));
            }
            "rows" if case["racks"].is_array() => steering_rows(&front, case, want, report)?,
            "rows" => pose_rows(&corner, case, want, report)?,
            "moments" => moments(&corner, case, want, report)?,
            "adjusters" | "table" | "inverse" if case["adjusters"].is_array() => {
                adjusters(&corner, case, key, want, report)?;
            }
            _ => bump(&corner, case, key, key, want, report),
        }
    }
    Ok(())
}

fn car_of(case: &Value) -> Result<SteeringCar, String> {
    let s = &case["steering"];
    Ok(SteeringCar {
        wheelbase: number(s, "wheelbase")?,
        rack_per_turn: number(s, "rack_per_turn")?,
        tyre_width: number(s, "tyre_width")?,
    })
}

fn steering_values(row: &SteeringRow) -> Value {
    let mut got = json!({
        "rack": row.rack,
        "steer_left": row.steer_left,
        "steer_right": row.steer_right,
        "mean": row.mean,
        "mean_per_rack": row.mean_per_rack,
        "steering_ratio": row.steering_ratio,
    });
    for name in [
        "inner",
        "outer",
        "outer_ideal",
        "ackermann_pct",
        "track_circle",
        "kerb_circle",
        "rear_axle_radius",
    ] {
        let value = row.turn.as_ref().map(|t| match name {
            "inner" => t.inner,
            "outer" => t.outer,
            "outer_ideal" => t.outer_ideal,
            "ackermann_pct" => 100.0 * t.ackermann,
            "track_circle" => t.track_circle,
            "kerb_circle" => t.kerb_circle,
            _ => t.rear_axle_radius,
        });
        got[name] = json!(value);
    }
    got
}

fn steering_rows(
    front: &Front,
    case: &Value,
    want: &Value,
    report: &mut Report,
) -> Result<(), String> {
    let rows = want.as_array().ok_or("rows is not a list")?;
    let racks: Vec<f64> = rows
        .iter()
        .enumerate()
        .map(|(i, row)| row["rack"].as_f64().or_else(|| case["racks"][i].as_f64()))
        .collect::<Option<_>>()
        .ok_or("a row has no rack")?;
    let ours = front
        .steering(&car_of(case)?, &racks)
        .map_err(|e| e.to_string())?;
    for (row, our) in rows.iter().zip(&ours) {
        let at = format!("rack {}", our.rack);
        let has_turn = row.get("inner").is_some_and(|v| !v.is_null());
        report.check(&at, has_turn == our.turn.is_some(), || {
            "a turn on one side only".into()
        });
        report.tree(&at, "", Some(&steering_values(our)), row, &|p, w| {
            leaf(case, p, w)
        });
    }
    Ok(())
}

fn coil_over(case: &Value) -> Result<Option<CoilOver>, String> {
    let c = &case["coilover"];
    if c.is_null() {
        return Ok(None);
    }
    let carrier = carrier(c["arm"].as_str().unwrap_or("lower"))?;
    Ok(Some(CoilOver {
        on_frame: point_of(&c["on_frame"])?,
        on_arm: Carried {
            carrier,
            point: point_of(&c["on_arm"])?,
        },
    }))
}

fn carrier(word: &str) -> Result<Carrier, String> {
    match word {
        "lower" => Ok(Carrier::LowerArm),
        "upper" => Ok(Carrier::UpperArm),
        "knuckle" => Ok(Carrier::Knuckle),
        other => Err(format!("{other} is no part that carries a point")),
    }
}

fn vector(value: &Value) -> Result<Vector3<f64>, String> {
    Ok(point_of(value)?.coords)
}

fn joint(value: &Value) -> Result<Joint, String> {
    match value["kind"].as_str() {
        Some("ball_joint") => Ok(Joint::Ball {
            arm: carrier(value["arm"].as_str().unwrap_or(""))?,
            stud: vector(&value["stud"])?,
            housing: vector(&value["housing"])?,
        }),
        Some("rod_end") => Ok(Joint::RodEnd {
            rod: rod_named(value["rod"].as_str().unwrap_or("")).ok_or("no such rod")?,
            end: if value["end"] == "a" {
                RodSide::Inner
            } else {
                RodSide::Outer
            },
            bolt: vector(&value["bolt"])?,
        }),
        other => Err(format!("joint kind {other:?} is not known")),
    }
}

/// The bar called `name` in a case.
fn bar(corner: &Corner, case: &Value, name: &str) -> Result<Bar, String> {
    let radius = number(&case["radii"], name)?;
    if let Some(rod) = rod_named(name) {
        return Ok(Bar {
            radius,
            ..rod_bars(corner, [0.0; 5])[rod.index()]
        });
    }
    let coil = coil_over(case)?.filter(|_| name == "coilover");
    let coil = coil.ok_or_else(|| format!("no bar {name}"))?;
    Ok(Bar {
        from: Carried {
            carrier: Carrier::Frame,
            point: coil.on_frame,
        },
        to: coil.on_arm,
        radius,
    })
}

fn pose_rows(
    corner: &Corner,
    case: &Value,
    want: &Value,
    report: &mut Report,
) -> Result<(), String> {
    let coil = coil_over(case)?;
    for (index, row) in want
        .as_array()
        .ok_or("rows is not a list")?
        .iter()
        .enumerate()
    {
        let given = &case["sweep"][index];
        let place = |name: &str, i: usize| {
            row[name]
                .as_f64()
                .or_else(|| given[i].as_f64())
                .or_else(|| given.as_f64().filter(|_| i == 0))
                .or_else(|| case["travels"][index].as_f64().filter(|_| i == 0))
        };
        let travel = place("travel", 0).unwrap_or(0.0);
        let rack = place("rack", 1).unwrap_or(0.0);
        let at = format!("row {index} (travel {travel}, rack {rack})");
        let state = corner.state(travel, rack).map_err(|e| e.to_string())?;
        let centred = corner.position(travel, 0.0).map_err(|e| e.to_string())?;
        let mut got = state_values(&state, row, &case["car"]);
        if let Some(coil) = &coil {
            let c = coil
                .state(corner, &state.pose, rack)
                .map_err(|e| e.to_string())?;
            let mut ours = Map::new();
            for name in ["length", "coilover_length"] {
                ours.insert(name.into(), json!(c.length));
            }
            for name in ["motion_ratio", "mr"] {
                ours.insert(name.into(), json!(c.motion_ratio));
            }
            for name in ["dmr_dz", "motion_ratio_slope", "dMR_dz", "motion_ratio_d2"] {
                ours.insert(name.into(), json!(c.motion_ratio_slope));
            }
            let spring = CoilSpring {
                rate: case["coilover"]["rate"].as_f64().unwrap_or(f64::NAN),
                free_length: case["coilover"]["free_length"].as_f64().unwrap_or(f64::NAN),
            };
            if let Ok(w) = spring.wheel_rate(&c) {
                for name in ["spring_force", "force", "F"] {
                    ours.insert(name.into(), json!(w.spring_force));
                }
                ours.insert("wheel_force".into(), json!(w.wheel_force));
                ours.insert("wheel_rate".into(), json!(w.wheel_rate));
                ours.insert("k_mr2".into(), json!(w.from_rate));
                ours.insert("f_dmr".into(), json!(w.from_geometry));
            }
            got.insert("coilover".into(), Value::Object(ours.clone()));
            for (name, value) in ours {
                got.entry(name).or_insert(value);
            }
        }
        let mut gaps = Map::new();
        for pair in case["pairs"].as_array().into_iter().flatten() {
            let (a, b) = (
                pair[0].as_str().unwrap_or(""),
                pair[1].as_str().unwrap_or(""),
            );
            let (first, second) = (bar(corner, case, a)?, bar(corner, case, b)?);
            // The cases draw the coil-over where its arm stands with the rack centred.
            let axis = |bar: &Bar, name: &str| {
                let (pose, rack) = if name == "coilover" {
                    (&centred.pose, 0.0)
                } else {
                    (&state.pose, rack)
                };
                corner.bar_axis(bar, pose, rack).map_err(|e| e.to_string())
            };
            let (distance, _, _) = segment_distance(axis(&first, a)?, axis(&second, b)?);
            let gap = distance - first.radius - second.radius;
            if rack == 0.0 {
                let ours = corner
                    .gap(&first, &second, &state.pose, rack)
                    .map_err(|e| e.to_string())?;
                report.number(&format!("{at} {a}-{b}"), ours.gap, gap, 1e-12);
            }
            gaps.insert(format!("{a}-{b}"), json!(gap));
        }
        got.insert("gaps".into(), Value::Object(gaps));
        let mut angles = Map::new();
        for j in case["joints"].as_array().into_iter().flatten() {
            let angle = joint(j)?
                .misalignment(corner, &state.pose, rack)
                .map_err(|e| e.to_string())?;
            angles.insert(j["name"].as_str().unwrap_or("").into(), json!(angle));
        }
        got.insert("misalignment".into(), Value::Object(angles));
        report.tree(&at, "", Some(&Value::Object(got)), row, &|p, w| {
            leaf(case, p, w)
        });
    }
    Ok(())
}

fn moments(corner: &Corner, case: &Value, want: &Value, report: &mut Report) -> Result<(), String> {
    let want = want.as_array().ok_or("moments is not a list")?;
    let loads = case["loads"].as_array().ok_or("loads is not a list")?;
    report.check("moments", want.len() == loads.len(), || {
        "loads and moments differ".into()
    });
    for (index, (load, want)) in loads.iter().zip(want).enumerate() {
        let (travel, rack) = (number(load, "travel")?, number(load, "rack")?);
        let state = corner.state(travel, rack).map_err(|e| e.to_string())?;
        let at = match load["longitudinal_at"].as_str() {
            Some("wheel_centre") => LongitudinalAt::WheelCentre,
            Some("contact") => LongitudinalAt::Contact,
            other => return Err(format!("longitudinal_at {other:?} is not known")),
        };
        let tyre = TyreLoad {
            longitudinal: number(load, "Fx")?,
            lateral: number(load, "Fy")?,
            vertical: number(load, "Fz")?,
            aligning: number(load, "Mz")?,
            longitudinal_at: at,
        };
        let m = steering_moment(corner, &state, &tyre).map_err(|e| e.to_string())?;
        let per_turn = number(load, "rack_per_turn")?;
        let hand = handwheel_load(&[m], per_turn).map_err(|e| e.to_string())?;
        let got = json!({
            "parts": {"longitudinal": m.parts.longitudinal, "lateral": m.parts.lateral,
                "vertical": m.parts.vertical, "aligning": m.parts.aligning},
            "moment": m.moment,
            "lever": m.lever,
            "tie_rod_force": m.tie_rod_force,
            "rack_force": hand.rack_force,
            "handwheel_torque": hand.torque,
            "scrub_radius": state.scrub_radius,
            "mechanical_trail": state.mechanical_trail,
        });
        let at = format!("moment {index}");
        report.tree(&at, "", Some(&got), want, &|p, w| leaf(case, p, w));
    }
    Ok(())
}

/// Bump steer and what straightens it, found by the words of the path.
fn bump(corner: &Corner, case: &Value, key: &str, path: &str, want: &Value, report: &mut Report) {
    match want {
        Value::Object(fields) => {
            for (name, value) in fields {
                bump(corner, case, name, &format!("{path}.{name}"), value, report);
            }
        }
        Value::Array(items) if key.contains("toe") => {
            let travels: Vec<f64> = case["travels"]
                .as_array()
                .or_else(|| case["sweep"].as_array())
                .into_iter()
                .flatten()
                .filter_map(|v| v.as_f64().or_else(|| v[0].as_f64()))
                .collect();
            let Some(moved) = moved(corner, path) else {
                return report.skip(path);
            };
            match moved.toe_change(&travels) {
                Ok(toes) if toes.len() == items.len() => {
                    let at = straight_tolerance(case, 1).unwrap_or(1e-8);
                    for (toe, item) in toes.iter().zip(items) {
                        report.number(path, *toe, item.as_f64().unwrap_or(f64::NAN), at);
                    }
                }
                _ => report.skip(path),
            }
        }
        Value::Number(n) => {
            let want = n.as_f64().unwrap_or(f64::NAN);
            match bump_figure(corner, path, key) {
                Some((got, true)) => {
                    let at = straight_tolerance(case, 0).unwrap_or(1e-7);
                    report.number(path, got, want, at);
                }
                Some((got, false)) => {
                    report.number(path, got, want, leaf(case, path, want).unwrap_or(1e-9));
                }
                None => report.skip(path),
            }
        }
        _ => report.skip(path),
    }
}

fn straight_tolerance(case: &Value, n: usize) -> Option<f64> {
    let text = case["tolerance"]["straight"].as_str()?;
    numbers_in(text).get(n).copied()
}

/// Whether the path speaks of slope and curvature at once, and not of height alone.
fn both(path: &str) -> bool {
    !path.contains("height")
        && ["yz", "both", "straight.", "curvature"]
            .iter()
            .any(|w| path.contains(w))
}

/// The corner a block of toe changes is about.
fn moved(corner: &Corner, path: &str) -> Option<Corner> {
    if !path.contains("straight") && !path.contains("height") {
        return Some(*corner);
    }
    let shift = if both(path) {
        let s = corner.straighten().ok()?;
        Vector3::new(0.0, s.shift_y, s.shift_z)
    } else {
        Vector3::new(0.0, 0.0, corner.rack_height(TieRodMove::Inner).ok()?.shift)
    };
    corner.with_tie_rod_moved(TieRodMove::Inner, &shift).ok()
}

/// A figure of bump steer by its name, and whether it is a shift.
fn bump_figure(corner: &Corner, path: &str, key: &str) -> Option<(f64, bool)> {
    let b = corner.bump_steer().ok()?;
    let h = corner.rack_height(TieRodMove::Inner).ok()?;
    let s = corner.straighten().ok();
    let has = |word: &str| key.contains(word);
    let along = |axis: &str| {
        key == axis
            || key == format!("d{axis}")
            || has("shift") && key.ends_with(&format!("_{axis}"))
    };
    if along("y") {
        Some((s?.shift_y, true))
    } else if along("z") && both(path) {
        Some((s?.shift_z, true))
    } else if has("shift") || along("z") {
        Some((h.shift, true))
    } else if has("length") {
        let length = if both(path) {
            s?.tie_rod_length
        } else {
            h.tie_rod_length
        };
        Some((length, true))
    } else if has("slope") && (has("per") || has("height")) {
        Some((h.slope_per_height, false))
    } else if has("curvature") || has("d2toe") {
        Some((b.curvature, false))
    } else if has("slope") || has("dtoe_dz") || has("toe_per_travel") {
        Some((b.slope, false))
    } else {
        None
    }
}

fn adjuster(value: &Value) -> Option<Adjuster> {
    let names: Vec<&str> = match (&value["rods"], &value["rod"]) {
        (Value::Array(list), _) => list.iter().filter_map(Value::as_str).collect(),
        (_, Value::String(name)) => vec![name],
        _ => return None,
    };
    let per_turn = ["length_per_turn", "per_turn", "metres_per_turn"]
        .iter()
        .find_map(|n| value[*n].as_f64());
    let shift = ["shift", "shift_per_turn", "shift_per_shim", "per_shim"]
        .iter()
        .find_map(|n| vector(&value[*n]).ok());
    let changes = names
        .iter()
        .map(|name| {
            let rod: FrontRod = rod_named(name)?;
            match (per_turn, shift) {
                (_, Some(per_turn)) => Some(AdjusterChange::Shift { rod, per_turn }),
                (Some(per_turn), None) => Some(AdjusterChange::Length { rod, per_turn }),
                _ => None,
            }
        })
        .collect::<Option<_>>()?;
    Some(Adjuster { changes })
}

fn alignment_values(a: &Alignment) -> Value {
    json!({"camber": a.camber, "caster": a.caster, "toe": a.toe_in, "toe_in": a.toe_in})
}

fn adjusters(
    corner: &Corner,
    case: &Value,
    key: &str,
    want: &Value,
    report: &mut Report,
) -> Result<(), String> {
    let listed = case["adjusters"]
        .as_array()
        .ok_or("adjusters is not a list")?;
    let Some(ours) = listed.iter().map(adjuster).collect::<Option<Vec<_>>>() else {
        report.skip("input adjusters (a form not known)");
        return Ok(());
    };
    let effects = ours
        .iter()
        .map(|a| corner.adjuster_effect(a).map_err(|e| e.to_string()))
        .collect::<Result<Vec<_>, _>>()?;
    if key == "inverse" {
        let get = |n: &str| case["wanted"][n].as_f64();
        let wanted = Wanted {
            camber: get("camber"),
            caster: get("caster"),
            toe_in: get("toe_in").or_else(|| get("toe")),
        };
        let table: Vec<Alignment> = effects.iter().map(|e| e.per_turn).collect();
        let turns = turns_for(&table, &wanted).map_err(|e| e.to_string())?;
        let got = json!({"turns": turns});
        report.tree("inverse", "", Some(&got), want, &|p, w| leaf(case, p, w));
        return Ok(());
    }
    for (index, (effect, input)) in effects.iter().zip(listed).enumerate() {
        let row = want
            .get(index)
            .or_else(|| want.get(input["name"].as_str().unwrap_or("")));
        let Some(row) = row else {
            report.skip(key);
            continue;
        };
        let mut got = json!({
            "name": input["name"],
            "derivative": alignment_values(&effect.per_turn),
            "per_turn": alignment_values(&effect.per_turn),
            "full_turn": alignment_values(&effect.one_turn),
            "one_turn": alignment_values(&effect.one_turn),
        });
        for (name, value) in [
            ("camber", effect.per_turn.camber),
            ("caster", effect.per_turn.caster),
            ("toe", effect.per_turn.toe_in),
            ("toe_in", effect.per_turn.toe_in),
        ] {
            got[name] = json!(value);
        }
        let at = format!("{key} {index}");
        report.tree(&at, "", Some(&got), row, &|p, w| leaf(case, p, w));
    }
    Ok(())
}
