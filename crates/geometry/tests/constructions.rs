//! Exact constructions from the literature.
//!
//! Gillespie, Fundamentals of Vehicle Dynamics, ch. 7 (from memory): the instant centre of
//! a four-link is the crossing of the link lines; a driven rigid axle has 100 % anti-squat
//! when the line from the contact to it has slope h/L; e/d = h/L = 20.5/108.5 = 0.189;
//! roll steer of an axle on parallel lower links inclined at a is tan a. Milliken &
//! Milliken, Race Car Vehicle Dynamics, ch. 17 (from memory): a lateral bar's roll
//! centre is where it crosses the centre plane; triangulated links, where their lines meet.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod common;

use common::{assemble, build, car, level_bar, pair, rod};
use geometry::{
    AxleCar, AxleError, Crossing, InstantCentre, Moving, Unreachable, hundred_percent_line,
    line_crossing_2d, side_view_crossing,
};
use nalgebra::{Point2, Point3};

fn close(got: f64, want: f64, tolerance: f64) {
    assert!(
        (got - want).abs() <= tolerance,
        "got {got}, want {want} within {tolerance}"
    );
}

/// A lateral bar a kilometre long: the axle rises straight, so that links drawn in planes
/// parallel to the side view stay in them (to 1e-11 m) and plane geometry is an oracle.
fn straight_guide() -> geometry::DrawnRod {
    rod([-0.14, -1000.0, 0.33], [-0.14, 0.0, 0.33])
}

#[test]
fn equal_parallel_links_have_their_instant_centre_at_infinity() {
    let axle = build(
        pair([0.6, 0.42, 0.26], [0.0, 0.42, 0.2]),
        pair([0.6, 0.42, 0.51], [0.0, 0.42, 0.45]),
        Some(straight_guide()),
    );
    for travel in [-0.06, 0.0, 0.05] {
        let s = axle.state(travel, 0.0).unwrap();
        close(s.q, 0.0, 1e-9);
        close(s.pinion_up, 0.0, 1e-9);
        let InstantCentre::Infinity { slope } = s.instant_centre else {
            panic!("expected infinity: {:?}", s.instant_centre);
        };
        // The path normal lies along the links.
        let link = &axle.linkage.rods[0];
        let d = s.pose.place(&link.body_point) - link.frame_point;
        close(slope, d.z / d.x, 1e-9);
        close(s.tan_as, slope, 1e-9);
        assert_eq!(s.swing_arm_length, None);
    }
}

#[test]
fn a_horizontal_parallelogram_has_no_anti_squat() {
    let axle = build(
        pair([0.6, 0.42, 0.2], [0.0, 0.42, 0.2]),
        pair([0.6, 0.42, 0.45], [0.0, 0.42, 0.45]),
        Some(level_bar()),
    );
    let s = axle.state(0.0, 0.0).unwrap();
    close(s.anti_squat, 0.0, 1e-12);
    close(s.anti_lift, 0.0, 1e-12);
}

/// Links aimed at a chosen side-view point.
fn aimed(car: &AxleCar, x: f64, z: f64) -> geometry::AssembledAxle {
    let toward = |rear: [f64; 3], length_x: f64| {
        let share = length_x / (x - rear[0]);
        pair(
            [rear[0] + length_x, rear[1], rear[2] + share * (z - rear[2])],
            rear,
        )
    };
    let [a, b] = toward([0.02, 0.42, 0.19], 0.62);
    let [c, d] = toward([0.01, 0.4, 0.46], 0.55);
    assemble(car, &[a, b, c, d, level_bar()])
}

#[test]
fn any_instant_centre_on_the_100_percent_line_gives_exactly_100_percent() {
    // Gillespie's example, 20.5 in over 108.5 in, beside the test car.
    let published = AxleCar {
        wheelbase: 108.5 * 0.0254,
        cg_height: 20.5 * 0.0254,
        ..car()
    };
    close(published.cg_height / published.wheelbase, 0.189, 5e-4);
    for car in [car(), published] {
        for x in [0.9, 1.7, car.wheelbase, 4.5, -1.2] {
            let z = x * car.cg_height / car.wheelbase;
            let s = aimed(&car, x, z).state(0.0, 0.0).unwrap();
            close(s.anti_squat, 1.0, 1e-11);
            close(s.anti_lift, car.rear_brake_share, 1e-11);
            let InstantCentre::At { x: xi, z: zi } = s.instant_centre else {
                panic!("finite");
            };
            close(xi, x, 1e-10);
            close(zi, z, 1e-10);
            let [c, front] = hundred_percent_line(&car, &s.pose);
            let off = (front - c).perp(&(Point2::new(xi, zi) - c));
            close(off, 0.0, 1e-10);
        }
    }
}

