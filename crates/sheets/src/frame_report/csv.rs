//! The report's figures, SI and all digits, one a line.

use super::tables::id;
use crate::parts::words::digits;
use crate::table::{Cell, Col, Row, Table};
use crate::tubework::Facts;

pub(super) fn table(f: &Facts<'_>) -> Table {
    let mut t = Table::new(["what", "of", "value", "unit", "why not"].map(Col::left));
    let mut push = |what: &str, of: String, value: Result<f64, String>, unit: &str| {
        let (value, why) = match value {
            Ok(v) if v.is_finite() => (scientific(v), String::new()),
            Ok(_) => (String::new(), "no load".into()),
            Err(why) => (String::new(), why),
        };
        let row = [what.to_owned(), of, value, unit.to_owned(), why];
        t.push(Row::new(row.map(Cell::from)));
    };
    let frame = &f.study.frame;
    for r in f
        .study
        .readings
        .iter()
        .filter(|r| r.id().starts_with("frame."))
    {
        let value = r.value.as_ref().map(|v| *v).map_err(ToString::to_string);
        push(&r.id(), r.label().into_owned(), value, r.kind().si_unit());
    }
    if let Ok(twist) = &frame.twist {
        for p in &twist.curve {
            push("twist", p.label.clone(), Ok(p.phi), "rad");
            push("twist station", p.label.clone(), Ok(p.x), "m");
        }
    }
    for s in &frame.tubes {
        let name = id(f.build, s.tube);
        push("mass", name.clone(), Ok(s.mass), "kg");
        let none = || "not this section".to_owned();
        push(
            "gain per kg of wall",
            name.clone(),
            s.by_wall.ok_or_else(none),
            "N·m/rad/kg",
        );
        push(
            "gain per kg of diameter",
            name.clone(),
            s.by_diameter.ok_or_else(none),
            "N·m/rad/kg",
        );
        push("share of strain", name, Ok(s.energy), "");
    }
    if let Ok(l) = &frame.launch {
        for r in l.reserves.iter().flatten() {
            let name = id(f.build, r.tube);
            push("stress", name.clone(), Ok(r.von_mises), "Pa");
            push("reserve yield", name.clone(), Ok(r.yields), "");
            push("reserve column", name, Ok(r.column), "");
        }
    }
    t
}

/// Small ones keep their digits.
fn scientific(v: f64) -> String {
    if v != 0.0 && v.abs() < 1e-3 {
        format!("{v:e}")
    } else {
        digits(v)
    }
}
