//! Every hole with all its digits, for a spreadsheet.

use build::Carrier;

use crate::page::MM_PER_IN;
use crate::parts::facts::{Facts, Hole, Piece, Used};
use crate::parts::words::digits;
use crate::table::{Cell, Col, Row, Table};

pub(super) fn table(facts: &Facts<'_>) -> Table {
    let mut columns = vec![
        Col::left("bracket"),
        Col::left("label"),
        Col::left("on"),
        Col::left("sides"),
        Col::right("hole"),
        Col::left("in use, left"),
        Col::left("in use, right"),
    ];
    for unit in ["mm", "in"] {
        for what in ["station, ahead +", "offset, left +", "height"] {
            columns.push(Col::right(format!("{what} ({unit})")));
        }
        columns.push(Col::right(format!("drill ({unit})")));
        if let Some(r) = facts.reference() {
            columns.push(Col::right(format!("from {} ({unit})", r.label)));
        }
    }
    let mut t = Table::new(columns);
    for p in &facts.pieces {
        for h in &p.holes {
            t.push(row(facts, p, h));
        }
    }
    t
}

fn row(facts: &Facts<'_>, p: &Piece<'_>, h: &Hole) -> Row {
    let yes = |b: bool| if b { "yes" } else { "no" };
    let right_side = !p.pair() && h.at[1] < 0.0;
    let (left, right) = match h.used {
        Used::No => (false, false),
        Used::Yes if p.pair() => (true, true),
        Used::Yes => (!right_side, right_side),
        Used::Left => (true, false),
        Used::Right => (false, true),
    };
    let mut cells: Vec<Cell> = vec![
        p.letter.clone().into(),
        p.bracket.label.clone().into(),
        match p.bracket.on {
            Carrier::Frame => "frame",
            Carrier::Axle => "axle",
        }
        .into(),
        if p.pair() {
            "left, and its mirror on the right"
        } else {
            "one"
        }
        .into(),
        h.n.to_string().into(),
        yes(left).into(),
        yes(right).into(),
    ];
    for per_metre in [1000.0, 1000.0 / MM_PER_IN] {
        let values =
            h.at.into_iter()
                .chain([p.bracket.drill.si()])
                .chain(facts.off_reference(p, h));
        cells.extend(values.map(|v| Cell::new(digits(v * per_metre))));
    }
    Row::new(cells)
}
