use super::*;
use proptest::prelude::*;

const TEE: JointKind = JointKind::Tee {
    fillets: FilletCount::Two,
};

fn inch(value: f64) -> f64 {
    Length::from_inches(value).si()
}

fn verdict(rule: &Rule, leg: f64, gap: f64) -> Verdict {
    let profile = GapProfile::even(gap).unwrap();
    judge(TEE, rule, leg, Some(&profile)).unwrap().verdict
}

/// AWS D1.1 (from memory): leg 3/16 with gap 1/8 → 5/16; 1/16 → unchanged; 1/4 → reject.
#[test]
fn aws_grows_the_leg_by_the_gap() {
    let leg = inch(3.0 / 16.0);
    match verdict(&Rule::Aws, leg, inch(1.0 / 8.0)) {
        Verdict::EnlargeLeg { leg } => assert!((leg - inch(5.0 / 16.0)).abs() < 1e-15),
        other => panic!("{other:?}"),
    }
    assert_eq!(verdict(&Rule::Aws, leg, inch(1.0 / 16.0)), Verdict::Good);
    assert_eq!(verdict(&Rule::Aws, leg, inch(1.0 / 4.0)), Verdict::Reject);
    assert_eq!(verdict(&Rule::Aws, leg, 0.0), Verdict::Good);
    // The limits themselves, and just past the slack.
    assert!(matches!(
        verdict(&Rule::Aws, leg, inch(3.0 / 16.0)),
        Verdict::EnlargeLeg { .. }
    ));
    assert_eq!(
        verdict(&Rule::Aws, leg, inch(1.0 / 16.0) + 0.9e-9),
        Verdict::Good
    );
    assert!(matches!(
        verdict(&Rule::Aws, leg, inch(1.0 / 16.0) + 1.1e-9),
        Verdict::EnlargeLeg { .. }
    ));
    assert_eq!(
        verdict(&Rule::Aws, leg, inch(3.0 / 16.0) + 1.1e-9),
        Verdict::Reject
    );
}

/// Legs of an independent model (numpy): 3/32 in over a 3/16 in leg grows it, 1/16 in does not.
#[test]
fn legs_agree_with_an_independent_model() {
    let leg = |gap| Rule::Aws.leg_at(0.004_762_5, gap).unwrap();
    assert!((leg(0.002_381_25) - 0.007_143_75).abs() < 1e-15);
    assert_eq!(leg(0.001_587_5), 0.004_762_5);
}

/// A rule is kept in a file with its lengths as a person writes them.
#[test]
fn rules_read_back() {
    let rule = Rule::Shop {
        unchanged: Length::from_inches(1.0 / 32.0),
        reject: Length::from_mm(2.0),
    };
    let text = ron::to_string(&rule).unwrap();
    assert_eq!(text, "Shop(unchanged:\"1/32 in\",reject:\"2 mm\")");
    assert_eq!(ron::from_str::<Rule>(&text).unwrap(), rule);
}

/// EN 25817 = ISO 5817:1992, incorrect root gap, a = 3 mm: B 0.8, C 1.1, D 1.9 mm.
#[test]
fn iso_limits_by_level() {
    for (level, limit, cap) in [
        (IsoLevel::B, 0.0008, 0.002),
        (IsoLevel::C, 0.0011, 0.003),
        (IsoLevel::D, 0.0019, 0.004),
    ] {
        assert!((level.limit(0.003) - limit).abs() < 1e-15);
        assert_eq!(level.limit(1.0), cap);
        let leg = 0.003 * SQRT_2;
        let rule = Rule::Iso5817(level);
        assert_eq!(verdict(&rule, leg, limit), Verdict::Good);
        assert_eq!(verdict(&rule, leg, limit + 2e-9), Verdict::Reject);
    }
    let profile = GapProfile::even(0.001).unwrap();
    let fit = judge(
        TEE,
        &Rule::Iso5817(IsoLevel::C),
        0.003 * SQRT_2,
        Some(&profile),
    )
    .unwrap();
    assert!((fit.throat_kept - (0.003 - 0.001 / SQRT_2)).abs() < 1e-15);
    assert!((fit.leg_holding_throat - (0.003 * SQRT_2 + 0.001)).abs() < 1e-15);
    assert_eq!(fit.required_leg, 0.003 * SQRT_2);
}

