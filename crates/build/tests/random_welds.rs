//! Random assemblies, plausible and impossible: each has a weld study without a panic and without a value
//! that is no number, and every edit leaves a build that can be saved.
//!
//! 300 by default; `RANDOM_BUILDS=1500` looks at as many (CI does, optimised; no more are looked at).
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

use std::cell::Cell;
use std::path::Path;

use build::{
    Build, Edit, Face, Gap, Held, History, JointKind, Lie, Limit, Place, Stage, ToleranceClass,
    Tool, TubeSection, WeldEdit, derive, file,
};
use proptest::prelude::*;
use proptest::test_runner::{Config, TestRunner};
use units::{Angle, Count, Length, Pressure, Ratio, Volume};

fn sample(name: &str) -> Build {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples");
    file::load(&path.join(name)).unwrap()
}

/// What is changed in a sample.
#[derive(Debug, Clone)]
struct Odd {
    base: usize,
    /// Node (by place) and what it is moved by, m; or onto another node.
    moves: Vec<(usize, [f64; 3], Option<usize>)>,
    /// Joint, then numbers to make of it.
    joints: Vec<(usize, u32, f64, f64)>,
    tubes: Vec<(usize, u32, f64, f64)>,
    dimensions: Vec<(usize, u32, f64)>,
    numbers: Vec<f64>,
    flags: u32,
}

fn odd_build() -> impl Strategy<Value = Odd> {
    let metres = prop_oneof![6 => -0.3..0.3f64, 1 => Just(0.0), 1 => -10.0..10.0f64];
    let share = prop_oneof![6 => 0.0..1.0f64, 1 => Just(0.0), 1 => Just(1.0), 1 => Just(1e-9)];
    (
        0usize..3,
        proptest::collection::vec(
            (
                any::<usize>(),
                [metres.clone(), metres.clone(), metres],
                proptest::option::weighted(0.15, any::<usize>()),
            ),
            0..6,
        ),
        proptest::collection::vec(
            (any::<usize>(), any::<u32>(), share.clone(), share.clone()),
            0..6,
        ),
        proptest::collection::vec(
            (any::<usize>(), any::<u32>(), share.clone(), share.clone()),
            0..4,
        ),
        proptest::collection::vec((any::<usize>(), any::<u32>(), share.clone()), 0..4),
        proptest::collection::vec(share, 12),
        any::<u32>(),
    )
        .prop_map(
            |(base, moves, joints, tubes, dimensions, numbers, flags)| Odd {
                base,
                moves,
                joints,
                tubes,
                dimensions,
                numbers,
                flags,
            },
        )
}

