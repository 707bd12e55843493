//! A wrap laid flat.

use build::{EndShape, EndStudy, TubePart};
use geometry::tube::cope::End;
use geometry::tube::direction::Axes;
use geometry::tube::section::Section;

use crate::tubework::{Facts, ends, facing};

/// Even steps of a curve: half a degree.
const STEPS: usize = 720;
/// Paper left beyond the short point, on the tube's body, m.
const BODY: f64 = 0.022;
/// Width of the tab under the other edge, m.
pub(super) const TAB: f64 = 0.010;

/// A line along the tube with its name.
#[derive(Debug, Clone)]
pub(super) struct Along {
    /// From the scribe line, m.
    pub(super) x: f64,
    pub(super) name: String,
    pub(super) scribe: bool,
}

/// A name between two lines along the tube: a face of a rectangular tube.
#[derive(Debug, Clone)]
pub(super) struct Face {
    pub(super) x: [f64; 2],
    pub(super) name: String,
}

/// A wrap laid flat, m: x from the scribe line as φ grows, y from the straight edge into the tube.
#[derive(Debug, Clone)]
pub(super) struct Template {
    pub(super) title: String,
    pub(super) note: String,
    /// Words printed on the wrap itself.
    pub(super) name: String,
    pub(super) tube: String,
    pub(super) end: End,
    /// Once round, m.
    pub(super) girth: f64,
    /// The cut: place round the tube (rad or m), x, y.
    pub(super) cut: Vec<[f64; 3]>,
    /// From the straight edge to the body's edge, m.
    pub(super) height: f64,
    pub(super) lines: Vec<Along>,
    pub(super) faces: Vec<Face>,
}

impl Template {
    /// The wrap of an end; `None` where it has none.
    pub(super) fn of(f: &Facts<'_>, tube: usize, part: &TubePart, end: &EndStudy) -> Option<Self> {
        let paper = f.build.tube_work.paper.si().clamp(0.0, 0.01);
        let (cut, girth, axes) = match &end.shape {
            EndShape::Cope(study) => {
                let wrap = study.cope.wrap(paper, study.square, STEPS).ok()?;
                let turn = part.section.turn();
                let at = |step: usize| turn * (step as f64 / STEPS as f64 - 0.5);
                let mut cut: Vec<[f64; 3]> = wrap
                    .cut
                    .iter()
                    .enumerate()
                    .map(|(k, [x, y])| [at(k), *x, *y])
                    .collect();
                // The points of the ears between two steps.
                for tip in [study.long.at, study.short.at] {
                    let x = part.section.wrapped(tip, paper);
                    cut.push([tip, x, study.profile(tip) - study.long.s]);
                }
                cut.sort_by(|a, b| a[1].total_cmp(&b[1]));
                (cut, wrap.girth, Some(study.cope.landing().axes))
            }
            EndShape::Mitre { mitre, toward, .. } => {
                let Section::Round { od, .. } = part.section else {
                    return None;
                };
                let whole = std::f64::consts::TAU;
                let cut = (0..=STEPS)
                    .map(|step| {
                        let at = whole * (step as f64 / STEPS as f64 - 0.5);
                        let y = mitre.profile(0.5 * od, at - toward) - mitre.long_point();
                        [at, part.section.wrapped(at, paper), y]
                    })
                    .collect();
                (
                    cut,
                    part.section.wrapped(whole, paper),
                    axes(f, tube, part, end.end),
                )
            }
            EndShape::Square | EndShape::RunsOn(_) | EndShape::Failed(_) => return None,
        };
        let deep = cut.iter().map(|c| c[2]).fold(0.0, f64::max);
        let fit = |v: f64| v.is_finite() && v.abs() < 1e3;
        if girth <= 0.0 || !fit(girth) || !cut.iter().flatten().all(|v| fit(*v)) {
            return None;
        }
        let letter = ends::letter(end.end);
        let scribe = axes.map_or("scribe line", |a| facing([a.up.x, a.up.y, a.up.z]));
        let (lines, faces) = marks(part, paper, girth, axes.as_ref());
        let bent = !part.bends.is_empty();
        let struck = match (&part.section, bent) {
            (Section::Rectangular { .. }, _) => format!("middle of the face to the {scribe}"),
            (_, true) => "inside of the nearest bend".to_owned(),
            (_, false) => format!("{scribe} as it sits in the car"),
        };
        Some(Self {
            title: format!("{} · end {letter}", f.name(tube)),
            note: format!(
                "{} · scribe line: {struck} · once round {}, {} high",
                ends::brief(f, end),
                f.fine(girth),
                f.fine(deep + BODY)
            ),
            name: format!("{} · end {letter}", f.name(tube)),
            tube: f.number(tube),
            end: end.end,
            girth,
            height: deep + BODY,
            cut,
            lines,
            faces,
        })
    }

