//! In which order to weld, and when to measure.
//!
//! A heuristic (no source), meant to be edited: always take the joint that leaves the
//! dimensions least out, and among equals the one nearest the middle, then the other side.
//! In this model the total does not depend on the order, and restraint that grows as the
//! frame closes is not modelled beyond each joint's setting.

use crate::control::{Contribution, FactorChoices, Factors, Forecaster, Sums};
use crate::error::{WeldError, finite, positive, signed};
use crate::fit_up::SLACK;

/// Scores this close to the best count as equal, as a share of the tolerance.
const SCORE_TIE: f64 = 0.05;
/// Distances from the middle this close count as equal, m.
const DISTANCE_TIE: f64 = 1.0e-3;
/// Slack of a score, for rounding.
const SCORE_SLACK: f64 = 1.0e-9;

/// A joint still to be welded.
#[derive(Clone, Debug, PartialEq)]
pub struct OrderJoint {
    /// Change c_d of each dimension by this joint, with the shop's factors, m.
    pub changes: Vec<f64>,
    /// Where it is, m (y to the left).
    pub at: [f64; 3],
}

/// Side of a joint: left, right or in the middle plane.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Side {
    Left,
    Right,
    Middle,
}

impl Side {
    fn of(joint: &OrderJoint) -> Self {
        if joint.at[1] > SLACK {
            Self::Left
        } else if joint.at[1] < -SLACK {
            Self::Right
        } else {
            Self::Middle
        }
    }

    fn opposite(self, last: Option<Self>) -> bool {
        matches!(
            (self, last),
            (Self::Left, Some(Self::Right)) | (Self::Right, Some(Self::Left))
        )
    }
}

/// Proposes an order: indices of `joints`, first to weld first.
///
/// From drift x = 0 the next joint is the one with the least peak max_d |x_d + c_d|/T_d.
/// Scores up to 0.05 above the best tie; then the nearest to `middle` (m; distances up to
/// 1 mm above the nearest tie), then one on the side opposite the last (sign of y), then entry
/// order. `tolerances` are the ±T_d, m, one per dimension.
///
/// # Errors
/// Values not finite or huge; a tolerance that is not positive; a joint with more or fewer
/// changes than there are tolerances.
pub fn propose(
    joints: &[OrderJoint],
    tolerances: &[f64],
    middle: [f64; 3],
) -> Result<Vec<usize>, WeldError> {
    check_tolerances(tolerances)?;
    let mut distances = Vec::with_capacity(joints.len());
    for joint in joints {
        count("changes of a joint", joint.changes.len(), tolerances.len())?;
        for &change in &joint.changes {
            signed("the change by a joint", change)?;
        }
        let mut offset = [0.0; 3];
        for (offset, (at, middle)) in offset.iter_mut().zip(joint.at.into_iter().zip(middle)) {
            finite("the place of a joint", at)?;
            finite("the middle", middle)?;
            *offset = at - middle;
        }
        let distance = offset[0].hypot(offset[1]).hypot(offset[2]);
        distances.push(finite("the distance from the middle", distance)?);
    }
    let mut drift = vec![0.0; tolerances.len()];
    let mut left: Vec<usize> = (0..joints.len()).collect();
    let mut order = Vec::with_capacity(joints.len());
    let mut last = None;
    while !left.is_empty() {
        let scores: Vec<f64> = left
            .iter()
            .map(|&joint| peak(&drift, &joints[joint].changes, tolerances))
            .collect();
        let best = scores.iter().copied().fold(f64::INFINITY, f64::min);
        let tied: Vec<usize> = left
            .iter()
            .zip(&scores)
            .filter(|(_, score)| **score <= best + SCORE_TIE + SCORE_SLACK)
            .map(|(&joint, _)| joint)
            .collect();
        let nearest = tied
            .iter()
            .map(|&joint| distances[joint])
            .fold(f64::INFINITY, f64::min);
        let near: Vec<usize> = tied
            .into_iter()
            .filter(|&joint| distances[joint] <= nearest + DISTANCE_TIE + SLACK)
            .collect();
        let opposite = near
            .iter()
            .find(|&&joint| Side::of(&joints[joint]).opposite(last));
        // Some joint always has the least score; the guard only spares a panic.
        let Some(&next) = opposite.or(near.first()) else {
            break;
        };
        for (drift, change) in drift.iter_mut().zip(&joints[next].changes) {
            *drift += change;
        }
        last = Some(Side::of(&joints[next]));
        left.retain(|&joint| joint != next);
        order.push(next);
    }
    Ok(order)
}

