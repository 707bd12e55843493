//! Tyre friction from a measured 60-foot time.

use thiserror::Error;

use super::RunError;
use super::car::{RunCar, RunModel};
use super::check::{not_negative, positive};
use super::report::{Mark, RunSettings};
use super::sensitivity::Parameter;
use super::solver::root;
use super::uncertainty::InputSigma;

/// Frictions between which it is looked for.
pub const FRICTION_RANGE: (f64, f64) = (0.3, 2.5);
/// Below this |dt/dμ|, s, the 60 ft time says nothing about friction.
const LEAST_SLOPE: f64 = 0.05;
/// Half the difference of friction the slope is taken over.
const STEP: f64 = 0.005;

/// A friction that gives a measured 60-foot time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FrictionFit {
    /// Friction μ0.
    pub friction: f64,
    /// Its standard deviation: of the measured time and of the other inputs, over the slope.
    pub sigma: f64,
    /// Slope dt/dμ of the 60 ft time, s, negative.
    pub slope: f64,
    /// Share of `sigma` from the measured time alone.
    pub sigma_of_time: f64,
}

/// Why a measured time gives no friction.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum FrictionError {
    /// At or below the time of the greatest friction looked at.
    #[error(
        "faster than any friction allows: {measured:.3} s measured, {fastest:.3} s with a friction of {}",
        FRICTION_RANGE.1
    )]
    TooFast {
        /// Measured time, s.
        measured: f64,
        /// Time at the greatest friction, s.
        fastest: f64,
    },
    /// Slower than the least friction looked at.
    #[error(
        "slower than a friction of {} explains: {measured:.3} s measured, {slowest:.3} s with that",
        FRICTION_RANGE.0
    )]
    TooSlow {
        /// Measured time, s.
        measured: f64,
        /// Time at the least friction, s.
        slowest: f64,
    },
    /// Power or wheel-stand decide the 60 ft time.
    #[error(
        "60 ft does not depend on friction here: {slope:.4} s per unit of friction at {friction:.3}"
    )]
    DoesNotDepend {
        /// Friction at which the time is met.
        friction: f64,
        /// Slope dt/dμ there, s.
        slope: f64,
    },
    /// A run has no answer.
    #[error(transparent)]
    Run(#[from] RunError),
}

impl FrictionFit {
    /// Friction with t_60ft(μ0) = `measured` (s, on the clock) within [`FRICTION_RANGE`]; `sigma_time` is the
    /// standard deviation of the measured time, `others` those of the other inputs (friction itself is left out).
    ///
    /// # Errors
    /// [`FrictionError`]: faster than any friction allows, slower than the least, does not depend on friction;
    /// a run that has no answer; a time or σ that is not finite.
    pub fn of(
        car: &RunCar,
        settings: &RunSettings,
        measured: f64,
        sigma_time: f64,
        others: &[InputSigma],
    ) -> Result<Self, FrictionError> {
        positive("measured 60 ft time", measured)?;
        not_negative("σ of the 60 ft time", sigma_time)?;
        let fine = settings.finer(100.0);
        let with = |friction: f64| {
            let mut car = car.clone();
            car.tyre.friction = friction;
            car
        };
        let clock = |car: &RunCar| RunModel::new(car)?.clock_at(Mark::SixtyFoot, &fine);
        let time = |friction: f64| clock(&with(friction));
        let (low, high) = FRICTION_RANGE;
        let fastest = time(high)?;
        if measured <= fastest {
            return Err(FrictionError::TooFast { measured, fastest });
        }
        // The least friction may not even move the car: slower than anything measured.
        match time(low) {
            Ok(slowest) if measured > slowest => {
                return Err(FrictionError::TooSlow { measured, slowest });
            }
            Ok(_) | Err(RunError::DoesNotMove { .. } | RunError::NeverReaches { .. }) => {}
            Err(e) => return Err(e.into()),
        }
        let mut failed = None;
        let friction = root(low, high, |friction| match time(friction) {
            Ok(t) => measured - t,
            Err(RunError::DoesNotMove { .. } | RunError::NeverReaches { .. }) => -measured,
            Err(e) => {
                failed.get_or_insert(e);
                0.0
            }
        });
        if let Some(e) = failed {
            return Err(e.into());
        }
        let slope = (time(friction + STEP)? - time(friction - STEP)?) / (2.0 * STEP);
        if slope.abs() < LEAST_SLOPE {
            return Err(FrictionError::DoesNotDepend { friction, slope });
        }
        let fitted = with(friction);
        let here = time(friction)?;
        let mut other: f64 = 0.0;
        for s in others.iter().filter(|s| s.parameter != Parameter::Friction) {
            not_negative("σ of an input", s.sigma)?;
            let step = s.parameter.step();
            let at = |by: f64| clock(&fitted.varied(s.parameter, by)).ok();
            // Where one side has no run, the slope of the other side.
            let slope = match (at(-step), at(step)) {
                (Some(less), Some(more)) => (more - less) / (2.0 * step),
                (Some(less), None) => (here - less) / step,
                (None, Some(more)) => (more - here) / step,
                (None, None) => 0.0,
            };
            other = other.hypot(slope * s.sigma);
        }
        Ok(Self {
            friction,
            sigma: sigma_time.hypot(other) / slope.abs(),
            slope,
            sigma_of_time: sigma_time / slope.abs(),
        })
    }

    /// Prior and fit weighed by 1/σ²: friction and its standard deviation. Only when the user says so.
    ///
    /// # Errors
    /// A prior that is not positive, or a σ of 0.
    pub fn combined(&self, prior: f64, prior_sigma: f64) -> Result<(f64, f64), RunError> {
        positive("prior friction", prior)?;
        positive("σ of the prior friction", prior_sigma)?;
        positive("σ of the fitted friction", self.sigma)?;
        let (a, b) = (prior_sigma.powi(-2), self.sigma.powi(-2));
        Ok((
            (a * prior + b * self.friction) / (a + b),
            (a + b).powf(-0.5),
        ))
    }
}
