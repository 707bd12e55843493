//! Linear sensitivities: slopes of the figures by every dimension, and what follows.
//!
//! The slopes are central differences of the model itself, taken of its smooth quantities
//! (path slope, pitch rate, pinion angles) and carried to the figures by the chain rule, so
//! that an instant centre next to infinity has its slope without stepping over the edge.
//! With x_IC = x + 1/q and z_IC = z − x′/q (x′ = dx/dz, z held):
//! dx_IC = dx − dq/q², dz_IC = −dx′/q + x′ dq/q².

use crate::axle::AxleError;
use crate::state::{INFINITY_RATE, InstantCentre};

use super::model::Build;
use super::{Placement, PlacementError, PlacementFigure};

/// Step of the central difference as a share of the shortest rod. The model is smooth on the
/// scale of its rods, so the truncation is of order step² = 1e-8 of the slope, while poses
/// and rates are good to some 1e-14 (relative), which the step lifts to 1e-10.
const STEP_SHARE: f64 = 1e-4;
/// A short rod does not take the step below this share of the longest.
const STEP_FLOOR: f64 = 1e-5;
/// A difference below this (SI) is the solver's own resolution: no effect.
const RESOLVED: f64 = 1e-12;
/// Effects below this share of the largest are not named.
const NAMED_SHARE: f64 = 1e-6;
/// Pinion angles closer than this tie, rad.
const TIE: f64 = 1e-9;

/// Why a figure has no sensitivities.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Missing {
    /// The instant centre as drawn is at infinity, in this direction (dz/dx).
    AtInfinity {
        /// Slope of the path normal.
        slope: f64,
    },
    /// An end of the travel range is out of reach, as drawn or with a small error.
    OutOfReach(AxleError),
}

/// One figure in the linear model. Vectors have one entry per dimension, in their order.
#[derive(Clone, Debug, PartialEq)]
pub struct LinearFigure {
    /// Value as drawn, SI.
    pub nominal: f64,
    /// d(figure)/d(dimension), SI per m.
    pub slopes: Vec<f64>,
    /// |slope| · tolerance: the most this dimension alone moves the figure, SI.
    pub effects: Vec<f64>,
    /// Share of the variance, 0 to 1; all zero where there is no variance.
    pub shares: Vec<f64>,
    /// √(Σ (slope · tolerance)² / 3), SI.
    pub standard_deviation: f64,
    /// Σ |slope| · tolerance, SI.
    pub worst_case: f64,
    /// The straight line does not carry over the tolerances: in the worst case the instant
    /// centre's pitch rate halves, or another of the three poses becomes the extreme of the
    /// pinion change. Take the Monte Carlo's spread instead.
    pub bends: bool,
}

/// Sensitivities of every figure.
#[derive(Clone, Debug, PartialEq)]
pub struct Sensitivities {
    figures: [Result<LinearFigure, Missing>; 6],
}

impl Sensitivities {
    /// One figure.
    ///
    /// # Errors
    /// [`Missing`] where the figure has no value as drawn.
    pub fn of(&self, figure: PlacementFigure) -> Result<&LinearFigure, &Missing> {
        self.figures[figure.index()].as_ref()
    }

    /// The `n` dimensions that move the figure most, by |slope| · tolerance, largest first; ties
    /// in the order given. Fewer where fewer have an effect (above a millionth of the
    /// largest); none where the figure has no value.
    #[must_use]
    pub fn most(&self, figure: PlacementFigure, n: usize) -> Vec<usize> {
        let Ok(linear) = self.of(figure) else {
            return Vec::new();
        };
        let effects = &linear.effects;
        let least = NAMED_SHARE * effects.iter().copied().fold(0.0, f64::max);
        let mut order: Vec<usize> = (0..effects.len()).filter(|&i| effects[i] > least).collect();
        order.sort_by(|&a, &b| effects[b].total_cmp(&effects[a]));
        order.truncate(n);
        order
    }
}

/// Slopes of the smooth quantities by one dimension.
struct Slopes {
    x: f64,
    dxdz: f64,
    q: f64,
    anti_squat: f64,
    roll_steer: f64,
    pinion: [Option<f64>; 3],
}

impl Slopes {
    fn between(low: &Build, high: &Build, step: f64) -> Self {
        let slope = |low: f64, high: f64| {
            let rise = high - low;
            if rise.abs() < RESOLVED {
                0.0
            } else {
                rise / (2.0 * step)
            }
        };
        Self {
            x: slope(low.x, high.x),
            dxdz: slope(low.dxdz, high.dxdz),
            q: slope(low.q, high.q),
            anti_squat: slope(low.anti_squat, high.anti_squat),
            roll_steer: slope(low.roll_steer, high.roll_steer),
            pinion: std::array::from_fn(|i| Some(slope(low.pinion[i]?, high.pinion[i]?))),
        }
    }
}

