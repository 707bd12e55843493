//! Exact constructions and closed forms.

use geometry::front::{
    Carrier, DrawnCorner, Front, FrontError, FrontMoving, FrontRod, FrontViewCentre, Joint,
    LockCause, RodSide, Side, SteeringCar, TieRod, TieRodMove, anti_dive, closest, ideal_outer,
    rod_bars,
};
use geometry::{Point3, Vector3};

use crate::{arm, usual};

/// Level parallel arms of equal length with inner axes along (1, 0, slope), tie rod parallel
/// and equal: the knuckle only translates.
fn parallel(slope: f64) -> DrawnCorner {
    let inner = |x: f64, y: f64, z: f64| [2.7 + x, y, z + slope * x];
    DrawnCorner {
        side: Side::Left,
        wheel_centre: Point3::new(2.7, 0.75, 0.32),
        loaded_radius: 0.32,
        camber: 0.0,
        toe_in: 0.0,
        lower: arm(
            inner(0.15, 0.3, 0.2),
            inner(-0.15, 0.3, 0.2),
            [2.7, 0.68, 0.2],
        ),
        upper: arm(
            inner(0.12, 0.27, 0.45),
            inner(-0.12, 0.27, 0.45),
            [2.7, 0.65, 0.45],
        ),
        tie_rod: TieRod {
            inner: Point3::new(2.58, 0.3, 0.25),
            outer: Point3::new(2.58, 0.68, 0.25),
            length: None,
        },
    }
}

// Exact construction (Milliken & Milliken, Race Car Vehicle Dynamics, ch. 17, from memory): equal
// parallel arms keep the wheel upright, the front-view centre is at infinity, and with the
// arms level the roll centre lies on the ground.
#[test]
fn equal_parallel_arms_keep_camber_and_toe() {
    let corner = parallel(0.0).assemble().unwrap();
    let design = corner.state(0.0, 0.0).unwrap();
    assert!(design.roll_centre_above_ground.abs() < 1e-14);
    assert_eq!(design.front_view_centre, FrontViewCentre::Infinity);
    for travel in [-0.07, -0.02, 0.04, 0.08] {
        let state = corner.state(travel, 0.0).unwrap();
        assert!(state.camber.abs() < 1e-12 && state.toe_in.abs() < 1e-12);
        // The balls go round circles of 0.38 m.
        let y = 0.75 - 0.38 + (0.38_f64.powi(2) - travel * travel).sqrt();
        assert!((state.pose.position.y - y).abs() < 1e-12);
    }
    let bump = corner.bump_steer().unwrap();
    assert!(bump.slope.abs() < 1e-12 && bump.curvature.abs() < 1e-10);
}

// Exact construction: inner axes inclined by the slope p in side view move the contact along
// (−p, 0, 1), so −p = h/(L p_f) gives exactly 100 % (Gillespie, Fundamentals of Vehicle
// Dynamics, ch. 7, from memory).
#[test]
fn anti_dive_of_inclined_axes() {
    let (h, l, share) = (0.52, 2.7, 0.65);
    let slope = -h / (l * share);
    let state = parallel(slope).assemble().unwrap().state(0.0, 0.0).unwrap();
    for tangent in [state.dive_tangent_contact, state.dive_tangent_centre] {
        let value = anti_dive(tangent, share, h, l).unwrap();
        assert!((value - 1.0).abs() < 1e-12, "{value}");
    }
    let pro = parallel(0.1).assemble().unwrap().state(0.0, 0.0).unwrap();
    assert!(anti_dive(pro.dive_tangent_contact, share, h, l).unwrap() < 0.0);
    assert!(anti_dive(0.1, 1.2, h, l).is_err());
}

