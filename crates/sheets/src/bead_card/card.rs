//! One card: one correction.

use build::{BeadSite, Correction, CorrectionStudy, Lie};
use weld::beads::{Advice, Finding, Plan, Why};

use super::{graph, table};
use crate::column::{Column, SIZE_BODY};
use crate::error::SheetError;
use crate::layout::Composer;
use crate::page::{Face, Ink};
use crate::table::{Cell, Col, Row, Table};
use crate::welding::facts::Facts;
use crate::welding::scene::{Scene, Tag};
use crate::welding::words::{capital, fine, long, share, short};
use crate::welding::{boxed, note_lines};

/// Common practice of the trade, no source.
pub(super) const CAUTION: &str = "Eyes, fumes, fire watch, cylinder chained, closed tubes vented: as for every weld. Hot metal looks cold. \
Dress flush on mild steel only. Look for cracks after correction, at both ends of every bead. \
Structural welds: qualified people only; the rule book decides on roll structures, not this program.";
/// What stands where a material gets no bead.
const REFUSED: &str =
    "Lay no bead on it. Cut the joint and fit it again, or ask a qualified welder.";
/// Highest the drawing is made, mm.
const DRAWING: f64 = 74.0;

/// A correction with what was derived from it.
pub(super) struct Card<'a> {
    pub(super) document: &'a Correction,
    pub(super) study: &'a CorrectionStudy,
}

pub(super) fn cards<'a>(f: &Facts<'a>) -> Vec<Card<'a>> {
    let documents = f.build.weld_out.corrections.iter();
    documents
        .zip(&f.weld.corrections)
        .map(|(document, study)| Card { document, study })
        .collect()
}

impl Card<'_> {
    /// The dimension with its letter.
    pub(super) fn name(&self, f: &Facts<'_>) -> String {
        match self.study.dimension {
            Some(k) => format!("{} {}", f.letter(k), short(f.label(k))),
            None => short(&self.document.dimension),
        }
    }

    /// The tube of a site.
    pub(super) fn tube(&self, f: &Facts<'_>, site: usize) -> String {
        let site = self.document.sites.get(site);
        site.map_or_else(|| "—".into(), |s| short(&f.part(&s.tube)))
    }

    /// The site after the next one, and so on in turn.
    pub(super) fn site_after(&self, turns: usize) -> usize {
        let count = self.document.sites.len().clamp(1, 2);
        (self.study.next_site.unwrap_or(0) + turns) % count
    }
}

pub(super) fn draw(
    sheet: &mut Composer,
    f: &Facts<'_>,
    card: &Card<'_>,
    (number, of): (usize, usize),
) -> Result<(), SheetError> {
    let wanted = match card.study.dimension {
        Some(k) => format!("must come out at {}", f.wanted(k)),
        None => "its dimension is not there".into(),
    };
    let count = if of > 1 {
        format!(" · card {number} of {of}")
    } else {
        String::new()
    };
    sheet.section(&card.name(f), &format!("{wanted}{count}"));
    let plan = match &card.study.plan {
        Ok(plan) => plan,
        Err(why) => {
            let why = capital(&why.show(&f.shop));
            let text = if card.study.refusal().is_some() {
                format!("{}. {REFUSED}", short(&why))
            } else {
                format!("{}. Correct it, then print the card again.", short(&why))
            };
            return sheet.keep(|c| {
                boxed(c, "NO PLAN", &text);
                Ok(())
            });
        }
    };
    let advice = plan.next();
    facts(sheet, f, card, plan)?;
    rule(sheet, f, card, &advice)?;
    where_to_lay(sheet, f, card)?;
    table::beads(sheet, f, card, plan, &advice)?;
    stops(sheet, f, card, plan, &advice)?;
    graph::graph(sheet, f, card, plan, &advice)?;
    sheet.caution(CAUTION)?;
    note_lines(sheet, 6)?;
    sheet.signs(&["beads laid by", "looked for cracks", "checked by, date"])
}

fn plain() -> Table {
    Table::new([
        Col::left("").share(1.0),
        Col::right(""),
        Col::left("").fixed(6.0),
        Col::left("").share(1.0),
        Col::right(""),
    ])
    .plain()
}

