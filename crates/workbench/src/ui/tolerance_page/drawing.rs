//! The dimensions that matter most on a side view: a numbered flag at the bracket, an arrow along
//! the coordinate.

use build::{Along, Build, LinkRole, Matter, Misplaced, PlacementStudy, Side};
use eframe::egui::{self, Painter, Pos2, Rect, Role, Sense, Stroke, Ui, Vec2, WidgetInfo, vec2};

use super::super::bench::Bench;
use super::super::canvas::{self, View};
use super::super::draw::{arrow_head, dashed, text_on};
use super::super::handles::{Face, is_bar};
use super::super::rear_draw::{brackets, colour_of};
use super::super::theme::plain;
use super::Shown;
use super::most::{NAMED, along_word, disc, name_of};

/// Half an arrow, points.
const ARM: f32 = 24.0;

/// The side view. With a `height` it stands in a page that scrolls, and keeps still itself.
pub(super) fn side(
    ui: &mut Ui,
    bench: &Bench<'_>,
    view: &mut View,
    shown: &Shown,
    study: &PlacementStudy,
    figure: Misplaced,
    height: Option<f32>,
) {
    let most = study.most(figure, NAMED);
    let (response, painter) = match height {
        Some(h) => {
            let size = vec2(ui.available_width(), h);
            let (r, painter) = ui.allocate_painter(size, Sense::hover());
            view.rect = r.rect;
            view.fit = true;
            (r, painter)
        }
        None => canvas::begin(ui, "Side view of what matters most", view),
    };
    response.widget_info(|| {
        let name = "Side view of what matters most";
        let mut info = WidgetInfo::labeled(Role::Canvas, true, name);
        let flags: Vec<String> = most
            .iter()
            .enumerate()
            .map(|(i, m)| format!("{} {}", i + 1, name_of(&shown.build, m)))
            .collect();
        info.current_text_value = Some(flags.join("; "));
        info
    });
    if !view.rect.is_positive() {
        return;
    }
    if view.fit {
        let (low, high) = bounds(bench.build);
        view.fit_to(low, high, vec2(56.0, 30.0));
    }
    painter.rect_filled(view.rect, 0, bench.palette.ground);
    canvas::grid(&painter, view, bench, true);
    axle(&painter, bench, view);
    links(&painter, bench, view);
    brackets(&painter, bench, view, Face::Side, None);
    flags(&painter, bench, view, &shown.build, &most);
}

/// Brackets, axle and floor.
fn bounds(b: &Build) -> ([f64; 2], [f64; 2]) {
    let up = b.car.rear.loaded_radius.si();
    let half = 0.5 * b.rear.housing.centre_diameter.si();
    let (mut low, mut high) = ([-half, -0.04], [half, up + half]);
    for x in &b.rear.brackets {
        for n in 1..=x.hole_count() {
            let Some([x, _, z]) = x.hole(n).map(|p| p.si()) else {
                continue;
            };
            low = [low[0].min(x), low[1].min(z)];
            high = [high[0].max(x), high[1].max(z)];
        }
    }
    // Drawings may be anything, and a sheet is not.
    let held = |v: f64| v.clamp(-20.0, 20.0);
    (low.map(held), high.map(held))
}

fn axle(painter: &Painter, bench: &Bench<'_>, view: &View) {
    let (car, housing) = (&bench.build.car, &bench.build.rear.housing);
    let at = view.at([0.0, car.rear.loaded_radius.si()]);
    let chalk = bench.palette.chalk;
    for (d, width) in [(housing.centre_diameter, 1.0), (housing.tube_diameter, 1.8)] {
        let r = (0.5 * d.si() * view.scale) as f32;
        painter.circle_stroke(at, r, Stroke::new(width, chalk));
    }
}

