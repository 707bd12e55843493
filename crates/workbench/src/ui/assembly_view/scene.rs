//! The assembly as the eye sees it: every part a flat shape, far ones first.

use std::collections::HashMap;

use build::{Build, Joint, Node, Part, Plate, Tube, TubeSection};

use super::super::handles::Face;

/// A point or direction of the build frame, m.
pub type Space = [f64; 3];
/// A point of the drawing, m.
pub type Flat = [f64; 2];

/// Points round a round tube.
const ROUND: usize = 28;
/// Parts whose nearest ends are this close count as equally near, m.
const LAYER: f64 = 0.03;

pub(super) fn sub(a: Space, b: Space) -> Space {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

pub(super) fn along(a: Space, d: Space, t: f64) -> Space {
    [a[0] + d[0] * t, a[1] + d[1] * t, a[2] + d[2] * t]
}

pub(super) fn dot(a: Space, b: Space) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn cross(a: Space, b: Space) -> Space {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}

pub(super) fn length(a: Space) -> f64 {
    dot(a, a).sqrt()
}

/// The direction of `a`; none where it has none.
pub(super) fn unit(a: Space) -> Option<Space> {
    let n = length(a);
    (n > 1e-9).then(|| a.map(|v| v / n))
}

/// From the drawing to the eye, build frame.
pub const fn toward_eye(face: Face) -> Space {
    match face {
        Face::Rear => [-1.0, 0.0, 0.0],
        Face::Side => [0.0, 1.0, 0.0],
        Face::Plan => [0.0, 0.0, 1.0],
    }
}

/// How near the eye a point is, m; larger is nearer.
pub fn nearness(face: Face, p: Space) -> f64 {
    dot(p, toward_eye(face))
}

/// A tube in the drawing.
#[derive(Debug, Clone)]
pub struct TubeShape<'a> {
    /// The tube.
    pub tube: &'a Tube,
    /// End A and end B, build frame, m.
    pub ends: [Space; 2],
    /// All that it covers.
    pub outline: Vec<Flat>,
    /// The end that looks at the eye; empty where none does.
    pub face: Vec<Flat>,
}

/// A plate in the drawing.
#[derive(Debug, Clone)]
pub struct PlateShape<'a> {
    /// The plate.
    pub plate: &'a Plate,
    /// Its edge.
    pub outline: Vec<Flat>,
    near: f64,
}

/// Tube or plate.
#[derive(Debug, Clone)]
pub enum Solid<'a> {
    /// A tube.
    Tube(TubeShape<'a>),
    /// A plate.
    Plate(PlateShape<'a>),
}

impl Solid<'_> {
    /// Which part it is.
    pub fn part(&self) -> Part {
        match self {
            Self::Tube(x) => Part::Tube(x.tube.id.clone()),
            Self::Plate(x) => Part::Plate(x.plate.id.clone()),
        }
    }

    /// All that it covers.
    pub fn outline(&self) -> &[Flat] {
        match self {
            Self::Tube(x) => &x.outline,
            Self::Plate(x) => &x.outline,
        }
    }
}

/// Everything that is drawn of an assembly.
#[derive(Debug, Clone)]
pub struct Scene<'a> {
    /// Which way it is looked at.
    pub face: Face,
    /// Tubes and plates, the nearest last.
    pub solids: Vec<Solid<'a>>,
    /// Nodes, the nearest last.
    pub nodes: Vec<&'a Node>,
    /// Joints with their node, in the log's order.
    pub joints: Vec<(&'a Joint, &'a Node)>,
}

