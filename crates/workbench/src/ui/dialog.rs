//! Questions that need an answer before going on: each is a value, drawn as a modal.

use std::path::PathBuf;

use build::{
    Bracket, Build, Carrier, Check, CheckKind, DEFINITIONS, Edit, Holes, Link, LinkEnd, LinkRole,
    Mark, Phase, Place, RodEnd, Sides,
};
use eframe::egui::{self, ComboBox, Id, Modal, Role, TextEdit, Ui, WidgetInfo};
use units::{Kind, Length, Quantity};

use super::bench::{Action, Bench, Tray};
use super::clock;
use super::command::COMMANDS;
use super::files::{SheetKind, Want};
use super::theme::bold;

/// An open question.
#[derive(Debug, Clone, PartialEq)]
pub enum Dialog {
    /// Type a path: for systems without a file dialog.
    Path {
        /// What for.
        want: Want,
        /// What has been typed.
        text: String,
        /// Why it is asked this way.
        hint: String,
    },
    /// Unsaved work, and the window wants to close or another build to open.
    Unsaved {
        /// What to do afterwards; none closes the window.
        then: Option<Box<Action>>,
    },
    /// An autosave newer than the file.
    Recover(Box<Build>),
    /// Name, revision, note.
    Rename {
        /// Name.
        name: String,
        /// Revision.
        revision: String,
        /// Note.
        note: String,
    },
    /// Record something about a check.
    Record {
        /// Phase id.
        phase: String,
        /// Check id.
        check: String,
        /// The check's sentence.
        label: String,
        /// Kind of quantity to measure; none for a tick.
        kind: Option<Kind>,
        /// The value as typed.
        value: String,
        /// The note.
        note: String,
    },
    /// A check to add or change.
    Check(CheckDraft),
    /// A phase to add or change.
    Phase {
        /// Id of the phase to change; none adds one.
        id: Option<String>,
        /// Title.
        title: String,
        /// Caution.
        caution: String,
        /// Hold points.
        waits_for: Vec<String>,
    },
    /// A bracket to add or change.
    Bracket(Bracket, bool),
    /// A link to add or change.
    Link(Link, bool),
    /// Something went wrong.
    Trouble {
        /// What.
        text: String,
    },
    /// Everything to know about keys.
    Keys,
    /// About the program.
    About,
    /// All findings.
    Findings,
    /// The command palette.
    Find {
        /// Letters typed.
        text: String,
        /// Line chosen.
        chosen: usize,
    },
}

/// A check being written.
#[derive(Debug, Clone, PartialEq)]
pub struct CheckDraft {
    phase: String,
    id: Option<String>,
    label: String,
    caution: String,
    hold: bool,
    kind: usize,
    low: String,
    high: String,
    readings: Vec<String>,
}

impl Dialog {
    /// Records a value or a note for a check.
    pub fn record(phase: &Phase, check: &Check) -> Self {
        let kind = match &check.kind {
            CheckKind::Measure { low, high } => {
                Some(low.or(*high).map_or(Kind::Length, |q| q.kind))
            }
            _ => None,
        };
        Self::Record {
            phase: phase.id.clone(),
            check: check.id.clone(),
            label: check.label.clone(),
            kind,
            value: String::new(),
            note: String::new(),
        }
    }

    /// Adds or changes a check.
    pub fn check(phase: &Phase, check: Option<&Check>) -> Self {
        let text = |q: &Option<Quantity>| q.as_ref().map(Quantity::exact).unwrap_or_default();
        let mut draft = CheckDraft {
            phase: phase.id.clone(),
            id: check.map(|c| c.id.clone()),
            label: check.map(|c| c.label.clone()).unwrap_or_default(),
            caution: check.map(|c| c.caution.clone()).unwrap_or_default(),
            hold: check.is_some_and(|c| c.hold),
            kind: 0,
            low: String::new(),
            high: String::new(),
            readings: Vec::new(),
        };
        match check.map(|c| &c.kind) {
            Some(CheckKind::Measure { low, high }) => {
                draft.kind = 1;
                draft.low = text(low);
                draft.high = text(high);
            }
            Some(CheckKind::Rule { readings }) => {
                draft.kind = 2;
                draft.readings.clone_from(readings);
            }
            _ => {}
        }
        Self::Check(draft)
    }

