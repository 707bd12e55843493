//! The hole search: every combination of bracket holes judged on a worker, ranked, with a map. A
//! click bolts a combination up as one step.

mod inputs;
mod map;
mod table;
mod words;

use std::sync::Arc;

use build::{Figure, HoleOptions, HoleOutcome, HolePlan, HolesError, reading_of};
use eframe::egui::{self, Button, Panel, RichText, Ui};

use self::inputs::Inputs;
use super::bench::{Action, Bench, Tray};
use super::theme::{bold, plain};
use super::worker::{Taken, Worker};
use crate::command::{csv, tab_separated};

pub(super) use self::words::count;

/// How many of the best are listed.
const KEEP: usize = 500;
/// Cells of the map each way.
const CELLS: usize = 30;
/// At least this wide, the table stands beside the map.
const SIDE_BY_SIDE: f32 = 760.0;

/// What a search is asked besides the build.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Asked {
    free: bool,
    held: bool,
    axes: [Figure; 2],
}

impl Asked {
    fn options(self) -> HoleOptions {
        HoleOptions {
            free: self.free,
            held: self.held,
            keep: KEEP,
            axes: self.axes,
            cells: CELLS,
            ..HoleOptions::default()
        }
    }

    /// Judges the same combinations, whatever the map shows.
    fn is_alike(self, other: Self) -> bool {
        (self.free, self.held) == (other.free, other.held)
    }
}

/// A search that was run, and what it was run on.
#[derive(Debug)]
struct Found {
    asked: Asked,
    inputs: Inputs,
    plan: Arc<HolePlan>,
    outcome: HoleOutcome,
}

/// A plan is the same as long as what the search reads is.
#[derive(Debug)]
struct Prepared {
    asked: Asked,
    inputs: Inputs,
    plan: Result<Arc<HolePlan>, String>,
}

type Work = Worker<(Asked, Inputs), Result<HoleOutcome, HolesError>>;

/// What this page remembers between frames.
#[derive(Debug)]
pub struct HolesPage {
    generation: u64,
    asked: Asked,
    prepared: Option<Prepared>,
    work: Option<(Arc<HolePlan>, Work)>,
    found: Option<Found>,
    /// Why the last search gave nothing.
    trouble: Option<String>,
    table: table::Table,
    map: map::MapState,
}

impl Default for HolesPage {
    fn default() -> Self {
        let axes = HoleOptions::default().axes;
        Self {
            generation: 0,
            asked: Asked {
                free: false,
                held: false,
                axes,
            },
            prepared: None,
            work: None,
            found: None,
            trouble: None,
            table: table::Table::default(),
            map: map::MapState::default(),
        }
    }
}

impl HolesPage {
    /// The map always fits: there is nothing to do.
    pub fn fit(&mut self) {}

    /// A search is under way.
    pub fn is_running(&self) -> bool {
        self.work.is_some()
    }

    /// What the last finished search found, and the plan that numbers its combinations.
    pub fn found(&self) -> Option<(&HolePlan, &HoleOutcome)> {
        self.found.as_ref().map(|f| (&*f.plan, &f.outcome))
    }

