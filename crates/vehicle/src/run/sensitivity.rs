//! How much each reading moves with each input: full runs to both sides.

use super::RunError;
use super::car::{AxleSpring, RunCar, RunModel};
use super::engine::RPM;
use super::report::{Reading, RunSettings, Slip};

/// An input whose effect is asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Parameter {
    /// Torque at every speed; relative.
    Power,
    /// Mass of the whole car, put on the sprung mass and its pitch inertia with it, the whole car's centre
    /// of gravity kept; relative.
    Mass,
    /// Tyre friction μ0; relative.
    Friction,
    /// Final drive ratio; relative.
    FinalDrive,
    /// Height of the whole car's centre of gravity, by that of the sprung mass; m.
    CgHeight,
    /// Station of the whole car's centre of gravity, forward positive, likewise; m.
    CgStation,
    /// Anti-squat, the same at every travel; 1 = 100 %.
    AntiSquat,
    /// Front and rear springs (not the stops); relative.
    Springs,
    /// Front and rear dampers, bump and rebound; relative.
    Dampers,
    /// Every shift speed; rad/s.
    ShiftSpeed,
    /// Launch speed of the engine; rad/s.
    LaunchSpeed,
}

impl Parameter {
    /// All of them.
    pub const ALL: [Self; 11] = [
        Self::Power,
        Self::Mass,
        Self::Friction,
        Self::FinalDrive,
        Self::CgHeight,
        Self::CgStation,
        Self::AntiSquat,
        Self::Springs,
        Self::Dampers,
        Self::ShiftSpeed,
        Self::LaunchSpeed,
    ];

    /// Place in [`Parameter::ALL`].
    #[must_use]
    pub const fn index(self) -> usize {
        self as usize
    }

    /// Step to either side: ±1 % of power, mass, friction and final drive, ±10 mm of the centre of
    /// gravity, ±5 points of anti-squat, ±5 % of springs and dampers, ±100 rpm.
    #[must_use]
    pub fn step(self) -> f64 {
        match self {
            Self::Power | Self::Mass | Self::Friction | Self::FinalDrive => 0.01,
            Self::CgHeight | Self::CgStation => 0.01,
            Self::AntiSquat | Self::Springs | Self::Dampers => 0.05,
            Self::ShiftSpeed | Self::LaunchSpeed => 100.0 * RPM,
        }
    }
}

impl std::fmt::Display for Parameter {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Power => "power",
            Self::Mass => "mass",
            Self::Friction => "tyre friction",
            Self::FinalDrive => "final drive",
            Self::CgHeight => "CG height",
            Self::CgStation => "CG station",
            Self::AntiSquat => "anti-squat",
            Self::Springs => "springs",
            Self::Dampers => "dampers",
            Self::ShiftSpeed => "shift rpm",
            Self::LaunchSpeed => "launch rpm",
        })
    }
}

impl RunCar {
    /// The car with one input moved by `by` (unit of the parameter: relative, m, share of 100 %
    /// anti-squat, rad/s). Nothing is checked: the model does that.
    #[must_use]
    pub fn varied(&self, parameter: Parameter, by: f64) -> Self {
        let mut car = self.clone();
        let times = 1.0 + by;
        match parameter {
            Parameter::Power => car.engine.torque.iter_mut().for_each(|t| *t *= times),
            Parameter::Mass => {
                // One per cent of the whole car, put on the sprung mass where it leaves the whole
                // car's centre of gravity alone.
                let (height, station) = (self.cg_height(), self.cg_station());
                let added = by * self.mass();
                car.sprung_mass += added;
                let share = self.sprung_mass / car.sprung_mass;
                car.pitch_inertia /= share;
                car.sprung_cg_height = height + share * (self.sprung_cg_height - height);
                car.sprung_cg_station = station + share * (self.sprung_cg_station - station);
            }
            Parameter::Friction => car.tyre.friction *= times,
            Parameter::FinalDrive => car.driveline.final_drive *= times,
            Parameter::CgHeight => car.sprung_cg_height += by * self.mass() / self.sprung_mass,
            Parameter::CgStation => car.sprung_cg_station += by * self.mass() / self.sprung_mass,
            Parameter::AntiSquat => {
                let slope = by * self.cg_height() / self.wheelbase;
                car.links.tan_as.iter_mut().for_each(|t| *t += slope);
            }
            Parameter::Springs => {
                for ride in [&mut car.front, &mut car.rear] {
                    match &mut ride.spring {
                        AxleSpring::Rate(rate) => *rate *= times,
                        AxleSpring::Table { force, .. } => {
                            force.iter_mut().for_each(|f| *f *= times);
                        }
                    }
                }
            }
            Parameter::Dampers => {
                for ride in [&mut car.front, &mut car.rear] {
                    ride.bump_damping *= times;
                    ride.rebound_damping *= times;
                }
            }
            Parameter::ShiftSpeed => car.driveline.shift_speed.iter_mut().for_each(|s| *s += by),
            Parameter::LaunchSpeed => car.driveline.launch_speed += by,
        }
        car
    }
}

