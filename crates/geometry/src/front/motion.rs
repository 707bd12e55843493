//! First and second derivatives of a knuckle's pose, exact.
//!
//! Rod i with d = p + r − a keeps its length L: d·d = L². Once: u·v + (r × u)·ω = L̇ + u·ȧ.
//! Twice, with L and a fixed: u·v̇ + (r × u)·ω̇ = −(ḋ·ḋ + d·(ω × (ω × r)))/|d|. Five rods
//! and a prescribed v_z make both square systems with the same matrix.

use nalgebra::{Const, LU, Matrix3, Matrix5, Point3, Vector3, Vector5};

use super::corner::{Corner, FrontRod};
use crate::pose::{Pose, Twist};
use crate::rods::Unreachable;

/// The motion of the knuckle while one quantity moves at unit rate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Motion {
    /// First derivative: velocity of the wheel centre and ω.
    pub twist: Twist,
    /// Second derivative of the wheel centre's position.
    pub acceleration: Vector3<f64>,
    /// Derivative of ω.
    pub angular_acceleration: Vector3<f64>,
}

impl Motion {
    /// First derivative of a point at `arm` from the wheel centre, fixed to the knuckle.
    #[must_use]
    pub fn velocity(&self, arm: &Vector3<f64>) -> Vector3<f64> {
        self.twist.v + self.twist.w.cross(arm)
    }

    /// Second derivative of that point.
    #[must_use]
    pub fn second(&self, arm: &Vector3<f64>) -> Vector3<f64> {
        let w = &self.twist.w;
        self.acceleration + self.angular_acceleration.cross(arm) + w.cross(&w.cross(arm))
    }

    /// First and second derivative of a direction fixed to the knuckle.
    #[must_use]
    pub fn turning(&self, direction: &Vector3<f64>) -> (Vector3<f64>, Vector3<f64>) {
        let w = &self.twist.w;
        let first = w.cross(direction);
        let second = self.angular_acceleration.cross(direction) + w.cross(&first);
        (first, second)
    }
}

/// The linearised rods of a corner at a pose, factored.
pub(super) struct Linear {
    matrix: Matrix5<f64>,
    lu: LU<f64, Const<5>, Const<5>>,
    /// R b, unit, distance of each rod.
    lines: [(Vector3<f64>, Vector3<f64>, f64); 5],
    /// Coefficients of v_z.
    vertical: Vector5<f64>,
}

impl Linear {
    pub(super) fn new(corner: &Corner, pose: &Pose, rack: f64) -> Self {
        Self::turned(corner, pose, &pose.rotation(), rack)
    }

    /// The same with the pose's rotation already at hand.
    pub(super) fn turned(corner: &Corner, pose: &Pose, rotation: &Matrix3<f64>, rack: f64) -> Self {
        let tie = FrontRod::TieRod.index();
        let mut lines = [(Vector3::zeros(), Vector3::zeros(), 0.0); 5];
        let mut matrix = Matrix5::zeros();
        let mut vertical = Vector5::zeros();
        for (i, (rod, line)) in corner.rods.iter().zip(&mut lines).enumerate() {
            let arm = rotation * rod.body_point.coords;
            let mut d = pose.position + arm - rod.frame_point;
            if i == tie {
                d.y -= rack;
            }
            let distance = d.norm();
            let unit = d / distance;
            *line = (arm, unit, distance);
            let moment = arm.cross(&unit);
            for (j, value) in [unit.x, unit.y, moment.x, moment.y, moment.z]
                .into_iter()
                .enumerate()
            {
                matrix[(i, j)] = value;
            }
            vertical[i] = unit.z;
        }
        Self {
            matrix,
            lu: matrix.lu(),
            lines,
            vertical,
        }
    }

