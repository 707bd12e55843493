//! Which part of a wrap stands on which page.

use super::template::Template;

/// How much two neighbouring pages show of the same, m.
const OVERLAP: f64 = 0.016;
/// Edge of paper round a tile's window for its border and marks, mm.
pub(super) const EDGE: f64 = 2.0;
/// A mark stands this far from the ends of the strip it lies in, m.
const FROM_END: f64 = 0.009;

/// A cross on two neighbouring pages.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Register {
    /// In the wrap's plane, m.
    pub(super) at: [f64; 2],
    pub(super) name: String,
}

/// One page's part of a wrap.
#[derive(Debug, Clone)]
pub(super) struct Tile {
    /// In the wrap's plane, m: left, low, right, high.
    pub(super) window: [f64; 4],
    /// Column and row, from the left and from the top.
    pub(super) place: [usize; 2],
    pub(super) of: [usize; 2],
    pub(super) registers: Vec<Register>,
}

impl Tile {
    /// Width and height of its drawing, mm.
    pub(super) fn size(&self) -> (f64, f64) {
        let [l, b, r, t] = self.window;
        (1000.0 * (r - l) + 2.0 * EDGE, 1000.0 * (t - b) + 2.0 * EDGE)
    }

    pub(super) fn note(&self, t: &Template, count: usize) -> String {
        if count == 1 {
            return format!("true size · {}", t.note);
        }
        let [col, row] = self.place;
        let across = format!("piece {} of {} across", col + 1, self.of[0]);
        let down = if self.of[1] > 1 {
            format!(", {} of {} down", row + 1, self.of[1])
        } else {
            String::new()
        };
        format!("true size · {across}{down} · {}", t.note)
    }
}

/// Pieces of a length `whole` on pages that hold `room`, both m: where each begins and ends.
fn pieces(from: f64, whole: f64, room: f64) -> Vec<[f64; 2]> {
    if whole <= room {
        return vec![[from, from + whole]];
    }
    let step = (room - OVERLAP).max(OVERLAP);
    let n = ((whole - OVERLAP) / step).ceil().clamp(2.0, 400.0);
    // All of one size.
    let size = (whole + (n - 1.0) * OVERLAP) / n;
    (0..n as usize)
        .map(|k| {
            let at = from + k as f64 * (size - OVERLAP);
            [at, at + size]
        })
        .collect()
}

/// A wrap on pages with `room` mm, across and down.
pub(super) fn tiled(t: &Template, room: (f64, f64)) -> Vec<Tile> {
    let [l, b, r, top] = t.extent();
    let inside = |mm: f64| (mm - 2.0 * EDGE).max(30.0) / 1000.0;
    let across = pieces(l, r - l, inside(room.0));
    let mut up = pieces(b, top - b, inside(room.1));
    up.reverse();
    let of = [across.len(), up.len()];
    let mut tiles = Vec::with_capacity(of[0] * of[1]);
    for (row, y) in up.iter().enumerate() {
        for (col, x) in across.iter().enumerate() {
            tiles.push(Tile {
                window: [x[0], y[0], x[1], y[1]],
                place: [col, row],
                of,
                registers: Vec::new(),
            });
        }
    }
    // Two crosses on every seam between neighbours.
    let mut number = 0;
    for k in 0..tiles.len() {
        let [col, row] = tiles[k].place;
        let right = (col + 1 < of[0]).then_some(k + 1);
        let below = (row + 1 < of[1]).then_some(k + of[0]);
        for (other, upright) in [(right, true), (below, false)] {
            let Some(o) = other else { continue };
            let (w, v) = (tiles[k].window, tiles[o].window);
            let strip = [
                w[0].max(v[0]),
                w[1].max(v[1]),
                w[2].min(v[2]),
                w[3].min(v[3]),
            ];
            let mid = [0.5 * (strip[0] + strip[2]), 0.5 * (strip[1] + strip[3])];
            let ends = if upright {
                [[mid[0], strip[3] - FROM_END], [mid[0], strip[1] + FROM_END]]
            } else {
                [[strip[0] + FROM_END, mid[1]], [strip[2] - FROM_END, mid[1]]]
            };
            for at in ends {
                number += 1;
                let name = format!("R{number}");
                for i in [k, o] {
                    tiles[i].registers.push(Register {
                        at,
                        name: name.clone(),
                    });
                }
            }
        }
    }
    tiles
}

#[cfg(test)]
mod tests {
    use super::{OVERLAP, pieces};

    #[test]
    fn pieces_cover_the_whole_and_fit_the_page() {
        for (whole, room) in [
            (0.1, 0.18),
            (0.18, 0.18),
            (0.181, 0.18),
            (0.9, 0.18),
            (3.0, 0.05),
        ] {
            let p = pieces(-0.02, whole, room);
            assert!((p[0][0] + 0.02).abs() < 1e-12);
            let last = p[p.len() - 1][1];
            assert!((last - (whole - 0.02)).abs() < 1e-12, "{last}");
            for q in &p {
                assert!(q[1] - q[0] <= room + 1e-12, "{whole} {room}: {q:?}");
            }
            for q in p.windows(2) {
                assert!((q[0][1] - q[1][0] - OVERLAP).abs() < 1e-12);
            }
        }
    }
}
