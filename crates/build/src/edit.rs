//! Edits: values with a label, applied in one place.

use units::Quantity;

use crate::{
    Bracket, Build, Check, Coilover, Differential, Driveshaft, EngineTurn, GapRule, HeldLength,
    Holes, Joint, Link, Mark, Phase, Place, Preload, RollingEdit, RunEdit, SecondReference, Sides,
    Target, TubeEdit, WeldEdit, fields,
};

/// Which end of a link.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum End {
    /// The end on the frame.
    Frame,
    /// The end on the axle.
    Axle,
}

/// Which of a mirrored pair.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Side {
    /// Both alike.
    Both,
    /// The left one alone.
    Left,
    /// The right one alone.
    Right,
}

/// One link end on one hole.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bolted {
    /// The link.
    pub link: String,
    /// Which end.
    pub end: End,
    /// Which side.
    pub side: Side,
    /// The hole, from 1.
    pub hole: usize,
}

/// A change to the document.
#[derive(Debug, Clone, PartialEq)]
pub enum Edit {
    /// Renames the build.
    Rename(String),
    /// Sets the revision.
    Revision(String),
    /// Sets the note.
    Note(String),
    /// Sets a scalar field, SI.
    Field {
        /// Field path.
        id: String,
        /// New value.
        si: f64,
    },
    /// Moves a bracket: the place of hole 1.
    MoveBracket {
        /// Its id.
        bracket: String,
        /// Where to.
        to: Place,
    },
    /// Adds a bracket or replaces the one with its id.
    PutBracket(Bracket),
    /// Removes a bracket that no link uses.
    RemoveBracket(String),
    /// Bolts a link's end to another hole.
    SetHole {
        /// The link.
        link: String,
        /// Which end.
        end: End,
        /// Which side.
        side: Side,
        /// The hole, from 1.
        hole: usize,
    },
    /// Adds a link or replaces the one with its id.
    PutLink(Link),
    /// Removes a link.
    RemoveLink(String),
    /// Holds a link's length, or lets it follow the holes.
    HoldLength {
        /// The link.
        link: String,
        /// The lengths, or none.
        held: Option<HeldLength>,
    },
    /// Bolts several link ends at once: a combination of the hole search.
    SetHoles {
        /// The link ends.
        holes: Vec<Bolted>,
        /// Held lengths of these links are let go, so that each is set to suit.
        reset: bool,
    },
    /// How the differential shares the torque.
    Differential(Differential),
    /// Which way the engine turns.
    EngineTurn(EngineTurn),
    /// Adds a coil-over or replaces the one with its id.
    PutCoilover(Coilover),
    /// Removes a coil-over.
    RemoveCoilover(String),
    /// Moves an eye of a coil-over.
    MoveEye {
        /// The coil-over.
        coilover: String,
        /// Which eye.
        end: End,
        /// Where to (a pair: the left one).
        to: Place,
    },
    /// Sets the preload of a coil-over by hand, or lets it hold the ride height.
    SetPreload {
        /// The coil-over.
        coilover: String,
        /// The squeeze, or none.
        preload: Option<Preload>,
    },
    /// Draws the driveshaft, or takes it out.
    Driveshaft(Option<Driveshaft>),
    /// Draws the rail's bottom face anew: (station, height) from the back forward.
    RailLine(Vec<(units::Length, units::Length)>),
    /// Sets or clears the second reference.
    SecondReference(Option<SecondReference>),
    /// Sets the band of a reading.
    PutTarget(Target),
    /// Removes the band of a reading.
    RemoveTarget(String),
    /// Chooses the gap rule.
    Rule(GapRule),
    /// Adds a joint or replaces the one with its id.
    PutJoint(Joint),
    /// Removes a joint.
    RemoveJoint(String),
    /// Changes the assembly or the weld-out record.
    Weld(WeldEdit),
    /// A change to tube work or to the frame's test.
    Tube(TubeEdit),
    /// Changes the launch run's inputs or its log.
    Run(RunEdit),
    /// Changes front end, brakes, driveline or mock-up.
    Rolling(RollingEdit),
    /// Records something about a check.
    Mark {
        /// Phase id.
        phase: String,
        /// Check id.
        check: String,
        /// What to record.
        mark: Mark,
    },
    /// Adds a check at the end of a phase or replaces the one with its id, keeping its marks.
    PutCheck {
        /// Phase id.
        phase: String,
        /// The check.
        check: Check,
    },
    /// Removes a check and its record.
    RemoveCheck {
        /// Phase id.
        phase: String,
        /// Check id.
        check: String,
    },
    /// Moves a check within its phase.
    MoveCheck {
        /// Phase id.
        phase: String,
        /// Check id.
        check: String,
        /// New place, from 0.
        to: usize,
    },
    /// Adds a phase at the end.
    AddPhase(Phase),
    /// Changes a phase's title, caution and what it waits for.
    DescribePhase {
        /// Phase id.
        phase: String,
        /// New title.
        title: String,
        /// New caution.
        caution: String,
        /// Hold points, each `phase/check`.
        waits_for: Vec<String>,
    },
    /// Removes a phase and its record.
    RemovePhase(String),
    /// Moves a phase along the string.
    MovePhase {
        /// Phase id.
        phase: String,
        /// New place, from 0.
        to: usize,
    },
}

