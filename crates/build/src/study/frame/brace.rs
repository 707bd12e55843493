//! Tubes that might be added: one tried, and the best places for one.

use std::collections::{BTreeMap, BTreeSet};

use geometry::Vector3;
use structure::brace::{Candidate, rank_braces};
use structure::rig::{Tested, run};

use super::super::Phrase;
use super::super::drawn::Drawn;
use super::skeleton::{Skeleton, stuff};
use super::{FrameStudy, rigs, words};
use crate::{Assembly, Bend, Ends, Node, Place, Tube, TubeSection};
use units::{Angle, Length};

/// Where an end of a tried brace is.
#[derive(Debug, Clone, PartialEq)]
pub enum BraceEnd {
    /// At a node of the build.
    Node(String),
    /// At a point, m: on or in a tube of the frame.
    At([f64; 3]),
}

/// What a brace would bring to the twist test, as computed.
#[derive(Debug, Clone, PartialEq)]
pub struct BraceTried {
    /// Stiffness without it, N·m/rad.
    pub before: f64,
    /// Stiffness with it, N·m/rad.
    pub after: f64,
    /// What it gains, N·m/rad.
    pub gain: f64,
    /// Mass of the brace or of both, kg.
    pub mass: f64,
    /// Gain per kilogram, (N·m/rad)/kg.
    pub gain_per_kg: f64,
    /// What to know about it.
    pub note: Option<Phrase>,
}

/// A place for a brace, with its mirror image where it has one.
#[derive(Debug, Clone, PartialEq)]
pub struct BracePlace {
    /// Ends of the one, or of both.
    pub bars: Vec<[BraceEnd; 2]>,
    /// What its ends are called.
    pub label: String,
    /// Length of one, m.
    pub length: f64,
    /// Gain as pinned bars, N·m/rad: what the places were screened by.
    pub screened: f64,
    /// The frame solved again with it.
    pub tried: BraceTried,
}

/// The best places for a brace.
#[derive(Debug, Clone, PartialEq)]
pub struct BraceList {
    /// Section they are tried with.
    pub section: TubeSection,
    /// Its material.
    pub material: String,
    /// How many places were screened.
    pub looked_at: usize,
    /// The best, the largest gain first.
    pub places: Vec<BracePlace>,
    /// What to know about all of them.
    pub note: Option<Phrase>,
}

/// Length of a brace looked for, m.
const LENGTHS: std::ops::RangeInclusive<f64> = 0.15..=2.5;
/// cos 8°: nearer to a tube than this, a brace can not be welded to it.
const OFF_A_TUBE: f64 = 0.990_268_068_741_570_4;
/// So many are solved with their own section.
const SOLVED: usize = 20;
/// Mirror images match within this, m.
const MIRROR: f64 = 5e-3;
/// A frame thinner than this part of its length is flat.
const FLAT: f64 = 0.05;

/// A tube between two ends.
pub(super) struct NewTube<'a> {
    pub ends: [&'a BraceEnd; 2],
    pub section: TubeSection,
    pub material: &'a str,
}

/// The frame's height over its length, in its own directions.
fn flat(s: &Skeleton) -> bool {
    let at: Vec<Vector3<f64>> = s.drawn_nodes().iter().map(|n| s.frame.nodes[*n]).collect();
    let middle = at.iter().sum::<Vector3<f64>>() / at.len().max(1) as f64;
    let spread: nalgebra::Matrix3<f64> = at
        .iter()
        .map(|p| (p - middle) * (p - middle).transpose())
        .sum();
    let mut sizes: Vec<f64> = spread.symmetric_eigenvalues().iter().copied().collect();
    sizes.sort_by(f64::total_cmp);
    sizes[0].max(0.0).sqrt() < FLAT * sizes[2].max(0.0).sqrt()
}

/// In a flat frame: less gained of the stiffness than the brace is of the weight.
fn little(s: &Skeleton, gained: f64, mass: f64) -> bool {
    flat(s) && gained < mass / s.mass()
}

