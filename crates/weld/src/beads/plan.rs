//! The state of a job and what a reading does to it.

use super::{Job, dimension};
use crate::distribution::{StudentT, chi2_quantile};
use crate::error::{WeldError, finite};
use serde::{Deserialize, Serialize};

/// One lay and the reading after it, as entered.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Reading {
    /// Beads laid since the reading before, 1 or more.
    pub beads: u32,
    /// The dimension once cool, m.
    pub measured: f64,
}

/// One reading against what was expected.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Move {
    /// Beads laid and what was read.
    pub reading: Reading,
    /// Expected reading as a distance past the target, m.
    pub expected: f64,
    /// Expected reading as a dimension, m.
    pub expected_dimension: f64,
    /// Variance S of the reading before the factor s², m².
    pub variance: f64,
    /// Reading less expectation, m; positive: further past the target than expected.
    pub innovation: f64,
    /// Innovation² over S.
    pub z2: f64,
    /// Chance of an innovation this large or larger either way, before the update.
    pub two_sided_p: f64,
    /// Chance of passing the far limit that these beads had.
    pub overshoot_chance: f64,
}

/// A value with its range.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Interval {
    /// Location of the Student t.
    pub value: f64,
    /// Its scale √(s²·variance).
    pub scale: f64,
    /// Lower end at the settings' confidence.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

/// Something to be told about a job.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Finding {
    /// One bead is expected to move the dimension by more than the tolerance (m): lay
    /// smaller beads or choose a shorter lever.
    TooCoarse {
        /// Expected move per bead b₀, m.
        per_bead: f64,
        /// Tolerance T, m.
        tolerance: f64,
    },
    /// The moves disagree with each other more than their scatter allows.
    Disagree {
        /// Σz² of the readings.
        chi2: f64,
        /// The chi-square point it is above.
        limit: f64,
    },
}

/// A job under way. A reading that is refused leaves it as it was.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    job: Job,
    pub(super) position: f64,
    pub(super) per_bead: f64,
    /// C_uu, C_uβ, C_ββ before the factor s².
    cov: [f64; 3],
    s2: f64,
    pub(super) student: StudentT,
    quantile: f64,
    beads_laid: u32,
    moves: Vec<Move>,
    chi2: f64,
    chi2_limit: f64,
    chance_spent: f64,
}

impl Plan {
    /// The plan before the first bead.
    ///
    /// # Errors
    /// What [`Job::check`] refuses.
    pub fn start(job: &Job) -> Result<Self, WeldError> {
        job.check()?;
        let spread = job.settings.spread * job.per_bead;
        let student = StudentT::new(job.settings.start_freedom)?;
        Ok(Self {
            position: job.toward() * (job.first_reading - job.target),
            per_bead: job.per_bead,
            cov: [job.reading_sd * job.reading_sd, 0.0, spread * spread],
            s2: 1.0,
            student,
            quantile: half_width(&student, job)?,
            beads_laid: 0,
            moves: Vec::new(),
            chi2: 0.0,
            chi2_limit: f64::INFINITY,
            chance_spent: 0.0,
            job: *job,
        })
    }

    /// The plan after all `readings`, in their order. A void reading is taken back by
    /// leaving it out and adding its beads to the reading after it.
    ///
    /// # Errors
    /// What [`Plan::start`] and [`Plan::measured`] refuse.
    pub fn after(job: &Job, readings: &[Reading]) -> Result<Self, WeldError> {
        let mut plan = Self::start(job)?;
        for reading in readings {
            plan.measured(reading.beads, reading.measured)?;
        }
        Ok(plan)
    }

    /// Takes in the reading after `beads` more beads, cooled to the hand: the dimension, m.
    /// Updates position, move per bead and scatter, and spends the chance of overshoot these
    /// beads had. Any number of beads may have been laid, whatever was advised.
    ///
    /// # Errors
    /// No bead laid; a reading not finite or farther than 1 km from zero. The plan is then
    /// unchanged.
    pub fn measured(&mut self, beads: u32, reading: f64) -> Result<Move, WeldError> {
        if beads == 0 {
            return Err(WeldError::NoBeads);
        }
        dimension("the reading", reading)?;
        let settings = &self.job.settings;
        let k = f64::from(beads);
        let [uu, ub, bb] = self.cov;
        let noise = self.job.reading_sd * self.job.reading_sd;
        let scatter = self.tau() * self.tau() * k;
        let (mean, variance) = self.ahead(beads);
        let s = variance + noise;
        let innovation = self.toward() * (reading - self.job.target) - mean;
        let z2 = innovation * innovation / s;
        let cross = ub + k * bb;
        // C less gain·gainᵀ·S, rearranged so that nothing is subtracted from its like.
        let cov = [
            variance * noise / s,
            cross * noise / s,
            ((uu * bb - ub * ub) + bb * (scatter + noise)) / s,
        ];
        let nu = self.student.nu();
        let s2 = (nu * self.s2 + z2) / (nu + 1.0);
        let student = StudentT::new(nu + 1.0)?;
        let taken = Move {
            reading: Reading {
                beads,
                measured: reading,
            },
            expected: mean,
            expected_dimension: self.dimension_at(mean),
            variance: s,
            innovation,
            z2,
            two_sided_p: self.student.two_sided(innovation / (self.s2 * s).sqrt()),
            overshoot_chance: self.overshoot_chance(beads),
        };
        let count = self.moves.len() as u32 + 1;
        let chi2_limit = if count >= settings.judge_after {
            chi2_quantile(settings.disagree, f64::from(count))?
        } else {
            f64::INFINITY
        };
        let quantile = half_width(&student, &self.job)?;
        let position = finite("the position", mean + variance / s * innovation)?;
        self.per_bead = finite("the move per bead", self.per_bead + cross / s * innovation)?;
        self.position = position;
        self.cov = cov;
        self.s2 = s2;
        self.student = student;
        self.quantile = quantile;
        self.chi2 += z2;
        self.chi2_limit = chi2_limit;
        self.beads_laid = self.beads_laid.saturating_add(beads);
        self.chance_spent += taken.overshoot_chance;
        self.moves.push(taken);
        Ok(taken)
    }

