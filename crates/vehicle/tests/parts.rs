//! Springs, strength and driveshaft against published values and laws.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

#[allow(dead_code, reason = "shared with other tests")]
mod common;

use geometry::{AssembledAxle, AxleCar, AxleLinkage};
use nalgebra::{Point3, Vector3};
use vehicle::STANDARD_GRAVITY as G;
use vehicle::driveshaft::{DrawnShaft, Driveshaft, ShaftError, Slip, axis};
use vehicle::launch::LaunchModel;
use vehicle::springs::{
    Catalogue, CoiloverMount, Corner, Shock, Spring, SpringError, choose, in_series, motion,
    ride_frequency, seat, spring_state, static_force, travel_budget,
};
use vehicle::strength::{
    BoltGrade, Capacity, Column, ColumnKind, DEFAULT_TARGET, Link, LoadCase, Material, Mode,
    Planes, Section, ShearArea, StrengthError, bolt_shear, bolt_strength, bumped, judge,
};

const INCH: f64 = 0.0254;
const POUND: f64 = 4.448_221_615_260_5;
const PSI: f64 = POUND / (INCH * INCH);

fn axle(drawn: &common::Drawn) -> AssembledAxle {
    let (car, rods, _) = drawn;
    let figures = AxleCar {
        wheelbase: car.wheelbase,
        mass: car.mass(),
        cg_height: car.cg_height(),
        loaded_radius: car.axle_height,
        rear_brake_share: 0.4,
        rear_track: car.rear_track,
    };
    AxleLinkage::drawn(&figures, rods)
        .unwrap()
        .assemble(figures)
        .unwrap()
}

fn mount(axle: &AssembledAxle, left: bool) -> CoiloverMount {
    let c = common::coilovers(34_000.0, 0.456)[usize::from(!left)];
    CoiloverMount::drawn(axle, c.frame_point, c.housing_point).unwrap()
}

/// 1 Hz goes with about 9.8 in of static deflection (Gillespie, Fundamentals of Vehicle Dynamics, from memory).
#[test]
fn one_hertz_is_9_8_inches() {
    let mass = 320.0;
    let rate = mass * G / (9.8 * INCH);
    assert!((ride_frequency(rate, mass).unwrap() - 1.0).abs() < 0.005);
    assert!(ride_frequency(-1.0, mass).is_err() && ride_frequency(rate, 0.0).is_err());
    assert!((in_series(30_000.0, 60_000.0) - 20_000.0).abs() < 1e-9);
}

/// Outside check: differences of length and of wheel force along the path.
#[test]
fn rates_are_derivatives() {
    for drawn in [common::four_rods(), common::five_rods()] {
        let axle = axle(&drawn);
        let unit = mount(&axle, true);
        let (k, free) = (34_000.0, 0.456);
        for (z, roll) in [(0.0, 0.0), (0.04, 0.0), (-0.05, 0.02)] {
            let at = |z: f64, roll: f64| spring_state(&axle, &unit, k, free, z, roll).unwrap();
            let here = at(z, roll);
            let h = 1e-4;
            let (low, high) = (at(z - h, roll), at(z + h, roll));
            let ratio = -(high.motion.length - low.motion.length) / (2.0 * h);
            assert!((here.motion.motion_ratio - ratio).abs() < 1e-6, "{ratio}");
            let rate = (high.wheel_force - low.wheel_force) / (2.0 * h);
            assert!(
                (here.wheel_rate - rate).abs() < 1e-3 * rate,
                "{} {rate}",
                here.wheel_rate
            );
            let (low, high) = (at(z, roll - h), at(z, roll + h));
            let ratio = -(high.motion.length - low.motion.length) / (2.0 * h);
            assert!((here.motion.roll_ratio - ratio).abs() < 1e-6);
            let moment = |s: &vehicle::springs::SpringState| s.coil_force * s.motion.roll_ratio;
            let stiffness = (moment(&high) - moment(&low)) / (2.0 * h);
            assert!((here.roll_rate - stiffness).abs() < 2e-3 * stiffness);
        }
        // Left and right are mirrored, and a loose spring has no rate.
        let (l, r) = (
            motion(&axle, &unit, 0.0, 0.0).unwrap(),
            motion(&axle, &mount(&axle, false), 0.0, 0.0).unwrap(),
        );
        assert!((l.motion_ratio - r.motion_ratio).abs() < 1e-4);
        assert!((l.roll_ratio + r.roll_ratio).abs() < 1e-4 && l.roll_ratio > 0.0);
        let loose = spring_state(&axle, &unit, k, 0.2, 0.0, 0.0).unwrap();
        assert_eq!((loose.coil_force, loose.wheel_rate), (0.0, 0.0));
        assert!(matches!(
            spring_state(&axle, &unit, 0.0, free, 0.0, 0.0),
            Err(SpringError::BadInput { .. })
        ));
        assert!(matches!(
            motion(&axle, &unit, 3.0, 0.0),
            Err(SpringError::Axle(_))
        ));
        let p = drawn.2[0].frame_point;
        assert!(CoiloverMount::drawn(&axle, p, p).is_err());
    }
}

