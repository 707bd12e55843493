//! A bent tube in two views, and unbent with its marks.

use build::{EndShape, TubePart};
use geometry::tube::bend::CHORD;

use crate::canvas::{Canvas, View};
use crate::ordinate::{Axis, Ordinate, draw};
use crate::page::{Dash, Face, Ink, Pen, Pt, Text, pt};
use crate::tubework::Facts;
use crate::type_metrics::{cap_height, width};
use crate::welding::place::{Room, V3};
use crate::welding::solid::{Eye, drawable};

const SIZE: f64 = 8.5;
/// Height of the views, mm.
const VIEW: f64 = 44.0;
/// Height of the unbent tube with its marks, mm.
const UNBENT: f64 = 25.0;
/// Room for letters round a view, mm.
const ROUND: f64 = 7.5;
const AXIS: Pen = Pen::new(0.7, Ink::Ink);
const LEG: Pen = Pen::new(0.18, Ink::Dim).dashed(Dash::DashDot);
/// Steps of a flat line in a view, m.
const FLAT: f64 = 1e-6;

/// A tube's centreline as it is drawn.
pub(super) struct Views {
    line: Vec<V3>,
    corners: Vec<V3>,
    eyes: Vec<Eye>,
}

impl Views {
    pub(super) fn new(part: &TubePart) -> Self {
        let put = |p: geometry::Point3<f64>| [p.x, p.y, p.z];
        let line: Vec<V3> = part
            .line
            .chords(CHORD)
            .into_iter()
            .map(|s| put(s.point))
            .filter(|p| drawable(*p))
            .collect();
        let corners = part
            .bends
            .iter()
            .map(|b| put(b.bend.tangent_in + b.bend.direction_in * b.bend.setback))
            .filter(|p| drawable(*p))
            .collect();
        // The view that looks most squarely at the bends first; a second one where they lie in two planes.
        let square = |eye: Eye| -> f64 {
            let n = match eye {
                Eye::Behind => 0,
                Eye::Side => 1,
                Eye::Above => 2,
            };
            part.bends
                .iter()
                .map(|b| b.bend.angle * b.bend.normal[n].abs())
                .sum()
        };
        let mut eyes = vec![Eye::Side, Eye::Behind, Eye::Above];
        eyes.sort_by(|a, b| square(*b).total_cmp(&square(*a)));
        let flat = part.bends.iter().all(|b| {
            let r = b.bend.rotation.unwrap_or(0.0);
            r.sin().abs() < 1e-3
        });
        let whole: f64 = part.bends.iter().map(|b| b.bend.angle).sum();
        let seen = eyes.first().map_or(0.0, |e| square(*e)) > 0.97 * whole;
        eyes.truncate(if flat && seen { 1 } else { 2 });
        Self {
            line,
            corners,
            eyes,
        }
    }

    /// Height of the drawing, mm.
    pub(super) fn height(&self) -> f64 {
        VIEW + UNBENT
    }

    pub(super) fn draw(&self, c: &mut Canvas, f: &Facts<'_>, part: &TubePart) {
        let w = c.w / self.eyes.len().max(1) as f64;
        for (k, eye) in self.eyes.iter().enumerate() {
            self.view(c, *eye, [k as f64 * w, 0.0, (k + 1) as f64 * w, VIEW]);
        }
        unbent(c, f, part, VIEW);
    }

