//! Friction and launch speed together from the clock: what is known is found again, the spread is that of
//! simulated measurements and of a grid of all pairs, and what the times can not tell is said.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

#[allow(dead_code, reason = "shared with other tests")]
mod runner;

use runner::{model, street};
use vehicle::run::{
    Clocked, FrictionFit, InputSigma, LaunchFit, LaunchFitError, LaunchPrior, Mark, Parameter, RPM,
    RunCar, RunSettings, Timed,
};

/// A car whose tyres hold what the engine gives for part of the 60 ft, so that both matter.
fn between(launch: f64) -> RunCar {
    let mut car = street();
    car.tyre.friction = 1.45;
    car.driveline.launch_speed = launch * RPM;
    car
}

fn clock(car: &RunCar, marks: &[Mark]) -> Vec<f64> {
    let fine = RunSettings::default().finer(100.0);
    model(car).clocks(marks, &fine).unwrap()
}

/// The run of a car whose tyres and launch are other than was thought.
fn timed(written: f64, friction: f64, off: f64, marks: &[Mark], sigma: f64) -> Timed {
    let mut true_car = between(written + off);
    true_car.tyre.friction = friction;
    let times = clock(&true_car, marks);
    Timed {
        car: between(written),
        settings: RunSettings::default(),
        clocked: marks
            .iter()
            .zip(times)
            .map(|(&mark, time)| Clocked { mark, time, sigma })
            .collect(),
    }
}

const SIXTY: &[Mark] = &[Mark::SixtyFoot];
const BOTH: &[Mark] = &[Mark::SixtyFoot, Mark::ThreeThirty];

fn prior(friction: f64) -> LaunchPrior {
    LaunchPrior {
        friction,
        friction_sigma: 0.15,
        launch_sigma: 300.0 * RPM,
    }
}

/// Clean clocks and hardly any prior: what the times were made with comes back.
#[test]
fn a_known_pair_is_found_again() {
    for (friction, off) in [(1.3, -200.0), (1.4, 150.0), (1.34, -80.0)] {
        let runs = [1900.0, 2600.0, 3400.0].map(|rpm| timed(rpm, friction, off, BOTH, 1e-4));
        let vague = LaunchPrior {
            friction: 1.2,
            friction_sigma: 1.0,
            launch_sigma: 3000.0 * RPM,
        };
        let fit = LaunchFit::of(&runs, &vague, &[]).unwrap();
        assert!(
            (fit.friction - friction).abs() < 3e-3 && (fit.launch / RPM - off).abs() < 3.0,
            "{friction} {off}: {fit:?}"
        );
        assert!(fit.tells_friction() && fit.tells_launch() && fit.tells_apart());
        assert_eq!(fit.left.len(), 6);
    }
}

/// The prior may have more grip than is ever used, where the slope by friction is zero: the way is found still.
#[test]
fn a_prior_with_grip_to_spare_is_left() {
    let runs = [1900.0, 2600.0, 3400.0].map(|rpm| timed(rpm, 1.2, -100.0, BOTH, 0.003));
    let generous = LaunchPrior {
        friction_sigma: 0.3,
        ..prior(1.9)
    };
    let fit = LaunchFit::of(&runs, &generous, &[]).unwrap();
    assert!(
        (fit.friction - 1.2).abs() < 0.01 && fit.worst < 1.0,
        "{fit:?}"
    );
}

/// More grip than is ever used does not show: the least that gives the times is found, and it says that a
/// limit takes over there.
#[test]
fn grip_to_spare_is_marked() {
    let runs = [1900.0, 2600.0, 3400.0].map(|rpm| timed(rpm, 1.6, -80.0, BOTH, 1e-3));
    let fit = LaunchFit::of(&runs, &prior(1.35), &[]).unwrap();
    assert!(fit.kinked && fit.friction < 1.5, "{fit:?}");
    assert!((fit.launch / RPM + 80.0).abs() < 3.0);
}

