//! The table of the shop's record: what was measured, and what it taught.

use build::{RecordOf, RecordRow, RecordStudy, WeldEdit};
use eframe::egui::{self, Label, RichText, Ui};
use units::Kind;
use weld::control::Factor;

use super::super::bench::{Action, Bench, Tray};
use super::super::theme::{bold, plain};
use super::record::{CONFIDENCE, kinds};
use super::words::Runs;
use super::{bits, common, measure, words};
use crate::command::decimal;

const HEADS: [&str; 7] = [
    "When",
    "What",
    "Predicted",
    "Measured",
    "Ratio",
    "Chance",
    "Factor after",
];

/// Width from which the history is a table, points.
const TABLE: f32 = 800.0;
/// Width of the names in it, points.
const NAMES: f32 = 190.0;

/// What is being left out.
#[derive(Debug, Default)]
pub(super) struct History {
    /// Id and label of the reading, while its reason is asked.
    leaving: Option<(String, String)>,
    reason: String,
}

/// The id an edit names a reading by.
fn id_of(of: &RecordOf) -> &str {
    match of {
        RecordOf::Past(id) | RecordOf::Coupon(id) | RecordOf::Dimension(id) => id,
    }
}

impl History {
    pub fn show(&mut self, ui: &mut Ui, bench: &Bench<'_>, record: &RecordStudy, tray: &mut Tray) {
        ui.horizontal_wrapped(|ui| {
            ui.label(RichText::new("History").font(bold(13.0)));
            if !record.rows.is_empty()
                && ui
                    .button("Copy")
                    .accessible_name("Copy the history")
                    .clicked()
            {
                tray.put(Action::Copy {
                    text: table(bench, record),
                    what: "The shop's record".to_owned(),
                });
            }
        });
        if record.rows.is_empty() {
            bits::say(
                ui,
                "Nothing learned yet: weld a coupon below, or measure a dimension tacked and again welded, and learn from it.",
            );
        } else {
            // A table that scrolls sideways in a page that scrolls down could not be brought in sight.
            if ui.available_width() >= TABLE {
                self.grid(ui, bench, record, tray);
            } else {
                self.entries(ui, bench, record, tray);
            }
        }
        self.leave(ui, bench, record, tray);
        if !record.offered.is_empty() {
            common::head(ui, bench, "Measured, not learned from yet", "");
        }
        for row in &record.offered {
            let runs = runs(bench, row);
            bits::say(ui, format!("{} · {}", row.label, row.when));
            measure::offered(ui, bench, row, runs, tray);
        }
    }

    fn grid(&mut self, ui: &mut Ui, bench: &Bench<'_>, record: &RecordStudy, tray: &mut Tray) {
        let p = bench.palette;
        egui::Grid::new("weld history")
            .num_columns(HEADS.len())
            .spacing([14.0, 4.0])
            .show(ui, |ui| {
                for head in HEADS {
                    ui.label(RichText::new(head).font(plain(11.0)).color(p.dim));
                }
                ui.end_row();
                for row in &record.rows {
                    self.line(ui, bench, row, tray);
                    ui.end_row();
                }
            });
    }

    fn line(&mut self, ui: &mut Ui, bench: &Bench<'_>, row: &RecordRow, tray: &mut Tray) {
        let p = bench.palette;
        let colour = if row.void.is_some() { p.dim } else { p.ink };
        let text = |text: String| RichText::new(text).font(plain(12.0)).color(colour);
        let runs = runs(bench, row);
        let u = &row.row.update;
        let day = row.when.split(' ').next().unwrap_or_default();
        ui.label(text(day.to_owned())).on_hover_text(&row.when);
        ui.vertical(|ui| {
            ui.set_width(NAMES);
            ui.spacing_mut().item_spacing.y = 2.0;
            ui.add(Label::new(text(named(row))).wrap());
            ui.horizontal(|ui| self.buttons(ui, row, tray));
        });
        ui.label(text(words::change(bench, u.unfactored, runs)));
        ui.label(text(words::change(bench, u.measured, runs)));
        ui.label(text(ratio(u.ratio)));
        if row.row.outlier {
            let text = format!("! {}, unlikely", words::chance(u.chance));
            ui.label(RichText::new(text).font(plain(12.0)).color(p.bad));
        } else {
            ui.label(text(words::chance(u.chance)));
        }
        let after = after(bench, row).map(|(kind, factor)| format!("{factor}\n{kind}"));
        ui.label(text(after.unwrap_or_default()));
    }

    /// The same where there is no room for columns.
    fn entries(&mut self, ui: &mut Ui, bench: &Bench<'_>, record: &RecordStudy, tray: &mut Tray) {
        let p = bench.palette;
        for row in &record.rows {
            let u = &row.row.update;
            let runs = runs(bench, row);
            let colour = if row.void.is_some() { p.dim } else { p.ink };
            bits::say_in(ui, colour, format!("{} · {}", named(row), row.when));
            let after = after(bench, row)
                .map(|(kind, factor)| format!(" · factor of {kind} after it {factor}"));
            common::note(
                ui,
                bench,
                format!(
                    "predicted {} · measured {} · ratio {} · chance {}{}",
                    words::change(bench, u.unfactored, runs),
                    words::change(bench, u.measured, runs),
                    ratio(u.ratio),
                    words::chance(u.chance),
                    after.unwrap_or_default()
                ),
            );
            if row.row.outlier {
                bits::say_in(ui, p.bad, "! unlikely: measure it again");
            }
            ui.horizontal(|ui| self.buttons(ui, row, tray));
        }
    }

