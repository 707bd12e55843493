//! Housing and axle order: what to measure and order so that the rear wheels stand where they are drawn.

mod drawing;

use build::{Build, CLEARANCE_CAUTION, ClearanceStudy, Fit, Study};
use units::{Kind, Shop};
use vehicle::packaging::HousingOrder;

use crate::chassis::{DEFER, csv, open, remarks, to_measure};
use crate::error::SheetError;
use crate::layout::Composer;
use crate::page::Paper;
use crate::sheet::Sheet;
use crate::table::{Cell, Col, Row, Table};
use crate::welding::nothing;

/// Title of the sheet.
pub(crate) const TITLE: &str = "Housing and axle order";
const READINGS: &[&str] = &["clearance."];
/// Height of the drawing, mm.
const DRAWING: f64 = 62.0;

/// Composes the sheet of a build and what was derived from it. `date` is printed as given.
///
/// The widths along the axle drawn and summed, what to order, gaps, notch and bump stop. Where nothing is
/// mocked up it says so.
///
/// # Errors
/// A head so long that no room is left under it.
pub fn housing_order(
    build: &Build,
    study: &Study,
    shop: &Shop,
    paper: Paper,
    date: &str,
) -> Result<Sheet, SheetError> {
    let mut sheet = open(TITLE, "mock_up", build, study, paper, date);
    sheet.caution(&format!("{CLEARANCE_CAUTION} {DEFER}"))?;
    match study.clearance.as_deref() {
        None => nothing(
            &mut sheet,
            "Nothing is mocked up yet",
            "Enter wheel, tyre and housing in the mock-up phase first.",
        )?,
        Some(s) => body(&mut sheet, build, study, shop, s)?,
    }
    sheet.signs(&["measured by", "ordered by", "date"])?;
    Ok(Sheet {
        document: sheet.finish(),
        table: csv(study, shop, READINGS),
    })
}

fn body(
    sheet: &mut Composer,
    build: &Build,
    study: &Study,
    shop: &Shop,
    s: &ClearanceStudy,
) -> Result<(), SheetError> {
    let len = |v: f64| units::format(Kind::Length, v, shop);
    match &s.order {
        Err(why) => sheet.note(&format!("Nothing to order: {why}."))?,
        Ok(order) => {
            sheet.section("Along the axle", "seen from behind, not to scale across");
            sheet.draw(DRAWING, |c| drawing::axle(c, order, &len))?;
            sheet.section("To order", "write down what the parts in hand measure");
            sheet.table(&to_measure(
                &rows(build, s, order, &len),
                &["measured", "ordered"],
            ))?;
            sums(sheet, build, s, order, &len)?;
        }
    }
    if let Ok(fit) = &s.fit {
        gaps(sheet, fit, &len)?;
        stops(sheet, fit, &len)?;
    }
    remarks(sheet, study, shop, &["mock_up", "body ", "rear.housing"])
}

fn rows(
    build: &Build,
    s: &ClearanceStudy,
    order: &HousingOrder,
    len: &impl Fn(f64) -> String,
) -> Vec<(String, String)> {
    let mut out = vec![
        (
            "Housing, end face to end face".to_owned(),
            len(order.housing_end_width),
        ),
        (
            "Axle flanges, outer face to outer face".to_owned(),
            len(order.axle_flange_width),
        ),
        (
            "Wheel faces apart".to_owned(),
            len(order.mounting_face_width),
        ),
        (
            "Left axle shaft, flange face to spline end".to_owned(),
            len(order.left_shaft),
        ),
        (
            "Right axle shaft, flange face to spline end".to_owned(),
            len(order.right_shaft),
        ),
        ("Wheel backspacing".to_owned(), len(s.wheel.backspacing())),
        (
            "Wheel, over its flanges".to_owned(),
            len(s.wheel.overall_width()),
        ),
    ];
    let pinion = order.pinion_y;
    let side = if pinion < 0.0 { "right" } else { "left" };
    let off = if pinion == 0.0 {
        "on the centreline".to_owned()
    } else {
        format!("{} {side}", len(pinion.abs()))
    };
    out.push(("Pinion across the car".to_owned(), off));
    if let Some(Ok([left, right])) = &s.engaged {
        out.push(("Spline in the side gear, left".to_owned(), len(*left)));
        out.push(("Spline in the side gear, right".to_owned(), len(*right)));
    }
    if let Ok(t) = &s.tyre {
        out.push((
            "Tyre, section on this rim, in service".to_owned(),
            len(t.service_width),
        ));
        out.push((
            "Tyre, free diameter by its marking".to_owned(),
            len(t.diameter),
        ));
    }
    out.push((
        "Track, tyre centre to tyre centre".to_owned(),
        len(build.car.rear.track.si()),
    ));
    out
}

