//! What to say about the frame.

use geometry::Vector3;
use structure::rig::Finding as RigFinding;
use units::Kind;

use super::super::{Finding, Part, Phrase, Severity};
use super::{FrameStudy, LaunchFrame, Skeleton, words};
use crate::{Build, RearStudy};

/// Reserve of every tube under power that is asked for (common practice, no source).
const RESERVE: f64 = 1.5;
/// Measured and predicted differ by more than this: something is drawn other than built.
const OFF: f64 = 0.15;
/// A moment the rear support against pitching may carry, of the torque.
const CARRIES: f64 = 1e-3;
/// Acceleration by which the loads may miss the balance, m/s².
const ACCELERATION: f64 = 0.01;
/// Angular acceleration the loads may give, rad/s².
const ANGULAR: f64 = 0.05;
/// A bracket farther than this from the tube that carries it, m.
const FAR: f64 = 0.05;
/// The rest of the weight may lie this far outside the frame, m.
const OUTSIDE: f64 = 0.5;
/// Pieces left out that are named one by one.
const NAMED: usize = 3;

pub(in super::super) fn findings(
    b: &Build,
    rear: &RearStudy,
    study: &FrameStudy,
    out: &mut Vec<Finding>,
) {
    let Ok(s) = &study.shape else {
        return;
    };
    left_out(b, s, out);
    let test = &b.frame_test;
    if test.rear.is_none() || test.front.is_none() {
        out.push(Finding::new(
            Severity::Remark,
            Part::Build,
            "No nodes are named for the frame's twist test",
            "Name a left and a right node at the rear and at the front springs",
        ));
    } else {
        twist(b, s, study, out);
    }
    measured(study, out);
    match &study.launch {
        Ok(launch) => under_power(b, s, launch, out),
        // Without links or springs there is nothing to say.
        Err(why) if study.twist.is_ok() && rear.motion.is_ok() && !b.power.coilovers.is_empty() => {
            out.push(Finding::new(
                Severity::Remark,
                Part::Build,
                format!("What the frame's tubes stand under power is not known: {why}"),
                "Put that right first",
            ));
        }
        Err(_) => {}
    }
}

fn left_out(b: &Build, s: &Skeleton, out: &mut Vec<Finding>) {
    let a = &b.assembly;
    for piece in s.left_out.iter().take(NAMED) {
        let are = if piece.len() == 1 { "is" } else { "are" };
        let part = piece.first().and_then(|t| a.tubes.get(*t));
        out.push(Finding::new(
            Severity::Remark,
            part.map_or(Part::Build, |t| Part::Tube(t.id.clone())),
            format!(
                "{} {are} not joined to the frame: left out of its stiffness",
                words::tubes(a, piece)
            ),
            "End it on a tube of the frame, or leave it if it carries nothing",
        ));
    }
    let more: usize = s.left_out.iter().skip(NAMED).map(Vec::len).sum();
    if more > 0 {
        out.push(Finding::new(
            Severity::Remark,
            Part::Build,
            format!("{more} tubes more are not joined to the frame"),
            "End them on tubes of the frame, or leave them if they carry nothing",
        ));
    }
    if !s.broken.is_empty() {
        let part = s.broken.first().and_then(|t| a.tubes.get(*t));
        out.push(Finding::new(
            Severity::Warning,
            part.map_or(Part::Build, |t| Part::Tube(t.id.clone())),
            format!(
                "{} can not be drawn: the frame's stiffness is without it",
                words::tubes(a, &s.broken)
            ),
            "Look at its nodes, bends and section",
        ));
    }
    for id in &s.missing {
        let (text, next) = if a.node(id).is_some() {
            (
                format!(
                    "Node {id}, which the frame's test or loads name, lies on no tube of the frame"
                ),
                "Move it onto a tube, or name another",
            )
        } else {
            (
                format!("The frame's test or loads name node {id}, and there is none"),
                "Name another",
            )
        };
        let part = Part::Node(id.clone());
        out.push(Finding::new(Severity::Warning, part, text, next));
    }
}

fn twist(b: &Build, s: &Skeleton, study: &FrameStudy, out: &mut Vec<Finding>) {
    let part = || Part::Reading("frame.twist_stiffness".to_owned());
    let a = &b.assembly;
    let answer = match &study.twist {
        Ok(answer) => answer,
        Err(why) => {
            out.push(Finding::new(
                Severity::Error,
                part(),
                format!("The frame can not be twisted: {why}"),
                "Join what is loose, weld a pinned end, or name other nodes",
            ));
            return;
        }
    };
    for finding in &answer.tested.findings {
        match finding {
            RigFinding::PitchSupportCarries {
                share,
                front_apart,
                rear_apart,
            } if share.abs() > CARRIES => {
                let (front, rear) = (front_apart.abs(), rear_apart.abs());
                out.push(Finding::new(
                    Severity::Warning,
                    part(),
                    Phrase::from("The rear support of the twist test carries ")
                        .q(Kind::Ratio, share.abs())
                        .t(" of the torque: left and right nodes stand ")
                        .fine(front)
                        .t(" apart fore and aft at the front, ")
                        .fine(rear)
                        .t(" at the rear"),
                    "Name nodes at one station left and right",
                ));
            }
            RigFinding::PitchSupportCarries { .. } => {}
            RigFinding::FreeMotions(all) => {
                if let Some(said) = words::free(s, a, all) {
                    out.push(Finding::new(
                        Severity::Warning,
                        part(),
                        format!("Something is free to move, though twist does not move it: {said}"),
                        "Join it, or weld a pinned end",
                    ));
                }
            }
        }
    }
    if let (Some(_), Err(why)) = (&b.frame_test.middle, &study.bending) {
        out.push(Finding::new(
            Severity::Warning,
            Part::Reading("frame.bending_stiffness".to_owned()),
            format!("The frame can not be bent: {why}"),
            "Name other nodes in the middle",
        ));
    }
}

