//! Writing quantities: exactly for files, rounded for people.

use crate::fraction::{count, mixed};
use crate::number::{Number, Rational};
use crate::table::{Scale, Unit, accepted, si_unit};
use crate::{Fraction, Kind, Shop, System, parse};

/// What stands where there is no number.
const NOTHING: &str = "—";
/// Longest number a person would write; longer ones are computed values.
const WRITTEN_DIGITS: usize = 9;

/// The file form of a value: [`parse`] of it gives the same `f64`, bit for bit.
///
/// A tape fraction or a short decimal in a customary unit where such a one means
/// exactly this value, else all digits needed in whichever unit takes the fewest.
/// 0.320675 m is `12 5/8 in`, 0.32 m is `320 mm`. A value that is not finite is
/// written as such (`NaN m`) and is not read back.
#[must_use]
pub fn exact(kind: Kind, si: f64) -> String {
    if kind == Kind::Length
        && let Some(text) = exact_inches(si)
    {
        return text;
    }
    let mut best: Option<(usize, String)> = None;
    if si.is_finite() {
        for name in customary(kind) {
            if let Some(unit) = accepted(kind).iter().find(|unit| unit.name == *name)
                && let Some((digits, text)) = short_decimal(kind, si, unit)
                && best.as_ref().is_none_or(|(least, _)| digits < *least)
            {
                best = Some((digits, text));
            }
        }
    }
    let number = full(si);
    if let Some((digits, text)) = best
        && (digits <= WRITTEN_DIGITS || digits < number.trim_start_matches('-').len())
    {
        return text;
    }
    with_unit(&number, si_unit(kind).name)
}

/// The customary units tried by [`exact`], preferred first.
fn customary(kind: Kind) -> &'static [&'static str] {
    match kind {
        Kind::Length => &["in", "mm"],
        Kind::Angle => &["deg"],
        Kind::Mass => &["kg", "lb"],
        Kind::Force => &["lbf", "N"],
        Kind::Torque => &["ft·lb", "N·m"],
        Kind::Pressure => &["psi", "kPa", "MPa"],
        Kind::SpringRate => &["lb/in", "N/mm"],
        Kind::Speed => &["mph", "km/h", "m/s"],
        Kind::Acceleration => &["g", "m/s²"],
        Kind::Time => &["s"],
        Kind::Ratio | Kind::AngleRatio | Kind::Slope => &["%"],
        Kind::Power => &["hp", "kW"],
        Kind::Volume => &["in³", "L"],
        Kind::Temperature => &["°F", "°C", "K"],
        Kind::Count => &[],
        Kind::RollStiffness => &["ft·lb/deg", "N·m/deg"],
        Kind::RotationSpeed => &["rpm"],
        Kind::Inertia => &["lb·ft²", "kg·m²"],
        Kind::Frequency => &["Hz"],
        Kind::Flow => &["ft³/h", "L/min"],
        Kind::Current => &["A"],
        Kind::Voltage => &["V"],
        Kind::HeatInput => &["kJ/in", "kJ/mm"],
        Kind::FeedSpeed => &["in/min", "mm/s"],
        Kind::Damping => &["lb·s/in", "N·s/m"],
        Kind::Area => &["ft²", "m²", "in²", "mm²"],
        Kind::Density => &["lb/in³", "kg/m³"],
    }
}

fn with_unit(number: &str, unit: &str) -> String {
    if unit.is_empty() {
        number.to_owned()
    } else {
        format!("{number} {unit}")
    }
}

/// All digits an `f64` needs, without a long tail of zeros.
fn full(value: f64) -> String {
    let plain = format!("{value}");
    if plain.len() <= 24 {
        plain
    } else {
        format!("{value:e}")
    }
}

fn exact_inches(si: f64) -> Option<String> {
    let sixty_fourths = count(si * 10_000.0 / 254.0, 64)?;
    let back = Rational::new(i128::from(sixty_fourths) * 254, 640_000)?.to_f64();
    if sixty_fourths == 0 {
        return (si == 0.0)
            .then(|| with_unit(if si.is_sign_negative() { "-0" } else { "0" }, "in"));
    }
    (sixty_fourths.abs() < 64 * 100_000 && back.to_bits() == si.to_bits())
        .then(|| with_unit(&mixed(sixty_fourths, 64), "in"))
}

