//! The shop's record: what measured changes have taught, and what could be learned.

use weld::control::{Contribution, FACTORS, Factor, FactorChoices, FactorKind, Factors};
use weld::learning::{Entry, Observation, ReadingError, Row, history, tried};
use weld::section_pull::{AlongBead, ArcBead, Member};
use weld::{Choices, GapReading, Rule};

use super::super::Phrase;
use super::dimensions::{DimensionStudy, some};
use super::joints::work_out;
use super::seams::pull_settings;
use super::space::strength;
use crate::{
    Assembly, Bead, Build, ControlDimension, Coupon, CouponTest, Lie, PastReading, PullKind, Stage,
    Tool, TubeSection, WeldChoices,
};

/// Where a row of the record is from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum RecordOf {
    /// Another build, by label.
    Past(String),
    /// A coupon, by id.
    Coupon(String),
    /// A control dimension, by id.
    Dimension(String),
}

/// A reading of the record.
#[derive(Debug, Clone, PartialEq)]
pub struct RecordRow {
    /// Where it is from.
    pub of: RecordOf,
    /// What the shop calls it.
    pub label: String,
    /// When.
    pub when: String,
    /// It counts; else it is shown with what it would teach.
    pub learned: bool,
    /// Why it was left out.
    pub void: Option<String>,
    /// What it did, or would do.
    pub row: Row,
}

/// What a coupon says, or why it says nothing yet.
#[derive(Debug, Clone, PartialEq)]
pub struct CouponStudy {
    /// Its id.
    pub id: String,
    /// What was predicted before factors, and its factor: m, positive is longer or toward the
    /// bead.
    pub predicted: Result<(f64, Factor), Phrase>,
    /// What was measured, m.
    pub measured: Option<f64>,
}

/// The shop's record.
#[derive(Debug, Clone, PartialEq)]
pub struct RecordStudy {
    /// Before anything was measured.
    pub prior: Factors,
    /// With everything learned.
    pub now: Factors,
    /// Rows that count and rows left out, in the order they are counted.
    pub rows: Vec<RecordRow>,
    /// Measured, and not learned from yet.
    pub offered: Vec<RecordRow>,
    /// Coupons.
    pub coupons: Vec<CouponStudy>,
    /// Kinds with a reading of their own, places as in [`Factor::ALL`].
    pub tried: [bool; FACTORS],
}

impl RecordStudy {
    /// How many readings count.
    pub fn count(&self) -> usize {
        self.rows.iter().filter(|r| r.learned).count()
    }
}

pub(super) fn factor_choices(c: &WeldChoices) -> FactorChoices {
    let default = FactorChoices::DEFAULT;
    let ratio = c.spread.si() / default.sd;
    FactorChoices {
        sd: default.sd * ratio,
        sd_thin: default.sd_thin * ratio,
        sd_kink: default.sd_kink * ratio,
        sd_thin_kink: default.sd_thin_kink * ratio,
        scatter: c.joint_scatter.si(),
        ..default
    }
}

pub(super) fn reading_error(tool: &Tool) -> ReadingError {
    match tool {
        Tool::Tape => ReadingError::Tape,
        Tool::Trammel => ReadingError::Trammel,
        Tool::Error(e) => ReadingError::Own(e.si()),
    }
}

const fn factor_kind(kind: PullKind) -> FactorKind {
    match kind {
        PullKind::Butt => FactorKind::Butt,
        PullKind::Tee => FactorKind::Tee,
        PullKind::Lap => FactorKind::Lap,
        PullKind::Cope => FactorKind::Cope,
        PullKind::Kink => FactorKind::Kink,
    }
}

/// The kind a factor is of, for the file.
pub(super) const fn pull_kind(kind: FactorKind) -> PullKind {
    match kind {
        FactorKind::Butt => PullKind::Butt,
        FactorKind::Tee => PullKind::Tee,
        FactorKind::Lap => PullKind::Lap,
        FactorKind::Cope => PullKind::Cope,
        FactorKind::Kink => PullKind::Kink,
    }
}

/// The readings a dimension teaches from: (before, after), the last of each; the change is over
/// all its joints.
pub(super) fn before_and_after(d: &ControlDimension) -> Option<(f64, f64, &str)> {
    let last = |stage: Stage| d.readings.iter().rev().find(|r| r.stage == stage);
    let after = last(Stage::Welded)?;
    let before = last(Stage::Tacked).or_else(|| last(Stage::Set))?;
    Some((before.value.si(), after.value.si(), &after.when))
}

