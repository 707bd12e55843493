//! Times of tube work. Baselines: a cope by walking a solid from outside in and halving, as a
//! mesh-free program would; nesting by first-fit decreasing alone.
#![allow(clippy::unwrap_used, clippy::expect_used, missing_docs)]

use std::f64::consts::TAU;
use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use geometry::tube::bend::{CHORD, Centreline, Shop};
use geometry::tube::cope::{Cope, CopedTube, End, Landing, Main};
use geometry::tube::direction::Axes;
use geometry::tube::section::Section;
use geometry::tube::stock::{Stock, nest};
use geometry::{Point3, Vector3};

fn landing() -> Landing {
    Landing {
        point: Point3::new(1.4, 0.38, 0.25),
        axes: Axes::by_up_rule(&Vector3::new(0.6, -0.2, 0.7), 0.0).unwrap(),
        end: End::A,
    }
}

fn copes(c: &mut Criterion) {
    let end = landing();
    let section = Section::round(0.0381, 0.0024);
    let mains = [
        Main::through(end.point, Vector3::x(), 0.0254),
        Main::ending(end.point, Vector3::new(0.05, 0.0, 1.0), 0.019),
    ];
    for (name, mains) in [("one main", &mains[..1]), ("two mains", &mains[..])] {
        c.bench_function(&format!("cope checked and made, {name}"), |b| {
            b.iter(|| Cope::new(black_box(&section), &end, mains).unwrap());
        });
        let cope = Cope::new(&section, &end, mains).unwrap();
        c.bench_function(&format!("360 angles of a cope, {name}"), |b| {
            let angles = || (0..360).map(|i| f64::from(i) * TAU / 360.0);
            b.iter(|| angles().map(|phi| black_box(&cope).outer(phi)).sum::<f64>());
        });
        c.bench_function(&format!("long, short and square points, {name}"), |b| {
            b.iter(|| {
                (
                    cope.long_point(),
                    cope.short_point(),
                    cope.square_long_point(),
                )
            });
        });
        let tube = CopedTube {
            section: &section,
            length: 0.7,
            a: Some(&cope),
            b: None,
        };
        c.bench_function(&format!("mass of a coped tube, {name}"), |b| {
            b.iter(|| black_box(tube).mass(7850.0));
        });
    }
    // The same 360 angles by walking in from 80 mm in steps of 0.2 mm and halving 40 times.
    let u = end.inward();
    c.bench_function("baseline: 360 angles by walking a solid, one main", |b| {
        b.iter(|| {
            let mut sum = 0.0;
            for i in 0..360 {
                let phi = f64::from(i) * TAU / 360.0;
                let from = end.point + end.axes.across(phi) * 0.01905;
                let inside = |s: f64| {
                    let v = from + u * s - end.point;
                    v.y * v.y + v.z * v.z <= 0.0254 * 0.0254
                };
                let mut s = black_box(0.08);
                while s > -0.08 && !inside(s) {
                    s -= 2e-4;
                }
                let (mut low, mut high) = (s, s + 2e-4);
                for _ in 0..40 {
                    let middle = 0.5 * (low + high);
                    if inside(middle) {
                        low = middle
                    } else {
                        high = middle
                    }
                }
                sum += low;
            }
            sum
        });
    });
}

fn bends(c: &mut Criterion) {
    let points = [
        [0.0, 0.43, 0.25],
        [0.41, 0.43, 0.25],
        [0.69, 0.43, 0.55],
        [1.24, 0.38, 0.56],
        [1.6, 0.13, 0.56],
        [1.6, -0.3, 0.47],
    ]
    .map(Point3::from);
    c.bench_function("tube of four bends, marks and 5 degree chords", |b| {
        b.iter(|| {
            let tube = Centreline::new(black_box(&points), &[0.114]).unwrap();
            (tube.marks(&Shop::default()).unwrap(), tube.chords(CHORD))
        });
    });
}

fn stock(c: &mut Criterion) {
    let mixed: Vec<f64> = (0..40)
        .map(|i| 0.2 + 0.037 * f64::from((i * 17) % 41))
        .collect();
    let mut triplets = Vec::new();
    for i in 0..13 {
        let a = 2.3 + 0.05 * f64::from(i);
        let b = 1.6 + 0.01 * f64::from((i * 7) % 13);
        triplets.extend([a, b, 6.096 - a - b]);
    }
    let bar = [Stock::bought(6.096)];
    for (name, pieces, kerf) in [("mixed", mixed, 0.003), ("triplets", triplets, 0.0)] {
        c.bench_function(&format!("nest {} pieces, {name}", pieces.len()), |b| {
            b.iter(|| nest(black_box(&pieces), &bar, kerf, 0.0).unwrap());
        });
        c.bench_function(
            &format!("baseline: first-fit decreasing alone, {name}"),
            |b| {
                b.iter(|| {
                    let mut order = black_box(&pieces).clone();
                    order.sort_by(|a, b| b.total_cmp(a));
                    let mut loads: Vec<f64> = Vec::new();
                    for piece in order {
                        match loads.iter_mut().find(|l| **l + piece <= 6.096) {
                            Some(load) => *load += piece + kerf,
                            None => loads.push(piece + kerf),
                        }
                    }
                    loads.len()
                });
            },
        );
    }
}

criterion_group!(benches, copes, bends, stock);
criterion_main!(benches);
