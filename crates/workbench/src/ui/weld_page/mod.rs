//! The assembly on its pages: tacked in fit-up, welded in weld-out. The drawing above, the topic below.

pub(in crate::ui) mod parts;

use build::Part;
use eframe::egui::{self, Panel, Ui};

use super::assembly_view::{AssemblyView, Marks, ToCome};
use super::bench::{Bench, Tray};
use super::fit_up_page::FitUpPage;
use super::handles::Hand;
use super::weld_panels::Panels;

/// Share of the height that the drawing takes.
const DRAWING: f32 = 0.55;

/// What stands below the drawing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Topic {
    /// Gaps of the joints: the fit-up log alone, without the drawing.
    Gaps,
    /// Nodes, tubes, plates, joints, dimensions, materials.
    Parts,
    /// What the welds pull.
    Pull,
    /// Weld order.
    Order,
    /// Correction beads.
    Beads,
    /// What the shop learned.
    Record,
    /// Filler and gas.
    Gas,
}

impl Topic {
    /// Topics of the weld-out phase, in the order of the row of tabs.
    pub const WELD_OUT: [Self; 6] = [
        Self::Parts,
        Self::Pull,
        Self::Order,
        Self::Beads,
        Self::Record,
        Self::Gas,
    ];
    /// Topics of the fit-up phase.
    pub const FIT_UP: [Self; 2] = [Self::Gaps, Self::Parts];

    /// What its tab says.
    pub fn label(self) -> &'static str {
        match self {
            Self::Gaps => "Gaps",
            Self::Parts => "Parts",
            Self::Pull => "What welds pull",
            Self::Order => "Weld order",
            Self::Beads => "Correction beads",
            Self::Record => "Shop record",
            Self::Gas => "Filler and gas",
        }
    }

    /// The topic a part belongs to, of the weld-out phase.
    pub fn of(part: &Part) -> Option<Self> {
        Some(match part {
            Part::Node(_) | Part::Tube(_) | Part::Plate(_) | Part::Dimension(_) => Self::Parts,
            Part::Coupon(_) => Self::Record,
            Part::Correction(_) => Self::Beads,
            _ => return None,
        })
    }
}

/// What this page remembers between frames.
#[derive(Debug)]
pub struct WeldPage {
    /// What is on the bench in the weld-out phase.
    pub weld_out: Topic,
    /// What is on the bench in the fit-up phase.
    pub fit_up: Topic,
    /// The drawing.
    pub view: AssemblyView,
    /// What stands below it.
    pub panels: Panels,
    gaps: FitUpPage,
    /// The first topic was chosen for the build.
    settled: bool,
}

impl Default for WeldPage {
    fn default() -> Self {
        Self {
            weld_out: Topic::Pull,
            fit_up: Topic::Gaps,
            view: AssemblyView::default(),
            panels: Panels::default(),
            gaps: FitUpPage::default(),
            settled: false,
        }
    }
}

impl WeldPage {
    /// Another build is on the bench.
    pub fn start_over(&mut self) {
        self.view.start_over();
        self.settled = false;
    }

    /// What is on the bench in a phase; none where the phase has no assembly.
    pub fn topic(&self, phase: &str) -> Option<Topic> {
        match phase {
            "weld_out" => Some(self.weld_out),
            "fit_up" => Some(self.fit_up),
            _ => None,
        }
    }

    /// Whether the drawing is in sight.
    pub fn draws(&self, phase: &str) -> bool {
        self.topic(phase).is_some_and(|t| t != Topic::Gaps)
    }

    /// Reads hands and keys before anything is drawn.
    pub fn read(&mut self, hand: &Hand<'_>, selected: Option<&Part>, tray: &mut Tray) {
        self.view.read(hand, selected, tray);
    }

