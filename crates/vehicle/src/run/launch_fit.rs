//! Tyre friction and launch speed together, from the clocked times of several runs.
//!
//! Unknown are the friction μ0 and how far the engine was held above the launch speed written down, δ, the
//! same in every run. The estimate is the most probable pair (MAP): least
//! (t − t(μ0, δ))ᵀ C⁻¹ (t − t(μ0, δ)) + ((μ0 − μ̄)/σ_μ)² + (δ/σ_δ)², with
//! C = diag(σ_t²) + S diag(σ_p²) Sᵀ, S the slopes of the times by the other inputs, which are the same car's in
//! every run (Gauss–Newton with halved steps; e.g. Tarantola, Inverse Problem Theory, ch. 3, from memory).
//! Covariance of the pair: (Jᵀ C⁻¹ J + P⁻¹)⁻¹ at the estimate.

use nalgebra::{DMatrix, DVector, Matrix2, MatrixXx2, Vector2};
use thiserror::Error;

use super::RunError;
use super::car::{RunCar, RunModel};
use super::check::{finite, not_negative, positive};
use super::engine::RPM;
use super::friction_fit::FRICTION_RANGE;
use super::report::{Mark, RunSettings};
use super::sensitivity::Parameter;
use super::uncertainty::InputSigma;

/// Half the differences the slopes are taken over: friction, rad/s.
const STEPS: [f64; 2] = [0.005, 50.0 * RPM];
/// Most Gauss–Newton steps, and most halvings of one.
const MOST: usize = 40;
const HALVINGS: usize = 12;
/// Where the steps begin: the best of these, in standard deviations from the prior. Slopes alone do not find
/// the way from where more grip, or another launch speed, changes nothing.
const FRICTIONS: [f64; 11] = [-4.0, -3.0, -2.0, -1.4, -0.8, 0.0, 0.8, 1.4, 2.0, 3.0, 4.0];
const LAUNCHES: [f64; 3] = [-1.0, 0.0, 1.0];
/// A step this small against the standard deviations is the last.
const SMALL: f64 = 1e-4;
/// Slopes to both sides that differ by this share, and by this much over a step, s, have a limit between them.
const KINK: f64 = 0.2;
const NOTICED: f64 = 1e-4;
/// A standard deviation above this share of the prior's says that the times told nothing.
const HARDLY: f64 = 0.9;
/// A correlation beyond this says that the two can not be told apart.
const ALIKE: f64 = 0.9;

/// A time on the clock.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Clocked {
    /// Where.
    pub mark: Mark,
    /// Time on the clock, s, positive.
    pub time: f64,
    /// Its standard deviation, s, positive.
    pub sigma: f64,
}

/// One run: the car as it was set, and what the clock said.
#[derive(Clone, Debug, PartialEq)]
pub struct Timed {
    /// The car, with the launch speed that was written down; its friction is not read.
    pub car: RunCar,
    /// How it was timed.
    pub settings: RunSettings,
    /// Times; none: the run says nothing.
    pub clocked: Vec<Clocked>,
}

/// What was thought before.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LaunchPrior {
    /// Friction μ0.
    pub friction: f64,
    /// Its standard deviation, positive.
    pub friction_sigma: f64,
    /// Standard deviation of the launch speed about the one written down, rad/s, positive.
    pub launch_sigma: f64,
}

/// The most probable pair.
#[derive(Clone, Debug, PartialEq)]
pub struct LaunchFit {
    /// Friction μ0.
    pub friction: f64,
    /// Its standard deviation, whatever the launch speed.
    pub friction_sigma: f64,
    /// How far the engine was held above the launch speed written down, rad/s.
    pub launch: f64,
    /// Its standard deviation, whatever the friction, rad/s.
    pub launch_sigma: f64,
    /// Correlation of the two, −1 to 1.
    pub correlation: f64,
    /// What was thought before.
    pub prior: LaunchPrior,
    /// Measured less model at the estimate, s: run by run, in the order of the times.
    pub left: Vec<f64>,
    /// The largest of them over the standard deviation it was expected to have (time and other inputs).
    pub worst: f64,
    /// The least lies where a limit takes over: slopes differ to the two sides, and the standard deviations are
    /// only rough.
    pub kinked: bool,
}

/// Why there is no pair.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum LaunchFitError {
    /// Nothing was clocked.
    #[error("no time was clocked")]
    NothingClocked,
    /// The steps went on without an end.
    #[error(
        "friction and launch rpm do not settle: {friction:.3} and {:+.0} rpm when given up",
        launch / RPM
    )]
    DoesNotSettle {
        /// Friction when it was given up.
        friction: f64,
        /// Launch speed over the one written down, rad/s.
        launch: f64,
    },
    /// A run has no answer.
    #[error(transparent)]
    Run(#[from] RunError),
}