/// The static force by motion ratio agrees with the full balance within 1 % (it leaves out the housing's own turning moment).
#[test]
fn static_force_beside_the_full_balance() {
    let (car, rods, coils) = common::four_rods();
    let settled = LaunchModel::drawn(&car, &rods, &coils)
        .unwrap()
        .settle()
        .unwrap();
    let rest = &settled.at_rest;
    let axle = axle(&(car, rods, coils));
    let travel = rest.axle_in_sprung().position.z - car.axle_height;
    let ratio = motion(&axle, &mount(&axle, true), travel, 0.0)
        .unwrap()
        .motion_ratio;
    let weight = rest.tyre_load.rear_left - 0.5 * car.axle_mass * G;
    let force = static_force(weight, ratio).unwrap();
    assert!(
        (force - rest.coil_force[0]).abs() < 0.01 * force,
        "{force} {:?}",
        rest.coil_force
    );
    assert!(matches!(
        static_force(weight, 0.0),
        Err(SpringError::NoMotion { .. })
    ));
}

#[test]
fn seat_preload_and_budget() {
    let axle = axle(&common::four_rods());
    let unit = mount(&axle, true);
    let shock = Shock {
        extended: 0.44,
        compressed: 0.32,
    };
    let spring = Spring {
        rate: 35_000.0,
        free_length: 0.305,
        block_length: 0.12,
    };
    let length = motion(&axle, &unit, 0.0, 0.0).unwrap().length;
    let force = 2800.0;
    let set = seat(&shock, &spring, length, force).unwrap();
    // F = k·(free length of the coil-over − length), and the spring between its seats says the same.
    assert!((spring.rate * (set.free_length - length) - force).abs() < 1e-9);
    assert!((spring.rate * (spring.free_length - set.spring_length) - force).abs() < 1e-9);
    assert!((set.seat_distance - (shock.extended - length) - set.spring_length).abs() < 1e-12);
    assert!(!set.coils_end_it);
    let budget = travel_budget(&axle, &unit, &shock, &set, 0.2).unwrap();
    let ends = |z: f64| motion(&axle, &unit, z, 0.0).unwrap().length;
    assert!((ends(budget.bump.unwrap()) - shock.compressed).abs() < 1e-8);
    assert!((ends(-budget.droop.unwrap()) - shock.extended).abs() < 1e-8);
    // A tall block ends bump travel first; already past it leaves none; a weak force leaves the spring loose in droop.
    let tall = Spring {
        block_length: 0.20,
        ..spring
    };
    let set = seat(&shock, &tall, length, force).unwrap();
    assert!(set.coils_end_it && set.bump_left < length - shock.compressed);
    assert!((set.spring_length - tall.block_length - set.bump_left).abs() < 1e-12);
    let solid = Spring {
        block_length: 0.29,
        ..spring
    };
    let set = seat(&shock, &solid, length, force).unwrap();
    assert!(set.bump_left < 0.0);
    assert_eq!(
        travel_budget(&axle, &unit, &shock, &set, 0.2).unwrap().bump,
        Some(0.0)
    );
    assert!(seat(&shock, &spring, length, 500.0).unwrap().preload < 0.0);
    let inside_out = Shock {
        extended: 0.3,
        compressed: 0.4,
    };
    assert!(seat(&inside_out, &spring, length, force).is_err());
}

