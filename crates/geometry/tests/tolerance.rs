//! Placement tolerance against plane geometry, laws of probability and symmetry.
//!
//! Outside answers: the crossing of two lines and its derivative (school geometry, derived at
//! each test); sd of a uniform error t/√3 and of a sum of independent ones (JCGM 100:2008, the
//! GUM, 4.3.7 and 5.1.2); the Kolmogorov-Smirnov bound 1.95/√n at the 0.1 % level and the
//! standard error of a sample sd, σ √((κ − 1)/(4 n)), κ the kurtosis, 9/5 for a uniform and at
//! most 3 for a sum of uniforms (any text on statistics; from memory).
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

#[allow(dead_code, reason = "shared with other tests")]
mod common;

use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};

use common::{car, level_bar, pair, rod};
use geometry::{
    AxleCar, AxleError, Dimension, DrawnRod, Lengths, Missing, Placement, PlacementError,
    PlacementFigure as F, RodEnd, Sampling, Scatter, Sensitivities, Unreachable, Vector3,
};
use nalgebra::Point3;
use proptest::prelude::*;

const TRAVEL: [f64; 2] = [-0.06, 0.06];

fn dimension(moves: &[(usize, RodEnd)], along: [f64; 3], plus_minus: f64) -> Dimension {
    Dimension {
        moves: moves.to_vec(),
        along: Vector3::from(along),
        plus_minus,
    }
}

/// Every coordinate of every rod end, in the order rod, end, axis.
fn all_dimensions(rods: usize, plus_minus: f64) -> Vec<Dimension> {
    let axes = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]];
    (0..rods)
        .flat_map(|r| [RodEnd::Frame, RodEnd::Housing].map(|e| (r, e)))
        .flat_map(|place| axes.map(|along| dimension(&[place], along, plus_minus)))
        .collect()
}

/// Links in planes parallel to the side view and a level bar.
fn planar() -> Vec<DrawnRod> {
    let mut rods = pair(LOWER[0], LOWER[1]).to_vec();
    rods.extend(pair(UPPER[0], UPPER[1]));
    rods.push(level_bar());
    rods
}
const LOWER: [[f64; 3]; 2] = [[0.66, 0.42, 0.24], [0.03, 0.42, 0.2]];
const UPPER: [[f64; 3]; 2] = [[0.6, 0.4, 0.37], [0.02, 0.4, 0.47]];

/// Triangulated, symmetric left and right, no more rods than needed.
fn triangulated() -> Vec<DrawnRod> {
    let mut rods = pair([0.7, 0.46, 0.25], [0.02, 0.48, 0.22]).to_vec();
    rods.extend(pair([0.5, 0.45, 0.42], [0.02, 0.1, 0.52]));
    rods
}

/// Nothing symmetric: binds.
fn crooked() -> Vec<DrawnRod> {
    vec![
        rod([0.65, 0.43, 0.25], [0.02, 0.42, 0.2]),
        rod([0.63, -0.42, 0.23], [0.03, -0.41, 0.21]),
        rod([0.58, 0.39, 0.38], [0.01, 0.4, 0.47]),
        rod([0.6, -0.4, 0.37], [0.0, -0.41, 0.46]),
        rod([-0.14, -0.38, 0.35], [-0.13, 0.36, 0.33]),
    ]
}

fn placement(rods: &[DrawnRod], dimensions: &[Dimension], lengths: Lengths) -> Placement {
    Placement::new(&car(), rods, dimensions, lengths, TRAVEL).unwrap()
}

fn run(placement: &Placement, sampling: &Sampling) -> Scatter {
    placement
        .monte_carlo(sampling, &AtomicBool::new(false), &AtomicU64::new(0))
        .unwrap()
}

fn close(got: f64, want: f64, tolerance: f64) {
    assert!(
        (got - want).abs() <= tolerance,
        "got {got}, want {want} within {tolerance}"
    );
}

