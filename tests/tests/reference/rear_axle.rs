//! Cases of kind `rear_axle`.

use geometry::{
    AssembledAxle, AxleCar, AxleError, AxleLinkage, AxleState, DrawnRod, InstantCentre, Moving,
    PathDerivative, Pose, Position, Twist,
};
use nalgebra::{Point3, Vector3};
use serde_json::{Map, Value, json};

use crate::compare::{Report, numbers_in};

/// Tolerances as the case states them.
struct Tolerances<'a> {
    stated: &'a Map<String, Value>,
    stiffness: Vec<f64>,
}

impl Tolerances<'_> {
    /// A stated number.
    fn named(&self, name: &str) -> Option<f64> {
        self.stated.get(name).and_then(Value::as_f64)
    }

    /// The n-th number of a stated rule, or what the rule says today.
    fn rule(&self, name: &str, n: usize, usual: f64) -> f64 {
        match self.stated.get(name) {
            Some(Value::String(text)) => numbers_in(text).get(n).copied().unwrap_or(usual),
            Some(Value::Number(number)) if n == 0 => number.as_f64().unwrap_or(usual),
            _ => usual,
        }
    }

    /// Tolerance of a leaf of a row; `ic_x` is the expected x of the instant centre.
    fn leaf(&self, path: &str, want: f64, ic_x: f64) -> Option<f64> {
        let rate = || Some(self.rule("ic", 0, 1e-8));
        let parts: Vec<&str> = path.split('.').collect();
        let parts = match parts.first() {
            Some(&"path_derivative") => &parts[1..],
            _ => &parts[..],
        };
        let index = parts.last().and_then(|p| p.parse::<usize>().ok());
        match *parts.first()? {
            "pose" => match parts.get(1).copied()? {
                "x" | "y" | "z" => self.named("pose_length"),
                _ => self.named("pose_angle"),
            },
            "travel" | "recession" => self.named("pose_length"),
            "roll" | "pinion_up" => self.named("pose_angle"),
            "stretch" | "bind_max" => self.named("stretch"),
            "rod_force" => {
                let stiffness = self.stiffness.get(index?)?;
                Some(self.named("stretch")? * stiffness)
            }
            "bind_roll_moment" => self.named("bind_roll_moment"),
            "bind_roll_stiffness" => {
                let relative = self.rule("bind_roll_stiffness", 0, 1e-6);
                let plus = self.rule("bind_roll_stiffness", 1, 0.01);
                Some(relative * want.abs() + plus)
            }
            "heave_twist"
            | "roll_twist"
            | "heave_stretch_rate_max"
            | "roll_stretch_rate_max"
            | "heave_stretch_rate"
            | "roll_stretch_rate" => self.named("twist"),
            "q" | "dxdz" => rate(),
            "tan_as" => self.named("tan_as"),
            "anti_squat_pct" | "anti_lift_pct" => self.named("anti_squat_pct"),
            "ic" if parts.get(1) == Some(&"normal_slope") => rate(),
            "ic" | "swing_arm_length" | "swing_arm_height" => {
                Some(self.rule("ic", 0, 1e-8) * (1.0 + ic_x * ic_x))
            }
            "contact" => self.named("pose_length"),
            "roll_dydphi" | "roll_centre_z" | "roll_centre_above_ground" => {
                self.named("roll_centre")
            }
            "roll_axis_slope" => self.named("roll_axis_slope"),
            "roll_steer" => self.named("roll_steer"),
            _ => None,
        }
    }

    /// Rows next to a lock are compared more loosely, by the case's own rule.
    fn loosened(&self, q: f64) -> f64 {
        if q.abs() > self.rule("next_to_lock_over", 0, 8.0) {
            self.rule("next_to_lock_over", 1, 1000.0)
        } else {
            1.0
        }
    }
}

/// Fields of a case this reader knows.
const INPUTS: [&str; 11] = [
    "id",
    "title",
    "kind",
    "open",
    "frame",
    "rotation_order",
    "car",
    "rods",
    "note",
    "sweep",
    "tolerance",
];

