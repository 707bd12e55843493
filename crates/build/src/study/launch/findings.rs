//! Remarks about the car under power.

use units::Kind;
use vehicle::launch::LaunchError;

use super::{Case, CoilRide, LaunchStudy, links};
use crate::study::{Finding, Part, Phrase, RearStudy, Severity};
use crate::{Build, Coilover, LinkRole};

/// Joint angles, rad: most at ride height, most over travel, most difference between the two, least that keeps a
/// needle bearing turning (common practice, no source).
const RIDE_ANGLE: f64 = 3.0 * DEG;
const TRAVEL_ANGLE: f64 = 8.0 * DEG;
const DIFFERENCE: f64 = 1.0 * DEG;
const LEAST_ANGLE: f64 = 0.5 * DEG;
const DEG: f64 = std::f64::consts::PI / 180.0;
/// Two brackets this near each other stand in one place, m.
const SAME_PLACE: f64 = 1e-3;

pub(in crate::study) fn findings(
    b: &Build,
    rear: &RearStudy,
    study: &LaunchStudy,
    out: &mut Vec<Finding>,
) {
    places(b, out);
    bars(b, rear, out);
    if b.power.coilovers.is_empty() {
        out.push(Finding::new(
            Severity::Remark,
            Part::Phase("rear_links".to_owned()),
            "No coil-overs are drawn, so there are no tyre loads and link forces yet",
            "In Rear links, under power, add the coil-overs and the car's rates",
        ));
    } else {
        rates(b, out);
        for c in &study.coilovers {
            let x = &b.power.coilovers[c.coilover];
            // Both of a pair stand alike unless the links do not: the left one speaks for both.
            if c.side != crate::Side::Right {
                coilover(b, x, c.length, &c.ride, out);
            }
        }
        if rear.motion.is_ok() {
            balance(b, study, out);
            strength(b, rear, study, out);
        }
    }
    shaft(b, study, out);
}

fn places(b: &Build, out: &mut Vec<Finding>) {
    for (i, a) in b.rear.brackets.iter().enumerate() {
        let (p, on) = (a.at.si(), a.on);
        let other = b.rear.brackets[..i].iter().find(|o| {
            let q = o.at.si();
            let apart = [0, 1, 2].map(|k| (p[k] - q[k]).powi(2)).iter().sum::<f64>();
            o.on == on && apart.sqrt() < SAME_PLACE
        });
        if let Some(other) = other {
            out.push(Finding::new(
                Severity::Error,
                Part::Bracket(a.id.clone()),
                format!("{} stands in the same place as {}", a.label, other.label),
                "Move one of them, or bolt both links to one bracket",
            ));
        }
    }
}

/// Links without length, and bars that run inside the axle tube.
fn bars(b: &Build, rear: &RearStudy, out: &mut Vec<Finding>) {
    let (height, tube) = (
        b.car.rear.loaded_radius.si(),
        0.5 * b.rear.housing.tube_diameter.si(),
    );
    for r in &rear.rods {
        let link = &b.rear.links[r.link];
        if r.side == crate::Side::Right {
            continue;
        }
        let part = || Part::Link(link.id.clone());
        if r.drawn < SAME_PLACE {
            out.push(Finding::new(
                Severity::Error,
                part(),
                format!("{}: both ends are in one place", link.label),
                "Move one of its brackets",
            ));
        } else if [r.frame, r.axle]
            .iter()
            .all(|p| p[0].hypot(p[2] - height) < tube)
        {
            out.push(Finding::new(
                Severity::Error,
                part(),
                format!("{} lies along the axle, inside its tube", link.label),
                if link.role == LinkRole::Lateral {
                    "Move both ends ahead of or behind the axle"
                } else {
                    "Move its frame end ahead of the axle"
                },
            ));
        }
    }
}

