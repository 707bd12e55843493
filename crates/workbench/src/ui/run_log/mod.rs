//! The run log of the shake-down: every run with its setting, beside what the model says of it.

mod detail;
mod form;
mod friction;
mod setting;
mod table;
pub mod table_file;
mod trend;
mod view;
mod words;

use build::Seen;
use eframe::egui::{self, ComboBox, Panel, Role, ScrollArea, TextEdit, Ui, WidgetInfo};

use super::bench::{Action, Bench, Tray};
use super::files::Want;
use super::springs_page::common;
use super::theme::plain;
use form::Form;
use view::{Filters, Shown, Sort};

/// Width from which two columns stand side by side, points.
const BESIDE: f32 = 700.0;
/// Share of the height that stands below the table.
const BELOW: f32 = 0.62;

/// What goes with every run.
const CAUTIONS: &str = "Test on a closed course: licence and insurance in order, the local vehicle code kept on the road. \
     Brakes are proven before power. Nobody stands ahead of or behind a car that is about to leave.";

/// What is on the bench.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
enum Topic {
    #[default]
    Runs,
    Record,
}

/// What this page remembers between frames: what is chosen, and what is typed but not in the log yet.
#[derive(Debug, Default)]
pub struct RunLogPage {
    generation: u64,
    topic: Topic,
    filters: Filters,
    sort: Sort,
    /// Id of the run in hand.
    chosen: Option<String>,
    trend: trend::Over,
    table: table::Table,
    form: Option<Form>,
}

impl RunLogPage {
    /// Draws the page.
    pub fn show(&mut self, ui: &mut Ui, bench: &Bench<'_>, phase: &str, tray: &mut Tray) {
        if self.generation != bench.generation {
            *self = Self {
                generation: bench.generation,
                ..Self::default()
            };
        }
        self.tabs(ui, bench);
        if self.topic == Topic::Record {
            super::bench_page::show(ui, bench, phase, tray);
            return;
        }
        let margin = egui::Frame::NONE.inner_margin(egui::Margin::symmetric(12, 6));
        margin.show(ui, |ui| {
            if bench.build.run.log.is_empty() {
                self.empty(ui, bench, tray);
            } else {
                self.runs(ui, bench, tray);
            }
        });
    }

    fn tabs(&mut self, ui: &mut Ui, bench: &Bench<'_>) {
        egui::Frame::NONE
            .fill(bench.palette.panel)
            .inner_margin(egui::Margin::symmetric(10, 3))
            .show(ui, |ui| {
                ui.set_min_width(ui.available_width());
                ui.horizontal_wrapped(|ui| {
                    ui.selectable_value(&mut self.topic, Topic::Runs, "Run log");
                    ui.selectable_value(&mut self.topic, Topic::Record, "Record of this phase");
                });
            });
    }

    fn empty(&mut self, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
        ScrollArea::vertical()
            .id_salt("no runs")
            .auto_shrink(false)
            .show(ui, |ui| {
                if self.form.is_some() {
                    self.open_form(ui, bench, tray);
                } else {
                    words::say(
                        ui,
                        "No run is logged yet: each one keeps the exact setting it was made with, so that what changed can be told from what was changed.",
                    );
                    ui.horizontal_wrapped(|ui| {
                        self.log_button(ui, bench);
                        read_button(ui, tray);
                    });
                }
                common::caution(ui, bench, CAUTIONS);
            });
    }

    fn log_button(&mut self, ui: &mut Ui, bench: &Bench<'_>) {
        let p = bench.palette;
        let text = egui::RichText::new("Log a run").color(p.on_accent);
        let button = egui::Button::new(text).fill(p.accent);
        if ui
            .add(button)
            .on_hover_text("With the holes, springs and launch the build is at now")
            .clicked()
        {
            self.form = Some(Form::new(bench));
        }
    }

    fn open_form(&mut self, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
        let Some(form) = &mut self.form else { return };
        match form.show(ui, bench, tray) {
            form::Answer::Open => {}
            form::Answer::Logged(id) => {
                self.chosen = Some(id);
                self.form = None;
            }
            form::Answer::Left => self.form = None,
        }
    }

    fn runs(&mut self, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
        let log = &bench.build.run.log;
        let predicted = bench.study.run.log();
        let gone = |id: &String| !log.iter().any(|r| r.id == *id);
        if self.chosen.as_ref().is_none_or(gone) {
            self.chosen = log.last().map(|r| r.id.clone());
        }
        let shown = view::shown(log, &predicted, &self.filters, self.sort);
        self.bar(ui, bench, &shown, tray);
        self.filter_row(ui, bench, &shown);
        let all = ui.available_height();
        // No higher than the rows there are, and never so high that little is left below.
        let rows = (log.len() as f32 + 2.5) * table::ROW;
        Panel::bottom("runs below")
            .resizable(true)
            .default_size((all - rows).max(all * BELOW))
            .min_size(100.0)
            .max_size((all - 128.0).max(100.0))
            .frame(egui::Frame::NONE.inner_margin(egui::Margin {
                top: 6,
                ..egui::Margin::ZERO
            }))
            .show(ui, |ui| {
                // As high as it was dragged, however little stands in it.
                ui.set_min_size(ui.available_size());
                self.below(ui, bench, &shown, tray);
            });
        let table = &mut self.table;
        table.show(ui, bench, &shown, &mut self.sort, &mut self.chosen, tray);
    }

