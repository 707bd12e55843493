//! A driven rigid rear axle on its links and lateral locator.
//!
//! The body origin is the midpoint between the wheel centres; at design ride height and
//! as drawn it stands at (0, 0, loaded radius) with all angles zero. Travel is relative to
//! the sprung mass, bump positive; roll positive with the left wheel in bump.

use nalgebra::Point3;
use thiserror::Error;

use crate::pose::{Coordinate, Pose, Prescribed};
use crate::position::{Position, solve_position};
use crate::rods::{Rod, Unreachable};
use crate::sweep::{RESOLUTION, Stopped, follow, march};

/// What the figures of a rear axle need to know of the car.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AxleCar {
    /// Wheelbase L, m, positive.
    pub wheelbase: f64,
    /// Mass of the whole car, kg, positive.
    pub mass: f64,
    /// Height h of the whole car's CG above ground at design ride height, m, positive.
    pub cg_height: f64,
    /// Loaded radius of the rear tyre, m, positive.
    pub loaded_radius: f64,
    /// Rear share of the brake force p_r, 0 to 1.
    pub rear_brake_share: f64,
    /// Track between the rear contact points, m, positive.
    pub rear_track: f64,
}

impl AxleCar {
    fn check(&self) -> Result<(), AxleError> {
        for (what, value) in [
            ("wheelbase", self.wheelbase),
            ("mass", self.mass),
            ("CG height", self.cg_height),
            ("loaded radius", self.loaded_radius),
            ("rear track", self.rear_track),
        ] {
            if !(value > 0.0 && value.is_finite()) {
                return Err(AxleError::BadCar { what, value });
            }
        }
        if (0.0..=1.0).contains(&self.rear_brake_share) {
            Ok(())
        } else {
            Err(AxleError::BadCar {
                what: "rear brake share",
                value: self.rear_brake_share,
            })
        }
    }
}

/// A rod as it is drawn: both ends in sprung-mass axes with the axle at design ride height.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DrawnRod {
    /// End on the sprung mass, m.
    pub frame_point: Point3<f64>,
    /// End on the housing, as drawn, sprung-mass axes, m.
    pub housing_point: Point3<f64>,
    /// Length held at this value, m; None: reset to the distance between the drawn ends.
    pub length: Option<f64>,
    /// Axial stiffness, N/m, positive; None: not known.
    pub stiffness: Option<f64>,
}

/// What a sweep was moving when it stopped.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Moving {
    /// Travel, m.
    Travel,
    /// Roll, rad.
    Roll,
}

impl std::fmt::Display for Moving {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Travel => "travel",
            Self::Roll => "roll",
        })
    }
}

/// Why an axle has no answer.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum AxleError {
    /// A figure of the car is out of range.
    #[error("{what} is {value}")]
    BadCar {
        /// Which figure.
        what: &'static str,
        /// Its value, SI.
        value: f64,
    },
    /// Some rods have a stiffness and some have none.
    #[error("rod {rod} has no stiffness while others have")]
    MixedStiffness {
        /// First rod without one.
        rod: usize,
    },
    /// With the held rod lengths the axle cannot be assembled at design height.
    #[error(
        "the axle cannot be assembled at design height: only {:.1} % of the way to the held rod lengths ({reason})",
        share * 100.0
    )]
    CannotAssemble {
        /// How far from the drawn lengths to the held ones the rods still reach, 0 to 1.
        share: f64,
        /// What stops it.
        reason: Unreachable,
    },
    /// The pose is out of reach from a certain travel or roll on.
    #[error("out of reach from {moving} {begins_at:.6} on: {reason}")]
    OutOfReach {
        /// What was moving.
        moving: Moving,
        /// Travel (m) or roll (rad) at which it begins.
        begins_at: f64,
        /// What happens there.
        reason: Unreachable,
    },
    /// The rods do not determine a motion at a pose.
    #[error(transparent)]
    Motion(#[from] Unreachable),
}

/// The rods of an axle, with the pose in which they are drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct AxleLinkage {
    /// The rods; ends on the housing from the origin, body axes, m.
    pub rods: Vec<Rod>,
    /// Axle centre as drawn, sprung-mass axes: (0, 0, loaded radius), m.
    pub origin: Point3<f64>,
    /// Whether the stiffnesses are real (N/m) and not just equal weights.
    pub stiffness_known: bool,
}