#[test]
fn springs_of_a_band() {
    let corner = Corner {
        sprung_mass: 300.0,
        motion_ratio: 0.9,
        motion_ratio_slope: 0.5,
        coil_force: 300.0 * G / 0.9,
        fitted_rate: 30_000.0,
        tyre_rate: None,
    };
    let pound_per_inch = POUND / INCH;
    let catalogue = Catalogue {
        least: 100.0 * pound_per_inch,
        greatest: 500.0 * pound_per_inch,
        step: 25.0 * pound_per_inch,
    };
    let found = choose(&corner, &catalogue, (1.4, 1.8)).unwrap();
    assert!(!found.is_empty());
    for s in &found {
        assert!((1.4..=1.8).contains(&s.frequency));
        let steps = (s.rate - catalogue.least) / catalogue.step;
        assert!((steps - steps.round()).abs() < 1e-9);
        // A stiffer spring is squeezed less: the seat backs off, or the car stands higher.
        assert_eq!(
            s.rate > 30_000.0,
            s.seat_change < 0.0 && s.height_change > 0.0
        );
        assert!((s.squeeze * s.rate - corner.coil_force).abs() < 1e-9);
    }
    // None left out: the rates beside the ends of the list are outside the band.
    let all = choose(&corner, &catalogue, (0.0, 99.0)).unwrap();
    assert_eq!(all.len(), 17);
    let inside = all
        .iter()
        .filter(|s| (1.4..=1.8).contains(&s.frequency))
        .count();
    assert_eq!(inside, found.len());
    let softer = Corner {
        tyre_rate: Some(2e5),
        ..corner
    };
    assert!(choose(&softer, &catalogue, (0.0, 99.0)).unwrap()[0].frequency < all[0].frequency);
    assert!(
        choose(
            &corner,
            &Catalogue {
                step: 0.0,
                ..catalogue
            },
            (1.0, 2.0)
        )
        .is_err()
    );
    assert!(
        choose(
            &corner,
            &Catalogue {
                step: 1e-9,
                ..catalogue
            },
            (1.0, 2.0)
        )
        .is_err()
    );
}

/// Wentzell, Machine Design, ex. 3.5: L 30 in, 5/8 in round, K 1, E 30e6, Sy 42 ksi → slenderness 192, P_cr 2464 lb.
#[test]
fn wentzells_euler_column() {
    let column = Column {
        section: Section::Solid {
            diameter: 0.625 * INCH,
        },
        material: Material {
            modulus: 30e6 * PSI,
            yield_strength: 42e3 * PSI,
        },
        length: 30.0 * INCH,
        end_condition: 1.0,
    };
    let found = column.critical_load().unwrap();
    assert_eq!(found.kind, ColumnKind::Euler);
    assert!((found.slenderness - 192.0).abs() < 0.05);
    assert!(
        (found.load / POUND - 2464.0).abs() < 1.5,
        "{}",
        found.load / POUND
    );
    // At the transition both formulas give half the yield strength, and Johnson goes to yield for a short column.
    let length = found.transition * column.section.gyration();
    let half = 0.5 * column.material.yield_strength * column.section.area();
    for (factor, kind) in [
        (1.0 + 1e-9, ColumnKind::Euler),
        (1.0 - 1e-9, ColumnKind::Johnson),
    ] {
        let near = Column {
            length: factor * length,
            ..column
        }
        .critical_load()
        .unwrap();
        assert_eq!(near.kind, kind);
        assert!((near.load - half).abs() < 1e-6 * half);
    }
    let stub = Column {
        length: 1e-6,
        ..column
    }
    .critical_load()
    .unwrap();
    assert!((stub.load - 2.0 * half).abs() < 1e-6 * half);
    assert!(
        Column {
            length: 0.0,
            ..column
        }
        .critical_load()
        .is_err()
    );
}

