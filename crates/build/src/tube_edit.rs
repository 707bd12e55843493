//! Edits of tube work and of the frame's test.

use units::Length;

use crate::edit::{gone, put, take};
use crate::{
    Build, CarriedBy, Die, EditError, EndCut, Ends, FrameTest, Node, Pair, PointMass, StockBar,
    Tube, TwistReading,
};

/// A change to tube work or to the frame's test.
#[derive(Debug, Clone, PartialEq)]
pub enum TubeEdit {
    /// Puts a corner into a tube, with its node.
    AddCorner {
        /// The tube.
        tube: String,
        /// Place among its corners, from 0.
        place: usize,
        /// The node of the corner; added where it is not there yet.
        node: Node,
        /// Centreline radius.
        radius: Length,
    },
    /// Takes a corner out of a tube; its node stays.
    RemoveCorner {
        /// The tube.
        tube: String,
        /// Place among its corners, from 0.
        place: usize,
    },
    /// Sets the centreline radius of a corner.
    SetRadius {
        /// The tube.
        tube: String,
        /// Place among its corners, from 0.
        place: usize,
        /// Centreline radius.
        radius: Length,
    },
    /// Says which die a tube is bent on.
    SetDie {
        /// The tube.
        tube: String,
        /// The die, or none.
        die: Option<String>,
    },
    /// Says how a tube's ends hold.
    SetEnds {
        /// The tube.
        tube: String,
        /// How.
        ends: Ends,
    },
    /// Cuts a tube before another where both end at a joint.
    CutBefore {
        /// The tube.
        tube: String,
        /// The other one.
        other: String,
    },
    /// Adds a tube, its mirror image too, with their nodes, in one step.
    DrawBraces {
        /// New nodes.
        nodes: Vec<Node>,
        /// The tubes.
        tubes: Vec<Tube>,
    },
    /// Adds a die or replaces the one with its id.
    PutDie(Die),
    /// Removes a die no tube is bent on.
    RemoveDie(String),
    /// Adds a bar or replaces the one with its id.
    PutBar(StockBar),
    /// Removes a bar.
    RemoveBar(String),
    /// Width of the saw cut.
    Kerf(Length),
    /// What is cut off each bar first.
    Trim(Length),
    /// Thickness of the paper of a wrap.
    Paper(Length),
    /// How ends are cut.
    Cut(EndCut),
    /// Sets everything of the frame's test but what was measured.
    SetTest(Box<FrameTest>),
    /// Adds a weight on the frame or replaces the one with its id.
    PutMass(PointMass),
    /// Removes a weight.
    RemoveMass(String),
    /// Reads the twist at a left and a right node too, or no longer.
    PutStation(Pair),
    /// Removes a reading place by its left node.
    RemoveStation(String),
    /// Says which node carries a load, instead of the nearest tube.
    Carry(CarriedBy),
    /// Leaves a load to the nearest tube again.
    CarryByNearest(CarriedBy),
    /// Records a twist test of the real frame.
    MeasureTwist(TwistReading),
    /// Takes the last twist test back.
    TakeBackTwist,
    /// The measured stiffness corrects what is predicted, or not.
    UseMeasured(bool),
}

impl TubeEdit {
    /// What the undo menu calls it; `b` is the document before it.
    pub(crate) fn label(&self, b: &Build) -> String {
        let a = &b.assembly;
        let part = |id: &String| a.part_label(id).unwrap_or(id).to_owned();
        let verb = |old: bool| if old { "Change" } else { "Add" };
        match self {
            Self::AddCorner { tube, .. } => format!("Bend {}", part(tube)),
            Self::RemoveCorner { tube, .. } => format!("Take a bend out of {}", part(tube)),
            Self::SetRadius { tube, .. } => format!("Set a bend radius of {}", part(tube)),
            Self::SetDie { tube, .. } => format!("Choose the die of {}", part(tube)),
            Self::SetEnds { tube, .. } => format!("Set the ends of {}", part(tube)),
            Self::CutBefore { tube, .. } => format!("Cut {} first", part(tube)),
            Self::DrawBraces { tubes, .. } => match tubes.first() {
                Some(x) => format!("Draw {}", x.label),
                None => "Draw nothing".to_owned(),
            },
            Self::PutDie(x) => {
                format!("{} die {}", verb(b.tube_work.die(&x.id).is_some()), x.label)
            }
            Self::RemoveDie(id) => format!("Remove die {id}"),
            Self::PutBar(x) => {
                let old = b.tube_work.stock.iter().any(|y| y.id == x.id);
                format!("{} bar {}", verb(old), x.id)
            }
            Self::RemoveBar(id) => format!("Remove bar {id}"),
            Self::Kerf(_) => "Set the saw cut".to_owned(),
            Self::Trim(_) => "Set the trim".to_owned(),
            Self::Paper(_) => "Set the paper's thickness".to_owned(),
            Self::Cut(_) => "Choose how ends are cut".to_owned(),
            Self::SetTest(_) => "Change the frame test".to_owned(),
            Self::PutMass(x) => {
                let old = b.frame_test.masses.iter().any(|y| y.id == x.id);
                format!("{} weight {}", verb(old), x.label)
            }
            Self::RemoveMass(id) => {
                let found = b.frame_test.masses.iter().find(|y| y.id == *id);
                format!("Remove weight {}", found.map_or(id, |x| &x.label))
            }
            Self::PutStation(_) => "Read the twist at another place".to_owned(),
            Self::RemoveStation(_) => "Read the twist at one place less".to_owned(),
            Self::Carry(_) | Self::CarryByNearest(_) => "Say what carries a load".to_owned(),
            Self::MeasureTwist(_) => "Log a twist test".to_owned(),
            Self::TakeBackTwist => "Take back a twist test".to_owned(),
            Self::UseMeasured(true) => "Use the measured stiffness".to_owned(),
            Self::UseMeasured(false) => "Use the predicted stiffness".to_owned(),
        }
    }

