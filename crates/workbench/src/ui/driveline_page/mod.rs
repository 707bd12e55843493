//! Driveshaft: joint angles and slip over travel.

mod draw;
pub mod phase;
mod speeds;
mod usual;

use build::{Driveshaft, Edit, Part, ShaftStudy, Slip};
use eframe::egui::{self, Panel, ScrollArea, Ui};
use units::{Angle, Kind, Length};

use super::bench::{Bench, Tray};
use super::canvas::View;
use super::drawn_points;
use super::handles::{Face, Grab, Hand};
use super::springs_page::{common, curves};
use super::theme::{bold, plain};
use curves::{Limit, Series};

pub use usual::usual_shaft;

/// Width from which the form stands beside the drawing instead of below it, points.
const BESIDE: f32 = 860.0;
const DEG: f64 = std::f64::consts::PI / 180.0;
/// Joint angles a shaft lives with, rad: most at ride height, most over travel, most difference (common practice, no source).
const AT_RIDE: f64 = 3.0 * DEG;
const OVER_TRAVEL: f64 = 8.0 * DEG;
const APART: f64 = DEG;

/// What is plotted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
enum Curve {
    #[default]
    Angles,
    Difference,
    Slip,
}

/// What this page remembers between frames.
#[derive(Debug, Default)]
pub struct DrivelinePage {
    /// From the left.
    pub side: View,
    curve: Curve,
    /// Travel of the pose shown, m.
    travel: f64,
    grab: Grab,
}

impl DrivelinePage {
    /// Fit every view at the next chance.
    pub fn fit(&mut self) {
        self.side.fit = true;
    }

    /// Reads the handles as they were laid last frame.
    pub fn read(&mut self, hand: &Hand<'_>, tray: &mut Tray) {
        let points = draw::points(hand.build, self.travel == 0.0);
        drawn_points::read(hand, points, Face::Side, &self.side, &mut self.grab, tray);
    }

    /// Draws the page.
    pub fn show(&mut self, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
        let shaft = bench.build.power.driveshaft;
        self.beside(ui, bench, "shaft", true, &mut |ui| {
            numbers(ui, bench, shaft, tray);
        });
    }

    /// The drawing, its words on the angles or on the loop, with a form beside it, or below where there is little room, and
    /// the plot under the drawing.
    fn beside(
        &mut self,
        ui: &mut Ui,
        bench: &Bench<'_>,
        salt: &str,
        angles: bool,
        form: &mut dyn FnMut(&mut Ui),
    ) {
        let ui = &mut common::in_sight(ui);
        let range = bench.build.rear.travel.si();
        self.travel = self.travel.clamp(-range, range);
        // The pose that is drawn is one of the sweep's: say where that one stands.
        if self.travel != 0.0
            && let Some(pose) = super::rear_draw::pose_at(bench.study, self.travel)
        {
            self.travel = pose.travel;
        }
        let plot = bench.build.power.driveshaft.is_some();
        let inside = egui::Frame::NONE.inner_margin(egui::Margin::symmetric(12, 6));
        if ui.available_width() >= BESIDE {
            Panel::right("driveline form")
                .resizable(true)
                .default_size(380.0)
                .size_range(300.0..=(ui.available_width() - 300.0).max(310.0))
                .frame(inside)
                .show(ui, |ui| scroll(ui, salt, form));
            if plot {
                let height = (ui.available_height() * 0.42).clamp(180.0, 380.0);
                Panel::bottom("driveline plot")
                    .resizable(true)
                    .default_size(height)
                    .min_size(150.0)
                    .max_size((ui.available_height() - 150.0).max(150.0))
                    .frame(inside)
                    .show(ui, |ui| self.plot(ui, bench, None));
            }
            self.drawing(ui, bench, angles);
        } else {
            let height = (ui.available_height() * 0.44).clamp(120.0, 290.0);
            Panel::top("driveline drawing")
                .resizable(true)
                .default_size(height)
                .min_size(80.0)
                .max_size((ui.available_height() - 120.0).max(80.0))
                .frame(egui::Frame::NONE)
                .show(ui, |ui| self.drawing(ui, bench, angles));
            inside.show(ui, |ui| {
                scroll(ui, salt, |ui| {
                    form(ui);
                    if plot {
                        self.plot(ui, bench, Some(190.0));
                    }
                });
            });
        }
    }

    fn drawing(&mut self, ui: &mut Ui, bench: &Bench<'_>, angles: bool) {
        egui::Frame::NONE
            .inner_margin(egui::Margin::symmetric(12, 5))
            .show(ui, |ui| self.head(ui, bench));
        draw::side(ui, bench, &mut self.side, self.travel, angles);
    }

