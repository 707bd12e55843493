//! Laws that hold for every front end: derivative, mirror, scale, rigid arms, bad input.

use geometry::front::{
    Adjuster, AdjusterChange, Alignment, BarEnd, Carried, Carrier, CoilOver, Corner, DrawnCorner,
    Front, FrontRod, Side, TieRod, Wanted, Wishbone, segment_distance, turns_for,
};
use geometry::{Point3, Vector3};
use proptest::prelude::*;

use crate::usual;

fn near(p: Point3<f64>, by: f64) -> impl Strategy<Value = Point3<f64>> {
    (-by..by, -by..by, -by..by).prop_map(move |(x, y, z)| p + Vector3::new(x, y, z))
}

fn near_arm(w: Wishbone) -> impl Strategy<Value = Wishbone> {
    (near(w.front, 0.02), near(w.rear, 0.02), near(w.ball, 0.015)).prop_map(
        move |(front, rear, ball)| Wishbone {
            front,
            rear,
            ball,
            ..w
        },
    )
}

prop_compose! {
    fn corners()(
        lower in near_arm(usual().lower),
        upper in near_arm(usual().upper),
        inner in near(usual().tie_rod.inner, 0.02),
        outer in near(usual().tie_rod.outer, 0.015),
        wheel_centre in near(usual().wheel_centre, 0.01),
        camber in -0.03..0.03_f64,
        toe_in in -0.01..0.01_f64,
    ) -> DrawnCorner {
        DrawnCorner {
            lower,
            upper,
            tie_rod: TieRod { inner, outer, length: None },
            wheel_centre,
            camber,
            toe_in,
            ..usual()
        }
    }
}

fn coil_over() -> CoilOver {
    CoilOver {
        on_frame: Point3::new(2.71, 0.45, 0.5),
        on_arm: Carried {
            carrier: Carrier::LowerArm,
            point: Point3::new(2.71, 0.58, 0.195),
        },
    }
}

fn bar_end() -> BarEnd {
    BarEnd {
        axis_point: Point3::new(2.95, 0.4, 0.22),
        axis: Vector3::new(0.02, 2.0, 0.05),
        arm_end: Point3::new(2.76, 0.5, 0.24),
        link: Carried {
            carrier: Carrier::LowerArm,
            point: Point3::new(2.74, 0.55, 0.19),
        },
        link_length: None,
    }
}

const H: f64 = 1e-4;

/// Fourth-order central difference.
fn slope(f: impl Fn(f64) -> f64) -> f64 {
    (8.0 * (f(H) - f(-H)) - (f(2.0 * H) - f(-2.0 * H))) / (12.0 * H)
}

