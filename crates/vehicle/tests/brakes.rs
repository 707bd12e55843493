//! Brakes against published values, closed forms and laws.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

use nalgebra::{Point2, Vector2};
use proptest::prelude::*;
use vehicle::STANDARD_GRAVITY as G;
use vehicle::brakes::residual::{DISC_RATING, DRUM_RATING};
use vehicle::brakes::*;

fn near(got: f64, want: f64, relative: f64) {
    assert!(
        (got - want).abs() <= relative * want.abs(),
        "{got}, expected {want}"
    );
}

fn disc(mu: f64, pistons: &[f64], radius: f64) -> Brake {
    Brake::Disc(Disc {
        piston_area: Disc::area_of(pistons),
        mu,
        effective_radius: radius,
        threshold_pressure: 0.0,
        efficiency: 1.0,
        pad_clearance: 0.000_15,
        caliper_stiffness: Some(1.2e8),
        pad_stiffness: Some(2e8),
    })
}

fn axle(brake: Brake) -> AxleBrakes {
    AxleBrakes {
        brake,
        loaded_radius: 0.32,
        valve: None,
        held: 0.0,
    }
}

fn car() -> BrakeCar {
    BrakeCar {
        mass: 1400.0,
        wheelbase: 2.7,
        cg_to_front: 1.25,
        cg_height: 0.52,
    }
}

const TANDEM: Master = Master::Tandem {
    bore: 0.0238,
    efficiency: 1.0,
    spring_force: 0.0,
};

fn system() -> BrakeSystem {
    BrakeSystem {
        car: car(),
        pedal: Pedal {
            ratio: 6.0,
            efficiency: 1.0,
        },
        booster: None,
        master: TANDEM,
        front: axle(disc(0.4, &[0.038, 0.041], 0.13)),
        rear: axle(disc(0.4, &[0.041], 0.125)),
    }
}

/// Shigley, Mechanical Engineering Design, example 16-2 (from memory): r 150, a 122.7, c 212 mm, lining 0 to 126°, μ 0.32, 32 mm wide, 1 MPa:
/// M_f 304, M_N 788 N·m, F 2.29 kN, torque 366 leading and 162 N·m trailing.
#[test]
fn shigley_16_2() {
    let shoe = PivotedShoe {
        mu: 0.32,
        drum_radius: 0.150,
        pivot_distance: 0.1227,
        actuating_arm: 0.212,
        lining: [0.0, 126.0_f64.to_radians()],
    };
    let [mf, mn, t] = shoe.moments(1e6, 0.032).unwrap();
    near(mf, 304.0, 2e-3);
    near(mn, 788.0, 2e-3);
    near(t, 366.0, 2e-3);
    let force = (mn - mf) / 0.212;
    near(force, 2290.0, 5e-3);
    let leading = shoe.factor(Sense::Leading).unwrap();
    near(leading * force * 0.150, 366.0, 2e-3);
    let trailing = shoe.factor(Sense::Trailing).unwrap();
    near(trailing * force * 0.150, 162.0, 5e-3);
    // With enough friction the leading shoe locks itself, and no number is given.
    let grippy = PivotedShoe { mu: 1.2, ..shoe };
    assert!(matches!(
        grippy.factor(Sense::Leading),
        Err(BrakeError::SelfLocking { normal, friction }) if friction > normal
    ));
}

/// Independent method: the shoe's moments by summing the lining's pressure in small pieces.
#[test]
fn shoe_moments_are_sums_over_the_lining() {
    let shoe = PivotedShoe {
        mu: 0.35,
        drum_radius: 0.14,
        pivot_distance: 0.11,
        actuating_arm: 0.2,
        lining: [0.3, 2.1],
    };
    let (peak, width, n) = (0.8e6, 0.04, 20_000);
    let step = (2.1 - 0.3) / f64::from(n);
    let mut sums = [0.0; 3];
    for i in 0..n {
        let th = 0.3 + step * (f64::from(i) + 0.5);
        let dn = peak * th.sin() * width * 0.14 * step;
        sums[0] += 0.35 * dn * (0.14 - 0.11 * th.cos());
        sums[1] += dn * 0.11 * th.sin();
        sums[2] += 0.35 * dn * 0.14;
    }
    for (got, want) in shoe.moments(peak, width).unwrap().into_iter().zip(sums) {
        near(got, want, 1e-6);
    }
}

