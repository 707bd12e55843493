//! Times of the launch balance, against one dense 9 × 9 factorisation as a yardstick.
#![allow(clippy::unwrap_used, clippy::expect_used, missing_docs)]

#[path = "../tests/common/mod.rs"]
#[allow(dead_code, reason = "shared with the tests")]
mod common;

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use nalgebra::{SMatrix, SVector};
use vehicle::STANDARD_GRAVITY as G;
use vehicle::launch::{LaunchModel, Manoeuvre};

fn launch(c: &mut Criterion) {
    let (car, rods, coilovers) = common::five_rods();
    let model = || LaunchModel::drawn(&car, &rods, &coilovers).unwrap();
    let settled = model().settle().unwrap();
    let near = settled.balance(0.48 * G).unwrap();
    let mut dragged = rods.clone();
    dragged[0].frame_point.z += 0.0005;
    let moved = LaunchModel::drawn(&car, &dragged, &coilovers)
        .unwrap()
        .settle()
        .unwrap();
    c.bench_function("warm balance: 0.48 g to 0.5 g", |b| {
        b.iter(|| settled.balance_from(black_box(&near), 0.5 * G).unwrap());
    });
    c.bench_function("warm balance: a mount moved by half a millimetre", |b| {
        b.iter(|| moved.balance_near(black_box(&near)).unwrap());
    });
    c.bench_function("cold: settle from the drawing and balance at 0.5 g", |b| {
        b.iter(|| model().settle().unwrap().balance(0.5 * G).unwrap());
    });
    let curve: Vec<f64> = (0..21).map(|i| 0.05 * f64::from(i) * G).collect();
    c.bench_function("21-point launch curve, 0 to 1 g", |b| {
        b.iter(|| black_box(&settled).curve(&curve));
    });
    c.bench_function("largest acceleration with a balance", |b| {
        b.iter(|| black_box(&settled).limit(Manoeuvre::Drive).unwrap());
    });
    c.bench_function("traction limit", |b| {
        b.iter(|| black_box(&settled).traction_limit(0.9).unwrap());
    });
    let m = SMatrix::<f64, 9, 9>::from_fn(|i, j| {
        if i == j {
            5.0
        } else {
            1.0 / (1 + i + 2 * j) as f64
        }
    });
    let r = SVector::<f64, 9>::from_fn(|i, _| i as f64);
    c.bench_function("baseline: dense 9x9 LU solve (nalgebra)", |b| {
        b.iter(|| black_box(m).lu().solve(black_box(&r)).unwrap());
    });
}

criterion_group!(benches, launch);
criterion_main!(benches);