/// One bead on a tube.
pub(super) struct BeadPull {
    /// Kink, rad: low, point, high.
    pub kink: [f64; 3],
    /// Outside every formula's range.
    pub out_of_range: bool,
    /// Tendon force over Blodgett's, where they differ too much.
    pub disagree: Option<f64>,
}

/// What one bead does to a tube with (area, second moment, lever).
pub(super) fn bead_kink(
    section: &TubeSection,
    numbers: (f64, f64, f64),
    bead: &Bead,
    (yield_strength, modulus): (f64, f64),
    net_heat: Option<f64>,
    choices: &Choices,
) -> Result<BeadPull, Phrase> {
    let (area, second_moment, lever) = numbers;
    let metal = 0.5 * bead.leg.si().powi(2);
    let settings = pull_settings(choices, modulus);
    let say = |e: &dyn std::fmt::Display| Phrase::from(e.to_string());
    match (bead.lie, section) {
        (Lie::Across, TubeSection::Round { outside, wall }) => {
            let half = bead.length.si() / outside.si();
            let pull = ArcBead {
                area: metal,
                outside: outside.si(),
                wall: wall.si(),
                half_angle: half,
            }
            .pull(&settings)
            .map_err(|e| say(&e))?;
            Ok(BeadPull {
                kink: [pull.low.kink, pull.point.kink, pull.high.kink],
                out_of_range: pull.out_of_range,
                disagree: None,
            })
        }
        (Lie::Across, TubeSection::Rectangular { .. }) => Err(Phrase::from(
            "a bead across is worked out on round tube only: lay it along this one",
        )),
        (Lie::Along, _) => {
            let member = Member {
                area,
                second_moment,
                yield_stress: yield_strength,
            };
            let pull = AlongBead {
                area: metal,
                length: bead.length.si(),
                lever,
                net_heat,
            }
            .pull(&member, &settings)
            .map_err(|e| say(&e))?;
            let k = &pull.kink;
            Ok(BeadPull {
                kink: [k.low, k.point, k.high],
                out_of_range: k.out_of_range,
                disagree: pull.tendon_ratio.filter(|_| pull.disagree),
            })
        }
    }
}

/// The coupon's prediction before factors.
fn coupon(
    c: &Coupon,
    a: &Assembly,
    rule: &Rule,
    choices: &Choices,
) -> Result<(f64, Factor), Phrase> {
    match &c.test {
        CouponTest::Joint(j) => {
            let mut alone = j.clone();
            alone.joins = None;
            let readings: Vec<GapReading> = super::super::fit_up::last_per_clock(&alone);
            let work = work_out(&alone, a, rule, choices, &readings, &|_| None)?;
            let band = work.welded.pull_in.or(work.welded.across);
            let band = band.ok_or_else(|| Phrase::from("such a joint has no shrinkage"))?;
            let kind = match j.kind {
                crate::JointKind::Butt => FactorKind::Butt,
                crate::JointKind::Tee { .. } => FactorKind::Tee,
                crate::JointKind::Lap => FactorKind::Lap,
                crate::JointKind::Cope => FactorKind::Cope,
            };
            Ok((-band.point, Factor::new(kind, band.out_of_range)))
        }
        CouponTest::Bead { section, bead, arm } => {
            let strength = strength(a, &c.material)
                .ok_or_else(|| Phrase::from(format!("material {} is not known", c.material)))?;
            let line = super::space::Line {
                from: [0.0; 3],
                to: [1.0, 0.0, 0.0],
                along: [1.0, 0.0, 0.0],
                length: 1.0,
                up: [0.0, 0.0, 1.0],
                straights: Vec::new(),
            };
            let numbers = super::space::section(section, &line, [0.0, 0.0, 1.0]);
            let pull = bead_kink(section, numbers, bead, strength, None, choices)?;
            let moved = pull.kink[1] * arm.si();
            Ok((moved, Factor::new(FactorKind::Kink, pull.out_of_range)))
        }
    }
}

fn past(p: &PastReading) -> Observation {
    let mut by_factor = [0.0; FACTORS];
    for x in &p.pulls {
        by_factor[Factor::new(factor_kind(x.kind), x.thin).index()] += x.change.si();
    }
    Observation {
        by_factor,
        independent: p.scatter.si().powi(2),
        measured: p.change.si(),
        sigma: std::f64::consts::SQRT_2 * p.error.si().max(1e-6),
    }
}

struct Taught {
    of: RecordOf,
    label: String,
    when: String,
    learn: bool,
    void: Option<String>,
    observation: Observation,
}

