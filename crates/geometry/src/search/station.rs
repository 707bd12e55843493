//! The position problem at one station of the search (design height, an end of travel, an end
//! of roll), fast for many combinations of the same rods.
//!
//! The energy E = ½ Σ w s² of the rods at a station is a sum over the rods, and so are its
//! derivatives at a reference pose. They are tabulated per choice up to the third order and
//! added up, so that one step with their second and third derivatives costs no rod at all:
//! δ₁ = −H⁻¹g, δ₂ = δ₁ − (H + Tδ₁)⁻¹ ½Tδ₁δ₁. What it leaves out is of the third order in δ.
//! From there the exact gradient of the rods is driven to zero with the second derivatives
//! H + Tδ₁ at hand; the length of its steps says how far the pose can still be off.

#![allow(
    clippy::needless_range_loop,
    reason = "index arithmetic over fixed lanes reads better than zipped iterators"
)]

use nalgebra::{Point3, Vector3};

use super::four::{Factor, Four, Jet, Packed, contract, largest, less, pair, plus, scaled, times};
use crate::pose::{Frame, Pose};
use crate::rods::{REACH, STRETCH_SHARE};

/// Gradient (4), second (10) and third (20) derivatives of the energy at the reference pose.
pub(super) type Model = [f64; 34];

/// Furthest a pose may lie from the reference, m or rad.
const FAR: f64 = 0.25;
/// Steps must shrink by at least this factor, or the pose goes to the full solver.
const CONTRACTION: f64 = 0.25;
/// Step (m or rad) at which a pose counts as exact.
const EXACT: f64 = 1e-13;
/// A step that no longer shrinks counts as rounding below this, m or rad.
const ROUNDING: f64 = 1e-11;
/// Square of the floor of the singular value ratio below which the full solver decides: far
/// above the 1e-4 at which a pose is out of reach.
pub(super) const SURE: f64 = 1e-4;
/// A stretch above this share of what is allowed goes to the full solver.
const STRETCH_SURE: f64 = 0.9;

/// Where the axle is held, and the pose near which the answers lie.
#[derive(Clone, Copy, Debug)]
pub(super) struct Station {
    /// Height of the axle centre, m.
    z: f64,
    sin_phi: f64,
    cos_phi: f64,
    phi: f64,
    /// x, y, θ, ψ.
    pub(super) reference: Four,
    sin_theta: f64,
    cos_theta: f64,
    sin_psi: f64,
    cos_psi: f64,
}

/// sin and cos of a small angle (|d| ≤ [`FAR`]), to rounding: Taylor, next terms below 1e-17.
#[inline]
fn small_sin_cos(d: f64) -> (f64, f64) {
    let s = d * d;
    let sin = 1.0
        + s * (-1.0 / 6.0
            + s * (1.0 / 120.0
                + s * (-1.0 / 5040.0 + s * (1.0 / 362_880.0 - s * (1.0 / 39_916_800.0)))));
    let cos = 1.0
        + s * (-0.5
            + s * (1.0 / 24.0
                + s * (-1.0 / 720.0 + s * (1.0 / 40_320.0 - s * (1.0 / 3_628_800.0)))));
    (d * sin, cos)
}

/// The rods of a combination in lanes; lanes beyond the last rod weigh nothing.
#[derive(Clone, Copy, Debug)]
pub(super) struct Lanes<const N: usize> {
    ax: [f64; N],
    ay: [f64; N],
    az: [f64; N],
    bx: [f64; N],
    by: [f64; N],
    bz: [f64; N],
    length: [f64; N],
    pub(super) weight: [f64; N],
}

impl<const N: usize> Lanes<N> {
    pub(super) const EMPTY: Self = Self {
        ax: [-1.0; N],
        ay: [0.0; N],
        az: [0.0; N],
        bx: [0.0; N],
        by: [0.0; N],
        bz: [0.0; N],
        length: [1.0; N],
        weight: [0.0; N],
    };

