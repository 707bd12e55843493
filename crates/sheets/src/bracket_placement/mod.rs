//! The bracket placement sheet: where every hole goes, how long every link is, and true-size hole templates.

mod csv;
pub(crate) mod drawing;
mod holes;
mod links;
mod plan;
mod side;
mod template;
mod ticks;

use build::{Build, Misplaced, PlacementStudy, RearProblem, Study};
use units::Shop;

use crate::column::{Column, SIZE_BODY};
use crate::error::SheetError;
use crate::head::SheetSetup;
use crate::layout::Composer;
use crate::page::{Face, Ink, Paper};
use crate::parts::facts::Facts;
use crate::parts::{knots, subtitle};
use crate::sheet::Sheet;

/// Title of the sheet.
const TITLE: &str = "Bracket placement";
/// Line at the foot of every page.
const FOOTER: &str = "Computed from the build file; measure before you cut. Not an approval.";
/// What must be right before the first bead; common practice of the trade, no source.
const CAUTION: &str = "Before you weld: diagonals equal, axle square to the line, both sides from one datum. \
Car on stands, wheels chocked. Structural welds: a qualified welder, the current rule book, local codes.";
/// The phase this sheet belongs to.
const PHASE: &str = "rear_links";

/// Composes the sheet of a build and what was derived from it. `date` is printed as given.
///
/// What cannot be placed does not stop the sheet: it says so where the thing would stand.
///
/// # Errors
/// A head so long that no room is left under it.
pub fn bracket_placement(
    build: &Build,
    study: &Study,
    shop: &Shop,
    paper: Paper,
    date: &str,
) -> Result<Sheet, SheetError> {
    let facts = Facts::new(build, study, *shop);
    let dimensions = format!(
        "all dimensions in {} from the datum, left side shown",
        facts.words.unit_in_full()
    );
    let mut sheet = Composer::new(SheetSetup {
        paper,
        title: TITLE.into(),
        subtitle: subtitle(build, date, &dimensions),
        knots: knots(study, PHASE),
        footer: FOOTER.into(),
    });
    if facts.pieces.is_empty() {
        nothing_yet(&mut sheet)?;
    } else {
        placing(&mut sheet, &facts, shop)?;
        setting(&mut sheet, &facts)?;
        template::pages(&mut sheet, &facts)?;
    }
    Ok(Sheet {
        document: sheet.finish(),
        table: csv::table(&facts),
    })
}

fn nothing_yet(sheet: &mut Composer) -> Result<(), SheetError> {
    sheet.section("No brackets yet", "");
    sheet.paragraph(
        "This build has no brackets, so there is nothing to place. Add brackets and links in the \
         rear links phase, then print this sheet again.",
    )?;
    sheet.caution(CAUTION)
}

/// What is wrong with the links as a whole, in words for the sheet.
fn remark(facts: &Facts<'_>) -> Option<String> {
    let problem = facts.study.rear.motion.as_ref().err()?;
    let what = match problem {
        RearProblem::NoLinks => "No links are drawn yet; only the brackets are shown".to_owned(),
        RearProblem::LinkEnd { .. } => format!("{problem}. That link is left out here"),
        RearProblem::Axle(_) => {
            format!("The axle does not move on these links: {problem}. Parts are shown as drawn")
        }
    };
    Some(format!("Look at this first. {what}."))
}

/// Height a block would take, mm.
fn height_of(
    sheet: &Composer,
    build: impl FnOnce(&mut Column) -> Result<(), SheetError>,
) -> Result<f64, SheetError> {
    let mut c = Column::new(sheet.width());
    build(&mut c)?;
    Ok(c.height())
}

/// Head of [`matters`].
const MATTERS: &str = "Set these most carefully";

