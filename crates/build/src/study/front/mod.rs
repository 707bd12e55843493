//! The front end over travel and rack: alignment, bump steer, steering, springs, adjusters, joints and
//! what comes near what.

mod drawn;
mod findings;
mod gaps;
mod pose;
mod readings;
mod springs;

use std::sync::Arc;

use geometry::front::{
    Alignment, BumpSteer, CornerState, Front, FrontError, FrontGrid, Lock, LockCause, RackHeight,
    SteeringCar, SteeringRow, Straightened, TieRodMove, Wanted, anti_dive, turns_for,
};
use vehicle::front::{
    HandwheelLoad, LongitudinalAt, RollLoads, SteeringMoment, TyreLoad, handwheel_load,
    steering_moment,
};

pub(super) use findings::findings;
pub use gaps::{FrontGap, JointTilt};
pub use pose::FrontPose;
pub(super) use readings::readings;
pub use springs::{FrontBarStudy, FrontCoilAt, FrontCoilStudy};

use super::RearStudy;
use crate::{Build, FrontEnd};

/// Travels of the grid.
const TRAVELS: usize = 41;
/// Rack positions of the grid.
const RACKS: usize = 21;

/// The caution of the page and the card.
pub const FRONT_CAUTION: &str = "Steer lock to lock at full bump and full droop before driving. A compressed spring can kill: use the proper tool. Threads engaged one diameter, jam nuts tight, cotter pins in. On stands, never on a jack alone.";

/// The front end.
#[derive(Debug, Clone)]
pub struct FrontStudy {
    /// How it moves, or why it does not.
    pub motion: Result<FrontMotion, FrontProblem>,
}

/// Why there is no front end to look at.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[error("{}", drawn::words(.0))]
pub struct FrontProblem(pub FrontError);

/// The front end over travel and rack. The left side stands for both: the right one is its mirror.
#[derive(Debug, Clone)]
pub struct FrontMotion {
    /// Both corners.
    pub front: Front,
    /// The left corner at ride height, wheels straight.
    pub ride: CornerState,
    /// Both corners over travel and rack.
    pub grid: Arc<FrontGrid>,
    /// Slope and curvature of toe over travel.
    pub bump: BumpSteer,
    /// The rack height that makes the slope zero.
    pub rack_fix: Result<RackHeight, FrontProblem>,
    /// The rack's place and tie-rod length that make slope and curvature zero.
    pub straight: Result<Straightened, FrontProblem>,
    /// Steering at ride height over the rack's travel.
    pub steering: Vec<SteeringRow>,
    /// Where the steering ends, to the left.
    pub lock: Result<Lock, FrontProblem>,
    /// Anti-dive, 1 = 100 %.
    pub anti_dive: Result<f64, FrontProblem>,
    /// The coil-over; none while it is not drawn.
    pub coil: Option<Result<FrontCoilStudy, String>>,
    /// The anti-roll bar; none while it is not drawn.
    pub bar: Option<Result<FrontBarStudy, String>>,
    /// What a turn of each adjuster does, in their order: derivative per turn, and one full turn.
    pub adjusters: Vec<Result<(Alignment, Alignment), FrontProblem>>,
    /// Turns of each adjuster to the middle of the bands of camber, caster and toe; none where no
    /// band is set or nothing can be turned.
    pub turns: Option<Result<Vec<f64>, FrontProblem>>,
    /// Joints, in their order.
    pub joints: Vec<JointTilt>,
    /// What comes near what, the tightest first.
    pub gaps: Vec<FrontGap>,
    /// Both wheels' moments and the handwheel's load in the braking looked at.
    pub braking: Result<([SteeringMoment; 2], HandwheelLoad), String>,
    /// Roll and load transfer; none without coil-overs at both ends.
    pub roll: Result<RollLoads, String>,
    /// The first pose of the grid that is not reached: travel, rack and why.
    pub unreached: Option<(f64, f64, FrontProblem)>,
}

impl FrontStudy {
    /// The same front end on another rear axle or other springs there: what rolls is worked out again.
    pub(super) fn on(&self, b: &Build, rear: &RearStudy) -> Self {
        let mut new = self.clone();
        if let Ok(m) = &mut new.motion {
            m.roll = springs::roll(b, rear, &m.ride, m.coil.as_ref(), m.bar.as_ref());
        }
        new
    }

