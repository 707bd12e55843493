//! Sensitivities: closed forms of the plane, extrapolation of the model, symmetry, scale.

use geometry::{AxleCar, DrawnRod, Lengths, Placement, PlacementFigure as F, RodEnd, Sampling};

use crate::common::{car, level_bar, pair};
use crate::{
    LOWER, TRAVEL, UPPER, all_dimensions, close, crooked, dimension, placement, planar, run,
    triangulated,
};

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
    // Roll steer, of a car whose bar alone is not symmetric: left and right are equal.
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
