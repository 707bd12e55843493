//! What drives the rear axle and what holds the car up on it: the inputs of the launch reactions.

use serde::{Deserialize, Serialize};
use units::{Acceleration, Angle, Count, Force, Length, Mass, Pressure, RollStiffness, SpringRate};

use crate::{Place, Sides};

/// The car under power: masses, rates, final drive, coil-overs and driveshaft.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Power {
    /// Rear axle with wheels, brakes and half the links: what does not ride on the springs.
    pub rear_unsprung: Mass,
    /// Front wheels, hubs and brakes, both sides.
    pub front_unsprung: Mass,
    /// Pinion turns per wheel turn.
    pub final_drive: Count,
    /// How the differential shares the torque.
    pub differential: Differential,
    /// Which way the engine turns.
    pub engine: EngineTurn,
    /// Friction of the rear tyres on the surface, force over load.
    pub friction: Count,
    /// Forward acceleration looked at.
    pub acceleration: Acceleration,
    /// Deceleration looked at, a positive value.
    pub braking: Acceleration,
    /// A bump loads the links this many times as hard as standing does.
    pub bump_factor: Count,
    /// Least safety factor asked of links, rod ends and bolts.
    pub safety_target: Count,
    /// Rate of each front wheel against the body.
    pub front_wheel_rate: SpringRate,
    /// Vertical rate of each rear tyre.
    pub rear_tyre_rate: SpringRate,
    /// Roll stiffness of a front anti-roll bar; zero without one.
    pub front_bar: RollStiffness,
    /// Roll stiffness of a rear anti-roll bar; zero without one.
    pub rear_bar: RollStiffness,
    /// Rear coil-overs.
    #[serde(default)]
    pub coilovers: Vec<Coilover>,
    /// The driveshaft.
    #[serde(default)]
    pub driveshaft: Option<Driveshaft>,
}

impl Default for Power {
    /// Round figures to be replaced; without coil-overs nothing follows from them.
    fn default() -> Self {
        let mass = |pounds: f64| Mass::from_si(pounds * 0.453_592_37);
        let rate = |pounds_per_inch: f64| {
            SpringRate::from_si(pounds_per_inch * 4.448_221_615_260_5 / 0.0254)
        };
        let g = |g: f64| Acceleration::from_si(g * vehicle::STANDARD_GRAVITY);
        Self {
            rear_unsprung: mass(300.0),
            front_unsprung: mass(160.0),
            final_drive: Count::from_si(4.1),
            differential: Differential::Locked,
            engine: EngineTurn::Usual,
            friction: Count::from_si(1.2),
            acceleration: g(0.8),
            braking: g(0.8),
            bump_factor: Count::from_si(3.0),
            safety_target: Count::from_si(vehicle::strength::DEFAULT_TARGET),
            front_wheel_rate: rate(140.0),
            rear_tyre_rate: rate(1000.0),
            front_bar: RollStiffness::from_si(0.0),
            rear_bar: RollStiffness::from_si(0.0),
            coilovers: Vec::new(),
            driveshaft: None,
        }
    }
}

/// How the differential shares the torque.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Differential {
    /// Spool, locker or a clutch pack that holds: each tyre pushes as it is loaded.
    Locked,
    /// Both tyres push alike; the lighter one slips first.
    Open,
}

/// Which way the engine turns, seen from the front.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum EngineTurn {
    /// Clockwise, as most do: driveshaft torque loads the left rear tyre.
    Usual,
    /// Against the clock: it loads the right rear tyre.
    Reversed,
}

/// A coil-over between frame and axle.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Coilover {
    /// Short name.
    pub id: String,
    /// What the shop calls it.
    pub label: String,
    /// A pair, or one.
    pub sides: Sides,
    /// Upper eye on the frame (a pair: the left one).
    pub at_frame: Place,
    /// Lower eye on the axle.
    pub at_axle: Place,
    /// Spring rate.
    pub rate: SpringRate,
    /// Length of the spring off the car.
    pub spring_free: Length,
    /// Length of the spring with its coils touching.
    pub spring_block: Length,
    /// Shock eye to eye, pulled out.
    pub extended: Length,
    /// Shock eye to eye, pushed in to its stop.
    pub compressed: Length,
    /// How far its eyes may tilt from the line drawn before they bind.
    pub eye_tilt: Angle,
    /// Squeeze of the spring with the shock pulled out, as set. Left out: what holds the ride height.
    #[serde(default)]
    pub preload: Option<Preload>,
}

/// Squeeze of the springs with the shocks pulled out.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Preload {
    /// Left, or the only one.
    pub left: Length,
    /// Right.
    pub right: Length,
}

/// Driveshaft with a joint at each end.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Driveshaft {
    /// Centre of the front joint.
    pub front_joint: Place,
    /// Centre of the rear joint, at ride height.
    pub rear_joint: Place,
    /// Transmission output below level toward the rear.
    pub output_down: Angle,
    /// Pinion above level toward the front, at ride height.
    pub pinion_up: Angle,
    /// Where the shaft changes its length.
    pub slip: Slip,
    /// Most the slip may move either way.
    pub slip_travel: Length,
}

/// Where a driveshaft changes its length.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Slip {
    /// A slip yoke on the transmission.
    Transmission,
    /// A spline in the shaft.
    Shaft,
}

/// What a link is made of, for its strength and its stiffness.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LinkStock {
    /// Its section.
    pub section: Section,
    /// Yield strength from the mill sheet or the standard.
    pub yield_strength: Pressure,
    /// Young's modulus; steel when left out.
    #[serde(default = "steel_modulus")]
    pub modulus: Pressure,
    /// Static radial rating of the rod ends, from their maker.
    #[serde(default)]
    pub rod_end_rating: Option<Force>,
    /// The bolts through them.
    #[serde(default)]
    pub bolt: Option<LinkBolt>,
}

/// Young's modulus of steel, 200 GPa (handbook value, from memory).
pub fn steel_modulus() -> Pressure {
    Pressure::from_si(200e9)
}

/// A round section.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Section {
    /// A tube.
    Tube {
        /// Outside diameter.
        outside: Length,
        /// Wall.
        wall: Length,
    },
    /// A bar.
    Solid {
        /// Diameter.
        diameter: Length,
    },
}

/// A bolt through a rod end.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LinkBolt {
    /// Nominal diameter.
    pub diameter: Length,
    /// SAE J429 grade.
    pub grade: BoltGrade,
    /// One bracket plate, or one on each side of the rod end.
    pub shear: Shear,
}

/// SAE J429 grades the table knows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum BoltGrade {
    /// Grade 2.
    Grade2,
    /// Grade 5.
    Grade5,
    /// Grade 8.
    Grade8,
}

/// How many planes of a bolt are sheared.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Shear {
    /// One plate.
    Single,
    /// A plate on each side.
    Double,
}

impl Power {
    /// The coil-over with this id.
    pub fn coilover(&self, id: &str) -> Option<&Coilover> {
        self.coilovers.iter().find(|c| c.id == id)
    }
}
