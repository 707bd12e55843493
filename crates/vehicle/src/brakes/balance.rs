//! Axle brake forces against what the tyres can hold.
//!
//! Every force is piecewise linear in the pedal force. First locks and changes of order are solved exactly between its
//! kinks, not searched for.

use super::car::{Axle, BrakeCar, Ends};
use super::pedal::{Booster, Master, Pedal, ProportioningValve};
use super::wheel::Brake;
use super::{BrakeError, finite, not_negative, positive};
use crate::STANDARD_GRAVITY;

/// The brakes of one axle, the same left and right.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AxleBrakes {
    /// The brake of each wheel.
    pub brake: Brake,
    /// Loaded radius of the tyre r, m, positive.
    pub loaded_radius: f64,
    /// Proportioning valve in this axle's line.
    pub valve: Option<ProportioningValve>,
    /// Pressure a residual valve holds in the line, Pa; 0 without one.
    pub held: f64,
}

/// The whole system.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BrakeSystem {
    /// Car.
    pub car: BrakeCar,
    /// Pedal.
    pub pedal: Pedal,
    /// Booster; None: none, or no vacuum left.
    pub booster: Option<Booster>,
    /// Masters.
    pub master: Master,
    /// Front axle.
    pub front: AxleBrakes,
    /// Rear axle.
    pub rear: AxleBrakes,
}

/// One axle at a pedal force.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AxleRow {
    /// Pressure at the master, Pa.
    pub line_pressure: f64,
    /// Pressure at the wheels, Pa.
    pub wheel_pressure: f64,
    /// Clamp or cylinder force of one wheel, N.
    pub actuating_force: f64,
    /// Torque of one wheel, N·m.
    pub torque_per_wheel: f64,
    /// Brake force of the axle asked for, N: 2T/r.
    pub demand: f64,
}

/// The car at a pedal force.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BrakingRow {
    /// Force at the pad, N.
    pub pedal_force: f64,
    /// Push on the master or the bar, N.
    pub push_rod_force: f64,
    /// Front axle.
    pub front: AxleRow,
    /// Rear axle.
    pub rear: AxleRow,
    /// Braking rate asked for.
    pub demand_z: f64,
    /// Adhesion utilisation F/N of each axle at the braking rate asked for; the larger locks first. None of the rear: its wheels
    /// have left the ground.
    pub utilisation_front: f64,
    /// See `utilisation_front`.
    pub utilisation_rear: Option<f64>,
    /// z over the larger utilisation; None without braking, or with the rear off the ground.
    pub efficiency: Option<f64>,
    /// Share of the front in the force asked for; None without braking.
    pub front_share: Option<f64>,
    /// Axle with the larger utilisation; None without braking or when they are equal.
    pub locks_first: Option<Axle>,
    /// Braking rate reached.
    pub z: f64,
    /// Deceleration reached, m/s².
    pub deceleration: f64,
    /// Axle loads at the rate reached, N.
    pub loads: Ends,
    /// The front wheels are locked.
    pub front_locked: bool,
    /// The rear wheels are locked.
    pub rear_locked: bool,
    /// Ideal axle forces at the rate asked for, N.
    pub ideal: Ends,
}

/// First lock on a surface.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FirstLock {
    /// Tyre friction.
    pub mu: f64,
    /// Axle that locks first; None: both at once.
    pub first: Option<Axle>,
    /// Pedal force, N.
    pub pedal_force: f64,
    /// Braking rate there.
    pub z: f64,
    /// z/μ.
    pub efficiency: f64,
    /// Pedal force at which the other axle locks too, N; None: not up to the greatest pedal force.
    pub second_pedal_force: Option<f64>,
}

/// A place where the order of locking changes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Changeover {
    /// Pedal force, N.
    pub pedal_force: f64,
    /// Braking rate asked for.
    pub z: f64,
    /// Axle that locks first above it.
    pub above: Axle,
}

/// Remark against UN ECE R13-H, annex 5 (from memory). Not an approval.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Regulation {
    /// Least of front less rear utilisation for z 0.15 to 0.8, with its z; None: no such z is reached.
    pub least_front_excess: Option<(f64, f64)>,
    /// Least of z − 0.1 − 0.7 (k − 0.2) for k 0.2 to 0.8, k the larger utilisation, with its k; None: not reached.
    pub least_adhesion_excess: Option<(f64, f64)>,
}

/// A checked system ready to be asked.
#[derive(Clone, Debug, PartialEq)]
pub struct BrakeBalance {
    system: BrakeSystem,
    /// Pedal forces at which a slope changes, N, rising, from 0.
    kinks: Vec<f64>,
}

