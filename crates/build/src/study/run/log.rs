//! The run log beside the model: what was predicted for each setting, the friction a time slip gives,
//! what changed since, and advice from what was seen.

use std::sync::Arc;

use units::Kind;
use vehicle::run::{
    Clocked, FrictionFit, InputSigma, Limit, Mark, Parameter, Reading, RunCar, RunModel,
    RunSettings, Slip, Timed,
};

use super::super::{CoilStudy, Phrase, RearStudy, Study, front, rear};
use super::fit::{self, JointFit};
use super::{car, plan, settings};
use crate::{Build, Coilover, Preload, Rear, RunRecord, RunSetting, Seen, Side, Sides};

/// Error of a clocked time, s, one standard deviation (a choice).
const CLOCKED: f64 = 0.01;

/// A logged run beside the model.
#[derive(Debug, Clone, PartialEq)]
pub struct Predicted {
    /// The run.
    pub id: String,
    /// The model's time slip for its setting and air, or why there is none.
    pub slip: Result<Slip, Phrase>,
    /// The friction its 60 ft time gives; none without that time.
    pub friction: Option<Result<FittedFriction, Phrase>>,
}

/// A tyre friction from a 60 ft time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FittedFriction {
    /// Friction.
    pub friction: f64,
    /// Its standard deviation.
    pub sigma: f64,
}

/// The build as it was in a run.
fn as_it_was(b: &Build, record: &RunRecord) -> Build {
    let mut was = b.clone();
    record.setting.apply(&mut was);
    was.run.weather = record.weather;
    was
}

/// What a prediction was made from: the same again gives the same.
#[derive(Debug, Clone, PartialEq)]
struct Inputs {
    car: Result<RunCar, Phrase>,
    timing: RunSettings,
    measured: Option<f64>,
    three_thirty: Option<f64>,
    others: Vec<InputSigma>,
}

impl Inputs {
    /// The run for the fit of friction and launch speed together: the marks that the launch decides.
    fn timed(&self) -> Option<Timed> {
        let marks = [
            (Mark::SixtyFoot, self.measured),
            (Mark::ThreeThirty, self.three_thirty),
        ];
        let clocked = marks.into_iter().filter_map(|(mark, time)| {
            Some(Clocked {
                mark,
                time: time?,
                sigma: CLOCKED,
            })
        });
        self.measured?;
        Some(Timed {
            car: self.car.clone().ok()?,
            settings: self.timing,
            clocked: clocked.collect(),
        })
    }
}

/// Every logged run beside the model, with what it was made from.
#[derive(Debug, Clone)]
pub(super) struct Log {
    runs: Arc<Vec<Predicted>>,
    inputs: Arc<Vec<Inputs>>,
    joint: Option<Arc<JointFit>>,
}

impl Log {
    pub fn runs(&self) -> Arc<Vec<Predicted>> {
        Arc::clone(&self.runs)
    }

    pub fn joint(&self) -> Option<Arc<JointFit>> {
        self.joint.clone()
    }

    fn kept(&self, id: &str, inputs: &Inputs) -> Option<Predicted> {
        let place = self.runs.iter().position(|p| p.id == id)?;
        (self.inputs.get(place) == Some(inputs)).then(|| self.runs[place].clone())
    }
}