/// The three coordinates that move anti-squat most, in words; `None` where there is no answer.
fn matters(facts: &Facts<'_>, shop: &Shop) -> Option<String> {
    let study = PlacementStudy::new(facts.build, false).ok()?;
    let most = study.most(Misplaced::AntiSquat, 3);
    let said: Vec<String> = most
        .iter()
        .enumerate()
        .map(|(i, m)| {
            let words = study.sentence(facts.build, Misplaced::AntiSquat, m);
            format!("{}. {}", i + 1, words.show(shop))
        })
        .collect();
    (!said.is_empty()).then(|| said.join(". ") + ".")
}

/// Room between blocks with some to spare, mm.
const BETWEEN: f64 = 4.5;

/// The page carried to the car: side view, holes, caution, signatures.
fn placing(sheet: &mut Composer, facts: &Facts<'_>, shop: &Shop) -> Result<(), SheetError> {
    if let Some(text) = remark(facts) {
        sheet.keep(|c| {
            c.styled(&text, SIZE_BODY, Face::Bold, Ink::Accent);
            Ok(())
        })?;
    }
    let table = holes::table(facts);
    let holes_note = holes::note(facts);
    let signs = [
        "left side checked",
        "right side checked",
        "checked by, date",
    ];
    let title = height_of(sheet, |c| {
        c.heading("Side", &side::note(facts));
        Ok(())
    })?;
    let first = matters(facts, shop);
    let below = height_of(sheet, |c| {
        c.heading("Holes", &holes_note);
        c.table(&table)?;
        if let Some(text) = &first {
            c.gap(BETWEEN);
            c.heading(MATTERS, "");
            c.paragraph(text);
        }
        c.caution(CAUTION);
        c.signs(&signs);
        Ok(())
    })?;
    let most = side::best_height(sheet.width(), facts).min(112.0);
    let room = sheet.room() - title - below - 3.0 * BETWEEN;
    // With more holes than a page holds the table runs on, and the drawing takes its natural share.
    let height = if room >= 68.0 {
        room.min(most)
    } else {
        most.min(88.0)
    };
    sheet.section("Side", &side::note(facts));
    sheet.draw(height, |c| side::draw(c, facts))?;
    sheet.section("Holes", &holes_note);
    sheet.table(&table)?;
    if let Some(text) = &first {
        sheet.section(MATTERS, "");
        sheet.paragraph(text)?;
    }
    sheet.caution(CAUTION)?;
    sheet.signs(&signs)?;
    sheet.page_break();
    Ok(())
}

/// The page for the links: plan, lengths and angles, diagonals.
fn setting(sheet: &mut Composer, facts: &Facts<'_>) -> Result<(), SheetError> {
    let lengths = links::table(facts);
    let diagonals = links::diagonals(facts);
    let title = height_of(sheet, |c| {
        c.heading("Plan", &plan::note(facts));
        Ok(())
    })?;
    let below = height_of(sheet, |c| {
        c.heading("Links, eye to eye", links::NOTE);
        c.table(&lengths)?;
        if !diagonals.rows.is_empty() {
            c.gap(BETWEEN);
            c.heading("Diagonals, hole to hole", links::DIAGONALS_NOTE);
            c.table(&diagonals)?;
        }
        Ok(())
    })?;
    let most = plan::best_height(sheet.width(), facts).min(150.0);
    let room = sheet.room() - title - below - 3.0 * BETWEEN;
    let height = if room >= 68.0 {
        room.min(most)
    } else {
        most.min(110.0)
    };
    sheet.section("Plan", &plan::note(facts));
    sheet.draw(height, |c| plan::draw(c, facts))?;
    if lengths.rows.is_empty() {
        sheet.section("Links, eye to eye", "none drawn yet");
    } else {
        sheet.section("Links, eye to eye", links::NOTE);
        sheet.table(&lengths)?;
    }
    if !diagonals.rows.is_empty() {
        sheet.section("Diagonals, hole to hole", links::DIAGONALS_NOTE);
        sheet.table(&diagonals)?;
    }
    sheet.page_break();
    Ok(())
}
