//! Fixed-size symmetric algebra for the solvers, up to 6 × 6, no allocation.
#![allow(
    clippy::needless_range_loop,
    reason = "triangular index arithmetic reads better than zipped iterators"
)]

pub(crate) type Square<const N: usize> = [[f64; N]; N];

/// Factor of A = L·D·Lᵀ, read from the lower triangle of `a`: L unit lower triangular (below
/// the diagonal), the diagonal of D inverted on the diagonal. The square-root-free form of
/// Cholesky's: no root stands in the chain of pivots. None when a pivot falls below 1e-14 of
/// its diagonal: not positive definite to working precision.
#[inline]
pub(crate) fn cholesky<const N: usize>(a: &Square<N>) -> Option<Square<N>> {
    let mut l = [[0.0; N]; N];
    for i in 0..N {
        let mut pivot = a[i][i];
        // L·D of this row until it is divided by D.
        for j in 0..i {
            let mut sum = a[i][j];
            for k in 0..j {
                sum -= l[i][k] * l[j][k];
            }
            l[i][j] = sum;
        }
        for j in 0..i {
            let product = l[i][j];
            l[i][j] = product * l[j][j];
            pivot -= product * l[i][j];
        }
        // Also false for NaN.
        if !(pivot > 1e-14 * a[i][i] && pivot > 0.0) {
            return None;
        }
        l[i][i] = 1.0 / pivot;
    }
    Some(l)
}

/// Solves A x = b with the factor of [`cholesky`].
#[inline]
pub(crate) fn solve<const N: usize>(l: &Square<N>, b: &[f64; N]) -> [f64; N] {
    let mut x = *b;
    for i in 0..N {
        for k in 0..i {
            x[i] -= l[i][k] * x[k];
        }
    }
    for i in 0..N {
        x[i] *= l[i][i];
    }
    for i in (0..N).rev() {
        for k in (i + 1)..N {
            x[i] -= l[k][i] * x[k];
        }
    }
    x
}

/// Trace of S⁻¹·A⁻¹·S⁻¹ with S² the diagonal `squares`, from the factor of [`cholesky`]: an
/// upper bound of 1/λ_min of the scaled matrix S·A·S.
#[inline]
pub(crate) fn inverse_trace<const N: usize>(l: &Square<N>, squares: &[f64; N]) -> f64 {
    let mut trace = 0.0;
    for column in 0..N {
        // One column of L⁻¹; its squares over D, each over the scale of that column.
        let mut x = [0.0; N];
        x[column] = 1.0;
        let mut sum_of_squares = l[column][column];
        for i in (column + 1)..N {
            let mut sum = -l[i][column];
            for k in (column + 1)..i {
                sum -= l[i][k] * x[k];
            }
            x[i] = sum;
            sum_of_squares += x[i] * x[i] * l[i][i];
        }
        trace += sum_of_squares / squares[column];
    }
    trace
}

/// Eigenvalues of a symmetric matrix (both triangles filled) by cyclic Jacobi rotations, unsorted.
pub(crate) fn eigenvalues<const N: usize>(mut a: Square<N>) -> [f64; N] {
    for _ in 0..30 {
        let mut off = 0.0;
        let mut diagonal = 0.0;
        for i in 0..N {
            diagonal += a[i][i] * a[i][i];
            for j in 0..i {
                off += a[i][j] * a[i][j];
            }
        }
        if off <= 1e-40 * diagonal {
            break;
        }
        for p in 0..N {
            for q in (p + 1)..N {
                if a[p][q] == 0.0 {
                    continue;
                }
                let tau = (a[q][q] - a[p][p]) / (2.0 * a[p][q]);
                let t = tau.signum() / (tau.abs() + (1.0 + tau * tau).sqrt());
                let c = 1.0 / (1.0 + t * t).sqrt();
                let s = t * c;
                for k in 0..N {
                    let (kp, kq) = (a[k][p], a[k][q]);
                    a[k][p] = c * kp - s * kq;
                    a[k][q] = s * kp + c * kq;
                }
                for k in 0..N {
                    let (pk, qk) = (a[p][k], a[q][k]);
                    a[p][k] = c * pk - s * qk;
                    a[q][k] = s * pk + c * qk;
                }
            }
        }
    }
    let mut values = [0.0; N];
    for i in 0..N {
        values[i] = a[i][i];
    }
    values
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    // Outside check: nalgebra's dense Cholesky and symmetric eigensolver.
    #[test]
    fn agrees_with_nalgebra() {
        let a = [
            [4.0, 1.0, 0.5, -0.3],
            [1.0, 3.0, 0.2, 0.7],
            [0.5, 0.2, 2.0, 0.1],
            [-0.3, 0.7, 0.1, 1.0],
        ];
        let b = [1.0, -2.0, 0.3, 4.0];
        let m = nalgebra::Matrix4::from_fn(|i, j| a[i][j]);
        let l = cholesky(&a).unwrap();
        let x = solve(&l, &b);
        let want = m
            .cholesky()
            .unwrap()
            .solve(&nalgebra::Vector4::from_row_slice(&b));
        for i in 0..4 {
            assert!((x[i] - want[i]).abs() < 1e-14);
        }
        let scale = [1.0, 2.0, 1.0, 0.5];
        let scaled = nalgebra::Matrix4::from_fn(|i, j| scale[i] * a[i][j] * scale[j]);
        let trace = scaled.try_inverse().unwrap().trace();
        let squares = scale.map(|s| s * s);
        assert!((inverse_trace(&l, &squares) - trace).abs() < 1e-12);
        let mut got = eigenvalues(a);
        got.sort_by(f64::total_cmp);
        let mut want: Vec<f64> = m.symmetric_eigenvalues().iter().copied().collect();
        want.sort_by(f64::total_cmp);
        for (g, w) in got.iter().zip(&want) {
            assert!((g - w).abs() < 1e-13);
        }
    }

    #[test]
    fn refuses_what_is_not_positive_definite() {
        assert!(cholesky(&[[1.0, 1.0], [1.0, 1.0]]).is_none());
        assert!(cholesky(&[[f64::NAN]]).is_none());
    }
}
