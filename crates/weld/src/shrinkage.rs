//! Transverse shrinkage: how far a weld pulls the parts together.
//!
//! Several published estimates stand side by side, each with its source and whether the
//! joint lies in its range (thickness from 5 mm, a choice, and the estimate's own
//! conditions). The band spans those in range; where none is, it spans all of them with
//! the ends divided and multiplied by 1.5, and says so: that is the usual case for thin
//! tube. The point is the geometric mean of least and greatest and is wrong by a factor
//! either way. Restraint and passes multiply; only their signs are published.

use crate::error::{WeldError, positive, size};
use crate::fit_up::{FilletCount, SLACK};
use crate::joint::Choices;
use serde::{Deserialize, Serialize};

/// Thickness from which the published estimates are taken to hold, m (a choice).
pub const THICK: f64 = 0.005;
/// What the ends of a band are divided and multiplied by outside every range (a choice).
pub const WIDENING: f64 = 1.5;

/// Which estimate.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Method {
    /// 0.2 A/t + 0.05 g, and its half-metal form for pull-in.
    GrooveHigh,
    /// 0.10 A/t, and its half-metal form for pull-in.
    GrooveLow,
    /// Lower allowance for a 60° butt.
    ButtAllowanceLow,
    /// Upper allowance for a 60° butt.
    ButtAllowanceHigh,
    /// Leg over thickness.
    LegOverThickness,
    /// An allowance per fillet.
    Allowance,
}

impl Method {
    /// Short name in lower case with underscores, for tables and files.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::GrooveHigh => "groove_high",
            Self::GrooveLow => "groove_low",
            Self::ButtAllowanceLow => "allowance_low",
            Self::ButtAllowanceHigh => "allowance_high",
            Self::LegOverThickness => "leg_over_thickness",
            Self::Allowance => "allowance",
        }
    }
}

const SPRARAGEN: &str = "Spraragen & Ettinger 1950, AWS Welding Handbook (from memory)";
const BLODGETT: &str = "Blodgett, Procedure Handbook of Arc Welding (from memory)";
const TWI: &str = "The Welding Institute, allowances for weld shrinkage";

/// One published estimate applied to one joint.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Estimate {
    /// Which formula.
    pub method: Method,
    /// Shrinkage across the weld, m, free and in one pass.
    pub value: f64,
    /// Where the formula is from.
    pub source: &'static str,
    /// Whether the joint is what the formula was made for.
    pub in_range: bool,
    /// What makes it so, or what was assumed.
    pub note: &'static str,
}

/// How firmly the parts are held while welding.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Restraint {
    /// Free to move.
    Free,
    /// Tacked to its neighbours.
    #[default]
    Tacked,
    /// Clamped or braced in a fixture; what it holds back stays as stress and partly
    /// springs back.
    Fixtured,
}

impl Restraint {
    /// Factors on (low, point, high). Choices: only their order is published.
    #[must_use]
    pub const fn factors(self) -> [f64; 3] {
        self.factors_with(&Choices::DEFAULT)
    }

    /// The factors among the shop's own choices.
    #[must_use]
    pub const fn factors_with(self, choices: &Choices) -> [f64; 3] {
        match self {
            Self::Free => [1.0, 1.0, 1.0],
            Self::Tacked => choices.tacked,
            Self::Fixtured => choices.fixtured,
        }
    }
}

/// How a joint is welded.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Setting {
    /// How firmly the parts are held.
    pub restraint: Restraint,
    /// Number of passes, 1 or more.
    pub passes: u32,
}

impl Setting {
    /// Free, one pass: the bare estimates.
    pub const FREE: Self = Self {
        restraint: Restraint::Free,
        passes: 1,
    };

    /// Factor for passes: min(1.5, 1 + 0.10 (n − 1)). A choice: only the sign is published.
    ///
    /// # Errors
    /// [`WeldError::NoPasses`].
    pub fn pass_factor(&self) -> Result<f64, WeldError> {
        self.pass_factor_with(&Choices::DEFAULT)
    }

    /// The factor for passes with the shop's own step and limit.
    ///
    /// # Errors
    /// [`WeldError::NoPasses`].
    pub fn pass_factor_with(&self, choices: &Choices) -> Result<f64, WeldError> {
        if self.passes == 0 {
            return Err(WeldError::NoPasses);
        }
        Ok((1.0 + choices.per_pass * (f64::from(self.passes) - 1.0)).min(choices.most_passes))
    }
}

/// A predicted shrinkage as a range, m. Positive pulls the parts together.
#[derive(Clone, Debug, PartialEq)]
pub struct Band {
    /// Lower end, m.
    pub low: f64,
    /// Geometric mean of the least and greatest estimate, m.
    pub point: f64,
    /// Upper end, m.
    pub high: f64,
    /// Outside every formula's range: the band is widened and is a guess in good company.
    pub out_of_range: bool,
    /// All estimates, before restraint and passes.
    pub estimates: Vec<Estimate>,
}

