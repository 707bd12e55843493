//! Why a run has no answer.

use thiserror::Error;

use super::engine::RPM;
use super::report::Mark;

/// Why a launch run has no answer. Nothing is ever a NaN or a panic instead.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum RunError {
    /// A figure is not finite, negative, or zero where it can not be.
    #[error("{what} is {value}")]
    BadInput {
        /// Which figure.
        what: &'static str,
        /// Its value, SI.
        value: f64,
    },
    /// A figure is outside its range.
    #[error("{what} is {value}, it can be {least} to {most}")]
    OutOfRange {
        /// Which figure.
        what: &'static str,
        /// Its value, SI.
        value: f64,
        /// Least value allowed.
        least: f64,
        /// Greatest value allowed.
        most: f64,
    },
    /// A list is too short.
    #[error("{count} values of {what}, at least {least} are needed")]
    TooFew {
        /// Which list.
        what: &'static str,
        /// Its length.
        count: usize,
        /// Least length.
        least: usize,
    },
    /// A list has not the length of the one it goes with.
    #[error("{count} {what}, {expected} are needed")]
    Count {
        /// Which list.
        what: &'static str,
        /// Its length.
        count: usize,
        /// Length needed.
        expected: usize,
    },
    /// A list that has to rise does not.
    #[error("{what}: {value} follows {before}, it has to rise")]
    NotRising {
        /// Which list.
        what: &'static str,
        /// A value.
        before: f64,
        /// The one after it, not above it.
        value: f64,
    },
    /// The thrust never overcomes what holds the car.
    #[error(
        "the car does not move: {thrust:.0} N of thrust ({drive:.0} N from the engine) against {resistance:.0} N"
    )]
    DoesNotMove {
        /// Thrust at the contact, N.
        thrust: f64,
        /// What the driveline would give, N.
        drive: f64,
        /// Rolling resistance and drag of a headwind, N.
        resistance: f64,
    },
    /// The engine falls below the first point of its torque curve.
    #[error(
        "the engine bogs {time:.3} s after the start in gear {gear}: {:.0} rpm, the torque curve begins at {:.0} rpm",
        speed / RPM,
        first / RPM
    )]
    Bogs {
        /// When, s.
        time: f64,
        /// Gear, from 1.
        gear: usize,
        /// Engine speed, rad/s.
        speed: f64,
        /// First speed of the torque curve, rad/s.
        first: f64,
    },
    /// Thrust loads the rear tyres faster than the tyres can turn the load into thrust: with these links there
    /// is no traction limit.
    #[error(
        "thrust locks against the links {time:.3} s after the start, rear travel {travel:.4} m: each newton of thrust adds {load_per_thrust:.3} N of tyre load at a friction of {friction:.2}"
    )]
    ThrustLocks {
        /// When, s.
        time: f64,
        /// Rear travel, m, bump positive.
        travel: f64,
        /// Tyre load per thrust τ.
        load_per_thrust: f64,
        /// Friction at no load μ₀(1 + k).
        friction: f64,
    },
    /// The time is up before a mark.
    #[error("{mark} is not reached within {time} s: {travel:.1} m done")]
    NeverReaches {
        /// First mark not reached.
        mark: Mark,
        /// Time limit, s.
        time: f64,
        /// Travel at that time, m.
        travel: f64,
    },
    /// The front keeps rising: nobody holds the thrust back in a launch with tyre slip.
    #[error("the front comes up {time:.3} s after the start and does not stop at {nose_up:.2} rad")]
    GoesOver {
        /// When, s.
        time: f64,
        /// Pitch, nose up positive, rad.
        nose_up: f64,
    },
    /// The motion can not be followed any further.
    #[error("the motion is lost {time:.6} s after the start")]
    Lost {
        /// When, s.
        time: f64,
    },
}
