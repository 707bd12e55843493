//! The form of a run that is logged or changed.

use build::run_table::RunRange;
use build::{Build, RunEdit, RunRecord, RunSetting, RunTimes, Study, derive};
use eframe::egui::{self, Grid, RichText, Ui};
use units::{Pressure, Ratio, RotationSpeed, Speed, Temperature, Time};
use vehicle::run::{Mark, Slip};

use super::super::bench::{Action, Bench, Tray};
use super::super::springs_page::common;
use super::super::theme::bold;
use super::super::{clock, typed};
use super::{detail, words};

const FIELD: f32 = 92.0;
/// Room a label with its field takes, points.
const PAIR: f32 = 200.0;

/// A run that is not in the log yet, or not as it is typed here.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Form {
    record: RunRecord,
    new: bool,
}

/// What became of the form.
pub(super) enum Answer {
    Open,
    Logged(String),
    Left,
}

impl Form {
    /// A run at the build's setting in today's air, now. What is not in the build is as in the last run.
    pub fn new(bench: &Bench<'_>) -> Self {
        let b = bench.build;
        let last = b.run.log.last();
        let mut setting = RunSetting::of(b);
        if let Some(s) = last.map(|r| &r.setting) {
            setting.clicks.clone_from(&s.clicks);
            setting.rear_pressure = s.rear_pressure;
            setting.front_pressure = s.front_pressure;
        }
        Self {
            record: RunRecord {
                id: fresh_id(b, None),
                when: clock::now(),
                place: last.map(|r| r.place.clone()).unwrap_or_default(),
                setting,
                weather: b.run.weather,
                times: RunTimes::default(),
                seen: Vec::new(),
                note: String::new(),
                files: Vec::new(),
                predicted: RunTimes::default(),
                learn: false,
            },
            new: true,
        }
    }

    /// A run of the log, to change.
    pub fn of(record: &RunRecord) -> Self {
        Self {
            record: record.clone(),
            new: false,
        }
    }

    pub fn show(&mut self, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) -> Answer {
        let title = if self.new {
            format!("Log run {}", self.record.id)
        } else {
            format!("Change run {}", self.record.id)
        };
        ui.label(RichText::new(title).font(bold(13.0)));
        let id = self.record.id.clone();
        let mut f = Fields {
            ui,
            bench,
            tray,
            id: &id,
        };
        times(&mut f, &mut self.record.times);
        self.setting(&mut f);
        self.about(&mut f);
        self.answers(ui, bench, tray)
    }

    fn setting(&mut self, f: &mut Fields<'_, '_>) {
        f.head("Set for this run, and the air");
        let s = &mut self.record.setting;
        let w = &mut self.record.weather;
        f.grid("run set", |f, n| {
            if let Some(v) = f.must("Launch rpm", RunRange::LAUNCH, s.launch.si()) {
                s.launch = RotationSpeed::from_si(v);
            }
            n(f);
            for (label, slot) in [
                ("Rear pressure", &mut s.rear_pressure),
                ("Front pressure", &mut s.front_pressure),
            ] {
                if let Some(v) = f.may(label, RunRange::TYRE, slot.map(Pressure::si)) {
                    *slot = v.map(Pressure::from_si);
                }
                n(f);
            }
            if let Some(v) = f.must("Temperature", RunRange::TEMPERATURE, w.temperature.si()) {
                w.temperature = Temperature::from_si(v);
            }
            n(f);
            if let Some(v) = f.must("Station pressure", RunRange::STATION, w.pressure.si()) {
                w.pressure = Pressure::from_si(v);
            }
            n(f);
            if let Some(v) = f.must("Humidity", RunRange::HUMIDITY, w.humidity.si()) {
                w.humidity = Ratio::from_si(v);
            }
            n(f);
        });
        f.line("Damper clicks", &mut s.clicks);
    }

    fn about(&mut self, f: &mut Fields<'_, '_>) {
        let r = &mut self.record;
        f.head("Seen");
        f.ui.horizontal_wrapped(|ui| {
            detail::ticks(ui, &mut r.seen);
        });
        f.line("Place", &mut r.place);
        f.line("When", &mut r.when);
        f.line("Note", &mut r.note);
        let can = r.learn || r.times.sixty_foot.is_some();
        let tick = egui::Checkbox::new(&mut r.learn, "Counts for the friction");
        f.ui.add_enabled(can, tick)
            .on_disabled_hover_text("It has no 60 ft time yet");
    }

    fn answers(&mut self, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) -> Answer {
        let mut answer = Answer::Open;
        ui.horizontal_wrapped(|ui| {
            let p = bench.palette;
            let yes = if self.new {
                "Log it"
            } else {
                "Keep the changes"
            };
            let text = RichText::new(yes).color(p.on_accent);
            if ui.add(egui::Button::new(text).fill(p.accent)).clicked() {
                let mut record = self.record.clone();
                if self.new {
                    // Another one may have come by undo meanwhile.
                    record.id = fresh_id(bench.build, Some(&record.id));
                    record.predicted = predicted(bench.build, bench.study, &record);
                }
                answer = Answer::Logged(record.id.clone());
                words::edit(tray, RunEdit::PutRun(record));
            }
            if ui.button("Leave it").clicked() {
                answer = Answer::Left;
            }
        });
        if self.new {
            common::note(
                ui,
                bench,
                "Holes, springs, preload and shifts are kept as the build has them now, with what the model predicts.",
            );
        }
        answer
    }
}

