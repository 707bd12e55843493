//! What the weld-out phase records: control dimensions, the weld order, coupons, correction beads,
//! arc settings, gas, and the shop's record of other builds.

use serde::{Deserialize, Serialize};
use units::{Count, Current, FeedSpeed, Flow, Length, Pressure, Ratio, Time, Voltage, Volume};
pub use weld::consumables::{GasFill, Process};
pub use weld::iso13920::ToleranceClass;

use crate::{Joint, TubeSection};

/// Everything about welding that is not a joint.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WeldOut {
    /// Distances that must come out right.
    #[serde(default)]
    pub dimensions: Vec<ControlDimension>,
    /// Joints in the order they are welded; those left out follow as proposed.
    #[serde(default)]
    pub order: Vec<String>,
    /// Scrap joints welded to learn from.
    #[serde(default)]
    pub coupons: Vec<Coupon>,
    /// Correction beads.
    #[serde(default)]
    pub corrections: Vec<Correction>,
    /// What was learned on other builds.
    #[serde(default)]
    pub past: Vec<PastReading>,
    /// How the shop welds, one row per process.
    #[serde(default)]
    pub arcs: Vec<ArcSetting>,
    /// The gas.
    #[serde(default)]
    pub gas: Gas,
    /// The numbers no source gives.
    #[serde(default)]
    pub choices: WeldChoices,
}

/// A distance that must come out right.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ControlDimension {
    /// Short name.
    pub id: String,
    /// What the shop calls it: "Towers, eye to eye".
    pub label: String,
    /// Node it starts from.
    pub from: String,
    /// Node it goes to.
    pub to: String,
    /// What it must come out at.
    pub want: Length,
    /// How far off it may be.
    pub tolerance: Limit,
    /// Nodes the way from one end to the other passes, in order; none: the shortest way.
    #[serde(default)]
    pub through: Vec<String>,
    /// What it is measured with.
    #[serde(default)]
    pub tool: Tool,
    /// What was measured, oldest first.
    #[serde(default)]
    pub readings: Vec<DimensionReading>,
    /// The change over welding counts in the shop's record.
    #[serde(default)]
    pub learn: bool,
    /// Why it no longer counts; it stays listed.
    #[serde(default)]
    pub void: Option<String>,
}

/// How far off a dimension may be.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Limit {
    /// Plus or minus this.
    Within(Length),
    /// A class of ISO 13920, by the nominal.
    Iso13920(ToleranceClass),
}

/// What a length is measured with; its error is one standard deviation of one reading.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Tool {
    /// A tape: 0.4 mm.
    #[default]
    Tape,
    /// A trammel or a stick with a vernier: 0.1 mm.
    Trammel,
    /// Known error.
    Error(Length),
}

/// When a dimension was measured.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Stage {
    /// Set up, before any tack.
    Set,
    /// Tacked.
    Tacked,
    /// After this joint.
    After(String),
    /// All welded and cold.
    Welded,
    /// After correction beads.
    Corrected,
}

/// One measurement of a control dimension.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DimensionReading {
    /// When in the welding.
    pub stage: Stage,
    /// What was read.
    pub value: Length,
    /// Who measured.
    #[serde(default)]
    pub who: String,
    /// Date and time.
    #[serde(default)]
    pub when: String,
    /// What was seen.
    #[serde(default)]
    pub note: String,
}

/// A scrap joint or bead, welded and measured.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Coupon {
    /// Short name.
    pub id: String,
    /// What it was.
    pub label: String,
    /// What was welded.
    pub test: CouponTest,
    /// Material: a row of the table or one of the build's own.
    pub material: String,
    /// Before: the distance over the joint, or the far end of the arm from a straight edge.
    pub before: Length,
    /// After, cold.
    #[serde(default)]
    pub after: Option<Length>,
    /// What it was measured with.
    #[serde(default)]
    pub tool: Tool,
    /// Who.
    #[serde(default)]
    pub who: String,
    /// When.
    #[serde(default)]
    pub when: String,
    /// It counts in the shop's record.
    #[serde(default)]
    pub learn: bool,
    /// Why it no longer counts.
    #[serde(default)]
    pub void: Option<String>,
}

