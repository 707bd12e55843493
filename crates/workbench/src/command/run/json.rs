//! Everything the run study knows, SI, for programs.
//!
//! A quantity is an object: `value` (SI, or null with a `reason`), `unit`, `display`. Readings go by the
//! ids of the gauges (`run.sixty_foot`).

use build::{Build, GoalStudy, Run, RunLimit, RunPlan, SlipReading, StripMark, Study};
use serde_json::{Map, Value, json};
use units::{Kind, Shop};
use vehicle::run::Extreme;

use super::super::output::reading_json;
use super::{
    CAUTIONS, amount, difference, distance, over, parameter_kind, slip_kind, slip_reading, stop,
    work,
};

fn known(kind: Kind, si: f64, shop: &Shop) -> Value {
    json!({ "value": si, "unit": kind.si_unit(), "display": units::format(kind, si, shop) })
}

fn unknown(kind: Kind, reason: &str) -> Value {
    json!({ "value": null, "unit": kind.si_unit(), "reason": reason })
}

fn way(si: f64, shop: &Shop) -> Value {
    json!({ "value": si, "unit": "m", "display": distance(si, shop) })
}

/// A reading of the slip, or that it is not reached.
pub(in crate::command) fn reading_of(r: SlipReading, value: Option<f64>, shop: &Shop) -> Value {
    let kind = slip_kind(r);
    value.map_or_else(
        || unknown(kind, "not reached in a quarter mile"),
        |v| known(kind, v, shop),
    )
}

pub(super) fn json(b: &Build, study: &Study, shop: &Shop) -> Value {
    let plan = study.run.plan();
    let readings = study.readings.iter();
    let readings: Vec<Value> = readings
        .filter(|r| r.id().starts_with("run."))
        .map(|r| reading_json(r, shop))
        .collect();
    let mut out = json!({
        "build": b.name,
        "revision": b.revision,
        "cautions": CAUTIONS,
        "readings": readings,
        "goal": study.run.goal.as_ref().map(|g| goal(g, shop)),
        "weather": {
            "temperature": known(Kind::Temperature, b.run.weather.temperature.si(), shop),
            "pressure": known(Kind::Pressure, b.run.weather.pressure.si(), shop),
            "humidity": known(Kind::Ratio, b.run.weather.humidity.si(), shop),
        },
        "weighing": weighing(study, shop),
    });
    match &study.run.run {
        Ok(r) => {
            out["run"] = run(b, r, shop);
        }
        Err(why) => {
            out["run"] = Value::Null;
            out["reason"] = json!(why.show(shop));
        }
    }
    match &plan {
        Ok(p) => {
            out["uncertainty"] = bars(p, shop);
            out["changes"] = changes(p, shop);
            out["sensitivities"] = sensitivities(p, shop);
        }
        Err(why) => {
            for key in ["uncertainty", "changes", "sensitivities"] {
                out[key] = Value::Null;
            }
            out["plan_reason"] = json!(why.show(shop));
        }
    }
    out
}

