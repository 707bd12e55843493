//! Bad inputs and runs without an answer: named, with their numbers, never a NaN or a panic.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

#[allow(dead_code, reason = "shared with other tests")]
mod runner;

use runner::{automatic, constant_thrust, model, street};
use vehicle::run::{
    AxleSpring, Coupling, EventKind, Limit, Mark, PowerCorrection, RPM, RunCar, RunError, RunModel,
    RunSettings, Stop, TorqueCurve, Weather, pressure_at_altitude,
};

type Put = fn(&mut RunCar, f64);
type Spoil = fn(&mut RunCar);

/// Every figure of the car, under the name it is complained of.
const FIGURES: &[(&str, Put)] = &[
    ("wheelbase", |c, v| c.wheelbase = v),
    ("sprung mass", |c, v| c.sprung_mass = v),
    ("station of the sprung CG", |c, v| c.sprung_cg_station = v),
    ("height of the sprung CG", |c, v| c.sprung_cg_height = v),
    ("pitch inertia", |c, v| c.pitch_inertia = v),
    ("rear unsprung mass", |c, v| c.axle_mass = v),
    ("height of the rear axle's CG", |c, v| c.axle_cg_height = v),
    ("front unsprung mass", |c, v| c.front_unsprung_mass = v),
    ("height of the front hubs", |c, v| c.front_hub_height = v),
    ("rolling radius", |c, v| c.rolling_radius = v),
    ("inertia of the rear wheels", |c, v| {
        c.rear_wheel_inertia = v
    }),
    ("inertia of the front wheels", |c, v| {
        c.front_wheel_inertia = v
    }),
    ("tyre friction", |c, v| c.tyre.friction = v),
    ("load sensitivity of the tyre", |c, v| {
        c.tyre.load_sensitivity = v
    }),
    ("reference load of the tyre", |c, v| {
        c.tyre.reference_load = v
    }),
    ("front wheel rate", |c, v| {
        c.front.spring = AxleSpring::Rate(v)
    }),
    ("front bump damping", |c, v| c.front.bump_damping = v),
    ("front rebound damping", |c, v| c.front.rebound_damping = v),
    ("front bump stop", |c, v| c.front.bump_stop = v),
    ("front droop stop", |c, v| c.front.droop_stop = v),
    ("rate of the front stops", |c, v| c.front.stop_rate = v),
    ("rear wheel rate", |c, v| {
        c.rear.spring = AxleSpring::Rate(v)
    }),
    ("rear bump damping", |c, v| c.rear.bump_damping = v),
    ("rear rebound damping", |c, v| c.rear.rebound_damping = v),
    ("rear bump stop", |c, v| c.rear.bump_stop = v),
    ("rear droop stop", |c, v| c.rear.droop_stop = v),
    ("rate of the rear stops", |c, v| c.rear.stop_rate = v),
    ("torque of the torque curve", |c, v| c.engine.torque[2] = v),
    ("launch speed", |c, v| c.driveline.launch_speed = v),
    ("gear ratio", |c, v| c.driveline.gears[1] = v),
    ("efficiency", |c, v| c.driveline.efficiency[1] = v),
    ("final drive ratio", |c, v| c.driveline.final_drive = v),
    ("shift speed", |c, v| c.driveline.shift_speed[1] = v),
    ("shift time", |c, v| c.driveline.shift_time = v),
    ("take-up time", |c, v| c.driveline.take_up = v),
    ("engine inertia", |c, v| c.driveline.engine_inertia = v),
    ("gearbox input inertia", |c, v| {
        c.driveline.input_inertia = v
    }),
    ("driveshaft inertia", |c, v| c.driveline.shaft_inertia = v),
    ("drag area", |c, v| c.resistance.drag_area = v),
    ("rolling resistance", |c, v| c.resistance.rolling = v),
    ("air temperature", |c, v| c.weather.temperature = v),
    ("air pressure", |c, v| c.weather.pressure = v),
    ("relative humidity", |c, v| c.weather.humidity = v),
];

/// Figures that may be negative.
const SIGNED: &[(&str, Put)] = &[
    ("height of the drag", |c, v| c.resistance.drag_height = v),
    ("headwind", |c, v| c.resistance.headwind = v),
    ("tan φ_as of the link table", |c, v| c.links.tan_as[1] = v),
    ("tan φ_hub of the link table", |c, v| {
        c.links.tan_hub[1] = v
    }),
    ("travel of the link table", |c, v| c.links.travel[2] = v),
    ("engine speed of the torque curve", |c, v| {
        c.engine.speed[6] = v
    }),
];