#[test]
fn the_instant_centre_is_the_crossing_of_the_link_lines_in_every_pose() {
    // Links in planes parallel to the side view: the drawn lines are an independent oracle.
    let axle = build(
        pair([0.66, 0.42, 0.24], [0.03, 0.42, 0.2]),
        pair([0.6, 0.4, 0.37], [0.02, 0.4, 0.47]),
        Some(straight_guide()),
    );
    for travel in [-0.07, -0.02, 0.0, 0.03, 0.07] {
        let s = axle.state(travel, 0.0).unwrap();
        let rods = &axle.linkage.rods;
        let Some(Crossing::At(p)) = side_view_crossing(&rods[0], &rods[2], &s.pose) else {
            panic!("lines cross");
        };
        let InstantCentre::At { x, z } = s.instant_centre else {
            panic!("finite");
        };
        close(x, p.x, 1e-9);
        close(z, p.y, 1e-9);
        close(s.tan_as, (z - s.contact.z) / (x - s.contact.x), 1e-9);
        close(s.swing_arm_length.unwrap(), p.x - s.contact.x, 1e-9);
    }
}

#[test]
fn a_lateral_bar_puts_the_roll_centre_where_it_crosses_the_centre_plane() {
    // Parallel links as long as they are parallel to x let the axle rise and move sideways
    // freely, so the bar alone decides.
    let bar = rod([-0.1, -0.41, 0.36], [-0.1, 0.33, 0.29]);
    let axle = build(
        pair([0.6, 0.42, 0.2], [0.0, 0.42, 0.2]),
        pair([0.6, 0.42, 0.45], [0.0, 0.42, 0.45]),
        Some(bar),
    );
    let s = axle.state(0.0, 0.0).unwrap();
    let share = 0.41 / (0.33 + 0.41);
    let z = 0.36 + share * (0.29 - 0.36);
    // The roll centre is reported at the axle plane; level links make the axis level.
    close(s.roll_axis_slope, 0.0, 1e-12);
    close(s.roll_centre_above_ground, z, 1e-12);
}

#[test]
fn parallel_links_inclined_at_a_steer_by_tan_a() {
    // All four links parallel, t = tan a (front pivot higher positive), bar in the axle plane.
    for t in [-0.12, 0.0, 0.08, 0.2] {
        let axle = build(
            pair([0.6, 0.42, 0.2 + 0.6 * t], [0.0, 0.42, 0.2]),
            pair([0.6, 0.42, 0.45 + 0.6 * t], [0.0, 0.42, 0.45]),
            Some(rod([0.0, -0.4, 0.33], [0.0, 0.36, 0.33])),
        );
        let s = axle.state(0.0, 0.0).unwrap();
        // Heading per roll is tan a; with the front pivot higher the axis rises toward the front
        // and the axle steers out of the corner's way: oversteer, by our sign −tan a.
        close(s.roll_twist.w.z, t, 1e-12);
        close(s.roll_steer, -t, 1e-12);
        close(s.roll_axis_slope, -s.roll_steer, 1e-12);
        // Sign from first principles: the left end rises and the rod decides which way it goes,
        // d·v = 0 with v = (vx, ·, 1·y), vx = −(d.z/d.x)·vz.
        let link = &axle.linkage.rods[0];
        let d = s.pose.place(&link.body_point) - link.frame_point;
        let forward_of_left_end = -d.z / d.x * 0.42;
        // Left end forward turns the axle to the right (ψ̇ < 0).
        close(s.roll_steer, forward_of_left_end / 0.42, 1e-12);
    }
}