    fn head(&mut self, ui: &mut Ui, bench: &Bench<'_>) {
        let row = egui::vec2(ui.available_width(), 24.0);
        let layout = egui::Layout::right_to_left(egui::Align::Center);
        ui.allocate_ui_with_layout(row, layout, |ui| {
            let range = bench.build.rear.travel.si();
            let step = units::step(Kind::Length, bench.shop()) * 4.0;
            ui.spacing_mut().slider_width = 90.0;
            let slider = egui::Slider::new(&mut self.travel, -range..=range)
                .step_by(step)
                .show_value(false)
                .trailing_fill(false);
            let r = ui.add(slider).accessible_name("Travel shown");
            if r.double_clicked() || self.travel.abs() < 0.51 * step {
                self.travel = 0.0;
            }
            let label = format!("Travel {}", bench.length(self.travel));
            if ui
                .button(label)
                .on_hover_text("Back to ride height")
                .clicked()
            {
                self.travel = 0.0;
            }
            ui.with_layout(egui::Layout::left_to_right(egui::Align::Center), |ui| {
                ui.label(egui::RichText::new("Side view").font(bold(13.0)));
                let pose = match self.travel {
                    t if t > 0.0 => format!("left side, {} bump", bench.length(t)),
                    t if t < 0.0 => format!("left side, {} droop", bench.length(-t)),
                    _ => "left side, ride height".to_owned(),
                };
                let pose = egui::RichText::new(pose).color(bench.palette.dim);
                ui.add(egui::Label::new(pose).truncate());
            });
        });
    }

    fn plot(&mut self, ui: &mut Ui, bench: &Bench<'_>, height: Option<f32>) {
        let study = match &bench.study.launch.shaft {
            Some(Ok(study)) => study,
            Some(Err(why)) => {
                ui.colored_label(bench.palette.bad, format!("No curve: {why}."));
                return;
            }
            None => return,
        };
        ui.horizontal_wrapped(|ui| {
            for (curve, word) in [
                (Curve::Angles, "Joint angles"),
                (Curve::Difference, "Difference"),
                (Curve::Slip, "Slip"),
            ] {
                let word = egui::RichText::new(word).font(bold(13.0));
                ui.selectable_value(&mut self.curve, curve, word);
            }
        });
        let (name, kind, series, limits) = self.curves(bench, study);
        ui.horizontal_wrapped(|ui| {
            curves::legend(ui, &series);
            let unit = units::unit_name(kind, bench.shop());
            let said = match self.curve {
                Curve::Slip => format!("over travel, {unit}, pulled out +"),
                _ => format!("over travel, {unit}; limits: common practice"),
            };
            ui.label(
                egui::RichText::new(said)
                    .font(plain(11.0))
                    .color(bench.palette.dim),
            );
        });
        let height = height.unwrap_or_else(|| ui.available_height().max(60.0));
        curves::show(ui, bench, name, kind, series, limits, self.travel, height);
    }

    fn curves(
        &self,
        bench: &Bench<'_>,
        study: &ShaftStudy,
    ) -> (&'static str, Kind, Vec<Series>, Vec<Limit>) {
        let p = bench.palette;
        let show = |kind, v| units::format(kind, v, bench.shop());
        let mut series = Vec::new();
        let mut put = |name, colour, dashed, points| {
            series.push(Series {
                name,
                points,
                colour,
                dashed,
            });
        };
        match self.curve {
            Curve::Angles => {
                let points = |front: bool| -> Vec<[f64; 2]> {
                    let of = study.travel.iter();
                    of.map(|s| [s.travel, if front { s.front_angle } else { s.rear_angle }])
                        .collect()
                };
                put("front joint", p.upper, false, points(true));
                put("rear joint", p.centre, true, points(false));
                let limits = vec![
                    Limit {
                        at: AT_RIDE,
                        words: format!("{} at ride height", show(Kind::Angle, AT_RIDE)),
                    },
                    Limit {
                        at: OVER_TRAVEL,
                        words: format!("{} over travel", show(Kind::Angle, OVER_TRAVEL)),
                    },
                ];
                ("Joint angles", Kind::Angle, series, limits)
            }
            Curve::Difference => {
                let of = study.travel.iter();
                let points = of.map(|s| [s.travel, s.difference]).collect();
                put("front less rear", p.upper, false, points);
                let limits = [APART, -APART].map(|at| Limit {
                    at,
                    words: format!(
                        "{} {} more",
                        show(Kind::Angle, at.abs()),
                        if at > 0.0 { "front" } else { "rear" }
                    ),
                });
                ("Difference", Kind::Angle, series, limits.into())
            }
            Curve::Slip => {
                let of = study.travel.iter();
                put(
                    "slip",
                    p.upper,
                    false,
                    of.map(|s| [s.travel, s.plunge]).collect(),
                );
                let most = bench
                    .build
                    .power
                    .driveshaft
                    .map_or(0.0, |d| d.slip_travel.si());
                let limits = [(most, "out"), (-most, "in")].map(|(at, word)| Limit {
                    at,
                    words: format!("{} {word} at most", bench.length(most)),
                });
                ("Slip", Kind::Length, series, limits.into())
            }
        }
    }
}

fn scroll(ui: &mut Ui, salt: &str, contents: impl FnOnce(&mut Ui)) {
    ScrollArea::vertical()
        .id_salt(("driveline form", salt))
        .auto_shrink(false)
        .show(ui, |ui| contents(ui));
}

