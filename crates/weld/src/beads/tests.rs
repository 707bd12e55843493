use super::*;
use crate::section_pull::rotation_axis;
use proptest::prelude::*;

fn close(got: f64, wanted: f64) {
    assert!(
        (got - wanted).abs() <= 1e-9 * wanted.abs().max(1e-9),
        "{got} for {wanted}"
    );
}

fn job(target: f64, first_reading: f64, tolerance: f64, reading_sd: f64, per_bead: f64) -> Job {
    Job {
        target,
        tolerance,
        first_reading,
        reading_sd,
        per_bead,
        settings: BeadSettings::DEFAULT,
    }
}

/// 10 mm short, ±1 mm, readings to 1 mm, 4 mm a bead: every number by hand.
/// After one bead u = −6, variance 1 + 4 + 1 = 6, S = 7 (mm²). It reads −2.5: 3.5 more than
/// expected, gains 6/7 and 4/7.
fn by_hand() -> (Plan, Move) {
    let mut plan = Plan::start(&job(1.0, 0.990, 1.0e-3, 1.0e-3, 4.0e-3)).unwrap();
    let taken = plan.measured(1, 0.9975).unwrap();
    (plan, taken)
}

#[test]
fn one_reading_by_hand() {
    let (plan, taken) = by_hand();
    close(plan.toward(), 1.0);
    close(taken.expected, -6.0e-3);
    close(taken.expected_dimension, 0.994);
    close(taken.variance, 7.0e-6);
    close(taken.innovation, 3.5e-3);
    close(taken.z2, 1.75);
    close(plan.position().value, -3.0e-3);
    close(plan.dimension(), 0.997);
    close(plan.per_bead().value, 6.0e-3);
    let [[uu, ub], [bu, bb]] = plan.covariance();
    close(uu, 6.0e-6 / 7.0);
    close(ub, 4.0e-6 / 7.0);
    close(bu, ub);
    close(bb, 12.0e-6 / 7.0);
    close(plan.scatter_factor(), 9.75 / 9.0);
    close(plan.freedom(), 9.0);
    close(
        plan.per_bead().scale,
        (9.75 / 9.0 * 12.0 / 7.0_f64).sqrt() * 1e-3,
    );
    // The 90 % point of t with 9 degrees of freedom is 1.833 (printed tables).
    let half = plan.per_bead().high - plan.per_bead().value;
    assert!((half / plan.per_bead().scale - 1.833_11).abs() < 1e-5);
    assert_eq!((plan.beads_laid(), plan.moves().len()), (1, 1));
    close(plan.chance_spent(), taken.overshoot_chance);
}

/// Next bead by hand: it would land at +3 with variance 6/7 + 8/7 + 12/7 + 1 = 33/7, most
/// likely past +1.
#[test]
fn stops_when_the_next_bead_may_overshoot() {
    let (plan, _) = by_hand();
    let advice = plan.next();
    assert_eq!((advice.lay, advice.why), (0, Why::NextMayOvershoot));
    assert_eq!(advice.overshoot_chance, None);
    let t = (1.0 - 3.0) / (9.75 / 9.0 * 33.0 / 7.0_f64).sqrt();
    let chance = 1.0 - crate::distribution::t_cdf(t, 9.0).unwrap();
    close(advice.overshoot_chance_one_more, chance);
    assert!(chance > 0.5);
    assert_eq!(advice.beads_to_come[1], Some(1));
}

