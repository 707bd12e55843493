//! The real window code without a window: found by accessible names, moved by pointer and keys.
#![allow(dead_code, reason = "each test file uses a part")]

use std::path::PathBuf;

use build::{Build, file};
use eframe::egui::{self, Pos2, Vec2};
use egui_kittest::Harness;
use workbench::ui::{Workbench, settings::Settings, theme};

pub type Window<'a> = Harness<'a, Workbench>;

/// Where a shipped sample lies.
pub fn sample_path(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("../samples")
        .join(name)
}

/// A shipped sample.
pub fn sample(name: &str) -> Build {
    file::load(&sample_path(name)).unwrap_or_else(|e| panic!("{e}"))
}

/// The window on a build, with a file if a path is given.
pub fn open<'a>(build: Build, path: Option<PathBuf>, size: [f32; 2]) -> Window<'a> {
    open_with(
        Settings {
            who: "MK".into(),
            dark: Some(false),
            ..Default::default()
        },
        build,
        path,
        size,
    )
}

pub fn open_with<'a>(
    settings: Settings,
    build: Build,
    path: Option<PathBuf>,
    size: [f32; 2],
) -> Window<'a> {
    let mut h = Harness::builder()
        .with_size(size)
        .with_max_steps(30)
        .with_context_setup(theme::install)
        .build_eframe(move |_| {
            let mut app = Workbench::with(settings, build.clone());
            app.adopt(build, path);
            app
        });
    h.run();
    h
}

/// Takes a handle and moves it in steps like a hand, leaving the button down.
pub fn hold(h: &mut Window<'_>, from: Pos2, by: Vec2) {
    h.hover_at(from);
    h.step();
    h.drag_at(from);
    h.step();
    for i in 1..=6 {
        h.hover_at(from + by * (i as f32 / 6.0));
        h.step();
    }
}

/// [`hold`], then lets go.
pub fn drag(h: &mut Window<'_>, from: Pos2, by: Vec2) {
    hold(h, from, by);
    h.drop_at(from + by);
    h.run();
}

pub const CTRL: egui::Modifiers = egui::Modifiers::COMMAND;
