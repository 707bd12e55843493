//! Cases of kinds `brake_balance`, `residual_valves` and `parking_brake`.

use serde_json::{Map, Value, json};
use vehicle::brakes::residual::drag;
use vehicle::brakes::{
    Axle, AxleBrakes, AxleRow, BalanceBar, Booster, Brake, BrakeBalance, BrakeCar, BrakeSystem,
    BrakingRow, BranchKind, Disc, Drum, Fitted, Foundation, GradeHold, Master, ParkingBrake, Pedal,
    PivotedShoe, ProportioningValve, ResidualBranch, ResidualFinding, Sense, SweptBand,
};

use crate::compare::Report;

type Fallible<T> = Result<T, String>;

fn fault(e: impl std::fmt::Display) -> String {
    e.to_string()
}

/// The first of several names that holds a number.
fn any(v: &Value, names: &[&str]) -> Option<f64> {
    names.iter().find_map(|n| v[*n].as_f64())
}

fn number(v: &Value, names: &[&str]) -> Fallible<f64> {
    any(v, names).ok_or_else(|| format!("no number {}", names.join(" or ")))
}

fn numbers(v: &Value) -> Vec<f64> {
    v.as_array()
        .map(|a| a.iter().filter_map(Value::as_f64).collect())
        .unwrap_or_default()
}

/// One number for both circuits, or a pair, or front and rear.
fn pair(v: &Value, names: &[&str]) -> Option<[f64; 2]> {
    for name in names {
        if let Some(x) = v[*name].as_f64() {
            return Some([x, x]);
        }
        if let [a, b] = numbers(&v[*name])[..] {
            return Some([a, b]);
        }
        if let (Some(a), Some(b)) = (v[*name]["front"].as_f64(), v[*name]["rear"].as_f64()) {
            return Some([a, b]);
        }
        let (front, rear) = (format!("front_{name}"), format!("rear_{name}"));
        let (turned_front, turned_rear) = (format!("{name}_front"), format!("{name}_rear"));
        if let (Some(a), Some(b)) = (
            any(v, &[&front, &turned_front]),
            any(v, &[&rear, &turned_rear]),
        ) {
            return Some([a, b]);
        }
        if let (Some(a), Some(b)) = (v["front"][*name].as_f64(), v["rear"][*name].as_f64()) {
            return Some([a, b]);
        }
    }
    None
}

fn car(v: &Value) -> Fallible<BrakeCar> {
    Ok(BrakeCar {
        mass: number(v, &["mass"])?,
        wheelbase: number(v, &["wheelbase"])?,
        cg_to_front: number(v, &["cg_to_front"])?,
        cg_height: number(v, &["cg_height"])?,
    })
}

fn area(diameter: f64) -> f64 {
    0.25 * std::f64::consts::PI * diameter * diameter
}

fn band(v: &Value) -> Option<(f64, f64, SweptBand)> {
    let outer = any(v, &["ro", "outer_radius"])?;
    let inner = any(v, &["ri", "inner_radius"])?;
    let model = if v["model"] == "uniform_pressure" {
        SweptBand::UniformPressure
    } else {
        SweptBand::Mean
    };
    Some((outer, inner, model))
}

fn brake(v: &Value) -> Fallible<Brake> {
    let threshold_pressure = any(v, &["threshold_pressure"]).unwrap_or(0.0);
    let efficiency = any(v, &["efficiency"]).unwrap_or(1.0);
    match v["kind"].as_str() {
        Some("disc") => Ok(Brake::Disc(Disc {
            piston_area: any(v, &["piston_area"])
                .unwrap_or_else(|| Disc::area_of(&numbers(&v["pistons_one_side"]))),
            mu: number(v, &["mu"])?,
            effective_radius: match (any(v, &["effective_radius"]), band(v)) {
                (Some(r), _) => r,
                (None, Some((ro, ri, model))) => model.effective_radius(ro, ri).map_err(fault)?,
                (None, None) => return Err("no effective_radius".into()),
            },
            threshold_pressure,
            efficiency,
            pad_clearance: any(v, &["pad_clearance"]).unwrap_or(0.0),
            caliper_stiffness: any(v, &["caliper_stiffness"]),
            pad_stiffness: any(v, &["pad_stiffness"]),
        })),
        Some("drum") => Ok(Brake::Drum(Drum {
            cylinder_area: match any(v, &["cylinder_area"]) {
                Some(a) => a,
                None => area(number(v, &["cylinder_bore"])?),
            },
            shoe_factor: match any(v, &["shoe_factor"]) {
                Some(c) => c,
                None => shoes(&v["shoes"])?,
            },
            drum_radius: number(v, &["drum_radius"])?,
            threshold_pressure,
            efficiency,
            shoe_travel: any(v, &["shoe_travel"]).unwrap_or(0.0),
            compliance: any(v, &["compliance"]).unwrap_or(0.0),
        })),
        kind => Err(format!("brake of kind {kind:?}")),
    }
}

