//! The launch with tyre slip: what must hold though nothing validates it.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

#[allow(dead_code, reason = "shared with other tests")]
mod runner;

use runner::{automatic, model, street};
use vehicle::run::{Limit, Mark, NOT_VALIDATED, RPM, RunError, RunSettings, SlipLaunch, TyreCurve};

fn launch(release: f64) -> SlipLaunch {
    SlipLaunch {
        tyre: TyreCurve::default(),
        throttle: 1.0,
        release_speed: release,
    }
}

/// The curve peaks at κ_p with 1, slides at the share given, and is odd.
#[test]
fn shape_of_the_curve() {
    for (peak_slip, sliding_share) in [(0.1, 0.75), (0.06, 0.9), (0.2, 0.6)] {
        let c = TyreCurve {
            peak_slip,
            sliding_share,
        };
        assert!((c.share(peak_slip) - 1.0).abs() < 1e-12);
        assert!(c.share(0.8 * peak_slip) < 1.0 && c.share(1.3 * peak_slip) < 1.0);
        assert!((c.share(1e9) - sliding_share).abs() < 1e-6);
        assert!((c.share(-0.05) + c.share(0.05)).abs() < 1e-15 && c.share(0.0) == 0.0);
    }
}

/// With little power and a tyre that hardly slips it is the plain run.
#[test]
fn a_stiff_tyre_is_the_plain_run() {
    let mut car = street();
    for torque in &mut car.engine.torque {
        *torque *= 0.35;
    }
    let settings = RunSettings::default();
    let plain = model(&car).run(&settings).unwrap();
    assert_eq!(plain.seconds(Limit::Traction), 0.0);
    let mut how = launch(car.driveline.launch_speed);
    how.tyre.peak_slip = 0.01;
    let slipping = model(&car).run_with_slip(&how, &settings).unwrap();
    for mark in Mark::ALL {
        let (a, b) = (plain.slip.clock(mark), slipping.slip.clock(mark));
        assert!((a - b).abs() < 0.01, "{mark}: {a} {b}");
    }
    assert!(slipping.greatest_slip < 0.01 && slipping.spinning == 0.0);
    assert!(NOT_VALIDATED.contains("not validated"));
}

/// Nobody beats the perfect driver, who has the peak of the same tyre; more throttle than the tyre takes spins
/// the wheels, less is faster.
#[test]
fn spinning_costs_time() {
    let car = street();
    let settings = RunSettings::default();
    let plain = model(&car).slip(&settings).unwrap();
    let mut how = launch(3500.0 * RPM);
    let full = model(&car).run_with_slip(&how, &settings).unwrap();
    assert!(full.spinning > 0.5 && full.greatest_slip > 0.3);
    assert!(full.slip.clock(Mark::SixtyFoot) > plain.clock(Mark::SixtyFoot));
    let middle = full.at(0.5).unwrap();
    assert!(middle.slip > 0.1 && middle.tread_speed > middle.speed);
    how.throttle = 0.7;
    let fed = model(&car).run_with_slip(&how, &settings).unwrap();
    assert!(fed.spinning < full.spinning);
    // Finer steps, the same times.
    let fine = model(&car)
        .run_with_slip(&how, &settings.finer(100.0))
        .unwrap();
    for mark in Mark::ALL {
        assert!(
            (fine.slip.clock(mark) - fed.slip.clock(mark)).abs() < 1e-3,
            "{mark}"
        );
    }
    let auto = automatic();
    let run = model(&auto)
        .run_with_slip(&launch(2600.0 * RPM), &settings)
        .unwrap();
    assert!(run.duration() > 5.0 && run.at(run.duration()).unwrap().gear == 3);
}

#[test]
fn bad_launches_are_named() {
    let car = street();
    let m = model(&car);
    let settings = RunSettings::default();
    let good = launch(3000.0 * RPM);
    for bad in [f64::NAN, f64::INFINITY, -1.0, 0.0] {
        let mut cases = [good; 4];
        cases[0].throttle = bad;
        cases[1].release_speed = bad;
        cases[2].tyre.peak_slip = bad;
        cases[3].tyre.sliding_share = bad;
        for case in cases {
            let e = m.run_with_slip(&case, &settings).unwrap_err();
            assert!(
                matches!(e, RunError::BadInput { .. } | RunError::OutOfRange { .. }),
                "{e}"
            );
        }
    }
    let e = m
        .run_with_slip(&launch(500.0 * RPM), &settings)
        .unwrap_err();
    assert!(matches!(e, RunError::Bogs { .. }));
    // Grip and height enough to go over: nobody holds back.
    let mut tippy = car;
    tippy.tyre.friction = 2.5;
    tippy.sprung_cg_height = 0.95;
    tippy.sprung_cg_station = 1.0;
    for torque in &mut tippy.engine.torque {
        *torque *= 2.0;
    }
    let e = model(&tippy).run_with_slip(&launch(4500.0 * RPM), &settings);
    assert!(
        matches!(e, Err(RunError::GoesOver { .. })),
        "{:?}",
        e.map(|r| r.slip)
    );
}
