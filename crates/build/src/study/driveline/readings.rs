//! Readings of the driveline.

use vehicle::driveline::gearing::SIXTY_MPH;

use super::{Band, Certainty, Definition, DrivelineStudy, NoValue, Of, Phrase, Reading};
use crate::Build;

/// Readings of a definition.
pub(in crate::study) fn readings(
    _b: &Build,
    s: Option<&DrivelineStudy>,
    d: &'static Definition,
    asked: impl Fn(Option<&Of>) -> Option<Band>,
) -> Vec<Reading> {
    let value = match s {
        None => Err(because("no driveline is described yet")),
        Some(s) => value(s, d.id),
    };
    vec![Reading {
        definition: d,
        of: None,
        value,
        certainty: Certainty::Exact,
        band: asked(None),
    }]
}

fn because(why: &str) -> NoValue {
    NoValue::Because(why.to_owned())
}

fn said(why: &Phrase) -> NoValue {
    NoValue::Because(why.show(&units::Shop::default()))
}

fn value(s: &DrivelineStudy, id: &str) -> Result<f64, NoValue> {
    let shaft = || s.shaft.as_ref().map_err(said);
    let top = || s.top.as_ref().map_err(said);
    let critical = || s.critical.as_ref().map_err(said);
    let strength = || s.strength.as_ref().map_err(said);
    let gearing = || s.gearing.as_ref().map_err(said);
    let hoop = || because("the shaft passes no loop");
    let axle = || {
        let axle = strength()?.axle;
        axle.ok_or_else(|| because("no axle shaft is entered"))
    };
    let idle = || because("no torque");
    let trap = || {
        let trap = gearing()?.trap;
        trap.ok_or_else(|| because("there is no run to the trap"))
    };
    Ok(match id {
        "driveline.equivalent_angle" => shaft()?.ride.layout.equivalent_angle(),
        "driveline.equivalent_launch" => {
            let launch = shaft()?.launch.as_ref().map_err(said)?;
            launch.layout.equivalent_angle()
        }
        "driveline.equivalent_worst" => shaft()?
            .greatest(|r| Some(r.layout.equivalent_angle()))
            .ok_or_else(|| because("no pose is looked at"))?,
        "driveline.torsional" => shaft()?.ride.layout.torsional_acceleration(top()?.shaft),
        "driveline.shaft_acceleration" => {
            let [drive, coast] = shaft()?.ride.layout.inertia_acceleration(top()?.shaft);
            drive.max(coast)
        }
        "driveline.top_shaft" => top()?.shaft,
        "driveline.critical" => critical()?.speed.critical,
        "driveline.critical_share" => critical()?.speed.used,
        "driveline.longest" => critical()?.longest,
        "driveline.engagement" => shaft()?
            .least(|r| Some(r.engagement))
            .ok_or_else(|| because("no pose is looked at"))?,
        "driveline.bottoming" => shaft()?
            .least(|r| Some(r.bottoming_room))
            .ok_or_else(|| because("no pose is looked at"))?,
        "driveline.loop_distance" => shaft()?.ride.loop_distance.ok_or_else(hoop)?,
        "driveline.loop_gap" => shaft()?.least(|r| r.loop_gap).ok_or_else(hoop)?,
        "driveline.torque" => strength()?.torque,
        "driveline.torsion_safety" => strength()?
            .tube
            .ok_or_else(|| because("no driveshaft is drawn yet"))?
            .safety
            .ok_or_else(idle)?,
        "driveline.axle_safety" => axle()?.safety.ok_or_else(idle)?,
        "driveline.spline_shear" => {
            let spline = axle()?.spline;
            spline
                .ok_or_else(|| because("no axle spline is entered"))?
                .shear
        }
        "driveline.sixty_rpm" => {
            let chart = &gearing()?.chart;
            let gear = chart.gears.iter().find(|g| g.speed_at_redline >= SIXTY_MPH);
            gear.ok_or_else(|| because("no gear reaches 60 mph"))?
                .at_sixty
        }
        "driveline.trap_rpm" => trap()?.engine,
        "driveline.final_drive" => {
            trap()?;
            gearing()?.chart.final_drive_for_goal
        }
        _ => return Err(because("there is no such reading")),
    })
}