fn rates(b: &Build, out: &mut Vec<Finding>) {
    let power = &b.power;
    for (si, field, what) in [
        (
            power.front_wheel_rate.si(),
            "power.front_wheel_rate",
            "front wheel rate",
        ),
        (
            power.rear_tyre_rate.si(),
            "power.rear_tyre_rate",
            "rear tyre rate",
        ),
    ] {
        if si <= 0.0 {
            out.push(Finding::new(
                Severity::Error,
                Part::Field(field),
                Phrase::from(format!("The {what} is "))
                    .q(Kind::SpringRate, si)
                    .t(": nothing stands on that"),
                "Enter a rate above zero",
            ));
        }
    }
    let unsprung = power.rear_unsprung.si() / (b.car.mass.si() * b.car.rear_share.si());
    if unsprung >= 1.0 {
        out.push(Finding::new(
            Severity::Error,
            Part::Field("power.rear_unsprung"),
            "The rear unsprung weight is all that the rear tyres carry",
            "Weigh the axle with wheels and brakes alone",
        ));
    }
}

fn coilover(
    b: &Build,
    x: &Coilover,
    length: f64,
    ride: &Result<CoilRide, String>,
    out: &mut Vec<Finding>,
) {
    let part = || Part::Coilover(x.id.clone());
    let mut say = |severity, text: Phrase, next: &str| {
        out.push(Finding::new(severity, part(), text, next));
    };
    let begin = || Phrase::from(format!("{}: ", x.label));
    if x.rate.si() <= 0.0 {
        say(
            Severity::Error,
            begin()
                .t("its rate is ")
                .q(Kind::SpringRate, x.rate.si())
                .t(": nothing stands on that"),
            "Enter the rate stamped on the spring",
        );
        return;
    }
    if x.compressed.si() >= x.extended.si() {
        say(
            Severity::Error,
            begin().t("the shock is no shorter pushed in than pulled out"),
            "Measure eye to eye, pulled out and pushed in to the stop",
        );
        return;
    }
    if x.spring_block.si() >= x.spring_free.si() {
        say(
            Severity::Error,
            begin().t("the spring is no shorter squeezed solid than free"),
            "Measure its free length, and its solid length: wire times turns",
        );
        return;
    }
    if length < x.compressed.si() {
        say(
            Severity::Error,
            begin()
                .len(x.compressed.si() - length)
                .t(" past solid at ride height: the shock is shut"),
            "Move its eyes apart, or choose a shorter shock",
        );
    } else if length > x.extended.si() {
        say(
            Severity::Error,
            begin()
                .len(length - x.extended.si())
                .t(" longer at ride height than the shock pulled out"),
            "Move its eyes together, or choose a longer shock",
        );
    }
    let ride = match ride {
        Ok(ride) => ride,
        Err(why) => {
            say(
                Severity::Error,
                begin().t(why.clone()),
                "Check its eyes, the axle weight and the rear share",
            );
            return;
        }
    };
    if ride.force <= 0.0 {
        say(
            Severity::Error,
            begin().t("the spring is loose at ride height as set"),
            "Turn the seat up, or leave the preload to the ride height",
        );
    }
    if let Some(seat) = &ride.seat {
        if seat.spring_length < x.spring_block.si() {
            say(
                Severity::Error,
                begin()
                    .t("the spring is ")
                    .len(x.spring_block.si() - seat.spring_length)
                    .t(" past solid at ride height"),
                "Choose a stiffer or a longer spring",
            );
        } else if seat.preload < -SAME_PLACE {
            say(
                Severity::Remark,
                begin()
                    .t("the spring is loose by ")
                    .len(-seat.preload)
                    .t(" with the shock pulled out"),
                "Use a helper spring or a keeper, or a longer spring",
            );
        }
        if seat.coils_end_it && seat.bump_left > 0.0 {
            say(
                Severity::Warning,
                begin().t("the coils touch before the shock is shut"),
                "Choose a spring with fewer turns, or stop the axle before",
            );
        }
    }
    if let Some(budget) = &ride.budget {
        for (way, word) in [(budget.bump, "bump"), (budget.droop, "droop")] {
            if let Some(left) = way
                && left < b.rear.travel.si()
                && length > x.compressed.si()
                && length < x.extended.si()
            {
                say(
                    Severity::Warning,
                    begin()
                        .t(format!("it ends the {word} after "))
                        .len(left)
                        .t(" of the ")
                        .len(b.rear.travel.si())
                        .t(" looked at"),
                    "Choose a shock with more stroke, move an eye, or set a bump stop there",
                );
            }
        }
    }
    if ride.tilt > x.eye_tilt.si() {
        say(
            Severity::Error,
            begin()
                .t("its eyes tilt ")
                .q(Kind::Angle, ride.tilt)
                .t(" over the travel and bind at ")
                .q(Kind::Angle, x.eye_tilt.si()),
            "Turn the mounts, or use eyes with more tilt",
        );
    }
}