    /// Replaces the tie rod's row by another condition on the motion: `row` on
    /// (v_x, v_y, ω), which must not read v_z.
    pub(super) fn with_last(mut self, row: [f64; 5]) -> Self {
        for (j, value) in row.into_iter().enumerate() {
            self.matrix[(4, j)] = value;
        }
        self.vertical[4] = 0.0;
        self.lu = self.matrix.lu();
        self
    }

    /// Direction of a rod, inner to outer end.
    pub(super) fn unit(&self, rod: usize) -> Vector3<f64> {
        self.lines[rod].1
    }

    /// v and ω (or their derivatives) with the given right sides and v_z.
    pub(super) fn solve(&self, right: &Vector5<f64>, vz: f64) -> Result<Twist, Unreachable> {
        let x = self
            .lu
            .solve(&(right - self.vertical * vz))
            .filter(|x| x.iter().all(|v| v.is_finite()))
            .ok_or(Unreachable::Singular { ratio: 0.0 })?;
        Ok(Twist {
            v: Vector3::new(x[0], x[1], vz),
            w: Vector3::new(x[2], x[3], x[4]),
        })
    }

    /// Per metre of wheel travel, rack held.
    pub(super) fn heave(&self) -> Result<Twist, Unreachable> {
        self.solve(&Vector5::zeros(), 1.0)
    }

    /// Per metre of rack, wheel-centre height held.
    pub(super) fn rack(&self) -> Result<Twist, Unreachable> {
        let mut right = Vector5::zeros();
        right[4] = self.lines[4].1.y;
        self.solve(&right, 0.0)
    }

    /// Right sides of the second derivative for a motion with fixed lengths and inner points.
    pub(super) fn bend(&self, twist: &Twist) -> Vector5<f64> {
        let mut right = Vector5::zeros();
        for (value, (arm, unit, distance)) in right.iter_mut().zip(&self.lines) {
            let rate = twist.v + twist.w.cross(arm);
            let inward = twist.w.cross(&twist.w.cross(arm));
            *value = -(rate.norm_squared() / distance + unit.dot(&inward));
        }
        right
    }

    /// First and second derivatives per metre of travel, rack held.
    pub(super) fn heave_motion(&self) -> Result<Motion, Unreachable> {
        let twist = self.heave()?;
        let second = self.solve(&self.bend(&twist), 0.0)?;
        Ok(Motion {
            twist,
            acceleration: second.v,
            angular_acceleration: second.w,
        })
    }
}

/// Toe's sensitivity to a change of the left-pointing spin axis e: dtoe = g·de, g horizontal.
pub(super) fn toe_gradient(sign: f64, axis: &Vector3<f64>) -> Vector3<f64> {
    let level = axis.x * axis.x + axis.y * axis.y;
    Vector3::new(axis.y, -axis.x, 0.0) * (sign / level)
}

/// First and second derivatives of toe-in from those of the spin axis.
pub(super) fn toe_rates(sign: f64, axis: &Vector3<f64>, motion: &Motion) -> (f64, f64) {
    let (first, second) = motion.turning(axis);
    let level = axis.x * axis.x + axis.y * axis.y;
    let gradient = toe_gradient(sign, axis);
    let slope = gradient.dot(&first);
    let stretching = 2.0 * (axis.x * first.x + axis.y * first.y) / level;
    (slope, gradient.dot(&second) - slope * stretching)
}

impl Corner {
    /// First and second derivatives of the pose per metre of wheel travel with the rack held
    /// at `rack`; `pose` must be a solved pose there.
    ///
    /// # Errors
    /// [`Unreachable::Singular`] where the rods do not determine the motion.
    pub fn heave_motion(&self, pose: &Pose, rack: f64) -> Result<Motion, Unreachable> {
        Linear::new(self, pose, rack).heave_motion()
    }

    /// Where a point fixed to the knuckle (knuckle axes from the wheel centre) stands, from the
    /// wheel centre, sprung-mass axes.
    pub(super) fn arm_of(pose: &Pose, point: &Point3<f64>) -> Vector3<f64> {
        pose.rotation() * point.coords
    }
}