impl AxleLinkage {
    /// The linkage as drawn: housing ends relative to (0, 0, loaded radius), lengths reset
    /// to the drawn distance where none is held. Without any stiffness every rod weighs
    /// the same.
    ///
    /// # Errors
    /// [`AxleError::BadCar`], [`AxleError::MixedStiffness`].
    pub fn drawn(car: &AxleCar, drawn: &[DrawnRod]) -> Result<Self, AxleError> {
        car.check()?;
        let origin = Point3::new(0.0, 0.0, car.loaded_radius);
        let stiffness_known = drawn.iter().any(|r| r.stiffness.is_some());
        if stiffness_known && let Some(rod) = drawn.iter().position(|r| r.stiffness.is_none()) {
            return Err(AxleError::MixedStiffness { rod });
        }
        let rods = drawn
            .iter()
            .map(|r| Rod {
                frame_point: r.frame_point,
                body_point: Point3::from(r.housing_point - origin),
                length: r
                    .length
                    .unwrap_or_else(|| (r.housing_point - r.frame_point).norm()),
                stiffness: r.stiffness.unwrap_or(1.0),
            })
            .collect();
        Ok(Self {
            rods,
            origin,
            stiffness_known,
        })
    }

    /// Assembles the axle at design height and zero roll: from the drawn pose, with the rod
    /// lengths led in small steps from the drawn distances to the held lengths.
    ///
    /// # Errors
    /// [`AxleError::CannotAssemble`] with the share of the change that is reached;
    /// [`AxleError::Motion`] for an input fault; [`AxleError::BadCar`].
    pub fn assemble(self, car: AxleCar) -> Result<AssembledAxle, AxleError> {
        car.check()?;
        let held = Prescribed::height_and_roll(self.origin.z, 0.0);
        let drawn_pose = Pose::level(self.origin);
        // With every length as drawn this is the answer at once.
        let mut rods = self.rods.clone();
        for rod in &mut rods {
            rod.length = (self.origin + rod.body_point.coords - rod.frame_point).norm();
        }
        let drawn = solve_position(&rods, &held, &drawn_pose).map_err(|reason| {
            if reason.is_input_fault() {
                AxleError::Motion(reason)
            } else {
                AxleError::CannotAssemble { share: 0.0, reason }
            }
        })?;
        let (changes, lengths): (Vec<f64>, Vec<f64>) = self
            .rods
            .iter()
            .zip(&rods)
            .map(|(held, drawn)| (held.length - drawn.length, drawn.length))
            .unzip();
        let largest = changes.iter().fold(0.0_f64, |m, c| m.max(c.abs()));
        let step = if largest > 0.0 {
            (2e-3 / largest).min(1.0)
        } else {
            1.0
        };
        let reached = march(0.0, 1.0, step, 1e-9, &drawn, |share, pose| {
            for ((rod, drawn), change) in rods.iter_mut().zip(&lengths).zip(&changes) {
                rod.length = drawn + share * change;
            }
            solve_position(&rods, &held, pose)
        });
        let design = reached.map_err(|stopped| {
            if stopped.reason.is_input_fault() {
                return AxleError::Motion(stopped.reason);
            }
            // Say how far the rods are off with the lengths asked for, where that can be said;
            // the way there often ends in a lock, which helps nobody find the short rod.
            let reason = match solve_position(&self.rods, &held, &stopped.last) {
                Err(
                    off @ (Unreachable::DoesNotReach { .. } | Unreachable::OverStretched { .. }),
                ) => off,
                _ => stopped.reason,
            };
            AxleError::CannotAssemble {
                share: stopped.begins_at,
                reason,
            }
        })?;
        Ok(AssembledAxle {
            car,
            linkage: self,
            design,
        })
    }
}

/// An axle that stands assembled at design height: everything else starts here.
#[derive(Clone, Debug, PartialEq)]
pub struct AssembledAxle {
    /// The car.
    pub car: AxleCar,
    /// The rods.
    pub linkage: AxleLinkage,
    /// The solution at zero travel and zero roll.
    pub design: Position,
}

