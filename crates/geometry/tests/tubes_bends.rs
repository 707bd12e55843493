//! Bent tubes: published figures, a bender that only knows its moves, and laws.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

use std::f64::consts::{FRAC_PI_2, FRAC_PI_4};

use geometry::tube::bend::{BendError, BendFinding, CHORD, Centreline, Clamp, Shop};
use geometry::tube::bender;
use geometry::tube::direction::Axes;
use geometry::tube::mass::{STEEL, mass, per_metre};
use geometry::tube::section::Section;
use geometry::tube::shaping::{Springback, outside_wall};
use geometry::{Point3, Vector3};
use proptest::prelude::*;

fn p(x: f64, y: f64, z: f64) -> Point3<f64> {
    Point3::new(x, y, z)
}

/// Sharma, Production Engineering: legs 76 and 115, t 2.3, inner radius 0.9, neutral axis
/// at t/3, 90° → 187.22 mm.
#[test]
fn bend_allowance_of_a_text_book() {
    let neutral: f64 = 0.9 + 2.3 / 3.0;
    // The text's legs run to the outside faces of the other leg: the straights end at the
    // outer radius, so the legs to the neutral corner are shorter by what lies outside it.
    let outside = 0.9 + 2.3 - neutral;
    let legs = [76.0 - outside, 115.0 - outside];
    let points = [p(legs[0], 0.0, 0.0), p(0.0, 0.0, 0.0), p(0.0, legs[1], 0.0)];
    let points = points.map(|q| p(q.x * 1e-3, q.y * 1e-3, q.z * 1e-3));
    let tube = Centreline::new(&points, &[neutral * 1e-3]).unwrap();
    assert!(
        (tube.length() * 1e3 - 187.22).abs() < 0.005,
        "{}",
        tube.length()
    );
}

/// Exact construction: a quarter bend of radius 0.1 between legs of 0.3 and 0.4.
#[test]
fn quarter_bend() {
    let tube = Centreline::new(
        &[p(0.0, 0.0, 0.0), p(0.3, 0.0, 0.0), p(0.3, 0.4, 0.0)],
        &[0.1],
    );
    let tube = tube.unwrap();
    let bend = tube.bends()[0];
    assert!((bend.setback - 0.1).abs() < 1e-15);
    assert!((tube.length() - (0.5 + 0.1 * FRAC_PI_2)).abs() < 1e-15);
    assert!((bend.centre - p(0.2, 0.1, 0.0)).norm() < 1e-15);
    assert!((bend.start - 0.2).abs() < 1e-15);
    let middle = tube.at(0.2 + 0.1 * FRAC_PI_4);
    let r = 0.1 * FRAC_PI_4.sin();
    assert!((middle.point - p(0.2 + r, 0.1 - r, 0.0)).norm() < 1e-15);
    assert_eq!(middle.bend, Some(0));
    // The scribe line lies on the inside of the bend at both ends.
    assert!((tube.axes_a(0.0).unwrap().up - Vector3::y()).norm() < 1e-15);
    assert!((tube.axes_b(0.0).unwrap().up + Vector3::x()).norm() < 1e-15);
    // 90° in 5° chords: 18 of them, and two straights.
    assert_eq!(tube.chords(CHORD).len(), 21);
    let shop = Shop {
        gains: vec![0.002],
        offset: 0.01,
        from_a: 0.02,
        from_b: -0.005,
    };
    let marks = tube.marks(&shop).unwrap();
    assert!((marks.cut_length - (tube.length() - 0.002 - 0.015)).abs() < 1e-15);
    assert!((marks.from_a[0] - (0.2 - 0.02 + 0.01)).abs() < 1e-15);
    assert!((marks.from_b[0] - (0.3 + 0.005 + 0.01)).abs() < 1e-15);
}

/// Rotation by hand: from the floor plane up. d1 = x, then y, then z: n1 = z, n2 = x, and
/// right hand about y takes z to x: +90°.
#[test]
fn rotation_sign() {
    let points = [
        p(0.0, 0.0, 0.0),
        p(1.0, 0.0, 0.0),
        p(1.0, 1.0, 0.0),
        p(1.0, 1.0, 1.0),
    ];
    let tube = Centreline::new(&points, &[0.1]).unwrap();
    assert!((tube.bends()[1].rotation.unwrap() - FRAC_PI_2).abs() < 1e-15);
    let mirrored = points.map(|q| p(q.x, -q.y, q.z));
    let other = Centreline::new(&mirrored, &[0.1]).unwrap();
    assert!((other.bends()[1].rotation.unwrap() + FRAC_PI_2).abs() < 1e-15);
}

