//! Findings about the driveline.

use units::Kind;
use vehicle::driveline::gearing::RPM;
use vehicle::driveline::over_travel::BOTTOMING_ROOM;
use vehicle::driveline::shaft::CRITICAL_SHARE;

use super::{
    DrivelineStudy, Finding, JointFinding, Part, Phrase, Severity, ShaftFinding, ShaftTravel,
};
use crate::{Build, Driveline};

/// Least safety on yield of a shaft whose torque has its shock in it (own value).
const YIELDS: f64 = 1.25;

pub(in crate::study) fn findings(b: &Build, s: &DrivelineStudy, out: &mut Vec<Finding>) {
    let Some(d) = &b.driveline else { return };
    match &s.shaft {
        Ok(shaft) => over_travel(shaft, out),
        Err(_) if b.power.driveshaft.is_none() => out.push(Finding::new(
            Severity::Remark,
            Part::Driveshaft,
            "The driveline is described and no driveshaft is drawn: angles, slip and critical speed are not judged",
            "Draw the driveshaft's two joints",
        )),
        Err(why) => out.push(Finding::new(
            Severity::Error,
            Part::Driveshaft,
            Phrase::from("The shaft can not be followed over the travel: ").join(why.clone()),
            "Check both joints, their angles and the rear links",
        )),
    }
    if d.hoop.is_none() && b.power.driveshaft.is_some() {
        out.push(Finding::new(
            Severity::Warning,
            Part::Field("driveline.hoop"),
            "No safety loop is entered: a shaft that lets go at speed comes through the floor",
            "Fit one close behind the front joint; the current rule book says where and how strong",
        ));
    }
    critical(s, out);
    strength(s, out);
    gearing(b, d, s, out);
}

fn at(text: Phrase, travel: Option<f64>) -> Phrase {
    match travel {
        None => text.t(" in the launch"),
        Some(z) if z.abs() < 5e-4 => text.t(" at ride height"),
        Some(z) => text
            .t(" at ")
            .len(z.abs())
            .t(if z > 0.0 { " bump" } else { " droop" }),
    }
}

