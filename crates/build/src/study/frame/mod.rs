//! How stiff the frame is, which tube earns its weight, and what each bears under power.

mod brace;
mod findings;
mod launch_case;
mod measured;
mod readings;
mod rigs;
mod skeleton;
mod spread;
mod words;

use std::sync::OnceLock;

pub use brace::{BraceEnd, BraceList, BracePlace, BraceTried};
pub use launch_case::{FrameLoad, LaunchFrame, TubeReserve};
pub use measured::MeasuredTwist;
pub use rigs::{Bay, BendingAnswer, TubeShare, TwistAnswer, TwistPoint};
pub use skeleton::{FrameLine, Skeleton};
pub use structure::rig::RearHold;

pub(super) use findings::findings;
pub(super) use readings::reading;

use super::drawn::Drawn;
use super::{LaunchStudy, RearStudy};
use crate::{Assembly, Build, FrameTest, Joint};

/// The caution of every page and report about the frame.
pub const FRAME_CAUTION: &str = "Linear analysis, joints taken as rigid; no crash, roll-over or fatigue prediction. The current rule book and a licensed inspector decide roll structures.";

/// The frame's stiffness and what follows from it. Stiffnesses in it are as computed; [`FrameStudy::shown`]
/// corrects them by the measured test where that is asked for.
#[derive(Debug, Clone)]
pub struct FrameStudy {
    /// The frame as nodes and members, or why there is none.
    pub shape: Result<Skeleton, String>,
    /// The twist test as asked for, with the rear held at three points or clamped.
    pub twist: Result<TwistAnswer, String>,
    /// Twist stiffness with the rear held the other way, N·m/rad.
    pub other_hold: Result<f64, String>,
    /// The bending test.
    pub bending: Result<BendingAnswer, String>,
    /// Every tube of the piece in the twist test, the most gained per kilogram first.
    pub tubes: Vec<TubeShare>,
    /// The frame under power at the acceleration looked at.
    pub launch: Result<LaunchFrame, String>,
    /// Measured twist tests, in the build's order.
    pub measured: Vec<MeasuredTwist>,
    /// Measured over predicted of the last test that has it.
    pub factor: Option<f64>,
    /// The factor corrects what is shown.
    pub corrected: bool,
    read: Read,
    rigs: rigs::Rigs,
    braces: OnceLock<Result<BraceList, String>>,
}

/// What the study is made of, the launch study apart.
#[derive(Debug, Clone)]
struct Read {
    assembly: Assembly,
    /// Joints that join parts; what is logged of them does not matter.
    joints: Vec<Joint>,
    test: FrameTest,
}

impl FrameStudy {
    /// A stiffness as it is to be shown: times the measured factor where that corrects.
    pub fn shown(&self, stiffness: f64) -> f64 {
        match self.factor {
            Some(f) if self.corrected => stiffness * f,
            _ => stiffness,
        }
    }

    fn held(&self, hold: RearHold) -> Result<f64, String> {
        match &self.twist {
            Ok(t) if t.hold == hold => Ok(t.stiffness),
            Ok(_) => self.other_hold.clone(),
            Err(why) if self.read.test.clamped == (hold == RearHold::Clamped) => Err(why.clone()),
            Err(_) => self.other_hold.clone(),
        }
    }

    /// Twist stiffness with the rear held at three points, as computed, N·m/rad.
    ///
    /// # Errors
    /// Why there is none.
    pub fn determinate(&self) -> Result<f64, String> {
        self.held(RearHold::Determinate)
    }

    /// Twist stiffness with the rear nodes clamped, as computed, N·m/rad.
    ///
    /// # Errors
    /// Why there is none.
    pub fn clamped(&self) -> Result<f64, String> {
        self.held(RearHold::Clamped)
    }

    /// Lowest reserve of any tube under power.
    ///
    /// # Errors
    /// Why there is none.
    pub fn lowest_reserve(&self) -> Result<f64, String> {
        let launch = self.launch.as_ref().map_err(Clone::clone)?;
        let weakest = launch.weakest.and_then(|t| launch.reserves[t]);
        weakest
            .map(|r| r.lowest())
            .ok_or_else(|| "no tube has a material with a yield strength".to_owned())
    }

    /// Is it made of this? The launch study is compared by whoever keeps it.
    pub(super) fn reads(&self, b: &Build) -> bool {
        let joined = |j: &&Joint| j.joins.is_some();
        self.read.assembly == b.assembly
            && self.read.test == b.frame_test
            && self.read.joints.iter().map(|j| &j.joins).eq(b
                .fit_up
                .joints
                .iter()
                .filter(joined)
                .map(|j| &j.joins))
    }
}

impl Read {
    fn of(b: &Build) -> Self {
        let bare = |j: &Joint| {
            let mut bare = Joint::new(&j.id, "", j.kind, j.wall, j.leg);
            bare.joins.clone_from(&j.joins);
            bare
        };
        let joined = b.fit_up.joints.iter().filter(|j| j.joins.is_some());
        Self {
            assembly: b.assembly.clone(),
            joints: joined.map(bare).collect(),
            test: b.frame_test.clone(),
        }
    }
}

/// `earlier`: the study before, whose structure is kept where it still fits.
pub(super) fn study(
    b: &Build,
    rear: &RearStudy,
    launch: &LaunchStudy,
    earlier: Option<&FrameStudy>,
) -> FrameStudy {
    let read = Read::of(b);
    let a = &read.assembly;
    let drawn = Drawn::of(a, &read.joints);
    let places = launch_case::places(b, rear, launch);
    let shape = Skeleton::of(a, &drawn, &read.test, &places)
        .ok_or_else(|| "no tubes are drawn yet".to_owned());
    let none = rigs::Rigs::default();
    let kept = earlier.map_or(&none, |e| &e.rigs);
    let mut own = rigs::Rigs::default();
    let test = &read.test;
    let (hold, other) = if test.clamped {
        (RearHold::Clamped, RearHold::Determinate)
    } else {
        (RearHold::Determinate, RearHold::Clamped)
    };
    let mut tested = |hold| {
        let s = shape.as_ref().map_err(Clone::clone)?;
        own.run(s, a, rigs::twist_test(s, test, hold)?, kept)
            .map(|found| (s, found))
    };
    let twist = tested(hold).map(|(s, found)| rigs::twist(s, test, found));
    let other_hold = tested(other).map(|(_, found)| found.stiffness);
    let bending = shape.as_ref().map_err(Clone::clone).and_then(|s| {
        let found = own.run(s, a, rigs::bending_test(s, test)?, kept)?;
        Ok(rigs::bending(found))
    });
    let tubes = shape.as_ref().map_or_else(
        |_| Vec::new(),
        |s| rigs::shares(s, twist.as_ref().ok(), bending.as_ref().ok()),
    );
    // A piece that no test is named for may be any part of the car.
    let under_power = shape.as_ref().map_err(Clone::clone).and_then(|s| {
        rigs::twist_test(s, test, hold)?;
        launch_case::study(b, s, rear, launch)
    });
    let predicted = twist.as_ref().ok().map(|t| t.stiffness);
    let measured = measured::study(&test.measured, predicted);
    let factor = measured.iter().rev().find_map(|m| m.factor);
    FrameStudy {
        twist,
        other_hold,
        bending,
        tubes,
        launch: under_power,
        measured,
        factor,
        corrected: test.use_measured,
        shape,
        rigs: own,
        braces: OnceLock::new(),
        read,
    }
}
