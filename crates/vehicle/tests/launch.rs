//! The launch balance against published values, closed forms and laws.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod common;

use common::{Drawn, five_rods, four_rods, mirrored, pair};
use geometry::DrawnRod;
use nalgebra::Point3;
use proptest::prelude::*;
use vehicle::STANDARD_GRAVITY as G;
use vehicle::launch::{
    Balance, Differential, DrawnCoilover, FirstOrder, LaunchCar, LaunchError, LaunchModel,
    LimitKind, Manoeuvre, SettledCar, ShaftTorque, TractionKind,
};

const INCH: f64 = 0.0254;
const POUND: f64 = 4.448_221_615_260_5;

fn settle(drawn: &Drawn) -> SettledCar {
    let (car, rods, coils) = drawn;
    LaunchModel::drawn(car, rods, coils)
        .unwrap()
        .settle()
        .unwrap()
}

fn checks_hold(b: &Balance) {
    let c = &b.checks;
    assert!(c.load_sum.abs() < 1e-9, "{c:?}");
    assert!(c.front_load_moment.abs() < 1e-9, "{c:?}");
    assert!(c.residual_max < 1e-9, "{c:?}");
    assert!(c.sprung_x_y < 1e-9, "{c:?}");
    assert!(c.virtual_work < 1e-6, "{c:?}");
}

/// Gillespie, Fundamentals of Vehicle Dynamics, ch. 2, traction example (from memory): Wf 2100, Wr 1850 lb, h 21 in,
/// L 108 in, μ 0.62, tread 59 in, final drive 2.90, tyre radius 13 in, roll stiffness 1150 front, 280 ft·lb/deg rear.
/// Open Fx = μ Wr/(1 − μ h/L + (2 μ r/(N t))·Kf/(Kf+Kr)). A light axle on short stiff tyres and links that do not bind.
fn gillespie(differential: Differential) -> Drawn {
    let moment_per_degree = 12.0 * INCH * POUND * 180.0 / std::f64::consts::PI;
    let (kf, kr) = (1150.0 * moment_per_degree, 280.0 * moment_per_degree);
    let (length, radius, tread, h) = (108.0 * INCH, 13.0 * INCH, 59.0 * INCH, 21.0 * INCH);
    let mass = 3950.0 * POUND / G;
    let axle_mass = 1.0;
    let sprung = mass - axle_mass;
    let station = length * 2100.0 / 3950.0 * mass / sprung;
    let height = (h * mass - radius * axle_mass) / sprung;
    // Vertical coil-overs ±0.5 m out: roll stiffness k/2; front wheel rates k t²/2.
    let (front_rate, rear_rate) = (2.0 * kf / (tread * tread), 2.0 * kr);
    let (front_load, rear_load) = (1050.0 * POUND, 925.0 * POUND);
    let tyre_rate = 1e8;
    let car = LaunchCar {
        wheelbase: length,
        sprung_mass: sprung,
        sprung_cg: Point3::new(station, 0.0, height),
        axle_mass,
        axle_cg: Point3::new(0.0, 0.0, radius),
        axle_height: radius,
        rear_track: tread,
        front_track: tread,
        front_hub_height: radius,
        front_rate,
        front_free_height: radius + front_load / front_rate,
        front_curve: None,
        tyre_rate,
        tyre_free_radius: radius + rear_load / tyre_rate,
        final_drive: 2.9,
        differential,
        shaft_torque: ShaftTorque::Usual,
        front_roll_stiffness: 0.0,
        rear_roll_stiffness: 0.0,
    };
    let mut rods = pair([0.8, 0.45, radius], [0.0, 0.45, radius - 0.12]).to_vec();
    rods.extend(pair([0.7, 0.4, radius + 0.1], [0.0, 0.08, radius + 0.12]));
    for r in &mut rods {
        r.stiffness = Some(1e9);
    }
    let coils = [0.5, -0.5].map(|y| DrawnCoilover {
        frame_point: Point3::new(0.0, y, radius + 0.4),
        housing_point: Point3::new(0.0, y, radius),
        rate: rear_rate,
        free_length: 0.4 + rear_load / rear_rate,
    });
    (car, rods, coils.to_vec())
}

