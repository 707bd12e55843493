//! Sensitivities, error bars, simulated runs, friction fit.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

#[allow(dead_code, reason = "shared with other tests")]
mod runner;

use runner::{model, street};
use vehicle::run::{
    FRICTION_RANGE, FrictionError, FrictionFit, InputSigma, Mark, Parameter, RPM, Reading, RunCar,
    RunError, RunSettings, Sensitivities, simulate,
};

const SIXTY: Reading = Reading::Clock(Mark::SixtyFoot);
const QUARTER: Reading = Reading::Clock(Mark::Quarter);

fn sixty(car: &RunCar) -> f64 {
    let slip = model(car).slip(&RunSettings::default()).unwrap();
    slip.clock(Mark::SixtyFoot)
}

#[test]
fn parameters_move_what_they_say() {
    let car = street();
    let high = car.varied(Parameter::CgHeight, 0.01);
    assert!((high.cg_height() - car.cg_height() - 0.01).abs() < 1e-12);
    let ahead = car.varied(Parameter::CgStation, 0.01);
    assert!((ahead.cg_station() - car.cg_station() - 0.01).abs() < 1e-12);
    let heavy = car.varied(Parameter::Mass, 0.01);
    assert!((heavy.mass() / car.mass() - 1.01).abs() < 1e-12);
    assert!((heavy.cg_height() - car.cg_height()).abs() < 1e-12);
    assert!((heavy.cg_station() - car.cg_station()).abs() < 1e-12);
    let ratio = heavy.pitch_inertia / heavy.sprung_mass;
    assert!((ratio - car.pitch_inertia / car.sprung_mass).abs() < 1e-12);
    let squat = car.varied(Parameter::AntiSquat, 0.05);
    for s in [-0.08, 0.0, 0.05] {
        assert!((squat.anti_squat(s) - car.anti_squat(s) - 0.05).abs() < 1e-12);
    }
    let strong = car.varied(Parameter::Power, 0.01);
    assert!((strong.engine.peak_power().0 / car.engine.peak_power().0 - 1.01).abs() < 1e-12);
    // Back and forth is nothing.
    for p in Parameter::ALL {
        assert_eq!(car.varied(p, 0.0), {
            let mut same = car.clone();
            if p == Parameter::Mass {
                same = car.varied(Parameter::Mass, 0.0);
            }
            same
        });
    }
}

/// Signs that hold for any car that spins in first gear and pulls later.
#[test]
fn signs_of_the_slopes() {
    let car = street();
    let s = Sensitivities::of(&car, &RunSettings::default()).unwrap();
    let slope = |p, r| s.slope(p, r).unwrap().central;
    assert!(slope(Parameter::Power, QUARTER) < 0.0);
    assert!(slope(Parameter::Mass, QUARTER) > 0.0);
    assert!(slope(Parameter::Friction, SIXTY) < 0.0);
    assert!(slope(Parameter::CgHeight, SIXTY) < 0.0);
    assert!(slope(Parameter::CgStation, SIXTY) > 0.0);
    assert!(slope(Parameter::Power, Reading::QuarterTrap) > 0.0);
    // Traction-limited over 60 ft: launch rpm and power change nothing there.
    assert!(slope(Parameter::LaunchSpeed, SIXTY).abs() * 100.0 * RPM < 1e-6);
    assert!(slope(Parameter::Power, SIXTY).abs() < 1e-3);
    // Anti-squat hardly moves the time of a perfect driver: 40 points, less than 0.01 s.
    assert!(slope(Parameter::AntiSquat, SIXTY).abs() * 0.4 < 0.01);
    assert_eq!(s.effects.len(), Parameter::ALL.len());
    // A slope is the difference of two runs.
    let more = sixty(&car.varied(Parameter::Friction, 0.01));
    let less = sixty(&car.varied(Parameter::Friction, -0.01));
    assert!((slope(Parameter::Friction, SIXTY) - (more - less) / 0.02).abs() < 0.02);
}

/// Launch rpm at the edge of traction: less rpm costs time, more does not.
#[test]
fn a_limit_in_between_shows_two_slopes() {
    let mut car = street();
    // Torque rises steeply to 3500 rpm, then more than the tyres hold.
    for torque in &mut car.engine.torque {
        *torque *= 0.62;
    }
    car.driveline.launch_speed = 2600.0 * RPM;
    let mut found = false;
    for friction in [0.95, 1.0, 1.05, 1.1, 1.15, 1.2, 1.25, 1.3] {
        car.tyre.friction = friction;
        let s = Sensitivities::of(&car, &RunSettings::default()).unwrap();
        for effect in &s.effects {
            let slope = effect.slope(SIXTY).unwrap();
            let (a, b) = (slope.below.unwrap(), slope.above.unwrap());
            let apart = (a - b).abs() > 0.2 * a.abs().max(b.abs());
            // Marked only where they differ, and always where that can be read off a clock.
            assert!(!slope.kinked || apart);
            if apart && (a - b).abs() * effect.step > 1e-3 {
                assert!(slope.kinked, "{}", effect.parameter);
            }
            assert!((slope.central - 0.5 * (a + b)).abs() < 1e-12);
            found |= slope.kinked;
        }
    }
    assert!(found, "no limit between in any of these cars");
}

