//! Findings about the brakes.

use units::Kind;
use vehicle::STANDARD_GRAVITY;
use vehicle::brakes::pedal_return;

use super::{
    BrakeStudy, Finding, LineStudy, Part, Phrase, ResidualFinding, Severity, StopStudy, TravelStudy,
};
use crate::{Brakes, Build};

/// Brake shares that differ by more than this are two different cars (own value).
const SHARE_OFF: f64 = 0.02;
/// Least braking a car should reach at the foot force without assist, as a share of g: 0.25 (2.44 m/s², UN ECE R13-H,
/// from memory).
const UNASSISTED: f64 = 0.249;

struct Out<'a>(&'a mut Vec<Finding>);

impl Out<'_> {
    fn say(
        &mut self,
        severity: Severity,
        at: &'static str,
        text: impl Into<Phrase>,
        next: impl Into<Phrase>,
    ) {
        self.0
            .push(Finding::new(severity, Part::Field(at), text, next));
    }

    fn error(&mut self, at: &'static str, text: impl Into<Phrase>, next: impl Into<Phrase>) {
        self.say(Severity::Error, at, text, next);
    }

    fn warn(&mut self, at: &'static str, text: impl Into<Phrase>, next: impl Into<Phrase>) {
        self.say(Severity::Warning, at, text, next);
    }

    fn remark(&mut self, at: &'static str, text: impl Into<Phrase>, next: impl Into<Phrase>) {
        self.say(Severity::Remark, at, text, next);
    }
}

pub(in crate::study) fn findings(b: &Build, s: &BrakeStudy, out: &mut Vec<Finding>) {
    let Some(brakes) = &b.brakes else { return };
    let mut out = Out(out);
    for (line, at, which) in [
        (&s.lines[0], "brakes.front.valves", "front"),
        (&s.lines[1], "brakes.rear.valves", "rear"),
    ] {
        valves(&mut out, line, at, which);
    }
    match &s.balance {
        Ok(_) => balance(b, brakes, s, &mut out),
        Err(why) => out.error(
            "brakes.pedal",
            Phrase::from("The brakes can not be worked out: ").join(why.clone()),
            "Correct it in the brakes' form",
        ),
    }
    match &s.travel {
        Ok(x) => travel(x, &mut out),
        Err(why) if s.balance.is_ok() => out.error(
            "brakes.masters",
            Phrase::from("The pedal's travel can not be worked out: ").join(why.clone()),
            "Correct masters, hoses or fluid",
        ),
        Err(_) => {}
    }
    back(s, &mut out);
    parking(brakes, s, &mut out);
    match &s.stop {
        Ok(x) => stop(x, s, brakes, &mut out),
        Err(why) => out.error(
            "brakes.stop.from",
            Phrase::from("The stop can not be worked out: ").join(why.clone()),
            "Enter the speed it starts from and its deceleration",
        ),
    }
}

fn valves(out: &mut Out<'_>, line: &LineStudy, at: &'static str, which: &str) {
    let v = match &line.verdict {
        Ok(v) => v,
        Err(why) => {
            return out.error(
                at,
                Phrase::from(format!(
                    "The {which} line's residual valves can not be judged: "
                ))
                .join(why.clone()),
                "Enter what each valve is stamped, or take it out",
            );
        }
    };
    let psi = |p: Phrase, pa: f64| p.small(Kind::Pressure, pa);
    for f in &v.findings {
        match f {
            ResidualFinding::Missing => out.error(
                at,
                psi(
                    Phrase::from(format!("The {which} line has no residual pressure valve and needs one of ")),
                    v.needed,
                ),
                if v.head > 0.0 {
                    "Fit one in the line near the master, arrow toward the wheels: the fluid drains back to a reservoir that \
                     stands lower than the wheels"
                } else {
                    "Fit one, or cylinders whose cups have expanders: without either the cups let air in"
                },
            ),
            ResidualFinding::NotNeeded => out.warn(
                at,
                Phrase::from(format!(
                    "The {which} line has a residual pressure valve and needs none: nothing there drains back"
                )),
                "Take it out, or see that nothing drags",
            ),
            ResidualFinding::MoreThanOne => out.error(
                at,
                psi(
                    Phrase::from(format!(
                        "The {which} line has {} residual pressure valves one behind the other; together they hold ",
                        v.count
                    )),
                    v.held,
                ),
                "Leave one only: look into the master's outlet and the combination valve too; doubled, the brakes drag and lock",
            ),
            ResidualFinding::WrongRating => out.error(
                at,
                psi(
                    psi(
                        Phrase::from(format!("The {which} line's residual valve holds ")),
                        v.held,
                    )
                    .t(", it takes one of "),
                    v.needed,
                ),
                "About 2 psi for discs, 10 psi for drums: a drum valve on a disc drags, a disc valve on a drum lets air in",
            ),
            ResidualFinding::DoesNotHold => out.error(
                at,
                psi(
                    psi(
                        Phrase::from(format!("The {which} line's valve holds ")),
                        v.held,
                    )
                    .t(", the fluid up to the wheels presses back with "),
                    v.head,
                ),
                "Raise the reservoir: the column is too high for the valve",
            ),
        }
    }
    if let Ok(d) = &line.drag
        && d.torque_per_wheel > 0.0
    {
        out.warn(
            at,
            Phrase::from(format!("Each {which} brake drags with "))
                .small(Kind::Torque, d.torque_per_wheel)
                .t(" at rest, ")
                .small(Kind::Power, d.power_per_wheel)
                .t(" at the speed of the stop looked at"),
            "Use one valve of the right rating; a brake that drags heats up and can lock",
        );
    }
}

