//! Heat, filler and shielding gas of a weld.
//!
//! - [`arc_energy`], [`heat_input`]: EN 1011-1.
//! - [`Filler`]: metal, wire, arc time, rods.
//! - [`GasJob`], [`Cylinder`]: gas used, gas in the cylinder, and whether it will do.

mod filler;
mod gas;

pub use filler::{ArcTime, Filler, FillerSettings, Wire};
pub use gas::{ATMOSPHERE, Cylinder, Endurance, GasFill, GasJob, GasSettings, Supply, WillDo};

use crate::error::{WeldError, finite};
use crate::section_pull::above_zero;
use serde::{Deserialize, Serialize};
use thiserror::Error;

/// Why a question of heat, filler or gas has no answer.
#[derive(Clone, Debug, PartialEq, Error)]
#[non_exhaustive]
pub enum ConsumablesError {
    /// An input out of bounds.
    #[error(transparent)]
    Input(#[from] WeldError),
    /// More got out than put in, or nothing: of heat or of filler.
    #[error("an efficiency of {value} is not between 0 and 1")]
    Efficiency {
        /// The efficiency.
        value: f64,
    },
    /// A rod no longer than the stub thrown away.
    #[error("a rod of {rod} m leaves nothing above a stub of {stub} m")]
    RodTooShort {
        /// Length of a rod, m.
        rod: f64,
        /// Length thrown away, m.
        stub: f64,
    },
    /// Carbon dioxide is liquid in its cylinder.
    #[error("the pressure of carbon dioxide says nothing of what is left: weigh the cylinder")]
    Liquid,
    /// A job that uses no gas.
    #[error("the job uses no gas")]
    NoGas,
}

/// How it is welded.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Process {
    /// Submerged arc.
    SubmergedArc,
    /// Covered electrode.
    Stick,
    /// Solid wire under gas.
    Mig,
    /// Flux-cored wire.
    FluxCored,
    /// Tungsten arc.
    Tig,
    /// Plasma arc.
    Plasma,
}

impl Process {
    /// All of them.
    pub const ALL: [Self; 6] = [
        Self::SubmergedArc,
        Self::Stick,
        Self::Mig,
        Self::FluxCored,
        Self::Tig,
        Self::Plasma,
    ];

    /// Share k of the arc's energy that reaches the work (EN 1011-1, as The Welding
    /// Institute's public answer gives it).
    #[must_use]
    pub const fn thermal_efficiency(self) -> f64 {
        match self {
            Self::SubmergedArc => 1.0,
            Self::Stick | Self::Mig | Self::FluxCored => 0.8,
            Self::Tig | Self::Plasma => 0.6,
        }
    }

    /// Share η of the filler that stays in the weld (filler makers' handbooks, from
    /// memory); `None` where nothing is given.
    #[must_use]
    pub const fn deposition_efficiency(self) -> Option<f64> {
        match self {
            Self::Mig => Some(0.90),
            Self::Tig => Some(0.98),
            Self::FluxCored => Some(0.80),
            Self::Stick => Some(0.55),
            Self::SubmergedArc | Self::Plasma => None,
        }
    }
}

/// Arc energy U·I/v, J/m: `voltage` V, `current` A, `travel` speed m/s.
///
/// # Errors
/// Values that are not positive or not finite.
pub fn arc_energy(voltage: f64, current: f64, travel: f64) -> Result<f64, WeldError> {
    above_zero("the voltage", voltage)?;
    above_zero("the current", current)?;
    above_zero("the travel speed", travel)?;
    finite("the arc energy", voltage * current / travel)
}

/// Net heat input q = k·U·I/v, J/m (EN 1011-1). `efficiency` k above 0, at most 1: usually
/// [`Process::thermal_efficiency`].
///
/// # Errors
/// As [`arc_energy`]; an efficiency outside its range.
pub fn heat_input(
    efficiency: f64,
    voltage: f64,
    current: f64,
    travel: f64,
) -> Result<f64, ConsumablesError> {
    if finite("the thermal efficiency", efficiency)? <= 0.0 || efficiency > 1.0 {
        return Err(ConsumablesError::Efficiency { value: efficiency });
    }
    Ok(efficiency * arc_energy(voltage, current, travel)?)
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
mod tests;
