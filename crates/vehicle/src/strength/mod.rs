//! What rods, rod ends and bolts stand, and the safety factor that is left.
//!
//! Forces along the rod, N, tension positive; stresses Pa; lengths m. A safety factor is capacity over load; the usual
//! target for suspension links is 3 on yield or static rating (common practice, no source).

mod bolt;
mod column;
mod link;
mod section;

pub use bolt::{BoltGrade, BoltStrength, Planes, ShearArea, bolt_shear, bolt_strength};
pub use column::{Column, ColumnKind, CriticalLoad};
pub use link::{
    Capacity, DEFAULT_TARGET, Link, LinkVerdict, LoadCase, Mode, ModeFactor, bumped, judge,
};
pub use section::{Material, Section};

use thiserror::Error;

/// Why a part has no strength.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum StrengthError {
    /// A figure is out of range.
    #[error("{what} is {value}")]
    BadInput {
        /// Which figure.
        what: &'static str,
        /// Its value, SI.
        value: f64,
    },
    /// The grade table has no bolt of this size.
    #[error("no {grade} bolt of diameter {diameter} m in the table")]
    NotInTable {
        /// Grade asked for.
        grade: BoltGrade,
        /// Diameter asked for, m.
        diameter: f64,
    },
}

pub(crate) fn positive(what: &'static str, value: f64) -> Result<f64, StrengthError> {
    if value > 0.0 && value.is_finite() {
        Ok(value)
    } else {
        Err(StrengthError::BadInput { what, value })
    }
}
