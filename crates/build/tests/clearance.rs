//! What fits around the rear wheels of a whole build, by sums and plane distances.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

use std::path::Path;

use build::{
    BodyBox, Build, Edit, History, InTheWay, MockUp, NearWheel, Part, Place, RollingEdit, Severity,
    Study, derive, file,
};
use proptest::prelude::*;
use units::Length;
use vehicle::packaging::{Obstacle, Part as PackedPart, Side};

const INCH: f64 = 0.0254;

fn sample(name: &str) -> Build {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../samples")
        .join(name);
    file::load(&path).unwrap_or_else(|e| panic!("{e}"))
}

fn value(s: &Study, id: &str) -> f64 {
    let r = s.reading(id).unwrap_or_else(|| panic!("no {id}"));
    *r.value.as_ref().unwrap_or_else(|e| panic!("{id}: {e}"))
}

/// A car whose wheels go straight up and down: Redshank with the travel of the wheels cut to almost nothing.
fn still(b: &mut Build) {
    let m = b.mock_up.as_mut().unwrap();
    m.bump = Length::from_inches(0.05);
    m.droop = Length::from_inches(0.05);
}

fn mock(b: &mut Build) -> &mut MockUp {
    b.mock_up.as_mut().unwrap()
}

/// Widths along the axle must close: shafts, gap and flanges; faces, offset and track.
#[test]
fn widths_and_lengths_close() {
    for name in ["redshank.ron", "whimbrel.ron", "faulty.ron"] {
        let b = sample(name);
        let s = derive(&b);
        let m = b.mock_up.as_ref().unwrap();
        let track = b.car.rear.track.si();
        let near = |a: f64, b: f64| assert!((a - b).abs() < 1e-12, "{name}: {a} {b}");
        near(
            value(&s, "clearance.faces"),
            track + 2.0 * m.wheel.offset.si(),
        );
        near(
            value(&s, "clearance.shaft.left")
                + value(&s, "clearance.shaft.right")
                + 2.0 * m.housing.half_gap.si(),
            value(&s, "clearance.flanges"),
        );
        near(
            value(&s, "clearance.housing") + 2.0 * m.housing.brake_stack.si(),
            value(&s, "clearance.flanges"),
        );
        near(
            value(&s, "clearance.backspacing") + value(&s, "clearance.front_spacing"),
            m.wheel.rim_width.si() + 2.0 * m.wheel.flange.si(),
        );
        near(
            value(&s, "clearance.backspacing") - value(&s, "clearance.front_spacing"),
            2.0 * m.wheel.offset.si(),
        );
    }
}

/// A wall parallel to the tyre stands off by a plane distance, a face square above the tread by
/// height less radius: with the axle (nearly) still the gaps are those.
#[test]
fn a_wall_and_a_roof_are_plane_distances_away() {
    let mut b = sample("redshank.ron");
    still(&mut b);
    let (track, up) = (b.car.rear.track.si(), b.car.rear.loaded_radius.si());
    let m = mock(&mut b);
    let at = |x: f64, y: f64, z: f64| Place::from_si([x * INCH, y * INCH, z * INCH]);
    m.body = vec![
        BodyBox {
            id: "wall".into(),
            label: "Wall".into(),
            near: NearWheel::Rear,
            from: at(-10.0, 20.0, 5.0),
            to: at(10.0, 20.1, 30.0),
        },
        BodyBox {
            id: "roof".into(),
            label: "Roof".into(),
            near: NearWheel::Rear,
            from: at(-10.0, 20.0, 31.0),
            to: at(10.0, 40.0, 31.1),
        },
    ];
    let s = derive(&b);
    let (w, r) = (
        value(&s, "clearance.tyre_width"),
        value(&s, "clearance.tyre_radius"),
    );
    // The marking: 12 in at 58 % on a 15 in rim, on its measuring rim.
    assert!((r - (7.5 + 0.58 * 12.0) * 1.01 * INCH).abs() < 1e-9);
    assert!((w - 12.0 * 1.02 * INCH).abs() < 1e-9);
    let wall = 0.5 * (track - w) - 20.1 * INCH;
    let roof = 31.0 * INCH - up - r;
    // The wheels move 0.05 in up and down and the axle tilts by 0.1 in over the track.
    let slack = (0.05 + 0.1 * 20.0 / 57.0) * INCH;
    let gap = |id: &str| value(&s, &format!("clearance.gap.tyre.{id}"));
    assert!(
        gap("wall") <= wall && gap("wall") > wall - slack,
        "{} {wall}",
        gap("wall")
    );
    assert!(
        gap("roof") <= roof && gap("roof") > roof - slack,
        "{} {roof}",
        gap("roof")
    );
}

