//! The shaft over poses of the axle: angles, equivalent angle, plunge, engagement and the loop.

use geometry::{AssembledAxle, Pose};
use nalgebra::{Point3, Vector3};

use super::joints::{JointChain, JointLayout};
use super::{DrivelineError, not_negative, positive};
use crate::driveshaft::{Driveshaft, ShaftState};

/// Least room before a slip yoke bottoms, m: 1 in (common practice).
pub const BOTTOMING_ROOM: f64 = 0.0254;

/// A slip yoke or a slip in the shaft.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SlipYoke {
    /// Engagement at ride height, m, zero or more.
    pub engagement: f64,
    /// How far it can go in from ride height until it bottoms, m, zero or more.
    pub room_inward: f64,
    /// Diameter of the shaft it slides on, m, positive: the least engagement (common practice).
    pub diameter: f64,
}

/// A hoop about the shaft.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Loop {
    /// Its centre, sprung-mass axes, m.
    pub centre: Point3<f64>,
    /// Normal of its plane, any length.
    pub normal: Vector3<f64>,
    /// Inside radius, m, positive.
    pub inside_radius: f64,
    /// Greatest distance from the front joint along the shaft the rule book allows, m.
    pub within: f64,
}

/// A driveshaft with its slip, its loop and its tube.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ShaftOnTravel {
    /// The shaft.
    pub shaft: Driveshaft,
    /// Phase of its yokes δ, rad.
    pub phase: f64,
    /// Radius of its tube, m, positive.
    pub tube_radius: f64,
    /// Its slip.
    pub slip: SlipYoke,
    /// Its loop, if it has one.
    pub hoop: Option<Loop>,
}

/// The shaft in one pose.
#[derive(Clone, Debug, PartialEq)]
pub struct ShaftRow {
    /// Angles, length and plunge.
    pub state: ShaftState,
    /// Working angles in space and their equivalent.
    pub layout: JointLayout,
    /// Engagement of the slip, m.
    pub engagement: f64,
    /// Room until the slip bottoms, m.
    pub bottoming_room: f64,
    /// Distance from the front joint to the loop's plane along the shaft, m; None: no loop, or the shaft does not pass its plane.
    pub loop_distance: Option<f64>,
    /// Gap between tube and loop in its plane, m; negative: they touch. None as above.
    pub loop_gap: Option<f64>,
}

/// Something a shaft should not do in a pose.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ShaftFinding {
    /// Less engagement than one shaft diameter.
    ShortEngagement {
        /// Engagement, m.
        engagement: f64,
        /// Least, m.
        least: f64,
    },
    /// Less than an inch before the slip bottoms.
    Bottoming {
        /// Room, m.
        room: f64,
    },
    /// The tube touches the loop.
    TouchesLoop {
        /// Gap, m, negative.
        gap: f64,
    },
    /// The loop is farther from the front joint than the rule allows.
    LoopTooFar {
        /// Distance, m.
        distance: f64,
        /// Allowed, m.
        within: f64,
    },
    /// The shaft does not pass through the loop's plane.
    MissesLoop,
}

impl ShaftOnTravel {
    fn check(&self) -> Result<(), DrivelineError> {
        positive("tube radius", self.tube_radius)?;
        not_negative("engagement at ride height", self.slip.engagement)?;
        not_negative("room before the slip bottoms", self.slip.room_inward)?;
        positive("diameter of the slip", self.slip.diameter)?;
        if let Some(hoop) = &self.hoop {
            positive("inside radius of the loop", hoop.inside_radius)?;
            positive("normal of the loop's plane", hoop.normal.norm())?;
            not_negative("allowed distance of the loop", hoop.within)?;
        }
        Ok(())
    }

    /// The shaft with the axle at a travel (m) and roll (rad).
    ///
    /// # Errors
    /// [`DrivelineError`].
    pub fn row(
        &self,
        axle: &AssembledAxle,
        travel: f64,
        roll: f64,
    ) -> Result<ShaftRow, DrivelineError> {
        self.row_at(axle, &axle.position(travel, roll)?.pose)
    }

    /// The shaft with the axle in a solved pose, of a sweep or of a launch (squat).
    ///
    /// # Errors
    /// [`DrivelineError`].
    pub fn row_at(&self, axle: &AssembledAxle, pose: &Pose) -> Result<ShaftRow, DrivelineError> {
        self.check()?;
        let state = self.shaft.state_at(axle, pose)?;
        let chain = JointChain::new(&state.axes, &[self.phase])?;
        let passes = self.hoop.and_then(|hoop| {
            let [front, _] = state.joints;
            let line = state.axes[1];
            let normal = hoop.normal.normalize();
            let along = (hoop.centre - front).dot(&normal) / line.dot(&normal);
            (0.0..=state.length).contains(&along).then(|| {
                let off = (front + line * along - hoop.centre).norm();
                (along, hoop.inside_radius - off - self.tube_radius)
            })
        });
        Ok(ShaftRow {
            layout: chain.layout().clone(),
            engagement: self.slip.engagement - state.plunge,
            bottoming_room: self.slip.room_inward + state.plunge,
            loop_distance: passes.map(|p| p.0),
            loop_gap: passes.map(|p| p.1),
            state,
        })
    }

    /// What it should not do in that pose.
    #[must_use]
    pub fn findings(&self, row: &ShaftRow) -> Vec<ShaftFinding> {
        let mut out = Vec::new();
        if row.engagement < self.slip.diameter {
            out.push(ShaftFinding::ShortEngagement {
                engagement: row.engagement,
                least: self.slip.diameter,
            });
        }
        if row.bottoming_room < BOTTOMING_ROOM {
            out.push(ShaftFinding::Bottoming {
                room: row.bottoming_room,
            });
        }
        if let Some(hoop) = &self.hoop {
            match (row.loop_distance, row.loop_gap) {
                (Some(distance), Some(gap)) => {
                    if gap < 0.0 {
                        out.push(ShaftFinding::TouchesLoop { gap });
                    }
                    if distance > hoop.within {
                        out.push(ShaftFinding::LoopTooFar {
                            distance,
                            within: hoop.within,
                        });
                    }
                }
                _ => out.push(ShaftFinding::MissesLoop),
            }
        }
        out
    }
}
