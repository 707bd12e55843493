//! What misplaced holes cost: the spread of the figures over random builds, and which dimensions it
//! comes from. It is worked out again by itself when the drawing changes.

mod drawing;
mod most;
mod plot;
mod words;

use build::{Build, Car, Edit, Misplaced, PlacementStudy, Rear, Target, fields, placement_label};
use eframe::egui::{self, Panel, RichText, Ui};
use geometry::Scatter;

use super::bench::{Bench, Tray};
use super::canvas::View;
use super::holes_page::{choice, count};
use super::theme::{bold, plain};
use super::typed;
use super::worker::{Taken, Worker};

/// The field of the tolerance.
const FIELD: &str = "rear.placement_tolerance";
/// After a change, this long is waited for another, s.
const PAUSE: f64 = 0.15;
/// At least this wide and high, everything stands in sight at once.
const WIDE: [f32; 2] = [740.0, 560.0];

/// What the answer depends on.
#[derive(Debug, Clone, PartialEq)]
struct Inputs {
    car: Car,
    rear: Rear,
    targets: Vec<Target>,
    held: bool,
    samples: usize,
    seed: u64,
}

/// The answer: slopes and random builds.
#[derive(Debug)]
struct Answer {
    study: PlacementStudy,
    scatter: Scatter,
}

#[derive(Debug)]
struct Shown {
    inputs: Inputs,
    /// The build that was asked about: brackets are named by their place in it.
    build: Build,
    answer: Result<Box<Answer>, String>,
}

/// What this page remembers between frames.
#[derive(Debug)]
pub struct TolerancePage {
    generation: u64,
    held: bool,
    samples: usize,
    seed: u64,
    figure: Misplaced,
    /// What is waited for to stay as it is, and since when.
    waiting: Option<(Inputs, f64)>,
    work: Option<Worker<Inputs, Result<Box<Answer>, String>>>,
    shown: Option<Box<Shown>>,
    view: View,
}

impl Default for TolerancePage {
    fn default() -> Self {
        Self {
            generation: 0,
            held: false,
            samples: 10_000,
            seed: 1,
            figure: Misplaced::AntiSquat,
            waiting: None,
            work: None,
            shown: None,
            view: View::default(),
        }
    }
}

impl TolerancePage {
    /// Fit every view at the next chance.
    pub fn fit(&mut self) {
        self.view.fit = true;
    }

    /// The answer on the page, once there is one: slopes, random builds.
    pub fn answer(&self) -> Option<Result<(&PlacementStudy, &Scatter), &str>> {
        let shown = self.shown.as_ref()?;
        Some(match &shown.answer {
            Ok(a) => Ok((&a.study, &a.scatter)),
            Err(why) => Err(why),
        })
    }

    /// What is shown is of an older drawing, or nothing is shown yet.
    pub fn is_behind(&self) -> bool {
        self.work.is_some() || self.waiting.is_some() || self.shown.is_none()
    }