pub fn number(value: &Value, name: &str) -> Result<f64, String> {
    value[name]
        .as_f64()
        .ok_or_else(|| format!("{name} is not a number"))
}

fn point(value: &Value, name: &str) -> Result<Point3<f64>, String> {
    point_of(&value[name]).map_err(|fault| format!("{name} {fault}"))
}

pub fn point_of(value: &Value) -> Result<Point3<f64>, String> {
    let list: Vec<f64> = value
        .as_array()
        .ok_or("is not a list")?
        .iter()
        .filter_map(Value::as_f64)
        .collect();
    match list[..] {
        [x, y, z] => Ok(Point3::new(x, y, z)),
        _ => Err("is not three numbers".into()),
    }
}

pub fn read(case: &Value) -> Result<(AxleCar, Vec<DrawnRod>), String> {
    if let Some(order) = case["rotation_order"].as_str()
        && order != "zxy"
    {
        return Err(format!("rotation order {order} is not zxy"));
    }
    let c = &case["car"];
    let car = AxleCar {
        wheelbase: number(c, "wheelbase")?,
        mass: number(c, "mass")?,
        cg_height: number(c, "cg_height")?,
        loaded_radius: number(c, "loaded_radius")?,
        rear_brake_share: number(c, "rear_brake_share")?,
        rear_track: number(c, "rear_track")?,
    };
    let rods = case["rods"].as_array().ok_or("rods is not a list")?;
    let rods = rods
        .iter()
        .map(|r| {
            Ok(DrawnRod {
                frame_point: point(r, "a")?,
                housing_point: point(r, "b")?,
                length: r["length"].as_f64(),
                stiffness: r["stiffness"].as_f64(),
            })
        })
        .collect::<Result<_, String>>()?;
    Ok((car, rods))
}

/// Compares one case.
pub fn compare(case: &Value, report: &mut Report) {
    if let Err(fault) = compare_case(case, report) {
        report.check("case", false, || fault);
    }
}

fn compare_case(case: &Value, report: &mut Report) -> Result<(), String> {
    let (car, drawn) = read(case)?;
    for key in case.as_object().ok_or("not an object")?.keys() {
        if key != "expected" && !INPUTS.contains(&key.as_str()) {
            report.skip(&format!("input {key}"));
        }
    }
    let stated = case["tolerance"].as_object().ok_or("no tolerance")?;
    let tolerances = Tolerances {
        stated,
        stiffness: drawn.iter().filter_map(|r| r.stiffness).collect(),
    };
    let expected = case["expected"].as_object().ok_or("no expected")?;
    let linkage = AxleLinkage::drawn(&car, &drawn).map_err(|e| e.to_string())?;
    let lengths: Vec<f64> = linkage.rods.iter().map(|r| r.length).collect();
    let assembled = linkage.assemble(car);
    let cannot = expected
        .get("cannot_assemble")
        .and_then(Value::as_bool)
        .unwrap_or(false);
    let axle = match (assembled, cannot) {
        (Ok(_), true) => return Err("was assembled, expected that it cannot be".into()),
        (Err(AxleError::CannotAssemble { share, reason }), true) => {
            report.check("cannot_assemble", !reason.is_input_fault(), || {
                format!("an input fault: {reason}")
            });
            report.note(format!(
                "cannot assemble, as expected: ours \"{reason}\" at {:.2} % of the way",
                share * 100.0
            ));
            None
        }
        (Ok(axle), false) => Some(axle),
        (Err(error), _) => return Err(error.to_string()),
    };
    for (key, want) in expected {
        match (key.as_str(), &axle) {
            ("cannot_assemble", _) => {}
            ("reason", _) => report.note(format!("reason given: {want}")),
            ("rod_lengths", _) => {
                let at = tolerances.named("pose_length");
                let got = json!(lengths);
                report.tree("case", key, Some(&got), want, &|_, _| at);
            }
            ("rows", Some(axle)) => rows(axle, case, want, &tolerances, report)?,
            ("free_roll_rows", Some(axle)) => free_roll_rows(axle, want, &tolerances, report)?,
            ("unreachable" | "unreachable_rows", Some(axle)) => {
                out_of_reach(axle, key, want, report)
            }
            (key, Some(axle)) if key.starts_with("unreachable") => {
                unreachable(axle, key, want, &tolerances, report)?;
            }
            _ => report.skip(key),
        }
    }
    Ok(())
}

