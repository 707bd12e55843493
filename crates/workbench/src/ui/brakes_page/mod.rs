//! The brakes in the plumbing phase: the circuit from pedal to wheel, what the tyres hold, where the pedal's
//! travel goes, parking and heat.

mod circuit;
mod forms;
pub(in crate::ui) mod plot;
mod results;

use build::{Brakes, Edit, Part, RollingEdit};
use eframe::egui::{self, Panel, ScrollArea, Ui};

use super::bench::{Bench, Tray};
use super::springs_page::common;

/// What is asked before the car moves.
const CAUTION: &str = "Bleed and test with the wheels chocked, then at walking pace before anything else. Never two residual \
    valves in a line; a locked rear axle spins the car. No cooling or fade is in these sums. The local vehicle code and a \
    licensed inspection decide, not this page.";

/// What stands on the page.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Topic {
    /// Every part in its line.
    #[default]
    Circuit,
    /// Which axle locks first.
    Balance,
    /// Travel and return.
    Pedal,
    /// Parking brake.
    Parking,
    /// One stop.
    Heat,
    /// The phase's record.
    Record,
}

impl Topic {
    /// In the order of the row of tabs.
    pub const ALL: [Self; 6] = [
        Self::Circuit,
        Self::Balance,
        Self::Pedal,
        Self::Parking,
        Self::Heat,
        Self::Record,
    ];

    /// What its tab says.
    pub fn label(self) -> &'static str {
        match self {
            Self::Circuit => "Circuit",
            Self::Balance => "Balance",
            Self::Pedal => "Pedal",
            Self::Parking => "Parking",
            Self::Heat => "Heat",
            Self::Record => "Record",
        }
    }

    /// The topic a part belongs to.
    pub fn of(part: &Part) -> Option<Self> {
        let id = match part {
            Part::Reading(id) => id.as_str(),
            Part::Field(id) => id,
            _ => return None,
        };
        let rest = id.strip_prefix("brakes")?;
        Some(match rest.trim_start_matches('.') {
            r if r.starts_with("parking") => Self::Parking,
            r if r.starts_with("stop_") || r.starts_with("stop.") => Self::Heat,
            r if r.contains("rotor") => Self::Heat,
            r if [
                "return",
                "pedal_return",
                "pedal_travel",
                "stroke",
                "pedal.travel",
            ]
            .iter()
            .any(|of| r.starts_with(of)) =>
            {
                Self::Pedal
            }
            r if [
                "demand",
                "unassisted",
                "front_share",
                "first_lock",
                "efficiency",
                "rear_first",
                "pedal.force",
            ]
            .iter()
            .any(|of| r.starts_with(of)) =>
            {
                Self::Balance
            }
            _ => Self::Circuit,
        })
    }
}

/// What this page remembers between frames.
#[derive(Debug, Default)]
pub struct BrakesPage {
    /// What is on the bench.
    pub topic: Topic,
}

impl BrakesPage {
    /// Shows the topic of a part; a part of the circuit stays in its drawing.
    pub fn jump(&mut self, part: &Part, from_elsewhere: bool) {
        let drawn = matches!(part, Part::Field(_)) && self.topic == Topic::Circuit;
        if let Some(topic) = Topic::of(part).filter(|_| from_elsewhere || !drawn) {
            self.topic = topic;
        }
    }

    /// Draws the page.
    pub fn show(&mut self, ui: &mut Ui, bench: &Bench<'_>, phase: &str, tray: &mut Tray) {
        tabs(ui, bench, &mut self.topic);
        let ui = &mut common::in_sight(ui);
        if self.topic == Topic::Record {
            super::bench_page::show(ui, bench, phase, tray);
            return;
        }
        let inside = egui::Frame::NONE.inner_margin(egui::Margin::symmetric(12, 6));
        let Some(now) = &bench.build.brakes else {
            inside.show(ui, |ui| empty(ui, bench, tray));
            return;
        };
        if self.topic == Topic::Circuit {
            let height = (ui.available_height() * 0.46).clamp(190.0, 400.0);
            Panel::top("brake circuit")
                .resizable(true)
                .default_size(height)
                .min_size(150.0)
                .max_size((ui.available_height() - 110.0).max(150.0))
                .frame(egui::Frame::NONE)
                .show(ui, |ui| circuit::show(ui, bench, tray));
        }
        let mut new = now.clone();
        let topic = self.topic;
        let mut what = "Change the brakes";
        inside.show(ui, |ui| {
            ScrollArea::vertical()
                .id_salt(("brakes", topic.label()))
                .auto_shrink(false)
                .show(ui, |ui| {
                    match topic {
                        Topic::Circuit => forms::part(ui, bench, &mut new, tray),
                        Topic::Balance => {
                            results::balance(ui, bench);
                            forms::looked_at(ui, bench, &mut new, tray);
                        }
                        Topic::Pedal => {
                            results::travel(ui, bench);
                            forms::pedal_return(ui, bench, &mut new, tray);
                            results::back(ui, bench);
                        }
                        Topic::Parking => {
                            forms::parking(ui, bench, &mut new, tray);
                            results::parking(ui, bench);
                        }
                        Topic::Heat => {
                            forms::heat(ui, bench, &mut new, tray);
                            results::heat(ui, bench);
                        }
                        Topic::Record => {}
                    }
                    if topic == Topic::Circuit && ui.small_button("Take the brakes out").clicked() {
                        what = "Take out the brakes";
                    }
                    common::caution(ui, bench, CAUTION);
                });
        });
        if what == "Take out the brakes" {
            tray.edit(Edit::Rolling(RollingEdit::Brakes(what, None)));
        } else if new != *now {
            tray.edit(Edit::Rolling(RollingEdit::Brakes(
                what,
                Some(Box::new(new)),
            )));
        }
    }
}

fn tabs(ui: &mut Ui, bench: &Bench<'_>, now: &mut Topic) {
    egui::Frame::NONE
        .fill(bench.palette.panel)
        .inner_margin(egui::Margin::symmetric(10, 3))
        .show(ui, |ui| {
            ui.set_min_width(ui.available_width());
            ui.horizontal_wrapped(|ui| {
                for topic in Topic::ALL {
                    ui.selectable_value(now, topic, topic.label());
                }
            });
        });
}

fn empty(ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    common::head(ui, bench, "No brakes yet", "");
    common::note(
        ui,
        bench,
        "Lay out a usual system, then change every part to what is on the bench: pedal, master, valves, hoses, calipers or \
         drums. The page then says which axle locks first and at what foot force, where the pedal's travel goes, whether each \
         residual valve is right, and how the car parks.",
    );
    if ui
        .button("Lay out the brakes")
        .on_hover_text(
            "Discs in front, drums behind, a tandem master: round figures to be replaced",
        )
        .clicked()
    {
        tray.edit(Edit::Rolling(RollingEdit::Brakes(
            "Lay out the brakes",
            Some(Box::new(Brakes::usual(&bench.build.car))),
        )));
    }
    common::caution(ui, bench, CAUTION);
}
