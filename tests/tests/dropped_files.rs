//! Files dropped on the window, through the real window code.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod window;

use std::path::{Path, PathBuf};
use std::sync::Arc;

use build::Edit;
use eframe::egui;
use egui_kittest::kittest::Queryable as _;
use window::{Window, open, sample, sample_path};
use workbench::ui::bench::Action;

#[derive(Debug)]
struct Dropped(PathBuf);

impl egui::DroppedFile for Dropped {
    fn path(&self) -> &Path {
        &self.0
    }

    fn bytes(&self) -> Result<Vec<u8>, String> {
        std::fs::read(&self.0).map_err(|e| e.to_string())
    }
}

fn drop_on(h: &mut Window<'_>, path: PathBuf) {
    h.input_mut().dropped_files.push(Arc::new(Dropped(path)));
    h.run();
}

fn window<'a>() -> Window<'a> {
    open(sample("redshank.ron"), None, [1440.0, 900.0])
}

#[test]
fn a_build_dropped_on_the_window_is_opened() {
    let mut h = window();
    drop_on(&mut h, sample_path("whimbrel.ron"));
    assert_eq!(h.state().build().name, "Whimbrel");
}

#[test]
fn unsaved_work_is_asked_about_first() {
    let mut h = window();
    let ctx = h.ctx.clone();
    let edit = Edit::Rename("Changed".to_owned());
    h.state_mut().act(&ctx, Action::Edit(edit));
    h.run();
    drop_on(&mut h, sample_path("whimbrel.ron"));
    assert!(h.query_by_label("Save before you go?").is_some());
    assert_eq!(h.state().build().name, "Changed");
    h.get_by_label("Go on without saving").click();
    h.run();
    assert_eq!(h.state().build().name, "Whimbrel");
}

#[test]
fn what_is_no_build_says_so_and_nothing_is_lost() {
    for name in ["../README.md", "../crates", "not_there.ron"] {
        let mut h = window();
        drop_on(&mut h, sample_path(name));
        assert_eq!(h.state().build().name, "Redshank", "{name}");
        let stem = name.trim_start_matches("../");
        assert!(
            h.query_all_by_label_contains(stem).next().is_some(),
            "{name}: nothing is said"
        );
    }
}
