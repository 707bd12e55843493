//! The cut list: which piece comes out of which bar, what to buy.

mod csv;
mod strips;

use build::{Build, Nest, Study, TUBE_CAUTION};
use geometry::tube::stock::Nested;
use units::{Kind, Shop, format_feet};

use crate::error::SheetError;
use crate::layout::Composer;
use crate::page::Paper;
use crate::sheet::Sheet;
use crate::table::{Cell, Col, Row, Table};
use crate::tubework::{Facts, setup};
use crate::welding::{nothing, words::short};

/// Title of the sheet.
pub(crate) const TITLE: &str = "Cut list";
/// Width of a place to write a measured value, mm.
const WRITE: f64 = 24.0;

/// Composes the sheet of a build and what was derived from it. `date` is printed as given.
///
/// For each section and material: the bars as strips, the pieces, what to buy and whether fewer would do.
///
/// # Errors
/// A head so long that no room is left under it.
pub fn cut_list(
    build: &Build,
    study: &Study,
    shop: &Shop,
    paper: Paper,
    date: &str,
) -> Result<Sheet, SheetError> {
    let f = Facts::new(build, study, *shop);
    let mut sheet = Composer::new(setup(TITLE, build, study, shop, paper, date));
    if f.tubes.nests.is_empty() {
        let why = if build.assembly.tubes.is_empty() {
            "No tube is drawn, so there is nothing to cut. Draw the assembly, then print this sheet again."
        } else {
            "No tube can be made as drawn; the cut and bend sheet says why of each."
        };
        nothing(&mut sheet, "Nothing to cut", why)?;
        sheet.caution(TUBE_CAUTION)?;
    } else {
        together(&mut sheet, &f)?;
        sheet.caution(TUBE_CAUTION)?;
        for n in &f.tubes.nests {
            section(&mut sheet, &f, n)?;
        }
        unmade(&mut sheet, &f)?;
        sheet.signs(&["bars on the rack", "all sawn", "checked by, date"])?;
    }
    Ok(Sheet {
        document: sheet.finish(),
        table: csv::table(&f),
    })
}

/// A length by the foot or the metre.
pub(crate) fn run(metres: f64, shop: &Shop) -> String {
    match shop.system {
        units::System::InchPound => format!("{:.1} ft", metres / 0.3048),
        units::System::Si => format!("{metres:.2} m"),
    }
}

/// Everything at a glance: a line a section.
fn together(sheet: &mut Composer, f: &Facts<'_>) -> Result<(), SheetError> {
    let mut t = Table::new([
        Col::left("section").share(1.0),
        Col::left("material").share(1.0),
        Col::right("pieces"),
        Col::right("to saw"),
        Col::right("weight"),
        Col::left("to buy").share(1.0),
        Col::left("fewest?").share(1.0),
    ]);
    for n in &f.tubes.nests {
        let (buy, proof) = match &n.nested {
            Ok(nested) => (to_buy(f, n, nested), proof(f, nested)),
            Err(_) => ("—".into(), "can not be laid out".into()),
        };
        t.push(Row::new([
            Cell::new(f.section(&n.section)).bold(),
            Cell::new(f.material(&n.material)),
            Cell::new(n.tubes.len().to_string()),
            Cell::new(run(n.length, &f.shop)),
            Cell::new(f.mass(n.mass)),
            Cell::new(buy),
            Cell::new(proof),
        ]));
    }
    t.push(
        Row::new([
            Cell::new("together").bold(),
            Cell::default(),
            Cell::new(
                f.tubes
                    .nests
                    .iter()
                    .map(|n| n.tubes.len())
                    .sum::<usize>()
                    .to_string(),
            ),
            Cell::new(run(f.tubes.length(), &f.shop)),
            Cell::new(f.mass(f.tubes.mass())),
        ])
        .ruled(),
    );
    let work = &f.build.tube_work;
    let note = format!(
        "saw cut {} · trimmed off each bar {}",
        f.size(work.kerf.si()),
        f.size(work.trim.si())
    );
    sheet.section("To buy and to saw", &note);
    sheet.table(&t)
}

/// "2 × 20 ft".
fn to_buy(f: &Facts<'_>, n: &Nest, nested: &Nested) -> String {
    let counts: Vec<String> = n
        .bars
        .iter()
        .enumerate()
        .filter_map(|(stock, (_, length))| {
            let count = nested.bars.iter().filter(|b| b.stock == stock).count();
            let rack = on_rack(f, n, stock);
            (count > 0 && !rack).then(|| format!("{count} × {}", bar(f, *length)))
        })
        .collect();
    if counts.is_empty() {
        "nothing".into()
    } else {
        counts.join(", ")
    }
}

