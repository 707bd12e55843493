//! A walk over a finished run: limits, extremes, stops, energy, histories.

use super::RunError;
use super::car::RunModel;
use super::motion::{Coupled, DTH, DZ, Instant, Leg, Limit, N, Powers, TH, V, X};
use super::report::Run;
use super::solver::Step;
use super::trace::Trace;
use crate::STANDARD_GRAVITY as G;

/// Samples of one step.
const SAMPLES: usize = 6;

/// Greatest acceleration and when.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Peak {
    /// Acceleration, m/s².
    pub acceleration: f64,
    /// Time, s from first motion.
    pub time: f64,
}

impl Peak {
    /// In standard gravities.
    #[must_use]
    pub fn g(&self) -> f64 {
        self.acceleration / G
    }
}

/// A change of the limit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LimitSwitch {
    /// When, s from first motion.
    pub time: f64,
    /// Limit before.
    pub from: Limit,
    /// Limit after.
    pub to: Limit,
    /// Whether it comes with an event (lock, shift, rev limit) rather than between two.
    pub at_event: bool,
}

/// A least or greatest value and when.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Extreme {
    /// Value, SI.
    pub value: f64,
    /// Time, s from first motion.
    pub time: f64,
}

/// Extremes of a run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Extremes {
    /// Most nose up, rad (nose up positive here).
    pub nose_up_max: Extreme,
    /// Least front travel, m, bump positive.
    pub front_travel_min: Extreme,
    /// Greatest front travel, m.
    pub front_travel_max: Extreme,
    /// Least rear travel, m.
    pub rear_travel_min: Extreme,
    /// Greatest rear travel, m.
    pub rear_travel_max: Extreme,
    /// Least load of both front tyres, N.
    pub front_load_min: Extreme,
    /// Greatest load of both front tyres, N.
    pub front_load_max: Extreme,
    /// Least load of both rear tyres, N.
    pub rear_load_min: Extreme,
    /// Greatest load of both rear tyres, N.
    pub rear_load_max: Extreme,
}

/// A stop.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Stop {
    /// Front bump stop.
    FrontBump,
    /// Front droop stop.
    FrontDroop,
    /// Rear bump stop.
    RearBump,
    /// Rear droop stop.
    RearDroop,
}

/// A stop that was touched.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StopTouched {
    /// Which.
    pub stop: Stop,
    /// First seen touched, s from first motion.
    pub time: f64,
    /// Most it was pressed in, m.
    pub pressed: f64,
    /// Force of that, N.
    pub force: f64,
}

/// Where the engine's work went, from first motion to the quarter mile, J.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Energy {
    /// Work of the engine.
    pub engine: f64,
    /// Lost in clutch or converter, and what the driver held back.
    pub slip_and_held: f64,
    /// Lost in gearbox and axle.
    pub driveline: f64,
    /// Lost to the air.
    pub drag: f64,
    /// Lost to rolling.
    pub rolling: f64,
    /// Put into rotating parts behind the engine, and the engine while locked; what a shift throws away
    /// is in it.
    pub rotating: f64,
    /// Put into a free engine (converter).
    pub engine_rotor: f64,
    /// Kinetic energy of car and front wheels at the end, ½M_a v².
    pub kinetic: f64,
    /// Lost in the dampers; not charged to the engine.
    pub damper: f64,
}

impl Energy {
    /// Engine work not accounted for, J: the error of the integration.
    #[must_use]
    pub fn imbalance(&self) -> f64 {
        self.engine
            - self.slip_and_held
            - self.driveline
            - self.drag
            - self.rolling
            - self.rotating
            - self.engine_rotor
            - self.kinetic
    }
}

