//! A force and a moment shared by several nodes.

use geometry::{Point3, Vector3};
use nalgebra::Matrix3;
use structure::Load;

/// Forces on the nodes with the given sum and the given moment about `about`, the least in the sense of least squares:
/// f_i = F/n + λ × r_i, r_i from the nodes' middle. Moments that forces on them can not make (all nodes in one
/// place or on one line) act on every node alike.
pub(super) fn spread(
    nodes: &[usize],
    at: &[Vector3<f64>],
    force: Vector3<f64>,
    moment: Vector3<f64>,
    about: Point3<f64>,
) -> Vec<Load> {
    let n = nodes.len() as f64;
    if nodes.is_empty() {
        return Vec::new();
    }
    let middle = nodes.iter().map(|i| at[*i]).sum::<Vector3<f64>>() / n;
    let moment = moment + (about.coords - middle).cross(&force);
    let spin: Matrix3<f64> = nodes
        .iter()
        .map(|i| {
            let r = at[*i] - middle;
            Matrix3::identity() * r.norm_squared() - r * r.transpose()
        })
        .sum();
    // A wire's worth of reach is none.
    let least = (1e-9 * spin.norm()).max(1e-9);
    let turn = spin
        .pseudo_inverse(least)
        .map_or_else(|_| Vector3::zeros(), |inverse| inverse * moment);
    let mut loads: Vec<Load> = nodes
        .iter()
        .map(|i| Load::force(*i, force / n + turn.cross(&(at[*i] - middle))))
        .collect();
    let made: Vector3<f64> = loads
        .iter()
        .map(|l| (at[l.node] - middle).cross(&l.force))
        .sum();
    let rest = (moment - made) / n;
    // Rounding is no moment: a pinned node may take none.
    if rest.norm() * n > 1e-12 * moment.norm() {
        for l in &mut loads {
            l.moment = rest;
        }
    }
    loads
}
