//! Mitre of two equal tubes whose axes meet.

use std::f64::consts::PI;

use thiserror::Error;

use crate::tube::{BadInput, positive};

/// Why there is no mitre.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum MitreError {
    /// A radius no tube has.
    #[error(transparent)]
    Bad(#[from] BadInput),
    /// The angle between the tubes is 0 or beyond straight.
    #[error("included angle of {0} rad, it must be more than 0.17 (10°) and at most π")]
    Angle(f64),
}

/// A mitre. φ' = 0 points toward the other tube.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mitre {
    /// Outside radius r of both tubes, m.
    pub radius: f64,
    /// Included angle β between the tubes, rad; π is a butt.
    pub included: f64,
    /// Angle of the saw from square, rad: β' = 90° − β/2.
    pub saw: f64,
}

impl Mitre {
    /// Mitre of two tubes of outside radius `radius` (m) at the included angle (rad).
    ///
    /// # Errors
    /// A radius that is not positive; an angle of 10° or less or more than 180°.
    pub fn new(radius: f64, included: f64) -> Result<Self, MitreError> {
        positive("radius", radius)?;
        if !(included > super::NEAR_PARALLEL && included <= PI + 1e-12) {
            return Err(MitreError::Angle(included));
        }
        Ok(Self {
            radius,
            included,
            saw: 0.5 * (PI - included),
        })
    }

    /// s at φ' on the radius `rho`, m: ρ cos φ' cot(β/2).
    #[must_use]
    pub fn profile(&self, rho: f64, from_other: f64) -> f64 {
        rho * from_other.cos() * self.saw.tan()
    }

    /// Long point, m: −r cot(β/2), away from the other tube.
    #[must_use]
    pub fn long_point(&self) -> f64 {
        -self.radius * self.saw.tan()
    }

    /// Gap at the outside where the saw was `wrong` (rad) off its angle, m.
    #[must_use]
    pub fn gap(&self, wrong: f64) -> f64 {
        super::mitre_gap(2.0 * self.radius, self.saw, wrong)
    }
}
