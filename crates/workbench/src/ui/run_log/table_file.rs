//! The table of runs as a file.

use std::io::Read as _;
use std::path::Path;

use build::run_table::{self, MAX_RUN_TABLE};
use build::{Build, RunRecord};
use units::Shop;

/// Reads runs from a file against a build.
///
/// # Errors
/// In words: the file, and the line and column in it.
pub fn read(path: &Path, build: &Build) -> Result<Vec<RunRecord>, String> {
    let say = |why: &str| format!("{}: {why}", path.display());
    if path.is_dir() {
        return Err(say("is a folder. Name the table inside it."));
    }
    let cannot = |e: std::io::Error| say(&format!("can not be read ({e})."));
    let file = std::fs::File::open(path).map_err(cannot)?;
    let mut bytes = Vec::new();
    // A device has no length to ask for: never read past the limit, and the table says the rest.
    file.take(MAX_RUN_TABLE as u64 + 1)
        .read_to_end(&mut bytes)
        .map_err(cannot)?;
    let text = String::from_utf8(bytes)
        .map_err(|_| say("is not text. Save the sheet as CSV in UTF-8."))?;
    let name = path.file_name().unwrap_or(path.as_os_str());
    run_table::read(&text, build).map_err(|e| e.in_file(&name.to_string_lossy()))
}

/// Writes every run of a build to a file.
///
/// # Errors
/// In words.
pub fn write(path: &Path, build: &Build, shop: &Shop) -> Result<(), String> {
    std::fs::write(path, run_table::to_csv(build, shop)).map_err(|e| {
        format!(
            "{}: could not be written ({e}). Check the folder and who may write there.",
            path.display()
        )
    })
}