pub(super) fn work_out(b: &Build, earlier: Option<&Log>) -> Log {
    let others: Vec<InputSigma> = plan::sigmas(b)
        .into_iter()
        .filter(|s| s.parameter != Parameter::Friction)
        .collect();
    // Most runs share their holes and springs with the one before.
    let mut axle: Option<(Rear, Vec<Coilover>, RearStudy, Vec<CoilStudy>)> = None;
    let mut log = (Vec::new(), Vec::new());
    for record in &b.run.log {
        let was = as_it_was(b, record);
        let same = axle
            .as_ref()
            .is_some_and(|(links, coils, ..)| *links == was.rear && *coils == was.power.coilovers);
        if !same {
            let rear = rear::study(&was.car, &was.rear);
            let coils = super::super::launch::coilovers(&was, &rear);
            axle = Some((was.rear.clone(), was.power.coilovers.clone(), rear, coils));
        }
        let car = match &axle {
            Some((_, _, rear, coils)) => car::car(&was, rear, coils, &front::springs_of(&was)),
            None => continue,
        };
        let inputs = Inputs {
            car,
            timing: settings(&was),
            measured: record.times.sixty_foot.map(|t| t.si()),
            three_thirty: record.times.three_thirty.map(|t| t.si()),
            others: others.clone(),
        };
        let kept = earlier.and_then(|e| e.kept(&record.id, &inputs));
        log.0.push(kept.unwrap_or_else(|| one(&record.id, &inputs)));
        log.1.push(inputs);
    }
    let counts = b.run.log.iter().zip(&log.1).filter(|(r, _)| r.learn);
    let (ids, timed): (Vec<String>, Vec<Timed>) = counts
        .filter_map(|(r, inputs)| Some((r.id.clone(), inputs.timed()?)))
        .unzip();
    let joint = fit::together(b, ids, timed, earlier.and_then(Log::joint));
    Log {
        runs: Arc::new(log.0),
        inputs: Arc::new(log.1),
        joint,
    }
}

fn one(id: &str, inputs: &Inputs) -> Predicted {
    let say = |e: vehicle::run::RunError| Phrase::from(e.to_string());
    let slip = inputs.car.clone().and_then(|car| {
        let model = RunModel::new(&car).map_err(say)?;
        model.slip(&inputs.timing).map_err(say)
    });
    let friction = inputs.measured.map(|t| {
        let car = inputs.car.as_ref().map_err(Clone::clone)?;
        FrictionFit::of(car, &inputs.timing, t, CLOCKED, &inputs.others)
            .map(|fit| FittedFriction {
                friction: fit.friction,
                sigma: fit.sigma,
            })
            .map_err(|e| Phrase::from(e.to_string()))
    });
    Predicted {
        id: id.to_owned(),
        slip,
        friction,
    }
}

impl FittedFriction {
    /// Several runs together, each weighing by the inverse of its variance.
    pub fn together(fits: &[Self]) -> Option<Self> {
        let mut weights = 0.0;
        let mut sum = 0.0;
        for f in fits {
            let weight = 1.0 / (f.sigma * f.sigma).max(1e-12);
            weights += weight;
            sum += weight * f.friction;
        }
        (weights > 0.0).then(|| Self {
            friction: sum / weights,
            sigma: (1.0 / weights).sqrt(),
        })
    }

    /// With the friction entered before and its spread.
    pub fn with_prior(self, friction: f64, sigma: f64) -> Self {
        let prior = Self { friction, sigma };
        Self::together(&[self, prior]).unwrap_or(self)
    }
}

/// One thing that is set otherwise than it was.
#[derive(Debug, Clone, PartialEq)]
pub struct Changed {
    /// What.
    pub what: String,
    /// As it was.
    pub was: Phrase,
    /// As it is.
    pub is: Phrase,
}

