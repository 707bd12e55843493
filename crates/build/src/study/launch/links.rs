//! What each link bears, in every case looked at.

use vehicle::strength::{
    Capacity, Column, Link, LinkVerdict, LoadCase, Material, Mode, Planes, ShearArea,
    StrengthError, bolt_shear, bolt_strength, bumped, judge,
};

use super::{Case, Reactions, words};
use crate::{BoltGrade, Build, LinkStock, RearStudy, Section, Shear};

/// One link's strength.
#[derive(Debug, Clone, PartialEq)]
pub struct LinkStudy {
    /// The cases, in the order the verdict numbers them.
    pub cases: Vec<LoadCase>,
    /// Where it would give way first.
    pub verdict: LinkVerdict,
    /// Cases that have no balance, and so no force.
    pub without: Vec<String>,
}

/// A tube taken where nothing is entered: 1 1/4 by 0.120 in, steel (own value, for the elasticity alone).
const USUAL_AREA: f64 = std::f64::consts::PI * (0.031_75 - 0.003_048) * 0.003_048;

/// Axial stiffness E·A/L of a link, N/m.
pub(super) fn stiffness(link: &crate::Link, length: f64) -> f64 {
    let (modulus, area) = match &link.stock {
        Some(s) => (s.modulus.si(), section(s).area()),
        None => (crate::steel_modulus().si(), USUAL_AREA),
    };
    modulus * area / length.max(1e-3)
}

fn section(s: &LinkStock) -> vehicle::strength::Section {
    match s.section {
        Section::Tube { outside, wall } => vehicle::strength::Section::Tube {
            outside: outside.si(),
            wall: wall.si(),
        },
        Section::Solid { diameter } => vehicle::strength::Section::Solid {
            diameter: diameter.si(),
        },
    }
}

pub(super) fn study(
    b: &Build,
    rear: &RearStudy,
    reactions: Option<&Reactions>,
) -> Vec<Result<LinkStudy, String>> {
    rear.rods
        .iter()
        .enumerate()
        .map(|(rod, r)| {
            let link = &b.rear.links[r.link];
            let stock = link
                .stock
                .as_ref()
                .ok_or("no tube, rod end or bolt is entered for it")?;
            let reactions = reactions.ok_or("the reactions do not solve")?;
            one(b, stock, r.length, rod, reactions)
        })
        .collect()
}

fn one(
    b: &Build,
    stock: &LinkStock,
    length: f64,
    rod: usize,
    reactions: &Reactions,
) -> Result<LinkStudy, String> {
    let wrong = |e: StrengthError| words::strength(&e);
    let mut ends = Vec::new();
    if let Some(rating) = stock.rod_end_rating {
        for mode in [Mode::FrameRodEnd, Mode::HousingRodEnd] {
            ends.push(Capacity {
                mode,
                load: rating.si(),
            });
        }
    }
    if let Some(bolt) = &stock.bolt {
        let grade = match bolt.grade {
            BoltGrade::Grade2 => vehicle::strength::BoltGrade::G2,
            BoltGrade::Grade5 => vehicle::strength::BoltGrade::G5,
            BoltGrade::Grade8 => vehicle::strength::BoltGrade::G8,
        };
        let strength = bolt_strength(grade, bolt.diameter.si()).map_err(wrong)?;
        let planes = match bolt.shear {
            Shear::Single => Planes::Single,
            Shear::Double => Planes::Double,
        };
        let load = bolt_shear(
            bolt.diameter.si(),
            strength.yield_strength,
            planes,
            ShearArea::Shank,
        )
        .map_err(wrong)?;
        for mode in [Mode::FrameBolt, Mode::HousingBolt] {
            ends.push(Capacity { mode, load });
        }
    }
    let link = Link {
        column: Column {
            section: section(stock),
            material: Material {
                modulus: stock.modulus.si(),
                yield_strength: stock.yield_strength.si(),
            },
            length,
            end_condition: 1.0,
        },
        ends,
    };
    let (mut cases, mut without) = (Vec::new(), Vec::new());
    for (name, case) in [
        ("launch", Case::Drive),
        ("traction limit", Case::Traction),
        ("braking", Case::Braking),
    ] {
        match reactions.balance(case) {
            Ok(balance) => cases.push(LoadCase {
                name: name.to_owned(),
                force: balance.rod_force.get(rod).copied().unwrap_or(f64::NAN),
            }),
            Err(_) => without.push(name.to_owned()),
        }
    }
    let at_rest = reactions.settled.at_rest.rod_force.get(rod);
    cases.push(
        bumped(
            "bump",
            at_rest.copied().unwrap_or(f64::NAN),
            b.power.bump_factor.si(),
        )
        .map_err(wrong)?,
    );
    let verdict = judge(&link, &cases, b.power.safety_target.si()).map_err(wrong)?;
    Ok(LinkStudy {
        cases,
        verdict,
        without,
    })
}

impl LinkStudy {
    /// What gives way first, in which case: "column, traction limit".
    pub fn governing(&self) -> Option<String> {
        let g = self.verdict.governing?;
        let case = self.cases.get(g.case).map_or("", |c| c.name.as_str());
        Some(format!("{}, {case}", mode(g.mode)))
    }
}

/// The part that gives way.
pub(super) fn mode(m: Mode) -> &'static str {
    match m {
        Mode::Yield => "tube in tension",
        Mode::Column(_) => "tube as a column",
        Mode::FrameRodEnd => "rod end on the frame",
        Mode::HousingRodEnd => "rod end on the axle",
        Mode::FrameBolt => "bolt on the frame",
        Mode::HousingBolt => "bolt on the axle",
    }
}
