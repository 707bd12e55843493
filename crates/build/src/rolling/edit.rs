//! Edits of the rolling chassis.

use super::{Adjuster, BodyBox, Brakes, Driveline, FrontEnd, MockUp, points};
use crate::edit::{gone, put, take};
use crate::{Build, EditError, Place};

/// A change to front end, brakes, driveline or mock-up.
#[derive(Debug, Clone, PartialEq)]
pub enum RollingEdit {
    /// Draws the front end anew, or takes it out.
    FrontEnd(&'static str, Option<Box<FrontEnd>>),
    /// Lays out the brakes anew, or takes them out: what the undo menu calls it, and the brakes.
    Brakes(&'static str, Option<Box<Brakes>>),
    /// Describes the driveline anew, or takes it out.
    Driveline(&'static str, Option<Box<Driveline>>),
    /// Mocks up anew, or takes it out.
    MockUp(&'static str, Option<Box<MockUp>>),
    /// Moves a point of [`points::POINTS`].
    Move {
        /// Its path.
        point: String,
        /// Where to (a pair: the left one).
        to: Place,
    },
    /// Adds an adjuster or replaces the one with its id.
    PutAdjuster(Adjuster),
    /// Removes an adjuster.
    RemoveAdjuster(String),
    /// Adds a part of the body or replaces the one with its id.
    PutBody(BodyBox),
    /// Removes a part of the body.
    RemoveBody(String),
}

impl RollingEdit {
    pub(crate) fn label(&self, b: &Build) -> String {
        match self {
            Self::FrontEnd(what, _)
            | Self::Brakes(what, _)
            | Self::Driveline(what, _)
            | Self::MockUp(what, _) => (*what).to_owned(),
            Self::Move { point, .. } => {
                let label = points::point(point).map_or(point.as_str(), |p| p.label);
                format!("Move {}", label.to_lowercase())
            }
            Self::PutAdjuster(x) => format!("Describe {}", x.label),
            Self::RemoveAdjuster(id) => format!("Remove adjuster {id}"),
            Self::PutBody(x) => {
                let old = body(b).is_some_and(|all| all.iter().any(|y| y.id == x.id));
                format!("{} {}", if old { "Change" } else { "Add" }, x.label)
            }
            Self::RemoveBody(id) => {
                let found = body(b).and_then(|all| all.iter().find(|y| y.id == *id));
                format!("Remove {}", found.map_or(id, |x| &x.label))
            }
        }
    }

    pub(crate) fn apply(&self, b: &mut Build) -> Result<(), EditError> {
        match self {
            Self::FrontEnd(_, x) => b.front_end = x.as_deref().cloned(),
            Self::Brakes(_, x) => b.brakes = x.as_deref().cloned(),
            Self::Driveline(_, x) => b.driveline = x.as_deref().cloned(),
            Self::MockUp(_, x) => b.mock_up = x.as_deref().cloned(),
            Self::Move { point, to } => {
                let known = points::point(point).filter(|p| (p.get)(b).is_some());
                (known.ok_or_else(|| gone("point", point))?.set)(b, *to);
            }
            Self::PutAdjuster(x) => {
                let front = b
                    .front_end
                    .as_mut()
                    .ok_or_else(|| gone("adjuster", &x.id))?;
                put(&mut front.adjusters, x, |y| &y.id);
            }
            Self::RemoveAdjuster(id) => {
                let front = b.front_end.as_mut().ok_or_else(|| gone("adjuster", id))?;
                take(&mut front.adjusters, id, "adjuster", |y| &y.id)?;
            }
            Self::PutBody(x) => {
                let mock = b
                    .mock_up
                    .as_mut()
                    .ok_or_else(|| gone("part of the body", &x.id))?;
                put(&mut mock.body, x, |y| &y.id);
            }
            Self::RemoveBody(id) => {
                let mock = b
                    .mock_up
                    .as_mut()
                    .ok_or_else(|| gone("part of the body", id))?;
                take(&mut mock.body, id, "part of the body", |y| &y.id)?;
            }
        }
        Ok(())
    }
}

fn body(b: &Build) -> Option<&[BodyBox]> {
    b.mock_up.as_ref().map(|m| m.body.as_slice())
}
