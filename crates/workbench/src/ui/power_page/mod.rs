//! The car under power: loads, link forces, squat and pitch at an acceleration, live while a mount is dragged.

mod behind;
mod carriage;
mod curves;
mod forces;
mod notes;
mod panel;
mod said;
mod scene;
mod side;
mod start;

use build::{Build, Case, Edit, Part, Study};
use eframe::egui::{self, Button, Panel, Ui};
use units::Kind;
use vehicle::STANDARD_GRAVITY;

pub use carriage::Carriage;

use super::bench::{Action, Bench, Tray};
use super::canvas::View;
use super::command::Command;
use super::theme::{bold, plain};
use super::{inspector, typed};
use curves::{Curves, What};
use scene::{Scene, balance_of};

/// From this width on the curves stand beside the lists.
const WIDE: f32 = 690.0;
/// The slider moves by this much, m/s².
const STEP: f64 = 0.01 * STANDARD_GRAVITY;
const ACCELERATION: &str = "power.acceleration";

/// What lies beside the curves, or over them where there is no room.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
enum Tab {
    Curves,
    #[default]
    Links,
    Car,
}

/// What this page remembers between frames.
#[derive(Debug)]
pub struct PowerPage {
    /// Which balance is shown.
    pub case: Case,
    /// Movement is drawn so many times as large.
    pub factor: f64,
    /// The view from the side.
    pub side: View,
    /// The view from behind.
    pub behind: View,
    tab: Tab,
    what: What,
    curves: Curves,
    /// The slider is in hand: the pointer's wishes count.
    sliding: bool,
}

impl Default for PowerPage {
    fn default() -> Self {
        Self {
            case: Case::Drive,
            factor: 1.0,
            side: View::default(),
            behind: View::default(),
            tab: Tab::default(),
            what: What::default(),
            curves: Curves::default(),
            sliding: false,
        }
    }
}

impl PowerPage {
    /// Fit every view at the next chance.
    pub fn fit(&mut self) {
        self.side.fit = true;
        self.behind.fit = true;
    }

    /// Where the balance shown carries what can be taken hold of; `None` while there is none.
    pub fn carriage(&self, b: &Build, study: &Study) -> Option<Carriage> {
        let r = study.launch.reactions.as_ref().ok()?;
        let (balance, _) = balance_of(r, self.case);
        Some(Carriage::of(b, &r.settled.at_rest, balance, self.factor))
    }

    /// How often the curves were worked out so far.
    pub fn curves_worked_out(&self) -> usize {
        self.curves.worked_out
    }

    /// Draws the page.
    pub fn show(&mut self, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
        self.curves.follow(bench);
        let wide = ui.available_width() >= WIDE;
        self.strip(ui, bench, tray);
        caution(ui, bench);
        let below = (ui.available_height() * if wide { 0.42 } else { 0.38 }).clamp(150.0, 360.0);
        Panel::bottom("power below")
            .resizable(true)
            .default_size(below)
            .min_size(130.0)
            .max_size((ui.available_height() - 150.0).max(130.0))
            .frame(egui::Frame::NONE)
            .show(ui, |ui| self.below(ui, bench, wide, tray));
        self.remark(ui, bench);
        let scene = Scene::of(bench, self.case, self.factor);
        side::show(ui, &scene, &mut self.side);
        if bench.build.power.coilovers.is_empty() {
            start::card(ui, bench, self.side.rect, tray);
        }
    }

    fn behind(&mut self, ui: &mut Ui, bench: &Bench<'_>) {
        let scene = Scene::of(bench, self.case, self.factor);
        behind::show(ui, &scene, &mut self.behind);
    }

    /// Cases, acceleration, how large the movement is drawn.
    fn strip(&mut self, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
        let margin = egui::Frame::NONE.inner_margin(egui::Margin::symmetric(12, 5));
        margin.show(ui, |ui| {
            let row = ui.available_width();
            let one_row = row > 760.0;
            let slider = if one_row { row - 640.0 } else { row - 270.0 };
            let now = bench.build.power.acceleration.si();
            let rest = |me: &mut Self, ui: &mut Ui, tray: &mut Tray| {
                ui.spacing_mut().slider_width = slider.clamp(80.0, 260.0);
                me.slider(ui, bench, now, tray);
                me.size(ui, tray);
            };
            ui.horizontal_wrapped(|ui| {
                let at = format!("At {}", bench.show(Kind::Acceleration, now));
                for (case, word, name) in [
                    (Case::Rest, "At rest", "At rest"),
                    (Case::Drive, at.as_str(), "At the acceleration"),
                    (Case::Traction, "Tyres slip", "Tyres slip"),
                    (Case::Braking, "Braking", "Braking"),
                ] {
                    let chosen = self.case == case;
                    let r = ui.selectable_label(chosen, word).accessible_name(name);
                    if r.clicked() {
                        self.case = case;
                    }
                }
                if one_row {
                    rest(self, ui, tray);
                }
            });
            if !one_row {
                ui.horizontal_wrapped(|ui| rest(self, ui, tray));
            }
        });
    }

    /// How large the movement is drawn, and the whole car again.
    fn size(&mut self, ui: &mut Ui, tray: &mut Tray) {
        for (factor, word) in [(1.0, "×1"), (5.0, "×5")] {
            let r = ui
                .selectable_label(self.factor == factor, word)
                .on_hover_text(
                    "How large squat, rise, pitch and roll are drawn; the arrows of forces stay",
                )
                .accessible_name(format!("Movement drawn {factor} times"));
            if r.clicked() {
                self.factor = factor;
            }
        }
        let e = Command::Fit.entry();
        if ui.add(Button::new(e.label)).on_hover_text(e.tip).clicked() {
            tray.put(Action::Run(Command::Fit));
        }
    }

