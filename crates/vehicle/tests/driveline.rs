//! Joints, shafts and gearing against published values, numeric differentiation and laws.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

#[allow(dead_code, reason = "shared with other tests")]
mod common;

use geometry::{AssembledAxle, AxleCar, AxleLinkage};
use nalgebra::{Point3, Rotation3, Unit, Vector3};
use proptest::prelude::*;
use vehicle::driveline::gearing::RPM;
use vehicle::driveline::*;
use vehicle::driveshaft::{DrawnShaft, Driveshaft, Slip, axis};
use vehicle::strength::{Material, Section};

const INCH: f64 = 0.0254;

fn near(got: f64, want: f64, relative: f64) {
    assert!(
        (got - want).abs() <= relative * want.abs(),
        "{got}, expected {want}"
    );
}

fn deg(d: f64) -> f64 {
    d.to_radians()
}

/// Khurmi & Gupta, Theory of Machines, ch. 9: total fluctuation q of the driven speed: cos β = (√(q² + 4) − q)/2; 12 % → 19.64°.
#[test]
fn fluctuation_of_one_joint() {
    let q: f64 = 0.12;
    let beta = (((q * q + 4.0).sqrt() - q) / 2.0).acos();
    assert!((beta.to_degrees() - 19.64).abs() < 0.01);
    let chain = JointChain::new(&[axis(0.0, 0.0), axis(beta, 0.0)], &[]).unwrap();
    let range = chain.range();
    near(range.greatest - range.least, q, 1e-9);
    near(range.greatest, 1.0 / beta.cos(), 1e-12);
    near(range.least, beta.cos(), 1e-12);
}

/// Chart based on SAE AE-7: at 1500 rpm a first joint of 0, 3 and 6° allows the second 7.3, 7.9 and 9.5°.
#[test]
fn allowed_second_angles() {
    for (first, second) in [(0.0, 7.3), (3.0, 7.9), (6.0, 9.5)] {
        let got = allowed_second_angle(deg(first), 1500.0 * RPM, 400.0).unwrap();
        assert!((got.to_degrees() - second).abs() < 0.06, "{got}");
    }
}

/// Independent method: crosses in space. Each joint's cross has one arm in the driving yoke, square to its shaft; the other arm is square to it
/// and to the driven shaft. Follow the arms through the chain, take the output's turn by angles alone, differentiate numerically.
fn output_turn(axes: &[Vector3<f64>], phases: &[f64], start: &Vector3<f64>, turn: f64) -> f64 {
    let mut arm = Rotation3::from_axis_angle(&Unit::new_normalize(axes[0]), turn) * start;
    for i in 0..axes.len() - 1 {
        // The driven yoke's arm, square to the driving arm and to the driven shaft.
        let driven = axes[i + 1].cross(&arm).normalize();
        arm = driven;
        if i < phases.len() {
            // The next joint's driving yoke stands at the phase from this one.
            arm = Rotation3::from_axis_angle(&Unit::new_normalize(axes[i + 1]), phases[i]) * arm;
        }
    }
    // Angle of the last arm about the output axis, from a fixed direction.
    let out = axes[axes.len() - 1];
    let fixed = out.cross(&Vector3::new(0.3, 0.5, 0.8)).normalize();
    arm.dot(&out.cross(&fixed)).atan2(arm.dot(&fixed))
}

