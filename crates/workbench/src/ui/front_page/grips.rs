//! Which points of the front end can be taken hold of.

use build::points::{DrawnPoint, POINTS};

/// Points fixed to the frame: they stand still in every pose.
const FIXED: [&str; 6] = [
    "front_end.lower.front",
    "front_end.lower.rear",
    "front_end.upper.front",
    "front_end.upper.rear",
    "front_end.coil_over.at_frame",
    "front_end.bar.pivot",
];

/// Those that stand where they are drawn.
pub(super) fn shown(at_rest: bool) -> impl Iterator<Item = &'static DrawnPoint> {
    POINTS
        .iter()
        .filter(move |p| p.id.starts_with("front_end.") && (at_rest || FIXED.contains(&p.id)))
}
