//! The units each kind may be written in, with their exact factors.
//!
//! Factors are ratios of whole numbers, exact by definition: NIST Special
//! Publication 811 (2008), appendix B, from memory; inch 25.4 mm, pound
//! 0.453 592 37 kg, g 9.806 65 m/s², US gallon 231 in³, horsepower 550 ft·lbf/s.

use crate::Kind;
use std::f64::consts::PI;

/// How a written number becomes SI.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Scale {
    /// SI = number · num/den.
    Ratio {
        /// Numerator.
        num: i128,
        /// Denominator, positive.
        den: i128,
    },
    /// SI = (number + shift/100) · num/den: temperatures.
    Shifted {
        /// Hundredths added to the number first.
        shift: i128,
        /// Numerator.
        num: i128,
        /// Denominator, positive.
        den: i128,
    },
    /// SI = number · π/180.
    Degrees,
    /// SI = number · 2π/60.
    TurnsPerMinute,
    /// SI = number · num/den · 180/π.
    PerDegree {
        /// Numerator.
        num: i128,
        /// Denominator, positive.
        den: i128,
    },
}

impl Scale {
    /// SI value of a number in this unit, in floating point (rounded at each step).
    #[must_use]
    pub fn to_si(self, number: f64) -> f64 {
        match self {
            Self::Ratio { num, den } => number * num as f64 / den as f64,
            Self::Shifted { shift, num, den } => {
                (number + shift as f64 / 100.0) * num as f64 / den as f64
            }
            Self::Degrees => number.to_radians(),
            Self::TurnsPerMinute => number * (PI / 30.0),
            Self::PerDegree { num, den } => number * (num as f64 / den as f64) * (180.0 / PI),
        }
    }

    /// The number that an SI value has in this unit, in floating point.
    #[must_use]
    pub fn from_si(self, si: f64) -> f64 {
        match self {
            Self::Ratio { num, den } => si * den as f64 / num as f64,
            Self::Shifted { shift, num, den } => {
                si * den as f64 / num as f64 - shift as f64 / 100.0
            }
            Self::Degrees => si.to_degrees(),
            Self::TurnsPerMinute => si / (PI / 30.0),
            Self::PerDegree { num, den } => si / (num as f64 / den as f64) / (180.0 / PI),
        }
    }
}

/// One unit of one kind.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Unit {
    /// The spelling used when writing; empty for a plain number.
    pub name: &'static str,
    /// Other spellings read. Dots, dashes, blanks, `^` and raised digits are read alike.
    pub also: &'static [&'static str],
    /// Its factor.
    pub scale: Scale,
}

