//! Distances between convex bodies against closed forms, brute force and laws.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

use geometry::distance::{Body, Core, Gap, core_distance, gap, segments};
use nalgebra::{Point3, Rotation3, Vector3};
use proptest::prelude::*;

const AXES: fn(f64, f64, f64) -> [Vector3<f64>; 3] = |a, b, c| {
    let r = Rotation3::from_euler_angles(a, b, c);
    [r * Vector3::x(), r * Vector3::y(), r * Vector3::z()]
};

/// Closed form: distance of a point from a cylinder.
fn point_to_cylinder(p: &Point3<f64>, core: &Core) -> f64 {
    let Core::Cylinder {
        centre,
        axis,
        radius,
        half_width,
    } = core
    else {
        panic!("no cylinder");
    };
    let q = p - centre;
    let along = q.dot(axis);
    let out = (q - axis * along).norm();
    (along.abs() - half_width)
        .max(0.0)
        .hypot((out - radius).max(0.0))
}

/// Independent method: nested golden section; the distance of a point from a convex body is convex along a line, and its least over a line is
/// convex in the line's place.
fn least(f: &dyn Fn(f64) -> f64, low: f64, high: f64) -> f64 {
    let (mut low, mut high) = (low, high);
    let g = 0.618_033_988_749_894_8;
    let (mut a, mut b) = (high - g * (high - low), low + g * (high - low));
    let (mut fa, mut fb) = (f(a), f(b));
    for _ in 0..44 {
        if fa < fb {
            (high, b, fb) = (b, a, fa);
            a = high - g * (high - low);
            fa = f(a);
        } else {
            (low, a, fa) = (a, b, fb);
            b = low + g * (high - low);
            fb = f(b);
        }
    }
    fa.min(fb).min(f(low)).min(f(high))
}

