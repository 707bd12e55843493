//! Coil-overs drawn to scale on the axle, from behind and from the side.

use build::{CoilStudy, Coilover, Side};
use eframe::egui::{
    Align2, Color32, Painter, Pos2, Rect, Shape, Stroke, StrokeKind, Ui, Vec2, vec2,
};

use super::super::bench::Bench;
use super::super::canvas::{self, View};
use super::super::draw::{dash_dot, dashed, text_on};
use super::super::grips;
use super::super::handles::{Face, eyes};
use super::super::theme::plain;

/// Half the width of a spring, m: a 2 1/2 in spring with its wire (common size, no source).
const SPRING: f64 = 0.038;
/// Half the width of a shock's body, m.
const BODY: f64 = 0.024;
/// Coils drawn: a picture, not a count.
const COILS: usize = 8;

/// From behind: tyres, axle, rails, every coil-over.
pub(super) fn rear(ui: &mut Ui, bench: &Bench<'_>, view: &mut View, chosen: Option<&str>) {
    let (_, painter) = canvas::begin(ui, "Coil-overs from behind", view);
    let b = bench.build;
    let p = bench.palette;
    let (half, radius) = (0.5 * b.car.rear.track.si(), b.car.rear.loaded_radius.si());
    let w = 0.5 * b.car.rear.tyre_width.si();
    let tall = b.car.rear.tyre_diameter.si();
    if view.fit {
        let top = tops(bench).max(tall);
        view.fit_to([-half - w, -0.03], [half + w, top + 0.02], vec2(10.0, 12.0));
    }
    canvas::grid(&painter, view, bench, false);
    let floor = view.at([0.0, 0.0]).y;
    painter.hline(view.rect.x_range(), floor, Stroke::new(1.6, p.chalk));
    dash_dot(
        &painter,
        &[view.at([0.0, -0.2]), view.at([0.0, 2.0])],
        Stroke::new(1.0, p.dim),
    );
    let stroke = Stroke::new(1.4, p.chalk);
    let block = |low: [f64; 2], high: [f64; 2], radius: u8, stroke| {
        let rect = Rect::from_two_pos(view.at(low), view.at(high));
        painter.rect_stroke(rect, radius, stroke, StrokeKind::Middle);
    };
    let rail = rail_height(bench);
    let (inner, deep) = (b.frame.offset.si(), b.frame.depth.si());
    let outer = inner + b.frame.width.si();
    for s in [-1.0, 1.0] {
        block(
            [s * half - w, 0.0],
            [s * half + w, radius + 0.5 * tall],
            5,
            stroke,
        );
        block(
            [s * inner, rail],
            [s * outer, rail + deep],
            1,
            Stroke::new(1.0, p.dim),
        );
    }
    let (tube, housing) = (
        0.5 * b.rear.housing.tube_diameter.si(),
        0.5 * b.rear.housing.width.si(),
    );
    block(
        [-housing, radius - tube],
        [housing, radius + tube],
        2,
        stroke,
    );
    painter.circle_stroke(
        view.at([0.0, radius]),
        (0.5 * b.rear.housing.centre_diameter.si() * view.scale) as f32,
        Stroke::new(1.0, p.chalk),
    );
    coils(&painter, bench, view, Face::Rear, chosen);
    for (s, word) in [(-1.0, "left"), (1.0, "right")] {
        text_on(
            &painter,
            view.at([s * half, 0.0]) - vec2(0.0, 8.0),
            Align2::CENTER_BOTTOM,
            word,
            plain(11.0),
            p.dim,
            p.ground,
        );
    }
    let placed = eyes(bench.build, Face::Rear);
    grips::lay(ui, &painter, bench, view, Face::Rear, &placed, None);
}

