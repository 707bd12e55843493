//! The least gap of every pair over the travel of both wheels.
//!
//! Each wheel goes through its own travel from −droop to +bump; the axle's pose follows from both. A grid finds where
//! each pair is nearest, a local search refines it there.

use geometry::distance::{Body, CLOSE, Core, Gap, gap_from};
use geometry::{AssembledAxle, AxleError, Pose, Position, Prescribed, solve_position};
use nalgebra::{Point3, Vector3};

use super::{PackagingError, TARGET_GAP, bad, not_negative, positive};

/// Wheel travel at which the local search is done, m. A gap is the least of many smooth distances, so its own least is smooth
/// inside the travel: it is off by the square of this.
const REFINED: f64 = 2e-5;
/// Share of the distance within which a gap is found on the grid.
const COARSE: f64 = 1e-5;

/// A side of the car.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// Left, +y.
    Left,
    /// Right.
    Right,
}

impl Side {
    /// +1 left, −1 right.
    #[must_use]
    pub const fn sign(self) -> f64 {
        match self {
            Self::Left => 1.0,
            Self::Right => -1.0,
        }
    }
}

/// A tyre as an envelope: unloaded, with its growth in service; the flat at the ground is left out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TyreShape {
    /// Radius R, m, positive.
    pub radius: f64,
    /// Width w, m, positive.
    pub width: f64,
    /// Shoulder radius s, m, zero or more, at most w/2 and R.
    pub shoulder_radius: f64,
}

impl TyreShape {
    /// The tyre with its centre and axis (unit vector): a cylinder grown by the shoulder radius.
    ///
    /// # Errors
    /// [`PackagingError::BadInput`].
    pub fn body(&self, centre: Point3<f64>, axis: Vector3<f64>) -> Result<Body, PackagingError> {
        positive("tyre radius", self.radius)?;
        positive("tyre width", self.width)?;
        not_negative("shoulder radius", self.shoulder_radius)?;
        let s = self.shoulder_radius;
        if s > 0.5 * self.width || s > self.radius {
            return Err(bad(
                "shoulder radius",
                s,
                "at most half the tyre's width and its radius",
            ));
        }
        let length = positive("length of the wheel axis", axis.norm())?;
        Ok(Body {
            core: Core::Cylinder {
                centre,
                axis: axis / length,
                radius: self.radius - s,
                half_width: 0.5 * self.width - s,
            },
            grown: s,
        })
    }
}

/// What a part goes with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Attached {
    /// The frame or the body.
    Frame,
    /// The axle housing.
    Axle,
}

/// End of a bar: where it is drawn at ride height, sprung-mass axes, m, and what it goes with.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BarEnd {
    /// Point, m.
    pub point: Point3<f64>,
    /// What it is fixed to.
    pub on: Attached,
}

/// Something in the way, as drawn at ride height in sprung-mass axes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Obstacle {
    /// Rail, tub or lip.
    Box {
        /// Centre, m.
        centre: Point3<f64>,
        /// Half edges, m, zero or more.
        half: [f64; 3],
        /// Directions of the edges, at right angles; any length.
        axes: [Vector3<f64>; 3],
        /// What it is fixed to.
        on: Attached,
    },
    /// Link, coil-over or tube.
    Bar {
        /// One end.
        a: BarEnd,
        /// The other.
        b: BarEnd,
        /// Radius, m, zero or more.
        radius: f64,
    },
}

/// One of a pair.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    /// A rear tyre.
    Tyre(Side),
    /// An obstacle, from 0.
    Obstacle(usize),
}

/// Room of each wheel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WheelTravel {
    /// Travel up, m, zero or more.
    pub bump: f64,
    /// Travel down, m, zero or more.
    pub droop: f64,
    /// Grid points over each wheel's travel, 2 to 65.
    pub grid: usize,
}

/// Where a clearance is least.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WheelPose {
    /// Travel of the left wheel, m, bump positive.
    pub left: f64,
    /// Travel of the right wheel, m.
    pub right: f64,
    /// Pose of the axle.
    pub pose: Pose,
}

impl WheelPose {
    /// Travel of the axle, m.
    #[must_use]
    pub fn travel(&self) -> f64 {
        0.5 * (self.left + self.right)
    }

    /// Roll of the axle, rad, left wheel up positive.
    #[must_use]
    pub const fn roll(&self) -> f64 {
        self.pose.phi
    }
}

