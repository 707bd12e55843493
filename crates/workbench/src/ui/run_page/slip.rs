//! The time slip with how sure it is.

use build::{RunLimit, RunPlan, SlipReading, StripMark};
use eframe::egui::{self, RichText, Ui};
use units::Kind;

use super::super::bench::Bench;
use super::super::theme::{bold, plain};
use super::{pieces, words};

/// The table.
pub(super) fn show(ui: &mut Ui, bench: &Bench<'_>, run: &build::Run, plan: Option<&RunPlan>) {
    pieces::head(
        ui,
        bench,
        "Time slip",
        "± one standard deviation of the inputs",
    );
    let slip = &run.slip;
    let speed = |v: f64| bench.show(Kind::Speed, v);
    egui::Grid::new("time slip")
        .num_columns(4)
        .spacing([14.0, 3.0])
        .striped(true)
        .show(ui, |ui| {
            for word in ["", "time", "±", "speed there"] {
                pieces::column(ui, bench, word);
            }
            ui.end_row();
            let mut row =
                |label: &str, value: Option<f64>, reading: SlipReading, v: Option<String>| {
                    ui.label(RichText::new(label).font(plain(12.5)));
                    let text = value.map_or_else(|| "not reached".to_owned(), words::seconds);
                    ui.label(RichText::new(text).font(bold(12.5)));
                    let bar = plan.and_then(|p| p.bar(reading));
                    let bar = bar.map_or_else(|| "—".to_owned(), |b| format!("± {:.2}", b.sigma));
                    pieces::column(ui, bench, &bar);
                    ui.label(RichText::new(v.unwrap_or_default()).font(plain(12.5)));
                    ui.end_row();
                };
            for (mark, label) in [
                (StripMark::SixtyFoot, "60 ft"),
                (StripMark::ThreeThirty, "330 ft"),
                (StripMark::Eighth, "eighth mile"),
                (StripMark::Thousand, "1000 ft"),
                (StripMark::Quarter, "quarter mile"),
            ] {
                let v = slip.speed[mark.index()];
                let reading = SlipReading::Clock(mark);
                row(label, Some(slip.clock(mark)), reading, Some(speed(v)));
            }
            row(
                "0–60 mph, first motion",
                slip.zero_sixty,
                SlipReading::ZeroSixty,
                None,
            );
            row(
                "0–60 mph, with rollout",
                slip.zero_sixty_rollout(),
                SlipReading::ZeroSixtyRollout,
                None,
            );
        });
    if let (Some(_), Ok(s)) = (slip.zero_sixty, run.at(slip.clock_start)) {
        let text = format!(
            "The clock starts {} after first motion; with rollout the car already does {} then.",
            words::seconds(slip.clock_start),
            speed(s.speed)
        );
        pieces::say(ui, bench.palette.dim, text);
    }
    let trap = plan
        .and_then(|p| p.bar(SlipReading::QuarterTrap))
        .map(|b| format!(" ± {}", speed(b.sigma)))
        .unwrap_or_default();
    pieces::say(
        ui,
        bench.palette.ink,
        format!(
            "Trap speed, quarter {}{trap}; eighth {}. Greatest acceleration {} at {}.",
            speed(slip.quarter_trap),
            speed(slip.eighth_trap),
            bench.show(Kind::Acceleration, run.peak.acceleration),
            words::seconds(run.peak.time),
        ),
    );
    let shares: Vec<String> = RunLimit::ALL
        .into_iter()
        .filter(|l| run.seconds(*l) > 0.0)
        .map(|l| {
            format!(
                "{} {:.0} % ({})",
                words::limit(l),
                100.0 * run.share(l),
                words::seconds(run.seconds(l))
            )
        })
        .collect();
    pieces::say(
        ui,
        bench.palette.dim,
        format!("What limits it: {}.", shares.join(", ")),
    );
    let over = bench
        .build
        .run
        .goal
        .map_or(SlipReading::Clock(StripMark::Quarter), |g| {
            build::reading_over(g.over)
        });
    if let Some(bar) = plan.and_then(|p| p.bar(over)) {
        let of: Vec<String> = bar
            .largest()
            .iter()
            .map(|c| {
                let rough = if c.kinked { " ‡" } else { "" };
                format!("{} ± {:.2} s{rough}", c.parameter, c.amount)
            })
            .collect();
        pieces::say(
            ui,
            bench.palette.dim,
            format!("Most of the ± comes from {}.", of.join(", ")),
        );
    }
}
