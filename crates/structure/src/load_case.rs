//! Forces on a frame that flies: inertia balances them, supports carry nothing.
//!
//! The masses (lumps at nodes, and each member's own, half at each end) get one rigid acceleration (a − g, α) that makes
//! the sum of all forces and moments zero; the frame is then held without strain anywhere. a must be the acceleration
//! that the forces belong to and α zero: if not, masses and forces do not belong together.

use nalgebra::{Matrix3, Vector3};

use crate::bodies::Bodies;
use crate::error::SolveError;
use crate::model::{Frame, Load, Supports};
use crate::motion::FreeMotions;
use crate::number::at_most;
use crate::solve::{Solution, Symbolic};

/// Standard gravity, m/s².
pub const STANDARD_GRAVITY: f64 = 9.806_65;

/// Part of the weight that the supports may carry.
pub const UNBALANCED: f64 = 1e-9;

/// A mass at a node.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PointMass {
    /// Node.
    pub node: usize,
    /// Mass, kg.
    pub mass: f64,
}

/// Forces and masses.
#[derive(Clone, Debug, PartialEq)]
pub struct LoadCase {
    /// Forces and moments on nodes, without weight and inertia.
    pub loads: Vec<Load>,
    /// Masses at nodes.
    pub masses: Vec<PointMass>,
    /// Whether the members' own mass counts.
    pub own_mass: bool,
    /// Gravity: the acceleration of free fall, m/s²; (0, 0, −9.80665) on the road.
    pub gravity: Vector3<f64>,
    /// The acceleration the forces belong to, m/s².
    pub expected: Option<Expected>,
}

/// An acceleration to be met.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Expected {
    /// Acceleration, m/s².
    pub acceleration: Vector3<f64>,
    /// Allowed difference, m/s².
    pub tolerance: f64,
    /// Allowed angular acceleration, rad/s².
    pub angular_tolerance: f64,
}

/// What to know about a load case.
#[derive(Clone, Debug, PartialEq)]
pub enum CaseFinding {
    /// The forces give these masses another acceleration.
    Acceleration {
        /// Found less expected, m/s².
        difference: Vector3<f64>,
    },
    /// The forces turn these masses.
    AngularAcceleration {
        /// Angular acceleration, rad/s².
        alpha: Vector3<f64>,
    },
    /// The supports carry more than rounding.
    Unbalanced {
        /// Largest reaction over the weight.
        share: f64,
    },
    /// Motions that nothing resists and the forces do not drive.
    FreeMotions(FreeMotions),
}

/// The frame under a load case.
#[derive(Clone, Debug, PartialEq)]
pub struct CaseAnswer {
    /// All masses, kg.
    pub mass: f64,
    /// Their centre, m.
    pub centre: Vector3<f64>,
    /// Acceleration a of the centre, m/s².
    pub acceleration: Vector3<f64>,
    /// Angular acceleration, rad/s².
    pub angular: Vector3<f64>,
    /// Largest force on a support over the weight (mass × 9.80665).
    pub unbalanced: f64,
    /// Weight and inertia on every node with mass.
    pub inertia: Vec<Load>,
    /// Displacements (measured from the supports), member forces, reactions.
    pub solution: Solution,
    /// What to know about it.
    pub findings: Vec<CaseFinding>,
}

/// Mass of every node, kg.
///
/// # Errors
/// [`SolveError`]: a mass is not zero or more, or on no node.
pub fn nodal_masses(
    frame: &Frame,
    masses: &[PointMass],
    own: bool,
) -> Result<Vec<f64>, SolveError> {
    let mut out = vec![0.0; frame.nodes.len()];
    for (index, m) in masses.iter().enumerate() {
        frame.check_node("mass", index, m.node)?;
        if !(m.mass >= 0.0 && m.mass.is_finite()) {
            return Err(SolveError::Number {
                what: "a mass",
                value: m.mass,
                range: "zero or more",
            });
        }
        out[m.node] += m.mass;
    }
    if own {
        for (index, member) in frame.members.iter().enumerate() {
            frame.check_node("member", index, member.i)?;
            frame.check_node("member", index, member.j)?;
            let half = frame.member_mass(index).unwrap_or(0.0) / 2.0;
            out[member.i] += half;
            out[member.j] += half;
        }
    }
    Ok(out)
}

/// A support that only keeps the frame in place: three nodes on no line, far apart and on pieces of their own, held in
/// three, two and one translations.
fn anywhere(frame: &Frame) -> Result<Supports, SolveError> {
    let bodies = Bodies::new(frame, &Supports::new())?;
    let mut used = vec![false; frame.nodes.len()];
    for m in &frame.members {
        used[m.i] = true;
        used[m.j] = true;
    }
    let at = |n: usize| frame.nodes[n];
    let farthest = |taken: &[usize], measure: &dyn Fn(usize) -> f64| {
        (0..used.len())
            .filter(|n| used[*n] && taken.iter().all(|t| bodies.of[*t] != bodies.of[*n]))
            .max_by(|a, b| measure(*a).total_cmp(&measure(*b)))
            .ok_or(SolveError::NowhereToHold)
    };
    let first = farthest(&[], &|n| -at(n).x)?;
    let second = farthest(&[first], &|n| (at(n) - at(first)).norm())?;
    let line = at(second) - at(first);
    let third = farthest(&[first, second], &|n| {
        (at(n) - at(first)).cross(&line).norm()
    })?;
    let normal = (at(third) - at(first)).cross(&line);
    if at_most(normal.norm(), 1e-6 * line.norm_squared()) {
        return Err(SolveError::NowhereToHold);
    }
    // The third against the turn about the line, the second against the two turns across it.
    const LETTERS: [&str; 3] = ["x", "y", "z"];
    let keep = line.iamax();
    let across: String = (0..3).filter(|k| *k != keep).map(|k| LETTERS[k]).collect();
    Ok(Supports::new()
        .hold(first, "xyz")
        .hold(second, &across)
        .hold(third, LETTERS[normal.iamax()]))
}

