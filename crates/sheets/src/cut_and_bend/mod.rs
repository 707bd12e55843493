//! The cut and bend sheet: what to saw, where to bend, how each end is cut, tube by tube.

mod csv;
mod drawing;
mod tables;

use build::{Build, Study, TUBE_CAUTION, TubePart};
use units::Shop;

use crate::column::Column;
use crate::error::SheetError;
use crate::layout::Composer;
use crate::page::Paper;
use crate::sheet::Sheet;
use crate::tubework::{Facts, ends, setup};
use crate::welding::nothing;

/// Title of the sheet.
pub(crate) const TITLE: &str = "Cut and bend";
/// How to read the figures of a bent tube.
const READING: &str = "Clocks and turns: seen from end A looking toward B, clockwise, from the scribe line. Scribe \
line of a straight tube: its top as it sits in the car, an upright's front, struck from A to B; of a bent round \
tube: the inside of the bend nearest that end. The turn in a row is made before its bend, by whoever stands at \
the tail of the tube looking at the die; from end B take the rows from the bottom, and make the turn after \
that row's bend, the same way. Wall left outside: two published estimates.";
/// What a bend does that no program knows.
const OVAL: &str = "Ovality, largest less least diameter over the nominal, is measured, never predicted: bend a \
scrap, saw it through the bend, measure. Usual limits are a rule book's: check the current one.";

/// Composes the sheet of a build and what was derived from it. `date` is printed as given.
///
/// A block a tube, kept on one page where it fits; a tube that can not be made says why.
///
/// # Errors
/// A head so long that no room is left under it.
pub fn cut_and_bend(
    build: &Build,
    study: &Study,
    shop: &Shop,
    paper: Paper,
    date: &str,
) -> Result<Sheet, SheetError> {
    let f = Facts::new(build, study, *shop);
    let mut sheet = Composer::new(setup(TITLE, build, study, shop, paper, date));
    if build.assembly.tubes.is_empty() {
        nothing(
            &mut sheet,
            "No tubes yet",
            "No tube is drawn. Draw the assembly's nodes and the tubes between them, then print this sheet again.",
        )?;
        sheet.caution(TUBE_CAUTION)?;
    } else {
        sheet.caution(TUBE_CAUTION)?;
        sheet.note(READING)?;
        if f.parts().any(|(_, p)| !p.bends.is_empty()) {
            sheet.note(OVAL)?;
        }
        sheet.gap(2.0);
        let unmade = f.unmade();
        for tube in 0..build.assembly.tubes.len() {
            if let Some((_, why)) = unmade.iter().find(|(i, _)| *i == tube) {
                nothing(
                    &mut sheet,
                    &f.name(tube),
                    &format!("Can not be made: {why}."),
                )?;
            }
            let part = f.tubes.tubes.get(tube).and_then(|t| t.part.as_ref().ok());
            if let Some(part) = part {
                block(&mut sheet, &f, tube, part)?;
            }
        }
        sheet.signs(&["all sawn", "all bent", "checked by, date"])?;
    }
    Ok(Sheet {
        document: sheet.finish(),
        table: csv::table(&f),
    })
}

/// One tube.
fn block(
    sheet: &mut Composer,
    f: &Facts<'_>,
    tube: usize,
    part: &TubePart,
) -> Result<(), SheetError> {
    let Some(drawn) = f.build.assembly.tubes.get(tube) else {
        return Ok(());
    };
    let note = format!(
        "{} · {}",
        f.section(&drawn.section),
        f.material(&drawn.material)
    );
    let head = tables::head(f, part);
    let bends = (!part.bends.is_empty()).then(|| tables::bends(f, part));
    let views = drawing::Views::new(part);
    let build = |c: &mut Column| -> Result<(), SheetError> {
        c.heading(&f.name(tube), &note);
        c.table(&head)?;
        c.gap(1.0);
        for end in &part.ends {
            c.paragraph(&end_line(f, end));
        }
        if let Some(bends) = &bends {
            c.gap(1.6);
            c.table(bends)?;
            if let Some(why) = tables::not_set(part) {
                c.note(&why);
            }
            c.gap(1.0);
            c.draw(views.height(), |canvas| views.draw(canvas, f, part));
        }
        c.gap(1.0);
        Ok(())
    };
    let mut measure = Column::new(sheet.width());
    build(&mut measure)?;
    if measure.height() <= sheet.page_height() {
        return sheet.keep(build);
    }
    // More bends or words than a page holds.
    sheet.section(&f.name(tube), &note);
    sheet.table(&head)?;
    for end in &part.ends {
        sheet.paragraph(&end_line(f, end))?;
    }
    if let Some(bends) = &bends {
        sheet.table(bends)?;
        if let Some(why) = tables::not_set(part) {
            sheet.note(&why)?;
        }
        sheet.draw(views.height(), |canvas| views.draw(canvas, f, part))?;
    }
    Ok(())
}

fn end_line(f: &Facts<'_>, end: &build::EndStudy) -> String {
    format!(
        "{} at {}: {}",
        ends::letter(end.end),
        crate::welding::words::short(&end.node),
        ends::sentences(f, end).join(" ")
    )
}
