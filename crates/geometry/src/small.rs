//! Fixed-size symmetric algebra for the solvers, up to 6 × 6, no allocation.
#![allow(
    clippy::needless_range_loop,
    reason = "triangular index arithmetic reads better than zipped iterators"
)]

pub(crate) type Square<const N: usize> = [[f64; N]; N];

/// Cholesky factor L (lower) of A = L·Lᵀ, read from the lower triangle of `a`,
/// with the diagonal stored inverted. None when a pivot falls below 1e-14 of its
/// diagonal: not positive definite to working precision.
#[inline]
pub(crate) fn cholesky<const N: usize>(a: &Square<N>) -> Option<Square<N>> {
    let mut l = [[0.0; N]; N];
    for i in 0..N {
        for j in 0..i {
            let mut sum = a[i][j];
            for k in 0..j {
                sum -= l[i][k] * l[j][k];
            }
            l[i][j] = sum * l[j][j];
        }
        let mut pivot = a[i][i];
        for k in 0..i {
            pivot -= l[i][k] * l[i][k];
        }
        // Also false for NaN.
        if !(pivot > 1e-14 * a[i][i] && pivot > 0.0) {
            return None;
        }
        l[i][i] = 1.0 / pivot.sqrt();
    }
    Some(l)
}

/// Solves L·Lᵀ x = b with the factor of [`cholesky`].
#[inline]
pub(crate) fn solve<const N: usize>(l: &Square<N>, b: &[f64; N]) -> [f64; N] {
    let mut x = *b;
    for i in 0..N {
        let mut sum = x[i];
        for k in 0..i {
            sum -= l[i][k] * x[k];
        }
        x[i] = sum * l[i][i];
    }
    for i in (0..N).rev() {
        let mut sum = x[i];
        for k in (i + 1)..N {
            sum -= l[k][i] * x[k];
        }
        x[i] = sum * l[i][i];
    }
    x
}

/// Trace of the inverse of A, rows and columns scaled by `scale`, from the factor of
/// [`cholesky`]: an upper bound of 1/λ_min of the scaled matrix S·A·S.
#[inline]
pub(crate) fn inverse_trace<const N: usize>(l: &Square<N>, scale: &[f64; N]) -> f64 {
    let mut trace = 0.0;
    for column in 0..N {
        // One column of L⁻¹; its squares, each over the scale of that column.
        let mut x = [0.0; N];
        let mut sum_of_squares = 0.0;
        for i in column..N {
            let mut sum = if i == column { 1.0 } else { 0.0 };
            for k in column..i {
                sum -= l[i][k] * x[k];
            }
            x[i] = sum * l[i][i];
            sum_of_squares += x[i] * x[i];
        }
        trace += sum_of_squares / (scale[column] * scale[column]);
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
        assert!((inverse_trace(&l, &scale) - trace).abs() < 1e-12);
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