    fn buttons(&mut self, ui: &mut Ui, row: &RecordRow, tray: &mut Tray) {
        let id = id_of(&row.of).to_owned();
        if row.void.is_some() {
            let r = ui
                .small_button("Take in again")
                .accessible_name(format!("Take {} in again", row.label));
            if r.clicked() {
                bits::edit(tray, WeldEdit::Void { id, reason: None });
            }
        } else {
            let r = ui
                .small_button("Leave out…")
                .accessible_name(format!("Leave out {}", row.label));
            if r.clicked() {
                self.leaving = Some((id, row.label.clone()));
                self.reason.clear();
            }
        }
        if let RecordOf::Past(label) = &row.of {
            let r = ui
                .small_button("Forget")
                .accessible_name(format!("Forget {label}"));
            if r.clicked() {
                bits::edit(tray, WeldEdit::RemovePast(label.clone()));
            }
        }
    }

    /// Asks why a reading is left out.
    fn leave(&mut self, ui: &mut Ui, bench: &Bench<'_>, record: &RecordStudy, tray: &mut Tray) {
        let Some((id, label)) = self.leaving.clone() else {
            return;
        };
        let there = |r: &RecordRow| id_of(&r.of) == id && r.void.is_none();
        if !record.rows.iter().any(there) {
            self.leaving = None;
            return;
        }
        bits::say(
            ui,
            format!("Why is {label} left out? It stays listed with the reason."),
        );
        ui.horizontal_wrapped(|ui| {
            bits::draft_words(
                ui,
                bench,
                "Reason to leave it out",
                &mut self.reason,
                240.0,
                tray,
            );
            let ready = !self.reason.trim().is_empty();
            let r = ui
                .add_enabled(ready, egui::Button::new("Leave it out"))
                .on_disabled_hover_text("Write why: a slipped tape, a broken tack");
            if r.clicked() {
                let reason = Some(self.reason.trim().to_owned());
                bits::edit(tray, WeldEdit::Void { id, reason });
                self.leaving = None;
            }
            if ui.button("Keep it").clicked() {
                self.leaving = None;
            }
        });
    }
}

/// Which words its change is said in.
fn runs(bench: &Bench<'_>, row: &RecordRow) -> Runs {
    match &row.of {
        RecordOf::Dimension(id) => {
            let found = bench.study.weld.dimension(id);
            found.map_or(Runs::Along, words::runs)
        }
        RecordOf::Coupon(id) => {
            let mut all = bench.build.weld_out.coupons.iter();
            all.find(|c| c.id == *id)
                .map_or(Runs::Along, words::runs_of)
        }
        RecordOf::Past(_) => Runs::Along,
    }
}

/// Its name, and why it is left out.
fn named(row: &RecordRow) -> String {
    match &row.void {
        Some(why) => format!("{}, left out: {why}", row.label),
        None => row.label.clone(),
    }
}

fn ratio(r: Option<f64>) -> String {
    r.map_or_else(|| "—".to_owned(), |r| format!("{r:.2}"))
}

/// The kind this reading is most about, and its factor after it.
fn after(bench: &Bench<'_>, row: &RecordRow) -> Option<(&'static str, String)> {
    let by = kinds(bench, &row.of);
    let main = Factor::ALL
        .into_iter()
        .filter(|f| by[f.index()] != 0.0)
        .max_by(|a, b| by[a.index()].abs().total_cmp(&by[b.index()].abs()))?;
    let factors = &row.row.factors;
    let (low, high) = factors.interval(main, CONFIDENCE).ok()?;
    Some((main.label(), words::factor((factors.of(main), low, high))))
}

/// The history for a spreadsheet.
fn table(bench: &Bench<'_>, record: &RecordStudy) -> String {
    let shop = bench.shop();
    let unit = units::unit_name(Kind::Length, shop);
    let number = |v: f64| decimal(Kind::Length, v, shop);
    let mut out = format!(
        "When\tWhat\tPredicted before factors, {unit}\tMeasured, {unit}\tRatio\tChance, %\tFactor after\tLeft out because\n"
    );
    for row in &record.rows {
        let u = &row.row.update;
        let after = after(bench, row).map(|(kind, factor)| format!("{kind} {factor}"));
        out += &format!(
            "{}\t{}\t{}\t{}\t{}\t{:.1}\t{}\t{}\n",
            bits::cell(&row.when),
            bits::cell(&row.label),
            number(u.unfactored),
            number(u.measured),
            u.ratio.map(|r| format!("{r:.3}")).unwrap_or_default(),
            100.0 * u.chance,
            bits::cell(&after.unwrap_or_default()),
            bits::cell(row.void.as_deref().unwrap_or_default())
        );
    }
    out
}
