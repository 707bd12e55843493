//! The assembly as the eye sees it: every part a flat shape, far ones first.

use std::collections::HashMap;

use build::{Build, Joint, Node, Part, Plate, Tube, TubesStudy};

use super::super::handles::Face;
use super::solid::{self, Piece};

/// A point or direction of the build frame, m.
pub type Space = [f64; 3];
/// A point of the drawing, m.
pub type Flat = [f64; 2];

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

pub(super) fn cross(a: Space, b: Space) -> Space {
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
pub fn toward_eye(face: Face) -> Space {
    match face {
        Face::Turned(turn) => turn.axes()[2],
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
    /// Its nodes from end A to end B, build frame, m.
    pub corners: Vec<Space>,
    /// What it is painted in, from end A to end B.
    pub pieces: Vec<Piece>,
}

impl TubeShape<'_> {
    /// End A and end B, build frame, m.
    pub fn ends(&self) -> [Space; 2] {
        let end = |p: Option<&Space>| p.copied().unwrap_or_default();
        [end(self.corners.first()), end(self.corners.last())]
    }

    /// Its centreline as it is bent, m.
    pub fn centreline(&self) -> Vec<Space> {
        let first = self.pieces.first().map(|p| p.line[0]);
        let rest = self.pieces.iter().map(|p| p.line[1]);
        first.into_iter().chain(rest).collect()
    }

    /// Half way along it, m.
    pub fn middle(&self) -> Space {
        let line = self.centreline();
        let steps = line.windows(2).map(|w| length(sub(w[1], w[0])));
        let mut left = 0.5 * steps.clone().sum::<f64>();
        for (w, step) in line.windows(2).zip(steps) {
            if step > 0.0 && left <= step {
                return along(w[0], sub(w[1], w[0]), left / step);
            }
            left -= step;
        }
        let [a, b] = self.ends();
        along(a, sub(b, a), 0.5)
    }
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

    /// Outlines that together are all that it covers.
    pub fn covers(&self) -> impl Iterator<Item = &[Flat]> {
        let (pieces, plate) = match self {
            Self::Tube(x) => (&x.pieces[..], None),
            Self::Plate(x) => (&[][..], Some(&x.outline[..])),
        };
        let pieces = pieces.iter().map(|p| &p.cover[..]);
        pieces.chain(plate)
    }

    /// Distance of a point from it; nothing on it.
    pub fn beside(&self, q: Flat) -> f64 {
        self.covers()
            .map(|c| beside(c, q))
            .fold(f64::INFINITY, f64::min)
    }
}

/// Everything that is drawn of an assembly.
#[derive(Debug, Clone)]
pub struct Scene<'a> {
    /// Which way it is looked at.
    pub face: Face,
    /// Tubes and plates, the nearest last.
    pub solids: Vec<Solid<'a>>,
    /// Stretches in the order they are painted: place among the solids, place among its pieces.
    pub order: Vec<(usize, usize)>,
    /// Nodes, the nearest last.
    pub nodes: Vec<&'a Node>,
    /// Joints with their node, in the log's order.
    pub joints: Vec<(&'a Joint, &'a Node)>,
}

impl<'a> Scene<'a> {
    /// The assembly of a build. Parts on nodes that are not there are left out.
    pub fn new(b: &'a Build, face: Face) -> Self {
        Self::with(b, None, face)
    }

