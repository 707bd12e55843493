//! The driveline behind the gearbox: joints, shafts, gearing.
//!
//! - [`joints`]: working angles in space, phase, equivalent angle, exact motion of a chain of Hooke joints;
//! - [`over_travel`]: the same over poses of the axle, with plunge, engagement and the loop;
//! - [`shaft`]: critical speed and torsion of the driveshaft, axle shafts and splines;
//! - [`gearing`]: road speed against engine speed, choice of the final drive.
//!
//! Axes are unit vectors in the direction of power flow, rearward. SI; speeds of rotation rad/s.
//!
//! Caution: a driveshaft that lets go at speed comes through the floor: loop, balance, bolts to torque.

pub mod gearing;
pub mod joints;
pub mod over_travel;
pub mod shaft;

pub use gearing::{FinalDriveChoice, GearRow, GearingChart, Gears, Goal};
pub use joints::{
    JointChain, JointFinding, JointLayout, JointLimits, JointMotion, PhaseTurn, SpeedRange,
    allowed_second_angle,
};
pub use over_travel::{Loop, ShaftFinding, ShaftOnTravel, ShaftRow, SlipYoke};
pub use shaft::{
    AxleShaft, CriticalSpeed, ShaftTorsion, ShaftTube, Spline, SplineStress, driveshaft_torque,
};

use geometry::AxleError;
use thiserror::Error;

use crate::driveshaft::ShaftError;
use crate::strength::StrengthError;

/// Why a driveline has no answer.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum DrivelineError {
    /// A figure is not finite or out of its range.
    #[error("{what} is {value}: it must be {range}")]
    BadInput {
        /// Which figure.
        what: &'static str,
        /// Its value, SI.
        value: f64,
        /// What it may be.
        range: &'static str,
    },
    /// Numbers of axes, joints and phases that do not go together.
    #[error("{axes} axes make {} joints with {} shafts between them: {phases} phases are given", axes.saturating_sub(1), axes.saturating_sub(2))]
    Miscounted {
        /// Axes given.
        axes: usize,
        /// Phases given.
        phases: usize,
    },
    /// A joint folded by a right angle or more.
    #[error("joint {} is folded by {angle:.4} rad: it can not turn", joint + 1)]
    Folded {
        /// Joint, from 0.
        joint: usize,
        /// Its working angle, rad.
        angle: f64,
    },
    /// The shaft has no place.
    #[error(transparent)]
    Shaft(#[from] ShaftError),
    /// The axle does not reach.
    #[error(transparent)]
    Axle(#[from] AxleError),
    /// A section or material is none.
    #[error(transparent)]
    Strength(#[from] StrengthError),
}

fn bad(what: &'static str, value: f64, range: &'static str) -> DrivelineError {
    DrivelineError::BadInput { what, value, range }
}

fn positive(what: &'static str, value: f64) -> Result<f64, DrivelineError> {
    if value > 0.0 && value.is_finite() {
        Ok(value)
    } else {
        Err(bad(what, value, "above zero"))
    }
}

fn not_negative(what: &'static str, value: f64) -> Result<f64, DrivelineError> {
    if value >= 0.0 && value.is_finite() {
        Ok(value)
    } else {
        Err(bad(what, value, "zero or more"))
    }
}

fn share(what: &'static str, value: f64) -> Result<f64, DrivelineError> {
    if value > 0.0 && value <= 1.0 {
        Ok(value)
    } else {
        Err(bad(what, value, "above 0 and at most 1"))
    }
}
