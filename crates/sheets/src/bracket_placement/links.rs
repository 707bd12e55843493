//! Link lengths, thread and angles; diagonals to measure across the car.

use build::{Link, LinkEnd, RodStudy, Side, Sides};

use crate::parts::facts::Facts;
use crate::table::{Cell, Col, Row, Table};

/// Line beside the title of the links.
pub(super) const NOTE: &str =
    "both sides equal before the axle is squared · angles: where the front end goes";
/// Line beside the title of the diagonals.
pub(super) const DIAGONALS_NOTE: &str = "measure both ways across the car, holes in use";

/// The table of links, one row a link; two where left and right differ.
pub(super) fn table(facts: &Facts<'_>) -> Table {
    let mut t = Table::new([
        Col::left("link").share(1.0),
        Col::left("front, rear"),
        Col::left("set by").share(1.0),
        Col::right("length"),
        Col::right("thread in, each end").fixed(21.0),
        Col::right("to spare"),
        Col::right("side view"),
        Col::right("plan"),
    ]);
    for (index, link) in facts.build.rear.links.iter().enumerate() {
        let rods: Vec<&RodStudy> = facts
            .study
            .rear
            .rods
            .iter()
            .filter(|r| r.link == index)
            .collect();
        match rods[..] {
            [] => t.push(
                Row::new([
                    Cell::new(link.label.clone()),
                    ends(facts, link, Side::Both).into(),
                    Cell::new("not on a hole").bold().accent(),
                ])
                .ruled(),
            ),
            [left, right] if alike(left, right) => {
                t.push(row(facts, link, left, "").ruled());
            }
            [one] if link.sides == Sides::Single => t.push(row(facts, link, one, "").ruled()),
            _ => {
                for (k, rod) in rods.iter().enumerate() {
                    let side = match rod.side {
                        Side::Left => ", left",
                        Side::Right => ", right",
                        Side::Both => "",
                    };
                    let mut r = row(facts, link, rod, side);
                    r.rule = k == 0;
                    t.push(r);
                }
            }
        }
    }
    t
}

fn alike(left: &RodStudy, right: &RodStudy) -> bool {
    let near = |a: f64, b: f64| (a - b).abs() < 1e-7;
    near(left.length, right.length)
        && near(left.drawn, right.drawn)
        && near(left.side_angle, right.side_angle)
        && near(left.plan_angle, -right.plan_angle)
}

/// "A2, C2": bracket and hole at the front, then at the rear.
fn ends(facts: &Facts<'_>, link: &Link, side: Side) -> String {
    let one = |e: &LinkEnd| {
        let hole = match side {
            Side::Right => e.right_hole.unwrap_or(e.hole),
            _ => e.hole,
        };
        format!("{}{hole}", facts.letter_of(&e.bracket).unwrap_or("?"))
    };
    format!("{}, {}", one(&link.at_frame), one(&link.at_axle))
}

fn row(facts: &Facts<'_>, link: &Link, rod: &RodStudy, side: &str) -> Row {
    let w = &facts.words;
    let set_by = match link.held {
        None => "the holes".to_owned(),
        Some(_) if (rod.length - rod.drawn).abs() < 1e-5 => "held".to_owned(),
        Some(_) => format!("held, holes {}", w.len(rod.drawn)),
    };
    let engaged = if rod.engaged > 0.0 {
        Cell::new(w.len(rod.engaged))
    } else {
        Cell::new("none").bold().accent()
    };
    let spare = if rod.reserve < 0.0 {
        Cell::new(format!("short {}", w.at_least_something(-rod.reserve)))
            .bold()
            .accent()
    } else {
        Cell::new(w.len(rod.reserve))
    };
    // A pair's links go out or in toward the front; a single bar goes left or right.
    let plan = match (rod.side, link.sides) {
        (Side::Right, _) => w.angle(-rod.plan_angle, "out", "in", "straight"),
        (_, Sides::Pair) => w.angle(rod.plan_angle, "out", "in", "straight"),
        (_, Sides::Single) => w.angle(rod.plan_angle, "left", "right", "straight"),
    };
    Row::new([
        Cell::new(format!("{}{side}", link.label)),
        ends(facts, link, rod.side).into(),
        Cell::new(set_by).dim(),
        Cell::new(w.len(rod.length)).bold(),
        engaged,
        spare,
        w.angle(rod.side_angle, "up", "down", "level").into(),
        plan.into(),
    ])
}

/// The two diagonals of every pair of links: one side's front hole to the other side's rear hole.
pub(super) fn diagonals(facts: &Facts<'_>) -> Table {
    let mut t = Table::new([
        Col::left("across").share(1.0),
        Col::right("left front to right rear"),
        Col::right("measured").fixed(24.0),
        Col::right("right front to left rear"),
        Col::right("measured").fixed(24.0),
    ]);
    for (index, link) in facts.build.rear.links.iter().enumerate() {
        let rod = |side| {
            facts
                .study
                .rear
                .rods
                .iter()
                .find(|r| r.link == index && r.side == side)
        };
        let (Some(left), Some(right)) = (rod(Side::Left), rod(Side::Right)) else {
            continue;
        };
        t.push(Row::new([
            Cell::new(link.label.clone()),
            Cell::new(facts.words.len(distance(left.frame, right.axle))).bold(),
            Cell::blank(),
            Cell::new(facts.words.len(distance(right.frame, left.axle))).bold(),
            Cell::blank(),
        ]));
    }
    t
}

fn distance(a: [f64; 3], b: [f64; 3]) -> f64 {
    (0..3).map(|k| (a[k] - b[k]).powi(2)).sum::<f64>().sqrt()
}
