//! The run from the line to the finish: legs between events, steps with their interpolants.

use super::RunError;
use super::car::RunModel;
use super::driveline::Coupling;
use super::motion::{Coupled, Instant, Leg, N, V, WE, X};
use super::report::{Mark, RunSettings};
use super::solver::{Fault, Step, Stepper, Tolerance, root};

/// Widest step, s: the samples between steps stay close.
const WIDEST: f64 = 0.1;
/// A run takes some hundreds of steps, tens of thousands on springs like rock. Where the thrust jumps to
/// and fro (links that all but lock) no number is enough.
const MOST_STEPS: usize = 100_000;
/// A car that stands this long after the take-up does not move, s.
const PATIENCE: f64 = 1.0;

/// What happens at an event.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum EventKind {
    /// The thrust is all there.
    TakeUpOver,
    /// The clutch has caught up.
    ClutchLocked,
    /// A gear is left.
    Shift,
    /// The next gear is in.
    InGear,
    /// The engine has reached the end of its curve in the last gear.
    RevLimit,
    /// The finish line.
    Finish,
}

impl std::fmt::Display for EventKind {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::TakeUpOver => "take-up over",
            Self::ClutchLocked => "clutch locked",
            Self::Shift => "shift",
            Self::InGear => "in gear",
            Self::RevLimit => "rev limit",
            Self::Finish => "finish",
        })
    }
}

/// Something that happened.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Event {
    /// When, s from first motion.
    pub time: f64,
    /// What.
    pub kind: EventKind,
    /// Gear, from 1: at a shift the one that is left.
    pub gear: usize,
    /// Travel from the line, m.
    pub travel: f64,
    /// Speed, m/s.
    pub speed: f64,
}

/// The whole run as it was integrated.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Trace<const M: usize> {
    pub(super) steps: Vec<(Step<M>, Leg)>,
    pub(super) events: Vec<Event>,
}

/// What ends a leg.
#[derive(Clone, Copy, PartialEq)]
enum End {
    Locked,
    Shift,
    RevLimit,
    Bog,
    Finish,
}

impl RunModel {
    fn first_leg(&self) -> Leg {
        Leg {
            gear: 0,
            coupled: match self.car.driveline.coupling {
                Coupling::Clutch => Coupled::Slipping,
                Coupling::Converter(_) => Coupled::Fluid,
            },
        }
    }

    /// Engine speed that shifts and limits go by, where the engine is tied.
    fn engine_speed(&self, leg: Leg, speed: f64, engine: f64) -> f64 {
        match leg.coupled {
            Coupled::Fluid => engine,
            _ => speed * self.gears[leg.gear].per_metre,
        }
    }

