//! What is to be said about the assembly and its welds.

use weld::beads::{Finding as BeadFinding, Why};
use weld::control::Finding as DimensionFinding;
use weld::joint::Finding as JointFinding;

use super::super::{Finding, FitUpStudy, Part, Phrase, Severity};
use super::WeldStudy;
use crate::Build;

pub(in super::super) fn findings(
    b: &Build,
    fit_up: &FitUpStudy,
    study: &WeldStudy,
    out: &mut Vec<Finding>,
) {
    drawing(b, study, out);
    joints(b, fit_up, out);
    dimensions(b, study, out);
    record(study, out);
    corrections(b, study, out);
    supply(b, study, out);
}

fn push(
    out: &mut Vec<Finding>,
    severity: Severity,
    part: Part,
    text: impl Into<Phrase>,
    next: impl Into<Phrase>,
) {
    out.push(Finding::new(severity, part, text, next));
}

fn drawing(b: &Build, study: &WeldStudy, out: &mut Vec<Finding>) {
    for (t, line) in b.assembly.tubes.iter().zip(&study.tubes) {
        if let Err(why) = line {
            push(
                out,
                Severity::Error,
                Part::Tube(t.id.clone()),
                why.clone(),
                "Draw its two ends at different nodes",
            );
        }
    }
    for p in &b.assembly.plates {
        let missing = p.outline.iter().find(|id| b.assembly.node(id).is_none());
        let text = match missing {
            Some(id) => format!("{} has a corner at node {id}, which is not there", p.label),
            None if p.outline.len() < 3 => format!("{} has fewer than three corners", p.label),
            None => continue,
        };
        push(
            out,
            Severity::Error,
            Part::Plate(p.id.clone()),
            text,
            "Name three nodes or more round its edge",
        );
    }
    let parts = b
        .assembly
        .tubes
        .iter()
        .map(|t| (&t.material, &t.label, Part::Tube(t.id.clone())))
        .chain(
            b.assembly
                .plates
                .iter()
                .map(|p| (&p.material, &p.label, Part::Plate(p.id.clone()))),
        );
    for (material, label, part) in parts {
        let known = b.assembly.materials.iter().any(|m| m.id == *material);
        if !known && crate::grade(material).is_none() {
            push(
                out,
                Severity::Warning,
                part,
                format!("{label} is made of {material}, which is in no table"),
                "Choose one of the table, or enter it from its mill sheet",
            );
        }
    }
}

/// A throat below this share of a square corner's is none.
const FLAT: f64 = 0.1;

fn joints(b: &Build, fit_up: &FitUpStudy, out: &mut Vec<Finding>) {
    for (j, s) in b.fit_up.joints.iter().zip(&fit_up.joints) {
        let mut say = |severity, text: Phrase, next: &str| {
            push(out, severity, Part::Joint(j.id.clone()), text, next);
        };
        let at = |text: &str| Phrase::from(format!("{}: {text}", j.label));
        let work = match &s.weld {
            Ok(work) => work,
            Err(why) => {
                // A cope nobody drew has its first estimate; one that joins parts has none.
                if j.joins.is_some() {
                    say(
                        Severity::Warning,
                        at("").join(why.clone()),
                        "Say which parts it joins and at which node",
                    );
                }
                continue;
            }
        };
        for finding in &work.welded.findings {
            match finding {
                JointFinding::RootFusion { dihedral } => say(
                    Severity::Warning,
                    at("the faces close to ")
                        .q(units::Kind::Angle, *dihedral)
                        .t(": root fusion needs care"),
                    "Practise that corner on scrap and cut it open",
                ),
                JointFinding::NotStrength { dihedral } => say(
                    Severity::Warning,
                    at("part of the weld is in a corner of ")
                        .q(units::Kind::Angle, *dihedral)
                        .t(", which does not count as strength (AWS D1.1, from memory)"),
                    "Do not count on that side of the weld",
                ),
                JointFinding::ThroatBelow { share, .. } if *share < FLAT => say(
                    Severity::Remark,
                    at("at its sides the tubes run flat into each other: there is no fillet"),
                    "Grind the edges there so that the weld gets to the root",
                ),
                JointFinding::ThroatBelow { throat, share } => say(
                    Severity::Remark,
                    at("the throat falls to ")
                        .fine(*throat)
                        .t(" in the open corner, ")
                        .q(units::Kind::Ratio, *share)
                        .t(" of a square corner's"),
                    "Ask for a larger leg there",
                ),
                // The log says these already.
                JointFinding::OutsideEveryRange { .. } | JointFinding::Remark(_) => {}
            }
        }
    }
}