    pub(crate) fn apply(&self, b: &mut Build) -> Result<(), EditError> {
        let work = &mut b.tube_work;
        let test = &mut b.frame_test;
        match self {
            Self::AddCorner {
                tube,
                place,
                node,
                radius,
            } => {
                let bends = &mut tube_mut(b, tube)?.bends;
                let corner = crate::Bend {
                    at: node.id.clone(),
                    radius: *radius,
                };
                bends.insert((*place).min(bends.len()), corner);
                put(&mut b.assembly.nodes, node, |x| &x.id);
            }
            Self::RemoveCorner { tube, place } => {
                let bends = &mut tube_mut(b, tube)?.bends;
                if *place >= bends.len() {
                    return Err(gone("bend", tube));
                }
                bends.remove(*place);
            }
            Self::SetRadius {
                tube,
                place,
                radius,
            } => {
                let bend = tube_mut(b, tube)?.bends.get_mut(*place);
                bend.ok_or_else(|| gone("bend", tube))?.radius = *radius;
            }
            Self::SetDie { tube, die } => tube_mut(b, tube)?.die.clone_from(die),
            Self::SetEnds { tube, ends } => tube_mut(b, tube)?.ends = *ends,
            Self::CutBefore { tube, other } => {
                let tubes = &mut b.assembly.tubes;
                let find = |id: &String| tubes.iter().position(|x| x.id == *id);
                let (Some(at), Some(to)) = (find(tube), find(other)) else {
                    return Err(gone(
                        "tube",
                        if find(tube).is_none() { tube } else { other },
                    ));
                };
                if at > to {
                    tubes[to..=at].rotate_right(1);
                }
            }
            Self::DrawBraces { nodes, tubes } => {
                for x in nodes {
                    put(&mut b.assembly.nodes, x, |x| &x.id);
                }
                for x in tubes {
                    put(&mut b.assembly.tubes, x, |x| &x.id);
                }
            }
            Self::PutDie(x) => put(&mut work.dies, x, |x| &x.id),
            Self::RemoveDie(id) => {
                let user = b.assembly.tubes.iter().find(|x| x.die.as_ref() == Some(id));
                if let Some(x) = user {
                    return Err(EditError::Invalid {
                        what: format!("{} is bent on it", x.label),
                        hint: "Choose another die for that tube first".to_owned(),
                    });
                }
                take(&mut work.dies, id, "die", |x| &x.id)?;
            }
            Self::PutBar(x) => put(&mut work.stock, x, |x| &x.id),
            Self::RemoveBar(id) => take(&mut work.stock, id, "bar", |x| &x.id)?,
            Self::Kerf(x) => work.kerf = *x,
            Self::Trim(x) => work.trim = *x,
            Self::Paper(x) => work.paper = *x,
            Self::Cut(x) => work.cut = *x,
            Self::SetTest(x) => {
                let measured = std::mem::take(&mut test.measured);
                *test = FrameTest {
                    measured,
                    ..(**x).clone()
                };
            }
            Self::PutMass(x) => put(&mut test.masses, x, |x| &x.id),
            Self::RemoveMass(id) => take(&mut test.masses, id, "weight", |x| &x.id)?,
            Self::PutStation(x) => put(&mut test.stations, x, |x| &x.left),
            Self::RemoveStation(id) => take(&mut test.stations, id, "place", |x| &x.left)?,
            Self::Carry(x) => match test.carriers.iter_mut().find(|y| y.load == x.load) {
                Some(old) => old.clone_from(x),
                None => test.carriers.push(x.clone()),
            },
            Self::CarryByNearest(x) => test.carriers.retain(|y| y.load != x.load),
            Self::MeasureTwist(x) => test.measured.push(x.clone()),
            Self::TakeBackTwist => {
                if test.measured.pop().is_none() {
                    return Err(EditError::Invalid {
                        what: "There is no twist test to take back".to_owned(),
                        hint: "Nothing was changed".to_owned(),
                    });
                }
            }
            Self::UseMeasured(x) => test.use_measured = *x,
        }
        Ok(())
    }
}

fn tube_mut<'a>(b: &'a mut Build, id: &str) -> Result<&'a mut Tube, EditError> {
    let found = b.assembly.tubes.iter_mut().find(|x| x.id == id);
    found.ok_or_else(|| gone("tube", id))
}