/// The plane crossing of the drawn links as lines z = z_r + m (x − x_r), and d(crossing) when
/// the lower link's front hole rises by one.
///
/// x = (z_2 − z_1 + m_1 x_1 − m_2 x_2)/(m_1 − m_2) with 1 the lower, 2 the upper link, so with
/// dm_1 = 1/(x_front − x_1): dx = dm_1 (x_1 − x)/(m_1 − m_2); the crossing slides along the
/// upper line: dz = m_2 dx.
fn crossing() -> ([f64; 2], [f64; 2]) {
    let line = |[front, rear]: [[f64; 3]; 2]| {
        let m = (front[2] - rear[2]) / (front[0] - rear[0]);
        (rear[0], rear[2], m)
    };
    let ((x1, z1, m1), (x2, z2, m2)) = (line(LOWER), line(UPPER));
    let x = (z2 - z1 + m1 * x1 - m2 * x2) / (m1 - m2);
    let z = z1 + m1 * (x - x1);
    let dx = (x1 - x) / (LOWER[0][0] - x1) / (m1 - m2);
    ([x, z], [dx, m2 * dx])
}

#[test]
fn slopes_of_the_instant_centre_are_those_of_the_line_crossing() {
    let both = dimension(
        &[(0, RodEnd::Frame), (1, RodEnd::Frame)],
        [0.0, 0.0, 1.0],
        1e-3,
    );
    let left = dimension(&[(0, RodEnd::Frame)], [0.0, 0.0, 1.0], 1e-3);
    let right = dimension(&[(1, RodEnd::Frame)], [0.0, 0.0, 1.0], 1e-3);
    let p = placement(&planar(), &[both, left, right], Lengths::Reset);
    let s = p.sensitivities().unwrap();
    let ([x, z], [dx, dz]) = crossing();
    let car = car();
    // tan φ_as = z/x from the contact at the origin: d = (dz − tan dx)/x.
    let d_as = (dz - z / x * dx) / x / (car.cg_height / car.wheelbase);
    let nominal = p.nominal();
    close(nominal.get(F::IcStation).unwrap(), x, 1e-9);
    close(nominal.get(F::IcHeight).unwrap(), z, 1e-9);
    for (figure, want) in [(F::IcStation, dx), (F::IcHeight, dz), (F::AntiSquat, d_as)] {
        let linear = s.of(figure).unwrap();
        close(linear.slopes[0], want, 1e-6 * want.abs());
        // One side alone: by the mirror law half of both.
        close(linear.slopes[1], 0.5 * want, 1e-6 * want.abs());
        close(linear.slopes[2], 0.5 * want, 1e-6 * want.abs());
        assert!(!linear.bends);
        assert_eq!(s.most(figure, 1), vec![0]);
    }
    // Roll steer of an axle on parallel lower links is their slope where the uppers do not
    // steer; here only the sum of both sides matters for the law: left and right are equal.
    let steer = s.of(F::RollSteer).unwrap();
    close(steer.slopes[1], steer.slopes[2], 1e-6);
    assert!(
        s.of(F::PinionAtRide)
            .unwrap()
            .slopes
            .iter()
            .all(|s| *s == 0.0)
    );
    assert!(s.most(F::PinionAtRide, 3).is_empty());
}

#[test]
fn held_links_turn_the_housing_as_the_plane_linkage_does() {
    // Hole i of the frame moved by e_i, length held, height held: u_i·(dx + dθ (b_z, −b_x)) =
    // u_i·e_i for both links; dθ by Cramer's rule, pinion up = −θ.
    let moved = dimension(
        &[(2, RodEnd::Frame), (3, RodEnd::Frame)],
        [1.0, 0.0, 0.0],
        1e-3,
    );
    let p = placement(&planar(), &[moved], Lengths::Held);
    let got = p.sensitivities().unwrap();
    let radius = car().loaded_radius;
    let link = |[front, rear]: [[f64; 3]; 2]| {
        let (dx, dz) = (rear[0] - front[0], rear[2] - front[2]);
        let length = dx.hypot(dz);
        let (ux, uz) = (dx / length, dz / length);
        (ux, ux * (rear[2] - radius) - uz * rear[0])
    };
    let ((a1, b1), (a2, b2)) = (link(LOWER), link(UPPER));
    let want = -(a1 * a2) / (a1 * b2 - b1 * a2);
    let linear = got.of(F::PinionAtRide).unwrap();
    close(linear.slopes[0], want, 1e-6 * want.abs());
    assert!(want.abs() > 1.0, "{want}");
    close(linear.nominal, 0.0, 1e-12);
}

