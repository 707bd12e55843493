//! Everything around the rear wheels in one pose, from behind or from the left.

use build::{ClearanceStudy, Fit, PairStudy, WayKind};
use eframe::egui::{Align2, Color32, Painter, Pos2, Shape, Stroke, Ui, vec2};
use geometry::Pose;
use geometry::distance::{Body, Core, Gap};
use geometry::{Point3, Vector3};
use vehicle::packaging::{Part as Packed, Side, WheelPose};

use super::super::bench::Bench;
use super::super::canvas::{self, View};
use super::super::draw::text_on;
use super::super::handles::Face;
use super::super::theme::{bold, plain};
use super::travel;

/// Points of a rounded shoulder.
const SHOULDER: usize = 6;
/// Points of a circle.
const ROUND: usize = 48;

pub(super) fn show(
    ui: &mut Ui,
    bench: &Bench<'_>,
    view: &mut View,
    face: Face,
    study: &ClearanceStudy,
    pose: Option<(WheelPose, &PairStudy)>,
) {
    let name = if face == Face::Side {
        "Mock-up from the left"
    } else {
        "Mock-up from behind"
    };
    let (_, painter) = canvas::begin(ui, name, view);
    let b = bench.build;
    let p = bench.palette;
    if view.fit {
        let half = 0.5 * (b.car.rear.track.si() + b.car.rear.tyre_width.si()) + 0.12;
        let tall = b.car.rear.tyre_diameter.si() + 0.32;
        let wide = if face == Face::Side {
            0.5 * b.car.rear.tyre_diameter.si() + 0.35
        } else {
            half
        };
        view.fit_to([-wide, -0.05], [wide, tall], vec2(14.0, 24.0));
    }
    canvas::grid(&painter, view, bench, face == Face::Side);
    let floor = view.at([0.0, 0.0]).y;
    painter.hline(view.rect.x_range(), floor, Stroke::new(2.0, p.chalk));
    let (Ok(fit), Some((at, pair))) = (&study.fit, pose) else {
        painter.text(
            view.rect.center(),
            Align2::CENTER_CENTER,
            "No pose to show",
            plain(13.0),
            p.dim,
        );
        return;
    };
    let paint = Paint {
        painter: &painter,
        view,
        face,
        pose: &at.pose,
        fit,
    };
    for (i, part) in fit.parts.iter().enumerate() {
        // From the left only what stands on the left, or in the middle.
        if face == Face::Side && part.side == Some(Side::Right) {
            continue;
        }
        let among = pair.clearance.pair.contains(&Packed::Obstacle(i));
        let colour = match part.kind {
            _ if among => p.accent,
            WayKind::Rail | WayKind::Tube => p.chalk,
            WayKind::Body => p.dim,
            WayKind::Link => p.lower,
            WayKind::Coil => p.upper,
        };
        paint.body(Packed::Obstacle(i), colour, if among { 2.0 } else { 1.2 });
    }
    for side in [Side::Right, Side::Left] {
        if face == Face::Side && side == Side::Right {
            continue;
        }
        let among = pair.clearance.pair.contains(&Packed::Tyre(side));
        let colour = if among { p.accent } else { p.ink };
        paint.body(Packed::Tyre(side), colour, 1.6);
    }
    measure(&paint, bench, pair, &at);
}

