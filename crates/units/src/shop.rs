//! How one shop wants to read its numbers.

use serde::{Deserialize, Serialize};

/// The family of units shown on screens and sheets.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum System {
    /// Inches, pounds, psi, mph, °F.
    #[default]
    InchPound,
    /// Millimetres, kilograms, newtons, kPa, km/h, °C.
    Si,
}

/// How finely lengths are shown.
///
/// In inch-pound units it is the denominator of the tape; in SI it is the step in
/// millimetres: 1, 0.5, 0.1 and 0.01.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Fraction {
    /// 1/16 in, or 1 mm.
    #[default]
    Sixteenth,
    /// 1/32 in, or 0.5 mm.
    ThirtySecond,
    /// 1/64 in, or 0.1 mm.
    SixtyFourth,
    /// Decimal inches to 0.001 in, or 0.01 mm.
    Decimal,
}

impl Fraction {
    /// The tape's denominator, `None` for decimal inches.
    #[must_use]
    pub const fn denominator(self) -> Option<u32> {
        match self {
            Self::Sixteenth => Some(16),
            Self::ThirtySecond => Some(32),
            Self::SixtyFourth => Some(64),
            Self::Decimal => None,
        }
    }
}

/// The display settings of one shop. A display setting never changes a stored value.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Shop {
    /// Family of units.
    pub system: System,
    /// Fineness of lengths.
    pub fraction: Fraction,
}

impl Shop {
    /// Inches to 1/16: the default.
    pub const INCH: Self = Self {
        system: System::InchPound,
        fraction: Fraction::Sixteenth,
    };
    /// SI, lengths to 1 mm.
    pub const METRIC: Self = Self {
        system: System::Si,
        fraction: Fraction::Sixteenth,
    };
}
