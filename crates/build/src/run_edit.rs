//! Edits of the launch run's inputs and of the run log.

use units::{RotationSpeed, Torque};

use crate::edit::{gone, put, take};
use crate::{
    Build, CouplingData, EditError, GearData, Goal, RaisedAxle, RunRecord, Scales, WeatherData,
};

/// A change to the run's inputs or to its log.
#[derive(Debug, Clone, PartialEq)]
#[expect(
    clippy::large_enum_variant,
    reason = "an edit lives for one frame; boxes would only hide its parts"
)]
pub enum RunEdit {
    /// The torque curve.
    Torque(Vec<(RotationSpeed, Torque)>),
    /// Clutch or converter.
    Coupling(CouplingData),
    /// The gears.
    Gears(Vec<GearData>),
    /// The goal, or none.
    Goal(Option<Goal>),
    /// The air.
    Weather(WeatherData),
    /// The torque is corrected to this air, or not.
    CorrectPower(bool),
    /// Pitch inertia by hand, or the rule of thumb.
    PitchInertia(Option<units::Inertia>),
    /// Corner scales; the car's weight and rear share follow when `take` is set.
    Scales {
        /// The readings, or none.
        scales: Option<Scales>,
        /// Write weight and rear share of the car from them.
        take: bool,
    },
    /// The raised-axle weighing.
    Raised(Option<RaisedAxle>),
    /// Takes a centre of gravity height that was worked out from it, m.
    TakeHeight(f64),
    /// Takes a fitted friction as the tyre's.
    TakeFriction(f64),
    /// Takes a friction and how far off the launch speed is, rad/s, that were fitted together.
    TakeLaunchFit {
        /// Friction.
        friction: f64,
        /// Engine speed above the one written down, rad/s.
        off: f64,
    },
    /// Adds a run or replaces the one with its id.
    PutRun(RunRecord),
    /// Adds runs read from a table.
    PutRuns(Vec<RunRecord>),
    /// Removes a run.
    RemoveRun(String),
    /// Sets the car as it was in a run.
    Restore(String),
}

impl RunEdit {
    /// What the undo menu calls it.
    pub(crate) fn label(&self, b: &Build) -> String {
        match self {
            Self::Torque(_) => "Change the torque curve".to_owned(),
            Self::Coupling(CouplingData::Clutch) => "Use a clutch".to_owned(),
            Self::Coupling(CouplingData::Converter(_)) => "Use a converter".to_owned(),
            Self::Gears(_) => "Change the gears".to_owned(),
            Self::Goal(Some(_)) => "Set the goal".to_owned(),
            Self::Goal(None) => "Clear the goal".to_owned(),
            Self::Weather(_) => "Change the air".to_owned(),
            Self::CorrectPower(_) => "Choose the power correction".to_owned(),
            Self::PitchInertia(_) => "Set pitch inertia".to_owned(),
            Self::Scales { take: true, .. } => "Take the weights from the scales".to_owned(),
            Self::Scales { .. } => "Change the scales".to_owned(),
            Self::Raised(_) => "Change the raised-axle weighing".to_owned(),
            Self::TakeHeight(_) => "Take the centre of gravity height".to_owned(),
            Self::TakeFriction(_) => "Take the fitted friction".to_owned(),
            Self::TakeLaunchFit { .. } => "Take the fitted friction and launch rpm".to_owned(),
            Self::PutRun(x) if b.run.log.iter().any(|r| r.id == x.id) => {
                format!("Change run {}", x.id)
            }
            Self::PutRun(x) => format!("Log run {}", x.id),
            Self::PutRuns(list) => format!("Read {} runs from a table", list.len()),
            Self::RemoveRun(id) => format!("Remove run {id}"),
            Self::Restore(id) => format!("Restore the setting of run {id}"),
        }
    }

    pub(crate) fn apply(&self, b: &mut Build) -> Result<(), EditError> {
        let run = &mut b.run;
        match self {
            Self::Torque(x) => run.torque.clone_from(x),
            Self::Coupling(x) => run.coupling.clone_from(x),
            Self::Gears(x) => run.gears.clone_from(x),
            Self::Goal(x) => run.goal = *x,
            Self::Weather(x) => run.weather = *x,
            Self::CorrectPower(x) => run.correct_power = *x,
            Self::PitchInertia(x) => run.pitch_inertia = *x,
            Self::Scales { scales, take } => {
                run.scales = *scales;
                if let (Some(s), true) = (scales, take) {
                    let rear = s.left_rear.si() + s.right_rear.si();
                    let all = rear + s.left_front.si() + s.right_front.si();
                    if all <= 0.0 {
                        return Err(EditError::Invalid {
                            what: "The scales read nothing".to_owned(),
                            hint: "Write the four corners first".to_owned(),
                        });
                    }
                    b.car.mass = units::Mass::from_si(all);
                    b.car.rear_share = units::Ratio::from_si(rear / all);
                }
            }
            Self::Raised(x) => run.raised = *x,
            Self::TakeHeight(h) => b.car.cg_height = units::Length::from_si(*h),
            Self::TakeFriction(mu) => b.power.friction = units::Count::from_si(*mu),
            Self::TakeLaunchFit { friction, off } => {
                run.launch_off = RotationSpeed::from_si(*off);
                b.power.friction = units::Count::from_si(*friction);
            }
            Self::PutRun(x) => put(&mut run.log, x, |x| &x.id),
            Self::PutRuns(list) => {
                for x in list {
                    put(&mut run.log, x, |x| &x.id);
                }
            }
            Self::RemoveRun(id) => take(&mut run.log, id, "run", |x| &x.id)?,
            Self::Restore(id) => {
                let found = run.log.iter().find(|r| r.id == *id);
                let setting = found.ok_or_else(|| gone("run", id))?.setting.clone();
                let missing = setting.apply(b);
                if let Some(first) = missing.first() {
                    return Err(EditError::Invalid {
                        what: format!("The build has no part called \"{first}\" any more"),
                        hint: "Draw it again, or set the rest by hand from the run's page"
                            .to_owned(),
                    });
                }
            }
        }
        Ok(())
    }
}
