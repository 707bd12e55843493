//! What is wanted, drawn and predicted of each dimension, and the shop's factors behind it.

use std::collections::BTreeSet;

use build::Tool;
use weld::control::Factor;

use crate::error::SheetError;
use crate::layout::Composer;
use crate::table::{Cell, Col, Row, Table};
use crate::welding::facts::Facts;
use crate::welding::words::{set_long, share, short, signed};

/// Chance below which a dimension is pointed out.
const LEAST_CHANCE: f64 = 0.9;

fn tool(f: &Facts<'_>, t: &Tool) -> String {
    match t {
        Tool::Tape => "tape".into(),
        Tool::Trammel => "trammel".into(),
        Tool::Error(e) => format!("to {}", f.fine(e.si())),
    }
}

pub(super) fn wanted(sheet: &mut Composer, f: &Facts<'_>) -> Result<(), SheetError> {
    let mut t = Table::new([
        Col::left("").fixed(8.0),
        Col::left("dimension, from node to node, tool").share(1.0),
        Col::right("wanted").fixed(25.0),
        Col::right("as drawn").fixed(17.0),
        Col::right("welding will do").fixed(29.0),
        Col::right("before welding").fixed(23.0),
        Col::right("chance within").fixed(16.0),
        Col::right("stands at").fixed(20.0),
    ]);
    t.size_pt = 8.5;
    for (k, (d, s)) in f
        .build
        .weld_out
        .dimensions
        .iter()
        .zip(&f.weld.dimensions)
        .enumerate()
    {
        let mut name = format!(
            "{}\n{} to {}, {}",
            short(&d.label),
            short(&d.from),
            short(&d.to),
            tool(f, &d.tool)
        );
        if let Err(why) = &s.way {
            name = format!("{name}\n{}", short(&why.show(&f.shop)));
        }
        let change = s.whole.as_ref().map_or_else(
            || "—".to_owned(),
            |p| {
                format!(
                    "{}\n{} to {}",
                    signed(p.change, &f.shop),
                    signed(p.low, &f.shop),
                    signed(p.high, &f.shop)
                )
            },
        );
        let chance = s.chance.map_or_else(
            || Cell::new("—"),
            |p| {
                let cell = Cell::new(share(p));
                if p < LEAST_CHANCE { cell.bold() } else { cell }
            },
        );
        let now = match (&s.now, s.off(d)) {
            (Some((v, _)), Some(off)) => {
                let verdict = f.verdict(k, off).unwrap_or_default();
                let cell = Cell::new(format!("{}\n{verdict}", f.kept(*v)));
                if verdict == "within" {
                    cell
                } else {
                    cell.bold()
                }
            }
            _ => Cell::new("not measured"),
        };
        let wanted = f
            .wanted(k)
            .replacen(" ±", "\n±", 1)
            .replacen(" no ", "\nno ", 1);
        t.push(
            Row::new([
                Cell::new(f.letter(k)).bold().accent(),
                Cell::new(name),
                Cell::new(wanted).bold(),
                Cell::new(s.drawn.map_or_else(|| "—".into(), |v| f.kept(v))),
                Cell::new(change),
                Cell::new(set_long(f.set_long(k), &f.shop)).bold(),
                chance,
                now,
            ])
            .ruled(),
        );
    }
    sheet.section(
        "Dimensions",
        "+ longer, − shorter · range: nine in ten come out in it",
    );
    sheet.table(&t)
}

/// The shop's factors of the kinds of weld that these dimensions have.
pub(super) fn factors(sheet: &mut Composer, f: &Facts<'_>) -> Result<(), SheetError> {
    let kinds: BTreeSet<usize> = f
        .weld
        .dimensions
        .iter()
        .flat_map(|d| d.pulls.iter().map(|p| p.contribution.factor.index()))
        .collect();
    if kinds.is_empty() {
        return Ok(());
    }
    let record = match &f.weld.record {
        Ok(record) => record,
        Err(why) => {
            return sheet.paragraph(&format!(
                "The shop's record can not be read: {}.",
                short(&why.show(&f.shop))
            ));
        }
    };
    let said: Vec<String> = kinds
        .iter()
        .filter_map(|k| {
            let factor = Factor::ALL.get(*k)?;
            let (value, low, high) = f.weld.factor(*factor)?;
            let own = if record.tried.get(*k).copied().unwrap_or(false) {
                ""
            } else {
                ", none measured yet"
            };
            Some(format!(
                "{} × {value:.2} ({low:.2} to {high:.2}{own})",
                factor.label()
            ))
        })
        .collect();
    let count = match record.count() {
        0 => "nothing measured by this shop yet".to_owned(),
        1 => "from 1 reading of this shop".to_owned(),
        n => format!("from {n} readings of this shop"),
    };
    sheet.keep(|c| {
        c.heading("The shop's factors", &count);
        c.paragraph(&format!("{}.", said.join("; ")));
        c.note("What this shop's welds pull against the published formulas; × 1 is as published.");
        Ok(())
    })
}
