//! From the drawn tubes to nodes, members and rigid links.

use std::collections::{BTreeMap, HashMap, HashSet};

use geometry::Vector3;
use geometry::tube::bend::CHORD;
use geometry::tube::cope::End;
use structure::model::{carry_over_bend, roll_toward};
use structure::section::bend_flexibility;
use structure::{Frame, Material, Member, Options, Pins, RigidLink, Section};

use super::super::drawn::{Drawn, SKIN, Solid, elasticity, point};
use crate::{Assembly, Ends, FrameTest, TubeSection};

/// Places of one tube closer than this are one, m.
const ONE_PLACE: f64 = 0.5e-3;

/// A place nearer to a centreline than this lies on it, m.
const ON_LINE: f64 = 1e-6;

/// One tube of the frame.
#[derive(Debug, Clone, PartialEq)]
pub struct FrameLine {
    /// Frame nodes from end A to end B.
    pub nodes: Vec<usize>,
    /// How far along the tube each of them is, m from end A.
    pub lengths: Vec<f64>,
    /// Frame members between them, in their order.
    pub members: Vec<usize>,
    /// Members of every straight, from end A.
    pub straights: Vec<Vec<usize>>,
    /// Members of every bend, from end A.
    pub bends: Vec<Vec<usize>>,
    /// Length of the centreline, m.
    pub length: f64,
    /// Mass over the centreline, kg.
    pub mass: f64,
}

impl FrameLine {
    /// The frame node nearest to a length along the tube.
    fn at(&self, length: f64) -> usize {
        let away = |i: &usize| (self.lengths[*i] - length).abs();
        let near = (0..self.nodes.len()).min_by(|a, b| away(a).total_cmp(&away(b)));
        near.map_or(0, |i| self.nodes[i])
    }
}

/// A place whose load the nearest tube carries.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Carried {
    /// Frame node on the tube's centreline.
    pub node: usize,
    /// The tube.
    pub tube: usize,
    /// How far the place is outside the tube, m; negative inside.
    pub outside: f64,
}

/// The frame as nodes and members, and what is where.
#[derive(Debug, Clone)]
pub struct Skeleton {
    /// Nodes, members, rigid links.
    pub frame: Frame,
    /// Every tube of the assembly; none where it is not part of the tested piece.
    pub lines: Vec<Option<FrameLine>>,
    /// Frame node of every build node that is an end of a tube or named by the test.
    pub named: BTreeMap<String, usize>,
    /// Tubes not joined to the tested piece, piece by piece.
    pub left_out: Vec<Vec<usize>>,
    /// Tubes that can not be drawn.
    pub broken: Vec<usize>,
    /// Named nodes that lie on no tube of the piece.
    pub missing: Vec<String>,
    /// The first node of the rigid piece every frame node belongs to.
    pub(super) body: Vec<usize>,
    pub(super) carried: Vec<Option<Carried>>,
}

/// Sets that grow together; the lowest member stands for its set.
struct Sets(Vec<usize>);

impl Sets {
    fn new(n: usize) -> Self {
        Self((0..n).collect())
    }

    fn add(&mut self) -> usize {
        self.0.push(self.0.len());
        self.0.len() - 1
    }

    fn of(&mut self, mut i: usize) -> usize {
        while self.0[i] != i {
            self.0[i] = self.0[self.0[i]];
            i = self.0[i];
        }
        i
    }

    fn join(&mut self, a: usize, b: usize) {
        let (a, b) = (self.of(a), self.of(b));
        let (low, high) = (a.min(b), a.max(b));
        self.0[high] = low;
    }
}

fn section_of(s: &TubeSection) -> Option<Section> {
    match *s {
        TubeSection::Round { outside, wall } => Section::round(outside.si(), wall.si()).ok(),
        TubeSection::Rectangular {
            height,
            width,
            wall,
            ..
        } => Section::rectangular(height.si(), width.si(), wall.si(), s.corner()).ok(),
    }
}

/// Section and material of a tube.
pub(super) fn stuff(a: &Assembly, s: &TubeSection, material: &str) -> Option<(Section, Material)> {
    let (e, g, density) = elasticity(a, material);
    Some((section_of(s)?, Material { e, g, density }))
}

