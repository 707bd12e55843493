//! One corner as drawn and as assembled, and its poses.

use nalgebra::{Point3, Vector3};

use super::up_to;
use super::{FrontError, FrontMoving, positive, sane};
use crate::pose::{Coordinate, Pose, Prescribed};
use crate::position::{Position, solve_position};
use crate::rods::{Rod, Unreachable};
use crate::sweep::{RESOLUTION, Stopped, TRAVEL_STEP, follow, march};

/// Farthest wheel travel or rack movement that is looked for, m.
const FARTHEST: f64 = 1.0;
/// The upper ball joint stands at least this far above the lower one, m.
const LEAST_RISE: f64 = 1e-3;

/// Which side of the car.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Side {
    /// y positive.
    Left,
    /// y negative.
    Right,
}

impl Side {
    /// +1 left, −1 right: the outward sense of y.
    #[must_use]
    pub const fn sign(self) -> f64 {
        match self {
            Self::Left => 1.0,
            Self::Right => -1.0,
        }
    }

    /// The other side.
    #[must_use]
    pub const fn other(self) -> Self {
        match self {
            Self::Left => Self::Right,
            Self::Right => Self::Left,
        }
    }
}

/// The five rods of a corner, in the order in which every list per rod has them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum FrontRod {
    /// Lower wishbone, front inner point to lower ball joint.
    LowerFront,
    /// Lower wishbone, rear inner point.
    LowerRear,
    /// Upper wishbone, front inner point to upper ball joint.
    UpperFront,
    /// Upper wishbone, rear inner point.
    UpperRear,
    /// Tie rod, rack end to steering arm.
    TieRod,
}

impl FrontRod {
    /// All five, in order.
    pub const ALL: [Self; 5] = [
        Self::LowerFront,
        Self::LowerRear,
        Self::UpperFront,
        Self::UpperRear,
        Self::TieRod,
    ];

    /// Place in the order, 0 to 4.
    #[must_use]
    pub const fn index(self) -> usize {
        self as usize
    }
}

/// A wishbone as drawn, sprung-mass axes, m.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wishbone {
    /// Front inner point.
    pub front: Point3<f64>,
    /// Rear inner point.
    pub rear: Point3<f64>,
    /// Ball joint.
    pub ball: Point3<f64>,
    /// Front leg held at this length, m; None: as drawn.
    pub front_length: Option<f64>,
    /// Rear leg held at this length, m; None: as drawn.
    pub rear_length: Option<f64>,
}

/// A tie rod as drawn with the rack centred, sprung-mass axes, m.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TieRod {
    /// Inner end, on the rack.
    pub inner: Point3<f64>,
    /// Outer end, on the steering arm.
    pub outer: Point3<f64>,
    /// Held at this length, m; None: as drawn.
    pub length: Option<f64>,
}

/// One corner as drawn at design ride height with the rack centred.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DrawnCorner {
    /// Which side.
    pub side: Side,
    /// Wheel centre, sprung-mass axes, m.
    pub wheel_centre: Point3<f64>,
    /// Loaded radius of the tyre, m, positive.
    pub loaded_radius: f64,
    /// Camber as drawn, rad, top outward positive, within ±1.
    pub camber: f64,
    /// Toe as drawn, rad, toe-in positive, within ±1.
    pub toe_in: f64,
    /// Lower wishbone.
    pub lower: Wishbone,
    /// Upper wishbone.
    pub upper: Wishbone,
    /// Tie rod.
    pub tie_rod: TieRod,
}

fn flipped(p: Point3<f64>) -> Point3<f64> {
    Point3::new(p.x, -p.y, p.z)
}

impl Wishbone {
    fn mirrored(&self) -> Self {
        Self {
            front: flipped(self.front),
            rear: flipped(self.rear),
            ball: flipped(self.ball),
            ..*self
        }
    }
}

