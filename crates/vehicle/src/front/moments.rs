//! Moments about the steering axis, tie-rod and rack force, torque at the handwheel.

use geometry::Vector3;
use geometry::front::{Corner, CornerState, FrontRod};

use super::above;
use super::{FrontForceError, finite, positive};

/// Where a longitudinal force acts on the knuckle.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LongitudinalAt {
    /// At the contact: braking with the caliper on the knuckle.
    Contact,
    /// At the wheel centre: free rolling, hits, inboard brakes.
    WheelCentre,
}

/// Forces of the ground on a tyre, along the tyre's own level axes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TyreLoad {
    /// Along the heading, N, forward positive (braking negative).
    pub longitudinal: f64,
    /// Across, N, to the left positive.
    pub lateral: f64,
    /// Up, N.
    pub vertical: f64,
    /// Moment about the vertical, N·m, to the left positive.
    pub aligning: f64,
    /// Where the longitudinal force acts.
    pub longitudinal_at: LongitudinalAt,
}

/// Parts of the moment about the steering axis, N·m, + turns the wheel left.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MomentParts {
    /// Of the longitudinal force (scrub).
    pub longitudinal: f64,
    /// Of the lateral force (trail).
    pub lateral: f64,
    /// Of the vertical force (inclinations).
    pub vertical: f64,
    /// Of the aligning moment.
    pub aligning: f64,
}

/// One wheel's moment and what holds it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SteeringMoment {
    /// The parts.
    pub parts: MomentParts,
    /// Their sum M, N·m, + turns the wheel left.
    pub moment: f64,
    /// Lever of the tie rod u·((b − P) × e), m, signed: e from its outer to its inner end.
    pub lever: f64,
    /// Tie-rod force −M/lever, N, tension positive.
    pub tie_rod_force: f64,
    /// Its part along y on the rack, N, pulling the rack to the left positive.
    pub rack_force: f64,
}

/// Both wheels at the handwheel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HandwheelLoad {
    /// Force of both tie rods on the rack along y, N, to the left positive.
    pub rack_force: f64,
    /// Torque to hold it |rack force|·(rack per turn)/2π, N·m.
    pub torque: f64,
}

/// Moment about the steering axis u through the lower ball joint P: M = u·Σ(r − P)×F + u_z M_z.
/// `state` must be a state of `corner`.
///
/// # Errors
/// [`FrontForceError::BadNumber`], [`FrontForceError::NoLever`].
pub fn steering_moment(
    corner: &Corner,
    state: &CornerState,
    load: &TyreLoad,
) -> Result<SteeringMoment, FrontForceError> {
    let (heading, across) = state.tyre_axes();
    let u = state.steering_axis;
    let part = |at: geometry::Point3<f64>, force: Vector3<f64>| {
        u.dot(&(at - state.lower_ball).cross(&force))
    };
    let at = match load.longitudinal_at {
        LongitudinalAt::Contact => state.contact,
        LongitudinalAt::WheelCentre => state.pose.position,
    };
    let parts = MomentParts {
        longitudinal: part(
            at,
            heading * finite("longitudinal force", load.longitudinal)?,
        ),
        lateral: part(
            state.contact,
            across * finite("lateral force", load.lateral)?,
        ),
        vertical: part(
            state.contact,
            Vector3::z() * finite("vertical force", load.vertical)?,
        ),
        aligning: u.z * finite("aligning moment", load.aligning)?,
    };
    let moment = parts.longitudinal + parts.lateral + parts.vertical + parts.aligning;
    let rod = corner.rod_vector(FrontRod::TieRod, &state.pose, state.rack);
    let inward = -rod / rod.norm();
    let outer = state
        .pose
        .place(&corner.rods[FrontRod::TieRod.index()].body_point);
    let lever = u.dot(&(outer - state.lower_ball).cross(&inward));
    if !above(lever.abs(), 1e-6) {
        return Err(FrontForceError::NoLever { lever });
    }
    let tie_rod_force = -moment / lever;
    Ok(SteeringMoment {
        parts,
        moment,
        lever,
        tie_rod_force,
        rack_force: -tie_rod_force * inward.y,
    })
}

/// Rack force and handwheel torque of both wheels; rack travel per turn of the handwheel in m.
///
/// # Errors
/// [`FrontForceError::BadNumber`].
pub fn handwheel_load(
    wheels: &[SteeringMoment],
    rack_per_turn: f64,
) -> Result<HandwheelLoad, FrontForceError> {
    let per_turn = positive("rack per turn", rack_per_turn)?;
    let rack_force = wheels.iter().map(|w| w.rack_force).sum::<f64>();
    Ok(HandwheelLoad {
        rack_force,
        torque: rack_force.abs() * per_turn / std::f64::consts::TAU,
    })
}
