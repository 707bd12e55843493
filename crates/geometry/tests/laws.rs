//! Laws that hold for every linkage: derivative, mirror, scale, rigid motion, bad input.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod common;

use common::{assemble, build, car, level_bar, pair, rod};
use geometry::{
    AssembledAxle, AxleCar, AxleError, AxleLinkage, Coordinate, DrawnRod, Pose, Prescribed, Rod,
    Unreachable, conditioning, march, path_velocity, solve_position, solve_velocity,
};
use nalgebra::{Point3, Rotation3, Vector3};
use proptest::prelude::*;

const HEAVE: Prescribed = Prescribed::height_and_roll(1.0, 0.0);
const ROLL: Prescribed = Prescribed::height_and_roll(0.0, 1.0);

/// Coordinates of a rod, each nudged at random around a sensible place.
fn near(a: [f64; 3], b: [f64; 3]) -> impl Strategy<Value = DrawnRod> {
    let nudge = || -0.03_f64..0.03;
    (
        (nudge(), nudge(), nudge()),
        (nudge(), nudge(), nudge()),
        1e7..6e7_f64,
    )
        .prop_map(move |(p, q, stiffness)| DrawnRod {
            stiffness: Some(stiffness),
            ..rod(
                [a[0] + p.0, a[1] + p.1, a[2] + p.2],
                [b[0] + q.0, b[1] + q.1, b[2] + q.2],
            )
        })
}

prop_compose! {
    /// Nothing symmetric, every rod in its own hole: binds in heave and roll.
    fn five_rods()(
        a in near([0.65, 0.42, 0.24], [0.02, 0.42, 0.2]),
        b in near([0.65, -0.42, 0.24], [0.02, -0.42, 0.2]),
        c in near([0.58, 0.4, 0.38], [0.01, 0.4, 0.47]),
        d in near([0.58, -0.4, 0.38], [0.01, -0.4, 0.47]),
        e in near([-0.14, -0.38, 0.34], [-0.14, 0.36, 0.33]),
    ) -> Vec<DrawnRod> {
        vec![a, b, c, d, e]
    }
}

prop_compose! {
    /// Short links that lock inside the range of the test below.
    fn short_rods()(
        a in near([0.4, 0.46, 0.25], [0.02, 0.48, 0.22]),
        b in near([0.4, -0.46, 0.25], [0.02, -0.48, 0.22]),
        c in near([0.3, 0.45, 0.42], [0.02, 0.1, 0.52]),
        d in near([0.3, -0.45, 0.42], [0.02, -0.1, 0.52]),
    ) -> Vec<DrawnRod> {
        vec![a, b, c, d]
    }
}

prop_compose! {
    fn four_rods()(
        a in near([0.7, 0.46, 0.25], [0.02, 0.48, 0.22]),
        b in near([0.7, -0.46, 0.25], [0.02, -0.48, 0.22]),
        c in near([0.5, 0.45, 0.42], [0.02, 0.1, 0.52]),
        d in near([0.5, -0.45, 0.42], [0.02, -0.1, 0.52]),
    ) -> Vec<DrawnRod> {
        vec![a, b, c, d]
    }
}

