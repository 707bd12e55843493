//! A phase of the book: its checks with their record, its readings, what is found.

use build::{Build, Check, CheckKind, CheckState, Part, Phase, Study};
use units::Shop;

use crate::chassis::figures;
use crate::error::SheetError;
use crate::head::SheetSetup;
use crate::layout::Composer;
use crate::page::{Document, Paper};
use crate::parts::{knots, subtitle};
use crate::table::{Cell, Col, Mark, Row, Table};
use crate::welding::words::short;

const FOOTER: &str =
    "What was ticked and measured, by whom and when; readings are computed from the build file.";

/// Which readings belong to which phase, by the beginning of their ids; the longer beginnings first.
pub(super) const READINGS: &[(&str, &[&str])] = &[
    ("goal", &["car.", "run."]),
    ("mock_up", &["clearance."]),
    ("rear_links", &["rear.", "launch.", "spring.", "link."]),
    ("front_end", &["front."]),
    ("driveline", &["driveline."]),
    ("tube_work", &["tubes.", "tube.", "frame."]),
    ("fit_up", &["fit_up."]),
    ("weld_out", &["weld."]),
    ("plumbing", &["brakes."]),
];

pub(super) fn record(
    build: &Build,
    study: &Study,
    shop: &Shop,
    paper: Paper,
    date: &str,
    phase: &Phase,
    left_out: &[String],
) -> Result<Document, SheetError> {
    let mut sheet = Composer::new(SheetSetup {
        paper,
        title: phase.title.clone(),
        subtitle: subtitle(build, date, "build book"),
        knots: knots(study, &phase.id),
        footer: FOOTER.into(),
    });
    if !phase.caution.trim().is_empty() {
        sheet.caution(phase.caution.trim())?;
    }
    let judged = study.phases.iter().find(|s| s.id == phase.id);
    for wait in judged.into_iter().flat_map(|s| &s.waits) {
        sheet.note(&format!(
            "Waits for {} in {}.",
            short(&wait.check),
            wait.phase
        ))?;
    }
    checks(&mut sheet, shop, phase, judged)?;
    readings(&mut sheet, study, shop, phase)?;
    findings(&mut sheet, build, study, shop, phase)?;
    if !left_out.is_empty() {
        sheet.section("Sheets left out", "");
        for line in left_out {
            sheet.note(line)?;
        }
    }
    Ok(sheet.finish())
}

/// Where a check is, in words.
pub(super) fn state(c: &Check, state: &CheckState, shop: &Shop) -> String {
    let value = c
        .last_mark()
        .and_then(|m| m.value)
        .map(|q| units::format_kept(q.kind, q.si, shop));
    match (state, value) {
        (CheckState::Passed, Some(v)) => v,
        (CheckState::Passed, None) => "passed".to_owned(),
        (CheckState::Open, _) => "open".to_owned(),
        (CheckState::Failed(miss), Some(v)) => format!("{v}: {}", miss.words().show(shop)),
        (CheckState::Failed(miss), None) => miss.words().show(shop),
        (CheckState::Unknown { why, .. }, _) => format!("not judged: {why}"),
    }
}

pub(super) fn limits(c: &Check, shop: &Shop) -> String {
    let show = |q: &units::Quantity| units::format_kept(q.kind, q.si, shop);
    match &c.kind {
        CheckKind::Tick => String::new(),
        CheckKind::Rule { .. } => "by its readings".to_owned(),
        CheckKind::Measure { low, high } => match (low, high) {
            (Some(a), Some(b)) => format!("{} to {}", show(a), show(b)),
            (Some(a), None) => format!("{} or more", show(a)),
            (None, Some(b)) => format!("{} or less", show(b)),
            (None, None) => "any value".to_owned(),
        },
    }
}