#[test]
fn the_shops_own_limits() {
    let rule = Rule::Shop {
        unchanged: Length::from_mm(0.5),
        reject: Length::from_mm(2.0),
    };
    assert_eq!(verdict(&rule, 0.004, 0.0005), Verdict::Good);
    assert_eq!(
        verdict(&rule, 0.004, 0.001),
        Verdict::EnlargeLeg { leg: 0.005 }
    );
    assert_eq!(verdict(&rule, 0.004, 0.0021), Verdict::Reject);
    let butt = |gap| {
        let profile = GapProfile::even(gap).unwrap();
        judge(JointKind::Butt, &rule, f64::NAN, Some(&profile))
            .unwrap()
            .verdict
    };
    assert_eq!(butt(0.0015), Verdict::Good);
    assert_eq!(butt(0.0021), Verdict::Reject);
    let crossed = Rule::Shop {
        unchanged: Length::from_mm(2.0),
        reject: Length::from_mm(1.0),
    };
    assert!(matches!(
        judge(TEE, &crossed, 0.004, None),
        Err(WeldError::LimitsCrossed { .. })
    ));
    assert_eq!(
        judge(JointKind::Butt, &Rule::Aws, 0.004, None),
        Err(WeldError::FilletRule)
    );
}

#[test]
fn nothing_logged_is_said() {
    let fit = judge(JointKind::Cope, &Rule::Aws, 0.004, None).unwrap();
    assert_eq!(fit.verdict, Verdict::NotLogged { readings_wanted: 4 });
    assert_eq!(fit.required_leg, 0.004);
    assert_eq!(GapProfile::closed(&[]), Err(WeldError::NoReadings));
}

/// By hand: 12, 3, 6 and 9 o'clock at 0, 2, 0, 1 mm: mean 0.75, halfway values halfway.
#[test]
fn closed_seams_are_periodic_and_linear() {
    let profile = GapProfile::closed(&[
        GapReading::new(9.0, 0.001),
        GapReading::new(12.0, 0.0),
        GapReading::new(3.0, 0.002),
        GapReading::new(6.0, 0.0),
    ])
    .unwrap();
    assert!((profile.mean() - 0.000_75).abs() < 1e-15);
    assert_eq!(profile.worst(), GapReading::new(3.0, 0.002));
    for (hours, gap) in [
        (0.0, 0.0),
        (1.5, 0.001),
        (3.0, 0.002),
        (7.5, 0.0005),
        (10.5, 0.0005),
        (-1.5, 0.0005),
        (12.0, 0.0),
        (27.0, 0.002),
    ] {
        assert!((profile.gap_at(hours) - gap).abs() < 1e-15, "{hours}");
    }
    assert!(profile.remarks().is_empty());
    let crossings = profile.crossings(0.001_5);
    assert_eq!(crossings.len(), 2);
    assert!((crossings[0] - 2.25).abs() < 1e-12 && (crossings[1] - 3.75).abs() < 1e-12);
    // Uneven spacing: 1 h and 11 h pieces, the mean is that of the two ends all the same.
    let two =
        GapProfile::closed(&[GapReading::new(5.0, 0.001), GapReading::new(6.0, 0.003)]).unwrap();
    assert!((two.mean() - 0.002).abs() < 1e-15);
    assert!((two.gap_at(11.5) - 0.002).abs() < 1e-15);
    assert_eq!(two.remarks(), vec![Remark::FewClockPositions { count: 2 }]);
}

/// By hand: readings at 20 and 60 mm of 100: 1 mm held, then to 3 mm, then held: mean 2 + ...
#[test]
fn open_seams_hold_their_end_values() {
    let profile = GapProfile::open(
        0.1,
        &[GapReading::new(0.06, 0.003), GapReading::new(0.02, 0.001)],
    )
    .unwrap();
    assert!((profile.mean() - (0.02 * 1.0 + 0.04 * 2.0 + 0.04 * 3.0) / 0.1 * 1e-3).abs() < 1e-15);
    assert_eq!(profile.gap_at(-1.0), 0.001);
    assert_eq!(profile.gap_at(0.0), 0.001);
    assert!((profile.gap_at(0.04) - 0.002).abs() < 1e-15);
    assert_eq!(profile.gap_at(0.1), 0.003);
    assert!(profile.remarks().is_empty());
    let ends = GapProfile::open(
        0.1,
        &[GapReading::new(0.0, 0.0), GapReading::new(0.1, 0.002)],
    )
    .unwrap();
    assert!((ends.mean() - 0.001).abs() < 1e-15);
}

