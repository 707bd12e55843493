//! Invented cars for the tests.

use geometry::{AssembledAxle, AxleCar, AxleLinkage, DrawnRod};
use nalgebra::Point3;

pub fn car() -> AxleCar {
    AxleCar {
        wheelbase: 2.7,
        mass: 1350.0,
        cg_height: 0.51,
        loaded_radius: 0.33,
        rear_brake_share: 0.4,
        rear_track: 1.46,
    }
}

pub fn rod(a: [f64; 3], b: [f64; 3]) -> DrawnRod {
    DrawnRod {
        frame_point: Point3::from(a),
        housing_point: Point3::from(b),
        length: None,
        stiffness: Some(3.0e7),
    }
}

/// A link on each side, mirrored.
pub fn pair(a: [f64; 3], b: [f64; 3]) -> [DrawnRod; 2] {
    [rod(a, b), rod([a[0], -a[1], a[2]], [b[0], -b[1], b[2]])]
}

/// Lower pair, upper pair, lateral bar (if any).
pub fn build(
    lower: [DrawnRod; 2],
    upper: [DrawnRod; 2],
    lateral: Option<DrawnRod>,
) -> AssembledAxle {
    let rods: Vec<DrawnRod> = lower.into_iter().chain(upper).chain(lateral).collect();
    assemble(&car(), &rods)
}

pub fn assemble(car: &AxleCar, rods: &[DrawnRod]) -> AssembledAxle {
    AxleLinkage::drawn(car, rods)
        .unwrap()
        .assemble(*car)
        .unwrap()
}

/// A level lateral bar behind the axle.
pub fn level_bar() -> DrawnRod {
    rod([-0.14, -0.38, 0.33], [-0.14, 0.36, 0.33])
}
