//! Tubes as short stretches that can be painted far ones first: straights and smooth bends.

use build::{Build, Tube, TubeSection};
use geometry::tube::bend::{CHORD, Centreline};
use geometry::tube::direction::Axes;
use geometry::{Point3, Vector3};

use super::super::handles::Face;
use super::scene::{
    Flat, Space, along, axes, beside, dot, length, nearness, sub, toward_eye, unit,
};

/// Points round a round tube.
const ROUND: usize = 28;
/// Longest stretch that is painted in one, m.
const STRETCH: f64 = 0.2;
/// Two places of a centreline closer than this are one, m.
const ONE: f64 = 1e-6;

/// A stretch of a tube.
#[derive(Debug, Clone)]
pub struct Piece {
    /// Its stretch of the centreline, build frame, m.
    pub line: [Space; 2],
    /// All that it covers.
    pub cover: Vec<Flat>,
    /// Flat sides that look at the eye, with the share of the light they get, 0 to 1.
    pub sides: Vec<(Vec<Flat>, f32)>,
    /// Lines along it.
    pub edges: Vec<[Flat; 2]>,
    /// A line across it where a bend begins or ends.
    pub seam: Option<[Flat; 2]>,
    /// The tube's own end, looking away from the eye.
    pub far_end: Option<Vec<Flat>>,
    /// The tube's own end, looking at the eye.
    pub near_end: Option<Vec<Flat>>,
    /// How near the eye it is, m.
    pub near: f64,
    /// It is inside what its end stands on.
    pub inside: bool,
}

/// A place of a centreline.
#[derive(Debug, Clone, Copy)]
struct Stop {
    at: Space,
    /// Along the tube, up its section, across.
    axes: [Space; 3],
    /// A bend begins or ends here.
    seam: bool,
}

fn si(v: &Vector3<f64>) -> Space {
    [v.x, v.y, v.z]
}

/// The nodes of a tube from end A to end B, m; none where one is not there.
pub fn corners(b: &Build, tube: &Tube) -> Option<Vec<Space>> {
    let a = &b.assembly;
    a.nodes_of(tube)
        .map(|id| a.node(id).map(|x| x.at.si()))
        .collect()
}

/// The centreline of a tube through these corners; none where it can not be bent like that.
pub fn centreline(tube: &Tube, corners: &[Space]) -> Option<Centreline> {
    let points: Vec<Point3<f64>> = corners
        .iter()
        .map(|p| Point3::new(p[0], p[1], p[2]))
        .collect();
    let radii: Vec<f64> = tube.bends.iter().map(|x| x.radius.si()).collect();
    Centreline::new(&points, &radii).ok()
}

/// Places the tube is painted between.
fn stops(tube: &Tube, corners: &[Space], face: Face) -> Vec<Stop> {
    let own = |a: Space, b: Space| axes(tube, a, b, face);
    let Some(line) = (corners.len() > 2)
        .then(|| centreline(tube, corners))
        .flatten()
    else {
        // Straight from corner to corner: of a tube that can not be bent like that, too.
        let mut out: Vec<Stop> = Vec::new();
        for ends in corners.windows(2) {
            let axes = own(ends[0], ends[1]);
            out.extend(ends.iter().map(|at| Stop {
                at: *at,
                axes,
                seam: false,
            }));
        }
        return out;
    };
    // A section keeps its own faces over the bends.
    let mut carried: Vec<[Space; 3]> = Vec::new();
    let mut last: Option<Axes> = None;
    for d in line.directions() {
        let next = match &last {
            None => Axes::by_up_rule(d, tube.turn.si()),
            Some(axes) => axes.carried(d),
        };
        let Ok(next) = next else {
            return Vec::new();
        };
        carried.push([si(&next.along), si(&next.up), si(&next.side)]);
        last = Some(next);
    }
    let ends: Vec<f64> = line.bends().iter().flat_map(|b| [b.start, b.end]).collect();
    line.chords(CHORD)
        .iter()
        .map(|s| {
            let d = si(&s.direction);
            let leg = s.bend.unwrap_or_else(|| {
                let passed = line.bends().iter().filter(|b| b.end <= s.length + ONE);
                passed.count()
            });
            let base = carried
                .get(leg)
                .copied()
                .unwrap_or_else(|| own(d, [0.0; 3]));
            let up = unit(along(base[1], d, -dot(base[1], d))).unwrap_or(base[1]);
            Stop {
                at: [s.point.x, s.point.y, s.point.z],
                axes: [d, up, super::scene::cross(d, up)],
                seam: ends.iter().any(|e| (e - s.length).abs() < ONE),
            }
        })
        .collect()
}

