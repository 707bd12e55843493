//! The driveline on paper: angles as set and as measured, the shaft to order, slip, loop, speeds.

use build::{Build, Study};
use units::{Kind, Shop, format};

use crate::brake_circuit::{all, readings, remarks, setup};
use crate::error::SheetError;
use crate::layout::Composer;
use crate::page::Paper;
use crate::sheet::Sheet;
use crate::table::{Cell, Col, Row, Table};
use crate::welding::nothing;

/// Title of the sheet.
pub(crate) const TITLE: &str = "Driveline";
const CAUTION: &str = "A driveshaft that lets go at speed comes through the floor: loop on before power, shaft balanced, bolts to \
    torque. Measure on stands with the axle at ride height, wheels chocked; nobody near it while it turns. The current rule book \
    decides on loop and shields.";

/// Composes the sheet of a build and what was derived from it. `date` is printed as given.
///
/// # Errors
/// A head so long that no room is left under it.
pub fn driveline_sheet(
    build: &Build,
    study: &Study,
    shop: &Shop,
    paper: Paper,
    date: &str,
) -> Result<Sheet, SheetError> {
    let mut sheet = Composer::new(setup(TITLE, "driveline", build, study, shop, paper, date));
    if build.power.driveshaft.is_none() && build.driveline.is_none() {
        nothing(
            &mut sheet,
            "No driveline is drawn",
            "Draw the driveshaft and describe the driveline, then print this sheet again.",
        )?;
        sheet.caution(CAUTION)?;
    } else {
        sheet.caution(CAUTION)?;
        sheet.section(
            "Angles at ride height",
            "by inclinometer and plan; write what the car has",
        );
        sheet.table(&angles(build, study, shop))?;
        sheet.section("How even the pinion turns", "at the highest shaft speed");
        sheet.table(&readings(
            study,
            shop,
            &[
                "driveline.equivalent_angle",
                "driveline.equivalent_launch",
                "driveline.equivalent_worst",
                "driveline.torsional",
                "driveline.shaft_acceleration",
            ],
        ))?;
        shaft(&mut sheet, build, study, shop)?;
        sheet.section("Slip and loop", "least over travel and launch");
        sheet.table(&readings(
            study,
            shop,
            &[
                "driveline.engagement",
                "driveline.bottoming",
                "driveline.loop_distance",
                "driveline.loop_gap",
            ],
        ))?;
        sheet.section("Critical speed and strength", "");
        sheet.table(&readings(
            study,
            shop,
            &[
                "driveline.top_shaft",
                "driveline.critical",
                "driveline.critical_share",
                "driveline.torque",
                "driveline.torsion_safety",
                "driveline.axle_safety",
            ],
        ))?;
        gearing(&mut sheet, study, shop)?;
        remarks(&mut sheet, study, shop, "driveline")?;
        sheet.signs(&["shaft ordered, date", "bolts to torque", "loop checked"])?;
    }
    Ok(Sheet {
        document: sheet.finish(),
        table: all(study, shop, "driveline."),
    })
}

fn angles(build: &Build, study: &Study, shop: &Shop) -> Table {
    let mut t = Table::new([
        Col::left("").share(1.0),
        Col::right("set to"),
        Col::left("measured").fixed(32.0),
    ]);
    let mut row = |name: &str, value: String| {
        t.push(Row::new([
            Cell::new(name),
            Cell::new(value).bold(),
            Cell::blank(),
        ]));
    };
    let angle = |v: f64| format(Kind::Angle, v, shop);
    if let Some(d) = &build.power.driveshaft {
        row(
            "transmission output, down toward the rear",
            angle(d.output_down.si()),
        );
        row("pinion, nose up", angle(d.pinion_up.si()));
    }
    if let Some(d) = &build.driveline {
        row(
            "output, left toward the rear in plan",
            angle(d.output_left.si()),
        );
        row(
            "pinion, left toward the rear in plan",
            angle(d.pinion_left.si()),
        );
        row("rear yoke from front yoke", angle(d.phase.si()));
    }
    for id in [
        "driveline.front_angle",
        "driveline.rear_angle",
        "driveline.difference",
    ] {
        if let Some(r) = study.reading(id) {
            row(&r.label(), r.display(shop));
        }
    }
    t
}

