//! The table of every bracket and every hole.

use crate::page::Face;
use crate::parts::facts::{Facts, Hole, Piece, Used};
use crate::table::{Cell, Col, Mark, Row, Table};
use crate::type_metrics::fit;

/// Width of a place to write a measured value, mm.
const WRITE: f64 = 21.4;

/// Line beside the title: what the marks mean, how near is near enough.
pub(super) fn note(facts: &Facts<'_>) -> String {
    let w = &facts.words;
    let tolerance = w.exact(facts.build.rear.placement_tolerance.si());
    let mut out = format!(
        "filled: the hole in use · tolerance ± {tolerance} {}",
        w.unit()
    );
    let rounds = |h: &Hole| h.at.iter().any(|v| w.rounds(*v));
    if facts.pieces.iter().flat_map(|p| &p.holes).any(rounds) {
        out = format!("{out} · rounded to {}", w.step());
    }
    if facts
        .pieces
        .iter()
        .flat_map(|p| &p.holes)
        .any(|h| matches!(h.used, Used::Left | Used::Right))
    {
        out = format!("{out} · L, R: on that side only");
    }
    out
}

/// The table.
pub(super) fn table(facts: &Facts<'_>) -> Table {
    let mut columns = vec![
        Col::left(""),
        Col::left("bracket").share(1.0),
        Col::left("hole"),
        Col::right("ahead"),
        Col::right("out"),
        Col::right("up"),
    ];
    if let Some(reference) = facts.reference() {
        let way = match reference.along {
            build::Along::Station => "ahead of",
            build::Along::Offset => "out from",
            build::Along::Height => "up from",
        };
        // Three lines of head at most.
        let label = fit(&reference.label, Face::Regular, 9.5, 46.0);
        columns.push(Col::right(format!("{way} {label}")).fixed(25.0));
    }
    columns.extend([
        Col::right("drill"),
        Col::right("measured L").fixed(WRITE),
        Col::right("measured R").fixed(WRITE),
    ]);
    let mut t = Table::new(columns);
    for p in &facts.pieces {
        if p.holes.is_empty() {
            t.push(named(p, true, [Cell::new("none").dim()]).ruled());
        }
        for (k, h) in p.holes.iter().enumerate() {
            let mut row = named(p, k == 0, cells(facts, p, h));
            row.rule = k == 0;
            row.tint = h.used.anywhere();
            t.push(row);
        }
    }
    t
}

fn named(p: &Piece<'_>, first: bool, rest: impl IntoIterator<Item = Cell>) -> Row {
    let name = if first {
        [
            Cell::new(p.letter.clone()).bold().accent(),
            Cell::new(p.bracket.label.clone()),
        ]
    } else {
        [Cell::default(), Cell::default()]
    };
    Row::new(name.into_iter().chain(rest))
}

fn cells(facts: &Facts<'_>, p: &Piece<'_>, h: &Hole) -> Vec<Cell> {
    let w = &facts.words;
    let dress = |text: String| {
        let cell = Cell::new(text);
        if h.used.anywhere() { cell.bold() } else { cell }
    };
    let (mark, side) = match h.used {
        Used::No => (Mark::Open, ""),
        Used::Yes => (Mark::Filled, ""),
        Used::Left => (Mark::Filled, " L"),
        Used::Right => (Mark::Filled, " R"),
    };
    let out = if p.pair() {
        w.len(h.at[1])
    } else {
        w.out_with_side(h.at[1])
    };
    let mut cells = vec![
        dress(format!("{}{side}", h.n)).mark(mark),
        dress(w.len(h.at[0])),
        dress(out),
        dress(w.len(h.at[2])),
    ];
    if facts.reference().is_some() {
        let from = facts
            .off_reference(p, h)
            .map_or_else(String::new, |v| w.len(v));
        cells.push(Cell::new(from).dim());
    }
    cells.push(Cell::new(w.exact(p.bracket.drill.si())));
    let (left, right) = if p.pair() {
        (true, true)
    } else {
        (h.at[1] >= 0.0, h.at[1] < 0.0)
    };
    for here in [left, right] {
        cells.push(if here { Cell::blank() } else { Cell::default() });
    }
    cells
}
