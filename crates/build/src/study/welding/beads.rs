//! Correction beads: which material may have them, what one moves, how many more.

use weld::Choices;
use weld::beads::{
    Advice, BeadKink, BeadSettings, FirstEstimate, Forecast, Job, Members, Plan, Side, SideMove,
    two_members, where_next,
};
use weld::control::{Factor, FactorKind, Factors};
use weld::guard::{GRADES, GuardSettings, Guarded, Material as Stuff, guard};
use weld::section_pull::rotation_axis;

use super::super::Phrase;
use super::dimensions::DimensionStudy;
use super::record::{bead_kink, factor_choices, reading_error};
use super::seams::net_heat;
use super::space::{V3, section, strength};
use super::way::{Leg, Network};
use crate::{Assembly, BeadSite, Build, Correction, Face, Family, grade};

/// What one bead at a site is expected to do.
#[derive(Debug, Clone, PartialEq)]
pub struct SiteStudy {
    /// The tube.
    pub tube: String,
    /// Where, m.
    pub at: Option<V3>,
    /// The face.
    pub face: Face,
    /// The first estimate, or why there is none.
    pub first: Result<FirstEstimate, Phrase>,
    /// A bead there moves the dimension away from its target.
    pub wrong_way: bool,
    /// Outside every formula's range.
    pub out_of_range: bool,
    /// Tendon force over Blodgett's, where the two differ too much to trust either.
    pub disagree: Option<f64>,
    /// Beads laid there.
    pub laid: u32,
}

/// Correction beads as they stand.
#[derive(Debug, Clone, PartialEq)]
pub struct CorrectionStudy {
    /// Its id.
    pub id: String,
    /// The dimension: place in the record.
    pub dimension: Option<usize>,
    /// Each member's material judged: tube, material, verdict.
    pub guarded: Vec<(String, String, Result<Guarded, Phrase>)>,
    /// Its members.
    pub sites: Vec<SiteStudy>,
    /// What one bead is expected to move before any is measured, m: low, point, high.
    pub first: Option<[f64; 3]>,
    /// The plan, or why there is none.
    pub plan: Result<Plan, Phrase>,
    /// What to do next.
    pub advice: Option<Advice>,
    /// Where the next bead goes: place in `sites`.
    pub next_site: Option<usize>,
    /// Two members compared.
    pub members: Option<Members>,
}

impl CorrectionStudy {
    /// Why its material gets no plan.
    pub fn refusal(&self) -> Option<(&str, weld::guard::Refusal)> {
        self.guarded.iter().find_map(|(_, material, verdict)| {
            let refusal = verdict.as_ref().ok()?.refusal?;
            Some((material.as_str(), refusal))
        })
    }

    /// The dimension after each number of beads from now, for a plot.
    pub fn forecast(&self, beads: u32) -> Vec<Forecast> {
        let plan = self.plan.as_ref();
        plan.map_or_else(|_| Vec::new(), |p| p.forecast(beads))
    }
}

/// A material judged for beads; `wall` in m.
pub(super) fn judged(a: &Assembly, material: &str, wall: f64) -> Result<Guarded, Phrase> {
    let own = a.materials.iter().find(|m| m.id == material);
    let row = grade(material);
    let composition = row.and_then(|g| GRADES.iter().find(|x| x.name == g.composition));
    let stuff = Stuff {
        name: own.map_or_else(|| material.to_owned(), |m| format!("{} {}", m.id, m.label)),
        family: own.map_or(Family::Steel, |m| m.family),
        mill_sheet: own.and_then(|m| m.mill_sheet),
        range_top: own.map_or_else(|| composition.map(|g| g.greatest), |_| None),
        wall: Some(wall),
    };
    guard(&stuff, &GuardSettings::default()).map_err(|e| Phrase::from(e.to_string()))
}