/// What is set otherwise in `is` than in `was`.
pub fn changed_since(b: &Build, was: &RunSetting, is: &RunSetting) -> Vec<Changed> {
    let mut out = Vec::new();
    let mut note = |what: String, was: Phrase, is: Phrase| {
        if was != is {
            out.push(Changed { what, was, is });
        }
    };
    let holes = |left: usize, right: Option<usize>| match right {
        Some(right) if right != left => Phrase::from(format!("hole {left} left, {right} right")),
        _ => Phrase::from(format!("hole {left}")),
    };
    for a in &was.links {
        let label = b
            .rear
            .link(&a.link)
            .map_or(a.link.clone(), |l| l.label.clone());
        let Some(c) = is.links.iter().find(|c| c.link == a.link) else {
            note(label, "bolted up".into(), "gone".into());
            continue;
        };
        note(
            format!("{label}, frame end"),
            holes(a.frame, a.frame_right),
            holes(c.frame, c.frame_right),
        );
        note(
            format!("{label}, axle end"),
            holes(a.axle, a.axle_right),
            holes(c.axle, c.axle_right),
        );
        let held = |h: &Option<crate::HeldLength>| match h {
            None => Phrase::from("set to suit"),
            Some(h) => Phrase::default()
                .kept(h.left.si())
                .t(" left, ")
                .kept(h.right.si())
                .t(" right"),
        };
        note(format!("{label}, length"), held(&a.held), held(&c.held));
    }
    for a in &was.coils {
        let label = b
            .power
            .coilover(&a.coilover)
            .map_or(a.coilover.clone(), |c| c.label.clone());
        let Some(c) = is.coils.iter().find(|c| c.coilover == a.coilover) else {
            note(label, "fitted".into(), "gone".into());
            continue;
        };
        let rate = |r: units::SpringRate| Phrase::default().q(Kind::SpringRate, r.si());
        note(format!("{label}, spring"), rate(a.rate), rate(c.rate));
        let preload = |p: &Option<crate::Preload>| match p {
            None => Phrase::from("holds the ride height"),
            Some(p) => Phrase::default()
                .kept(p.left.si())
                .t(" left, ")
                .kept(p.right.si())
                .t(" right"),
        };
        note(
            format!("{label}, preload"),
            preload(&a.preload),
            preload(&c.preload),
        );
    }
    let speed = |s: units::RotationSpeed| Phrase::default().q(Kind::RotationSpeed, s.si());
    note("Launch rpm".to_owned(), speed(was.launch), speed(is.launch));
    for (i, (a, c)) in was.shifts.iter().zip(&is.shifts).enumerate() {
        note(format!("Shift out of gear {}", i + 1), speed(*a), speed(*c));
    }
    if !was.clicks.is_empty() || !is.clicks.is_empty() {
        note(
            "Damper clicks".to_owned(),
            was.clicks.as_str().into(),
            is.clicks.as_str().into(),
        );
    }
    for (what, a, c) in [
        ("Rear pressure", was.rear_pressure, is.rear_pressure),
        ("Front pressure", was.front_pressure, is.front_pressure),
    ] {
        let Some((a, c)) = a.zip(c) else { continue };
        let pressure = |p: units::Pressure| Phrase::default().q(Kind::Pressure, p.si());
        note(what.to_owned(), pressure(a), pressure(c));
    }
    out
}

