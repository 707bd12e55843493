//! Invented cars for tests and benches.

use geometry::DrawnRod;
use nalgebra::Point3;
use vehicle::launch::{Differential, DrawnCoilover, LaunchCar, ShaftTorque};

pub type Drawn = (LaunchCar, Vec<DrawnRod>, Vec<DrawnCoilover>);

pub fn car() -> LaunchCar {
    LaunchCar {
        wheelbase: 2.7,
        sprung_mass: 1180.0,
        sprung_cg: Point3::new(1.38, 0.0, 0.54),
        axle_mass: 150.0,
        axle_cg: Point3::new(0.015, 0.0, 0.335),
        axle_height: 0.33,
        rear_track: 1.46,
        front_track: 1.49,
        front_hub_height: 0.31,
        front_rate: 26_000.0,
        front_free_height: 0.427,
        front_curve: None,
        tyre_rate: 220_000.0,
        tyre_free_radius: 0.3465,
        final_drive: 3.9,
        differential: Differential::Open,
        shaft_torque: ShaftTorque::Usual,
        front_roll_stiffness: 0.0,
        rear_roll_stiffness: 0.0,
    }
}

pub fn rod(a: [f64; 3], b: [f64; 3]) -> DrawnRod {
    DrawnRod {
        frame_point: Point3::from(a),
        housing_point: Point3::from(b),
        length: None,
        stiffness: Some(3.5e7),
    }
}

/// A rod on each side, mirrored: left, right.
pub fn pair(a: [f64; 3], b: [f64; 3]) -> [DrawnRod; 2] {
    [rod(a, b), rod([a[0], -a[1], a[2]], [b[0], -b[1], b[2]])]
}

pub fn coilovers(rate: f64, free_length: f64) -> Vec<DrawnCoilover> {
    [1.0, -1.0]
        .map(|s| DrawnCoilover {
            frame_point: Point3::new(-0.08, 0.43 * s, 0.62),
            housing_point: Point3::new(-0.11, 0.48 * s, 0.25),
            rate,
            free_length,
        })
        .to_vec()
}

/// Triangulated upper links: no lateral bar, no bind, symmetric.
pub fn four_rods() -> Drawn {
    let mut rods = pair([0.62, 0.42, 0.225], [0.02, 0.46, 0.2]).to_vec();
    rods.extend(pair([0.55, 0.4, 0.35], [0.01, 0.1, 0.46]));
    (car(), rods, coilovers(34_000.0, 0.456))
}

/// Parallel links with a lateral bar.
pub fn five_rods() -> Drawn {
    let mut rods = pair([0.64, 0.41, 0.228], [0.02, 0.41, 0.2]).to_vec();
    rods.extend(pair([0.58, 0.4, 0.355], [0.01, 0.4, 0.465]));
    rods.push(rod([-0.15, -0.37, 0.33], [-0.15, 0.36, 0.33]));
    (car(), rods, coilovers(34_000.0, 0.456))
}

/// The car in a mirror: left is right, and the engine turns the other way.
pub fn mirrored(drawn: &Drawn) -> Drawn {
    let flip = |p: Point3<f64>| Point3::new(p.x, -p.y, p.z);
    let (mut car, mut rods, mut coils) = drawn.clone();
    car.sprung_cg = flip(car.sprung_cg);
    car.axle_cg = flip(car.axle_cg);
    car.shaft_torque = match car.shaft_torque {
        ShaftTorque::Usual => ShaftTorque::Reversed,
        ShaftTorque::Reversed => ShaftTorque::Usual,
        ShaftTorque::Off => ShaftTorque::Off,
    };
    for r in &mut rods {
        r.frame_point = flip(r.frame_point);
        r.housing_point = flip(r.housing_point);
    }
    for c in &mut coils {
        c.frame_point = flip(c.frame_point);
        c.housing_point = flip(c.housing_point);
    }
    (car, rods, coils)
}
