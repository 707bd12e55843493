//! The tables: links, coil-overs, what is predicted, what the links bear.

use units::Kind;

use super::facts::{CASE_ROWS, Setting};
use super::value::{Reasons, Value};
use crate::table::{Cell, Col, Row, Table};

/// Size of the type, points.
const SIZE: f64 = 9.0;
/// Width of a place to write, mm.
const WRITE: f64 = 25.0;

/// A table with the reasons of what is missing in it.
pub(super) struct Explained {
    pub(super) table: Table,
    pub(super) reasons: Vec<String>,
}

fn sized(columns: impl IntoIterator<Item = Col>) -> Table {
    let mut t = Table::new(columns);
    t.size_pt = SIZE;
    t
}

fn named(label: &str, side: &str) -> String {
    if side == "one" {
        label.to_owned()
    } else {
        format!("{label}, {side}")
    }
}

/// Line beside the title of the links.
pub(super) fn links_note(s: &Setting<'_>) -> String {
    let mut out = "letter and number: bracket and hole".to_owned();
    let rounds = |v: &Value| v.number.is_some_and(|(_, si)| s.facts.words.rounds(si));
    if s.rods
        .iter()
        .any(|r| rounds(&r.length) || rounds(&r.thread))
    {
        out = format!("{out} · rounded to {}", s.facts.words.step());
    }
    out
}

/// One row a physical link.
pub(super) fn links(s: &Setting<'_>) -> Explained {
    let mut t = sized([
        Col::left("link").share(1.0),
        Col::left("side"),
        Col::right("eye to eye, set"),
        Col::right("thread in, each end"),
        Col::right("hole at frame"),
        Col::right("hole at axle"),
        Col::right("as set").fixed(WRITE),
    ]);
    let mut reasons = Reasons::default();
    let mut last = None;
    for r in &s.rods {
        let thread = match r.short {
            Some(by) => Cell::new(format!(
                "{}, short {}",
                r.thread.shown,
                s.facts.words.at_least_something(by)
            ))
            .bold()
            .accent(),
            None => r.thread.cell(),
        };
        reasons.note(&named(&r.label, r.side), &r.length);
        let mut row = Row::new([
            Cell::new(r.label.clone()),
            Cell::new(r.side),
            r.length.cell().bold(),
            thread,
            Cell::new(r.at_frame.clone()),
            Cell::new(r.at_axle.clone()),
            Cell::blank(),
        ]);
        row.rule = last.replace(&r.label) != Some(&r.label);
        t.push(row);
    }
    Explained {
        table: t,
        reasons: reasons.lines(),
    }
}

/// Line beside the title of the coil-overs.
pub(super) const COILS_NOTE: &str =
    "compressed springs: unload before you turn a seat · seat to seat with the shock pulled out";

/// One row a physical coil-over.
pub(super) fn coils(s: &Setting<'_>) -> Explained {
    let mut t = sized([
        Col::left("coil-over").share(1.0),
        Col::left("side"),
        Col::right("rate"),
        Col::right("preload"),
        Col::right("seat to seat, set").fixed(19.0),
        Col::right("as set").fixed(14.0),
        Col::right("eye to eye at ride height").fixed(22.6),
        Col::right("as set").fixed(14.0),
        Col::right("clicks, bump").fixed(13.0),
        Col::right("clicks, rebound").fixed(17.0),
    ]);
    // The widest of the tables.
    t.size_pt = 8.5;
    let mut reasons = Reasons::default();
    let mut last = None;
    for c in &s.coils {
        let name = named(&c.label, c.side);
        for v in [&c.preload, &c.seat] {
            reasons.note(&name, v);
        }
        let mut row = Row::new([
            Cell::new(c.label.clone()),
            Cell::new(c.side),
            c.rate.cell(),
            c.preload.cell(),
            c.seat.cell().bold(),
            Cell::blank(),
            c.length.cell(),
            Cell::blank(),
            Cell::blank(),
            Cell::blank(),
        ]);
        row.rule = last.replace(&c.label) != Some(&c.label);
        t.push(row);
    }
    Explained {
        table: t,
        reasons: reasons.lines(),
    }
}