/// Slope of one reading by one input, reading per unit of the parameter.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Slope {
    /// Central difference; where one side has no run, the slope of the other side.
    pub central: f64,
    /// Slope towards less; None where that run has no answer or does not reach 60 mph.
    pub below: Option<f64>,
    /// Slope towards more.
    pub above: Option<f64>,
    /// Whether the two differ by more than 20 %: show both, a limit lies between.
    pub kinked: bool,
}

/// Effect of one input.
#[derive(Clone, Debug, PartialEq)]
pub struct Effect {
    /// Input.
    pub parameter: Parameter,
    /// Step to either side, unit of the parameter.
    pub step: f64,
    /// Slopes in the order of [`Reading::ALL`]; None where the reading does not exist.
    pub slopes: [Option<Slope>; 9],
    /// Why there is no run with less.
    pub below: Option<RunError>,
    /// Why there is no run with more.
    pub above: Option<RunError>,
}

impl Effect {
    /// Slope of a reading.
    #[must_use]
    pub const fn slope(&self, reading: Reading) -> Option<Slope> {
        self.slopes[reading.index()]
    }
}

/// Effects of all inputs about one car.
#[derive(Clone, Debug, PartialEq)]
pub struct Sensitivities {
    /// The run in the middle.
    pub slip: Slip,
    /// Effects in the order of [`Parameter::ALL`].
    pub effects: Vec<Effect>,
}

/// How much finer the steps of the runs to both sides are: their differences are small.
const FINER: f64 = 100.0;
/// Slopes may differ by this share before both are shown.
const KINK: f64 = 0.2;
/// And by this much of the reading over one step, s or m/s: below it nothing can be read off.
const NOTICED: f64 = 1e-4;

impl Sensitivities {
    /// Central differences of full runs.
    ///
    /// # Errors
    /// What the run in the middle fails of. Where one side fails the other side's slope stands alone and the
    /// reason is kept; where both fail that input has no slopes.
    pub fn of(car: &RunCar, settings: &RunSettings) -> Result<Self, RunError> {
        let settings = settings.finer(FINER);
        let slip = RunModel::new(car)?.slip(&settings)?;
        let effects = Parameter::ALL
            .into_iter()
            .map(|p| effect(car, &settings, &slip, p, p.step()))
            .collect();
        Ok(Self { slip, effects })
    }

    /// Effect of one input.
    #[must_use]
    pub fn effect(&self, parameter: Parameter) -> Option<&Effect> {
        self.effects.iter().find(|e| e.parameter == parameter)
    }

    /// Slope of a reading by an input.
    #[must_use]
    pub fn slope(&self, parameter: Parameter, reading: Reading) -> Option<Slope> {
        self.effect(parameter)?.slope(reading)
    }
}

fn effect(
    car: &RunCar,
    settings: &RunSettings,
    middle: &Slip,
    parameter: Parameter,
    step: f64,
) -> Effect {
    let run = |by: f64| RunModel::new(&car.varied(parameter, by)).and_then(|m| m.slip(settings));
    let (less, more) = (run(-step), run(step));
    let slopes = Reading::ALL.map(|reading| {
        let of = |slip: &Result<Slip, RunError>| slip.as_ref().ok()?.reading(reading);
        let here = middle.reading(reading)?;
        let below = of(&less).map(|r| (here - r) / step);
        let above = of(&more).map(|r| (r - here) / step);
        let central = match (below, above) {
            (Some(b), Some(a)) => 0.5 * (a + b),
            (b, a) => b.or(a)?,
        };
        let kinked = match (below, above) {
            (Some(b), Some(a)) => {
                let apart = (a - b).abs();
                apart > KINK * a.abs().max(b.abs()) && apart * step > NOTICED
            }
            _ => false,
        };
        Some(Slope {
            central,
            below,
            above,
            kinked,
        })
    });
    Effect {
        parameter,
        step,
        slopes,
        below: less.err(),
        above: more.err(),
    }
}