/// Closed form of a fixed share β: first lock at z = μb/(βL − μh) or μa/((1 − β)L + μh), order changes at z = (a − (1 − β)L)/h.
#[test]
fn fixed_share_locks_where_the_closed_form_says() {
    let balance = BrakeBalance::new(system()).unwrap();
    let row = balance.row(200.0, 0.9).unwrap();
    let beta = row.front_share.unwrap();
    let c = car();
    let (a, b, l, h) = (
        c.cg_to_front,
        c.wheelbase - c.cg_to_front,
        c.wheelbase,
        c.cg_height,
    );
    let change = (a - (1.0 - beta) * l) / h;
    assert!(change > 0.2 && change < 1.2, "{change}");
    for mu in [0.3, 0.6, 0.9, 1.2] {
        let lock = balance.first_lock(mu, 1e5).unwrap().unwrap();
        let front = mu * b / (beta * l - mu * h);
        let rear = mu * a / ((1.0 - beta) * l + mu * h);
        let (axle, z) = if front < rear {
            (Axle::Front, front)
        } else {
            (Axle::Rear, rear)
        };
        assert_eq!(lock.first, Some(axle), "at μ {mu}");
        near(lock.z, z, 1e-12);
        near(lock.efficiency, z / mu, 1e-12);
        // E = z/f at first lock.
        near(
            balance
                .row(lock.pedal_force, mu)
                .unwrap()
                .efficiency
                .unwrap(),
            lock.efficiency,
            1e-9,
        );
    }
    let changes = balance.changeovers(1e5).unwrap();
    assert_eq!(changes.len(), 1, "{changes:?}");
    near(changes[0].z, change, 1e-9);
    assert_eq!(changes[0].above, Axle::Rear);
    assert_eq!(balance.rear_first_from(change - 0.01, 1e5).unwrap(), None);
    near(
        balance
            .rear_first_from(change + 0.01, 1e5)
            .unwrap()
            .unwrap(),
        change,
        1e-9,
    );
}

/// Pads that are stiff to move in front let the rear work alone at first: that is said, down to no braking at all.
#[test]
fn a_late_front_is_rear_first() {
    let mut s = system();
    let Brake::Disc(mut d) = s.front.brake else {
        panic!()
    };
    d.threshold_pressure = 2e5;
    s.front.brake = Brake::Disc(d);
    let late = BrakeBalance::new(s).unwrap();
    assert_eq!(late.rear_first_from(0.5, 3000.0).unwrap(), Some(0.0));
    let first = late.changeovers(3000.0).unwrap()[0];
    assert_eq!(first.above, Axle::Front);
    let row = late.row(first.pedal_force, 1.0).unwrap();
    near(row.utilisation_front, row.utilisation_rear.unwrap(), 1e-9);
}

/// Every chain again, by hand: pedal 300 N, ratio 6, 23.8 mm bore.
#[test]
fn pedal_to_ground_by_hand() {
    let balance = BrakeBalance::new(system()).unwrap();
    let row = balance.row(300.0, 1.0).unwrap();
    let pressure = 1800.0 / (std::f64::consts::PI / 4.0 * 0.0238 * 0.0238);
    near(row.front.line_pressure, pressure, 1e-12);
    let clamp = pressure * std::f64::consts::PI / 4.0 * (0.038_f64.powi(2) + 0.041_f64.powi(2));
    near(row.front.torque_per_wheel, 2.0 * 0.4 * clamp * 0.13, 1e-12);
    near(
        row.front.demand,
        2.0 * 2.0 * 0.4 * clamp * 0.13 / 0.32,
        1e-12,
    );
}

