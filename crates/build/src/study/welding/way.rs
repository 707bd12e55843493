//! The way from one end of a control dimension to the other: along tubes and plates, across joints.

use std::collections::{BTreeSet, BinaryHeap, HashMap};

use super::super::Phrase;
use super::joints::JointWeld;
use super::space::{Line, V3, size, sub};
use crate::{Assembly, Build, ControlDimension};

/// One stretch of the way.
#[derive(Debug, Clone, PartialEq)]
pub enum Leg {
    /// Along a part.
    Along {
        /// Tube or plate.
        part: String,
        /// Node it begins at.
        from: String,
        /// Node it ends at.
        to: String,
    },
    /// Across a joint.
    Across {
        /// Place of the joint in the fit-up log.
        joint: usize,
        /// From the part that ends there onto the part it stands on; else the other way.
        onto: bool,
    },
}

/// A node lies on a tube when it is no farther beside its centreline than its skin and this, m.
const SKIN: f64 = 1e-3;
/// What crossing a joint counts as, m: of ways as long, the one over fewer joints.
const CROSSING: f64 = 1e-4;

/// Nodes on a part, with where they are.
type Stops<'a> = Vec<(&'a str, V3)>;

/// Every part with the nodes on it, in order along it.
#[derive(Debug)]
pub(super) struct Network<'a> {
    build: &'a Build,
    pub lines: HashMap<&'a str, Line>,
    /// Part, then nodes by place (a plate: all at one, joined pairwise).
    stops: Vec<(&'a str, Stops<'a>, bool)>,
    /// Every stop: part, place on it.
    places: Vec<(usize, usize)>,
    /// From each stop to the next ones, with the distance.
    edges: Vec<Vec<(usize, f64, Step)>>,
}

/// A joint that holds: part that ends, part it stands on, node, place in the log.
type Held<'a> = (&'a str, &'a str, &'a str, usize);

impl<'a> Network<'a> {
    pub fn of(build: &'a Build) -> Self {
        let a = &build.assembly;
        let lines: HashMap<&str, Line> = a
            .tubes
            .iter()
            .filter_map(|t| Some((t.id.as_str(), Line::of(a, t).ok()?)))
            .collect();
        let joints: Vec<Held<'a>> = build
            .fit_up
            .joints
            .iter()
            .enumerate()
            .filter_map(|(i, j)| {
                let joins = j.joins.as_ref()?;
                a.node(&joins.at)?;
                Some((
                    joins.part.as_str(),
                    joins.onto.as_str(),
                    joins.at.as_str(),
                    i,
                ))
            })
            .collect();
        // Ends of dimensions may lie anywhere on a tube.
        let wanted: BTreeSet<&str> = build
            .weld_out
            .dimensions
            .iter()
            .flat_map(|d| {
                let through = d.through.iter().map(String::as_str);
                through.chain([d.from.as_str(), d.to.as_str()])
            })
            .collect();
        let mut stops = Vec::new();
        for t in &a.tubes {
            let Some(line) = lines.get(t.id.as_str()) else {
                continue;
            };
            let mut on: BTreeSet<&str> = [t.from.as_str(), t.to.as_str()].into();
            for (part, onto, at, _) in &joints {
                if *part == t.id || *onto == t.id {
                    on.insert(at);
                }
            }
            for id in &wanted {
                let Some(p) = a.node(id).map(|n| n.at.si()) else {
                    continue;
                };
                let s = line.along_at(p);
                if (0.0..=line.length).contains(&s) && line.beside(p) <= t.section.reach() + SKIN {
                    on.insert(id);
                }
            }
            let mut list: Vec<(&str, V3)> = on
                .into_iter()
                .filter_map(|id| Some((id, a.node(id)?.at.si())))
                .collect();
            list.sort_by(|x, y| line.along_at(x.1).total_cmp(&line.along_at(y.1)));
            stops.push((t.id.as_str(), list, true));
        }
        for p in &a.plates {
            let mut on: BTreeSet<&str> = p.outline.iter().map(String::as_str).collect();
            for (part, onto, at, _) in &joints {
                if *part == p.id || *onto == p.id {
                    on.insert(at);
                }
            }
            let list = on
                .into_iter()
                .filter_map(|id| Some((id, a.node(id)?.at.si())))
                .collect();
            stops.push((p.id.as_str(), list, false));
        }
        let places: Vec<(usize, usize)> = stops
            .iter()
            .enumerate()
            .flat_map(|(p, (_, list, _))| (0..list.len()).map(move |k| (p, k)))
            .collect();
        let edges = edges(&stops, &places, &joints);
        Self {
            build,
            lines,
            stops,
            places,
            edges,
        }
    }

