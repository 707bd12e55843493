//! Does the plan keep its promise? Jobs are made up from the stated model, the plan is
//! followed bead by bead, and the jobs that ever pass the far limit are counted.

use super::*;
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};
use std::f64::consts::TAU;

const JOBS: usize = 10_000;

fn uniform(rng: &mut ChaCha8Rng) -> f64 {
    // Odd multiples of 2^-54: never 0, never 1.
    ((rng.next_u64() >> 11) as f64 + 0.5) / (1_u64 << 53) as f64
}

/// Box and Muller, one of the pair.
fn normal(rng: &mut ChaCha8Rng) -> f64 {
    (-2.0 * uniform(rng).ln()).sqrt() * (TAU * uniform(rng)).cos()
}

fn between(rng: &mut ChaCha8Rng, low: f64, high: f64) -> f64 {
    low + (high - low) * uniform(rng)
}

/// A job and what nobody in the shop knows about it: u, β and the true scatter σ, with
/// σ² = ν/χ²_ν, the inverse gamma the plan starts from, scaling every variance.
struct Made {
    job: Job,
    position: f64,
    per_bead: f64,
    sigma: f64,
    rng: ChaCha8Rng,
}

impl Made {
    fn new(seed: u64, settings: BeadSettings) -> Self {
        let mut rng = ChaCha8Rng::seed_from_u64(seed);
        let tolerance = between(&mut rng, 0.5e-3, 2.0e-3);
        let distance = tolerance * between(&mut rng, 1.2, 8.0);
        let longer = uniform(&mut rng) < 0.5;
        let target = between(&mut rng, 0.3, 1.5);
        let job = Job {
            target,
            tolerance,
            first_reading: target + if longer { -distance } else { distance },
            reading_sd: tolerance * between(&mut rng, 0.05, 0.25),
            per_bead: tolerance * between(&mut rng, 0.2, 1.0),
            settings,
        };
        let nu = settings.start_freedom as usize;
        let chi2: f64 = (0..nu).map(|_| normal(&mut rng).powi(2)).sum();
        let sigma = (nu as f64 / chi2).sqrt();
        Self {
            position: -distance + sigma * job.reading_sd * normal(&mut rng),
            per_bead: job.per_bead * (1.0 + settings.spread * sigma * normal(&mut rng)),
            job,
            sigma,
            rng,
        }
    }

    fn bead(&mut self) {
        let tau = self.job.settings.bead_scatter * self.job.per_bead;
        self.position += self.per_bead + self.sigma * tau * normal(&mut self.rng);
    }

    fn reading(&mut self) -> f64 {
        let noise = self.sigma * self.job.reading_sd * normal(&mut self.rng);
        self.job.target + self.job.toward() * (self.position + noise)
    }
}

#[derive(Default, Debug)]
struct Tally {
    /// Jobs that passed +T after some bead.
    passed: usize,
    /// Jobs that passed +T when a reading was due.
    passed_at_reading: usize,
    /// Sum of the chances the plans said they spent.
    spent: f64,
    most_spent: f64,
    done: usize,
    truly_within: usize,
    past: usize,
    not_moving: usize,
    may_overshoot: usize,
    endless: usize,
    beads: usize,
    readings: usize,
}

/// Follows `rule` through all jobs. The rule says how many beads to lay.
fn follow(jobs: usize, chance: f64, rule: impl Fn(&Plan) -> Result<u32, Why>) -> Tally {
    let settings = BeadSettings {
        chance,
        ..BeadSettings::DEFAULT
    };
    let mut tally = Tally::default();
    for seed in 0..jobs as u64 {
        let mut made = Made::new(seed, settings);
        let mut plan = Plan::start(&made.job).unwrap();
        let limit = made.job.tolerance;
        let (mut passed, mut passed_at_reading) = (false, false);
        let why = loop {
            if plan.moves().len() >= 200 {
                break Why::LayAndMeasure;
            }
            let lay = match rule(&plan) {
                Ok(lay) => lay,
                Err(why) => break why,
            };
            for _ in 0..lay {
                made.bead();
                passed |= made.position > limit;
            }
            passed_at_reading |= made.position > limit;
            let reading = made.reading();
            plan.measured(lay, reading).unwrap();
        };
        match why {
            Why::Done => {
                tally.done += 1;
                tally.truly_within += usize::from(made.position.abs() <= limit);
            }
            Why::Past => tally.past += 1,
            Why::NotMoving => tally.not_moving += 1,
            Why::NextMayOvershoot => tally.may_overshoot += 1,
            Why::LayAndMeasure => tally.endless += 1,
        }
        tally.passed += usize::from(passed);
        tally.passed_at_reading += usize::from(passed_at_reading);
        tally.spent += plan.chance_spent();
        tally.most_spent = tally.most_spent.max(plan.chance_spent());
        tally.beads += plan.beads_laid() as usize;
        tally.readings += plan.moves().len();
    }
    println!("chance {chance}: {tally:?}");
    tally
}

fn advised(plan: &Plan) -> Result<u32, Why> {
    let advice = plan.next();
    match advice.why {
        Why::LayAndMeasure => Ok(advice.lay),
        why => Err(why),
    }
}

/// Lays what comes nearest to the target, unmeasured beads and the chance of overshoot or
/// not.
fn nearest(plan: &Plan) -> Result<u32, Why> {
    let (u, beta, job) = (plan.position().value, plan.per_bead().value, plan.job());
    if u.abs() <= job.tolerance {
        return Err(Why::Done);
    }
    if u > job.tolerance {
        return Err(Why::Past);
    }
    if beta <= job.settings.least_share * job.per_bead {
        return Err(Why::NotMoving);
    }
    Ok(((-u / beta - 0.5).ceil() as u32).max(1))
}

fn rate(count: usize) -> f64 {
    count as f64 / JOBS as f64
}

fn promise_is_kept(chance: f64) -> Tally {
    let tally = follow(JOBS, chance, advised);
    assert!(rate(tally.passed) <= chance, "{tally:?}");
    assert!(tally.most_spent <= chance, "{tally:?}");
    // The chances told are the ones met, to 4 sd of a count.
    let said = tally.spent;
    let met = tally.passed_at_reading as f64;
    assert!((met - said).abs() <= 4.0 * said.sqrt(), "{met} for {said}");
    assert_eq!(tally.endless, 0);
    tally
}

#[test]
fn overshoot_stays_under_five_in_a_hundred() {
    let tally = promise_is_kept(0.05);
    // 90 in 100 end in tolerance, 95 in 100 of those truly so; 6 are beads that move nothing,
    // which the model holds possible (t with 8 degrees, 1.8 scales below its middle).
    assert!(rate(tally.done) >= 0.85, "{tally:?}");
    assert!(
        tally.truly_within as f64 >= 0.9 * tally.done as f64,
        "{tally:?}"
    );
}

#[test]
fn overshoot_stays_under_two_in_a_hundred() {
    promise_is_kept(0.02);
}

#[test]
fn overshoot_stays_under_ten_in_a_hundred() {
    promise_is_kept(0.10);
}

/// The count can fail: beads laid to the target without the limit on the chance pass it far
/// more often.
#[test]
fn without_the_limit_overshoot_is_common() {
    let tally = follow(JOBS, 0.05, nearest);
    assert!(rate(tally.passed) > 0.25, "{tally:?}");
}
