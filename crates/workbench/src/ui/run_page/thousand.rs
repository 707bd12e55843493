//! A thousand runs with the inputs drawn from their spreads, on a thread of their own: quantiles, the shape of
//! the spread, and how often the goal is met. What was found is dropped when an input changes.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};

use build::{Phrase, RunStudy, Simulation, SlipReading, StripMark};
use eframe::egui::{self, Rect, RichText, Role, Sense, Stroke, Ui, WidgetInfo, pos2, vec2};

use super::super::bench::Bench;
use super::super::theme::{bold, plain};
use super::super::worker::{Taken, Worker};
use super::{pieces, words};

/// Runs made.
const RUNS: usize = 1000;
/// The same draws every time.
const SEED: u64 = 1;
/// Bars of the shape and their height.
const BINS: usize = 32;
const HEIGHT: f32 = 64.0;

/// What is simulated: alike when car, timing and spreads are.
#[derive(Debug, Clone)]
struct Asked(Arc<RunStudy>);

impl PartialEq for Asked {
    fn eq(&self, other: &Self) -> bool {
        self.0.simulates_alike(&other.0)
    }
}

type Answer = Result<Simulation, Phrase>;

/// Work under way, and what was found.
#[derive(Debug, Default)]
pub(super) struct Thousand {
    work: Option<Worker<Asked, Answer>>,
    found: Option<(Asked, Answer)>,
    trouble: Option<&'static str>,
}

fn job(study: &RunStudy, progress: &AtomicU64, cancel: &AtomicBool) -> Answer {
    study.simulate(RUNS, SEED, |done| {
        progress.store(done as u64, Ordering::Relaxed);
        !cancel.load(Ordering::Relaxed)
    })
}

impl Thousand {
    /// The runs made, once there are any.
    pub(super) fn found(&self) -> Option<&Simulation> {
        self.found.as_ref()?.1.as_ref().ok()
    }

    /// Whether runs are being made.
    pub(super) fn works(&self) -> bool {
        self.work.is_some()
    }

    /// Takes a result that is there; drops what answers another question.
    fn look(&mut self, ctx: &egui::Context, now: &Asked) {
        if self.found.as_ref().is_some_and(|(asked, _)| asked != now) {
            self.found = None;
            self.trouble = Some("An input has changed since the runs were made.");
        }
        let Some(work) = self.work.take() else { return };
        if !work.is_of(now) {
            self.trouble = Some("Called off: an input was changed while the runs were made.");
            return;
        }
        match work.take(ctx) {
            Taken::Running => self.work = Some(work),
            Taken::Done(answer) => {
                self.trouble = None;
                self.found = Some((now.clone(), answer));
            }
            Taken::Lost => self.trouble = Some("The runs broke off."),
        }
    }

    pub(super) fn show(&mut self, ui: &mut Ui, bench: &Bench<'_>) {
        let now = Asked(Arc::clone(&bench.study.run));
        self.look(ui.ctx(), &now);
        pieces::head(
            ui,
            bench,
            "A thousand runs",
            "inputs drawn from their ± under Chassis and air",
        );
        self.row(ui, bench, now);
        match &self.found {
            Some((_, Ok(s))) => spread(ui, bench, s),
            Some((_, Err(why))) => {
                let text = format!("No answer: {}.", why.show(bench.shop()));
                pieces::say(ui, bench.palette.bad, text);
            }
            None => {}
        }
    }

    fn row(&mut self, ui: &mut Ui, bench: &Bench<'_>, now: Asked) {
        let p = bench.palette;
        ui.horizontal_wrapped(|ui| {
            if let Some(work) = &self.work {
                let text = format!("{} of {}", work.done(), work.total());
                let bar = egui::ProgressBar::new(work.share())
                    .desired_width((ui.available_width() - 120.0).clamp(60.0, 260.0))
                    .text(RichText::new(&text).font(plain(12.0)).color(p.ink))
                    .fill(p.panel.lerp_to_gamma(p.accent, 0.45));
                ui.add(bar).widget_info(|| {
                    let role = Role::ProgressIndicator;
                    let mut info = WidgetInfo::labeled(role, true, "Runs made");
                    info.current_text_value = Some(text.clone());
                    info
                });
                if ui.button("Call it off").clicked() {
                    self.work = None;
                    self.trouble = Some("The runs were called off.");
                }
                return;
            }
            let label = if self.found.is_some() {
                "Run a thousand again"
            } else {
                "Run a thousand"
            };
            let again = ui.button(label).on_hover_text(
                "Power, weight, tyre grip, centre of gravity and launch rpm each a little off, all at once",
            );
            if again.clicked() {
                self.trouble = None;
                let study = Arc::clone(&now.0);
                let work = Worker::start(ui.ctx(), now, RUNS as u64, move |progress, cancel| {
                    job(&study, progress, cancel)
                });
                self.work = Some(work);
                ui.ctx().request_repaint();
            }
            if let Some(trouble) = self.trouble {
                ui.label(RichText::new(trouble).font(plain(12.0)).color(p.dim));
            }
        });
    }
}

