//! A car that stands at rest: everything asked of the balance starts here.

use super::balance::{Balance, read};
use super::car::{LaunchError, LaunchModel, Manoeuvre};
use super::forces::{Acting, Coordinates};
use super::newton::{Found, largest};
use super::path::{Ended, LimitKind, PathPoint, Walk};
use crate::STANDARD_GRAVITY;

/// Longest step of the acceleration taken at once, m/s².
const STRIDE: f64 = 0.35 * STANDARD_GRAVITY;

/// A car that turns or moves further than this on settling (rad, m) has fallen, not settled.
const FALLEN_ANGLE: f64 = 0.5;
const FALLEN_WAY: f64 = 0.35;
/// Share of a step by which the state may differ from what its rates at both ends say.
const STRAY: f64 = 0.05;

/// Where the path of balances ends.
#[derive(Clone, Debug, PartialEq)]
pub struct Limit {
    /// Acceleration with the largest magnitude that has a balance, m/s², forward positive.
    pub acceleration: f64,
    /// What ends it.
    pub kind: LimitKind,
    /// The balance there.
    pub balance: Balance,
}

/// Where the front lifts.
#[derive(Clone, Debug, PartialEq)]
pub struct LiftPoint {
    /// Acceleration at which the first front tyre carries nothing, m/s².
    pub acceleration: f64,
    /// Whether the left and the right front tyre carry nothing there.
    pub lifted: [bool; 2],
    /// The balance there.
    pub balance: Balance,
}

/// What ends acceleration on tyres of a given friction.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TractionKind {
    /// The tyres slip.
    Slip,
    /// They do not: the balance ends first.
    Balance(LimitKind),
}

/// Acceleration at the traction limit.
#[derive(Clone, Debug, PartialEq)]
pub struct TractionLimit {
    /// Acceleration, m/s².
    pub acceleration: f64,
    /// What ends it.
    pub kind: TractionKind,
    /// The balance there.
    pub balance: Balance,
}

/// A car in balance at 0 g.
#[derive(Clone, Debug, PartialEq)]
pub struct SettledCar {
    model: LaunchModel,
    rest: Coordinates,
    /// The balance at 0 g.
    pub at_rest: Balance,
}

impl LaunchModel {
    /// Lets the car settle at 0 g: from the drawn pose with the drawn rod lengths, then with the lengths led in steps of
    /// 2 mm to the held ones.
    ///
    /// # Errors
    /// [`LaunchError::DoesNotSettle`] with how far it got; [`LaunchError::Collapses`]; [`LaunchError::TipsAtRest`].
    pub fn settle(self) -> Result<SettledCar, LaunchError> {
        let placed = super::forces::Placed::new(&self.drawn_state());
        let drawn: Vec<f64> = self
            .rods
            .iter()
            .map(|r| (placed.on_axle(&r.axle) - placed.on_sprung(&r.frame)).norm())
            .collect();
        let furthest = self
            .rods
            .iter()
            .zip(&drawn)
            .fold(0.0_f64, |m, (r, d)| m.max((r.length - d).abs()));
        let steps = (furthest / 2e-3).ceil().clamp(0.0, 500.0) as usize;
        let mut q = self.drawn_state();
        let mut lengths = drawn.clone();
        for step in 0..=steps {
            let share = if steps == 0 {
                1.0
            } else {
                step as f64 / steps as f64
            };
            for ((length, rod), drawn) in lengths.iter_mut().zip(&self.rods).zip(&drawn) {
                *length = drawn + share * (rod.length - drawn);
            }
            q = self.settle_near(q, &lengths).map_err(|(last, residual)| {
                LaunchError::DoesNotSettle {
                    share,
                    residual,
                    last,
                }
            })?;
        }
        let start = self.drawn_state();
        let away: Vec<f64> = q.iter().zip(&start).map(|(v, s)| v - s).collect();
        let turned = largest(&[away[1], away[2], away[6], away[7], away[8]]);
        let moved = largest(&[away[0], away[3], away[4], away[5]]);
        if turned > FALLEN_ANGLE || moved > FALLEN_WAY {
            return Err(LaunchError::Collapses { turned, moved });
        }
        let point = PathPoint { q, a: 0.0 };
        let acting = self.system(&q, 0.0, Manoeuvre::Drive, &[]).acting;
        for (load, kind) in [
            (acting.front_load, LimitKind::FrontWheelsOff),
            (acting.rear_load, LimitKind::RearWheelsOff),
        ] {
            if load[0] + load[1] <= 0.0 {
                return Err(LaunchError::TipsAtRest { kind });
            }
        }
        let at_rest = read(&self, &point, Manoeuvre::Drive, &q);
        Ok(SettledCar {
            model: self,
            rest: q,
            at_rest,
        })
    }

