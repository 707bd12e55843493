//! Bind: the energy in rods that a motion stretches, its moment and its stiffness.
//!
//! E = ½ Σ k_i s_i². At the least-squares pose the derivative of E by every free
//! coordinate is zero; by a held coordinate it is the force or moment the rods put up
//! against holding it there. Differentiating that condition once more gives the exact
//! path the body follows and the tangent stiffness of the moment.

use nalgebra::{Matrix6, Vector6};

use crate::pose::{Coordinate, Frame, Pose, Prescribed};
use crate::rods::{Line, MAX_RODS, Moments, Rod, RodValues, Unreachable, check};
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
    let mut moments = Moments::ZERO;
    for (index, rod) in rods.iter().enumerate() {
        let line = Line::new(rod, &q, &frame);
        line.usable(index)?;
        let force = rod.stiffness * line.stretch;
        sum.energy += 0.5 * force * line.stretch;
        let row = Vector6::from(line.row);
        sum.gradient += row * force;
        let share = moments.add(&line, force);
        sum.hessian += row * row.transpose() * (rod.stiffness - share);
    }
    let moments = moments.matrix(&frame);
    sum.hessian += Matrix6::from_fn(|i, j| moments[i][j]);
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

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use nalgebra::{Point3, Vector3};

    use super::*;
    use crate::Pose;

    /// Rods in general position, a pose turned about all three axes, stretches of centimetres.
    fn rods() -> Vec<Rod> {
        (0..5)
            .map(|i| {
                let t = f64::from(i);
                let end = Point3::new(0.3 * (1.7 * t).cos(), 0.5 - 0.2 * t, 0.1 * (t - 1.5));
                Rod {
                    frame_point: end + Vector3::new(0.5, 0.1 * t - 0.2, 0.3 * (2.0 * t).sin()),
                    body_point: end,
                    length: 0.55 + 0.03 * t,
                    stiffness: 1.0 + 0.5 * t,
                }
            })
            .collect()
    }

    // Outside check: central differences, the energy's from the rods' own stretch.
    #[test]
    fn derivatives_agree_with_differences() {
        let rods = rods();
        let q = [0.05, -0.02, 0.03, 0.2, -0.3, 0.4];
        let at = |index: usize, by: f64| {
            let mut q = q;
            q[index] += by;
            Pose::from_coordinates(&q)
        };
        let energy = |pose: &Pose| -> f64 {
            rods.iter()
                .map(|r| 0.5 * r.stiffness * r.stretch(pose).powi(2))
                .sum()
        };
        let sum = stretch_energy(&rods, &at(0, 0.0)).unwrap();
        assert!(rods.iter().any(|r| r.stretch(&at(0, 0.0)).abs() > 0.02));
        let h = 1e-5;
        for i in 0..6 {
            let slope = (energy(&at(i, h)) - energy(&at(i, -h))) / (2.0 * h);
            assert!((sum.gradient[i] - slope).abs() < 1e-9);
            let up = stretch_energy(&rods, &at(i, h)).unwrap().gradient;
            let down = stretch_energy(&rods, &at(i, -h)).unwrap().gradient;
            for j in 0..6 {
                let bend = (up[j] - down[j]) / (2.0 * h);
                let got = sum.hessian[(i, j)];
                assert!((got - bend).abs() < 1e-8, "{i} {j}: {got} {bend}");
            }
        }
    }
}