fn rows(
    axle: &AssembledAxle,
    case: &Value,
    want: &Value,
    tolerances: &Tolerances<'_>,
    report: &mut Report,
) -> Result<(), String> {
    let rows = want.as_array().ok_or("rows is not a list")?;
    let sweep = case["sweep"].as_array();
    for given in sweep.into_iter().flatten() {
        let is = |row: &Value| row["travel"] == given[0] && row["roll"] == given[1];
        if rows.len() < sweep.map_or(0, Vec::len) && !rows.iter().any(is) {
            let found = axle.state(
                given[0].as_f64().unwrap_or(f64::NAN),
                given[1].as_f64().unwrap_or(f64::NAN),
            );
            report.note(match found {
                Ok(_) => format!("sweep {given} has no expected row; ours reaches it"),
                Err(error) => format!("sweep {given} has no expected row; ours: {error}"),
            });
        }
    }
    for (index, row) in rows.iter().enumerate() {
        let given = sweep
            .filter(|s| s.len() == rows.len())
            .and_then(|s| s.get(index));
        let place = |name: &str, i: usize| {
            row[name]
                .as_f64()
                .or_else(|| given.and_then(|g| g[i].as_f64()))
                .ok_or_else(|| format!("row {index} has no {name}"))
        };
        let (travel, roll) = (place("travel", 0)?, place("roll", 1)?);
        let at = format!("row {index} (travel {travel}, roll {roll})");
        let flag = |name: &str| row.get(name).and_then(Value::as_bool);
        let out = row.is_null()
            || flag("unreachable") == Some(true)
            || flag("reachable") == Some(false)
            || (row
                .get("unreachable")
                .is_some_and(|v| !v.is_null() && !v.is_boolean()))
            || row.get("pose").is_some_and(Value::is_null);
        let found = axle
            .position(travel, roll)
            .and_then(|p| Ok((axle.state_at(&p)?, axle.path_derivative(&p.pose)?)));
        match (found, out) {
            (Ok((state, path)), false) => {
                let got = row_values(&state, &path);
                let ic_x = row["ic"]["x"].as_f64().unwrap_or(0.0);
                let loose = tolerances.loosened(row["q"].as_f64().unwrap_or(state.q));
                report.tree(&at, "", Some(&got), row, &|path, want| {
                    Some(tolerances.leaf(path, want, ic_x)? * loose)
                });
            }
            (Ok(_), true) => {
                report.check(&at, false, || "was reached, expected out of reach".into())
            }
            (Err(error), false) => report.check(&at, false, || error.to_string()),
            (Err(error), true) => {
                report.check(&at, matches!(error, AxleError::OutOfReach { .. }), || {
                    error.to_string()
                });
                for (key, value) in row.as_object().into_iter().flatten() {
                    if key.starts_with("unreachable_") {
                        unreachable(axle, key, value, tolerances, report)?;
                    } else if key == "reason" {
                        report.note(format!("{at}: {error}; reason given: {value}"));
                    } else if !["travel", "roll", "unreachable", "reachable"]
                        .contains(&key.as_str())
                        && !value.is_null()
                    {
                        report.skip(&format!("{key} of a row out of reach"));
                    }
                }
            }
        }
    }
    Ok(())
}