    fn bar(&mut self, ui: &mut Ui, bench: &Bench<'_>, shown: &Shown<'_>, tray: &mut Tray) {
        ui.horizontal_wrapped(|ui| {
            self.log_button(ui, bench);
            if ui
                .button("Copy the runs")
                .on_hover_text("The runs in sight as a table, for a spreadsheet")
                .clicked()
            {
                tray.put(Action::Copy {
                    text: words::table(bench, shown),
                    what: "The runs".to_owned(),
                });
            }
            read_button(ui, tray);
            if ui
                .button("Write a table…")
                .on_hover_text("Every run as comma-separated text")
                .clicked()
            {
                tray.put(Action::FileDialog(Want::WriteRuns));
            }
        });
    }

    fn filter_row(&mut self, ui: &mut Ui, bench: &Bench<'_>, shown: &Shown<'_>) {
        let filters = &mut self.filters;
        ui.horizontal_wrapped(|ui| {
            let text = filters.seen.map_or("anything seen", Seen::words);
            ComboBox::from_id_salt("runs seen")
                .selected_text(text)
                .width(128.0)
                .show_ui(ui, |ui| {
                    ui.selectable_value(&mut filters.seen, None, "anything seen");
                    for seen in Seen::ALL {
                        ui.selectable_value(&mut filters.seen, Some(seen), seen.words());
                    }
                })
                .response
                .widget_info(|| {
                    let mut info = WidgetInfo::labeled(Role::ComboBox, true, "Only runs that");
                    info.current_text_value = Some(text.to_owned());
                    info
                });
            let place = TextEdit::singleline(&mut filters.place)
                .hint_text("place")
                .desired_width(110.0);
            ui.add(place)
                .widget_info(|| WidgetInfo::labeled(Role::TextInput, true, "Only at this place"));
            ui.checkbox(&mut filters.clean, "Clean only");
            ui.checkbox(&mut filters.sixty, "With 60 ft");
            let count = format!("{} of {}", shown.rows.len(), shown.of);
            ui.label(
                egui::RichText::new(count)
                    .font(plain(12.0))
                    .color(bench.palette.dim),
            );
            if *filters != Filters::default() && ui.button("Show all").clicked() {
                *filters = Filters::default();
            }
        });
    }

    fn below(&mut self, ui: &mut Ui, bench: &Bench<'_>, shown: &Shown<'_>, tray: &mut Tray) {
        if self.form.is_some() {
            scroll(ui, "run form", |ui| {
                self.open_form(ui, bench, tray);
                common::caution(ui, bench, CAUTIONS);
            });
            return;
        }
        let room = ui.available_width();
        if room >= BESIDE {
            Panel::right("run in hand")
                .resizable(true)
                .default_size(room * 0.5)
                .size_range(280.0..=(room - 320.0).max(290.0))
                .frame(egui::Frame::NONE.inner_margin(egui::Margin {
                    left: 10,
                    ..egui::Margin::ZERO
                }))
                .show(ui, |ui| {
                    scroll(ui, "run in hand", |ui| {
                        self.detail(ui, bench, shown, tray);
                    });
                });
            egui::Frame::NONE
                .inner_margin(egui::Margin {
                    right: 8,
                    ..egui::Margin::ZERO
                })
                .show(ui, |ui| {
                    scroll(ui, "runs together", |ui| {
                        self.together(ui, bench, shown, tray);
                    });
                });
            return;
        }
        scroll(ui, "runs narrow", |ui| {
            self.detail(ui, bench, shown, tray);
            ui.separator();
            self.together(ui, bench, shown, tray);
        });
    }

    fn together(&mut self, ui: &mut Ui, bench: &Bench<'_>, shown: &Shown<'_>, tray: &mut Tray) {
        self.trend.show(ui, bench, shown, self.chosen.as_deref());
        ui.add_space(6.0);
        friction::show(ui, bench, shown, tray);
        common::caution(ui, bench, CAUTIONS);
    }

    fn detail(&mut self, ui: &mut Ui, bench: &Bench<'_>, shown: &Shown<'_>, tray: &mut Tray) {
        let Some(run) = self.chosen.as_deref().and_then(|id| shown.run(id)) else {
            return;
        };
        if let Some(form) = detail::show(ui, bench, &run, tray) {
            self.form = Some(form);
        }
    }
}

fn read_button(ui: &mut Ui, tray: &mut Tray) {
    if ui
        .button("Read a table…")
        .on_hover_text(
            "Runs from comma-separated text; what is wrong in it is told by line and column",
        )
        .clicked()
    {
        tray.put(Action::FileDialog(Want::ReadRuns));
    }
}

fn scroll(ui: &mut Ui, salt: &'static str, contents: impl FnOnce(&mut Ui)) {
    ScrollArea::vertical()
        .id_salt(salt)
        .auto_shrink(false)
        .show(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 4.0;
            contents(ui);
            ui.add_space(6.0);
        });
}