/// An edit that does not fit the document.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum EditError {
    /// The part is not there.
    #[error(
        "There is no {kind} called \"{id}\"; it was removed or renamed: choose another, or undo"
    )]
    NoSuch {
        /// Kind of part.
        kind: &'static str,
        /// Its id.
        id: String,
    },
    /// A value out of range.
    #[error("{label}: {got} is out of range; write from {low} to {high}")]
    Range {
        /// The field's label.
        label: String,
        /// What was given.
        got: String,
        /// Least.
        low: String,
        /// Greatest.
        high: String,
    },
    /// Anything else that [`crate::file::parse`] would refuse.
    #[error("{what}. {hint}")]
    Invalid {
        /// What is wrong.
        what: String,
        /// What to do.
        hint: String,
    },
    /// The part is in use.
    #[error("{what} is bolted to it: choose another bracket for that link first")]
    InUse {
        /// Who uses it.
        what: String,
    },
}

pub(crate) fn gone(kind: &'static str, id: &str) -> EditError {
    EditError::NoSuch {
        kind,
        id: id.to_owned(),
    }
}

impl Edit {
    /// What the undo menu calls it; `b` is the document before it.
    pub fn label(&self, b: &Build) -> String {
        let bracket = |id: &str| {
            b.rear
                .bracket(id)
                .map_or(id.to_owned(), |x| x.label.clone())
        };
        let link = |id: &str| b.rear.link(id).map_or(id.to_owned(), |x| x.label.clone());
        let joint = |id: &str| {
            let found = b.fit_up.joints.iter().find(|j| j.id == id);
            found.map_or(id.to_owned(), |j| j.label.clone())
        };
        let coilover = |id: &str| {
            b.power
                .coilover(id)
                .map_or(id.to_owned(), |x| x.label.clone())
        };
        let phase = |id: &str| b.phase(id).map_or(id.to_owned(), |p| p.title.clone());
        let check = |p: &str, id: &str| {
            b.phase(p)
                .and_then(|p| p.check(id))
                .map_or(id.to_owned(), |c| c.label.clone())
        };
        match self {
            Self::Rename(_) => "Rename the build".to_owned(),
            Self::Revision(_) => "Set the revision".to_owned(),
            Self::Note(_) => "Write the note".to_owned(),
            Self::Field { id, .. } => {
                format!(
                    "Set {}",
                    fields::field(id)
                        .map_or(id.as_str(), |f| f.label)
                        .to_lowercase()
                )
            }
            Self::MoveBracket { bracket: id, .. } => format!("Move {}", bracket(id)),
            Self::PutBracket(x) if b.rear.bracket(&x.id).is_none() => format!("Add {}", x.label),
            Self::PutBracket(x) => format!("Change {}", x.label),
            Self::RemoveBracket(id) => format!("Remove {}", bracket(id)),
            Self::SetHole {
                link: id,
                end,
                hole,
                ..
            } => {
                let end = match end {
                    End::Frame => "frame",
                    End::Axle => "axle",
                };
                format!("Move {}, {end} end to hole {hole}", link(id))
            }
            Self::PutLink(x) if b.rear.link(&x.id).is_none() => format!("Add {}", x.label),
            Self::PutLink(x) => format!("Change {}", x.label),
            Self::RemoveLink(id) => format!("Remove {}", link(id)),
            Self::HoldLength {
                link: id,
                held: Some(_),
            } => format!("Hold length of {}", link(id)),
            Self::HoldLength {
                link: id,
                held: None,
            } => format!("Reset length of {}", link(id)),
            Self::SetHoles { .. } => "Bolt up another combination of holes".to_owned(),
            Self::Differential(_) => "Choose the differential".to_owned(),
            Self::EngineTurn(_) => "Choose the engine's turn".to_owned(),
            Self::PutCoilover(x) if b.power.coilover(&x.id).is_none() => {
                format!("Add {}", x.label)
            }
            Self::PutCoilover(x) => format!("Change {}", x.label),
            Self::RemoveCoilover(id) => format!("Remove {}", coilover(id)),
            Self::MoveEye { coilover: id, .. } => format!("Move {}", coilover(id)),
            Self::SetPreload { coilover: id, .. } => format!("Set preload of {}", coilover(id)),
            Self::Driveshaft(Some(_)) => "Draw the driveshaft".to_owned(),
            Self::Driveshaft(None) => "Take out the driveshaft".to_owned(),
            Self::RailLine(_) => "Draw the frame rail".to_owned(),
            Self::SecondReference(_) => "Set second reference".to_owned(),
            Self::PutTarget(_) => "Set target band".to_owned(),
            Self::RemoveTarget(_) => "Clear target band".to_owned(),
            Self::Rule(_) => "Choose gap rule".to_owned(),
            Self::PutJoint(x) => match b.fit_up.joints.iter().find(|j| j.id == x.id) {
                None => format!("Add joint {}", x.label),
                Some(old) if old.gaps != x.gaps => format!("Log gap at {}", x.label),
                Some(_) => format!("Change joint {}", x.label),
            },
            Self::RemoveJoint(id) => format!("Remove joint {}", joint(id)),
            Self::Weld(edit) => edit.label(b),
            Self::Tube(edit) => edit.label(b),
            Self::Run(edit) => edit.label(b),
            Self::Rolling(edit) => edit.label(b),
            Self::Mark {
                phase,
                check: id,
                mark,
            } => {
                let verb = match (mark.done, &mark.value) {
                    (true, Some(_)) => "Record",
                    (true, None) => "Tick",
                    (false, _) => "Take back",
                };
                format!("{verb} {}", check(phase, id))
            }
            Self::PutCheck { phase: p, check: c } => {
                let is_new = b.phase(p).is_none_or(|p| p.check(&c.id).is_none());
                format!(
                    "{} check {}",
                    if is_new { "Add" } else { "Change" },
                    c.label
                )
            }
            Self::RemoveCheck { phase, check: id } => format!("Remove check {}", check(phase, id)),
            Self::MoveCheck {
                phase, check: id, ..
            } => format!("Move check {}", check(phase, id)),
            Self::AddPhase(p) => format!("Add phase {}", p.title),
            Self::DescribePhase { title, .. } => format!("Change phase {title}"),
            Self::RemovePhase(id) => format!("Remove phase {}", phase(id)),
            Self::MovePhase { phase: id, .. } => format!("Move phase {}", phase(id)),
        }
    }