fn turned(axes: &[Vector3<f64>], phases: &[f64], start: &Vector3<f64>, from: f64, to: f64) -> f64 {
    let d = output_turn(axes, phases, start, to) - output_turn(axes, phases, start, from);
    d - std::f64::consts::TAU * (d / std::f64::consts::TAU).round()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn hooke_chains_move_as_crosses_in_space_say(
        rows in prop::collection::vec((-0.25..0.25_f64, -0.25..0.25_f64), 2..5),
        phase in prop::collection::vec(-3.0..3.0_f64, 3),
        at in 0.0..6.2_f64,
    ) {
        let axes: Vec<Vector3<f64>> = rows.iter().map(|(d, p)| axis(*d, *p)).collect();
        let phases = &phase[..axes.len() - 2];
        let chain = JointChain::new(&axes, phases).unwrap();
        let normal = axes[0].cross(&axes[1]);
        prop_assume!(chain.layout().working_angles.iter().all(|b| *b > 0.01));
        let start = normal.normalize();
        let h = 1e-4;
        let ratio = turned(&axes, phases, &start, at - h, at + h) / (2.0 * h);
        let bend = (turned(&axes, phases, &start, at, at + h)
            - turned(&axes, phases, &start, at - h, at)) / (h * h);
        let m = chain.motion(at);
        prop_assert!((m.ratio - ratio).abs() < 1e-7, "{} {ratio}", m.ratio);
        prop_assert!((m.second_derivative - bend).abs() < 1e-6, "{} {bend}", m.second_derivative);
        // No sampled ratio lies outside the range.
        let range = chain.range();
        prop_assert!(m.ratio <= range.greatest + 1e-12 && m.ratio >= range.least - 1e-12);
        prop_assert!(m.second_derivative.abs() <= range.acceleration + 1e-12);
    }

    /// Second order: the exact acceleration is θ_eq² to fourth order in the angles.
    #[test]
    fn equivalent_angle_is_the_small_angle_limit(
        rows in prop::collection::vec((-1.0..1.0_f64, -1.0..1.0_f64), 3..5),
        phase in prop::collection::vec(-3.0..3.0_f64, 2),
    ) {
        let of = |scale: f64| {
            let axes: Vec<_> = rows.iter().map(|(d, p)| axis(scale * d, scale * p)).collect();
            JointChain::new(&axes, &phase[..axes.len() - 2]).unwrap()
        };
        let scale = 0.02;
        let chain = of(scale);
        let off = (chain.range().acceleration - chain.layout().equivalent_squared).abs();
        prop_assert!(off < 30.0 * scale.powi(4), "{off}");
    }

    /// Mirror in the side plane: plan angles and phases change their sign, the equivalent angle does not. Reversed, it is the same too.
    #[test]
    fn mirror_and_reverse(
        rows in prop::collection::vec((-0.2..0.2_f64, -0.2..0.2_f64), 3),
        phase in -3.0..3.0_f64,
    ) {
        let axes: Vec<_> = rows.iter().map(|(d, p)| axis(*d, *p)).collect();
        let mirrored: Vec<_> = rows.iter().map(|(d, p)| axis(*d, -p)).collect();
        let reversed: Vec<_> = axes.iter().rev().map(|a| -a).collect();
        let eq = |axes: &[Vector3<f64>], phase: f64| {
            JointChain::new(axes, &[phase]).unwrap().layout().equivalent_squared
        };
        let one = eq(&axes, phase);
        prop_assert!((one - eq(&mirrored, -phase)).abs() < 1e-12);
        prop_assert!((one - eq(&reversed, phase)).abs() < 1e-12);
    }

    #[test]
    fn garbage_never_panics(
        n in prop::collection::vec(
            prop_oneof![Just(f64::NAN), Just(f64::INFINITY), Just(0.0), Just(1e300), Just(-1.0), -2.0..2.0_f64],
            16,
        ),
        count in 0..4_usize,
    ) {
        let v = |i: usize| Vector3::new(n[i], n[i + 1], n[i + 2]);
        let axes = [v(0), v(3), v(6), v(9)];
        if let Ok(chain) = JointChain::new(&axes[..count], &n[12..12 + count.saturating_sub(2)]) {
            let _ = chain.range();
            let _ = chain.motion(n[15]);
            let _ = chain.findings(n[14], &JointLimits::default());
            let _ = chain.spline_turn(0, 0);
            let _ = chain.spline_turn(7, 16);
        }
        let gears = Gears {
            ratios: n[..count].to_vec(), slip: n[4..4 + count].to_vec(), final_drive: n[8],
            rolling_radius: n[9], redline: n[10], efficiency: n[11],
        };
        let goal = Goal { trap_speed: n[12], trap_gear: count, trap_engine_speed: n[13] };
        let _ = gears.chart(&goal);
        let _ = gears.choose(&goal, &n);
        let _ = gears.speed(9, n[0]);
    }
}