/// Where the tyres hold all the way the launch speed changes nothing: friction is what bracketing finds,
/// weighed with the prior by inverse variance, and of the launch speed nothing is known but the prior.
#[test]
fn at_the_tyres_limit_it_is_the_friction_fit() {
    let others = [(Parameter::Power, 0.03), (Parameter::CgHeight, 0.0127)]
        .map(|(parameter, sigma)| InputSigma { parameter, sigma });
    let run = timed(3500.0, 1.02, 0.0, SIXTY, 0.01);
    for others in [&[][..], &others] {
        let measured = run.clocked[0].time;
        let settings = RunSettings::default();
        let one = FrictionFit::of(&run.car, &settings, measured, 0.01, others).unwrap();
        let prior = prior(1.0);
        let (friction, sigma) = one.combined(prior.friction, prior.friction_sigma).unwrap();
        let fit = LaunchFit::of(std::slice::from_ref(&run), &prior, others).unwrap();
        assert!(
            (fit.friction - friction).abs() < 1e-4,
            "{} {friction}",
            fit.friction
        );
        assert!(
            (fit.friction_sigma / sigma - 1.0).abs() < 0.02,
            "{} {sigma}",
            fit.friction_sigma
        );
        assert!(
            fit.launch.abs() < 1e-3 * RPM
                && (fit.launch_sigma / prior.launch_sigma - 1.0).abs() < 1e-6
        );
        assert!(fit.tells_friction() && !fit.tells_launch() && fit.tells_apart());
    }
}

/// The other inputs are the same car's in every run: four runs narrow the clock's part by half, not theirs.
#[test]
fn what_the_runs_share_does_not_average_out() {
    let others = [InputSigma {
        parameter: Parameter::CgHeight,
        sigma: 0.02,
    }];
    let run = timed(3500.0, 1.0, 0.0, SIXTY, 0.02);
    let vague = LaunchPrior {
        friction_sigma: 10.0,
        ..prior(1.0)
    };
    let one = FrictionFit::of(&run.car, &run.settings, run.clocked[0].time, 0.02, &others).unwrap();
    let shared = one.sigma.powi(2) - one.sigma_of_time.powi(2);
    let expected = (shared + one.sigma_of_time.powi(2) / 4.0).sqrt();
    let runs = [run.clone(), run.clone(), run.clone(), run];
    let fit = LaunchFit::of(&runs, &vague, &others).unwrap();
    assert!(
        (fit.friction_sigma / expected - 1.0).abs() < 0.02,
        "{} {expected}",
        fit.friction_sigma
    );
}

/// Tyres that never let go: the times say how it left, and nothing of the tyres.
#[test]
fn with_grip_to_spare_only_the_launch_is_told() {
    let run = timed(2000.0, 1.9, -150.0, SIXTY, 0.005);
    let fit = LaunchFit::of(&[run], &prior(1.9), &[]).unwrap();
    assert!(!fit.tells_friction() && fit.tells_launch(), "{fit:?}");
    assert!((fit.friction - 1.9).abs() < 1e-6);
    assert!(
        (fit.launch / RPM + 150.0).abs() < 15.0,
        "{}",
        fit.launch / RPM
    );
}

/// One time, two unknowns that both move it: a line of pairs, and it says so.
#[test]
fn one_time_does_not_tell_the_two_apart() {
    let run = timed(2600.0, 1.35, 0.0, SIXTY, 0.002);
    let fit = LaunchFit::of(&[run], &prior(1.35), &[]).unwrap();
    assert!(fit.correlation < -0.9 && !fit.tells_apart(), "{fit:?}");
}

