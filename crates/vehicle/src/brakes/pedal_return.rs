//! What brings the pedal back to its stop.
//!
//! In the pedal's plane, about its pivot: x forward, z up, m; the pedal's angle θ is 0 at rest and grows as it is pressed. Each torque is the
//! slope of its energy over θ, + toward rest. A residual valve holds its pressure on the wheel side: it gives no push
//! to the master.

use nalgebra::{Point2, Vector2};

use super::{BrakeError, bad, finite, not_negative, positive};
use crate::STANDARD_GRAVITY;

/// Drive over friction that is enough (common practice, no source).
pub const TARGET_MARGIN: f64 = 1.5;
/// Poses over the travel in which the balance is looked at.
const POSES: usize = 241;

/// Steps of the return after which a pedal in thick oil counts as not coming back.
const LONGEST: usize = 200_000;

/// Where a spring pulls or pushes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum SpringKind {
    /// Pulls: initial tension + k·(L − L₀); slack below L₀.
    Extension {
        /// Initial tension, N, zero or more.
        initial_tension: f64,
    },
    /// Pushes: k·(L₀ − L); free above L₀.
    Compression,
}

/// A spring between the body and the pedal. An assist spring on its own arm is one more: over centre it may hinder.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PedalSpring {
    /// Kind.
    pub kind: SpringKind,
    /// Rate k, N/m, zero or more.
    pub rate: f64,
    /// Free length L₀, m, zero or more.
    pub free_length: f64,
    /// End on the body from the pivot, m.
    pub anchor: Point2<f64>,
    /// End on the pedal from the pivot, at rest, m.
    pub on_pedal: Point2<f64>,
}

/// Which way the pedal hangs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PedalArm {
    /// Pad below the pivot.
    Hanging,
    /// Pad above the pivot.
    Standing,
}

/// The pedal with everything that moves with it.
#[derive(Clone, Debug, PartialEq)]
pub struct PedalReturn {
    /// Which way it hangs.
    pub arm: PedalArm,
    /// Pad from the pivot at rest, m.
    pub pad: Point2<f64>,
    /// Pin of the push rod from the pivot at rest, m.
    pub push_rod_pin: Point2<f64>,
    /// Direction of the bore, away from the pedal; any length. The push rod is long: it moves by the pin's travel along it.
    pub bore: Vector2<f64>,
    /// Angle from rest to full travel, rad, positive, at most π/2.
    pub full_angle: f64,
    /// Springs.
    pub springs: Vec<PedalSpring>,
    /// Spring in the master: force at rest F₀, N, zero or more.
    pub master_spring_force: f64,
    /// Its rate, N/m, zero or more.
    pub master_spring_rate: f64,
    /// Master piston area, m², zero or more.
    pub master_area: f64,
    /// Pressure in the chamber, Pa: + left over, − suction of a fast release.
    pub chamber_pressure: f64,
    /// Friction of the seals along the bore, N, zero or more.
    pub seal_friction: f64,
    /// Friction of the pivot, N·m, zero or more.
    pub pivot_friction: f64,
    /// Mass of the pedal, kg, zero or more.
    pub mass: f64,
    /// Its centre of gravity from the pivot at rest, m.
    pub cg: Point2<f64>,
    /// Moment of inertia about the pivot, with what moves along, kg·m², positive.
    pub inertia: f64,
    /// Viscous damping c, N·m·s, zero or more.
    pub damping: f64,
}

/// The balance at one angle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ReturnPoint {
    /// Angle from rest, rad.
    pub angle: f64,
    /// Torque of each spring, in their order, summed, N·m, + toward rest.
    pub springs: f64,
    /// Torque of the master's spring, N·m.
    pub master_spring: f64,
    /// Torque of the chamber pressure, N·m.
    pub pressure: f64,
    /// Torque of the weight, N·m.
    pub weight: f64,
    /// Sum of the above, N·m.
    pub drive: f64,
    /// Friction of seals and pivot, N·m, zero or more.
    pub friction: f64,
    /// Drive less friction, N·m.
    pub net: f64,
    /// Force at the pad, N.
    pub pad_force: f64,
}