impl BrakeBalance {
    /// # Errors
    /// [`BrakeError`].
    pub fn new(system: BrakeSystem) -> Result<Self, BrakeError> {
        system.car.check()?;
        system.pedal.check()?;
        if let Some(booster) = &system.booster {
            booster.check()?;
        }
        system.master.check()?;
        for (axle, radius) in [
            (&system.front, "loaded radius of the front tyre"),
            (&system.rear, "loaded radius of the rear tyre"),
        ] {
            axle.brake.check()?;
            positive(radius, axle.loaded_radius)?;
            not_negative("pressure held by residual valves", axle.held)?;
            if let Some(valve) = &axle.valve {
                valve.check()?;
            }
        }
        let mut new = Self {
            system,
            kinks: Vec::new(),
        };
        new.kinks = new.find_kinks();
        Ok(new)
    }

    /// The system.
    #[must_use]
    pub const fn system(&self) -> &BrakeSystem {
        &self.system
    }

    /// The same car when the booster has no vacuum.
    #[must_use]
    pub fn without_assist(&self) -> Self {
        let mut other = self.clone();
        other.system.booster = None;
        other.kinks = other.find_kinks();
        other
    }

    fn find_kinks(&self) -> Vec<f64> {
        let s = &self.system;
        let per_pedal = s.pedal.force_in(1.0);
        let knee = s.booster.and_then(|b| b.knee());
        let force_in = |push: f64| {
            let Some((b, knee)) = s.booster.zip(knee) else {
                return push;
            };
            if push <= b.push(knee) {
                push / b.gain
            } else {
                push - b.assist_limit
            }
        };
        let mut kinks: Vec<f64> = vec![0.0];
        kinks.extend(knee.map(|f| f / per_pedal));
        for (circuit, axle) in [&s.front, &s.rear].into_iter().enumerate() {
            let inlet = |p: f64| axle.valve.map_or(Some(p), |v| v.inlet(p));
            let line = [
                Some(0.0),
                axle.valve.map(|v| v.knee),
                inlet(axle.held),
                inlet(axle.brake.threshold_pressure()),
            ];
            kinks.extend(
                line.into_iter()
                    .flatten()
                    .filter_map(|p| s.master.push_for(circuit, p))
                    .map(|push| force_in(push) / per_pedal),
            );
        }
        kinks.retain(|p| p.is_finite() && *p >= 0.0);
        kinks.sort_by(f64::total_cmp);
        kinks.dedup();
        kinks
    }

    fn push(&self, pedal_force: f64) -> f64 {
        let force_in = self.system.pedal.force_in(pedal_force);
        self.system.booster.map_or(force_in, |b| b.push(force_in))
    }

    fn axle_row(axle: &AxleBrakes, line_pressure: f64) -> AxleRow {
        let through = axle
            .valve
            .map_or(line_pressure, |v| v.outlet(line_pressure));
        let wheel_pressure = through.max(axle.held);
        let actuating_force = axle.brake.actuating_force(wheel_pressure);
        let torque_per_wheel = actuating_force * axle.brake.torque_arm();
        AxleRow {
            line_pressure,
            wheel_pressure,
            actuating_force,
            torque_per_wheel,
            demand: 2.0 * torque_per_wheel / axle.loaded_radius,
        }
    }

    fn axles(&self, push: f64) -> (AxleRow, AxleRow) {
        let [front, rear] = self.system.master.pressures(push);
        (
            Self::axle_row(&self.system.front, front),
            Self::axle_row(&self.system.rear, rear),
        )
    }

    /// Axle forces asked for at a pedal force, N.
    #[must_use]
    pub fn demand(&self, pedal_force: f64) -> Ends {
        let (front, rear) = self.axles(self.push(pedal_force));
        Ends {
            front: front.demand,
            rear: rear.demand,
        }
    }

    /// Pressures at the front and rear wheels at a pedal force, Pa.
    #[must_use]
    pub fn wheel_pressures(&self, pedal_force: f64) -> Ends {
        let (front, rear) = self.axles(self.push(pedal_force));
        Ends {
            front: front.wheel_pressure,
            rear: rear.wheel_pressure,
        }
    }

