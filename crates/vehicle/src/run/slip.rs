//! An extension: a launch with tyre slip and a driver who is not perfect. NOT VALIDATED.
//!
//! The speed of the rear wheels is a state of its own: I ω̇_w = T_axle − F r; slip κ = (ω_w r − v)/max(v, 1 m/s);
//! F = N μ(N) sin(C arctan(Bκ)), C = 2 − (2/π) arcsin(μ_s/μ_p), B = tan(π/2C)/κ_p (shape of Pacejka, Tyre and
//! Vehicle Dynamics). The clutch slips at the release speed until the wheels have caught up; throttle and
//! release speed are the user's. With a clutch shifts go by the speed of the car: spinning wheels run into
//! the limiter, which takes the torque away beyond the last point of the torque curve. The plain run of
//! [`super::RunModel::run`] does not know any of this.

use super::RunError;
use super::car::RunModel;
use super::check::{positive, within};
use super::motion::{Coupled, DTH, DZ, Leg, TH, V, WE, X, Z};
use super::report::{Mark, RunSettings, Slip};
use super::solver::{Fault, Step, Stepper, Tolerance, root};
use super::trace::{Event, EventKind, Trace};
use crate::STANDARD_GRAVITY as G;

/// What to write beside every figure of this launch.
pub const NOT_VALIDATED: &str = "tyre-slip launch: not validated";

/// States of the run and the speed of the rear wheels.
const M: usize = 8;
const WW: usize = 7;
/// Below this speed slip is taken against it, m/s.
const SLOW: f64 = 1.0;
/// The limiter takes the torque away over this share of the last engine speed.
const LIMITER: f64 = 0.02;
/// Widest step, s.
const WIDEST: f64 = 0.05;
/// Most steps: slip at low speed is stiff.
const MOST_STEPS: usize = 200_000;
/// The car is taken to go over at this pitch, rad.
const OVER: f64 = 0.35;

/// Friction over slip.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TyreCurve {
    /// Slip κ_p at the peak, 0.01 to 1, default 0.10.
    pub peak_slip: f64,
    /// Friction of the sliding tyre over that of the peak μ_s/μ_p, above 0 and below 1, default 0.75.
    pub sliding_share: f64,
}

impl Default for TyreCurve {
    fn default() -> Self {
        Self {
            peak_slip: 0.10,
            sliding_share: 0.75,
        }
    }
}

impl TyreCurve {
    /// Share of the peak friction at a slip, −1 to 1.
    #[must_use]
    pub fn share(&self, slip: f64) -> f64 {
        let c = 2.0 - std::f64::consts::FRAC_2_PI * self.sliding_share.asin();
        let b = (std::f64::consts::FRAC_PI_2 / c).tan() / self.peak_slip;
        (c * (b * slip).atan()).sin()
    }

    fn check(&self) -> Result<(), RunError> {
        within("slip at the peak", self.peak_slip, 0.01, 1.0)?;
        positive("share of sliding friction", self.sliding_share)?;
        within("share of sliding friction", self.sliding_share, 0.0, 0.999)
    }
}

/// A launch with tyre slip.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SlipLaunch {
    /// Tyre.
    pub tyre: TyreCurve,
    /// Throttle: share of the full torque, above 0, at most 1.
    pub throttle: f64,
    /// Engine speed at which the clutch is released (or the converter stalled), rad/s.
    pub release_speed: f64,
}

/// One instant.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SlipSample {
    /// Time from first motion, s.
    pub time: f64,
    /// Travel from the line, m.
    pub travel: f64,
    /// Speed, m/s.
    pub speed: f64,
    /// Speed of the tread ω_w r, m/s.
    pub tread_speed: f64,
    /// Slip κ.
    pub slip: f64,
    /// Thrust, N.
    pub thrust: f64,
    /// Acceleration, m/s².
    pub acceleration: f64,
    /// Load of both front tyres, N.
    pub front_load: f64,
    /// Load of both rear tyres, N.
    pub rear_load: f64,
    /// Pitch, nose up positive, rad.
    pub nose_up: f64,
    /// Gear, from 1.
    pub gear: usize,
}

