//! What a member stands: stresses at its ends, and its reserve against yield and as a column.
//!
//! Round tube: σ = |N|/A + sqrt(M_y² + M_z²)·r/I, τ = |T|·r/J + 2V/A. Rectangular tube: σ = |N|/A + |M_y|·h/2I_y +
//! |M_z|·b/2I_z, τ = |T|/(2·A_m·t) + the larger V/(2t·(side − t)). Von Mises sqrt(σ² + 3τ²). Largest values are added though
//! they may lie at different places: on the safe side. Stress of welds and brackets is not in it.
//!
//! Column: Euler where slender, Johnson's parabola where not, pinned ends, over the whole straight tube (Shigley &
//! Mischke, Mechanical Engineering Design, from memory).

use std::f64::consts::PI;

use crate::error::SolveError;
use crate::model::Frame;
use crate::section::{Section, Shape};

/// Stress at one end of a member, Pa.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Stress {
    /// Largest normal stress, without sign.
    pub normal: f64,
    /// Largest shear stress.
    pub shear: f64,
}

impl Stress {
    /// sqrt(σ² + 3τ²), Pa.
    #[must_use]
    pub fn von_mises(&self) -> f64 {
        (self.normal * self.normal + 3.0 * self.shear * self.shear).sqrt()
    }
}

/// Stress from force and moment at one end (N, V_y, V_z, T, M_y, M_z in local axes; signs do not matter).
#[must_use]
pub fn stress(section: &Section, end: &[f64; 6]) -> Stress {
    let [n, vy, vz, t, my, mz] = end.map(f64::abs);
    let s = section.numbers();
    match *section.shape() {
        Shape::Round { od, .. } => {
            let r = od / 2.0;
            Stress {
                normal: n / s.area + my.hypot(mz) * r / s.i_y,
                shear: t * r / s.j + 2.0 * vy.hypot(vz) / s.area,
            }
        }
        Shape::Rectangular {
            height,
            width,
            wall,
            ..
        } => {
            let enclosed = section.enclosed_area().unwrap_or(f64::INFINITY);
            let along_z = vz / (2.0 * wall * (height - wall));
            let along_y = vy / (2.0 * wall * (width - wall));
            Stress {
                normal: n / s.area + my * height / (2.0 * s.i_y) + mz * width / (2.0 * s.i_z),
                shear: t / (2.0 * enclosed * wall) + along_z.max(along_y),
            }
        }
        Shape::Raw { c_y, c_z } => Stress {
            normal: n / s.area + my * c_z / s.i_y + mz * c_y / s.i_z,
            shear: t * c_y.max(c_z) / s.j + (vy / s.shear_y).max(vz / s.shear_z),
        },
    }
}

/// Stress at both ends, from twelve end forces.
#[must_use]
pub fn stresses(section: &Section, end_forces: &[f64; 12]) -> [Stress; 2] {
    [0, 6].map(|from| {
        let end: [f64; 6] = std::array::from_fn(|k| end_forces[from + k]);
        stress(section, &end)
    })
}

/// Load at which a pinned column of this length gives way, N.
#[must_use]
pub fn critical_load(section: &Section, modulus: f64, yield_strength: f64, length: f64) -> f64 {
    let slenderness = length / section.gyration();
    let transition = (2.0 * PI * PI * modulus / yield_strength).sqrt();
    let stress = if slenderness >= transition {
        PI * PI * modulus / (slenderness * slenderness)
    } else {
        yield_strength - (yield_strength * slenderness / (2.0 * PI)).powi(2) / modulus
    };
    stress * section.area()
}

/// Reserve of a straight tube; a reserve is what it stands over what it carries, infinite where it carries nothing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reserve {
    /// Yield strength over the largest von Mises stress.
    pub yields: f64,
    /// Member and end (0 at i, 1 at j) where that stress is.
    pub at: (usize, usize),
    /// The stress there, Pa.
    pub von_mises: f64,
    /// Critical load over the largest compression in the straight.
    pub column: f64,
    /// Largest compression, N; 0 where there is none.
    pub compression: f64,
    /// Length of the straight as a column, m.
    pub length: f64,
}

impl Reserve {
    /// The lower of the two.
    #[must_use]
    pub fn lowest(&self) -> f64 {
        self.yields.min(self.column)
    }
}

fn over(stands: f64, carries: f64) -> f64 {
    if carries > 0.0 {
        stands / carries
    } else {
        f64::INFINITY
    }
}

/// Reserve of one straight made of the given members (a tube's straight between its ends or bends): the column is as
/// long as all of them together and as weak as the weakest.
///
/// # Errors
/// [`SolveError::Number`]: a member that is not there, no members, or a yield strength not above zero.
pub fn reserve(
    frame: &Frame,
    end_forces: &[[f64; 12]],
    straight: &[usize],
    yield_strength: f64,
) -> Result<Reserve, SolveError> {
    if !(yield_strength > 0.0 && yield_strength.is_finite()) {
        return Err(SolveError::Number {
            what: "the yield strength",
            value: yield_strength,
            range: "above zero",
        });
    }
    let mut length = 0.0;
    for &member in straight {
        length += frame.length(member).unwrap_or(f64::NAN);
    }
    let mut out: Option<Reserve> = None;
    for &member in straight {
        let (Some(m), Some(forces)) = (frame.members.get(member), end_forces.get(member)) else {
            return Err(SolveError::Number {
                what: "a member of the straight",
                value: member as f64,
                range: "the index of a member with forces",
            });
        };
        let compression = (-forces[6]).max(forces[0]).max(0.0);
        let critical = critical_load(&m.section, m.material.e, yield_strength, length);
        let column = over(critical, compression);
        let stresses = stresses(&m.section, forces).map(|s| s.von_mises());
        let end = usize::from(stresses[1] > stresses[0]);
        let here = Reserve {
            yields: over(yield_strength, stresses[end]),
            at: (member, end),
            von_mises: stresses[end],
            column,
            compression,
            length,
        };
        out = Some(match out {
            None => here,
            Some(all) => {
                let worse = if here.von_mises > all.von_mises {
                    here
                } else {
                    all
                };
                Reserve {
                    column: here.column.min(all.column),
                    compression: here.compression.max(all.compression),
                    ..worse
                }
            }
        });
    }
    out.ok_or(SolveError::Number {
        what: "the number of members in the straight",
        value: 0.0,
        range: "one or more",
    })
}
