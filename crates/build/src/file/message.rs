//! Errors about a file: what, where, and what to do.

use std::fmt;
use std::path::{Path, PathBuf};

use ron::error::{Error as Ron, SpannedError};

use super::MAX_FILE_SIZE;
use super::validate::Invalid;
use crate::FORMAT_VERSION;

/// Something is wrong with a file.
#[derive(Debug)]
pub struct FileError {
    /// The file.
    pub file: PathBuf,
    /// The line of the file the problem points at, if it points at one.
    pub line_text: Option<String>,
    /// What is wrong.
    pub problem: Problem,
}

/// What is wrong with a file.
#[derive(Debug)]
pub enum Problem {
    /// The system would not read it.
    Read(std::io::Error),
    /// It is a folder.
    Folder,
    /// It is not UTF-8 text from this byte on.
    NotText {
        /// First byte that is not text.
        at: usize,
    },
    /// Larger than [`MAX_FILE_SIZE`].
    TooLarge {
        /// Its size.
        bytes: u64,
    },
    /// Nothing in it.
    Empty,
    /// Written by a newer program.
    Newer {
        /// Version of the file.
        version: u32,
    },
    /// Version 0 never existed.
    UnknownVersion,
    /// The text does not read as a build.
    Syntax {
        /// Line, from 1.
        line: usize,
        /// Column, from 1.
        col: usize,
        /// Path of the field, as far as known.
        path: String,
        /// What is wrong.
        what: String,
        /// What to do.
        hint: String,
    },
    /// A value reads but can not be right.
    Value {
        /// Which and why.
        invalid: Invalid,
        /// Line and column, if found.
        at: Option<(usize, usize)>,
    },
    /// The build could not be written as text.
    Write(String),
    /// A step of the save failed; the last good file is as it was.
    Save {
        /// Which step.
        step: &'static str,
        /// Why.
        source: std::io::Error,
    },
    /// Another copy of the program has the file open.
    InUse,
}

impl FileError {
    pub(super) fn new(file: &Path, text: &str, problem: Problem) -> Self {
        let mut error = Self {
            file: file.to_owned(),
            line_text: None,
            problem,
        };
        if let Some((line, _)) = error.place() {
            error.line_text = text
                .lines()
                .nth(line.saturating_sub(1))
                .map(|l| l.chars().take(160).collect());
        }
        error
    }

    /// Line and column, from 1, where the problem sits.
    pub fn place(&self) -> Option<(usize, usize)> {
        match &self.problem {
            Problem::Syntax { line, col, .. } => Some((*line, *col)),
            Problem::Value { at, .. } => *at,
            _ => None,
        }
    }
}

impl fmt::Display for FileError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.file.display())?;
        if let Some((line, col)) = self.place() {
            write!(f, ", line {line}, column {col}")?;
        }
        match &self.problem {
            Problem::Read(e) if e.kind() == std::io::ErrorKind::NotFound => write!(
                f,
                ": there is no such file. Check the spelling, or make one with `stringline new`."
            )?,
            Problem::Read(e) => write!(f, ": can not be read ({e}). Check who may read it.")?,
            Problem::Folder => write!(f, ": is a folder. Name the build file inside it.")?,
            Problem::NotText { at } => write!(
                f,
                ": is not text from byte {at} on. A build file is plain text (UTF-8); is this the right file?"
            )?,
            Problem::TooLarge { bytes } => write!(
                f,
                ": is {bytes} bytes long; a build file has at most {MAX_FILE_SIZE}. Is this the right file?"
            )?,
            Problem::Empty => write!(
                f,
                ": is empty. Its backup (same name with .bak) may hold the last good save."
            )?,
            Problem::Newer { version } => write!(
                f,
                ": has format version {version}; this program reads up to {FORMAT_VERSION}. \
                 Open it with a newer Stringline; nothing was changed."
            )?,
            Problem::UnknownVersion => write!(
                f,
                ": says version 0, which never existed. Write `version: {FORMAT_VERSION}` if you made it by hand."
            )?,
            Problem::Syntax {
                path, what, hint, ..
            } => {
                if !path.is_empty() && path != "." {
                    write!(f, " ({path})")?;
                }
                write!(f, ": {what}.")?;
                if !hint.is_empty() {
                    write!(f, " {hint}.")?;
                }
            }
            Problem::Value { invalid, .. } => {
                write!(
                    f,
                    " ({}): {}. {}.",
                    invalid.path, invalid.what, invalid.hint
                )?;
            }
            Problem::Write(why) => write!(f, ": can not be written as text ({why}).")?,
            Problem::Save { step, source } => write!(
                f,
                ": was not saved: could not {step} ({source}). The last good file is untouched; \
                 check the disk, or save under another name."
            )?,
            Problem::InUse => write!(
                f,
                ": is open in another window. It opens for reading; save under another name."
            )?,
        }
        if let (Some(text), Some((_, col))) = (&self.line_text, self.place()) {
            write!(f, "\n  | {text}\n  | {:>col$}", "^")?;
        }
        Ok(())
    }
}

