//! The driveshaft from the side, in the pose of a travel, with its angles.

use build::points::{DrawnPoint, POINTS};
use build::{AxleState, Build, Driveshaft, LoopData, Slip};
use eframe::egui::{Align2, Color32, Painter, Pos2, Rect, Shape, Stroke, Ui, Vec2, pos2, vec2};
use units::Kind;

use super::super::bench::Bench;
use super::super::canvas::{self, View};
use super::super::draw::{dashed, text_on};
use super::super::drawn_points;
use super::super::handles::Face;
use super::super::rear_draw;
use super::super::theme::{bold, plain};

/// Transmission drawn ahead of the front joint, m.
const BOX: f64 = 0.42;
/// Pinion housing drawn behind the rear joint when the axle is nearer than that, m.
const NOSE: f64 = 0.12;

/// Joints and loop that can be taken hold of: those that stand where they are drawn.
pub(super) fn points(b: &Build, at_rest: bool) -> impl Iterator<Item = &'static DrawnPoint> {
    let slides = b
        .power
        .driveshaft
        .is_some_and(|d| d.slip == Slip::Transmission);
    POINTS.iter().filter(move |p| match p.id {
        "power.driveshaft.front_joint" => at_rest || !slides,
        "power.driveshaft.rear_joint" => at_rest,
        id => id == "driveline.hoop.at",
    })
}

/// The side view, its words on the angles or on the loop.
pub(super) fn side(ui: &mut Ui, bench: &Bench<'_>, view: &mut View, travel: f64, angles: bool) {
    let (_, painter) = canvas::begin(ui, "Driveshaft from the side", view);
    let b = bench.build;
    let r = 0.5 * b.car.rear.tyre_diameter.si();
    if view.fit {
        let ahead = b.power.driveshaft.map_or(1.2, |d| {
            d.front_joint.station.si().max(d.rear_joint.station.si())
        });
        let top = b.power.driveshaft.map_or(0.0, |d| {
            d.front_joint.height.si().max(d.rear_joint.height.si())
        }) + 0.15;
        let ahead = (ahead + BOX + 0.04).clamp(r + 0.2, 6.0);
        view.fit_to(
            [-r - 0.05, -0.04],
            [ahead, top.clamp(2.0 * r, 3.0) + 0.03],
            vec2(14.0, 30.0),
        );
        view.stand_on(0.0, 30.0);
    }
    canvas::grid(&painter, view, bench, true);
    let pose = rear_draw::pose_at(bench.study, travel);
    around(&painter, bench, view, pose.as_ref());
    if let Some(d) = &b.power.driveshaft {
        shaft(&painter, bench, view, d, pose.as_ref(), travel, angles);
        if let Some(h) = b.driveline.as_ref().and_then(|d| d.hoop.as_ref()) {
            hoop(&painter, bench, view, d, h, !angles);
        }
    }
    let points = points(b, travel == 0.0);
    drawn_points::lay(ui, &painter, bench, points, view, Face::Side);
}

/// Rail, tyre and axle, for where it all is.
fn around(painter: &Painter, bench: &Bench<'_>, view: &View, pose: Option<&AxleState>) {
    let b = bench.build;
    let p = bench.palette;
    for lift in [0.0, b.frame.depth.si()] {
        let points: Vec<Pos2> = b
            .frame
            .line
            .iter()
            .map(|(x, z)| view.at([x.si(), z.si() + lift]))
            .collect();
        painter.line(points, Stroke::new(1.0, p.faint(p.dim, 0.6)));
    }
    let radius = b.car.rear.loaded_radius.si();
    let centre = carried(b, pose, [0.0, 0.0, radius]);
    let at = view.at([centre[0], centre[2]]);
    let floor = view.at([0.0, 0.0]).y;
    let above = painter.with_clip_rect(view.rect.intersect(Rect::everything_above(floor)));
    let r = (0.5 * b.car.rear.tyre_diameter.si() * view.scale) as f32;
    let circle: Vec<Pos2> = (0..=72)
        .map(|k| at + r * Vec2::angled(std::f32::consts::TAU * k as f32 / 72.0))
        .collect();
    dashed(&above, &circle, Stroke::new(1.4, p.chalk), 7.0, 4.0);
    for (d, width) in [
        (b.rear.housing.centre_diameter.si(), 1.0),
        (b.rear.housing.tube_diameter.si(), 1.6),
    ] {
        painter.circle_stroke(
            at,
            (0.5 * d * view.scale) as f32,
            Stroke::new(width, p.chalk),
        );
    }
}

/// A drawn point of the housing carried to a pose.
fn carried(b: &build::Build, pose: Option<&AxleState>, q: [f64; 3]) -> [f64; 3] {
    let Some(s) = pose else {
        return q;
    };
    let body = geometry::Point3::new(q[0], q[1], q[2] - b.car.rear.loaded_radius.si());
    s.pose.place(&body).into()
}