    pub(super) fn put(&mut self, lane: usize, rod: &Bar) {
        if lane < N {
            self.ax[lane] = rod.frame.x;
            self.ay[lane] = rod.frame.y;
            self.az[lane] = rod.frame.z;
            self.bx[lane] = rod.body.x;
            self.by[lane] = rod.body.y;
            self.bz[lane] = rod.body.z;
            self.length[lane] = rod.length;
            self.weight[lane] = rod.weight;
        }
    }
}

/// One rod of a choice.
#[derive(Clone, Copy, Debug)]
pub(super) struct Bar {
    pub(super) frame: Point3<f64>,
    pub(super) body: Vector3<f64>,
    pub(super) length: f64,
    /// Stiffness over the largest one of the search.
    pub(super) weight: f64,
}

/// The rods of a combination linearised at a pose of a station.
#[derive(Clone, Copy)]
pub(super) struct Lines<const N: usize> {
    /// Weighted gradient of ½ Σ w s² by x, y, θ, ψ.
    pub(super) gradient: Four,
    pub(super) stretch: [f64; N],
    /// ∂s/∂(x, y, θ, ψ).
    pub(super) rows: [[f64; N]; 4],
    /// ∂s/∂z and ∂s/∂φ.
    pub(super) driven: [[f64; N]; 2],
}

/// A solved pose.
#[derive(Clone, Copy)]
pub(super) struct Solved<const N: usize> {
    /// x, y, θ, ψ less the reference.
    delta: Four,
    /// Stretch of each rod, m.
    pub(super) stretch: [f64; N],
    rows: [[f64; N]; 4],
    factor: Factor,
    /// How far the pose can be off, m or rad; zero when exact.
    pub(super) margin: f64,
}

impl Station {
    /// Held at height `z` (m) and roll `phi` (rad), near `reference`.
    pub(super) fn new(z: f64, phi: f64, reference: &Pose) -> Self {
        let (sin_phi, cos_phi) = phi.sin_cos();
        let (sin_theta, cos_theta) = reference.theta.sin_cos();
        let (sin_psi, cos_psi) = reference.psi.sin_cos();
        let p = &reference.position;
        Self {
            z,
            sin_phi,
            cos_phi,
            phi,
            reference: [p.x, p.y, reference.theta, reference.psi],
            sin_theta,
            cos_theta,
            sin_psi,
            cos_psi,
        }
    }

    /// The derivatives of ½ w s² of one rod at the reference pose.
    pub(super) fn model(&self, rod: &Bar) -> Model {
        const QUARTER: f64 = std::f64::consts::FRAC_PI_2;
        let [x, y, theta, psi] = self.reference;
        // R b differentiated m times by θ and n times by ψ: each turns its angle by π/2 more and
        // drops what lies along its axis.
        let arm = |m: usize, n: usize| {
            let turned = Frame::new(0.0, theta + m as f64 * QUARTER, 0.0).rotation;
            let mut v = rod.body;
            if m > 0 {
                v.y = 0.0;
            }
            let v = Frame::new(self.phi, 0.0, 0.0).rotation * (turned * v);
            let mut v = Frame::new(0.0, 0.0, psi + n as f64 * QUARTER).rotation * v;
            if n > 0 {
                v.z = 0.0;
            }
            v
        };
        let mut d = [Jet::ZERO; 3];
        let base = Vector3::new(x, y, self.z) - rod.frame.coords;
        for (axis, jet) in d.iter_mut().enumerate() {
            jet.value = base[axis] + arm(0, 0)[axis];
            if axis < 2 {
                jet.first[axis] = 1.0;
            }
            let (t, p) = (2, 3);
            jet.first[t] = arm(1, 0)[axis];
            jet.first[p] = arm(0, 1)[axis];
            jet.second[pair(t, t)] = arm(2, 0)[axis];
            jet.second[pair(t, p)] = arm(1, 1)[axis];
            jet.second[pair(p, p)] = arm(0, 2)[axis];
            for (n, place) in [(t, t, t), (t, t, p), (t, p, p), (p, p, p)]
                .iter()
                .enumerate()
            {
                jet.third[super::four::triple(place.0, place.1, place.2)] = arm(3 - n, n)[axis];
            }
        }
        let mut square = Jet::ZERO;
        for jet in &d {
            square.add_square(jet);
        }
        // ½ w (√D − L)² as a function of D.
        let (w, l, root) = (rod.weight, rod.length, square.value.sqrt());
        let cube = root * square.value;
        let energy = square.through(&[
            0.5 * w * (root - l) * (root - l),
            0.5 * w * (1.0 - l / root),
            0.25 * w * l / cube,
            -0.375 * w * l / (cube * square.value),
        ]);
        let mut model = [0.0; 34];
        model[..4].copy_from_slice(&energy.first);
        model[4..14].copy_from_slice(&energy.second);
        model[14..].copy_from_slice(&energy.third);
        model
    }

