//! What the page says of tubes: lengths, angles, ends and bends in a builder's words.

use build::{EndShape, EndStudy, TubePart};
use geometry::tube::section::Section;
use units::{Fraction, Kind, Shop, System};

use super::super::bench::Bench;

/// A length to a sixty-fourth, or 0.1 mm: what is marked on a tube.
pub(super) fn marked(bench: &Bench<'_>, metres: f64) -> String {
    let shop = bench.shop();
    let fine = Shop {
        fraction: match shop.fraction {
            Fraction::Decimal => Fraction::Decimal,
            Fraction::SixtyFourth => Fraction::SixtyFourth,
            _ => Fraction::ThirtySecond,
        },
        ..*shop
    };
    units::format(Kind::Length, metres, &fine)
}

/// An angle.
pub(super) fn angle(bench: &Bench<'_>, rad: f64) -> String {
    bench.show(Kind::Angle, rad)
}

/// A weight; a light one to a hundredth.
pub(super) fn mass(bench: &Bench<'_>, kg: f64) -> String {
    let shown = units::display_value(Kind::Mass, kg, bench.shop());
    if shown.abs() < 10.0 {
        let unit = units::unit_name(Kind::Mass, bench.shop());
        return format!("{shown:.2} {unit}");
    }
    bench.show(Kind::Mass, kg)
}

/// A wall, to a thousandth of an inch or a hundredth of a millimetre.
pub(super) fn wall(bench: &Bench<'_>, metres: f64) -> String {
    units::format_fine(Kind::Length, metres, bench.shop())
}

/// A stiffness gained per weight: "12.3 ft·lb/deg per lb".
pub(super) fn per_weight(bench: &Bench<'_>, per_kg: f64) -> String {
    let (si, unit) = match bench.shop().system {
        System::InchPound => (per_kg * 0.453_592_37, "lb"),
        System::Si => (per_kg, "kg"),
    };
    let value = units::display_value(Kind::RollStiffness, si, bench.shop());
    let places = if value.abs() < 100.0 { 1 } else { 0 };
    let name = units::unit_name(Kind::RollStiffness, bench.shop());
    format!("{value:.places$} {name} per {unit}")
}

/// A stiffness.
pub(super) fn stiffness(bench: &Bench<'_>, si: f64) -> String {
    bench.show(Kind::RollStiffness, si)
}

/// What the shop calls the tube at this place among the assembly's.
pub(super) fn name<'a>(bench: &'a Bench<'_>, tube: usize) -> &'a str {
    let tube = bench.build.assembly.tubes.get(tube);
    tube.map_or("a tube", |t| t.label.as_str())
}

/// How an end is cut, in few words.
pub(super) fn end_short(bench: &Bench<'_>, end: &EndStudy) -> String {
    match &end.shape {
        EndShape::Square => "square".to_owned(),
        EndShape::RunsOn(with) => format!("butted to {}", name(bench, *with)),
        EndShape::Mitre { with, .. } => format!("mitred with {}", name(bench, *with)),
        EndShape::Cope(cut) => {
            let all: Vec<&str> = cut.mains.iter().map(|i| name(bench, *i)).collect();
            format!("coped to {}", all.join(" and "))
        }
        EndShape::Failed(_) => "no cut".to_owned(),
    }
}

/// Both ends in few words.
pub(super) fn ends_short(bench: &Bench<'_>, part: &TubePart) -> String {
    let [a, b] = [0, 1].map(|k| end_short(bench, &part.ends[k]));
    format!("A {a}, B {b}")
}

/// Where the scribe line of an end runs.
pub(super) fn scribe(part: &TubePart) -> &'static str {
    match part.section {
        Section::Rectangular { .. } => "the middle of the up face",
        Section::Round { .. } if !part.bends.is_empty() => {
            "the inside of the bend nearest that end"
        }
        Section::Round { .. } => {
            let [d, ..] = part.line.directions() else {
                return "the top as it sits in the car";
            };
            // Within 10° of plumb a tube has no top.
            if d.z.abs() >= 10.0_f64.to_radians().cos() {
                "the front as it sits in the car"
            } else {
                "the top as it sits in the car"
            }
        }
    }
}

/// A clock position: "on the scribe line", "90° clockwise of the scribe line".
pub(super) fn clock(bench: &Bench<'_>, phi: f64) -> String {
    let whole = angle(bench, phi.abs());
    if phi.abs() < 1e-3 {
        "on the scribe line".to_owned()
    } else if (phi.abs() - std::f64::consts::PI).abs() < 1e-3 {
        "opposite the scribe line".to_owned()
    } else if phi > 0.0 {
        format!("{whole} clockwise of the scribe line")
    } else {
        format!("{whole} counter-clockwise of the scribe line")
    }
}

/// How the tube is turned before a bend.
pub(super) fn turn(bench: &Bench<'_>, rotation: f64) -> String {
    if rotation.abs() < 5e-4 {
        "no turn, same plane".to_owned()
    } else if (rotation.abs() - std::f64::consts::PI).abs() < 5e-4 {
        "turn it over: half a turn".to_owned()
    } else if rotation > 0.0 {
        format!("turn {} clockwise", angle(bench, rotation))
    } else {
        format!("turn {} counter-clockwise", angle(bench, -rotation))
    }
}
