//! The fit-up log judged: gaps against the rule, and what the welds will pull in.

use std::collections::HashMap;

use units::Length;
use weld::{
    Choices, Estimate, FilletCount, FitUp as Judged, GapProfile, GapReading, IsoLevel, Remark,
    Rule, Trend, Verdict, WeldError,
};

use super::welding::joints::{Before, JointWeld, choices, setting, work_out};
use super::{Finding, Part, Phrase, Severity};
use crate::{Assembly, Build, FitUp, GapRule, Joint, JointKind, WeldChoices};

/// The log as it stands.
#[derive(Debug, Clone, PartialEq)]
pub struct FitUpStudy {
    /// Each joint, in the log's order.
    pub joints: Vec<JointStudy>,
    /// Largest gap of all, m.
    pub worst_gap: Option<f64>,
    /// Joints the rule rejects.
    pub out_of_limit: usize,
    /// Joints without a complete reading; a log without joints counts as one.
    pub unlogged: usize,
    /// Trend of the worst gap over the joints' order, with three joints or more.
    pub trend: Option<Trend>,
}

/// A joint as it stands.
#[derive(Debug, Clone, PartialEq)]
pub struct JointStudy {
    /// Its id.
    pub id: String,
    /// Worst gap and its clock position, m and hours; `None` before any reading.
    pub worst: Option<(f64, f64)>,
    /// Mean gap round the joint, m.
    pub mean: Option<f64>,
    /// Read at four clock positions or more.
    pub complete: bool,
    /// What the rule says, or why it can not say.
    pub judged: Result<Judged, WeldError>,
    /// The joint worked out from the parts it joins, or why it can not be.
    pub weld: Result<JointWeld, Phrase>,
    /// What the weld pulls in, or why there is no estimate.
    pub shrinkage: Result<Shrinkage, Phrase>,
    /// What else to know.
    pub remarks: Vec<Remark>,
}

/// How far the parts pull together, m.
#[derive(Debug, Clone, PartialEq)]
pub struct Shrinkage {
    /// Least.
    pub low: f64,
    /// Middle.
    pub point: f64,
    /// Greatest.
    pub high: f64,
    /// No published formula covers this joint; the spread is widened.
    pub out_of_range: bool,
    /// The published estimates behind it, before restraint and passes.
    pub estimates: Vec<Estimate>,
}

impl FitUpStudy {
    /// The estimate of the joint that pulls in most.
    pub fn largest_pull(&self) -> Option<&Shrinkage> {
        let estimates = self.joints.iter().filter_map(|j| j.shrinkage.as_ref().ok());
        estimates.max_by(|a, b| a.point.total_cmp(&b.point))
    }
}

/// Clock positions a joint wants.
const POSITIONS: usize = 4;

pub(super) fn rule(rule: GapRule) -> Rule {
    match rule {
        GapRule::AwsD11 => Rule::Aws,
        GapRule::Iso5817B => Rule::Iso5817(IsoLevel::B),
        GapRule::Iso5817C => Rule::Iso5817(IsoLevel::C),
        GapRule::Iso5817D => Rule::Iso5817(IsoLevel::D),
        GapRule::Shop {
            grow_above,
            reject_above,
        } => Rule::Shop {
            unchanged: grow_above,
            reject: reject_above,
        },
    }
}

fn kind(kind: JointKind) -> weld::JointKind {
    let count = |n| {
        if n >= 2 {
            FilletCount::Two
        } else {
            FilletCount::One
        }
    };
    match kind {
        JointKind::Butt => weld::JointKind::Butt,
        JointKind::Tee { fillets } => weld::JointKind::Tee {
            fillets: count(fillets),
        },
        JointKind::Lap => weld::JointKind::Lap {
            fillets: FilletCount::Two,
        },
        JointKind::Cope => weld::JointKind::Cope,
    }
}

/// `before`: an earlier study under the same choices, whose unchanged joints are kept.
pub(super) fn study(
    log: &FitUp,
    assembly: &Assembly,
    own: &WeldChoices,
    before: Option<&FitUpStudy>,
) -> FitUpStudy {
    let rule = rule(log.rule);
    let choices = choices(own);
    let kept = |joint: &weld::Joint| {
        let all = before?.joints.iter();
        let mut works = all.filter_map(|j| j.weld.as_ref().ok());
        let same = works.find(|w| w.joint == *joint)?;
        Some((same.welded.clone(), same.extra))
    };
    let one = |j| joint(j, assembly, &rule, &choices, &kept);
    let joints: Vec<JointStudy> = log.joints.iter().map(one).collect();
    let worsts: Vec<f64> = joints.iter().filter_map(|j| Some(j.worst?.0)).collect();
    let rejected = |j: &&JointStudy| {
        matches!(
            j.judged,
            Ok(Judged {
                verdict: Verdict::Reject,
                ..
            })
        )
    };
    FitUpStudy {
        worst_gap: worsts.iter().copied().reduce(f64::max),
        out_of_limit: joints.iter().filter(rejected).count(),
        unlogged: if joints.is_empty() {
            1
        } else {
            joints.iter().filter(|j| !j.complete).count()
        },
        // Too few joints for a slope, or a gap it can not use: no trend is shown.
        trend: weld::fit_up::trend(&worsts).ok().flatten(),
        joints,
    }
}

