//! The fit-up log as a table in a file: written, and read back in one undo step.

use std::path::Path;

use build::{Edit, WeldEdit, gap_table};
use eframe::egui::{Button, Ui};

use super::bench::{Bench, Tray};
use super::typed;

/// What is remembered of the file.
#[derive(Debug, Default)]
pub(super) struct GapFile {
    path: String,
    said: Option<Result<String, String>>,
}

/// Largest table read, bytes; its reader refuses more as well.
const MOST: u64 = gap_table::MAX_GAP_TABLE as u64;

impl GapFile {
    pub fn show(&mut self, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
        ui.horizontal_wrapped(|ui| {
            ui.label("Table");
            let width = 220.0_f32.min(ui.available_width().max(40.0));
            let name = "Table of gaps";
            if let Some(v) = typed::words(ui, bench, "gap table", name, &self.path, width, tray) {
                self.path = v;
            }
            let path = self.path.trim().to_owned();
            let ready = !path.is_empty();
            let write = ui
                .add_enabled(ready, Button::new("Write it"))
                .on_hover_text("Every gap, one per row, for a spreadsheet");
            if write.clicked() {
                self.said = Some(write_table(bench, Path::new(&path)));
            }
            let read = ui
                .add_enabled(ready, Button::new("Read it"))
                .on_hover_text("Takes the gaps of the table into the log: one step to undo");
            if read.clicked() {
                self.said = Some(read_table(bench, Path::new(&path), tray));
            }
        });
        match &self.said {
            Some(Ok(text)) => {
                ui.colored_label(bench.palette.good, text);
            }
            Some(Err(why)) => {
                ui.colored_label(bench.palette.bad, why);
            }
            None => {}
        }
    }
}

fn write_table(bench: &Bench<'_>, path: &Path) -> Result<String, String> {
    if path
        .extension()
        .is_none_or(|e| !e.eq_ignore_ascii_case("csv"))
    {
        return Err("Name a file that ends in .csv: nothing was written.".to_owned());
    }
    let text = gap_table::to_csv(bench.build, bench.shop());
    std::fs::write(path, text)
        .map(|()| format!("{} written.", path.display()))
        .map_err(|e| format!("{}: {e}. Nothing was written.", path.display()))
}

fn read_table(bench: &Bench<'_>, path: &Path, tray: &mut Tray) -> Result<String, String> {
    let say = |e: std::io::Error| format!("{}: {e}. Nothing was changed.", path.display());
    let length = std::fs::metadata(path).map_err(say)?.len();
    if length > MOST {
        return Err(format!(
            "{} is larger than {MOST} bytes: is it the right file? Nothing was changed.",
            path.display()
        ));
    }
    let text = std::fs::read_to_string(path).map_err(say)?;
    let joints = gap_table::read(&text, bench.build).map_err(|e| {
        format!(
            "{} Nothing was changed.",
            e.in_file(&path.display().to_string())
        )
    })?;
    let count = joints.len();
    tray.edit(Edit::Weld(WeldEdit::ReplaceGaps(joints)));
    Ok(format!(
        "{count} {} read.",
        if count == 1 { "joint" } else { "joints" }
    ))
}
