//! The tables: joints in order with their drift, joints that are not drawn.

use build::{Joint, JointKind, JointStudy, OrderStudy, Stage};
use weld::Verdict;

use crate::error::SheetError;
use crate::layout::Composer;
use crate::page::Face;
use crate::table::{Cell, Col, Mark, Row, Table};
use crate::type_metrics::width;
use crate::welding::facts::Facts;
use crate::welding::words::{by, held, process, short, signed};

/// Size of the type, points.
const SIZE: f64 = 7.7;
/// Dimensions beside the order; the rest follow in tables of their own.
pub(super) const BESIDE: usize = 4;
/// Dimensions in a table of their own.
const EACH: usize = 9;

/// Width of a dimension's column, mm.
const WIDE: f64 = 16.4;
/// More dimensions than these are not named again.
const NAMED: usize = 8;

/// How a joint is to be welded, for table and spreadsheet.
pub(super) struct Weld {
    /// Leg asked for, or what stands for it.
    pub(super) leg: String,
    /// The gap made it larger, or it must not be welded.
    pub(super) strong: bool,
    /// Worst gap and where.
    pub(super) gap: String,
    /// The rule rejects the gap.
    pub(super) reject: bool,
}

impl Weld {
    pub(super) fn of(f: &Facts<'_>, j: &Joint, s: &JointStudy) -> Self {
        let asked = f.kept(j.leg.si());
        let judged = s.judged.as_ref().ok();
        let verdict = judged.map(|x| x.verdict);
        let (leg, strong) = match verdict {
            _ if j.kind == JointKind::Butt => ("—".to_owned(), false),
            Some(Verdict::EnlargeLeg { leg }) => (format!("{}\nfor {asked}", f.kept(leg)), true),
            _ => (asked, false),
        };
        let gap = match s.worst {
            Some((gap, clock)) => format!("{}\nat {}", f.kept(gap), hour(clock)),
            None => "not\nread".into(),
        };
        let reject = matches!(verdict, Some(Verdict::Reject));
        Self {
            leg,
            strong,
            gap: if reject {
                format!("{gap}\nTOO WIDE")
            } else {
                gap
            },
            reject,
        }
    }
}

/// An hour of the clock, 12 on top.
fn hour(clock: f64) -> String {
    let on_top = clock.rem_euclid(12.0);
    if !(0.05..11.95).contains(&on_top) {
        "12".into()
    } else if (on_top - on_top.round()).abs() < 0.05 {
        format!("{on_top:.0}")
    } else {
        format!("{on_top:.1}")
    }
}

fn sized(columns: impl IntoIterator<Item = Col>) -> Table {
    let mut t = Table::new(columns);
    t.size_pt = SIZE;
    t
}

/// The cells every joint has: step, joint, how, leg, gap.
fn welding(f: &Facts<'_>, step: &str, j: &Joint, s: &JointStudy, next: bool) -> Vec<Cell> {
    let w = Weld::of(f, j, s);
    let meets = f.meets(j);
    let mut name = short(&format!("{} {}", j.id, j.label));
    if !meets.is_empty() {
        name = format!("{name}\n{}", short(&meets));
    }
    let mark = if j.welded.is_some() {
        Mark::Ticked
    } else {
        Mark::Box
    };
    let bold = |c: Cell, on: bool| if on { c.bold() } else { c };
    vec![
        bold(Cell::new(step).mark(mark), true),
        bold(Cell::new(name), next),
        Cell::new(format!(
            "{}, {}\n{}",
            process(j.process),
            held(j.held),
            passes(j.passes)
        )),
        bold(Cell::new(w.leg), w.strong),
        bold(Cell::new(w.gap), w.reject),
    ]
}

fn passes(n: u32) -> String {
    if n == 1 {
        "1 pass".into()
    } else {
        format!("{n} passes")
    }
}

/// Room for a box and the longest number, mm.
fn step_width(steps: usize) -> f64 {
    let longest = width(&steps.to_string(), Face::Bold, SIZE);
    (longest + 7.0).max(10.4)
}

fn columns(steps: usize) -> Vec<Col> {
    vec![
        Col::left("step").fixed(step_width(steps)),
        Col::left("joint, and what meets what").share(1.0),
        Col::left("process, held, passes").fixed(19.6),
        Col::right("leg").fixed(11.6),
        Col::right("worst gap").fixed(11.6),
    ]
}

fn welder(j: &Joint) -> Cell {
    match &j.welded {
        Some(w) => {
            let text = by(&w.who, &w.when).replacen(
                &format!("{} ", w.who.trim()),
                &format!("{}\n", w.who.trim()),
                1,
            );
            Cell::new(if text.is_empty() {
                "welded".into()
            } else {
                short(&text)
            })
        }
        None => Cell::blank(),
    }
}

