//! The tables of a tube: what it is made to, and its bends.

use build::{BendStudy, TubePart};

use crate::table::{Cell, Col, Row, Table};
use crate::tubework::{Facts, degrees};

/// Width of a place to write a measured value, mm.
const WRITE: f64 = 16.0;

/// Length, weight and room for what was made.
pub(super) fn head(f: &Facts<'_>, part: &TubePart) -> Table {
    let mut t = Table::new([
        Col::left("saw to").share(1.0),
        Col::left("surface to surface").share(1.0),
        Col::left("weight"),
        Col::left("ends clocked apart"),
        Col::left("made").fixed(26.0),
        Col::left("checked by").fixed(30.0),
    ]);
    let or_dash = |v: Option<String>| Cell::new(v.unwrap_or_else(|| "—".into()));
    t.push(Row::new([
        Cell::new(f.both(part.cut)).bold(),
        or_dash(part.centre.map(|c| f.fine(c))),
        Cell::new(f.mass(part.mass)),
        or_dash(part.relative_clock.map(degrees)),
        Cell::blank(),
        Cell::blank(),
    ]));
    t
}

/// Turn before a bend: "90.0° clockwise".
pub(super) fn turn(bend: &BendStudy) -> String {
    match bend.bend.rotation {
        None => "—".into(),
        Some(r) if degrees(r.abs()) == "0.0°" => "none".into(),
        Some(r) if r > 0.0 => format!("{} clockwise", degrees(r)),
        Some(r) => format!("{} anticlockwise", degrees(-r)),
    }
}

/// The bends in order.
pub(super) fn bends(f: &Facts<'_>, part: &TubePart) -> Table {
    let mut t = Table::new([
        Col::left("bend"),
        Col::left("at").fixed(20.0),
        Col::right("straight before"),
        Col::right("mark from A"),
        Col::right("mark from B"),
        Col::right("angle"),
        Col::right("set to"),
        Col::left("turn first").fixed(22.5),
        Col::right("radius"),
        Col::right("wall left"),
        Col::left("angle made").fixed(WRITE),
        Col::left("ovality").fixed(WRITE),
    ]);
    t.size_pt = 8.5;
    for (k, b) in part.bends.iter().enumerate() {
        let set = match b.set {
            Ok(rad) => Cell::new(degrees(rad)).bold(),
            Err(_) => Cell::new("—"),
        };
        let wall = b.wall.map_or_else(
            || "—".into(),
            |w| match w.by_allowance {
                Some(a) => format!(
                    "{} to {}",
                    f.fine(a.min(w.estimate)),
                    f.fine(a.max(w.estimate))
                ),
                None => f.fine(w.estimate),
            },
        );
        t.push(Row::new([
            Cell::new((k + 1).to_string()).bold(),
            Cell::new(crate::welding::words::short(&b.node)),
            Cell::new(f.fine(b.straight)),
            Cell::new(f.both(b.from_a)).bold(),
            Cell::new(f.both(b.from_b)),
            Cell::new(degrees(b.bend.angle)),
            set,
            Cell::new(turn(b)),
            Cell::new(f.size(b.bend.radius)),
            Cell::new(wall),
            Cell::blank(),
            Cell::blank(),
        ]));
    }
    t
}

/// Why bends have no angle to set; `None` where all have one.
pub(super) fn not_set(part: &TubePart) -> Option<String> {
    let mut why: Vec<&str> = part.bends.iter().filter_map(|b| b.set.err()).collect();
    why.sort_unstable();
    why.dedup();
    (!why.is_empty()).then(|| {
        format!(
            "No angle to set: {}. Bend a scrap, measure it, and enter it with the die.",
            why.join("; ")
        )
    })
}
