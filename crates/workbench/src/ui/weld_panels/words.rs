//! What the panels say: lengths, ranges, chances and stages in a builder's words.

use build::{
    Bead, ControlDimension, Coupon, CouponTest, DimensionStudy, Lie, Process, Stage, Tool,
};
use units::{Fraction, Kind, Shop, System};

use super::super::assembly_view::words as drawing;
use super::super::bench::Bench;

/// A length as a tape shows it, in the shop's fraction or a finer one; to a thousandth where none
/// comes near.
pub(super) fn size(bench: &Bench<'_>, metres: f64) -> String {
    use Fraction::{Decimal, Sixteenth, SixtyFourth, ThirtySecond};
    let shop = bench.shop();
    let all = [Sixteenth, ThirtySecond, SixtyFourth, Decimal];
    let from = all.iter().position(|f| *f == shop.fraction).unwrap_or(0);
    // A tape is read to half a tenth of a millimetre at best.
    let slack = if shop.system == System::Si {
        5.1e-5
    } else {
        2e-5
    };
    let near = |fraction: &Fraction| {
        let shop = Shop {
            fraction: *fraction,
            ..*shop
        };
        let text = units::format(Kind::Length, metres, &shop);
        let back = units::parse_typed(Kind::Length, &text, &shop);
        back.is_ok_and(|v| (v - metres).abs() <= slack)
            .then_some(text)
    };
    all[from..]
        .iter()
        .find_map(near)
        .unwrap_or_else(|| fine(bench, metres))
}

/// The last that was measured of a dimension, correction beads counted, m.
pub(super) fn now(bench: &Bench<'_>, d: &ControlDimension) -> Option<f64> {
    drawing::now(bench, d)
}

/// When that was: "tacked", "after 2 beads".
pub(super) fn now_when(bench: &Bench<'_>, d: &ControlDimension) -> String {
    let last = d.readings.last();
    let beads = bench
        .build
        .weld_out
        .corrections
        .iter()
        .filter(|c| c.dimension == d.id && !c.laid.is_empty())
        .max_by_key(|c| c.laid.last().map(|x| x.when.clone()));
    match (last, beads) {
        (Some(r), Some(c)) if c.laid.last().is_some_and(|x| x.when < r.when) => {
            stage(bench, &r.stage)
        }
        (_, Some(c)) => {
            let n = c.laid.iter().fold(0_u32, |n, x| n.saturating_add(x.beads));
            format!("after {}", some(n, "correction bead"))
        }
        (Some(r), None) => stage(bench, &r.stage),
        (None, None) => "not measured".to_owned(),
    }
}

/// To a thousandth of an inch or a hundredth of a millimetre.
pub(super) fn fine(bench: &Bench<'_>, metres: f64) -> String {
    units::format_fine(Kind::Length, metres, bench.shop())
}

/// To a hundredth of an inch or a tenth of a millimetre, without the unit.
fn coarse(bench: &Bench<'_>, metres: f64) -> String {
    let shop = bench.shop();
    let value = units::display_value(Kind::Length, metres, shop);
    let places = if shop.system == System::Si { 1 } else { 2 };
    let text = format!("{value:.places$}");
    match text.strip_prefix('-') {
        Some(rest) if rest.bytes().all(|b| b == b'0' || b == b'.') => rest.to_owned(),
        Some(rest) => format!("−{rest}"),
        None => text,
    }
}

/// A range in figures: "0.09–0.17 in", "± 0.01 in", "−0.01 to 0.21 in".
pub(super) fn range(bench: &Bench<'_>, low: f64, high: f64) -> String {
    let unit = units::unit_name(Kind::Length, bench.shop());
    let (a, b) = (coarse(bench, low), coarse(bench, high));
    if low >= 0.0 && a == b {
        format!("{a} {unit}")
    } else if low < 0.0 && a.strip_prefix('−') == Some(&b) {
        format!("± {b} {unit}")
    } else if low >= 0.0 {
        format!("{a}–{b} {unit}")
    } else {
        format!("{a} to {b} {unit}")
    }
}

