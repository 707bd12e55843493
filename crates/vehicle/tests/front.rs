//! Forces at the front end against energy, the knuckle's own equations and closed forms.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

use geometry::front::{
    BarEnd, Carried, Carrier, CoilOver, Corner, DrawnCorner, FrontRod, Side, TieRod, Wishbone,
};
use geometry::{Point3, Vector3};
use nalgebra::{Matrix6, Vector6};
use proptest::prelude::*;
use vehicle::STANDARD_GRAVITY;
use vehicle::front::{
    AntiRollBar, ArmBending, CoilSpring, FrontForceError, LongitudinalAt, RollCar, TyreLoad,
    axle_roll_stiffness, handwheel_load, steering_moment, tube_torsion, wheel_roll_stiffness,
};

fn arm(front: [f64; 3], rear: [f64; 3], ball: [f64; 3]) -> Wishbone {
    Wishbone {
        front: Point3::from(front),
        rear: Point3::from(rear),
        ball: Point3::from(ball),
        front_length: None,
        rear_length: None,
    }
}

fn drawn() -> DrawnCorner {
    DrawnCorner {
        side: Side::Left,
        wheel_centre: Point3::new(2.71, 0.74, 0.31),
        loaded_radius: 0.31,
        camber: -0.012,
        toe_in: 0.001,
        lower: arm([2.87, 0.33, 0.2], [2.56, 0.33, 0.192], [2.715, 0.68, 0.186]),
        upper: arm([2.8, 0.42, 0.45], [2.58, 0.42, 0.438], [2.685, 0.63, 0.465]),
        tie_rod: TieRod {
            inner: Point3::new(2.57, 0.34, 0.232),
            outer: Point3::new(2.585, 0.66, 0.229),
            length: None,
        },
    }
}

fn corner() -> Corner {
    drawn().assemble().unwrap()
}

fn coil() -> CoilOver {
    CoilOver {
        on_frame: Point3::new(2.71, 0.45, 0.5),
        on_arm: Carried {
            carrier: Carrier::LowerArm,
            point: Point3::new(2.71, 0.58, 0.195),
        },
    }
}

