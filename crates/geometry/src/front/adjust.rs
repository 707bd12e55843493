//! What a turn of each adjuster does to camber, caster and toe, and the turns for a wanted change.

use nalgebra::{DMatrix, DVector, Vector3, Vector5};

use super::corner::{Corner, FrontRod, lead, stop};
use super::motion::{Linear, toe_gradient};
use super::{FrontError, FrontMoving, sane};
use super::{above, up_to};
use crate::pose::Pose;

/// Below this ratio of singular values the table does not set the angles independently.
const SINGULAR_TABLE: f64 = 1e-6;
/// Iterations of the singular value decomposition.
const SVD_ITERATIONS: usize = 200;
/// Most adjusters or turns asked for at once.
const MOST: f64 = 1000.0;

/// What one turn (or one shim) changes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum AdjusterChange {
    /// The length of a rod, m per turn, longer positive. A sleeve with opposite threads: twice
    /// the pitch.
    Length {
        /// The rod.
        rod: FrontRod,
        /// m per turn.
        per_turn: f64,
    },
    /// The inner point of a rod, m per turn or shim, sprung-mass axes.
    Shift {
        /// The rod.
        rod: FrontRod,
        /// m per turn or shim.
        per_turn: Vector3<f64>,
    },
}

/// An adjuster: all that moves when it is turned once.
#[derive(Clone, Debug, PartialEq)]
pub struct Adjuster {
    /// The changes of one turn.
    pub changes: Vec<AdjusterChange>,
}

/// The angles set on the alignment rack, or changes of them, rad.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Alignment {
    /// Camber, top outward positive.
    pub camber: f64,
    /// Caster, top rearward positive.
    pub caster: f64,
    /// Toe-in.
    pub toe_in: f64,
}

impl std::ops::Sub for Alignment {
    type Output = Self;

    fn sub(self, other: Self) -> Self {
        Self {
            camber: self.camber - other.camber,
            caster: self.caster - other.caster,
            toe_in: self.toe_in - other.toe_in,
        }
    }
}

/// What an adjuster does, wheel-centre height and rack held.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AdjusterEffect {
    /// Derivative, rad per turn.
    pub per_turn: Alignment,
    /// Change by one full turn, rad.
    pub one_turn: Alignment,
}

/// Wanted changes, rad; None: this angle may go where it likes.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Wanted {
    /// Change of camber.
    pub camber: Option<f64>,
    /// Change of caster.
    pub caster: Option<f64>,
    /// Change of toe-in.
    pub toe_in: Option<f64>,
}

impl Corner {
    /// Camber, caster and toe-in at a pose, rad.
    #[must_use]
    pub fn alignment_at(&self, pose: &Pose) -> Alignment {
        let rotation = pose.rotation();
        let e = rotation * self.spin_axis;
        let u = rotation * (self.rods[2].body_point - self.rods[0].body_point);
        Alignment {
            camber: -self.side().sign() * e.z.atan2(e.x.hypot(e.y)),
            caster: (-u.x).atan2(u.z),
            toe_in: self.toe_at(pose),
        }
    }

    /// Derivative and full-turn effect of an adjuster at design.
    ///
    /// # Errors
    /// [`FrontError::BadNumber`]; [`FrontError::OutOfReach`] where a full turn is not reached;
    /// [`FrontError::Motion`].
    pub fn adjuster_effect(&self, adjuster: &Adjuster) -> Result<AdjusterEffect, FrontError> {
        let per_turn = self.adjuster_rate(adjuster)?;
        let turned = self.adjusted(&[(adjuster, 1.0)])?;
        Ok(AdjusterEffect {
            per_turn,
            one_turn: self.alignment_at(&turned.design.pose) - self.alignment_at(&self.design.pose),
        })
    }

    /// Derivative of the alignment by the turns of an adjuster at design, rad per turn.
    ///
    /// # Errors
    /// [`FrontError::BadNumber`], [`FrontError::Motion`].
    pub fn adjuster_rate(&self, adjuster: &Adjuster) -> Result<Alignment, FrontError> {
        check(adjuster)?;
        let pose = &self.design.pose;
        let linear = Linear::new(self, pose, 0.0);
        let mut right = Vector5::zeros();
        for change in &adjuster.changes {
            match change {
                AdjusterChange::Length { rod, per_turn } => right[rod.index()] += per_turn,
                AdjusterChange::Shift { rod, per_turn } => {
                    right[rod.index()] += linear.unit(rod.index()).dot(per_turn);
                }
            }
        }
        let w = linear.solve(&right, 0.0)?.w;
        let rotation = pose.rotation();
        let e = rotation * self.spin_axis;
        let u = rotation * (self.rods[2].body_point - self.rods[0].body_point);
        let (e_rate, u_rate) = (w.cross(&e), w.cross(&u));
        Ok(Alignment {
            camber: -self.side().sign() * e_rate.z / e.x.hypot(e.y),
            caster: (u.x * u_rate.z - u_rate.x * u.z) / (u.x * u.x + u.z * u.z),
            toe_in: toe_gradient(self.side().sign(), &e).dot(&e_rate),
        })
    }

