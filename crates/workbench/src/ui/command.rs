//! Every command once: label, tooltip, shortcut. Menus, palette, keys and the key list share it.

use eframe::egui::{Key, KeyboardShortcut, Modifiers};

/// A thing the person can tell the window to do.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Command {
    /// Undo.
    Undo,
    /// Redo.
    Redo,
    /// New empty build.
    New,
    /// Open a file.
    Open,
    /// Save.
    Save,
    /// Save under a name.
    SaveAs,
    /// The sheets.
    Print,
    /// Find a command.
    Find,
    /// Fit the drawing.
    Fit,
    /// Closer to the drawing.
    Closer,
    /// Further from the drawing.
    Further,
    /// Keep this state as the baseline ghost.
    PinBaseline,
    /// Drop the baseline.
    ClearBaseline,
    /// Inches or millimetres.
    SwitchUnits,
    /// Next tape fraction.
    NextFraction,
    /// Dark or light.
    SwitchTheme,
    /// Snap brackets to the step, or not.
    SwitchSnap,
    /// Next phase.
    NextPhase,
    /// Previous phase.
    PreviousPhase,
    /// Next remark.
    NextFinding,
    /// All remarks.
    Findings,
    /// Copy the readings as a table.
    CopyReadings,
    /// Copy the bracket holes as a table.
    CopyHoles,
    /// Copy the fit-up log as a table.
    CopyFitUp,
    /// Change the build's name and revision.
    Rename,
    /// Add a bracket.
    AddBracket,
    /// Add a link.
    AddLink,
    /// Add a joint to the fit-up log.
    AddJoint,
    /// Add a check to this phase.
    AddCheck,
    /// Add a phase.
    AddPhase,
    /// Change this phase.
    EditPhase,
    /// Car dimensions.
    CarForm,
    /// List of keys.
    Keys,
    /// About.
    About,
    /// Close the window.
    Quit,
}

const CTRL: Modifiers = Modifiers::COMMAND;
const CTRL_SHIFT: Modifiers = Modifiers {
    shift: true,
    ..Modifiers::COMMAND
};
const ALT: Modifiers = Modifiers::ALT;

const fn key(modifiers: Modifiers, key: Key) -> Option<KeyboardShortcut> {
    Some(KeyboardShortcut::new(modifiers, key))
}

/// A command's words and key.
#[derive(Debug, Clone, Copy)]
pub struct Entry {
    /// The command.
    pub command: Command,
    /// What buttons and the palette call it.
    pub label: &'static str,
    /// One sentence more.
    pub tip: &'static str,
    /// Its key.
    pub shortcut: Option<KeyboardShortcut>,
}

const fn entry(
    command: Command,
    label: &'static str,
    tip: &'static str,
    shortcut: Option<KeyboardShortcut>,
) -> Entry {
    Entry {
        command,
        label,
        tip,
        shortcut,
    }
}