/// Central difference of the position solution over z (0) or φ (1), all six coordinates.
fn difference(axle: &AssembledAxle, pose: &Pose, which: usize) -> [f64; 6] {
    let step = 2e-5;
    let at = |sign: f64| {
        let (z, phi) = (pose.position.z, pose.phi);
        let held = if which == 0 {
            Prescribed::height_and_roll(z + sign * step, phi)
        } else {
            Prescribed::height_and_roll(z, phi + sign * step)
        };
        solve_position(&axle.linkage.rods, &held, pose)
            .unwrap()
            .pose
            .coordinates()
    };
    let (low, high) = (at(-1.0), at(1.0));
    std::array::from_fn(|i| (high[i] - low[i]) / (2.0 * step))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    /// Without bind the velocity problem is the exact derivative of the position problem.
    #[test]
    fn velocity_is_the_derivative_without_bind(
        rods in four_rods(), travel in -0.06..0.06_f64, roll in -0.06..0.06_f64,
    ) {
        let axle = assemble(&car(), &rods);
        let position = axle.position(travel, roll).unwrap();
        prop_assert!(position.bind_max < 1e-9);
        for (which, rates) in [HEAVE, ROLL].iter().enumerate() {
            let want = difference(&axle, &position.pose, which);
            for got in [
                solve_velocity(&axle.linkage.rods, &position.pose, rates).unwrap(),
                path_velocity(&axle.linkage.rods, &position.pose, rates).unwrap(),
            ] {
                for i in 0..6 {
                    prop_assert!((got.rates[i] - want[i]).abs() < 1e-6, "{} {:?} {want:?}", i, got.rates);
                }
                prop_assert!(got.stretch_rate.largest().1.abs() < 1e-9);
            }
        }
    }

    /// With bind the path derivative is exact; the velocity problem is off by about
    /// stretch/length, and exact at the drawn pose, where nothing is stretched.
    #[test]
    fn path_is_the_derivative_with_bind(
        rods in five_rods(), travel in -0.06..0.06_f64, roll in -0.06..0.06_f64,
    ) {
        let axle = assemble(&car(), &rods);
        let position = axle.position(travel, roll).unwrap();
        for (which, rates) in [HEAVE, ROLL].iter().enumerate() {
            let want = difference(&axle, &position.pose, which);
            let path = path_velocity(&axle.linkage.rods, &position.pose, rates).unwrap();
            let linear = solve_velocity(&axle.linkage.rods, &position.pose, rates).unwrap();
            for i in 0..6 {
                prop_assert!((path.rates[i] - want[i]).abs() < 1e-6, "{} {:?} {want:?}", i, path.rates);
                let allowed = 1e-6 + 30.0 * position.bind_max / 0.5;
                prop_assert!((linear.rates[i] - want[i]).abs() < allowed);
            }
            let design = axle.design.pose;
            let want = difference(&axle, &design, which);
            let linear = solve_velocity(&axle.linkage.rods, &design, rates).unwrap();
            for (got, want) in linear.rates.iter().zip(want) {
                prop_assert!((got - want).abs() < 1e-6);
            }
        }
    }

    /// The angular velocity belongs to the rotation: Ṙ = ω × R.
    #[test]
    fn twist_turns_the_rotation(
        rods in five_rods(), travel in -0.05..0.05_f64, roll in -0.06..0.06_f64,
    ) {
        let axle = assemble(&car(), &rods);
        let pose = axle.position(travel, roll).unwrap().pose;
        let got = solve_velocity(&axle.linkage.rods, &pose, &ROLL).unwrap();
        let step = 1e-6;
        let moved = |sign: f64| {
            let mut q = pose.coordinates();
            for (value, rate) in q.iter_mut().zip(&got.rates) {
                *value += sign * step * rate;
            }
            Pose::from_coordinates(&q).rotation()
        };
        let rate = (moved(1.0) - moved(-1.0)) / (2.0 * step);
        let want = got.twist.w.cross_matrix() * pose.rotation();
        prop_assert!((rate - want).norm() < 1e-8);
    }

    /// Mirrored in the centre plane, y, φ and ψ change sign and nothing else.
    #[test]
    fn mirror(rods in five_rods(), travel in -0.05..0.05_f64, roll in -0.05..0.05_f64) {
        let flip = |p: Point3<f64>| Point3::new(p.x, -p.y, p.z);
        let mirrored: Vec<DrawnRod> = rods
            .iter()
            .map(|r| DrawnRod {
                frame_point: flip(r.frame_point),
                housing_point: flip(r.housing_point),
                ..*r
            })
            .collect();
        let s = assemble(&car(), &rods).state(travel, roll).unwrap();
        let m = assemble(&car(), &mirrored).state(travel, -roll).unwrap();
        let close = |a: f64, b: f64| (a - b).abs() < 1e-9;
        prop_assert!(close(s.pose.position.x, m.pose.position.x));
        prop_assert!(close(s.pose.position.y, -m.pose.position.y));
        prop_assert!(close(s.pose.psi, -m.pose.psi));
        prop_assert!(close(s.pose.theta, m.pose.theta));
        prop_assert!(close(s.tan_as, m.tan_as));
        prop_assert!(close(s.roll_centre_z, m.roll_centre_z));
        prop_assert!(close(s.roll_steer, m.roll_steer));
        prop_assert!(close(s.bind_max, m.bind_max));
    }

    /// Twice the size: lengths double, ratios and angles stay.
    #[test]
    fn scale(rods in five_rods(), travel in -0.04..0.04_f64, roll in -0.05..0.05_f64) {
        let k = 2.0;
        let big: Vec<DrawnRod> = rods
            .iter()
            .map(|r| DrawnRod {
                frame_point: r.frame_point * k,
                housing_point: r.housing_point * k,
                ..*r
            })
            .collect();
        let c = car();
        let big_car = AxleCar {
            wheelbase: c.wheelbase * k,
            cg_height: c.cg_height * k,
            loaded_radius: c.loaded_radius * k,
            rear_track: c.rear_track * k,
            ..c
        };
        let s = assemble(&c, &rods).state(travel, roll).unwrap();
        let b = assemble(&big_car, &big).state(travel * k, roll).unwrap();
        let close = |a: f64, b: f64| (a - b).abs() < 1e-9;
        prop_assert!(close(b.pose.position.x, k * s.pose.position.x));
        prop_assert!(close(b.pinion_up, s.pinion_up));
        prop_assert!(close(b.anti_squat, s.anti_squat));
        prop_assert!(close(b.roll_centre_above_ground, k * s.roll_centre_above_ground));
        prop_assert!(close(b.roll_steer, s.roll_steer));
        prop_assert!(close(b.bind_max, k * s.bind_max));
    }

    /// The whole car moved and turned in plan: the answer moves and turns with it.
    #[test]
    fn rigid_motion(
        rods in five_rods(), travel in -0.05..0.05_f64, roll in -0.05..0.05_f64,
        yaw in -1.0..1.0_f64, dx in -2.0..2.0_f64, dy in -2.0..2.0_f64, dz in -2.0..2.0_f64,
    ) {
        let axle = assemble(&car(), &rods);
        let at = axle.position(travel, roll).unwrap();
        let turn = Rotation3::from_axis_angle(&Vector3::z_axis(), yaw);
        let shift = Vector3::new(dx, dy, dz);
        let moved: Vec<Rod> = axle
            .linkage
            .rods
            .iter()
            .map(|r| Rod { frame_point: turn * r.frame_point + shift, ..*r })
            .collect();
        let start = Pose {
            position: turn * at.pose.position + shift,
            psi: at.pose.psi + yaw,
            ..at.pose
        };
        // Start from nearby, not from the answer.
        let nearby = Pose { theta: start.theta + 0.01, ..start };
        let held = Prescribed::height_and_roll(start.position.z, roll);
        let got = solve_position(&moved, &held, &nearby).unwrap();
        for (g, w) in got.pose.coordinates().iter().zip(start.coordinates()) {
            prop_assert!((g - w).abs() < 1e-9);
        }
        let a = solve_velocity(&axle.linkage.rods, &at.pose, &ROLL).unwrap();
        let b = solve_velocity(&moved, &got.pose, &ROLL).unwrap();
        prop_assert!((turn * a.twist.v - b.twist.v).norm() < 1e-8);
        prop_assert!((turn * a.twist.w - b.twist.w).norm() < 1e-8);
    }

    /// Any coordinate set may be held: with the answer's own θ held instead of z, the same
    /// pose comes out.
    #[test]
    fn another_set_of_coordinates_held(rods in four_rods(), travel in 0.02..0.05_f64) {
        let axle = assemble(&car(), &rods);
        let at = axle.state(travel, 0.0).unwrap();
        prop_assume!(at.q.abs() > 0.2);
        let held = Prescribed::NONE
            .with(Coordinate::Theta, at.pose.theta)
            .with(Coordinate::Phi, 0.0);
        let start = axle.position(travel - 0.004, 0.0).unwrap();
        let got = solve_position(&axle.linkage.rods, &held, &start.pose).unwrap();
        prop_assert!(got.bind_max < 1e-9);
        for (g, w) in got.pose.coordinates().iter().zip(at.pose.coordinates()) {
            prop_assert!((g - w).abs() < 1e-9);
        }
    }

    /// Where reach ends does not depend on the step of the sweep; just before, there is an
    /// exact pose next to a lock, just beyond there is none.
    #[test]
    fn the_end_of_reach_does_not_depend_on_the_step(rods in short_rods(), up in any::<bool>()) {
        let axle = assemble(&car(), &rods);
        let rods = &axle.linkage.rods;
        let to = if up { 0.83 } else { -0.17 };
        let end = |step: f64| {
            march(0.33, to, step, 1e-9, &axle.design, |z, pose| {
                solve_position(rods, &Prescribed::height_and_roll(z, 0.0), pose)
            })
            .expect_err("links of 0.4 m cannot move the axle by 0.5 m")
        };
        let (coarse, fine) = (end(2e-3), end(2e-4));
        prop_assert!((coarse.begins_at - fine.begins_at).abs() < 1e-6);
        let held = Prescribed::height_and_roll(fine.last.position.z, 0.0);
        let ratio = conditioning(rods, &held, &fine.last).unwrap();
        prop_assert!((1e-4..1e-3).contains(&ratio), "{} {}", ratio, fine);
        let beyond = fine.begins_at + if up { 1e-6 } else { -1e-6 };
        let held = Prescribed::height_and_roll(beyond, 0.0);
        prop_assert!(solve_position(rods, &held, &fine.last).is_err());
    }

    /// Whatever numbers come in, an answer is finite or a typed failure; nothing panics.
    #[test]
    fn never_panics(
        numbers in prop::collection::vec(
            prop_oneof![
                -1.0..1.0_f64, Just(0.0), Just(f64::NAN), Just(f64::INFINITY), Just(1e200), Just(-1e-300)
            ], 40),
        travel in -0.5..0.5_f64,
    ) {
        let rods: Vec<Rod> = numbers
            .chunks(8)
            .map(|n| Rod {
                frame_point: Point3::new(n[0], n[1], n[2]),
                body_point: Point3::new(n[3], n[4], n[5]),
                length: n[6],
                stiffness: n[7],
            })
            .collect();
        let pose = Pose::level(Point3::new(0.0, 0.0, 0.3));
        let held = Prescribed::height_and_roll(0.3 + travel, 0.0);
        if let Ok(p) = solve_position(&rods, &held, &pose) {
            prop_assert!(p.pose.coordinates().iter().all(|v| v.is_finite()));
        }
        if let Ok(v) = solve_velocity(&rods, &pose, &HEAVE) {
            prop_assert!(v.rates.iter().all(|v| v.is_finite()));
        }
    }
}

