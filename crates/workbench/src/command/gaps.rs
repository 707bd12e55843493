//! The fit-up log as a table: written for the bench, read back into the build.

use std::fmt::Write as _;
use std::io::Read as _;
use std::path::Path;

use build::{Build, Edit, History, Joint, WeldEdit, derive, file, gap_table};
use units::{Kind, Shop};
use weld::Verdict;

use super::{Trouble, same_file};

/// Writes the table; says where.
pub(super) fn write(path: &Path, out: &Path, shop: &Shop) -> Result<String, Trouble> {
    let build = file::load(path)?;
    if same_file(path, out) {
        return Err(Trouble(format!(
            "{}: is the build itself. Choose another name for the table; nothing was written.",
            out.display()
        )));
    }
    std::fs::write(out, gap_table::to_csv(&build, shop)).map_err(|e| {
        Trouble(format!(
            "{}: could not be written ({e}). Check the folder and who may write there.",
            out.display()
        ))
    })?;
    Ok(format!("{}\n", out.display()))
}

/// Reads a table into the build; says what changes, and saves it if asked.
pub(super) fn read(path: &Path, table: &Path, save: bool, shop: &Shop) -> Result<String, Trouble> {
    let mut build = file::load(path)?;
    // Nobody else may save between the reading and the writing of it.
    let _lock = if save {
        let lock = file::lock(path)?;
        build = file::load(path)?;
        Some(lock)
    } else {
        None
    };
    let text = text_of(table)?;
    let name = table.display().to_string();
    let joints = gap_table::read(&text, &build).map_err(|e| Trouble(e.in_file(&name)))?;
    let mut history = History::new(build.clone());
    history
        .apply(&Edit::Weld(WeldEdit::ReplaceGaps(joints)))
        .map_err(|e| Trouble(format!("{name}: {e}")))?;
    let after = history.build();
    let mut out = said(&build, after, shop);
    if build == **after {
        let _ = writeln!(out, "Nothing changes.");
    } else if save {
        file::save(after, path)?;
        let _ = writeln!(out, "Saved in {}.", path.display());
    } else {
        let _ = writeln!(out, "Nothing was written: add --save to keep it.");
    }
    Ok(out)
}

fn text_of(table: &Path) -> Result<String, Trouble> {
    let say = |why: String| Trouble(format!("{}: {why}", table.display()));
    if table.is_dir() {
        return Err(say("is a folder. Name the table inside it.".to_owned()));
    }
    let open = std::fs::File::open(table).map_err(|e| {
        say(match e.kind() {
            std::io::ErrorKind::NotFound => {
                "there is no such file. Check the spelling, or write one with --out.".to_owned()
            }
            _ => format!("can not be read ({e}). Check who may read it."),
        })
    })?;
    let most = gap_table::MAX_GAP_TABLE as u64;
    let mut bytes = Vec::new();
    // A device has no length to ask for: never read past the limit, and the table says the rest.
    open.take(most + 1)
        .read_to_end(&mut bytes)
        .map_err(|e| say(format!("can not be read ({e}). Check who may read it.")))?;
    if bytes.len() as u64 > most {
        return Err(say(format!(
            "is larger than {most} bytes, the most for a table. Is this the right file?"
        )));
    }
    String::from_utf8(bytes).map_err(|e| {
        say(format!(
            "is not text from byte {} on. Save the sheet as CSV in UTF-8.",
            e.utf8_error().valid_up_to()
        ))
    })
}

/// A line for each joint that is new or another one than before.
fn said(before: &Build, after: &Build, shop: &Shop) -> String {
    let study = derive(after);
    let mut out = String::new();
    for (j, s) in after.fit_up.joints.iter().zip(&study.fit_up.joints) {
        let old = before.fit_up.joints.iter().find(|x| x.id == j.id);
        if old == Some(j) {
            continue;
        }
        let readings = |j: &Joint| match j.gaps.len() {
            0 => "no readings".to_owned(),
            1 => "1 reading".to_owned(),
            n => format!("{n} readings"),
        };
        let was = match old {
            None => "new joint".to_owned(),
            Some(old) if old.gaps == j.gaps => {
                "same readings, who, when or note changed".to_owned()
            }
            Some(old) => format!("had {}", readings(old)),
        };
        let worst = s.worst.map_or_else(String::new, |(gap, at)| {
            let gap = units::format_kept(Kind::Length, gap, shop);
            let at = if at == 0.0 { 12.0 } else { at };
            format!(", worst {gap} at {at} o'clock")
        });
        let verdict = match &s.judged {
            Ok(f) => match f.verdict {
                Verdict::Good => ", in limit".to_owned(),
                Verdict::EnlargeLeg { leg } => {
                    let leg = units::format_kept(Kind::Length, leg, shop);
                    format!(", needs a leg of {leg}")
                }
                Verdict::Reject => ", past the limit".to_owned(),
                Verdict::NotLogged { .. } => String::new(),
            },
            Err(why) => format!(", {why}"),
        };
        let _ = writeln!(
            out,
            "{}  {}: {}{worst}{verdict} ({was})",
            j.id,
            j.label,
            readings(j)
        );
    }
    out
}
