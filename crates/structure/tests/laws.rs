//! What must hold for any frame: reciprocity, superposition, mirror, turn, free motions, rigid links, load cases.
#![allow(clippy::unwrap_used, clippy::panic, missing_docs)]

#[allow(dead_code, reason = "shared by several tests")]
mod common;

use common::{box_frame, box_twist, carried, ladder, ladder_bending, ladder_twist, tube, v};
use nalgebra::{Rotation3, Vector3};
use structure::error::{FrameError, SolveError};
use structure::load_case::{self, CaseFinding, Expected, LoadCase, PointMass, STANDARD_GRAVITY};
use structure::model::{carry_over_bend, roll_toward, section_axes};
use structure::motion::{Motion, RigidMotion};
use structure::rig::{self, Finding, Pair, RearHold, Rig, Test};
use structure::section::Properties;
use structure::{Frame, Load, Member, Pins, RigidLink, Section, Solution, Supports, Symbolic};

fn solve(frame: &Frame, supports: &Supports, loads: &[Load]) -> Solution {
    let symbolic = Symbolic::new(frame, supports).unwrap();
    symbolic.factor(frame).unwrap().solve(loads).unwrap()
}

fn close(got: f64, want: f64, tolerance: f64) {
    assert!(
        (got - want).abs() <= tolerance,
        "got {got}, expected {want}, {tolerance:e}"
    );
}

fn held() -> Supports {
    Supports::new().hold(1, "xyzb").hold(8, "xz")
}

/// Maxwell and Betti: the work of one load over the other's displacements is the same both ways.
#[test]
fn reciprocity_and_superposition() {
    let mut frame = ladder();
    let s = carried(&mut frame, 4, v(0.05, 0.1, 0.08));
    let loads = [
        Load {
            node: 6,
            force: v(10.0, -30.0, 500.0),
            moment: v(20.0, 5.0, -7.0),
        },
        Load {
            node: s,
            force: v(-80.0, 20.0, 300.0),
            moment: v(1.0, 2.0, 3.0),
        },
    ];
    let each = loads.map(|l| solve(&frame, &held(), &[l]));
    let work = |l: &Load, s: &Solution| {
        let d = s.displacements[l.node];
        l.force.dot(&v(d[0], d[1], d[2])) + l.moment.dot(&v(d[3], d[4], d[5]))
    };
    let (a, b) = (work(&loads[0], &each[1]), work(&loads[1], &each[0]));
    close(a, b, 1e-9 * a.abs());
    let both = solve(&frame, &held(), &loads);
    for (node, d) in both.displacements.iter().enumerate() {
        for (k, d) in d.iter().enumerate() {
            let sum = each[0].displacements[node][k] + each[1].displacements[node][k];
            close(*d, sum, 1e-10);
        }
    }
    // Reactions balance the loads: forces, and moments about the origin.
    let (mut force, mut moment) = (Vector3::zeros(), Vector3::zeros());
    let mut add = |node: usize, f: Vector3<f64>, m: Vector3<f64>| {
        force += f;
        moment += m + frame.nodes[node].cross(&f);
    };
    for l in &loads {
        add(l.node, l.force, l.moment);
    }
    for (node, r) in &both.reactions {
        add(*node, v(r[0], r[1], r[2]), v(r[3], r[4], r[5]));
    }
    assert!(
        force.norm() < 1e-6 && moment.norm() < 1e-6,
        "{force} {moment}"
    );
}

/// A car seen in a mirror is as stiff; so is one with round tubes turned anyhow.
#[test]
fn mirror_and_turn() {
    let mut frame = ladder();
    frame.nodes[3].z += 0.04;
    for (k, m) in frame.members.iter_mut().enumerate() {
        m.roll = 0.1 * k as f64;
    }
    let before = rig::run(&frame, ladder_twist()).unwrap().stiffness;
    let mut mirrored = frame.clone();
    for p in &mut mirrored.nodes {
        p.y = -p.y;
    }
    for m in &mut mirrored.members {
        m.roll = -m.roll;
    }
    let swapped = Test::Twist {
        front: Pair::new(13, 6),
        rear: Pair::new(8, 1),
        hold: RearHold::Determinate,
    };
    let after = rig::run(&mirrored, swapped).unwrap().stiffness;
    close(after, before, 1e-9 * before);

    let frame = box_frame(3, 2);
    let supports = Supports::new().hold(0, "xyzabc").hold(1, "xyzabc");
    let load = Load::force(9, v(100.0, 50.0, -300.0));
    let s = solve(&frame, &supports, &[load]);
    let turn = Rotation3::from_euler_angles(0.7, -0.4, 1.9);
    let mut turned = frame.clone();
    for p in &mut turned.nodes {
        *p = turn * *p;
    }
    let t = solve(&turned, &supports, &[Load::force(9, turn * load.force)]);
    let (a, b) = (s.displacements[9], t.displacements[9]);
    let expected = turn * v(a[0], a[1], a[2]);
    close(
        (expected - v(b[0], b[1], b[2])).norm(),
        0.0,
        1e-9 * expected.norm(),
    );
}