impl DrawnCorner {
    /// The same corner on the other side of the car.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        Self {
            side: self.side.other(),
            wheel_centre: flipped(self.wheel_centre),
            lower: self.lower.mirrored(),
            upper: self.upper.mirrored(),
            tie_rod: TieRod {
                inner: flipped(self.tie_rod.inner),
                outer: flipped(self.tie_rod.outer),
                ..self.tie_rod
            },
            ..*self
        }
    }

    /// Both ends and the held length of each rod.
    fn legs(&self) -> [(Point3<f64>, Point3<f64>, Option<f64>); 5] {
        let (l, u, t) = (&self.lower, &self.upper, &self.tie_rod);
        [
            (l.front, l.ball, l.front_length),
            (l.rear, l.ball, l.rear_length),
            (u.front, u.ball, u.front_length),
            (u.rear, u.ball, u.rear_length),
            (t.inner, t.outer, t.length),
        ]
    }

    fn check(&self) -> Result<(), FrontError> {
        positive("loaded radius", self.loaded_radius)?;
        for (what, angle) in [("camber", self.camber), ("toe-in", self.toe_in)] {
            if !up_to(angle.abs(), 1.0) {
                return Err(FrontError::BadNumber { what, value: angle });
            }
        }
        for v in self.wheel_centre.iter() {
            sane("wheel centre", *v)?;
        }
        for (a, b, length) in self.legs() {
            for v in a.iter().chain(b.iter()) {
                sane("a joint's coordinate", *v)?;
            }
            if let Some(length) = length {
                positive("rod length", length)?;
            }
        }
        let rise = self.upper.ball.z - self.lower.ball.z;
        if rise > LEAST_RISE {
            Ok(())
        } else {
            Err(FrontError::NoSteeringAxis { rise })
        }
    }

    /// Assembles the corner at design height with the rack centred: from the drawn pose, with
    /// the rod lengths led in small steps from the drawn distances to the held lengths.
    ///
    /// # Errors
    /// [`FrontError::BadNumber`], [`FrontError::NoSteeringAxis`], [`FrontError::CannotAssemble`],
    /// [`FrontError::Motion`] for an input fault of a rod.
    pub fn assemble(&self) -> Result<Corner, FrontError> {
        self.check()?;
        let origin = self.wheel_centre;
        let drawn = self.legs().map(|(a, b, _)| Rod {
            frame_point: a,
            body_point: Point3::from(b - origin),
            length: (b - a).norm(),
            stiffness: 1.0,
        });
        let (ct, st) = (self.toe_in.cos(), self.toe_in.sin());
        let (cc, sc) = (self.camber.cos(), self.camber.sin());
        let s = self.side.sign();
        let mut corner = Corner {
            drawn: *self,
            rods: drawn,
            spin_axis: Vector3::new(s * cc * st, cc * ct, -s * sc),
            design: solve_position(
                &drawn,
                &Prescribed::NONE.with(Coordinate::Z, origin.z),
                &Pose::level(origin),
            )
            .map_err(|reason| {
                if reason.is_input_fault() {
                    FrontError::Motion(reason)
                } else {
                    FrontError::CannotAssemble { share: 0.0, reason }
                }
            })?,
        };
        for (rod, (_, _, length)) in corner.rods.iter_mut().zip(self.legs()) {
            rod.length = length.unwrap_or(rod.length);
        }
        corner.design =
            lead(&drawn, &corner.rods, &corner.design, origin.z).map_err(|stopped| {
                if stopped.reason.is_input_fault() {
                    FrontError::Motion(stopped.reason)
                } else {
                    FrontError::CannotAssemble {
                        share: stopped.begins_at,
                        reason: stopped.reason,
                    }
                }
            })?;
        Ok(corner)
    }
}

/// Leads the rods from one set of lengths and inner points to another at held height z; the
/// swept quantity is the share of the way, 0 to 1.
pub(super) fn lead(
    from: &[Rod; 5],
    to: &[Rod; 5],
    start: &Position,
    z: f64,
) -> Result<Position, Stopped> {
    let largest = from.iter().zip(to).fold(0.0_f64, |m, (a, b)| {
        m.max((b.length - a.length).abs())
            .max((b.frame_point - a.frame_point).norm())
    });
    let step = (TRAVEL_STEP / largest.max(1e-12)).min(1.0);
    let held = Prescribed::NONE.with(Coordinate::Z, z);
    march(0.0, 1.0, step, RESOLUTION, start, |share, pose| {
        let mut rods = *from;
        for (rod, end) in rods.iter_mut().zip(to) {
            rod.length += share * (end.length - rod.length);
            rod.frame_point += share * (end.frame_point - rod.frame_point);
        }
        solve_position(&rods, &held, pose)
    })
}

