//! A bead across a tube: an arc of its girth.

use super::{Member, PullError, PullSettings};
use crate::error::{WeldError, between, finite, positive};
use crate::fit_up::SLACK;
use std::f64::consts::PI;

/// A bead round part of a round tube, square to its axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ArcBead {
    /// Weld metal A_w, m² of section.
    pub area: f64,
    /// Outside diameter of the tube, m.
    pub outside: f64,
    /// Wall of the tube, m.
    pub wall: f64,
    /// Half angle γ of the arc about the tube's axis, rad, above 0, at most π (whole girth).
    pub half_angle: f64,
}

/// One end, or the point, of what a bead across does.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Share {
    /// Shrunk volume V = c·A_w·ℓ, m³.
    pub volume: f64,
    /// Kink θ = V·d/I, rad, towards the middle of the arc.
    pub kink: f64,
    /// Shortening of the tube V/A_m, m.
    pub shortening: f64,
}

/// What a bead across a tube does to it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ArcPull {
    /// Length of the arc ℓ = 2γr, m.
    pub length: f64,
    /// Lever d = r sin γ/γ, m; nothing when the whole girth is welded.
    pub lever: f64,
    /// Wall under 5 mm: the ends are widened.
    pub out_of_range: bool,
    /// Lower end.
    pub low: Share,
    /// Geometric mean of the ends before widening.
    pub point: Share,
    /// Upper end.
    pub high: Share,
}

impl ArcBead {
    /// The pull of this bead. Derived, checked by simulation; no published source.
    ///
    /// # Errors
    /// Sizes that are not positive, not finite or huge; a wall that leaves no bore; a half
    /// angle outside 0 to π.
    pub fn pull(&self, settings: &PullSettings) -> Result<ArcPull, PullError> {
        settings.check()?;
        positive("the weld metal", self.area)?;
        // The yield stress has no part in this estimate.
        let member = Member::round_tube(self.outside, self.wall, 1.0)?;
        let (what, half) = ("the half angle of the bead", self.half_angle);
        if (finite(what, half)? - PI).abs() > 1.0e-9 {
            between(what, half, 0.0, PI)?;
        }
        let radius = 0.5 * self.outside;
        let length = 2.0 * half * radius;
        let lever = radius * half.sin() / half;
        let [least, greatest] = settings.across;
        let out_of_range = self.wall < settings.thick - SLACK;
        let widening = if out_of_range { settings.widening } else { 1.0 };
        let share = |c: f64| -> Result<Share, WeldError> {
            let volume = c * self.area * length;
            Ok(Share {
                volume,
                kink: finite("the kink", volume * lever / member.second_moment)?,
                shortening: volume / member.area,
            })
        };
        Ok(ArcPull {
            length,
            lever,
            out_of_range,
            low: share(least / widening)?,
            point: share((least * greatest).sqrt())?,
            high: share(greatest * widening)?,
        })
    }
}
