//! What the window does with files: open, save, lock, keep unsaved work aside, write sheets.
//! Unsaved work is kept, offered and dropped only by the window that holds the file's lock.

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::{Duration, Instant};

use build::{Build, Edit, History, RunEdit, file};
use eframe::egui::{self, ViewportCommand};

use super::app::Workbench;
use super::bench::Action;
use super::clock;
use super::command::Command;
use super::dialog::Dialog;
use super::files::{AUTOSAVE_PAUSE, Dialogs, Picked, SheetKind, Want};
use super::preview::Preview;
use super::run_log::table_file;

/// The open document's file and what is pending about it.
#[derive(Default)]
pub(super) struct Filing {
    /// The file, once there is one.
    pub(super) path: Option<PathBuf>,
    /// Held while the file is open here.
    lock: Option<file::Lock>,
    /// Why the lock is not held.
    pub(super) lock_trouble: Option<String>,
    pub(super) saved_at: Option<String>,
    pub(super) changed_at: Option<Instant>,
    autosaved: Option<Arc<Build>>,
    /// Where unsaved work without a file is kept, and its lock.
    untitled: Option<(PathBuf, file::Lock)>,
    /// The person said that unsaved work may go.
    give_up: bool,
    /// What waits for the save to succeed.
    after_save: Option<Box<Action>>,
    pub(super) dialogs: Dialogs,
    pub(super) close_allowed: bool,
}

impl Filing {
    /// Where unsaved work goes: beside the file, or aside when there is none.
    fn kept_beside(&self) -> Option<&Path> {
        match (&self.path, &self.untitled) {
            (Some(path), _) => self.lock.is_some().then_some(path),
            (None, Some((path, _))) => Some(path),
            (None, None) => None,
        }
    }

    /// Unsaved work is saved or given up.
    fn drop_kept(&mut self) {
        if let Some(path) = self.kept_beside() {
            file::discard_autosave(path);
        }
        self.autosaved = None;
        self.changed_at = None;
    }
}

impl Workbench {
    /// Takes a build in the place of the one that is open.
    pub fn adopt(&mut self, build: Build, path: Option<PathBuf>) {
        self.filing.drop_kept();
        self.filing.lock = None;
        self.filing.lock_trouble = None;
        self.filing.saved_at = None;
        self.filing.after_save = None;
        self.history = History::new(build);
        self.start_over();
        if let Some(path) = &path {
            self.settings.opened(path);
            match file::lock(path) {
                Ok(lock) => {
                    self.filing.lock = Some(lock);
                    if let Some(kept) = file::newer_autosave(path, Some(self.history.build())) {
                        self.dialog = Some(Dialog::Recover(Box::new(kept)));
                    }
                }
                Err(e) => {
                    self.said = Some(e.to_string());
                    self.filing.lock_trouble = Some(e.to_string());
                }
            }
        }
        self.filing.path = path;
        self.derive();
    }

    /// Keeps unsaved work that has no file yet in this folder; `offer` what is there already.
    pub fn keep_untitled(&mut self, folder: Option<PathBuf>, offer: bool) {
        let Some(folder) = folder else {
            return;
        };
        // Not there on a first start; the lock below fails if it can not be made.
        let _ = std::fs::create_dir_all(&folder);
        let path = folder.join("untitled.ron");
        // Another window keeps its own unsaved work there: this one then keeps none.
        let Ok(lock) = file::lock(&path) else {
            return;
        };
        if offer && let Some(kept) = file::newer_autosave(&path, Some(self.history.build())) {
            self.dialog = Some(Dialog::Recover(Box::new(kept)));
        }
        self.filing.untitled = Some((path, lock));
    }

    /// Runs `then`, or asks first when that would lose unsaved work.
    pub(super) fn guarded(&mut self, again: Action, then: impl FnOnce(&mut Self)) {
        if self.history.is_unsaved() && !std::mem::take(&mut self.filing.give_up) {
            self.dialog = Some(Dialog::Unsaved {
                then: Some(Box::new(again)),
            });
        } else {
            then(self);
        }
    }

    /// The person said that unsaved work may go; it goes only if `then` really replaces it.
    pub(super) fn give_up(&mut self, ctx: &egui::Context, then: Action) {
        self.filing.give_up = true;
        self.perform(ctx, then);
        self.filing.give_up = false;
    }

    pub(super) fn open(&mut self, path: PathBuf) {
        self.guarded(Action::OpenPath(path.clone()), |me| {
            match file::load(&path) {
                Ok(build) => me.adopt(build, Some(path)),
                Err(e) => {
                    me.dialog = Some(Dialog::Trouble {
                        text: e.to_string(),
                    })
                }
            }
        });
    }

