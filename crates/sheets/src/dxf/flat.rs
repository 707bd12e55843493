//! Parts laid flat into their own plane.

use build::{Assembly, Bracket, Build, Plate};
use thiserror::Error;

use super::PartKind;
use crate::parts::plate;

/// Corners farther from one plane than this make a plate that is not flat, m (own value: a tenth of a millimetre,
/// what a laser table holds).
pub const FLAT_WITHIN: f64 = 0.1e-3;
/// Corners nearer than this are one, m.
const ONE_PLACE: f64 = 1e-6;
/// Nothing larger is cut, m (own value).
const LARGEST: f64 = 20.0;

/// A part that is cut from flat stock.
#[derive(Debug, Clone, PartialEq)]
pub struct FlatPart {
    /// Short name in the build.
    pub id: String,
    /// What the shop calls it.
    pub label: String,
    /// What it is.
    pub kind: PartKind,
    /// Thickness, m; `None` where the build does not say.
    pub thickness: Option<f64>,
    /// Material as the build names it; empty where it does not.
    pub material: String,
    /// How many the car takes.
    pub count: usize,
    /// Its outline and holes, or why it has none.
    pub shape: Result<Shape, FlatError>,
}

/// A flat part's lines, m, the lower left corner of its extent at 0, 0.
#[derive(Debug, Clone, PartialEq)]
pub struct Shape {
    /// Straight edges, end to end with the arcs.
    pub lines: Vec<[[f64; 2]; 2]>,
    /// Rounded corners: centre, radius, from and to angle, rad, anticlockwise.
    pub arcs: Vec<([f64; 2], f64, [f64; 2])>,
    /// Holes: centre and diameter.
    pub holes: Vec<([f64; 2], f64)>,
    /// Width and height of the extent.
    pub size: [f64; 2],
}

/// Why a part can not be cut flat. Lengths in m.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum FlatError {
    /// A corner names a node that is not there.
    #[error("there is no node {0} for its corner")]
    NoNode(String),
    /// Less than three corners.
    #[error("it has {0} corners, a plate needs three")]
    TooFewCorners(usize),
    /// A place or size that is not a usable number.
    #[error("a corner or size of it is not a usable number")]
    NotUsable,
    /// Two corners that follow each other lie at one place.
    #[error("corners {first} and {second} lie at one place")]
    SamePlace {
        /// Node of the first.
        first: String,
        /// Node of the second.
        second: String,
    },
    /// All corners on one line.
    #[error("its corners lie on one line")]
    OnOneLine,
    /// The corners do not lie in one plane.
    #[error(
        "it is not flat: corner {node} lies {:.2} mm ({:.3} in) off the plane of the others",
        1000.0 * off,
        off / 0.0254
    )]
    NotFlat {
        /// Node that lies farthest off.
        node: String,
        /// How far, m.
        off: f64,
    },
    /// Two edges cross.
    #[error(
        "its edges from {first} and from {second} cross: give the corners in order round the plate"
    )]
    Crosses {
        /// Node where the first edge begins.
        first: String,
        /// Node where the second begins.
        second: String,
    },
    /// No holes drawn, so no plate.
    #[error("it has no holes, so no size")]
    NoHoles,
    /// Holes that run into each other.
    #[error("holes {first} and {second} run into each other")]
    HolesMeet {
        /// Number of one.
        first: usize,
        /// Number of the other.
        second: usize,
    },
    /// A hole that runs over the plate's edge.
    #[error("hole {hole} of {:.2} mm runs over the edge of its plate", 1000.0 * drill)]
    OverEdge {
        /// Its number.
        hole: usize,
        /// Its diameter, m.
        drill: f64,
    },
}

/// Every plate and every bracket of a build, those that can not be cut with why.
#[must_use]
pub fn flat_parts(build: &Build) -> Vec<FlatPart> {
    let plates = build.assembly.plates.iter().map(|p| FlatPart {
        id: p.id.clone(),
        label: p.label.clone(),
        kind: PartKind::Plate,
        thickness: Some(p.thickness.si()),
        material: p.material.clone(),
        count: 1,
        shape: plate_shape(&build.assembly, p),
    });
    let brackets = build.rear.brackets.iter().map(|b| FlatPart {
        id: b.id.clone(),
        label: b.label.clone(),
        kind: PartKind::Bracket,
        thickness: None,
        material: String::new(),
        count: if b.sides == build::Sides::Pair { 2 } else { 1 },
        shape: bracket_shape(b),
    });
    plates.chain(brackets).collect()
}