/// Poses that must be out of reach: `[travel, roll]` each, or with these names.
fn out_of_reach(axle: &AssembledAxle, key: &str, want: &Value, report: &mut Report) {
    for (index, pose) in want.as_array().into_iter().flatten().enumerate() {
        let place = |name: &str, i: usize| {
            pose.get(name)
                .or_else(|| pose.get(i))
                .and_then(Value::as_f64)
        };
        match (place("travel", 0), place("roll", 1)) {
            (None, None) => report.skip(key),
            (travel, roll) => {
                let found = axle.state(travel.unwrap_or(0.0), roll.unwrap_or(0.0));
                report.check(
                    &format!("{key} {index}"),
                    matches!(found, Err(AxleError::OutOfReach { .. })),
                    || format!("{pose} was not found out of reach"),
                );
            }
        }
    }
    if !want.is_array() {
        report.skip(key);
    }
}

fn free_roll_rows(
    axle: &AssembledAxle,
    want: &Value,
    tolerances: &Tolerances<'_>,
    report: &mut Report,
) -> Result<(), String> {
    let rows = want.as_array().ok_or("free_roll_rows is not a list")?;
    for (index, row) in rows.iter().enumerate() {
        let travel = number(row, "travel")?;
        let at = format!("free roll row {index} (travel {travel})");
        match axle.move_travel_roll_free(&axle.design, travel) {
            Ok(position) => {
                let got = free_values(axle, &position);
                report.tree(&at, "", Some(&got), row, &|path, want| {
                    tolerances.leaf(path, want, 0.0)
                });
            }
            Err(error) => report.check(&at, false, || error.to_string()),
        }
    }
    Ok(())
}

/// A number, a list or a tree of numbers under a key such as `unreachable_travel`: where reach
/// ends. Its sign tells the direction (a key that says droop or down turns it); null says that
/// the sweep meets no end that way. A sibling `travel` or `roll` says where it is taken.
fn unreachable(
    axle: &AssembledAxle,
    key: &str,
    want: &Value,
    tolerances: &Tolerances<'_>,
    report: &mut Report,
) -> Result<(), String> {
    let moving = if key.contains("roll") {
        Moving::Roll
    } else if key.contains("travel") {
        Moving::Travel
    } else {
        report.skip(key);
        return Ok(());
    };
    let tolerance = tolerances
        .named(match moving {
            Moving::Travel => "unreachable_travel",
            Moving::Roll => "unreachable_roll",
        })
        .unwrap_or(1e-6);
    let mut ends = Vec::new();
    gather(key, want, 0.0, &mut ends, report);
    for End { path, value, other } in ends {
        // Look well beyond the expected end, so that one found too late shows as well.
        let to = value + value.signum() * (0.5 * value.abs()).max(0.05);
        let limit = match moving {
            Moving::Travel => axle.travel_limit(other, to),
            Moving::Roll => axle.roll_limit(other, to),
        };
        match limit {
            Ok(Some(AxleError::OutOfReach {
                moving: ours,
                begins_at,
                reason,
            })) if ours == moving => {
                report.number(&path, begins_at, value, tolerance);
                report.note(format!("{path}: begins at {begins_at:.9}: {reason}"));
            }
            Ok(None) => report.check(&path, false, || {
                format!("{to} was reached, expected an end at {value}")
            }),
            Ok(Some(error)) | Err(error) => report.check(&path, false, || error.to_string()),
        }
    }
    Ok(())
}

/// One expected end of reach.
struct End {
    path: String,
    value: f64,
    /// The held quantity: roll for a travel limit, travel for a roll limit.
    other: f64,
}

fn gather(path: &str, want: &Value, other: f64, ends: &mut Vec<End>, report: &mut Report) {
    match want {
        Value::Number(number) => {
            let mut value = number.as_f64().unwrap();
            if ["droop", "down", "low", "negative", "rebound", "right"]
                .iter()
                .any(|word| path.contains(word))
            {
                value = -value.abs();
            }
            ends.push(End {
                path: path.to_owned(),
                value,
                other,
            });
        }
        Value::Array(items) => {
            for (index, item) in items.iter().enumerate() {
                gather(&format!("{path}.{index}"), item, other, ends, report);
            }
        }
        Value::Object(fields) => {
            // Under unreachable_roll a sibling travel is where the roll is taken, and the
            // other way round.
            let beside = if path.starts_with("unreachable_roll") {
                ["travel", "at_travel"]
            } else {
                ["roll", "at_roll"]
            };
            let held = beside.iter().find_map(|k| fields.get(*k)?.as_f64());
            for (key, value) in fields {
                if !beside.contains(&key.as_str()) {
                    gather(
                        &format!("{path}.{key}"),
                        value,
                        held.unwrap_or(other),
                        ends,
                        report,
                    );
                }
            }
        }
        Value::Null => {}
        Value::String(text) => report.note(format!("{path} given: {text}")),
        Value::Bool(_) => report.skip(path),
    }
}

