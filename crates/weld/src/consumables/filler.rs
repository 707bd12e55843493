//! Filler: mass, wire, arc time and rods.

use super::{ConsumablesError, Process};
use crate::error::{WeldError, finite, positive};
use crate::section_pull::above_zero;
use serde::{Deserialize, Serialize};
use std::f64::consts::PI;

/// Numbers taken for filler.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct FillerSettings {
    /// Density of filler and weld metal, kg/m³. Steel 7850.
    pub density: f64,
    /// Length of a rod thrown away, m: 50 mm (common practice, no source).
    pub stub: f64,
}

impl Default for FillerSettings {
    fn default() -> Self {
        Self {
            density: 7850.0,
            stub: 0.050,
        }
    }
}

/// What a seam needs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Filler {
    /// Metal in the weld, kg.
    pub metal: f64,
    /// Filler to melt for it, kg: metal over deposition efficiency.
    pub consumed: f64,
}

impl Filler {
    /// Filler of a weld of `volume` m³, `efficiency` η of the process.
    ///
    /// # Errors
    /// A volume or density that is not positive, not finite or huge; an efficiency outside
    /// 0 to 1.
    pub fn of_volume(
        volume: f64,
        efficiency: f64,
        settings: &FillerSettings,
    ) -> Result<Self, ConsumablesError> {
        let volume = positive("the weld metal", volume)?;
        let density = above_zero("the density", settings.density)?;
        if finite("the deposition efficiency", efficiency)? <= 0.0 || efficiency > 1.0 {
            return Err(ConsumablesError::Efficiency { value: efficiency });
        }
        let metal = density * volume;
        Ok(Self {
            metal,
            consumed: finite("the filler", metal / efficiency)?,
        })
    }

    /// As [`Self::of_volume`] with the process's own efficiency; `None` where the process
    /// has none on record.
    ///
    /// # Errors
    /// As [`Self::of_volume`].
    pub fn of_process(
        volume: f64,
        process: Process,
        settings: &FillerSettings,
    ) -> Result<Option<Self>, ConsumablesError> {
        process
            .deposition_efficiency()
            .map(|efficiency| Self::of_volume(volume, efficiency, settings))
            .transpose()
    }

    /// Wire or rod of `diameter` m that makes it.
    ///
    /// # Errors
    /// A diameter or density that is not positive, not finite or huge.
    pub fn wire(&self, diameter: f64, settings: &FillerSettings) -> Result<Wire, WeldError> {
        let diameter = positive("the wire diameter", diameter)?;
        let density = above_zero("the density", settings.density)?;
        let section = PI * diameter * diameter / 4.0;
        Ok(Wire {
            length: finite("the wire length", self.consumed / (density * section))?,
        })
    }
}

/// Filler as a length of wire or rod.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wire {
    /// Length, m.
    pub length: f64,
}

impl Wire {
    /// Number of rods of length `rod` (m): ⌈length/(rod − stub)⌉.
    ///
    /// # Errors
    /// A rod that is not longer than its stub; sizes that are not finite or huge.
    pub fn rods(&self, rod: f64, settings: &FillerSettings) -> Result<f64, ConsumablesError> {
        let rod = positive("the rod length", rod)?;
        let stub = crate::error::size("the stub", settings.stub)?;
        if rod - stub <= 0.0 {
            return Err(ConsumablesError::RodTooShort { rod, stub });
        }
        let rods = self.length / (rod - stub);
        // A whole number of rods computed a hair over is that number.
        Ok((rods * (1.0 - 1.0e-12)).ceil())
    }
}

/// What the arc time is known from.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum ArcTime {
    /// Wire feed.
    Feed {
        /// Length of wire, m.
        wire: f64,
        /// Wire feed speed, m/s.
        speed: f64,
    },
    /// Rate at which metal is deposited.
    Deposition {
        /// Metal in the weld, kg.
        metal: f64,
        /// Rate, kg/s.
        rate: f64,
    },
    /// Travel along the seam.
    Travel {
        /// Length of seam, m.
        seam: f64,
        /// Passes, 1 or more.
        passes: u32,
        /// Travel speed, m/s.
        speed: f64,
    },
}

impl ArcTime {
    /// Time the arc burns, s.
    ///
    /// # Errors
    /// Values that are not positive or not finite; no passes.
    pub fn seconds(&self) -> Result<f64, WeldError> {
        let time = match *self {
            Self::Feed { wire, speed } => {
                above_zero("the wire length", wire)? / above_zero("the wire feed", speed)?
            }
            Self::Deposition { metal, rate } => {
                above_zero("the weld metal", metal)? / above_zero("the deposition rate", rate)?
            }
            Self::Travel { passes: 0, .. } => return Err(WeldError::NoPasses),
            Self::Travel {
                seam,
                passes,
                speed,
            } => {
                above_zero("the seam", seam)? * f64::from(passes)
                    / above_zero("the travel speed", speed)?
            }
        };
        finite("the arc time", time)
    }
}