/// Which way a length runs, for the words its changes are said in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Runs {
    /// Across the car: wide and narrow.
    Across,
    /// Any other way: long and short.
    Along,
    /// The end of an arm: toward the bead and away from it.
    Bead,
}

/// Whether a dimension runs across the car, as the drawing says it.
pub(super) fn runs(s: &DimensionStudy) -> Runs {
    let across = s.ends.is_some_and(|[p, q]| {
        let d = [0, 1, 2].map(|i: usize| (q[i] - p[i]).abs());
        d[1] > 0.95 * d[0].hypot(d[1]).hypot(d[2])
    });
    if across { Runs::Across } else { Runs::Along }
}

/// What a coupon's change is.
pub(super) const fn runs_of(c: &Coupon) -> Runs {
    match c.test {
        CouponTest::Joint(_) => Runs::Along,
        CouponTest::Bead { .. } => Runs::Bead,
    }
}

/// The word for longer and for shorter.
const fn ways(runs: Runs) -> (&'static str, &'static str) {
    match runs {
        Runs::Across => ("wide", "narrow"),
        Runs::Along | Runs::Bead => ("long", "short"),
    }
}

/// What to set it by before welding: "set wide 1/8", "set short 3 mm", "none".
pub(super) fn set_by(bench: &Bench<'_>, s: &DimensionStudy) -> Option<String> {
    let shop = bench.shop();
    let by = s.set_long(units::step(Kind::Length, shop))?;
    if by == 0.0 {
        return Some("none".to_owned());
    }
    let (long, short) = ways(runs(s));
    let word = if by > 0.0 { long } else { short };
    let by = by.abs();
    let bare = shop.system == System::InchPound && shop.fraction != Fraction::Decimal;
    let size = if bare {
        units::format_bare(Kind::Length, by, shop)
    } else {
        units::format(Kind::Length, by, shop)
    };
    Some(format!("set {word} {size}"))
}

/// How far off: "5/64\" narrow", "on its mark".
pub(super) fn off(bench: &Bench<'_>, off: f64, runs: Runs) -> String {
    let (long, short) = ways(runs);
    if off.abs() < 5e-6 {
        return "on its mark".to_owned();
    }
    let word = if off > 0.0 { long } else { short };
    format!("{} {word}", size(bench, off.abs()))
}

/// A change in words: "0.109\" shorter".
pub(super) fn change(bench: &Bench<'_>, by: f64, runs: Runs) -> String {
    let word = match (by >= 0.0, runs) {
        (true, Runs::Across) => "wider",
        (true, Runs::Along) => "longer",
        (false, Runs::Across) => "narrower",
        (false, Runs::Along) => "shorter",
        (true, Runs::Bead) => "toward the bead",
        (false, Runs::Bead) => "away from the bead",
    };
    let text = fine(bench, by.abs());
    if text == fine(bench, 0.0) {
        return "nothing to speak of".to_owned();
    }
    format!("{text} {word}")
}

/// A chance: "under 1 %", "71 %", "over 99 %".
pub(super) fn chance(p: f64) -> String {
    if !p.is_finite() {
        return "not known".to_owned();
    }
    if p < 0.01 {
        "under 1 %".to_owned()
    } else if p > 0.99 {
        "over 99 %".to_owned()
    } else {
        format!("{:.0} %", 100.0 * p)
    }
}

/// A factor with its ends: "0.91 (0.53 to 1.28)".
pub(super) fn factor((value, low, high): (f64, f64, f64)) -> String {
    format!("{value:.2} ({low:.2} to {high:.2})")
}

/// When in the welding.
pub(super) fn stage(bench: &Bench<'_>, s: &Stage) -> String {
    match s {
        Stage::After(id) => format!("after {}", joint_label(bench, id)),
        s => s.word(),
    }
}

