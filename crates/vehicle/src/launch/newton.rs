//! Dense LU of small fixed size, and the two iterations: Newton's for a balance near a known state, and
//! descent of the energy for the first state at rest.
#![allow(
    clippy::needless_range_loop,
    reason = "matrix index arithmetic reads better than zipped iterators"
)]

use super::car::{LaunchModel, Manoeuvre};
use super::forces::{Coordinates, N, System};

/// LU factors with row exchanges of a K × K matrix.
pub(crate) struct Lu<const K: usize> {
    lu: [[f64; K]; K],
    order: [usize; K],
    /// +1 or −1: sign of the determinant.
    pub(crate) sign: f64,
}

impl<const K: usize> Lu<K> {
    /// None when a pivot vanishes against the largest entry, or an entry is not a number.
    #[inline]
    pub(crate) fn new(mut a: [[f64; K]; K]) -> Option<Self> {
        let mut order: [usize; K] = std::array::from_fn(|i| i);
        let mut sign = 1.0;
        for column in 0..K {
            let mut pivot = column;
            for row in (column + 1)..K {
                if a[row][column].abs() > a[pivot][column].abs() {
                    pivot = row;
                }
            }
            let value = a[pivot][column];
            // Also false for NaN.
            if !(value.abs() > 1e-30 && value.is_finite()) {
                return None;
            }
            if pivot != column {
                a.swap(pivot, column);
                order.swap(pivot, column);
                sign = -sign;
            }
            if value < 0.0 {
                sign = -sign;
            }
            let upper = a[column];
            for row in a.iter_mut().skip(column + 1) {
                let factor = row[column] / value;
                row[column] = factor;
                if factor != 0.0 {
                    for (entry, above) in row.iter_mut().zip(&upper).skip(column + 1) {
                        *entry -= factor * above;
                    }
                }
            }
        }
        Some(Self { lu: a, order, sign })
    }

    #[inline]
    pub(crate) fn solve(&self, b: &[f64; K]) -> [f64; K] {
        let mut x: [f64; K] = std::array::from_fn(|i| b[self.order[i]]);
        for i in 0..K {
            let mut sum = x[i];
            for j in 0..i {
                sum -= self.lu[i][j] * x[j];
            }
            x[i] = sum;
        }
        for i in (0..K).rev() {
            let mut sum = x[i];
            for j in (i + 1)..K {
                sum -= self.lu[i][j] * x[j];
            }
            x[i] = sum / self.lu[i][i];
        }
        x
    }
}

/// Step (m or rad) at which the iteration stops: being quadratic, the error left is its square.
const STEP: f64 = 1e-10;
/// Longest step of one iteration, m or rad.
const LONGEST_STEP: f64 = 0.05;
const MAX_ITERATIONS: usize = 40;

pub(crate) fn largest(v: &[f64]) -> f64 {
    v.iter().fold(
        0.0,
        |m, x| if x.is_nan() { f64::NAN } else { m.max(x.abs()) },
    )
}

fn norm(v: &[f64]) -> f64 {
    v.iter().map(|x| x * x).sum::<f64>().sqrt()
}

/// An answer of Newton's iteration.
pub(crate) struct Found {
    pub(crate) q: Coordinates,
    /// Sign of the determinant of the stiffness at the answer: positive on the path from rest.
    pub(crate) sign: f64,
    /// −K⁻¹ ∂g/∂a: how the state goes on with the acceleration, per m/s².
    pub(crate) rate: Coordinates,
    /// What touches and pushes there.
    pub(crate) contacts: u16,
}

