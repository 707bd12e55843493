//! The circuit as boxes on two lines.

use build::{BrakeStudy, CircuitKind, CircuitPart};
use units::Shop;

use crate::canvas::Canvas;
use crate::page::{Dash, Face, Ink, Pen, Text, pt};
use crate::type_metrics::fit;

/// Height of a line, mm.
pub(super) const ROW: f64 = 24.0;
/// Height of a box, mm.
const BOX: f64 = 13.0;
const SIZE: f64 = 7.5;

pub(super) fn draw(c: &mut Canvas, s: &BrakeStudy, shop: &Shop) {
    let circuit = &s.circuit;
    let in_line = |k: CircuitKind| matches!(k, CircuitKind::FrontMaster | CircuitKind::RearMaster);
    let shared: Vec<&CircuitPart> = circuit.shared.iter().filter(|p| !in_line(p.kind)).collect();
    let lane = |master: CircuitKind, rest: &'_ [CircuitPart]| -> Vec<CircuitPart> {
        let first = circuit.shared.iter().filter(|p| p.kind == master);
        first.chain(rest).cloned().collect()
    };
    let lanes = [
        lane(CircuitKind::FrontMaster, &circuit.front),
        lane(CircuitKind::RearMaster, &circuit.rear),
    ];
    let longest = lanes.iter().map(Vec::len).max().unwrap_or(1);
    let columns = shared.len() + longest;
    let step = c.w / columns.max(1) as f64;
    let wide = (step - 3.0).clamp(2.0, 30.0);
    let x = |i: usize| step * (i as f64 + 0.5);
    let y = |row: f64| ROW * (row + 0.5);
    let middle = 0.5 * (y(0.0) + y(1.0));
    let pen = Pen::OBJECT;
    for i in 1..shared.len() {
        c.line(
            pt(x(i - 1) + 0.5 * wide, middle),
            pt(x(i) - 0.5 * wide, middle),
            pen,
        );
    }
    let fork = x(shared.len().saturating_sub(1)) + 0.5 * wide;
    let bend = fork + 0.5 * (step - wide);
    c.line(pt(fork, middle), pt(bend, middle), pen);
    let column = |i: usize, parts: usize| {
        let col = if i + 1 == parts { longest - 1 } else { i };
        x(shared.len() + col)
    };
    for (row, parts) in lanes.iter().enumerate() {
        let at = y(row as f64);
        c.line(pt(bend, middle), pt(bend, at), pen);
        let mut from = bend;
        for (i, p) in parts.iter().enumerate() {
            let centre = column(i, parts.len());
            c.line(pt(from, at), pt(centre - 0.5 * wide, at), pen);
            part(c, p, centre, at, wide, shop);
            from = centre + 0.5 * wide;
        }
    }
    for (i, p) in shared.iter().enumerate() {
        part(c, p, x(i), middle, wide, shop);
    }
    if let Some(p) = &circuit.parking {
        let at = y(2.0);
        let wheel = x(columns - 1);
        let cable = Pen::THIN.dashed(Dash::Fine);
        c.line(pt(x(0) + 0.5 * wide, at), pt(wheel, at), cable);
        c.line(pt(wheel, at), pt(wheel, y(1.0) + 0.5 * BOX), cable);
        part(c, p, x(0), at, wide, shop);
    }
}

fn part(c: &mut Canvas, p: &CircuitPart, x: f64, y: f64, wide: f64, shop: &Shop) {
    let corner = pt(x - 0.5 * wide, y - 0.5 * BOX);
    let wheel = matches!(p.kind, CircuitKind::Disc | CircuitKind::Drum);
    let valve = matches!(
        p.kind,
        CircuitKind::ResidualValve(_) | CircuitKind::ProportioningValve
    );
    let fill = if valve { Ink::Tint } else { Ink::White };
    let round = if wheel { 0.45 * BOX } else { 1.0 };
    c.rect(corner, wide, BOX, round, Some(Pen::OBJECT), Some(fill));
    let room = wide - 1.6;
    // A label of two words stands on two lines.
    let (first, second) = match p.label.split_once(' ') {
        Some((a, b)) => (a.to_owned(), b.to_owned()),
        None => (p.label.clone(), String::new()),
    };
    let lines = [
        (first, Face::Bold, -2.6),
        (second, Face::Bold, 0.5),
        (p.size.show(shop), Face::Regular, 4.2),
    ];
    for (text, face, dy) in lines {
        let text = fit(&text, face, SIZE, room);
        if !text.is_empty() {
            c.text(Text::new(x, y + dy + 0.6, SIZE, text).face(face).centred());
        }
    }
}
