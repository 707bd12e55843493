//! The egui window.

pub mod app;
pub mod assembly_view;
pub mod bench;
pub mod bench_page;
pub mod brakes_page;
pub mod canvas;
pub mod checklist;
pub mod clock;
pub mod command;
pub mod copy;
pub mod dialog;
pub mod draw;
mod drawn_points;
pub mod driveline_page;
pub mod files;
mod filing;
pub mod fit_up_page;
pub mod flat_draw;
pub mod frame;
pub mod front_page;
mod gap_file;
pub mod gauge;
mod grips;
pub mod handles;
pub mod holes_page;
pub mod inspector;
pub mod mock_up_page;
pub mod plots;
pub mod power_page;
pub mod preview;
pub mod rail;
pub mod rear_draw;
pub mod rear_page;
pub mod run_log;
pub mod run_page;
pub mod settings;
pub mod springs_page;
mod stock_form;
pub mod theme;
pub mod tolerance_page;
pub mod tube_page;
pub mod typed;
pub mod weld_page;
pub mod weld_panels;
pub mod worker;

use std::path::PathBuf;

use eframe::egui;

use crate::command::Trouble;

pub use app::Workbench;

/// Opens the window, on a file or on the first sample.
pub(crate) fn open_window(file: Option<PathBuf>) -> Result<(), Trouble> {
    // A file named on the command line that can not be read is told where it was named.
    let loaded = match &file {
        Some(path) => Some(build::file::load(path)?),
        None => None,
    };
    let options = eframe::NativeOptions {
        renderer: eframe::Renderer::Glow,
        // Flat colours need no dithering, and software renderers pay for it by the pixel.
        dithering: false,
        viewport: egui::ViewportBuilder::default()
            .with_title("Stringline")
            .with_inner_size([1440.0, 900.0])
            .with_min_inner_size([820.0, 560.0])
            .with_app_id("stringline"),
        ..Default::default()
    };
    eframe::run_native(
        "Stringline",
        options,
        Box::new(move |cc| {
            let mut app = Workbench::new(cc);
            app.keep_untitled(eframe::storage_dir("stringline"), file.is_none());
            if let (Some(path), Some(build)) = (file, loaded) {
                app.adopt(build, Some(path));
            }
            Ok(Box::new(app))
        }),
    )
    .map_err(|_| {
        // The libraries' own words name source files of theirs, and help nobody here.
        Trouble(
            "the window could not be opened: no display answered, or it has no OpenGL 2. On an old graphics driver try \
             LIBGL_ALWAYS_SOFTWARE=1; readings, sweep, sheet and check work without a window."
                .to_owned(),
        )
    })
}