fn balance(b: &Build, study: &LaunchStudy, out: &mut Vec<Finding>) {
    let page = || Part::Phase("rear_links".to_owned());
    let reactions = match &study.reactions {
        Ok(r) => r,
        Err(why) => {
            // A coil-over or a rate that is wrong has spoken for itself.
            if study.coilovers.iter().all(|c| c.ride.is_ok()) {
                out.push(Finding::new(
                    Severity::Error,
                    page(),
                    format!("The reactions do not solve: {why}"),
                    "Check links, coil-overs, weights and rates",
                ));
            }
            return;
        }
    };
    for (case, what) in [(Case::Drive, "Under power"), (Case::Braking, "Braking")] {
        if let Err(why) = reactions.balance(case) {
            out.push(Finding::new(
                Severity::Warning,
                page(),
                format!("{what}: {why}"),
                if case == Case::Drive {
                    "Look at a smaller acceleration, or bring the centre of gravity down"
                } else {
                    "Look at a smaller deceleration"
                },
            ));
        }
    }
    if let Ok(drive) = &reactions.drive
        && drive.front_wheel_lifted.iter().any(|l| *l)
    {
        out.push(Finding::new(
            Severity::Warning,
            page(),
            Phrase::from("At ")
                .q(Kind::Acceleration, drive.acceleration)
                .t(" one front tyre is off the ground"),
            "Even out the rear loads by preload, or limit the front's rise",
        ));
    }
    if let (Ok(traction), Err(LaunchError::NoBalance { .. })) =
        (&reactions.traction, &reactions.drive)
        && b.power.acceleration.si() > traction.acceleration
    {
        out.push(Finding::new(
            Severity::Remark,
            Part::Field("power.acceleration"),
            Phrase::from("The tyres slip at ")
                .q(Kind::Acceleration, traction.acceleration)
                .t(" already"),
            "Look at that acceleration or less",
        ));
    }
    if let Ok(rest) = reactions.balance(Case::Rest) {
        let over = geometry::Point3::new(0.0, 0.0, b.car.rear.loaded_radius.si());
        let height = rest.sprung_point(&over).z - over.z;
        /// Off the drawn height by this much and the angles drawn are not those on the floor, m (own value).
        const OFF: f64 = 0.006;
        if height.abs() > OFF {
            out.push(Finding::new(
                Severity::Warning,
                page(),
                Phrase::from("As its seats are set the rear stands ")
                    .len(height.abs())
                    .t(if height > 0.0 { " high" } else { " low" }),
                "Set the seats to hold the drawn height, or draw the car where it stands",
            ));
        }
    }
}