fn numbers(ui: &mut Ui, bench: &Bench<'_>, shaft: Option<Driveshaft>, tray: &mut Tray) {
    match shaft {
        Some(d) => {
            form(ui, bench, d, tray);
            ui.separator();
            angles(ui, bench);
            common::remarks(ui, bench, &Part::Driveshaft);
        }
        None => none_yet(ui, bench, tray),
    }
    common::caution(
        ui,
        bench,
        "A loose driveshaft kills. Loop close behind the front joint before any power; nothing loose and nobody near it while it \
         turns, car on stands and wheels chocked.",
    );
}

/// Each change is one step to undo.
fn form(ui: &mut Ui, bench: &Bench<'_>, d: Driveshaft, tray: &mut Tray) {
    let mut new = d;
    let owner = "driveshaft";
    ui.horizontal(|ui| {
        common::head(ui, bench, "Driveshaft", "");
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            if ui
                .small_button("Take it out")
                .accessible_name("Take out the driveshaft")
                .clicked()
            {
                tray.edit(Edit::Driveshaft(None));
            }
        });
    });
    egui::Grid::new("joints")
        .num_columns(4)
        .spacing([8.0, 4.0])
        .show(ui, |ui| {
            common::place_head(ui, bench);
            if let Some(p) = common::place(ui, bench, owner, "front joint", d.front_joint, tray) {
                new.front_joint = p;
            }
            if let Some(p) = common::place(ui, bench, owner, "rear joint", d.rear_joint, tray) {
                new.rear_joint = p;
            }
        });
    egui::Grid::new("angles")
        .num_columns(4)
        .spacing([8.0, 4.0])
        .show(ui, |ui| {
            for (label, slot) in [
                ("output down", &mut new.output_down),
                ("pinion up", &mut new.pinion_up),
            ] {
                let now = slot.si();
                if let Some(v) = common::value(ui, bench, owner, label, Kind::Angle, now, tray) {
                    *slot = Angle::from_si(v);
                }
            }
            ui.end_row();
            let now = d.slip_travel.si();
            if let Some(v) = common::value(ui, bench, owner, "slip travel", Kind::Length, now, tray)
            {
                new.slip_travel = Length::from_si(v);
            }
            ui.end_row();
        });
    ui.horizontal_wrapped(|ui| {
        ui.label("slips");
        for (slip, word) in [
            (Slip::Transmission, "on the transmission"),
            (Slip::Shaft, "in the shaft"),
        ] {
            ui.radio_value(&mut new.slip, slip, word);
        }
    });
    if new != d {
        tray.edit(Edit::Driveshaft(Some(new)));
    }
    common::note(
        ui,
        bench,
        "Angles by an inclinometer at ride height: output down toward the rear, pinion nose up. Slip travel is what may move either \
         way from ride height.",
    );
}

/// The angles at ride height against their limits, in words.
fn angles(ui: &mut Ui, bench: &Bench<'_>) {
    let Some(shaft) = &bench.study.launch.shaft else {
        return;
    };
    common::head(
        ui,
        bench,
        "Against the usual limits",
        "common practice, no source",
    );
    let s = match shaft {
        Ok(s) => s,
        Err(why) => {
            ui.colored_label(bench.palette.bad, format!("Not known: {why}."));
            return;
        }
    };
    let p = bench.palette;
    egui::Grid::new("limits")
        .num_columns(3)
        .spacing([10.0, 3.0])
        .show(ui, |ui| {
            for (word, value, limit) in [
                ("front joint at ride", s.ride.front_angle, AT_RIDE),
                ("rear joint at ride", s.ride.rear_angle, AT_RIDE),
                ("difference at ride", s.ride.difference.abs(), APART),
                ("worst over travel", s.worst_angle(), OVER_TRAVEL),
            ] {
                let show = |v| bench.show(Kind::Angle, v);
                ui.label(word);
                ui.label(egui::RichText::new(show(value)).font(bold(13.0)));
                let (mark, colour) = if value <= limit {
                    ("✓ within", p.good)
                } else {
                    ("! more than", p.bad)
                };
                ui.colored_label(colour, format!("{mark} {}", show(limit)));
                ui.end_row();
            }
        });
}

fn none_yet(ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    egui::Frame::NONE
        .fill(bench.palette.panel)
        .stroke(egui::Stroke::new(1.3, bench.palette.accent))
        .corner_radius(5)
        .inner_margin(10)
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.label(egui::RichText::new("No driveshaft yet").font(bold(13.0)));
            ui.label(
                "Draw one from the pinion to a transmission where it usually sits, then type where both joints are and what the \
                 inclinometer says.",
            );
            if ui
                .button("Draw a driveshaft")
                .on_hover_text("From wheelbase, axle height and housing, as a start")
                .clicked()
            {
                tray.edit(Edit::Driveshaft(Some(usual_shaft(bench.build))));
            }
        });
}