    /// The shortest way from `from` to `to` past every node of `through`, in order.
    pub fn way(&self, d: &ControlDimension) -> Result<Vec<Leg>, Phrase> {
        let a: &Assembly = &self.build.assembly;
        let mut marks: Vec<&str> = vec![&d.from];
        marks.extend(d.through.iter().map(String::as_str));
        marks.push(&d.to);
        for id in &marks {
            if a.node(id).is_none() {
                return Err(Phrase::from(format!("there is no node {id}")));
            }
            if !self.stops.iter().any(|(_, list, _)| has(list, id)) {
                return Err(Phrase::from(format!("node {id} is on no tube or plate")));
            }
        }
        let (places, edges) = (&self.places, &self.edges);
        let n = places.len();
        let layers = marks.len();
        let node_of = |v: usize| {
            let (p, k) = places[v];
            self.stops[p].1[k].0
        };
        // One copy of the network for each mark passed.
        let mut best = vec![f64::INFINITY; n * layers];
        let mut before: Vec<Option<(usize, Option<Step>)>> = vec![None; n * layers];
        let mut heap = BinaryHeap::new();
        for v in (0..n).filter(|v| node_of(*v) == marks[0]) {
            best[v] = 0.0;
            heap.push(Reached(0.0, v));
        }
        let mut end = None;
        while let Some(Reached(so_far, state)) = heap.pop() {
            if so_far > best[state] {
                continue;
            }
            let (layer, v) = (state / n, state % n);
            if layer + 1 == layers - 1 && node_of(v) == marks[layers - 1] {
                end = Some(state);
                break;
            }
            let mut reach = |to: usize, cost: f64, step: Option<Step>| {
                if so_far + cost < best[to] {
                    best[to] = so_far + cost;
                    before[to] = Some((state, step));
                    heap.push(Reached(so_far + cost, to));
                }
            };
            if layer + 2 < layers && node_of(v) == marks[layer + 1] {
                reach(state + n, 0.0, None);
            }
            for (to, cost, step) in &edges[v] {
                reach(layer * n + to, *cost, Some(*step));
            }
        }
        let Some(mut state) = end else {
            return Err(Phrase::from(format!(
                "no joints lead from node {} to node {}",
                d.from, d.to
            )));
        };
        let mut legs: Vec<Leg> = Vec::new();
        let mut back = Vec::new();
        while let Some((prior, step)) = before[state] {
            if let Some(step) = step {
                back.push((prior % n, state % n, step));
            }
            state = prior;
        }
        for (from, to, step) in back.into_iter().rev() {
            match step {
                Step::Across { joint, onto } => legs.push(Leg::Across { joint, onto }),
                Step::Along => {
                    let part = self.stops[places[from].0].0;
                    // A way that turns back on a part is two stretches: both count.
                    if let Some(Leg::Along {
                        part: last,
                        to: end,
                        from: start,
                    }) = legs.last_mut()
                        && last == part
                        && self.onward(part, start, end, node_of(to))
                    {
                        *end = node_of(to).to_owned();
                    } else {
                        legs.push(Leg::Along {
                            part: part.to_owned(),
                            from: node_of(from).to_owned(),
                            to: node_of(to).to_owned(),
                        });
                    }
                }
            }
        }
        Ok(legs)
    }