    /// The rods at `delta` from the reference.
    #[inline(always)]
    pub(super) fn lines<const N: usize>(&self, rods: &Lanes<N>, delta: &Four) -> Lines<N> {
        let (x, y) = (self.reference[0] + delta[0], self.reference[1] + delta[1]);
        let (sd, cd) = small_sin_cos(delta[2]);
        let st = self.sin_theta * cd + self.cos_theta * sd;
        let ct = self.cos_theta * cd - self.sin_theta * sd;
        let (sd, cd) = small_sin_cos(delta[3]);
        let sp = self.sin_psi * cd + self.cos_psi * sd;
        let cp = self.cos_psi * cd - self.sin_psi * sd;
        let (sf, cf) = (self.sin_phi, self.cos_phi);
        let (b0, b2) = (sf * st, -sf * ct);
        let r = [
            [cp * ct - sp * b0, -sp * cf, cp * st - sp * b2],
            [sp * ct + cp * b0, cp * cf, sp * st + cp * b2],
            [-cf * st, sf, cf * ct],
        ];
        let e = [-sp * cf, cp * cf, sf];
        let mut out = Lines {
            gradient: [0.0; 4],
            stretch: [0.0; N],
            rows: [[0.0; N]; 4],
            driven: [[0.0; N]; 2],
        };
        for i in 0..N {
            let (bx, by, bz) = (rods.bx[i], rods.by[i], rods.bz[i]);
            let x_arm = r[0][0] * bx + r[0][1] * by + r[0][2] * bz;
            let y_arm = r[1][0] * bx + r[1][1] * by + r[1][2] * bz;
            let z_arm = r[2][0] * bx + r[2][1] * by + r[2][2] * bz;
            let dx = x + x_arm - rods.ax[i];
            let dy = y + y_arm - rods.ay[i];
            let dz = self.z + z_arm - rods.az[i];
            let distance = (dx * dx + dy * dy + dz * dz).sqrt();
            let inverse = 1.0 / distance;
            let (ux, uy, uz) = (dx * inverse, dy * inverse, dz * inverse);
            // Moment of the unit force along the rod about the axle centre.
            let mx = y_arm * uz - z_arm * uy;
            let my = z_arm * ux - x_arm * uz;
            let mz = x_arm * uy - y_arm * ux;
            out.stretch[i] = distance - rods.length[i];
            out.rows[0][i] = ux;
            out.rows[1][i] = uy;
            out.rows[2][i] = mx * e[0] + my * e[1] + mz * e[2];
            out.rows[3][i] = mz;
            out.driven[0][i] = uz;
            out.driven[1][i] = mx * cp + my * sp;
        }
        let mut force = [0.0; N];
        for i in 0..N {
            force[i] = rods.weight[i] * out.stretch[i];
        }
        for c in 0..4 {
            let mut sum = 0.0;
            for i in 0..N {
                sum += force[i] * out.rows[c][i];
            }
            out.gradient[c] = sum;
        }
        out
    }

