//! Measuring a control dimension, and what the shop would learn from it.

use build::{
    ControlDimension, DimensionReading, DimensionStudy, RecordOf, RecordRow, Stage, WeldEdit,
};
use eframe::egui::Ui;
use units::Length;
use weld::control::Factor;

use super::super::bench::{Bench, Tray};
use super::super::clock;
use super::bits;
use super::words::Runs;
use super::{common, words};

/// The form's draft.
#[derive(Debug, Default)]
pub(super) struct Measure {
    /// Dimension it is for.
    of: String,
    stage: Option<Stage>,
    value: Option<f64>,
    who: Option<String>,
}

impl Measure {
    pub fn show(
        &mut self,
        ui: &mut Ui,
        bench: &Bench<'_>,
        d: &ControlDimension,
        s: &DimensionStudy,
        tray: &mut Tray,
    ) {
        if self.of != d.id {
            *self = Self {
                of: d.id.clone(),
                ..Self::default()
            };
        }
        common::head(ui, bench, "Measured", "cold, from the same marks each time");
        let across = words::runs(s);
        for r in &d.readings {
            let off = words::off(bench, r.value.si() - d.want.si(), across);
            let text = format!(
                "{}: {}, {off} · {}",
                words::stage(bench, &r.stage),
                words::size(bench, r.value.si()),
                words::signed(&r.who, &r.when)
            );
            bits::say(ui, text);
        }
        if d.readings.is_empty() {
            common::note(
                ui,
                bench,
                format!(
                    "Nothing yet. It must come out at {}.",
                    words::size(bench, d.want.si())
                ),
            );
        } else if ui
            .button("Take back the last")
            .accessible_name(format!("Take back the last measurement of {}", d.label))
            .clicked()
        {
            let dimension = d.id.clone();
            bits::edit(tray, WeldEdit::TakeBackReading { dimension });
        }
        self.form(ui, bench, d, s, tray);
        learn(ui, bench, d, s, tray);
    }

    fn form(
        &mut self,
        ui: &mut Ui,
        bench: &Bench<'_>,
        d: &ControlDimension,
        s: &DimensionStudy,
        tray: &mut Tray,
    ) {
        let mut stage = self.stage.clone().unwrap_or_else(|| next_stage(bench, d));
        // Only what moves it: a list of every joint of the car is no help.
        let pulls = |i: usize| s.pulls.is_empty() || s.pulls.iter().any(|p| p.joint == i);
        let joints = bench.build.fit_up.joints.iter().enumerate();
        let after = joints
            .filter(|(i, j)| pulls(*i) || stage == Stage::After(j.id.clone()))
            .map(|(_, j)| Stage::After(j.id.clone()));
        let options: Vec<(Stage, String)> = [Stage::Set, Stage::Tacked]
            .into_iter()
            .chain(after)
            .chain([Stage::Welded, Stage::Corrected])
            .map(|x| {
                let text = words::stage(bench, &x);
                (x, text)
            })
            .collect();
        ui.horizontal_wrapped(|ui| {
            if bits::chooser(ui, "Measured when", 190.0, &mut stage, &options) {
                self.stage = Some(stage.clone());
            }
        });
        ui.horizontal_wrapped(|ui| {
            bits::draft_length(ui, bench, "Measured value", &mut self.value, tray);
            ui.label("by");
            let mut who = self
                .who
                .clone()
                .unwrap_or_else(|| bench.settings.who.clone());
            bits::draft_words(ui, bench, "Measured by", &mut who, 48.0, tray);
            if who != bench.settings.who {
                self.who = Some(who.clone());
            }
            let button = eframe::egui::Button::new("Write it down");
            let ready = self.value.filter(|v| *v > 0.0);
            let r = ui
                .add_enabled(ready.is_some(), button)
                .on_disabled_hover_text("Type what was measured first");
            if let (true, Some(value)) = (r.clicked(), ready) {
                bits::edit(
                    tray,
                    WeldEdit::MeasureDimension {
                        dimension: d.id.clone(),
                        reading: DimensionReading {
                            stage,
                            value: Length::from_si(value),
                            who,
                            when: clock::now(),
                            note: String::new(),
                        },
                    },
                );
                self.value = None;
                self.stage = None;
            }
        });
    }
}

