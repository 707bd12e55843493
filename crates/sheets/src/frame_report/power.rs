//! What the tubes bear under power.

use build::{LaunchFrame, TubeReserve};
use units::Kind;

use crate::error::SheetError;
use crate::layout::Composer;
use crate::table::{Cell, Col, Row, Table};
use crate::tubework::Facts;
use crate::welding::words::short;

/// Differences from the balance that are none, m/s² and rad/s².
const NONE: f64 = 0.05;

pub(super) fn section(sheet: &mut Composer, f: &Facts<'_>) -> Result<(), SheetError> {
    let l = match &f.study.frame.launch {
        Err(why) => {
            sheet.section("Under power", "");
            return sheet.paragraph(&format!("Not worked out: {}.", short(why)));
        }
        Ok(l) => l,
    };
    let at = units::format(Kind::Acceleration, l.acceleration, &f.shop);
    sheet.section(
        "Under power",
        &format!("at {at}; reserve: strength over load"),
    );
    sheet.paragraph(&weights(f, l))?;
    let mut all: Vec<&TubeReserve> = l.reserves.iter().flatten().collect();
    all.sort_by(|a, b| a.lowest().total_cmp(&b.lowest()));
    if all.is_empty() {
        sheet.paragraph("No tube has a material with a yield strength.")?;
    } else {
        sheet.table(&reserves(f, &all))?;
    }
    sheet.section(
        "Loads on the frame",
        "weight and inertia apart; x ahead, y left, z up",
    );
    sheet.table(&loads(f, l))
}

fn weights(f: &Facts<'_>, l: &LaunchFrame) -> String {
    let mut out = format!(
        "Weight entered with its place {}, tubes {}, the rest of the sprung weight {} spread over the frame.",
        f.mass(l.entered),
        f.mass(l.own),
        f.mass(l.rest)
    );
    let off = l
        .difference
        .iter()
        .chain(&l.angular)
        .any(|v| v.abs() > NONE);
    if off {
        out.push_str(
            " The loads and the weights do not quite belong together: see the findings before you believe these.",
        );
    }
    out
}

/// A reserve: "3.2", "over 100".
fn times(v: f64) -> String {
    if !v.is_finite() {
        "no load".into()
    } else if v > 100.0 {
        "over 100".into()
    } else {
        format!("{v:.1}")
    }
}

fn reserves(f: &Facts<'_>, all: &[&TubeReserve]) -> Table {
    let mut t = Table::new([
        Col::left("tube").share(1.0),
        Col::right("reserve, yield"),
        Col::right("reserve, column"),
        Col::right("stress"),
        Col::right("at, from A"),
        Col::right("pushed by"),
        Col::right("straight"),
    ]);
    for r in all {
        let low = r.lowest() < 1.0;
        let dress = |text: String| {
            let cell = Cell::new(text).bold();
            if low { cell.accent() } else { cell }
        };
        let pushed = r.compression > 0.0 && r.column.is_finite();
        let mut row = Row::new([
            Cell::new(f.name(r.tube)),
            dress(times(r.yields)),
            dress(times(r.column)),
            Cell::new(units::format(Kind::Pressure, r.von_mises, &f.shop)),
            Cell::new(f.tape(r.at)),
            Cell::new(if pushed {
                units::format(Kind::Force, r.compression, &f.shop)
            } else {
                "—".into()
            }),
            Cell::new(if pushed {
                f.tape(r.straight)
            } else {
                "—".into()
            }),
        ]);
        row.tint = low;
        t.push(row);
    }
    t
}

fn loads(f: &Facts<'_>, l: &LaunchFrame) -> Table {
    let mut t = Table::new([
        Col::left("load").share(1.0),
        Col::right("ahead"),
        Col::right("left"),
        Col::right("up"),
        Col::left("carried by").share(1.0),
    ]);
    let force = |v: f64| {
        let text = units::format(Kind::Force, v, &f.shop);
        text.replace('-', "−")
    };
    for x in &l.loads {
        t.push(Row::new([
            Cell::new(short(&x.label)),
            Cell::new(force(x.force[0])),
            Cell::new(force(x.force[1])),
            Cell::new(force(x.force[2])),
            Cell::new(
                x.tube
                    .map_or_else(|| "nodes that share it".into(), |i| f.name(i)),
            ),
        ]));
    }
    t
}