/// Points of the section round a place, build frame; a round one's lie on a circle.
fn ring(section: &TubeSection, stop: &Stop) -> Vec<Space> {
    let [_, h, w] = stop.axes;
    match *section {
        TubeSection::Round { outside, .. } => {
            let r = 0.5 * outside.si();
            (0..ROUND)
                .map(|k| {
                    let (s, c) = (std::f64::consts::TAU * k as f64 / ROUND as f64).sin_cos();
                    along(along(stop.at, h, r * c), w, r * s)
                })
                .collect()
        }
        TubeSection::Rectangular { height, width, .. } => {
            let (u, v) = (0.5 * height.si(), 0.5 * width.si());
            [(u, v), (u, -v), (-u, -v), (-u, v)]
                .into_iter()
                .map(|(u, v)| along(along(stop.at, h, u), w, v))
                .collect()
        }
    }
}

/// Longer stretches cut up, so that what crosses them can lie between. `buried`: how far each end of
/// the tube is inside what it stands on, m.
fn shortened(stops: &[Stop], buried: [f64; 2]) -> Vec<(Stop, Stop, bool)> {
    let whole: f64 = stops
        .windows(2)
        .map(|w| length(sub(w[1].at, w[0].at)))
        .sum();
    let mut out = Vec::new();
    let mut from = 0.0;
    for pair in stops.windows(2) {
        let d = sub(pair[1].at, pair[0].at);
        let long = length(d);
        if long < ONE {
            continue;
        }
        let mut cuts = vec![0.0];
        let count = (long / STRETCH).ceil().clamp(1.0, 200.0) as u32;
        cuts.extend((1..=count).map(|k| f64::from(k) / f64::from(count)));
        for cut in [buried[0] - from, whole - buried[1] - from] {
            if cut > ONE && cut < long - ONE {
                cuts.push(cut / long);
            }
        }
        cuts.sort_by(f64::total_cmp);
        for w in cuts.windows(2) {
            let mut ends = [0, 1].map(|k| {
                // Over a chord of a bend the section turns with it.
                let source = if w[k] < 0.5 { pair[0] } else { pair[1] };
                Stop {
                    at: along(pair[0].at, d, w[k]),
                    seam: false,
                    ..source
                }
            });
            ends[0].seam = w[0] == 0.0 && pair[0].seam;
            let middle = from + 0.5 * (w[0] + w[1]) * long;
            let inside = middle < buried[0] || middle > whole - buried[1];
            out.push((ends[0], ends[1], inside));
        }
        from += long;
    }
    out
}

/// The stretches of a tube from end A to end B.
pub fn pieces(tube: &Tube, corners: &[Space], face: Face, buried: [f64; 2]) -> Vec<Piece> {
    let stops = stops(tube, corners, face);
    let cut = shortened(&stops, buried);
    let eye = toward_eye(face);
    let last = cut.len().saturating_sub(1);
    cut.iter()
        .enumerate()
        .map(|(i, (a, b, inside))| {
            let depths = [nearness(face, a.at), nearness(face, b.at)];
            let near = if *inside {
                depths[0].min(depths[1])
            } else {
                depths[0].max(depths[1])
            };
            let mut piece = match tube.section {
                TubeSection::Round { outside, .. } => rod(a, b, 0.5 * outside.si(), face),
                TubeSection::Rectangular { .. } => box_of(&tube.section, a, b, face, eye),
            };
            piece.near = near;
            piece.line = [a.at, b.at];
            piece.inside = *inside;
            for (end, at, looks) in [(0, a, -1.0), (last, b, 1.0)] {
                if i != end {
                    continue;
                }
                let toward = looks * dot(at.axes[0], eye);
                let outline: Vec<Flat> = ring(&tube.section, at)
                    .into_iter()
                    .map(|p| face.flat(p))
                    .collect();
                piece.cover.extend(outline.iter().copied());
                if toward > 0.02 {
                    piece.near_end = Some(outline);
                } else if toward < -0.02 {
                    piece.far_end = Some(outline);
                } else if let (Some(p), Some(q)) = across(at, &tube.section, face) {
                    piece.edges.push([p, q]);
                }
            }
            piece.cover = hull(piece.cover);
            piece
        })
        .collect()
}