/// The shortest decimal in a unit that reads back as `si`, with its count of digits.
fn short_decimal(kind: Kind, si: f64, unit: &Unit) -> Option<(usize, String)> {
    let value = unit.scale.from_si(si);
    let size = value.abs();
    if size != 0.0 && !(1.0e-7..1.0e15).contains(&size) {
        return None;
    }
    for digits in 1..=17_usize {
        let scientific = format!("{size:.*e}", digits - 1);
        let (mantissa, exponent) = scientific.split_once('e')?;
        let exponent = exponent.parse::<i32>().ok()? - i32::try_from(digits - 1).ok()?;
        let number = Number::decimal(&mantissa.replace('.', ""), exponent);
        let number = if value.is_sign_negative() {
            number.negated()
        } else {
            number
        };
        if number.to_si(unit.scale).to_f64().to_bits() == si.to_bits() {
            let size = plainly(&scientific)?;
            let sign = if value.is_sign_negative() { "-" } else { "" };
            let text = with_unit(&format!("{sign}{size}"), unit.name);
            // The reader has the last word.
            return parse(kind, &text)
                .is_ok_and(|back| back.to_bits() == si.to_bits())
                .then_some((size.len(), text));
        }
    }
    None
}

/// `1.25e-3` without its exponent. Seventeen digits survive the way through `f64`.
fn plainly(scientific: &str) -> Option<String> {
    Some(format!("{}", scientific.parse::<f64>().ok()?))
}

/// The unit a shop sees for a kind.
pub(crate) fn display_unit(kind: Kind, shop: &Shop) -> &'static Unit {
    let metric = shop.system == System::Si;
    let name = match (kind, metric) {
        (Kind::Length, false) => "in",
        (Kind::Length, true) => "mm",
        (Kind::Angle, _) => "deg",
        (Kind::Mass, false) => "lb",
        (Kind::Mass, true) => "kg",
        (Kind::Force, false) => "lbf",
        (Kind::Force, true) => "N",
        (Kind::Torque, false) => "ft·lb",
        (Kind::Torque, true) => "N·m",
        (Kind::Pressure, false) => "psi",
        (Kind::Pressure, true) => "kPa",
        (Kind::SpringRate, false) => "lb/in",
        (Kind::SpringRate, true) => "N/mm",
        (Kind::Speed, false) => "mph",
        (Kind::Speed, true) => "km/h",
        (Kind::Acceleration, false) => "g",
        (Kind::Acceleration, true) => "m/s²",
        (Kind::Time, _) => "s",
        (Kind::Ratio | Kind::AngleRatio | Kind::Slope, _) => "%",
        (Kind::Power, false) => "hp",
        (Kind::Power, true) => "kW",
        (Kind::Volume, false) => "in³",
        (Kind::Volume, true) => "L",
        (Kind::Temperature, false) => "°F",
        (Kind::Temperature, true) => "°C",
        (Kind::Count, _) => "",
        (Kind::RollStiffness, false) => "ft·lb/deg",
        (Kind::RollStiffness, true) => "N·m/deg",
        (Kind::RotationSpeed, _) => "rpm",
        (Kind::Inertia, false) => "lb·ft²",
        (Kind::Inertia, true) => "kg·m²",
        (Kind::Frequency, _) => "Hz",
        (Kind::Flow, false) => "ft³/h",
        (Kind::Flow, true) => "L/min",
        (Kind::Current, _) => "A",
        (Kind::Voltage, _) => "V",
        (Kind::HeatInput, false) => "kJ/in",
        (Kind::HeatInput, true) => "kJ/mm",
        (Kind::FeedSpeed, false) => "in/min",
        (Kind::FeedSpeed, true) => "mm/s",
        (Kind::Damping, false) => "lb·s/in",
        (Kind::Damping, true) => "N·s/m",
        (Kind::Area, false) => "ft²",
        (Kind::Area, true) => "m²",
        (Kind::Density, false) => "lb/in³",
        (Kind::Density, true) => "kg/m³",
    };
    let units = accepted(kind);
    units
        .iter()
        .find(|unit| unit.name == name)
        .unwrap_or(&units[0])
}

/// The display unit's name for column heads and field labels: `in`, `mm`, `lb`, `%`.
///
/// A force in pounds is headed `lb`, as on a scale. Empty for a plain number.
#[must_use]
pub fn unit_name(kind: Kind, shop: &Shop) -> &'static str {
    match display_unit(kind, shop).name {
        "lbf" => "lb",
        name => name,
    }
}

/// How a kind is rounded for the eye.
#[derive(Clone, Copy)]
enum Rounding {
    /// To 1/n of the unit, written as a fraction.
    Tape(u32),
    /// To so many decimals.
    Places(usize),
    /// To halves, one decimal.
    Halves,
    /// To three decimals, without zeros at the end.
    Plain,
    /// To a tenth, written only where it is not zero.
    Tenth,
}