    fn slider(&mut self, ui: &mut Ui, bench: &Bench<'_>, now: f64, tray: &mut Tray) {
        if ui.input(|i| i.key_pressed(egui::Key::Escape)) {
            self.sliding = false;
        }
        let mut value = now;
        let slider = egui::Slider::new(&mut value, 0.0..=self.curves.top())
            .clamping(egui::SliderClamping::Never)
            .step_by(STEP)
            .show_value(false)
            .trailing_fill(true);
        let r = ui.add(slider).accessible_name("Acceleration");
        if r.drag_started() {
            tray.put(Action::BeginGesture);
            self.sliding = true;
        }
        // Given up, the pointer still lies on it.
        let by_hand = ui.input(|i| i.pointer.any_down() || i.pointer.any_released());
        if r.changed() && value != now && (self.sliding || !by_hand) {
            self.ask(value, tray);
        }
        if r.drag_stopped() {
            if self.sliding {
                tray.put(Action::EndGesture);
            }
            self.sliding = false;
        }
        let kind = Kind::Acceleration;
        let name = "Acceleration, typed";
        if let Some(si) = typed::field(ui, bench, "acceleration", name, kind, now, 84.0, tray) {
            self.ask(si, tray);
        }
    }

    fn ask(&mut self, si: f64, tray: &mut Tray) {
        self.case = Case::Drive;
        tray.edit(Edit::Field {
            id: ACCELERATION.to_owned(),
            si,
        });
    }

    /// Why the car is not shown as asked, over the drawing.
    fn remark(&self, ui: &mut Ui, bench: &Bench<'_>) {
        let words = match &bench.study.launch.reactions {
            Err(_) if bench.build.power.coilovers.is_empty() => return,
            Err(why) => format!("No tyre loads and link forces: {why}. Drawn as on the board."),
            Ok(r) => {
                let (balance, why) = balance_of(r, self.case);
                let Some(why) = why else {
                    return;
                };
                let shown = bench.show(Kind::Acceleration, balance.acceleration.abs());
                format!("{}. Shown at {shown}.", sentence(&why))
            }
        };
        egui::Frame::NONE
            .inner_margin(egui::Margin::symmetric(12, 2))
            .show(ui, |ui| {
                let text = egui::RichText::new(format!("! {words}"))
                    .font(bold(12.0))
                    .color(bench.palette.bad);
                ui.add(egui::Label::new(text).wrap());
            });
    }

    fn below(&mut self, ui: &mut Ui, bench: &Bench<'_>, wide: bool, tray: &mut Tray) {
        let margin = egui::Frame::NONE.inner_margin(egui::Margin::symmetric(10, 5));
        if wide {
            let lists = (ui.available_width() * 0.36).clamp(250.0, 480.0);
            Panel::right("power lists")
                .resizable(true)
                .default_size(lists)
                .min_size(240.0)
                .frame(margin)
                .show(ui, |ui| self.lists(ui, bench, wide, tray));
            let share = (ui.available_width() * 0.42).clamp(170.0, 420.0);
            Panel::right("power behind")
                .resizable(true)
                .default_size(share)
                .size_range(150.0..=520.0)
                .frame(egui::Frame::NONE)
                .show(ui, |ui| self.behind(ui, bench));
            margin.show(ui, |ui| self.curves.show(ui, bench, &mut self.what));
        } else if inspected(bench) {
            // A part's numbers need the width.
            margin.show(ui, |ui| self.lists(ui, bench, wide, tray));
        } else {
            let share = (ui.available_width() * 0.38).clamp(120.0, 260.0);
            Panel::left("power behind narrow")
                .resizable(true)
                .default_size(share)
                .size_range(110.0..=300.0)
                .frame(egui::Frame::NONE)
                .show(ui, |ui| self.behind(ui, bench));
            margin.show(ui, |ui| self.lists(ui, bench, wide, tray));
        }
    }

    fn lists(&mut self, ui: &mut Ui, bench: &Bench<'_>, wide: bool, tray: &mut Tray) {
        if inspected(bench) {
            inspector::show(ui, bench, tray);
            return;
        }
        if wide && self.tab == Tab::Curves {
            self.tab = Tab::Links;
        }
        ui.horizontal(|ui| {
            for (tab, word) in [
                (Tab::Curves, "Curves"),
                (Tab::Links, "What links bear"),
                (Tab::Car, "Numbers"),
            ] {
                if !(wide && tab == Tab::Curves) {
                    ui.selectable_value(&mut self.tab, tab, word);
                }
            }
        });
        match self.tab {
            Tab::Curves => self.curves.show(ui, bench, &mut self.what),
            Tab::Links => panel::links(ui, bench, self.case, tray),
            Tab::Car => panel::car(ui, bench, tray),
        }
    }
}

/// A part in hand whose numbers take the place of the lists.
fn inspected(bench: &Bench<'_>) -> bool {
    matches!(bench.selected, Some(Part::Bracket(_) | Part::Link(_)))
}

/// With a capital.
fn sentence(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |c| {
        c.to_uppercase().collect::<String>() + letters.as_str()
    })
}

/// What can hurt here, in one line.
fn caution(ui: &mut Ui, bench: &Bench<'_>) {
    let words = "Compressed springs and turning driveshafts injure: unload, chock, keep clear.";
    Panel::bottom("power caution")
        .resizable(false)
        .show_separator_line(false)
        .frame(egui::Frame::NONE.inner_margin(egui::Margin::symmetric(12, 3)))
        .show(ui, |ui| {
            let text = egui::RichText::new(words)
                .font(plain(11.0))
                .color(bench.palette.bad);
            ui.add(egui::Label::new(text).truncate())
                .on_hover_text(words);
        });
}
