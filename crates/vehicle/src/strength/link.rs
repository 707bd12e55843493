//! A rod with its ends and bolts under several load cases: which part governs, in which case.

use super::column::{Column, ColumnKind};
use super::{StrengthError, positive};

/// Target of the safety factor (common practice, no source).
pub const DEFAULT_TARGET: f64 = 3.0;

/// A capacity the user rates or [`super::bolt_shear`] gives.
#[derive(Clone, Debug, PartialEq)]
pub struct Capacity {
    /// What it is of.
    pub mode: Mode,
    /// Static load it stands, N, positive, in both directions.
    pub load: f64,
}

/// A link.
#[derive(Clone, Debug, PartialEq)]
pub struct Link {
    /// The bar between the rod ends, as a column.
    pub column: Column,
    /// Rod ends and bolts.
    pub ends: Vec<Capacity>,
}

/// A force on the link.
#[derive(Clone, Debug, PartialEq)]
pub struct LoadCase {
    /// Name, such as "launch", "braking" or "bump".
    pub name: String,
    /// Force, N, tension positive.
    pub force: f64,
}

/// A bump case: the force at rest times a factor the user chooses (positive).
///
/// # Errors
/// [`StrengthError::BadInput`].
pub fn bumped(name: &str, at_rest: f64, factor: f64) -> Result<LoadCase, StrengthError> {
    Ok(LoadCase {
        name: name.to_owned(),
        force: at_rest * positive("bump factor", factor)?,
    })
}

/// What gives way.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mode {
    /// The bar yields in tension.
    Yield,
    /// The bar gives way as a column.
    Column(ColumnKind),
    /// The rod end on the sprung mass.
    FrameRodEnd,
    /// The rod end on the housing.
    HousingRodEnd,
    /// The bolt on the sprung mass.
    FrameBolt,
    /// The bolt on the housing.
    HousingBolt,
}

/// Safety factor of one part in one case.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ModeFactor {
    /// Index of the case.
    pub case: usize,
    /// What gives way.
    pub mode: Mode,
    /// Capacity over load, positive.
    pub factor: f64,
    /// Capacity, N.
    pub capacity: f64,
}

/// What is left in a link.
#[derive(Clone, Debug, PartialEq)]
pub struct LinkVerdict {
    /// The least factor; None when no case loads the link.
    pub governing: Option<ModeFactor>,
    /// Every part in every case that loads it, least factor first.
    pub all: Vec<ModeFactor>,
    /// Largest axial stress of the bar, Pa, tension positive.
    pub stress: f64,
    /// Whether the least factor reaches the target.
    pub meets_target: bool,
}

/// Judges a link in the cases against a target (positive; [`DEFAULT_TARGET`]).
///
/// # Errors
/// [`StrengthError::BadInput`] for figures out of range or a force that is not finite.
pub fn judge(link: &Link, cases: &[LoadCase], target: f64) -> Result<LinkVerdict, StrengthError> {
    positive("target of the safety factor", target)?;
    let critical = link.column.critical_load()?;
    let area = link.column.section.area();
    let tension = area * link.column.material.yield_strength;
    for end in &link.ends {
        positive("capacity of an end", end.load)?;
    }
    let mut all = Vec::new();
    let mut stress = 0.0_f64;
    for (case, LoadCase { force, .. }) in cases.iter().enumerate() {
        if !force.is_finite() {
            return Err(StrengthError::BadInput {
                what: "force",
                value: *force,
            });
        }
        if *force == 0.0 {
            continue;
        }
        if force.abs() / area > stress.abs() {
            stress = force / area;
        }
        let bar = if *force > 0.0 {
            (Mode::Yield, tension)
        } else {
            (Mode::Column(critical.kind), critical.load)
        };
        let ends = link.ends.iter().map(|e| (e.mode, e.load));
        all.extend(
            std::iter::once(bar)
                .chain(ends)
                .map(|(mode, capacity)| ModeFactor {
                    case,
                    mode,
                    factor: capacity / force.abs(),
                    capacity,
                }),
        );
    }
    all.sort_by(|a, b| a.factor.total_cmp(&b.factor));
    let governing = all.first().copied();
    Ok(LinkVerdict {
        governing,
        stress,
        meets_target: governing.is_none_or(|g| g.factor >= target),
        all,
    })
}