/// The faulty build's tyre touches the lip at full bump, and says so as an error at that part.
#[test]
fn a_tyre_that_touches_is_an_error_with_its_place() {
    let s = derive(&sample("faulty.ron"));
    let f = s
        .findings
        .iter()
        .find(|f| f.part == Part::Body("lip".into()))
        .expect("a finding at the lip");
    assert_eq!(f.severity, Severity::Error);
    let text = f.sentences(&units::Shop::default());
    assert!(text.contains("they touch"), "{text}");
    assert!(text.contains("left wheel at 3\" of bump"), "{text}");
}

/// More travel never opens a gap, a bigger tyre never either.
#[test]
fn gaps_only_shrink_with_travel_and_tyre() {
    let mut b = sample("redshank.ron");
    let gaps = |b: &Build| -> Vec<(String, f64)> {
        let s = derive(b);
        let fit = s.clearance.as_ref().unwrap().fit.as_ref().unwrap();
        let mut all: Vec<_> = fit
            .pairs
            .iter()
            .map(|p| (p.id.clone(), p.gap().unwrap()))
            .collect();
        all.sort_by(|a, b| a.0.cmp(&b.0));
        all
    };
    let mut last = {
        still(&mut b);
        gaps(&b)
    };
    for inches in [0.5, 1.0, 2.0, 3.0, 3.5] {
        let m = mock(&mut b);
        m.bump = Length::from_inches(inches);
        m.droop = Length::from_inches(inches);
        let now = gaps(&b);
        for (a, b) in last.iter().zip(&now) {
            // Refined to about 1e-7 m by a local search.
            assert!(b.1 <= a.1 + 2e-6, "{}: {} then {}", a.0, a.1, b.1);
        }
        last = now;
    }
    let before = value(&derive(&b), "clearance.least");
    mock(&mut b).tyre.section = Length::from_inches(13.0);
    let after = value(&derive(&b), "clearance.least");
    assert!(after < before - 0.4 * INCH);
}

/// Stop, solid, metal in this order; a stop set high meets metal first and is an error.
#[test]
fn the_bump_stop_comes_before_metal() {
    let mut b = sample("redshank.ron");
    let s = derive(&b);
    // Pad at 15 1/2 in under a face at 18 1/4 in, 5/8 in to solid; tube top to the rail 4 1/2 in. The axle keeps almost level.
    assert!((value(&s, "clearance.stop_touch") - 2.75 * INCH).abs() < 0.02 * INCH);
    assert!((value(&s, "clearance.stop_solid") - 3.375 * INCH).abs() < 0.02 * INCH);
    assert!(value(&s, "clearance.stop_room") > 0.8 * INCH);
    let stop = mock(&mut b).bump_stop.as_mut().unwrap();
    stop.face.height = Length::from_inches(19.9);
    let s = derive(&b);
    assert!(value(&s, "clearance.stop_room") < 0.0);
    let about = Part::Field("mock_up.bump_stop.face");
    let f = s.findings.iter().find(|f| f.part == about).unwrap();
    assert_eq!(f.severity, Severity::Error);
}

/// The notch: tube top at full bump plus the clearance, less the rail's underside.
#[test]
fn the_notch_is_as_deep_as_the_tube_comes_up() {
    let mut b = sample("redshank.ron");
    for p in &mut b.frame.line {
        p.1 = p.1.min_height(17.0);
    }
    let s = derive(&b);
    let depth = value(&s, "clearance.notch");
    // 14 in + 1 1/2 in + 3 in of bump + 1 in − 17 in, a little more with the tube tilted.
    assert!((depth - 2.5 * INCH).abs() < 0.1 * INCH, "{}", depth / INCH);
    let asked = s
        .findings
        .iter()
        .filter(|f| f.part == Part::Field("mock_up.notch"))
        .count();
    assert_eq!(asked, 2, "a notch not cut, and a rail left too thin");
    mock(&mut b).notch = Length::from_inches(2.6);
    let s = derive(&b);
    assert!((value(&s, "clearance.rail_left") - (4.0 * INCH - depth)).abs() < 1e-12);
}

trait MinHeight {
    fn min_height(self, inches: f64) -> Self;
}