fn close(what: &str, got: f64, want: f64, tolerance: f64) -> Result<(), TestCaseError> {
    prop_assert!(
        (got - want).abs() <= tolerance * (1.0 + want.abs()),
        "{what}: {got} against {want}"
    );
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    #[test]
    fn rates_are_the_derivative_of_the_poses(
        drawn in corners(), travel in -0.05..0.05_f64, rack in -0.03..0.03_f64,
    ) {
        let Ok(corner) = drawn.assemble() else { return Ok(()) };
        let Ok(state) = corner.state(travel, rack) else { return Ok(()) };
        prop_assert!(state.stretch_max < 1e-12);
        let at = |z: f64, s: f64| corner.state(travel + z, rack + s).unwrap();
        close("toe", state.toe_per_travel, slope(|h| at(h, 0.0).toe_in), 1e-8)?;
        close("camber", state.camber_per_travel, slope(|h| at(h, 0.0).camber), 1e-8)?;
        close("caster", state.caster_per_travel, slope(|h| at(h, 0.0).caster), 1e-8)?;
        close("steer", state.steer_per_rack, slope(|h| at(0.0, h).steer), 1e-8)?;
        for i in 0..3 {
            let by_z = slope(|h| at(h, 0.0).pose.position[i]);
            let by_rack = slope(|h| at(0.0, h).pose.position[i]);
            close("v", state.heave_twist.v[i], by_z, 1e-8)?;
            close("v by rack", state.rack_twist.v[i], by_rack, 1e-8)?;
        }
        // Second derivatives of the motion.
        let motion = corner.heave_motion(&state.pose, rack).unwrap();
        for i in 0..3 {
            let bend = slope(|h| at(h, 0.0).heave_twist.v[i]);
            let spin = slope(|h| at(h, 0.0).heave_twist.w[i]);
            close("acceleration", motion.acceleration[i], bend, 1e-7)?;
            close("angular acceleration", motion.angular_acceleration[i], spin, 1e-7)?;
        }
        // The contact fixed to the knuckle: the same material point in neighbouring poses.
        let body = state.pose.rotation().transpose() * (state.contact - state.pose.position);
        let x = slope(|h| at(h, 0.0).pose.place(&Point3::from(body)).x);
        let z = slope(|h| at(h, 0.0).pose.place(&Point3::from(body)).z);
        close("dive tangent", state.dive_tangent_contact, x / z, 1e-8)?;
    }

    #[test]
    fn toe_curvature_is_the_derivative_of_its_slope(drawn in corners()) {
        let Ok(corner) = drawn.assemble() else { return Ok(()) };
        let bump = corner.bump_steer().unwrap();
        let at = |z: f64| corner.state(z, 0.0).unwrap().toe_per_travel;
        close("slope", bump.slope, at(0.0), 1e-12)?;
        close("curvature", bump.curvature, slope(at), 1e-7)?;
    }

    #[test]
    fn springs_and_bars_follow_the_arm(
        drawn in corners(), travel in -0.04..0.04_f64, rack in -0.02..0.02_f64,
    ) {
        let Ok(corner) = drawn.assemble() else { return Ok(()) };
        let Ok(here) = corner.position(travel, rack) else { return Ok(()) };
        let pose = |z: f64| corner.position(travel + z, rack).unwrap().pose;
        let coil = |z: f64| coil_over().state(&corner, &pose(z), rack).unwrap();
        let state = coil(0.0);
        close("motion ratio", state.motion_ratio, -slope(|h| coil(h).length), 1e-8)?;
        let bend = slope(|h| coil(h).motion_ratio);
        close("its slope", state.motion_ratio_slope, bend, 1e-7)?;
        // The arm is rigid: its points keep their distances from inner points and ball joint.
        let end = state.lower_end;
        let was = coil_over().on_arm.point;
        let ball = here.pose.place(&corner.rods[0].body_point);
        for (now, then) in [
            (end - drawn.lower.front, was - drawn.lower.front),
            (end - drawn.lower.rear, was - drawn.lower.rear),
            (end - ball, was - drawn.lower.ball),
        ] {
            close("distance", now.norm(), then.norm(), 1e-10)?;
        }
        let bar = |z: f64| bar_end().state(&corner, &pose(z), rack).unwrap();
        let state = bar(0.0);
        close("turn", state.turn_per_travel, slope(|h| bar(h).turn), 1e-8)?;
        close("turn's slope", state.turn_slope, slope(|h| bar(h).turn_per_travel), 1e-7)?;
        let link = (bar_end().arm_end - bar_end().link.point).norm();
        close("link", (state.arm_end - state.link_end).norm(), link, 1e-10)?;
    }

    #[test]
    fn adjusters_do_what_their_derivative_says(drawn in corners()) {
        let Ok(corner) = drawn.assemble() else { return Ok(()) };
        let adjusters = [
            Adjuster { changes: vec![
                AdjusterChange::Length { rod: FrontRod::UpperFront, per_turn: 2e-3 },
                AdjusterChange::Length { rod: FrontRod::UpperRear, per_turn: 2e-3 },
            ] },
            Adjuster { changes: vec![
                AdjusterChange::Length { rod: FrontRod::UpperFront, per_turn: -2e-3 },
                AdjusterChange::Length { rod: FrontRod::UpperRear, per_turn: 2e-3 },
            ] },
            Adjuster { changes: vec![AdjusterChange::Shift {
                rod: FrontRod::TieRod, per_turn: Vector3::new(1e-3, 2e-3, -1e-3),
            }] },
        ];
        let mut table = Vec::new();
        for adjuster in &adjusters {
            let rate = corner.adjuster_rate(adjuster).unwrap();
            let at = |turns: f64| {
                let turned = corner.adjusted(&[(adjuster, 100.0 * turns)]).unwrap();
                turned.alignment_at(&turned.design.pose)
            };
            close("camber", 100.0 * rate.camber, slope(|h| at(h).camber), 1e-7)?;
            close("caster", 100.0 * rate.caster, slope(|h| at(h).caster), 1e-7)?;
            close("toe", 100.0 * rate.toe_in, slope(|h| at(h).toe_in), 1e-7)?;
            table.push(rate);
        }
        // The inverse, to the second order that a linear table leaves.
        let want = (1e-4, -2e-4, 5e-5);
        let wanted = Wanted { camber: Some(want.0), caster: Some(want.1), toe_in: Some(want.2) };
        let turns = turns_for(&table, &wanted).unwrap();
        let all: Vec<_> = adjusters.iter().zip(turns).collect();
        let turned = corner.adjusted(&all).unwrap();
        let got = turned.alignment_at(&turned.design.pose) - corner.alignment_at(&corner.design.pose);
        prop_assert!((got.camber - want.0).abs() < 3e-6);
        prop_assert!((got.caster - want.1).abs() < 3e-6);
        prop_assert!((got.toe_in - want.2).abs() < 3e-6);
    }

    #[test]
    fn right_is_the_mirror_image_of_left(
        drawn in corners(), travel in -0.05..0.05_f64, rack in -0.03..0.03_f64,
    ) {
        let Ok(front) = Front::symmetric(&drawn) else { return Ok(()) };
        let (Ok(left), Ok(right)) = (front.left.state(travel, -rack), front.right.state(travel, rack))
        else { return Ok(()) };
        let image = left.mirrored();
        prop_assert_eq!(image.side, Side::Right);
        for (a, b) in [
            (image.toe_in, right.toe_in), (image.camber, right.camber),
            (image.caster, right.caster), (image.steer, right.steer),
            (image.kingpin_inclination, right.kingpin_inclination),
            (image.scrub_radius, right.scrub_radius),
            (image.mechanical_trail, right.mechanical_trail),
            (image.roll_centre_above_ground, right.roll_centre_above_ground),
            (image.toe_per_travel, right.toe_per_travel),
            (image.camber_per_travel, right.camber_per_travel),
            (image.steer_per_rack, right.steer_per_rack),
            (image.rack_twist.v.x, right.rack_twist.v.x),
            (image.rack_twist.w.z, right.rack_twist.w.z),
            (image.heave_twist.w.x, right.heave_twist.w.x),
            (image.spin_axis.x, right.spin_axis.x),
            (image.spin_axis.z, right.spin_axis.z),
        ] {
            close("mirror", a, b, 1e-9)?;
        }
    }

    #[test]
    fn a_front_twice_the_size_has_the_same_angles(
        drawn in corners(), travel in -0.03..0.03_f64, rack in -0.02..0.02_f64, k in 0.5..3.0_f64,
    ) {
        let big = |p: Point3<f64>| Point3::from(p.coords * k);
        let big_arm = |w: Wishbone| Wishbone {
            front: big(w.front), rear: big(w.rear), ball: big(w.ball), ..w
        };
        let scaled = DrawnCorner {
            wheel_centre: big(drawn.wheel_centre),
            loaded_radius: k * drawn.loaded_radius,
            lower: big_arm(drawn.lower),
            upper: big_arm(drawn.upper),
            tie_rod: TieRod {
                inner: big(drawn.tie_rod.inner), outer: big(drawn.tie_rod.outer), length: None,
            },
            ..drawn
        };
        let (Ok(a), Ok(b)) = (drawn.assemble(), scaled.assemble()) else { return Ok(()) };
        let (Ok(one), Ok(two)) = (a.state(travel, rack), b.state(k * travel, k * rack))
        else { return Ok(()) };
        close("camber", two.camber, one.camber, 1e-9)?;
        close("toe", two.toe_in, one.toe_in, 1e-9)?;
        close("scrub", two.scrub_radius, k * one.scrub_radius, 1e-9)?;
        close("roll centre", two.roll_centre_above_ground, k * one.roll_centre_above_ground, 1e-8)?;
        close("bump steer", k * two.toe_per_travel, one.toe_per_travel, 1e-8)?;
        let (p, q) = (a.bump_steer().unwrap(), b.bump_steer().unwrap());
        close("curvature", k * k * q.curvature, p.curvature, 1e-7)?;
    }

    #[test]
    fn a_grid_is_its_poses(drawn in corners(), off in 0.0..0.01_f64) {
        let Ok(left) = drawn.assemble() else { return Ok(()) };
        let other = DrawnCorner { camber: drawn.camber + off, ..drawn.mirrored() };
        let front = Front { left, right: other.assemble().unwrap() };
        let travels: Vec<f64> = (-6..=6).map(|i| 0.01 * f64::from(i)).collect();
        let racks: Vec<f64> = (-4..=4).map(|i| 0.01 * f64::from(i)).collect();
        let grid = front.grid(&travels, &racks).unwrap();
        for (side, corner) in [(Side::Left, &front.left), (Side::Right, &front.right)] {
            for (i, travel) in travels.iter().enumerate().step_by(3) {
                for (j, rack) in racks.iter().enumerate() {
                    match (grid.cell(side, i, j).unwrap(), corner.state(*travel, *rack)) {
                        (Ok(a), Ok(b)) => {
                            close("toe", a.toe_in, b.toe_in, 1e-10)?;
                            close("steer", a.steer_per_rack, b.steer_per_rack, 1e-8)?;
                            prop_assert!(a.stretch_max < 1e-12);
                        }
                        (Err(_), Err(_)) => {}
                        (a, b) => prop_assert!(false, "{a:?} {b:?}"),
                    }
                }
            }
        }
    }

    // Outside check: no point of either segment is nearer than any other pair, by sampling.
    #[test]
    fn segments(p in prop::array::uniform4(prop::array::uniform3(-1.0..1.0_f64)), still in 0..4_u8) {
        let mut p = p.map(Point3::from);
        if still == 1 { p[1] = p[0]; }
        if still == 2 { p[3] = p[2]; }
        if still == 3 { p[3] = p[2] + (p[1] - p[0]) * 0.7; }
        let (distance, a, b) = segment_distance([p[0], p[1]], [p[2], p[3]]);
        close("points", (a - b).norm(), distance, 1e-14)?;
        let mut least = f64::INFINITY;
        for i in 0..=60 {
            for j in 0..=60 {
                let (s, t) = (f64::from(i) / 60.0, f64::from(j) / 60.0);
                least = least.min((p[0] + (p[1] - p[0]) * s - p[2] - (p[3] - p[2]) * t).norm());
            }
        }
        prop_assert!(distance <= least + 1e-12);
        prop_assert!(distance >= least - 0.06);
    }

    #[test]
    fn garbage_never_panics(
        numbers in prop::collection::vec(
            prop_oneof![
                any::<f64>(), -3.0..3.0_f64, Just(0.0), Just(f64::NAN), Just(f64::INFINITY),
                Just(1e308), Just(-1e-308),
            ], 40),
    ) {
        let n = |i: usize| numbers[i % numbers.len()];
        let p = |i: usize| Point3::new(n(i), n(i + 1), n(i + 2));
        let arm = |i: usize| Wishbone {
            front: p(i), rear: p(i + 3), ball: p(i + 6), front_length: None, rear_length: Some(n(i)),
        };
        let garbage = DrawnCorner {
            side: Side::Right, wheel_centre: p(0), loaded_radius: n(3), camber: n(4), toe_in: n(5),
            lower: arm(6), upper: arm(15),
            tie_rod: TieRod { inner: p(24), outer: p(27), length: None },
        };
        if let Ok(corner) = garbage.assemble() {
            poke(&corner, &numbers);
        }
        poke(&usual().assemble().unwrap(), &numbers);
        let line = |i: usize| Alignment { camber: n(i), caster: n(i + 1), toe_in: n(i + 2) };
        let wanted = Wanted { camber: Some(n(7)), caster: Some(n(8)), toe_in: Some(n(9)) };
        let _ = turns_for(&[line(0), line(3), line(11)], &wanted);
        let _ = segment_distance([p(0), p(3)], [p(6), p(9)]);
    }
}