/// What was welded on scrap.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[expect(
    clippy::large_enum_variant,
    reason = "a build has a handful of coupons"
)]
pub enum CouponTest {
    /// A joint: butt and lap measured across, tee and cope along the stem.
    Joint(Joint),
    /// One bead on a tube: the far end of an arm moves.
    Bead {
        /// The tube.
        section: TubeSection,
        /// The bead.
        bead: Bead,
        /// From the bead to where the movement is measured.
        arm: Length,
    },
}

/// One correction bead.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Bead {
    /// Along the tube, or across it.
    pub lie: Lie,
    /// Leg of a fillet with the same metal.
    pub leg: Length,
    /// Length of the bead.
    pub length: Length,
}

/// How a bead lies on its tube.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum Lie {
    /// A stringer across the tube, round part of its girth.
    #[default]
    Across,
    /// Along the tube.
    Along,
}

/// Correction beads for one control dimension.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Correction {
    /// Short name.
    pub id: String,
    /// The control dimension brought back.
    pub dimension: String,
    /// One member, or two taken in turn.
    pub sites: Vec<BeadSite>,
    /// The bead.
    pub bead: Bead,
    /// Chance of passing the tolerance that is accepted for the whole job.
    #[serde(default = "five_per_cent")]
    pub chance: Ratio,
    /// Measured before the first bead.
    pub start: Length,
    /// What was laid and measured, oldest first.
    #[serde(default)]
    pub laid: Vec<BeadReading>,
    /// Who measured first.
    #[serde(default)]
    pub who: String,
    /// When.
    #[serde(default)]
    pub when: String,
}

fn five_per_cent() -> Ratio {
    Ratio::from_si(0.05)
}

/// Where beads go.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BeadSite {
    /// The tube.
    pub tube: String,
    /// From its end A.
    pub at: Length,
    /// The face they are laid on.
    pub face: Face,
    /// How far this side is out of square, either sign; the further one goes first.
    #[serde(default)]
    pub out_of_square: Length,
}

/// A face of a tube, by where it looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Face {
    /// Forward.
    Front,
    /// Rearward.
    Back,
    /// Left.
    Left,
    /// Right.
    Right,
    /// Up.
    Top,
    /// Down.
    Bottom,
}

impl Face {
    /// All six.
    pub const ALL: [Self; 6] = [
        Self::Front,
        Self::Back,
        Self::Left,
        Self::Right,
        Self::Top,
        Self::Bottom,
    ];

    /// Where it looks: x forward, y left, z up.
    pub const fn direction(self) -> [f64; 3] {
        match self {
            Self::Front => [1.0, 0.0, 0.0],
            Self::Back => [-1.0, 0.0, 0.0],
            Self::Left => [0.0, 1.0, 0.0],
            Self::Right => [0.0, -1.0, 0.0],
            Self::Top => [0.0, 0.0, 1.0],
            Self::Bottom => [0.0, 0.0, -1.0],
        }
    }

    /// The face across.
    pub const fn opposite(self) -> Self {
        match self {
            Self::Front => Self::Back,
            Self::Back => Self::Front,
            Self::Left => Self::Right,
            Self::Right => Self::Left,
            Self::Top => Self::Bottom,
            Self::Bottom => Self::Top,
        }
    }

    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Front => "front",
            Self::Back => "back",
            Self::Left => "left",
            Self::Right => "right",
            Self::Top => "top",
            Self::Bottom => "bottom",
        }
    }
}

/// Beads laid, and the dimension once cold.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BeadReading {
    /// How many.
    pub beads: u32,
    /// On which tube.
    pub on: String,
    /// The dimension, cold.
    pub value: Length,
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

/// A measured change of another build.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PastReading {
    /// Build and dimension.
    pub label: String,
    /// When.
    #[serde(default)]
    pub when: String,
    /// What was predicted for each kind of weld before any factor.
    pub pulls: Vec<PastPull>,
    /// Standard deviation of what has nothing to do with the kind.
    pub scatter: Length,
    /// What was measured, after less before.
    pub change: Length,
    /// Error of one reading, one standard deviation.
    pub error: Length,
    /// Why it no longer counts.
    #[serde(default)]
    pub void: Option<String>,
}

/// The part of a prediction that one kind of weld has.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PastPull {
    /// The kind.
    pub kind: PullKind,
    /// Thinner than any formula was made for.
    pub thin: bool,
    /// Its change of the dimension.
    pub change: Length,
}