    /// Adds or changes a bracket.
    pub fn bracket(b: Option<&Bracket>) -> Self {
        let inch = Length::from_inches;
        match b {
            Some(b) => Self::Bracket(b.clone(), false),
            None => Self::Bracket(
                Bracket {
                    id: String::new(),
                    label: "new bracket".to_owned(),
                    on: Carrier::Frame,
                    sides: Sides::Pair,
                    at: Place {
                        station: inch(20.0),
                        offset: inch(15.0),
                        height: inch(10.0),
                    },
                    holes: build::row(4, inch(1.0)),
                    drill: inch(0.625),
                    plate_width: inch(2.0),
                },
                true,
            ),
        }
    }

    /// Adds or changes a link.
    pub fn link(b: &Build, l: Option<&Link>) -> Self {
        let inch = Length::from_inches;
        let first = |on: Carrier| {
            let found = b.rear.brackets.iter().find(|x| x.on == on);
            LinkEnd {
                bracket: found.map(|x| x.id.clone()).unwrap_or_default(),
                hole: 1,
                right_hole: None,
            }
        };
        match l {
            Some(l) => Self::Link(l.clone(), false),
            None => Self::Link(
                Link {
                    id: String::new(),
                    label: "new link".to_owned(),
                    role: LinkRole::Upper,
                    sides: Sides::Pair,
                    at_frame: first(Carrier::Frame),
                    at_axle: first(Carrier::Axle),
                    held: None,
                    body: inch(15.0),
                    rod_end: RodEnd {
                        thread: inch(0.75),
                        reach: inch(2.75),
                    },
                },
                true,
            ),
        }
    }

    /// Draws it; false when it is answered or given up.
    pub fn show(&mut self, ctx: &egui::Context, bench: &Bench<'_>, tray: &mut Tray) -> bool {
        let mut keep = true;
        let modal = Modal::new(Id::unique("dialog")).show(ctx, |ui| {
            ui.set_width(420.0_f32.min(ctx.content_rect().width() - 60.0));
            keep = self.body(ui, bench, tray);
        });
        keep && !modal.should_close()
    }

    fn body(&mut self, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) -> bool {
        match self {
            Self::Path { want, text, hint } => path(ui, bench, *want, text, hint, tray),
            Self::Unsaved { then } => unsaved(ui, bench, then.as_deref(), tray),
            Self::Recover(kept) => recover(ui, kept, tray),
            Self::Rename {
                name,
                revision,
                note,
            } => rename(ui, bench, name, revision, note, tray),
            Self::Record {
                phase,
                check,
                label,
                kind,
                value,
                note,
            } => record(ui, bench, phase, check, label, *kind, value, note, tray),
            Self::Check(draft) => check(ui, bench, draft, tray),
            Self::Phase {
                id,
                title,
                caution,
                waits_for,
            } => phase(ui, bench, id.as_deref(), title, caution, waits_for, tray),
            Self::Bracket(b, new) => bracket(ui, bench, b, *new, tray),
            Self::Link(l, new) => link(ui, bench, l, *new, tray),
            Self::Trouble { text } => {
                title(ui, "That did not work");
                ui.label(text.as_str());
                !ui.button("Close").clicked()
            }
            Self::Keys => keys(ui),
            Self::About => about(ui),
            Self::Findings => findings(ui, bench, tray),
            Self::Find { text, chosen } => find(ui, bench, text, chosen, tray),
        }
    }
}

fn title(ui: &mut Ui, text: &str) {
    ui.label(egui::RichText::new(text).font(bold(15.0)));
    ui.add_space(2.0);
}

