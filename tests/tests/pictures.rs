//! A few pictures of the window, drawn by a software renderer and compared pixel by pixel. They
//! catch what the model can not: text that clips, a colour that went wrong, a line not drawn.
//! `UPDATE_SNAPSHOTS=1` writes anew those that differ: look at each before it is kept.
#![cfg(feature = "pictures")]
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod window;

use build::Build;
use eframe::egui::{Key, Theme};
use egui_kittest::kittest::Queryable as _;
use egui_kittest::{
    Harness, SnapshotOptions, SnapshotResult, SnapshotResults, try_image_snapshot_options,
};
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

/// The sheet's first page with the line of its head that carries the day's date wiped out.
fn preview(h: &mut window::Window<'_>) -> SnapshotResult {
    let page = h.get_by_label_contains("Page 1 of").rect();
    // Letter is 8 1/2 in = 215.9 mm wide; the line stands between these heights, mm.
    let scale = page.width() / 215.9;
    let [top, bottom] = [18.2, 22.4].map(|mm| (page.top() + mm * scale) as u32);
    let mut picture = h.render().unwrap();
    for y in top..bottom {
        let blank = *picture.get_pixel(page.left() as u32 + 4, y);
        for x in page.left() as u32 + 4..page.right() as u32 - 4 {
            *picture.get_pixel_mut(x, y) = blank;
        }
    }
    try_image_snapshot_options(&picture, "sheet_preview", &strict())
}

#[test]
fn the_window_looks_as_it_did() {
    let mut results = SnapshotResults::new();

    for (name, dark) in [("rear_links_light", false), ("rear_links_dark", true)] {
        let mut h = open(sample("redshank.ron"), dark);
        show(&mut h, "rear_links");
        results.add(h.try_snapshot_options(name, &strict()));
    }

    let mut h = open(sample("redshank.ron"), false);
    show(&mut h, "fit_up");
    results.add(h.try_snapshot_options("fit_up_light", &strict()));

    h.key_press_modifiers(CTRL, Key::P);
    h.run();
    results.add(preview(&mut h));

    let mut h = open(sample("faulty.ron"), true);
    show(&mut h, "rear_links");
    results.add(h.try_snapshot_options("faulty_dark", &strict()));

    for (name, tab, sample_name, dark) in [
        ("under_power_dark", "Under power", "redshank.ron", true),
        (
            "under_power_faulty_light",
            "Under power",
            "faulty.ron",
            false,
        ),
        ("springs_light", "Springs", "whimbrel.ron", false),
        ("driveshaft_dark", "Driveshaft", "faulty.ron", true),
    ] {
        let mut h = open(sample(sample_name), dark);
        show(&mut h, "rear_links");
        h.get_by_label(tab).click();
        h.run();
        results.add(h.try_snapshot_options(name, &strict()));
    }

    for (name, tab, dark) in [
        ("weld_pull_dark", "What welds pull", true),
        ("weld_beads_light", "Correction beads", false),
        ("weld_order_light", "Weld order", false),
    ] {
        let mut h = open(sample("redshank.ron"), dark);
        show(&mut h, "weld_out");
        h.get_by_label(tab).click();
        h.run();
        results.add(h.try_snapshot_options(name, &strict()));
    }

    for (name, phase, dark) in [
        ("goal_light", "goal", false),
        ("run_log_dark", "shake_down", true),
    ] {
        let mut h = open(sample("redshank.ron"), dark);
        show(&mut h, phase);
        results.add(h.try_snapshot_options(name, &strict()));
    }

    let mut h = open(Build::empty("New build"), false);
    show(&mut h, "rear_links");
    results.add(h.try_snapshot_options("empty_light", &strict()));
    // `results` fails the test when it is dropped, with all that differ.
}
