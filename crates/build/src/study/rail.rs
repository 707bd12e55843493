//! The frame rail as boxes, for what may touch it.

use geometry::{Point3, Vector3};

use crate::FrameRail;

/// A stretch of a rail: centre, half its edges and their directions, m.
pub(super) struct Stretch {
    pub centre: Point3<f64>,
    pub half: [f64; 3],
    pub axes: [Vector3<f64>; 3],
}

/// The left rail's stretches that stand within `reach` of a station (m), back to front.
pub(super) fn stretches(rail: &FrameRail, station: f64, reach: f64) -> Vec<Stretch> {
    let mut out = Vec::new();
    for pair in rail.line.windows(2) {
        let (x0, z0) = (pair[0].0.si(), pair[0].1.si());
        let (x1, z1) = (pair[1].0.si(), pair[1].1.si());
        let length = (x1 - x0).hypot(z1 - z0);
        let near = x1 >= station - reach && x0 <= station + reach;
        if length.is_nan() || length <= 1e-6 || !near {
            continue;
        }
        let (c, s) = ((x1 - x0) / length, (z1 - z0) / length);
        out.push(Stretch {
            // The depth is measured straight up.
            centre: Point3::new(
                0.5 * (x0 + x1),
                rail.offset.si() + 0.5 * rail.width.si(),
                0.5 * (z0 + z1 + rail.depth.si()),
            ),
            half: [
                0.5 * length,
                0.5 * rail.width.si(),
                0.5 * rail.depth.si() * c.abs(),
            ],
            axes: [
                Vector3::new(c, 0.0, s),
                Vector3::y(),
                Vector3::new(-s, 0.0, c),
            ],
        });
    }
    out
}
