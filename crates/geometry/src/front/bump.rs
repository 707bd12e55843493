//! Bump steer and what straightens it, in closed form.
//!
//! Let the knuckle move in heave on its four wishbone legs with the toe kept, instead of the tie
//! rod: the outer end B then has velocity n and acceleration m. A tie rod from A keeps the toe to
//! first order where (B − A)·n = 0, a plane, and to second order where also (B − A)·m = −n·n. With
//! the tie rod re-cut to keep the toe at design, both are linear in a shift of A.

use nalgebra::{Vector3, Vector5};

use super::above;
use super::corner::{Corner, FrontRod};
use super::motion::{Linear, toe_gradient, toe_rates};
use super::{FrontError, sane};
use crate::pose::{Coordinate, Prescribed};
use crate::position::solve_position;

const TIE: usize = FrontRod::TieRod.index();

/// Toe against wheel travel at design, rack centred.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BumpSteer {
    /// dtoe/dz, rad/m, + toe-in in bump.
    pub slope: f64,
    /// d²toe/dz², rad/m².
    pub curvature: f64,
}

/// Which end of the tie rod is moved to straighten the toe.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TieRodMove {
    /// The inner end, with the rack: up positive.
    Inner,
    /// The outer end, by a shim on the steering arm: up positive at the drawn pose.
    Outer,
}

/// What a height change of one end of the tie rod does; the tie rod is re-cut to keep the toe.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RackHeight {
    /// d(slope)/d(height), rad/m per m.
    pub slope_per_height: f64,
    /// Shift that makes the slope zero, m, up positive.
    pub shift: f64,
    /// Tie-rod length then, m.
    pub tie_rod_length: f64,
    /// Slope left, rad/m: zero to rounding.
    pub slope_after: f64,
    /// Curvature left, rad/m².
    pub curvature_after: f64,
}

/// The shift of the inner end that makes slope and curvature zero at design.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Straightened {
    /// Shift along y, m, left positive.
    pub shift_y: f64,
    /// Shift along z, m, up positive.
    pub shift_z: f64,
    /// Tie-rod length then, m.
    pub tie_rod_length: f64,
}

/// The outer end's motion with the toe kept, and what toe does to it.
struct Kept {
    /// Velocity n and acceleration m of B.
    velocity: Vector3<f64>,
    acceleration: Vector3<f64>,
    /// ω of that motion.
    spin: Vector3<f64>,
    /// Velocity of B and ω per radian of toe at held height.
    by_toe: Vector3<f64>,
    spin_by_toe: Vector3<f64>,
    /// B − A.
    rod: Vector3<f64>,
}

impl Corner {
    fn kept(&self) -> Result<Kept, FrontError> {
        let pose = &self.design.pose;
        let rotation = pose.rotation();
        let e = rotation * self.spin_axis;
        let gradient = toe_gradient(self.side().sign(), &e);
        let moment = e.cross(&gradient);
        let linear =
            Linear::new(self, pose, 0.0).with_last([0.0, 0.0, moment.x, moment.y, moment.z]);
        let twist = linear.heave()?;
        let mut right = linear.bend(&twist);
        right[TIE] = -gradient.dot(&twist.w.cross(&twist.w.cross(&e)));
        let bend = linear.solve(&right, 0.0)?;
        let by_toe = linear.solve(&Vector5::new(0.0, 0.0, 0.0, 0.0, 1.0), 0.0)?;
        let arm = rotation * self.rods[TIE].body_point.coords;
        let spun = twist.w.cross(&arm);
        Ok(Kept {
            velocity: twist.v + spun,
            acceleration: bend.v + bend.w.cross(&arm) + twist.w.cross(&spun),
            spin: twist.w,
            by_toe: by_toe.v + by_toe.w.cross(&arm),
            spin_by_toe: by_toe.w,
            rod: pose.position + arm - self.rods[TIE].frame_point,
        })
    }

    /// Slope and curvature of the toe at design.
    ///
    /// # Errors
    /// [`FrontError::Motion`].
    pub fn bump_steer(&self) -> Result<BumpSteer, FrontError> {
        let pose = &self.design.pose;
        let motion = self.heave_motion(pose, 0.0)?;
        let axis = pose.rotation() * self.spin_axis;
        let (slope, curvature) = toe_rates(self.side().sign(), &axis, &motion);
        Ok(BumpSteer { slope, curvature })
    }