fn joint(
    j: &Joint,
    assembly: &Assembly,
    rule: &Rule,
    choices: &Choices,
    kept: Before<'_>,
) -> JointStudy {
    let readings: Vec<GapReading> = last_per_clock(j);
    let profile = match readings.is_empty() {
        true => Ok(None),
        false => GapProfile::closed(&readings).map(Some),
    };
    let judged = profile
        .clone()
        .and_then(|p| weld::fit_up::judge(kind(j.kind), rule, j.leg.si(), p.as_ref()));
    let leg = judged.as_ref().map_or(j.leg.si(), |f| f.required_leg);
    let profile = profile.ok().flatten();
    let worst = profile.as_ref().map(|p| p.worst());
    let mean = profile.as_ref().map(GapProfile::mean);
    let mut remarks = profile
        .as_ref()
        .map(GapProfile::remarks)
        .unwrap_or_default();
    if j.kind != JointKind::Butt {
        remarks.extend(
            weld::fit_up::leg_remarks(kind(j.kind), j.leg.si(), j.wall.si()).unwrap_or_default(),
        );
    }
    let weld = work_out(j, assembly, rule, choices, &readings, kept);
    JointStudy {
        id: j.id.clone(),
        worst: worst.map(|w| (w.gap, w.position)),
        mean,
        complete: readings.len() >= POSITIONS,
        judged,
        shrinkage: shrinkage(j, &weld, leg, mean.unwrap_or(0.0), choices),
        weld,
        remarks,
    }
}

/// The last reading at each clock position; 12 and 0 are one place.
pub(super) fn last_per_clock(j: &Joint) -> Vec<GapReading> {
    let mut seen: HashMap<u64, usize> = HashMap::new();
    let mut out: Vec<GapReading> = Vec::new();
    for g in &j.gaps {
        let clock = g.clock % 12.0;
        let key = (clock * 1e6).round() as u64;
        match seen.get(&key) {
            Some(&i) => out[i].gap = g.gap.si(),
            None => {
                seen.insert(key, out.len());
                out.push(GapReading::new(clock, g.gap.si()));
            }
        }
    }
    out
}

/// A butt and a lap across their weld; a tee and a cope toward their base.
fn shrinkage(
    j: &Joint,
    weld: &Result<JointWeld, Phrase>,
    leg: f64,
    gap: f64,
    choices: &Choices,
) -> Result<Shrinkage, Phrase> {
    let band = match weld {
        Ok(work) => {
            let welded = &work.welded;
            let band = welded.pull_in.as_ref().or(welded.across.as_ref());
            band.cloned()
                .ok_or_else(|| Phrase::from("such a joint has no shrinkage"))?
        }
        // Neither drawn nor measured: metal on a square corner is a first estimate.
        Err(_) if j.kind == JointKind::Cope && j.joins.is_none() && j.tubes.is_none() => {
            let wall = j.wall.si();
            let corner = weld::Fillet::square(leg).over_gap(gap, wall).metal();
            corner
                .and_then(|metal| {
                    weld::shrinkage::cope_pull_in_with(
                        metal.area,
                        gap,
                        wall,
                        j.leg.si(),
                        &setting(j),
                        choices,
                    )
                })
                .map_err(|e| Phrase::from(e.to_string()))?
        }
        Err(e) => return Err(e.clone()),
    };
    Ok(Shrinkage {
        low: band.low,
        point: band.point,
        high: band.high,
        out_of_range: band.out_of_range,
        estimates: band.estimates,
    })
}

/// This many thin joints are named one by one; more are counted.
const EACH: usize = 2;

