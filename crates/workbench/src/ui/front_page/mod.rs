//! The front end: drawn to scale and dragged, its curves over travel, bump steer and what straightens it,
//! adjusters, clearances.

mod adjusters;
mod bump;
mod clear;
mod curves;
mod draw;
mod form;
mod grips;
mod joints;
mod outline;
mod parts;
mod steering;

use build::{FRONT_CAUTION, FrontEnd, FrontMotion, Part, RollingEdit};
use eframe::egui::{self, Panel, ScrollArea, Ui};
use units::Kind;

use super::bench::{Bench, Tray};
use super::canvas::View;
use super::drawn_points;
use super::handles::{Face, Grab, Hand};
use super::springs_page::common;
use super::theme::bold;
use curves::Curve;

/// Width from which the form stands beside the drawing instead of below it, points.
const BESIDE: f32 = 860.0;
/// Width of the form beside the drawing, points.
const FORM: f32 = 500.0;

/// What the form is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Topic {
    /// Points and numbers.
    #[default]
    Points,
    /// Bump steer and what straightens it.
    Bump,
    /// Ackermann, circles, lock.
    Steering,
    /// What a turn does.
    Adjusters,
    /// Gaps and joints.
    Clearances,
    /// The phase's record.
    Record,
}

impl Topic {
    /// Every topic, in the order of the row.
    pub const ALL: [Self; 6] = [
        Self::Points,
        Self::Bump,
        Self::Steering,
        Self::Adjusters,
        Self::Clearances,
        Self::Record,
    ];

    /// What its tab says.
    pub fn label(self) -> &'static str {
        match self {
            Self::Points => "Points",
            Self::Bump => "Bump steer",
            Self::Steering => "Steering",
            Self::Adjusters => "Adjusters",
            Self::Clearances => "What touches",
            Self::Record => "Record",
        }
    }

    /// The topic a part or reading belongs to.
    fn of(part: &Part) -> Option<Self> {
        Some(match part {
            Part::Field("front_end.adjusters") => Self::Adjusters,
            Part::Field("front_end.joints") => Self::Clearances,
            Part::Field(id) if id.starts_with("front_end.") => Self::Points,
            Part::Reading(id) => match id.split('.').nth(1)? {
                _ if !id.starts_with("front.") => return None,
                "gap" | "joint" | "tightest" => Self::Clearances,
                "bump_steer" | "rack_height" | "curvature" => Self::Bump,
                "ackermann" | "lock" | "turning_circle" | "steering_ratio" | "handwheel"
                | "tie_rod_force" => Self::Steering,
                _ => return None,
            },
            _ => return None,
        })
    }
}

/// What this page remembers between frames.
#[derive(Debug, Default)]
pub struct FrontPage {
    /// What the form is about.
    pub topic: Topic,
    face: Option<Face>,
    behind: View,
    above: View,
    side: View,
    /// Both axles in the view from above.
    whole: bool,
    /// Travel of the pose shown, m.
    pub travel: f64,
    /// Rack of the pose shown, m, left positive.
    pub rack: f64,
    curve: Curve,
    grab: Grab,
}

impl FrontPage {
    /// The face on the bench.
    fn face(&self) -> Face {
        self.face.unwrap_or(Face::Rear)
    }

    /// The drawing that the zoom keys act on.
    pub fn main_view(&mut self) -> &mut View {
        match self.face() {
            Face::Plan => &mut self.above,
            Face::Side => &mut self.side,
            _ => &mut self.behind,
        }
    }

    /// Fit every view at the next chance.
    pub fn fit(&mut self) {
        for v in [&mut self.behind, &mut self.above, &mut self.side] {
            v.fit = true;
        }
    }

    /// Another document.
    pub fn start_over(&mut self) {
        self.fit();
        (self.travel, self.rack) = (0.0, 0.0);
    }

    /// Brings what was jumped to.
    pub fn bring(&mut self, part: &Part) {
        if let Some(topic) = Topic::of(part) {
            self.topic = topic;
        }
    }

    /// Reads the handles as they were laid last frame.
    pub fn read(&mut self, hand: &Hand<'_>, tray: &mut Tray) {
        let (face, at_rest) = (self.face(), self.at_rest());
        let view = *self.main_view();
        let points = grips::shown(at_rest);
        drawn_points::read(hand, points, face, &view, &mut self.grab, tray);
    }

