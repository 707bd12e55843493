//! The run card: one page to fill in at the track, the setting and the prediction beside the blanks.

mod tables;

use build::{Build, Study};
use units::Shop;

use crate::error::SheetError;
use crate::head::SheetSetup;
use crate::layout::Composer;
use crate::page::Paper;
use crate::parts::{knots, subtitle};
use crate::setting::facts::Setting;
use crate::sheet::Sheet;

pub(crate) use tables::{SLIP, predicted};

/// Title of the sheet.
pub(crate) const TITLE: &str = "Run card";
/// Line at the foot of every page.
const FOOTER: &str =
    "Computed from the build file: the run is a model, not a promise. Not an approval.";
/// What must be right before anyone leaves the line; common practice of the trade, no source.
const CAUTION: &str = "Closed course only. Brakes proven first, part power before full power, one change at a time. \
Driving licence, insurance and the local code are the driver's own to check. A car that lifts its front wheels needs \
bars and a licensed inspector's eye. The current rule book decides, not this program.";
/// The phase this sheet belongs to.
const PHASE: &str = "shake_down";
/// Runs a card has room for.
pub(crate) const RUNS: usize = 4;

/// Composes the card of a build and what was derived from it. `date` is printed as given.
///
/// One page for a build of the usual size: links and coil-overs as set, what is predicted beside four runs to
/// write up, ticks for what was seen, cautions, notes. What has no value is a dash.
///
/// # Errors
/// A head so long that no room is left under it.
pub fn run_card(
    build: &Build,
    study: &Study,
    shop: &Shop,
    paper: Paper,
    date: &str,
) -> Result<Sheet, SheetError> {
    let s = Setting::new(build, study, *shop);
    let mut sheet = Composer::new(SheetSetup {
        paper,
        title: TITLE.into(),
        subtitle: subtitle(build, date, ""),
        knots: knots(study, PHASE),
        footer: FOOTER.into(),
    });
    sheet.table(&tables::where_and_who())?;
    let (links, coils) = (tables::links(&s), tables::coils(&s));
    sheet.section("As it is set", &tables::set_note(build, shop));
    if s.rods.is_empty() {
        sheet.note("no links are drawn yet")?;
    } else {
        sheet.table(&links)?;
    }
    if s.coils.is_empty() {
        sheet.note("no coil-overs are drawn yet")?;
    } else {
        sheet.table(&coils)?;
    }
    sheet.section("Four runs", &tables::slip_note(study, shop));
    sheet.table(&tables::runs(build, study, shop))?;
    sheet.caution(CAUTION)?;
    Ok(Sheet {
        document: sheet.finish(),
        table: tables::csv(&s),
    })
}
