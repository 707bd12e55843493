//! A view with an edge: lines are cut at it, and words are put where nothing else is.

use crate::canvas::{Canvas, View};
use crate::check::extent;
use crate::page::{Dash, Ink, Item, Pen, Pt, Text, pt};

/// Links.
pub(super) const LINK: Pen = Pen::new(0.8, Ink::Ink);
/// What is there for orientation: tyres, housing, rails.
pub(super) const CAR: Pen = Pen::new(0.25, Ink::Dim);
/// Plates.
pub(super) const PLATE: Pen = Pen::new(0.35, Ink::Ink);
/// Plates beyond the centreline, and links of the right side where they differ.
pub(super) const BEYOND: Pen = Pen::new(0.3, Ink::Ink).dashed(Dash::Fine);
/// Size of a bracket's letter, points.
pub(super) const SIZE_LETTER: f64 = 12.0;
/// Size of words in a drawing, points.
pub(super) const SIZE_WORD: f64 = 9.0;

/// A view into a paper rectangle.
pub(crate) struct Area {
    pub(crate) view: View,
    /// Left, top, right, bottom, mm.
    pub(crate) edge: [f64; 4],
}

impl Area {
    /// Shows the model box `[along0, up0, along1, up1]`, m, in the rectangle `[left, top, right, bottom]`, mm.
    pub(super) fn fit(model: [f64; 4], edge: [f64; 4]) -> Self {
        let paper = [edge[0], edge[1], edge[2] - edge[0], edge[3] - edge[1]];
        Self {
            view: View::fit(model, paper, false),
            edge,
        }
    }

    /// The model polyline cut at the edge, drawn.
    pub(crate) fn polyline(&self, c: &mut Canvas, points: &[(f64, f64)], pen: Pen) {
        let mut piece: Vec<Pt> = Vec::new();
        for pair in points.windows(2) {
            let (a, b) = (
                self.view.at(pair[0].0, pair[0].1),
                self.view.at(pair[1].0, pair[1].1),
            );
            let Some((p, q)) = cut(a, b, self.edge) else {
                continue;
            };
            if piece.last().is_none_or(|l| far(*l, p)) {
                if piece.len() > 1 {
                    c.polyline(std::mem::take(&mut piece), pen);
                }
                piece = vec![p];
            }
            piece.push(q);
        }
        if piece.len() > 1 {
            c.polyline(piece, pen);
        }
    }

    /// The model line cut at the edge, drawn.
    pub(crate) fn line(&self, c: &mut Canvas, a: (f64, f64), b: (f64, f64), pen: Pen) {
        self.polyline(c, &[a, b], pen);
    }

    /// Where the edge of the view is in the model: along0, up0, along1, up1, m.
    pub(super) fn model(&self) -> [f64; 4] {
        let s = self.view.mm_per_m;
        let [l, t, r, b] = self.edge;
        [
            (l - self.view.origin.x) / s,
            (self.view.origin.y - b) / s,
            (r - self.view.origin.x) / s,
            (self.view.origin.y - t) / s,
        ]
    }
}

fn far(a: Pt, b: Pt) -> bool {
    (a.x - b.x).hypot(a.y - b.y) > 1e-6
}

/// The part of a line inside a box (Liang and Barsky 1984, from memory).
fn cut(a: Pt, b: Pt, [l, t, r, bottom]: [f64; 4]) -> Option<(Pt, Pt)> {
    let (dx, dy) = (b.x - a.x, b.y - a.y);
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    for (p, q) in [
        (-dx, a.x - l),
        (dx, r - a.x),
        (-dy, a.y - t),
        (dy, bottom - a.y),
    ] {
        if p == 0.0 {
            if q < 0.0 {
                return None;
            }
        } else if p < 0.0 {
            from = from.max(q / p);
        } else {
            to = to.min(q / p);
        }
    }
    let at = |k: f64| pt(a.x + k * dx, a.y + k * dy);
    (from < to).then(|| (at(from), at(to)))
}

/// Puts words into a drawing: never on other words, off the parts where there is room.
pub(super) struct Labels {
    words: Vec<[f64; 4]>,
    parts: Vec<(Pt, Pt)>,
}

/// Room between words, mm.
const APART: f64 = 0.8;

impl Labels {
    /// Knows the words and the lines drawn so far, except leaders and what is there for orientation.
    pub(super) fn new(c: &Canvas) -> Self {
        let mut out = Self {
            words: Vec::new(),
            parts: Vec::new(),
        };
        let part = |p: &Pen| p.width >= PLATE.width || p.dash == BEYOND.dash && p.ink == Ink::Ink;
        for item in &c.items {
            match item {
                Item::Text(_) => out.words.extend(extent(item)),
                Item::Line { from, to, pen } if part(pen) => out.parts.push((*from, *to)),
                Item::Polyline { points, pen } if part(pen) => {
                    out.parts.extend(points.windows(2).map(|w| (w[0], w[1])));
                }
                Item::Polygon {
                    points,
                    pen: Some(pen),
                    ..
                } if part(pen) => {
                    let ring = points.iter().zip(points.iter().cycle().skip(1));
                    out.parts.extend(ring.map(|(a, b)| (*a, *b)));
                }
                _ => {}
            }
        }
        out
    }

