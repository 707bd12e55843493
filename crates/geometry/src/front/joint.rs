//! How far a joint is from its middle: the stud of a ball joint in its housing, a rod end on
//! its bolt.

use nalgebra::Vector3;

use super::arm::Carrier;
use super::corner::{Corner, FrontRod};
use super::{FrontError, positive};
use crate::pose::Pose;

/// End of a rod.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RodSide {
    /// On the frame or the rack: the bolt is fixed there.
    Inner,
    /// On the knuckle: the bolt is fixed to it.
    Outer,
}

/// A joint with its directions as drawn, sprung-mass axes, any length.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Joint {
    /// A ball joint: its stud is fixed to the knuckle, its housing to a wishbone.
    Ball {
        /// [`Carrier::LowerArm`] or [`Carrier::UpperArm`].
        arm: Carrier,
        /// Direction of the stud.
        stud: Vector3<f64>,
        /// Direction of the housing's axis.
        housing: Vector3<f64>,
    },
    /// A rod end. The eye may spin about the rod; two eyes on one rod share that freedom.
    RodEnd {
        /// The rod.
        rod: FrontRod,
        /// Which end.
        end: RodSide,
        /// Direction of the bolt.
        bolt: Vector3<f64>,
    },
}

impl Joint {
    /// Misalignment at a solved pose with the rack at `rack` (m), rad: the angle between stud and
    /// housing (0 to π), or asin|bolt·rod| (0 to π/2).
    ///
    /// # Errors
    /// [`FrontError::BadNumber`] for a direction or an arm without length, or a ball joint that
    /// is on neither wishbone (carrier named by its number).
    pub fn misalignment(&self, corner: &Corner, pose: &Pose, rack: f64) -> Result<f64, FrontError> {
        let rotation = pose.rotation();
        match self {
            Self::Ball { arm, stud, housing } => {
                let turn = corner.arm_turn(*arm, pose).ok_or(FrontError::BadNumber {
                    what: "part that holds the ball joint's housing (3 lower arm, 4 upper arm)",
                    value: f64::from(*arm as u8) + 1.0,
                })??;
                positive("stud", stud.norm())?;
                positive("housing axis", housing.norm())?;
                let (a, b) = (rotation * stud, turn.turned(housing));
                Ok(a.cross(&b).norm().atan2(a.dot(&b)))
            }
            Self::RodEnd { rod, end, bolt } => {
                let size = positive("bolt", bolt.norm())?;
                let bolt = match end {
                    RodSide::Inner => *bolt,
                    RodSide::Outer => rotation * bolt,
                } / size;
                let rod = &corner.rods_at(rack)[rod.index()];
                let d = pose.place(&rod.body_point) - rod.frame_point;
                let along = d / positive("rod length", d.norm())?;
                Ok(bolt.dot(&along).abs().atan2(bolt.cross(&along).norm()))
            }
        }
    }
}