/// Within 0.5 %: the formula keeps h and the pose; here the body lifts by about a centimetre, rolls a third of a degree (its
/// weight then leans out), and the links change their slope.
#[test]
fn gillespies_solid_axle_open_and_locked() {
    for (differential, pounds, g) in [
        (Differential::Open, 1201.0, 0.304),
        (Differential::Locked, 1304.0, 0.330),
    ] {
        let car = settle(&gillespie(differential));
        let at_rest = car.at_rest.tyre_load;
        assert!(
            (at_rest.front() / POUND - 2100.0).abs() < 2.0,
            "{at_rest:?}"
        );
        let found = car.traction_limit(0.62).unwrap();
        assert_eq!(found.kind, TractionKind::Slip);
        checks_hold(&found.balance);
        let thrust = found.balance.thrust.iter().sum::<f64>() / POUND;
        println!(
            "{differential:?}: {thrust:.1} lb, {:.4} g",
            found.acceleration / G
        );
        assert!((thrust - pounds).abs() < 0.005 * pounds, "{thrust}");
        assert!((found.acceleration / G - g).abs() < 0.005 * g);
        // The usual engine loads the left tyre.
        assert!(found.balance.rear_load_difference > 100.0);
    }
}

/// Jazar, Vehicle Dynamics: Theory and Application, ch. 2, exercise 10: 1550 kg, l 2620 mm, a1 = a2, h 720 mm, μ 0.8 → 5.03 m/s²
/// (inputs published, answer derived). Same stiff car without driveshaft torque. Within 1 %: the body lifts.
#[test]
fn jazars_rear_drive() {
    let (mut car, rods, mut coils) = gillespie(Differential::Open);
    car.wheelbase = 2.62;
    car.sprung_mass = 1549.0;
    car.sprung_cg = Point3::new(1.31, 0.0, 0.72);
    car.shaft_torque = ShaftTorque::Off;
    let load = 1550.0 * G / 4.0;
    (car.front_rate, coils[0].rate, coils[1].rate) = (2e5, 2e5, 2e5);
    car.front_free_height = car.front_hub_height + load / car.front_rate;
    coils
        .iter_mut()
        .for_each(|c| c.free_length = 0.4 + load / 2e5);
    let found = settle(&(car, rods, coils)).traction_limit(0.8).unwrap();
    assert!(
        (found.acceleration - 5.03).abs() < 0.05,
        "{}",
        found.acceleration
    );
}

/// First order: 2·ΔF·MR = m a h/L − F tan φ_as + m_u a tan φ_hub, within 3 % of m a h/L at 0.2 g with stiff rods (it leaves
/// out static load times change of geometry, which grows with the acceleration).
#[test]
fn first_order_load_change() {
    for drawn in [four_rods(), five_rods()] {
        let (mut car, mut rods, coils) = drawn;
        car.shaft_torque = ShaftTorque::Off;
        rods.iter_mut().for_each(|r| r.stiffness = Some(1e9));
        let first = FirstOrder::of(&car, &rods, &coils).unwrap();
        let settled = settle(&(car, rods, coils));
        let a = 0.2 * G;
        let b = settled.balance(a).unwrap();
        let change: f64 = b
            .coil_force
            .iter()
            .zip(&settled.at_rest.coil_force)
            .map(|(now, then)| (now - then) * first.motion_ratio)
            .sum();
        let formula = 0.2 * 2.0 * first.coil_force_per_g * first.motion_ratio;
        let transfer = car.mass() * a * first.cg_height / car.wheelbase;
        println!("{change} {formula} of {transfer}");
        assert!(
            (change - formula).abs() < 0.03 * transfer,
            "{change} {formula} {transfer}"
        );
        assert!(formula.abs() > 0.03 * transfer, "would pass with nothing");
    }
}

