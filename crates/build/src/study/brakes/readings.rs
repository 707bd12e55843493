//! Readings of the brakes.

use vehicle::STANDARD_GRAVITY;

use super::{Band, BrakeStudy, Certainty, Definition, NoValue, Of, Phrase, Reading};
use crate::Build;

/// Readings of a definition.
pub(in crate::study) fn readings(
    _b: &Build,
    s: Option<&BrakeStudy>,
    d: &'static Definition,
    asked: impl Fn(Option<&Of>) -> Option<Band>,
) -> Vec<Reading> {
    let value = match s {
        None => Err(because("no brakes are laid out yet")),
        Some(s) => value(s, d.id),
    };
    vec![Reading {
        definition: d,
        of: None,
        value,
        certainty: Certainty::Exact,
        band: asked(None),
    }]
}

fn because(why: &str) -> NoValue {
    NoValue::Because(why.to_owned())
}

fn said(why: &Phrase) -> NoValue {
    NoValue::Because(why.show(&units::Shop::default()))
}

fn value(s: &BrakeStudy, id: &str) -> Result<f64, NoValue> {
    let balance = || s.balance.as_ref().map_err(said);
    let lock = || {
        balance()?
            .first_lock
            .ok_or_else(|| because("no wheel locks up to the greatest foot force looked at"))
    };
    let travel = || s.travel.as_ref().map_err(said);
    let verdict = |i: usize| {
        let line: &super::LineStudy = &s.lines[i];
        line.verdict.as_ref().map_err(said)
    };
    let parking = || match &s.parking {
        None => Err(because("no parking brake is entered")),
        Some(p) => p.as_ref().map_err(said),
    };
    let back = || match &s.pedal_return {
        None => Err(because("what brings the pedal back is not entered")),
        Some(p) => p.as_ref().map_err(said),
    };
    let stop = || s.stop.as_ref().map_err(said);
    let rise = |i: usize| match &stop()?.heat[i] {
        None => Err(because("no rotor is entered")),
        Some(h) => h.as_ref().map_err(said),
    };
    Ok(match id {
        "brakes.pressure.front" => balance()?.at_foot.front.wheel_pressure,
        "brakes.pressure.rear" => balance()?.at_foot.rear.wheel_pressure,
        "brakes.demand" => balance()?.at_foot.demand_z * STANDARD_GRAVITY,
        "brakes.unassisted" => {
            let row = balance()?.unassisted.as_ref();
            row.ok_or_else(|| because("there is no booster"))?.demand_z * STANDARD_GRAVITY
        }
        "brakes.front_share" => balance()?
            .at_foot
            .front_share
            .ok_or_else(|| because("the foot force looked at does not brake"))?,
        "brakes.first_lock.pedal" => lock()?.pedal_force,
        "brakes.first_lock.rate" => lock()?.z * STANDARD_GRAVITY,
        "brakes.efficiency" => lock()?.efficiency,
        "brakes.rear_first" => {
            let z = balance()?.rear_first;
            z.ok_or_else(|| because("the front locks first at every rate the tyres hold"))?
                * STANDARD_GRAVITY
        }
        "brakes.pedal_travel" => travel()?.used.pedal_travel,
        "brakes.stroke_share" => travel()?.used.share,
        "brakes.residual.front" => verdict(0)?.held,
        "brakes.residual.rear" => verdict(1)?.held,
        "brakes.valves.front" => verdict(0)?.count as f64,
        "brakes.valves.rear" => verdict(1)?.count as f64,
        "brakes.return_least" => back()?.least.pad_force,
        "brakes.return_margin" => back()?
            .margin
            .ok_or_else(|| because("no friction is entered"))?,
        "brakes.parking.up" | "brakes.parking.down" => {
            let p = parking()?;
            let way = if id.ends_with("up") {
                &p.nose_up
            } else {
                &p.nose_down
            };
            way.max_grade
                .ok_or_else(|| because("it holds on any grade"))?
        }
        "brakes.parking.force" => {
            let p = parking()?;
            p.nose_up
                .hand_force_needed
                .max(p.nose_down.hand_force_needed)
        }
        "brakes.rotor_rise.front" => rise(0)?.mean_rise,
        "brakes.rotor_rise.rear" => rise(1)?.mean_rise,
        "brakes.stop_distance" => stop()?.distance,
        _ => return Err(because("there is no such reading")),
    })
}
