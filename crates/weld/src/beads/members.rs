//! Two members corrected side by side: where to lay, and whether they answer alike.

use super::{dimension, length};
use crate::error::{WeldError, finite};
use serde::{Deserialize, Serialize};

/// Standard deviations above which the two members are said to differ: the normal 99 %.
const DIFFER: f64 = 2.576;

/// Which of the two members.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Side {
    /// Left, +y.
    Left,
    /// Right, −y.
    Right,
}

impl Side {
    /// The other one.
    #[must_use]
    pub const fn other(self) -> Self {
        match self {
            Self::Left => Self::Right,
            Self::Right => Self::Left,
        }
    }
}

/// Where to lay next: the other member than last time; first the one whose side is further
/// out of square. Common practice, no source.
#[must_use]
pub fn where_next(last: Option<Side>, further_out: Side) -> Side {
    last.map_or(further_out, Side::other)
}

/// Beads on one member and what they moved.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SideMove {
    /// Which member.
    pub side: Side,
    /// Beads between the two readings, 1 or more.
    pub beads: u32,
    /// Reading after less reading before, m, positive towards the target.
    pub change: f64,
}

/// How the two members answered.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Members {
    /// Weighted mean move per bead on the left and the right, m.
    pub means: [f64; 2],
    /// Sd of the difference of the means, m.
    pub sd: f64,
    /// Size of the difference over its sd.
    pub z: f64,
    /// More than 2.576 sd apart: look at what differs (clamps, gaps, heat, wall).
    pub differ: bool,
}

/// Whether the two members move by the same amount per bead: each move weighs by the
/// inverse of its variance (kτ² + 2σ_x²)/k². `bead_scatter` τ, 0 or more, and `reading_sd` σ_x,
/// more than 0, m. None until both sides have a move.
///
/// Two moves that share a reading are taken as independent, a simplification.
///
/// # Errors
/// A move without beads, a negative scatter, anything huge or not finite.
pub fn two_members(
    moves: &[SideMove],
    bead_scatter: f64,
    reading_sd: f64,
) -> Result<Option<Members>, WeldError> {
    let what = "the scatter from bead to bead";
    if dimension(what, bead_scatter)? < 0.0 {
        let value = bead_scatter;
        return Err(WeldError::Negative { what, value });
    }
    length("the scatter of a reading", reading_sd)?;
    let (mut weights, mut sums) = ([0.0; 2], [0.0; 2]);
    for each in moves {
        if each.beads == 0 {
            return Err(WeldError::NoBeads);
        }
        dimension("the move", each.change)?;
        let k = f64::from(each.beads);
        let variance = k * bead_scatter * bead_scatter + 2.0 * reading_sd * reading_sd;
        let weight = k * k / variance;
        let side = match each.side {
            Side::Left => 0,
            Side::Right => 1,
        };
        weights[side] += weight;
        sums[side] += weight * each.change / k;
    }
    if weights[0] <= 0.0 || weights[1] <= 0.0 {
        return Ok(None);
    }
    let means = [sums[0] / weights[0], sums[1] / weights[1]];
    let sd = (1.0 / weights[0] + 1.0 / weights[1]).sqrt();
    let z = finite(
        "the difference of the members",
        (means[0] - means[1]).abs() / sd,
    )?;
    Ok(Some(Members {
        means,
        sd,
        z,
        differ: z > DIFFER,
    }))
}
