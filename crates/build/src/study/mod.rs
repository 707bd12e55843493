//! Everything computed from a build, by one pure function. The window, the sheets and the command
//! line read the same [`Study`], so they can not disagree.

mod advice;
mod brakes;
mod clearance;
mod definitions;
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

use units::{Angle, Count};

use crate::{
    Assembly, BodyBox, Brakes, Build, Car, Coilover, Driveline, FitUp, FrameRail, FrontEnd, Joint,
    MockUp, Power, Rear, RunData, TubeWork, WeldChoices, WeldOut,
};

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

/// How output and pinion run in plan; none while no driveline is described.
fn plan_angles(b: &Build) -> Option<(Angle, Angle)> {
    let d = b.driveline.as_ref()?;
    Some((d.output_left, d.pinion_left))
}

/// Parts of the body around the wheels.
fn body_of(b: &Build) -> &[BodyBox] {
    b.mock_up.as_ref().map_or(&[], |m| m.body.as_slice())
}

/// Derives everything from a build.
pub fn derive(build: &Build) -> Study {
    Deriver::default().derive(build)
}

/// A launch study and what it was made of; the rear study stands for car and rear axle.
#[derive(Debug)]
struct LaunchKept {
    rear: Arc<RearStudy>,
    power: Power,
    front: Option<FrontEnd>,
    /// Output and pinion in plan.
    plan: Option<(Angle, Angle)>,
    study: Arc<LaunchStudy>,
}

/// What tube work reads.
type TubesRead = (Assembly, Vec<Joint>, TubeWork);

/// [`derive`] that keeps what has not changed since the last call.
#[derive(Debug, Default)]
pub struct Deriver {
    rear: Option<((Car, Rear), Arc<RearStudy>)>,
    launch: Option<LaunchKept>,
    fit_up: Option<((FitUp, Assembly, WeldChoices), Arc<FitUpStudy>)>,
    weld: Option<(Arc<FitUpStudy>, WeldOut, Arc<WeldStudy>)>,
    tubes: Option<(TubesRead, tubes::Kept)>,
    run: Option<(Arc<LaunchStudy>, RunData, Arc<RunStudy>)>,
    frame: Option<(Arc<LaunchStudy>, Arc<FrameStudy>)>,
    front: Option<(FrontRead, Option<Arc<FrontStudy>>)>,
    brakes: Option<(BrakesRead, Option<Arc<BrakeStudy>>)>,
    driveline: Option<(DrivelineRead, Option<Arc<DrivelineStudy>>)>,
    clearance: Option<(ClearanceRead, Option<Arc<ClearanceStudy>>)>,
}

/// What the front end's study reads; the rear study stands for car and rear axle.
type FrontRead = (
    Arc<RearStudy>,
    FrameRail,
    Power,
    Option<FrontEnd>,
    Vec<BodyBox>,
);

/// What the brakes' study reads: the tyres' friction too, where no surface is listed.
type BrakesRead = (Car, Count, Option<Brakes>);

/// What the driveline's study reads; the launch study stands for rear axle and driveshaft.
type DrivelineRead = (Arc<LaunchStudy>, Arc<RunStudy>, Option<Driveline>);

/// What the clearances read; the rear study stands for car and rear axle.
type ClearanceRead = (Arc<RearStudy>, FrameRail, Vec<Coilover>, Option<MockUp>);

