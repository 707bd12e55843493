//! Motions of a frame that nothing resists.
//!
//! v is a free motion when vᵀKv < 1e-12·vᵀDv, with D per node the sum of EA/L of its members (times (0.3 m)² for turns).
//! They are found as the lowest eigenvectors of the scaled stiffness by block inverse iteration with a small shift,
//! counted, split by connected part and gathered where they move most, and named. Sound frames have lowest ratios of
//! 1e-5 (15 nodes) to 5e-8 (320 nodes).

use std::fmt;

use nalgebra::{DMatrix, Matrix6, SymmetricEigen, Vector3, Vector6};

use crate::solve::{Displacement, Factored, TURN_LENGTH, norm};

/// Ratio below which a motion is free.
pub const FREE: f64 = 1e-12;
/// Share of a load that may work on a free motion.
pub const NO_WORK: f64 = 1e-9;
/// Added to the scaled diagonal where a frame may be free.
pub(crate) const SHIFT: f64 = 1e-11;
/// Ratio above which no search is needed.
const SURELY_SOUND: f64 = 1e-9;
/// Most free motions told apart.
const MOST: usize = 96;
/// Part of the largest movement below which a node rests.
const RESTS: f64 = 1e-6;

/// An axis of the car.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Axis {
    /// Forward.
    X,
    /// Left.
    Y,
    /// Up.
    Z,
}

impl Axis {
    fn of(v: &Vector3<f64>) -> Self {
        [Self::X, Self::Y, Self::Z][v.iamax()]
    }
}

impl fmt::Display for Axis {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::X => "fore and aft",
            Self::Y => "sideways",
            Self::Z => "up and down",
        })
    }
}

/// How a rigid piece moves.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum RigidMotion {
    /// Turns about x.
    Rolls,
    /// Turns about y.
    Pitches,
    /// Turns about z.
    Yaws,
    /// Moves without turning, mostly along the axis.
    Moves(Axis),
}

impl fmt::Display for RigidMotion {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Rolls => f.write_str("rolls"),
            Self::Pitches => f.write_str("pitches"),
            Self::Yaws => f.write_str("yaws"),
            Self::Moves(axis) => write!(f, "moves {axis}"),
        }
    }
}

/// Which motion it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Motion {
    /// The whole frame, as one piece.
    WholeFrame(RigidMotion),
    /// A part that no member joins to the rest, as one piece; with its first node.
    LoosePart {
        /// First node of the part.
        node: usize,
        /// How it moves.
        motion: RigidMotion,
    },
    /// A tube spins about its own axis.
    TubeSpins {
        /// The tube.
        tube: usize,
    },
    /// Anything else, named by the node that moves most and the axis along (or, turning only, about) which it does.
    Node {
        /// The node.
        node: usize,
        /// The axis.
        axis: Axis,
        /// It turns without moving.
        turns: bool,
    },
}

impl fmt::Display for Motion {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::WholeFrame(motion) => write!(f, "whole frame {motion}"),
            Self::LoosePart { node, motion } => {
                write!(f, "the loose part with node {node} {motion}")
            }
            Self::TubeSpins { tube } => write!(f, "tube {tube} spins about itself"),
            Self::Node {
                node,
                axis,
                turns: false,
            } => write!(f, "node {node} moves {axis}"),
            Self::Node { node, axis, .. } => {
                let about = match axis {
                    Axis::X => 'x',
                    Axis::Y => 'y',
                    Axis::Z => 'z',
                };
                write!(f, "node {node} turns about {about}")
            }
        }
    }
}

/// One free motion.
#[derive(Clone, Debug, PartialEq)]
pub struct FreeMotion {
    /// Its name.
    pub motion: Motion,
    /// Its shape: the node that moves most moves by 1 (m, a turn of 1 rad counting as 0.3 m).
    pub shape: Vec<Displacement>,
    /// Nodes that move, turns counted.
    pub nodes: Vec<usize>,
    /// The node whose place moves most.
    pub most: usize,
    /// Unit direction in which it moves; its sign means nothing. Zero where nodes only turn.
    pub direction: Vector3<f64>,
}

/// All free motions of a frame under its supports. With several in one part only their number and the nodes that move
/// are defined: any mixture of them is as good.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct FreeMotions {
    /// How many.
    pub count: usize,
    /// The search ended at this number: there may be more.
    pub at_least: bool,
    /// Each one, as far as they can be told apart.
    pub motions: Vec<FreeMotion>,
    /// Nodes that move in any.
    pub nodes: Vec<usize>,
}

