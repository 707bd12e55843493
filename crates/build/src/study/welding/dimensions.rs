//! Control dimensions: what each joint on the way does to them.

use weld::control::{
    Contribution, Factor, FactorChoices, FactorKind, Factors, Kink, Prediction, Pull, direction,
    predict,
};
use weld::section_pull::rotation_axis;

use super::super::Phrase;
use super::joints::JointWeld;
use super::seams::SeamStudy;
use super::space::{V3, cross, dot, sub};
use super::way::{Leg, Network, copes_on, crossed, share_passed};
use crate::{Build, ControlDimension, JointKind, Limit, Stage};

/// Blodgett's share of a coped weld's metal that shortens the main.
const SHORTENS: f64 = 0.04;

/// What one joint does to one dimension.
#[derive(Debug, Clone, PartialEq)]
pub struct Pulling {
    /// Place of the joint in the fit-up log.
    pub joint: usize,
    /// In what way.
    pub how: How,
    /// Its change of the dimension before the shop's factors, and which factor it takes.
    pub contribution: Contribution,
}

/// In what way a joint changes a dimension.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum How {
    /// The parts pull together.
    PullsIn,
    /// The part it stands on kinks there.
    Kinks,
    /// The part it stands on shortens.
    Shortens,
}

/// A control dimension as it stands.
#[derive(Debug, Clone, PartialEq)]
pub struct DimensionStudy {
    /// Its id.
    pub id: String,
    /// Its ends, m.
    pub ends: Option<[V3; 2]>,
    /// As drawn, m.
    pub drawn: Option<f64>,
    /// Half of the tolerance ±, m; `None` where ISO 13920 gives none.
    pub tolerance: Option<f64>,
    /// The last measurement, m, and when it was taken; after a correction bead:
    /// [`Stage::Corrected`].
    pub now: Option<(f64, Stage)>,
    /// The way, or why there is none.
    pub way: Result<Vec<Leg>, Phrase>,
    /// What each joint does to it.
    pub pulls: Vec<Pulling>,
    /// Joints on its way that could not be worked out: what they do is not counted.
    pub missing: Vec<usize>,
    /// All its joints together, welded from tacks.
    pub whole: Option<Prediction>,
    /// The joints not welded yet.
    pub to_come: Option<Prediction>,
    /// Chance to come out in tolerance when set by the exact allowance.
    pub chance: Option<f64>,
    /// Things to say.
    pub findings: Vec<weld::control::Finding>,
}

impl DimensionStudy {
    /// How much longer to set it before welding, to a step, m; negative is shorter.
    pub fn set_long(&self, step: f64) -> Option<f64> {
        self.whole.as_ref()?.allowance(step).ok()
    }

    /// Off its target by this much now, m; positive is long.
    pub fn off(&self, d: &ControlDimension) -> Option<f64> {
        self.now.as_ref().map(|(v, _)| v - d.want.si())
    }

    /// What it is expected to come out at: the last measurement and what is still to be welded.
    pub fn expected(&self) -> Option<(f64, f64, f64)> {
        let (now, _) = self.now.as_ref()?;
        let p = self.to_come.as_ref()?;
        Some((now + p.change, now + p.low, now + p.high))
    }
}

/// The tolerance in numbers, m.
pub(super) fn tolerance(d: &ControlDimension) -> Option<f64> {
    match d.tolerance {
        Limit::Within(t) => (t.si() > 0.0).then(|| t.si()),
        Limit::Iso13920(class) => weld::iso13920::linear(d.want.si(), class).ok().flatten(),
    }
}

const fn kind(kind: JointKind) -> FactorKind {
    match kind {
        JointKind::Butt => FactorKind::Butt,
        JointKind::Tee { .. } => FactorKind::Tee,
        JointKind::Lap => FactorKind::Lap,
        JointKind::Cope => FactorKind::Cope,
    }
}