/// What the shop calls a joint.
pub(super) fn joint_label<'a>(bench: &Bench<'a>, id: &'a str) -> &'a str {
    let found = bench.build.fit_up.joints.iter().find(|j| j.id == id);
    found.map_or(id, |j| j.label.as_str())
}

/// Its tolerance: "27 9/16\" to 27 11/16\"", none where there is none.
pub(super) fn limits(
    bench: &Bench<'_>,
    d: &ControlDimension,
    s: &DimensionStudy,
) -> Option<String> {
    let t = s.tolerance?;
    let want = d.want.si();
    Some(format!(
        "{} to {}",
        size(bench, want - t),
        size(bench, want + t)
    ))
}

/// How a joint pulls.
pub(super) const fn how(how: build::How) -> &'static str {
    match how {
        build::How::PullsIn => "pulls in",
        build::How::Kinks => "kinks what it stands on",
        build::How::Shortens => "shortens what it stands on",
    }
}

/// What a length is measured with.
pub(super) fn tool(bench: &Bench<'_>, t: &Tool) -> String {
    match t {
        Tool::Tape => "tape".to_owned(),
        Tool::Trammel => "trammel".to_owned(),
        Tool::Error(e) => format!("good to {}", fine(bench, e.si())),
    }
}

/// A bead in words: "across, 1/8\" leg, 1 1/4\" long".
pub(super) fn bead(bench: &Bench<'_>, b: &Bead) -> String {
    format!(
        "{}, {} leg, {} long",
        lie(b.lie),
        size(bench, b.leg.si()),
        size(bench, b.length.si())
    )
}

/// How a bead lies.
pub(super) const fn lie(lie: Lie) -> &'static str {
    match lie {
        Lie::Across => "across the tube",
        Lie::Along => "along the tube",
    }
}

/// What a process is called.
pub(super) const fn process(p: Process) -> &'static str {
    match p {
        Process::SubmergedArc => "Submerged arc",
        Process::Stick => "Stick",
        Process::Mig => "MIG",
        Process::FluxCored => "Flux-cored wire",
        Process::Tig => "TIG",
        Process::Plasma => "Plasma",
    }
}

/// Who and when, behind a dot; nothing where neither is known.
pub(super) fn signed(who: &str, when: &str) -> String {
    [who.trim(), when.trim()]
        .into_iter()
        .filter(|s| !s.is_empty())
        .collect::<Vec<_>>()
        .join(" ")
}

/// One or several: "1 bead", "3 beads".
pub(super) fn some(n: impl Into<u64>, one: &str) -> String {
    match n.into() {
        1 => format!("1 {one}"),
        n => format!("{n} {one}s"),
    }
}

/// A time of arc: "45 s", "2.4 min".
pub(super) fn minutes(seconds: f64) -> String {
    if seconds < 90.0 {
        format!("{seconds:.0} s")
    } else if seconds < 600.0 {
        format!("{:.1} min", seconds / 60.0)
    } else {
        format!("{:.0} min", seconds / 60.0)
    }
}

/// Gas at one atmosphere, as it is sold.
pub(super) fn gas(cubic_metres: f64, shop: &Shop) -> String {
    match shop.system {
        System::InchPound => format!("{:.1} ft³", cubic_metres / 0.3048_f64.powi(3)),
        System::Si => format!("{:.0} L", cubic_metres * 1000.0),
    }
}

/// A small mass: a pound of wire is a lot of weld.
pub(super) fn mass(kg: f64, shop: &Shop) -> String {
    match shop.system {
        System::InchPound => format!("{:.2} lb", kg / 0.453_592_37),
        System::Si => format!("{:.0} g", kg * 1000.0),
    }
}

/// A length of seam or wire.
pub(super) fn run(metres: f64, shop: &Shop) -> String {
    match shop.system {
        System::InchPound => format!("{:.1} ft", metres / 0.3048),
        System::Si => format!("{metres:.2} m"),
    }
}
