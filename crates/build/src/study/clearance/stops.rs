//! The bump stops of both sides over travel, level and in roll.

use geometry::{AssembledAxle, Point3, Vector3};
use vehicle::packaging::{
    BumpStop, CoiloverBars, PackagingError, Rail, Side as At, StopFinding, StopSearch, StopTravel,
};

use super::parts;
use crate::{Build, BumpStopData, MockUp, Sides};

/// A bump stop in one roll.
#[derive(Debug, Clone, PartialEq)]
pub struct StopAt {
    /// Its side.
    pub side: At,
    /// Roll of the axle, rad.
    pub roll: f64,
    /// Travels of that side's wheel, m.
    pub travel: StopTravel,
}

impl StopAt {
    /// Travel of that side's wheel at which the pad meets the stop, m.
    pub fn touch(&self) -> Option<f64> {
        Some(self.travel.touch? + self.travel.wheel_extra)
    }

    /// Likewise where the stop is solid.
    pub fn solid(&self) -> Option<f64> {
        Some(self.travel.solid? + self.travel.wheel_extra)
    }

    /// Likewise where the tube meets the rail.
    pub fn metal(&self) -> Option<f64> {
        Some(self.travel.metal? + self.travel.wheel_extra)
    }
}

/// The bump stops.
#[derive(Debug, Clone, PartialEq)]
pub struct StopStudy {
    /// Level, and with either wheel up: left and right stop of each.
    pub at: Vec<StopAt>,
}

impl StopStudy {
    /// The stop, level, left.
    pub fn level(&self) -> Option<&StopAt> {
        self.at.first()
    }

    /// Least room from solid to metal, m.
    pub fn room(&self) -> Option<f64> {
        let rooms = self.at.iter().filter_map(|s| s.travel.room());
        rooms.min_by(f64::total_cmp)
    }

    /// The first thing wrong, level first.
    pub fn wrong(&self) -> Option<(&StopAt, StopFinding)> {
        self.at
            .iter()
            .find_map(|s| Some((s, s.travel.findings().into_iter().next()?)))
    }
}

pub(super) fn study(
    b: &Build,
    m: &MockUp,
    s: &BumpStopData,
    axle: &AssembledAxle,
) -> Result<StopStudy, String> {
    let all = || -> Result<Vec<StopAt>, PackagingError> {
        let mut at = Vec::new();
        for roll in [0.0, b.rear.roll.si(), -b.rear.roll.si()] {
            for side in [At::Left, At::Right] {
                let stop = stop(b, m, s, side);
                let search = StopSearch {
                    roll,
                    from: -m.droop.si(),
                    to: m.bump.si() + BEYOND,
                    track: b.car.rear.track.si(),
                };
                let travel = stop.travels(axle, &search)?;
                at.push(StopAt { side, roll, travel });
            }
        }
        Ok(at)
    };
    all()
        .map(|at| StopStudy { at })
        .map_err(|e| parts::words(&e))
}

/// How far beyond the bump looked at metal is searched for, m.
const BEYOND: f64 = 0.1;

fn stop(b: &Build, m: &MockUp, s: &BumpStopData, side: At) -> BumpStop {
    let sign = side.sign();
    let place = |p: [f64; 3]| Point3::new(p[0], sign * p[1], p[2]);
    // Without a rail over the axle no metal is met within reach.
    let rail = parts::rail_over_axle(b, sign).unwrap_or(Rail {
        edges: [
            sign * b.frame.offset.si(),
            sign * (b.frame.offset.si() + b.frame.width.si()),
        ],
        underside: 50.0,
        height: b.frame.depth.si(),
    });
    let coil = b.power.coilovers.iter().find(|c| c.sides == Sides::Pair);
    BumpStop {
        side,
        pad: place(s.pad.si()),
        face: place(s.face.si()),
        toward_pad: -Vector3::z(),
        height_loss: s.loses.si(),
        rail,
        notch_depth: m.notch.si(),
        tube_radius: 0.5 * b.rear.housing.tube_diameter.si(),
        shock: coil.map(|c| CoiloverBars {
            frame_point: place(c.at_frame.si()),
            axle_point: place(c.at_axle.si()),
            shut_length: c.compressed.si(),
        }),
    }
}
