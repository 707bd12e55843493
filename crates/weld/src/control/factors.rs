//! The shop's factors on the predictions, and the choices they start from.

use super::student::t_upper;
use crate::error::{WeldError, finite, from_to, positive, size};
use serde::{Deserialize, Serialize};

/// How many factors there are.
pub const FACTORS: usize = 10;
/// Most degrees of freedom taken; beyond, Student's t is the normal distribution.
pub const GREATEST_FREEDOM: f64 = 10_000.0;
/// Least and greatest confidence of a band.
const CONFIDENCES: [f64; 2] = [0.01, 0.9999];

/// What pulls.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum FactorKind {
    /// A butt weld.
    Butt,
    /// A tee.
    Tee,
    /// A lap.
    Lap,
    /// A coped tube drawn to its main.
    Cope,
    /// A bead or branch that kinks a member.
    Kink,
}

/// A kind of joint with a factor of its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct Factor {
    /// What pulls.
    pub kind: FactorKind,
    /// Too thin for every published formula (its band was widened).
    pub thin: bool,
}

impl Factor {
    /// All: the five kinds within the formulas' range, then the same five thin.
    pub const ALL: [Self; FACTORS] = {
        use FactorKind::{Butt, Cope, Kink, Lap, Tee};
        [
            Self::new(Butt, false),
            Self::new(Tee, false),
            Self::new(Lap, false),
            Self::new(Cope, false),
            Self::new(Kink, false),
            Self::new(Butt, true),
            Self::new(Tee, true),
            Self::new(Lap, true),
            Self::new(Cope, true),
            Self::new(Kink, true),
        ]
    };

    /// Of a kind, thin or not.
    #[must_use]
    pub const fn new(kind: FactorKind, thin: bool) -> Self {
        Self { kind, thin }
    }

    /// Place in [`Factor::ALL`].
    #[must_use]
    pub const fn index(self) -> usize {
        let kind = match self.kind {
            FactorKind::Butt => 0,
            FactorKind::Tee => 1,
            FactorKind::Lap => 2,
            FactorKind::Cope => 3,
            FactorKind::Kink => 4,
        };
        if self.thin { kind + 5 } else { kind }
    }

    /// In shop words.
    #[must_use]
    pub const fn label(self) -> &'static str {
        match (self.kind, self.thin) {
            (FactorKind::Butt, false) => "butt welds",
            (FactorKind::Butt, true) => "butt welds, thin wall",
            (FactorKind::Tee, false) => "tees",
            (FactorKind::Tee, true) => "tees, thin wall",
            (FactorKind::Lap, false) => "laps",
            (FactorKind::Lap, true) => "laps, thin wall",
            (FactorKind::Cope, false) => "coped tubes",
            (FactorKind::Cope, true) => "coped tubes, thin wall",
            (FactorKind::Kink, false) => "kinks",
            (FactorKind::Kink, true) => "kinks, thin wall",
        }
    }
}

/// Every choice behind factors and readings. None has a published value (0.35 is half the
/// logarithm of the factor of two between published formulas); the shop may set its own.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct FactorChoices {
    /// Standard deviation of a factor before any reading.
    pub sd: f64,
    /// The same of a thin kind.
    pub sd_thin: f64,
    /// The same of kinks.
    pub sd_kink: f64,
    /// The same of thin kinks.
    pub sd_thin_kink: f64,
    /// Correlation between any two factors before any reading, 0 to 1.
    pub correlation: f64,
    /// Scatter from joint to joint, standard deviation as a share of the joint's change.
    pub scatter: f64,
    /// Degrees of freedom at the start: how many readings the prior spread is worth.
    pub freedom: f64,
    /// Confidence of bands, 0.01 to 0.9999.
    pub confidence: f64,
    /// Standard deviation of one reading with a tape, m.
    pub tape: f64,
    /// Standard deviation of one reading with a trammel, m.
    pub trammel: f64,
}

impl FactorChoices {
    /// The defaults.
    pub const DEFAULT: Self = Self {
        sd: 0.35,
        sd_thin: 0.525,
        sd_kink: 0.5,
        sd_thin_kink: 0.7,
        correlation: 0.5,
        scatter: 0.20,
        freedom: 8.0,
        confidence: 0.90,
        tape: 0.4e-3,
        trammel: 0.1e-3,
    };

    /// Whether every choice can be used.
    ///
    /// # Errors
    /// Anything not finite, negative or huge; a correlation outside 0 to 1; no degrees of
    /// freedom; a confidence outside 0.01 to 0.9999; a reading without any error.
    pub fn check(&self) -> Result<(), WeldError> {
        for (what, value) in [
            ("the spread of a factor", self.sd),
            ("the spread of a thin factor", self.sd_thin),
            ("the spread of a kink factor", self.sd_kink),
            ("the spread of a thin kink factor", self.sd_thin_kink),
            ("the scatter from joint to joint", self.scatter),
        ] {
            size(what, value)?;
        }
        from_to("the correlation of factors", self.correlation, 0.0, 1.0)?;
        freedom(self.freedom)?;
        confidence(self.confidence)?;
        positive("the error of a tape", self.tape)?;
        positive("the error of a trammel", self.trammel)?;
        Ok(())
    }

