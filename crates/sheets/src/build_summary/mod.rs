//! The build summary: the car, its goal, every phase, readings against their bands, what is open.

mod tables;

use build::{Build, Study};
use units::Shop;

use crate::error::SheetError;
use crate::head::SheetSetup;
use crate::layout::Composer;
use crate::page::Paper;
use crate::parts::{knots, subtitle};
use crate::sheet::Sheet;

/// Title of the sheet.
pub(crate) const TITLE: &str = "Build summary";
/// Line at the foot of every page.
const FOOTER: &str = "Computed from the build file and what was ticked in it: a prediction, not a measurement. Not an approval.";
/// What the sheet is not; common practice of the trade, no source.
const CAUTION: &str = "A summary for the shop, not an inspection. Structural welds and roll structures: qualified \
people and a licensed inspector. The current rule book and the local code decide, not this program.";

/// Composes the summary of a build and what was derived from it. `date` is printed as given.
///
/// Car and weights, goal and prediction, phases with their open hold points, findings worst first, readings
/// that have a band, lines to sign on.
///
/// # Errors
/// A head so long that no room is left under it.
pub fn build_summary(
    build: &Build,
    study: &Study,
    shop: &Shop,
    paper: Paper,
    date: &str,
) -> Result<Sheet, SheetError> {
    let mut sheet = Composer::new(SheetSetup {
        paper,
        title: TITLE.into(),
        subtitle: subtitle(build, date, ""),
        knots: knots(study, ""),
        footer: FOOTER.into(),
    });
    sheet.section("Car", "");
    sheet.table(&tables::grid(&tables::car(build, study, shop)))?;
    sheet.section("Goal and prediction", &tables::goal(study, shop));
    sheet.table(&tables::grid(&tables::slip(study, shop)))?;
    sheet.section("Phases", "passed of all checks · hold points still open");
    sheet.table(&tables::phases(build, study))?;
    sheet.section("Open findings", &tables::findings_note(study));
    if study.findings.is_empty() {
        sheet.note("none")?;
    } else {
        sheet.table(&tables::findings(study, shop))?;
    }
    let readings = tables::readings(study, shop);
    sheet.section("Readings with a band", "those outside it are bold");
    if readings.rows.is_empty() {
        sheet.note("no band is set and has a value")?;
    } else {
        sheet.table(&readings)?;
    }
    sheet.caution(CAUTION)?;
    sheet.signs(&["builder", "checked by", "date"])?;
    Ok(Sheet {
        document: sheet.finish(),
        table: tables::csv(build, study, shop),
    })
}
