//! What is to be said about the run.

use vehicle::run::{Limit, Stop};

use super::super::{Finding, Part, Phrase, Severity};
use super::RunStudy;
use crate::Build;

/// Weights that differ by more than this share do not belong together.
const APART: f64 = 0.01;

/// Which stop, as a sentence begins.
fn stop_words(stop: Stop) -> &'static str {
    match stop {
        Stop::FrontBump => "The front bump stop",
        Stop::FrontDroop => "The front droop stop",
        Stop::RearBump => "The rear bump stop",
        Stop::RearDroop => "The rear droop stop",
    }
}

pub(in super::super) fn findings(b: &Build, study: &RunStudy, out: &mut Vec<Finding>) {
    let mut say = |severity, part, text: Phrase, next: &str| {
        out.push(Finding::new(severity, part, text, next));
    };
    let entered = !b.run.torque.is_empty() || !b.run.gears.is_empty();
    match &study.run {
        Err(why) if entered => say(
            Severity::Warning,
            Part::Phase("goal".to_owned()),
            Phrase::from("No run: ").join(why.clone()),
            "Complete the engine, gears and car data of the goal phase",
        ),
        Err(_) => {}
        Ok(run) => {
            let rear = &run.car().rear;
            for (field, stands, stop, way, end) in [
                (
                    "run.rear.bump_stop",
                    b.run.rear.bump_stop.si(),
                    rear.bump_stop,
                    "bump",
                    "in or bound solid",
                ),
                (
                    "run.rear.droop_stop",
                    b.run.rear.droop_stop.si(),
                    rear.droop_stop,
                    "droop",
                    "out",
                ),
            ] {
                if stop < stands - 1e-6 {
                    say(
                        Severity::Remark,
                        Part::Field(field),
                        Phrase::from(format!("A rear coil-over is all the way {end} at "))
                            .len(stop)
                            .t(format!(" of {way}, before the stop at "))
                            .len(stands)
                            .t(": the run ends the travel there"),
                        "Set the stop to touch first, or another length of shock",
                    );
                }
            }
            if run.share(Limit::WheelStand) > 0.0 {
                say(
                    Severity::Warning,
                    Part::Phase("goal".to_owned()),
                    Phrase::from("The front wheels leave the ground for ")
                        .q(units::Kind::Ratio, run.share(Limit::WheelStand))
                        .t(" of the run"),
                    "Bars and a licensed inspector's eye before such a launch; weight forward or lower",
                );
            }
            for stop in &run.stops {
                say(
                    Severity::Remark,
                    Part::Phase("goal".to_owned()),
                    Phrase::from(format!(
                        "{} is touched {:.2} s into the run",
                        stop_words(stop.stop),
                        stop.time
                    )),
                    "More spring, more damping that way, or more travel",
                );
            }
            if run.seconds(Limit::RevLimit) > 0.0 {
                say(
                    Severity::Remark,
                    Part::Phase("goal".to_owned()),
                    Phrase::from(format!(
                        "The engine is at the end of its curve in the last gear for {:.1} s",
                        run.seconds(Limit::RevLimit)
                    )),
                    "A taller final drive, or more rpm on the torque curve",
                );
            }
            if b.run.correct_power && !run.model().air().within_j1349() {
                say(
                    Severity::Remark,
                    Part::Field("run.weather.pressure"),
                    Phrase::from(format!(
                        "The power correction of {:.3} is outside the range SAE J1349 uses (0.93 to 1.07, from memory)",
                        run.model().air().cf_j1349
                    )),
                    "Measure the engine nearer to this air",
                );
            }
        }
    }
    if let Some(goal) = &study.goal
        && let (Some(over), Some(predicted)) = (goal.over, goal.predicted)
        && over > 0.0
    {
        say(
            Severity::Remark,
            Part::Phase("goal".to_owned()),
            Phrase::from(format!(
                "The goal is missed by {over:.2} s: {predicted:.2} s predicted"
            )),
            "See the goal page for what limits it and the easiest change",
        );
    }
    if let Some(Ok(c)) = &study.corners {
        let weighed = c.weight / vehicle::STANDARD_GRAVITY;
        let mass = b.car.mass.si();
        if (weighed / mass - 1.0).abs() > APART {
            say(
                Severity::Remark,
                Part::Field("car.mass"),
                Phrase::from("The scales say ")
                    .q(units::Kind::Mass, weighed)
                    .t(", the build ")
                    .q(units::Kind::Mass, mass),
                "Take the weights from the scales, or weigh again",
            );
        }
    }
    if let Some(Ok(h)) = &study.height {
        let off = h.height - b.car.cg_height.si();
        if off.abs() > 2.0 * h.sigma {
            say(
                Severity::Remark,
                Part::Field("car.cg_height"),
                Phrase::from("The raised axle puts the centre of gravity at ")
                    .len(h.height)
                    .t(" ± ")
                    .len(2.0 * h.sigma)
                    .t(", the build at ")
                    .len(b.car.cg_height.si()),
                "Take the measured height, or weigh again with a higher lift",
            );
        }
    }
}
