//! The tables of the build summary.

use build::{Band, Build, CheckState, Reading, Severity, SlipReading, StripMark, Study};
use units::{Kind, Shop, display_value, format, format_kept, unit_name};
use vehicle::STANDARD_GRAVITY;

use crate::parts::words::digits;
use crate::run_card::predicted;
use crate::table::{Cell, Col, Row, Table};
use crate::welding::words::short;

/// Size of the type, points.
const SIZE: f64 = 8.5;
/// Findings printed; the rest are counted.
const MOST_FINDINGS: usize = 18;
/// Hold points named in a phase; the rest are counted.
const MOST_HOLDS: usize = 4;
/// Figures side by side.
const ACROSS: usize = 3;

fn sized(columns: impl IntoIterator<Item = Col>) -> Table {
    let mut t = Table::new(columns);
    t.size_pt = SIZE;
    t
}

/// Names and values in a grid read down its columns.
pub(super) fn grid(list: &[(String, String)]) -> Table {
    let mut columns = Vec::new();
    for k in 0..ACROSS {
        if k > 0 {
            columns.push(Col::left("").fixed(6.0));
        }
        columns.push(Col::left("").share(1.0));
        columns.push(Col::right(""));
    }
    let mut t = sized(columns).plain();
    let down = list.len().div_ceil(ACROSS);
    for row in 0..down {
        let mut cells = Vec::new();
        for k in 0..ACROSS {
            if k > 0 {
                cells.push(Cell::default());
            }
            if let Some((what, value)) = list.get(k * down + row) {
                cells.push(Cell::new(what.clone()));
                cells.push(Cell::new(value.clone()).bold());
            }
        }
        t.push(Row::new(cells));
    }
    t
}

pub(super) fn car(b: &Build, study: &Study, shop: &Shop) -> Vec<(String, String)> {
    let kept = |v: f64| format_kept(Kind::Length, v, shop);
    let c = &b.car;
    let mut out = vec![
        ("wheelbase".to_owned(), kept(c.wheelbase.si())),
        ("front track".to_owned(), kept(c.front.track.si())),
        ("rear track".to_owned(), kept(c.rear.track.si())),
        (
            "front tyre radius, loaded".to_owned(),
            kept(c.front.loaded_radius.si()),
        ),
        (
            "rear tyre radius, loaded".to_owned(),
            kept(c.rear.loaded_radius.si()),
        ),
        (
            "weight".to_owned(),
            format_kept(Kind::Mass, c.mass.si(), shop),
        ),
        (
            "on the rear".to_owned(),
            format(Kind::Ratio, c.rear_share.si(), shop),
        ),
        ("centre of gravity up".to_owned(), kept(c.cg_height.si())),
    ];
    if let Some(Ok(w)) = &study.run.corners {
        let mass = format(Kind::Mass, w.weight / STANDARD_GRAVITY, shop);
        out.push(("on the scales".into(), mass));
        out.push(("cross weight".into(), format!("{:.1} %", w.cross_percent)));
        out.push(("on the left".into(), format!("{:.1} %", w.left_percent)));
    }
    if let Some(Ok(h)) = &study.run.height {
        out.push((
            "centre of gravity, weighed".into(),
            format(Kind::Length, h.height, shop),
        ));
    }
    out
}

pub(super) fn goal(study: &Study, shop: &Shop) -> String {
    let over = |r: SlipReading| {
        let all = crate::run_card::SLIP.iter();
        all.clone().find(|x| x.1 == r).map_or("", |x| x.0)
    };
    let goal = match &study.run.goal {
        None => "no goal is set".to_owned(),
        Some(g) => {
            let wanted = format!(
                "goal: {} in {:.2} s",
                over(build::reading_over(g.goal.over)),
                g.goal.time.si()
            );
            match g.over {
                None => format!("{wanted}, can not be judged"),
                Some(by) if by > 0.0 => format!("{wanted}, missed by {by:.2} s"),
                Some(by) => format!("{wanted}, met with {:.2} s to spare", -by),
            }
        }
    };
    match &study.run.run {
        Ok(_) => format!("{goal} · ± one standard deviation"),
        Err(why) => short(&format!("{goal} · nothing predicted: {}", why.show(shop))),
    }
}

pub(super) fn slip(study: &Study, shop: &Shop) -> Vec<(String, String)> {
    let wanted = [
        SlipReading::Clock(StripMark::SixtyFoot),
        SlipReading::Clock(StripMark::Eighth),
        SlipReading::Clock(StripMark::Quarter),
        SlipReading::QuarterTrap,
        SlipReading::ZeroSixty,
        SlipReading::ZeroSixtyRollout,
    ];
    let all = crate::run_card::SLIP.into_iter();
    all.filter(|(_, r)| wanted.contains(r))
        .map(|(what, r)| (what.to_owned(), predicted(study, r, shop)))
        .collect()
}

/// Sentences of the hold points of a phase that are not passed.
fn open_holds(b: &Build, study: &Study, phase: usize) -> Vec<String> {
    let (Some(p), Some(s)) = (b.phases.get(phase), study.phases.get(phase)) else {
        return Vec::new();
    };
    p.checks
        .iter()
        .zip(&s.checks)
        .filter(|(c, s)| c.hold && s.state != CheckState::Passed)
        .map(|(c, _)| short(c.label.trim()))
        .collect()
}

