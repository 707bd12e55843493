//! The assembly as solid tubes in space: centrelines, sections, and which tube ends on which.

use std::collections::HashMap;

use geometry::tube::bend::Centreline;
use geometry::tube::cope::{End, Landing, Main, Outside};
use geometry::tube::direction::Axes;
use geometry::tube::section::Section;
use geometry::{Point3, Vector3};

use super::Phrase;
use crate::{Assembly, Joint, Tube, TubeSection, steel_modulus};

/// A node lies on a tube up to this far outside its skin, m.
pub(super) const SKIN: f64 = 1.5e-3;

/// A tube in space.
#[derive(Debug, Clone)]
pub(crate) struct Solid<'a> {
    pub tube: &'a Tube,
    pub line: Centreline,
    pub section: Section,
    /// Axes of each straight, carried over the bends.
    pub axes: Vec<Axes>,
}

/// A tube that another one's end meets.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Met {
    /// Place among the assembly's tubes.
    pub tube: usize,
    /// It ends there as well; else it runs through.
    pub ends_here: Option<End>,
    /// How far along it, m from its end A.
    pub at: f64,
    /// The end is cut by it; else it is cut by the end.
    pub cuts: bool,
}

/// All tubes with what their ends meet, in the assembly's order.
#[derive(Debug)]
pub(crate) struct Drawn<'a> {
    pub solids: Vec<Result<Solid<'a>, Phrase>>,
    /// Of every tube, what end A and what end B meets.
    pub meets: Vec<[Vec<Met>; 2]>,
}

pub(super) fn point(p: [f64; 3]) -> Point3<f64> {
    Point3::new(p[0], p[1], p[2])
}

/// The section as the geometry knows it.
pub(super) fn section(s: &TubeSection) -> Section {
    match *s {
        TubeSection::Round { outside, wall } => Section::round(outside.si(), wall.si()),
        TubeSection::Rectangular {
            height,
            width,
            wall,
            ..
        } => Section::Rectangular {
            height: height.si(),
            width: width.si(),
            wall: wall.si(),
            corner: s.corner(),
        },
    }
}

/// Young's modulus and shear modulus, Pa, and density, kg/m³, of a material.
pub(super) fn elasticity(a: &Assembly, material: &str) -> (f64, f64, f64) {
    const SHEAR: f64 = 77e9;
    const DENSITY: f64 = 7850.0;
    let steel = steel_modulus().si();
    let Some(own) = a.materials.iter().find(|m| m.id == material) else {
        return (steel, SHEAR, DENSITY);
    };
    let e = own.modulus.map_or(steel, |x| x.si());
    let g = match (own.shear_modulus, own.modulus) {
        (Some(g), _) => g.si(),
        (None, Some(e)) => e.si() / 2.6,
        (None, None) => SHEAR,
    };
    (e, g, own.density.map_or(DENSITY, |x| x.si()))
}

impl<'a> Solid<'a> {
    fn of(a: &Assembly, tube: &'a Tube) -> Result<Self, Phrase> {
        let points: Vec<Point3<f64>> = a
            .nodes_of(tube)
            .map(|id| {
                let found = a.node(id).map(|n| point(n.at.si()));
                found.ok_or_else(|| Phrase::from(format!("there is no node {id} for it")))
            })
            .collect::<Result<_, _>>()?;
        let radii: Vec<f64> = tube.bends.iter().map(|x| x.radius.si()).collect();
        let line = Centreline::new(&points, &radii).map_err(|e| unbendable(a, tube, &e))?;
        let section = section(&tube.section);
        section.check().map_err(|_| {
            Phrase::from("its section is no tube: look at its sizes and its corners")
        })?;
        let lost = |_| Phrase::from("its direction can not be told");
        let mut axes = Vec::with_capacity(line.directions().len());
        for d in line.directions() {
            let next = match axes.last() {
                None => Axes::by_up_rule(d, tube.turn.si()),
                Some(last) => Axes::carried(last, d),
            };
            axes.push(next.map_err(lost)?);
        }
        Ok(Self {
            tube,
            line,
            section,
            axes,
        })
    }

