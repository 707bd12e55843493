//! Correction beads: how many to lay before the next reading.
//!
//! A control dimension is out by more than its tolerance ±T and beads are laid to draw it
//! back. Nobody can say beforehand how far one bead moves it, so nothing is laid on a number
//! alone: lay, cool to the hand, measure, learn, plan again.
//!
//! The state is u, the signed distance past the target (start negative, whichever way the
//! dimension must move), and β, how far one bead moves it. u comes from the first reading,
//! sd σ_x; β from an estimate b₀ ([`FirstEstimate`]) with sd 0.5·b₀. k beads move by kβ with a
//! scatter of τ each, so after them u has mean u + kβ and variance
//! C_uu + 2k·C_uβ + k²·C_ββ + kτ². A reading updates both, and a factor s² on every variance
//! with them, exactly (normal and inverse gamma are conjugate: West & Harrison, Bayesian
//! Forecasting and Dynamic Models, from memory): chances are Student t.
//!
//! The limits on the plan and the rule of overshoot are derived and checked by simulation;
//! the spreads are choices. Common practice, no source: alternate the two members, first the
//! one whose side is further out of square; beads on opposite faces undo each other; small
//! stringers move the far end 0.02 to 0.06 in; grind flush on mild steel only. After
//! correcting, look for cracks. Which material may get beads at all: [`crate::guard`].

mod advice;
mod estimate;
mod members;
mod plan;

pub use advice::{Advice, Forecast, Why};
pub use estimate::{BeadKink, FirstEstimate};
pub use members::{Members, Side, SideMove, two_members, where_next};
pub use plan::{Finding, Interval, Move, Plan, Reading};

use crate::error::{LARGEST, WeldError, finite, share};
use crate::section_pull::above_zero;
use serde::{Deserialize, Serialize};

/// Least tolerance, scatter or move taken, m: under a nanometre nothing is measured.
const LEAST: f64 = 1.0e-9;

/// Farthest a dimension or reading may be from zero, m.
const FARTHEST: f64 = 1.0e3;

/// Greatest spread, as a multiple of the expected move.
const MOST_SPREAD: f64 = 10.0;

/// Numbers of the bead plan; the defaults of the shop's settings.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct BeadSettings {
    /// Chance of ever passing the far limit that a whole job may spend: 0.05.
    pub chance: f64,
    /// Sd of β over b₀ before any bead is measured: 0.5.
    pub spread: f64,
    /// Scatter τ from bead to bead over b₀: 0.25.
    pub bead_scatter: f64,
    /// Degrees of freedom ν the scatter factor s² = 1 starts with: 8.
    pub start_freedom: f64,
    /// Most beads between two readings, and farthest looked ahead: 20.
    pub most_beads: u32,
    /// Share of b₀ at or below which beads are said not to move the dimension: 0.1.
    pub least_share: f64,
    /// Two-sided chance of the ranges shown: 0.90.
    pub confidence: f64,
    /// Readings from which on disagreement is judged: 3.
    pub judge_after: u32,
    /// Chi-square point above which the moves disagree: 0.95.
    pub disagree: f64,
}

impl Default for BeadSettings {
    fn default() -> Self {
        Self::DEFAULT
    }
}

impl BeadSettings {
    /// The defaults, all choices.
    pub const DEFAULT: Self = Self {
        chance: 0.05,
        spread: 0.5,
        bead_scatter: 0.25,
        start_freedom: 8.0,
        most_beads: 20,
        least_share: 0.1,
        confidence: 0.90,
        judge_after: 3,
        disagree: 0.95,
    };

    /// # Errors
    /// A chance not between 0 and 1, a spread not between 0 and 10, a negative scatter, fewer
    /// than one degree of freedom or bead, anything not finite.
    pub fn check(&self) -> Result<(), WeldError> {
        share("the chance of overshoot", self.chance)?;
        share("the confidence", self.confidence)?;
        share("the disagreement point", self.disagree)?;
        let spread = above_zero("the spread of the move per bead", self.spread)?;
        at_most("the spread of the move per bead", spread, MOST_SPREAD)?;
        // Far below this its square is lost beside nothing.
        at_least("the spread of the move per bead", spread, LEAST)?;
        let what = "the scatter from bead to bead";
        let scatter = finite(what, self.bead_scatter)?;
        if scatter < 0.0 {
            let value = scatter;
            return Err(WeldError::Negative { what, value });
        }
        at_most(what, scatter, MOST_SPREAD)?;
        let (what, value) = ("the least share of the expected move", self.least_share);
        if finite(what, value)? < 0.0 {
            return Err(WeldError::Negative { what, value });
        }
        at_most(what, value, 1.0)?;
        crate::distribution::StudentT::new(self.start_freedom)?;
        if self.most_beads == 0 {
            return Err(WeldError::NoBeads);
        }
        at_most("the most beads", f64::from(self.most_beads), 1.0e3)?;
        Ok(())
    }
}

/// A dimension to be corrected by beads.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Job {
    /// What the dimension should be, m.
    pub target: f64,
    /// Tolerance T either side of the target, m, more than 0.
    pub tolerance: f64,
    /// What it measures before the first bead, m.
    pub first_reading: f64,
    /// Sd σ_x of one reading, m, more than 0.
    pub reading_sd: f64,
    /// How far one bead is expected to move it b₀, m, more than 0; towards the target.
    pub per_bead: f64,
    /// The shop's choices.
    #[serde(default)]
    pub settings: BeadSettings,
}

impl Job {
    /// Sign in which the dimension must move: + longer, − shorter. + where it is on target.
    #[must_use]
    pub fn toward(&self) -> f64 {
        if self.first_reading > self.target {
            -1.0
        } else {
            1.0
        }
    }

    /// # Errors
    /// A tolerance, reading sd or move per bead under 1 nm or over 10 m, a target or reading
    /// farther than 1 km from zero, settings out of bounds, anything not finite.
    pub fn check(&self) -> Result<(), WeldError> {
        dimension("the target", self.target)?;
        dimension("the first reading", self.first_reading)?;
        length("the tolerance", self.tolerance)?;
        length("the scatter of a reading", self.reading_sd)?;
        length("the expected move per bead", self.per_bead)?;
        self.settings.check()
    }
}

fn at_most(what: &'static str, value: f64, limit: f64) -> Result<(), WeldError> {
    if value > limit {
        return Err(WeldError::TooLarge { what, value, limit });
    }
    Ok(())
}

fn at_least(what: &'static str, value: f64, limit: f64) -> Result<(), WeldError> {
    if value < limit {
        return Err(WeldError::TooSmall { what, value, limit });
    }
    Ok(())
}

/// A length something is divided by.
fn length(what: &'static str, value: f64) -> Result<f64, WeldError> {
    above_zero(what, value)?;
    at_least(what, value, LEAST)?;
    at_most(what, value, LARGEST)?;
    Ok(value)
}

/// A dimension or reading, either sign.
fn dimension(what: &'static str, value: f64) -> Result<f64, WeldError> {
    finite(what, value)?;
    at_most(what, value.abs(), FARTHEST)?;
    Ok(value)
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
mod simulation;
#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
mod tests;
