//! Rear packaging: sums that close, brute force over the envelope, laws.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

#[allow(dead_code, reason = "shared with other tests")]
mod common;
#[allow(dead_code, reason = "shared with the bench")]
mod mockup;

use geometry::distance::Gap;
use geometry::{AssembledAxle, Pose};
use nalgebra::{Point3, Vector3};
use proptest::prelude::*;
use vehicle::packaging::*;

fn near(got: f64, want: f64, within: f64) {
    assert!((got - want).abs() <= within, "{got}, expected {want}");
}

fn axle() -> AssembledAxle {
    mockup::axle(&common::four_rods())
}

/// Every width from the hub to the centreline closes: shafts and gap make the flange width, flanges, hats and offsets the track.
#[test]
fn widths_close() {
    let wheel = RearWheel {
        rim_width: 0.254,
        flange_thickness: 0.0127,
        offset: -0.012,
    };
    let housing = Housing {
        track: 1.48,
        hat_thickness: 0.007,
        brake_stack: 0.0635,
        differential_y: 0.02,
        half_gap: 0.011,
        pinion_offset: -0.038,
    };
    let order = housing.order(&wheel).unwrap();
    near(
        order.left_shaft + order.right_shaft + 2.0 * 0.011,
        order.axle_flange_width,
        1e-12,
    );
    near(
        order.axle_flange_width + 2.0 * (0.007 + 0.012),
        housing.track,
        1e-12,
    );
    near(
        order.housing_end_width + 2.0 * 0.0635,
        order.axle_flange_width,
        1e-12,
    );
    near(
        wheel.backspacing() + wheel.front_spacing(),
        wheel.overall_width(),
        1e-12,
    );
    // The trade's reading: offset is backspacing less half the overall width.
    let again = RearWheel::from_backspacing(0.254, 0.0127, wheel.backspacing()).unwrap();
    near(again.offset, -0.012, 1e-12);
    // Mirror: the differential on the other side swaps the shafts.
    let other = Housing {
        differential_y: -0.02,
        ..housing
    }
    .order(&wheel)
    .unwrap();
    near(other.left_shaft, order.right_shaft, 1e-12);
    let shafts = MeasuredShafts {
        lengths: [order.left_shaft, order.right_shaft],
        spline_length: 0.06,
        side_gear: [0.014, 0.049],
    };
    // A shaft of the ordered length ends half the gap from the centre: the whole gear is engaged.
    for e in housing.engagement(&wheel, &shafts).unwrap() {
        near(e, 0.035, 1e-12);
    }
    assert!(
        Housing {
            track: 0.1,
            ..housing
        }
        .order(&wheel)
        .is_err()
    );
}

/// The least of the envelope against brute force: every pose of a fine grid solved from scratch.
#[test]
fn least_gap_is_below_every_pose_of_a_fine_grid() {
    let axle = axle();
    let envelope = mockup::envelope(&axle, 7);
    let pairs = envelope.tyre_pairs();
    let least = envelope.least(&pairs).unwrap();
    assert_eq!(least.len(), pairs.len());
    assert!(envelope.limit().is_none());
    let n = 15;
    let mut brute = vec![f64::INFINITY; pairs.len()];
    for i in 0..n {
        for j in 0..n {
            let at = |k: i32| {
                -mockup::DROOP + (mockup::DROOP + mockup::BUMP) * f64::from(k) / f64::from(n - 1)
            };
            let roll = ((at(i) - at(j)) / mockup::TRACK).asin();
            let pose = axle.position(0.5 * (at(i) + at(j)), roll).unwrap().pose;
            for (slot, pair) in brute.iter_mut().zip(&pairs) {
                let gap = envelope.gap_at(*pair, &pose).unwrap();
                *slot = slot.min(gap.value().unwrap_or(f64::NEG_INFINITY));
            }
        }
    }
    for (c, brute) in least.iter().zip(&brute) {
        let Some(got) = c.gap.value() else {
            assert!(*brute == f64::NEG_INFINITY);
            continue;
        };
        assert!(got <= brute + 1e-9, "{:?}: {got} {brute}", c.pair);
        // Nor is it much below: the grid is fine.
        assert!(got > brute - 2e-4, "{:?}: {got} {brute}", c.pair);
        // It happens where it says.
        let again = axle.position(c.at.travel(), c.at.roll()).unwrap().pose;
        near(
            envelope.gap_at(c.pair, &again).unwrap().value().unwrap(),
            got,
            1e-9,
        );
        if let Gap::Apart { gap, first, second } = c.gap {
            near((second - first).norm(), gap.abs(), 1e-9);
        }
        let inside = |z: f64| (-mockup::DROOP - 1e-12..=mockup::BUMP + 1e-12).contains(&z);
        assert!(inside(c.at.left) && inside(c.at.right));
    }
}

