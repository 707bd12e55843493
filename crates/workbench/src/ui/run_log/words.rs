//! What the page of the runs says.

use build::{RunEdit, RunRecord, Seen, changed_since};
use eframe::egui::{self, Ui};
use units::Kind;

use super::super::bench::{Bench, Tray};
use super::super::theme::plain;
use super::view::{Figure, Run, Shown};

/// Nothing to show.
pub(super) const NONE: &str = "—";

/// Words that wrap.
pub(super) fn say(ui: &mut Ui, text: impl Into<String>) {
    ui.add(egui::Label::new(egui::RichText::new(text).font(plain(12.5))).wrap());
}

/// Words of a colour that wrap.
pub(super) fn say_in(ui: &mut Ui, colour: egui::Color32, text: impl Into<String>) {
    let text = egui::RichText::new(text).font(plain(12.5)).color(colour);
    ui.add(egui::Label::new(text).wrap());
}

/// Puts an edit of the log in the tray.
pub(super) fn edit(tray: &mut Tray, edit: RunEdit) {
    tray.edit(build::Edit::Run(edit));
}

/// What was measured, as fine as it was typed; seconds bare, a speed with its unit.
pub(super) fn measured(bench: &Bench<'_>, kind: Kind, si: f64) -> String {
    let text = bench.kept(kind, si);
    match kind {
        Kind::Time => text.trim_end_matches(" s").to_owned(),
        _ => text,
    }
}

/// What the model says.
pub(super) fn predicted(bench: &Bench<'_>, kind: Kind, si: f64) -> String {
    match kind {
        Kind::Time => format!("{si:.2}"),
        _ => bench.show(kind, si),
    }
}

/// A difference with its sign: "+0.12", "−0.8 mph".
pub(super) fn off(bench: &Bench<'_>, kind: Kind, si: f64) -> String {
    let shop = bench.shop();
    let by = units::display_value(kind, si, shop) - units::display_value(kind, 0.0, shop);
    let (places, unit) = match kind {
        Kind::Time => (2, String::new()),
        _ => (1, format!(" {}", units::unit_name(kind, shop))),
    };
    let size = format!("{:.places$}", by.abs());
    let sign = if size.bytes().all(|b| b == b'0' || b == b'.') {
        ""
    } else if by > 0.0 {
        "+"
    } else {
        "−"
    };
    format!("{sign}{size}{unit}")
}

/// What was seen, in words.
pub(super) fn seen(list: &[Seen]) -> String {
    let words: Vec<&str> = list.iter().map(|s| s.words()).collect();
    words.join(", ")
}

/// What differs from the run before, in a few words.
pub(super) fn since_before(bench: &Bench<'_>, run: &Run<'_>) -> String {
    let Some(before) = run.before else {
        return "first run".to_owned();
    };
    let changed = changed_since(bench.build, &before.setting, &run.record.setting);
    let shop = bench.shop();
    let mut said: Vec<String> = changed
        .iter()
        .take(2)
        .map(|c| format!("{} {}", short(&c.what), c.is.show(shop)))
        .collect();
    if changed.is_empty() {
        return "nothing".to_owned();
    }
    if changed.len() > 2 {
        said.push(format!("{} more", changed.len() - 2));
    }
    said.join(", ")
}

fn short(what: &str) -> String {
    let what = match what {
        "Launch rpm" => "launch",
        "Rear pressure" => "rear",
        "Front pressure" => "front",
        "Damper clicks" => "clicks",
        other => other,
    };
    what.to_owned()
}

/// "Run R2, 2026-06-13 12:20, Eastern strip".
pub(super) fn named(r: &RunRecord) -> String {
    [format!("Run {}", r.id), r.when.clone(), r.place.clone()]
        .into_iter()
        .filter(|s| !s.trim().is_empty())
        .collect::<Vec<_>>()
        .join(" · ")
}

/// A cell that a spreadsheet must not take for a formula.
fn cell(text: &str) -> String {
    let text = text.replace(['\t', '\n', '\r'], " ");
    if text.trim_start().starts_with(['=', '+', '-', '@']) {
        format!("'{text}")
    } else {
        text
    }
}

/// The runs in sight as tab-separated text.
pub(super) fn table(bench: &Bench<'_>, shown: &Shown<'_>) -> String {
    let shop = bench.shop();
    let speed = units::unit_name(Kind::Speed, shop);
    let mut out = format!(
        "Run\tWhen\tPlace\tSince the run before\t60 ft, s\tEighth, s\tQuarter, s\tSpeed, {speed}\tPredicted quarter, s\tOff, s\tSeen\tCounts for friction\tNote\n"
    );
    let number = |kind: Kind, v: Option<f64>| {
        let text = v.map(|v| format!("{:.3}", units::display_value(kind, v, shop)));
        text.unwrap_or_default()
    };
    for r in &shown.rows {
        let figure = |f: Figure| number(f.kind(), r.measured(f));
        out += &format!(
            "{}\t{}\t{}\t{}\t{}\t{}\t{}\t{}\t{}\t{}\t{}\t{}\t{}\n",
            cell(&r.record.id),
            cell(&r.record.when),
            cell(&r.record.place),
            cell(&since_before(bench, r)),
            figure(Figure::Sixty),
            figure(Figure::Eighth),
            figure(Figure::Quarter),
            figure(Figure::Speed),
            number(Kind::Time, r.predicted(Figure::Quarter)),
            number(Kind::Time, r.off(Figure::Quarter)),
            cell(&seen(&r.record.seen)),
            if r.record.learn { "yes" } else { "no" },
            cell(&r.record.note)
        );
    }
    out
}
