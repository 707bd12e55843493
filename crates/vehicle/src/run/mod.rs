//! The launch run: 0–60, 60 ft, eighth and quarter mile, in time.
//!
//! Longitudinal motion with heave and pitch of the sprung mass, engine, clutch or converter, gears, tyres
//! with load sensitivity, the links' anti-squat, springs, dampers and stops, drag and rolling. The driver
//! is perfect: thrust is the least of what the driveline gives, what the rear tyres hold and what keeps
//! the front just floating; the name of the least is the limit at that instant.
//!
//! Integrated with Dormand–Prince 5(4), restarted at every event; switches of the limit and kinks of
//! dampers and stops are continuous in force and left to the step control. Left out: tyre deflection
//! under load transfer, elastic rods, fore-aft motion of the axle against the body, tyre growth,
//! aerodynamic lift, roll and driveshaft torque. The run is a model, not a promise.
//!
//! Frame: x forward from the line, z up, pitch about +y (nose up negative, reported nose up positive);
//! travel bump positive; 0 is the car at rest, 0 g, full tyre load.

mod air;
mod car;
mod check;
mod driveline;
mod engine;
mod error;
mod friction_fit;
mod launch_fit;
mod motion;
mod recheck;
mod report;
mod sensitivity;
mod slip;
mod solver;
mod survey;
mod trace;
mod uncertainty;

pub use air::{Air, J1349_RANGE, Weather, ZERO_CELSIUS, pressure_at_altitude};
pub use car::{
    AxleRide, AxleSpring, LinkTable, PowerCorrection, Resistance, RunCar, RunModel, TyreGrip,
    default_pitch_inertia,
};
pub use driveline::{Converter, Coupling, Driveline};
pub use engine::{RPM, TorqueCurve};
pub use error::RunError;
pub use friction_fit::{FRICTION_RANGE, FrictionError, FrictionFit};
pub use launch_fit::{Clocked, LaunchFit, LaunchFitError, LaunchPrior, Timed};
pub use motion::Limit;
pub use report::{FOOT, Mark, Reading, Run, RunSettings, SIXTY_MPH, Slip};
pub use sensitivity::{Effect, Parameter, Sensitivities, Slope};
pub use slip::{NOT_VALIDATED, SlipLaunch, SlipRun, SlipSample, TyreCurve};
pub use survey::{Energy, Extreme, Extremes, LimitSwitch, Peak, Sample, Stop, StopTouched};
pub use trace::{Event, EventKind};
pub use uncertainty::{Contribution, ErrorBar, InputSigma, Simulation, Spread, simulate};
