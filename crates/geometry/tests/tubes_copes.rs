//! Copes against a solid asked only "is this point inside", closed forms and laws.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

use std::f64::consts::{FRAC_PI_2, FRAC_PI_4, PI, TAU};

use geometry::tube::cope::{
    Cope, CopeError, CopeFinding, CopedTube, End, Landing, Main, Mitre, NoHoleSaw, Outside, Pair,
    WrongCut, mitre_gap,
};
use geometry::tube::direction::Axes;
use geometry::tube::section::Section;
use geometry::{Point3, Vector3};
use proptest::prelude::*;

const INCH: f64 = 0.0254;

fn landing(d: Vector3<f64>, roll: f64, end: End) -> Landing {
    Landing {
        point: Point3::new(0.2, -0.1, 0.3),
        axes: Axes::by_up_rule(&d, roll).unwrap(),
        end,
    }
}

/// Whether a point lies in a main, from the main's own words.
fn inside(main: &Main, q: &Point3<f64>) -> bool {
    let axis = main.direction / main.direction.norm();
    let v = q - main.point;
    if main.ends_here && v.dot(&axis) < 0.0 {
        return false;
    }
    match main.outside {
        Outside::Round { radius } => v.cross(&axis).norm() <= radius,
        Outside::Rectangular {
            height,
            width,
            corner,
            up,
        } => {
            let side = axis.cross(&up).normalize();
            let up = side.cross(&axis);
            let (a, b) = (v.dot(&up).abs(), v.dot(&side).abs());
            if a > height / 2.0 || b > width / 2.0 {
                return false;
            }
            let (x, y) = (a - height / 2.0 + corner, b - width / 2.0 + corner);
            x <= 0.0 || y <= 0.0 || x * x + y * y <= corner * corner
        }
    }
}

/// The outermost exit by walking in from far away and halving.
fn walked(mains: &[Main], from: &Point3<f64>, u: &Vector3<f64>) -> Option<f64> {
    let hit = |s: f64| mains.iter().any(|m| inside(m, &(from + u * s)));
    let (far, step) = (0.6, 2e-4);
    let mut s = far;
    while s > -far {
        if hit(s) {
            let (mut low, mut high) = (s, s + step);
            for _ in 0..50 {
                let middle = 0.5 * (low + high);
                if hit(middle) {
                    low = middle
                } else {
                    high = middle
                }
            }
            return Some(low);
        }
        s -= step;
    }
    None
}

/// Generator at φ and radius, or at p on a rectangle, written out again.
fn start(landing: &Landing, up: f64, side: f64) -> Point3<f64> {
    landing.point + landing.axes.up * up + landing.axes.side * side
}

/// Saddle at 90°: depth R − sqrt(R² − r²): r = R 0.75 in → 0.75; R 0.75, r 0.5 → 0.191 in.
#[test]
fn saddle_depth() {
    for (r, depth) in [(0.75, 0.75), (0.5, 0.191)] {
        let end = landing(Vector3::y(), 0.0, End::A);
        let main = Main::through(end.point, Vector3::x(), 0.75 * INCH);
        let cope = Cope::new(&Section::round(2.0 * r * INCH, 0.065 * INCH), &end, &[main]).unwrap();
        assert!(
            (cope.depth() / INCH - depth).abs() < 5e-4,
            "{}",
            cope.depth() / INCH
        );
        assert!((cope.short_point().s - 0.75 * INCH).abs() < 1e-12);
    }
}

