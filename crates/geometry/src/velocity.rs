//! The velocity problem: how the body moves while some coordinates move at given rates.
//!
//! The rods are linearised at the pose, ṡ_i = J_i·q̇, and the free rates make
//! Σ w_i ṡ_i² least. With zero stretch this is the exact derivative of the position
//! problem; with bind it differs by terms of order stretch/length
//! ([`crate::path_velocity`] is exact there).

use nalgebra::Vector3;

use crate::pose::{Frame, Pose, Prescribed, Twist};
use crate::rods::{Line, MAX_RODS, Rod, RodValues, SINGULAR_RATIO, Unreachable, check};
use crate::small::{cholesky, solve};

/// Answer of [`solve_velocity`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Velocity {
    /// Twist of the body, sprung-mass axes, v at the body origin.
    pub twist: Twist,
    /// Rates of the six coordinates x, y, z, φ, θ, ψ.
    pub rates: [f64; 6],
    /// Rate of stretch of each rod.
    pub stretch_rate: RodValues,
}

/// Solves the linearised rods at `pose` for the rates that `rates` does not prescribe.
///
/// # Errors
/// The input faults of [`crate::solve_position`], and [`Unreachable::Singular`] where the
/// rods do not determine the motion.
pub fn solve_velocity(
    rods: &[Rod],
    pose: &Pose,
    rates: &Prescribed,
) -> Result<Velocity, Unreachable> {
    let (stiffest, _) = check(rods, rates.unknowns())?;
    if !rates.finite() {
        return Err(Unreachable::NotFinite);
    }
    match rates.unknowns() {
        0 => linear::<0>(rods, pose, rates, stiffest),
        1 => linear::<1>(rods, pose, rates, stiffest),
        2 => linear::<2>(rods, pose, rates, stiffest),
        3 => linear::<3>(rods, pose, rates, stiffest),
        4 => linear::<4>(rods, pose, rates, stiffest),
        5 => linear::<5>(rods, pose, rates, stiffest),
        _ => linear::<6>(rods, pose, rates, stiffest),
    }
}

fn linear<const N: usize>(
    rods: &[Rod],
    pose: &Pose,
    prescribed: &Prescribed,
    stiffest: f64,
) -> Result<Velocity, Unreachable> {
    let q = pose.coordinates();
    let frame = Frame::at(&q);
    let free = prescribed.free::<N>();
    let mut rates = *prescribed.values();
    let scale = 1.0 / stiffest;
    let mut rows = [[0.0; 6]; MAX_RODS];
    let mut right = [0.0; N];
    let mut normal = [[0.0; N]; N];
    for (index, rod) in rods.iter().enumerate() {
        let line = Line::new(rod, &q, &frame);
        line.usable(index)?;
        rows[index] = line.row;
        let weight = rod.stiffness * scale;
        // The free entries of `rates` are still zero.
        let driven = weight * dot(&line.row, &rates);
        let row: [f64; N] = std::array::from_fn(|i| line.row[free[i]]);
        for i in 0..N {
            right[i] -= driven * row[i];
            let weighted = weight * row[i];
            for j in 0..=i {
                normal[i][j] += weighted * row[j];
            }
        }
    }
    let Some(l) = cholesky(&normal) else {
        let ratio = crate::conditioning(rods, prescribed, pose)?;
        return Err(Unreachable::Singular {
            ratio: ratio.min(SINGULAR_RATIO),
        });
    };
    for (index, rate) in free.iter().zip(solve(&l, &right)) {
        rates[*index] = rate;
    }
    let mut stretch_rate = [0.0; MAX_RODS];
    for (value, row) in stretch_rate.iter_mut().zip(&rows) {
        *value = dot(row, &rates);
    }
    Ok(Velocity {
        twist: twist(&frame, &rates),
        rates,
        stretch_rate: RodValues::new(stretch_rate, rods.len()),
    })
}

#[inline]
fn dot(row: &[f64; 6], rates: &[f64; 6]) -> f64 {
    let mut sum = 0.0;
    for (a, b) in row.iter().zip(rates) {
        sum += a * b;
    }
    sum
}

/// Twist of the coordinate rates: v = ṗ, ω = φ̇ e_φ + θ̇ e_θ + ψ̇ e_z.
#[inline]
pub(crate) fn twist(frame: &Frame, rates: &[f64; 6]) -> Twist {
    Twist {
        v: Vector3::new(rates[0], rates[1], rates[2]),
        w: frame.spin(rates[3], rates[4], rates[5]),
    }
}
