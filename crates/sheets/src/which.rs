//! The sheets there are.

use build::{Build, Study};
use units::Shop;

use crate::page::Paper;
use crate::sheet::Sheet;
use crate::{
    SheetError, alignment, bead_card, bracket_placement, brake_circuit, build_book, build_summary,
    cope_wraps, cut_and_bend, cut_list, dimension_record, driveline_sheet, frame_report,
    housing_order, run_card, setting, weld_order,
};

/// A sheet for the bench.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Which {
    /// Where every hole goes, with true-size templates.
    #[default]
    BracketPlacement,
    /// How the car is set, what it should do, room for what it did.
    Setting,
    /// What to saw, where to bend, how each end is cut.
    CutAndBend,
    /// True-size wraps of every coped end.
    CopeWraps,
    /// Which piece comes out of which bar.
    CutList,
    /// How stiff the frame is and what it bears.
    FrameReport,
    /// Which joint when, and when to measure.
    WeldOrder,
    /// What the control dimensions must be and were.
    DimensionRecord,
    /// Where correction beads go and what they did.
    BeadCard,
    /// What to set at the front, what a turn does, room for what was measured.
    Alignment,
    /// Every part of the brakes in its line.
    BrakeCircuit,
    /// Angles, shaft, slip, loop and gearing.
    Driveline,
    /// The setting and the prediction beside four runs to write up.
    RunCard,
    /// What to measure and order so that the rear wheels stand where they are drawn.
    HousingOrder,
    /// The car, its phases, what is open.
    BuildSummary,
    /// Every phase with its record and its sheets.
    BuildBook,
}

impl Which {
    /// Every sheet.
    pub const ALL: [Self; 16] = [
        Self::BracketPlacement,
        Self::Setting,
        Self::CutAndBend,
        Self::CopeWraps,
        Self::CutList,
        Self::FrameReport,
        Self::WeldOrder,
        Self::DimensionRecord,
        Self::BeadCard,
        Self::Alignment,
        Self::BrakeCircuit,
        Self::Driveline,
        Self::RunCard,
        Self::HousingOrder,
        Self::BuildSummary,
        Self::BuildBook,
    ];