    /// Draws the page of a phase.
    pub fn show(&mut self, ui: &mut Ui, bench: &Bench<'_>, phase: &str, tray: &mut Tray) {
        let weld_out = phase == "weld_out";
        if weld_out && !self.settled {
            self.settled = true;
            // Nothing drawn pulls nothing: begin with the parts.
            if bench.build.assembly.is_empty() {
                self.weld_out = Topic::Parts;
            }
        }
        let topics: &[Topic] = if weld_out {
            tabs(ui, bench, &Topic::WELD_OUT, &mut self.weld_out);
            &Topic::WELD_OUT
        } else {
            tabs(ui, bench, &Topic::FIT_UP, &mut self.fit_up);
            &Topic::FIT_UP
        };
        let topic = if weld_out { self.weld_out } else { self.fit_up };
        let topic = if topics.contains(&topic) {
            topic
        } else {
            topics[0]
        };
        if topic == Topic::Gaps {
            self.gaps.show(ui, bench, tray);
            return;
        }
        let all = ui.available_height();
        let inside = egui::Frame::NONE.inner_margin(egui::Margin::symmetric(12, 6));
        Panel::bottom("weld below")
            .resizable(true)
            .default_size(all * (1.0 - DRAWING))
            .min_size(90.0)
            .max_size((all - 120.0).max(90.0))
            .frame(inside)
            .show(ui, |ui| {
                // As high as it was dragged, however little stands in it.
                ui.set_min_size(ui.available_size());
                match topic {
                    Topic::Parts => parts::show(ui, bench, tray),
                    Topic::Pull => self.panels.pull(ui, bench, tray),
                    Topic::Order => self.panels.order(ui, bench, tray),
                    Topic::Beads => self.panels.beads(ui, bench, tray),
                    Topic::Record => self.panels.record(ui, bench, tray),
                    Topic::Gas => self.panels.gas(ui, bench, tray),
                    Topic::Gaps => {}
                }
            });
        let order = order(bench);
        let to_come = to_come(bench);
        let marks = Marks {
            next: next(bench),
            order: &order,
            to_come: &to_come,
            ..Marks::default()
        };
        self.view.show(ui, bench, &marks, tray);
    }
}

fn tabs(ui: &mut Ui, bench: &Bench<'_>, all: &[Topic], now: &mut Topic) {
    egui::Frame::NONE
        .fill(bench.palette.panel)
        .inner_margin(egui::Margin::symmetric(10, 3))
        .show(ui, |ui| {
            ui.set_min_width(ui.available_width());
            let tight = ui.available_width() < 640.0;
            ui.horizontal_wrapped(|ui| {
                if tight {
                    ui.spacing_mut().button_padding.x = 4.0;
                    ui.spacing_mut().item_spacing.x = 2.0;
                }
                for topic in all {
                    let text = egui::RichText::new(topic.label());
                    let text = if tight { text.size(12.0) } else { text };
                    ui.selectable_value(now, *topic, text);
                }
            });
        });
}

/// The order the joints of the assembly are welded in.
pub fn order(bench: &Bench<'_>) -> Vec<String> {
    let Ok(order) = &bench.study.weld.order else {
        return Vec::new();
    };
    let joints = &bench.build.fit_up.joints;
    let ids = order.joints.iter().filter_map(|i| joints.get(*i));
    ids.map(|j| j.id.clone()).collect()
}

/// The next joint to weld.
pub fn next<'a>(bench: &'a Bench<'_>) -> Option<&'a str> {
    let next = bench.study.weld.order.as_ref().ok()?.next?;
    let joint = bench.build.fit_up.joints.get(next)?;
    Some(joint.id.as_str())
}

/// Where the plan of each correction wants its next beads.
pub fn to_come(bench: &Bench<'_>) -> Vec<ToCome> {
    let plans = bench.study.weld.corrections.iter();
    plans
        .filter_map(|c| {
            let beads = c.advice.as_ref()?.lay;
            let site = c.sites.get(c.next_site?)?;
            (beads > 0).then(|| ToCome {
                correction: c.id.clone(),
                tube: site.tube.clone(),
                beads,
            })
        })
        .collect()
}
