//! Settings of a hole saw, or of a mill, that cuts a cope.

use thiserror::Error;

use super::profile::Cope;

/// Settings of a hole saw.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HoleSaw {
    /// Diameter 2R, m.
    pub diameter: f64,
    /// Angle of the tube from square to the saw, rad: 90° − α.
    pub from_square: f64,
    /// Offset e of the saw's axis from the tube's, m, toward w.
    pub offset: f64,
    /// From the saw's centre along the tube to the long point of the outside edge, m.
    pub centre_to_long_point: f64,
    /// Depth the cup must have, m: extent of the cut along the saw.
    pub cup_depth: f64,
}

/// Why a hole saw cannot make a cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum NoHoleSaw {
    /// It cuts one cylinder.
    #[error("a hole saw cuts to one main, here are {0}")]
    SeveralMains(usize),
    /// It cuts round.
    #[error("a hole saw cannot cut to a rectangular main")]
    NotRound,
    /// It would cut past the flat end.
    #[error("a hole saw cannot cut to a main that ends at the joint")]
    EndsHere,
}

impl Cope {
    /// Settings of a hole saw for this cope.
    ///
    /// # Errors
    /// Several mains, a rectangular one, or one that ends at the joint.
    pub fn hole_saw(&self) -> Result<HoleSaw, NoHoleSaw> {
        let ([pair], [solid]) = (&self.pairs[..], &self.solids[..]) else {
            return Err(NoHoleSaw::SeveralMains(self.solids.len()));
        };
        if solid.ends_here {
            return Err(NoHoleSaw::EndsHere);
        }
        let radius = solid.radius().ok_or(NoHoleSaw::NotRound)?;
        let along = |at: f64| {
            (self.start(at, 0.0) + self.u * self.outer(at))
                .coords
                .dot(&solid.axis)
        };
        let (_, most) = self.largest(&along);
        let (_, least) = self.least(&along);
        Ok(HoleSaw {
            diameter: 2.0 * radius,
            from_square: std::f64::consts::FRAC_PI_2 - pair.alpha,
            offset: pair.offset,
            centre_to_long_point: self.outer_least().s - pair.foot,
            cup_depth: most - least,
        })
    }
}
