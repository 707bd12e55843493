//! The position problem: where the body stands with some coordinates held.
//!
//! The free coordinates make Σ w_i s_i² least, s_i = |p + R b_i − a_i| − L_i, w_i the
//! rod stiffnesses. Gauss-Newton with the analytic Jacobian; where the stretch does not
//! vanish (bind) the exact second derivatives are added, so that the iteration still
//! converges quadratically, and Levenberg-Marquardt damping guards every step. It stops
//! on step or gradient, never on the residual.

use crate::pose::{Coordinate, Frame, Pose, Prescribed};
use crate::rods::{
    Line, MAX_RODS, REACH, ROTATION_LENGTH, Rod, RodValues, SINGULAR_RATIO, STRETCH_SHARE,
    Unreachable, check,
};
use crate::small::{Square, cholesky, eigenvalues, inverse_trace, solve};

const MAX_ITERATIONS: usize = 80;
/// Step at which the iteration stops, m or rad.
const STEP: f64 = 1e-12;
/// Gradient (weights scaled to at most 1), m; tighter than the step so that poses next to
/// a lock, where the normal matrix is small, are still sharp.
const GRADIENT: f64 = 2e-15;
/// Longest step of one iteration, m or rad: keeps the iteration on its branch.
const LONGEST_STEP: f64 = 0.2;

/// Answer of [`solve_position`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Position {
    /// The pose.
    pub pose: Pose,
    /// Stretch of each rod, m, positive when longer than its length.
    pub stretch: RodValues,
    /// Largest |stretch|, m.
    pub bind_max: f64,
    /// Lower bound of the ratio of smallest to largest singular value ([`conditioning`]),
    /// within a factor of N of it for N unknowns: near zero next to a lock.
    pub conditioning_floor: f64,
    /// Iterations used.
    pub iterations: usize,
}

/// Finds the pose in which Σ w_i s_i² is least with the coordinates of `prescribed` held.
///
/// `start` selects the assembly: the iteration goes to the minimum nearest to it, so
/// give the neighbouring pose of a sweep ([`crate::follow`] does).
///
/// # Errors
/// A typed [`Unreachable`]: an input fault (no rods, zero length, not a number, fewer rods
/// than unknowns), or a pose out of reach: smallest over largest singular value of the
/// rod Jacobian below 1e-4 (rotations scaled by 0.3 m), a stretch above 1e-9 m with no more
/// rods than unknowns, or above 5 % of the rod's length.
pub fn solve_position(
    rods: &[Rod],
    prescribed: &Prescribed,
    start: &Pose,
) -> Result<Position, Unreachable> {
    let (stiffest, softest) = check(rods, prescribed.unknowns())?;
    let mut q = start.coordinates();
    for (index, value) in q.iter_mut().enumerate() {
        if prescribed.holds(index) {
            *value = prescribed.values()[index];
        }
    }
    if !q.iter().all(|v| v.is_finite()) {
        return Err(Unreachable::NotFinite);
    }
    let scale = 1.0 / stiffest;
    let contrast = softest / stiffest;
    match prescribed.unknowns() {
        0 => iterate::<0>(rods, prescribed, q, scale, contrast),
        1 => iterate::<1>(rods, prescribed, q, scale, contrast),
        2 => iterate::<2>(rods, prescribed, q, scale, contrast),
        3 => iterate::<3>(rods, prescribed, q, scale, contrast),
        4 => iterate::<4>(rods, prescribed, q, scale, contrast),
        5 => iterate::<5>(rods, prescribed, q, scale, contrast),
        _ => iterate::<6>(rods, prescribed, q, scale, contrast),
    }
}

/// Smallest over largest singular value of the rod Jacobian in the free coordinates, not
/// weighted, rotations scaled by 0.3 m: 0 where the rods lock over, at most 1.
///
/// # Errors
/// The input faults of [`solve_position`].
pub fn conditioning(
    rods: &[Rod],
    prescribed: &Prescribed,
    pose: &Pose,
) -> Result<f64, Unreachable> {
    check(rods, prescribed.unknowns())?;
    let q = pose.coordinates();
    match prescribed.unknowns() {
        0 => Ok(1.0),
        1 => ratio::<1>(rods, &prescribed.free(), &q),
        2 => ratio::<2>(rods, &prescribed.free(), &q),
        3 => ratio::<3>(rods, &prescribed.free(), &q),
        4 => ratio::<4>(rods, &prescribed.free(), &q),
        5 => ratio::<5>(rods, &prescribed.free(), &q),
        _ => ratio::<6>(rods, &prescribed.free(), &q),
    }
}

