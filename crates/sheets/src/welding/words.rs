//! Words and numbers of welding as the shop reads them.

use build::{Held, JointKind, Process, Stage};
use units::{Fraction, Kind, Shop, System, format_bare};

/// "inches" or "millimetres".
pub(crate) fn in_full(shop: &Shop) -> &'static str {
    match shop.system {
        System::InchPound => "inches",
        System::Si => "millimetres",
    }
}

/// A computed length, without its unit: to 0.001 in or 0.01 mm.
pub(crate) fn fine(metres: f64, shop: &Shop) -> String {
    let fine = Shop {
        fraction: Fraction::Decimal,
        ..*shop
    };
    format_bare(Kind::Length, metres, &fine)
}

/// Whether a number reads as nothing.
pub(crate) fn reads_zero(text: &str) -> bool {
    text.bytes().all(|b| b == b'0' || b == b'.')
}

/// A change with its sign: + longer, − shorter.
pub(crate) fn signed(metres: f64, shop: &Shop) -> String {
    let text = fine(metres.abs(), shop);
    if reads_zero(&text) || !metres.is_finite() {
        return text;
    }
    format!("{}{text}", if metres > 0.0 { "+" } else { "−" })
}

/// A distance from what is wanted in words: "0.031 long".
pub(crate) fn long(metres: f64, shop: &Shop) -> String {
    let text = fine(metres.abs(), shop);
    if reads_zero(&text) || !metres.is_finite() {
        return text;
    }
    format!("{text} {}", if metres > 0.0 { "long" } else { "short" })
}

/// A share in per cent, small ones to two digits.
pub(crate) fn share(v: f64) -> String {
    let p = 100.0 * v;
    if !p.is_finite() {
        return "—".into();
    }
    match p {
        _ if p <= 0.0 => "0 %".into(),
        _ if p < 0.01 => "under 0.01 %".into(),
        _ if p < 1.0 => format!("{p:.2} %"),
        _ if p < 10.0 => format!("{p:.1} %").replace(".0 %", " %"),
        _ if p > 100.0 => "over 100 %".into(),
        _ if p > 99.9 && p < 100.0 => "over 99.9 %".into(),
        _ => format!("{p:.0} %"),
    }
}

/// The process in shop words.
pub(crate) const fn process(p: Process) -> &'static str {
    match p {
        Process::SubmergedArc => "submerged arc",
        Process::Stick => "stick",
        Process::Mig => "MIG",
        Process::FluxCored => "flux core",
        Process::Tig => "TIG",
        Process::Plasma => "plasma",
    }
}

/// How it is held.
pub(crate) const fn held(h: Held) -> &'static str {
    match h {
        Held::Free => "free",
        Held::Tacked => "tacked",
        Held::Fixtured => "fixtured",
    }
}

/// What kind of joint it is.
pub(crate) const fn kind(k: JointKind) -> &'static str {
    match k {
        JointKind::Butt => "butt",
        JointKind::Tee { fillets: 0 | 1 } => "tee, one side",
        JointKind::Tee { .. } => "tee, both sides",
        JointKind::Lap => "lap",
        JointKind::Cope => "coped",
    }
}

/// When it was measured.
pub(crate) fn stage(s: &Stage) -> String {
    match s {
        Stage::Set => "set up".into(),
        Stage::Tacked => "tacked".into(),
        Stage::After(id) => format!("after {id}"),
        Stage::Welded => "welded, cold".into(),
        Stage::Corrected => "corrected".into(),
    }
}

/// How long or short to set it.
pub(crate) fn set_long(allowance: Option<f64>, shop: &Shop) -> String {
    match allowance {
        None => "—".into(),
        Some(0.0) => "none".into(),
        Some(a) if a > 0.0 => format!("set {} long", format_bare(Kind::Length, a, shop)),
        Some(a) => format!("set {} short", format_bare(Kind::Length, -a, shop)),
    }
}

/// What somebody wrote, cut where it would fill a page.
pub(crate) fn short(text: &str) -> String {
    const MOST: usize = 160;
    if text.chars().count() <= MOST {
        return text.to_owned();
    }
    let cut: String = text.chars().take(MOST).collect();
    format!("{}…", cut.trim_end())
}

/// With a capital at its beginning.
pub(crate) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(|c| c.to_uppercase().to_string());
    format!("{}{}", first.unwrap_or_default(), letters.as_str())
}

/// Who and when, in one.
pub(crate) fn by(who: &str, when: &str) -> String {
    let parts = [who.trim(), when.trim()];
    parts
        .into_iter()
        .filter(|s| !s.is_empty())
        .collect::<Vec<_>>()
        .join(" ")
}