    /// Saves, and does `then` only if that succeeds.
    pub(super) fn save_then(&mut self, ctx: &egui::Context, then: Action) {
        self.filing.after_save = Some(Box::new(then));
        self.perform(ctx, Action::Run(Command::Save));
    }

    /// Saves where the file is, or asks where.
    pub(super) fn save(&mut self, ctx: &egui::Context) {
        match self.filing.path.clone() {
            Some(path) => self.save_to(&path, true),
            None => self.perform(ctx, Action::FileDialog(Want::Save)),
        }
    }

    /// Saves to `path`; `asked` when the person knows that a file there is replaced.
    pub(super) fn save_to(&mut self, path: &Path, asked: bool) {
        if let Err(dialog) = self.try_save(path, asked) {
            // Replacing is still a question; anything else ends what waited for the save.
            if !matches!(*dialog, Dialog::Replace { .. }) {
                self.filing.after_save = None;
            }
            self.dialog = Some(*dialog);
            return;
        }
        if let Some(then) = self.filing.after_save.take() {
            self.tray.put(*then);
        }
    }

    fn try_save(&mut self, path: &Path, asked: bool) -> Result<(), Box<Dialog>> {
        let trouble = |text: String| Box::new(Dialog::Trouble { text });
        let real = |p: &Path| std::fs::canonicalize(p).unwrap_or_else(|_| p.to_owned());
        let same = self
            .filing
            .path
            .as_deref()
            .is_some_and(|p| real(p) == real(path));
        if !same && !asked && path.exists() {
            return Err(Box::new(Dialog::Replace {
                path: path.to_owned(),
            }));
        }
        let lock = match (same && self.filing.lock.is_some(), file::lock(path)) {
            (true, _) => None,
            (false, Ok(lock)) => Some(lock),
            (false, Err(e)) if path.exists() => return Err(trouble(e.to_string())),
            // A new file in a folder that takes no lock: the save itself says why.
            (false, Err(_)) => None,
        };
        file::save(self.history.build(), path).map_err(|e| trouble(e.to_string()))?;
        self.history.mark_saved();
        self.filing.drop_kept();
        if lock.is_some() {
            self.filing.lock = lock;
        }
        self.filing.lock_trouble = None;
        file::discard_autosave(path);
        self.filing.saved_at = Some(clock::time());
        self.settings.opened(path);
        self.filing.path = Some(path.to_owned());
        self.said = Some(format!("Saved {}", path.display()));
        Ok(())
    }

    pub(super) fn recover(&mut self, kept: Build) {
        let on_disk = Build::clone(self.history.build());
        self.history = History::new(kept);
        self.history.mark_unsaved_since(on_disk);
        self.start_over();
        self.filing.changed_at = Some(Instant::now());
        self.said = Some("Unsaved work taken back; save it when it looks right".to_owned());
    }

    pub(super) fn drop_autosave(&mut self) {
        self.filing.drop_kept();
    }

    pub(super) fn close_now(&mut self, ctx: &egui::Context) {
        self.filing.drop_kept();
        self.filing.close_allowed = true;
        ctx.send_viewport_cmd(ViewportCommand::Close);
    }

    pub(super) fn write_sheet(&mut self, path: &Path) {
        let result = self.try_write_sheet(path);
        match result {
            Ok(()) => self.said = Some(format!("Wrote {}", path.display())),
            Err(text) => self.dialog = Some(Dialog::Trouble { text }),
        }
    }

    /// Reads runs into the log: one step to undo, and nothing of a table that is not whole.
    pub(super) fn read_runs(&mut self, path: &Path) {
        match table_file::read(path, self.history.build()) {
            Ok(runs) => {
                let n = runs.len();
                self.edit(&Edit::Run(RunEdit::PutRuns(runs)));
                let runs = if n == 1 { "run" } else { "runs" };
                self.said = Some(format!("Read {n} {runs} from {}", path.display()));
            }
            Err(text) => self.dialog = Some(Dialog::Trouble { text }),
        }
    }

    pub(super) fn write_runs(&mut self, path: &Path) {
        match table_file::write(path, self.history.build(), &self.settings.shop) {
            Ok(()) => self.said = Some(format!("Wrote {}", path.display())),
            Err(text) => self.dialog = Some(Dialog::Trouble { text }),
        }
    }