/// Advice from what was seen in a run, each with the number it follows from.
pub fn advice(study: &Study, record: &RunRecord) -> Vec<Phrase> {
    let mut out = Vec::new();
    let value = |id: &str| study.reading(id).and_then(|r| r.value.clone().ok());
    let run = study.run.run.as_ref().ok();
    let pounds = |kilograms: f64| Phrase::default().q(Kind::Mass, kilograms);
    for seen in &record.seen {
        match seen {
            Seen::Spun => {
                let Some(run) = run else { continue };
                let share = run.share(Limit::Traction);
                let mut text = Phrase::from("Spun: the model is at the tyres' limit for ")
                    .q(Kind::Ratio, share)
                    .t(" of the run");
                if let (Some(measured), Some(p)) = (
                    record.times.sixty_foot,
                    run.slip.reading(Reading::Clock(Mark::SixtyFoot)),
                ) {
                    let slow = measured.si() - p;
                    if slow > 0.0 {
                        text = text.t(format!(
                            "; 60 ft was {slow:.2} s slower than predicted: fit the friction, or leave softer"
                        ));
                    }
                }
                out.push(text);
            }
            Seen::PulledLeft | Seen::PulledRight => {
                let (left, right) = (
                    value("launch.traction.rear_left"),
                    value("launch.traction.rear_right"),
                );
                let Some((left, right)) = left.zip(right) else {
                    continue;
                };
                let heavy = if left > right { "left" } else { "right" };
                let off = if *seen == Seen::PulledRight {
                    "right"
                } else {
                    "left"
                };
                let text = Phrase::from(format!(
                    "Pulled {off}: at the tyres' limit the {heavy} rear carries "
                ))
                .join(pounds((left - right).abs()))
                .t(" more, from driveshaft torque and preload");
                // The loaded side pushes the car the other way.
                let fits = (left > right) == (*seen == Seen::PulledRight);
                out.push(if fits {
                    let light = if heavy == "left" { "right" } else { "left" };
                    let text = text.t(format!("; turn the {light} seat up until they are alike"));
                    let moved = study.run.preload.get_or_init(|| preload_moves(study));
                    match moved {
                        Some(moved) => text
                            .t(": ")
                            .len(SEAT)
                            .t(" of seat moves ")
                            .join(pounds(moved.abs() / vehicle::STANDARD_GRAVITY)),
                        None => text,
                    }
                } else {
                    text.t(", which does not explain it: look at tyre pressures, square axle and link lengths")
                });
            }
            Seen::StoodUp => {
                let Some(run) = run else { continue };
                let least = run.extremes.front_load_min.value / vehicle::STANDARD_GRAVITY;
                out.push(
                    Phrase::from("Stood up: the model leaves ")
                        .join(pounds(least.max(0.0)))
                        .t(" on the front tyres; weight forward or lower, softer launch, front droop held back. Bars and a licensed inspector's eye first"),
                );
            }
            Seen::Bogged => {
                let Ok(car) = &study.run.car else { continue };
                let torque = car.engine.at(car.driveline.launch_speed);
                let (_, peak) = car.engine.peak_power();
                out.push(
                    Phrase::from("Bogged: at launch rpm the engine gives ")
                        .q(Kind::Torque, torque)
                        .t("; peak power is at ")
                        .q(Kind::RotationSpeed, peak)
                        .t(": leave at a higher rpm, or with less tyre"),
                );
            }
            Seen::HitStop => {
                let Some(run) = run else { continue };
                match run.stops.first() {
                    Some(stop) => out.push(
                        Phrase::from(format!(
                            "Hit a stop: the model touches {} ",
                            stop_word(stop)
                        ))
                        .t(format!("{:.2} s after it leaves", stop.time))
                        .t("; more spring, more damping that way, or more travel"),
                    ),
                    None => out.push(
                        Phrase::from("Hit a stop: the model comes nearest with ")
                            .len(run.extremes.front_travel_min.value.abs())
                            .t(" of front droop; measure the travel again"),
                    ),
                }
            }
            Seen::Clean => {}
        }
    }
    out
}

/// How far a seat is turned to say what it does, m: an eighth of an inch.
const SEAT: f64 = 0.003_175;

/// What that much more preload on the right alone takes from the left rear tyre over the right one
/// at the tyres' limit, N.
fn preload_moves(study: &Study) -> Option<f64> {
    let b = &study.run.build;
    let pair = b
        .power
        .coilovers
        .iter()
        .position(|c| c.sides == Sides::Pair)?;
    let now = |side: Side| {
        let mut all = study.launch.coilovers.iter();
        let coil = all.find(|c| c.coilover == pair && c.side == side)?;
        Some(coil.ride.as_ref().ok()?.preload)
    };
    let (left, right) = (now(Side::Left)?, now(Side::Right)?);
    let with = |right: f64| {
        let mut turned = (**b).clone();
        turned.power.coilovers[pair].preload = Some(Preload {
            left: units::Length::from_si(left),
            right: units::Length::from_si(right),
        });
        let axle = rear::study(&turned.car, &turned.rear);
        let launch = super::super::launch::study(&turned, &axle);
        let limit = launch.reactions.ok()?.traction.ok()?;
        Some(limit.balance.tyre_load.rear_left - limit.balance.tyre_load.rear_right)
    };
    Some(with(right)? - with(right + SEAT)?)
}

fn stop_word(stop: &vehicle::run::StopTouched) -> &'static str {
    use vehicle::run::Stop;
    match stop.stop {
        Stop::FrontBump => "the front bump stop",
        Stop::FrontDroop => "the front droop stop",
        Stop::RearBump => "the rear bump stop",
        Stop::RearDroop => "the rear droop stop",
    }
}
