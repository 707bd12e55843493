//! [`super::derive`] that keeps what has not changed.

use std::panic::resume_unwind;
use std::sync::Arc;
use std::thread;

use units::{Acceleration, Angle, Count, Mass};

use super::{
    BrakeStudy, ClearanceStudy, DrivelineStudy, FitUpStudy, FrameStudy, FrontStudy, LaunchStudy,
    RearStudy, RunStudy, Study, TubesStudy, WeldStudy, advice, brakes, clearance, driveline,
    fit_up, frame, front, launch, phases, rear, remarks, run, tubes, welding,
};
use crate::{
    Assembly, BodyBox, Brakes, Build, Car, Coilover, Driveline, FitUp, FrameRail, FrontEnd, Joint,
    MockUp, NearWheel, Power, Rear, RunData, Target, TubeWork, WeldChoices, WeldOut,
};

/// How output and pinion run in plan; none while no driveline is described.
fn plan_angles(b: &Build) -> Option<(Angle, Angle)> {
    let d = b.driveline.as_ref()?;
    Some((d.output_left, d.pinion_left))
}

/// Parts of the body around the wheels.
fn body_of(b: &Build) -> &[BodyBox] {
    b.mock_up.as_ref().map_or(&[], |m| m.body.as_slice())
}

/// A launch study and what it was made of; the rear study stands for car and rear axle.
#[derive(Debug)]
struct LaunchKept {
    car: Car,
    rear: Arc<RearStudy>,
    power: Power,
    front: Option<FrontEnd>,
    /// Output and pinion in plan.
    plan: Option<(Angle, Angle)>,
    study: Arc<LaunchStudy>,
}

impl LaunchKept {
    /// The front springs, where nothing that they read has changed.
    fn springs(&self, build: &Build) -> Option<Result<front::FrontSprings, String>> {
        let same = self.front == build.front_end
            && self.car == build.car
            && self.power.front_unsprung == build.power.front_unsprung;
        same.then(|| self.study.springs.clone())
    }
}

/// What the fit-up log's study reads.
type FitUpRead = (FitUp, Assembly, WeldChoices);

/// What tube work reads.
type TubesRead = (Assembly, Vec<Joint>, TubeWork);

/// [`super::derive`] that keeps what has not changed since the last call.
#[derive(Debug, Default)]
pub struct Deriver {
    metal: Metal,
    moving: Moving,
}

/// What is cut, fitted and welded: its studies are not read by those of [`Moving`], nor the other way.
#[derive(Debug, Default)]
struct Metal {
    fit_up: Option<(FitUpRead, Arc<FitUpStudy>)>,
    weld: Option<(Arc<FitUpStudy>, WeldOut, Arc<WeldStudy>)>,
    tubes: Option<(TubesRead, tubes::Kept)>,
}

/// What moves, rolls and carries.
#[derive(Debug, Default)]
struct Moving {
    rear: Option<((Car, Rear), Arc<RearStudy>)>,
    around: Around,
    driven: Driven,
}

/// Front end, brakes, what fits.
#[derive(Debug, Default)]
struct Around {
    front: Option<FrontKept>,
    brakes: Option<(BrakesRead, Option<Arc<BrakeStudy>>)>,
    clearance: Option<(ClearanceRead, Option<Arc<ClearanceStudy>>)>,
}

/// Balances, run, frame, driveline: they do not read [`Around`], nor it them.
#[derive(Debug, Default)]
struct Driven {
    launch: Option<LaunchKept>,
    run: Option<(Arc<LaunchStudy>, RunData, Arc<RunStudy>)>,
    frame: Option<(Arc<LaunchStudy>, Arc<FrameStudy>)>,
    driveline: Option<(DrivelineRead, Option<Arc<DrivelineStudy>>)>,
}

/// Studies of [`Metal`].
struct MetalStudies {
    fit_up: Arc<FitUpStudy>,
    weld: Arc<WeldStudy>,
    tubes: Arc<TubesStudy>,
}

/// Studies of [`Moving`].
struct MovingStudies {
    rear: Arc<RearStudy>,
    around: AroundStudies,
    driven: DrivenStudies,
}

/// Studies of [`Around`].
struct AroundStudies {
    front: Option<Arc<FrontStudy>>,
    brakes: Option<Arc<BrakeStudy>>,
    clearance: Option<Arc<ClearanceStudy>>,
}