fn checks(
    sheet: &mut Composer,
    shop: &Shop,
    phase: &Phase,
    judged: Option<&build::PhaseStudy>,
) -> Result<(), SheetError> {
    let (done, total) = judged.map_or((0, phase.checks.len()), |s| (s.done, s.total));
    sheet.section(
        "Checks",
        &format!("{done} of {total} passed · H: hold point"),
    );
    let mut t = Table::new([
        Col::left("check").share(1.6),
        Col::left("limits").share(0.6),
        Col::left("found").share(0.7),
        Col::left("who, when").share(0.7),
        Col::left("note").share(0.8),
    ]);
    t.size_pt = 8.0;
    for (i, c) in phase.checks.iter().enumerate() {
        let state_of = judged.and_then(|s| s.checks.get(i)).map(|s| &s.state);
        let passed = state_of == Some(&CheckState::Passed);
        let hold = if c.hold { " (H)" } else { "" };
        let mark = c.last_mark();
        let sign = if passed { Mark::Ticked } else { Mark::Box };
        let label = match c.caution.trim() {
            "" => format!("{}{hold}", c.label),
            caution => format!("{}{hold}. Caution: {caution}", c.label),
        };
        t.push(Row::new([
            Cell::new(label).mark(sign),
            Cell::new(limits(c, shop)),
            Cell::new(state_of.map_or_else(String::new, |s| state(c, s, shop))),
            Cell::new(mark.map_or_else(String::new, |m| {
                format!("{} {}", m.who, m.when).trim().to_owned()
            })),
            Cell::new(mark.map_or_else(String::new, |m| m.note.clone())),
        ]));
    }
    sheet.table(&t)
}

fn readings(
    sheet: &mut Composer,
    study: &Study,
    shop: &Shop,
    phase: &Phase,
) -> Result<(), SheetError> {
    let Some((_, of)) = READINGS.iter().find(|(id, _)| *id == phase.id) else {
        return Ok(());
    };
    let mine = build::DEFINITIONS
        .iter()
        .filter(|d| of.iter().any(|x| d.id.starts_with(x)));
    let ids: Vec<&str> = mine.map(|d| d.id).collect();
    if ids.is_empty() {
        return Ok(());
    }
    sheet.section("Readings", "");
    let mut t = figures(study, shop, &ids);
    t.size_pt = 8.0;
    // Without groups a long table would leave the page before it half empty.
    for row in t.rows.iter_mut().step_by(5) {
        row.rule = true;
    }
    sheet.table(&t)
}

fn findings(
    sheet: &mut Composer,
    build: &Build,
    study: &Study,
    shop: &Shop,
    phase: &Phase,
) -> Result<(), SheetError> {
    let list: Vec<_> = study
        .findings
        .iter()
        .filter(|f| home(build, &f.part) == phase.id)
        .collect();
    if list.is_empty() {
        return Ok(());
    }
    sheet.section("Found", "worst first");
    let mut t = Table::new([
        Col::left("how bad"),
        Col::left("what, and what to do").share(1.0),
    ]);
    t.size_pt = 8.0;
    for f in list {
        let cells = [Cell::new(f.severity.word()), Cell::new(f.sentences(shop))];
        t.push(Row::new(cells).ruled());
    }
    sheet.table(&t)
}

/// The phase a finding is told in; what belongs to none, or to one the build does not have, stands in the
/// first.
fn home<'a>(build: &'a Build, part: &'a Part) -> &'a str {
    let of_reading = |id: &str| {
        let found = READINGS
            .iter()
            .find(|(_, of)| of.iter().any(|x| id.starts_with(x)));
        found.map_or("", |(phase, _)| *phase)
    };
    let phase = match part {
        Part::Phase(id) | Part::Check(id, _) => id.as_str(),
        Part::Reading(id) => of_reading(id),
        Part::Field(id) => [
            ("front_end", "front_end"),
            ("mock_up", "mock_up"),
            ("rear.housing.width", "mock_up"),
            ("brakes", "plumbing"),
            ("driveline", "driveline"),
            ("power.driveshaft", "driveline"),
            ("power.", "rear_links"),
            ("rear.", "rear_links"),
            ("weld_out", "weld_out"),
            ("tube_work", "tube_work"),
            ("frame_test", "tube_work"),
        ]
        .into_iter()
        .find_map(|(of, phase)| id.starts_with(of).then_some(phase))
        .unwrap_or(""),
        Part::Body(_) => "mock_up",
        Part::Bracket(_) | Part::Link(_) | Part::Coilover(_) => "rear_links",
        Part::Driveshaft => "driveline",
        Part::Joint(_) => "fit_up",
        Part::Node(_) | Part::Tube(_) | Part::Plate(_) => "tube_work",
        Part::Dimension(_) | Part::Coupon(_) | Part::Correction(_) => "weld_out",
        Part::Build => "",
    };
    match build.phase(phase) {
        Some(_) => phase,
        None => build.phases.first().map_or("", |p| p.id.as_str()),
    }
}
