//! The way a chosen control dimension takes, from its first end to its last, with arrows.

use build::{Leg, Part};
use eframe::egui::{Painter, Pos2, Shape, Stroke};

use super::super::bench::Bench;
use super::super::canvas::View;
use super::super::handles::Face;

/// Arrow heads are left off stretches shorter than this, points.
const SHORT: f32 = 24.0;

pub(super) fn draw(painter: &Painter, bench: &Bench<'_>, view: &View, face: Face) {
    let Some(Part::Dimension(id)) = bench.selected else {
        return;
    };
    let Some(Ok(legs)) = bench.study.weld.dimension(id).map(|d| d.way.as_ref()) else {
        return;
    };
    let node = |id: &str| {
        let at = bench.build.assembly.node(id)?.at.si();
        Some(view.at(face.flat(at)))
    };
    let colour = bench.palette.accent;
    for leg in legs {
        let Leg::Along { from, to, .. } = leg else {
            continue;
        };
        let (Some(a), Some(b)) = (node(from), node(to)) else {
            continue;
        };
        let line = Stroke::new(2.0, colour.gamma_multiply(0.85));
        painter.extend(Shape::dashed_line(&[a, b], line, 7.0, 4.0));
        arrow(painter, a, b, line);
    }
}

fn arrow(painter: &Painter, from: Pos2, to: Pos2, line: Stroke) {
    let along = to - from;
    if along.length() < SHORT {
        return;
    }
    let d = along.normalized();
    let tip = from + along * 0.5 + d * 5.0;
    let side = d.rot90() * 4.5;
    painter.line_segment([tip - d * 9.0 + side, tip], line);
    painter.line_segment([tip - d * 9.0 - side, tip], line);
}