/// Sum of the factors of one leading and one trailing shoe.
fn shoes(v: &Value) -> Fallible<f64> {
    let shoe = PivotedShoe {
        mu: number(v, &["mu"])?,
        drum_radius: number(v, &["drum_radius", "r"])?,
        pivot_distance: number(v, &["pivot_distance", "a"])?,
        actuating_arm: number(v, &["actuating_arm", "c"])?,
        lining: [
            number(v, &["theta1", "theta_1"])?,
            number(v, &["theta2", "theta_2"])?,
        ],
    };
    Ok(
        shoe.factor(Sense::Leading).map_err(fault)?
            + shoe.factor(Sense::Trailing).map_err(fault)?,
    )
}

fn booster(v: &Value) -> Fallible<Option<Booster>> {
    if v.is_null() {
        return Ok(None);
    }
    let gain = number(v, &["gain", "ratio"])?;
    if let Some(assist_limit) = any(v, &["assist_limit", "limit", "max_assist", "assist"]) {
        return Ok(Some(Booster { gain, assist_limit }));
    }
    let area = match any(v, &["diaphragm_area", "area"]) {
        Some(a) => a,
        None => area(number(v, &["diaphragm_diameter", "diameter"])?),
    };
    let vacuum = number(v, &["vacuum"])?;
    if vacuum <= 0.0 {
        return Ok(None);
    }
    let efficiency = any(v, &["efficiency"]).unwrap_or(1.0);
    Booster::vacuum(gain, vacuum, area, efficiency)
        .map(Some)
        .map_err(fault)
}

fn master(v: &Value) -> Fallible<Master> {
    let efficiency = pair(v, &["efficiency"]).unwrap_or([1.0; 2]);
    let spring_force = pair(v, &["spring_force"]).unwrap_or([0.0; 2]);
    let bores = pair(v, &["bore", "bores"]).ok_or("no bore")?;
    Ok(match v["layout"].as_str() {
        Some("single") => Master::Single {
            bore: bores[0],
            efficiency: efficiency[0],
            spring_force: spring_force[0],
        },
        Some("tandem") => Master::Tandem {
            bore: bores[0],
            efficiency: efficiency[0],
            spring_force: spring_force[0],
        },
        _ => {
            let bar = if v["bar"].is_object() {
                &v["bar"]
            } else if v["balance_bar"].is_object() {
                &v["balance_bar"]
            } else {
                v
            };
            Master::Twin {
                bar: BalanceBar {
                    width: number(bar, &["width", "bar_width"])?,
                    offset: number(bar, &["offset", "bar_offset", "pivot_offset", "e", "pivot"])?,
                },
                bores,
                efficiencies: efficiency,
                spring_forces: spring_force,
            }
        }
    })
}

fn axle(v: &Value) -> Fallible<AxleBrakes> {
    let valve = &v["valve"];
    Ok(AxleBrakes {
        brake: brake(&v["brake"])?,
        loaded_radius: number(v, &["loaded_radius"])?,
        valve: if valve.is_null() {
            None
        } else {
            Some(ProportioningValve {
                knee: number(valve, &["knee"])?,
                slope: number(valve, &["slope"])?,
            })
        },
        held: any(v, &["residual"]).unwrap_or(0.0),
    })
}

fn system(v: &Value) -> Fallible<BrakeSystem> {
    Ok(BrakeSystem {
        car: car(&v["car"])?,
        pedal: Pedal {
            ratio: number(&v["pedal"], &["ratio"])?,
            efficiency: any(&v["pedal"], &["efficiency"]).unwrap_or(1.0),
        },
        booster: booster(&v["booster"])?,
        master: master(&v["master"])?,
        front: axle(&v["front"])?,
        rear: axle(&v["rear"])?,
    })
}

/// Sets a dotted path of an object.
fn set(root: &mut Value, path: &str, value: &Value) {
    let mut at = root;
    for key in path.split('.') {
        if !at.is_object() {
            *at = Value::Object(Map::new());
        }
        at = &mut at[key];
    }
    *at = value.clone();
}

fn axle_name(a: Option<Axle>) -> Value {
    match a {
        Some(Axle::Front) => json!("front"),
        Some(Axle::Rear) => json!("rear"),
        None => Value::Null,
    }
}

fn axle_row(r: &AxleRow) -> Value {
    json!({
        "line_pressure": r.line_pressure,
        "wheel_pressure": r.wheel_pressure,
        "actuating_force": r.actuating_force,
        "torque_per_wheel": r.torque_per_wheel,
        "demand": r.demand,
    })
}

