//! What an added tube between two nodes brings to a test's stiffness.
//!
//! Screening takes it as a pinned bar: with u₁ the answer to the unit load, b the ends' unit elongation and k = EA/L,
//! 1/K' = 1/K − k (bᵀu₁)²/(1 + k bᵀK⁻¹b) (Sherman and Morrison; exact for a pinned bar). The chosen one is solved again
//! with its real section and ends.

use std::collections::BTreeMap;

use nalgebra::{Matrix3, Vector3};

use crate::error::{FrameError, SolveError};
use crate::model::{Frame, Load, Material, Member, SHORTEST};
use crate::rig::{self, Tested};
use crate::section::Section;

/// A tube that may be added between two nodes of the frame.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Candidate {
    /// One end.
    pub i: usize,
    /// Other end.
    pub j: usize,
    /// Section.
    pub section: Section,
    /// Material.
    pub material: Material,
}

/// What it brings.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gain {
    /// Stiffness with it, N·m/rad or N/m.
    pub stiffness: f64,
    /// Stiffness gained.
    pub gain: f64,
    /// Its mass, kg.
    pub mass: f64,
}

impl Gain {
    /// Stiffness gained per kilogram; 0 where there is no mass.
    #[must_use]
    pub fn per_kilogram(&self) -> f64 {
        if self.mass > 0.0 {
            self.gain / self.mass
        } else {
            0.0
        }
    }

    /// Gained share of the stiffness without it.
    #[must_use]
    pub fn share(&self) -> f64 {
        self.gain / (self.stiffness - self.gain)
    }
}

struct Bar {
    direction: Vector3<f64>,
    length: f64,
    mass: f64,
}

fn bar(tested: &Tested, c: &Candidate, index: usize) -> Result<Bar, SolveError> {
    let nodes = tested.factored.positions.len();
    for node in [c.i, c.j] {
        if node >= nodes {
            return Err(FrameError::NoSuchNode {
                what: "brace",
                index,
                node,
                nodes,
            }
            .into());
        }
    }
    let along = tested.factored.positions[c.j] - tested.factored.positions[c.i];
    let length = along.norm();
    if !(length >= SHORTEST && length.is_finite()) {
        return Err(FrameError::NoLength {
            member: index,
            i: c.i,
            j: c.j,
            length,
        }
        .into());
    }
    let Material { e, density, .. } = c.material;
    for (what, value, good) in [
        ("Young's modulus", e, e > 0.0),
        ("density", density, density >= 0.0),
    ] {
        if !(value.is_finite() && good) {
            return Err(SolveError::Number {
                what,
                value,
                range: "a number above zero",
            });
        }
    }
    Ok(Bar {
        direction: along / length,
        length,
        mass: c.section.mass_per_metre(density) * length,
    })
}

fn moves(d: &[f64; 6]) -> Vector3<f64> {
    Vector3::new(d[0], d[1], d[2])
}

fn screened(tested: &Tested, c: &Candidate, bar: &Bar, own: f64) -> Gain {
    let u = &tested.unit.displacements;
    let driven = bar.direction.dot(&(moves(&u[c.j]) - moves(&u[c.i])));
    let k = c.material.e * c.section.area() / bar.length;
    let softness = 1.0 / tested.stiffness - k * driven * driven / (1.0 + k * own);
    let stiffness = 1.0 / softness;
    Gain {
        stiffness,
        gain: stiffness - tested.stiffness,
        mass: bar.mass,
    }
}

/// A candidate taken as a pinned bar: one solve.
///
/// # Errors
/// [`SolveError`]: its nodes are not there, coincide, or move where nothing resists.
pub fn screen(tested: &Tested, candidate: &Candidate) -> Result<Gain, SolveError> {
    let bar = bar(tested, candidate, 0)?;
    let loads = [
        Load::force(candidate.i, -bar.direction),
        Load::force(candidate.j, bar.direction),
    ];
    let (u, _) = tested.factored.displacements(&loads)?;
    let own = bar
        .direction
        .dot(&(moves(&u[candidate.j]) - moves(&u[candidate.i])));
    Ok(screened(tested, candidate, &bar, own))
}

/// Candidates as pinned bars, the largest gain first, with their index; those that fail are left out. The answers to
/// unit forces on the candidates' nodes are shared where that needs fewer solves than one for each.
#[must_use]
pub fn rank_braces(tested: &Tested, candidates: &[Candidate]) -> Vec<(usize, Gain)> {
    let mut at: BTreeMap<usize, Option<[Vec<[f64; 6]>; 3]>> = BTreeMap::new();
    for c in candidates {
        at.insert(c.i, None);
        at.insert(c.j, None);
    }
    let share = 3 * at.len() < candidates.len();
    if share {
        for (node, answers) in &mut at {
            let solve = |k: usize| {
                let mut force = Vector3::zeros();
                force[k] = 1.0;
                tested
                    .factored
                    .displacements(&[Load::force(*node, force)])
                    .ok()
                    .map(|(u, _)| u)
            };
            *answers = solve(0)
                .zip(solve(1))
                .zip(solve(2))
                .map(|((x, y), z)| [x, y, z]);
        }
    }
    let gain = |index: usize, c: &Candidate| -> Option<Gain> {
        let bar = bar(tested, c, index).ok()?;
        let (Some(Some(i)), Some(Some(j))) = (at.get(&c.i), at.get(&c.j)) else {
            return screen(tested, c).ok();
        };
        let block = |answers: &[Vec<[f64; 6]>; 3], node: usize| {
            Matrix3::from_columns(&[0, 1, 2].map(|k| moves(&answers[k][node])))
        };
        let difference = block(i, c.i) + block(j, c.j) - block(i, c.j) - block(j, c.i);
        let own = bar.direction.dot(&(difference * bar.direction));
        Some(screened(tested, c, &bar, own))
    };
    let mut out: Vec<(usize, Gain)> = candidates
        .iter()
        .enumerate()
        .filter_map(|(index, c)| Some((index, gain(index, c)?)))
        .filter(|(_, g)| g.gain.is_finite())
        .collect();
    out.sort_by(|a, b| b.1.gain.total_cmp(&a.1.gain).then(a.0.cmp(&b.0)));
    out
}

/// The test again with the member really there, welded or pinned as it says.
///
/// # Errors
/// [`SolveError`]: the member is wrong or the frame cannot be tested.
pub fn with_brace(
    frame: &Frame,
    tested: &Tested,
    member: Member,
) -> Result<(Gain, Tested), SolveError> {
    let mut braced = frame.clone();
    braced.members.push(member);
    let again = rig::run(&braced, tested.test)?;
    let mass = braced.member_mass(frame.members.len()).unwrap_or(0.0);
    Ok((
        Gain {
            stiffness: again.stiffness,
            gain: again.stiffness - tested.stiffness,
            mass,
        },
        again,
    ))
}
