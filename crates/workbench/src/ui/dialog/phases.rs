//! Dialogs about phases and their checks.

use build::{Check, CheckKind, DEFINITIONS, Edit, Mark, Phase};
use eframe::egui::{self, Ui};
use units::{Kind, Quantity};

use super::super::bench::{Action, Bench, Tray};
use super::super::{checklist, clock};
use super::{CheckDraft, answers, text_line, title};

#[expect(clippy::too_many_arguments, reason = "the fields of one dialog")]
pub(super) fn record(
    ui: &mut Ui,
    bench: &Bench<'_>,
    phase: &str,
    check: &str,
    label: &str,
    kind: Option<Kind>,
    value: &mut String,
    note: &mut String,
    tray: &mut Tray,
) -> bool {
    title(ui, label);
    let found = bench.build.phase(phase).and_then(|p| p.check(check));
    if let Some(c) = found {
        if !c.caution.is_empty() {
            ui.colored_label(bench.palette.bad, &c.caution);
        }
        if let CheckKind::Measure { low, high } = &c.kind {
            ui.colored_label(
                bench.palette.dim,
                checklist::limits(bench, low.as_ref(), high.as_ref()),
            );
        }
    }
    let mut entered = false;
    let parsed = kind.map(|kind| {
        let r = text_line(ui, "Measured", value);
        if value.is_empty() && !r.has_focus() && ui.memory(|m| m.focused().is_none()) {
            r.request_focus();
        }
        entered = r.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter));
        let no_limit = found.is_some_and(|c| {
            matches!(
                c.kind,
                CheckKind::Measure {
                    low: None,
                    high: None
                }
            )
        });
        if no_limit && let Ok(q) = units::parse_any(value) {
            // No limit says which kind it is: the unit typed does.
            return Ok(q);
        }
        units::parse_typed(kind, value, bench.shop()).map(|si| Quantity { kind, si })
    });
    if let (Some(Err(e)), false) = (&parsed, value.is_empty()) {
        ui.colored_label(bench.palette.bad, e.to_string());
    }
    text_line(ui, "Note", note);
    let mut settings = bench.settings.clone();
    if text_line(ui, "Signed by", &mut settings.who).changed() {
        tray.put(Action::Prefer(settings));
    }
    let possible = !matches!(parsed, Some(Err(_)));
    let answer = answers(ui, "Record", possible);
    if answer == Some(true) || (entered && possible) {
        tray.edit(Edit::Mark {
            phase: phase.to_owned(),
            check: check.to_owned(),
            mark: Mark {
                done: true,
                who: bench.settings.who.clone(),
                when: clock::now(),
                note: note.trim().to_owned(),
                value: parsed.and_then(Result::ok),
            },
        });
        return false;
    }
    answer.is_none()
}

pub(super) fn check(ui: &mut Ui, bench: &Bench<'_>, d: &mut CheckDraft, tray: &mut Tray) -> bool {
    title(
        ui,
        if d.id.is_some() {
            "Change the check"
        } else {
            "A check of your own"
        },
    );
    text_line(ui, "What to check", &mut d.label);
    text_line(ui, "Caution", &mut d.caution);
    ui.horizontal(|ui| {
        for (i, word) in ["tick", "measure", "rule on a reading"]
            .into_iter()
            .enumerate()
        {
            ui.radio_value(&mut d.kind, i, word);
        }
        ui.checkbox(&mut d.hold, "hold point");
    });
    let mut problem = None;
    let kind = match d.kind {
        1 => {
            text_line(ui, "At least", &mut d.low);
            text_line(ui, "At most", &mut d.high);
            let mut read = |t: &str| match t.trim() {
                "" => None,
                t => units::parse_any(t)
                    .map_err(|e| problem = Some(e.to_string()))
                    .ok(),
            };
            let (low, high) = (read(&d.low), read(&d.high));
            CheckKind::Measure { low, high }
        }
        2 => {
            egui::ScrollArea::vertical()
                .max_height(160.0)
                .min_scrolled_height(160.0)
                .show(ui, |ui| {
                    for def in DEFINITIONS {
                        let mut on = d.readings.iter().any(|r| r == def.id);
                        if ui.checkbox(&mut on, def.label).changed() {
                            d.readings.retain(|r| r != def.id);
                            if on {
                                d.readings.push(def.id.to_owned());
                            }
                        }
                    }
                });
            CheckKind::Rule {
                readings: d.readings.clone(),
            }
        }
        _ => CheckKind::Tick,
    };
    if let Some(p) = &problem {
        ui.colored_label(bench.palette.bad, p);
    }
    match answers(ui, "Set", !d.label.trim().is_empty() && problem.is_none()) {
        Some(true) => {
            let taken = |id: &str| {
                bench
                    .build
                    .phase(&d.phase)
                    .is_some_and(|p| p.check(id).is_some())
            };
            tray.edit(Edit::PutCheck {
                phase: d.phase.clone(),
                check: Check {
                    id: d.id.clone().unwrap_or_else(|| fresh_id(&d.label, taken)),
                    label: d.label.trim().to_owned(),
                    kind,
                    hold: d.hold,
                    caution: d.caution.trim().to_owned(),
                    marks: Vec::new(),
                },
            });
            false
        }
        Some(false) => false,
        None => true,
    }
}