/// The line an end is seen as when it is looked at edge on.
fn across(at: &Stop, section: &TubeSection, face: Face) -> (Option<Flat>, Option<Flat>) {
    let d = face.flat(at.axes[0]);
    let n = [-d[1], d[0]];
    let points = ring(section, at).into_iter().map(|p| face.flat(p));
    let key = |p: &Flat| p[0] * n[0] + p[1] * n[1];
    let all: Vec<Flat> = points.collect();
    let low = all.iter().min_by(|x, y| key(x).total_cmp(&key(y)));
    let high = all.iter().max_by(|x, y| key(x).total_cmp(&key(y)));
    (low.copied(), high.copied())
}

fn empty() -> Piece {
    Piece {
        line: [[0.0; 3]; 2],
        cover: Vec::new(),
        sides: Vec::new(),
        edges: Vec::new(),
        seam: None,
        far_end: None,
        near_end: None,
        near: 0.0,
        inside: false,
    }
}

/// A stretch of round tube: two edges as far apart as it is wide.
fn rod(a: &Stop, b: &Stop, r: f64, face: Face) -> Piece {
    let side = |at: &Stop| {
        let d = face.flat(at.axes[0]);
        let n = d[0].hypot(d[1]);
        (n > 1e-6).then(|| [-d[1] / n * r, d[0] / n * r])
    };
    let mut piece = empty();
    let ends = [face.flat(a.at), face.flat(b.at)];
    if let (Some(p), Some(q)) = (side(a), side(b)) {
        let off = |x: Flat, n: Flat, s: f64| [x[0] + s * n[0], x[1] + s * n[1]];
        let left = [off(ends[0], p, 1.0), off(ends[1], q, 1.0)];
        let right = [off(ends[0], p, -1.0), off(ends[1], q, -1.0)];
        piece.cover = vec![left[0], left[1], right[1], right[0]];
        piece.seam = a.seam.then_some([left[0], right[0]]);
        piece.edges = vec![left, right];
    }
    piece
}

/// A stretch of rectangular tube: the sides that look at the eye, and the edges between them.
fn box_of(section: &TubeSection, a: &Stop, b: &Stop, face: Face, eye: Space) -> Piece {
    const LIGHT: Space = [-0.3, 0.4, 0.866];
    let mut piece = empty();
    let (p, q) = (ring(section, a), ring(section, b));
    let [_, h, w] = a.axes;
    let minus = |v: Space| v.map(|x| -x);
    // Between corner k and the next: up, then round toward -w.
    let normals = [h, minus(w), minus(h), w];
    let seen = normals.map(|n| dot(n, eye) > 1e-6);
    let flat = |x: Space| face.flat(x);
    piece.cover = p.iter().chain(&q).map(|x| flat(*x)).collect();
    for k in 0..4 {
        let n = (k + 1) % 4;
        if seen[k] {
            let light = 0.5 + 0.5 * dot(normals[k], LIGHT);
            let side = vec![flat(p[k]), flat(q[k]), flat(q[n]), flat(p[n])];
            piece.sides.push((side, light as f32));
        }
        if seen[k] || seen[(k + 3) % 4] {
            piece.edges.push([flat(p[k]), flat(q[k])]);
        }
    }
    piece
}

/// Distance of a point from the nearest of some stretches; nothing on one.
pub fn from_pieces(pieces: &[Piece], q: Flat) -> f64 {
    let off = pieces.iter().map(|p| beside(&p.cover, q));
    off.fold(f64::INFINITY, f64::min)
}

/// Convex hull, counter-clockwise (Andrew's monotone chain).
pub fn hull(mut points: Vec<Flat>) -> Vec<Flat> {
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
