//! Time to the first frames of the workbench against an empty window of the same size:
//! `cargo run --release -p workbench --example first_frame -- empty|workbench [frames]`.
//! Prints milliseconds from the start of the program to the end of the first frame, and the mean
//! of the following ones while the pointer would be dragging (a frame is asked for every time).

use std::time::Instant;

use eframe::egui;
use workbench::ui::Workbench;

struct Timed {
    start: Instant,
    inner: Option<Workbench>,
    first: Option<f64>,
    frames: u32,
    wanted: u32,
    since: Instant,
}

impl eframe::App for Timed {
    fn ui(&mut self, ui: &mut egui::Ui, _: &mut eframe::Frame) {
        // A call after the first means that the first was painted and shown.
        if self.frames == 1 {
            self.first = Some(self.start.elapsed().as_secs_f64() * 1e3);
            self.since = Instant::now();
        }
        if let Some(app) = &mut self.inner {
            app.frame(ui);
        }
        self.frames += 1;
        if self.frames > self.wanted {
            let mean =
                self.since.elapsed().as_secs_f64() * 1e3 / f64::from(self.frames - 2).max(1.0);
            println!(
                "first frame {:.1} ms, following {mean:.2} ms each",
                self.first.unwrap_or(f64::NAN)
            );
            ui.send_viewport_cmd(egui::ViewportCommand::Close);
        }
        ui.ctx().request_repaint();
    }

    fn clear_color(&self, visuals: &egui::Visuals) -> [f32; 4] {
        match &self.inner {
            Some(app) => app.clear_color(visuals),
            None => egui::Color32::from_gray(20).to_normalized_gamma_f32(),
        }
    }
}

fn main() -> eframe::Result {
    let start = Instant::now();
    let mut args = std::env::args().skip(1);
    let empty = args.next().as_deref() == Some("empty");
    let wanted = args.next().and_then(|n| n.parse().ok()).unwrap_or(120);
    let options = eframe::NativeOptions {
        renderer: eframe::Renderer::Glow,
        dithering: false,
        persist_window: false,
        viewport: egui::ViewportBuilder::default().with_inner_size([1440.0, 900.0]),
        ..Default::default()
    };
    eframe::run_native(
        "first frame",
        options,
        Box::new(move |cc| {
            let inner = (!empty).then(|| Workbench::new(cc));
            Ok(Box::new(Timed {
                start,
                inner,
                first: None,
                frames: 0,
                wanted,
                since: start,
            }))
        }),
    )
}
