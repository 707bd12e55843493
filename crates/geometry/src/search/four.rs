//! Algebra in the four free coordinates of an axle (x, y, θ, ψ): packed symmetric tensors and
//! a 4 × 4 factorisation without square roots.
#![allow(
    clippy::needless_range_loop,
    reason = "triangular index arithmetic reads better than zipped iterators"
)]

use crate::rods::ROTATION_LENGTH;

/// One value per free coordinate, in the order x, y, θ, ψ.
pub(super) type Four = [f64; 4];
/// Lower triangle by rows of a symmetric 4 × 4 matrix.
pub(super) type Packed = [f64; 10];

/// Place of entry (i, j) of a symmetric matrix in [`Packed`].
pub(super) const fn pair(i: usize, j: usize) -> usize {
    if i >= j {
        i * (i + 1) / 2 + j
    } else {
        j * (j + 1) / 2 + i
    }
}

/// Place of entry (i, j, k) of a symmetric third-order tensor in its 20 values.
pub(super) const fn triple(i: usize, j: usize, k: usize) -> usize {
    // Sorted falling: a ≥ b ≥ c.
    let (a, b) = if i >= j { (i, j) } else { (j, i) };
    let (a, b, c) = if k >= a {
        (k, a, b)
    } else if k >= b {
        (a, k, b)
    } else {
        (a, b, k)
    };
    a * (a + 1) * (a + 2) / 6 + b * (b + 1) / 2 + c
}

/// Squares of the scale of each coordinate: 1 for a length, (1/0.3 m)² for an angle.
const SCALE: Four = [
    1.0,
    1.0,
    1.0 / (ROTATION_LENGTH * ROTATION_LENGTH),
    1.0 / (ROTATION_LENGTH * ROTATION_LENGTH),
];

/// Largest magnitude.
#[inline]
pub(super) fn largest(v: &Four) -> f64 {
    v[0].abs().max(v[1].abs()).max(v[2].abs().max(v[3].abs()))
}

// Written out: closures over arrays are not always inlined, and these run for every pose.

/// a − b.
#[inline]
pub(super) fn less(a: &Four, b: &Four) -> Four {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2], a[3] - b[3]]
}

/// a + b.
#[inline]
pub(super) fn plus(a: &Four, b: &Four) -> Four {
    [a[0] + b[0], a[1] + b[1], a[2] + b[2], a[3] + b[3]]
}

/// f·a.
#[inline]
pub(super) fn scaled(f: f64, a: &Four) -> Four {
    [f * a[0], f * a[1], f * a[2], f * a[3]]
}

/// A = L·D·Lᵀ with L unit lower; `inverse` holds 1/D.
#[derive(Clone, Copy)]
pub(super) struct Factor {
    l: [f64; 6],
    inverse: Four,
}

impl Factor {
    /// None where A is not positive definite to working precision.
    #[inline]
    pub(super) fn of(a: &Packed) -> Option<Self> {
        let i0 = 1.0 / a[0];
        let (l10, l20, l30) = (a[1] * i0, a[3] * i0, a[6] * i0);
        let d1 = a[2] - l10 * a[1];
        let (e21, e31) = (a[4] - l20 * a[1], a[7] - l30 * a[1]);
        let i1 = 1.0 / d1;
        let (l21, l31) = (e21 * i1, e31 * i1);
        let d2 = a[5] - l20 * a[3] - l21 * e21;
        let e32 = a[8] - l30 * a[3] - l31 * e21;
        let i2 = 1.0 / d2;
        let l32 = e32 * i2;
        let d3 = a[9] - l30 * a[6] - l31 * e31 - l32 * e32;
        const TINY: f64 = 1e-14;
        // Also false for NaN.
        let good = (a[0] > 0.0)
            & (d1 > TINY * a[2])
            & (d2 > TINY * a[5])
            & (d3 > TINY * a[9])
            & (a[2] > 0.0)
            & (a[5] > 0.0)
            & (a[9] > 0.0);
        good.then_some(Self {
            l: [l10, l20, l21, l30, l31, l32],
            inverse: [i0, i1, i2, 1.0 / d3],
        })
    }

