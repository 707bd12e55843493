//! The equations of a frame, factored once and solved for many loads.
//!
//! [`Symbolic`] depends on which nodes the members join, their pins, the links and the supports: it is kept while nodes
//! are dragged or sections change. [`Factored`] is one shape of the frame. The unknowns are scaled by D (see
//! [`crate::motion`]), ordered by approximate minimum degree and factored by a sparse Cholesky; every answer is refined
//! once by its residual.

use faer::sparse::linalg::solvers::Llt;
use faer::sparse::{SparseColMatRef, SymbolicSparseColMatRef};
use faer::{MatMut, Side};
use nalgebra::Vector3;

use crate::bodies::Freedom;
use crate::element::Element;
use crate::error::{FrameError, SolveError};
use crate::model::{Frame, Load, Member};
use crate::motion::{self, FreeMotions};
use crate::number::at_most;
pub use crate::symbolic::Symbolic;

/// A turn of one radian counts as this many metres where both are measured together, m.
pub const TURN_LENGTH: f64 = 0.3;

/// Unbalanced part of a load above which an answer is refused.
const LARGEST_RESIDUAL: f64 = 1e-6;

/// Largest stiffness or load that is computed with, SI.
const LARGEST: f64 = 1e100;

/// Displacements of a node: x y z in m, rotations about x y z in rad.
pub type Displacement = [f64; 6];

/// Answer to one load.
#[derive(Clone, Debug, PartialEq)]
pub struct Solution {
    /// Displacements of every node; turns of nodes where only pinned ends meet are 0.
    pub displacements: Vec<Displacement>,
    /// Reactions on the frame at every held node: force N, moment N·m; parts that are not held are what the equations
    /// leave unbalanced.
    pub reactions: Vec<(usize, [f64; 6])>,
    /// Forces and moments that the joints exert on each member, in its local axes: N, V_y, V_z, T, M_y, M_z at i, then
    /// at j. Tension is positive at j.
    pub end_forces: Vec<[f64; 12]>,
    /// Strain energy of each member, J.
    pub energies: Vec<f64>,
    /// Unbalanced part of the load over the load, after refinement.
    pub residual: f64,
    /// Motions that nothing resists but this load does not drive. The answer holds without them.
    pub free: Option<FreeMotions>,
}

/// A frame ready to answer loads.
#[derive(Clone)]
pub struct Factored {
    pub(crate) symbolic: Symbolic,
    pub(crate) positions: Vec<Vector3<f64>>,
    pub(crate) tubes: Vec<usize>,
    pub(crate) elements: Vec<Element>,
    pub(crate) arms: Vec<Vector3<f64>>,
    /// 1/sqrt(D) of each unknown.
    scale: Vec<f64>,
    /// Scaled stiffness, lower triangle.
    values: Vec<f64>,
    cholesky: Option<Llt<usize, f64>>,
    free: motion::Free,
}

impl std::fmt::Debug for Factored {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Factored")
            .field("unknowns", &self.symbolic.unknowns())
            .field("free", &self.free.motions)
            .finish_non_exhaustive()
    }
}

fn vector(d: &[f64; 6], from: usize) -> Vector3<f64> {
    Vector3::new(d[from], d[from + 1], d[from + 2])
}

fn six(a: Vector3<f64>, b: Vector3<f64>) -> [f64; 6] {
    [a.x, a.y, a.z, b.x, b.y, b.z]
}

impl Factored {
    pub(crate) fn new(symbolic: Symbolic, frame: &Frame) -> Result<Self, FrameError> {
        let elements: Vec<Element> = frame
            .members
            .iter()
            .map(|m| Element::new(frame, m))
            .collect();
        for (member, e) in elements.iter().enumerate() {
            if let Some(stiffness) = e
                .stiffness
                .iter()
                .copied()
                .find(|k| !at_most(k.abs(), LARGEST))
            {
                return Err(FrameError::Stiffness { member, stiffness });
            }
        }
        let arms = symbolic.bodies.arms(frame);
        let scale = scaling(&symbolic, &frame.members, &elements, &arms);
        let freedoms = symbolic.unknowns();
        let failed = FrameError::Factor { freedoms };
        if scale.iter().any(|s| !(s.is_finite() && *s > 0.0)) {
            return Err(failed);
        }
        let mut this = Self {
            positions: frame.nodes.clone(),
            tubes: frame.members.iter().map(|m| m.tube).collect(),
            values: Vec::new(),
            symbolic,
            elements,
            arms,
            scale,
            cholesky: None,
            free: motion::Free::default(),
        };
        this.assemble(&frame.members);
        if !this.values.iter().all(|v| v.is_finite()) {
            return Err(failed);
        }
        if freedoms > 0 {
            this.factor().ok_or(failed)?;
        }
        Ok(this)
    }

