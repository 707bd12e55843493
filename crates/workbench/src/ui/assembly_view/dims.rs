//! Control dimensions in the drawing: line, extension lines, label.

use build::{ControlDimension, Part};
use eframe::egui::{
    Align2, Painter, Pos2, Rect, Role, Sense, Stroke, StrokeKind, Ui, Vec2, WidgetInfo, pos2, vec2,
};

use super::super::bench::{Action, Bench, Tray};
use super::super::canvas::View;
use super::super::draw::{arrow_head, dash_dot};
use super::super::handles::Face;
use super::super::theme::{bold, plain};
use super::labels::Room;
use super::words;

/// Shortest dimension that is drawn, points: a shorter one looks at the eye.
const SHORTEST: f32 = 14.0;
/// From the drawing's edge to the first dimension line, and from one to the next, points.
const FIRST: f32 = 20.0;
const NEXT: f32 = 46.0;

/// How a dimension lies in the view.
#[derive(Clone, Copy, PartialEq)]
enum Lie {
    Above,
    Below,
    Left,
    Right,
    Slanted,
}

/// A dimension with its ends on the screen.
pub(super) struct Drawn<'a> {
    d: &'a ControlDimension,
    ends: [Pos2; 2],
    /// The line itself, clear of the parts.
    line: [Pos2; 2],
    lie: Lie,
}

/// Dimensions that can be seen; `frame` is what the parts cover on the screen.
fn drawn<'a>(bench: &Bench<'a>, view: &View, face: Face, frame: Rect) -> Vec<Drawn<'a>> {
    let b = bench.build;
    let mut all: Vec<Drawn<'a>> = b
        .weld_out
        .dimensions
        .iter()
        .filter_map(|d| {
            let end = |id: &str| {
                let node = b.assembly.node(id)?;
                Some(view.at(face.flat(node.at.si())))
            };
            let ends = [end(&d.from)?, end(&d.to)?];
            let v = ends[1] - ends[0];
            if v.length() < SHORTEST {
                return None;
            }
            let mid = ends[0] + 0.5 * v;
            let lie = if v.y.abs() < 0.1 * v.x.abs() {
                if mid.y - frame.top() < frame.bottom() - mid.y {
                    Lie::Above
                } else {
                    Lie::Below
                }
            } else if v.x.abs() < 0.1 * v.y.abs() {
                if mid.x - frame.left() < frame.right() - mid.x {
                    Lie::Left
                } else {
                    Lie::Right
                }
            } else {
                Lie::Slanted
            };
            Some(Drawn {
                d,
                ends,
                line: ends,
                lie,
            })
        })
        .collect();
    // The long ones outside the short ones, the slanted ones last: they find room anywhere.
    all.sort_by(|x, y| {
        let key = |d: &Drawn<'_>| (d.lie == Lie::Slanted, (d.ends[1] - d.ends[0]).length());
        let ((a, la), (b, lb)) = (key(x), key(y));
        a.cmp(&b).then(la.total_cmp(&lb))
    });
    all
}

/// Room that dimension lines need round the drawing, points.
pub(super) fn margin(bench: &Bench<'_>, view: &View, face: Face, frame: Rect) -> Vec2 {
    let all = drawn(bench, view, face, frame);
    let most = |one: Lie, other: Lie| {
        let n = |lie: Lie| all.iter().filter(|x| x.lie == lie).count();
        match n(one).max(n(other)).min(3) {
            0 => 26.0,
            k => FIRST + NEXT * k as f32,
        }
    };
    vec2(
        most(Lie::Left, Lie::Right).max(46.0),
        most(Lie::Above, Lie::Below),
    )
}

