//! Heat, filler and gas for the joints still to be welded.

use build::{SupplyRow, definition};
use units::{Kind, System, format};
use weld::consumables::WillDo;

use crate::error::SheetError;
use crate::layout::Composer;
use crate::table::{Cell, Col, Row, Table};
use crate::welding::facts::Facts;
use crate::welding::words::{capital, process, short};

/// Wire by the foot or by the metre.
fn run(metres: f64, system: System) -> String {
    match system {
        System::InchPound => format!("{:.0} ft", metres / 0.3048),
        System::Si => format!("{metres:.1} m"),
    }
}

fn time(seconds: f64) -> String {
    if seconds < 90.0 {
        format!("{seconds:.0} s")
    } else {
        format!("{:.0} min", seconds / 60.0)
    }
}

/// Dressed as the reading with this id.
fn like(id: &str, si: f64, f: &Facts<'_>) -> String {
    definition(id).map_or_else(|| "—".into(), |d| d.display(si, &f.shop))
}

pub(super) fn supply(sheet: &mut Composer, f: &Facts<'_>) -> Result<(), SheetError> {
    let s = &f.weld.supply;
    if f.build.fit_up.joints.is_empty() {
        return Ok(());
    }
    if s.rows.is_empty() {
        sheet.keep(|c| {
            c.heading("Heat, filler and gas", "");
            c.paragraph("Nothing with a known seam is left to weld.");
            Ok(())
        })?;
    } else {
        let mut t = Table::new([
            Col::left("process").share(1.0),
            Col::left("set to"),
            Col::right("joints left"),
            Col::right("net heat"),
            Col::right("weld metal"),
            Col::right("filler"),
            Col::right("wire or rods"),
            Col::right("arc time"),
            Col::right("starts"),
        ]);
        t.size_pt = 8.5;
        for r in &s.rows {
            t.push(row(f, r));
        }
        sheet.section("Heat, filler and gas", "for the joints left, gaps included");
        sheet.table(&t)?;
        for r in &s.rows {
            if let Some(why) = &r.missing {
                sheet.note(&format!("{}: {}", process(r.process), why.show(&f.shop)))?;
            }
        }
    }
    sheet.paragraph(&gas(f))?;
    if !s.unknown.is_empty() {
        let names: Vec<&str> = s
            .unknown
            .iter()
            .filter_map(|p| Some(f.joint(*p)?.0.id.as_str()))
            .collect();
        sheet.note(&format!(
            "Not counted, their seam is not known: {}.",
            names.join(", ")
        ))?;
    }
    sheet.gap(2.0);
    Ok(())
}

fn row(f: &Facts<'_>, r: &SupplyRow) -> Row {
    let or_dash = |v: Option<String>| Cell::new(v.unwrap_or_else(|| "—".into()));
    let arc = f.build.weld_out.arc(r.process);
    let set = arc.map(|a| {
        format!(
            "{}, {}, {}",
            format(Kind::Voltage, a.voltage.si(), &f.shop),
            format(Kind::Current, a.current.si(), &f.shop),
            format(Kind::FeedSpeed, a.travel.si(), &f.shop)
        )
    });
    let metal = |kg: f64| like("weld.metal_left", kg, f);
    let wire = match (r.rods, r.wire) {
        (Some(n), _) => Some(format!("{n:.0} rods")),
        (None, w) => w.map(|w| run(w, f.shop.system)),
    };
    Row::new([
        Cell::new(process(r.process)).bold(),
        or_dash(set),
        Cell::new(r.joints.to_string()),
        or_dash(r.net_heat.map(|q| format(Kind::HeatInput, q, &f.shop))),
        or_dash(r.filler.as_ref().map(|x| metal(x.metal))),
        or_dash(r.filler.as_ref().map(|x| metal(x.consumed))),
        or_dash(wire),
        or_dash(r.arc_time.map(time)),
        Cell::new(format!("{:.0}", r.starts)),
    ])
}

/// The cylinder against what is to be welded, in one line.
pub(super) fn gas(f: &Facts<'_>) -> String {
    match &f.weld.supply.gas {
        Err(why) => format!("Gas: {}.", short(&why.show(&f.shop))),
        Ok(s) => {
            let verdict = match s.will_do {
                WillDo::Yes => "will do",
                WillDo::Tight => "will just do: have another one chained up",
                WillDo::No => "WILL NOT DO: have another one chained up",
            };
            let lasts = s.endurance.arc_time.map_or_else(String::new, |t| {
                format!(" It lasts {}.", like("weld.gas_left", t, f))
            });
            format!(
                "Gas: the joints left need {}, the cylinder holds {} of use: {verdict}.{lasts} {}",
                like("weld.gas_need", s.need, f),
                like("weld.gas_need", s.usable, f),
                caution(f)
            )
        }
    }
}

fn caution(f: &Facts<'_>) -> String {
    format!("{}.", capital(f.build.weld_out.gas.fill.caution()))
}