fn facts(
    sheet: &mut Composer,
    f: &Facts<'_>,
    card: &Card<'_>,
    plan: &Plan,
) -> Result<(), SheetError> {
    let job = plan.job();
    let now = plan
        .moves()
        .last()
        .map_or(job.first_reading, |m| m.reading.measured);
    let bead = plan.per_bead();
    let direction = if plan.toward() > 0.0 {
        "longer"
    } else {
        "shorter"
    };
    let off = now - job.target;
    let come = plan.next().beads_to_come;
    let some = |k: Option<u32>| k.map_or_else(|| "over 20".into(), |k| k.to_string());
    let moved = if plan.moves().is_empty() {
        "from the formula"
    } else {
        "as measured"
    };
    let mut t = plain();
    let mut pair = |a: (&str, String), b: (&str, String)| {
        t.push(Row::new([
            Cell::new(a.0),
            Cell::new(a.1).bold(),
            Cell::default(),
            Cell::new(b.0),
            Cell::new(b.1).bold(),
        ]));
    };
    let limits = |s: f64| f.kept(job.target + s * job.tolerance);
    pair(
        (
            "stop between",
            format!("{} and {}", limits(-1.0), limits(1.0)),
        ),
        ("before the first bead", f.kept(job.first_reading)),
    );
    pair(
        (
            "stands at",
            format!("{}, {}", f.kept(now), long(off, &f.shop)),
        ),
        ("beads laid", plan.beads_laid().to_string()),
    );
    pair(
        (
            &format!("one bead, {moved}"),
            format!("{} {direction}", f.fine(bead.value)),
        ),
        (
            "a bead, nine in ten between",
            format!(
                "{} and {}",
                signed_move(bead.low, f),
                signed_move(bead.high, f)
            ),
        ),
    );
    pair(
        (
            "beads until it is within",
            if plan.next().why == Why::LayAndMeasure {
                match come {
                    [Some(a), Some(b), Some(c)] if a == c => format!("about {b}"),
                    [a, b, c] => format!("about {}, {} to {}", some(b), some(a), some(c)),
                }
            } else if plan.next().why == Why::Done {
                "none".into()
            } else {
                "stopped".into()
            },
        ),
        (
            "chance of passing: accepted, spent",
            format!(
                "{}, {}",
                share(card.document.chance.si()),
                share(plan.chance_spent())
            ),
        ),
    );
    sheet.table(&t)?;
    Ok(())
}

/// A move toward the target; one away from it says so.
fn signed_move(m: f64, f: &Facts<'_>) -> String {
    if m < 0.0 {
        format!("{} the wrong way", fine(-m, &f.shop))
    } else {
        fine(m, &f.shop)
    }
}

fn beads(n: u32) -> String {
    if n == 1 {
        "1 bead".into()
    } else {
        format!("{n} beads")
    }
}

/// What to do now, in a box.
fn rule(
    sheet: &mut Composer,
    f: &Facts<'_>,
    card: &Card<'_>,
    advice: &Advice,
) -> Result<(), SheetError> {
    let (strong, text) = match advice.why {
        Why::LayAndMeasure => {
            let site = card.site_after(0);
            let face = card.document.sites.get(site).map_or("", |s| s.face.word());
            let past = advice.overshoot_chance.map_or_else(String::new, |p| {
                format!(" Chance that it passes the tolerance: {}.", share(p))
            });
            let careful = if advice.disagree {
                " The moves do not agree: one bead, then measure."
            } else {
                ""
            };
            (
                format!(
                    "Lay {} on the {face} face of {}",
                    beads(advice.lay),
                    card.tube(f, site)
                ),
                format!(
                    "Let it cool to the hand. Measure. Write it down. Then, and only then, decide on the next.{past}{careful}"
                ),
            )
        }
        Why::Done => (
            "DONE: within its tolerance".to_owned(),
            "Lay no more. Dress flush on mild steel only; look for cracks.".to_owned(),
        ),
        Why::Past => (
            "STOP: past its target".to_owned(),
            "Lay no more here. The opposite face, with a new plan.".to_owned(),
        ),
        Why::NotMoving => (
            "STOP: beads do not move it".to_owned(),
            "Look for what holds it: a clamp, a tack, a part on the floor.".to_owned(),
        ),
        Why::NextMayOvershoot => (
            "STOP: the next bead may overshoot".to_owned(),
            "A smaller bead, a shorter lever, or accept it as it is.".to_owned(),
        ),
    };
    sheet.keep(|c| {
        boxed(c, &strong, &text);
        Ok(())
    })
}

/// The place of a site on its tube, m: centreline, from there to the skin, half of the bead.
fn place(f: &Facts<'_>, card: &Card<'_>, k: usize, site: &BeadSite) -> Option<Tag> {
    let at = card.study.sites.get(k)?.at?;
    let tubes = &f.build.assembly.tubes;
    let index = tubes.iter().position(|t| t.id == site.tube)?;
    let (tube, line) = (tubes.get(index)?, f.weld.tubes.get(index)?.as_ref().ok()?);
    let toward = site.face.direction();
    let along = line.along;
    let dot: f64 = (0..3).map(|i| toward[i] * along[i]).sum();
    let square = [0, 1, 2].map(|i| toward[i] - dot * along[i]);
    let size = square.iter().map(|v| v * v).sum::<f64>().sqrt();
    if size < 1e-6 {
        return None;
    }
    let n = square.map(|v| v / size);
    let side = [
        along[1] * n[2] - along[2] * n[1],
        along[2] * n[0] - along[0] * n[2],
        along[0] * n[1] - along[1] * n[0],
    ];
    let reach = tube.section.reach();
    let half = 0.5 * card.document.bead.length.si();
    let lie = match card.document.bead.lie {
        Lie::Along => along.map(|v| v * half),
        // Round the tube: no longer than it is wide in the drawing.
        Lie::Across => side.map(|v| v * half.min(reach)),
    };
    let tag = Tag::Bead {
        text: (k + 1).to_string(),
        at,
        out: n.map(|v| v * reach),
        half: lie,
    };
    let finite = lie.iter().chain(&n).all(|v| v.is_finite()) && reach.is_finite();
    finite.then_some(tag)
}

