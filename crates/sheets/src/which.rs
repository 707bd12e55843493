//! The sheets there are.

use build::{Build, Study};
use units::Shop;

use crate::page::Paper;
use crate::sheet::Sheet;
use crate::{
    SheetError, alignment, bead_card, bracket_placement, build_summary, cope_wraps, cut_and_bend,
    cut_list, dimension_record, frame_report, run_card, setting, weld_order,
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
    /// The setting and the prediction beside four runs to write up.
    RunCard,
    /// The car, its phases, what is open.
    BuildSummary,
}

impl Which {
    /// Every sheet.
    pub const ALL: [Self; 12] = [
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
        Self::RunCard,
        Self::BuildSummary,
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
            Self::RunCard => crate::run_card::TITLE,
            Self::BuildSummary => crate::build_summary::TITLE,
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
            Self::RunCard => "run-card",
            Self::BuildSummary => "build-summary",
        }
    }

    /// Makes it; `date` is printed as given.
    ///
    /// # Errors
    /// As [`bracket_placement`], [`setting`], [`cut_and_bend`], [`cope_wraps`], [`cut_list`],
    /// [`frame_report`], [`weld_order`], [`dimension_record`], [`bead_card`], [`alignment()`], [`run_card`] and [`build_summary`].
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
            Self::RunCard => run_card(build, study, shop, paper, date),
            Self::BuildSummary => build_summary(build, study, shop, paper, date),
        }
    }
}
