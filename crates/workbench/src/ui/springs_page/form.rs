//! The numbers of a coil-over, typed: each change is one step to undo.

use build::{Coilover, Edit, Preload, Side, Sides};
use eframe::egui::{self, Ui};
use units::{Angle, Kind, Length, SpringRate, System};

use super::super::bench::{Bench, Tray};
use super::super::typed;
use super::common::{self, FIELD};

/// The form of the coil-over with this index.
pub(super) fn show(ui: &mut Ui, bench: &Bench<'_>, index: usize, x: &Coilover, tray: &mut Tray) {
    let mut new = x.clone();
    // What is typed belongs to one coil-over, whatever it is called.
    ui.push_id(("coil-over", &x.id), |ui| {
        ui.horizontal_wrapped(|ui| {
            ui.label("name");
            let name = format!("{} name", x.label);
            if let Some(label) = typed::words(ui, bench, "name", &name, &x.label, 150.0, tray)
                && !label.is_empty()
            {
                new.label = label;
            }
            for (sides, word) in [(Sides::Pair, "both sides"), (Sides::Single, "one only")] {
                ui.radio_value(&mut new.sides, sides, word);
            }
        });
        egui::Grid::new("eyes")
            .num_columns(4)
            .spacing([8.0, 4.0])
            .show(ui, |ui| {
                common::place_head(ui, bench);
                let owner = &x.label;
                if let Some(p) = common::place(ui, bench, owner, "upper eye", x.at_frame, tray) {
                    new.at_frame = p;
                }
                if let Some(p) = common::place(ui, bench, owner, "lower eye", x.at_axle, tray) {
                    new.at_axle = p;
                }
            });
        egui::Grid::new("spring and shock")
            .num_columns(4)
            .spacing([8.0, 4.0])
            .show(ui, |ui| numbers(ui, bench, x, &mut new, tray));
    });
    if new != *x {
        tray.edit(Edit::PutCoilover(new));
    }
    preload(ui, bench, index, x, tray);
}

fn numbers(ui: &mut Ui, bench: &Bench<'_>, x: &Coilover, new: &mut Coilover, tray: &mut Tray) {
    let mut one = |ui: &mut Ui, label: &str, kind: Kind, si: f64| {
        common::value(ui, bench, &x.label, label, kind, si, tray)
    };
    if let Some(v) = one(ui, "rate", Kind::SpringRate, x.rate.si()) {
        new.rate = SpringRate::from_si(v);
    }
    if let Some(v) = one(ui, "eyes tilt", Kind::Angle, x.eye_tilt.si()) {
        new.eye_tilt = Angle::from_si(v);
    }
    ui.end_row();
    let mut length = |ui: &mut Ui, label: &str, slot: &mut Length| {
        if let Some(v) = one(ui, label, Kind::Length, slot.si()) {
            *slot = Length::from_si(v);
        }
    };
    length(ui, "spring free", &mut new.spring_free);
    length(ui, "coils touch at", &mut new.spring_block);
    ui.end_row();
    length(ui, "shock pulled out", &mut new.extended);
    length(ui, "pushed in", &mut new.compressed);
    ui.end_row();
}

/// Preload: by the ride height, or by hand.
fn preload(ui: &mut Ui, bench: &Bench<'_>, index: usize, x: &Coilover, tray: &mut Tray) {
    let now = |side: Side| {
        let found = bench
            .study
            .launch
            .coilovers
            .iter()
            .find(|c| c.coilover == index && (c.side == side || c.side == Side::Both));
        found.and_then(|c| c.ride.as_ref().ok()).map(|r| r.preload)
    };
    ui.push_id(("preload", &x.id), |ui| {
        ui.horizontal_wrapped(|ui| {
            ui.label("preload");
            let by_hand = x.preload.is_some();
            if ui
                .radio(!by_hand, "held by the ride height")
                .on_hover_text("The seat stands where the spring holds the car as drawn")
                .clicked()
                && by_hand
            {
                set(x, None, tray);
            }
            if ui
                .radio(by_hand, "set by hand")
                .on_hover_text(
                    "Squeeze with the shock pulled out: the car stands where that puts it",
                )
                .clicked()
                && !by_hand
            {
                let start = |side| Length::from_si(round(bench, now(side).unwrap_or(0.0)));
                let hand = Preload {
                    left: start(Side::Left),
                    right: start(Side::Right),
                };
                set(x, Some(hand), tray);
            }
        });
        let Some(hand) = x.preload else {
            return;
        };
        ui.horizontal_wrapped(|ui| {
            let mut new = hand;
            let single = x.sides == Sides::Single;
            let mut one = |ui: &mut Ui, word: &str, slot: &mut Length| {
                ui.label(word);
                let name = format!("{} preload {word}", x.label);
                let typed =
                    typed::field(ui, bench, word, &name, Kind::Length, slot.si(), FIELD, tray);
                if let Some(v) = typed {
                    *slot = Length::from_si(v);
                }
            };
            if single {
                one(ui, "squeezed", &mut new.left);
                if new.left != hand.left {
                    new.right = new.left;
                }
            } else {
                one(ui, "left", &mut new.left);
                one(ui, "right", &mut new.right);
            }
            if new != hand {
                set(x, Some(new), tray);
            }
        });
        if hand.left != hand.right && !bench.build.run.torque.is_empty() {
            unlike(ui, bench);
        }
    });
}

/// What seats set unlike do under power: the run down the strip does not show it.
fn unlike(ui: &mut Ui, bench: &Bench<'_>) {
    let shift = bench.study.reading("run.preload_shift");
    let text = match shift.map(|r| &r.value) {
        Some(Ok(kilograms)) => {
            let side = if *kilograms < 0.0 { "right" } else { "left" };
            format!(
                "At the run's greatest acceleration the seats put {} more on the {side} rear. That is of the \
                 balance under power: the run down the strip has no roll, and no time of it moves with this.",
                bench.show(Kind::Mass, kilograms.abs())
            )
        }
        _ => "The run down the strip has no roll: seats set unlike move the balance under power, and no time of \
              the run."
            .to_owned(),
    };
    common::note(ui, bench, text);
}

fn set(x: &Coilover, preload: Option<Preload>, tray: &mut Tray) {
    tray.edit(Edit::SetPreload {
        coilover: x.id.clone(),
        preload,
    });
}

/// A computed squeeze as a person would set it: to a hundredth of an inch, or half a millimetre.
fn round(bench: &Bench<'_>, metres: f64) -> f64 {
    let per_metre = match bench.shop().system {
        System::InchPound => 100.0 / 0.0254,
        System::Si => 2000.0,
    };
    (metres * per_metre).round() / per_metre
}
