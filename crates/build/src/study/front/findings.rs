//! Findings of the front end.

use units::Kind;

use super::super::{Finding, Part, Phrase, Severity};
use super::{FrontGap, FrontMotion, FrontStudy, JointTilt};
use crate::{Build, FrontEnd};

/// Toe change per inch of travel past which bump steer is told, rad: about 1/32 in over a 26 in tyre
/// (common practice, no source).
const MUCH_TOE: f64 = 0.001_2;

pub(in super::super) fn findings(b: &Build, s: &FrontStudy, out: &mut Vec<Finding>) {
    let Some(f) = &b.front_end else { return };
    let m = match &s.motion {
        Ok(m) => m,
        Err(e) => {
            out.push(Finding::new(
                Severity::Error,
                Part::Field("front_end.lower.ball"),
                format!("Front end: {e}"),
                "Check the points of arms and tie rod against the tape",
            ));
            return;
        }
    };
    for g in &m.gaps {
        gap(g, out);
    }
    joints(f, m, out);
    if let Some((travel, rack, why)) = &m.unreached {
        out.push(Finding::new(
            Severity::Error,
            Part::Field("front_end.bump"),
            Phrase::from("Front end: with the wheel at ")
                .len(*travel)
                .t(" and the rack at ")
                .len(*rack)
                .t(format!(" {why}")),
            "Look at less travel, or move the points that lie in one line",
        ));
    }
    bump_steer(m, out);
    if let Ok(dive) = m.anti_dive
        && dive < -0.01
    {
        out.push(Finding::new(
            Severity::Warning,
            Part::Field("front_end.upper.front"),
            Phrase::from("The front end pulls itself down in braking: pro-dive of ")
                .q(Kind::Ratio, -dive),
            "Raise the front inner points of the upper arms, or lower their rear ones",
        ));
    }
    springs(f, m, out);
    if let Some(Err(why)) = &m.bar {
        out.push(Finding::new(
            Severity::Error,
            Part::Field("front_end.bar.link"),
            format!("Anti-roll bar: {why}"),
            "Move the bar, its arm or its link",
        ));
    }
    if let Ok(lock) = m.lock
        && lock.cause != geometry::front::LockCause::RackEnd
    {
        out.push(Finding::new(
            Severity::Warning,
            Part::Field("front_end.rack.travel"),
            Phrase::from("Steering ends at ").len(lock.rack).t(format!(
                " of rack by {}, before the rack's end",
                super::lock_words(lock.cause)
            )),
            "Fit stops that end the rack first, or make room",
        ));
    }
    if let Some(Err(why)) = &m.turns {
        out.push(Finding::new(
            Severity::Warning,
            Part::Field("front_end.adjusters"),
            format!("Alignment: {why}"),
            "Add an adjuster for the angle that none of them moves",
        ));
    }
}

/// Where wheel and rack stand.
fn place(travel: f64, rack: f64) -> Phrase {
    let wheel = if travel < 0.0 {
        " of droop"
    } else {
        " of bump"
    };
    let steer = match rack {
        r if r.abs() < 1e-9 => ", wheels straight",
        r if r > 0.0 => " of rack to the left",
        _ => " of rack to the right",
    };
    let at = Phrase::from(" at ").len(travel.abs()).t(wheel);
    if rack.abs() < 1e-9 {
        at.t(steer)
    } else {
        at.t(" and ").len(rack.abs()).t(steer)
    }
}

fn gap(g: &FrontGap, out: &mut Vec<Finding>) {
    let asked = g.asked();
    let (severity, text) = match g.gap {
        None => (
            Severity::Error,
            Phrase::from(format!("{}: they run through each other", g.label)),
        ),
        Some(d) if d < 0.0 => (
            Severity::Error,
            Phrase::from(format!("{}: they touch, ", g.label))
                .len(-d)
                .t(" into each other"),
        ),
        Some(d) if d < asked => (
            Severity::Warning,
            Phrase::from(format!("{}: only ", g.label)).len(d),
        ),
        Some(_) => return,
    };
    out.push(Finding::new(
        severity,
        g.part.clone(),
        text.join(place(g.travel, g.rack)),
        if g.of_tyre {
            "Make room, or end the rack before it"
        } else {
            "Move one of the two, or take travel or rack away"
        },
    ));
}