/// Law: the reached rate obeys W z = min(F_f, μN_f) + min(F_r, μN_r), checked without knowing which case it is.
#[test]
fn reached_rate_is_the_balance() {
    for (front, rear) in [(0.4, 0.4), (0.2, 0.8), (0.9, 0.1)] {
        let mut s = system();
        s.front.brake = disc(front, &[0.038, 0.041], 0.13);
        s.rear.brake = disc(rear, &[0.041], 0.125);
        let balance = BrakeBalance::new(s).unwrap();
        for mu in [0.2, 0.7, 1.1] {
            for pedal in [0.0, 50.0, 200.0, 500.0, 1500.0, 9000.0] {
                let r = balance.row(pedal, mu).unwrap();
                let held =
                    r.front.demand.min(mu * r.loads.front) + r.rear.demand.min(mu * r.loads.rear);
                assert!((car().weight() * r.z - held).abs() < 1e-8 * car().weight());
                assert!((r.loads.front + r.loads.rear - car().weight()).abs() < 1e-8);
                if r.front_locked && r.rear_locked {
                    near(r.z, mu, 1e-12);
                }
            }
        }
    }
}

#[test]
fn a_car_with_too_much_grip_stands_on_its_nose() {
    let balance = BrakeBalance::new(system()).unwrap();
    let r = balance.row(1e5, 5.0).unwrap();
    near(r.z, car().lift_rate(), 1e-12);
    assert!(r.loads.rear.abs() < 1e-6 && r.utilisation_rear.is_none() && r.efficiency.is_none());
    assert_eq!(r.locks_first, Some(Axle::Rear));
}

/// Booster: gain to the knee, slope 1 beyond; without vacuum the pedal works alone.
#[test]
fn booster_has_a_knee() {
    let booster = Booster::vacuum(4.0, 68_000.0, 0.045, 0.95).unwrap();
    let limit = 68_000.0 * 0.045 * 0.95;
    let knee = booster.knee().unwrap();
    near(knee, limit / 3.0, 1e-12);
    near(booster.push(0.5 * knee), 2.0 * knee, 1e-12);
    near(booster.push(knee + 100.0), 4.0 * knee + 100.0, 1e-12);
    let with = BrakeBalance::new(BrakeSystem {
        booster: Some(booster),
        ..system()
    })
    .unwrap();
    let without = with.without_assist();
    near(
        without.row(300.0, 1.0).unwrap().push_rod_force,
        1800.0,
        1e-12,
    );
    let lock = |b: &BrakeBalance| b.first_lock(0.9, 1e5).unwrap().unwrap();
    // The same place on the road, another force at the pad.
    near(lock(&with).z, lock(&without).z, 1e-9);
    near(
        booster.push(lock(&with).pedal_force * 6.0),
        lock(&without).pedal_force * 6.0,
        1e-9,
    );
    assert!(Booster::vacuum(0.5, 1.0, 1.0, 1.0).is_err());
}

/// Mirror law: front and rear masters changed with the bar's offset turned give the same pressures the other way round; a bar in the
/// middle of equal masters is a tandem with half the force.
#[test]
fn balance_bar_mirrors() {
    let twin = |offset: f64, bores: [f64; 2]| Master::Twin {
        bar: BalanceBar {
            width: 0.07,
            offset,
        },
        bores,
        efficiencies: [0.97, 0.95],
        spring_forces: [20.0, 20.0],
    };
    let [f, r] = twin(0.004, [0.0175, 0.0206]).pressures(1500.0);
    assert!(f > r);
    let equal = Master::Twin {
        bar: BalanceBar {
            width: 0.07,
            offset: 0.0,
        },
        bores: [0.0238; 2],
        efficiencies: [1.0; 2],
        spring_forces: [0.0; 2],
    };
    let [f, r] = equal.pressures(3000.0);
    let [t, _] = TANDEM.pressures(1500.0);
    near(f, t, 1e-12);
    near(r, t, 1e-12);
    let out = BrakeSystem {
        master: twin(0.036, [0.02; 2]),
        ..system()
    };
    assert!(matches!(
        BrakeBalance::new(out),
        Err(BrakeError::PivotOutsideBar { .. })
    ));
}

