//! One reading taken in and the advice after it: what a screen asks for at every edit.
//!
//! A screen may replay a whole job at every frame if this stays well under a millisecond.
#![allow(clippy::unwrap_used, missing_docs)]

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use weld::beads::{BeadSettings, Job, Plan, Reading};

fn benches(c: &mut Criterion) {
    let job = Job {
        target: 0.815,
        tolerance: 0.001,
        first_reading: 0.8192,
        reading_sd: 0.000_15,
        per_bead: 0.000_85,
        settings: BeadSettings::DEFAULT,
    };
    let readings = [
        (1, 0.8186),
        (1, 0.8180),
        (2, 0.8171),
        (1, 0.8166),
        (1, 0.8161),
    ]
    .map(|(beads, measured)| Reading { beads, measured });
    let plan = Plan::after(&job, &readings).unwrap();
    c.bench_function("bead advice", |b| b.iter(|| black_box(&plan).next()));
    c.bench_function("bead job of five readings and advice", |b| {
        b.iter(|| {
            let plan = Plan::after(black_box(&job), black_box(&readings)).unwrap();
            (plan.next(), plan.forecast(10))
        });
    });
}

criterion_group!(group, benches);
criterion_main!(group);