#[test]
fn named_failures() {
    let line = |points: &[Point3<f64>], radii: &[f64]| Centreline::new(points, radii);
    let (o, x) = (p(0.0, 0.0, 0.0), p(1.0, 0.0, 0.0));
    // Two quarter bends of 0.3 on a leg of 0.5: 0.1 too short.
    let zed = [o, x, p(1.0, 0.5, 0.0), p(2.0, 0.5, 0.0)];
    match line(&zed, &[0.3]) {
        Err(BendError::LegTooShort {
            leg: 1,
            length,
            short,
        }) => {
            assert!((length - 0.5).abs() < 1e-15 && (short - 0.1).abs() < 1e-12);
        }
        other => panic!("{other:?}"),
    }
    let back = line(&[o, x, p(0.0, 0.01, 0.0)], &[0.001]);
    assert!(
        matches!(back, Err(BendError::TooSharp { corner: 1, .. })),
        "{back:?}"
    );
    assert_eq!(
        line(&[o, x, x], &[0.1]),
        Err(BendError::Coincident { first: 1 })
    );
    assert_eq!(line(&[o], &[]), Err(BendError::TooFewPoints { count: 1 }));
    assert!(matches!(
        line(&[o, p(f64::NAN, 0.0, 0.0)], &[]),
        Err(BendError::Bad(_))
    ));
    assert!(matches!(
        line(&zed, &[0.1; 3]),
        Err(BendError::RadiusCount { .. })
    ));
    assert!(matches!(line(&zed, &[-0.1]), Err(BendError::Bad(_))));
    // A point on a straight is no bend.
    let straight = line(&[o, p(0.4, 0.0, 0.0), x], &[0.1]).unwrap();
    assert!(straight.bends().is_empty() && (straight.length() - 1.0).abs() < 1e-15);
}

#[test]
fn remarks() {
    let points = [p(0.0, 0.0, 0.0), p(0.3, 0.0, 0.0), p(0.3, 0.4, 0.0)];
    let tube = Centreline::new(&points, &[0.1]).unwrap();
    let table = Springback::new(&[[0.5, 0.55], [1.0, 1.09]]).unwrap();
    assert!((table.angle_to_set(0.75).unwrap() - 0.82).abs() < 1e-15);
    assert_eq!(table.angle_to_set(1.0), Some(1.09));
    assert_eq!(table.angle_to_set(0.49), None);
    let clamp = Clamp {
        at_end: 0.25,
        between: 0.1,
    };
    let found = tube.findings(Some(clamp), 0.04, 3.0, Some(&table));
    let kinds = (
        matches!(found[0], BendFinding::EndStraightShort { run: 0, .. }),
        matches!(found[1], BendFinding::TightRadius { bend: 0, .. }),
        matches!(found[2], BendFinding::OutsideSpringback { bend: 0, .. }),
    );
    assert_eq!((kinds, found.len()), ((true, true, true), 3));
}

/// ASME B31.1's allowance against the estimate: 0.93 to 1.02 of it at 3 to 6 diameters, for
/// a thin wall (r_m about half the diameter).
#[test]
fn wall_at_the_outside() {
    let (od, wall) = (0.05, 0.0001);
    for (diameters, share) in [(3.0, 0.933), (6.0, 1.022)] {
        let left = outside_wall(diameters * od, od, wall).unwrap();
        let ratio = left.by_allowance.unwrap() / left.estimate;
        assert!((ratio - share).abs() < 2e-3, "{ratio}");
    }
    assert_eq!(outside_wall(2.9 * od, od, wall).unwrap().by_allowance, None);
}

/// 1.75 × 0.095 in: A 0.4939 in² (derived); a 90° up rule by hand.
#[test]
fn sections_and_up() {
    let inch = 0.0254;
    let tube = Section::round(1.75 * inch, 0.095 * inch);
    assert!((tube.area() / inch / inch - 0.4939).abs() < 5e-5);
    assert!((per_metre(&tube, STEEL) * 2.0 - mass(&tube, 2.0, STEEL)).abs() < 1e-12);
    // Square tube with inside corner radius t: area by its mean line, p·t exactly.
    let square = Section::rectangular(0.05, 0.05, 0.003);
    let mean_line = 4.0 * (0.05 - 0.012) + std::f64::consts::TAU * 0.0045;
    assert!((square.area() - mean_line * 0.003).abs() < 1e-15);
    let axes = |v: Vector3<f64>| Axes::by_up_rule(&v, 0.0).unwrap();
    assert!((axes(Vector3::new(1.0, 2.0, 0.0)).up - Vector3::z()).norm() < 1e-15);
    let nine = 9_f64.to_radians();
    let up = axes(Vector3::new(0.0, nine.sin(), nine.cos())).up;
    assert!((up - Vector3::x()).norm() < 1e-15);
    let eleven = 11_f64.to_radians();
    let up = axes(Vector3::new(0.0, eleven.sin(), eleven.cos())).up;
    assert!(up.z > 0.0 && up.y < 0.0);
    // A roll of 90° turns up to e2 = d × e1.
    let rolled = Axes::by_up_rule(&Vector3::x(), FRAC_PI_2).unwrap();
    assert!((rolled.up + Vector3::y()).norm() < 1e-15);
}

