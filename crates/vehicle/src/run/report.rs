//! What a run comes to: settings, marks, clock, limits, extremes.

use super::RunError;
use super::car::{RunCar, RunModel};
use super::check::{not_negative, positive, within};
use super::motion::{Limit, N, V, X};
use super::solver::root;
use super::survey::{Extremes, LimitSwitch, Peak, StopTouched};
use super::trace::{Event, Trace};

/// One foot, m (exact).
pub const FOOT: f64 = 0.3048;
/// Sixty miles per hour, m/s (exact).
pub const SIXTY_MPH: f64 = 26.8224;
/// Length of a speed trap, m: 66 ft.
const TRAP: f64 = 66.0 * FOOT;

/// A mark of the strip.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Mark {
    /// 60 ft.
    SixtyFoot,
    /// 330 ft.
    ThreeThirty,
    /// 660 ft, the eighth mile.
    Eighth,
    /// 1000 ft.
    Thousand,
    /// 1320 ft, the quarter mile.
    Quarter,
}

impl Mark {
    /// All of them, in order.
    pub const ALL: [Self; 5] = [
        Self::SixtyFoot,
        Self::ThreeThirty,
        Self::Eighth,
        Self::Thousand,
        Self::Quarter,
    ];

    /// Travel of the car from the line, m.
    #[must_use]
    pub fn travel(self) -> f64 {
        FOOT * [60.0, 330.0, 660.0, 1000.0, 1320.0][self.index()]
    }

    /// Place in [`Mark::ALL`].
    #[must_use]
    pub const fn index(self) -> usize {
        self as usize
    }
}

impl std::fmt::Display for Mark {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(["60 ft", "330 ft", "660 ft", "1000 ft", "1320 ft"][self.index()])
    }
}

/// How a run is timed and how finely it is integrated.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RunSettings {
    /// Rollout, m: the clock starts when the car has come this far from the line. Default 1 ft, 0 = from
    /// first motion.
    pub rollout: f64,
    /// Relative tolerance of the steps, 1e-12 to 1e-3, default 1e-5 (better than 0.1 ms).
    pub relative: f64,
    /// Absolute tolerance of the steps, SI, default 1e-7.
    pub absolute: f64,
    /// The run is given up after this time, s, default 60.
    pub time_limit: f64,
}

impl Default for RunSettings {
    fn default() -> Self {
        Self {
            rollout: FOOT,
            relative: 1e-5,
            absolute: 1e-7,
            time_limit: 60.0,
        }
    }
}

impl RunSettings {
    /// The same with steps finer by a factor.
    #[must_use]
    pub fn finer(self, factor: f64) -> Self {
        Self {
            relative: (self.relative / factor).max(1e-12),
            absolute: (self.absolute / factor).max(1e-14),
            ..self
        }
    }

    pub(super) fn check(&self) -> Result<(), RunError> {
        not_negative("rollout", self.rollout)?;
        within("rollout", self.rollout, 0.0, Mark::SixtyFoot.travel())?;
        within("relative tolerance", self.relative, 1e-12, 1e-3)?;
        within("absolute tolerance", self.absolute, 1e-14, 1e-3)?;
        positive("time limit", self.time_limit)
    }
}

/// A reading on the time slip.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Reading {
    /// Time to a mark on the clock, s.
    Clock(Mark),
    /// Trap speed before 660 ft, m/s.
    EighthTrap,
    /// Trap speed before 1320 ft, m/s.
    QuarterTrap,
    /// 0–60 mph from first motion, s.
    ZeroSixty,
    /// 0–60 mph with rollout, s.
    ZeroSixtyRollout,
}

impl Reading {
    /// All of them.
    pub const ALL: [Self; 9] = [
        Self::Clock(Mark::SixtyFoot),
        Self::Clock(Mark::ThreeThirty),
        Self::Clock(Mark::Eighth),
        Self::Clock(Mark::Thousand),
        Self::Clock(Mark::Quarter),
        Self::EighthTrap,
        Self::QuarterTrap,
        Self::ZeroSixty,
        Self::ZeroSixtyRollout,
    ];