/// A frame that nothing holds has six free motions and no other, however finely it is divided.
#[test]
fn six_rigid_motions() {
    for frame in [ladder(), box_frame(4, 1), box_frame(5, 7)] {
        let factored = Symbolic::new(&frame, &Supports::new())
            .unwrap()
            .factor(&frame)
            .unwrap();
        let free = factored.free_motions().unwrap();
        assert_eq!(free.count, 6, "{free}");
        assert_eq!(free.nodes.len(), frame.nodes.len());
        assert!(
            free.motions
                .iter()
                .all(|m| matches!(m.motion, Motion::WholeFrame(_)))
        );
        // A load in balance with itself has an answer all the same.
        let pull = v(0.0, 100.0, 0.0);
        let s = factored.solve(&[
            Load::force(0, pull),
            Load::force(1, pull),
            Load::force(2, -2.0 * pull),
        ]);
        assert!(matches!(s, Err(SolveError::Free(_))), "it turns");
    }
}

#[test]
fn free_motions_have_names() {
    let frame = ladder();
    let name = |supports: &Supports| {
        let factored = Symbolic::new(&frame, supports)
            .unwrap()
            .factor(&frame)
            .unwrap();
        let free = factored.free_motions().unwrap();
        assert_eq!(free.count, 1);
        free.motions[0].motion
    };
    let pitches = Supports::new().hold(1, "xyz").hold(8, "xz");
    assert_eq!(name(&pitches), Motion::WholeFrame(RigidMotion::Pitches));
    let yaws = Supports::new().hold(1, "xyz").hold(8, "z").hold(6, "z");
    assert_eq!(name(&yaws), Motion::WholeFrame(RigidMotion::Yaws));
    let slides = Supports::new().hold(1, "xz").hold(8, "xz").hold(6, "z");
    assert_eq!(name(&slides).to_string(), "whole frame moves sideways");
    let rolls = Supports::new().hold(1, "xyzbc");
    assert_eq!(name(&rolls), Motion::WholeFrame(RigidMotion::Rolls));
    // Sound: nothing to tell.
    let sound = Symbolic::new(&frame, &held())
        .unwrap()
        .factor(&frame)
        .unwrap();
    assert!(sound.free_motions().is_none());
}

/// Two loose nodes on pinned bars far apart are told apart, whatever mixture the search found.
#[test]
fn two_loose_nodes_are_named_each() {
    let mut frame = ladder();
    for (around, place) in [
        ([2, 3, 9], v(0.9, 0.0, 0.25)),
        ([0, 7, 1], v(-0.1, 0.05, 0.25)),
    ] {
        frame.nodes.push(place);
        let at = frame.nodes.len() - 1;
        for node in around {
            frame
                .members
                .push(Member::new(node, at, tube()).pinned(Pins::Both));
        }
    }
    let factored = Symbolic::new(&frame, &held())
        .unwrap()
        .factor(&frame)
        .unwrap();
    let free = factored.free_motions().unwrap();
    assert_eq!((free.count, &free.nodes[..]), (2, &[14, 15][..]));
    let mut names: Vec<String> = free.motions.iter().map(|m| m.motion.to_string()).collect();
    names.sort();
    assert_eq!(
        names,
        ["node 14 moves up and down", "node 15 moves up and down"]
    );
}