/// Studies of [`Driven`].
struct DrivenStudies {
    launch: Arc<LaunchStudy>,
    run: Arc<RunStudy>,
    frame: Arc<FrameStudy>,
    driveline: Option<Arc<DrivelineStudy>>,
}

/// What the front end's study reads, but for what rolls.
#[derive(Debug, PartialEq)]
struct FrontRead {
    car: Car,
    rail: FrameRail,
    drawn: Option<FrontEnd>,
    body: Vec<BodyBox>,
    unsprung: Mass,
    braking: Acceleration,
    /// Bands that adjusters are turned to.
    bands: Vec<Target>,
}

impl FrontRead {
    fn of(build: &Build) -> Self {
        let body = body_of(build).iter();
        let bands = build.targets.iter();
        Self {
            car: build.car.clone(),
            rail: build.frame.clone(),
            drawn: build.front_end.clone(),
            body: body
                .filter(|x| x.near == NearWheel::Front)
                .cloned()
                .collect(),
            unsprung: build.power.front_unsprung,
            braking: build.power.braking,
            bands: bands
                .filter(|t| t.reading.starts_with("front."))
                .cloned()
                .collect(),
        }
    }
}

/// The front end's study and what it was made of.
#[derive(Debug)]
struct FrontKept {
    read: FrontRead,
    /// With power: what rolls.
    rear: Arc<RearStudy>,
    power: Power,
    study: Option<Arc<FrontStudy>>,
}

/// What the brakes' study reads: the tyres' friction too, where no surface is listed.
type BrakesRead = (Car, Count, Option<Brakes>);

/// What the driveline's study reads; the launch study stands for rear axle and driveshaft.
type DrivelineRead = (Arc<LaunchStudy>, Arc<RunStudy>, Option<Driveline>);

/// What the clearances read; the rear study stands for car and rear axle.
type ClearanceRead = (Arc<RearStudy>, FrameRail, Vec<Coilover>, Option<MockUp>);