    /// Plain Cholesky where the frame is sound; where it may not be, with a small shift and the free motions apart.
    fn factor(&mut self) -> Option<()> {
        self.cholesky = self.cholesky_shifted(0.0);
        if self.cholesky.is_some() && motion::sound(self) {
            return Some(());
        }
        let mut shift = motion::SHIFT;
        self.cholesky = None;
        while self.cholesky.is_none() && shift < 1e-6 {
            self.cholesky = self.cholesky_shifted(shift);
            shift *= 10.0;
        }
        self.cholesky.as_ref()?;
        let found = motion::find(self)?;
        if found.vectors.is_empty() {
            // Soft, not free: the plain factor is the better one.
            if let Some(plain) = self.cholesky_shifted(0.0) {
                self.cholesky = Some(plain);
            }
        }
        self.free = found;
        Some(())
    }

    fn cholesky_shifted(&self, shift: f64) -> Option<Llt<usize, f64>> {
        let symbolic = self.symbolic.cholesky.clone()?;
        let n = self.symbolic.unknowns();
        let mut shifted;
        let values = if shift == 0.0 {
            &self.values
        } else {
            shifted = self.values.clone();
            for &at in &self.symbolic.columns[..n] {
                shifted[at] += shift;
            }
            &shifted
        };
        let pattern = SymbolicSparseColMatRef::new_checked(
            n,
            n,
            &self.symbolic.columns,
            None,
            &self.symbolic.rows,
        );
        let matrix = SparseColMatRef::new(pattern, values.as_slice());
        Llt::try_new_with_symbolic(symbolic, matrix, Side::Lower).ok()
    }

    /// Each mode's shape on the two pieces' freedoms.
    fn piece_shape(&self, member: &Member, shape: &[Vector3<f64>; 4]) -> [[f64; 6]; 2] {
        [(member.i, 0), (member.j, 2)].map(|(node, k)| {
            let (t, w) = (shape[k], shape[k + 1]);
            six(t, w + self.arms[node].cross(&t))
        })
    }

    fn assemble(&mut self, members: &[Member]) {
        let mut values = vec![0.0; self.symbolic.rows.len()];
        for ((member, element), block) in members
            .iter()
            .zip(&self.elements)
            .zip(&self.symbolic.blocks)
        {
            let Some(block) = block else { continue };
            let mut k = [[0.0; 12]; 12];
            for (shape, stiffness) in element.shapes.iter().zip(element.stiffness) {
                if stiffness == 0.0 {
                    continue;
                }
                let [i, j] = self.piece_shape(member, shape);
                let (low, high) = if block.swapped { (j, i) } else { (i, j) };
                let mut b = [0.0; 12];
                b[..6].copy_from_slice(&low);
                b[6..].copy_from_slice(&high);
                for (row, br) in k.iter_mut().zip(b) {
                    let scaled = stiffness * br;
                    for (entry, bc) in row.iter_mut().zip(b) {
                        *entry += scaled * bc;
                    }
                }
            }
            let places = |body: usize| {
                self.symbolic.bodies.freedoms[body].map(|f| match f {
                    Freedom::Free(index) => Some(index),
                    _ => None,
                })
            };
            let (low, high) = (places(block.low), places(block.high));
            for (c, column) in low.iter().enumerate() {
                let Some(column) = *column else { continue };
                for (r, row) in low.iter().enumerate() {
                    if let Some(row) = *row
                        && row >= column
                    {
                        values[self.symbolic.columns[column] + row - column] += k[r][c];
                    }
                }
                for (r, row) in high.iter().enumerate() {
                    if let Some(row) = *row {
                        let inside = row - self.symbolic.first[block.high];
                        let at = self
                            .symbolic
                            .at(column, block.low, block.rows_before, inside);
                        values[at] += k[r + 6][c];
                    }
                }
            }
            for (c, column) in high.iter().enumerate() {
                let Some(column) = *column else { continue };
                for (r, row) in high.iter().enumerate() {
                    if let Some(row) = *row
                        && row >= column
                    {
                        values[self.symbolic.columns[column] + row - column] += k[r + 6][c + 6];
                    }
                }
            }
        }
        for column in 0..self.symbolic.unknowns() {
            let range = self.symbolic.columns[column]..self.symbolic.columns[column + 1];
            for (value, row) in values[range.clone()]
                .iter_mut()
                .zip(&self.symbolic.rows[range])
            {
                *value *= self.scale[column] * self.scale[*row];
            }
        }
        self.values = values;
    }

