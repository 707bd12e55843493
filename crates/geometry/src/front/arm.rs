//! Points carried by the parts of a corner, the coil-over on an arm, and the end of an
//! anti-roll bar on its drop link.

use nalgebra::{Point3, Vector3};

use super::corner::{Corner, Wishbone};
use super::motion::Motion;
use super::{FrontError, positive};
use super::{above, up_to};
use crate::pose::Pose;

/// Shortest lever or length that means anything here, m.
const LEAST: f64 = 1e-6;

/// The part a point is fixed to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Carrier {
    /// The sprung mass.
    Frame,
    /// The rack: moves along y.
    Rack,
    /// The lower wishbone: turns about its two inner points as its ball joint says.
    LowerArm,
    /// The upper wishbone.
    UpperArm,
    /// The knuckle.
    Knuckle,
}

/// A point fixed to a part, given as drawn at design height with the rack centred.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Carried {
    /// The part.
    pub carrier: Carrier,
    /// The point as drawn, sprung-mass axes, m.
    pub point: Point3<f64>,
}

/// A point with its first and second derivative per metre of wheel travel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PointMotion {
    /// Where it stands, sprung-mass axes, m.
    pub place: Point3<f64>,
    /// First derivative, m/m.
    pub first: Vector3<f64>,
    /// Second derivative, 1/m.
    pub second: Vector3<f64>,
}

/// How far a wishbone has turned about its inner points since it was drawn.
pub(super) struct ArmTurn {
    origin: Point3<f64>,
    axis: Vector3<f64>,
    angle: f64,
    /// Ball joint's lever now.
    lever: Vector3<f64>,
}

/// Rodrigues' rotation.
pub(super) fn rotated(v: &Vector3<f64>, axis: &Vector3<f64>, angle: f64) -> Vector3<f64> {
    let (s, c) = angle.sin_cos();
    v * c + axis.cross(v) * s + axis * (axis.dot(v) * (1.0 - c))
}

impl ArmTurn {
    pub(super) fn new(arm: &Wishbone, ball: &Point3<f64>) -> Result<Self, FrontError> {
        let along = arm.front - arm.rear;
        let distance = along.norm();
        if !above(distance, LEAST) {
            return Err(FrontError::BadNumber {
                what: "distance between a wishbone's inner points",
                value: distance,
            });
        }
        let axis = along / distance;
        let across = |v: Vector3<f64>| v - axis * axis.dot(&v);
        let (from, to) = (across(arm.ball - arm.rear), across(ball - arm.rear));
        let lever = from.norm().min(to.norm());
        if !above(lever, LEAST) {
            return Err(FrontError::BadNumber {
                what: "distance of a ball joint from its wishbone's axis",
                value: lever,
            });
        }
        Ok(Self {
            origin: arm.rear,
            axis,
            angle: axis.dot(&from.cross(&to)).atan2(from.dot(&to)),
            lever: to,
        })
    }

    pub(super) fn turned(&self, direction: &Vector3<f64>) -> Vector3<f64> {
        rotated(direction, &self.axis, self.angle)
    }

    fn place(&self, drawn: &Point3<f64>) -> Point3<f64> {
        self.origin + self.turned(&(drawn - self.origin))
    }
}

impl Corner {
    /// The wishbone that is `carrier`, with the place of its ball joint at `pose`.
    pub(super) fn arm_turn(
        &self,
        carrier: Carrier,
        pose: &Pose,
    ) -> Option<Result<ArmTurn, FrontError>> {
        let (arm, rod) = match carrier {
            Carrier::LowerArm => (&self.drawn.lower, 0),
            Carrier::UpperArm => (&self.drawn.upper, 2),
            _ => return None,
        };
        let ball = pose.position + Self::arm_of(pose, &self.rods[rod].body_point);
        Some(ArmTurn::new(arm, &ball))
    }