fn cylinder() -> impl Strategy<Value = Core> {
    (
        prop::array::uniform3(-0.2..0.2_f64),
        prop::array::uniform3(-0.6..0.6_f64),
        0.05..0.4_f64,
        prop_oneof![Just(0.0), 0.01..0.2_f64],
    )
        .prop_map(|(c, a, radius, half_width)| Core::Cylinder {
            centre: Point3::from(c),
            axis: AXES(a[0], a[1], a[2])[1],
            radius,
            half_width,
        })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn bar_and_cylinder_are_as_far_apart_as_golden_section_says(
        core in cylinder(),
        a in prop::array::uniform3(-1.0..1.0_f64),
        b in prop::array::uniform3(-1.0..1.0_f64),
    ) {
        let (a, b) = (Point3::from(a), Point3::from(b));
        let want = least(&|t| point_to_cylinder(&(a + (b - a) * t), &core), 0.0, 1.0);
        match core_distance(&core, &Core::Segment { a, b }) {
            Some(near) => {
                prop_assert!((near.distance - want).abs() < 1e-8, "{} {want}", near.distance);
                prop_assert!((near.distance - (near.first - near.second).norm()).abs() < 1e-9);
                prop_assert!(point_to_cylinder(&near.first, &core) < 1e-9);
                let other = core_distance(&Core::Segment { a, b }, &core).unwrap();
                prop_assert!((other.distance - near.distance).abs() < 1e-8);
            }
            None => prop_assert!(want < 1e-7, "{want}"),
        }
    }

    #[test]
    fn box_and_cylinder_are_as_far_apart_as_golden_section_says(
        core in cylinder(),
        centre in prop::array::uniform3(-0.8..0.8_f64),
        half in prop::array::uniform3(0.01..0.3_f64),
        turn in prop::array::uniform3(-1.5..1.5_f64),
    ) {
        let axes = AXES(turn[0], turn[1], turn[2]);
        let centre = Point3::from(centre);
        let at = |x: f64, y: f64, z: f64| {
            centre + axes[0] * (x * half[0]) + axes[1] * (y * half[1]) + axes[2] * (z * half[2])
        };
        let want = least(
            &|x| least(&|y| least(&|z| point_to_cylinder(&at(x, y, z), &core), -1.0, 1.0), -1.0, 1.0),
            -1.0,
            1.0,
        );
        match core_distance(&core, &Core::Box { centre, half, axes }) {
            // Golden section stands where the distance is flat to rounding: about 1e-8.
            Some(near) => prop_assert!((near.distance - want).abs() < 2e-8, "{} {want}", near.distance),
            None => prop_assert!(want < 1e-7, "{want}"),
        }
    }

    #[test]
    fn segments_are_as_far_apart_as_samples_say(
        p in prop::array::uniform4(prop::array::uniform3(-1.0..1.0_f64)),
    ) {
        let [a, b, c, d] = p.map(Point3::from);
        let near = segments(&a, &b, &c, &d);
        let want = least(
            &|s| least(&|t| (a + (b - a) * s - (c + (d - c) * t)).norm(), 0.0, 1.0),
            0.0,
            1.0,
        );
        prop_assert!((near.distance - want).abs() < 1e-7, "{} {want}", near.distance);
    }

    /// A turned and moved pair is as far apart; growing both takes the sum away.
    #[test]
    fn distance_does_not_see_the_frame(
        core in cylinder(),
        a in prop::array::uniform3(0.6..1.0_f64),
        b in prop::array::uniform3(0.6..1.0_f64),
        grown in prop::array::uniform2(0.0..0.1_f64),
    ) {
        let pose = geometry::Pose {
            position: Point3::new(0.3, -0.4, 0.7),
            phi: 0.2,
            theta: -0.3,
            psi: 0.5,
        };
        let bar = Core::Segment { a: Point3::from(a), b: Point3::from(b) };
        let of = |one: Core, other: Core, grown: [f64; 2]| {
            gap(
                &Body { core: one, grown: grown[0] },
                &Body { core: other, grown: grown[1] },
            ).unwrap().value().unwrap()
        };
        let here = of(core, bar, [0.0; 2]);
        let there = of(core.placed(&pose), bar.placed(&pose), grown);
        prop_assert!((here - grown[0] - grown[1] - there).abs() < 1e-9);
    }

    #[test]
    fn garbage_never_panics(
        numbers in prop::collection::vec(
            prop_oneof![
                Just(f64::NAN), Just(f64::INFINITY), Just(0.0), Just(-0.0), Just(1e308), Just(1e-320),
                Just(-1.0), Just(1.0), -2.0..2.0_f64,
            ],
            24,
        ),
    ) {
        let p = |i: usize| Point3::new(numbers[i], numbers[i + 1], numbers[i + 2]);
        let v = |i: usize| Vector3::new(numbers[i], numbers[i + 1], numbers[i + 2]);
        let cores = [
            Core::Cylinder { centre: p(0), axis: v(3), radius: numbers[6], half_width: numbers[7] },
            Core::Box { centre: p(8), half: [numbers[11], numbers[12], numbers[13]], axes: [v(14), v(17), v(20)] },
            Core::Segment { a: p(1), b: p(9) },
        ];
        for one in cores {
            for other in cores {
                let _ = gap(&Body { core: one, grown: numbers[23] }, &Body { core: other, grown: numbers[22] });
            }
        }
    }
}

/// A box face parallel to the wall of the tyre: plane distance. A face square above the tread: height − R.
#[test]
fn planes_give_plane_distance() {
    let tyre = Body {
        core: Core::Cylinder {
            centre: Point3::new(0.0, 0.7, 0.35),
            axis: Vector3::y(),
            radius: 0.31,
            half_width: 0.1,
        },
        grown: 0.04,
    };
    let axes = [Vector3::x(), Vector3::y(), Vector3::z()];
    let of = |centre: [f64; 3], half: [f64; 3]| {
        let obstacle = Body {
            core: Core::Box {
                centre: Point3::from(centre),
                half,
                axes,
            },
            grown: 0.0,
        };
        gap(&tyre, &obstacle).unwrap()
    };
    let wall = of([0.0, 0.45, 0.4], [0.6, 0.05, 0.06]).value().unwrap();
    assert!((wall - (0.7 - 0.14 - 0.5)).abs() < 1e-12, "{wall}");
    let above = of([0.1, 0.7, 0.86], [0.3, 0.2, 0.06]).value().unwrap();
    assert!((above - (0.8 - 0.7)).abs() < 1e-12, "{above}");
    // Overlap is known down to the shoulder radius; deeper it runs through.
    let into = of([0.0, 0.53, 0.4], [0.6, 0.05, 0.06]).value().unwrap();
    assert!((into + 0.02).abs() < 1e-12, "{into}");
    assert_eq!(of([0.0, 0.65, 0.4], [0.6, 0.05, 0.06]), Gap::RunsThrough);
}
