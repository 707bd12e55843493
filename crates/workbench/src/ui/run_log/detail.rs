//! The run in hand: its slip beside the model, what changed since, what to make of it.

use build::{RunEdit, RunRecord, RunSetting, Seen, changed_since, run_advice};
use eframe::egui::{self, Grid, RichText, Ui};
use units::{Kind, Time};

use super::super::bench::{Bench, Tray};
use super::super::springs_page::common;
use super::super::theme::{bold, plain};
use super::super::typed;
use super::form::Form;
use super::setting;
use super::view::{Figure, Run};
use super::words::{self, NONE};

/// Most files a run may name, as in the build file.
const MAX_FILES: usize = 400;

/// Shows the run; a form when it is to be changed.
pub(super) fn show(ui: &mut Ui, bench: &Bench<'_>, run: &Run<'_>, tray: &mut Tray) -> Option<Form> {
    let record = run.record;
    let title = RichText::new(words::named(record)).font(bold(13.0));
    ui.add(egui::Label::new(title).wrap());
    let form = buttons(ui, bench, record, tray);
    slip(ui, bench, run);
    seen(ui, record, tray);
    for a in run_advice(bench.study, record) {
        words::say(ui, format!("→ {}", a.show(bench.shop())));
    }
    since(ui, bench, run);
    head(ui, "Setting");
    pairs(ui, &setting::lines(bench, &record.setting));
    head(ui, "Air");
    let w = &record.weather;
    words::say(
        ui,
        format!(
            "{}, station pressure {}, humidity {}",
            bench.kept(Kind::Temperature, w.temperature.si()),
            bench.kept(Kind::Pressure, w.pressure.si()),
            bench.kept(Kind::Ratio, w.humidity.si())
        ),
    );
    head(ui, "Note");
    let width = (ui.available_width() - 24.0).clamp(80.0, 420.0);
    let name = format!("Note of run {}", record.id);
    let salt = ("run note", &record.id);
    if let Some(note) = typed::words(ui, bench, salt, &name, &record.note, width, tray) {
        let mut changed = record.clone();
        changed.note = note;
        words::edit(tray, RunEdit::PutRun(changed));
    }
    files(ui, bench, record, tray);
    form
}

fn head(ui: &mut Ui, text: &str) {
    ui.add_space(3.0);
    ui.label(RichText::new(text).font(bold(12.5)));
}

fn buttons(ui: &mut Ui, bench: &Bench<'_>, record: &RunRecord, tray: &mut Tray) -> Option<Form> {
    let mut form = None;
    let unfit = setting::unfit(bench.build, &record.setting);
    ui.horizontal_wrapped(|ui| {
        let r = ui.add_enabled(unfit.is_none(), egui::Button::new("Restore this setting"));
        if r.on_hover_text("Holes, springs, launch and shifts as they were; one step to undo")
            .clicked()
        {
            words::edit(tray, RunEdit::Restore(record.id.clone()));
        }
        let name = format!("Change run {}", record.id);
        if ui.button("Change…").accessible_name(name).clicked() {
            form = Some(Form::of(record));
        }
        let name = format!("Remove run {}", record.id);
        if ui
            .button("Remove")
            .accessible_name(name)
            .on_hover_text("One step to undo")
            .clicked()
        {
            words::edit(tray, RunEdit::RemoveRun(record.id.clone()));
        }
    });
    if let Some(why) = unfit {
        words::say_in(
            ui,
            bench.palette.bad,
            format!("It can not be restored: {why}."),
        );
    }
    form
}

