//! Placement tolerance: 10,000 random builds, beside 10,000 single states of the axle.
#![allow(clippy::unwrap_used, clippy::expect_used, missing_docs)]

use std::hint::black_box;
use std::sync::atomic::{AtomicBool, AtomicU64};

use criterion::{Criterion, criterion_group, criterion_main};
use geometry::{
    AxleCar, AxleLinkage, Dimension, DrawnRod, Lengths, Placement, RodEnd, Sampling, Vector3,
};
use nalgebra::Point3;

fn tolerance(c: &mut Criterion) {
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
        stiffness: None,
    };
    let rods = [
        rod([0.65, 0.41, 0.23], [0.02, 0.41, 0.2]),
        rod([0.65, -0.41, 0.23], [0.02, -0.41, 0.2]),
        rod([0.58, 0.4, 0.36], [0.01, 0.4, 0.47]),
        rod([0.58, -0.4, 0.36], [0.01, -0.4, 0.47]),
        rod([-0.15, -0.38, 0.35], [-0.15, 0.36, 0.34]),
    ];
    let mut dimensions = Vec::new();
    for rod in 0..rods.len() {
        for end in [RodEnd::Frame, RodEnd::Housing] {
            for along in [Vector3::x(), Vector3::y(), Vector3::z()] {
                dimensions.push(Dimension {
                    moves: vec![(rod, end)],
                    along,
                    plus_minus: 1.5e-3,
                });
            }
        }
    }
    let mut group = c.benchmark_group("placement tolerance");
    group.sample_size(20);
    let (cancel, progress) = (AtomicBool::new(false), AtomicU64::new(0));
    for lengths in [Lengths::Reset, Lengths::Held] {
        let placement =
            Placement::new(&car, &rods, &dimensions, lengths, [-0.0762, 0.0762]).unwrap();
        for threads in [1, 2] {
            let sampling = Sampling {
                threads,
                ..Sampling::default()
            };
            let name = format!("10,000 samples, 30 dimensions, {lengths:?}, {threads} threads");
            group.bench_function(&name, |b| {
                b.iter(|| {
                    black_box(&placement)
                        .monte_carlo(&sampling, &cancel, &progress)
                        .unwrap()
                });
            });
        }
        group.bench_function(format!("sensitivities, 30 dimensions, {lengths:?}"), |b| {
            b.iter(|| black_box(&placement).sensitivities().unwrap());
        });
    }
    let axle = AxleLinkage::drawn(&car, &rods)
        .unwrap()
        .assemble(car)
        .unwrap();
    group.bench_function("baseline: 10,000 states at ride height", |b| {
        b.iter(|| {
            for _ in 0..10_000 {
                black_box(black_box(&axle).state_at(&axle.design).unwrap());
            }
        });
    });
    group.finish();
}

criterion_group!(benches, tolerance);
criterion_main!(benches);