    /// One exact step from the prediction of the summed `model`. None where the fast solver
    /// cannot vouch for the answer.
    #[inline]
    pub(super) fn approach<const N: usize>(
        &self,
        model: &Model,
        rods: &Lanes<N>,
    ) -> Option<Solved<N>> {
        let gradient: &Four = model[..4].first_chunk()?;
        let second: &Packed = model[4..14].first_chunk()?;
        let first = Factor::of(second)?;
        let d1 = scaled(-1.0, &first.solve(gradient));
        let turned = contract(&model[14..], &d1);
        let mut matrix = *second;
        for i in 0..10 {
            matrix[i] += turned[i];
        }
        let factor = Factor::of(&matrix)?;
        let correction = scaled(0.5, &factor.solve(&times(&turned, &d1)));
        let d2 = less(&d1, &correction);
        let size = largest(&d2);
        // Also false for NaN.
        if !(size < FAR && factor.floor_squared(&matrix) > SURE) {
            return None;
        }
        let lines = self.lines(rods, &d2);
        let step = factor.solve(&lines.gradient);
        let length = largest(&step);
        // What the model leaves out is cubic in the pose: its second derivatives are off by
        // 3 times the relative error of the gradient; and they were taken at δ₁, not at δ₂.
        let bent = largest(&correction) / size.max(1e-3);
        let contraction = 3.0 * length / size.max(1e-3) + 2.0 * bent * bent;
        if contraction.is_nan() || contraction >= CONTRACTION {
            return None;
        }
        Some(Solved {
            delta: less(&d2, &step),
            stretch: moved(&lines, &step),
            rows: lines.rows,
            factor,
            margin: 2.0 * contraction * length + ROUNDING,
        })
    }

    /// Drives the gradient to zero. None where it does not go there quickly.
    pub(super) fn refine<const N: usize>(
        &self,
        from: &Solved<N>,
        rods: &Lanes<N>,
    ) -> Option<Solved<N>> {
        let mut solved = *from;
        let mut last = f64::INFINITY;
        for _ in 0..16 {
            let lines = self.lines(rods, &solved.delta);
            let step = solved.factor.solve(&lines.gradient);
            let length = largest(&step);
            solved.delta = less(&solved.delta, &step);
            solved.stretch = moved(&lines, &step);
            solved.rows = lines.rows;
            if length <= EXACT || (length <= ROUNDING && length > 0.5 * last) {
                solved.margin = 0.0;
                return Some(solved);
            }
            if !(length < 2.0 * CONTRACTION * last && largest(&solved.delta) < FAR) {
                return None;
            }
            last = length;
        }
        None
    }

    /// x, y, θ, ψ of a solved pose.
    #[inline]
    pub(super) fn pose<const N: usize>(&self, solved: &Solved<N>) -> Four {
        plus(&self.reference, &solved.delta)
    }

    /// The rods at a solved pose.
    pub(super) fn lines_at<const N: usize>(&self, rods: &Lanes<N>, at: &Solved<N>) -> Lines<N> {
        self.lines(rods, &at.delta)
    }

    /// sin and cos of the heading of a solved pose.
    pub(super) fn heading<const N: usize>(&self, solved: &Solved<N>) -> (f64, f64) {
        (self.reference[3] + solved.delta[3]).sin_cos()
    }
}

/// The stretches after a small step, to first order: what is left out is step²/length.
#[inline]
fn moved<const N: usize>(lines: &Lines<N>, step: &Four) -> [f64; N] {
    let mut out = lines.stretch;
    for i in 0..N {
        out[i] -= (lines.rows[0][i] * step[0] + lines.rows[1][i] * step[1])
            + (lines.rows[2][i] * step[2] + lines.rows[3][i] * step[3]);
    }
    out
}

/// The normal matrix Σ w r rᵀ of the rods in the free coordinates.
#[inline]
pub(super) fn normal<const N: usize>(rows: &[[f64; N]; 4], weight: &[f64; N]) -> Packed {
    let mut out = [0.0; 10];
    for i in 0..4 {
        let mut weighted = [0.0; N];
        for n in 0..N {
            weighted[n] = rows[i][n] * weight[n];
        }
        for j in 0..=i {
            let mut sum = 0.0;
            for n in 0..N {
                sum += weighted[n] * rows[j][n];
            }
            out[pair(i, j)] = sum;
        }
    }
    out
}

