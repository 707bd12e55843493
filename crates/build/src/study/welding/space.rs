//! Tubes as lines in space, and how one meets another.

use std::f64::consts::FRAC_PI_2;

use super::super::Phrase;
use crate::{Assembly, Material, Tube, TubeSection, grade, steel_modulus};

/// A vector, m; x forward, y left, z up.
pub type V3 = [f64; 3];

pub(super) fn sub(a: V3, b: V3) -> V3 {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

pub(super) fn add_scaled(a: V3, b: V3, s: f64) -> V3 {
    [a[0] + s * b[0], a[1] + s * b[1], a[2] + s * b[2]]
}

pub(super) fn dot(a: V3, b: V3) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

pub(super) fn cross(a: V3, b: V3) -> V3 {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}

pub(super) fn size(a: V3) -> f64 {
    a[0].hypot(a[1]).hypot(a[2])
}

pub(super) fn unit(a: V3) -> Option<V3> {
    let length = size(a);
    (length > 1e-9).then(|| a.map(|x| x / length))
}

/// The part of `a` square to the unit vector `d`.
fn square_to(a: V3, d: V3) -> V3 {
    add_scaled(a, d, -dot(a, d))
}

/// A tube on its centreline.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// End A, m.
    pub from: V3,
    /// End B, m.
    pub to: V3,
    /// Unit vector from A to B.
    pub along: V3,
    /// Length, m.
    pub length: f64,
    /// Where its height (and 12 o'clock) points: the up rule turned by its own turn.
    pub up: V3,
}

/// Tubes steeper than 10° from plumb take forward for up.
const PLUMB: f64 = 0.984_807_753_012_208; // cos 10°

impl Line {
    pub(super) fn of(assembly: &Assembly, tube: &Tube) -> Result<Self, Phrase> {
        let node = |id: &str| {
            let found = assembly.node(id).map(|n| n.at.si());
            found.ok_or_else(|| {
                Phrase::from(format!(
                    "{} runs to a node {id} that is not there",
                    tube.label
                ))
            })
        };
        let (from, to) = (node(&tube.from)?, node(&tube.to)?);
        let Some(along) = unit(sub(to, from)) else {
            return Err(Phrase::from(format!("{} has no length", tube.label)));
        };
        let forward = [1.0, 0.0, 0.0];
        let reference = if along[2].abs() > PLUMB {
            forward
        } else {
            [0.0, 0.0, 1.0]
        };
        let up = unit(square_to(reference, along)).unwrap_or(forward);
        let (sin, cos) = tube.turn.si().sin_cos();
        let side = cross(along, up);
        let up = [0, 1, 2].map(|i| cos * up[i] + sin * side[i]);
        Ok(Self {
            from,
            to,
            along,
            length: size(sub(to, from)),
            up,
        })
    }

    /// The part of a vector square to it.
    pub(super) fn square(&self, v: V3) -> V3 {
        square_to(v, self.along)
    }

    /// How far along it a point lies, m from end A.
    pub(super) fn along_at(&self, p: V3) -> f64 {
        dot(sub(p, self.from), self.along)
    }

    /// How far beside its centreline a point lies, m.
    pub(super) fn beside(&self, p: V3) -> f64 {
        size(square_to(sub(p, self.from), self.along))
    }

    /// The point this far from end A.
    pub fn point(&self, at: f64) -> V3 {
        add_scaled(self.from, self.along, at)
    }
}

/// Which end of a tube.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum TubeEnd {
    A,
    B,
}

/// A branch on its main, in space.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Meeting {
    /// Acute angle between the axes, rad.
    pub angle: f64,
    /// The main's axis beside the branch's, along w, m.
    pub offset: f64,
    /// From the joint along the branch, unit.
    pub branch: V3,
    /// Along the main, on the side of the acute angle, unit.
    pub main: V3,
    /// Square to the branch toward the acute side, unit.
    pub t: V3,
    /// u × t.
    pub w: V3,
    /// Work point on the main's axis, m.
    pub work: V3,
    /// φ' of 12 o'clock, rad.
    pub twelve: f64,
    /// The clock runs with φ'.
    pub clock_with_phi: bool,
}

