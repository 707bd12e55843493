//! The mock-up: what fits around the rear wheels, drawn where it is tightest; wheel and housing; notch and
//! bump stop.

mod draw;
mod forms;
mod points;

use build::{CLEARANCE_CAUTION, ClearanceStudy, Edit, Fit, MockUp, PairStudy, Part, RollingEdit};
use eframe::egui::{self, Panel, ScrollArea, Ui};
use units::Kind;
use vehicle::packaging::WheelPose;

use super::bench::{Action, Bench, Tray};
use super::canvas::View;
use super::handles::{Face, Grab, Hand};
use super::springs_page::common;
use super::theme::{bold, plain};

/// Width from which the list stands beside the drawing instead of below it, points.
const BESIDE: f32 = 700.0;

/// What stands beside the drawing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Topic {
    /// Every pair and how close it comes.
    #[default]
    Gaps,
    /// Wheel, tyre, housing, shafts.
    Wheel,
    /// Notch and bump stop.
    Stop,
    /// Car, rail, second reference, record.
    Car,
}

impl Topic {
    const ALL: [(Self, &'static str); 4] = [
        (Self::Gaps, "Gaps"),
        (Self::Wheel, "Wheel and housing"),
        (Self::Stop, "Notch and bump stop"),
        (Self::Car, "Car and rail"),
    ];

    /// Where a part of the mock-up is typed.
    pub fn of(part: &Part) -> Option<Self> {
        let id = match part {
            Part::Body(_) => return Some(Self::Gaps),
            Part::Field(id) => *id,
            Part::Reading(id) => id.as_str(),
            _ => return None,
        };
        let among = |of: &[&str]| of.iter().any(|x| id.contains(x));
        if !(id.starts_with("mock_up") || id.starts_with("clearance.")) {
            return None;
        }
        Some(if among(&["notch", "stop", "metal", "rail_left"]) {
            Self::Stop
        } else if among(&["gap", "least", "mock_up.bump", "mock_up.droop", "spring"]) {
            Self::Gaps
        } else {
            Self::Wheel
        })
    }
}

/// What this page remembers between frames.
#[derive(Debug, Default)]
pub struct MockUpPage {
    /// From behind.
    pub behind: View,
    /// From the left.
    pub side: View,
    /// What stands beside the drawing.
    pub topic: Topic,
    from_left: bool,
    /// The pair that is shown in its worst pose.
    pair: Option<String>,
    /// Travel of the left and right wheel, m, where a person set it.
    wheels: Option<[f64; 2]>,
    grab: Grab,
}

impl MockUpPage {
    /// Fit every view at the next chance.
    pub fn fit(&mut self) {
        (self.behind.fit, self.side.fit) = (true, true);
    }

    /// Forgets what belonged to another build.
    pub fn start_over(&mut self) {
        self.fit();
        (self.pair, self.wheels) = (None, None);
    }

    /// The pair that was picked from the list, by its short name.
    pub fn pair(&self) -> Option<&str> {
        self.pair.as_deref()
    }

    /// The drawing that the zoom keys act on.
    pub fn view_mut(&mut self) -> &mut View {
        if self.from_left {
            &mut self.side
        } else {
            &mut self.behind
        }
    }

    fn face(&self) -> Face {
        if self.from_left {
            Face::Side
        } else {
            Face::Rear
        }
    }

    /// Reads last frame's handles, so that what is drawn now has already moved.
    pub fn read(&mut self, hand: &Hand<'_>, tray: &mut Tray) {
        let face = self.face();
        let view = if self.from_left {
            self.side
        } else {
            self.behind
        };
        points::read(hand, face, &view, &mut self.grab, tray);
    }

