//! Random frames, plausible and impossible: each has answers or reasons, and no number that is none.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

use std::path::Path;

use build::{Build, Ends, Pair, Place, Study, TubeSection, derive, file};
use proptest::prelude::*;
use proptest::test_runner::{Config, TestRunner};
use units::{Angle, Length};

fn sample(name: &str) -> Build {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples");
    file::load(&path.join(name)).unwrap()
}

fn round(od: f64, wall: f64) -> TubeSection {
    TubeSection::Round {
        outside: Length::from_si(od),
        wall: Length::from_si(wall),
    }
}

fn says(s: &Study, words: &str) -> bool {
    let shop = units::Shop::default();
    s.findings
        .iter()
        .any(|f| f.sentences(&shop).contains(words))
}

#[derive(Debug, Clone)]
struct Odd {
    moves: Vec<(usize, [f64; 3], Option<usize>)>,
    tubes: Vec<(usize, u32, f64, f64)>,
    names: Vec<usize>,
    flags: u32,
}

fn odd() -> impl Strategy<Value = Odd> {
    let metres = prop_oneof![6 => -0.3..0.3f64, 1 => Just(0.0), 1 => -10.0..10.0f64];
    let share = prop_oneof![6 => 0.0..1.0f64, 1 => Just(0.0), 1 => Just(1.0), 1 => Just(1e-9)];
    let step = (
        any::<usize>(),
        [metres.clone(), metres.clone(), metres],
        proptest::option::weighted(0.3, any::<usize>()),
    );
    (
        proptest::collection::vec(step, 0..8),
        proptest::collection::vec((any::<usize>(), any::<u32>(), share.clone(), share), 0..8),
        proptest::collection::vec(any::<usize>(), 12),
        any::<u32>(),
    )
        .prop_map(|(moves, tubes, names, flags)| Odd {
            moves,
            tubes,
            names,
            flags,
        })
}

fn odd_build(odd: &Odd) -> Build {
    let mut b = sample("redshank.ron");
    let flag = |k: u32| odd.flags >> k & 1 == 1;
    let n = b.assembly.nodes.len();
    for (i, by, onto) in &odd.moves {
        let from = match onto {
            Some(k) => b.assembly.nodes[k % n].at.si(),
            None => {
                let at = b.assembly.nodes[i % n].at.si();
                [0, 1, 2].map(|k| at[k] + by[k])
            }
        };
        b.assembly.nodes[i % n].at = Place::from_si(from.map(|x| x.clamp(-20.0, 20.0)));
    }
    let ids: Vec<String> = b.assembly.nodes.iter().map(|n| n.id.clone()).collect();
    for (i, what, x, y) in &odd.tubes {
        let many = b.assembly.tubes.len();
        let t = &mut b.assembly.tubes[i % many];
        let outside = 0.003 + 0.2 * x;
        let wall = (0.0002 + 0.49 * outside * y).min(0.0999);
        if what & 1 == 0 {
            t.section = round(outside, wall);
        }
        if what & 2 == 0 {
            t.ends = Ends::Pinned;
        }
        t.turn = Angle::from_si(6.0 * x);
        if what & 4 == 0 {
            t.from = ids[(what >> 8) as usize % n].clone();
        }
        if what & 8 == 0 {
            t.bends.push(build::Bend {
                at: ids[(what >> 16) as usize % n].clone(),
                radius: Length::from_si(0.01 + 0.3 * y),
            });
        }
        if what & 48 == 0 {
            let id = t.id.clone();
            b.assembly
                .tubes
                .retain(|t| t.id != id || b.assembly.nodes.is_empty());
        }
        if b.assembly.tubes.is_empty() {
            break;
        }
    }
    let name = |k: usize| ids[odd.names[k] % n].clone();
    let t = &mut b.frame_test;
    t.shear = flag(0);
    t.soft_bends = flag(1);
    t.clamped = flag(2);
    if flag(3) {
        t.rear = Some(Pair {
            label: String::new(),
            left: name(0),
            right: name(1),
        });
    }
    if flag(4) {
        t.front = Some(Pair {
            label: String::new(),
            left: name(2),
            right: name(3),
        });
    }
    if flag(5) {
        t.middle = Some(Pair {
            label: String::new(),
            left: name(4),
            right: name(5),
        });
    }
    if flag(6) {
        t.front_springs = Some(Pair {
            label: String::new(),
            left: name(6),
            right: name(7),
        });
    }
    if flag(7) {
        t.engine_mounts = vec![name(8), name(8)];
    }
    if flag(8) {
        t.masses[0].on = vec![name(9)];
        t.masses[1].on = Vec::new();
    }
    if flag(9) {
        t.carriers.push(build::CarriedBy {
            load: build::Carried::CoilOver(build::Hand::Right),
            node: name(10),
        });
    }
    b
}

/// 60 by default; `RANDOM_BUILDS=1500` looks at as many.
#[test]
fn random_frames_have_answers_or_reasons() {
    let cases = std::env::var("RANDOM_BUILDS")
        .ok()
        .and_then(|n| n.parse().ok())
        .map_or(60, |n: u32| n.min(1_500));
    let shop = units::Shop::default();
    let (mut answers, mut none) = (0, 0);
    let seen = std::cell::RefCell::new((&mut answers, &mut none));
    let mut runner = TestRunner::new(Config {
        cases,
        failure_persistence: None,
        ..Config::default()
    });
    runner
        .run(&odd(), |odd| {
            let b = odd_build(&odd);
            let s = derive(&b);
            for r in s.readings.iter().filter(|r| r.id().starts_with("frame.")) {
                match &r.value {
                    Ok(v) => prop_assert!(v.is_finite() && *v > 0.0, "{} is {v}", r.id()),
                    Err(why) => prop_assert!(!why.to_string().is_empty(), "{}", r.id()),
                }
            }
            for f in &s.findings {
                let said = f.sentences(&shop);
                prop_assert!(!said.contains("NaN") && !said.contains("inf "), "{said}");
            }
            if let Ok(launch) = &s.frame.launch {
                let said = says(&s, "come out rough");
                prop_assert!(launch.unbalanced <= 1e-9 || said, "{}", launch.unbalanced);
            }
            match s.frame.twist {
                Ok(_) => *seen.borrow_mut().0 += 1,
                Err(_) => *seen.borrow_mut().1 += 1,
            }
            if odd.flags >> 20 & 7 == 0
                && let Ok(list) = s.frame.braces()
            {
                prop_assert!(list.places.iter().all(|p| p.tried.after.is_finite()));
            }
            Ok(())
        })
        .unwrap_or_else(|e| panic!("{e}"));
    println!("{answers} twisted, {none} not");
    // Both come up, or the test looks at nothing.
    assert!(
        answers > cases / 10 && none > cases / 20,
        "{answers} {none}"
    );
}
