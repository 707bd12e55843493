//! Following an assembly along a sweep, and finding where the rods stop reaching.
//!
//! A pose is always reached in small steps from a known one, so that a wrong assembly
//! (the mirror solution behind a lock) is never taken. Where a step fails the point at
//! which the failure begins is bisected.

use thiserror::Error;

use crate::pose::{Coordinate, Pose, Prescribed};
use crate::position::{Position, solve_position};
use crate::rods::{Rod, Unreachable};

/// Longest step of a sweep along a length, m.
pub const TRAVEL_STEP: f64 = 2e-3;
/// Longest step of a sweep along an angle, rad.
pub const ANGLE_STEP: f64 = 1e-2;
/// The start of a failure is bisected to this, m or rad (finer than the 1e-6 promised).
pub const RESOLUTION: f64 = 1e-9;
/// Below this conditioning floor steps shorten, as its square: next to a lock the singular
/// value ratio falls as the root of the distance, and a lock that only a short stretch of
/// the sweep passes through must not be stepped over.
const CAREFUL: f64 = 0.16;
/// Steps shorten to no less than this share for that reason.
const SHORTEST_SHARE: f64 = 1e-3;
/// A larger change of any coordinate in one step (m or rad) is taken again in halves.
const JUMP: f64 = 0.05;

/// A sweep that could not go on.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
#[error("out of reach from {begins_at:.6}: {reason}")]
pub struct Stopped {
    /// Value of the swept quantity at which the failure begins, bisected to [`RESOLUTION`].
    pub begins_at: f64,
    /// The last pose that was reached.
    pub last: Pose,
    /// What happens just beyond.
    pub reason: Unreachable,
}

/// Follows a solution from `from` to `to` in steps of at most `step`, each solved by
/// `solve(value, neighbouring pose)`; `start` is the solution at `from`.
///
/// # Errors
/// [`Stopped`] with the value at which the failure begins, bisected to `resolution`; an
/// input fault stops at once.
pub fn march(
    from: f64,
    to: f64,
    step: f64,
    resolution: f64,
    start: &Position,
    mut solve: impl FnMut(f64, &Pose) -> Result<Position, Unreachable>,
) -> Result<Position, Stopped> {
    let stopped = |begins_at, position: &Position, reason| Stopped {
        begins_at,
        last: position.pose,
        reason,
    };
    if !(from.is_finite() && to.is_finite() && step > 0.0 && resolution > 0.0) {
        return Err(stopped(from, start, Unreachable::NotFinite));
    }
    let sign = (to - from).signum();
    let (mut at, mut position, mut size) = (from, *start, step);
    let mut failure: Option<(f64, Unreachable)> = None;
    loop {
        let left = (to - at) * sign;
        if left <= 0.0 {
            return Ok(position);
        }
        if let Some((bad, reason)) = failure
            && (bad - at) * sign <= resolution
        {
            return Err(stopped(0.5 * (at + bad), &position, reason));
        }
        let room = failure.map_or(left, |(bad, _)| 0.5 * (bad - at) * sign);
        let next = if size >= room && failure.is_none() {
            to
        } else {
            at + sign * size.min(room)
        };
        match solve(next, &position.pose) {
            Ok(found) => {
                let change = largest_change(&position.pose, &found.pose);
                // Halved as well where the rods come close to a lock within one step.
                let falls = found.conditioning_floor < 0.5 * position.conditioning_floor
                    && found.conditioning_floor < CAREFUL
                    && (next - at).abs() > SHORTEST_SHARE * step;
                if change > JUMP || falls {
                    size = 0.5 * (next - at).abs();
                    if size < resolution {
                        return Err(stopped(at, &position, Unreachable::BranchLost { change }));
                    }
                } else {
                    (at, position) = (next, found);
                    let care = (found.conditioning_floor / CAREFUL).powi(2);
                    size = (2.0 * size).min(step * care.clamp(SHORTEST_SHARE, 1.0));
                }
            }
            Err(reason) if reason.is_input_fault() => {
                return Err(stopped(at, &position, reason));
            }
            Err(reason) => failure = Some((next, reason)),
        }
    }
}

fn largest_change(a: &Pose, b: &Pose) -> f64 {
    a.coordinates()
        .iter()
        .zip(b.coordinates())
        .fold(0.0, |m, (x, y)| m.max((x - y).abs()))
}

/// Moves the coordinate `moving` from its value in `start` to `to` (m or rad), the
/// coordinates of `held` staying held at their values there; `moving` is held too, whether
/// `held` lists it or not. Holding z alone gives the "roll free" path.
///
/// # Errors
/// [`Stopped`], `begins_at` in the unit of `moving`.
pub fn follow(
    rods: &[Rod],
    start: &Position,
    held: &Prescribed,
    moving: Coordinate,
    to: f64,
) -> Result<Position, Stopped> {
    let step = if moving.is_angle() {
        ANGLE_STEP
    } else {
        TRAVEL_STEP
    };
    let from = start.pose.get(moving);
    march(from, to, step, RESOLUTION, start, |value, pose| {
        solve_position(rods, &held.with(moving, value), pose)
    })
}
