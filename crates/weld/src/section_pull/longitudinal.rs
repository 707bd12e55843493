//! Shrinkage along a seam, estimates side by side.

use super::{PullError, PullSettings, above_zero};
use crate::error::{WeldError, finite, positive};

/// Metres of weld the published allowances are given for.
const ALLOWANCE_LENGTH: f64 = 3.0;
/// King's factor, m/A: ΔL = 0.12·I·L/(100 000·t) with L and t in inches makes
/// 0.12·0.0254/100 000 of it.
const KING: f64 = 3.048e-8;

/// What is joined.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum SeamJoint {
    /// A butt weld.
    Butt,
    /// A fillet weld.
    Fillet,
}

/// A seam whose shrinkage along itself is asked for. What is None leaves its estimates out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Seam {
    /// Butt or fillet.
    pub joint: SeamJoint,
    /// Length ℓ, m.
    pub length: f64,
    /// Weld metal A_w, m² of section.
    pub area: Option<f64>,
    /// Area A_m of the member the seam runs along, m².
    pub member_area: Option<f64>,
    /// Net heat input q, J/m.
    pub net_heat: Option<f64>,
    /// Welding current, A, of a butt on plate.
    pub current: Option<f64>,
    /// Plate thickness t, m, of a butt on plate.
    pub thickness: Option<f64>,
}

/// Which estimate.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum SeamMethod {
    /// ℓ·0.04·A_w/A_m.
    Force,
    /// ℓ·0.2·q/(E·A_m).
    Tendon,
    /// ℓ·3.048e-8·I/t, butt on plate.
    King,
    /// 3 mm (butt) or 0.8 mm (fillet) per 3 m.
    Allowance,
}

impl SeamMethod {
    /// Where the formula is from.
    #[must_use]
    pub const fn source(self) -> &'static str {
        match self {
            Self::Force => "from the shrinkage force 0.04·E·A (Blodgett, derived)",
            Self::Tendon => "tendon force: White; Leggatt; Verhaeghe 1999 (from memory)",
            Self::King => "King 1944 (from memory)",
            Self::Allowance => "The Welding Institute, allowances for weld shrinkage",
        }
    }
}

/// One estimate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SeamEstimate {
    /// Which formula.
    pub method: SeamMethod,
    /// Shortening along the seam, m.
    pub value: f64,
}

/// Shortening along a seam: every estimate its inputs allow, the allowance always.
///
/// # Errors
/// Sizes, heats or currents that are not positive, or not finite, or huge.
pub fn longitudinal(seam: &Seam, settings: &PullSettings) -> Result<Vec<SeamEstimate>, PullError> {
    settings.check()?;
    let length = positive("the length of the seam", seam.length)?;
    let given = |what, value: Option<f64>| value.map(|v| above_zero(what, v)).transpose();
    let area = given("the weld metal", seam.area)?;
    let member = given("the area of the member", seam.member_area)?;
    let heat = given("the net heat input", seam.net_heat)?;
    let current = given("the current", seam.current)?;
    let thickness = given("the thickness", seam.thickness)?;
    let mut estimates = Vec::new();
    let mut add = |method, strain: f64| -> Result<(), WeldError> {
        let value = finite("the shrinkage along the seam", length * strain)?;
        estimates.push(SeamEstimate { method, value });
        Ok(())
    };
    if let (Some(area), Some(member)) = (area, member) {
        add(SeamMethod::Force, settings.metal_share * area / member)?;
    }
    if let (Some(heat), Some(member)) = (heat, member) {
        add(
            SeamMethod::Tendon,
            settings.tendon * heat / (settings.modulus * member),
        )?;
    }
    if let (SeamJoint::Butt, Some(current), Some(thickness)) = (seam.joint, current, thickness) {
        add(SeamMethod::King, KING * current / thickness)?;
    }
    let allowance = match seam.joint {
        SeamJoint::Butt => 0.003,
        SeamJoint::Fillet => 0.0008,
    };
    add(SeamMethod::Allowance, allowance / ALLOWANCE_LENGTH)?;
    Ok(estimates)
}