    /// The job this plan is for.
    #[must_use]
    pub const fn job(&self) -> &Job {
        &self.job
    }

    /// Sign in which the dimension must move: + longer, − shorter.
    #[must_use]
    pub fn toward(&self) -> f64 {
        self.job.toward()
    }

    /// Where the dimension stands: distance u past the target, m, negative while short of it.
    #[must_use]
    pub fn position(&self) -> Interval {
        self.interval(self.position, self.cov[0])
    }

    /// The dimension as now believed, m: target plus distance.
    #[must_use]
    pub fn dimension(&self) -> f64 {
        self.dimension_at(self.position)
    }

    /// How far one bead moves the dimension β, m, positive towards the target.
    #[must_use]
    pub fn per_bead(&self) -> Interval {
        self.interval(self.per_bead, self.cov[2])
    }

    /// Covariance \[\[C_uu, C_uβ\], \[C_uβ, C_ββ\]\] before the factor s², m².
    #[must_use]
    pub const fn covariance(&self) -> [[f64; 2]; 2] {
        let [uu, ub, bb] = self.cov;
        [[uu, ub], [ub, bb]]
    }

    /// Degrees of freedom ν of every chance.
    #[must_use]
    pub const fn freedom(&self) -> f64 {
        self.student.nu()
    }

    /// Factor s² on every variance; 1 at the start.
    #[must_use]
    pub const fn scatter_factor(&self) -> f64 {
        self.s2
    }

    /// Readings taken in, oldest first.
    #[must_use]
    pub fn moves(&self) -> &[Move] {
        &self.moves
    }

    /// Beads laid so far.
    #[must_use]
    pub const fn beads_laid(&self) -> u32 {
        self.beads_laid
    }

    /// Chance of overshoot spent by the beads laid so far.
    #[must_use]
    pub const fn chance_spent(&self) -> f64 {
        self.chance_spent
    }

    /// Σz² of the readings.
    #[must_use]
    pub const fn chi2(&self) -> f64 {
        self.chi2
    }

    /// The moves scatter more than they should: Σz² above the settings' chi-square point.
    #[must_use]
    pub fn disagree(&self) -> bool {
        self.chi2 > self.chi2_limit
    }

    /// What is to be told about this job.
    #[must_use]
    pub fn findings(&self) -> Vec<Finding> {
        let (per_bead, tolerance) = (self.job.per_bead, self.job.tolerance);
        let (chi2, limit) = (self.chi2, self.chi2_limit);
        let coarse = per_bead > tolerance;
        let coarse = coarse.then_some(Finding::TooCoarse {
            per_bead,
            tolerance,
        });
        let apart = self.disagree().then_some(Finding::Disagree { chi2, limit });
        coarse.into_iter().chain(apart).collect()
    }

    /// Chance that the dimension is past the far limit +T once `beads` more are laid.
    #[must_use]
    pub fn overshoot_chance(&self, beads: u32) -> f64 {
        let (mean, variance) = self.ahead(beads);
        let scale = (self.s2 * variance).sqrt();
        self.student.tail((self.job.tolerance - mean) / scale)
    }

    /// Chance that the dimension has reached the near limit −T once `beads` more are laid.
    #[must_use]
    pub fn reach_chance(&self, beads: u32) -> f64 {
        let (mean, variance) = self.ahead(beads);
        let scale = (self.s2 * variance).sqrt();
        self.student.cdf((mean + self.job.tolerance) / scale)
    }

    /// Mean u + kβ and variance C_uu + 2k·C_uβ + k²·C_ββ + kτ² after `beads` more, before s².
    pub(super) fn ahead(&self, beads: u32) -> (f64, f64) {
        let k = f64::from(beads);
        let [uu, ub, bb] = self.cov;
        let tau = self.tau();
        (
            self.position + k * self.per_bead,
            uu + 2.0 * k * ub + k * k * bb + k * tau * tau,
        )
    }

    pub(super) fn dimension_at(&self, position: f64) -> f64 {
        self.job.target + self.toward() * position
    }

    pub(super) fn interval(&self, value: f64, variance: f64) -> Interval {
        let scale = (self.s2 * variance).sqrt();
        let half = self.quantile * scale;
        Interval {
            value,
            scale,
            low: value - half,
            high: value + half,
        }
    }

    fn tau(&self) -> f64 {
        self.job.settings.bead_scatter * self.job.per_bead
    }
}

/// Half width of the ranges in scales.
fn half_width(student: &StudentT, job: &Job) -> Result<f64, WeldError> {
    student.quantile(0.5 + 0.5 * job.settings.confidence)
}
