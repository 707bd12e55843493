//! Joint angles of a one-piece driveshaft over the axle's travel.
//!
//! Axes are unit vectors in the direction of power flow, rearward. A working angle is the angle between the two axes
//! that meet in a joint, in space: side view and plan together.

use geometry::{AssembledAxle, AxleError, Pose};
use nalgebra::{Point3, Vector3};
use thiserror::Error;

/// Axis that runs down by `down` and left by `plan` (rad, within ±π/2) toward the rear, both as an inclinometer and a plan
/// drawing show them: (−1, tan plan, −tan down) normalised. Engine down 3° and pinion up 3° are parallel.
#[must_use]
pub fn axis(down: f64, plan: f64) -> Vector3<f64> {
    Vector3::new(-1.0, plan.tan(), -down.tan()).normalize()
}

/// Where the shaft changes its length.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Slip {
    /// Between its joints.
    InShaft,
    /// A slip yoke in the transmission: the shaft's length is fixed, the front joint slides along the output axis.
    OnTransmission,
}

/// A driveshaft as drawn, sprung-mass axes at design ride height.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DrawnShaft {
    /// Centre of the front joint, m.
    pub front_joint: Point3<f64>,
    /// Axis of the transmission output, rearward; any length.
    pub output_axis: Vector3<f64>,
    /// Centre of the rear joint, m.
    pub rear_joint: Point3<f64>,
    /// Axis of the pinion, rearward; any length.
    pub pinion_axis: Vector3<f64>,
    /// Where it slips.
    pub slip: Slip,
}

/// Why a shaft has no answer.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum ShaftError {
    /// An axis or the shaft has no length, or is not finite.
    #[error("{what} has no length")]
    NoLength {
        /// Which.
        what: &'static str,
    },
    /// The axle does not reach the pose.
    #[error(transparent)]
    Axle(#[from] AxleError),
    /// The shaft of fixed length does not reach: the yoke has no place on the output axis.
    #[error("the shaft of {length} m does not reach from the output axis, {distance} m away")]
    DoesNotReach {
        /// Length of the shaft, m.
        length: f64,
        /// Least distance of the rear joint from the output axis, m.
        distance: f64,
    },
}

/// The shaft in one pose.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ShaftState {
    /// Travel, m, bump positive.
    pub travel: f64,
    /// Working angle of the front joint, rad, 0 to π.
    pub front_angle: f64,
    /// Working angle of the rear joint, rad, 0 to π.
    pub rear_angle: f64,
    /// Front less rear working angle, rad. Small keeps the pinion's speed even where both lie in one plane.
    pub difference: f64,
    /// Distance between the joints, m.
    pub length: f64,
    /// How far the slip is pulled out against design height, m, out positive.
    pub plunge: f64,
    /// How far the shaft falls toward the rear in side view, rad, down positive.
    pub shaft_down: f64,
    /// The same of the pinion axis: positive is pinion up (its nose stands higher than its tail).
    pub pinion_down: f64,
    /// Unit axes of transmission output, shaft and pinion, rearward, sprung-mass axes.
    pub axes: [Vector3<f64>; 3],
    /// Centres of front and rear joint, sprung-mass axes, m.
    pub joints: [Point3<f64>; 2],
}

/// A driveshaft on an axle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Driveshaft {
    front_joint: Point3<f64>,
    output_axis: Vector3<f64>,
    /// Rear joint from the axle origin, axle axes, m.
    rear_joint: Point3<f64>,
    /// Pinion axis, axle axes.
    pinion_axis: Vector3<f64>,
    slip: Slip,
    design_length: f64,
}

fn unit(what: &'static str, v: Vector3<f64>) -> Result<Vector3<f64>, ShaftError> {
    v.try_normalize(1e-9)
        .filter(|u| u.iter().all(|x| x.is_finite()))
        .ok_or(ShaftError::NoLength { what })
}

/// Angle between two unit vectors, rad.
fn between(a: &Vector3<f64>, b: &Vector3<f64>) -> f64 {
    a.cross(b).norm().atan2(a.dot(b))
}

/// Fall toward the rear in side view, rad.
fn down(v: &Vector3<f64>) -> f64 {
    (-v.z).atan2(-v.x)
}

impl Driveshaft {
    /// The drawn shaft on an assembled axle: rear joint and pinion axis go with the housing.
    ///
    /// # Errors
    /// [`ShaftError::NoLength`].
    pub fn drawn(axle: &AssembledAxle, drawn: &DrawnShaft) -> Result<Self, ShaftError> {
        let output_axis = unit("the output axis", drawn.output_axis)?;
        let pinion_axis = unit("the pinion axis", drawn.pinion_axis)?;
        let rear_joint = Point3::from(drawn.rear_joint - axle.linkage.origin);
        let design = axle.design.pose.place(&rear_joint) - drawn.front_joint;
        unit("the shaft", design)?;
        Ok(Self {
            front_joint: drawn.front_joint,
            output_axis,
            rear_joint,
            pinion_axis,
            slip: drawn.slip,
            design_length: design.norm(),
        })
    }

    /// The shaft with the axle at `travel` (m) and `roll` (rad).
    ///
    /// # Errors
    /// [`ShaftError::Axle`] out of reach; [`ShaftError::DoesNotReach`]; [`ShaftError::NoLength`] when the joints meet.
    pub fn state(
        &self,
        axle: &AssembledAxle,
        travel: f64,
        roll: f64,
    ) -> Result<ShaftState, ShaftError> {
        self.state_at(axle, &axle.position(travel, roll)?.pose)
    }

    /// The shaft with the axle in a solved pose.
    ///
    /// # Errors
    /// As [`Driveshaft::state`].
    pub fn state_at(&self, axle: &AssembledAxle, pose: &Pose) -> Result<ShaftState, ShaftError> {
        let rear = pose.place(&self.rear_joint);
        let from_design = rear - self.front_joint;
        let (shaft, plunge) = match self.slip {
            Slip::InShaft => (from_design, from_design.norm() - self.design_length),
            Slip::OnTransmission => {
                let along = from_design.dot(&self.output_axis);
                let aside = from_design.norm_squared() - along * along;
                let under = self.design_length.powi(2) - aside;
                if under.is_nan() || under < 0.0 {
                    return Err(ShaftError::DoesNotReach {
                        length: self.design_length,
                        distance: aside.max(0.0).sqrt(),
                    });
                }
                let out = along - under.sqrt();
                (from_design - self.output_axis * out, out)
            }
        };
        let line = unit("the shaft", shaft)?;
        let pinion = pose.rotation() * self.pinion_axis;
        let front_angle = between(&self.output_axis, &line);
        let rear_angle = between(&line, &pinion);
        Ok(ShaftState {
            travel: axle.travel_of(pose),
            front_angle,
            rear_angle,
            difference: front_angle - rear_angle,
            length: shaft.norm(),
            plunge,
            shaft_down: down(&line),
            pinion_down: down(&pinion),
            axes: [self.output_axis, line, pinion],
            joints: [rear - shaft, rear],
        })
    }

    /// Distance between the joints at design ride height, m.
    #[must_use]
    pub const fn design_length(&self) -> f64 {
        self.design_length
    }
}