impl<'a> Scene<'a> {
    /// The assembly of a build. Parts on nodes that are not there are left out.
    pub fn new(b: &'a Build, face: Face) -> Self {
        let a = &b.assembly;
        let mut solids: Vec<Solid<'_>> = Vec::new();
        for tube in &a.tubes {
            if let (Some(from), Some(to)) = (a.node(&tube.from), a.node(&tube.to)) {
                solids.push(Solid::Tube(tube_shape(
                    tube,
                    from.at.si(),
                    to.at.si(),
                    face,
                )));
            }
        }
        for plate in &a.plates {
            let corners: Option<Vec<Space>> = plate
                .outline
                .iter()
                .map(|id| a.node(id).map(|x| x.at.si()))
                .collect();
            if let Some(corners) = corners.filter(|c| c.len() > 1) {
                let near = corners.iter().map(|p| nearness(face, *p));
                solids.push(Solid::Plate(PlateShape {
                    plate,
                    near: near.fold(f64::NEG_INFINITY, f64::max),
                    outline: corners.into_iter().map(|p| face.flat(p)).collect(),
                }));
            }
        }
        let rank = ranks(b);
        let mut keyed: Vec<_> = solids
            .into_iter()
            .map(|s| {
                let (near, id) = match &s {
                    Solid::Tube(x) => (
                        nearness(face, x.ends[0]).max(nearness(face, x.ends[1])),
                        x.tube.id.as_str(),
                    ),
                    Solid::Plate(x) => (x.near, x.plate.id.as_str()),
                };
                let layer = (near / LAYER).round() as i64;
                ((layer, rank.get(id).copied().unwrap_or(0)), s)
            })
            .collect();
        keyed.sort_by_key(|(key, _)| *key);
        let mut nodes: Vec<&Node> = a.nodes.iter().collect();
        nodes.sort_by(|x, y| nearness(face, x.at.si()).total_cmp(&nearness(face, y.at.si())));
        let joints = b.fit_up.joints.iter();
        Self {
            face,
            solids: keyed.into_iter().map(|(_, s)| s).collect(),
            nodes,
            joints: joints
                .filter_map(|j| Some((j, a.node(&j.joins.as_ref()?.at)?)))
                .collect(),
        }
    }

    /// What it covers; none where nothing is drawn.
    pub fn bounds(&self) -> Option<(Flat, Flat)> {
        let points = self.nodes.iter().map(|x| self.face.flat(x.at.si()));
        let outlines = self.solids.iter().flat_map(|s| s.outline().iter().copied());
        points.chain(outlines).fold(None, |all, p| {
            let (low, high) = all.unwrap_or((p, p));
            Some((
                [low[0].min(p[0]), low[1].min(p[1])],
                [high[0].max(p[0]), high[1].max(p[1])],
            ))
        })
    }

    /// The nearest part to the eye within `slack` metres of a point.
    pub fn at(&self, q: Flat, slack: f64) -> Option<&Solid<'a>> {
        let covers = |s: &&Solid<'_>| beside(s.outline(), q) <= slack;
        let exact = self
            .solids
            .iter()
            .rev()
            .find(|s| beside(s.outline(), q) <= 0.0);
        exact.or_else(|| self.solids.iter().rev().find(covers))
    }
}

/// Parts that others stand on are drawn over their ends: how many deep.
fn ranks(b: &Build) -> HashMap<&str, usize> {
    let mut rank: HashMap<&str, usize> = HashMap::new();
    let joins: Vec<_> = b
        .fit_up
        .joints
        .iter()
        .filter_map(|j| j.joins.as_ref())
        .collect();
    // Parts that stand on each other in a ring would climb for ever.
    for _ in 0..6 {
        for x in &joins {
            let below = rank.get(x.part.as_str()).copied().unwrap_or(0) + 1;
            let now = rank.entry(x.onto.as_str()).or_insert(0);
            *now = (*now).max(below.min(6));
        }
    }
    rank
}

/// Directions of a tube: along it, up its section, across.
pub fn axes(tube: &Tube, a: Space, b: Space, face: Face) -> [Space; 3] {
    let x = unit(sub(b, a)).unwrap_or_else(|| toward_eye(face));
    let plumb = x[2].abs() > 10.0_f64.to_radians().cos();
    let up = if plumb {
        [1.0, 0.0, 0.0]
    } else {
        [0.0, 0.0, 1.0]
    };
    let h = unit(along(up, x, -dot(up, x))).unwrap_or([0.0, 1.0, 0.0]);
    let w = cross(x, h);
    let (s, c) = tube.turn.si().sin_cos();
    let h = along(h.map(|v| v * c), w, s);
    [x, h, cross(x, h)]
}