/// A finished launch with tyre slip; not validated.
#[derive(Clone, Debug, PartialEq)]
pub struct SlipRun {
    /// The time slip.
    pub slip: Slip,
    /// Greatest slip κ.
    pub greatest_slip: f64,
    /// Seconds with more slip than at the peak of friction.
    pub spinning: f64,
    /// Events.
    pub events: Vec<Event>,
    launch: SlipLaunch,
    model: RunModel,
    trace: Trace<M>,
}

/// What can end a leg.
#[derive(Clone, Copy, PartialEq)]
enum End {
    Finish,
    Locked,
    Shift,
    Bog,
}

struct Look {
    rates: [f64; M],
    slip: f64,
    thrust: f64,
    front_load: f64,
    rear_load: f64,
}

impl RunModel {
    /// The launch with tyre slip. NOT VALIDATED; never the default.
    ///
    /// # Errors
    /// As [`RunModel::run`], a car that does not move being one that never reaches a mark; [`RunError::GoesOver`]:
    /// nobody holds the front down here.
    pub fn run_with_slip(
        &self,
        launch: &SlipLaunch,
        settings: &RunSettings,
    ) -> Result<SlipRun, RunError> {
        launch.tyre.check()?;
        positive("throttle", launch.throttle)?;
        within("throttle", launch.throttle, 0.0, 1.0)?;
        positive("release speed", launch.release_speed)?;
        within(
            "release speed",
            launch.release_speed,
            0.0,
            self.engine.last(),
        )?;
        let trace = self.slip_trace(launch, settings)?;
        let (mut greatest, mut spinning) = (0.0_f64, 0.0);
        for (step, leg) in &trace.steps {
            let middle = 0.5 * (step.start + step.end);
            let look = self.slip_look(launch, *leg, middle, &step.at(middle))?;
            greatest = greatest.max(look.slip);
            if look.slip > launch.tyre.peak_slip {
                spinning += step.end - step.start;
            }
        }
        Ok(SlipRun {
            slip: trace.slip(settings.rollout),
            greatest_slip: greatest,
            spinning,
            events: trace.events.clone(),
            launch: *launch,
            model: self.clone(),
            trace,
        })
    }

    /// Torque at the wheels and their inertia with what turns with them; rate of a free engine.
    fn at_wheels(&self, launch: &SlipLaunch, leg: Leg, time: f64, y: &[f64; M]) -> (f64, f64, f64) {
        let gear = &self.gears[leg.gear];
        let d = &self.car.driveline;
        let r = self.car.rolling_radius;
        let input_speed = y[WW].max(0.0) * r * gear.per_metre;
        let torque = |speed: f64| {
            let last = self.engine.last();
            let left = (1.0 - (speed - last) / (LIMITER * last)).clamp(0.0, 1.0);
            launch.throttle * self.engine.at(speed) * left
        };
        let share = if time < d.take_up {
            time / d.take_up
        } else {
            1.0
        };
        let (input, rotating, spin_up) = match leg.coupled {
            Coupled::Slipping => (torque(launch.release_speed), gear.free, 0.0),
            Coupled::Locked | Coupled::RevLimit => (torque(input_speed), gear.locked, 0.0),
            Coupled::Fluid => {
                let (taken, given) = self
                    .fluid
                    .as_ref()
                    .map_or((0.0, 0.0), |f| f.torques(y[WE], input_speed));
                let rate = (torque(y[WE]) - taken) / d.engine_inertia;
                (given, gear.free, rate)
            }
            Coupled::Between => (0.0, gear.shifting, 0.0),
        };
        let axle = gear.efficiency * gear.per_metre * r * input * share;
        (axle, rotating * r * r, spin_up)
    }