impl<const N: usize> Solved<N> {
    /// Largest |stretch|, m, and how far it can be off.
    #[inline]
    pub(super) fn bind(&self, count: usize) -> (f64, f64) {
        let rods = self.stretch.iter().take(count);
        let worst = rods.fold(0.0_f64, |m, s| m.max(s.abs()));
        // No row of a rod is longer: its direction, and arms of half a metre.
        (worst, 3.0 * self.margin)
    }

    /// Whether the pose is surely within reach: well away from a lock, no rod near its limit of
    /// stretch. `contrast` is the smallest weight over the largest.
    pub(super) fn surely_reached(&self, rods: &Lanes<N>, count: usize, contrast: f64) -> bool {
        let sure = |(s, length): (&f64, &f64)| {
            let exact = count > 4 || s.abs() < 0.5 * REACH + 2.0 * self.margin;
            exact && s.abs() < STRETCH_SURE * STRETCH_SHARE * length
        };
        let mut lanes = self.stretch.iter().zip(&rods.length).take(count);
        if !lanes.all(sure) {
            return false;
        }
        let matrix = normal(&self.rows, &rods.weight);
        Factor::of(&matrix).is_some_and(|f| contrast * f.floor_squared(&matrix) > SURE)
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::rods::Rod;

    // Outside check: energy of the stretch by the plain definition, differenced.
    #[test]
    fn the_model_is_the_derivative_of_the_energy() {
        let bar = Bar {
            frame: Point3::new(0.6, 0.4, 0.3),
            body: Vector3::new(0.02, 0.45, 0.14),
            length: 0.58,
            weight: 0.8,
        };
        let reference = Pose {
            position: Point3::new(0.01, -0.003, 0.39),
            phi: 0.03,
            theta: -0.05,
            psi: 0.02,
        };
        let station = Station::new(0.39, 0.03, &reference);
        let model = station.model(&bar);
        let rod = Rod {
            frame_point: bar.frame,
            body_point: Point3::from(bar.body),
            length: bar.length,
            stiffness: 1.0,
        };
        let gradient = |d: Four| {
            let mut lanes = Lanes::<4>::EMPTY;
            lanes.put(0, &bar);
            station.lines(&lanes, &d).gradient
        };
        let energy = |d: Four| {
            let mut pose = reference;
            pose.position.x += d[0];
            pose.position.y += d[1];
            pose.theta += d[2];
            pose.psi += d[3];
            let s = rod.stretch(&pose);
            0.5 * bar.weight * s * s
        };
        let shift = |i: usize, h: f64| {
            let mut d = [0.0; 4];
            d[i] = h;
            d
        };
        for i in 0..4 {
            let h = 1e-5;
            let want = (energy(shift(i, h)) - energy(shift(i, -h))) / (2.0 * h);
            assert!((model[i] - want).abs() < 1e-9);
            assert!((gradient([0.0; 4])[i] - model[i]).abs() < 1e-15);
            for j in 0..=i {
                let want = (gradient(shift(j, h))[i] - gradient(shift(j, -h))[i]) / (2.0 * h);
                assert!((model[4 + pair(i, j)] - want).abs() < 1e-8);
                for k in 0..=j {
                    let h = 1e-4;
                    let mut sum = 0.0;
                    for (sj, sk) in [(1.0, 1.0), (1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0)] {
                        let mut d = [0.0; 4];
                        d[j] += sj * h;
                        d[k] += sk * h;
                        sum += sj * sk * gradient(d)[i];
                    }
                    let want = sum / (4.0 * h * h);
                    let got = model[14 + super::super::four::triple(i, j, k)];
                    assert!((got - want).abs() < 1e-5, "{i}{j}{k}: {got} {want}");
                }
            }
        }
    }
}