/// The slip beside the model of now and the model of then.
fn slip(ui: &mut Ui, bench: &Bench<'_>, run: &Run<'_>) {
    let p = bench.palette;
    let t = &run.record.times;
    let then = &run.record.predicted;
    Grid::new("run slip")
        .num_columns(5)
        .spacing([14.0, 3.0])
        .show(ui, |ui| {
            for word in ["", "measured", "predicted", "when logged", "off"] {
                ui.label(RichText::new(word).font(plain(11.0)).color(p.dim));
            }
            ui.end_row();
            for f in Figure::ALL {
                let measured = run.measured(f);
                let predicted = run.predicted(f);
                let text = |v: Option<f64>, said: fn(&Bench<'_>, Kind, f64) -> String| {
                    let text = v.map_or_else(|| NONE.to_owned(), |v| said(bench, f.kind(), v));
                    RichText::new(text).font(plain(12.5))
                };
                ui.label(RichText::new(f.label()).font(plain(12.5)));
                ui.label(text(measured, words::measured).font(bold(12.5)));
                ui.label(text(predicted, words::predicted));
                ui.label(text(f.measured(then), words::predicted).color(p.dim));
                ui.label(text(run.off(f), words::off));
                ui.end_row();
            }
        });
    let other: Vec<String> = [
        ("330 ft", t.three_thirty),
        ("1000 ft", t.thousand),
        ("0–60 mph", t.zero_sixty),
    ]
    .into_iter()
    .filter_map(|(word, v)| Some((word, v?)))
    .map(|(word, v)| format!("{word} {}", words::measured(bench, Kind::Time, Time::si(v))))
    .collect();
    if !other.is_empty() {
        words::say(ui, other.join(" · "));
    }
    if let Some(Err(why)) = run.model.map(|m| &m.slip) {
        let why = format!("No prediction: {}", why.show(bench.shop()));
        words::say_in(ui, p.dim, why);
    }
}

/// What was seen, as ticks.
fn seen(ui: &mut Ui, record: &RunRecord, tray: &mut Tray) {
    head(ui, "Seen");
    ui.horizontal_wrapped(|ui| {
        let mut list = record.seen.clone();
        if ticks(ui, &mut list) {
            let mut changed = record.clone();
            changed.seen = list;
            words::edit(tray, RunEdit::PutRun(changed));
        }
    });
}

/// A tick for everything that may be seen; true when one was changed.
pub(super) fn ticks(ui: &mut Ui, list: &mut Vec<Seen>) -> bool {
    let before = list.clone();
    for one in Seen::ALL {
        let mut on = list.contains(&one);
        if ui.checkbox(&mut on, one.words()).changed() {
            list.retain(|x| *x != one);
            if on {
                list.push(one);
            }
        }
    }
    *list != before
}

fn since(ui: &mut Ui, bench: &Bench<'_>, run: &Run<'_>) {
    let b = bench.build;
    let was = &run.record.setting;
    if let Some(before) = run.before {
        head(ui, &format!("What changed since run {}", before.id));
        list(ui, bench, &before.setting, was);
    }
    head(ui, "What changed since, up to today's setting");
    // Clicks and pressures are written down with a run; the build does not hold them.
    let mut now = RunSetting::of(b);
    now.clicks.clone_from(&was.clicks);
    list(ui, bench, was, &now);
}

fn list(ui: &mut Ui, bench: &Bench<'_>, was: &RunSetting, is: &RunSetting) {
    let changed = changed_since(bench.build, was, is);
    if changed.is_empty() {
        common::note(ui, bench, "Nothing.");
    }
    for c in &changed {
        words::say(ui, setting::changed(bench, c));
    }
}

fn pairs(ui: &mut Ui, lines: &[(String, String)]) {
    for (what, how) in lines {
        words::say(ui, format!("{what}: {how}"));
    }
}

/// Photos and notes by path.
fn files(ui: &mut Ui, bench: &Bench<'_>, record: &RunRecord, tray: &mut Tray) {
    head(ui, "Photos and notes, by path");
    let mut list = record.files.clone();
    let mut gone = None;
    for (i, file) in record.files.iter().enumerate() {
        ui.horizontal(|ui| {
            let name = format!("Remove {file}");
            if ui.small_button("–").accessible_name(name).clicked() {
                gone = Some(i);
            }
            let text = RichText::new(file).font(plain(12.0));
            ui.add(egui::Label::new(text).truncate());
        });
    }
    if let Some(i) = gone {
        list.remove(i);
    }
    if list.len() < MAX_FILES {
        ui.horizontal(|ui| {
            ui.label("Add");
            let width = (ui.available_width() - 24.0).clamp(80.0, 320.0);
            let salt = ("run file", &record.id);
            let name = format!("Add a file to run {}", record.id);
            if let Some(path) = typed::words(ui, bench, salt, &name, "", width, tray)
                && !path.is_empty()
                && !list.contains(&path)
            {
                list.push(path);
            }
        });
    }
    if list != record.files {
        let mut changed = record.clone();
        changed.files = list;
        words::edit(tray, RunEdit::PutRun(changed));
    }
}