    /// Draws the page.
    pub fn show(&mut self, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
        if self.generation != bench.generation {
            // Another document: the old one's search is called off, its findings are not this one's.
            *self = Self {
                generation: bench.generation,
                ..Self::default()
            };
        }
        self.look(ui.ctx(), bench);
        let head = egui::Frame::NONE.inner_margin(egui::Margin {
            left: 12,
            right: 12,
            top: 6,
            bottom: 2,
        });
        head.show(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 4.0;
            self.controls(ui, bench);
            self.run_row(ui, bench, tray);
            self.result(ui, bench);
        });
        if self.found.is_none() {
            return;
        }
        let margin = egui::Frame::NONE.inner_margin(egui::Margin::symmetric(12, 4));
        let free = ui.available_size();
        if free.x >= SIDE_BY_SIDE {
            Panel::right("holes beside")
                .resizable(true)
                .default_size((free.x * 0.5).min(620.0))
                .min_size(300.0)
                .max_size((free.x - 300.0).max(300.0))
                .frame(margin)
                .show(ui, |ui| self.best(ui, bench, tray));
        } else {
            Panel::bottom("holes below")
                .resizable(true)
                .default_size((free.y * 0.46).max(90.0))
                .min_size(80.0)
                .max_size((free.y - 120.0).max(80.0))
                .frame(margin)
                .show(ui, |ui| self.best(ui, bench, tray));
        }
        margin.show(ui, |ui| self.chart(ui, bench, tray));
    }

    /// Takes a result that is there; drops work whose question has changed.
    fn look(&mut self, ctx: &egui::Context, bench: &Bench<'_>) {
        let inputs = Inputs::of(bench.build, self.asked.held);
        let ready = self
            .prepared
            .as_ref()
            .is_some_and(|p| p.asked == self.asked && p.inputs == inputs);
        if !ready {
            let plan = HolePlan::new(bench.build, self.asked.options());
            self.prepared = Some(Prepared {
                asked: self.asked,
                inputs: inputs.clone(),
                plan: plan.map(Arc::new).map_err(|e| e.to_string()),
            });
        }
        let Some((plan, work)) = self.work.take() else {
            return;
        };
        if !work.is_of(&(self.asked, inputs.clone())) {
            self.trouble =
                Some("Called off: what is searched was changed while it ran.".to_owned());
            return;
        }
        match work.take(ctx) {
            Taken::Running => self.work = Some((plan, work)),
            Taken::Done(Ok(outcome)) => {
                self.trouble = None;
                self.table = table::Table::default();
                self.map = map::MapState::default();
                self.found = Some(Found {
                    asked: self.asked,
                    inputs,
                    plan,
                    outcome,
                });
            }
            Taken::Done(Err(e)) => self.trouble = Some(words::sentence(&e.to_string())),
            Taken::Lost => {
                self.trouble = Some("The search broke off and found nothing.".to_owned());
            }
        }
    }

    fn start(&mut self, ctx: &egui::Context, bench: &Bench<'_>) {
        let Some(Prepared {
            inputs,
            plan: Ok(plan),
            ..
        }) = &self.prepared
        else {
            return;
        };
        self.trouble = None;
        let key = (self.asked, inputs.clone());
        // The plan of now: holes may have been bolted since it was prepared.
        let plan = HolePlan::new(bench.build, self.asked.options())
            .map_or_else(|_| Arc::clone(plan), Arc::new);
        let job = Arc::clone(&plan);
        let work = Worker::start(ctx, key, plan.combinations(), move |progress, cancel| {
            job.run(progress, cancel)
        });
        self.work = Some((plan, work));
    }

    /// What the last result answers: another drawing, or other choices than those made now.
    fn is_stale(&self) -> bool {
        match (&self.found, &self.prepared) {
            (Some(f), Some(p)) => f.inputs != p.inputs || !f.asked.is_alike(self.asked),
            _ => false,
        }
    }

    fn controls(&mut self, ui: &mut Ui, bench: &Bench<'_>) {
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing.x = 5.0;
            ui.label("Left and right");
            let free = &mut self.asked.free;
            choice(ui, free, false, "alike", "Left and right alike");
            choice(
                ui,
                free,
                true,
                "each its own",
                "Left and right each its own",
            );
            ui.add_space(10.0);
            ui.label("Lengths");
            let held = &mut self.asked.held;
            choice(ui, held, false, "set to suit", "Lengths set to suit");
            choice(ui, held, true, "held", "Lengths held");
        });
        let judged = words::judged_by(bench);
        let text = RichText::new(judged)
            .font(plain(11.5))
            .color(bench.palette.dim);
        ui.add(egui::Label::new(text).wrap());
    }

    fn run_row(&mut self, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
        let p = bench.palette;
        ui.horizontal_wrapped(|ui| {
            if let Some((plan, work)) = &self.work {
                let text = words::progress(plan, work.done());
                let bar = egui::ProgressBar::new(work.share())
                    .desired_width((ui.available_width() - 120.0).clamp(60.0, 320.0))
                    .text(RichText::new(&text).font(plain(12.0)).color(p.ink))
                    .fill(p.panel.lerp_to_gamma(p.accent, 0.45));
                ui.add(bar).widget_info(|| {
                    let mut info = egui::WidgetInfo::labeled(
                        egui::Role::ProgressIndicator,
                        true,
                        "Search progress",
                    );
                    info.current_text_value = Some(text.clone());
                    info
                });
                if ui.button("Call it off").clicked() {
                    self.work = None;
                    self.trouble = Some("The search was called off.".to_owned());
                }
                return;
            }
            let plan = self.prepared.as_ref().map(|p| &p.plan);
            let (ready, said) = match plan {
                Some(Ok(plan)) => (true, words::combinations(plan.combinations())),
                Some(Err(why)) => (false, words::sentence(why)),
                None => (false, String::new()),
            };
            let stale = self.is_stale();
            let label = if stale {
                "Try every hole again"
            } else {
                "Try every hole"
            };
            let text = RichText::new(label).font(bold(13.0));
            let button = if ready {
                Button::new(text.color(p.on_accent)).fill(p.accent)
            } else {
                Button::new(text)
            };
            let pressed = ui
                .add_enabled(ready, button)
                .on_hover_text("Judges every combination by the bands; nothing is changed")
                .clicked();
            if ready {
                ui.label(said);
            } else {
                ui.add(egui::Label::new(RichText::new(said).color(p.bad)).wrap());
            }
            if pressed {
                self.start(ui.ctx(), bench);
            }
            if let Some(f) = &self.found {
                let shop = bench.shop();
                let copy = |text, what: &str| Action::Copy {
                    text,
                    what: what.to_owned(),
                };
                if ui
                    .button("Copy table")
                    .on_hover_text("The listed combinations with every figure, for a spreadsheet")
                    .clicked()
                {
                    let text = tab_separated(&f.plan, &f.outcome, shop);
                    tray.put(copy(text, "Combinations"));
                }
                if ui
                    .button("Copy CSV")
                    .on_hover_text("The same, separated by commas, for a file")
                    .clicked()
                {
                    tray.put(copy(csv(&f.plan, &f.outcome, shop), "Combinations as CSV"));
                }
            }
        });
        if self.work.is_none() && self.is_stale() {
            let why = match (&self.found, &self.prepared) {
                (Some(f), Some(p)) if f.inputs != p.inputs => {
                    "! Stale: the drawing or a band has changed since this search. Run it again."
                }
                _ => {
                    "! Stale: this was searched with other choices than those above. Run it again."
                }
            };
            ui.add(egui::Label::new(RichText::new(why).color(p.bad)).wrap());
        }
        if let Some(why) = &self.trouble {
            ui.add(egui::Label::new(RichText::new(why).color(p.bad)).wrap());
        }
    }

    fn result(&self, ui: &mut Ui, bench: &Bench<'_>) {
        let Some(f) = &self.found else {
            if self.work.is_none() && matches!(&self.prepared, Some(Prepared { plan: Ok(_), .. })) {
                ui.add_space(6.0);
                let text = "Every hole of every bracket is tried with every other. Those in all the bands are ranked by how near \
                            they come to the middle of each band. A click then bolts a combination up as one step to undo.";
                ui.add(egui::Label::new(RichText::new(text).color(bench.palette.dim)).wrap());
            }
            return;
        };
        let (first, rest) = words::outcome(&f.outcome);
        let none = f.outcome.best.is_empty();
        let colour = if none {
            bench.palette.bad
        } else {
            bench.palette.ink
        };
        ui.add(egui::Label::new(RichText::new(first).font(bold(12.5)).color(colour)).wrap());
        if !rest.is_empty() {
            let rest = RichText::new(rest).font(plain(12.0));
            ui.add(egui::Label::new(rest).wrap());
        }
    }

    fn best(&mut self, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
        let stale = self.is_stale_drawing();
        if let Some(f) = &self.found
            && let Some(index) = self.table.show(ui, bench, &f.plan, &f.outcome, stale)
        {
            tried(&f.plan, index, stale, tray);
        }
    }

    fn chart(&mut self, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
        let before = self.asked.axes;
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing.x = 5.0;
            let [across, up] = &mut self.asked.axes;
            axis(ui, "Across", across);
            axis(ui, "Up", up);
        });
        if self.asked.axes != before && !self.is_stale() {
            self.look(ui.ctx(), bench);
            self.start(ui.ctx(), bench);
        }
        let stale = self.is_stale_drawing();
        if let Some(f) = &self.found
            && let Some(index) = self.map.show(ui, bench, &f.plan, &f.outcome)
        {
            tried(&f.plan, index, stale, tray);
        }
    }

    /// The combinations are of another drawing: their holes may not be there any more.
    fn is_stale_drawing(&self) -> bool {
        match (&self.found, &self.prepared) {
            (Some(f), Some(p)) => !f.inputs.is_same_drawing(&p.inputs),
            _ => false,
        }
    }
}

