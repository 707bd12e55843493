//! What the commands print and write.

use std::fmt::Write as _;
use std::path::Path;

use build::{Build, DEFINITIONS, Definition, Motion, Over, Reading, Severity, Status, Study};
use serde_json::{Value, json};
use units::{Kind, Shop};

use super::Trouble;
use crate::ui::clock;

pub(super) fn readings_json(build: &Build, study: &Study, shop: &Shop) -> Result<String, Trouble> {
    let readings: Vec<Value> = study
        .readings
        .iter()
        .map(|r| reading_json(r, shop))
        .collect();
    let all = json!({ "build": build.name, "revision": build.revision, "readings": readings });
    Ok(serde_json::to_string_pretty(&all)? + "\n")
}

/// A reading, SI, with how it is shown.
pub(super) fn reading_json(r: &Reading, shop: &Shop) -> Value {
    let mut v = json!({
        "id": r.id(),
        "label": r.label(),
        "value": r.value.as_ref().ok(),
        "unit": r.kind().si_unit(),
        "display": r.display(shop),
        "status": r.status().word(),
    });
    if let (Err(why), Some(map)) = (&r.value, v.as_object_mut()) {
        map.insert("reason".to_owned(), json!(why.to_string()));
    }
    if let (build::Certainty::Estimate { low, high, .. }, Some(map)) =
        (&r.certainty, v.as_object_mut())
    {
        map.insert("estimate".to_owned(), json!([low, high]));
    }
    if let (Some(band), Some(map)) = (r.band, v.as_object_mut()) {
        map.insert("band".to_owned(), json!([band.low, band.high]));
    }
    v
}

pub(super) fn readings_text(build: &Build, study: &Study, shop: &Shop) -> String {
    let mut out = format!("{}, revision {}\n", build.name, build.revision);
    // As wide as the longest of each.
    let wide = |of: fn(&Reading, &Shop) -> usize| {
        study
            .readings
            .iter()
            .map(|r| of(r, shop))
            .max()
            .unwrap_or(0)
    };
    let id = wide(|r, _| r.id().chars().count());
    let label = wide(|r, _| r.label().chars().count());
    let value = wide(|r, shop| r.display(shop).chars().count());
    for r in &study.readings {
        let verdict = match &r.value {
            Err(why) => why.to_string(),
            Ok(_) => verdict(r, shop),
        };
        let _ = writeln!(
            out,
            "{:<id$}  {:<label$}  {:>value$}  {verdict}",
            r.id(),
            r.label(),
            r.display(shop)
        );
    }
    out
}

/// As [`Reading::verdict`]; a length off by less than the tape shows is said in thousandths.
fn verdict(r: &Reading, shop: &Shop) -> String {
    let (by, which) = match r.status() {
        Status::Below(by) => (by, "below"),
        Status::Above(by) => (by, "above"),
        _ => return r.verdict(shop),
    };
    let amount = |v| r.definition.amount(v, shop);
    if r.kind() == Kind::Length && amount(by) == amount(0.0) {
        let by = units::format_fine(Kind::Length, by, shop);
        return format!("{by} {which} band");
    }
    r.verdict(shop)
}

/// Readings that have a value in every pose.
fn columns() -> impl Iterator<Item = &'static Definition> {
    DEFINITIONS.iter().filter(|d| d.in_pose.is_some())
}

fn axis(over: Over) -> (&'static str, Kind) {
    match over {
        Over::Travel => ("travel", Kind::Length),
        Over::Roll => ("roll", Kind::Angle),
    }
}