    /// Draws the page.
    pub fn show(&mut self, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
        if self.generation != bench.generation {
            *self = Self {
                generation: bench.generation,
                held: self.held,
                samples: self.samples,
                seed: self.seed,
                figure: self.figure,
                ..Self::default()
            };
        }
        self.keep_up(ui.ctx(), bench);
        let margin = egui::Frame::NONE.inner_margin(egui::Margin {
            left: 12,
            right: 12,
            top: 6,
            bottom: 2,
        });
        margin.show(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 4.0;
            self.controls(ui, bench, tray);
        });
        let Some(shown) = self.shown.take() else {
            return;
        };
        match &shown.answer {
            Err(why) => {
                margin.show(ui, |ui| {
                    let text = format!("No answer: {why}.");
                    let text = RichText::new(text).color(bench.palette.bad);
                    ui.add(egui::Label::new(text).wrap());
                });
            }
            Ok(answer) => self.pages(ui, bench, &shown, answer),
        }
        self.shown = Some(shown);
    }

    /// Takes what is done, and begins again where the drawing has changed.
    fn keep_up(&mut self, ctx: &egui::Context, bench: &Bench<'_>) {
        let b = bench.build;
        let now = Inputs {
            car: b.car.clone(),
            rear: b.rear.clone(),
            targets: b.targets.clone(),
            held: self.held,
            samples: self.samples,
            seed: self.seed,
        };
        // Work on what is not asked any more is called off.
        let work = self.work.take().filter(|w| w.is_of(&now));
        if self.shown.as_ref().is_some_and(|s| s.inputs == now) {
            self.waiting = None;
            return;
        }
        if let Some(work) = work {
            let answer = match work.take(ctx) {
                Taken::Running => {
                    self.work = Some(work);
                    return;
                }
                Taken::Done(answer) => answer,
                Taken::Lost => Err("the work broke off".to_owned()),
            };
            self.shown = Some(Box::new(Shown {
                inputs: now,
                build: b.clone(),
                answer,
            }));
            return;
        }
        let time = ctx.input(|i| i.time);
        let since = match &self.waiting {
            Some((inputs, since)) if *inputs == now => *since,
            // What was just changed may change again; the first time nobody is in the middle of it.
            _ if self.shown.is_some() => time,
            _ => time - PAUSE,
        };
        let left = PAUSE - (time - since);
        if left > 0.0 {
            self.waiting = Some((now, since));
            ctx.request_repaint_after(std::time::Duration::from_secs_f64(left));
            return;
        }
        self.waiting = None;
        let (held, samples, seed) = (self.held, self.samples, self.seed);
        let b = b.clone();
        let work = Worker::start(ctx, now, samples as u64, move |progress, cancel| {
            let study = PlacementStudy::new(&b, held)?;
            let scatter = study.scatter(&b, samples, seed, progress, cancel)?;
            Ok(Box::new(Answer { study, scatter }))
        });
        // Asks for the look that will find it done.
        if let Taken::Running = work.take(ctx) {
            self.work = Some(work);
        } else {
            ctx.request_repaint();
        }
    }

    fn controls(&mut self, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
        let p = bench.palette;
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing.x = 5.0;
            if let Some(f) = fields::FIELDS.iter().find(|f| f.id == FIELD) {
                ui.label("Holes off by ±").on_hover_text(f.help);
                let now = (f.get)(bench.build);
                let new = typed::field(ui, bench, FIELD, f.label, f.kind, now, 70.0, tray);
                if let Some(si) = new {
                    tray.edit(Edit::Field {
                        id: FIELD.to_owned(),
                        si,
                    });
                }
                ui.add_space(8.0);
            }
            ui.label("Lengths");
            let held = &mut self.held;
            choice(ui, held, false, "set to suit", "Lengths set to suit");
            choice(ui, held, true, "held as drawn", "Lengths held as drawn");
            ui.add_space(8.0);
            ui.label("Random builds");
            for n in [1_000_usize, 10_000, 100_000] {
                let text = count(n as u64);
                let name = format!("{text} random builds");
                choice(ui, &mut self.samples, n, &text, &name);
            }
            ui.add_space(8.0);
            ui.label("seed");
            let seed = egui::DragValue::new(&mut self.seed)
                .range(0..=999_999)
                .update_while_editing(false)
                .speed(0.1);
            ui.add(seed)
                .on_hover_text("The same seed gives the same random builds")
                .widget_info(|| egui::WidgetInfo::labeled(egui::Role::SpinButton, true, "Seed"));
        });
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing.x = 5.0;
            ui.label("Figure");
            let label = |f: Misplaced| placement_label(f).0;
            egui::ComboBox::from_id_salt("misplaced figure")
                .selected_text(RichText::new(label(self.figure)).font(bold(13.0)))
                .width(190.0)
                .show_ui(ui, |ui| {
                    for f in Misplaced::ALL {
                        ui.selectable_value(&mut self.figure, f, label(f));
                    }
                })
                .response
                .widget_info(|| {
                    let role = egui::Role::ComboBox;
                    let mut info = egui::WidgetInfo::labeled(role, true, "Figure that spreads");
                    info.current_text_value = Some(label(self.figure).to_owned());
                    info
                });
            let text = match &self.work {
                Some(w) => format!("reckoning: {} of {}", count(w.done()), count(w.total())),
                None if self.waiting.is_some() => "reckoning again…".to_owned(),
                None => String::new(),
            };
            ui.label(RichText::new(text).font(plain(11.5)).color(p.dim));
        });
    }

    fn pages(&mut self, ui: &mut Ui, bench: &Bench<'_>, shown: &Shown, answer: &Answer) {
        let margin = egui::Frame::NONE.inner_margin(egui::Margin::symmetric(12, 4));
        let free = ui.available_size();
        let figure = self.figure;
        if free.x >= WIDE[0] && free.y >= WIDE[1] {
            Panel::right("misplaced beside")
                .resizable(true)
                .default_size((free.x * 0.42).clamp(320.0, 520.0))
                .min_size(280.0)
                .max_size((free.x - 340.0).max(280.0))
                .frame(margin)
                .show(ui, |ui| {
                    egui::ScrollArea::vertical()
                        .auto_shrink(false)
                        .show(ui, |ui| {
                            most::boxed(ui, bench, &shown.build, &answer.study, figure);
                            most::bars(ui, bench, &shown.build, &answer.study, figure);
                        });
                });
            Panel::bottom("misplaced below")
                .resizable(true)
                .default_size(free.y * 0.44)
                .min_size(120.0)
                .max_size((free.y - 220.0).max(120.0))
                .frame(egui::Frame::NONE)
                .show(ui, |ui| {
                    drawing::side(
                        ui,
                        bench,
                        &mut self.view,
                        shown,
                        &answer.study,
                        figure,
                        None,
                    );
                });
            margin.show(ui, |ui| {
                words::say(ui, bench, answer, figure);
                let height = ui.available_height();
                plot::show(ui, bench, answer, figure, height);
            });
            return;
        }
        margin.show(ui, |ui| {
            egui::ScrollArea::vertical()
                .auto_shrink(false)
                .show(ui, |ui| {
                    words::say(ui, bench, answer, figure);
                    plot::show(ui, bench, answer, figure, 170.0);
                    most::boxed(ui, bench, &shown.build, &answer.study, figure);
                    let height = Some(230.0);
                    drawing::side(
                        ui,
                        bench,
                        &mut self.view,
                        shown,
                        &answer.study,
                        figure,
                        height,
                    );
                    most::bars(ui, bench, &shown.build, &answer.study, figure);
                });
        });
    }
}

/// A figure's value with as many decimals as its spread asks for.
fn display(bench: &Bench<'_>, figure: Misplaced, si: f64, spread: f64) -> String {
    build::show_to(placement_label(figure).1, si, spread, bench.shop())
}

/// How far a figure moves, without a sign.
fn amount(bench: &Bench<'_>, figure: Misplaced, si: f64) -> String {
    build::show_to(placement_label(figure).1, si, si, bench.shop())
}