// Outside check: the spring's energy ½k(L₀ − L)² over travel; its slope is the wheel force, its
// curvature the wheel rate.
#[test]
fn wheel_rate_is_the_curvature_of_the_energy() {
    let corner = corner();
    let spring = CoilSpring {
        rate: 62_000.0,
        free_length: 0.42,
    };
    for travel in [-0.04, 0.0, 0.05] {
        let state = |z: f64| {
            let pose = corner.position(travel + z, 0.0).unwrap().pose;
            coil().state(&corner, &pose, 0.0).unwrap()
        };
        let energy = |z: f64| 0.5 * spring.rate * (spring.free_length - state(z).length).powi(2);
        let h = 1e-3;
        let force =
            (8.0 * (energy(h) - energy(-h)) - (energy(2.0 * h) - energy(-2.0 * h))) / (12.0 * h);
        let rate = (16.0 * (energy(h) + energy(-h))
            - (energy(2.0 * h) + energy(-2.0 * h))
            - 30.0 * energy(0.0))
            / (12.0 * h * h);
        let ours = spring.wheel_rate(&state(0.0)).unwrap();
        assert!((ours.wheel_force / force - 1.0).abs() < 1e-7);
        assert!(
            (ours.wheel_rate / rate - 1.0).abs() < 1e-5,
            "{} {rate}",
            ours.wheel_rate
        );
        assert!(ours.from_geometry.abs() > 1e-3 * ours.wheel_rate);
    }
    let pose = corner.design.pose;
    let state = coil().state(&corner, &pose, 0.0).unwrap();
    let loose = CoilSpring {
        free_length: state.length - 0.01,
        ..spring
    };
    assert_eq!(loose.wheel_rate(&state).unwrap().wheel_rate, 0.0);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    // Outside check: the six equations of the knuckle. Unknowns are the five rod forces and one
    // force at the lower ball joint (the coil-over's, through its arm), which has no moment about
    // the steering axis.
    #[test]
    fn tie_rod_force_balances_the_knuckle(
        fx in -5e3..5e3_f64, fy in -5e3..5e3_f64, fz in 0.0..6e3_f64, mz in -100.0..100.0_f64,
        travel in -0.05..0.05_f64, rack in -0.04..0.04_f64, centre in any::<bool>(),
        right in any::<bool>(),
    ) {
        let corner = if right { drawn().mirrored().assemble().unwrap() } else { corner() };
        let state = corner.state(travel, rack).unwrap();
        let load = TyreLoad {
            longitudinal: fx, lateral: fy, vertical: fz, aligning: mz,
            longitudinal_at: if centre { LongitudinalAt::WheelCentre } else { LongitudinalAt::Contact },
        };
        let ours = steering_moment(&corner, &state, &load).unwrap();
        // The tyre's axes, from the spin axis anew.
        let e = state.spin_axis;
        let heading = e.cross(&Vector3::z()).normalize();
        let across = Vector3::z().cross(&heading);
        let wheel = state.pose.position;
        let mut right_side = Vector6::zeros();
        let mut push = |at: Point3<f64>, f: Vector3<f64>, m: Vector3<f64>| {
            let moment = (at - wheel).cross(&f) + m;
            right_side -= Vector6::new(f.x, f.y, f.z, moment.x, moment.y, moment.z);
        };
        push(if centre { wheel } else { state.contact }, heading * fx, Vector3::zeros());
        push(state.contact, across * fy + Vector3::z() * fz, Vector3::z() * mz);
        let mut matrix = Matrix6::zeros();
        let mut column = |j: usize, at: Point3<f64>, f: Vector3<f64>| {
            let moment = (at - wheel).cross(&f);
            matrix.set_column(j, &Vector6::new(f.x, f.y, f.z, moment.x, moment.y, moment.z));
        };
        for rod in FrontRod::ALL {
            let along = corner.rod_vector(rod, &state.pose, rack).normalize();
            let at = state.pose.place(&corner.rods[rod.index()].body_point);
            // Tension pulls the knuckle toward the inner end.
            column(rod.index(), at, -along);
        }
        column(5, state.lower_ball, Vector3::new(0.1, -0.2, 1.0));
        let forces = matrix.lu().solve(&right_side).unwrap();
        prop_assert!((forces[4] - ours.tie_rod_force).abs() < 1e-7 * (1.0 + forces[4].abs()));
        // A rod in tension pulls the rack outward.
        let outward = corner.side().sign() * ours.rack_force;
        prop_assert!(outward * ours.tie_rod_force >= 0.0);
        // Work at the handwheel is work at the rack: T·2π = F·(rack per turn).
        let hand = handwheel_load(&[ours], 0.05).unwrap();
        let torque = ours.rack_force.abs() * 0.05 / std::f64::consts::TAU;
        prop_assert!((hand.torque - torque).abs() < 1e-12 * (1.0 + torque));
    }

    #[test]
    fn garbage_never_panics(n in prop::collection::vec(any::<f64>(), 12)) {
        let car = RollCar {
            sprung_mass: n[0], roll_lever: n[1], front_stiffness: n[2], rear_stiffness: n[3],
            wheelbase: n[4], cg_to_rear: n[5], front_roll_centre: n[6], front_unsprung_mass: n[7],
            front_unsprung_height: n[8], front_track: n[9],
        };
        let _ = car.loads();
        let _ = tube_torsion(n[0], n[1], n[2], n[3]);
        let arm = ArmBending { length: n[4], bending_stiffness: n[5] };
        let bar = AntiRollBar { torsion: n[0], lever: n[1], turn_per_travel: n[2], arm: Some(arm) };
        let _ = bar.stiffness(n[3]);
        let corner = corner();
        let state = corner.state(0.01, 0.0).unwrap();
        let load = TyreLoad {
            longitudinal: n[0], lateral: n[1], vertical: n[2], aligning: n[3],
            longitudinal_at: LongitudinalAt::Contact,
        };
        let _ = steering_moment(&corner, &state, &load);
        let coil = coil().state(&corner, &state.pose, 0.0).unwrap();
        let _ = CoilSpring { rate: n[4], free_length: n[5] }.wheel_rate(&coil);
    }
}

