//! What welding does to the assembly, for the command line: a report in shop words, or everything
//! as JSON.

mod json;
mod record_json;
mod record_text;
mod text;

use build::{Build, GapRule, Held, How, JointKind, Leg, Limit, Process, Study, Tool};
use units::{Kind, Shop, System};
use weld::consumables::{FillerSettings, WillDo};
use weld::section_pull::SeamMethod;
use weld::{Estimate, Verdict};

use super::Trouble;

pub(super) use json::json;

pub(super) fn text(b: &Build, study: &Study, shop: &Shop, estimates: bool) -> String {
    let mut out = text::report(b, study, shop, estimates);
    out.push_str(&record_text::report(b, study, shop));
    out
}

/// Confidence of the shop's factors.
const CONFIDENCE: f64 = 0.90;

fn fine(si: f64, shop: &Shop) -> String {
    units::format_fine(Kind::Length, si, shop)
}

fn kept(si: f64, shop: &Shop) -> String {
    units::format_kept(Kind::Length, si, shop)
}

/// A change of a dimension: "0.109\" shorter".
fn change(si: f64, shop: &Shop) -> String {
    worded(si, ["shorter", "longer"], shop)
}

/// How far off a dimension is: "0.156\" short".
fn off(si: f64, shop: &Shop) -> String {
    worded(si, ["short", "long"], shop)
}

fn worded(si: f64, [below, above]: [&str; 2], shop: &Shop) -> String {
    let size = fine(si.abs(), shop);
    if size == fine(0.0, shop) {
        return size;
    }
    format!("{size} {}", if si < 0.0 { below } else { above })
}

/// A range of changes, the end nearer nothing first where both go one way.
fn changes(low: f64, high: f64, shop: &Shop) -> String {
    if low < 0.0 && high < 0.0 {
        format!("{} to {}", fine(-high, shop), change(low, shop))
    } else if low >= 0.0 {
        format!("{} to {}", fine(low, shop), change(high, shop))
    } else {
        format!("{} to {}", change(low, shop), change(high, shop))
    }
}

/// A chance in per cent; the ends are not rounded to certainty.
fn chance(p: f64) -> String {
    match p {
        p if p <= 0.0 => "0 %".to_owned(),
        p if p < 0.001 => "under 0.1 %".to_owned(),
        p if p < 0.1 => format!("{:.1} %", 100.0 * p),
        p if p < 0.995 => format!("{:.0} %", 100.0 * p),
        p if p < 1.0 => "over 99 %".to_owned(),
        _ => "100 %".to_owned(),
    }
}

/// Weld metal, m³, as a weight: to two digits.
fn metal(volume: f64, shop: &Shop) -> String {
    weight(mass(volume), shop)
}

fn weight(kg: f64, shop: &Shop) -> String {
    build::show_to(Kind::Mass, kg, kg, shop)
}

/// Mass of weld metal, kg.
fn mass(volume: f64) -> f64 {
    volume * FillerSettings::default().density
}

/// A few cubic centimetres of metal, to two digits.
fn little(volume: f64, shop: &Shop) -> String {
    let (value, unit) = match shop.system {
        System::InchPound => (volume / 0.0254_f64.powi(3), "in³"),
        System::Si => (volume * 1e6, "cm³"),
    };
    build::show_to(Kind::Count, value, value, shop) + " " + unit
}

/// "1 joint", "2 joints".
fn count(n: usize, what: &str) -> String {
    format!("{n} {what}{}", if n == 1 { "" } else { "s" })
}

/// Hours as a clock shows them: 12 on top.
fn clock(hours: f64) -> f64 {
    if hours == 0.0 { 12.0 } else { hours }
}

/// Gas at one atmosphere as it is bought: by the cubic foot, or the litre.
fn gas(volume: f64, shop: &Shop) -> String {
    match shop.system {
        System::InchPound => format!("{:.1} ft³", volume / 0.3048_f64.powi(3)),
        System::Si => format!("{:.0} L", volume * 1000.0),
    }
}

fn minutes(seconds: f64) -> String {
    if seconds < 100.0 {
        format!("{seconds:.0} s")
    } else {
        format!("{:.1} min", seconds / 60.0)
    }
}