/// One instant of a history.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sample {
    /// Time from first motion, s.
    pub time: f64,
    /// Travel from the line, m.
    pub travel: f64,
    /// Speed, m/s.
    pub speed: f64,
    /// Acceleration, m/s².
    pub acceleration: f64,
    /// Pitch, nose up positive, rad.
    pub nose_up: f64,
    /// Rear travel, m, bump positive.
    pub rear_travel: f64,
    /// Front travel, m, bump positive.
    pub front_travel: f64,
    /// Rise of the sprung mass's centre of gravity, m.
    pub rise: f64,
    /// Load of both front tyres, N.
    pub front_load: f64,
    /// Load of both rear tyres, N.
    pub rear_load: f64,
    /// Thrust at the contact, N.
    pub thrust: f64,
    /// Thrust the driveline would give, N.
    pub drive_thrust: f64,
    /// Thrust the tyres would hold, N.
    pub traction_thrust: f64,
    /// Thrust that keeps the front just floating, N; None where no thrust lifts it.
    pub float_thrust: Option<f64>,
    /// What limits it.
    pub limit: Limit,
    /// Gear, from 1; during a shift the one that is left.
    pub gear: usize,
    /// Engine speed, rad/s; None during a shift with a clutch.
    pub engine_speed: Option<f64>,
}

/// What a walk finds.
pub(super) struct Survey {
    pub(super) peak: Peak,
    pub(super) seconds: [f64; 5],
    pub(super) switches: Vec<LimitSwitch>,
    pub(super) extremes: Extremes,
    pub(super) stops: Vec<StopTouched>,
}

/// Quantities whose extremes are kept; the sign makes each a greatest value.
const KEPT: [(usize, f64); 10] = [
    (0, 1.0),
    (1, -1.0),
    (1, 1.0),
    (2, -1.0),
    (2, 1.0),
    (3, -1.0),
    (3, 1.0),
    (4, -1.0),
    (4, 1.0),
    (5, 1.0),
];

fn quantities(y: &[f64; N], i: &Instant) -> [f64; 6] {
    [
        -y[TH],
        i.front_travel,
        i.rear_travel,
        i.front_load,
        i.rear_load,
        i.acceleration,
    ]
}

impl RunModel {
    fn look(&self, step: &Step<N>, leg: Leg, time: f64) -> Result<([f64; N], Instant), RunError> {
        let y = step.at(time);
        let instant = self.instant(leg, time, &y)?;
        Ok((y, instant))
    }

    pub(super) fn survey(&self, trace: &Trace<N>) -> Result<Survey, RunError> {
        let mut seconds = [0.0; 5];
        let mut switches: Vec<LimitSwitch> = Vec::new();
        let mut stops: Vec<StopTouched> = Vec::new();
        // Best value, its time, and the step and times around it.
        let mut best = [(f64::NEG_INFINITY, 0.0, 0_usize, 0.0, 0.0); KEPT.len()];
        let mut before: Option<(Limit, Leg)> = None;
        for (index, (step, leg)) in trace.steps.iter().enumerate() {
            let width = (step.end - step.start) / SAMPLES as f64;
            let mut last: Option<(f64, Limit)> = None;
            for n in 0..=SAMPLES {
                let time = if n == SAMPLES {
                    step.end
                } else {
                    step.start + width * n as f64
                };
                let (y, i) = self.look(step, *leg, time)?;
                let values = quantities(&y, &i);
                for (kept, (which, sign)) in best.iter_mut().zip(KEPT) {
                    if sign * values[which] > kept.0 {
                        let around = (time - width).max(step.start);
                        *kept = (
                            sign * values[which],
                            time,
                            index,
                            around,
                            (time + width).min(step.end),
                        );
                    }
                }
                self.touch(&mut stops, time, &i);
                match last {
                    None => {
                        if let Some((limit, old)) = before
                            && limit != i.limit
                        {
                            switches.push(LimitSwitch {
                                time,
                                from: limit,
                                to: i.limit,
                                at_event: old != *leg,
                            });
                        }
                    }
                    Some((from, mut limit)) => {
                        let mut from = from;
                        while limit != i.limit {
                            let (at, next) = self.switch(step, *leg, from, time, limit)?;
                            seconds[limit.index()] += at - from;
                            switches.push(LimitSwitch {
                                time: at,
                                from: limit,
                                to: next,
                                at_event: false,
                            });
                            (from, limit) = (at, next);
                        }
                        seconds[limit.index()] += time - from;
                    }
                }
                last = Some((time, i.limit));
                before = Some((i.limit, *leg));
            }
        }
        let mut found = [Extreme {
            value: 0.0,
            time: 0.0,
        }; KEPT.len()];
        for ((extreme, (which, sign)), kept) in found.iter_mut().zip(KEPT).zip(best) {
            let (_, time, index, low, high) = kept;
            let Some((step, leg)) = trace.steps.get(index) else {
                continue;
            };
            let value = |t: f64| -> Result<f64, RunError> {
                let (y, i) = self.look(step, *leg, t)?;
                Ok(sign * quantities(&y, &i)[which])
            };
            let (value, time) = greatest(kept.0, time, low, high, value)?;
            *extreme = Extreme {
                value: sign * value,
                time,
            };
        }
        Ok(Survey {
            peak: Peak {
                acceleration: found[9].value,
                time: found[9].time,
            },
            seconds,
            switches,
            extremes: Extremes {
                nose_up_max: found[0],
                front_travel_min: found[1],
                front_travel_max: found[2],
                rear_travel_min: found[3],
                rear_travel_max: found[4],
                front_load_min: found[5],
                front_load_max: found[6],
                rear_load_min: found[7],
                rear_load_max: found[8],
            },
            stops,
        })
    }