/// The two nearest points in this pose, and their distance.
fn measure(paint: &Paint<'_>, bench: &Bench<'_>, pair: &PairStudy, at: &WheelPose) {
    let p = bench.palette;
    let gap = paint.fit.envelope.gap_at(pair.clearance.pair, &at.pose);
    let words = match gap {
        Ok(Gap::Apart { gap, first, second }) => {
            let ends = [first, second].map(|q| paint.view.at(paint.face.flat(q.into())));
            let colour = if gap < 0.0 { p.bad } else { p.hundred };
            paint.painter.line_segment(ends, Stroke::new(2.5, colour));
            for end in ends {
                paint.painter.circle_filled(end, 3.5, colour);
            }
            let middle = ends[0].lerp(ends[1], 0.5) + vec2(10.0, -12.0);
            text_on(
                paint.painter,
                middle,
                Align2::LEFT_CENTER,
                &bench.show(units::Kind::Length, gap),
                bold(12.5),
                colour,
                p.ground,
            );
            String::new()
        }
        _ => "they run through each other".to_owned(),
    };
    let pose = format!(
        "left wheel {}, right wheel {}",
        travel(bench, at.left),
        travel(bench, at.right)
    );
    let head = format!("{}   {words}", pair.label);
    for (k, line) in [head.trim_end(), &pose].into_iter().enumerate() {
        text_on(
            paint.painter,
            paint.view.rect.left_top() + vec2(12.0, 12.0 + 16.0 * k as f32),
            Align2::LEFT_CENTER,
            line,
            plain(12.0),
            [p.ink, p.dim][k],
            p.ground,
        );
    }
}

struct Paint<'a> {
    painter: &'a Painter,
    view: &'a View,
    face: Face,
    pose: &'a Pose,
    fit: &'a Fit,
}

impl Paint<'_> {
    fn body(&self, part: Packed, colour: Color32, width: f32) {
        let Ok(body) = self.fit.envelope.body(part, self.pose) else {
            return;
        };
        let points = outline(&body, self.face);
        let points: Vec<Pos2> = points.into_iter().map(|q| self.view.at(q)).collect();
        if points.len() > 2 {
            self.painter
                .add(Shape::closed_line(points, Stroke::new(width, colour)));
        }
    }
}

/// The outline of a body as it is seen: the hull of enough of its points.
fn outline(body: &Body, face: Face) -> Vec<[f64; 2]> {
    let mut points: Vec<[f64; 2]> = Vec::new();
    let grown = body.grown;
    let mut add = |p: Point3<f64>| {
        let q = face.flat(p.into());
        if grown > 0.0 {
            for k in 0..4 * SHOULDER {
                let (s, c) = (std::f64::consts::TAU * k as f64 / (4 * SHOULDER) as f64).sin_cos();
                points.push([q[0] + grown * c, q[1] + grown * s]);
            }
        } else {
            points.push(q);
        }
    };
    match body.core {
        Core::Cylinder {
            centre,
            axis,
            radius,
            half_width,
        } => {
            let across = axis.cross(&Vector3::x());
            let one = if across.norm() > 1e-9 {
                across.normalize()
            } else {
                Vector3::y()
            };
            let other = axis.cross(&one);
            for k in 0..ROUND {
                let (s, c) = (std::f64::consts::TAU * k as f64 / ROUND as f64).sin_cos();
                for end in [-half_width, half_width] {
                    add(centre + axis * end + (one * c + other * s) * radius);
                }
            }
        }
        Core::Box { centre, half, axes } => {
            for k in 0..8 {
                let sign = |bit: usize| if k >> bit & 1 == 1 { 1.0 } else { -1.0 };
                let mut p = centre;
                for (i, axis) in axes.iter().enumerate() {
                    p += axis * (sign(i) * half[i]);
                }
                add(p);
            }
        }
        Core::Segment { a, b } => {
            add(a);
            add(b);
        }
    }
    hull(points)
}

/// Convex hull, counter-clockwise (monotone chain; Andrew 1979).
fn hull(mut points: Vec<[f64; 2]>) -> Vec<[f64; 2]> {
    points.sort_by(|a, b| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
    let turn = |o: [f64; 2], a: [f64; 2], b: [f64; 2]| {
        (a[0] - o[0]) * (b[1] - o[1]) - (a[1] - o[1]) * (b[0] - o[0])
    };
    let half = |points: &mut dyn Iterator<Item = [f64; 2]>| {
        let mut out: Vec<[f64; 2]> = Vec::new();
        for p in points {
            while out.len() > 1 && turn(out[out.len() - 2], out[out.len() - 1], p) <= 0.0 {
                out.pop();
            }
            out.push(p);
        }
        out.pop();
        out
    };
    let mut lower = half(&mut points.iter().copied());
    lower.extend(half(&mut points.iter().rev().copied()));
    lower
}
