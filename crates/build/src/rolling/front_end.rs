//! The front end as drawn: the left side at ride height, rack centred; the right one is its mirror.

use serde::{Deserialize, Serialize};
use units::{Angle, Count, Length, Pressure, SpringRate};

use crate::{Car, Place};

/// Double wishbones with a rack.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FrontEnd {
    /// Lower arm.
    pub lower: FrontArm,
    /// Upper arm.
    pub upper: FrontArm,
    /// Tie rod.
    pub tie_rod: FrontTie,
    /// Rack.
    pub rack: Rack,
    /// Camber as set, top outward positive.
    pub camber: Angle,
    /// Toe-in of one wheel as set.
    pub toe_in: Angle,
    /// Bump travel looked at.
    pub bump: Length,
    /// Droop travel looked at.
    pub droop: Length,
    /// Wheel.
    pub wheel: FrontWheel,
    /// The calipers hang on the knuckle; else the brakes are inboard.
    #[serde(default = "yes")]
    pub caliper_on_knuckle: bool,
    /// Coil-over.
    #[serde(default)]
    pub coil_over: Option<FrontCoil>,
    /// Anti-roll bar.
    #[serde(default)]
    pub bar: Option<FrontBar>,
    /// What can be turned or shimmed.
    #[serde(default)]
    pub adjusters: Vec<Adjuster>,
    /// Joints and how far each may tilt.
    #[serde(default)]
    pub joints: Vec<FrontJoint>,
}

fn yes() -> bool {
    true
}

/// A wishbone.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FrontArm {
    /// Front inner point.
    pub front: Place,
    /// Rear inner point.
    pub rear: Place,
    /// Ball joint.
    pub ball: Place,
    /// Outside diameter of its tubes.
    pub outside: Length,
}

/// A tie rod.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FrontTie {
    /// Inner end, on the rack.
    pub inner: Place,
    /// Outer end, on the steering arm.
    pub outer: Place,
    /// Outside diameter.
    pub outside: Length,
}

/// Rack and steering wheel.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Rack {
    /// Travel from the middle to either end.
    pub travel: Length,
    /// Travel per turn of the steering wheel.
    pub per_turn: Length,
    /// Outside diameter of the steering wheel.
    pub handwheel: Length,
}

/// Front rim and tyre, for what they may touch.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FrontWheel {
    /// Rim diameter over its flanges.
    pub rim: Length,
    /// Rim width between the flanges.
    pub rim_width: Length,
    /// Offset, + when the mounting face is outboard of the middle of the rim.
    pub offset: Length,
    /// Radius of the tyre's shoulder.
    pub shoulder: Length,
    /// How much wider and taller (in radius) the tyre grows in service.
    pub growth: Length,
}

/// Upper or lower arm.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum WhichArm {
    /// Lower.
    Lower,
    /// Upper.
    Upper,
}

/// A coil-over on an arm.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FrontCoil {
    /// Eye on the frame.
    pub at_frame: Place,
    /// Eye on the arm.
    pub at_arm: Place,
    /// Which arm.
    pub on: WhichArm,
    /// Rate.
    pub rate: SpringRate,
    /// Length between the eyes at which the spring is free. Left out: what holds the ride height.
    #[serde(default)]
    pub free: Option<Length>,
    /// Outside diameter of the spring.
    pub outside: Length,
    /// Shock eye to eye, pulled out.
    pub extended: Length,
    /// Shock eye to eye, pushed in to its stop.
    pub compressed: Length,
}

/// What the drop link of an anti-roll bar hangs on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum LinkOn {
    /// Lower arm.
    Lower,
    /// Upper arm.
    Upper,
    /// Knuckle.
    Knuckle,
}

/// An anti-roll bar across the car: a tube or bar with an arm and a drop link at each end.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FrontBar {
    /// Where the bar's axis meets its arm.
    pub pivot: Place,
    /// End of the arm.
    pub arm_end: Place,
    /// Other end of the drop link.
    pub link: Place,
    /// What that end is on.
    pub on: LinkOn,
    /// Outside diameter of the bar.
    pub outside: Length,
    /// Wall of the bar; left out: solid.
    #[serde(default)]
    pub wall: Option<Length>,
    /// Twisted length, arm to arm.
    pub length: Length,
    /// Shear modulus.
    #[serde(default = "steel_shear")]
    pub shear_modulus: Pressure,
    /// Outside diameter of the drop link.
    pub link_outside: Length,
}

