//! A few pictures of the window, drawn by a software renderer and compared pixel by pixel. They
//! catch what the model can not: text that clips, a colour that went wrong, a line not drawn.
//! `UPDATE_SNAPSHOTS=1` writes anew those that differ: look at each before it is kept.
#![cfg(feature = "pictures")]
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod window;

use build::Build;
use eframe::egui::{Key, Theme};
use egui_kittest::kittest::Queryable as _;
use egui_kittest::{Harness, SnapshotOptions, SnapshotResults};
use window::{CTRL, sample};
use workbench::ui::{Workbench, bench::Action, settings::Settings, theme};

/// The smallest window that must not clip.
const SIZE: [f32; 2] = [1024.0, 700.0];

fn open(build: Build, dark: bool) -> window::Window<'static> {
    let settings = Settings {
        who: "MK".into(),
        dark: Some(dark),
        ..Default::default()
    };
    let theme = if dark { Theme::Dark } else { Theme::Light };
    let mut h = Harness::builder()
        .with_size(SIZE)
        .with_theme(theme)
        .with_max_steps(30)
        .with_context_setup(theme::install)
        .wgpu()
        .build_eframe(move |_| Workbench::with(settings, build));
    h.run();
    h
}

fn show(h: &mut window::Window<'_>, phase: &str) {
    let ctx = h.ctx.clone();
    h.state_mut().act(&ctx, Action::Phase(phase.into()));
    h.run();
}

/// Strict: software renderers of different versions may round a few edge pixels differently.
fn strict() -> SnapshotOptions {
    SnapshotOptions::new()
        .output_path("tests/snapshots")
        .threshold(0.6)
        .max_failed_pixels(40)
}

#[test]
fn the_window_looks_as_it_did() {
    let mut results = SnapshotResults::new();
    let mut keep = |h: &mut window::Window<'_>, name: &str| {
        results.add(h.try_snapshot_options(name, &strict()));
    };

    for (name, dark) in [("rear_links_light", false), ("rear_links_dark", true)] {
        let mut h = open(sample("redshank.ron"), dark);
        show(&mut h, "rear_links");
        keep(&mut h, name);
    }

    let mut h = open(sample("redshank.ron"), false);
    show(&mut h, "fit_up");
    keep(&mut h, "fit_up_light");

    // The sheet carries the day's date: the picture is of a page that has none of its own.
    h.key_press_modifiers(CTRL, Key::P);
    h.run();
    assert!(h.query_by_label_contains("Page 1 of").is_some());
    keep(&mut h, "sheet_preview");

    let mut h = open(sample("faulty.ron"), true);
    show(&mut h, "rear_links");
    keep(&mut h, "faulty_dark");

    let mut h = open(Build::empty("New build"), false);
    show(&mut h, "rear_links");
    keep(&mut h, "empty_light");
    // `results` fails the test when it is dropped, with all that differ.
}