fn dimensions(b: &Build, study: &WeldStudy, out: &mut Vec<Finding>) {
    for (i, (d, s)) in b
        .weld_out
        .dimensions
        .iter()
        .zip(&study.dimensions)
        .enumerate()
    {
        let place = Some(i);
        let mut say = |severity, text: Phrase, next: Phrase| {
            push(out, severity, Part::Dimension(d.id.clone()), text, next);
        };
        let at = |text: &str| Phrase::from(format!("{}: {text}", d.label));
        if let Err(why) = &s.way {
            say(
                Severity::Warning,
                at("").join(why.clone()),
                Phrase::from("Draw the joints between its ends, or name the nodes it passes"),
            );
        }
        if let Some(first) = s.missing.first().and_then(|i| b.fit_up.joints.get(*i)) {
            say(
                Severity::Warning,
                at(&format!(
                    "{} is on its way and could not be worked out",
                    first.label
                )),
                Phrase::from("Mend that joint: what it pulls is not counted"),
            );
        }
        if s.tolerance.is_none() {
            say(
                Severity::Warning,
                at("it has no tolerance"),
                Phrase::from("Write one; ISO 13920 gives none below 2 mm"),
            );
        }
        let (Some(off), Some(t)) = (s.off(d), s.tolerance) else {
            for f in &s.findings {
                before_welding(&mut say, &at, f);
            }
            continue;
        };
        if off.abs() > t + 1e-9 {
            let word = if off > 0.0 { " long" } else { " short" };
            let open = study
                .order
                .as_ref()
                .is_ok_and(|o| o.next.is_some() && !s.pulls.is_empty());
            let beads = study
                .corrections
                .iter()
                .any(|c| c.dimension == place && c.plan.is_ok());
            let refused = study
                .corrections
                .iter()
                .any(|c| c.dimension == place && c.refusal().is_some());
            let next = if refused {
                "Cut and fit again: its material gets no beads"
            } else if beads {
                "See its correction beads"
            } else if open {
                "Finish welding in order, then measure again"
            } else {
                "Bring it back with correction beads, or cut and fit again"
            };
            say(
                Severity::Warning,
                at("").fine(off.abs()).t(word).t(" of ").kept(d.want.si()),
                Phrase::from(next),
            );
        }
        if s.to_come.as_ref().is_some_and(|p| p.unfactored != 0.0) && d.readings.is_empty() {
            for f in &s.findings {
                before_welding(&mut say, &at, f);
            }
        }
    }
}

fn before_welding(
    say: &mut dyn FnMut(Severity, Phrase, Phrase),
    at: &dyn Fn(&str) -> Phrase,
    finding: &DimensionFinding,
) {
    match finding {
        DimensionFinding::ChanceLow { chance } => say(
            Severity::Remark,
            at("chance to come out in tolerance ").q(units::Kind::Ratio, *chance),
            Phrase::from("Hold it in a fixture, weld a coupon first, or leave room to correct it"),
        ),
        DimensionFinding::CouponFirst { band, tolerance } => say(
            Severity::Remark,
            at("the welds may pull it anywhere in ")
                .fine(*band)
                .t(", more than the tolerance of ")
                .fine(*tolerance),
            Phrase::from("Weld a coupon first: nothing this thin was measured by this shop yet"),
        ),
    }
}

fn record(study: &WeldStudy, out: &mut Vec<Finding>) {
    let record = match &study.record {
        Ok(record) => record,
        Err(why) => {
            push(
                out,
                Severity::Warning,
                Part::Phase("weld_out".to_owned()),
                Phrase::from("The shop's record can not be read: ").join(why.clone()),
                "Look at the readings and spreads it is made of",
            );
            return;
        }
    };
    for r in &record.rows {
        if r.row.outlier {
            push(
                out,
                Severity::Warning,
                Part::Phase("weld_out".to_owned()),
                Phrase::from(format!("{}: a change of ", r.label))
                    .fine(r.row.update.measured)
                    .t(" is less likely than one in a hundred"),
                "Measure it again; leave it out with a reason if it was misread",
            );
        }
        for factor in &r.row.reaching_zero {
            push(
                out,
                Severity::Remark,
                Part::Phase("weld_out".to_owned()),
                format!("The factor of {} may still be nothing", factor.label()),
                "Measure a few more joints of that kind",
            );
        }
    }
}

