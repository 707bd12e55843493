//! Rotor temperature rise and distance of one stop. No cooling and no fade: several stops add up, and a hot brake holds
//! less than a cold one.

use std::f64::consts::PI;

use super::{BrakeError, bad, not_negative, positive, share};
use crate::STANDARD_GRAVITY;

/// Specific heat of cast iron, J/(kg·K).
pub const IRON_HEAT: f64 = 480.0;

/// One stop.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stop {
    /// Mass of the car m, kg, positive.
    pub mass: f64,
    /// Factor for rotating parts k_rot, 1 or more.
    pub rotating_factor: f64,
    /// Speed at the start v₁, m/s.
    pub from_speed: f64,
    /// Speed at the end v₂, m/s, at most v₁.
    pub to_speed: f64,
    /// Braking rate z, positive.
    pub rate: f64,
}

/// One disc of an axle, or one drum.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DiscHeat {
    /// Share of the axle in the brake force, 0 to 1.
    pub axle_share: f64,
    /// Share of the heat that goes into the pads, 0 to below 1; 0 by default.
    pub pad_share: f64,
    /// Mass that takes the heat, kg, positive.
    pub mass: f64,
    /// Specific heat c, J/(kg·K), positive; [`IRON_HEAT`].
    pub specific_heat: f64,
    /// Swept area of both faces, m², positive.
    pub swept_area: f64,
    /// Conductivity k, W/(m·K), positive.
    pub conductivity: f64,
    /// Density ρ, kg/m³, positive.
    pub density: f64,
    /// Thickness of one friction ring, m, positive; None: not known.
    pub ring_thickness: Option<f64>,
}

/// What a stop does to a disc.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StopHeat {
    /// Energy of the whole stop, J.
    pub energy: f64,
    /// Energy into this disc, J.
    pub disc_energy: f64,
    /// Mean temperature rise, K.
    pub mean_rise: f64,
    /// Length of the stop, s.
    pub time: f64,
    /// Heat flux at the first instant q₀, W/m²; None: not a stop to rest.
    pub flux: Option<f64>,
    /// Greatest rise of the surface, at half time, K; None: not a stop to rest.
    pub surface_rise: Option<f64>,
    /// How deep the heat gets until then √(α t_s/2), m. The surface rise is good while it is below half a friction ring's thickness;
    /// a thinner ring runs hotter.
    pub depth: f64,
    /// Whether the ring is thick enough for the surface rise; None: its thickness is not known.
    pub thick_enough: Option<bool>,
}

impl Stop {
    fn check(&self) -> Result<(), BrakeError> {
        positive("mass", self.mass)?;
        not_negative("speed at the end", self.to_speed)?;
        positive("braking rate", self.rate)?;
        positive("speed taken off", self.from_speed - self.to_speed)?;
        if self.rotating_factor >= 1.0 && self.rotating_factor.is_finite() {
            Ok(())
        } else {
            Err(bad(
                "factor for rotating parts",
                self.rotating_factor,
                "1 or more",
            ))
        }
    }

    /// Energy to get rid of, J: ½ m k_rot (v₁² − v₂²).
    #[must_use]
    pub fn energy(&self) -> f64 {
        0.5 * self.mass
            * self.rotating_factor
            * (self.from_speed - self.to_speed)
            * (self.from_speed + self.to_speed)
    }

    /// Heat of this stop in one disc.
    ///
    /// # Errors
    /// [`BrakeError::BadInput`].
    pub fn heat(&self, disc: &DiscHeat) -> Result<StopHeat, BrakeError> {
        self.check()?;
        if !(0.0..=1.0).contains(&disc.axle_share) {
            return Err(bad("axle share", disc.axle_share, "from 0 to 1"));
        }
        share("share of heat left to the disc", 1.0 - disc.pad_share)?;
        positive("mass of the disc", disc.mass)?;
        positive("specific heat", disc.specific_heat)?;
        positive("swept area", disc.swept_area)?;
        positive("conductivity", disc.conductivity)?;
        positive("density", disc.density)?;
        if let Some(t) = disc.ring_thickness {
            positive("thickness of the friction ring", t)?;
        }
        let energy = self.energy();
        let disc_energy = energy * disc.axle_share / 2.0 * (1.0 - disc.pad_share);
        let time = (self.from_speed - self.to_speed) / (self.rate * STANDARD_GRAVITY);
        let volumetric = disc.density * disc.specific_heat;
        let to_rest = self.to_speed <= 0.0;
        let flux = to_rest.then(|| 2.0 * disc_energy / (disc.swept_area * time));
        let surface_rise = flux.map(|q| {
            4.0 / (3.0 * (2.0 * PI).sqrt()) * q * (time / (disc.conductivity * volumetric)).sqrt()
        });
        let depth = (disc.conductivity / volumetric * time / 2.0).sqrt();
        Ok(StopHeat {
            energy,
            disc_energy,
            mean_rise: disc_energy / (disc.mass * disc.specific_heat),
            time,
            flux,
            surface_rise,
            depth,
            thick_enough: disc.ring_thickness.map(|t| depth < 0.5 * t),
        })
    }
}

/// Distance of a stop to rest, m: v²/(2 z g) + v·t_reaction.
///
/// # Errors
/// [`BrakeError::BadInput`].
pub fn stopping_distance(speed: f64, rate: f64, reaction_time: f64) -> Result<f64, BrakeError> {
    not_negative("speed", speed)?;
    positive("braking rate", rate)?;
    not_negative("reaction time", reaction_time)?;
    Ok(speed * speed / (2.0 * rate * STANDARD_GRAVITY) + speed * reaction_time)
}