pub(super) fn phases(b: &Build, study: &Study) -> Table {
    let mut t = sized([
        Col::left("phase"),
        Col::right("passed"),
        Col::left("open hold points").share(1.0),
    ]);
    for (k, (p, s)) in b.phases.iter().zip(&study.phases).enumerate() {
        let holds = open_holds(b, study, k);
        let more = holds.len().saturating_sub(MOST_HOLDS);
        let mut words = holds[..holds.len().min(MOST_HOLDS)].join(" · ");
        if more > 0 {
            words = format!("{words} · and {more} more");
        }
        let done = s.total > 0 && s.done == s.total;
        t.push(
            Row::new([
                Cell::new(short(p.title.trim())),
                Cell::new(format!("{} of {}", s.done, s.total)).bold(),
                Cell::new(if done && words.is_empty() {
                    "complete".to_owned()
                } else if words.is_empty() {
                    "—".to_owned()
                } else {
                    words
                }),
            ])
            .ruled(),
        );
    }
    t
}

pub(super) fn findings_note(study: &Study) -> String {
    let count = |s: Severity| {
        let n = study.findings.iter().filter(|f| f.severity == s).count();
        format!("{n} {}{}", s.word(), if n == 1 { "" } else { "s" })
    };
    format!(
        "worst first · {}, {}, {}",
        count(Severity::Error),
        count(Severity::Warning),
        count(Severity::Remark)
    )
}

pub(super) fn findings(study: &Study, shop: &Shop) -> Table {
    let mut t = sized([
        Col::left("how bad"),
        Col::left("what, what next").share(1.0),
    ]);
    for f in study.findings.iter().take(MOST_FINDINGS) {
        let word = Cell::new(f.severity.word());
        let word = if f.severity == Severity::Remark {
            word
        } else {
            word.bold()
        };
        let words = f.sentences(shop);
        let words: String = if words.chars().count() > 320 {
            short(&words)
        } else {
            words
        };
        t.push(Row::new([word, Cell::new(words)]).ruled());
    }
    let more = study.findings.len().saturating_sub(MOST_FINDINGS);
    if more > 0 {
        t.push(Row::new([
            Cell::default(),
            Cell::new(format!("and {more} more: see the program")),
        ]));
    }
    t
}

fn band(r: &Reading, b: Band, shop: &Shop) -> String {
    let show = |v: f64| r.definition.display(v, shop);
    match (b.low.is_finite(), b.high.is_finite()) {
        (true, true) => format!("{} to {}", show(b.low), show(b.high)),
        (true, false) => format!("{} or more", show(b.low)),
        (false, true) => format!("{} or less", show(b.high)),
        (false, false) => "any".into(),
    }
}

pub(super) fn readings(study: &Study, shop: &Shop) -> Table {
    let mut t = sized([
        Col::left("reading").share(1.0),
        Col::right("value"),
        Col::right("band"),
        Col::left("verdict"),
    ]);
    for r in &study.readings {
        let Some(b) = r.band else { continue };
        let dress = |c: Cell| if r.status().is_out() { c.bold() } else { c };
        t.push(Row::new([
            dress(Cell::new(short(&r.label()))),
            dress(Cell::new(r.display(shop))),
            Cell::new(band(r, b, shop)),
            dress(Cell::new(match &r.value {
                Err(why) => short(&why.to_string()),
                Ok(_) => r.verdict(shop),
            })),
        ]));
    }
    t
}

/// Every line of the sheet for a spreadsheet: readings with all their digits in the shop's unit.
pub(super) fn csv(b: &Build, study: &Study, shop: &Shop) -> Table {
    let mut t = Table::new([
        Col::left("section"),
        Col::left("what"),
        Col::right("value"),
        Col::left("unit"),
        Col::right("low"),
        Col::right("high"),
        Col::left("on the sheet"),
    ]);
    let mut line = |cells: [&str; 7]| t.push(Row::new(cells.map(Cell::from)));
    for (what, shown) in car(b, study, shop) {
        line(["car", &what, "", "", "", "", &shown]);
    }
    line(["goal", "", "", "", "", "", &goal(study, shop)]);
    for (what, shown) in slip(study, shop) {
        line(["predicted", &what, "", "", "", "", &shown]);
    }
    for (k, (p, s)) in b.phases.iter().zip(&study.phases).enumerate() {
        let (done, total) = (s.done.to_string(), s.total.to_string());
        let holds = open_holds(b, study, k).join(" · ");
        line(["phase", &p.title, &done, "checks", "", &total, &holds]);
    }
    for f in &study.findings {
        let words = f.sentences(shop);
        line(["finding", f.severity.word(), "", "", "", "", &words]);
    }
    for r in study.readings.iter().filter(|r| r.band.is_some()) {
        let number = |v: f64| {
            if v.is_finite() {
                digits(display_value(r.kind(), v, shop))
            } else {
                String::new()
            }
        };
        let value = r
            .value
            .as_ref()
            .map_or_else(|_| String::new(), |v| number(*v));
        let (low, high) = r
            .band
            .map_or_else(Default::default, |b| (number(b.low), number(b.high)));
        let verdict = r.verdict(shop);
        let unit = unit_name(r.kind(), shop);
        line(["reading", &r.label(), &value, unit, &low, &high, &verdict]);
    }
    t
}
