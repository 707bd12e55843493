//! The wraps as points, for a plotter or a check, in millimetres.

use super::template::Template;
use crate::parts::words::digits;
use crate::table::{Cell, Col, Row, Table};
use crate::tubework::ends;

/// Every so many points of a curve are written: 5°.
const EVERY: usize = 10;

pub(super) fn table(templates: &[Template]) -> Table {
    let mut t = Table::new([
        Col::left("tube"),
        Col::left("end"),
        Col::right("once round (mm)"),
        Col::right("x from the scribe line (mm)"),
        Col::right("y from the straight edge (mm)"),
    ]);
    for one in templates {
        let last = one.cut.len().saturating_sub(1);
        let every = one.cut.iter().enumerate();
        for (_, p) in every.filter(|(k, _)| k % EVERY == 0 || *k == last) {
            t.push(Row::new([
                Cell::new(one.tube.clone()),
                Cell::new(ends::letter(one.end)),
                Cell::new(digits(1000.0 * one.girth)),
                Cell::new(digits(1000.0 * p[1])),
                Cell::new(digits(1000.0 * p[2])),
            ]));
        }
    }
    t
}
