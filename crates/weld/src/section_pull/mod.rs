//! How a bead pulls on the member it lies on: shortening, kink and bow.
//!
//! A bead shrinks as it cools. Along a member off its neutral axis it bows the member
//! towards itself ([`along`]); across a tube it kinks it at one place ([`across`]); the
//! weld of a coped branch kinks the main ([`branch`]); all of them, and butt and fillet
//! seams of plate, shorten along the seam ([`longitudinal`]).
//!
//! Sign: the member turns towards the bead, and a positive kink turns towards the side on
//! which the lever `d` is positive. [`rotation_axis`] gives the axis. No bead lengthens
//! anything. Every answer is a range; nothing published covers small tubes, whose yield
//! force is mostly below the force the formulas ask for.
//!
//! Sources: Blodgett, Design of Welded Structures, sec. 7.7 (from memory); tendon force
//! F\[kN\] = 0.2·q\[J/mm\], White, Leggatt, in Verhaeghe, Predictive Formulae for Weld
//! Distortion, 1999 (from memory); King 1944 (from memory); The Welding Institute's
//! shrinkage allowances. Yield limit, arcs and copes: derived, checked by simulation.

mod across;
mod along;
mod branch;
mod longitudinal;

pub use across::{ArcBead, ArcPull, Share};
pub use along::{AlongBead, AlongPull};
pub use branch::{BranchMetal, BranchPull};
pub use longitudinal::{Seam, SeamEstimate, SeamJoint, SeamMethod, longitudinal};

use crate::error::{WeldError, finite, positive};
use serde::{Deserialize, Serialize};
use std::f64::consts::PI;
use thiserror::Error;

/// Why a pull has no answer.
#[derive(Clone, Debug, PartialEq, Error)]
#[non_exhaustive]
pub enum PullError {
    /// An input out of bounds.
    #[error(transparent)]
    Input(#[from] WeldError),
    /// A tube whose wall is its radius or more.
    #[error("a wall of {wall} m leaves no bore in a tube of {outside} m outside diameter")]
    NoBore {
        /// Outside diameter, m.
        outside: f64,
        /// Wall, m.
        wall: f64,
    },
    /// An axis and a lever that span no plane.
    #[error("the bead lies on the neutral axis line: no axis of rotation")]
    NoAxis,
}

/// Numbers taken for the formulas; the defaults of the shop's settings.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct PullSettings {
    /// Young's modulus E, Pa. Steel 200 GPa.
    pub modulus: f64,
    /// Shrinkage strain times weld metal, F = share·E·A_w: 0.04 (Blodgett, from memory).
    pub metal_share: f64,
    /// Tendon force per net heat, N per J/m: 0.2 (White, Leggatt, from memory).
    pub tendon: f64,
    /// Tendon force over Blodgett's below or above which the two disagree: 0.5 to 2 (a choice).
    pub agreement: [f64; 2],
    /// What the ends of a band are divided and multiplied by outside the formulas' range:
    /// 1.5 (a choice).
    pub widening: f64,
    /// Least and greatest shrunk share of a bead across a tube: 0.04 and 0.17. Derived: free
    /// values 0.10 to 0.20 times 0.4 to 0.85 for a fixture, as the cold rest of the ring is.
    pub across: [f64; 2],
    /// Wall from which a bead across a tube is in range, m: 5 mm (a choice).
    pub thick: f64,
}

impl Default for PullSettings {
    fn default() -> Self {
        Self {
            modulus: 200.0e9,
            metal_share: 0.04,
            tendon: 0.2,
            agreement: [0.5, 2.0],
            widening: crate::shrinkage::WIDENING,
            across: [0.04, 0.17],
            thick: crate::shrinkage::THICK,
        }
    }
}

impl PullSettings {
    fn check(&self) -> Result<(), WeldError> {
        above_zero("Young's modulus", self.modulus)?;
        above_zero("the shrinking share", self.metal_share)?;
        above_zero("the tendon force per heat", self.tendon)?;
        above_zero("the least agreement", self.agreement[0])?;
        above_zero("the greatest agreement", self.agreement[1])?;
        above_zero("the widening", self.widening)?;
        above_zero("the least share across", self.across[0])?;
        above_zero("the greatest share across", self.across[1])?;
        above_zero("the thickness in range", self.thick)?;
        Ok(())
    }
}

/// The section of a member: what resists the pull of a bead.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Member {
    /// Area A_m, m².
    pub area: f64,
    /// Second moment I about the neutral axis the bead bends it about, m⁴.
    pub second_moment: f64,
    /// Yield stress f_y, Pa.
    pub yield_stress: f64,
}

impl Member {
    /// A round tube: `outside` diameter and `wall`, m; `yield_stress`, Pa.
    ///
    /// # Errors
    /// Sizes or a stress that are not positive, not finite or huge; a wall that leaves no
    /// bore.
    pub fn round_tube(outside: f64, wall: f64, yield_stress: f64) -> Result<Self, PullError> {
        positive("the outside diameter", outside)?;
        positive("the wall", wall)?;
        above_zero("the yield stress", yield_stress)?;
        let bore = outside - 2.0 * wall;
        if bore <= 0.0 {
            return Err(PullError::NoBore { outside, wall });
        }
        // Difference of squares factored: nothing is lost on a thin wall.
        let squares = (outside - bore) * (outside + bore);
        Ok(Self {
            area: PI / 4.0 * squares,
            second_moment: PI / 64.0 * squares * (outside * outside + bore * bore),
            yield_stress,
        })
    }

