//! Sensitivities against central differences; the brace formula against the frame solved again.
#![allow(clippy::unwrap_used, clippy::panic, missing_docs)]

#[allow(dead_code, reason = "shared by several tests")]
mod common;

use common::{ladder, ladder_bending, ladder_twist, tube};
use structure::brace::{Candidate, rank_braces, screen, with_brace};
use structure::rig::{self, Test};
use structure::sensitivity::{by_member, by_tube};
use structure::{Frame, Material, Member, Pins, Section, Shape};

fn resized(frame: &Frame, tube: usize, wall: f64, od: f64) -> Frame {
    let mut frame = frame.clone();
    for m in frame.members.iter_mut().filter(|m| m.tube == tube) {
        m.section = match *m.section.shape() {
            Shape::Round { od: d, wall: t } => Section::round(d + od, t + wall),
            Shape::Rectangular {
                height,
                width,
                wall: t,
                corner,
            } => Section::rectangular(height, width, t + wall, corner),
            Shape::Raw { .. } => Ok(m.section),
        }
        .unwrap();
    }
    frame
}

#[test]
fn sensitivities_are_differences() {
    let mut frame = ladder();
    // One tube of two members, one bent, one with a pinned end.
    frame.members[1].tube = 0;
    frame.members[13].bend_factor = 1.7;
    frame.members[14].pins = Pins::J;
    for test in [ladder_twist(), ladder_bending()] {
        let tested = rig::run(&frame, test).unwrap();
        let tubes = by_tube(&frame, &tested).unwrap();
        let total: f64 = tubes.values().map(|t| t.energy_share).sum();
        assert!((total - 1.0).abs() < 1e-12);
        let energy: f64 = tubes.values().map(|t| t.energy).sum();
        assert!((2.0 * energy * tested.stiffness - 1.0).abs() < 1e-8);
        let h = 1e-6;
        let stiffness = |f: &Frame| rig::run(f, test).unwrap().stiffness;
        for (tube, share) in &tubes {
            let difference = |wall: f64, od: f64| {
                let (up, down) = (
                    resized(&frame, *tube, wall, od),
                    resized(&frame, *tube, -wall, -od),
                );
                (
                    (stiffness(&up) - stiffness(&down)) / (2.0 * h),
                    (up.mass() - down.mass()) / (2.0 * h),
                )
            };
            let check = |rate: structure::sensitivity::Rate, (k, m): (f64, f64)| {
                let scale = 1e-3 * tested.stiffness / 0.003;
                assert!(
                    (rate.stiffness - k).abs() < 1e-5 * k.abs() + 1e-6 * scale,
                    "tube {tube}: {} and {k}",
                    rate.stiffness
                );
                assert!((rate.mass - m).abs() < 1e-6 * m.abs());
            };
            check(share.wall.unwrap(), difference(h, 0.0));
            match share.outside_diameter {
                Some(rate) => check(rate, difference(0.0, h)),
                None => assert!(*tube < 12, "rails are rectangular"),
            }
        }
        let members = by_member(&frame, &tested).unwrap();
        let sum = members[0].wall.unwrap().stiffness + members[1].wall.unwrap().stiffness;
        assert!((sum - tubes[&0].wall.unwrap().stiffness).abs() < 1e-9 * sum.abs());
        let mut other = frame.clone();
        other.nodes[0].x += 0.1;
        assert!(by_member(&other, &tested).is_err());
    }
}

#[test]
fn a_pinned_brace_is_exactly_the_formula() {
    let frame = ladder();
    let candidate = |i, j| Candidate {
        i,
        j,
        section: tube(),
        material: Material::STEEL,
    };
    for test in [ladder_twist(), ladder_bending()] {
        let tested = rig::run(&frame, test).unwrap();
        for (i, j) in [(2, 10), (3, 9), (1, 11), (0, 6)] {
            let quick = screen(&tested, &candidate(i, j)).unwrap();
            let pinned = Member::new(i, j, tube()).pinned(Pins::Both);
            let (exact, _) = with_brace(&frame, &tested, pinned).unwrap();
            let tolerance = 1e-8 * tested.stiffness;
            assert!(
                (quick.gain - exact.gain).abs() < tolerance,
                "{quick:?} {exact:?}"
            );
            assert!((quick.mass - exact.mass).abs() < 1e-12);
            let (welded, again) = with_brace(&frame, &tested, Member::new(i, j, tube())).unwrap();
            assert!(welded.gain >= exact.gain - tolerance);
            assert_eq!(again.test, test);
        }
    }
}

/// Many candidates share the answers to unit forces: the same gains as one by one, in order.
#[test]
fn ranked_braces_are_the_screened_ones() {
    let frame = ladder();
    let tested = rig::run(&frame, ladder_twist()).unwrap();
    let mut all = Vec::new();
    for i in 0..14 {
        for j in 0..i {
            all.push(Candidate {
                i,
                j,
                section: tube(),
                material: Material::STEEL,
            });
        }
    }
    all.push(Candidate {
        i: 3,
        j: 3,
        ..all[0]
    });
    all.push(Candidate {
        i: 3,
        j: 77,
        ..all[0]
    });
    let ranked = rank_braces(&tested, &all);
    assert_eq!(ranked.len(), 91);
    for pair in ranked.windows(2) {
        assert!(pair[0].1.gain >= pair[1].1.gain);
    }
    for (index, gain) in &ranked {
        let one = screen(&tested, &all[*index]).unwrap();
        assert!((one.gain - gain.gain).abs() < 1e-8 * tested.stiffness);
        assert!(gain.gain > -1e-8 * tested.stiffness, "a bar never softens");
    }
    let few = rank_braces(&tested, &all[..3]);
    assert_eq!(few.len(), 3);
    let bending = rig::run(&frame, ladder_bending()).unwrap();
    assert!(matches!(bending.test, Test::Bending { .. }));
}
