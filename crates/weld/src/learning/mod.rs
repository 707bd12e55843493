//! What the shop's own readings teach.
//!
//! A dimension is read before and after welding; the difference y, against what was
//! predicted, moves the factors and narrows them ([`Factors::update`]). The update is the
//! conjugate one (normal, inverse gamma; West & Harrison, Bayesian Forecasting and Dynamic
//! Models, from memory), so intervals are exact Student t and the scatter is learned too:
//! S = MᵀPM + R + σ_m², K = PM/S, f += K(y − m), P −= KKᵀS, z² = (y − m)²/S,
//! s² = (ν s² + z²)/(ν + 1), ν += 1.

mod history;

pub use history::{Entry, Row, history, tried};

use crate::control::{
    Contribution, FACTORS, Factor, FactorChoices, Factors, Prediction, Sums, dot, pure, two_sided,
};
use crate::error::{WeldError, finite, positive, signed};
use serde::{Deserialize, Serialize};
use std::f64::consts::SQRT_2;

/// Two-sided chance of a reading below which it is an outlier.
pub const OUTLIER: f64 = 0.01;

/// How a dimension is read.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum ReadingError {
    /// With a tape.
    Tape,
    /// With a trammel.
    Trammel,
    /// With something whose standard deviation of one reading, m, is known.
    Own(f64),
}

impl ReadingError {
    /// Standard deviation σ of one reading, m.
    ///
    /// # Errors
    /// One that is not positive, not finite or huge.
    pub fn one(self, choices: &FactorChoices) -> Result<f64, WeldError> {
        let sigma = match self {
            Self::Tape => choices.tape,
            Self::Trammel => choices.trammel,
            Self::Own(sigma) => sigma,
        };
        positive("the error of a reading", sigma)
    }

    /// Standard deviation √2·σ of a difference of two readings, m.
    ///
    /// # Errors
    /// Those of [`ReadingError::one`].
    pub fn difference(self, choices: &FactorChoices) -> Result<f64, WeldError> {
        Ok(SQRT_2 * self.one(choices)?)
    }
}

/// One dimension read before and after welding.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Observation {
    /// Changes M summed by factor before the factors, m, places as in [`Factor::ALL`].
    pub by_factor: [f64; FACTORS],
    /// Variance R of the joints themselves, before the scale, m².
    pub independent: f64,
    /// Change y = after − before, m; positive is longer.
    pub measured: f64,
    /// Standard deviation σ_m of y, √2 that of one reading, m.
    pub sigma: f64,
}

impl Observation {
    /// Of the joints that were welded between the two readings.
    ///
    /// # Errors
    /// Values not finite or huge; a reading without error.
    pub fn new(
        contributions: &[Contribution],
        measured: f64,
        reading: ReadingError,
        choices: &FactorChoices,
    ) -> Result<Self, WeldError> {
        choices.check()?;
        let sums = Sums::of(contributions, choices.scatter)?;
        let observation = Self {
            by_factor: sums.by_factor,
            independent: sums.independent,
            measured,
            sigma: reading.difference(choices)?,
        };
        observation.check()?;
        Ok(observation)
    }

    /// Of what was predicted.
    ///
    /// # Errors
    /// Those of [`Observation::new`].
    pub fn of(
        prediction: &Prediction,
        measured: f64,
        reading: ReadingError,
        choices: &FactorChoices,
    ) -> Result<Self, WeldError> {
        let observation = Self {
            by_factor: prediction.by_factor,
            independent: prediction.independent,
            measured,
            sigma: reading.difference(choices)?,
        };
        observation.check()?;
        Ok(observation)
    }

    /// A coupon: one joint of one kind, one reading. `change` is what is predicted with the
    /// factor 1, m: −Δ where it pulls the ends together.
    ///
    /// # Errors
    /// Those of [`Observation::new`].
    pub fn coupon(
        factor: Factor,
        change: f64,
        measured: f64,
        reading: ReadingError,
        choices: &FactorChoices,
    ) -> Result<Self, WeldError> {
        let joint = Contribution::new(factor, change);
        Self::new(&[joint], measured, reading, choices)
    }