#[test]
fn at_rest_the_car_stands_by_its_weights() {
    let car = settle(&four_rods());
    let b = &car.at_rest;
    checks_hold(b);
    let c = car.model().car();
    // Moments about the rear contact; the pitch moves the CG by a millimetre or so.
    let front = c.weight() * c.cg_station() / c.wheelbase;
    assert!((b.tyre_load.front() - front).abs() < 2e-3 * c.weight());
    assert_eq!(b.thrust, [0.0, 0.0]);
    assert!(b.rear_load_difference.abs() < 1e-6 && b.sprung.roll.abs() < 1e-12);
    assert!(
        [
            b.front_lift,
            b.rear_squat,
            b.rear_separation,
            b.pitch_change
        ]
        .iter()
        .all(|v| *v == 0.0)
    );
    assert_eq!(car.balance(0.0).unwrap(), *b);
}

#[test]
fn sums_hold_from_braking_to_the_limit() {
    for drawn in [four_rods(), five_rods()] {
        for differential in [Differential::Open, Differential::Locked] {
            let mut drawn = drawn.clone();
            drawn.0.differential = differential;
            let car = settle(&drawn);
            for g in [0.1, 0.5, 1.0, 1.3] {
                let b = car.balance(g * G).unwrap();
                checks_hold(&b);
                let whole = drawn.0.mass() * b.acceleration;
                assert!((b.thrust[0] + b.thrust[1] - whole).abs() < 1e-9 * whole);
                let t = &b.tyre_load;
                if differential == Differential::Locked {
                    let share = t.rear_left / t.rear();
                    assert!((b.thrust[0] - share * whole).abs() < 1e-9 * whole);
                } else {
                    assert_eq!(b.thrust[0], b.thrust[1]);
                }
                let z = |y: f64| {
                    b.axle
                        .place(&Point3::new(0.0, y * drawn.0.rear_track, 0.0))
                        .z
                };
                let torque = (b.thrust[0] * z(0.5) + b.thrust[1] * z(-0.5)) / drawn.0.final_drive;
                assert!((b.driveshaft_torque - torque).abs() < 1e-9 * torque);
                assert!(b.front_lift > 0.0 && b.pitch_change < 0.0);
            }
        }
    }
}

/// Law: the car in a mirror does in the mirror what the car does. Unequal holes, an offset CG and roll bars included.
#[test]
fn mirror() {
    let mut drawn = five_rods();
    drawn.1[3].frame_point.z -= 0.02;
    drawn.0.sprung_cg.y = 0.03;
    drawn.0.front_roll_stiffness = 12_000.0;
    drawn.0.rear_roll_stiffness = 5000.0;
    drawn.0.differential = Differential::Locked;
    let (here, there) = (settle(&drawn), settle(&mirrored(&drawn)));
    for g in [0.0, 0.4, 0.9] {
        let (a, b) = (here.balance(g * G).unwrap(), there.balance(g * G).unwrap());
        checks_hold(&a);
        let near = |x: f64, y: f64, by: f64| assert!((x - y).abs() < by, "{x} {y}");
        near(a.tyre_load.rear_left, b.tyre_load.rear_right, 1e-5);
        near(a.tyre_load.rear_right, b.tyre_load.rear_left, 1e-5);
        near(a.tyre_load.front_left, b.tyre_load.front_right, 1e-5);
        near(a.sprung.roll, -b.sprung.roll, 1e-10);
        near(a.sprung.pitch, b.sprung.pitch, 1e-10);
        near(a.axle.psi, -b.axle.psi, 1e-10);
        near(a.yaw_hold_moment, -b.yaw_hold_moment, 1e-4);
        near(a.driveshaft_torque, -b.driveshaft_torque, 1e-6);
        near(a.coil_force[0], b.coil_force[0], 1e-5); // the same coil-over, now on the other side
        for (x, y) in a.rod_force.iter().zip(&b.rod_force) {
            near(*x, *y, 1e-4);
        }
    }
}

