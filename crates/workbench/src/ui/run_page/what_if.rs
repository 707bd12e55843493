//! What if the tyres slip and the driver is not perfect: an extension beside the run, not validated, that
//! nothing else reads.

use std::sync::Arc;

use build::{Phrase, RunStudy, SlipLaunch, SlipReading, SlipRun, StripMark, TyreCurve};
use eframe::egui::{self, RichText, Ui};
use units::Kind;

use super::super::bench::{Bench, Tray};
use super::super::theme::{bold, plain};
use super::super::typed;
use super::super::worker::{Taken, Worker};
use super::{pieces, words};

/// The question.
#[derive(Debug, Clone)]
struct Asked {
    study: Arc<RunStudy>,
    launch: SlipLaunch,
}

impl PartialEq for Asked {
    fn eq(&self, other: &Self) -> bool {
        self.launch == other.launch && self.study.simulates_alike(&other.study)
    }
}

type Answer = Result<SlipRun, Phrase>;

/// The driver and the tyre, and what they come to.
#[derive(Debug)]
pub(super) struct WhatIf {
    on: bool,
    throttle: f64,
    /// As the launch rpm of the build when not typed, rad/s.
    release: Option<f64>,
    tyre: TyreCurve,
    work: Option<Worker<Asked, Answer>>,
    found: Option<Box<(Asked, Answer)>>,
}

impl Default for WhatIf {
    fn default() -> Self {
        Self {
            on: false,
            throttle: 1.0,
            release: None,
            tyre: TyreCurve::default(),
            work: None,
            found: None,
        }
    }
}

impl WhatIf {
    /// The launch with slip, once there is one.
    pub(super) fn found(&self) -> Option<&SlipRun> {
        self.found.as_ref()?.1.as_ref().ok()
    }

    fn keep_up(&mut self, ctx: &egui::Context, now: Asked) {
        let work = self.work.take().filter(|w| w.is_of(&now));
        if self.found.as_ref().is_some_and(|f| f.0 == now) {
            return;
        }
        let Some(work) = work else {
            let asked = now.clone();
            let work = Worker::start(ctx, now, 1, move |_, _| {
                asked.study.with_slip(&asked.launch)
            });
            self.work = Some(work);
            ctx.request_repaint();
            return;
        };
        match work.take(ctx) {
            Taken::Running => self.work = Some(work),
            Taken::Done(answer) => self.found = Some(Box::new((now, answer))),
            Taken::Lost => {
                let why = Err(Phrase::from("the work broke off"));
                self.found = Some(Box::new((now, why)));
            }
        }
    }

    pub(super) fn show(&mut self, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
        pieces::head(ui, bench, "What if the tyres slip", "not validated");
        ui.checkbox(&mut self.on, "Tyre slip and a driver who is not perfect")
            .on_hover_text(
                "An extension: the wheels have a speed of their own, and nobody holds the throttle back",
            );
        if !self.on {
            (self.work, self.found) = (None, None);
            return;
        }
        self.fields(ui, bench, tray);
        let study = &bench.study.run;
        let Ok(run) = &study.run else { return };
        let launch = SlipLaunch {
            tyre: self.tyre,
            throttle: self.throttle,
            release_speed: self.release.unwrap_or(run.car().driveline.launch_speed),
        };
        let asked = Asked {
            study: Arc::clone(study),
            launch,
        };
        self.keep_up(ui.ctx(), asked);
        match self.found.as_ref().map(|f| &f.1) {
            Some(Ok(slip)) => table(ui, bench, run, slip),
            Some(Err(why)) => {
                let text = format!("No such launch: {}.", why.show(bench.shop()));
                pieces::say(ui, bench.palette.bad, text);
            }
            None => pieces::say(ui, bench.palette.dim, "Reckoning…"),
        }
        pieces::say(
            ui,
            bench.palette.dim,
            "Not validated: nothing measured stands behind it. Times, goal and log go by the run above.",
        );
    }

    fn fields(&mut self, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
        let launch = bench.build.run.launch.si() + bench.build.run.launch_off.si();
        let mut of = |ui: &mut Ui, label: &'static str, kind, si: f64, low: f64, high: f64| {
            ui.label(RichText::new(label).font(plain(12.5)));
            let salt = ("what if", label);
            let typed = typed::field(ui, bench, salt, label, kind, si, pieces::FIELD, tray);
            typed.map(|v| v.clamp(low, high))
        };
        egui::Grid::new("what if")
            .num_columns(4)
            .spacing([12.0, 4.0])
            .show(ui, |ui| {
                let throttle = of(ui, "Throttle", Kind::Ratio, self.throttle, 0.05, 1.0);
                self.throttle = throttle.unwrap_or(self.throttle);
                let now = self.release.unwrap_or(launch);
                let typed = of(ui, "Release rpm", Kind::RotationSpeed, now, 1.0, 3000.0);
                self.release = typed.or(self.release);
                ui.end_row();
                let tyre = &mut self.tyre;
                let peak = of(
                    ui,
                    "Slip at most grip",
                    Kind::Ratio,
                    tyre.peak_slip,
                    0.01,
                    1.0,
                );
                tyre.peak_slip = peak.unwrap_or(tyre.peak_slip);
                let share = tyre.sliding_share;
                let slides = of(ui, "Grip left sliding", Kind::Ratio, share, 0.1, 0.99);
                tyre.sliding_share = slides.unwrap_or(share);
                ui.end_row();
            });
    }
}

fn table(ui: &mut Ui, bench: &Bench<'_>, run: &build::Run, slip: &SlipRun) {
    egui::Grid::new("what if times")
        .num_columns(4)
        .spacing([16.0, 3.0])
        .striped(true)
        .show(ui, |ui| {
            for head in ["", "the run", "with slip", "it costs"] {
                pieces::column(ui, bench, head);
            }
            ui.end_row();
            for (reading, label) in [
                (SlipReading::Clock(StripMark::SixtyFoot), "60 ft"),
                (SlipReading::ZeroSixty, "0–60 mph"),
                (SlipReading::Clock(StripMark::Quarter), "quarter mile"),
            ] {
                let (a, b) = (run.slip.reading(reading), slip.slip.reading(reading));
                ui.label(RichText::new(label).font(plain(12.5)));
                for t in [a, b] {
                    let text = t.map_or_else(|| "not reached".to_owned(), words::seconds);
                    ui.label(RichText::new(text).font(bold(12.5)));
                }
                let costs = a.zip(b).map(|(a, b)| format!("{:+.2} s", b - a));
                ui.label(RichText::new(costs.unwrap_or_default()).font(plain(12.5)));
                ui.end_row();
            }
        });
    let text = format!(
        "Past the slip of most grip for {}.",
        words::seconds(slip.spinning)
    );
    pieces::say(ui, bench.palette.ink, text);
}
