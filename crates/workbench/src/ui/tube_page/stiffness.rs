//! How stiff the frame is in twist and bending, and which tube earns its weight.

use build::{Part, RearHold, TubeShare};
use eframe::egui::{self, Ui};
use units::Kind;

use super::super::bench::{Action, Bench, Tray};
use super::super::gauge;
use super::super::springs_page::common;
use super::super::theme::{bold, plain};
use super::super::weld_panels::bits;
use super::{test_form, twist_plot, words};

/// What the tubes are coloured by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) enum Colour {
    /// Twist stiffness gained per weight.
    #[default]
    PerWeight,
    /// Share of the strain energy in twist.
    Energy,
    /// Nothing.
    Off,
}

/// Which shape is drawn beside the frame.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) enum Deformed {
    /// Of the twist test.
    #[default]
    Twist,
    /// Of the bending test.
    Bending,
    /// None.
    Off,
}

/// What the topic remembers.
#[derive(Debug, Default)]
pub(super) struct State {
    pub colour: Colour,
    pub deformed: Deformed,
}

pub(super) fn show(state: &mut State, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    bits::two(
        state,
        ui,
        bench,
        tray,
        "stiffness columns",
        0.58,
        left,
        right,
    );
}

/// How the rear is held, in words.
fn held(hold: RearHold) -> &'static str {
    match hold {
        RearHold::Determinate => "rear held at three points, without strain",
        RearHold::Clamped => "rear clamped",
    }
}

fn left(_: &mut State, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    let frame = &bench.study.frame;
    match &frame.twist {
        Ok(t) => {
            let shown = frame.shown(t.stiffness);
            ui.horizontal_wrapped(|ui| {
                ui.label("Twist");
                let text = words::stiffness(bench, shown);
                ui.label(egui::RichText::new(text).font(bold(16.0)));
                ui.label(
                    egui::RichText::new(held(t.hold))
                        .font(plain(12.0))
                        .color(bench.palette.dim),
                );
            });
            if let Ok(other) = frame.other_hold {
                let how = match t.hold {
                    RearHold::Determinate => "rear clamped it would read",
                    RearHold::Clamped => "held at three points it would read",
                };
                common::note(
                    ui,
                    bench,
                    format!(
                        "{how} {}: compare like with like",
                        words::stiffness(bench, frame.shown(other))
                    ),
                );
            }
            twist_plot::show(ui, bench, t);
            if let Some(text) = twist_plot::said(t) {
                bits::say(ui, text);
            }
        }
        Err(why) => bits::say_in(ui, bench.palette.bad, format!("No twist test: {why}.")),
    }
    match &frame.bending {
        Ok(b) => {
            ui.horizontal_wrapped(|ui| {
                ui.label("Bending");
                let text = bench.show(Kind::SpringRate, frame.shown(b.stiffness));
                ui.label(egui::RichText::new(text).font(bold(16.0)));
                common::note(
                    ui,
                    bench,
                    "load on the middle over its sag, four corners held up",
                );
            });
        }
        Err(why) => bits::say_in(ui, bench.palette.bad, format!("No bending test: {why}.")),
    }
    for r in bench.study.readings.iter().filter(|r| {
        r.band.is_some()
            && ["frame.twist", "frame.bending", "frame.mass"]
                .iter()
                .any(|id| r.definition.id.starts_with(id))
    }) {
        gauge::show(ui, bench, r, tray);
    }
    factor(ui, bench);
    ui.separator();
    gains(ui, bench, tray);
    common::caution(ui, bench, build::FRAME_CAUTION);
}

/// What a measured test says of the numbers.
fn factor(ui: &mut Ui, bench: &Bench<'_>) {
    let frame = &bench.study.frame;
    if let Some(f) = frame.factor {
        let text = if frame.corrected {
            format!("All stiffnesses times {f:.2}: the last measured twist test.")
        } else {
            format!("The last measured twist test was {f:.2} of the computed one.")
        };
        bits::say_in(ui, bench.palette.good, text);
    }
}

/// Every tube by what a pound more of it gains.
fn gains(ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    let frame = &bench.study.frame;
    common::head(
        ui,
        bench,
        "What a tube gains",
        "twist stiffness for a pound more of it; the best first",
    );
    if frame.tubes.is_empty() {
        common::note(ui, bench, "Nothing to show without a twist test.");
        return;
    }
    let most = most(bench);
    for x in &frame.tubes {
        row(ui, bench, x, most, tray);
    }
}

/// The largest gain per weight of any tube.
pub(super) fn most(bench: &Bench<'_>) -> f64 {
    let gains = bench.study.frame.tubes.iter().filter_map(TubeShare::best);
    gains.fold(0.0_f64, f64::max).max(1e-12)
}

fn row(ui: &mut Ui, bench: &Bench<'_>, x: &TubeShare, most: f64, tray: &mut Tray) {
    let Some(tube) = bench.build.assembly.tubes.get(x.tube) else {
        return;
    };
    let frame = &bench.study.frame;
    let right = x.best().map_or_else(
        || "–".to_owned(),
        |g| words::per_weight(bench, frame.shown(g)),
    );
    let mut under = format!(
        "{:.1} % of the give in twist · {}",
        100.0 * x.energy,
        words::mass(bench, x.mass)
    );
    if let Some(e) = x.bending_energy {
        under = format!("{under} · {:.1} % in bending", 100.0 * e);
    }
    if let Some(better) = match (x.by_wall, x.by_diameter) {
        (Some(w), Some(d)) if d > w => Some("rather larger than thicker"),
        (Some(_), Some(_)) => Some("rather thicker than larger"),
        _ => None,
    } {
        under = format!("{under} · {better}");
    }
    let part = Part::Tube(tube.id.clone());
    let row = bits::Row {
        name: format!("Gain of tube {}", tube.id),
        label: &tube.label,
        right: &right,
        colour: bench.palette.ink,
        under: &under,
        drawn: "",
        chosen: bench.selected == Some(&part),
        faint: false,
    };
    let share = x.best().map_or(0.0, |g| (g / most).clamp(0.0, 1.0)) as f32;
    let r = bits::strip_row(ui, bench, &row, 6.0, |painter, lane| {
        let p = bench.palette;
        let bar = egui::Rect::from_min_size(
            lane.min + egui::vec2(0.0, 1.0),
            egui::vec2((lane.width() * share).max(1.0), 4.0),
        );
        painter.rect_filled(bar, 1, p.heat(share));
    });
    if r.clicked() {
        tray.put(Action::Select(part));
    }
}

fn right(state: &mut State, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    ui.horizontal_wrapped(|ui| {
        ui.label("colour tubes by");
        let all = [
            (Colour::PerWeight, "stiffness per weight".to_owned()),
            (Colour::Energy, "share of the give".to_owned()),
            (Colour::Off, "nothing".to_owned()),
        ];
        bits::chooser(ui, "Colour tubes by", 160.0, &mut state.colour, &all);
    });
    ui.horizontal_wrapped(|ui| {
        ui.label("draw the shape of");
        let all = [
            (Deformed::Twist, "the twist test".to_owned()),
            (Deformed::Bending, "the bending test".to_owned()),
            (Deformed::Off, "none".to_owned()),
        ];
        bits::chooser(ui, "Draw the shape of", 160.0, &mut state.deformed, &all);
    });
    test_form::show(ui, bench, tray);
}