    fn slip_look(
        &self,
        launch: &SlipLaunch,
        leg: Leg,
        time: f64,
        y: &[f64; M],
    ) -> Result<Look, RunError> {
        let car = &self.car;
        let r = car.rolling_radius;
        let speed = y[V].max(0.0);
        let b = self.body(speed, y);
        let (torque, inertia, spin_up) = self.at_wheels(launch, leg, time, y);
        let against = self.rolling + b.drag;
        let slip = (y[WW] * r - speed) / speed.max(SLOW);
        let share = launch.tyre.share(slip);
        // Linear in the thrust: the load at F = 0 and what a newton adds.
        let vertical = |thrust: f64| {
            let a = (thrust - against) / self.moved;
            let spun = (torque - thrust * r) / inertia;
            self.vertical(&b, thrust, a, car.rear_wheel_inertia * spun / r)
        };
        let v0 = vertical(0.0);
        let per_thrust = vertical(1.0) - v0;
        let thrust = self
            .traction(v0 + car.axle_mass * G, per_thrust, share)
            .ok_or_else(|| self.locks(&b, time, per_thrust))?;
        let mut a = (thrust - against) / self.moved;
        let mut net = thrust - self.rolling;
        if y[V] <= 0.0 && a < 0.0 {
            (a, net) = (0.0, b.drag);
        }
        let spun = (torque - thrust * r) / inertia;
        let spin = car.rear_wheel_inertia * spun / r;
        let up = self.vertical(&b, thrust, a, spin).max(-car.axle_mass * G);
        let mut rates = [0.0; M];
        rates[X] = speed;
        rates[V] = a;
        rates[Z] = y[DZ];
        rates[TH] = y[DTH];
        rates[DZ] = self.heave(&b, up);
        rates[DTH] = self.pitch(&b, net, a, spin, up);
        rates[WE] = spin_up;
        rates[WW] = spun;
        Ok(Look {
            rates,
            slip,
            thrust,
            front_load: b.front + car.front_unsprung_mass * G,
            rear_load: up + car.axle_mass * G,
        })
    }

    fn slip_towards(&self, end: End, launch: &SlipLaunch, leg: Leg, y: &[f64; M]) -> f64 {
        let input = y[WW] * self.car.rolling_radius * self.gears[leg.gear].per_metre;
        let engine = match leg.coupled {
            Coupled::Fluid => y[WE],
            _ => input,
        };
        // Spinning wheels are no reason to leave the gear.
        let shifts_at = match leg.coupled {
            Coupled::Fluid => y[WE],
            _ => y[V] * self.gears[leg.gear].per_metre,
        };
        match end {
            End::Finish => y[X] - Mark::Quarter.travel(),
            End::Locked => input - launch.release_speed,
            End::Shift => shifts_at - self.car.driveline.shift_speed[leg.gear],
            End::Bog => self.engine.first() * (1.0 - 1e-9) - engine,
        }
    }

