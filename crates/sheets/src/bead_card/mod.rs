//! The bead card: where correction beads go, how many before the next reading, room to write and plot.

mod card;
mod csv;
mod graph;
mod table;

use build::{Build, Stage, Study};
use units::Shop;

use crate::error::SheetError;
use crate::layout::Composer;
use crate::page::Paper;
use crate::sheet::Sheet;
use crate::welding::facts::Facts;
use crate::welding::words::{long, short};
use crate::welding::{boxed, setup};

/// Title of the sheet.
pub(crate) const TITLE: &str = "Bead card";

/// Composes the sheet of a build and what was derived from it. `date` is printed as given.
///
/// A card for every correction, each from a new page: target, place, the next beads, a row for each bead laid
/// and to come, a graph to plot on. A material that gets no bead has a card that says so and nothing to fill
/// in. A build without corrections has one page that says what to do.
///
/// # Errors
/// A head so long that no room is left under it.
pub fn bead_card(
    build: &Build,
    study: &Study,
    shop: &Shop,
    paper: Paper,
    date: &str,
) -> Result<Sheet, SheetError> {
    let f = Facts::new(build, study, *shop);
    let mut sheet = Composer::new(setup(TITLE, build, study, shop, paper, date));
    let cards = card::cards(&f);
    if cards.is_empty() {
        none(&mut sheet, &f)?;
    }
    for (k, card) in cards.iter().enumerate() {
        if k > 0 {
            sheet.page_break();
        }
        card::draw(&mut sheet, &f, card, (k + 1, cards.len()))?;
    }
    Ok(Sheet {
        document: sheet.finish(),
        table: csv::table(&f),
    })
}

/// The page of a build that has no corrections.
fn none(sheet: &mut Composer, f: &Facts<'_>) -> Result<(), SheetError> {
    if let (Err(why), false) = (&f.weld.record, f.build.weld_out.corrections.is_empty()) {
        let why = short(&why.show(&f.shop));
        return sheet.keep(|c| {
            let text = format!("The shop's record can not be read: {why}.");
            boxed(c, "NO PLAN", &text);
            Ok(())
        });
    }
    sheet.keep(|c| {
        boxed(
            c,
            "No correction beads are planned",
            "Nothing is to be laid and nothing to be filled in here.",
        );
        Ok(())
    })?;
    let out: Vec<String> = f
        .build
        .weld_out
        .dimensions
        .iter()
        .zip(&f.weld.dimensions)
        .enumerate()
        .filter_map(|(k, (d, s))| {
            let off = s.off(d)?;
            if f.verdict(k, off)? == "within" {
                return None;
            }
            let when = match s.now.as_ref().map(|(_, stage)| stage) {
                Some(Stage::Welded | Stage::Corrected) => "",
                _ => ", not all welded yet",
            };
            Some(format!(
                "{} {}, {}{when}",
                f.letter(k),
                short(&d.label),
                long(off, &f.shop)
            ))
        })
        .collect();
    let now = if f.weld.dimensions.is_empty() {
        "No control dimension is entered yet: the dimension record says what is missing.".to_owned()
    } else if out.is_empty() {
        "No measured dimension is past its tolerance.".to_owned()
    } else {
        format!("Past its tolerance now: {}.", out.join("; "))
    };
    sheet.section("What to do", "");
    sheet.paragraph(&now)?;
    for line in [
        "Finish welding in order, let it cool to the hand, measure the control dimensions.",
        "Where one is out: see first what holds it, a clamp, a tack, a part that stands on the floor.",
        "Mild steel only: enter a correction with the dimension, the tube and face the bead goes on, and the bead; \
         then print this card again.",
        "Any other material, or out by more than a few beads move: cut the joint and fit it again.",
    ] {
        sheet.paragraph(line)?;
    }
    sheet.caution(card::CAUTION)
}