/// Every node the test names, once.
fn test_nodes(test: &FrameTest) -> Vec<&str> {
    let fixed = [&test.rear, &test.front, &test.middle, &test.front_springs];
    let pairs = fixed.into_iter().flatten().chain(&test.stations);
    let mut all: Vec<&str> = pairs
        .flat_map(|p| [p.left.as_str(), p.right.as_str()])
        .chain(
            test.masses
                .iter()
                .flat_map(|m| m.on.iter().map(String::as_str)),
        )
        .chain(test.engine_mounts.iter().map(String::as_str))
        .chain(test.carriers.iter().map(|c| c.node.as_str()))
        .collect();
    all.sort_unstable();
    all.dedup();
    all
}

/// Where a build node lies.
enum Lies<'a> {
    End,
    On(usize, f64),
    /// Not drawn, or on no tube.
    Nowhere(&'a str),
}

struct Maker<'a> {
    a: &'a Assembly,
    drawn: &'a Drawn<'a>,
    /// Tubes that belong to the piece.
    within: Vec<bool>,
    sets: Sets,
    frame: Frame,
    ends: HashMap<&'a str, usize>,
    lines: Vec<Option<FrameLine>>,
    pairs: HashSet<(usize, usize)>,
}

impl Skeleton {
    /// The piece that holds the test's rear left node, else the heaviest one. `loads`: places whose load the
    /// nearest tube carries.
    pub(super) fn of(
        a: &Assembly,
        drawn: &Drawn<'_>,
        test: &FrameTest,
        loads: &[[f64; 3]],
    ) -> Option<Self> {
        let n = a.tubes.len();
        let good: Vec<bool> = (0..n)
            .map(|t| {
                drawn.solids[t].is_ok()
                    && stuff(a, &a.tubes[t].section, &a.tubes[t].material).is_some()
            })
            .collect();
        let mut pieces = Sets::new(n);
        for (t, meets) in drawn.meets.iter().enumerate() {
            for m in meets.iter().flatten() {
                if good[t] && good[m.tube] {
                    pieces.join(t, m.tube);
                }
            }
        }
        let piece_of: Vec<usize> = (0..n).map(|t| pieces.of(t)).collect();
        let rear = test.rear.as_ref().and_then(|p| {
            let on = |id| match lies(a, drawn, &good, id) {
                Lies::End => a
                    .tubes
                    .iter()
                    .enumerate()
                    .find(|(t, x)| good[*t] && (x.from == id || x.to == id))
                    .map(|(t, _)| t),
                Lies::On(t, _) => Some(t),
                Lies::Nowhere(_) => None,
            };
            on(&p.left).or_else(|| on(&p.right))
        });
        let piece = rear.map(|t| piece_of[t]).or_else(|| {
            let mut mass: BTreeMap<usize, f64> = BTreeMap::new();
            for t in (0..n).filter(|t| good[*t]) {
                *mass.entry(piece_of[t]).or_default() += mass_of(a, drawn, t);
            }
            mass.into_iter()
                .max_by(|x, y| x.1.total_cmp(&y.1).then(y.0.cmp(&x.0)))
                .map(|(p, _)| p)
        })?;
        let within: Vec<bool> = (0..n).map(|t| good[t] && piece_of[t] == piece).collect();
        let mut left: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
        for t in (0..n).filter(|t| good[*t] && !within[*t]) {
            left.entry(piece_of[t]).or_default().push(t);
        }
        let mut maker = Maker {
            a,
            drawn,
            within,
            sets: Sets::new(0),
            frame: Frame {
                options: Options {
                    shear: test.shear,
                    bend_flexibility: test.soft_bends,
                },
                ..Frame::default()
            },
            ends: HashMap::new(),
            lines: vec![None; n],
            pairs: HashSet::new(),
        };
        let carried = maker.lay(test, loads);
        let (named, missing) = maker.name(test);
        let body: Vec<usize> = (0..maker.frame.nodes.len())
            .map(|i| maker.sets.of(i))
            .collect();
        maker.frame.rigid_links = body
            .iter()
            .enumerate()
            .filter(|(slave, master)| slave != *master)
            .map(|(slave, &master)| RigidLink { slave, master })
            .collect();
        Some(Self {
            frame: maker.frame,
            lines: maker.lines,
            named,
            left_out: left.into_values().collect(),
            broken: (0..n).filter(|t| !good[*t]).collect(),
            missing,
            body,
            carried,
        })
    }

    /// Frame node of a build node.
    pub fn node(&self, id: &str) -> Option<usize> {
        self.named.get(id).copied()
    }