    /// What it is called.
    pub fn title(self) -> &'static str {
        match self {
            Self::BracketPlacement => "Bracket placement",
            Self::Setting => "Setting sheet",
            Self::CutAndBend => crate::cut_and_bend::TITLE,
            Self::CopeWraps => crate::cope_wraps::TITLE,
            Self::CutList => crate::cut_list::TITLE,
            Self::FrameReport => crate::frame_report::TITLE,
            Self::WeldOrder => crate::weld_order::TITLE,
            Self::DimensionRecord => crate::dimension_record::TITLE,
            Self::BeadCard => crate::bead_card::TITLE,
            Self::Alignment => crate::alignment::TITLE,
            Self::BrakeCircuit => crate::brake_circuit::TITLE,
            Self::Driveline => crate::driveline_sheet::TITLE,
            Self::RunCard => crate::run_card::TITLE,
            Self::HousingOrder => crate::housing_order::TITLE,
            Self::BuildSummary => crate::build_summary::TITLE,
            Self::BuildBook => crate::build_book::TITLE,
        }
    }

    /// Its name on a command line and in file names.
    pub fn id(self) -> &'static str {
        match self {
            Self::BracketPlacement => "bracket-placement",
            Self::Setting => "setting",
            Self::CutAndBend => "cut-and-bend",
            Self::CopeWraps => "cope-wraps",
            Self::CutList => "cut-list",
            Self::FrameReport => "frame-report",
            Self::WeldOrder => "weld-order",
            Self::DimensionRecord => "dimension-record",
            Self::BeadCard => "bead-card",
            Self::Alignment => "alignment-card",
            Self::BrakeCircuit => "brake-circuit",
            Self::Driveline => "driveline",
            Self::RunCard => "run-card",
            Self::HousingOrder => "housing-order",
            Self::BuildSummary => "build-summary",
            Self::BuildBook => "build-book",
        }
    }

    /// The phase whose chapter of the build book it stands in; none for the summary and the book itself.
    pub fn phase(self) -> Option<&'static str> {
        Some(match self {
            Self::BracketPlacement | Self::Setting => "rear_links",
            Self::CutAndBend | Self::CopeWraps | Self::CutList | Self::FrameReport => "tube_work",
            Self::WeldOrder | Self::DimensionRecord | Self::BeadCard => "weld_out",
            Self::RunCard => "shake_down",
            Self::HousingOrder => "mock_up",
            Self::Alignment => "front_end",
            Self::BrakeCircuit => "plumbing",
            Self::Driveline => "driveline",
            Self::BuildSummary | Self::BuildBook => return None,
        })
    }

    /// Why it has nothing to say of this build; none where it has.
    pub fn missing(self, build: &Build, study: &Study) -> Option<&'static str> {
        let (missing, why) = match self {
            Self::BracketPlacement | Self::Setting => {
                (build.rear.links.is_empty(), "no links are drawn")
            }
            Self::CutAndBend | Self::CopeWraps | Self::CutList | Self::FrameReport => {
                (build.assembly.tubes.is_empty(), "no tubes are drawn")
            }
            Self::WeldOrder => (build.fit_up.joints.is_empty(), "no joints are logged"),
            Self::DimensionRecord | Self::BeadCard => (
                build.weld_out.dimensions.is_empty(),
                "no control dimensions are entered",
            ),
            Self::RunCard => (build.run.torque.len() < 2, "no torque curve is entered"),
            Self::HousingOrder => (study.clearance.is_none(), "nothing is mocked up"),
            Self::Alignment => (study.front.is_none(), "no front end is drawn"),
            Self::BrakeCircuit => (study.brakes.is_none(), "no brakes are laid out"),
            Self::Driveline => (
                build.power.driveshaft.is_none() && study.driveline.is_none(),
                "no driveshaft is drawn",
            ),
            Self::BuildSummary | Self::BuildBook => (false, ""),
        };
        missing.then_some(why)
    }

    /// Makes it; `date` is printed as given.
    ///
    /// # Errors
    /// As [`bracket_placement`], [`setting`], [`cut_and_bend`], [`cope_wraps`], [`cut_list`],
    /// [`frame_report`], [`weld_order`], [`dimension_record`], [`bead_card`], [`alignment()`], [`brake_circuit`], [`driveline_sheet`], [`run_card`], [`housing_order`],
    /// [`build_summary`] and [`build_book`].
    pub fn make(
        self,
        build: &Build,
        study: &Study,
        shop: &Shop,
        paper: Paper,
        date: &str,
    ) -> Result<Sheet, SheetError> {
        match self {
            Self::BracketPlacement => bracket_placement(build, study, shop, paper, date),
            Self::Setting => setting(build, study, shop, paper, date),
            Self::CutAndBend => cut_and_bend(build, study, shop, paper, date),
            Self::CopeWraps => cope_wraps(build, study, shop, paper, date),
            Self::CutList => cut_list(build, study, shop, paper, date),
            Self::FrameReport => frame_report(build, study, shop, paper, date),
            Self::WeldOrder => weld_order(build, study, shop, paper, date),
            Self::DimensionRecord => dimension_record(build, study, shop, paper, date),
            Self::BeadCard => bead_card(build, study, shop, paper, date),
            Self::Alignment => alignment(build, study, shop, paper, date),
            Self::BrakeCircuit => brake_circuit(build, study, shop, paper, date),
            Self::Driveline => driveline_sheet(build, study, shop, paper, date),
            Self::RunCard => run_card(build, study, shop, paper, date),
            Self::HousingOrder => housing_order(build, study, shop, paper, date),
            Self::BuildSummary => build_summary(build, study, shop, paper, date),
            Self::BuildBook => build_book(build, study, shop, paper, date),
        }
    }
}
