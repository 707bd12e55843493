//! Ackermann, turning circle, steering ratio and lock. No tyre slip: low-speed numbers.

use super::corner::Side;
use super::grid::Front;
use super::state::CornerState;
use super::{FrontError, positive};
use super::{above, up_to};

/// Mean steer (rad) below which there is no turn to speak of.
const NO_TURN: f64 = 1e-12;
/// Step in which the lock is looked for, m of rack.
const LOCK_STEP: f64 = 1e-3;
/// Width to which it is bisected, m.
const LOCK_RESOLUTION: f64 = 1e-9;

/// What the steering figures need to know of the car.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SteeringCar {
    /// Wheelbase L, m, positive.
    pub wheelbase: f64,
    /// Rack travel per turn of the handwheel, m, positive.
    pub rack_per_turn: f64,
    /// Width of the front tyre, m, positive.
    pub tyre_width: f64,
}

/// The two wheels in a turn, angles from straight ahead, rad.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Turn {
    /// The side to which the car turns.
    pub to: Side,
    /// Inner wheel, positive.
    pub inner: f64,
    /// Outer wheel, positive.
    pub outer: f64,
    /// Ideal outer wheel: cot δ_o* = cot δ_i + t_k/L (Reimpell, from memory).
    pub outer_ideal: f64,
    /// (δ_i − δ_o)/(δ_i − δ_o*), 1 = 100 %: 0 parallel, negative reversed.
    pub ackermann: f64,
    /// Track circle diameter 2(L/sin δ_o + scrub of the outer wheel), m.
    pub track_circle: f64,
    /// Kerb to kerb: the track circle and a tyre width, m.
    pub kerb_circle: f64,
    /// Radius of the rear axle's middle L(cot δ_i + cot δ_o)/2, m.
    pub rear_axle_radius: f64,
}

/// Steering at one rack position, design height.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SteeringRow {
    /// Rack, m, left positive.
    pub rack: f64,
    /// Left wheel's steer less its static steer, rad, left positive.
    pub steer_left: f64,
    /// Right wheel's.
    pub steer_right: f64,
    /// Mean of the two.
    pub mean: f64,
    /// dmean/drack, rad/m.
    pub mean_per_rack: f64,
    /// Handwheel angle per mean road wheel angle, positive.
    pub steering_ratio: f64,
    /// The turn; None straight ahead, or where the wheels do not both turn the same way.
    pub turn: Option<Turn>,
}

/// Ideal outer angle (rad) to an inner angle: cot δ_o = cot δ_i + t_k/L.
#[must_use]
pub fn ideal_outer(inner: f64, axis_track: f64, wheelbase: f64) -> f64 {
    let (s, c) = inner.sin_cos();
    s.atan2(c + s * axis_track / wheelbase)
}

/// What ends the steering.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LockCause {
    /// The rack's end.
    RackEnd,
    /// The tyre touches something.
    TyreContact,
    /// A joint is at its angle.
    JointAngle,
    /// The rods do not reach further.
    OutOfReach,
}

/// Where the steering ends on one side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lock {
    /// Rack there, m.
    pub rack: f64,
    /// What ends it.
    pub cause: LockCause,
}

impl Front {
    /// Distance between the points where the steering axes meet the ground at design, m (t_k).
    ///
    /// # Errors
    /// As [`super::Corner::state`].
    pub fn axis_track(&self) -> Result<f64, FrontError> {
        let left = self.left.state_at(&self.left.design, 0.0)?;
        let right = self.right.state_at(&self.right.design, 0.0)?;
        Ok(left.axis_on_ground.y - right.axis_on_ground.y)
    }

    /// Steering figures at each rack position (m), design height.
    ///
    /// # Errors
    /// [`FrontError::BadNumber`], or where a rack position is out of reach.
    pub fn steering(
        &self,
        car: &SteeringCar,
        racks: &[f64],
    ) -> Result<Vec<SteeringRow>, FrontError> {
        positive("wheelbase", car.wheelbase)?;
        positive("rack per turn", car.rack_per_turn)?;
        positive("tyre width", car.tyre_width)?;
        let axis_track = self.axis_track()?;
        let straight_left = self.left.state_at(&self.left.design, 0.0)?.steer;
        let straight_right = self.right.state_at(&self.right.design, 0.0)?.steer;
        racks
            .iter()
            .map(|&rack| {
                let (left, right) = (self.left.state(0.0, rack)?, self.right.state(0.0, rack)?);
                let (a, b) = (left.steer - straight_left, right.steer - straight_right);
                let mean = 0.5 * (a + b);
                let mean_per_rack = 0.5 * (left.steer_per_rack + right.steer_per_rack);
                let per_rack = std::f64::consts::TAU / car.rack_per_turn;
                Ok(SteeringRow {
                    rack,
                    steer_left: a,
                    steer_right: b,
                    mean,
                    mean_per_rack,
                    steering_ratio: (per_rack / mean_per_rack).abs(),
                    turn: turn(car, axis_track, (a, &left), (b, &right)),
                })
            })
            .collect()
    }