fn over_travel(s: &ShaftTravel, out: &mut Vec<Finding>) {
    for f in &s.joints {
        let (severity, part, text, next): (_, _, Phrase, Phrase) = match *f {
            JointFinding::Torsional { value, limit } => (
                Severity::Warning,
                Part::Field("driveline.phase"),
                Phrase::from(format!(
                    "At the highest shaft speed the pinion is shaken with {value:.0} rad/s², more than {limit:.0} (chart based on SAE AE-7, from memory)"
                )),
                "Make the two working angles alike and the yokes in phase".into(),
            ),
            JointFinding::Shaft { value, limit } => (
                Severity::Warning,
                Part::Driveshaft,
                Phrase::from(format!(
                    "At the highest shaft speed the shaft itself is shaken with {value:.0} rad/s², more than {limit:.0} (driveline literature, from memory)"
                )),
                "Make the joint angles smaller".into(),
            ),
            JointFinding::OutOfPhase { turn, .. } => {
                let way = if s.turn.steps > 0 {
                    "clockwise"
                } else {
                    "against the clock"
                };
                let next = match s.turn.steps.abs() {
                    0 => Phrase::from("The spline's teeth are too coarse to mend it: have the tube end turned"),
                    n => Phrase::from(format!(
                        "Turn the rear yoke against the front one by {n} {} of the slip, {way} looking rearward",
                        if n == 1 { "tooth" } else { "teeth" }
                    ))
                    .t("; ")
                    .q(Kind::Angle, s.turn.left.abs())
                    .t(" stays"),
                };
                (
                    Severity::Warning,
                    Part::Field("driveline.phase"),
                    Phrase::from("The shaft's yokes are ")
                        .q(Kind::Angle, turn.abs())
                        .t(" out of phase with the planes the joints bend in"),
                    next,
                )
            }
            JointFinding::PlanesApart { plane_angle, .. } => (
                Severity::Warning,
                Part::Field("driveline.pinion_left"),
                Phrase::from("The two joints bend in planes ")
                    .q(Kind::Angle, folded(plane_angle))
                    .t(" apart although their side views match: the plan view counts too"),
                "Run output and pinion parallel in plan, or turn the rear yoke to suit".into(),
            ),
            // The launch study says these of the same angles.
            JointFinding::NeedlesStill { .. }
            | JointFinding::Steep { .. }
            | JointFinding::Unequal { .. } => continue,
        };
        out.push(Finding::new(severity, part, text, next));
    }
    for (travel, f) in &s.found {
        let (severity, part, text, next) = match *f {
            ShaftFinding::ShortEngagement { engagement, least } => (
                if engagement <= 0.0 {
                    Severity::Error
                } else {
                    Severity::Warning
                },
                Part::Field("driveline.slip.engagement"),
                if engagement <= 0.0 {
                    at(
                        Phrase::from("The slip yoke comes out of its spline"),
                        *travel,
                    )
                } else {
                    at(
                        Phrase::from("Only ")
                            .len(engagement)
                            .t(" of the spline stays in"),
                        *travel,
                    )
                    .t(", less than its diameter of ")
                    .len(least)
                    .t(" (common practice, no source)")
                },
                "A longer yoke or a longer shaft",
            ),
            ShaftFinding::Bottoming { room } => (
                if room <= 0.0 {
                    Severity::Error
                } else {
                    Severity::Warning
                },
                Part::Field("driveline.slip.room"),
                if room <= 0.0 {
                    at(
                        Phrase::from("The slip yoke has no room: it bottoms, past its end by ")
                            .fine(-room),
                        *travel,
                    )
                } else {
                    at(
                        Phrase::from("Only ")
                            .len(room)
                            .t(" until the slip yoke bottoms"),
                        *travel,
                    )
                    .t("; ")
                    .len(BOTTOMING_ROOM)
                    .t(" is asked (common practice, no source)")
                },
                "A shorter shaft: a yoke that bottoms breaks the gearbox",
            ),
            ShaftFinding::TouchesLoop { gap } => (
                Severity::Error,
                Part::Field("driveline.hoop.at"),
                at(
                    Phrase::from("The shaft's tube stands ")
                        .len(-gap)
                        .t(" into its loop"),
                    *travel,
                ),
                "Move the loop, or make it larger",
            ),
            ShaftFinding::LoopTooFar { distance, within } => (
                Severity::Warning,
                Part::Field("driveline.hoop.at"),
                at(
                    Phrase::from("The loop stands ")
                        .len(distance)
                        .t(" behind the front joint"),
                    *travel,
                )
                .t(", more than the ")
                .len(within)
                .t(" entered"),
                "Move it forward; the current rule book decides",
            ),
            ShaftFinding::MissesLoop => (
                Severity::Error,
                Part::Field("driveline.hoop.at"),
                at(
                    Phrase::from("The shaft does not pass through its loop"),
                    *travel,
                ),
                "Put the loop between the two joints",
            ),
        };
        out.push(Finding::new(severity, part, text, next));
    }
}

/// A plane angle from the nearest of 0 and 180°, rad.
fn folded(angle: f64) -> f64 {
    let pi = std::f64::consts::PI;
    (angle - pi * (angle / pi).round()).abs()
}

fn critical(s: &DrivelineStudy, out: &mut Vec<Finding>) {
    match (&s.critical, &s.top) {
        (Ok(c), Ok(top)) if c.speed.used > CRITICAL_SHARE => {
            let over = c.speed.used > 1.0;
            out.push(Finding::new(
                if over {
                    Severity::Error
                } else {
                    Severity::Warning
                },
                Part::Field("driveline.tube.outside"),
                Phrase::from("At ")
                    .q(Kind::Speed, top.road)
                    .t(" the shaft turns ")
                    .q(Kind::RotationSpeed, top.shaft)
                    .t(", ")
                    .q(Kind::Ratio, c.speed.used)
                    .t(" of its critical speed")
                    .t(if over {
                        ": it whips and breaks"
                    } else {
                        "; 70 % is the usual limit"
                    }),
                Phrase::from("A larger tube, two shafts with a middle bearing, or at most ")
                    .len(c.longest)
                    .t(" joint to joint"),
            ));
        }
        (Err(why), Ok(_)) if s.shaft.is_ok() => out.push(Finding::new(
            Severity::Error,
            Part::Field("driveline.tube.wall"),
            Phrase::from("The critical speed can not be worked out: ").join(why.clone()),
            "Correct the shaft's tube",
        )),
        (_, Err(why)) => out.push(Finding::new(
            Severity::Warning,
            Part::Field("driveline.top_speed"),
            Phrase::from("The shaft's highest speed is not known: ").join(why.clone()),
            "Enter the top speed, or the gears of the run",
        )),
        _ => {}
    }
}

