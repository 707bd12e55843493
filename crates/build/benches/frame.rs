//! The frame's study while a node is dragged.
#![allow(clippy::unwrap_used, missing_docs)]

use std::hint::black_box;
use std::path::Path;

use build::{Build, Deriver, Place, file};
use criterion::{Criterion, criterion_group, criterion_main};

fn sample() -> Build {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples/redshank.ron");
    file::load(&path).unwrap()
}

fn frame(c: &mut Criterion) {
    // All of a derive but for the frame's own node: what else the node moves is in it.
    c.bench_function("drag of a hoop node, 28 tubes", |bench| {
        let mut b = sample();
        let mut deriver = Deriver::default();
        deriver.derive(&b);
        let at = b
            .assembly
            .nodes
            .iter()
            .position(|n| n.id == "hoop_top_l")
            .unwrap();
        let [x, y, z] = b.assembly.nodes[at].at.si();
        let mut step = 0_u32;
        bench.iter(|| {
            step = (step + 1) % 7;
            b.assembly.nodes[at].at = Place::from_si([x + 0.001 * f64::from(step), y, z]);
            black_box(deriver.derive(&b))
        });
    });
    // Only the frame's test changes: the frame's study alone.
    c.bench_function("frame study of redshank", |bench| {
        let mut b = sample();
        let mut deriver = Deriver::default();
        deriver.derive(&b);
        let mut step = 0_u32;
        bench.iter(|| {
            step = (step + 1) % 7;
            b.frame_test.torque = units::Torque::from_si(1000.0 + f64::from(step));
            black_box(deriver.derive(&b))
        });
    });
    c.bench_function("best places for a brace, redshank", |bench| {
        let b = sample();
        bench.iter(|| black_box(build::derive(&b).frame.braces().map(|l| l.looked_at).ok()));
    });
}

criterion_group!(benches, frame);
criterion_main!(benches);