const fn unit(name: &'static str, also: &'static [&'static str], num: i128, den: i128) -> Unit {
    Unit {
        name,
        also,
        scale: Scale::Ratio { num, den },
    }
}

/// Pound-force in newtons: 0.453 592 37 · 9.806 65 = `LBF` / `LBF_DEN`.
const LBF: i128 = 44_482_216_152_605;
const LBF_DEN: i128 = 10_000_000_000_000;
const E6: i128 = 1_000_000;
const E9: i128 = 1_000_000_000;
const E12: i128 = 1_000_000_000_000;

static FREQUENCY: [Unit; 1] = [unit("Hz", &["hertz"], 1, 1)];
static FLOW: [Unit; 4] = [
    unit("ft³/h", &["ft3/h", "cfh"], 28_316_846_592, 3600 * E12),
    unit("L/min", &["l/min"], 1, 60_000),
    unit("m³/h", &["m3/h"], 1, 3600),
    unit("m³/s", &["m3/s"], 1, 1),
];
static CURRENT: [Unit; 1] = [unit("A", &["amp", "amps"], 1, 1)];
static VOLTAGE: [Unit; 1] = [unit("V", &["volt", "volts"], 1, 1)];
static HEAT_INPUT: [Unit; 5] = [
    unit("kJ/in", &[], 10_000_000, 254),
    unit("kJ/mm", &[], E6, 1),
    unit("kJ/cm", &[], 100_000, 1),
    unit("J/mm", &[], 1000, 1),
    unit("J/m", &[], 1, 1),
];
static LENGTH: [Unit; 5] = [
    unit("in", &["\"", "inch", "inches", "ins"], 254, 10_000),
    unit("ft", &["'", "foot", "feet"], 3048, 10_000),
    unit(
        "mm",
        &["millimetre", "millimeter", "millimetres", "millimeters"],
        1,
        1000,
    ),
    unit(
        "cm",
        &["centimetre", "centimeter", "centimetres", "centimeters"],
        1,
        100,
    ),
    unit("m", &["metre", "meter", "metres", "meters"], 1, 1),
];
static ANGLE: [Unit; 2] = [
    Unit {
        name: "deg",
        also: &["°", "degree", "degrees"],
        scale: Scale::Degrees,
    },
    unit("rad", &["radian", "radians"], 1, 1),
];
static MASS: [Unit; 4] = [
    unit(
        "lb",
        &["lbs", "lbm", "pound", "pounds"],
        45_359_237,
        100_000_000,
    ),
    unit(
        "kg",
        &["kgs", "kilogram", "kilograms", "kilo", "kilos"],
        1,
        1,
    ),
    unit("oz", &["ounce", "ounces"], 45_359_237, 1_600_000_000),
    unit("g", &["gram", "grams"], 1, 1000),
];
static FORCE: [Unit; 3] = [
    unit("lbf", &["lb", "lbs", "pound", "pounds"], LBF, LBF_DEN),
    unit("N", &["newton", "newtons"], 1, 1),
    unit("kN", &[], 1000, 1),
];
static TORQUE: [Unit; 4] = [
    unit(
        "ft·lb",
        &[
            "ft·lbf",
            "lb·ft",
            "lbf·ft",
            "ftlb",
            "ftlbs",
            "lbft",
            "ft·lbs",
            "lbs·ft",
            "foot·pounds",
        ],
        LBF * 3048,
        LBF_DEN * 10_000,
    ),
    unit(
        "in·lb",
        &[
            "in·lbf",
            "lb·in",
            "lbf·in",
            "inlb",
            "inlbs",
            "lbin",
            "in·lbs",
            "lbs·in",
            "inch·pounds",
        ],
        LBF * 254,
        LBF_DEN * 10_000,
    ),
    unit("N·m", &["Nm"], 1, 1),
    unit("kN·m", &["kNm"], 1000, 1),
];
static PRESSURE: [Unit; 9] = [
    unit("psi", &["psig", "lb/in2", "lbf/in2"], LBF, 64_516 * 100_000),
    unit("kPa", &[], 1000, 1),
    unit("bar", &["bars"], 100_000, 1),
    unit("mbar", &[], 100, 1),
    // Conventional inch of mercury, 3386.389 Pa (NIST SP 811, table B.8).
    unit("inHg", &[], 3_386_389, 1000),
    unit("MPa", &["N/mm2"], E6, 1),
    unit("GPa", &[], E9, 1),
    unit("ksi", &[], LBF, 6_451_600),
    unit("Pa", &["N/m2"], 1, 1),
];
static SPRING: [Unit; 4] = [
    unit(
        "lb/in",
        &["lbf/in", "lbs/in", "lb/inch", "lbs/inch"],
        LBF,
        254 * E9,
    ),
    unit("N/mm", &["kN/m"], 1000, 1),
    unit("lb/ft", &["lbf/ft", "lbs/ft"], LBF, 3048 * E9),
    unit("N/m", &[], 1, 1),
];
static FEED_SPEED: [Unit; 5] = [
    unit("in/min", &["ipm"], 254, 600_000),
    unit("mm/s", &[], 1, 1000),
    unit("mm/min", &[], 1, 60_000),
    unit("m/min", &[], 1, 60),
    unit("m/s", &[], 1, 1),
];
static DAMPING: [Unit; 3] = [
    unit("lb·s/in", &["lbf·s/in"], LBF, 254 * E9),
    unit("N·s/mm", &[], 1000, 1),
    unit("N·s/m", &["Ns/m"], 1, 1),
];
static AREA: [Unit; 5] = [
    unit("ft²", &["ft2"], 9_290_304, 100_000_000),
    unit("in²", &["in2"], 64_516, 100_000_000),
    unit("cm²", &["cm2"], 1, 10_000),
    unit("mm²", &["mm2"], 1, E6),
    unit("m²", &["m2"], 1, 1),
];
static DENSITY: [Unit; 3] = [
    // 0.453 592 37 kg over (0.0254 m)³.
    unit("lb/in³", &["lb/in3"], 453_592_370_000, 16_387_064),
    unit("g/cm³", &["g/cm3"], 1000, 1),
    unit("kg/m³", &["kg/m3"], 1, 1),
];
static SPEED: [Unit; 4] = [
    unit("mph", &["mi/h"], 44_704, 100_000),
    unit("km/h", &["kph", "kmh"], 5, 18),
    unit("ft/s", &["fps"], 3048, 10_000),
    unit("m/s", &[], 1, 1),
];
static ACCELERATION: [Unit; 3] = [
    unit("g", &["gee", "gees"], 980_665, 100_000),
    unit("ft/s²", &["ft/s2", "ft/s/s"], 3048, 10_000),
    unit("m/s²", &["m/s2", "m/s/s"], 1, 1),
];
static TIME: [Unit; 4] = [
    unit("s", &["sec", "secs", "second", "seconds"], 1, 1),
    unit("ms", &["msec"], 1, 1000),
    unit("min", &["mins", "minute", "minutes"], 60, 1),
    unit("h", &["hr", "hrs", "hour", "hours"], 3600, 1),
];
static RATIO: [Unit; 2] = [unit("%", &["percent", "pct"], 1, 100), unit("", &[], 1, 1)];
static POWER: [Unit; 3] = [
    unit(
        "hp",
        &["bhp", "horsepower"],
        LBF * 3048 * 550,
        LBF_DEN * 10_000,
    ),
    unit("kW", &[], 1000, 1),
    unit("W", &["watt", "watts"], 1, 1),
];
static VOLUME: [Unit; 7] = [
    unit("gal", &["gallon", "gallons"], 3_785_411_784, E12),
    unit("L", &["l", "litre", "liter", "litres", "liters"], 1, 1000),
    unit("qt", &["quart", "quarts"], 946_352_946, E12),
    unit("in³", &["in3", "cu·in", "cubic·inches"], 16_387_064, E12),
    unit("ft³", &["ft3", "cu·ft", "cubic·feet"], 28_316_846_592, E12),
    unit("cc", &["cm3", "ml"], 1, E6),
    unit("m³", &["m3"], 1, 1),
];
static TEMPERATURE: [Unit; 3] = [
    Unit {
        name: "°F",
        also: &["F", "deg·F", "degF"],
        scale: Scale::Shifted {
            shift: 45_967,
            num: 5,
            den: 9,
        },
    },
    Unit {
        name: "°C",
        also: &["C", "deg·C", "degC"],
        scale: Scale::Shifted {
            shift: 27_315,
            num: 1,
            den: 1,
        },
    },
    unit("K", &["kelvin"], 1, 1),
];
static COUNT: [Unit; 1] = [unit("", &[], 1, 1)];
static ANGLE_RATIO: [Unit; 3] = [
    unit("%", &["percent", "pct"], 1, 100),
    unit("deg/deg", &["°/°"], 1, 1),
    unit("", &[], 1, 1),
];
static SLOPE: [Unit; 5] = [
    unit("%", &["percent", "pct"], 1, 100),
    unit("in/ft", &[], 1, 12),
    unit("mm/m", &[], 1, 1000),
    unit("m/m", &["in/in", "ft/ft", "mm/mm"], 1, 1),
    unit("", &[], 1, 1),
];
static ROLL_STIFFNESS: [Unit; 4] = [
    Unit {
        name: "ft·lb/deg",
        also: &[
            "ft·lbf/deg",
            "lb·ft/deg",
            "lbf·ft/deg",
            "ft·lb/°",
            "lb·ft/°",
        ],
        scale: Scale::PerDegree {
            num: LBF * 3048,
            den: LBF_DEN * 10_000,
        },
    },
    Unit {
        name: "in·lb/deg",
        also: &[
            "in·lbf/deg",
            "lb·in/deg",
            "lbf·in/deg",
            "in·lb/°",
            "lb·in/°",
        ],
        scale: Scale::PerDegree {
            num: LBF * 254,
            den: LBF_DEN * 10_000,
        },
    },
    Unit {
        name: "N·m/deg",
        also: &["Nm/deg", "N·m/°", "Nm/°"],
        scale: Scale::PerDegree { num: 1, den: 1 },
    },
    unit("N·m/rad", &["Nm/rad"], 1, 1),
];
static ROTATION: [Unit; 2] = [
    Unit {
        name: "rpm",
        also: &["rev/min"],
        scale: Scale::TurnsPerMinute,
    },
    unit("rad/s", &[], 1, 1),
];
static INERTIA: [Unit; 3] = [
    unit("lb·ft²", &["lb·ft2"], 45_359_237 * 9_290_304, 10_000 * E12),
    unit("lb·in²", &["lb·in2"], 45_359_237 * 64_516, 10_000 * E12),
    unit("kg·m²", &["kg·m2"], 1, 1),
];

/// The units in which a kind may be written, those of the shop first.
///
/// Capital and small letters are read alike where only one unit fits.
#[must_use]
pub fn accepted(kind: Kind) -> &'static [Unit] {
    match kind {
        Kind::Length => &LENGTH,
        Kind::Angle => &ANGLE,
        Kind::Mass => &MASS,
        Kind::Force => &FORCE,
        Kind::Torque => &TORQUE,
        Kind::Pressure => &PRESSURE,
        Kind::SpringRate => &SPRING,
        Kind::Speed => &SPEED,
        Kind::Acceleration => &ACCELERATION,
        Kind::Time => &TIME,
        Kind::Ratio => &RATIO,
        Kind::Power => &POWER,
        Kind::Volume => &VOLUME,
        Kind::Temperature => &TEMPERATURE,
        Kind::Count => &COUNT,
        Kind::AngleRatio => &ANGLE_RATIO,
        Kind::Slope => &SLOPE,
        Kind::RollStiffness => &ROLL_STIFFNESS,
        Kind::RotationSpeed => &ROTATION,
        Kind::Inertia => &INERTIA,
        Kind::Frequency => &FREQUENCY,
        Kind::Flow => &FLOW,
        Kind::Current => &CURRENT,
        Kind::Voltage => &VOLTAGE,
        Kind::HeatInput => &HEAT_INPUT,
        Kind::FeedSpeed => &FEED_SPEED,
        Kind::Damping => &DAMPING,
        Kind::Area => &AREA,
        Kind::Density => &DENSITY,
    }
}

