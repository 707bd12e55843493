//! Wheel rate, roll stiffness, anti-roll bar, roll gradient and lateral load transfer.

use geometry::front::CoilOverState;

use super::above;
use super::{FrontForceError, finite, positive};
use crate::STANDARD_GRAVITY;

/// A coil spring that only pushes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CoilSpring {
    /// Rate k, N/m, positive.
    pub rate: f64,
    /// Length of the coil-over at which the spring is free L₀, eye to eye, m.
    pub free_length: f64,
}

/// A coil-over's effect at the wheel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WheelRate {
    /// Spring force F = k(L₀ − L), never below zero, N.
    pub spring_force: f64,
    /// Vertical force at the wheel F·MR, N.
    pub wheel_force: f64,
    /// k·MR², N/m: what the spring's rate alone gives; zero with the spring loose.
    pub from_rate: f64,
    /// F·dMR/dz, N/m: what the changing motion ratio gives.
    pub from_geometry: f64,
    /// The wheel rate: their sum, N/m.
    pub wheel_rate: f64,
}

impl CoilSpring {
    /// Force and wheel rate with the coil-over in `state`: k·MR² + F·dMR/dz, the derivative of
    /// F·MR by travel.
    ///
    /// # Errors
    /// [`FrontForceError::BadNumber`].
    pub fn wheel_rate(&self, state: &CoilOverState) -> Result<WheelRate, FrontForceError> {
        let k = positive("spring rate", self.rate)?;
        let shorter = finite("spring's free length", self.free_length)? - state.length;
        let spring_force = k * shorter.max(0.0);
        let mr = state.motion_ratio;
        let from_rate = if shorter > 0.0 { k * mr * mr } else { 0.0 };
        let from_geometry = spring_force * state.motion_ratio_slope;
        Ok(WheelRate {
            spring_force,
            wheel_force: spring_force * mr,
            from_rate,
            from_geometry,
            wheel_rate: from_rate + from_geometry,
        })
    }
}

/// Roll stiffness of independent wheels ½·K_w·t², N·m/rad: wheel rate (N/m), contact track (m).
#[must_use]
pub fn wheel_roll_stiffness(wheel_rate: f64, track: f64) -> f64 {
    0.5 * wheel_rate * track * track
}

/// Roll stiffness of a rigid axle's springs Σ k(dL/dφ)² − F d²L/dφ², N·m/rad. Each spring: rate
/// (N/m), force (N, push positive), dL/dφ (m/rad), d²L/dφ² (m/rad²).
#[must_use]
pub fn axle_roll_stiffness(springs: &[(f64, f64, f64, f64)]) -> f64 {
    springs
        .iter()
        .map(|(rate, force, slope, bend)| rate * slope * slope - force * bend)
        .sum()
}

/// Torsional stiffness GJ/ℓ of a round bar or tube, N·m/rad: shear modulus (Pa), outer and inner
/// diameter (m), length (m).
///
/// # Errors
/// [`FrontForceError::BadNumber`].
pub fn tube_torsion(
    shear_modulus: f64,
    outer: f64,
    inner: f64,
    length: f64,
) -> Result<f64, FrontForceError> {
    let g = positive("shear modulus", shear_modulus)?;
    let d = positive("bar diameter", outer)?;
    let l = positive("bar length", length)?;
    if !(inner >= 0.0 && inner < d) {
        return Err(FrontForceError::BadNumber {
            what: "bar bore",
            value: inner,
        });
    }
    let j = std::f64::consts::PI / 32.0 * (d.powi(4) - inner.powi(4));
    Ok(g * j / l)
}

/// Bending of a bar's arm: a³/(3 E I r²) per end.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ArmBending {
    /// Arm length a, m.
    pub length: f64,
    /// E·I of the arm, N·m².
    pub bending_stiffness: f64,
}

/// An anti-roll bar at its ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AntiRollBar {
    /// Torsional stiffness k_t between the ends, N·m/rad ([`tube_torsion`]).
    pub torsion: f64,
    /// Lever r of the link force about the bar, m.
    pub lever: f64,
    /// End turn per wheel travel θ', rad/m (its sense does not matter).
    pub turn_per_travel: f64,
    /// The arms' bending; None: stiff arms.
    pub arm: Option<ArmBending>,
}

/// What an anti-roll bar adds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BarStiffness {
    /// κ per end, N·m/rad: 1/κ = 1/(2 k_t) + a³/(3 E I r²).
    pub end_stiffness: f64,
    /// Rate at a wheel in roll κ θ'², N/m; one wheel alone feels half.
    pub wheel_rate_in_roll: f64,
    /// Rate at one wheel that moves alone, N/m.
    pub wheel_rate_alone: f64,
    /// Roll stiffness ½·κ·θ'²·t², N·m/rad.
    pub roll_stiffness: f64,
}