fn band(estimates: Vec<Estimate>, setting: &Setting, choices: &Choices) -> Result<Band, WeldError> {
    let out_of_range = !estimates.iter().any(|estimate| estimate.in_range);
    let (least, greatest) = estimates
        .iter()
        .filter(|estimate| out_of_range || estimate.in_range)
        .fold((f64::INFINITY, 0.0_f64), |(least, greatest), estimate| {
            (least.min(estimate.value), greatest.max(estimate.value))
        });
    let widening = if out_of_range { choices.widening } else { 1.0 };
    let [low, point, high] = setting.restraint.factors_with(choices);
    let passes = setting.pass_factor_with(choices)?;
    Ok(Band {
        low: least / widening * low * passes,
        point: (least * greatest).sqrt() * point * passes,
        high: greatest * widening * high * passes,
        out_of_range,
        estimates,
    })
}

const THIN: &str = "wall too thin: outside the range of the formula";
const WITHIN: &str = "within range";
const TOO_LARGE_A_LEG: &str = "leg over 0.75 of the thickness";
const ONE_SIDE: &str = "half of the two-fillet value: one fillet is outside the formula";

fn thick(thickness: f64, choices: &Choices) -> bool {
    thickness >= choices.thick - SLACK
}

fn by_thickness(thickness: f64, choices: &Choices) -> (bool, &'static str) {
    if thick(thickness, choices) {
        (true, WITHIN)
    } else {
        (false, THIN)
    }
}

/// Shrinkage across a butt weld of metal `area` (m²), root gap `gap` (m), wall `thickness`
/// (m), included angle (rad): 0.2 A/t + 0.05 g (Spraragen & Ettinger) and 0.10 A/t
/// (Blodgett); for an included angle of 60° also the allowances 1.5 and 3 mm (The Welding
/// Institute).
///
/// # Errors
/// An area or thickness that is not positive, a negative gap, anything not finite or huge;
/// no passes.
pub fn butt(
    area: f64,
    gap: f64,
    thickness: f64,
    included_angle: f64,
    setting: &Setting,
) -> Result<Band, WeldError> {
    butt_with(
        area,
        gap,
        thickness,
        included_angle,
        setting,
        &Choices::DEFAULT,
    )
}

/// As [`butt`] with the shop's own choices.
///
/// # Errors
/// As [`butt`].
pub fn butt_with(
    area: f64,
    gap: f64,
    thickness: f64,
    included_angle: f64,
    setting: &Setting,
    choices: &Choices,
) -> Result<Band, WeldError> {
    let area = positive("the weld metal", area)?;
    let gap = size("the gap", gap)?;
    let thickness = positive("the thickness", thickness)?;
    let angle = size("the included angle", included_angle)?;
    let mut estimates = groove(area, gap, thickness, choices);
    if (angle - 60_f64.to_radians()).abs() < 1e-6 {
        let (in_range, note) = by_thickness(thickness, choices);
        for (method, value) in [
            (Method::ButtAllowanceLow, 0.0015),
            (Method::ButtAllowanceHigh, 0.003),
        ] {
            estimates.push(Estimate {
                method,
                value,
                source: TWI,
                in_range,
                note,
            });
        }
    }
    band(estimates, setting, choices)
}

fn groove(area: f64, gap: f64, thickness: f64, choices: &Choices) -> Vec<Estimate> {
    let (in_range, note) = by_thickness(thickness, choices);
    vec![
        Estimate {
            method: Method::GrooveHigh,
            value: 0.2 * area / thickness + 0.05 * gap,
            source: SPRARAGEN,
            in_range,
            note,
        },
        Estimate {
            method: Method::GrooveLow,
            value: 0.10 * area / thickness,
            source: BLODGETT,
            in_range,
            note,
        },
    ]
}

/// Shrinkage of a tee's base plate across the stem: 1.02 mm · D/t and 0.8 mm per fillet.
///
/// `leg` D is the leg the fit-up rule asks for, m; `thickness` t that of the base, m.
///
/// # Errors
/// Sizes that are not positive, not finite or huge; no passes.
pub fn tee_across(
    leg: f64,
    thickness: f64,
    fillets: FilletCount,
    setting: &Setting,
) -> Result<Band, WeldError> {
    tee_across_with(leg, thickness, fillets, setting, &Choices::DEFAULT)
}

/// As [`tee_across`] with the shop's own choices.
///
/// # Errors
/// As [`tee_across`].
pub fn tee_across_with(
    leg: f64,
    thickness: f64,
    fillets: FilletCount,
    setting: &Setting,
    choices: &Choices,
) -> Result<Band, WeldError> {
    across(0.001_02, leg, thickness, fillets, setting, choices)
}

