//! Rods with spherical ends, per-rod results, and the ways a rod problem can fail.
//!
//! Rod i joins a point a_i fixed to the sprung mass to a point b_i fixed to the
//! body. With the body at position p and rotation R its stretch is
//! s_i = |p + R b_i − a_i| − L_i.

use nalgebra::{Matrix3, Point3, Vector3};
use thiserror::Error;

use crate::pose::Frame;

/// Most rods one body can have. Results per rod live on the stack.
pub const MAX_RODS: usize = 8;

/// Rotations are scaled by this length (m) where they are compared with translations.
pub const ROTATION_LENGTH: f64 = 0.3;

/// Below this ratio of smallest to largest singular value of the rod Jacobian the pose
/// counts as out of reach (the rods lock over there).
pub const SINGULAR_RATIO: f64 = 1e-4;

/// Largest stretch (m) that counts as "reached" where there are no more rods than unknowns.
pub const REACH: f64 = 1e-9;

/// Largest stretch as a share of the rod's length, with more rods than unknowns.
pub const STRETCH_SHARE: f64 = 0.05;

/// One rod.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rod {
    /// End on the sprung mass, sprung-mass axes, m.
    pub frame_point: Point3<f64>,
    /// End on the body, body axes from the body origin, m.
    pub body_point: Point3<f64>,
    /// Unloaded length between the ends, m, positive.
    pub length: f64,
    /// Axial stiffness, N/m, positive: the rod's weight in the least squares. Only the
    /// ratios matter for poses and rates; where no stiffness is known give every rod the same.
    pub stiffness: f64,
}

impl Rod {
    /// The stretch (m, positive when longer than `length`) with the body at `pose`.
    #[must_use]
    pub fn stretch(&self, pose: &crate::Pose) -> f64 {
        (pose.place(&self.body_point) - self.frame_point).norm() - self.length
    }
}

/// One value per rod, in the order of the rods; at most [`MAX_RODS`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RodValues {
    values: [f64; MAX_RODS],
    len: usize,
}

impl RodValues {
    pub(crate) fn new(values: [f64; MAX_RODS], len: usize) -> Self {
        Self {
            values,
            len: len.min(MAX_RODS),
        }
    }

    /// Index and value of the rod whose value is largest in magnitude; (0, 0) without rods.
    #[must_use]
    pub fn largest(&self) -> (usize, f64) {
        let mut best = (0, 0.0_f64);
        for (index, value) in self.iter().enumerate() {
            if value.abs() > best.1.abs() {
                best = (index, *value);
            }
        }
        best
    }
}

impl std::ops::Deref for RodValues {
    type Target = [f64];

    fn deref(&self) -> &[f64] {
        &self.values[..self.len]
    }
}

/// Why a rod problem has no answer. The first group are faults of the input, the second
/// ([`Unreachable::is_input_fault`] false) poses the rods cannot reach.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum Unreachable {
    /// There is no rod at all.
    #[error("no rods")]
    NoRods,
    /// More rods than [`MAX_RODS`].
    #[error("{rods} rods given, at most {MAX_RODS} can be solved")]
    TooManyRods {
        /// Rods given.
        rods: usize,
    },
    /// Fewer rods than free coordinates: the pose is not determined.
    #[error("{rods} rods cannot determine {unknowns} free coordinates")]
    TooFewRods {
        /// Rods given.
        rods: usize,
        /// Free coordinates.
        unknowns: usize,
    },
    /// A rod has a length that is not positive, or its two ends coincide.
    #[error("rod {rod} has length {length} m")]
    NoLength {
        /// Index of the rod.
        rod: usize,
        /// The length found, m.
        length: f64,
    },
    /// A rod's stiffness is not positive and finite.
    #[error("rod {rod} has stiffness {stiffness} N/m")]
    BadStiffness {
        /// Index of the rod.
        rod: usize,
        /// The stiffness given, N/m.
        stiffness: f64,
    },
    /// A coordinate, a prescribed value or a rod point is not a finite number.
    #[error("a coordinate is not a finite number")]
    NotFinite,
    /// The rods lock over: the Jacobian's singular values are too far apart.
    #[error("the rods lock over (singular value ratio {ratio:.3e})")]
    Singular {
        /// Smallest over largest singular value, rotations scaled by 0.3 m.
        ratio: f64,
    },
    /// No more rods than unknowns, and a rod still does not reach.
    #[error("the rods do not reach: rod {rod} is {stretch:.3e} m off")]
    DoesNotReach {
        /// Index of the rod that is furthest off.
        rod: usize,
        /// Its stretch, m.
        stretch: f64,
    },
    /// A rod would have to stretch by more than 5 % of its length.
    #[error("rod {rod} of {length} m would have to stretch {stretch:.3e} m")]
    OverStretched {
        /// Index of the rod.
        rod: usize,
        /// Its stretch, m.
        stretch: f64,
        /// Its length, m.
        length: f64,
    },
    /// The iteration did not settle.
    #[error("no convergence in {iterations} iterations (last step {step:.3e})")]
    NotConverged {
        /// Iterations done.
        iterations: usize,
        /// Largest coordinate change of the last step, m or rad.
        step: f64,
    },
    /// The pose jumped between two neighbouring steps of a sweep: the branch is lost.
    #[error("the assembly jumped by {change:.3e}")]
    BranchLost {
        /// Largest coordinate change, m or rad.
        change: f64,
    },
}