    /// Scaled stiffness times a vector.
    pub(crate) fn times(&self, x: &[f64]) -> Vec<f64> {
        let mut y = vec![0.0; x.len()];
        for column in 0..x.len() {
            let range = self.symbolic.columns[column]..self.symbolic.columns[column + 1];
            let mut sum = 0.0;
            for (value, &row) in self.values[range.clone()]
                .iter()
                .zip(&self.symbolic.rows[range])
            {
                sum += value * x[row];
                if row != column {
                    y[row] += value * x[column];
                }
            }
            y[column] += sum;
        }
        y
    }

    /// The factor's inverse times a vector, in place.
    pub(crate) fn back(&self, x: &mut [f64]) {
        use faer::linalg::solvers::SolveCore;
        if let Some(cholesky) = &self.cholesky {
            let n = x.len();
            cholesky.solve_in_place_with_conj(
                faer::Conj::No,
                MatMut::from_column_major_slice_mut(x, n, 1),
            );
        }
    }

    /// Motions that nothing resists under the supports, whatever the load; None for a sound frame.
    #[must_use]
    pub fn free_motions(&self) -> Option<&FreeMotions> {
        self.free.motions.as_ref()
    }

    /// Scaled answer to a scaled load, refined; with the relative residual. None when the load drives a free motion.
    fn refined(&self, load: &[f64]) -> Option<(Vec<f64>, f64)> {
        let size = norm(load);
        if self.free.driven_by(load, size) {
            return None;
        }
        let mut rest = load.to_vec();
        self.free.clean(&mut rest);
        let mut answer = vec![0.0; load.len()];
        let mut residual = 0.0;
        // The shifted factor of a frame with free motions needs more rounds.
        let rounds = if self.free.vectors.is_empty() { 2 } else { 5 };
        for _ in 0..rounds {
            self.back(&mut rest);
            self.free.clean(&mut rest);
            for (a, r) in answer.iter_mut().zip(&rest) {
                *a += r;
            }
            let held = self.times(&answer);
            for ((r, l), h) in rest.iter_mut().zip(load).zip(held) {
                *r = l - h;
            }
            self.free.clean(&mut rest);
            residual = if size > 0.0 { norm(&rest) / size } else { 0.0 };
        }
        Some((answer, residual))
    }

    /// The load on the unknowns, unscaled, and what falls on held freedoms is left to them.
    fn reduced(&self, loads: &[Load]) -> Result<Vec<f64>, SolveError> {
        let mut out = vec![0.0; self.symbolic.unknowns()];
        for (index, load) in loads.iter().enumerate() {
            let node = load.node;
            let Some(&body) = self.symbolic.bodies.of.get(node) else {
                return Err(FrameError::NoSuchNode {
                    what: "load",
                    index,
                    node,
                    nodes: self.positions.len(),
                }
                .into());
            };
            let value = load.force.iter().chain(load.moment.iter());
            if let Some(&value) = value.clone().find(|v| !at_most(v.abs(), LARGEST)) {
                return Err(SolveError::Load {
                    load: index,
                    node,
                    value,
                });
            }
            let moment = load.moment + self.arms[node].cross(&load.force);
            let freedoms = &self.symbolic.bodies.freedoms[body];
            for (k, (freedom, value)) in freedoms.iter().zip(six(load.force, moment)).enumerate() {
                match freedom {
                    Freedom::Free(at) => out[*at] += value,
                    Freedom::Dropped if value != 0.0 && k < 3 => {
                        return Err(SolveError::BareNode { load: index, node });
                    }
                    Freedom::Dropped if value != 0.0 => {
                        return Err(SolveError::MomentOnPin {
                            load: index,
                            node,
                            moment: load.moment.norm(),
                        });
                    }
                    _ => {}
                }
            }
        }
        Ok(out)
    }

    /// Displacements under a load, without forces and reactions.
    pub(crate) fn displacements(
        &self,
        loads: &[Load],
    ) -> Result<(Vec<Displacement>, f64), SolveError> {
        let mut load = self.reduced(loads)?;
        for (l, s) in load.iter_mut().zip(&self.scale) {
            *l *= s;
        }
        let Some((answer, residual)) = self.refined(&load) else {
            return Err(SolveError::Free(Box::new(
                self.free.motions.clone().unwrap_or_default(),
            )));
        };
        if !at_most(residual, LARGEST_RESIDUAL) {
            return Err(SolveError::Inaccurate { residual });
        }
        Ok((self.nodal(&answer), residual))
    }