    /// Applies it.
    ///
    /// # Errors
    /// It names a part that is gone, or would make a build that no file may hold.
    pub(crate) fn apply(&self, b: &mut Build) -> Result<(), EditError> {
        match self {
            Self::Rename(name) => b.name.clone_from(name),
            Self::Revision(r) => b.revision.clone_from(r),
            Self::Note(n) => b.note.clone_from(n),
            Self::Field { id, si } => set_field(b, id, *si)?,
            Self::MoveBracket { bracket, to } => bracket_mut(b, bracket)?.at = *to,
            Self::PutBracket(x) => put(&mut b.rear.brackets, x, |x| &x.id),
            Self::RemoveBracket(id) => remove_bracket(b, id)?,
            Self::SetHole {
                link,
                end,
                side,
                hole,
            } => set_hole(b, link, *end, *side, *hole)?,
            Self::PutLink(x) => put(&mut b.rear.links, x, |x| &x.id),
            Self::RemoveLink(id) => take(&mut b.rear.links, id, "link", |x| &x.id)?,
            Self::HoldLength { link, held } => link_mut(b, link)?.held = *held,
            Self::SetHoles { holes, reset } => {
                for x in holes {
                    set_hole(b, &x.link, x.end, x.side, x.hole)?;
                    if *reset {
                        link_mut(b, &x.link)?.held = None;
                    }
                }
            }
            Self::Differential(d) => b.power.differential = *d,
            Self::EngineTurn(e) => b.power.engine = *e,
            Self::PutCoilover(x) => put(&mut b.power.coilovers, x, |x| &x.id),
            Self::RemoveCoilover(id) => {
                take(&mut b.power.coilovers, id, "coil-over", |x| &x.id)?;
            }
            Self::MoveEye { coilover, end, to } => {
                let x = coilover_mut(b, coilover)?;
                match end {
                    End::Frame => x.at_frame = *to,
                    End::Axle => x.at_axle = *to,
                }
            }
            Self::SetPreload { coilover, preload } => coilover_mut(b, coilover)?.preload = *preload,
            Self::Driveshaft(d) => b.power.driveshaft = *d,
            Self::RailLine(line) => b.frame.line.clone_from(line),
            Self::SecondReference(r) => b.rear.second_reference.clone_from(r),
            Self::PutTarget(t) => put(&mut b.targets, t, |t| &t.reading),
            Self::RemoveTarget(id) => take(&mut b.targets, id, "target", |t| &t.reading)?,
            Self::Rule(rule) => b.fit_up.rule = *rule,
            Self::PutJoint(j) => put(&mut b.fit_up.joints, j, |j| &j.id),
            Self::RemoveJoint(id) => take(&mut b.fit_up.joints, id, "joint", |j| &j.id)?,
            Self::Weld(edit) => edit.apply(b)?,
            Self::Tube(edit) => edit.apply(b)?,
            Self::Run(edit) => edit.apply(b)?,
            Self::Rolling(edit) => edit.apply(b)?,
            Self::Mark { phase, check, mark } => {
                check_mut(b, phase, check)?.marks.push(mark.clone());
            }
            Self::PutCheck { phase, check } => {
                let checks = &mut phase_mut(b, phase)?.checks;
                match checks.iter_mut().find(|c| c.id == check.id) {
                    Some(old) => {
                        let marks = std::mem::take(&mut old.marks);
                        *old = Check {
                            marks,
                            ..check.clone()
                        };
                    }
                    None => checks.push(check.clone()),
                }
            }
            Self::RemoveCheck { phase, check } => {
                take(&mut phase_mut(b, phase)?.checks, check, "check", |c| &c.id)?;
            }
            Self::MoveCheck { phase, check, to } => {
                shift(&mut phase_mut(b, phase)?.checks, check, *to, "check", |c| {
                    &c.id
                })?;
            }
            Self::AddPhase(p) => {
                if b.phase(&p.id).is_some() {
                    return Err(EditError::Invalid {
                        what: format!("There is a phase \"{}\" already", p.id),
                        hint: "Give it another name".to_owned(),
                    });
                }
                b.phases.push(p.clone());
            }
            Self::DescribePhase {
                phase,
                title,
                caution,
                waits_for,
            } => {
                let p = phase_mut(b, phase)?;
                p.title.clone_from(title);
                p.caution.clone_from(caution);
                p.waits_for.clone_from(waits_for);
            }
            Self::RemovePhase(id) => take(&mut b.phases, id, "phase", |p| &p.id)?,
            Self::MovePhase { phase, to } => shift(&mut b.phases, phase, *to, "phase", |p| &p.id)?,
        }
        crate::file::check_values(b).map_err(|invalid| EditError::Invalid {
            what: format!(
                "{}: {}",
                crate::file::spoken(b, &invalid.path),
                invalid.what
            ),
            hint: invalid.hint,
        })
    }
}