#[test]
fn triangulated_four_link() {
    // Lower links parallel to x in plan, level: they meet at infinity. The upper links meet
    // the centre plane at a point P of the housing side: the roll axis passes through P,
    // parallel to the lower links. Slope of the lowers t.
    let t = 0.05;
    let lower = pair([0.7, 0.47, 0.2 + 0.68 * t], [0.02, 0.47, 0.2]);
    let upper = pair([0.5, 0.45, 0.42], [0.03, 0.1, 0.5]);
    let axle = build(lower, upper, None);
    let s = axle.state(0.0, 0.0).unwrap();
    // The left upper line reaches y = 0 beyond its axle end.
    let share = 0.45 / (0.45 - 0.1);
    let p = Point3::new(0.5 + share * (0.03 - 0.5), 0.0, 0.42 + share * 0.08);
    close(s.roll_axis_slope, t, 1e-11);
    close(s.roll_centre_above_ground, p.z - t * p.x, 1e-11);
    close(s.roll_steer, -t, 1e-11);
    assert!(s.bind_max < 1e-12);
    // Side view: for a symmetric pair the projected lines cross at the instant centre.
    let crossing = line_crossing_2d(
        Point2::new(0.7, 0.2 + 0.68 * t),
        Point2::new(0.02, 0.2),
        Point2::new(0.5, 0.42),
        Point2::new(0.03, 0.5),
    );
    let (Some(Crossing::At(c)), InstantCentre::At { x, z }) = (crossing, s.instant_centre) else {
        panic!("finite");
    };
    close(x, c.x, 1e-10);
    close(z, c.y, 1e-10);
    // Four rods never bind, in any reachable pose.
    for (travel, roll) in [(0.06, 0.05), (-0.06, -0.04)] {
        assert!(axle.state(travel, roll).unwrap().bind_max < 1e-9);
    }
}

#[test]
fn unequal_holes_bind_and_say_so() {
    let axle = build(
        pair([0.66, 0.42, 0.24], [0.03, 0.42, 0.2]),
        [
            rod([0.6, 0.4, 0.37], [0.02, 0.4, 0.47]),
            rod([0.6, -0.4, 0.345], [0.02, -0.4, 0.47]),
        ],
        Some(level_bar()),
    );
    let s = axle.state(0.06, 0.0).unwrap();
    assert!(s.bind_max > 5e-4);
    // dE/dφ by central differences of the energy is the moment; of the moment, the stiffness.
    let step = 1e-4;
    let energy = |roll: f64| {
        let p = axle.position(0.06, roll).unwrap();
        geometry::stretch_energy(&axle.linkage.rods, &p.pose)
            .unwrap()
            .energy
    };
    let moment = (energy(step) - energy(-step)) / (2.0 * step);
    let got = s.bind_roll_moment.unwrap();
    close(got, moment, 1e-4 * moment.abs());
    let m = |roll: f64| axle.state(0.06, roll).unwrap().bind_roll_moment.unwrap();
    let stiffness = (m(step) - m(-step)) / (2.0 * step);
    close(s.bind_roll_stiffness.unwrap(), stiffness, 1e-6 * stiffness);
    // Left alone, the axle takes a roll of its own and nothing binds.
    let free = axle.free_roll_curve(-0.06, 0.06, 7);
    assert_eq!(free.states.len(), 7);
    for point in &free.states {
        assert!(point.position.bind_max < 1e-9);
    }
    assert!(free.states[6].position.pose.phi.abs() > 1e-3);
}

