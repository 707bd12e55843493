//! The outline of a bracket's plate round its holes.
//!
//! The build says how wide the plate is across the row. Along the row it is drawn half that past the end
//! holes; a list of holes gets an upright plate round all of them.

use build::{Bracket, Holes};

/// A plate's rectangle, across and along its row of holes, m from hole 1.
pub(crate) struct Shape {
    /// Across: least, greatest; along: least, greatest.
    pub(crate) across: [f64; 2],
    pub(crate) along: [f64; 2],
    /// Radius of the corners.
    pub(crate) radius: f64,
    sin: f64,
    cos: f64,
}

impl Shape {
    /// Ahead of and up from hole 1, of a place across and along the row.
    pub(crate) fn place(&self, across: f64, along: f64) -> (f64, f64) {
        (
            across * self.cos + along * self.sin,
            along * self.cos - across * self.sin,
        )
    }

    /// Across and along the row, of a place ahead of and up from hole 1.
    pub(crate) fn own(&self, (x, z): (f64, f64)) -> (f64, f64) {
        (x * self.cos - z * self.sin, x * self.sin + z * self.cos)
    }
}

/// The plate of a bracket.
pub(crate) fn shape(bracket: &Bracket) -> Shape {
    let half = 0.5 * bracket.plate_width.si();
    let (sin, cos) = match &bracket.holes {
        Holes::Row { lean, .. } => lean.si().sin_cos(),
        Holes::List(_) => (0.0, 1.0),
    };
    let mut shape = Shape {
        across: [0.0; 2],
        along: [0.0; 2],
        radius: (0.2 * half).min(0.004),
        sin,
        cos,
    };
    for shift in (1..=bracket.hole_count()).filter_map(|n| bracket.hole_shift(n)) {
        let (across, along) = shape.own(shift);
        shape.across = [shape.across[0].min(across), shape.across[1].max(across)];
        shape.along = [shape.along[0].min(along), shape.along[1].max(along)];
    }
    let grow = |[low, high]: [f64; 2]| [low - half, high + half];
    shape.across = grow(shape.across);
    shape.along = grow(shape.along);
    shape
}

/// Corners of the plate in the side view, m ahead of and up from hole 1, with rounded corners.
pub(crate) fn outline(bracket: &Bracket) -> Vec<(f64, f64)> {
    let s = shape(bracket);
    let ([a0, a1], [b0, b1], r) = (s.across, s.along, s.radius);
    let corners = [
        (a1 - r, b1 - r, 0.0),
        (a0 + r, b1 - r, 1.0),
        (a0 + r, b0 + r, 2.0),
        (a1 - r, b0 + r, 3.0),
    ];
    let mut out = Vec::with_capacity(24);
    for (a, b, quarter) in corners {
        for k in 0..=5 {
            let turn = (quarter + f64::from(k) / 5.0) * std::f64::consts::FRAC_PI_2;
            out.push(s.place(a + r * turn.cos(), b + r * turn.sin()));
        }
    }
    out
}

/// Extent of points: least and greatest ahead, least and greatest up.
pub(crate) fn extent(points: &[(f64, f64)]) -> [f64; 4] {
    points.iter().fold(
        [f64::MAX, f64::MIN, f64::MAX, f64::MIN],
        |[x0, x1, z0, z1], (x, z)| [x0.min(*x), x1.max(*x), z0.min(*z), z1.max(*z)],
    )
}
