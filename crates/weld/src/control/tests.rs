use super::student::{t_between, t_upper};
use super::*;
use crate::WeldError;
use proptest::prelude::*;
use std::f64::consts::{FRAC_1_SQRT_2, PI};

fn t_cdf(x: f64, nu: f64) -> f64 {
    crate::distribution::StudentT::new(nu).unwrap().cdf(x)
}

const THICK_TEE: Factor = Factor::new(FactorKind::Tee, false);
const THIN_KINK: Factor = Factor::new(FactorKind::Kink, true);
const X: [f64; 3] = [1.0, 0.0, 0.0];
const CHOICES: FactorChoices = FactorChoices::DEFAULT;

fn close(got: f64, wanted: f64) {
    assert!(
        (got - wanted).abs() <= 1e-12 * wanted.abs().max(1e-3),
        "{got} for {wanted}"
    );
}

fn prior() -> Factors {
    Factors::prior(&CHOICES).unwrap()
}

fn predicted(contributions: &[Contribution]) -> Prediction {
    predict(contributions, &prior(), &CHOICES).unwrap()
}

// Student's t.

/// NIST/SEMATECH e-Handbook of Statistical Methods, sec. 1.3.6.7.2, upper critical values of
/// Student's t (as reprinted by others): three decimals, so to half of the last.
#[test]
fn quantiles_are_the_published_table() {
    let table: [(f64, [f64; 5]); 9] = [
        (1.0, [3.078, 6.314, 12.706, 31.821, 63.657]),
        (2.0, [1.886, 2.920, 4.303, 6.965, 9.925]),
        (3.0, [1.638, 2.353, 3.182, 4.541, 5.841]),
        (5.0, [1.476, 2.015, 2.571, 3.365, 4.032]),
        (8.0, [1.397, 1.860, 2.306, 2.896, 3.355]),
        (10.0, [1.372, 1.812, 2.228, 2.764, 3.169]),
        (20.0, [1.325, 1.725, 2.086, 2.528, 2.845]),
        (30.0, [1.310, 1.697, 2.042, 2.457, 2.750]),
        (100.0, [1.290, 1.660, 1.984, 2.364, 2.626]),
    ];
    for (nu, row) in table {
        for (upper, wanted) in [0.10, 0.05, 0.025, 0.01, 0.005].into_iter().zip(row) {
            let got = t_upper(upper, nu);
            assert!((got - wanted).abs() < 0.000_51, "ν {nu}: {got}, {wanted}");
        }
    }
}

/// Closed forms: ν 1 is Cauchy's, ½ + atan(x)/π; ν 2 is ½ + x/(2√(2 + x²)); ν 4 is
/// ½ + ⅜·y·(1 − y²/12), y = x/√(1 + x²/4) (Abramowitz & Stegun 26.7.3 and 26.7.4, worked out).
#[test]
fn chances_are_the_closed_forms() {
    for x in [
        -40.0_f64, -3.0, -1.0, -0.01, -1e-7, 0.0, 1e-9, 1e-4, 0.3, 0.999, 1.0, 2.0, 7.0, 60.0,
    ] {
        let y = x / (1.0 + 0.25 * x * x).sqrt();
        for (nu, wanted) in [
            (1.0, 0.5 + x.atan() / PI),
            (2.0, 0.5 + 0.5 * x / (2.0 + x * x).sqrt()),
            (4.0, 0.5 + 0.375 * y * (1.0 - y * y / 12.0)),
        ] {
            let got = t_cdf(x, nu);
            assert!(
                (got - wanted).abs() < 1e-13,
                "ν {nu}, x {x}: {got}, {wanted}"
            );
        }
    }
    // Far out on one side nothing cancels: Cauchy between 1e8 and 2e8.
    let far = t_between(1.0e8, 2.0e8, 1.0);
    assert!((far / (0.5e-8 / PI) - 1.0).abs() < 1e-10, "{far}");
    assert_eq!(t_between(f64::NEG_INFINITY, f64::INFINITY, 8.0), 1.0);
}