/// The balance over the travel.
#[derive(Clone, Debug, PartialEq)]
pub struct ReturnReport {
    /// From rest to full travel.
    pub points: Vec<ReturnPoint>,
    /// Least net torque.
    pub least: ReturnPoint,
    /// First angle from full travel where the pedal sticks (static), rad; None: it comes back.
    pub sticks_at: Option<f64>,
    /// Least drive over friction; None: no friction.
    pub margin: Option<f64>,
    /// Time from full travel to the stop, s; None: it does not get there.
    pub time: Option<f64>,
}

impl PedalReturn {
    fn check(&self) -> Result<(), BrakeError> {
        positive("angle to full travel", self.full_angle)?;
        if self.full_angle > std::f64::consts::FRAC_PI_2 {
            return Err(bad(
                "angle to full travel",
                self.full_angle,
                "at most a quarter turn",
            ));
        }
        positive("length of the pedal", self.pad.coords.norm())?;
        positive("direction of the bore", self.bore.norm())?;
        positive("inertia", self.inertia)?;
        for (what, p) in [
            ("push rod pin", self.push_rod_pin),
            ("centre of gravity of the pedal", self.cg),
        ] {
            finite(what, p.x)?;
            finite(what, p.y)?;
        }
        for (what, v) in [
            ("spring force of the master", self.master_spring_force),
            ("spring rate of the master", self.master_spring_rate),
            ("master area", self.master_area),
            ("seal friction", self.seal_friction),
            ("pivot friction", self.pivot_friction),
            ("mass of the pedal", self.mass),
            ("damping", self.damping),
        ] {
            not_negative(what, v)?;
        }
        finite("chamber pressure", self.chamber_pressure)?;
        for s in &self.springs {
            not_negative("spring rate", s.rate)?;
            not_negative("free length", s.free_length)?;
            if let SpringKind::Extension { initial_tension } = s.kind {
                not_negative("initial tension", initial_tension)?;
            }
            for p in [s.anchor, s.on_pedal] {
                finite("spring end", p.x)?;
                finite("spring end", p.y)?;
            }
        }
        Ok(())
    }

    /// A point of the pedal at an angle, and how it moves per radian.
    fn moved(&self, at_rest: &Point2<f64>, angle: f64) -> (Point2<f64>, Vector2<f64>) {
        let sense = match self.arm {
            PedalArm::Hanging => 1.0,
            PedalArm::Standing => -1.0,
        };
        let (s, c) = (sense * angle).sin_cos();
        let p = Point2::new(c * at_rest.x - s * at_rest.y, s * at_rest.x + c * at_rest.y);
        (p, Vector2::new(-p.y, p.x) * sense)
    }

    /// Push rod travel at an angle, m, and its slope, m/rad.
    fn rod(&self, angle: f64) -> (f64, f64) {
        let u = self.bore.normalize();
        let (p, slope) = self.moved(&self.push_rod_pin, angle);
        ((p - self.push_rod_pin).dot(&u), slope.dot(&u))
    }

    fn spring_torque(&self, spring: &PedalSpring, angle: f64) -> f64 {
        let (end, slope) = self.moved(&spring.on_pedal, angle);
        let along = end - spring.anchor;
        let length = along.norm();
        if length <= 0.0 {
            return 0.0;
        }
        let rate = along.dot(&slope) / length;
        let over = length - spring.free_length;
        match spring.kind {
            SpringKind::Extension { initial_tension } if over > 0.0 => {
                (initial_tension + spring.rate * over) * rate
            }
            SpringKind::Compression if over < 0.0 => spring.rate * over * rate,
            _ => 0.0,
        }
    }

    fn point(&self, angle: f64) -> ReturnPoint {
        let (travel, slope) = self.rod(angle);
        let springs = self
            .springs
            .iter()
            .map(|s| self.spring_torque(s, angle))
            .sum::<f64>();
        let master_spring = (self.master_spring_force + self.master_spring_rate * travel) * slope;
        let pressure = self.chamber_pressure * self.master_area * slope;
        let weight = self.mass * STANDARD_GRAVITY * self.moved(&self.cg, angle).1.y;
        let drive = springs + master_spring + pressure + weight;
        let friction = self.seal_friction * slope.abs() + self.pivot_friction;
        let net = drive - friction;
        ReturnPoint {
            angle,
            springs,
            master_spring,
            pressure,
            weight,
            drive,
            friction,
            net,
            pad_force: net / self.pad.coords.norm(),
        }
    }

