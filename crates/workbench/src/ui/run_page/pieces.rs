//! Pieces the topics share: columns, fields by their ids, rows.

use build::{Edit, Part, RunEdit, fields};
use eframe::egui::{self, RichText, ScrollArea, Ui};

use super::super::bench::{Bench, Tray};
use super::super::springs_page::common;
use super::super::theme::{bold, plain};
use super::super::typed;

/// Width of a field.
pub(super) const FIELD: f32 = 112.0;
/// Width from which two columns stand side by side.
const BESIDE: f32 = 700.0;

/// The page in a margin that scrolls.
pub(super) fn page(ui: &mut Ui, salt: &'static str, contents: impl FnOnce(&mut Ui)) {
    ScrollArea::vertical()
        .id_salt(salt)
        .auto_shrink(false)
        .show(ui, |ui| {
            egui::Frame::NONE
                .inner_margin(egui::Margin::symmetric(14, 8))
                .show(ui, |ui| {
                    ui.set_width(ui.available_width());
                    contents(ui);
                });
        });
}

/// Two columns, the first with this share; one below the other where there is no room.
pub(super) fn two<S>(
    ui: &mut Ui,
    state: &mut S,
    share: f32,
    first: impl FnOnce(&mut Ui, &mut S),
    second: impl FnOnce(&mut Ui, &mut S),
) {
    let room = ui.available_width();
    if room < BESIDE {
        first(ui, state);
        ui.add_space(8.0);
        second(ui, state);
        return;
    }
    let gap = 18.0;
    let left = ((room - gap) * share).floor();
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = 0.0;
        let down = egui::Layout::top_down(egui::Align::Min);
        ui.allocate_ui_with_layout(egui::vec2(left, 0.0), down, |ui| {
            ui.spacing_mut().item_spacing.x = 8.0;
            ui.set_width(left);
            first(ui, state);
        });
        ui.add_space(gap);
        let right = room - gap - left;
        ui.allocate_ui_with_layout(egui::vec2(right, 0.0), down, |ui| {
            ui.spacing_mut().item_spacing.x = 8.0;
            ui.set_width(right);
            second(ui, state);
        });
    });
}

/// Puts an edit of the run in the tray.
pub(super) fn edit(tray: &mut Tray, edit: RunEdit) {
    tray.edit(Edit::Run(edit));
}

/// Words that wrap, in a colour.
pub(super) fn say(ui: &mut Ui, colour: egui::Color32, text: impl Into<String>) {
    let text = RichText::new(text).font(plain(12.5)).color(colour);
    ui.add(egui::Label::new(text).wrap());
}

/// A heading.
pub(super) fn head(ui: &mut Ui, bench: &Bench<'_>, text: &str, hint: &str) {
    ui.add_space(4.0);
    common::head(ui, bench, text, hint);
}

/// Fields of these ids in a grid.
pub(super) fn fields(
    ui: &mut Ui,
    bench: &Bench<'_>,
    salt: &'static str,
    wanted: impl Fn(&str) -> bool,
    tray: &mut Tray,
) {
    let columns = if ui.available_width() > 560.0 { 2 } else { 1 };
    egui::Grid::new(("run fields", salt))
        .num_columns(2 * columns)
        .spacing([12.0, 4.0])
        .show(ui, |ui| {
            let mut n = 0;
            for f in fields::FIELDS.iter().filter(|f| wanted(f.id)) {
                let marked = matches!(bench.selected, Some(Part::Field(id)) if *id == f.id);
                let text = RichText::new(f.label);
                let text = if marked {
                    text.font(bold(13.0)).color(bench.palette.accent)
                } else {
                    text
                };
                ui.label(text).on_hover_text(f.help);
                let now = (f.get)(bench.build);
                let salt = ("run field", f.id);
                if let Some(si) = typed::field(ui, bench, salt, f.label, f.kind, now, FIELD, tray) {
                    tray.edit(Edit::Field {
                        id: f.id.to_owned(),
                        si,
                    });
                }
                n += 1;
                if n % columns == 0 {
                    ui.end_row();
                }
            }
        });
}

/// A row of a grid: words and a value.
pub(super) fn said(ui: &mut Ui, bench: &Bench<'_>, label: &str, value: &str) {
    ui.label(
        RichText::new(label)
            .font(plain(12.5))
            .color(bench.palette.dim),
    );
    ui.label(RichText::new(value).font(bold(12.5)));
    ui.end_row();
}

/// A small head of a column.
pub(super) fn column(ui: &mut Ui, bench: &Bench<'_>, text: &str) {
    ui.label(
        RichText::new(text)
            .font(plain(11.0))
            .color(bench.palette.dim),
    );
}