    /// The car at a pedal force (N, zero or more) on tyres of friction `mu`.
    ///
    /// # Errors
    /// [`BrakeError::BadInput`].
    pub fn row(&self, pedal_force: f64, mu: f64) -> Result<BrakingRow, BrakeError> {
        not_negative("pedal force", pedal_force)?;
        positive("tyre friction", mu)?;
        let car = &self.system.car;
        let push_rod_force = self.push(pedal_force);
        let (front, rear) = self.axles(push_rod_force);
        let demand = Ends {
            front: front.demand,
            rear: rear.demand,
        };
        let total = finite("brake force", demand.front + demand.rear)?;
        let demand_z = total / car.weight();
        let n = car.loads(demand_z);
        let utilisation_front = demand.front / n.front;
        let utilisation_rear = (n.rear > 0.0).then(|| demand.rear / n.rear);
        let braking = total > 0.0;
        let larger = utilisation_rear.map(|r| r.max(utilisation_front));
        let locks_first = match utilisation_rear {
            _ if !braking => None,
            None => Some(Axle::Rear),
            Some(r) if r > utilisation_front => Some(Axle::Rear),
            Some(r) if r < utilisation_front => Some(Axle::Front),
            Some(_) => None,
        };
        let (z, [front_locked, rear_locked]) = car.reached(demand, mu);
        Ok(BrakingRow {
            pedal_force,
            push_rod_force,
            front,
            rear,
            demand_z,
            utilisation_front,
            utilisation_rear,
            efficiency: larger.filter(|_| braking).map(|f| demand_z / f),
            front_share: braking.then(|| demand.front / total),
            locks_first,
            z,
            deceleration: z * STANDARD_GRAVITY,
            loads: car.loads(z),
            front_locked,
            rear_locked,
            ideal: car.ideal(demand_z),
        })
    }

    /// The kinks up to `greatest`, and that itself.
    fn stations(&self, greatest: f64) -> Vec<f64> {
        let mut at: Vec<f64> = self
            .kinks
            .iter()
            .copied()
            .filter(|p| *p < greatest)
            .collect();
        at.push(greatest);
        at
    }

    /// Least pedal force from `from` to `greatest` at which a function linear between the kinks rises to zero.
    fn first_root(&self, from: f64, greatest: f64, f: impl Fn(f64) -> f64) -> Option<f64> {
        if f(from) >= 0.0 {
            return Some(from);
        }
        let mut low = from;
        for high in self.stations(greatest) {
            if high <= low {
                continue;
            }
            let (below, above) = (f(low), f(high));
            if above >= 0.0 {
                return Some(low + (high - low) * (below / (below - above)));
            }
            low = high;
        }
        None
    }

    /// First lock on tyres of friction `mu`; None: no axle locks up to `greatest_pedal_force`.
    ///
    /// # Errors
    /// [`BrakeError::BadInput`].
    pub fn first_lock(
        &self,
        mu: f64,
        greatest_pedal_force: f64,
    ) -> Result<Option<FirstLock>, BrakeError> {
        positive("tyre friction", mu)?;
        positive("greatest pedal force", greatest_pedal_force)?;
        let car = &self.system.car;
        let rate = |d: Ends| (d.front + d.rear) / car.weight();
        let over = |p: f64| {
            let d = self.demand(p);
            let n = car.loads(rate(d));
            (d.front - mu * n.front, d.rear - mu * n.rear)
        };
        let greatest = greatest_pedal_force;
        let front = self.first_root(0.0, greatest, |p| over(p).0);
        let rear = self.first_root(0.0, greatest, |p| over(p).1);
        let (first, pedal_force) = match (front, rear) {
            (None, None) => return Ok(None),
            (Some(f), None) => (Some(Axle::Front), f),
            (None, Some(r)) => (Some(Axle::Rear), r),
            (Some(f), Some(r)) if f < r => (Some(Axle::Front), f),
            (Some(f), Some(r)) if f > r => (Some(Axle::Rear), r),
            (Some(f), Some(_)) => (None, f),
        };
        // With both locked z = μ: the second locks when it asks for what it holds there.
        let both = car.loads(mu);
        let second_pedal_force = match first {
            Some(Axle::Front) => self.first_root(pedal_force, greatest, |p| {
                self.demand(p).rear - mu * both.rear
            }),
            Some(Axle::Rear) => self.first_root(pedal_force, greatest, |p| {
                self.demand(p).front - mu * both.front
            }),
            None => Some(pedal_force),
        };
        let z = rate(self.demand(pedal_force));
        Ok(Some(FirstLock {
            mu,
            first,
            pedal_force,
            z,
            efficiency: z / mu,
            second_pedal_force,
        }))
    }