/// Largest difference of distances, and of signed volumes, between two lists of points.
fn differ(a: &[Point3<f64>], b: &[Point3<f64>]) -> f64 {
    assert_eq!(a.len(), b.len());
    let mut worst = 0.0_f64;
    let n = a.len();
    for i in 0..n {
        for j in 0..i {
            worst = worst.max(((a[i] - a[j]).norm() - (b[i] - b[j]).norm()).abs());
        }
    }
    // The hand: without it a mirrored tube would pass.
    let volume = |v: &[Point3<f64>], i: usize| {
        let at = |k: usize| v[i + k] - v[i];
        at(1).cross(&at(2)).dot(&at(3))
    };
    for i in 0..n.saturating_sub(3) {
        worst = worst.max((volume(a, i) - volume(b, i)).abs());
    }
    worst
}

fn polyline() -> impl Strategy<Value = Vec<Point3<f64>>> {
    let step = prop::array::uniform3(-1.0_f64..1.0);
    prop::collection::vec(step, 2..8).prop_filter_map("too sharp", |steps| {
        let mut points = vec![p(0.3, -0.2, 0.5)];
        for step in steps {
            let step = Vector3::from(step);
            if step.norm() < 0.2 {
                return None;
            }
            points.push(points[points.len() - 1] + step);
        }
        Some(points)
    })
}

proptest! {
    /// Feed, rotate and bend forward, either end first, make the tube that was drawn.
    #[test]
    fn a_bender_makes_the_tube(points in polyline(), radius in 0.01_f64..0.1) {
        let Ok(tube) = Centreline::new(&points, &[radius]) else { return Ok(()) };
        for a_first in [true, false] {
            let (moves, tail) = bender::moves(&tube, a_first);
            let mut made = bender::bend(&moves, tail);
            if !a_first {
                made.reverse();
            }
            prop_assert!(differ(&points, &made) < 1e-9, "{}", differ(&points, &made));
        }
    }

    /// Swapped ends: same bends and rotations; mirrored: rotations change sign; moved:
    /// nothing changes. Lengths always agree.
    #[test]
    fn laws(points in polyline(), radius in 0.01_f64..0.1, turn in prop::array::uniform3(-3.0_f64..3.0)) {
        let Ok(tube) = Centreline::new(&points, &[radius]) else { return Ok(()) };
        let backward: Vec<_> = points.iter().rev().copied().collect();
        let mirrored: Vec<_> = points.iter().map(|q| p(q.x, -q.y, q.z)).collect();
        let spin = nalgebra::Rotation3::new(Vector3::from(turn));
        let moved: Vec<_> = points.iter().map(|q| spin * q + Vector3::new(1.0, 2.0, -3.0)).collect();
        let rotations = |t: &Centreline| t.bends().iter().filter_map(|b| b.rotation).collect::<Vec<_>>();
        let ours = rotations(&tube);
        for (other, sign, reversed) in [(backward, 1.0, true), (mirrored, -1.0, false), (moved, 1.0, false)] {
            let other = Centreline::new(&other, &[radius]).unwrap();
            prop_assert!((other.length() - tube.length()).abs() < 1e-12);
            let mut theirs = rotations(&other);
            if reversed {
                theirs.reverse();
            }
            for (a, b) in ours.iter().zip(&theirs) {
                let off = a - sign * b;
                prop_assert!((off.sin().abs()) < 1e-9 && off.cos() > 0.0, "{a} {b}");
            }
        }
    }

    /// Walking the centreline: steps on arcs are chords of their radius, ends meet the
    /// points, and lengths of short chords add up to the length.
    #[test]
    fn points_on_the_centreline(points in polyline(), radius in 0.01_f64..0.1) {
        let Ok(tube) = Centreline::new(&points, &[radius]) else { return Ok(()) };
        let chords = tube.chords(0.01);
        prop_assert!((chords[0].point - points[0]).norm() < 1e-12);
        prop_assert!((chords[chords.len() - 1].point - points[points.len() - 1]).norm() < 1e-9);
        let sum: f64 = chords.windows(2).map(|w| (w[1].point - w[0].point).norm()).sum();
        prop_assert!((sum / tube.length() - 1.0).abs() < 1e-5);
        for station in &chords {
            if let Some(bend) = station.bend {
                let bend = tube.bends()[bend];
                prop_assert!(((station.point - bend.centre).norm() - bend.radius).abs() < 1e-9);
                prop_assert!((station.point - bend.centre).dot(&station.direction).abs() < 1e-9);
            }
        }
    }

    #[test]
    fn garbage_never_panics(
        points in prop::collection::vec(prop::array::uniform3(prop::num::f64::ANY), 0..6),
        radii in prop::collection::vec(prop::num::f64::ANY, 0..5),
        length in prop::num::f64::ANY,
    ) {
        let points: Vec<_> = points.into_iter().map(Point3::from).collect();
        if let Ok(tube) = Centreline::new(&points, &radii) {
            let _ = (tube.at(length), tube.axes_a(length), tube.chords(length));
            let _ = tube.findings(Some(Clamp { at_end: length, between: length }), length, length, None);
        }
        let _ = outside_wall(length, length, 1.0);
        let _ = Springback::new(&[[length, 1.0], [1.0, length]]).map(|t| t.angle_to_set(length));
        let _ = Axes::by_up_rule(&Vector3::new(length, 1.0, length), length);
    }
}