fn rounding(kind: Kind, shop: &Shop) -> Rounding {
    let metric = shop.system == System::Si;
    match kind {
        Kind::Length => match (metric, shop.fraction.denominator(), shop.fraction) {
            (false, Some(denominator), _) => Rounding::Tape(denominator),
            (false, None, _) => Rounding::Places(3),
            (true, _, Fraction::Sixteenth) => Rounding::Places(0),
            (true, _, Fraction::ThirtySecond) => Rounding::Halves,
            (true, _, Fraction::SixtyFourth) => Rounding::Places(1),
            (true, _, Fraction::Decimal) => Rounding::Places(2),
        },
        Kind::Angle | Kind::Speed | Kind::AngleRatio | Kind::Slope | Kind::Voltage => {
            Rounding::Places(1)
        }
        Kind::Volume => Rounding::Places(if metric { 3 } else { 2 }),
        Kind::Flow if metric => Rounding::Tenth,
        Kind::FeedSpeed => Rounding::Tenth,
        Kind::HeatInput => Rounding::Places(if metric { 2 } else { 1 }),
        Kind::SpringRate => Rounding::Places(usize::from(metric)),
        Kind::Damping => Rounding::Places(usize::from(!metric)),
        Kind::Acceleration | Kind::Time | Kind::Frequency | Kind::Area => Rounding::Places(2),
        Kind::Inertia => Rounding::Places(if metric { 3 } else { 2 }),
        Kind::Density => Rounding::Places(if metric { 0 } else { 3 }),
        Kind::Count => Rounding::Plain,
        Kind::Mass
        | Kind::Force
        | Kind::Torque
        | Kind::Pressure
        | Kind::Ratio
        | Kind::Power
        | Kind::Temperature
        | Kind::RollStiffness
        | Kind::RotationSpeed
        | Kind::Flow
        | Kind::Current => Rounding::Places(0),
    }
}

/// One display step in SI: what an arrow key nudges a field by.
///
/// Twice the greatest difference between a value and its display, except for a plain
/// number, which is shown to 0.001 and nudged by 1.
#[must_use]
pub fn step(kind: Kind, shop: &Shop) -> f64 {
    if kind == Kind::Length
        && shop.system == System::InchPound
        && let Some(denominator) = shop.fraction.denominator()
    {
        return 254.0 / (10_000.0 * f64::from(denominator));
    }
    let (tenths, count) = match rounding(kind, shop) {
        Rounding::Places(places) => (places, 1.0),
        Rounding::Halves => (1, 5.0),
        Rounding::Tenth => (1, 1.0),
        Rounding::Tape(_) | Rounding::Plain => (0, 1.0),
    };
    let number = count / 10_f64.powi(i32::try_from(tenths).unwrap_or(0));
    match display_unit(kind, shop).scale {
        Scale::Shifted { num, den, .. } => number * num as f64 / den as f64,
        scale => scale.to_si(number),
    }
}

/// The display form with its unit: `43 3/4"`, `117 %`, `2.3°`, `1111 mm`.
///
/// Rounded to one display step, halves away from zero on a tape; never "-0"; a dash
/// where the value is not finite.
#[must_use]
pub fn format(kind: Kind, si: f64, shop: &Shop) -> String {
    marked(kind, format_bare(kind, si, shop), shop)
}

/// The display form without its unit, for tables whose head names it: `19 1/2`.
#[must_use]
pub fn format_bare(kind: Kind, si: f64, shop: &Shop) -> String {
    let value = display_unit(kind, shop).scale.from_si(si);
    if !value.is_finite() {
        return NOTHING.to_owned();
    }
    // Too large for a step to show: all digits.
    if value.abs() >= 1.0e12 {
        return format!("{value:e}");
    }
    match rounding(kind, shop) {
        Rounding::Tape(denominator) => match count(value, denominator) {
            Some(count) => mixed(count, denominator),
            None => format!("{value:e}"),
        },
        Rounding::Places(places) => decimal(value, places),
        Rounding::Halves => decimal((value * 2.0).round() / 2.0, 1),
        Rounding::Plain => {
            let text = decimal(value, 3);
            let text = text.trim_end_matches('0').trim_end_matches('.');
            text.to_owned()
        }
        Rounding::Tenth => {
            let text = decimal(value, 1);
            text.strip_suffix(".0").unwrap_or(&text).to_owned()
        }
    }
}

