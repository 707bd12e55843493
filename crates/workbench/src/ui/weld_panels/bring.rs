//! Bringing in what another build taught.

use std::path::{Path, PathBuf};

use build::{PastReading, WeldEdit};
use eframe::egui::{Button, Ui};

use super::super::bench::{Bench, Tray};
use super::super::files::{Dialogs, Picked, Want};
use super::{bits, common, words};

/// What is being brought in.
#[derive(Debug, Default)]
pub(super) struct Bring {
    path: String,
    dialogs: Dialogs,
    said: Option<Result<String, String>>,
}

impl Bring {
    pub fn show(&mut self, ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
        match self.dialogs.take(ui.ctx()) {
            Some(Picked::Path(_, path)) => {
                self.path = path.display().to_string();
                self.bring(bench, &path, tray);
            }
            Some(Picked::Nothing { at_once: true, .. }) => {
                let why = "no file dialog came: type where the file is";
                self.said = Some(Err(why.to_owned()));
            }
            Some(Picked::Nothing { .. }) | None => {}
        }
        common::head(ui, bench, "Bring in another build's record", "");
        common::note(
            ui,
            bench,
            "What the same shop measured on another build narrows this one as well. The other file is only read.",
        );
        ui.horizontal_wrapped(|ui| {
            bits::draft_words(
                ui,
                bench,
                "File of the other build",
                &mut self.path,
                260.0,
                tray,
            );
            if ui
                .button("Browse…")
                .accessible_name("Browse for another build")
                .clicked()
            {
                let start = Some(Path::new(&self.path)).filter(|_| !self.path.is_empty());
                self.dialogs.ask(ui.ctx(), Want::Open, start, "");
            }
            let ready = !self.path.trim().is_empty();
            if ui.add_enabled(ready, Button::new("Bring it in")).clicked() {
                let path = PathBuf::from(self.path.trim());
                self.bring(bench, &path, tray);
            }
        });
        match &self.said {
            Some(Ok(text)) => bits::say(ui, text),
            Some(Err(why)) => {
                bits::say_in(ui, bench.palette.bad, format!("Not brought in: {why}."))
            }
            None => {}
        }
    }

    fn bring(&mut self, bench: &Bench<'_>, path: &Path, tray: &mut Tray) {
        self.said = Some(match read(bench, path) {
            Ok((name, list)) => {
                let text = format!(
                    "{} of {name} brought in.",
                    words::some(list.len() as u64, "reading")
                );
                bits::edit(tray, WeldEdit::BringRecord(list));
                Ok(text)
            }
            Err(why) => Err(why),
        });
    }
}

/// The record of the build in a file; what was left out here before stays left out.
fn read(bench: &Bench<'_>, path: &Path) -> Result<(String, Vec<PastReading>), String> {
    let other = build::file::load(path).map_err(|e| e.to_string())?;
    if other.name == bench.build.name {
        return Err(format!(
            "that is {} itself: its readings count already",
            other.name
        ));
    }
    let study = build::derive(&other);
    if let Err(why) = &study.weld.record {
        return Err(why.show(bench.shop()));
    }
    let mut list = build::record_of(&other, &study.weld);
    // What it has from this build must not count twice.
    let own = format!("{}: ", bench.build.name);
    list.retain(|x| !x.label.starts_with(&own));
    if list.is_empty() {
        return Err(format!("{} has learned nothing yet", other.name));
    }
    for x in &mut list {
        let here = bench
            .build
            .weld_out
            .past
            .iter()
            .find(|p| p.label == x.label);
        if let Some(here) = here {
            x.void.clone_from(&here.void);
        }
    }
    Ok((other.name, list))
}
