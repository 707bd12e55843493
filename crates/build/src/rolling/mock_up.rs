//! The mock-up at ride height: rear wheel, tyre and housing, and what they must clear.

use serde::{Deserialize, Serialize};
use units::{Length, Ratio, SpringRate};

use crate::{Car, Place};

/// Wheels, housing, body around them, bump stops.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MockUp {
    /// Rear wheel.
    pub wheel: WheelData,
    /// Rear tyre.
    pub tyre: TyreData,
    /// Housing and shafts to order.
    pub housing: HousingData,
    /// Bump travel of each wheel looked at.
    pub bump: Length,
    /// Droop travel of each wheel looked at.
    pub droop: Length,
    /// Gap asked between tyre and anything.
    pub gap: Length,
    /// Body and tub around the wheels.
    #[serde(default)]
    pub body: Vec<BodyBox>,
    /// Clearance asked over the axle tube.
    pub notch_clearance: Length,
    /// Depth of the notch as cut in each rail over the axle tube; 0: none.
    #[serde(default)]
    pub notch: Length,
    /// Bump stops.
    #[serde(default)]
    pub bump_stop: Option<BumpStopData>,
    /// Outside diameter of the rear springs.
    pub spring_outside: Length,
}

/// A wheel.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WheelData {
    /// Rim width between the flanges.
    pub rim_width: Length,
    /// Thickness of one flange.
    pub flange: Length,
    /// Offset, + when the mounting face is outboard of the middle of the rim.
    pub offset: Length,
}

/// A tyre by its marking and what is known of it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TyreData {
    /// Nominal width.
    pub nominal: Length,
    /// Section height over nominal width.
    pub aspect: Ratio,
    /// Rim diameter.
    pub rim: Length,
    /// Section width on the measuring rim.
    pub section: Length,
    /// Width of the measuring rim.
    pub measuring_rim: Length,
    /// Radial rate.
    pub rate: SpringRate,
    /// Growth of the width in service.
    pub wider: Ratio,
    /// Growth of the radius in service.
    pub taller: Ratio,
    /// Radius of the shoulder.
    pub shoulder: Length,
}

/// What the housing is ordered by.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HousingData {
    /// Rotor hat or drum between axle flange and wheel.
    pub hat: Length,
    /// Housing end face to the outer face of the axle flange.
    pub brake_stack: Length,
    /// Centre of the differential left of the centreline.
    pub differential: Length,
    /// Half the gap between the shafts' ends.
    pub half_gap: Length,
    /// Pinion left of the centre of the differential.
    pub pinion: Length,
    /// Shafts in hand, measured.
    #[serde(default)]
    pub shafts: Option<ShaftsMeasured>,
}

/// Shafts in hand.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ShaftsMeasured {
    /// Left, outer face of the flange to the spline end.
    pub left: Length,
    /// Right.
    pub right: Length,
    /// Length of the spline.
    pub spline: Length,
    /// The side gear begins this far from the centre of the differential.
    pub gear_from: Length,
    /// And ends here.
    pub gear_to: Length,
}

/// Which wheels a part of the body stands near.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum NearWheel {
    /// Front.
    Front,
    /// Rear.
    Rear,
}

/// A part of the body as a box, drawn on the left and mirrored on the right.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BodyBox {
    /// Short name.
    pub id: String,
    /// What the shop calls it: "tub, inner wall", "quarter panel lip".
    pub label: String,
    /// Which wheels it stands near.
    pub near: NearWheel,
    /// Rear, inner, lower corner.
    pub from: Place,
    /// Front, outer, upper corner.
    pub to: Place,
}

/// Bump stops over the axle tubes, drawn on the left and mirrored on the right.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BumpStopData {
    /// Middle of the pad on the axle.
    pub pad: Place,
    /// Middle of the stop's lower face.
    pub face: Place,
    /// How much shorter the stop is when solid.
    pub loses: Length,
}

impl MockUp {
    /// Round figures to be replaced, in proportion to the car.
    pub fn usual(car: &Car) -> Self {
        let inch = Length::from_inches;
        let width = car.rear.tyre_width;
        Self {
            wheel: WheelData {
                rim_width: Length::from_si(0.8 * width.si()),
                flange: inch(0.5),
                offset: inch(0.0),
            },
            tyre: TyreData {
                nominal: width,
                aspect: Ratio::from_si(
                    (0.5 * (car.rear.tyre_diameter.si() - inch(15.0).si()) / width.si())
                        .clamp(0.1, 2.0),
                ),
                rim: inch(15.0),
                section: width,
                measuring_rim: Length::from_si(0.8 * width.si()),
                rate: SpringRate::from_si(175_000.0),
                wider: Ratio::from_si(0.02),
                taller: Ratio::from_si(0.01),
                shoulder: inch(1.5),
            },
            housing: HousingData {
                hat: inch(0.25),
                brake_stack: inch(2.5),
                differential: inch(0.0),
                half_gap: inch(0.25),
                pinion: inch(0.0),
                shafts: None,
            },
            bump: inch(3.0),
            droop: inch(3.0),
            gap: Length::from_si(vehicle::packaging::TARGET_GAP),
            body: Vec::new(),
            notch_clearance: inch(1.0),
            notch: inch(0.0),
            bump_stop: None,
            spring_outside: inch(4.0),
        }
    }
}
