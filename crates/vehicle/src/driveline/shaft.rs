//! Critical speed and torsion of the driveshaft, axle shafts and their splines.

use std::f64::consts::PI;

use super::{DrivelineError, not_negative, positive, share};
use crate::strength::{Material, Section};

/// Share of the critical speed a shaft may reach.
pub const CRITICAL_SHARE: f64 = 0.7;
/// Shock factor on torque (common practice, no source).
pub const SHOCK_FACTOR: f64 = 1.5;

/// A plain tube between two joints. Yokes and lumped ends are left out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ShaftTube {
    /// Section.
    pub section: Section,
    /// Length between joint centres ℓ, m, positive.
    pub length: f64,
    /// Young's modulus and yield strength.
    pub material: Material,
    /// Shear modulus G, Pa, positive.
    pub shear_modulus: f64,
    /// Density ρ, kg/m³, positive.
    pub density: f64,
}

/// A shaft against its critical speed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CriticalSpeed {
    /// First bending critical speed of a shaft pinned at its joints, rad/s.
    pub critical: f64,
    /// Half of it, rad/s: the joints excite it twice per turn.
    pub half: f64,
    /// Speed asked for over critical.
    pub used: f64,
    /// At most [`CRITICAL_SHARE`] is used.
    pub safe: bool,
}

/// A shaft under torque.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ShaftTorsion {
    /// Shear stress at the surface, Pa.
    pub stress: f64,
    /// Twist over the length, rad.
    pub twist: f64,
    /// Shear yield (S_y/√3) over the stress; None without torque.
    pub safety: Option<f64>,
}

impl ShaftTube {
    fn check(&self) -> Result<(), DrivelineError> {
        self.section.check()?;
        self.material.check()?;
        positive("length between the joints", self.length)?;
        positive("shear modulus", self.shear_modulus)?;
        positive("density", self.density).map(|_| ())
    }

    /// Critical speed, and the share of it that the highest shaft speed (rad/s) uses: overdrive counts, it is the shaft's speed, not the
    /// engine's.
    ///
    /// # Errors
    /// [`DrivelineError`].
    pub fn critical_speed(&self, highest_speed: f64) -> Result<CriticalSpeed, DrivelineError> {
        self.check()?;
        not_negative("highest shaft speed", highest_speed)?;
        let gyration = self.section.gyration();
        let critical =
            (PI / self.length).powi(2) * gyration * (self.material.modulus / self.density).sqrt();
        let used = highest_speed / critical;
        Ok(CriticalSpeed {
            critical,
            half: 0.5 * critical,
            used,
            safe: used <= CRITICAL_SHARE,
        })
    }

    /// Longest shaft that keeps [`CRITICAL_SHARE`] at a shaft speed (rad/s), m.
    ///
    /// # Errors
    /// [`DrivelineError`].
    pub fn longest(&self, highest_speed: f64) -> Result<f64, DrivelineError> {
        positive("highest shaft speed", highest_speed)?;
        let used = self.critical_speed(highest_speed)?.used;
        Ok(self.length * (CRITICAL_SHARE / used).sqrt())
    }

    /// Stress and twist under a torque (N·m, zero or more, shock included).
    ///
    /// # Errors
    /// [`DrivelineError`].
    pub fn torsion(&self, torque: f64) -> Result<ShaftTorsion, DrivelineError> {
        self.check()?;
        not_negative("torque", torque)?;
        let polar = self.section.polar_moment();
        let outside = match self.section {
            Section::Tube { outside, .. } => outside,
            Section::Solid { diameter } => diameter,
        };
        let stress = torque * outside / (2.0 * polar);
        Ok(ShaftTorsion {
            stress,
            twist: torque * self.length / (self.shear_modulus * polar),
            safety: shear_safety(&self.material, stress),
        })
    }
}

fn shear_safety(material: &Material, stress: f64) -> Option<f64> {
    (stress > 0.0).then(|| material.yield_strength / 3.0_f64.sqrt() / stress)
}

