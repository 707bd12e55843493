//! Files: the system's dialogs on a thread of their own, autosave beside the file.
//! The only module that names rfd.

use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::time::{Duration, Instant};

use eframe::egui;

/// What a file dialog is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Want {
    /// Open a build.
    Open,
    /// Save the build.
    Save,
    /// Write a sheet.
    Sheet(SheetKind),
    /// Read runs from a table.
    ReadRuns,
    /// Write the runs as a table.
    WriteRuns,
}

/// What a sheet is written as.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SheetKind {
    /// PDF.
    Pdf,
    /// SVG.
    Svg,
    /// CSV.
    Csv,
}

impl SheetKind {
    /// File ending.
    pub fn ending(self) -> &'static str {
        match self {
            Self::Pdf => "pdf",
            Self::Svg => "svg",
            Self::Csv => "csv",
        }
    }
}

/// What came back.
#[derive(Debug, Clone, PartialEq)]
pub enum Picked {
    /// A path.
    Path(Want, PathBuf),
    /// Nothing; `at_once` when there seems to be no dialog on this system at all.
    Nothing {
        /// What was wanted.
        want: Want,
        /// It came back faster than a person can cancel.
        at_once: bool,
    },
}

/// One dialog at a time.
#[derive(Debug)]
pub struct Dialogs {
    sender: Sender<Picked>,
    receiver: Receiver<Picked>,
    open_since: Option<(Want, Instant)>,
    told: bool,
}

impl Default for Dialogs {
    fn default() -> Self {
        let (sender, receiver) = channel();
        Self {
            sender,
            receiver,
            open_since: None,
            told: false,
        }
    }
}

/// Faster than this, nobody cancelled: there is no dialog.
const AT_ONCE: Duration = Duration::from_millis(300);
/// A dialog that has not come by then may never come.
const SLOW: Duration = Duration::from_secs(10);

impl Dialogs {
    /// Shows the dialog; a second one while the first is open is not shown.
    pub fn ask(&mut self, ctx: &egui::Context, want: Want, start: Option<&Path>, name: &str) {
        if self.open_since.is_some() {
            return;
        }
        self.open_since = Some((want, Instant::now()));
        self.told = false;
        let (sender, ctx) = (self.sender.clone(), ctx.clone());
        let folder = start.and_then(Path::parent).map(Path::to_owned);
        let name = name.to_owned();
        let begun = Instant::now();
        std::thread::spawn(move || {
            let mut dialog = rfd::FileDialog::new();
            if let Some(folder) = folder {
                dialog = dialog.set_directory(folder);
            }
            let path = match want {
                Want::Open => dialog.add_filter("Build", &["ron"]).pick_file(),
                Want::ReadRuns => dialog.add_filter("Table", &["csv"]).pick_file(),
                Want::WriteRuns => dialog
                    .add_filter("Table", &["csv"])
                    .set_file_name(format!("{name}.csv"))
                    .save_file(),
                Want::Save => dialog
                    .add_filter("Build", &["ron"])
                    .set_file_name(format!("{name}.ron"))
                    .save_file(),
                Want::Sheet(kind) => dialog
                    .add_filter(kind.ending(), &[kind.ending()])
                    .set_file_name(format!("{name}.{}", kind.ending()))
                    .save_file(),
            };
            let picked = match path {
                Some(path) => Picked::Path(want, path),
                None => Picked::Nothing {
                    want,
                    at_once: begun.elapsed() < AT_ONCE,
                },
            };
            // The window may be gone: then nobody waits for it.
            let _ = sender.send(picked);
            ctx.request_repaint();
        });
    }

    /// What came back since the last look.
    pub fn take(&mut self, ctx: &egui::Context) -> Option<Picked> {
        if let Ok(picked) = self.receiver.try_recv() {
            self.open_since = None;
            return Some(picked);
        }
        if let Some((want, since)) = self.open_since {
            if since.elapsed() > SLOW && !self.told {
                self.told = true;
                return Some(Picked::Nothing {
                    want,
                    at_once: true,
                });
            }
            if !self.told {
                ctx.request_repaint_after(
                    SLOW.saturating_sub(since.elapsed()) + Duration::from_millis(50),
                );
            }
        }
        None
    }
}

/// Unsaved work goes beside the file this long after the last change.
pub const AUTOSAVE_PAUSE: Duration = Duration::from_secs(3);