fn spread(ui: &mut Ui, bench: &Bench<'_>, s: &Simulation) {
    egui::Grid::new("thousand runs")
        .num_columns(4)
        .spacing([16.0, 3.0])
        .striped(true)
        .show(ui, |ui| {
            for head in ["", "1 in 20 under", "half under", "19 in 20 under"] {
                pieces::column(ui, bench, head);
            }
            ui.end_row();
            for (reading, label) in [
                (SlipReading::Clock(StripMark::SixtyFoot), "60 ft"),
                (SlipReading::ZeroSixty, "0–60 mph"),
                (SlipReading::Clock(StripMark::Quarter), "quarter mile"),
            ] {
                ui.label(RichText::new(label).font(plain(12.5)));
                match &s.spreads[reading.index()] {
                    Some(x) => {
                        for t in [x.low, x.median, x.high] {
                            ui.label(RichText::new(words::seconds(t)).font(bold(12.5)));
                        }
                    }
                    None => {
                        ui.label(RichText::new("not reached").font(plain(12.5)));
                    }
                }
                ui.end_row();
            }
        });
    let goal = bench.build.run.goal;
    let over = goal.map_or(SlipReading::Clock(StripMark::Quarter), |g| {
        build::reading_over(g.over)
    });
    let wanted = goal.map(|g| g.time.si());
    if let Some((goal, share)) = goal.zip(wanted.and_then(|t| s.share_within(over, t))) {
        let met = (share * s.runs as f64).round();
        let text = format!(
            "{met:.0} of {} runs meet the goal of {}: {:.0} %.",
            s.runs,
            words::seconds(goal.time.si()),
            100.0 * share
        );
        ui.add(egui::Label::new(RichText::new(text).font(bold(12.5))).wrap());
    }
    shape(ui, bench, s, over, wanted);
    if s.failed > 0 {
        let why = s.last_failure.as_ref().map(ToString::to_string);
        let text = format!(
            "{} of them gave no run, the last because: {}.",
            s.failed,
            why.unwrap_or_default()
        );
        pieces::say(ui, bench.palette.dim, text);
    }
}

/// Bars of how many runs took how long; what meets the goal in its colour, and left of a line.
fn shape(ui: &mut Ui, bench: &Bench<'_>, s: &Simulation, over: SlipReading, wanted: Option<f64>) {
    let Some((least, width, bins)) = s.bins(over, BINS) else {
        return;
    };
    let p = bench.palette;
    let greatest = least + width * BINS as f64;
    let size = vec2(ui.available_width().clamp(80.0, 460.0), HEIGHT);
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    response.widget_info(|| {
        let mut info = WidgetInfo::labeled(Role::Image, true, "Spread of the runs");
        info.current_text_value = Some(format!(
            "{} to {}",
            words::seconds(least),
            words::seconds(greatest)
        ));
        info
    });
    let painter = ui.painter().with_clip_rect(rect.expand(1.0));
    let base = rect.bottom() - 14.0;
    let most = bins.iter().copied().max().unwrap_or(1).max(1) as f32;
    let wide = rect.width() / BINS as f32;
    for (k, n) in bins.iter().enumerate() {
        let high = (base - rect.top()) * *n as f32 / most;
        let left = rect.left() + wide * k as f32;
        let middle = least + width * (k as f64 + 0.5);
        let meets = wanted.is_some_and(|t| middle <= t);
        let bar = Rect::from_min_max(pos2(left + 0.5, base - high), pos2(left + wide - 0.5, base));
        painter.rect_filled(bar, 0.0, if meets { p.good } else { p.dim });
    }
    painter.hline(rect.x_range(), base, Stroke::new(1.0, p.dim));
    let text = |at, anchor, t: f64| {
        painter.text(at, anchor, words::seconds(t), plain(11.0), p.dim);
    };
    text(rect.left_bottom(), egui::Align2::LEFT_BOTTOM, least);
    text(rect.right_bottom(), egui::Align2::RIGHT_BOTTOM, greatest);
    if let Some(t) = wanted.filter(|t| *t > least && *t < greatest) {
        let x = rect.left() + rect.width() * ((t - least) / (greatest - least)) as f32;
        painter.vline(x, rect.top()..=base, Stroke::new(1.5, p.accent));
        let edge = 40.0_f32.min(rect.width() / 2.0);
        let x = x.clamp(rect.left() + edge, rect.right() - edge);
        let at = pos2(x, rect.bottom());
        painter.text(
            at,
            egui::Align2::CENTER_BOTTOM,
            "goal",
            plain(11.0),
            p.accent,
        );
    }
}
