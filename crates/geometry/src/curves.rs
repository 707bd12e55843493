//! Curves over travel and roll.

use crate::axle::{AssembledAxle, AxleError};
use crate::position::Position;
use crate::state::AxleState;

/// Samples of a curve unless told otherwise.
pub const SAMPLES: usize = 161;
/// Half range of travel unless told otherwise, m: 3 in.
pub const TRAVEL: f64 = 0.0762;

/// Where a curve ends before its range does: always an [`AxleError::OutOfReach`] or, next
/// to it, an [`AxleError::Motion`].
pub type Limit = AxleError;

/// States in order of the swept quantity, and where reach ends inside the range.
#[derive(Clone, Debug, PartialEq)]
pub struct Curve {
    /// The states that are reached, from low to high.
    pub states: Vec<AxleState>,
    /// Where reach ends below (droop, right wheel in bump).
    pub low_limit: Option<Limit>,
    /// Where reach ends above (bump, left wheel in bump).
    pub high_limit: Option<Limit>,
}

/// One point of the roll-free path.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FreeRollState {
    /// Travel, m.
    pub travel: f64,
    /// The solution with z alone held.
    pub position: Position,
}

/// The roll-free path, and where reach ends inside the range.
#[derive(Clone, Debug, PartialEq)]
pub struct FreeRollCurve {
    /// The points that are reached, from low to high travel.
    pub states: Vec<FreeRollState>,
    /// Where reach ends below.
    pub low_limit: Option<Limit>,
    /// Where reach ends above.
    pub high_limit: Option<Limit>,
}

/// The quantities one plots, each as a column over the same samples. SI; ratios, not %.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Columns {
    /// Travel, m.
    pub travel: Vec<f64>,
    /// Roll, rad.
    pub roll: Vec<f64>,
    /// Anti-squat, ratio.
    pub anti_squat: Vec<f64>,
    /// Anti-lift, ratio.
    pub anti_lift: Vec<f64>,
    /// Swing-arm length, m; NaN with the instant centre at infinity (a gap in a plot).
    pub swing_arm_length: Vec<f64>,
    /// Swing-arm height, m; NaN with the instant centre at infinity.
    pub swing_arm_height: Vec<f64>,
    /// Pinion up, rad.
    pub pinion_up: Vec<f64>,
    /// Axle recession, m.
    pub recession: Vec<f64>,
    /// Roll centre above ground, m.
    pub roll_centre_above_ground: Vec<f64>,
    /// Roll axis slope.
    pub roll_axis_slope: Vec<f64>,
    /// Roll steer, rad/rad.
    pub roll_steer: Vec<f64>,
    /// Largest |stretch|, m.
    pub bind_max: Vec<f64>,
}

impl Curve {
    /// The columns of the curve.
    #[must_use]
    pub fn columns(&self) -> Columns {
        let column = |f: fn(&AxleState) -> f64| self.states.iter().map(f).collect();
        Columns {
            travel: column(|s| s.travel),
            roll: column(|s| s.roll),
            anti_squat: column(|s| s.anti_squat),
            anti_lift: column(|s| s.anti_lift),
            swing_arm_length: column(|s| s.swing_arm_length.unwrap_or(f64::NAN)),
            swing_arm_height: column(|s| s.swing_arm_height.unwrap_or(f64::NAN)),
            pinion_up: column(|s| s.pinion_up),
            recession: column(|s| s.recession),
            roll_centre_above_ground: column(|s| s.roll_centre_above_ground),
            roll_axis_slope: column(|s| s.roll_axis_slope),
            roll_steer: column(|s| s.roll_steer),
            bind_max: column(|s| s.bind_max),
        }
    }
}

/// Sample values from `low` to `high`: first those below zero, outward, then the rest, outward.
fn outward(low: f64, high: f64, samples: usize) -> (Vec<f64>, Vec<f64>) {
    let last = samples.max(2) - 1;
    let value = |i: usize| {
        // Symmetric form: the middle of a symmetric range is exactly zero.
        let share = i as f64 / last as f64;
        low * (1.0 - share) + high * share
    };
    let all: Vec<f64> = (0..=last).map(value).collect();
    let (below, above): (Vec<f64>, Vec<f64>) = all.into_iter().partition(|v| *v < 0.0);
    (below.into_iter().rev().collect(), above)
}

