//! The build file: RON with units in the values. The only module that names RON.

mod excerpt;
mod message;
mod place;
mod save;
mod spoken;
mod validate;
mod validate_rolling;
mod validate_run;
mod validate_tubes;
mod validate_weld;

use std::io::Read as _;
use std::path::{Path, PathBuf};

use ron::extensions::Extensions;
use serde::Deserialize;

use crate::{Build, FORMAT_VERSION, Phase};

pub use message::{FileError, Problem};
pub use save::{
    Lock, SaveStep, autosave_path, backup_path, discard_autosave, lock, newer_autosave, save,
    save_observed, write_autosave,
};
pub(crate) use spoken::spoken;
pub use validate::Invalid;
pub(crate) use validate::{bound, check as check_values};

/// Largest file read, bytes: a hundred times the size of a full build.
pub const MAX_FILE_SIZE: usize = 4 << 20;
/// Deepest nesting read; a build needs 8.
const MAX_DEPTH: usize = 32;

fn options() -> ron::Options {
    ron::Options::default()
        .with_default_extension(Extensions::IMPLICIT_SOME)
        .with_recursion_limit(MAX_DEPTH)
}

/// What is read before anything else.
#[derive(Deserialize)]
struct Head {
    version: u32,
}

/// Reads a build from text. `name` is what messages call the file.
///
/// # Errors
/// A [`FileError`] that says what, where and what to do; nothing is half-read.
pub fn parse(text: &str, name: &Path) -> Result<Build, FileError> {
    // Some editors begin a text with a byte order mark.
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let fail = |problem| FileError::new(name, text, problem);
    if text.len() > MAX_FILE_SIZE {
        return Err(fail(Problem::TooLarge {
            bytes: text.len() as u64,
        }));
    }
    if text.trim().is_empty() {
        return Err(fail(Problem::Empty));
    }
    match fault::<Head>(text) {
        Ok(head) if head.version > FORMAT_VERSION => {
            return Err(fail(Problem::Newer {
                version: head.version,
            }));
        }
        Ok(Head { version: 0 }) => return Err(fail(Problem::UnknownVersion)),
        Ok(_) => {}
        Err(e) => {
            // The whole build, read again, knows the path of what is wrong.
            let about_version = message::head_problem(text, &e);
            let problem = match about_version {
                Some(problem) => problem,
                None => match read::<Build>(text) {
                    Err(problem) => problem,
                    Ok(_) => message::problem(text, &e),
                },
            };
            return Err(fail(problem));
        }
    }
    let mut build: Build = read(text).map_err(fail)?;
    build.version = FORMAT_VERSION;
    validate::check(&build).map_err(|invalid| {
        let at = place::locate(text, &invalid.path);
        fail(Problem::Value { invalid, at })
    })?;
    Ok(build)
}

/// Reads the phases of a template.
///
/// # Errors
/// As [`parse`], without a file name.
pub fn parse_phases(text: &str) -> Result<Vec<Phase>, FileError> {
    read(text).map_err(|p| FileError::new(Path::new("phases"), text, p))
}

/// Where and why reading stopped.
struct Fault {
    path: String,
    at: Box<ron::error::SpannedError>,
}

fn read<T: serde::de::DeserializeOwned>(text: &str) -> Result<T, Problem> {
    fault(text).map_err(|e| message::problem(text, &e))
}

fn fault<T: serde::de::DeserializeOwned>(text: &str) -> Result<T, Fault> {
    let options = options();
    let nowhere = |at| Fault {
        path: String::new(),
        at: Box::new(at),
    };
    let mut de = ron::de::Deserializer::from_str_with_options(text, &options).map_err(nowhere)?;
    let value = serde_path_to_error::deserialize::<_, T>(&mut de).map_err(|e| Fault {
        path: e.path().to_string(),
        at: Box::new(de.span_error(e.into_inner())),
    })?;
    de.end().map_err(|e| nowhere(de.span_error(e)))?;
    Ok(value)
}

/// Reads a build from a file.
///
/// # Errors
/// The file can not be read, is not a build, or is newer than this program.
pub fn load(path: &Path) -> Result<Build, FileError> {
    let io = |e: std::io::Error| FileError::new(path, "", Problem::Read(e));
    let meta = std::fs::metadata(path).map_err(io)?;
    if meta.is_dir() {
        return Err(FileError::new(path, "", Problem::Folder));
    }
    if meta.len() > MAX_FILE_SIZE as u64 {
        return Err(FileError::new(
            path,
            "",
            Problem::TooLarge { bytes: meta.len() },
        ));
    }
    let mut bytes = Vec::new();
    // A device has no length to ask for: never read past the limit.
    let reader = std::fs::File::open(path).map_err(io)?;
    reader
        .take(MAX_FILE_SIZE as u64 + 1)
        .read_to_end(&mut bytes)
        .map_err(io)?;
    if bytes.len() > MAX_FILE_SIZE {
        let bytes = bytes.len() as u64;
        return Err(FileError::new(path, "", Problem::TooLarge { bytes }));
    }
    let text = String::from_utf8(bytes).map_err(|e| {
        FileError::new(
            path,
            "",
            Problem::NotText {
                at: e.utf8_error().valid_up_to(),
            },
        )
    })?;
    parse(&text, path)
}

/// Writes a build as text: what [`parse`] reads back to the same value.
///
/// # Errors
/// The build holds something that can not be written; no build made by edits does.
pub fn to_text(build: &Build) -> Result<String, FileError> {
    let pretty = ron::ser::PrettyConfig::new()
        .struct_names(false)
        .compact_arrays(false)
        .new_line("\n")
        .indentor("  ")
        .depth_limit(7)
        .extensions(Extensions::IMPLICIT_SOME);
    let body = options()
        .to_string_pretty(build, pretty)
        .map_err(|e| FileError::new(Path::new(&build.name), "", Problem::Write(e.to_string())))?;
    Ok(body + "\n")
}

/// Adds the extension people expect when none was typed.
pub fn with_extension(path: &Path) -> PathBuf {
    if path.extension().is_some() {
        path.to_owned()
    } else {
        path.with_extension("ron")
    }
}