impl Unreachable {
    /// Whether the input is at fault and not the geometry's reach.
    #[must_use]
    pub const fn is_input_fault(&self) -> bool {
        matches!(
            self,
            Self::NoRods
                | Self::TooManyRods { .. }
                | Self::TooFewRods { .. }
                | Self::NoLength { .. }
                | Self::BadStiffness { .. }
                | Self::NotFinite
        )
    }
}

/// Checks the rods and returns the largest and the smallest stiffness (N/m).
#[inline]
pub(crate) fn check(rods: &[Rod], unknowns: usize) -> Result<(f64, f64), Unreachable> {
    if rods.is_empty() {
        return Err(Unreachable::NoRods);
    }
    if rods.len() > MAX_RODS {
        return Err(Unreachable::TooManyRods { rods: rods.len() });
    }
    let (mut stiffest, mut softest) = (0.0_f64, f64::INFINITY);
    for (rod, r) in rods.iter().enumerate() {
        if r.length.is_nan() {
            return Err(Unreachable::NotFinite);
        }
        if r.length <= 0.0 {
            return Err(Unreachable::NoLength {
                rod,
                length: r.length,
            });
        }
        if !(r.stiffness > 0.0 && r.stiffness.is_finite()) {
            return Err(Unreachable::BadStiffness {
                rod,
                stiffness: r.stiffness,
            });
        }
        stiffest = stiffest.max(r.stiffness);
        softest = softest.min(r.stiffness);
    }
    if rods.len() < unknowns {
        return Err(Unreachable::TooFewRods {
            rods: rods.len(),
            unknowns,
        });
    }
    Ok((stiffest, softest))
}

/// A rod linearised at a pose.
#[derive(Clone, Copy)]
pub(crate) struct Line {
    /// R b, m.
    pub(crate) arm: Vector3<f64>,
    /// From the sprung-mass end to the body end, unit.
    pub(crate) unit: Vector3<f64>,
    /// Distance between the ends, m.
    pub(crate) distance: f64,
    /// Distance less the rod's length, m.
    pub(crate) stretch: f64,
    /// ∂s/∂(x, y, z, φ, θ, ψ).
    pub(crate) row: [f64; 6],
}

impl Line {
    /// Holds a place until it is filled.
    pub(crate) const ZERO: Self = Self {
        arm: Vector3::new(0.0, 0.0, 0.0),
        unit: Vector3::new(0.0, 0.0, 0.0),
        distance: 0.0,
        stretch: 0.0,
        row: [0.0; 6],
    };

    #[inline]
    pub(crate) fn new(rod: &Rod, q: &[f64; 6], frame: &Frame) -> Self {
        let arm = frame.rotation * rod.body_point.coords;
        let a = &rod.frame_point;
        let d = Vector3::new(q[0] + arm.x - a.x, q[1] + arm.y - a.y, q[2] + arm.z - a.z);
        let distance = d.norm();
        let unit = d * (1.0 / distance);
        let moment = arm.cross(&unit);
        Self {
            arm,
            unit,
            distance,
            stretch: distance - rod.length,
            row: [
                unit.x,
                unit.y,
                unit.z,
                moment.x * frame.e_phi.x + moment.y * frame.e_phi.y,
                moment.dot(&frame.e_theta),
                moment.z,
            ],
        }
    }