/// A valve holds the rear back above its knee only, and moves the change of order up.
#[test]
fn proportioning_valve() {
    let valve = ProportioningValve {
        knee: 2.5e6,
        slope: 0.3,
    };
    near(valve.outlet(2e6), 2e6, 1e-15);
    near(valve.outlet(4.5e6), 3.1e6, 1e-15);
    let plain = BrakeBalance::new(system()).unwrap();
    let mut s = system();
    s.rear.valve = Some(valve);
    let held = BrakeBalance::new(s).unwrap();
    let first = |b: &BrakeBalance| b.changeovers(3000.0).unwrap().first().map(|c| c.z);
    assert!(first(&held).is_none_or(|z| z > first(&plain).unwrap()));
    let regulation = held.regulation(3000.0).unwrap();
    assert!(regulation.least_front_excess.unwrap().0 > 0.0);
    s.rear.valve = Some(ProportioningValve {
        knee: 1e6,
        slope: 1.0,
    });
    assert!(BrakeBalance::new(s).is_err());
}

fn branch(kind: BranchKind, fluid: f64, bore: f64, valves: &[f64]) -> ResidualBranch {
    ResidualBranch {
        kind,
        cup_expanders: false,
        fluid_height: fluid,
        highest_bore: bore,
        valves: valves.iter().map(|p| (Fitted::Line, *p)).collect(),
    }
}

/// 2 psi holds 1.3 m of fluid (common practice: 13.8 kPa over 1050 kg/m³ and g).
#[test]
fn residual_valves_rule() {
    let hold = DISC_RATING / (1050.0 * G);
    assert!((hold - 1.34).abs() < 0.01, "{hold}");
    let findings = |b: ResidualBranch| b.judge().unwrap().findings;
    use ResidualFinding::*;
    assert!(findings(branch(BranchKind::Disc, 0.3, 0.4, &[DISC_RATING])).is_empty());
    assert_eq!(findings(branch(BranchKind::Disc, 0.3, 0.4, &[])), [Missing]);
    assert_eq!(
        findings(branch(BranchKind::Disc, 0.3, 1.7, &[DISC_RATING])),
        [DoesNotHold]
    );
    assert_eq!(
        findings(branch(
            BranchKind::Disc,
            0.8,
            0.4,
            &[DISC_RATING, DRUM_RATING]
        )),
        [NotNeeded, MoreThanOne]
    );
    assert_eq!(
        findings(branch(
            BranchKind::Drum,
            0.8,
            0.4,
            &[DRUM_RATING, DRUM_RATING]
        )),
        [MoreThanOne]
    );
    assert_eq!(
        findings(branch(BranchKind::Drum, 0.8, 0.4, &[DISC_RATING])),
        [WrongRating]
    );
    let mut expanders = branch(BranchKind::Drum, 0.8, 0.4, &[]);
    expanders.cup_expanders = true;
    assert!(findings(expanders.clone()).is_empty());
    expanders.fluid_height = 0.3;
    assert_eq!(findings(expanders), [Missing]);
    let two = branch(BranchKind::Disc, 0.3, 0.4, &[DISC_RATING, DRUM_RATING])
        .judge()
        .unwrap();
    near(two.held, DISC_RATING + DRUM_RATING, 1e-15);
    assert!(branch(BranchKind::Disc, 0.3, 0.4, &[-1.0]).judge().is_err());
}

fn circuit(brake: Brake) -> PlumbedCircuit {
    PlumbedCircuit {
        brakes: vec![brake, brake],
        hoses: vec![Hose {
            length: 0.8,
            growth: vehicle::brakes::stroke::REGULAR_HOSE,
        }],
        trapped_volume: 6e-5,
        bulk_modulus: 1.8e9,
        dead_stroke: 0.001,
        full_stroke: 0.02,
    }
}