/// What the joints on the way do to the dimension from `p` to `q`.
fn pulls(
    build: &Build,
    network: &Network<'_>,
    legs: &[Leg],
    joints: &[Option<&JointWeld>],
    seams: &[Option<SeamStudy>],
    [p, q]: [V3; 2],
) -> Vec<Pulling> {
    let mut out = Vec::new();
    let Ok(n) = direction(p, q) else {
        return out;
    };
    for (i, onto) in crossed(legs) {
        let (Some(weld), Some(j)) = (joints.get(i).copied().flatten(), build.fit_up.joints.get(i))
        else {
            continue;
        };
        let Some(place) = &weld.place else { continue };
        // A butt and a lap pull across the seam: along the part that ends there.
        let Some(band) = weld.welded.pull_in.as_ref().or(weld.welded.across.as_ref()) else {
            continue;
        };
        let side = if onto { -1.0 } else { 1.0 };
        let along = place.along.map(|x| side * x);
        let pull = Pull {
            along,
            amount: band.point,
        };
        let Ok(change) = pull.change(n) else { continue };
        let lean = match (&weld.welded.lean, &place.meeting) {
            (Some(lean), Some(m)) => {
                // u turns toward t about u × t = w, toward w about u × w = −t.
                let turn = |axis: V3, by: f64| by * dot(cross(axis, sub(q, m.work)), n);
                (turn(m.w, lean.toward_t) + turn(m.t, -lean.toward_w)).abs()
            }
            _ => 0.0,
        };
        let factor = Factor::new(kind(j.kind), band.out_of_range);
        let mut contribution = Contribution::new(factor, change);
        contribution.lean = lean;
        out.push(Pulling {
            joint: i,
            how: How::PullsIn,
            contribution,
        });
    }
    for leg in legs {
        let Leg::Along { part, from, to } = leg else {
            continue;
        };
        let Some(line) = network.lines.get(part.as_str()) else {
            continue;
        };
        let a = &build.assembly;
        let (Some(from), Some(to)) = (a.node(from), a.node(to)) else {
            continue;
        };
        let (from, to) = (from.at.si(), to.at.si());
        let forward = line.along_at(to) >= line.along_at(from);
        for (i, weld) in copes_on(build, part, joints) {
            let (Some(place), Some(kink)) = (&weld.place, &weld.welded.main_kink) else {
                continue;
            };
            let Some(m) = &place.meeting else { continue };
            let e = line
                .near(m.work)
                .along
                .map(|x| if forward { x } else { -x });
            let share = share_passed(line, from, to, m.work);
            if share == 0.0 {
                continue;
            }
            let turn = |toward: V3, angle: f64| {
                let axis = rotation_axis(e, toward).ok()?;
                let kink = Kink {
                    at: m.work,
                    axis,
                    angle: share * angle,
                };
                kink.change(q, n).ok()
            };
            let up = turn(m.branch, kink.point).unwrap_or(0.0);
            // One force makes both: where it yields the main, the sideways part yields with it.
            let yielded = if kink.by_metal > 0.0 {
                kink.point / kink.by_metal
            } else {
                1.0
            };
            let side = turn(m.w, kink.side * yielded).unwrap_or(0.0);
            out.push(Pulling {
                joint: i,
                how: How::Kinks,
                contribution: Contribution::new(
                    Factor::new(FactorKind::Kink, kink.out_of_range),
                    up + side,
                ),
            });
            if let Some(area) = place.main_area {
                let pull = Pull {
                    along: e,
                    amount: share * SHORTENS * weld.welded.volume / area,
                };
                if let Ok(change) = pull.change(n) {
                    out.push(Pulling {
                        joint: i,
                        how: How::Shortens,
                        contribution: Contribution::new(
                            Factor::new(FactorKind::Cope, kink.out_of_range),
                            change,
                        ),
                    });
                }
            }
        }
    }
    // Plates welded along a tube of the way bow it.
    for leg in legs {
        let Leg::Along { part, from, to } = leg else {
            continue;
        };
        let a = &build.assembly;
        let (Some(line), Some(from), Some(to)) =
            (network.lines.get(part.as_str()), a.node(from), a.node(to))
        else {
            continue;
        };
        let (from, to) = (from.at.si(), to.at.si());
        let forward = line.along_at(to) >= line.along_at(from);
        let mine = seams.iter().enumerate();
        for (i, bow) in mine.filter_map(|(i, s)| Some((i, s.as_ref()?.bow.as_ref()?))) {
            let share = share_passed(line, from, to, bow.at);
            if bow.tube != *part || share == 0.0 {
                continue;
            }
            let e = line
                .near(bow.at)
                .along
                .map(|x| if forward { x } else { -x });
            let kink = rotation_axis(e, bow.toward).ok().and_then(|axis| {
                let kink = Kink {
                    at: bow.at,
                    axis,
                    angle: share * bow.pull.kink.point,
                };
                kink.change(q, n).ok()
            });
            let pull = Pull {
                along: e,
                amount: share * bow.pull.shortening,
            };
            let thin = bow.pull.kink.out_of_range;
            for (how, change) in [(How::Kinks, kink), (How::Shortens, pull.change(n).ok())] {
                let Some(change) = change else { continue };
                out.push(Pulling {
                    joint: i,
                    how,
                    contribution: Contribution::new(Factor::new(FactorKind::Kink, thin), change),
                });
            }
        }
    }
    out.retain(|x| x.contribution.change != 0.0 || x.contribution.lean != 0.0);
    out
}

