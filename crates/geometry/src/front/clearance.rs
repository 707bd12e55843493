//! Gaps between the round bars of a corner: tie rod, wishbone legs, coil-over, bar link.

use nalgebra::{Point3, Vector3};

use super::arm::{Carried, Carrier};
use super::corner::{Corner, FrontRod};
use super::grid::GridCell;
use super::up_to;
use super::{FrontError, sane};
use crate::pose::Pose;

/// A round bar between two carried points.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bar {
    /// One end.
    pub from: Carried,
    /// The other.
    pub to: Carried,
    /// Radius, m, zero or more.
    pub radius: f64,
}

/// The gap between two bars in one pose.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gap {
    /// Distance of the axes less both radii, m; negative is overlap.
    pub gap: f64,
    /// Nearest point of the first bar's axis.
    pub on_first: Point3<f64>,
    /// Nearest point of the second bar's axis.
    pub on_second: Point3<f64>,
}

/// The least gap over many poses.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Closest {
    /// The gap there.
    pub gap: Gap,
    /// Wheel travel there, m.
    pub travel: f64,
    /// Rack there, m.
    pub rack: f64,
}

/// The five rods as bars of the given radii (m), in the order of [`FrontRod::ALL`].
#[must_use]
pub fn rod_bars(corner: &Corner, radii: [f64; 5]) -> [Bar; 5] {
    let (l, u, t) = (
        &corner.drawn.lower,
        &corner.drawn.upper,
        &corner.drawn.tie_rod,
    );
    let at = |carrier, point| Carried { carrier, point };
    let leg = |inner, outer| (at(Carrier::Frame, inner), at(Carrier::Knuckle, outer));
    let ends = [
        leg(l.front, l.ball),
        leg(l.rear, l.ball),
        leg(u.front, u.ball),
        leg(u.rear, u.ball),
        (at(Carrier::Rack, t.inner), at(Carrier::Knuckle, t.outer)),
    ];
    FrontRod::ALL.map(|rod| {
        let (from, to) = ends[rod.index()];
        Bar {
            from,
            to,
            radius: radii[rod.index()],
        }
    })
}

/// Nearest points of two segments (p to q, r to s). Segments of no length are points.
#[must_use]
pub fn segment_distance(
    first: [Point3<f64>; 2],
    second: [Point3<f64>; 2],
) -> (f64, Point3<f64>, Point3<f64>) {
    let (u, v) = (first[1] - first[0], second[1] - second[0]);
    let between = first[0] - second[0];
    let (a, e, b) = (u.norm_squared(), v.norm_squared(), u.dot(&v));
    let (c, f) = (u.dot(&between), v.dot(&between));
    let share = |over: f64, under: f64| {
        if under > 0.0 {
            (over / under).clamp(0.0, 1.0)
        } else {
            0.0
        }
    };
    let at = |s: f64, t: f64| (first[0] + u * s, second[0] + v * t);
    // The least over the inside and the four ends: every candidate is feasible, so none is too
    // small, and one of them is the least.
    let inside = {
        let s = share(b * f - c * e, a * e - b * b);
        let t = share(b * s + f, e);
        (share(b * t - c, a), t)
    };
    let candidates = [
        inside,
        (0.0, share(f, e)),
        (1.0, share(b + f, e)),
        (share(-c, a), 0.0),
        (share(b - c, a), 1.0),
    ];
    let mut best = (f64::INFINITY, first[0], second[0]);
    for (s, t) in candidates {
        let (p, q) = at(s, t);
        let distance = (p - q).norm();
        if distance < best.0 {
            best = (distance, p, q);
        }
    }
    best
}

impl Corner {
    /// The axis of a bar at a solved pose.
    ///
    /// # Errors
    /// [`FrontError::BadNumber`].
    pub fn bar_axis(
        &self,
        bar: &Bar,
        pose: &Pose,
        rack: f64,
    ) -> Result<[Point3<f64>; 2], FrontError> {
        Ok([
            self.carry(&bar.from, pose, rack)?,
            self.carry(&bar.to, pose, rack)?,
        ])
    }

    /// The gap between two bars at a solved pose with the rack at `rack` (m). Bars that share a
    /// joint have none to speak of: leave them out.
    ///
    /// # Errors
    /// [`FrontError::BadNumber`].
    pub fn gap(
        &self,
        first: &Bar,
        second: &Bar,
        pose: &Pose,
        rack: f64,
    ) -> Result<Gap, FrontError> {
        for bar in [first, second] {
            if !up_to(0.0, bar.radius) {
                return Err(FrontError::BadNumber {
                    what: "bar radius",
                    value: bar.radius,
                });
            }
            sane("bar radius", bar.radius)?;
        }
        let (distance, on_first, on_second) = segment_distance(
            self.bar_axis(first, pose, rack)?,
            self.bar_axis(second, pose, rack)?,
        );
        Ok(Gap {
            gap: sane("gap", distance - first.radius - second.radius)?,
            on_first,
            on_second,
        })
    }

    /// Direction from the inner to the outer end of a rod and its length at a pose.
    #[must_use]
    pub fn rod_vector(&self, rod: FrontRod, pose: &Pose, rack: f64) -> Vector3<f64> {
        let rod = &self.rods_at(rack)[rod.index()];
        pose.place(&rod.body_point) - rod.frame_point
    }
}

/// The least gap between two bars over the reached cells of a grid, with its pose; None when
/// no cell was reached.
///
/// # Errors
/// [`FrontError::BadNumber`].
pub fn closest(
    corner: &Corner,
    cells: &[GridCell],
    first: &Bar,
    second: &Bar,
) -> Result<Option<Closest>, FrontError> {
    let mut best: Option<Closest> = None;
    for state in cells.iter().filter_map(|c| c.as_ref().ok()) {
        let gap = corner.gap(first, second, &state.pose, state.rack)?;
        if best.is_none_or(|b| gap.gap < b.gap.gap) {
            best = Some(Closest {
                gap,
                travel: state.travel,
                rack: state.rack,
            });
        }
    }
    Ok(best)
}
