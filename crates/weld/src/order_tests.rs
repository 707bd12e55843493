use super::*;
use crate::control::predict;
use crate::control::{Factor, FactorKind};
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};

const CHOICES: FactorChoices = FactorChoices::DEFAULT;

fn joint(changes: &[f64], at: [f64; 3]) -> OrderJoint {
    OrderJoint {
        changes: changes.to_vec(),
        at,
    }
}

fn prior() -> Factors {
    Factors::prior(&CHOICES).unwrap()
}

// The proposal.

/// Worked by hand, tolerance 1 mm: the small pull first, then the one that brings it back, the
/// great one when it does least harm.
#[test]
fn drift_is_kept_small() {
    let at = [0.0; 3];
    let joints = [
        joint(&[-0.9e-3], at),
        joint(&[0.6e-3], at),
        joint(&[-0.2e-3], at),
    ];
    // 0 → −0.2 (0.2) → +0.4 (0.4, against 1.1) → −0.5.
    assert_eq!(propose(&joints, &[1e-3], at).unwrap(), [2, 1, 0]);
    // The dimension that is furthest out of its own tolerance rules.
    let two = [joint(&[0.5e-3, 0.1e-3], at), joint(&[0.1e-3, 0.5e-3], at)];
    assert_eq!(propose(&two, &[1e-3, 5e-3], at).unwrap(), [1, 0]);
    assert_eq!(propose(&two, &[5e-3, 1e-3], at).unwrap(), [0, 1]);
}

/// Equal joints right and left of the middle: from the middle out, side to side, a tie by entry.
#[test]
fn equals_go_from_the_middle_out_side_to_side() {
    let at = |y: f64| joint(&[0.0], [0.0, y, 0.0]);
    let joints = [at(0.4), at(0.2), at(-0.2), at(-0.4), at(0.0), at(-0.2)];
    // 4 is the middle; of 1, 2 and 5 none is opposite the middle: entry; then right; the left
    // at 0.4 is opposite, but 5 is nearer; then left, then right.
    assert_eq!(
        propose(&joints, &[1e-3], [0.0; 3]).unwrap(),
        [4, 1, 2, 5, 0, 3]
    );
    // To within 1 mm distances tie.
    let near = [at(0.2009), at(0.2), at(-0.2008)];
    assert_eq!(propose(&near, &[1e-3], [0.0; 3]).unwrap(), [0, 2, 1]);
    let far = [at(0.2011), at(0.2), at(-0.2012)];
    assert_eq!(propose(&far, &[1e-3], [0.0; 3]).unwrap(), [1, 2, 0]);
}

/// Scores tie up to 0.05 above the best, and no further.
#[test]
fn scores_tie_within_a_twentieth() {
    let pair = |score: f64| {
        let far = joint(&[0.10e-3], [0.5, 0.0, 0.0]);
        propose(&[far, joint(&[score * 1e-3], [0.0; 3])], &[1e-3], [0.0; 3]).unwrap()
    };
    assert_eq!(pair(0.15), [1, 0]);
    assert_eq!(pair(0.151), [0, 1]);
}

/// The rule read again in whole numbers: scores in hundredths of a tolerance, places in
/// quarter millimetres along y (so distances are exact), ties by sorting on all keys at once.
#[test]
fn random_sets_follow_the_rule_read_again() {
    let mut rng = ChaCha8Rng::seed_from_u64(87);
    let mut draw = |low: i64, high: i64| low + (rng.next_u64() % (high - low + 1) as u64) as i64;
    for _ in 0..2000 {
        let n = draw(0, 9);
        let set: Vec<([i64; 2], i64)> = (0..n)
            .map(|_| ([draw(-40, 40), draw(-40, 40)], draw(-12, 12)))
            .collect();
        let tolerances = [1.0e-3, 2.5e-3];
        let joints: Vec<OrderJoint> = set
            .iter()
            .map(|(c, y)| {
                joint(
                    &[
                        c[0] as f64 / 100.0 * tolerances[0],
                        c[1] as f64 / 100.0 * tolerances[1],
                    ],
                    [0.7, *y as f64 * 0.25e-3, -0.2],
                )
            })
            .collect();
        let got = propose(&joints, &tolerances, [0.7, 0.0, -0.2]).unwrap();
        let mut x = [0, 0];
        let mut side = 0;
        let mut left: Vec<usize> = (0..set.len()).collect();
        for &chosen in &got {
            let score = |j: usize| (x[0] + set[j].0[0]).abs().max((x[1] + set[j].0[1]).abs());
            let least = left.iter().map(|&j| score(j)).min().unwrap();
            let tied: Vec<usize> = left
                .iter()
                .copied()
                .filter(|&j| score(j) <= least + 5)
                .collect();
            let nearest = tied.iter().map(|&j| set[j].1.abs()).min().unwrap();
            let wanted = tied
                .iter()
                .copied()
                .min_by_key(|&j| {
                    let too_far = set[j].1.abs() > nearest + 4;
                    let same_side = set[j].1.signum() * side != -1;
                    (too_far, same_side, j)
                })
                .unwrap();
            assert_eq!(chosen, wanted);
            x = [x[0] + set[chosen].0[0], x[1] + set[chosen].0[1]];
            side = set[chosen].1.signum();
            left.retain(|&j| j != chosen);
        }
        assert!(left.is_empty());
    }
}

// Drift, and when to measure.