    /// Draws the page.
    pub fn show(&mut self, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
        let ui = &mut common::in_sight(ui);
        let inside = egui::Frame::NONE.inner_margin(egui::Margin::symmetric(12, 6));
        let Some(mock) = &bench.build.mock_up else {
            inside.show(ui, |ui| empty(ui, bench, tray));
            return;
        };
        Panel::top("mock-up topics")
            .frame(inside)
            .show(ui, |ui| self.topics(ui));
        if self.topic == Topic::Car {
            super::bench_page::show(ui, bench, "mock_up", tray);
            return;
        }
        let Some(study) = bench.study.clearance.as_deref() else {
            return;
        };
        if ui.available_width() >= BESIDE {
            Panel::right("mock-up side")
                .resizable(true)
                .default_size(430.0)
                .size_range(300.0..=(ui.available_width() - 260.0).max(310.0))
                .frame(inside)
                .show(ui, |ui| {
                    ScrollArea::both()
                        .auto_shrink(false)
                        .show(ui, |ui| self.beside(ui, bench, mock, study, tray));
                });
            self.drawing(ui, bench, study);
        } else {
            let height = (ui.available_height() * 0.48).clamp(120.0, 330.0);
            Panel::top("mock-up drawing")
                .resizable(true)
                .default_size(height)
                .min_size(90.0)
                .max_size((ui.available_height() - 110.0).max(90.0))
                .frame(egui::Frame::NONE)
                .show(ui, |ui| self.drawing(ui, bench, study));
            inside.show(ui, |ui| {
                ScrollArea::vertical()
                    .auto_shrink(false)
                    .show(ui, |ui| self.beside(ui, bench, mock, study, tray));
            });
        }
    }

    fn topics(&mut self, ui: &mut Ui) {
        ui.horizontal_wrapped(|ui| {
            for (topic, word) in Topic::ALL {
                ui.selectable_value(&mut self.topic, topic, word);
            }
        });
    }

    /// The pair whose worst pose is shown.
    fn shown<'a>(&self, study: &'a ClearanceStudy) -> Option<&'a PairStudy> {
        let fit = study.fit.as_ref().ok()?;
        let chosen = self.pair.as_ref();
        let found = chosen.and_then(|id| fit.pairs.iter().find(|p| p.id == *id));
        found.or_else(|| fit.pairs.first())
    }

    /// Where the wheels stand in the drawing, and the pair measured there.
    fn pose<'a>(&self, study: &'a ClearanceStudy) -> Option<(WheelPose, &'a PairStudy)> {
        let pair = self.shown(study)?;
        let fit = study.fit.as_ref().ok()?;
        let Some([left, right]) = self.wheels else {
            return Some((pair.clearance.at, pair));
        };
        let off = |p: &&WheelPose| (p.left - left).hypot(p.right - right);
        let near = |a: &&WheelPose, b: &&WheelPose| off(a).total_cmp(&off(b));
        Some((*fit.envelope.poses().iter().min_by(near)?, pair))
    }

    fn drawing(&mut self, ui: &mut Ui, bench: &Bench<'_>, study: &ClearanceStudy) {
        egui::Frame::NONE
            .inner_margin(egui::Margin::symmetric(12, 4))
            .show(ui, |ui| self.wheel_row(ui, bench, study));
        let face = self.face();
        let pose = self.pose(study);
        let view = if self.from_left {
            &mut self.side
        } else {
            &mut self.behind
        };
        draw::show(ui, bench, view, face, study, pose);
        points::lay(ui, bench, view, face);
    }

    /// Which way it is looked at, and where the wheels stand.
    fn wheel_row(&mut self, ui: &mut Ui, bench: &Bench<'_>, study: &ClearanceStudy) {
        let Some(m) = &bench.build.mock_up else {
            return;
        };
        ui.horizontal_wrapped(|ui| {
            ui.selectable_value(&mut self.from_left, false, "From behind");
            ui.selectable_value(&mut self.from_left, true, "From the left");
            if self.wheels.is_some() && ui.button("Worst pose").clicked() {
                self.wheels = None;
            }
        });
        let Some((at, _)) = self.pose(study) else {
            return;
        };
        let mut now = [at.left, at.right];
        let mut moved = false;
        // As fine as the poses looked at lie.
        let step = (m.bump.si() + m.droop.si()) / 4.0;
        let mut wheel = |ui: &mut Ui, k: usize| {
            let word = ["left wheel", "right wheel"][k];
            ui.label(egui::RichText::new(word).font(plain(11.5)));
            ui.spacing_mut().slider_width = 70.0;
            let slider = egui::Slider::new(&mut now[k], -m.droop.si()..=m.bump.si())
                .step_by(step)
                .show_value(false)
                .trailing_fill(false);
            let r = ui.add(slider);
            moved |= r.accessible_name(format!("Travel of the {word}")).changed();
            ui.label(egui::RichText::new(travel(bench, now[k])).font(plain(11.5)));
        };
        // Each wheel's words and slider stay together.
        if ui.available_width() < 440.0 {
            for k in [0, 1] {
                ui.horizontal(|ui| wheel(ui, k));
            }
        } else {
            ui.horizontal(|ui| [0, 1].map(|k| wheel(ui, k)));
        }
        if moved {
            self.wheels = Some(now);
        }
    }

    fn beside(
        &mut self,
        ui: &mut Ui,
        bench: &Bench<'_>,
        mock: &MockUp,
        study: &ClearanceStudy,
        tray: &mut Tray,
    ) {
        match self.topic {
            Topic::Gaps => {
                match &study.fit {
                    Err(why) => {
                        ui.colored_label(bench.palette.bad, format!("No gaps: {why}."));
                    }
                    Ok(fit) => self.pairs(ui, bench, mock, fit, tray),
                }
                ui.add_space(6.0);
                forms::fields(ui, bench, "Looked at", forms::LOOKED_AT, tray);
                forms::body(ui, bench, mock, tray);
            }
            Topic::Wheel => {
                forms::fields(ui, bench, "Rear wheel", forms::WHEEL, tray);
                forms::fields(ui, bench, "Rear tyre", forms::TYRE, tray);
                forms::fields(ui, bench, "Housing", forms::HOUSING, tray);
                forms::shafts(ui, bench, mock, study, tray);
            }
            Topic::Stop => forms::stop(ui, bench, mock, tray),
            Topic::Car => {}
        }
        common::caution(ui, bench, CLEARANCE_CAUTION);
    }

    /// Every pair, the tightest first.
    fn pairs(&mut self, ui: &mut Ui, bench: &Bench<'_>, mock: &MockUp, fit: &Fit, tray: &mut Tray) {
        let p = bench.palette;
        common::head(ui, bench, "Gaps", "tightest first; click one to see it");
        let shown = self
            .pair
            .clone()
            .or_else(|| Some(fit.pairs.first()?.id.clone()));
        let room = (ui.available_width() - 130.0).clamp(190.0, 330.0);
        egui::Grid::new("gaps")
            .num_columns(2)
            .spacing([10.0, 3.0])
            .show(ui, |ui| {
                for pair in &fit.pairs {
                    let (word, colour) = judged(mock, pair);
                    let here = shown.as_ref() == Some(&pair.id);
                    let label = egui::Button::selectable(here, &pair.label).truncate();
                    let size = egui::vec2(room, 18.0);
                    let row = ui.allocate_ui(size, |ui| {
                        ui.set_width(size.x);
                        ui.add(label)
                    });
                    if row.inner.clicked() {
                        (self.pair, self.wheels) = (Some(pair.id.clone()), None);
                        tray.put(Action::Select(pair.part.clone()));
                    }
                    let value = pair
                        .gap()
                        .map_or_else(|| "run through".to_owned(), |g| bench.show(Kind::Length, g));
                    let text = if word.is_empty() {
                        value
                    } else {
                        format!("{value} · {word}")
                    };
                    ui.label(egui::RichText::new(text).color(colour(p)));
                    ui.end_row();
                }
            });
        if let Some((why, n)) = &fit.unreached {
            common::note(ui, bench, format!("{n} poses are not reached: {why}"));
        }
    }
}

