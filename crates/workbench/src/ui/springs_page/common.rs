//! Pieces of a form that the pages of springs and driveshaft share.

use build::{Part, Place, Severity};
use eframe::egui::{self, Ui};
use units::{Count, Kind};

use super::super::bench::{Bench, Tray};
use super::super::theme::{bold, plain};
use super::super::typed;

/// Width of a field.
pub const FIELD: f32 = 97.0;

/// The part of the page that is in sight: a row above that is too wide must not widen what stands below it.
pub fn in_sight(ui: &mut Ui) -> Ui {
    let rect = ui.available_rect_before_wrap().intersect(ui.clip_rect());
    ui.new_child(egui::UiBuilder::new().max_rect(rect))
}

/// A heading with a line of second-rank words behind it.
pub fn head(ui: &mut Ui, bench: &Bench<'_>, text: &str, hint: &str) {
    ui.horizontal(|ui| {
        ui.label(egui::RichText::new(text).font(bold(13.0)));
        if !hint.is_empty() {
            let hint = egui::RichText::new(hint)
                .font(plain(11.0))
                .color(bench.palette.dim);
            ui.add(egui::Label::new(hint).truncate());
        }
    });
}

/// Second-rank words that wrap.
pub fn note(ui: &mut Ui, bench: &Bench<'_>, text: impl Into<String>) {
    let text = egui::RichText::new(text)
        .font(plain(11.5))
        .color(bench.palette.dim);
    ui.add(egui::Label::new(text).wrap());
}

/// Head line over the three coordinates of [`place`].
pub fn place_head(ui: &mut Ui, bench: &Bench<'_>) {
    ui.label("");
    for word in ["ahead", "out, left +", "up"] {
        ui.label(
            egui::RichText::new(word)
                .font(plain(11.0))
                .color(bench.palette.dim),
        );
    }
    ui.end_row();
}

/// One row of a grid: a place, typed; returns the new one when a coordinate was.
pub fn place(
    ui: &mut Ui,
    bench: &Bench<'_>,
    owner: &str,
    label: &str,
    now: Place,
    tray: &mut Tray,
) -> Option<Place> {
    ui.label(label);
    let mut at = now.si();
    let mut moved = false;
    for (k, word) in ["ahead", "out", "up"].into_iter().enumerate() {
        let name = format!("{owner} {label} {word}");
        if let Some(v) = typed::field(
            ui,
            bench,
            (owner, label, word),
            &name,
            Kind::Length,
            at[k],
            FIELD,
            tray,
        ) {
            at[k] = v;
            moved = true;
        }
    }
    ui.end_row();
    moved.then(|| Place::from_si(at))
}

/// A label and its field.
pub fn value(
    ui: &mut Ui,
    bench: &Bench<'_>,
    owner: &str,
    label: &str,
    kind: Kind,
    si: f64,
    tray: &mut Tray,
) -> Option<f64> {
    ui.label(label);
    let name = format!("{owner} {label}");
    typed::field(ui, bench, (owner, label), &name, kind, si, FIELD, tray)
}

/// Plain numbers in a list, each typed or taken out while more than `least` are left.
pub fn list(
    ui: &mut Ui,
    bench: &Bench<'_>,
    label: &str,
    numbers: &mut Vec<Count>,
    least: usize,
    tray: &mut Tray,
) {
    let (mut out, more) = (None, numbers.len() > least);
    ui.horizontal_wrapped(|ui| {
        for (i, n) in numbers.iter_mut().enumerate() {
            let name = format!("{label} {}", i + 1);
            let typed = typed::field(
                ui,
                bench,
                (label, i),
                &name,
                Kind::Count,
                n.si(),
                48.0,
                tray,
            );
            if let Some(v) = typed {
                *n = Count::from_si(v);
            }
            let button = ui.add_enabled(more, egui::Button::new("–").small());
            if button
                .accessible_name(format!("Take out {name}"))
                .on_hover_text("Take it out")
                .clicked()
            {
                out = Some(i);
            }
            ui.add_space(6.0);
        }
    });
    if let Some(i) = out {
        numbers.remove(i);
    }
}

/// What the study remarks about a part, in words with what to do.
pub fn remarks(ui: &mut Ui, bench: &Bench<'_>, of: &Part) {
    let p = bench.palette;
    for f in bench.study.findings.iter().filter(|f| f.part == *of) {
        let (mark, colour) = match f.severity {
            Severity::Error => ("error", p.bad),
            Severity::Warning => ("warning", p.accent),
            Severity::Remark => ("remark", p.dim),
        };
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing.x = 5.0;
            ui.label(egui::RichText::new(mark).font(bold(12.0)).color(colour));
            ui.label(egui::RichText::new(f.sentences(bench.shop())).font(plain(12.0)));
        });
    }
}

/// A caution in its box: wraps, never clips.
pub fn caution(ui: &mut Ui, bench: &Bench<'_>, text: &str) {
    ui.add_space(4.0);
    egui::Frame::NONE
        .stroke(egui::Stroke::new(1.3, bench.palette.bad))
        .corner_radius(5)
        .inner_margin(egui::Margin::symmetric(10, 6))
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.add(egui::Label::new(egui::RichText::new(text).font(plain(12.0))).wrap());
        });
    ui.add_space(4.0);
}
