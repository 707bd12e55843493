//! The rear links phase: side view on top, plots and small views below.

use build::Part;
use eframe::egui::{self, Button, Panel, Ui};
use units::Kind;

use super::bench::{Action, Bench, Tray};
use super::canvas::View;
use super::command::Command;
use super::driveline_page::DrivelinePage;
use super::handles::Grab;
use super::holes_page::HolesPage;
use super::plots::{self, Choice};
use super::power_page::PowerPage;
use super::springs_page::SpringsPage;
use super::theme::{bold, plain};
use super::tolerance_page::TolerancePage;
use super::{flat_draw, inspector, rear_draw};

/// What of the rear axle is on the bench.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Topic {
    /// Links, brackets, instant centre.
    #[default]
    Links,
    /// Reactions under power and braking.
    Power,
    /// Coil-overs.
    Springs,
    /// Driveshaft.
    Driveline,
    /// Which holes to try.
    Holes,
    /// What misplaced holes cost.
    Placement,
}

impl Topic {
    /// Every topic, in the order of the row of tabs.
    pub const ALL: [Self; 6] = [
        Self::Links,
        Self::Power,
        Self::Springs,
        Self::Driveline,
        Self::Holes,
        Self::Placement,
    ];

    /// What its tab says.
    pub fn label(self) -> &'static str {
        match self {
            Self::Links => "Links",
            Self::Power => "Under power",
            Self::Springs => "Springs",
            Self::Driveline => "Driveshaft",
            Self::Holes => "Try holes",
            Self::Placement => "Misplaced holes",
        }
    }

    /// Beginnings of the ids of the readings it is about.
    pub fn readings(self) -> &'static [&'static str] {
        match self {
            Self::Links | Self::Holes | Self::Placement => &["rear."],
            Self::Power => &["launch."],
            Self::Springs => &["spring.", "launch.rest."],
            Self::Driveline => &["driveline.", "rear.pinion."],
        }
    }

    /// Whether the topic shows a part as well as the topic it belongs to.
    pub fn shows(self, part: &Part) -> bool {
        match part {
            Part::Reading(id) => self.readings().iter().any(|of| id.starts_with(of)),
            Part::Bracket(_) | Part::Link(_) | Part::Coilover(_) => self == Self::Power,
            _ => false,
        }
    }

    /// Whether a reading stands in the panel while this is on the bench: the page itself lists links and cases.
    pub fn lists(self, r: &build::Reading) -> bool {
        let id = r.definition.id;
        let elsewhere = self == Self::Power
            && r.band.is_none()
            && (r.of.is_some()
                || id.starts_with("launch.braking.")
                || id.starts_with("launch.rest.")
                || id.starts_with("launch.traction.") && id != "launch.traction.acceleration");
        !elsewhere && self.readings().iter().any(|of| id.starts_with(of))
    }

    /// The topic a part or reading belongs to.
    pub fn of(part: &Part) -> Option<Self> {
        Some(match part {
            Part::Bracket(_) | Part::Link(_) => Self::Links,
            Part::Coilover(_) => Self::Springs,
            Part::Driveshaft => Self::Driveline,
            Part::Field(id) if id.starts_with("power.") => Self::Power,
            Part::Reading(id) => match id.split('.').next() {
                Some("rear") => Self::Links,
                Some("launch" | "link") => Self::Power,
                Some("spring") => Self::Springs,
                Some("driveline") => Self::Driveline,
                _ => return None,
            },
            _ => return None,
        })
    }
}

/// What this page remembers between frames.
#[derive(Debug, Default)]
pub struct RearPage {
    /// What is on the bench.
    pub topic: Topic,
    /// Reactions.
    pub power: PowerPage,
    /// Coil-overs.
    pub springs: SpringsPage,
    /// Driveshaft.
    pub driveline: DrivelinePage,
    /// Hole search.
    pub holes: HolesPage,
    /// Placement tolerance.
    pub tolerance: TolerancePage,
    /// Side view.
    pub side: View,
    /// Plan view.
    pub plan: View,
    /// Rear view.
    pub rear: View,
    /// Where a handle was taken.
    pub grab: Grab,
    /// What the plot shows.
    pub choice: Choice,
    /// Travel of the pose shown, m.
    pub travel: f64,
}

