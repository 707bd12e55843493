//! Forces at the front end: springs and roll stiffness, and moments about the steering axis.
//! The kinematics are [`geometry::front`]; senses as there.

mod moments;
mod springs;

pub use moments::{
    HandwheelLoad, LongitudinalAt, MomentParts, SteeringMoment, TyreLoad, handwheel_load,
    steering_moment,
};
pub use springs::{
    AntiRollBar, ArmBending, BarStiffness, CoilSpring, RollCar, RollLoads, WheelRate,
    axle_roll_stiffness, tube_torsion, wheel_roll_stiffness,
};

use geometry::front::FrontError;
use thiserror::Error;

/// Why a force at the front end has no answer.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum FrontForceError {
    /// A number is out of its range.
    #[error("{what} is {value}")]
    BadNumber {
        /// Which number.
        what: &'static str,
        /// Its value, SI.
        value: f64,
    },
    /// The car falls over: the roll stiffness does not hold the weight's own moment.
    #[error(
        "roll stiffness {stiffness} N·m/rad does not hold the weight's moment of {needed} N·m/rad"
    )]
    FallsOver {
        /// K_f + K_r, N·m/rad.
        stiffness: f64,
        /// m_s g h_r, N·m/rad.
        needed: f64,
    },
    /// The tie rod has no lever about the steering axis.
    #[error("the tie rod's lever about the steering axis is {lever} m")]
    NoLever {
        /// The lever, m.
        lever: f64,
    },
    /// The front end's geometry has no answer.
    #[error(transparent)]
    Geometry(#[from] FrontError),
}

fn positive(what: &'static str, value: f64) -> Result<f64, FrontForceError> {
    if value > 0.0 && value.is_finite() {
        Ok(value)
    } else {
        Err(FrontForceError::BadNumber { what, value })
    }
}

fn finite(what: &'static str, value: f64) -> Result<f64, FrontForceError> {
    if value.is_finite() {
        Ok(value)
    } else {
        Err(FrontForceError::BadNumber { what, value })
    }
}

/// a > b; false for a NaN.
fn above(a: f64, b: f64) -> bool {
    a > b
}
