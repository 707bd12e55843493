//! What a pen drawn over the assembly makes: tubes with nodes and joints, control dimensions.

use build::{
    Assembly, Build, ControlDimension, Joins, Joint, JointKind, Limit, Node, Place, Tool, Tube,
    TubeSection, WeldEdit,
};
use units::{Angle, Kind, Length, Shop};

use super::super::handles::{Face, tidy};
use super::scene::{Scene, Solid, Space, along, dot, length, nearness, sub, toward_eye, unit};
use super::solid::from_pieces;

/// Shortest tube or dimension drawn, m.
pub(super) const SHORTEST: f64 = 0.005;
/// A node this near a centreline lies on it, m.
const ON: f64 = 0.001;

/// Where an end of a stroke takes hold.
#[derive(Debug, Clone, PartialEq)]
pub struct Anchor {
    /// The point, build frame, m.
    pub at: Space,
    /// The node there.
    pub node: Option<String>,
    /// The tube whose centreline it lies on.
    pub tube: Option<String>,
}

/// Nodes and tubes this near to the level of the pen are on it, m.
const LEVEL: f64 = 0.025;

/// What the pen reaches at a point of the drawing.
#[derive(Debug, Clone, Copy)]
pub struct Reach<'a> {
    /// Which way the drawing is looked at.
    pub face: Face,
    /// How near the eye the pen is, m.
    pub depth: f64,
    /// A stroke has begun: a tube on the pen's level goes before a node in front of it or behind it.
    pub begun: bool,
    /// How far it reaches, m.
    pub slack: f64,
    /// Display units: what is free lies on a step.
    pub shop: &'a Shop,
}

/// What the pen takes hold of: a node, a tube, or nothing.
pub fn anchor(b: &Build, q: [f64; 2], reach: &Reach<'_>) -> Anchor {
    let Reach {
        face,
        depth,
        begun,
        slack,
        shop,
    } = *reach;
    let off = |p: Space| {
        let f = face.flat(p);
        (f[0] - q[0]).hypot(f[1] - q[1])
    };
    let level = |p: Space| (nearness(face, p) - depth).abs();
    let nodes = b.assembly.nodes.iter().filter(|x| off(x.at.si()) <= slack);
    // Of nodes behind one another, the one on the level the pen is at.
    let nearest = nodes.min_by(|x, y| {
        let key = |n: &Node| off(n.at.si()) + 1e-3 * level(n.at.si());
        key(x).total_cmp(&key(y))
    });
    let scene = Scene::new(b, face);
    let tubes = scene.solids.iter().rev().filter_map(|s| match s {
        Solid::Tube(x) => Some((from_pieces(&x.pieces, q), x)),
        Solid::Plate(_) => None,
    });
    let tube = tubes
        .filter(|(d, _)| *d <= 0.5 * slack)
        .min_by(|x, y| x.0.total_cmp(&y.0))
        .map(|(_, x)| Anchor {
            at: on_line(&x.corners, face, q, depth, shop),
            node: None,
            tube: Some(x.tube.id.clone()),
        });
    let behind = |x: &Node| {
        let on_level = tube.as_ref().is_some_and(|t| level(t.at) < LEVEL);
        begun && on_level && level(x.at.si()) > LEVEL
    };
    if let Some(x) = nearest.filter(|x| !behind(x)) {
        return Anchor {
            at: x.at.si(),
            node: Some(x.id.clone()),
            tube: None,
        };
    }
    if let Some(tube) = tube {
        return tube;
    }
    let at = match face {
        Face::Turned(_) => {
            let there = along(face.lift(q, [0.0; 3]), toward_eye(face), depth);
            tidy(there, [f64::INFINITY; 3], shop, true)
        }
        _ => {
            let mut at = tidy(face.lift(q, [0.0; 3]), [f64::INFINITY; 3], shop, true);
            let k = axis(face);
            at[k] = depth * toward_eye(face)[k];
            at
        }
    };
    Anchor {
        at,
        node: None,
        tube: None,
    }
}

/// The coordinate a view does not show; of a turned one the height.
const fn axis(face: Face) -> usize {
    match face {
        Face::Rear => 0,
        Face::Side => 1,
        Face::Plan | Face::Turned(_) => 2,
    }
}

