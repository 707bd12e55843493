//! The rolling chassis as measured: front end, brakes, driveline, what must fit around the rear
//! wheels. Each is left out until it is drawn.

mod brakes;
mod driveline;
mod edit;
pub(crate) mod fields;
mod front_end;
mod mock_up;
pub mod points;

pub use brakes::{
    AxleBrake, Booster, BrakeKind, Brakes, DiscBrake, DrumBrake, Hose, HoseKind, Masters,
    ParkingData, PedalData, PedalSpringData, PressureValve, Proportioning, ReturnData, RotorData,
    SpringPull, StopData, ValvePlace,
};
pub use driveline::{AxleShaftData, Driveline, LoopData, ShaftTubeData, SlipYokeData, SplineData};
pub use edit::RollingEdit;
pub use front_end::{
    Adjuster, AdjusterMoves, ArmRod, FrontArm, FrontBar, FrontCoil, FrontEnd, FrontJoint, FrontTie,
    FrontWheel, JointPlace, LinkOn, Rack, WhichArm,
};
pub use mock_up::{
    BodyBox, BumpStopData, HousingData, MockUp, NearWheel, ShaftsMeasured, TyreData, WheelData,
};
