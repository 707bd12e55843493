//! How far each phase is, and what it waits for.

use units::Quantity;

use super::{Band, Definition, Finding, Part, Phrase, Reading, Severity, Status};
use crate::{Build, Check, CheckKind, Phase};

/// A phase as it stands.
#[derive(Debug, Clone, PartialEq)]
pub struct PhaseStudy {
    /// Its id.
    pub id: String,
    /// Checks passed.
    pub done: usize,
    /// Checks in all.
    pub total: usize,
    /// Hold points of earlier phases still open.
    pub waits: Vec<Wait>,
    /// Each check, in order.
    pub checks: Vec<CheckStudy>,
}

/// A hold point that is not passed yet.
#[derive(Debug, Clone, PartialEq)]
pub struct Wait {
    /// Title of the phase that owns it.
    pub phase: String,
    /// The check's sentence.
    pub check: String,
}

/// A check as it stands.
#[derive(Debug, Clone, PartialEq)]
pub struct CheckStudy {
    /// Its id.
    pub id: String,
    /// Where it is.
    pub state: CheckState,
}

/// Where a check is.
#[derive(Debug, Clone, PartialEq)]
pub enum CheckState {
    /// Nothing recorded.
    Open,
    /// Passed.
    Passed,
    /// Recorded or computed, and not good enough: why.
    Failed(Miss),
    /// A rule that can not be judged yet: which reading, and why.
    Unknown {
        /// Reading id.
        reading: String,
        /// Why.
        why: &'static str,
    },
}

