//! What one step of each input does to the times.

use build::{RunPlan, SlipReading, Slope, StripMark};
use eframe::egui::{self, RichText, Ui};
use units::Kind;

use super::super::bench::Bench;
use super::super::theme::{bold, plain};
use super::{pieces, words};

/// A time's change in words: plus is slower.
fn moved(t: f64) -> String {
    if t.abs() < 0.0005 {
        "0".to_owned()
    } else {
        format!("{t:+.3}")
    }
}

/// Both ways where a limit lies between.
fn cell(slope: Option<Slope>, step: f64) -> String {
    let Some(s) = slope else {
        return "—".to_owned();
    };
    let flat = |x: f64| (x * step).abs() < 0.0005;
    match (s.kinked, s.below, s.above) {
        (true, Some(below), Some(above)) if !(flat(below) && flat(above)) => {
            format!("{} / {} ‡", moved(-below * step), moved(above * step))
        }
        _ => moved(s.central * step),
    }
}

/// The table.
pub(super) fn show(ui: &mut Ui, bench: &Bench<'_>, plan: &RunPlan) {
    pieces::head(
        ui,
        bench,
        "What one step does",
        "seconds; below zero is quicker",
    );
    let columns = [
        (SlipReading::ZeroSixty, "0–60"),
        (SlipReading::Clock(StripMark::SixtyFoot), "60 ft"),
        (SlipReading::Clock(StripMark::Quarter), "quarter"),
    ];
    let mut kinked = false;
    egui::Grid::new("sensitivities")
        .num_columns(4)
        .spacing([16.0, 3.0])
        .striped(true)
        .show(ui, |ui| {
            pieces::column(ui, bench, "one step");
            for (_, word) in columns {
                pieces::column(ui, bench, word);
            }
            ui.end_row();
            for e in &plan.sensitivities.effects {
                ui.label(RichText::new(words::step(bench, e.parameter, e.step)).font(plain(12.5)));
                for (reading, _) in columns {
                    let text = cell(e.slope(reading), e.step);
                    kinked |= text.ends_with('‡');
                    ui.label(RichText::new(text).font(bold(12.0)));
                }
                ui.end_row();
            }
        });
    if kinked {
        pieces::say(
            ui,
            bench.palette.dim,
            "‡ a limit lies between: first what a step the other way does, then what the step does. One slope does \
             not serve both ways.",
        );
    }
    if let Some(m) = plan.anti_squat {
        let fine = |si: f64| units::format_fine(Kind::Length, si.abs(), bench.shop());
        let more = |x: f64| if x < 0.0 { "less" } else { "more" };
        let text = format!(
            "Anti-squat buys a perfect driver hardly any time: how fast the load comes is what it moves. {:.0} points \
             more pitch the nose up {} {} and part rear tyres and body by {} {}.",
            100.0 * m.by,
            units::format_fine(Kind::Angle, m.nose_up.abs(), bench.shop()),
            more(m.nose_up),
            fine(m.separation),
            more(m.separation),
        );
        pieces::say(ui, bench.palette.dim, text);
    }
    for e in &plan.sensitivities.effects {
        for (way, why) in [("less", &e.below), ("more", &e.above)] {
            if let Some(why) = why {
                pieces::say(
                    ui,
                    bench.palette.dim,
                    format!("No run with {way} {}: {why}.", e.parameter),
                );
            }
        }
    }
}