    /// The corner with adjusters turned (turns may be fractions and negative), wheel-centre
    /// height and rack held.
    ///
    /// # Errors
    /// [`FrontError::BadNumber`]; [`FrontError::OutOfReach`] with the share of the turns at which
    /// it begins; [`FrontError::Motion`].
    pub fn adjusted(&self, turns: &[(&Adjuster, f64)]) -> Result<Self, FrontError> {
        let mut corner = *self;
        for (adjuster, turns) in turns {
            check(adjuster)?;
            if !up_to(turns.abs(), MOST) {
                return Err(FrontError::BadNumber {
                    what: "turns",
                    value: *turns,
                });
            }
            for change in &adjuster.changes {
                match change {
                    AdjusterChange::Length { rod, per_turn } => {
                        corner.rods[rod.index()].length += turns * per_turn;
                    }
                    AdjusterChange::Shift { rod, per_turn } => {
                        corner.rods[rod.index()].frame_point += per_turn * *turns;
                    }
                }
            }
        }
        let z = self.design.pose.position.z;
        corner.design = lead(&self.rods, &corner.rods, &self.design, z)
            .map_err(|s| stop(FrontMoving::Turns, s.begins_at, s.reason))?;
        let [lf, lr, uf, ur, t] = corner.rods;
        let drawn = &mut corner.drawn;
        (drawn.lower.front, drawn.lower.rear) = (lf.frame_point, lr.frame_point);
        (drawn.upper.front, drawn.upper.rear) = (uf.frame_point, ur.frame_point);
        drawn.tie_rod.inner = t.frame_point;
        drawn.lower.front_length = Some(lf.length);
        drawn.lower.rear_length = Some(lr.length);
        drawn.upper.front_length = Some(uf.length);
        drawn.upper.rear_length = Some(ur.length);
        drawn.tie_rod.length = Some(t.length);
        Ok(corner)
    }
}

fn check(adjuster: &Adjuster) -> Result<(), FrontError> {
    for change in &adjuster.changes {
        match change {
            AdjusterChange::Length { per_turn, .. } => {
                sane("length per turn", *per_turn)?;
            }
            AdjusterChange::Shift { per_turn, .. } => {
                for v in per_turn.iter() {
                    sane("shift per turn", *v)?;
                }
            }
        }
    }
    Ok(())
}

/// Turns of each adjuster for the wanted changes, by least squares on the table of derivatives
/// (of several exact answers the one with the fewest turns).
///
/// # Errors
/// [`FrontError::AdjustersSingular`] where the adjusters do not set the wanted angles
/// independently, or where nothing is wanted or nothing can be turned;
/// [`FrontError::BadNumber`] for a number that is not finite.
pub fn turns_for(table: &[Alignment], wanted: &Wanted) -> Result<Vec<f64>, FrontError> {
    let angles = |a: &Alignment| [a.camber, a.caster, a.toe_in];
    let rows: Vec<(f64, usize)> = [wanted.camber, wanted.caster, wanted.toe_in]
        .iter()
        .enumerate()
        .filter_map(|(angle, want)| Some(((*want)?, angle)))
        .collect();
    if rows.is_empty() || table.is_empty() || table.len() > 64 {
        return Err(FrontError::AdjustersSingular { ratio: 0.0 });
    }
    for (want, angle) in &rows {
        sane("wanted change", *want)?;
        for alignment in table {
            sane("change per turn", angles(alignment)[*angle])?;
        }
    }
    let matrix = DMatrix::from_fn(rows.len(), table.len(), |i, j| angles(&table[j])[rows[i].1]);
    let right = DVector::from_fn(rows.len(), |i, _| rows[i].0);
    let svd = nalgebra::SVD::try_new(matrix, true, true, f64::EPSILON, SVD_ITERATIONS)
        .ok_or(FrontError::AdjustersSingular { ratio: 0.0 })?;
    let (low, high) = (svd.singular_values.min(), svd.singular_values.max());
    let ratio = if high > 0.0 { low / high } else { 0.0 };
    if !above(ratio, SINGULAR_TABLE) {
        return Err(FrontError::AdjustersSingular { ratio });
    }
    let turns = svd
        .solve(&right, 0.0)
        .map_err(|_| FrontError::AdjustersSingular { ratio })?;
    Ok(turns.iter().copied().collect())
}