/// Without scatter from bead to bead the filter is Bayesian regression of the readings on
/// the beads laid: precision 1/σ_x², 1/sd² and Σ \[1, K\]ᵀ\[1, K\]/σ_x², solved at once.
#[test]
fn filter_is_regression_without_bead_scatter() {
    let mut job = job(0.5, 0.494, 0.5e-3, 0.2e-3, 0.4e-3);
    job.settings.bead_scatter = 0.0;
    let readings = [(1, 0.494_5), (3, 0.495_2), (2, 0.496_4), (4, 0.497_4)];
    let mut plan = Plan::start(&job).unwrap();
    let sd = 0.2e-3_f64;
    let noise = 1.0 / (sd * sd);
    let prior = 1.0 / (0.2e-3_f64 * 0.2e-3);
    let (mut a, mut b, mut c) = (noise, 0.0, prior);
    let (mut x, mut y) = (noise * -6.0e-3, prior * 0.4e-3);
    let mut laid = 0.0;
    for (beads, reading) in readings {
        plan.measured(beads, reading).unwrap();
        laid += f64::from(beads);
        let u = reading - 0.5;
        (a, b, c) = (a + noise, b + laid * noise, c + laid * laid * noise);
        (x, y) = (x + noise * u, y + laid * noise * u);
    }
    let det = a * c - b * b;
    let (start, per_bead) = ((c * x - b * y) / det, (a * y - b * x) / det);
    close(plan.per_bead().value, per_bead);
    close(plan.position().value, start + laid * per_bead);
    let [[uu, _], [_, bb]] = plan.covariance();
    close(bb, a / det);
    close(uu, (c - 2.0 * laid * b + laid * laid * a) / det);
}

/// The unscented case of tolerance: at the limit is in, past the far one is past.
#[test]
fn stops_when_done_and_when_past() {
    for first in [0.8, 0.799, 0.801, 0.800_4] {
        let plan = Plan::start(&job(0.8, first, 1.0e-3, 0.2e-3, 0.5e-3)).unwrap();
        let advice = plan.next();
        assert_eq!((advice.lay, advice.why), (0, Why::Done), "{first}");
        assert!(plan.forecast(2).len() == 3);
    }
    let mut plan = Plan::start(&job(0.8, 0.797, 1.0e-3, 0.2e-3, 0.5e-3)).unwrap();
    assert_eq!(plan.next().why, Why::LayAndMeasure);
    plan.measured(1, 0.805).unwrap();
    let advice = plan.next();
    assert_eq!((advice.lay, advice.why), (0, Why::Past));
    assert_eq!(advice.overshoot_chance, None);
    assert_eq!(advice.beads_to_come, [Some(0); 3]);
}

#[test]
fn stops_when_beads_do_not_move_it() {
    let mut plan = Plan::start(&job(0.8, 0.790, 1.0e-3, 0.1e-3, 1.0e-3)).unwrap();
    let mut laid = 0;
    while plan.next().why == Why::LayAndMeasure {
        laid += 1;
        plan.measured(plan.next().lay, 0.790).unwrap();
    }
    assert_eq!(plan.next().why, Why::NotMoving);
    assert!(plan.per_bead().value <= 0.1e-3);
    assert!((1..=5).contains(&laid), "{laid}");
    assert_eq!(plan.next().beads_to_come[2], None);
    // Moving away is no better.
    let away = [Reading {
        beads: 1,
        measured: 0.789,
    }];
    let plan = Plan::after(plan.job(), &away).unwrap();
    assert!(plan.per_bead().value < 0.0);
    assert_eq!(plan.next().why, Why::NotMoving);
}

#[test]
fn one_bead_until_one_is_measured() {
    let mut plan = Plan::start(&job(0.8, 0.780, 1.0e-3, 0.1e-3, 0.2e-3)).unwrap();
    assert_eq!(plan.next().lay, 1);
    plan.measured(1, 0.780_2).unwrap();
    // 19.8 mm at 0.2 mm a bead: a hundred beads, but never more than 20 unmeasured.
    assert_eq!(plan.next().lay, 20);
    let last = plan.next();
    close(last.overshoot_chance.unwrap(), plan.overshoot_chance(20));
    close(last.overshoot_chance_one_more, plan.overshoot_chance(21));
    assert_eq!(last.beads_to_come, [None; 3]);
}

/// Moves that scatter: 95 % point of χ² with 3 degrees of freedom 7.815. One bead at a time.
#[test]
fn moves_that_disagree_are_found() {
    let job = job(0.8, 0.780, 1.0e-3, 0.1e-3, 0.4e-3);
    let mut plan = Plan::start(&job).unwrap();
    plan.measured(1, 0.781_2).unwrap();
    plan.measured(1, 0.781_3).unwrap();
    assert!(plan.chi2() > 7.815 && !plan.disagree(), "{}", plan.chi2());
    assert!(plan.next().lay > 1);
    plan.measured(1, 0.782_4).unwrap();
    assert!(plan.disagree());
    assert_eq!(plan.next().lay, 1);
    let sum: f64 = plan.moves().iter().map(|each| each.z2).sum();
    close(plan.chi2(), sum);
    let [Finding::Disagree { chi2, limit }] = plan.findings()[..] else {
        panic!("{:?}", plan.findings());
    };
    close(chi2, sum);
    assert!((limit - 7.815).abs() < 5e-4);
    // Steady moves do not.
    let mut steady = Plan::start(&job).unwrap();
    for reading in [0.780_4, 0.780_8, 0.781_2, 0.781_6] {
        steady.measured(1, reading).unwrap();
    }
    assert!(!steady.disagree() && steady.findings().is_empty());
}

