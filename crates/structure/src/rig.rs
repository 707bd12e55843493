//! The twist and the bending test.
//!
//! **Twist.** The rear points are held without strain (left x y z and the turn about y, right x z), the front left point
//! is pushed up and the front right one down by T/b_f, a torque T about +x. φ of a left/right pair is
//! (z_L − z_R)/(y_L − y_R) of displacements, about +x; the stiffness is T/(φ_front − φ_rear). With the rear points
//! clamped in all freedoms it is another, stiffer test.
//!
//! **Bending.** Held up (z) at four corners, x and y as above, the load W half down at each of two points; the stiffness is
//! W over their mean deflection.

use nalgebra::Vector3;

use crate::error::{FrameError, SolveError};
use crate::model::{Frame, Load, Supports};
use crate::motion::FreeMotions;
use crate::solve::{Displacement, Factored, Solution, Symbolic};

/// Pound-feet a newton-metre: N·m are divided by it.
pub const NEWTON_METRES_PER_POUND_FOOT: f64 = 1.355_817_948_331_400_4;

/// Share of the torque on the support against pitching above which it is a finding.
const CARRIES: f64 = 1e-6;

/// A left and a right node.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Pair {
    /// Left node.
    pub left: usize,
    /// Right node.
    pub right: usize,
}

impl Pair {
    /// Left and right node.
    #[must_use]
    pub fn new(left: usize, right: usize) -> Self {
        Self { left, right }
    }
}

/// How the rear points of the twist test are held.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default, Hash)]
pub enum RearHold {
    /// Without strain: left x y z and the turn about y, right x z.
    #[default]
    Determinate,
    /// Both in all six freedoms.
    Clamped,
}

/// Which test.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Test {
    /// Twist between two pairs.
    Twist {
        /// Pair that is loaded.
        front: Pair,
        /// Pair that is held.
        rear: Pair,
        /// How it is held.
        hold: RearHold,
    },
    /// Bending between four corners.
    Bending {
        /// Held pair at the front.
        front: Pair,
        /// Held pair at the rear.
        rear: Pair,
        /// Loaded pair.
        middle: Pair,
    },
}

/// What to know about a test's answer.
#[derive(Clone, Debug, PartialEq)]
pub enum Finding {
    /// The support against pitching carries this moment about y, N·m, per N·m of torque: front or rear points are not at
    /// one x.
    PitchSupportCarries {
        /// Moment over torque.
        share: f64,
        /// x of the front left point less the right one, m.
        front_apart: f64,
        /// The same at the rear, m.
        rear_apart: f64,
    },
    /// Motions that nothing resists and the test does not drive.
    FreeMotions(FreeMotions),
}

/// A test with what can be kept while the frame is edited.
#[derive(Clone, Debug)]
pub struct Rig {
    test: Test,
    supports: Supports,
    symbolic: Symbolic,
}

/// A test carried out on one shape of the frame, for a unit load (1 N·m, or 1 N).
#[derive(Clone, Debug)]
pub struct Tested {
    /// The test.
    pub test: Test,
    /// Twist, N·m/rad; bending, N/m.
    pub stiffness: f64,
    /// Answer to the unit load.
    pub unit: Solution,
    /// What to know about it.
    pub findings: Vec<Finding>,
    pub(crate) factored: Factored,
}

impl Test {
    /// Supports of the test.
    #[must_use]
    pub fn supports(&self) -> Supports {
        match *self {
            Self::Twist { rear, hold, .. } => match hold {
                RearHold::Determinate => Supports::new()
                    .hold(rear.left, "xyzb")
                    .hold(rear.right, "xz"),
                RearHold::Clamped => Supports::new()
                    .hold(rear.left, "xyzabc")
                    .hold(rear.right, "xyzabc"),
            },
            Self::Bending { front, rear, .. } => Supports::new()
                .hold(rear.left, "xyz")
                .hold(rear.right, "xz")
                .hold(front.left, "z")
                .hold(front.right, "z"),
        }
    }

    /// The unit load: a torque of 1 N·m about +x, or 1 N down.
    fn load(&self, frame: &Frame) -> Result<[Load; 2], SolveError> {
        match *self {
            Self::Twist { front, rear, .. } => {
                across(frame, "rear", rear)?;
                let b = across(frame, "front", front)?;
                let up = Vector3::z() / b;
                Ok([Load::force(front.left, up), Load::force(front.right, -up)])
            }
            Self::Bending { middle, .. } => {
                let down = Vector3::new(0.0, 0.0, -0.5);
                Ok([middle.left, middle.right].map(|node| Load::force(node, down)))
            }
        }
    }
}

/// y_L − y_R of a pair, m.
fn across(frame: &Frame, what: &'static str, pair: Pair) -> Result<f64, SolveError> {
    let Pair { left, right } = pair;
    for (index, node) in [left, right].into_iter().enumerate() {
        frame.check_node("test point", index, node)?;
    }
    let apart = frame.nodes[left].y - frame.nodes[right].y;
    if apart > 1e-6 {
        return Ok(apart);
    }
    Err(SolveError::Points {
        what,
        left,
        right,
        apart,
    })
}

