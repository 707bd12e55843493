//! The window's frames one by one, with neither a window nor a driver that calls them again.
#![allow(dead_code, reason = "each test file uses a part")]

use std::time::Duration;

use build::Build;
use eframe::egui::{self, Event, Modifiers, PointerButton, Pos2, Rect, Vec2, ViewportId};
use workbench::ui::{Workbench, bench::Action, settings::Settings, theme};

/// A workbench and the context that it is drawn in.
pub struct Screen {
    pub ctx: egui::Context,
    pub app: Workbench,
    size: Vec2,
    time: f64,
}

/// What one frame gave.
pub struct Frame {
    /// When the next frame was asked for.
    pub again: Duration,
    /// Times the page was laid out.
    pub passes: usize,
    /// Every named widget: name, rectangle.
    pub named: Vec<(String, Rect)>,
    /// Triangles to paint.
    pub triangles: usize,
}

impl Screen {
    pub fn new(build: Build, size: Vec2) -> Self {
        let settings = Settings {
            who: "MK".into(),
            dark: Some(false),
            ..Default::default()
        };
        let ctx = egui::Context::default();
        theme::install(&ctx);
        ctx.enable_accesskit();
        Self {
            ctx,
            app: Workbench::with(settings, build),
            size,
            time: 0.0,
        }
    }

    /// One frame, a sixtieth of a second after the last one.
    pub fn frame(&mut self, events: Vec<Event>) -> Frame {
        self.time += 1.0 / 60.0;
        let input = egui::RawInput {
            screen_rect: Some(Rect::from_min_size(Pos2::ZERO, self.size)),
            time: Some(self.time),
            events,
            focused: true,
            ..Default::default()
        };
        let mut out = self.ctx.run_ui(input, |ui| self.app.frame(ui));
        out.textures_delta.clear(); // no renderer takes them
        let meshes = self.ctx.tessellate(out.shapes, out.pixels_per_point);
        let nodes = out.platform_output.accesskit_update;
        Frame {
            again: out.viewport_output[&ViewportId::ROOT].repaint_delay,
            passes: out.platform_output.num_completed_passes,
            named: nodes
                .map(|u| u.nodes)
                .unwrap_or_default()
                .iter()
                .filter_map(|(_, n)| {
                    let b = n.bounds()?;
                    let rect = Rect::from_min_max(
                        egui::pos2(b.x0 as f32, b.y0 as f32),
                        egui::pos2(b.x1 as f32, b.y1 as f32),
                    );
                    Some((n.label()?.to_owned(), rect))
                })
                .collect(),
            triangles: meshes
                .iter()
                .map(|p| match &p.primitive {
                    egui::epaint::Primitive::Mesh(m) => m.indices.len() / 3,
                    egui::epaint::Primitive::Callback(_) => 0,
                })
                .sum(),
        }
    }

    /// Frames until none is asked for; how many that took, or none within three seconds.
    pub fn settle(&mut self) -> Option<usize> {
        (0..180).find(|_| self.frame(Vec::new()).again == Duration::MAX)
    }

    pub fn act(&mut self, action: Action) {
        let ctx = self.ctx.clone();
        self.app.act(&ctx, action);
    }
}

impl Frame {
    /// Where the widget of this name stands.
    #[track_caller]
    pub fn rect(&self, name: &str) -> Rect {
        let found = self.named.iter().find(|(n, _)| n == name);
        found.unwrap_or_else(|| panic!("nothing is named {name}")).1
    }
}

/// A phase in every build and size, tiny ones too: no topic brings it down, looking changes nothing, and it is still when
/// idle.
pub fn rests_everywhere<T: Copy + std::fmt::Debug>(
    builds: impl IntoIterator<Item = Build>,
    phase: &str,
    topics: &[T],
    turn: impl Fn(&mut Workbench, T),
) {
    for b in builds {
        for (w, h) in [
            (1440.0, 900.0),
            (1024.0, 700.0),
            (420.0, 300.0),
            (60.0, 40.0),
        ] {
            let mut s = Screen::new(b.clone(), Vec2::new(w, h));
            s.act(Action::Phase(phase.into()));
            for topic in topics {
                turn(&mut s.app, *topic);
                assert!(s.settle().is_some(), "{} {topic:?} {w} x {h}", b.name);
                assert_eq!(s.frame(Vec::new()).again, Duration::MAX);
            }
            assert_eq!(**s.app.build(), b, "looking changes nothing");
        }
    }
}

pub fn button(pos: Pos2, pressed: bool) -> Event {
    Event::PointerButton {
        pos,
        button: PointerButton::Primary,
        pressed,
        modifiers: Modifiers::NONE,
    }
}