    /// Where the limit first stops being `limit` between two times, and what it is then.
    fn switch(
        &self,
        step: &Step<N>,
        leg: Leg,
        mut low: f64,
        mut high: f64,
        limit: Limit,
    ) -> Result<(f64, Limit), RunError> {
        let mut next = self.look(step, leg, high)?.1.limit;
        while high - low > 1e-10 {
            let middle = 0.5 * (low + high);
            let there = self.look(step, leg, middle)?.1.limit;
            if there == limit {
                low = middle;
            } else {
                (high, next) = (middle, there);
            }
        }
        Ok((high, next))
    }

    fn touch(&self, stops: &mut Vec<StopTouched>, time: f64, i: &Instant) {
        let axles = [
            (
                &self.car.front,
                i.front_travel,
                Stop::FrontBump,
                Stop::FrontDroop,
            ),
            (
                &self.car.rear,
                i.rear_travel,
                Stop::RearBump,
                Stop::RearDroop,
            ),
        ];
        for (ride, travel, bump, droop) in axles {
            let pressed = ride.stop_travel(travel);
            if pressed == 0.0 {
                continue;
            }
            let stop = if pressed > 0.0 { bump } else { droop };
            let pressed = pressed.abs();
            let force = ride.stop_rate * pressed;
            match stops.iter_mut().find(|s| s.stop == stop) {
                Some(seen) if pressed > seen.pressed => {
                    (seen.pressed, seen.force) = (pressed, force);
                }
                Some(_) => {}
                None => stops.push(StopTouched {
                    stop,
                    time,
                    pressed,
                    force,
                }),
            }
        }
    }

    fn sample(&self, step: &Step<N>, leg: Leg, time: f64) -> Result<Sample, RunError> {
        let (y, i) = self.look(step, leg, time)?;
        Ok(Sample {
            time,
            travel: y[X],
            speed: y[V].max(0.0),
            acceleration: i.acceleration,
            nose_up: -y[TH],
            rear_travel: i.rear_travel,
            front_travel: i.front_travel,
            rise: y[super::motion::Z],
            front_load: i.front_load,
            rear_load: i.rear_load,
            thrust: i.thrust,
            drive_thrust: i.drive_thrust,
            traction_thrust: i.traction_thrust,
            float_thrust: i.float_thrust,
            limit: i.limit,
            gear: leg.gear + 1,
            engine_speed: i.engine_speed,
        })
    }
}

/// Golden section on a stretch around the best sample.
fn greatest(
    mut value: f64,
    mut time: f64,
    mut low: f64,
    mut high: f64,
    f: impl Fn(f64) -> Result<f64, RunError>,
) -> Result<(f64, f64), RunError> {
    const GOLD: f64 = 0.618_033_988_749_894_9;
    while high - low > 1e-5 {
        let (a, b) = (high - GOLD * (high - low), low + GOLD * (high - low));
        let (fa, fb) = (f(a)?, f(b)?);
        let (t, v) = if fa > fb {
            high = b;
            (a, fa)
        } else {
            low = a;
            (b, fb)
        };
        if v > value {
            (value, time) = (v, t);
        }
    }
    Ok((value, time))
}