    /// Place in [`Reading::ALL`].
    #[must_use]
    pub const fn index(self) -> usize {
        match self {
            Self::Clock(mark) => mark.index(),
            Self::EighthTrap => 5,
            Self::QuarterTrap => 6,
            Self::ZeroSixty => 7,
            Self::ZeroSixtyRollout => 8,
        }
    }
}

/// The time slip: marks, traps and 0–60.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Slip {
    /// Time from first motion to the end of the rollout, where the clock starts, s.
    pub clock_start: f64,
    /// Time to each mark from first motion, s, in the order of [`Mark::ALL`].
    pub from_first_motion: [f64; 5],
    /// Speed at each mark, m/s.
    pub speed: [f64; 5],
    /// 66 ft / time over the last 66 ft before 660 ft, m/s.
    pub eighth_trap: f64,
    /// Likewise before 1320 ft, m/s.
    pub quarter_trap: f64,
    /// Time from first motion to 60 mph, s; None if not reached within the quarter mile.
    pub zero_sixty: Option<f64>,
}

impl Slip {
    /// Time to a mark on the clock, s.
    #[must_use]
    pub fn clock(&self, mark: Mark) -> f64 {
        self.from_first_motion[mark.index()] - self.clock_start
    }

    /// 0–60 mph less the time of the rollout, s. The speed at its start is not zero.
    #[must_use]
    pub fn zero_sixty_rollout(&self) -> Option<f64> {
        self.zero_sixty.map(|t| t - self.clock_start)
    }

    /// A reading, s or m/s; None if not reached.
    #[must_use]
    pub fn reading(&self, reading: Reading) -> Option<f64> {
        match reading {
            Reading::Clock(mark) => Some(self.clock(mark)),
            Reading::EighthTrap => Some(self.eighth_trap),
            Reading::QuarterTrap => Some(self.quarter_trap),
            Reading::ZeroSixty => self.zero_sixty,
            Reading::ZeroSixtyRollout => self.zero_sixty_rollout(),
        }
    }
}

impl<const M: usize> Trace<M> {
    /// Time at which a travel is reached, s; the last step's end for what lies beyond.
    pub(super) fn time_at(&self, travel: f64) -> f64 {
        let reached = |i: usize| {
            let step = &self.steps[i].0;
            step.component(X, step.end)
        };
        let (mut low, mut high) = (0, self.steps.len());
        while low < high {
            let middle = (low + high) / 2;
            if reached(middle) < travel {
                low = middle + 1;
            } else {
                high = middle;
            }
        }
        match self.steps.get(low) {
            Some((step, _)) => root(step.start, step.end, |t| step.component(X, t) - travel),
            None => self.end(),
        }
    }

    /// End of the run, s.
    pub(super) fn end(&self) -> f64 {
        self.steps.last().map_or(0.0, |(s, _)| s.end)
    }

    /// Index of the step of a time.
    pub(super) fn step_at(&self, time: f64) -> usize {
        self.steps
            .partition_point(|(s, _)| s.end <= time)
            .min(self.steps.len().saturating_sub(1))
    }

    fn speed_at(&self, time: f64) -> f64 {
        let i = self.step_at(time);
        self.steps.get(i).map_or(0.0, |(s, _)| s.component(V, time))
    }

    /// Time at which the clock starts, s.
    fn clock_start(&self, rollout: f64) -> f64 {
        if rollout > 0.0 {
            self.time_at(rollout)
        } else {
            0.0
        }
    }

    pub(super) fn slip(&self, rollout: f64) -> Slip {
        let from_first_motion = Mark::ALL.map(|m| self.time_at(m.travel()));
        let trap = |mark: Mark| {
            TRAP / (from_first_motion[mark.index()] - self.time_at(mark.travel() - TRAP))
        };
        let sixty = self
            .steps
            .iter()
            .find(|(s, _)| s.component(V, s.end) >= SIXTY_MPH);
        Slip {
            clock_start: self.clock_start(rollout),
            from_first_motion,
            speed: from_first_motion.map(|t| self.speed_at(t)),
            eighth_trap: trap(Mark::Eighth),
            quarter_trap: trap(Mark::Quarter),
            zero_sixty: sixty.map(|(s, _)| root(s.start, s.end, |t| s.component(V, t) - SIXTY_MPH)),
        }
    }
}

