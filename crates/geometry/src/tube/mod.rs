//! Tubes of a frame: how they lie, bend, cope, weigh and come out of stock.
//!
//! A tube runs from end A to end B through corner points; d is the unit vector from A to B.
//! Everything is pure: points, sections and radii in, figures out, SI (m, rad, kg).
//! [`direction`] holds the rule for "up", [`section`] the cross-sections, [`bend`] the
//! centreline and its bends, [`shaping`] springback and the wall, [`bender`] a machine that
//! bends forward, [`cope`] the cuts at the ends, [`mass`] and [`stock`] what is bought.

pub mod bend;
pub mod bender;
pub mod cope;
pub mod direction;
pub mod mass;
pub mod section;
pub mod shaping;
pub mod stock;

use thiserror::Error;

/// Greatest length or coordinate taken seriously, m.
pub const LARGEST: f64 = 1.0e4;

/// A size or place that no tube can have. Lengths in m, angles in rad.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
#[non_exhaustive]
pub enum BadInput {
    /// Not a number, infinite, or larger than [`LARGEST`].
    #[error("{what} of {value} is not a usable number")]
    NotUsable {
        /// Name of the input.
        what: &'static str,
        /// Its value.
        value: f64,
    },
    /// Zero or negative where something must be there.
    #[error("{what} must be more than zero, it is {value}")]
    NotPositive {
        /// Name of the input.
        what: &'static str,
        /// Its value.
        value: f64,
    },
    /// Negative where zero is the least.
    #[error("{what} cannot be negative, it is {value}")]
    Negative {
        /// Name of the input.
        what: &'static str,
        /// Its value.
        value: f64,
    },
    /// More than its place allows.
    #[error("{what} of {value} is too much, at most {most}")]
    TooMuch {
        /// Name of the input.
        what: &'static str,
        /// Its value.
        value: f64,
        /// Greatest value accepted.
        most: f64,
    },
    /// A direction without length.
    #[error("{what} has no direction")]
    NoDirection {
        /// Name of the input.
        what: &'static str,
    },
}

pub(crate) fn usable(what: &'static str, value: f64) -> Result<f64, BadInput> {
    if value.is_finite() && value.abs() <= LARGEST {
        Ok(value)
    } else {
        Err(BadInput::NotUsable { what, value })
    }
}

pub(crate) fn positive(what: &'static str, value: f64) -> Result<f64, BadInput> {
    if usable(what, value)? > 0.0 {
        Ok(value)
    } else {
        Err(BadInput::NotPositive { what, value })
    }
}

pub(crate) fn not_negative(what: &'static str, value: f64) -> Result<f64, BadInput> {
    if usable(what, value)? >= 0.0 {
        Ok(value)
    } else {
        Err(BadInput::Negative { what, value })
    }
}

pub(crate) fn place(what: &'static str, point: &nalgebra::Point3<f64>) -> Result<(), BadInput> {
    point.iter().try_for_each(|v| usable(what, *v).map(|_| ()))
}

/// Unit vector of `v`.
pub(crate) fn unit(
    what: &'static str,
    v: &nalgebra::Vector3<f64>,
) -> Result<nalgebra::Vector3<f64>, BadInput> {
    v.iter().try_for_each(|v| usable(what, *v).map(|_| ()))?;
    v.try_normalize(1e-9).ok_or(BadInput::NoDirection { what })
}
