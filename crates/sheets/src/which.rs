//! The sheets there are.

use build::{Build, Study};
use units::Shop;

use crate::page::Paper;
use crate::sheet::Sheet;
use crate::{
    SheetError, bead_card, bracket_placement, build_summary, dimension_record, run_card, setting,
    weld_order,
};

/// A sheet for the bench.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Which {
    /// Where every hole goes, with true-size templates.
    #[default]
    BracketPlacement,
    /// How the car is set, what it should do, room for what it did.
    Setting,
    /// Which joint when, and when to measure.
    WeldOrder,
    /// What the control dimensions must be and were.
    DimensionRecord,
    /// Where correction beads go and what they did.
    BeadCard,
    /// The setting and the prediction beside four runs to write up.
    RunCard,
    /// The car, its phases, what is open.
    BuildSummary,
}

impl Which {
    /// Every sheet.
    pub const ALL: [Self; 7] = [
        Self::BracketPlacement,
        Self::Setting,
        Self::WeldOrder,
        Self::DimensionRecord,
        Self::BeadCard,
        Self::RunCard,
        Self::BuildSummary,
    ];

    /// What it is called.
    pub fn title(self) -> &'static str {
        match self {
            Self::BracketPlacement => "Bracket placement",
            Self::Setting => "Setting sheet",
            Self::WeldOrder => crate::weld_order::TITLE,
            Self::DimensionRecord => crate::dimension_record::TITLE,
            Self::BeadCard => crate::bead_card::TITLE,
            Self::RunCard => crate::run_card::TITLE,
            Self::BuildSummary => crate::build_summary::TITLE,
        }
    }

    /// Its name on a command line and in file names.
    pub fn id(self) -> &'static str {
        match self {
            Self::BracketPlacement => "bracket-placement",
            Self::Setting => "setting",
            Self::WeldOrder => "weld-order",
            Self::DimensionRecord => "dimension-record",
            Self::BeadCard => "bead-card",
            Self::RunCard => "run-card",
            Self::BuildSummary => "build-summary",
        }
    }

    /// Makes it; `date` is printed as given.
    ///
    /// # Errors
    /// As [`bracket_placement`], [`setting`], [`weld_order`], [`dimension_record`], [`bead_card`], [`run_card`] and
    /// [`build_summary`].
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
            Self::WeldOrder => weld_order(build, study, shop, paper, date),
            Self::DimensionRecord => dimension_record(build, study, shop, paper, date),
            Self::BeadCard => bead_card(build, study, shop, paper, date),
            Self::RunCard => run_card(build, study, shop, paper, date),
            Self::BuildSummary => build_summary(build, study, shop, paper, date),
        }
    }
}
