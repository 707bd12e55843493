//! Pieces that the forms of the parts share.

use build::{Build, Part};
use eframe::egui::{self, ComboBox, Grid, Role, Ui, WidgetInfo};
use units::{Kind, Length};

use super::super::super::assembly_view::removal;
use super::super::super::bench::{Bench, Tray};
use super::super::super::theme::{bold, plain};
use super::super::super::typed;

/// Width of a field, points.
pub(in crate::ui) const FIELD: f32 = 92.0;
/// Width that a label with its field needs, points.
const PAIR: f32 = 204.0;

/// Labels with their fields, as many beside one another as there is room for.
pub(in crate::ui) struct Pairs {
    across: usize,
    n: usize,
}

impl Pairs {
    /// A grid of them.
    pub fn show(
        ui: &mut Ui,
        salt: impl std::hash::Hash + std::fmt::Debug,
        add: impl FnOnce(&mut Ui, &mut Self),
    ) {
        let across = ((ui.available_width() / PAIR) as usize).clamp(1, 3);
        Grid::new((salt, across))
            .num_columns(2 * across)
            .spacing([8.0, 4.0])
            .show(ui, |ui| {
                let mut pairs = Self { across, n: 0 };
                add(ui, &mut pairs);
            });
    }

    /// A pair is done.
    pub fn next(&mut self, ui: &mut Ui) {
        self.n += 1;
        if self.n.is_multiple_of(self.across) {
            ui.end_row();
        }
    }
}

/// Who a form is about: the first word of its fields' names, and what it is kept apart by.
pub(in crate::ui) struct Form<'a, 'b> {
    pub owner: String,
    pub bench: &'a Bench<'b>,
}

impl Form<'_, '_> {
    fn name(&self, word: &str) -> String {
        format!("{}, {word}", self.owner)
    }

    /// A quantity that was typed.
    pub fn value(
        &self,
        ui: &mut Ui,
        pairs: &mut Pairs,
        word: &str,
        kind: Kind,
        now: f64,
        tray: &mut Tray,
    ) -> Option<f64> {
        ui.label(word);
        let salt = (&self.owner, word);
        let name = self.name(word);
        let typed = typed::field(ui, self.bench, salt, &name, kind, now, FIELD, tray);
        pairs.next(ui);
        typed
    }

    /// A length that was typed.
    pub fn length(
        &self,
        ui: &mut Ui,
        pairs: &mut Pairs,
        word: &str,
        slot: &mut Length,
        tray: &mut Tray,
    ) {
        if let Some(v) = self.value(ui, pairs, word, Kind::Length, slot.si(), tray) {
            *slot = Length::from_si(v);
        }
    }

    /// A quantity that may be missing.
    pub fn optional(
        &self,
        ui: &mut Ui,
        pairs: &mut Pairs,
        word: &str,
        kind: Kind,
        now: Option<f64>,
        tray: &mut Tray,
    ) -> Option<Option<f64>> {
        ui.label(word);
        let salt = (&self.owner, word);
        let name = self.name(word);
        let typed = typed::optional(ui, self.bench, salt, &name, kind, now, FIELD, tray);
        pairs.next(ui);
        typed
    }

    /// A line of words; an empty one is not taken.
    pub fn words(
        &self,
        ui: &mut Ui,
        word: &str,
        slot: &mut String,
        width: f32,
        tray: &mut Tray,
    ) -> bool {
        ui.label(word);
        let salt = (&self.owner, word);
        let name = self.name(word);
        match typed::words(ui, self.bench, salt, &name, slot, width, tray) {
            Some(text) if !text.is_empty() => {
                *slot = text;
                true
            }
            _ => false,
        }
    }

    /// A choice of a list.
    pub fn choose<T: PartialEq + Clone>(
        &self,
        ui: &mut Ui,
        pairs: &mut Pairs,
        word: &str,
        slot: &mut T,
        options: &[(T, String)],
    ) {
        ui.label(word);
        choose(ui, &self.name(word), slot, options, FIELD + 28.0);
        pairs.next(ui);
    }
}

/// A choice of a list, by itself.
pub(in crate::ui) fn choose<T: PartialEq + Clone>(
    ui: &mut Ui,
    name: &str,
    slot: &mut T,
    options: &[(T, String)],
    width: f32,
) {
    let said = options
        .iter()
        .find(|(v, _)| v == slot)
        .map_or("not there", |(_, word)| word.as_str());
    ComboBox::from_id_salt(("choose", name))
        .selected_text(said)
        .width(width)
        .truncate()
        .show_ui(ui, |ui| {
            for (v, word) in options {
                ui.selectable_value(slot, v.clone(), word);
            }
        })
        .response
        .widget_info(|| {
            let mut info = WidgetInfo::labeled(Role::ComboBox, true, name);
            info.current_text_value = Some(said.to_owned());
            info
        });
}

/// Head of a form: what is in hand, and its way out.
pub(in crate::ui) fn head(
    ui: &mut Ui,
    bench: &Bench<'_>,
    title: &str,
    hint: &str,
    part: &Part,
    tray: &mut Tray,
) {
    ui.horizontal(|ui| {
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            let r = ui
                .button("Remove")
                .on_hover_text("Take it out of the build (Delete)");
            r.widget_info(|| WidgetInfo::labeled(Role::Button, true, format!("Remove {part}")));
            if r.clicked()
                && let Some(edit) = removal(part)
            {
                tray.edit(edit);
            }
            ui.with_layout(egui::Layout::left_to_right(egui::Align::Center), |ui| {
                ui.label(egui::RichText::new(title).font(bold(13.0)));
                let hint = egui::RichText::new(hint)
                    .font(plain(11.5))
                    .color(bench.palette.dim);
                ui.add(egui::Label::new(hint).truncate());
            });
        });
    });
}

/// Nodes to choose from.
pub(in crate::ui) fn nodes(b: &Build) -> Vec<(String, String)> {
    let all = b.assembly.nodes.iter();
    all.map(|x| (x.id.clone(), x.id.clone())).collect()
}

/// Materials to choose from: the table's, then the shop's own.
pub(in crate::ui) fn materials(b: &Build) -> Vec<(String, String)> {
    let table = build::MATERIALS
        .iter()
        .map(|m| (m.id.to_owned(), m.label.to_owned()));
    let own = b.assembly.materials.iter();
    let own = own.map(|m| (m.id.clone(), m.label.clone()));
    table.chain(own).collect()
}

/// Tubes and plates to choose from.
pub(in crate::ui) fn parts(b: &Build) -> Vec<(String, String)> {
    let tubes = b
        .assembly
        .tubes
        .iter()
        .map(|x| (x.id.clone(), x.label.clone()));
    let plates = b
        .assembly
        .plates
        .iter()
        .map(|x| (x.id.clone(), x.label.clone()));
    tubes.chain(plates).collect()
}