impl RearPage {
    /// The drawing that the zoom keys act on.
    pub fn main_view(&mut self) -> &mut View {
        match self.topic {
            Topic::Power => &mut self.power.side,
            Topic::Springs => &mut self.springs.side,
            Topic::Driveline => &mut self.driveline.side,
            _ => &mut self.side,
        }
    }

    /// Fit every view at the next chance.
    pub fn fit(&mut self) {
        for v in [&mut self.side, &mut self.plan, &mut self.rear] {
            v.fit = true;
        }
        self.power.fit();
        self.springs.fit();
        self.driveline.fit();
        self.holes.fit();
        self.tolerance.fit();
    }

    /// Draws the page.
    pub fn show(&mut self, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
        self.tabs(ui, bench);
        match self.topic {
            Topic::Links => self.links(ui, bench, tray),
            Topic::Power => self.power.show(ui, bench, tray),
            Topic::Springs => self.springs.show(ui, bench, tray),
            Topic::Driveline => self.driveline.show(ui, bench, tray),
            Topic::Holes => self.holes.show(ui, bench, tray),
            Topic::Placement => self.tolerance.show(ui, bench, tray),
        }
    }

    fn tabs(&mut self, ui: &mut Ui, bench: &Bench<'_>) {
        egui::Frame::NONE
            .fill(bench.palette.panel)
            .inner_margin(egui::Margin::symmetric(10, 3))
            .show(ui, |ui| {
                ui.set_min_width(ui.available_width());
                let tight = ui.available_width() < 560.0;
                ui.horizontal_wrapped(|ui| {
                    if tight {
                        ui.spacing_mut().button_padding.x = 5.0;
                        ui.spacing_mut().item_spacing.x = 2.0;
                    }
                    for topic in Topic::ALL {
                        ui.selectable_value(&mut self.topic, topic, topic.label());
                    }
                });
            });
    }

    fn links(&mut self, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
        let below = (ui.available_height() * 0.42).clamp(190.0, 340.0);
        Panel::bottom("rear below")
            .resizable(true)
            .default_size(below)
            .min_size(150.0)
            .max_size((ui.available_height() - 160.0).max(150.0))
            .frame(egui::Frame::NONE)
            .show(ui, |ui| self.below(ui, bench, tray));
        // The pose that is drawn is one of the sweep's: say where that one stands.
        if self.travel != 0.0
            && let Some(pose) = rear_draw::pose_at(bench.study, self.travel)
        {
            self.travel = pose.travel;
        }
        self.head(ui, bench, tray);
        rear_draw::side(ui, bench, &mut self.side, self.travel);
        if bench.build.rear.links.is_empty() {
            start_here(ui, bench, self.side.rect, tray);
        }
    }

    fn head(&mut self, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
        egui::Frame::NONE
            .inner_margin(egui::Margin::symmetric(12, 5))
            .show(ui, |ui| {
                let pose = if self.travel == 0.0 {
                    "left side, ride height".to_owned()
                } else {
                    let word = if self.travel > 0.0 { "bump" } else { "droop" };
                    format!("left side, {} {word}", bench.length(self.travel.abs()))
                };
                // From the right, so that the words get what the buttons leave.
                let row = egui::vec2(ui.available_width(), 24.0);
                ui.allocate_ui_with_layout(
                    row,
                    egui::Layout::right_to_left(egui::Align::Center),
                    |ui| {
                        let range = bench.build.rear.travel.si();
                        let step = units::step(Kind::Length, bench.shop()) * 4.0;
                        let shop = *bench.shop();
                        let slider = egui::Slider::new(&mut self.travel, -range..=range)
                            .step_by(step)
                            .show_value(false)
                            .trailing_fill(false);
                        ui.spacing_mut().slider_width = 90.0;
                        let r = ui.add(slider).accessible_name("Travel shown");
                        if r.double_clicked() || self.travel.abs() < 0.51 * step {
                            self.travel = 0.0;
                        }
                        let label =
                            format!("Travel {}", units::format(Kind::Length, self.travel, &shop));
                        if ui
                            .button(label)
                            .on_hover_text("Back to ride height")
                            .clicked()
                        {
                            self.travel = 0.0;
                        }
                        let pin = if bench.baseline.is_some() {
                            Command::ClearBaseline
                        } else {
                            Command::PinBaseline
                        };
                        for command in [pin, Command::Fit] {
                            let e = command.entry();
                            if ui.add(Button::new(e.label)).on_hover_text(e.tip).clicked() {
                                tray.put(Action::Run(command));
                            }
                        }
                        ui.with_layout(egui::Layout::left_to_right(egui::Align::Center), |ui| {
                            ui.label(egui::RichText::new("Side view").font(bold(13.0)));
                            ui.add(
                                egui::Label::new(
                                    egui::RichText::new(pose).color(bench.palette.dim),
                                )
                                .truncate(),
                            );
                        });
                    },
                );
            });
    }