fn run(b: &Build, r: &Run, shop: &Shop) -> Value {
    let marks: Vec<Value> = StripMark::ALL
        .into_iter()
        .map(|m| {
            json!({
                "id": slip_reading(SlipReading::Clock(m)).0,
                "distance": way(m.travel(), shop),
                "clock": known(Kind::Time, r.slip.clock(m), shop),
                "from_first_motion": known(Kind::Time, r.slip.from_first_motion[m.index()], shop),
                "speed": known(Kind::Speed, r.slip.speed[m.index()], shop),
            })
        })
        .collect();
    let slip = |x: SlipReading| reading_of(x, r.slip.reading(x), shop);
    let limits: Vec<Value> = RunLimit::ALL
        .into_iter()
        .map(|l| {
            json!({
                "limit": l.to_string(),
                "time": known(Kind::Time, r.seconds(l), shop),
                "share": known(Kind::Ratio, r.share(l), shop),
            })
        })
        .collect();
    let switches: Vec<Value> = r
        .switches
        .iter()
        .map(|s| {
            json!({
                "time": known(Kind::Time, s.time, shop),
                "from": s.from.to_string(),
                "to": s.to.to_string(),
                "at_event": s.at_event,
            })
        })
        .collect();
    let events: Vec<Value> = r
        .events
        .iter()
        .map(|e| {
            json!({
                "event": e.kind.to_string(),
                "gear": e.gear,
                "time": known(Kind::Time, e.time, shop),
                "distance": way(e.travel, shop),
                "speed": known(Kind::Speed, e.speed, shop),
            })
        })
        .collect();
    let stops: Vec<Value> = r
        .stops
        .iter()
        .map(|s| {
            json!({
                "stop": stop(s.stop),
                "time": known(Kind::Time, s.time, shop),
                "pressed": known(Kind::Length, s.pressed, shop),
                "force": known(Kind::Force, s.force, shop),
            })
        })
        .collect();
    let air = r.model().air();
    json!({
        "rollout": known(Kind::Length, b.run.rollout.si(), shop),
        "clock_start": known(Kind::Time, r.slip.clock_start, shop),
        "marks": marks,
        "eighth_speed": slip(SlipReading::EighthTrap),
        "quarter_speed": slip(SlipReading::QuarterTrap),
        "zero_sixty": slip(SlipReading::ZeroSixty),
        "zero_sixty_rollout": slip(SlipReading::ZeroSixtyRollout),
        "peak": {
            "acceleration": known(Kind::Acceleration, r.peak.acceleration, shop),
            "time": known(Kind::Time, r.peak.time, shop),
        },
        "limits": limits,
        "switches": switches,
        "events": events,
        "extremes": extremes(r, shop),
        "stops": stops,
        "energy": energy(r, shop),
        "air": {
            "density": { "value": air.density, "unit": "kg/m³", "display": format!("{:.3} kg/m³", air.density) },
            "vapour_pressure": known(Kind::Pressure, air.vapour_pressure, shop),
            "dry_pressure": known(Kind::Pressure, air.dry_pressure, shop),
            "j1349_factor": known(Kind::Count, air.cf_j1349, shop),
            "j1349_in_range": air.within_j1349(),
            "torque_corrected": b.run.correct_power,
        },
    })
}

fn extremes(r: &Run, shop: &Shop) -> Value {
    let x = &r.extremes;
    let one = |kind: Kind, e: Extreme| {
        let mut v = known(kind, e.value, shop);
        v["time"] = json!(e.time);
        v
    };
    json!({
        "nose_up_max": one(Kind::Angle, x.nose_up_max),
        "front_travel_min": one(Kind::Length, x.front_travel_min),
        "front_travel_max": one(Kind::Length, x.front_travel_max),
        "rear_travel_min": one(Kind::Length, x.rear_travel_min),
        "rear_travel_max": one(Kind::Length, x.rear_travel_max),
        "front_load_min": one(Kind::Force, x.front_load_min),
        "front_load_max": one(Kind::Force, x.front_load_max),
        "rear_load_min": one(Kind::Force, x.rear_load_min),
        "rear_load_max": one(Kind::Force, x.rear_load_max),
    })
}

fn energy(r: &Run, shop: &Shop) -> Value {
    let e = match r.energy() {
        Ok(e) => e,
        Err(why) => return json!({ "reason": why.to_string() }),
    };
    let parts = [
        ("engine", e.engine),
        ("slip_and_held", e.slip_and_held),
        ("driveline", e.driveline),
        ("drag", e.drag),
        ("rolling", e.rolling),
        ("rotating", e.rotating),
        ("engine_rotor", e.engine_rotor),
        ("kinetic", e.kinetic),
        ("damper", e.damper),
        ("imbalance", e.imbalance()),
    ];
    let parts = parts.map(|(key, joules)| {
        (
            key.to_owned(),
            json!({ "value": joules, "unit": "J", "display": work(joules, shop) }),
        )
    });
    Value::Object(Map::from_iter(parts))
}

