//! The car as a mass on four tyres: static loads and the load that acceleration moves.
//!
//! Frame: ISO 8855, x forward, z up, origin on the floor under the rear axle. SI throughout.

mod mass;

pub use mass::{Body, BodyError, STANDARD_GRAVITY};