    fn settle_near(
        &self,
        q: Coordinates,
        lengths: &[f64],
    ) -> Result<Coordinates, (Coordinates, f64)> {
        let newton = |q| {
            self.newton(q, 0.0, Manoeuvre::Drive, lengths)
                .filter(|f| f.sign > 0.0)
        };
        if let Some(found) = newton(q) {
            return Ok(found.q);
        }
        let low = self.descend(q, lengths)?;
        match newton(low) {
            Some(found) => Ok(found.q),
            None => {
                let left = self.system(&low, 0.0, Manoeuvre::Drive, lengths).residual;
                Err((low, largest(&left)))
            }
        }
    }
}

impl SettledCar {
    /// The model.
    #[must_use]
    pub const fn model(&self) -> &LaunchModel {
        &self.model
    }

    /// The balance at a forward acceleration (m/s²) under power.
    ///
    /// # Errors
    /// [`LaunchError::NoBalance`] beyond the largest acceleration that has one; [`LaunchError::Lost`];
    /// [`LaunchError::BadInput`] for an acceleration that is not a number.
    pub fn balance(&self, acceleration: f64) -> Result<Balance, LaunchError> {
        self.balance_at(Manoeuvre::Drive, acceleration)
    }

    /// The balance at an acceleration (m/s², braking negative) in a manoeuvre.
    ///
    /// # Errors
    /// As [`SettledCar::balance`]; [`LaunchError::BadInput`] also for a brake share outside 0 to 1.
    pub fn balance_at(
        &self,
        manoeuvre: Manoeuvre,
        acceleration: f64,
    ) -> Result<Balance, LaunchError> {
        self.check(manoeuvre, acceleration)?;
        // The rate at rest is that of driving.
        let rate = match manoeuvre {
            Manoeuvre::Drive => self.at_rest.rate,
            Manoeuvre::Brake { .. } => self.read(&self.start(), manoeuvre).rate,
        };
        self.go(manoeuvre, self.start(), rate, acceleration)
    }

    /// The balance at an acceleration (m/s²) in the manoeuvre of `start`, from that balance of
    /// this car: what a slider or a curve should use.
    ///
    /// # Errors
    /// As [`SettledCar::balance`].
    pub fn balance_from(&self, start: &Balance, acceleration: f64) -> Result<Balance, LaunchError> {
        let from = PathPoint {
            q: start.state,
            a: start.acceleration,
        };
        self.go(start.manoeuvre, from, start.rate, acceleration)
    }

    /// The balance of this car near a balance of a car that is nearly the same (a dragged point, another rate), at the same
    /// acceleration; from rest where that is not near enough.
    ///
    /// # Errors
    /// As [`SettledCar::balance`].
    pub fn balance_near(&self, neighbour: &Balance) -> Result<Balance, LaunchError> {
        let (manoeuvre, a) = (neighbour.manoeuvre, neighbour.acceleration);
        self.check(manoeuvre, a)?;
        match self.newton_checked(neighbour.state, a, manoeuvre) {
            Some((point, _)) => Ok(read(&self.model, &point, manoeuvre, &self.rest)),
            None => self.balance_at(manoeuvre, a),
        }
    }

