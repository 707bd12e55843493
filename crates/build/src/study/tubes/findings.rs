//! Remarks on tube work.

use geometry::tube::bend::{BendFinding, Clamp, LEAST_RATIO};
use geometry::tube::cope::CopeFinding;
use geometry::tube::section::Section;
use units::Kind;

use super::super::{Finding, Part, Phrase, Severity};
use super::{EndShape, EndStudy, TubePart, TubesStudy};
use crate::{Build, Tube};

pub(in super::super) fn findings(b: &Build, s: &TubesStudy, out: &mut Vec<Finding>) {
    for (tube, study) in b.assembly.tubes.iter().zip(&s.tubes) {
        let mut say = |severity, text: Phrase, next: Phrase| {
            out.push(Finding::new(
                severity,
                Part::Tube(tube.id.clone()),
                text,
                next,
            ));
        };
        match &study.part {
            Err(why) => say(
                Severity::Warning,
                Phrase::from(format!("{} can not be made: ", tube.label)).join(why.clone()),
                Phrase::from("Draw it again or move its corners"),
            ),
            Ok(part) => {
                bends(b, tube, part, &mut say);
                for end in &part.ends {
                    cut(b, tube, end, &mut say);
                }
            }
        }
    }
    for n in &s.nests {
        let Err(why) = &n.nested else { continue };
        let tube = n.tubes.first().and_then(|i| b.assembly.tubes.get(*i));
        let part = tube.map_or(Part::Build, |t| Part::Tube(t.id.clone()));
        out.push(Finding::new(
            Severity::Warning,
            part,
            Phrase::from("Cut list: ").join(why.clone()),
            Phrase::from("Enter a longer bar, or make the piece in two"),
        ));
    }
}

fn bends(b: &Build, tube: &Tube, part: &TubePart, say: &mut impl FnMut(Severity, Phrase, Phrase)) {
    if part.bends.is_empty() {
        return;
    }
    let od = match part.section {
        Section::Round { od, .. } => od,
        Section::Rectangular { height, width, .. } => height.max(width),
    };
    let die = match &tube.die {
        None => None,
        Some(id) => {
            let die = b.tube_work.die(id);
            if die.is_none() {
                say(
                    Severity::Warning,
                    Phrase::from(format!(
                        "{} is bent on a die {id} that is not there",
                        tube.label
                    )),
                    Phrase::from("Enter the die, or choose another"),
                );
            }
            die
        }
    };
    let clamp = die.map(|d| Clamp {
        at_end: d.clamp.si(),
        between: d.between.si(),
    });
    for f in part.line.findings(clamp, od, LEAST_RATIO, None) {
        match f {
            BendFinding::EndStraightShort { length, needed, .. } => say(
                Severity::Warning,
                Phrase::from(format!("{} has ", tube.label))
                    .len(length)
                    .t(" straight at an end, the clamp needs ")
                    .len(needed),
                Phrase::from("Bend it longer and cut it after, or move the corner"),
            ),
            BendFinding::BetweenShort { length, needed, .. } => say(
                Severity::Warning,
                Phrase::from(format!("{} has ", tube.label))
                    .len(length)
                    .t(" straight between two bends, the die needs ")
                    .len(needed),
                Phrase::from("Move the corners apart, or use a smaller radius"),
            ),
            BendFinding::TightRadius { ratio, least, .. } => say(
                Severity::Warning,
                Phrase::from(format!(
                    "{} is bent to {ratio:.1} times its outside size on the centreline, under {least:.0}: the wall thins and the tube ovals",
                    tube.label
                )),
                Phrase::from("Use a larger radius; check the current rule book"),
            ),
            _ => {}
        }
    }
    for x in &part.bends {
        if let (Err(why), Some(_)) = (&x.set, die) {
            say(
                Severity::Remark,
                Phrase::from(format!("{}: no angle to set for the bend of ", tube.label))
                    .q(Kind::Angle, x.bend.angle)
                    .t(format!(" at {}: {}", x.node, why)),
                Phrase::from("Bend a scrap, measure it and add the row to the die"),
            );
        }
    }
    if let Some(die) = die {
        let other = part
            .bends
            .iter()
            .any(|x| (x.bend.radius - die.radius.si()).abs() > 1e-6);
        if other {
            say(
                Severity::Warning,
                Phrase::from(format!(
                    "{} is drawn with another radius than its die {} has",
                    tube.label, die.label
                )),
                Phrase::from("Draw the die's radius: ").kept(die.radius.si()),
            );
        }
        if (die.outside.si() - od).abs() > 1e-6 {
            say(
                Severity::Warning,
                Phrase::from(format!("{} does not fit its die {}", tube.label, die.label)),
                Phrase::from("Choose the die for its outside size"),
            );
        }
    }
}

fn cut(b: &Build, tube: &Tube, end: &EndStudy, say: &mut impl FnMut(Severity, Phrase, Phrase)) {
    let at = format!("{} at {}", tube.label, end.node);
    match &end.shape {
        EndShape::Failed(why) => say(
            Severity::Warning,
            Phrase::from(format!("No cut for {at}: ")).join(why.clone()),
            Phrase::from("Move the node, or choose what is cut first"),
        ),
        EndShape::Cope(cut) => {
            for f in &cut.remarks {
                let name = |main: usize| {
                    let tube = cut.mains.get(main).and_then(|i| b.assembly.tubes.get(*i));
                    tube.map_or_else(String::new, |t| t.label.clone())
                };
                match *f {
                    CopeFinding::Acute { main, alpha } => say(
                        Severity::Remark,
                        Phrase::from(format!("{at} meets {} at ", name(main)))
                            .q(Kind::Angle, alpha)
                            .t(": a long thin edge, and hard to weld in the corner"),
                        Phrase::from("Fine if a torch reaches it; else open the angle"),
                    ),
                    CopeFinding::BeyondStraight { main, .. } => say(
                        Severity::Warning,
                        Phrase::from(format!(
                            "{at} lands past the end of {} or on its bend",
                            name(main)
                        )),
                        Phrase::from("Move it onto the straight: there the wrap does not hold"),
                    ),
                    _ => {}
                }
            }
        }
        _ => {}
    }
}
