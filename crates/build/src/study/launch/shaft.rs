//! Joint angles and plunge of the driveshaft over the travel looked at.

use geometry::Point3;
use vehicle::driveshaft::{self, DrawnShaft, ShaftState};

use super::words;
use crate::study::Motion;
use crate::{Driveline, Driveshaft, Slip};

/// The driveshaft at ride height and over travel.
#[derive(Debug, Clone, PartialEq)]
pub struct ShaftStudy {
    /// At ride height.
    pub ride: ShaftState,
    /// Over the travel looked at, from droop to bump.
    pub travel: Vec<ShaftState>,
}

impl ShaftStudy {
    /// Largest working angle of either joint over the travel, rad.
    pub fn worst_angle(&self) -> f64 {
        self.travel
            .iter()
            .map(|s| s.front_angle.max(s.rear_angle))
            .fold(0.0, f64::max)
    }

    /// Farthest the slip is pulled out and pushed in over the travel, m, out positive.
    pub fn plunge(&self) -> (f64, f64) {
        self.travel
            .iter()
            .map(|s| s.plunge)
            .fold((0.0, 0.0), |(lo, hi), p| (f64::min(lo, p), f64::max(hi, p)))
    }
}

/// The shaft as drawn; its plan angles are the driveline's, straight ahead while none is described.
pub(in crate::study) fn drawn(d: &Driveshaft, more: Option<&Driveline>) -> DrawnShaft {
    let plan = |f: fn(&Driveline) -> f64| more.map_or(0.0, f);
    DrawnShaft {
        front_joint: Point3::from(d.front_joint.si()),
        output_axis: driveshaft::axis(d.output_down.si(), plan(|x| x.output_left.si())),
        rear_joint: Point3::from(d.rear_joint.si()),
        // A pinion whose nose stands up runs down toward the rear.
        pinion_axis: driveshaft::axis(d.pinion_up.si(), plan(|x| x.pinion_left.si())),
        slip: match d.slip {
            Slip::Transmission => driveshaft::Slip::OnTransmission,
            Slip::Shaft => driveshaft::Slip::InShaft,
        },
    }
}

pub(super) fn study(
    motion: &Motion,
    d: &Driveshaft,
    more: Option<&Driveline>,
) -> Result<ShaftStudy, String> {
    let axle = &motion.axle;
    let drawn = drawn(d, more);
    let shaft = driveshaft::Driveshaft::drawn(axle, &drawn).map_err(|e| words::shaft(&e))?;
    let at = |pose| shaft.state_at(axle, pose).map_err(|e| words::shaft(&e));
    if motion.travel.low_limit.is_some() || motion.travel.high_limit.is_some() {
        return Err("the axle does not reach the whole travel".to_owned());
    }
    Ok(ShaftStudy {
        ride: at(&axle.design.pose)?,
        travel: motion
            .travel
            .states
            .iter()
            .map(|s| at(&s.pose))
            .collect::<Result<_, _>>()?,
    })
}