impl Placement {
    /// Slopes of every figure by every dimension, and the linear spread.
    ///
    /// # Errors
    /// [`PlacementError::NoSlope`] where the axle as drawn stands at the edge of its reach, so
    /// that a small move of a dimension is one too far.
    pub fn sensitivities(&self) -> Result<Sensitivities, PlacementError> {
        let step = self.step();
        let mut bench = self.nominal.clone();
        let mut errors = vec![0.0; self.dimensions.len()];
        let mut slopes = Vec::with_capacity(errors.len());
        for dimension in 0..errors.len() {
            let mut at = |error: f64| {
                errors[dimension] = error;
                self.build(&mut bench, &errors)
                    .map_err(|reason| PlacementError::NoSlope {
                        dimension,
                        step: error,
                        reason,
                    })
            };
            let (low, high) = (at(-step)?, at(step)?);
            errors[dimension] = 0.0;
            slopes.push(Slopes::between(&low, &high, step));
        }
        let (q, dxdz) = (self.built.q, self.built.dxdz);
        let simple = |nominal: f64, of: &dyn Fn(&Slopes) -> f64| {
            self.linear(nominal, slopes.iter().map(of).collect(), false)
        };
        let (station, height) = match self.built.instant_centre {
            InstantCentre::At { x, z } => {
                let swing: f64 = self.sum(slopes.iter().map(|s| s.q));
                let bends = swing > (0.5 * q.abs()).min(q.abs() - INFINITY_RATE);
                let x_slopes = slopes.iter().map(|s| s.x - s.q / (q * q)).collect();
                let z_slopes = slopes
                    .iter()
                    .map(|s| -s.dxdz / q + dxdz * s.q / (q * q))
                    .collect();
                (
                    Ok(self.linear(x, x_slopes, bends)),
                    Ok(self.linear(z, z_slopes, bends)),
                )
            }
            InstantCentre::Infinity { slope } => (
                Err(Missing::AtInfinity { slope }),
                Err(Missing::AtInfinity { slope }),
            ),
        };
        let ride = self.built.pinion[0].unwrap_or(0.0);
        Ok(Sensitivities {
            figures: [
                Ok(simple(self.built.anti_squat, &|s| s.anti_squat)),
                station,
                height,
                Ok(simple(self.built.roll_steer, &|s| s.roll_steer)),
                Ok(simple(ride, &|s| s.pinion[0].unwrap_or(0.0))),
                self.pinion_change(&slopes),
            ],
        })
    }

    /// Step of the differences, m.
    pub(super) fn step(&self) -> f64 {
        let lengths = self.nominal.linkage.rods.iter().map(|r| r.length);
        let (shortest, longest) = lengths.fold((f64::INFINITY, 0.0_f64), |(low, high), l| {
            (low.min(l), high.max(l))
        });
        (STEP_SHARE * shortest).max(STEP_FLOOR * longest)
    }

    /// Σ |slope| · tolerance.
    fn sum(&self, slopes: impl Iterator<Item = f64>) -> f64 {
        slopes
            .zip(&self.dimensions)
            .map(|(s, d)| s.abs() * d.plus_minus)
            .sum()
    }

    fn linear(&self, nominal: f64, slopes: Vec<f64>, bends: bool) -> LinearFigure {
        let effects: Vec<f64> = slopes
            .iter()
            .zip(&self.dimensions)
            .map(|(s, d)| s.abs() * d.plus_minus)
            .collect();
        let squares: f64 = effects.iter().map(|e| e * e).sum();
        let shares = effects
            .iter()
            .map(|e| if squares > 0.0 { e * e / squares } else { 0.0 })
            .collect();
        LinearFigure {
            nominal,
            worst_case: effects.iter().sum(),
            standard_deviation: (squares / 3.0).sqrt(),
            slopes,
            effects,
            shares,
            bends,
        }
    }

    /// The largest difference of two of the three pinion angles, and its slope. Where two pairs
    /// tie (parallel links: all zero) the figure has a corner; the steepest of them is taken.
    fn pinion_change(&self, slopes: &[Slopes]) -> Result<LinearFigure, Missing> {
        let lost =
            || {
                let reason = self.end_failure();
                Missing::OutOfReach(reason.unwrap_or(AxleError::Motion(
                    crate::Unreachable::Singular { ratio: 0.0 },
                )))
            };
        let [Some(a), Some(b), Some(c)] = self.built.pinion else {
            return Err(lost());
        };
        let angles = [a, b, c];
        let mut by_pose: [Vec<f64>; 3] = Default::default();
        for s in slopes {
            for (pose, slope) in by_pose.iter_mut().zip(s.pinion) {
                pose.push(slope.ok_or_else(lost)?);
            }
        }
        let pair = |high: usize, low: usize| -> Vec<f64> {
            let slopes = by_pose[high].iter().zip(&by_pose[low]);
            slopes.map(|(h, l)| h - l).collect()
        };
        const PAIRS: [(usize, usize); 6] = [(0, 1), (0, 2), (1, 2), (1, 0), (2, 0), (2, 1)];
        let rise = |&(high, low): &(usize, usize)| angles[high] - angles[low];
        let largest = PAIRS.iter().map(rise).fold(0.0, f64::max);
        let best = PAIRS
            .iter()
            .filter(|p| rise(p) > largest - TIE)
            .map(|&(high, low)| self.linear(largest, pair(high, low), false))
            .reduce(|best, next| {
                if next.standard_deviation > best.standard_deviation {
                    next
                } else {
                    best
                }
            });
        let mut best = best.ok_or_else(lost)?;
        // Another pair can overtake this one if the gap is within what both move.
        best.bends = PAIRS.iter().any(|p| {
            let other = pair(p.0, p.1);
            let apart = best.slopes.iter().zip(&other).map(|(a, b)| a - b);
            let reach = self.sum(apart);
            reach > 0.0 && reach > largest - rise(p)
        });
        Ok(best)
    }
}