#[test]
fn a_coarse_bead_is_found_at_the_start() {
    let coarse = Plan::start(&job(0.8, 0.790, 1.0e-3, 0.1e-3, 1.2e-3)).unwrap();
    assert_eq!(
        coarse.findings(),
        [Finding::TooCoarse {
            per_bead: 1.2e-3,
            tolerance: 1.0e-3
        }]
    );
    let fine = Plan::start(&job(0.8, 0.790, 1.0e-3, 0.1e-3, 1.0e-3)).unwrap();
    assert!(fine.findings().is_empty());
}

/// What is spent is gone: with as much again spent, fewer beads are left.
#[test]
fn the_chance_is_spent() {
    let start = job(0.815, 0.8192, 1.0e-3, 0.15e-3, 0.85e-3);
    let mut plan = Plan::start(&start).unwrap();
    plan.measured(1, 0.818_62).unwrap();
    let free = plan.next();
    let wanted = free.overshoot_chance.unwrap();
    // The same state with hardly the chance for it left.
    let mut tight = start;
    tight.settings.chance = plan.chance_spent() + 0.999 * wanted;
    let mut tight = Plan::start(&tight).unwrap();
    tight.measured(1, 0.818_62).unwrap();
    assert_eq!(tight.next().lay, free.lay - 1);
    let mut just = start;
    just.settings.chance = plan.chance_spent() + 1.001 * wanted;
    let mut just = Plan::start(&just).unwrap();
    just.measured(1, 0.818_62).unwrap();
    assert_eq!(just.next().lay, free.lay);
    // Beads beyond the advice spend their own, larger chance.
    plan.measured(free.lay + 2, 0.816_2).unwrap();
    assert!(plan.chance_spent() > 0.05);
}

#[test]
fn forecast_is_where_the_beads_lead() {
    let (plan, _) = by_hand();
    let forecast = plan.forecast(3);
    assert_eq!(forecast.len(), 4);
    close(forecast[0].mean, 0.997);
    close(forecast[0].high, 1.0 + plan.position().high);
    close(forecast[1].mean, 1.003);
    close(forecast[3].mean, 1.015);
    for pair in forecast.windows(2) {
        assert!(pair[1].high - pair[1].low > pair[0].high - pair[0].low);
    }
    // Coming from above it leads down, and low is still the lower.
    let down = Plan::start(&job(0.8, 0.81, 1.0e-3, 0.1e-3, 1.0e-3)).unwrap();
    let forecast = down.forecast(1_000);
    assert_eq!(forecast.len(), 21);
    close(forecast[2].mean, 0.808);
    for each in forecast {
        assert!(each.low < each.mean && each.mean < each.high);
    }
}

/// Two moves of one bead by hand: τ² = 4, σ_x² = 2 give variance 8 each; 3 and 9 µm mean 6
/// of variance 4. Two beads: (2·4 + 4)/4 = 3.
#[test]
fn two_members_by_hand() {
    let one = |side, beads, change| SideMove {
        side,
        beads,
        change,
    };
    let moves = [
        one(Side::Left, 1, 3.0e-6),
        one(Side::Left, 1, 9.0e-6),
        one(Side::Right, 2, 26.0e-6),
    ];
    let members = |moves: &[SideMove]| two_members(moves, 2.0e-6, 2.0_f64.sqrt() * 1e-6).unwrap();
    let answer = members(&moves).unwrap();
    close(answer.means[0], 6.0e-6);
    close(answer.means[1], 13.0e-6);
    close(answer.sd, 7.0_f64.sqrt() * 1e-6);
    close(answer.z, 7.0_f64.sqrt());
    assert!(answer.differ); // 2.646 over 2.576
    let nearer = [moves[0], moves[1], one(Side::Right, 2, 25.0e-6)];
    assert!(!members(&nearer).unwrap().differ); // 2.457
    assert_eq!(members(&moves[..2]), None);
    assert_eq!(members(&[]), None);
    let refused = |moves: &[SideMove], tau, sd| two_members(moves, tau, sd).is_err();
    assert!(refused(&[one(Side::Left, 0, 0.0)], 0.0, 1e-6));
    assert!(refused(&[one(Side::Left, 1, f64::NAN)], 0.0, 1e-6));
    for bad in [-1.0, f64::NAN, f64::INFINITY] {
        assert!(refused(&moves, bad, 1e-6));
        assert!(refused(&moves, 1e-6, bad));
    }
    assert!(refused(&moves, 1e-6, 0.0));
}

