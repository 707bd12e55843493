//! A row for every time a dimension is measured, filled where it was.

use build::{ControlDimension, DimensionReading, Stage};

use crate::error::SheetError;
use crate::layout::Composer;
use crate::table::{Cell, Col, Mark, Row, Table};
use crate::welding::facts::Facts;
use crate::welding::words::{long, short, stage};

/// One row.
pub(super) struct Line {
    /// When it is measured.
    pub(super) when: String,
    /// What is expected then, m: value and half of its band.
    pub(super) expect: Option<(f64, Option<f64>)>,
    /// What was read.
    pub(super) read: Option<Read>,
    /// It is judged against the tolerance round what is wanted.
    pub(super) last: bool,
}

/// A reading on record.
pub(super) struct Read {
    pub(super) value: f64,
    pub(super) who: String,
    pub(super) at: String,
    pub(super) note: String,
}

impl Read {
    fn of(r: &DimensionReading) -> Self {
        Self {
            value: r.value.si(),
            who: r.who.clone(),
            at: r.when.clone(),
            note: r.note.clone(),
        }
    }
}

impl Line {
    /// Against what is wanted once all is done, else against what was expected then.
    pub(super) fn verdict(&self, f: &Facts<'_>, k: usize, want: f64) -> Option<(String, bool)> {
        let value = self.read.as_ref()?.value;
        if self.last {
            let text = f.verdict(k, value - want)?;
            let within = text == "within";
            return Some((text, within));
        }
        let tolerance = f.dimension(k)?.tolerance?;
        let (expect, half) = self.expect?;
        let off = value - expect;
        if !off.is_finite() {
            return None;
        }
        let within = off.abs() <= half.unwrap_or(0.0).max(tolerance) + 1e-9;
        Some(if within {
            ("as expected".into(), true)
        } else {
            (format!("{} of expected", long(off, &f.shop)), false)
        })
    }
}

/// The rows of a dimension, in the order it is measured.
pub(super) fn lines(f: &Facts<'_>, k: usize, d: &ControlDimension) -> Vec<Line> {
    let want = d.want.si();
    let allowance = f.set_long(k);
    let at = |s: &Stage| {
        d.readings
            .iter()
            .filter(|r| r.stage == *s)
            .collect::<Vec<_>>()
    };
    let mut out = Vec::new();
    let mut push = |s: Stage, expect, last| {
        let found = at(&s);
        if found.is_empty() {
            out.push(Line {
                when: stage(&s),
                expect,
                read: None,
                last,
            });
        }
        for r in found {
            out.push(Line {
                when: stage(&s),
                expect,
                read: Some(Read::of(r)),
                last,
            });
        }
    };
    let aim = allowance.map(|a| (want + a, None));
    push(Stage::Set, aim, false);
    push(Stage::Tacked, aim, false);
    // What it drifts from: the last reading before welding.
    let before = |s: Stage| at(&s).last().map(|r| r.value.si());
    let from = before(Stage::Tacked)
        .or_else(|| before(Stage::Set))
        .or(aim.map(|(v, _)| v));
    for (id, drift) in after(f, k, d) {
        let expect = from
            .zip(drift)
            .map(|(v, (drift, half))| (v + drift, Some(half)));
        push(Stage::After(id), expect, false);
    }
    let study = f.dimension(k);
    let whole = study.and_then(|s| s.whole.as_ref());
    let expect = from
        .zip(whole)
        .map(|(v, p)| (v + p.change, Some(0.5 * (p.high - p.low))));
    push(Stage::Welded, expect, true);
    for c in f
        .build
        .weld_out
        .corrections
        .iter()
        .filter(|c| c.dimension == d.id)
    {
        let mut laid = 0_u32;
        for x in &c.laid {
            laid = laid.saturating_add(x.beads);
            let beads = if laid == 1 { "bead" } else { "beads" };
            out.push(Line {
                when: format!("after {laid} {beads}"),
                expect: None,
                read: Some(Read {
                    value: x.value.si(),
                    who: x.who.clone(),
                    at: x.when.clone(),
                    note: x.note.clone(),
                }),
                last: true,
            });
        }
    }
    let found = at(&Stage::Corrected);
    if found.is_empty() {
        out.push(Line {
            when: stage(&Stage::Corrected),
            expect: None,
            read: None,
            last: true,
        });
    }
    out.extend(found.into_iter().map(|r| Line {
        when: stage(&Stage::Corrected),
        expect: None,
        read: Some(Read::of(r)),
        last: true,
    }));
    out
}