/// The parts close to the whole; a tandem adds its strokes, a single one its volumes.
#[test]
fn strokes_close() {
    let budget = |master| StrokeBudget {
        master,
        pedal_ratio: 6.0,
        pedal_travel: 0.15,
        front: circuit(system().front.brake),
        rear: circuit(system().rear.brake),
    };
    let balance = BrakeBalance::new(system()).unwrap();
    let tandem = budget(TANDEM);
    let t = tandem.at_pedal_force(&balance, 300.0).unwrap();
    near(t.pedal_travel, t.dead_travel + t.parts.total(), 1e-12);
    near(
        t.pedal_travel,
        6.0 * (t.piston_strokes[0] + t.piston_strokes[1]),
        1e-12,
    );
    let p = balance.wheel_pressures(300.0).front;
    // By hand for the front: two wheels, two pads, springs in line.
    let a = std::f64::consts::PI / 4.0 * (0.038_f64.powi(2) + 0.041_f64.powi(2));
    let want = 2.0 * (2.0 * a * 0.000_15 + a * a * p * (1.0 / 1.2e8 + 2.0 / 2e8))
        + 0.8 * p * 0.66e-6 / 0.3048 / 6.894_757e6
        + 6e-5 * p / 1.8e9;
    near(t.volumes[0].total(), want, 1e-6);
    let single = budget(Master::Single {
        bore: 0.0238,
        efficiency: 1.0,
        spring_force: 0.0,
    })
    .at_pedal_force(&balance, 300.0)
    .unwrap();
    near(single.push_rod_travel, t.push_rod_travel - 0.001, 1e-12);
    let pressures = balance.wheel_pressures(300.0);
    let [front_lost, rear_lost] = tandem.one_circuit_lost(pressures).unwrap().unwrap();
    near(
        front_lost.pedal_travel,
        6.0 * (0.02 + t.piston_strokes[1]),
        1e-12,
    );
    assert_eq!(rear_lost.fits, rear_lost.room >= 0.0);
    // A bar: its middle moves by the mean, its angle by the difference.
    let twin = budget(Master::Twin {
        bar: BalanceBar {
            width: 0.07,
            offset: 0.0,
        },
        bores: [0.019; 2],
        efficiencies: [1.0; 2],
        spring_forces: [0.0; 2],
    })
    .at(pressures)
    .unwrap();
    let [f, r] = twin.piston_strokes;
    near(twin.push_rod_travel, 0.5 * (f + r), 1e-12);
    near(twin.bar_angle.unwrap(), ((f - r) / 0.07).atan(), 1e-12);
}

fn pedal() -> PedalReturn {
    PedalReturn {
        arm: PedalArm::Hanging,
        pad: Point2::new(0.02, -0.30),
        push_rod_pin: Point2::new(0.005, -0.05),
        bore: Vector2::new(1.0, 0.05),
        full_angle: 0.4,
        springs: vec![
            PedalSpring {
                kind: SpringKind::Extension {
                    initial_tension: 8.0,
                },
                rate: 600.0,
                free_length: 0.09,
                anchor: Point2::new(-0.10, -0.08),
                on_pedal: Point2::new(0.0, -0.10),
            },
            PedalSpring {
                kind: SpringKind::Compression,
                rate: 900.0,
                free_length: 0.12,
                anchor: Point2::new(0.12, -0.06),
                on_pedal: Point2::new(0.02, -0.07),
            },
        ],
        master_spring_force: 40.0,
        master_spring_rate: 900.0,
        master_area: 4.4e-4,
        chamber_pressure: 3000.0,
        seal_friction: 15.0,
        pivot_friction: 0.2,
        mass: 1.1,
        cg: Point2::new(0.01, -0.18),
        inertia: 0.03,
        damping: 0.0,
    }
}