/// Mean and spread against all pairs of a fine grid weighed by their likelihood (Bayes), which knows no slopes.
#[test]
fn the_spread_is_that_of_a_grid_of_all_pairs() {
    let runs = [
        timed(1900.0, 1.38, 60.0, BOTH, 0.01),
        timed(3300.0, 1.38, 60.0, BOTH, 0.01),
    ];
    let prior = LaunchPrior {
        friction_sigma: 0.06,
        launch_sigma: 150.0 * RPM,
        ..prior(1.35)
    };
    let fit = LaunchFit::of(&runs, &prior, &[]).unwrap();
    let mut sums = [0.0; 6];
    let n = 60;
    for i in 0..=n {
        for j in 0..=n {
            let place = |k: i32| 5.0 * (2.0 * f64::from(k) / f64::from(n) - 1.0);
            let (mu, off) = (
                fit.friction + place(i) * fit.friction_sigma,
                fit.launch + place(j) * fit.launch_sigma,
            );
            let mut cost = ((mu - prior.friction) / prior.friction_sigma).powi(2)
                + (off / prior.launch_sigma).powi(2);
            for run in &runs {
                let mut car = run.car.clone();
                car.tyre.friction = mu;
                car.driveline.launch_speed += off;
                let times = model(&car).clocks(BOTH, &run.settings).unwrap();
                for (c, t) in run.clocked.iter().zip(times) {
                    cost += ((c.time - t) / c.sigma).powi(2);
                }
            }
            let weight = (-0.5 * cost).exp();
            for (sum, x) in sums
                .iter_mut()
                .zip([1.0, mu, off, mu * mu, off * off, mu * off])
            {
                *sum += weight * x;
            }
        }
    }
    let mean = |k: usize| sums[k] / sums[0];
    let (mu, off) = (mean(1), mean(2));
    let (s_mu, s_off) = ((mean(3) - mu * mu).sqrt(), (mean(4) - off * off).sqrt());
    let correlation = (mean(5) - mu * off) / (s_mu * s_off);
    println!(
        "{fit:?}\n{mu} {} {s_mu} {} {correlation}",
        off / RPM,
        s_off / RPM
    );
    assert!((fit.friction - mu).abs() < 0.3 * s_mu && (fit.launch - off).abs() < 0.3 * s_off);
    assert!((fit.friction_sigma / s_mu - 1.0).abs() < 0.15);
    assert!((fit.launch_sigma / s_off - 1.0).abs() < 0.15);
    assert!((fit.correlation - correlation).abs() < 0.1);
}

/// A time nobody could drive is not explained away.
#[test]
fn a_time_that_no_pair_gives_stands_out() {
    let mut run = timed(2600.0, 1.4, 0.0, SIXTY, 0.01);
    run.clocked[0].time -= 0.6;
    let fit = LaunchFit::of(&[run.clone()], &prior(1.4), &[]).unwrap();
    assert!(fit.worst > 10.0 && fit.left[0] < -0.2, "{fit:?}");
    let honest = timed(2600.0, 1.4, 0.0, SIXTY, 0.01);
    assert!(LaunchFit::of(&[honest], &prior(1.4), &[]).unwrap().worst < 0.1);
}

#[test]
fn what_can_not_be_is_named() {
    let run = timed(2600.0, 1.4, 0.0, SIXTY, 0.01);
    let good = prior(1.4);
    let nothing = Timed {
        clocked: Vec::new(),
        ..run.clone()
    };
    for runs in [vec![], vec![nothing]] {
        let e = LaunchFit::of(&runs, &good, &[]).unwrap_err();
        assert_eq!(e, LaunchFitError::NothingClocked);
    }
    for v in [f64::NAN, f64::INFINITY, 0.0, -1.0] {
        for bad in [
            LaunchPrior {
                friction: v,
                ..good
            },
            LaunchPrior {
                friction_sigma: v,
                ..good
            },
            LaunchPrior {
                launch_sigma: v,
                ..good
            },
        ] {
            assert!(LaunchFit::of(std::slice::from_ref(&run), &bad, &[]).is_err());
        }
        let mut odd = run.clone();
        odd.clocked[0].time = v;
        assert!(LaunchFit::of(&[odd], &good, &[]).is_err());
        let mut odd = run.clone();
        odd.clocked[0].sigma = v;
        assert!(LaunchFit::of(&[odd], &good, &[]).is_err());
        if v != 0.0 {
            let other = InputSigma {
                parameter: Parameter::Power,
                sigma: v,
            };
            assert!(LaunchFit::of(std::slice::from_ref(&run), &good, &[other]).is_err());
        }
    }
    let mut stuck = run;
    stuck.car.engine.torque.iter_mut().for_each(|t| *t = 0.0);
    let e = LaunchFit::of(&[stuck], &good, &[]).unwrap_err();
    assert!(matches!(e, LaunchFitError::Run(_)), "{e}");
}
