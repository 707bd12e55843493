//! Points of the points' table as handles: what moving them means, and how they look.

use build::points::DrawnPoint;
use build::{Edit, Part, RollingEdit};
use eframe::egui::{Align2, Id, Painter, Stroke, Ui, vec2};
use units::Kind;

use super::bench::{Action, Bench, Tray};
use super::canvas::{self, Moved, View};
use super::draw::text_on;
use super::handles::{Face, Grab, Hand, moved_place};
use super::theme::plain;

fn id_of(p: &DrawnPoint, face: Face) -> Id {
    Id::unique(("drawn point", face, p.id))
}

/// What choosing a point chooses.
fn part_of(p: &DrawnPoint) -> Part {
    if p.id.starts_with("power.driveshaft.") {
        Part::Driveshaft
    } else {
        Part::Field(p.id)
    }
}

/// Reads these points' handles as they were laid last frame.
pub fn read(
    hand: &Hand<'_>,
    points: impl Iterator<Item = &'static DrawnPoint>,
    face: Face,
    view: &View,
    grab: &mut Grab,
    tray: &mut Tray,
) {
    for p in points {
        let Some(at) = (p.get)(hand.build).map(|at| at.si()) else {
            continue;
        };
        let moved = grab.read(hand.ctx, view, id_of(p, face), face.flat(at));
        if moved == Moved::default() {
            continue;
        }
        if moved.picked {
            tray.put(Action::Select(part_of(p)));
        }
        if moved.began {
            tray.put(Action::BeginGesture);
        }
        if let Some(to) = moved_place(hand.shop, hand.snap, face, at, &moved) {
            let point = p.id.to_owned();
            tray.edit(Edit::Rolling(RollingEdit::Move { point, to }));
        }
        if moved.ended {
            tray.put(Action::EndGesture);
        }
    }
}

/// Lays and paints the handles; the one in hand says where it is.
pub fn lay(
    ui: &mut Ui,
    painter: &Painter,
    bench: &Bench<'_>,
    points: impl Iterator<Item = &'static DrawnPoint>,
    view: &View,
    face: Face,
) {
    let p = bench.palette;
    let mut callout = None;
    for point in points {
        let Some(at) = (point.get)(bench.build).map(|at| at.si()) else {
            continue;
        };
        let length = |v| bench.kept(Kind::Length, v);
        let [x, y, z] = at;
        let said = match face {
            Face::Side => format!("{} · {} up", bench.ahead(x), length(z)),
            Face::Plan => format!("{} · {} out", bench.ahead(x), length(y)),
            _ => format!("{} out · {} up", length(y), length(z)),
        };
        let flat = face.flat(at);
        let id = id_of(point, face);
        let (hovered, held) = canvas::lay(ui, view, id, flat, vec2(16.0, 16.0), point.label, &said);
        let centre = view.at(flat);
        let marked = matches!(bench.selected, Some(Part::Field(id)) if *id == point.id);
        let radius = if hovered || held || marked { 6.5 } else { 4.5 };
        let fill = if held { p.accent } else { p.ground };
        painter.circle(centre, radius, fill, Stroke::new(1.8, p.accent));
        if hovered || (held && callout.is_none()) {
            callout = Some((centre, format!("{}  {said}", point.label)));
        }
    }
    if let Some((at, words)) = callout {
        let right = at.x > view.rect.center().x;
        let (anchor, aside) = if right {
            (Align2::RIGHT_BOTTOM, -10.0)
        } else {
            (Align2::LEFT_BOTTOM, 10.0)
        };
        let at = at + vec2(aside, -10.0);
        text_on(painter, at, anchor, &words, plain(12.0), p.ink, p.panel);
    }
}
