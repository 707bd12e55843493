//! What one joint or bead does to the part beyond it.

use crate::error::{WeldError, finite};

/// Distance below which two points have no direction, m.
const SAME_POINT: f64 = 1.0e-9;
/// How far a unit vector may be from one long.
const UNIT_SLACK: f64 = 1.0e-6;

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn cross([ax, ay, az]: [f64; 3], [bx, by, bz]: [f64; 3]) -> [f64; 3] {
    [ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx]
}

fn length(v: [f64; 3]) -> f64 {
    v[0].hypot(v[1]).hypot(v[2])
}

fn all_finite(what: &'static str, v: [f64; 3]) -> Result<(), WeldError> {
    for value in v {
        finite(what, value)?;
    }
    Ok(())
}

fn unit(what: &'static str, v: [f64; 3]) -> Result<[f64; 3], WeldError> {
    all_finite(what, v)?;
    let size = length(v);
    if (size - 1.0).abs() <= UNIT_SLACK {
        Ok(v)
    } else {
        Err(WeldError::NotUnit { what, length: size })
    }
}

/// Unit vector n from `p` to `q` (m, any one frame): the way a control dimension grows.
///
/// # Errors
/// A coordinate that is not finite; points less than 1 nm apart.
pub fn direction(p: [f64; 3], q: [f64; 3]) -> Result<[f64; 3], WeldError> {
    all_finite("a point of the dimension", p)?;
    all_finite("a point of the dimension", q)?;
    let span = [q[0] - p[0], q[1] - p[1], q[2] - p[2]];
    let distance = finite("the length of the dimension", length(span))?;
    if distance < SAME_POINT {
        return Err(WeldError::PointsCoincide { distance });
    }
    Ok(span.map(|component| component / distance))
}

/// A joint that draws two parts together, or a member that shortens along itself.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pull {
    /// Unit vector a from the near side (that of P) to the far side (that of Q).
    pub along: [f64; 3],
    /// How far the far side comes nearer, Δ, m; positive closes the joint.
    pub amount: f64,
}

impl Pull {
    /// Change −Δ(a·n) of a dimension that runs along the unit vector `n`, m; positive is longer.
    ///
    /// # Errors
    /// Values that are not finite; `along` or `n` not one long.
    pub fn change(&self, n: [f64; 3]) -> Result<f64, WeldError> {
        let along = unit("the direction of the pull", self.along)?;
        let n = unit("the direction of the dimension", n)?;
        let amount = finite("the pull", self.amount)?;
        // −0 would print as a sign.
        Ok(-amount * dot(along, n) + 0.0)
    }
}

/// A kink that turns all beyond it about a point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Kink {
    /// Point O it turns about, m.
    pub at: [f64; 3],
    /// Unit axis k of the turn (right-hand rule); for a bead on a member
    /// [`crate::section_pull::rotation_axis`], which turns the far part toward the bead.
    pub axis: [f64; 3],
    /// Angle θ, rad, small; negative turns the other way.
    pub angle: f64,
}

impl Kink {
    /// Change θ·(k × (Q − O))·n of a dimension ending at `q` (m) that runs along the unit
    /// vector `n`, m; positive is longer.
    ///
    /// # Errors
    /// Values that are not finite; `axis` or `n` not one long.
    pub fn change(&self, q: [f64; 3], n: [f64; 3]) -> Result<f64, WeldError> {
        all_finite("the place of the kink", self.at)?;
        all_finite("the far end of the dimension", q)?;
        let axis = unit("the axis of the kink", self.axis)?;
        let n = unit("the direction of the dimension", n)?;
        let angle = finite("the kink", self.angle)?;
        let arm = [q[0] - self.at[0], q[1] - self.at[1], q[2] - self.at[2]];
        finite(
            "the change by a kink",
            angle * dot(cross(axis, arm), n) + 0.0,
        )
    }
}