fn strength(s: &DrivelineStudy, out: &mut Vec<Finding>) {
    let x = match &s.strength {
        Ok(x) => x,
        Err(why) => {
            out.push(Finding::new(
                Severity::Remark,
                Part::Field("run.torque"),
                Phrase::from("The driveline's strength is not judged: ").join(why.clone()),
                "Enter torque curve and gears of the run",
            ));
            return;
        }
    };
    let mut low = |safety: Option<f64>, at: &'static str, what: &str, next: &'static str| {
        let Some(f) = safety.filter(|f| *f < YIELDS) else {
            return;
        };
        out.push(Finding::new(
            if f < 1.0 {
                Severity::Error
            } else {
                Severity::Warning
            },
            Part::Field(at),
            Phrase::from(format!("{what} has a safety factor of "))
                .q(Kind::Count, (f * 100.0).round() / 100.0)
                .t(format!(
                    " on shear yield, shock included; {YIELDS} is asked (own value)"
                )),
            next,
        ));
    };
    low(
        x.tube.and_then(|t| t.safety),
        "driveline.tube.wall",
        "The driveshaft's tube",
        "A larger or thicker tube, or a stronger one",
    );
    if let Some(a) = &x.axle {
        low(
            a.safety,
            "driveline.axle_shaft.diameter",
            "The axle shaft",
            "A thicker or stronger shaft",
        );
        low(
            a.spline_safety,
            "driveline.axle_shaft.spline",
            "The axle shaft's spline",
            "More engagement, more diameter, or a stronger shaft",
        );
    }
}

fn gearing(b: &Build, d: &Driveline, s: &DrivelineStudy, out: &mut Vec<Finding>) {
    let g = match &s.gearing {
        Ok(g) => g,
        Err(why) => {
            out.push(Finding::new(
                Severity::Remark,
                Part::Field("run.gears"),
                Phrase::from("The gearing chart can not be drawn: ").join(why.clone()),
                "Enter the gears of the run, first to last",
            ));
            return;
        }
    };
    let Some(trap) = &g.trap else { return };
    if trap.engine > d.redline.si() * (1.0 + 1e-9) {
        out.push(Finding::new(
            Severity::Warning,
            Part::Field("power.final_drive"),
            Phrase::from(format!(
                "At the trap the engine turns {:.0} rpm, past its redline of {:.0} rpm",
                trap.engine / RPM,
                d.redline.si() / RPM
            )),
            Phrase::from(format!(
                "A final drive of about {:.2}",
                g.chart.final_drive_for_goal
            )),
        ));
    } else if let Some(best) = g.choices.first()
        && (best.final_drive - b.power.final_drive.si()).abs() > 0.005
        && {
            let now = (trap.engine / g.wanted).ln().abs();
            best.miss + 0.03 < now
        }
    {
        out.push(Finding::new(
            Severity::Remark,
            Part::Field("power.final_drive"),
            Phrase::from(format!(
                "At the trap the engine turns {:.0} rpm; {:.0} rpm is wanted",
                trap.engine / RPM,
                g.wanted / RPM
            )),
            Phrase::from(format!(
                "Of the final drives that can be had {:.2} comes nearest: {:.0} rpm",
                best.final_drive,
                best.at_trap / RPM
            )),
        ));
    }
}
