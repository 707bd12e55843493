//! Forces as arrows: along a link, up from the ground, along the floor.

use eframe::egui::{Color32, Painter, Pos2, Stroke, Vec2, pos2, vec2};

use crate::ui::bench::Bench;
use crate::ui::draw::arrow_head;

/// Length of the arrow of the car's whole weight: share of the drawing's width, and its limits, points.
const WEIGHT_SHARE: f32 = 0.14;
const WEIGHT: (f32, f32) = (60.0, 130.0);
/// Longest arrow, in weights.
const LONGEST: f64 = 1.5;
/// A force smaller than this arrow is only a dot.
const LEAST: f32 = 5.0;
const HEAD: f32 = 8.0;

/// Points per newton: one scale for every force of the drawing.
#[derive(Clone, Copy)]
pub struct Scale {
    per_newton: f64,
    longest: f64,
}

impl Scale {
    /// The scale of a car on a drawing of this width, points.
    pub fn of(bench: &Bench<'_>, width: f32) -> Self {
        let weight = bench.build.car.mass.si() * vehicle::STANDARD_GRAVITY;
        let arrow = f64::from((WEIGHT_SHARE * width).clamp(WEIGHT.0, WEIGHT.1));
        Self {
            per_newton: arrow / weight.max(1.0),
            longest: LONGEST * arrow,
        }
    }

    /// Length of a force's arrow, points, without its sense.
    pub fn length(self, newtons: f64) -> f32 {
        let l = (newtons.abs() * self.per_newton).min(self.longest);
        if l.is_finite() { l as f32 } else { 0.0 }
    }
}

/// "pull" or "push": tension is positive.
pub fn word(force: f64) -> &'static str {
    if force < 0.0 { "push" } else { "pull" }
}

/// Its colour.
pub fn colour(bench: &Bench<'_>, force: f64) -> Color32 {
    if force < 0.0 {
        bench.palette.push
    } else {
        bench.palette.pull
    }
}

/// The two arrows of a link's force, beside it. Pull: apart, single strokes. Push: at each other, double strokes.
pub fn along(
    painter: &Painter,
    ends: [Pos2; 2],
    aside: f32,
    force: f64,
    scale: Scale,
    colour: Color32,
) {
    let way = ends[1] - ends[0];
    let d = if way.length() < 1.0 {
        Vec2::X
    } else {
        way.normalized()
    };
    let n = vec2(-d.y, d.x);
    let middle = ends[0].lerp(ends[1], 0.5) + n * aside;
    let length = scale.length(force);
    if length < LEAST {
        painter.circle_filled(middle, 1.8, colour);
        return;
    }
    let head = HEAD.min(length * 0.7);
    for s in [-1.0, 1.0] {
        let (near, far) = (middle + d * (3.0 * s), middle + d * ((3.0 + length) * s));
        if force < 0.0 {
            for side in [-1.5, 1.5] {
                let off = n * side;
                painter.line_segment(
                    [near + d * (head * s) + off, far + off],
                    Stroke::new(1.2, colour),
                );
            }
            arrow_head(painter, near, near - far, head, colour);
        } else {
            painter.line_segment([near, far - d * (head * s)], Stroke::new(2.2, colour));
            arrow_head(painter, far, far - near, head, colour);
        }
    }
}

/// One arrow from `foot`.
pub fn single(painter: &Painter, foot: Pos2, way: Vec2, colour: Color32, width: f32) {
    let length = way.length();
    if length < LEAST {
        painter.circle_filled(foot, 1.8, colour);
        return;
    }
    let head = HEAD.min(length * 0.7);
    let tip = foot + way;
    painter.line_segment(
        [foot, tip - way.normalized() * head],
        Stroke::new(width, colour),
    );
    arrow_head(painter, tip, way, head, colour);
}

/// A spring between its eyes.
pub fn spring(painter: &Painter, ends: [Pos2; 2], half: f32, stroke: Stroke) {
    const TURNS: usize = 7;
    let way = ends[1] - ends[0];
    if way.length() < 2.0 {
        return;
    }
    let d = way.normalized();
    let n = vec2(-d.y, d.x) * half;
    let at = |share: f32| ends[0] + way * share;
    let mut points = vec![ends[0], at(0.16)];
    for k in 0..2 * TURNS {
        let share = 0.16 + 0.6 * (k as f32 + 0.5) / (2 * TURNS) as f32;
        points.push(at(share) + if k % 2 == 0 { n } else { -n });
    }
    points.push(at(0.76));
    points.push(ends[1]);
    painter.line(points, stroke);
}

/// A small dimension: two ticks and an arrow from the first height to the second.
pub fn dimension(painter: &Painter, x: f32, from: f32, to: f32, colour: Color32) {
    let stroke = Stroke::new(1.1, colour);
    for y in [from, to] {
        painter.hline(x - 7.0..=x + 7.0, y, stroke);
    }
    let way = to - from;
    if way.abs() > 7.0 {
        painter.vline(x, from.min(to)..=from.max(to), stroke);
        arrow_head(painter, pos2(x, to), vec2(0.0, way), 6.0, colour);
    } else if way != 0.0 {
        // Too small to hold an arrow: it points at the gap from outside.
        let foot = pos2(x, from - 12.0 * way.signum());
        painter.line_segment([foot, pos2(x, from)], stroke);
        arrow_head(painter, pos2(x, from), vec2(0.0, way), 5.0, colour);
    }
}
