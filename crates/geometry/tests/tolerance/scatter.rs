//! Monte Carlo: laws of probability, counts, the same answer for a seed.

use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};

use geometry::{Lengths, Missing, PlacementError, PlacementFigure as F, RodEnd, Sampling};

use crate::common::{car, level_bar, pair};
use crate::{all_dimensions, close, crooked, dimension, placement, run, triangulated};

#[test]
fn small_tolerances_scatter_as_the_linear_model_says() {
    let samples = 20_000;
    for (rods, lengths) in [
        (crooked(), Lengths::Reset),
        (crooked(), Lengths::Held),
        (triangulated(), Lengths::Held),
    ] {
        let p = placement(&rods, &all_dimensions(rods.len(), 2e-4), lengths);
        let s = p.sensitivities().unwrap();
        let scatter = run(
            &p,
            &Sampling {
                samples,
                threads: 2,
                ..Sampling::default()
            },
        );
        assert_eq!(scatter.cannot_stand, 0);
        for figure in F::ALL {
            let linear = s.of(figure).unwrap();
            let d = scatter.of(figure);
            assert_eq!(d.with_value, samples);
            let got = d.summary.as_ref().unwrap();
            let (sd, n) = (linear.standard_deviation, samples as f64);
            if figure == F::PinionAtRide && lengths == Lengths::Reset {
                assert_eq!((sd, got.min, got.max), (0.0, 0.0, 0.0));
                continue;
            }
            assert!(!linear.bends, "{figure:?}");
            // Four standard errors of a sample sd (kurtosis at most 3) and of a mean, and half
            // a per cent of the sd for what bends.
            let bound = 4.0 / (2.0 * n).sqrt() + 0.005;
            close(got.standard_deviation / sd, 1.0, bound);
            close(got.mean, linear.nominal, sd * (4.0 / n.sqrt() + 0.005));
            close(linear.shares.iter().sum(), 1.0, 1e-12);
            let deviation = (got.max - linear.nominal).max(linear.nominal - got.min);
            assert!(deviation <= 1.001 * linear.worst_case);
            // A sum of many: near the normal law, 5 % at 1.645 sd (within 5 % of it).
            close((got.q95 - got.median) / sd, 1.645, 0.08);
            close((got.median - got.q05) / sd, 1.645, 0.08);
            let h = &got.histogram;
            assert_eq!(h.edges.len(), h.counts.len() + 1);
            assert_eq!(h.counts.iter().sum::<usize>() + h.below + h.above, samples);
        }
    }
}

#[test]
fn no_sample_leaves_the_worst_case_of_a_linear_figure() {
    // Parallel equal links keep the axle from turning: tan φ_as is their slope
    // (z_front − z_rear)/x, exactly linear in the heights of all fronts and of all rears.
    let mut rods = pair([0.6, 0.42, 0.26], [0.0, 0.42, 0.2]).to_vec();
    rods.extend(pair([0.6, 0.42, 0.51], [0.0, 0.42, 0.45]));
    rods.push(level_bar());
    let fronts: Vec<_> = (0..4).map(|r| (r, RodEnd::Frame)).collect();
    let rears: Vec<_> = (0..4).map(|r| (r, RodEnd::Housing)).collect();
    let t = [0.008, 0.012];
    let p = placement(
        &rods,
        &[
            dimension(&fronts, [0.0, 0.0, 1.0], t[0]),
            dimension(&rears, [0.0, 0.0, 1.0], t[1]),
        ],
        Lengths::Reset,
    );
    let ratio = car().cg_height / car().wheelbase;
    let s = p.sensitivities().unwrap();
    let linear = s.of(F::AntiSquat).unwrap();
    close(linear.nominal, 0.1 / ratio, 1e-12);
    close(linear.slopes[0], 1.0 / 0.6 / ratio, 1e-8);
    close(linear.slopes[1], -1.0 / 0.6 / ratio, 1e-8);
    let worst = (t[0] + t[1]) / 0.6 / ratio;
    close(linear.worst_case, worst, 1e-9);
    close(linear.shares[1], 144.0 / 208.0, 1e-8);
    assert_eq!(s.most(F::AntiSquat, 3), vec![1, 0]);
    let sampling = Sampling {
        samples: 20_000,
        ..Sampling::default()
    };
    let scatter = run(&p, &sampling);
    let got = scatter.of(F::AntiSquat).summary.as_ref().unwrap();
    let deviation = (got.max - linear.nominal).max(linear.nominal - got.min);
    assert!(deviation <= worst + 1e-12, "{deviation} {worst}");
    // Large tolerances, yet exactly linear: the sd is the linear one within sampling error.
    close(
        got.standard_deviation / linear.standard_deviation,
        1.0,
        4.0 / (2.0 * 20_000.0_f64).sqrt(),
    );
    // The corners of the two uniforms are reached: 1 - (deviation/worst) of order √(1/n).
    assert!(deviation > 0.97 * worst);
    // The instant centre is at infinity throughout.
    assert!(matches!(
        s.of(F::IcStation),
        Err(Missing::AtInfinity { slope }) if (slope - 0.1).abs() < 1e-9
    ));
    assert_eq!(scatter.of(F::IcHeight).without_value, 20_000);
    assert_eq!(scatter.of(F::IcHeight).summary, None);
    // Parallel links: no pinion change as drawn, a corner there.
    assert_eq!(s.of(F::PinionChange).map(|l| l.nominal < 1e-9), Ok(true));
}

