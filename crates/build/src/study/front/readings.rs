//! Readings of the front end.

use super::super::{Band, Certainty, Definition, NoValue, Of, Reading};
use super::{FrontMotion, FrontStudy};
use crate::Build;

/// An inch, m: what gains are told over.
const INCH: f64 = 0.0254;

/// Readings of a definition that begins with `front.`.
pub(in super::super) fn readings(
    b: &Build,
    s: Option<&FrontStudy>,
    d: &'static Definition,
    asked: impl Fn(Option<&Of>) -> Option<Band>,
) -> Vec<Reading> {
    let because = |why: String| NoValue::Because(why);
    let one = |of: Option<Of>, value: Result<f64, String>, band| Reading {
        definition: d,
        of,
        value: value.map_err(because),
        certainty: Certainty::Exact,
        band,
    };
    let motion = match s.map(|s| s.motion.as_ref()) {
        None if d.family => return Vec::new(),
        None => {
            let value = Err("no front end is drawn yet".to_owned());
            return vec![one(None, value, asked(None))];
        }
        Some(Err(_)) if d.family => return Vec::new(),
        Some(Err(e)) => return vec![one(None, Err(e.to_string()), asked(None))],
        Some(Ok(m)) => m,
    };
    let family = |id: &str, label: &str, value| {
        let of = Of {
            id: id.to_owned(),
            label: label.to_owned(),
        };
        let band = asked(Some(&of));
        one(Some(of), value, band)
    };
    match d.id {
        "front.gap" => motion
            .gaps
            .iter()
            .map(|g| {
                let value = g
                    .gap
                    .ok_or_else(|| "they run through each other".to_owned());
                family(&g.id, &g.label, value)
            })
            .collect(),
        "front.joint" => {
            let joints = b.front_end.iter().flat_map(|f| &f.joints);
            joints
                .zip(&motion.joints)
                .map(|(j, t)| family(&j.id, &j.label, t.tilt.clone().map(|_| t.room)))
                .collect()
        }
        _ => vec![one(None, value(motion, d.id), asked(None))],
    }
}

fn value(m: &FrontMotion, id: &str) -> Result<f64, String> {
    let say = |e: &super::FrontProblem| e.to_string();
    let ride = &m.ride;
    let turn = || {
        let row = m.at_lock().and_then(|r| r.turn);
        row.ok_or_else(|| "the steering does not turn".to_owned())
    };
    let coil = || match &m.coil {
        None => Err("no coil-over is drawn at the front".to_owned()),
        Some(c) => c.as_ref().map_err(Clone::clone),
    };
    Ok(match id {
        "front.camber" => ride.camber,
        "front.toe_in" => ride.toe_in,
        "front.caster" => ride.caster,
        "front.kingpin" => ride.kingpin_inclination,
        "front.scrub" => ride.scrub_radius,
        "front.trail" => ride.mechanical_trail,
        "front.camber_gain" => ride.camber_per_travel * INCH,
        "front.roll_centre.height" => ride.roll_centre_above_ground,
        "front.anti_dive" => *m.anti_dive.as_ref().map_err(say)?,
        "front.bump_steer" => m.bump.slope * INCH,
        "front.curvature" => 0.5 * m.bump.curvature * INCH * INCH,
        "front.bump_steer.range" => m.toe_range(),
        "front.rack_height" => m.rack_fix.as_ref().map_err(say)?.shift,
        "front.steering_ratio" => {
            let middle = m.steering.get(m.steering.len() / 2);
            middle
                .ok_or_else(|| "the steering does not turn".to_owned())?
                .steering_ratio
        }
        "front.lock" => turn()?.inner,
        "front.ackermann" => turn()?.ackermann,
        "front.turning_circle" => turn()?.kerb_circle,
        "front.motion_ratio" => coil()?.ride.state.motion_ratio,
        "front.wheel_rate" => coil()?.ride.rate.wheel_rate,
        "front.spring_force" => coil()?.ride.rate.spring_force,
        "front.bar_stiffness" => match &m.bar {
            None => return Err("no anti-roll bar is drawn at the front".to_owned()),
            Some(x) => x.as_ref().map_err(Clone::clone)?.stiffness.roll_stiffness,
        },
        "front.roll_gradient" => m.roll.as_ref().map_err(Clone::clone)?.roll_per_g,
        "front.tie_rod_force" => m.braking.as_ref().map_err(Clone::clone)?.0[0].tie_rod_force,
        "front.handwheel" => m.braking.as_ref().map_err(Clone::clone)?.1.torque,
        _ => {
            let tightest = m.gaps.first();
            let g = tightest.ok_or_else(|| "nothing is near anything".to_owned())?;
            g.gap
                .ok_or_else(|| "they run through each other".to_owned())?
        }
    })
}
