//! What one bead is expected to move a dimension, before any is laid.

use super::dimension;
use crate::error::{WeldError, finite, positive};
use crate::section_pull::above_zero;

/// A bead that kinks a member at one place, and the dimension it is to correct.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BeadKink {
    /// Kink of one bead, rad: low, point and high, all of one sign.
    pub kink: [f64; 3],
    /// Where the member turns, O, m.
    pub at: [f64; 3],
    /// Axis it turns about, k, right-hand rule for a positive kink; any length. See
    /// [`crate::section_pull::rotation_axis`].
    pub axis: [f64; 3],
    /// End P of the dimension, which stays, m.
    pub from: [f64; 3],
    /// End Q of the dimension, on the part beyond O, m.
    pub to: [f64; 3],
    /// The shop's bead factor: measured over predicted so far; 1 while untried.
    pub factor: f64,
}

/// What one bead is expected to do to the dimension.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FirstEstimate {
    /// Lever |(k × (Q − O))·n|, m.
    pub lever: f64,
    /// The bead lengthens the dimension; else it shortens it.
    pub lengthens: bool,
    /// Low end of the move per bead, m, positive.
    pub low: f64,
    /// Expected move per bead b₀, m, positive.
    pub point: f64,
    /// High end, m.
    pub high: f64,
}

impl BeadKink {
    /// Move per bead b₀ = kink × |(k × (Q − O))·n| × factor, n from P to Q (small angles).
    ///
    /// # Errors
    /// Kinks not of one sign, an axis or a dimension without length, a lever of nothing (the
    /// bead does not move this dimension), a factor not above 0, anything not finite.
    pub fn first_estimate(&self) -> Result<FirstEstimate, WeldError> {
        let [low, point, high] = self.kink;
        for kink in self.kink {
            finite("the kink", kink)?;
        }
        let one_way = |sign: f64| self.kink.iter().all(|kink| sign * kink > 0.0);
        if !one_way(1.0) && !one_way(-1.0) {
            return Err(WeldError::KinkSign { low, point, high });
        }
        above_zero("the bead factor", self.factor)?;
        for coordinate in [self.at, self.axis, self.from, self.to].as_flattened() {
            dimension("a coordinate of the bead", *coordinate)?;
        }
        let axis = unit("the axis of the kink", self.axis)?;
        let along = unit("the dimension", difference(self.to, self.from))?;
        let ([kx, ky, kz], [x, y, z]) = (axis, difference(self.to, self.at));
        let turned = [ky * z - kz * y, kz * x - kx * z, kx * y - ky * x];
        let signed: f64 = turned.iter().zip(along).map(|(t, n)| t * n).sum();
        // Rounding of a lever square to the dimension is no lever.
        let arm = x.hypot(y).hypot(z);
        let lever = signed.abs();
        if lever <= 1.0e-12 * arm {
            let (what, value) = ("the lever of the bead on this dimension", 0.0);
            return Err(WeldError::NotPositive { what, value });
        }
        let reach = |kink: f64| kink.abs() * lever * self.factor;
        Ok(FirstEstimate {
            lever: positive("the lever of the bead", lever)?,
            lengthens: signed * point > 0.0,
            low: reach(low),
            point: reach(point),
            high: finite("the move per bead", reach(high))?,
        })
    }
}

fn difference(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

fn unit(what: &'static str, v: [f64; 3]) -> Result<[f64; 3], WeldError> {
    let size = above_zero(what, v[0].hypot(v[1]).hypot(v[2]))?;
    Ok(v.map(|component| component / size))
}
