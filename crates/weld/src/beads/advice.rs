//! What to do next, and what may come of it.

use super::Plan;

/// Share of the tolerance by which rounding may put a distance outside it.
const ROUNDING: f64 = 1.0e-9;

/// Chances of having reached the tolerance that beads to come are told for.
const TO_COME: [f64; 3] = [0.05, 0.50, 0.95];

/// Why so many beads, or none.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Why {
    /// Lay them, let them cool to the hand, and measure.
    LayAndMeasure,
    /// The dimension is within its tolerance: done.
    Done,
    /// The dimension is past the far limit: lay on the opposite face, as a new plan.
    Past,
    /// Beads do not move it: look for what holds it.
    NotMoving,
    /// The next bead may overshoot: a smaller bead, a shorter lever, or accept.
    NextMayOvershoot,
}

impl Why {
    /// A few words for lists.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::LayAndMeasure => "lay and measure",
            Self::Done => "in tolerance",
            Self::Past => "past the target",
            Self::NotMoving => "beads do not move it",
            Self::NextMayOvershoot => "the next bead may overshoot",
        }
    }
}

/// What to lay before the next reading.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Advice {
    /// Beads to lay; 0 when stopped.
    pub lay: u32,
    /// Why.
    pub why: Why,
    /// Chance that these beads pass the far limit; None when none are laid.
    pub overshoot_chance: Option<f64>,
    /// Chance with one bead more.
    pub overshoot_chance_one_more: f64,
    /// Chance of overshoot the job has spent.
    pub chance_spent: f64,
    /// Beads to come: the fewest with which the near limit is reached with a chance of 5, 50
    /// and 95 %. None: not within the most beads looked ahead.
    pub beads_to_come: [Option<u32>; 3],
    /// The moves disagree: one bead at a time.
    pub disagree: bool,
    /// Σz² of the readings.
    pub chi2: f64,
    /// Readings taken in.
    pub moves: usize,
}

/// Where the dimension may be some beads from now, m. `low` is less than `high`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Forecast {
    /// Beads from now.
    pub beads: u32,
    /// Expected dimension, m.
    pub mean: f64,
    /// Lower end of its range at the settings' confidence, m.
    pub low: f64,
    /// Upper end, m.
    pub high: f64,
}

impl Plan {
    /// What to lay next: the lesser of the most beads none of which passes +T with more than
    /// the chance left, and the number that comes nearest to the target; one while no bead
    /// has been measured and one while the moves disagree.
    #[must_use]
    pub fn next(&self) -> Advice {
        let (lay, why) = self.lay();
        Advice {
            lay,
            why,
            overshoot_chance: (lay > 0).then(|| self.overshoot_chance(lay)),
            overshoot_chance_one_more: self.overshoot_chance(lay + 1),
            chance_spent: self.chance_spent(),
            beads_to_come: self.beads_to_come(),
            disagree: self.disagree(),
            chi2: self.chi2(),
            moves: self.moves().len(),
        }
    }

    fn lay(&self) -> (u32, Why) {
        let (job, settings) = (self.job(), &self.job().settings);
        let limit = job.tolerance * (1.0 + ROUNDING);
        if self.position.abs() <= limit {
            return (0, Why::Done);
        }
        if self.position > limit {
            return (0, Why::Past);
        }
        if self.per_bead <= settings.least_share * job.per_bead {
            return (0, Why::NotMoving);
        }
        let left = settings.chance - self.chance_spent();
        let safe = (1..=settings.most_beads)
            .take_while(|&beads| self.overshoot_chance(beads) <= left)
            .last();
        let Some(safe) = safe else {
            return (0, Why::NextMayOvershoot);
        };
        let careful = self.moves().is_empty() || self.disagree();
        let wanted = if careful { 1 } else { self.nearest() };
        (wanted.min(safe), Why::LayAndMeasure)
    }

    /// Beads that come nearest to the target, 1 or more: max(1, ⌈−u/β − ½⌉).
    /// The nearer half is short of it, so a tie takes the fewer.
    fn nearest(&self) -> u32 {
        // A cast of more than fits, or of a quotient by next to nothing, saturates.
        ((-self.position / self.per_bead - 0.5).ceil() as u32).max(1)
    }

    fn beads_to_come(&self) -> [Option<u32>; 3] {
        let most = self.job().settings.most_beads;
        TO_COME.map(|chance| (0..=most).find(|&beads| self.reach_chance(beads) >= chance))
    }

    /// Where the dimension may be after 0 to `beads` more beads, for a plot: at most the
    /// settings' most beads.
    #[must_use]
    pub fn forecast(&self, beads: u32) -> Vec<Forecast> {
        (0..=beads.min(self.job().settings.most_beads))
            .map(|beads| {
                let (mean, variance) = self.ahead(beads);
                let range = self.interval(mean, variance);
                let ends = [self.dimension_at(range.low), self.dimension_at(range.high)];
                Forecast {
                    beads,
                    mean: self.dimension_at(mean),
                    low: ends[0].min(ends[1]),
                    high: ends[0].max(ends[1]),
                }
            })
            .collect()
    }
}