    /// Pull that just yields the outermost fibre at the bead, N: F_y = f_y/(1/A_m + d²/I).
    /// `lever` d from the neutral axis, m, either sign.
    #[must_use]
    pub fn yield_force(&self, lever: f64) -> f64 {
        self.yield_stress / (1.0 / self.area + lever * lever / self.second_moment)
    }

    fn check(&self) -> Result<(), WeldError> {
        positive("the area of the member", self.area)?;
        positive("the second moment of the member", self.second_moment)?;
        above_zero("the yield stress", self.yield_stress)?;
        Ok(())
    }
}

/// Which formula a kink is from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum KinkMethod {
    /// From the weld metal (Blodgett).
    Metal,
    /// From the net heat (tendon force).
    Tendon,
}

impl KinkMethod {
    /// Where the formula is from.
    #[must_use]
    pub const fn source(self) -> &'static str {
        match self {
            Self::Metal => "Blodgett, Design of Welded Structures, sec. 7.7 (from memory)",
            Self::Tendon => "tendon force: White; Leggatt; Verhaeghe 1999 (from memory)",
        }
    }

    /// A short word for lists.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Metal => "metal",
            Self::Tendon => "tendon",
        }
    }
}

/// One estimate of a kink.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct KinkEstimate {
    /// Which formula.
    pub method: KinkMethod,
    /// Kink, rad, with the sign of the lever.
    pub value: f64,
    /// Whether no force asked for passes the yield force.
    pub in_range: bool,
}

/// A kink as a range, rad, all with the sign of the lever: the member turns towards the
/// bead. `low` is the end nearest zero.
#[derive(Clone, Debug, PartialEq)]
pub struct Kink {
    /// End nearest zero.
    pub low: f64,
    /// Geometric mean of least and greatest before widening: wrong by a factor either way.
    pub point: f64,
    /// End farthest from zero.
    pub high: f64,
    /// Kink under the yield force F_y·ℓ·d/(E·I); one of the estimates when out of range.
    pub yield_limited: f64,
    /// A force passes the yield force: the ends are widened.
    pub out_of_range: bool,
    /// The formulas' values.
    pub estimates: Vec<KinkEstimate>,
}

/// Kink of the forces (N) given, each over `length` at `lever`, against the yield force.
fn kink(
    forces: &[(KinkMethod, f64)],
    length: f64,
    lever: f64,
    member: &Member,
    settings: &PullSettings,
) -> Result<Kink, WeldError> {
    let yield_force = member.yield_force(lever);
    let turn = |force: f64| force * length * lever / (settings.modulus * member.second_moment);
    let in_range = forces.iter().all(|(_, force)| *force <= yield_force);
    let yield_limited = finite("the yield-limited kink", turn(yield_force))?;
    let estimates: Vec<KinkEstimate> = forces
        .iter()
        .map(|&(method, force)| KinkEstimate {
            method,
            value: turn(force),
            in_range,
        })
        .collect();
    let limit = (!in_range).then_some(yield_limited.abs());
    let (least, greatest) = estimates
        .iter()
        .map(|estimate| estimate.value.abs())
        .chain(limit)
        .fold((f64::INFINITY, 0.0_f64), |(least, greatest), size| {
            (least.min(size), greatest.max(size))
        });
    let widening = if in_range { 1.0 } else { settings.widening };
    let side = 1.0_f64.copysign(lever);
    Ok(Kink {
        low: finite("the kink", side * least / widening)?,
        point: side * least.sqrt() * greatest.sqrt(),
        high: finite("the kink", side * greatest * widening)?,
        yield_limited,
        out_of_range: !in_range,
        estimates,
    })
}

/// Unit axis k = e × ρ about which the part of a member beyond a bead turns by a positive
/// kink (right-hand rule): it turns towards the bead.
///
/// `along` e runs from the near to the far part, `to_bead` ρ from the neutral axis to the
/// bead; any frame, any positive lengths, only the part of ρ square to e counts.
///
/// # Errors
/// Components that are not finite; a ρ without a part square to e.
pub fn rotation_axis(along: [f64; 3], to_bead: [f64; 3]) -> Result<[f64; 3], PullError> {
    for value in along {
        finite("the direction of the member", value)?;
    }
    for value in to_bead {
        finite("the direction to the bead", value)?;
    }
    let ([ex, ey, ez], [x, y, z]) = (along, to_bead);
    let cross = [ey * z - ez * y, ez * x - ex * z, ex * y - ey * x];
    let length = |v: [f64; 3]| v[0].hypot(v[1]).hypot(v[2]);
    let size = length(cross);
    if !size.is_finite() || size <= 1.0e-12 * length(along) * length(to_bead) {
        return Err(PullError::NoAxis);
    }
    Ok(cross.map(|component| component / size))
}

/// More than zero and finite, without an upper limit: forces, stresses, heats.
pub(crate) fn above_zero(what: &'static str, value: f64) -> Result<f64, WeldError> {
    if finite(what, value)? > 0.0 {
        Ok(value)
    } else {
        Err(WeldError::NotPositive { what, value })
    }
}

#[cfg(test)]
#[allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::float_cmp_const
)]
mod tests;