/// The stage that is most likely measured next.
fn next_stage(bench: &Bench<'_>, d: &ControlDimension) -> Stage {
    let has = |stage: &Stage| d.readings.iter().any(|r| r.stage == *stage);
    if d.readings.is_empty() {
        return Stage::Set;
    }
    let order = bench.study.weld.order.as_ref().ok();
    if order.is_some_and(|o| o.welded > 0 && o.next.is_none()) {
        return if has(&Stage::Welded) {
            Stage::Corrected
        } else {
            Stage::Welded
        };
    }
    let last = order
        .filter(|o| o.welded > 0)
        .and_then(|o| o.joints.get(o.welded - 1))
        .and_then(|i| bench.build.fit_up.joints.get(*i));
    match last {
        Some(j) => Stage::After(j.id.clone()),
        None => Stage::Tacked,
    }
}

/// What the shop learned or would learn from this dimension; it learns only when it is told to.
fn learn(
    ui: &mut Ui,
    bench: &Bench<'_>,
    d: &ControlDimension,
    s: &DimensionStudy,
    tray: &mut Tray,
) {
    let Ok(record) = &bench.study.weld.record else {
        return;
    };
    let of = RecordOf::Dimension(d.id.clone());
    if let Some(row) = record.offered.iter().find(|r| r.of == of) {
        offered(ui, bench, row, words::runs(s), tray);
    } else if let Some(row) = record.rows.iter().find(|r| r.of == of) {
        let text = match &row.void {
            Some(why) => format!("Left out of the shop's record: {why}."),
            None => "It counts in the shop's record.".to_owned(),
        };
        common::note(ui, bench, text);
    } else if !s.pulls.is_empty() {
        common::note(
            ui,
            bench,
            "Measured tacked and again all welded and cold, it can teach the shop's record.",
        );
    }
}

/// A reading that could be learned from, with what it would do, and the button that does it.
pub(super) fn offered(
    ui: &mut Ui,
    bench: &Bench<'_>,
    row: &RecordRow,
    runs: Runs,
    tray: &mut Tray,
) {
    let id = match &row.of {
        RecordOf::Dimension(id) | RecordOf::Coupon(id) => id,
        RecordOf::Past(_) => return,
    };
    let u = &row.row.update;
    bits::say(
        ui,
        format!(
            "{} measured, {} expected; as far off as that {} of the time.",
            words::change(bench, u.measured, runs),
            words::change(bench, u.predicted, runs),
            words::chance(u.chance)
        ),
    );
    if row.void.is_none() {
        bits::say(ui, would(bench, row));
    }
    let button = ui
        .button("Learn from it")
        .accessible_name(format!("Learn from {}", row.label))
        .on_hover_text("The shop's factors change only when this is pressed");
    if button.clicked() {
        let id = id.clone();
        bits::edit(tray, WeldEdit::Learn { id, learn: true });
    }
}

/// What it would do to the factors it is about.
fn would(bench: &Bench<'_>, row: &RecordRow) -> String {
    let (weld, after) = (&bench.study.weld, &row.row.factors);
    let about: Vec<Factor> = weld
        .observation(bench.build, &row.of)
        .map(|o| {
            let own = |f: &Factor| o.by_factor[f.index()] != 0.0;
            Factor::ALL.into_iter().filter(own).collect()
        })
        .unwrap_or_default();
    let moves: Vec<String> = about
        .into_iter()
        .filter_map(|f| {
            let now = weld.factor(f)?;
            let (low, high) = after.interval(f, 0.90).ok()?;
            Some(format!(
                "{} from {} to {}",
                f.label(),
                words::factor(now),
                words::factor((after.of(f), low, high))
            ))
        })
        .collect();
    if moves.is_empty() {
        "It would change nothing.".to_owned()
    } else {
        format!("It would move the factor of {}.", moves.join("; of "))
    }
}
