//! The frame report: how stiff, where soft, which tube earns its weight, what each bears under power.

mod csv;
mod curve;
mod power;
mod tables;

use build::{Build, FRAME_CAUTION, RearHold, Study};
use units::{Kind, Shop};

use crate::error::SheetError;
use crate::layout::Composer;
use crate::page::Paper;
use crate::sheet::Sheet;
use crate::tubework::{Facts, setup};
use crate::welding::{boxed, nothing, words::short};

/// Title of the sheet.
pub(crate) const TITLE: &str = "Frame report";
/// What the reader must know before believing a number here.
const CAUTION: &str = "No crash, roll-over or fatigue strength follows from these numbers. The current rule book decides \
roll structures. A twist rig stores energy: chain the frame, stand clear of the lever.";

/// Composes the sheet of a build and what was derived from it. `date` is printed as given.
///
/// Both tests, the twist curve, every tube ranked, braces, the launch case, what was assumed. Where a test has no
/// answer it says why.
///
/// # Errors
/// A head so long that no room is left under it.
pub fn frame_report(
    build: &Build,
    study: &Study,
    shop: &Shop,
    paper: Paper,
    date: &str,
) -> Result<Sheet, SheetError> {
    let f = Facts::new(build, study, *shop);
    let mut sheet = Composer::new(setup(TITLE, build, study, shop, paper, date));
    let frame = &study.frame;
    sheet.caution(&format!("{FRAME_CAUTION} {CAUTION}"))?;
    if let Err(why) = &frame.shape {
        nothing(
            &mut sheet,
            "No frame yet",
            &format!("Nothing to test: {}.", short(why)),
        )?;
    } else {
        sheet.keep(|c| {
            boxed(c, &headline(&f), &second_line(&f));
            Ok(())
        })?;
        sheet.section("Tests", "");
        sheet.table(&tables::readings(&f))?;
        measured(&mut sheet, &f)?;
        curve::section(&mut sheet, &f)?;
        tables::ranked(&mut sheet, &f)?;
        tables::braces(&mut sheet, &f)?;
        power::section(&mut sheet, &f)?;
        assumed(&mut sheet, &f)?;
        sheet.signs(&["read by", "date"])?;
    }
    Ok(Sheet {
        document: sheet.finish(),
        table: csv::table(&f),
    })
}

/// Stiffness per angle as the shop reads it.
pub(super) fn stiffness(f: &Facts<'_>, si: f64) -> String {
    units::format(Kind::RollStiffness, si, &f.shop)
}

fn headline(f: &Facts<'_>) -> String {
    match &f.study.frame.twist {
        Ok(t) => format!("Twist {}", stiffness(f, f.study.frame.shown(t.stiffness))),
        Err(_) => "No twist stiffness".into(),
    }
}

fn second_line(f: &Facts<'_>) -> String {
    let frame = &f.study.frame;
    match &frame.twist {
        Err(why) => format!("{}.", short(why)),
        Ok(t) => {
            let hold = match t.hold {
                RearHold::Determinate => "rear held at three points, free of strain",
                RearHold::Clamped => "REAR CLAMPED in all six ways: another, stiffer test",
            };
            let by = match frame.factor {
                Some(k) if frame.corrected => {
                    format!(" Corrected by the measured twist test, {k:.2} times the prediction.")
                }
                _ => " A prediction, not a measurement.".to_owned(),
            };
            format!("{hold}.{by}")
        }
    }
}

/// Twist tests of the real frame.
fn measured(sheet: &mut Composer, f: &Facts<'_>) -> Result<(), SheetError> {
    let frame = &f.study.frame;
    if frame.measured.is_empty() {
        return sheet.note("No twist test of the real frame is in the record yet.");
    }
    sheet.section("Measured", "measured over predicted is the frame's factor");
    sheet.table(&tables::measured(f))
}

/// What the numbers stand on.
fn assumed(sheet: &mut Composer, f: &Facts<'_>) -> Result<(), SheetError> {
    let test = &f.build.frame_test;
    let mut said = vec![
        "Linear elastic space frame on the tubes' centrelines, small movements; joints rigid, neither softened by \
         their tube walls nor stiffened by their size."
            .to_owned(),
        if test.shear {
            "Shear of the tubes counted.".to_owned()
        } else {
            "Shear of the tubes NOT counted: the frame reads too stiff.".to_owned()
        },
        if test.soft_bends {
            "Bends of round tube softer than straights, as they oval.".to_owned()
        } else {
            "Bends as stiff as straights: a bent frame reads too stiff.".to_owned()
        },
        "Steel as the materials say, nominal walls. Panels, floors and bolted parts add nothing unless drawn as tubes."
            .to_owned(),
    ];
    if let Ok(s) = &f.study.frame.shape {
        said.push(format!(
            "{} members between {} points, {}.",
            s.frame.members.len(),
            s.frame.nodes.len(),
            f.mass(s.mass())
        ));
    }
    said.push(
        "Out of range: yielding, large movements, buckling of the whole frame, crash, fatigue, heat of the welds; weld \
         and bracket stress are not in the reserves."
            .into(),
    );
    sheet.section("What was assumed", "");
    sheet.paragraph(&said.join(" "))
}