/// Bars of this kind are on the rack: counted, not bought.
fn on_rack(f: &Facts<'_>, n: &Nest, stock: usize) -> bool {
    let id = n.bars.get(stock).and_then(|b| b.0.as_deref());
    let row = f
        .build
        .tube_work
        .stock
        .iter()
        .find(|s| Some(s.id.as_str()) == id);
    row.is_some_and(|s| s.count.is_some())
}

/// Length of a bar as it is sold.
fn bar(f: &Facts<'_>, metres: f64) -> String {
    match f.shop.system {
        units::System::InchPound => format_feet(metres, &f.shop),
        units::System::Si => units::format_kept(Kind::Length, metres, &f.shop),
    }
}

/// Whether fewer bars would do.
fn proof(f: &Facts<'_>, nested: &Nested) -> String {
    if nested.proven {
        return "proven: nothing less will do".into();
    }
    let gap = nested.bought_length - nested.least_length;
    let bound = nested.lower_bound.map_or_else(String::new, |n| {
        format!(" ({} bought, {n} is the bound)", nested.bought_bars)
    });
    format!(
        "not proven: at most {} too much{bound}",
        run(gap.max(0.0), &f.shop)
    )
}

/// One section: strips, then pieces.
fn section(sheet: &mut Composer, f: &Facts<'_>, n: &Nest) -> Result<(), SheetError> {
    let title = format!("{} · {}", f.section(&n.section), f.material(&n.material));
    let nested = match &n.nested {
        Err(why) => {
            sheet.section(&title, "");
            sheet.paragraph(&format!("Not laid out: {}.", short(&why.show(&f.shop))))?;
            return pieces(sheet, f, n, None);
        }
        Ok(nested) => nested,
    };
    let remnant = if nested.longest_remnant > 0.0 {
        format!(" · longest piece left {}", f.tape(nested.longest_remnant))
    } else {
        String::new()
    };
    let note = format!(
        "buy {}, {}{remnant}",
        to_buy(f, n, nested),
        proof(f, nested)
    );
    sheet.section(&title, &note);
    for (k, cut) in nested.bars.iter().enumerate() {
        sheet.draw(strips::HEIGHT, |c| strips::draw(c, f, n, k, cut))?;
    }
    pieces(sheet, f, n, Some(nested))
}

/// The pieces of a section, bar by bar.
fn pieces(
    sheet: &mut Composer,
    f: &Facts<'_>,
    n: &Nest,
    nested: Option<&Nested>,
) -> Result<(), SheetError> {
    let mut t = Table::new([
        Col::left("bar"),
        Col::left("tube").share(1.0),
        Col::right("from the bar's end"),
        Col::right("saw to"),
        Col::left("sawn").fixed(WRITE),
    ]);
    let row = |bar: String, piece: usize, start: Option<f64>| {
        let tube = n.tubes.get(piece).copied().unwrap_or(0);
        let length = n.lengths.get(piece).copied().unwrap_or(0.0);
        Row::new([
            Cell::new(bar),
            Cell::new(f.name(tube)),
            Cell::new(start.map_or_else(|| "—".into(), |s| f.tape(s))),
            Cell::new(f.both(length)).bold(),
            Cell::blank(),
        ])
    };
    match nested {
        None => {
            for piece in 0..n.tubes.len() {
                t.push(row(String::new(), piece, None));
            }
        }
        Some(nested) => {
            for (k, bar) in nested.bars.iter().enumerate() {
                for (i, p) in bar.pieces.iter().enumerate() {
                    let name = if i == 0 {
                        (k + 1).to_string()
                    } else {
                        String::new()
                    };
                    let mut r = row(name, p.piece, Some(p.start));
                    r.rule = i == 0;
                    t.push(r);
                }
            }
        }
    }
    sheet.table(&t)
}

/// Tubes that are in no list.
fn unmade(sheet: &mut Composer, f: &Facts<'_>) -> Result<(), SheetError> {
    let missing = f.unmade();
    if missing.is_empty() {
        return Ok(());
    }
    sheet.section("Not in this list", "they can not be made as drawn");
    for (tube, why) in &missing {
        sheet.paragraph(&format!("{}: {why}.", f.name(*tube)))?;
    }
    Ok(())
}