    /// Rate of one front wheel and the roll stiffness of the bar, where they are drawn.
    pub fn spring(&self) -> Option<&FrontCoilStudy> {
        self.motion.as_ref().ok()?.coil.as_ref()?.as_ref().ok()
    }

    /// The anti-roll bar, where it is drawn and works.
    pub fn bar(&self) -> Option<&FrontBarStudy> {
        self.motion.as_ref().ok()?.bar.as_ref()?.as_ref().ok()
    }
}

impl FrontMotion {
    /// States of the left corner over travel with the rack centred; poses not reached are left out.
    pub fn over_travel(&self) -> impl Iterator<Item = &CornerState> {
        let middle = self.grid.racks.len() / 2;
        (0..self.grid.travels.len()).filter_map(move |i| {
            let cell = self.grid.cell(geometry::front::Side::Left, i, middle)?;
            cell.as_ref().ok()
        })
    }

    /// Largest less smallest toe over the travel, rack centred, rad.
    pub fn toe_range(&self) -> f64 {
        let toes = self.over_travel().map(|s| s.toe_in);
        let (low, high) = toes.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), t| {
            (a.min(t), b.max(t))
        });
        (high - low).max(0.0)
    }

    /// The sharpest turn that the lock leaves.
    pub fn at_lock(&self) -> Option<&SteeringRow> {
        self.steering.iter().rfind(|r| r.turn.is_some())
    }
}

/// Coil-over and anti-roll bar of the front end alone, for the launch.
#[derive(Debug, Clone)]
pub(super) struct FrontSprings {
    pub coil: Option<FrontCoilStudy>,
    pub bar: Option<FrontBarStudy>,
}

/// What the drawn front end gives the launch in place of the plain rates; both none while it is not drawn.
///
/// # Errors
/// It is drawn and does not work, in words.
pub(super) fn springs_of(b: &Build) -> Result<FrontSprings, String> {
    let none = FrontSprings {
        coil: None,
        bar: None,
    };
    let Some(f) = &b.front_end else {
        return Ok(none);
    };
    if f.coil_over.is_none() && f.bar.is_none() {
        return Ok(none);
    }
    let say = |e: String| format!("front end: {e}");
    let front =
        Front::symmetric(&drawn::corner(b, f)).map_err(|e| say(FrontProblem(e).to_string()))?;
    Ok(FrontSprings {
        coil: springs::coil(b, f, &front).transpose().map_err(say)?,
        bar: springs::bar(b, f, &front).transpose().map_err(say)?,
    })
}

/// None while nothing is drawn.
pub(super) fn study(b: &Build, rear: &RearStudy) -> Option<FrontStudy> {
    let f = b.front_end.as_ref()?;
    Some(FrontStudy {
        motion: motion(b, f, rear).map_err(FrontProblem),
    })
}