// Unequal arms in one plane, the tie rod in line with the lower arm in front view: a planar
// four-bar. Solved here by bisection on the lower arm's angle with the crossing of two circles.
#[test]
fn camber_of_a_planar_four_bar() {
    let drawn = DrawnCorner {
        upper: arm([2.82, 0.4, 0.46], [2.58, 0.4, 0.46], [2.7, 0.63, 0.49]),
        lower: arm([2.85, 0.31, 0.21], [2.55, 0.31, 0.21], [2.7, 0.69, 0.19]),
        tie_rod: TieRod {
            inner: Point3::new(2.57, 0.31, 0.21),
            outer: Point3::new(2.57, 0.69, 0.19),
            length: None,
        },
        ..parallel(0.0)
    };
    let corner = drawn.assemble().unwrap();
    let (a, b) = ((0.31_f64, 0.21_f64), (0.4_f64, 0.46_f64));
    let (lower, upper) = ((0.69_f64, 0.19_f64), (0.63_f64, 0.49_f64));
    let length = |p: (f64, f64), q: (f64, f64)| (q.0 - p.0).hypot(q.1 - p.1);
    let (la, lb, lk) = (length(a, lower), length(b, upper), length(lower, upper));
    let tilt0 = (upper.1 - lower.1).atan2(upper.0 - lower.0);
    // Lower angle → (wheel y, wheel z, turn of the knuckle about x).
    let pose = |angle: f64| {
        let p = (a.0 + la * angle.cos(), a.1 + la * angle.sin());
        let d = length(p, b);
        let along = (lk * lk - lb * lb + d * d) / (2.0 * d);
        let off = (lk * lk - along * along).sqrt();
        let e = ((b.0 - p.0) / d, (b.1 - p.1) / d);
        let u = (p.0 + along * e.0 + off * e.1, p.1 + along * e.1 - off * e.0);
        let turn = (u.1 - p.1).atan2(u.0 - p.0) - tilt0;
        let r = (0.75 - lower.0, 0.32 - lower.1);
        let (s, c) = turn.sin_cos();
        (p.0 + c * r.0 - s * r.1, p.1 + s * r.0 + c * r.1, turn)
    };
    for travel in [-0.07, -0.03, 0.02, 0.06] {
        let (mut low, mut high) = (-0.5_f64, 0.5_f64);
        for _ in 0..80 {
            let middle = 0.5 * (low + high);
            if pose(middle).1 < 0.32 + travel {
                low = middle;
            } else {
                high = middle;
            }
        }
        let (y, _, turn) = pose(0.5 * (low + high));
        let state = corner.state(travel, 0.0).unwrap();
        // A turn about +x tips the left wheel's top inboard.
        assert!((state.camber + turn).abs() < 1e-11, "{travel}");
        assert!((state.pose.position.y - y).abs() < 1e-11);
        assert!(state.toe_in.abs() < 1e-11);
        // Front-view centre: where the two arms' lines cross.
        if let FrontViewCentre::At { y, z } = state.front_view_centre {
            let p = state.lower_ball;
            let cross = |ax: f64, ay: f64, bx: f64, by: f64| ax * by - ay * bx;
            assert!(cross(p.y - a.0, p.z - a.1, y - a.0, z - a.1).abs() < 1e-9);
            // The roll centre is where the line from contact to centre meets the centreline.
            let c = state.contact;
            let on_line = (z - c.z) / (y - c.y) * (0.0 - c.y);
            assert!((on_line - state.roll_centre_above_ground).abs() < 1e-10);
        } else {
            panic!("the arms are not parallel");
        }
    }
}

/// An upright steering axis, steering arm of 0.12 m straight back or angled in.
fn upright(arm_in: f64) -> DrawnCorner {
    DrawnCorner {
        lower: arm([2.85, 0.31, 0.2], [2.55, 0.31, 0.2], [2.7, 0.7, 0.2]),
        upper: arm([2.85, 0.31, 0.45], [2.55, 0.31, 0.45], [2.7, 0.7, 0.45]),
        tie_rod: TieRod {
            inner: Point3::new(2.56, 0.3, 0.25),
            outer: Point3::new(2.58, 0.7 - arm_in, 0.25),
            length: None,
        },
        ..parallel(0.0)
    }
}

// Closed form: about an upright axis K the outer end goes round a circle, so
// |K + Rz(δ)(B − K) − A − s ŷ| = ℓ is A cos δ + B sin δ = C.
#[test]
fn steering_about_an_upright_axis() {
    let car = SteeringCar {
        wheelbase: 2.7,
        rack_per_turn: 0.05,
        tyre_width: 0.2,
    };
    for arm_in in [0.0, 0.03] {
        let drawn = upright(arm_in);
        let front = Front::symmetric(&drawn).unwrap();
        let (k, r) = ((2.7_f64, 0.7_f64), (-0.12_f64, -arm_in));
        let reach = (0.02_f64).hypot(0.4 - arm_in);
        let steer = |side: f64, s: f64| {
            let (rx, ry) = (r.0, side * r.1);
            let (dx, dy) = (k.0 - 2.56, side * (k.1 - 0.3) - s);
            let a = 2.0 * (dx * rx + dy * ry);
            let b = 2.0 * (dy * rx - dx * ry);
            let c = reach * reach - dx * dx - dy * dy - rx * rx - ry * ry;
            let (middle, half) = (b.atan2(a), (c / a.hypot(b)).acos());
            let roots = [middle + half, middle - half].map(|t| t.sin().atan2(t.cos()));
            if roots[0].abs() < roots[1].abs() {
                roots[0]
            } else {
                roots[1]
            }
        };
        let track = front.axis_track().unwrap();
        assert!((track - 1.4).abs() < 1e-12);
        for row in front.steering(&car, &[-0.05, -0.02, 0.01, 0.04]).unwrap() {
            let (l, r) = (steer(1.0, row.rack), steer(-1.0, row.rack));
            assert!((row.steer_left - l).abs() < 1e-10, "{} {l}", row.steer_left);
            assert!((row.steer_right - r).abs() < 1e-10);
            let h = 1e-6;
            let slope = (steer(1.0, row.rack + h) + steer(-1.0, row.rack + h)
                - steer(1.0, row.rack - h)
                - steer(-1.0, row.rack - h))
                / (4.0 * h);
            assert!((row.mean_per_rack - slope).abs() < 1e-7);
            let turn = row.turn.unwrap();
            // Wheels behind their axis: rack to the right turns the car to the left.
            assert_eq!(
                turn.to,
                if row.rack < 0.0 {
                    Side::Left
                } else {
                    Side::Right
                }
            );
            let ideal = ideal_outer(turn.inner, track, 2.7);
            let want = (turn.inner - turn.outer) / (turn.inner - ideal);
            assert!((turn.ackermann - want).abs() < 1e-12);
        }
        let straight = front.steering(&car, &[0.0]).unwrap();
        assert!(straight[0].turn.is_none());
    }
}

