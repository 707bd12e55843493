//! Flat parts written one by one for a laser or plasma table.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};

use build::Build;
use sheets::dxf::{FlatPart, Unit, file_name, flat_parts, to_dxf};

use crate::command::Trouble;

/// What was asked for.
pub(in crate::command) struct Asked<'a> {
    /// Folder the files go into.
    pub(in crate::command) out: &'a Path,
    /// Unit of the numbers.
    pub(in crate::command) unit: Unit,
    /// Write over files that are there.
    pub(in crate::command) force: bool,
}

/// Writes every part that can be cut flat, and says which and why not the others.
pub(in crate::command) fn write(b: &Build, asked: &Asked<'_>) -> Result<String, Trouble> {
    let parts = flat_parts(b);
    if parts.is_empty() {
        return Err(Trouble(format!(
            "{}: there are no plates and no brackets, so nothing to cut flat. Nothing was written.",
            b.name
        )));
    }
    let mut files: Vec<(PathBuf, String, &FlatPart)> = Vec::new();
    let mut said = String::new();
    for part in &parts {
        match to_dxf(part, asked.unit) {
            Ok(text) => {
                let mut path = asked.out.join(file_name(part, asked.unit));
                // Ids that differ only in letters no file name takes.
                let mut again = 2;
                while files.iter().any(|(p, ..)| same_name(p, &path)) {
                    let name = file_name(part, asked.unit);
                    let stem = name.trim_end_matches(&format!("_{}.dxf", asked.unit.name()));
                    path = asked
                        .out
                        .join(format!("{stem}-{again}_{}.dxf", asked.unit.name()));
                    again += 1;
                }
                files.push((path, text, part));
            }
            Err(why) => {
                let _ = writeln!(
                    said,
                    "not written: {} {} {}: {why}",
                    part.kind.word(),
                    part.id,
                    part.label
                );
            }
        }
    }
    if !asked.force
        && let Some((path, ..)) = files.iter().find(|(p, ..)| p.symlink_metadata().is_ok())
    {
        return Err(Trouble(format!(
            "{}: there is a file of this name already. Choose another folder, or add --force to write over it; nothing was written.",
            path.display()
        )));
    }
    std::fs::create_dir_all(asked.out).map_err(|e| {
        Trouble(format!(
            "{}: the folder could not be made ({e}). Choose another; nothing was written.",
            asked.out.display()
        ))
    })?;
    let mut out = String::new();
    for (path, text, part) in &files {
        std::fs::write(path, text).map_err(|e| {
            Trouble(format!(
                "{}: could not be written ({e}). Check the folder and who may write there. Written before it:\n{out}",
                path.display()
            ))
        })?;
        let [w, h] = part.shape.as_ref().map_or([0.0; 2], |s| s.size);
        let digits = if asked.unit == Unit::Inches { 3 } else { 2 };
        let (w, h) = (asked.unit.of(w), asked.unit.of(h));
        let _ = writeln!(
            out,
            "{}: {} {}, cut {}, {w:.digits$} × {h:.digits$} {}",
            path.display(),
            part.kind.word(),
            part.label,
            part.count,
            asked.unit.name()
        );
    }
    out.push_str(&said);
    out.push_str(
        "Edges are as drawn: no kerf is taken off. Measure the first part before the rest is cut.\n",
    );
    Ok(out)
}

/// One file on a disk that does not tell large letters from small ones.
fn same_name(a: &Path, b: &Path) -> bool {
    a.to_string_lossy().to_lowercase() == b.to_string_lossy().to_lowercase()
}
