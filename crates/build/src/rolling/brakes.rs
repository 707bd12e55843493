//! The brakes from the pedal to the ground.

use serde::{Deserialize, Serialize};
use units::{
    Acceleration, Angle, Count, Force, Inertia, Length, Mass, Pressure, Ratio, Speed, SpringRate,
    Time, Torque, Volume,
};

use crate::Car;

/// Pedal, masters, lines and wheels.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Brakes {
    /// Pedal.
    pub pedal: PedalData,
    /// Booster, if there is one.
    #[serde(default)]
    pub booster: Option<Booster>,
    /// Master cylinders.
    pub masters: Masters,
    /// Front wheels.
    pub front: AxleBrake,
    /// Rear wheels.
    pub rear: AxleBrake,
    /// Lowest fluid surface allowed in the reservoir, above the floor.
    pub fluid_height: Length,
    /// How stiff the fluid is: its bulk modulus.
    pub bulk_modulus: Pressure,
    /// Tyre friction looked at, lowest first.
    #[serde(default)]
    pub surfaces: Vec<Count>,
    /// The stop looked at.
    pub stop: StopData,
    /// What brings the pedal back.
    #[serde(default)]
    pub pedal_return: Option<ReturnData>,
    /// Parking brake.
    #[serde(default)]
    pub parking: Option<ParkingData>,
}

/// The pedal.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PedalData {
    /// Pad travel over push rod travel.
    pub ratio: Count,
    /// Share of the force that arrives.
    pub efficiency: Ratio,
    /// Travel of the pad until it meets floor or stop.
    pub travel: Length,
    /// Force of the foot looked at.
    pub force: Force,
}

/// A vacuum booster.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Booster {
    /// Push out over push in, up to its limit.
    pub gain: Count,
    /// Vacuum at idle, below the atmosphere.
    pub vacuum: Pressure,
    /// Diameter of the diaphragm.
    pub diameter: Length,
    /// Diaphragms one behind the other.
    #[serde(default = "one")]
    pub diaphragms: u32,
    /// Share of the diaphragm's force that arrives.
    pub efficiency: Ratio,
}

fn one() -> u32 {
    1
}

/// Master cylinders.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Masters {
    /// One chamber for all four wheels.
    Single {
        /// Bore.
        bore: Length,
        /// Share of the push that becomes pressure.
        efficiency: Ratio,
        /// Return spring.
        spring: Force,
        /// Stroke until the port is closed.
        dead_stroke: Length,
        /// Whole stroke.
        stroke: Length,
    },
    /// Two chambers in one bore.
    Tandem {
        /// Bore.
        bore: Length,
        /// Share of the push that becomes pressure.
        efficiency: Ratio,
        /// Return spring.
        spring: Force,
        /// Stroke of each piston until its port is closed.
        dead_stroke: Length,
        /// Whole stroke of the front circuit's piston.
        front_stroke: Length,
        /// Whole stroke of the rear circuit's piston.
        rear_stroke: Length,
    },
    /// Two masters on a balance bar.
    Twin {
        /// Bore of the front circuit's.
        front_bore: Length,
        /// Bore of the rear circuit's.
        rear_bore: Length,
        /// Share of the push that becomes pressure.
        efficiency: Ratio,
        /// Return spring of each.
        spring: Force,
        /// Stroke of each until its port is closed.
        dead_stroke: Length,
        /// Whole stroke of each.
        stroke: Length,
        /// Clevis to clevis.
        bar: Length,
        /// Pivot off the middle, toward the front master positive.
        offset: Length,
    },
}

/// The brakes of one axle and the line that feeds them; both wheels alike.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AxleBrake {
    /// Disc or drum.
    pub brake: BrakeKind,
    /// Highest caliper or cylinder bore, above the floor.
    pub bore_height: Length,
    /// Residual pressure valves on the way from reservoir to wheel.
    #[serde(default)]
    pub valves: Vec<PressureValve>,
    /// Proportioning valve in the line.
    #[serde(default)]
    pub proportioning: Option<Proportioning>,
    /// Hoses.
    #[serde(default)]
    pub hoses: Vec<Hose>,
    /// Fluid under pressure in the circuit.
    pub fluid: Volume,
    /// Rotors, for their heat.
    #[serde(default)]
    pub rotor: Option<RotorData>,
}

