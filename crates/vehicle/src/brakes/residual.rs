//! Residual pressure valves: one in each line that needs it, none doubled, the right rating.
//!
//! A disc line needs a 2 psi valve when a caliper stands higher than the lowest fluid level: else fluid drains back and the
//! pedal falls. A drum line needs a 10 psi valve, which keeps the cups on their bores, unless the cups have expanders and
//! nothing can drain. 2 and 10 psi are common practice, no source. Valves in series ADD their pressures: a doubled valve
//! drags the brake.

use super::wheel::Brake;
use super::{BrakeError, finite, not_negative, positive};
use crate::STANDARD_GRAVITY;

/// Density of brake fluid, kg/m³.
pub const FLUID_DENSITY: f64 = 1050.0;
/// Rating of the disc valve, Pa: 2 psi (common practice).
pub const DISC_RATING: f64 = 13_789.514_586_336_734;
/// Rating of the drum valve, Pa: 10 psi (common practice).
pub const DRUM_RATING: f64 = 68_947.572_931_683_67;
/// A rating this far off the needed one, as a share, is the wrong one.
pub const RATING_BAND: f64 = 0.5;

/// What a branch of a line feeds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BranchKind {
    /// Discs.
    Disc,
    /// Drums.
    Drum,
}

/// Where a valve sits on the way from the reservoir to the wheel.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fitted {
    /// Built into the master's outlet.
    MasterOutlet,
    /// In the line.
    Line,
    /// Built into a combination valve.
    CombinationValve,
}

/// One branch of a circuit, from the reservoir to the wheels it feeds. The branches of a mixed circuit are asked each by
/// its own kind.
#[derive(Clone, Debug, PartialEq)]
pub struct ResidualBranch {
    /// What it feeds.
    pub kind: BranchKind,
    /// Wheel cylinder cups with expanders: they seal without pressure.
    pub cup_expanders: bool,
    /// Height of the lowest allowed fluid surface, m.
    pub fluid_height: f64,
    /// Height of the highest caliper or cylinder bore of the branch, m.
    pub highest_bore: f64,
    /// Every valve on the way: where, and its rating, Pa, positive.
    pub valves: Vec<(Fitted, f64)>,
}

/// What is wrong with the valves of a branch.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ResidualFinding {
    /// It needs one and has none.
    Missing,
    /// It has one and needs none.
    NotNeeded,
    /// More than one in the line: the pressures add.
    MoreThanOne,
    /// The one it has is not the one it needs.
    WrongRating,
    /// The valve does not hold the column of fluid above the reservoir.
    DoesNotHold,
}

/// The valves of a branch, judged.
#[derive(Clone, Debug, PartialEq)]
pub struct ResidualVerdict {
    /// Column of fluid from the fluid surface up to the highest bore, Pa; negative: the reservoir is higher.
    pub head: f64,
    /// Rating needed, Pa; 0: none.
    pub needed: f64,
    /// How many are fitted.
    pub count: usize,
    /// Pressure they hold together, Pa.
    pub held: f64,
    /// Pressure at the highest bore at rest, Pa: held less the column.
    pub pressure_at_wheel: f64,
    /// What is wrong, if anything.
    pub findings: Vec<ResidualFinding>,
}

/// Drag of the brakes at rest under residual pressure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ResidualDrag {
    /// Torque of one wheel, N·m.
    pub torque_per_wheel: f64,
    /// Power of one wheel at the speed asked for, W.
    pub power_per_wheel: f64,
}

impl ResidualBranch {
    /// Counts, places and rates the valves.
    ///
    /// # Errors
    /// [`BrakeError::BadInput`].
    pub fn judge(&self) -> Result<ResidualVerdict, BrakeError> {
        finite("height of the fluid surface", self.fluid_height)?;
        finite("height of the highest bore", self.highest_bore)?;
        for (_, rating) in &self.valves {
            positive("rating of a residual valve", *rating)?;
        }
        let head = FLUID_DENSITY * STANDARD_GRAVITY * (self.highest_bore - self.fluid_height);
        let needed = match self.kind {
            BranchKind::Disc if head > 0.0 => DISC_RATING,
            BranchKind::Drum if !(self.cup_expanders && head <= 0.0) => DRUM_RATING,
            _ => 0.0,
        };
        let held: f64 = self.valves.iter().map(|(_, rating)| rating).sum();
        let mut findings = Vec::new();
        match self.valves[..] {
            [] if needed > 0.0 => findings.push(ResidualFinding::Missing),
            [] => {}
            _ if needed <= 0.0 => findings.push(ResidualFinding::NotNeeded),
            [(_, rating)] if (rating - needed).abs() > RATING_BAND * needed => {
                findings.push(ResidualFinding::WrongRating);
            }
            _ => {}
        }
        if self.valves.len() > 1 {
            findings.push(ResidualFinding::MoreThanOne);
        }
        if needed > 0.0 && !self.valves.is_empty() && held < head {
            findings.push(ResidualFinding::DoesNotHold);
        }
        Ok(ResidualVerdict {
            head,
            needed,
            count: self.valves.len(),
            held,
            pressure_at_wheel: (held - head.max(0.0)).max(0.0),
            findings,
        })
    }
}

/// Drag of a brake at a pressure at rest (Pa) on tyres of loaded radius (m) at a speed (m/s).
///
/// # Errors
/// [`BrakeError::BadInput`].
pub fn drag(
    brake: &Brake,
    pressure: f64,
    loaded_radius: f64,
    speed: f64,
) -> Result<ResidualDrag, BrakeError> {
    brake.check()?;
    not_negative("pressure at rest", pressure)?;
    positive("loaded radius", loaded_radius)?;
    not_negative("speed", speed)?;
    let torque_per_wheel = brake.torque(pressure);
    Ok(ResidualDrag {
        torque_per_wheel,
        power_per_wheel: torque_per_wheel * speed / loaded_radius,
    })
}
