//! The clearance envelope: twelve parts about two tyres, every pair on its own side, over both wheels' travel. Mark: 20 ms. Baseline: the
//! gaps of the grid alone, without the search.
#![allow(clippy::unwrap_used, clippy::expect_used, missing_docs)]

#[path = "../tests/common/mod.rs"]
#[allow(dead_code, reason = "shared with the tests")]
mod common;
#[path = "../tests/mockup/mod.rs"]
#[allow(dead_code, reason = "shared with the tests")]
mod mockup;

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use vehicle::brakes::{
    AxleBrakes, Brake, BrakeBalance, BrakeCar, BrakeSystem, Disc, Master, Pedal,
};
use vehicle::driveline::JointChain;
use vehicle::driveshaft::axis;

fn packaging(c: &mut Criterion) {
    let axle = mockup::axle(&common::four_rods());
    c.bench_function("clearance envelope, 24 pairs, 9 × 9 poses, refined", |b| {
        b.iter(|| {
            let envelope = mockup::envelope(black_box(&axle), 9);
            envelope.least(&envelope.tyre_pairs()).unwrap()
        });
    });
    c.bench_function("baseline: poses of the grid alone", |b| {
        b.iter(|| mockup::envelope(black_box(&axle), 9));
    });
    let envelope = mockup::envelope(&axle, 9);
    c.bench_function("baseline: gaps of the grid, no search", |b| {
        b.iter(|| {
            let mut least = f64::INFINITY;
            for pair in envelope.tyre_pairs() {
                for at in envelope.poses() {
                    let gap = envelope.gap_at(pair, &at.pose).unwrap();
                    least = least.min(gap.value().unwrap_or(f64::NEG_INFINITY));
                }
            }
            least
        });
    });
    let axes = [axis(0.05, 0.0), axis(0.01, 0.02), axis(0.06, 0.0)];
    let chain = JointChain::new(&axes, &[0.1]).unwrap();
    c.bench_function("exact motion of two joints, extremes", |b| {
        b.iter(|| black_box(&chain).range());
    });
    let disc = |area: f64, radius: f64| AxleBrakes {
        brake: Brake::Disc(Disc {
            piston_area: area,
            mu: 0.4,
            effective_radius: radius,
            threshold_pressure: 3e4,
            efficiency: 0.97,
            pad_clearance: 0.0,
            caliper_stiffness: None,
            pad_stiffness: None,
        }),
        loaded_radius: 0.32,
        valve: None,
        held: 0.0,
    };
    let system = BrakeSystem {
        car: BrakeCar {
            mass: 1400.0,
            wheelbase: 2.7,
            cg_to_front: 1.25,
            cg_height: 0.52,
        },
        pedal: Pedal {
            ratio: 6.0,
            efficiency: 0.95,
        },
        booster: None,
        master: Master::Tandem {
            bore: 0.0238,
            efficiency: 0.97,
            spring_force: 45.0,
        },
        front: disc(2.4e-3, 0.13),
        rear: disc(1.3e-3, 0.125),
    };
    c.bench_function("brake balance: nine surfaces and changes of order", |b| {
        b.iter(|| {
            let balance = BrakeBalance::new(black_box(system)).unwrap();
            let locks: Vec<_> = (1..10)
                .map(|i| balance.first_lock(0.12 * f64::from(i), 2000.0).unwrap())
                .collect();
            (locks, balance.changeovers(2000.0).unwrap())
        });
    });
}

criterion_group!(benches, packaging);
criterion_main!(benches);