impl Rig {
    /// Lays out a test of a frame.
    ///
    /// # Errors
    /// [`FrameError`]: the frame or the test's points are wrong.
    pub fn new(frame: &Frame, test: Test) -> Result<Self, FrameError> {
        let supports = test.supports();
        Ok(Self {
            symbolic: Symbolic::new(frame, &supports)?,
            test,
            supports,
        })
    }

    /// Carries the test out on the frame as it is now. Only positions or sections changed: the kept structure is used;
    /// otherwise it is made again.
    ///
    /// # Errors
    /// [`SolveError`]: the frame is wrong, free to move, or the points do not lie left and right.
    pub fn run(&mut self, frame: &Frame) -> Result<Tested, SolveError> {
        if !self.symbolic.fits(frame) {
            self.symbolic = Symbolic::new(frame, &self.supports)?;
        }
        let factored = self.symbolic.factor(frame)?;
        let load = self.test.load(frame)?;
        let unit = factored.solve(&load)?;
        let deflection = worked(&load, &unit.displacements);
        // Turning the front pair against a rear pair that is held at z.
        if !(deflection.is_finite() && deflection > 0.0) {
            return Err(SolveError::NoDeflection { deflection });
        }
        let mut findings = Vec::new();
        if let Test::Twist {
            front,
            rear,
            hold: RearHold::Determinate,
        } = self.test
        {
            let held = unit.reactions.iter().find(|(n, _)| *n == rear.left);
            let share = held.map_or(0.0, |(_, r)| r[4]);
            if share.abs() > CARRIES {
                let apart = |p: Pair| frame.nodes[p.left].x - frame.nodes[p.right].x;
                findings.push(Finding::PitchSupportCarries {
                    share,
                    front_apart: apart(front),
                    rear_apart: apart(rear),
                });
            }
        }
        if let Some(free) = &unit.free {
            findings.push(Finding::FreeMotions(free.clone()));
        }
        Ok(Tested {
            test: self.test,
            stiffness: 1.0 / deflection,
            unit,
            findings,
            factored,
        })
    }
}

/// Carries out a test once.
///
/// # Errors
/// As [`Rig::new`] and [`Rig::run`].
pub fn run(frame: &Frame, test: Test) -> Result<Tested, SolveError> {
    Rig::new(frame, test)?.run(frame)
}

/// Work of a load over displacements, per unit.
fn worked(load: &[Load], displacements: &[Displacement]) -> f64 {
    load.iter()
        .map(|l| {
            let d = displacements[l.node];
            l.force.dot(&Vector3::new(d[0], d[1], d[2]))
        })
        .sum()
}

/// One point of a twist curve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CurvePoint {
    /// The pair.
    pub pair: Pair,
    /// Mean x of its nodes, m.
    pub x: f64,
    /// φ about +x, rad.
    pub phi: f64,
}

impl Tested {
    /// Stiffness per degree instead of per radian.
    #[must_use]
    pub fn per_degree(&self) -> f64 {
        self.stiffness.to_radians()
    }

    /// Twist stiffness, lb·ft per degree.
    #[must_use]
    pub fn pound_feet_per_degree(&self) -> f64 {
        self.per_degree() / NEWTON_METRES_PER_POUND_FOOT
    }

    /// The answer to a load of this size: torque, N·m, or W, N.
    #[must_use]
    pub fn scaled(&self, load: f64) -> Solution {
        let mut s = self.unit.clone();
        for d in &mut s.displacements {
            for x in d {
                *x *= load;
            }
        }
        for (_, r) in &mut s.reactions {
            for x in r {
                *x *= load;
            }
        }
        for f in &mut s.end_forces {
            for x in f {
                *x *= load;
            }
        }
        for e in &mut s.energies {
            *e *= load * load;
        }
        s
    }

    /// φ of left/right pairs over x for a load of this size; pairs that name no nodes or do not lie left and right are
    /// left out.
    #[must_use]
    pub fn curve(&self, pairs: &[Pair], load: f64) -> Vec<CurvePoint> {
        pairs
            .iter()
            .filter_map(|&pair| {
                let (l, r) = (
                    self.factored.positions.get(pair.left)?,
                    self.factored.positions.get(pair.right)?,
                );
                let apart = l.y - r.y;
                let rise =
                    self.unit.displacements[pair.left][2] - self.unit.displacements[pair.right][2];
                (apart > 1e-6).then(|| CurvePoint {
                    pair,
                    x: (l.x + r.x) / 2.0,
                    phi: load * rise / apart,
                })
            })
            .collect()
    }

    /// The factored frame under the test's supports.
    #[must_use]
    pub fn factored(&self) -> &Factored {
        &self.factored
    }
}