/// From the left: tyre, axle, rail, the left coil-overs.
pub(super) fn side(ui: &mut Ui, bench: &Bench<'_>, view: &mut View, chosen: Option<&str>) {
    let (_, painter) = canvas::begin(ui, "Coil-overs from the side", view);
    let b = bench.build;
    let p = bench.palette;
    let (radius, tall) = (b.car.rear.loaded_radius.si(), b.car.rear.tyre_diameter.si());
    if view.fit {
        let r = 0.5 * tall;
        let ends = |pick: fn(f64, f64) -> f64, start: f64| {
            bench
                .study
                .launch
                .coilovers
                .iter()
                .flat_map(|c| [c.frame[0], c.axle[0]])
                .fold(start, pick)
        };
        view.fit_to(
            [ends(f64::min, -r) - 0.04, -0.03],
            [ends(f64::max, r) + 0.04, tops(bench).max(tall) + 0.02],
            vec2(8.0, 12.0),
        );
    }
    canvas::grid(&painter, view, bench, false);
    let floor = view.at([0.0, 0.0]).y;
    painter.hline(view.rect.x_range(), floor, Stroke::new(1.6, p.chalk));
    for lift in [0.0, b.frame.depth.si()] {
        let points: Vec<Pos2> = b
            .frame
            .line
            .iter()
            .map(|(x, z)| view.at([x.si(), z.si() + lift]))
            .collect();
        painter.line(points, Stroke::new(1.0, p.dim));
    }
    let at = view.at([0.0, radius]);
    let above = painter.with_clip_rect(view.rect.intersect(Rect::everything_above(floor)));
    let r = (0.5 * tall * view.scale) as f32;
    let circle: Vec<Pos2> = (0..=72)
        .map(|k| at + r * Vec2::angled(std::f32::consts::TAU * k as f32 / 72.0))
        .collect();
    dashed(&above, &circle, Stroke::new(1.6, p.chalk), 7.0, 4.0);
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
    coils(&painter, bench, view, Face::Side, chosen);
    let placed = eyes(bench.build, Face::Side);
    grips::lay(ui, &painter, bench, view, Face::Side, &placed, None);
}

/// Height of the highest eye, m.
fn tops(bench: &Bench<'_>) -> f64 {
    let all = &bench.study.launch.coilovers;
    all.iter()
        .flat_map(|c| [c.frame[2], c.axle[2]])
        .fold(0.3, f64::max)
        .min(3.0)
        + 0.03
}

/// Height of the rail's bottom face over the axle, m.
fn rail_height(bench: &Bench<'_>) -> f64 {
    let line = &bench.build.frame.line;
    line.windows(2)
        .find_map(|w| {
            let (a, b) = (w[0].0.si(), w[1].0.si());
            (a <= 0.0 && b >= 0.0 && b > a)
                .then(|| w[0].1.si() - a / (b - a) * (w[1].1.si() - w[0].1.si()))
        })
        .or_else(|| line.first().map(|p| p.1.si()))
        .unwrap_or(0.3)
}

fn coils(painter: &Painter, bench: &Bench<'_>, view: &View, face: Face, chosen: Option<&str>) {
    // The one in hand lies on top.
    for on_top in [false, true] {
        for c in &bench.study.launch.coilovers {
            let Some(x) = bench.build.power.coilovers.get(c.coilover) else {
                continue;
            };
            let in_hand = Some(x.id.as_str()) == chosen;
            if in_hand != on_top || (face == Face::Side && c.side == Side::Right) {
                continue;
            }
            one(painter, bench, view, face, x, c, in_hand);
        }
    }
}

/// Distances along the coil-over from the lower eye, m.
struct Along {
    length: f64,
    /// Lower and upper seat.
    seats: [f64; 2],
    /// End of the body.
    body: f64,
}

fn along(x: &Coilover, c: &CoilStudy) -> Along {
    let (shut, out) = (x.compressed.si(), x.extended.si());
    let seat = c.ride.as_ref().ok().and_then(|r| r.seat.as_ref());
    // What the seats leave of the shock pulled out is shared: the adjuster's end has more.
    let apart = seat.map_or(0.75 * out, |s| s.seat_distance);
    let spare = (out - apart).max(0.0);
    let low = 0.65 * spare;
    Along {
        length: c.length,
        seats: [low, (c.length - 0.35 * spare).max(low)],
        // The body must hold the stroke; the drawing takes nine tenths of what the shut shock leaves.
        body: (0.9 * shut).min(c.length),
    }
}