/// Figures side by side in this many columns.
const ACROSS: usize = 3;

/// The figures of the car as set, in a grid read down its columns.
pub(super) fn figures(s: &Setting<'_>) -> Explained {
    let mut columns = Vec::new();
    for k in 0..ACROSS {
        if k > 0 {
            columns.push(Col::left("").fixed(7.0));
        }
        columns.push(Col::left("").share(1.0));
        columns.push(Col::right(""));
    }
    let mut t = sized(columns).plain();
    let mut reasons = Reasons::default();
    for (label, value) in &s.figures {
        reasons.note(label, value);
    }
    let down = s.figures.len().div_ceil(ACROSS);
    for row in 0..down {
        let mut cells = Vec::new();
        for k in 0..ACROSS {
            if k > 0 {
                cells.push(Cell::default());
            }
            if let Some((label, value)) = s.figures.get(k * down + row) {
                cells.push(Cell::new(*label));
                cells.push(value.cell().bold());
            }
        }
        t.push(Row::new(cells));
    }
    Explained {
        table: t,
        reasons: reasons.lines(),
    }
}

/// Tyre loads and how the car stands, a column a case.
pub(super) fn cases(s: &Setting<'_>) -> Explained {
    let mut t = sized(
        std::iter::once(Col::left("").share(1.0)).chain(
            s.cases
                .iter()
                .map(|c| Col::right(c.head.clone()).share(1.0)),
        ),
    );
    let mut reasons = Reasons::default();
    for c in &s.cases {
        for v in c.values.iter().flatten() {
            reasons.note(&c.head.replace('\n', ", "), v);
        }
    }
    for (k, (what, label)) in CASE_ROWS.iter().enumerate() {
        let values = s.cases.iter().map(|c| match c.values.get(k) {
            Some(Some(v)) => v.cell(),
            _ => Cell::default(),
        });
        let mut row = Row::new(std::iter::once(Cell::new(*label)).chain(values));
        row.rule = matches!(*what, "rear_left" | "rear_difference" | "squat");
        t.push(row);
    }
    Explained {
        table: t,
        reasons: reasons.lines(),
    }
}

/// Line beside the title of the link loads.
pub(super) fn loads_note(s: &Setting<'_>) -> String {
    let asked = units::format(Kind::Count, s.facts.build.power.safety_target.si(), &s.shop);
    format!("over launch, traction limit, braking and bump · safety factor asked: {asked}")
}

/// One row a physical link.
pub(super) fn loads(s: &Setting<'_>) -> Explained {
    let mut t = sized([
        Col::left("link").share(1.0),
        Col::left("side"),
        Col::right("worst force"),
        Col::left("in"),
        Col::right("safety factor"),
        Col::left("gives way first").share(1.0),
    ]);
    let mut reasons = Reasons::default();
    let mut last = None;
    for l in &s.loads {
        let name = named(&l.label, l.side);
        reasons.note(&name, &l.force);
        reasons.note(&name, &l.safety);
        for case in &l.without {
            reasons.note(
                &name,
                &Value::none(format!(
                    "{case} not counted, the car finds no balance there"
                )),
            );
        }
        let safety = if l.meets_target {
            l.safety.cell()
        } else {
            Cell::new(format!("{}, too low", l.safety.shown))
                .bold()
                .accent()
        };
        let mut row = Row::new([
            Cell::new(l.label.clone()),
            Cell::new(l.side),
            l.force.cell().bold(),
            Cell::new(l.case.clone()),
            safety,
            Cell::new(l.governing.clone()),
        ]);
        row.rule = last.replace(&l.label) != Some(&l.label);
        t.push(row);
    }
    Explained {
        table: t,
        reasons: reasons.lines(),
    }
}