fn braking_row(r: &BrakingRow) -> Value {
    json!({
        "push_rod_force": r.push_rod_force,
        "front": axle_row(&r.front),
        "rear": axle_row(&r.rear),
        "pedal_force": r.pedal_force,
        "demand_z": r.demand_z,
        "utilisation_front": r.utilisation_front,
        "utilisation_rear": r.utilisation_rear,
        "efficiency": r.efficiency,
        "front_share": r.front_share,
        "locks_first": axle_name(r.locks_first),
        "z": r.z,
        "deceleration": r.deceleration,
        "load_front": r.loads.front,
        "load_rear": r.loads.rear,
        "front_locked": r.front_locked,
        "rear_locked": r.rear_locked,
        "ideal_front": r.ideal.front,
        "ideal_rear": r.ideal.rear,
    })
}

fn balance(case: &Value) -> Fallible<Value> {
    let forces = numbers(&case["pedal_forces"]);
    let greatest = any(case, &["pedal_max"]).unwrap_or(2000.0);
    let mus = numbers(&case["mus"]);
    let plain = [json!({"name": ""})];
    let variants = case["variants"]
        .as_array()
        .map_or(&plain[..], Vec::as_slice);
    let mut out = Vec::new();
    for variant in variants {
        let mut described = case["system"].clone();
        if let Some(changes) = variant["set"].as_object() {
            for (path, value) in changes {
                set(&mut described, path, value);
            }
        }
        let mu = number(&described["car"], &["tyre_mu", "mu"])?;
        let balance = BrakeBalance::new(system(&described)?).map_err(fault)?;
        let rows: Vec<Value> = forces
            .iter()
            .map(|f| balance.row(*f, mu).map(|r| braking_row(&r)))
            .collect::<Result<_, _>>()
            .map_err(fault)?;
        let mut locks = Vec::new();
        for mu in &mus {
            locks.push(match balance.first_lock(*mu, greatest).map_err(fault)? {
                Some(l) => json!({
                    "mu": l.mu,
                    "first": axle_name(l.first),
                    "pedal_force": l.pedal_force,
                    "z": l.z,
                    "efficiency": l.efficiency,
                    "second_pedal_force": l.second_pedal_force,
                }),
                None => json!({
                    "mu": mu, "first": null, "pedal_force": null, "z": null, "efficiency": null,
                    "second_pedal_force": null,
                }),
            });
        }
        let changeovers: Vec<Value> = balance
            .changeovers(greatest)
            .map_err(fault)?
            .iter()
            .map(|c| {
                json!({
                    "pedal_force": c.pedal_force,
                    "z": c.z,
                    "above": axle_name(Some(c.above)),
                })
            })
            .collect();
        out.push(json!({
            "name": variant["name"], "rows": rows, "locks": locks, "changeovers": changeovers,
        }));
    }
    let car = car(&case["system"]["car"])?;
    let ideal: Vec<Value> = case["expected"]["ideal_curve"]
        .as_array()
        .map(|rows| {
            rows.iter()
                .filter_map(|r| r["z"].as_f64())
                .map(|z| {
                    let i = car.ideal(z);
                    json!({"z": z, "front": i.front, "rear": i.rear})
                })
                .collect()
        })
        .unwrap_or_default();
    let mut ours = json!({"variants": out, "ideal_curve": ideal});
    if let Some(pads) = case["pads"].as_array() {
        let radii: Vec<f64> = pads
            .iter()
            .map(|p| {
                let (ro, ri, model) = band(p).ok_or("pad without radii")?;
                model.effective_radius(ro, ri).map_err(fault)
            })
            .collect::<Fallible<_>>()?;
        ours["effective_radius"] = json!(radii);
    }
    if !case["variants"].is_array() {
        // Without variants the only one may stand at the top.
        for key in ["rows", "locks", "changeovers"] {
            ours[key] = ours["variants"][0][key].clone();
        }
    }
    Ok(ours)
}

fn finding_word(f: ResidualFinding) -> &'static str {
    match f {
        ResidualFinding::Missing => "missing",
        ResidualFinding::NotNeeded => "not_needed",
        ResidualFinding::MoreThanOne => "two_in_series",
        ResidualFinding::WrongRating => "wrong_rating",
        ResidualFinding::DoesNotHold => "does_not_hold",
    }
}