/// A verdict on a pair and its colour.
fn judged(
    mock: &MockUp,
    pair: &PairStudy,
) -> (&'static str, fn(&super::theme::Palette) -> egui::Color32) {
    match pair.gap() {
        Some(g) if g < 0.0 => ("touches", |p| p.bad),
        None => ("", |p| p.bad),
        Some(g) if pair.of_tyre && g < mock.gap.si() => ("too close", |p| p.accent),
        Some(_) => ("", |p| p.ink),
    }
}

/// A travel in words.
pub(super) fn travel(bench: &Bench<'_>, metres: f64) -> String {
    let amount = bench.show(Kind::Length, metres.abs());
    if metres.abs() < 1e-6 {
        "ride".to_owned()
    } else if metres < 0.0 {
        format!("{amount} droop")
    } else {
        format!("{amount} bump")
    }
}

fn empty(ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        ui.label(egui::RichText::new("Nothing is mocked up yet").font(bold(14.0)));
        common::note(
            ui,
            bench,
            "Wheel, tyre, housing and the body around them: then the gaps over the travel of both wheels, \
             and what to order, follow.",
        );
        if ui.button("Mock up from the car's figures").clicked() {
            let usual = Box::new(MockUp::usual(&bench.build.car));
            tray.edit(Edit::Rolling(RollingEdit::MockUp("Mock up", Some(usual))));
        }
        common::caution(ui, bench, CLEARANCE_CAUTION);
        super::bench_page::show(ui, bench, "mock_up", tray);
    });
}