fn rate(p: Phrase, z: f64) -> Phrase {
    p.q(Kind::Acceleration, z * STANDARD_GRAVITY)
}

fn balance(b: &Build, brakes: &Brakes, s: &BrakeStudy, out: &mut Out<'_>) {
    let Ok(x) = &s.balance else { return };
    if let Some(z) = x.rear_first {
        out.warn(
            "brakes.rear.brake",
            rate(
                Phrase::from(if z > 0.02 {
                    "The rear wheels lock first from "
                } else {
                    "The rear wheels lock first already from "
                }),
                z,
            )
            .t(format!(" on, below what tyres of friction {:.2} hold: the car spins", x.friction)),
            "Less brake at the rear: smaller cylinders, a larger rear master, the bar toward the front, or a proportioning valve",
        );
    }
    match &x.first_lock {
        None => out.warn(
            "brakes.pedal.force",
            Phrase::from("No wheel locks up to ")
                .q(Kind::Force, x.greatest)
                .t(format!(
                    " at the pad on tyres of friction {:.2}",
                    x.friction
                )),
            "A smaller master bore, a longer pedal ratio or a booster",
        ),
        Some(l) if l.efficiency < 0.75 => out.remark(
            "brakes.front.brake",
            Phrase::from("At first lock only ")
                .q(Kind::Ratio, l.efficiency)
                .t(" of what the tyres hold is used"),
            "Bring the balance nearer to the ideal curve",
        ),
        Some(_) => {}
    }
    if let Some(share) = x.at_foot.front_share {
        let (made, set) = (1.0 - share, b.car.rear_brake_share.si());
        if (made - set).abs() > SHARE_OFF {
            out.warn(
                "car.rear_brake_share",
                Phrase::from("The car's rear brake share is set to ")
                    .q(Kind::Ratio, set)
                    .t("; the brakes laid out make ")
                    .q(Kind::Ratio, made)
                    .t(" at the foot force looked at"),
                Phrase::from("Set the rear brake share to ")
                    .q(Kind::Ratio, made)
                    .t(": anti-lift and the braking balance follow from it"),
            );
        }
    } else {
        out.error(
            "brakes.pedal.force",
            "The foot force looked at does not brake at all: it does not get past the return spring and the seals",
            "Look at a greater force, or enter springs and thresholds anew",
        );
    }
    if let Some(row) = &x.unassisted
        && row.demand_z < UNASSISTED
    {
        out.warn(
            "brakes.booster",
            rate(Phrase::from("Without vacuum the foot force looked at brakes with "), row.demand_z)
                .t(" only"),
            "A longer pedal ratio or a smaller master bore, so that the car stops with the engine off too",
        );
    }
    if brakes.booster.is_some_and(|x| x.vacuum.si() <= 0.0) {
        out.warn(
            "brakes.booster.vacuum",
            "The booster has no vacuum: it does not help",
            "Measure the vacuum at idle, fit a pump or a canister, or take the booster out",
        );
    }
    let r = &x.regulation;
    if let Some((least, z)) = r.least_front_excess
        && least < 0.0
    {
        out.remark(
            "brakes.rear.brake",
            rate(
                Phrase::from("At "),
                z,
            )
            .t(" the rear tyres work harder than the front ones: UN ECE R13-H (from memory) asks the opposite from 0.15 to 0.8 g"),
            "A remark, not an approval: the local vehicle code decides",
        );
    }
    if let Some((least, k)) = r.least_adhesion_excess
        && least < 0.0
    {
        out.remark(
            "brakes.front.brake",
            Phrase::from(format!(
                "On tyres of friction {k:.2} the brakes use less of it than UN ECE R13-H (from memory) asks"
            )),
            "A remark, not an approval: the local vehicle code decides",
        );
    }
    if let Some(r) = &b.brakes.as_ref().and_then(|x| x.rear.proportioning)
        && r.knee.si() > x.at_foot.rear.line_pressure.max(0.0)
        && let Some(l) = &x.first_lock
        && x.balance.wheel_pressures(l.pedal_force).rear < r.knee.si()
    {
        out.remark(
            "brakes.rear.proportioning",
            Phrase::from("The proportioning valve begins at ")
                .q(Kind::Pressure, r.knee.si())
                .t(", above the pressure of first lock: it does nothing"),
            "Set its knee lower, or leave it out",
        );
    }
}