impl MinHeight for Length {
    fn min_height(self, inches: f64) -> Self {
        Self::from_si(self.si().min(inches * INCH))
    }
}

/// Everything of the mock-up can be edited, undone, and refused with words.
#[test]
fn edits_undo_and_bad_ones_are_refused() {
    let b = sample("redshank.ron");
    let mut history = History::new(b.clone());
    let to = Place::from_si([0.0, 16.5 * INCH, 18.0 * INCH]);
    let edits = [
        Edit::Rolling(RollingEdit::Move {
            point: "mock_up.bump_stop.face".into(),
            to,
        }),
        Edit::Field {
            id: "mock_up.wheel.offset".into(),
            si: -0.02,
        },
        Edit::Rolling(RollingEdit::RemoveBody("lip".into())),
    ];
    for e in &edits {
        history.apply(e).unwrap();
    }
    for _ in &edits {
        history.undo();
    }
    assert_eq!(**history.build(), b);
    let mut empty = History::new(Build::empty("x"));
    for e in &edits {
        let e = empty.apply(e).unwrap_err().to_string();
        assert!(e.contains("There is no"), "{e}");
    }
    let mut upside_down = mock(&mut b.clone()).body[0].clone();
    std::mem::swap(&mut upside_down.from, &mut upside_down.to);
    let e = history
        .apply(&Edit::Rolling(RollingEdit::PutBody(upside_down)))
        .unwrap_err();
    assert!(e.to_string().contains("not ahead of"), "{e}");
}

/// A file of version 4 has no rolling chassis and opens with everything else.
#[test]
fn a_file_of_version_4_opens() {
    let old = sample("redshank_version_4.ron");
    let new = sample("redshank.ron");
    assert_eq!(old.version, build::FORMAT_VERSION);
    assert!(old.front_end.is_none() && old.brakes.is_none());
    assert!(old.driveline.is_none() && old.mock_up.is_none());
    assert_eq!(
        (&old.rear, &old.tube_work, &old.frame_test, &old.run),
        (&new.rear, &new.tube_work, &new.frame_test, &new.run)
    );
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// The mirrored car has the same gaps.
    #[test]
    fn the_mirrored_car_fits_alike(out in 17.5f64..20.0, droop in 1.0f64..3.0) {
        let mut b = sample("whimbrel.ron");
        let m = mock(&mut b);
        m.body[0].from.offset = Length::from_inches(out);
        m.droop = Length::from_inches(droop);
        // Its links are alike left and right: mirroring the drawing swaps nothing but the sides.
        let s = derive(&b);
        let fit = s.clearance.as_ref().unwrap().fit.as_ref().unwrap();
        for p in &fit.pairs {
            let at = &p.clearance.at;
            let [one, other] = p.clearance.pair;
            let swap = |x| match x {
                PackedPart::Tyre(Side::Left) => PackedPart::Tyre(Side::Right),
                PackedPart::Tyre(Side::Right) => PackedPart::Tyre(Side::Left),
                PackedPart::Obstacle(i) => {
                    let twin = |q: &InTheWay| near_mirror(&q.obstacle, &fit.parts[i].obstacle);
                    PackedPart::Obstacle(fit.parts.iter().position(twin).unwrap())
                }
            };
            let mirrored = geometry::Pose { phi: -at.pose.phi, psi: -at.pose.psi, position: geometry::Point3::new(at.pose.position.x, -at.pose.position.y, at.pose.position.z), ..at.pose };
            let gap = fit.envelope.gap_at([swap(one), swap(other)], &mirrored).unwrap();
            // Bodies that run through each other have no number, mirrored neither.
            let (a, b) = (p.gap().unwrap_or(-1.0), gap.value().unwrap_or(-1.0));
            prop_assert!((a - b).abs() < 1e-9, "{}: {a} {b}", p.id);
        }
    }
}

fn near_mirror(a: &Obstacle, b: &Obstacle) -> bool {
    let flipped = |p: &geometry::Point3<f64>, q: &geometry::Point3<f64>| {
        (p.x - q.x).abs() + (p.y + q.y).abs() + (p.z - q.z).abs() < 1e-12
    };
    match (a, b) {
        (Obstacle::Box { centre: p, .. }, Obstacle::Box { centre: q, .. }) => flipped(p, q),
        (Obstacle::Bar { a: p, .. }, Obstacle::Bar { a: q, .. }) => flipped(&p.point, &q.point),
        _ => false,
    }
}
