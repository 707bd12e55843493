//! Coil-overs: placement, rates, seats, travel left, and a choice of springs.

mod choose;
pub(super) mod common;
pub(super) mod curves;
mod draw;
mod form;
mod strip;
mod usual;

use build::{Coilover, Edit, Part, Side};
use eframe::egui::{self, Panel, ScrollArea, Ui};
use units::Kind;

use super::bench::{Action, Bench, Tray};
use super::canvas::View;
use super::theme::bold;
use choose::Wanted;
use curves::Series;

pub use usual::usual_pair;

/// Width from which the form stands beside the drawing instead of below it, points.
const BESIDE: f32 = 860.0;
/// Width of the form beside the drawing, points.
const FORM: f32 = 486.0;

/// What is plotted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
enum Curve {
    #[default]
    Ratio,
    Rate,
}

/// What this page remembers between frames.
#[derive(Debug, Default)]
pub struct SpringsPage {
    /// From behind.
    pub rear: View,
    /// From the left.
    pub side: View,
    /// Id of the coil-over in hand.
    chosen: Option<String>,
    wanted: Wanted,
    curve: Curve,
}

impl SpringsPage {
    /// Fit every view at the next chance.
    pub fn fit(&mut self) {
        self.rear.fit = true;
        self.side.fit = true;
    }

    /// Draws the page.
    pub fn show(&mut self, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
        let ui = &mut common::in_sight(ui);
        if let Some(Part::Coilover(id)) = bench.selected {
            self.chosen = Some(id.clone());
        }
        let all = &bench.build.power.coilovers;
        let index = all
            .iter()
            .position(|c| Some(&c.id) == self.chosen.as_ref())
            .unwrap_or(0);
        let coil = all.get(index);
        let inside = egui::Frame::NONE.inner_margin(egui::Margin::symmetric(12, 6));
        if ui.available_width() >= BESIDE {
            Panel::right("springs form")
                .resizable(true)
                .default_size(FORM)
                .size_range(300.0..=(ui.available_width() - 300.0).max(310.0))
                .frame(inside)
                .show(ui, |ui| {
                    scroll(ui, |ui| {
                        self.numbers(ui, bench, coil.map(|c| (index, c)), tray)
                    });
                });
            if coil.is_some() {
                let height = (ui.available_height() * 0.38).clamp(170.0, 330.0);
                Panel::bottom("springs plot")
                    .resizable(true)
                    .default_size(height)
                    .min_size(150.0)
                    .max_size((ui.available_height() - 150.0).max(150.0))
                    .frame(inside)
                    .show(ui, |ui| self.plot(ui, bench, index, None));
            }
            self.drawings(ui, bench, coil);
        } else {
            // The wheel zooms over the drawing and scrolls below it.
            let height = (ui.available_height() * 0.42).clamp(120.0, 280.0);
            Panel::top("springs drawings")
                .resizable(true)
                .default_size(height)
                .min_size(80.0)
                .max_size((ui.available_height() - 120.0).max(80.0))
                .frame(egui::Frame::NONE)
                .show(ui, |ui| self.drawings(ui, bench, coil));
            inside.show(ui, |ui| {
                scroll(ui, |ui| {
                    self.numbers(ui, bench, coil.map(|c| (index, c)), tray);
                    if coil.is_some() {
                        self.plot(ui, bench, index, Some(180.0));
                    }
                });
            });
        }
    }

    fn drawings(&mut self, ui: &mut Ui, bench: &Bench<'_>, coil: Option<&Coilover>) {
        let room = ui.available_size();
        let chosen = coil.map(|c| c.id.as_str());
        // One over the other where that leaves both larger.
        if room.y > 0.7 * room.x {
            let half = (0.5 * room.y - 2.0).max(20.0);
            for is_rear in [true, false] {
                let height = if is_rear { half } else { ui.available_height() };
                ui.allocate_ui(egui::vec2(room.x, height), |ui| {
                    self.drawing(ui, bench, chosen, is_rear);
                });
            }
            return;
        }
        ui.horizontal_top(|ui| {
            ui.spacing_mut().item_spacing.x = 8.0;
            for is_rear in [true, false] {
                let width = if is_rear {
                    0.58 * (room.x - 8.0).max(20.0)
                } else {
                    ui.available_width()
                };
                ui.allocate_ui(egui::vec2(width, room.y), |ui| {
                    self.drawing(ui, bench, chosen, is_rear);
                });
            }
        });
    }

    fn drawing(&mut self, ui: &mut Ui, bench: &Bench<'_>, chosen: Option<&str>, is_rear: bool) {
        ui.vertical(|ui| {
            ui.spacing_mut().item_spacing.y = 2.0;
            let (name, hint) = if is_rear {
                ("Rear view", "from behind, ride height")
            } else {
                ("Side view", "left side, ride height")
            };
            let hint = if ui.available_width() > 230.0 {
                hint
            } else {
                ""
            };
            ui.horizontal(|ui| {
                ui.add_space(10.0);
                common::head(ui, bench, name, hint);
            });
            if is_rear {
                draw::rear(ui, bench, &mut self.rear, chosen);
            } else {
                draw::side(ui, bench, &mut self.side, chosen);
            }
        });
    }

    fn numbers(
        &mut self,
        ui: &mut Ui,
        bench: &Bench<'_>,
        coil: Option<(usize, &Coilover)>,
        tray: &mut Tray,
    ) {
        let Some((index, coil)) = coil else {
            none_yet(ui, bench, tray);
            choose::ends(ui, bench, tray);
            warn(ui, bench);
            return;
        };
        self.list(ui, bench, coil, tray);
        form::show(ui, bench, index, coil, tray);
        common::remarks(ui, bench, &Part::Coilover(coil.id.clone()));
        ui.separator();
        strip::show(ui, bench, index, coil);
        ui.separator();
        choose::show(ui, bench, index, coil, &mut self.wanted, tray);
        ui.separator();
        choose::ends(ui, bench, tray);
        warn(ui, bench);
    }