/// Kind of brake.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum BrakeKind {
    /// Disc.
    Disc(DiscBrake),
    /// Drum.
    Drum(DrumBrake),
}

/// A disc brake.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DiscBrake {
    /// Piston diameter.
    pub piston: Length,
    /// Pistons on ONE side of the disc, of a fixed caliper too.
    pub pistons_one_side: u32,
    /// Pad friction.
    pub friction: Count,
    /// Outer radius of the swept band.
    pub outer: Length,
    /// Inner radius of the swept band.
    pub inner: Length,
    /// Pressure that moves the pads against the seals.
    pub threshold: Pressure,
    /// Share of the piston force that arrives.
    pub efficiency: Ratio,
    /// Clearance of each pad.
    pub clearance: Length,
    /// Stiffness of the caliper; left out: stiff.
    #[serde(default)]
    pub caliper: Option<SpringRate>,
    /// Stiffness of one pad; left out: stiff.
    #[serde(default)]
    pub pad: Option<SpringRate>,
}

/// A drum brake.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DrumBrake {
    /// Bore of the wheel cylinder.
    pub cylinder: Length,
    /// Drag of both shoes at the drum over the force of one piston.
    pub shoe_factor: Count,
    /// Drum diameter.
    pub drum: Length,
    /// Pressure that lifts the shoes off their springs.
    pub threshold: Pressure,
    /// Share of the piston force that arrives.
    pub efficiency: Ratio,
    /// Travel of each piston until the linings touch.
    pub shoe_travel: Length,
    /// Fluid the drum and shoes take at 1000 psi once they touch.
    pub swell: Volume,
    /// The wheel cylinder's cups have expanders.
    #[serde(default)]
    pub cup_expanders: bool,
}

/// Where a valve sits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum ValvePlace {
    /// Built into the master's outlet.
    MasterOutlet,
    /// In the line.
    Line,
    /// Built into a combination valve.
    CombinationValve,
}

/// A residual pressure valve.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PressureValve {
    /// Where.
    pub at: ValvePlace,
    /// Pressure it holds.
    pub holds: Pressure,
}

/// A proportioning valve.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Proportioning {
    /// Pressure from which it holds back.
    pub knee: Pressure,
    /// Rise of outlet over rise of inlet beyond.
    pub slope: Ratio,
}

/// A hose.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Hose {
    /// Length.
    pub length: Length,
    /// Kind.
    pub kind: HoseKind,
}

/// How a hose grows under pressure.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum HoseKind {
    /// Regular rubber.
    Regular,
    /// Low expansion.
    LowExpansion,
}

/// A rotor, for its heat.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RotorData {
    /// Mass that takes the heat.
    pub mass: Mass,
    /// Thickness of one friction ring.
    pub ring: Length,
}

/// A stop.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StopData {
    /// From this speed.
    pub from: Speed,
    /// At this deceleration.
    pub rate: Acceleration,
    /// Time until the foot is on the pedal.
    pub reaction: Time,
    /// Car and what turns with it over the car alone.
    pub rotating: Count,
}

/// How a pedal spring acts.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum SpringPull {
    /// Pulls, with an initial tension.
    Pulls(Force),
    /// Pushes.
    Pushes,
}

/// A spring on the pedal, in the pedal's plane from its pivot: (ahead, up).
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PedalSpringData {
    /// What the shop calls it.
    pub label: String,
    /// Pulls or pushes.
    pub acts: SpringPull,
    /// Rate.
    pub rate: SpringRate,
    /// Free length.
    pub free: Length,
    /// End on the body.
    pub anchor: (Length, Length),
    /// End on the pedal, at rest.
    pub on_pedal: (Length, Length),
}