/// Draws their lines; labels come later, over everything.
pub(super) fn lines<'a>(
    painter: &Painter,
    bench: &Bench<'a>,
    view: &View,
    face: Face,
    frame: Rect,
    room: &mut Room,
) -> Vec<Drawn<'a>> {
    let p = bench.palette;
    let mut levels = [0.0_f32; 4];
    let mut all = drawn(bench, view, face, frame);
    for x in &mut all {
        let chosen = bench.selected == Some(&Part::Dimension(x.d.id.clone()));
        let stroke = Stroke::new(if chosen { 2.4 } else { 1.3 }, p.hundred);
        let mut shifted = |k: usize, edge: f32, sign: f32, low: f32, high: f32| {
            let at = (edge + sign * (FIRST + NEXT * levels[k])).clamp(low.min(high), high.max(low));
            levels[k] += 1.0;
            at
        };
        let (top, bottom) = (view.rect.top() + 44.0, view.rect.bottom() - 44.0);
        let (left, right) = (view.rect.left() + 24.0, view.rect.right() - 24.0);
        let [a, b] = match x.lie {
            Lie::Above => {
                let y = shifted(0, frame.top(), -1.0, top, bottom);
                x.ends.map(|e| pos2(e.x, y))
            }
            Lie::Below => {
                let y = shifted(1, frame.bottom(), 1.0, top, bottom);
                x.ends.map(|e| pos2(e.x, y))
            }
            Lie::Left => {
                let at = shifted(2, frame.left(), -1.0, left, right);
                x.ends.map(|e| pos2(at, e.y))
            }
            Lie::Right => {
                let at = shifted(3, frame.right(), 1.0, left, right);
                x.ends.map(|e| pos2(at, e.y))
            }
            Lie::Slanted => x.ends,
        };
        if x.lie == Lie::Slanted {
            dash_dot(painter, &[a, b], stroke);
        } else {
            for (node, at) in x.ends.into_iter().zip([a, b]) {
                let d = at - node;
                if d.length() > 10.0 {
                    let d = d.normalized();
                    let thin = Stroke::new(1.0, p.hundred);
                    painter.line_segment([node + d * 9.0, at + d * 5.0], thin);
                }
            }
            painter.line_segment([a, b], stroke);
            let along = (b - a).normalized();
            arrow_head(painter, a, -along, 7.0, p.hundred);
            arrow_head(painter, b, along, 7.0, p.hundred);
        }
        room.stroke(a, b, 2.0);
        x.line = [a, b];
    }
    all
}

/// The label of a dimension: where there is room, or none.
#[expect(
    clippy::too_many_arguments,
    reason = "a layer of one drawing: call sites read in order"
)]
pub(super) fn label(
    ui: &mut Ui,
    painter: &Painter,
    bench: &Bench<'_>,
    view: &View,
    x: &Drawn<'_>,
    room: &mut Room,
    clickable: bool,
    tray: &mut Tray,
) {
    let p = bench.palette;
    let [a, b] = x.line;
    let chosen = bench.selected == Some(&Part::Dimension(x.d.id.clone()));
    let (first, second, verdict) = words::dimension(bench, x.d);
    let short = words::measured(x.d.want.si(), bench.shop());
    let lay = |text: &str, font| painter.layout_no_wrap(text.to_owned(), font, p.ink);
    let mut found = None;
    // Both lines, then the wanted size alone, then nothing.
    for full in [true, false] {
        let head = lay(if full { &first } else { &short }, bold(11.5));
        let below = full.then(|| {
            let font = plain(11.0);
            painter.layout_no_wrap(second.clone(), font, verdict.colour(bench))
        });
        let wide = below.as_ref().map_or(0.0, |g| g.size().x);
        let high = below.as_ref().map_or(0.0, |g| g.size().y + 1.0);
        let size = vec2(head.size().x.max(wide) + 14.0, head.size().y + high + 6.0);
        let places = places(view, x.lie, [a, b], size);
        let place = if x.lie == Lie::Slanted {
            // Rather the size alone beside the parts than both lines over them.
            room.clearest(&places, chosen || !full)
        } else {
            room.first(places)
        };
        if let Some(rect) = place {
            found = Some((rect, head, below));
            break;
        }
    }
    let Some((rect, head, below)) = found else {
        return;
    };
    if x.lie == Lie::Slanted && !rect.expand(3.0).contains(nearest(a, b, rect.center())) {
        let to = nearest(a, b, rect.center());
        let thin = Stroke::new(1.0, p.hundred);
        painter.line_segment([rect.clamp(to), to], thin);
        painter.circle_filled(to, 2.0, p.hundred);
    }
    let line = Stroke::new(if chosen { 2.2 } else { 1.1 }, p.hundred);
    painter.rect(rect, 4, p.ground, line, StrokeKind::Inside);
    let at = pos2(rect.center().x, rect.top() + 3.0);
    let used = Align2::CENTER_TOP.anchor_size(at, head.size());
    painter.galley(used.min, head, p.ink);
    if let Some(below) = below {
        let at = pos2(rect.center().x, used.bottom() + 1.0);
        let place = Align2::CENTER_TOP.anchor_size(at, below.size());
        painter.galley(place.min, below, p.ink);
    }
    let id = eframe::egui::Id::unique(("assembly dimension", &x.d.id));
    let sense = if clickable {
        Sense::click()
    } else {
        Sense::hover()
    };
    let r = ui.interact(rect, id, sense);
    r.widget_info(|| {
        let name = format!("Dimension {}", x.d.id);
        let mut info = WidgetInfo::labeled(Role::Button, true, name);
        info.current_text_value = Some(format!("{first}; {second}"));
        info
    });
    if r.clicked() {
        tray.put(Action::Select(Part::Dimension(x.d.id.clone())));
    }
}