#[test]
fn sides_alternate_from_the_worse() {
    assert_eq!(where_next(None, Side::Right), Side::Right);
    assert_eq!(where_next(Some(Side::Right), Side::Right), Side::Left);
    assert_eq!(where_next(Some(Side::Left), Side::Left), Side::Right);
}

/// A bead on the inside of a post, 0.3 m below its end: 2 mrad draw the end in by 0.6 mm.
#[test]
fn first_estimate_by_hand() {
    let inward = [0.0, -1.0, 0.0];
    let bead = BeadKink {
        kink: [1.0e-3, 2.0e-3, 4.0e-3],
        at: [0.0, 0.4, 0.2],
        axis: rotation_axis([0.0, 0.0, 1.0], inward).unwrap(),
        from: [0.0, -0.4, 0.5],
        to: [0.0, 0.4, 0.5],
        factor: 0.5,
    };
    let answer = bead.first_estimate().unwrap();
    close(answer.lever, 0.3);
    close(answer.low, 0.15e-3);
    close(answer.point, 0.3e-3);
    close(answer.high, 0.6e-3);
    assert!(!answer.lengthens);
    let outside = BeadKink {
        kink: bead.kink.map(|kink| -kink),
        ..bead
    };
    let outside = outside.first_estimate().unwrap();
    close(outside.point, answer.point);
    assert!(outside.lengthens);

    let refused = |bead: BeadKink| bead.first_estimate().unwrap_err();
    assert!(matches!(
        refused(BeadKink {
            kink: [-1e-3, 2e-3, 4e-3],
            ..bead
        }),
        WeldError::KinkSign { .. }
    ));
    // Along the post the bead moves nothing to first order.
    let along = BeadKink {
        from: [0.0, 0.4, 0.0],
        ..bead
    };
    for nothing in [
        along,
        BeadKink {
            axis: [0.0; 3],
            ..bead
        },
        BeadKink {
            from: bead.to,
            ..bead
        },
        BeadKink {
            factor: 0.0,
            ..bead
        },
    ] {
        assert!(matches!(refused(nothing), WeldError::NotPositive { .. }));
    }
    for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        refused(BeadKink {
            factor: bad,
            ..bead
        });
        refused(BeadKink {
            kink: [bad; 3],
            ..bead
        });
        refused(BeadKink {
            at: [bad, 0.0, 0.0],
            ..bead
        });
    }
}

#[test]
fn nonsense_is_refused() {
    let good = job(0.8, 0.79, 1.0e-3, 0.1e-3, 0.5e-3);
    for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 1.0e9] {
        for set in [
            (|job, bad| job.target = bad) as fn(&mut Job, f64),
            |job, bad| job.first_reading = bad,
            |job, bad| job.tolerance = bad,
            |job, bad| job.reading_sd = bad,
            |job, bad| job.per_bead = bad,
            |job, bad| job.settings.chance = bad,
            |job, bad| job.settings.spread = bad,
            |job, bad| job.settings.bead_scatter = bad,
            |job, bad| job.settings.start_freedom = bad + 1.0,
            |job, bad| job.settings.least_share = bad,
            |job, bad| job.settings.confidence = bad,
            |job, bad| job.settings.disagree = bad,
        ] {
            let mut job = good;
            set(&mut job, bad);
            let error = Plan::start(&job).unwrap_err();
            assert!(!error.to_string().is_empty());
        }
    }
    for bad in [0.0, -1.0e-3, 1.0e-12] {
        for set in [
            (|job, bad| job.tolerance = bad) as fn(&mut Job, f64),
            |job, bad| job.reading_sd = bad,
            |job, bad| job.per_bead = bad,
            |job, bad| job.settings.spread = bad,
            |job, bad| job.settings.start_freedom = bad,
        ] {
            let mut job = good;
            set(&mut job, bad);
            assert!(Plan::start(&job).is_err(), "{bad}");
        }
    }
    let mut none = good;
    none.settings.most_beads = 0;
    assert_eq!(Plan::start(&none).unwrap_err(), WeldError::NoBeads);
    let mut plan = Plan::start(&good).unwrap();
    let before = plan.clone();
    assert_eq!(plan.measured(0, 0.79), Err(WeldError::NoBeads));
    for bad in [f64::NAN, f64::INFINITY, -1.0e9] {
        assert!(plan.measured(1, bad).is_err());
    }
    assert_eq!(plan, before);
}