/// Where on the way a site is: the near-to-far direction there, and the point.
fn on_the_way(
    b: &Build,
    network: &Network<'_>,
    legs: &[Leg],
    site: &BeadSite,
) -> Result<(V3, V3), Phrase> {
    let line = network
        .lines
        .get(site.tube.as_str())
        .ok_or_else(|| Phrase::from(format!("there is no tube {} to lay beads on", site.tube)))?;
    let s = site.at.si();
    if s > line.length {
        return Err(Phrase::from("the beads lie past the end of the tube"));
    }
    let node = |id: &str| b.assembly.node(id).map(|n| line.along_at(n.at.si()));
    for leg in legs {
        let Leg::Along { part, from, to } = leg else {
            continue;
        };
        let (Some(from), Some(to)) = (node(from), node(to)) else {
            continue;
        };
        if *part == site.tube && s >= from.min(to) && s <= from.max(to) {
            let at = line.point(s);
            let e = line.near(at).along.map(|x| if to >= from { x } else { -x });
            return Ok((e, at));
        }
    }
    Err(Phrase::from(
        "the way of the dimension does not pass there: a bead there does not move it",
    ))
}

fn site(
    b: &Build,
    network: &Network<'_>,
    c: &Correction,
    s: &BeadSite,
    (dimension, longer): (Option<&DimensionStudy>, bool),
    factors: &Factors,
    choices: &Choices,
) -> SiteStudy {
    let mut thin = false;
    let mut disagree = None;
    let mut place = None;
    let mut work = || {
        let tube = b
            .assembly
            .tube(&s.tube)
            .ok_or_else(|| Phrase::from(format!("there is no tube {} to lay beads on", s.tube)))?;
        let line = network
            .lines
            .get(s.tube.as_str())
            .ok_or_else(|| Phrase::from(format!("{} is not drawn whole", tube.label)))?;
        place = Some(line.point(s.at.si().clamp(0.0, line.length)));
        let d = dimension.ok_or_else(|| Phrase::from("its dimension is not there"))?;
        let [p, q] = d
            .ends
            .ok_or_else(|| Phrase::from("the ends of its dimension are not there"))?;
        let legs = d.way.as_ref().map_err(Clone::clone)?;
        let (e, at) = on_the_way(b, network, legs, s)?;
        let toward = s.face.direction();
        let axis = rotation_axis(e, toward).map_err(|_| {
            Phrase::from(format!(
                "{} has no {} face: choose one along its side",
                tube.label,
                s.face.word()
            ))
        })?;
        let strength = strength(&b.assembly, &tube.material)
            .ok_or_else(|| Phrase::from(format!("material {} is not known", tube.material)))?;
        let process = b.weld_out.arcs.first().map(|x| x.process);
        let net_heat = process.and_then(|p| net_heat(b, p));
        let numbers = section(&tube.section, line, toward);
        let pull = bead_kink(&tube.section, numbers, &c.bead, strength, net_heat, choices)?;
        thin = pull.out_of_range;
        disagree = pull.disagree;
        let factor = factors.of(Factor::new(FactorKind::Kink, thin));
        BeadKink {
            kink: pull.kink,
            at,
            axis,
            from: p,
            to: q,
            factor,
        }
        .first_estimate()
        .map_err(|e| Phrase::from(e.to_string()))
    };
    let first = work();
    SiteStudy {
        tube: s.tube.clone(),
        at: place,
        face: s.face,
        wrong_way: first.as_ref().is_ok_and(|f| f.lengthens != longer),
        first,
        out_of_range: thin,
        disagree,
        laid: c
            .laid
            .iter()
            .filter(|x| x.on == s.tube)
            .fold(0, |n, x| n.saturating_add(x.beads)),
    }
}