// Exact construction: the normals of an ideal pair, drawn from the steering axes on the ground,
// meet on the line of the rear axle. Parallel wheels: 0 %.
#[test]
fn normals_of_an_ideal_pair_meet_on_the_rear_axle() {
    let (l, t) = (2.7, 1.4);
    for inner in [0.02_f64, 0.2, 0.5, 0.7] {
        let outer = ideal_outer(inner, t, l);
        // Turn to the left: centre at (0, y): inner at (l, t/2), outer at (l, −t/2).
        let y_inner = 0.5 * t + l / inner.tan();
        let y_outer = -0.5 * t + l / outer.tan();
        assert!((y_inner - y_outer).abs() < 1e-9, "{inner}");
        assert!(outer < inner);
    }
}

// The shift found in closed form, checked by differences of the toe itself.
#[test]
fn straightened_tie_rods_keep_the_toe() {
    let corner = usual().assemble().unwrap();
    let toe = |c: &geometry::front::Corner, z: f64| c.toe_change(&[z]).unwrap()[0];
    let slope = |c: &_, h: f64| (toe(c, h) - toe(c, -h)) / (2.0 * h);
    let bend = |c: &_, h: f64| (toe(c, h) + toe(c, -h)) / (h * h);
    let before = corner.bump_steer().unwrap();
    assert!((before.slope - slope(&corner, 1e-4)).abs() < 1e-7);
    assert!((before.curvature - bend(&corner, 1e-3)).abs() < 1e-4);
    assert!(before.slope.abs() > 1e-3);
    for end in [TieRodMove::Inner, TieRodMove::Outer] {
        let height = corner.rack_height(end).unwrap();
        assert!(height.slope_after.abs() < 1e-12);
        let up = |by: f64| {
            corner
                .with_tie_rod_moved(end, &(Vector3::z() * by))
                .unwrap()
        };
        let moved = up(height.shift);
        assert!(slope(&moved, 1e-4).abs() < 1e-7);
        assert!((moved.rods[4].length - height.tie_rod_length).abs() < 1e-15);
        // The toe at design stays.
        assert!((moved.toe_at(&moved.design.pose) - 0.001).abs() < 1e-13);
        let per =
            (up(1e-5).bump_steer().unwrap().slope - up(-1e-5).bump_steer().unwrap().slope) / 2e-5;
        assert!((height.slope_per_height / per - 1.0).abs() < 1e-6);
    }
    let both = corner.straighten().unwrap();
    let shift = Vector3::new(0.0, both.shift_y, both.shift_z);
    let moved = corner
        .with_tie_rod_moved(TieRodMove::Inner, &shift)
        .unwrap();
    let after = moved.bump_steer().unwrap();
    assert!(after.slope.abs() < 1e-11 && after.curvature.abs() < 1e-9);
    assert!((moved.rods[4].length - both.tie_rod_length).abs() < 1e-14);
    // What is left is of third order: halving the travel leaves an eighth.
    let ratio = toe(&moved, 0.01) / toe(&moved, 0.005);
    assert!((ratio - 8.0).abs() < 0.4, "{ratio}");
}

