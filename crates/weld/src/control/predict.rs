//! The change of a dimension with its band.

use super::factors::{FACTORS, Factor, FactorChoices, FactorKind, Factors};
use super::student::t_between;
use crate::error::{WeldError, finite, signed, size};
use crate::fit_up::SLACK;
use serde::{Deserialize, Serialize};

/// Chance in tolerance below which a dimension is a finding.
const LEAST_CHANCE: f64 = 0.90;
/// Slack of a half when rounding to steps, as a share of a step.
const HALF_SLACK: f64 = 1.0e-9;

/// What one joint does to one dimension before the shop's factor.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Contribution {
    /// Whose factor multiplies it.
    pub factor: Factor,
    /// Change c at the point of the estimates, m; positive is longer.
    pub change: f64,
    /// Change by one standard deviation of lean, m, either sign; 0 where nothing leans.
    pub lean: f64,
}

impl Contribution {
    /// Without lean.
    #[must_use]
    pub const fn new(factor: Factor, change: f64) -> Self {
        Self {
            factor,
            change,
            lean: 0.0,
        }
    }

    fn check(&self) -> Result<(), WeldError> {
        signed("the change by a joint", self.change)?;
        signed("the change by a lean", self.lean)?;
        Ok(())
    }
}

/// Contributions added up: what a prediction is made of.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Sums {
    /// M: the changes by factor, m.
    pub by_factor: [f64; FACTORS],
    /// R: variance that no factor shares, before the scale s², m².
    pub independent: f64,
}

impl Sums {
    pub(crate) fn of(contributions: &[Contribution], scatter: f64) -> Result<Self, WeldError> {
        let mut sums = Self::default();
        sums.add(contributions, scatter)?;
        Ok(sums)
    }

    pub(crate) fn add(
        &mut self,
        contributions: &[Contribution],
        scatter: f64,
    ) -> Result<(), WeldError> {
        for c in contributions {
            c.check()?;
            self.by_factor[c.factor.index()] += c.change;
            self.independent += (scatter * c.change).powi(2) + c.lean.powi(2);
        }
        Ok(())
    }
}

/// The shop's factors with the width of its bands: one for many predictions.
pub(crate) struct Forecaster<'a> {
    factors: &'a Factors,
    t: f64,
}

impl<'a> Forecaster<'a> {
    pub(crate) fn new(factors: &'a Factors, choices: &FactorChoices) -> Result<Self, WeldError> {
        choices.check()?;
        let t = factors.t(choices.confidence)?;
        Ok(Self { factors, t })
    }

    pub(crate) fn of(&self, sums: &Sums) -> Result<Prediction, WeldError> {
        let Sums {
            by_factor,
            independent,
        } = *sums;
        let factors = self.factors;
        let product = factors.times(&by_factor);
        // Rounding must not leave a variance below zero.
        let common = dot(&by_factor, &product).max(0.0);
        let change = finite("the predicted change", dot(&by_factor, &factors.mean) + 0.0)?;
        let scale = (factors.s2 * (common + independent)).sqrt();
        let half = finite("the band of the change", self.t * scale)?;
        Ok(Prediction {
            change,
            unfactored: by_factor.iter().sum(),
            by_factor,
            common,
            independent,
            s2: factors.s2,
            nu: factors.nu,
            low: change - half,
            high: change + half,
        })
    }
}

/// How a dimension is expected to change.
#[derive(Clone, Debug, PartialEq)]
pub struct Prediction {
    /// Expected change m = Mᵀf, m; positive is longer.
    pub change: f64,
    /// Change Σc with every factor 1, m.
    pub unfactored: f64,
    /// Changes M summed by factor, m, places as in [`Factor::ALL`].
    pub by_factor: [f64; FACTORS],
    /// Variance MᵀPM from the factors, before the scale, m².
    pub common: f64,
    /// Variance R = Σ(scatter·c)² + Σ lean² of the joints themselves, before the scale, m².
    pub independent: f64,
    /// Scale s².
    pub s2: f64,
    /// Degrees of freedom ν.
    pub nu: f64,
    /// Lower end of the band, m.
    pub low: f64,
    /// Upper end of the band, m.
    pub high: f64,
}

