//! Everything computed from a build, by one pure function. The window, the sheets and the command
//! line read the same [`Study`], so they can not disagree.

mod advice;
mod brakes;
mod clearance;
mod definitions;
mod deriver;
mod drawn;
mod driveline;
mod finding;
mod fit_up;
mod frame;
mod front;
mod holes;
mod launch;
mod phases;
mod phrase;
mod placement;
mod rail;
mod reading;
mod rear;
mod remarks;
mod run;
mod tubes;
mod welding;

use std::sync::Arc;

pub use brakes::{
    BalancePoint, BalanceStudy, BrakeAxle, BrakeStudy, BrakingRow, Changeover, Circuit,
    CircuitKind, CircuitPart, Ends as AxlePair, FirstLock, GREATEST_FOOT, GradeHold, LineStudy,
    LostCircuit, ParkingRow, PedalTravel, Regulation, ResidualDrag, ResidualFinding,
    ResidualVerdict, ReturnPoint, ReturnReport, StopHeat, StopStudy as BrakingStop, TravelStudy,
    VolumeParts,
};
pub use clearance::{
    CLEARANCE_CAUTION, ClearanceStudy, Fit, InTheWay, PairStudy, StopAt, StopStudy, WayKind,
};
pub use definitions::{DEFINITIONS, Definition, definition};
pub use deriver::Deriver;
pub use driveline::{
    AxleShaftStudy, CriticalStudy, DrivelineStudy, GearingStudy, ShaftTravel, StrengthStudy,
    TopSpeed, Trap,
};
pub use finding::{Finding, Part, Severity};
pub use fit_up::{FitUpStudy, JointStudy, Shrinkage, shop_rule};
pub use frame::{
    Bay, BendingAnswer, BraceEnd, BraceList, BracePlace, BraceTried, FRAME_CAUTION, FrameLine,
    FrameLoad, FrameStudy, LaunchFrame, MeasuredTwist, RearHold, Skeleton, TubeReserve, TubeShare,
    TwistAnswer, TwistPoint,
};
pub use front::{
    FRONT_CAUTION, FrontBarStudy, FrontCoilAt, FrontCoilStudy, FrontGap, FrontMotion, FrontPose,
    FrontProblem, FrontStudy, JointTilt, lock_words,
};
pub use geometry::Figure;
pub use geometry::{AxleState, InstantCentre};
pub use holes::{
    Figures, Found, HoleMap, HoleOptions, HoleOutcome, HolePlan, HolesError, MOST_IN_FULL,
    figure_of, reading_of,
};
pub use launch::{Case, CoilRide, CoilStudy, LaunchStudy, LinkStudy, Reactions, ShaftStudy};
pub use phases::{CheckState, CheckStudy, Miss, PhaseStudy, Wait};
pub use phrase::{Phrase, show_to};
pub use placement::{
    Coordinate, Distribution, LinearFigure, Matter, Misplaced, PlacementStudy, placement_label,
    placement_reading,
};
pub use reading::{Band, Certainty, NoValue, Of, Reading, Status};
pub use rear::{Motion, Over, RearProblem, RearStudy, RodStudy, SWEEP_STEPS};
pub use run::{
    Changed, CornerWeights, Effect, ErrorBar, Event, EventKind, FittedFriction, GoalChange,
    GoalStudy, JointFit, LaunchFit, Limit as RunLimit, LimitSwitch, Mark as StripMark,
    MeasuredHeight, Parameter, Predicted, Run, RunCar, RunPlan, RunStudy, Sample, Simulation,
    SlipLaunch, SlipReading, SlipRun, Slope, StopTouched, TyreCurve, advice as run_advice,
    changed_since, reading_over,
};
pub use tubes::{
    BendStudy, CopeStudy, EndShape, EndStudy, Met, Nest, TUBE_CAUTION, TubePart, TubeStudy,
    TubesStudy,
};
pub use vehicle::driveline::{
    CriticalSpeed, FinalDriveChoice, GearRow, GearingChart, JointFinding, JointLayout, PhaseTurn,
    ShaftFinding, ShaftRow, ShaftTorsion, SpeedRange, SplineStress,
};
pub use welding::{
    Bow, CorrectionStudy, CouponStudy, DimensionStudy, How, JointWeld, Leg, Line, Meeting,
    OrderStudy, Place3, Pulling, RecordOf, RecordRow, RecordStudy, SeamStudy, SiteStudy, SupplyRow,
    SupplyStudy, WeldStudy, record_of,
};

use crate::Build;

/// What follows from a build.
#[derive(Debug, Clone)]
pub struct Study {
    /// The rear axle's links and how it moves on them.
    pub rear: Arc<RearStudy>,
    /// What happens under power and braking.
    pub launch: Arc<LaunchStudy>,
    /// The fit-up log judged.
    pub fit_up: Arc<FitUpStudy>,
    /// What welding does to the assembly.
    pub weld: Arc<WeldStudy>,
    /// Tube work.
    pub tubes: Arc<TubesStudy>,
    /// The launch run.
    pub run: Arc<RunStudy>,
    /// The frame's stiffness and what its tubes bear.
    pub frame: Arc<FrameStudy>,
    /// The front end; none while it is not drawn.
    pub front: Option<Arc<FrontStudy>>,
    /// The brakes; none while they are not laid out.
    pub brakes: Option<Arc<BrakeStudy>>,
    /// The driveline's own data; none while it is not described.
    pub driveline: Option<Arc<DrivelineStudy>>,
    /// What fits around the rear wheels; none while nothing is mocked up.
    pub clearance: Option<Arc<ClearanceStudy>>,
    /// Every reading, in the order of [`DEFINITIONS`].
    pub readings: Vec<Reading>,
    /// Every finding, worst first.
    pub findings: Vec<Finding>,
    /// Every phase, in the build's order.
    pub phases: Vec<PhaseStudy>,
}

impl Study {
    /// The reading with this id.
    pub fn reading(&self, id: &str) -> Option<&Reading> {
        self.readings.iter().find(|r| r.is(id))
    }

    /// A reading's curve: (travel m or roll rad, value); poses without a value are left out.
    pub fn curve(&self, id: &str, over: Over) -> Vec<[f64; 2]> {
        let (Some(d), Ok(motion)) = (definition(id), &self.rear.motion) else {
            return Vec::new();
        };
        let Some(pick) = d.in_pose else {
            return Vec::new();
        };
        let sweep = motion.sweep(over);
        sweep
            .states
            .iter()
            .filter_map(|s| Some([over.of(s), pick(s)?]))
            .collect()
    }

    /// Is any finding an error?
    pub fn has_error(&self) -> bool {
        self.findings.iter().any(|f| f.severity == Severity::Error)
    }
}

/// Derives everything from a build.
pub fn derive(build: &Build) -> Study {
    Deriver::default().derive(build)
}
