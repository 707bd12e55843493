//! A bar with its pieces.

use build::Nest;
use geometry::tube::stock::CutBar;

use super::{bar, on_rack};
use crate::canvas::Canvas;
use crate::page::{Dash, Face, Ink, Pen, Text, pt};
use crate::tubework::Facts;
use crate::type_metrics::{cap_height, fit, width};

/// Height of a bar with its words, mm.
pub(super) const HEIGHT: f64 = 12.5;
/// Thickness of the strip, mm.
const THICK: f64 = 6.6;
const SIZE: f64 = 8.5;

pub(super) fn draw(c: &mut Canvas, f: &Facts<'_>, n: &Nest, k: usize, cut: &CutBar) {
    let Some((_, length)) = n.bars.get(cut.stock) else {
        return;
    };
    if *length <= 0.0 || !length.is_finite() {
        return;
    }
    // The longest bar of the section fills the width.
    let longest = n.bars.iter().map(|b| b.1).fold(*length, f64::max);
    let scale = (c.w - 0.6) / longest;
    let edge = c.w - 0.3;
    let at = |m: f64| (0.3 + scale * m).clamp(0.3, edge.max(0.3));
    let rack = if on_rack(f, n, cut.stock) {
        "from the rack"
    } else {
        "to buy"
    };
    let words = format!(
        "bar {}, {}, {rack} · {} left",
        k + 1,
        bar(f, *length),
        f.tape(cut.remnant)
    );
    c.text(Text::new(0.0, 2.6, SIZE, words).ink(Ink::Dim));
    let y = HEIGHT - THICK - 1.8;
    let base = y + 0.5 * (THICK + cap_height(SIZE));
    c.rect(
        pt(at(0.0), y),
        at(*length) - at(0.0),
        THICK,
        0.0,
        Some(Pen::THIN.dashed(Dash::Fine)),
        Some(Ink::White),
    );
    for (i, p) in cut.pieces.iter().enumerate() {
        let tube = n.tubes.get(p.piece).copied().unwrap_or(0);
        let piece = n.lengths.get(p.piece).copied().unwrap_or(0.0);
        let (x0, x1) = (at(p.start), at(p.start + piece));
        let fill = if i % 2 == 0 { Ink::Tint } else { Ink::Head };
        c.rect(
            pt(x0, y),
            x1 - x0,
            THICK,
            0.0,
            Some(Pen::OBJECT),
            Some(fill),
        );
        let room = x1 - x0 - 1.6;
        let number = f.number(tube);
        let full = format!("{number}  {}", f.tape(piece));
        let text = [full, number.clone()]
            .into_iter()
            .find(|t| width(t, Face::Bold, SIZE) <= room);
        if let Some(text) = text {
            let text = fit(&text, Face::Bold, SIZE, room);
            c.text(
                Text::new(0.5 * (x0 + x1), base, SIZE, text)
                    .bold()
                    .centred(),
            );
        }
    }
}