/// Independent method: each torque is the numeric slope of its energy, written here from lengths and heights.
#[test]
fn return_torques_are_slopes_of_energy() {
    let p = pedal();
    let turn = |q: Point2<f64>, th: f64| {
        Point2::new(
            q.x * th.cos() - q.y * th.sin(),
            q.x * th.sin() + q.y * th.cos(),
        )
    };
    let energy = |th: f64| {
        let first = (turn(p.springs[0].on_pedal, th) - p.springs[0].anchor).norm() - 0.09;
        let second = 0.12 - (turn(p.springs[1].on_pedal, th) - p.springs[1].anchor).norm();
        assert!(first > 0.0 && second > 0.0);
        8.0 * first + 300.0 * first * first + 450.0 * second * second
    };
    let travel = |th: f64| (turn(p.push_rod_pin, th) - p.push_rod_pin).dot(&p.bore.normalize());
    let h = 1e-5;
    for th in [0.02, 0.15, 0.3, 0.39] {
        let at = p.at(th).unwrap();
        let slope = |f: &dyn Fn(f64) -> f64| (f(th + h) - f(th - h)) / (2.0 * h);
        assert!((at.springs - slope(&energy)).abs() < 1e-6);
        let master = |t: f64| 40.0 * travel(t) + 450.0 * travel(t) * travel(t);
        assert!((at.master_spring - slope(&master)).abs() < 1e-6);
        let height = |t: f64| 1.1 * G * turn(p.cg, t).y;
        assert!((at.weight - slope(&height)).abs() < 1e-6);
        assert!((at.pressure - 3000.0 * 4.4e-4 * slope(&travel)).abs() < 1e-8);
        assert!((at.friction - 15.0 * slope(&travel).abs() - 0.2).abs() < 1e-6);
        near(at.net, at.drive - at.friction, 1e-12);
        near(at.pad_force, at.net / p.pad.coords.norm(), 1e-12);
    }
}

/// Constant torque: t = √(2Iθ/M). And a damped one against the closed form of a constant torque with viscous damping.
#[test]
fn return_time_closed_forms() {
    let mut p = pedal();
    p.springs.clear();
    p.mass = 0.0;
    p.seal_friction = 0.0;
    p.chamber_pressure = 0.0;
    p.master_spring_force = 0.0;
    p.master_spring_rate = 0.0;
    p.pivot_friction = 0.0;
    // No drive at all: it stays where it is.
    let r = p.report().unwrap();
    assert_eq!((r.time, r.margin, r.sticks_at), (None, None, Some(0.4)));
    // A rod that pulls with constant torque: an arm so short in angle that its slope stays.
    p.full_angle = 0.4;
    p.master_spring_force = 100.0;
    p.push_rod_pin = Point2::new(0.0, -0.05);
    p.bore = Vector2::new(1.0, 0.0);
    // Torque 5 cos θ: energy 5 sin θ; time by a fine sum of dθ/ω, ω from the energy, independent of the stepping.
    let n = 200_000;
    let mut want = 0.0;
    for i in 0..n {
        // θ = full·(1 − u²) takes out the root at the start.
        let u = (f64::from(i) + 0.5) / f64::from(n);
        let th = 0.4 * (1.0 - u * u);
        let rate = (2.0 * 5.0 * (0.4_f64.sin() - th.sin()) / 0.03).sqrt();
        want += 0.8 * u / rate / f64::from(n);
    }
    near(p.report().unwrap().time.unwrap(), want, 1e-7);
    // Nearly constant torque.
    p.full_angle = 1e-3;
    near(
        p.report().unwrap().time.unwrap(),
        (2.0 * 0.03 * 1e-3 / 5.0_f64).sqrt(),
        1e-6,
    );
    // Torque M, damping c: θ = M/c·(t − I/c·(1 − e^(−ct/I))).
    p.damping = 20.0;
    let t = p.report().unwrap().time.unwrap();
    let tau = 0.03 / 20.0;
    let gone = 5.0 / 20.0 * (t - tau * (1.0 - (-t / tau).exp()));
    near(gone, 1e-3, 1e-5);
}