    /// Does going on to `next` keep the direction from `start` to `end`?
    fn onward(&self, part: &str, start: &str, end: &str, next: &str) -> bool {
        let Some(line) = self.lines.get(part) else {
            return false;
        };
        let a = &self.build.assembly;
        let at = |id: &str| a.node(id).map_or(0.0, |n| line.along_at(n.at.si()));
        (at(end) - at(start)) * (at(next) - at(end)) >= 0.0
    }
}

fn edges(
    stops: &[(&str, Stops<'_>, bool)],
    places: &[(usize, usize)],
    joints: &[Held<'_>],
) -> Vec<Vec<(usize, f64, Step)>> {
    let number: HashMap<(usize, usize), usize> =
        places.iter().enumerate().map(|(i, x)| (*x, i)).collect();
    let mut edges = vec![Vec::new(); places.len()];
    let mut join = |x: usize, y: usize, cost: f64, there: Step, back: Step| {
        edges[x].push((y, cost, there));
        edges[y].push((x, cost, back));
    };
    for (p, (_, list, is_tube)) in stops.iter().enumerate() {
        for k in 0..list.len() {
            for l in k + 1..list.len() {
                if *is_tube && l > k + 1 {
                    break;
                }
                if let (Some(x), Some(y)) = (number.get(&(p, k)), number.get(&(p, l))) {
                    let cost = size(sub(list[k].1, list[l].1));
                    join(*x, *y, cost, Step::Along, Step::Along);
                }
            }
        }
    }
    let parts: HashMap<&str, usize> = stops
        .iter()
        .enumerate()
        .map(|(p, (id, ..))| (*id, p))
        .collect();
    let find = |part: &str, node: &str| {
        let p = *parts.get(part)?;
        let k = stops[p].1.iter().position(|(id, _)| *id == node)?;
        number.get(&(p, k)).copied()
    };
    for (part, onto, at, i) in joints {
        if let (Some(x), Some(y)) = (find(part, at), find(onto, at)) {
            let step = |onto| Step::Across { joint: *i, onto };
            join(x, y, CROSSING, step(true), step(false));
        }
    }
    edges
}

fn has(list: &[(&str, V3)], id: &str) -> bool {
    list.iter().any(|(x, _)| *x == id)
}

#[derive(Debug, Clone, Copy)]
enum Step {
    Along,
    Across { joint: usize, onto: bool },
}

/// A place reached, nearest first.
#[derive(Debug, PartialEq)]
struct Reached(f64, usize);

impl Eq for Reached {}

impl Ord for Reached {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        other
            .0
            .total_cmp(&self.0)
            .then_with(|| other.1.cmp(&self.1))
    }
}

impl PartialOrd for Reached {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

/// Which side of a stretch along a main a cope stands at.
pub(super) fn share_passed(line: &Line, from: V3, to: V3, work: V3) -> f64 {
    let (a, b, w) = (line.along_at(from), line.along_at(to), line.along_at(work));
    let (low, high) = (a.min(b), a.max(b));
    if (w - low).abs() < SAME || (w - high).abs() < SAME {
        // The kink is spread over the footprint and the way gets on or off in its middle.
        0.5
    } else if w > low && w < high {
        1.0
    } else {
        0.0
    }
}

/// Places along a tube this close are one, m.
const SAME: f64 = 1e-4;

/// The joints a way crosses, as places in the log.
pub(super) fn crossed(legs: &[Leg]) -> impl Iterator<Item = (usize, bool)> + '_ {
    legs.iter().filter_map(|leg| match leg {
        Leg::Across { joint, onto } => Some((*joint, *onto)),
        Leg::Along { .. } => None,
    })
}

/// Copes on a part: (place in the log, joint).
pub(super) fn copes_on<'a>(
    build: &'a Build,
    part: &'a str,
    joints: &'a [Option<&'a JointWeld>],
) -> impl Iterator<Item = (usize, &'a JointWeld)> + 'a {
    let list = build.fit_up.joints.iter().enumerate();
    list.filter_map(move |(i, j)| {
        let onto = &j.joins.as_ref()?.onto;
        let weld = joints.get(i).copied().flatten()?;
        (onto == part).then_some((i, weld))
    })
}