    /// Mass of the piece over its centrelines, kg.
    pub fn mass(&self) -> f64 {
        self.lines.iter().flatten().map(|l| l.mass).sum()
    }

    /// One frame node of every place where tubes end or that the test names: what stands on the frame is spread over
    /// these, however finely bends are divided.
    pub(super) fn drawn_nodes(&self) -> Vec<usize> {
        let mut all: Vec<usize> = self.named.values().map(|n| self.body[*n]).collect();
        all.sort_unstable();
        all.dedup();
        all
    }
}

fn mass_of(a: &Assembly, drawn: &Drawn<'_>, tube: usize) -> f64 {
    let t = &a.tubes[tube];
    match (&drawn.solids[tube], stuff(a, &t.section, &t.material)) {
        (Ok(s), Some((section, m))) => section.mass_per_metre(m.density) * s.line.length(),
        _ => 0.0,
    }
}

fn lies<'a>(a: &Assembly, drawn: &Drawn<'_>, within: &[bool], id: &'a str) -> Lies<'a> {
    let tubes = || a.tubes.iter().enumerate().filter(|(t, _)| within[*t]);
    if tubes().any(|(_, t)| t.from == id || t.to == id) {
        return Lies::End;
    }
    let Some(node) = a.node(id) else {
        return Lies::Nowhere(id);
    };
    let p = point(node.at.si());
    let best = tubes()
        .filter_map(|(t, _)| {
            let (along, outside) = drawn.solids[t].as_ref().ok()?.nearest(p);
            Some((t, along, outside))
        })
        .min_by(|x, y| x.2.total_cmp(&y.2));
    match best {
        Some((t, along, outside)) if outside <= SKIN => Lies::On(t, along),
        _ => Lies::Nowhere(id),
    }
}

impl<'a> Maker<'a> {
    fn solid(&self, tube: usize) -> Option<&'a Solid<'a>> {
        self.drawn.solids[tube].as_ref().ok()
    }

    /// Lays nodes and members along every tube and joins what meets.
    fn lay(&mut self, test: &FrameTest, loads: &[[f64; 3]]) -> Vec<Option<Carried>> {
        let n = self.within.len();
        let mut places: Vec<Vec<f64>> = vec![Vec::new(); n];
        let mut joins = Vec::new();
        for t in (0..n).filter(|t| self.within[*t]) {
            for (e, meets) in self.drawn.meets[t].iter().enumerate() {
                for m in meets {
                    if m.ends_here.is_none() && self.within[m.tube] {
                        places[m.tube].push(m.at);
                        joins.push((t, [End::A, End::B][e], m.tube, m.at));
                    }
                }
            }
        }
        for id in test_nodes(test) {
            if let Lies::On(t, along) = lies(self.a, self.drawn, &self.within, id) {
                places[t].push(along);
            }
        }
        let nearest: Vec<Option<(usize, f64, f64)>> = loads
            .iter()
            .map(|&p| {
                let p = point(p);
                let all = (0..n).filter(|t| self.within[*t]).filter_map(|t| {
                    let (along, outside) = self.solid(t)?.nearest(p);
                    Some((t, along, outside))
                });
                all.filter(|x| x.2.is_finite())
                    .min_by(|x, y| x.2.total_cmp(&y.2))
            })
            .collect();
        for (t, along, _) in nearest.iter().flatten() {
            places[*t].push(*along);
        }
        for (t, inner) in places.into_iter().enumerate() {
            if self.within[t] {
                self.tube(t, inner);
            }
        }
        for (t, end, main, at) in joins {
            let (Some(line), Some(main)) = (&self.lines[t], &self.lines[main]) else {
                continue;
            };
            let end = match end {
                End::A => line.nodes.first(),
                End::B => line.nodes.last(),
            };
            if let Some(&end) = end {
                self.sets.join(end, main.at(at));
            }
        }
        nearest
            .into_iter()
            .map(|found| {
                let (tube, along, outside) = found?;
                let node = self.lines[tube].as_ref()?.at(along);
                Some(Carried {
                    node,
                    tube,
                    outside,
                })
            })
            .collect()
    }

    fn add(&mut self, at: Vector3<f64>) -> usize {
        self.frame.nodes.push(at);
        self.sets.add()
    }

    /// The one frame node of a build node where tubes end.
    fn end(&mut self, id: &'a str, at: Vector3<f64>) -> usize {
        if let Some(&n) = self.ends.get(id) {
            return n;
        }
        let n = self.add(at);
        self.ends.insert(id, n);
        n
    }