/// A short name from a label that is not taken yet.
pub fn fresh_id(label: &str, taken: impl Fn(&str) -> bool) -> String {
    let mut base: String = label
        .chars()
        .map(|c| {
            if c.is_ascii_alphanumeric() {
                c.to_ascii_lowercase()
            } else {
                '_'
            }
        })
        .take(24)
        .collect();
    base = base.trim_matches('_').to_owned();
    if base.is_empty() {
        "part".clone_into(&mut base);
    }
    let mut id = base.clone();
    let mut n = 2;
    while taken(&id) {
        id = format!("{base}_{n}");
        n += 1;
    }
    id
}

pub(super) fn phase(
    ui: &mut Ui,
    bench: &Bench<'_>,
    id: Option<&str>,
    name: &mut String,
    caution: &mut String,
    waits_for: &mut Vec<String>,
    tray: &mut Tray,
) -> bool {
    title(
        ui,
        if id.is_some() {
            "Change the phase"
        } else {
            "A phase of your own"
        },
    );
    text_line(ui, "Title", name);
    text_line(ui, "Caution", caution);
    ui.label("Waits for these hold points:");
    egui::ScrollArea::vertical()
        .max_height(150.0)
        .min_scrolled_height(150.0)
        .show(ui, |ui| {
            for p in &bench.build.phases {
                for c in p.checks.iter().filter(|c| c.hold) {
                    let key = format!("{}/{}", p.id, c.id);
                    let mut on = waits_for.contains(&key);
                    if ui
                        .checkbox(&mut on, format!("{}: {}", p.title, c.label))
                        .changed()
                    {
                        waits_for.retain(|w| *w != key);
                        if on {
                            waits_for.push(key);
                        }
                    }
                }
            }
        });
    if let Some(id) = id {
        let index = bench
            .build
            .phases
            .iter()
            .position(|p| p.id == id)
            .unwrap_or(0);
        ui.horizontal(|ui| {
            for (word, to, possible) in [
                ("Move up the string", index.wrapping_sub(1), index > 0),
                (
                    "Move down the string",
                    index + 1,
                    index + 1 < bench.build.phases.len(),
                ),
            ] {
                if ui.add_enabled(possible, egui::Button::new(word)).clicked() {
                    tray.edit(Edit::MovePhase {
                        phase: id.to_owned(),
                        to,
                    });
                }
            }
        });
        if ui
            .add_enabled(
                bench.build.phases.len() > 1,
                egui::Button::new("Remove this phase and its record"),
            )
            .clicked()
        {
            tray.edit(Edit::RemovePhase(id.to_owned()));
            return false;
        }
    }
    match answers(ui, "Set", !name.trim().is_empty()) {
        Some(true) => {
            let (title, caution) = (name.trim().to_owned(), caution.trim().to_owned());
            match id {
                Some(id) => tray.edit(Edit::DescribePhase {
                    phase: id.to_owned(),
                    title,
                    caution,
                    waits_for: waits_for.clone(),
                }),
                None => {
                    let id = fresh_id(&title, |id| bench.build.phase(id).is_some());
                    tray.edit(Edit::AddPhase(Phase {
                        id: id.clone(),
                        title,
                        caution,
                        waits_for: waits_for.clone(),
                        checks: Vec::new(),
                    }));
                    tray.put(Action::Phase(id));
                }
            }
            false
        }
        Some(false) => false,
        None => true,
    }
}
