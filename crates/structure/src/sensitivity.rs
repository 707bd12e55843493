//! What a thicker or larger tube brings to a test's stiffness, and where the strain energy is.
//!
//! With u₁ the answer to the unit load, 1/K = f₁ᵀu₁ and ∂K/∂p = K² u₁ᵀ(∂K_e/∂p)u₁ summed over the tube's members: the
//! load is its own adjoint, so one solve gives every member. ∂K_e/∂p goes through A, I, J and A_s; a bend's ovalling
//! factor is held.

use std::collections::BTreeMap;

use crate::element::mode_stiffness;
use crate::error::FrameError;
use crate::model::Frame;
use crate::rig::Tested;
use crate::section::Size;

/// A rate by one size.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rate {
    /// Change of the test's stiffness, N·m/rad or N/m, per metre of the size.
    pub stiffness: f64,
    /// Change of mass, kg per metre of the size.
    pub mass: f64,
}

impl Rate {
    /// Stiffness gained per kilogram; 0 where no mass comes.
    #[must_use]
    pub fn per_kilogram(&self) -> f64 {
        if self.mass == 0.0 {
            0.0
        } else {
            self.stiffness / self.mass
        }
    }
}

/// What one member or one tube does in a test.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Share {
    /// Mass, kg.
    pub mass: f64,
    /// Strain energy under the unit load, J.
    pub energy: f64,
    /// Its share of all strain energy, 0 to 1.
    pub energy_share: f64,
    /// By wall at held outside sizes. None where a member has no wall.
    pub wall: Option<Rate>,
    /// By outside diameter at held wall. None where a member is not round.
    pub outside_diameter: Option<Rate>,
}

fn rate(
    frame: &Frame,
    tested: &Tested,
    strains: &[[f64; 6]],
    member: usize,
    by: Size,
) -> Option<Rate> {
    let m = frame.members.get(member)?;
    let element = tested.factored.elements.get(member)?;
    let numbers = m.section.dual(by)?;
    let rates = mode_stiffness(&numbers, m, frame.options, element.length);
    let change: f64 = rates
        .iter()
        .zip(strains.get(member)?)
        .map(|(k, s)| k.rate * s * s)
        .sum();
    Some(Rate {
        stiffness: tested.stiffness * tested.stiffness * change,
        mass: m.material.density * element.length * numbers.area.rate,
    })
}

/// Shares of every member, in their order. The frame must be the one that was tested.
///
/// # Errors
/// [`FrameError::StructureChanged`]: it is not.
pub fn by_member(frame: &Frame, tested: &Tested) -> Result<Vec<Share>, FrameError> {
    if !tested.factored.symbolic.fits(frame) || frame.nodes != tested.factored.positions {
        return Err(FrameError::StructureChanged);
    }
    let strains = tested.factored.strains(&tested.unit.displacements);
    let total: f64 = tested.unit.energies.iter().sum();
    Ok((0..frame.members.len())
        .map(|member| {
            let energy = tested.unit.energies[member];
            Share {
                mass: frame.member_mass(member).unwrap_or(0.0),
                energy,
                energy_share: if total > 0.0 { energy / total } else { 0.0 },
                wall: rate(frame, tested, &strains, member, Size::Wall),
                outside_diameter: rate(frame, tested, &strains, member, Size::OutsideDiameter),
            }
        })
        .collect())
}

/// Shares of every tube, its members summed. A rate is given where every member of the tube has that size.
///
/// # Errors
/// As [`by_member`].
pub fn by_tube(frame: &Frame, tested: &Tested) -> Result<BTreeMap<usize, Share>, FrameError> {
    let add = |a: Option<Rate>, b: Option<Rate>| {
        Some(Rate {
            stiffness: a?.stiffness + b?.stiffness,
            mass: a?.mass + b?.mass,
        })
    };
    let mut out: BTreeMap<usize, Share> = BTreeMap::new();
    for (share, member) in by_member(frame, tested)?.into_iter().zip(&frame.members) {
        out.entry(member.tube)
            .and_modify(|all| {
                *all = Share {
                    mass: all.mass + share.mass,
                    energy: all.energy + share.energy,
                    energy_share: all.energy_share + share.energy_share,
                    wall: add(all.wall, share.wall),
                    outside_diameter: add(all.outside_diameter, share.outside_diameter),
                };
            })
            .or_insert(share);
    }
    Ok(out)
}