/// Both ways the engine turns: it loads one rear tyre and the other, by T·K_f/(K_f + K_r)/t each way at first order,
/// and not at all without driveshaft torque.
#[test]
fn engine_both_ways() {
    let load = |torque: ShaftTorque| {
        let mut drawn = four_rods();
        drawn.0.shaft_torque = torque;
        settle(&drawn).balance(0.5 * G).unwrap()
    };
    let (usual, reversed, off) = (
        load(ShaftTorque::Usual),
        load(ShaftTorque::Reversed),
        load(ShaftTorque::Off),
    );
    assert!(usual.rear_load_difference > 100.0);
    assert!((usual.rear_load_difference + reversed.rear_load_difference).abs() < 1e-4);
    assert!((usual.driveshaft_torque + reversed.driveshaft_torque).abs() < 1e-7);
    assert!(off.rear_load_difference.abs() < 1e-5 && off.driveshaft_torque == 0.0);
    // The body rolls to the right (left side up) under the usual engine.
    assert!(usual.sprung.roll > 1e-4 && reversed.sprung.roll < -1e-4);
}

/// Roll stiffness at the front takes driveshaft torque away from the rear suspension: more difference at the rear tyres.
#[test]
fn a_front_bar_raises_the_rear_difference() {
    let mut drawn = four_rods();
    let soft = settle(&drawn).balance(0.5 * G).unwrap();
    drawn.0.front_roll_stiffness = 40_000.0;
    let front = settle(&drawn).balance(0.5 * G).unwrap();
    (drawn.0.front_roll_stiffness, drawn.0.rear_roll_stiffness) = (0.0, 40_000.0);
    let rear = settle(&drawn).balance(0.5 * G).unwrap();
    assert!(front.rear_load_difference > soft.rear_load_difference + 50.0);
    assert!(rear.rear_load_difference < soft.rear_load_difference - 50.0);
    for b in [&front, &rear] {
        checks_hold(b);
        assert!(b.sprung.roll < soft.sprung.roll);
    }
}

/// Four rods that just hold the axle: another length turns the axle and leaves the forces (statically determinate). With a
/// fifth, parallel layout, the upper links shortened on one side only load the rods against each other.
#[test]
fn preload_needs_a_rod_too_many() {
    let forces = |drawn: &Drawn| settle(drawn).at_rest.rod_force;
    let held = |drawn: &mut Drawn, rod: usize, by: f64| {
        let r: &mut DrawnRod = &mut drawn.1[rod];
        r.length = Some((r.housing_point - r.frame_point).norm() + by);
    };
    let mut four = four_rods();
    let before = forces(&four);
    held(&mut four, 2, 0.002);
    held(&mut four, 3, 0.002);
    let largest = before.iter().fold(0.0_f64, |m, f| m.max(f.abs()));
    for (b, a) in before.iter().zip(&forces(&four)) {
        assert!((a - b).abs() < 0.05 * largest, "{b} {a}");
    }
    let mut five = five_rods();
    let before = forces(&five);
    held(&mut five, 3, -0.002);
    let after = forces(&five);
    checks_hold(&settle(&five).at_rest);
    // Right upper pulls, left upper pushes, lower ones the other way: a wind-up about x.
    let change: Vec<f64> = before.iter().zip(&after).map(|(b, a)| a - b).collect();
    assert!(change[3] > 100.0 && change[2] < -100.0, "{change:?}");
}

#[test]
fn warm_cold_and_curve_agree() {
    let mut drawn = five_rods();
    let car = settle(&drawn);
    let list: Vec<f64> = (0..15).map(|i| 0.1 * f64::from(i) * G).collect();
    let curve = car.curve(&list);
    let same = |a: &Balance, b: &Balance| {
        for (x, y) in a.rod_force.iter().zip(&b.rod_force) {
            assert!((x - y).abs() < 1e-4, "{x} {y}");
        }
        assert!((a.tyre_load.front_left - b.tyre_load.front_left).abs() < 1e-5);
    };
    for (a, b) in list.iter().zip(curve) {
        same(&b.unwrap(), &car.balance(*a).unwrap());
    }
    // Back down, and after a drag.
    let high = car.balance(1.2 * G).unwrap();
    same(
        &car.balance_from(&high, 0.3 * G).unwrap(),
        &car.balance(0.3 * G).unwrap(),
    );
    drawn.1[0].frame_point.z += 0.004;
    let moved = settle(&drawn);
    same(
        &moved.balance_near(&high).unwrap(),
        &moved.balance(1.2 * G).unwrap(),
    );
}

