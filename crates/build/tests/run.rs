//! The launch run of a build: the car it makes, readings, goal, plan, log and weighing.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

use std::path::Path;

use build::{
    Build, CouplingData, Edit, Goal, GoalOver, History, Part, RunEdit, RunSetting, Seen, StripMark,
    changed_since, derive, file, run_advice,
};
use units::{Count, Length, Mass, RotationSpeed, Time};

fn sample(name: &str) -> Build {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples");
    file::load(&path.join(name)).unwrap()
}

fn value(b: &Build, id: &str) -> f64 {
    derive(b).reading(id).unwrap().value.clone().unwrap()
}

#[test]
fn the_runs_car_weighs_and_balances_as_the_build_does() {
    let b = sample("redshank.ron");
    let study = derive(&b);
    let car = study.run.car.as_ref().unwrap();
    assert!((car.mass() - b.car.mass.si()).abs() < 1e-9);
    assert!((car.cg_height() - b.car.cg_height.si()).abs() < 1e-12);
    let station = b.car.wheelbase.si() * (1.0 - b.car.rear_share.si());
    assert!((car.cg_station() - station).abs() < 1e-12);
    // The same rear weight the readings give.
    let own = study
        .reading("car.rear_weight")
        .unwrap()
        .value
        .clone()
        .unwrap();
    assert!((car.rear_load() / vehicle::STANDARD_GRAVITY - own).abs() < 1e-9);
    // Anti-squat at ride height is the rear links' own.
    let own = study
        .reading("rear.anti_squat")
        .unwrap()
        .value
        .clone()
        .unwrap();
    assert!((car.anti_squat(0.0) - own).abs() < 1e-6, "{own}");
}

/// The wheel force of the run's rear springs: at ride height what the sprung mass weighs there, its slope the
/// wheel rates of the coil-overs, its work over the travel what the springs store (F·MR integrates to ½kx²).
#[test]
fn the_runs_rear_springs_are_the_coil_overs_over_travel() {
    for name in ["redshank.ron", "whimbrel.ron"] {
        let b = sample(name);
        let study = derive(&b);
        let Ok(car) = &study.run.car else { continue };
        let vehicle::run::AxleSpring::Table { travel, force } = &car.rear.spring else {
            panic!("{name}: one rate");
        };
        let place = travel.iter().position(|z| z.abs() < 1e-9).unwrap();
        let weight = car.sprung_mass
            * vehicle::STANDARD_GRAVITY
            * (1.0 - car.sprung_cg_station / car.wheelbase);
        assert!(
            (force[place] / weight - 1.0).abs() < 1e-3,
            "{name}: {} {weight}",
            force[place]
        );
        let slope = (force[place + 1] - force[place - 1]) / (travel[place + 1] - travel[place - 1]);
        let rides: Vec<_> = study
            .launch
            .coilovers
            .iter()
            .map(|c| c.ride.as_ref().unwrap())
            .collect();
        let rate: f64 = rides.iter().map(|r| r.state.wheel_rate).sum();
        assert!((slope / rate - 1.0).abs() < 2e-3, "{name}: {slope} {rate}");
        // Work of the wheel forces from ride height to the last bump travel against the springs' own.
        let work: f64 = (place..travel.len() - 1)
            .map(|i| 0.5 * (force[i] + force[i + 1]) * (travel[i + 1] - travel[i]))
            .sum();
        let axle = &study.rear.motion.as_ref().unwrap().axle;
        let stored: f64 = study
            .launch
            .coilovers
            .iter()
            .zip(&rides)
            .map(|(c, ride)| {
                let mount =
                    vehicle::springs::CoiloverMount::drawn(axle, c.frame.into(), c.axle.into())
                        .unwrap();
                let end = *travel.last().unwrap();
                let far = vehicle::springs::motion(axle, &mount, end, 0.0)
                    .unwrap()
                    .length;
                let k = b.power.coilovers[c.coilover].rate.si();
                let energy = |l: f64| 0.5 * k * (ride.free_length - l).powi(2);
                energy(far) - energy(c.length)
            })
            .sum();
        assert!(
            (work / stored - 1.0).abs() < 1e-3,
            "{name}: {work} {stored}"
        );
    }
}