/// Joints the way crosses or passes that have no study.
fn missing(build: &Build, legs: &[Leg], joints: &[Option<&JointWeld>]) -> Vec<usize> {
    let list = build.fit_up.joints.iter().enumerate();
    list.filter(|(i, j)| {
        let unknown = joints.get(*i).is_none_or(Option::is_none);
        let touches = legs.iter().any(|leg| match leg {
            Leg::Across { joint, .. } => joint == i,
            Leg::Along { part, .. } => j.joins.as_ref().is_some_and(|x| x.onto == *part),
        });
        unknown && touches
    })
    .map(|(i, _)| i)
    .collect()
}

/// Contributions of some of the joints.
pub(super) fn some(pulls: &[Pulling], which: impl Fn(usize) -> bool) -> Vec<Contribution> {
    let chosen = pulls.iter().filter(|x| which(x.joint));
    chosen.map(|x| x.contribution).collect()
}

/// The last measurement: of the dimension itself, or of a correction bead that was written down
/// later.
fn last(build: &Build, d: &ControlDimension) -> Option<(f64, Stage)> {
    let own = d.readings.last();
    let mine = build
        .weld_out
        .corrections
        .iter()
        .filter(|c| c.dimension == d.id);
    let bead = mine.filter_map(|c| c.laid.last()).next_back();
    match (own, bead) {
        (Some(own), Some(bead)) if own.when > bead.when && !bead.when.is_empty() => {
            Some((own.value.si(), own.stage.clone()))
        }
        (_, Some(bead)) => Some((bead.value.si(), Stage::Corrected)),
        (own, None) => own.map(|r| (r.value.si(), r.stage.clone())),
    }
}

/// What does not depend on the shop's factors.
pub(super) fn geometry(
    build: &Build,
    network: &Network<'_>,
    joints: &[Option<&JointWeld>],
    seams: &[Option<SeamStudy>],
    d: &ControlDimension,
) -> DimensionStudy {
    let node = |id: &str| build.assembly.node(id).map(|n| n.at.si());
    let ends = node(&d.from).zip(node(&d.to)).map(|(p, q)| [p, q]);
    let way = network.way(d);
    let pulls = match (&way, ends) {
        (Ok(legs), Some(ends)) => pulls(build, network, legs, joints, seams, ends),
        _ => Vec::new(),
    };
    DimensionStudy {
        id: d.id.clone(),
        ends,
        drawn: ends.map(|[p, q]| super::space::size(sub(q, p))),
        tolerance: tolerance(d),
        now: last(build, d),
        missing: way
            .as_ref()
            .map_or_else(|_| Vec::new(), |legs| missing(build, legs, joints)),
        way,
        pulls,
        whole: None,
        to_come: None,
        chance: None,
        findings: Vec::new(),
    }
}

/// Adds what the shop's factors make of it.
pub(super) fn forecast(
    study: &mut DimensionStudy,
    build: &Build,
    factors: &Factors,
    choices: &FactorChoices,
    thin_kink_tried: bool,
) {
    if study.way.is_err() || study.ends.is_none() {
        return;
    }
    let welded = |i: usize| {
        let j = build.fit_up.joints.get(i);
        j.is_some_and(|j| j.welded.is_some())
    };
    study.whole = predict(&some(&study.pulls, |_| true), factors, choices).ok();
    study.to_come = predict(&some(&study.pulls, |i| !welded(i)), factors, choices).ok();
    if let (Some(p), Some(t)) = (&study.whole, study.tolerance) {
        study.chance = p.chance_within(-p.change, t, t).ok();
        study.findings = p
            .findings(-p.change, t, t, thin_kink_tried)
            .unwrap_or_default();
    }
}