    fn try_write_sheet(&mut self, path: &Path) -> Result<(), String> {
        let format = sheets::Format::of(path).ok_or_else(|| {
            format!(
                "{}: the ending says no format. Write .pdf, .svg or .csv.",
                path.display()
            )
        })?;
        self.refresh_preview();
        let preview = self.preview.as_ref().ok_or("there is no sheet to write")?;
        let bytes = preview.sheet()?.export(format).map_err(|e| e.to_string())?;
        std::fs::write(path, bytes).map_err(|e| {
            format!(
                "{}: could not be written ({e}). Check the folder and who may write there.",
                path.display()
            )
        })?;
        let screen = ["DISPLAY", "WAYLAND_DISPLAY"]
            .iter()
            .any(|v| std::env::var_os(v).is_some());
        if format == sheets::Format::Pdf && screen && self.shown {
            // A viewer that can not be started is no trouble: the file is there.
            let _ = open::that_detached(path);
        }
        Ok(())
    }

    /// Makes the sheet again if the document or the settings have changed.
    pub(super) fn refresh_preview(&mut self) {
        let fresh = |p: &Preview| p.is_of(self.history.build(), &self.settings, self.sheet);
        if !self.preview.as_ref().is_some_and(fresh) {
            self.preview = Some(Preview::new(
                self.history.build(),
                &self.study,
                &self.settings,
                self.sheet,
            ));
        }
    }

    /// Dialog answers, dropped files, the close button, autosave.
    pub(super) fn outside(&mut self, ctx: &egui::Context) {
        match self.filing.dialogs.take(ctx) {
            Some(Picked::Path(want, path)) => self.tray.put(match want {
                Want::Open => Action::OpenPath(path),
                Want::Save => {
                    let full = file::with_extension(&path);
                    // The system asked about the name it saw, not about the one with the ending.
                    let asked = full == path;
                    Action::SavePath { path: full, asked }
                }
                Want::Sheet(_) => Action::WriteSheet(path),
                Want::ReadRuns => Action::ReadRuns(path),
                Want::WriteRuns => Action::WriteRuns(path),
            }),
            Some(Picked::Nothing {
                want,
                at_once: true,
            }) => self.ask_path(want),
            Some(Picked::Nothing { .. }) => self.filing.after_save = None,
            None => {}
        }
        if let Some(f) = ctx.input(|i| i.raw.dropped_files.first().cloned()) {
            self.tray.put(Action::OpenPath(f.path().to_owned()));
        }
        if ctx.input(|i| i.viewport().close_requested()) && !self.filing.close_allowed {
            if ctx.text_edit_focused() {
                // What is being typed counts: it is taken first.
                ctx.send_viewport_cmd(ViewportCommand::CancelClose);
                self.after_typing(ctx, Command::Quit);
            } else if self.history.is_unsaved() {
                ctx.send_viewport_cmd(ViewportCommand::CancelClose);
                self.dialog = Some(Dialog::Unsaved { then: None });
            }
        }
        self.autosave(ctx);
    }

    /// No file dialog on this system: the path is typed.
    fn ask_path(&mut self, want: Want) {
        let name = &self.history.build().name;
        let text = match (want, &self.filing.path) {
            (Want::Open | Want::ReadRuns, _) => String::new(),
            (Want::WriteRuns, _) => format!("{name} runs.csv"),
            (Want::Save, Some(path)) => path.display().to_string(),
            (Want::Save, None) => format!("{name}.ron"),
            (Want::Sheet(kind), _) => {
                format!(
                    "{name} {}.{}",
                    self.sheet.title().to_lowercase(),
                    SheetKind::ending(kind)
                )
            }
        };
        self.dialog = Some(Dialog::Path {
            want,
            text,
            hint: "This system showed no file dialog (it comes with xdg-desktop-portal or zenity): type the path."
                .to_owned(),
        });
    }

    fn autosave(&mut self, ctx: &egui::Context) {
        let Some(since) = self.filing.changed_at else {
            return;
        };
        if !self.history.is_unsaved() {
            // Undone back to what the file holds: nothing is left to keep.
            self.filing.drop_kept();
            return;
        }
        let waited = since.elapsed();
        if waited < AUTOSAVE_PAUSE || self.history.in_gesture() {
            ctx.request_repaint_after(
                AUTOSAVE_PAUSE
                    .saturating_sub(waited)
                    .max(Duration::from_millis(200)),
            );
            return;
        }
        self.filing.changed_at = None;
        let Some(path) = self.filing.kept_beside() else {
            return;
        };
        if self
            .filing
            .autosaved
            .as_ref()
            .is_some_and(|b| Arc::ptr_eq(b, self.history.build()))
        {
            return;
        }
        match file::write_autosave(self.history.build(), path) {
            Ok(()) => self.filing.autosaved = Some(Arc::clone(self.history.build())),
            Err(e) => self.said = Some(format!("Unsaved work could not be kept aside: {e}")),
        }
    }
}
