//! The fit-up log: joints, their gaps and who measured them.

use serde::{Deserialize, Serialize};
use units::{Angle, Length};
use weld::consumables::Process;

/// Gap rule the shop works to and the joints it has looked at.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FitUp {
    /// Limits in force.
    pub rule: GapRule,
    /// Joints in the order they were set up.
    #[serde(default)]
    pub joints: Vec<Joint>,
}

/// Rule set for a root gap.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum GapRule {
    /// AWS D1.1 style: grow the leg past the first limit, reject past the second.
    AwsD11,
    /// ISO 5817 quality level B.
    Iso5817B,
    /// ISO 5817 quality level C.
    Iso5817C,
    /// ISO 5817 quality level D.
    Iso5817D,
    /// The shop's own two limits, in the AWS form.
    Shop {
        /// No larger leg needed up to here.
        grow_above: Length,
        /// Cut it again above this.
        reject_above: Length,
    },
}

/// Kind of joint.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum JointKind {
    /// Butt weld.
    Butt,
    /// Fillet tee, welded on one or two sides.
    Tee {
        /// 1 or 2.
        fillets: u8,
    },
    /// Lap joint.
    Lap,
    /// Coped tube on a tube.
    Cope,
}

/// How the parts are held while they cool.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum Held {
    /// Nothing holds them.
    Free,
    /// Tacked.
    #[default]
    Tacked,
    /// Clamped in a fixture.
    Fixtured,
}

/// A joint in the log.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Joint {
    /// Short name.
    pub id: String,
    /// Which joint it is.
    pub label: String,
    /// Its kind.
    pub kind: JointKind,
    /// Wall or plate that meets the other: stem, branch, or the butted plates.
    pub wall: Length,
    /// Fillet leg asked for; a butt joint: 0.
    pub leg: Length,
    /// How it is held.
    #[serde(default)]
    pub held: Held,
    /// Weld passes.
    #[serde(default = "one")]
    pub passes: u32,
    /// How it is welded.
    #[serde(default = "mig")]
    pub process: Process,
    /// Parts of the assembly it joins; sizes then come from them.
    #[serde(default)]
    pub joins: Option<Joins>,
    /// Tubes of a cope that are not drawn.
    #[serde(default)]
    pub tubes: Option<CopeTubes>,
    /// Length of the seam; left out: round the tube that ends here.
    #[serde(default)]
    pub length: Option<Length>,
    /// Thickness of what a tee stands on; left out: as the stem.
    #[serde(default)]
    pub base: Option<Length>,
    /// Edges of a butt.
    #[serde(default)]
    pub edges: Edges,
    /// Gaps found.
    #[serde(default)]
    pub gaps: Vec<Gap>,
    /// Who measured.
    #[serde(default)]
    pub who: String,
    /// When.
    #[serde(default)]
    pub when: String,
    /// What was seen.
    #[serde(default)]
    pub note: String,
    /// Welded, and by whom.
    #[serde(default)]
    pub welded: Option<Welding>,
}

/// Which parts a joint joins, and where.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Joins {
    /// The part that ends here: branch or stem.
    pub part: String,
    /// The part it stands on.
    pub onto: String,
    /// Node of the joint: an end of `part`.
    pub at: String,
}

/// Sizes of a cope whose tubes are not drawn.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CopeTubes {
    /// Outside diameter of the tube that ends here.
    pub branch: Length,
    /// Outside diameter of the tube it stands on.
    pub main: Length,
    /// Acute angle between them.
    pub angle: Angle,
    /// The main's axis beside the branch's.
    #[serde(default)]
    pub offset: Length,
}

/// Edges of a butt before welding.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Edges {
    /// Square.
    #[default]
    Square,
    /// Both bevelled.
    Vee {
        /// Bevel of each side.
        bevel: Angle,
        /// Root face.
        face: Length,
    },
    /// One side bevelled.
    Bevel {
        /// Its bevel.
        bevel: Angle,
        /// Root face.
        face: Length,
    },
}

/// Who welded a joint, and when.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Welding {
    /// Initials or name.
    #[serde(default)]
    pub who: String,
    /// Date and time.
    #[serde(default)]
    pub when: String,
}

impl Joint {
    /// A joint with nothing known but its name, kind and sizes.
    pub fn new(id: &str, label: &str, kind: JointKind, wall: Length, leg: Length) -> Self {
        Self {
            id: id.to_owned(),
            label: label.to_owned(),
            kind,
            wall,
            leg,
            held: Held::default(),
            passes: 1,
            process: Process::Mig,
            joins: None,
            tubes: None,
            length: None,
            base: None,
            edges: Edges::default(),
            gaps: Vec::new(),
            who: String::new(),
            when: String::new(),
            note: String::new(),
            welded: None,
        }
    }
}

fn mig() -> Process {
    Process::Mig
}

/// Most passes a joint may have.
pub const MAX_PASSES: u32 = 100;

fn one() -> u32 {
    1
}

/// One gap reading.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Gap {
    /// Clock position round the joint, in hours: 0 up to 12.
    pub clock: f64,
    /// Gap there.
    pub gap: Length,
}