/// The display form for small measured movements: lengths to 0.001 in or 0.01 mm
/// whatever the tape (`0.061"`, `1.55 mm`); other kinds as [`format()`].
#[must_use]
pub fn format_fine(kind: Kind, si: f64, shop: &Shop) -> String {
    let fine = Shop {
        fraction: Fraction::Decimal,
        ..*shop
    };
    format(kind, si, &fine)
}

/// A length in feet and inches, for those who ask: `9' 1"`, `-1' 2 1/2"`. SI as [`format()`].
#[must_use]
pub fn format_feet(si: f64, shop: &Shop) -> String {
    let inches = si * 10_000.0 / 254.0;
    let (System::InchPound, Some(denominator)) = (shop.system, shop.fraction.denominator()) else {
        return format(Kind::Length, si, shop);
    };
    let per_foot = 12 * i64::from(denominator);
    match count(inches, denominator) {
        Some(count) if inches.is_finite() && count.abs() >= per_foot => {
            let feet = count / per_foot;
            match count.abs() % per_foot {
                0 => format!("{feet}'"),
                rest => format!("{feet}' {}\"", mixed(rest, denominator)),
            }
        }
        _ => format(Kind::Length, si, shop),
    }
}

fn decimal(value: f64, places: usize) -> String {
    let text = format!("{value:.places$}");
    match text.strip_prefix('-') {
        Some(size) if size.bytes().all(|b| b == b'0' || b == b'.') => size.to_owned(),
        _ => text,
    }
}

fn marked(kind: Kind, number: String, shop: &Shop) -> String {
    if number == NOTHING {
        return number;
    }
    match (kind, unit_name(kind, shop)) {
        (Kind::Length, "in") => format!("{number}\""),
        (Kind::Angle, _) => format!("{number}°"),
        (Kind::Temperature, name) => format!("{number} {name}"),
        (_, name) => with_unit(&number, name),
    }
}

/// The number a value has in the shop's display unit, unrounded: for plots and spreadsheets.
#[must_use]
pub fn display_value(kind: Kind, si: f64, shop: &Shop) -> f64 {
    display_unit(kind, shop).scale.from_si(si)
}

/// Inverse of [`display_value`].
#[must_use]
pub fn from_display_value(kind: Kind, number: f64, shop: &Shop) -> f64 {
    display_unit(kind, shop).scale.to_si(number)
}

/// A value that somebody typed or taped: as [`format()`], but as fine as it was meant. A gap of
/// 1/32 in stays 1/32 on a sheet that shows sixteenths; only what no fraction or step reproduces
/// is rounded.
#[must_use]
pub fn format_kept(kind: Kind, si: f64, shop: &Shop) -> String {
    let shown = format(kind, si, &kept(kind, si, shop));
    if kind == Kind::Length || crate::parse_typed(kind, &shown, shop) == Ok(si) {
        return shown;
    }
    // 51.5 % where whole per cents are shown; only in the shop's own unit.
    let exact = exact(kind, si);
    let unit = unit_name(kind, shop);
    if exact.len() <= 12 && !unit.is_empty() && exact.ends_with(unit) {
        exact
    } else {
        shown
    }
}

/// [`format_kept`] without the unit.
#[must_use]
pub fn format_bare_kept(kind: Kind, si: f64, shop: &Shop) -> String {
    format_bare(kind, si, &kept(kind, si, shop))
}

/// The shop, or the coarsest finer one that gives the value back exactly.
fn kept(kind: Kind, si: f64, shop: &Shop) -> Shop {
    use crate::Fraction::{Decimal, Sixteenth, SixtyFourth, ThirtySecond};
    if kind != Kind::Length {
        return *shop;
    }
    let all = [Sixteenth, ThirtySecond, SixtyFourth, Decimal];
    let from = all.iter().position(|f| *f == shop.fraction).unwrap_or(0);
    all[from..]
        .iter()
        .map(|&fraction| Shop { fraction, ..*shop })
        .find(|s| crate::parse_typed(kind, &format(kind, si, s), s) == Ok(si))
        .unwrap_or_else(|| {
            // 1/32 in is not 1 mm: a small length keeps its size in the other system.
            let shown = crate::parse_typed(kind, &format(kind, si, shop), shop);
            let far = shown.is_ok_and(|v| (v - si).abs() > 0.05 * si.abs());
            // A tape's fractions are near enough: nobody measures finer.
            if far && shop.system == System::Si {
                Shop {
                    fraction: Decimal,
                    ..*shop
                }
            } else {
                *shop
            }
        })
}