/// Kind of weld that has a factor of its own.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum PullKind {
    /// Butt welds.
    Butt,
    /// Tees.
    Tee,
    /// Laps.
    Lap,
    /// Coped tubes.
    Cope,
    /// Kinks from welds and beads beside a tube's middle.
    Kink,
}

/// How the shop welds with one process.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ArcSetting {
    /// The process.
    pub process: Process,
    /// Arc voltage.
    pub voltage: Voltage,
    /// Current.
    pub current: Current,
    /// Travel speed.
    pub travel: FeedSpeed,
    /// Diameter of wire or rod.
    pub wire: Length,
    /// Wire feed; left out: the arc time follows from travel.
    #[serde(default)]
    pub feed: Option<FeedSpeed>,
    /// Length of a rod; left out: wire.
    #[serde(default)]
    pub rod: Option<Length>,
}

/// Gas and its cylinder.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Gas {
    /// Flow; zero without gas.
    pub flow: Flow,
    /// Flow before the arc, each start.
    pub pre_flow: Time,
    /// Flow after it.
    pub post_flow: Time,
    /// Starts for each weld pass of a joint.
    pub starts: Count,
    /// Hose from valve to torch valve.
    pub hose_length: Length,
    /// Its bore.
    pub hose_bore: Length,
    /// Gauge pressure it builds up to between starts.
    pub hose_pressure: Pressure,
    /// Water volume of the cylinder; zero without one.
    pub cylinder: Volume,
    /// Gauge pressure in it now.
    pub pressure: Pressure,
    /// What is left in it at the end.
    pub keep: Pressure,
    /// What is in it.
    pub fill: GasFill,
}

impl Default for Gas {
    /// MIG on an argon mix: 35 ft³/h, a 12.5 ft hose of 1/4 in bore at 50 psi (common practice,
    /// no source); no cylinder.
    fn default() -> Self {
        let psi = |p: f64| Pressure::from_si(p * 6_894.757_293_168);
        Self {
            flow: Flow::from_si(35.0 * 0.3048_f64.powi(3) / 3600.0),
            pre_flow: Time::from_si(0.5),
            post_flow: Time::from_si(1.0),
            starts: Count::from_si(4.0),
            hose_length: Length::from_inches(150.0),
            hose_bore: Length::from_inches(0.25),
            hose_pressure: psi(50.0),
            cylinder: Volume::from_si(0.0),
            pressure: psi(0.0),
            keep: psi(200.0),
            fill: GasFill::Argon,
        }
    }
}

/// The numbers behind metal, shrinkage and learning that no source gives.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WeldChoices {
    /// Wall from which the published formulas are taken to hold.
    pub thick: Length,
    /// A band outside every range is widened by this both ways.
    pub widening: Count,
    /// Crown of a fillet over its face width.
    pub crown: Ratio,
    /// Depth an open gap fills, over the stem wall.
    pub gap_depth: Ratio,
    /// Height of a butt's cap.
    pub cap: Length,
    /// Spread of a kind's factor before anything is measured.
    pub spread: Ratio,
    /// Spread of one joint against others of its kind.
    pub joint_scatter: Ratio,
    /// Spread of the movement per bead before the first is measured.
    pub bead_spread: Ratio,
    /// Spread from bead to bead.
    pub bead_scatter: Ratio,
}

impl Default for WeldChoices {
    fn default() -> Self {
        let metal = weld::Choices::DEFAULT;
        Self {
            thick: Length::from_si(metal.thick),
            widening: Count::from_si(metal.widening),
            crown: Ratio::from_si(metal.convexity),
            gap_depth: Ratio::from_si(metal.gap_depth),
            cap: Length::from_si(metal.cap),
            spread: Ratio::from_si(0.35),
            joint_scatter: Ratio::from_si(0.20),
            bead_spread: Ratio::from_si(0.5),
            bead_scatter: Ratio::from_si(0.25),
        }
    }
}

impl WeldOut {
    /// The control dimension with this name.
    pub fn dimension(&self, id: &str) -> Option<&ControlDimension> {
        self.dimensions.iter().find(|x| x.id == id)
    }

    /// The correction with this name.
    pub fn correction(&self, id: &str) -> Option<&Correction> {
        self.corrections.iter().find(|x| x.id == id)
    }

    /// How the shop welds with a process, if it was entered.
    pub fn arc(&self, process: Process) -> Option<&ArcSetting> {
        self.arcs.iter().find(|x| x.process == process)
    }
}
