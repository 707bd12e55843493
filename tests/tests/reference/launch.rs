//! Cases of kind `launch_balance`.

use geometry::DrawnRod;
use nalgebra::Point3;
use serde_json::{Map, Value, json};
use vehicle::STANDARD_GRAVITY;
use vehicle::launch::{
    Balance, Differential, DrawnCoilover, FirstOrder, LaunchCar, LaunchError, LaunchModel,
    LimitKind, Manoeuvre, SettledCar, ShaftTorque,
};

use crate::compare::{Report, numbers_in};

const INPUTS: [&str; 13] = [
    "id",
    "title",
    "kind",
    "open",
    "frame",
    "gravity",
    "car",
    "rods",
    "coilovers",
    "accelerations_g",
    "note",
    "tolerance",
    "conventions",
];

/// Fields of the car with their names; the names after the first are other spellings.
const CAR: [&[&str]; 21] = [
    &["wheelbase"],
    &["sprung_mass"],
    &["sprung_cg"],
    &["axle_mass"],
    &["axle_cg"],
    &["design_axle_height"],
    &["rear_track"],
    &["front_track"],
    &["front_hub_height"],
    &["front_rate"],
    &["front_free_height"],
    &["tyre_rate"],
    &["tyre_free_radius"],
    &["final_drive"],
    &["differential"],
    &["driveshaft_torque"],
    &[
        "engine_rotation",
        "engine_sense",
        "engine_direction",
        "engine_reversed",
        "rotation",
    ],
    &[
        "front_roll_stiffness",
        "roll_stiffness_front",
        "front_anti_roll",
        "front_anti_roll_stiffness",
        "anti_roll_front",
    ],
    &[
        "rear_roll_stiffness",
        "roll_stiffness_rear",
        "rear_anti_roll",
        "rear_anti_roll_stiffness",
        "anti_roll_rear",
    ],
    &["roll_stiffness", "anti_roll", "anti_roll_stiffness"],
    &["rear_brake_share", "brake_share_rear", "p_r"],
];

fn field<'a>(car: &'a Value, name: &str) -> &'a Value {
    let names = CAR.iter().find(|n| n[0] == name).unwrap();
    names
        .iter()
        .find_map(|n| car.get(*n))
        .unwrap_or(&Value::Null)
}

fn number(value: &Value, name: &str) -> Result<f64, String> {
    value[name]
        .as_f64()
        .ok_or_else(|| format!("{name} is not a number"))
}

fn point(value: &Value, name: &str) -> Result<Point3<f64>, String> {
    let list = value[name]
        .as_array()
        .ok_or_else(|| format!("{name} is not a list"))?;
    let list: Vec<f64> = list.iter().filter_map(Value::as_f64).collect();
    match list[..] {
        [x, y, z] => Ok(Point3::new(x, y, z)),
        _ => Err(format!("{name} is not three numbers")),
    }
}

/// +1, 0 or −1 from a number, a flag or a word; None where nothing is said.
fn sense(value: &Value) -> Option<f64> {
    match value {
        Value::Number(n) => n.as_f64().map(|v| if v == 0.0 { 0.0 } else { v.signum() }),
        Value::Bool(on) => Some(f64::from(u8::from(*on))),
        Value::String(word) => {
            let word = word.to_lowercase();
            if ["revers", "counter", "anticlock", "negative", "-1"]
                .iter()
                .any(|w| word.contains(w))
            {
                Some(-1.0)
            } else if ["off", "none", "no"].contains(&word.as_str()) {
                Some(0.0)
            } else {
                Some(1.0)
            }
        }
        _ => None,
    }
}