    /// Solves A·x = b.
    #[inline]
    pub(super) fn solve(&self, b: &Four) -> Four {
        let [l10, l20, l21, l30, l31, l32] = self.l;
        let y0 = b[0];
        let y1 = b[1] - l10 * y0;
        let y2 = b[2] - l20 * y0 - l21 * y1;
        let y3 = b[3] - l30 * y0 - l31 * y1 - l32 * y2;
        let x3 = y3 * self.inverse[3];
        let x2 = y2 * self.inverse[2] - l32 * x3;
        let x1 = y1 * self.inverse[1] - l21 * x2 - l31 * x3;
        let x0 = y0 * self.inverse[0] - l10 * x1 - l20 * x2 - l30 * x3;
        [x0, x1, x2, x3]
    }

    /// Square of a lower bound of the ratio of smallest to largest singular value behind the
    /// normal matrix `a`, of which this is the factor, rotations scaled by 0.3 m:
    /// λ_min ≥ 1/tr(A⁻¹), λ_max ≤ tr(A).
    #[inline]
    pub(super) fn floor_squared(&self, a: &Packed) -> f64 {
        let [l10, l20, l21, l30, l31, l32] = self.l;
        let (m10, m21, m32) = (-l10, -l21, -l32);
        let m20 = -(l20 + l21 * m10);
        let m31 = -(l31 + l32 * m21);
        let m30 = -(l30 + l31 * m10 + l32 * m20);
        let [i0, i1, i2, i3] = self.inverse;
        let d = [
            i0 + m10 * m10 * i1 + m20 * m20 * i2 + m30 * m30 * i3,
            i1 + m21 * m21 * i2 + m31 * m31 * i3,
            i2 + m32 * m32 * i3,
            i3,
        ];
        let per_length = 1.0 / SCALE[2];
        let inverse_trace = d[0] + d[1] + (d[2] + d[3]) * per_length;
        let trace = a[0] + a[2] + (a[5] + a[9]) * SCALE[2];
        1.0 / (inverse_trace * trace)
    }
}

/// A function of the four coordinates with its derivatives up to the third.
#[derive(Clone, Copy)]
pub(super) struct Jet {
    pub(super) value: f64,
    pub(super) first: Four,
    pub(super) second: Packed,
    pub(super) third: [f64; 20],
}

impl Jet {
    pub(super) const ZERO: Self = Self {
        value: 0.0,
        first: [0.0; 4],
        second: [0.0; 10],
        third: [0.0; 20],
    };

    /// Adds the square of `f`, by the product rule.
    pub(super) fn add_square(&mut self, f: &Self) {
        self.value += f.value * f.value;
        for i in 0..4 {
            self.first[i] += 2.0 * f.value * f.first[i];
            for j in 0..=i {
                let ij = f.second[pair(i, j)];
                self.second[pair(i, j)] += 2.0 * (f.value * ij + f.first[i] * f.first[j]);
                for k in 0..=j {
                    let (ik, jk) = (f.second[pair(i, k)], f.second[pair(j, k)]);
                    self.third[triple(i, j, k)] += 2.0
                        * (f.value * f.third[triple(i, j, k)]
                            + ij * f.first[k]
                            + ik * f.first[j]
                            + jk * f.first[i]);
                }
            }
        }
    }

    /// F(f) for a function F of one variable with its value and first three derivatives.
    pub(super) fn through(&self, outer: &[f64; 4]) -> Self {
        let [f0, f1, f2, f3] = *outer;
        let mut out = Self::ZERO;
        out.value = f0;
        let d = &self.first;
        for i in 0..4 {
            out.first[i] = f1 * d[i];
            for j in 0..=i {
                let ij = self.second[pair(i, j)];
                out.second[pair(i, j)] = f2 * d[i] * d[j] + f1 * ij;
                for k in 0..=j {
                    let (ik, jk) = (self.second[pair(i, k)], self.second[pair(j, k)]);
                    out.third[triple(i, j, k)] = f3 * d[i] * d[j] * d[k]
                        + f2 * (ij * d[k] + ik * d[j] + jk * d[i])
                        + f1 * self.third[triple(i, j, k)];
                }
            }
        }
        out
    }
}

