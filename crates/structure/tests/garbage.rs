//! Random frames, sound and not: an answer or an error, never a panic; answers satisfy equilibrium.
#![allow(clippy::unwrap_used, clippy::panic, missing_docs)]

use nalgebra::Vector3;
use proptest::prelude::*;
use structure::brace::{Candidate, rank_braces, screen};
use structure::load_case::{self, LoadCase, PointMass};
use structure::rig::{self, Pair, RearHold, Test};
use structure::section::bend_flexibility;
use structure::sensitivity::by_tube;
use structure::{
    Frame, Load, Material, Member, Options, Pins, RigidLink, Section, Supports, Symbolic,
};

fn any_number() -> impl Strategy<Value = f64> {
    prop_oneof![
        8 => -2.0..2.0_f64,
        1 => Just(0.0),
        1 => prop_oneof![Just(f64::NAN), Just(f64::INFINITY), Just(1e300), Just(-1e-300), Just(1e12)],
    ]
}

fn place() -> impl Strategy<Value = Vector3<f64>> {
    prop_oneof![
        6 => (0..5_i8, -2..3_i8, 0..3_i8).prop_map(|(x, y, z)| Vector3::new(f64::from(x), f64::from(y), f64::from(z)) * 0.4),
        3 => (-2.0..2.0_f64, -1.0..1.0_f64, 0.0..1.0_f64).prop_map(|(x, y, z)| Vector3::new(x, y, z)),
        1 => (any_number(), any_number(), any_number()).prop_map(|(x, y, z)| Vector3::new(x, y, z)),
    ]
}

fn pins() -> impl Strategy<Value = Pins> {
    prop_oneof![4 => Just(Pins::None), 1 => Just(Pins::I), 1 => Just(Pins::J), 2 => Just(Pins::Both)]
}

prop_compose! {
    fn member()(i in 0..12_usize, j in 0..12_usize, pins in pins(), wild in 0..150_u8, number in any_number(), od in 0.01..0.1_f64) -> Member {
        let mut m = Member::new(i, j, Section::round(od, 0.2 * od).unwrap()).pinned(pins).of_tube(i);
        match wild {
            0 => m.roll = number,
            1 => m.bend_factor = number,
            2 => m.material.e = number,
            3 => m.material = Material { e: 1e300, g: 1e300, density: 1e300 },
            _ => {}
        }
        m
    }
}

prop_compose! {
    fn frame()(
        nodes in prop::collection::vec(place(), 1..12),
        members in prop::collection::vec(member(), 0..30),
        links in prop::collection::vec((0..12_usize, 0..12_usize), 0..3),
        tidy in prop::bool::weighted(0.8),
        shear in any::<bool>(),
    ) -> Frame {
        let count = nodes.len();
        let mut frame = Frame {
            nodes,
            members,
            rigid_links: links.into_iter().map(|(slave, master)| RigidLink { slave, master }).collect(),
            options: Options { shear, bend_flexibility: true },
        };
        if tidy {
            // Most frames should get as far as being solved.
            frame.nodes.retain(|p| p.iter().all(|x| x.abs() < 1e3));
            let count = frame.nodes.len();
            frame.members.retain(|m| m.i < count && m.j < count && (frame.nodes[m.i] - frame.nodes[m.j]).norm() > 1e-6);
            let mut seen = std::collections::BTreeSet::new();
            frame.members.retain(|m| seen.insert((m.i.min(m.j), m.i.max(m.j))));
            frame.rigid_links.retain(|l| l.slave < count && l.master < count && l.slave > l.master);
            frame.rigid_links.dedup_by_key(|l| l.slave);
        }
        let _ = count;
        frame
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1500, ..ProptestConfig::default() })]
    #[test]
    fn an_answer_or_an_error(
        frame in frame(),
        supports in prop::collection::vec((0..12_usize, "[xyzabc]{0,6}"), 0..5),
        loads in prop::collection::vec((0..12_usize, any_number(), any_number(), any_number()), 0..4),
    ) {
        let supports = supports.iter().fold(Supports::new(), |s, (n, l)| s.hold(*n, l));
        let loads: Vec<Load> = loads.into_iter().map(|(node, x, y, z)| Load {
            node,
            force: Vector3::new(x, y, z),
            moment: Vector3::new(z, x, y),
        }).collect();
        if let Ok(factored) = Symbolic::new(&frame, &supports).and_then(|s| s.factor(&frame)) {
            match factored.solve(&loads) {
                Ok(s) => {
                    prop_assert!(s.displacements.iter().flatten().all(|x| x.is_finite()));
                    prop_assert!(s.energies.iter().all(|e| *e >= 0.0));
                }
                Err(e) => prop_assert!(!e.to_string().is_empty()),
            }
        }
        let test = Test::Twist { front: Pair::new(2, 3), rear: Pair::new(0, 1), hold: RearHold::Determinate };
        if let Ok(tested) = rig::run(&frame, test) {
            prop_assert!(tested.stiffness > 0.0);
            let shares = by_tube(&frame, &tested).unwrap();
            prop_assert!(shares.values().all(|s| s.energy_share.is_finite()));
            let c = Candidate { i: 0, j: 3, section: Section::round(0.04, 0.003).unwrap(), material: Material::STEEL };
            if let Ok(gain) = screen(&tested, &c) {
                prop_assert!(gain.gain > -1e-6 * tested.stiffness);
            }
            prop_assert!(rank_braces(&tested, &[c; 9]).len() <= 9);
        }
        let case = LoadCase {
            masses: vec![PointMass { node: 0, mass: 10.0 }, PointMass { node: 2, mass: loads.first().map_or(1.0, |l| l.force.x) }],
            loads,
            own_mass: true,
            gravity: Vector3::new(0.0, 0.0, -9.81),
            expected: None,
        };
        if let Ok(a) = load_case::solve(&frame, &case, None) {
            prop_assert!(a.solution.displacements.iter().flatten().all(|x| x.is_finite()));
        }
    }

    #[test]
    fn any_sizes(a in any_number(), b in any_number(), c in any_number(), d in any_number()) {
        for s in [Section::round(a, b), Section::rectangular(a, b, c, d)].into_iter().flatten() {
            prop_assert!(s.area() > 0.0 && s.gyration().is_finite());
            prop_assert!(bend_flexibility(&s, c) >= 1.0);
        }
    }
}