/// Mirror: a symmetric car's left pairs are its right pairs, with the wheels' travels swapped.
#[test]
fn a_symmetric_car_is_as_tight_on_both_sides() {
    let axle = axle();
    let envelope = mockup::envelope(&axle, 7);
    // Obstacles come in left and right pairs.
    for i in (0..mockup::OBSTACLES).step_by(2) {
        let least = envelope
            .least(&[
                [Part::Tyre(Side::Left), Part::Obstacle(i)],
                [Part::Tyre(Side::Right), Part::Obstacle(i + 1)],
            ])
            .unwrap();
        let [l, r] = &least[..] else { panic!() };
        near(l.gap.value().unwrap(), r.gap.value().unwrap(), 1e-7);
    }
}

/// A vertical wall beside the tyre at rest: plane distance; and a lip square above the tread meets it at full bump.
#[test]
fn planes_over_travel() {
    let axle = axle();
    let tyre = TyreShape {
        radius: 0.34,
        width: 0.28,
        shoulder_radius: 0.04,
    };
    let fixed = |centre: [f64; 3], half: [f64; 3]| Obstacle::Box {
        centre: Point3::from(centre),
        half,
        axes: [Vector3::x(), Vector3::y(), Vector3::z()],
        on: Attached::Frame,
    };
    let obstacles = [fixed([0.0, 0.73, 0.90], [0.5, 0.3, 0.05])];
    let still = WheelTravel {
        bump: 0.0,
        droop: 0.0,
        grid: 2,
    };
    let of = |travel| {
        Envelope::new(&axle, travel, 1.46, &tyre, &obstacles)
            .unwrap()
            .least(&[[Part::Tyre(Side::Left), Part::Obstacle(0)]])
            .unwrap()[0]
    };
    near(
        of(still).gap.value().unwrap(),
        0.85 - axle.linkage.origin.z - 0.34,
        1e-9,
    );
    let moving = of(WheelTravel {
        bump: 0.08,
        droop: 0.07,
        grid: 7,
    });
    near(moving.at.left, 0.08, 1e-9);
    assert!(moving.gap.value().unwrap() < 0.85 - axle.linkage.origin.z - 0.34 - 0.079);
    assert!(matches!(
        Envelope::new(
            &axle,
            still,
            1.46,
            &TyreShape {
                shoulder_radius: 0.2,
                ..tyre
            },
            &obstacles
        ),
        Err(PackagingError::BadInput { .. })
    ));
    let envelope = Envelope::new(&axle, still, 1.46, &tyre, &obstacles).unwrap();
    assert_eq!(
        envelope.least(&[[Part::Tyre(Side::Left), Part::Obstacle(3)]]),
        Err(PackagingError::NoSuchObstacle { index: 3, count: 1 })
    );
}