fn build(rng: &mut ChaCha8Rng, joints: usize, dimensions: usize) -> Vec<Vec<Vec<Contribution>>> {
    (0..joints)
        .map(|_| {
            (0..dimensions)
                .map(|_| {
                    (0..rng.next_u64() % 3)
                        .map(|_| {
                            let factor = Factor::ALL[(rng.next_u64() % 10) as usize];
                            let thousandths = rng.next_u64() % 4001;
                            let change = (thousandths as f64 - 2000.0) * 1e-6;
                            Contribution {
                                factor,
                                change,
                                lean: 0.1 * change,
                            }
                        })
                        .collect()
                })
                .collect()
        })
        .collect()
}

/// In any order the last step is the prediction of all joints together.
#[test]
fn the_total_does_not_depend_on_the_order() {
    let mut rng = ChaCha8Rng::seed_from_u64(88);
    for _ in 0..30 {
        let joints = build(&mut rng, 8, 3);
        let mut order: Vec<usize> = (0..8).collect();
        for i in (1..8).rev() {
            order.swap(i, (rng.next_u64() % (i as u64 + 1)) as usize);
        }
        let steps = drift(&order, &joints, &prior(), &CHOICES).unwrap();
        assert_eq!(
            steps.iter().map(|step| step.joint).collect::<Vec<_>>(),
            order
        );
        for d in 0..3 {
            let all: Vec<Contribution> = joints.iter().flat_map(|joint| joint[d].clone()).collect();
            let total = predict(&all, &prior(), &CHOICES).unwrap();
            let last = steps[7].dimensions[d];
            for (got, wanted) in [
                (last.drift, total.change),
                (last.low, total.low),
                (last.high, total.high),
            ] {
                assert!((got - wanted).abs() < 1e-15, "{got} {wanted}");
            }
            // The first step is the first joint alone.
            let first = predict(&joints[order[0]][d], &prior(), &CHOICES).unwrap();
            assert_eq!(steps[0].dimensions[d].drift, first.change);
            assert_eq!(steps[0].dimensions[d].high, first.high);
        }
    }
}

/// By hand: tees of −0.3 mm each, one of the two dimensions not touched by the second. Half
/// band after k tees of one kind: 1.8595·0.3·√(0.1225k² + 0.04k) mm.
#[test]
fn measure_where_half_the_tolerance_is_passed() {
    let tee = Factor::new(FactorKind::Tee, false);
    let one = vec![Contribution::new(tee, -0.3e-3)];
    let joints = vec![
        vec![one.clone(), one.clone()],
        vec![one.clone(), Vec::new()],
        vec![one.clone(), one.clone()],
    ];
    let steps = drift(&[0, 1, 2], &joints, &prior(), &CHOICES).unwrap();
    let reach = |k: f64| 0.3e-3 * k + 1.859_548e-3 * 0.3 * (0.1225 * k * k + 0.04 * k).sqrt();
    for k in 1..=3_usize {
        let got = steps[k - 1].dimensions[0];
        let half = 0.5 * (got.high - got.low);
        assert!((got.drift.abs() + half - reach(k as f64)).abs() < 1e-9);
    }
    let when = |a: f64, b: f64| measure_when(&steps, &[2.0 * a, 2.0 * b]).unwrap();
    assert_eq!(
        when(reach(1.0) + 1e-6, reach(1.0) + 1e-6),
        [Some(1), Some(2)]
    );
    assert_eq!(
        when(reach(1.0) - 1e-6, reach(2.0) - 1e-6),
        [Some(0), Some(2)]
    );
    assert_eq!(when(reach(2.0) + 1e-6, reach(2.0) + 1e-6), [Some(2), None]);
    assert_eq!(measure_when(&[], &[1e-3]).unwrap(), [None]);
}

#[test]
fn what_cannot_be_used_is_refused() {
    let at = [0.0; 3];
    let good = joint(&[1e-3], at);
    for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        assert!(propose(&[joint(&[bad], at)], &[1e-3], at).is_err());
        assert!(propose(&[joint(&[0.0], [bad, 0.0, 0.0])], &[1e-3], at).is_err());
        assert!(propose(std::slice::from_ref(&good), &[bad], at).is_err());
        assert!(propose(std::slice::from_ref(&good), &[1e-3], [0.0, bad, 0.0]).is_err());
        let tee = Factor::new(FactorKind::Tee, false);
        let joints = vec![vec![vec![Contribution::new(tee, bad)]]];
        assert!(drift(&[0], &joints, &prior(), &CHOICES).is_err());
        let step = Step {
            joint: 0,
            dimensions: vec![Drift {
                drift: bad,
                low: 0.0,
                high: 0.0,
            }],
        };
        assert!(measure_when(&[step], &[1e-3]).is_err());
    }
    assert!(propose(std::slice::from_ref(&good), &[0.0], at).is_err());
    assert!(matches!(
        propose(&[good], &[1e-3, 1e-3], at),
        Err(WeldError::Count {
            found: 1,
            wanted: 2,
            ..
        })
    ));
    let joints = vec![vec![Vec::new()]; 3];
    for order in [vec![0, 1], vec![0, 1, 1], vec![0, 1, 3], vec![0, 1, 2, 2]] {
        assert!(matches!(
            drift(&order, &joints, &prior(), &CHOICES),
            Err(WeldError::NotAnOrder { .. })
        ));
    }
    let uneven = vec![vec![Vec::new()], vec![]];
    assert!(drift(&[0, 1], &uneven, &prior(), &CHOICES).is_err());
    assert_eq!(propose(&[], &[], at).unwrap(), Vec::<usize>::new());
    assert_eq!(drift(&[], &[], &prior(), &CHOICES).unwrap(), []);
}