fn corrections(b: &Build, study: &WeldStudy, out: &mut Vec<Finding>) {
    for (c, s) in b.weld_out.corrections.iter().zip(&study.corrections) {
        let label = b
            .weld_out
            .dimension(&c.dimension)
            .map_or(c.dimension.as_str(), |d| d.label.as_str());
        let mut say = |severity, text: Phrase, next: &str| {
            push(out, severity, Part::Correction(c.id.clone()), text, next);
        };
        let at = |text: &str| Phrase::from(format!("{label}: {text}"));
        if s.refusal().is_some() {
            let why = s.plan.as_ref().err().cloned().unwrap_or_default();
            let laid = !c.laid.is_empty();
            say(
                if laid {
                    Severity::Error
                } else {
                    Severity::Warning
                },
                at("no correction beads. ").join(why),
                "Cut the joint and fit it again, or ask a qualified welder",
            );
            continue;
        }
        let plan = match &s.plan {
            Ok(plan) => plan,
            Err(why) => {
                say(
                    Severity::Warning,
                    at("").join(why.clone()),
                    "Correct where the beads go",
                );
                continue;
            }
        };
        for site in &s.sites {
            if let Some(ratio) = site.disagree {
                say(
                    Severity::Warning,
                    at(&format!(
                        "tendon force and metal force of a bead differ {ratio:.1} times"
                    )),
                    "Check the bead's leg against volts, amps and travel",
                );
            }
        }
        for finding in plan.findings() {
            match finding {
                BeadFinding::TooCoarse {
                    per_bead,
                    tolerance,
                } => say(
                    Severity::Warning,
                    at("one bead is expected to move it ")
                        .fine(per_bead)
                        .t(", more than the tolerance of ")
                        .fine(tolerance),
                    "Lay smaller beads, or nearer the far end",
                ),
                BeadFinding::Disagree { .. } => say(
                    Severity::Warning,
                    at("the moves do not agree with each other"),
                    "Look for what holds or slips; lay one bead, then measure",
                ),
            }
        }
        if s.members.as_ref().is_some_and(|m| m.differ) {
            say(
                Severity::Warning,
                at("the two members do not move alike"),
                "Look for what holds one of them",
            );
        }
        let Some(advice) = &s.advice else { continue };
        match advice.why {
            Why::LayAndMeasure => {
                let beads = if advice.lay == 1 { "bead" } else { "beads" };
                say(
                    Severity::Remark,
                    at(&format!("{} more {beads}, then measure", advice.lay)),
                    "Let it cool to the hand before measuring",
                );
            }
            Why::Done => {}
            Why::Past => say(
                Severity::Warning,
                at("past its target"),
                "Begin a new plan on the opposite face",
            ),
            Why::NotMoving => say(
                Severity::Warning,
                at("beads do not move it"),
                "Look for what holds it before laying more",
            ),
            Why::NextMayOvershoot => say(
                Severity::Warning,
                at("the next bead may overshoot"),
                "Lay a smaller bead, use a shorter lever, or accept it",
            ),
        }
    }
    // Correction beads are meant for mild steel; say it where they would be planned.
    for (material, verdict) in &study.materials {
        if let Ok(g) = verdict
            && let Some(refusal) = g.refusal
        {
            push(
                out,
                Severity::Remark,
                Part::Phase("weld_out".to_owned()),
                format!("{material} gets no correction beads: {}", refusal.reason()),
                super::super::advice::capital(refusal.caution()),
            );
        }
    }
}

fn supply(b: &Build, study: &WeldStudy, out: &mut Vec<Finding>) {
    use weld::consumables::WillDo;
    let Ok(supply) = &study.supply.gas else {
        return;
    };
    if b.weld_out.gas.cylinder.si() <= 0.0 {
        return;
    }
    let (severity, text) = match supply.will_do {
        WillDo::Yes => return,
        WillDo::Tight => (
            Severity::Remark,
            "The cylinder will just finish the weld-out",
        ),
        WillDo::No => (
            Severity::Warning,
            "The cylinder will not finish the weld-out",
        ),
    };
    push(
        out,
        severity,
        Part::Field("weld_out.gas.pressure"),
        text,
        "Have another cylinder chained up before you start",
    );
}
