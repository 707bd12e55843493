//! The sheets there are.

use build::{Build, Study};
use units::Shop;

use crate::page::Paper;
use crate::sheet::Sheet;
use crate::{SheetError, bracket_placement, setting};

/// A sheet for the bench.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Which {
    /// Where every hole goes, with true-size templates.
    #[default]
    BracketPlacement,
    /// How the car is set, what it should do, room for what it did.
    Setting,
}

impl Which {
    /// Every sheet.
    pub const ALL: [Self; 2] = [Self::BracketPlacement, Self::Setting];

    /// What it is called.
    pub fn title(self) -> &'static str {
        match self {
            Self::BracketPlacement => "Bracket placement",
            Self::Setting => "Setting sheet",
        }
    }

    /// Makes it; `date` is printed as given.
    ///
    /// # Errors
    /// As [`bracket_placement`] and [`setting`].
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
        }
    }
}