fn set_field(b: &mut Build, id: &str, si: f64) -> Result<(), EditError> {
    let f = fields::field(id).ok_or_else(|| gone("field", id))?;
    if !(f.drawn)(b) {
        return Err(gone("field", id));
    }
    if !(si >= f.low && si <= f.high) {
        return Err(EditError::Range {
            label: f.label.to_owned(),
            got: Quantity { kind: f.kind, si }.to_string(),
            low: crate::file::bound(f.kind, f.low),
            high: crate::file::bound(f.kind, f.high),
        });
    }
    (f.set)(b, si);
    Ok(())
}

fn set_hole(b: &mut Build, link: &str, end: End, side: Side, hole: usize) -> Result<(), EditError> {
    let l = b.rear.link(link).ok_or_else(|| gone("link", link))?;
    let at = match end {
        End::Frame => &l.at_frame,
        End::Axle => &l.at_axle,
    };
    let bracket = b
        .rear
        .bracket(&at.bracket)
        .ok_or_else(|| gone("bracket", &at.bracket))?;
    let holes = bracket.hole_count();
    if hole == 0 || hole > holes {
        return Err(EditError::Invalid {
            what: format!("{} has no hole {hole}", bracket.label),
            hint: format!("Choose one from 1 to {holes}"),
        });
    }
    let l = link_mut(b, link)?;
    // A single bar has no sides.
    let side = if l.sides == Sides::Single {
        Side::Both
    } else {
        side
    };
    let at = match end {
        End::Frame => &mut l.at_frame,
        End::Axle => &mut l.at_axle,
    };
    let (mut left, mut right) = (at.hole, at.right_hole.unwrap_or(at.hole));
    match side {
        Side::Both => (left, right) = (hole, hole),
        Side::Left => left = hole,
        Side::Right => right = hole,
    }
    at.hole = left;
    at.right_hole = (right != left).then_some(right);
    Ok(())
}