/// A corner that stands assembled at design height: everything else starts here.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Corner {
    /// As drawn.
    pub drawn: DrawnCorner,
    /// The rods in the order of [`FrontRod::ALL`], rack centred; ends on the knuckle from the
    /// wheel centre, knuckle axes (the drawn pose is level).
    pub rods: [Rod; 5],
    /// Spin axis fixed to the knuckle, unit, toward the left on both sides.
    pub spin_axis: Vector3<f64>,
    /// The solution at zero travel and rack.
    pub design: Position,
}

impl Corner {
    /// Which side.
    #[must_use]
    pub const fn side(&self) -> Side {
        self.drawn.side
    }

    /// The rods with the rack moved by `rack` (m, left positive).
    #[must_use]
    pub fn rods_at(&self, rack: f64) -> [Rod; 5] {
        let mut rods = self.rods;
        rods[FrontRod::TieRod.index()].frame_point.y += rack;
        rods
    }

    /// The position at `travel` (m, bump positive, within ±1) and `rack` (m, left positive,
    /// within ±1), reached from design by travel first and rack after.
    ///
    /// # Errors
    /// [`FrontError::OutOfReach`] with the travel or rack at which it begins,
    /// [`FrontError::BadNumber`].
    pub fn position(&self, travel: f64, rack: f64) -> Result<Position, FrontError> {
        let at = self.move_travel(&self.design, 0.0, travel)?;
        self.move_rack(&at, 0.0, rack)
    }

    /// From a known position at `rack` to another travel.
    ///
    /// # Errors
    /// As [`Corner::position`].
    pub fn move_travel(
        &self,
        from: &Position,
        rack: f64,
        travel: f64,
    ) -> Result<Position, FrontError> {
        within("wheel travel", travel)?;
        within("rack", rack)?;
        let zero = self.drawn.wheel_centre.z;
        let (rods, held) = (self.rods_at(rack), Prescribed::NONE);
        follow(&rods, from, &held, Coordinate::Z, zero + travel)
            .map_err(|s| stop(FrontMoving::Travel, s.begins_at - zero, s.reason))
    }

    /// From a known position at rack `from_rack` to another rack at the same travel.
    ///
    /// # Errors
    /// As [`Corner::position`].
    pub fn move_rack(
        &self,
        from: &Position,
        from_rack: f64,
        rack: f64,
    ) -> Result<Position, FrontError> {
        within("rack", from_rack)?;
        within("rack", rack)?;
        let held = Prescribed::NONE.with(Coordinate::Z, from.pose.position.z);
        march(from_rack, rack, TRAVEL_STEP, RESOLUTION, from, |s, pose| {
            solve_position(&self.rods_at(s), &held, pose)
        })
        .map_err(|s| stop(FrontMoving::Rack, s.begins_at, s.reason))
    }

    /// Where reach ends on the way from design height to `travel` with the rack at `rack` (rack
    /// first); None when it is reached.
    ///
    /// # Errors
    /// [`FrontError::OutOfReach`] when the rack position itself is not reached at design height.
    pub fn travel_limit(&self, rack: f64, travel: f64) -> Result<Option<FrontError>, FrontError> {
        let start = self.move_rack(&self.design, 0.0, rack)?;
        Ok(self.move_travel(&start, rack, travel).err())
    }

    /// Where reach ends on the way from the centred rack to `rack` at `travel` (travel first);
    /// None when it is reached.
    ///
    /// # Errors
    /// [`FrontError::OutOfReach`] when the travel itself is not reached with the rack centred.
    pub fn rack_limit(&self, travel: f64, rack: f64) -> Result<Option<FrontError>, FrontError> {
        let start = self.move_travel(&self.design, 0.0, travel)?;
        Ok(self.move_rack(&start, 0.0, rack).err())
    }

    /// Travel of a pose, m.
    #[must_use]
    pub fn travel_of(&self, pose: &Pose) -> f64 {
        pose.position.z - self.drawn.wheel_centre.z
    }
}

fn within(what: &'static str, value: f64) -> Result<(), FrontError> {
    if value.abs() <= FARTHEST {
        Ok(())
    } else {
        Err(FrontError::BadNumber { what, value })
    }
}

pub(super) fn stop(moving: FrontMoving, begins_at: f64, reason: Unreachable) -> FrontError {
    if reason.is_input_fault() {
        FrontError::Motion(reason)
    } else {
        FrontError::OutOfReach {
            moving,
            begins_at,
            reason,
        }
    }
}