/// 79.3 GPa, steel (handbook value, from memory).
fn steel_shear() -> Pressure {
    Pressure::from_si(79.3e9)
}

/// A rod of the front end.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum ArmRod {
    /// Front leg of the lower arm.
    LowerFront,
    /// Rear leg of the lower arm.
    LowerRear,
    /// Front leg of the upper arm.
    UpperFront,
    /// Rear leg of the upper arm.
    UpperRear,
    /// Tie rod.
    TieRod,
}

/// What one turn, or one shim, changes.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum AdjusterMoves {
    /// The length of a rod, longer positive. A sleeve with opposite threads: twice the pitch.
    Length {
        /// The rod.
        rod: ArmRod,
        /// Per turn.
        per_turn: Length,
    },
    /// The inner point of a rod.
    Shift {
        /// The rod.
        rod: ArmRod,
        /// Ahead, per turn or shim.
        ahead: Length,
        /// Outward, per turn or shim.
        out: Length,
        /// Up, per turn or shim.
        up: Length,
    },
}

/// Something that sets camber, caster or toe.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Adjuster {
    /// Short name.
    pub id: String,
    /// What the shop calls it.
    pub label: String,
    /// What it is counted in: "turn", "1/16 in shim".
    pub unit: String,
    /// All that one turn changes.
    pub moves: Vec<AdjusterMoves>,
}

/// Where a joint sits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum JointPlace {
    /// Ball joint of the lower arm.
    LowerBall,
    /// Ball joint of the upper arm.
    UpperBall,
    /// Rod end at the inner end of a rod, its bolt fixed to frame or rack.
    Inner(ArmRod),
    /// Rod end at the outer end of a rod, its bolt fixed to the knuckle.
    Outer(ArmRod),
}

/// A joint with its direction and how far it may tilt.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FrontJoint {
    /// Short name.
    pub id: String,
    /// What the shop calls it.
    pub label: String,
    /// Where.
    pub at: JointPlace,
    /// Stud of a ball joint or bolt of a rod end as drawn: ahead, out, up; only the direction counts.
    pub along: (Count, Count, Count),
    /// Axis of a ball joint's housing as drawn, likewise; left out: in line with the stud.
    #[serde(default)]
    pub housing: Option<(Count, Count, Count)>,
    /// Greatest tilt its maker allows, either way.
    pub limit: Angle,
}

impl FrontEnd {
    /// Round figures to be replaced, in proportion to the car.
    pub fn usual(car: &Car) -> Self {
        let inch = Length::from_inches;
        let (x, y) = (car.wheelbase.si(), 0.5 * car.front.track.si());
        let r = car.front.loaded_radius.si();
        let at = |ahead: f64, out: f64, up: f64| {
            Place::from_si([x + ahead * 0.0254, y - out * 0.0254, r + up * 0.0254])
        };
        Self {
            lower: FrontArm {
                front: at(5.5, 16.0, -5.5),
                rear: at(-8.5, 16.0, -5.5),
                ball: at(0.3, 3.0, -6.0),
                outside: inch(1.25),
            },
            upper: FrontArm {
                front: at(4.0, 12.5, 4.5),
                rear: at(-5.5, 12.5, 4.0),
                ball: at(-0.6, 4.5, 5.5),
                outside: inch(1.0),
            },
            tie_rod: FrontTie {
                inner: at(5.0, 15.4, -3.6),
                outer: at(5.2, 3.4, -3.9),
                outside: inch(0.75),
            },
            rack: Rack {
                travel: inch(2.75),
                per_turn: inch(1.75),
                handwheel: inch(14.0),
            },
            camber: Angle::from_degrees(-0.5),
            toe_in: Angle::from_degrees(0.05),
            bump: inch(3.0),
            droop: inch(3.0),
            wheel: FrontWheel {
                rim: inch(15.0),
                rim_width: inch(6.0),
                offset: inch(0.0),
                shoulder: inch(1.0),
                growth: inch(0.125),
            },
            caliper_on_knuckle: true,
            coil_over: None,
            bar: None,
            adjusters: Vec::new(),
            joints: Vec::new(),
        }
    }