    fn below(&mut self, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
        let chosen = matches!(bench.selected, Some(Part::Bracket(_) | Part::Link(_)));
        let views = (ui.available_width() * if chosen { 0.46 } else { 0.4 }).clamp(220.0, 460.0);
        let margin = egui::Frame::NONE.inner_margin(egui::Margin::symmetric(10, 6));
        Panel::right("rear small views")
            .resizable(true)
            .default_size(views)
            .min_size(180.0)
            .frame(margin)
            .show(ui, |ui| {
                if chosen {
                    inspector::show(ui, bench, tray);
                } else {
                    self.small_views(ui, bench);
                }
            });
        margin.show(ui, |ui| plots::show(ui, bench, &mut self.choice));
    }

    fn small_views(&mut self, ui: &mut Ui, bench: &Bench<'_>) {
        let half = (ui.available_width() - 8.0) * 0.5;
        let height = ui.available_height();
        ui.horizontal_top(|ui| {
            for (name, is_plan) in [("Plan", true), ("Rear", false)] {
                ui.allocate_ui(egui::vec2(half, height), |ui| {
                    ui.vertical(|ui| {
                        ui.horizontal(|ui| {
                            ui.label(egui::RichText::new(name).font(bold(13.0)));
                            let roll_centre = bench.study.reading("rear.roll_centre.height");
                            let (hint, colour) = match roll_centre {
                                Some(r) if !is_plan => (
                                    if half < 150.0 {
                                        format!("{} up", r.display(bench.shop()))
                                    } else {
                                        format!("roll centre {} up", r.display(bench.shop()))
                                    },
                                    bench.palette.centre,
                                ),
                                _ if half < 150.0 => (String::new(), bench.palette.dim),
                                _ => ("ahead is right".to_owned(), bench.palette.dim),
                            };
                            ui.add(
                                egui::Label::new(
                                    egui::RichText::new(hint).font(plain(11.0)).color(colour),
                                )
                                .truncate(),
                            );
                        });
                        if is_plan {
                            flat_draw::plan(ui, bench, &mut self.plan);
                        } else {
                            flat_draw::rear(ui, bench, &mut self.rear);
                        }
                    });
                });
            }
        });
    }
}

/// An empty floor says what to do first.
fn start_here(ui: &mut Ui, bench: &Bench<'_>, floor: egui::Rect, tray: &mut Tray) {
    let size = egui::vec2(330.0, 96.0).min(floor.size());
    let place = egui::Rect::from_center_size(
        floor.center_top() + egui::vec2(0.0, 0.5 * size.y + 16.0),
        size,
    );
    let mut card = ui.new_child(egui::UiBuilder::new().max_rect(place));
    egui::Frame::NONE
        .fill(bench.palette.panel)
        .stroke(egui::Stroke::new(1.3, bench.palette.accent))
        .corner_radius(5)
        .inner_margin(10)
        .show(&mut card, |ui| {
            ui.label(egui::RichText::new("No links yet").font(bold(13.0)));
            ui.label("Put brackets on the frame and on the axle, then a link between each two.");
            ui.horizontal(|ui| {
                for command in [Command::AddBracket, Command::AddLink, Command::CarForm] {
                    let e = command.entry();
                    if ui.button(e.label).on_hover_text(e.tip).clicked() {
                        tray.put(Action::Run(command));
                    }
                }
            });
        });
}