fn text_line(ui: &mut Ui, name: &str, text: &mut String) -> egui::Response {
    ui.horizontal(|ui| {
        ui.label(name);
        let r = ui.add(TextEdit::singleline(text).desired_width(ui.available_width() - 8.0));
        r.widget_info(|| {
            let mut info = WidgetInfo::labeled(Role::TextInput, true, name);
            info.current_text_value = Some(text.clone());
            info
        });
        r
    })
    .inner
}

/// Answer buttons; `Some(true)` for the first, `Some(false)` for "Cancel".
fn answers(ui: &mut Ui, yes: &str, possible: bool) -> Option<bool> {
    ui.add_space(6.0);
    ui.horizontal(|ui| {
        let yes_clicked = ui.add_enabled(possible, egui::Button::new(yes)).clicked();
        if ui.button("Cancel").clicked() {
            return Some(false);
        }
        yes_clicked.then_some(true)
    })
    .inner
}

fn path(
    ui: &mut Ui,
    bench: &Bench<'_>,
    want: Want,
    text: &mut String,
    hint: &str,
    tray: &mut Tray,
) -> bool {
    title(
        ui,
        match want {
            Want::Open => "Open a build",
            Want::Save => "Save the build as",
            Want::Sheet(_) => "Write the sheet to",
        },
    );
    if !hint.is_empty() {
        ui.colored_label(bench.palette.dim, hint);
    }
    let r = text_line(ui, "File", text);
    if !r.has_focus() && text.is_empty() {
        r.request_focus();
    }
    let entered = r.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter));
    let path = PathBuf::from(text.trim());
    let yes = match want {
        Want::Open => "Open",
        _ => "Write",
    };
    let answer = answers(ui, yes, !text.trim().is_empty());
    if (entered && !text.trim().is_empty()) || answer == Some(true) {
        tray.put(match want {
            Want::Open => Action::OpenPath(path),
            Want::Save => Action::SavePath(build::file::with_extension(&path)),
            Want::Sheet(_) => Action::WriteSheet(path),
        });
        return false;
    }
    answer.is_none()
}

fn unsaved(ui: &mut Ui, bench: &Bench<'_>, then: Option<&Action>, tray: &mut Tray) -> bool {
    title(ui, "Save before you go?");
    ui.label(format!(
        "{} has changes that are not in its file yet.",
        bench.build.name
    ));
    ui.add_space(6.0);
    let mut keep = true;
    ui.horizontal(|ui| {
        let (save, discard) = match then {
            None => ("Save and close", "Close without saving"),
            Some(_) => ("Save first", "Go on without saving"),
        };
        if ui.button(save).clicked() {
            match then {
                None => tray.put(Action::SaveAndClose),
                Some(_) => tray.put(Action::Run(super::command::Command::Save)),
            }
            if let Some(a) = then {
                tray.put(a.clone());
            }
            keep = false;
        }
        if ui.button(discard).clicked() {
            tray.put(then.map_or(Action::CloseNow, |a| Action::GiveUp(Box::new(a.clone()))));
            keep = false;
        }
        if ui.button("Cancel").clicked() {
            keep = false;
        }
    });
    keep
}

fn recover(ui: &mut Ui, kept: &Build, tray: &mut Tray) -> bool {
    title(ui, "There is unsaved work");
    ui.label(format!(
        "The last time {} was open it was not closed cleanly. What was not saved then is kept beside the file.",
        kept.name
    ));
    ui.add_space(6.0);
    let mut keep = true;
    ui.horizontal(|ui| {
        if ui.button("Take it back").clicked() {
            tray.put(Action::Recover(Box::new(kept.clone())));
            keep = false;
        }
        if ui.button("Leave the file as it is").clicked() {
            tray.put(Action::DropAutosave);
            keep = false;
        }
    });
    keep
}