    /// The rod's inner and outer point as drawn.
    pub fn rod(&self, rod: ArmRod) -> (Place, Place) {
        match rod {
            ArmRod::LowerFront => (self.lower.front, self.lower.ball),
            ArmRod::LowerRear => (self.lower.rear, self.lower.ball),
            ArmRod::UpperFront => (self.upper.front, self.upper.ball),
            ArmRod::UpperRear => (self.upper.rear, self.upper.ball),
            ArmRod::TieRod => (self.tie_rod.inner, self.tie_rod.outer),
        }
    }
}

fn inches(from: [f64; 3], by: [f64; 3]) -> [f64; 3] {
    std::array::from_fn(|k| from[k] + 0.0254 * by[k])
}

/// From the middle of an arm's inner points to its ball joint, by a share of the way.
fn along(arm: &FrontArm, share: f64) -> [f64; 3] {
    let (f, r, ball) = (arm.front.si(), arm.rear.si(), arm.ball.si());
    std::array::from_fn(|k| {
        let inner = 0.5 * (f[k] + r[k]);
        inner + share * (ball[k] - inner)
    })
}

impl FrontCoil {
    /// Round figures to be replaced: on the lower arm, leaning in, its shock in the middle of its stroke.
    pub fn usual(f: &FrontEnd) -> Self {
        let inch = Length::from_inches;
        let low = inches(along(&f.lower, 0.6), [1.5, 0.0, 1.0]);
        let up = inches(low, [0.0, -2.5, 12.0]);
        let length = 12.0_f64.hypot(2.5);
        Self {
            at_frame: Place::from_si(up),
            at_arm: Place::from_si(low),
            on: WhichArm::Lower,
            rate: SpringRate::from_si(80_000.0),
            free: None,
            outside: inch(3.75),
            extended: inch((length + 2.5).round()),
            compressed: inch((length - 2.5).round()),
        }
    }
}

impl FrontBar {
    /// Round figures to be replaced: ahead of the lower arm, its drop link upright on it.
    pub fn usual(f: &FrontEnd) -> Self {
        let inch = Length::from_inches;
        let link = inches(along(&f.lower, 0.5), [3.0, 0.0, 0.5]);
        let end = inches(link, [0.0, 0.0, 5.0]);
        let pivot = inches(end, [8.0, 0.0, 0.0]);
        Self {
            pivot: Place::from_si(pivot),
            arm_end: Place::from_si(end),
            link: Place::from_si(link),
            on: LinkOn::Lower,
            outside: inch(0.875),
            wall: None,
            length: Length::from_si((2.0 * pivot[1].abs()).max(0.1)),
            shear_modulus: steel_shear(),
            link_outside: inch(0.5),
        }
    }
}

/// The first of `name1`, `name2`, … that is not taken.
fn fresh<'a>(name: &str, taken: impl Iterator<Item = &'a str> + Clone) -> (String, usize) {
    (1..)
        .map(|n| (format!("{name}{n}"), n))
        .find(|(id, _)| taken.clone().all(|t| t != id))
        .unwrap_or_default()
}

impl Adjuster {
    /// A sleeve on the tie rod, to be changed to what is there.
    pub fn usual(f: &FrontEnd) -> Self {
        let (id, n) = fresh("adjuster", f.adjusters.iter().map(|x| x.id.as_str()));
        Self {
            id,
            label: format!("Adjuster {n}"),
            unit: "turn".to_owned(),
            moves: vec![AdjusterMoves::Length {
                rod: ArmRod::TieRod,
                per_turn: Length::from_inches(0.0625),
            }],
        }
    }
}

impl FrontJoint {
    /// A lower ball joint with its stud upright, to be changed to what is there.
    pub fn usual(f: &FrontEnd) -> Self {
        let (id, n) = fresh("joint", f.joints.iter().map(|x| x.id.as_str()));
        let count = Count::from_si;
        Self {
            id,
            label: format!("Joint {n}"),
            at: JointPlace::LowerBall,
            along: (count(0.0), count(0.0), count(1.0)),
            housing: None,
            limit: Angle::from_degrees(20.0),
        }
    }
}