pub(super) fn sweep_json(build: &Build, motion: &Motion, over: Over) -> Result<String, Trouble> {
    let (name, kind) = axis(over);
    let sweep = motion.sweep(over);
    let rows: Vec<Value> = sweep
        .states
        .iter()
        .map(|s| {
            let mut row = serde_json::Map::new();
            row.insert(name.to_owned(), json!(over.of(s)));
            for d in columns() {
                let value = d.in_pose.and_then(|f| f(s));
                row.insert(d.id.to_owned(), json!(value));
            }
            Value::Object(row)
        })
        .collect();
    let mut units = serde_json::Map::new();
    units.insert(name.to_owned(), json!(kind.si_unit()));
    for d in columns() {
        units.insert(d.id.to_owned(), json!(d.kind.si_unit()));
    }
    let limits: Vec<String> = [&sweep.low_limit, &sweep.high_limit]
        .into_iter()
        .flatten()
        .map(ToString::to_string)
        .collect();
    let all = json!({ "build": build.name, "over": name, "units": units, "rows": rows, "limits": limits });
    Ok(serde_json::to_string_pretty(&all)? + "\n")
}

pub(super) fn sweep_table(
    motion: &Motion,
    over: Over,
    shop: &Shop,
    csv: bool,
) -> Result<String, Trouble> {
    let (name, kind) = axis(over);
    let head = std::iter::once(format!("{name}, {}", units::unit_name(kind, shop)))
        .chain(columns().map(|d| format!("{}, {}", d.label, units::unit_name(d.kind, shop))));
    let rows = motion.sweep(over).states.iter().map(|s| {
        let cell = |kind, v: Option<f64>| v.map_or_else(String::new, |v| decimal(kind, v, shop));
        std::iter::once(cell(kind, Some(over.of(s))))
            .chain(columns().map(move |d| cell(d.kind, d.in_pose.and_then(|f| f(s)))))
            .collect::<Vec<_>>()
    });
    if csv {
        let mut writer = csv::Writer::from_writer(Vec::new());
        writer.write_record(head)?;
        for row in rows {
            writer.write_record(row)?;
        }
        return Ok(String::from_utf8(writer.into_inner()?)?);
    }
    let mut out = String::new();
    let head: Vec<String> = head.collect();
    let _ = writeln!(out, "{}", head.join("  "));
    for row in rows {
        let cells: Vec<String> = row
            .iter()
            .zip(&head)
            .map(|(c, h)| format!("{c:>w$}", w = h.chars().count()))
            .collect();
        let _ = writeln!(out, "{}", cells.join("  "));
    }
    Ok(out)
}

/// A plain decimal in display units: tables are for machines and spreadsheets.
pub(crate) fn decimal(kind: Kind, si: f64, shop: &Shop) -> String {
    let text = format!("{:.6}", units::display_value(kind, si, shop));
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" {
        "0".to_owned()
    } else {
        text.to_owned()
    }
}

pub(super) fn findings_text(study: &Study, shop: &Shop) -> String {
    if study.findings.is_empty() {
        return "no findings\n".to_owned();
    }
    let mut out = String::new();
    for f in &study.findings {
        let _ = writeln!(
            out,
            "{}: {}: {}",
            f.severity.word(),
            f.part,
            f.sentences(shop)
        );
    }
    let count = |s: Severity| {
        let n = study.findings.iter().filter(|f| f.severity == s).count();
        format!("{n} {}{}", s.word(), if n == 1 { "" } else { "s" })
    };
    let _ = writeln!(
        out,
        "{}, {}, {}",
        count(Severity::Error),
        count(Severity::Warning),
        count(Severity::Remark)
    );
    out
}

pub(super) fn write_sheet(
    which: sheets::Which,
    build: &Build,
    study: &Study,
    shop: &Shop,
    paper: sheets::Paper,
    out: &Path,
) -> Result<(), Trouble> {
    let format = sheets::Format::of(out).ok_or_else(|| {
        Trouble(format!(
            "{}: the ending says no format. Write .pdf, .svg or .csv.",
            out.display()
        ))
    })?;
    let sheet = which.make(build, study, shop, paper, &clock::today())?;
    let bytes = sheet.export(format)?;
    std::fs::write(out, bytes).map_err(|e| {
        Trouble(format!(
            "{}: could not be written ({e}). Check the folder and who may write there.",
            out.display()
        ))
    })
}
