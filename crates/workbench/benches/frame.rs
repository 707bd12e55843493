//! One frame of the window's code without a GPU: events, study, layout, tessellation.
//!
//! Baseline: an empty egui frame of the same size that gets the same pointer events. The ratio of
//! the two is printed before anything else is measured. What a graphics driver adds to both is not
//! in it: `examples/window_frames.rs` measures that in a real window.
#![allow(clippy::unwrap_used, clippy::panic, missing_docs)]

use std::f32::consts::TAU;
use std::hint::black_box;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use build::{derive, file};
use criterion::{Criterion, criterion_group, criterion_main};
use eframe::egui::{self, Event, Modifiers, PointerButton, Pos2, Rect, Vec2, vec2};
use workbench::ui::{Workbench, settings::Settings, theme};

const SIZE: Vec2 = vec2(1440.0, 900.0);

fn sample() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples/redshank.ron")
}

/// A context and the time of its next frame.
struct Screen {
    ctx: egui::Context,
    time: f64,
}

impl Screen {
    fn new() -> Self {
        let ctx = egui::Context::default();
        theme::install(&ctx);
        Self { ctx, time: 0.0 }
    }

    fn input(&mut self, events: Vec<Event>) -> egui::RawInput {
        self.time += 1.0 / 60.0;
        egui::RawInput {
            screen_rect: Some(Rect::from_min_size(Pos2::ZERO, SIZE)),
            time: Some(self.time),
            events,
            focused: true,
            ..Default::default()
        }
    }

    /// One frame from events to triangles; gives the number of triangles.
    fn frame(&mut self, events: Vec<Event>, draw: impl FnMut(&mut egui::Ui)) -> usize {
        let input = self.input(events);
        let mut out = self.ctx.run_ui(input, draw);
        out.textures_delta.clear(); // no renderer takes them
        let meshes = self.ctx.tessellate(out.shapes, out.pixels_per_point);
        meshes
            .iter()
            .map(|p| match &p.primitive {
                egui::epaint::Primitive::Mesh(m) => m.indices.len() / 3,
                egui::epaint::Primitive::Callback(_) => 0,
            })
            .sum()
    }
}

fn press(pos: Pos2) -> Event {
    Event::PointerButton {
        pos,
        button: PointerButton::Primary,
        pressed: true,
        modifiers: Modifiers::NONE,
    }
}

/// The rear links page, settled.
fn page() -> (Screen, Workbench) {
    let settings = Settings {
        dark: Some(true),
        ..Default::default()
    };
    let mut app = Workbench::with(settings, file::load(&sample()).unwrap());
    let mut screen = Screen::new();
    for _ in 0..30 {
        screen.frame(Vec::new(), |ui| app.frame(ui));
    }
    (screen, app)
}

/// Where the handle of this name stands: asked of a second window that is laid out the same.
fn handle(name: &str) -> Pos2 {
    let (mut screen, mut app) = page();
    screen.ctx.enable_accesskit();
    let input = screen.input(Vec::new());
    let mut out = screen.ctx.run_ui(input, |ui| app.frame(ui));
    out.textures_delta.clear();
    let nodes = out.platform_output.accesskit_update.unwrap().nodes;
    let named = nodes.iter().find(|(_, n)| n.label() == Some(name));
    let b = named
        .unwrap_or_else(|| panic!("nothing is named {name}"))
        .1
        .bounds()
        .unwrap();
    egui::pos2((b.x0 + b.x1) as f32 * 0.5, (b.y0 + b.y1) as f32 * 0.5)
}

/// A hand that holds the upper front bracket and moves it round and round, a new place each frame.
struct Drag {
    screen: Screen,
    app: Workbench,
    from: Pos2,
    turn: u32,
}