#[test]
fn next_to_infinity_is_counted() {
    // Parallel links opened by 4 mm: q just over 0.01 rad/m.
    let mut rods = pair([0.6, 0.42, 0.26], [0.0, 0.42, 0.2]).to_vec();
    rods.extend(pair([0.6, 0.42, 0.508], [0.0, 0.42, 0.45]));
    rods.push(level_bar());
    let p = placement(&rods, &all_dimensions(5, 1.5e-3), Lengths::Reset);
    let s = p.sensitivities().unwrap();
    let linear = s.of(F::IcStation).unwrap();
    assert!(linear.bends && linear.nominal.abs() > 20.0);
    assert!(!s.of(F::AntiSquat).unwrap().bends);
    let sampling = Sampling::default().with_band(F::IcStation, f64::NEG_INFINITY, f64::INFINITY);
    let scatter = run(&p, &sampling);
    let d = scatter.of(F::IcStation);
    assert!(d.with_value > 1000 && d.without_value > 100, "{d:?}");
    assert_eq!(
        d.with_value + d.without_value + scatter.cannot_stand,
        scatter.samples
    );
    close(d.inside.unwrap(), d.with_value as f64 / 10_000.0, 1e-12);
    let got = d.summary.as_ref().unwrap();
    assert!(got.min >= -101.0 && got.max <= 101.0);
    assert_eq!(d.with_value, scatter.of(F::IcHeight).with_value);
    assert_eq!(scatter.of(F::AntiSquat).with_value, 10_000);
}

#[test]
fn bands_count_the_share_inside() {
    let p = placement(&crooked(), &all_dimensions(5, 1e-3), Lengths::Reset);
    let first = run(&p, &Sampling::default());
    let s = first.of(F::AntiSquat).summary.as_ref().unwrap();
    assert_eq!(first.of(F::AntiSquat).inside, None);
    let again = run(
        &p,
        &Sampling::default().with_band(F::AntiSquat, s.q05, s.q95),
    );
    close(again.of(F::AntiSquat).inside.unwrap(), 0.9, 2e-4);
    let whole = run(
        &p,
        &Sampling::default().with_band(F::AntiSquat, s.min, s.max),
    );
    assert_eq!(whole.of(F::AntiSquat).inside, Some(1.0));
}