    /// Standard deviation of a factor before any reading.
    #[must_use]
    pub const fn prior_sd(&self, factor: Factor) -> f64 {
        match (factor.kind, factor.thin) {
            (FactorKind::Kink, false) => self.sd_kink,
            (FactorKind::Kink, true) => self.sd_thin_kink,
            (_, false) => self.sd,
            (_, true) => self.sd_thin,
        }
    }
}

impl Default for FactorChoices {
    fn default() -> Self {
        Self::DEFAULT
    }
}

pub(super) fn confidence(value: f64) -> Result<f64, WeldError> {
    let [low, high] = CONFIDENCES;
    from_to("the confidence", value, low, high)
}

fn freedom(value: f64) -> Result<f64, WeldError> {
    let what = "the degrees of freedom";
    from_to(what, value, 0.0, GREATEST_FREEDOM)?;
    if value > 0.0 {
        Ok(value)
    } else {
        Err(WeldError::NotPositive { what, value })
    }
}

/// What is known of the factors: a normal distribution whose scale s² is itself uncertain
/// (normal, inverse gamma; West & Harrison, Bayesian Forecasting and Dynamic Models, from
/// memory). Places as in [`Factor::ALL`].
#[derive(Clone, Debug, PartialEq)]
pub struct Factors {
    /// Means f.
    pub mean: [f64; FACTORS],
    /// Covariance P, to be multiplied by [`Factors::s2`].
    pub covariance: [[f64; FACTORS]; FACTORS],
    /// Scale s² of P, of joint scatter and of reading error alike; 1 before any reading.
    pub s2: f64,
    /// Degrees of freedom ν of s².
    pub nu: f64,
}

impl Factors {
    /// Before any reading: means 1, P = sd·sd·correlation, s² 1.
    ///
    /// # Errors
    /// Those of [`FactorChoices::check`].
    pub fn prior(choices: &FactorChoices) -> Result<Self, WeldError> {
        choices.check()?;
        let sd = Factor::ALL.map(|factor| choices.prior_sd(factor));
        let covariance = std::array::from_fn(|i| {
            std::array::from_fn(|j| {
                let correlation = if i == j { 1.0 } else { choices.correlation };
                sd[i] * sd[j] * correlation
            })
        });
        Ok(Self {
            mean: [1.0; FACTORS],
            covariance,
            s2: 1.0,
            nu: choices.freedom,
        })
    }

    /// Whether every number can be used.
    ///
    /// # Errors
    /// A mean or covariance that is not finite; a negative variance or scale; degrees of
    /// freedom out of range.
    pub fn check(&self) -> Result<(), WeldError> {
        for value in self.mean {
            finite("a factor", value)?;
        }
        for (i, row) in self.covariance.iter().enumerate() {
            for &value in row {
                finite("the covariance of the factors", value)?;
            }
            size("the variance of a factor", row[i])?;
        }
        let what = "the scale of the spread";
        let value = finite(what, self.s2)?;
        if value < 0.0 {
            return Err(WeldError::Negative { what, value });
        }
        freedom(self.nu)?;
        Ok(())
    }

    /// Mean of one factor.
    #[must_use]
    pub const fn of(&self, factor: Factor) -> f64 {
        self.mean[factor.index()]
    }

    /// Standard deviation √(s²P) that scales the t distribution of one factor.
    #[must_use]
    pub fn sd(&self, factor: Factor) -> f64 {
        let i = factor.index();
        (self.s2 * self.covariance[i][i]).max(0.0).sqrt()
    }

    /// Interval f ± t·√(s²P) that holds the factor with the given confidence: (low, high).
    ///
    /// # Errors
    /// A confidence outside 0.01 to 0.9999; those of [`Factors::check`].
    pub fn interval(&self, factor: Factor, confidence: f64) -> Result<(f64, f64), WeldError> {
        let half = self.t(confidence)? * self.sd(factor);
        let mean = self.of(factor);
        Ok((mean - half, mean + half))
    }

    /// Factor on a standard deviation that makes half a two-sided band.
    pub(super) fn t(&self, level: f64) -> Result<f64, WeldError> {
        self.check()?;
        Ok(t_upper(0.5 * (1.0 - confidence(level)?), self.nu))
    }

    /// P·m.
    pub(crate) fn times(&self, m: &[f64; FACTORS]) -> [f64; FACTORS] {
        self.covariance
            .map(|row| row.iter().zip(m).map(|(p, m)| p * m).sum())
    }
}