/// A shock that is all the way out before the typed droop stop ends the travel of the run there, and says so.
#[test]
fn a_short_shock_ends_the_runs_travel() {
    let mut b = sample("redshank.ron");
    let before = derive(&b).run.car.as_ref().unwrap().rear.droop_stop;
    b.power.coilovers[0].extended = Length::from_si(b.power.coilovers[0].extended.si() - 0.03);
    let study = derive(&b);
    let car = study.run.car.as_ref().unwrap();
    let budget = study.launch.coilovers[0]
        .ride
        .as_ref()
        .unwrap()
        .budget
        .as_ref()
        .unwrap();
    assert_eq!(Some(car.rear.droop_stop), budget.droop);
    assert!(car.rear.droop_stop < before);
    let shop = units::Shop::default();
    let said = |b: &Build| {
        derive(b)
            .findings
            .iter()
            .any(|f| f.text.show(&shop).contains("all the way out at"))
    };
    assert!(said(&b));
    // A stop that touches first is nobody's remark.
    b.run.rear.droop_stop = Length::from_si(0.5 * car.rear.droop_stop);
    assert!(!said(&b));
    let car = derive(&b).run.car.as_ref().unwrap().clone();
    assert_eq!(car.rear.droop_stop, b.run.rear.droop_stop.si());
}

#[test]
fn readings_are_the_runs_and_stay_under_the_bound_of_constant_power() {
    let b = sample("redshank.ron");
    let study = derive(&b);
    let run = study.run.run.as_ref().unwrap();
    let clock = |m: StripMark| run.slip.clock(m);
    assert!((value(&b, "run.quarter") - clock(StripMark::Quarter)).abs() < 1e-12);
    assert!((value(&b, "run.sixty_foot") - clock(StripMark::SixtyFoot)).abs() < 1e-12);
    assert!(value(&b, "run.zero_sixty.rollout") < value(&b, "run.zero_sixty"));
    // t = (9 m X²/(8 P))^(1/3): constant power without losses (derived).
    let (power, _) = run.car().engine.peak_power();
    let bound = (9.0 * run.car().mass() * 402.336_f64.powi(2) / (8.0 * power)).cbrt();
    assert!(run.duration() > bound);
    let shares = ["run.traction_limited_share", "run.wheel_stand_share"].map(|id| value(&b, id));
    assert!(shares.iter().all(|s| (0.0..=1.0).contains(s)));
}

#[test]
fn without_engine_gears_or_coil_overs_the_run_says_what_is_missing() {
    for (name, says) in [
        ("redshank_version_1.ron", "torque curve"),
        ("redshank_version_2.ron", "torque curve"),
    ] {
        let study = derive(&sample(name));
        let why = study
            .reading("run.quarter")
            .unwrap()
            .value
            .clone()
            .unwrap_err();
        assert!(why.to_string().contains(says), "{name}: {why}");
        assert!(
            !study
                .findings
                .iter()
                .any(|f| f.text.show(&units::Shop::default()).contains("No run"))
        );
        assert!(study.run.plan().is_err());
    }
    let mut b = sample("redshank.ron");
    b.run.gears.clear();
    let study = derive(&b);
    let said: Vec<String> = study
        .findings
        .iter()
        .map(|f| f.text.show(&units::Shop::default()))
        .collect();
    assert!(
        said.iter()
            .any(|s| s.contains("No run: no gear is entered")),
        "{said:?}"
    );
    b = sample("redshank.ron");
    b.power.coilovers.clear();
    let why = derive(&b)
        .run
        .run
        .as_ref()
        .unwrap_err()
        .show(&units::Shop::default());
    assert_eq!(why, "no coil-overs are drawn yet");
}

