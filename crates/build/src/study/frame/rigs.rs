//! The twist and the bending test of the frame.

use std::collections::BTreeMap;

use structure::rig::{Pair as NodePair, RearHold, Rig, Test, Tested};
use structure::sensitivity::{Share, by_tube};
use structure::solve::Displacement;

use super::skeleton::Skeleton;
use super::words;
use crate::{Assembly, FrameTest, Pair};

/// The twist test carried out. Numbers are as computed, not corrected by a measured test.
#[derive(Debug, Clone)]
pub struct TwistAnswer {
    /// How the rear nodes are held.
    pub hold: RearHold,
    /// Torque over the twist between rear and front, N·m/rad.
    pub stiffness: f64,
    /// Torque the curve and the displacements are for, N·m.
    pub torque: f64,
    /// Twist over the length, from back to front.
    pub curve: Vec<TwistPoint>,
    /// What lies between the stations, from back to front.
    pub bays: Vec<Bay>,
    /// The bay that twists most per length, where there are two or more.
    pub soft: Option<usize>,
    /// Displacement of every frame node at the torque: m and rad, x y z each.
    pub displacements: Vec<Displacement>,
    pub(super) tested: Tested,
}

/// A station of the twist curve.
#[derive(Debug, Clone, PartialEq)]
pub struct TwistPoint {
    /// What the place is called.
    pub label: String,
    /// Left node.
    pub left: String,
    /// Right node.
    pub right: String,
    /// Where, m ahead of the datum.
    pub x: f64,
    /// Twist about +x, rad.
    pub phi: f64,
}

/// A stretch between two stations.
#[derive(Debug, Clone, PartialEq)]
pub struct Bay {
    /// Its two stations in the curve.
    pub between: [usize; 2],
    /// Its share of the whole twist.
    pub share: f64,
    /// Twist per length, rad/m.
    pub rate: f64,
}

/// The bending test carried out, as computed.
#[derive(Debug, Clone)]
pub struct BendingAnswer {
    /// Load over the mean sag of the middle nodes, N/m.
    pub stiffness: f64,
    /// Load the displacements are for, N: 1000 kg on the middle.
    pub load: f64,
    /// Displacement of every frame node at the load: m and rad, x y z each.
    pub displacements: Vec<Displacement>,
    pub(super) tested: Tested,
}

/// What one tube does in the twist test.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TubeShare {
    /// Place among the assembly's tubes.
    pub tube: usize,
    /// Mass over its centreline, kg.
    pub mass: f64,
    /// Its share of the strain energy in twist, 0 to 1.
    pub energy: f64,
    /// Twist stiffness gained per kilogram of wall, outside sizes held, (N·m/rad)/kg.
    pub by_wall: Option<f64>,
    /// The same per kilogram of outside diameter, wall held; round tubes.
    pub by_diameter: Option<f64>,
    /// Its share of the strain energy in bending, where that test has an answer.
    pub bending_energy: Option<f64>,
}

impl TubeShare {
    /// The better of the two, (N·m/rad)/kg.
    pub fn best(&self) -> Option<f64> {
        match (self.by_wall, self.by_diameter) {
            (Some(a), Some(b)) => Some(a.max(b)),
            (a, b) => a.or(b),
        }
    }
}

/// Rigs whose structure is kept while only sizes and places change.
#[derive(Debug, Clone, Default)]
pub(super) struct Rigs(Vec<(Test, Rig)>);

impl Rigs {
    /// Carries a test out, on the rig of `earlier` where it has it.
    pub fn run(
        &mut self,
        s: &Skeleton,
        a: &Assembly,
        test: Test,
        earlier: &Self,
    ) -> Result<Tested, String> {
        let kept = earlier.0.iter().find(|(t, _)| *t == test);
        let rig = match kept {
            Some((_, rig)) => Ok(rig.clone()),
            None => Rig::new(&s.frame, test),
        };
        let mut rig = rig.map_err(|e| words::frame_error(s, a, &e))?;
        let tested = rig
            .run(&s.frame)
            .map_err(|e| words::solve_error(s, a, &e))?;
        self.0.push((test, rig));
        Ok(tested)
    }
}

/// Load of the bending test that the drawn shape is for, kg.
const SAG_MASS: f64 = 1000.0;

fn pair(s: &Skeleton, p: Option<&Pair>, what: &str) -> Result<NodePair, String> {
    let p = p.ok_or_else(|| format!("no nodes are named for the frame's test {what}"))?;
    let node = |id: &str| {
        s.node(id)
            .ok_or_else(|| format!("the test's node {id} {what} lies on no tube of the frame"))
    };
    Ok(NodePair::new(node(&p.left)?, node(&p.right)?))
}