    /// Every place up to `greatest_pedal_force` (N) where the order of locking changes, while the rear wheels are on the
    /// ground.
    ///
    /// # Errors
    /// [`BrakeError::BadInput`].
    pub fn changeovers(&self, greatest_pedal_force: f64) -> Result<Vec<Changeover>, BrakeError> {
        positive("greatest pedal force", greatest_pedal_force)?;
        let car = &self.system.car;
        let rate = |d: Ends| (d.front + d.rear) / car.weight();
        let lift = car.lift_rate();
        let end = self
            .first_root(0.0, greatest_pedal_force, |p| rate(self.demand(p)) - lift)
            .unwrap_or(greatest_pedal_force);
        // Rear less front utilisation, times both loads.
        let excess = |p: f64| {
            let d = self.demand(p);
            let n = car.loads(rate(d));
            d.rear * n.front - d.front * n.rear
        };
        let stations = self.stations(end);
        let mut candidates = Vec::new();
        for pair in stations.windows(2) {
            let (low, high) = (pair[0], pair[1]);
            candidates.push(low);
            // A quadratic in the pedal force, from three of its values.
            let (f0, f1, f2) = (excess(low), excess(0.5 * (low + high)), excess(high));
            let (a, b) = (2.0 * (f0 - 2.0 * f1 + f2), -3.0 * f0 + 4.0 * f1 - f2);
            for t in quadratic_roots(a, b, f0) {
                if t > 0.0 && t < 1.0 {
                    candidates.push(low + t * (high - low));
                }
            }
        }
        candidates.push(end);
        candidates.sort_by(f64::total_cmp);
        let weight = car.weight();
        let mut found: Vec<Changeover> = Vec::new();
        let mut before: Option<Axle> = None;
        for pair in candidates.windows(2) {
            let middle = excess(0.5 * (pair[0] + pair[1]));
            let sign = if middle > 1e-13 * weight * weight {
                Axle::Rear
            } else if middle < -1e-13 * weight * weight {
                Axle::Front
            } else {
                continue;
            };
            if before.is_some_and(|b| b != sign) {
                found.push(Changeover {
                    pedal_force: pair[0],
                    z: rate(self.demand(pair[0])),
                    above: sign,
                });
            }
            before = Some(sign);
        }
        Ok(found)
    }

    /// The least braking rate below `mu` at which the rear would lock first: there the car can spin. None: nowhere.
    ///
    /// # Errors
    /// [`BrakeError::BadInput`].
    pub fn rear_first_from(
        &self,
        mu: f64,
        greatest_pedal_force: f64,
    ) -> Result<Option<f64>, BrakeError> {
        positive("tyre friction", mu)?;
        let rate = |p: f64| {
            let d = self.demand(p);
            (d.front + d.rear) / self.system.car.weight()
        };
        let changes = self.changeovers(greatest_pedal_force)?;
        // The first order of all begins where the first axle takes hold.
        let begins = self
            .stations(greatest_pedal_force)
            .windows(2)
            .map(|pair| (pair[0], 0.5 * (pair[0] + pair[1])))
            .find(|(_, middle)| rate(*middle) > 0.0);
        if let Some((start, middle)) = begins {
            let first = match changes.first() {
                Some(change) => change.above == Axle::Front,
                None => self.row(middle, mu)?.locks_first == Some(Axle::Rear),
            };
            if first {
                return Ok(Some(rate(start)));
            }
        }
        Ok(changes
            .iter()
            .filter(|c| c.above == Axle::Rear && c.z < mu)
            .map(|c| c.z)
            .reduce(f64::min))
    }

    /// Remark against UN ECE R13-H (from memory): front utilisation above rear for z 0.15–0.8, and
    /// z ≥ 0.1 + 0.7 (k − 0.2) for k 0.2–0.8. Sampled at steps of 0.005 in z.
    ///
    /// # Errors
    /// [`BrakeError::BadInput`].
    pub fn regulation(&self, greatest_pedal_force: f64) -> Result<Regulation, BrakeError> {
        positive("greatest pedal force", greatest_pedal_force)?;
        let mut out = Regulation {
            least_front_excess: None,
            least_adhesion_excess: None,
        };
        let car = &self.system.car;
        let rate = |p: f64| {
            let d = self.demand(p);
            (d.front + d.rear) / car.weight()
        };
        let lower = |slot: &mut Option<(f64, f64)>, value: f64, at: f64| {
            if slot.is_none_or(|(least, _)| value < least) {
                *slot = Some((value, at));
            }
        };
        for i in 1..=200 {
            let z = 0.005 * f64::from(i);
            let Some(p) = self.first_root(0.0, greatest_pedal_force, |p| rate(p) - z) else {
                break;
            };
            let (d, n) = (self.demand(p), car.loads(z));
            let front = d.front / n.front;
            let rear = if n.rear > 0.0 {
                d.rear / n.rear
            } else {
                f64::INFINITY
            };
            if (0.15..=0.8 + 1e-12).contains(&z) {
                lower(&mut out.least_front_excess, front - rear, z);
            }
            let k = front.max(rear);
            if (0.2..=0.8).contains(&k) {
                lower(&mut out.least_adhesion_excess, z - 0.1 - 0.7 * (k - 0.2), k);
            }
        }
        Ok(out)
    }
}

/// Real roots of a t² + b t + c.
fn quadratic_roots(a: f64, b: f64, c: f64) -> impl Iterator<Item = f64> {
    let d = b * b - 4.0 * a * c;
    let q = -0.5 * (b + d.max(0.0).sqrt().copysign(b));
    let roots = if d < 0.0 {
        [f64::NAN; 2]
    } else {
        [q / a, c / q]
    };
    roots.into_iter().filter(|t| t.is_finite())
}