impl Deriver {
    /// The study of a build.
    pub fn derive(&mut self, build: &Build) -> Study {
        let rear = match &self.rear {
            Some(((car, rear), study)) if *car == build.car && *rear == build.rear => {
                Arc::clone(study)
            }
            _ => {
                let study = Arc::new(rear::study(&build.car, &build.rear));
                self.rear = Some(((build.car.clone(), build.rear.clone()), Arc::clone(&study)));
                study
            }
        };
        let front = match &self.front {
            Some(((axle, rail, power, drawn, body), study))
                if Arc::ptr_eq(axle, &rear)
                    && *rail == build.frame
                    && *power == build.power
                    && *drawn == build.front_end
                    && *body == body_of(build) =>
            {
                study.clone()
            }
            _ => {
                let study = front::study(build, &rear).map(Arc::new);
                let read = (
                    Arc::clone(&rear),
                    build.frame.clone(),
                    build.power.clone(),
                    build.front_end.clone(),
                    body_of(build).to_vec(),
                );
                self.front = Some((read, study.clone()));
                study
            }
        };
        let launch = match &self.launch {
            Some(kept)
                if Arc::ptr_eq(&kept.rear, &rear)
                    && kept.power == build.power
                    && kept.front == build.front_end
                    && kept.plan == plan_angles(build) =>
            {
                Arc::clone(&kept.study)
            }
            _ => {
                let study = Arc::new(launch::study(build, &rear));
                self.launch = Some(LaunchKept {
                    rear: Arc::clone(&rear),
                    power: build.power.clone(),
                    front: build.front_end.clone(),
                    plan: plan_angles(build),
                    study: Arc::clone(&study),
                });
                study
            }
        };
        let run = match &self.run {
            Some((kept, data, study)) if Arc::ptr_eq(kept, &launch) && *data == build.run => {
                Arc::clone(study)
            }
            _ => {
                let earlier = self.run.as_ref().map(|kept| &*kept.2);
                let study = Arc::new(run::study(build, &rear, &launch, earlier));
                self.run = Some((Arc::clone(&launch), build.run.clone(), Arc::clone(&study)));
                study
            }
        };
        let fit_up = match &self.fit_up {
            Some(((log, assembly, choices), study))
                if *log == build.fit_up
                    && *assembly == build.assembly
                    && *choices == build.weld_out.choices =>
            {
                Arc::clone(study)
            }
            _ => {
                let choices = build.weld_out.choices;
                let before = self.fit_up.as_ref();
                let before = before.filter(|((.., old), _)| *old == choices);
                let study = Arc::new(fit_up::study(
                    &build.fit_up,
                    &build.assembly,
                    &choices,
                    before.map(|(_, study)| &**study),
                ));
                let read = (build.fit_up.clone(), build.assembly.clone(), choices);
                self.fit_up = Some((read, Arc::clone(&study)));
                study
            }
        };
        let weld = match &self.weld {
            Some((log, out, study)) if Arc::ptr_eq(log, &fit_up) && *out == build.weld_out => {
                Arc::clone(study)
            }
            _ => {
                let study = Arc::new(welding::study(build, &fit_up));
                let read = (Arc::clone(&fit_up), build.weld_out.clone());
                self.weld = Some((read.0, read.1, Arc::clone(&study)));
                study
            }
        };
        let frame = match &self.frame {
            Some((kept, study)) if Arc::ptr_eq(kept, &launch) && study.reads(build) => {
                Arc::clone(study)
            }
            _ => {
                let earlier = self.frame.as_ref().map(|kept| &*kept.1);
                let study = Arc::new(frame::study(build, &rear, &launch, earlier));
                self.frame = Some((Arc::clone(&launch), Arc::clone(&study)));
                study
            }
        };
        let read = |(assembly, joints, work): &TubesRead| {
            *assembly == build.assembly
                && *joints == build.fit_up.joints
                && *work == build.tube_work
        };
        let tubes = match &self.tubes {
            Some((from, kept)) if read(from) => Arc::clone(&kept.study),
            earlier => {
                let kept = tubes::study(build, earlier.as_ref().map(|(_, kept)| kept));
                let study = Arc::clone(&kept.study);
                let from = (
                    build.assembly.clone(),
                    build.fit_up.joints.clone(),
                    build.tube_work.clone(),
                );
                self.tubes = Some((from, kept));
                study
            }
        };
        let brakes = match &self.brakes {
            Some(((car, friction, data), study))
                if *car == build.car
                    && *friction == build.power.friction
                    && *data == build.brakes =>
            {
                study.clone()
            }
            _ => {
                let study = brakes::study(build).map(Arc::new);
                let read = (
                    build.car.clone(),
                    build.power.friction,
                    build.brakes.clone(),
                );
                self.brakes = Some((read, study.clone()));
                study
            }
        };
        let driveline = match &self.driveline {
            Some(((a, r, data), study))
                if Arc::ptr_eq(a, &launch) && Arc::ptr_eq(r, &run) && *data == build.driveline =>
            {
                study.clone()
            }
            _ => {
                let study = driveline::study(build, &rear, &launch, &run).map(Arc::new);
                let read = (
                    Arc::clone(&launch),
                    Arc::clone(&run),
                    build.driveline.clone(),
                );
                self.driveline = Some((read, study.clone()));
                study
            }
        };
        let clearance = match &self.clearance {
            Some(((axle, rail, coils, mock_up), study))
                if Arc::ptr_eq(axle, &rear)
                    && *rail == build.frame
                    && *coils == build.power.coilovers
                    && *mock_up == build.mock_up =>
            {
                study.clone()
            }
            _ => {
                let study = clearance::study(build, &rear).map(Arc::new);
                let read = (
                    Arc::clone(&rear),
                    build.frame.clone(),
                    build.power.coilovers.clone(),
                    build.mock_up.clone(),
                );
                self.clearance = Some((read, study.clone()));
                study
            }
        };
        let readings = remarks::readings(
            build,
            &remarks::Studies {
                rear: &rear,
                launch: &launch,
                fit_up: &fit_up,
                weld: &weld,
                tubes: &tubes,
                frame: &frame,
                run: &run,
                front: front.as_deref(),
                brakes: brakes.as_deref(),
                driveline: driveline.as_deref(),
                clearance: clearance.as_deref(),
            },
        );
        let phases = phases::study(build, &readings);
        let mut findings = Vec::new();
        remarks::car(build, &mut findings);
        remarks::tyre(build, &mut findings);
        rear::findings(build, &rear, &mut findings);
        launch::findings(build, &rear, &launch, &mut findings);
        remarks::targets(build, &readings, &mut findings);
        advice::out_of_band(build, &readings, &mut findings);
        fit_up::findings(build, &fit_up, &mut findings);
        welding::findings(build, &fit_up, &weld, &mut findings);
        tubes::findings(build, &tubes, &mut findings);
        run::findings(build, &run, &mut findings);
        frame::findings(build, &rear, &frame, &mut findings);
        if let Some(s) = &front {
            front::findings(build, s, &mut findings);
        }
        if let Some(s) = &brakes {
            brakes::findings(build, s, &mut findings);
        }
        if let Some(s) = &driveline {
            driveline::findings(build, s, &mut findings);
        }
        if let Some(s) = &clearance {
            clearance::findings(build, s, &mut findings);
        }
        phases::findings(build, &phases, &mut findings);
        fit_up::condense(build, &mut findings);
        findings.sort_by_key(|f| f.severity);
        Study {
            rear,
            launch,
            fit_up,
            weld,
            tubes,
            run,
            frame,
            front,
            brakes,
            driveline,
            clearance,
            readings,
            findings,
            phases,
        }
    }
}
