//! A coil-over as the axle moves.

use geometry::{AssembledAxle, Position, Prescribed, Velocity, path_velocity};
use nalgebra::{Point3, Vector3};

use super::{SpringError, positive};

/// Half width of the central difference for dMR/dz (m) and dMR/dφ (rad).
const DIFFERENCE: f64 = 5e-4;

/// Where a coil-over is fixed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CoiloverMount {
    /// End on the sprung mass, sprung-mass axes, m.
    pub frame_point: Point3<f64>,
    /// End on the housing from the axle origin, axle axes, m.
    pub body_point: Point3<f64>,
}

impl CoiloverMount {
    /// From both ends as drawn in sprung-mass axes at design ride height.
    ///
    /// # Errors
    /// [`SpringError::BadInput`] when the ends coincide or are not finite.
    pub fn drawn(
        axle: &AssembledAxle,
        frame_point: Point3<f64>,
        housing_point: Point3<f64>,
    ) -> Result<Self, SpringError> {
        positive(
            "length of the coil-over",
            (housing_point - frame_point).norm(),
        )?;
        Ok(Self {
            frame_point,
            body_point: Point3::from(housing_point - axle.linkage.origin),
        })
    }
}

/// How a coil-over moves in one pose.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Motion {
    /// Travel, m, bump positive.
    pub travel: f64,
    /// Roll, rad, left wheel up positive.
    pub roll: f64,
    /// Distance between the ends, m.
    pub length: f64,
    /// MR = −dL/dz, m/m.
    pub motion_ratio: f64,
    /// −dL/dφ, m/rad: positive for a coil-over on the left.
    pub roll_ratio: f64,
    /// Angle between the coil-over and its design line seen from the sprung mass, rad: what its upper
    /// bearing must allow.
    pub frame_swing: f64,
    /// The same seen from the housing.
    pub housing_swing: f64,
}

/// A coil-over with its spring in one pose.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SpringState {
    /// How it moves.
    pub motion: Motion,
    /// Spring force F, N, zero or more.
    pub coil_force: f64,
    /// F·MR, N: what it holds up at the wheel.
    pub wheel_force: f64,
    /// k·MR² + F·dMR/dz, N/m. Zero with the spring loose.
    pub wheel_rate: f64,
    /// F·dMR/dz alone, N/m.
    pub geometric_rate: f64,
    /// k·(dL/dφ)² − F·d²L/dφ², N·m/rad: this coil-over's part of the roll stiffness.
    pub roll_rate: f64,
}

fn line(mount: &CoiloverMount, position: &Position) -> Vector3<f64> {
    position.pose.place(&mount.body_point) - mount.frame_point
}

fn angle(a: &Vector3<f64>, b: &Vector3<f64>) -> f64 {
    a.cross(b).norm().atan2(a.dot(b))
}

fn at(axle: &AssembledAxle, mount: &CoiloverMount, p: &Position) -> Result<Motion, SpringError> {
    let d = line(mount, p);
    let length = positive("length of the coil-over", d.norm())?;
    let arm = p.pose.rotation() * mount.body_point.coords;
    let along = |v: &Velocity| d.dot(&(v.twist.v + v.twist.w.cross(&arm))) / length;
    let rods = &axle.linkage.rods;
    let heave = path_velocity(rods, &p.pose, &Prescribed::height_and_roll(1.0, 0.0))?;
    let roll = path_velocity(rods, &p.pose, &Prescribed::height_and_roll(0.0, 1.0))?;
    let drawn = line(mount, &axle.design);
    let seen = |p: &Position, d: &Vector3<f64>| p.pose.rotation().transpose() * d;
    Ok(Motion {
        travel: axle.travel_of(&p.pose),
        roll: p.pose.phi,
        length,
        motion_ratio: -along(&heave),
        roll_ratio: -along(&roll),
        frame_swing: angle(&drawn, &d),
        housing_swing: angle(&seen(&axle.design, &drawn), &seen(p, &d)),
    })
}

/// How the coil-over moves at `travel` (m) and `roll` (rad): rates are the exact derivative of the axle's path.
///
/// # Errors
/// [`SpringError::Axle`] out of reach; [`SpringError::Motion`]; [`SpringError::BadInput`] when the ends meet.
pub fn motion(
    axle: &AssembledAxle,
    mount: &CoiloverMount,
    travel: f64,
    roll: f64,
) -> Result<Motion, SpringError> {
    at(axle, mount, &axle.position(travel, roll)?)
}

/// The coil-over with a spring of `rate` (N/m) that is free at `free_length` (m between the ends).
///
/// # Errors
/// As [`motion`]; [`SpringError::BadInput`] for a rate or length that is not positive.
pub fn spring_state(
    axle: &AssembledAxle,
    mount: &CoiloverMount,
    rate: f64,
    free_length: f64,
    travel: f64,
    roll: f64,
) -> Result<SpringState, SpringError> {
    let k = positive("spring rate", rate)?;
    let free = positive("free length of the coil-over", free_length)?;
    let position = axle.position(travel, roll)?;
    let here = at(axle, mount, &position)?;
    // One-sided where the axle's reach ends.
    let slope = |near: &dyn Fn(f64) -> Result<f64, SpringError>, now: f64| match (
        near(-DIFFERENCE),
        near(DIFFERENCE),
    ) {
        (Ok(low), Ok(high)) => Ok((high - low) / (2.0 * DIFFERENCE)),
        (Ok(low), Err(_)) => Ok((now - low) / DIFFERENCE),
        (Err(_), Ok(high)) => Ok((high - now) / DIFFERENCE),
        (Err(e), Err(_)) => Err(e),
    };
    let by_travel = slope(
        &|d| Ok(at(axle, mount, &axle.move_travel(&position, travel + d)?)?.motion_ratio),
        here.motion_ratio,
    )?;
    let by_roll = slope(
        &|d| Ok(at(axle, mount, &axle.move_roll(&position, roll + d)?)?.roll_ratio),
        here.roll_ratio,
    )?;
    let force = (k * (free - here.length)).max(0.0);
    let stiff = if force > 0.0 { k } else { 0.0 };
    let geometric_rate = force * by_travel;
    Ok(SpringState {
        motion: here,
        coil_force: force,
        wheel_force: force * here.motion_ratio,
        wheel_rate: stiff * here.motion_ratio.powi(2) + geometric_rate,
        geometric_rate,
        roll_rate: stiff * here.roll_ratio.powi(2) + force * by_roll,
    })
}