fn kind(kind: JointKind) -> &'static str {
    match kind {
        JointKind::Butt => "butt",
        JointKind::Tee { fillets: 0 | 1 } => "tee, one fillet",
        JointKind::Tee { .. } => "tee, two fillets",
        JointKind::Lap => "lap",
        JointKind::Cope => "coped tube",
    }
}

fn held(held: Held) -> &'static str {
    match held {
        Held::Free => "free",
        Held::Tacked => "tacked",
        Held::Fixtured => "in a fixture",
    }
}

fn process(process: Process) -> &'static str {
    match process {
        Process::SubmergedArc => "submerged arc",
        Process::Stick => "stick",
        Process::Mig => "MIG",
        Process::FluxCored => "flux core",
        Process::Tig => "TIG",
        Process::Plasma => "plasma",
    }
}

fn rule(rule: GapRule) -> &'static str {
    match rule {
        GapRule::AwsD11 => "AWS D1.1",
        GapRule::Iso5817B => "ISO 5817 B",
        GapRule::Iso5817C => "ISO 5817 C",
        GapRule::Iso5817D => "ISO 5817 D",
        GapRule::Shop { .. } => "the shop's own",
    }
}

fn tool(tool: &Tool) -> &'static str {
    match tool {
        Tool::Tape => "tape",
        Tool::Trammel => "trammel",
        Tool::Error(_) => "own error",
    }
}

fn limit(l: Limit) -> String {
    match l {
        Limit::Within(_) => "entered".to_owned(),
        Limit::Iso13920(class) => format!("ISO 13920 {class:?}"),
    }
}

/// A tolerance as it was typed; one from the metric table is not on a tape.
fn plus_minus(l: Limit, si: f64, shop: &Shop) -> String {
    match l {
        Limit::Within(_) => kept(si, shop),
        Limit::Iso13920(_) => fine(si, shop),
    }
}

fn how(how: How) -> &'static str {
    match how {
        How::PullsIn => "pulls in",
        How::Kinks => "kinks",
        How::Shortens => "shortens",
    }
}

/// Word of a verdict, for files and for people.
fn verdict(v: &Verdict) -> (&'static str, &'static str) {
    match v {
        Verdict::Good => ("good", "in limit"),
        Verdict::EnlargeLeg { .. } => ("enlarge_leg", "in limit with a larger leg"),
        Verdict::Reject => ("reject", "past the limit"),
        Verdict::NotLogged { .. } => ("not_logged", "no gap is logged"),
    }
}

fn will_do(w: WillDo) -> (&'static str, &'static str) {
    match w {
        WillDo::Yes => ("yes", "the cylinder will finish"),
        WillDo::Tight => ("tight", "the cylinder will just finish"),
        WillDo::No => ("no", "the cylinder will not finish"),
    }
}

fn seam_method(m: SeamMethod) -> &'static str {
    match m {
        SeamMethod::Force => "force",
        SeamMethod::Tendon => "tendon",
        SeamMethod::King => "king",
        SeamMethod::Allowance => "allowance",
    }
}

/// "groove high" of `groove_high`.
fn method(e: &Estimate) -> String {
    e.method.name().replace('_', " ")
}

/// The way of a dimension in a line: "tower_l, C1, crossmember, C2, tower_r".
fn way(b: &Build, legs: &[Leg]) -> Vec<String> {
    let one = |leg: &Leg| match leg {
        Leg::Along { part, .. } => Some(part.clone()),
        Leg::Across { joint, .. } => Some(b.fit_up.joints.get(*joint)?.id.clone()),
    };
    legs.iter().filter_map(one).collect()
}

/// A joint's name, by its place in the log.
fn joint_id(b: &Build, place: usize) -> &str {
    b.fit_up.joints.get(place).map_or("", |j| j.id.as_str())
}

pub(super) fn run(
    b: &Build,
    study: &Study,
    shop: &Shop,
    (as_json, estimates): (bool, bool),
) -> Result<String, Trouble> {
    if as_json {
        Ok(serde_json::to_string_pretty(&json(b, study, shop))? + "\n")
    } else {
        Ok(text(b, study, shop, estimates))
    }
}
