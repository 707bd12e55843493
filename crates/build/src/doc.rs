//! The document: what a person measured, chose or ticked. Nothing computed lives here.

use serde::{Deserialize, Serialize};
use units::{Angle, Length, Mass, Quantity, Ratio};

use crate::{
    Assembly, Brakes, Car, Driveline, FitUp, FrameRail, FrameTest, FrontEnd, GapRule, Housing,
    MockUp, Phase, Power, Rear, RunData, TubeWork, WeldOut, Wheels, template,
};

/// Version of the file format this program writes. 2 added `power` and the links' `stock`, 3 the
/// `assembly`, `weld_out`, what a joint joins, and the launch `run`, 4 bends, `tube_work` and
/// `frame_test`, 5 the rolling chassis: `front_end`, `brakes`, `driveline`, `mock_up`.
pub const FORMAT_VERSION: u32 = 5;

/// A build.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Build {
    /// Format version.
    pub version: u32,
    /// What the car is called.
    pub name: String,
    /// Revision letter of the drawing.
    pub revision: String,
    /// Anything worth remembering.
    #[serde(default)]
    pub note: String,
    /// Weights and dimensions.
    pub car: Car,
    /// The frame rail.
    pub frame: FrameRail,
    /// Rear axle, links, brackets.
    pub rear: Rear,
    /// The car under power: since version 2.
    #[serde(default)]
    pub power: Power,
    /// Bands the builder wants readings in.
    #[serde(default)]
    pub targets: Vec<Target>,
    /// Tubes and plates: since version 3.
    #[serde(default)]
    pub assembly: Assembly,
    /// Joints and their gaps.
    pub fit_up: FitUp,
    /// Control dimensions, order, beads, gas: since version 3.
    #[serde(default)]
    pub weld_out: WeldOut,
    /// Dies, stock and saw: since version 4.
    #[serde(default)]
    pub tube_work: TubeWork,
    /// What the frame's stiffness is asked for: since version 4.
    #[serde(default)]
    pub frame_test: FrameTest,
    /// The launch run's inputs and the run log: since version 3.
    #[serde(default)]
    pub run: RunData,
    /// The front end: since version 5.
    #[serde(default)]
    pub front_end: Option<FrontEnd>,
    /// The brakes: since version 5.
    #[serde(default)]
    pub brakes: Option<Brakes>,
    /// What turns between gearbox and wheels: since version 5.
    #[serde(default)]
    pub driveline: Option<Driveline>,
    /// Wheels, housing and what they must clear: since version 5.
    #[serde(default)]
    pub mock_up: Option<MockUp>,
    /// The phases, in order.
    pub phases: Vec<Phase>,
}

/// The band a reading should be in.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Target {
    /// Reading id, such as `rear.anti_squat`.
    pub reading: String,
    /// Least.
    pub low: Quantity,
    /// Greatest.
    pub high: Quantity,
}

impl Build {
    /// A new build: dimensions to be replaced, no links, the whole phase template.
    pub fn empty(name: &str) -> Self {
        let inch = Length::from_inches;
        Self {
            version: FORMAT_VERSION,
            name: name.to_owned(),
            revision: "A".to_owned(),
            note: String::new(),
            car: Car {
                wheelbase: inch(108.0),
                mass: Mass::from_si(units::parse(units::Kind::Mass, "3000 lb").unwrap_or(1360.0)),
                rear_share: Ratio::from_si(0.5),
                cg_height: inch(20.0),
                rear_brake_share: Ratio::from_si(0.35),
                front: Wheels {
                    track: inch(58.0),
                    tyre_diameter: inch(26.0),
                    tyre_width: inch(7.0),
                    loaded_radius: inch(12.5),
                },
                rear: Wheels {
                    track: inch(56.0),
                    tyre_diameter: inch(29.0),
                    tyre_width: inch(12.0),
                    loaded_radius: inch(14.0),
                },
            },
            frame: FrameRail {
                offset: inch(15.0),
                width: inch(2.0),
                depth: inch(4.0),
                line: vec![(inch(-20.0), inch(9.0)), (inch(110.0), inch(9.0))],
            },
            rear: Rear {
                travel: inch(3.0),
                roll: Angle::from_degrees(3.0),
                housing: Housing {
                    tube_diameter: inch(3.0),
                    centre_diameter: inch(12.0),
                    width: inch(48.0),
                },
                placement_tolerance: inch(1.0 / 32.0),
                second_reference: None,
                brackets: Vec::new(),
                links: Vec::new(),
            },
            power: Power::default(),
            targets: Vec::new(),
            assembly: Assembly::default(),
            fit_up: FitUp {
                rule: GapRule::AwsD11,
                joints: Vec::new(),
            },
            weld_out: WeldOut::default(),
            tube_work: TubeWork::default(),
            frame_test: FrameTest::default(),
            run: RunData::default(),
            front_end: None,
            brakes: None,
            driveline: None,
            mock_up: None,
            phases: template::phases(),
        }
    }

    /// The phase with this id.
    pub fn phase(&self, id: &str) -> Option<&Phase> {
        self.phases.iter().find(|p| p.id == id)
    }

    /// The band wanted for a reading.
    pub fn target(&self, reading: &str) -> Option<&Target> {
        self.targets.iter().find(|t| t.reading == reading)
    }
}