/// The twist test that is asked for.
pub(super) fn twist_test(s: &Skeleton, t: &FrameTest, hold: RearHold) -> Result<Test, String> {
    Ok(Test::Twist {
        rear: pair(s, t.rear.as_ref(), "at the back")?,
        front: pair(s, t.front.as_ref(), "at the front")?,
        hold,
    })
}

pub(super) fn bending_test(s: &Skeleton, t: &FrameTest) -> Result<Test, String> {
    Ok(Test::Bending {
        rear: pair(s, t.rear.as_ref(), "at the back")?,
        front: pair(s, t.front.as_ref(), "at the front")?,
        middle: pair(s, t.middle.as_ref(), "in the middle")?,
    })
}

pub(super) fn twist(s: &Skeleton, t: &FrameTest, tested: Tested) -> TwistAnswer {
    let torque = t.torque.si();
    let hold = match tested.test {
        Test::Twist { hold, .. } => hold,
        Test::Bending { .. } => RearHold::default(),
    };
    let mut stations: Vec<(&Pair, NodePair)> = Vec::new();
    let named = t.stations.iter();
    let own = [&t.rear, &t.middle, &t.front];
    let all: Vec<&Pair> = if t.stations.is_empty() {
        own.into_iter().flatten().collect()
    } else {
        named.collect()
    };
    for p in all {
        if let (Some(l), Some(r)) = (s.node(&p.left), s.node(&p.right)) {
            stations.push((p, NodePair::new(l, r)));
        }
    }
    let mut curve: Vec<TwistPoint> = stations
        .iter()
        .filter_map(|(p, nodes)| {
            let found = *tested.curve(&[*nodes], torque).first()?;
            let label = match p.label.as_str() {
                "" => format!("{} and {}", p.left, p.right),
                label => label.to_owned(),
            };
            Some(TwistPoint {
                label,
                left: p.left.clone(),
                right: p.right.clone(),
                x: found.x,
                phi: found.phi,
            })
        })
        .collect();
    curve.sort_by(|a, b| a.x.total_cmp(&b.x));
    let whole = torque / tested.stiffness;
    let bays: Vec<Bay> = (1..curve.len())
        .filter_map(|k| {
            let (from, to) = (&curve[k - 1], &curve[k]);
            let long = to.x - from.x;
            (long > 1e-3).then(|| Bay {
                between: [k - 1, k],
                share: (to.phi - from.phi) / whole,
                rate: (to.phi - from.phi) / long,
            })
        })
        .collect();
    let soft = (bays.len() > 1)
        .then(|| (0..bays.len()).max_by(|a, b| bays[*a].rate.total_cmp(&bays[*b].rate)))
        .flatten();
    TwistAnswer {
        hold,
        stiffness: tested.stiffness,
        torque,
        curve,
        bays,
        soft,
        displacements: scaled(&tested, torque),
        tested,
    }
}

fn scaled(tested: &Tested, load: f64) -> Vec<Displacement> {
    let all = tested.unit.displacements.iter();
    all.map(|d| d.map(|x| x * load)).collect()
}

pub(super) fn bending(tested: Tested) -> BendingAnswer {
    let load = SAG_MASS * vehicle::STANDARD_GRAVITY;
    BendingAnswer {
        stiffness: tested.stiffness,
        load,
        displacements: scaled(&tested, load),
        tested,
    }
}

/// Shares of every tube of the piece, the most gained per kilogram first.
pub(super) fn shares(
    s: &Skeleton,
    twist: Option<&TwistAnswer>,
    bending: Option<&BendingAnswer>,
) -> Vec<TubeShare> {
    let by = |tested: Option<&Tested>| -> BTreeMap<usize, Share> {
        tested
            .and_then(|t| by_tube(&s.frame, t).ok())
            .unwrap_or_default()
    };
    let twist = by(twist.map(|t| &t.tested));
    let bent = by(bending.map(|b| &b.tested));
    let mut all: Vec<TubeShare> = twist
        .iter()
        .map(|(&tube, share)| TubeShare {
            tube,
            mass: s.lines[tube].as_ref().map_or(share.mass, |l| l.mass),
            energy: share.energy_share,
            by_wall: share.wall.map(|r| r.per_kilogram()),
            by_diameter: share.outside_diameter.map(|r| r.per_kilogram()),
            bending_energy: bent.get(&tube).map(|b| b.energy_share),
        })
        .collect();
    let key = |t: &TubeShare| t.best().unwrap_or(0.0);
    all.sort_by(|a, b| key(b).total_cmp(&key(a)).then(a.tube.cmp(&b.tube)));
    all
}
