//! What the drawing says of dimensions and parts.

use build::{Build, ControlDimension, Place, Plate, Tool, Tube, TubeSection};
use eframe::egui::Color32;
use units::{Fraction, Kind, Shop, System};

use super::super::bench::Bench;
use super::scene::{length, sub};

/// At least to a sixty-fourth, or 0.1 mm: what a control dimension is read to.
fn fine(shop: &Shop) -> Shop {
    Shop {
        fraction: match shop.fraction {
            Fraction::Decimal => Fraction::Decimal,
            _ => Fraction::SixtyFourth,
        },
        ..*shop
    }
}

/// A measured length, to a sixty-fourth; inches without their mark.
pub fn measured(metres: f64, shop: &Shop) -> String {
    let shop = fine(shop);
    match shop.system {
        System::InchPound => units::format_bare(Kind::Length, metres, &shop),
        System::Si => units::format(Kind::Length, metres, &shop),
    }
}

/// A section: `1 5/8 × 0.134`, `4 × 2 × 0.12`.
pub fn section(s: &TubeSection, shop: &Shop) -> String {
    // 1 5/8 in is no whole number of hundredths of a millimetre: it is not to be read as 41.
    let shop = match shop.system {
        System::InchPound => *shop,
        System::Si => Shop {
            fraction: Fraction::Decimal,
            ..*shop
        },
    };
    let bare = |v: units::Length| units::format_bare_kept(Kind::Length, v.si(), &shop);
    match *s {
        TubeSection::Round { outside, wall } => format!("{} × {}", bare(outside), bare(wall)),
        TubeSection::Rectangular {
            height,
            width,
            wall,
            ..
        } => format!("{} × {} × {}", bare(height), bare(width), bare(wall)),
    }
}

/// How far off a dimension may be, m; none where the class has no value for it.
pub fn tolerance(bench: &Bench<'_>, d: &ControlDimension) -> Option<f64> {
    bench.study.weld.dimension(&d.id)?.tolerance
}

/// The last that was measured of a dimension, correction beads counted, m.
pub fn now(bench: &Bench<'_>, d: &ControlDimension) -> Option<f64> {
    let (value, _) = bench.study.weld.dimension(&d.id)?.now.as_ref()?;
    Some(*value)
}

/// Whether the last measurement is within the tolerance.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// Not measured, left out, or without a tolerance.
    Open,
    /// Within.
    In,
    /// Not.
    Out,
}

impl Verdict {
    /// Its colour.
    pub fn colour(self, bench: &Bench<'_>) -> Color32 {
        match self {
            Self::Open => bench.palette.dim,
            Self::In => bench.palette.good,
            Self::Out => bench.palette.bad,
        }
    }
}

/// Two lines of a dimension's label, and what is thought of the second.
pub fn dimension(bench: &Bench<'_>, d: &ControlDimension) -> (String, String, Verdict) {
    let (b, shop) = (bench.build, bench.shop());
    let may = tolerance(bench, d);
    let first = match may {
        Some(t) => format!(
            "{} {} ± {}",
            d.label,
            units::format_bare(Kind::Length, d.want.si(), &fine(shop)),
            measured(t, shop)
        ),
        None => format!("{} {}, no tolerance", d.label, measured(d.want.si(), shop)),
    };
    if d.void.is_some() {
        return (first, "left out".to_owned(), Verdict::Open);
    }
    let Some(value) = now(bench, d) else {
        return (first, "not measured yet".to_owned(), Verdict::Open);
    };
    let off = value - d.want.si();
    let word = match (is_across(b, d), off < 0.0) {
        (true, true) => "narrow",
        (true, false) => "wide",
        (false, true) => "short",
        (false, false) => "long",
    };
    let size = measured(off.abs(), shop);
    let nothing = size.starts_with("0") && !size.bytes().any(|c| (b'1'..=b'9').contains(&c));
    let by = if nothing {
        "spot on".to_owned()
    } else {
        format!("{size} {word}")
    };
    let verdict = match may {
        Some(t) if off.abs() <= t + 1e-9 => Verdict::In,
        Some(_) => Verdict::Out,
        None => Verdict::Open,
    };
    let tail = if verdict == Verdict::In && !nothing {
        ", in tolerance"
    } else {
        ""
    };
    (
        first,
        format!("now {} · {by}{tail}", measured(value, shop)),
        verdict,
    )
}

/// Does a dimension run across the car?
fn is_across(b: &Build, d: &ControlDimension) -> bool {
    let (Some(x), Some(y)) = (b.assembly.node(&d.from), b.assembly.node(&d.to)) else {
        return false;
    };
    let v = sub(y.at.si(), x.at.si());
    v[1].abs() > 0.95 * length(v)
}

/// A place in words: `6" behind · 10 1/2" left · 11" up`.
pub fn place(at: Place, shop: &Shop) -> String {
    let [x, y, z] = at.si();
    let len = |v: f64| units::format_kept(Kind::Length, v, shop);
    let side = if y < 0.0 { "right" } else { "left" };
    format!(
        "{} · {} {side} · {} up",
        super::super::bench::ahead(x, shop),
        len(y.abs()),
        len(z)
    )
}

/// What a tube is, in one line.
pub fn tube(b: &Build, t: &Tube, shop: &Shop) -> String {
    let a = &b.assembly;
    // From end to end is no length of a bent tube.
    let ends = (a.node(&t.from), a.node(&t.to));
    let long = match ends {
        _ if t.bends.len() == 1 => " · 1 bend".to_owned(),
        _ if !t.bends.is_empty() => format!(" · {} bends", t.bends.len()),
        (Some(x), Some(y)) => {
            let v = length(sub(y.at.si(), x.at.si()));
            format!(" · {} long", units::format(Kind::Length, v, shop))
        }
        _ => String::new(),
    };
    format!("{} · {}{long}", section(&t.section, shop), t.material)
}

/// What a plate is, in one line.
pub fn plate(p: &Plate, shop: &Shop) -> String {
    let thick = units::format_kept(Kind::Length, p.thickness.si(), shop);
    format!("{thick} {} · {} corners", p.material, p.outline.len())
}

/// What a tool is called.
pub fn tool(t: Tool) -> &'static str {
    match t {
        Tool::Tape => "tape",
        Tool::Trammel => "trammel",
        Tool::Error(_) => "other",
    }
}
