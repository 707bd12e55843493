//! Bolts across a bracket: shear on one or two planes, strength from the SAE J429 grade table.

use std::f64::consts::PI;

use super::{StrengthError, positive};

const INCH: f64 = 0.0254;
/// 1 ksi, Pa (1 lbf = 4.448 221 615 260 5 N, exact).
const KSI: f64 = 4_448.221_615_260_5 / (INCH * INCH);

/// SAE J429 grades.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BoltGrade {
    /// Grade 1.
    G1,
    /// Grade 2.
    G2,
    /// Grade 5.
    G5,
    /// Grade 5.2.
    G5_2,
    /// Grade 8.
    G8,
    /// Grade 8.2.
    G8_2,
}

impl BoltGrade {
    /// All grades of the table.
    pub const ALL: [Self; 6] = [
        Self::G1,
        Self::G2,
        Self::G5,
        Self::G5_2,
        Self::G8,
        Self::G8_2,
    ];
}

impl std::fmt::Display for BoltGrade {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::G1 => "SAE J429 grade 1",
            Self::G2 => "SAE J429 grade 2",
            Self::G5 => "SAE J429 grade 5",
            Self::G5_2 => "SAE J429 grade 5.2",
            Self::G8 => "SAE J429 grade 8",
            Self::G8_2 => "SAE J429 grade 8.2",
        })
    }
}

/// Grade, diameter from and to (in), proof, yield and tensile strength (ksi). SAE J429 as quoted in Shigley & Mischke,
/// Mechanical Engineering Design, 5th ed., p. 341.
const TABLE: [(BoltGrade, [f64; 5]); 8] = [
    (BoltGrade::G1, [0.25, 1.5, 33.0, 36.0, 60.0]),
    (BoltGrade::G2, [0.25, 0.75, 55.0, 57.0, 74.0]),
    (BoltGrade::G2, [0.875, 1.5, 33.0, 36.0, 60.0]),
    (BoltGrade::G5, [0.25, 1.0, 85.0, 92.0, 120.0]),
    (BoltGrade::G5, [1.125, 1.5, 74.0, 81.0, 105.0]),
    (BoltGrade::G5_2, [0.25, 1.0, 85.0, 92.0, 120.0]),
    (BoltGrade::G8, [0.25, 1.5, 120.0, 130.0, 150.0]),
    (BoltGrade::G8_2, [0.25, 1.0, 120.0, 130.0, 150.0]),
];

/// Strength of a bolt, Pa.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BoltStrength {
    /// Proof strength.
    pub proof: f64,
    /// Yield strength.
    pub yield_strength: f64,
    /// Tensile strength.
    pub tensile: f64,
}

/// The grade table for a nominal diameter, m.
///
/// # Errors
/// [`StrengthError::NotInTable`].
pub fn bolt_strength(grade: BoltGrade, diameter: f64) -> Result<BoltStrength, StrengthError> {
    let inches = diameter / INCH;
    TABLE
        .iter()
        .find(|(g, row)| *g == grade && inches >= row[0] - 1e-9 && inches <= row[1] + 1e-9)
        .map(|(_, row)| BoltStrength {
            proof: row[2] * KSI,
            yield_strength: row[3] * KSI,
            tensile: row[4] * KSI,
        })
        .ok_or(StrengthError::NotInTable { grade, diameter })
}

/// How many planes of the bolt are sheared.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Planes {
    /// One: the rod on one side of a bracket.
    Single,
    /// Two: the rod between two bracket plates.
    Double,
}

impl Planes {
    /// 1 or 2.
    #[must_use]
    pub const fn count(self) -> f64 {
        match self {
            Self::Single => 1.0,
            Self::Double => 2.0,
        }
    }
}

/// What stands in the sheared plane.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ShearArea {
    /// The full shank.
    Shank,
    /// The thread, by its pitch, m: minor diameter d − 1.299038 p of a unified thread (Shigley & Mischke, table of unified
    /// threads, from memory).
    Thread {
        /// Pitch, m, positive.
        pitch: f64,
    },
}

/// Shear load at yield, N: planes · area · S_y/√3 (distortion energy), for a bolt of nominal diameter (m). Says nothing of bending
/// in a loose joint, nor of bearing.
///
/// # Errors
/// [`StrengthError::BadInput`].
pub fn bolt_shear(
    diameter: f64,
    yield_strength: f64,
    planes: Planes,
    area: ShearArea,
) -> Result<f64, StrengthError> {
    let diameter = positive("bolt diameter", diameter)?;
    let strength = positive("bolt yield strength", yield_strength)?;
    let sheared = match area {
        ShearArea::Shank => diameter,
        ShearArea::Thread { pitch } => {
            positive("thread pitch", pitch)?;
            positive("minor diameter", diameter - 1.299_038 * pitch)?
        }
    };
    Ok(planes.count() * 0.25 * PI * sheared * sheared * strength / 3.0_f64.sqrt())
}