impl Drag {
    fn start() -> Self {
        let (mut screen, mut app) = page();
        let from = handle("bracket upper front");
        screen.frame(vec![Event::PointerMoved(from)], |ui| app.frame(ui));
        screen.frame(vec![press(from)], |ui| app.frame(ui));
        let mut drag = Self {
            screen,
            app,
            from,
            turn: 0,
        };
        // Past the distance below which a press may still be a click.
        for _ in 0..30 {
            drag.frame();
        }
        let before = drag.app.build().clone();
        let readings = drag.app.study().readings.clone();
        drag.frame();
        assert!(
            *drag.app.build() != before && drag.app.study().readings != readings,
            "a dragging frame moves the bracket and derives"
        );
        drag
    }

    fn event(&mut self) -> Event {
        self.turn = (self.turn + 1) % 24;
        let a = TAU * self.turn as f32 / 24.0;
        Event::PointerMoved(self.from + 20.0 * vec2(a.cos(), a.sin()))
    }

    fn frame(&mut self) -> usize {
        let event = self.event();
        self.screen.frame(vec![event], |ui| self.app.frame(ui))
    }
}

/// The same hand over a window with nothing in it.
fn empty(screen: &mut Screen, turn: &mut u32) -> usize {
    *turn = (*turn + 1) % 24;
    let a = TAU * *turn as f32 / 24.0;
    let at = Pos2::ZERO + 0.5 * SIZE + 20.0 * vec2(a.cos(), a.sin());
    screen.frame(vec![Event::PointerMoved(at)], |ui| {
        egui::CentralPanel::default().show(ui, |_| {});
    })
}

fn median(times: &mut [Duration]) -> Duration {
    times.sort();
    times[times.len() / 2]
}

/// Side by side, in turns, so that what slows the machine slows all.
fn side_by_side() {
    let mut drag = Drag::start();
    let (mut idle, mut app) = page();
    let (mut bare, mut turn) = (Screen::new(), 0);
    for _ in 0..30 {
        empty(&mut bare, &mut turn);
    }
    let mut times = [Vec::new(), Vec::new(), Vec::new()];
    let mut triangles = [0; 3];
    for _ in 0..400 {
        let began = Instant::now();
        triangles[0] = empty(&mut bare, &mut turn);
        times[0].push(began.elapsed());
        let began = Instant::now();
        triangles[1] = idle.frame(Vec::new(), |ui| app.frame(ui));
        times[1].push(began.elapsed());
        let began = Instant::now();
        triangles[2] = drag.frame();
        times[2].push(began.elapsed());
    }
    let [none, still, dragging] = times.map(|mut t| median(&mut t));
    let ratio = |t: Duration| t.as_secs_f64() / none.as_secs_f64();
    println!(
        "frames at {} x {} without a GPU, medians of 400 in turns:",
        SIZE.x, SIZE.y
    );
    println!(
        "  empty window    {none:>10.1?}  {} triangles",
        triangles[0]
    );
    println!(
        "  page, still     {still:>10.1?}  {} triangles, {:.0} times empty",
        triangles[1],
        ratio(still)
    );
    println!(
        "  page, dragging  {dragging:>10.1?}  {} triangles, {:.0} times empty, {:.2} times still",
        triangles[2],
        ratio(dragging),
        dragging.as_secs_f64() / still.as_secs_f64()
    );
}

fn benches(c: &mut Criterion) {
    side_by_side();
    c.bench_function("baseline: empty frame, pointer moving", |x| {
        let (mut screen, mut turn) = (Screen::new(), 0);
        x.iter(|| empty(&mut screen, &mut turn));
    });
    c.bench_function("rear links, still", |x| {
        let (mut screen, mut app) = page();
        x.iter(|| screen.frame(Vec::new(), |ui| app.frame(ui)));
    });
    c.bench_function("rear links, dragging a bracket", |x| {
        let mut drag = Drag::start();
        x.iter(|| drag.frame());
    });
    c.bench_function("open and derive", |x| {
        let path = sample();
        x.iter(|| derive(&file::load(black_box(&path)).unwrap()));
    });
}

criterion_group! {
    name = all;
    config = Criterion::default()
        .warm_up_time(Duration::from_secs(1))
        .measurement_time(Duration::from_secs(3))
        .sample_size(50);
    targets = benches
}
criterion_main!(all);