/// Both couplings are shown by the samples, whole: a run, a goal, runs in the log that the model is near to.
#[test]
fn both_samples_have_a_run_a_goal_and_a_log() {
    for (name, converter) in [("redshank.ron", false), ("whimbrel.ron", true)] {
        let b = sample(name);
        assert_eq!(
            matches!(b.run.coupling, CouplingData::Converter(_)),
            converter,
            "{name}"
        );
        let study = derive(&b);
        assert!(study.run.goal.unwrap().over.is_some(), "{name}");
        assert!(study.run.plan().unwrap().bars.len() == 9, "{name}");
        let log = study.run.log();
        assert!(log.len() >= 2, "{name}");
        for (record, predicted) in b.run.log.iter().zip(log.iter()) {
            let slip = predicted.slip.as_ref().unwrap();
            let (m, p) = (
                record.times.quarter.unwrap().si(),
                slip.clock(StripMark::Quarter),
            );
            assert!((m / p - 1.0).abs() < 0.04, "{name} {}: {m} {p}", record.id);
        }
        assert!(study.run.joint_fit().unwrap().fit.is_ok(), "{name}");
    }
}

/// Seats set unlike: the pounds they put on the left rear at the run's greatest acceleration are the balance's,
/// and the clock does not know of them.
#[test]
fn preload_moves_pounds_and_no_time() {
    // Four links that triangulate let the axle roll; five rods would hold it by their elasticity.
    let mut b = sample("whimbrel.ron");
    let held = value(&b, "spring.preload.coil.left");
    let set = |b: &mut Build, left: f64, right: f64| {
        b.power.coilovers[0].preload = Some(build::Preload {
            left: Length::from_si(left),
            right: Length::from_si(right),
        });
    };
    set(&mut b, held, held);
    assert_eq!(value(&b, "run.preload_shift"), 0.0);
    let clock = value(&b, "run.quarter");
    let with = |by: f64| {
        let mut b = b.clone();
        set(&mut b, held + by, held - by);
        (value(&b, "run.preload_shift"), value(&b, "run.quarter"))
    };
    let ((up, t), (down, _)) = (with(0.004), with(-0.004));
    // More squeeze on the left loads the left; the other way round the other tyre, alike.
    assert!(up > 1.0 && (up + down).abs() < 0.05 * up, "{up} {down}");
    assert!((t - clock).abs() < 1e-3, "{t} {clock}");
    // Twice the turn, twice the pounds.
    assert!((with(0.008).0 / up - 2.0).abs() < 0.1);
}

#[test]
fn the_goal_is_judged_and_the_easiest_change_meets_it() {
    let mut b = sample("redshank.ron");
    let quarter = value(&b, "run.quarter");
    b.run.goal = Some(Goal {
        over: GoalOver::Quarter,
        time: Time::from_si(quarter - 0.15),
    });
    let study = derive(&b);
    assert!((study.run.goal.unwrap().over.unwrap() - 0.15).abs() < 1e-9);
    assert!(study.reading("run.quarter").unwrap().status().is_out());
    let plan = study.run.plan().unwrap();
    let change = plan.easiest().unwrap();
    assert!(
        change.then <= quarter - 0.15 && change.then > quarter - 0.17,
        "{change:?}"
    );
    // Done to the build it does what it says: more friction.
    assert_eq!(change.parameter, build::Parameter::Friction);
    let mut done = b.clone();
    done.power.friction = Count::from_si(b.power.friction.si() * (1.0 + change.by));
    assert!((value(&done, "run.quarter") - change.then).abs() < 2e-3);
    // A goal that is met wants no change.
    b.run.goal = Some(Goal {
        over: GoalOver::Quarter,
        time: Time::from_si(quarter + 0.1),
    });
    let study = derive(&b);
    assert!(study.run.plan().unwrap().changes.is_empty());
    assert!(!study.reading("run.quarter").unwrap().status().is_out());
}