    /// The same, with what the ends of its tubes meet.
    pub fn with(b: &'a Build, tubes: Option<&TubesStudy>, face: Face) -> Self {
        let a = &b.assembly;
        let mut solids: Vec<Solid<'_>> = Vec::new();
        for (i, tube) in a.tubes.iter().enumerate() {
            if let Some(corners) = solid::corners(b, tube) {
                let buried = tubes.map_or([0.0; 2], |t| buried(b, t, i));
                solids.push(Solid::Tube(TubeShape {
                    tube,
                    pieces: solid::pieces(tube, &corners, face, buried),
                    corners,
                }));
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
        let rank = ranks(b, tubes);
        let rank_of = |s: &Solid<'_>| {
            let id = match s {
                Solid::Tube(x) => x.tube.id.as_str(),
                Solid::Plate(x) => x.plate.id.as_str(),
            };
            rank.get(id).copied().unwrap_or(0)
        };
        let layer = |near: f64| (near / LAYER).round() as i64;
        solids.sort_by_cached_key(|s| {
            let near = match s {
                Solid::Tube(x) => x.corners.iter().map(|p| nearness(face, *p)),
                Solid::Plate(x) => return (layer(x.near), rank_of(s)),
            };
            (layer(near.fold(f64::NEG_INFINITY, f64::max)), rank_of(s))
        });
        let mut order: Vec<((i64, usize), (usize, usize))> = Vec::new();
        for (i, s) in solids.iter().enumerate() {
            let rank = rank_of(s);
            match s {
                Solid::Tube(x) => order.extend(x.pieces.iter().enumerate().map(|(k, p)| {
                    // What is inside another tube is hidden by it.
                    let behind = if p.inside { BURIED } else { 0 };
                    ((layer(p.near) - behind, rank), (i, k))
                })),
                Solid::Plate(x) => order.push(((layer(x.near), rank), (i, 0))),
            }
        }
        order.sort_by_key(|(key, _)| *key);
        let mut nodes: Vec<&Node> = a.nodes.iter().collect();
        nodes.sort_by(|x, y| nearness(face, x.at.si()).total_cmp(&nearness(face, y.at.si())));
        let joints = b.fit_up.joints.iter();
        Self {
            face,
            order: order.into_iter().map(|(_, at)| at).collect(),
            solids,
            nodes,
            joints: joints
                .filter_map(|j| Some((j, a.node(&j.joins.as_ref()?.at)?)))
                .collect(),
        }
    }

    /// What it covers; none where nothing is drawn.
    pub fn bounds(&self) -> Option<(Flat, Flat)> {
        let points = self.nodes.iter().map(|x| self.face.flat(x.at.si()));
        let outlines = self.solids.iter().flat_map(Solid::covers);
        let outlines = outlines.flat_map(|c| c.iter().copied());
        points.chain(outlines).fold(None, |all, p| {
            let (low, high) = all.unwrap_or((p, p));
            Some((
                [low[0].min(p[0]), low[1].min(p[1])],
                [high[0].max(p[0]), high[1].max(p[1])],
            ))
        })
    }

    /// What the welds are about: joints, the ends of the parts that end there, and what is measured; none where
    /// nothing is joined.
    pub fn welded(&self, b: &Build) -> Option<(Flat, Flat)> {
        /// Room for the width of the parts, m.
        const ROUND: f64 = 0.06;
        let a = &b.assembly;
        let parts = self.joints.iter().filter_map(|(j, _)| {
            let tube = a.tube(&j.joins.as_ref()?.part)?;
            Some([tube.from.as_str(), tube.to.as_str()])
        });
        let measured = b.weld_out.dimensions.iter();
        let measured = measured.map(|d| [d.from.as_str(), d.to.as_str()]);
        let ends = parts.chain(measured).flatten();
        let ends = ends.filter_map(|id| Some(a.node(id)?.at.si()));
        let joints = self.joints.iter().map(|(_, node)| node.at.si());
        let points: Vec<Flat> = joints.chain(ends).map(|p| self.face.flat(p)).collect();
        let first = *points.first()?;
        let (low, high) = points.iter().fold((first, first), |(low, high), p| {
            (
                [low[0].min(p[0]), low[1].min(p[1])],
                [high[0].max(p[0]), high[1].max(p[1])],
            )
        });
        Some((low.map(|x| x - ROUND), high.map(|x| x + ROUND)))
    }

    /// The nearest part to the eye within `slack` metres of a point.
    pub fn at(&self, q: Flat, slack: f64) -> Option<&Solid<'a>> {
        let under = |slack: f64| {
            self.order.iter().rev().find_map(|(i, k)| {
                let s = self.solids.get(*i)?;
                let cover = s.covers().nth(*k)?;
                (beside(cover, q) <= slack).then_some(s)
            })
        };
        under(0.0).or_else(|| under(slack))
    }
}

/// How many layers what is inside another tube lies behind it.
const BURIED: i64 = 1;

/// How far each end of a tube is inside what it stands on, m: the half width of that.
fn buried(b: &Build, tubes: &TubesStudy, tube: usize) -> [f64; 2] {
    let Some(Ok(part)) = tubes.tubes.get(tube).map(|t| t.part.as_ref()) else {
        return [0.0; 2];
    };
    [0, 1].map(|end| {
        let cut = part.ends[end].meets.iter().filter(|m| m.cuts);
        cut.filter_map(|m| Some(b.assembly.tubes.get(m.tube)?.section.reach()))
            .fold(0.0, f64::max)
    })
}

/// Parts that others stand on are drawn over their ends: how many deep.
fn ranks<'a>(b: &'a Build, tubes: Option<&TubesStudy>) -> HashMap<&'a str, usize> {
    let mut rank: HashMap<&str, usize> = HashMap::new();
    let joined = b.fit_up.joints.iter().filter_map(|j| j.joins.as_ref());
    let mut joins: Vec<(&str, &str)> = joined.map(|x| (x.part.as_str(), x.onto.as_str())).collect();
    let all = &b.assembly.tubes;
    for (tube, study) in all.iter().zip(tubes.iter().flat_map(|t| &t.tubes)) {
        let Ok(part) = &study.part else { continue };
        let met = part.ends.iter().flat_map(|e| &e.meets);
        for m in met.filter(|m| m.cuts) {
            if let Some(onto) = all.get(m.tube) {
                joins.push((&tube.id, &onto.id));
            }
        }
    }
    // Parts that stand on each other in a ring would climb for ever.
    for _ in 0..6 {
        for &(part, onto) in &joins {
            let below = rank.get(part).copied().unwrap_or(0) + 1;
            let now = rank.entry(onto).or_insert(0);
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
