//! Tests, tubes and braces as tables.

use build::{Build, TubeShare};
use units::{Kind, System};

use super::stiffness;
use crate::error::SheetError;
use crate::layout::Composer;
use crate::table::{Cell, Col, Row, Table};
use crate::tubework::Facts;
use crate::welding::words::{share, short};

/// Braces that are listed.
const BRACES: usize = 10;

/// The frame's readings, or why one has none.
pub(super) fn readings(f: &Facts<'_>) -> Table {
    let mut t = Table::new([Col::left("what").share(1.0), Col::left("value").share(1.0)]);
    let own = f
        .study
        .readings
        .iter()
        .filter(|r| r.id().starts_with("frame."));
    for r in own {
        let value = match &r.value {
            Ok(_) => Cell::new(r.display(&f.shop)).bold(),
            Err(why) => Cell::new(format!("— {}", short(&why.to_string()))),
        };
        t.push(Row::new([Cell::new(short(&r.label())), value]));
    }
    t
}

/// The record of twist tests.
pub(super) fn measured(f: &Facts<'_>) -> Table {
    let mut t = Table::new([
        Col::right("torque"),
        Col::right("twist"),
        Col::right("stiffness"),
        Col::right("over predicted"),
        Col::left("who, when").share(1.0),
        Col::left("note").share(1.0),
    ]);
    let dash = || "—".to_owned();
    for (r, m) in f
        .build
        .frame_test
        .measured
        .iter()
        .zip(&f.study.frame.measured)
    {
        t.push(Row::new([
            Cell::new(units::format(Kind::Torque, r.torque.si(), &f.shop)),
            Cell::new(
                m.twist
                    .map_or_else(dash, |v| format!("{:.3}°", v.to_degrees())),
            ),
            Cell::new(m.stiffness.map_or_else(dash, |v| stiffness(f, v))).bold(),
            Cell::new(m.factor.map_or_else(dash, |v| format!("{v:.2}"))),
            Cell::new(short(&crate::welding::words::by(&r.who, &r.when))),
            Cell::new(short(&r.note)),
        ]));
    }
    t
}

/// kg in the unit stiffness is gained per, and its name.
pub(super) const fn per(system: System) -> (f64, &'static str) {
    match system {
        System::InchPound => (0.453_592_37, "lb"),
        System::Si => (1.0, "kg"),
    }
}

/// A gain for a weight, in the words of a column whose head names the weight.
fn gain(f: &Facts<'_>, per_kg: Option<f64>) -> String {
    let (weight, _) = per(f.shop.system);
    per_kg.map_or_else(|| "—".into(), |g| stiffness(f, g * weight))
}

/// Weight to a tenth.
pub(super) fn weight(f: &Facts<'_>, kg: f64) -> String {
    build::show_to(Kind::Mass, kg, 4.5, &f.shop)
}

/// Every tube, the most gained for its weight first.
pub(super) fn ranked(sheet: &mut Composer, f: &Facts<'_>) -> Result<(), SheetError> {
    let all: &[TubeShare] = &f.study.frame.tubes;
    if all.is_empty() {
        return Ok(());
    }
    let (_, unit) = per(f.shop.system);
    let mut t = Table::new([
        Col::left("tube").share(1.0),
        Col::right("weight"),
        Col::right(format!("gain per {unit} of wall")),
        Col::right(format!("gain per {unit} of diameter")),
        Col::right("of the twist's strain"),
        Col::right("of the bending's"),
    ]);
    for s in all {
        t.push(Row::new([
            Cell::new(f.name(s.tube)),
            Cell::new(weight(f, s.mass)),
            Cell::new(gain(f, s.by_wall)).bold(),
            Cell::new(gain(f, s.by_diameter)).bold(),
            Cell::new(share(s.energy)),
            Cell::new(s.bending_energy.map_or_else(|| "—".into(), share)),
        ]));
    }
    sheet.section(
        "What each tube brings to the twist",
        "stiffness gained for a little weight added to it, the best first",
    );
    sheet.table(&t)
}

/// The best places for a brace.
pub(super) fn braces(sheet: &mut Composer, f: &Facts<'_>) -> Result<(), SheetError> {
    let list = match f.study.frame.braces() {
        Err(why) => {
            sheet.section("Places for a brace", "");
            return sheet.paragraph(&format!("None looked for: {}.", short(why)));
        }
        Ok(list) => list,
    };
    let (_, unit) = per(f.shop.system);
    let mut t = Table::new([
        Col::left("between").share(1.0),
        Col::right("bars"),
        Col::right("long"),
        Col::right("weight"),
        Col::right("gain"),
        Col::right(format!("gain per {unit}")),
    ]);
    for p in list.places.iter().take(BRACES) {
        let mut label = short(&p.label);
        if let Some(note) = &p.tried.note {
            label = format!("{label}. {}", short(&note.show(&f.shop)));
        }
        t.push(Row::new([
            Cell::new(label),
            Cell::new(p.bars.len().to_string()),
            Cell::new(f.tape(p.length)),
            Cell::new(weight(f, p.tried.mass)),
            Cell::new(stiffness(f, p.tried.gain)).bold(),
            Cell::new(gain(f, Some(p.tried.gain_per_kg))),
        ]));
    }
    let note = format!(
        "{} places looked at, tried as {}, {}, welded; not one of them is drawn",
        list.looked_at,
        f.section(&list.section),
        f.material(&list.material)
    );
    sheet.section("Best places for a brace", &note);
    if t.rows.is_empty() {
        sheet.paragraph("No place gains anything.")?;
    } else {
        sheet.table(&t)?;
    }
    if let Some(note) = &list.note {
        sheet.note(&short(&note.show(&f.shop)))?;
    }
    Ok(())
}

/// The tube's label as the build has it, for a spreadsheet.
pub(super) fn id(b: &Build, tube: usize) -> String {
    b.assembly
        .tubes
        .get(tube)
        .map_or_else(String::new, |t| t.id.clone())
}
