//! Readings of the run.

use vehicle::run::{Limit, Mark, Reading as SlipReading};

use super::super::{Band, Certainty, Definition, NoValue, Reading};
use super::RunStudy;
use crate::{Build, GoalOver};

pub(in super::super) fn readings(
    b: &Build,
    study: &RunStudy,
    d: &'static Definition,
    asked: Option<Band>,
) -> Vec<Reading> {
    let none = |why: &str| NoValue::Because(why.to_owned());
    let run = study
        .run
        .as_ref()
        .map_err(|why| NoValue::Because(why.show(&units::Shop::default())));
    let slip = |reading: SlipReading| match &run {
        Ok(run) => run
            .slip
            .reading(reading)
            .ok_or_else(|| none("the car does not reach 60 mph in a quarter mile")),
        Err(why) => Err(why.clone()),
    };
    let of = |pick: &dyn Fn(&vehicle::run::Run) -> f64| match &run {
        Ok(run) => Ok(pick(run)),
        Err(why) => Err(why.clone()),
    };
    let (value, over) = match d.id {
        "run.sixty_foot" => (
            slip(SlipReading::Clock(Mark::SixtyFoot)),
            Some(GoalOver::SixtyFoot),
        ),
        "run.three_thirty" => (slip(SlipReading::Clock(Mark::ThreeThirty)), None),
        "run.eighth" => (
            slip(SlipReading::Clock(Mark::Eighth)),
            Some(GoalOver::Eighth),
        ),
        "run.thousand" => (slip(SlipReading::Clock(Mark::Thousand)), None),
        "run.quarter" => (
            slip(SlipReading::Clock(Mark::Quarter)),
            Some(GoalOver::Quarter),
        ),
        "run.quarter.speed" => (slip(SlipReading::QuarterTrap), None),
        "run.zero_sixty" => (slip(SlipReading::ZeroSixty), Some(GoalOver::ZeroSixty)),
        "run.zero_sixty.rollout" => (
            slip(SlipReading::ZeroSixtyRollout),
            Some(GoalOver::ZeroSixtyRollout),
        ),
        "run.peak_g" => (of(&|r| r.peak.acceleration), None),
        "run.traction_limited_share" => (of(&|r| r.share(Limit::Traction)), None),
        "run.wheel_stand_share" => (of(&|r| r.share(Limit::WheelStand)), None),
        "run.nose_up" => (of(&|r| r.extremes.nose_up_max.value), None),
        "run.front_rise" => (of(&|r| -r.extremes.front_travel_min.value), None),
        "run.preload_shift" => (
            match &study.preload_shift {
                Ok(newtons) => Ok(newtons / vehicle::STANDARD_GRAVITY),
                Err(why) => Err(NoValue::Because(why.show(&units::Shop::default()))),
            },
            None,
        ),
        "run.measured_cg_height" => (
            match &study.height {
                None => Err(none("no raised-axle weighing is entered")),
                Some(Err(why)) => Err(NoValue::Because(why.show(&units::Shop::default()))),
                Some(Ok(h)) => Ok(h.height),
            },
            None,
        ),
        "run.cross_weight" => (
            match &study.corners {
                None => Err(none("no corner weights are entered")),
                Some(Err(why)) => Err(NoValue::Because(why.show(&units::Shop::default()))),
                Some(Ok(c)) => Ok(0.01 * c.cross_percent),
            },
            None,
        ),
        _ => return Vec::new(),
    };
    let certainty = match (&study.height, d.id) {
        (Some(Ok(h)), "run.measured_cg_height") => Certainty::Estimate {
            low: h.height - 2.0 * h.sigma,
            high: h.height + 2.0 * h.sigma,
            basis: "errors of the scales and the tape, two standard deviations".to_owned(),
        },
        _ => Certainty::Exact,
    };
    let goal = b.run.goal.filter(|g| over == Some(g.over)).map(|g| Band {
        low: 0.0,
        high: g.time.si(),
    });
    vec![Reading {
        definition: d,
        of: None,
        value,
        certainty,
        band: asked.or(goal),
    }]
}
