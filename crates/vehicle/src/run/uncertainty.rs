//! Error bars of the readings from those of the inputs.

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};

use super::RunError;
use super::car::{RunCar, RunModel};
use super::check::not_negative;
use super::report::{Reading, RunSettings};
use super::sensitivity::{Parameter, Sensitivities};

/// Standard deviation of one input, in its unit (see [`Parameter`]).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InputSigma {
    /// Input.
    pub parameter: Parameter,
    /// σ, zero or more.
    pub sigma: f64,
}

/// What one input adds to the error bar of a reading.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Contribution {
    /// Input.
    pub parameter: Parameter,
    /// |∂reading/∂input|·σ, s or m/s.
    pub amount: f64,
    /// Whether the slopes to both sides differ by more than 20 %: the linear error bar is only rough.
    pub kinked: bool,
}

/// Error bar of one reading.
#[derive(Clone, Debug, PartialEq)]
pub struct ErrorBar {
    /// Reading.
    pub reading: Reading,
    /// Its value, s or m/s.
    pub value: f64,
    /// σ = √Σ(∂reading/∂p·σ_p)², s or m/s.
    pub sigma: f64,
    /// All contributions, largest first.
    pub contributions: Vec<Contribution>,
}

impl ErrorBar {
    /// The three largest contributions.
    #[must_use]
    pub fn largest(&self) -> &[Contribution] {
        &self.contributions[..self.contributions.len().min(3)]
    }
}

impl Sensitivities {
    /// Error bar of a reading from independent inputs: σ² = Σ(∂t/∂p·σ_p)². None where the reading does not
    /// exist (60 mph is not reached).
    ///
    /// # Errors
    /// A σ that is negative or not finite.
    pub fn error_bar(
        &self,
        reading: Reading,
        sigmas: &[InputSigma],
    ) -> Result<Option<ErrorBar>, RunError> {
        for s in sigmas {
            not_negative("σ of an input", s.sigma)?;
        }
        let Some(value) = self.slip.reading(reading) else {
            return Ok(None);
        };
        let mut contributions: Vec<Contribution> = sigmas
            .iter()
            .filter_map(|s| {
                let slope = self.slope(s.parameter, reading)?;
                Some(Contribution {
                    parameter: s.parameter,
                    amount: (slope.central * s.sigma).abs(),
                    kinked: slope.kinked,
                })
            })
            .collect();
        contributions.sort_by(|a, b| b.amount.total_cmp(&a.amount));
        let square: f64 = contributions.iter().map(|c| c.amount * c.amount).sum();
        Ok(Some(ErrorBar {
            reading,
            value,
            sigma: square.sqrt(),
            contributions,
        }))
    }
}

/// Spread of one reading over simulated runs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spread {
    /// Reading.
    pub reading: Reading,
    /// Runs that have it.
    pub count: usize,
    /// Mean, s or m/s.
    pub mean: f64,
    /// Standard deviation, s or m/s.
    pub sigma: f64,
    /// Value that 5 % of the runs stay below.
    pub low: f64,
    /// Median.
    pub median: f64,
    /// Value that 95 % of the runs stay below.
    pub high: f64,
}

/// Simulated runs.
#[derive(Clone, Debug, PartialEq)]
pub struct Simulation {
    /// Spreads in the order of [`Reading::ALL`]; None where fewer than two runs have the reading.
    pub spreads: [Option<Spread>; 9],
    /// Every run's value, rising, in the order of [`Reading::ALL`]; runs that do not have it are not in.
    pub values: [Vec<f64>; 9],
    /// Runs made.
    pub runs: usize,
    /// Runs without an answer (the car does not move, bogs, …), and the last reason.
    pub failed: usize,
    /// Why the last of them failed.
    pub last_failure: Option<RunError>,
    /// Whether it was stopped before all runs were made.
    pub stopped: bool,
}

impl Simulation {
    /// Share of all runs made, 0 to 1, whose value is at most `limit` (s or m/s); runs without it count as not.
    /// None when no run was made.
    #[must_use]
    pub fn share_within(&self, reading: Reading, limit: f64) -> Option<f64> {
        let within = self.values[reading.index()].partition_point(|v| *v <= limit);
        (self.runs > 0).then(|| within as f64 / self.runs as f64)
    }

    /// Counts in `count` bins of equal width from the least to the greatest value: (least, width, counts). None
    /// without values or bins; all in the first where the values are alike.
    #[must_use]
    pub fn bins(&self, reading: Reading, count: usize) -> Option<(f64, f64, Vec<usize>)> {
        let values = &self.values[reading.index()];
        let (least, greatest) = (*values.first()?, *values.last()?);
        let width = (greatest - least) / count.max(1) as f64;
        let mut bins = vec![0; count];
        for v in values {
            let place = if width > 0.0 {
                (((v - least) / width) as usize).min(count.saturating_sub(1))
            } else {
                0
            };
            *bins.get_mut(place)? += 1;
        }
        Some((least, width, bins))
    }
}