    fn at_rest(&self) -> bool {
        self.travel == 0.0 && self.rack == 0.0
    }

    /// Draws the page.
    pub fn show(&mut self, ui: &mut Ui, bench: &Bench<'_>, phase: &str, tray: &mut Tray) {
        let ui = &mut common::in_sight(ui);
        let inside = egui::Frame::NONE.inner_margin(egui::Margin::symmetric(12, 6));
        self.tabs(ui, bench);
        if self.topic == Topic::Record {
            return super::bench_page::show(ui, bench, phase, tray);
        }
        let Some(front) = &bench.build.front_end else {
            inside.show(ui, |ui| {
                scroll(ui, |ui| {
                    none_yet(ui, bench, tray);
                    common::caution(ui, bench, FRONT_CAUTION);
                });
            });
            return;
        };
        let motion = bench.study.front.as_ref().map(|s| &s.motion);
        let motion = motion.and_then(|m| m.as_ref().ok());
        self.travel = self.travel.clamp(-front.droop.si(), front.bump.si());
        self.rack = self
            .rack
            .clamp(-front.rack.travel.si(), front.rack.travel.si());
        if ui.available_width() >= BESIDE {
            Panel::right("front form")
                .resizable(true)
                .default_size(FORM)
                .size_range(300.0..=(ui.available_width() - 300.0).max(310.0))
                .frame(inside)
                .show(ui, |ui| {
                    scroll(ui, |ui| self.numbers(ui, bench, front, motion, tray));
                });
            if let Some(m) = motion {
                let height = (ui.available_height() * 0.36).clamp(160.0, 320.0);
                Panel::bottom("front plot")
                    .resizable(true)
                    .default_size(height)
                    .min_size(140.0)
                    .max_size((ui.available_height() - 150.0).max(150.0))
                    .frame(inside)
                    .show(ui, |ui| {
                        curves::plot(ui, bench, m, &mut self.curve, self.travel, None);
                    });
            }
            self.drawing(ui, bench, front, motion);
        } else {
            let height = (ui.available_height() * 0.46).clamp(140.0, 300.0);
            Panel::top("front drawing")
                .resizable(true)
                .default_size(height)
                .min_size(80.0)
                .max_size((ui.available_height() - 120.0).max(80.0))
                .frame(egui::Frame::NONE)
                .show(ui, |ui| self.drawing(ui, bench, front, motion));
            inside.show(ui, |ui| {
                scroll(ui, |ui| {
                    self.numbers(ui, bench, front, motion, tray);
                    if let Some(m) = motion {
                        curves::plot(ui, bench, m, &mut self.curve, self.travel, Some(190.0));
                    }
                });
            });
        }
    }

    fn tabs(&mut self, ui: &mut Ui, bench: &Bench<'_>) {
        egui::Frame::NONE
            .fill(bench.palette.panel)
            .inner_margin(egui::Margin::symmetric(10, 3))
            .show(ui, |ui| {
                ui.set_min_width(ui.available_width());
                ui.horizontal_wrapped(|ui| {
                    for topic in Topic::ALL {
                        ui.selectable_value(&mut self.topic, topic, topic.label());
                    }
                });
            });
    }

    fn drawing(
        &mut self,
        ui: &mut Ui,
        bench: &Bench<'_>,
        front: &FrontEnd,
        motion: Option<&FrontMotion>,
    ) {
        egui::Frame::NONE
            .inner_margin(egui::Margin::symmetric(12, 4))
            .show(ui, |ui| self.head(ui, bench, front));
        let (face, whole) = (self.face(), self.whole);
        let (travel, rack, at_rest) = (self.travel, self.rack, self.at_rest());
        let seen = draw::Seen {
            bench,
            front,
            motion,
            face,
            whole,
            travel,
            rack,
            at_rest,
            near: self.topic == Topic::Clearances,
        };
        draw::show(ui, &seen, self.main_view());
    }