#[test]
fn degenerate_rods_are_named() {
    let axle = build(
        pair([0.66, 0.42, 0.24], [0.03, 0.42, 0.2]),
        pair([0.6, 0.4, 0.37], [0.02, 0.4, 0.47]),
        Some(level_bar()),
    );
    let good = axle.linkage.rods.clone();
    let pose = axle.design.pose;
    let held = Prescribed::height_and_roll(0.33, 0.0);
    let solve = |rods: &[Rod]| solve_position(rods, &held, &pose).unwrap_err();

    assert_eq!(solve(&[]), Unreachable::NoRods);
    assert!(matches!(
        solve(&good[..3]),
        Unreachable::TooFewRods {
            rods: 3,
            unknowns: 4
        }
    ));
    assert!(matches!(
        solve(&[good[0]; 9]),
        Unreachable::TooManyRods { rods: 9 }
    ));
    let mut rods = good.clone();
    rods[1].length = 0.0;
    assert!(matches!(solve(&rods), Unreachable::NoLength { rod: 1, .. }));
    let mut rods = good.clone();
    rods[2].body_point = rods[2].frame_point - pose.position.coords;
    assert!(matches!(solve(&rods), Unreachable::NoLength { rod: 2, .. }));
    let mut rods = good.clone();
    rods[0].frame_point.x = f64::NAN;
    assert_eq!(solve(&rods), Unreachable::NotFinite);
    let mut rods = good.clone();
    rods[3].stiffness = -1.0;
    assert!(matches!(
        solve(&rods),
        Unreachable::BadStiffness { rod: 3, .. }
    ));
    // Five times the same rod: nothing holds the axle.
    assert!(matches!(solve(&[good[0]; 5]), Unreachable::Singular { .. }));
    assert!(matches!(
        solve_velocity(&[good[0]; 5], &pose, &HEAVE).unwrap_err(),
        Unreachable::Singular { .. }
    ));
    assert_eq!(
        solve_position(&good, &Prescribed::height_and_roll(f64::NAN, 0.0), &pose).unwrap_err(),
        Unreachable::NotFinite
    );
    assert!(axle.state(f64::NAN, 0.0).is_err());
    assert!(axle.state(0.0, f64::INFINITY).is_err());
}

#[test]
fn a_bad_car_is_named() {
    let bad = AxleCar {
        wheelbase: 0.0,
        ..car()
    };
    assert!(matches!(
        AxleLinkage::drawn(&bad, &[]),
        Err(AxleError::BadCar {
            what: "wheelbase",
            ..
        })
    ));
    let empty = AxleLinkage::drawn(&car(), &[]).unwrap();
    assert!(matches!(
        empty.assemble(car()),
        Err(AxleError::Motion(Unreachable::NoRods))
    ));
    let mut rods = pair([0.66, 0.42, 0.24], [0.03, 0.42, 0.2]);
    rods[1].stiffness = None;
    assert!(matches!(
        AxleLinkage::drawn(&car(), &rods),
        Err(AxleError::MixedStiffness { rod: 1 })
    ));
}