/// At the end of the torque table there is only one side; the reason of the other is kept.
#[test]
fn one_sided_where_the_other_has_no_run() {
    let mut car = street();
    car.driveline.shift_speed = vec![car.engine.last(); 3];
    let s = Sensitivities::of(&car, &RunSettings::default()).unwrap();
    let effect = s.effect(Parameter::ShiftSpeed).unwrap();
    assert!(matches!(
        effect.above,
        Some(RunError::OutOfRange {
            what: "shift speed",
            ..
        })
    ));
    let slope = effect.slope(QUARTER).unwrap();
    assert!(slope.above.is_none() && !slope.kinked);
    assert_eq!(Some(slope.central), slope.below);
}

fn sigmas() -> Vec<InputSigma> {
    [
        (Parameter::Power, 0.02),
        (Parameter::Mass, 0.005),
        (Parameter::Friction, 0.03),
        (Parameter::CgHeight, 0.01),
        (Parameter::Dampers, 0.05),
    ]
    .map(|(parameter, sigma)| InputSigma { parameter, sigma })
    .to_vec()
}

/// The linear error bar against simulated runs of the same model.
#[test]
fn error_bars_agree_with_simulated_runs() {
    let car = street();
    let settings = RunSettings::default();
    let s = Sensitivities::of(&car, &settings).unwrap();
    let runs = 400;
    let sim = simulate(&car, &settings, &sigmas(), runs, 42, |_| true).unwrap();
    assert_eq!((sim.runs, sim.failed, sim.stopped), (runs, 0, false));
    for reading in [SIXTY, QUARTER, Reading::ZeroSixty, Reading::QuarterTrap] {
        let bar = s.error_bar(reading, &sigmas()).unwrap().unwrap();
        let spread = sim.spreads[reading.index()].unwrap();
        // σ of 400 runs is itself known to 3.5 %.
        assert!(
            (spread.sigma / bar.sigma - 1.0).abs() < 0.15,
            "{reading:?}: {} {}",
            spread.sigma,
            bar.sigma
        );
        assert!((spread.mean - bar.value).abs() < 0.3 * bar.sigma);
        assert!(spread.low < spread.median && spread.median < spread.high);
        let sum: f64 = bar.contributions.iter().map(|c| c.amount.powi(2)).sum();
        assert!((sum.sqrt() - bar.sigma).abs() < 1e-12);
        assert_eq!(bar.largest().len(), 3);
        assert!(bar.largest()[0].amount >= bar.contributions[4].amount);
    }
    let bar = s.error_bar(SIXTY, &sigmas()).unwrap().unwrap();
    assert_eq!(bar.largest()[0].parameter, Parameter::Friction);
    // The share below the median is a half, below the 5 % quantile a twentieth; the bins hold every run.
    let spread = sim.spreads[QUARTER.index()].unwrap();
    let share = |limit: f64| sim.share_within(QUARTER, limit).unwrap();
    assert!((share(spread.median) - 0.5).abs() < 0.003 && (share(spread.low) - 0.05).abs() < 0.003);
    assert_eq!((share(0.0), share(60.0)), (0.0, 1.0));
    let (least, width, bins) = sim.bins(QUARTER, 20).unwrap();
    assert_eq!(bins.iter().sum::<usize>(), runs);
    assert!((least + 20.0 * width - sim.values[QUARTER.index()].last().unwrap()).abs() < 1e-9);
    let below: usize = bins[..10].iter().sum();
    assert!((below as f64 / runs as f64 - share(least + 10.0 * width)).abs() < 0.004);
    assert!(sim.bins(QUARTER, 0).is_none());
    // Inputs that are known for sure give one value over and over.
    let sure = simulate(&car, &settings, &[], 5, 1, |_| true).unwrap();
    assert_eq!(sure.bins(QUARTER, 4).unwrap().2, [5, 0, 0, 0]);
    // The same seed, the same runs; another seed, others; stopped when told.
    let again = simulate(&car, &settings, &sigmas(), 20, 42, |_| true).unwrap();
    let same = simulate(&car, &settings, &sigmas(), 20, 42, |_| true).unwrap();
    let other = simulate(&car, &settings, &sigmas(), 20, 43, |_| true).unwrap();
    assert_eq!(again, same);
    assert_ne!(again, other);
    let cut = simulate(&car, &settings, &sigmas(), 20, 42, |done| done < 5).unwrap();
    assert!(cut.stopped && cut.runs == 5);
}

#[test]
fn bad_error_bars_are_named() {
    let car = street();
    let settings = RunSettings::default();
    let s = Sensitivities::of(&car, &settings).unwrap();
    for sigma in [f64::NAN, f64::INFINITY, -0.1] {
        let bad = [InputSigma {
            parameter: Parameter::Power,
            sigma,
        }];
        assert!(s.error_bar(QUARTER, &bad).is_err());
        assert!(simulate(&car, &settings, &bad, 10, 1, |_| true).is_err());
        assert!(FrictionFit::of(&car, &settings, 2.0, sigma, &[]).is_err());
        assert!(FrictionFit::of(&car, &settings, sigma, 0.01, &[]).is_err());
    }
    assert!(simulate(&car, &settings, &[], 0, 1, |_| true).is_err());
}

