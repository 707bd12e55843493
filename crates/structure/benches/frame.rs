//! Times of a frame. For comparison, on the machine of the first measurement: scipy's sparse solver (SuperLU) alone 3 ms
//! for 320 nodes and 18 ms for 1,500; PyNite from its model to the answer 190 ms and 2.6 s. `tests/oracles/frames.py` measures them.
#![allow(clippy::unwrap_used, clippy::expect_used, missing_docs)]

#[path = "../tests/common/mod.rs"]
#[allow(dead_code, reason = "shared with the tests")]
mod common;

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use structure::brace::{Candidate, rank_braces};
use structure::rig::{self, Rig};
use structure::sensitivity::by_tube;
use structure::{Material, Symbolic};

fn frames(c: &mut Criterion) {
    for (stations, mark) in [(5, "332 nodes"), (20, "1,472 nodes")] {
        let frame = common::box_frame(stations, 7);
        let test = common::box_twist(stations);
        c.bench_function(&format!("{mark}: lay out, assemble, factor, twist"), |b| {
            b.iter(|| rig::run(black_box(&frame), test).unwrap());
        });
        c.bench_function(&format!("{mark}: the same and all sensitivities"), |b| {
            b.iter(|| {
                let tested = rig::run(black_box(&frame), test).unwrap();
                by_tube(&frame, &tested).unwrap()
            });
        });
        let mut kept = Rig::new(&frame, test).unwrap();
        let mut dragged = frame.clone();
        c.bench_function(&format!("{mark}: a node dragged, structure kept"), |b| {
            b.iter(|| {
                dragged.nodes[6].x += 1e-6;
                kept.run(black_box(&dragged)).unwrap()
            });
        });
        let symbolic = Symbolic::new(&frame, &test.supports()).unwrap();
        c.bench_function(
            &format!("{mark}: assemble and factor, structure kept"),
            |b| {
                b.iter(|| symbolic.factor(black_box(&frame)).unwrap());
            },
        );
    }
    let frame = common::box_frame(5, 7);
    let tested = rig::run(&frame, common::box_twist(5)).unwrap();
    let candidates: Vec<Candidate> = (0..20)
        .flat_map(|i| {
            (0..i).map(move |j| Candidate {
                i,
                j,
                section: common::tube(),
                material: Material::STEEL,
            })
        })
        .collect();
    c.bench_function("332 nodes: 190 braces ranked", |b| {
        b.iter(|| rank_braces(black_box(&tested), &candidates));
    });
}

criterion_group! {
    name = benches;
    config = Criterion::default().sample_size(20);
    targets = frames
}
criterion_main!(benches);