fn read(case: &Value) -> Result<(LaunchCar, Vec<DrawnRod>, Vec<DrawnCoilover>), String> {
    let c = &case["car"];
    let shaft = sense(field(c, "driveshaft_torque")).unwrap_or(1.0);
    let turned = match c.get("engine_reversed").and_then(Value::as_bool) {
        Some(reversed) => {
            if reversed {
                -1.0
            } else {
                1.0
            }
        }
        None => sense(field(c, "engine_rotation")).unwrap_or(1.0),
    };
    let shaft_torque = match shaft * turned {
        s if s > 0.0 => ShaftTorque::Usual,
        s if s < 0.0 => ShaftTorque::Reversed,
        _ => ShaftTorque::Off,
    };
    let differential = match field(c, "differential").as_str() {
        Some("open") => Differential::Open,
        Some("locked" | "spool") => Differential::Locked,
        other => return Err(format!("differential {other:?}")),
    };
    // Roll stiffness as two fields, or as a list or tree of front and rear.
    let both = field(c, "roll_stiffness");
    let stiffness = |name: &str, end: &str, index: usize| {
        field(c, name)
            .as_f64()
            .or_else(|| both.get(end)?.as_f64())
            .or_else(|| both.get(index)?.as_f64())
            .unwrap_or(0.0)
    };
    let car = LaunchCar {
        wheelbase: number(c, "wheelbase")?,
        sprung_mass: number(c, "sprung_mass")?,
        sprung_cg: point(c, "sprung_cg")?,
        axle_mass: number(c, "axle_mass")?,
        axle_cg: point(c, "axle_cg")?,
        axle_height: number(c, "design_axle_height")?,
        rear_track: number(c, "rear_track")?,
        front_track: number(c, "front_track")?,
        front_hub_height: number(c, "front_hub_height")?,
        front_rate: number(c, "front_rate")?,
        front_free_height: number(c, "front_free_height")?,
        front_curve: None,
        tyre_rate: number(c, "tyre_rate")?,
        tyre_free_radius: number(c, "tyre_free_radius")?,
        final_drive: number(c, "final_drive")?,
        differential,
        shaft_torque,
        front_roll_stiffness: stiffness("front_roll_stiffness", "front", 0),
        rear_roll_stiffness: stiffness("rear_roll_stiffness", "rear", 1),
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
    let coilovers = case["coilovers"]
        .as_array()
        .ok_or("coilovers is not a list")?;
    let coilovers = coilovers
        .iter()
        .map(|r| {
            Ok(DrawnCoilover {
                frame_point: point(r, "a")?,
                housing_point: point(r, "b")?,
                rate: number(r, "rate")?,
                free_length: number(r, "free_length")?,
            })
        })
        .collect::<Result<_, String>>()?;
    Ok((car, rods, coilovers))
}

/// Names every input this reader does not use.
fn name_unknown(case: &Value, report: &mut Report) {
    let mut known = |at: &str, value: &Value, names: &[&str]| {
        for key in value.as_object().into_iter().flat_map(Map::keys) {
            if !names.contains(&key.as_str()) {
                report.skip(&format!("input {at}{key}"));
            }
        }
    };
    let mut top = INPUTS.to_vec();
    top.push("expected");
    known("", case, &top);
    known("car.", &case["car"], &CAR.concat());
    for rod in case["rods"].as_array().into_iter().flatten() {
        known("rods.", rod, &["name", "a", "b", "length", "stiffness"]);
    }
    for coil in case["coilovers"].as_array().into_iter().flatten() {
        known(
            "coilovers.",
            coil,
            &["name", "a", "b", "rate", "free_length"],
        );
    }
}

/// Tolerances as the case states them.
struct Tolerances<'a> {
    stated: &'a Map<String, Value>,
    weight: f64,
    /// Distance between the contacts: moments are loads times about this.
    track: f64,
}

impl Tolerances<'_> {
    /// A stated number; the first number of a rule that says "of the weight" is times the weight.
    fn named(&self, name: &str, usual: f64) -> f64 {
        match self.stated.get(name) {
            Some(Value::Number(n)) => n.as_f64().unwrap_or(usual),
            Some(Value::String(text)) => {
                let first = numbers_in(text).first().copied();
                match first {
                    Some(n) if text.contains("weight") => n * self.weight,
                    Some(n) => n,
                    None => usual,
                }
            }
            _ => usual,
        }
    }

    fn leaf(&self, path: &str) -> Option<f64> {
        let parts: Vec<&str> = path.split('.').collect();
        let length = || Some(self.named("length", 1e-8));
        let angle = || Some(self.named("angle", 1e-8));
        let force = || Some(self.named("force", 1e-6 * self.weight));
        match *parts.first()? {
            "acceleration_g" => Some(1e-12),
            "sprung" if parts.get(1) == Some(&"z") => length(),
            "axle" if matches!(parts.get(1), Some(&("x" | "y" | "z"))) => length(),
            "sprung" | "axle" | "pitch" | "roll" | "pitch_change" | "roll_change" => angle(),
            "coil_length"
            | "front_lift"
            | "front_lift_left_right"
            | "rear_squat"
            | "rear_separation" => length(),
            "tyre_load"
            | "thrust"
            | "rod_force"
            | "coil_force"
            | "rear_load_difference"
            | "front_loads"
            | "front_load"
            | "front_thrust" => force(),
            "driveshaft_torque" | "yaw_hold_moment" => Some(force()? * self.track),
            // Remainders of the other model's iteration: ours only have to be as small as they should be.
            "checks" => Some(1e-9),
            _ => None,
        }
    }
}