/// What goes with the axle keeps its distance.
#[test]
fn parts_on_the_axle_go_with_it() {
    let axle = axle();
    let bar = |on| {
        let end = |p: [f64; 3]| BarEnd {
            point: Point3::from(p),
            on,
        };
        Obstacle::Bar {
            a: end([0.1, 0.45, 0.3]),
            b: end([0.1, 0.45, 0.5]),
            radius: 0.02,
        }
    };
    let envelope = Envelope::new(
        &axle,
        mockup::TRAVEL,
        mockup::TRACK,
        &mockup::TYRE,
        &[bar(Attached::Axle), bar(Attached::Frame)],
    )
    .unwrap();
    let gap = |index, z| {
        let pose = axle.position(z, 0.02).unwrap().pose;
        envelope
            .gap_at([Part::Tyre(Side::Left), Part::Obstacle(index)], &pose)
            .unwrap()
            .value()
            .unwrap()
    };
    near(gap(0, 0.0), gap(0, 0.05), 1e-12);
    assert!((gap(1, 0.0) - gap(1, 0.05)).abs() > 1e-6);
}

fn rail() -> Rail {
    Rail {
        edges: [0.42, 0.47],
        underside: 0.42,
        height: 0.1,
    }
}

/// Independent method: tube and rail sampled. The notch clears every point of the grown tube under the rail, and no smaller one does.
#[test]
fn notch_clears_the_tube_and_no_smaller_one_does() {
    let (r, c) = (0.038, 0.02);
    let poses: Vec<Pose> = [(0.06, 0.03), (0.08, -0.02), (0.0, 0.0)]
        .map(|(z, roll)| Pose {
            position: Point3::new(0.01 * z, 0.0, 0.33 + z),
            phi: roll,
            theta: 0.0,
            psi: 0.01,
        })
        .to_vec();
    let notch = rail().notch(r, c, &poses).unwrap();
    let mut top = f64::NEG_INFINITY;
    for pose in &poses {
        let d = pose.rotation() * Vector3::y();
        // Two directions square to the tube; the highest point of its surface over each edge.
        let u = d.cross(&Vector3::z()).normalize();
        let w = u.cross(&d);
        for y in rail().edges {
            for k in 0..3600 {
                let a = f64::from(k) * std::f64::consts::TAU / 3600.0;
                let out = (u * a.cos() + w * a.sin()) * r;
                let along = (y - pose.position.y - out.y) / d.y;
                top = top.max((pose.position + d * along + out).z);
            }
        }
    }
    near(notch.top, top, 1e-6);
    near(notch.depth, top + c - 0.42, 1e-6);
    near(notch.left, 0.1 - notch.depth, 1e-12);
    let [from, to] = notch.along.unwrap();
    assert!(to - from <= 2.0 * (r + c) + 0.02 && to > from);
    assert_eq!(notch.weakens(&rail()), notch.left < 0.05);
    // Far below: no notch.
    let low = [Pose::level(Point3::new(0.0, 0.0, 0.2))];
    let none = rail().notch(r, c, &low).unwrap();
    assert_eq!((none.depth, none.along), (0.0, None));
    assert!(rail().notch(r, c, &[]).is_err());
}

fn stop() -> BumpStop {
    BumpStop {
        side: Side::Left,
        pad: Point3::new(0.0, 0.44, 0.37),
        face: Point3::new(0.0, 0.44, 0.43),
        toward_pad: -Vector3::z(),
        height_loss: 0.02,
        rail: Rail {
            edges: [0.42, 0.46],
            underside: 0.45,
            height: 0.1,
        },
        notch_depth: 0.03,
        tube_radius: 0.038,
        shock: None,
    }
}