/// Shrinkage across a lap: 1.52 mm · D/t and 0.8 mm per fillet. Inputs as [`tee_across`].
///
/// # Errors
/// As [`tee_across`].
pub fn lap_across(
    leg: f64,
    thickness: f64,
    fillets: FilletCount,
    setting: &Setting,
) -> Result<Band, WeldError> {
    lap_across_with(leg, thickness, fillets, setting, &Choices::DEFAULT)
}

/// As [`lap_across`] with the shop's own choices.
///
/// # Errors
/// As [`lap_across`].
pub fn lap_across_with(
    leg: f64,
    thickness: f64,
    fillets: FilletCount,
    setting: &Setting,
    choices: &Choices,
) -> Result<Band, WeldError> {
    across(0.001_52, leg, thickness, fillets, setting, choices)
}

/// `constant` (m) · D/t for two fillets, and the allowance of 0.8 mm per fillet for legs up
/// to 0.75 of the thickness.
fn across(
    constant: f64,
    leg: f64,
    thickness: f64,
    fillets: FilletCount,
    setting: &Setting,
    choices: &Choices,
) -> Result<Band, WeldError> {
    let leg = positive("the leg", leg)?;
    let thickness = positive("the thickness", thickness)?;
    let both = fillets == FilletCount::Two;
    let (thick_enough, note) = by_thickness(thickness, choices);
    let estimates = vec![
        Estimate {
            method: Method::LegOverThickness,
            value: 0.5 * fillets.number() * constant * leg / thickness,
            source: SPRARAGEN,
            in_range: thick_enough && both,
            note: if both { note } else { ONE_SIDE },
        },
        allowance(fillets.number(), leg, thickness, choices),
    ];
    band(estimates, setting, choices)
}

fn allowance(fillets: f64, leg: f64, thickness: f64, choices: &Choices) -> Estimate {
    let small = leg <= 0.75 * thickness + SLACK;
    Estimate {
        method: Method::Allowance,
        value: 0.0008 * fillets,
        source: TWI,
        in_range: thick(thickness, choices) && small,
        note: match (thick(thickness, choices), small) {
            (false, _) => THIN,
            (true, false) => TOO_LARGE_A_LEG,
            (true, true) => WITHIN,
        },
    }
}

/// Pull-in of a tee's stem toward its base: half the fillet metal counts for each side
/// (derived), so 0.20 · ½A/t + 0.05 g and 0.10 · ½A/t.
///
/// `area` A is the metal of all fillets together, m²; `gap` g the mean gap, m; `stem_wall`
/// t the stem's wall, m.
///
/// # Errors
/// As [`butt`].
pub fn tee_pull_in(
    area: f64,
    gap: f64,
    stem_wall: f64,
    setting: &Setting,
) -> Result<Band, WeldError> {
    tee_pull_in_with(area, gap, stem_wall, setting, &Choices::DEFAULT)
}

/// As [`tee_pull_in`] with the shop's own choices.
///
/// # Errors
/// As [`tee_pull_in`].
pub fn tee_pull_in_with(
    area: f64,
    gap: f64,
    stem_wall: f64,
    setting: &Setting,
    choices: &Choices,
) -> Result<Band, WeldError> {
    let area = positive("the weld metal", area)?;
    let gap = size("the gap", gap)?;
    let wall = positive("the stem wall", stem_wall)?;
    band(groove(0.5 * area, gap, wall, choices), setting, choices)
}

/// Pull-in of a coped branch toward its main: as [`tee_pull_in`] with the mean section and
/// mean gap over the root curve, and the allowance of 0.8 mm for a specified leg up to 0.75
/// of the branch wall.
///
/// `leg` is the specified leg, m.
///
/// # Errors
/// As [`butt`]; a leg that is not positive.
pub fn cope_pull_in(
    mean_area: f64,
    mean_gap: f64,
    branch_wall: f64,
    leg: f64,
    setting: &Setting,
) -> Result<Band, WeldError> {
    cope_pull_in_with(
        mean_area,
        mean_gap,
        branch_wall,
        leg,
        setting,
        &Choices::DEFAULT,
    )
}

/// As [`cope_pull_in`] with the shop's own choices.
///
/// # Errors
/// As [`cope_pull_in`].
pub fn cope_pull_in_with(
    mean_area: f64,
    mean_gap: f64,
    branch_wall: f64,
    leg: f64,
    setting: &Setting,
    choices: &Choices,
) -> Result<Band, WeldError> {
    let area = positive("the weld metal", mean_area)?;
    let gap = size("the gap", mean_gap)?;
    let wall = positive("the branch wall", branch_wall)?;
    let leg = positive("the leg", leg)?;
    let mut estimates = groove(0.5 * area, gap, wall, choices);
    estimates.push(allowance(1.0, leg, wall, choices));
    band(estimates, setting, choices)
}

#[cfg(test)]
#[allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::float_cmp_const
)]
#[path = "shrinkage_tests.rs"]
mod tests;