fn motion(b: &Build, f: &FrontEnd, rear: &RearStudy) -> Result<FrontMotion, FrontError> {
    let front = Front::symmetric(&drawn::corner(b, f))?;
    let corner = &front.left;
    let ride = corner.state_at(&corner.design, 0.0)?;
    let (bump, droop, end) = (f.bump.si(), f.droop.si(), f.rack.travel.si());
    let spread = |n: usize, low: f64, high: f64| -> Vec<f64> {
        let step = (high - low) / (n - 1) as f64;
        (0..n).map(|i| low + step * i as f64).collect()
    };
    let grid = front.grid(&spread(TRAVELS, -droop, bump), &spread(RACKS, -end, end))?;
    let car = SteeringCar {
        wheelbase: b.car.wheelbase.si(),
        rack_per_turn: f.rack.per_turn.si(),
        tyre_width: b.car.front.tyre_width.si(),
    };
    let watch = gaps::Watch::new(b, f);
    let lock = front.lock(0.0, end, |l, r| watch.room_at_lock(&front, l, r));
    let limit = lock.map_or(0.0, |l| l.rack);
    let steering = front.steering(&car, &spread(RACKS, -limit, limit))?;
    let tangent = if f.caliper_on_knuckle {
        ride.dive_tangent_contact
    } else {
        ride.dive_tangent_centre
    };
    let share = 1.0 - b.car.rear_brake_share.si();
    let coil = springs::coil(b, f, &front);
    let bar = springs::bar(b, f, &front);
    let turned: Vec<_> = f.adjusters.iter().map(drawn::adjuster).collect();
    let adjusters: Vec<_> = turned
        .iter()
        .map(|a| {
            let effect = corner.adjuster_effect(a).map_err(FrontProblem)?;
            Ok((effect.per_turn, effect.one_turn))
        })
        .collect();
    let (gaps, joints) = watch.over(&front, &grid);
    let unreached = grid
        .failures(geometry::front::Side::Left)
        .next()
        .map(|(travel, rack, e)| (travel, rack, FrontProblem(*e)));
    Ok(FrontMotion {
        bump: corner.bump_steer()?,
        rack_fix: corner.rack_height(TieRodMove::Inner).map_err(FrontProblem),
        straight: corner.straighten().map_err(FrontProblem),
        lock: lock.map_err(FrontProblem),
        anti_dive: anti_dive(tangent, share, b.car.cg_height.si(), b.car.wheelbase.si())
            .map_err(FrontProblem),
        turns: turns(b, &ride, &adjusters),
        roll: springs::roll(b, rear, &ride, coil.as_ref(), bar.as_ref()),
        braking: braking(b, f, &front, &ride),
        coil,
        bar,
        adjusters,
        joints,
        gaps,
        steering,
        unreached,
        ride,
        grid: Arc::new(grid),
        front,
    })
}

/// Turns to the middle of the bands that are set.
fn turns(
    b: &Build,
    ride: &CornerState,
    adjusters: &[Result<(Alignment, Alignment), FrontProblem>],
) -> Option<Result<Vec<f64>, FrontProblem>> {
    let middle = |id: &str, now: f64| {
        let t = b.target(id)?;
        Some(0.5 * (t.low.si + t.high.si) - now)
    };
    let wanted = Wanted {
        camber: middle("front.camber", ride.camber),
        caster: middle("front.caster", ride.caster),
        toe_in: middle("front.toe_in", ride.toe_in),
    };
    if wanted == Wanted::default() || adjusters.is_empty() {
        return None;
    }
    let table: Vec<Alignment> = adjusters
        .iter()
        .map(|a| a.as_ref().map_or_else(|_| Alignment::default(), |a| a.0))
        .collect();
    Some(turns_for(&table, &wanted).map_err(FrontProblem))
}

/// Moments about the steering axes in the braking looked at, wheels straight.
fn braking(
    b: &Build,
    f: &FrontEnd,
    front: &Front,
    ride: &CornerState,
) -> Result<([SteeringMoment; 2], HandwheelLoad), String> {
    let (m, z) = (b.car.mass.si(), b.power.braking.si());
    let station = b.car.wheelbase.si() * (1.0 - b.car.rear_share.si());
    let weight = m * vehicle::STANDARD_GRAVITY;
    let load = 0.5 * (weight * station + m * z * b.car.cg_height.si()) / b.car.wheelbase.si();
    let tyre = TyreLoad {
        longitudinal: -0.5 * m * z * (1.0 - b.car.rear_brake_share.si()),
        lateral: 0.0,
        vertical: load,
        aligning: 0.0,
        longitudinal_at: if f.caliper_on_knuckle {
            LongitudinalAt::Contact
        } else {
            LongitudinalAt::WheelCentre
        },
    };
    let left = steering_moment(&front.left, ride, &tyre).map_err(|e| e.to_string())?;
    let right =
        steering_moment(&front.right, &ride.mirrored(), &tyre).map_err(|e| e.to_string())?;
    // What one wheel alone would do at the handwheel: the two cancel while they brake alike.
    let hand = handwheel_load(&[left], f.rack.per_turn.si()).map_err(|e| e.to_string())?;
    Ok(([left, right], hand))
}

/// What ends the steering, in words.
pub fn lock_words(cause: LockCause) -> &'static str {
    match cause {
        LockCause::RackEnd => "the rack's end",
        LockCause::TyreContact => "the tyre touching",
        LockCause::JointAngle => "a joint at its limit",
        LockCause::OutOfReach => "the rods reaching no farther",
    }
}
