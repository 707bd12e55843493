//! The launch run, for the command line: a report in shop words, its history as a table, or everything
//! as JSON.

mod extra;
mod history;
mod json;
mod text;

use build::{Build, GoalOver, Parameter, SlipReading, StripMark, Study};
use units::{Kind, Shop, System};
use vehicle::run::Stop;

use super::Trouble;
pub(super) use extra::Extra;
pub(super) use json::reading_of;

/// What is asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Form {
    /// A report.
    Text,
    /// Everything, SI.
    Json,
    /// A table.
    Csv,
}

impl Form {
    pub(super) fn of(json: bool, csv: bool) -> Self {
        match (json, csv) {
            (true, _) => Self::Json,
            (_, true) => Self::Csv,
            _ => Self::Text,
        }
    }
}

pub(super) fn run(
    b: &Build,
    study: &Study,
    shop: &Shop,
    form: Form,
    extra: Extra,
) -> Result<String, Trouble> {
    match form {
        Form::Text => Ok(text::report(b, study, shop) + &extra.text(b, study, shop)),
        Form::Json => {
            let mut all = json::json(b, study, shop);
            extra.json(&mut all, b, study, shop);
            Ok(serde_json::to_string_pretty(&all)? + "\n")
        }
        Form::Csv => match &study.run.run {
            Ok(run) => history::table(run, shop),
            Err(why) => Err(Trouble(format!(
                "{}: there is no run: {}.",
                b.name,
                why.show(shop)
            ))),
        },
    }
}

/// What stands on every report of a run.
pub(super) const CAUTIONS: [&str; 2] = [
    "Closed course only. A car that lifts its front wheels needs bars and a licensed inspector's eye.",
    "The run is a model, not a promise; left out are the tyres' give under load, give of the rods, roll and driveshaft torque, tyre growth, lift of the air.",
];

/// Id and name of a reading of the slip.
pub(super) const fn slip_reading(r: SlipReading) -> (&'static str, &'static str) {
    match r {
        SlipReading::Clock(StripMark::SixtyFoot) => ("run.sixty_foot", "60 ft"),
        SlipReading::Clock(StripMark::ThreeThirty) => ("run.three_thirty", "330 ft"),
        SlipReading::Clock(StripMark::Eighth) => ("run.eighth", "1/8 mile"),
        SlipReading::Clock(StripMark::Thousand) => ("run.thousand", "1000 ft"),
        SlipReading::Clock(StripMark::Quarter) => ("run.quarter", "1/4 mile"),
        // The eighth's trap has no gauge, so no id of a reading.
        SlipReading::EighthTrap => ("eighth_speed", "1/8 mile speed"),
        SlipReading::QuarterTrap => ("run.quarter.speed", "1/4 mile speed"),
        SlipReading::ZeroSixty => ("run.zero_sixty", "0–60 mph"),
        SlipReading::ZeroSixtyRollout => ("run.zero_sixty.rollout", "0–60 mph with rollout"),
    }
}

/// Time or speed.
pub(super) const fn slip_kind(r: SlipReading) -> Kind {
    match r {
        SlipReading::EighthTrap | SlipReading::QuarterTrap => Kind::Speed,
        _ => Kind::Time,
    }
}

pub(super) const fn over(over: GoalOver) -> &'static str {
    match over {
        GoalOver::SixtyFoot => "60 ft",
        GoalOver::ZeroSixty => "0–60 mph",
        GoalOver::ZeroSixtyRollout => "0–60 mph with rollout",
        GoalOver::Eighth => "1/8 mile",
        GoalOver::Quarter => "1/4 mile",
    }
}

const fn stop(s: Stop) -> &'static str {
    match s {
        Stop::FrontBump => "front bump stop",
        Stop::FrontDroop => "front droop stop",
        Stop::RearBump => "rear bump stop",
        Stop::RearDroop => "rear droop stop",
    }
}

/// What an input is counted in.
const fn parameter_kind(p: Parameter) -> Kind {
    match p {
        Parameter::CgHeight | Parameter::CgStation => Kind::Length,
        Parameter::ShiftSpeed | Parameter::LaunchSpeed => Kind::RotationSpeed,
        _ => Kind::Ratio,
    }
}

/// A change of an input with its sign: "+7.4 %", "−2\"", "−40 points", "+1430 rpm".
fn amount(p: Parameter, by: f64, shop: &Shop) -> String {
    let sign = if by < 0.0 { "−" } else { "+" };
    let size = match p {
        Parameter::AntiSquat => format!("{:.0} points", 100.0 * by.abs()),
        _ => match parameter_kind(p) {
            Kind::Ratio => format!("{:.1} %", 100.0 * by.abs()).replace(".0 %", " %"),
            kind => units::format(kind, by.abs(), shop),
        },
    };
    format!("{sign}{size}")
}

/// A round step of an input to tell its effect by.
fn step(p: Parameter, shop: &Shop) -> f64 {
    match (p, shop.system) {
        (Parameter::CgHeight | Parameter::CgStation, System::InchPound) => 0.5 * 0.0254,
        _ => p.step(),
    }
}

/// A difference of a time or speed with its sign, to a thousandth of a second.
pub(super) fn difference(kind: Kind, si: f64, shop: &Shop) -> String {
    let size = |v: f64| match kind {
        Kind::Speed => build::show_to(Kind::Speed, v, 0.447, shop),
        _ => format!("{v:.3} s"),
    };
    let text = size(si.abs());
    if text == size(0.0) {
        return text;
    }
    format!("{}{text}", if si < 0.0 { "−" } else { "+" })
}

/// Air pressure: finer than a tyre's.
pub(super) fn barometer(pascals: f64, shop: &Shop) -> String {
    // A hundredth of a psi or of a kilopascal.
    build::show_to(Kind::Pressure, pascals, 700.0, shop)
}

/// A way down the strip: feet, or metres.
fn distance(si: f64, shop: &Shop) -> String {
    match shop.system {
        System::InchPound => format!("{:.0} ft", si / 0.3048),
        System::Si => format!("{si:.1} m"),
    }
}

/// Work: foot-pounds, or kilojoules.
fn work(joules: f64, shop: &Shop) -> String {
    let (value, unit) = match shop.system {
        // 1 ft·lbf = 0.3048 m · 4.4482216152605 N.
        System::InchPound => (joules / (0.3048 * 4.448_221_615_260_5), "ft·lb"),
        System::Si => (joules / 1000.0, "kJ"),
    };
    let text = format!("{value:.0}");
    let text = if text == "-0" { "0".to_owned() } else { text };
    format!("{text} {unit}")
}