// The limit is where the lower arm and the upper arm lie in line with their circles: found by
// the sweep, confirmed by the poses just before and just beyond.
#[test]
fn reach_ends_at_a_named_travel() {
    let corner = usual().assemble().unwrap();
    for (rack, way) in [(0.0, 0.5), (0.0, -0.5), (0.02, 0.5)] {
        let Some(FrontError::OutOfReach {
            moving: FrontMoving::Travel,
            begins_at,
            ..
        }) = corner.travel_limit(rack, way).unwrap()
        else {
            panic!("{way} m of travel was reached");
        };
        let step = 1e-6_f64.copysign(way);
        assert!(
            corner
                .travel_limit(rack, begins_at - step)
                .unwrap()
                .is_none()
        );
        assert!(
            corner
                .travel_limit(rack, begins_at + step)
                .unwrap()
                .is_some()
        );
    }
    let front = Front::symmetric(&usual()).unwrap();
    let grid = front
        .grid(&[-0.4, 0.0, 0.05], &[-0.3, -0.02, 0.0, 0.02, 0.3])
        .unwrap();
    assert!(grid.cell(Side::Left, 0, 2).unwrap().is_err());
    let at = |side, rack| match grid.cell(side, 1, rack).unwrap() {
        Err(FrontError::OutOfReach {
            moving: FrontMoving::Rack,
            begins_at,
            ..
        }) => *begins_at,
        other => panic!("{other:?}"),
    };
    assert_eq!(at(Side::Left, 0), -at(Side::Right, 4));
    assert!(at(Side::Left, 0) < -0.02 && at(Side::Left, 4) > 0.02);
}

// A rod held too short is refused with the share of the way that is reached; one held a little
// longer gives the toe that the derivative foretells.
#[test]
fn held_lengths() {
    let mut drawn = usual();
    drawn.tie_rod.length = Some(0.1);
    assert!(matches!(
        drawn.assemble(),
        Err(FrontError::CannotAssemble { share, .. }) if share > 0.0 && share < 1.0
    ));
    let as_drawn = (drawn.tie_rod.outer - drawn.tie_rod.inner).norm();
    drawn.tie_rod.length = Some(as_drawn + 1e-5);
    let corner = drawn.assemble().unwrap();
    // Tie rod behind the axle: longer pushes the steering arm out, the wheel toes in.
    assert!(corner.toe_at(&corner.design.pose) > 0.001);
    let mut flat = usual();
    flat.upper.ball.z = flat.lower.ball.z;
    assert!(matches!(
        flat.assemble(),
        Err(FrontError::NoSteeringAxis { .. })
    ));
}

// Angles and gaps that can be read off the drawing.
#[test]
fn joints_gaps_and_lock() {
    let drawn = parallel(0.0);
    let corner = drawn.assemble().unwrap();
    let front = Front::symmetric(&drawn).unwrap();
    let travel: f64 = 0.05;
    let pose = corner.position(travel, 0.0).unwrap().pose;
    let turn = (travel / 0.38).asin();
    let ball = Joint::Ball {
        arm: Carrier::LowerArm,
        stud: Vector3::z(),
        housing: Vector3::z() * 3.0,
    };
    assert!((ball.misalignment(&corner, &pose, 0.0).unwrap() - turn).abs() < 1e-11);
    let end = Joint::RodEnd {
        rod: FrontRod::TieRod,
        end: RodSide::Outer,
        bolt: Vector3::z(),
    };
    assert!((end.misalignment(&corner, &pose, 0.0).unwrap() - turn).abs() < 1e-11);
    // Parallel bars: front-view distance of tie rod and upper front leg's plane, at design.
    let bars = rod_bars(&corner, [0.01, 0.01, 0.01, 0.01, 0.005]);
    let cells = front.grid(&[0.0, travel], &[0.0]).unwrap();
    let least = closest(&corner, &cells.left, &bars[1], &bars[4])
        .unwrap()
        .unwrap();
    let brute = |pose: &geometry::Pose| {
        let axis = |i: usize| corner.bar_axis(&bars[i], pose, 0.0).unwrap();
        let (p, q) = (axis(1), axis(4));
        let mut best = f64::INFINITY;
        for i in 0..=400 {
            for j in 0..=400 {
                let at = |s: [Point3<f64>; 2], t: f64| s[0] + (s[1] - s[0]) * t;
                let d = at(p, f64::from(i) / 400.0) - at(q, f64::from(j) / 400.0);
                best = best.min(d.norm());
            }
        }
        best - 0.015
    };
    let want = brute(&corner.design.pose).min(brute(&pose));
    assert!(least.gap.gap <= want + 1e-12 && want - least.gap.gap < 1e-4);
    // The rack's own end, and a joint that stops it before.
    let lock = front
        .lock(0.0, 0.05, |_, _| (LockCause::JointAngle, 1.0))
        .unwrap();
    assert_eq!((lock.rack, lock.cause), (0.05, LockCause::RackEnd));
    let lock = front
        .lock(0.0, -0.05, |l, _| {
            (LockCause::TyreContact, 0.2 - l.steer.abs())
        })
        .unwrap();
    assert_eq!(lock.cause, LockCause::TyreContact);
    let there = front.left.state(0.0, lock.rack).unwrap();
    assert!((there.steer.abs() - 0.2).abs() < 1e-7);
}