impl RunModel {
    /// The whole run with its report.
    ///
    /// # Errors
    /// A named outcome of [`RunError`]: the car does not move, the engine bogs, thrust locks against the
    /// links, a mark is never reached; bad settings.
    pub fn run(&self, settings: &RunSettings) -> Result<Run, RunError> {
        let trace = self.trace(settings, Mark::Quarter)?;
        let slip = trace.slip(settings.rollout);
        let survey = self.survey(&trace)?;
        Ok(Run {
            slip,
            peak: survey.peak,
            seconds_at: survey.seconds,
            switches: survey.switches,
            extremes: survey.extremes,
            stops: survey.stops,
            events: trace.events.clone(),
            model: self.clone(),
            trace,
        })
    }

    /// The time slip alone: what sensitivities and fits need, in less time.
    ///
    /// # Errors
    /// As [`RunModel::run`].
    pub fn slip(&self, settings: &RunSettings) -> Result<Slip, RunError> {
        Ok(self.trace(settings, Mark::Quarter)?.slip(settings.rollout))
    }

    /// Time to one mark on the clock, s: the run ends there.
    ///
    /// # Errors
    /// As [`RunModel::run`].
    pub fn clock_at(&self, mark: Mark, settings: &RunSettings) -> Result<f64, RunError> {
        let trace = self.trace(settings, mark)?;
        Ok(trace.time_at(mark.travel()) - trace.clock_start(settings.rollout))
    }

    /// Times to these marks on the clock, s, in their order; the run ends at the farthest.
    ///
    /// # Errors
    /// As [`RunModel::run`].
    pub fn clocks(&self, marks: &[Mark], settings: &RunSettings) -> Result<Vec<f64>, RunError> {
        let Some(last) = marks.iter().copied().max_by_key(|m| m.index()) else {
            return Ok(Vec::new());
        };
        let trace = self.trace(settings, last)?;
        let start = trace.clock_start(settings.rollout);
        let clock = |m: &Mark| trace.time_at(m.travel()) - start;
        Ok(marks.iter().map(clock).collect())
    }
}

/// A finished run.
#[derive(Clone, Debug, PartialEq)]
pub struct Run {
    /// The time slip.
    pub slip: Slip,
    /// Greatest acceleration.
    pub peak: Peak,
    /// Seconds at each limit, first motion to quarter mile, in the order of [`Limit::ALL`].
    pub seconds_at: [f64; 5],
    /// Every change of the limit, those at events too.
    pub switches: Vec<LimitSwitch>,
    /// Extremes of pitch, travels and loads.
    pub extremes: Extremes,
    /// Stops that were touched, in the order of their first touch.
    pub stops: Vec<StopTouched>,
    /// Events in order.
    pub events: Vec<Event>,
    pub(super) model: RunModel,
    pub(super) trace: Trace<N>,
}

impl Run {
    /// The car that ran.
    #[must_use]
    pub const fn car(&self) -> &RunCar {
        &self.model.car
    }

    /// The model that ran.
    #[must_use]
    pub const fn model(&self) -> &RunModel {
        &self.model
    }

    /// Time from first motion to the quarter mile, s.
    #[must_use]
    pub fn duration(&self) -> f64 {
        self.slip.from_first_motion[Mark::Quarter.index()]
    }

    /// Seconds at a limit.
    #[must_use]
    pub const fn seconds(&self, limit: Limit) -> f64 {
        self.seconds_at[limit.index()]
    }

    /// Share of the time at a limit, of first motion to the quarter mile, 0 to 1.
    #[must_use]
    pub fn share(&self, limit: Limit) -> f64 {
        self.seconds(limit) / self.duration()
    }

    /// Steps the integration took.
    #[must_use]
    pub fn steps(&self) -> usize {
        self.trace.steps.len()
    }
}