fn tube_shape(tube: &Tube, a: Space, b: Space, face: Face) -> TubeShape<'_> {
    let [x, h, w] = axes(tube, a, b, face);
    let section: Vec<Space> = match tube.section {
        TubeSection::Round { outside, .. } => {
            let r = 0.5 * outside.si();
            let round = (0..ROUND).map(|k| {
                let (s, c) = (std::f64::consts::TAU * k as f64 / ROUND as f64).sin_cos();
                along(h.map(|v| v * r * c), w, r * s)
            });
            round.collect()
        }
        TubeSection::Rectangular { height, width, .. } => {
            let (u, v) = (0.5 * height.si(), 0.5 * width.si());
            let corners = [(u, v), (u, -v), (-u, -v), (-u, v)];
            corners
                .into_iter()
                .map(|(u, v)| along(h.map(|k| k * u), w, v))
                .collect()
        }
    };
    let end = |p: Space| -> Vec<Flat> {
        section
            .iter()
            .map(|s| face.flat(along(p, *s, 1.0)))
            .collect()
    };
    let (at_a, at_b) = (end(a), end(b));
    let looks = dot(x, toward_eye(face));
    let near = if looks > 0.02 {
        at_b.clone()
    } else if looks < -0.02 {
        at_a.clone()
    } else {
        Vec::new()
    };
    TubeShape {
        tube,
        ends: [a, b],
        outline: hull(at_a.into_iter().chain(at_b).collect()),
        face: near,
    }
}

/// Convex hull, counter-clockwise (Andrew's monotone chain).
fn hull(mut points: Vec<Flat>) -> Vec<Flat> {
    points.sort_by(|p, q| p[0].total_cmp(&q[0]).then(p[1].total_cmp(&q[1])));
    points.dedup();
    if points.len() < 3 {
        return points;
    }
    let turn =
        |o: Flat, a: Flat, b: Flat| (a[0] - o[0]) * (b[1] - o[1]) - (a[1] - o[1]) * (b[0] - o[0]);
    let half = |points: &mut dyn Iterator<Item = Flat>| {
        let mut chain: Vec<Flat> = Vec::new();
        for p in points {
            while chain.len() > 1
                && turn(chain[chain.len() - 2], chain[chain.len() - 1], p) <= 1e-12
            {
                chain.pop();
            }
            chain.push(p);
        }
        chain.pop();
        chain
    };
    let mut all = half(&mut points.iter().copied());
    all.extend(half(&mut points.iter().rev().copied()));
    all
}

/// Distance from a segment.
pub fn from_segment(a: Flat, b: Flat, q: Flat) -> f64 {
    let d = [b[0] - a[0], b[1] - a[1]];
    let n = d[0] * d[0] + d[1] * d[1];
    let t = if n > 0.0 {
        (((q[0] - a[0]) * d[0] + (q[1] - a[1]) * d[1]) / n).clamp(0.0, 1.0)
    } else {
        0.0
    };
    (q[0] - a[0] - t * d[0]).hypot(q[1] - a[1] - t * d[1])
}

/// Distance from an outline; nothing inside it.
pub fn beside(outline: &[Flat], q: Flat) -> f64 {
    let n = outline.len();
    let mut inside = false;
    let mut least = f64::INFINITY;
    for k in 0..n {
        let (a, b) = (outline[k], outline[(k + 1) % n]);
        least = least.min(from_segment(a, b, q));
        if (a[1] > q[1]) != (b[1] > q[1])
            && q[0] < a[0] + (q[1] - a[1]) / (b[1] - a[1]) * (b[0] - a[0])
        {
            inside = !inside;
        }
    }
    if inside { 0.0 } else { least }
}

/// Does the outline turn one way only, so that it can be filled?
pub fn is_convex(outline: &[Flat]) -> bool {
    let n = outline.len();
    let turns = (0..n).map(|k| {
        let (o, a, b) = (outline[k], outline[(k + 1) % n], outline[(k + 2) % n]);
        (a[0] - o[0]) * (b[1] - a[1]) - (a[1] - o[1]) * (b[0] - a[0])
    });
    let (left, right) = turns.fold((0, 0), |(l, r), t| {
        (l + usize::from(t > 1e-12), r + usize::from(t < -1e-12))
    });
    n > 2 && (left == 0 || right == 0)
}