fn complaint(car: &RunCar) -> (&'static str, Option<f64>, RunError) {
    let e = RunModel::new(car).expect_err("a bad car");
    match e {
        RunError::BadInput { what, value } | RunError::OutOfRange { what, value, .. } => {
            (what, Some(value), e)
        }
        RunError::TooFew { what, .. }
        | RunError::Count { what, .. }
        | RunError::NotRising { what, .. } => (what, None, e),
        _ => panic!("{e}"),
    }
}

#[test]
fn every_bad_figure_is_named_with_its_value() {
    for (figures, bad) in [
        (
            FIGURES,
            &[f64::NAN, f64::INFINITY, f64::NEG_INFINITY, -1.0][..],
        ),
        (SIGNED, &[f64::NAN, f64::INFINITY][..]),
    ] {
        for (name, put) in figures {
            for value in bad {
                let mut car = street();
                put(&mut car, *value);
                let (what, said, e) = complaint(&car);
                assert!(what.starts_with(name), "{name}: {e}");
                if let Some(said) = said {
                    assert!(said.to_bits() == value.to_bits() || said.is_nan() && value.is_nan());
                    assert!(e.to_string().contains(name), "{e}");
                }
            }
        }
    }
}

#[test]
fn lists_have_to_fit() {
    let cases: [(&str, Spoil); 14] = [
        ("engine speed of the torque curve", |c| {
            c.engine = TorqueCurve::from_rpm(&[3000.0], &[400.0]);
        }),
        ("engine speed of the torque curve", |c| {
            c.engine.speed.swap(1, 2)
        }),
        ("torques of the torque curve", |c| {
            c.engine.torque.pop();
        }),
        ("gears", |c| c.driveline.gears.clear()),
        ("gear ratio", |c| c.driveline.gears.swap(0, 1)),
        ("efficiencies", |c| {
            c.driveline.efficiency.pop();
        }),
        ("efficiency", |c| c.driveline.efficiency[0] = 1.01),
        ("shift speeds", |c| c.driveline.shift_speed.push(600.0)),
        ("shift speed", |c| c.driveline.shift_speed[0] = 7000.0 * RPM),
        ("launch speed", |c| c.driveline.launch_speed = 7000.0 * RPM),
        ("travel of the link table", |c| {
            c.links.travel.truncate(1);
        }),
        ("tan φ_as of the link table", |c| {
            c.links.tan_as.pop();
        }),
        ("station of the sprung CG", |c| c.sprung_cg_station = 2.8),
        ("rear wheel force", |c| {
            c.rear.spring = AxleSpring::Table {
                travel: vec![-0.1, 0.0, 0.1],
                force: vec![0.0, 9000.0, 8000.0],
            };
        }),
    ];
    for (name, spoil) in cases {
        let mut car = street();
        spoil(&mut car);
        let (what, _, e) = complaint(&car);
        assert!(what.starts_with(name), "{name}: {e}");
    }
    for (name, spoil) in [
        ("speed ratio of the converter", 0),
        ("capacity of the converter", 1),
        ("torque ratio of the converter", 2),
    ] {
        for bad in [f64::NAN, f64::INFINITY, -1.0] {
            let mut car = automatic();
            let Coupling::Converter(c) = &mut car.driveline.coupling else {
                panic!("no converter")
            };
            [&mut c.speed_ratio, &mut c.capacity, &mut c.torque_ratio][spoil][1] = bad;
            assert!(complaint(&car).0.starts_with(name));
        }
    }
}

#[test]
fn bad_settings_are_named() {
    let m = model(&street());
    let usual = RunSettings::default();
    for bad in [f64::NAN, f64::INFINITY, -1.0] {
        for settings in [
            RunSettings {
                rollout: bad,
                ..usual
            },
            RunSettings {
                relative: bad,
                ..usual
            },
            RunSettings {
                absolute: bad,
                ..usual
            },
            RunSettings {
                time_limit: bad,
                ..usual
            },
        ] {
            assert!(m.run(&settings).is_err());
        }
    }
    let run = m.run(&usual).unwrap();
    assert!(run.at(f64::NAN).is_err() && run.history(1).is_err());
    assert!(run.at(1e9).unwrap().time <= run.duration() + 1e-9);
}

fn outcome(car: &RunCar) -> RunError {
    model(car)
        .run(&RunSettings::default())
        .expect_err("no answer")
}