/// Half the sum of squares with its gradient and Gauss-Newton matrix (lower triangle).
struct System<const N: usize> {
    cost: f64,
    gradient: [f64; N],
    normal: Square<N>,
    stretch: [f64; MAX_RODS],
}

impl<const N: usize> System<N> {
    #[inline]
    #[allow(
        clippy::needless_range_loop,
        reason = "triangular index arithmetic reads better than zipped iterators"
    )]
    fn at(
        rods: &[Rod],
        free: &[usize; N],
        q: &[f64; 6],
        frame: &Frame,
        scale: f64,
    ) -> Result<Self, Unreachable> {
        let mut system = Self {
            cost: 0.0,
            gradient: [0.0; N],
            normal: [[0.0; N]; N],
            stretch: [0.0; MAX_RODS],
        };
        for (index, rod) in rods.iter().enumerate() {
            let line = Line::new(rod, q, frame);
            line.usable(index)?;
            let weight = rod.stiffness * scale;
            let force = weight * line.stretch;
            system.cost += 0.5 * force * line.stretch;
            system.stretch[index] = line.stretch;
            let row: [f64; N] = std::array::from_fn(|i| line.row[free[i]]);
            for i in 0..N {
                system.gradient[i] += force * row[i];
                let weighted = weight * row[i];
                for j in 0..=i {
                    system.normal[i][j] += weighted * row[j];
                }
            }
        }
        if system.cost.is_finite() {
            Ok(system)
        } else {
            Err(Unreachable::NotFinite)
        }
    }

    /// The exact second-derivative matrix: the Gauss-Newton matrix plus Σ w s ∇²s.
    fn with_curvature(
        &self,
        rods: &[Rod],
        free: &[usize; N],
        q: &[f64; 6],
        frame: &Frame,
        scale: f64,
    ) -> Square<N> {
        let mut exact = self.normal;
        for rod in rods {
            let line = Line::new(rod, q, frame);
            let force = rod.stiffness * scale * line.stretch;
            let curvature = line.curvature(frame);
            for i in 0..N {
                for j in 0..=i {
                    exact[i][j] += force * curvature[free[i]][free[j]];
                }
            }
        }
        exact
    }
}

fn largest<const N: usize>(v: &[f64; N]) -> f64 {
    v.iter().fold(0.0, |m, x| m.max(x.abs()))
}

fn damped<const N: usize>(matrix: &Square<N>, normal: &Square<N>, damping: f64) -> Square<N> {
    let mut a = *matrix;
    if damping > 0.0 {
        for (i, row) in a.iter_mut().enumerate() {
            row[i] += damping * (normal[i][i] + 1e-12);
        }
    }
    a
}