    /// y on the page, up: end B of the tube is up the page at both ends.
    pub(super) fn up(&self, y: f64) -> f64 {
        match self.end {
            End::A => y,
            End::B => -y,
        }
    }

    /// All there is to draw, m: left, low, right, high.
    pub(super) fn extent(&self) -> [f64; 4] {
        let (a, b) = (self.up(0.0), self.up(self.height));
        [
            -0.5 * self.girth,
            a.min(b),
            0.5 * self.girth + TAB,
            a.max(b),
        ]
    }
}

/// Axes of a mitred end; a cope knows its own.
fn axes(f: &Facts<'_>, tube: usize, part: &TubePart, end: End) -> Option<Axes> {
    let roll = f.build.assembly.tubes.get(tube)?.turn.si();
    match end {
        End::A => part.line.axes_a(roll).ok(),
        End::B => part.line.axes_b(roll).ok(),
    }
}

/// Lines along the tube, and its faces.
fn marks(part: &TubePart, paper: f64, girth: f64, axes: Option<&Axes>) -> (Vec<Along>, Vec<Face>) {
    let along = |x: f64, name: &str, scribe| Along {
        x,
        name: name.to_owned(),
        scribe,
    };
    match part.section {
        Section::Round { .. } => (
            vec![
                along(-0.25 * girth, "9", false),
                along(0.0, "12 scribe", true),
                along(0.25 * girth, "3", false),
            ],
            Vec::new(),
        ),
        Section::Rectangular { .. } => {
            let turn = part.section.turn();
            // Corners as two lines, where the flats end; the faces between them.
            let edges = part.section.edges();
            let half = |at: f64| if at > 0.5 * turn { at - turn } else { at };
            let wrapped = |at: f64| part.section.wrapped(at, paper);
            let mut lines = vec![along(0.0, "scribe", true)];
            let mut xs: Vec<f64> = edges.iter().map(|at| wrapped(half(*at))).collect();
            xs.dedup_by(|a, b| (*a - *b).abs() < 1e-9);
            lines.extend(xs.iter().map(|x| along(*x, "", false)));
            let face = |x: [f64; 2], v: [f64; 3]| Face {
                x,
                name: facing(v).to_owned(),
            };
            let Some(a) = axes else {
                return (lines, Vec::new());
            };
            let side = [a.side.x, a.side.y, a.side.z];
            let up = [a.up.x, a.up.y, a.up.z];
            let less = |v: [f64; 3]| v.map(|x| -x);
            let at = |k: usize| edges.get(k).map_or(0.0, |e| wrapped(half(*e)));
            let faces = vec![
                face([0.0, at(0)], up),
                face([at(1), at(2)], side),
                face([at(3), 0.5 * girth], less(up)),
                face([-0.5 * girth, at(4)], less(up)),
                face([at(5), at(6)], less(side)),
                face([at(7), 0.0], up),
            ];
            (lines, faces)
        }
    }
}
