//! What drawing code may read, and the tray it puts its wishes in.

use build::{Build, Edit, Part, Study};
use units::{Kind, Shop};

use super::command::Command;
use super::settings::Settings;
use super::theme::Palette;

/// Everything a view reads: a snapshot for one frame.
#[derive(Clone, Copy)]
pub struct Bench<'a> {
    /// The document.
    pub build: &'a Build,
    /// What follows from it.
    pub study: &'a Study,
    /// The pinned baseline, if any.
    pub baseline: Option<(&'a Build, &'a Study)>,
    /// Colours.
    pub palette: &'a Palette,
    /// Preferences.
    pub settings: &'a Settings,
    /// Part that was jumped to or clicked last.
    pub selected: Option<&'a Part>,
    /// Counts documents.
    pub generation: u64,
}

impl Bench<'_> {
    /// Display units.
    pub fn shop(&self) -> &Shop {
        &self.settings.shop
    }

    /// A value as the shop reads it.
    pub fn show(&self, kind: Kind, si: f64) -> String {
        units::format(kind, si, self.shop())
    }

    /// A value somebody typed, as fine as it was meant.
    pub fn kept(&self, kind: Kind, si: f64) -> String {
        units::format_kept(kind, si, self.shop())
    }

    /// A station in words: "19 1/2\" ahead", "1/2\" behind".
    pub fn ahead(&self, metres: f64) -> String {
        ahead(metres, self.shop())
    }

    /// A length as the shop reads it.
    pub fn length(&self, metres: f64) -> String {
        self.show(Kind::Length, metres)
    }
}

/// A station in words, as fine as it was meant.
pub fn ahead(metres: f64, shop: &Shop) -> String {
    let word = if metres < 0.0 { "behind" } else { "ahead" };
    format!(
        "{} {word}",
        units::format_kept(Kind::Length, metres.abs(), shop)
    )
}

/// What a view wants done after drawing.
#[derive(Debug, Clone, PartialEq)]
#[expect(
    clippy::large_enum_variant,
    reason = "an action lives for one frame; boxes would only hide its parts"
)]
pub enum Action {
    /// Change the document.
    Edit(Edit),
    /// Start of a drag: edits until its end are one step.
    BeginGesture,
    /// End of a drag.
    EndGesture,
    /// The drag was given up.
    CancelGesture,
    /// Run a command.
    Run(Command),
    /// Show and mark a part.
    Select(Part),
    /// Show a phase.
    Phase(String),
    /// Put text on the clipboard and say so.
    Copy {
        /// The text.
        text: String,
        /// What it is, for the status line.
        what: String,
    },
    /// Say something in the status line.
    Say(String),
    /// Change the preferences.
    Prefer(Settings),
    /// Ask something in a dialog.
    Ask(super::dialog::Dialog),
    /// Open a file.
    OpenPath(std::path::PathBuf),
    /// Open a shipped sample.
    OpenSample(usize),
    /// Save to this path.
    SavePath {
        /// Where.
        path: std::path::PathBuf,
        /// The person knows that a file there is replaced.
        asked: bool,
    },
    /// Save, then do this if it succeeded.
    SaveThen(Box<Action>),
    /// Look at this sheet.
    Sheet(sheets::Which),
    /// Write a sheet to this path.
    WriteSheet(std::path::PathBuf),
    /// Read runs into the log from this path.
    ReadRuns(std::path::PathBuf),
    /// Write the run log to this path.
    WriteRuns(std::path::PathBuf),
    /// Show the system's file dialog.
    FileDialog(super::files::Want),
    /// Take the recovered autosave.
    Recover(Box<Build>),
    /// Throw the autosave away.
    DropAutosave,
    /// Give unsaved work up, then do this.
    GiveUp(Box<Action>),
    /// Close without saving.
    CloseNow,
}

/// The tray.
#[derive(Debug, Default)]
pub struct Tray(pub Vec<Action>);

impl Tray {
    /// Puts a wish in.
    pub fn put(&mut self, action: Action) {
        self.0.push(action);
    }

    /// Puts an edit in.
    pub fn edit(&mut self, edit: Edit) {
        self.0.push(Action::Edit(edit));
    }
}