/// Axes closer than this to parallel do not meet, rad.
const NEAR_PARALLEL: f64 = 0.174_532_925_199_432_95;

/// How `branch` meets `main` with its end at `at`.
pub(super) fn meet(branch: &Line, end: TubeEnd, main: &Line) -> Result<Meeting, Phrase> {
    let (u, at) = match end {
        TubeEnd::A => (branch.along, branch.from),
        TubeEnd::B => (branch.along.map(|x| -x), branch.to),
    };
    let flip = if dot(main.along, u) < 0.0 { -1.0 } else { 1.0 };
    let m = main.along.map(|x| flip * x);
    let cos = dot(m, u).clamp(-1.0, 1.0);
    let angle = cos.acos().min(FRAC_PI_2);
    if angle < NEAR_PARALLEL {
        return Err(Phrase::from("the tubes lie within 10° of parallel"));
    }
    let t = unit(square_to(m, u)).ok_or_else(|| Phrase::from("the tubes are parallel"))?;
    let w = cross(u, t);
    let gap = sub(main.from, at);
    let offset = dot(gap, w);
    // Foot of the common perpendicular on the main's axis.
    let sin2 = 1.0 - cos * cos;
    let along_main = (dot(gap, u) * cos - dot(gap, m)) / sin2;
    let work = add_scaled(main.from, m, along_main);
    // Clock: φ about A→B from the line that points up.
    let e2 = cross(branch.along, branch.up);
    let psi = dot(t, e2).atan2(dot(t, branch.up));
    let (twelve, clock_with_phi) = match end {
        TubeEnd::A => (-psi, true),
        TubeEnd::B => (psi, false),
    };
    Ok(Meeting {
        angle,
        offset,
        branch: u,
        main: m,
        t,
        w,
        work,
        twelve,
        clock_with_phi,
    })
}

/// Area and second moment of a tube about the axis square to `toward`: (A m², I m⁴, half depth
/// m). Rectangular corners are taken square.
pub(super) fn section(section: &TubeSection, line: &Line, toward: V3) -> (f64, f64, f64) {
    match *section {
        TubeSection::Round { outside, wall } => {
            let (d, b) = (outside.si(), outside.si() - 2.0 * wall.si());
            let squares = (d - b) * (d + b);
            (
                std::f64::consts::FRAC_PI_4 * squares,
                std::f64::consts::PI / 64.0 * squares * (d * d + b * b),
                0.5 * d,
            )
        }
        TubeSection::Rectangular {
            height,
            width,
            wall,
        } => {
            let upright =
                dot(toward, line.up).abs() >= dot(toward, cross(line.along, line.up)).abs();
            let (depth, across) = if upright {
                (height.si(), width.si())
            } else {
                (width.si(), height.si())
            };
            let t = wall.si();
            let (bore_depth, bore_across) = (depth - 2.0 * t, across - 2.0 * t);
            (
                depth * across - bore_depth * bore_across,
                (across * depth.powi(3) - bore_across * bore_depth.powi(3)) / 12.0,
                0.5 * depth,
            )
        }
    }
}

/// What a part is made of, as far as welding asks: yield strength and modulus, Pa.
pub(super) fn strength(assembly: &Assembly, material: &str) -> Option<(f64, f64)> {
    let own: Option<&Material> = assembly.materials.iter().find(|m| m.id == material);
    let steel = steel_modulus().si();
    own.map(|m| {
        let modulus = m.modulus.map_or(steel, |e| e.si());
        (m.yield_strength.si(), modulus)
    })
    .or_else(|| grade(material).map(|g| (g.yield_strength, steel)))
}

/// Perimeter of an ellipse with these half axes, m (Ramanujan's second; below 1e-6 off for the
/// shapes a cut tube has).
pub(super) fn ellipse(a: f64, b: f64) -> f64 {
    let h = ((a - b) / (a + b)).powi(2);
    std::f64::consts::PI * (a + b) * (1.0 + 3.0 * h / (10.0 + (4.0 - 3.0 * h).sqrt()))
}
