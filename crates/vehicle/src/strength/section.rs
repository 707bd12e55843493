//! Round sections and what they are made of.

use std::f64::consts::PI;

use super::{StrengthError, positive};

/// A round section.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Section {
    /// Tube by its nominal size.
    Tube {
        /// Outside diameter, m, positive.
        outside: f64,
        /// Wall, m, positive, below half the outside diameter.
        wall: f64,
    },
    /// Solid bar.
    Solid {
        /// Diameter, m, positive.
        diameter: f64,
    },
}

impl Section {
    /// Outside and inside diameter, m.
    fn diameters(self) -> (f64, f64) {
        match self {
            Self::Tube { outside, wall } => (outside, outside - 2.0 * wall),
            Self::Solid { diameter } => (diameter, 0.0),
        }
    }

    /// # Errors
    /// [`StrengthError::BadInput`] for a section that is none.
    pub fn check(self) -> Result<(), StrengthError> {
        match self {
            Self::Tube { outside, wall } => {
                positive("outside diameter", outside)?;
                positive("wall", wall)?;
                positive("bore", outside - 2.0 * wall).map(|_| ())
            }
            Self::Solid { diameter } => positive("diameter", diameter).map(|_| ()),
        }
    }

    /// Area A, m².
    #[must_use]
    pub fn area(self) -> f64 {
        let (d, b) = self.diameters();
        0.25 * PI * (d * d - b * b)
    }

    /// Second moment of area I, m⁴.
    #[must_use]
    pub fn second_moment(self) -> f64 {
        let (d, b) = self.diameters();
        PI / 64.0 * (d.powi(4) - b.powi(4))
    }

    /// Polar second moment J = 2 I, m⁴.
    #[must_use]
    pub fn polar_moment(self) -> f64 {
        2.0 * self.second_moment()
    }

    /// Radius of gyration k = √(I/A), m.
    #[must_use]
    pub fn gyration(self) -> f64 {
        (self.second_moment() / self.area()).sqrt()
    }
}

/// A material by what a column needs of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Material {
    /// Young's modulus E, Pa, positive.
    pub modulus: f64,
    /// Yield strength S_y, Pa, positive.
    pub yield_strength: f64,
}

impl Material {
    /// # Errors
    /// [`StrengthError::BadInput`].
    pub fn check(&self) -> Result<(), StrengthError> {
        positive("Young's modulus", self.modulus)?;
        positive("yield strength", self.yield_strength).map(|_| ())
    }
}
