//! How handles look: laid on a drawing, painted, told apart by a callout.

use build::{Build, LinkRole};
use eframe::egui::{Painter, Pos2, Rect, Stroke, StrokeKind, Ui, vec2};

use super::bench::Bench;
use super::canvas::{self, View};
use super::handles::{Face, Handle, Placed, describe};
use super::power_page::Carriage;
use super::rear_draw::colour_of;
use super::theme::{bold, plain};

/// Lays and paints handles of a face, in a pose where it carries them; only these wear the accent.
pub(super) fn lay(
    ui: &mut Ui,
    painter: &Painter,
    bench: &Bench<'_>,
    view: &View,
    face: Face,
    placed: &[Placed],
    carriage: Option<&Carriage>,
) {
    let p = bench.palette;
    let mut callout = None;
    for h in placed {
        let (first, second) = describe(bench.build, bench.shop(), h, face);
        let (size, value) = match &h.handle {
            Handle::End { .. } => (vec2(18.0, 18.0), format!("{first}; {second}")),
            Handle::Bracket { bracket } => {
                let count = bench
                    .build
                    .rear
                    .bracket(bracket)
                    .map_or(1, build::Bracket::hole_count);
                let size = if count < 2 {
                    vec2(20.0, 20.0)
                } else {
                    vec2(16.0, 16.0)
                };
                (size, second.clone())
            }
            Handle::Eye { .. } => (vec2(16.0, 16.0), second.clone()),
        };
        let grip = stands(bench.build, view, face, h, carriage);
        let (hovered, held) = canvas::lay(ui, view, h.id, grip, size, &h.name, &value);
        let centre = view.at(grip);
        match &h.handle {
            Handle::End { link, .. } => {
                let role = bench
                    .build
                    .rear
                    .link(link)
                    .map_or(LinkRole::Upper, |l| l.role);
                let r = if hovered || held { 8.0 } else { 6.0 };
                painter.circle(
                    centre,
                    r,
                    if held { p.accent } else { p.ground },
                    Stroke::new(2.2, p.accent),
                );
                if !held {
                    painter.circle_filled(centre, 2.0, colour_of(bench, role));
                }
            }
            Handle::Bracket { .. } => {
                let square = Rect::from_center_size(centre, vec2(9.0, 9.0));
                painter.rect(
                    square,
                    1,
                    if held || hovered { p.accent } else { p.ground },
                    Stroke::new(1.6, p.accent),
                    StrokeKind::Middle,
                );
            }
            Handle::Eye { .. } => {
                let r = if hovered || held { 7.0 } else { 5.0 };
                painter.circle(
                    centre,
                    r,
                    if held { p.accent } else { p.ground },
                    Stroke::new(1.8, p.accent),
                );
            }
        }
        if hovered || (held && callout.is_none()) {
            callout = Some((centre, first, second));
        }
    }
    if let Some((centre, first, second)) = callout {
        draw_callout(painter, bench, view, centre, &first, &second);
    }
}

/// Where a handle stands in the drawing.
pub(super) fn stands(
    b: &Build,
    view: &View,
    face: Face,
    h: &Placed,
    carriage: Option<&Carriage>,
) -> [f64; 2] {
    let at = face.flat(h.at);
    let q = match &h.handle {
        Handle::End { .. } | Handle::Eye { .. } => at,
        Handle::Bracket { bracket } => grip(b, bracket, view, face).unwrap_or(at),
    };
    match carriage {
        Some(c) => face.flat(c.carry(h.on, face.lift(q, h.at))),
        None => q,
    }
}

/// A bracket is held by a square at its foot, clear of the holes.
fn grip(b: &Build, bracket: &str, view: &View, face: Face) -> Option<[f64; 2]> {
    let x = b.rear.bracket(bracket)?;
    let first = face.flat(x.hole(1)?.si());
    if x.hole_count() < 2 || face != Face::Side {
        return Some(first);
    }
    let last = face.flat(x.hole(x.hole_count())?.si());
    let d = [last[0] - first[0], last[1] - first[1]];
    let n = d[0].hypot(d[1]).max(1e-9);
    let back = (0.5 * x.plate_width.si()).max(view.metres(6.0)) + view.metres(7.0);
    Some([first[0] - d[0] / n * back, first[1] - d[1] / n * back])
}

fn draw_callout(
    painter: &Painter,
    bench: &Bench<'_>,
    view: &View,
    at: Pos2,
    first: &str,
    second: &str,
) {
    let p = bench.palette;
    let a = painter.layout_no_wrap(first.to_owned(), bold(12.0), p.ink);
    let b = painter.layout_no_wrap(second.to_owned(), plain(12.0), p.dim);
    let size = vec2(
        a.size().x.max(b.size().x) + 18.0,
        a.size().y + b.size().y + 14.0,
    );
    let mut min = at + vec2(20.0, -size.y - 14.0);
    if min.x + size.x > view.rect.right() - 4.0 {
        min.x = at.x - size.x - 20.0;
    }
    min.x = min.x.max(view.rect.left() + 4.0);
    min.y = min.y.clamp(
        view.rect.top() + 4.0,
        (view.rect.bottom() - size.y - 4.0).max(view.rect.top() + 4.0),
    );
    let rect = Rect::from_min_size(min, size);
    painter.rect(
        rect,
        5,
        p.panel,
        Stroke::new(1.3, p.accent),
        StrokeKind::Inside,
    );
    let drop = a.size().y;
    painter.galley(rect.min + vec2(9.0, 6.0), a, p.ink);
    painter.galley(rect.min + vec2(9.0, 8.0 + drop), b, p.dim);
}