/// All commands; longer shortcuts before the shorter ones they contain.
pub const COMMANDS: &[Entry] = &[
    entry(
        Command::Redo,
        "Redo",
        "Bring back the last step undone",
        key(CTRL_SHIFT, Key::Z),
    ),
    entry(
        Command::Undo,
        "Undo",
        "Take the last step back",
        key(CTRL, Key::Z),
    ),
    entry(
        Command::SaveAs,
        "Save as…",
        "Save under another name",
        key(CTRL_SHIFT, Key::S),
    ),
    entry(
        Command::Save,
        "Save",
        "Save the build; the file before it stays as .bak",
        key(CTRL, Key::S),
    ),
    entry(
        Command::New,
        "New build",
        "Start an empty build with the whole phase template",
        key(CTRL, Key::N),
    ),
    entry(
        Command::Open,
        "Open…",
        "Open a build file",
        key(CTRL, Key::O),
    ),
    entry(
        Command::Print,
        "Print",
        "Look at the sheets and write them as PDF, SVG or CSV",
        key(CTRL, Key::P),
    ),
    entry(
        Command::Find,
        "Find a command",
        "Type a few letters of what you want to do",
        key(CTRL, Key::K),
    ),
    entry(
        Command::Fit,
        "Fit",
        "Show the whole drawing",
        key(CTRL, Key::Num9),
    ),
    entry(
        Command::Closer,
        "Closer",
        "Zoom the drawing in at its middle",
        key(ALT, Key::PageUp),
    ),
    entry(
        Command::Further,
        "Further away",
        "Zoom the drawing out at its middle",
        key(ALT, Key::PageDown),
    ),
    entry(
        Command::ClearBaseline,
        "Drop baseline",
        "Take the ghost away",
        key(CTRL_SHIFT, Key::B),
    ),
    entry(
        Command::PinBaseline,
        "Pin baseline",
        "Keep this state as a ghost to compare with",
        key(CTRL, Key::B),
    ),
    entry(
        Command::NextFraction,
        "Next tape fraction",
        "1/16, 1/32, 1/64, decimals",
        key(CTRL_SHIFT, Key::U),
    ),
    entry(
        Command::SwitchUnits,
        "Inches or millimetres",
        "Switch the display units; nothing stored changes",
        key(CTRL, Key::U),
    ),
    entry(
        Command::SwitchTheme,
        "Dark or light",
        "Switch the theme",
        key(CTRL, Key::T),
    ),
    entry(
        Command::SwitchSnap,
        "Snap brackets to the step",
        "Brackets move by one display step, or freely",
        key(CTRL, Key::G),
    ),
    entry(
        Command::NextPhase,
        "Next phase",
        "One knot down the string",
        key(ALT, Key::ArrowDown),
    ),
    entry(
        Command::PreviousPhase,
        "Previous phase",
        "One knot up the string",
        key(ALT, Key::ArrowUp),
    ),
    entry(
        Command::Findings,
        "All remarks",
        "List every remark about the build",
        key(CTRL_SHIFT, Key::E),
    ),
    entry(
        Command::NextFinding,
        "Next remark",
        "Jump to the next remark's part",
        key(CTRL, Key::E),
    ),
    entry(
        Command::CopyReadings,
        "Copy readings",
        "Copy all readings as a table for a spreadsheet",
        key(ALT, Key::C),
    ),
    entry(
        Command::CopyHoles,
        "Copy bracket holes",
        "Copy every bracket hole as a table for a spreadsheet",
        None,
    ),
    entry(
        Command::CopyFitUp,
        "Copy fit-up log",
        "Copy the fit-up log as a table for a spreadsheet",
        None,
    ),
    entry(
        Command::Rename,
        "Name and revision…",
        "Change the build's name, revision and note",
        None,
    ),
    entry(
        Command::AddBracket,
        "Add bracket…",
        "A new bracket with a row of holes",
        None,
    ),
    entry(
        Command::AddLink,
        "Add link…",
        "A new link between two brackets",
        None,
    ),
    entry(
        Command::AddJoint,
        "Add joint",
        "A new joint in the fit-up log",
        key(CTRL, Key::J),
    ),
    entry(
        Command::AddCheck,
        "Add check…",
        "A check of your own in this phase",
        None,
    ),
    entry(
        Command::AddPhase,
        "Add phase…",
        "A phase of your own at the end of the string",
        None,
    ),
    entry(
        Command::EditPhase,
        "Change this phase…",
        "Title, caution, what it waits for, place on the string",
        None,
    ),
    entry(
        Command::CarForm,
        "Car dimensions…",
        "Weights, wheelbase, tyres, frame rail",
        key(CTRL, Key::D),
    ),
    entry(
        Command::Keys,
        "Keys",
        "The list of keys",
        key(Modifiers::NONE, Key::F1),
    ),
    entry(
        Command::About,
        "About Stringline",
        "Version, licences, cautions",
        None,
    ),
    entry(
        Command::Quit,
        "Close",
        "Close the window",
        key(CTRL, Key::Q),
    ),
];

impl Command {
    /// Its entry in the table.
    pub fn entry(self) -> &'static Entry {
        // A test holds that every command is in the table; the first entry stands in if not.
        COMMANDS
            .iter()
            .find(|e| e.command == self)
            .unwrap_or(&COMMANDS[0])
    }

    /// Commands that leave a text field its own key.
    pub fn yields_to_typing(self) -> bool {
        matches!(
            self,
            Self::Undo | Self::Redo | Self::CopyReadings | Self::NextPhase | Self::PreviousPhase
        )
    }
}

#[cfg(test)]
mod tests {
    use std::collections::HashSet;

    use super::*;

    #[test]
    fn a_longer_shortcut_is_asked_before_the_one_it_contains() {
        for (i, a) in COMMANDS.iter().enumerate() {
            for b in &COMMANDS[i + 1..] {
                if let (Some(a), Some(b)) = (a.shortcut, b.shortcut) {
                    let swallows =
                        a.logical_key == b.logical_key && b.modifiers.contains(a.modifiers);
                    assert!(!swallows, "{a:?} would swallow {b:?}");
                }
            }
        }
    }

    #[test]
    fn no_two_commands_share_a_key_or_label() {
        let mut keys = HashSet::new();
        let mut labels = HashSet::new();
        for e in COMMANDS {
            assert!(labels.insert(e.label), "{}", e.label);
            assert_eq!(e.command.entry().label, e.label);
            if let Some(s) = e.shortcut {
                assert!(keys.insert(format!("{s:?}")), "{s:?}");
            }
        }
    }
}