/// [`on_centreline`] of the leg that is drawn nearest.
fn on_line(corners: &[Space], face: Face, q: [f64; 2], depth: f64, shop: &Shop) -> Space {
    let off = |p: Space| {
        let f = face.flat(p);
        (f[0] - q[0]).hypot(f[1] - q[1])
    };
    corners
        .windows(2)
        .map(|leg| on_centreline([leg[0], leg[1]], face, q, depth, shop))
        .min_by(|x, y| off(*x).total_cmp(&off(*y)))
        .unwrap_or_default()
}

/// The point of a centreline that is drawn nearest to `q`, a whole number of display steps from end A;
/// along a line of sight the one nearest to `depth`.
fn on_centreline(ends: [Space; 2], face: Face, q: [f64; 2], depth: f64, shop: &Shop) -> Space {
    let d = sub(ends[1], ends[0]);
    let (a, v) = (face.flat(ends[0]), face.flat(d));
    // The zero of the drawing is drawn at its own zero: `flat` is linear.
    let n = nearness(face, d);
    const SLIGHT: f64 = 1e-9;
    let down = v[0] * v[0] + v[1] * v[1] + SLIGHT * n * n;
    if down <= 0.0 {
        return ends[0];
    }
    let up = (q[0] - a[0]) * v[0]
        + (q[1] - a[1]) * v[1]
        + SLIGHT * n * (depth - nearness(face, ends[0]));
    let whole = length(d);
    let step = units::step(Kind::Length, shop);
    let far = ((up / down).clamp(0.0, 1.0) * whole / step).round() * step;
    let t = (far / whole).clamp(0.0, 1.0);
    along(ends[0], d, t).map(|v| (v * 1e7).round() / 1e7)
}

/// What a new tube is made of.
#[derive(Debug, Clone, PartialEq)]
pub struct Stock {
    /// Its section.
    pub section: TubeSection,
    /// Its material.
    pub material: String,
}

impl Default for Stock {
    /// 1 5/8 by 0.134 in of 1020 DOM, of the chooser's own table.
    fn default() -> Self {
        Self {
            section: TubeSection::Round {
                outside: Length::from_inches(1.625),
                wall: Length::from_inches(0.134),
            },
            material: "1020 DOM".to_owned(),
        }
    }
}

/// The edits that draw a tube between two places, and its mirrored partner; the id of the tube.
///
/// # Errors
/// The two ends are one.
pub fn draw_tube(
    b: &Build,
    ends: [&Anchor; 2],
    stock: &Stock,
    mirror: bool,
) -> Result<(Vec<WeldEdit>, String), &'static str> {
    if length(sub(ends[1].at, ends[0].at)) < SHORTEST {
        return Err("A tube needs two ends apart: press at one, let go at the other");
    }
    let mut shadow = Shadow::of(b);
    let first = shadow.tube(ends[0], ends[1], stock);
    let id = match &first {
        WeldEdit::DrawTube { tube, .. } => tube.id.clone(),
        _ => String::new(),
    };
    let mut edits = vec![first];
    if mirror {
        let other = ends.map(|x| shadow.mirrored(x));
        let same = shadow.runs(&other[0], &other[1]);
        if !same {
            let second = shadow.tube(&other[0], &other[1], stock);
            edits.push(second);
        }
    }
    Ok((edits, id))
}

/// The edits that make a control dimension between two nodes, and its mirrored partner.
///
/// # Errors
/// An end is no node, or both are one.
pub fn measure(
    b: &Build,
    ends: [&Anchor; 2],
    mirror: bool,
    shop: &Shop,
) -> Result<(Vec<WeldEdit>, String), &'static str> {
    let (Some(from), Some(to)) = (&ends[0].node, &ends[1].node) else {
        return Err("A dimension runs from node to node: press at one, let go at the other");
    };
    if from == to || length(sub(ends[1].at, ends[0].at)) < SHORTEST {
        return Err("A dimension needs two nodes apart");
    }
    let mut list: Vec<ControlDimension> = b.weld_out.dimensions.clone();
    let mut edits = Vec::new();
    let first = dimension(&b.assembly, &list, from, to, shop);
    let id = first.id.clone();
    list.push(first.clone());
    edits.push(WeldEdit::PutDimension(first));
    let shadow = Shadow::of(b);
    let other = ends.map(|x| shadow.mirrored(x));
    if let (true, Some(a), Some(c)) = (mirror, &other[0].node, &other[1].node) {
        let same =
            |d: &ControlDimension| (d.from == *a && d.to == *c) || (d.from == *c && d.to == *a);
        if !list.iter().any(same) {
            edits.push(WeldEdit::PutDimension(dimension(
                &b.assembly,
                &list,
                a,
                c,
                shop,
            )));
        }
    }
    Ok((edits, id))
}

