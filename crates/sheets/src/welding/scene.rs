//! The assembly in two views at one scale, with what is marked on it.

use super::facts::Facts;
use super::place::{Room, V3, around};
use super::solid::{Eye, Solid, clip, drawable, on_border};
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

/// What is added round a skin so that it counts as whole, m.
const EDGE: f64 = 1e-3;
/// A tube that takes less of a view than this is shown with both its sides.
const THIN: f64 = 0.3;
/// Room round the assembly for numbers, mm.
const MARGIN: f64 = 9.0;
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
        bounds(skin.chain(tags).map(|p| eye.flat(p)))
    }

    /// What of a view is shown, m: the marks with room round them; all of it where nothing is marked.
    fn window(&self, eye: Eye) -> [f64; 4] {
        let all = self.extent(eye);
        // So little beyond the skin that nothing counts as cut off there.
        let all = [all[0] - EDGE, all[1] - EDGE, all[2] + EDGE, all[3] + EDGE];
        if self.tags.is_empty() {
            return all;
        }
        let marks = bounds(self.tags.iter().flat_map(Tag::points).map(|p| eye.flat(p)));
        let size = (marks[2] - marks[0]).max(marks[3] - marks[1]);
        let grow = (0.12 * size).max(0.06);
        let near = [
            marks[0] - grow,
            marks[1] - grow,
            marks[2] + grow,
            marks[3] + grow,
        ];
        // No tube that ends in it is split along its length.
        let ends = self.solids.iter().filter(|s| s.hull).flat_map(|s| {
            let half = s.corners.len() / 2;
            s.corners.chunks(half.max(1)).collect::<Vec<_>>()
        });
        let rings = ends.filter_map(|ring| {
            let b = bounds(ring.iter().map(|p| eye.flat(*p)));
            let mid = [0.5 * (b[0] + b[2]), 0.5 * (b[1] + b[3])];
            let inside =
                mid[0] >= near[0] && mid[0] <= near[2] && mid[1] >= near[1] && mid[1] <= near[3];
            inside.then_some([
                [b[0] - 2.0 * EDGE, b[1] - 2.0 * EDGE],
                [b[2] + 2.0 * EDGE, b[3] + 2.0 * EDGE],
            ])
        });
        let corners = [[near[0], near[1]], [near[2], near[3]]];
        let mut grown = bounds(rings.flatten().chain(corners));
        // Nor one that runs through it.
        for solid in self.solids.iter().filter(|s| s.hull) {
            let b = bounds(solid.corners.iter().map(|p| eye.flat(*p)));
            let over = |i: usize| b[i] <= near[i + 2] && b[i + 2] >= near[i];
            if !(over(0) && over(1)) {
                continue;
            }
            for i in [0, 1] {
                if b[i + 2] - b[i] < THIN * size {
                    grown[i] = grown[i].min(b[i] - 2.0 * EDGE);
                    grown[i + 2] = grown[i + 2].max(b[i + 2] + 2.0 * EDGE);
                }
            }
        }
        [
            all[0].max(grown[0]),
            all[1].max(grown[1]),
            all[2].min(grown[2]),
            all[3].min(grown[3]),
        ]
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
        let boxes = self.eyes.map(|e| self.window(e));
        let wide = boxes.map(|b| b[2] - b[0]);
        let high = boxes.map(|b| b[3] - b[1]);
        // Side by side, or one under the other: whichever is larger.
        let over = TITLE + 2.0 * MARGIN;
        let beside = (1000.0 * (wide[0] + wide[1]) / (w - 4.0 * MARGIN - BETWEEN))
            .max(1000.0 * high[0].max(high[1]) / (most - over));
        let under = (1000.0 * wide[0].max(wide[1]) / (w - 2.0 * MARGIN))
            .max(1000.0 * (high[0] + high[1]) / (most - 2.0 * over).max(1.0));
        let stacked = under < beside;
        let scale = rounded(if stacked { under } else { beside });
        let k = 1000.0 / scale;
        let own = [0, 1].map(|i| (k * wide[i] + 2.0 * MARGIN, k * high[i] + over));
        let height = if stacked {
            own[0].1 + own[1].1
        } else {
            own[0].1.max(own[1].1)
        };
        let spare = (w - BETWEEN - own[0].0 - own[1].0).max(0.0) / 2.0;
        let (mut lost, mut cut) = (0, 0);
        let mut c = Canvas::new(w, height);
        for (i, (eye, b)) in self.eyes.into_iter().zip(boxes).enumerate() {
            let (x, y, wide) = match (stacked, i) {
                (true, 0) => (0.0, 0.0, w),
                (true, _) => (0.0, own[0].1, w),
                (false, 0) => (0.0, 0.0, own[0].0 + spare),
                (false, _) => (own[0].0 + spare + BETWEEN, 0.0, own[1].0 + spare),
            };
            let high = own[i].1;
            let view = View {
                mm_per_m: k,
                origin: pt(
                    x + 0.5 * wide - k * 0.5 * (b[0] + b[2]),
                    y + TITLE + 0.5 * (high - TITLE) + k * 0.5 * (b[1] + b[3]),
                ),
                mirrored: false,
            };
            let area = [x + 0.3, y + TITLE, x + wide - 0.3, y + high];
            c.text(
                Text::new(
                    x + 0.5 * wide,
                    y + cap_height(SIZE_TITLE) + 0.4,
                    SIZE_TITLE,
                    fit(eye.title(), Face::Regular, SIZE_TITLE, wide),
                )
                .centred()
                .ink(Ink::Dim),
            );
            let (a, b) = self.one(&mut c, eye, &view, b, area);
            lost += a;
            cut += b;
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
        if cut > 0 {
            said.push("long parts cut off".into());
        }
        if lost > 0 {
            said.push("too close to number them all".into());
        }
        sheet.section(title, &said.join(" · "));
        sheet.draw(height, |canvas| canvas.items = c.items)
    }

    /// One view; gives how many marks found no room and how many parts were cut off.
    fn one(
        &self,
        c: &mut Canvas,
        eye: Eye,
        view: &View,
        window: [f64; 4],
        area: [f64; 4],
    ) -> (usize, usize) {
        let at = |p: V3| {
            let [x, y] = eye.flat(p);
            view.at(x, y)
        };
        let mut room = Room::new(area);
        let mut order: Vec<&Solid> = self.solids.iter().collect();
        order.sort_by(|a, b| b.depth(eye).total_cmp(&a.depth(eye)));
        let mut cut = 0;
        for s in order {
            let whole = s.outline(eye);
            let kept = clip(&whole, window);
            if kept != whole {
                cut += 1;
            }
            if kept.len() < 2 {
                continue;
            }
            let points: Vec<Pt> = kept.iter().map(|[x, y]| view.at(*x, *y)).collect();
            room.outline(&points);
            let fill = Some(if s.hull { Ink::White } else { Ink::Head });
            if kept == whole {
                c.polygon(points, Some(SKIN), fill);
                continue;
            }
            // Where it is cut off it stays open.
            c.polygon(points.clone(), None, fill);
            for i in 0..kept.len() {
                let j = (i + 1) % kept.len();
                if !on_border(kept[i], kept[j], window) {
                    c.line(points[i], points[j], SKIN);
                }
            }
        }
        for n in &self.nodes {
            let [x, y] = eye.flat(*n);
            if x >= window[0] && x <= window[2] && y >= window[1] && y <= window[3] {
                c.circle(at(*n), 0.4, None, Some(Ink::Dim));
            }
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
                c.circle(skin(0.0), 0.9, None, Some(Ink::Accent));
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
        let beads = self.tags.iter().any(|t| matches!(t, Tag::Bead { .. }));
        let mut dots = Vec::new();
        let mut placed: Vec<(Pt, f64, String, Style)> = Vec::new();
        for (p, text, done) in spots {
            if !beads {
                dots.push(p);
            }
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
        (lost, cut)
    }
}

fn bounds(points: impl Iterator<Item = [f64; 2]>) -> [f64; 4] {
    points.fold([f64::MAX, f64::MAX, f64::MIN, f64::MIN], |e, p| {
        [
            e[0].min(p[0]),
            e[1].min(p[1]),
            e[2].max(p[0]),
            e[3].max(p[1]),
        ]
    })
}

/// Model over paper, the least that fits, from the list where it can be.
fn rounded(needs: f64) -> f64 {
    let found = SCALES.into_iter().find(|s| *s >= needs);
    found.unwrap_or_else(|| needs.ceil())
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
