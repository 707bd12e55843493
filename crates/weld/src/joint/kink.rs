//! How far a coped branch bends its main.
//!
//! The shrinking metal lies off the main's axis: kink 0.04·∮A q|X'|dφ'/I toward the branch
//! and 0.04·∮A y|X'|dφ'/I sideways (Blodgett's shrinkage force 0.04·E·A, Design of Welded
//! Structures, sec. 7.7, from memory, summed round the root curve: derived). It acts at the
//! work point on the main's axis.

use crate::cope::{Cope, CopeMetal};
use crate::error::{WeldError, positive};
use crate::joint::Choices;
use std::f64::consts::{FRAC_PI_4, PI};

/// Blodgett's share of the metal that shrinks along it.
const SHARE: f64 = 0.04;

/// The main a branch is coped on, as far as its stiffness goes; its radius is the cope's.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MainTube {
    /// Wall, m.
    pub wall: f64,
    /// Elastic modulus E, Pa.
    pub modulus: f64,
    /// Yield strength f_y, Pa.
    pub yield_strength: f64,
}

/// The kink of a main at a coped branch.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MainKink {
    /// Lever d of the metal over the main's axis, m.
    pub lever: f64,
    /// Length of main the weld stands on, 2 r/sin α, m.
    pub footprint: f64,
    /// Shrinkage force 0.04·E·V/footprint, N.
    pub force: f64,
    /// Force f_y/(1/A_m + d²/I) that yields the main at the weld, N.
    pub yield_force: f64,
    /// Kink from the metal, rad, positive toward the branch.
    pub by_metal: f64,
    /// Kink the main's yielding allows, F_y·footprint·d/(E I), rad.
    pub yield_limited: f64,
    /// Lower end of the band, rad.
    pub low: f64,
    /// Geometric mean of the estimates, rad.
    pub point: f64,
    /// Upper end, rad.
    pub high: f64,
    /// The force passes the yield limit: both estimates count and the band is widened.
    pub out_of_range: bool,
    /// Kink sideways from the metal, rad, positive toward w = u × t.
    pub side: f64,
}

impl MainKink {
    /// The kink of `tube` under a weld of `metal` on `cope`.
    ///
    /// # Errors
    /// A wall, modulus or strength that is not positive or not finite; a wall above the radius.
    pub fn of(
        cope: &Cope,
        metal: &CopeMetal,
        tube: &MainTube,
        choices: &Choices,
    ) -> Result<Self, WeldError> {
        let wall = positive("the wall of the main", tube.wall)?;
        let outer = cope.main_radius;
        if wall > outer {
            let (what, value, limit) = ("the wall of the main", wall, outer);
            return Err(WeldError::TooLarge { what, value, limit });
        }
        for (what, value) in [
            ("the elastic modulus", tube.modulus),
            ("the yield strength", tube.yield_strength),
        ] {
            crate::error::finite(what, value)?;
            if value <= 0.0 {
                return Err(WeldError::NotPositive { what, value });
            }
        }
        let inner = outer - wall;
        let area = PI * (outer * outer - inner * inner);
        let second_moment = FRAC_PI_4 * (outer.powi(4) - inner.powi(4));
        let lever = metal.moment_up / metal.volume;
        let footprint = 2.0 * cope.branch_radius / cope.angle.sin();
        let force = SHARE * tube.modulus * metal.volume / footprint;
        let yield_force = tube.yield_strength / (1.0 / area + lever * lever / second_moment);
        let by_metal = SHARE * metal.moment_up / second_moment;
        let yield_limited = yield_force * footprint * lever / (tube.modulus * second_moment);
        let out_of_range = force > yield_force;
        let (least, greatest, widening) = if out_of_range {
            (
                by_metal.min(yield_limited),
                by_metal.max(yield_limited),
                choices.widening,
            )
        } else {
            (by_metal, by_metal, 1.0)
        };
        Ok(Self {
            lever,
            footprint,
            force,
            yield_force,
            by_metal,
            yield_limited,
            low: least / widening,
            point: (least * greatest).sqrt(),
            high: greatest * widening,
            out_of_range,
            side: SHARE * metal.moment_side / second_moment,
        })
    }
}