fn travel(x: &TravelStudy, out: &mut Out<'_>) {
    let used = &x.used;
    if used.share > 1.0 {
        out.error(
            "brakes.pedal.travel",
            Phrase::from("The pedal is on its stop before the wheels lock: it takes ")
                .len(used.pedal_travel)
                .t(" of travel"),
            where_from(x),
        );
    } else if used.too_long() {
        out.warn(
            "brakes.pedal.travel",
            Phrase::from("The pedal uses ")
                .q(Kind::Ratio, used.share)
                .t(" of its travel at first lock, more than two thirds (common practice, no source)"),
            where_from(x),
        );
    }
    for (i, which) in ["front", "rear"].into_iter().enumerate() {
        if used.out_of_stroke[i] {
            out.error(
                "brakes.masters",
                Phrase::from(format!(
                    "The {which} circuit's piston runs out of stroke: it needs "
                ))
                .fine(used.piston_strokes[i]),
                "A larger bore, less clearance, stiffer hoses",
            );
        }
    }
    if let Some(lost) = &x.lost {
        for (i, which) in ["front", "rear"].into_iter().enumerate() {
            if !lost[i].fits {
                out.error(
                    "brakes.masters",
                    Phrase::from(format!("With the {which} circuit lost the other one does not lock: the pedal would need "))
                        .len(lost[i].pedal_travel)
                        .t(" of travel"),
                    "More pedal travel, a larger bore, or a master with shorter strokes; the second circuit must stop the car alone",
                );
            }
        }
    }
    if let Some(angle) = used.bar_angle
        && angle.abs() > 10f64.to_radians()
    {
        out.warn(
            "brakes.masters",
            Phrase::from("The balance bar stands at ")
                .q(Kind::Angle, angle.abs())
                .t(" at first lock: it may bind in its sleeve (common practice, no source)"),
            "Bring the two strokes nearer to each other: bores or push rod lengths",
        );
    }
}

/// The largest share of the travel, and what to do about it.
fn where_from(x: &TravelStudy) -> Phrase {
    let p = &x.used.parts;
    let shares = [
        (
            x.used.dead_travel,
            "closing the ports",
            "shorten the free play of the push rods",
        ),
        (
            p.clearance,
            "taking up clearance",
            "set pads or shoes closer, or fit a larger bore",
        ),
        (
            p.flex,
            "calipers, pads and drums giving",
            "fit stiffer calipers or harder pads",
        ),
        (
            p.hose,
            "hoses growing",
            "fit shorter or low-expansion hoses",
        ),
        (
            p.fluid,
            "pressing the fluid together",
            "bleed it; fit shorter lines",
        ),
    ];
    let worst = shares
        .into_iter()
        .fold((0.0, "", ""), |a, b| if b.0 > a.0 { b } else { a });
    Phrase::from("Most of it, ")
        .len(worst.0)
        .t(format!(", goes into {}: {}", worst.1, worst.2))
}