/// The least clearance of a pair.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Clearance {
    /// The pair.
    pub pair: [Part; 2],
    /// Gap with its nearest points in the worst pose.
    pub gap: Gap,
    /// The worst pose.
    pub at: WheelPose,
}

impl Clearance {
    /// At least the target of 1 in.
    #[must_use]
    pub fn enough(&self) -> bool {
        self.gap.value().is_some_and(|g| g >= TARGET_GAP)
    }
}

/// Tyres and obstacles on an axle.
#[derive(Clone, Debug)]
pub struct Envelope {
    axle: AssembledAxle,
    travel: WheelTravel,
    track: f64,
    tyre: [Body; 2],
    parts: Vec<Placeable>,
    poses: Vec<WheelPose>,
    /// First pose out of reach on the way.
    limit: Option<AxleError>,
    unreached: usize,
}

/// An obstacle ready to be placed: what is on the axle in axle axes.
#[derive(Clone, Copy, Debug)]
enum Placeable {
    Still(Body),
    Carried(Body),
    Bar { a: BarEnd, b: BarEnd, radius: f64 },
}

impl Placeable {
    fn placed(&self, pose: &Pose) -> Body {
        match self {
            Self::Still(body) => *body,
            Self::Carried(body) => Body {
                core: body.core.placed(pose),
                grown: body.grown,
            },
            Self::Bar { a, b, radius } => {
                let end = |e: &BarEnd| match e.on {
                    Attached::Frame => e.point,
                    Attached::Axle => pose.place(&e.point),
                };
                Body {
                    core: Core::Segment {
                        a: end(a),
                        b: end(b),
                    },
                    grown: *radius,
                }
            }
        }
    }
}

/// Ranks a gap: through is worse than any overlap.
fn rank(gap: Option<Gap>) -> f64 {
    gap.and_then(|g| g.value()).unwrap_or(f64::NEG_INFINITY)
}

impl Envelope {
    /// Solves the poses of the grid. `track` is the distance of the wheel centres, m.
    ///
    /// # Errors
    /// [`PackagingError::BadInput`]. Poses the axle does not reach are left out and named by [`Envelope::limit`].
    pub fn new(
        axle: &AssembledAxle,
        travel: WheelTravel,
        track: f64,
        tyre: &TyreShape,
        obstacles: &[Obstacle],
    ) -> Result<Self, PackagingError> {
        not_negative("bump travel", travel.bump)?;
        not_negative("droop travel", travel.droop)?;
        positive("track", track)?;
        if travel.bump + travel.droop > 0.5 * track {
            return Err(bad(
                "travel of a wheel from droop to bump",
                travel.bump + travel.droop,
                "at most half the track",
            ));
        }
        if !(2..=65).contains(&travel.grid) {
            return Err(bad("grid", travel.grid as f64, "from 2 to 65"));
        }
        let mut parts = Vec::with_capacity(obstacles.len());
        for obstacle in obstacles {
            parts.push(placeable(obstacle, &axle.linkage.origin)?);
        }
        let wheel = |sign: f64| tyre.body(Point3::new(0.0, sign * 0.5 * track, 0.0), Vector3::y());
        let mut new = Self {
            axle: axle.clone(),
            travel,
            track,
            tyre: [wheel(1.0)?, wheel(-1.0)?],
            parts,
            poses: Vec::new(),
            limit: None,
            unreached: 0,
        };
        new.solve_grid();
        Ok(new)
    }

    fn roll_of(&self, left: f64, right: f64) -> f64 {
        ((left - right) / self.track).asin()
    }

    /// From the design pose outward, each pose from a neighbour already solved.
    fn solve_grid(&mut self) {
        let n = self.travel.grid;
        let (low, width) = (-self.travel.droop, self.travel.bump + self.travel.droop);
        let at = |i: usize| low + width * i as f64 / (n - 1) as f64;
        let share = if width > 0.0 {
            self.travel.droop / width
        } else {
            0.0
        };
        let start = (share * (n - 1) as f64).round() as usize;
        let mut solved: Vec<Option<Position>> = vec![None; n * n];
        let mut tried = vec![false; n * n];
        let mut queue = std::collections::VecDeque::new();
        queue.push_back((start, start, self.axle.design));
        tried[start * n + start] = true;
        while let Some((i, j, from)) = queue.pop_front() {
            let (left, right) = (at(i), at(j));
            let reached = self
                .axle
                .move_travel(&from, 0.5 * (left + right))
                .and_then(|p| self.axle.move_roll(&p, self.roll_of(left, right)));
            match reached {
                Ok(position) => {
                    self.poses.push(WheelPose {
                        left,
                        right,
                        pose: position.pose,
                    });
                    for (di, dj) in [(0, 1), (1, 0), (0, -1), (-1, 0)] {
                        let (Some(a), Some(b)) =
                            (i.checked_add_signed(di), j.checked_add_signed(dj))
                        else {
                            continue;
                        };
                        if a < n && b < n && !tried[a * n + b] {
                            tried[a * n + b] = true;
                            queue.push_back((a, b, position));
                        }
                    }
                    solved[i * n + j] = Some(position);
                }
                Err(error) => {
                    self.limit.get_or_insert(error);
                }
            }
        }
        self.unreached = solved.iter().filter(|p| p.is_none()).count();
    }