#[test]
fn settings_and_jobs_are_kept_in_files() {
    let settings: BeadSettings = ron::from_str("(chance: 0.02)").unwrap();
    assert_eq!(settings.chance, 0.02);
    assert_eq!(settings.most_beads, BeadSettings::DEFAULT.most_beads);
    let kept = job(0.8, 0.79, 1.0e-3, 0.1e-3, 0.5e-3);
    let text = ron::to_string(&kept).unwrap();
    assert_eq!(ron::from_str::<Job>(&text).unwrap(), kept);
    assert!(ron::from_str::<BeadSettings>("(chanse: 0.02)").is_err());
}

/// A job and readings of a few beads each, in 1/1024 mm so that sums are exact.
fn jobs() -> impl Strategy<Value = (Job, Vec<(u32, f64)>)> {
    let grid = 1.0e-3_f64;
    (
        (-9_000_i32..9_000, 20_u32..3_000, 10_u32..800, 50_u32..2_000),
        prop::collection::vec((1_u32..4, -4_000_i32..12_000), 0..6),
    )
        .prop_map(move |((off, tolerance, sd, per_bead), moves)| {
            // Powers of two: mirrored and scaled inputs are exact too.
            let unit = (grid / 1024.0).log2().round().exp2();
            let mut at = f64::from(off) * unit;
            let job = job(
                0.0,
                at,
                f64::from(tolerance) * unit,
                f64::from(sd) * unit,
                f64::from(per_bead) * unit,
            );
            let readings = moves
                .into_iter()
                .map(|(beads, change)| {
                    at += job.toward() * f64::from(change) * unit;
                    (beads, at)
                })
                .collect();
            (job, readings)
        })
}

fn followed(job: &Job, readings: &[(u32, f64)]) -> Plan {
    let mut plan = Plan::start(job).unwrap();
    for &(beads, reading) in readings {
        plan.measured(beads, reading).unwrap();
    }
    plan
}

