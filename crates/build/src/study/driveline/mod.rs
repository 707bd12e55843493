//! The driveline over travel and its speeds.

mod findings;
mod readings;
mod speeds;

pub use speeds::{AxleShaftStudy, CriticalStudy, GearingStudy, StrengthStudy, TopSpeed, Trap};

pub(super) use findings::findings;
pub(super) use readings::readings;

use geometry::{Point3, Pose};
use nalgebra::{Matrix3, Vector3};
use vehicle::driveline::over_travel::{Loop, ShaftOnTravel, SlipYoke};
use vehicle::driveline::{
    DrivelineError, JointChain, JointFinding, JointLimits, PhaseTurn, ShaftFinding, ShaftRow,
    SpeedRange,
};
use vehicle::launch::Balance;

use super::{
    Band, Case, Certainty, Definition, Finding, LaunchStudy, Motion, NoValue, Of, Part, Phrase,
    Reading, RearStudy, RunStudy, Severity,
};
use crate::{Build, Driveline};

/// The driveline over travel and its speeds.
#[derive(Debug, Clone)]
pub struct DrivelineStudy {
    /// The shaft over the axle's travel, or why there is none.
    pub shaft: Result<ShaftTravel, Phrase>,
    /// The highest speeds, or what is missing.
    pub top: Result<TopSpeed, Phrase>,
    /// The shaft against its critical speed.
    pub critical: Result<CriticalStudy, Phrase>,
    /// Shaft and axle shafts under torque.
    pub strength: Result<StrengthStudy, Phrase>,
    /// Road speed against engine speed.
    pub gearing: Result<GearingStudy, Phrase>,
}

/// The shaft over the axle's travel.
#[derive(Debug, Clone)]
pub struct ShaftTravel {
    /// Joint to joint at ride height, m.
    pub length: f64,
    /// At ride height.
    pub ride: ShaftRow,
    /// Over the travel looked at, from droop to bump.
    pub travel: Vec<ShaftRow>,
    /// In the pose of the launch, links stretched and all, or why there is none.
    pub launch: Result<ShaftRow, Phrase>,
    /// How to turn the rear yoke against the front one.
    pub turn: PhaseTurn,
    /// Exact speed of the pinion over that of the output over a turn, at ride height.
    pub range: SpeedRange,
    /// What the joints should not do at ride height and the highest shaft speed (at rest where it is not known).
    pub joints: Vec<JointFinding>,
    /// The worst of each thing the shaft should not do, with the travel where (m); none: in the launch.
    pub found: Vec<(Option<f64>, ShaftFinding)>,
}

impl ShaftTravel {
    /// Every pose looked at: the travel, then the launch.
    pub fn poses(&self) -> impl Iterator<Item = &ShaftRow> {
        self.travel.iter().chain(self.launch.as_ref().ok())
    }

    /// Least of a figure over every pose.
    pub fn least(&self, of: impl Fn(&ShaftRow) -> Option<f64>) -> Option<f64> {
        self.poses().filter_map(of).reduce(f64::min)
    }

    /// Greatest of a figure over every pose.
    pub fn greatest(&self, of: impl Fn(&ShaftRow) -> Option<f64>) -> Option<f64> {
        self.poses().filter_map(of).reduce(f64::max)
    }
}

/// None while nothing is drawn.
pub(super) fn study(
    b: &Build,
    rear: &RearStudy,
    launch: &LaunchStudy,
    run: &RunStudy,
) -> Option<DrivelineStudy> {
    let d = b.driveline.as_ref()?;
    let top = speeds::top(b, d);
    let shaft = shaft(b, d, rear, launch, top.as_ref().ok());
    let length = shaft.as_ref().map(|s| s.length);
    Some(DrivelineStudy {
        critical: match (length, &top) {
            (Err(why), _) | (_, Err(why)) => Err(why.clone()),
            (Ok(length), Ok(top)) => speeds::critical(d, length, top.shaft),
        },
        strength: speeds::strength(b, d, length.ok(), launch),
        gearing: speeds::gearing(b, d, run),
        shaft,
        top,
    })
}