    /// Balances at several accelerations (m/s²) under power, each from the one before. A failure does not end the curve.
    #[must_use]
    pub fn curve(&self, accelerations: &[f64]) -> Vec<Result<Balance, LaunchError>> {
        let mut out: Vec<Result<Balance, LaunchError>> = Vec::with_capacity(accelerations.len());
        for a in accelerations {
            let next = match out.last() {
                Some(Ok(before)) => self.balance_from(before, *a),
                _ => self.balance(*a),
            };
            out.push(next);
        }
        out
    }

    /// The largest acceleration that has a balance: under power forward, braked the largest deceleration.
    ///
    /// # Errors
    /// [`LaunchError::Lost`] where the path can not be followed to its end; [`LaunchError::BadInput`] for a brake share
    /// outside 0 to 1.
    pub fn limit(&self, manoeuvre: Manoeuvre) -> Result<Limit, LaunchError> {
        let direction = direction(manoeuvre);
        self.check(manoeuvre, 0.0)?;
        let end = 40.0 * STANDARD_GRAVITY;
        let ended = self.walk(manoeuvre, self.start(), direction, &|p, _| {
            end - p.a * direction
        });
        match ended {
            Ended::Limit(kind, point) => Ok(Limit {
                acceleration: point.a,
                kind,
                balance: self.read(&point, manoeuvre),
            }),
            Ended::Watched(point) | Ended::Lost(point) => {
                Err(self.lost(end * direction, &point, manoeuvre))
            }
        }
    }

    /// The largest acceleration before the front lifts: where the first front tyre carries nothing. None when
    /// the path ends at a limit point before any front tyre lifts.
    ///
    /// # Errors
    /// As [`SettledCar::limit`].
    pub fn front_lift(&self) -> Result<Option<LiftPoint>, LaunchError> {
        let small = 1e-9 * self.model.car.weight();
        let first = |_: &PathPoint, s: &Acting| s.front_unclamped[0].min(s.front_unclamped[1]);
        let ended = match self.stride_to(&first) {
            Some(point) => Ended::Watched(point),
            None => self.walk(Manoeuvre::Drive, self.start(), 1.0, &first),
        };
        match ended {
            Ended::Watched(point) | Ended::Limit(LimitKind::FrontWheelsOff, point) => {
                let balance = self.read(&point, Manoeuvre::Drive);
                let t = &balance.tyre_load;
                Ok(Some(LiftPoint {
                    acceleration: point.a,
                    lifted: [t.front_left, t.front_right].map(|n| n <= small),
                    balance,
                }))
            }
            Ended::Limit(..) => Ok(None),
            Ended::Lost(point) => Err(self.lost(f64::INFINITY, &point, Manoeuvre::Drive)),
        }
    }

    /// The acceleration at which the tyres slip with friction `mu`: open differential when the thrust of a wheel reaches
    /// μ times its load (the lighter one decides), locked when the whole thrust does.
    ///
    /// # Errors
    /// [`LaunchError::BadInput`] for a friction that is not positive; [`LaunchError::Lost`].
    pub fn traction_limit(&self, mu: f64) -> Result<TractionLimit, LaunchError> {
        if !(mu > 0.0 && mu.is_finite()) {
            return Err(LaunchError::BadInput {
                what: "friction coefficient",
                value: mu,
            });
        }
        let grip = |_: &PathPoint, s: &Acting| {
            let spare = |i: usize| mu * s.rear_load[i] - s.thrust[i];
            match self.model.car.differential {
                super::car::Differential::Open => spare(0).min(spare(1)),
                super::car::Differential::Locked => spare(0) + spare(1),
            }
        };
        let ended = match self.stride_to(&grip) {
            Some(point) => Ended::Watched(point),
            None => self.walk(Manoeuvre::Drive, self.start(), 1.0, &grip),
        };
        let (kind, point) = match ended {
            Ended::Watched(point) => (TractionKind::Slip, point),
            Ended::Limit(kind, point) => (TractionKind::Balance(kind), point),
            Ended::Lost(point) => {
                return Err(self.lost(f64::INFINITY, &point, Manoeuvre::Drive));
            }
        };
        Ok(TractionLimit {
            acceleration: point.a,
            kind,
            balance: self.read(&point, Manoeuvre::Drive),
        })
    }

