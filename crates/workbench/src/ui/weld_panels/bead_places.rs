//! Where correction beads could go: a first suggestion, to be changed by who lays them.

use build::{Bead, BeadSite, ControlDimension, DimensionStudy, Face, Leg, Lie, TubeSection};
use units::{Kind, Length};

use super::super::bench::Bench;
use super::words;

const INCH: f64 = 0.0254;

/// A stringer of the usual size (common practice, no source).
pub(super) fn usual_bead() -> Bead {
    Bead {
        lie: Lie::Across,
        leg: Length::from_inches(0.125),
        length: Length::from_inches(1.25),
    }
}

/// Where the beads of a plan that could do it go: near the far ends of the first and the last tube of
/// the way, on the face that moves the dimension the right way.
pub(super) fn sites(bench: &Bench<'_>, d: &ControlDimension, s: &DimensionStudy) -> Vec<BeadSite> {
    let longer = words::now(bench, d).is_none_or(|now| now <= d.want.si());
    let legs = s.way.as_deref().unwrap_or_default();
    let tubes = &bench.build.assembly;
    let drawn = |l: &&Leg| matches!(l, Leg::Along { part, .. } if tubes.tube(part).is_some());
    let along: Vec<&Leg> = legs.iter().filter(drawn).collect();
    let first = along.first().map(|leg| (*leg, true));
    let last = along.last().filter(|_| along.len() > 1);
    let ends = first.into_iter().chain(last.map(|leg| (*leg, false)));
    let mut all: Vec<BeadSite> = ends
        .filter_map(|(leg, first)| site_on(bench, s, leg, first, longer))
        .collect();
    if all.is_empty()
        && let Some(t) = bench.build.assembly.tubes.first()
    {
        all.push(BeadSite {
            tube: t.id.clone(),
            at: Length::from_inches(3.0),
            face: Face::Left,
            out_of_square: Length::default(),
        });
    }
    all
}

/// The usual bead, along the tube where one of them is rectangular.
pub(super) fn bead_for(bench: &Bench<'_>, sites: &[BeadSite]) -> Bead {
    let rectangular = sites.iter().any(|site| {
        let tube = bench.build.assembly.tube(&site.tube);
        tube.is_some_and(|t| matches!(t.section, TubeSection::Rectangular { .. }))
    });
    let mut bead = usual_bead();
    if rectangular {
        bead.lie = Lie::Along;
    }
    bead
}

fn cross(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn less(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

/// A place three inches from where the way leaves the tube for the next, and its best face.
fn site_on(
    bench: &Bench<'_>,
    s: &DimensionStudy,
    leg: &Leg,
    first: bool,
    longer: bool,
) -> Option<BeadSite> {
    let Leg::Along { part, from, to } = leg else {
        return None;
    };
    let a = &bench.build.assembly;
    let i = a.tubes.iter().position(|t| t.id == *part)?;
    let line = bench.study.weld.tubes.get(i)?.as_ref().ok()?;
    let place = |id: &str| Some(dot(less(a.node(id)?.at.si(), line.from), line.along));
    let (from, to) = (place(from)?, place(to)?);
    let inward = (3.0 * INCH).min(0.5 * (to - from).abs());
    let sign = if to >= from { 1.0 } else { -1.0 };
    let at = if first {
        to - sign * inward
    } else {
        from + sign * inward
    };
    let e = line.along.map(|x| sign * x);
    let [p, q] = s.ends?;
    let n = less(q, p);
    let here = line.point(at);
    // The tube turns towards the bead: about e × ρ, which moves the far end.
    let moves = |face: &Face| {
        let axis = cross(e, face.direction());
        let size = dot(axis, axis).sqrt();
        if size < 0.3 {
            return f64::NEG_INFINITY;
        }
        let change = dot(cross(axis, less(q, here)), n);
        if longer { change } else { -change }
    };
    let face = Face::ALL
        .into_iter()
        .max_by(|a, b| moves(a).total_cmp(&moves(b)))?;
    let at = at.clamp(0.0, line.length);
    // To the tape: nobody lays out a bead finer.
    let step = units::step(Kind::Length, bench.shop());
    let rounded = (at / step).round() * step;
    Some(BeadSite {
        tube: part.clone(),
        at: Length::from_si(rounded.clamp(0.0, line.length)),
        face,
        out_of_square: Length::default(),
    })
}
