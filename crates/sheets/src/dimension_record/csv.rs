//! Every dimension with every reading, one a line, for a spreadsheet.

use build::Limit;
use units::{Kind, display_value, unit_name};

use super::readings::lines;
use crate::parts::words::digits;
use crate::table::{Cell, Col, Row, Table};
use crate::welding::facts::Facts;

pub(super) fn table(f: &Facts<'_>) -> Table {
    let mut t = Table::new(
        [
            "letter",
            "dimension",
            "from",
            "to",
            "unit",
            "wanted",
            "tolerance",
            "class",
            "as drawn",
            "predicted change",
            "low",
            "high",
            "set long",
            "chance within",
            "measured when",
            "expected then",
            "measured",
            "off",
            "verdict",
            "who",
            "when",
            "note",
        ]
        .map(Col::left),
    );
    let length = |m: Option<f64>| {
        let v = m.map(|m| display_value(Kind::Length, m, &f.shop));
        v.filter(|v| v.is_finite()).map_or_else(String::new, digits)
    };
    let unit = unit_name(Kind::Length, &f.shop);
    for (k, (d, s)) in f
        .build
        .weld_out
        .dimensions
        .iter()
        .zip(&f.weld.dimensions)
        .enumerate()
    {
        let class = match d.tolerance {
            Limit::Within(_) => String::new(),
            Limit::Iso13920(c) => format!("ISO 13920 {c:?}"),
        };
        let whole = s.whole.as_ref();
        for line in lines(f, k, d) {
            let want = d.want.si();
            let read = line.read.as_ref();
            let verdict = line.verdict(f, k, want).map(|(text, _)| text);
            let words = |pick: fn(&super::readings::Read) -> &String| {
                read.map_or_else(String::new, |r| pick(r).clone())
            };
            let row = [
                f.letter(k),
                d.label.clone(),
                d.from.clone(),
                d.to.clone(),
                unit.to_owned(),
                length(Some(want)),
                length(s.tolerance),
                class.clone(),
                length(s.drawn),
                length(whole.map(|p| p.change)),
                length(whole.map(|p| p.low)),
                length(whole.map(|p| p.high)),
                length(f.set_long(k)),
                s.chance.map_or_else(String::new, digits),
                line.when.clone(),
                length(line.expect.map(|(v, _)| v)),
                length(read.map(|r| r.value)),
                length(read.map(|r| r.value - want)),
                verdict.unwrap_or_default(),
                words(|r| &r.who),
                words(|r| &r.at),
                words(|r| &r.note),
            ];
            t.push(Row::new(row.into_iter().map(Cell::from)));
        }
    }
    t
}
