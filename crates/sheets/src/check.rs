//! Checks a finished page: no text on another text, nothing in the strip a printer cannot reach.

use crate::page::{Align, Item, PRINT_MARGIN, Page, Pt, Text, pt};
use crate::type_metrics::{ink_box, width};

/// Texts closer than this count as touching, mm (own value: about a hair space of the table type).
pub const TEXT_CLEARANCE: f64 = 0.2;

/// Lines closer to the ink of a text than this count as running through it, mm (own value).
pub const LINE_CLEARANCE: f64 = 0.15;

/// What is wrong.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ClashKind {
    /// Two texts touch or overlap.
    TextOnText,
    /// An item reaches into the margin a printer cannot print, or off the paper.
    OutsideMargin,
    /// A line runs through a text.
    LineThroughText,
    /// A coordinate or size is not a finite number.
    NotFinite,
}

/// One finding of [`check_page`] or [`lines_through_text`].
#[derive(Debug, Clone, PartialEq)]
pub struct Clash {
    /// What is wrong.
    pub kind: ClashKind,
    /// Index of the item.
    pub item: usize,
    /// Index of the other item, where two are concerned.
    pub other: Option<usize>,
    /// Words for a message, with the texts concerned.
    pub detail: String,
}

/// Corners of the inked box of a text, in order round the box; `None` if nothing is inked.
pub fn text_corners(t: &Text) -> Option<[Pt; 4]> {
    let [l, top, r, b] = ink_box(&t.text, t.face, t.size_pt)?;
    let w = width(&t.text, t.face, t.size_pt);
    let dx = match t.align {
        Align::Left => 0.0,
        Align::Centre => -0.5 * w,
        Align::Right => -w,
    };
    let (s, c) = t.turn.sin_cos();
    // y is down, so a counter-clockwise turn as seen maps (x, y) to (x c + y s, -x s + y c).
    Some([(l, top), (r, top), (r, b), (l, b)].map(|(x, y)| {
        let x = x + dx;
        pt(t.x + x * c + y * s, t.y - x * s + y * c)
    }))
}

/// Gap between two convex polygons along the best separating edge normal; negative when they overlap.
fn separation(a: &[Pt], b: &[Pt]) -> f64 {
    let mut best = f64::NEG_INFINITY;
    for (p, q) in [(a, b), (b, a)] {
        for i in 0..p.len() {
            let (u, v) = (p[i], p[(i + 1) % p.len()]);
            let (nx, ny) = (v.y - u.y, u.x - v.x);
            let len = nx.hypot(ny);
            if len < 1e-9 {
                continue;
            }
            let on = |k: &Pt| (k.x * nx + k.y * ny) / len;
            let hull = |k: &[Pt]| {
                k.iter()
                    .map(on)
                    .fold((f64::INFINITY, f64::NEG_INFINITY), |(lo, hi), v| {
                        (lo.min(v), hi.max(v))
                    })
            };
            let ((alo, ahi), (blo, bhi)) = (hull(p), hull(q));
            best = best.max(blo - ahi).max(alo - bhi);
        }
    }
    best
}

/// Outermost extent of an item with half its line width, mm: left, top, right, bottom.
/// `None` for a text without ink or an empty polyline.
pub fn extent(item: &Item) -> Option<[f64; 4]> {
    let hull = |pts: &[Pt], grow: f64| {
        let first = pts.first()?;
        let e = pts
            .iter()
            .fold([first.x, first.y, first.x, first.y], |e, p| {
                [e[0].min(p.x), e[1].min(p.y), e[2].max(p.x), e[3].max(p.y)]
            });
        Some([e[0] - grow, e[1] - grow, e[2] + grow, e[3] + grow])
    };
    let half = |pen: &Option<crate::page::Pen>| pen.map_or(0.0, |p| 0.5 * p.width);
    match item {
        Item::Line { from, to, pen } => hull(&[*from, *to], 0.5 * pen.width),
        Item::Polyline { points, pen } => hull(points, 0.5 * pen.width),
        Item::Polygon { points, pen, .. } => hull(points, half(pen)),
        Item::Rect { at, w, h, pen, .. } => hull(&[*at, pt(at.x + w, at.y + h)], half(pen)),
        Item::Circle {
            centre,
            radius,
            pen,
            ..
        } => hull(&[*centre], radius.abs() + half(pen)),
        Item::Text(t) => hull(&text_corners(t)?, 0.0),
    }
}

fn quote(page: &Page, i: usize) -> String {
    match &page.items[i] {
        Item::Text(t) => format!("\"{}\"", t.text.chars().take(40).collect::<String>()),
        other => format!("{other:?}").chars().take(60).collect(),
    }
}

fn texts(page: &Page) -> Vec<(usize, [Pt; 4], [f64; 4])> {
    let mut out = Vec::new();
    for (i, item) in page.items.iter().enumerate() {
        if let Item::Text(t) = item
            && item.is_finite()
            && let (Some(c), Some(e)) = (text_corners(t), extent(item))
        {
            out.push((i, c, e));
        }
    }
    out
}