fn nearest(a: Pos2, b: Pos2, q: Pos2) -> Pos2 {
    let d = b - a;
    let t = ((q - a).dot(d) / d.length_sq().max(1e-6)).clamp(0.0, 1.0);
    a + d * t
}

/// Where a label may stand, best first.
fn places(view: &View, lie: Lie, [a, b]: [Pos2; 2], size: Vec2) -> Vec<Rect> {
    let mut out = Vec::new();
    let at = |t: f32| a + (b - a) * t;
    let sheet = view.rect.shrink(4.0);
    let mut put = |c: Pos2| {
        // A label at the edge is pushed in.
        let half = 0.5 * size;
        let low = sheet.min + half;
        let high = (sheet.max - half).max(low);
        out.push(Rect::from_center_size(c.clamp(low, high), size));
    };
    let fractions = [0.5, 0.32, 0.68, 0.18, 0.82];
    if lie == Lie::Slanted {
        // Near the line before far from it.
        for far in [0.0, 30.0, 60.0, 100.0, 150.0, 210.0, 280.0] {
            for c in fractions.map(at) {
                let side = if c.x > view.rect.center().x {
                    1.0
                } else {
                    -1.0
                };
                put(c + vec2(side * (0.5 * size.x + 8.0 + far), 0.0));
                put(c + vec2(side * far, -0.5 * size.y - 8.0 - 0.4 * far));
                put(c + vec2(side * far, 0.5 * size.y + 8.0 + 0.4 * far));
                put(c - vec2(side * (0.5 * size.x + 8.0 + far), 0.0));
            }
        }
    }
    for c in fractions.map(at) {
        match lie {
            Lie::Above => put(c - vec2(0.0, 0.5 * size.y + 4.0)),
            Lie::Below => put(c + vec2(0.0, 0.5 * size.y + 4.0)),
            Lie::Left => put(c - vec2(0.5 * size.x + 4.0, 0.0)),
            Lie::Right => put(c + vec2(0.5 * size.x + 4.0, 0.0)),
            Lie::Slanted => {}
        }
    }
    for t in [0.5, 0.3, 0.7] {
        put(at(t));
        for up in [1.0, 2.0, 3.0] {
            put(at(t) - vec2(0.0, up * (size.y + 4.0)));
            put(at(t) + vec2(0.0, up * (size.y + 4.0)));
        }
    }
    out
}
