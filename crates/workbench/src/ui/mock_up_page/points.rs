//! What can be taken hold of: the corners of the body around the wheels, and the bump stop.

use build::{BodyBox, Build, Edit, NearWheel, Place, RollingEdit, points};
use eframe::egui::{Id, Stroke, Ui, Vec2, vec2};
use units::Kind;

use super::super::bench::{Action, Bench, Tray};
use super::super::canvas::{self, Moved, View};
use super::super::handles::{Face, Hand, moved_place};

/// What a handle is.
enum What {
    /// A corner of a part of the body: the rear, inner, lower one, or the other.
    Corner(BodyBox, bool),
    /// A point of the points' table.
    Drawn(&'static points::DrawnPoint),
}

struct Point {
    what: What,
    name: String,
    at: [f64; 3],
    id: Id,
}

fn all(b: &Build, face: Face) -> Vec<Point> {
    let mut out = Vec::new();
    let body = b.mock_up.iter().flat_map(|m| &m.body);
    for x in body.filter(|x| x.near == NearWheel::Rear) {
        for (low, at, word) in [
            (true, x.from, "lower inner corner"),
            (false, x.to, "upper outer corner"),
        ] {
            out.push(Point {
                name: format!("{}, {word}", x.label),
                at: at.si(),
                id: Id::unique(("mock-up", face, &x.id, low)),
                what: What::Corner(x.clone(), low),
            });
        }
    }
    for p in points::POINTS
        .iter()
        .filter(|p| p.id.starts_with("mock_up."))
    {
        if let Some(at) = (p.get)(b) {
            out.push(Point {
                name: p.label.to_owned(),
                at: at.si(),
                id: Id::unique(("mock-up", face, p.id)),
                what: What::Drawn(p),
            });
        }
    }
    out
}

/// Reads last frame's handles.
pub(super) fn read(
    hand: &Hand<'_>,
    face: Face,
    view: &View,
    grab: &mut Option<Vec2>,
    tray: &mut Tray,
) {
    for p in all(hand.build, face) {
        let moved = canvas::read(hand.ctx, view, p.id, grab, face.flat(p.at));
        if moved == Moved::default() {
            continue;
        }
        if moved.picked
            && let What::Corner(x, _) = &p.what
        {
            tray.put(Action::Select(build::Part::Body(x.id.clone())));
        }
        if moved.began {
            tray.put(Action::BeginGesture);
        }
        if let Some(to) = moved_place(hand.shop, hand.snap, face, p.at, &moved) {
            tray.edit(Edit::Rolling(match p.what {
                What::Drawn(x) => RollingEdit::Move {
                    point: x.id.to_owned(),
                    to,
                },
                What::Corner(x, low) => RollingEdit::PutBody(corner(x, low, to)),
            }));
        }
        if moved.ended {
            tray.put(Action::EndGesture);
        }
    }
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
    for x in all(bench.build, face) {
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
}