/// Value and band of a drift.
fn drift_cell(f: &Facts<'_>, order: &OrderStudy, step: usize, k: usize) -> Cell {
    let Some(d) = order.steps.get(step).and_then(|s| s.dimensions.get(k)) else {
        return Cell::new("—");
    };
    let half = 0.5 * (d.high - d.low);
    Cell::new(format!("{}\n± {}", signed(d.drift, &f.shop), f.fine(half)))
}

/// A dimension at a step: what was measured after it, and whether it is to be measured then.
struct Measure {
    read: Option<String>,
    now: bool,
}

fn measures(f: &Facts<'_>, order: &OrderStudy, step: usize) -> Vec<Measure> {
    let id = order
        .joints
        .get(step)
        .and_then(|p| f.joint(*p))
        .map(|(j, _)| j.id.as_str());
    let one = |(k, d): (usize, &usize)| {
        let document = f.build.weld_out.dimensions.get(*d);
        let read = document.and_then(|d| {
            let mine = |s: &Stage| matches!(s, Stage::After(x) if Some(x.as_str()) == id);
            let r = d.readings.iter().rev().find(|r| mine(&r.stage))?;
            Some(f.kept(r.value.si()))
        });
        Measure {
            read,
            now: order.measure.get(k).copied().flatten() == Some(step),
        }
    };
    order.dimensions.iter().enumerate().map(one).collect()
}

pub(super) fn order(
    sheet: &mut Composer,
    f: &Facts<'_>,
    order: &OrderStudy,
) -> Result<(), SheetError> {
    let beside = order.dimensions.len().min(BESIDE);
    let mut cols = columns(order.joints.len());
    for d in &order.dimensions[..beside] {
        cols.push(Col::right(f.letter(*d)).fixed(WIDE));
    }
    cols.push(Col::left("welded by, when").fixed(29.5));
    let mut t = sized(cols);
    for (step, place) in order.joints.iter().enumerate() {
        let Some((j, s)) = f.joint(*place) else {
            continue;
        };
        let next = order.next == Some(*place);
        let mut cells = welding(f, &(step + 1).to_string(), j, s, next);
        cells.extend((0..beside).map(|k| drift_cell(f, order, step, k)));
        cells.push(welder(j));
        t.push(Row::new(cells).ruled());
        if let Some(row) = measure_row(f, order, step, 0..beside, 3, true) {
            t.push(row);
        }
    }
    if let Some(names) = names(f, order) {
        sheet.note(&names)?;
    }
    sheet.section("Order", &head_note(f, order));
    sheet.table(&t)?;
    for line in key(f, order) {
        sheet.note(&line)?;
    }
    sheet.gap(2.0);
    Ok(())
}

/// A bar across the order: stop and measure.
fn measure_row(
    f: &Facts<'_>,
    order: &OrderStudy,
    step: usize,
    which: std::ops::Range<usize>,
    empty: usize,
    who: bool,
) -> Option<Row> {
    let all = measures(f, order, step);
    let mine = all.get(which.clone())?;
    if !mine.iter().any(|m| m.now || m.read.is_some()) {
        return None;
    }
    let letters: Vec<String> = which
        .clone()
        .filter(|k| all[*k].now && all[*k].read.is_none())
        .filter_map(|k| order.dimensions.get(k).map(|d| f.letter(*d)))
        .collect();
    // The next joint is welded already: too late, unless it was written down elsewhere.
    let passed = order
        .joints
        .get(step + 1)
        .and_then(|p| f.joint(*p))
        .is_some_and(|(j, _)| j.welded.is_some());
    let words = if letters.is_empty() {
        "measured".to_owned()
    } else if passed {
        format!("not on record: {}", letters.join(", "))
    } else {
        format!("measure now: {}", letters.join(", "))
    };
    let mut cells = vec![Cell::default(), Cell::new(words).bold()];
    cells.extend(std::iter::repeat_n(Cell::default(), empty));
    cells.extend(mine.iter().map(|m| match (&m.read, m.now) {
        (Some(v), _) => Cell::new(v.clone()),
        (None, true) => Cell::blank(),
        (None, false) => Cell::default(),
    }));
    if who {
        cells.push(if letters.is_empty() {
            Cell::default()
        } else {
            Cell::blank()
        });
    }
    Some(Row::new(cells).tinted())
}