    /// Every coil-over by name, and a button for another.
    fn list(&mut self, ui: &mut Ui, bench: &Bench<'_>, coil: &Coilover, tray: &mut Tray) {
        ui.horizontal_wrapped(|ui| {
            for c in &bench.build.power.coilovers {
                let r = ui.selectable_label(c.id == coil.id, &c.label);
                r.widget_info(|| {
                    egui::WidgetInfo::selected(
                        egui::Role::Button,
                        true,
                        c.id == coil.id,
                        format!("Coil-over {}", c.label),
                    )
                });
                if r.clicked() {
                    self.chosen = Some(c.id.clone());
                    tray.put(Action::Select(Part::Coilover(c.id.clone())));
                }
            }
            if ui
                .button("Add")
                .accessible_name("Add a coil-over")
                .on_hover_text("Another pair, to be moved where it goes")
                .clicked()
            {
                add(bench, tray);
            }
            if ui
                .button("Remove")
                .accessible_name(format!("Remove {}", coil.label))
                .clicked()
            {
                tray.edit(Edit::RemoveCoilover(coil.id.clone()));
            }
        });
    }

    /// Motion ratio or wheel rate over travel: left, and right where it differs.
    fn plot(&mut self, ui: &mut Ui, bench: &Bench<'_>, coil: usize, height: Option<f32>) {
        let mut curves: Vec<(Side, Vec<[f64; 3]>)> = Vec::new();
        if let Ok(motion) = &bench.study.rear.motion {
            let launch = &bench.study.launch;
            for (i, c) in launch.coilovers.iter().enumerate() {
                if c.coilover == coil {
                    curves.push((c.side, launch.over_travel(bench.build, motion, i)));
                }
            }
        }
        if let [(_, left), (_, right)] = &curves[..]
            && alike(left, right)
        {
            curves.truncate(1);
        }
        let pick = match self.curve {
            Curve::Ratio => 1,
            Curve::Rate => 2,
        };
        let p = bench.palette;
        let differ = curves.len() > 1;
        let series: Vec<Series> = curves
            .into_iter()
            .map(|(side, points)| {
                let right = side == Side::Right;
                Series {
                    name: match (side, differ) {
                        (_, false) => "both alike",
                        (Side::Right, _) => "right",
                        _ => "left",
                    },
                    points: points.iter().map(|q| [q[0], q[pick]]).collect(),
                    colour: if right { p.centre } else { p.upper },
                    dashed: right,
                }
            })
            .collect();
        ui.horizontal_wrapped(|ui| {
            for (curve, word) in [(Curve::Ratio, "Motion ratio"), (Curve::Rate, "Wheel rate")] {
                ui.selectable_value(
                    &mut self.curve,
                    curve,
                    egui::RichText::new(word).font(bold(13.0)),
                );
            }
            if differ {
                curves::legend(ui, &series);
            }
            let unit = match self.curve {
                Curve::Ratio => String::new(),
                Curve::Rate => format!(", {}", units::unit_name(Kind::SpringRate, bench.shop())),
            };
            ui.label(
                egui::RichText::new(format!("over travel{unit}"))
                    .small()
                    .color(p.dim),
            );
        });
        let (name, kind) = match self.curve {
            Curve::Ratio => ("Motion ratio", Kind::Count),
            Curve::Rate => ("Wheel rate", Kind::SpringRate),
        };
        let height = height.unwrap_or_else(|| ui.available_height().max(60.0));
        curves::show(ui, bench, name, kind, series, Vec::new(), 0.0, height);
    }
}

fn alike(a: &[[f64; 3]], b: &[[f64; 3]]) -> bool {
    let near = |x: f64, y: f64| (x - y).abs() <= 1e-4 * x.abs().max(y.abs()).max(1e-9);
    a.len() == b.len()
        && a.iter()
            .zip(b)
            .all(|(p, q)| near(p[1], q[1]) && near(p[2], q[2]))
}

fn scroll(ui: &mut Ui, contents: impl FnOnce(&mut Ui)) {
    ScrollArea::vertical()
        .id_salt("springs form")
        .auto_shrink(false)
        .show(ui, |ui| contents(ui));
}

fn add(bench: &Bench<'_>, tray: &mut Tray) {
    let new = usual_pair(bench.build);
    let id = new.id.clone();
    tray.edit(Edit::PutCoilover(new));
    tray.put(Action::Select(Part::Coilover(id)));
}

fn none_yet(ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    egui::Frame::NONE
        .fill(bench.palette.panel)
        .stroke(egui::Stroke::new(1.3, bench.palette.accent))
        .corner_radius(5)
        .inner_margin(10)
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.label(egui::RichText::new("No coil-overs yet").font(bold(13.0)));
            ui.label(
                "Put a pair where they could go, then type what you have: eyes, spring, shock. Tyre loads, ride \
                 frequency and travel left follow from it.",
            );
            if ui
                .button("Add a pair of coil-overs")
                .on_hover_text("Placed and sprung from the car's weights and tyres, as a start")
                .clicked()
            {
                add(bench, tray);
            }
        });
    ui.add_space(6.0);
}

fn warn(ui: &mut Ui, bench: &Bench<'_>) {
    common::caution(
        ui,
        bench,
        "A squeezed spring kills when it flies. Compressor with both hooks seated, nobody in line with it; car on stands \
         before a seat is turned or an eye bolt is drawn.",
    );
}