    fn slip_ends(&self, leg: Leg) -> &'static [End] {
        match leg.coupled {
            Coupled::Slipping => &[End::Finish, End::Locked],
            Coupled::Locked | Coupled::Fluid if leg.gear + 1 < self.gears.len() => {
                &[End::Finish, End::Shift, End::Bog]
            }
            Coupled::Locked | Coupled::Fluid => &[End::Finish, End::Bog],
            Coupled::Between | Coupled::RevLimit => &[End::Finish],
        }
    }

    fn slip_bogs(&self, time: f64, leg: Leg, speed: f64) -> RunError {
        RunError::Bogs {
            time,
            gear: leg.gear + 1,
            speed,
            first: self.engine.first(),
        }
    }

    fn slip_trace(
        &self,
        launch: &SlipLaunch,
        settings: &RunSettings,
    ) -> Result<Trace<M>, RunError> {
        settings.check()?;
        let d = &self.car.driveline;
        let tied = if self.fluid.is_some() {
            Coupled::Fluid
        } else {
            Coupled::Locked
        };
        let mut leg = Leg {
            gear: 0,
            coupled: if self.fluid.is_some() {
                Coupled::Fluid
            } else {
                Coupled::Slipping
            },
        };
        if launch.release_speed < self.engine.first() {
            return Err(self.slip_bogs(0.0, leg, launch.release_speed));
        }
        let mut start = [0.0; M];
        start[WE] = launch.release_speed;
        let tolerance = Tolerance {
            relative: settings.relative,
            absolute: settings.absolute,
            widest: WIDEST,
        };
        let mut stepper = Stepper::new(tolerance, 0.0, start);
        let mut trace: Trace<M> = Trace {
            steps: Vec::with_capacity(4096),
            events: Vec::new(),
        };
        let mut in_gear_at: Option<f64> = None;
        loop {
            let mut stop = settings.time_limit;
            if stepper.time < d.take_up {
                stop = stop.min(d.take_up);
            }
            if let Some(t) = in_gear_at {
                stop = stop.min(t);
            }
            if trace.steps.len() >= MOST_STEPS {
                return Err(RunError::Lost { time: stepper.time });
            }
            if stop > stepper.time {
                let mut rate = |t: f64, y: &[f64; M]| Ok(self.slip_look(launch, leg, t, y)?.rates);
                let mut step = stepper.advance(&mut rate, stop).map_err(|f| match f {
                    Fault::Rate(e) => e,
                    Fault::TooSmall(time) => RunError::Lost { time },
                })?;
                let end = self.slip_end(launch, leg, &step);
                if let Some((time, _)) = end {
                    step.end = time;
                }
                let (time, state) = (step.end, step.at(step.end));
                trace.steps.push((step, leg));
                if -state[TH] > OVER {
                    return Err(RunError::GoesOver {
                        time,
                        nose_up: -state[TH],
                    });
                }
                let Some((_, end)) = end else { continue };
                let kind = match end {
                    End::Finish => EventKind::Finish,
                    End::Locked => EventKind::ClutchLocked,
                    End::Shift => EventKind::Shift,
                    End::Bog => return Err(self.slip_bogs(time, leg, self.engine.first())),
                };
                trace.events.push(event(kind, time, leg, &state));
                match end {
                    End::Finish => return Ok(trace),
                    End::Locked => leg.coupled = Coupled::Locked,
                    _ => {
                        leg.coupled = Coupled::Between;
                        in_gear_at = Some(time + d.shift_time);
                    }
                }
                stepper.restart(time, state);
                continue;
            }
            let (now, mut state) = (stepper.time, stepper.state);
            if now >= settings.time_limit {
                return Err(self.slip_too_slow(now, &state));
            }
            if in_gear_at.is_some_and(|t| now >= t) {
                in_gear_at = None;
                let left = d.gears[leg.gear];
                leg.gear += 1;
                leg.coupled = tied;
                state[WE] *= d.gears[leg.gear] / left;
                trace
                    .events
                    .push(event(EventKind::InGear, now, leg, &state));
                let below = self.slip_towards(End::Bog, launch, leg, &state);
                if below >= 0.0 {
                    return Err(self.slip_bogs(now, leg, self.engine.first() - below));
                }
            }
            stepper.restart(now, state);
        }
    }

    fn slip_too_slow(&self, time: f64, state: &[f64; M]) -> RunError {
        let travel = state[X];
        let mark = Mark::ALL.into_iter().find(|m| m.travel() > travel);
        RunError::NeverReaches {
            mark: mark.unwrap_or(Mark::Quarter),
            time,
            travel,
        }
    }

    fn slip_end(&self, launch: &SlipLaunch, leg: Leg, step: &Step<M>) -> Option<(f64, End)> {
        let mut first: Option<(f64, End)> = None;
        for end in self.slip_ends(leg) {
            let towards = |t: f64| self.slip_towards(*end, launch, leg, &step.at(t));
            if towards(step.end) >= 0.0 {
                let time = root(step.start, step.end, towards);
                if first.is_none_or(|(t, _)| time < t) {
                    first = Some((time, *end));
                }
            }
        }
        first
    }
}

fn event(kind: EventKind, time: f64, leg: Leg, state: &[f64; M]) -> Event {
    Event {
        time,
        kind,
        gear: leg.gear + 1,
        travel: state[X],
        speed: state[V],
    }
}

impl SlipRun {
    /// The car at a time, clamped to the run.
    ///
    /// # Errors
    /// A time that is not finite.
    pub fn at(&self, time: f64) -> Result<SlipSample, RunError> {
        super::check::finite("time", time)?;
        let time = time.clamp(0.0, self.trace.end());
        let (step, leg) = self
            .trace
            .steps
            .get(self.trace.step_at(time))
            .ok_or(RunError::Lost { time })?;
        let y = step.at(time);
        let look = self.model.slip_look(&self.launch, *leg, time, &y)?;
        Ok(SlipSample {
            time,
            travel: y[X],
            speed: y[V].max(0.0),
            tread_speed: y[WW] * self.model.car.rolling_radius,
            slip: look.slip,
            thrust: look.thrust,
            acceleration: look.rates[V],
            front_load: look.front_load,
            rear_load: look.rear_load,
            nose_up: -y[TH],
            gear: leg.gear + 1,
        })
    }

    /// Time from first motion to the quarter mile, s.
    #[must_use]
    pub fn duration(&self) -> f64 {
        self.slip.from_first_motion[Mark::Quarter.index()]
    }
}