fn head_note(f: &Facts<'_>, order: &OrderStudy) -> String {
    let mut out = vec![if order.by_hand {
        "set by hand".to_owned()
    } else {
        "as proposed: least drift first, then from the middle, side to side".to_owned()
    }];
    out.push(format!("{} of {} welded", order.welded, order.joints.len()));
    if let Some((j, _)) = order.next.and_then(|p| f.joint(p)) {
        out.push(format!("next: {}", short(&j.id)));
    }
    out.join(" · ")
}

/// The dimensions with their letters.
fn names(f: &Facts<'_>, order: &OrderStudy) -> Option<String> {
    let one = |d: &usize| {
        let label = short(f.label(*d));
        format!("{} {label}, {}", f.letter(*d), f.wanted(*d))
    };
    let all: Vec<String> = order.dimensions.iter().map(one).collect();
    match all.len() {
        0 => None,
        1..=NAMED => Some(all.join(" · ")),
        n => Some(format!(
            "The {n} letters are those of the dimension record."
        )),
    }
}

/// What the numbers under the letters are, and which dimensions have none.
fn key(f: &Facts<'_>, order: &OrderStudy) -> Vec<String> {
    let mut out = Vec::new();
    if !order.dimensions.is_empty() {
        out.push(
            "Under each letter: how far the dimension has drifted once this joint is cold, + longer, − shorter, \
             with the range nine in ten come out in. Let it cool to the hand before you measure."
                .to_owned(),
        );
    }
    for (k, s) in f.weld.dimensions.iter().enumerate() {
        if order.dimensions.contains(&k) {
            continue;
        }
        let why = match &s.way {
            Err(why) => why.show(&f.shop),
            Ok(_) => "it has no tolerance".into(),
        };
        let name = short(f.label(k));
        out.push(format!(
            "Not followed: {} {name}, {}.",
            f.letter(k),
            short(&why)
        ));
    }
    if f.weld.dimensions.is_empty() {
        out.push(
            "No control dimension is entered: the order is by place alone, and no drift is known."
                .to_owned(),
        );
    }
    out
}

/// Dimensions for which there is no room beside the order.
pub(super) fn more_dimensions(
    sheet: &mut Composer,
    f: &Facts<'_>,
    order: &OrderStudy,
) -> Result<(), SheetError> {
    let all = order.dimensions.len();
    let mut from = BESIDE;
    while from < all {
        let to = (from + EACH).min(all);
        let mut cols = vec![Col::left("step").fixed(11.0), Col::left("joint").share(1.0)];
        for d in &order.dimensions[from..to] {
            cols.push(Col::right(f.letter(*d)).fixed(WIDE));
        }
        let mut t = sized(cols);
        for (step, place) in order.joints.iter().enumerate() {
            let Some((j, _)) = f.joint(*place) else {
                continue;
            };
            let mut cells = vec![
                Cell::new((step + 1).to_string()).bold(),
                Cell::new(short(&j.id)),
            ];
            cells.extend((from..to).map(|k| drift_cell(f, order, step, k)));
            t.push(Row::new(cells).ruled());
            if let Some(row) = measure_row(f, order, step, from..to, 0, false) {
                t.push(row);
            }
        }
        sheet.section("Drift", "the dimensions that had no room beside the order");
        sheet.table(&t)?;
        from = to;
    }
    Ok(())
}

/// Joints of the log that have no place in the order.
pub(super) fn not_drawn(sheet: &mut Composer, f: &Facts<'_>) -> Result<(), SheetError> {
    let mut t = sized(
        columns(0)
            .into_iter()
            .chain([Col::left("welded by, when").fixed(26.0)]),
    );
    for place in outside(f) {
        let Some((j, s)) = f.joint(place) else {
            continue;
        };
        let mut cells = welding(f, "", j, s, false);
        if let (Some(name), true) = (cells.get_mut(1), j.joins.is_some())
            && let Err(why) = &s.weld
        {
            name.text = format!("{}\n{}", name.text, short(&why.show(&f.shop)));
        }
        cells.push(welder(j));
        t.push(Row::new(cells).ruled());
    }
    if t.rows.is_empty() {
        return Ok(());
    }
    sheet.section(
        "Other joints of the log",
        "not drawn in the assembly: no order and no drift is known for them",
    );
    sheet.table(&t)
}

/// Joints (places in the log) that are not in the order.
pub(super) fn outside(f: &Facts<'_>) -> impl Iterator<Item = usize> {
    let inside: std::collections::HashSet<usize> = f.weld.order.as_ref().map_or_else(
        |_| Default::default(),
        |o| o.joints.iter().copied().collect(),
    );
    (0..f.build.fit_up.joints.len()).filter(move |p| !inside.contains(p))
}