    /// The poses of the grid that are reached.
    #[must_use]
    pub fn poses(&self) -> &[WheelPose] {
        &self.poses
    }

    /// The first pose out of reach, and how many of the grid are not reached; None: all are.
    #[must_use]
    pub fn limit(&self) -> Option<(AxleError, usize)> {
        self.limit.map(|e| (e, self.unreached))
    }

    /// Each tyre with each obstacle.
    #[must_use]
    pub fn tyre_pairs(&self) -> Vec<[Part; 2]> {
        (0..self.parts.len())
            .flat_map(|i| [Side::Left, Side::Right].map(|s| [Part::Tyre(s), Part::Obstacle(i)]))
            .collect()
    }

    /// A part in a pose.
    ///
    /// # Errors
    /// [`PackagingError::NoSuchObstacle`].
    pub fn body(&self, part: Part, pose: &Pose) -> Result<Body, PackagingError> {
        Ok(match part {
            Part::Tyre(side) => {
                let drawn = &self.tyre[usize::from(side == Side::Right)];
                Body {
                    core: drawn.core.placed(pose),
                    grown: drawn.grown,
                }
            }
            Part::Obstacle(index) => self
                .parts
                .get(index)
                .ok_or(PackagingError::NoSuchObstacle {
                    index,
                    count: self.parts.len(),
                })?
                .placed(pose),
        })
    }

    /// Gap of a pair in a pose.
    ///
    /// # Errors
    /// [`PackagingError::NoSuchObstacle`]; [`PackagingError::BadInput`] for a pose that is not finite.
    pub fn gap_at(&self, pair: [Part; 2], pose: &Pose) -> Result<Gap, PackagingError> {
        self.gap_near(pair, pose, &Vector3::x(), CLOSE)
    }

    /// The same from a direction in which the second part may lie.
    fn gap_near(
        &self,
        [one, other]: [Part; 2],
        pose: &Pose,
        toward: &Vector3<f64>,
        close: f64,
    ) -> Result<Gap, PackagingError> {
        gap_from(
            &self.body(one, pose)?,
            &self.body(other, pose)?,
            toward,
            close,
        )
        .ok_or_else(|| bad("gap", f64::NAN, "between bodies with finite figures"))
    }

    /// The least clearance of each pair, in their order. A pair is left out when no pose is reached.
    ///
    /// # Errors
    /// [`PackagingError::NoSuchObstacle`], [`PackagingError::BadInput`].
    pub fn least(&self, pairs: &[[Part; 2]]) -> Result<Vec<Clearance>, PackagingError> {
        for part in pairs.iter().flatten() {
            if let Part::Obstacle(index) = part
                && *index >= self.parts.len()
            {
                return Err(PackagingError::NoSuchObstacle {
                    index: *index,
                    count: self.parts.len(),
                });
            }
        }
        let mut out = Vec::with_capacity(pairs.len());
        for pair in pairs {
            let mut best: Option<Clearance> = None;
            let mut toward = Vector3::x();
            for at in &self.poses {
                let gap = self.gap_near(*pair, &at.pose, &toward, COARSE)?;
                toward = direction(&gap, toward);
                if best.is_none_or(|b| rank(Some(gap)) < rank(Some(b.gap))) {
                    best = Some(Clearance {
                        pair: *pair,
                        gap,
                        at: *at,
                    });
                }
            }
            if let Some(mut best) = best {
                best.gap = self.gap_near(*pair, &best.at.pose, &toward, CLOSE)?;
                out.push(self.refined(best)?);
            }
        }
        Ok(out)
    }

