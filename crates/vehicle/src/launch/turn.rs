//! Rotations with the axes of their angle rates, and how points on a turned body move.

use nalgebra::{Matrix3, Vector3};

/// R = Rz(ψ)·Rx(φ)·Ry(θ), with the axes about which φ, θ and ψ turn.
#[derive(Clone, Copy)]
pub(crate) struct Turn {
    pub(crate) rotation: Matrix3<f64>,
    /// Axes of φ, θ, ψ, unit vectors.
    pub(crate) axes: [Vector3<f64>; 3],
}

/// Which of two angles (0 φ, 1 θ, 2 ψ) is the inner one: θ inside φ inside ψ.
const fn ordered(i: usize, j: usize) -> (usize, usize) {
    const RANK: [usize; 3] = [1, 0, 2];
    if RANK[i] < RANK[j] { (i, j) } else { (j, i) }
}

impl Turn {
    pub(crate) fn new(phi: f64, theta: f64, psi: f64) -> Self {
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
                let (inner, outer) = ordered(i, j);
                let cosine = match (i, j) {
                    (2, 1) => self.axes[1].z,
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
        if i != j && ordered(i, j).1 == j {
            self.axes[j].cross(&self.axes[i])
        } else {
            Vector3::zeros()
        }
    }
}
