//! What lies over the tubes: the deformed shape, loads, braces being tried, pairs of nodes, labels
//! beside coloured tubes and their scale.

use eframe::egui::{Align2, Painter, Pos2, Rect, Stroke, Vec2, pos2, vec2};

use super::super::bench::Bench;
use super::super::canvas::View;
use super::super::draw::{arrow_head, dashed, text_on};
use super::super::handles::Face;
use super::super::theme::{bold, plain};
use super::Marks;
use super::labels::Room;
use super::scene::{Scene, Solid, Space};
use super::tint::Tints;

/// The frame as it gives: its lines moved, drawn larger than true.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Shifted {
    /// Lines, build frame, m.
    pub lines: Vec<Vec<Space>>,
    /// How many times larger, in words: "deflection drawn 40 times".
    pub words: String,
}

/// A force on the frame.
#[derive(Debug, Clone, PartialEq)]
pub struct Arrow {
    /// Where it acts, build frame, m.
    pub at: Space,
    /// Direction and length it is drawn with, build frame, m.
    pub drawn: Space,
    /// What it is and how large.
    pub label: String,
    /// It is the one in hand: its label is written.
    pub chosen: bool,
}

pub(super) fn draw(
    painter: &Painter,
    bench: &Bench<'_>,
    view: &View,
    face: Face,
    marks: &Marks<'_>,
) {
    let p = bench.palette;
    let at = |x: Space| view.at(face.flat(x));
    if let Some(shape) = marks.shifted {
        for line in &shape.lines {
            let points: Vec<Pos2> = line.iter().map(|x| at(*x)).collect();
            dashed(painter, &points, Stroke::new(1.8, p.hundred), 8.0, 3.0);
        }
    }
    for (label, ends) in marks.pairs {
        let [a, b] = ends.map(at);
        dashed(painter, &[a, b], Stroke::new(1.2, p.accent), 2.0, 4.0);
        text_on(
            painter,
            a + 0.5 * (b - a),
            Align2::CENTER_CENTER,
            label,
            plain(10.5),
            p.accent,
            p.ground,
        );
    }
    for ends in marks.tried {
        let [a, b] = ends.map(at);
        painter.line_segment([a, b], Stroke::new(5.0, p.accent.gamma_multiply(0.35)));
        dashed(painter, &[a, b], Stroke::new(2.4, p.accent), 9.0, 4.0);
    }
    for x in marks.arrows {
        let from = at(x.at);
        let tip = at(std::array::from_fn(|k| x.at[k] + x.drawn[k]));
        let colour = if x.chosen { p.accent } else { p.pull };
        painter.line_segment([from, tip], Stroke::new(2.0, colour));
        if (tip - from).length() > 4.0 {
            arrow_head(painter, tip, tip - from, 9.0, colour);
        } else {
            // It looks at the eye.
            painter.circle_stroke(from, 5.0, Stroke::new(1.6, colour));
        }
    }
}

pub(super) fn labels(
    painter: &Painter,
    bench: &Bench<'_>,
    view: &View,
    scene: &Scene<'_>,
    marks: &Marks<'_>,
    room: &mut Room,
) {
    let p = bench.palette;
    let mut corner = view.rect.left_top() + vec2(10.0, 8.0);
    if let Some(shape) = marks.shifted.filter(|s| !s.words.is_empty()) {
        let r = text_on(
            painter,
            corner,
            Align2::LEFT_TOP,
            &shape.words,
            bold(12.0),
            p.hundred,
            p.ground,
        );
        room.keep(r.expand(2.0));
        corner.y = r.bottom() + 4.0;
    }
    if let Some(tints) = marks.tints {
        let r = scale(painter, bench, corner, view.rect, tints);
        room.keep(r);
        for s in &scene.solids {
            let Solid::Tube(x) = s else { continue };
            let Some(text) = tints.labels.get(&x.tube.id) else {
                continue;
            };
            beside(
                painter,
                bench,
                view,
                scene,
                room,
                view.at(scene.face.flat(x.middle())),
                text,
            );
        }
    }
    for x in marks.arrows {
        let from = view.at(scene.face.flat(x.at));
        let tip = view.at(scene
            .face
            .flat(std::array::from_fn(|k| x.at[k] + x.drawn[k])));
        let galley = painter.layout_no_wrap(x.label.clone(), plain(11.0), p.pull);
        if let Some(rect) = room.beside(tip, galley.size(), tip - from, 10.0) {
            painter.rect_filled(rect.expand(1.0), 2, p.ground.gamma_multiply(0.8));
            painter.galley(rect.min, galley, p.pull);
        }
    }
}

fn beside(
    painter: &Painter,
    bench: &Bench<'_>,
    view: &View,
    scene: &Scene<'_>,
    room: &mut Room,
    at: Pos2,
    text: &str,
) {
    let p = bench.palette;
    let middle = scene.bounds().map_or(view.rect.center(), |(low, high)| {
        view.at([0.5 * (low[0] + high[0]), 0.5 * (low[1] + high[1])])
    });
    let galley = painter.layout_no_wrap(text.to_owned(), plain(11.0), p.ink);
    let size = galley.size() + vec2(6.0, 2.0);
    let Some(rect) = room.beside(at, size, at - middle, 16.0) else {
        return;
    };
    let near = rect.clamp(at);
    painter.line_segment([at, near], Stroke::new(1.0, p.dim));
    painter.rect_filled(rect, 2, p.ground.gamma_multiply(0.85));
    painter.galley(rect.min + vec2(3.0, 1.0), galley, p.ink);
}

/// The scale of the colours; its place comes back.
fn scale(painter: &Painter, bench: &Bench<'_>, at: Pos2, sheet: Rect, tints: &Tints) -> Rect {
    let p = bench.palette;
    let width = 150.0_f32.min(sheet.width() - 20.0).max(40.0);
    let head = painter.layout(tints.scale[0].clone(), bold(11.5), p.ink, width + 60.0);
    let ends = [1, 2].map(|k| painter.layout_no_wrap(tints.scale[k].clone(), plain(10.5), p.dim));
    let bar = Rect::from_min_size(at + vec2(0.0, head.size().y + 3.0), vec2(width, 10.0));
    let bottom = bar.bottom() + 2.0 + ends[0].size().y;
    let wide = (width + 10.0).max(head.size().x + 10.0);
    let all = Rect::from_min_max(at - Vec2::splat(4.0), pos2(at.x + wide, bottom + 2.0));
    painter.rect_filled(all, 3, p.ground.gamma_multiply(0.85));
    painter.galley(at, head, p.ink);
    const STEPS: usize = 24;
    for k in 0..STEPS {
        let share = (k as f64 + 0.5) / STEPS as f64;
        let tint = Tints::at(p, share);
        let x = |k: usize| bar.left() + bar.width() * k as f32 / STEPS as f32;
        let patch = Rect::from_x_y_ranges(x(k)..=x(k + 1), bar.y_range());
        painter.rect_filled(patch, 0, p.faint(tint.colour, 0.75));
        // The edges' width beside the colour.
        painter.hline(
            patch.x_range(),
            bar.bottom(),
            Stroke::new(tint.wide, p.chalk),
        );
    }
    let y = bar.bottom() + 3.0;
    let [low, high] = ends;
    painter.galley(pos2(bar.left(), y), low, p.dim);
    painter.galley(pos2(bar.right() - high.size().x, y), high, p.dim);
    all
}