fn measured(study: &FrameStudy, out: &mut Vec<Finding>) {
    let part = || Part::Reading("frame.twist_stiffness".to_owned());
    for (k, m) in study.measured.iter().enumerate() {
        if m.stiffness.is_none() {
            out.push(Finding::new(
                Severity::Warning,
                part(),
                format!(
                    "Measured twist test {} has no twist the way of its torque",
                    k + 1
                ),
                "Read the dials again: left up and right down are positive",
            ));
        }
    }
    let Some(f) = study.factor else { return };
    if (f - 1.0).abs() > OFF {
        out.push(Finding::new(
            Severity::Warning,
            part(),
            format!("The frame measured {f:.2} of the twist stiffness computed for it"),
            "Look for a joint that slips, a tube drawn other than built, or a panel that is bonded in; measure again",
        ));
    }
}

fn under_power(b: &Build, s: &Skeleton, launch: &LaunchFrame, out: &mut Vec<Finding>) {
    let a = &b.assembly;
    let part = || Part::Reading("frame.lowest_reserve".to_owned());
    let mut low: Vec<_> = launch
        .reserves
        .iter()
        .flatten()
        .filter(|r| r.lowest() < RESERVE)
        .collect();
    low.sort_by(|x, y| x.lowest().total_cmp(&y.lowest()));
    if let Some(worst) = low.first() {
        let severity = if worst.lowest() < 1.0 {
            Severity::Error
        } else {
            Severity::Warning
        };
        let t = &a.tubes[worst.tube];
        let how = if worst.column < worst.yields {
            Phrase::from("as a column under ").q(Kind::Force, worst.compression)
        } else {
            Phrase::from("stressed to ").q(Kind::Pressure, worst.von_mises)
        };
        let others = match low.len() {
            1 => String::new(),
            2 => "; 1 tube more is under the target".to_owned(),
            n => format!("; {} tubes more are under the target", n - 1),
        };
        out.push(Finding::new(
            severity,
            Part::Tube(t.id.clone()),
            Phrase::from(format!(
                "{}: reserve {:.2} under power, ",
                t.label,
                worst.lowest()
            ))
            .join(how)
            .t(format!(" (target {RESERVE}){others}")),
            "Move the bracket to a joint, add a tube there, or take a larger section",
        ));
    }
    let off = Vector3::from(launch.difference);
    let turn = Vector3::from(launch.angular);
    if off.norm() > ACCELERATION || turn.norm() > ANGULAR {
        out.push(Finding::new(
            Severity::Warning,
            part(),
            Phrase::from("Loads and weights of the frame do not belong together: they miss the launch balance by ")
                .q(Kind::Acceleration, off.norm())
                .t(format!(" and turn the car at {:.2} rad/s²", turn.norm())),
            "Look at the weights entered and at links that have no bracket on the frame",
        ));
    }
    if launch.unbalanced > structure::load_case::UNBALANCED {
        out.push(Finding::new(
            Severity::Warning,
            part(),
            "What the tubes bear under power may come out rough: some are thousands of times stiffer than others",
            "Look for a tube that is far too short, too thick or too thin",
        ));
    }
    let outside = outside(s, launch.rest_at);
    if outside > OUTSIDE {
        let [x, y, z] = launch.rest_at;
        out.push(Finding::new(
            Severity::Warning,
            part(),
            Phrase::from("The weight that is not entered would have its centre ")
                .len(x)
                .t(" ahead, ")
                .len(y)
                .t(" left, ")
                .len(z)
                .t(" up for the car's centre of gravity to be right, far off the frame"),
            "Check the weights entered for the frame, and the car's weight and centre of gravity",
        ));
    }
    let far = launch
        .loads
        .iter()
        .filter(|l| l.tube.is_some())
        .max_by(|x, y| x.arm.total_cmp(&y.arm));
    if let Some((l, t)) = far.and_then(|l| Some((l, a.tubes.get(l.tube?)?)))
        && l.arm > FAR
    {
        out.push(Finding::new(
            Severity::Remark,
            Part::Tube(t.id.clone()),
            Phrase::from(format!("{}: its place on the frame is ", l.label))
                .len(l.arm)
                .t(format!(
                    " off the nearest tube, {}, which is taken to carry it",
                    t.label
                )),
            "Name the node that carries it, or draw the tube it is on",
        ));
    }
    if let Some(said) = launch.free.as_ref().and_then(|all| words::free(s, a, all)) {
        out.push(Finding::new(
            Severity::Warning,
            part(),
            format!("Under power something is free to move that nothing pushes: {said}"),
            "Join it, or weld a pinned end",
        ));
    }
}

/// How far a place is outside the box round the frame, m.
fn outside(s: &Skeleton, at: [f64; 3]) -> f64 {
    let mut all = 0.0_f64;
    for k in 0..3 {
        let along = s.frame.nodes.iter().map(|p| p[k]);
        let low = along.clone().fold(f64::INFINITY, f64::min);
        let high = along.fold(f64::NEG_INFINITY, f64::max);
        all = all.max(low - at[k]).max(at[k] - high);
    }
    all
}