pub(super) fn study(
    b: &Build,
    network: &Network<'_>,
    c: &Correction,
    dimensions: &[DimensionStudy],
    factors: &Factors,
    choices: &Choices,
) -> CorrectionStudy {
    let place = b
        .weld_out
        .dimensions
        .iter()
        .position(|d| d.id == c.dimension);
    let dimension = place.and_then(|i| dimensions.get(i));
    let document = place.and_then(|i| b.weld_out.dimensions.get(i));
    let guarded: Vec<_> = c
        .sites
        .iter()
        .filter_map(|s| b.assembly.tube(&s.tube))
        .map(|t| {
            let verdict = judged(&b.assembly, &t.material, t.section.wall().si());
            (t.id.clone(), t.material.clone(), verdict)
        })
        .collect();
    let longer = document.is_some_and(|d| c.start.si() <= d.want.si());
    let sites: Vec<SiteStudy> = c
        .sites
        .iter()
        .map(|s| site(b, network, c, s, (dimension, longer), factors, choices))
        .collect();
    let known: Vec<&FirstEstimate> = sites.iter().filter_map(|s| s.first.as_ref().ok()).collect();
    let mean = |pick: fn(&FirstEstimate) -> f64| {
        known.iter().map(|f| pick(f)).sum::<f64>() / known.len() as f64
    };
    let first = (!known.is_empty() && known.len() == sites.len())
        .then(|| [mean(|f| f.low), mean(|f| f.point), mean(|f| f.high)]);
    let numbers = factor_choices(&b.weld_out.choices);
    let settings = BeadSettings {
        chance: c.chance.si(),
        spread: b.weld_out.choices.bead_spread.si(),
        bead_scatter: b.weld_out.choices.bead_scatter.si(),
        ..BeadSettings::DEFAULT
    };
    let refused = guarded
        .iter()
        .find_map(|(_, material, verdict)| match verdict {
            Ok(g) => g
                .refusal
                .map(|r| Phrase::from(format!("{material}: {}; {}", r.reason(), r.caution()))),
            Err(e) => Some(e.clone()),
        });
    let job = || -> Result<(Plan, Job), Phrase> {
        if let Some(refused) = refused {
            return Err(refused);
        }
        let d = document
            .ok_or_else(|| Phrase::from(format!("there is no dimension {}", c.dimension)))?;
        let tolerance = dimension
            .and_then(|d| d.tolerance)
            .ok_or_else(|| Phrase::from("its dimension has no tolerance"))?;
        if let Some(s) = sites.iter().find(|s| s.first.is_err()) {
            let why = s.first.as_ref().err().cloned().unwrap_or_default();
            return Err(why);
        }
        if let Some(s) = sites.iter().find(|s| s.wrong_way) {
            let label = b.assembly.part_label(&s.tube).unwrap_or(&s.tube);
            return Err(Phrase::from(format!(
                "a bead on the {} face of {label} moves it the wrong way: lay it on the {} face",
                s.face.word(),
                s.face.opposite().word()
            )));
        }
        let [_, b0, _] = first.ok_or_else(|| Phrase::from("no member is named"))?;
        let say = |e: weld::WeldError| Phrase::from(e.to_string());
        let job = Job {
            target: d.want.si(),
            tolerance,
            first_reading: c.start.si(),
            reading_sd: reading_error(&d.tool).one(&numbers).map_err(say)?,
            per_bead: b0,
            settings,
        };
        let readings: Vec<weld::beads::Reading> = c
            .laid
            .iter()
            .map(|x| weld::beads::Reading {
                beads: x.beads,
                measured: x.value.si(),
            })
            .collect();
        Ok((Plan::after(&job, &readings).map_err(say)?, job))
    };
    let (plan, job) = match job() {
        Ok((plan, job)) => (Ok(plan), Some(job)),
        Err(e) => (Err(e), None),
    };
    let advice = plan.as_ref().ok().map(Plan::next);
    let next_site = next_site(c);
    let members = job.and_then(|job| compare(c, &job, settings.bead_scatter));
    CorrectionStudy {
        id: c.id.clone(),
        dimension: place,
        guarded,
        sites,
        first,
        plan,
        advice,
        next_site,
        members,
    }
}

fn side_of(c: &Correction, tube: &str) -> Option<Side> {
    match c.sites.iter().position(|s| s.tube == tube)? {
        0 => Some(Side::Left),
        _ => Some(Side::Right),
    }
}

/// Alternates; first the one whose side is further out of square.
fn next_site(c: &Correction) -> Option<usize> {
    match c.sites.as_slice() {
        [] => None,
        [_] => Some(0),
        [first, second, ..] => {
            let further = second.out_of_square.si().abs() > first.out_of_square.si().abs();
            let further = if further { Side::Right } else { Side::Left };
            let last = c.laid.last().and_then(|x| side_of(c, &x.on));
            Some(match where_next(last, further) {
                Side::Left => 0,
                Side::Right => 1,
            })
        }
    }
}

fn compare(c: &Correction, job: &Job, scatter: f64) -> Option<Members> {
    if c.sites.len() < 2 {
        return None;
    }
    let mut before = c.start.si();
    let mut moves = Vec::new();
    for x in &c.laid {
        let change = job.toward() * (x.value.si() - before);
        before = x.value.si();
        if let Some(side) = side_of(c, &x.on) {
            moves.push(SideMove {
                side,
                beads: x.beads,
                change,
            });
        }
    }
    two_members(&moves, scatter * job.per_bead, job.reading_sd)
        .ok()
        .flatten()
}