/// Goes outward from `start` through `values` as far as reach allows.
fn branch<T>(
    start: &Position,
    values: &[f64],
    mut go: impl FnMut(&Position, f64) -> Result<(Position, T), AxleError>,
) -> (Vec<T>, Option<Limit>) {
    let mut found = Vec::with_capacity(values.len());
    let mut position = *start;
    for value in values {
        match go(&position, *value) {
            Ok((next, item)) => {
                position = next;
                found.push(item);
            }
            Err(limit) => return (found, Some(limit)),
        }
    }
    (found, None)
}

/// Both branches from a start, put in order.
fn both<T>(
    start: &Position,
    low: f64,
    high: f64,
    samples: usize,
    mut go: impl FnMut(&Position, f64) -> Result<(Position, T), AxleError>,
) -> (Vec<T>, Option<Limit>, Option<Limit>) {
    let (below, above) = outward(low, high, samples);
    let (mut states, low_limit) = branch(start, &below, &mut go);
    let (upper, high_limit) = branch(start, &above, &mut go);
    states.reverse();
    states.extend(upper);
    (states, low_limit, high_limit)
}

impl AssembledAxle {
    /// The default travel curve: [`SAMPLES`] over ± [`TRAVEL`] at zero roll.
    ///
    /// # Errors
    /// As [`AssembledAxle::travel_curve`].
    pub fn default_travel_curve(&self) -> Result<Curve, AxleError> {
        self.travel_curve(0.0, -TRAVEL, TRAVEL, SAMPLES)
    }

    /// States over travel from `low` to `high` (m, low < high, normally around zero) at `roll`
    /// (rad), `samples` of them (at least 2), followed outward from zero travel. Where reach
    /// ends the curve ends, and the limit says where and why.
    ///
    /// # Errors
    /// [`AxleError::OutOfReach`] when the roll is not reached at zero travel.
    pub fn travel_curve(
        &self,
        roll: f64,
        low: f64,
        high: f64,
        samples: usize,
    ) -> Result<Curve, AxleError> {
        let start = self.move_roll(&self.design, roll)?;
        let (states, low_limit, high_limit) = both(&start, low, high, samples, |from, travel| {
            let position = self.move_travel(from, travel)?;
            Ok((position, self.state_at(&position)?))
        });
        Ok(Curve {
            states,
            low_limit,
            high_limit,
        })
    }

    /// States over roll from `low` to `high` (rad) at `travel` (m), followed outward from
    /// zero roll.
    ///
    /// # Errors
    /// [`AxleError::OutOfReach`] when the travel is not reached at zero roll.
    pub fn roll_curve(
        &self,
        travel: f64,
        low: f64,
        high: f64,
        samples: usize,
    ) -> Result<Curve, AxleError> {
        let start = self.move_travel(&self.design, travel)?;
        let (states, low_limit, high_limit) = both(&start, low, high, samples, |from, roll| {
            let position = self.move_roll(from, roll)?;
            Ok((position, self.state_at(&position)?))
        });
        Ok(Curve {
            states,
            low_limit,
            high_limit,
        })
    }

    /// The path the axle wants over travel from `low` to `high` (m): z alone held. The roll of
    /// each point is `position.pose.phi`. Needs five rods; with four the limits say so.
    #[must_use]
    pub fn free_roll_curve(&self, low: f64, high: f64, samples: usize) -> FreeRollCurve {
        let (states, low_limit, high_limit) =
            both(&self.design, low, high, samples, |from, travel| {
                let position = self.move_travel_roll_free(from, travel)?;
                Ok((position, FreeRollState { travel, position }))
            });
        FreeRollCurve {
            states,
            low_limit,
            high_limit,
        }
    }
}
