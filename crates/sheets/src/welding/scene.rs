//! The assembly in two views at one scale, with what is marked on it.

use super::facts::Facts;
use super::place::{Room, V3, around};
use super::solid::{Eye, Solid, drawable};
use crate::canvas::{Canvas, View};
use crate::error::SheetError;
use crate::layout::Composer;
use crate::page::{Dash, Face, Ink, Pen, Pt, Text, pt};
use crate::type_metrics::{cap_height, fit, width};

/// What is marked on the drawing.
#[derive(Debug, Clone)]
pub(crate) enum Tag {
    /// A place with its number.
    Spot {
        /// The number.
        text: String,
        /// Where, m.
        at: V3,
        /// Nothing is to be done there any more.
        done: bool,
    },
    /// A distance with its letter.
    Span {
        /// The letter.
        text: String,
        /// Its ends, m.
        ends: [V3; 2],
    },
    /// A bead on a tube.
    Bead {
        /// Its number.
        text: String,
        /// On the tube's centreline, m.
        at: V3,
        /// From there to its skin, m.
        out: V3,
        /// Half of the bead, m.
        half: V3,
    },
}

/// A drawing of the assembly.
pub(crate) struct Scene {
    solids: Vec<Solid>,
    nodes: Vec<V3>,
    tags: Vec<Tag>,
    eyes: [Eye; 2],
    /// What is not drawn.
    pub(crate) left_out: usize,
}

/// Room round the assembly for numbers, mm.
const MARGIN: f64 = 11.0;
/// Height of the words over a view, mm.
const TITLE: f64 = 5.0;
/// Between the views, mm.
const BETWEEN: f64 = 4.0;
const SIZE: f64 = 8.5;
const SIZE_TITLE: f64 = 9.0;
/// Scales, model over paper.
const SCALES: [f64; 20] = [
    2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 75.0, 100.0,
    150.0, 200.0, 500.0,
];
const SKIN: Pen = Pen::new(0.25, Ink::Ink);
const SPAN: Pen = Pen::new(0.3, Ink::Accent).dashed(Dash::DashDot);
const LEADER: Pen = Pen::new(0.18, Ink::Ink);

impl Scene {
    pub(crate) fn new(f: &Facts<'_>, tags: Vec<Tag>) -> Self {
        let a = &f.build.assembly;
        let tubes = a.tubes.iter().zip(&f.weld.tubes);
        let mut solids: Vec<Option<Solid>> = tubes
            .map(|(t, line)| Solid::tube(t, line.as_ref().ok()?))
            .collect();
        solids.extend(a.plates.iter().map(|p| Solid::plate(a, p)));
        let all = solids.len();
        let solids: Vec<Solid> = solids.into_iter().flatten().collect();
        let used = |id: &str| {
            a.tubes.iter().any(|t| t.from == id || t.to == id)
                || a.plates.iter().any(|p| p.outline.iter().any(|n| n == id))
        };
        let nodes: Vec<V3> = a
            .nodes
            .iter()
            .filter(|n| used(&n.id))
            .map(|n| n.at.si())
            .filter(|p| drawable(*p))
            .collect();
        let tags: Vec<Tag> = tags
            .into_iter()
            .filter(|t| t.points().iter().all(|p| drawable(*p)))
            .collect();
        let mut scene = Self {
            left_out: all - solids.len(),
            solids,
            nodes,
            tags,
            eyes: [Eye::Behind, Eye::Above],
        };
        if scene.spread(Eye::Side) > scene.spread(Eye::Above) {
            scene.eyes[1] = Eye::Side;
        }
        scene
    }

    /// There is nothing to draw.
    pub(crate) fn is_empty(&self) -> bool {
        self.solids.is_empty()
    }

    /// Extent in a view, m: right least, up least, right greatest, up greatest.
    fn extent(&self, eye: Eye) -> [f64; 4] {
        let skin = self.solids.iter().flat_map(|s| s.corners.iter().copied());
        let tags = self.tags.iter().flat_map(Tag::points);
        skin.chain(tags).map(|p| eye.flat(p)).fold(
            [f64::MAX, f64::MAX, f64::MIN, f64::MIN],
            |e, p| {
                [
                    e[0].min(p[0]),
                    e[1].min(p[1]),
                    e[2].max(p[0]),
                    e[3].max(p[1]),
                ]
            },
        )
    }