proptest! {
    /// From above or from below the target: the same plan, mirrored.
    #[test]
    fn mirrored_jobs_have_mirrored_plans((job, readings) in jobs()) {
        prop_assume!(job.first_reading != job.target);
        let mirrored = Job { first_reading: -job.first_reading, ..job };
        let other: Vec<_> = readings.iter().map(|&(beads, z)| (beads, -z)).collect();
        let (plan, mirror) = (followed(&job, &readings), followed(&mirrored, &other));
        prop_assert_eq!(plan.toward(), -mirror.toward());
        prop_assert_eq!(plan.next(), mirror.next());
        prop_assert_eq!(plan.position(), mirror.position());
        prop_assert_eq!(plan.per_bead(), mirror.per_bead());
        prop_assert_eq!(plan.dimension(), -mirror.dimension());
        for (a, b) in plan.forecast(4).iter().zip(mirror.forecast(4)) {
            prop_assert_eq!((a.mean, a.low, a.high), (-b.mean, -b.high, -b.low));
        }
    }

    /// Everything twice or an eighth as large: the same advice, lengths scaled.
    #[test]
    fn scaled_jobs_have_scaled_plans((job, readings) in jobs(), scale in prop::sample::select(vec![0.125, 2.0, 32.0])) {
        let scaled = Job {
            first_reading: job.first_reading * scale,
            tolerance: job.tolerance * scale,
            reading_sd: job.reading_sd * scale,
            per_bead: job.per_bead * scale,
            ..job
        };
        let other: Vec<_> = readings.iter().map(|&(beads, z)| (beads, z * scale)).collect();
        let (plan, large) = (followed(&job, &readings), followed(&scaled, &other));
        prop_assert_eq!(plan.next(), large.next());
        prop_assert_eq!(plan.position().value * scale, large.position().value);
        prop_assert_eq!(plan.per_bead().value * scale, large.per_bead().value);
        prop_assert_eq!(plan.scatter_factor(), large.scatter_factor());
    }

    /// The rules of the advice, whatever was read; and the filter only ever learns.
    #[test]
    fn advice_keeps_its_rules((job, readings) in jobs()) {
        let mut plan = Plan::start(&job).unwrap();
        let mut spent = 0.0;
        for &(beads, reading) in &readings {
            let [[_, _], [_, before]] = plan.covariance();
            spent += plan.overshoot_chance(beads);
            plan.measured(beads, reading).unwrap();
            let [[uu, ub], [_, bb]] = plan.covariance();
            prop_assert!(bb > 0.0 && bb <= before && uu > 0.0);
            prop_assert!(uu <= job.reading_sd * job.reading_sd);
            prop_assert!(ub * ub <= uu * bb);
        }
        let advice = plan.next();
        prop_assert!((advice.chance_spent - spent).abs() <= 1e-12);
        prop_assert_eq!(advice.lay > 0, advice.why == Why::LayAndMeasure);
        if advice.lay > 0 {
            for beads in 1..=advice.lay {
                prop_assert!(plan.overshoot_chance(beads) + spent <= job.settings.chance + 1e-12);
            }
            // Never past the number nearest to the target.
            let landing = plan.position().value + f64::from(advice.lay - 1) * plan.per_bead().value;
            prop_assert!(advice.lay == 1 || landing <= -0.5 * plan.per_bead().value * (1.0 - 1e-9));
        }
        let [few, some, many] = advice.beads_to_come.map(|beads| beads.unwrap_or(u32::MAX));
        prop_assert!(few <= some && some <= many);
        let last = plan.moves().last();
        prop_assert!(last.is_none_or(|last| (0.0..=1.0).contains(&last.two_sided_p)));
    }

    /// A larger allowed chance never lays fewer beads; a tighter one never more.
    #[test]
    fn more_chance_lays_no_fewer((job, readings) in jobs(), chance in 0.001..0.5_f64) {
        let mut bold = job;
        bold.settings.chance = chance + 0.1;
        let mut shy = job;
        shy.settings.chance = chance;
        prop_assert!(followed(&shy, &readings).next().lay <= followed(&bold, &readings).next().lay);
    }

    /// Any numbers at all: an answer of finite numbers or an error, never a panic.
    #[test]
    fn anything_is_answered_or_refused(
        numbers in prop::array::uniform5(prop_oneof![any::<f64>(), -3.0..3.0_f64, 1e-9..1e-2_f64]),
        shape in prop::array::uniform3(prop_oneof![any::<f64>(), 1e-9..10.0_f64]),
        readings in prop::collection::vec((any::<u32>(), prop_oneof![any::<f64>(), -1e3..1e3_f64]), 0..5),
    ) {
        let [target, first, tolerance, sd, per_bead] = numbers;
        let mut job = job(target, first, tolerance, sd, per_bead);
        job.settings.spread = shape[0];
        job.settings.bead_scatter = shape[1];
        job.settings.start_freedom = shape[2];
        let Ok(mut plan) = Plan::start(&job) else { return Ok(()); };
        for (beads, reading) in readings {
            let _ = plan.measured(beads, reading);
        }
        let advice = plan.next();
        prop_assert!((0.0..=1.0).contains(&advice.overshoot_chance_one_more));
        let (position, per_bead) = (plan.position(), plan.per_bead());
        for value in [position.low, position.high, per_bead.low, per_bead.high, advice.chi2] {
            prop_assert!(value.is_finite());
        }
        for each in plan.forecast(20) {
            prop_assert!(each.low.is_finite() && each.high.is_finite());
        }
    }
}
