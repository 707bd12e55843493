//! What can be taken hold of: the corners of the body around the wheels, and the bump stop.

use build::points::{DrawnPoint, POINTS};
use build::{BodyBox, Build, Edit, NearWheel, Place, RollingEdit};
use eframe::egui::{Id, Stroke, Ui, vec2};
use units::Kind;

use super::super::bench::{Action, Bench, Tray};
use super::super::canvas::{self, Moved, View};
use super::super::drawn_points;
use super::super::handles::{Face, Grab, Hand, moved_place};

/// A corner of a part of the body: the rear, inner, lower one, or the other.
struct Corner<'a> {
    of: &'a BodyBox,
    low: bool,
    name: String,
    at: [f64; 3],
    id: Id,
}

fn corners(b: &Build, face: Face) -> impl Iterator<Item = Corner<'_>> {
    let body = b.mock_up.iter().flat_map(|m| &m.body);
    let rear = body.filter(|x| x.near == NearWheel::Rear);
    rear.flat_map(move |of| {
        [
            (true, of.from, "lower inner corner"),
            (false, of.to, "upper outer corner"),
        ]
        .map(|(low, at, word)| Corner {
            name: format!("{}, {word}", of.label),
            at: at.si(),
            id: Id::unique(("mock-up", face, &of.id, low)),
            of,
            low,
        })
    })
}

fn bump_stop() -> impl Iterator<Item = &'static DrawnPoint> {
    POINTS.iter().filter(|p| p.id.starts_with("mock_up."))
}

/// Reads last frame's handles.
pub(super) fn read(hand: &Hand<'_>, face: Face, view: &View, grab: &mut Grab, tray: &mut Tray) {
    for c in corners(hand.build, face) {
        let moved = grab.read(hand.ctx, view, c.id, face.flat(c.at));
        if moved == Moved::default() {
            continue;
        }
        if moved.picked {
            tray.put(Action::Select(build::Part::Body(c.of.id.clone())));
        }
        if moved.began {
            tray.put(Action::BeginGesture);
        }
        if let Some(to) = moved_place(hand.shop, hand.snap, face, c.at, &moved) {
            let x = corner(c.of.clone(), c.low, to);
            tray.edit(Edit::Rolling(RollingEdit::PutBody(x)));
        }
        if moved.ended {
            tray.put(Action::EndGesture);
        }
    }
    drawn_points::read(hand, bump_stop(), face, view, grab, tray);
}

/// A part with one corner moved; a corner taken past the other stops at it.
pub(super) fn corner(mut x: BodyBox, low: bool, to: Place) -> BodyBox {
    let (from, past) = (x.from.si(), x.to.si());
    let to = to.si();
    if low {
        x.from = Place::from_si(std::array::from_fn(|k| to[k].min(past[k])));
    } else {
        x.to = Place::from_si(std::array::from_fn(|k| to[k].max(from[k])));
    }
    x
}

/// Lays the handles over the drawing.
pub(super) fn lay(ui: &mut Ui, bench: &Bench<'_>, view: &View, face: Face) {
    let p = bench.palette;
    let painter = ui.painter().with_clip_rect(view.rect);
    for x in corners(bench.build, face) {
        let at = face.flat(x.at);
        let value = {
            let length = |v| bench.kept(Kind::Length, v);
            format!(
                "{}, {} out, {} up",
                bench.ahead(x.at[0]),
                length(x.at[1]),
                length(x.at[2])
            )
        };
        let (hovered, held) = canvas::lay(ui, view, x.id, at, vec2(16.0, 16.0), &x.name, &value);
        let r = if hovered || held { 5.5 } else { 3.5 };
        painter.circle(
            view.at(at),
            r,
            p.ground,
            Stroke::new(1.6, if held { p.accent } else { p.ink }),
        );
    }
    drawn_points::lay(ui, &painter, bench, bump_stop(), view, face);
}