fn residual(case: &Value) -> Fallible<Value> {
    let mut rows = Vec::new();
    for c in case["circuits"].as_array().ok_or("no circuits")? {
        let verdict = ResidualBranch {
            kind: match c["kind"].as_str() {
                Some("disc") => BranchKind::Disc,
                Some("drum") => BranchKind::Drum,
                kind => return Err(format!("circuit of kind {kind:?}")),
            },
            cup_expanders: c["cup_expanders"].as_bool().unwrap_or(false),
            fluid_height: number(c, &["reservoir_z", "fluid_z"])?,
            highest_bore: number(c, &["highest_z"])?,
            valves: numbers(&c["valves"])
                .into_iter()
                .map(|p| (Fitted::Line, p))
                .collect(),
        }
        .judge()
        .map_err(fault)?;
        rows.push(json!({
            "head": verdict.head,
            "needed": verdict.needed,
            "count": verdict.count,
            "held": verdict.held,
            "pressure_at_wheel": verdict.pressure_at_wheel,
            "findings": verdict.findings.iter().map(|f| finding_word(*f)).collect::<Vec<_>>(),
        }));
    }
    let mut drags = Vec::new();
    if let Some(brakes) = case["brakes"].as_array() {
        for b in brakes {
            let brake = brake(b)?;
            for p in numbers(&case["pressures"]) {
                let d = drag(&brake, p, 0.3, 0.0).map_err(fault)?;
                drags.push(json!({"pressure": p, "torque_per_wheel": d.torque_per_wheel}));
            }
        }
    }
    Ok(json!({"rows": rows, "drag": drags}))
}

fn parking(case: &Value) -> Fallible<Value> {
    let p = &case["parking"];
    let car_value = &case["car"];
    let foundation = match p["kind"].as_str() {
        Some("drum") => {
            let both = p["shoe_factor"].as_f64();
            let one = |way: &str| {
                both.or_else(|| p["shoe_factor"][way].as_f64())
                    .ok_or_else(|| format!("no shoe factor {way}"))
            };
            Foundation::Drum {
                factor_nose_up: one("nose_up")?,
                factor_nose_down: one("nose_down")?,
                drum_radius: number(p, &["drum_radius"])?,
            }
        }
        Some("disc") => Foundation::Disc {
            mu: number(p, &["mu"])?,
            effective_radius: number(p, &["effective_radius"])?,
        },
        kind => return Err(format!("parking brake of kind {kind:?}")),
    };
    let brake = ParkingBrake {
        hand_force: number(p, &["hand_force", "foot_force", "force"])?,
        lever_ratio: number(p, &["lever_ratio"])?,
        cable_efficiency: any(p, &["cable_efficiency", "efficiency"]).unwrap_or(1.0),
        wheel_lever_ratio: any(p, &["wheel_lever_ratio"]).unwrap_or(1.0),
        foundation,
        loaded_radius: number(p, &["loaded_radius"])?,
    };
    let car = car(car_value)?;
    let mu = number(car_value, &["tyre_mu", "mu"])?;
    let way = |h: &GradeHold| {
        json!({
            "torque_per_wheel": h.torque_per_wheel,
            "force": h.force,
            "grade_by_brake": h.grade_by_brake,
            "grade_by_tyre": h.grade_by_tyre,
            "max_grade": h.max_grade,
            "limited_by": if h.tyre_limited { "tyre" } else { "brake" },
            "needed_force": h.needed_force,
            "rear_load": h.rear_load,
            "holds": h.holds,
            "hand_force_needed": h.hand_force_needed,
        })
    };
    let mut rows = Vec::new();
    for grade in numbers(&case["grades"]) {
        let row = brake.on_grade(&car, mu, grade).map_err(fault)?;
        rows.push(json!({
            "cable_tension_each": row.cable_tension_each,
            "actuating_force": row.actuating_force,
            "nose_up": way(&row.nose_up),
            "nose_down": way(&row.nose_down),
        }));
    }
    Ok(json!({"rows": rows}))
}

pub fn compare(case: &Value, report: &mut Report) {
    let ours = match case["kind"].as_str() {
        Some("brake_balance") => balance(case),
        Some("residual_valves") => residual(case),
        _ => parking(case),
    };
    let ours = match ours {
        Ok(ours) => ours,
        Err(fault) => return report.check("case", false, || fault),
    };
    let relative = case["tolerance"]["relative"].as_f64().unwrap_or(1e-8);
    let floor = case["tolerance"]["absolute_floor"].as_f64().unwrap_or(0.0);
    report.tree(
        "",
        "",
        Some(&whole(&ours)),
        &whole(&case["expected"]),
        &|_, want| Some((relative * want.abs()).max(floor)),
    );
}

/// A tree whose numbers are all floating point: 0 and 0.0 are the same figure.
pub fn whole(v: &Value) -> Value {
    match v {
        Value::Number(n) => n.as_f64().map_or(Value::Null, Value::from),
        Value::Array(a) => a.iter().map(whole).collect(),
        Value::Object(o) => Value::Object(o.iter().map(|(k, v)| (k.clone(), whole(v))).collect()),
        other => other.clone(),
    }
}