#[test]
fn a_link_that_swings_straight_locks_where_two_circles_part() {
    // Planar oracle: links in planes parallel to the side view, lower front pivot F1, upper
    // F2, lengths l1, l2, housing ends a distance d apart. Axle ends stay a rigid bar, so the
    // pose at a given travel exists while the height of the axle centre is reachable;
    // the limit is found here by a dense scan of the lower link's angle.
    let axle = build(
        pair([0.3, 0.42, 0.22], [0.0, 0.42, 0.2]),
        pair([0.28, 0.4, 0.4], [0.0, 0.4, 0.46]),
        Some(straight_guide()),
    );
    let l1 = (0.3_f64.powi(2) + 0.02_f64.powi(2)).sqrt();
    let l2 = (0.28_f64.powi(2) + 0.06_f64.powi(2)).sqrt();
    let d = 0.26;
    // Height of the axle centre 0.13 above the lower end along the bar, for lower-link angle u.
    let height = |u: f64| -> Option<f64> {
        let (bx, bz) = (0.3 - l1 * u.cos(), 0.22 + l1 * u.sin());
        // Upper end: d from the lower end, l2 from the upper pivot, the upper solution.
        let (fx, fz) = (0.28 - bx, 0.4 - bz);
        let g = (fx * fx + fz * fz).sqrt();
        let along = (d * d - l2 * l2 + g * g) / (2.0 * g);
        let across2 = d * d - along * along;
        (across2 >= 0.0).then(|| {
            let across = across2.sqrt();
            let uz = (along * fz + across * fx) / g;
            bz + 0.5 * uz
        })
    };
    let z0 = height((-0.02_f64 / l1).asin()).unwrap();
    close(z0, 0.33, 1e-12);
    let start = (-0.02_f64 / l1).asin();
    let mut highest = z0;
    let mut u = start;
    let mut step = 1e-3;
    // Climb to the first maximum of the height.
    while step > 1e-10 {
        match height(u + step) {
            Some(z) if z > highest => {
                u += step;
                highest = z;
            }
            _ => step *= 0.5,
        }
    }
    let error = axle.state(0.4, 0.0).unwrap_err();
    let AxleError::OutOfReach {
        moving: Moving::Travel,
        begins_at,
        reason,
    } = error
    else {
        panic!("{error}");
    };
    assert!(!reason.is_input_fault());
    close(begins_at, highest - 0.33, 1e-6);
    let curve = axle.travel_curve(0.0, -0.05, 0.4, 91).unwrap();
    assert!(curve.low_limit.is_none());
    assert!(curve.high_limit.is_some());
    assert!(curve.states.last().unwrap().travel <= begins_at);
    let columns = curve.columns();
    assert_eq!(columns.anti_squat.len(), curve.states.len());
}

#[test]
fn a_rod_held_too_short_cannot_be_assembled() {
    let [a, b] = pair([0.66, 0.42, 0.23], [0.03, 0.42, 0.2]);
    let [mut c, d] = pair([0.5, 0.42, 0.425], [0.02, 0.09, 0.475]);
    c.length = Some(0.15);
    let car = car();
    let linkage = geometry::AxleLinkage::drawn(&car, &[a, b, c, d]).unwrap();
    let error = linkage.assemble(car).unwrap_err();
    assert!(
        matches!(
            error,
            AxleError::CannotAssemble { share, reason: Unreachable::DoesNotReach { .. } } if share > 0.0 && share < 1.0
        ),
        "{error:?}"
    );
}

#[test]
fn a_longer_upper_pair_turns_the_pinion() {
    let lower = pair([0.6, 0.42, 0.2], [0.0, 0.42, 0.2]);
    let mut upper = pair([0.6, 0.42, 0.45], [0.0, 0.42, 0.45]);
    for r in &mut upper {
        r.length = Some(0.61);
    }
    let axle = build(lower, upper, Some(level_bar()));
    // Upper ends pushed back by about 10 mm over 250 mm: housing turns nose up, θ < 0.
    let s = axle.state(0.0, 0.0).unwrap();
    close(s.pose.theta, -(0.01_f64 / 0.25).asin(), 2e-4);
    close(s.pinion_up, 0.0, 0.0);
    assert!(s.bind_max < 1e-12);
}

#[test]
fn line_crossing_knows_its_special_cases() {
    let p = Point2::new;
    let parallel = line_crossing_2d(p(0.0, 0.0), p(1.0, 1.0), p(0.0, 1.0), p(1.0, 2.0));
    assert!(matches!(parallel, Some(Crossing::Parallel(_))));
    assert_eq!(
        line_crossing_2d(p(0.0, 0.0), p(0.0, 0.0), p(0.0, 1.0), p(1.0, 2.0)),
        None
    );
    assert_eq!(
        line_crossing_2d(p(f64::NAN, 0.0), p(1.0, 0.0), p(0.0, 1.0), p(1.0, 2.0)),
        None
    );
    let Some(Crossing::At(x)) =
        line_crossing_2d(p(0.0, 0.0), p(2.0, 0.0), p(1.0, 3.0), p(1.0, 2.0))
    else {
        panic!("crosses");
    };
    close(x.x, 1.0, 1e-15);
    close(x.y, 0.0, 1e-15);
}
