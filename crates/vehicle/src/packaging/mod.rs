//! What fits at the rear: wheels, tyres, housing and shafts to order, clearance over travel and roll.
//!
//! - [`wheel`]: rim, offset, backspacing, the tyre on its rim;
//! - [`housing`]: housing width and axle shaft lengths;
//! - [`envelope`]: the least gap of every pair over both wheels' travel, and where it happens;
//! - [`notch`]: how deep and long a rail must be notched over the axle tube;
//! - [`bump_stop`]: stop before metal.
//!
//! Caution: a tyre that touches can lock or burst; a notched rail without its plate bends; measure with springs out, at real
//! pressure, on stands.

pub mod bump_stop;
pub mod envelope;
pub mod housing;
pub mod notch;
pub mod wheel;

pub use bump_stop::{BumpStop, CoiloverBars, StopFinding, StopSearch, StopTravel};
pub use envelope::{
    Attached, BarEnd, Clearance, Envelope, Obstacle, Part, Side, TyreShape, WheelPose, WheelTravel,
};
pub use housing::{Housing, HousingOrder, MeasuredShafts};
pub use notch::{Notch, Rail};
pub use wheel::{RearWheel, Tyre, TyreOnRim};

use geometry::AxleError;
use thiserror::Error;

/// Gap wanted for growth of the tyre and flex of the body, m: 1 in (own value).
pub const TARGET_GAP: f64 = 0.0254;

/// Why packaging has no answer.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum PackagingError {
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
    /// A pair names an obstacle that is not there.
    #[error("obstacle {index} is asked for, there are {count}")]
    NoSuchObstacle {
        /// Asked for, from 0.
        index: usize,
        /// How many there are.
        count: usize,
    },
    /// The axle does not reach.
    #[error(transparent)]
    Axle(#[from] AxleError),
}

fn bad(what: &'static str, value: f64, range: &'static str) -> PackagingError {
    PackagingError::BadInput { what, value, range }
}

fn positive(what: &'static str, value: f64) -> Result<f64, PackagingError> {
    if value > 0.0 && value.is_finite() {
        Ok(value)
    } else {
        Err(bad(what, value, "above zero"))
    }
}

fn not_negative(what: &'static str, value: f64) -> Result<f64, PackagingError> {
    if value >= 0.0 && value.is_finite() {
        Ok(value)
    } else {
        Err(bad(what, value, "zero or more"))
    }
}

fn finite(what: &'static str, value: f64) -> Result<f64, PackagingError> {
    if value.is_finite() {
        Ok(value)
    } else {
        Err(bad(what, value, "a finite number"))
    }
}