fn iterate<const N: usize>(
    rods: &[Rod],
    prescribed: &Prescribed,
    mut q: [f64; 6],
    scale: f64,
    contrast: f64,
) -> Result<Position, Unreachable> {
    let free = prescribed.free::<N>();
    let mut frame = Frame::at(&q);
    let mut system = System::at(rods, &free, &q, &frame, scale)?;
    let mut damping = 0.0_f64;
    let mut curved = false;
    let mut last_step = f64::INFINITY;
    let mut iterations = 0;
    while largest(&system.gradient) > GRADIENT {
        if iterations == MAX_ITERATIONS {
            return Err(Unreachable::NotConverged {
                iterations,
                step: last_step,
            });
        }
        iterations += 1;
        let matrix = if curved {
            system.with_curvature(rods, &free, &q, &frame, scale)
        } else {
            system.normal
        };
        let Some(l) = cholesky(&damped(&matrix, &system.normal, damping)) else {
            // Curvature can make the matrix indefinite away from the minimum.
            damping = if damping == 0.0 { 1e-6 } else { damping * 10.0 };
            continue;
        };
        let mut step = solve(&l, &system.gradient);
        let mut size = largest(&step);
        if size > LONGEST_STEP {
            let shrink = LONGEST_STEP / size;
            step.iter_mut().for_each(|s| *s *= shrink);
            size = LONGEST_STEP;
        }
        let mut trial = q;
        for (index, s) in free.iter().zip(&step) {
            trial[*index] -= s;
        }
        let trial_frame = Frame::at(&trial);
        let next = System::at(rods, &free, &trial, &trial_frame, scale)?;
        // Below 1e-7 the change of the cost drowns in rounding: the step decides.
        if next.cost > system.cost && size > 1e-7 {
            damping = if damping == 0.0 { 1e-6 } else { damping * 10.0 };
            curved |= iterations > 3;
            continue;
        }
        // A residual that does not vanish slows plain Gauss-Newton to linear convergence.
        curved |= next.cost > 0.05 * system.cost && next.cost > 1e-26;
        damping = if damping > 1e-9 { damping * 0.1 } else { 0.0 };
        let stalled = size < 1e-8 && size >= 0.5 * last_step && damping == 0.0;
        (q, frame, system) = (trial, trial_frame, next);
        last_step = size;
        if size <= STEP || stalled {
            break;
        }
    }
    let stretch = RodValues::new(system.stretch, rods.len());
    let conditioning_floor = reach::<N>(rods, &free, &q, &stretch, &system.normal, contrast)?;
    Ok(Position {
        pose: Pose::from_coordinates(&q),
        stretch,
        bind_max: stretch.largest().1.abs(),
        conditioning_floor,
        iterations,
    })
}

/// Scale of each free coordinate: 1 for a length, 1/0.3 m for an angle.
fn scales<const N: usize>(free: &[usize; N]) -> [f64; N] {
    std::array::from_fn(|i| {
        if Coordinate::ALL[free[i]].is_angle() {
            1.0 / ROTATION_LENGTH
        } else {
            1.0
        }
    })
}

/// The reach conditions; the answer is a floor of the singular value ratio.
fn reach<const N: usize>(
    rods: &[Rod],
    free: &[usize; N],
    q: &[f64; 6],
    stretch: &RodValues,
    normal: &Square<N>,
    contrast: f64,
) -> Result<f64, Unreachable> {
    let (rod, worst) = stretch.largest();
    if rods.len() <= N && worst.abs() > REACH {
        return Err(Unreachable::DoesNotReach {
            rod,
            stretch: worst,
        });
    }
    for (rod, s) in stretch.iter().enumerate() {
        let length = rods[rod].length;
        if s.abs() > STRETCH_SHARE * length {
            return Err(Unreachable::OverStretched {
                rod,
                stretch: *s,
                length,
            });
        }
    }
    if N == 0 {
        return Ok(1.0);
    }
    // A cheap bound first: λ_min ≥ 1/tr(A⁻¹) and λ_max ≤ tr(A), weights between
    // `contrast` and 1. Only where it cannot decide are the singular values computed.
    if let Some(l) = cholesky(normal) {
        let scale = scales(free);
        let trace: f64 = (0..N).map(|i| normal[i][i] * scale[i] * scale[i]).sum();
        let floor = (contrast / (inverse_trace(&l, &scale) * trace)).sqrt();
        if floor > SINGULAR_RATIO {
            return Ok(floor);
        }
    }
    let ratio = ratio::<N>(rods, free, q)?;
    if ratio < SINGULAR_RATIO {
        Err(Unreachable::Singular { ratio })
    } else {
        Ok(ratio)
    }
}

fn ratio<const N: usize>(
    rods: &[Rod],
    free: &[usize; N],
    q: &[f64; 6],
) -> Result<f64, Unreachable> {
    let frame = Frame::at(q);
    let scale = scales(free);
    let mut a = [[0.0; N]; N];
    for (index, rod) in rods.iter().enumerate() {
        let line = Line::new(rod, q, &frame);
        line.usable(index)?;
        for i in 0..N {
            for j in 0..N {
                a[i][j] += line.row[free[i]] * scale[i] * line.row[free[j]] * scale[j];
            }
        }
    }
    let values = eigenvalues(a);
    let low = values.iter().copied().fold(f64::INFINITY, f64::min);
    let high = values.iter().copied().fold(0.0, f64::max);
    if high.is_finite() && high > 0.0 {
        Ok((low.max(0.0) / high).sqrt())
    } else {
        Err(Unreachable::NotFinite)
    }
}
