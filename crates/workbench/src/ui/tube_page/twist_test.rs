//! Twist tests of the real frame: what was read, what it says, and whether it corrects the computed.

use build::{Edit, TubeEdit, TwistReading};
use eframe::egui::{self, Grid, Ui};
use units::{Angle, Kind, Length, Torque};

use super::super::bench::{Action, Bench, Tray};
use super::super::clock;
use super::super::springs_page::common;
use super::super::theme::bold;
use super::super::typed;
use super::super::weld_panels::bits::{self, FIELD};
use super::{twist_plot, words};

/// What goes with every twist test.
const RIG_CAUTION: &str = "A twist rig stores energy: chain the frame to it, stand clear of the lever, let the load down slowly.";

/// A test being typed.
#[derive(Debug, Default)]
pub(super) struct Draft {
    torque: Option<f64>,
    left_up: Option<f64>,
    right_down: Option<f64>,
    apart: Option<f64>,
    rear_turned: Option<f64>,
    note: String,
}

pub(super) fn show(draft: &mut Draft, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    bits::two(draft, ui, bench, tray, "twist test columns", 0.5, left, log);
}

fn left(draft: &mut Draft, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    common::head(
        ui,
        bench,
        "Log a twist test",
        "two dials, left and right, at the loaded end",
    );
    Grid::new("twist draft")
        .num_columns(2)
        .spacing([8.0, 4.0])
        .show(ui, |ui| {
            let rows: [(&str, &str, Kind, &mut Option<f64>); 5] = [
                ("torque", "Torque put on", Kind::Torque, &mut draft.torque),
                (
                    "left up",
                    "Dial at the front left, up",
                    Kind::Length,
                    &mut draft.left_up,
                ),
                (
                    "right down",
                    "Dial at the front right, down",
                    Kind::Length,
                    &mut draft.right_down,
                ),
                (
                    "dials apart",
                    "Distance between the two dials, across the car",
                    Kind::Length,
                    &mut draft.apart,
                ),
                (
                    "rear turned",
                    "What the rear turned the same way meanwhile; empty where it held",
                    Kind::Angle,
                    &mut draft.rear_turned,
                ),
            ];
            for (word, tip, kind, slot) in rows {
                ui.label(word).on_hover_text(tip);
                let salt = ("twist draft", word);
                let name = format!("Twist test, {word}");
                let now = *slot;
                // Dials read to a thousandth: they must not show rounded to the tape.
                let v = bits::exactly(bench, now.filter(|_| kind == Kind::Length), |bench| {
                    typed::optional(ui, bench, salt, &name, kind, now, FIELD, tray)
                });
                if let Some(v) = v {
                    *slot = v;
                }
                ui.end_row();
            }
            ui.label("note");
            bits::draft_words(ui, bench, "Twist test, note", &mut draft.note, 200.0, tray);
            ui.end_row();
        });
    if ui.button("Log the test").clicked() {
        take(draft, bench, tray);
    }
    common::caution(ui, bench, RIG_CAUTION);
    common::caution(ui, bench, build::FRAME_CAUTION);
}

fn take(draft: &mut Draft, bench: &Bench<'_>, tray: &mut Tray) {
    let named = [
        (draft.torque, "the torque"),
        (draft.left_up, "how far the left went up"),
        (draft.right_down, "how far the right went down"),
        (draft.apart, "how far the dials are apart"),
    ];
    if let Some((_, what)) = named.iter().find(|(v, _)| v.is_none()) {
        tray.put(Action::Say(format!("A twist test needs {what}: type it")));
        return;
    }
    let length = |v: Option<f64>| Length::from_si(v.unwrap_or(0.0));
    tray.edit(Edit::Tube(TubeEdit::MeasureTwist(TwistReading {
        torque: Torque::from_si(draft.torque.unwrap_or(0.0)),
        left_up: length(draft.left_up),
        right_down: length(draft.right_down),
        apart: length(draft.apart),
        rear_turned: Angle::from_si(draft.rear_turned.unwrap_or(0.0)),
        who: bench.settings.who.clone(),
        when: clock::now(),
        note: draft.note.clone(),
    })));
    *draft = Draft::default();
}

fn log(_: &mut Draft, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    let frame = &bench.study.frame;
    let test = &bench.build.frame_test;
    common::head(ui, bench, "Measured and computed", "");
    match &frame.twist {
        Ok(t) => {
            let text = format!("Computed {}", words::stiffness(bench, t.stiffness));
            bits::say(ui, text);
        }
        Err(why) => bits::say_in(ui, bench.palette.bad, format!("No computed twist: {why}.")),
    }
    if let Some(f) = frame.factor {
        ui.horizontal_wrapped(|ui| {
            ui.label("measured over computed");
            ui.label(egui::RichText::new(format!("{f:.3}")).font(bold(15.0)));
        });
        let mut use_it = test.use_measured;
        let r = ui
            .checkbox(&mut use_it, "use it: all shown stiffnesses times this")
            .on_hover_text("The last test that has a factor; shown beside every number");
        if r.changed() {
            tray.edit(Edit::Tube(TubeEdit::UseMeasured(use_it)));
        }
    }
    if test.measured.is_empty() {
        common::note(ui, bench, "No test logged yet.");
        return;
    }
    for (i, (x, m)) in test.measured.iter().zip(&frame.measured).enumerate().rev() {
        let right = m
            .stiffness
            .map_or_else(|| "says nothing".to_owned(), |k| words::stiffness(bench, k));
        let mut under = format!(
            "{} · {} up, {} down, {} apart",
            bench.show(Kind::Torque, x.torque.si()),
            words::wall(bench, x.left_up.si()),
            words::wall(bench, x.right_down.si()),
            bench.length(x.apart.si())
        );
        if let Some(t) = m.twist {
            under = format!("{under} · {}", twist_plot::degrees(t));
        }
        if let Some(f) = m.factor {
            under = format!("{under} · {f:.3} of computed");
        }
        if !x.note.is_empty() {
            under = format!("{under} · {}", x.note);
        }
        let label = format!("{} {}", x.when, x.who);
        let row = bits::Row {
            name: format!("Twist test {}", i + 1),
            label: label.trim(),
            right: &right,
            colour: bench.palette.ink,
            under: &under,
            drawn: "",
            chosen: false,
            faint: m.stiffness.is_none(),
        };
        bits::row(ui, bench, &row);
    }
    if ui
        .small_button("Take the last test back")
        .on_hover_text("It goes out of the log; undo brings it back")
        .clicked()
    {
        tray.edit(Edit::Tube(TubeEdit::TakeBackTwist));
    }
}