fn back(s: &BrakeStudy, out: &mut Out<'_>) {
    let r = match &s.pedal_return {
        None => return,
        Some(Ok(r)) => r,
        Some(Err(why)) => {
            return out.error(
                "brakes.pedal_return",
                Phrase::from("The pedal's return can not be worked out: ").join(why.clone()),
                "Correct the pedal's points, springs or masses",
            );
        }
    };
    if let Some(at) = r.sticks_at {
        out.error(
            "brakes.pedal_return.springs",
            Phrase::from("The pedal does not come back: it sticks ")
                .q(Kind::Angle, at)
                .t(" from rest"),
            "A stronger return spring or a better arm for it; look whether a spring goes over centre. A residual valve does not push it back",
        );
    } else if let Some(m) = r.margin
        && m < pedal_return::TARGET_MARGIN
    {
        out.warn(
            "brakes.pedal_return.springs",
            Phrase::from("What brings the pedal back is only ")
                .q(Kind::Count, (m * 100.0).round() / 100.0)
                .t(format!(
                    " times its friction; {} is asked (common practice, no source)",
                    pedal_return::TARGET_MARGIN
                )),
            "A stronger return spring, a longer arm for it, or less friction",
        );
    }
}

fn parking(brakes: &Brakes, s: &BrakeStudy, out: &mut Out<'_>) {
    use vehicle::brakes::parking::{GREATEST_FOOT_FORCE, GREATEST_HAND_FORCE};
    let (Some(p), Some(data)) = (&s.parking, &brakes.parking) else {
        return;
    };
    let p = match p {
        Ok(p) => p,
        Err(why) => {
            return out.error(
                "brakes.parking",
                Phrase::from("The parking brake can not be worked out: ").join(why.clone()),
                "Correct its levers and factors",
            );
        }
    };
    for (way, words) in [(&p.nose_up, "nose up"), (&p.nose_down, "nose down")] {
        if !way.holds {
            let brake = way.needed_force > way.force;
            out.error(
                "brakes.parking",
                Phrase::from(format!("The parking brake does not hold {words} on a grade of "))
                    .q(Kind::Slope, data.grade.si())
                    .t(if brake { ": it would take " } else { ": the rear tyres slide" })
                    .join(if brake {
                        Phrase::default()
                            .q(Kind::Force, way.hand_force_needed)
                            .t(" at the lever")
                    } else {
                        Phrase::default()
                    }),
                if brake {
                    "More lever ratio, better cables, or shoes that pull harder in that direction. Chock the wheels"
                } else {
                    "No brake on the rear wheels holds there: chock the wheels"
                },
            );
        }
    }
    let (limit, what) = if data.foot {
        (GREATEST_FOOT_FORCE, "foot")
    } else {
        (GREATEST_HAND_FORCE, "hand")
    };
    if data.force.si() > limit {
        out.remark(
            "brakes.parking.force",
            Phrase::from("The parking brake is looked at with ")
                .q(Kind::Force, data.force.si())
                .t(format!(
                    " at the lever; a {what} brake should need at most "
                ))
                .q(Kind::Force, limit)
                .t(" (UN ECE R13-H, from memory)"),
            "Look at less force, or gear the lever lower",
        );
    }
}

fn stop(x: &StopStudy, s: &BrakeStudy, brakes: &Brakes, out: &mut Out<'_>) {
    let z = brakes.stop.rate.si() / STANDARD_GRAVITY;
    if let Ok(balance) = &s.balance {
        if let Some(l) = &balance.first_lock
            && z > l.z * (1.0 + 1e-9)
        {
            out.warn(
                "brakes.stop.rate",
                rate(Phrase::from("The stop looked at asks "), z)
                    .join(rate(Phrase::from("; the first wheels lock at "), l.z)),
                "Look at a stop the tyres can make: its distance is shorter than the car's",
            );
        } else if x.pedal.is_none() {
            out.warn(
                "brakes.stop.rate",
                rate(Phrase::from("The brakes do not make the "), z).t(" of the stop looked at"),
                "Look at a gentler stop, or give the brakes more",
            );
        }
    }
    for (heat, at, which) in [
        (&x.heat[0], "brakes.front.rotor", "front"),
        (&x.heat[1], "brakes.rear.rotor", "rear"),
    ] {
        match heat {
            Some(Ok(h)) if h.thick_enough == Some(false) => out.remark(
                at,
                Phrase::from(format!(
                    "The {which} rotor's ring is thinner than twice the "
                ))
                .fine(h.depth)
                .t(" the heat gets in: its surface runs hotter than shown"),
                "A thicker rotor, or count the mean rise only",
            ),
            Some(Err(why)) if s.balance.is_ok() => out.warn(
                at,
                Phrase::from(format!("The {which} rotor's heat can not be worked out: "))
                    .join(why.clone()),
                "Correct the rotor or the stop looked at",
            ),
            _ => {}
        }
    }
}
