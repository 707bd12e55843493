//! What decides the time: sensitivities, error bars, and the change that meets the goal.

use vehicle::run::{
    ErrorBar, InputSigma, Parameter, Reading, RunCar, RunError, RunModel, RunSettings,
    Sensitivities, Simulation, SlipLaunch, SlipRun, simulate,
};

use super::super::Phrase;
use super::{RunStudy, reading_over, settings};
use crate::Build;

/// Sensitivities and what follows from them.
#[derive(Debug, Clone, PartialEq)]
pub struct RunPlan {
    /// The effect of every input.
    pub sensitivities: Sensitivities,
    /// How sure each time and speed of the slip is.
    pub bars: Vec<ErrorBar>,
    /// Changes one at a time, easiest first; those that meet the goal say how much they take.
    pub changes: Vec<GoalChange>,
    /// What anti-squat moves besides the clock; none where one of the runs has no answer.
    pub anti_squat: Option<AntiSquatMoves>,
}

/// What a step of anti-squat moves of the body: seconds it hardly does, for a driver who is perfect.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AntiSquatMoves {
    /// The step, 1 = 100 %.
    pub by: f64,
    /// Change of the greatest pitch, rad, nose up positive.
    pub nose_up: f64,
    /// Change of how far the rear tyres and the body come apart, m.
    pub separation: f64,
}

impl RunPlan {
    /// The error bar of a reading.
    pub fn bar(&self, reading: Reading) -> Option<&ErrorBar> {
        self.bars.iter().find(|b| b.reading == reading)
    }

    /// The easiest change that meets the goal on its own.
    pub fn easiest(&self) -> Option<&GoalChange> {
        self.changes.iter().find(|c| c.meets)
    }
}

/// One input changed until the goal is met, or as far as a shop would go.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GoalChange {
    /// The input.
    pub parameter: Parameter,
    /// By how much, in the parameter's unit (relative, m, rad/s), with its sign.
    pub by: f64,
    /// What the goal's reading is then, s.
    pub then: f64,
    /// The goal is met.
    pub meets: bool,
}

/// Inputs from what is set in the pits to what is bought or built (choices), with how far a shop would
/// go each way: relative, m, rad/s.
const EASIEST_FIRST: [(Parameter, f64); 11] = [
    (Parameter::ShiftSpeed, 80.0),
    (Parameter::LaunchSpeed, 150.0),
    (Parameter::Dampers, 0.5),
    (Parameter::AntiSquat, 0.4),
    (Parameter::Springs, 0.3),
    (Parameter::Friction, 0.4),
    (Parameter::FinalDrive, 0.25),
    (Parameter::CgHeight, 0.05),
    (Parameter::CgStation, 0.10),
    (Parameter::Mass, 0.12),
    (Parameter::Power, 0.30),
];

/// Halvings of a change: to about a thousandth of how far a shop would go.
const HALVINGS: usize = 10;

pub(super) fn sigmas(b: &Build) -> Vec<InputSigma> {
    let u = &b.run.unsure;
    let mass = b.car.mass.si().max(1.0);
    [
        (Parameter::Power, u.power.si()),
        (Parameter::Mass, u.mass.si() / mass),
        (Parameter::Friction, u.friction.si()),
        (Parameter::CgHeight, u.cg_height.si()),
        (Parameter::CgStation, u.cg_station.si()),
        (Parameter::LaunchSpeed, u.launch.si()),
    ]
    .into_iter()
    .map(|(parameter, sigma)| InputSigma { parameter, sigma })
    .collect()
}

pub(super) fn work_out(b: &Build, study: &RunStudy) -> Result<RunPlan, Phrase> {
    let car = study.car.clone()?;
    // What ends the run ends the plan, in the same words.
    study.run.as_ref().map_err(Clone::clone)?;
    let settings = settings(b);
    let say = |e: RunError| Phrase::from(e.to_string());
    let sensitivities = Sensitivities::of(&car, &settings).map_err(say)?;
    let sigmas = sigmas(b);
    let mut bars = Vec::new();
    for reading in Reading::ALL {
        bars.extend(sensitivities.error_bar(reading, &sigmas).map_err(say)?);
    }
    let changes = match (&b.run.goal, study.goal.and_then(|g| g.over)) {
        (Some(goal), Some(over)) if over > 0.0 => {
            let reading = reading_over(goal.over);
            let wanted = goal.time.si();
            EASIEST_FIRST
                .into_iter()
                .filter_map(|(p, most)| {
                    let slope = sensitivities.slope(p, reading)?.central;
                    change(&car, &settings, p, -most * slope.signum(), reading, wanted)
                })
                .collect()
        }
        _ => Vec::new(),
    };
    let by = Parameter::AntiSquat.step();
    let body = |by: f64| {
        let model = RunModel::new(&car.varied(Parameter::AntiSquat, by)).ok()?;
        Some(model.run(&settings).ok()?.extremes)
    };
    let anti_squat = body(-by).zip(body(by)).map(|(a, b)| AntiSquatMoves {
        by,
        nose_up: 0.5 * (b.nose_up_max.value - a.nose_up_max.value),
        separation: 0.5 * (a.rear_travel_min.value - b.rear_travel_min.value),
    });
    Ok(RunPlan {
        anti_squat,
        sensitivities,
        bars,
        changes,
    })
}

/// Changes one input up to `most` and back to the least that meets the goal.
fn change(
    car: &RunCar,
    settings: &RunSettings,
    parameter: Parameter,
    most: f64,
    reading: Reading,
    wanted: f64,
) -> Option<GoalChange> {
    let time = |by: f64| {
        let model = RunModel::new(&car.varied(parameter, by)).ok()?;
        model.slip(settings).ok()?.reading(reading)
    };
    let far = time(most)?;
    if far > wanted {
        return Some(GoalChange {
            parameter,
            by: most,
            then: far,
            meets: false,
        });
    }
    let (mut short, mut enough, mut then) = (0.0, most, far);
    for _ in 0..HALVINGS {
        let middle = 0.5 * (short + enough);
        match time(middle) {
            Some(t) if t <= wanted => {
                enough = middle;
                then = t;
            }
            _ => short = middle,
        }
    }
    Some(GoalChange {
        parameter,
        by: enough,
        then,
        meets: true,
    })
}

impl RunStudy {
    /// Whether a simulation of `other` would be the same.
    pub fn simulates_alike(&self, other: &Self) -> bool {
        std::ptr::eq(self, other)
            || (self.car == other.car
                && settings(&self.build) == settings(&other.build)
                && sigmas(&self.build) == sigmas(&other.build))
    }

    /// The launch with tyre slip and a driver who is not perfect: an extension, not validated.
    ///
    /// # Errors
    /// There is no car, or the launch ends in a named way.
    pub fn with_slip(&self, launch: &SlipLaunch) -> Result<SlipRun, Phrase> {
        let car = self.car.as_ref().map_err(Clone::clone)?;
        RunModel::new(car)
            .and_then(|m| m.run_with_slip(launch, &settings(&self.build)))
            .map_err(|e| Phrase::from(e.to_string()))
    }

    /// A thousand cars or so from the inputs' spreads; `go_on` is told how many are done.
    ///
    /// # Errors
    /// There is no run, or it was called off.
    pub fn simulate(
        &self,
        runs: usize,
        seed: u64,
        go_on: impl FnMut(usize) -> bool,
    ) -> Result<Simulation, Phrase> {
        let car = self.car.clone()?;
        let sigmas = sigmas(&self.build);
        simulate(&car, &settings(&self.build), &sigmas, runs, seed, go_on)
            .map_err(|e| Phrase::from(e.to_string()))
    }
}