fn sum(loads: &[Load], frame: &Frame, about: &Vector3<f64>) -> (Vector3<f64>, Vector3<f64>) {
    let mut total = (Vector3::zeros(), Vector3::zeros());
    for l in loads {
        total.0 += l.force;
        total.1 += l.moment + (frame.nodes[l.node] - about).cross(&l.force);
    }
    total
}

/// Solves a load case. `supports` must hold the frame without strain; None takes three nodes of the frame.
///
/// # Errors
/// [`SolveError`]: the frame, a load or a mass is wrong, the masses cannot balance the loads, or the frame is free to
/// move within itself.
pub fn solve(
    frame: &Frame,
    case: &LoadCase,
    supports: Option<&Supports>,
) -> Result<CaseAnswer, SolveError> {
    frame.check()?;
    for (index, l) in case.loads.iter().enumerate() {
        frame.check_node("load", index, l.node)?;
        if let Some(&value) = l
            .force
            .iter()
            .chain(l.moment.iter())
            .find(|v| !v.is_finite())
        {
            return Err(SolveError::Load {
                load: index,
                node: l.node,
                value,
            });
        }
    }
    if let Some(&value) = case.gravity.iter().find(|v| !v.is_finite()) {
        return Err(SolveError::Number {
            what: "gravity",
            value,
            range: "a finite number",
        });
    }
    let masses = nodal_masses(frame, &case.masses, case.own_mass)?;
    let mass: f64 = masses.iter().sum();
    if !(mass > 0.0 && mass.is_finite()) {
        return Err(SolveError::Number {
            what: "the sum of the masses",
            value: mass,
            range: "above zero",
        });
    }
    let at_masses = || {
        masses
            .iter()
            .zip(&frame.nodes)
            .enumerate()
            .filter(|(_, (m, _))| **m > 0.0)
    };
    let centre = at_masses().map(|(_, (m, p))| p * *m).sum::<Vector3<f64>>() / mass;
    let inertia: Matrix3<f64> = at_masses()
        .map(|(_, (m, p))| {
            let r = p - centre;
            (Matrix3::identity() * r.norm_squared() - r * r.transpose()) * *m
        })
        .sum();
    let (force, moment) = sum(&case.loads, frame, &centre);
    let linear = force / mass;
    let angular = inertia
        .pseudo_inverse(1e-12 * inertia.norm())
        .map_or_else(|_| Vector3::zeros(), |inverse| inverse * moment);
    let inertia: Vec<Load> = at_masses()
        .map(|(node, (m, p))| Load::force(node, (linear + angular.cross(&(p - centre))) * -*m))
        .collect();
    let mut all = case.loads.clone();
    all.extend(inertia.iter().copied());
    let (force_left, moment_left) = sum(&all, frame, &centre);
    let weight = mass * STANDARD_GRAVITY;
    let largest = case
        .loads
        .iter()
        .map(|l| l.force.norm() + l.moment.norm())
        .fold(weight, f64::max);
    if !at_most(force_left.norm() + moment_left.norm(), 1e-9 * largest) {
        return Err(SolveError::NoBalance {
            mass,
            force: force_left.norm(),
            moment: moment_left.norm(),
        });
    }
    let own;
    let supports = match supports {
        Some(given) => given,
        None => {
            own = anywhere(frame)?;
            &own
        }
    };
    let solution = Symbolic::new(frame, supports)
        .and_then(|s| s.factor(frame))
        .map_err(SolveError::from)?
        .solve(&all)?;
    let unbalanced = solution
        .reactions
        .iter()
        .flat_map(|(_, r)| r[..3].iter())
        .fold(0.0_f64, |worst, r| worst.max(r.abs()))
        / weight;
    let acceleration = linear + case.gravity;
    let mut findings = Vec::new();
    if let Some(e) = &case.expected {
        let difference = acceleration - e.acceleration;
        if !at_most(difference.norm(), e.tolerance) {
            findings.push(CaseFinding::Acceleration { difference });
        }
        if !at_most(angular.norm(), e.angular_tolerance) {
            findings.push(CaseFinding::AngularAcceleration { alpha: angular });
        }
    }
    if unbalanced > UNBALANCED {
        findings.push(CaseFinding::Unbalanced { share: unbalanced });
    }
    if let Some(free) = &solution.free {
        findings.push(CaseFinding::FreeMotions(free.clone()));
    }
    Ok(CaseAnswer {
        mass,
        centre,
        acceleration,
        angular,
        unbalanced,
        inertia,
        solution,
        findings,
    })
}