/// A tall short car goes over backwards: near g·x/h with x and h of the lifted car, one front tyre first under
/// driveshaft torque, and nothing is said beyond.
#[test]
fn the_front_lifts_and_there_it_ends() {
    let mut drawn = four_rods();
    drawn.0.sprung_cg.z = 0.9;
    // A rear bar that holds the body up in roll when the front is on one tyre.
    drawn.0.rear_roll_stiffness = 60_000.0;
    let car = settle(&drawn);
    let first = car.front_lift().unwrap().unwrap();
    let limit = car.limit(Manoeuvre::Drive).unwrap();
    assert_eq!(limit.kind, LimitKind::FrontWheelsOff);
    // The usual engine turns the body's left side up.
    assert_eq!(first.lifted, [true, false]);
    assert!(first.acceleration < limit.acceleration - 0.01);
    for b in [&first.balance, &limit.balance] {
        checks_hold(b);
    }
    assert!(limit.balance.tyre_load.front() < 1e-6 * drawn.0.weight());
    // Moments about the rear contact, front tyres at zero: m a h = W x, with the CG where it then is.
    let b = &limit.balance;
    let cg = b.sprung_point(&drawn.0.sprung_cg);
    let axle = b.axle.place(&Point3::from(
        drawn.0.axle_cg - Point3::new(0.0, 0.0, drawn.0.axle_height),
    ));
    let (ms, mu) = (drawn.0.sprung_mass, drawn.0.axle_mass);
    let height = (ms * cg.z + mu * axle.z) / (ms + mu);
    let station = (ms * cg.x + mu * axle.x) / (ms + mu) - b.axle.position.x;
    assert!((limit.acceleration - G * station / height).abs() < 0.02 * limit.acceleration);
    // Three wheels carry between the two.
    let three = car
        .balance(0.5 * (first.acceleration + limit.acceleration))
        .unwrap();
    assert_eq!(three.front_wheel_lifted, [true, false]);
    checks_hold(&three);
    car.balance(limit.acceleration - 1e-6 * G).unwrap();
    for beyond in [1e-6, 0.1, 5.0] {
        match car.balance(limit.acceleration + beyond * G) {
            Err(LaunchError::NoBalance {
                largest_g,
                kind,
                last,
                ..
            }) => {
                assert!((largest_g - limit.acceleration / G).abs() < 1e-7);
                assert_eq!(kind, limit.kind);
                assert!(last.tyre_load.front() < 1e-5 * drawn.0.weight());
            }
            other => panic!("{other:?}"),
        }
    }
    // Sticky tyres: the balance ends before they slip.
    let sticky = car.traction_limit(5.0).unwrap();
    assert_eq!(
        sticky.kind,
        TractionKind::Balance(LimitKind::FrontWheelsOff)
    );
}

/// Without that bar the body can not stand in roll on one front tyre: the path turns back where the left one
/// lifts, the right one still loaded.
#[test]
fn a_body_soft_in_roll_ends_at_a_limit_point() {
    let drawn = four_rods();
    let car = settle(&drawn);
    let limit = car.limit(Manoeuvre::Drive).unwrap();
    checks_hold(&limit.balance);
    assert_eq!(limit.kind, LimitKind::LimitPoint);
    assert!(
        limit.balance.tyre_load.front_left < 1e-3 && limit.balance.tyre_load.front_right > 1000.0
    );
    let inside = car.balance(limit.acceleration - 1e-7 * G).unwrap();
    assert!(inside.tyre_load.front_left > 0.0);
    for beyond in [1e-7, 0.05, 1.0] {
        match car.balance_from(&inside, limit.acceleration + beyond * G) {
            Err(LaunchError::NoBalance {
                largest_g, kind, ..
            }) => {
                assert!((largest_g - limit.acceleration / G).abs() < 1e-8);
                assert_eq!(kind, LimitKind::LimitPoint);
            }
            other => panic!("{other:?}"),
        }
    }
}