    /// The corner with one end of its tie rod moved (m, sprung-mass axes at the design pose) and
    /// the tie rod re-cut so that the design pose stays.
    ///
    /// # Errors
    /// [`FrontError::BadNumber`], [`FrontError::OutOfReach`], [`FrontError::Motion`].
    pub fn with_tie_rod_moved(
        &self,
        end: TieRodMove,
        shift: &Vector3<f64>,
    ) -> Result<Self, FrontError> {
        for v in shift.iter() {
            sane("tie-rod shift", *v)?;
        }
        let mut corner = *self;
        let pose = &self.design.pose;
        let rod = &mut corner.rods[TIE];
        match end {
            TieRodMove::Inner => {
                rod.frame_point += shift;
                corner.drawn.tie_rod.inner = rod.frame_point;
            }
            TieRodMove::Outer => {
                let own = pose.rotation().transpose() * shift;
                rod.body_point += own;
                corner.drawn.tie_rod.outer += own;
            }
        }
        rod.length = (pose.place(&rod.body_point) - rod.frame_point).norm();
        corner.drawn.tie_rod.length = Some(rod.length);
        let held = Prescribed::NONE.with(Coordinate::Z, pose.position.z);
        corner.design = solve_position(&corner.rods, &held, pose)?;
        Ok(corner)
    }

    /// What the height of one end of the tie rod does to bump steer, and the shift that makes
    /// its slope zero (exact: the condition is linear).
    ///
    /// # Errors
    /// [`FrontError::CannotStraighten`] where height does nothing, [`FrontError::Motion`],
    /// [`FrontError::BadNumber`] where the shift is absurd.
    pub fn rack_height(&self, end: TieRodMove) -> Result<RackHeight, FrontError> {
        let k = self.kept()?;
        let up = Vector3::z();
        // λ = −(D·n)/(D·b) with D = B − A, b per toe; derivative by the height of one end.
        let (n_change, b_change, d_change) = match end {
            TieRodMove::Inner => (Vector3::zeros(), Vector3::zeros(), -up),
            TieRodMove::Outer => (k.spin.cross(&up), k.spin_by_toe.cross(&up), up),
        };
        let (dn, db) = (k.rod.dot(&k.velocity), k.rod.dot(&k.by_toe));
        let dn_change = d_change.dot(&k.velocity) + k.rod.dot(&n_change);
        let db_change = d_change.dot(&k.by_toe) + k.rod.dot(&b_change);
        let slope_per_height = (dn * db_change - dn_change * db) / (db * db);
        if !above(dn_change.abs(), 1e-9 * k.velocity.norm().max(1.0)) {
            return Err(FrontError::CannotStraighten {
                determinant: dn_change,
            });
        }
        let shift = -dn / dn_change;
        let after = self.with_tie_rod_moved(end, &(up * shift))?;
        let left = after.bump_steer()?;
        Ok(RackHeight {
            slope_per_height,
            shift,
            tie_rod_length: after.rods[TIE].length,
            slope_after: left.slope,
            curvature_after: left.curvature,
        })
    }

    /// The (y, z) shift of the inner end that makes slope and curvature of the toe zero at
    /// design: A at the centre of curvature of B's path with the toe kept. A height error shows
    /// as slope, a length error as curvature.
    ///
    /// # Errors
    /// [`FrontError::CannotStraighten`] where the two conditions are parallel,
    /// [`FrontError::Motion`], [`FrontError::BadNumber`] where the shift is absurd.
    pub fn straighten(&self) -> Result<Straightened, FrontError> {
        let k = self.kept()?;
        let (n, m) = (&k.velocity, &k.acceleration);
        // (D − δ)·n = 0 and (D − δ)·m = −n·n, δ in the plane x = const.
        let right = [k.rod.dot(n), k.rod.dot(m) + n.norm_squared()];
        let determinant = n.y * m.z - n.z * m.y;
        if !above(determinant.abs(), 1e-9 * (n.norm() * m.norm()).max(1.0)) {
            return Err(FrontError::CannotStraighten { determinant });
        }
        let shift_y = sane(
            "tie-rod shift",
            (right[0] * m.z - right[1] * n.z) / determinant,
        )?;
        let shift_z = sane(
            "tie-rod shift",
            (right[1] * n.y - right[0] * m.y) / determinant,
        )?;
        Ok(Straightened {
            shift_y,
            shift_z,
            tie_rod_length: (k.rod - Vector3::new(0.0, shift_y, shift_z)).norm(),
        })
    }

    /// Toe less toe at design at each travel (m), rack centred: one wheel; both wheels of a
    /// symmetric car make twice as much.
    ///
    /// # Errors
    /// As [`Corner::state`].
    pub fn toe_change(&self, travels: &[f64]) -> Result<Vec<f64>, FrontError> {
        let design = self.toe_at(&self.design.pose);
        travels
            .iter()
            .map(|z| Ok(self.toe_at(&self.move_travel(&self.design, 0.0, *z)?.pose) - design))
            .collect()
    }

    /// Toe-in at a pose, rad.
    #[must_use]
    pub fn toe_at(&self, pose: &crate::Pose) -> f64 {
        let e = pose.rotation() * self.spin_axis;
        self.side().sign() * e.x.atan2(e.y)
    }
}
