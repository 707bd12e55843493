//! Tables of the brakes.

use build::{BalanceStudy, BrakeAxle, BrakeStudy, ParkingRow, ResidualFinding, Study, TravelStudy};
use units::{Kind, Shop, display_value, format, format_fine, unit_name};

use crate::parts::words::digits;
use crate::table::{Cell, Col, Row, Table};

const G: f64 = 9.806_65;

/// A pressure of a few psi.
fn small(pa: f64, shop: &Shop) -> String {
    if pa == 0.0 {
        "none".into()
    } else {
        build::show_to(Kind::Pressure, pa, pa, shop)
    }
}

pub(super) fn valves(s: &BrakeStudy, shop: &Shop) -> Table {
    let mut t = Table::new([
        Col::left("line"),
        Col::right("needs"),
        Col::right("fitted"),
        Col::right("holds"),
        Col::right("at the wheel"),
        Col::left("verdict").share(1.0),
        Col::left("counted on the car").fixed(32.0),
    ]);
    for ((name, _), line) in s.circuit.lines().iter().zip(&s.lines) {
        match &line.verdict {
            Ok(v) => {
                let said: Vec<&str> = v.findings.iter().map(words).collect();
                let said = if said.is_empty() {
                    "right".to_owned()
                } else {
                    said.join(", ")
                };
                t.push(Row::new([
                    Cell::new(*name).bold(),
                    Cell::new(small(v.needed, shop)),
                    Cell::new(v.count.to_string()),
                    Cell::new(small(v.held, shop)),
                    Cell::new(small(v.pressure_at_wheel, shop)),
                    Cell::new(said),
                    Cell::blank(),
                ]));
            }
            Err(why) => t.push(Row::new([
                Cell::new(*name).bold(),
                Cell::default(),
                Cell::default(),
                Cell::default(),
                Cell::default(),
                Cell::new(why.show(shop)),
                Cell::blank(),
            ])),
        }
    }
    t
}

fn words(f: &ResidualFinding) -> &'static str {
    match f {
        ResidualFinding::Missing => "missing",
        ResidualFinding::NotNeeded => "not needed",
        ResidualFinding::MoreThanOne => "more than one: leave one",
        ResidualFinding::WrongRating => "wrong rating",
        ResidualFinding::DoesNotHold => "does not hold the column",
    }
}

fn axle(a: Option<BrakeAxle>) -> &'static str {
    match a {
        Some(BrakeAxle::Front) => "front",
        Some(BrakeAxle::Rear) => "REAR: spins",
        None => "both",
    }
}

pub(super) fn first_lock(x: &BalanceStudy, shop: &Shop) -> Table {
    let mut t = Table::new([
        Col::left("tyre friction").share(1.0),
        Col::left("locks first").share(1.0),
        Col::right("foot force"),
        Col::right("braking"),
        Col::right("grip used"),
        Col::right("the other at"),
    ]);
    for (mu, lock) in &x.surfaces {
        let name = Cell::new(format!("{mu:.2}")).bold();
        let Some(l) = lock else {
            let most = format(Kind::Force, x.greatest, shop);
            t.push(Row::new([name, Cell::new(format!("none up to {most}"))]));
            continue;
        };
        t.push(Row::new([
            name,
            Cell::new(axle(l.first)),
            Cell::new(format(Kind::Force, l.pedal_force, shop)),
            Cell::new(format(Kind::Acceleration, l.z * G, shop)),
            Cell::new(format(Kind::Ratio, l.efficiency, shop)),
            Cell::new(
                l.second_pedal_force
                    .map_or_else(|| "—".into(), |f| format(Kind::Force, f, shop)),
            ),
        ]));
    }
    t
}