/// Every spelling of a unit that a kind accepts, for help texts.
pub fn spellings(kind: Kind) -> impl Iterator<Item = &'static str> {
    accepted(kind)
        .iter()
        .flat_map(|unit| std::iter::once(unit.name).chain(unit.also.iter().copied()))
        .filter(|name| !name.is_empty())
}

/// The unit of a kind with SI factor 1, in which any value can be written.
pub(crate) fn si_unit(kind: Kind) -> &'static Unit {
    let units = accepted(kind);
    units
        .iter()
        .find(|unit| unit.scale == Scale::Ratio { num: 1, den: 1 })
        .unwrap_or(&units[0])
}

/// A spelling brought to the form used in this table: one kind of dot, no raised
/// digits, straight quotes.
pub(crate) fn canonical(raw: &str) -> String {
    let mut out = String::with_capacity(raw.len());
    let mut gap = false;
    for c in raw.trim().trim_end_matches('.').chars() {
        let c = match c {
            '·' | '⋅' | '∙' | '•' | '*' | '-' | '‐' | '‑' => {
                gap = true;
                continue;
            }
            c if c.is_whitespace() => {
                gap = true;
                continue;
            }
            '^' | '.' => continue,
            '²' => '2',
            '³' => '3',
            '″' | '”' | '“' | '˝' => '"',
            '′' | '’' | '‘' | '´' | '`' => '\'',
            'º' | '˚' => '°',
            '⁄' | '∕' => '/',
            '％' => '%',
            c => c,
        };
        let joins = c == '/' || out.ends_with(['/', '°']) || out.is_empty();
        if gap && !joins {
            out.push('·');
        }
        gap = false;
        out.push(c);
        if out.ends_with("''") {
            out.truncate(out.len() - 2);
            out.push('"');
        }
    }
    out
}