pub(super) fn study(
    b: &Build,
    dimensions: &[DimensionStudy],
    rule: &Rule,
    choices: &Choices,
) -> Result<RecordStudy, weld::WeldError> {
    let w = &b.weld_out;
    let numbers = factor_choices(&w.choices);
    let prior = Factors::prior(&numbers)?;
    let mut list: Vec<Taught> = Vec::new();
    for p in &w.past {
        list.push(Taught {
            of: RecordOf::Past(p.label.clone()),
            label: p.label.clone(),
            when: p.when.clone(),
            learn: true,
            void: p.void.clone(),
            observation: past(p),
        });
    }
    let mut coupons = Vec::new();
    for c in &w.coupons {
        let predicted = coupon(c, &b.assembly, rule, choices);
        let measured = c.after.map(|after| after.si() - c.before.si());
        if let (Ok((change, factor)), Some(measured)) = (&predicted, measured) {
            let contribution = Contribution::new(*factor, *change);
            if let Ok(observation) =
                Observation::new(&[contribution], measured, reading_error(&c.tool), &numbers)
            {
                list.push(Taught {
                    of: RecordOf::Coupon(c.id.clone()),
                    label: c.label.clone(),
                    when: c.when.clone(),
                    learn: c.learn,
                    void: c.void.clone(),
                    observation,
                });
            }
        }
        coupons.push(CouponStudy {
            id: c.id.clone(),
            predicted,
            measured,
        });
    }
    for (d, s) in w.dimensions.iter().zip(dimensions) {
        let Some((before, after, when)) = before_and_after(d) else {
            continue;
        };
        let all = some(&s.pulls, |_| true);
        if all.is_empty() {
            continue;
        }
        if let Ok(observation) =
            Observation::new(&all, after - before, reading_error(&d.tool), &numbers)
        {
            list.push(Taught {
                of: RecordOf::Dimension(d.id.clone()),
                label: d.label.clone(),
                when: when.to_owned(),
                learn: d.learn,
                void: d.void.clone(),
                observation,
            });
        }
    }
    let entry = |t: &Taught| Entry {
        observation: t.observation,
        voided: t.void.is_some(),
    };
    let (counted, offered): (Vec<Taught>, Vec<Taught>) = list.into_iter().partition(|t| t.learn);
    let entries: Vec<Entry> = counted.iter().map(entry).collect();
    let rows = history(&prior, &entries, numbers.confidence)?;
    let now = rows
        .last()
        .map_or_else(|| prior.clone(), |r| r.factors.clone());
    let row = |t: Taught, row: Row| RecordRow {
        of: t.of,
        label: t.label,
        when: t.when,
        learned: t.learn && t.void.is_none(),
        void: t.void,
        row,
    };
    let offered = offered
        .into_iter()
        .filter_map(|t| {
            // What it alone would teach, from where the shop stands.
            let mut alone = history(&now, &[entry(&t)], numbers.confidence).ok()?;
            let only = alone.pop()?;
            Some(row(t, only))
        })
        .collect();
    Ok(RecordStudy {
        prior,
        now,
        rows: counted
            .into_iter()
            .zip(rows)
            .map(|(t, r)| row(t, r))
            .collect(),
        offered,
        coupons,
        tried: tried(&entries),
    })
}

/// The record in the form another build takes in.
pub fn record_of(build: &Build, study: &super::WeldStudy) -> Vec<PastReading> {
    let mut out = build.weld_out.past.clone();
    let length = units::Length::from_si;
    let error = |id: &RecordOf| match id {
        RecordOf::Coupon(id) => {
            let found = build.weld_out.coupons.iter().find(|c| c.id == *id);
            found.map(|c| c.tool)
        }
        RecordOf::Dimension(id) => build.weld_out.dimension(id).map(|d| d.tool),
        RecordOf::Past(_) => None,
    };
    let numbers = factor_choices(&build.weld_out.choices);
    let Ok(record) = &study.record else {
        return out;
    };
    for r in record.rows.iter().filter(|r| r.learned) {
        let Some(tool) = error(&r.of) else { continue };
        let (Some(observation), Ok(one)) = (
            study.observation(build, &r.of),
            reading_error(&tool).one(&numbers),
        ) else {
            continue;
        };
        let pulls = Factor::ALL.into_iter().filter_map(|f| {
            let change = observation.by_factor[f.index()];
            (change != 0.0).then(|| crate::PastPull {
                kind: pull_kind(f.kind),
                thin: f.thin,
                change: length(change),
            })
        });
        out.push(PastReading {
            label: format!("{}: {}", build.name, r.label),
            when: r.when.clone(),
            pulls: pulls.collect(),
            scatter: length(observation.independent.max(0.0).sqrt()),
            change: length(observation.measured),
            error: length(one),
            void: None,
        });
    }
    out
}