    /// The balance at an angle from rest (rad).
    ///
    /// # Errors
    /// [`BrakeError::BadInput`].
    pub fn at(&self, angle: f64) -> Result<ReturnPoint, BrakeError> {
        self.check()?;
        finite("pedal angle", angle)?;
        Ok(self.point(angle))
    }

    /// The balance over the whole travel.
    ///
    /// # Errors
    /// [`BrakeError::BadInput`].
    pub fn report(&self) -> Result<ReturnReport, BrakeError> {
        self.check()?;
        let step = self.full_angle / (POSES - 1) as f64;
        let points: Vec<ReturnPoint> = (0..POSES).map(|i| self.point(step * i as f64)).collect();
        let mut least = self.point(0.0);
        for p in &points {
            if p.net < least.net {
                least = *p;
            }
        }
        let least = self.lowest_near(&least, step);
        let margin = points
            .iter()
            .chain([&least])
            .filter(|p| p.friction > 0.0)
            .map(|p| p.drive / p.friction)
            .reduce(f64::min);
        let sticks_at = self.sticking(&points);
        Ok(ReturnReport {
            least,
            sticks_at,
            margin,
            time: self.time_to_stop(),
            points,
        })
    }

    /// The lowest net torque within a step of a point: golden section.
    fn lowest_near(&self, point: &ReturnPoint, step: f64) -> ReturnPoint {
        const GOLDEN: f64 = 0.618_033_988_749_894_8;
        let mut low = (point.angle - step).max(0.0);
        let mut high = (point.angle + step).min(self.full_angle);
        let mut best = *point;
        for _ in 0..40 {
            let width = (high - low) * GOLDEN;
            let (a, b) = (self.point(high - width), self.point(low + width));
            for p in [a, b] {
                if p.net < best.net {
                    best = p;
                }
            }
            if a.net < b.net {
                high = b.angle;
            } else {
                low = a.angle;
            }
        }
        best
    }

    fn sticking(&self, points: &[ReturnPoint]) -> Option<f64> {
        let mut before = points.last()?.angle;
        for p in points.iter().rev() {
            if p.net <= 0.0 {
                let (mut free, mut stuck) = (before, p.angle);
                for _ in 0..60 {
                    let middle = 0.5 * (free + stuck);
                    if self.point(middle).net <= 0.0 {
                        stuck = middle;
                    } else {
                        free = middle;
                    }
                }
                return Some(stuck);
            }
            before = p.angle;
        }
        None
    }

    /// I·θ̈ = −net − c·θ̇ from rest at full travel to the stop.
    fn time_to_stop(&self) -> Option<f64> {
        let start = self.point(self.full_angle).net;
        if start <= 0.0 {
            return None;
        }
        let slope = |angle: f64, rate: f64| {
            (
                rate,
                (-self.point(angle).net - self.damping * rate) / self.inertia,
            )
        };
        let step = |angle: f64, rate: f64, h: f64| {
            let k1 = slope(angle, rate);
            let k2 = slope(angle + 0.5 * h * k1.0, rate + 0.5 * h * k1.1);
            let k3 = slope(angle + 0.5 * h * k2.0, rate + 0.5 * h * k2.1);
            let k4 = slope(angle + h * k3.0, rate + h * k3.1);
            (
                angle + h / 6.0 * (k1.0 + 2.0 * k2.0 + 2.0 * k3.0 + k4.0),
                rate + h / 6.0 * (k1.1 + 2.0 * k2.1 + 2.0 * k3.1 + k4.1),
            )
        };
        let mut h = (2.0 * self.inertia * self.full_angle / start).sqrt() / 500.0;
        // With heavy damping the step follows the damper's own time.
        if self.damping > 0.0 {
            h = h.min(0.25 * self.inertia / self.damping);
        }
        let (mut angle, mut rate, mut time) = (self.full_angle, 0.0, 0.0);
        for _ in 0..LONGEST {
            let (next, next_rate) = step(angle, rate, h);
            if next <= 0.0 {
                let (mut low, mut high) = (0.0, h);
                for _ in 0..60 {
                    let middle = 0.5 * (low + high);
                    if step(angle, rate, middle).0 > 0.0 {
                        low = middle;
                    } else {
                        high = middle;
                    }
                }
                return Some(time + high);
            }
            // Standing still or turned back: it has stuck on the way.
            if !next.is_finite() || next_rate >= 0.0 {
                return None;
            }
            (angle, rate) = (next, next_rate);
            time += h;
        }
        None
    }
}
