//! Frames of a real window, graphics driver and all:
//! `cargo run --release -p workbench --example window_frames -- bare|empty|still|drag [frames]`.
//!
//! `empty` is the baseline: a window of the same size with an empty panel, under the same moving
//! pointer; `bare` is only cleared. `still` repaints the rear links page, `drag` holds a bracket there and moves it round and
//! round. Prints milliseconds from the start of the program to the end of the first frame, then the
//! median of the following ones, from one call to the next.

use std::f32::consts::TAU;
use std::time::{Duration, Instant};

use eframe::egui::{self, Event, Modifiers, PointerButton, Pos2, RawInput, Vec2, vec2};
use workbench::ui::Workbench;

const SIZE: Vec2 = vec2(1440.0, 900.0);
/// Frames until the page has settled, the pointer is pressed and the press has become a drag.
const SETTLED: usize = 40;

struct Timed {
    start: Instant,
    inner: Option<Workbench>,
    panel: bool,
    /// The pointer goes round this place.
    around: Pos2,
    held: bool,
    called: Vec<Instant>,
    wanted: usize,
}

impl Timed {
    fn report(&self) {
        let mut times: Vec<Duration> = self.called.windows(2).map(|w| w[1] - w[0]).collect();
        let first = times
            .first()
            .map_or(Duration::ZERO, |_| self.called[1] - self.start);
        times.drain(..SETTLED.min(times.len()));
        times.sort();
        let median = times.get(times.len() / 2).copied().unwrap_or_default();
        println!(
            "first frame {:.1} ms, following {:.2} ms each",
            first.as_secs_f64() * 1e3,
            median.as_secs_f64() * 1e3
        );
    }
}

impl eframe::App for Timed {
    fn persist_egui_memory(&self) -> bool {
        false
    }

    fn raw_input_hook(&mut self, _: &egui::Context, input: &mut RawInput) {
        let n = self.called.len();
        let turn = TAU * (n % 24) as f32 / 24.0;
        let at = match n {
            0..30 => self.around,
            _ => self.around + 20.0 * vec2(turn.cos(), turn.sin()),
        };
        input.events.push(Event::PointerMoved(at));
        if self.held && n == 20 {
            input.events.push(Event::PointerButton {
                pos: at,
                button: PointerButton::Primary,
                pressed: true,
                modifiers: Modifiers::NONE,
            });
        }
    }

    fn ui(&mut self, ui: &mut egui::Ui, _: &mut eframe::Frame) {
        // A call after the first means that the one before was painted and shown.
        self.called.push(Instant::now());
        match &mut self.inner {
            Some(app) => app.frame(ui),
            None if self.panel => {
                egui::CentralPanel::default().show(ui, |_| {});
            }
            None => {}
        }
        if self.called.len() == self.wanted + SETTLED {
            self.report();
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

/// Where the handle of this name stands: asked of a second workbench, laid out the same without a window.
fn handle(name: &str) -> Option<Pos2> {
    let ctx = egui::Context::default();
    workbench::ui::theme::install(&ctx);
    ctx.enable_accesskit();
    let (path, text) = workbench::SAMPLES.first()?;
    let build = build::file::parse(text, std::path::Path::new(path)).ok()?;
    let mut app = Workbench::with(workbench::ui::settings::Settings::default(), build);
    let mut at = None;
    for _ in 0..10 {
        let input = RawInput {
            screen_rect: Some(egui::Rect::from_min_size(Pos2::ZERO, SIZE)),
            ..Default::default()
        };
        let mut out = ctx.run_ui(input, |ui| app.frame(ui));
        out.textures_delta.clear();
        let nodes = out.platform_output.accesskit_update?.nodes;
        at = nodes
            .iter()
            .find(|(_, n)| n.label() == Some(name))
            .and_then(|(_, n)| n.bounds())
            .map(|b| egui::pos2((b.x0 + b.x1) as f32 * 0.5, (b.y0 + b.y1) as f32 * 0.5));
    }
    at
}

fn main() -> eframe::Result {
    let mut args = std::env::args().skip(1);
    let mode = args.next().unwrap_or_default();
    let wanted = args.next().and_then(|n| n.parse().ok()).unwrap_or(300);
    let held = mode == "drag";
    let around = held
        .then(|| handle("bracket upper front"))
        .flatten()
        .unwrap_or(Pos2::ZERO + SIZE * 0.5);
    let start = Instant::now();
    let options = eframe::NativeOptions {
        renderer: eframe::Renderer::Glow,
        dithering: false,
        persist_window: false,
        viewport: egui::ViewportBuilder::default().with_inner_size(SIZE),
        ..Default::default()
    };
    eframe::run_native(
        "frames",
        options,
        Box::new(move |cc| {
            Ok(Box::new(Timed {
                start,
                inner: matches!(&*mode, "still" | "drag").then(|| Workbench::new(cc)),
                panel: mode == "empty",
                around,
                held,
                called: Vec::new(),
                wanted,
            }))
        }),
    )
}