type V3 = [f64; 3];

fn less(a: V3, b: V3) -> V3 {
    [0, 1, 2].map(|i| a[i] - b[i])
}

fn dot(a: V3, b: V3) -> f64 {
    (0..3).map(|i| a[i] * b[i]).sum()
}

fn cross(a: V3, b: V3) -> V3 {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}

fn unit(a: V3) -> Option<V3> {
    let n = dot(a, a).sqrt();
    (n > 0.0 && n.is_finite()).then(|| a.map(|v| v / n))
}

fn plate_shape(a: &Assembly, p: &Plate) -> Result<Shape, FlatError> {
    let n = p.outline.len();
    if n < 3 {
        return Err(FlatError::TooFewCorners(n));
    }
    let corners: Vec<V3> = p
        .outline
        .iter()
        .map(|id| {
            a.node(id)
                .map(|x| x.at.si())
                .ok_or_else(|| FlatError::NoNode(id.clone()))
        })
        .collect::<Result<_, _>>()?;
    let usable = |v: &f64| v.is_finite() && v.abs() < 1e4;
    if !corners.iter().flatten().all(usable) {
        return Err(FlatError::NotUsable);
    }
    let mean = [0, 1, 2].map(|i| corners.iter().map(|c| c[i]).sum::<f64>() / n as f64);
    let own: Vec<V3> = corners.iter().map(|c| less(*c, mean)).collect();
    let reach = own.iter().map(|c| dot(*c, *c).sqrt()).fold(0.0, f64::max);
    if reach > LARGEST {
        return Err(FlatError::NotUsable);
    }
    for k in 0..n {
        let next = (k + 1) % n;
        let d = less(own[next], own[k]);
        if dot(d, d).sqrt() < ONE_PLACE {
            return Err(FlatError::SamePlace {
                first: p.outline[k].clone(),
                second: p.outline[next].clone(),
            });
        }
    }
    // The area vector's direction (Newell): the plane that serves all corners.
    let area = (0..n).fold([0.0; 3], |sum, k| {
        let c = cross(own[k], own[(k + 1) % n]);
        [0, 1, 2].map(|i| sum[i] + 0.5 * c[i])
    });
    let size = dot(area, area).sqrt();
    let Some(normal) = unit(area).filter(|_| size > ONE_PLACE * reach) else {
        return Err(unclear(p, &own));
    };
    let off = |c: &V3| dot(*c, normal);
    let worst = (0..n).max_by(|a, b| off(&own[*a]).abs().total_cmp(&off(&own[*b]).abs()));
    if let Some(k) = worst
        && off(&own[k]).abs() > FLAT_WITHIN
    {
        return Err(FlatError::NotFlat {
            node: p.outline[k].clone(),
            off: off(&own[k]).abs(),
        });
    }
    // The first edge lies level.
    let edge = less(own[1], own[0]);
    let along =
        unit(less(edge, normal.map(|v| v * dot(edge, normal)))).ok_or(FlatError::OnOneLine)?;
    let up = cross(normal, along);
    let flat: Vec<[f64; 2]> = own.iter().map(|c| [dot(*c, along), dot(*c, up)]).collect();
    if let Some((i, j)) = crossing(&flat) {
        return Err(FlatError::Crosses {
            first: p.outline[i].clone(),
            second: p.outline[j].clone(),
        });
    }
    let lines = (0..n).map(|k| [flat[k], flat[(k + 1) % n]]).collect();
    Ok(settled(lines, Vec::new(), Vec::new()))
}

/// Corners without an area: on one line, or wound so that it cancels.
fn unclear(p: &Plate, own: &[V3]) -> FlatError {
    let n = own.len();
    let spread = (0..n)
        .flat_map(|i| (0..n).map(move |j| (i, j)))
        .map(|(i, j)| {
            let c = cross(less(own[i], own[0]), less(own[j], own[0]));
            dot(c, c).sqrt()
        })
        .fold(0.0, f64::max);
    if spread > ONE_PLACE {
        FlatError::Crosses {
            first: p.outline[0].clone(),
            second: p.outline[n / 2].clone(),
        }
    } else {
        FlatError::OnOneLine
    }
}