    /// From where, and the pose.
    fn head(&mut self, ui: &mut Ui, bench: &Bench<'_>, front: &FrontEnd) {
        let wide = ui.available_width() >= 620.0;
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing.x = 6.0;
            self.faces(ui);
            if wide {
                self.pose(ui, bench, front);
            }
        });
        // A slider does not wrap: it would widen the drawing under the form.
        if !wide {
            ui.horizontal(|ui| self.pose(ui, bench, front));
        }
    }

    fn faces(&mut self, ui: &mut Ui) {
        let now = self.face();
        for (face, word) in [
            (Face::Rear, "From behind"),
            (Face::Plan, "From above"),
            (Face::Side, "From the left"),
        ] {
            let word = egui::RichText::new(word).font(bold(12.5));
            if ui.selectable_label(now == face, word).clicked() {
                self.face = Some(face);
            }
        }
        if now == Face::Plan
            && ui
                .toggle_value(&mut self.whole, "to the rear axle")
                .changed()
        {
            self.above.fit = true;
        }
    }

    fn pose(&mut self, ui: &mut Ui, bench: &Bench<'_>, front: &FrontEnd) {
        let step = units::step(Kind::Length, bench.shop());
        let (bump, droop) = (front.bump.si(), front.droop.si());
        let end = front.rack.travel.si();
        ui.spacing_mut().slider_width = ((ui.available_width() - 220.0) * 0.5).clamp(40.0, 84.0);
        for (word, name, value, low, high) in [
            (
                "Travel",
                "Wheel travel shown",
                &mut self.travel,
                -droop,
                bump,
            ),
            ("Rack", "Rack shown", &mut self.rack, -end, end),
        ] {
            let label = format!("{word} {}", bench.length(*value));
            if ui
                .button(label)
                .on_hover_text("Back to the middle")
                .clicked()
            {
                *value = 0.0;
            }
            let slider = egui::Slider::new(value, low..=high)
                .step_by(step)
                .show_value(false)
                .trailing_fill(false);
            let r = ui.add(slider).accessible_name(name);
            if r.double_clicked() || value.abs() < 0.51 * step {
                *value = 0.0;
            }
        }
    }

    fn numbers(
        &mut self,
        ui: &mut Ui,
        bench: &Bench<'_>,
        front: &FrontEnd,
        motion: Option<&FrontMotion>,
        tray: &mut Tray,
    ) {
        if let Some(Err(why)) = bench.study.front.as_ref().map(|s| &s.motion) {
            ui.colored_label(
                bench.palette.bad,
                format!("It does not go together: {why}."),
            );
        }
        match (self.topic, motion) {
            (Topic::Points | Topic::Record, _) | (_, None) => {
                form::show(ui, bench, front, tray);
            }
            (Topic::Bump, Some(m)) => bump::show(ui, bench, front, m, tray),
            (Topic::Steering, Some(m)) => steering::show(ui, bench, m, &mut self.rack),
            (Topic::Adjusters, Some(m)) => adjusters::show(ui, bench, front, m, tray),
            (Topic::Clearances, Some(m)) => {
                if let Some((travel, rack)) = clear::show(ui, bench, front, m) {
                    (self.travel, self.rack) = (travel, rack);
                }
                joints::show(ui, bench, front, tray);
            }
        }
        if let Some(part) = bench.selected
            && Topic::of(part) == Some(self.topic)
        {
            common::remarks(ui, bench, part);
        }
        common::caution(ui, bench, FRONT_CAUTION);
    }
}

fn scroll(ui: &mut Ui, contents: impl FnOnce(&mut Ui)) {
    ScrollArea::both()
        .id_salt("front form")
        .auto_shrink(false)
        .show(ui, |ui| contents(ui));
}

/// A reading as the shop reads it, or why there is none.
fn said(bench: &Bench<'_>, id: &str) -> String {
    match bench.study.reading(id) {
        Some(r) => match &r.value {
            Ok(_) => r.display(bench.shop()),
            Err(why) => why.to_string(),
        },
        None => String::new(),
    }
}

fn none_yet(ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    egui::Frame::NONE
        .fill(bench.palette.panel)
        .stroke(egui::Stroke::new(1.3, bench.palette.accent))
        .corner_radius(5)
        .inner_margin(10)
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.label(egui::RichText::new("No front end yet").font(bold(13.0)));
            ui.label(
                "Draw double arms and a rack in proportion to the car, then type where the tape says the points are, \
                 or drag them.",
            );
            if ui
                .button("Draw a front end to start from")
                .on_hover_text("From wheelbase, front track and tyre, round figures to be replaced")
                .clicked()
            {
                let new = FrontEnd::usual(&bench.build.car);
                tray.edit(build::Edit::Rolling(RollingEdit::FrontEnd(
                    "Draw a front end",
                    Some(Box::new(new)),
                )));
            }
        });
    ui.add_space(6.0);
}
