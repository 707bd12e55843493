//! Strokes of the assembly: tubes, plates, bead ticks, joints' balloons, nodes' rings.

use build::{Correction, Face as TubeFace, Part, Tube};
use eframe::egui::{
    self, Align2, Painter, Pos2, Rect, Role, Sense, Shape, Stroke, Ui, Vec2, WidgetInfo, vec2,
};

use super::super::bench::{Action, Bench, Tray};
use super::super::canvas::View;
use super::super::draw::dashed;
use super::super::handles::Face;
use super::super::theme::bold;
use super::labels::Room;
use super::scene::{
    Flat, Scene, Solid, along, axes, dot, is_convex, length, sub, toward_eye, unit,
};
use super::solid::Piece;
use super::tint::{Tint, Tints};
use super::{Marks, Spot};

/// Radius of a joint's balloon, points.
const BALLOON: f32 = 10.5;
/// From bead to bead on the drawing, m.
const PITCH: f64 = 0.012_7;

/// Tubes and plates, far ones first.
pub(super) fn solids(
    painter: &Painter,
    bench: &Bench<'_>,
    view: &View,
    scene: &Scene<'_>,
    tints: Option<&Tints>,
) {
    let p = bench.palette;
    for (i, k) in &scene.order {
        let Some(s) = scene.solids.get(*i) else {
            continue;
        };
        let chosen = bench.selected == Some(&s.part());
        match s {
            Solid::Tube(x) => {
                let Some(piece) = x.pieces.get(*k) else {
                    continue;
                };
                let tint = tints.map(|t| t.of(&x.tube.id));
                stretch(painter, bench, view, piece, chosen, tint);
            }
            Solid::Plate(x) => {
                let edge = Stroke::new(if chosen { 2.4 } else { 1.4 }, p.chalk);
                let points: Vec<Pos2> = x.outline.iter().map(|q| view.at(*q)).collect();
                if is_convex(&x.outline) {
                    painter.add(Shape::convex_polygon(points, p.faint(p.chalk, 0.14), edge));
                } else {
                    painter.add(Shape::closed_line(points, edge));
                }
            }
        }
    }
    for s in &scene.solids {
        let Solid::Tube(x) = s else { continue };
        if bench.selected != Some(&s.part()) {
            continue;
        }
        let line: Vec<Pos2> = x
            .centreline()
            .iter()
            .map(|e| view.at(scene.face.flat(*e)))
            .collect();
        dashed(painter, &line, Stroke::new(1.2, p.ink), 7.0, 4.0);
    }
}

/// One stretch of a tube.
fn stretch(
    painter: &Painter,
    bench: &Bench<'_>,
    view: &View,
    piece: &Piece,
    chosen: bool,
    tint: Option<Tint>,
) {
    let p = bench.palette;
    let (colour, share) = match tint {
        Some(t) => (t.colour, 0.62),
        None => (p.chalk, 0.22),
    };
    let share = if chosen { share + 0.14 } else { share };
    let line = if chosen { p.ink } else { p.chalk };
    let wide = match (chosen, tint) {
        (true, _) => 2.4,
        (false, Some(t)) => t.wide,
        (false, None) => 1.4,
    };
    let edge = Stroke::new(wide, line);
    let on_screen = |all: &[Flat]| -> Vec<Pos2> { all.iter().map(|q| view.at(*q)).collect() };
    let fill = |all: &[Flat], share: f32, stroke: Stroke| {
        let points = on_screen(all);
        if points.len() > 2 {
            // A hair larger: no seam shows between two stretches.
            painter.add(Shape::convex_polygon(
                grown(points, 0.6),
                p.faint(colour, share),
                stroke,
            ));
        }
    };
    if let Some(end) = &piece.far_end {
        painter.add(Shape::closed_line(on_screen(end), edge));
    }
    if piece.sides.is_empty() {
        fill(&piece.cover, share, Stroke::NONE);
    }
    for (side, light) in &piece.sides {
        fill(side, share * (0.62 + 0.55 * light), Stroke::NONE);
    }
    for ends in &piece.edges {
        painter.line_segment(ends.map(|q| view.at(q)), edge);
    }
    if let Some(ends) = piece.seam {
        let thin = Stroke::new(1.0, line.gamma_multiply(0.6));
        painter.line_segment(ends.map(|q| view.at(q)), thin);
    }
    if let Some(end) = &piece.near_end {
        fill(end, 0.45 * share, edge);
    }
}

