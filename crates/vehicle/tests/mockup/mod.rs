//! An invented rear end for tests and benches: rails, tubs, lips, links, coil-overs about the tyres.

use geometry::{AssembledAxle, AxleCar, AxleLinkage};
use nalgebra::{Point3, Vector3};
use vehicle::packaging::{Attached, BarEnd, Envelope, Obstacle, TyreShape, WheelTravel};

use crate::common::Drawn;

pub const BUMP: f64 = 0.08;
pub const DROOP: f64 = 0.07;
pub const TRACK: f64 = 1.46;
pub const TYRE: TyreShape = TyreShape {
    radius: 0.345,
    width: 0.285,
    shoulder_radius: 0.045,
};
pub const TRAVEL: WheelTravel = WheelTravel {
    bump: BUMP,
    droop: DROOP,
    grid: 9,
};
/// How many obstacles there are.
pub const OBSTACLES: usize = 12;

pub fn axle(drawn: &Drawn) -> AssembledAxle {
    let (car, rods, _) = drawn;
    let figures = AxleCar {
        wheelbase: car.wheelbase,
        mass: car.mass(),
        cg_height: car.cg_height(),
        loaded_radius: car.axle_height,
        rear_brake_share: 0.4,
        rear_track: car.rear_track,
    };
    AxleLinkage::drawn(&figures, rods)
        .unwrap()
        .assemble(figures)
        .unwrap()
}

/// Left then right of each: rail, tub, lip, lower link, upper link, coil-over.
pub fn obstacles() -> Vec<Obstacle> {
    let mut out = Vec::new();
    for [centre, half] in [
        [[0.1, 0.46, 0.47], [0.6, 0.03, 0.05]],
        [[0.0, 0.54, 0.80], [0.45, 0.005, 0.12]],
        [[0.0, 0.90, 0.68], [0.40, 0.004, 0.02]],
    ] {
        for side in [1.0, -1.0] {
            out.push(Obstacle::Box {
                centre: Point3::new(centre[0], side * centre[1], centre[2]),
                half,
                axes: [Vector3::x(), Vector3::y(), Vector3::z()],
                on: Attached::Frame,
            });
        }
    }
    for (frame, on_axle, radius) in [
        ([0.62, 0.42, 0.225], [0.02, 0.46, 0.2], 0.016),
        ([0.55, 0.40, 0.35], [0.01, 0.10, 0.46], 0.016),
        ([-0.08, 0.43, 0.62], [-0.11, 0.48, 0.25], 0.032),
    ] {
        for side in [1.0, -1.0] {
            let end = |p: [f64; 3], on| BarEnd {
                point: Point3::new(p[0], side * p[1], p[2]),
                on,
            };
            out.push(Obstacle::Bar {
                a: end(frame, Attached::Frame),
                b: end(on_axle, Attached::Axle),
                radius,
            });
        }
    }
    out
}

pub fn envelope(axle: &AssembledAxle, grid: usize) -> Envelope {
    Envelope::new(
        axle,
        WheelTravel { grid, ..TRAVEL },
        TRACK,
        &TYRE,
        &obstacles(),
    )
    .unwrap()
}