fn rename(
    ui: &mut Ui,
    bench: &Bench<'_>,
    name: &mut String,
    revision: &mut String,
    note: &mut String,
    tray: &mut Tray,
) -> bool {
    title(ui, "Name and revision");
    text_line(ui, "Name", name);
    text_line(ui, "Revision", revision);
    ui.label("Note");
    let r = ui.add(
        TextEdit::multiline(note)
            .desired_rows(3)
            .desired_width(f32::INFINITY),
    );
    r.widget_info(|| WidgetInfo::labeled(Role::MultilineTextInput, true, "Note"));
    let mut settings = bench.settings.clone();
    if text_line(ui, "Your initials", &mut settings.who).changed() {
        tray.put(Action::Prefer(settings));
    }
    match answers(ui, "Set", !name.trim().is_empty()) {
        Some(true) => {
            if *name != bench.build.name {
                tray.edit(Edit::Rename(name.trim().to_owned()));
            }
            if *revision != bench.build.revision {
                tray.edit(Edit::Revision(revision.trim().to_owned()));
            }
            if *note != bench.build.note {
                tray.edit(Edit::Note(note.clone()));
            }
            false
        }
        Some(false) => false,
        None => true,
    }
}

#[expect(clippy::too_many_arguments, reason = "the fields of one dialog")]
fn record(
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
                super::checklist::limits(bench, low.as_ref(), high.as_ref()),
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
        units::parse_typed(kind, value, bench.shop()).map(|si| Quantity { kind, si })
    });
    if let (Some(Err(e)), false) = (&parsed, value.is_empty()) {
        ui.colored_label(bench.palette.bad, e.to_string());
    }
    text_line(ui, "Note", note);
    let mut settings = bench.settings.clone();
    if text_line(ui, "Your initials", &mut settings.who).changed() {
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

fn check(ui: &mut Ui, bench: &Bench<'_>, d: &mut CheckDraft, tray: &mut Tray) -> bool {
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

fn phase(
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

fn sides_choice(ui: &mut Ui, sides: &mut Sides) {
    ui.radio_value(sides, Sides::Pair, "both sides");
    ui.radio_value(sides, Sides::Single, "one only");
}

fn bracket(ui: &mut Ui, bench: &Bench<'_>, b: &mut Bracket, new: bool, tray: &mut Tray) -> bool {
    title(
        ui,
        if new {
            "A new bracket"
        } else {
            "Change the bracket"
        },
    );
    text_line(ui, "Label", &mut b.label);
    ui.horizontal(|ui| {
        ui.radio_value(&mut b.on, Carrier::Frame, "on the frame");
        ui.radio_value(&mut b.on, Carrier::Axle, "on the axle");
    });
    ui.horizontal(|ui| sides_choice(ui, &mut b.sides));
    if let Holes::Row { count, .. } = &mut b.holes {
        ui.horizontal(|ui| {
            ui.label("holes in a row");
            let r = ui.add(egui::DragValue::new(count).range(1..=build::MAX_HOLES));
            r.widget_info(|| WidgetInfo::labeled(Role::SpinButton, true, "Holes in a row"));
        });
    }
    ui.colored_label(
        bench.palette.dim,
        "Where it stands, its drill and its pitch are set beside the drawing.",
    );
    match answers(ui, "Set", !b.label.trim().is_empty()) {
        Some(true) => {
            if new {
                b.id = fresh_id(&b.label, |id| bench.build.rear.bracket(id).is_some());
            }
            tray.edit(Edit::PutBracket(b.clone()));
            tray.put(Action::Select(build::Part::Bracket(b.id.clone())));
            false
        }
        Some(false) => false,
        None => true,
    }
}

fn link(ui: &mut Ui, bench: &Bench<'_>, l: &mut Link, new: bool, tray: &mut Tray) -> bool {
    title(ui, if new { "A new link" } else { "Change the link" });
    text_line(ui, "Label", &mut l.label);
    ui.horizontal(|ui| {
        ui.radio_value(&mut l.role, LinkRole::Upper, "upper");
        ui.radio_value(&mut l.role, LinkRole::Lower, "lower");
        ui.radio_value(&mut l.role, LinkRole::Lateral, "lateral bar");
    });
    ui.horizontal(|ui| sides_choice(ui, &mut l.sides));
    for (word, on, end) in [
        ("frame end on", Carrier::Frame, &mut l.at_frame),
        ("axle end on", Carrier::Axle, &mut l.at_axle),
    ] {
        ui.horizontal(|ui| {
            ui.label(word);
            let name = bench
                .build
                .rear
                .bracket(&end.bracket)
                .map_or("choose", |x| x.label.as_str());
            ComboBox::from_id_salt(word)
                .selected_text(name)
                .width(200.0)
                .show_ui(ui, |ui| {
                    for x in bench.build.rear.brackets.iter().filter(|x| x.on == on) {
                        if ui.selectable_label(x.id == end.bracket, &x.label).clicked() {
                            end.bracket.clone_from(&x.id);
                            end.hole = 1;
                            end.right_hole = None;
                        }
                    }
                })
                .response
                .widget_info(|| WidgetInfo::labeled(Role::ComboBox, true, word));
        });
    }
    for (word, slot) in [
        ("tube length", &mut l.body),
        ("rod end thread", &mut l.rod_end.thread),
        ("rod end reach", &mut l.rod_end.reach),
    ] {
        ui.horizontal(|ui| {
            ui.label(word);
            if let Some(v) = super::typed::field(
                ui,
                bench,
                ("link dialog", word),
                word,
                Kind::Length,
                slot.si(),
                90.0,
                tray,
            ) {
                *slot = Length::from_si(v);
            }
        });
    }
    let possible = !l.label.trim().is_empty()
        && !l.at_frame.bracket.is_empty()
        && !l.at_axle.bracket.is_empty();
    if !possible {
        ui.colored_label(
            bench.palette.dim,
            "It needs a bracket on the frame and one on the axle.",
        );
    }
    match answers(ui, "Set", possible) {
        Some(true) => {
            if new {
                l.id = fresh_id(&l.label, |id| bench.build.rear.link(id).is_some());
            }
            tray.edit(Edit::PutLink(l.clone()));
            tray.put(Action::Select(build::Part::Link(l.id.clone())));
            false
        }
        Some(false) => false,
        None => true,
    }
}

fn keys(ui: &mut Ui) -> bool {
    title(ui, "Keys");
    egui::ScrollArea::vertical()
        .max_height(ui.ctx().content_rect().height() * 0.6)
        .min_scrolled_height(ui.ctx().content_rect().height() * 0.6)
        .show(ui, |ui| {
            egui::Grid::new("keys")
                .num_columns(2)
                .spacing([24.0, 4.0])
                .show(ui, |ui| {
                    for e in COMMANDS {
                        if let Some(s) = &e.shortcut {
                            ui.label(ui.ctx().format_shortcut(s));
                            ui.label(format!("{}: {}", e.label, e.tip));
                            ui.end_row();
                        }
                    }
                    for (key, what) in [
                        (
                            "Arrow keys",
                            "Nudge the link end or bracket in hand by one step",
                        ),
                        ("Shift + arrow", "Nudge a bracket by sixteen steps"),
                        ("Escape", "Give up a drag, or leave a field as it was"),
                        ("Wheel", "Zoom at the pointer"),
                        ("Drag the floor", "Pan"),
                        ("Tab", "Next field, check or handle; Space presses it"),
                    ] {
                        ui.label(key);
                        ui.label(what);
                        ui.end_row();
                    }
                });
        });
    !ui.button("Close").clicked()
}

fn about(ui: &mut Ui) -> bool {
    title(ui, &format!("Stringline {}", env!("CARGO_PKG_VERSION")));
    ui.label("Plans the build of a fast street car's chassis. Reads and writes build files of format version 1.");
    ui.label("Program: MIT or Apache-2.0. Text: B612, SIL Open Font License 1.1. Symbols: DejaVu Sans Condensed, Bitstream Vera and DejaVu licence.");
    ui.add_space(4.0);
    ui.label(
        "It computes; it approves nothing. Structural welds, roll structures, brakes and driveline are decided by the current \
         rule book, local codes and licensed practice. Measure before you cut, and test in a safe place.",
    );
    !ui.button("Close").clicked()
}

fn findings(ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) -> bool {
    title(ui, &format!("{} remarks", bench.study.findings.len()));
    let mut keep = true;
    let p = bench.palette;
    egui::ScrollArea::vertical()
        .max_height(ui.ctx().content_rect().height() * 0.6)
        .min_scrolled_height(ui.ctx().content_rect().height() * 0.6)
        .show(ui, |ui| {
            for f in &bench.study.findings {
                let colour = match f.severity {
                    build::Severity::Error => p.bad,
                    build::Severity::Warning => p.accent,
                    build::Severity::Remark => p.dim,
                };
                let text = f.text.show(bench.shop());
                ui.horizontal(|ui| {
                    ui.colored_label(colour, f.severity.word());
                    if ui
                        .small_button("Show")
                        .accessible_name(format!("Show: {text}"))
                        .clicked()
                    {
                        tray.put(Action::Select(f.part.clone()));
                        keep = false;
                    }
                });
                ui.label(&text);
                ui.colored_label(p.dim, f.next.show(bench.shop()));
                ui.separator();
            }
        });
    keep && !ui.button("Close").clicked()
}

fn find(
    ui: &mut Ui,
    bench: &Bench<'_>,
    text: &mut String,
    chosen: &mut usize,
    tray: &mut Tray,
) -> bool {
    let down = ui.input_mut(|i| i.consume_key(egui::Modifiers::NONE, egui::Key::ArrowDown));
    let up = ui.input_mut(|i| i.consume_key(egui::Modifiers::NONE, egui::Key::ArrowUp));
    let r = ui.add(
        TextEdit::singleline(text)
            .hint_text("What do you want to do?")
            .desired_width(f32::INFINITY),
    );
    r.widget_info(|| {
        let mut info = WidgetInfo::labeled(Role::TextInput, true, "Command to find");
        info.current_text_value = Some(text.clone());
        info
    });
    if r.changed() {
        *chosen = 0;
    }
    let entered = ui.input(|i| i.key_pressed(egui::Key::Enter));
    if !r.has_focus() {
        r.request_focus();
    }
    let words: Vec<String> = text
        .to_lowercase()
        .split_whitespace()
        .map(str::to_owned)
        .collect();
    let fits: Vec<_> = COMMANDS
        .iter()
        .filter(|e| {
            let all = format!("{} {}", e.label, e.tip).to_lowercase();
            words.iter().all(|w| all.contains(w))
        })
        .collect();
    *chosen = (*chosen + usize::from(down))
        .saturating_sub(usize::from(up))
        .min(fits.len().saturating_sub(1));
    let mut keep = true;
    egui::ScrollArea::vertical()
        .max_height(300.0)
        .min_scrolled_height(300.0)
        .show(ui, |ui| {
            for (i, e) in fits.iter().enumerate() {
                let key = e
                    .shortcut
                    .map(|s| ui.ctx().format_shortcut(&s))
                    .unwrap_or_default();
                let r = ui.add(
                    egui::Button::selectable(i == *chosen, e.label)
                        .shortcut_text(key)
                        .min_size(egui::vec2(ui.available_width(), 0.0)),
                );
                let r = r.on_hover_text(e.tip);
                if r.clicked() || (entered && i == *chosen) {
                    tray.put(Action::Run(e.command));
                    keep = false;
                }
                if i == *chosen && (down || up) {
                    r.scroll_to_me(None);
                }
            }
            if fits.is_empty() {
                ui.colored_label(bench.palette.dim, "Nothing is called that.");
            }
        });
    keep
}

/// Which kinds of sheet file the preview offers.
pub const SHEET_KINDS: [(SheetKind, &str); 3] = [
    (SheetKind::Pdf, "PDF"),
    (SheetKind::Svg, "SVG"),
    (SheetKind::Csv, "CSV"),
];
