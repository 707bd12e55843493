//! What turns between gearbox and wheels, beyond the driveshaft's two joints.

use serde::{Deserialize, Serialize};
use units::{Angle, Count, Density, Length, Pressure, Ratio, RotationSpeed, Speed};

use crate::Place;

/// Shaft tube, slip yoke, loop, axle shafts, speeds.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Driveline {
    /// Transmission output runs this much to the left toward the rear, in plan.
    #[serde(default)]
    pub output_left: Angle,
    /// Pinion axis runs this much to the left toward the rear, in plan.
    #[serde(default)]
    pub pinion_left: Angle,
    /// Rear yoke from the front yoke about the shaft; 0: in line.
    #[serde(default)]
    pub phase: Angle,
    /// Teeth of the slip spline.
    pub spline_teeth: u32,
    /// Shaft tube.
    pub tube: ShaftTubeData,
    /// Slip yoke.
    pub slip: SlipYokeData,
    /// Safety loop.
    #[serde(default)]
    pub hoop: Option<LoopData>,
    /// Axle shafts.
    #[serde(default)]
    pub axle_shaft: Option<AxleShaftData>,
    /// Shock on the torque.
    pub shock: Count,
    /// Highest engine speed.
    pub redline: RotationSpeed,
    /// Highest road speed the shaft must stand; left out: redline in top gear.
    #[serde(default)]
    pub top_speed: Option<Speed>,
    /// Engine speed wanted at the trap; left out: redline.
    #[serde(default)]
    pub trap_engine: Option<RotationSpeed>,
    /// Final drives that can be had.
    #[serde(default)]
    pub final_drives: Vec<Count>,
}

/// A driveshaft tube.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ShaftTubeData {
    /// Outside diameter.
    pub outside: Length,
    /// Wall.
    pub wall: Length,
    /// Yield strength.
    pub yield_strength: Pressure,
    /// Young's modulus.
    #[serde(default = "crate::steel_modulus")]
    pub modulus: Pressure,
    /// Shear modulus.
    #[serde(default = "steel_shear")]
    pub shear_modulus: Pressure,
    /// Density.
    #[serde(default = "steel_density")]
    pub density: Density,
}

/// 79.3 GPa, steel (handbook value, from memory).
fn steel_shear() -> Pressure {
    Pressure::from_si(79.3e9)
}

/// 7850 kg/m³, steel (handbook value, from memory).
fn steel_density() -> Density {
    Density::from_si(7850.0)
}

/// A slip yoke.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SlipYokeData {
    /// Splines engaged at ride height.
    pub engagement: Length,
    /// Room to push in before it bottoms, at ride height.
    pub room: Length,
    /// Diameter of the splined shaft.
    pub diameter: Length,
}

/// A safety loop around the shaft.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LoopData {
    /// Its centre.
    pub at: Place,
    /// Inside diameter.
    pub inside: Length,
    /// Farthest from the front joint the rule book allows.
    pub within: Length,
}

/// An axle shaft.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AxleShaftData {
    /// Smallest diameter.
    pub diameter: Length,
    /// Bore; 0: solid.
    #[serde(default)]
    pub bore: Length,
    /// Yield strength.
    pub yield_strength: Pressure,
    /// Share of the axle torque one shaft may get: 1/2 open, up to 1 locked.
    pub share: Ratio,
    /// Spline.
    #[serde(default)]
    pub spline: Option<SplineData>,
}

/// A spline.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SplineData {
    /// Pitch diameter.
    pub pitch: Length,
    /// Teeth.
    pub teeth: u32,
    /// Length in the side gear.
    pub engagement: Length,
    /// Depth of a tooth.
    pub depth: Length,
}

impl Driveline {
    /// Round figures to be replaced.
    pub fn usual() -> Self {
        let inch = Length::from_inches;
        Self {
            output_left: Angle::default(),
            pinion_left: Angle::default(),
            phase: Angle::default(),
            spline_teeth: 27,
            tube: ShaftTubeData {
                outside: inch(3.0),
                wall: inch(0.083),
                yield_strength: Pressure::from_si(350e6),
                modulus: crate::steel_modulus(),
                shear_modulus: steel_shear(),
                density: steel_density(),
            },
            slip: SlipYokeData {
                engagement: inch(3.5),
                room: inch(1.25),
                diameter: inch(1.375),
            },
            hoop: None,
            axle_shaft: None,
            shock: Count::from_si(vehicle::driveline::shaft::SHOCK_FACTOR),
            redline: RotationSpeed::from_si(6500.0 * std::f64::consts::PI / 30.0),
            top_speed: None,
            trap_engine: None,
            final_drives: [3.25, 3.5, 3.7, 3.89, 4.1, 4.3, 4.56]
                .map(Count::from_si)
                .to_vec(),
        }
    }
}
