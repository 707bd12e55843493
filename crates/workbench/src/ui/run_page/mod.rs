//! The launch run: the goal and what meets it, engine and gears, chassis and air, scales.

mod chassis;
mod cursor;
mod engine;
mod goal;
mod live;
mod pieces;
mod plots;
mod scales;
mod sensitivities;
mod slip;
mod thousand;
mod torque_table;
mod what_if;
mod words;

use std::sync::Arc;

use build::{Part, RunStudy, Sample, Simulation, SlipRun};
use eframe::egui::{self, Ui};

use super::bench::{Bench, Tray};
use super::bench_page;
use cursor::Cursor;
pub use torque_table::read_torque;

/// What is on the bench.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Topic {
    /// The run against the goal.
    #[default]
    Goal,
    /// Torque, gears, clutch or converter.
    Engine,
    /// Dampers, drag, weather, spreads.
    Chassis,
    /// Corner scales and the raised axle.
    Scales,
    /// The car's dimensions and the record of the phase.
    Car,
}

impl Topic {
    /// In the order of the row of tabs.
    pub const ALL: [Self; 5] = [
        Self::Goal,
        Self::Engine,
        Self::Chassis,
        Self::Scales,
        Self::Car,
    ];

    /// What its tab says.
    pub fn label(self) -> &'static str {
        match self {
            Self::Goal => "Goal",
            Self::Engine => "Engine and gears",
            Self::Chassis => "Chassis and air",
            Self::Scales => "Scales",
            Self::Car => "Car and record",
        }
    }

    /// The topic a part belongs to; none for what stands on no page of the run.
    pub fn of(part: &Part) -> Option<Self> {
        match part {
            Part::Reading(id) => match id.as_str() {
                "run.measured_cg_height" | "run.cross_weight" => Some(Self::Scales),
                id if id.starts_with("run.") => Some(Self::Goal),
                _ => None,
            },
            Part::Field(id) if engine::FIELDS.contains(id) => Some(Self::Engine),
            Part::Field(id) if id.starts_with("run.") => Some(Self::Chassis),
            Part::Field(id)
                if ["car.", "frame.", "rear."]
                    .iter()
                    .any(|of| id.starts_with(of)) =>
            {
                Some(Self::Car)
            }
            _ => None,
        }
    }
}

/// The run of one study as it is drawn: worked out once.
#[derive(Debug)]
struct Drawn {
    study: Arc<RunStudy>,
    samples: Vec<Sample>,
}

/// What this page remembers between frames.
#[derive(Debug, Default)]
pub struct RunPage {
    /// What is on the bench.
    pub topic: Topic,
    generation: u64,
    drawn: Option<Drawn>,
    cursor: Cursor,
    engine: engine::Drafts,
    scales: scales::Drafts,
    thousand: thousand::Thousand,
    what_if: what_if::WhatIf,
}

impl RunPage {
    /// Another build is on the bench.
    pub fn start_over(&mut self) {
        *self = Self {
            topic: self.topic,
            ..Self::default()
        };
    }

    /// Where the time cursor stands, s from first motion.
    pub fn time(&self) -> f64 {
        self.cursor.time
    }

    /// The simulated runs, once there are any.
    pub fn simulated(&self) -> Option<&Simulation> {
        self.thousand.found()
    }

    /// Whether runs are being simulated.
    pub fn simulates(&self) -> bool {
        self.thousand.works()
    }

    /// The launch with tyre slip, once there is one.
    pub fn with_slip(&self) -> Option<&SlipRun> {
        self.what_if.found()
    }

    /// Whether the launch is being played.
    pub fn plays(&self) -> bool {
        self.cursor.plays()
    }

    /// Draws the page.
    pub fn show(&mut self, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
        if self.generation != bench.generation {
            self.start_over();
            self.generation = bench.generation;
        }
        self.tabs(ui, bench);
        if self.topic != Topic::Goal {
            self.cursor.pause();
        }
        match self.topic {
            Topic::Goal => {
                self.draw_once(bench);
                goal::show(self, ui, bench, tray);
            }
            Topic::Engine => engine::show(&mut self.engine, ui, bench, tray),
            Topic::Chassis => chassis::show(ui, bench, tray),
            Topic::Scales => scales::show(&mut self.scales, ui, bench, tray),
            Topic::Car => bench_page::show(ui, bench, "goal", tray),
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
                        ui.spacing_mut().button_padding.x = 4.0;
                        ui.spacing_mut().item_spacing.x = 2.0;
                    }
                    for topic in Topic::ALL {
                        let text = egui::RichText::new(topic.label());
                        let text = if tight { text.size(12.0) } else { text };
                        ui.selectable_value(&mut self.topic, topic, text);
                    }
                });
            });
    }

    /// Works out the histories of a new run.
    fn draw_once(&mut self, bench: &Bench<'_>) {
        let study = &bench.study.run;
        if (self.drawn.as_ref()).is_some_and(|d| Arc::ptr_eq(&d.study, study)) {
            return;
        }
        let samples = study
            .run
            .as_ref()
            .map_or_else(|_| Vec::new(), plots::samples);
        self.drawn = Some(Drawn {
            study: Arc::clone(study),
            samples,
        });
    }
}