impl LaunchFit {
    /// The pair for these runs; `others` are the standard deviations of the other inputs (friction and launch
    /// speed are left out).
    ///
    /// # Errors
    /// Nothing clocked; a time, prior or σ that can not be; a run that has no answer at the prior; steps that do
    /// not settle.
    pub fn of(
        runs: &[Timed],
        prior: &LaunchPrior,
        others: &[InputSigma],
    ) -> Result<Self, LaunchFitError> {
        let problem = Problem::new(runs, prior, others)?;
        let mut here = problem.start()?;
        for _ in 0..MOST {
            let (slopes, kinked) = problem.slopes(&here)?;
            let weighted = &problem.weight * &slopes;
            let information: Matrix2<f64> = problem.prior_weight() + slopes.tr_mul(&weighted);
            let covariance = information
                .try_inverse()
                .ok_or_else(|| here.does_not_settle())?;
            let off = here.pair - problem.middle();
            let step = covariance * (weighted.tr_mul(&here.left) - problem.prior_weight() * off);
            let scale = Vector2::new(covariance[(0, 0)].sqrt(), covariance[(1, 1)].sqrt());
            let size = step.component_div(&scale).amax();
            if !size.is_finite() {
                return Err(here.does_not_settle());
            }
            let mut share = 1.0;
            let next = (0..HALVINGS).find_map(|_| {
                let tried = problem.at(here.pair + share * step).ok();
                share *= 0.5;
                tried.filter(|t| t.cost < here.cost)
            });
            match next {
                Some(next) if size >= SMALL => here = next,
                found => {
                    let there = found.unwrap_or(here);
                    return Ok(problem.answer(&there, &covariance, kinked));
                }
            }
        }
        Err(here.does_not_settle())
    }

    /// The times narrowed the friction.
    #[must_use]
    pub fn tells_friction(&self) -> bool {
        self.friction_sigma < HARDLY * self.prior.friction_sigma
    }

    /// The times narrowed the launch speed.
    #[must_use]
    pub fn tells_launch(&self) -> bool {
        self.launch_sigma < HARDLY * self.prior.launch_sigma
    }

    /// The times tell one from the other: they are not both hidden in one line of pairs that do alike.
    #[must_use]
    pub fn tells_apart(&self) -> bool {
        self.correlation.abs() < ALIKE
    }
}

/// A pair with what it leaves.
struct Tried {
    pair: Vector2<f64>,
    left: DVector<f64>,
    cost: f64,
}

impl Tried {
    fn does_not_settle(&self) -> LaunchFitError {
        LaunchFitError::DoesNotSettle {
            friction: self.pair[0],
            launch: self.pair[1],
        }
    }
}

struct Problem<'a> {
    runs: &'a [Timed],
    prior: &'a LaunchPrior,
    measured: DVector<f64>,
    /// C⁻¹.
    weight: DMatrix<f64>,
    /// √C_ii.
    expected: DVector<f64>,
}

impl<'a> Problem<'a> {
    fn new(
        runs: &'a [Timed],
        prior: &'a LaunchPrior,
        others: &[InputSigma],
    ) -> Result<Self, LaunchFitError> {
        positive("prior friction", prior.friction)?;
        positive("σ of the prior friction", prior.friction_sigma)?;
        positive("σ of the prior launch speed", prior.launch_sigma)?;
        for s in others {
            not_negative("σ of an input", s.sigma)?;
        }
        let all: Vec<Clocked> = runs.iter().flat_map(|r| r.clocked.clone()).collect();
        if all.is_empty() {
            return Err(LaunchFitError::NothingClocked);
        }
        for c in &all {
            positive("clocked time", c.time)?;
            positive("σ of the clocked time", c.sigma)?;
        }
        let measured = DVector::from_iterator(all.len(), all.iter().map(|c| c.time));
        let own = DVector::from_iterator(all.len(), all.iter().map(|c| c.sigma * c.sigma));
        let mut problem = Self {
            runs,
            prior,
            measured,
            weight: DMatrix::zeros(0, 0),
            expected: DVector::zeros(0),
        };
        let mut spread = DMatrix::from_diagonal(&own);
        let middle = problem.middle();
        for s in others {
            if matches!(s.parameter, Parameter::Friction | Parameter::LaunchSpeed) {
                continue;
            }
            let step = s.parameter.step();
            let at = |by: f64| {
                problem
                    .times(middle, |car| car.varied(s.parameter, by))
                    .ok()
            };
            let slope = slope(at(-step), at(step), step, || {
                problem.times(middle, RunCar::clone)
            })?;
            let part = slope * s.sigma;
            spread += &part * part.transpose();
        }
        let expected = spread.diagonal().map(f64::sqrt);
        for e in expected.iter() {
            finite("spread of a clocked time", *e)?;
        }
        problem.expected = expected;
        problem.weight =
            spread
                .cholesky()
                .map(|c| c.inverse())
                .ok_or(LaunchFitError::DoesNotSettle {
                    friction: prior.friction,
                    launch: 0.0,
                })?;
        Ok(problem)
    }