/// The assembly with tubes added; an id nothing else has.
fn with_tubes(a: &Assembly, new: &[NewTube<'_>]) -> Assembly {
    let mut out = a.clone();
    let free = |taken: &dyn Fn(&str) -> bool, stem: &str| {
        (1..)
            .map(|n| format!("{stem} {n}"))
            .find(|id| !taken(id))
            .unwrap_or_default()
    };
    for tube in new {
        let [from, to] = tube.ends.map(|end| match end {
            BraceEnd::Node(id) => id.clone(),
            BraceEnd::At(p) => {
                let id = free(&|id| out.nodes.iter().any(|n| n.id == id), "tried end");
                out.nodes.push(Node {
                    id: id.clone(),
                    at: Place::from_si(*p),
                });
                id
            }
        });
        let id = free(&|id| out.tubes.iter().any(|t| t.id == id), "tried brace");
        out.tubes.push(Tube {
            label: "The brace".to_owned(),
            id,
            from,
            to,
            section: tube.section,
            material: tube.material.to_owned(),
            turn: Angle::default(),
            bends: Vec::<Bend>::new(),
            die: None,
            ends: Ends::Welded,
        });
    }
    out
}

impl FrameStudy {
    /// What a welded tube between two places of the frame would bring to the twist test: the frame drawn with it and
    /// solved again.
    ///
    /// # Errors
    /// The sentence for the person in the shop: an end on no tube, no room, no test.
    pub fn try_brace(
        &self,
        from: &BraceEnd,
        to: &BraceEnd,
        section: TubeSection,
        material: &str,
    ) -> Result<BraceTried, Phrase> {
        self.try_tubes(&[NewTube {
            ends: [from, to],
            section,
            material,
        }])
    }

    /// [`Self::try_brace`] for several at once: a brace and its mirror image.
    ///
    /// # Errors
    /// As [`Self::try_brace`].
    pub fn try_braces(
        &self,
        bars: &[[BraceEnd; 2]],
        section: TubeSection,
        material: &str,
    ) -> Result<BraceTried, Phrase> {
        let new: Vec<NewTube<'_>> = bars
            .iter()
            .map(|ends| NewTube {
                ends: ends.each_ref(),
                section,
                material,
            })
            .collect();
        self.try_tubes(&new)
    }

    fn try_tubes(&self, new: &[NewTube<'_>]) -> Result<BraceTried, Phrase> {
        let (Ok(skeleton), Ok(twist)) = (&self.shape, &self.twist) else {
            let why = self.shape.as_ref().err().or(self.twist.as_ref().err());
            return Err(Phrase::from(why.cloned().unwrap_or_default()));
        };
        let (a, test) = (&self.read.assembly, &self.read.test);
        let braced = with_tubes(a, new);
        let drawn = Drawn::of(&braced, &self.read.joints);
        let within = |t: usize| skeleton.lines.get(t).is_some_and(Option::is_some);
        for (k, meets) in drawn.meets.iter().enumerate().skip(a.tubes.len()) {
            if let Err(why) = &drawn.solids[k] {
                return Err(Phrase::from("The brace can not be drawn: ").join(why.clone()));
            }
            for (e, met) in meets.iter().enumerate() {
                if !met.iter().any(|m| within(m.tube)) {
                    let which = match new[k - a.tubes.len()].ends[e] {
                        BraceEnd::Node(id) => format!("at {id}"),
                        BraceEnd::At(_) => "there".to_owned(),
                    };
                    return Err(Phrase::from(format!(
                        "No tube of the frame is {which}: begin and end the brace on tubes"
                    )));
                }
            }
        }
        let s = Skeleton::of(&braced, &drawn, test, &[])
            .ok_or_else(|| Phrase::from("No tubes are drawn yet"))?;
        let mut mass = 0.0;
        for k in a.tubes.len()..braced.tubes.len() {
            let line = s.lines[k].as_ref();
            mass += line
                .ok_or_else(|| Phrase::from("The brace's section is no tube: look at its sizes"))?
                .mass;
        }
        let asked = rigs::twist_test(&s, test, twist.hold).map_err(Phrase::from)?;
        let tested =
            run(&s.frame, asked).map_err(|e| Phrase::from(words::solve_error(&s, &braced, &e)))?;
        let (before, after) = (twist.stiffness, tested.stiffness);
        let gain = after - before;
        let note = little(skeleton, gain / before, mass).then(lies_flat);
        Ok(BraceTried {
            before,
            after,
            gain,
            mass,
            gain_per_kg: gain / mass,
            note,
        })
    }

    /// The best places for a brace, found when first asked for: every two places where tubes meet, 0.15 to 2.5 m
    /// apart, not on one tube, at least 8° off the tubes there, mirror images together; screened as pinned bars, the
    /// first twenty solved with their own section.
    ///
    /// # Errors
    /// Why there is no twist test.
    pub fn braces(&self) -> Result<&BraceList, &str> {
        let found = self.braces.get_or_init(|| {
            let s = self.shape.as_ref().map_err(Clone::clone)?;
            let twist = self.twist.as_ref().map_err(Clone::clone)?;
            Ok(self.best_braces(s, &twist.tested))
        });
        found.as_ref().map_err(String::as_str)
    }

    /// The round section most of the tubes have, and the material it has there.
    fn usual_section(&self) -> (TubeSection, String) {
        let a = &self.read.assembly;
        let mut count: BTreeMap<(u64, u64), (usize, usize)> = BTreeMap::new();
        for (k, t) in a.tubes.iter().enumerate() {
            if let TubeSection::Round { outside, wall } = t.section {
                let key = (outside.si().to_bits(), wall.si().to_bits());
                count.entry(key).or_insert((0, k)).0 += 1;
            }
        }
        let most = count
            .into_values()
            .max_by(|x, y| x.0.cmp(&y.0).then(y.1.cmp(&x.1)));
        match most {
            Some((_, k)) => (a.tubes[k].section, a.tubes[k].material.clone()),
            None => (
                TubeSection::Round {
                    outside: Length::from_inches(1.25),
                    wall: Length::from_inches(0.083),
                },
                "1020 DOM".to_owned(),
            ),
        }
    }

    fn best_braces(&self, s: &Skeleton, tested: &Tested) -> BraceList {
        let (section, material) = self.usual_section();
        let mut list = BraceList {
            section,
            material,
            looked_at: 0,
            places: Vec::new(),
            note: None,
        };
        let Some((real, stuff)) = stuff(&self.read.assembly, &section, &list.material) else {
            return list;
        };
        let spots = spots(s);
        let pairs = pairs(&spots);
        list.looked_at = pairs.len();
        let candidates: Vec<Candidate> = pairs
            .iter()
            .map(|&[p, q]| Candidate {
                i: spots[p].node,
                j: spots[q].node,
                section: real,
                material: stuff,
            })
            .collect();
        let mut gains = vec![0.0; pairs.len()];
        for (k, gain) in rank_braces(tested, &candidates) {
            gains[k] = gain.gain;
        }
        let number: BTreeMap<[usize; 2], usize> =
            pairs.iter().enumerate().map(|(k, p)| (*p, k)).collect();
        let mut groups: Vec<(Vec<usize>, f64)> = Vec::new();
        for (k, pair) in pairs.iter().enumerate() {
            let image = mirrored(&spots, *pair).and_then(|image| number.get(&image).copied());
            match image {
                Some(other) if other < k => {}
                Some(other) if other > k => groups.push((vec![k, other], gains[k] + gains[other])),
                _ => groups.push((vec![k], gains[k])),
            }
        }
        groups.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
        for (bars, screened) in groups.into_iter().take(SOLVED) {
            let ends: Vec<[BraceEnd; 2]> = bars
                .iter()
                .map(|k| pairs[*k].map(|p| spots[p].end.clone()))
                .collect();
            let new: Vec<NewTube<'_>> = ends
                .iter()
                .map(|[from, to]| NewTube {
                    ends: [from, to],
                    section,
                    material: &list.material,
                })
                .collect();
            let Ok(tried) = self.try_tubes(&new) else {
                continue;
            };
            let [p, q] = pairs[bars[0]];
            let both = if bars.len() == 2 { ", both sides" } else { "" };
            list.places.push(BracePlace {
                label: format!("{} to {}{both}", spots[p].label, spots[q].label),
                length: (spots[p].at - spots[q].at).norm(),
                bars: ends,
                screened,
                tried,
            });
        }
        let gain = |p: &BracePlace| p.tried.gain;
        list.places.sort_by(|a, b| gain(b).total_cmp(&gain(a)));
        // A crossmember may still earn its weight by its own torsion; the largest gains tell.
        let worth = |p: &BracePlace| !little(s, p.tried.gain / p.tried.before, p.tried.mass);
        list.note = (flat(s) && !list.places.first().is_some_and(worth)).then(lies_flat);
        list
    }
}

fn lies_flat() -> Phrase {
    Phrase::from(
        "The frame is flat and a brace in its plane gains little in twist, less than its share of the weight: tubes above or below that plane gain more",
    )
}

/// A place where tubes meet.
struct Spot {
    end: BraceEnd,
    label: String,
    node: usize,
    at: Vector3<f64>,
    /// Tubes there.
    tubes: BTreeSet<usize>,
    /// Ways tubes leave it.
    ways: Vec<Vector3<f64>>,
}

fn spots(s: &Skeleton) -> Vec<Spot> {
    let mut by_body: BTreeMap<usize, Spot> = BTreeMap::new();
    for (id, &node) in &s.named {
        by_body.entry(s.body[node]).or_insert_with(|| Spot {
            end: BraceEnd::Node(id.clone()),
            label: id.clone(),
            node,
            at: s.frame.nodes[node],
            tubes: BTreeSet::new(),
            ways: Vec::new(),
        });
    }
    for m in &s.frame.members {
        for (here, there) in [(m.i, m.j), (m.j, m.i)] {
            if let Some(spot) = by_body.get_mut(&s.body[here]) {
                spot.tubes.insert(m.tube);
                let way = s.frame.nodes[there] - s.frame.nodes[here];
                spot.ways.push(way.normalize());
            }
        }
    }
    by_body
        .into_values()
        .filter(|x| !x.tubes.is_empty())
        .collect()
}

/// Every two places a brace could run between.
fn pairs(spots: &[Spot]) -> Vec<[usize; 2]> {
    let mut out = Vec::new();
    for (p, from) in spots.iter().enumerate() {
        for (q, to) in spots.iter().enumerate().skip(p + 1) {
            let way = to.at - from.at;
            let clear =
                |spot: &Spot, way: Vector3<f64>| spot.ways.iter().all(|w| w.dot(&way) < OFF_A_TUBE);
            let unit = way.normalize();
            if LENGTHS.contains(&way.norm())
                && from.tubes.is_disjoint(&to.tubes)
                && clear(from, unit)
                && clear(to, -unit)
            {
                out.push([p, q]);
            }
        }
    }
    out
}

/// The mirror image of a pair, where both places have one.
fn mirrored(spots: &[Spot], pair: [usize; 2]) -> Option<[usize; 2]> {
    let image = |p: usize| {
        let at = spots[p].at;
        let wanted = Vector3::new(at.x, -at.y, at.z);
        spots.iter().position(|s| (s.at - wanted).norm() < MIRROR)
    };
    let (p, q) = (image(pair[0])?, image(pair[1])?);
    Some([p.min(q), p.max(q)])
}