#[test]
fn slopes_agree_with_richardson_extrapolation_of_the_model() {
    for lengths in [Lengths::Reset, Lengths::Held] {
        let dimensions = all_dimensions(5, 1e-3);
        let p = placement(&crooked(), &dimensions, lengths);
        let s = p.sensitivities().unwrap();
        for k in 0..dimensions.len() {
            let at = |error: f64| {
                let mut errors = vec![0.0; dimensions.len()];
                errors[k] = error;
                p.figures(&errors).unwrap()
            };
            for figure in F::ALL {
                let central =
                    |h: f64| (at(h).get(figure).unwrap() - at(-h).get(figure).unwrap()) / (2.0 * h);
                let h = 4e-4;
                let want = (4.0 * central(h) - central(2.0 * h)) / 3.0;
                let got = s.of(figure).unwrap().slopes[k];
                close(got, want, 2e-6 * (1.0 + want.abs()));
            }
        }
    }
}

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
fn left_and_right_are_mirror_images() {
    // The mirrored car with the mirrored error has ψ, φ and y with the other sign: all six
    // figures are the same, roll steer −ψ̇/φ̇ too. Along +y on both sides: the other sign.
    let mut dimensions = Vec::new();
    for (left, right) in [(0, 1), (2, 3)] {
        for end in [RodEnd::Frame, RodEnd::Housing] {
            for along in [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.6, 0.8]] {
                let mirrored = [along[0], -along[1], along[2]];
                dimensions.push(dimension(&[(left, end)], along, 1e-3));
                dimensions.push(dimension(&[(right, end)], mirrored, 1e-3));
            }
            dimensions.push(dimension(&[(left, end)], [0.0, 1.0, 0.0], 1e-3));
            dimensions.push(dimension(&[(right, end)], [0.0, -1.0, 0.0], 1e-3));
        }
    }
    for lengths in [Lengths::Reset, Lengths::Held] {
        let s = placement(&triangulated(), &dimensions, lengths)
            .sensitivities()
            .unwrap();
        let mut felt = 0.0_f64;
        for figure in F::ALL {
            for pair in s.of(figure).unwrap().slopes.chunks(2) {
                close(pair[0], pair[1], 1e-6 * (1.0 + pair[0].abs()));
                felt = felt.max(pair[0].abs());
            }
        }
        assert!(felt > 0.1);
    }
    // The same error on both sides: moving both along +y cancels, moving both up adds.
    let both = |along| dimension(&[(2, RodEnd::Frame), (3, RodEnd::Frame)], along, 1e-3);
    let one = |along| dimension(&[(2, RodEnd::Frame)], along, 1e-3);
    let (y, z) = ([0.0, 1.0, 0.0], [0.0, 0.0, 1.0]);
    let dimensions = [both(y), both(z), one(y), one(z)];
    let s = placement(&triangulated(), &dimensions, Lengths::Reset)
        .sensitivities()
        .unwrap();
    for figure in [F::AntiSquat, F::RollSteer] {
        let slopes = &s.of(figure).unwrap().slopes;
        close(slopes[0], 0.0, 1e-6);
        close(slopes[1], 2.0 * slopes[3], 1e-6);
        assert!(slopes[3].abs() > 1e-3);
    }
    // The roll axis runs through the points where each pair's lines meet in the centre plane
    // (Milliken & Milliken, ch. 17; from memory). The uppers meet at y = 0, a share 0.1/0.35 of
    // their length behind the housing: raising their fronts by one lowers that point by the
    // share; roll steer is the axis' slope with the other sign.
    let share = 0.1 / (0.45 - 0.1);
    let upper_x = 0.02 - share * (0.5 - 0.02);
    let lower_x = 0.7 + 0.46 * (0.7 - 0.02) / (0.48 - 0.46);
    let want = -share / (lower_x - upper_x);
    close(s.of(F::RollSteer).unwrap().slopes[1], want, 1e-6);
    // Outward by one on both sides changes the share by -0.1/0.35²; one side alone is half.
    let lower_z = 0.25 + (0.25 - 0.22) * 0.46 / (0.48 - 0.46);
    let upper_z = 0.52 + share * (0.52 - 0.42);
    let slope = (lower_z - upper_z) / (lower_x - upper_x);
    close(s.of(F::RollSteer).unwrap().nominal, -slope, 1e-9);
    let d_share = -0.1 / (0.45 - 0.1_f64).powi(2);
    let (dx, dz) = (-0.48 * d_share, 0.1 * d_share);
    let want = 0.5 * (dz - slope * dx) / (lower_x - upper_x);
    close(s.of(F::RollSteer).unwrap().slopes[2], want, 1e-6);
    // In heave the housing does not move sideways: anti-squat does not feel where along y a
    // hole is.
    close(s.of(F::AntiSquat).unwrap().slopes[2], 0.0, 1e-6);
}

