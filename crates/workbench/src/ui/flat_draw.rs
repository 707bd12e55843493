//! The rear axle from above and from behind.

use build::LinkRole;
use eframe::egui::{Align2, Painter, Rect, Stroke, StrokeKind, Ui, vec2};

use super::bench::Bench;
use super::canvas::{self, View};
use super::draw::{dash_dot, dashed, text_on};
use super::handles::Face;
use super::rear_draw::{brackets, colour_of, lay_handles};
use super::theme::plain;

/// Plan view: tyres, housing, links, lateral bar.
pub fn plan(ui: &mut Ui, bench: &Bench<'_>, view: &mut View) {
    let (_, painter) = canvas::begin(ui, "Plan view", view);
    let b = bench.build;
    let (half, r) = (
        0.5 * b.car.rear.track.si(),
        0.5 * b.car.rear.tyre_diameter.si(),
    );
    let wide = half + 0.5 * b.car.rear.tyre_width.si();
    if view.fit {
        let ahead = b
            .rear
            .brackets
            .iter()
            .map(|x| x.at.station.si())
            .fold(r, f64::max);
        view.fit_to([-r - 0.02, -wide], [ahead + 0.06, wide], vec2(10.0, 10.0));
    }
    canvas::grid(&painter, view, bench, false);
    let p = bench.palette;
    dash_dot(
        &painter,
        &[view.at([-1.0, 0.0]), view.at([4.0, 0.0])],
        Stroke::new(1.0, p.dim),
    );
    let tube = 0.5 * b.rear.housing.tube_diameter.si();
    let housing = 0.5 * b.rear.housing.width.si();
    let stroke = Stroke::new(1.4, p.chalk);
    let block = |low: [f64; 2], high: [f64; 2], radius: u8| {
        let rect = Rect::from_two_pos(view.at(low), view.at(high));
        painter.rect_stroke(rect, radius, stroke, StrokeKind::Middle);
    };
    for s in [-1.0, 1.0] {
        let y = s * half;
        let w = 0.5 * b.car.rear.tyre_width.si();
        block([-r, y - w], [r, y + w], 5);
    }
    block([-tube, -housing], [tube, housing], 2);
    painter.circle_stroke(
        view.at([0.0, 0.0]),
        (0.5 * b.rear.housing.centre_diameter.si() * view.scale) as f32,
        Stroke::new(1.0, p.dim),
    );
    for s in [-1.0, 1.0] {
        for y in [
            b.frame.offset.si(),
            b.frame.offset.si() + b.frame.width.si(),
        ] {
            painter.line_segment(
                [view.at([-1.5, s * y]), view.at([4.0, s * y])],
                Stroke::new(1.0, p.grid.lerp_to_gamma(p.dim, 0.5)),
            );
        }
    }
    flat_links(&painter, bench, view, Face::Plan);
    lay_handles(ui, &painter, bench, view, Face::Plan);
}

