//! The time cursor: moved by hand, by key, or played.

use eframe::egui::{Key, Ui};

/// Longest stretch that one frame plays, s: a window that was out of sight does not jump.
const LONGEST_FRAME: f64 = 0.25;
/// Step of an arrow key, s.
const STEP: f64 = 0.05;
/// Step with Shift held, s.
const FINE: f64 = 0.01;

/// Where on the run one looks.
#[derive(Debug, Default)]
pub(super) struct Cursor {
    /// Time from first motion, s.
    pub time: f64,
    /// Share of the true speed that it plays at.
    speed: Option<f64>,
    /// Plays at a quarter of the speed.
    pub slow: bool,
    /// Clock of the last frame while playing, s.
    last: Option<f64>,
}

impl Cursor {
    pub fn plays(&self) -> bool {
        self.speed.is_some()
    }

    pub fn pause(&mut self) {
        self.speed = None;
        self.last = None;
    }

    /// Plays on, from the start when it stands at the end.
    pub fn play(&mut self, end: f64) {
        if self.time >= end - 1e-9 {
            self.time = 0.0;
        }
        self.speed = Some(1.0);
        self.last = None;
    }

    /// Moves on while playing, and asks for the next frame only then.
    pub fn run(&mut self, ui: &Ui, end: f64) {
        self.time = self.time.clamp(0.0, end.max(0.0));
        if !self.plays() {
            return;
        }
        let now = ui.input(|i| i.time);
        let gone = self
            .last
            .map_or(0.0, |last| (now - last).clamp(0.0, LONGEST_FRAME));
        self.last = Some(now);
        self.time += gone * if self.slow { 0.25 } else { 1.0 };
        if self.time >= end {
            self.time = end;
            self.pause();
        } else {
            ui.ctx().request_repaint();
        }
    }

    /// Arrow keys, Home and End.
    pub fn keys(&mut self, ui: &Ui, end: f64) {
        let (by, to) = ui.input(|i| {
            let step = if i.modifiers.shift { FINE } else { STEP };
            let n = |key| i.num_presses(key) as f64;
            let by = step * (n(Key::ArrowRight) - n(Key::ArrowLeft));
            let to = if i.key_pressed(Key::Home) {
                Some(0.0)
            } else {
                i.key_pressed(Key::End).then_some(end)
            };
            (by, to)
        });
        if by != 0.0 || to.is_some() {
            self.pause();
            self.time = (to.unwrap_or(self.time) + by).clamp(0.0, end);
        }
    }

    /// Set by hand.
    pub fn set(&mut self, time: f64, end: f64) {
        if time.is_finite() {
            self.pause();
            self.time = time.clamp(0.0, end);
        }
    }
}