fn one(
    painter: &Painter,
    bench: &Bench<'_>,
    view: &View,
    face: Face,
    x: &Coilover,
    c: &CoilStudy,
    in_hand: bool,
) {
    let p = bench.palette;
    let (foot, head) = (view.at(face.flat(c.axle)), view.at(face.flat(c.frame)));
    let tone = |colour: Color32| {
        if in_hand {
            colour
        } else {
            p.faint(colour, 0.5)
        }
    };
    let line = head - foot;
    let a = along(x, c);
    if line.length() < 2.0 || a.length <= 0.0 {
        // Seen end on, or without length.
        painter.circle_stroke(foot, 5.0, Stroke::new(1.6, tone(p.upper)));
        return;
    }
    let d = line.normalized();
    let n = vec2(-d.y, d.x);
    // The picture may foreshorten it: along it everything shrinks alike.
    let at = |metres: f64| foot + line * (metres / a.length) as f32;
    let wide = |half: f64| (half * view.scale).clamp(2.0, 400.0) as f32;
    let chalk = Stroke::new(1.3, tone(p.chalk));

    // Body, then rod.
    let b = wide(BODY);
    let (low, high) = (foot, at(a.body));
    painter.add(Shape::convex_polygon(
        vec![low + n * b, high + n * b, high - n * b, low - n * b],
        p.faint(p.chalk, 0.16),
        chalk,
    ));
    painter.line_segment(
        [high, head],
        Stroke::new(wide(0.008).max(1.6), tone(p.chalk)),
    );

    // Seats and spring.
    let s = wide(SPRING);
    let ends = a.seats.map(at);
    for e in ends {
        painter.line_segment([e - n * s, e + n * s], Stroke::new(2.4, tone(p.chalk)));
    }
    let bad = c.ride.as_ref().map_or(true, |r| {
        r.seat
            .as_ref()
            .is_none_or(|q| q.spring_length < x.spring_block.si())
    });
    let turns = 2 * COILS;
    let zigzag: Vec<Pos2> = (0..=turns)
        .map(|k| {
            let side = if k % 2 == 0 { -s } else { s };
            ends[0].lerp(ends[1], k as f32 / turns as f32) + n * side
        })
        .collect();
    let colour = if bad { p.bad } else { p.upper };
    painter.line(
        zigzag,
        Stroke::new(if in_hand { 2.2 } else { 1.6 }, tone(colour)),
    );
    for e in [foot, head] {
        painter.circle(
            e,
            wide(0.014).max(3.5),
            p.ground,
            Stroke::new(1.6, tone(p.chalk)),
        );
    }
    if in_hand && c.side != Side::Right {
        stroke_bar(painter, bench, x, c, &at, n * outward(n) * (s + 9.0));
    }
}

/// Which way of `n` leads out from the car's middle: left in both pictures.
fn outward(n: Vec2) -> f32 {
    if n.x > 0.0 { -1.0 } else { 1.0 }
}

/// Where the upper eye may stand, beside the coil-over and to its scale: shut, coils touching, ride, pulled out.
fn stroke_bar(
    painter: &Painter,
    bench: &Bench<'_>,
    x: &Coilover,
    c: &CoilStudy,
    at: &impl Fn(f64) -> Pos2,
    aside: Vec2,
) {
    let p = bench.palette;
    let (shut, out) = (x.compressed.si(), x.extended.si());
    let side = aside.normalized();
    let place = |v: f64| at(v) + aside;
    painter.line_segment([place(shut), place(out)], Stroke::new(3.0, p.band));
    let tick = |v: f64, half: f32, colour: Color32, width: f32| {
        painter.line_segment(
            [place(v) - side * half, place(v) + side * half],
            Stroke::new(width, colour),
        );
    };
    tick(shut, 5.0, p.chalk, 1.4);
    tick(out, 5.0, p.chalk, 1.4);
    let solid = c.ride.as_ref().ok().and_then(|r| r.seat.as_ref());
    if let Some(s) = solid {
        let colour = if s.coils_end_it { p.bad } else { p.dim };
        for d in [-2.0, 2.0] {
            let q = place(s.solid_at) + (place(out) - place(shut)).normalized() * d;
            painter.line_segment([q - side * 4.0, q + side * 4.0], Stroke::new(1.0, colour));
        }
    }
    let good = c.length > shut && c.length < out;
    let colour = if good { p.good } else { p.bad };
    tick(c.length, 7.0, colour, 2.4);
    // Words where there is room for them.
    let tall = (place(out) - place(shut)).length();
    if tall < 34.0 {
        return;
    }
    let put = |v: f64, words: &str, colour: Color32| {
        let at = place(v) + side * 9.0;
        if at.x - painter.clip_rect().left() > 52.0 {
            text_on(
                painter,
                at,
                Align2::RIGHT_CENTER,
                words,
                plain(10.5),
                colour,
                p.ground,
            );
        }
    };
    put(out, "pulled out", p.dim);
    put(shut, "shut", p.dim);
    // Words of the pose never lie on those of the ends.
    let near = |v: f64| (place(v) - place(c.length)).length() < 13.0;
    if !near(shut) && !near(out) {
        put(c.length, "ride", colour);
    }
}