/// Straight up and level: touch, solid and metal are sums of heights.
#[test]
fn stops_in_their_order() {
    let axle = axle();
    let search = StopSearch {
        roll: 0.0,
        from: -0.05,
        to: 0.13,
        track: mockup::TRACK,
    };
    let s = stop().travels(&axle, &search).unwrap();
    // Pad and tube turn with the housing a little as it rises: the pad is above the tube's axis.
    let at = |z: f64| axle.position(z, 0.0).unwrap().pose;
    let height = |z: f64| {
        let local = Point3::from(stop().pad - axle.linkage.origin);
        at(z).place(&local).z
    };
    near(height(s.touch.unwrap()), 0.43, 1e-8);
    near(height(s.solid.unwrap()), 0.45, 1e-8);
    near(s.metal.unwrap(), 0.48 - 0.038 - axle.linkage.origin.z, 1e-8);
    assert!(s.findings().is_empty(), "{:?}", s.findings());
    near(
        s.room().unwrap(),
        s.metal.unwrap() - s.solid.unwrap(),
        1e-15,
    );
    // No notch: metal comes first, and that is said.
    let mut shallow = stop();
    shallow.notch_depth = 0.0;
    shallow.height_loss = 0.03;
    let bad = shallow.travels(&axle, &search).unwrap();
    assert!(matches!(
        bad.findings()[..],
        [StopFinding::MetalBeforeSolid { .. }]
    ));
    // A shock that shuts before the stop is solid.
    let mut short = stop();
    short.shock = Some(CoiloverBars {
        frame_point: Point3::new(-0.08, 0.43, 0.62),
        axle_point: Point3::new(-0.11, 0.48, 0.25),
        shut_length: 0.34,
    });
    let found = short.travels(&axle, &search).unwrap();
    assert!(matches!(
        found.findings()[..],
        [StopFinding::ShutBeforeSolid { .. }]
    ));
    // Rolled, the left wheel is higher than the axle by half the track.
    let rolled = stop()
        .travels(
            &axle,
            &StopSearch {
                roll: 0.03,
                ..search
            },
        )
        .unwrap();
    near(
        rolled.wheel_extra,
        0.5 * mockup::TRACK * 0.03_f64.sin(),
        1e-12,
    );
    assert!(rolled.touch.unwrap() < s.touch.unwrap());
    let short_search = stop()
        .travels(&axle, &StopSearch { to: 0.01, ..search })
        .unwrap();
    assert_eq!(short_search.findings(), [StopFinding::NeverTouches]);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    #[test]
    fn garbage_never_panics(
        n in prop::collection::vec(
            prop_oneof![Just(f64::NAN), Just(f64::INFINITY), Just(0.0), Just(1e300), Just(-1.0), -2.0..2.0_f64],
            20,
        ),
        grid in 0..70_usize,
    ) {
        let axle = axle();
        let p = |i: usize| Point3::new(n[i], n[i + 1], n[i + 2]);
        let v = |i: usize| Vector3::new(n[i], n[i + 1], n[i + 2]);
        let obstacle = Obstacle::Box { centre: p(0), half: [n[3], n[4], n[5]], axes: [v(6), v(9), v(12)], on: Attached::Axle };
        let tyre = TyreShape { radius: n[15], width: n[16], shoulder_radius: n[17] };
        let travel = WheelTravel { bump: n[18], droop: n[19], grid };
        for tyre in [tyre, mockup::TYRE] {
            let _ = Envelope::new(&axle, travel, n[0], &tyre, &[obstacle]);
            let _ = Envelope::new(&axle, mockup::TRAVEL, mockup::TRACK, &tyre, &[obstacle])
                .map(|e| e.least(&e.tyre_pairs()));
        }
        let rail = Rail { edges: [n[0], n[1]], underside: n[2], height: n[3] };
        let pose = Pose { position: p(4), phi: n[7], theta: n[8], psi: n[9] };
        let _ = rail.notch(n[10], n[11], &[pose]);
        let mut s = stop();
        s.pad = p(0);
        s.toward_pad = v(3);
        s.rail = rail;
        let search = StopSearch { roll: 0.1 * n[12], from: 0.05 * n[13], to: 0.1 * n[14], track: n[15] };
        let _ = s.travels(&axle, &search);
        let _ = RearWheel { rim_width: n[0], flange_thickness: n[1], offset: n[2] }.backspacing();
    }
}