/// Independent of the beta function: the density of ν 8, c·(1 + x²/8)^(−9/2) with
/// c = Γ(4.5)/(√(8π)·Γ(4)), integrated by Simpson's rule.
#[test]
fn eight_degrees_integrate_to_the_chance() {
    // Γ(4.5) = 105√π/16, Γ(4) = 6.
    let constant = 105.0 / 16.0 / (6.0 * 8.0_f64.sqrt());
    let density = |x: f64| constant * (1.0 + x * x / 8.0).powf(-4.5);
    for end in [0.5, 1.859_548_037_530_898, 3.0, 6.0] {
        let n = 2000;
        let h = end / f64::from(n);
        let sum: f64 = (0..=n)
            .map(|i| {
                let weight = if i == 0 || i == n {
                    1.0
                } else if i % 2 == 1 {
                    4.0
                } else {
                    2.0
                };
                weight * density(f64::from(i) * h)
            })
            .sum();
        let wanted = 0.5 + sum * h / 3.0;
        assert!((t_cdf(end, 8.0) - wanted).abs() < 1e-12, "{end}: {wanted}");
    }
}

proptest! {
    #[test]
    fn quantile_inverts_the_chance(upper in 5e-5..0.495_f64, nu in 0.5..10_000.0_f64) {
        let t = t_upper(upper, nu);
        let got = 1.0 - t_cdf(t, nu);
        prop_assert!((got - upper).abs() < 1e-10, "{} for {}", got, upper);
        prop_assert!((two_sided(t, nu) - 2.0 * upper).abs() < 1e-10);
    }
}

// Signs.

/// A pull of 1.5 mm along the dimension shortens it by all of it, one at 60° by half, one
/// across by none, one that runs backward (its far part on the near side) lengthens it.
#[test]
fn a_pull_shortens_what_runs_along_it() {
    let change = |along| {
        Pull {
            along,
            amount: 1.5e-3,
        }
        .change(X)
        .unwrap()
    };
    close(change(X), -1.5e-3);
    close(change([0.5, 0.75_f64.sqrt(), 0.0]), -0.75e-3);
    close(change([0.0, 0.0, 1.0]), 0.0);
    close(change([-1.0, 0.0, 0.0]), 1.5e-3);
    let zero = Pull {
        along: [0.0, 1.0, 0.0],
        amount: 1.0,
    }
    .change(X)
    .unwrap();
    assert!(zero == 0.0 && zero.is_sign_positive());
}

/// A bead on top (ρ up) of a member from near (x 0) to far (x 2 m) bends the far part up: a
/// dimension that ends there and runs up grows by kink × arm; below it falls; left and right
/// likewise. Independent answer: the small rotation written out.
#[test]
fn a_kink_turns_toward_the_bead() {
    let (at, q) = ([0.5, 0.0, 0.0], [2.0, 0.0, 0.0]);
    for (bead, n) in [
        ([0.0, 0.0, 1.0], [0.0, 0.0, 1.0]),
        ([0.0, 1.0, 0.0], [0.0, 1.0, 0.0]),
    ] {
        let turn = |side: f64| {
            let to_bead = bead.map(|component| component * side);
            let axis = crate::section_pull::rotation_axis(X, to_bead).unwrap();
            Kink {
                at,
                axis,
                angle: 0.002,
            }
            .change(q, n)
            .unwrap()
        };
        close(turn(1.0), 0.003);
        close(turn(-1.0), -0.003);
        // A bead opposite cancels it exactly.
        assert_eq!(turn(1.0) + turn(-1.0), 0.0);
        // Along the member nothing changes to first order.
        let axis = crate::section_pull::rotation_axis(X, bead).unwrap();
        close(
            Kink {
                at,
                axis,
                angle: 0.002,
            }
            .change(q, X)
            .unwrap(),
            0.0,
        );
    }
}