    /// Where a carried point stands at a solved pose with the rack at `rack` (m).
    ///
    /// # Errors
    /// [`FrontError::BadNumber`] for an arm without a lever.
    pub fn carry(
        &self,
        point: &Carried,
        pose: &Pose,
        rack: f64,
    ) -> Result<Point3<f64>, FrontError> {
        let p = point.point;
        match self.arm_turn(point.carrier, pose) {
            Some(turn) => Ok(turn?.place(&p)),
            None => Ok(match point.carrier {
                Carrier::Rack => p + Vector3::y() * rack,
                Carrier::Knuckle => {
                    let body = Point3::from(p - self.drawn.wheel_centre);
                    pose.position + Self::arm_of(pose, &body)
                }
                _ => p,
            }),
        }
    }

    /// A carried point with its derivatives per metre of travel, `motion` from
    /// [`Corner::heave_motion`] at the same pose.
    ///
    /// # Errors
    /// [`FrontError::BadNumber`] for an arm without a lever.
    pub fn carry_motion(
        &self,
        point: &Carried,
        pose: &Pose,
        rack: f64,
        motion: &Motion,
    ) -> Result<PointMotion, FrontError> {
        let place = self.carry(point, pose, rack)?;
        let (first, second) = match self.arm_turn(point.carrier, pose) {
            Some(turn) => {
                let turn = turn?;
                let rod = if point.carrier == Carrier::LowerArm {
                    0
                } else {
                    2
                };
                let ball = Self::arm_of(pose, &self.rods[rod].body_point);
                let push = turn.axis.cross(&turn.lever);
                let size = push.norm_squared();
                let rate = motion.velocity(&ball).dot(&push) / size;
                let bend = motion.second(&ball).dot(&push) / size;
                let arm = place - turn.origin;
                let across = turn.axis.cross(&arm);
                (
                    across * rate,
                    across * bend + turn.axis.cross(&across) * (rate * rate),
                )
            }
            None if point.carrier == Carrier::Knuckle => {
                let arm = place - pose.position;
                (motion.velocity(&arm), motion.second(&arm))
            }
            None => (Vector3::zeros(), Vector3::zeros()),
        };
        Ok(PointMotion {
            place,
            first,
            second,
        })
    }
}

/// A coil-over between the frame and an arm or the knuckle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CoilOver {
    /// Upper end, fixed to the frame, m.
    pub on_frame: Point3<f64>,
    /// Lower end.
    pub on_arm: Carried,
}

/// A coil-over in one pose.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CoilOverState {
    /// Eye to eye, m.
    pub length: f64,
    /// Motion ratio MR = −dL/dz: spring shortening per wheel travel, positive in bump.
    pub motion_ratio: f64,
    /// dMR/dz, 1/m.
    pub motion_ratio_slope: f64,
    /// Lower end, m.
    pub lower_end: Point3<f64>,
}

impl CoilOver {
    /// Length, motion ratio and its slope at a solved pose with the rack at `rack` (m).
    ///
    /// # Errors
    /// [`FrontError::Motion`]; [`FrontError::BadNumber`] for eyes that meet or an arm without
    /// a lever.
    pub fn state(
        &self,
        corner: &Corner,
        pose: &Pose,
        rack: f64,
    ) -> Result<CoilOverState, FrontError> {
        let motion = corner.heave_motion(pose, rack)?;
        let end = corner.carry_motion(&self.on_arm, pose, rack, &motion)?;
        let d = end.place - self.on_frame;
        let length = positive("coil-over length", d.norm())?;
        let slope = d.dot(&end.first) / length;
        let bend = (end.first.norm_squared() + d.dot(&end.second) - slope * slope) / length;
        Ok(CoilOverState {
            length,
            motion_ratio: -slope,
            motion_ratio_slope: -bend,
            lower_end: end.place,
        })
    }
}