/// The safety loop on edge, and how far from the front joint it may stand.
fn hoop(
    painter: &Painter,
    bench: &Bench<'_>,
    view: &View,
    d: &Driveshaft,
    h: &LoopData,
    say: bool,
) {
    let p = bench.palette;
    let [x, _, z] = h.at.si();
    let half = 0.5 * h.inside.si();
    let ends = [[x, z - half], [x, z + half]].map(|q| view.at(q));
    painter.line_segment(ends, Stroke::new(4.0, p.push));
    let (front, rear) = (d.front_joint.si(), d.rear_joint.si());
    let (from, down) = (
        [front[0], front[2]],
        (rear[2] - front[2]).atan2(rear[0] - front[0]),
    );
    let within = h.within.si();
    let arc: Vec<Pos2> = (-8..=8)
        .map(|k| {
            let t = down + 0.04 * f64::from(k);
            view.at(far(from, [t.cos(), t.sin()], within))
        })
        .collect();
    dashed(painter, &arc, Stroke::new(1.3, p.push), 4.0, 3.0);
    if !say {
        return;
    }
    let words = format!("loop within {}", bench.length(within));
    text_on(
        painter,
        ends[1] + vec2(0.0, -9.0),
        Align2::CENTER_BOTTOM,
        &words,
        plain(11.0),
        p.push,
        p.ground,
    );
}

/// Direction in the drawing that runs to the rear and falls by an angle.
fn rearward(down: f64) -> [f64; 2] {
    [-down.cos(), -down.sin()]
}

fn far(from: [f64; 2], along: [f64; 2], by: f64) -> [f64; 2] {
    [0, 1].map(|k| from[k] + along[k] * by)
}

fn shaft(
    painter: &Painter,
    bench: &Bench<'_>,
    view: &View,
    d: &Driveshaft,
    pose: Option<&AxleState>,
    travel: f64,
    angles: bool,
) {
    let p = bench.palette;
    let flat = |q: [f64; 3]| [q[0], q[2]];
    let output = rearward(d.output_down.si());
    let drawn_front = flat(d.front_joint.si());
    let rear = flat(carried(bench.build, pose, d.rear_joint.si()));
    // The state nearest to the pose that is drawn.
    let study = bench
        .study
        .launch
        .shaft
        .as_ref()
        .and_then(|s| s.as_ref().ok());
    let state = study.and_then(|s| {
        let off = |x: f64| (x - travel).abs();
        let found = s
            .travel
            .iter()
            .min_by(|a, b| off(a.travel).total_cmp(&off(b.travel)));
        if travel == 0.0 { Some(&s.ride) } else { found }
    });
    // A yoke on the transmission slides along the output.
    let slid = match (d.slip, state) {
        (Slip::Transmission, Some(s)) => s.plunge,
        _ => 0.0,
    };
    let front = far(drawn_front, output, slid);

    // Transmission, yoke, shaft, pinion.
    let width = |metres: f64| ((metres * view.scale) as f32).clamp(1.5, 60.0);
    block(
        painter,
        view,
        far(drawn_front, output, -BOX),
        far(drawn_front, output, -0.07),
        [0.11, 0.07],
        p,
    );
    painter.line_segment(
        [view.at(far(drawn_front, output, -0.07)), view.at(front)],
        Stroke::new(width(0.03), p.faint(p.chalk, 0.55)),
    );
    let pinion_down = state.map_or(d.pinion_up.si(), |s| s.pinion_down);
    let pinion = rearward(pinion_down);
    let axle = carried(
        bench.build,
        pose,
        [0.0, 0.0, bench.build.car.rear.loaded_radius.si()],
    );
    let centre = 0.5 * bench.build.rear.housing.centre_diameter.si();
    let nose = ((rear[0] - axle[0]).hypot(rear[1] - axle[2]) - centre).max(NOSE * 0.3);
    block(
        painter,
        view,
        rear,
        far(rear, pinion, nose.min(1.0)),
        [0.03, 0.055],
        p,
    );
    let (f, r) = (view.at(front), view.at(rear));
    let normal = {
        let along = (r - f).normalized();
        vec2(-along.y, along.x)
    };
    let half = 0.5 * width(0.076);
    painter.add(Shape::closed_line(
        vec![
            f + normal * half,
            r + normal * half,
            r - normal * half,
            f - normal * half,
        ],
        Stroke::new(1.8, p.upper),
    ));

    // What each joint works against, carried on as dashes, and the angle between.
    let Some(s) = state else {
        joints(painter, [f, r], p.upper, p.ground);
        return;
    };
    let shaft_way = rearward(s.shaft_down);
    let reach = (f64::from((r - f).length()) / view.scale * 0.34).clamp(0.05, 1.0);
    let colours = [p.upper, p.centre];
    for (at, first, second, colour) in [
        (front, output, shaft_way, colours[0]),
        (rear, shaft_way, pinion, colours[1]),
    ] {
        let stroke = Stroke::new(1.3, colour);
        for way in [first, second] {
            dashed(
                painter,
                &[view.at(at), view.at(far(at, way, reach))],
                stroke,
                5.0,
                4.0,
            );
        }
        arc(painter, view, at, first, second, reach * 0.85, colour);
    }
    joints(painter, [f, r], p.upper, p.ground);
    if !angles {
        return;
    }
    words(
        painter,
        bench,
        view,
        d,
        s.front_angle,
        s.rear_angle,
        s.shaft_down,
        pinion_down,
        [f, r],
    );
}