/// A rigid link is a member too stiff to matter, carries its loads to the master, and may be chained or held.
#[test]
fn rigid_links() {
    let offset = v(0.04, 0.1, -0.15);
    let mut linked = ladder();
    let slave = carried(&mut linked, 4, offset);
    let last = carried(&mut linked, slave, v(0.02, 0.0, 0.03));
    let load = Load {
        node: last,
        force: v(100.0, -40.0, 900.0),
        moment: v(3.0, 2.0, 1.0),
    };
    let a = solve(&linked, &held(), &[load]);
    // The same load by its force and moment at the master.
    let arm = linked.nodes[last] - linked.nodes[4];
    let moved = Load {
        node: 4,
        force: load.force,
        moment: load.moment + arm.cross(&load.force),
    };
    let b = solve(&ladder(), &held(), &[moved]);
    for (x, y) in a.displacements[6].iter().zip(b.displacements[6]) {
        close(*x, y, 1e-9 * b.displacements[6][2].abs());
    }
    let (m, s) = (a.displacements[4], a.displacements[last]);
    let turn = v(m[3], m[4], m[5]);
    let carried_to = v(m[0], m[1], m[2]) + turn.cross(&arm);
    close((carried_to - v(s[0], s[1], s[2])).norm(), 0.0, 1e-15);
    // A held slave, against a very stiff member to a held node.
    let supports = |n| Supports::new().hold(1, "xyzb").hold(8, "xz").hold(n, "z");
    let mut stiff = ladder();
    stiff.nodes.push(stiff.nodes[4] + offset);
    let mut numbers: Properties = *tube().numbers();
    for n in [
        &mut numbers.area,
        &mut numbers.i_y,
        &mut numbers.i_z,
        &mut numbers.j,
        &mut numbers.shear_y,
        &mut numbers.shear_z,
    ] {
        *n *= 1e5;
    }
    let section = Section::raw(numbers, 0.02, 0.02).unwrap();
    stiff.members.push(Member::new(4, 14, section));
    let load = Load::force(6, v(0.0, 0.0, 500.0));
    let a = solve(&linked, &supports(slave), &[load]);
    let b = solve(&stiff, &supports(14), &[load]);
    let (a, b) = (&a, &b);
    close(
        a.displacements[6][2],
        b.displacements[6][2],
        1e-4 * b.displacements[6][2].abs(),
    );
    let up = |s: &Solution, node| s.reactions.iter().find(|(n, _)| *n == node).unwrap().1[2];
    close(up(a, slave), up(b, 14), 1e-4 * up(b, 14).abs());
}

#[test]
fn wrong_frames_say_what_is_wrong() {
    let check = |edit: &dyn Fn(&mut Frame)| {
        let mut frame = ladder();
        edit(&mut frame);
        Symbolic::new(&frame, &held()).unwrap_err()
    };
    assert!(matches!(
        check(&|f| f.nodes[2].x = f64::NAN),
        FrameError::Position { node: 2, .. }
    ));
    assert!(matches!(
        check(&|f| f.members[3].j = 99),
        FrameError::NoSuchNode {
            index: 3,
            node: 99,
            nodes: 14,
            ..
        }
    ));
    assert!(matches!(
        check(&|f| f.nodes[3] = f.nodes[2]),
        FrameError::NoLength {
            member: 2,
            i: 2,
            j: 3,
            ..
        }
    ));
    assert!(matches!(
        check(&|f| f.members.push(Member::new(1, 0, tube()))),
        FrameError::Duplicate {
            member: 18,
            first: 0,
            ..
        }
    ));
    assert!(matches!(
        check(&|f| f.members[5].material.e = -1.0),
        FrameError::MemberNumber { member: 5, .. }
    ));
    let link = |slave, master| RigidLink { slave, master };
    assert!(matches!(
        check(&|f| f.rigid_links = vec![link(3, 3)]),
        FrameError::LinkCycle { link: 0, node: 3 }
    ));
    assert!(matches!(
        check(&|f| f.rigid_links = vec![link(3, 4), link(4, 5), link(5, 3)]),
        FrameError::LinkCycle { .. }
    ));
    assert!(matches!(
        check(&|f| f.rigid_links = vec![link(3, 4), link(3, 5)]),
        FrameError::SlaveTwice {
            node: 3,
            first: 0,
            link: 1
        }
    ));
    assert!(matches!(
        check(&|f| f.rigid_links = vec![link(1, 8)]),
        FrameError::HeldTwice { first: 1, node: 8 }
    ));
    let frame = ladder();
    let kept = Symbolic::new(&frame, &held()).unwrap();
    let mut other = frame.clone();
    other.members[2].pins = Pins::J;
    assert_eq!(
        kept.factor(&other).unwrap_err(),
        FrameError::StructureChanged
    );
    let factored = kept.factor(&frame).unwrap();
    let bad = factored.solve(&[Load::force(3, v(0.0, f64::NAN, 0.0))]);
    assert!(matches!(
        bad,
        Err(SolveError::Load {
            load: 0,
            node: 3,
            ..
        })
    ));
    assert!(
        factored
            .solve(&[Load::force(99, v(0.0, 0.0, 1.0))])
            .is_err()
    );
    let same = Test::Twist {
        front: Pair::new(13, 6),
        rear: Pair::new(1, 8),
        hold: RearHold::Determinate,
    };
    assert!(matches!(
        rig::run(&frame, same),
        Err(SolveError::Points { .. })
    ));
}