    fn start(&self) -> PathPoint {
        PathPoint {
            q: self.rest,
            a: 0.0,
        }
    }

    fn read(&self, point: &PathPoint, manoeuvre: Manoeuvre) -> Balance {
        read(&self.model, point, manoeuvre, &self.rest)
    }

    fn lost(&self, asked: f64, at: &PathPoint, manoeuvre: Manoeuvre) -> LaunchError {
        LaunchError::Lost {
            asked_g: asked / STANDARD_GRAVITY,
            reached_g: at.a / STANDARD_GRAVITY,
            last: Box::new(self.read(at, manoeuvre)),
        }
    }

    fn walk(
        &self,
        manoeuvre: Manoeuvre,
        from: PathPoint,
        direction: f64,
        watch: &dyn Fn(&PathPoint, &Acting) -> f64,
    ) -> Ended {
        let walk = Walk {
            model: &self.model,
            manoeuvre,
        };
        walk.walk(from, direction, watch)
    }

    /// Under power, the first place where `watch` (a force, N, positive at rest) comes down to nothing, by strides and a
    /// secant that stays before it: a third of the time of a walk. `None` where a stride can not be trusted (a tyre lifts on the
    /// way, the path bends, nothing stands beyond): then the walk decides.
    fn stride_to(&self, watch: &dyn Fn(&PathPoint, &Acting) -> f64) -> Option<PathPoint> {
        /// Share of the way to the place foreseen that is gone at once: what the path bends is far less.
        const SHORT_OF_IT: f64 = 0.999;
        let drive = Manoeuvre::Drive;
        let small = 1e-10 * self.model.car.weight();
        let at = |point: &PathPoint| {
            let acting = self.model.system(&point.q, point.a, drive, &[]).acting;
            (watch(point, &acting), acting.contacts())
        };
        let mut here = self.start();
        let mut rate = self.at_rest.rate?;
        let (mut force, contacts) = at(&here);
        if force <= 0.0 {
            return None;
        }
        // Another place and its force: the slope toward it says where the force ends.
        let mut other: Option<(f64, f64)> = None;
        for _ in 0..60 {
            if force <= small {
                return Some(here);
            }
            let foreseen = other.map(|(a, f)| force * (a - here.a) / (force - f));
            let step = match foreseen {
                None => 0.3 * STRIDE,
                Some(way) if way > 0.0 => (SHORT_OF_IT * way).min(STRIDE),
                Some(_) => STRIDE,
            };
            let q = std::array::from_fn(|i| here.q[i] + rate[i] * step);
            let (point, found) = self.newton_checked(q, here.a + step, drive)?;
            let (there, standing) = at(&point);
            if there < 0.0 {
                // Beyond it: that place tells the slope, nothing more.
                other = Some((point.a, there));
                continue;
            }
            if standing != contacts || !follows(&here.q, &rate, &found.q, &found.rate, step) {
                return None;
            }
            other = Some((here.a, force));
            (here, rate, force) = (point, found.rate, there);
        }
        None
    }

    fn check(&self, manoeuvre: Manoeuvre, acceleration: f64) -> Result<(), LaunchError> {
        if !acceleration.is_finite() {
            return Err(LaunchError::BadInput {
                what: "acceleration",
                value: acceleration,
            });
        }
        match manoeuvre {
            Manoeuvre::Brake { rear_share } if !(0.0..=1.0).contains(&rear_share) => {
                Err(LaunchError::BadInput {
                    what: "rear brake share",
                    value: rear_share,
                })
            }
            _ => Ok(()),
        }
    }

