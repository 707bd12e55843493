//! Corner scales and the weighing with one axle raised.

use build::{RaisedAxle, RunEdit, Scales};
use eframe::egui::{self, Ui};
use units::{Kind, Length, Mass};
use vehicle::STANDARD_GRAVITY;

use super::super::bench::{Bench, Tray};
use super::super::springs_page::common;
use super::super::typed;
use super::pieces;

/// What goes with every lift.
const CAUTION: &str = "Raise it on rated stands, wheels at the other end chocked, nobody under or beside it. Springs \
    locked solid, tyres at road pressure, wheels free to roll, fluids and driver as raced.";

/// What is typed but does not make a weighing yet.
#[derive(Debug, Default)]
pub(super) struct Drafts {
    corners: [Option<f64>; 4],
    raised: [Option<f64>; 3],
}

pub(super) fn show(state: &mut Drafts, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    let tray = std::cell::RefCell::new(tray);
    pieces::page(ui, "scales page", |ui| {
        pieces::two(
            ui,
            state,
            0.5,
            |ui, state| corners(state, ui, bench, &mut tray.borrow_mut()),
            |ui, state| raised(state, ui, bench, &mut tray.borrow_mut()),
        );
        common::caution(ui, bench, CAUTION);
    });
}

fn corners(state: &mut Drafts, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    pieces::head(ui, bench, "Corner scales", "driver in, half the fuel");
    let now = bench.build.run.scales;
    if let Some(s) = now {
        let all = [s.left_front, s.right_front, s.left_rear, s.right_rear];
        state.corners = all.map(|m| Some(m.si()));
    }
    let before = state.corners;
    egui::Grid::new("corners")
        .num_columns(4)
        .spacing([10.0, 4.0])
        .show(ui, |ui| {
            for (i, word) in ["left front", "right front", "left rear", "right rear"]
                .into_iter()
                .enumerate()
            {
                ui.label(word);
                let name = format!("Scale {word}");
                let salt = ("corner", i);
                let (kind, si) = (Kind::Mass, state.corners[i]);
                let width = pieces::FIELD;
                if let Some(v) = typed::optional(ui, bench, salt, &name, kind, si, width, tray) {
                    state.corners[i] = v.map(|v| v.max(0.0));
                }
                if i % 2 == 1 {
                    ui.end_row();
                }
            }
        });
    if state.corners != before {
        let scales = match state.corners.map(|c| c.map(Mass::from_si)) {
            [
                Some(left_front),
                Some(right_front),
                Some(left_rear),
                Some(right_rear),
            ] => Some(Scales {
                left_front,
                right_front,
                left_rear,
                right_rear,
            }),
            _ => None,
        };
        if scales != now {
            let take = false;
            pieces::edit(tray, RunEdit::Scales { scales, take });
        }
    }
    said(ui, bench);
    ui.horizontal_wrapped(|ui| {
        let r = ui
            .add_enabled(now.is_some(), egui::Button::new("Take the weights"))
            .on_hover_text("Weight and rear share of the car become what the scales say")
            .on_disabled_hover_text("Type all four corners first");
        if r.clicked() {
            let edit = RunEdit::Scales {
                scales: now,
                take: true,
            };
            pieces::edit(tray, edit);
        }
        if now.is_some() && ui.button("Clear the scales").clicked() {
            state.corners = [None; 4];
            let (scales, take) = (None, false);
            pieces::edit(tray, RunEdit::Scales { scales, take });
        }
    });
}

/// What the corners say.
fn said(ui: &mut Ui, bench: &Bench<'_>) {
    let p = bench.palette;
    match &bench.study.run.corners {
        None => pieces::say(
            ui,
            p.dim,
            "Nothing weighed yet: type all four corners above.",
        ),
        Some(Err(why)) => pieces::say(
            ui,
            p.bad,
            format!("The scales say nothing: {}.", why.show(bench.shop())),
        ),
        Some(Ok(c)) => {
            let mass = |newtons: f64| bench.show(Kind::Mass, newtons / STANDARD_GRAVITY);
            egui::Grid::new("corners say")
                .num_columns(2)
                .spacing([16.0, 3.0])
                .show(ui, |ui| {
                    let mut row = |label: &str, text: String| pieces::said(ui, bench, label, &text);
                    row("Weight", mass(c.weight));
                    row("Front", format!("{:.1} %", c.front_percent));
                    row("Left", format!("{:.1} %", c.left_percent));
                    row(
                        "Cross, right front and left rear",
                        format!("{:.1} %", c.cross_percent),
                    );
                    row(
                        "Rear bite",
                        format!(
                            "{} heavier {}",
                            mass(c.rear_bite.abs()),
                            if c.rear_bite < 0.0 { "right" } else { "left" }
                        ),
                    );
                    row(
                        "Centre of gravity",
                        format!("{} of the rear axle", bench.ahead(c.cg_station)),
                    );
                    row(
                        "to the side",
                        format!(
                            "{} {}",
                            bench.length(c.cg_offset.abs()),
                            if c.cg_offset < 0.0 { "right" } else { "left" }
                        ),
                    );
                });
        }
    }
}

