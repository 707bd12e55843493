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

/// A tube on its centreline. A bent one runs over its corners: its arcs, which cut them short by a
/// few hundredths of the radius, are not counted here.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// End A, m.
    pub from: V3,
    /// End B, m.
    pub to: V3,
    /// Unit vector from A to B; of a bent tube: of its first straight.
    pub along: V3,
    /// Length over the corners, m.
    pub length: f64,
    /// Where its height (and 12 o'clock) points: the up rule turned by its own turn.
    pub up: V3,
    /// Straights of a bent tube; none where it has no corner.
    pub straights: Vec<Line>,
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
        let points: Vec<V3> = assembly
            .nodes_of(tube)
            .map(node)
            .collect::<Result<_, _>>()?;
        let straights: Vec<Self> = points
            .windows(2)
            .map(|ends| {
                let straight = Self::straight(ends[0], ends[1], tube.turn.si());
                straight.ok_or_else(|| {
                    Phrase::from(match tube.bends.len() {
                        0 => format!("{} has no length", tube.label),
                        _ => format!("{} has two corners at one place", tube.label),
                    })
                })
            })
            .collect::<Result<_, _>>()?;
        let mut all = straights.iter();
        let Some(mut line) = all.next().cloned() else {
            return Err(Phrase::from(format!("{} has no length", tube.label)));
        };
        for next in all {
            line.to = next.to;
            line.length += next.length;
        }
        if straights.len() > 1 {
            line.straights = straights;
        }
        Ok(line)
    }

    fn straight(from: V3, to: V3, turn: f64) -> Option<Self> {
        let along = unit(sub(to, from))?;
        let forward = [1.0, 0.0, 0.0];
        let reference = if along[2].abs() > PLUMB {
            forward
        } else {
            [0.0, 0.0, 1.0]
        };
        let up = unit(square_to(reference, along)).unwrap_or(forward);
        let (sin, cos) = turn.sin_cos();
        let side = cross(along, up);
        let up = [0, 1, 2].map(|i| cos * up[i] + sin * side[i]);
        Some(Self {
            from,
            to,
            along,
            length: size(sub(to, from)),
            up,
            straights: Vec::new(),
        })
    }

    /// The straight at one of its ends.
    pub(super) fn at_end(&self, end: TubeEnd) -> &Self {
        let found = match end {
            TubeEnd::A => self.straights.first(),
            TubeEnd::B => self.straights.last(),
        };
        found.unwrap_or(self)
    }

    fn end(&self, end: TubeEnd) -> V3 {
        match end {
            TubeEnd::A => self.from,
            TubeEnd::B => self.to,
        }
    }

    /// The straight nearest a point.
    pub(super) fn near(&self, p: V3) -> &Self {
        let away = |s: &Self| size(sub(s.point(s.along_at(p).clamp(0.0, s.length)), p));
        let nearest = self
            .straights
            .iter()
            .min_by(|x, y| away(x).total_cmp(&away(y)));
        nearest.unwrap_or(self)
    }

    /// The part of a vector square to it.
    pub(super) fn square(&self, v: V3) -> V3 {
        square_to(v, self.along)
    }

    /// How far along it a point lies, m from end A.
    pub(super) fn along_at(&self, p: V3) -> f64 {
        let near = self.near(p);
        let before = self
            .straights
            .iter()
            .take_while(|s| !std::ptr::eq(*s, near));
        before.map(|s| s.length).sum::<f64>() + dot(sub(p, near.from), near.along)
    }

    /// How far beside its centreline a point lies, m.
    pub(super) fn beside(&self, p: V3) -> f64 {
        let near = self.near(p);
        size(square_to(sub(p, near.from), near.along))
    }

    /// The point this far from end A.
    pub fn point(&self, mut at: f64) -> V3 {
        let last = self.straights.len().saturating_sub(1);
        for (i, s) in self.straights.iter().enumerate() {
            if at <= s.length || i == last {
                return s.point(at);
            }
            at -= s.length;
        }
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
    let (branch, main) = (branch.at_end(end), main.near(branch.end(end)));
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
            ..
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