/// Texts that touch each other, items outside the printable margin (0.25 in) and numbers that are not
/// finite. An empty list means the page is in order.
pub fn check_page(page: &Page) -> Vec<Clash> {
    let mut out = Vec::new();
    let (x1, y1) = (page.size.w - PRINT_MARGIN, page.size.h - PRINT_MARGIN);
    for (i, item) in page.items.iter().enumerate() {
        if !item.is_finite() {
            let detail = format!("{} holds a number that is not finite", quote(page, i));
            out.push(Clash {
                kind: ClashKind::NotFinite,
                item: i,
                other: None,
                detail,
            });
            continue;
        }
        if let Some([l, t, r, b]) = extent(item) {
            let over = [PRINT_MARGIN - l, PRINT_MARGIN - t, r - x1, b - y1]
                .into_iter()
                .fold(f64::MIN, f64::max);
            if over > 1e-6 {
                let detail = format!("{} reaches {over:.2} mm into the margin", quote(page, i));
                out.push(Clash {
                    kind: ClashKind::OutsideMargin,
                    item: i,
                    other: None,
                    detail,
                });
            }
        }
    }
    let mut texts = texts(page);
    texts.sort_by(|a, b| a.2[1].total_cmp(&b.2[1]));
    for (k, (i, a, ea)) in texts.iter().enumerate() {
        for (j, b, eb) in &texts[k + 1..] {
            if eb[1] > ea[3] + TEXT_CLEARANCE {
                break;
            }
            if separation(a, b) < TEXT_CLEARANCE {
                let detail = format!("{} touches {}", quote(page, *i), quote(page, *j));
                out.push(Clash {
                    kind: ClashKind::TextOnText,
                    item: *i.min(j),
                    other: Some(*i.max(j)),
                    detail,
                });
            }
        }
    }
    out
}

/// Whether a filled rectangle drawn after item `line` and before the text lies under all of the text.
fn covered(page: &Page, line: usize, text: usize, e: &[f64; 4]) -> bool {
    page.items
        .get(line + 1..text)
        .unwrap_or_default()
        .iter()
        .any(|i| match i {
            Item::Rect {
                at,
                w,
                h,
                fill: Some(_),
                ..
            } => at.x <= e[0] && at.y <= e[1] && at.x + w >= e[2] && at.y + h >= e[3],
            _ => false,
        })
}

/// Lines, polylines, outlines and circles that run through the ink of a text. A line that a filled
/// rectangle hides from the text ([`crate::Canvas::label`]) does not count.
///
/// Apart from [`check_page`] because a drawing may cross a label on purpose; a composer uses it to find
/// the ones it did not mean.
pub fn lines_through_text(page: &Page) -> Vec<Clash> {
    let mut out = Vec::new();
    let texts = texts(page);
    for (i, item) in page
        .items
        .iter()
        .enumerate()
        .filter(|(_, it)| it.is_finite())
    {
        let (segments, half) = match item {
            Item::Line { from, to, pen } => (vec![[*from, *to]], 0.5 * pen.width),
            Item::Polyline { points, pen } => (
                points.windows(2).map(|w| [w[0], w[1]]).collect(),
                0.5 * pen.width,
            ),
            Item::Polygon {
                points,
                pen: Some(pen),
                ..
            } => (closed(points), 0.5 * pen.width),
            Item::Rect {
                at,
                w,
                h,
                pen: Some(pen),
                ..
            } => (
                closed(&[
                    *at,
                    pt(at.x + w, at.y),
                    pt(at.x + w, at.y + h),
                    pt(at.x, at.y + h),
                ]),
                0.5 * pen.width,
            ),
            Item::Circle {
                centre,
                radius,
                pen: Some(pen),
                ..
            } => {
                let ring: Vec<Pt> = (0..72)
                    .map(|k| f64::from(k) * std::f64::consts::TAU / 72.0)
                    .map(|a| pt(centre.x + radius * a.cos(), centre.y + radius * a.sin()))
                    .collect();
                (closed(&ring), 0.5 * pen.width)
            }
            _ => continue,
        };
        for (j, quad, e) in &texts {
            if !covered(page, i, *j, e)
                && segments
                    .iter()
                    .any(|s| separation(s, quad) < half + LINE_CLEARANCE)
            {
                let detail = format!("{} runs through {}", quote(page, i), quote(page, *j));
                out.push(Clash {
                    kind: ClashKind::LineThroughText,
                    item: i,
                    other: Some(*j),
                    detail,
                });
            }
        }
    }
    out
}

fn closed(points: &[Pt]) -> Vec<[Pt; 2]> {
    (0..points.len())
        .map(|k| [points[k], points[(k + 1) % points.len()]])
        .collect()
}