/// A new control dimension between two nodes: what it measures now, within 1/16 in.
pub fn dimension(
    a: &Assembly,
    all: &[ControlDimension],
    from: &str,
    to: &str,
    shop: &Shop,
) -> ControlDimension {
    let apart = match (a.node(from), a.node(to)) {
        (Some(x), Some(y)) => length(sub(y.at.si(), x.at.si())),
        _ => 0.0,
    };
    let shown = units::format(Kind::Length, apart, shop);
    let want = units::parse_typed(Kind::Length, &shown, shop).unwrap_or(apart);
    let id = fresh("D", |id| all.iter().any(|d| d.id == id));
    ControlDimension {
        label: format!("{from} to {to}"),
        id,
        from: from.to_owned(),
        to: to.to_owned(),
        want: Length::from_si(want),
        tolerance: Limit::Within(Length::from_inches(0.0625)),
        through: Vec::new(),
        tool: Tool::default(),
        readings: Vec::new(),
        learn: false,
        void: None,
    }
}

/// The first of `N1`, `N2`, ... that is free.
pub fn fresh(letter: &str, taken: impl Fn(&str) -> bool) -> String {
    (1..)
        .map(|n: u32| format!("{letter}{n}"))
        .find(|id| !taken(id))
        .unwrap_or_default()
}

/// The node at the same place on the other side of the car, if there is another one.
pub fn partner<'a>(a: &'a Assembly, node: &Node) -> Option<&'a Node> {
    let there = node.at.mirrored().si();
    a.nodes
        .iter()
        .filter(|x| x.id != node.id)
        .find(|x| length(sub(x.at.si(), there)) < ON)
}

/// The assembly with what has been drawn so far.
struct Shadow<'a> {
    b: &'a Build,
    a: Assembly,
    joints: Vec<String>,
}

impl<'a> Shadow<'a> {
    fn of(b: &'a Build) -> Self {
        Self {
            b,
            a: b.assembly.clone(),
            joints: b.fit_up.joints.iter().map(|j| j.id.clone()).collect(),
        }
    }

    fn node_at(&self, p: Space) -> Option<&Node> {
        let near = |x: &&Node| length(sub(x.at.si(), p)) < ON;
        self.a.nodes.iter().find(near)
    }

    /// The same anchor on the other side of the car.
    fn mirrored(&self, x: &Anchor) -> Anchor {
        let at = Place::from_si(x.at).mirrored().si();
        Anchor {
            at,
            node: self.node_at(at).map(|n| n.id.clone()),
            tube: self.through(at, "").map(|t| t.id.clone()),
        }
    }

    /// Is there a tube between two anchors already?
    fn runs(&self, x: &Anchor, y: &Anchor) -> bool {
        let (Some(a), Some(b)) = (&x.node, &y.node) else {
            return false;
        };
        self.a
            .tubes
            .iter()
            .any(|t| (t.from == *a && t.to == *b) || (t.from == *b && t.to == *a))
    }