fn goal(g: &GoalStudy, shop: &Shop) -> Value {
    let none = "there is no such time";
    let time = |t: Option<f64>| {
        t.map_or_else(|| unknown(Kind::Time, none), |t| known(Kind::Time, t, shop))
    };
    json!({
        "id": slip_reading(build::reading_over(g.goal.over)).0,
        "over": over(g.goal.over),
        "wanted": known(Kind::Time, g.goal.time.si(), shop),
        "predicted": time(g.predicted),
        "too_slow_by": time(g.over),
        "met": g.over.map(|by| by <= 0.0),
    })
}

fn bars(p: &RunPlan, shop: &Shop) -> Value {
    let bars = p.bars.iter().map(|bar| {
        let kind = slip_kind(bar.reading);
        let from: Vec<Value> = bar
            .contributions
            .iter()
            .map(|c| {
                json!({
                    "input": c.parameter.to_string(),
                    "value": c.amount,
                    "unit": kind.si_unit(),
                    "display": difference(kind, c.amount, shop),
                    "kinked": c.kinked,
                })
            })
            .collect();
        json!({
            "id": slip_reading(bar.reading).0,
            "value": bar.value,
            "sigma": bar.sigma,
            "unit": kind.si_unit(),
            "display": format!("{} ± {}", units::format(kind, bar.value, shop), build::show_to(kind, bar.sigma, 0.1, shop)),
            "from": from,
        })
    });
    Value::Array(bars.collect())
}

fn changes(p: &RunPlan, shop: &Shop) -> Value {
    let one = |c: &build::GoalChange| {
        json!({
            "input": c.parameter.to_string(),
            "by": {
                "value": c.by,
                "unit": parameter_kind(c.parameter).si_unit(),
                "display": amount(c.parameter, c.by, shop),
            },
            "then": known(Kind::Time, c.then, shop),
            "meets": c.meets,
        })
    };
    Value::Array(p.changes.iter().map(one).collect())
}

fn sensitivities(p: &RunPlan, shop: &Shop) -> Value {
    let effects = p.sensitivities.effects.iter().map(|e| {
        let slopes = SlipReading::ALL.into_iter().map(|r| {
            let (kind, unit) = (slip_kind(r), parameter_kind(e.parameter).si_unit());
            let slope = e.slope(r).map(|s| {
                json!({
                    "value": s.central,
                    "unit": format!("{} per {unit}", kind.si_unit()),
                    "display": format!("{} for {}", difference(kind, s.central * e.step, shop), amount(e.parameter, e.step, shop)),
                    "below": s.below,
                    "above": s.above,
                    "kinked": s.kinked,
                })
            });
            (slip_reading(r).0.to_owned(), json!(slope))
        });
        json!({
            "input": e.parameter.to_string(),
            "step": {
                "value": e.step,
                "unit": parameter_kind(e.parameter).si_unit(),
                "display": amount(e.parameter, e.step, shop),
            },
            "slopes": Value::Object(Map::from_iter(slopes)),
            "no_run_below": e.below.as_ref().map(ToString::to_string),
            "no_run_above": e.above.as_ref().map(ToString::to_string),
        })
    });
    Value::Array(effects.collect())
}

fn weighing(study: &Study, shop: &Shop) -> Value {
    let corners = match &study.run.corners {
        None => json!({ "reason": "no corner weights are entered" }),
        Some(Err(why)) => json!({ "reason": why.show(shop) }),
        Some(Ok(c)) => json!({
            "weight": known(Kind::Force, c.weight, shop),
            "front": known(Kind::Ratio, 0.01 * c.front_percent, shop),
            "left": known(Kind::Ratio, 0.01 * c.left_percent, shop),
            "cross": known(Kind::Ratio, 0.01 * c.cross_percent, shop),
            "cg_station": known(Kind::Length, c.cg_station, shop),
            "cg_offset": known(Kind::Length, c.cg_offset, shop),
            "rear_bite": known(Kind::Force, c.rear_bite, shop),
        }),
    };
    let height = match &study.run.height {
        None => unknown(Kind::Length, "no weighing with an axle raised is entered"),
        Some(Err(why)) => unknown(Kind::Length, &why.show(shop)),
        Some(Ok(h)) => {
            let mut v = known(Kind::Length, h.height, shop);
            v["sigma"] = json!(h.sigma);
            v
        }
    };
    json!({ "corners": corners, "cg_height": height })
}
