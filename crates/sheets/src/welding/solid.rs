//! Tubes and plates as outlines in one view.

use build::{Assembly, Line, Plate, Tube, TubeSection};

use super::place::V3;

/// From where the assembly is seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Eye {
    /// Left is left.
    Behind,
    /// From the right, front to the right.
    Side,
    /// Left is left, front is up.
    Above,
}

impl Eye {
    pub(crate) const fn title(self) -> &'static str {
        match self {
            Self::Behind => "from behind",
            Self::Side => "from the side, front →",
            Self::Above => "from above, front ↑",
        }
    }

    /// To the right and up, m.
    pub(crate) fn flat(self, p: V3) -> [f64; 2] {
        match self {
            Self::Behind => [-p[1], p[2]],
            Self::Side => [p[0], p[2]],
            Self::Above => [-p[1], p[0]],
        }
    }

    /// Away from the eye, m.
    pub(crate) fn depth(self, p: V3) -> f64 {
        match self {
            Self::Behind => p[0],
            Self::Side => p[1],
            Self::Above => -p[2],
        }
    }
}

/// A part as its skin: corners whose hull is the outline, or the outline itself.
#[derive(Debug, Clone)]
pub(crate) struct Solid {
    pub(crate) corners: Vec<V3>,
    /// The outline is the hull of the corners: a tube. Else the corners in order: a plate.
    pub(crate) hull: bool,
}

/// Corners round a tube's end.
const ROUND: usize = 24;
/// Nothing farther off than this is drawn, m.
const FARTHEST: f64 = 1e4;

pub(crate) fn drawable(p: V3) -> bool {
    p.iter().all(|v| v.is_finite() && v.abs() < FARTHEST)
}

fn cross(a: V3, b: V3) -> V3 {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}

impl Solid {
    pub(crate) fn tube(tube: &Tube, line: &Line) -> Option<Self> {
        let side = cross(line.along, line.up);
        let ring: Vec<(f64, f64)> = match tube.section {
            TubeSection::Round { outside, .. } => (0..ROUND)
                .map(|k| {
                    let a = k as f64 * std::f64::consts::TAU / ROUND as f64;
                    let r = 0.5 * outside.si();
                    (r * a.cos(), r * a.sin())
                })
                .collect(),
            TubeSection::Rectangular { height, width, .. } => {
                let (h, w) = (0.5 * height.si(), 0.5 * width.si());
                vec![(h, w), (h, -w), (-h, -w), (-h, w)]
            }
        };
        let corners: Vec<V3> = [line.from, line.to]
            .into_iter()
            .flat_map(|end| {
                ring.iter()
                    .map(move |(u, s)| [0, 1, 2].map(|i| end[i] + u * line.up[i] + s * side[i]))
            })
            .collect();
        corners.iter().copied().all(drawable).then_some(Self {
            corners,
            hull: true,
        })
    }

    pub(crate) fn plate(assembly: &Assembly, plate: &Plate) -> Option<Self> {
        let corners: Option<Vec<V3>> = plate
            .outline
            .iter()
            .map(|id| assembly.node(id).map(|n| n.at.si()))
            .collect();
        let corners = corners.filter(|c| c.len() >= 3)?;
        corners.iter().copied().all(drawable).then_some(Self {
            corners,
            hull: false,
        })
    }

    pub(crate) fn depth(&self, eye: Eye) -> f64 {
        let sum: f64 = self.corners.iter().map(|p| eye.depth(*p)).sum();
        sum / self.corners.len().max(1) as f64
    }

    /// Outline in a view, m.
    pub(crate) fn outline(&self, eye: Eye) -> Vec<[f64; 2]> {
        let flat: Vec<[f64; 2]> = self.corners.iter().map(|p| eye.flat(*p)).collect();
        if self.hull { hull(flat) } else { flat }
    }
}

/// Convex hull, corners in order (Andrew's monotone chain, Information Processing Letters 9, 1979, from
/// memory).
fn hull(mut points: Vec<[f64; 2]>) -> Vec<[f64; 2]> {
    points.sort_by(|a, b| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
    points.dedup();
    if points.len() < 3 {
        return points;
    }
    let turn = |o: [f64; 2], a: [f64; 2], b: [f64; 2]| {
        (a[0] - o[0]) * (b[1] - o[1]) - (a[1] - o[1]) * (b[0] - o[0])
    };
    let half = |list: &mut dyn Iterator<Item = [f64; 2]>| {
        let mut out: Vec<[f64; 2]> = Vec::new();
        for p in list {
            while out.len() >= 2 && turn(out[out.len() - 2], out[out.len() - 1], p) <= 0.0 {
                out.pop();
            }
            out.push(p);
        }
        out.pop();
        out
    };
    let mut out = half(&mut points.iter().copied());
    out.extend(half(&mut points.iter().rev().copied()));
    out
}

/// What of an outline lies in a box (Sutherland & Hodgman, Communications of the ACM 17, 1974, from memory).
pub(crate) fn clip(outline: &[[f64; 2]], window: [f64; 4]) -> Vec<[f64; 2]> {
    let mut points = outline.to_vec();
    for (axis, limit, sign) in [
        (0, window[0], 1.0),
        (0, window[2], -1.0),
        (1, window[1], 1.0),
        (1, window[3], -1.0),
    ] {
        // Rounding does not cut anything off.
        let inside = |p: [f64; 2]| sign * (p[axis] - limit) >= -1e-12;
        let mut out = Vec::with_capacity(points.len() + 2);
        for k in 0..points.len() {
            let (p, q) = (points[k], points[(k + 1) % points.len()]);
            if inside(p) {
                out.push(p);
            }
            if inside(p) != inside(q) {
                let t = (limit - p[axis]) / (q[axis] - p[axis]);
                let mut m = [p[0] + t * (q[0] - p[0]), p[1] + t * (q[1] - p[1])];
                m[axis] = limit;
                out.push(m);
            }
        }
        points = out;
    }
    points
}

/// Whether a stretch lies on the border of a box: it was cut there.
pub(crate) fn on_border(p: [f64; 2], q: [f64; 2], window: [f64; 4]) -> bool {
    [(0, 0), (0, 2), (1, 1), (1, 3)]
        .into_iter()
        .any(|(axis, side)| {
            (p[axis] - window[side]).abs() < 1e-9 && (q[axis] - window[side]).abs() < 1e-9
        })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    #[test]
    fn hull_of_a_square_with_points_inside() {
        let points = vec![
            [0.0, 0.0],
            [1.0, 0.0],
            [0.5, 0.5],
            [1.0, 1.0],
            [0.0, 1.0],
            [0.5, 0.0],
        ];
        let hull = super::hull(points);
        assert_eq!(hull, [[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]]);
    }
    #[test]
    fn clip_cuts_a_square_at_the_border() {
        let square = [[0.0, 0.0], [2.0, 0.0], [2.0, 2.0], [0.0, 2.0]];
        let cut = super::clip(&square, [1.0, -1.0, 5.0, 5.0]);
        assert_eq!(cut, [[1.0, 0.0], [2.0, 0.0], [2.0, 2.0], [1.0, 2.0]]);
        assert!(super::on_border(cut[3], cut[0], [1.0, -1.0, 5.0, 5.0]));
        assert!(!super::on_border(cut[0], cut[1], [1.0, -1.0, 5.0, 5.0]));
        assert_eq!(super::clip(&square, [-1.0, -1.0, 5.0, 5.0]), square);
        assert!(super::clip(&square, [3.0, -1.0, 5.0, 5.0]).is_empty());
    }
}
