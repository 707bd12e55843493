//! Which material may get correction beads.
//!
//! A bead laid to move a member quenches in its cold mass: a steel that hardens is left
//! with a hard, brittle zone. Such a material gets no plan and no bead factor, only the
//! reason. The tests run in the order of [`Refusal`]; the first that fails is the reason.
//!
//! Carbon equivalent CE = C + Mn/6 + (Cr + Mo + V)/5 + (Ni + Cu)/15, per cent by mass
//! (International Institute of Welding), of the mill sheet, or else of the top of the
//! grade's range. The limit 0.45 is the value from which IIW and EN 1011-2 practice asks
//! for care with preheat (from memory); exactly 0.45 passes.

use crate::error::{WeldError, finite};
use crate::section_pull::above_zero;
use serde::{Deserialize, Serialize};
use thiserror::Error;

/// Slack of a percentage on its limit.
const PERCENT_SLACK: f64 = 1.0e-9;
/// Thickness at which the preheat formula of EN 1011-2 starts, m.
pub const PREHEAT_FORMULA_FROM: f64 = 0.010;
/// What marks a chromium-molybdenum steel by name; small letters, no spaces, no hyphens.
const CHROME_MOLY: [&str; 7] = [
    "4130",
    "4140",
    "chromoly",
    "chromemoly",
    "crmo",
    "25crmo4",
    "15cdv6",
];

/// Why a material cannot be judged.
#[derive(Clone, Debug, PartialEq, Error)]
#[non_exhaustive]
pub enum GuardError {
    /// An input out of bounds.
    #[error(transparent)]
    Input(#[from] WeldError),
    /// More than the whole.
    #[error("the composition adds up to {sum} %, more than the whole")]
    OverWhole {
        /// Sum of the elements listed, per cent.
        sum: f64,
    },
}

/// Elements of a steel, per cent by mass. What is not listed is 0.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Composition {
    /// C.
    pub carbon: f64,
    /// Mn.
    pub manganese: f64,
    /// Si; no part of the carbon equivalent.
    pub silicon: f64,
    /// Cr.
    pub chromium: f64,
    /// Mo.
    pub molybdenum: f64,
    /// V.
    pub vanadium: f64,
    /// Ni.
    pub nickel: f64,
    /// Cu.
    pub copper: f64,
}

impl Composition {
    /// Nothing but these five; the others 0.
    const fn of(carbon: f64, manganese: f64, silicon: f64, chromium: f64, molybdenum: f64) -> Self {
        Self {
            carbon,
            manganese,
            silicon,
            chromium,
            molybdenum,
            vanadium: 0.0,
            nickel: 0.0,
            copper: 0.0,
        }
    }

    /// Carbon equivalent of the IIW, per cent.
    #[must_use]
    pub const fn carbon_equivalent(&self) -> f64 {
        self.carbon
            + self.manganese / 6.0
            + (self.chromium + self.molybdenum + self.vanadium) / 5.0
            + (self.nickel + self.copper) / 15.0
    }

    /// Whether nothing is listed.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }

    fn check(&self) -> Result<(), GuardError> {
        let named = [
            ("carbon", self.carbon),
            ("manganese", self.manganese),
            ("silicon", self.silicon),
            ("chromium", self.chromium),
            ("molybdenum", self.molybdenum),
            ("vanadium", self.vanadium),
            ("nickel", self.nickel),
            ("copper", self.copper),
        ];
        let mut sum = 0.0;
        for (what, value) in named {
            if finite(what, value)? < 0.0 {
                return Err(WeldError::Negative { what, value }.into());
            }
            sum += value;
        }
        if sum > 100.0 + PERCENT_SLACK {
            return Err(GuardError::OverWhole { sum });
        }
        Ok(())
    }
}

/// A grade of tube and the ends of its range.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Grade {
    /// Grade number.
    pub name: &'static str,
    /// Least of each element, per cent.
    pub least: Composition,
    /// Greatest of each element, per cent.
    pub greatest: Composition,
}

/// Ranges of ASTM A519 and A576.
pub const GRADES: [Grade; 4] = [
    Grade {
        name: "1018",
        least: Composition::of(0.15, 0.60, 0.0, 0.0, 0.0),
        greatest: Composition::of(0.20, 0.90, 0.0, 0.0, 0.0),
    },
    Grade {
        name: "1020",
        least: Composition::of(0.18, 0.30, 0.0, 0.0, 0.0),
        greatest: Composition::of(0.23, 0.60, 0.0, 0.0, 0.0),
    },
    Grade {
        name: "1026",
        least: Composition::of(0.22, 0.60, 0.0, 0.0, 0.0),
        greatest: Composition::of(0.28, 0.90, 0.0, 0.0, 0.0),
    },
    Grade {
        name: "4130",
        least: Composition::of(0.28, 0.40, 0.15, 0.80, 0.15),
        greatest: Composition::of(0.33, 0.60, 0.35, 1.10, 0.25),
    },
];

/// What kind of metal it is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Family {
    /// Carbon or low-alloy steel.
    #[default]
    Steel,
    /// Anything else: stainless, aluminium, cast iron, titanium.
    Other,
}

/// A material as entered.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Material {
    /// Its name.
    pub name: String,
    /// What kind of metal.
    pub family: Family,
    /// Composition of the mill sheet.
    pub mill_sheet: Option<Composition>,
    /// Top of the grade's range, taken where there is no mill sheet.
    pub range_top: Option<Composition>,
    /// Wall, m, for the remark on preheat.
    pub wall: Option<f64>,
}