/// Places of T_ijk for the packed pair ij and k.
const TRIPLES: [[usize; 4]; 10] = {
    let mut table = [[0; 4]; 10];
    let mut i = 0;
    while i < 4 {
        let mut j = 0;
        while j <= i {
            let mut k = 0;
            while k < 4 {
                table[pair(i, j)][k] = triple(i, j, k);
                k += 1;
            }
            j += 1;
        }
        i += 1;
    }
    table
};

/// T·δ, a symmetric matrix.
#[inline]
pub(super) fn contract(third: &[f64], d: &Four) -> Packed {
    let mut out = [0.0; 10];
    if let Some(t) = third.first_chunk::<20>() {
        for ij in 0..10 {
            let at = &TRIPLES[ij];
            out[ij] = (t[at[0]] * d[0] + t[at[1]] * d[1]) + (t[at[2]] * d[2] + t[at[3]] * d[3]);
        }
    }
    out
}

/// A·x of a packed symmetric matrix.
#[inline]
pub(super) fn times(a: &Packed, x: &Four) -> Four {
    [
        a[0] * x[0] + a[1] * x[1] + a[3] * x[2] + a[6] * x[3],
        a[1] * x[0] + a[2] * x[1] + a[4] * x[2] + a[7] * x[3],
        a[3] * x[0] + a[4] * x[1] + a[5] * x[2] + a[8] * x[3],
        a[6] * x[0] + a[7] * x[1] + a[8] * x[2] + a[9] * x[3],
    ]
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    // Outside check: nalgebra's dense inverse.
    #[test]
    fn factor_agrees_with_nalgebra() {
        let a: Packed = [4.0, 1.0, 3.0, 0.5, 0.2, 2.0, -0.3, 0.7, 0.1, 1.0];
        let m = nalgebra::Matrix4::from_fn(|i, j| a[pair(i, j)]);
        let f = Factor::of(&a).unwrap();
        let b = [1.0, -2.0, 0.3, 4.0];
        let want = m.try_inverse().unwrap() * nalgebra::Vector4::from(b);
        let got = f.solve(&b);
        let back = times(&a, &got);
        for i in 0..4 {
            assert!((got[i] - want[i]).abs() < 1e-13);
            assert!((back[i] - b[i]).abs() < 1e-13);
        }
        let s = nalgebra::Matrix4::from_diagonal(&nalgebra::Vector4::from(SCALE.map(f64::sqrt)));
        let scaled = s * m * s;
        let want = 1.0 / (scaled.trace() * scaled.try_inverse().unwrap().trace());
        assert!((f.floor_squared(&a) / want - 1.0).abs() < 1e-12);
        assert!(Factor::of(&[1.0, 1.0, 1.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 1.0]).is_none());
        assert!(Factor::of(&[f64::NAN; 10]).is_none());
    }

    // Outside check: central differences of a function of all four coordinates.
    #[test]
    fn jets_are_the_derivatives() {
        let at = |x: &Four| {
            let f = 1.3 + 0.4 * x[0] - 0.7 * x[1] + x[2] * x[3] + 0.5 * x[0] * x[2];
            (f * f).ln()
        };
        let mut f = Jet::ZERO;
        f.value = 1.3;
        f.first = [0.4, -0.7, 0.0, 0.0];
        f.second[pair(2, 3)] = 1.0;
        f.second[pair(0, 2)] = 0.5;
        let mut square = Jet::ZERO;
        square.add_square(&f);
        let v = square.value;
        let jet = square.through(&[v.ln(), 1.0 / v, -1.0 / (v * v), 2.0 / (v * v * v)]);
        let h = 1e-2;
        for i in 0..4 {
            for j in 0..=i {
                for k in 0..=j {
                    let mut sum = 0.0;
                    for signs in 0..8 {
                        let s = [0, 1, 2].map(|n| if signs >> n & 1 == 0 { 1.0 } else { -1.0 });
                        let mut x = [0.0; 4];
                        x[i] += s[0] * h;
                        x[j] += s[1] * h;
                        x[k] += s[2] * h;
                        sum += s[0] * s[1] * s[2] * at(&x);
                    }
                    let want = sum / (8.0 * h * h * h);
                    let got = jet.third[triple(i, j, k)];
                    assert!((got - want).abs() < 2e-3, "{i}{j}{k}: {got} {want}");
                }
            }
        }
    }
}