/// Braking: the front takes m a h/L, the nose dives, the links carry the housing's brake torque the other way round, and
/// the limit is the rear coming up. Closed form of the rigid car (Gillespie, ch. 3).
#[test]
fn braking() {
    let drawn = four_rods();
    let car = settle(&drawn);
    let how = Manoeuvre::Brake { rear_share: 0.35 };
    let b = car.balance_at(how, -0.6 * G).unwrap();
    checks_hold(&b);
    let whole = drawn.0.mass() * -0.6 * G;
    assert!((b.thrust[0] + b.thrust[1] - 0.35 * whole).abs() < 1e-6);
    assert!((b.front_thrust[0] + b.front_thrust[1] - 0.65 * whole).abs() < 1e-6);
    assert_eq!(b.driveshaft_torque, 0.0);
    assert!(b.front_lift < 0.0 && b.pitch_change > 0.0);
    let moved = b.tyre_load.front() - car.at_rest.tyre_load.front();
    let rigid = -whole * drawn.0.cg_height() / drawn.0.wheelbase;
    assert!((moved - rigid).abs() < 0.05 * rigid, "{moved} {rigid}");
    // With all the braking at the front the rear links feel only the axle's own inertia.
    let front_only = car
        .balance_at(Manoeuvre::Brake { rear_share: 0.0 }, -0.6 * G)
        .unwrap();
    let work = |b: &Balance| b.rod_force[0] - car.at_rest.rod_force[0];
    assert!(work(&b) > 3.0 * work(&front_only).abs());
    let limit = car.limit(how).unwrap();
    assert_eq!(limit.kind, LimitKind::RearWheelsOff);
    assert!(
        limit.acceleration < -1.5 * G && limit.balance.tyre_load.rear() < 1e-6 * drawn.0.weight()
    );
    assert!(matches!(
        car.balance_at(how, limit.acceleration - 0.01 * G),
        Err(LaunchError::NoBalance {
            kind: LimitKind::RearWheelsOff,
            ..
        })
    ));
    let bad = Manoeuvre::Brake { rear_share: 1.2 };
    assert!(matches!(
        car.balance_at(bad, -1.0),
        Err(LaunchError::BadInput { .. })
    ));
}

#[test]
fn bad_figures_are_named() {
    type Spoil = fn(&mut Drawn);
    let spoils: [(&str, Spoil); 12] = [
        ("wheelbase is 0", |d| d.0.wheelbase = 0.0),
        ("sprung mass is -1", |d| d.0.sprung_mass = -1.0),
        ("tyre rate is NaN", |d| d.0.tyre_rate = f64::NAN),
        ("front wheel rate is 0", |d| d.0.front_rate = 0.0),
        ("sprung CG height is inf", |d| {
            d.0.sprung_cg.z = f64::INFINITY
        }),
        ("rear roll stiffness is -5", |d| {
            d.0.rear_roll_stiffness = -5.0
        }),
        ("rod 1 has no stiffness", |d| d.1[1].stiffness = None),
        ("rod 2: stiffness is -3", |d| d.1[2].stiffness = Some(-3.0)),
        ("rod 0: length is 0", |d| d.1[0].length = Some(0.0)),
        ("rod 3: drawn length is 0", |d| {
            d.1[3].frame_point = d.1[3].housing_point
        }),
        ("coil-over 0: rate is 0", |d| d.2[0].rate = 0.0),
        ("coil-over 1: free length is -1", |d| {
            d.2[1].free_length = -1.0
        }),
    ];
    for (words, spoil) in spoils {
        let mut drawn = four_rods();
        spoil(&mut drawn);
        let error = LaunchModel::drawn(&drawn.0, &drawn.1, &drawn.2).unwrap_err();
        assert_eq!(error.to_string(), words);
    }
    let nine = vec![four_rods().1[0]; 9];
    assert!(matches!(
        LaunchModel::drawn(&common::car(), &nine, &[]),
        Err(LaunchError::TooMany { count: 9, .. })
    ));
    let car = settle(&four_rods());
    for bad in [f64::NAN, f64::INFINITY] {
        assert!(matches!(
            car.balance(bad),
            Err(LaunchError::BadInput { .. })
        ));
        assert!(matches!(
            car.traction_limit(bad),
            Err(LaunchError::BadInput { .. })
        ));
    }
}