pub(super) fn travel(t: &TravelStudy, shop: &Shop) -> Table {
    let mut out = Table::new([
        Col::left("goes into").share(1.0),
        Col::right("at the pad"),
        Col::right("of the travel"),
    ]);
    let whole = t.used.pedal_travel / t.used.share;
    let p = &t.used.parts;
    let mut row = |name: &str, metres: f64, last: bool| {
        let row = Row::new([
            Cell::new(name),
            Cell::new(format_fine(Kind::Length, metres, shop)),
            Cell::new(format(Kind::Ratio, metres / whole, shop)),
        ]);
        out.push(if last { row.ruled() } else { row });
    };
    row("closing the ports", t.used.dead_travel, false);
    row("clearance of pads or shoes", p.clearance, false);
    row("calipers, pads and drums giving", p.flex, false);
    row("hoses growing", p.hose, false);
    row("fluid pressed together", p.fluid, false);
    row("together", t.used.pedal_travel, true);
    if let Some(lost) = &t.lost {
        row("with the front circuit lost", lost[0].pedal_travel, false);
        row("with the rear circuit lost", lost[1].pedal_travel, false);
    }
    out
}

pub(super) fn parking(p: &ParkingRow, shop: &Shop) -> Table {
    let mut t = Table::new([
        Col::left("car stands").share(1.0),
        Col::left("on the grade").share(1.0),
        Col::right("holds up to"),
        Col::right("lever force needed"),
    ]);
    for (name, h) in [("nose up", &p.nose_up), ("nose down", &p.nose_down)] {
        t.push(Row::new([
            Cell::new(name).bold(),
            Cell::new(if h.holds { "holds" } else { "ROLLS: chock it" }),
            Cell::new(
                h.max_grade
                    .map_or_else(|| "any".into(), |g| format(Kind::Slope, g, shop)),
            ),
            Cell::new(format(Kind::Force, h.hand_force_needed, shop)),
        ]));
    }
    t
}

/// Readings with their values, or why there are none.
pub(crate) fn readings(study: &Study, shop: &Shop, ids: &[&str]) -> Table {
    let mut t = Table::new([
        Col::left("").share(1.0),
        Col::left("").share(1.0),
        Col::left("measured").fixed(32.0),
    ]);
    for r in ids.iter().filter_map(|id| study.reading(id)) {
        let value = match &r.value {
            Ok(_) => r.display(shop),
            Err(why) => why.to_string(),
        };
        t.push(Row::new([
            Cell::new(r.label()),
            Cell::new(value).bold(),
            Cell::blank(),
        ]));
    }
    t
}

/// Every reading with these ids' beginning, all digits.
pub(crate) fn all(study: &Study, shop: &Shop, of: &str) -> Table {
    let heads = ["id", "label", "value", "unit", "in band", "why not"];
    let mut t = Table::new(heads.map(Col::left));
    for r in study
        .readings
        .iter()
        .filter(|r| r.definition.id.starts_with(of))
    {
        let (value, why) = match &r.value {
            Ok(v) => (digits(display_value(r.kind(), *v, shop)), String::new()),
            Err(why) => (String::new(), why.to_string()),
        };
        // Some readings have a form of their own: their unit stands in it.
        let (value, unit) = match (r.definition.shown, &r.value) {
            (Some(shown), Ok(v)) => (shown(*v, shop), String::new()),
            _ => (value, unit_name(r.kind(), shop).to_owned()),
        };
        t.push(Row::new([
            Cell::new(r.id()),
            Cell::new(r.label()),
            Cell::new(value),
            Cell::new(unit),
            Cell::new(r.status().word()),
            Cell::new(why),
        ]));
    }
    t
}

pub(super) fn csv(study: &Study, shop: &Shop) -> Table {
    let mut t = all(study, shop, "brakes.");
    if let Some(s) = &study.brakes {
        for (line, parts) in s.circuit.lines() {
            for (i, p) in parts.iter().enumerate() {
                t.push(Row::new([
                    Cell::new(format!("circuit.{line}.{}", i + 1)),
                    Cell::new(p.label.clone()),
                    Cell::new(p.size.show(shop)),
                ]));
            }
        }
    }
    t
}