/// Three corners held and the fourth loaded is the same twist; a front pair not square to the car loads the support
/// against pitching by T·Δx/b; clamping is stiffer; the kept structure gives the same after a drag.
#[test]
fn twist_test() {
    let frame = ladder();
    let tested = rig::run(&frame, ladder_twist()).unwrap();
    assert!(tested.findings.is_empty(), "{:?}", tested.findings);
    let corners = Supports::new().hold(1, "xyz").hold(8, "xz").hold(13, "z");
    let s = solve(&frame, &corners, &[Load::force(6, v(0.0, 0.0, 100.0))]);
    // Twist between the ends: the front's own less the rear's, and the front points lie 0.6 m apart.
    let (l, r) = (s.displacements[6][2], s.displacements[13][2]);
    let k = 100.0 * 0.6 / ((l - r) / 0.6);
    close(k, tested.stiffness, 1e-8 * k);

    let Test::Twist { front, rear, .. } = ladder_twist() else {
        panic!()
    };
    let clamped = Test::Twist {
        front,
        rear,
        hold: RearHold::Clamped,
    };
    assert!(rig::run(&frame, clamped).unwrap().stiffness > tested.stiffness);

    let mut moved = frame.clone();
    moved.nodes[6].x += 0.06;
    let mut rig = Rig::new(&frame, ladder_twist()).unwrap();
    let kept = rig.run(&moved).unwrap();
    let anew = rig::run(&moved, ladder_twist()).unwrap();
    close(kept.stiffness, anew.stiffness, 1e-12 * anew.stiffness);
    let [
        Finding::PitchSupportCarries {
            share, front_apart, ..
        },
    ] = kept.findings[..]
    else {
        panic!("{:?}", kept.findings)
    };
    close(front_apart, 0.06, 1e-12);
    close(share.abs(), 0.06 / 0.6, 1e-9);
    // More members: the rig lays the frame out again.
    moved.members.push(Member::new(0, 9, tube()).of_tube(99));
    assert!(rig.run(&moved).unwrap().stiffness > kept.stiffness);

    let curve = tested.curve(
        &[Pair::new(1, 8), Pair::new(6, 13), Pair::new(8, 1)],
        1000.0,
    );
    assert_eq!(curve.len(), 2);
    close(curve[0].phi, 0.0, 1e-15);
    close(curve[1].phi, 1000.0 / tested.stiffness, 1e-12);
    close(
        tested.per_degree(),
        tested.stiffness * std::f64::consts::PI / 180.0,
        1e-9,
    );
}

/// Half the load on each support of a symmetric car as the lever says.
#[test]
fn bending_test() {
    let tested = rig::run(&ladder(), ladder_bending()).unwrap();
    let s = tested.scaled(2000.0);
    let front: f64 = s
        .reactions
        .iter()
        .filter(|(n, _)| [6, 13].contains(n))
        .map(|(_, r)| r[2])
        .sum();
    close(front, 2000.0 * 1.3 / 2.7, 1e-6);
    let mean = -(s.displacements[3][2] + s.displacements[10][2]) / 2.0;
    close(2000.0 / mean, tested.stiffness, 1e-9 * tested.stiffness);
}

fn flying() -> (Frame, LoadCase) {
    let mut frame = ladder();
    let engine = carried(&mut frame, 5, v(0.0, -0.3, 0.2));
    let masses = [(engine, 250.0), (2, 40.0), (9, 40.0), (0, 30.0), (7, 30.0)];
    let case = LoadCase {
        loads: Vec::new(),
        masses: masses.map(|(node, mass)| PointMass { node, mass }).to_vec(),
        own_mass: true,
        gravity: v(0.0, 0.0, -STANDARD_GRAVITY),
        expected: None,
    };
    (frame, case)
}

