//! The tables of the card.

use build::ArmRod;
use units::Kind;

use super::Card;
use crate::table::{Cell, Col, Row, Table};

/// Size of the type, points.
const SIZE: f64 = 8.5;
/// Every so many travels of the study has a row to measure.
const EVERY: usize = 5;
/// Longest name, characters.
const NAME: usize = 60;

fn sized(columns: impl IntoIterator<Item = Col>) -> Table {
    let mut t = Table::new(columns);
    t.size_pt = SIZE;
    t
}

/// A name as long as a table bears.
pub(super) fn short(text: &str) -> String {
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    if text.chars().count() <= NAME {
        return text;
    }
    let cut: String = text.chars().take(NAME).collect();
    format!("{}…", cut.trim_end())
}

/// What is set on the alignment rack: id of the reading, name.
pub(super) const ANGLES: [(&str, &str); 3] = [
    ("front.camber", "camber, top out +"),
    ("front.caster", "caster, top rearward +"),
    ("front.toe_in", "toe-in, one wheel"),
];

/// Camber, caster and toe as they should be, blanks for both sides.
pub(super) fn targets(c: &Card<'_>) -> Table {
    let mut t = sized([
        Col::left("").share(1.0),
        Col::right("to set"),
        Col::right("band"),
        Col::right("left found").fixed(23.0),
        Col::right("left set").fixed(23.0),
        Col::right("right found").fixed(23.0),
        Col::right("right set").fixed(23.0),
    ]);
    for (id, name) in ANGLES {
        let reading = c.study.reading(id);
        let value = reading.and_then(|r| r.value.as_ref().ok());
        let band = reading.and_then(|r| r.band);
        let show = |v| hundredths(v);
        t.push(Row::new([
            Cell::new(name),
            Cell::new(value.map_or_else(|| "—".into(), |v| show(*v))).bold(),
            Cell::new(band.map_or_else(
                || "—".into(),
                |b| format!("{} to {}", show(b.low), show(b.high)),
            )),
            Cell::blank(),
            Cell::blank(),
            Cell::blank(),
            Cell::blank(),
        ]));
    }
    t
}

/// What one turn does, and the turns to the bands.
pub(super) fn adjusters(c: &Card<'_>) -> Table {
    let mut t = sized([
        Col::left("adjuster").share(1.0),
        Col::left("one"),
        Col::right("camber"),
        Col::right("caster"),
        Col::right("toe-in"),
        Col::right("to the bands"),
        Col::right("turned").fixed(24.0),
    ]);
    let turns = c.motion.turns.as_ref().and_then(|t| t.as_ref().ok());
    for (i, (a, effect)) in c
        .front
        .adjusters
        .iter()
        .zip(&c.motion.adjusters)
        .enumerate()
    {
        let angle = |v| hundredths(v);
        let three = match effect {
            Ok((_, one)) => [one.camber, one.caster, one.toe_in].map(angle),
            Err(_) => ["—", "—", "—"].map(str::to_owned),
        };
        let turns = turns.and_then(|t| t.get(i));
        let mut row = vec![Cell::new(short(&a.label)), Cell::new(short(&a.unit))];
        row.extend(three.map(Cell::new));
        row.push(Cell::new(turns.map_or_else(|| "—".into(), |t| format!("{t:+.2}"))).bold());
        row.push(Cell::blank());
        t.push(Row::new(row));
    }
    t
}

/// Bump steer in a line.
pub(super) fn bump_note(c: &Card<'_>) -> String {
    let slope = c.motion.bump.slope * 0.0254;
    format!(
        "{} in the first inch (25.4 mm) of bump, one wheel; spring out, rack held",
        hundredths(slope)
    )
}

/// Travel and toe change of one wheel from ride height, m and rad: the rows to measure.
pub(super) fn curve(c: &Card<'_>) -> Vec<[f64; 2]> {
    let ride = c.motion.ride.toe_in;
    let states = c.motion.over_travel().step_by(EVERY);
    states.map(|s| [s.travel, s.toe_in - ride]).collect()
}

