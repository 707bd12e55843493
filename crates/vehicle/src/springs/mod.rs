//! Coil-overs on a rigid axle: motion ratio over travel, wheel rate, seats and preload, travel left, spring choice.
//!
//! Symbols: L distance between the ends of the coil-over (m); z axle travel against the sprung mass (m, bump positive);
//! φ its roll (rad, left wheel up positive); motion ratio MR = −dL/dz (−); F = k·(L₀ − L) ≥ 0 the spring force, L₀ the length
//! at zero force. Wheel force F·MR; wheel rate k·MR² + F·dMR/dz, the second being the geometric term; about the roll
//! axis k·(dL/dφ)² − F·d²L/dφ² (Gillespie, Fundamentals of Vehicle Dynamics, ch. 7; Milliken & Milliken, Race Car
//! Vehicle Dynamics, ch. 16). Rates are per coil-over.

mod choose;
mod over_travel;
mod seat;

pub use choose::{Catalogue, Corner, SpringChoice, choose};
pub use over_travel::{CoiloverMount, Motion, SpringState, motion, spring_state};
pub use seat::{Seat, Shock, Spring, TravelBudget, seat, travel_budget};

use geometry::{AxleError, Unreachable};
use thiserror::Error;

/// Why a spring has no answer.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum SpringError {
    /// A figure is out of range.
    #[error("{what} is {value}")]
    BadInput {
        /// Which figure.
        what: &'static str,
        /// Its value, SI.
        value: f64,
    },
    /// The axle does not reach the pose.
    #[error(transparent)]
    Axle(#[from] AxleError),
    /// The rods do not determine the motion.
    #[error(transparent)]
    Motion(#[from] Unreachable),
    /// The coil-over does not move with the wheel: no force of it holds the car.
    #[error("the motion ratio is {ratio}")]
    NoMotion {
        /// Motion ratio found.
        ratio: f64,
    },
}

pub(crate) fn positive(what: &'static str, value: f64) -> Result<f64, SpringError> {
    if value > 0.0 && value.is_finite() {
        Ok(value)
    } else {
        Err(SpringError::BadInput { what, value })
    }
}

/// Ride frequency f = √(K/m)/2π, Hz, of a sprung corner mass (kg, positive) on a wheel rate (N/m, positive).
///
/// # Errors
/// [`SpringError::BadInput`].
pub fn ride_frequency(wheel_rate: f64, sprung_mass: f64) -> Result<f64, SpringError> {
    let k = positive("wheel rate", wheel_rate)?;
    let m = positive("sprung corner mass", sprung_mass)?;
    Ok((k / m).sqrt() / std::f64::consts::TAU)
}

/// Two springs one on the other, N/m: the ride rate of a wheel rate on a tyre. 0 when one is 0.
#[must_use]
pub fn in_series(a: f64, b: f64) -> f64 {
    if a + b == 0.0 { 0.0 } else { a * b / (a + b) }
}

/// Wheel force, N, that a coil-over must give per wheel at rest, divided by the motion ratio: F = W/MR. W is the
/// sprung weight on the wheel. The turning moment of the housing's own weight about its links is left out (its CG is
/// near the axle); [`crate::launch`] has it.
///
/// # Errors
/// [`SpringError::NoMotion`] when |MR| < 1e-3 or it is negative; [`SpringError::BadInput`].
pub fn static_force(sprung_weight: f64, motion_ratio: f64) -> Result<f64, SpringError> {
    let weight = positive("sprung weight on the wheel", sprung_weight)?;
    if motion_ratio > 1e-3 && motion_ratio.is_finite() {
        Ok(weight / motion_ratio)
    } else {
        Err(SpringError::NoMotion {
            ratio: motion_ratio,
        })
    }
}