/// Equal tubes at 45°, by hand: s = r(1 + cos α)/sin α at φ' = 0, r(1 − cos α)/sin α at π,
/// and 0 at ±90°, the long points.
#[test]
fn equal_tubes_at_45_degrees() {
    let r = 0.02;
    let end = landing(Vector3::y(), 0.0, End::A);
    let main = Main::through(end.point, Vector3::new(0.0, 1.0, 1.0), r);
    let cope = Cope::new(&Section::round(2.0 * r, 0.002), &end, &[main]).unwrap();
    let (sin, cos) = FRAC_PI_4.sin_cos();
    assert!((cope.outer(0.0) - r * (1.0 + cos) / sin).abs() < 1e-12);
    assert!((cope.outer(PI) - r * (1.0 - cos) / sin).abs() < 1e-12);
    assert!(cope.outer(FRAC_PI_2).abs() < 1e-6);
    let long = cope.long_point();
    assert!(
        long.s.abs() < 1e-6 && (long.at.abs() - FRAC_PI_2).abs() < 1e-4,
        "{long:?}"
    );
    let pair = cope.pairs()[0];
    assert!((pair.alpha - FRAC_PI_4).abs() < 1e-15 && pair.clock.abs() < 1e-15);
    let saw = cope.hole_saw().unwrap();
    assert!((saw.from_square - FRAC_PI_4).abs() < 1e-15);
    // Along the main from φ' = 0 to π: r(1 + cos α)cot α + r sin α and r(1 − cos α)cot α −
    // r sin α; the difference is 2r/sin α.
    assert!(
        (saw.cup_depth - 2.0 * r / sin).abs() < 1e-9,
        "{}",
        saw.cup_depth
    );
}

/// A flat face of a box at any angle cuts a plane: s = (h/2 + ρ cos φ' cos α)/sin α.
#[test]
fn on_the_flat_of_a_rectangular_rail() {
    let end = landing(Vector3::new(0.6, 0.8, 0.0), 0.0, End::A);
    let outside = Outside::Rectangular {
        height: 0.1,
        width: 0.06,
        corner: 0.006,
        up: Vector3::z(),
    };
    let main = Main {
        outside,
        ..Main::through(end.point, Vector3::x(), 0.0)
    };
    let cope = Cope::new(&Section::round(0.038, 0.002), &end, &[main]).unwrap();
    let (cos, sin) = (0.6, 0.8);
    let pair = cope.pairs()[0];
    for i in 0..36 {
        let phi = f64::from(i) * TAU / 36.0;
        let s = (0.03 + 0.019 * (phi - pair.clock).cos() * cos) / sin;
        assert!((cope.outer(phi) - s).abs() < 1e-14);
    }
    // Cut straight in, the outside edge governs on the acute side: no gap there.
    assert!(cope.square_gap(pair.clock) < 1e-12);
    assert_eq!(cope.hole_saw(), Err(NoHoleSaw::NotRound));
    // Square tube on the same face, square to it: cut square, s = 30 mm all round.
    let end = landing(Vector3::y(), 0.0, End::B);
    let main = Main {
        point: end.point,
        ..main
    };
    let cope = Cope::new(&Section::rectangular(0.04, 0.04, 0.003), &end, &[main]).unwrap();
    for i in 0..50 {
        assert!((cope.outer(f64::from(i) * 0.01) - 0.03).abs() < 1e-15);
    }
}