// Energy of the whole bar in roll: ends turn ±θ, the bar twists 2θ, so ½k_t(2θ)² = ½K φ² with
// wheel travel ±φt/2. Arms bend in series: force on the link times its own yield.
#[test]
fn anti_roll_bar_by_its_energy() {
    let (k_t, turn, track) = (900.0, 3.1, 1.48);
    let stiff = AntiRollBar {
        torsion: k_t,
        lever: 0.22,
        turn_per_travel: -turn,
        arm: None,
    };
    let ours = stiff.stiffness(track).unwrap();
    let roll = 0.01;
    let end = turn * 0.5 * track * roll;
    let energy = 0.5 * k_t * (2.0 * end) * (2.0 * end);
    assert!((0.5 * ours.roll_stiffness * roll * roll / energy - 1.0).abs() < 1e-12);
    // One wheel alone: the bar twists by θ only: rate k_t θ'², half of that in roll.
    assert!((ours.wheel_rate_alone / (k_t * turn * turn) - 1.0).abs() < 1e-12);
    let arm = ArmBending {
        length: 0.25,
        bending_stiffness: 4_000.0,
    };
    let soft = AntiRollBar {
        arm: Some(arm),
        ..stiff
    };
    // A link force F: torque F·r twists the end by F·r/(2k_t); the arm's end yields F a³/3EI,
    // which is a turn of F a³/(3EI r).
    let force = 100.0;
    let turned = force * 0.22 / (2.0 * k_t) + force * 0.25_f64.powi(3) / (3.0 * 4_000.0 * 0.22);
    let end_stiffness = soft.stiffness(track).unwrap().end_stiffness;
    assert!((end_stiffness * turned / (force * 0.22) - 1.0).abs() < 1e-12);
    // J = πd⁴/32: a 1 in solid bar of 36 in, G = 79.3 GPa.
    let k = tube_torsion(79.3e9, 0.0254, 0.0, 0.9144).unwrap();
    assert!((k / 3_543.7 - 1.0).abs() < 1e-3, "{k}");
}

// The drop link's force has the lever the state reports: virtual work F·d(link end)/dθ.
#[test]
fn lever_of_the_drop_link() {
    let corner = corner();
    let bar = BarEnd {
        axis_point: Point3::new(2.95, 0.4, 0.22),
        axis: Vector3::y(),
        arm_end: Point3::new(2.76, 0.5, 0.24),
        link: Carried {
            carrier: Carrier::LowerArm,
            point: Point3::new(2.76, 0.5, 0.193),
        },
        link_length: None,
    };
    let state = bar.state(&corner, &corner.design.pose, 0.0).unwrap();
    // A vertical link 0.19 m behind a transverse axis.
    assert!((state.lever - 0.19).abs() < 1e-12);
    assert!(state.turn.abs() < 1e-12);
}

// Roll gradient and load transfer: moment balance about the roll axis and of the front axle
// (Milliken & Milliken, Race Car Vehicle Dynamics, ch. 18, from memory), worked by hand: m_s 1200,
// h_r 0.4, K 60 + 40 kN·m/rad: 480/(100000 − 4707.192) = 5.037106e-3 rad per m/s².
#[test]
fn roll_gradient_and_transfer() {
    let car = RollCar {
        sprung_mass: 1200.0,
        roll_lever: 0.4,
        front_stiffness: 60e3,
        rear_stiffness: 40e3,
        wheelbase: 2.7,
        cg_to_rear: 1.35,
        front_roll_centre: 0.06,
        front_unsprung_mass: 90.0,
        front_unsprung_height: 0.3,
        front_track: 1.5,
    };
    let loads = car.loads().unwrap();
    assert!((loads.roll_gradient - 5.037106e-3).abs() < 1e-9);
    let want = (60e3 * 5.037106e-3 + 600.0 * 0.06 + 27.0) / 1.5;
    assert!((loads.front_transfer - want).abs() < 1e-3);
    assert!((loads.roll_per_g - 5.037106e-3 * STANDARD_GRAVITY).abs() < 1e-7);
    let over = RollCar {
        front_stiffness: 1e3,
        rear_stiffness: 1e3,
        ..car
    };
    assert!(matches!(
        over.loads(),
        Err(FrontForceError::FallsOver { .. })
    ));
    // ½·K_w·t² (Gillespie, Fundamentals of Vehicle Dynamics, ch. 6, from memory), and the same by
    // two vertical springs of a rigid axle at ±t/2.
    let wheels = wheel_roll_stiffness(20e3, 1.5);
    let axle = axle_roll_stiffness(&[(20e3, 0.0, 0.75, 0.0), (20e3, 0.0, -0.75, 0.0)]);
    assert!((wheels - 22_500.0).abs() < 1e-9 && (axle - wheels).abs() < 1e-9);
}