fn shaft(
    b: &Build,
    d: &Driveline,
    rear: &RearStudy,
    launch: &LaunchStudy,
    top: Option<&TopSpeed>,
) -> Result<ShaftTravel, Phrase> {
    let Some(drawn) = &b.power.driveshaft else {
        return Err(Phrase::from("no driveshaft is drawn yet"));
    };
    let motion = rear
        .motion
        .as_ref()
        .map_err(|e| Phrase::from(e.to_string()))?;
    if motion.travel.low_limit.is_some() || motion.travel.high_limit.is_some() {
        return Err(Phrase::from("the axle does not reach the whole travel"));
    }
    let drawn = super::launch::drawn_shaft(drawn, Some(d));
    let axle = &motion.axle;
    let shaft = vehicle::driveshaft::Driveshaft::drawn(axle, &drawn)
        .map_err(|e| Phrase::from(super::launch::shaft_words(&e)))?;
    let model = ShaftOnTravel {
        shaft,
        phase: d.phase.si(),
        tube_radius: 0.5 * d.tube.outside.si(),
        slip: SlipYoke {
            engagement: d.slip.engagement.si(),
            room_inward: d.slip.room.si(),
            diameter: d.slip.diameter.si(),
        },
        hoop: d.hoop.map(|h| Loop {
            centre: Point3::from(h.at.si()),
            // It stands square across the car.
            normal: Vector3::x(),
            inside_radius: 0.5 * h.inside.si(),
            within: h.within.si(),
        }),
    };
    over_travel(d, &model, motion, launch, top).map_err(|e| words(&e))
}

fn over_travel(
    d: &Driveline,
    model: &ShaftOnTravel,
    motion: &Motion,
    launch: &LaunchStudy,
    top: Option<&TopSpeed>,
) -> Result<ShaftTravel, DrivelineError> {
    let axle = &motion.axle;
    let ride = model.row_at(axle, &axle.design.pose)?;
    let travel = motion
        .travel
        .states
        .iter()
        .map(|s| model.row_at(axle, &s.pose))
        .collect::<Result<Vec<_>, _>>()?;
    let launch = launch
        .reactions
        .as_ref()
        .map_err(Clone::clone)
        .and_then(|r| r.balance(Case::Drive))
        .map_err(Phrase::from)
        .and_then(|balance| {
            model
                .row_at(axle, &launch_pose(balance))
                .map_err(|e| words(&e))
        });
    let chain = JointChain::new(&ride.state.axes, &[d.phase.si()])?;
    let mut found: Vec<(Option<f64>, ShaftFinding)> = Vec::new();
    let mut keep = |at: Option<f64>, row: &ShaftRow| {
        for f in model.findings(row) {
            let same = found
                .iter_mut()
                .find(|(_, x)| std::mem::discriminant(x) == std::mem::discriminant(&f));
            match same {
                Some(old) if depth(&f) > depth(&old.1) => *old = (at, f),
                Some(_) => {}
                None => found.push((at, f)),
            }
        }
    };
    for row in &travel {
        keep(Some(row.state.travel), row);
    }
    if let Ok(row) = &launch {
        keep(None, row);
    }
    Ok(ShaftTravel {
        length: model.shaft.design_length(),
        turn: chain.spline_turn(0, d.spline_teeth)?,
        range: chain.range(),
        joints: chain.findings(top.map_or(0.0, |t| t.shaft), &JointLimits::default())?,
        found,
        ride,
        travel,
        launch,
    })
}

/// How bad it is against another of its kind.
fn depth(f: &ShaftFinding) -> f64 {
    match *f {
        ShaftFinding::ShortEngagement { engagement, .. } => -engagement,
        ShaftFinding::Bottoming { room } => -room,
        ShaftFinding::TouchesLoop { gap } => -gap,
        ShaftFinding::LoopTooFar { distance, .. } => distance,
        ShaftFinding::MissesLoop => 0.0,
    }
}

/// The axle in a balance as the body sees it.
fn launch_pose(balance: &Balance) -> Pose {
    let origin = balance.sprung_point(&Point3::origin());
    let turn = Matrix3::from_columns(
        &[Vector3::x(), Vector3::y(), Vector3::z()]
            .map(|e| balance.sprung_point(&Point3::from(e)) - origin),
    );
    let back = turn.transpose();
    // R = Rz(ψ)·Rx(φ)·Ry(θ): its third row is (−cos φ sin θ, sin φ, cos φ cos θ).
    let r = back * balance.axle.rotation();
    Pose {
        position: Point3::from(back * (balance.axle.position - origin)),
        phi: r[(2, 1)].clamp(-1.0, 1.0).asin(),
        theta: (-r[(2, 0)]).atan2(r[(2, 2)]),
        psi: (-r[(0, 1)]).atan2(r[(1, 1)]),
    }
}

/// An error as part of a sentence for the shop.
fn words(e: &DrivelineError) -> Phrase {
    match e {
        DrivelineError::BadInput { what, value, range } => Phrase::from(format!(
            "the {what} can not be {value:.4}: it must be {range}"
        )),
        DrivelineError::Folded { joint, angle } => Phrase::from(if *joint == 0 {
            "the front joint is folded by "
        } else {
            "the rear joint is folded by "
        })
        .q(units::Kind::Angle, *angle)
        .t(": it can not turn"),
        DrivelineError::Shaft(e) => Phrase::from(super::launch::shaft_words(e)),
        other => Phrase::from(other.to_string()),
    }
}