/// The sums that must close before anything is ordered.
fn sums(
    sheet: &mut Composer,
    build: &Build,
    s: &ClearanceStudy,
    order: &HousingOrder,
    len: &impl Fn(f64) -> String,
) -> Result<(), SheetError> {
    let Some(m) = &build.mock_up else {
        return Ok(());
    };
    let h = &m.housing;
    sheet.section("Sums that must close", "");
    sheet.paragraph(&format!(
        "Track {} + 2 × offset {} = wheel faces {}. Less 2 × hat or drum {} = flanges {}. Less 2 × brake stack {} = \
         housing {}. Left shaft {} + right shaft {} + gap {} = flanges {}.",
        len(build.car.rear.track.si()),
        len(s.wheel.offset),
        len(order.mounting_face_width),
        len(h.hat.si()),
        len(order.axle_flange_width),
        len(h.brake_stack.si()),
        len(order.housing_end_width),
        len(order.left_shaft),
        len(order.right_shaft),
        len(2.0 * h.half_gap.si()),
        len(order.axle_flange_width),
    ))
}

fn travel(at: f64, len: &impl Fn(f64) -> String) -> String {
    if at.abs() < 1e-6 {
        "ride".to_owned()
    } else if at < 0.0 {
        format!("{} droop", len(-at))
    } else {
        format!("{} bump", len(at))
    }
}

/// The tightest pairs and where the wheels stand then.
fn gaps(sheet: &mut Composer, fit: &Fit, len: &impl Fn(f64) -> String) -> Result<(), SheetError> {
    const MOST: usize = 10;
    sheet.section(
        "Gaps over travel",
        "tightest first, tyre grown as in service",
    );
    let mut t = Table::new([
        Col::left("between").share(1.0),
        Col::right("gap"),
        Col::left("left wheel"),
        Col::left("right wheel"),
        Col::left("measured").fixed(24.0),
    ]);
    for p in fit.pairs.iter().take(MOST) {
        let gap = p.gap().map_or_else(|| "run through".to_owned(), len);
        let bad = p.gap().is_none_or(|g| g < 0.0);
        let gap = if bad {
            Cell::new(gap).bold()
        } else {
            Cell::new(gap)
        };
        let at = &p.clearance.at;
        t.push(Row::new([
            Cell::new(p.label.clone()),
            gap,
            Cell::new(travel(at.left, len)),
            Cell::new(travel(at.right, len)),
            Cell::blank(),
        ]));
    }
    sheet.table(&t)
}

/// Notch and bump stop, both sides.
fn stops(sheet: &mut Composer, fit: &Fit, len: &impl Fn(f64) -> String) -> Result<(), SheetError> {
    sheet.section("Notch and bump stop", "bump travel of that side's wheel");
    for (side, notch) in ["Left", "Right"].into_iter().zip(&fit.notches) {
        if let Some(n) = notch {
            let words = match n.along {
                None => format!("{side} rail: no notch needed."),
                Some([from, to]) => format!(
                    "{side} rail: notch {} deep, {} long, {} of the rail left. Plate it before it carries weight.",
                    len(n.depth),
                    len(to - from),
                    len(n.left.max(0.0))
                ),
            };
            sheet.note(&words)?;
        }
    }
    let Some(Ok(stops)) = &fit.stops else {
        return sheet.note("No bump stops are drawn.");
    };
    let mut t = Table::new([
        Col::left("stop"),
        Col::left("axle"),
        Col::right("touches"),
        Col::right("solid"),
        Col::right("metal"),
        Col::left("measured").fixed(28.0),
    ]);
    let at = |v: Option<f64>| v.map_or_else(|| "not reached".to_owned(), len);
    for s in &stops.at {
        let side = match s.side {
            vehicle::packaging::Side::Left => "left",
            vehicle::packaging::Side::Right => "right",
        };
        let roll = if s.roll == 0.0 {
            "level".to_owned()
        } else {
            let up = if s.roll > 0.0 { "left" } else { "right" };
            format!("{up} wheel up {:.1}°", s.roll.abs().to_degrees())
        };
        t.push(Row::new([
            Cell::new(side),
            Cell::new(roll),
            Cell::new(at(s.touch())),
            Cell::new(at(s.solid())),
            Cell::new(at(s.metal())),
            Cell::blank(),
        ]));
    }
    sheet.table(&t)
}