/// 1.75 × 0.095 in: A 0.4939 in², I 0.1697 in⁴ (derived from the formulas of the circle, rounded).
#[test]
fn tube_section() {
    let tube = Section::Tube {
        outside: 1.75 * INCH,
        wall: 0.095 * INCH,
    };
    assert!((tube.area() / INCH.powi(2) - 0.4939).abs() < 5e-5);
    assert!((tube.second_moment() / INCH.powi(4) - 0.1697).abs() < 5e-5);
    assert!((tube.polar_moment() - 2.0 * tube.second_moment()).abs() < 1e-20);
    assert!(
        Section::Tube {
            outside: 0.02,
            wall: 0.01
        }
        .check()
        .is_err()
    );
    assert!(Section::Solid { diameter: f64::NAN }.check().is_err());
}

/// SAE J429 as quoted in Shigley & Mischke, Mechanical Engineering Design, 5th ed., p. 341.
#[test]
fn bolts() {
    let ksi = 1000.0 * PSI;
    let strength = |g, d: f64| bolt_strength(g, d * INCH).unwrap();
    assert!((strength(BoltGrade::G5, 0.5).yield_strength / ksi - 92.0).abs() < 1e-9);
    assert!((strength(BoltGrade::G5, 1.25).yield_strength / ksi - 81.0).abs() < 1e-9);
    assert!((strength(BoltGrade::G8, 0.625).proof / ksi - 120.0).abs() < 1e-9);
    assert!((strength(BoltGrade::G2, 0.75).tensile / ksi - 74.0).abs() < 1e-9);
    for (grade, d) in [
        (BoltGrade::G2, 0.8),
        (BoltGrade::G8, 0.2),
        (BoltGrade::G5_2, 1.2),
    ] {
        assert!(matches!(
            bolt_strength(grade, d * INCH),
            Err(StrengthError::NotInTable { .. })
        ));
    }
    // Derived: grade 8, 5/8 in, shank, double shear: 2·0.30680 in²·130 ksi/√3 = 46 054 lb.
    let sy = strength(BoltGrade::G8, 0.625).yield_strength;
    let d = 0.625 * INCH;
    let double = bolt_shear(d, sy, Planes::Double, ShearArea::Shank).unwrap();
    assert!(
        (double / POUND - 46_054.0).abs() < 5.0,
        "{}",
        double / POUND
    );
    let single = bolt_shear(d, sy, Planes::Single, ShearArea::Shank).unwrap();
    assert!((double - 2.0 * single).abs() < 1e-6);
    // 5/8-11 thread: minor-diameter area 0.202 in² (Shigley & Mischke, table of unified threads, from memory).
    let thread = ShearArea::Thread { pitch: INCH / 11.0 };
    let cut = bolt_shear(d, sy, Planes::Single, thread).unwrap();
    assert!((cut / single * 0.30680 - 0.202).abs() < 5e-4);
    assert!(bolt_shear(-d, sy, Planes::Single, ShearArea::Shank).is_err());
}

#[test]
fn the_governing_case_of_a_link() {
    let column = Column {
        section: Section::Tube {
            outside: 1.25 * INCH,
            wall: 0.12 * INCH,
        },
        material: Material {
            modulus: 205e9,
            yield_strength: 480e6,
        },
        length: 0.6,
        end_condition: 1.0,
    };
    let link = Link {
        column,
        ends: vec![
            Capacity {
                mode: Mode::FrameRodEnd,
                load: 60_000.0,
            },
            Capacity {
                mode: Mode::HousingBolt,
                load: 90_000.0,
            },
        ],
    };
    let case = |name: &str, force: f64| LoadCase {
        name: name.into(),
        force,
    };
    let cases = [
        case("launch", -12_000.0),
        case("braking", 9000.0),
        bumped("bump", -4000.0, 3.0).unwrap(),
    ];
    let verdict = judge(&link, &cases, DEFAULT_TARGET).unwrap();
    let least = verdict.governing.unwrap();
    assert_eq!((least.mode, least.case), (Mode::FrameRodEnd, 0));
    assert!((least.factor - 5.0).abs() < 1e-12 && verdict.meets_target);
    assert_eq!(verdict.all.len(), 9);
    assert!(verdict.all.windows(2).all(|w| w[0].factor <= w[1].factor));
    assert!((verdict.stress + 12_000.0 / column.section.area()).abs() < 1e-3);
    // A long thin rod buckles in compression and only yields in tension.
    let thin = Link {
        column: Column {
            length: 2.5,
            ..column
        },
        ends: vec![],
    };
    let push = judge(&thin, &[case("launch", -12_000.0)], 3.0).unwrap();
    let pull = judge(&thin, &[case("launch", 12_000.0)], 3.0).unwrap();
    assert_eq!(
        push.governing.unwrap().mode,
        Mode::Column(ColumnKind::Euler)
    );
    assert_eq!(pull.governing.unwrap().mode, Mode::Yield);
    assert!(!push.meets_target && pull.meets_target);
    let idle = judge(&thin, &[case("parked", 0.0)], 3.0).unwrap();
    assert!(idle.governing.is_none() && idle.meets_target);
    assert!(judge(&thin, &[case("launch", f64::NAN)], 3.0).is_err());
    assert!(bumped("bump", 1.0, 0.0).is_err());
}