    /// The first of rack end, tyre contact, joint angle and reach on the way from the centred rack to
    /// `rack_end` (m, signed) at `travel` of both wheels. `margin` says how much room the left
    /// and right wheel have left and what would end it; at zero or below it is locked.
    ///
    /// # Errors
    /// [`FrontError::BadNumber`]; [`FrontError::OutOfReach`] for the travel itself.
    pub fn lock(
        &self,
        travel: f64,
        rack_end: f64,
        mut margin: impl FnMut(&CornerState, &CornerState) -> (LockCause, f64),
    ) -> Result<Lock, FrontError> {
        let mut left = self.left.move_travel(&self.left.design, 0.0, travel)?;
        let mut right = self.right.move_travel(&self.right.design, 0.0, travel)?;
        if !up_to(rack_end.abs(), 1.0) {
            return Err(FrontError::BadNumber {
                what: "rack end",
                value: rack_end,
            });
        }
        let mut blocked = |l: &crate::Position, r: &crate::Position, rack: f64| {
            let (l, r) = (self.left.state_at(l, rack)?, self.right.state_at(r, rack)?);
            let (cause, room) = margin(&l, &r);
            Ok::<_, FrontError>((!above(room, 0.0)).then_some(cause))
        };
        if let Some(cause) = blocked(&left, &right, 0.0)? {
            return Ok(Lock { rack: 0.0, cause });
        }
        let mut good = 0.0_f64;
        let mut beyond: Option<(f64, LockCause)> = None;
        loop {
            let end = beyond.map_or(rack_end, |(bad, _)| bad);
            let room = end - good;
            if let Some((_, cause)) = beyond
                && room.abs() <= LOCK_RESOLUTION
            {
                return Ok(Lock { rack: good, cause });
            }
            if beyond.is_none() && room == 0.0 {
                return Ok(Lock {
                    rack: rack_end,
                    cause: LockCause::RackEnd,
                });
            }
            let next = match beyond {
                Some(_) => good + 0.5 * room,
                None if room.abs() <= LOCK_STEP => rack_end,
                None => good + LOCK_STEP.copysign(room),
            };
            let moved = (
                self.left.move_rack(&left, good, next),
                self.right.move_rack(&right, good, next),
            );
            let cause = match moved {
                (Ok(l), Ok(r)) => {
                    let cause = blocked(&l, &r, next)?;
                    if cause.is_none() {
                        (good, left, right) = (next, l, r);
                    }
                    cause
                }
                _ => Some(LockCause::OutOfReach),
            };
            if let Some(cause) = cause {
                beyond = Some((next, cause));
            }
        }
    }
}

fn turn(
    car: &SteeringCar,
    axis_track: f64,
    left: (f64, &CornerState),
    right: (f64, &CornerState),
) -> Option<Turn> {
    let mean = 0.5 * (left.0 + right.0);
    if !above(mean.abs(), NO_TURN) {
        return None;
    }
    let (to, inner, outer) = if mean > 0.0 {
        (Side::Left, left, right)
    } else {
        (Side::Right, right, left)
    };
    let sense = to.sign();
    let (scrub, inner, outer) = (outer.1.scrub_radius, inner.0 * sense, outer.0 * sense);
    if !(inner > 0.0 && outer > 0.0) {
        return None;
    }
    let outer_ideal = ideal_outer(inner, axis_track, car.wheelbase);
    // Below rounding, or with the steering axes on each other, no share of the ideal can be told.
    if !above(inner, outer_ideal) {
        return None;
    }
    let track_circle = 2.0 * (car.wheelbase / outer.sin() + scrub);
    Some(Turn {
        to,
        inner,
        outer,
        outer_ideal,
        ackermann: (inner - outer) / (inner - outer_ideal),
        track_circle,
        kerb_circle: track_circle + car.tyre_width,
        rear_axle_radius: 0.5 * car.wheelbase * (1.0 / inner.tan() + 1.0 / outer.tan()),
    })
}
