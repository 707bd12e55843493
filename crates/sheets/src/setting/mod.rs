//! The setting sheet: how the car is set, what it should do, and room to write what it did.

mod brackets;
mod csv;
pub(crate) mod facts;
mod run;
mod tables;
pub(crate) mod value;

use build::{Build, RearProblem, Study};
use units::Shop;

use crate::column::{Column, SIZE_BODY};
use crate::error::SheetError;
use crate::head::SheetSetup;
use crate::layout::Composer;
use crate::page::{Face, Ink, Paper};
use crate::parts::{knots, subtitle};
use crate::sheet::Sheet;
use facts::Setting;
use tables::Explained;

/// Title of the sheet.
const TITLE: &str = "Setting sheet";
/// Line at the foot of every page.
const FOOTER: &str =
    "Computed from the build file: a prediction, not a measurement. Not an approval.";
/// What must be right before anyone tries it; common practice of the trade, no source.
const CAUTION: &str = "Compressed springs: take the load off before you turn a seat or pull a bolt. \
Driveshaft loop fitted, bolts tight, stands and chocks until then. Test in a closed, safe place, part power first. \
The current rule book and licensed practice decide, not this program.";
/// The phase this sheet belongs to.
const PHASE: &str = "shake_down";
/// Line beside the title of the runs; common practice of the trade, no source.
const RUNS_NOTE: &str = "one change at a time, written down before the next run";

/// Composes the sheet of a build and what was derived from it. `date` is printed as given.
///
/// One page where everything fits on it with a place to write up one run; else what is set and predicted
/// comes first, and the rest of the last page is for as many runs as it holds, three at most. What has no
/// value is a dash, with the reason under it.
///
/// # Errors
/// A head so long that no room is left under it.
pub fn setting(
    build: &Build,
    study: &Study,
    shop: &Shop,
    paper: Paper,
    date: &str,
) -> Result<Sheet, SheetError> {
    let s = Setting::new(build, study, *shop);
    let setup = SheetSetup {
        paper,
        title: TITLE.into(),
        subtitle: subtitle(build, date, ""),
        knots: knots(study, PHASE),
        footer: FOOTER.into(),
    };
    let mut sheet = set_and_predicted(&s, &setup)?;
    runs(&mut sheet, &s)?;
    Ok(Sheet {
        document: sheet.finish(),
        table: csv::table(&s),
    })
}

/// Heights the plates are tried in, mm, the largest that costs no page is taken.
const PLATES: [f64; 8] = [64.0, 54.0, 46.0, 40.0, 34.0, 29.0, 25.0, 21.0];
/// Plates are not made lower than this to save a page, unless it leaves one page for everything, mm.
const LEAST_PLATE: f64 = 29.0;

/// The sheet up to the runs, with the plates as large as the pages allow.
fn set_and_predicted(s: &Setting<'_>, setup: &SheetSetup) -> Result<Composer, SheetError> {
    let make = |plate: f64| {
        let mut sheet = Composer::new(setup.clone());
        before_runs(&mut sheet, s, plate)?;
        Ok::<_, SheetError>(sheet)
    };
    let mut best: Option<(usize, usize, Composer)> = None;
    for plate in PLATES {
        let sheet = make(plate)?;
        // Where no run fits any more they get a page of their own.
        let (pages, runs) = match runs_that_fit(&sheet) {
            0 => (sheet.page_count() + 1, MOST_RUNS),
            runs => (sheet.page_count(), runs),
        };
        if pages == 1 {
            return Ok(sheet);
        }
        // Fewer pages first, then more runs on the last one, then larger plates.
        let better = best
            .as_ref()
            .is_none_or(|(p, r, _)| pages < *p || pages == *p && runs > *r);
        if better && (plate >= LEAST_PLATE || best.is_none()) {
            best = Some((pages, runs, sheet));
        }
    }
    match best {
        Some((.., sheet)) => Ok(sheet),
        None => make(LEAST_PLATE),
    }
}