    /// Point at an end.
    pub fn end(&self, end: End) -> Point3<f64> {
        match end {
            End::A => self.line.end_a(),
            End::B => self.line.end_b(),
        }
    }

    /// Where the cut at an end is marked from.
    pub fn landing(&self, end: End) -> Option<Landing> {
        let roll = self.tube.turn.si();
        let axes = match end {
            End::A => self.line.axes_a(roll),
            End::B => self.line.axes_b(roll),
        };
        // A rectangular tube keeps its own faces over its bends.
        let own = match end {
            End::A => self.axes.first(),
            End::B => self.axes.last(),
        };
        let axes = match self.section {
            Section::Round { .. } => axes.ok()?,
            Section::Rectangular { .. } => *own?,
        };
        Some(Landing {
            point: self.end(end),
            axes,
            end,
        })
    }

    /// Straight number, and lengths along the whole tube where it begins and ends.
    fn straights(&self) -> impl Iterator<Item = (usize, f64, f64)> {
        let mut begin = 0.0;
        let bends = self.line.bends();
        self.line.straights().iter().enumerate().map(move |(i, s)| {
            let here = (i, begin, begin + s);
            begin += s + bends.get(i).map_or(0.0, |b| b.arc);
            here
        })
    }

    /// The nearest place of its centreline to a point: length from end A, and how far the point
    /// is outside the tube there, m (negative inside).
    pub fn nearest(&self, p: Point3<f64>) -> (f64, f64) {
        let mut best = (0.0, f64::INFINITY);
        for (i, begin, end) in self.straights() {
            let (from, axes) = (self.line.at(begin).point, &self.axes[i]);
            let along = (p - from).dot(&axes.along).clamp(0.0, end - begin);
            let away = self.outside(&(p - (from + axes.along * along)), axes);
            if away < best.1 {
                best = (begin + along, away);
            }
        }
        for (i, bend) in self.line.bends().iter().enumerate() {
            let from = p - bend.centre;
            let flat = from - bend.normal * from.dot(&bend.normal);
            let start = bend.tangent_in - bend.centre;
            let turned = start.cross(&flat).dot(&bend.normal).atan2(start.dot(&flat));
            if (0.0..=bend.angle).contains(&turned) {
                let along = bend.start + bend.radius * turned;
                let on = self.line.at(along);
                let across = p - on.point;
                let away = match self.section {
                    Section::Round { od, .. } => across.norm() - 0.5 * od,
                    Section::Rectangular { .. } => self.outside(&across, &self.axes[i]),
                };
                if away < best.1 {
                    best = (along, away);
                }
            }
        }
        best
    }

    /// How far a point is outside the section, by its offset from the centreline.
    fn outside(&self, across: &Vector3<f64>, axes: &Axes) -> f64 {
        match self.section {
            Section::Round { od, .. } => across.norm() - 0.5 * od,
            Section::Rectangular { height, width, .. } => {
                let up = across.dot(&axes.up).abs() - 0.5 * height;
                let side = across.dot(&axes.side).abs() - 0.5 * width;
                let along = across.dot(&axes.along).abs();
                let beyond = up.max(0.0).hypot(side.max(0.0)).hypot(along);
                if beyond > 0.0 { beyond } else { up.max(side) }
            }
        }
    }

    /// As a main for an end that meets it.
    pub fn as_main(&self, met: &Met) -> Main {
        let (i, begin, end) = self
            .straights()
            .min_by(|x, y| {
                let away = |s: &(usize, f64, f64)| (s.1 - met.at).max(met.at - s.2);
                away(x).total_cmp(&away(y))
            })
            .unwrap_or((0, 0.0, self.line.length()));
        let axes = &self.axes[i];
        let from = self.line.at(begin).point;
        let (point, direction) = match met.ends_here {
            None => (
                from + axes.along * (met.at - begin).clamp(0.0, end - begin),
                axes.along,
            ),
            Some(End::A) => (self.line.end_a(), axes.along),
            Some(End::B) => (self.line.end_b(), -axes.along),
        };
        let outside = match self.section {
            Section::Round { od, .. } => Outside::Round { radius: 0.5 * od },
            Section::Rectangular {
                height,
                width,
                corner,
                ..
            } => Outside::Rectangular {
                height,
                width,
                corner,
                up: axes.up,
            },
        };
        let straight = match met.ends_here {
            None => [begin - met.at, end - met.at],
            Some(_) => [0.0, end - begin],
        };
        Main {
            point,
            direction,
            outside,
            ends_here: met.ends_here.is_some(),
            straight: Some(straight),
        }
    }
}