#[test]
fn failures_and_remarks() {
    let end = landing(Vector3::y(), 0.0, End::A);
    let tube = Section::round(0.04, 0.002);
    let at = |dz: f64, r: f64| Main::through(end.point + Vector3::z() * dz, Vector3::x(), r);
    match Cope::new(&tube, &end, &[at(0.06, 0.025)]) {
        Err(CopeError::Misses { main: 0, clearance }) => {
            assert!((clearance - 0.015).abs() < 1e-15);
        }
        other => panic!("{other:?}"),
    }
    // r sin φ' > R: free by asin on both sides; φ runs a quarter turn from φ'.
    match Cope::new(&tube, &end, &[at(0.0, 0.016)]) {
        Err(CopeError::Overhang {
            arcs,
            inside: false,
        }) => {
            let half = FRAC_PI_2 - (0.016_f64 / 0.02).asin();
            assert_eq!(arcs.len(), 2);
            for arc in arcs {
                assert!((arc[1] - arc[0] - 2.0 * half).abs() < 1e-7, "{arc:?}");
            }
        }
        other => panic!("{other:?}"),
    }
    let nine = 9_f64.to_radians();
    let lean = Main::through(end.point, Vector3::new(nine.sin(), nine.cos(), 0.0), 0.03);
    assert!(matches!(
        Cope::new(&tube, &end, &[lean]),
        Err(CopeError::NearParallel { main: 0, .. })
    ));
    assert_eq!(Cope::new(&tube, &end, &[]).unwrap_err(), CopeError::NoMain);
    // Equal diameters are tangent at the ears, not an overhang.
    assert!(Cope::new(&tube, &end, &[at(0.0, 0.02)]).is_ok());
    // 25° is remarked on; a straight that starts 20 mm up the main is left by the cut, whose
    // place along the main is ρ cos φ'/sin α + cot α·sqrt(R² − (ρ sin φ')²).
    let angle = 25_f64.to_radians();
    let main = Main {
        straight: Some([0.02, 1.0]),
        ..Main::through(
            end.point,
            Vector3::new(angle.sin(), angle.cos(), 0.0),
            0.025,
        )
    };
    let cope = Cope::new(&tube, &end, &[main, at(3.0, 0.025)]).unwrap();
    let found = cope.findings();
    let has = |f: fn(&CopeFinding) -> bool| found.iter().any(f);
    assert!(has(|f| matches!(f, CopeFinding::Acute { main: 0, .. })));
    assert!(has(|f| matches!(
        f,
        CopeFinding::BeyondStraight { main: 0, .. }
    )));
    assert!(has(|f| matches!(f, CopeFinding::NotMet { main: 1 })));
    assert_eq!(cope.hole_saw(), Err(NoHoleSaw::SeveralMains(2)));
}

/// Volume against a sum over a fine even grid, and the mean-radius mass within 5e-4 of it.
#[test]
fn volume_and_mass() {
    let section = Section::round(0.0381, 0.002413);
    let a = landing(Vector3::y(), 0.0, End::A);
    let main = Main::through(a.point, Vector3::new(1.0, 0.4, 0.0), 0.0254);
    let cope = Cope::new(&section, &a, &[main]).unwrap();
    let tube = CopedTube {
        section: &section,
        length: 0.3,
        a: Some(&cope),
        b: None,
    };
    let (mut sum, n, m) = (0.0, 720, 40);
    for i in 0..n {
        for j in 0..m {
            let phi = f64::from(i) * TAU / f64::from(n);
            let rho = 0.01905 - 0.002413 * (f64::from(j) + 0.5) / f64::from(m);
            let from = start(&a, rho * phi.cos(), rho * phi.sin());
            let foot = cope.pairs()[0];
            let q = (0.0254_f64.powi(2) - (from - main.point).dot(&foot.w).powi(2)).sqrt();
            let x = (from - main.point).dot(&foot.t);
            let s = (q + x * foot.alpha.cos()) / foot.alpha.sin();
            sum += rho * (0.3 - s);
        }
    }
    let volume = sum * TAU / f64::from(n) * 0.002413 / f64::from(m);
    assert!(
        (tube.volume() / volume - 1.0).abs() < 1e-7,
        "{} {volume}",
        tube.volume()
    );
    assert!((tube.mass(7850.0) / (7850.0 * volume) - 1.0).abs() < 5e-4);
    let wrap = cope.wrap(0.0001, false, 360).unwrap();
    assert!((wrap.girth - TAU * 0.0191).abs() < 1e-12);
    let least = wrap.cut.iter().map(|c| c[1]).fold(f64::INFINITY, f64::min);
    assert!((0.0..1e-5).contains(&least), "{least}");
    assert!((tube.total() - (0.3 - cope.long_point().s)).abs() < 1e-15);
}

