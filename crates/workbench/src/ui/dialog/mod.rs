//! Questions that need an answer before going on: each is a value, drawn as a modal.

mod lists;
mod parts;
mod phases;

use std::path::PathBuf;

use build::{
    Bracket, Build, Carrier, Check, CheckKind, Edit, Link, LinkEnd, LinkRole, Phase, Place, RodEnd,
    Sides,
};
use eframe::egui::{self, Id, Modal, Role, TextEdit, Ui, WidgetInfo};
use units::{Kind, Length, Quantity};

use super::bench::{Action, Bench, Tray};
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
    /// A file is there already.
    Replace {
        /// Which.
        path: PathBuf,
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
                    stock: None,
                },
                true,
            ),
        }
    }

    /// How it may be left without an answer.
    fn leaving(&self, modal: &egui::ModalResponse<()>, ctx: &egui::Context) -> bool {
        match self {
            // Kept work is taken back or dropped, never forgotten by a stray click.
            Self::Recover(_) => false,
            Self::Keys
            | Self::About
            | Self::Findings
            | Self::Find { .. }
            | Self::Trouble { .. } => modal.should_close(),
            // A click beside a form does not throw away what was typed into it.
            _ => {
                ctx.input(|i| i.key_pressed(egui::Key::Escape))
                    && !ctx.text_edit_focused()
                    && modal.should_close()
            }
        }
    }

    /// Draws it; false when it is answered or given up. `said` is why the last answer was refused.
    pub fn show(
        &mut self,
        ctx: &egui::Context,
        bench: &Bench<'_>,
        said: Option<&str>,
        tray: &mut Tray,
    ) -> bool {
        let mut keep = true;
        let modal = Modal::new(Id::unique("dialog")).show(ctx, |ui| {
            ui.set_width(420.0_f32.min(ctx.content_rect().width() - 60.0));
            if let (
                Some(said),
                Self::Check(_) | Self::Bracket(..) | Self::Link(..) | Self::Phase { .. },
            ) = (said, &*self)
            {
                ui.colored_label(bench.palette.bad, said);
            }
            keep = self.body(ui, bench, tray);
        });
        keep && !self.leaving(&modal, ctx)
    }

    fn body(&mut self, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) -> bool {
        match self {
            Self::Path { want, text, hint } => path(ui, bench, *want, text, hint, tray),
            Self::Unsaved { then } => unsaved(ui, bench, then.as_deref(), tray),
            Self::Replace { path } => replace(ui, path, tray),
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
            } => phases::record(ui, bench, phase, check, label, *kind, value, note, tray),
            Self::Check(draft) => phases::check(ui, bench, draft, tray),
            Self::Phase {
                id,
                title,
                caution,
                waits_for,
            } => phases::phase(ui, bench, id.as_deref(), title, caution, waits_for, tray),
            Self::Bracket(b, new) => parts::bracket(ui, bench, b, *new, tray),
            Self::Link(l, new) => parts::link(ui, bench, l, *new, tray),
            Self::Trouble { text } => {
                title(ui, "That did not work");
                ui.label(text.as_str());
                !ui.button("Close").clicked()
            }
            Self::Keys => lists::keys(ui),
            Self::About => lists::about(ui),
            Self::Findings => lists::findings(ui, bench, tray),
            Self::Find { text, chosen } => lists::find(ui, bench, text, chosen, tray),
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
            Want::ReadRuns => "Read a table of runs",
            Want::WriteRuns => "Write the table of runs to",
        },
    );
    if !hint.is_empty() {
        ui.colored_label(bench.palette.dim, hint);
    }
    let r = text_line(ui, "File", text);
    let entered = r.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter));
    if !entered && ui.memory(|m| m.focused().is_none()) {
        r.request_focus();
    }
    let path = PathBuf::from(text.trim());
    let yes = match want {
        Want::Open => "Open",
        Want::ReadRuns => "Read",
        _ => "Write",
    };
    let answer = answers(ui, yes, !text.trim().is_empty());
    if (entered && !text.trim().is_empty()) || answer == Some(true) {
        tray.put(match want {
            Want::Open => Action::OpenPath(path),
            Want::Save => Action::SavePath {
                path: build::file::with_extension(&path),
                asked: false,
            },
            Want::Sheet(_) => Action::WriteSheet(path),
            Want::ReadRuns => Action::ReadRuns(path),
            Want::WriteRuns => Action::WriteRuns(path),
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
            tray.put(Action::SaveThen(Box::new(
                then.cloned().unwrap_or(Action::CloseNow),
            )));
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

fn replace(ui: &mut Ui, path: &std::path::Path, tray: &mut Tray) -> bool {
    title(ui, "There is a file of this name");
    ui.label(format!(
        "{} is there already. Its last state stays beside it as .bak.",
        path.display()
    ));
    match answers(ui, "Replace it", true) {
        Some(true) => {
            tray.put(Action::SavePath {
                path: path.to_owned(),
                asked: true,
            });
            false
        }
        Some(false) => false,
        None => true,
    }
}

fn recover(ui: &mut Ui, kept: &Build, tray: &mut Tray) -> bool {
    title(ui, "There is unsaved work");
    ui.label(format!(
        "The last time {} was open it was not closed cleanly. What was not saved then was kept aside.",
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
            tray.put(Action::BeginGesture);
            if *name != bench.build.name {
                tray.edit(Edit::Rename(name.trim().to_owned()));
            }
            if *revision != bench.build.revision {
                tray.edit(Edit::Revision(revision.trim().to_owned()));
            }
            if *note != bench.build.note {
                tray.edit(Edit::Note(note.clone()));
            }
            tray.put(Action::EndGesture);
            false
        }
        Some(false) => false,
        None => true,
    }
}

/// Which kinds of sheet file the preview offers.
pub const SHEET_KINDS: [(SheetKind, &str); 3] = [
    (SheetKind::Pdf, "PDF"),
    (SheetKind::Svg, "SVG"),
    (SheetKind::Csv, "CSV"),
];

pub use phases::fresh_id;
