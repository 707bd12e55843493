//! Finds room for numbers near what they number, so that no two touch.

use crate::page::{Pt, pt};

/// A point or direction of the model: x forward, y left, z up, m.
pub(crate) type V3 = [f64; 3];

/// Boxes, leaders and outlines a new number keeps clear of.
#[derive(Debug, Default)]
pub(crate) struct Room {
    /// Left, top, right, bottom: no number may stand outside, mm.
    area: [f64; 4],
    boxes: Vec<[f64; 4]>,
    leaders: Vec<[Pt; 2]>,
    outlines: Vec<[Pt; 2]>,
    dots: Vec<Pt>,
}

/// Between two numbers, mm.
const AIR: f64 = 0.8;
/// More pairs of outline and number than this are not looked at.
const MOST: usize = 400_000;

impl Room {
    pub(crate) fn new(area: [f64; 4]) -> Self {
        Self {
            area,
            ..Self::default()
        }
    }

    pub(crate) fn outline(&mut self, points: &[Pt]) {
        let n = points.len();
        self.outlines
            .extend((0..n).map(|k| [points[k], points[(k + 1) % n]]));
    }

    pub(crate) fn dot(&mut self, at: Pt) {
        self.dots.push(at);
    }

    fn free(&self, b: &[f64; 4]) -> bool {
        let inside = b[0] >= self.area[0]
            && b[1] >= self.area[1]
            && b[2] <= self.area[2]
            && b[3] <= self.area[3];
        inside
            && self.boxes.iter().all(|o| {
                b[2] + AIR <= o[0] || o[2] + AIR <= b[0] || b[3] + AIR <= o[1] || o[3] + AIR <= b[1]
            })
    }

    /// Centre for a number `w` by `h` mm that belongs to `at`; `None` where there is no room near it.
    pub(crate) fn near(&mut self, at: Pt, w: f64, h: f64, count: usize) -> Option<Pt> {
        const ANGLES: usize = 24;
        let looks = count * ANGLES * 9 * self.outlines.len() <= MOST * 24;
        let mut best: Option<(f64, Pt)> = None;
        for ring in 0..10 {
            let r = 5.5 + 2.6 * f64::from(ring);
            // Nothing farther out can win any more.
            if best.is_some_and(|(cost, _)| cost < r) {
                break;
            }
            for k in 0..ANGLES {
                let a = (k as f64 + 0.5) * std::f64::consts::TAU / ANGLES as f64;
                let c = pt(at.x + (r + 0.5 * (w - h)) * a.cos(), at.y - r * a.sin());
                let b = around(c, w, h);
                if !self.free(&b) {
                    continue;
                }
                let leader = [at, c];
                let mut cost = r;
                for l in &self.leaders {
                    if cross(leader, *l) {
                        cost += 14.0;
                    }
                    if cuts(*l, &b) {
                        cost += 18.0;
                    }
                }
                for o in &self.boxes {
                    if cuts(leader, o) {
                        cost += 18.0;
                    }
                }
                for d in &self.dots {
                    if inside(*d, &b) {
                        cost += 9.0;
                    }
                }
                if looks && cost < best.map_or(f64::MAX, |(c, _)| c) {
                    let hits = self.outlines.iter().filter(|e| cuts(**e, &b)).count();
                    cost += if hits > 0 { 5.0 } else { 0.0 };
                }
                if best.is_none_or(|(c, _)| cost < c - 1e-9) {
                    best = Some((cost, c));
                }
            }
        }
        let (_, c) = best?;
        self.boxes.push(around(c, w, h));
        self.leaders.push([at, c]);
        Some(c)
    }

    /// Centre for a number on a line, as near its middle as there is room.
    pub(crate) fn along(&mut self, from: Pt, to: Pt, w: f64, h: f64) -> Option<Pt> {
        for share in [0.5, 0.42, 0.58, 0.34, 0.66, 0.26, 0.74, 0.18, 0.82] {
            let c = pt(
                from.x + share * (to.x - from.x),
                from.y + share * (to.y - from.y),
            );
            let b = around(c, w, h);
            if self.free(&b) {
                self.boxes.push(b);
                return Some(c);
            }
        }
        None
    }
}

pub(crate) fn around(c: Pt, w: f64, h: f64) -> [f64; 4] {
    [c.x - 0.5 * w, c.y - 0.5 * h, c.x + 0.5 * w, c.y + 0.5 * h]
}

fn inside(p: Pt, b: &[f64; 4]) -> bool {
    p.x > b[0] - 0.6 && p.x < b[2] + 0.6 && p.y > b[1] - 0.6 && p.y < b[3] + 0.6
}

fn side(o: Pt, a: Pt, b: Pt) -> f64 {
    (a.x - o.x) * (b.y - o.y) - (a.y - o.y) * (b.x - o.x)
}

/// Whether two stretches cross.
fn cross(p: [Pt; 2], q: [Pt; 2]) -> bool {
    side(p[0], p[1], q[0]) * side(p[0], p[1], q[1]) < 0.0
        && side(q[0], q[1], p[0]) * side(q[0], q[1], p[1]) < 0.0
}

/// Whether a stretch runs into a box.
fn cuts(s: [Pt; 2], b: &[f64; 4]) -> bool {
    if inside(s[0], b) || inside(s[1], b) {
        return true;
    }
    let (l, t, r, m) = (b[0], b[1], b[2], b[3]);
    cross(s, [pt(l, t), pt(r, m)]) || cross(s, [pt(r, t), pt(l, m)])
}