/// Why a check is not passed.
#[derive(Debug, Clone, PartialEq)]
pub enum Miss {
    /// The measured value is under the least.
    Under(Quantity, Quantity),
    /// The measured value is over the greatest.
    Over(Quantity, Quantity),
    /// The value is of another kind than the limits.
    Kind(Quantity),
    /// A reading is out of its band: which, and its value.
    Reading(&'static Definition, f64),
}

impl Miss {
    /// In words.
    pub fn words(&self) -> Phrase {
        let by = |a: &Quantity, b: &Quantity| Phrase::default().q(a.kind, (a.si - b.si).abs());
        match self {
            Self::Under(v, limit) => by(v, limit).t(" under the least"),
            Self::Over(v, limit) => by(v, limit).t(" over the greatest"),
            Self::Kind(v) => Phrase::default()
                .q(v.kind, v.si)
                .t(" is another kind of quantity than the limits"),
            Self::Reading(d, v) => Phrase::from(format!("{} ", d.label)).reading(d, *v),
        }
    }
}

pub(super) fn study(b: &Build, readings: &[Reading]) -> Vec<PhaseStudy> {
    let judged: Vec<Vec<CheckStudy>> = b
        .phases
        .iter()
        .map(|p| p.checks.iter().map(|c| judge(c, readings)).collect())
        .collect();
    let open = |reference: &str| -> Option<Wait> {
        let (phase, check) = reference.split_once('/')?;
        let (i, p) = b.phases.iter().enumerate().find(|(_, p)| p.id == phase)?;
        let (k, c) = p.checks.iter().enumerate().find(|(_, c)| c.id == check)?;
        (judged[i][k].state != CheckState::Passed).then(|| Wait {
            phase: p.title.clone(),
            check: c.label.clone(),
        })
    };
    let waits: Vec<Vec<Wait>> = b
        .phases
        .iter()
        .map(|p| p.waits_for.iter().filter_map(|w| open(w)).collect())
        .collect();
    b.phases
        .iter()
        .zip(judged)
        .zip(waits)
        .map(|((p, checks), waits)| PhaseStudy {
            id: p.id.clone(),
            done: checks
                .iter()
                .filter(|c| c.state == CheckState::Passed)
                .count(),
            total: checks.len(),
            waits,
            checks,
        })
        .collect()
}

fn judge(check: &Check, readings: &[Reading]) -> CheckStudy {
    let mark = check.last_mark();
    let done = mark.is_some_and(|m| m.done);
    let state = match &check.kind {
        CheckKind::Tick if done => CheckState::Passed,
        CheckKind::Tick => CheckState::Open,
        CheckKind::Measure { low, high } => match mark.filter(|m| m.done).and_then(|m| m.value) {
            None => CheckState::Open,
            Some(v) => measured(v, low.as_ref(), high.as_ref()),
        },
        CheckKind::Rule { readings: ids } => rule(ids, readings),
    };
    CheckStudy {
        id: check.id.clone(),
        state,
    }
}

fn measured(v: Quantity, low: Option<&Quantity>, high: Option<&Quantity>) -> CheckState {
    for limit in [low, high].into_iter().flatten() {
        if limit.kind != v.kind {
            return CheckState::Failed(Miss::Kind(v));
        }
    }
    let band = Band {
        low: low.map_or(f64::NEG_INFINITY, |q| q.si),
        high: high.map_or(f64::INFINITY, |q| q.si),
    };
    // An open end must not widen the slack of the other.
    let slack = 1e-9 * v.si.abs().max(1e-3);
    if v.si < band.low - slack {
        CheckState::Failed(Miss::Under(v, low.copied().unwrap_or(v)))
    } else if v.si > band.high + slack {
        CheckState::Failed(Miss::Over(v, high.copied().unwrap_or(v)))
    } else {
        CheckState::Passed
    }
}

fn rule(ids: &[String], readings: &[Reading]) -> CheckState {
    let unknown = |id: &String, why| CheckState::Unknown {
        reading: id.clone(),
        why,
    };
    for id in ids {
        let Some(r) = readings.iter().find(|r| r.is(id)) else {
            return unknown(id, "there is no such reading");
        };
        match r.status() {
            Status::InBand => {}
            Status::NoTarget => return unknown(id, "no target band is set"),
            Status::NoValue => return unknown(id, "it has no value"),
            Status::Below(_) | Status::Above(_) => {
                let value = *r.value.as_ref().unwrap_or(&f64::NAN);
                return CheckState::Failed(Miss::Reading(r.definition, value));
            }
        }
    }
    if ids.is_empty() {
        return unknown(&String::new(), "the rule names no reading");
    }
    CheckState::Passed
}

pub(super) fn findings(b: &Build, studies: &[PhaseStudy], out: &mut Vec<Finding>) {
    for (phase, study) in b.phases.iter().zip(studies) {
        unknown_waits(b, phase, out);
        let begun = phase
            .checks
            .iter()
            .any(|c| c.last_mark().is_some_and(|m| m.done));
        if let (true, Some(wait)) = (begun, study.waits.first()) {
            out.push(Finding::new(
                Severity::Warning,
                Part::Phase(phase.id.clone()),
                format!(
                    "{} is begun, but \"{}\" in {} is still open",
                    phase.title, wait.check, wait.phase
                ),
                format!("Close that hold point in {} first", wait.phase),
            ));
        }
        for (check, state) in phase.checks.iter().zip(&study.checks) {
            let part = || Part::Check(phase.id.clone(), check.id.clone());
            match &state.state {
                CheckState::Failed(Miss::Reading(..)) | CheckState::Open | CheckState::Passed => {}
                CheckState::Failed(miss) => out.push(Finding::new(
                    Severity::Warning,
                    part(),
                    Phrase::from(format!("{}: ", check.label)).join(miss.words()),
                    "Mend it and measure again, or note why it may stay",
                )),
                CheckState::Unknown { reading, why } if *why == "there is no such reading" => {
                    out.push(Finding::new(
                        Severity::Warning,
                        part(),
                        format!(
                            "{}: the rule names \"{reading}\", and there is no such reading",
                            check.label
                        ),
                        "Choose a reading from the list, or make it a tick",
                    ));
                }
                CheckState::Unknown { .. } => {}
            }
        }
    }
}

fn unknown_waits(b: &Build, phase: &Phase, out: &mut Vec<Finding>) {
    for wait in &phase.waits_for {
        let check = wait
            .split_once('/')
            .and_then(|(p, c)| b.phase(p).and_then(|p| p.check(c)));
        let text = match check {
            None => format!(
                "{} waits for \"{wait}\", and there is no such check",
                phase.title
            ),
            Some(c) if !c.hold => {
                format!(
                    "{} waits for \"{}\", which is not a hold point",
                    phase.title, c.label
                )
            }
            Some(_) => continue,
        };
        out.push(Finding::new(
            Severity::Warning,
            Part::Phase(phase.id.clone()),
            text,
            "Choose a hold point it should wait for, or clear it",
        ));
    }
}
