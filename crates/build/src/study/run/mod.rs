//! The launch run of a build: the car it makes, the run, the goal, and what the scales say.

mod car;
mod findings;
mod fit;
mod log;
mod plan;
mod readings;

use std::sync::{Arc, OnceLock};

pub use car::reading_over;
pub use fit::JointFit;
pub use log::{Changed, FittedFriction, Predicted, advice, changed_since};
pub use plan::{GoalChange, RunPlan};
pub use vehicle::run::{
    Effect, ErrorBar, Event, EventKind, LaunchFit, Limit, LimitSwitch, Mark, Parameter,
    Reading as SlipReading, Run, RunCar, Sample, Simulation, SlipLaunch, SlipRun, Slope,
    StopTouched, TyreCurve,
};
pub use vehicle::weighing::{CornerWeights, MeasuredHeight};

pub(super) use findings::findings;
pub(super) use readings::readings;

use vehicle::run::{RunModel, RunSettings};

use super::{LaunchStudy, Phrase, RearStudy};
use crate::{Build, Goal};

/// The run and what belongs to it.
#[derive(Debug)]
pub struct RunStudy {
    /// The car as the run sees it, or what is missing.
    pub car: Result<RunCar, Phrase>,
    /// The run, or how it ends.
    pub run: Result<Run, Phrase>,
    /// What seats set unlike put on the left rear tyre over the right one at the run's greatest acceleration, N:
    /// of the balance, which has roll; the run has none.
    pub preload_shift: Result<f64, Phrase>,
    /// The goal against the run.
    pub goal: Option<GoalStudy>,
    /// What the corner scales say.
    pub corners: Option<Result<CornerWeights, Phrase>>,
    /// The height of the centre of gravity from the raised axle.
    pub height: Option<Result<MeasuredHeight, Phrase>>,
    /// What its error bar is made of, the largest first: (input, its part, m).
    pub height_parts: Vec<(&'static str, f64)>,
    build: Arc<Build>,
    plan: OnceLock<Result<Arc<RunPlan>, Phrase>>,
    log: OnceLock<log::Log>,
    /// The log of an earlier study: a run whose car and times are the same is kept.
    earlier: Option<log::Log>,
    preload: OnceLock<Option<f64>>,
}

/// A goal and how the run stands to it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GoalStudy {
    /// The goal.
    pub goal: Goal,
    /// What the run takes over it, s; none where there is no run or 60 mph is not reached.
    pub predicted: Option<f64>,
    /// Predicted less wanted, s; positive is too slow.
    pub over: Option<f64>,
}

impl RunStudy {
    /// How the run is timed.
    pub fn settings(&self) -> RunSettings {
        settings(&self.build)
    }

    /// Sensitivities, error bars and the changes that meet the goal: worked out when first asked for.
    ///
    /// # Errors
    /// There is no run.
    pub fn plan(&self) -> Result<Arc<RunPlan>, Phrase> {
        let work = || plan::work_out(&self.build, self).map(Arc::new);
        self.plan.get_or_init(work).clone()
    }

    /// Every logged run beside what the model says of its setting, with its friction: worked out when
    /// first asked for.
    pub fn log(&self) -> Arc<Vec<Predicted>> {
        let work = || log::work_out(&self.build, self.earlier.as_ref());
        self.log.get_or_init(work).runs()
    }

    /// Friction and launch speed of all runs that count together; none where no run that counts has a
    /// 60 ft time.
    pub fn joint_fit(&self) -> Option<Arc<JointFit>> {
        let work = || log::work_out(&self.build, self.earlier.as_ref());
        self.log.get_or_init(work).joint()
    }
}

pub(super) fn settings(b: &Build) -> RunSettings {
    RunSettings {
        rollout: b.run.rollout.si(),
        ..RunSettings::default()
    }
}

pub(super) fn study(
    b: &Build,
    rear: &RearStudy,
    launch: &LaunchStudy,
    earlier: Option<&RunStudy>,
) -> RunStudy {
    let car = car::car(b, rear, &launch.coilovers, &launch.springs);
    let run = car.clone().and_then(|car| run(b, &car));
    let goal = b.run.goal.map(|goal| {
        let slip = run.as_ref().ok().map(|r| r.slip);
        let predicted = slip.and_then(|s| s.reading(reading_over(goal.over)));
        GoalStudy {
            goal,
            predicted,
            over: predicted.map(|p| p - goal.time.si()),
        }
    });
    let (height, height_parts) = match car::height(b) {
        Some(Ok((height, parts))) => (Some(Ok(height)), parts),
        Some(Err(why)) => (Some(Err(why)), Vec::new()),
        None => (None, Vec::new()),
    };
    let preload_shift = match &run {
        Ok(run) => super::launch::preload_shift(b, rear, launch, run.peak.acceleration)
            .map_err(Phrase::from),
        Err(why) => Err(why.clone()),
    };
    RunStudy {
        preload_shift,
        corners: car::corners(b),
        height,
        height_parts,
        car,
        run,
        goal,
        build: Arc::new(b.clone()),
        plan: OnceLock::new(),
        log: OnceLock::new(),
        earlier: earlier.and_then(|e| e.log.get().or(e.earlier.as_ref()).cloned()),
        preload: OnceLock::new(),
    }
}

pub(super) fn run(b: &Build, car: &RunCar) -> Result<Run, Phrase> {
    let say = |e: vehicle::run::RunError| Phrase::from(e.to_string());
    RunModel::new(car)
        .map_err(say)?
        .run(&settings(b))
        .map_err(say)
}
