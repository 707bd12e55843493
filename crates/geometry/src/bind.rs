//! Bind: the energy in rods that a motion stretches, its moment and its stiffness.
//!
//! E = ½ Σ k_i s_i². At the least-squares pose the derivative of E by every free
//! coordinate is zero; by a held coordinate it is the force or moment the rods put up
//! against holding it there. Differentiating that condition once more gives the exact
//! path the body follows and the tangent stiffness of the moment.

use nalgebra::{Matrix6, Vector6};

use crate::pose::{Coordinate, Frame, Pose, Prescribed};
use crate::rods::{Line, MAX_RODS, Rod, RodValues, Unreachable, check};
use crate::small::{Square, cholesky, solve};
use crate::velocity::{Velocity, twist};

/// Energy of the stretched rods with its first and second derivatives by the six
/// coordinates x, y, z (m), φ, θ, ψ (rad).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StretchEnergy {
    /// ½ Σ k s², J.
    pub energy: f64,
    /// ∂E/∂q: the force (N) or moment (N·m) that must act on the body along the
    /// coordinate, positive along it, to hold the body there.
    pub gradient: Vector6<f64>,
    /// ∂²E/∂q², N/m, N or N·m/rad, geometric part included.
    pub hessian: Matrix6<f64>,
}

/// The stretch energy of the rods at a pose.
///
/// # Errors
/// The input faults of [`crate::solve_position`].
pub fn stretch_energy(rods: &[Rod], pose: &Pose) -> Result<StretchEnergy, Unreachable> {
    check(rods, 0)?;
    let q = pose.coordinates();
    let frame = Frame::at(&q);
    let mut sum = StretchEnergy {
        energy: 0.0,
        gradient: Vector6::zeros(),
        hessian: Matrix6::zeros(),
    };
    for (index, rod) in rods.iter().enumerate() {
        let line = Line::new(rod, &q, &frame);
        line.usable(index)?;
        let force = rod.stiffness * line.stretch;
        sum.energy += 0.5 * force * line.stretch;
        let curvature = line.curvature(&frame);
        let row = Vector6::from(line.row);
        sum.gradient += row * force;
        sum.hessian += row * row.transpose() * rod.stiffness
            + Matrix6::from_fn(|i, j| force * curvature[i][j]);
    }
    Ok(sum)
}

impl StretchEnergy {
    /// Tangent stiffness against moving `moving` (held) with the other coordinates of `held`
    /// held and the rest free: H_mm − H_mu H_uu⁻¹ H_um. N/m or N·m/rad.
    ///
    /// # Errors
    /// [`Unreachable::Singular`] where the free coordinates are not determined.
    pub fn tangent_stiffness(
        &self,
        moving: Coordinate,
        held: &Prescribed,
    ) -> Result<f64, Unreachable> {
        let held = held.with(moving, 1.0);
        let mut only = Prescribed::NONE;
        for c in Coordinate::ALL {
            if held.get(c).is_some() {
                only = only.with(c, if c == moving { 1.0 } else { 0.0 });
            }
        }
        let rates = self.path_rates(&only)?;
        let row = self.hessian.row(moving.index());
        Ok(row.iter().zip(&rates).map(|(h, r)| h * r).sum())
    }

    /// Rates of all six coordinates along the path of least energy while the held ones move
    /// at the prescribed rates: q̇_u = −H_uu⁻¹ H_uh q̇_h.
    fn path_rates(&self, rates: &Prescribed) -> Result<[f64; 6], Unreachable> {
        match rates.unknowns() {
            0 => self.free_rates::<0>(rates),
            1 => self.free_rates::<1>(rates),
            2 => self.free_rates::<2>(rates),
            3 => self.free_rates::<3>(rates),
            4 => self.free_rates::<4>(rates),
            5 => self.free_rates::<5>(rates),
            _ => self.free_rates::<6>(rates),
        }
    }

    fn free_rates<const N: usize>(&self, prescribed: &Prescribed) -> Result<[f64; 6], Unreachable> {
        let free = prescribed.free::<N>();
        let mut rates = *prescribed.values();
        let driven = self.hessian * Vector6::from_column_slice(&rates);
        let matrix: Square<N> =
            std::array::from_fn(|i| std::array::from_fn(|j| self.hessian[(free[i], free[j])]));
        let right: [f64; N] = std::array::from_fn(|i| -driven[free[i]]);
        let l = cholesky(&matrix).ok_or(Unreachable::Singular { ratio: 0.0 })?;
        for (index, rate) in free.iter().zip(solve(&l, &right)) {
            rates[*index] = rate;
        }
        Ok(rates)
    }
}

/// The exact derivative of the position solution, bind included: the motion of the
/// least-squares pose while the held coordinates move at the prescribed rates, by
/// differentiating the optimality condition ∂E/∂q_u = 0.
///
/// `pose` must be a least-squares pose (an answer of [`crate::solve_position`]) for the
/// same held coordinates. Equals [`crate::solve_velocity`] where the stretch is zero.
///
/// # Errors
/// The input faults of [`crate::solve_position`], and [`Unreachable::Singular`] where the
/// second derivatives are not positive definite.
pub fn path_velocity(
    rods: &[Rod],
    pose: &Pose,
    rates: &Prescribed,
) -> Result<Velocity, Unreachable> {
    check(rods, rates.unknowns())?;
    if !rates.finite() {
        return Err(Unreachable::NotFinite);
    }
    let all = stretch_energy(rods, pose)?.path_rates(rates)?;
    let q = pose.coordinates();
    let frame = Frame::at(&q);
    let mut stretch_rate = [0.0; MAX_RODS];
    for (value, rod) in stretch_rate.iter_mut().zip(rods) {
        let row = Line::new(rod, &q, &frame).row;
        *value = row.iter().zip(&all).map(|(a, b)| a * b).sum();
    }
    Ok(Velocity {
        twist: twist(&frame, &all),
        rates: all,
        stretch_rate: RodValues::new(stretch_rate, rods.len()),
    })
}