/// Everything a corner can be asked, with any numbers.
fn poke(corner: &Corner, numbers: &[f64]) {
    let n = |i: usize| numbers[i % numbers.len()];
    let _ = corner.state(n(0), n(1));
    let _ = corner.travel_limit(n(2), n(3));
    let _ = corner.bump_steer();
    let _ = corner.straighten();
    let shift = Vector3::new(n(4), n(5), n(6));
    let _ = corner.with_tie_rod_moved(geometry::front::TieRodMove::Outer, &shift);
    let _ = corner.rack_height(geometry::front::TieRodMove::Outer);
    let adjuster = Adjuster {
        changes: vec![
            AdjusterChange::Shift {
                rod: FrontRod::UpperRear,
                per_turn: shift,
            },
            AdjusterChange::Length {
                rod: FrontRod::TieRod,
                per_turn: n(7),
            },
        ],
    };
    let _ = corner.adjuster_effect(&adjuster);
    let _ = corner.adjusted(&[(&adjuster, n(8))]);
    let pose = &corner.design.pose;
    let bar = BarEnd {
        axis_point: Point3::new(n(9), n(10), n(11)),
        axis: shift,
        arm_end: Point3::new(n(12), n(13), n(14)),
        link: Carried {
            carrier: Carrier::UpperArm,
            point: Point3::new(n(15), n(16), n(17)),
        },
        link_length: Some(n(18)),
    };
    let _ = bar.state(corner, pose, n(19));
    let coil = CoilOver {
        on_frame: bar.axis_point,
        on_arm: bar.link,
    };
    let _ = coil.state(corner, pose, n(20));
    let front = Front {
        left: *corner,
        right: *corner,
    };
    let _ = front.grid(&[n(21), 0.01], &[n(22), 0.0]);
}

// A table in which two adjusters do the same is refused for two angles.
#[test]
fn a_singular_table_is_refused() {
    let line = Alignment {
        camber: 1e-3,
        caster: 2e-3,
        toe_in: 0.0,
    };
    let wanted = Wanted {
        camber: Some(1e-3),
        caster: Some(1e-3),
        toe_in: None,
    };
    assert!(turns_for(&[line, line], &wanted).is_err());
    let one = Wanted {
        camber: Some(1e-3),
        ..Wanted::default()
    };
    // Two equal adjusters share one angle evenly: the fewest turns.
    let turns = turns_for(&[line, line], &one).unwrap();
    assert!((turns[0] - 0.5).abs() < 1e-12 && (turns[1] - 0.5).abs() < 1e-12);
    assert!(turns_for(&[], &one).is_err());
}
