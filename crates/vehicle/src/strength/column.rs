//! A rod in compression: Euler where it is slender, Johnson's parabola where it is not.
//!
//! Slenderness L/k. From (L/k)₁ = √(2π² C E/S_y) on, where the Euler stress is S_y/2, Euler: P = C π² E I/L². Below it
//! Johnson: P = A·(S_y − (S_y L/(2π k))²/(C E)). C = 1 with pinned (rod) ends. Shigley & Mischke, Mechanical Engineering
//! Design, 5th ed., ch. 3 (columns), from memory.

use std::f64::consts::PI;

use super::section::{Material, Section};
use super::{StrengthError, positive};

/// A straight column.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Column {
    /// Section.
    pub section: Section,
    /// Material.
    pub material: Material,
    /// Length between the pins, m, positive.
    pub length: f64,
    /// End condition C, positive: 1 pinned at both ends.
    pub end_condition: f64,
}

/// Which formula holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ColumnKind {
    /// Slender: elastic buckling.
    Euler,
    /// Not slender: Johnson's parabola.
    Johnson,
}

/// The load at which a column gives way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CriticalLoad {
    /// Load, N, positive.
    pub load: f64,
    /// Formula that holds.
    pub kind: ColumnKind,
    /// L/k.
    pub slenderness: f64,
    /// (L/k)₁ where Euler begins.
    pub transition: f64,
}

impl Column {
    /// The critical load.
    ///
    /// # Errors
    /// [`StrengthError::BadInput`].
    pub fn critical_load(&self) -> Result<CriticalLoad, StrengthError> {
        self.section.check()?;
        self.material.check()?;
        let length = positive("column length", self.length)?;
        let c = positive("end condition", self.end_condition)?;
        let Material {
            modulus: e,
            yield_strength: sy,
        } = self.material;
        let slenderness = length / self.section.gyration();
        let transition = (2.0 * PI * PI * c * e / sy).sqrt();
        let (kind, stress) = if slenderness >= transition {
            (ColumnKind::Euler, c * PI * PI * e / slenderness.powi(2))
        } else {
            let lost = (sy * slenderness / (2.0 * PI)).powi(2) / (c * e);
            (ColumnKind::Johnson, sy - lost)
        };
        Ok(CriticalLoad {
            load: stress * self.section.area(),
            kind,
            slenderness,
            transition,
        })
    }
}