/// Rear view: tyres, housing, lateral bar, roll centre.
pub fn rear(ui: &mut Ui, bench: &Bench<'_>, view: &mut View) {
    let (_, painter) = canvas::begin(ui, "Rear view", view);
    let b = bench.build;
    let p = bench.palette;
    let (half, radius) = (0.5 * b.car.rear.track.si(), b.car.rear.loaded_radius.si());
    let w = 0.5 * b.car.rear.tyre_width.si();
    let tall = b.car.rear.tyre_diameter.si();
    if view.fit {
        view.fit_to(
            [-half - w, -0.03],
            [half + w, tall.max(0.7)],
            vec2(10.0, 12.0),
        );
    }
    let floor = view.at([0.0, 0.0]).y;
    painter.hline(view.rect.x_range(), floor, Stroke::new(1.6, p.chalk));
    dash_dot(
        &painter,
        &[view.at([0.0, -0.2]), view.at([0.0, 2.0])],
        Stroke::new(1.0, p.dim),
    );
    let stroke = Stroke::new(1.4, p.chalk);
    for s in [-1.0, 1.0] {
        let rect = Rect::from_two_pos(
            view.at([s * half - w, 0.0]),
            view.at([s * half + w, radius + 0.5 * tall]),
        );
        painter.rect_stroke(rect, 5, stroke, StrokeKind::Middle);
        let rail = |y: f64| s * y;
        let at_axle = rail_height(bench);
        let (a, c) = (
            b.frame.offset.si(),
            b.frame.offset.si() + b.frame.width.si(),
        );
        let rect = Rect::from_two_pos(
            view.at([rail(a), at_axle]),
            view.at([rail(c), at_axle + b.frame.depth.si()]),
        );
        painter.rect_stroke(rect, 1, Stroke::new(1.0, p.dim), StrokeKind::Middle);
    }
    let (tube, housing) = (
        0.5 * b.rear.housing.tube_diameter.si(),
        0.5 * b.rear.housing.width.si(),
    );
    let rect = Rect::from_two_pos(
        view.at([-housing, radius - tube]),
        view.at([housing, radius + tube]),
    );
    painter.rect_stroke(rect, 2, stroke, StrokeKind::Middle);
    painter.circle_stroke(
        view.at([0.0, radius]),
        (0.5 * b.rear.housing.centre_diameter.si() * view.scale) as f32,
        Stroke::new(1.0, p.chalk),
    );
    flat_links(&painter, bench, view, Face::Rear);
    if let Ok(z) = bench
        .study
        .reading("rear.roll_centre.height")
        .map_or(Ok(0.0), |r| r.value.clone())
    {
        let at = view.at([0.0, z]);
        painter.circle(at, 5.0, p.centre, Stroke::new(1.5, p.ground));
    }
    lay_handles(ui, &painter, bench, view, Face::Rear);
}

/// Height of the rail's bottom face over the axle.
fn rail_height(bench: &Bench<'_>) -> f64 {
    let line = &bench.build.frame.line;
    for w in line.windows(2) {
        let (a, b) = (w[0].0.si(), w[1].0.si());
        if a <= 0.0 && b >= 0.0 && b > a {
            let t = -a / (b - a);
            return w[0].1.si() + t * (w[1].1.si() - w[0].1.si());
        }
    }
    line.first().map_or(0.3, |p| p.1.si())
}

fn flat_links(painter: &Painter, bench: &Bench<'_>, view: &View, face: Face) {
    if let Some((b, s)) = bench.baseline {
        for rod in &s.rear.rods {
            let role = b
                .rear
                .links
                .get(rod.link)
                .map_or(LinkRole::Upper, |l| l.role);
            let ends = [rod.frame, rod.axle].map(|q| view.at(face.flat(q)));
            dashed(
                painter,
                &ends,
                Stroke::new(1.2, bench.palette.faint(colour_of(bench, role), 0.55)),
                3.0,
                3.0,
            );
        }
    }
    for rod in &bench.study.rear.rods {
        let Some(link) = bench.build.rear.links.get(rod.link) else {
            continue;
        };
        let ends = [rod.frame, rod.axle].map(|q| view.at(face.flat(q)));
        let colour = colour_of(bench, link.role);
        match link.role {
            LinkRole::Upper => dashed(painter, &ends, Stroke::new(2.5, colour), 5.0, 3.0),
            LinkRole::Lower => {
                painter.line_segment(ends, Stroke::new(3.0, colour));
            }
            LinkRole::Lateral => {
                painter.line_segment(ends, Stroke::new(3.0, colour));
                if face == Face::Plan && view.rect.width() > 150.0 {
                    let mid = ends[0].lerp(ends[1], 0.5);
                    text_on(
                        painter,
                        mid + vec2(6.0, 10.0),
                        Align2::LEFT_CENTER,
                        &link.label,
                        plain(10.5),
                        colour,
                        bench.palette.ground,
                    );
                }
            }
        }
        for e in ends {
            painter.circle(e, 2.5, bench.palette.ground, Stroke::new(1.2, colour));
        }
    }
    brackets(painter, bench, view, face, None);
}
