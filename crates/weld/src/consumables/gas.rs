//! Shielding gas: what a job uses and what a cylinder holds.
//!
//! Volumes of gas are at one atmosphere, m³. Ideal gas: argon and its mixes hold some per
//! cent more at 150 bar, helium less (from memory). Carbon dioxide is liquid in its
//! cylinder and is weighed.

use super::ConsumablesError;
use crate::error::{LARGEST, WeldError, finite, size};
use crate::section_pull::above_zero;
use serde::{Deserialize, Serialize};
use std::f64::consts::PI;

/// Standard atmosphere, Pa.
pub const ATMOSPHERE: f64 = 101_325.0;
/// 200 psi in Pa.
const PSI_200: f64 = 200.0 * 6_894.757_293_168_36;

/// Numbers taken for gas.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct GasSettings {
    /// Gauge pressure left in a cylinder, Pa: 200 psi (a choice).
    pub keep: f64,
    /// Gas wanted over gas needed for a plain yes: 1.25 (a choice).
    pub margin: f64,
}

impl Default for GasSettings {
    fn default() -> Self {
        Self {
            keep: PSI_200,
            margin: 1.25,
        }
    }
}

/// A job as the gas sees it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GasJob {
    /// Flow, m³/s at one atmosphere. Common practice: 30 to 40 ft³/h MIG, 15 to 20 TIG.
    pub flow: f64,
    /// Time the arc burns, s.
    pub arc_time: f64,
    /// Number of starts.
    pub starts: u32,
    /// Flow before the arc, s per start.
    pub pre_flow: f64,
    /// Flow after the arc, s per start.
    pub post_flow: f64,
    /// Length of hose between valve and regulator, m.
    pub hose_length: f64,
    /// Bore of the hose, m.
    pub hose_bore: f64,
    /// Gauge pressure the hose builds up to between starts, Pa; 0 leaves the surge out.
    pub hose_pressure: f64,
    /// Length of seam welded, m.
    pub seam: f64,
}

fn not_negative(what: &'static str, value: f64) -> Result<f64, WeldError> {
    if finite(what, value)? < 0.0 {
        return Err(WeldError::Negative { what, value });
    }
    Ok(value)
}

impl GasJob {
    /// Gas that surges from the hose at every start, m³: V_hose·p_gauge/p_atm, beyond the
    /// hose's own volume.
    ///
    /// # Errors
    /// Sizes that are negative or not finite; a bore beyond 10 m.
    pub fn surge(&self) -> Result<f64, WeldError> {
        let length = not_negative("the hose", self.hose_length)?;
        let bore = size("the bore of the hose", self.hose_bore)?;
        let pressure = not_negative("the hose pressure", self.hose_pressure)?;
        let volume = PI * bore * bore / 4.0 * length;
        finite("the surge of gas", volume * pressure / ATMOSPHERE)
    }

    /// Gas the job uses n, m³: flow·(arc + starts·(pre + post)) + starts·surge.
    ///
    /// # Errors
    /// As [`Self::surge`]; a flow that is not positive; times that are negative.
    pub fn need(&self) -> Result<f64, WeldError> {
        let flow = above_zero("the gas flow", self.flow)?;
        let arc = not_negative("the arc time", self.arc_time)?;
        let around = not_negative("the flow before the arc", self.pre_flow)?
            + not_negative("the flow after the arc", self.post_flow)?;
        let starts = f64::from(self.starts);
        let need = flow * (arc + starts * around) + starts * self.surge()?;
        finite("the gas needed", need)
    }
}

/// What is in a cylinder.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum GasFill {
    /// Argon or a mix of mostly argon.
    #[default]
    Argon,
    /// Helium or a mix of mostly helium.
    Helium,
    /// Pure carbon dioxide: liquid.
    CarbonDioxide,
}

impl GasFill {
    /// What the ideal gas leaves out (from memory).
    #[must_use]
    pub const fn caution(self) -> &'static str {
        match self {
            Self::Argon => "ideal gas: at 150 bar argon and its mixes hold some per cent more",
            Self::Helium => "ideal gas: at 150 bar helium holds some per cent less",
            Self::CarbonDioxide => "liquid in the cylinder: weigh it",
        }
    }
}

/// A cylinder.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Cylinder {
    /// Water volume V_w, m³.
    pub water_volume: f64,
    /// Gauge pressure p, Pa.
    pub pressure: f64,
    /// What is in it.
    pub fill: GasFill,
}

/// Whether a cylinder will finish a job.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum WillDo {
    /// At least 1.25 times what the job needs.
    Yes,
    /// What the job needs, without that margin.
    Tight,
    /// Less than the job needs.
    No,
}

/// How far a cylinder goes at this job's rate, each counted alone. `None` where the job has
/// none of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Endurance {
    /// Arc time, s.
    pub arc_time: Option<f64>,
    /// Starts.
    pub starts: Option<f64>,
    /// Seam, m.
    pub seam: Option<f64>,
}

/// A cylinder against a job.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Supply {
    /// Gas the job needs, m³.
    pub need: f64,
    /// Gas of use in the cylinder, m³.
    pub usable: f64,
    /// The verdict.
    pub will_do: WillDo,
    /// How far the gas goes.
    pub endurance: Endurance,
}

impl Cylinder {
    /// Gas of use, m³ at one atmosphere: V_w·(p − p_keep)/p_atm, 0 below the pressure kept.
    ///
    /// # Errors
    /// Carbon dioxide; a volume that is not positive, not finite or above 10 m³; pressures
    /// that are negative or not finite.
    pub fn usable(&self, settings: &GasSettings) -> Result<f64, ConsumablesError> {
        if self.fill == GasFill::CarbonDioxide {
            return Err(ConsumablesError::Liquid);
        }
        let (what, value, limit) = ("the cylinder volume", self.water_volume, LARGEST);
        if above_zero(what, value)? > limit {
            return Err(WeldError::TooLarge { what, value, limit }.into());
        }
        let pressure = not_negative("the cylinder pressure", self.pressure)?;
        let keep = not_negative("the pressure kept", settings.keep)?;
        let over = (pressure - keep).max(0.0);
        Ok(finite("the gas left", value * over / ATMOSPHERE)?)
    }

    /// Will this cylinder finish the job?
    ///
    /// # Errors
    /// As [`Self::usable`] and [`GasJob::need`]; a job without gas.
    pub fn against(
        &self,
        job: &GasJob,
        settings: &GasSettings,
    ) -> Result<Supply, ConsumablesError> {
        let usable = self.usable(settings)?;
        let need = job.need()?;
        let margin = above_zero("the margin", settings.margin)?;
        if need <= 0.0 {
            return Err(ConsumablesError::NoGas);
        }
        let seam = not_negative("the seam", job.seam)?;
        // Rounding does not turn "just enough" into "not enough".
        let covers = |gas: f64| usable >= gas * (1.0 - 1.0e-12);
        let will_do = if covers(margin * need) {
            WillDo::Yes
        } else if covers(need) {
            WillDo::Tight
        } else {
            WillDo::No
        };
        let jobs = usable / need;
        let left = |amount: f64| (amount > 0.0).then_some(jobs * amount);
        Ok(Supply {
            need,
            usable,
            will_do,
            endurance: Endurance {
                arc_time: left(job.arc_time),
                starts: left(f64::from(job.starts)),
                seam: left(seam),
            },
        })
    }
}
