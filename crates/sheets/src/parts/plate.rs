//! The outline of a bracket's plate round its holes.
//!
//! The build says how wide the plate is across the row. Along the row it is drawn half that past the end
//! holes; a list of holes gets an upright plate round all of them.

use build::{Bracket, Holes};

/// Corners of the plate in the side view, m ahead of and up from hole 1, with rounded corners.
pub(crate) fn outline(bracket: &Bracket) -> Vec<(f64, f64)> {
    let half = 0.5 * bracket.plate_width.si();
    let shifts: Vec<(f64, f64)> = (1..=bracket.hole_count())
        .filter_map(|n| bracket.hole_shift(n))
        .collect();
    // Axes of the plate: across and along the row.
    let (sin, cos) = match &bracket.holes {
        Holes::Row { lean, .. } => lean.si().sin_cos(),
        Holes::List(_) => (0.0, 1.0),
    };
    let (mut a0, mut a1, mut b0, mut b1) = (0.0_f64, 0.0_f64, 0.0_f64, 0.0_f64);
    for (x, z) in shifts {
        let (across, along) = (x * cos - z * sin, x * sin + z * cos);
        (a0, a1) = (a0.min(across), a1.max(across));
        (b0, b1) = (b0.min(along), b1.max(along));
    }
    let (a0, a1, b0, b1) = (a0 - half, a1 + half, b0 - half, b1 + half);
    let r = (0.2 * half).min(0.004);
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
            let (a, b) = (a + r * turn.cos(), b + r * turn.sin());
            out.push((a * cos + b * sin, b * cos - a * sin));
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