    /// The tube whose centreline passes a point: rather one that runs through than one that ends there,
    /// and the largest of those.
    fn through(&self, p: Space, not: &str) -> Option<&Tube> {
        let mut best: Option<(bool, f64, &Tube)> = None;
        for t in self.a.tubes.iter().filter(|t| t.id != not) {
            let nodes = self.a.nodes_of(t).map(|id| self.a.node(id));
            let Some(line) = nodes.map(|n| Some(n?.at.si())).collect::<Option<Vec<_>>>() else {
                continue;
            };
            let legs = line.windows(2).len();
            for (i, leg) in line.windows(2).enumerate() {
                let Some(x) = unit(sub(leg[1], leg[0])) else {
                    continue;
                };
                let long = length(sub(leg[1], leg[0]));
                let s = dot(sub(p, leg[0]), x).clamp(0.0, long);
                if length(sub(p, along(leg[0], x, s))) > ON {
                    continue;
                }
                let inside = (i > 0 || s > ON) && (i + 1 < legs || s < long - ON);
                let key = (inside, t.section.reach());
                if best.is_none_or(|(i, r, _)| (i, r) < key) {
                    best = Some((key.0, key.1, t));
                }
            }
        }
        best.map(|(_, _, t)| t)
    }

    /// The tube an end lands on.
    fn landing(&self, x: &Anchor, node: &str, own: &str) -> Option<&Tube> {
        let drawn = x.tube.as_deref().and_then(|id| self.a.tube(id));
        let joined = || {
            // Another part's end at this node stands on it already.
            let at = |j: &&Joint| j.joins.as_ref().is_some_and(|g| g.at == node);
            let found = self.b.fit_up.joints.iter().find(at);
            found.and_then(|j| self.a.tube(&j.joins.as_ref()?.onto))
        };
        drawn
            .or_else(|| self.through(x.at, own))
            .or_else(joined)
            .filter(|t| t.id != own)
    }

    fn tube(&mut self, from: &Anchor, to: &Anchor, stock: &Stock) -> WeldEdit {
        let mut nodes = Vec::new();
        let ids = [from, to].map(|x| {
            let there = x.node.clone().filter(|id| self.a.node(id).is_some());
            let there = there.or_else(|| self.node_at(x.at).map(|n| n.id.clone()));
            there.unwrap_or_else(|| {
                let node = Node {
                    id: fresh("N", |id| self.a.node(id).is_some()),
                    at: Place::from_si(x.at),
                };
                self.a.nodes.push(node.clone());
                nodes.push(node.clone());
                node.id
            })
        });
        let id = fresh("T", |id| self.a.part_label(id).is_some());
        let tube = Tube {
            label: format!("Tube {}", id.trim_start_matches('T')),
            id,
            from: ids[0].clone(),
            to: ids[1].clone(),
            section: stock.section,
            material: stock.material.clone(),
            turn: Angle::from_si(0.0),
            bends: Vec::new(),
            die: None,
            ends: build::Ends::Welded,
        };
        let mut joints = Vec::new();
        for (x, node) in [from, to].into_iter().zip(&ids) {
            let Some(onto) = self.landing(x, node, &tube.id) else {
                continue;
            };
            let id = fresh("J", |id| self.joints.iter().any(|x| x == id));
            let joint = joint(&id, &tube, onto, node);
            self.joints.push(id);
            joints.push(joint);
        }
        self.a.tubes.push(tube.clone());
        WeldEdit::DrawTube {
            nodes,
            tube,
            joints,
        }
    }
}

/// The joint of a tube that ends on another one: coped on a round tube, a tee on a rectangular one.
fn joint(id: &str, tube: &Tube, onto: &Tube, node: &str) -> Joint {
    let round = |t: &Tube| matches!(t.section, TubeSection::Round { .. });
    let kind = if round(tube) && round(onto) {
        JointKind::Cope
    } else {
        JointKind::Tee { fillets: 1 }
    };
    let wall = tube.section.wall();
    let label = format!("{} to {}", tube.label, onto.label);
    let mut joint = Joint::new(id, &label, kind, wall, leg(wall));
    joint.joins = Some(Joins {
        part: tube.id.clone(),
        onto: onto.id.clone(),
        at: node.to_owned(),
    });
    if kind != JointKind::Cope {
        joint.base = Some(onto.section.wall());
    }
    joint
}

/// A leg to begin with: the wall, up to the next sixteenth, at least 1/8 in (common practice, no source).
fn leg(wall: Length) -> Length {
    let sixteenths = (wall.si() / 0.0254 * 16.0 - 1e-6).ceil();
    Length::from_inches((sixteenths / 16.0).max(0.125))
}