/// An over-centre assist spring can hold the pedal down: the report names the angle, and the law of symmetry holds for a standing pedal.
#[test]
fn over_centre_spring_sticks() {
    let mut p = pedal();
    p.springs.push(PedalSpring {
        kind: SpringKind::Extension {
            initial_tension: 0.0,
        },
        rate: 9000.0,
        free_length: 0.02,
        anchor: Point2::new(0.12, -0.01),
        on_pedal: Point2::new(0.0, -0.04),
    });
    let r = p.report().unwrap();
    let stuck = r.sticks_at.unwrap();
    assert!(p.at(stuck).unwrap().net <= 1e-9);
    assert!(r.time.is_none() && r.least.net < 0.0 && r.margin.unwrap() < 1.0);
    // The same pedal upside down, gravity taken out, comes back the same.
    let mut hanging = pedal();
    hanging.mass = 0.0;
    let flip = |q: Point2<f64>| Point2::new(q.x, -q.y);
    let mut standing = hanging.clone();
    standing.arm = PedalArm::Standing;
    standing.pad = flip(standing.pad);
    standing.push_rod_pin = flip(standing.push_rod_pin);
    standing.bore = Vector2::new(standing.bore.x, -standing.bore.y);
    for s in &mut standing.springs {
        s.anchor = flip(s.anchor);
        s.on_pedal = flip(s.on_pedal);
    }
    let (a, b) = (hanging.report().unwrap(), standing.report().unwrap());
    near(a.least.net, b.least.net, 1e-12);
    near(a.time.unwrap(), b.time.unwrap(), 1e-12);
}

fn parking() -> ParkingBrake {
    ParkingBrake {
        hand_force: 300.0,
        lever_ratio: 6.0,
        cable_efficiency: 0.8,
        wheel_lever_ratio: 4.0,
        foundation: Foundation::Drum {
            factor_nose_up: 2.1,
            factor_nose_down: 2.1,
            drum_radius: 0.12,
        },
        loaded_radius: 0.33,
    }
}

/// Law: at the steepest grade of the tyres the rear holds exactly μN = W sin γ; of the brake exactly its force.
#[test]
fn steepest_grade_is_where_the_balance_closes() {
    let (p, c) = (parking(), car());
    let at = |grade: f64| p.on_grade(&c, 0.8, grade).unwrap();
    for up in [true, false] {
        let way = |grade: f64| {
            let row = at(grade);
            if up { row.nose_up } else { row.nose_down }
        };
        let tyre = way(0.1).grade_by_tyre.unwrap();
        near(0.8 * way(tyre).rear_load, way(tyre).needed_force, 1e-12);
        let brake = way(0.1).grade_by_brake.unwrap();
        near(way(brake).force, way(brake).needed_force, 1e-12);
        let most = way(0.1).max_grade.unwrap();
        assert!(way(most * 0.999).holds && !way(most * 1.001).holds);
        near(way(brake).hand_force_needed, 300.0, 1e-12);
    }
}

/// Energy closes, and the surface rise against the integral of a falling flux on a thick plate (Duhamel, independent of the closed form).
#[test]
fn heat_of_a_stop() {
    let stop = Stop {
        mass: 1500.0,
        rotating_factor: 1.03,
        from_speed: 35.0,
        to_speed: 0.0,
        rate: 0.8,
    };
    let disc = DiscHeat {
        axle_share: 0.7,
        pad_share: 0.0,
        mass: 7.0,
        specific_heat: 480.0,
        swept_area: 0.085,
        conductivity: 50.0,
        density: 7200.0,
        ring_thickness: Some(0.02),
    };
    let h = stop.heat(&disc).unwrap();
    near(h.energy, 0.5 * 1500.0 * 1.03 * 35.0 * 35.0, 1e-12);
    near(h.mean_rise * 7.0 * 480.0, h.energy * 0.35, 1e-12);
    let (q0, ts) = (h.flux.unwrap(), h.time);
    near(0.5 * q0 * ts * 0.085, h.disc_energy, 1e-12);
    let rise = |t: f64| {
        // ∫ q(s)/√(π k ρ c (t − s)) ds with t − s = u².
        let n = 4000;
        let step = t.sqrt() / f64::from(n);
        let sum: f64 = (0..n)
            .map(|i| {
                let u = step * (f64::from(i) + 0.5);
                q0 * (1.0 - (t - u * u) / ts) * 2.0 * step
            })
            .sum();
        sum / (std::f64::consts::PI * 50.0 * 7200.0 * 480.0).sqrt()
    };
    let peak = (1..400)
        .map(|i| rise(ts * f64::from(i) / 400.0))
        .fold(0.0, f64::max);
    near(h.surface_rise.unwrap(), peak, 1e-4);
    near(
        stopping_distance(35.0, 0.8, 0.5).unwrap(),
        35.0 * 35.0 / (1.6 * G) + 17.5,
        1e-12,
    );
    assert!(
        Stop {
            to_speed: 36.0,
            ..stop
        }
        .heat(&disc)
        .is_err()
    );
    // Scale law: half the pads' share in, half the rise.
    let half = DiscHeat {
        pad_share: 0.5,
        ..disc
    };
    near(
        stop.heat(&half).unwrap().mean_rise,
        0.5 * h.mean_rise,
        1e-12,
    );
}