/// A convex outline, its corners moved out by `by` points.
fn grown(points: Vec<Pos2>, by: f32) -> Vec<Pos2> {
    let n = points.len().max(1) as f32;
    let sum = points.iter().fold(Vec2::ZERO, |a, p| a + p.to_vec2());
    let middle = (sum / n).to_pos2();
    points
        .into_iter()
        .map(|p| p + (p - middle).normalized() * by)
        .collect()
}

/// Ticks on the tubes' faces for correction beads: laid, and to come.
pub(super) fn beads(
    painter: &Painter,
    bench: &Bench<'_>,
    view: &View,
    scene: &Scene<'_>,
    marks: &Marks<'_>,
) {
    let p = bench.palette;
    for c in &bench.build.weld_out.corrections {
        for site in &c.sites {
            let tube = scene.solids.iter().find_map(|s| match s {
                Solid::Tube(x) if x.tube.id == site.tube => Some(x),
                _ => None,
            });
            let Some(x) = tube else {
                continue;
            };
            let ends = x.ends();
            let Some(d) = unit(sub(ends[1], ends[0])) else {
                continue;
            };
            let long = length(sub(ends[1], ends[0]));
            let laid = laid_on(c, &site.tube);
            let to_come = marks
                .to_come
                .iter()
                .filter(|b| b.correction == c.id && b.tube == site.tube)
                .map(|b| b.beads)
                .sum::<u32>();
            let chosen = bench.selected == Some(&Part::Correction(c.id.clone()));
            // As many as the tube has room for.
            for k in 0..laid.saturating_add(to_come).min(24) {
                let s = site.at.si() + f64::from(k) * PITCH;
                if s > long {
                    break;
                }
                let at = along(ends[0], d, s);
                let stroke = match (k < laid, chosen) {
                    (true, true) => Stroke::new(5.0, p.good),
                    (true, false) => Stroke::new(3.6, p.good),
                    (false, _) => Stroke::new(2.4, p.accent),
                };
                let Some(line) = tick(view, scene.face, x.tube, ends, at, site.face) else {
                    continue;
                };
                if k < laid {
                    painter.line_segment(line, stroke);
                } else {
                    dashed(painter, &line, stroke, 4.0, 2.5);
                }
            }
        }
    }
}

fn laid_on(c: &Correction, tube: &str) -> u32 {
    let on = c.laid.iter().filter(|r| r.on == tube);
    on.fold(0_u32, |n, r| n.saturating_add(r.beads))
}

/// A tick where a bead on a face shows; none where the tube hides it.
fn tick(
    view: &View,
    face: Face,
    tube: &Tube,
    ends: [[f64; 3]; 2],
    at: [f64; 3],
    on: TubeFace,
) -> Option<[Pos2; 2]> {
    let [x, ..] = axes(tube, ends[0], ends[1], face);
    let wanted = on.direction();
    // Across the tube only: a face that looks along it has no place on it.
    let out = unit(along(wanted, x, -dot(wanted, x)))?;
    if dot(out, toward_eye(face)) < -0.5 {
        return None;
    }
    let r = tube.section.reach();
    let edge = view.at(face.flat(along(at, out, r)));
    let axis = view.at(face.flat(along(at, x, 0.01))) - view.at(face.flat(at));
    if axis.length() < 1e-3 {
        return None;
    }
    let n = axis.normalized().rot90() * 7.0;
    Some([edge - n, edge + n])
}

/// How a joint stands.
#[derive(Clone, Copy, PartialEq)]
enum State {
    Rejected,
    Welded,
    Next,
    Waiting,
}