fn unbendable(a: &Assembly, tube: &Tube, e: &geometry::tube::bend::BendError) -> Phrase {
    use geometry::tube::bend::BendError as E;
    let names: Vec<&str> = a.nodes_of(tube).collect();
    let name = |i: usize| names.get(i).copied().unwrap_or("?").to_owned();
    match *e {
        E::Coincident { first } => Phrase::from(format!(
            "its nodes {} and {} are at one place",
            name(first),
            name(first + 1)
        )),
        E::TooSharp { corner, angle } => Phrase::from(format!("the bend at {} is ", name(corner)))
            .q(units::Kind::Angle, angle)
            .t(", which doubles back: use two corners"),
        E::LegTooShort { leg, length, short } => Phrase::from(format!(
            "between {} and {} there is ",
            name(leg),
            name(leg + 1)
        ))
        .len(length)
        .t(" for its bends, ")
        .len(short)
        .t(" too little"),
        _ => Phrase::from("its corners or radii are no tube's"),
    }
}

impl<'a> Drawn<'a> {
    pub fn of(a: &'a Assembly, joints: &[Joint]) -> Self {
        let solids: Vec<Result<Solid<'a>, Phrase>> =
            a.tubes.iter().map(|t| Solid::of(a, t)).collect();
        let number: HashMap<&str, usize> = a
            .tubes
            .iter()
            .enumerate()
            .map(|(i, t)| (t.id.as_str(), i))
            .collect();
        let joined: Vec<(&str, &str, usize)> = joints
            .iter()
            .filter_map(|j| {
                let joins = j.joins.as_ref()?;
                let onto = *number.get(joins.onto.as_str())?;
                Some((joins.part.as_str(), joins.at.as_str(), onto))
            })
            .collect();
        let meets = (0..solids.len())
            .map(|i| [End::A, End::B].map(|end| meets(&solids, &joined, i, end)))
            .collect();
        Self { solids, meets }
    }
}

/// What one end meets: tubes that run through first, then ends in the order drawn.
fn meets(
    solids: &[Result<Solid<'_>, Phrase>],
    joined: &[(&str, &str, usize)],
    tube: usize,
    end: End,
) -> Vec<Met> {
    let Ok(solid) = &solids[tube] else {
        return Vec::new();
    };
    let node = match end {
        End::A => solid.tube.from.as_str(),
        End::B => solid.tube.to.as_str(),
    };
    let p = solid.end(end);
    let mut through = Vec::new();
    let mut ends = Vec::new();
    for (k, other) in solids.iter().enumerate() {
        let (false, Ok(other)) = (k == tube, other) else {
            continue;
        };
        let ends_here = if other.tube.from == node {
            Some(End::A)
        } else if other.tube.to == node {
            Some(End::B)
        } else {
            None
        };
        if let Some(its) = ends_here {
            let at = match its {
                End::A => 0.0,
                End::B => other.line.length(),
            };
            ends.push(Met {
                tube: k,
                ends_here,
                at,
                cuts: k < tube,
            });
            continue;
        }
        let named = joined
            .iter()
            .any(|(part, at, onto)| *part == solid.tube.id && *at == node && *onto == k);
        let (at, away) = other.nearest(p);
        // One that itself lands on this tube just there is cut by it, not the other way round.
        let lands = [(End::A, at), (End::B, other.line.length() - at)]
            .into_iter()
            .any(|(its, from)| {
                from <= solid.tube.section.reach() + SKIN && solid.nearest(other.end(its)).1 <= SKIN
            });
        if named || (away <= SKIN && !lands) {
            through.push(Met {
                tube: k,
                ends_here: None,
                at,
                cuts: true,
            });
        }
    }
    through.append(&mut ends);
    through
}