    /// Typed failure when the two ends coincide or a number is not finite.
    #[inline]
    pub(crate) fn usable(&self, rod: usize) -> Result<(), Unreachable> {
        if self.distance > 1e-9 && self.distance < f64::MAX {
            Ok(())
        } else if self.distance.is_finite() {
            Err(Unreachable::NoLength {
                rod,
                length: self.distance,
            })
        } else {
            Err(Unreachable::NotFinite)
        }
    }
}

/// Sums over the rods from which the second derivatives of the stretch energy follow.
///
/// s_ij = (d_i·d_j − s_i s_j)/|d| + u·d_ij with d = p + R b − a. With r = R b and the axes e_φ,
/// e_θ, e_z an angle has d_i = e_i × r, and two angles d_ij = e_a × (e_b × r), a the outer of
/// the two rotations (ψ outside φ outside θ), so that
/// d_i·d_j = (e_i·e_j) r·r − (r·e_i)(r·e_j) and u·d_ij = (u·e_b)(r·e_a) − (u·r)(e_a·e_b).
/// Weighted with the rod forces f these are sums of f/|d| times 1, r, r rᵀ, and of f u rᵀ.
/// The −s_i s_j/|d| are left to the caller, who has rows to add: see [`Moments::add`].
#[derive(Clone, Copy)]
pub(crate) struct Moments {
    /// Σ f/|d|.
    sum: f64,
    /// Σ f/|d| r.
    first: Vector3<f64>,
    /// Σ f/|d| r rᵀ: xx, yy, zz, yz, zx, xy.
    second: [f64; 6],
    /// Σ f u rᵀ.
    mixed: Matrix3<f64>,
}

impl Moments {
    pub(crate) const ZERO: Self = Self {
        sum: 0.0,
        first: Vector3::new(0.0, 0.0, 0.0),
        second: [0.0; 6],
        mixed: Matrix3::new(0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0),
    };

    /// Adds a rod that carries `force` (f, tension positive). The answer is f/|d|: the second
    /// derivatives of the energy hold (k − f/|d|) s_i s_j beside [`Moments::matrix`], k the
    /// rod's stiffness.
    #[inline]
    pub(crate) fn add(&mut self, line: &Line, force: f64) -> f64 {
        let share = force / line.distance;
        let (r, u) = (&line.arm, &line.unit);
        let scaled = r * share;
        self.sum += share;
        self.first += scaled;
        let products = [
            scaled.x * r.x,
            scaled.y * r.y,
            scaled.z * r.z,
            scaled.y * r.z,
            scaled.z * r.x,
            scaled.x * r.y,
        ];
        for (s, p) in self.second.iter_mut().zip(products) {
            *s += p;
        }
        let pull = u * force;
        self.mixed += pull * r.transpose();
        share
    }

    /// Σ f (d_i·d_j/|d| + u·d_ij), full 6 × 6.
    #[inline]
    pub(crate) fn matrix(&self, frame: &Frame) -> [[f64; 6]; 6] {
        let z = Vector3::z();
        let (phi, theta) = (&frame.e_phi, &frame.e_theta);
        let [xx, yy, zz, yz, zx, xy] = self.second;
        let second = Matrix3::new(xx, xy, zx, xy, yy, yz, zx, yz, zz);
        let trace = xx + yy + zz - self.mixed.trace();
        let mut h = [[0.0; 6]; 6];
        for (i, row) in h.iter_mut().take(3).enumerate() {
            row[i] = self.sum;
        }
        for (i, axis) in [phi, theta, &z].into_iter().enumerate() {
            let column = axis.cross(&self.first);
            for j in 0..3 {
                h[3 + i][j] = column[j];
                h[j][3 + i] = column[j];
            }
        }
        // Axes inner, outer; all are square to each other but θ's and ψ's: e_θ·e_z = sin φ.
        let pairs = [
            (3, 3, phi, phi, 1.0),
            (4, 4, theta, theta, 1.0),
            (5, 5, &z, &z, 1.0),
            (4, 3, theta, phi, 0.0),
            (4, 5, theta, &z, theta.z),
            (3, 5, phi, &z, 0.0),
        ];
        for (i, j, inner, outer, cosine) in pairs {
            let value = cosine * trace + inner.dot(&((self.mixed - second) * outer));
            h[i][j] = value;
            h[j][i] = value;
        }
        h
    }
}
