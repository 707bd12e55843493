//! The words of the run.

use build::{GoalChange, GoalOver, Parameter, RunCar, RunLimit};
use units::Kind;

use super::super::bench::Bench;
use super::super::theme::Palette;
use eframe::egui::Color32;

/// What a goal is measured over, and what its chooser says.
pub(super) const OVER: [(GoalOver, &str); 5] = [
    (GoalOver::ZeroSixty, "0–60 mph from first motion"),
    (GoalOver::ZeroSixtyRollout, "0–60 mph with rollout"),
    (GoalOver::SixtyFoot, "60 ft on the clock"),
    (GoalOver::Eighth, "eighth mile on the clock"),
    (GoalOver::Quarter, "quarter mile on the clock"),
];

/// Words of a limit.
pub(super) fn limit(limit: RunLimit) -> &'static str {
    match limit {
        RunLimit::Drive => "engine",
        RunLimit::Traction => "tyres",
        RunLimit::WheelStand => "front floating",
        RunLimit::Shift => "shift",
        RunLimit::RevLimit => "rev limit",
    }
}

/// Its colour.
pub(super) fn colour(p: &Palette, limit: RunLimit) -> Color32 {
    match limit {
        RunLimit::Drive => p.upper,
        RunLimit::Traction => p.centre,
        RunLimit::WheelStand => p.hundred,
        RunLimit::Shift => p.dim,
        RunLimit::RevLimit => p.bad,
    }
}

/// Seconds to a hundredth.
pub(super) fn seconds(t: f64) -> String {
    format!("{t:.2} s")
}

/// A share in per cent, one place where it is small.
fn share(x: f64) -> String {
    let percent = 100.0 * x.abs();
    if percent < 9.95 {
        format!("{percent:.1} %")
    } else {
        format!("{percent:.0} %")
    }
}

fn sided(x: f64, more: &'static str, less: &'static str) -> &'static str {
    if x < 0.0 { less } else { more }
}

fn rpm(x: f64) -> String {
    format!("{:.0} rpm", x.abs() * 30.0 / std::f64::consts::PI)
}

/// A change in the words of a shop: "7 % more tyre grip".
pub(super) fn change(bench: &Bench<'_>, car: &RunCar, c: &GoalChange) -> String {
    let by = c.by;
    match c.parameter {
        Parameter::Power => format!("{} {} power", share(by), sided(by, "more", "less")),
        Parameter::Friction => format!("{} {} tyre grip", share(by), sided(by, "more", "less")),
        Parameter::Mass => format!(
            "{} {}",
            bench.show(Kind::Mass, (by * car.sprung_mass).abs()),
            sided(by, "heavier", "lighter")
        ),
        Parameter::FinalDrive => {
            let now = car.driveline.final_drive;
            format!("final drive {:.2} instead of {now:.2}", now * (1.0 + by))
        }
        Parameter::CgHeight => format!(
            "centre of gravity {} {}",
            fine(bench, by),
            sided(by, "higher", "lower")
        ),
        Parameter::CgStation => format!(
            "centre of gravity {} further {}",
            fine(bench, by),
            sided(by, "forward", "back")
        ),
        Parameter::AntiSquat => format!(
            "{:.0} points {} anti-squat",
            100.0 * by.abs(),
            sided(by, "more", "less")
        ),
        Parameter::Springs => format!("springs {} {}", share(by), sided(by, "stiffer", "softer")),
        Parameter::Dampers => format!("dampers {} {}", share(by), sided(by, "stiffer", "softer")),
        Parameter::ShiftSpeed => format!("shift {} {}", rpm(by), sided(by, "later", "earlier")),
        Parameter::LaunchSpeed => format!("launch {} {}", rpm(by), sided(by, "higher", "lower")),
    }
}

fn fine(bench: &Bench<'_>, metres: f64) -> String {
    units::format_fine(Kind::Length, metres.abs(), bench.shop())
}

/// The change with what it comes to.
pub(super) fn outcome(bench: &Bench<'_>, car: &RunCar, c: &GoalChange) -> String {
    let words = change(bench, car, c);
    if c.meets {
        format!("{words}: {}", seconds(c.then))
    } else {
        format!("{words} does not do it: {} at best", seconds(c.then))
    }
}

/// One step of an input: "power + 1 %".
pub(super) fn step(bench: &Bench<'_>, parameter: Parameter, by: f64) -> String {
    match parameter {
        Parameter::Power => "power, 1 % more".to_owned(),
        Parameter::Mass => "weight, 1 % more".to_owned(),
        Parameter::Friction => "tyre grip, 1 % more".to_owned(),
        Parameter::FinalDrive => "final drive, 1 % shorter".to_owned(),
        Parameter::CgHeight => format!("CG {} higher", fine(bench, by)),
        Parameter::CgStation => format!("CG {} further forward", fine(bench, by)),
        Parameter::AntiSquat => "anti-squat, 5 points more".to_owned(),
        Parameter::Springs => "springs, 5 % stiffer".to_owned(),
        Parameter::Dampers => "dampers, 5 % stiffer".to_owned(),
        Parameter::ShiftSpeed => "shift 100 rpm later".to_owned(),
        Parameter::LaunchSpeed => "launch 100 rpm higher".to_owned(),
    }
}
