//! The document and what follows from it.
//!
//! A [`Build`] is what a person measured, chose or ticked. [`derive`] turns it into a [`Study`]:
//! readings, curves, findings, phase progress. [`Edit`]s change a build through [`History`].
//! [`file`] reads and writes it.

mod assembly;
mod car;
mod doc;
mod edit;
pub mod fields;
pub mod file;
pub mod gap_table;
mod history;
mod joints;
mod phase;
mod power;
mod rear;
mod rolling;
mod run_data;
mod run_edit;
mod run_log;
pub mod run_table;
mod study;
mod template;
mod tube_edit;
mod tube_work;
mod weld_edit;
mod weld_out;

pub use assembly::{
    Assembly, Bend, Composition, Ends, Family, Grade, MATERIALS, Material, Node, Plate,
    ROUND_STOCK, Tube, TubeSection, grade,
};
pub use car::{Car, FrameRail, Wheels};
pub use doc::{Build, FORMAT_VERSION, Target};
pub use edit::{Bolted, Edit, EditError, End, Side, row};
pub use gap_table::{GapTableError, GapTableProblem};
pub use history::History;
pub use joints::{
    CopeTubes, Edges, FitUp, Gap, GapRule, Held, Joins, Joint, JointKind, MAX_PASSES, Welding,
};
pub use phase::{Check, CheckKind, Mark, Phase};
pub use power::{
    BoltGrade, Coilover, Differential, Driveshaft, EngineTurn, LinkBolt, LinkStock, Power, Preload,
    Section, Shear, Slip, steel_modulus,
};
pub use rear::{
    Along, Bracket, Carrier, HeldLength, Holes, Housing, Link, LinkEnd, LinkRole, MAX_HOLES, Place,
    Rear, RodEnd, SecondReference, Sides,
};
pub use rolling::{
    Adjuster, AdjusterMoves, ArmRod, AxleBrake, AxleShaftData, BodyBox, Booster, BrakeKind, Brakes,
    BumpStopData, DiscBrake, Driveline, DrumBrake, FrontArm, FrontBar, FrontCoil, FrontEnd,
    FrontJoint, FrontTie, FrontWheel, Hose, HoseKind, HousingData, JointPlace, LinkOn, LoopData,
    Masters, MockUp, NearWheel, ParkingData, PedalData, PedalSpringData, PressureValve,
    Proportioning, Rack, ReturnData, RollingEdit, RotorData, ShaftTubeData, ShaftsMeasured,
    SlipYokeData, SplineData, SpringPull, StopData, TyreData, ValvePlace, WheelData, WhichArm,
    points,
};
pub use run_data::{
    CouplingData, GearData, Goal, GoalOver, RaisedAxle, RideData, RunData, Scales, Unsure,
    WeatherData,
};
pub use run_edit::RunEdit;
pub use run_log::{CoilSetting, LinkSetting, RunRecord, RunSetting, RunTimes, Seen};
pub use run_table::{RunTableError, RunTableProblem};
pub use study::*;
pub use template::phases as template_phases;
pub use tube_edit::TubeEdit;
pub use tube_work::{
    Carried, CarriedBy, Die, EndCut, FrameTest, Hand, Pair, PointMass, Springback, StockBar,
    TubeWork, TwistReading,
};
pub use weld_edit::WeldEdit;
pub use weld_out::{
    ArcSetting, Bead, BeadReading, BeadSite, ControlDimension, Correction, Coupon, CouponTest,
    DimensionReading, Face, Gas, GasFill, Lie, Limit, PastPull, PastReading, Process, PullKind,
    Stage, ToleranceClass, Tool, WeldChoices, WeldOut,
};
