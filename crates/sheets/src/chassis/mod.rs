//! What the sheets of the rolling chassis share: their head, figures out of the readings, what is found,
//! lines to write measurements on.

use build::{Build, Finding, Part, Reading, Severity, Study};
use units::Shop;

use crate::error::SheetError;
use crate::head::SheetSetup;
use crate::layout::Composer;
use crate::page::Paper;
use crate::parts::words::digits;
use crate::parts::{knots, subtitle};
use crate::table::{Cell, Col, Row, Table};
use crate::welding::words::short;

/// Line at the foot of every page.
const FOOTER: &str = "Computed from the build file: a prediction, not a measurement. Measure before you cut or order.";
/// What every sheet of the rolling chassis defers to.
pub(crate) const DEFER: &str = "Licensed inspection, the local vehicle code and the current rule book decide, not this program.";

/// Begins a sheet that belongs to a phase.
pub(crate) fn open(
    title: &str,
    phase: &str,
    build: &Build,
    study: &Study,
    paper: Paper,
    date: &str,
) -> Composer {
    Composer::new(SheetSetup {
        paper,
        title: title.into(),
        subtitle: subtitle(build, date, ""),
        knots: knots(study, phase),
        footer: FOOTER.into(),
    })
}

/// Name, value and verdict of these readings, in this order; families give one line a part.
pub(crate) fn figures(study: &Study, shop: &Shop, ids: &[&str]) -> Table {
    let mut t = Table::new([
        Col::left("figure").share(1.0),
        Col::right("value"),
        Col::left("against its band"),
    ]);
    for id in ids {
        for r in study.readings.iter().filter(|r| r.definition.id == *id) {
            let out = r.status().is_out();
            let dress = |c: Cell| if out { c.bold() } else { c };
            t.push(Row::new([
                dress(Cell::new(short(&r.label()))),
                dress(Cell::new(r.display(shop)).bold()),
                dress(Cell::new(match &r.value {
                    Err(why) => short(&why.to_string()),
                    Ok(_) if r.band.is_none() => String::new(),
                    Ok(_) => r.verdict(shop),
                })),
            ]));
        }
    }
    t
}

/// Findings about parts whose path begins so, worst first.
pub(crate) fn found<'a>(study: &'a Study, of: &[&str]) -> Vec<&'a Finding> {
    study
        .findings
        .iter()
        .filter(|f| {
            let path = match &f.part {
                Part::Field(id) => (*id).to_owned(),
                Part::Reading(id) => id.clone(),
                other => other.to_string(),
            };
            of.iter().any(|x| path.starts_with(x))
        })
        .collect()
}

/// A section of what is found, or that nothing is.
pub(crate) fn remarks(
    sheet: &mut Composer,
    study: &Study,
    shop: &Shop,
    of: &[&str],
) -> Result<(), SheetError> {
    let list = found(study, of);
    sheet.section("Found", "worst first");
    if list.is_empty() {
        return sheet.note("Nothing is found wrong with it as drawn.");
    }
    let mut t = Table::new([
        Col::left("how bad"),
        Col::left("what, and what to do").share(1.0),
    ]);
    for f in list {
        let word = Cell::new(f.severity.word());
        let word = if f.severity == Severity::Error {
            word.bold()
        } else {
            word
        };
        t.push(Row::new([word, Cell::new(f.sentences(shop))]));
    }
    sheet.table(&t)
}

/// Things to measure, as drawn, with room for what the tape says on both sides.
pub(crate) fn to_measure(rows: &[(String, String)], columns: &[&str]) -> Table {
    let mut heads = vec![Col::left("measure").share(1.4), Col::right("as drawn")];
    heads.extend(columns.iter().map(|c| Col::left(*c).fixed(27.0)));
    let mut t = Table::new(heads);
    for (what, drawn) in rows {
        let mut cells = vec![Cell::new(what.clone()), Cell::new(drawn.clone()).bold()];
        cells.extend(columns.iter().map(|_| Cell::blank()));
        t.push(Row::new(cells));
    }
    t
}

/// Readings whose id begins so, all digits, one a line.
pub(crate) fn csv(study: &Study, shop: &Shop, of: &[&str]) -> Table {
    let mut t = Table::new(
        [
            "reading",
            "label",
            "value, SI",
            "unit",
            "shown",
            "status",
            "why not",
        ]
        .map(Col::left),
    );
    let mine = |r: &&Reading| of.iter().any(|x| r.definition.id.starts_with(x));
    for r in study.readings.iter().filter(mine) {
        let (value, why) = match &r.value {
            Ok(v) => (digits(*v), String::new()),
            Err(e) => (String::new(), e.to_string()),
        };
        t.push(Row::new(
            [
                r.id().into_owned(),
                r.label().into_owned(),
                value,
                r.kind().si_unit().to_owned(),
                r.display(shop),
                r.status().word().to_owned(),
                why,
            ]
            .map(Cell::from),
        ));
    }
    t
}