#[test]
fn no_grip_or_no_torque_does_not_move() {
    let mut ice = street();
    ice.tyre.friction = 0.01;
    let e = outcome(&ice);
    let RunError::DoesNotMove {
        thrust,
        drive,
        resistance,
    } = e
    else {
        panic!("{e}")
    };
    assert!(thrust < resistance && drive > resistance, "{e}");
    let mut dead = street();
    dead.engine.torque = vec![0.0; 7];
    let e = outcome(&dead);
    assert!(
        matches!(e, RunError::DoesNotMove { drive, .. } if drive < 1.0),
        "{e}"
    );
    // A gale in the face.
    let mut gale = street();
    gale.tyre.friction = 0.05;
    gale.resistance.headwind = 45.0;
    assert!(matches!(outcome(&gale), RunError::DoesNotMove { .. }));
}

#[test]
fn engines_below_their_table_bog() {
    let mut low = street();
    low.driveline.launch_speed = 900.0 * RPM;
    let e = outcome(&low);
    assert!(
        matches!(e, RunError::Bogs { gear: 1, time, .. } if time == 0.0),
        "{e}"
    );
    assert!(
        e.to_string().contains("900 rpm") && e.to_string().contains("1200 rpm"),
        "{e}"
    );
    // An overdrive too tall: the shift falls off the table.
    let mut tall = street();
    tall.driveline.gears = vec![2.9, 0.4];
    tall.driveline.efficiency = vec![0.9; 2];
    tall.driveline.shift_speed = vec![6300.0 * RPM];
    let e = outcome(&tall);
    assert!(matches!(e, RunError::Bogs { gear: 2, .. }), "{e}");
    // A converter that takes more than the engine has.
    let mut tight = automatic();
    if let Coupling::Converter(c) = &mut tight.driveline.coupling {
        c.capacity = vec![3.0; 6];
    }
    let e = outcome(&tight);
    assert!(matches!(e, RunError::Bogs { gear: 1, .. }), "{e}");
}

#[test]
fn tall_gears_never_reach_the_end_in_time() {
    let mut car = street();
    car.driveline.final_drive = 0.12;
    let settings = RunSettings {
        time_limit: 20.0,
        ..RunSettings::default()
    };
    let e = model(&car).run(&settings).expect_err("too slow");
    let RunError::NeverReaches { mark, time, travel } = e else {
        panic!("{e}")
    };
    assert!((time - 20.0).abs() < 1e-9 && travel < mark.travel());
    let before = Mark::ALL.iter().filter(|m| m.travel() <= travel).count();
    assert_eq!(Mark::ALL[before], mark);
}

#[test]
fn links_that_lock_are_named() {
    let mut car = street();
    car.tyre.load_sensitivity = 0.0;
    car.tyre.friction = 1.6;
    car.links.tan_as = vec![0.9; 3];
    let e = outcome(&car);
    let RunError::ThrustLocks {
        load_per_thrust,
        friction,
        ..
    } = e
    else {
        panic!("{e}")
    };
    assert!(load_per_thrust * friction >= 1.0);
    // Load sensitivity puts an end to it; links this steep may still throw the thrust to and fro.
    car.tyre.load_sensitivity = 0.1;
    let result = model(&car).run(&RunSettings::default());
    assert!(matches!(result, Ok(_) | Err(RunError::Lost { .. })));
    car.links.tan_as = vec![0.45; 3];
    assert!(model(&car).run(&RunSettings::default()).is_ok());
}

#[test]
fn the_rev_limit_in_the_last_gear_holds_the_speed() {
    for car in [street(), automatic()] {
        let mut car = car;
        car.driveline.final_drive = 6.5;
        let run = model(&car).run(&RunSettings::default()).unwrap();
        let e = *run
            .events
            .iter()
            .find(|e| e.kind == EventKind::RevLimit)
            .unwrap();
        assert_eq!(e.gear, car.driveline.gears.len());
        assert!(run.seconds(Limit::RevLimit) > 0.5);
        let s = run.at(run.duration()).unwrap();
        assert_eq!(s.limit, Limit::RevLimit);
        assert!((s.speed - e.speed).abs() < 1e-9 && s.acceleration.abs() < 1e-12);
        let energy = run.energy().unwrap();
        assert!(energy.imbalance().abs() < 1e-3 * energy.engine);
        if car.driveline.coupling == Coupling::Clutch {
            let speed = s.engine_speed.unwrap();
            assert!((speed / car.engine.last() - 1.0).abs() < 1e-9);
        }
    }
}

/// Grip without end: never traction-limited, the front just floats or the engine decides.
#[test]
fn endless_grip() {
    let mut car = street();
    car.tyre.friction = 100.0;
    car.tyre.load_sensitivity = 0.0;
    car.links.tan_as = vec![-0.25; 3];
    let run = model(&car).run(&RunSettings::default()).unwrap();
    assert_eq!(run.seconds(Limit::Traction), 0.0);
    assert!(run.seconds(Limit::Drive) > 0.0);
}

