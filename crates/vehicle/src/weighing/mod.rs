//! Weighing: corner scales, and the height of the centre of gravity from raising one end.

mod corners;
mod height;

pub use corners::{CornerLoads, CornerWeights};
pub use height::{HeightPartials, HeightReadings, HeightSigmas, MeasuredHeight};

use thiserror::Error;

/// Why a weighing gives no answer.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum WeighingError {
    /// A figure is not finite, negative, or zero where it can not be.
    #[error("{what} is {value}")]
    BadInput {
        /// Which figure.
        what: &'static str,
        /// Its value, SI.
        value: f64,
    },
    /// A load is greater than the car's weight.
    #[error("{what} is {value:.1} N, the car weighs {weight:.1} N")]
    MoreThanTheCar {
        /// Which load.
        what: &'static str,
        /// The load, N.
        value: f64,
        /// The weight, N.
        weight: f64,
    },
    /// The rise is none, or more than the wheelbase allows.
    #[error(
        "a rise of {rise:.4} m tells nothing about the height: it can be up to {most:.4} m, not 0"
    )]
    NoSuchRise {
        /// Rise of the rear wheel centres, m.
        rise: f64,
        /// Largest rise, m.
        most: f64,
    },
}

fn positive(what: &'static str, value: f64) -> Result<(), WeighingError> {
    if value > 0.0 && value.is_finite() {
        Ok(())
    } else {
        Err(WeighingError::BadInput { what, value })
    }
}

fn not_negative(what: &'static str, value: f64) -> Result<(), WeighingError> {
    if value >= 0.0 && value.is_finite() {
        Ok(())
    } else {
        Err(WeighingError::BadInput { what, value })
    }
}
