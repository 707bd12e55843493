//! Coil-over and anti-roll bar: added, described, taken out. Each change is one step to undo.

use build::{Edit, FrontBar, FrontCoil, FrontEnd, LinkOn, RollingEdit, WhichArm};
use eframe::egui::{self, Ui};
use units::{Kind, Length, Pressure};

use super::super::bench::{Bench, Tray};
use super::super::springs_page::common;
use super::super::stock_form::choice;
use super::super::typed;

/// The front end with something else changed, as one step.
pub(super) fn put(what: &'static str, new: FrontEnd, tray: &mut Tray) {
    tray.edit(Edit::Rolling(RollingEdit::FrontEnd(
        what,
        Some(Box::new(new)),
    )));
}

/// A heading with a small button at its right.
pub(super) fn head(ui: &mut Ui, bench: &Bench<'_>, title: &str, hint: &str, button: &str) -> bool {
    ui.horizontal(|ui| {
        common::head(ui, bench, title, hint);
        let right = egui::Layout::right_to_left(egui::Align::Center);
        ui.with_layout(right, |ui| ui.small_button(button).clicked())
            .inner
    })
    .inner
}

/// A length that may be left out.
fn optional(
    ui: &mut Ui,
    bench: &Bench<'_>,
    label: &str,
    now: Option<Length>,
    tray: &mut Tray,
) -> Option<Option<Length>> {
    ui.label(label);
    let si = now.map(|l| l.si());
    let typed = typed::optional(
        ui,
        bench,
        ("front", label),
        label,
        Kind::Length,
        si,
        common::FIELD,
        tray,
    );
    ui.end_row();
    typed.map(|v| v.map(Length::from_si))
}

pub(super) fn show(ui: &mut Ui, bench: &Bench<'_>, front: &FrontEnd, tray: &mut Tray) {
    ui.add_space(6.0);
    coil(ui, bench, front, tray);
    ui.add_space(6.0);
    bar(ui, bench, front, tray);
}

fn coil(ui: &mut Ui, bench: &Bench<'_>, front: &FrontEnd, tray: &mut Tray) {
    let with = |coil_over| FrontEnd {
        coil_over,
        ..front.clone()
    };
    let Some(now) = front.coil_over else {
        if head(ui, bench, "Coil-over", "none drawn", "Draw a coil-over") {
            let new = with(Some(FrontCoil::usual(front)));
            put("Draw the front coil-over", new, tray);
        }
        return;
    };
    if head(ui, bench, "Coil-over", "", "Take the coil-over out") {
        return put("Take out the front coil-over", with(None), tray);
    }
    let mut new = now;
    egui::Grid::new("front coil-over")
        .num_columns(2)
        .spacing([10.0, 4.0])
        .show(ui, |ui| {
            ui.label("stands on");
            let all = [
                (WhichArm::Lower, "lower arm"),
                (WhichArm::Upper, "upper arm"),
            ];
            choice(ui, "Front coil-over stands on", &mut new.on, &all);
            ui.end_row();
            let free = optional(ui, bench, "Front spring free length", now.free, tray);
            new.free = free.unwrap_or(now.free);
        });
    common::note(
        ui,
        bench,
        "Free length: eye to eye where the spring is just loose. Left empty, the spring holds the ride height.",
    );
    if new != now {
        put("Change the front coil-over", with(Some(new)), tray);
    }
}

fn bar(ui: &mut Ui, bench: &Bench<'_>, front: &FrontEnd, tray: &mut Tray) {
    let with = |bar| FrontEnd {
        bar,
        ..front.clone()
    };
    let Some(now) = front.bar else {
        if head(
            ui,
            bench,
            "Anti-roll bar",
            "none drawn",
            "Draw an anti-roll bar",
        ) {
            let new = with(Some(FrontBar::usual(front)));
            put("Draw the anti-roll bar", new, tray);
        }
        return;
    };
    if head(ui, bench, "Anti-roll bar", "", "Take the bar out") {
        return put("Take out the anti-roll bar", with(None), tray);
    }
    let mut new = now;
    egui::Grid::new("front bar")
        .num_columns(2)
        .spacing([10.0, 4.0])
        .show(ui, |ui| {
            ui.label("drop link on");
            let all = [
                (LinkOn::Lower, "lower arm"),
                (LinkOn::Upper, "upper arm"),
                (LinkOn::Knuckle, "knuckle"),
            ];
            choice(ui, "Drop link on", &mut new.on, &all);
            ui.end_row();
            let wall = optional(ui, bench, "Anti-roll bar wall", now.wall, tray);
            new.wall = wall.unwrap_or(now.wall);
            let modulus = now.shear_modulus.si();
            let label = "shear modulus";
            if let Some(v) = common::value(
                ui,
                bench,
                "Anti-roll bar",
                label,
                Kind::Pressure,
                modulus,
                tray,
            ) {
                new.shear_modulus = Pressure::from_si(v);
            }
        });
    common::note(ui, bench, "Wall left empty: a solid bar.");
    if new != now {
        put("Change the anti-roll bar", with(Some(new)), tray);
    }
}
