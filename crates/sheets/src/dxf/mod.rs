//! Flat parts for a laser or plasma table: plates of the assembly and brackets, as DXF R12.

mod flat;
mod write;

pub use flat::{FlatError, FlatPart, Shape, flat_parts};

use units::System;

/// Unit of the numbers in a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Unit {
    /// Millimetres.
    Millimetres,
    /// Inches.
    #[default]
    Inches,
}

impl Unit {
    /// As it stands in file names: "mm", "in".
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Millimetres => "mm",
            Self::Inches => "in",
        }
    }

    /// In full, as it stands in the drawing.
    #[must_use]
    pub const fn in_full(self) -> &'static str {
        match self {
            Self::Millimetres => "millimetres",
            Self::Inches => "inches",
        }
    }

    /// Of a length in m.
    #[must_use]
    pub fn of(self, metres: f64) -> f64 {
        match self {
            Self::Millimetres => 1000.0 * metres,
            Self::Inches => metres / 0.0254,
        }
    }

    /// What a shop of this system cuts by.
    #[must_use]
    pub const fn of_system(system: System) -> Self {
        match system {
            System::InchPound => Self::Inches,
            System::Si => Self::Millimetres,
        }
    }
}

/// The text of a part's file, DXF R12: outline and holes on layer CUT, centres on MARK, words on TEXT.
///
/// # Errors
/// [`FlatError`]: the part is not one that can be cut flat.
pub fn to_dxf(part: &FlatPart, unit: Unit) -> Result<String, FlatError> {
    let shape = part.shape.as_ref().map_err(Clone::clone)?;
    Ok(write::file(part, shape, unit))
}

/// The name of a part's file: what it is, its id, the unit of its numbers: "plate-rib_mm.dxf".
#[must_use]
pub fn file_name(part: &FlatPart, unit: Unit) -> String {
    let safe: String = part
        .id
        .chars()
        .map(|c| {
            if c.is_ascii_alphanumeric() || c == '-' {
                c
            } else {
                '_'
            }
        })
        .take(60)
        .collect();
    let safe = if safe.is_empty() {
        "part".to_owned()
    } else {
        safe
    };
    format!("{}-{safe}_{}.dxf", part.kind.word(), unit.name())
}

/// What a flat part is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PartKind {
    /// A plate of the assembly.
    Plate,
    /// A bracket's plate.
    Bracket,
}

impl PartKind {
    /// Its word in lists and file names.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Plate => "plate",
            Self::Bracket => "bracket",
        }
    }
}