impl std::error::Error for FileError {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        match &self.problem {
            Problem::Read(e) | Problem::Save { source: e, .. } => Some(e),
            _ => None,
        }
    }
}

pub(super) fn head_problem(e: &SpannedError) -> Problem {
    match &e.code {
        Ron::MissingStructField {
            field: "version", ..
        } => Problem::Syntax {
            line: 1,
            col: 1,
            path: "version".to_owned(),
            what: "the file does not say its format version".to_owned(),
            hint: format!("Begin it with `(version: {FORMAT_VERSION},`"),
        },
        code => problem(code, e.span.start.line, e.span.start.col, String::new()),
    }
}

pub(super) fn problem(code: &Ron, line: usize, col: usize, path: String) -> Problem {
    let (what, hint) = words(code);
    Problem::Syntax {
        line,
        col,
        path,
        what,
        hint,
    }
}

fn words(code: &Ron) -> (String, String) {
    let one = |w: &str, h: &str| (w.to_owned(), h.to_owned());
    match code {
        Ron::NoSuchStructField {
            expected, found, ..
        } => (
            format!("there is no field `{found}` here"),
            nearest(found, expected),
        ),
        Ron::NoSuchEnumVariant {
            expected, found, ..
        } => (
            format!("`{found}` is not a choice here"),
            nearest(found, expected),
        ),
        Ron::MissingStructField { field, .. } => (
            format!("the field `{field}` is missing"),
            format!("Add a line `{field}: …,` before the closing bracket"),
        ),
        Ron::DuplicateStructField { field, .. } => (
            format!("the field `{field}` stands here twice"),
            "Keep one of them".to_owned(),
        ),
        Ron::Message(m) => sentence(m),
        Ron::InvalidValueForType { expected, found } => (
            format!("{found} stands where {expected} is needed"),
            String::new(),
        ),
        Ron::ExpectedDifferentLength { expected, found } => (
            format!("{found} values stand where {expected} is needed"),
            String::new(),
        ),
        Ron::ExceededRecursionLimit => one(
            "brackets are nested too deep for a build file",
            "Is this the right file",
        ),
        Ron::ExpectedString | Ron::ExpectedStringEnd => one(
            "a text in quotes is needed here",
            "Write a quantity with its unit in quotes, such as \"12 5/8 in\"; check for a missing closing quote",
        ),
        Ron::ExpectedComma => one(
            "a comma is missing before this",
            "Put a comma after the value above",
        ),
        Ron::ExpectedStructLikeEnd | Ron::ExpectedArrayEnd | Ron::ExpectedMapEnd => one(
            "a closing bracket is missing before this",
            "Count the brackets above",
        ),
        Ron::ExpectedArray => one("a list in [ ] is needed here", ""),
        Ron::ExpectedInteger | Ron::InvalidIntegerDigit { .. } | Ron::IntegerOutOfBounds => {
            one("a whole number in range is needed here", "")
        }
        Ron::ExpectedFloat => one("a number is needed here", ""),
        Ron::ExpectedBoolean => one("true or false is needed here", ""),
        Ron::Eof => one(
            "the file ends too early",
            "It may be cut off: its backup (same name with .bak) may hold the last good save",
        ),
        Ron::TrailingCharacters => one(
            "something follows after the build's closing bracket",
            "Delete it, or check the brackets above",
        ),
        Ron::UnclosedBlockComment => one("a comment is not closed", "Close it with */"),
        other => (other.to_string(), String::new()),
    }
}

fn sentence(m: &str) -> (String, String) {
    (m.trim_end_matches('.').to_owned(), String::new())
}

/// "Did you mean …", by edit distance, else the whole list.
fn nearest(found: &str, known: &[&str]) -> String {
    let best = known
        .iter()
        .map(|k| {
            (
                strsim::damerau_levenshtein(&found.to_lowercase(), &k.to_lowercase()),
                k,
            )
        })
        .min();
    match best {
        Some((d, k)) if d <= 1 + found.chars().count() / 3 => format!("Did you mean `{k}`"),
        _ => format!("Known here: {}", known.join(", ")),
    }
}