#[test]
fn a_known_friction_is_found_again() {
    let settings = RunSettings::default();
    for friction in [0.7, 0.95, 1.2, 1.4] {
        let mut car = street();
        car.tyre.friction = friction;
        let measured = model(&car)
            .slip(&settings.finer(100.0))
            .unwrap()
            .clock(Mark::SixtyFoot);
        car.tyre.friction = 1.0;
        let fit = FrictionFit::of(&car, &settings, measured, 0.01, &[]).unwrap();
        assert!((fit.friction - friction).abs() < 1e-7, "{}", fit.friction);
        assert!((fit.sigma - 0.01 / fit.slope.abs()).abs() < 1e-12);
        // Other inputs widen it.
        let wide = FrictionFit::of(&car, &settings, measured, 0.01, &sigmas()).unwrap();
        assert!(wide.sigma > fit.sigma && (wide.sigma_of_time - fit.sigma).abs() < 1e-12);
    }
}

/// σ of the fit against fits of simulated measurements with ± 20 ms of timing error.
#[test]
fn sigma_of_the_fit_by_simulation() {
    let car = street();
    let settings = RunSettings::default();
    let truth = model(&car)
        .slip(&settings.finer(100.0))
        .unwrap()
        .clock(Mark::SixtyFoot);
    let fit = FrictionFit::of(&car, &settings, truth, 0.02, &[]).unwrap();
    // Quantiles of the normal distribution at (i + ½)/20, so that twenty draws have its σ (within 3 %).
    let z = [
        0.0627, 0.1891, 0.3186, 0.4538, 0.5978, 0.7554, 0.9346, 1.1503, 1.4395, 1.9600,
    ];
    let found: Vec<f64> = z
        .iter()
        .flat_map(|z| [truth + 0.02 * z, truth - 0.02 * z])
        .map(|t| {
            FrictionFit::of(&car, &settings, t, 0.02, &[])
                .unwrap()
                .friction
        })
        .collect();
    let n = found.len() as f64;
    let mean = found.iter().sum::<f64>() / n;
    let spread = (found.iter().map(|f| (f - mean).powi(2)).sum::<f64>() / n).sqrt();
    assert!(
        (spread / fit.sigma - 1.0).abs() < 0.08,
        "{spread} {}",
        fit.sigma
    );
}

#[test]
fn fits_without_an_answer_are_named() {
    let settings = RunSettings::default();
    let car = street();
    let e = FrictionFit::of(&car, &settings, 0.8, 0.01, &[]).unwrap_err();
    assert!(matches!(e, FrictionError::TooFast { .. }) && e.to_string().contains("any friction"));
    let e = FrictionFit::of(&car, &settings, 30.0, 0.01, &[]).unwrap_err();
    assert!(matches!(e, FrictionError::TooSlow { .. }), "{e}");
    // Too little power to spin: no friction is better than another.
    let mut weak = car.clone();
    for torque in &mut weak.engine.torque {
        *torque *= 0.25;
    }
    let fastest = model(&weak).slip(&settings.finer(100.0)).unwrap();
    let measured = fastest.clock(Mark::SixtyFoot) - 1e-6;
    let e = FrictionFit::of(&weak, &settings, measured, 0.01, &[]).unwrap_err();
    assert!(matches!(e, FrictionError::TooFast { .. }), "{e}");
    // A car whose front floats before the tyres let go: more friction hardly helps.
    let mut tippy = car;
    tippy.tyre.friction = FRICTION_RANGE.1;
    tippy.sprung_cg_height = 0.8;
    tippy.sprung_cg_station = 1.15;
    let measured = model(&tippy).slip(&settings.finer(100.0)).unwrap();
    let measured = measured.clock(Mark::SixtyFoot) + 2e-4;
    let e = FrictionFit::of(&tippy, &settings, measured, 0.01, &[]).unwrap_err();
    assert!(matches!(e, FrictionError::DoesNotDepend { .. }), "{e}");
}

/// Two equal σ: the mean, and σ/√2. A sharp fit outweighs a vague prior.
#[test]
fn prior_and_fit() {
    let fit = FrictionFit {
        friction: 1.2,
        sigma: 0.05,
        slope: -1.3,
        sigma_of_time: 0.05,
    };
    let (mu, sigma) = fit.combined(1.0, 0.05).unwrap();
    assert!((mu - 1.1).abs() < 1e-12 && (sigma - 0.05 / 2.0_f64.sqrt()).abs() < 1e-12);
    let (mu, _) = fit.combined(1.0, 5.0).unwrap();
    assert!((mu - 1.2).abs() < 1e-3);
    assert!(fit.combined(1.0, 0.0).is_err());
}