/// Whatever the forces, inertia balances them and no support carries; where it is held does not matter to the members.
#[test]
fn inertia_relief() {
    let (frame, mut case) = flying();
    case.loads = vec![
        Load::force(1, v(3000.0, 200.0, 2500.0)),
        Load::force(8, v(2500.0, -100.0, 2700.0)),
        Load {
            node: 5,
            force: v(0.0, 0.0, 800.0),
            moment: v(-300.0, 0.0, 0.0),
        },
    ];
    let a = load_case::solve(&frame, &case, None).unwrap();
    let other = Supports::new().hold(6, "xyzabc");
    let b = load_case::solve(&frame, &case, Some(&other)).unwrap();
    assert!(
        a.unbalanced < 1e-9 && b.unbalanced < 1e-9,
        "{} {}",
        a.unbalanced,
        b.unbalanced
    );
    close(a.mass, 390.0 + frame.mass(), 1e-9);
    let f: Vector3<f64> = case.loads.iter().map(|l| l.force).sum();
    let expected = f / a.mass - v(0.0, 0.0, STANDARD_GRAVITY);
    close((a.acceleration - expected).norm(), 0.0, 1e-9);
    assert!(a.angular.norm() > 0.1);
    let largest = a
        .solution
        .end_forces
        .iter()
        .flatten()
        .fold(0.0_f64, |m, x| m.max(x.abs()));
    for (x, y) in a
        .solution
        .end_forces
        .iter()
        .flatten()
        .zip(b.solution.end_forces.iter().flatten())
    {
        close(*x, *y, 1e-7 * largest);
    }
    case.expected = Some(Expected {
        acceleration: v(0.0, 0.0, 0.0),
        tolerance: 0.01,
        angular_tolerance: 0.01,
    });
    let found = load_case::solve(&frame, &case, None).unwrap().findings;
    assert!(matches!(
        found[..],
        [
            CaseFinding::Acceleration { .. },
            CaseFinding::AngularAcceleration { .. }
        ]
    ));
}

/// Standing on its corners, a is zero and α too: the loads are the reactions of the same frame held and weighed.
#[test]
fn a_standing_car_does_not_move() {
    let (frame, mut case) = flying();
    let masses = load_case::nodal_masses(&frame, &case.masses, true).unwrap();
    let weights: Vec<Load> = masses
        .iter()
        .enumerate()
        .filter(|(_, m)| **m > 0.0)
        .map(|(n, m)| Load::force(n, v(0.0, 0.0, -m * STANDARD_GRAVITY)))
        .collect();
    let corners = Supports::new()
        .hold(1, "xyz")
        .hold(8, "xz")
        .hold(6, "z")
        .hold(13, "z");
    let standing = solve(&frame, &corners, &weights);
    case.loads = standing
        .reactions
        .iter()
        .map(|(n, r)| Load::force(*n, v(r[0], r[1], r[2])))
        .collect();
    case.expected = Some(Expected {
        acceleration: Vector3::zeros(),
        tolerance: 1e-6,
        angular_tolerance: 1e-6,
    });
    let a = load_case::solve(&frame, &case, None).unwrap();
    assert!(a.findings.is_empty(), "{:?}", a.findings);
    let largest = standing
        .end_forces
        .iter()
        .flatten()
        .fold(0.0_f64, |m, x| m.max(x.abs()));
    for (x, y) in a
        .solution
        .end_forces
        .iter()
        .flatten()
        .zip(standing.end_forces.iter().flatten())
    {
        close(*x, *y, 1e-7 * largest);
    }
    // No masses: nothing can balance.
    case.masses.clear();
    case.own_mass = false;
    assert!(load_case::solve(&frame, &case, None).is_err());
    case.masses = vec![PointMass {
        node: 0,
        mass: 100.0,
    }];
    let one = load_case::solve(&frame, &case, None);
    assert!(matches!(one, Err(SolveError::NoBalance { .. })), "{one:?}");
}

/// The height of a rectangular tube keeps its place round bends and on uprights.
#[test]
fn section_axes_and_roll() {
    let x = v(0.0, 1.0, 0.0);
    let (y, z) = section_axes(&x, 0.0);
    assert_eq!((y, z), (v(-1.0, 0.0, 0.0), v(0.0, 0.0, 1.0)));
    let upright = section_axes(&v(0.0, 0.0, 1.0), 0.0);
    assert_eq!(upright.1, v(1.0, 0.0, 0.0));
    for direction in [v(1.0, 0.2, 0.3), v(0.05, 0.0, 2.0), v(-1.0, 1.0, -0.5)] {
        let x = direction.normalize();
        for roll in [-2.0, 0.3, 1.5] {
            let (_, z) = section_axes(&x, roll);
            close(roll_toward(&direction, &(2.0 * z + 5.0 * x)), roll, 1e-12);
        }
    }
    let carried = carry_over_bend(&v(0.0, 0.0, 1.0), &v(1.0, 0.0, 0.0), &v(0.0, 0.0, 1.0));
    close((carried - v(-1.0, 0.0, 0.0)).norm(), 0.0, 1e-12);
}

#[test]
fn fine_division_keeps_its_digits() {
    let coarse = rig::run(&box_frame(5, 1), box_twist(5)).unwrap();
    let fine = rig::run(&box_frame(5, 7), box_twist(5)).unwrap();
    close(fine.stiffness, coarse.stiffness, 1e-8 * coarse.stiffness);
    assert!(fine.unit.residual < 1e-8, "{}", fine.unit.residual);
}