impl AntiRollBar {
    /// Rates and roll stiffness on a contact track (m).
    ///
    /// # Errors
    /// [`FrontForceError::BadNumber`].
    pub fn stiffness(&self, track: f64) -> Result<BarStiffness, FrontForceError> {
        let k_t = positive("bar torsional stiffness", self.torsion)?;
        let r = positive("lever of the bar's link", self.lever)?;
        let t = positive("track", track)?;
        let turn = finite("bar turn per travel", self.turn_per_travel)?;
        let mut compliance = 0.5 / k_t;
        if let Some(arm) = &self.arm {
            let a = positive("bar arm length", arm.length)?;
            let ei = positive("bar arm bending stiffness", arm.bending_stiffness)?;
            compliance += a.powi(3) / (3.0 * ei * r * r);
        }
        let end_stiffness = 1.0 / compliance;
        let wheel_rate_in_roll = end_stiffness * turn * turn;
        Ok(BarStiffness {
            end_stiffness,
            wheel_rate_in_roll,
            wheel_rate_alone: 0.5 * wheel_rate_in_roll,
            roll_stiffness: wheel_roll_stiffness(wheel_rate_in_roll, t),
        })
    }
}

/// What the roll gradient needs to know of the car.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RollCar {
    /// Sprung mass m_s, kg.
    pub sprung_mass: f64,
    /// Sprung CG above the roll axis h_r, m.
    pub roll_lever: f64,
    /// Front roll stiffness K_f, N·m/rad.
    pub front_stiffness: f64,
    /// Rear roll stiffness K_r, N·m/rad.
    pub rear_stiffness: f64,
    /// Wheelbase L, m.
    pub wheelbase: f64,
    /// Sprung CG to rear axle b, m.
    pub cg_to_rear: f64,
    /// Front roll centre height z_rc, m.
    pub front_roll_centre: f64,
    /// Front unsprung mass m_uf, kg.
    pub front_unsprung_mass: f64,
    /// Its CG height z_uf, m.
    pub front_unsprung_height: f64,
    /// Front contact track t, m.
    pub front_track: f64,
}

/// Roll and front load transfer per unit of lateral acceleration.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RollLoads {
    /// φ/a_y, rad per m/s².
    pub roll_gradient: f64,
    /// The same per g, rad.
    pub roll_per_g: f64,
    /// Front load transfer per a_y, N per m/s².
    pub front_transfer: f64,
    /// The same per g, N.
    pub front_transfer_per_g: f64,
}

impl RollCar {
    /// φ/a_y = m_s h_r/(K_f + K_r − m_s g h_r); front transfer = (K_f φ + m_s (b/L) z_rc + m_uf
    /// z_uf)/t.
    ///
    /// # Errors
    /// [`FrontForceError::BadNumber`], [`FrontForceError::FallsOver`].
    pub fn loads(&self) -> Result<RollLoads, FrontForceError> {
        let l = positive("wheelbase", self.wheelbase)?;
        let t = positive("front track", self.front_track)?;
        for (what, value) in [
            ("sprung mass", self.sprung_mass),
            ("roll lever", self.roll_lever),
            ("front roll stiffness", self.front_stiffness),
            ("rear roll stiffness", self.rear_stiffness),
            ("distance from CG to rear axle", self.cg_to_rear),
            ("front roll centre height", self.front_roll_centre),
            ("front unsprung mass", self.front_unsprung_mass),
            ("front unsprung CG height", self.front_unsprung_height),
        ] {
            finite(what, value)?;
        }
        let arm = self.sprung_mass * self.roll_lever;
        let stiffness = self.front_stiffness + self.rear_stiffness;
        let needed = arm * STANDARD_GRAVITY;
        if !above(stiffness, needed) {
            return Err(FrontForceError::FallsOver { stiffness, needed });
        }
        let roll_gradient = arm / (stiffness - needed);
        let front_transfer = (self.front_stiffness * roll_gradient
            + self.sprung_mass * (self.cg_to_rear / l) * self.front_roll_centre
            + self.front_unsprung_mass * self.front_unsprung_height)
            / t;
        Ok(RollLoads {
            roll_gradient,
            roll_per_g: roll_gradient * STANDARD_GRAVITY,
            front_transfer,
            front_transfer_per_g: front_transfer * STANDARD_GRAVITY,
        })
    }
}