/// One end of an anti-roll bar: an arm turning about the bar's axis, and a drop link of fixed
/// length from its end to a point on a wishbone or the knuckle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BarEnd {
    /// A point on the bar's axis, m.
    pub axis_point: Point3<f64>,
    /// Direction of the axis; any length. Turns are positive about it.
    pub axis: Vector3<f64>,
    /// End of the bar's arm as drawn, m.
    pub arm_end: Point3<f64>,
    /// Other end of the drop link.
    pub link: Carried,
    /// Link held at this length, m; None: as drawn.
    pub link_length: Option<f64>,
}

/// An end of a bar in one pose.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BarEndState {
    /// Turn since it was drawn, rad, positive about the axis.
    pub turn: f64,
    /// Turn per wheel travel θ', rad/m.
    pub turn_per_travel: f64,
    /// Its derivative θ'', rad/m².
    pub turn_slope: f64,
    /// Lever r of the link's force about the bar, m.
    pub lever: f64,
    /// End of the bar's arm, m.
    pub arm_end: Point3<f64>,
    /// End of the link on the arm or knuckle, m.
    pub link_end: Point3<f64>,
}

impl BarEnd {
    /// Turn and its derivatives at a solved pose with the rack at `rack` (m). The branch is the
    /// one the drawn arm lies on.
    ///
    /// # Errors
    /// [`FrontError::LinkDoesNotReach`]; [`FrontError::BadNumber`] for an axis, arm or link
    /// without length, or a link through the bar's axis; [`FrontError::Motion`].
    pub fn state(
        &self,
        corner: &Corner,
        pose: &Pose,
        rack: f64,
    ) -> Result<BarEndState, FrontError> {
        let k = self.axis / positive("bar axis", self.axis.norm())?;
        let from_axis = self.arm_end - self.axis_point;
        let radial = from_axis - k * k.dot(&from_axis);
        let centre = self.arm_end - radial;
        positive("bar arm", radial.norm())?;
        let across = k.cross(&radial);
        let motion = corner.heave_motion(pose, rack)?;
        let end = corner.carry_motion(&self.link, pose, rack, &motion)?;
        let drawn_link = self.arm_end - self.link.point;
        let length = positive("drop link", self.link_length.unwrap_or(drawn_link.norm()))?;
        // |c + ρ cos θ + (k×ρ) sin θ − Q|² = ℓ².
        let d = centre - end.place;
        let (a, b) = (2.0 * d.dot(&radial), 2.0 * d.dot(&across));
        let square = d.norm_squared() + radial.norm_squared();
        let swing = a.hypot(b);
        let c = length * length - square;
        if !up_to(c.abs(), swing) {
            return Err(FrontError::LinkDoesNotReach {
                length,
                nearest: (square - swing).max(0.0).sqrt(),
                farthest: (square + swing).sqrt(),
            });
        }
        let drawn_side = 2.0 * (centre - self.link.point).dot(&across);
        let turn = b.atan2(a) - (c / swing).clamp(-1.0, 1.0).acos().copysign(drawn_side);
        let turn = turn.sin().atan2(turn.cos());
        let arm = rotated(&radial, &k, turn);
        let arm_end = centre + arm;
        let link = arm_end - end.place;
        let push = k.cross(&arm);
        let lever = link.dot(&push) / link.norm();
        if !above(lever.abs(), LEAST) {
            return Err(FrontError::BadNumber {
                what: "lever of the drop link about the bar",
                value: lever.abs(),
            });
        }
        let rate = link.dot(&end.first) / link.dot(&push);
        let opening = push * rate - end.first;
        let inward = k.cross(&push) * (rate * rate) - end.second;
        let bend = -(opening.norm_squared() + link.dot(&inward)) / link.dot(&push);
        Ok(BarEndState {
            turn,
            turn_per_travel: rate,
            turn_slope: bend,
            lever: lever.abs(),
            arm_end,
            link_end: end.place,
        })
    }
}