fn shaft(slip: Slip, output: Vector3<f64>, pinion: Vector3<f64>) -> DrawnShaft {
    DrawnShaft {
        front_joint: Point3::new(1.5, 0.0, 0.36),
        output_axis: output,
        rear_joint: Point3::new(0.25, 0.0, 0.31),
        pinion_axis: pinion,
        slip,
    }
}

/// Engine down 3° and pinion up 3° are parallel: equal working angles, at design height the drawn ones.
#[test]
fn parallel_axes_give_equal_angles() {
    let axle = axle(&common::four_rods());
    let three = 3.0_f64.to_radians();
    let along = axis(three, 0.0);
    let s = Driveshaft::drawn(&axle, &shaft(Slip::InShaft, along, along)).unwrap();
    let now = s.state(&axle, 0.0, 0.0).unwrap();
    let falls = (0.05_f64 / 1.25).atan();
    assert!((now.front_angle - (three - falls).abs()).abs() < 1e-12);
    assert!(now.difference.abs() < 1e-12 && now.plunge.abs() < 1e-12);
    assert!((now.shaft_down - falls).abs() < 1e-12 && (now.pinion_down - three).abs() < 1e-12);
    // The pinion's turn over travel is the housing's.
    let up = s.state(&axle, 0.05, 0.0).unwrap();
    let state = axle.state(0.05, 0.0).unwrap();
    assert!(((up.pinion_down - now.pinion_down) - state.pinion_up).abs() < 1e-9);
    assert!((up.length - now.length - up.plunge).abs() < 1e-12);
    // In space: a plan angle counts as well as a side-view one.
    let crooked =
        Driveshaft::drawn(&axle, &shaft(Slip::InShaft, axis(falls, 0.02), along)).unwrap();
    let angle = crooked.state(&axle, 0.0, 0.0).unwrap().front_angle;
    assert!((angle - 0.02).abs() < 1e-4, "{angle}");
}

#[test]
fn a_slip_yoke_slides_along_the_output() {
    let axle = axle(&common::four_rods());
    let along = axis(0.05, 0.0);
    let s = Driveshaft::drawn(&axle, &shaft(Slip::OnTransmission, along, along)).unwrap();
    for z in [-0.08, 0.0, 0.08] {
        let at = s.state(&axle, z, 0.0).unwrap();
        assert!((at.length - s.design_length()).abs() < 1e-12);
    }
    assert!(s.state(&axle, 0.0, 0.0).unwrap().plunge.abs() < 1e-12);
    // Nearly the same as the slip in the shaft: both are the axle's recession.
    let other = Driveshaft::drawn(&axle, &shaft(Slip::InShaft, along, along)).unwrap();
    let (a, b) = (
        s.state(&axle, 0.08, 0.0).unwrap(),
        other.state(&axle, 0.08, 0.0).unwrap(),
    );
    assert!(
        (a.plunge - b.plunge).abs() < 2e-3,
        "{} {}",
        a.plunge,
        b.plunge
    );
    let none = DrawnShaft {
        pinion_axis: Vector3::zeros(),
        ..shaft(Slip::InShaft, along, along)
    };
    assert!(matches!(
        Driveshaft::drawn(&axle, &none),
        Err(ShaftError::NoLength { .. })
    ));
    assert!(matches!(s.state(&axle, 2.0, 0.0), Err(ShaftError::Axle(_))));
}
