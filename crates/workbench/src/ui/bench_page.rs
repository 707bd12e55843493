//! Every phase without a drawing of its own: the numbers it needs, typed, and its record so far.

use build::{Edit, fields};
use eframe::egui::{self, Ui};

use super::bench::{Action, Bench, Tray};
use super::command::Command;
use super::theme::bold;
use super::typed;

/// The page of a phase.
pub fn show(ui: &mut Ui, bench: &Bench<'_>, phase: &str, tray: &mut Tray) {
    let margin = egui::Frame::NONE
        .inner_margin(egui::Margin::symmetric(16, 10))
        .fill(bench.palette.ground);
    margin.show(ui, |ui| {
        egui::ScrollArea::vertical()
            .auto_shrink(false)
            .show(ui, |ui| {
                if matches!(phase, "goal" | "mock_up") {
                    car_form(ui, bench, tray);
                    ui.add_space(10.0);
                }
                record(ui, bench, phase, tray);
            });
    });
}

/// The car's scalar fields in groups.
pub fn car_form(ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    for (head, prefix) in [
        ("Car", "car."),
        ("Frame rail", "frame."),
        ("Rear axle", "rear."),
    ] {
        ui.label(egui::RichText::new(head).font(bold(13.0)));
        let columns = if ui.available_width() > 560.0 { 2 } else { 1 };
        egui::Grid::new(("form", head))
            .num_columns(2 * columns)
            .spacing([12.0, 4.0])
            .show(ui, |ui| {
                for (i, f) in fields::FIELDS
                    .iter()
                    .filter(|f| f.id.starts_with(prefix))
                    .enumerate()
                {
                    ui.label(f.label).on_hover_text(f.help);
                    let now = (f.get)(bench.build);
                    if let Some(si) =
                        typed::field(ui, bench, ("form", f.id), f.label, f.kind, now, 96.0, tray)
                    {
                        tray.edit(Edit::Field {
                            id: f.id.to_owned(),
                            si,
                        });
                    }
                    if i % columns == columns - 1 {
                        ui.end_row();
                    }
                }
                ui.end_row();
            });
        ui.add_space(8.0);
    }
}

/// What has been recorded in a phase, newest first.
fn record(ui: &mut Ui, bench: &Bench<'_>, phase: &str, tray: &mut Tray) {
    let Some(p) = bench.build.phase(phase) else {
        return;
    };
    ui.label(egui::RichText::new("Record of this phase").font(bold(13.0)));
    let mut marks: Vec<_> = p
        .checks
        .iter()
        .flat_map(|c| c.marks.iter().map(move |m| (m, c)))
        .collect();
    marks.sort_by(|a, b| b.0.when.cmp(&a.0.when));
    if marks.is_empty() {
        ui.colored_label(
            bench.palette.dim,
            "Nothing yet. Tick a check, or record a measurement, in the list at the right.",
        );
    }
    egui::Grid::new("record")
        .num_columns(4)
        .spacing([16.0, 4.0])
        .striped(true)
        .show(ui, |ui| {
            for (m, c) in marks {
                ui.colored_label(bench.palette.dim, &m.when);
                ui.label(&m.who);
                let value = m
                    .value
                    .map(|q| bench.kept(q.kind, q.si))
                    .unwrap_or_default();
                ui.label(if m.done {
                    value
                } else {
                    "taken back".to_owned()
                });
                let note = if m.note.is_empty() {
                    String::new()
                } else {
                    format!(" · {}", m.note)
                };
                ui.add(egui::Label::new(format!("{}{note}", c.label)).truncate());
                ui.end_row();
            }
        });
    if !matches!(phase, "goal" | "mock_up") {
        ui.add_space(8.0);
        let e = Command::CarForm.entry();
        if ui.button(e.label).on_hover_text(e.tip).clicked() {
            tray.put(Action::Run(Command::CarForm));
        }
    }
}