/// Torque of the driveshaft, N·m: what engine, gear, converter and efficiency give, or what the tyres hold, whichever is smaller, times the
/// shock factor. `tyres_hold` is the wheel torque of both rear tyres μ N r over the final drive, N·m; None: not asked.
///
/// # Errors
/// [`DrivelineError::BadInput`].
pub fn driveshaft_torque(
    engine: f64,
    gear: f64,
    converter: f64,
    efficiency: f64,
    tyres_hold: Option<f64>,
    shock: f64,
) -> Result<f64, DrivelineError> {
    not_negative("engine torque", engine)?;
    positive("gear ratio", gear)?;
    positive("torque ratio of the converter", converter)?;
    share("efficiency", efficiency)?;
    positive("shock factor", shock)?;
    let mut torque = engine * gear * converter * efficiency;
    if let Some(limit) = tyres_hold {
        torque = torque.min(not_negative("torque the tyres hold", limit)?);
    }
    Ok(torque * shock)
}

/// An axle shaft.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AxleShaft {
    /// Smallest outside diameter d, m, positive.
    pub diameter: f64,
    /// Bore d_i there, m, zero or more, below d.
    pub bore: f64,
    /// What it is made of.
    pub material: Material,
    /// Share of the axle torque: ½ with an open differential, up to 1 with a locked one or a spool.
    pub share: f64,
    /// Shock factor, positive.
    pub shock: f64,
}

impl AxleShaft {
    /// Torque, N·m: min(axle torque × share, μ N r) × shock. `tyre_holds` is μ N r of this wheel, N·m.
    ///
    /// # Errors
    /// [`DrivelineError::BadInput`].
    pub fn torque(&self, axle_torque: f64, tyre_holds: f64) -> Result<f64, DrivelineError> {
        not_negative("axle torque", axle_torque)?;
        not_negative("torque the tyre holds", tyre_holds)?;
        share("share of the axle torque", self.share)?;
        positive("shock factor", self.shock)?;
        Ok((axle_torque * self.share).min(tyre_holds) * self.shock)
    }

    /// Shear stress at the surface, Pa, and shear yield over it (None without torque): 16 T d/(π(d⁴ − d_i⁴)).
    ///
    /// # Errors
    /// [`DrivelineError`].
    pub fn stress(&self, torque: f64) -> Result<(f64, Option<f64>), DrivelineError> {
        not_negative("torque", torque)?;
        positive("shaft diameter", self.diameter)?;
        not_negative("shaft bore", self.bore)?;
        positive("shaft wall", self.diameter - self.bore)?;
        self.material.check()?;
        let stress =
            16.0 * torque * self.diameter / (PI * (self.diameter.powi(4) - self.bore.powi(4)));
        Ok((stress, shear_safety(&self.material, stress)))
    }
}

/// A spline.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spline {
    /// Pitch diameter d_p, m, positive.
    pub pitch_diameter: f64,
    /// Teeth n, positive.
    pub teeth: u32,
    /// Length of engagement, m, positive.
    pub engagement: f64,
    /// Working depth of a tooth, m, positive.
    pub tooth_depth: f64,
    /// Share of the teeth that carry; ½ (Machinery's Handbook form, from memory).
    pub carrying: f64,
}

/// A spline under torque.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SplineStress {
    /// Shear at the pitch line, Pa.
    pub shear: f64,
    /// Bearing on the flanks, Pa.
    pub bearing: f64,
}

impl Spline {
    /// Stresses under a torque (N·m, zero or more): F = 2T/d_p over the carrying teeth.
    ///
    /// # Errors
    /// [`DrivelineError::BadInput`].
    pub fn stress(&self, torque: f64) -> Result<SplineStress, DrivelineError> {
        not_negative("torque", torque)?;
        positive("pitch diameter", self.pitch_diameter)?;
        let teeth = positive("teeth of the spline", f64::from(self.teeth))?;
        positive("engagement", self.engagement)?;
        positive("tooth depth", self.tooth_depth)?;
        share("share of the teeth that carry", self.carrying)?;
        let force = 2.0 * torque / self.pitch_diameter;
        let along = self.carrying * teeth * self.engagement;
        Ok(SplineStress {
            shear: force / (along * PI * self.pitch_diameter / (2.0 * teeth)),
            bearing: force / (along * self.tooth_depth),
        })
    }
}
