//! Errors about a file: what, where, and what to do.

use std::fmt;
use std::path::{Path, PathBuf};

use ron::error::Error as Ron;

use super::excerpt::excerpt;
use super::validate::Invalid;
use super::{Fault, MAX_FILE_SIZE, place};
use crate::FORMAT_VERSION;

/// Something is wrong with a file.
#[derive(Debug)]
pub struct FileError {
    /// The file.
    pub file: PathBuf,
    /// The line of the file the problem points at, if it points at one.
    pub line_text: Option<String>,
    /// What is wrong.
    pub problem: Box<Problem>,
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
    /// A step of the save failed; the file is whole, the last good one or the new one.
    Save {
        /// Which step.
        step: &'static str,
        /// The new file was in place already.
        in_place: bool,
        /// Why.
        source: std::io::Error,
    },
    /// The lock beside the file can not be made.
    Lock(std::io::Error),
    /// Another copy of the program has the file open.
    InUse,
}

impl FileError {
    pub(super) fn new(file: &Path, text: &str, problem: Problem) -> Self {
        let mut error = Self {
            file: file.to_owned(),
            line_text: None,
            problem: Box::new(problem),
        };
        if let Some((line, _)) = error.place() {
            error.line_text = text.lines().nth(line.saturating_sub(1)).map(str::to_owned);
        }
        error
    }

    /// Line and column, from 1, where the problem sits.
    pub fn place(&self) -> Option<(usize, usize)> {
        match &*self.problem {
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
        match &*self.problem {
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
                write!(f, ": {what}.{}", stop(hint))?;
            }
            Problem::Value { invalid, .. } => {
                write!(
                    f,
                    " ({}): {}.{}",
                    invalid.path,
                    clean(&invalid.what),
                    stop(&invalid.hint)
                )?;
            }
            Problem::Write(why) => write!(f, ": can not be written as text ({why}).")?,
            Problem::Save {
                step,
                in_place: true,
                source,
            } => write!(
                f,
                ": is in place, but the program could not {step} ({source}). A power cut now may \
                 lose it: save again."
            )?,
            Problem::Save { step, source, .. } => write!(
                f,
                ": was not saved: could not {step} ({source}). The last good file is untouched; \
                 check the disk, or save under another name."
            )?,
            Problem::Lock(e) => write!(
                f,
                ": can not be locked ({e}): its folder takes no new files. It opens for reading; \
                 save under another name."
            )?,
            Problem::InUse => write!(
                f,
                ": is open in another window. It opens for reading; save under another name."
            )?,
        }
        if let (Some(text), Some((_, col))) = (&self.line_text, self.place()) {
            write!(f, "\n{}", excerpt(text, col))?;
        }
        Ok(())
    }
}

impl std::error::Error for FileError {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        match &*self.problem {
            Problem::Read(e) | Problem::Lock(e) | Problem::Save { source: e, .. } => Some(e),
            _ => None,
        }
    }
}

/// Without the control characters a file may hold: a terminal would obey them.
fn clean(text: &str) -> String {
    let shown = |c: char| match c.is_control() {
        true => char::REPLACEMENT_CHARACTER,
        false => c,
    };
    text.chars().map(shown).collect()
}

/// A hint behind a sentence, with its own full stop or question mark.
fn stop(hint: &str) -> String {
    match hint.chars().last() {
        None => String::new(),
        Some('?' | '.') => format!(" {hint}"),
        Some(_) => format!(" {hint}."),
    }
}

/// What is wrong with the version, if that is what is wrong.
pub(super) fn head_problem(text: &str, e: &Fault) -> Option<Problem> {
    let write = format!("Write `version: {FORMAT_VERSION}`");
    let (what, hint, (line, col)) = match &e.at.code {
        Ron::MissingStructField {
            field: "version", ..
        } => (
            "the file does not say its format version",
            format!("Begin it with `(version: {FORMAT_VERSION},`"),
            (1, 1),
        ),
        _ if e.path == "version" => (
            "the format version is not a whole number from 1 up",
            write,
            position(text, e),
        ),
        _ => return None,
    };
    Some(Problem::Syntax {
        line,
        col,
        path: "version".to_owned(),
        what: what.to_owned(),
        hint,
    })
}

pub(super) fn problem(text: &str, e: &Fault) -> Problem {
    let (line, col) = position(text, e);
    let (what, hint) = words(&e.at.code, &Around::new(text, line, col), e.path.len() < 2);
    Problem::Syntax {
        line,
        col,
        // Steps that reading could not name help nobody.
        path: e.path.replace(".?", "").trim_matches('?').to_owned(),
        what,
        hint,
    }
}

/// Where the message points: the value itself where reading noticed it late.
fn position(text: &str, e: &Fault) -> (usize, usize) {
    let start = (e.at.span.start.line, e.at.span.start.col);
    match &e.at.code {
        Ron::TrailingCharacters | Ron::ExpectedMapColon => (e.at.span.end.line, e.at.span.end.col),
        Ron::UnclosedBlockComment => place::unclosed_comment(text).unwrap_or(start),
        Ron::Message(_)
        | Ron::InvalidValueForType { .. }
        | Ron::ExpectedDifferentLength { .. }
        | Ron::ExpectedInteger
        | Ron::IntegerOutOfBounds
        | Ron::InvalidIntegerDigit { .. }
        | Ron::ExpectedFloat
        | Ron::ExpectedBoolean
        | Ron::ExpectedString
        | Ron::ExpectedArray
        | Ron::ExpectedIdentifier => match place::locate(text, &e.path) {
            Some(value) if value.0 == start.0 => value,
            _ => start,
        },
        _ => start,
    }
}

/// The characters on both sides of a place.
struct Around {
    before: Option<char>,
    after: Option<char>,
}