proptest! {
    /// Against the rotation matrix itself: turn Q about O by a small angle (Rodrigues) and
    /// project on n; what is left is second order.
    #[test]
    fn a_kink_is_the_rotation_to_first_order(
        at in prop::array::uniform3(-2.0..2.0_f64),
        q in prop::array::uniform3(-2.0..2.0_f64),
        p in prop::array::uniform3(3.0..5.0_f64),
        raw in prop::array::uniform3(0.1..1.0_f64),
        angle in -1e-3..1e-3_f64,
    ) {
        let n = direction(p, q).unwrap();
        let size = raw.iter().map(|v| v * v).sum::<f64>().sqrt();
        let k = raw.map(|v| v / size);
        let arm = [q[0] - at[0], q[1] - at[1], q[2] - at[2]];
        let turn = |i: usize| {
            let (j, l) = ((i + 1) % 3, (i + 2) % 3);
            let along: f64 = k.iter().zip(arm).map(|(k, a)| k * a).sum();
            arm[i] * angle.cos()
                + (k[j] * arm[l] - k[l] * arm[j]) * angle.sin()
                + k[i] * along * (1.0 - angle.cos())
        };
        let moved: f64 = (0..3).map(|i| (turn(i) - arm[i]) * n[i]).sum();
        let got = Kink { at, axis: k, angle }.change(q, n).unwrap();
        prop_assert!((got - moved).abs() < 8.0 * angle * angle);
    }

    /// Mirrored left to right: a pull's change stays; a kink's stays when its axis mirrors as
    /// an axis does (x and z parts change sign, y stays).
    #[test]
    fn mirrored_cars_change_alike(
        at in prop::array::uniform3(-2.0..2.0_f64),
        q in prop::array::uniform3(-2.0..2.0_f64),
        raw in prop::array::uniform3(0.1..1.0_f64),
        amount in -0.01..0.01_f64,
    ) {
        let mirror = |v: [f64; 3]| [v[0], -v[1], v[2]];
        let axis_mirror = |v: [f64; 3]| [-v[0], v[1], -v[2]];
        let p = [4.0, 3.0, 3.0];
        let a = direction([0.0; 3], raw).unwrap();
        let n = direction(p, q).unwrap();
        let mirrored = direction(mirror(p), mirror(q)).unwrap();
        let pull = Pull { along: a, amount }.change(n).unwrap();
        let other = Pull { along: mirror(a), amount }.change(mirrored).unwrap();
        prop_assert!((pull - other).abs() < 1e-15);
        let kink = Kink { at, axis: a, angle: amount }.change(q, n).unwrap();
        let other = Kink { at: mirror(at), axis: axis_mirror(a), angle: amount }
            .change(mirror(q), mirrored)
            .unwrap();
        prop_assert!((kink - other).abs() < 1e-14);
    }

    /// Which end is called P does not matter: read backward the pull runs backward too.
    #[test]
    fn a_dimension_read_backward_changes_alike(
        raw in prop::array::uniform3(0.1..1.0_f64),
        amount in 0.0..0.01_f64,
    ) {
        let (p, q) = ([0.0; 3], raw);
        let n = direction(p, q).unwrap();
        let back = direction(q, p).unwrap();
        let a = [FRAC_1_SQRT_2, 0.0, FRAC_1_SQRT_2];
        let there = Pull { along: a, amount }.change(n).unwrap();
        let return_ = Pull { along: a.map(|v| -v), amount }.change(back).unwrap();
        prop_assert!((there - return_).abs() < 1e-16);
    }
}

// Factors.

#[test]
fn the_prior_is_as_stated() {
    let prior = prior();
    for (i, factor) in Factor::ALL.into_iter().enumerate() {
        assert_eq!(factor.index(), i);
        assert_eq!(prior.of(factor), 1.0);
        let wanted = match (factor.kind, factor.thin) {
            (FactorKind::Kink, true) => 0.7,
            (FactorKind::Kink, false) => 0.5,
            (_, true) => 0.525,
            (_, false) => 0.35,
        };
        close(prior.sd(factor), wanted);
        for j in 0..FACTORS {
            let correlation =
                prior.covariance[i][j] / (prior.covariance[i][i] * prior.covariance[j][j]).sqrt();
            close(correlation, if i == j { 1.0 } else { 0.5 });
        }
        // 1.860: the table above, ν 8 at 95 %.
        let (low, high) = prior.interval(factor, 0.90).unwrap();
        assert!((low - (1.0 - 1.860 * wanted)).abs() < 0.0005);
        assert!((high - (1.0 + 1.860 * wanted)).abs() < 0.0005);
    }
    let labels: std::collections::HashSet<_> = Factor::ALL.map(Factor::label).into();
    assert_eq!(labels.len(), FACTORS);
    assert_eq!(
        Factor::new(FactorKind::Cope, true).label(),
        "coped tubes, thin wall"
    );
}