#[test]
fn more_friction_weight_and_power_move_the_times_as_they_should() {
    let b = sample("redshank.ron");
    let with = |change: &dyn Fn(&mut Build)| {
        let mut c = b.clone();
        change(&mut c);
        (value(&c, "run.sixty_foot"), value(&c, "run.quarter"))
    };
    let (sixty, quarter) = with(&|_| {});
    let grip = with(&|c| c.power.friction = Count::from_si(1.3 * c.power.friction.si()));
    assert!(grip.0 < sixty && grip.1 < quarter);
    let heavy = with(&|c| c.car.mass = Mass::from_si(1.1 * c.car.mass.si()));
    assert!(heavy.1 > quarter);
    let strong = with(&|c| {
        for p in &mut c.run.torque {
            p.1 = units::Torque::from_si(1.2 * p.1.si());
        }
    });
    assert!(strong.1 < quarter);
    // Later on the clock without rollout, by the rollout's own time.
    let no_rollout = with(&|c| c.run.rollout = Length::from_si(0.0));
    assert!(no_rollout.1 > quarter + 0.2);
}

#[test]
fn converter_capacity_is_read_in_the_shops_unit() {
    let mut b = sample("redshank.ron");
    // 150 rpm/√(lb·ft) at stall: with 400 lb·ft it stalls at 3000 rpm.
    b.run.coupling = CouplingData::Converter(vec![
        (0.0, 150.0, 2.0),
        (0.5, 150.0, 1.5),
        (0.9, 165.0, 1.0),
        (1.0, 400.0, 1.0),
    ]);
    b.run.launch = RotationSpeed::from_si(3000.0 * std::f64::consts::PI / 30.0);
    let study = derive(&b);
    let car = study.run.car.as_ref().unwrap();
    let build_capacity = match &car.driveline.coupling {
        vehicle::run::Coupling::Converter(c) => c.capacity[0],
        vehicle::run::Coupling::Clutch => panic!("a converter was entered"),
    };
    // T = ω²/K² = 400 lb·ft at 3000 rpm; 11.12 rpm/√(lb·ft) is 1 rad/s/√(N·m) (SAE J643 units).
    let torque = (car.driveline.launch_speed / build_capacity).powi(2);
    assert!(
        (torque / 1.355_817_948_331_4 - 400.0).abs() < 0.05,
        "{torque}"
    );
    assert!((150.0 / build_capacity - 11.12).abs() < 0.002);
    assert!(study.run.run.is_ok());
}

#[test]
fn the_scales_and_the_raised_axle_speak() {
    let b = sample("redshank.ron");
    let study = derive(&b);
    let corners = study.run.corners.as_ref().unwrap().as_ref().unwrap();
    // 733 + 771 over 3050 lb, by hand.
    assert!((corners.cross_percent - 100.0 * (733.0 + 771.0) / 3050.0).abs() < 1e-9);
    assert!((value(&b, "run.cross_weight") - 0.01 * corners.cross_percent).abs() < 1e-12);
    let h = study.run.height.as_ref().unwrap().as_ref().unwrap();
    assert!(h.sigma > 0.0 && (h.height - b.car.cg_height.si()).abs() < 2.0 * h.sigma);
    let mut history = History::new(b.clone());
    history
        .apply(&Edit::Run(RunEdit::Scales {
            scales: b.run.scales,
            take: true,
        }))
        .unwrap();
    let pounds = history.build().car.mass.si() / 0.453_592_37;
    assert!((pounds - 3050.0).abs() < 1e-6);
    assert!((history.build().car.rear_share.si() - 1555.0 / 3050.0).abs() < 1e-9);
    let mut far = b.clone();
    far.car.cg_height = Length::from_inches(28.0);
    let study = derive(&far);
    assert!(
        study
            .findings
            .iter()
            .any(|f| f.part == Part::Field("car.cg_height"))
    );
}