impl Deriver {
    /// The study of a build.
    pub fn derive(&mut self, build: &Build) -> Study {
        let Self { metal, moving } = self;
        let (metal, moving) = if metal.is_fresh(build) {
            (metal.study(build), moving.study(build))
        } else {
            both(|| metal.study(build), || moving.study(build))
        };
        let MetalStudies {
            fit_up,
            weld,
            tubes,
        } = metal;
        let rear = moving.rear;
        let AroundStudies {
            front,
            brakes,
            clearance,
        } = moving.around;
        let DrivenStudies {
            launch,
            run,
            frame,
            driveline,
        } = moving.driven;
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

/// Two pieces of work side by side; one after the other where no thread is to be had.
fn both<A: Send, B>(mut a: impl FnMut() -> A + Send, b: impl FnOnce() -> B) -> (A, B) {
    let mut made = None;
    let second = thread::scope(|s| {
        let first = thread::Builder::new().spawn_scoped(s, || made = Some(a()));
        let second = b();
        if let Ok(Err(panic)) = first.map(thread::ScopedJoinHandle::join) {
            resume_unwind(panic);
        }
        second
    });
    (made.unwrap_or_else(a), second)
}

fn fit_up_reads((log, assembly, choices): &FitUpRead, build: &Build) -> bool {
    *log == build.fit_up && *assembly == build.assembly && *choices == build.weld_out.choices
}

fn tubes_read((assembly, joints, work): &TubesRead, build: &Build) -> bool {
    *assembly == build.assembly && *joints == build.fit_up.joints && *work == build.tube_work
}

fn clearance_reads(
    (axle, rail, coils, mock_up): &ClearanceRead,
    build: &Build,
    rear: &Arc<RearStudy>,
) -> bool {
    Arc::ptr_eq(axle, rear)
        && *rail == build.frame
        && *coils == build.power.coilovers
        && *mock_up == build.mock_up
}

impl Metal {
    /// Is nothing of it to be worked out again?
    fn is_fresh(&self, build: &Build) -> bool {
        let fit_up = self
            .fit_up
            .as_ref()
            .is_some_and(|(read, _)| fit_up_reads(read, build));
        let weld = self
            .weld
            .as_ref()
            .is_some_and(|(_, out, _)| *out == build.weld_out);
        let tubes = self
            .tubes
            .as_ref()
            .is_some_and(|(read, _)| tubes_read(read, build));
        fit_up && weld && tubes
    }

    fn study(&mut self, build: &Build) -> MetalStudies {
        let fit_up = match &self.fit_up {
            Some((read, study)) if fit_up_reads(read, build) => Arc::clone(study),
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
        let tubes = match &self.tubes {
            Some((read, kept)) if tubes_read(read, build) => Arc::clone(&kept.study),
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
        MetalStudies {
            fit_up,
            weld,
            tubes,
        }
    }
}

impl Moving {
    fn study(&mut self, build: &Build) -> MovingStudies {
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
        let Self { around, driven, .. } = self;
        let (around, driven) = if around.is_fresh(build, &rear) {
            (around.study(build, &rear), driven.study(build, &rear))
        } else {
            both(|| around.study(build, &rear), || driven.study(build, &rear))
        };
        MovingStudies {
            rear,
            around,
            driven,
        }
    }
}

impl Around {
    /// Is nothing that takes long to be worked out again?
    fn is_fresh(&self, build: &Build, rear: &Arc<RearStudy>) -> bool {
        let front = self.front.as_ref();
        front.is_some_and(|kept| kept.read == FrontRead::of(build))
            && self
                .clearance
                .as_ref()
                .is_some_and(|(read, _)| clearance_reads(read, build, rear))
    }

    fn study(&mut self, build: &Build, rear: &Arc<RearStudy>) -> AroundStudies {
        let read = FrontRead::of(build);
        let front = match &self.front {
            Some(kept) if kept.read == read => {
                if Arc::ptr_eq(&kept.rear, rear) && kept.power == build.power {
                    kept.study.clone()
                } else {
                    // Only what rolls is new.
                    let study = kept.study.as_ref();
                    study.map(|s| Arc::new(s.on(build, rear)))
                }
            }
            _ => front::study(build, rear).map(Arc::new),
        };
        self.front = Some(FrontKept {
            read,
            rear: Arc::clone(rear),
            power: build.power.clone(),
            study: front.clone(),
        });
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
        let clearance = match &self.clearance {
            Some((read, study)) if clearance_reads(read, build, rear) => study.clone(),
            _ => {
                let study = clearance::study(build, rear).map(Arc::new);
                let read = (
                    Arc::clone(rear),
                    build.frame.clone(),
                    build.power.coilovers.clone(),
                    build.mock_up.clone(),
                );
                self.clearance = Some((read, study.clone()));
                study
            }
        };
        AroundStudies {
            front,
            brakes,
            clearance,
        }
    }
}

impl Driven {
    fn study(&mut self, build: &Build, rear: &Arc<RearStudy>) -> DrivenStudies {
        let launch = match &self.launch {
            Some(kept)
                if Arc::ptr_eq(&kept.rear, rear)
                    && kept.power == build.power
                    && kept.front == build.front_end
                    && kept.plan == plan_angles(build) =>
            {
                Arc::clone(&kept.study)
            }
            before => {
                let kept = before.as_ref().and_then(|kept| kept.springs(build));
                let springs = kept.unwrap_or_else(|| front::springs_of(build));
                let study = Arc::new(launch::study_on(build, rear, springs));
                self.launch = Some(LaunchKept {
                    car: build.car.clone(),
                    rear: Arc::clone(rear),
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
                let study = Arc::new(run::study(build, rear, &launch, earlier));
                self.run = Some((Arc::clone(&launch), build.run.clone(), Arc::clone(&study)));
                study
            }
        };
        let frame = match &self.frame {
            Some((kept, study)) if Arc::ptr_eq(kept, &launch) && study.reads(build) => {
                Arc::clone(study)
            }
            _ => {
                let earlier = self.frame.as_ref().map(|kept| &*kept.1);
                let study = Arc::new(frame::study(build, rear, &launch, earlier));
                self.frame = Some((Arc::clone(&launch), Arc::clone(&study)));
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
                let study = driveline::study(build, rear, &launch, &run).map(Arc::new);
                let read = (
                    Arc::clone(&launch),
                    Arc::clone(&run),
                    build.driveline.clone(),
                );
                self.driveline = Some((read, study.clone()));
                study
            }
        };
        DrivenStudies {
            launch,
            run,
            frame,
            driveline,
        }
    }
}
