//! Side-view drawing helpers: crossing of two link lines, the 100 % line.
//!
//! Points in the side view are (x, z) in sprung-mass axes, m.

use nalgebra::Point2;

use crate::axle::AxleCar;
use crate::pose::Pose;
use crate::rods::Rod;

/// Where two straight lines cross.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Crossing {
    /// At a point.
    At(Point2<f64>),
    /// Nowhere: parallel, with this direction (unit vector along the first line).
    Parallel(nalgebra::Vector2<f64>),
}

/// Crossing of the line through `a`, `b` with the line through `c`, `d`. Lines whose
/// directions differ by less than 1e-12 rad count as parallel. None when the points of
/// a line coincide or a coordinate is not finite.
#[must_use]
pub fn line_crossing_2d(
    a: Point2<f64>,
    b: Point2<f64>,
    c: Point2<f64>,
    d: Point2<f64>,
) -> Option<Crossing> {
    let first = (b - a).try_normalize(0.0)?;
    let second = (d - c).try_normalize(0.0)?;
    let sine = first.x * second.y - first.y * second.x;
    let gap = c - a;
    let along = (gap.x * second.y - gap.y * second.x) / sine;
    if !(first.x + first.y + second.x + second.y + gap.x + gap.y).is_finite() {
        None
    } else if sine.abs() < 1e-12 {
        Some(Crossing::Parallel(first))
    } else {
        Some(Crossing::At(a + first * along))
    }
}

/// Crossing of two rods projected on the side view (x, z) with the body at `pose`: for a
/// link pair that is symmetric left and right this is the instant centre; for any other
/// it is only a line to draw. None for a rod that stands square to the view.
#[must_use]
pub fn side_view_crossing(first: &Rod, second: &Rod, pose: &Pose) -> Option<Crossing> {
    let flat = |p: nalgebra::Point3<f64>| Point2::new(p.x, p.z);
    line_crossing_2d(
        flat(first.frame_point),
        flat(pose.place(&first.body_point)),
        flat(second.frame_point),
        flat(pose.place(&second.body_point)),
    )
}

/// The 100 % line with the axle at `pose`: from the contact point C to the point at CG
/// height above the front axle, the ground moving with C and h and L keeping their design
/// values. An instant centre anywhere on it gives 100 % anti-squat
/// (Gillespie, Fundamentals of Vehicle Dynamics, ch. 7: slope h/L).
#[must_use]
pub fn hundred_percent_line(car: &AxleCar, pose: &Pose) -> [Point2<f64>; 2] {
    let contact = Point2::new(pose.position.x, pose.position.z - car.loaded_radius);
    [
        contact,
        contact + nalgebra::Vector2::new(car.wheelbase, car.cg_height),
    ]
}