/// What brings the pedal back; points in the pedal's plane from its pivot, at rest: (ahead, up).
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ReturnData {
    /// The pad stands above the pivot; else it hangs.
    #[serde(default)]
    pub standing: bool,
    /// Pad.
    pub pad: (Length, Length),
    /// Pin of the push rod.
    pub pin: (Length, Length),
    /// Bore of the master above level, ahead.
    #[serde(default)]
    pub bore_up: Angle,
    /// Turn of the pedal from rest to full travel.
    pub full: Angle,
    /// Springs.
    #[serde(default)]
    pub springs: Vec<PedalSpringData>,
    /// Rate of the master's spring.
    pub master_rate: SpringRate,
    /// Pressure left in the chamber; suction of a fast release below zero.
    #[serde(default)]
    pub chamber: Pressure,
    /// Friction of the seals.
    pub seals: Force,
    /// Friction of the pivot.
    pub pivot: Torque,
    /// Mass of the pedal.
    pub mass: Mass,
    /// Its centre of gravity.
    pub cg: (Length, Length),
    /// Its inertia about the pivot.
    pub inertia: Inertia,
}

/// The parking brake, on the rear wheels behind an equaliser.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ParkingData {
    /// Force at the lever.
    pub force: Force,
    /// Ratio of the lever.
    pub lever: Count,
    /// Share that arrives through the cables.
    pub cables: Ratio,
    /// Ratio of the lever at the wheel.
    pub wheel_lever: Count,
    /// Drum: shoe factor with the nose up, the wheel turning backward. Not read with discs.
    pub backward_factor: Count,
    /// Drum: shoe factor with the nose down.
    pub forward_factor: Count,
    /// Worked by a foot.
    #[serde(default)]
    pub foot: bool,
    /// Grade it should hold.
    pub grade: Ratio,
}

impl Brakes {
    /// Round figures to be replaced: discs in front, drums behind, a tandem master.
    pub fn usual(car: &Car) -> Self {
        let inch = Length::from_inches;
        let newton = Force::from_si;
        let psi = |x: f64| Pressure::from_si(x * 6_894.757_293_168_361);
        let ratio = Ratio::from_si;
        let cc = |x: f64| Volume::from_si(x * 1e-6);
        Self {
            pedal: PedalData {
                ratio: Count::from_si(6.0),
                efficiency: ratio(0.9),
                travel: inch(6.0),
                force: newton(445.0),
            },
            booster: None,
            masters: Masters::Tandem {
                bore: inch(1.0),
                efficiency: ratio(0.95),
                spring: newton(40.0),
                dead_stroke: inch(0.06),
                front_stroke: inch(0.6),
                rear_stroke: inch(0.6),
            },
            front: AxleBrake {
                brake: BrakeKind::Disc(DiscBrake {
                    piston: inch(2.5),
                    pistons_one_side: 1,
                    friction: Count::from_si(0.4),
                    outer: inch(5.5),
                    inner: inch(3.5),
                    threshold: psi(10.0),
                    efficiency: ratio(0.95),
                    clearance: inch(0.006),
                    caliper: None,
                    pad: None,
                }),
                bore_height: car.front.loaded_radius,
                valves: Vec::new(),
                proportioning: None,
                hoses: vec![
                    Hose {
                        length: inch(14.0),
                        kind: HoseKind::Regular,
                    };
                    2
                ],
                fluid: cc(60.0),
                rotor: None,
            },
            rear: AxleBrake {
                brake: BrakeKind::Drum(DrumBrake {
                    cylinder: inch(0.8125),
                    shoe_factor: Count::from_si(2.8),
                    drum: inch(10.0),
                    threshold: psi(40.0),
                    efficiency: ratio(0.95),
                    shoe_travel: inch(0.03),
                    swell: cc(0.8),
                    cup_expanders: false,
                }),
                bore_height: car.rear.loaded_radius,
                valves: vec![PressureValve {
                    at: ValvePlace::Line,
                    holds: psi(10.0),
                }],
                proportioning: None,
                hoses: vec![Hose {
                    length: inch(14.0),
                    kind: HoseKind::Regular,
                }],
                fluid: cc(60.0),
                rotor: None,
            },
            fluid_height: inch(30.0),
            bulk_modulus: psi(200_000.0),
            surfaces: [0.4, 0.6, 0.8, 1.0].map(Count::from_si).to_vec(),
            stop: StopData {
                from: Speed::from_si(26.8224),
                rate: Acceleration::from_si(0.8 * vehicle::STANDARD_GRAVITY),
                reaction: Time::from_si(1.0),
                rotating: Count::from_si(1.05),
            },
            pedal_return: None,
            parking: None,
        }
    }
}
