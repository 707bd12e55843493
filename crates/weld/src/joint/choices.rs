//! The numbers no source gives, with their defaults.

use crate::error::{WeldError, finite, size};
use crate::metal::{CAP_HEIGHT, CAP_OVERLAP, CONVEXITY};
use crate::shrinkage::{THICK, WIDENING};
use serde::{Deserialize, Serialize};

/// Every choice behind weld metal and transverse shrinkage. None has a published value;
/// the shop may set its own.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Choices {
    /// Crown height of a fillet over its face width, 0 or more; 0 is flat.
    pub convexity: f64,
    /// Height of a groove's cap, m.
    pub cap: f64,
    /// Height of a groove's cap at the root, m.
    pub root_cap: f64,
    /// How far a cap runs over both edges together, m.
    pub cap_overlap: f64,
    /// Depth to which an open gap fills, as a share of the stem wall (a lap fills none).
    pub gap_depth: f64,
    /// Least section of a coped tube's fillet, as a share of branch wall times leg.
    pub floor: f64,
    /// Most a leg grows to hold the right-angle throat in an open corner of a cope, 1 or more.
    pub most_growth: f64,
    /// Wall from which the published estimates are taken to hold, m.
    pub thick: f64,
    /// What the ends of a band are divided and multiplied by outside every range, 1 or more.
    pub widening: f64,
    /// Factors on (low, point, high) of tacked parts.
    pub tacked: [f64; 3],
    /// Factors on (low, point, high) of parts held in a fixture.
    pub fixtured: [f64; 3],
    /// More shrinkage per pass after the first, as a share.
    pub per_pass: f64,
    /// Greatest factor for passes.
    pub most_passes: f64,
}

impl Choices {
    /// The defaults.
    pub const DEFAULT: Self = Self {
        convexity: CONVEXITY,
        cap: CAP_HEIGHT,
        root_cap: 0.0,
        cap_overlap: CAP_OVERLAP,
        gap_depth: 0.5,
        floor: 0.5,
        most_growth: 1.5,
        thick: THICK,
        widening: WIDENING,
        tacked: [0.75, 0.85, 1.0],
        fixtured: [0.4, 0.6, 0.85],
        per_pass: 0.10,
        most_passes: 1.5,
    };

    /// Whether every choice can be used.
    ///
    /// # Errors
    /// Anything negative, not finite or huge; growth, widening or the greatest factor for
    /// passes below 1.
    pub fn check(&self) -> Result<(), WeldError> {
        for (what, value) in [
            ("the crown", self.convexity),
            ("the cap", self.cap),
            ("the root cap", self.root_cap),
            ("the overlap of the cap", self.cap_overlap),
            ("the depth of a filled gap", self.gap_depth),
            ("the least section", self.floor),
            ("the wall from which formulas hold", self.thick),
            ("the growth per pass", self.per_pass),
        ] {
            size(what, value)?;
        }
        for value in self.tacked.into_iter().chain(self.fixtured) {
            size("a restraint factor", value)?;
        }
        for (what, value) in [
            ("the growth of a leg", self.most_growth),
            ("the widening", self.widening),
            ("the greatest factor for passes", self.most_passes),
        ] {
            if finite(what, value)? < 1.0 {
                return Err(WeldError::BelowOne { what, value });
            }
            size(what, value)?;
        }
        Ok(())
    }
}

impl Default for Choices {
    fn default() -> Self {
        Self::DEFAULT
    }
}