/// Two joints in closed form: θ_eq⁴ = β₁⁴ + β₂⁴ − 2β₁²β₂² cos 2(δ − ε).
#[test]
fn two_joints_closed_form() {
    for (down, plan, delta) in [
        ([3.0, 0.0, 3.0], [0.0, 1.0, 0.0], 0.0),
        ([4.0, 1.0, -1.0], [2.0, 0.0, 1.0], 0.4),
    ] {
        let axes: Vec<_> = down
            .iter()
            .zip(plan)
            .map(|(d, p)| axis(deg(*d), deg(p)))
            .collect();
        let chain = JointChain::new(&axes, &[delta]).unwrap();
        let l = chain.layout();
        let (b1, b2) = (l.working_angles[0].powi(2), l.working_angles[1].powi(2));
        let cos = (2.0 * (delta - l.plane_angles[0])).cos();
        let want = (b1 * b1 + b2 * b2 - 2.0 * b1 * b2 * cos).max(0.0).sqrt();
        assert!((l.equivalent_squared - want).abs() < 1e-9);
        // The compound angle: cos β is the product of the unit vectors.
        near(l.working_angles[0].cos(), axes[0].dot(&axes[1]), 1e-12);
    }
}

#[test]
fn findings_name_phase_plane_and_size() {
    let limits = JointLimits::default();
    let layout =
        |down: [f64; 3], plan: [f64; 3]| [0, 1, 2].map(|i| axis(deg(down[i]), deg(plan[i])));
    let good = JointChain::new(&layout([2.0, 0.0, 2.0], [0.0; 3]), &[0.0]).unwrap();
    assert!(good.findings(5000.0 * RPM, &limits).unwrap().is_empty());
    // One step of 16 off: turn back by one.
    let off = JointChain::new(&layout([2.0, 0.0, 2.0], [0.0; 3]), &[deg(22.5)]).unwrap();
    let turn = off.spline_turn(0, 16).unwrap();
    assert_eq!(turn.steps, -1);
    assert!(turn.left.abs() < 1e-12);
    let found = off.findings(5000.0 * RPM, &limits).unwrap();
    assert!(
        found
            .iter()
            .any(|f| matches!(f, JointFinding::OutOfPhase { .. }))
    );
    // A pinion offset bends the joints in two planes though the side views match; the turn of the yoke cures it.
    let offset = layout([2.0, 0.0, 2.0], [0.0, 1.5, 0.0]);
    let twisted =
        JointChain::new(&[offset[0], offset[1], axis(deg(2.0), deg(1.5))], &[0.0]).unwrap();
    let found = twisted.findings(3000.0 * RPM, &limits).unwrap();
    assert!(
        found
            .iter()
            .any(|f| matches!(f, JointFinding::PlanesApart { .. }))
    );
    let turn = twisted.phase_turn(0).unwrap();
    let cured = JointChain::new(twisted.axes(), &[turn]).unwrap();
    assert!(cured.phase_turn(0).unwrap().abs() < 1e-12);
    assert!(cured.layout().equivalent_squared <= twisted.layout().equivalent_squared);
    let still = JointChain::new(&layout([0.2, 0.0, 0.2], [0.0; 3]), &[0.0]).unwrap();
    assert_eq!(still.findings(0.0, &limits).unwrap().len(), 2);
    assert!(matches!(
        JointChain::new(&[Vector3::x(), Vector3::y()], &[]),
        Err(DrivelineError::Folded { joint: 0, .. })
    ));
    assert!(matches!(
        JointChain::new(&[Vector3::x()], &[]),
        Err(DrivelineError::Miscounted { .. })
    ));
}

fn tube() -> ShaftTube {
    ShaftTube {
        section: Section::Tube {
            outside: 3.0 * INCH,
            wall: 0.083 * INCH,
        },
        length: 50.0 * INCH,
        material: Material {
            modulus: 207e9,
            yield_strength: 350e6,
        },
        shear_modulus: 80e9,
        density: 7850.0,
    }
}

/// 3.00 × 0.083 in steel, 50 in between joints: 7924 rpm with the published 4.8·10⁶ √(D² + d²)/ℓ², 0.8 % above what E and ρ give.
#[test]
fn critical_speed_of_a_steel_tube() {
    let c = tube().critical_speed(5000.0 * RPM).unwrap();
    let published: f64 = 4.8e6 * (9.0_f64 + 2.834 * 2.834).sqrt() / 2500.0;
    assert!((published - 7924.0).abs() < 1.0);
    let rpm = c.critical / RPM;
    assert!((published / rpm - 1.008).abs() < 0.003, "{rpm}");
    near(c.used, 5000.0 / rpm, 1e-12);
    assert!(c.safe);
    assert!(!tube().critical_speed(5700.0 * RPM).unwrap().safe);
    // Law: at its longest it uses exactly the share.
    let mut long = tube();
    long.length = tube().longest(5000.0 * RPM).unwrap();
    near(long.critical_speed(5000.0 * RPM).unwrap().used, 0.7, 1e-12);
}

