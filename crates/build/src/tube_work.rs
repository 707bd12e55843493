//! What tube work needs beside the drawing: dies, stock, the saw, and what stands on the frame for
//! its stiffness.

use serde::{Deserialize, Serialize};
use units::{Angle, Length, Mass, Torque};

use crate::{Place, TubeSection};

/// Dies, stock and saw.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TubeWork {
    /// Bending dies.
    #[serde(default)]
    pub dies: Vec<Die>,
    /// Bars to cut from.
    #[serde(default)]
    pub stock: Vec<StockBar>,
    /// Width of the saw cut.
    #[serde(default = "usual_kerf")]
    pub kerf: Length,
    /// Cut off each bar before the first piece.
    #[serde(default)]
    pub trim: Length,
    /// Thickness of the paper a wrap is printed on.
    #[serde(default)]
    pub paper: Length,
    /// How the ends are cut.
    #[serde(default)]
    pub cut: EndCut,
}

/// A band saw's cut, m.
const USUAL_KERF: f64 = 1.0 / 16.0;

fn usual_kerf() -> Length {
    Length::from_inches(USUAL_KERF)
}

impl Default for TubeWork {
    fn default() -> Self {
        Self {
            dies: Vec::new(),
            stock: Vec::new(),
            kerf: usual_kerf(),
            trim: Length::default(),
            paper: Length::default(),
            cut: EndCut::default(),
        }
    }
}

/// How a coped end is cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum EndCut {
    /// The cut follows the other tube through the wall: hole saw, mill, or the outside edge marked
    /// and the inside ground away.
    #[default]
    FollowsMain,
    /// Straight in toward the tube's axis: torch or grinder, no bevel.
    Square,
}

/// A bending die and what the shop knows of it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Die {
    /// Short name that tubes refer to.
    pub id: String,
    /// What is written on it.
    pub label: String,
    /// Outside diameter of the tube it takes.
    pub outside: Length,
    /// Centreline radius of the finished bend.
    pub radius: Length,
    /// Least straight at an end, for the clamp.
    #[serde(default)]
    pub clamp: Length,
    /// Least straight between two bends.
    #[serde(default)]
    pub between: Length,
    /// From the bend's start to the mark on the die, toward end A.
    #[serde(default)]
    pub mark: Length,
    /// Length the tube gains in a bend, measured; 0: the centreline keeps its length.
    #[serde(default)]
    pub gain: Length,
    /// Springback: measured, smallest angle first.
    #[serde(default)]
    pub springback: Vec<Springback>,
}

/// A row of a springback table.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Springback {
    /// Angle wanted.
    pub wanted: Angle,
    /// Angle to bend to.
    pub set: Angle,
}

/// Bars of one kind on the rack.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StockBar {
    /// Short name.
    pub id: String,
    /// Section.
    pub section: TubeSection,
    /// Material, as the tubes name it.
    pub material: String,
    /// Length of a bar.
    pub length: Length,
    /// How many there are; left out: bought as needed.
    #[serde(default)]
    pub count: Option<u32>,
}

/// What the frame's stiffness is asked for, and what stands on the frame.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FrameTest {
    /// Nodes held at the back.
    #[serde(default)]
    pub rear: Option<Pair>,
    /// Nodes loaded at the front.
    #[serde(default)]
    pub front: Option<Pair>,
    /// Nodes loaded in bending, near the middle of the wheelbase.
    #[serde(default)]
    pub middle: Option<Pair>,
    /// Left and right nodes the twist is read at, back to front.
    #[serde(default)]
    pub stations: Vec<Pair>,
    /// Torque the drawn shape is for.
    #[serde(default = "usual_torque")]
    pub torque: Torque,
    /// Shear of the tubes counts.
    #[serde(default = "yes")]
    pub shear: bool,
    /// Bends are softer than straights.
    #[serde(default = "yes")]
    pub soft_bends: bool,
    /// The rear nodes are clamped in all six ways instead of held at three points.
    #[serde(default)]
    pub clamped: bool,
    /// What is bolted on, where.
    #[serde(default)]
    pub masses: Vec<PointMass>,
    /// Nodes of the engine's mounts: they take the driveshaft's torque.
    #[serde(default)]
    pub engine_mounts: Vec<String>,
    /// Where the front springs push.
    #[serde(default)]
    pub front_springs: Option<Pair>,
    /// Loads carried elsewhere than by the nearest tube.
    #[serde(default)]
    pub carriers: Vec<CarriedBy>,
    /// Twist tests of the real frame.
    #[serde(default)]
    pub measured: Vec<TwistReading>,
    /// The last measured stiffness corrects what is predicted.
    #[serde(default)]
    pub use_measured: bool,
}