fn any_number() -> impl Strategy<Value = f64> {
    prop_oneof![
        Just(f64::NAN),
        Just(f64::INFINITY),
        Just(f64::NEG_INFINITY),
        Just(0.0),
        Just(1e300),
        Just(-1.0),
        0.0..2.0_f64,
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn garbage_never_panics(n in prop::collection::vec(any_number(), 40)) {
        let brake = |i: usize| Brake::Disc(Disc {
            piston_area: n[i], mu: n[i + 1], effective_radius: n[i + 2], threshold_pressure: n[i + 3],
            efficiency: n[i + 4], pad_clearance: n[i + 5], caliper_stiffness: Some(n[i + 6]),
            pad_stiffness: None,
        });
        let s = BrakeSystem {
            car: BrakeCar { mass: n[0], wheelbase: n[1], cg_to_front: n[2], cg_height: n[3] },
            pedal: Pedal { ratio: n[4], efficiency: n[5] },
            booster: Some(Booster { gain: n[6], assist_limit: n[7] }),
            master: Master::Twin {
                bar: BalanceBar { width: n[8], offset: n[9] },
                bores: [n[10], n[11]], efficiencies: [n[12], n[13]], spring_forces: [n[14], n[15]],
            },
            front: AxleBrakes {
                brake: brake(16), loaded_radius: n[23],
                valve: Some(ProportioningValve { knee: n[24], slope: n[25] }), held: n[26],
            },
            rear: AxleBrakes { brake: brake(27), loaded_radius: n[34], valve: None, held: n[35] },
        };
        if let Ok(balance) = BrakeBalance::new(s) {
            let _ = balance.row(n[36], n[37]);
            let _ = balance.first_lock(n[37], n[38]);
            let _ = balance.changeovers(n[38]);
            let _ = balance.regulation(n[38]);
            let _ = balance.rear_first_from(n[37], n[38]);
        }
        let mut p = pedal();
        p.full_angle = n[0];
        p.pad = Point2::new(n[1], n[2]);
        p.bore = Vector2::new(n[3], n[4]);
        p.springs[0].rate = n[5];
        p.springs[0].anchor = Point2::new(n[6], n[7]);
        p.inertia = n[8];
        p.damping = 1e-3 * n[9].min(10.0);
        p.chamber_pressure = n[10];
        let _ = p.at(n[11]);
        let _ = parking().on_grade(&s.car, n[12], n[13]);
        let _ = branch(BranchKind::Disc, n[14], n[15], &[n[16], n[17]]).judge();
    }

    /// Scale law: a pedal ratio k times longer needs 1/k of the force for the same lock.
    #[test]
    fn pedal_ratio_scales(k in 0.5..3.0_f64, mu in 0.2..1.1_f64) {
        let one = BrakeBalance::new(system()).unwrap().first_lock(mu, 1e6).unwrap().unwrap();
        let mut s = system();
        s.pedal.ratio *= k;
        let other = BrakeBalance::new(s).unwrap().first_lock(mu, 1e6).unwrap().unwrap();
        prop_assert!((other.pedal_force * k - one.pedal_force).abs() < 1e-9 * one.pedal_force);
        prop_assert!((other.z - one.z).abs() < 1e-12);
    }
}