/// Independent method: the lowest bending frequency of a pinned beam by Rayleigh's quotient on a fine string of masses.
#[test]
fn critical_speed_is_the_lowest_bending_frequency() {
    let t = tube();
    let n = 400;
    let l = t.length;
    let w = |i: i32| (std::f64::consts::PI * f64::from(i) / f64::from(n)).sin();
    let h = l / f64::from(n);
    let (mut bend, mut mass) = (0.0, 0.0);
    for i in 1..n {
        bend += ((w(i + 1) - 2.0 * w(i) + w(i - 1)) / (h * h)).powi(2) * h;
        mass += w(i).powi(2) * h;
    }
    let omega =
        (207e9 * t.section.second_moment() * bend / (7850.0 * t.section.area() * mass)).sqrt();
    near(t.critical_speed(1.0).unwrap().critical, omega, 1e-4);
}

/// By hand: torsion of tube and shaft, spline loads close with the torque.
#[test]
fn torsion_axle_shaft_and_spline() {
    let t = tube().torsion(2000.0).unwrap();
    let (d, b) = (3.0 * INCH, 2.834 * INCH);
    let j = std::f64::consts::PI / 32.0 * (d.powi(4) - b.powi(4));
    near(t.stress, 2000.0 * d / 2.0 / j, 1e-12);
    near(t.twist, 2000.0 * 50.0 * INCH / (80e9 * j), 1e-12);
    near(t.safety.unwrap(), 350e6 / 3.0_f64.sqrt() / t.stress, 1e-12);
    let shaft = AxleShaft {
        diameter: 0.033,
        bore: 0.0,
        material: Material {
            modulus: 207e9,
            yield_strength: 900e6,
        },
        share: 0.5,
        shock: 1.5,
    };
    // The tyre gives up first.
    near(shaft.torque(6000.0, 1800.0).unwrap(), 2700.0, 1e-12);
    near(shaft.torque(2000.0, 1800.0).unwrap(), 1500.0, 1e-12);
    let (stress, _) = shaft.stress(2700.0).unwrap();
    near(
        stress,
        16.0 * 2700.0 / (std::f64::consts::PI * 0.033_f64.powi(3)),
        1e-12,
    );
    let spline = Spline {
        pitch_diameter: 0.034,
        teeth: 31,
        engagement: 0.03,
        tooth_depth: 0.001,
        carrying: 0.5,
    };
    let s = spline.stress(2700.0).unwrap();
    // Half the pitch cylinder carries in shear: force over half its area, of which teeth are half.
    let cylinder = std::f64::consts::PI * 0.034 * 0.03;
    near(s.shear * cylinder * 0.25 * 0.017, 2700.0, 1e-12);
    near(s.bearing * 0.001 * 0.03 * 15.5 * 0.017, 2700.0, 1e-12);
    near(
        driveshaft_torque(500.0, 3.0, 1.0, 0.9, Some(900.0), 1.5).unwrap(),
        1350.0,
        1e-12,
    );
    assert!(
        AxleShaft {
            bore: 0.04,
            ..shaft
        }
        .stress(1.0)
        .is_err()
    );
}

/// Laws of the gearing: at the goal's final drive the trap is met at the wanted speed; after a shift the road speed is the same.
#[test]
fn gearing_closes() {
    let mut gears = Gears {
        ratios: vec![3.0, 1.9, 1.3, 1.0],
        slip: vec![0.05, 0.04, 0.03, 0.02],
        final_drive: 3.9,
        rolling_radius: 0.33,
        redline: 6500.0 * RPM,
        efficiency: 0.9,
    };
    let goal = Goal {
        trap_speed: 52.0,
        trap_gear: 3,
        trap_engine_speed: 6200.0 * RPM,
    };
    let chart = gears.chart(&goal).unwrap();
    for (i, g) in chart.gears.iter().enumerate() {
        if let Some(after) = g.after_shift {
            near(
                gears.speed(i + 1, after).unwrap(),
                g.speed_at_redline,
                1e-12,
            );
        }
        near(gears.speed(i, g.at_trap).unwrap(), 52.0, 1e-12);
    }
    // Power closes: thrust times speed is what the wheels get.
    let [_, axle, thrust] = gears.torques(1, 400.0).unwrap();
    near(axle, 400.0 * 1.9 * 3.9 * 0.9, 1e-12);
    near(thrust * 0.33, axle, 1e-12);
    let choice = gears.choose(&goal, &[3.5, 4.3, 4.11, 3.9, 4.56]).unwrap();
    let first_over = choice
        .iter()
        .position(|c| c.over_redline)
        .unwrap_or(choice.len());
    assert!(
        choice[..first_over]
            .windows(2)
            .all(|p| p[0].miss <= p[1].miss)
    );
    assert!(choice[first_over..].iter().all(|c| c.over_redline));
    gears.final_drive = chart.final_drive_for_goal;
    near(
        gears.chart(&goal).unwrap().gears[3].at_trap,
        6200.0 * RPM,
        1e-12,
    );
    gears.ratios = vec![1.0, 2.0, 1.3, 0.8];
    assert!(gears.chart(&goal).is_err());
}

