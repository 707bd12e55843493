//! Random cars, plausible and impossible: each has a study without a panic and without a value that is no number.
//!
//! 400 by default; `RANDOM_BUILDS=100000` looks at as many (CI does, optimised).
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

use std::path::Path;

use build::{
    BoltGrade, Build, Coilover, Differential, Driveshaft, EngineTurn, LinkBolt, LinkStock, Place,
    Preload, Section, Shear, Sides, Slip, derive, file,
};
use proptest::prelude::*;
use proptest::test_runner::{Config, TestRunner};
use units::{Acceleration, Angle, Count, Force, Length, Mass, Pressure, Ratio, SpringRate};

fn sample(name: &str) -> Build {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples");
    file::load(&path.join(name)).unwrap()
}

/// Mostly near what a car has, now and then what none has.
fn odd(usual: std::ops::Range<f64>, strange: &'static [f64]) -> BoxedStrategy<f64> {
    prop_oneof![8 => usual, 1 => proptest::sample::select(strange)].boxed()
}

fn place(
    x: std::ops::Range<f64>,
    y: std::ops::Range<f64>,
    z: std::ops::Range<f64>,
) -> impl Strategy<Value = Place> {
    (
        odd(x, &[0.0, 5.0, -5.0]),
        odd(y, &[0.0, -0.4, 3.0]),
        odd(z, &[0.0, 0.3556, -1.0]),
    )
        .prop_map(|(x, y, z)| Place::from_si([x, y, z]))
}

#[derive(Debug, Clone)]
struct Odd {
    base: usize,
    numbers: Vec<f64>,
    brackets: Vec<Place>,
    /// Which bracket stands where another one does.
    same: Option<(usize, usize)>,
    eyes: (Place, Place),
    joints: (Place, Place),
    flags: u32,
}

fn odd_build() -> impl Strategy<Value = Odd> {
    let rate = || odd(5e3..9e4, &[0.0, -2e4, 1e6, 1e-3]);
    let length = || odd(0.05..0.6, &[0.0, 1e-9, 2.9]);
    let numbers = vec![
        odd(700.0..2200.0, &[200.0, 5000.0]),
        odd(0.3..0.7, &[0.05, 0.95]),
        odd(0.3..0.7, &[0.1, 2.0]),
        odd(50.0..250.0, &[0.0, 1000.0]),
        odd(3.0..5.0, &[0.1, 20.0]),
        odd(0.5..3.0, &[0.05, 6.0]),
        odd(0.0..15.0, &[60.0]),
        odd(0.0..15.0, &[30.0]),
        rate(),
        odd(1e5..4e5, &[0.0, -1e5, 1e7, 1e-6]),
        rate(),
        length(),
        length(),
        length(),
        length(),
        odd(0.05..0.4, &[0.0, 1.6]),
        odd(-0.05..0.05, &[1.0, -1.0]),
        odd(-0.1..0.1, &[1.0, -1.0]),
        odd(0.0..1e4, &[1e6]),
        odd(0.01..0.06, &[0.0]),
        odd(0.001..0.02, &[0.0, 0.5]),
    ];
    let frame = || place(0.3..0.8, 0.2..0.6, 0.1..0.5);
    let axle = || place(-0.1..0.15, 0.2..0.6, 0.15..0.6);
    (
        0usize..3,
        numbers,
        vec![
            frame().boxed(),
            frame().boxed(),
            axle().boxed(),
            axle().boxed(),
            frame().boxed(),
            axle().boxed(),
        ],
        proptest::option::weighted(0.1, (0usize..6, 0usize..6)),
        (
            place(-0.3..0.1, 0.3..0.6, 0.4..0.7),
            place(-0.2..0.1, 0.3..0.6, 0.1..0.4),
        ),
        (
            place(0.8..1.6, 0.0..0.01, 0.2..0.5),
            place(0.1..0.4, 0.0..0.01, 0.2..0.5),
        ),
        any::<u32>(),
    )
        .prop_map(|(base, numbers, brackets, same, eyes, joints, flags)| Odd {
            base,
            numbers,
            brackets,
            same,
            eyes,
            joints,
            flags,
        })
}