#[test]
fn choices_survive_ron_and_take_defaults() {
    let text = ron::to_string(&CHOICES).unwrap();
    assert_eq!(ron::from_str::<FactorChoices>(&text).unwrap(), CHOICES);
    let some: FactorChoices = ron::from_str("(scatter: 0.3)").unwrap();
    assert_eq!(
        some,
        FactorChoices {
            scatter: 0.3,
            ..CHOICES
        }
    );
}

// Prediction.

/// Worked by hand: two tees of −1 mm and −0.5 mm, one thin kink of +2 mm with a lean of 0.3 mm.
/// m = 0.5 mm; MᵀPM = 1.5²·0.1225 + 2²·0.49 − 2·1.5·2·0.5·0.35·0.7 = 1.500625 mm²;
/// R = 0.04·(1 + 0.25 + 4) + 0.09 = 0.30 mm².
#[test]
fn a_hand_worked_prediction() {
    let kink = Contribution {
        factor: THIN_KINK,
        change: 2.0e-3,
        lean: 0.3e-3,
    };
    let list = [
        Contribution::new(THICK_TEE, -1.0e-3),
        Contribution::new(THICK_TEE, -0.5e-3),
        kink,
    ];
    let got = predicted(&list);
    close(got.change, 0.5e-3);
    close(got.unfactored, 0.5e-3);
    assert!((got.common - 1.500_625e-6).abs() < 1e-18);
    assert!((got.independent - 0.30e-6).abs() < 1e-18);
    close(got.sd(), 1.800_625_f64.sqrt() * 1e-3);
    // t of ν 8 at 95 %: 1.8595480375, as its density integrates to above.
    let half = 1.859_548_037_530_9 * got.sd();
    assert!((got.low - (0.5e-3 - half)).abs() < 1e-13);
    assert!((got.high - (0.5e-3 + half)).abs() < 1e-13);
    assert_eq!(got.pure_kind(), None);
    assert_eq!(predicted(&list[..2]).pure_kind(), Some(THICK_TEE));
    assert_eq!(predicted(&[]).pure_kind(), None);
    // The ends of the band hold 90 % between them, from wherever it is set off.
    for offset in [0.0, -0.5e-3, 4.0e-3] {
        let chance = got
            .chance_within(offset, -(got.low + offset), got.high + offset)
            .unwrap();
        assert!((chance - 0.90).abs() < 1e-12, "{chance}");
    }
}

/// A factor learned to be 0.6 scales the change; s² scales the band by √s².
#[test]
fn factors_and_scale_count() {
    let mut factors = prior();
    factors.mean[THICK_TEE.index()] = 0.6;
    factors.s2 = 4.0;
    let list = [Contribution::new(THICK_TEE, -1.0e-3)];
    let got = predict(&list, &factors, &CHOICES).unwrap();
    close(got.change, -0.6e-3);
    close(got.unfactored, -1.0e-3);
    let usual = predicted(&list);
    close(got.high - got.low, 2.0 * (usual.high - usual.low));
    close(factors.sd(THICK_TEE), 0.7);
}

/// Chance against the Cauchy (ν 1) and ν 2 closed forms.
#[test]
fn the_chance_is_students() {
    let mut factors = prior();
    let list = [Contribution::new(THICK_TEE, -1.0e-3)];
    for nu in [1.0, 2.0] {
        factors.nu = nu;
        let got = predict(&list, &factors, &CHOICES).unwrap();
        let cdf = |x: f64| {
            if nu == 1.0 {
                0.5 + x.atan() / PI
            } else {
                0.5 + 0.5 * x / (2.0 + x * x).sqrt()
            }
        };
        let (offset, below, above) = (0.8e-3, 0.5e-3, 1.0e-3);
        let centre = -1.0e-3 + offset;
        let wanted = cdf((above - centre) / got.sd()) - cdf((-below - centre) / got.sd());
        let chance = got.chance_within(offset, below, above).unwrap();
        assert!((chance - wanted).abs() < 1e-12, "{chance} for {wanted}");
    }
}