fn on_axle() -> (AssembledAxle, ShaftOnTravel) {
    let (car, rods, _) = common::four_rods();
    let figures = AxleCar {
        wheelbase: car.wheelbase,
        mass: car.mass(),
        cg_height: car.cg_height(),
        loaded_radius: car.axle_height,
        rear_brake_share: 0.4,
        rear_track: car.rear_track,
    };
    let axle = AxleLinkage::drawn(&figures, &rods)
        .unwrap()
        .assemble(figures)
        .unwrap();
    let shaft = Driveshaft::drawn(
        &axle,
        &DrawnShaft {
            front_joint: Point3::new(1.45, 0.0, 0.40),
            output_axis: axis(deg(2.5), 0.0),
            rear_joint: Point3::new(0.25, 0.01, 0.365),
            pinion_axis: axis(deg(2.0), 0.0),
            slip: Slip::OnTransmission,
        },
    )
    .unwrap();
    let on = ShaftOnTravel {
        shaft,
        phase: 0.0,
        tube_radius: 1.5 * INCH,
        slip: SlipYoke {
            engagement: 0.09,
            room_inward: 0.04,
            diameter: 0.045,
        },
        hoop: Some(Loop {
            centre: Point3::new(1.32, 0.0, 0.395),
            normal: Vector3::x(),
            inside_radius: 0.07,
            within: 6.0 * INCH,
        }),
    };
    (axle, on)
}

#[test]
fn shaft_over_travel_closes() {
    let (axle, on) = on_axle();
    for travel in [-0.06, 0.0, 0.05] {
        let row = on.row(&axle, travel, 0.01).unwrap();
        let [front, rear] = row.state.joints;
        // Fixed length between the joints; the front one is out along the output axis by the plunge.
        near((rear - front).norm(), on.shaft.design_length(), 1e-12);
        let out = row.state.axes[0] * row.state.plunge;
        assert!((front - Point3::new(1.45, 0.0, 0.40) - out).norm() < 1e-12);
        near(row.engagement + row.bottoming_room, 0.13, 1e-12);
        near(row.layout.working_angles[0], row.state.front_angle, 1e-12);
        near(row.layout.working_angles[1], row.state.rear_angle, 1e-12);
        // The loop, by walking along the shaft to x = 1.32.
        let share = (1.32 - front.x) / (rear.x - front.x);
        let at = front + (rear - front) * share;
        near(row.loop_distance.unwrap(), (at - front).norm(), 1e-9);
        let off = (at.y).hypot(at.z - 0.395);
        near(row.loop_gap.unwrap(), 0.07 - off - 1.5 * INCH, 1e-9);
    }
    let row = on.row(&axle, 0.0, 0.0).unwrap();
    assert!(row.state.plunge.abs() < 1e-12 && on.findings(&row).is_empty());
    let mut worse = on;
    worse.slip.engagement = 0.03;
    worse.slip.room_inward = 0.02;
    worse.hoop.as_mut().unwrap().centre.x = 1.2;
    let found = worse.findings(&worse.row(&axle, 0.0, 0.0).unwrap());
    assert_eq!(found.len(), 3, "{found:?}");
    worse.hoop.as_mut().unwrap().centre.x = 0.1;
    let found = worse.findings(&worse.row(&axle, 0.0, 0.0).unwrap());
    assert!(found.contains(&ShaftFinding::MissesLoop));
}