fn shaft(
    sheet: &mut Composer,
    build: &Build,
    study: &Study,
    shop: &Shop,
) -> Result<(), SheetError> {
    let Some(d) = &build.driveline else {
        return Ok(());
    };
    let mut t = Table::new([
        Col::left("").share(1.0),
        Col::left("").share(1.0),
        Col::left("as delivered").fixed(32.0),
    ]);
    let mut row = |name: &str, value: String| {
        t.push(Row::new([
            Cell::new(name),
            Cell::new(value).bold(),
            Cell::blank(),
        ]));
    };
    let len = |v: f64| units::format_kept(Kind::Length, v, shop);
    if let Some(Ok(s)) = study.driveline.as_ref().map(|d| &d.shaft) {
        row(
            "joint centre to joint centre",
            units::format_fine(Kind::Length, s.length, shop),
        );
        if s.turn.steps != 0 {
            let way = if s.turn.steps > 0 {
                "clockwise"
            } else {
                "against the clock"
            };
            row(
                "turn the rear yoke against the front one",
                format!("{} teeth, {way} looking rearward", s.turn.steps.abs()),
            );
        } else {
            row("yokes", "as drawn, no tooth to turn".to_owned());
        }
    }
    row("tube outside", len(d.tube.outside.si()));
    row("tube wall", len(d.tube.wall.si()));
    row("spline engaged at ride height", len(d.slip.engagement.si()));
    row("room inward at ride height", len(d.slip.room.si()));
    if let Some(Ok(c)) = study.driveline.as_ref().map(|d| &d.critical) {
        row(
            "longest of this tube at 70 % of critical",
            format(Kind::Length, c.longest, shop),
        );
    }
    sheet.section("The shaft to order", "joint to joint at ride height");
    sheet.table(&t)
}

fn gearing(sheet: &mut Composer, study: &Study, shop: &Shop) -> Result<(), SheetError> {
    let Some(Ok(g)) = study.driveline.as_ref().map(|d| &d.gearing) else {
        return Ok(());
    };
    let turns = |w: f64| format(Kind::RotationSpeed, w, shop);
    let mut t = Table::new([
        Col::left("gear"),
        Col::right("ratio"),
        Col::right("at redline"),
        Col::right("at 60 mph"),
        Col::right("at the trap"),
        Col::right("after the shift"),
    ]);
    for (i, row) in g.chart.gears.iter().enumerate() {
        t.push(Row::new([
            Cell::new((i + 1).to_string()).bold(),
            Cell::new(format!("{:.2}", row.ratio)),
            Cell::new(format(Kind::Speed, row.speed_at_redline, shop)),
            Cell::new(turns(row.at_sixty)),
            Cell::new(
                g.trap
                    .map_or_else(|| "no run".into(), |_| turns(row.at_trap)),
            ),
            Cell::new(row.after_shift.map_or_else(|| "—".into(), turns)),
        ]));
    }
    sheet.section(
        "Gearing",
        &format!("final drive {:.2}", g.gears.final_drive),
    );
    sheet.table(&t)?;
    if g.trap.is_some() {
        let list: Vec<String> = g
            .choices
            .iter()
            .take(4)
            .map(|c| format!("{:.2}: {}", c.final_drive, turns(c.at_trap)))
            .collect();
        let goal = g.chart.final_drive_for_goal;
        sheet.note(&format!(
            "For {} at the trap: final drive {goal:.2}. To be had, nearest first: {}.",
            turns(g.wanted),
            list.join("; ")
        ))?;
    }
    Ok(())
}