/// Our figures under the names of the expected rows.
fn row_values(b: &Balance) -> Value {
    let t = &b.tyre_load;
    let p = &b.axle.position;
    json!({
        "acceleration_g": b.acceleration_g(),
        "sprung": {"z": b.sprung.z, "pitch": b.sprung.pitch, "roll": b.sprung.roll},
        "axle": {
            "x": p.x, "y": p.y, "z": p.z,
            "phi": b.axle.phi, "theta": b.axle.theta, "psi": b.axle.psi,
        },
        "tyre_load": {
            "front_left": t.front_left, "front_right": t.front_right,
            "rear_left": t.rear_left, "rear_right": t.rear_right,
        },
        "front_loads": [t.front_left, t.front_right],
        "thrust": b.thrust,
        "front_thrust": b.front_thrust,
        "driveshaft_torque": b.driveshaft_torque,
        "yaw_hold_moment": b.yaw_hold_moment,
        "rod_force": b.rod_force,
        "coil_length": b.coil_length,
        "coil_force": b.coil_force,
        "front_lift": b.front_lift,
        "front_lift_left_right": b.front_lift_left_right,
        "rear_squat": b.rear_squat,
        "rear_separation": b.rear_separation,
        "rear_load_difference": b.rear_load_difference,
        "pitch_change": b.pitch_change,
        "roll_change": b.roll_change,
        "front_wheel_lifted": b.front_wheel_lifted,
        "rear_wheel_lifted": b.rear_wheel_lifted,
        "checks": {
            "load_sum": b.checks.load_sum,
            "front_load_moment": b.checks.front_load_moment,
            "residual_max": b.checks.residual_max,
            "sprung_x_y_yaw": b.checks.sprung_x_y,
            "virtual_work": b.checks.virtual_work,
        },
    })
}

/// What a word or sentence about the end of the balances means.
fn kind_of(words: &str) -> Option<LimitKind> {
    let words = words.to_lowercase();
    let has = |list: &[&str]| list.iter().any(|w| words.contains(w));
    if has(&[
        "limit point",
        "limit_point",
        "fold",
        "turning",
        "no balance",
        "singular",
        "snap",
    ]) {
        Some(LimitKind::LimitPoint)
    } else if has(&["off", "lift", "zero", "air"]) {
        Some(if words.contains("rear") {
            LimitKind::RearWheelsOff
        } else {
            LimitKind::FrontWheelsOff
        })
    } else {
        None
    }
}

/// The acceleration of a limit under any of its likely names, g.
fn limit_acceleration(limit: &Map<String, Value>) -> Option<f64> {
    let named = [
        "acceleration_g",
        "limit_acceleration_g",
        "largest_g",
        "max_g",
        "g",
    ]
    .iter()
    .find_map(|k| limit.get(*k)?.as_f64());
    named.or_else(|| {
        let mut any = limit.iter().filter(|(k, _)| k.contains("acceleration"));
        any.find_map(|(_, v)| v.as_f64())
    })
}

pub fn compare(case: &Value, report: &mut Report) {
    if let Err(fault) = compare_case(case, report) {
        report.check("case", false, || fault);
    }
}

fn compare_case(case: &Value, report: &mut Report) -> Result<(), String> {
    let (car, rods, coilovers) = read(case)?;
    name_unknown(case, report);
    if let Some(g) = case["gravity"].as_f64() {
        report.number("gravity", STANDARD_GRAVITY, g, 1e-12);
    }
    let stated = case["tolerance"].as_object().ok_or("no tolerance")?;
    let tolerances = Tolerances {
        stated,
        weight: car.weight(),
        track: car.rear_track,
    };
    let model = LaunchModel::drawn(&car, &rods, &coilovers).map_err(|e| e.to_string())?;
    let settled = model.settle().map_err(|e| e.to_string())?;
    let expected = case["expected"].as_object().ok_or("no expected")?;
    let share = field(&case["car"], "rear_brake_share").as_f64();
    let mut virtual_work = 0.0_f64;
    for (key, want) in expected {
        match key.as_str() {
            "static" | "rest" => {
                row(&settled.at_rest, key, want, &tolerances, report);
            }
            "rows" => {
                let rows = want.as_array().ok_or("rows is not a list")?;
                let mut before = settled.at_rest.clone();
                for (index, want) in rows.iter().enumerate() {
                    let g = number(want, "acceleration_g")?;
                    let at = format!("row {index} ({g} g)");
                    let a = g * STANDARD_GRAVITY;
                    let manoeuvre = match share {
                        Some(rear_share) if g < 0.0 => Manoeuvre::Brake { rear_share },
                        _ => Manoeuvre::Drive,
                    };
                    match (settled.balance_at(manoeuvre, a), want.get("tyre_load")) {
                        (Ok(balance), Some(_)) => {
                            row(&balance, &at, want, &tolerances, report);
                            virtual_work = virtual_work.max(balance.checks.virtual_work);
                            // Warm or cold, the same answer.
                            if manoeuvre == before.manoeuvre {
                                match settled.balance_from(&before, a) {
                                    Ok(warm) => {
                                        row(&warm, &format!("{at} warm"), want, &tolerances, report)
                                    }
                                    Err(e) => report.check(&at, false, || e.to_string()),
                                }
                                before = balance;
                            }
                        }
                        (Ok(_), None) => {
                            report.check(&at, false, || "has a balance, expected none".into())
                        }
                        (Err(e), Some(_)) => report.check(&at, false, || e.to_string()),
                        (Err(e), None) => {
                            report.check(&at, matches!(e, LaunchError::NoBalance { .. }), || {
                                e.to_string()
                            })
                        }
                    }
                }
            }
            "limit" => limit(&settled, key, want, &tolerances, report),
            "first_order" => first_order(&car, &rods, &coilovers, want, report),
            _ if key.contains("limit") && want.is_number() => {
                let want = json!({"acceleration_g": want});
                limit(&settled, key, &want, &tolerances, report);
            }
            _ if key.contains("limit") && want.is_object() => {
                limit(&settled, key, want, &tolerances, report);
            }
            "limit_kind" => limit(&settled, key, &json!({"kind": want}), &tolerances, report),
            _ => report.skip(key),
        }
    }
    report.check("virtual work", virtual_work < 1e-6, || {
        format!("{virtual_work:e}")
    });
    Ok(())
}