/// Toe change over travel, with blanks.
pub(super) fn bump(c: &Card<'_>) -> Table {
    let mut t = sized([
        Col::left("wheel").share(1.0),
        Col::right("toe-in changes"),
        Col::right("over the tyre"),
        Col::right("left measured").fixed(34.0),
        Col::right("right measured").fixed(34.0),
    ]);
    let across = c.build.car.front.tyre_diameter.si();
    for [travel, toe] in curve(c) {
        let at = match travel {
            z if z.abs() < 1e-6 => "ride height".to_owned(),
            z if z < 0.0 => format!("{} droop", c.length(-z)),
            z => format!("{} bump", c.length(z)),
        };
        t.push(Row::new([
            Cell::new(at),
            Cell::new(hundredths(toe)).bold(),
            Cell::new(thin(c, toe.sin() * across)),
            Cell::blank(),
            Cell::blank(),
        ]));
    }
    t
}

/// A small length as a dial gauge reads it.
fn thin(c: &Card<'_>, metres: f64) -> String {
    match c.shop.system {
        units::System::InchPound => format!("{:+.3} in", metres / 0.0254),
        units::System::Si => format!("{:+.2} mm", metres * 1e3),
    }
}

/// Name, value and unit kind of everything that is cut or placed.
pub(super) fn dimensions(c: &Card<'_>) -> Vec<(&'static str, Kind, f64)> {
    let f = c.front;
    let length = |rod| {
        let (a, b) = f.rod(rod);
        let (a, b) = (a.si(), b.si());
        let d: f64 = (0..3).map(|k| (a[k] - b[k]).powi(2)).sum();
        d.sqrt()
    };
    let inner = f.tie_rod.inner.si();
    let l = Kind::Length;
    let mut out = vec![
        ("lower arm, front leg", l, length(ArmRod::LowerFront)),
        ("lower arm, rear leg", l, length(ArmRod::LowerRear)),
        ("upper arm, front leg", l, length(ArmRod::UpperFront)),
        ("upper arm, rear leg", l, length(ArmRod::UpperRear)),
        ("tie rod", l, length(ArmRod::TieRod)),
        ("rack, inner end ahead of the rear axle", l, inner[0]),
        ("rack, inner end to inner end", l, 2.0 * inner[1]),
        ("rack, inner end above the floor", l, inner[2]),
    ];
    if let (Some(coil), Some(Ok(s))) = (&f.coil_over, &c.motion.coil) {
        out.push(("coil-over at ride height", l, s.ride.state.length));
        out.push(("coil-over, spring free at", l, s.free));
        out.push(("coil-over, spring rate", Kind::SpringRate, coil.rate.si()));
    }
    if let Some(bar) = &f.bar {
        out.push(("anti-roll bar, outside", l, bar.outside.si()));
        out.push(("anti-roll bar, arm to arm", l, bar.length.si()));
    }
    out
}

/// Everything that is cut or placed, with blanks.
pub(super) fn lengths(c: &Card<'_>) -> Table {
    let mut t = sized([
        Col::left("").share(1.0),
        Col::right("drawn"),
        Col::right("left").fixed(30.0),
        Col::right("right").fixed(30.0),
    ]);
    for (name, kind, si) in dimensions(c) {
        let value = match kind {
            Kind::Length => c.kept(si),
            _ => c.show(kind, si),
        };
        t.push(Row::new([
            Cell::new(name),
            Cell::new(value).bold(),
            Cell::blank(),
            Cell::blank(),
        ]));
    }
    t
}

/// An alignment angle to a hundredth of a degree, without a minus before a zero.
fn hundredths(rad: f64) -> String {
    let v = (rad.to_degrees() * 100.0).round() / 100.0;
    format!("{:.2}°", if v == 0.0 { 0.0 } else { v })
}