/// A mitre is the plane halfway: both tubes' ends coincide there.
#[test]
fn mitre() {
    let included = 1.9_f64;
    let mitre = Mitre::new(0.02, included).unwrap();
    assert!((mitre.saw - (FRAC_PI_2 - included / 2.0)).abs() < 1e-15);
    // Tubes along +x and at the included angle; every cut point lies on the bisecting plane.
    let normal = Vector3::new(1.0, 0.0, 0.0) - Vector3::new(included.cos(), included.sin(), 0.0);
    for i in 0..24 {
        let phi = f64::from(i) * TAU / 24.0;
        let q = Vector3::new(mitre.profile(0.02, phi), 0.02 * phi.cos(), 0.02 * phi.sin());
        assert!(q.dot(&normal).abs() < 1e-15);
    }
    assert!(Mitre::new(0.02, 0.1).is_err() && Mitre::new(f64::NAN, 1.0).is_err());
    assert!((mitre_gap(0.04, 0.0, 0.01) - 0.04 * 0.01_f64.tan()).abs() < 1e-15);
}

/// A saw a size too large, square on the axis: the gap is the difference of the two saddles
/// (R − sqrt(R² − y²)) less the least of it over both edges.
#[test]
fn gap_of_a_wrong_saw() {
    let end = landing(Vector3::y(), 0.0, End::A);
    let tube = Section::round(0.04, 0.002);
    let main = Main::through(end.point, Vector3::x(), 0.025);
    let right = Cope::new(&tube, &end, &[main]).unwrap();
    let cut = Cope::new(&tube, &end, &[right.pairs()[0].main(&end, 0.03)]).unwrap();
    let gap = WrongCut::new(&right, &cut);
    let drop = |r: f64, y: f64| r - (r * r - y * y).sqrt();
    let least = [0.0_f64, 0.02, 0.018].map(|y| (0.03 - drop(0.03, y)) - (0.025 - drop(0.025, y)));
    let touch = least.iter().copied().fold(f64::INFINITY, f64::min);
    let at_ear = least[1] - touch;
    assert!((gap.outer(0.0) - at_ear).abs() < 1e-9);
    assert!((gap.stands_back() + touch).abs() < 1e-9);
    // Cut right: no gap anywhere.
    let none = WrongCut::new(&right, &right);
    assert!(none.largest().0.abs() < 1e-12);
    // Cut short by 1 mm at 60°, in the plane of the axes: δ sin α.
    let main = Main::through(end.point, Vector3::new(3_f64.sqrt(), 1.0, 0.0), 0.025);
    let cope = Cope::new(&tube, &end, &[main]).unwrap();
    let phi = cope.pairs()[0].clock;
    let gap = cope.cut_short(0, 0.001, phi).unwrap();
    assert!((gap - 0.001 * cope.pairs()[0].alpha.sin()).abs() < 1e-12);
}