/// Bolts a combination up, unless it is one of a drawing that is not there any more.
fn tried(plan: &HolePlan, index: u64, stale: bool, tray: &mut Tray) {
    if stale {
        tray.put(Action::Say(
            "This search is stale: try every hole again first".to_owned(),
        ));
    } else {
        tray.put(Action::Edit(plan.edit(index)));
    }
}

/// One of two or three choices side by side, each with a name of its own.
pub(super) fn choice<T: PartialEq>(ui: &mut Ui, now: &mut T, this: T, text: &str, name: &str) {
    let chosen = *now == this;
    let r = ui.add(Button::selectable(chosen, text));
    r.widget_info(|| egui::WidgetInfo::selected(egui::Role::RadioButton, true, chosen, name));
    if r.clicked() {
        *now = this;
    }
}

/// The figures a map can show: those that a gauge shows too.
fn axis(ui: &mut Ui, name: &str, now: &mut Figure) {
    let label = |f: Figure| reading_of(f).map_or("", |d| d.label);
    ui.label(name);
    egui::ComboBox::from_id_salt(("holes axis", name))
        .selected_text(label(*now))
        .width(if ui.available_width() < 420.0 {
            130.0
        } else {
            158.0
        })
        .show_ui(ui, |ui| {
            for f in Figure::ALL {
                if reading_of(f).is_some() {
                    ui.selectable_value(now, f, label(f));
                }
            }
        })
        .response
        .widget_info(|| {
            let name = format!("Map {}", name.to_lowercase());
            let mut info = egui::WidgetInfo::labeled(egui::Role::ComboBox, true, name);
            info.current_text_value = Some(label(*now).to_owned());
            info
        });
}