fn joints(f: &FrontEnd, m: &FrontMotion, out: &mut Vec<Finding>) {
    for (j, t) in f.joints.iter().zip(&m.joints) {
        let part = || Part::Field("front_end.joints");
        match &t.tilt {
            Err(why) => out.push(Finding::new(
                Severity::Error,
                part(),
                format!("{}: {why}", j.label),
                "Give the direction of its stud or bolt",
            )),
            Ok(tilt) if t.room < JointTilt::ROOM => out.push(Finding::new(
                if t.room < 0.0 {
                    Severity::Error
                } else {
                    Severity::Warning
                },
                part(),
                Phrase::from(format!("{}: tilts ", j.label))
                    .q(Kind::Angle, *tilt)
                    .t(" of ")
                    .q(Kind::Angle, j.limit.si())
                    .join(place(t.travel, t.rack)),
                "Turn its mount to the middle of the swing, or use a joint with more",
            )),
            Ok(_) => {}
        }
    }
}

fn bump_steer(m: &FrontMotion, out: &mut Vec<Finding>) {
    let per_inch = m.bump.slope * 0.0254;
    if per_inch.abs() <= MUCH_TOE {
        return;
    }
    let next = match &m.rack_fix {
        Ok(fix) => Phrase::from("Set the inner tie-rod ends ")
            .fine(fix.shift.abs())
            .t(if fix.shift > 0.0 { " up" } else { " down" }),
        Err(e) => Phrase::from(format!("No rack height mends it: {e}")),
    };
    out.push(Finding::new(
        Severity::Warning,
        Part::Field("front_end.tie_rod.inner"),
        Phrase::from("Bump steer: each wheel toes ")
            .t(if per_inch > 0.0 { "in " } else { "out " })
            .q(Kind::Angle, per_inch.abs())
            .t(" per inch of bump"),
        next,
    ));
}

fn springs(f: &FrontEnd, m: &FrontMotion, out: &mut Vec<Finding>) {
    let Some(c) = &f.coil_over else { return };
    let part = || Part::Field("front_end.coil_over.rate");
    let coil = match &m.coil {
        None => return,
        Some(Err(why)) => {
            out.push(Finding::new(
                Severity::Error,
                part(),
                format!("Front coil-over: {why}"),
                "Check its eyes and its rate",
            ));
            return;
        }
        Some(Ok(c)) => c,
    };
    let wrong = |severity, text, next: &str| Finding::new(severity, part(), text, next);
    let length = coil.ride.state.length;
    let (short, long) = (c.compressed.si(), c.extended.si());
    if length <= short || length >= long {
        out.push(wrong(
            Severity::Error,
            Phrase::from("Front coil-over: ")
                .len(length)
                .t(" eye to eye at ride height, outside its stroke"),
            "Move its eyes, or choose a shock of another length",
        ));
    } else {
        let ends = [coil.travel.first(), coil.travel.last()];
        if let Some(at) = ends.into_iter().flatten().find(|a| a.state.length < short) {
            out.push(wrong(
                Severity::Warning,
                Phrase::from("Front coil-over: shut before ")
                    .len(at.z)
                    .t(" of bump"),
                "Fit a bump stop that is solid before it, or choose a shorter shock",
            ));
        }
    }
    if coil.ride.rate.spring_force <= 0.0 {
        out.push(wrong(
            Severity::Error,
            Phrase::from("Front coil-over: its spring is loose at ride height"),
            "Wind the seat up, or leave its free length out",
        ));
    } else if (coil.ride.rate.spring_force - coil.holds).abs() > 0.02 * coil.holds {
        out.push(wrong(
            Severity::Warning,
            Phrase::from("Front coil-over: the spring pushes ")
                .q(Kind::Force, coil.ride.rate.spring_force)
                .t(", the car needs ")
                .q(Kind::Force, coil.holds)
                .t(" to stand as drawn"),
            "Set the spring seat, or draw the height it stands at",
        ));
    }
    if coil
        .travel
        .iter()
        .any(|a| a.rate.spring_force > 0.0 && a.rate.wheel_rate <= 0.0)
    {
        out.push(wrong(
            Severity::Error,
            Phrase::from("Front coil-over: the wheel rate falls below zero over the travel"),
            "Stand the coil-over more upright",
        ));
    }
}
