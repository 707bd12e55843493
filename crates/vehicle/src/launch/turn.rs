//! Rotations with the axes of their angle rates, and how points on a turned body move.
#![allow(
    clippy::needless_range_loop,
    reason = "matrix index arithmetic reads better than zipped iterators"
)]

use nalgebra::{Matrix3, Vector3};

/// A rotation with the axes about which its angles φ, θ and ψ turn.
#[derive(Clone, Copy)]
pub(crate) struct Turn {
    pub(crate) rotation: Matrix3<f64>,
    /// Axes of φ, θ, ψ, unit vectors.
    pub(crate) axes: [Vector3<f64>; 3],
    /// How far out each angle is: θ inside φ inside ψ is [1, 0, 2].
    rank: [u8; 3],
}

impl Turn {
    /// The sprung mass: Ry(θ)·Rx(φ), roll inside pitch. It has no ψ.
    pub(crate) fn sprung(phi: f64, theta: f64) -> Self {
        let (sf, cf) = phi.sin_cos();
        let (st, ct) = theta.sin_cos();
        Self {
            rotation: Matrix3::new(ct, st * sf, st * cf, 0.0, cf, -sf, -st, ct * sf, ct * cf),
            axes: [Vector3::new(ct, 0.0, -st), Vector3::y(), Vector3::z()],
            rank: [0, 1, 2],
        }
    }

    /// The axle: Rz(ψ)·Rx(φ)·Ry(θ).
    pub(crate) fn axle(phi: f64, theta: f64, psi: f64) -> Self {
        let (sf, cf) = phi.sin_cos();
        let (st, ct) = theta.sin_cos();
        let (sp, cp) = psi.sin_cos();
        Self {
            rotation: Matrix3::new(
                cp * ct - sp * sf * st,
                -sp * cf,
                cp * st + sp * sf * ct,
                sp * ct + cp * sf * st,
                cp * cf,
                sp * st - cp * sf * ct,
                -cf * st,
                sf,
                cf * ct,
            ),
            axes: [
                Vector3::new(cp, sp, 0.0),
                Vector3::new(-sp * cf, cp * cf, sf),
                Vector3::z(),
            ],
            rank: [1, 0, 2],
        }
    }

    /// Two angles (0 φ, 1 θ, 2 ψ), the inner one first.
    const fn ordered(&self, i: usize, j: usize) -> (usize, usize) {
        if self.rank[i] < self.rank[j] {
            (i, j)
        } else {
            (j, i)
        }
    }

    /// ∂(R b)/∂(φ, θ, ψ) for arm = R b.
    #[inline]
    pub(crate) fn columns(&self, arm: &Vector3<f64>) -> [Vector3<f64>; 3] {
        [
            self.axes[0].cross(arm),
            self.axes[1].cross(arm),
            self.axes[2].cross(arm),
        ]
    }

    /// f·∂²(R b)/∂(angle i)∂(angle j), arm = R b: the derivative is e_outer × (e_inner × arm).
    #[inline]
    pub(crate) fn bend(&self, f: &Vector3<f64>, arm: &Vector3<f64>) -> [[f64; 3]; 3] {
        let (fa, along_f, along_arm) = (
            f.dot(arm),
            self.axes.map(|e| f.dot(&e)),
            self.axes.map(|e| arm.dot(&e)),
        );
        let mut h = [[0.0; 3]; 3];
        for i in 0..3 {
            for j in 0..=i {
                let (inner, outer) = self.ordered(i, j);
                let cosine = match (i, j) {
                    (2, _) => self.axes[j].z,
                    _ if i == j => 1.0,
                    _ => 0.0,
                };
                let value = along_f[inner] * along_arm[outer] - fa * cosine;
                h[i][j] = value;
                h[j][i] = value;
            }
        }
        h
    }

    /// ∂(axis i)/∂(angle j): an axis is carried by the angles outside it.
    #[inline]
    pub(crate) fn axis_rate(&self, i: usize, j: usize) -> Vector3<f64> {
        if i != j && self.ordered(i, j).1 == j {
            self.axes[j].cross(&self.axes[i])
        } else {
            Vector3::zeros()
        }
    }
}
