//! Readings from the parts, and findings about the car and its targets.

use geometry::{AxleState, InstantCentre};
use vehicle::{Body, STANDARD_GRAVITY};

use super::{
    Band, BrakeStudy, Certainty, ClearanceStudy, DEFINITIONS, Definition, DrivelineStudy, Finding,
    FitUpStudy, FrameStudy, FrontStudy, LaunchStudy, Motion, NoValue, Of, Part, Phrase, Reading,
    RearStudy, RunStudy, Severity, TubesStudy, WeldStudy, brakes, clearance, definition,
    definitions::of_driveline, driveline, frame, front, run, tubes, welding,
};
use crate::Build;

/// What readings are taken from.
pub(super) struct Studies<'a> {
    pub rear: &'a RearStudy,
    pub launch: &'a LaunchStudy,
    pub fit_up: &'a FitUpStudy,
    pub weld: &'a WeldStudy,
    pub tubes: &'a TubesStudy,
    pub frame: &'a FrameStudy,
    pub run: &'a RunStudy,
    pub front: Option<&'a FrontStudy>,
    pub brakes: Option<&'a BrakeStudy>,
    pub driveline: Option<&'a DrivelineStudy>,
    pub clearance: Option<&'a ClearanceStudy>,
}

pub(super) fn readings(b: &Build, all: &Studies<'_>) -> Vec<Reading> {
    let &Studies {
        rear,
        launch,
        fit_up,
        weld,
        ..
    } = all;
    let car = &b.car;
    let body = Body::new(
        car.mass.si(),
        car.wheelbase.si(),
        car.cg_height.si(),
        car.rear_share.si(),
    )
    .map_err(|e| NoValue::Because(e.to_string()));
    let kilograms = |newtons: f64| newtons / STANDARD_GRAVITY;
    DEFINITIONS
        .iter()
        .flat_map(|d| {
            if d.id.starts_with("run.") {
                return run::readings(b, all.run, d, band(b, d, None));
            }
            let asked = |of: Option<&Of>| band(b, d, of);
            if d.id.starts_with("front.") {
                return front::readings(b, all.front, d, asked);
            }
            if d.id.starts_with("brakes.") {
                return brakes::readings(b, all.brakes, d, asked);
            }
            if of_driveline(d) {
                return driveline::readings(b, all.driveline, d, asked);
            }
            if d.id.starts_with("clearance.") {
                return clearance::readings(b, all.clearance, d, asked);
            }
            if d.id.starts_with("frame.") {
                return vec![frame::reading(all.frame, d, band(b, d, None))];
            }
            if d.id.starts_with("weld.") {
                return welding::readings(b, weld, d, asked);
            }
            if d.id.starts_with("tube") {
                return tubes::readings(all.tubes, d, asked);
            }
            if d.family {
                return launch
                    .family(b, rear, d)
                    .into_iter()
                    .map(|(of, value)| {
                        let band = band(b, d, Some(&of));
                        Reading {
                            definition: d,
                            of: Some(of),
                            value,
                            certainty: Certainty::Exact,
                            band,
                        }
                    })
                    .collect();
            }
            let value = match d.id {
                "car.front_weight" => body.clone().map(|b| kilograms(b.front_load())),
                "car.rear_weight" => body.clone().map(|b| kilograms(b.rear_load())),
                "car.transfer_per_g" => body
                    .clone()
                    .map(|b| kilograms(b.transfer(STANDARD_GRAVITY))),
                "fit_up.worst_gap" => fit_up
                    .worst_gap
                    .ok_or_else(|| NoValue::Because("no gap is logged yet".to_owned())),
                "fit_up.pull_in" => fit_up
                    .largest_pull()
                    .map(|s| s.point)
                    .ok_or_else(|| NoValue::Because("no joint has an estimate yet".to_owned())),
                "fit_up.out_of_limit" => Ok(fit_up.out_of_limit as f64),
                "fit_up.unlogged" => Ok(fit_up.unlogged as f64),
                id if id.starts_with("rear.") => match &rear.motion {
                    Ok(motion) => rear_value(d, motion),
                    Err(e) => Err(NoValue::Because(e.to_string())),
                },
                _ => launch.value(b, d),
            };
            vec![Reading {
                definition: d,
                of: None,
                value,
                certainty: certainty(d, fit_up),
                band: band(b, d, None),
            }]
        })
        .map(finite)
        .collect()
}

/// A value beyond all bounds is none: it was divided by a distance that is not there.
fn finite(mut r: Reading) -> Reading {
    if r.value.as_ref().is_ok_and(|v| !v.is_finite()) {
        let why = "points that it is measured between fall together: move them apart";
        r.value = Err(NoValue::Because(why.to_owned()));
    }
    r
}

/// Geometry and counts are exact; what a weld pulls in is an estimate.
fn certainty(d: &Definition, fit_up: &FitUpStudy) -> Certainty {
    match fit_up.largest_pull() {
        Some(s) if d.id == "fit_up.pull_in" => Certainty::Estimate {
            low: s.low,
            high: s.high,
            basis: if s.out_of_range {
                "outside every formula's range, widened".to_owned()
            } else {
                "published estimates side by side".to_owned()
            },
        },
        _ => Certainty::Exact,
    }
}

fn band(b: &Build, d: &Definition, of: Option<&Of>) -> Option<Band> {
    let asked = match of {
        None => b.target(d.id),
        Some(of) => b.target(&format!("{}.{}", d.id, of.id)),
    };
    let asked = asked.filter(|t| fits(d, t.low.kind));
    match (asked, d.band) {
        (Some(t), _) => Some(Band {
            low: t.low.si,
            high: t.high.si,
        }),
        (None, band) => band.map(|(low, high)| Band { low, high }),
    }
}