/// Most runs of one simulation.
const MOST: usize = 1_000_000;

/// Draws every input from a normal distribution about the car and runs each car (1000 runs are usual). The
/// same seed gives the same runs. `go_on` hears how many are done and stops it by saying no.
///
/// # Errors
/// A σ that is negative or not finite; no runs or more than a million; bad settings.
pub fn simulate(
    car: &RunCar,
    settings: &RunSettings,
    sigmas: &[InputSigma],
    runs: usize,
    seed: u64,
    mut go_on: impl FnMut(usize) -> bool,
) -> Result<Simulation, RunError> {
    for s in sigmas {
        not_negative("σ of an input", s.sigma)?;
    }
    if runs == 0 || runs > MOST {
        return Err(RunError::OutOfRange {
            what: "number of runs",
            value: runs as f64,
            least: 1.0,
            most: MOST as f64,
        });
    }
    settings.check()?;
    let mut random = Normal::new(seed);
    let mut values: [Vec<f64>; 9] = Default::default();
    let (mut made, mut failed, mut last_failure) = (0, 0, None);
    while made < runs && go_on(made) {
        let drawn = sigmas.iter().fold(car.clone(), |car, s| {
            car.varied(s.parameter, s.sigma * random.draw())
        });
        match RunModel::new(&drawn).and_then(|m| m.slip(settings)) {
            Ok(slip) => {
                for (list, reading) in values.iter_mut().zip(Reading::ALL) {
                    list.extend(slip.reading(reading));
                }
            }
            Err(e) => {
                failed += 1;
                last_failure = Some(e);
            }
        }
        made += 1;
    }
    let mut spreads = [None; 9];
    for ((spread, list), reading) in spreads.iter_mut().zip(&mut values).zip(Reading::ALL) {
        *spread = spread_of(reading, list);
    }
    Ok(Simulation {
        spreads,
        values,
        runs: made,
        failed,
        last_failure,
        stopped: made < runs,
    })
}

fn spread_of(reading: Reading, values: &mut [f64]) -> Option<Spread> {
    let count = values.len();
    values.sort_by(f64::total_cmp);
    if count < 2 {
        return None;
    }
    let n = count as f64;
    let mean = values.iter().sum::<f64>() / n;
    let square: f64 = values.iter().map(|v| (v - mean).powi(2)).sum();
    let quantile = |q: f64| {
        let place = q * (n - 1.0);
        let i = (place as usize).min(count - 2);
        values[i] + (place - i as f64) * (values[i + 1] - values[i])
    };
    Some(Spread {
        reading,
        count,
        mean,
        sigma: (square / (n - 1.0)).sqrt(),
        low: quantile(0.05),
        median: quantile(0.5),
        high: quantile(0.95),
    })
}

/// Standard normal numbers (polar method of Marsaglia, from memory).
struct Normal {
    random: ChaCha8Rng,
    spare: Option<f64>,
}

impl Normal {
    fn new(seed: u64) -> Self {
        Self {
            random: ChaCha8Rng::seed_from_u64(seed),
            spare: None,
        }
    }

    /// Even on −1 to 1.
    fn even(&mut self) -> f64 {
        (self.random.next_u64() >> 11) as f64 / (1_u64 << 52) as f64 - 1.0
    }

    fn draw(&mut self) -> f64 {
        if let Some(v) = self.spare.take() {
            return v;
        }
        loop {
            let (a, b) = (self.even(), self.even());
            let s = a * a + b * b;
            if s > 0.0 && s < 1.0 {
                let scale = (-2.0 * s.ln() / s).sqrt();
                self.spare = Some(b * scale);
                return a * scale;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;

    /// Mean, σ and the share within one σ of a normal distribution: 0, 1, 0.6827.
    #[test]
    fn the_numbers_are_normal() {
        let mut normal = Normal::new(7);
        let n = 100_000;
        let mut values: Vec<f64> = (0..n).map(|_| normal.draw()).collect();
        let within = values.iter().filter(|v| v.abs() < 1.0).count() as f64 / f64::from(n);
        let s = spread_of(Reading::ZeroSixty, &mut values).unwrap();
        assert!(s.mean.abs() < 0.01 && (s.sigma - 1.0).abs() < 0.01);
        assert!((within - 0.6827).abs() < 0.006, "{within}");
        assert!((s.high - 1.645).abs() < 0.02 && (s.low + 1.645).abs() < 0.02);
    }
}