#[test]
fn a_setting_is_stored_compared_and_restored_in_one_step() {
    let mut b = sample("redshank.ron");
    b.run.log[0].setting = RunSetting::of(&b);
    let mut history = History::new(b.clone());
    let other = Edit::SetHole {
        link: "upper".to_owned(),
        end: build::End::Frame,
        side: build::Side::Both,
        hole: 3,
    };
    history.apply(&other).unwrap();
    history
        .apply(&Edit::Field {
            id: "run.launch".to_owned(),
            si: 300.0,
        })
        .unwrap();
    let now = RunSetting::of(history.build());
    let changed = changed_since(history.build(), &b.run.log[0].setting, &now);
    let what: Vec<&str> = changed.iter().map(|c| c.what.as_str()).collect();
    assert_eq!(what, ["upper link, frame end", "Launch rpm"]);
    let before = history.build().clone();
    history
        .apply(&Edit::Run(RunEdit::Restore("R1".to_owned())))
        .unwrap();
    assert_eq!(RunSetting::of(history.build()), b.run.log[0].setting);
    assert_eq!(history.build().rear, b.rear);
    history.undo();
    assert_eq!(*history.build(), before);
    // A part that is gone is said, and nothing is half restored.
    let mut gone = (*before).clone();
    gone.run.log[0].setting.links[0].link = "ghost".to_owned();
    let mut history = History::new(gone.clone());
    let e = history
        .apply(&Edit::Run(RunEdit::Restore("R1".to_owned())))
        .unwrap_err();
    assert!(e.to_string().contains("ghost"), "{e}");
    assert_eq!(**history.build(), gone);
}

#[test]
fn a_measured_sixty_foot_gives_the_friction_that_made_it() {
    let mut b = sample("redshank.ron");
    // A time slip the model itself wrote with another friction.
    let mut truth = b.clone();
    truth.power.friction = Count::from_si(1.2 * b.power.friction.si());
    b.run.log.truncate(1);
    let record = &mut b.run.log[0];
    record.setting = RunSetting::of(&truth);
    record.weather = truth.run.weather;
    record.times.sixty_foot = Some(Time::from_si(value(&truth, "run.sixty_foot")));
    let study = derive(&b);
    let log = study.run.log();
    let fit = log[0].friction.as_ref().unwrap().as_ref().unwrap();
    assert!(
        (fit.friction - truth.power.friction.si()).abs() < 2e-3,
        "{fit:?}"
    );
    assert!(fit.sigma > 0.0);
    // Kept beside the prior until somebody takes it.
    assert!((value(&b, "run.sixty_foot") - truth_time(&b)).abs() < 1e-12);
    let mut history = History::new(b);
    history
        .apply(&Edit::Run(RunEdit::TakeFriction(fit.friction)))
        .unwrap();
    assert!(
        (value(history.build(), "run.sixty_foot") - value(&truth, "run.sixty_foot")).abs() < 2e-3
    );
}

