//! The real window code without a window: found by accessible names, moved by pointer and keys.
#![allow(dead_code, reason = "each test file uses a part")]

use std::path::PathBuf;

use build::{Build, Study, derive, file};
use eframe::egui::{self, Key, Pos2, Vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use workbench::ui::{Workbench, bench::Action, settings::Settings, theme};

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

/// The window on a phase.
pub fn phase<'a>(build: Build, size: [f32; 2], id: &str) -> Window<'a> {
    let mut h = open(build, None, size);
    let ctx = h.ctx.clone();
    h.state_mut().act(&ctx, Action::Phase(id.into()));
    h.run();
    h
}

/// Clicks what has this name, scrolled into sight.
pub fn click(h: &mut Window<'_>, label: &str) {
    h.get_by_label(label).scroll_to_me();
    h.run();
    h.get_by_label(label).click();
    h.run();
}

/// Types into a field over what stands there; nothing: empties it.
pub fn fill(h: &mut Window<'_>, label: &str, text: &str) {
    let role = egui::Role::TextInput;
    h.get_by_role_and_label(role, label).scroll_to_me();
    h.run();
    let field = h.get_by_role_and_label(role, label);
    assert!(field.rect().is_positive(), "{label}");
    field.click();
    h.run();
    h.key_press_modifiers(CTRL, Key::A);
    h.run();
    if text.is_empty() {
        h.key_press(Key::Delete);
    } else {
        h.get_by_role_and_label(role, label).type_text(text);
    }
    h.run();
    h.key_press(Key::Enter);
    h.run();
}

/// One step back.
pub fn undo(h: &mut Window<'_>) {
    h.key_press_modifiers(CTRL, Key::Z);
    h.run();
}

/// What a reading says in the window.
pub fn reading(h: &Window<'_>, id: &str) -> f64 {
    value(h.state().study(), id)
}

/// What the model says of a build.
pub fn modelled(b: &Build, id: &str) -> f64 {
    value(&derive(b), id)
}

fn value(study: &Study, id: &str) -> f64 {
    let r = study.reading(id);
    let r = r.unwrap_or_else(|| panic!("no reading {id}"));
    r.value.clone().unwrap_or_else(|e| panic!("{id}: {e}"))
}

pub const CTRL: egui::Modifiers = egui::Modifiers::COMMAND;