fn where_to_lay(sheet: &mut Composer, f: &Facts<'_>, card: &Card<'_>) -> Result<(), SheetError> {
    let sites = || card.document.sites.iter().enumerate();
    let mut tags: Vec<Tag> = card
        .study
        .dimension
        .and_then(|k| {
            let ends = f.dimension(k)?.ends?;
            Some(Tag::Span {
                text: f.letter(k),
                ends,
            })
        })
        .into_iter()
        .collect();
    tags.extend(sites().filter_map(|(k, s)| place(f, card, k, s)));
    let b = &card.document.bead;
    let lie = match b.lie {
        Lie::Across => "stringer across the tube",
        Lie::Along => "stringer along the tube",
    };
    let bead = format!(
        "{lie}, {} long, as much metal as a fillet of {} leg",
        f.kept(b.length.si()),
        f.kept(b.leg.si())
    );
    Scene::new(f, tags).draw(sheet, "Where", &bead, DRAWING)?;
    let mut t = Table::new([
        Col::left("place").fixed(12.0),
        Col::left("tube").share(1.0),
        Col::left("face"),
        Col::right("from its end"),
        Col::left("the end at").share(0.5),
        Col::right("out of square"),
        Col::right("laid"),
        Col::left(""),
    ]);
    t.size_pt = 8.5;
    for (k, s) in sites() {
        let next = card.study.next_site == Some(k)
            && card.study.advice.as_ref().is_some_and(|a| a.lay > 0);
        let laid = card.study.sites.get(k).map_or(0, |s| s.laid);
        let end = f
            .build
            .assembly
            .tube(&s.tube)
            .map_or("—", |t| t.from.as_str());
        let row = Row::new([
            Cell::new((k + 1).to_string()).bold(),
            Cell::new(card.tube(f, k)),
            Cell::new(s.face.word()),
            Cell::new(f.kept(s.at.si())).bold(),
            Cell::new(short(end)),
            Cell::new(f.kept(s.out_of_square.si())),
            Cell::new(laid.to_string()),
            Cell::new(if next { "next" } else { "" }).bold(),
        ]);
        t.push(if next { row.tinted() } else { row });
    }
    sheet.table(&t)
}

/// When to stop, in words; what holds now is marked.
fn stops(
    sheet: &mut Composer,
    f: &Facts<'_>,
    card: &Card<'_>,
    plan: &Plan,
    advice: &Advice,
) -> Result<(), SheetError> {
    let job = plan.job();
    let far = f.kept(job.target + plan.toward() * job.tolerance);
    let limits = |s: f64| f.kept(job.target + s * job.tolerance);
    let rules = [
        (
            Why::Done,
            format!(
                "Between {} and {}: done, lay no more.",
                limits(-1.0),
                limits(1.0)
            ),
        ),
        (
            Why::Past,
            format!("Past {far}: stop; the opposite face, with a new plan."),
        ),
        (
            Why::NotMoving,
            format!(
                "A bead moves it {} or less: stop, look for what holds it.",
                f.fine(job.settings.least_share * job.per_bead)
            ),
        ),
        (
            Why::NextMayOvershoot,
            format!(
                "The next bead may pass {far} with more than {} of chance in all: stop; a smaller bead, a shorter lever, or accept it.",
                share(card.document.chance.si())
            ),
        ),
    ];
    let mut extra = Vec::new();
    for x in plan.findings() {
        extra.push(match x {
            Finding::TooCoarse { per_bead, tolerance } => format!(
                "One bead is expected to move it {}, more than the tolerance of {}: lay smaller beads, or nearer the far end.",
                f.fine(per_bead),
                f.exact(tolerance)
            ),
            Finding::Disagree { .. } => {
                "The moves do not agree with each other: look for what holds or slips.".to_owned()
            }
        });
    }
    if let Some(m) = &card.study.members {
        let [a, b] = m.means.map(|v| f.fine(v));
        extra.push(if m.differ {
            format!("The two members do not move alike, {a} and {b} a bead: look for what holds one of them.")
        } else {
            format!("The two members move alike: {a} and {b} a bead.")
        });
    }
    sheet.keep(|c: &mut Column| {
        c.heading("When to stop", "");
        for (why, text) in &rules {
            let face = if *why == advice.why {
                Face::Bold
            } else {
                Face::Regular
            };
            c.styled(text, SIZE_BODY, face, Ink::Ink);
        }
        for text in &extra {
            c.styled(text, SIZE_BODY, Face::Regular, Ink::Ink);
        }
        Ok(())
    })
}
