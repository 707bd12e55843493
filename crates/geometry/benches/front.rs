//! Time of all front curves: both corners over 41 travels × 21 rack positions.
#![allow(clippy::unwrap_used, clippy::expect_used, missing_docs)]

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use geometry::Point3;
use geometry::front::{DrawnCorner, Front, Side, TieRod, Wishbone};

fn drawn() -> DrawnCorner {
    let arm = |front, rear, ball| Wishbone {
        front: Point3::from(front),
        rear: Point3::from(rear),
        ball: Point3::from(ball),
        front_length: None,
        rear_length: None,
    };
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

fn front(c: &mut Criterion) {
    let symmetric = Front::symmetric(&drawn()).unwrap();
    let other = DrawnCorner {
        camber: -0.011,
        ..drawn().mirrored()
    };
    let unequal = Front {
        left: symmetric.left,
        right: other.assemble().unwrap(),
    };
    let travels: Vec<f64> = (-20..=20).map(|i| 3e-3 * f64::from(i)).collect();
    let racks: Vec<f64> = (-10..=10).map(|i| 6e-3 * f64::from(i)).collect();
    for (name, front) in [("mirrored sides", &symmetric), ("unequal sides", &unequal)] {
        let grid = front.grid(&travels, &racks).unwrap();
        assert!(grid.left.iter().chain(&grid.right).all(Result::is_ok));
        c.bench_function(&format!("front curves 41 x 21, {name}"), |b| {
            b.iter(|| black_box(front).grid(&travels, &racks).unwrap());
        });
    }
    c.bench_function("one front state from design", |b| {
        b.iter(|| black_box(&symmetric.left).state(0.04, 0.02).unwrap());
    });
    let at = symmetric.left.position(0.03, 0.0).unwrap();
    c.bench_function("front figures at a known pose", |b| {
        b.iter(|| {
            black_box(&symmetric.left)
                .state_at(black_box(&at), 0.0)
                .unwrap()
        });
    });
}

criterion_group!(benches, front);
criterion_main!(benches);
