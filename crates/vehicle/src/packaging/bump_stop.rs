//! Bump stop before metal.
//!
//! At a roll the axle goes up until the pad meets the stop's face, until the stop is solid, until the tube meets the rail,
//! until the shock is shut. The order must be: touch, solid, then metal.

use geometry::{AssembledAxle, Pose, Position};
use nalgebra::{Point3, Vector3};

use super::envelope::Side;
use super::notch::Rail;
use super::{PackagingError, finite, not_negative, positive};

/// Travel between two looks on the way up, m.
const STEP: f64 = 4e-3;

/// A stop on the frame with its pad on the axle, both as drawn at ride height, sprung-mass axes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BumpStop {
    /// Its side.
    pub side: Side,
    /// Middle of the pad on the axle, m.
    pub pad: Point3<f64>,
    /// Middle of the stop's face, m.
    pub face: Point3<f64>,
    /// Direction in which the face looks, toward the pad; any length.
    pub toward_pad: Vector3<f64>,
    /// How much shorter the stop is when solid, m, zero or more.
    pub height_loss: f64,
    /// Rail above the tube.
    pub rail: Rail,
    /// Depth of its notch as cut, m, zero or more.
    pub notch_depth: f64,
    /// Radius of the axle tube, m, positive.
    pub tube_radius: f64,
    /// Shock of that side, if asked.
    pub shock: Option<CoiloverBars>,
}

/// A shock by its ends as drawn and its shut length.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CoiloverBars {
    /// End on the frame, m.
    pub frame_point: Point3<f64>,
    /// End on the axle, m.
    pub axle_point: Point3<f64>,
    /// Length when shut, m, positive.
    pub shut_length: f64,
}

/// How far to look.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StopSearch {
    /// Roll, rad, left wheel up positive.
    pub roll: f64,
    /// Axle travel to begin at, m, below zero.
    pub from: f64,
    /// Axle travel to look up to, m.
    pub to: f64,
    /// Distance of the wheel centres, m, positive.
    pub track: f64,
}

/// Axle travels (m, bump positive) at which things meet; None: not up to the end of the search.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StopTravel {
    /// The pad meets the face.
    pub touch: Option<f64>,
    /// The stop is solid.
    pub solid: Option<f64>,
    /// The tube meets the rail.
    pub metal: Option<f64>,
    /// The shock is shut.
    pub shut: Option<f64>,
    /// Travel of this side's wheel over that of the axle at this roll, m: add it for wheel travel.
    pub wheel_extra: f64,
    /// Where the search ended: its end, or where the axle stops reaching, m.
    pub searched_to: f64,
}

/// What is wrong with a stop.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum StopFinding {
    /// Metal meets metal before the stop is solid. Blocking.
    MetalBeforeSolid {
        /// Travel at which metal meets, m.
        metal: f64,
        /// Travel at which the stop is solid, m; None: never.
        solid: Option<f64>,
    },
    /// The shock is shut before the stop is solid.
    ShutBeforeSolid {
        /// Travel at which it is shut, m.
        shut: f64,
        /// Travel at which the stop is solid, m; None: never.
        solid: Option<f64>,
    },
    /// The pad does not meet the stop in the travel looked at.
    NeverTouches,
}

impl StopTravel {
    /// From solid to metal, m; None: one of them is not met.
    #[must_use]
    pub fn room(&self) -> Option<f64> {
        Some(self.metal? - self.solid?)
    }

    /// What is wrong.
    #[must_use]
    pub fn findings(&self) -> Vec<StopFinding> {
        let mut out = Vec::new();
        let early = |travel: f64| self.solid.is_none_or(|s| travel <= s);
        if let Some(metal) = self.metal.filter(|m| early(*m)) {
            out.push(StopFinding::MetalBeforeSolid {
                metal,
                solid: self.solid,
            });
        }
        if let Some(shut) = self.shut.filter(|s| early(*s)) {
            out.push(StopFinding::ShutBeforeSolid {
                shut,
                solid: self.solid,
            });
        }
        if self.touch.is_none() {
            out.push(StopFinding::NeverTouches);
        }
        out
    }
}

impl BumpStop {
    /// Looks up from `search.from` at a roll.
    ///
    /// # Errors
    /// [`PackagingError::BadInput`]; [`PackagingError::Axle`] when the first pose is out of reach.
    pub fn travels(
        &self,
        axle: &AssembledAxle,
        search: &StopSearch,
    ) -> Result<StopTravel, PackagingError> {
        self.rail.check()?;
        not_negative("height loss of the stop", self.height_loss)?;
        not_negative("depth of the notch", self.notch_depth)?;
        positive("tube radius", self.tube_radius)?;
        positive("track", search.track)?;
        finite("roll", search.roll)?;
        finite("end of the search", search.to)?;
        positive("travel to search", search.to - search.from)?;
        let facing = self.toward_pad / positive("direction of the stop", self.toward_pad.norm())?;
        if let Some(shock) = &self.shock {
            positive("shut length of the shock", shock.shut_length)?;
        }
        let on_axle = |p: &Point3<f64>| Point3::from(p - axle.linkage.origin);
        let pad = on_axle(&self.pad);
        // Each room falls through zero as its parts meet.
        let left = |pose: &Pose| -> Result<[f64; 4], PackagingError> {
            let face = (pose.place(&pad) - self.face).dot(&facing);
            Ok([
                face,
                face + self.height_loss,
                self.rail.underside + self.notch_depth
                    - self.rail.tube_top(pose, self.tube_radius)?,
                self.shock.as_ref().map_or(f64::INFINITY, |s| {
                    (pose.place(&on_axle(&s.axle_point)) - s.frame_point).norm() - s.shut_length
                }),
            ])
        };
        let mut at = axle.position(search.from, search.roll)?;
        let mut travel = search.from;
        let mut rooms = left(&at.pose)?;
        // What has met already has met at the beginning.
        let mut met = rooms.map(|r| (r <= 0.0).then_some(travel));
        while travel < search.to && met.iter().any(Option::is_none) {
            let next_travel = (travel + STEP).min(search.to);
            let Ok(next) = axle.move_travel(&at, next_travel) else {
                break;
            };
            let next_rooms = left(&next.pose)?;
            for (i, met) in met.iter_mut().enumerate() {
                if met.is_none() && next_rooms[i] <= 0.0 {
                    *met = Some(root(axle, &at, [travel, next_travel], |pose| {
                        Ok(left(pose)?[i])
                    })?);
                }
            }
            (at, travel, rooms) = (next, next_travel, next_rooms);
        }
        finite("room at the bump stop", rooms[0])?;
        let [touch, solid, metal, shut] = met;
        Ok(StopTravel {
            touch,
            solid,
            metal,
            shut,
            wheel_extra: self.side.sign() * 0.5 * search.track * search.roll.sin(),
            searched_to: travel,
        })
    }
}

/// Travel between two at which a room falls to zero, halved to 1e-10 m.
fn root(
    axle: &AssembledAxle,
    from: &Position,
    [mut low, mut high]: [f64; 2],
    room: impl Fn(&Pose) -> Result<f64, PackagingError>,
) -> Result<f64, PackagingError> {
    while high - low > 1e-10 {
        let middle = 0.5 * (low + high);
        if middle <= low || middle >= high {
            break;
        }
        if room(&axle.move_travel(from, middle)?.pose)? <= 0.0 {
            high = middle;
        } else {
            low = middle;
        }
    }
    Ok(high)
}
