//! Times of the hole search over about a million combinations, and of the same judgement by
//! the full solver.
#![allow(clippy::unwrap_used, clippy::expect_used, missing_docs)]

use std::hint::black_box;
use std::sync::atomic::{AtomicBool, AtomicU64};

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use geometry::{
    AxleCar, Band, DrawnRod, Figure, Group, HoleSearch, Look, MapAxes, MapAxis, Question,
};
use nalgebra::Point3;

const CAR: AxleCar = AxleCar {
    wheelbase: 2.78,
    mass: 1480.0,
    cg_height: 0.54,
    loaded_radius: 0.34,
    rear_brake_share: 0.36,
    rear_track: 1.47,
};
const LOOK: Look = Look {
    travel: [-0.0508, 0.0508],
    roll: [-0.0349, 0.0349],
};

fn row(x: f64, y: f64, z: f64, pitch: f64, count: usize) -> Vec<Point3<f64>> {
    (0..count)
        .map(|n| Point3::new(x, y, z + pitch * n as f64))
        .collect()
}

/// Left and right free: 8 × 4 choices on each of the four links, 32⁴ = 1 048 576.
fn groups(held: bool) -> Vec<Group> {
    let mut groups = Vec::new();
    for side in [1.0, -1.0] {
        let length = |l: f64| held.then_some(l);
        groups.push(Group::single(
            &row(0.65, 0.41 * side, 0.17, 0.0127, 8),
            &row(0.02, 0.41 * side, 0.17, 0.0191, 4),
            length(0.631),
            Some(3.5e7),
        ));
        groups.push(Group::single(
            &row(0.58, 0.4 * side, 0.31, 0.0127, 8),
            &row(0.01, 0.4 * side, 0.45, 0.0191, 4),
            length(0.585),
            Some(3.5e7),
        ));
    }
    groups.push(Group::fixed(DrawnRod {
        frame_point: Point3::new(-0.15, -0.38, 0.35),
        housing_point: Point3::new(-0.15, 0.36, 0.34),
        length: None,
        stiffness: Some(3.5e7),
    }));
    groups
}

/// Bands a person would ask for; `wide` lets every combination that stands go on to the ends
/// of the ranges, the dearest question there is.
fn question(threads: usize, wide: bool) -> Question {
    let band = |figure, low: f64, high: f64, target: Option<f64>| Band {
        figure,
        low: if wide { -1e3 } else { low },
        high: if wide { 1e3 } else { high },
        target: if wide { None } else { target },
    };
    let mut bands = vec![
        band(Figure::AntiSquat, 0.8, 1.6, Some(1.15)),
        band(Figure::RollSteer, -0.12, 0.12, None),
        band(Figure::PinionChange, 0.0, 0.11, None),
        band(Figure::BindStretch, 0.0, 0.004, None),
    ];
    if !wide {
        bands.push(band(Figure::SwingArmLength, 0.9, 2.2, Some(1.4)));
        bands.push(band(Figure::SwingArmHeight, 0.15, 0.45, None));
    }
    Question {
        bands,
        keep: 2000,
        threads,
        map: Some(MapAxes {
            across: MapAxis {
                figure: Figure::AntiSquat,
                low: 0.0,
                high: 2.5,
                cells: 48,
            },
            up: MapAxis {
                figure: Figure::RollSteer,
                low: -0.2,
                high: 0.3,
                cells: 32,
            },
        }),
    }
}

fn search(c: &mut Criterion) {
    let mut group = c.benchmark_group("hole search");
    group.sample_size(20);
    for held in [false, true] {
        let search = HoleSearch::new(CAR, groups(held), LOOK).unwrap();
        let lengths = if held { "held" } else { "reset" };
        group.throughput(Throughput::Elements(search.combinations()));
        for wide in [false, true] {
            let bands = if wide {
                "everything in every band"
            } else {
                "bands"
            };
            for threads in [1, 2] {
                let question = question(threads, wide);
                let run = || {
                    let (progress, cancel) = (AtomicU64::new(0), AtomicBool::new(false));
                    search
                        .run(black_box(&question), &progress, &cancel)
                        .unwrap()
                };
                let mut best = f64::INFINITY;
                let mut outcome = None;
                for _ in 0..8 {
                    let start = std::time::Instant::now();
                    outcome = Some(run());
                    best = best.min(start.elapsed().as_secs_f64());
                }
                let o = outcome.unwrap();
                println!(
                    "{lengths} lengths, {bands}, {threads} threads: {} of {} kept, rejected {:?}, \
                     {} cannot stand, {} in full; least of 8 runs {:.3} s",
                    o.kept, o.evaluated, o.rejected, o.cannot_stand, o.solved_in_full, best
                );
                let name = format!("{lengths} lengths, {bands}, {threads} threads");
                group.bench_function(name, |b| b.iter(run));
            }
        }
        group.throughput(Throughput::Elements(1));
        let mut index = 0;
        group.bench_function(format!("{lengths} lengths, one by the full solver"), |b| {
            b.iter(|| {
                index = (index + 7919) % search.combinations();
                search.evaluate(black_box(index))
            });
        });
    }
    group.bench_function("preparation, 129 choices", |b| {
        b.iter(|| HoleSearch::new(CAR, black_box(groups(false)), LOOK).unwrap());
    });
    group.finish();
}

criterion_group!(benches, search);
criterion_main!(benches);
