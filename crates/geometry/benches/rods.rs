//! Times of the rod solver, against one dense 6 × 6 factorisation as a yardstick.
#![allow(clippy::unwrap_used, clippy::expect_used, missing_docs)]

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use geometry::{
    AssembledAxle, AxleCar, AxleLinkage, DrawnRod, Prescribed, solve_position, solve_velocity,
};
use nalgebra::{Matrix6, Point3, Vector6};

fn axle(upper_right_hole: f64) -> AssembledAxle {
    let car = AxleCar {
        wheelbase: 2.78,
        mass: 1480.0,
        cg_height: 0.54,
        loaded_radius: 0.34,
        rear_brake_share: 0.36,
        rear_track: 1.47,
    };
    let rod = |a: [f64; 3], b: [f64; 3]| DrawnRod {
        frame_point: Point3::from(a),
        housing_point: Point3::from(b),
        length: None,
        stiffness: Some(3.5e7),
    };
    let rods = [
        rod([0.65, 0.41, 0.23], [0.02, 0.41, 0.2]),
        rod([0.65, -0.41, 0.23], [0.02, -0.41, 0.2]),
        rod([0.58, 0.4, 0.36], [0.01, 0.4, 0.47]),
        rod([0.58, -0.4, 0.36 - upper_right_hole], [0.01, -0.4, 0.47]),
        rod([-0.15, -0.38, 0.35], [-0.15, 0.36, 0.34]),
    ];
    AxleLinkage::drawn(&car, &rods)
        .unwrap()
        .assemble(car)
        .unwrap()
}

fn rods(c: &mut Criterion) {
    let square = axle(0.0);
    let bound = axle(0.025);
    for (name, axle) in [("no bind", &square), ("bind", &bound)] {
        let rods = &axle.linkage.rods;
        // One step of the 161-sample sweep over ± 3 in.
        let from = axle.position(0.03, 0.0).unwrap();
        let held = Prescribed::height_and_roll(from.pose.position.z + 0.001, 0.0);
        c.bench_function(&format!("warm position solve, 5 rods, {name}"), |b| {
            b.iter(|| solve_position(black_box(rods), &held, black_box(&from.pose)).unwrap());
        });
        c.bench_function(&format!("161-sample travel curve, {name}"), |b| {
            b.iter(|| black_box(axle).default_travel_curve().unwrap());
        });
    }
    let at = square.position(0.03, 0.0).unwrap();
    let rates = Prescribed::height_and_roll(1.0, 0.0);
    c.bench_function("velocity solve, 5 rods", |b| {
        b.iter(|| {
            solve_velocity(black_box(&square.linkage.rods), black_box(&at.pose), &rates).unwrap()
        });
    });
    c.bench_function("state of one pose", |b| {
        b.iter(|| black_box(&square).state_at(black_box(&at)).unwrap());
    });
    let m = Matrix6::from_fn(|i, j| {
        if i == j {
            3.0
        } else {
            1.0 / (1 + i + 2 * j) as f64
        }
    });
    let r = Vector6::from_fn(|i, _| i as f64);
    c.bench_function("baseline: dense 6x6 LU solve (nalgebra)", |b| {
        b.iter(|| black_box(m).lu().solve(black_box(&r)).unwrap());
    });
    c.bench_function("baseline: dense 6x6 SVD (nalgebra)", |b| {
        b.iter(|| black_box(m).svd(true, true));
    });
}

criterion_group!(benches, rods);
criterion_main!(benches);