/// The unit of this kind with the given canonical spelling; exact letters first,
/// then capitals and small letters alike.
pub(crate) fn find(kind: Kind, canonical_name: &str) -> Option<&'static Unit> {
    let matches = |test: &dyn Fn(&str) -> bool| {
        accepted(kind).iter().find(|unit| {
            !unit.name.is_empty()
                && (test(&canonical(unit.name))
                    || unit.also.iter().any(|name| test(&canonical(name))))
        })
    };
    matches(&|name| name == canonical_name).or_else(|| {
        let lower = canonical_name.to_lowercase();
        matches(&|name| name.to_lowercase() == lower)
    })
}

/// The first kind, in the order of [`Kind::ALL`], that knows this spelling.
pub(crate) fn kind_of(canonical_name: &str) -> Option<Kind> {
    Kind::ALL
        .into_iter()
        .find(|kind| find(*kind, canonical_name).is_some())
}

/// The spelling closest to an unknown one, if close enough to be a slip.
pub(crate) fn nearest(kinds: &[Kind], canonical_name: &str) -> Option<&'static str> {
    let wanted = canonical_name.to_lowercase();
    kinds
        .iter()
        .flat_map(|kind| spellings(*kind))
        .filter(|name| name.chars().any(char::is_alphabetic))
        .map(|name| {
            let known = canonical(name).to_lowercase();
            (
                strsim::osa_distance(&wanted, &known),
                known.chars().count(),
                name,
            )
        })
        .filter(|(distance, length, _)| *distance <= (length / 2).clamp(1, 2))
        .min_by_key(|(distance, length, _)| (*distance, *length))
        .map(|(_, _, name)| name)
}