pub(super) fn findings(b: &Build, study: &FitUpStudy, out: &mut Vec<Finding>) {
    let is_thin = |(j, s): &(&Joint, &JointStudy)| {
        !j.gaps.is_empty() && s.shrinkage.as_ref().is_ok_and(|s| s.out_of_range)
    };
    let pairs = b.fit_up.joints.iter().zip(&study.joints);
    let thin = pairs.filter(is_thin).count();
    if thin > EACH {
        out.push(Finding::new(
            Severity::Remark,
            Part::Phase("fit_up".to_owned()),
            format!(
                "{thin} joints are outside every shrinkage formula's range: their spread is wide"
            ),
            "Weld a scrap joint of the same wall, measure it and take it into the record",
        ));
    }
    for (j, s) in b.fit_up.joints.iter().zip(&study.joints) {
        let mut say = |severity, text: Phrase, next: &str| {
            out.push(Finding::new(
                severity,
                Part::Joint(j.id.clone()),
                text,
                next,
            ));
        };
        let at = |text: &str| Phrase::from(format!("{}: {text}", j.label));
        match &s.judged {
            Err(e) => say(
                Severity::Warning,
                at(&e.to_string()),
                "Correct the joint's entry, or choose a rule that covers it",
            ),
            Ok(f) => match f.verdict {
                Verdict::Reject => say(
                    Severity::Error,
                    at("gap ")
                        .fine(f.worst)
                        .t(" is past the limit of ")
                        .fine(f.limit),
                    "Cut or cope the part again; do not fill it with weld",
                ),
                Verdict::EnlargeLeg { leg } => say(
                    Severity::Remark,
                    at("gap ").fine(f.worst).t(" needs a leg of ").fine(leg),
                    "Weld it with the larger leg, or close the gap",
                ),
                Verdict::Good | Verdict::NotLogged { .. } => {}
            },
        }
        if j.gaps.is_empty() {
            say(
                Severity::Remark,
                at("no gap is logged"),
                "Measure at 12, 3, 6 and 9 o'clock before tacking",
            );
        }
        for remark in &s.remarks {
            match remark {
                Remark::FewClockPositions { count } => say(
                    Severity::Warning,
                    at(&format!("read at {count} clock positions only")),
                    "Measure at 12, 3, 6 and 9 o'clock",
                ),
                Remark::SmallLeg { leg, least } => say(
                    Severity::Remark,
                    at("a leg of ")
                        .kept(*leg)
                        .t(" is under the usual least of ")
                        .kept(*least),
                    "Ask for a larger leg unless the procedure is proven",
                ),
                Remark::LapLegTooTall { leg, most } => say(
                    Severity::Remark,
                    at("a leg of ")
                        .len(*leg)
                        .t(" is taller than the edge allows, ")
                        .len(*most),
                    "Keep the leg below the edge so that it can be seen",
                ),
            }
        }
        if let (Ok(s), false) = (&s.shrinkage, j.gaps.is_empty())
            && s.out_of_range
            && thin <= EACH
        {
            say(
                Severity::Remark,
                at("pull-in of ")
                    .fine(s.low)
                    .t(" to ")
                    .fine(s.high)
                    .t(" is outside every formula's range"),
                "Weld a scrap joint of the same wall and measure it",
            );
        }
    }
    if study.trend.as_ref().is_some_and(|t| t.rising) {
        out.push(Finding::new(
            Severity::Remark,
            Part::Phase("fit_up".to_owned()),
            "Gaps grow from joint to joint",
            "Look at the notcher, the fixture or the tape before the next joint",
        ));
    }
}

/// This many joints with the same remark are named; the rest are counted.
const NAMED: usize = 3;

/// The same remark about many joints is made once, where the first of them stood.
pub(super) fn condense(b: &Build, findings: &mut Vec<Finding>) {
    let labels: HashMap<&str, &str> = b
        .fit_up
        .joints
        .iter()
        .map(|j| (j.id.as_str(), j.label.as_str()))
        .collect();
    // Words alike in one system of units are alike.
    let shop = units::Shop::default();
    let said = |f: &Finding| {
        let Part::Joint(id) = &f.part else {
            return None;
        };
        let text = f.text.without(&format!("{}: ", labels.get(id.as_str())?))?;
        (f.severity == Severity::Remark).then(|| (id.clone(), text))
    };
    let mut groups: HashMap<(String, String), Vec<usize>> = HashMap::new();
    let known: Vec<Option<(String, Phrase)>> = findings.iter().map(said).collect();
    for (i, f) in findings.iter().enumerate() {
        if let Some((_, text)) = &known[i] {
            let key = (text.show(&shop), f.next.show(&shop));
            groups.entry(key).or_default().push(i);
        }
    }
    let mut gone = vec![false; findings.len()];
    for group in groups.values().filter(|g| g.len() > NAMED) {
        let named = group[..NAMED].iter().filter_map(|i| known[*i].as_ref());
        let names: Vec<&str> = named.map(|(id, _)| id.as_str()).collect();
        let start = format!("{} and {} more: ", names.join(", "), group.len() - NAMED);
        if let Some((_, text)) = &known[group[0]] {
            findings[group[0]].text = Phrase::from(start).join(text.clone());
        }
        for i in &group[1..] {
            gone[*i] = true;
        }
    }
    let mut place = 0..;
    findings.retain(|_| !place.next().is_some_and(|i| gone[i]));
}

/// Limits of a new shop rule: the AWS values to start from.
pub fn shop_rule() -> GapRule {
    GapRule::Shop {
        grow_above: Length::from_inches(1.0 / 16.0),
        reject_above: Length::from_inches(3.0 / 16.0),
    }
}