fn build(odd: &Odd) -> Build {
    let mut b = sample(["redshank.ron", "whimbrel.ron", "faulty.ron"][odd.base]);
    let flag = |k: u32| odd.flags >> k & 1 == 1;
    let pick = |i: usize, n: usize| (n > 0).then(|| i % n);
    for (i, by, onto) in &odd.moves {
        let n = b.assembly.nodes.len();
        let Some(i) = pick(*i, n) else { continue };
        let from = match onto.and_then(|k| pick(k, n)) {
            Some(k) => b.assembly.nodes[k].at.si(),
            None => {
                let at = b.assembly.nodes[i].at.si();
                [at[0] + by[0], at[1] + by[1], at[2] + by[2]]
            }
        };
        b.assembly.nodes[i].at = Place::from_si(from.map(|x| x.clamp(-20.0, 20.0)));
    }
    for (i, what, x, y) in &odd.tubes {
        let Some(i) = pick(*i, b.assembly.tubes.len()) else {
            continue;
        };
        let t = &mut b.assembly.tubes[i];
        let outside = 0.003 + 0.2 * x;
        let wall = (0.0002 + 0.49 * outside * y).min(0.0999);
        t.section = if what & 1 == 0 {
            TubeSection::Round {
                outside: Length::from_si(outside),
                wall: Length::from_si(wall),
            }
        } else {
            TubeSection::Rectangular {
                height: Length::from_si(outside),
                width: Length::from_si(outside + 0.02),
                corner: None,
                wall: Length::from_si(wall),
            }
        };
        t.turn = Angle::from_si(6.0 * x);
        if what >> 5 & 3 == 3 {
            let nodes = &b.assembly.nodes;
            if let Some(k) = pick((what >> 7) as usize, nodes.len()) {
                t.bends.push(build::Bend {
                    at: nodes[k].id.clone(),
                    radius: Length::from_si(0.005 + 0.3 * y),
                });
            }
        }
        t.material =
            ["1020 DOM", "1026 DOM", "4130", "nothing"][(what >> 1) as usize % 4].to_owned();
    }
    for (i, what, x, y) in &odd.joints {
        let Some(i) = pick(*i, b.fit_up.joints.len()) else {
            continue;
        };
        let parts: Vec<String> = b.assembly.tubes.iter().map(|t| t.id.clone()).collect();
        let nodes: Vec<String> = b.assembly.nodes.iter().map(|n| n.id.clone()).collect();
        let j = &mut b.fit_up.joints[i];
        j.kind = [
            JointKind::Butt,
            JointKind::Tee {
                fillets: 1 + (what >> 8 & 1) as u8,
            },
            JointKind::Lap,
            JointKind::Cope,
        ][*what as usize % 4];
        j.leg = Length::from_si(0.1 * x);
        j.wall = Length::from_si(0.0002 + 0.05 * y);
        j.held = [Held::Free, Held::Tacked, Held::Fixtured][*what as usize % 3];
        j.passes = 1 + (what >> 4) % 100;
        j.length = (what >> 9 & 1 == 1).then(|| Length::from_si(0.001 + x));
        j.gaps = (0..what >> 10 & 7)
            .map(|k| Gap {
                clock: (1.7 * f64::from(k) + x).min(12.0),
                gap: Length::from_si(0.02 * y * f64::from(k % 3)),
            })
            .collect();
        if what >> 14 & 1 == 1
            && let Some(joins) = &mut j.joins
        {
            joins.onto = parts[(what >> 16) as usize % parts.len()].clone();
            joins.at = nodes[(what >> 20) as usize % nodes.len()].clone();
        }
    }
    for (i, what, x) in &odd.dimensions {
        let nodes: Vec<String> = b.assembly.nodes.iter().map(|n| n.id.clone()).collect();
        let Some(i) = pick(*i, b.weld_out.dimensions.len()) else {
            continue;
        };
        let d = &mut b.weld_out.dimensions[i];
        d.from = nodes[*what as usize % nodes.len()].clone();
        d.to = nodes[(what >> 8) as usize % nodes.len()].clone();
        d.through = if what & 4 == 0 {
            Vec::new()
        } else {
            vec![nodes[(what >> 4) as usize % nodes.len()].clone()]
        };
        d.want = Length::from_si(*x);
        d.tolerance = if what & 8 == 0 {
            Limit::Within(Length::from_si(0.01 * x))
        } else {
            Limit::Iso13920(ToleranceClass::C)
        };
        d.tool = [
            Tool::Tape,
            Tool::Trammel,
            Tool::Error(Length::from_si(0.01 * x)),
        ][*what as usize % 3];
        d.learn = what & 16 == 0;
        for r in &mut d.readings {
            if what & 32 == 0 {
                r.stage = Stage::Welded;
            }
        }
    }
    let n = &odd.numbers;
    for c in &mut b.weld_out.corrections {
        c.bead.leg = Length::from_si(0.0005 + 0.01 * n[0]);
        c.bead.length = Length::from_si(0.001 + 0.1 * n[1]);
        c.bead.lie = if flag(0) { Lie::Along } else { Lie::Across };
        c.chance = Ratio::from_si((0.5 * n[2]).max(1e-6));
        for s in &mut c.sites {
            s.at = Length::from_si(n[3]);
            s.face = Face::ALL[odd.flags as usize % 6];
        }
        for l in &mut c.laid {
            l.beads = 1 + odd.flags % 100;
        }
    }
    for c in &mut b.weld_out.coupons {
        c.before = Length::from_si(n[4]);
        c.after = flag(1).then(|| Length::from_si(n[4] - 0.01 * n[5]));
    }
    let g = &mut b.weld_out.gas;
    g.cylinder = Volume::from_si(n[6]);
    g.pressure = Pressure::from_si(1e8 * n[7]);
    g.starts = Count::from_si(1000.0 * n[8]);
    if flag(2) {
        b.weld_out.arcs.clear();
    }
    let c = &mut b.weld_out.choices;
    c.spread = Ratio::from_si((2.0 * n[9]).max(0.01));
    c.joint_scatter = Ratio::from_si(2.0 * n[10]);
    c.bead_scatter = Ratio::from_si(2.0 * n[11]);
    b
}

