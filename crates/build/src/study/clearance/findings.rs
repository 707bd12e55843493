//! Findings of what fits.

use units::Kind;
use vehicle::packaging::StopFinding;

use super::super::{Finding, Part, Phrase, Severity};
use super::stops::StopAt;
use super::{ClearanceStudy, Fit, PairStudy, parts};
use crate::Build;

/// How far the drawn housing or tyre may be from what is ordered before it is said, m.
const AGREE: f64 = 0.003_175;
/// Least spline in the side gear, m: 1 in (common practice, no source).
const LEAST_SPLINE: f64 = 0.0254;

pub(in super::super) fn findings(b: &Build, s: &ClearanceStudy, out: &mut Vec<Finding>) {
    let Some(m) = &b.mock_up else { return };
    for (bad, part) in [
        (s.tyre.as_ref().err(), "mock_up.tyre.nominal"),
        (s.order.as_ref().err(), "mock_up.housing.hat"),
        (
            s.engaged.as_ref().and_then(|e| e.as_ref().err()),
            "mock_up.housing.shafts",
        ),
    ] {
        if let Some(why) = bad {
            out.push(Finding::new(
                Severity::Error,
                Part::Field(part),
                Phrase::from(format!("Mock-up: {why}")),
                "Measure that part again and correct it",
            ));
        }
    }
    sizes(b, s, out);
    if let Some(Ok(engaged)) = &s.engaged {
        let least = engaged[0].min(engaged[1]);
        if least < LEAST_SPLINE {
            out.push(Finding::new(
                if least > 0.0 {
                    Severity::Warning
                } else {
                    Severity::Error
                },
                Part::Field("mock_up.housing.shafts"),
                Phrase::from("Axle shafts: only ")
                    .len(least)
                    .t(" of spline in the side gear on one side"),
                "Order the shafts to the lengths of the order sheet",
            ));
        }
    }
    match &s.fit {
        // The links say themselves why they do not solve.
        Err(_) => {}
        Ok(fit) => {
            for p in &fit.pairs {
                pair(m.gap.si(), p, out);
            }
            rail(b, m.notch.si(), fit, out);
            stops(fit, out);
            if let Some((why, n)) = &fit.unreached {
                out.push(Finding::new(
                    Severity::Remark,
                    Part::Field("mock_up.bump"),
                    format!("{n} poses of both wheels' travel are not reached: {why}"),
                    "Look at less travel, or at the links that bind",
                ));
            }
        }
    }
}

/// Where both wheels stand.
fn place(p: &PairStudy) -> Phrase {
    let at = &p.clearance.at;
    let words = |travel: f64| {
        if travel < 0.0 {
            " of droop"
        } else {
            " of bump"
        }
    };
    Phrase::from(" with the left wheel at ")
        .len(at.left.abs())
        .t(words(at.left))
        .t(" and the right one at ")
        .len(at.right.abs())
        .t(words(at.right))
}

fn pair(asked: f64, p: &PairStudy, out: &mut Vec<Finding>) {
    let (severity, text) = match p.gap() {
        None => (
            Severity::Error,
            Phrase::from(format!("{}: they run through each other", p.label)),
        ),
        Some(g) if g < 0.0 => (
            Severity::Error,
            Phrase::from(format!("{}: they touch, ", p.label))
                .len(-g)
                .t(" into each other"),
        ),
        Some(g) if p.of_tyre && g < asked => (
            Severity::Warning,
            Phrase::from(format!("{}: only ", p.label)).len(g),
        ),
        Some(_) => return,
    };
    let next = if p.of_tyre {
        "Change the offset of the wheel, the travel, or the part in the way"
    } else {
        "Move one of the two, or take travel away with the bump stop"
    };
    out.push(Finding::new(
        severity,
        p.part.clone(),
        text.join(place(p)),
        next,
    ));
}

fn sizes(b: &Build, s: &ClearanceStudy, out: &mut Vec<Finding>) {
    let drawn = b.rear.housing.width.si();
    if let Ok(order) = &s.order
        && (order.housing_end_width - drawn).abs() > AGREE
    {
        out.push(Finding::new(
            Severity::Warning,
            Part::Field("rear.housing.width"),
            Phrase::from("The housing is drawn ")
                .len(drawn)
                .t(" wide, the wheels need it ")
                .len(order.housing_end_width),
            "Set the housing's width, the wheel's offset or the brake stack",
        ));
    }
    if let Ok(tyre) = &s.tyre {
        let measured = b.car.rear.tyre_diameter.si();
        if (tyre.diameter - measured).abs() > 4.0 * AGREE {
            out.push(Finding::new(
                Severity::Remark,
                Part::Field("mock_up.tyre.aspect"),
                Phrase::from("The rear tyre's marking makes it ")
                    .len(tyre.diameter)
                    .t(" tall, the car is entered with ")
                    .len(measured),
                "Measure the tyre, mounted, at its pressure",
            ));
        }
    }
}

fn rail(b: &Build, cut: f64, fit: &Fit, out: &mut Vec<Finding>) {
    let Some(worst) = fit
        .notches
        .iter()
        .flatten()
        .max_by(|a, b| a.depth.total_cmp(&b.depth))
    else {
        return;
    };
    if worst.depth > cut + 1e-6 {
        out.push(Finding::new(
            Severity::Warning,
            Part::Field("mock_up.notch"),
            Phrase::from("Over the axle tube the rail needs a notch ")
                .len(worst.depth)
                .t(" deep, ")
                .len(cut)
                .t(" is cut"),
            "Cut and plate the notch, or take bump travel away",
        ));
    }
    if let Some(rail) = parts::rail_over_axle(b, 1.0) {
        let left = rail.height - cut.max(worst.depth);
        if left < 0.5 * rail.height {
            out.push(Finding::new(
                Severity::Warning,
                Part::Field("mock_up.notch"),
                Phrase::from("The notch leaves ")
                    .len(left.max(0.0))
                    .t(" of the rail, less than half of it"),
                "Plate it as an engineer or the rule book says before the car carries weight",
            ));
        }
    }
}

fn stops(fit: &Fit, out: &mut Vec<Finding>) {
    let about = || Part::Field("mock_up.bump_stop.face");
    let stops = match &fit.stops {
        None => return,
        Some(Err(why)) => {
            out.push(Finding::new(
                Severity::Error,
                about(),
                format!("Bump stop: {why}"),
                "Draw the pad on the axle and the stop over it",
            ));
            return;
        }
        Some(Ok(stops)) => stops,
    };
    let Some((at, wrong)) = stops.wrong() else {
        return;
    };
    let (severity, text) = match wrong {
        StopFinding::MetalBeforeSolid { metal, .. } => (
            Severity::Error,
            Phrase::from("Axle tube meets rail at ")
                .len(metal)
                .t(" of bump, before the stop is solid"),
        ),
        StopFinding::ShutBeforeSolid { shut, .. } => (
            Severity::Warning,
            Phrase::from("The shock is shut at ")
                .len(shut)
                .t(" of bump, before the stop is solid"),
        ),
        StopFinding::NeverTouches => (
            Severity::Warning,
            Phrase::from("The bump stop is not met within the bump looked at"),
        ),
    };
    out.push(Finding::new(
        severity,
        about(),
        text.join(rolled(at)),
        "Lower the stop, take a shorter one, or move the pad",
    ));
}

fn rolled(at: &StopAt) -> Phrase {
    if at.roll == 0.0 {
        return Phrase::default();
    }
    Phrase::from(" with the axle rolled ").q(Kind::Angle, at.roll.abs())
}