    /// Node displacements of a scaled vector of unknowns.
    pub(crate) fn nodal(&self, scaled: &[f64]) -> Vec<Displacement> {
        let bodies = &self.symbolic.bodies;
        let pieces: Vec<[f64; 6]> = bodies
            .freedoms
            .iter()
            .map(|freedoms| {
                freedoms.map(|f| match f {
                    Freedom::Free(at) => scaled[at] * self.scale[at],
                    _ => 0.0,
                })
            })
            .collect();
        bodies
            .of
            .iter()
            .zip(&self.arms)
            .map(|(&body, arm)| {
                let u = &pieces[body];
                let turn = vector(u, 3);
                six(vector(u, 0) + turn.cross(arm), turn)
            })
            .collect()
    }

    /// How far each mode of each member is driven.
    pub(crate) fn strains(&self, displacements: &[Displacement]) -> Vec<[f64; 6]> {
        self.elements
            .iter()
            .zip(&self.symbolic.members)
            .map(|(e, &(i, j, _))| e.strains(&displacements[i], &displacements[j]))
            .collect()
    }

    /// The answer to a load.
    ///
    /// # Errors
    /// [`SolveError`]: a load is wrong, drives a free motion, or the answer does not satisfy the equations.
    pub fn solve(&self, loads: &[Load]) -> Result<Solution, SolveError> {
        let (displacements, residual) = self.displacements(loads)?;
        let strains = self.strains(&displacements);
        let forces: Vec<[Vector3<f64>; 4]> = self
            .elements
            .iter()
            .zip(&strains)
            .map(|(e, s)| e.forces(s))
            .collect();
        let energies = self
            .elements
            .iter()
            .zip(&strains)
            .map(|(e, s)| {
                let sum: f64 = e.stiffness.iter().zip(s).map(|(k, s)| k * s * s).sum();
                sum / 2.0
            })
            .collect();
        Ok(Solution {
            reactions: self.reactions(&forces, loads),
            end_forces: self
                .elements
                .iter()
                .zip(&forces)
                .map(|(e, f)| e.local(f))
                .collect(),
            energies,
            displacements,
            residual,
            free: self.free.motions.clone(),
        })
    }

    fn reactions(&self, forces: &[[Vector3<f64>; 4]], loads: &[Load]) -> Vec<(usize, [f64; 6])> {
        let bodies = &self.symbolic.bodies;
        let mut sums = vec![(Vector3::zeros(), Vector3::zeros()); bodies.reference.len()];
        let mut add = |node: usize, force: Vector3<f64>, moment: Vector3<f64>| {
            let sum = &mut sums[bodies.of[node]];
            sum.0 += force;
            sum.1 += moment + self.arms[node].cross(&force);
        };
        for (f, &(i, j, _)) in forces.iter().zip(&self.symbolic.members) {
            add(i, f[0], f[1]);
            add(j, f[2], f[3]);
        }
        for load in loads {
            add(load.node, -load.force, -load.moment);
        }
        bodies
            .freedoms
            .iter()
            .enumerate()
            .filter(|(_, f)| f.contains(&Freedom::Held))
            .map(|(body, _)| (bodies.reference[body], six(sums[body].0, sums[body].1)))
            .collect()
    }
}

/// 1/sqrt(D) of each unknown: D per node the sum of EA/L of its members, times 0.3² m² for turns, carried to the piece.
fn scaling(
    symbolic: &Symbolic,
    members: &[Member],
    elements: &[Element],
    arms: &[Vector3<f64>],
) -> Vec<f64> {
    let mut d = vec![0.0; arms.len()];
    for (m, e) in members.iter().zip(elements) {
        d[m.i] += e.stiffness[0];
        d[m.j] += e.stiffness[0];
    }
    let mut pieces = vec![[0.0; 6]; symbolic.bodies.reference.len()];
    for ((&body, d), a) in symbolic.bodies.of.iter().zip(d).zip(arms) {
        let arm = a.norm_squared();
        for k in 0..3 {
            pieces[body][k] += d;
            pieces[body][k + 3] += d * (TURN_LENGTH * TURN_LENGTH + arm - a[k] * a[k]);
        }
    }
    symbolic
        .bodies
        .place
        .iter()
        .map(|&(body, k)| 1.0 / pieces[body][k].sqrt())
        .collect()
}

pub(crate) fn norm(x: &[f64]) -> f64 {
    x.iter().map(|v| v * v).sum::<f64>().sqrt()
}