fn raised(state: &mut Drafts, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    pieces::head(
        ui,
        bench,
        "Height by raising the rear",
        "a front raised: a rise below zero",
    );
    let now = bench.build.run.raised;
    if let Some(x) = now {
        let three = [x.front_level.si(), x.front_raised.si(), x.rise.si()];
        state.raised = three.map(Some);
    }
    let before = state.raised;
    let car = &bench.build.car;
    let mut new = now.unwrap_or(RaisedAxle {
        front_level: Mass::from_si(0.0),
        front_raised: Mass::from_si(0.0),
        rise: Length::from_si(0.0),
        front_radius: car.front.loaded_radius,
        rear_radius: car.rear.loaded_radius,
        // A pound and an eighth of an inch (choices).
        scale_error: Mass::from_si(0.453_592_37),
        rise_error: Length::from_inches(0.125),
    });
    egui::Grid::new("raised")
        .num_columns(2)
        .spacing([10.0, 4.0])
        .show(ui, |ui| {
            for (i, (label, kind)) in [
                ("Front scales, level", Kind::Mass),
                ("Front scales, raised", Kind::Mass),
                ("Rear wheel centres rose", Kind::Length),
            ]
            .into_iter()
            .enumerate()
            {
                ui.label(label);
                let (salt, si) = (("raised", i), state.raised[i]);
                let width = pieces::FIELD;
                if let Some(v) = typed::optional(ui, bench, salt, label, kind, si, width, tray) {
                    state.raised[i] = v;
                }
                ui.end_row();
            }
            if now.is_none() {
                return;
            }
            let mut length = |ui: &mut Ui, label: &str, slot: &mut Length| {
                ui.label(label);
                let (kind, si) = (Kind::Length, slot.si());
                let width = pieces::FIELD;
                let typed = typed::field(ui, bench, label, label, kind, si, width, tray);
                if let Some(v) = typed {
                    *slot = Length::from_si(v);
                }
                ui.end_row();
            };
            length(ui, "Front wheel centre up", &mut new.front_radius);
            length(ui, "Rear wheel centre up", &mut new.rear_radius);
            length(ui, "Rise ±", &mut new.rise_error);
            ui.label("Scale reading ±");
            let (kind, si) = (Kind::Mass, new.scale_error.si());
            let (name, width) = ("Scale reading ±", pieces::FIELD);
            if let Some(v) = typed::field(ui, bench, name, name, kind, si, width, tray) {
                new.scale_error = Mass::from_si(v.abs());
            }
            ui.end_row();
        });
    let [level, up, rise] = state.raised;
    if let (Some(level), Some(up), Some(rise)) = (level, up, rise) {
        new.front_level = Mass::from_si(level);
        new.front_raised = Mass::from_si(up);
        new.rise = Length::from_si(rise);
        if now != Some(new) {
            pieces::edit(tray, RunEdit::Raised(Some(new)));
        }
    } else if now.is_some() && state.raised != before {
        pieces::edit(tray, RunEdit::Raised(None));
    }
    height(state, ui, bench, tray);
}

fn height(state: &mut Drafts, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    let p = bench.palette;
    let height = match &bench.study.run.height {
        None => {
            let text = "Not weighed yet: type both readings of the front scales and the rise.";
            pieces::say(ui, p.dim, text);
            return;
        }
        Some(Err(why)) => {
            let text = format!("No height: {}.", why.show(bench.shop()));
            pieces::say(ui, p.bad, text);
            None
        }
        Some(Ok(h)) => Some(h),
    };
    if let Some(h) = height {
        let text = format!(
            "Centre of gravity {} ± {} up (two standard deviations); the build has {}.",
            fine(bench, h.height),
            fine(bench, 2.0 * h.sigma),
            bench.length(bench.build.car.cg_height.si())
        );
        pieces::say(ui, p.ink, text);
        makeup(ui, bench);
    }
    ui.horizontal_wrapped(|ui| {
        let r = ui
            .add_enabled(height.is_some(), egui::Button::new("Take the height"))
            .on_hover_text("The car's centre of gravity goes to this height");
        if let (true, Some(h)) = (r.clicked(), height) {
            pieces::edit(tray, RunEdit::TakeHeight(h.height));
        }
        if ui.button("Clear the raised weighing").clicked() {
            state.raised = [None; 3];
            pieces::edit(tray, RunEdit::Raised(None));
        }
    });
}

fn fine(bench: &Bench<'_>, metres: f64) -> String {
    units::format_fine(Kind::Length, metres, bench.shop())
}

/// What the ± is made of, largest first.
fn makeup(ui: &mut Ui, bench: &Bench<'_>) {
    let parts = bench.study.run.height_parts.iter();
    let said: Vec<String> = parts
        .take(4)
        .map(|(word, v)| format!("{word} ± {}", fine(bench, v.abs())))
        .collect();
    pieces::say(
        ui,
        bench.palette.dim,
        format!(
            "One standard deviation is made of: {}. A higher lift makes it surer.",
            said.join(", ")
        ),
    );
}