/// Clocks the model wrote with other tyres and the engine held lower than was written down.
#[test]
fn friction_and_launch_rpm_are_fitted_together_and_taken_in_one_step() {
    let rpm = |x: f64| RotationSpeed::from_si(x * std::f64::consts::PI / 30.0);
    let mut b = sample("redshank.ron");
    b.power.friction = Count::from_si(1.45);
    b.run.take_up = Time::from_si(0.0);
    // Less engine, so that how it leaves shows too; hardly any doubt of the rest.
    for point in &mut b.run.torque {
        point.1 = units::Torque::from_si(0.8 * point.1.si());
    }
    b.run.unsure = build::Unsure {
        power: units::Ratio::from_si(0.001),
        mass: Mass::from_si(0.1),
        friction: units::Ratio::from_si(0.3),
        cg_height: Length::from_si(0.001),
        cg_station: Length::from_si(0.001),
        launch: rpm(600.0),
    };
    let first = b.run.log[0].clone();
    b.run.log.clear();
    for (k, launch) in [1900.0, 2500.0, 3300.0].into_iter().enumerate() {
        let mut truth = b.clone();
        truth.run.launch = rpm(launch - 150.0);
        truth.power.friction = Count::from_si(1.18);
        let mut record = first.clone();
        record.id = format!("R{k}");
        record.learn = true;
        record.setting = RunSetting::of(&truth);
        record.setting.launch = rpm(launch);
        record.weather = truth.run.weather;
        record.times.sixty_foot = Some(Time::from_si(value(&truth, "run.sixty_foot")));
        record.times.three_thirty = Some(Time::from_si(value(&truth, "run.three_thirty")));
        b.run.log.push(record);
    }
    let study = derive(&b);
    let joint = study.run.joint_fit().unwrap();
    let fit = joint.fit.as_ref().unwrap();
    assert!((fit.friction - 1.18).abs() < 0.02, "{fit:?}");
    assert!(
        (joint.off.unwrap() + 150.0 * std::f64::consts::PI / 30.0).abs() < 3.0,
        "{fit:?}"
    );
    assert_eq!(joint.runs, ["R0", "R1", "R2"]);
    assert!(joint.stands_out().is_none());
    // Nothing moves until it is taken, and then both move in one step.
    assert_eq!(b.run.launch_off.si().to_bits(), 0.0_f64.to_bits());
    let mut history = History::new(b.clone());
    let (friction, off) = (fit.friction, joint.off.unwrap());
    history
        .apply(&Edit::Run(RunEdit::TakeLaunchFit { friction, off }))
        .unwrap();
    let taken = history.build();
    assert_eq!(
        (taken.power.friction.si(), taken.run.launch_off.si()),
        (friction, off)
    );
    let car = derive(taken).run.car.as_ref().unwrap().clone();
    assert!((car.driveline.launch_speed - taken.run.launch.si() - off).abs() < 1e-12);
    // Fitted again about what was taken, it stays there.
    let again = derive(taken).run.joint_fit().unwrap();
    assert!((again.off.unwrap() - off).abs() < 2.0, "{again:?}");
    history.undo();
    assert_eq!(**history.build(), b);
    // A wild time is named by its run.
    b.run.log[1].times.sixty_foot = Some(Time::from_si(1.2));
    let joint = derive(&b).run.joint_fit().unwrap();
    assert_eq!(joint.stands_out().unwrap().0, "R1");
    assert!(
        joint
            .says()
            .iter()
            .any(|p| p.show(&units::Shop::default()).contains("Run R1 is"))
    );
    // Without a ticked run there is nothing to fit.
    b.run.log.iter_mut().for_each(|r| r.learn = false);
    assert!(derive(&b).run.joint_fit().is_none());
}

fn truth_time(b: &Build) -> f64 {
    let study = derive(b);
    study
        .run
        .run
        .as_ref()
        .unwrap()
        .slip
        .clock(StripMark::SixtyFoot)
}

#[test]
fn advice_names_the_number_it_follows_from() {
    let b = sample("redshank.ron");
    let study = derive(&b);
    let shop = units::Shop::default();
    for seen in Seen::ALL {
        let mut record = b.run.log[0].clone();
        record.seen = vec![seen];
        let said: Vec<String> = run_advice(&study, &record)
            .iter()
            .map(|p| p.show(&shop))
            .collect();
        if seen == Seen::Clean {
            assert!(said.is_empty());
        } else {
            assert_eq!(said.len(), 1, "{seen:?}");
            assert!(said[0].chars().any(|c| c.is_ascii_digit()), "{said:?}");
        }
    }
    let mut record = b.run.log[0].clone();
    record.seen = vec![Seen::PulledRight];
    let said = run_advice(&study, &record)[0].show(&shop);
    // The engine turns the usual way: torque loads the left rear.
    assert!(said.contains("left rear carries"), "{said}");

    assert!(said.contains("turn the right seat up"), "{said}");
    assert!(said.contains("1/8\" of seat moves"), "{said}");
}