fn before_runs(sheet: &mut Composer, s: &Setting<'_>, plate: f64) -> Result<(), SheetError> {
    sheet.draw(run::HEAD_HEIGHT, run::head)?;
    if let Some(text) = remark(s) {
        sheet.keep(|c| {
            c.styled(&text, SIZE_BODY, Face::Bold, Ink::Accent);
            Ok(())
        })?;
    }
    brackets::tiles(sheet, s, plate)?;
    let none = "none drawn yet";
    if s.rods.is_empty() {
        nothing(sheet, "Links", none)?;
    } else {
        sheet.section("Links", &tables::links_note(s));
        explained(sheet, &tables::links(s))?;
    }
    if s.coils.is_empty() {
        nothing(sheet, "Coil-overs", none)?;
    } else {
        sheet.section("Coil-overs", tables::COILS_NOTE);
        explained(sheet, &tables::coils(s))?;
    }
    sheet.section("Predicted", "squat, rise and pitch against the car at rest");
    explained(sheet, &tables::figures(s))?;
    explained(sheet, &tables::cases(s))?;
    if !s.loads.is_empty() {
        sheet.section("Link loads", &tables::loads_note(s));
        explained(sheet, &tables::loads(s))?;
    }
    Ok(())
}

/// What is wrong with the links as a whole, in words for the sheet.
fn remark(s: &Setting<'_>) -> Option<String> {
    match s.facts.study.rear.motion.as_ref().err()? {
        RearProblem::NoLinks => None,
        problem => Some(format!("Look at this first. {problem}.")),
    }
}

/// A title with nothing under it but why.
fn nothing(sheet: &mut Composer, title: &str, why: &str) -> Result<(), SheetError> {
    sheet.keep(|c| {
        c.heading(title, why);
        Ok(())
    })
}

/// Tables of so many rows stay on one page.
const SHORT: usize = 12;

fn explained(sheet: &mut Composer, e: &Explained) -> Result<(), SheetError> {
    if e.table.rows.len() <= SHORT {
        let mut block = Column::new(sheet.width());
        block.table(&e.table)?;
        if block.height() < 0.5 * sheet.page_height() {
            sheet.keep(|c| c.table(&e.table))?;
        } else {
            sheet.table(&e.table)?;
        }
    } else {
        sheet.table(&e.table)?;
    }
    for line in &e.reasons {
        sheet.note(line)?;
    }
    if !e.reasons.is_empty() {
        sheet.gap(2.0);
    }
    Ok(())
}

/// Room between blocks with some to spare, mm.
const BETWEEN: f64 = 4.2;
/// Lines for notes a card has at least.
const LEAST_NOTES: usize = 2;
/// Most runs on a sheet.
const MOST_RUNS: usize = 3;

fn caution_height(sheet: &Composer) -> f64 {
    let mut c = Column::new(sheet.width());
    c.caution(CAUTION);
    c.height()
}

/// Height of the title and the caution round the runs, mm.
fn round_runs(sheet: &Composer) -> f64 {
    let mut c = Column::new(sheet.width());
    c.heading("What happened", RUNS_NOTE);
    c.height() + caution_height(sheet) + BETWEEN
}

/// Height of so many runs with their title and the caution, mm.
fn runs_height(sheet: &Composer, count: usize) -> f64 {
    round_runs(sheet) + count as f64 * (run::height(LEAST_NOTES) + BETWEEN)
}

/// Runs the rest of the page holds.
fn runs_that_fit(sheet: &Composer) -> usize {
    (1..=MOST_RUNS)
        .rev()
        .find(|n| sheet.room() >= runs_height(sheet, *n))
        .unwrap_or(0)
}

/// As many cards as the page still holds, then the caution.
fn runs(sheet: &mut Composer, s: &Setting<'_>) -> Result<(), SheetError> {
    if runs_that_fit(sheet) == 0 {
        sheet.page_break();
    }
    let count = runs_that_fit(sheet).max(1);
    let each = (sheet.room() - round_runs(sheet)) / count as f64 - BETWEEN;
    let notes = run::notes_in(each);
    sheet.section("What happened", RUNS_NOTE);
    for _ in 0..count {
        sheet.draw(run::filled(each, notes), |c| run::card(c, &s.shop, notes))?;
    }
    sheet.caution(CAUTION)
}
