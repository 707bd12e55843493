//! The tube work phase: the assembly drawn, and below it the tubes to cut and bend, the bars they come
//! from, the dies, and how stiff the frame is.

mod bend_sheet;
mod braces;
mod card;
mod cut_list;
mod dies;
mod ends;
mod frame_marks;
mod loads;
mod stiffness;
mod test_form;
mod tubes;
mod twist_plot;
mod twist_test;
mod words;
mod wraps;

use build::Part;
use eframe::egui::{self, Panel, Ui};

use super::assembly_view::{AssemblyView, Marks, Tool};
use super::bench::{Bench, Tray};
use super::handles::Hand;
use super::springs_page::common;
use super::weld_panels::bits;

/// Share of the height that the drawing takes.
const DRAWING: f32 = 0.52;

/// What stands below the drawing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Topic {
    /// The tubes, one by one.
    Tubes,
    /// Bars, and which piece from which.
    CutList,
    /// Bending dies.
    Dies,
    /// Twist and bending of the frame.
    Stiffness,
    /// Where another tube would help.
    Braces,
    /// What the tubes bear under power.
    Loads,
    /// Twist tests of the real frame.
    TwistTest,
}

impl Topic {
    /// In the order of the row of tabs.
    pub const ALL: [Self; 7] = [
        Self::Tubes,
        Self::CutList,
        Self::Dies,
        Self::Stiffness,
        Self::Braces,
        Self::Loads,
        Self::TwistTest,
    ];

    /// What its tab says.
    pub fn label(self) -> &'static str {
        match self {
            Self::Tubes => "Tubes",
            Self::CutList => "Cut list",
            Self::Dies => "Dies",
            Self::Stiffness => "Stiffness",
            Self::Braces => "Braces",
            Self::Loads => "Loads",
            Self::TwistTest => "Twist test",
        }
    }

    /// The topic a part belongs to.
    pub fn of(part: &Part) -> Option<Self> {
        Some(match part {
            Part::Tube(_) | Part::Node(_) => Self::Tubes,
            Part::Reading(id) if id.starts_with("tubes.bars") => Self::CutList,
            Part::Reading(id) if id.starts_with("tube") => Self::Tubes,
            Part::Reading(id) if id.starts_with("frame.lowest") => Self::Loads,
            Part::Reading(id) if id.starts_with("frame.") => Self::Stiffness,
            _ => return None,
        })
    }
}

/// Is this a reading of tube work or of the frame?
pub fn is_of(reading: &str) -> bool {
    ["tube.", "tubes.", "frame."]
        .iter()
        .any(|of| reading.starts_with(of))
}

/// What this page remembers between frames.
#[derive(Debug)]
pub struct TubePage {
    /// What is on the bench.
    pub topic: Topic,
    /// The drawing.
    pub view: AssemblyView,
    /// What is chosen and typed below it, but not in the document.
    pub panels: Panels,
    /// The way of looking was chosen for the build.
    settled: bool,
}

/// What the topics remember between frames.
#[derive(Debug, Default)]
pub struct Panels {
    generation: u64,
    tubes: tubes::State,
    stiffness: stiffness::State,
    braces: braces::State,
    loads: loads::State,
    test: twist_test::Draft,
}

impl Default for TubePage {
    fn default() -> Self {
        let view = AssemblyView::for_frames();
        Self {
            topic: Topic::Tubes,
            view,
            panels: Panels::default(),
            settled: false,
        }
    }
}

impl TubePage {
    /// Another build is on the bench.
    pub fn start_over(&mut self) {
        self.view.start_over();
        self.settled = false;
        self.panels = Panels::default();
    }

    /// Reads hands and keys before anything is drawn.
    pub fn read(&mut self, hand: &Hand<'_>, selected: Option<&Part>, tray: &mut Tray) {
        self.view.read(hand, selected, tray);
    }

    /// Draws the page.
    pub fn show(&mut self, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
        if self.panels.generation != bench.generation {
            self.panels = Panels {
                generation: bench.generation,
                ..Panels::default()
            };
        }
        if !self.settled {
            self.settled = true;
            self.view.look_best(bench.build);
            self.view.fit();
        }
        tabs(ui, bench, &mut self.topic);
        let topic = self.topic;
        self.view.tools = match topic {
            Topic::Braces => &[Tool::Tube, Tool::Brace],
            _ => &[Tool::Tube],
        };
        if !self.view.tools.contains(&self.view.tool) {
            self.view.tool = Tool::Select;
        }
        if let Some(ends) = self.view.brace.take() {
            self.panels.braces.take(ends);
        }
        let both = self.view.mirror;
        let all = ui.available_height();
        let inside = egui::Frame::NONE.inner_margin(egui::Margin::symmetric(12, 6));
        Panel::bottom("tube below")
            .resizable(true)
            .default_size(all * (1.0 - DRAWING))
            .min_size(90.0)
            .max_size((all - 120.0).max(90.0))
            .frame(inside)
            .show(ui, |ui| {
                ui.set_min_size(ui.available_size());
                let panels = &mut self.panels;
                if bench.build.assembly.tubes.is_empty() {
                    empty(ui, bench);
                    return;
                }
                match topic {
                    Topic::Tubes => tubes::show(&mut panels.tubes, ui, bench, tray),
                    Topic::CutList => cut_list::show(ui, bench, tray),
                    Topic::Dies => dies::show(ui, bench, tray),
                    Topic::Stiffness => stiffness::show(&mut panels.stiffness, ui, bench, tray),
                    Topic::Braces => braces::show(&mut panels.braces, ui, bench, both, tray),
                    Topic::Loads => loads::show(&mut panels.loads, ui, bench, tray),
                    Topic::TwistTest => twist_test::show(&mut panels.test, ui, bench, tray),
                }
            });
        let over = frame_marks::of(bench, topic, &self.panels);
        let marks = Marks {
            tints: over.tints.as_ref(),
            shifted: over.shifted.as_ref(),
            arrows: &over.arrows,
            tried: &over.tried,
            pairs: &over.pairs,
            bare: true,
            ..Marks::default()
        };
        self.view.show(ui, bench, &marks, tray);
    }
}

fn tabs(ui: &mut Ui, bench: &Bench<'_>, now: &mut Topic) {
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
                for topic in Topic::ALL {
                    let text = egui::RichText::new(topic.label());
                    let text = if tight { text.size(12.0) } else { text };
                    ui.selectable_value(now, topic, text);
                }
            });
        });
}

/// Nothing is drawn yet.
fn empty(ui: &mut Ui, bench: &Bench<'_>) {
    bits::scroll(ui, "tubes empty", |ui| {
        common::head(ui, bench, "No tubes yet", "");
        bits::say(
            ui,
            "Take “Draw a tube” above the drawing, press where one end sits, draw to the other end and let go. \
             The next one may begin on a node or on a tube: it is coped to that.",
        );
        bits::say(
            ui,
            "With “Both sides” on, every tube and every move is made on the left and the right of the car at once. \
             Ends are moved by dragging them, by arrow keys, or typed.",
        );
        bits::say(
            ui,
            "Then this page says what to saw, where to bend, how to cut each end, which bars to buy, and how stiff \
             the frame is.",
        );
        common::caution(ui, bench, build::TUBE_CAUTION);
    });
}