    fn tube(&mut self, t: usize, inner: Vec<f64>) {
        let tube = &self.a.tubes[t];
        let (Some(solid), Some((section, material))) =
            (self.solid(t), stuff(self.a, &tube.section, &tube.material))
        else {
            return;
        };
        let whole = solid.line.length();
        let chords = solid.line.chords(CHORD);
        let mut lengths: Vec<f64> = chords.iter().map(|s| s.length).chain(inner).collect();
        lengths.retain(|s| *s > ONE_PLACE && *s < whole - ONE_PLACE);
        lengths.sort_unstable_by(f64::total_cmp);
        lengths.dedup_by(|b, a| *b - *a < ONE_PLACE);
        lengths.insert(0, 0.0);
        lengths.push(whole);
        let last = lengths.len() - 1;
        let nodes: Vec<usize> = lengths
            .iter()
            .enumerate()
            .map(|(i, &s)| match i {
                0 => self.end(&tube.from, solid.line.end_a().coords),
                _ if i == last => self.end(&tube.to, solid.line.end_b().coords),
                _ => self.add(solid.line.at(s).point.coords),
            })
            .collect();
        let count = solid.line.bends().len();
        let mut line = FrameLine {
            lengths,
            members: Vec::new(),
            straights: vec![Vec::new(); count + 1],
            bends: vec![Vec::new(); count],
            length: whole,
            mass: section.mass_per_metre(material.density) * whole,
            nodes,
        };
        for k in 0..last {
            let (i, mut j) = (line.nodes[k], line.nodes[k + 1]);
            if !self.pairs.insert((i.min(j), i.max(j))) {
                // Another tube already joins these two: this one gets its own node on the same piece.
                let twin = self.add(self.frame.nodes[j]);
                self.sets.join(twin, j);
                j = twin;
                line.nodes[k + 1] = twin;
            }
            let along = self.frame.nodes[j] - self.frame.nodes[i];
            let middle = 0.5 * (line.lengths[k] + line.lengths[k + 1]);
            let bend = solid.line.at(middle).bend;
            let straight = match bend {
                Some(b) => b,
                None => solid
                    .line
                    .bends()
                    .iter()
                    .filter(|b| b.end <= middle)
                    .count(),
            };
            let axes = &solid.axes[straight.min(count)];
            let (height, factor) = match bend {
                None => (axes.up, 1.0),
                Some(b) => (
                    carry_over_bend(&axes.up, &axes.along, &along),
                    bend_flexibility(&section, solid.line.bends()[b].radius),
                ),
            };
            let pins = match tube.ends {
                Ends::Welded => Pins::None,
                Ends::Pinned => match (k == 0, k + 1 == last) {
                    (true, true) => Pins::Both,
                    (true, false) => Pins::I,
                    (false, true) => Pins::J,
                    (false, false) => Pins::None,
                },
            };
            let number = self.frame.members.len();
            line.members.push(number);
            match bend {
                Some(b) => line.bends[b].push(number),
                None => line.straights[straight.min(count)].push(number),
            }
            self.frame.members.push(Member {
                i,
                j,
                section,
                material,
                roll: roll_toward(&along, &height),
                pins,
                bend_factor: factor,
                tube: t,
            });
        }
        self.lines[t] = Some(line);
    }

    /// Frame nodes by their build node's name; names that lie on no tube.
    fn name(&mut self, test: &FrameTest) -> (BTreeMap<String, usize>, Vec<String>) {
        let mut named: BTreeMap<String, usize> = self
            .ends
            .iter()
            .map(|(id, n)| ((*id).to_owned(), *n))
            .collect();
        let mut missing = Vec::new();
        for id in test_nodes(test) {
            match lies(self.a, self.drawn, &self.within, id) {
                Lies::End => {}
                Lies::Nowhere(id) => missing.push(id.to_owned()),
                Lies::On(t, along) => {
                    let (Some(line), Some(node)) = (&self.lines[t], self.a.node(id)) else {
                        continue;
                    };
                    let on = line.at(along);
                    let at = point(node.at.si()).coords;
                    let n = if (self.frame.nodes[on] - at).norm() < ON_LINE {
                        on
                    } else {
                        let n = self.add(at);
                        self.sets.join(n, on);
                        n
                    };
                    named.insert(id.to_owned(), n);
                }
            }
        }
        (named, missing)
    }
}