pub(super) fn fits(d: &Definition, kind: units::Kind) -> bool {
    d.kind == kind || d.band_kind() == kind
}

fn rear_value(d: &Definition, motion: &Motion) -> Result<f64, NoValue> {
    let worst = |states: &[AxleState], f: fn(&AxleState) -> f64| {
        states
            .iter()
            .map(f)
            .fold(0.0, |a: f64, v| if v.abs() > a.abs() { v } else { a })
    };
    let cut = |c: &geometry::Curve, word| {
        (c.low_limit.is_some() || c.high_limit.is_some())
            .then(|| {
                NoValue::Because(format!(
                    "the links stop reaching before the end of the {word} looked at"
                ))
            })
            .map_or(Ok(()), Err)
    };
    match d.id {
        "rear.bind.stretch" => cut(&motion.roll, "roll")?,
        "rear.axle.recession" | "rear.pinion.change" => cut(&motion.travel, "travel")?,
        _ => {}
    }
    match d.id {
        "rear.bind.stretch" => Ok(worst(&motion.roll.states, |s| s.bind_max)),
        "rear.axle.recession" => Ok(worst(&motion.travel.states, |s| s.recession)),
        "rear.pinion.change" => {
            let angles = motion.travel.states.iter().map(|s| s.pinion_up);
            let low = angles.clone().fold(f64::INFINITY, f64::min);
            Ok(angles.fold(f64::NEG_INFINITY, f64::max) - low)
        }
        _ => d
            .in_pose
            .and_then(|f| f(&motion.ride))
            .ok_or(match motion.ride.instant_centre {
                InstantCentre::Infinity { slope } => NoValue::AtInfinity { lean: slope },
                InstantCentre::At { .. } => NoValue::Because("no value at ride height".to_owned()),
            }),
    }
}

pub(super) fn car(b: &Build, out: &mut Vec<Finding>) {
    let (front, rear) = (&b.car.front, &b.car.rear);
    for (wheels, field, which) in [
        (front, "car.front.loaded_radius", "front"),
        (rear, "car.rear.loaded_radius", "rear"),
    ] {
        if wheels.loaded_radius.si() > 0.5 * wheels.tyre_diameter.si() {
            out.push(Finding::new(
                Severity::Warning,
                Part::Field(field),
                Phrase::from(format!("The {which} wheel centre stands "))
                    .len(wheels.loaded_radius.si())
                    .t(" up, more than half its tyre's diameter"),
                "Measure floor to wheel centre with the car on its wheels",
            ));
        }
    }
    let rail = b.frame.offset.si() + b.frame.width.si();
    let tyre = 0.5 * rear.track.si() - 0.5 * rear.tyre_width.si();
    let gap = tyre - rail;
    if gap < INCH {
        let text = if gap < 0.0 {
            Phrase::from("The rear tyre stands ")
                .len(-gap)
                .t(" into the rail")
        } else {
            Phrase::from("Only ")
                .len(gap)
                .t(" between rear tyre and rail")
        };
        out.push(Finding::new(
            if gap < 0.0 {
                Severity::Error
            } else {
                Severity::Warning
            },
            Part::Field("frame.offset"),
            text,
            "Narrow the frame, or choose wheels with less backspacing; bias tyres grow at speed",
        ));
    }
}

/// Least clearance beside a tyre, m: one inch (common practice, no source).
const INCH: f64 = 0.0254;

pub(super) fn targets(b: &Build, readings: &[Reading], out: &mut Vec<Finding>) {
    for t in &b.targets {
        let part = || Part::Reading(t.reading.clone());
        match definition(&t.reading) {
            None => out.push(Finding::new(
                Severity::Warning,
                part(),
                format!(
                    "A target band is set for \"{}\", and there is no such reading",
                    t.reading
                ),
                "Clear it, or set it for a reading that is listed",
            )),
            Some(d) if !fits(d, t.low.kind) => out.push(Finding::new(
                Severity::Warning,
                part(),
                format!(
                    "The target band of {} is {}, another kind of quantity",
                    d.label, t.low
                ),
                format!("Write it as {}", d.kind.noun()),
            )),
            Some(_) => {}
        }
    }
    for r in readings {
        if let Err(NoValue::AtInfinity { .. }) = r.value
            && r.band.is_some()
        {
            out.push(Finding::new(
                Severity::Warning,
                Part::Reading(r.id().into_owned()),
                format!(
                    "{}: the links are parallel in the side view, so there is no instant centre",
                    r.label()
                ),
                super::advice::capital(r.definition.remedy.1),
            ));
        }
    }
}

/// Brackets that stand where the rear tyre is.
pub(super) fn tyre(b: &Build, out: &mut Vec<Finding>) {
    let rear = &b.car.rear;
    let (inner, outer) = (
        0.5 * (rear.track.si() - rear.tyre_width.si()),
        0.5 * (rear.track.si() + rear.tyre_width.si()),
    );
    for x in &b.rear.brackets {
        let in_tyre = (1..=x.hole_count()).filter_map(|n| x.hole(n)).find(|p| {
            let [s, y, z] = p.si();
            let r = s.hypot(z - rear.loaded_radius.si());
            (inner..outer).contains(&y.abs()) && r < 0.5 * rear.tyre_diameter.si()
        });
        if let Some(hole) = in_tyre {
            out.push(Finding::new(
                Severity::Error,
                Part::Bracket(x.id.clone()),
                Phrase::from(format!("{}: its holes stand ", x.label))
                    .len(hole.offset.si().abs() - inner)
                    .t(" inside the rear tyre"),
                "Move the bracket in, or choose a narrower tyre or less backspacing",
            ));
        }
    }
}