/// Predicts the change all `contributions` make together: it spreads as
/// m + t_ν·√(s²(MᵀPM + R)).
///
/// The band is that of [`FactorChoices::confidence`]. Without contributions it is a point at 0.
///
/// # Errors
/// Changes that are not finite or beyond 10 m; factors or choices that fail their checks.
pub fn predict(
    contributions: &[Contribution],
    factors: &Factors,
    choices: &FactorChoices,
) -> Result<Prediction, WeldError> {
    let forecaster = Forecaster::new(factors, choices)?;
    forecaster.of(&Sums::of(contributions, choices.scatter)?)
}

impl Factors {
    /// Expected change of all `contributions`, m: Σ f·c, without a band.
    #[must_use]
    pub fn expected(&self, contributions: &[Contribution]) -> f64 {
        let each = contributions.iter();
        each.map(|c| self.of(c.factor) * c.change).sum()
    }
}

pub(crate) fn dot(a: &[f64; FACTORS], b: &[f64; FACTORS]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// Something to be said of a dimension.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Finding {
    /// The dimension is unlikely enough to end in tolerance: below 90 %.
    ChanceLow {
        /// Chance to be in tolerance.
        chance: f64,
    },
    /// The band is wider than the tolerance and a thin kink without any reading is part of
    /// it: weld a coupon first.
    CouponFirst {
        /// Width of the band, m.
        band: f64,
        /// Width of the tolerance, m.
        tolerance: f64,
    },
}

impl Prediction {
    /// Scale √(s²(MᵀPM + R)) of the t distribution, m.
    #[must_use]
    pub fn sd(&self) -> f64 {
        (self.s2 * (self.common + self.independent)).sqrt()
    }

    /// By how much to set the parts long: −m to the nearest `step` (m), halves away from
    /// zero; negative is set short, 0 neither.
    ///
    /// # Errors
    /// A step that is not positive, not finite or huge.
    pub fn allowance(&self, step: f64) -> Result<f64, WeldError> {
        crate::error::positive("the step of the allowance", step)?;
        let steps = (self.change.abs() / step + 0.5 + HALF_SLACK).floor();
        let size = finite("the allowance", steps * step)?;
        Ok(if size > 0.0 && self.change > 0.0 {
            -size
        } else {
            size
        })
    }

    /// Chance that the change plus `offset` (say the allowance) ends from −`below` to
    /// +`above`, all m. Where nothing is uncertain it is 1 or 0.
    ///
    /// # Errors
    /// Values not finite or huge; limits in the wrong order.
    pub fn chance_within(&self, offset: f64, below: f64, above: f64) -> Result<f64, WeldError> {
        signed("the offset", offset)?;
        signed("the lower tolerance", below)?;
        signed("the upper tolerance", above)?;
        size("the width of the tolerance", below + above)?;
        let (low, high) = (-below - offset - self.change, above - offset - self.change);
        let scale = self.sd();
        if scale > 0.0 {
            Ok(t_between(low / scale, high / scale, self.nu))
        } else if low <= SLACK && high >= -SLACK {
            Ok(1.0)
        } else {
            Ok(0.0)
        }
    }

    /// The one factor the change rests on; `None` where there are more, or none.
    #[must_use]
    pub fn pure_kind(&self) -> Option<Factor> {
        pure(&self.by_factor)
    }

    /// Findings under a tolerance from −`below` to +`above` (m) with `offset` as in
    /// [`Prediction::chance_within`]; `thin_kink_tried` once the shop has a reading of a
    /// thin kink ([`crate::learning::tried`]).
    ///
    /// # Errors
    /// Those of [`Prediction::chance_within`].
    pub fn findings(
        &self,
        offset: f64,
        below: f64,
        above: f64,
        thin_kink_tried: bool,
    ) -> Result<Vec<Finding>, WeldError> {
        let mut findings = Vec::new();
        let chance = self.chance_within(offset, below, above)?;
        if chance < LEAST_CHANCE {
            findings.push(Finding::ChanceLow { chance });
        }
        let (band, tolerance) = (self.high - self.low, below + above);
        let thin_kink = Factor::new(FactorKind::Kink, true).index();
        if !thin_kink_tried && self.by_factor[thin_kink] != 0.0 && band > tolerance {
            findings.push(Finding::CouponFirst { band, tolerance });
        }
        Ok(findings)
    }
}

/// The one factor with a share of its own.
pub(crate) fn pure(by_factor: &[f64; FACTORS]) -> Option<Factor> {
    let mut with_share = Factor::ALL
        .into_iter()
        .filter(|factor| by_factor[factor.index()] != 0.0);
    let first = with_share.next();
    if with_share.next().is_some() {
        None
    } else {
        first
    }
}