#[test]
fn bad_readings_are_named() {
    let closed = |position, gap| GapProfile::closed(&[GapReading::new(position, gap)]);
    assert!(matches!(
        closed(12.5, 0.0),
        Err(WeldError::ClockOutside { .. })
    ));
    assert!(matches!(
        closed(f64::NAN, 0.0),
        Err(WeldError::ClockOutside { .. })
    ));
    assert!(matches!(
        closed(3.0, -0.001),
        Err(WeldError::Negative { .. })
    ));
    assert!(matches!(
        closed(3.0, f64::NAN),
        Err(WeldError::NotFinite { .. })
    ));
    assert!(matches!(closed(3.0, 1e9), Err(WeldError::TooLarge { .. })));
    let twice = [GapReading::new(0.0, 0.0), GapReading::new(12.0, 0.001)];
    assert!(matches!(
        GapProfile::closed(&twice),
        Err(WeldError::DuplicatePosition { .. })
    ));
    assert!(matches!(
        GapProfile::open(0.1, &[GapReading::new(0.2, 0.0)]),
        Err(WeldError::PositionOutside { .. })
    ));
    assert!(GapProfile::open(0.0, &[GapReading::new(0.0, 0.0)]).is_err());
    for leg in [0.0, -1.0, f64::NAN, f64::INFINITY, 1e300] {
        assert!(judge(TEE, &Rule::Aws, leg, None).is_err());
    }
}

#[test]
fn legs_that_do_not_suit_are_remarked() {
    let lap = JointKind::Lap {
        fillets: FilletCount::One,
    };
    assert!(leg_remarks(TEE, inch(1.0 / 8.0), 0.003).unwrap().is_empty());
    assert!(matches!(
        leg_remarks(TEE, 0.003, 0.003).unwrap()[..],
        [Remark::SmallLeg { .. }]
    ));
    assert!(
        leg_remarks(lap, inch(3.0 / 16.0), inch(3.0 / 16.0))
            .unwrap()
            .is_empty()
    );
    assert!(matches!(
        leg_remarks(lap, inch(1.0 / 4.0), inch(1.0 / 4.0)).unwrap()[..],
        [Remark::LapLegTooTall { .. }]
    ));
    assert!(
        leg_remarks(lap, inch(3.0 / 16.0), inch(1.0 / 4.0))
            .unwrap()
            .is_empty()
    );
    assert!(leg_remarks(lap, f64::NAN, 0.003).is_err());
}

/// Slope and its standard error by hand for 0, 1, 2, 3 and for 0, 2, 1, 3 (mm): 0.8 ± 0.4243.
#[test]
fn a_trend_needs_two_standard_errors() {
    let straight = trend(&[0.0, 0.001, 0.002, 0.003]).unwrap().unwrap();
    assert!((straight.slope - 0.001).abs() < 1e-15 && straight.rising);
    let rough = trend(&[0.0, 0.002, 0.001, 0.003]).unwrap().unwrap();
    assert!((rough.slope - 0.0008).abs() < 1e-15);
    assert!((rough.standard_error - 0.000_424_264_068_711_928_5).abs() < 1e-12);
    assert!(!rough.rising);
    assert!(!trend(&[0.001; 5]).unwrap().unwrap().rising);
    assert_eq!(trend(&[0.001, 0.002]).unwrap(), None);
    assert!(trend(&[0.001, f64::NAN, 0.002]).is_err());
}

proptest! {
    #[test]
    fn a_wider_gap_is_never_better(leg in 0.002..0.02_f64, gap in 0.0..0.01_f64, more in 0.0..0.01_f64) {
        let rank = |verdict| match verdict {
            Verdict::Good => 0,
            Verdict::EnlargeLeg { .. } => 1,
            Verdict::Reject => 2,
            Verdict::NotLogged { .. } => 3,
        };
        for rule in [Rule::Aws, Rule::Iso5817(IsoLevel::B), Rule::Iso5817(IsoLevel::C), Rule::Iso5817(IsoLevel::D)] {
            prop_assert!(rank(verdict(&rule, leg, gap + more)) >= rank(verdict(&rule, leg, gap)));
        }
    }

    #[test]
    fn the_mean_lies_between_the_readings(readings in proptest::collection::vec((0.0..12.0_f64, 0.0..0.01_f64), 1..12)) {
        let readings: Vec<_> = readings.into_iter().map(|(p, g)| GapReading::new(p, g)).collect();
        if let Ok(profile) = GapProfile::closed(&readings) {
            let least = readings.iter().map(|r| r.gap).fold(f64::INFINITY, f64::min);
            prop_assert!(profile.mean() <= profile.worst().gap + 1e-15);
            prop_assert!(profile.mean() >= least - 1e-15);
            // The mean is that of the profile itself, summed finely.
            let n = 20_000;
            let sum: f64 = (0..n).map(|i| profile.gap_at((f64::from(i) + 0.5) * 12.0 / f64::from(n))).sum();
            prop_assert!((sum / f64::from(n) - profile.mean()).abs() < 1e-6);
        }
    }
}