/// The first two edges that cross or lie on each other, by where they begin; neighbours share a corner.
fn crossing(p: &[[f64; 2]]) -> Option<(usize, usize)> {
    let n = p.len();
    let side = |o: [f64; 2], a: [f64; 2], b: [f64; 2]| {
        (a[0] - o[0]) * (b[1] - o[1]) - (a[1] - o[1]) * (b[0] - o[0])
    };
    let within = |a: [f64; 2], b: [f64; 2], q: [f64; 2]| {
        (0..2).all(|i| q[i] >= a[i].min(b[i]) - 1e-12 && q[i] <= a[i].max(b[i]) + 1e-12)
    };
    for i in 0..n {
        for j in i + 1..n {
            if j == i + 1 || (i == 0 && j == n - 1) {
                continue;
            }
            let (a, b, c, d) = (p[i], p[(i + 1) % n], p[j], p[(j + 1) % n]);
            let (s1, s2) = (side(a, b, c), side(a, b, d));
            let (s3, s4) = (side(c, d, a), side(c, d, b));
            let over = s1 * s2 < 0.0 && s3 * s4 < 0.0;
            let on = (s1 == 0.0 && within(a, b, c))
                || (s2 == 0.0 && within(a, b, d))
                || (s3 == 0.0 && within(c, d, a))
                || (s4 == 0.0 && within(c, d, b));
            if over || on {
                return Some((i, j));
            }
        }
    }
    None
}

fn bracket_shape(b: &Bracket) -> Result<Shape, FlatError> {
    let s = plate::shape(b);
    let drill = b.drill.si();
    let ([a0, a1], [b0, b1], r) = (s.across, s.along, s.radius);
    let usable = [a0, a1, b0, b1, r, drill]
        .iter()
        .all(|v| v.is_finite() && v.abs() < LARGEST);
    if !usable || a1 <= a0 || b1 <= b0 || drill <= 0.0 {
        return Err(FlatError::NotUsable);
    }
    if b.hole_count() == 0 {
        return Err(FlatError::NoHoles);
    }
    // Drawn along its own row: across to the right, along the row up.
    let holes: Vec<([f64; 2], f64)> = (1..=b.hole_count())
        .filter_map(|n| b.hole_shift(n))
        .map(|shift| {
            let (across, along) = s.own(shift);
            ([across, along], drill)
        })
        .collect();
    for (i, (p, _)) in holes.iter().enumerate() {
        let edge = [p[0] - a0, a1 - p[0], p[1] - b0, b1 - p[1]];
        if edge.into_iter().fold(f64::MAX, f64::min) < 0.5 * drill {
            return Err(FlatError::OverEdge { hole: i + 1, drill });
        }
        for (j, (q, _)) in holes.iter().enumerate().skip(i + 1) {
            if (p[0] - q[0]).hypot(p[1] - q[1]) < drill {
                return Err(FlatError::HolesMeet {
                    first: i + 1,
                    second: j + 1,
                });
            }
        }
    }
    let lines = vec![
        [[a0 + r, b0], [a1 - r, b0]],
        [[a1, b0 + r], [a1, b1 - r]],
        [[a1 - r, b1], [a0 + r, b1]],
        [[a0, b1 - r], [a0, b0 + r]],
    ];
    let quarter = std::f64::consts::FRAC_PI_2;
    let arc = |x: f64, y: f64, k: f64| ([x, y], r, [k * quarter, (k + 1.0) * quarter]);
    let arcs = if r > 0.0 {
        vec![
            arc(a1 - r, b0 + r, 3.0),
            arc(a1 - r, b1 - r, 0.0),
            arc(a0 + r, b1 - r, 1.0),
            arc(a0 + r, b0 + r, 2.0),
        ]
    } else {
        Vec::new()
    };
    Ok(settled(lines, arcs, holes))
}

/// Moved so that the extent begins at 0, 0.
fn settled(
    mut lines: Vec<[[f64; 2]; 2]>,
    mut arcs: Vec<([f64; 2], f64, [f64; 2])>,
    mut holes: Vec<([f64; 2], f64)>,
) -> Shape {
    // Rounded corners lie within the box of the straights they join.
    let (mut low, mut high) = ([f64::MAX; 2], [f64::MIN; 2]);
    for p in lines.iter().flatten() {
        for i in 0..2 {
            low[i] = low[i].min(p[i]);
            high[i] = high[i].max(p[i]);
        }
    }
    let put = |p: &mut [f64; 2]| {
        p[0] -= low[0];
        p[1] -= low[1];
    };
    lines.iter_mut().flatten().for_each(put);
    arcs.iter_mut().for_each(|a| put(&mut a.0));
    holes.iter_mut().for_each(|h| put(&mut h.0));
    Shape {
        lines,
        arcs,
        holes,
        size: [high[0] - low[0], high[1] - low[1]],
    }
}