fn row(b: &Balance, at: &str, want: &Value, tolerances: &Tolerances<'_>, report: &mut Report) {
    report.tree(at, "", Some(&row_values(b)), want, &|path, _| {
        tolerances.leaf(path)
    });
}

fn limit(
    settled: &SettledCar,
    key: &str,
    want: &Value,
    tolerances: &Tolerances<'_>,
    report: &mut Report,
) {
    let found = match settled.limit(Manoeuvre::Drive) {
        Ok(found) => found,
        Err(e) if want.is_null() => {
            report.note(format!("{key}: none given, ours {e}"));
            return;
        }
        Err(e) => return report.check(key, false, || e.to_string()),
    };
    report.note(format!(
        "limit: {} at {:.9} g",
        found.kind,
        found.acceleration / STANDARD_GRAVITY
    ));
    let Some(fields) = want.as_object() else {
        if !want.is_null() {
            report.skip(key);
        }
        return;
    };
    let tolerance = tolerances.named("limit_acceleration_g", 1e-6);
    if let Some(g) = limit_acceleration(fields) {
        report.number(key, found.acceleration / STANDARD_GRAVITY, g, tolerance);
        // Beyond it there is no number, just inside there is one.
        let beyond = settled.balance((g + 2.0 * tolerance) * STANDARD_GRAVITY);
        report.check(
            key,
            matches!(beyond, Err(LaunchError::NoBalance { .. })),
            || "has a balance beyond the limit".into(),
        );
        let inside = settled.balance((g - 2.0 * tolerance) * STANDARD_GRAVITY);
        report.check(key, inside.is_ok(), || {
            format!("no balance inside the limit: {inside:?}")
        });
    }
    if let Some(words) = fields.get("kind").and_then(Value::as_str) {
        match kind_of(words) {
            Some(kind) => report.check(key, kind == found.kind, || {
                format!("got {}, expected {words}", found.kind)
            }),
            None => report.note(format!("{key} kind given: {words}, ours {}", found.kind)),
        }
    }
    let ours = row_values(&found.balance);
    for (name, value) in fields {
        if name == "kind" || name.contains("acceleration") || value.is_null() {
            continue;
        }
        // Loads move by this much within the tolerance of the acceleration.
        let loose = |path: &str, _: f64| {
            let slope = tolerances.weight * tolerance;
            tolerances.leaf(path).map(|t| t.max(slope))
        };
        report.tree(key, name, ours.get(name), value, &loose);
    }
}

fn first_order(
    car: &LaunchCar,
    rods: &[DrawnRod],
    coilovers: &[DrawnCoilover],
    want: &Value,
    report: &mut Report,
) {
    if want.is_null() {
        return;
    }
    match FirstOrder::of(car, rods, coilovers) {
        Ok(f) => {
            let ours = json!({
                "tan_as": f.tan_as,
                "tan_hub": f.tan_hub,
                "MR": f.motion_ratio,
                "h": f.cg_height,
                "dF_per_g": f.coil_force_per_g,
            });
            report.tree("first order", "", Some(&ours), want, &|_, want| {
                Some(1e-8 * (1.0 + want.abs()))
            });
        }
        Err(e) => report.check("first order", false, || e.to_string()),
    }
}