/// Nodes and weights of Gauss–Legendre with five points on −1 to 1 (Abramowitz & Stegun, table 25.4).
const GAUSS: [(f64, f64); 5] = [
    (-0.906_179_845_938_664, 0.236_926_885_056_189_1),
    (-0.538_469_310_105_683_1, 0.478_628_670_499_366_5),
    (0.0, 0.568_888_888_888_888_9),
    (0.538_469_310_105_683_1, 0.478_628_670_499_366_5),
    (0.906_179_845_938_664, 0.236_926_885_056_189_1),
];

impl Run {
    /// The car at a time, clamped to the run; at an event the state after it.
    ///
    /// # Errors
    /// A time that is not finite.
    pub fn at(&self, time: f64) -> Result<Sample, RunError> {
        super::check::finite("time", time)?;
        let time = time.clamp(0.0, self.trace.end());
        let (step, leg) = self
            .trace
            .steps
            .get(self.trace.step_at(time))
            .ok_or(RunError::Lost { time })?;
        self.model.sample(step, *leg, time)
    }

    /// Histories at `count` equal times from first motion to the quarter mile, at least 2.
    ///
    /// # Errors
    /// Fewer than two points.
    pub fn history(&self, count: usize) -> Result<Vec<Sample>, RunError> {
        if count < 2 {
            return Err(RunError::TooFew {
                what: "points of a history",
                count,
                least: 2,
            });
        }
        let end = self.trace.end();
        (0..count)
            .map(|i| self.at(end * i as f64 / (count - 1) as f64))
            .collect()
    }

    /// The car at given times, each clamped to the run.
    ///
    /// # Errors
    /// A time that is not finite.
    pub fn history_at(&self, times: &[f64]) -> Result<Vec<Sample>, RunError> {
        times.iter().map(|t| self.at(*t)).collect()
    }

    /// Where the engine's work went (five-point Gauss on every step; ½M_a v² from the state).
    ///
    /// # Errors
    /// None in a run that was finished; the type is that of the right-hand side.
    pub fn energy(&self) -> Result<Energy, RunError> {
        let mut sum = Powers::default();
        for (step, leg) in &self.trace.steps {
            let half = 0.5 * (step.end - step.start);
            let middle = step.start + half;
            for (node, weight) in GAUSS {
                let (y, i) = self.model.look(step, *leg, middle + half * node)?;
                let p = self.model.powers(*leg, &y, &i);
                let w = weight * half;
                sum.engine += w * p.engine;
                sum.slip_and_held += w * p.slip_and_held;
                sum.driveline += w * p.driveline;
                sum.drag += w * p.drag;
                sum.rolling += w * p.rolling;
                sum.rotating += w * p.rotating;
                sum.damper += w * p.damper;
                sum.engine_rotor += w * p.engine_rotor;
            }
        }
        let speed = self.at(self.trace.end())?.speed;
        Ok(Energy {
            engine: sum.engine,
            slip_and_held: sum.slip_and_held,
            driveline: sum.driveline,
            drag: sum.drag,
            rolling: sum.rolling,
            rotating: sum.rotating,
            engine_rotor: sum.engine_rotor,
            kinetic: 0.5 * self.model.moved * speed * speed,
            damper: sum.damper,
        })
    }

    /// Share of the time with the engine tied to the wheels by a slipping clutch, s.
    #[must_use]
    pub fn clutch_slip_time(&self) -> f64 {
        let slipping = self.trace.steps.iter();
        slipping
            .filter(|(_, leg)| leg.coupled == Coupled::Slipping)
            .map(|(s, _)| s.end - s.start)
            .sum()
    }

    /// Rates of rear and front travel at a time, m/s, bump positive.
    ///
    /// # Errors
    /// A time that is not finite.
    pub fn travel_rates(&self, time: f64) -> Result<[f64; 2], RunError> {
        super::check::finite("time", time)?;
        let time = time.clamp(0.0, self.trace.end());
        let (step, _) = self
            .trace
            .steps
            .get(self.trace.step_at(time))
            .ok_or(RunError::Lost { time })?;
        let car = &self.model.car;
        let (heave, pitch) = (step.component(DZ, time), step.component(DTH, time));
        let ahead = car.wheelbase - car.sprung_cg_station;
        Ok([
            -(heave + car.sprung_cg_station * pitch),
            -(heave - ahead * pitch),
        ])
    }
}