fn strength(b: &Build, rear: &RearStudy, study: &LaunchStudy, out: &mut Vec<Finding>) {
    let target = b.power.safety_target.si();
    for (index, link) in b.rear.links.iter().enumerate() {
        let part = || Part::Link(link.id.clone());
        let of_link: Vec<_> = rear
            .rods
            .iter()
            .zip(&study.links)
            .filter(|(r, _)| r.link == index)
            .map(|(_, s)| s)
            .collect();
        if link.stock.is_none() {
            out.push(Finding::new(
                Severity::Remark,
                part(),
                format!(
                    "{}: no tube, rod end or bolt is entered, so its strength is not judged",
                    link.label
                ),
                "Enter them in its form; a usual tube is taken for how it stretches",
            ));
            continue;
        }
        let mut worst: Option<(f64, String, f64)> = None;
        for s in of_link {
            match s {
                Ok(s) => {
                    if let Some(g) = s.verdict.governing
                        && g.factor < target
                        && worst.as_ref().is_none_or(|w| g.factor < w.0)
                    {
                        let case = s.cases.get(g.case);
                        let force = case.map_or(0.0, |c| c.force);
                        let name = case.map_or("", |c| c.name.as_str());
                        worst = Some((g.factor, format!("{}, {name}", links::mode(g.mode)), force));
                    }
                }
                Err(why) if study.reactions.is_ok() => {
                    out.push(Finding::new(
                        Severity::Warning,
                        part(),
                        format!("{}: {why}", link.label),
                        "Correct what is entered for it",
                    ));
                    break;
                }
                Err(_) => {}
            }
        }
        if let Some((factor, what, force)) = worst {
            out.push(Finding::new(
                if factor < 1.0 {
                    Severity::Error
                } else {
                    Severity::Warning
                },
                part(),
                Phrase::from(format!("{}: safety factor ", link.label))
                    .q(Kind::Count, (factor * 100.0).round() / 100.0)
                    .t(format!(" under the {target} asked ({what}, "))
                    .q(Kind::Force, force.abs())
                    .t(")"),
                "Use a heavier tube, rod end or bolt, or move the mounts so that it carries less",
            ));
        }
    }
}

fn shaft(b: &Build, study: &LaunchStudy, out: &mut Vec<Finding>) {
    let (Some(d), Some(shaft)) = (&b.power.driveshaft, &study.shaft) else {
        return;
    };
    let mut say = |severity, text: Phrase, next: &str| {
        out.push(Finding::new(severity, Part::Driveshaft, text, next));
    };
    let shaft = match shaft {
        Ok(s) => s,
        Err(why) => {
            if study.reactions.is_ok() || why.contains("shaft") || why.contains("axis") {
                say(
                    Severity::Error,
                    Phrase::from(format!("Driveshaft: {why}")),
                    "Check both joints and where it slips",
                );
            }
            return;
        }
    };
    let ride = &shaft.ride;
    for (angle, which) in [(ride.front_angle, "front"), (ride.rear_angle, "rear")] {
        if angle > RIDE_ANGLE {
            say(
                Severity::Warning,
                Phrase::from(format!("The {which} joint works at "))
                    .q(Kind::Angle, angle)
                    .t(" at ride height, more than 3°"),
                "Bring shaft, output and pinion closer to one line",
            );
        } else if angle < LEAST_ANGLE {
            say(
                Severity::Remark,
                Phrase::from(format!("The {which} joint stands straight, within "))
                    .q(Kind::Angle, LEAST_ANGLE)
                    .t(": its needles do not roll"),
                "Offset output and pinion by about a degree to the shaft",
            );
        }
    }
    if ride.difference.abs() > DIFFERENCE {
        say(
            Severity::Warning,
            Phrase::from("The two joints' angles differ by ")
                .q(Kind::Angle, ride.difference.abs())
                .t(" at ride height, more than 1°: the pinion does not turn evenly"),
            "Turn the pinion until both angles are alike",
        );
    }
    let worst = shaft.worst_angle();
    if worst > TRAVEL_ANGLE {
        say(
            Severity::Warning,
            Phrase::from("A driveshaft joint works at up to ")
                .q(Kind::Angle, worst)
                .t(" over the travel, more than 8°"),
            "Make the links closer to parallel, or the travel less",
        );
    }
    let (low, high) = shaft.plunge();
    let most = high.max(-low);
    if most > d.slip_travel.si() {
        say(
            Severity::Error,
            Phrase::from("The driveshaft slips ")
                .len(most)
                .t(" over the travel and has ")
                .len(d.slip_travel.si()),
            "Use a longer slip, or move the front joint",
        );
    }
}