/// Numbered balloons beside the joints' nodes.
#[expect(
    clippy::too_many_arguments,
    reason = "a layer of one drawing: call sites read in order"
)]
pub(super) fn balloons(
    ui: &mut Ui,
    painter: &Painter,
    bench: &Bench<'_>,
    view: &View,
    scene: &Scene<'_>,
    marks: &Marks<'_>,
    room: &mut Room,
    clickable: bool,
    tray: &mut Tray,
) {
    let p = bench.palette;
    let middle = scene.bounds().map_or(view.rect.center(), |(low, high)| {
        view.at([0.5 * (low[0] + high[0]), 0.5 * (low[1] + high[1])])
    });
    let mut over = Vec::new();
    let mut told = None;
    for (j, node) in &scene.joints {
        let at = view.at(scene.face.flat(node.at.si()));
        if !view.rect.contains(at) {
            continue;
        }
        let number = marks.order.iter().position(|id| *id == j.id);
        let judged = bench.study.fit_up.joints.iter().find(|s| s.id == j.id);
        let rejected = judged.is_some_and(|s| {
            let fit = s.judged.as_ref();
            fit.is_ok_and(|f| f.verdict == weld::Verdict::Reject)
        });
        let (state, word) = if rejected {
            (State::Rejected, "gap rejected")
        } else if j.welded.is_some() {
            (State::Welded, "welded")
        } else if marks.next == Some(j.id.as_str()) {
            (State::Next, "next")
        } else {
            (State::Waiting, "to be welded")
        };
        let mut text = number.map_or_else(|| "·".to_owned(), |n| (n + 1).to_string());
        if state == State::Rejected {
            text.push('!');
        }
        let r = if text.len() > 2 {
            BALLOON + 2.5
        } else {
            BALLOON
        };
        let size = Vec2::splat(2.0 * r + 1.0);
        let Some(rect) = room.beside(at, size, at - middle, r + 9.0) else {
            continue;
        };
        let c = rect.center();
        let chosen = bench.selected == Some(&Part::Joint(j.id.clone()));
        let (line, fill, ink) = match state {
            State::Rejected => (p.bad, p.ground, p.bad),
            State::Welded => (p.good, p.ground, p.ink),
            State::Next => (p.accent, p.accent, p.on_accent),
            State::Waiting => (p.chalk, p.ground, p.ink),
        };
        let to = at + (c - at).normalized() * 5.5;
        painter.line_segment([to, c], Stroke::new(1.2, line));
        let wide = if chosen { 3.4 } else { 1.8 };
        // Over every leader.
        over.push(Shape::circle_filled(c, r, fill));
        over.push(Shape::circle_stroke(c, r, Stroke::new(wide, line)));
        let text = painter.layout_no_wrap(text, bold(11.5), ink);
        let place = Align2::CENTER_CENTER.anchor_size(c, text.size());
        over.push(Shape::galley(place.min, text, ink));
        let id = egui::Id::unique(("assembly joint", &j.id));
        let r = ui.interact(rect, id, sense(clickable));
        r.widget_info(|| {
            let mut info = WidgetInfo::labeled(Role::Button, true, format!("Joint {}", j.id));
            info.current_text_value = Some(format!("{}, {word}", j.label));
            info
        });
        if r.hovered() {
            told = Some((c, &j.label, word));
        }
        if r.clicked() {
            tray.put(Action::Select(Part::Joint(j.id.clone())));
        }
    }
    painter.extend(over);
    if let Some((c, label, word)) = told {
        super::callout(painter, bench, view, c, label, word);
    }
}

fn sense(clickable: bool) -> Sense {
    if clickable {
        Sense::click()
    } else {
        Sense::hover()
    }
}

/// A named place in the middle of each tube and plate, for keys and ears; the whole part can be clicked.
pub(super) fn grips(
    ui: &mut Ui,
    bench: &Bench<'_>,
    view: &View,
    scene: &Scene<'_>,
    clickable: bool,
    tray: &mut Tray,
) {
    let p = bench.palette;
    for s in &scene.solids {
        let part = s.part();
        let (name, value, middle) = match s {
            Solid::Tube(x) => (
                format!("Tube {}", x.tube.id),
                &x.tube.label,
                scene.face.flat(x.middle()),
            ),
            Solid::Plate(x) => {
                let n = x.outline.len().max(1) as f64;
                let sum = x
                    .outline
                    .iter()
                    .fold([0.0, 0.0], |a, q| [a[0] + q[0], a[1] + q[1]]);
                (
                    format!("Plate {}", x.plate.id),
                    &x.plate.label,
                    sum.map(|v| v / n),
                )
            }
        };
        let rect = Rect::from_center_size(view.at(middle), vec2(10.0, 10.0)).intersect(view.rect);
        if !rect.is_positive() {
            continue;
        }
        let r = ui.interact(
            rect,
            egui::Id::unique(("assembly part", &name)),
            sense(clickable),
        );
        r.widget_info(|| {
            let mut info = WidgetInfo::labeled(Role::Button, true, &name);
            info.current_text_value = Some(value.clone());
            info
        });
        if r.has_focus() {
            let focus = Stroke::new(1.4, p.accent);
            ui.painter()
                .rect_stroke(rect, 2, focus, egui::StrokeKind::Outside);
        }
        if r.clicked() {
            tray.put(Action::Select(part));
        }
    }
}

/// Rings of the nodes.
pub(super) fn node(painter: &Painter, bench: &Bench<'_>, at: Pos2, spot: Spot) {
    let p = bench.palette;
    let (r, fill) = match spot {
        Spot::Plain => (4.2, p.ground),
        Spot::Hovered => (6.0, p.ground),
        Spot::Held => (6.0, p.accent),
    };
    painter.circle(at, r, fill, Stroke::new(1.8, p.accent));
}
