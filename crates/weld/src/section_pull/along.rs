//! A bead along a member, off its neutral axis.

use super::{Kink, KinkMethod, Member, PullError, PullSettings, above_zero, kink};
use crate::error::{LARGEST, WeldError, finite, positive};

/// A straight bead along a member.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AlongBead {
    /// Weld metal A_w, m² of section.
    pub area: f64,
    /// Length ℓ, m.
    pub length: f64,
    /// Distance d from the neutral axis, m; positive on the side called positive.
    pub lever: f64,
    /// Net heat input q, J/m: efficiency times arc energy. None leaves the tendon
    /// cross-check out.
    pub net_heat: Option<f64>,
}

/// What a bead along a member does to it.
#[derive(Clone, Debug, PartialEq)]
pub struct AlongPull {
    /// Shrunk volume V = 0.04·A_w·ℓ, m³.
    pub volume: f64,
    /// Shrinkage force F = 0.04·E·A_w, N (Blodgett, derived).
    pub force: f64,
    /// Force that yields the member at the bead, N.
    pub yield_force: f64,
    /// Curvature κ = 0.04·A_w·d/I, 1/m, sign of d.
    pub curvature: f64,
    /// Bow at mid length κℓ²/8 = 0.005·A_w·d·ℓ²/I, m, sign of d.
    pub mid_deflection: f64,
    /// Shortening of the member V/A_m, m, 0 or more.
    pub shortening: f64,
    /// Tendon force 0.2·q, N.
    pub tendon_force: Option<f64>,
    /// Tendon force over F.
    pub tendon_ratio: Option<f64>,
    /// The two formulas differ by more than the settings' factor: check area and heat.
    pub disagree: bool,
    /// Kink of one end against the other.
    pub kink: Kink,
}

impl AlongBead {
    /// The pull of this bead.
    ///
    /// # Errors
    /// Areas, lengths, stresses or a heat that are not positive, anything not finite, a
    /// lever beyond 10 m.
    pub fn pull(&self, member: &Member, settings: &PullSettings) -> Result<AlongPull, PullError> {
        settings.check()?;
        member.check()?;
        positive("the weld metal", self.area)?;
        positive("the length of the bead", self.length)?;
        let lever = finite("the lever of the bead", self.lever)?;
        if lever.abs() > LARGEST {
            let (what, value, limit) = ("the lever of the bead", lever, LARGEST);
            return Err(WeldError::TooLarge { what, value, limit }.into());
        }
        let force = settings.metal_share * settings.modulus * self.area;
        let mut forces = vec![(KinkMethod::Metal, force)];
        let tendon_force = match self.net_heat {
            Some(heat) => Some(settings.tendon * above_zero("the net heat input", heat)?),
            None => None,
        };
        forces.extend(tendon_force.map(|force| (KinkMethod::Tendon, force)));
        let tendon_ratio = tendon_force.map(|tendon| tendon / force);
        let [least, greatest] = settings.agreement;
        let volume = settings.metal_share * self.area * self.length;
        let curvature = settings.metal_share * self.area * lever / member.second_moment;
        Ok(AlongPull {
            volume,
            force,
            yield_force: member.yield_force(lever),
            curvature: finite("the curvature", curvature)?,
            mid_deflection: curvature * self.length * self.length / 8.0,
            shortening: volume / member.area,
            tendon_force,
            tendon_ratio,
            disagree: tendon_ratio.is_some_and(|ratio| ratio < least || ratio > greatest),
            kink: kink(&forces, self.length, lever, member, settings)?,
        })
    }
}