#[test]
fn a_launch_above_the_shift_speed_shifts_at_once() {
    let mut car = street();
    car.driveline.launch_speed = 6500.0 * RPM;
    let run = model(&car).run(&RunSettings::default()).unwrap();
    let kinds: Vec<_> = run.events.iter().map(|e| e.kind).take(3).collect();
    assert_eq!(
        kinds,
        [EventKind::ClutchLocked, EventKind::Shift, EventKind::InGear]
    );
    assert!((run.events[1].time - run.events[0].time).abs() < 1e-12);
}

#[test]
fn take_up_brings_the_thrust_in() {
    let mut car = street();
    car.driveline.take_up = 0.4;
    for torque in &mut car.engine.torque {
        *torque *= 0.4;
    }
    let run = model(&car).run(&RunSettings::default()).unwrap();
    assert_eq!(run.events[0].kind, EventKind::TakeUpOver);
    assert!((run.events[0].time - 0.4).abs() < 1e-12);
    let (half, whole) = (run.at(0.2).unwrap(), run.at(0.41).unwrap());
    let car_moves = half.acceleration > 0.0 && half.acceleration < 0.55 * whole.acceleration;
    assert!(car_moves);
    assert!((half.drive_thrust / whole.drive_thrust - 0.5).abs() < 0.01);
    assert_eq!(run.at(0.0).unwrap().acceleration, 0.0);
    assert_eq!(run.at(0.0).unwrap().speed, 0.0);
}

/// Weather and wind: thin air takes drag away and, with J1349, power; a headwind costs time.
#[test]
fn weather() {
    let time = |car: &RunCar| {
        let slip = model(car).slip(&RunSettings::default()).unwrap();
        slip.clock(Mark::Quarter)
    };
    let car = street();
    let mut high = car.clone();
    high.weather = Weather {
        pressure: pressure_at_altitude(1500.0).unwrap(),
        ..high.weather
    };
    assert!(time(&high) < time(&car));
    // The curve is a corrected one: at sea level CF is about 0.95, high up the power is gone.
    high.correction = PowerCorrection::J1349;
    let cf = model(&high).air().cf_j1349;
    assert!(cf > 1.1);
    let mut weak = high.clone();
    weak.correction = PowerCorrection::None;
    for torque in &mut weak.engine.torque {
        *torque /= cf;
    }
    assert!((time(&weak) - time(&high)).abs() < 1e-12);
    assert!(time(&high) > time(&car));
    let windy = |wind: f64| {
        let mut c = car.clone();
        c.resistance.headwind = wind;
        time(&c)
    };
    assert!(windy(5.0) > time(&car) && windy(-5.0) < time(&car));
}

/// A linear table is a rate; a stop that is touched is named with its force.
#[test]
fn force_tables_and_stops() {
    let car = street();
    let mut table = car.clone();
    table.rear.spring = AxleSpring::Table {
        travel: vec![-0.1, -0.03, 0.02, 0.1],
        force: [-0.1, -0.03, 0.02, 0.1]
            .map(|s| 6000.0 + 45_000.0 * s)
            .to_vec(),
    };
    let settings = RunSettings::default();
    let (a, b) = (
        model(&car).slip(&settings).unwrap(),
        model(&table).slip(&settings).unwrap(),
    );
    assert!((a.clock(Mark::Quarter) - b.clock(Mark::Quarter)).abs() < 1e-6);
    let mut short = car;
    short.front.droop_stop = 0.02;
    let run = model(&short).run(&settings).unwrap();
    let stop = run
        .stops
        .iter()
        .find(|s| s.stop == Stop::FrontDroop)
        .unwrap();
    let most = -run.extremes.front_travel_min.value - 0.02;
    assert!((stop.pressed - most).abs() < 1e-4);
    assert!((stop.force - 4e5 * stop.pressed).abs() < 1e-6);
}

/// A constant thrust at rest settles on the static loads of the whole car.
#[test]
fn static_loads() {
    let car = constant_thrust(street(), 3000.0);
    let start = model(&car)
        .run(&RunSettings::default())
        .unwrap()
        .at(0.0)
        .unwrap();
    assert!((start.front_load - car.front_load()).abs() < 1e-9);
    assert_eq!(start.front_travel, 0.0);
    let sum = car.front_load() + car.rear_load();
    assert!((sum - car.mass() * vehicle::STANDARD_GRAVITY).abs() < 1e-9);
}
