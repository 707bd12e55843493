//! The pieces with all their digits.

use units::{Kind, display_value, unit_name};

use super::on_rack;
use crate::parts::words::digits;
use crate::table::{Cell, Col, Row, Table};
use crate::tubework::Facts;

pub(super) fn table(f: &Facts<'_>) -> Table {
    let len = unit_name(Kind::Length, &f.shop);
    let columns = [
        "section".to_owned(),
        "material".into(),
        "bar".into(),
        format!("bar length {len}"),
        "bought".into(),
        "tube".into(),
        "id".into(),
        "label".into(),
        format!("from the bar's end {len}"),
        format!("saw to {len}"),
        format!("left of the bar {len}"),
        "why not".into(),
    ];
    let mut t = Table::new(columns.into_iter().map(Col::left));
    let length = |m: f64| {
        let v = display_value(Kind::Length, m, &f.shop);
        if v.is_finite() {
            digits(v)
        } else {
            String::new()
        }
    };
    for n in &f.tubes.nests {
        let named = |piece: usize| {
            let tube = n.tubes.get(piece).copied().unwrap_or(0);
            let found = f.build.assembly.tubes.get(tube);
            let text = |get: fn(&build::Tube) -> &String| {
                found.map_or_else(String::new, |t| get(t).clone())
            };
            [f.number(tube), text(|t| &t.id), text(|t| &t.label)]
        };
        let begin = [f.section(&n.section), n.material.clone()];
        let mut push = |middle: [String; 3], piece: usize, rest: [String; 2]| {
            let saw = length(n.lengths.get(piece).copied().unwrap_or(0.0));
            let why = match &n.nested {
                Ok(_) => String::new(),
                Err(why) => why.show(&f.shop),
            };
            let [start, left] = rest;
            let row = begin
                .iter()
                .cloned()
                .chain(middle)
                .chain(named(piece))
                .chain([start, saw, left, why]);
            t.push(Row::new(row.map(Cell::from)));
        };
        match &n.nested {
            Err(_) => {
                for piece in 0..n.tubes.len() {
                    push(Default::default(), piece, Default::default());
                }
            }
            Ok(nested) => {
                for (k, bar) in nested.bars.iter().enumerate() {
                    let stock = n.bars.get(bar.stock).map_or(0.0, |b| b.1);
                    let bought = if on_rack(f, n, bar.stock) {
                        "no"
                    } else {
                        "yes"
                    };
                    for p in &bar.pieces {
                        let middle = [(k + 1).to_string(), length(stock), bought.to_owned()];
                        push(middle, p.piece, [length(p.start), length(bar.remnant)]);
                    }
                }
            }
        }
    }
    t
}