    /// How far apart the marks lie in a view: how well it shows them, 0 to 1.
    fn spread(&self, eye: Eye) -> f64 {
        let e = self.extent(eye);
        let size = (e[2] - e[0]).max(e[3] - e[1]).max(1e-9);
        let mut points: Vec<[f64; 2]> = self
            .tags
            .iter()
            .filter_map(|t| t.points().first().map(|p| eye.flat(*p)))
            .take(200)
            .collect();
        if points.len() < 2 {
            points = self.nodes.iter().take(200).map(|p| eye.flat(*p)).collect();
        }
        let nearest = |k: usize| {
            let others = points.iter().enumerate().filter(|(l, _)| *l != k);
            others
                .map(|(_, q)| (q[0] - points[k][0]).hypot(q[1] - points[k][1]))
                .fold(f64::MAX, f64::min)
                .min(0.2 * size)
        };
        let sum: f64 = (0..points.len()).map(nearest).sum();
        sum / (size * points.len().max(1) as f64)
    }

    /// Draws it, at most `most` mm high. Nothing where nothing is drawn.
    pub(crate) fn draw(
        &self,
        sheet: &mut Composer,
        title: &str,
        note: &str,
        most: f64,
    ) -> Result<(), SheetError> {
        if self.is_empty() {
            return Ok(());
        }
        let w = sheet.width();
        let boxes = self.eyes.map(|e| self.extent(e));
        let wide: f64 = boxes.iter().map(|b| b[2] - b[0]).sum();
        let high = boxes.iter().map(|b| b[3] - b[1]).fold(0.0, f64::max);
        let room = w - 4.0 * MARGIN - BETWEEN;
        let needs = (1000.0 * wide / room).max(1000.0 * high / (most - TITLE - 2.0 * MARGIN));
        let scale = SCALES
            .into_iter()
            .find(|s| *s >= needs)
            .unwrap_or_else(|| needs.ceil());
        let k = 1000.0 / scale;
        let height = TITLE + 2.0 * MARGIN + k * high;
        let spare = (room - k * wide) / 2.0;
        let mut lost = 0;
        let mut c = Canvas::new(w, height);
        let mut x = 0.0;
        for (eye, b) in self.eyes.into_iter().zip(boxes) {
            let own = k * (b[2] - b[0]) + 2.0 * MARGIN + spare;
            let area = [x + 0.3, TITLE, x + own - 0.3, height];
            let view = View::fit(b, [x, TITLE, own, height - TITLE], false);
            // The scale is that of both, not the largest this view could have.
            let mid = view.at(0.5 * (b[0] + b[2]), 0.5 * (b[1] + b[3]));
            let view = View {
                mm_per_m: k,
                origin: pt(
                    mid.x - k * 0.5 * (b[0] + b[2]),
                    mid.y + k * 0.5 * (b[1] + b[3]),
                ),
                mirrored: false,
            };
            c.text(
                Text::new(
                    x + 0.5 * own,
                    cap_height(SIZE_TITLE) + 0.4,
                    SIZE_TITLE,
                    fit(eye.title(), Face::Regular, SIZE_TITLE, own),
                )
                .centred()
                .ink(Ink::Dim),
            );
            lost += self.one(&mut c, eye, &view, area);
            x += own + BETWEEN;
        }
        let scale = if scale.fract() == 0.0 {
            format!("scale 1 : {scale:.0}")
        } else {
            format!("scale 1 : {scale}")
        };
        let mut said = vec![scale];
        if !note.is_empty() {
            said.push(note.to_owned());
        }
        if self.left_out > 0 {
            said.push(format!("{} parts not drawn", self.left_out));
        }
        if lost > 0 {
            said.push("too close to number them all".into());
        }
        sheet.section(title, &said.join(" · "));
        sheet.draw(height, |canvas| canvas.items = c.items)
    }