/// max_d |x_d + c_d|/T_d; 0 without dimensions.
fn peak(drift: &[f64], changes: &[f64], tolerances: &[f64]) -> f64 {
    drift
        .iter()
        .zip(changes)
        .zip(tolerances)
        .map(|((drift, change), tolerance)| (drift + change).abs() / tolerance)
        .fold(0.0, f64::max)
}

/// Drift of one dimension so far.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Drift {
    /// Expected change so far, m.
    pub drift: f64,
    /// Lower end of its band, m.
    pub low: f64,
    /// Upper end of its band, m.
    pub high: f64,
}

/// What one more joint has done.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// The joint just welded.
    pub joint: usize,
    /// Drift of each dimension after it.
    pub dimensions: Vec<Drift>,
}

/// Drift and band of every dimension after each joint of `order`.
///
/// `contributions` holds, for each joint, for each dimension, what it does to it; a joint
/// that does not touch a dimension has an empty list there.
///
/// # Errors
/// An order that leaves a joint out or names one twice; joints with different numbers of
/// dimensions; those of [`crate::control::predict`].
pub fn drift(
    order: &[usize],
    contributions: &[Vec<Vec<Contribution>>],
    factors: &Factors,
    choices: &FactorChoices,
) -> Result<Vec<Step>, WeldError> {
    check_order(order, contributions.len())?;
    let dimensions = contributions.first().map_or(0, Vec::len);
    for joint in contributions {
        count("dimensions of a joint", joint.len(), dimensions)?;
    }
    let forecaster = Forecaster::new(factors, choices)?;
    let mut done = vec![Sums::default(); dimensions];
    let still = Drift {
        drift: 0.0,
        low: 0.0,
        high: 0.0,
    };
    let mut now = vec![still; dimensions];
    let mut steps = Vec::with_capacity(order.len());
    for &joint in order {
        for ((done, now), more) in done.iter_mut().zip(&mut now).zip(&contributions[joint]) {
            if more.is_empty() {
                continue;
            }
            done.add(more, choices.scatter)?;
            let prediction = forecaster.of(done)?;
            *now = Drift {
                drift: prediction.change,
                low: prediction.low,
                high: prediction.high,
            };
        }
        steps.push(Step {
            joint,
            dimensions: now.clone(),
        });
    }
    Ok(steps)
}

/// For each dimension the first step (index into `steps`) after which to measure: there
/// |drift| plus half the band first passes half its tolerance. `None` where it never does.
/// `tolerances` are the ±T_d, m.
///
/// # Errors
/// A tolerance that is not positive, not finite or huge; a step with more or fewer dimensions
/// than there are tolerances.
pub fn measure_when(steps: &[Step], tolerances: &[f64]) -> Result<Vec<Option<usize>>, WeldError> {
    check_tolerances(tolerances)?;
    for step in steps {
        count(
            "dimensions of a step",
            step.dimensions.len(),
            tolerances.len(),
        )?;
        for drift in &step.dimensions {
            finite("the drift", drift.drift)?;
            finite("the band of the drift", drift.high - drift.low)?;
        }
    }
    Ok(tolerances
        .iter()
        .enumerate()
        .map(|(d, tolerance)| {
            steps.iter().position(|step| {
                let Drift { drift, low, high } = step.dimensions[d];
                drift.abs() + 0.5 * (high - low) > 0.5 * tolerance
            })
        })
        .collect())
}

fn check_tolerances(tolerances: &[f64]) -> Result<(), WeldError> {
    for &tolerance in tolerances {
        positive("the tolerance", tolerance)?;
    }
    Ok(())
}

fn check_order(order: &[usize], joints: usize) -> Result<(), WeldError> {
    let mut seen = vec![false; joints];
    for &joint in order {
        match seen.get_mut(joint) {
            Some(seen) if !*seen => *seen = true,
            _ => return Err(WeldError::NotAnOrder { joint }),
        }
    }
    match seen.iter().position(|seen| !seen) {
        Some(joint) => Err(WeldError::NotAnOrder { joint }),
        None => Ok(()),
    }
}

fn count(what: &'static str, found: usize, wanted: usize) -> Result<(), WeldError> {
    if found == wanted {
        Ok(())
    } else {
        Err(WeldError::Count {
            what,
            found,
            wanted,
        })
    }
}

#[cfg(test)]
#[allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::float_cmp_const
)]
#[path = "order_tests.rs"]
mod tests;