fn yes() -> bool {
    true
}

fn usual_torque() -> Torque {
    // 1000 lb·ft
    Torque::from_si(1_355.817_948_331_400_4)
}

impl Default for FrameTest {
    fn default() -> Self {
        Self {
            rear: None,
            front: None,
            middle: None,
            stations: Vec::new(),
            torque: usual_torque(),
            shear: true,
            soft_bends: true,
            clamped: false,
            masses: Vec::new(),
            engine_mounts: Vec::new(),
            front_springs: None,
            carriers: Vec::new(),
            measured: Vec::new(),
            use_measured: false,
        }
    }
}

/// A node on the left and one on the right.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Pair {
    /// What the place is called.
    #[serde(default)]
    pub label: String,
    /// Left node.
    pub left: String,
    /// Right node.
    pub right: String,
}

/// A weight on the frame.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PointMass {
    /// Short name.
    pub id: String,
    /// What it is: "Engine and gearbox".
    pub label: String,
    /// Its mass.
    pub mass: Mass,
    /// Its centre of gravity.
    pub at: Place,
    /// Nodes that carry it.
    pub on: Vec<String>,
}

/// Left or right of the car.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Hand {
    /// Left.
    Left,
    /// Right.
    Right,
}

/// A load of the launch balance.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Carried {
    /// A link's or bar's bracket.
    Bracket {
        /// Bracket of the rear links.
        bracket: String,
        /// Which of a mirrored pair.
        side: Hand,
    },
    /// Top of a rear coil-over.
    CoilOver(Hand),
}

/// A load and the node that carries it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CarriedBy {
    /// The load.
    pub load: Carried,
    /// The node.
    pub node: String,
}

/// A twist test of the real frame.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TwistReading {
    /// Torque put on.
    pub torque: Torque,
    /// Up at the front left, read by a dial.
    pub left_up: Length,
    /// Down at the front right, read by a dial.
    pub right_down: Length,
    /// Distance between the two dials, across the car.
    pub apart: Length,
    /// Rear turned meanwhile, the same way; 0 where the rear held.
    #[serde(default)]
    pub rear_turned: Angle,
    /// Who.
    #[serde(default)]
    pub who: String,
    /// When.
    #[serde(default)]
    pub when: String,
    /// What was seen.
    #[serde(default)]
    pub note: String,
}

impl TubeWork {
    /// The die with this name.
    pub fn die(&self, id: &str) -> Option<&Die> {
        self.dies.iter().find(|x| x.id == id)
    }
}

impl FrameTest {
    /// Does it name this node?
    pub fn names(&self, node: &str) -> bool {
        let fixed = [&self.rear, &self.front, &self.middle, &self.front_springs];
        let pairs = fixed.into_iter().flatten().chain(&self.stations);
        let carried = self.carriers.iter().map(|x| &x.node);
        let masses = self.masses.iter().flat_map(|x| &x.on);
        pairs
            .flat_map(|p| [&p.left, &p.right])
            .chain(carried)
            .chain(masses)
            .chain(&self.engine_mounts)
            .any(|id| id == node)
    }
}