    fn middle(&self) -> Vector2<f64> {
        Vector2::new(self.prior.friction, 0.0)
    }

    fn prior_weight(&self) -> Matrix2<f64> {
        Matrix2::from_diagonal(&Vector2::new(
            self.prior.friction_sigma.powi(-2),
            self.prior.launch_sigma.powi(-2),
        ))
    }

    /// The model's times with a pair, in the order of the measured ones.
    fn times(
        &self,
        pair: Vector2<f64>,
        other: impl Fn(&RunCar) -> RunCar,
    ) -> Result<DVector<f64>, RunError> {
        let mut all = Vec::with_capacity(self.measured.len());
        for run in self.runs.iter().filter(|r| !r.clocked.is_empty()) {
            let mut car = other(&run.car);
            car.tyre.friction = pair[0];
            car.driveline.launch_speed += pair[1];
            let marks: Vec<Mark> = run.clocked.iter().map(|c| c.mark).collect();
            let fine = run.settings.finer(100.0);
            all.extend(RunModel::new(&car)?.clocks(&marks, &fine)?);
        }
        Ok(DVector::from_vec(all))
    }

    fn at(&self, pair: Vector2<f64>) -> Result<Tried, RunError> {
        let (low, high) = FRICTION_RANGE;
        let pair = Vector2::new(pair[0].clamp(low, high), pair[1]);
        let left = &self.measured - self.times(pair, RunCar::clone)?;
        let off = pair - self.middle();
        let cost = left.dot(&(&self.weight * &left)) + off.dot(&(self.prior_weight() * off));
        Ok(Tried { pair, left, cost })
    }

    /// The best of a few pairs about the prior, which itself has to have an answer.
    fn start(&self) -> Result<Tried, RunError> {
        let mut best = self.at(self.middle())?;
        let sigma = Vector2::new(self.prior.friction_sigma, self.prior.launch_sigma);
        for mu in FRICTIONS {
            for off in LAUNCHES {
                let pair = self.middle() + sigma.component_mul(&Vector2::new(mu, off));
                if let Ok(tried) = self.at(pair)
                    && tried.cost < best.cost
                {
                    best = tried;
                }
            }
        }
        Ok(best)
    }

    /// Slopes of the times by friction and launch speed, and whether a limit lies between their sides.
    fn slopes(&self, here: &Tried) -> Result<(MatrixXx2<f64>, bool), RunError> {
        let now = &self.measured - &here.left;
        let mut kinked = false;
        let mut by = |k: usize| {
            let step = STEPS[k];
            let at = |by: f64| {
                let mut pair = here.pair;
                pair[k] += by;
                self.times(pair, RunCar::clone).ok()
            };
            let (less, more) = (at(-step), at(step));
            if let (Some(a), Some(b)) = (&less, &more) {
                for ((a, b), now) in a.iter().zip(b.iter()).zip(now.iter()) {
                    let (below, above) = (now - a, b - now);
                    let apart = (above - below).abs();
                    kinked |= apart > KINK * below.abs().max(above.abs()) && apart > NOTICED;
                }
            }
            slope(less, more, step, || Ok(now.clone()))
        };
        let columns = [by(0)?, by(1)?];
        Ok((MatrixXx2::from_columns(&columns), kinked))
    }

    fn answer(&self, at: &Tried, covariance: &Matrix2<f64>, kinked: bool) -> LaunchFit {
        let (friction_sigma, launch_sigma) = (covariance[(0, 0)].sqrt(), covariance[(1, 1)].sqrt());
        LaunchFit {
            friction: at.pair[0],
            friction_sigma,
            launch: at.pair[1],
            launch_sigma,
            correlation: covariance[(0, 1)] / (friction_sigma * launch_sigma),
            prior: *self.prior,
            worst: at.left.component_div(&self.expected).amax(),
            left: at.left.iter().copied().collect(),
            kinked,
        }
    }
}

/// Central, or one-sided where the other side has no run; none at all where neither has.
fn slope(
    less: Option<DVector<f64>>,
    more: Option<DVector<f64>>,
    step: f64,
    here: impl FnOnce() -> Result<DVector<f64>, RunError>,
) -> Result<DVector<f64>, RunError> {
    Ok(match (less, more) {
        (Some(a), Some(b)) => (b - a) / (2.0 * step),
        (Some(a), None) => (here()? - a) / step,
        (None, Some(b)) => (b - here()?) / step,
        (None, None) => {
            let here = here()?;
            DVector::zeros(here.len())
        }
    })
}
