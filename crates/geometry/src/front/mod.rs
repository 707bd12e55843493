//! The front end: double wishbones with a rack, left and right together.
//!
//! A knuckle is a rigid body on five rods (a wishbone counts as two, the tie rod is the fifth),
//! held at a wheel-centre height: the position problem of [`crate::solve_position`] with z
//! prescribed, and its exact derivatives. Everything else is read from pose and motion.
//!
//! Senses (ISO 8855): camber is positive with the top outward, toe with the front inward, caster
//! with the top rearward, kingpin inclination with the top inboard; scrub with the steering axis
//! inboard of the contact, mechanical trail with it ahead; steer to the left. Travel is the
//! wheel centre's height over the drawn one, positive in bump. The rack moves the inner ends of
//! both tie rods along y, positive to the left.

mod adjust;
mod arm;
mod bump;
mod clearance;
mod corner;
mod grid;
mod joint;
mod motion;
mod state;
mod steering;

pub use adjust::{Adjuster, AdjusterChange, AdjusterEffect, Alignment, Wanted, turns_for};
pub use arm::{BarEnd, BarEndState, Carried, Carrier, CoilOver, CoilOverState, PointMotion};
pub use bump::{BumpSteer, RackHeight, Straightened, TieRodMove};
pub use clearance::{Bar, Closest, Gap, closest, rod_bars, segment_distance};
pub use corner::{Corner, DrawnCorner, FrontRod, Side, TieRod, Wishbone};
pub use grid::{Front, FrontGrid, GridCell};
pub use joint::{Joint, RodSide};
pub use motion::Motion;
pub use state::{CornerState, FrontViewCentre, anti_dive};
pub use steering::{Lock, LockCause, SteeringCar, SteeringRow, Turn, ideal_outer};

use thiserror::Error;

use crate::rods::Unreachable;

/// Largest coordinate a front end may have, m: beyond it no drawing is meant.
pub const LARGEST: f64 = 100.0;

/// What was moving when a pose went out of reach.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FrontMoving {
    /// Wheel travel, m.
    Travel,
    /// Rack, m.
    Rack,
    /// Turns of an adjuster, from 0 to what was asked.
    Turns,
}

impl std::fmt::Display for FrontMoving {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Travel => "wheel travel",
            Self::Rack => "rack",
            Self::Turns => "turns",
        })
    }
}

/// Why a front end has no answer.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum FrontError {
    /// A number is out of its range.
    #[error("{what} is {value}")]
    BadNumber {
        /// Which number.
        what: &'static str,
        /// Its value, SI.
        value: f64,
    },
    /// The ball joints do not make a steering axis: the upper is not above the lower.
    #[error("the upper ball joint is {rise} m above the lower one")]
    NoSteeringAxis {
        /// Upper height less lower height, m.
        rise: f64,
    },
    /// With the held rod lengths the corner cannot be assembled at design height.
    #[error(
        "the corner cannot be assembled at design height: only {:.1} % of the way to the held rod lengths ({reason})",
        share * 100.0
    )]
    CannotAssemble {
        /// How far from the drawn lengths to the held ones the rods still reach, 0 to 1.
        share: f64,
        /// What stops it.
        reason: Unreachable,
    },
    /// The pose is out of reach from a certain value on.
    #[error("out of reach from {moving} {begins_at:.6} on: {reason}")]
    OutOfReach {
        /// What was moving.
        moving: FrontMoving,
        /// Value at which it begins, m (turns: turns).
        begins_at: f64,
        /// What happens there.
        reason: Unreachable,
    },
    /// The rods do not determine the motion at a pose, or an input fault of a rod.
    #[error(transparent)]
    Motion(#[from] Unreachable),
    /// A bar's drop link does not reach at this pose.
    #[error("the drop link of {length} m does not reach: ends {nearest} to {farthest} m apart")]
    LinkDoesNotReach {
        /// Its length, m.
        length: f64,
        /// Least distance the ends can have, m.
        nearest: f64,
        /// Largest distance, m.
        farthest: f64,
    },
    /// The tie rod cannot be straightened: its outer end does not move in a usable direction.
    #[error("no shift makes it straight (determinant {determinant:.3e})")]
    CannotStraighten {
        /// What should not be zero, m or m².
        determinant: f64,
    },
    /// The adjusters do not set the wanted angles independently.
    #[error(
        "the adjusters do not set these angles independently (singular value ratio {ratio:.3e})"
    )]
    AdjustersSingular {
        /// Smallest over largest singular value of the table.
        ratio: f64,
    },
}

/// Refuses what is not finite or larger than [`LARGEST`].
pub(crate) fn sane(what: &'static str, value: f64) -> Result<f64, FrontError> {
    if value.is_finite() && value.abs() <= LARGEST {
        Ok(value)
    } else {
        Err(FrontError::BadNumber { what, value })
    }
}

/// Refuses what is not positive, finite and at most [`LARGEST`].
pub(crate) fn positive(what: &'static str, value: f64) -> Result<f64, FrontError> {
    if value > 0.0 {
        sane(what, value)
    } else {
        Err(FrontError::BadNumber { what, value })
    }
}

/// a > b; false for a NaN.
pub(crate) fn above(a: f64, b: f64) -> bool {
    a > b
}

/// a ≤ b; false for a NaN.
pub(crate) fn up_to(a: f64, b: f64) -> bool {
    a <= b
}