impl AssembledAxle {
    /// The position at `travel` (m, bump positive) and `roll` (rad, left wheel in bump
    /// positive), reached from design height by travel first and roll after.
    ///
    /// # Errors
    /// [`AxleError::OutOfReach`] with the travel or roll at which it begins.
    pub fn position(&self, travel: f64, roll: f64) -> Result<Position, AxleError> {
        let at_travel = self.move_travel(&self.design, travel)?;
        self.move_roll(&at_travel, roll)
    }

    /// From a known position to another travel (m) at the same roll.
    ///
    /// # Errors
    /// [`AxleError::OutOfReach`].
    pub fn move_travel(&self, from: &Position, travel: f64) -> Result<Position, AxleError> {
        let held = Prescribed::NONE.with(Coordinate::Phi, from.pose.phi);
        let to = self.linkage.origin.z + travel;
        follow(&self.linkage.rods, from, &held, Coordinate::Z, to)
            .map_err(|stopped| self.travel_error(&stopped))
    }

    /// From a known position to another roll (rad) at the same travel.
    ///
    /// # Errors
    /// [`AxleError::OutOfReach`].
    pub fn move_roll(&self, from: &Position, roll: f64) -> Result<Position, AxleError> {
        let held = Prescribed::NONE.with(Coordinate::Z, from.pose.position.z);
        follow(&self.linkage.rods, from, &held, Coordinate::Phi, roll).map_err(|stopped| {
            AxleError::OutOfReach {
                moving: Moving::Roll,
                begins_at: stopped.begins_at,
                reason: stopped.reason,
            }
        })
    }

    /// From a known position to another travel (m) with roll left free (z alone held):
    /// the path the axle wants. Needs at least five rods.
    ///
    /// # Errors
    /// [`AxleError::OutOfReach`].
    pub fn move_travel_roll_free(
        &self,
        from: &Position,
        travel: f64,
    ) -> Result<Position, AxleError> {
        let to = self.linkage.origin.z + travel;
        let rods = &self.linkage.rods;
        // The known position may have been held in roll: let it settle at its own height first.
        let held = Prescribed::NONE.with(Coordinate::Z, from.pose.position.z);
        let settled =
            solve_position(rods, &held, &from.pose).map_err(|reason| AxleError::OutOfReach {
                moving: Moving::Travel,
                begins_at: self.travel_of(&from.pose),
                reason,
            })?;
        follow(rods, &settled, &Prescribed::NONE, Coordinate::Z, to)
            .map_err(|stopped| self.travel_error(&stopped))
    }

    /// Where reach ends on the way from design height to `travel` (m) at `roll` (rad), roll
    /// taken first; None when `travel` is reached.
    ///
    /// # Errors
    /// [`AxleError::OutOfReach`] when the roll itself is not reached at zero travel.
    pub fn travel_limit(&self, roll: f64, travel: f64) -> Result<Option<AxleError>, AxleError> {
        let start = self.move_roll(&self.design, roll)?;
        Ok(self.move_travel(&start, travel).err())
    }

    /// Where reach ends on the way from zero roll to `roll` (rad) at `travel` (m), travel
    /// taken first; None when `roll` is reached.
    ///
    /// # Errors
    /// [`AxleError::OutOfReach`] when the travel itself is not reached at zero roll.
    pub fn roll_limit(&self, travel: f64, roll: f64) -> Result<Option<AxleError>, AxleError> {
        let start = self.move_travel(&self.design, travel)?;
        Ok(self.move_roll(&start, roll).err())
    }

    /// Travel of a pose, m: height of the axle centre over its design height.
    #[must_use]
    pub fn travel_of(&self, pose: &Pose) -> f64 {
        pose.position.z - self.linkage.origin.z
    }

    fn travel_error(&self, stopped: &Stopped) -> AxleError {
        AxleError::OutOfReach {
            moving: Moving::Travel,
            begins_at: stopped.begins_at - self.linkage.origin.z,
            reason: stopped.reason,
        }
    }
}

/// Bisection width of every limit reported here, m or rad.
pub const LIMIT_RESOLUTION: f64 = RESOLUTION;
