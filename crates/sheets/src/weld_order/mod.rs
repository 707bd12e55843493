//! The weld order: which joint when, what it does to the dimensions that count, when to measure.

mod csv;
mod supply;
mod tables;

use build::{Build, OrderStudy, Part, Severity, Study};
use units::Shop;

use crate::error::SheetError;
use crate::layout::Composer;
use crate::page::Paper;
use crate::sheet::Sheet;
use crate::welding::facts::Facts;
use crate::welding::scene::{Scene, Tag};
use crate::welding::words::short;
use crate::welding::{note_lines, nothing, setup};

/// Title of the sheet.
pub(crate) const TITLE: &str = "Weld order";
/// What must be right before anyone strikes an arc; common practice of the trade, no source.
pub(crate) const CAUTION: &str = "Eyes: helmet, and a screen for those near. Fumes: fan on; zinc, plating, paint and brake \
cleaner off first, they make poison. Fire watch with water or an extinguisher, and half an hour after the last \
arc. Cylinder chained upright. Closed tubes vented before they are welded shut. Battery off. \
Structural welds: qualified people only. The rule book decides on roll structures, not this program.";
/// Highest the drawing is made, mm.
const DRAWING: f64 = 84.0;
/// More remarks on joints than these are counted.
const MOST_REMARKS: usize = 8;

/// Composes the sheet of a build and what was derived from it. `date` is printed as given.
///
/// The assembly with its joints numbered in order, one row a joint with the drift after it, the joints that
/// are in the log but not drawn, filler, gas, cautions. Where nothing can be ordered it says what is missing.
///
/// # Errors
/// A head so long that no room is left under it.
pub fn weld_order(
    build: &Build,
    study: &Study,
    shop: &Shop,
    paper: Paper,
    date: &str,
) -> Result<Sheet, SheetError> {
    let f = Facts::new(build, study, *shop);
    let mut sheet = Composer::new(setup(TITLE, build, study, shop, paper, date));
    match &study.weld.order {
        Ok(order) if !order.joints.is_empty() => ordered(&mut sheet, &f, order)?,
        Ok(_) => {
            Scene::new(&f, Vec::new()).draw(&mut sheet, "Assembly", "", DRAWING)?;
            nothing(&mut sheet, "No order yet", &missing(build))?;
        }
        Err(why) => nothing(&mut sheet, "No order yet", &short(&why.show(shop)))?,
    }
    tables::not_drawn(&mut sheet, &f)?;
    supply::supply(&mut sheet, &f)?;
    sheet.caution(CAUTION)?;
    note_lines(&mut sheet, 6)?;
    sheet.signs(&[
        "all welded and cold",
        "dimensions measured",
        "checked by, date",
    ])?;
    Ok(Sheet {
        document: sheet.finish(),
        table: csv::table(&f),
    })
}

/// What is missing before there can be an order.
fn missing(build: &Build) -> String {
    let a = &build.assembly;
    let joined = build.fit_up.joints.iter().any(|j| j.joins.is_some());
    let what = if a.nodes.is_empty() {
        "No assembly is drawn: write down its nodes and the tubes between them, then name in each joint of the \
         fit-up log the two parts it joins and the node."
    } else if a.tubes.is_empty() {
        "The assembly has nodes and no tubes: draw the tubes between them, then name in each joint of the fit-up \
         log the two parts it joins."
    } else if build.fit_up.joints.is_empty() {
        "The fit-up log has no joints: enter each joint with the two parts it joins and the node."
    } else if !joined {
        "No joint of the fit-up log names the parts it joins: write part, part it stands on, and node."
    } else {
        "The joints name parts or nodes that are not there: correct them, part by part."
    };
    what.to_owned()
}

fn ordered(sheet: &mut Composer, f: &Facts<'_>, order: &OrderStudy) -> Result<(), SheetError> {
    let tags = order.joints.iter().enumerate().filter_map(|(k, place)| {
        let (joint, study) = f.joint(*place)?;
        let at = study.weld.as_ref().ok()?.place.as_ref()?.at;
        Some(Tag::Spot {
            text: (k + 1).to_string(),
            at,
            done: joint.welded.is_some(),
        })
    });
    let spans = order.dimensions.iter().filter_map(|d| {
        let ends = f.dimension(*d)?.ends?;
        Some(Tag::Span {
            text: f.letter(*d),
            ends,
        })
    });
    let tags = spans.chain(tags).collect();
    let note = "numbers: the order to weld in, tinted when welded · letters: dimensions";
    Scene::new(f, tags).draw(sheet, "Assembly", note, DRAWING)?;

    tables::order(sheet, f, order)?;
    tables::more_dimensions(sheet, f, order)?;
    remarks(sheet, f, order)
}

/// What is to be known about single joints.
fn remarks(sheet: &mut Composer, f: &Facts<'_>, order: &OrderStudy) -> Result<(), SheetError> {
    let ids: Vec<&str> = order
        .joints
        .iter()
        .filter_map(|p| Some(f.joint(*p)?.0.id.as_str()))
        .collect();
    let mine: Vec<String> = f
        .study
        .findings
        .iter()
        .filter(|x| x.severity != Severity::Remark)
        .filter(|x| matches!(&x.part, Part::Joint(id) if ids.contains(&id.as_str())))
        .map(|x| x.sentences(&f.shop))
        .collect();
    if mine.is_empty() {
        return Ok(());
    }
    sheet.section("Look out", "");
    for text in mine.iter().take(MOST_REMARKS) {
        sheet.paragraph(&short(text))?;
    }
    if mine.len() > MOST_REMARKS {
        sheet.note(&format!("and {} more", mine.len() - MOST_REMARKS))?;
    }
    sheet.gap(2.0);
    Ok(())
}