    /// Change predicted with every factor 1, m.
    #[must_use]
    pub fn unfactored(&self) -> f64 {
        self.by_factor.iter().sum()
    }

    /// The one factor it is about; `None` where there are more, or none.
    #[must_use]
    pub fn pure_kind(&self) -> Option<Factor> {
        pure(&self.by_factor)
    }

    fn check(&self) -> Result<(), WeldError> {
        for value in self.by_factor {
            finite("the change by a kind of joint", value)?;
        }
        let what = "the variance of the joints";
        let value = finite(what, self.independent)?;
        if value < 0.0 {
            return Err(WeldError::Negative { what, value });
        }
        signed("the measured change", self.measured)?;
        positive("the error of a difference", self.sigma)?;
        Ok(())
    }
}

/// What one reading did.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Update {
    /// Predicted change m before the reading, m.
    pub predicted: f64,
    /// Change predicted with every factor 1, m.
    pub unfactored: f64,
    /// Measured change y, m.
    pub measured: f64,
    /// S = MᵀPM + R + σ_m², before the scale, m².
    pub variance: f64,
    /// y − m, m.
    pub innovation: f64,
    /// z² = (y − m)²/S.
    pub z2: f64,
    /// Two-sided chance of so great an innovation before the reading: t_ν of (y − m)/√(s²S).
    pub chance: f64,
    /// Measured over predicted with every factor 1; `None` where nothing was predicted.
    pub ratio: Option<f64>,
    /// Gains K, 1/m, places as in [`Factor::ALL`].
    pub gain: [f64; FACTORS],
}

impl Update {
    /// Whether so odd a reading comes less than once in a hundred.
    #[must_use]
    pub fn is_outlier(&self) -> bool {
        self.chance < OUTLIER
    }
}

impl Factors {
    /// What is known after one more reading.
    ///
    /// # Errors
    /// Values not finite, huge or out of range, in the observation or the factors.
    pub fn update(&self, observation: &Observation) -> Result<(Self, Update), WeldError> {
        self.check()?;
        observation.check()?;
        let m = &observation.by_factor;
        let product = self.times(m);
        let predicted = dot(m, &self.mean);
        let variance =
            dot(m, &product).max(0.0) + observation.independent + observation.sigma.powi(2);
        let what = "the variance of a reading";
        finite(what, variance)?;
        if variance <= 0.0 {
            return Err(WeldError::NotPositive {
                what,
                value: variance,
            });
        }
        let innovation = observation.measured - predicted;
        let z2 = innovation * innovation / variance;
        let chance = if self.s2 > 0.0 {
            two_sided((z2 / self.s2).sqrt(), self.nu)
        } else if innovation == 0.0 {
            1.0
        } else {
            0.0
        };
        let mut after = self.clone();
        for i in 0..FACTORS {
            after.mean[i] += product[i] * (innovation / variance);
            for j in 0..FACTORS {
                after.covariance[i][j] -= product[i] * product[j] / variance;
            }
            // Rounding must not leave a variance below zero.
            after.covariance[i][i] = after.covariance[i][i].max(0.0);
        }
        after.s2 = (self.nu * self.s2 + z2) / (self.nu + 1.0);
        after.nu = (self.nu + 1.0).min(crate::control::GREATEST_FREEDOM);
        after.check()?;
        let unfactored = observation.unfactored();
        let update = Update {
            predicted,
            unfactored,
            measured: observation.measured,
            variance,
            innovation,
            z2,
            chance,
            ratio: Some(observation.measured / unfactored).filter(|ratio| ratio.is_finite()),
            gain: product.map(|product| product / variance),
        };
        Ok((after, update))
    }
}

#[cfg(test)]
#[allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::float_cmp_const
)]
mod tests;