fn joints(painter: &Painter, at: [Pos2; 2], colour: Color32, ground: Color32) {
    for q in at {
        painter.circle(q, 5.5, ground, Stroke::new(2.2, colour));
        for d in [vec2(1.0, 1.0), vec2(1.0, -1.0)] {
            painter.line_segment([q - d * 3.5, q + d * 3.5], Stroke::new(1.2, colour));
        }
    }
}

/// A tapered housing from one point to another, half as high as given at each, m.
fn block(
    painter: &Painter,
    view: &View,
    from: [f64; 2],
    to: [f64; 2],
    half: [f64; 2],
    p: &super::super::theme::Palette,
) {
    let (a, b) = (view.at(from), view.at(to));
    let along = (b - a).normalized();
    let n = vec2(-along.y, along.x);
    let [ha, hb] = half.map(|h| ((h * view.scale) as f32).clamp(2.0, 2000.0));
    painter.add(Shape::convex_polygon(
        vec![a + n * ha, b + n * hb, b - n * hb, a - n * ha],
        p.faint(p.chalk, 0.1),
        Stroke::new(1.3, p.chalk),
    ));
}

/// The arc between two directions at a point.
fn arc(
    painter: &Painter,
    view: &View,
    at: [f64; 2],
    a: [f64; 2],
    b: [f64; 2],
    radius: f64,
    colour: Color32,
) {
    let angle = |v: [f64; 2]| v[1].atan2(v[0]);
    let start = angle(a);
    let mut by = angle(b) - start;
    if by > std::f64::consts::PI {
        by -= std::f64::consts::TAU;
    } else if by < -std::f64::consts::PI {
        by += std::f64::consts::TAU;
    }
    let points: Vec<Pos2> = (0..=16)
        .map(|k| {
            let t = start + by * f64::from(k) / 16.0;
            view.at([at[0] + radius * t.cos(), at[1] + radius * t.sin()])
        })
        .collect();
    painter.line(points, Stroke::new(2.4, colour));
}

/// Each angle in words: those of the joints bold, the slopes they come from under them.
#[expect(clippy::too_many_arguments, reason = "angles and where to write them")]
fn words(
    painter: &Painter,
    bench: &Bench<'_>,
    view: &View,
    d: &Driveshaft,
    front: f64,
    rear: f64,
    shaft_down: f64,
    pinion_down: f64,
    [f, r]: [Pos2; 2],
) {
    let p = bench.palette;
    let angle = |v: f64| bench.show(Kind::Angle, v);
    let sloped = |what: &str, v: f64, pos: &str, neg: &str| {
        let word = if v < 0.0 { neg } else { pos };
        format!("{what} {} {word}", angle(v.abs()))
    };
    let apart = (f.x - r.x).abs();
    let slopes = apart > 130.0;
    let lift = ((0.13 * view.scale) as f32).clamp(26.0, 90.0);
    let (inside, floor) = (view.rect.shrink(6.0), view.at([0.0, 0.0]).y);
    let put = |at: Pos2, text: &str, font, colour| {
        let galley = painter.layout_no_wrap(text.to_owned(), font, colour);
        let (w, h) = (galley.size().x * 0.5, galley.size().y);
        if inside.width() < 2.0 * w || inside.height() < 3.0 * h {
            return;
        }
        // A joint off the sheet takes its words with it.
        if !inside.expand(40.0).x_range().contains(at.x) {
            return;
        }
        let at = pos2(
            at.x.clamp(inside.left() + w, inside.right() - w),
            at.y.clamp(inside.top() + h, inside.bottom()),
        );
        text_on(
            painter,
            at,
            Align2::CENTER_BOTTOM,
            text,
            match colour {
                c if c == p.ink || c == p.dim => plain(11.5),
                _ => bold(12.5),
            },
            colour,
            p.ground,
        );
    };
    let top = f.y.min(r.y) - lift;
    // Close together they stand one over the other.
    let higher = if apart < 115.0 { 17.0 } else { 0.0 };
    put(
        pos2(f.x, top),
        &format!("front joint {}", angle(front)),
        bold(12.5),
        p.upper,
    );
    put(
        pos2(r.x, top - higher),
        &format!("rear joint {}", angle(rear)),
        bold(12.5),
        p.centre,
    );
    if !slopes {
        return;
    }
    let under = f.y.max(r.y) + lift.min((floor - f.y.max(r.y)) * 0.55).max(18.0);
    put(
        pos2(f.x, under),
        &sloped("output", d.output_down.si(), "down", "up"),
        plain(11.5),
        p.ink,
    );
    put(
        pos2(r.x, under),
        &sloped("pinion", pinion_down, "up", "down"),
        plain(11.5),
        p.ink,
    );
    if apart > 250.0 {
        put(
            pos2(0.5 * (f.x + r.x), under),
            &sloped("shaft", shaft_down, "down", "up"),
            plain(11.5),
            p.dim,
        );
    }
}