#[test]
fn no_tolerance_no_spread() {
    for lengths in [Lengths::Reset, Lengths::Held] {
        let p = placement(&crooked(), &all_dimensions(5, 0.0), lengths);
        let s = p.sensitivities().unwrap();
        let scatter = run(&p, &Sampling::default());
        for figure in F::ALL {
            let linear = s.of(figure).unwrap();
            assert_eq!((linear.standard_deviation, linear.worst_case), (0.0, 0.0));
            assert!(s.most(figure, 3).is_empty());
            let got = scatter.of(figure).summary.as_ref().unwrap();
            assert_eq!(got.standard_deviation, 0.0);
            assert_eq!((got.min, got.max), (got.mean, got.mean));
            close(got.mean, linear.nominal, 1e-12);
            assert_eq!(got.histogram.counts, vec![10_000]);
        }
    }
    // No dimension at all is the same.
    let p = placement(&crooked(), &[], Lengths::Reset);
    assert!(p.sensitivities().unwrap().most(F::AntiSquat, 3).is_empty());
    assert_eq!(run(&p, &Sampling::default()).cannot_stand, 0);
}

#[test]
fn everything_scales() {
    // A car k times as large: lengths scale, ratios and angles stay; slopes of the IC stay,
    // slopes of ratios go with 1/k. Twice the tolerance: twice the spread.
    let k = 3.0;
    let big_car = AxleCar {
        wheelbase: k * car().wheelbase,
        cg_height: k * car().cg_height,
        loaded_radius: k * car().loaded_radius,
        rear_track: k * car().rear_track,
        ..car()
    };
    let big: Vec<DrawnRod> = crooked()
        .iter()
        .map(|r| DrawnRod {
            frame_point: r.frame_point * k,
            housing_point: r.housing_point * k,
            ..*r
        })
        .collect();
    for lengths in [Lengths::Reset, Lengths::Held] {
        let small = placement(&crooked(), &all_dimensions(5, 1e-3), lengths);
        let wide = placement(&crooked(), &all_dimensions(5, 2e-3), lengths);
        let big = Placement::new(
            &big_car,
            &big,
            &all_dimensions(5, 1e-3 * k),
            lengths,
            TRAVEL.map(|t| t * k),
        )
        .unwrap();
        let [small, wide, big] = [small, wide, big].map(|p| p.sensitivities().unwrap());
        for figure in F::ALL {
            let [small, wide, big] = [&small, &wide, &big].map(|s| s.of(figure).unwrap());
            let length = matches!(figure, F::IcStation | F::IcHeight);
            let scale = if length { 1.0 } else { 1.0 / k };
            for (a, b) in small.slopes.iter().zip(&big.slopes) {
                close(a * scale, *b, 2e-6 * (1.0 + a.abs()));
            }
            close(
                wide.standard_deviation,
                2.0 * small.standard_deviation,
                1e-12,
            );
            close(wide.worst_case, 2.0 * small.worst_case, 1e-12);
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
fn parallel_links_have_a_corner_in_the_pinion_change() {
    let mut rods = pair([0.6, 0.42, 0.26], [0.0, 0.42, 0.2]).to_vec();
    rods.extend(pair([0.6, 0.42, 0.51], [0.0, 0.42, 0.45]));
    rods.push(level_bar());
    let up = dimension(
        &[(2, RodEnd::Frame), (3, RodEnd::Frame)],
        [0.0, 0.0, 1.0],
        1e-3,
    );
    let p = placement(&rods, &[up], Lengths::Reset);
    let s = p.sensitivities().unwrap();
    let linear = s.of(F::PinionChange).unwrap();
    assert!(linear.bends);
    // Either way the change grows, at the slope of the steepest pair.
    for error in [-1e-3, 1e-3] {
        let change = p.figures(&[error]).unwrap().get(F::PinionChange).unwrap();
        close(change / (linear.slopes[0].abs() * 1e-3), 1.0, 0.02);
    }
    assert!(linear.slopes[0].abs() > 0.1);
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

#[test]
fn faulty_input_is_refused() {
    let rods = crooked();
    let good = dimension(&[(0, RodEnd::Frame)], [0.0, 0.0, 1.0], 1e-3);
    let refused = |rods: &[DrawnRod], d: Dimension, travel: [f64; 2]| {
        Placement::new(&car(), rods, &[good.clone(), d], Lengths::Reset, travel).unwrap_err()
    };
    for plus_minus in [-1e-3, f64::NAN, f64::INFINITY, 1.1] {
        let d = Dimension {
            plus_minus,
            ..good.clone()
        };
        assert!(matches!(
            refused(&rods, d, TRAVEL),
            PlacementError::BadTolerance { dimension: 1, .. }
        ));
    }
    for along in [[0.0, 0.0, 2.0], [0.0; 3], [f64::NAN, 0.0, 1.0]] {
        assert!(matches!(
            refused(&rods, dimension(&good.moves, along, 1e-3), TRAVEL),
            PlacementError::BadDirection { dimension: 1, .. }
        ));
    }
    assert_eq!(
        refused(
            &rods,
            dimension(&[(5, RodEnd::Frame)], [1.0, 0.0, 0.0], 1e-3),
            TRAVEL
        ),
        PlacementError::NoSuchRod {
            dimension: 1,
            rod: 5,
            rods: 5
        }
    );
    let twice = [(2, RodEnd::Frame), (2, RodEnd::Housing), (2, RodEnd::Frame)];
    assert_eq!(
        refused(&rods, dimension(&twice, [1.0, 0.0, 0.0], 1e-3), TRAVEL),
        PlacementError::MovedTwice {
            dimension: 1,
            rod: 2
        }
    );
    assert!(matches!(
        refused(&rods, good.clone(), [f64::NAN, 0.1]),
        PlacementError::BadTravel { .. }
    ));
    // A link whose two brackets coincide.
    let mut coincident = rods.clone();
    coincident[2].frame_point = coincident[2].housing_point;
    assert!(matches!(
        refused(&coincident, good.clone(), TRAVEL),
        PlacementError::Axle(AxleError::Motion(Unreachable::NoLength { rod: 2, .. }))
    ));
    // Too few rods; none; a coordinate that is no number.
    assert!(matches!(
        refused(&rods[..3], good.clone(), TRAVEL),
        PlacementError::Axle(_)
    ));
    let mut nan = rods.clone();
    nan[1].housing_point.y = f64::NAN;
    assert!(matches!(
        refused(&nan, good.clone(), TRAVEL),
        PlacementError::Axle(AxleError::Motion(Unreachable::NotFinite))
    ));
    // All four links in one line along the tube: the housing is not held.
    let bar = |y: f64| rod([0.0, y, 0.33], [0.0, y + 0.3, 0.33]);
    let along_axle: Vec<DrawnRod> = [-0.4, -0.2, 0.0, 0.2].map(bar).to_vec();
    assert!(matches!(
        refused(&along_axle, good.clone(), TRAVEL),
        PlacementError::Axle(_)
    ));
    let p = placement(&rods, std::slice::from_ref(&good), Lengths::Reset);
    assert_eq!(
        p.figures(&[]),
        Err(PlacementError::ErrorCount {
            given: 0,
            dimensions: 1
        })
    );
    assert!(matches!(
        p.figures(&[f64::NAN]),
        Err(PlacementError::BadError { dimension: 0, .. })
    ));
    let ask = |s: Sampling| p.monte_carlo(&s, &AtomicBool::new(false), &AtomicU64::new(0));
    for (low, high) in [(1.0, 0.0), (f64::NAN, 1.0)] {
        let banded = Sampling::default().with_band(F::RollSteer, low, high);
        assert!(matches!(
            ask(banded),
            Err(PlacementError::BadBand {
                figure: F::RollSteer,
                ..
            })
        ));
    }
    let many = Sampling {
        samples: 1_000_001,
        ..Sampling::default()
    };
    assert_eq!(
        ask(many),
        Err(PlacementError::TooManySamples { samples: 1_000_001 })
    );
}

#[test]
fn a_bar_along_the_tube_through_its_centre_is_no_special_case() {
    let mut rods = planar();
    rods[4] = rod([0.0, -0.38, 0.33], [0.0, 0.36, 0.33]);
    let p = placement(&rods, &all_dimensions(5, 1e-3), Lengths::Reset);
    finite(&p.sensitivities().unwrap());
    assert_eq!(run(&p, &Sampling::default()).cannot_stand, 0);
}

#[test]
fn an_end_of_travel_out_of_reach_leaves_the_other_figures() {
    let dimensions = all_dimensions(4, 1e-3);
    let p = Placement::new(
        &car(),
        &triangulated(),
        &dimensions,
        Lengths::Reset,
        [-0.05, 0.9],
    )
    .unwrap();
    let s = p.sensitivities().unwrap();
    assert!(matches!(
        s.of(F::PinionChange),
        Err(Missing::OutOfReach(AxleError::OutOfReach { .. }))
    ));
    assert!(s.of(F::AntiSquat).unwrap().standard_deviation > 0.0);
    let scatter = run(&p, &Sampling::default());
    assert_eq!(scatter.of(F::PinionChange).without_value, 10_000);
    assert_eq!(scatter.of(F::AntiSquat).with_value, 10_000);
}

#[test]
fn builds_that_cannot_stand_are_counted() {
    // Held lengths and holes a hand's breadth off: some builds do not go together.
    let p = placement(&triangulated(), &all_dimensions(4, 0.2), Lengths::Held);
    let scatter = run(
        &p,
        &Sampling {
            samples: 2_000,
            ..Sampling::default()
        },
    );
    let lost = scatter.cannot_stand;
    assert!(lost > 20 && lost < 1_980, "{lost}");
    let d = scatter.of(F::AntiSquat);
    assert_eq!(d.with_value + lost, 2_000);
    finite_scatter(&scatter);
}

#[test]
fn at_the_edge_of_reach_there_is_no_slope() {
    // Upper holes brought down on the lower ones until the housing is just held against turning.
    let rods = |gap: f64| {
        let mut rods = pair([0.6, 0.42, 0.3], [0.0, 0.42, 0.3]).to_vec();
        rods.extend(pair([0.6, 0.42, 0.3 + gap], [0.0, 0.42, 0.3 + gap]));
        rods.push(level_bar());
        rods
    };
    let up = dimension(
        &[
            (2, RodEnd::Frame),
            (2, RodEnd::Housing),
            (3, RodEnd::Frame),
            (3, RodEnd::Housing),
        ],
        [0.0, 0.0, 1.0],
        1e-3,
    );
    let at = |gap: f64| {
        Placement::new(
            &car(),
            &rods(gap),
            std::slice::from_ref(&up),
            Lengths::Reset,
            [0.0; 2],
        )
    };
    let (mut lost, mut held) = (0.0, 0.01);
    for _ in 0..40 {
        let middle = 0.5 * (lost + held);
        if at(middle).is_ok() {
            held = middle;
        } else {
            lost = middle;
        }
    }
    assert!(held > 1e-6);
    assert!(matches!(
        at(held).unwrap().sensitivities(),
        Err(PlacementError::NoSlope { dimension: 0, .. })
    ));
}

#[test]
fn a_rod_with_a_held_length_keeps_it() {
    // All five held at their drawn lengths: Reset and Held are the same thing.
    let drawn = crooked();
    let held: Vec<DrawnRod> = drawn
        .iter()
        .map(|r| DrawnRod {
            length: Some((r.housing_point - r.frame_point).norm()),
            ..*r
        })
        .collect();
    let dimensions = all_dimensions(5, 1e-3);
    let want = placement(&drawn, &dimensions, Lengths::Held);
    let got = placement(&held, &dimensions, Lengths::Reset);
    let errors = want.sample_errors(3, 0);
    let (want, got) = (
        want.figures(&errors).unwrap(),
        got.figures(&errors).unwrap(),
    );
    for figure in F::ALL {
        close(got.get(figure).unwrap(), want.get(figure).unwrap(), 1e-9);
    }
    assert!(want.get(F::PinionAtRide).unwrap().abs() > 1e-5);
    // Drawn with other lengths, the pinion as drawn is off already.
    let mut long = drawn.clone();
    for r in &mut long[2..4] {
        r.length = Some((r.housing_point - r.frame_point).norm() + 0.002);
    }
    let p = placement(&long, &dimensions, Lengths::Reset);
    let nominal = p.nominal().get(F::PinionAtRide).unwrap();
    // Upper links 2 mm longer, 0.26 m above the lowers, push the top of the housing back: the
    // pinion rises by about 0.002/0.26.
    close(nominal, 0.0077, 0.0015);
}

fn finite(s: &Sensitivities) {
    for figure in F::ALL {
        let Ok(linear) = s.of(figure) else { continue };
        let all = [
            &linear.slopes,
            &linear.effects,
            &linear.shares,
            &vec![linear.nominal, linear.standard_deviation, linear.worst_case],
        ];
        assert!(
            all.iter().all(|v| v.iter().all(|x| x.is_finite())),
            "{figure:?} {linear:?}"
        );
        assert!(linear.standard_deviation <= linear.worst_case + 1e-300);
        let _ = s.most(figure, 3);
    }
}

fn finite_scatter(s: &Scatter) {
    for figure in F::ALL {
        let d = s.of(figure);
        assert_eq!(d.with_value + d.without_value + s.cannot_stand, s.samples);
        let Some(v) = &d.summary else {
            assert_eq!(d.with_value, 0);
            continue;
        };
        let all = [
            v.mean,
            v.standard_deviation,
            v.min,
            v.q05,
            v.median,
            v.q95,
            v.max,
        ];
        assert!(all.iter().all(|x| x.is_finite()), "{figure:?} {v:?}");
        assert!(v.min <= v.q05 && v.q05 <= v.median && v.median <= v.q95 && v.q95 <= v.max);
        let h = &v.histogram;
        assert!(h.edges.windows(2).all(|e| e[0] <= e[1]));
        let binned: usize = h.counts.iter().sum();
        assert_eq!(binned + h.below + h.above, d.with_value);
    }
}

prop_compose! {
    fn any_rod(a: [f64; 3], b: [f64; 3])(
        nudge in prop::array::uniform6(-0.12..0.12_f64),
        kind in 0..12_u8,
    ) -> DrawnRod {
        let (mut a, mut b) = (Point3::from(a), Point3::from(b));
        for i in 0..3 {
            a[i] += nudge[i];
            b[i] += nudge[3 + i];
        }
        match kind {
            0 => a = b,                                        // coincident brackets
            1 => (a, b) = (Point3::new(0.0, a.y, 0.33), Point3::new(0.0, b.y, 0.33)),
            2 => b.z = a.z,
            3 => a.y = b.y,
            4 => a = b + Vector3::new(1e-6, 0.0, 0.0),         // next to nothing
            _ => {}
        }
        DrawnRod { frame_point: a, housing_point: b, length: None, stiffness: None }
    }
}

fn any_tolerance() -> impl Strategy<Value = f64> {
    prop_oneof![
        12 => 0.0..0.003_f64,
        4 => 0.0..0.1_f64,
        1 => Just(0.0),
        1 => Just(1e200),
        1 => Just(1.0),
        1 => Just(f64::NAN),
        1 => Just(-0.001),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    /// Whatever the car: a typed error or finite numbers and full counts.
    #[test]
    fn never_a_nan_and_never_a_panic(
        a in any_rod([0.65, 0.42, 0.24], [0.02, 0.42, 0.2]),
        b in any_rod([0.65, -0.42, 0.24], [0.02, -0.42, 0.2]),
        c in any_rod([0.58, 0.4, 0.38], [0.01, 0.4, 0.47]),
        d in any_rod([0.58, -0.4, 0.38], [0.01, -0.4, 0.47]),
        e in any_rod([-0.14, -0.38, 0.34], [-0.14, 0.36, 0.33]),
        tolerances in prop::collection::vec(any_tolerance(), 3),
        held in any::<bool>(),
        travel in prop::array::uniform2(-0.2..0.2_f64),
        seed in any::<u64>(),
    ) {
        let rods = [a, b, c, d, e];
        let mut dimensions = all_dimensions(5, 1e-3);
        for (d, t) in dimensions.iter_mut().step_by(11).zip(&tolerances) {
            d.plus_minus = *t;
        }
        let lengths = if held { Lengths::Held } else { Lengths::Reset };
        let bad = tolerances.iter().any(|t| !(0.0..=1.0).contains(t));
        match Placement::new(&car(), &rods, &dimensions, lengths, travel) {
            Ok(p) => {
                prop_assert!(!bad);
                if let Ok(s) = p.sensitivities() {
                    finite(&s);
                }
                let sampling = Sampling { samples: 60, seed, ..Sampling::default() };
                finite_scatter(&run(&p, &sampling));
            }
            Err(PlacementError::BadTolerance { .. }) => prop_assert!(bad),
            Err(PlacementError::Axle(_)) => prop_assert!(!bad),
            Err(other) => prop_assert!(false, "{other:?}"),
        }
    }
}