fn remove_bracket(b: &mut Build, id: &str) -> Result<(), EditError> {
    let user = b
        .rear
        .links
        .iter()
        .find(|l| l.at_frame.bracket == id || l.at_axle.bracket == id);
    if let Some(l) = user {
        return Err(EditError::InUse {
            what: l.label.clone(),
        });
    }
    take(&mut b.rear.brackets, id, "bracket", |x| &x.id)
}

fn bracket_mut<'a>(b: &'a mut Build, id: &str) -> Result<&'a mut Bracket, EditError> {
    let found = b.rear.brackets.iter_mut().find(|x| x.id == id);
    found.ok_or_else(|| gone("bracket", id))
}

fn coilover_mut<'a>(b: &'a mut Build, id: &str) -> Result<&'a mut Coilover, EditError> {
    let found = b.power.coilovers.iter_mut().find(|x| x.id == id);
    found.ok_or_else(|| gone("coil-over", id))
}

fn link_mut<'a>(b: &'a mut Build, id: &str) -> Result<&'a mut Link, EditError> {
    let found = b.rear.links.iter_mut().find(|x| x.id == id);
    found.ok_or_else(|| gone("link", id))
}

fn phase_mut<'a>(b: &'a mut Build, id: &str) -> Result<&'a mut Phase, EditError> {
    let found = b.phases.iter_mut().find(|x| x.id == id);
    found.ok_or_else(|| gone("phase", id))
}

fn check_mut<'a>(b: &'a mut Build, phase: &str, id: &str) -> Result<&'a mut Check, EditError> {
    let found = phase_mut(b, phase)?.checks.iter_mut().find(|c| c.id == id);
    found.ok_or_else(|| gone("check", id))
}

pub(crate) fn put<T: Clone>(list: &mut Vec<T>, item: &T, id: fn(&T) -> &String) {
    match list.iter_mut().find(|x| id(x) == id(item)) {
        Some(old) => old.clone_from(item),
        None => list.push(item.clone()),
    }
}

fn position<T>(
    list: &[T],
    id: &str,
    kind: &'static str,
    key: fn(&T) -> &String,
) -> Result<usize, EditError> {
    list.iter()
        .position(|x| key(x) == id)
        .ok_or_else(|| gone(kind, id))
}

pub(crate) fn take<T>(
    list: &mut Vec<T>,
    id: &str,
    kind: &'static str,
    key: fn(&T) -> &String,
) -> Result<(), EditError> {
    let i = position(list, id, kind, key)?;
    list.remove(i);
    Ok(())
}

fn shift<T>(
    list: &mut Vec<T>,
    id: &str,
    to: usize,
    kind: &'static str,
    key: fn(&T) -> &String,
) -> Result<(), EditError> {
    let i = position(list, id, kind, key)?;
    let item = list.remove(i);
    list.insert(to.min(list.len()), item);
    Ok(())
}

/// A row of `count` holes, for a bracket made in the window.
pub fn row(count: usize, pitch: units::Length) -> Holes {
    Holes::Row {
        count,
        pitch,
        lean: units::Angle::from_si(0.0),
    }
}
