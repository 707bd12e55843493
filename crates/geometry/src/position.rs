//! The position problem: where the body stands with some coordinates held.
//!
//! The free coordinates make Σ w_i s_i² least, s_i = |p + R b_i − a_i| − L_i, w_i the
//! rod stiffnesses. Gauss-Newton with the analytic Jacobian; where the stretch does not
//! vanish (bind) the exact second derivatives are added, so that the iteration still
//! converges quadratically, and Levenberg-Marquardt damping guards every step. It stops
//! on step or gradient, never on the residual.

use crate::pose::{Coordinate, Frame, Pose, Prescribed};
use crate::rods::{
    Line, MAX_RODS, Moments, REACH, ROTATION_LENGTH, Rod, RodValues, SINGULAR_RATIO, STRETCH_SHARE,
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
/// After a step shorter than this (m or rad) the next one uses its factor again: the matrix has
/// changed by about the step, the next step is about its square, so what the old factor leaves
/// is its cube, below rounding.
const KEEP_FACTOR: f64 = 3e-6;

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

/// The rods linearised at one pose, with half the sum of squares and its gradient.
struct System<const N: usize> {
    frame: Frame,
    lines: [Line; MAX_RODS],
    cost: f64,
    gradient: [f64; N],
}

impl<const N: usize> System<N> {
    fn new() -> Self {
        Self {
            frame: Frame::new(0.0, 0.0, 0.0),
            lines: [Line::ZERO; MAX_RODS],
            cost: 0.0,
            gradient: [0.0; N],
        }
    }

    /// Fills the system at a pose (in place: it is too large to be moved about).
    #[inline]
    fn fill(
        &mut self,
        rods: &[Rod],
        free: &[usize; N],
        q: &[f64; 6],
        scale: f64,
    ) -> Result<(), Unreachable> {
        self.frame = Frame::at(q);
        let mut cost = 0.0;
        let mut gradient = [0.0; N];
        for (index, (rod, place)) in rods.iter().zip(&mut self.lines).enumerate() {
            let line = Line::new(rod, q, &self.frame);
            line.usable(index)?;
            let force = rod.stiffness * scale * line.stretch;
            cost += 0.5 * force * line.stretch;
            *place = line;
            for (sum, i) in gradient.iter_mut().zip(free) {
                *sum += force * place.row[*i];
            }
        }
        self.cost = cost;
        self.gradient = gradient;
        if cost.is_finite() {
            Ok(())
        } else {
            Err(Unreachable::NotFinite)
        }
    }

    /// The Gauss-Newton matrix Σ w ∇s ∇sᵀ (lower triangle).
    #[inline]
    fn normal(&self, rods: &[Rod], free: &[usize; N], scale: f64) -> Square<N> {
        let mut sum = [[0.0; N]; N];
        for (rod, line) in rods.iter().zip(&self.lines) {
            add_square(&mut sum, line, free, rod.stiffness * scale);
        }
        sum
    }

    /// The exact second derivatives Σ w (∇s ∇sᵀ + s ∇²s) (lower triangle).
    #[inline]
    #[allow(
        clippy::needless_range_loop,
        reason = "triangular index arithmetic reads better than zipped iterators"
    )]
    fn exact(&self, rods: &[Rod], free: &[usize; N], scale: f64) -> Square<N> {
        let mut sum = [[0.0; N]; N];
        let mut moments = Moments::ZERO;
        for (rod, line) in rods.iter().zip(&self.lines) {
            let weight = rod.stiffness * scale;
            let share = moments.add(line, weight * line.stretch);
            add_square(&mut sum, line, free, weight - share);
        }
        let moments = moments.matrix(&self.frame);
        for i in 0..N {
            for j in 0..=i {
                sum[i][j] += moments[free[i]][free[j]];
            }
        }
        sum
    }

    fn stretch(&self, rods: usize) -> RodValues {
        RodValues::new(self.lines.map(|l| l.stretch), rods)
    }
}

/// Adds weight ∇s ∇sᵀ to the lower triangle.
#[inline]
fn add_square<const N: usize>(sum: &mut Square<N>, line: &Line, free: &[usize; N], weight: f64) {
    let row: [f64; N] = std::array::from_fn(|i| line.row[free[i]]);
    for i in 0..N {
        let weighted = weight * row[i];
        for j in 0..=i {
            sum[i][j] += weighted * row[j];
        }
    }
}

fn largest<const N: usize>(v: &[f64; N]) -> f64 {
    v.iter().fold(0.0, |m, x| m.max(x.abs()))
}

fn iterate<const N: usize>(
    rods: &[Rod],
    prescribed: &Prescribed,
    mut q: [f64; 6],
    scale: f64,
    contrast: f64,
) -> Result<Position, Unreachable> {
    let free = prescribed.free::<N>();
    let mut systems = [System::new(), System::new()];
    let [mut system, mut next] = systems.each_mut();
    system.fill(rods, &free, &q, scale)?;
    let mut damping = 0.0_f64;
    let mut curved = false;
    let mut last_step = f64::INFINITY;
    let mut iterations = 0;
    // The factor of the step before, if it was of the matrix that is wanted now.
    let mut kept: Option<Square<N>> = None;
    while largest(&system.gradient) > GRADIENT {
        if iterations == MAX_ITERATIONS {
            return Err(Unreachable::NotConverged {
                iterations,
                step: last_step,
            });
        }
        iterations += 1;
        let reused = kept.take().filter(|_| last_step < KEEP_FACTOR);
        let factor = match reused {
            Some(l) => l,
            None => {
                let mut matrix = if curved {
                    system.exact(rods, &free, scale)
                } else {
                    system.normal(rods, &free, scale)
                };
                if damping > 0.0 {
                    let normal = system.normal(rods, &free, scale);
                    for i in 0..N {
                        matrix[i][i] += damping * (normal[i][i] + 1e-12);
                    }
                }
                let Some(l) = cholesky(&matrix) else {
                    // Curvature can make the matrix indefinite away from the minimum.
                    damping = if damping == 0.0 { 1e-6 } else { damping * 10.0 };
                    continue;
                };
                l
            }
        };
        let mut step = solve(&factor, &system.gradient);
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
        next.fill(rods, &free, &trial, scale)?;
        // Below 1e-7 the change of the cost drowns in rounding: the step decides.
        if next.cost > system.cost && size > 1e-7 {
            damping = if damping == 0.0 { 1e-6 } else { damping * 10.0 };
            curved |= iterations > 3;
            continue;
        }
        if damping == 0.0 && reused.is_none() {
            kept = Some(factor);
        }
        // A residual that does not vanish slows plain Gauss-Newton to linear convergence.
        if !curved && next.cost > 0.05 * system.cost && next.cost > 1e-26 {
            curved = true;
            kept = None;
        }
        damping = if damping > 1e-9 { damping * 0.1 } else { 0.0 };
        let stalled = size < 1e-8 && size >= 0.5 * last_step && damping == 0.0;
        q = trial;
        std::mem::swap(&mut system, &mut next);
        last_step = size;
        // A step with an older factor does not tell how far the minimum is.
        if reused.is_none() && (size <= STEP || stalled) {
            break;
        }
    }
    let stretch = system.stretch(rods.len());
    let normal = system.normal(rods, &free, scale);
    let conditioning_floor = reach::<N>(rods, &free, &q, &stretch, &normal, contrast)?;
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
        let squares = scales(free).map(|s| s * s);
        let trace: f64 = (0..N).map(|i| normal[i][i] * squares[i]).sum();
        let floor = (contrast / (inverse_trace(&l, &squares) * trace)).sqrt();
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