/// Cars that can not stand say so: no coil-overs, no rods, a CG behind the rear axle.
#[test]
fn cars_that_can_not_stand() {
    let (car, rods, coils) = four_rods();
    let settle = |car: &LaunchCar, rods: &[DrawnRod], coils: &[DrawnCoilover]| {
        LaunchModel::drawn(car, rods, coils).unwrap().settle()
    };
    let fails = |found: Result<SettledCar, LaunchError>| {
        let error = found.unwrap_err();
        println!("{error}");
        assert!(matches!(
            error,
            LaunchError::DoesNotSettle { .. } | LaunchError::Collapses { .. }
        ));
    };
    fails(settle(&car, &rods, &[]));
    fails(settle(&car, &[], &coils));
    let mut tail = car;
    tail.sprung_cg.x = -0.4;
    assert!(settle(&tail, &rods, &coils).is_err());
    // Springs that are far from the drawn height still find their place.
    let mut soft = coils.clone();
    soft.iter_mut().for_each(|c| c.free_length += 0.08);
    checks_hold(&settle(&car, &rods, &soft).unwrap().at_rest);
    soft.iter_mut().for_each(|c| c.free_length -= 0.12);
    checks_hold(&settle(&car, &rods, &soft).unwrap().at_rest);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    /// Law: any car either has a balance that balances or a named reason why not; the path is never lost, and what
    /// `balance` says of its end is what `limit` says.
    #[test]
    fn random_cars(
        moves in proptest::collection::vec(-0.12..0.12_f64, 15 * 2),
        cg in (-0.5..3.0_f64, -0.2..0.2_f64, 0.2..1.4_f64),
        rate in 5e3..9e4_f64,
        lengths in proptest::collection::vec(proptest::option::of(-0.01..0.01_f64), 5),
        locked in any::<bool>(),
        bars in (0.0..3e4_f64, 0.0..3e4_f64),
        g in -1.5..4.0_f64,
    ) {
        let mut drawn = five_rods();
        for (index, r) in drawn.1.iter_mut().enumerate() {
            for axis in 0..3 {
                r.frame_point[axis] += moves[6 * index + axis];
                r.housing_point[axis] += 0.4 * moves[6 * index + 3 + axis];
            }
            r.length = lengths[index].map(|l| (r.housing_point - r.frame_point).norm() + l);
        }
        drawn.0.sprung_cg = Point3::new(cg.0, cg.1, cg.2);
        drawn.0.differential = if locked { Differential::Locked } else { Differential::Open };
        (drawn.0.front_roll_stiffness, drawn.0.rear_roll_stiffness) = bars;
        drawn.2.iter_mut().for_each(|c| c.rate = rate);
        let model = LaunchModel::drawn(&drawn.0, &drawn.1, &drawn.2).unwrap();
        if let Ok(car) = model.settle() {
            checks_hold(&car.at_rest);
            let how = if g < 0.0 { Manoeuvre::Brake { rear_share: 0.4 } } else { Manoeuvre::Drive };
            let limit = car.limit(how).unwrap();
            match car.balance_at(how, g * G) {
                Ok(b) => {
                    checks_hold(&b);
                    prop_assert!(g.abs() <= limit.acceleration.abs() / G + 1e-6, "{g} beyond {:?} {}", limit.kind, limit.acceleration / G);
                }
                Err(LaunchError::NoBalance { largest_g, kind, last, .. }) => {
                    prop_assert!(largest_g.abs() <= g.abs() + 1e-9);
                    checks_hold(&last);
                    prop_assert!((limit.acceleration / G - largest_g).abs() < 1e-6, "{} {largest_g}", limit.acceleration / G);
                    prop_assert_eq!(limit.kind, kind);
                }
                Err(other) => prop_assert!(false, "{other}"),
            }
        }
    }
}