/// This name, or the next number, that no run has yet.
fn fresh_id(b: &Build, wanted: Option<&str>) -> String {
    let log = &b.run.log;
    let free = |id: &str| !log.iter().any(|r| r.id == id);
    if let Some(id) = wanted.filter(|id| free(id)) {
        return id.to_owned();
    }
    // One of so many numbers is free.
    let mut names = (1..=log.len() + 1).map(|n| format!("R{}", log.len() + n));
    names.find(|id| free(id)).unwrap_or_default()
}

fn times(f: &mut Fields<'_, '_>, t: &mut RunTimes) {
    f.head("From the slip; leave out what was not measured");
    f.grid("run times", |f, n| {
        for (label, slot) in [
            ("60 ft", &mut t.sixty_foot),
            ("330 ft", &mut t.three_thirty),
            ("Eighth", &mut t.eighth),
            ("1000 ft", &mut t.thousand),
            ("Quarter", &mut t.quarter),
        ] {
            if let Some(v) = f.may(label, RunRange::TIME, slot.map(Time::si)) {
                *slot = v.map(Time::from_si);
            }
            n(f);
        }
        let speed = t.quarter_speed.map(Speed::si);
        if let Some(v) = f.may("Speed", RunRange::SPEED, speed) {
            t.quarter_speed = v.map(Speed::from_si);
        }
        n(f);
        let zero_sixty = t.zero_sixty.map(Time::si);
        if let Some(v) = f.may("0–60 mph", RunRange::TIME, zero_sixty) {
            t.zero_sixty = v.map(Time::from_si);
        }
        n(f);
    });
}

/// What the model says of a run at its setting in its air; nothing where there is no run.
fn predicted(b: &Build, study: &Study, record: &RunRecord) -> RunTimes {
    let mut was = b.clone();
    record.setting.apply(&mut was);
    was.run.weather = record.weather;
    let slip = if was == *b {
        study.run.run.as_ref().ok().map(|r| r.slip)
    } else {
        derive(&was).run.run.as_ref().ok().map(|r| r.slip)
    };
    slip.map(|s| as_times(&s)).unwrap_or_default()
}

fn as_times(s: &Slip) -> RunTimes {
    let time = |si: f64| RunRange::TIME.check(si).ok().map(Time::from_si);
    let clock = |m: Mark| time(s.clock(m));
    RunTimes {
        sixty_foot: clock(Mark::SixtyFoot),
        three_thirty: clock(Mark::ThreeThirty),
        eighth: clock(Mark::Eighth),
        thousand: clock(Mark::Thousand),
        quarter: clock(Mark::Quarter),
        quarter_speed: RunRange::SPEED
            .check(s.quarter_trap)
            .ok()
            .map(Speed::from_si),
        zero_sixty: s.zero_sixty.and_then(time),
    }
}

/// Fields of the form, one after the other.
struct Fields<'a, 'b> {
    ui: &'a mut Ui,
    bench: &'a Bench<'b>,
    tray: &'a mut Tray,
    id: &'a str,
}

impl Fields<'_, '_> {
    fn head(&mut self, text: &str) {
        common::head(self.ui, self.bench, text, "");
    }

    /// Pairs of label and field, as many beside one another as there is room for; the second argument
    /// of `contents` ends a pair.
    fn grid(
        &mut self,
        salt: &str,
        contents: impl FnOnce(&mut Fields<'_, '_>, &mut dyn FnMut(&mut Fields<'_, '_>)),
    ) {
        let columns = ((self.ui.available_width() / PAIR) as usize).clamp(1, 4);
        let (bench, tray, id) = (self.bench, &mut *self.tray, self.id);
        Grid::new(salt)
            .num_columns(2 * columns)
            .spacing([8.0, 4.0])
            .show(self.ui, |ui| {
                let mut at = 0;
                let mut fields = Fields {
                    ui,
                    bench,
                    tray,
                    id,
                };
                contents(&mut fields, &mut |f| {
                    at += 1;
                    if at % columns == 0 {
                        f.ui.end_row();
                    }
                });
            });
    }

    /// A quantity that must be there; only one in its range comes back.
    fn must(&mut self, label: &str, range: RunRange, si: f64) -> Option<f64> {
        self.ui.label(label);
        let salt = ("run form", self.id, label);
        let name = format!("Run's {label}");
        let v = typed::field(
            self.ui, self.bench, salt, &name, range.kind, si, FIELD, self.tray,
        )?;
        self.taken(label, range, v)
    }

    /// A quantity that may be left out.
    fn may(&mut self, label: &str, range: RunRange, si: Option<f64>) -> Option<Option<f64>> {
        self.ui.label(label);
        let salt = ("run form", self.id, label);
        let name = format!("Run's {label}");
        let v = typed::optional(
            self.ui, self.bench, salt, &name, range.kind, si, FIELD, self.tray,
        )?;
        match v {
            None => Some(None),
            Some(v) => self.taken(label, range, v).map(Some),
        }
    }

    fn taken(&mut self, label: &str, range: RunRange, si: f64) -> Option<f64> {
        match range.check(si) {
            Ok(si) => Some(si),
            Err(why) => {
                self.tray.put(Action::Say(format!("{label}: {why}")));
                None
            }
        }
    }

    fn line(&mut self, label: &str, slot: &mut String) {
        let (bench, id) = (self.bench, self.id);
        let tray = &mut *self.tray;
        self.ui.horizontal(|ui| {
            ui.label(label);
            let width = (ui.available_width() - 24.0).clamp(80.0, 420.0);
            let salt = ("run form", id, label);
            let name = format!("Run's {label}");
            if let Some(v) = typed::words(ui, bench, salt, &name, slot, width, tray) {
                *slot = v;
            }
        });
    }
}
