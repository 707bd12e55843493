//! Every number of the sheet, one a line, for a spreadsheet.

use units::{display_value, unit_name};

use super::facts::{CASE_ROWS, Setting};
use super::value::Value;
use crate::parts::words::digits;
use crate::table::{Cell, Col, Row, Table};

pub(super) fn table(s: &Setting<'_>) -> Table {
    let mut out = Lines {
        s,
        table: Table::new([
            Col::left("section"),
            Col::left("part"),
            Col::left("side"),
            Col::left("what"),
            Col::right("value"),
            Col::left("unit"),
            Col::left("on the sheet"),
            Col::left("why there is none"),
            Col::left("as set or measured"),
        ]),
    };
    for r in &s.rods {
        let mut line = |what: &str, v: &Value| out.push("link", &r.label, r.side, what, v);
        line("eye to eye", &r.length);
        line("thread engaged, each end", &r.thread);
        for (what, hole) in [("hole at frame", &r.at_frame), ("hole at axle", &r.at_axle)] {
            out.words("link", &r.label, r.side, what, hole);
        }
    }
    for c in &s.coils {
        let mut line = |what: &str, v: &Value| out.push("coil-over", &c.label, c.side, what, v);
        line("rate", &c.rate);
        line("preload", &c.preload);
        line("seat to seat, shock pulled out", &c.seat);
        line("eye to eye at ride height", &c.length);
    }
    for (label, value) in &s.figures {
        out.push("predicted", "car", "", label, value);
    }
    for case in &s.cases {
        let head = case.head.replace('\n', ", ");
        for ((_, label), value) in CASE_ROWS.iter().zip(&case.values) {
            if let Some(value) = value {
                out.push("predicted", &head, "", label, value);
            }
        }
    }
    for l in &s.loads {
        out.push("link load", &l.label, l.side, "worst force", &l.force);
        out.push("link load", &l.label, l.side, "safety factor", &l.safety);
        for (what, words) in [
            ("case of the worst force", &l.case),
            ("gives way first", &l.governing),
        ] {
            if !words.is_empty() {
                out.words("link load", &l.label, l.side, what, words);
            }
        }
    }
    out.table
}

struct Lines<'a> {
    s: &'a Setting<'a>,
    table: Table,
}

impl Lines<'_> {
    fn push(&mut self, section: &str, part: &str, side: &str, what: &str, value: &Value) {
        let shop = &self.s.shop;
        let (number, unit) = match value.number {
            Some((kind, si)) => (digits(display_value(kind, si, shop)), unit_name(kind, shop)),
            None => (String::new(), ""),
        };
        self.row([
            section,
            part,
            side,
            what,
            &number,
            unit,
            &value.shown,
            value.why.as_deref().unwrap_or(""),
        ]);
    }

    fn words(&mut self, section: &str, part: &str, side: &str, what: &str, words: &str) {
        self.row([section, part, side, what, "", "", words, ""]);
    }

    fn row(&mut self, cells: [&str; 8]) {
        self.table.push(Row::new(cells.map(Cell::from)));
    }
}