/// A joint after which it is measured, and the drift then with half its band.
type After = (String, Option<(f64, f64)>);

/// Joints after which it was or is to be measured, in the order they are welded.
fn after(f: &Facts<'_>, k: usize, d: &ControlDimension) -> Vec<After> {
    let read: Vec<&str> = d
        .readings
        .iter()
        .filter_map(|r| match &r.stage {
            Stage::After(id) => Some(id.as_str()),
            _ => None,
        })
        .collect();
    let mut out: Vec<After> = Vec::new();
    if let Ok(order) = &f.weld.order {
        let column = order.dimensions.iter().position(|x| *x == k);
        let now = column.and_then(|c| order.measure.get(c).copied().flatten());
        for (step, place) in order.joints.iter().enumerate() {
            let Some((j, _)) = f.joint(*place) else {
                continue;
            };
            if now == Some(step) || read.contains(&j.id.as_str()) {
                let drift = column
                    .and_then(|c| order.steps.get(step)?.dimensions.get(c))
                    .map(|x| (x.drift, 0.5 * (x.high - x.low)));
                out.push((j.id.clone(), drift));
            }
        }
    }
    for id in read {
        if !out.iter().any(|(x, _)| x == id) {
            out.push((id.to_owned(), None));
        }
    }
    out
}

pub(super) fn readings(sheet: &mut Composer, f: &Facts<'_>) -> Result<(), SheetError> {
    let mut t = Table::new([
        Col::left("").fixed(7.0),
        Col::left("dimension").share(1.0),
        Col::left("measured when").fixed(25.0),
        Col::right("expected then").fixed(27.5),
        Col::right("measured").fixed(19.0),
        Col::right("off").fixed(15.0),
        Col::left("verdict").fixed(27.0),
        Col::left("who, when").fixed(36.5),
    ]);
    t.size_pt = 8.5;
    for (k, d) in f.build.weld_out.dimensions.iter().enumerate() {
        let void = match &d.void {
            Some(why) => short(&format!("does not count: {why}")),
            None => String::new(),
        };
        let beside = [short(&d.label), f.wanted(k), void];
        for (n, line) in lines(f, k, d).iter().enumerate() {
            let mut cells = vec![
                Cell::new(if n == 0 { f.letter(k) } else { String::new() })
                    .bold()
                    .accent(),
                Cell::new(beside.get(n).cloned().unwrap_or_default()),
            ];
            cells.extend(row(f, k, d, line));
            let row = Row::new(cells);
            t.push(if n == 0 { row.ruled() } else { row });
        }
    }
    sheet.section(
        "Readings",
        "cold to the hand, same tool, same marks · off: + long, − short",
    );
    sheet.table(&t)
}

fn row(f: &Facts<'_>, k: usize, d: &ControlDimension, line: &Line) -> [Cell; 6] {
    let expect = match line.expect {
        Some((v, Some(half))) => format!("{} ± {}", f.fine(v), f.fine(half)),
        Some((v, None)) => format!("set to {}", f.kept(v)),
        None => String::new(),
    };
    let want = d.want.si();
    let Some(read) = &line.read else {
        return [
            Cell::new(line.when.clone()),
            Cell::new(expect).dim(),
            Cell::blank(),
            Cell::blank(),
            Cell {
                write_line: true,
                ..Cell::new("within").mark(Mark::Box)
            },
            Cell::blank(),
        ];
    };
    let verdict = match line.verdict(f, k, want) {
        Some((text, true)) => Cell::new(text).mark(Mark::Ticked),
        Some((text, false)) => Cell::new(text).bold().mark(Mark::Box),
        None => Cell::default(),
    };
    let mut by = crate::welding::words::by(&read.who, &read.at);
    if !read.note.trim().is_empty() {
        by = format!("{by}\n{}", read.note.trim());
    }
    [
        Cell::new(line.when.clone()),
        Cell::new(expect).dim(),
        Cell::new(f.kept(read.value)).bold(),
        Cell::new(crate::welding::words::signed(read.value - want, &f.shop)),
        verdict,
        Cell::new(short(&by)),
    ]
}