/// Steps of 1/16 in and of 1 mm; a half goes away from zero either way; never −0.
#[test]
fn allowances_round_halves_away_from_zero() {
    let sixteenth = 0.0254 / 16.0;
    let of = |change: f64, step: f64| {
        Prediction {
            change,
            ..predicted(&[])
        }
        .allowance(step)
        .unwrap()
    };
    for (sixteenths, wanted) in [
        (-0.49, 0.0),
        (-0.5, 1.0),
        (-1.0, 1.0),
        (-1.4, 1.0),
        (-1.5, 2.0),
        (-2.5, 3.0),
        (0.5, -1.0),
        (1.5, -2.0),
        (2.49, -2.0),
        (0.3, 0.0),
    ] {
        close(of(sixteenths * sixteenth, sixteenth), wanted * sixteenth);
        close(of(sixteenths * 1e-3, 1e-3), wanted * 1e-3);
    }
    for change in [0.0, -0.0, 1e-9, -1e-9] {
        let none = of(change, 1e-3);
        assert!(none == 0.0 && none.is_sign_positive());
    }
}

/// Without joints the dimension stays: a point band, in tolerance for sure or not at all.
#[test]
fn nothing_welded_changes_nothing() {
    let got = predicted(&[]);
    assert_eq!(
        (got.low, got.change, got.high, got.sd()),
        (0.0, 0.0, 0.0, 0.0)
    );
    assert_eq!(got.chance_within(0.0, 1e-3, 1e-3).unwrap(), 1.0);
    assert_eq!(got.chance_within(0.9e-3, 1e-3, 1e-3).unwrap(), 1.0);
    assert_eq!(got.chance_within(1.1e-3, 1e-3, 1e-3).unwrap(), 0.0);
    assert_eq!(got.chance_within(-1.1e-3, 1e-3, 1e-3).unwrap(), 0.0);
    assert_eq!(got.findings(0.0, 1e-3, 1e-3, false).unwrap(), []);
}

#[test]
fn findings_come_where_they_should() {
    let list = [Contribution::new(THIN_KINK, -2.0e-3)];
    let got = predicted(&list);
    let few = got.findings(2.0e-3, 1e-3, 1e-3, false).unwrap();
    assert!(matches!(few[0], Finding::ChanceLow { chance } if chance < 0.9));
    assert!(matches!(few[1], Finding::CouponFirst { band, tolerance }
        if band > 2e-3 && (tolerance - 2e-3).abs() < 1e-15));
    // Tried: only the chance. Wide tolerance: nothing. No kink: no coupon asked for.
    assert_eq!(got.findings(2.0e-3, 1e-3, 1e-3, true).unwrap().len(), 1);
    assert_eq!(got.findings(2.0e-3, 9e-3, 9e-3, false).unwrap(), []);
    let tee = predicted(&[Contribution::new(THICK_TEE, -2.0e-3)]);
    assert_eq!(tee.findings(2.0e-3, 1e-3, 1e-3, false).unwrap().len(), 1);
}

proptest! {
    /// A band set off by the exact −m is the best place: no other offset has a better chance;
    /// a wider tolerance never a worse.
    #[test]
    fn setting_long_by_the_change_is_best(
        changes in prop::collection::vec((0_usize..FACTORS, -3e-3..3e-3_f64), 1..8),
        offset in -3e-3..3e-3_f64,
        tolerance in 1e-4..5e-3_f64,
    ) {
        let list: Vec<_> = changes
            .iter()
            .map(|&(i, c)| Contribution::new(Factor::ALL[i], c))
            .collect();
        let got = predicted(&list);
        let best = got.chance_within(-got.change, tolerance, tolerance).unwrap();
        let other = got.chance_within(offset, tolerance, tolerance).unwrap();
        prop_assert!(other <= best + 1e-12);
        let wider = got.chance_within(offset, 1.2 * tolerance, 1.1 * tolerance).unwrap();
        prop_assert!(wider >= other - 1e-12);
        prop_assert!(got.low <= got.change && got.change <= got.high);
        // However the common part is summed it is the quadratic form.
        let prior = prior();
        let mut form = 0.0;
        for a in &list {
            for b in &list {
                form += a.change * b.change
                    * prior.covariance[a.factor.index()][b.factor.index()];
            }
        }
        prop_assert!((got.common - form).abs() < 1e-16);
    }
}

