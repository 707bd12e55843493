//! Times of the launch run. Baseline: the classical Runge–Kutta method with a fixed step of 1 ms on the
//! same equations (four evaluations of the right-hand side per millisecond, nothing else).
#![allow(clippy::unwrap_used, clippy::expect_used, missing_docs)]

#[path = "../tests/runner/mod.rs"]
#[allow(dead_code, reason = "shared with the tests")]
mod runner;

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use vehicle::run::{Mark, RunModel, RunSettings, Sensitivities};

fn launch_run(c: &mut Criterion) {
    let settings = RunSettings::default();
    for (name, car) in [
        ("clutch", runner::street()),
        ("converter", runner::automatic()),
    ] {
        let model = RunModel::new(&car).unwrap();
        let run = model.run(&settings).unwrap();
        c.bench_function(
            &format!(
                "{name}: whole report of a quarter mile, {} steps",
                run.steps()
            ),
            |b| {
                b.iter(|| black_box(&model).run(&settings).unwrap());
            },
        );
        c.bench_function(&format!("{name}: time slip of a quarter mile"), |b| {
            b.iter(|| black_box(&model).slip(&settings).unwrap());
        });
        c.bench_function(&format!("{name}: history of 1000 points"), |b| {
            b.iter(|| black_box(&run).history(1000).unwrap());
        });
        c.bench_function(&format!("{name}: energy"), |b| {
            b.iter(|| black_box(&run).energy().unwrap());
        });
        c.bench_function(&format!("{name}: baseline, fixed steps of 1 ms"), |b| {
            b.iter(|| black_box(&run).fixed_steps(1e-3).unwrap());
        });
        let ours = run.slip.from_first_motion[Mark::Quarter.index()];
        let theirs = run.fixed_steps(1e-3).unwrap();
        assert!((ours - theirs).abs() < 2e-3, "{ours} {theirs}");
    }
    let car = runner::street();
    c.bench_function("all sensitivities (23 runs, finer steps)", |b| {
        b.iter(|| Sensitivities::of(black_box(&car), &settings).unwrap());
    });
}

criterion_group!(benches, launch_run);
criterion_main!(benches);
