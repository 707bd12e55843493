//! The weld of a coped branch kinks the main it stands on.

use super::{Kink, KinkMethod, Member, PullError, PullSettings, kink};
use crate::error::{LARGEST, WeldError, between, finite, positive};
use std::f64::consts::FRAC_PI_2;

/// A coped branch's weld as its main feels it: integrals round the root curve X(φ').
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BranchMetal {
    /// Weld metal V = ∮A·|X'| dφ', m³.
    pub volume: f64,
    /// ∮A·q·|X'| dφ', m⁴: q the height of the root curve over the main's axis, towards the
    /// branch.
    pub moment: f64,
    /// ∮A·y·|X'| dφ', m⁴: y sideways from the main's axis; either sign, 0 on a centred branch.
    pub side_moment: f64,
    /// Outside radius r of the branch, m.
    pub branch_radius: f64,
    /// Acute angle α between the axes, rad, above 0, at most π/2.
    pub angle: f64,
}

/// What a coped branch's weld does to its main, at the work point on the main's axis.
#[derive(Clone, Debug, PartialEq)]
pub struct BranchPull {
    /// Length of main the weld covers ℓ_f = 2r/sin α, m.
    pub footprint: f64,
    /// Lever d = ∮A·q·|X'| dφ'/V, m.
    pub lever: f64,
    /// Force 0.04·E·V/ℓ_f, N.
    pub force: f64,
    /// Force that yields the main at that lever, N.
    pub yield_force: f64,
    /// Shortening of the main 0.04·V/A_m, m.
    pub shortening: f64,
    /// Kink towards the branch, rad.
    pub kink: Kink,
    /// Kink sideways, rad, towards positive y: 0.04·∮A·y·|X'| dφ'/I, before any yield limit.
    pub side: f64,
}

impl BranchMetal {
    /// The pull on `main`. Derived (inherent strain), checked by simulation.
    ///
    /// # Errors
    /// A volume, radius or section that is not positive, anything not finite; an angle
    /// outside 0 to 90°; a lever beyond 10 m.
    pub fn pull(&self, main: &Member, settings: &PullSettings) -> Result<BranchPull, PullError> {
        settings.check()?;
        main.check()?;
        let volume = positive("the weld metal", self.volume)?;
        finite("the moment of the weld metal", self.moment)?;
        finite("the sideways moment of the weld metal", self.side_moment)?;
        let radius = positive("the branch radius", self.branch_radius)?;
        let angle = self.angle;
        between("the angle between the axes", angle, 0.0, FRAC_PI_2 + 1.0e-9)?;
        let lever = finite("the lever of the weld metal", self.moment / volume)?;
        if lever.abs() > LARGEST {
            let (what, value, limit) = ("the lever of the weld metal", lever, LARGEST);
            return Err(WeldError::TooLarge { what, value, limit }.into());
        }
        let footprint = 2.0 * radius / angle.sin();
        let force = finite(
            "the shrinkage force",
            settings.metal_share * settings.modulus * volume / footprint,
        )?;
        let side = settings.metal_share * self.side_moment / main.second_moment;
        Ok(BranchPull {
            footprint,
            lever,
            force,
            yield_force: main.yield_force(lever),
            shortening: settings.metal_share * volume / main.area,
            kink: kink(
                &[(KinkMethod::Metal, force)],
                footprint,
                lever,
                main,
                settings,
            )?,
            side: finite("the sideways kink", side)?,
        })
    }
}
