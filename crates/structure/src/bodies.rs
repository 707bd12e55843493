//! Nodes that rigid links make one piece, and which of a piece's freedoms are unknowns.
//!
//! A piece moves with one of its nodes: the held one, or else the last master. Elimination is exact: a node's
//! displacement is u + ω × a, a from the piece's node to it.

use nalgebra::Vector3;

use crate::error::FrameError;
use crate::model::{Frame, Supports};

/// A freedom of a piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Freedom {
    /// Unknown, with its index.
    Free(usize),
    /// Held by a support.
    Held,
    /// Nothing resists or loads it: a turn where only pinned ends meet, or a node without members.
    Dropped,
}

#[derive(Clone, Debug)]
pub(crate) struct Bodies {
    /// Piece of each node.
    pub(crate) of: Vec<usize>,
    /// The node each piece moves with.
    pub(crate) reference: Vec<usize>,
    pub(crate) freedoms: Vec<[Freedom; 6]>,
    /// Number of unknowns.
    pub(crate) unknowns: usize,
    /// Node of each unknown and which of its six freedoms.
    pub(crate) place: Vec<(usize, usize)>,
}

impl Bodies {
    /// The frame must have passed [`Frame::check`].
    pub(crate) fn new(frame: &Frame, supports: &Supports) -> Result<Self, FrameError> {
        let root = roots(frame)?;
        let n = frame.nodes.len();
        let mut held = vec![[false; 6]; n];
        for (index, support) in supports.0.iter().enumerate() {
            frame.check_node("support", index, support.node)?;
            for (all, new) in held[support.node].iter_mut().zip(support.held) {
                *all |= new;
            }
        }
        let (mut of, mut reference) = (vec![usize::MAX; n], Vec::new());
        for (node, &root) in root.iter().enumerate() {
            if of[root] == usize::MAX {
                of[root] = reference.len();
                reference.push(root);
            }
            of[node] = of[root];
        }
        let mut holds = vec![None; reference.len()];
        for node in 0..n {
            if !held[node].contains(&true) {
                continue;
            }
            let body = of[node];
            if let Some(first) = holds[body] {
                return Err(FrameError::HeldTwice { first, node });
            }
            holds[body] = Some(node);
            reference[body] = node;
        }
        // A piece of several nodes turns as a whole even where only pinned ends meet.
        let mut size = vec![0_usize; reference.len()];
        for &body in &of {
            size[body] += 1;
        }
        let (mut carries, mut turns) = (vec![false; reference.len()], vec![false; reference.len()]);
        for member in &frame.members {
            for (end, node) in [member.i, member.j].into_iter().enumerate() {
                carries[of[node]] = true;
                turns[of[node]] |= !member.pins.at(end) || size[of[node]] > 1;
            }
        }
        let mut place = Vec::new();
        let freedoms = (0..reference.len())
            .map(|body| {
                let node = reference[body];
                std::array::from_fn(|k| {
                    if !carries[body] || (k >= 3 && !turns[body]) {
                        Freedom::Dropped
                    } else if held[node][k] {
                        Freedom::Held
                    } else {
                        place.push((body, k));
                        Freedom::Free(place.len() - 1)
                    }
                })
            })
            .collect();
        Ok(Self {
            of,
            reference,
            freedoms,
            unknowns: place.len(),
            place,
        })
    }

    /// From a piece's node to each node, m.
    pub(crate) fn arms(&self, frame: &Frame) -> Vec<Vector3<f64>> {
        let at = |node: usize| frame.nodes.get(node).copied().unwrap_or_default();
        self.of
            .iter()
            .enumerate()
            .map(|(node, &body)| at(node) - at(self.reference[body]))
            .collect()
    }
}

/// The last master of every node.
fn roots(frame: &Frame) -> Result<Vec<usize>, FrameError> {
    let n = frame.nodes.len();
    let mut by: Vec<Option<usize>> = vec![None; n];
    for (link, l) in frame.rigid_links.iter().enumerate() {
        if l.slave == l.master {
            let node = l.slave;
            return Err(FrameError::LinkCycle { link, node });
        }
        if let Some(first) = by[l.slave] {
            return Err(FrameError::SlaveTwice {
                node: l.slave,
                first,
                link,
            });
        }
        by[l.slave] = Some(link);
    }
    let mut root: Vec<Option<usize>> = vec![None; n];
    for start in 0..n {
        let (mut node, mut path) = (start, Vec::new());
        let end = loop {
            if let Some(known) = root[node] {
                break known;
            }
            let Some(link) = by[node] else {
                break node;
            };
            if path.len() > frame.rigid_links.len() {
                return Err(FrameError::LinkCycle { link, node });
            }
            path.push(node);
            node = frame.rigid_links[link].master;
        };
        root[start] = Some(end);
        for passed in path {
            root[passed] = Some(end);
        }
    }
    Ok(root
        .into_iter()
        .enumerate()
        .map(|(node, r)| r.unwrap_or(node))
        .collect())
}
