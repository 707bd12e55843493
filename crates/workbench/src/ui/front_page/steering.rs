//! Steering: lock, circles, Ackermann over the rack's travel.

use build::{FrontMotion, lock_words};
use eframe::egui::{self, Ui};
use units::Kind;

use super::super::bench::Bench;
use super::super::springs_page::common;
use super::super::theme::{bold, plain};
use super::said;

/// Rows of the table.
const ROWS: usize = 5;

pub(super) fn show(ui: &mut Ui, bench: &Bench<'_>, m: &FrontMotion, rack: &mut f64) {
    common::head(ui, bench, "Steering", "low speed, no tyre slip");
    egui::Grid::new("steering")
        .num_columns(2)
        .spacing([10.0, 4.0])
        .show(ui, |ui| {
            for (word, id) in [
                ("ratio in the middle, to 1", "front.steering_ratio"),
                ("inner wheel at lock", "front.lock"),
                ("Ackermann at lock", "front.ackermann"),
                ("circle, kerb to kerb", "front.turning_circle"),
                ("tie rod in the braking looked at", "front.tie_rod_force"),
                ("steering wheel, one wheel alone", "front.handwheel"),
            ] {
                ui.label(word);
                ui.label(egui::RichText::new(said(bench, id)).font(bold(13.0)));
                ui.end_row();
            }
        });
    match &m.lock {
        Ok(lock) => {
            let text = format!(
                "Lock comes at {} of rack by {}.",
                bench.length(lock.rack),
                lock_words(lock.cause)
            );
            common::note(ui, bench, text);
        }
        Err(why) => {
            ui.colored_label(bench.palette.bad, format!("No lock: {why}."));
        }
    }
    ui.add_space(4.0);
    common::head(ui, bench, "Turning left", "click a row to see it");
    egui::Grid::new("turns")
        .num_columns(5)
        .spacing([12.0, 3.0])
        .striped(true)
        .show(ui, |ui| {
            for word in ["rack", "inner", "outer", "ideal outer", "Ackermann"] {
                let word = egui::RichText::new(word).font(plain(11.0));
                ui.label(word.color(bench.palette.dim));
            }
            ui.end_row();
            let left: Vec<_> = m
                .steering
                .iter()
                .filter(|r| r.rack > 0.0)
                .filter_map(|r| Some((r.rack, r.turn?)))
                .collect();
            let every = left.len().div_ceil(ROWS).max(1);
            for (at, turn) in left.iter().rev().step_by(every).rev() {
                if ui.button(bench.length(*at)).clicked() {
                    *rack = *at;
                }
                for v in [turn.inner, turn.outer, turn.outer_ideal] {
                    ui.label(bench.show(Kind::Angle, v));
                }
                ui.label(bench.show(Kind::Ratio, turn.ackermann));
                ui.end_row();
            }
        });
}