// Refusals.

#[test]
fn what_cannot_be_used_is_refused() {
    assert!(matches!(
        direction([1.0; 3], [1.0, 1.0, 1.0 + 1e-12]),
        Err(WeldError::PointsCoincide { .. })
    ));
    assert!(direction([-f64::MAX; 3], [f64::MAX; 3]).is_err());
    let long = Pull {
        along: [1.0, 1.0, 0.0],
        amount: 1e-3,
    };
    assert!(matches!(long.change(X), Err(WeldError::NotUnit { .. })));
    assert!(
        Kink {
            at: [0.0; 3],
            axis: [0.0; 3],
            angle: 0.1
        }
        .change(X, X)
        .is_err()
    );
    for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        assert!(direction([bad, 0.0, 0.0], X).is_err());
        assert!(
            Pull {
                along: X,
                amount: bad
            }
            .change(X)
            .is_err()
        );
        assert!(
            Pull {
                along: X,
                amount: 0.0
            }
            .change([bad, 0.0, 0.0])
            .is_err()
        );
        assert!(
            Kink {
                at: [bad; 3],
                axis: X,
                angle: 0.1
            }
            .change(X, X)
            .is_err()
        );
        assert!(
            Kink {
                at: X,
                axis: X,
                angle: bad
            }
            .change(X, X)
            .is_err()
        );
        assert!(
            Kink {
                at: X,
                axis: X,
                angle: 0.1
            }
            .change([bad; 3], X)
            .is_err()
        );
        for list in [
            [Contribution::new(THICK_TEE, bad)],
            [Contribution {
                factor: THICK_TEE,
                change: 0.0,
                lean: bad,
            }],
        ] {
            assert!(predict(&list, &prior(), &CHOICES).is_err());
        }
        let got = predicted(&[Contribution::new(THICK_TEE, 1e-3)]);
        assert!(got.allowance(bad).is_err());
        assert!(got.chance_within(bad, 1.0, 1.0).is_err());
        assert!(got.chance_within(0.0, bad, 1.0).is_err());
        assert!(got.chance_within(0.0, 1.0, bad).is_err());
        assert!(prior().interval(THICK_TEE, bad).is_err());
        let broken: [fn(&mut FactorChoices, f64); 10] = [
            |c, v| c.sd = v,
            |c, v| c.sd_thin = v,
            |c, v| c.sd_kink = v,
            |c, v| c.sd_thin_kink = v,
            |c, v| c.correlation = v,
            |c, v| c.scatter = v,
            |c, v| c.freedom = v,
            |c, v| c.confidence = v,
            |c, v| c.tape = v,
            |c, v| c.trammel = v,
        ];
        for set in broken {
            for value in [bad, -0.1] {
                let mut choices = CHOICES;
                set(&mut choices, value);
                assert!(Factors::prior(&choices).is_err());
                assert!(predict(&[], &prior(), &choices).is_err());
            }
        }
        let spoilt: [fn(&mut Factors, f64); 4] = [
            |f, v| f.mean[3] = v,
            |f, v| f.covariance[2][2] = v,
            |f, v| f.s2 = v,
            |f, v| f.nu = v,
        ];
        for set in spoilt {
            let mut factors = prior();
            set(&mut factors, bad);
            assert!(predict(&[], &factors, &CHOICES).is_err());
        }
    }
    let got = predicted(&[]);
    assert!(got.allowance(0.0).is_err());
    assert!(got.chance_within(0.0, -2e-3, 1e-3).is_err());
    for confidence in [0.0, 1.0, -0.5, 0.999_99] {
        assert!(prior().interval(THICK_TEE, confidence).is_err());
    }
    let nothing = FactorChoices {
        freedom: 0.0,
        ..CHOICES
    };
    assert!(matches!(
        nothing.check(),
        Err(WeldError::NotPositive { .. })
    ));
}