impl fmt::Display for FreeMotions {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (n, motion) in self.motions.iter().take(3).enumerate() {
            if n > 0 {
                f.write_str("; ")?;
            }
            write!(f, "{}", motion.motion)?;
        }
        if self.motions.len() > 3 {
            write!(f, "; {} free motions in all", self.count)?;
        }
        Ok(())
    }
}

/// Free motions as scaled vectors, and what to tell of them.
#[derive(Clone, Default)]
pub(crate) struct Free {
    /// Orthonormal.
    pub(crate) vectors: Vec<Vec<f64>>,
    pub(crate) motions: Option<FreeMotions>,
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

impl Free {
    /// Whether a scaled load works on a free motion.
    pub(crate) fn driven_by(&self, load: &[f64], size: f64) -> bool {
        let work: f64 = self.vectors.iter().map(|v| dot(v, load).powi(2)).sum();
        work.sqrt() >= NO_WORK * size && work > 0.0
    }

    /// Takes the free motions out of a vector.
    pub(crate) fn clean(&self, x: &mut [f64]) {
        for v in &self.vectors {
            let part = dot(v, x);
            for (x, v) in x.iter_mut().zip(v) {
                *x -= part * v;
            }
        }
    }
}

/// A fixed vector without pattern, entries within ±1.
fn scattered(n: usize, seed: u64) -> Vec<f64> {
    let mut state = seed
        .wrapping_mul(0x9e37_79b9_7f4a_7c15)
        .wrapping_add(0x1234_5678_9abc_def1);
    (0..n)
        .map(|_| {
            state ^= state << 13;
            state ^= state >> 7;
            state ^= state << 17;
            (state >> 11) as f64 / (1_u64 << 52) as f64 - 1.0
        })
        .collect()
}

fn normalise(x: &mut [f64]) -> bool {
    let size = norm(x);
    if !(size.is_finite() && size > 0.0) {
        return false;
    }
    for v in x {
        *v /= size;
    }
    true
}

/// A quick look by inverse iteration with the plain factor: true only where the lowest ratio is far above free.
pub(crate) fn sound(f: &Factored) -> bool {
    let mut x = scattered(f.symbolic.unknowns(), 1);
    for _ in 0..2 {
        if !normalise(&mut x) {
            return false;
        }
        f.back(&mut x);
    }
    normalise(&mut x) && dot(&x, &f.times(&x)) > SURELY_SOUND
}

/// Orthonormal columns, twice over; None when a number is not finite.
fn orthonormal(columns: &mut [Vec<f64>]) -> Option<()> {
    for k in 0..columns.len() {
        let (before, rest) = columns.split_at_mut(k);
        let column = rest.first_mut()?;
        for _ in 0..2 {
            for b in before.iter() {
                let part = dot(b, column);
                for (c, b) in column.iter_mut().zip(b) {
                    *c -= part * b;
                }
            }
            if !normalise(column) {
                *column = scattered(column.len(), 1000 + k as u64);
                normalise(column).then_some(())?;
            }
        }
    }
    Some(())
}

fn combine(columns: &[Vec<f64>], weights: impl Iterator<Item = f64>) -> Vec<f64> {
    let mut out = vec![0.0; columns.first().map_or(0, Vec::len)];
    for (column, w) in columns.iter().zip(weights) {
        for (o, c) in out.iter_mut().zip(column) {
            *o += w * c;
        }
    }
    out
}

/// Eigenvectors of the scaled stiffness below [`FREE`], of a block of the given width.
fn lowest(f: &Factored, width: usize) -> Option<Vec<Vec<f64>>> {
    let n = f.symbolic.unknowns();
    let mut columns: Vec<Vec<f64>> = (0..width).map(|k| scattered(n, 2 + k as u64)).collect();
    let mut free = Vec::new();
    for round in 0..6 {
        for column in &mut columns {
            f.back(column);
        }
        orthonormal(&mut columns)?;
        if round < 2 {
            continue;
        }
        let images: Vec<Vec<f64>> = columns.iter().map(|c| f.times(c)).collect();
        let small = DMatrix::from_fn(width, width, |r, c| {
            (dot(&columns[r], &images[c]) + dot(&columns[c], &images[r])) / 2.0
        });
        if !small.iter().all(|v| v.is_finite()) {
            return None;
        }
        let eigen = SymmetricEigen::try_new(small, f64::EPSILON, 1000)?;
        let mut order: Vec<usize> = (0..width).collect();
        order.sort_by(|a, b| eigen.eigenvalues[*a].total_cmp(&eigen.eigenvalues[*b]));
        columns = order
            .iter()
            .map(|k| combine(&columns, eigen.eigenvectors.column(*k).iter().copied()))
            .collect();
        let count = order
            .iter()
            .filter(|k| eigen.eigenvalues[**k] < FREE)
            .count();
        free = columns[..count].to_vec();
    }
    Some(free)
}

/// All free motions; None when the numbers break down.
pub(crate) fn find(f: &Factored) -> Option<Free> {
    let n = f.symbolic.unknowns();
    let mut width = n.min(8);
    let vectors = loop {
        let found = lowest(f, width)?;
        if found.len() < width || width == n || width >= MOST {
            break found;
        }
        width = (2 * width).min(n).min(MOST);
    };
    if vectors.is_empty() {
        return Some(Free::default());
    }
    let at_least = vectors.len() == MOST && MOST < n;
    let vectors = gathered(f, &vectors);
    let motions: Vec<FreeMotion> = vectors.iter().map(|v| named(f, v)).collect();
    let mut nodes: Vec<usize> = motions.iter().flat_map(|m| m.nodes.clone()).collect();
    nodes.sort_unstable();
    nodes.dedup();
    Some(Free {
        motions: Some(FreeMotions {
            count: vectors.len(),
            at_least,
            motions,
            nodes,
        }),
        vectors,
    })
}

/// Another basis of the same motions, each as far as can be in one place: the motion that moves the unknown that moves
/// most, then the most of what is left.
fn gathered(f: &Factored, vectors: &[Vec<f64>]) -> Vec<Vec<f64>> {
    let mut left: Vec<Vec<f64>> = vectors.to_vec();
    let mut out = Vec::new();
    let bodies = &f.symbolic.bodies;
    while !left.is_empty() {
        let share = |at: usize| left.iter().map(|v| v[at] * v[at]).sum::<f64>();
        let mut best = (0, -1.0);
        for at in 0..bodies.unknowns {
            let s = share(at);
            // The first of equals, whatever the rounding.
            if s > best.1 * (1.0 + 1e-9) {
                best = (at, s);
            }
        }
        let mut v = combine(&left, left.iter().map(|v| v[best.0]));
        // Nothing of another part belongs to it.
        let part = f.symbolic.part[bodies.place[best.0].0];
        for (x, (body, _)) in v.iter_mut().zip(&bodies.place) {
            if f.symbolic.part[*body] != part {
                *x = 0.0;
            }
        }
        if !normalise(&mut v) {
            break;
        }
        for other in &mut left {
            let along = dot(other, &v);
            for (o, v) in other.iter_mut().zip(&v) {
                *o -= along * v;
            }
        }
        // What is left has one dimension less: its shortest vector goes.
        left = narrowed(&left);
        out.push(v);
    }
    out
}

/// Orthonormal basis of the span of n vectors that has n − 1 dimensions.
fn narrowed(vectors: &[Vec<f64>]) -> Vec<Vec<f64>> {
    let mut pool: Vec<Vec<f64>> = vectors.to_vec();
    let mut out: Vec<Vec<f64>> = Vec::new();
    while out.len() + 1 < vectors.len() && !pool.is_empty() {
        let longest = (0..pool.len())
            .max_by(|a, b| norm(&pool[*a]).total_cmp(&norm(&pool[*b])))
            .unwrap_or(0);
        let mut v = pool.swap_remove(longest);
        for o in &out {
            let along = dot(&v, o);
            for (x, o) in v.iter_mut().zip(o) {
                *x -= along * o;
            }
        }
        if !normalise(&mut v) {
            break;
        }
        for p in &mut pool {
            let along = dot(p, &v);
            for (x, v) in p.iter_mut().zip(&v) {
                *x -= along * v;
            }
        }
        out.push(v);
    }
    out
}

fn place(d: &Displacement) -> Vector3<f64> {
    Vector3::new(d[0], d[1], d[2])
}

fn turn(d: &Displacement) -> Vector3<f64> {
    Vector3::new(d[3], d[4], d[5]) * TURN_LENGTH
}

fn named(f: &Factored, scaled: &[f64]) -> FreeMotion {
    let mut shape = f.nodal(scaled);
    let size = |d: &Displacement| place(d).norm().hypot(turn(d).norm());
    let largest = shape.iter().map(size).fold(0.0, f64::max);
    if largest > 0.0 {
        for d in &mut shape {
            for x in d {
                *x /= largest;
            }
        }
    }
    let nodes: Vec<usize> = (0..shape.len())
        .filter(|n| size(&shape[*n]) > RESTS)
        .collect();
    let most_by = |measure: &dyn Fn(&Displacement) -> f64| {
        let mut best = (0, -1.0);
        for (node, d) in shape.iter().enumerate() {
            let m = measure(d);
            if m > best.1 * (1.0 + 1e-9) {
                best = (node, m);
            }
        }
        best
    };
    let (moves_most, moved) = most_by(&|d| place(d).norm());
    let (turns_most, _) = most_by(&|d| turn(d).norm());
    let turns = moved < RESTS;
    let most = if turns { turns_most } else { moves_most };
    let way = if turns {
        turn(&shape[most])
    } else {
        place(&shape[most])
    };
    let motion = spins(f, &shape, &nodes, turns)
        .or_else(|| rigid(f, &shape, &nodes))
        .unwrap_or(Motion::Node {
            node: most,
            axis: Axis::of(&way),
            turns,
        });
    FreeMotion {
        motion,
        direction: if turns {
            Vector3::zeros()
        } else {
            way.try_normalize(0.0).unwrap_or_default()
        },
        shape,
        nodes,
        most,
    }
}

/// A tube whose nodes only turn about its axis.
fn spins(f: &Factored, shape: &[Displacement], nodes: &[usize], turns: bool) -> Option<Motion> {
    if !turns {
        return None;
    }
    let mut tube = None;
    for (k, element) in f.elements.iter().enumerate() {
        let (i, j) = f.symbolic.ends(k);
        for node in [i, j].into_iter().filter(|n| nodes.contains(n)) {
            let about = turn(&shape[node]);
            let across = about.cross(&element.axes[0]).norm();
            if across > 1e-5 * about.norm().max(RESTS) || tube.is_some_and(|t| t != f.tubes[k]) {
                return None;
            }
            tube = Some(f.tubes[k]);
        }
    }
    tube.map(|tube| Motion::TubeSpins { tube })
}

/// A part that moves as one piece.
fn rigid(f: &Factored, shape: &[Displacement], nodes: &[usize]) -> Option<Motion> {
    let bodies = &f.symbolic.bodies;
    let first = *nodes.first()?;
    let part = f.symbolic.part[bodies.of[first]];
    let mut carried = vec![false; shape.len()];
    for k in 0..f.elements.len() {
        let (i, j) = f.symbolic.ends(k);
        carried[i] = true;
        carried[j] = true;
    }
    let all: Vec<usize> = (0..shape.len()).filter(|n| carried[*n]).collect();
    let own: Vec<usize> = all
        .iter()
        .copied()
        .filter(|n| f.symbolic.part[bodies.of[*n]] == part)
        .collect();
    if own.len() < 2 {
        return None;
    }
    let centre = own.iter().map(|n| f.positions[*n]).sum::<Vector3<f64>>() / own.len() as f64;
    // Least squares for the rigid motion of the places.
    let (mut normal, mut right) = (Matrix6::<f64>::zeros(), Vector6::<f64>::zeros());
    for n in &own {
        let a = f.positions[*n] - centre;
        let u = place(&shape[*n]);
        let mut rows = nalgebra::Matrix3x6::<f64>::zeros();
        rows.fixed_view_mut::<3, 3>(0, 0).fill_with_identity();
        rows.fixed_view_mut::<3, 3>(0, 3)
            .copy_from(&-a.cross_matrix());
        normal += rows.transpose() * rows;
        right += rows.transpose() * u;
    }
    let solved = normal.pseudo_inverse(1e-12 * normal.norm()).ok()? * right;
    let (v, w) = (
        solved.fixed_rows::<3>(0).into_owned(),
        solved.fixed_rows::<3>(3).into_owned(),
    );
    let mut reach = 0.0_f64;
    for n in &own {
        let a = f.positions[*n] - centre;
        reach = reach.max(a.norm());
        if (v + w.cross(&a) - place(&shape[*n])).norm() > 1e-5 {
            return None;
        }
    }
    let motion = if w.norm() * reach > 1e-3 * v.norm() {
        match Axis::of(&w) {
            Axis::X => RigidMotion::Rolls,
            Axis::Y => RigidMotion::Pitches,
            Axis::Z => RigidMotion::Yaws,
        }
    } else {
        RigidMotion::Moves(Axis::of(&v))
    };
    Some(if own.len() == all.len() {
        Motion::WholeFrame(motion)
    } else {
        Motion::LoosePart {
            node: own.first().copied().unwrap_or(first),
            motion,
        }
    })
}