    /// One view; gives how many marks found no room.
    fn one(&self, c: &mut Canvas, eye: Eye, view: &View, area: [f64; 4]) -> usize {
        let at = |p: V3| {
            let [x, y] = eye.flat(p);
            view.at(x, y)
        };
        let mut room = Room::new(area);
        let mut order: Vec<&Solid> = self.solids.iter().collect();
        order.sort_by(|a, b| b.depth(eye).total_cmp(&a.depth(eye)));
        for s in order {
            let points: Vec<Pt> = s
                .outline(eye)
                .into_iter()
                .map(|[x, y]| view.at(x, y))
                .collect();
            room.outline(&points);
            let fill = if s.hull { Ink::White } else { Ink::Head };
            c.polygon(points, Some(SKIN), Some(fill));
        }
        for n in &self.nodes {
            c.circle(at(*n), 0.4, None, Some(Ink::Dim));
        }
        let mut lost = 0;
        let mut capsules: Vec<(Pt, f64, &str, Style)> = Vec::new();
        // Spans first: their letters stand on them.
        for t in &self.tags {
            let Tag::Span { text, ends } = t else {
                continue;
            };
            let (p, q) = (at(ends[0]), at(ends[1]));
            if (q.x - p.x).hypot(q.y - p.y) < 2.0 {
                continue;
            }
            c.line(p, q, SPAN);
            for end in [p, q] {
                c.circle(
                    end,
                    0.75,
                    Some(Pen::new(0.3, Ink::Accent)),
                    Some(Ink::White),
                );
                room.dot(end);
            }
            let w = capsule_width(text);
            match room.along(p, q, w, HIGH) {
                Some(m) => capsules.push((m, w, text, Style::Letter)),
                None => match room.near(mid(p, q), w, HIGH, 1) {
                    Some(m) => {
                        c.line(mid(p, q), m, LEADER);
                        capsules.push((m, w, text, Style::Letter));
                    }
                    None => lost += 1,
                },
            }
        }
        for t in &self.tags {
            if let Tag::Bead {
                at: p, out, half, ..
            } = t
            {
                let skin = |s: f64| at([0, 1, 2].map(|i| p[i] + out[i] + s * half[i]));
                c.line(skin(-1.0), skin(1.0), Pen::new(1.1, Ink::Accent));
                room.dot(at([0, 1, 2].map(|i| p[i] + out[i])));
            }
        }
        let mut spots: Vec<(Pt, String, bool)> = Vec::new();
        let mut many: Vec<(Pt, Vec<String>, bool)> = Vec::new();
        for t in &self.tags {
            let (p, text, done) = match t {
                Tag::Spot { text, at: p, done } => (at(*p), text, *done),
                Tag::Bead {
                    text, at: p, out, ..
                } => (at([0, 1, 2].map(|i| p[i] + out[i])), text, false),
                Tag::Span { .. } => continue,
            };
            match many
                .iter_mut()
                .find(|(q, ..)| (q.x - p.x).hypot(q.y - p.y) < 0.8)
            {
                Some((_, list, d)) => {
                    list.push(text.clone());
                    *d &= done;
                }
                None => many.push((p, vec![text.clone()], done)),
            }
        }
        for (p, list, done) in many {
            let text = match list.len() {
                0..=3 => list.join(", "),
                n => format!("{}, {} + {}", list[0], list[1], n - 2),
            };
            room.dot(p);
            spots.push((p, text, done));
        }
        let count = spots.len();
        let mut dots = Vec::new();
        let mut placed: Vec<(Pt, f64, String, Style)> = Vec::new();
        for (p, text, done) in spots {
            dots.push(p);
            let w = capsule_width(&text);
            match room.near(p, w, HIGH, count) {
                Some(m) => {
                    c.line(p, m, LEADER);
                    placed.push((m, w, text, if done { Style::Done } else { Style::Number }));
                }
                None => lost += 1,
            }
        }
        for p in dots {
            c.circle(p, 0.65, None, Some(Ink::Ink));
        }
        for (m, w, text, style) in capsules {
            capsule(c, m, w, text, style);
        }
        for (m, w, text, style) in &placed {
            capsule(c, *m, *w, text, *style);
        }
        lost
    }
}

impl Tag {
    fn points(&self) -> Vec<V3> {
        match self {
            Self::Spot { at, .. } => vec![*at],
            Self::Span { ends, .. } => ends.to_vec(),
            Self::Bead { at, out, .. } => vec![*at, [0, 1, 2].map(|i| at[i] + out[i])],
        }
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Style {
    Number,
    Done,
    Letter,
}

/// Height of a number's balloon, mm.
const HIGH: f64 = 4.6;

fn capsule_width(text: &str) -> f64 {
    (width(text, Face::Bold, SIZE) + 2.2).max(HIGH)
}

fn mid(p: Pt, q: Pt) -> Pt {
    pt(0.5 * (p.x + q.x), 0.5 * (p.y + q.y))
}

fn capsule(c: &mut Canvas, m: Pt, w: f64, text: &str, style: Style) {
    let [l, t, ..] = around(m, w, HIGH);
    let (ink, fill) = match style {
        Style::Number => (Ink::Ink, Ink::White),
        Style::Done => (Ink::Ink, Ink::Tint),
        Style::Letter => (Ink::Accent, Ink::White),
    };
    let radius = if style == Style::Letter {
        0.5
    } else {
        0.5 * HIGH
    };
    c.rect(
        pt(l, t),
        w,
        HIGH,
        radius,
        Some(Pen::new(0.3, ink)),
        Some(fill),
    );
    c.text(
        Text::new(m.x, m.y + 0.5 * cap_height(SIZE), SIZE, text)
            .bold()
            .centred()
            .ink(ink),
    );
}