impl LaunchModel {
    /// Newton's iteration from `q`, damped by the natural monotonicity test.
    pub(crate) fn newton(
        &self,
        mut q: Coordinates,
        a: f64,
        manoeuvre: Manoeuvre,
        lengths: &[f64],
    ) -> Option<Found> {
        let mut system = self.system(&q, a, manoeuvre, lengths);
        for _ in 0..MAX_ITERATIONS {
            let lu = Lu::new(system.stiffness)?;
            let step = lu.solve(&system.residual);
            let size = largest(&step);
            if !size.is_finite() {
                return None;
            }
            if size <= STEP {
                for (value, s) in q.iter_mut().zip(&step) {
                    *value -= s;
                }
                let rate = lu.solve(&system.by_acceleration).map(|v| -v);
                return Some(Found {
                    q,
                    sign: lu.sign,
                    rate,
                    contacts: system.acting.contacts(),
                });
            }
            let mut share = (LONGEST_STEP / size).min(1.0);
            loop {
                let trial: Coordinates = std::array::from_fn(|i| q[i] - share * step[i]);
                let next = self.system(&trial, a, manoeuvre, lengths);
                // Near the answer rounding decides: take the step.
                if size < 1e-7
                    || norm(&lu.solve(&next.residual)) <= (1.0 - 0.25 * share) * norm(&step)
                {
                    (q, system) = (trial, next);
                    break;
                }
                share *= 0.5;
                if share < 1e-4 {
                    return None;
                }
            }
        }
        None
    }

    /// The state of least energy near `q` at rest, for starts from which Newton's iteration does not get
    /// there: steps along −(K + μ D)⁻¹ g that always lower the energy (Levenberg, Marquardt). Err: where it stuck.
    pub(crate) fn descend(
        &self,
        mut q: Coordinates,
        lengths: &[f64],
    ) -> Result<Coordinates, (Coordinates, f64)> {
        let scale: Coordinates = std::array::from_fn(|i| {
            let per_length = self.car.tyre_rate;
            if matches!(i, 0 | 3 | 4 | 5) {
                per_length
            } else {
                per_length * 0.3 * 0.3
            }
        });
        let at = |q: &Coordinates| -> System { self.system(q, 0.0, Manoeuvre::Drive, lengths) };
        let mut system = at(&q);
        let mut damping = 1.0;
        for _ in 0..400 {
            let mut k = system.stiffness;
            for (i, row) in k.iter_mut().enumerate() {
                row[i] += damping * scale[i];
            }
            let step = Lu::new(k).map(|lu| lu.solve(&system.residual));
            let Some(step) = step else {
                damping *= 10.0;
                continue;
            };
            let size = largest(&step);
            if size.is_nan() {
                break;
            }
            let share = (LONGEST_STEP / size).min(1.0);
            let trial: Coordinates = std::array::from_fn(|i| q[i] - share * step[i]);
            let next = at(&trial);
            if next.acting.energy <= system.acting.energy {
                (q, system) = (trial, next);
                damping = if damping > 1e-9 { damping * 0.3 } else { 0.0 };
                if size < 1e-6 {
                    return Ok(q);
                }
            } else if size < 1e-9 {
                return Ok(q);
            } else {
                damping = (damping * 4.0).max(1e-6);
                if damping > 1e12 {
                    break;
                }
            }
        }
        Err((q, largest(&system.residual)))
    }

    /// The state of the car as drawn.
    pub(crate) fn drawn_state(&self) -> Coordinates {
        let mut q = [0.0; N];
        q[5] = self.car.axle_height;
        q
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;
    use nalgebra::{SMatrix, SVector};

    // Outside check: nalgebra's LU and determinant.
    #[test]
    fn lu_agrees_with_nalgebra() {
        let a: [[f64; 9]; 9] = std::array::from_fn(|i| {
            std::array::from_fn(|j| {
                ((i * 7 + j * 3) % 11) as f64 - 4.0 + f64::from(u8::from(i == j))
            })
        });
        let m = SMatrix::<f64, 9, 9>::from_fn(|i, j| a[i][j]);
        let b: [f64; 9] = std::array::from_fn(|i| i as f64 - 3.0);
        let lu = Lu::new(a).unwrap();
        let x = lu.solve(&b);
        let want = m.lu().solve(&SVector::<f64, 9>::from(b)).unwrap();
        for i in 0..9 {
            assert!((x[i] - want[i]).abs() < 1e-9 * want.norm());
        }
        assert_eq!(lu.sign, m.determinant().signum());
        assert!(Lu::new([[0.0, 1.0], [0.0, 2.0]]).is_none());
        assert!(Lu::new([[f64::NAN]]).is_none());
    }
}