    /// What can end a leg, each with a value that is below zero before it.
    fn ends(&self, leg: Leg) -> &'static [End] {
        let last = leg.gear + 1 == self.gears.len();
        match leg.coupled {
            Coupled::Slipping => &[End::Finish, End::Locked],
            Coupled::Locked | Coupled::Fluid if last => &[End::Finish, End::RevLimit, End::Bog],
            Coupled::Locked | Coupled::Fluid => &[End::Finish, End::Shift, End::Bog],
            Coupled::Between | Coupled::RevLimit => &[End::Finish],
        }
    }

    fn towards(&self, end: End, finish: Mark, leg: Leg, y: &[f64; 3]) -> f64 {
        let [travel, speed, engine] = *y;
        let d = &self.car.driveline;
        match end {
            End::Finish => travel - finish.travel(),
            End::Locked => speed * self.gears[leg.gear].per_metre - d.launch_speed,
            End::Shift => self.engine_speed(leg, speed, engine) - d.shift_speed[leg.gear],
            End::RevLimit => self.engine_speed(leg, speed, engine) - self.engine.last(),
            // A hair of room: a clutch may lock right at the first point.
            End::Bog => self.engine.first() * (1.0 - 1e-9) - self.engine_speed(leg, speed, engine),
        }
    }

    fn bogs(&self, time: f64, leg: Leg, speed: f64) -> RunError {
        RunError::Bogs {
            time,
            gear: leg.gear + 1,
            speed,
            first: self.engine.first(),
        }
    }

    fn stuck(&self, i: &Instant) -> RunError {
        RunError::DoesNotMove {
            thrust: i.thrust,
            drive: i.drive_thrust,
            resistance: self.rolling + i.drag,
        }
    }

    /// Integrates from the line to `finish`.
    pub(super) fn trace(&self, settings: &RunSettings, finish: Mark) -> Result<Trace<N>, RunError> {
        settings.check()?;
        let d = &self.car.driveline;
        if d.launch_speed < self.engine.first() {
            return Err(self.bogs(0.0, self.first_leg(), d.launch_speed));
        }
        let tolerance = Tolerance {
            relative: settings.relative,
            absolute: settings.absolute,
            widest: WIDEST,
        };
        let mut leg = self.first_leg();
        let mut start = [0.0; N];
        start[WE] = d.launch_speed;
        let mut stepper = Stepper::new(tolerance, 0.0, start);
        let mut trace = Trace {
            steps: Vec::with_capacity(512),
            events: Vec::new(),
        };
        let mut in_gear_at = None;
        loop {
            let now = stepper.time;
            let mut stop = settings.time_limit;
            if now < d.take_up {
                stop = stop.min(d.take_up);
            }
            if let Some(t) = in_gear_at {
                stop = stop.min(t);
            }
            if trace.steps.len() >= MOST_STEPS {
                return Err(RunError::Lost { time: now });
            }
            if stop > now {
                let mut rate = |t: f64, y: &[f64; N]| self.rates(leg, t, y);
                let mut step = stepper.advance(&mut rate, stop).map_err(|f| match f {
                    Fault::Rate(e) => e,
                    Fault::TooSmall(time) => RunError::Lost { time },
                })?;
                let first = self.first_end(leg, finish, &step);
                if let Some((time, end)) = first {
                    step.end = time;
                    let state = step.at(time);
                    trace.steps.push((step, leg));
                    if self.end_leg(end, time, state, &mut leg, &mut stepper, &mut trace)? {
                        return Ok(trace);
                    }
                    if leg.coupled == Coupled::Between {
                        in_gear_at = Some(time + d.shift_time);
                    }
                    continue;
                }
                trace.steps.push((step, leg));
            }
            let (now, state) = (stepper.time, stepper.state);
            if now >= settings.time_limit {
                let (time, travel) = (now, state[X]);
                let mark = Mark::ALL.into_iter().find(|m| m.travel() > travel);
                return Err(RunError::NeverReaches {
                    mark: mark.unwrap_or(Mark::Quarter),
                    time,
                    travel,
                });
            }
            if now > d.take_up + PATIENCE && state[V] <= 0.0 && state[X] < 1e-6 {
                return Err(self.stuck(&self.instant(leg, now, &state)?));
            }
            let note = |kind, gear: usize| Event {
                time: now,
                kind,
                gear,
                travel: state[X],
                speed: state[V],
            };
            if d.take_up > 0.0 && now.to_bits() == d.take_up.to_bits() {
                trace.events.push(note(EventKind::TakeUpOver, leg.gear + 1));
                stepper.restart(now, state);
            }
            if in_gear_at.is_some_and(|t| now >= t) {
                in_gear_at = None;
                let left = d.gears[leg.gear];
                leg.gear += 1;
                leg.coupled = match self.fluid {
                    Some(_) => Coupled::Fluid,
                    None => Coupled::Locked,
                };
                trace.events.push(note(EventKind::InGear, leg.gear + 1));
                let mut state = state;
                state[WE] *= d.gears[leg.gear] / left;
                stepper.restart(now, state);
                let speed = self.engine_speed(leg, state[V], state[WE]);
                if speed < self.engine.first() * (1.0 - 1e-9) {
                    return Err(self.bogs(now, leg, speed));
                }
                // A gear so close that its own shift speed is passed already.
                let again = self.ends(leg).iter().find(|e| {
                    self.towards(**e, finish, leg, &[state[X], state[V], state[WE]]) >= 0.0
                });
                if let Some(end) = again {
                    if self.end_leg(*end, now, state, &mut leg, &mut stepper, &mut trace)? {
                        return Ok(trace);
                    }
                    if leg.coupled == Coupled::Between {
                        in_gear_at = Some(now + d.shift_time);
                    }
                }
            }
        }
    }

    /// The first end of the leg within a step.
    fn first_end(&self, leg: Leg, finish: Mark, step: &Step<N>) -> Option<(f64, End)> {
        let at = |t: f64| {
            [
                step.component(X, t),
                step.component(V, t),
                step.component(WE, t),
            ]
        };
        let last = at(step.end);
        let mut first: Option<(f64, End)> = None;
        for end in self.ends(leg) {
            if self.towards(*end, finish, leg, &last) >= 0.0 {
                let time = root(step.start, step.end, |t| {
                    self.towards(*end, finish, leg, &at(t))
                });
                if first.is_none_or(|(t, _)| time < t) {
                    first = Some((time, *end));
                }
            }
        }
        first
    }

    /// Goes over an event; true at the finish.
    fn end_leg(
        &self,
        end: End,
        time: f64,
        state: [f64; N],
        leg: &mut Leg,
        stepper: &mut Stepper<N>,
        trace: &mut Trace<N>,
    ) -> Result<bool, RunError> {
        let d = &self.car.driveline;
        let mut note = |kind, gear: usize| {
            trace.events.push(Event {
                time,
                kind,
                gear: gear + 1,
                travel: state[X],
                speed: state[V],
            });
        };
        match end {
            End::Finish => {
                note(EventKind::Finish, leg.gear);
                return Ok(true);
            }
            End::Bog => {
                let speed = self.engine_speed(*leg, state[V], state[WE]);
                return Err(self.bogs(time, *leg, speed));
            }
            End::Locked => {
                note(EventKind::ClutchLocked, leg.gear);
                leg.coupled = Coupled::Locked;
                // Launched above the shift speed (or at the very end of the curve).
                let last = leg.gear + 1 == self.gears.len();
                let change = if last {
                    d.launch_speed >= self.engine.last()
                } else {
                    d.launch_speed >= d.shift_speed[leg.gear]
                };
                if change {
                    let (kind, coupled) = if last {
                        (EventKind::RevLimit, Coupled::RevLimit)
                    } else {
                        (EventKind::Shift, Coupled::Between)
                    };
                    note(kind, leg.gear);
                    leg.coupled = coupled;
                }
            }
            End::Shift => {
                note(EventKind::Shift, leg.gear);
                leg.coupled = Coupled::Between;
            }
            End::RevLimit => {
                note(EventKind::RevLimit, leg.gear);
                leg.coupled = Coupled::RevLimit;
            }
        }
        stepper.restart(time, state);
        Ok(false)
    }
}