/// Limits of the guard; per cent.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct GuardSettings {
    /// Greatest chromium: 0.30 (a choice).
    pub chromium: f64,
    /// Greatest molybdenum: 0.10 (a choice).
    pub molybdenum: f64,
    /// Greatest carbon equivalent: 0.45 (IIW and EN 1011-2 practice, from memory).
    pub carbon_equivalent: f64,
    /// Carbon equivalent from which the steel must not be cold: 0.40.
    pub remark_from: f64,
}

impl Default for GuardSettings {
    fn default() -> Self {
        Self {
            chromium: 0.30,
            molybdenum: 0.10,
            carbon_equivalent: 0.45,
            remark_from: 0.40,
        }
    }
}

/// Why there is no plan, in the order tested.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Refusal {
    /// The name says chromium-molybdenum.
    ChromeMolyByName,
    /// Not a carbon or low-alloy steel.
    NotSteel,
    /// Neither mill sheet nor range.
    CompositionUnknown,
    /// Chromium or molybdenum above its limit.
    Alloyed,
    /// Carbon equivalent above its limit.
    CarbonEquivalent,
}

impl Refusal {
    /// The reason in words.
    #[must_use]
    pub const fn reason(self) -> &'static str {
        match self {
            Self::ChromeMolyByName => "chromium-molybdenum by name",
            Self::NotSteel => "not carbon steel",
            Self::CompositionUnknown => "composition unknown",
            Self::Alloyed => "alloyed with chromium or molybdenum",
            Self::CarbonEquivalent => "carbon equivalent above limit",
        }
    }

    /// What may happen if a bead is laid all the same.
    #[must_use]
    pub const fn caution(self) -> &'static str {
        match self {
            Self::ChromeMolyByName | Self::Alloyed | Self::CarbonEquivalent => {
                "a small bead on cold metal leaves a hard, brittle zone that cracks"
            }
            Self::NotSteel => "nothing here holds for this metal: no bead is planned on it",
            Self::CompositionUnknown => {
                "may be a steel that a small bead leaves with a hard, brittle zone: \
                 find the mill sheet"
            }
        }
    }
}

/// Where the composition is from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Basis {
    /// The mill sheet.
    MillSheet,
    /// The top of the grade's range.
    RangeTop,
}

/// What to say of a material whether or not it is refused.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum GuardRemark {
    /// Carbon equivalent between the remark and the limit: never on cold steel.
    NeverCold {
        /// Carbon equivalent, per cent.
        carbon_equivalent: f64,
    },
    /// The wall is thinner than the preheat formula of EN 1011-2 starts at: no preheat
    /// temperature can be had from it.
    OutsidePreheatFormula {
        /// Wall, m.
        wall: f64,
    },
}

/// The guard's answer.
#[derive(Clone, Debug, PartialEq)]
pub struct Guarded {
    /// Carbon equivalent, per cent, where a composition is known.
    pub carbon_equivalent: Option<f64>,
    /// What the carbon equivalent is of.
    pub basis: Option<Basis>,
    /// Why there is no plan; `None` allows one.
    pub refusal: Option<Refusal>,
    /// Remarks.
    pub remarks: Vec<GuardRemark>,
}

impl Guarded {
    /// Whether a correction plan may be made.
    #[must_use]
    pub const fn allows_plan(&self) -> bool {
        self.refusal.is_none()
    }
}

/// Whether a name is that of a chromium-molybdenum steel; case, spaces and hyphens ignored.
#[must_use]
pub fn chrome_moly_by_name(name: &str) -> bool {
    let bare: String = name
        .chars()
        .filter(|c| !c.is_whitespace() && !matches!(c, '-' | '\u{2010}'..='\u{2015}' | '\u{2212}'))
        .flat_map(char::to_lowercase)
        .collect();
    CHROME_MOLY.iter().any(|mark| bare.contains(mark))
}

/// Judges a material.
///
/// # Errors
/// Percentages that are negative, not finite or over 100 together; a wall that is not
/// positive.
pub fn guard(material: &Material, settings: &GuardSettings) -> Result<Guarded, GuardError> {
    let known = [
        (Basis::MillSheet, material.mill_sheet),
        (Basis::RangeTop, material.range_top),
    ]
    .into_iter()
    .find_map(|(basis, sheet)| Some((basis, sheet.filter(|sheet| !sheet.is_empty())?)));
    if let Some((_, composition)) = known {
        composition.check()?;
    }
    let equivalent = known.map(|(_, composition)| composition.carbon_equivalent());
    let over = |value: f64, limit: f64| value > limit + PERCENT_SLACK;
    let refusal = if chrome_moly_by_name(&material.name) {
        Some(Refusal::ChromeMolyByName)
    } else if material.family != Family::Steel {
        Some(Refusal::NotSteel)
    } else {
        match known {
            None => Some(Refusal::CompositionUnknown),
            Some((_, c))
                if over(c.chromium, settings.chromium)
                    || over(c.molybdenum, settings.molybdenum) =>
            {
                Some(Refusal::Alloyed)
            }
            Some((_, c)) => over(c.carbon_equivalent(), settings.carbon_equivalent)
                .then_some(Refusal::CarbonEquivalent),
        }
    };
    let mut remarks = Vec::new();
    if let (None, Some(carbon_equivalent)) = (refusal, equivalent)
        && carbon_equivalent >= settings.remark_from - PERCENT_SLACK
    {
        remarks.push(GuardRemark::NeverCold { carbon_equivalent });
    }
    if let Some(wall) = material.wall
        && above_zero("the wall", wall)? < PREHEAT_FORMULA_FROM
        && material.family == Family::Steel
    {
        remarks.push(GuardRemark::OutsidePreheatFormula { wall });
    }
    Ok(Guarded {
        carbon_equivalent: equivalent,
        basis: known.map(|(basis, _)| basis),
        refusal,
        remarks,
    })
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
#[path = "guard_tests.rs"]
mod tests;
