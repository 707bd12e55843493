//! The view that can be turned: by hand, by its two sliders, and the floor it stands on.

use build::Build;
use eframe::egui::{
    self, Painter, PointerButton, Response, Slider, Stroke, Ui, Vec2, WidgetInfo, vec2,
};
use units::System;

use super::super::bench::Bench;
use super::super::canvas::View;
use super::super::handles::{Face, Turn};
use super::AssemblyView;
use super::scene::toward_eye;
use super::solid;

/// Degrees a turned view turns for a point the pointer moves.
const PER_POINT: f32 = 0.4;

impl AssemblyView {
    /// Turned by a drag with the middle or the secondary button.
    pub(super) fn turned_by(&mut self, r: &Response) {
        let dragged = r.dragged_by(PointerButton::Middle) || r.dragged_by(PointerButton::Secondary);
        if !dragged {
            self.rest = Vec2::ZERO;
            return;
        }
        // What is nearest goes with the hand.
        self.rest += vec2(-r.drag_delta().x, r.drag_delta().y) * PER_POINT;
        let whole = vec2(self.rest.x.trunc(), self.rest.y.trunc());
        self.rest -= whole;
        self.turn_to(
            i32::from(self.turn.round) + whole.x as i32,
            i32::from(self.turn.over) + whole.y as i32,
        );
    }

    fn turn_to(&mut self, round: i32, over: i32) {
        self.turn = Turn {
            round: ((round + 180).rem_euclid(360) - 180) as i16,
            over: over.clamp(-90, 90) as i16,
        };
        if matches!(self.face, Face::Turned(_)) {
            self.face = Face::Turned(self.turn);
        }
    }

    /// The sliders of a turned view.
    pub(super) fn turning(&mut self, ui: &mut Ui) {
        let Face::Turned(turn) = self.face else {
            return;
        };
        ui.spacing_mut().slider_width = 64.0;
        let mut both = [turn.round, turn.over];
        let says = [
            (
                "round",
                -180,
                180,
                "Turn round",
                "0 from behind, 90 from the right; drag the sheet with the right or middle button",
            ),
            (
                "over",
                -90,
                90,
                "Turn over",
                "90 from above; drag the sheet with the right or middle button",
            ),
        ];
        for (now, (word, low, high, name, tip)) in both.iter_mut().zip(says) {
            let shown = *now;
            let slider = Slider::new(now, low..=high)
                .step_by(1.0)
                .suffix("°")
                .text(word);
            let r = ui.add(slider).on_hover_text(tip);
            r.widget_info(|| WidgetInfo::slider(true, f64::from(shown), name));
        }
        if both != [turn.round, turn.over] {
            self.turn_to(i32::from(both[0]), i32::from(both[1]));
        }
    }

    /// Looks from where the assembly does not lie edge on.
    pub fn look_best(&mut self, b: &Build) {
        let candidates = [
            super::QUARTER,
            Turn {
                round: -38,
                over: 24,
            },
            Turn {
                round: 38,
                over: 60,
            },
            Turn { round: 0, over: 10 },
            Turn {
                round: 80,
                over: 10,
            },
        ];
        let points: Vec<[f64; 3]> = b
            .assembly
            .tubes
            .iter()
            .filter_map(|t| solid::corners(b, t))
            .flatten()
            .collect();
        let spreads = candidates.map(|t| narrowest(&points, Face::Turned(t)));
        let best = spreads.into_iter().fold(0.0, f64::max);
        // The first that shows enough: the usual place unless it looks along the assembly.
        let found = spreads.iter().position(|s| *s >= 0.4 * best);
        self.turn = candidates[found.unwrap_or(0)];
        self.face = Face::Turned(self.turn);
    }
}

/// How far points spread in the direction they spread least on the sheet, m.
fn narrowest(points: &[[f64; 3]], face: Face) -> f64 {
    let n = points.len().max(1) as f64;
    let flat: Vec<[f64; 2]> = points.iter().map(|p| face.flat(*p)).collect();
    let mean = [0, 1].map(|k| flat.iter().map(|q| q[k]).sum::<f64>() / n);
    let moment = |i: usize, j: usize| {
        let sum: f64 = flat
            .iter()
            .map(|q| (q[i] - mean[i]) * (q[j] - mean[j]))
            .sum();
        sum / n
    };
    let (a, b, c) = (moment(0, 0), moment(0, 1), moment(1, 1));
    let half = 0.5 * (a + c);
    let off = (0.25 * (a - c) * (a - c) + b * b).sqrt();
    (half - off).max(0.0).sqrt()
}

/// The floor under a turned assembly: a foot grid, the datum's lines stronger.
pub(super) fn floor(painter: &Painter, bench: &Bench<'_>, view: &View, face: Face, b: &Build) {
    if toward_eye(face)[2].abs() < 0.03 {
        return; // edge on
    }
    let mut step: f64 = match bench.shop().system {
        System::InchPound => 0.3048,
        System::Si => 0.25,
    };
    let nodes = b.assembly.nodes.iter().map(|n| n.at.si());
    let (low, high) = nodes.fold(([0.0f64; 2], [0.0f64; 2]), |(low, high), p| {
        (
            [low[0].min(p[0]), low[1].min(p[1])],
            [high[0].max(p[0]), high[1].max(p[1])],
        )
    });
    while step * view.scale < 16.0 {
        step *= 2.0;
    }
    let p = bench.palette;
    let range = |k: usize| {
        let first = ((low[k] - 0.3) / step).floor().clamp(-60.0, 60.0) as i32;
        let last = ((high[k] + 0.3) / step).ceil().clamp(-60.0, 60.0) as i32;
        (first, last)
    };
    let ((x0, x1), (y0, y1)) = (range(0), range(1));
    let at = |x: i32, y: i32| view.at(face.flat([f64::from(x) * step, f64::from(y) * step, 0.0]));
    let stroke = |k: i32| {
        if k == 0 {
            Stroke::new(1.2, p.dim.gamma_multiply(0.5))
        } else {
            Stroke::new(1.0, p.grid)
        }
    };
    for x in x0..=x1 {
        painter.line_segment([at(x, y0), at(x, y1)], stroke(x));
    }
    for y in y0..=y1 {
        painter.line_segment([at(x0, y), at(x1, y)], stroke(y));
    }
    let ahead = at(x1, 0);
    painter.text(
        ahead,
        egui::Align2::CENTER_CENTER,
        "ahead",
        super::plain(10.5),
        p.dim,
    );
}