    /// Newton's answer near `q`, if it is stable and stands on both ends; with its rate by the acceleration.
    fn newton_checked(
        &self,
        q: Coordinates,
        a: f64,
        manoeuvre: Manoeuvre,
    ) -> Option<(PathPoint, Found)> {
        let found = self.model.newton(q, a, manoeuvre, &[])?;
        let placed = super::forces::Placed::new(&found.q);
        let car = &self.model.car;
        let low = |heights: [f64; 2]| heights[0].min(heights[1]);
        let front = low(self.model.front_points().map(|p| placed.on_sprung(&p).z));
        let rear = low(self.model.wheel_centres().map(|p| placed.on_axle(&p).z));
        let stands = front < car.front_free_height && rear < car.tyre_free_radius;
        (found.sign > 0.0 && stands).then_some((PathPoint { q: found.q, a }, found))
    }

    fn go(
        &self,
        manoeuvre: Manoeuvre,
        from: PathPoint,
        rate: Option<Coordinates>,
        to: f64,
    ) -> Result<Balance, LaunchError> {
        self.check(manoeuvre, to)?;
        let (mut here, mut rate) = (from, rate);
        let start = self.model.system(&from.q, from.a, manoeuvre, &[]);
        let contacts = start.acting.contacts();
        while here.a != to {
            let Some(before) = rate else {
                return self.go_carefully(manoeuvre, here, to);
            };
            let left = to - here.a;
            let strides = (left.abs() / STRIDE).ceil().max(1.0);
            let next = if strides > 1.0 {
                here.a + left / strides
            } else {
                to
            };
            let step = next - here.a;
            let q = std::array::from_fn(|i| here.q[i] + before[i] * step);
            let found = self.newton_checked(q, next, manoeuvre);
            let found = found.filter(|(_, f)| {
                f.contacts == contacts && follows(&here.q, &before, &f.q, &f.rate, step)
            });
            match found {
                Some((point, f)) => (here, rate) = (point, Some(f.rate)),
                None => return self.go_carefully(manoeuvre, here, to),
            }
        }
        Ok(self.read(&here, manoeuvre))
    }

    /// Along the path by arclength: what follows is either there or has a named end.
    fn go_carefully(
        &self,
        manoeuvre: Manoeuvre,
        from: PathPoint,
        to: f64,
    ) -> Result<Balance, LaunchError> {
        let direction = (to - from.a).signum();
        let ended = self.walk(manoeuvre, from, direction, &|p, _| (to - p.a) * direction);
        match ended {
            Ended::Watched(point) => {
                let exact = self
                    .newton_checked(point.q, to, manoeuvre)
                    .map_or(point, |(exact, _)| exact);
                Ok(self.read(&exact, manoeuvre))
            }
            Ended::Limit(kind, point) => Err(LaunchError::NoBalance {
                asked_g: to / STANDARD_GRAVITY,
                largest_g: point.a / STANDARD_GRAVITY,
                kind,
                last: Box::new(self.read(&point, manoeuvre)),
            }),
            Ended::Lost(point) => Err(self.lost(to, &point, manoeuvre)),
        }
    }
}

/// Whether the way between two states is what their rates say (trapezoidal rule): if not, a tyre lifted in between, or
/// the step has leapt over a place where the path turns back.
fn follows(
    from: &Coordinates,
    rate_from: &Coordinates,
    to: &Coordinates,
    rate_to: &Coordinates,
    step: f64,
) -> bool {
    let way: Coordinates = std::array::from_fn(|i| to[i] - from[i]);
    let off: Coordinates =
        std::array::from_fn(|i| way[i] - 0.5 * step * (rate_from[i] + rate_to[i]));
    largest(&off) <= STRAY * largest(&way) + 1e-7
}

const fn direction(manoeuvre: Manoeuvre) -> f64 {
    match manoeuvre {
        Manoeuvre::Drive => 1.0,
        Manoeuvre::Brake { .. } => -1.0,
    }
}