prop_compose! {
    fn round_case()(
        d in prop::array::uniform3(-1.0_f64..1.0).prop_filter("short", |d| Vector3::from(*d).norm() > 0.3),
        roll in -3.0_f64..3.0,
        end in prop::bool::ANY,
        alpha in 0.3_f64..2.84,
        clock in -3.1_f64..3.1,
        share in 0.3_f64..0.98,
        offset in -1.0_f64..1.0,
        wall in 0.05_f64..0.4,
        foot in -0.05_f64..0.05,
    ) -> (Section, Landing, Main) {
        let end = landing(Vector3::from(d), roll, if end { End::A } else { End::B });
        let main_radius = 0.025;
        let r = main_radius * share;
        let t = end.axes.across(clock);
        let u = end.inward();
        let e = offset * (main_radius - r);
        let point = end.point + u * foot + u.cross(&t) * e;
        let direction = (u * alpha.cos() + t * alpha.sin()) * 1.7;
        let main = Main::through(point + direction * 0.2, direction, main_radius);
        (Section::round(2.0 * r, wall * r), end, main)
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// Outer and inner profile against the walked solid; the square profile against dense
    /// samples through the wall; extremes against dense samples.
    #[test]
    fn one_round_main((section, end, main) in round_case()) {
        let cope = Cope::new(&section, &end, &[main]).unwrap();
        let Section::Round { od, wall } = section else { unreachable!() };
        let u = end.inward();
        let pair = cope.pairs()[0];
        for i in 0..12 {
            let phi = f64::from(i) * 0.531 - 3.0;
            let place = |rho: f64| start(&end, rho * phi.cos(), rho * phi.sin());
            let s = walked(&[main], &place(0.5 * od), &u).unwrap();
            prop_assert!((cope.outer(phi) - s).abs() < 1e-9, "{} {s}", cope.outer(phi));
            let closed = pair.profile(end.end, phi, 0.5 * od, 0.025).unwrap();
            prop_assert!((cope.outer(phi) - closed).abs() < 1e-11);
            let s = walked(&[main], &place(0.5 * od - wall), &u).unwrap();
            prop_assert!((cope.inner(phi) - s).abs() < 1e-9);
            let through = (0..=400).map(|j| cope.at_depth(phi, wall * f64::from(j) / 400.0).unwrap());
            let most = through.fold(f64::NEG_INFINITY, f64::max);
            let square = cope.square(phi);
            prop_assert!(square >= most - 1e-15 && square - most < 1e-6, "{square} {most}");
        }
        let (mut least, mut most) = (f64::INFINITY, f64::NEG_INFINITY);
        for i in 0..3600 {
            let phi = f64::from(i) * TAU / 3600.0;
            least = least.min(cope.outer(phi)).min(cope.inner(phi));
            most = most.max(cope.outer(phi));
        }
        let (long, short) = (cope.long_point().s, cope.short_point().s);
        prop_assert!(long <= least + 1e-12 && least - long < 2e-6, "{long} {least}");
        prop_assert!(short >= most - 1e-12 && short - most < 2e-6);
    }

    /// The envelope of several mains, one of them ending at the joint, one rectangular.
    #[test]
    fn several_mains(
        (section, end, main) in round_case(),
        lean in prop::array::uniform3(-0.5_f64..0.5),
        roll in -3.0_f64..3.0,
        sides in prop::array::uniform2(0.03_f64..0.08),
    ) {
        let u = end.inward();
        let away = end.axes.up * 0.9 + Vector3::from(lean);
        let other = Main::ending(end.point, away, 0.019);
        let box_axis = end.axes.side + Vector3::from(lean);
        let up = Axes::by_up_rule(&box_axis, roll).unwrap().up;
        let rail = Main {
            outside: Outside::Rectangular { height: sides[0], width: sides[1], corner: 0.006, up },
            ..Main::through(end.point - u * 0.03, box_axis, 0.0)
        };
        let mains = [main, other, rail];
        let Ok(cope) = Cope::new(&section, &end, &mains) else { return Ok(()) };
        let Section::Round { od, wall } = section else { unreachable!() };
        for i in 0..12 {
            let phi = f64::from(i) * 0.531 - 3.0;
            for (rho, ours) in [(0.5 * od, cope.outer(phi)), (0.5 * od - wall, cope.inner(phi))] {
                let from = start(&end, rho * phi.cos(), rho * phi.sin());
                // Near a silhouette the walk may step over a sliver.
                if let Some(s) = walked(&mains, &from, &u) {
                    prop_assert!(ours >= s - 1e-9, "{ours} {s}");
                    let just_in = from + u * (ours - 1e-7);
                    prop_assert!(ours - s < 1e-9 || mains.iter().any(|m| inside(m, &just_in)));
                    prop_assert!(!mains.iter().any(|m| inside(m, &(from + u * (ours + 1e-9)))));
                }
            }
        }
    }

    /// A rectangular branch: the profile at p against the walk from its own corner points.
    #[test]
    fn rectangular_branch((_, end, main) in round_case(), height in 0.015_f64..0.03, width in 0.015_f64..0.03) {
        let main = Main { outside: Outside::Round { radius: 0.06 }, ..main };
        let section = Section::rectangular(height, width, 0.002);
        let cope = Cope::new(&section, &end, &[main]).unwrap();
        let u = end.inward();
        let c = 0.004;
        // Middle of the up face; end of it; a point half round its corner; middle of the e2
        // face; middle of the down face.
        let half = std::f64::consts::FRAC_1_SQRT_2;
        let flat = width / 2.0 - c;
        let arc = FRAC_PI_2 * c;
        let places = [
            (0.0, height / 2.0, 0.0),
            (flat, height / 2.0, flat),
            (flat + arc / 2.0, height / 2.0 - c + c * half, flat + c * half),
            (flat + arc + height / 2.0 - c, 0.0, width / 2.0),
            (section.girth() / 2.0, -height / 2.0, 0.0),
            (-flat, height / 2.0, -flat),
        ];
        for (p, up, side) in places {
            let s = walked(&[main], &start(&end, up, side), &u).unwrap();
            prop_assert!((cope.outer(p) - s).abs() < 1e-9, "{p}: {} {s}", cope.outer(p));
        }
        let s = walked(&[main], &start(&end, height / 2.0 - 0.002, 0.0), &u).unwrap();
        prop_assert!((cope.inner(0.0) - s).abs() < 1e-9);
        for i in 0..40 {
            let p = section.girth() * f64::from(i) / 40.0;
            prop_assert!(cope.square(p) >= cope.outer(p).max(cope.inner(p)) - 1e-15);
        }
    }

    /// Mirrored left to right: φ runs the other way, lengths stay. Moved: nothing changes.
    #[test]
    fn mirror_and_motion((section, end, main) in round_case(), turn in prop::array::uniform3(-3.0_f64..3.0)) {
        let cope = Cope::new(&section, &end, &[main]).unwrap();
        let flip = |v: Vector3<f64>| Vector3::new(v.x, -v.y, v.z);
        let point = |q: Point3<f64>| Point3::from(flip(q.coords));
        let axes = Axes::toward(&flip(end.axes.along), &flip(end.axes.up)).unwrap();
        let there = Landing { point: point(end.point), axes, end: end.end };
        let other = Main { point: point(main.point), direction: flip(main.direction), ..main };
        let mirrored = Cope::new(&section, &there, &[other]).unwrap();
        let spin = nalgebra::Rotation3::new(Vector3::from(turn));
        let axes = Axes { along: spin * end.axes.along, up: spin * end.axes.up, side: spin * end.axes.side };
        let there = Landing { point: spin * end.point, axes, end: end.end };
        let other = Main { point: spin * main.point, direction: spin * main.direction, ..main };
        let moved = Cope::new(&section, &there, &[other]).unwrap();
        for i in 0..12 {
            let phi = f64::from(i) * 0.53;
            prop_assert!((cope.outer(phi) - mirrored.outer(-phi)).abs() < 1e-11);
            prop_assert!((cope.outer(phi) - moved.outer(phi)).abs() < 1e-11);
        }
        prop_assert!((cope.long_point().s - mirrored.long_point().s).abs() < 1e-11);
    }

    #[test]
    fn garbage_never_panics(v in prop::array::uniform12(prop::num::f64::ANY), ends in prop::bool::ANY) {
        let vector = |i: usize| Vector3::new(v[i], v[i + 1], v[i + 2]);
        let axes = Axes { along: vector(0), up: vector(3), side: vector(6) };
        for axes in [axes, Axes::by_up_rule(&Vector3::y(), 0.0).unwrap()] {
            let end = Landing { point: Point3::from(vector(9)), axes, end: End::A };
            let main = Main { ends_here: ends, ..Main::through(Point3::from(vector(4)), vector(8), v[2]) };
            for section in [Section::round(v[0], v[1]), Section::round(0.04, 0.002), Section::rectangular(v[3], v[4], v[5])] {
                let _ = Pair::new(&end, &main).map(|p| p.profile(End::B, v[0], v[1], v[2]));
                if let Ok(cope) = Cope::new(&section, &end, &[main]) {
                    let _ = (cope.square(v[0]), cope.long_point(), cope.findings(), cope.hole_saw(), cope.wrap(v[1], true, 9));
                }
            }
        }
    }
}