impl Around {
    fn new(text: &str, line: usize, col: usize) -> Self {
        let line = text.lines().nth(line.saturating_sub(1)).unwrap_or("");
        Self {
            before: line
                .chars()
                .take(col.saturating_sub(1))
                .filter(|c| !c.is_whitespace())
                .last(),
            after: line.chars().nth(col.saturating_sub(1)),
        }
    }
}

fn words(code: &Ron, around: &Around, at_root: bool) -> (String, String) {
    let one = |w: &str, h: &str| (w.to_owned(), h.to_owned());
    let digit_before = around.before.is_some_and(|c| c.is_ascii_digit());
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
            format!("Add `{field}: …,` before the closing bracket"),
        ),
        Ron::DuplicateStructField { field, .. } => (
            format!("the field `{field}` stands here twice"),
            "Keep one of them".to_owned(),
        ),
        Ron::Message(m) if m.contains('\n') => one(
            "this text runs over the end of its line",
            "Put a quote at its end",
        ),
        Ron::Message(m) => (clean(m.trim_end_matches('.')), String::new()),
        Ron::InvalidValueForType { expected, found } => {
            let found = match found.as_str() {
                "a sequence" => "a list",
                other => other.strip_prefix("the boolean ").unwrap_or(other),
            };
            (
                format!("{found} stands where something else is needed"),
                format!("Write {expected}"),
            )
        }
        Ron::ExpectedDifferentLength { expected, found } => {
            let count = if *found == 1 {
                "value is"
            } else {
                "values are"
            };
            let expected = expected.trim_start_matches("a tuple of size ");
            (
                format!("{found} {count} in these brackets where {expected} are needed"),
                "Write the missing ones".to_owned(),
            )
        }
        Ron::ExceededRecursionLimit => one(
            "brackets are nested too deep for a build file",
            "Is this the right file?",
        ),
        Ron::ExpectedString => one(
            "a text in quotes is needed here",
            "Write a quantity with its unit in quotes, such as \"12 5/8 in\"",
        ),
        Ron::ExpectedStringEnd => one(
            "this text is not closed",
            "Put a quote at its end; if the file is cut off, its backup (same name with .bak) may hold the last good save",
        ),
        Ron::InvalidEscape(_) => one(
            "a backslash in this text is followed by something it can not stand before",
            "Write two backslashes for one",
        ),
        Ron::ExpectedComma if digit_before && around.after == Some('.') => one(
            "a whole number is needed here",
            "Leave out the point and what follows it",
        ),
        Ron::ExpectedComma if digit_before && around.after.is_some_and(char::is_alphabetic) => one(
            "a unit stands outside quotes",
            "Write the number and its unit together in quotes, such as \"12 5/8 in\"",
        ),
        Ron::ExpectedComma => one(
            "a comma is missing before this",
            "Put a comma after the value above; if there is one, look for a missing quote or bracket",
        ),
        Ron::ExpectedMapColon => one(
            "a colon is missing before this",
            "Write a field as `name: value,`",
        ),
        Ron::ExpectedStructLikeEnd | Ron::ExpectedArrayEnd | Ron::ExpectedMapEnd => one(
            "a closing bracket is needed here",
            "Count the brackets above, and the values in these",
        ),
        Ron::ExpectedNamedStructLike(_)
        | Ron::ExpectedStructLike
        | Ron::ExpectedDifferentStructName { .. }
            if at_root =>
        {
            (
                "this does not begin like a build".to_owned(),
                format!(
                    "A build file begins with `(version: {FORMAT_VERSION},`. Is this the right file?"
                ),
            )
        }
        Ron::ExpectedNamedStructLike(_)
        | Ron::ExpectedStructLike
        | Ron::ExpectedDifferentStructName { .. } => {
            one("fields in ( ) are needed here", "Write `(name: value, …)`")
        }
        Ron::ExpectedArray => one(
            "a list in [ ] is needed here",
            "Put the entries in square brackets, with commas between",
        ),
        Ron::ExpectedInteger => one(
            "a whole number is needed here",
            "Write it in digits, without quotes",
        ),
        Ron::IntegerOutOfBounds if around.after != Some('-') => {
            one("this whole number is out of range", "Write a smaller one")
        }
        Ron::InvalidIntegerDigit { .. } | Ron::IntegerOutOfBounds => one(
            "a whole number of 0 or more is needed here",
            "Write it in digits, without a sign",
        ),
        Ron::ExpectedFloat => one(
            "a number is needed here",
            "Write it in digits, without quotes",
        ),
        Ron::ExpectedBoolean => one("a yes or no is needed here", "Write true or false"),
        Ron::ExpectedIdentifier if around.after == Some('"') => {
            one("a choice stands in quotes", "Write it without them")
        }
        Ron::ExpectedIdentifier => one(
            "a name is needed here",
            "Write a field as `name: value,`, a choice by its name alone",
        ),
        Ron::Eof => one(
            "the file ends too early",
            "It may be cut off: its backup (same name with .bak) may hold the last good save",
        ),
        Ron::TrailingCharacters => one(
            "something follows after the build's closing bracket",
            "Delete it, or check the brackets above",
        ),
        Ron::UnclosedBlockComment => one("a comment is not closed", "Close it with */"),
        Ron::NoSuchExtension(name) => (
            format!("the file asks for an extension `{name}` that is not known"),
            "Delete this line".to_owned(),
        ),
        other => (
            format!("this does not read as part of a build ({other})"),
            "Compare it with a file that opens".to_owned(),
        ),
    }
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
        Some((d, k)) if d <= 1 + found.chars().count() / 3 => format!("Did you mean `{k}`?"),
        _ => format!("Known here: {}", known.join(", ")),
    }
}
