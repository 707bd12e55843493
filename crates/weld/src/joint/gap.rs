//! The root gap along a joint, and means over it.

use crate::error::{WeldError, size};
use crate::fit_up::{GapProfile, GapReading, Rule, SLACK};
use crate::quadrature::integrate;

/// Agreement asked of the means.
const ACCURACY: f64 = 1.0e-13;

/// The root gap along a joint.
#[derive(Clone, Debug, PartialEq)]
pub enum Gap {
    /// The same everywhere, m, zero or more.
    Even(f64),
    /// As read, linear between readings.
    Read(GapProfile),
}

impl Gap {
    /// No gap.
    pub const CLOSED: Self = Self::Even(0.0);

    /// Widest gap, m.
    #[must_use]
    pub fn worst(&self) -> f64 {
        match self {
            Self::Even(gap) => *gap,
            Self::Read(profile) => profile.worst().gap,
        }
    }

    /// Mean over the seam (over the clock where it is read by the clock), m.
    #[must_use]
    pub fn mean(&self) -> f64 {
        match self {
            Self::Even(gap) => *gap,
            Self::Read(profile) => profile.mean(),
        }
    }

    /// The readings as a profile; an even gap becomes one round a closed seam.
    ///
    /// # Errors
    /// A gap that is negative, not finite or huge.
    pub fn profile(&self) -> Result<GapProfile, WeldError> {
        match self {
            Self::Even(gap) => GapProfile::even(*gap),
            Self::Read(profile) => Ok(profile.clone()),
        }
    }

    /// Mean over the seam of what `of` makes of the gap, split at the readings and where the
    /// rule makes the leg step.
    pub(super) fn mean_of<const N: usize>(
        &self,
        rule: Option<&Rule>,
        leg: f64,
        of: &impl Fn(f64) -> [f64; N],
    ) -> Result<[f64; N], WeldError> {
        let profile = match self {
            Self::Even(gap) => return Ok(of(size("the gap", *gap)?)),
            Self::Read(profile) => profile,
        };
        let pieces = profile.pieces();
        let start = pieces
            .first()
            .map_or(0.0, |piece: &(GapReading, GapReading)| piece.0.position);
        let mut breaks = vec![start];
        breaks.extend(pieces.iter().map(|piece| piece.1.position));
        if let Some(rule) = rule {
            breaks.extend(profile.crossings(rule.limits(leg)?.0 + SLACK));
        }
        breaks.sort_by(f64::total_cmp);
        breaks.dedup();
        let total = integrate(&|at| of(profile.gap_at(at)), &breaks, ACCURACY);
        Ok(total.map(|value| value / profile.span()))
    }
}