#[test]
fn the_answer_does_not_depend_on_the_threads() {
    let p = placement(&crooked(), &all_dimensions(5, 2e-3), Lengths::Held);
    let sampling = |threads, seed| Sampling {
        samples: 1_111,
        seed,
        threads,
        ..Sampling::default()
    };
    let one = run(&p, &sampling(1, 7));
    for threads in [0, 2, 3, 50] {
        assert_eq!(one, run(&p, &sampling(threads, 7)));
    }
    assert_ne!(one, run(&p, &sampling(1, 8)));
    // Sample by sample the same builds, asked for one by one.
    let mut values = [f64::INFINITY, f64::NEG_INFINITY];
    let mut sum = 0.0;
    for sample in 0..1_111 {
        let errors = p.sample_errors(7, sample);
        let v = p.figures(&errors).unwrap().get(F::RollSteer).unwrap();
        values = [values[0].min(v), values[1].max(v)];
        sum += v;
    }
    let got = one.of(F::RollSteer).summary.as_ref().unwrap();
    assert_eq!([got.min, got.max], values);
    close(got.mean, sum / 1_111.0, 1e-13);
}

#[test]
fn progress_and_calling_off() {
    let p = placement(&crooked(), &all_dimensions(5, 1e-3), Lengths::Reset);
    let (cancel, progress) = (AtomicBool::new(false), AtomicU64::new(0));
    let sampling = Sampling {
        samples: 1_000,
        threads: 2,
        ..Sampling::default()
    };
    p.monte_carlo(&sampling, &cancel, &progress).unwrap();
    assert_eq!(progress.load(Ordering::Relaxed), 1_000);
    cancel.store(true, Ordering::Relaxed);
    assert_eq!(
        p.monte_carlo(&sampling, &cancel, &progress),
        Err(PlacementError::Cancelled { done: 0 })
    );
    let none = Sampling {
        samples: 0,
        ..sampling
    };
    let empty = run(&p, &none);
    assert_eq!((empty.samples, empty.cannot_stand), (0, 0));
    assert_eq!(empty.of(F::AntiSquat).summary, None);
}

#[test]
fn the_errors_are_uniform_and_independent() {
    let t = [0.003, 0.0005];
    let dimensions = [
        dimension(&[(0, RodEnd::Frame)], [0.0, 0.0, 1.0], t[0]),
        dimension(&[(1, RodEnd::Frame)], [0.0, 0.0, 1.0], t[1]),
    ];
    let p = placement(&crooked(), &dimensions, Lengths::Reset);
    let count = 20_000;
    let n = f64::from(count);
    let drawn: Vec<Vec<f64>> = (0..count)
        .map(|i| p.sample_errors(42, i as usize))
        .collect();
    let correlation = |a: &dyn Fn(usize) -> f64, b: &dyn Fn(usize) -> f64, of: usize| {
        (0..of).map(|i| a(i) * b(i)).sum::<f64>() / of as f64
    };
    for (k, t) in t.into_iter().enumerate() {
        let mut values: Vec<f64> = drawn.iter().map(|e| e[k] / t).collect();
        assert!(values.iter().all(|v| v.abs() <= 1.0));
        let mean = values.iter().sum::<f64>() / n;
        let sd = (values.iter().map(|v| v * v).sum::<f64>() / n).sqrt();
        // Four standard errors: of the mean 1/√(3 n); of the sd √(0.8/(4 n)) of itself.
        close(mean, 0.0, 4.0 / (3.0 * n).sqrt());
        close(sd * 3.0_f64.sqrt(), 1.0, 4.0 * (0.2 / n).sqrt());
        values.sort_by(f64::total_cmp);
        let ks = values.iter().enumerate().fold(0.0_f64, |m, (i, v)| {
            let want = 0.5 * (v + 1.0);
            m.max((want - i as f64 / n).abs())
                .max((want - (i + 1) as f64 / n).abs())
        });
        assert!(ks * n.sqrt() < 1.95, "{}", ks * n.sqrt());
        // From sample to sample, over the edges of the blocks too.
        let (now, next) = (|i: usize| drawn[i][k] / t, |i: usize| drawn[i + 1][k] / t);
        close(
            3.0 * correlation(&now, &next, drawn.len() - 1),
            0.0,
            4.0 / n.sqrt(),
        );
    }
    let (a, b) = (|i: usize| drawn[i][0] / t[0], |i: usize| drawn[i][1] / t[1]);
    close(3.0 * correlation(&a, &b, drawn.len()), 0.0, 4.0 / n.sqrt());
}