    /// A compass search about the best of the grid, within the travel of both wheels.
    fn refined(&self, mut best: Clearance) -> Result<Clearance, PackagingError> {
        let (low, high) = (-self.travel.droop, self.travel.bump);
        let mut step = 0.5 * (high - low) / (self.travel.grid - 1) as f64;
        // Least rise per travel of the last round that found nothing lower.
        let mut slope_before = f64::INFINITY;
        while step > REFINED && best.gap.value().is_some() {
            let mut moved = false;
            let mut slope = f64::INFINITY;
            for (dl, dr) in [
                (1.0, 0.0),
                (-1.0, 0.0),
                (0.0, 1.0),
                (0.0, -1.0),
                (1.0, 1.0),
                (-1.0, -1.0),
                (1.0, -1.0),
                (-1.0, 1.0),
            ] {
                let left = (best.at.left + dl * step).clamp(low, high);
                let right = (best.at.right + dr * step).clamp(low, high);
                // Held back by the end of the travel in one of its ways: another direction does that.
                let held_back = |moved: f64, wanted: f64| moved.abs() < 0.5 * wanted.abs() * step;
                if held_back(left - best.at.left, dl) || held_back(right - best.at.right, dr) {
                    continue;
                }
                let held = Prescribed::height_and_roll(
                    self.axle.linkage.origin.z + 0.5 * (left + right),
                    self.roll_of(left, right),
                );
                // Less than half a cell away from a solved pose: the same branch. Out of reach is no clearance.
                let Ok(position) = solve_position(&self.axle.linkage.rods, &held, &best.at.pose)
                else {
                    continue;
                };
                let toward = direction(&best.gap, Vector3::x());
                let gap = self.gap_near(best.pair, &position.pose, &toward, CLOSE)?;
                let rise = rank(Some(gap)) - rank(Some(best.gap));
                if rise < 0.0 {
                    best = Clearance {
                        pair: best.pair,
                        gap,
                        at: WheelPose {
                            left,
                            right,
                            pose: position.pose,
                        },
                    };
                    moved = true;
                    break;
                }
                slope = slope.min(rise / step);
            }
            if moved {
                slope_before = f64::INFINITY;
                continue;
            }
            // In a corner of the travel the gap rises in proportion to the way from it: nothing finer will be lower. About a smooth
            // least the rise per travel falls with the step.
            if slope > 0.8 * slope_before {
                break;
            }
            slope_before = slope;
            step *= 0.25;
        }
        Ok(best)
    }
}

/// From the first part of a pair toward the second.
fn direction(gap: &Gap, otherwise: Vector3<f64>) -> Vector3<f64> {
    match gap {
        // Of an overlap the nearest points lie the other way round.
        Gap::Apart { gap, first, second } if gap.abs() > 1e-6 => (second - first) * gap.signum(),
        _ => otherwise,
    }
}

fn placeable(obstacle: &Obstacle, origin: &Point3<f64>) -> Result<Placeable, PackagingError> {
    let finite_point = |what, p: &Point3<f64>| {
        p.iter()
            .try_for_each(|v| super::finite(what, *v).map(|_| ()))
    };
    match *obstacle {
        Obstacle::Box {
            centre,
            half,
            axes,
            on,
        } => {
            finite_point("centre of a box", &centre)?;
            let mut units = axes;
            for (unit, half) in units.iter_mut().zip(half) {
                not_negative("half edge of a box", half)?;
                *unit /= positive("direction of a box's edge", unit.norm())?;
            }
            for (i, j) in [(0, 1), (1, 2), (2, 0)] {
                let off = units[i].dot(&units[j]).abs();
                if off.is_nan() || off > 1e-6 {
                    return Err(bad(
                        "skew of a box's edges",
                        off,
                        "none: they meet at right angles",
                    ));
                }
            }
            let body = |centre| Body {
                core: Core::Box {
                    centre,
                    half,
                    axes: units,
                },
                grown: 0.0,
            };
            Ok(match on {
                Attached::Frame => Placeable::Still(body(centre)),
                Attached::Axle => Placeable::Carried(body(Point3::from(centre - origin))),
            })
        }
        Obstacle::Bar { a, b, radius } => {
            not_negative("radius of a bar", radius)?;
            finite_point("end of a bar", &a.point)?;
            finite_point("end of a bar", &b.point)?;
            let end = |e: BarEnd| match e.on {
                Attached::Frame => e,
                Attached::Axle => BarEnd {
                    point: Point3::from(e.point - origin),
                    on: e.on,
                },
            };
            Ok(Placeable::Bar {
                a: end(a),
                b: end(b),
                radius,
            })
        }
    }
}