    fn view(&self, c: &mut Canvas, eye: Eye, [l, t, r, b]: [f64; 4]) {
        let flat: Vec<[f64; 2]> = self.line.iter().map(|p| eye.flat(*p)).collect();
        let legs: Vec<[f64; 2]> = self.corners.iter().map(|p| eye.flat(*p)).collect();
        let Some(first) = flat.first() else {
            return;
        };
        let mut model = [first[0], first[1], first[0], first[1]];
        for p in flat.iter().chain(&legs) {
            model[0] = model[0].min(p[0]);
            model[1] = model[1].min(p[1]);
            model[2] = model[2].max(p[0]);
            model[3] = model[3].max(p[1]);
        }
        let title = 4.6;
        let paper = [
            l + ROUND,
            t + title + ROUND,
            r - l - 2.0 * ROUND,
            b - t - title - 2.0 * ROUND,
        ];
        let wide = (model[2] - model[0]).max(FLAT);
        let high = (model[3] - model[1]).max(FLAT);
        let view = View::fit(
            [model[0], model[1], model[0] + wide, model[1] + high],
            paper,
            false,
        );
        c.text(Text::new(l, t + 3.0, SIZE, format!("centreline {}", eye.title())).ink(Ink::Dim));
        let at = |p: &[f64; 2]| view.at(p[0], p[1]);
        let mut ends: Vec<Pt> = flat.first().map(at).into_iter().collect();
        ends.extend(legs.iter().map(at));
        ends.extend(flat.last().map(at));
        c.polyline(ends.clone(), LEG);
        let points: Vec<Pt> = flat.iter().map(at).collect();
        c.polyline(points.clone(), AXIS);
        let mut room = Room::new([l + 0.3, t + title, r - 0.3, b - 0.3]);
        for pair in points.windows(2) {
            room.outline(pair);
        }
        let names = (0..ends.len()).map(|k| {
            if k == 0 {
                "A".to_owned()
            } else if k + 1 == ends.len() {
                "B".to_owned()
            } else {
                k.to_string()
            }
        });
        let count = ends.len();
        let mut placed = Vec::new();
        for (p, name) in ends.iter().zip(names) {
            let w = width(&name, Face::Bold, SIZE) + 1.6;
            if let Some(m) = room.near(*p, w, 3.6, count) {
                c.line(*p, m, Pen::THIN);
                placed.push((m, name));
            }
        }
        for (m, name) in placed {
            let text = Text::new(m.x, m.y + 0.5 * cap_height(SIZE), SIZE, name).bold();
            c.label(text.centred());
        }
    }
}

/// The tube before it is bent, not to scale across: bends tinted, marks dimensioned from end A.
fn unbent(c: &mut Canvas, f: &Facts<'_>, part: &TubePart, top: f64) {
    let (l, r) = (9.0, c.w - 9.0);
    let (y0, y1) = (top + 5.5, top + 10.0);
    if part.cut <= 0.0 || !part.cut.is_finite() {
        return;
    }
    let k = (r - l) / part.cut;
    let at = |m: f64| (l + k * m).clamp(l, r);
    c.text(
        Text::new(
            0.0,
            top + 3.2,
            SIZE,
            "unbent, length to scale; tinted: the bends",
        )
        .ink(Ink::Dim),
    );
    c.rect(
        pt(l, y0),
        r - l,
        y1 - y0,
        0.0,
        Some(Pen::OBJECT),
        Some(Ink::White),
    );
    let long = part.ends[0].long_point();
    for b in &part.bends {
        let from = b.bend.start - long;
        let (x0, x1) = (at(from), at(from + b.bend.arc));
        c.rect(
            pt(x0, y0),
            x1 - x0,
            y1 - y0,
            0.0,
            Some(Pen::THIN),
            Some(Ink::Tint),
        );
    }
    // A cut that is not square is shown as one: which end needs a wrap.
    for (k, end) in part.ends.iter().enumerate() {
        if matches!(end.shape, EndShape::Cope(_) | EndShape::Mitre { .. }) {
            let x = if k == 0 { l } else { r };
            let into = if k == 0 { 2.4 } else { -2.4 };
            let bite = [pt(x, y0), pt(x + into, 0.5 * (y0 + y1)), pt(x, y1)];
            c.polyline(bite, Pen::THIN);
        }
    }
    let mid = 0.5 * (y0 + y1 + cap_height(SIZE));
    c.text(Text::new(l - 2.0, mid, SIZE, "A").bold().right());
    c.text(Text::new(r + 2.0, mid, SIZE, "B").bold());
    let marks: Vec<Ordinate> = part
        .bends
        .iter()
        .enumerate()
        .map(|(k, b)| {
            let label = format!("{}: {}", k + 1, f.tape(b.from_a));
            Ordinate::new(at(b.from_a), y1, label)
        })
        .chain([Ordinate::new(r, y1, f.tape(part.cut))])
        .collect();
    for b in &part.bends {
        let x = at(b.from_a);
        c.line(pt(x, y0 - 1.0), pt(x, y1), Pen::new(0.5, Ink::Accent));
    }
    for size in [SIZE, 7.5] {
        let before = c.items.len();
        if draw(c, Axis::Below(y1 + 1.0), (0.0, c.w), &marks, size).is_ok() {
            break;
        }
        c.items.truncate(before);
    }
}
