//! The front end against exact constructions, closed forms, differences and laws.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod constructions;
mod laws;

use geometry::Point3;
use geometry::front::{DrawnCorner, Side, TieRod, Wishbone};

pub fn arm(front: [f64; 3], rear: [f64; 3], ball: [f64; 3]) -> Wishbone {
    Wishbone {
        front: Point3::from(front),
        rear: Point3::from(rear),
        ball: Point3::from(ball),
        front_length: None,
        rear_length: None,
    }
}

/// An invented corner with nothing special about it.
pub fn usual() -> DrawnCorner {
    DrawnCorner {
        side: Side::Left,
        wheel_centre: Point3::new(2.71, 0.74, 0.31),
        loaded_radius: 0.31,
        camber: -0.012,
        toe_in: 0.001,
        lower: arm([2.87, 0.33, 0.2], [2.56, 0.33, 0.192], [2.715, 0.68, 0.186]),
        upper: arm([2.8, 0.42, 0.45], [2.58, 0.42, 0.438], [2.685, 0.63, 0.465]),
        tie_rod: TieRod {
            inner: Point3::new(2.57, 0.34, 0.232),
            outer: Point3::new(2.585, 0.66, 0.229),
            length: None,
        },
    }
}