    /// Puts a text near `[left, top, right, bottom]` and within `edge`, with a thin line to it where it must
    /// stand off; leaves it out where there is no room at all.
    pub(super) fn put(&mut self, c: &mut Canvas, text: &Text, near: [f64; 4], edge: [f64; 4]) {
        self.put_at(c, text, &[near], edge);
    }

    /// As [`Labels::put`], near any of several places, the first ones rather.
    pub(super) fn put_at(
        &mut self,
        c: &mut Canvas,
        text: &Text,
        nears: &[[f64; 4]],
        edge: [f64; 4],
    ) {
        let Some([x0, y0, x1, y1]) = extent(&Item::Text(text.clone())) else {
            return;
        };
        let (w, h) = (x1 - x0, y1 - y0);
        let mut best: Option<(f64, [f64; 4], [f64; 4])> = None;
        for (place, near) in nears.iter().copied().enumerate() {
            let [l, t, r, b] = near;
            let (mx, my) = (0.5 * (l + r - w), 0.5 * (t + b - h));
            for d in [1.2, 3.0, 6.0, 9.0, 13.0, 18.0, 25.0, 34.0] {
                let (left, right, up, down) = (l - d - w, r + d, t - d - h, b + d);
                for (rank, (x, y)) in [
                    (left, t),
                    (right, t),
                    (mx, up),
                    (left, my),
                    (right, my),
                    (mx, down),
                    (left, b - h),
                    (right, b - h),
                    (left, up),
                    (right, up),
                    (left, down),
                    (right, down),
                ]
                .into_iter()
                .enumerate()
                {
                    let box_ = [x, y, x + w, y + h];
                    let inside =
                        x >= edge[0] && y >= edge[1] && x + w <= edge[2] && y + h <= edge[3];
                    let clear = self.words.iter().all(|o| !touch(*o, box_, APART));
                    let tail = tail(box_, near);
                    let tail_clear =
                        tail.is_none_or(|s| self.words.iter().all(|o| cut_grown(s, *o).is_none()));
                    if !(inside && clear && tail_clear) {
                        continue;
                    }
                    let hits = self
                        .parts
                        .iter()
                        .filter(|s| cut_grown(**s, box_).is_some())
                        .count();
                    let cost =
                        d + 0.05 * rank as f64 + 0.3 * place as f64 + 4.0 * hits.min(4) as f64;
                    if best.is_none_or(|(least, ..)| cost < least) {
                        best = Some((cost, box_, near));
                    }
                }
            }
        }
        let Some((_, box_, near)) = best else {
            return;
        };
        if let Some((a, b)) = tail(box_, near) {
            c.line(a, b, Pen::THIN);
        }
        let mut placed = text.clone();
        placed.x += box_[0] - x0;
        placed.y += box_[1] - y0;
        c.label(placed);
        self.words.push(box_);
    }
}

/// Places along a level line, from its right end to its left one, for a word beside it.
pub(super) fn along(y: f64, left: f64, right: f64) -> Vec<[f64; 4]> {
    let steps = ((right - left) / 6.0).clamp(0.0, 40.0) as u32;
    (0..=steps)
        .map(|k| right - 6.0 * f64::from(k))
        .map(|x| [x, y - 0.2, x, y + 0.2])
        .collect()
}

/// The thin line from a word that stands off to what it names.
fn tail(word: [f64; 4], near: [f64; 4]) -> Option<(Pt, Pt)> {
    let nearest = |v: f64, a: f64, b: f64| v.clamp(a.min(b), b.max(a));
    let (cx, cy) = (0.5 * (near[0] + near[2]), 0.5 * (near[1] + near[3]));
    let a = pt(
        nearest(cx, word[0] - 0.9, word[2] + 0.9),
        nearest(cy, word[1] - 0.9, word[3] + 0.9),
    );
    let b = pt(
        nearest(a.x, near[0], near[2]),
        nearest(a.y, near[1], near[3]),
    );
    ((a.x - b.x).hypot(a.y - b.y) > 2.6).then_some((a, b))
}

fn touch(a: [f64; 4], b: [f64; 4], apart: f64) -> bool {
    a[0] - apart < b[2] && b[0] - apart < a[2] && a[1] - apart < b[3] && b[1] - apart < a[3]
}

fn cut_grown((a, b): (Pt, Pt), [l, t, r, bottom]: [f64; 4]) -> Option<(Pt, Pt)> {
    cut(a, b, [l - 0.6, t - 0.6, r + 0.6, bottom + 0.6])
}