fn vector(v: &Vector3<f64>) -> Value {
    json!([v.x, v.y, v.z])
}

fn twist(t: &Twist) -> Value {
    json!({"v": vector(&t.v), "w": vector(&t.w)})
}

fn pose(p: &Pose) -> Value {
    let r = p.rotation();
    let row = |i: usize| [r[(i, 0)], r[(i, 1)], r[(i, 2)]];
    json!({
        "x": p.position.x, "y": p.position.y, "z": p.position.z,
        "phi": p.phi, "theta": p.theta, "psi": p.psi,
        "R": [row(0), row(1), row(2)],
    })
}

/// Our figures under the names of the expected rows.
fn row_values(s: &AxleState, path: &PathDerivative) -> Value {
    let ic = match s.instant_centre {
        InstantCentre::At { x, z } => {
            json!({"at_infinity": false, "normal_slope": -s.dxdz, "x": x, "z": z})
        }
        InstantCentre::Infinity { slope } => {
            json!({"at_infinity": true, "normal_slope": slope, "x": null, "z": null})
        }
    };
    json!({
        "travel": s.travel,
        "roll": s.roll,
        "pose": pose(&s.pose),
        "pinion_up": s.pinion_up,
        "recession": s.recession,
        "contact": [s.contact.x, s.contact.y, s.contact.z],
        "stretch": s.stretch.to_vec(),
        "bind_max": s.bind_max,
        "rod_force": s.rod_force.map(|f| f.to_vec()),
        "bind_roll_moment": s.bind_roll_moment,
        "bind_roll_stiffness": s.bind_roll_stiffness,
        "heave_twist": twist(&s.heave_twist),
        "heave_stretch_rate": s.heave_stretch_rate.to_vec(),
        "heave_stretch_rate_max": s.heave_stretch_rate.largest().1.abs(),
        "roll_twist": twist(&s.roll_twist),
        "roll_stretch_rate": s.roll_stretch_rate.to_vec(),
        "roll_stretch_rate_max": s.roll_stretch_rate.largest().1.abs(),
        "q": s.q,
        "dxdz": s.dxdz,
        "tan_as": s.tan_as,
        "anti_squat_pct": 100.0 * s.anti_squat,
        "anti_lift_pct": 100.0 * s.anti_lift,
        "ic": ic,
        "swing_arm_length": s.swing_arm_length,
        "swing_arm_height": s.swing_arm_height,
        "roll_dydphi": s.roll_dydphi,
        "roll_centre_z": s.roll_centre_z,
        "roll_centre_above_ground": s.roll_centre_above_ground,
        "roll_axis_slope": s.roll_axis_slope,
        "roll_steer": s.roll_steer,
        "unreachable": false,
        "reachable": true,
        "path_derivative": {
            "tan_as": path.tan_as,
            "dxdz": path.dxdz,
            "q": path.q,
            "roll_centre_z": path.roll_centre_z,
            "roll_axis_slope": path.roll_axis_slope,
            "roll_steer": path.roll_steer,
        },
    })
}

/// Our roll-free pose under the names of the expected rows.
fn free_values(axle: &AssembledAxle, p: &Position) -> Value {
    let design = &axle.design.pose;
    json!({
        "travel": axle.travel_of(&p.pose),
        "roll": p.pose.phi,
        "pose": pose(&p.pose),
        "stretch": p.stretch.to_vec(),
        "bind_max": p.bind_max,
        "pinion_up": -(p.pose.theta - design.theta),
        "recession": -(p.pose.position.x - design.position.x),
    })
}
