//! The dimension record: what each control dimension must be, what welding will do to it, what it was.

mod csv;
mod readings;
mod tables;

use build::{Build, Study};
use units::Shop;

use crate::error::SheetError;
use crate::layout::Composer;
use crate::page::Paper;
use crate::sheet::Sheet;
use crate::welding::facts::Facts;
use crate::welding::scene::{Scene, Tag};
use crate::welding::{note_lines, nothing, setup};

/// Title of the sheet.
pub(crate) const TITLE: &str = "Dimension record";
/// Common practice of the trade, no source.
const CAUTION: &str = "Measure cold to the hand, with the same tool at the same marks. Hot parts, sharp ends: gloves. \
Parts on stands, nothing leaning. A dimension that is out is brought back or cut and fitted again, never painted over. \
Structural welds: qualified people; the rule book decides on roll structures, not this program.";
/// Highest the drawing is made, mm.
const DRAWING: f64 = 76.0;

/// Composes the sheet of a build and what was derived from it. `date` is printed as given.
///
/// The assembly with the control dimensions lettered; what is wanted, drawn and predicted of each; a row for
/// every time it is measured, filled where it was. Without dimensions it says so.
///
/// # Errors
/// A head so long that no room is left under it.
pub fn dimension_record(
    build: &Build,
    study: &Study,
    shop: &Shop,
    paper: Paper,
    date: &str,
) -> Result<Sheet, SheetError> {
    let f = Facts::new(build, study, *shop);
    let mut sheet = Composer::new(setup(TITLE, build, study, shop, paper, date));
    let tags = f.weld.dimensions.iter().enumerate().filter_map(|(k, d)| {
        Some(Tag::Span {
            text: f.letter(k),
            ends: d.ends?,
        })
    });
    let scene = Scene::new(&f, tags.collect());
    if scene.is_empty() {
        nothing(
            &mut sheet,
            "Assembly",
            "No assembly is drawn: write down its nodes and the tubes between them.",
        )?;
    } else {
        scene.draw(
            &mut sheet,
            "Assembly",
            "letters: the dimensions below",
            DRAWING,
        )?;
    }
    if f.weld.dimensions.is_empty() {
        nothing(
            &mut sheet,
            "Dimensions",
            "No control dimension is entered: name the two nodes, what it must come out at and how far off it may be.",
        )?;
    } else {
        tables::wanted(&mut sheet, &f)?;
        readings::readings(&mut sheet, &f)?;
        tables::factors(&mut sheet, &f)?;
    }
    sheet.caution(CAUTION)?;
    note_lines(&mut sheet, 8)?;
    sheet.signs(&["measured by", "record complete, date", "checked by, date"])?;
    Ok(Sheet {
        document: sheet.finish(),
        table: csv::table(&f),
    })
}