#[test]
fn every_random_assembly_has_a_study_of_numbers_and_can_be_saved() {
    let cases: u32 = std::env::var("RANDOM_BUILDS")
        .ok()
        .and_then(|n| n.parse().ok())
        .map_or(300, |n: u32| n.min(1_500));
    let threads = std::thread::available_parallelism().map_or(1, usize::from) as u32;
    let counts: Vec<[u32; 3]> = std::thread::scope(|scope| {
        let all: Vec<_> = (0..threads)
            .map(|_| scope.spawn(|| look(cases.div_ceil(threads))))
            .collect();
        all.into_iter().map(|t| t.join().unwrap()).collect()
    });
    let total = |k: usize| counts.iter().map(|c| c[k]).sum::<u32>();
    let (ways, none, plans) = (total(0), total(1), total(2));
    println!("{ways} dimensions with a way, {none} without, {plans} bead plans");
    // All three come up, or the test looks at nothing.
    assert!(ways > cases / 2 && none > cases / 50 && plans > cases / 100);
}

/// Looks at so many: dimensions with a way, without, plans of beads.
fn look(cases: u32) -> [u32; 3] {
    let shop = units::Shop::default();
    let seen = [Cell::new(0u32), Cell::new(0u32), Cell::new(0u32)];
    let mut runner = TestRunner::new(Config {
        cases,
        failure_persistence: None,
        max_shrink_iters: 1000,
        ..Config::default()
    });
    runner
        .run(&odd_build(), |odd| {
            let b = build(&odd);
            // It can be saved, so a person can come to it: any value outside its range would be refused.
            let text = file::to_text(&b).unwrap();
            if file::parse(&text, Path::new("random.ron")).is_err() {
                return Ok(());
            }
            let s = derive(&b);
            for r in &s.readings {
                match &r.value {
                    Ok(v) => prop_assert!(v.is_finite(), "{} is {v}", r.id()),
                    Err(why) => prop_assert!(!why.to_string().is_empty(), "{}", r.id()),
                }
                if let build::Certainty::Estimate { low, high, .. } = &r.certainty
                    && r.id().starts_with("weld.")
                    && let Ok(v) = &r.value
                {
                    prop_assert!(low <= v && v <= high, "{}: {low} {v} {high}", r.id());
                }
            }
            for f in &s.findings {
                let said = f.sentences(&shop);
                prop_assert!(!said.contains("NaN") && !said.contains("inf "), "{said}");
            }
            for d in &s.weld.dimensions {
                let k = usize::from(d.way.is_err());
                seen[k].set(seen[k].get() + 1);
            }
            for c in &s.weld.corrections {
                if let Ok(plan) = &c.plan {
                    seen[2].set(seen[2].get() + 1);
                    prop_assert!(
                        plan.forecast(20)
                            .iter()
                            .all(|f| f.low <= f.mean && f.mean <= f.high)
                    );
                }
            }
            // A node can be dragged anywhere and taken back.
            if let Some(node) = b.assembly.nodes.first() {
                let mut history = History::new(b.clone());
                let to = Place::from_si([0.1, 0.2, 0.3]);
                let edit = WeldEdit::MoveNode {
                    node: node.id.clone(),
                    to,
                };
                history.apply(&Edit::Weld(edit)).unwrap();
                derive(history.build());
                history.undo();
                prop_assert_eq!(&**history.build(), &b);
            }
            Ok(())
        })
        .unwrap_or_else(|e| panic!("{e}"));
    seen.map(Cell::into_inner)
}