fn links(painter: &Painter, bench: &Bench<'_>, view: &View) {
    for rod in &bench.study.rear.rods {
        let Some(link) = bench.build.rear.links.get(rod.link) else {
            continue;
        };
        let ends = [rod.frame, rod.axle].map(|p| view.at(Face::Side.flat(p)));
        let colour = colour_of(bench, link.role);
        if rod.side == Side::Right {
            dashed(
                painter,
                &ends,
                Stroke::new(2.0, colour.gamma_multiply(0.7)),
                5.0,
                4.0,
            );
        } else if is_bar(link) {
            painter.line_segment(ends, Stroke::new(2.0, colour.gamma_multiply(0.8)));
        } else {
            painter.line_segment(ends, Stroke::new(4.0, colour));
            if link.role == LinkRole::Lower {
                // The second cue beside the colour: a notch in the middle.
                let mid = ends[0].lerp(ends[1], 0.5);
                painter.circle(mid, 3.0, bench.palette.ground, Stroke::new(1.5, colour));
            }
        }
    }
}

/// The middle of a bracket's holes.
fn middle(b: &Build, bracket: usize) -> Option<[f64; 2]> {
    let x = b.rear.brackets.get(bracket)?;
    let (first, last) = (x.hole(1)?.si(), x.hole(x.hole_count())?.si());
    Some([0.5 * (first[0] + last[0]), 0.5 * (first[2] + last[2])])
}

fn flags(painter: &Painter, bench: &Bench<'_>, view: &View, b: &Build, most: &[Matter]) {
    let p = bench.palette;
    let feet: Vec<Option<Pos2>> = most
        .iter()
        .map(|m| middle(b, m.bracket).map(|q| view.at(q)))
        .collect();
    // Brackets and what stands already: a flag keeps off them.
    let mut taken: Vec<Rect> = (0..b.rear.brackets.len())
        .filter_map(|i| Some(view.at(middle(b, i)?)))
        .map(|at| Rect::from_center_size(at, vec2(30.0, 54.0)))
        .collect();
    for (i, (m, foot)) in most.iter().zip(&feet).enumerate() {
        let Some(foot) = *foot else { continue };
        if !view.rect.contains(foot) {
            continue;
        }
        arrow(painter, bench, foot, m.along, i);
        let word = format!("{} ±", along_word(m.along));
        let galley = painter.layout_no_wrap(word.clone(), plain(11.5), p.ink);
        let size = vec2(galley.size().x + 30.0, 22.0);
        let place = place(view.rect.shrink(4.0), &taken, foot, size);
        taken.push(place.expand(2.0));
        let near = place.clamp(foot);
        painter.line_segment([foot, near], Stroke::new(1.3, p.accent));
        text_on(
            painter,
            place.left_center() + vec2(24.0, 0.0),
            egui::Align2::LEFT_CENTER,
            &word,
            plain(11.5),
            p.ink,
            p.ground,
        );
        disc(painter, bench, place.left_center() + vec2(10.0, 0.0), i + 1);
    }
}

/// The nearest free place round a bracket.
fn place(sheet: Rect, taken: &[Rect], foot: Pos2, size: Vec2) -> Rect {
    let mut first = None;
    for reach in [56.0, 78.0, 104.0, 136.0] {
        for turn in [-0.125, -0.25, -0.375, 0.0, 0.5, 0.125, 0.375, 0.25_f32] {
            let off = Vec2::angled(turn * std::f32::consts::TAU) * vec2(1.2 * reach, reach);
            let rect = Rect::from_center_size(foot + off, size);
            let free = sheet.contains_rect(rect) && !taken.iter().any(|t| t.intersects(rect));
            if free {
                return rect;
            }
            first.get_or_insert(rect);
        }
    }
    first.unwrap_or_else(|| Rect::from_center_size(foot, size))
}

/// Along the coordinate, both ways; out of the paper as a ring with a point.
fn arrow(painter: &Painter, bench: &Bench<'_>, at: Pos2, along: Along, i: usize) {
    let p = bench.palette;
    // Two of one bracket and one coordinate do not lie on each other.
    let long = ARM + 4.0 * i as f32;
    let d = match along {
        Along::Station => vec2(long, 0.0),
        Along::Height => vec2(0.0, long),
        Along::Offset => {
            painter.circle(at, 7.0, p.ground, Stroke::new(2.0, p.accent));
            painter.circle_filled(at, 2.5, p.accent);
            return;
        }
    };
    painter.line_segment([at - d, at + d], Stroke::new(2.2, p.accent));
    arrow_head(painter, at + d, d, 9.0, p.accent);
    arrow_head(painter, at - d, -d, 9.0, p.accent);
}