fn build(odd: &Odd) -> Build {
    let mut b = sample(["redshank.ron", "whimbrel.ron", "faulty.ron"][odd.base]);
    // Random assemblies are looked at on their own.
    b.assembly = build::Assembly::default();
    b.weld_out = build::WeldOut::default();
    b.fit_up.joints.truncate(3);
    let n = &odd.numbers;
    let flag = |k: u32| odd.flags >> k & 1 == 1;
    // One in 128 goes down the strip as well: a run costs as much as a hundred balances.
    if !(19..26).all(flag) {
        b.run = build::RunData::default();
    }
    // Half keep the links of the sample: else few would stand.
    if flag(0) {
        for (x, at) in b.rear.brackets.iter_mut().zip(&odd.brackets) {
            x.at = *at;
        }
    }
    if let Some((i, k)) = odd.same
        && i.max(k) < b.rear.brackets.len()
    {
        b.rear.brackets[i].at = b.rear.brackets[k].at;
    }
    if flag(1) {
        b.rear.links[0].at_frame.right_hole = Some(1);
    }
    b.car.mass = Mass::from_si(n[0]);
    b.car.rear_share = Ratio::from_si(n[1]);
    b.car.cg_height = Length::from_si(n[2]);
    let p = &mut b.power;
    p.rear_unsprung = Mass::from_si(n[3]);
    p.final_drive = Count::from_si(n[4]);
    p.friction = Count::from_si(n[5]);
    p.acceleration = Acceleration::from_si(n[6]);
    p.braking = Acceleration::from_si(n[7]);
    p.front_wheel_rate = SpringRate::from_si(n[8]);
    p.rear_tyre_rate = SpringRate::from_si(n[9]);
    p.differential = if flag(2) {
        Differential::Open
    } else {
        Differential::Locked
    };
    p.engine = if flag(3) {
        EngineTurn::Reversed
    } else {
        EngineTurn::Usual
    };
    p.front_bar = units::RollStiffness::from_si(n[18]);
    p.rear_bar = units::RollStiffness::from_si(n[18] * 0.5);
    let coil = Coilover {
        id: "c".to_owned(),
        label: "coil".to_owned(),
        sides: if flag(4) && flag(5) {
            Sides::Single
        } else {
            Sides::Pair
        },
        at_frame: odd.eyes.0,
        at_axle: odd.eyes.1,
        rate: SpringRate::from_si(n[10]),
        spring_free: Length::from_si(n[11]),
        spring_block: Length::from_si(n[12]),
        extended: Length::from_si(n[13]),
        compressed: Length::from_si(n[14]),
        eye_tilt: Angle::from_si(n[15]),
        preload: flag(6).then(|| Preload {
            left: Length::from_si(n[16]),
            right: Length::from_si(n[17]),
        }),
    };
    if flag(7) {
        p.coilovers[0].preload = coil.preload;
        p.coilovers[0].rate = coil.rate;
    } else {
        p.coilovers = vec![coil; 1 + usize::from(flag(8) && flag(9))];
        if let Some(second) = p.coilovers.get_mut(1) {
            second.id = "d".to_owned();
        }
    }
    p.driveshaft = flag(10).then(|| Driveshaft {
        front_joint: odd.joints.0,
        rear_joint: odd.joints.1,
        output_down: Angle::from_si(n[16]),
        pinion_up: Angle::from_si(n[17]),
        slip: if flag(11) {
            Slip::Shaft
        } else {
            Slip::Transmission
        },
        slip_travel: Length::from_si(n[19]),
    });
    for l in &mut b.rear.links {
        l.stock = flag(12).then(|| LinkStock {
            section: if flag(13) {
                Section::Solid {
                    diameter: Length::from_si(n[19]),
                }
            } else {
                Section::Tube {
                    outside: Length::from_si(n[19]),
                    wall: Length::from_si(n[20]),
                }
            },
            yield_strength: Pressure::from_si(3e8 * n[1]),
            modulus: if flag(14) && flag(15) {
                Pressure::from_si(0.0)
            } else {
                build::steel_modulus()
            },
            rod_end_rating: flag(16).then(|| Force::from_si(1e5 * n[20])),
            bolt: flag(17).then(|| LinkBolt {
                diameter: Length::from_si(n[20]),
                grade: BoltGrade::Grade8,
                shear: if flag(18) {
                    Shear::Single
                } else {
                    Shear::Double
                },
            }),
        });
    }
    b
}

#[test]
fn every_random_build_has_a_study_of_numbers() {
    let cases: u32 = std::env::var("RANDOM_BUILDS")
        .ok()
        .and_then(|n| n.parse().ok())
        .unwrap_or(400);
    let threads = std::thread::available_parallelism().map_or(1, usize::from) as u32;
    let counts: Vec<(u32, u32)> = std::thread::scope(|scope| {
        let all: Vec<_> = (0..threads)
            .map(|_| scope.spawn(|| look(cases.div_ceil(threads))))
            .collect();
        all.into_iter().map(|t| t.join().unwrap()).collect()
    });
    let balanced: u32 = counts.iter().map(|c| c.0).sum();
    let failed: u32 = counts.iter().map(|c| c.1).sum();
    println!("{balanced} balanced, {failed} did not");
    // Both kinds come up, or the test looks at nothing.
    assert!(balanced > cases / 50 && failed > cases / 50);
}

/// Looks at so many builds: how many balanced, how many did not.
fn look(cases: u32) -> (u32, u32) {
    let shop = units::Shop::default();
    let (balanced, failed) = (std::cell::Cell::new(0u32), std::cell::Cell::new(0u32));
    let mut runner = TestRunner::new(Config {
        cases,
        failure_persistence: None,
        max_shrink_iters: 2000,
        ..Config::default()
    });
    runner
        .run(&odd_build(), |odd| {
            let b = build(&odd);
            let s = derive(&b);
            for r in &s.readings {
                match &r.value {
                    Ok(v) => prop_assert!(v.is_finite(), "{} is {v}", r.id()),
                    Err(why) => prop_assert!(!why.to_string().is_empty(), "{}", r.id()),
                }
            }
            for f in &s.findings {
                let said = f.sentences(&shop);
                prop_assert!(!said.contains("NaN") && !said.contains("inf "), "{said}");
            }
            let ok = s
                .reading("launch.rear_left")
                .is_some_and(|r| r.value.is_ok());
            let count = if ok { &balanced } else { &failed };
            count.set(count.get() + 1);
            if !ok {
                // What does not balance is said.
                prop_assert!(!s.findings.is_empty());
            }
            Ok(())
        })
        .unwrap_or_else(|e| panic!("{e}"));
    (balanced.get(), failed.get())
}
