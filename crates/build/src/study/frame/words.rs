//! Frame nodes, motions and failures in the words of the drawing.

use structure::model::Frame;
use structure::motion::{FreeMotions, Motion, RigidMotion};
use structure::{FrameError, SolveError};

use super::skeleton::Skeleton;
use crate::{Assembly, Ends};

/// A frame node: the build's node there, else the tube it is on.
pub(super) fn place(s: &Skeleton, a: &Assembly, node: usize) -> String {
    let body = s.body.get(node);
    let exact = s.named.iter().find(|(_, n)| **n == node);
    let near = || s.named.iter().find(|(_, n)| s.body.get(**n) == body);
    if let Some((id, _)) = exact.or_else(near) {
        return format!("node {id}");
    }
    let on = s.lines.iter().zip(&a.tubes).find(|(line, _)| {
        line.as_ref()
            .is_some_and(|l| l.nodes.iter().any(|n| s.body.get(*n) == body))
    });
    on.map_or_else(
        || "a place of the frame".to_owned(),
        |(_, t)| t.label.clone(),
    )
}

fn label(a: &Assembly, tube: usize) -> String {
    a.tubes
        .get(tube)
        .map_or_else(|| "a tube".to_owned(), |t| t.label.clone())
}

fn member(f: &Frame, a: &Assembly, member: usize) -> String {
    f.members
        .get(member)
        .map_or_else(|| "a tube".to_owned(), |m| label(a, m.tube))
}

fn rigid(m: RigidMotion) -> String {
    m.to_string()
}

fn motion(s: &Skeleton, a: &Assembly, m: &Motion) -> String {
    match *m {
        Motion::WholeFrame(r) => format!("the whole frame {}", rigid(r)),
        Motion::LoosePart { node, motion } => {
            format!("the part at {} {}", place(s, a, node), rigid(motion))
        }
        Motion::TubeSpins { tube } => format!("{} spins about itself", label(a, tube)),
        Motion::Node { node, axis, turns } => {
            let does = if turns { "turns, axis" } else { "moves" };
            format!("{} {does} {axis}", place(s, a, node))
        }
    }
}

/// The free motions that are not a pinned tube's spin about itself, which harms nothing.
pub(super) fn free(s: &Skeleton, a: &Assembly, all: &FreeMotions) -> Option<String> {
    let harmless = |m: &Motion| match *m {
        Motion::TubeSpins { tube } => a.tubes.get(tube).is_some_and(|t| t.ends == Ends::Pinned),
        _ => false,
    };
    let said: Vec<String> = all
        .motions
        .iter()
        .filter(|m| !harmless(&m.motion))
        .take(3)
        .map(|m| motion(s, a, &m.motion))
        .collect();
    if said.is_empty() {
        // Several that can not be told apart have no names, only nodes.
        let node = all.nodes.first().filter(|_| all.motions.is_empty())?;
        return Some(format!(
            "parts of it move freely, {} too",
            place(s, a, *node)
        ));
    }
    Some(said.join("; "))
}

pub(super) fn frame_error(s: &Skeleton, a: &Assembly, e: &FrameError) -> String {
    let at = |n| place(s, a, n);
    match *e {
        FrameError::HeldTwice { first, node } => format!(
            "{} and {} are one rigid piece: name others for the test",
            at(first),
            at(node)
        ),
        FrameError::NoLength { member: m, .. } | FrameError::Stiffness { member: m, .. } => {
            format!("{} is too short for its stiffness", member(&s.frame, a, m))
        }
        FrameError::MemberNumber {
            member: m, what, ..
        } => {
            format!("the {what} of {} can not be right", member(&s.frame, a, m))
        }
        FrameError::Position { node, .. } => format!("{} is nowhere", at(node)),
        _ => "its tubes are too unlike in stiffness to be computed together".to_owned(),
    }
}

pub(super) fn solve_error(s: &Skeleton, a: &Assembly, e: &SolveError) -> String {
    match e {
        SolveError::Frame(e) => frame_error(s, a, e),
        SolveError::Free(all) => {
            let said = free(s, a, all).unwrap_or_else(|| "a part turns freely".to_owned());
            format!("the frame is free to move: {said}")
        }
        SolveError::Points {
            what, left, right, ..
        } => format!(
            "the {what} nodes do not lie left and right: {} is to be left of {}",
            place(s, a, *left),
            place(s, a, *right)
        ),
        SolveError::NoDeflection { .. } => {
            "the nodes that are loaded are also held: name others".to_owned()
        }
        SolveError::MomentOnPin { node, .. } => format!(
            "only pinned ends meet at {}, and a load turns it",
            place(s, a, *node)
        ),
        SolveError::NoBalance { .. } | SolveError::NowhereToHold => {
            "the frame's tubes lie on one line: they balance no load".to_owned()
        }
        SolveError::BareNode { node, .. } => {
            format!("no tube reaches {}", place(s, a, *node))
        }
        SolveError::Load { .. } | SolveError::Number { .. } => {
            "a load or a weight can not be right".to_owned()
        }
        SolveError::Inaccurate { .. } => {
            "its tubes are too unlike in stiffness to be computed together".to_owned()
        }
    }
}

/// The tubes of a piece: "Boot shelf", "Boot shelf and 2 tubes more".
pub(super) fn tubes(a: &Assembly, all: &[usize]) -> String {
    let first = all.first().map_or_else(String::new, |t| label(a, *t));
    match all.len() {
        0 | 1 => first,
        2 => format!("{first} and 1 tube more"),
        n => format!("{first} and {} tubes more", n - 1),
    }
}
