//! The front end to scale from behind, from above and from the left, in the pose that is shown.

use build::{FrontEnd, FrontMotion, FrontPose};
use eframe::egui::{Align2, Color32, Painter, Pos2, Rect, Stroke, Ui, vec2};
use geometry::InstantCentre;
use geometry::front::{FrontViewCentre, Side, ideal_outer};

use super::super::bench::Bench;
use super::super::canvas::{self, View};
use super::super::draw::{dash_dot, dashed, text_on};
use super::super::drawn_points;
use super::super::handles::Face;
use super::super::theme::plain;
use super::grips;
use super::outline::outline;

/// What is to be seen.
pub(super) struct Seen<'a> {
    pub bench: &'a Bench<'a>,
    pub front: &'a FrontEnd,
    pub motion: Option<&'a FrontMotion>,
    pub face: Face,
    pub whole: bool,
    pub travel: f64,
    pub rack: f64,
    pub at_rest: bool,
    /// Mark where the tightest gap of this pose is.
    pub near: bool,
}

impl Seen<'_> {
    fn half_track(&self) -> f64 {
        0.5 * self.bench.build.car.front.track.si()
    }

    fn width(&self) -> f64 {
        self.bench.build.car.front.tyre_width.si()
    }

    fn radius(&self) -> f64 {
        0.5 * self.bench.build.car.front.tyre_diameter.si()
    }

    fn fit(&self, view: &mut View) {
        let (x, r, w) = (
            self.bench.build.car.wheelbase.si(),
            self.radius(),
            self.width(),
        );
        let out = self.half_track() + 0.5 * w;
        match self.face {
            Face::Plan => {
                let behind = if self.whole { -0.1 } else { x - r };
                view.fit_to([behind, -out], [x + r, out], vec2(12.0, 12.0));
            }
            Face::Side => view.fit_to([x - r, -0.03], [x + r, 2.0 * r], vec2(12.0, 16.0)),
            _ => view.fit_to([-out, -0.03], [out, 2.0 * r], vec2(12.0, 16.0)),
        }
    }
}

/// Draws it and lays the handles.
pub(super) fn show(ui: &mut Ui, seen: &Seen<'_>, view: &mut View) {
    let name = match seen.face {
        Face::Plan => "Front end from above",
        Face::Side => "Front end from the left",
        _ => "Front end from behind",
    };
    let (_, painter) = canvas::begin(ui, name, view);
    if view.fit {
        seen.fit(view);
    }
    let (bench, p) = (seen.bench, seen.bench.palette);
    canvas::grid(&painter, view, bench, false);
    if seen.face != Face::Side {
        let along = match seen.face {
            Face::Plan => [[-20.0, 0.0], [20.0, 0.0]],
            _ => [[0.0, -0.3], [0.0, 3.0]],
        };
        let line = along.map(|q| view.at(q));
        dash_dot(&painter, &line, Stroke::new(1.0, p.dim));
    }
    let pose = |side| {
        let m = seen.motion?;
        Some(m.pose(seen.front, side, seen.travel, seen.rack))
    };
    match (pose(Side::Left), pose(Side::Right)) {
        (Some(Ok(left)), Some(Ok(right))) => both(&painter, seen, view, &left, &right),
        (Some(Err(why)), _) | (_, Some(Err(why))) => {
            as_drawn(&painter, seen, view);
            say(&painter, view, seen, &format!("Not reached: {why}."), p.bad);
        }
        _ => as_drawn(&painter, seen, view),
    }
    let points = grips::shown(seen.at_rest);
    drawn_points::lay(ui, &painter, bench, points, view, seen.face);
    if !seen.at_rest {
        let text = "Outer points are moved at ride height with the wheels straight";
        say(&painter, view, seen, text, p.dim);
    }
}

fn say(painter: &Painter, view: &View, seen: &Seen<'_>, text: &str, colour: Color32) {
    let at = view.rect.left_bottom() + vec2(8.0, -6.0);
    let p = seen.bench.palette;
    text_on(
        painter,
        at,
        Align2::LEFT_BOTTOM,
        text,
        plain(11.0),
        colour,
        p.ground,
    );
}

fn flat(face: Face, q: geometry::Point3<f64>) -> [f64; 2] {
    face.flat([q.x, q.y, q.z])
}

/// The rods where they are drawn: all there is when nothing goes together.
fn as_drawn(painter: &Painter, seen: &Seen<'_>, view: &View) {
    let (f, p) = (seen.front, seen.bench.palette);
    let rods = [
        (f.lower.front, f.lower.ball, p.lower),
        (f.lower.rear, f.lower.ball, p.lower),
        (f.upper.front, f.upper.ball, p.upper),
        (f.upper.rear, f.upper.ball, p.upper),
        (f.tie_rod.inner, f.tie_rod.outer, p.centre),
    ];
    for (a, b, colour) in rods {
        let ends = [a, b].map(|q| view.at(seen.face.flat(q.si())));
        painter.line_segment(ends, Stroke::new(3.0, p.faint(colour, 0.6)));
    }
}

fn both(painter: &Painter, seen: &Seen<'_>, view: &View, left: &FrontPose, right: &FrontPose) {
    let (bench, p, face) = (seen.bench, seen.bench.palette, seen.face);
    let ground = left.state.contact.z;
    let floor = view.at([0.0, ground]).y;
    let mut above = painter.clone();
    if face != Face::Plan {
        painter.hline(view.rect.x_range(), floor, Stroke::new(1.6, p.chalk));
        above.set_clip_rect(view.rect.intersect(Rect::everything_above(floor)));
    }
    let sides: &[&FrontPose] = if face == Face::Side {
        &[left]
    } else {
        &[left, right]
    };
    for pose in sides {
        wheel(&above, seen, view, pose);
    }
    match face {
        Face::Plan => turning(painter, seen, view, left, right),
        Face::Side => side_lines(painter, seen, view, left, ground),
        _ => front_lines(painter, seen, view, left, right, ground),
    }
    if face != Face::Side {
        let racks = [left, right].map(|s| view.at(flat(face, s.rods[4][0])));
        painter.line_segment(racks, Stroke::new(4.0, p.faint(p.chalk, 0.7)));
    }
    for pose in sides {
        rods(painter, seen, view, pose);
    }
    if face == Face::Side && bench.build.frame.line.len() > 1 {
        for lift in [0.0, bench.build.frame.depth.si()] {
            let line = bench.build.frame.line.iter();
            let points: Vec<Pos2> = line
                .map(|(x, z)| view.at([x.si(), z.si() + lift]))
                .collect();
            painter.line(points, Stroke::new(1.0, p.dim));
        }
    }
    if seen.near {
        near(painter, seen, view);
    }
}

fn wheel(painter: &Painter, seen: &Seen<'_>, view: &View, pose: &FrontPose) {
    let p = seen.bench.palette;
    for (radius, colour, width) in [
        (seen.radius(), p.chalk, 1.4),
        (0.5 * seen.front.wheel.rim.si(), p.dim, 1.0),
    ] {
        let wide = if radius < seen.radius() {
            seen.front.wheel.rim_width.si()
        } else {
            seen.width()
        };
        let points = pose.wheel(radius, wide);
        let ring = outline(points.into_iter().map(|q| seen.face.flat(q)).collect());
        let mut line: Vec<Pos2> = ring.into_iter().map(|q| view.at(q)).collect();
        line.extend(line.first().copied());
        painter.line(line, Stroke::new(width, colour));
    }
}

fn rods(painter: &Painter, seen: &Seen<'_>, view: &View, pose: &FrontPose) {
    let (f, p, face) = (seen.front, seen.bench.palette, seen.face);
    let wide = |d: f64| (d * view.scale).clamp(2.0, 26.0) as f32;
    let line = |a, b, width: f32, colour| {
        let ends = [a, b].map(|q| view.at(flat(face, q)));
        painter.line_segment(ends, Stroke::new(width, colour));
    };
    let (lower, upper) = (f.lower.outside.si(), f.upper.outside.si());
    let tie = f.tie_rod.outside.si();
    // The knuckle: between the ball joints, and its steering arm.
    let (low, high, arm) = (pose.rods[0][1], pose.rods[2][1], pose.rods[4][1]);
    let hub = pose.state.pose.position;
    let knuckle = p.faint(p.chalk, 0.55);
    for (a, b) in [(low, high), (low, arm), (high, hub), (low, hub)] {
        line(a, b, 2.4, knuckle);
    }
    let looks = [
        (lower, p.lower),
        (lower, p.lower),
        (upper, p.upper),
        (upper, p.upper),
        (tie, p.centre),
    ];
    for (rod, (d, colour)) in pose.rods.iter().zip(looks) {
        line(rod[0], rod[1], wide(d), p.faint(colour, 0.45));
        line(rod[0], rod[1], 1.6, colour);
    }
    if let (Some([a, b]), Some(c)) = (pose.coil, &f.coil_over) {
        line(a, b, wide(c.outside.si()), p.faint(p.hundred, 0.25));
        line(a, b, 1.6, p.hundred);
    }
    if let (Some([pivot, end, link]), Some(_)) = (pose.bar, &f.bar) {
        line(pivot, end, 3.0, p.chalk);
        line(end, link, 1.8, p.chalk);
        let mirror = geometry::Point3::new(pivot.x, -pivot.y, pivot.z);
        if face != Face::Side {
            line(pivot, mirror, 1.4, p.faint(p.chalk, 0.6));
        }
    }
}

/// Lines to the instant centres and the roll centre.
fn front_lines(
    painter: &Painter,
    seen: &Seen<'_>,
    view: &View,
    left: &FrontPose,
    right: &FrontPose,
    ground: f64,
) {
    let (bench, p) = (seen.bench, seen.bench.palette);
    let thin = Stroke::new(1.0, p.faint(p.centre, 0.8));
    for pose in [left, right] {
        let s = &pose.state;
        if let FrontViewCentre::At { y, z } = s.front_view_centre {
            let centre = view.at([-y, z]);
            let from = view.at([-s.contact.y, s.contact.z]);
            // Far centres lie off the sheet: the line is cut where it leaves.
            if (centre - from).length() < 20_000.0 {
                dash_dot(painter, &[from, centre], thin);
                for rod in [0, 2] {
                    let ball = view.at(flat(Face::Rear, pose.rods[rod][1]));
                    dashed(painter, &[ball, centre], Stroke::new(1.0, p.dim), 3.0, 4.0);
                }
            }
            painter.circle_stroke(centre, 4.0, thin);
        }
    }
    let high = left.state.roll_centre_above_ground;
    let at = view.at([0.0, ground + high]);
    painter.circle(at, 5.0, p.ground, Stroke::new(2.0, p.hundred));
    let text = format!("roll centre {} up", bench.length(high));
    let foot = at + vec2(9.0, -3.0);
    text_on(
        painter,
        foot,
        Align2::LEFT_BOTTOM,
        &text,
        plain(11.0),
        p.ink,
        p.ground,
    );
}

/// Steering axis and the line to the side-view centre.
fn side_lines(painter: &Painter, seen: &Seen<'_>, view: &View, left: &FrontPose, ground: f64) {
    let (bench, p) = (seen.bench, seen.bench.palette);
    let s = &left.state;
    let foot = view.at([s.axis_on_ground.x, ground]);
    let top = s.lower_ball + s.steering_axis * 0.5;
    dash_dot(
        painter,
        &[foot, view.at([top.x, top.z])],
        Stroke::new(1.2, p.hundred),
    );
    let from = view.at([s.contact.x, ground]);
    if let InstantCentre::At { x, z } = s.side_view_centre {
        let to = view.at([x, z]);
        if (to - from).length() < 20_000.0 {
            dashed(painter, &[from, to], Stroke::new(1.0, p.centre), 6.0, 4.0);
        }
        painter.circle_stroke(to, 4.0, Stroke::new(1.4, p.centre));
    }
    let show = |v| bench.show(units::Kind::Angle, v);
    let text = format!(
        "caster {} · trail {}",
        show(s.caster),
        bench.length(s.mechanical_trail)
    );
    text_on(
        painter,
        foot + vec2(0.0, 6.0),
        Align2::CENTER_TOP,
        &text,
        plain(11.0),
        p.ink,
        p.ground,
    );
}

/// Where both wheels would turn about, and the ideal outer wheel.
fn turning(painter: &Painter, seen: &Seen<'_>, view: &View, left: &FrontPose, right: &FrontPose) {
    let (bench, p) = (seen.bench, seen.bench.palette);
    let axle = [[0.0, -30.0], [0.0, 30.0]].map(|q| view.at(q));
    painter.line_segment(axle, Stroke::new(1.0, p.dim));
    let at = axle[0].x + 4.0;
    if at < view.rect.right() - 60.0 && at > view.rect.left() {
        let at = Pos2::new(at, view.rect.top() + 4.0);
        text_on(
            painter,
            at,
            Align2::LEFT_TOP,
            "rear axle",
            plain(10.5),
            p.dim,
            p.ground,
        );
    }
    if seen.rack.abs() < 1e-6 {
        return;
    }
    let Some(m) = seen.motion else { return };
    let turned = [left, right].map(|s| s.state.steer);
    let rest = [m.ride.steer, -m.ride.steer];
    let mean = 0.5 * (turned[0] - rest[0] + turned[1] - rest[1]);
    let sign = if mean < 0.0 { -1.0 } else { 1.0 };
    let normal = |s: &FrontPose, steer: f64, stroke: Stroke, cut: bool| {
        let c = s.state.axis_on_ground;
        // Across the wheel toward the inside of the turn.
        let d = [-steer.sin() * sign, steer.cos() * sign];
        let far = [c.x + d[0] * 30.0, c.y + d[1] * 30.0];
        let ends = [view.at([c.x, c.y]), view.at(far)];
        if cut {
            dashed(
                &painter.with_clip_rect(view.rect),
                &clipped(ends, view.rect),
                stroke,
                7.0,
                5.0,
            );
        } else {
            painter.line_segment(ends, stroke);
        }
    };
    normal(left, turned[0] - rest[0], Stroke::new(1.4, p.upper), false);
    normal(right, turned[1] - rest[1], Stroke::new(1.4, p.lower), false);
    let Ok(track) = m.front.axis_track() else {
        return;
    };
    let (inner, outer) = if sign > 0.0 { (0, right) } else { (1, left) };
    let angle = (turned[inner] - rest[inner]) * sign;
    let ideal = ideal_outer(angle, track, bench.build.car.wheelbase.si());
    normal(outer, ideal * sign, Stroke::new(1.2, p.hundred), true);
    let show = |v: f64| bench.show(units::Kind::Angle, v.abs());
    let text = format!(
        "inner {} · outer {} · ideal outer {} (dashed)",
        show(angle),
        show(turned[1 - inner] - rest[1 - inner]),
        show(ideal)
    );
    let at = view.rect.right_bottom() + vec2(-8.0, -22.0);
    text_on(
        painter,
        at,
        Align2::RIGHT_BOTTOM,
        &text,
        plain(11.0),
        p.ink,
        p.ground,
    );
}

/// The part of a line near the sheet: dashes far off it cost and are not seen.
fn clipped([a, b]: [Pos2; 2], rect: Rect) -> [Pos2; 2] {
    let d = b - a;
    let long = d.length().max(1.0);
    let reach = rect.size().length() + (a - rect.center()).length();
    [a, a + d * (reach / long).min(1.0)]
}

/// The tightest gap whose pose is shown.
fn near(painter: &Painter, seen: &Seen<'_>, view: &View) {
    let (bench, p) = (seen.bench, seen.bench.palette);
    let Some(m) = seen.motion else { return };
    let here = |travel: f64, rack: f64| {
        (travel - seen.travel).abs() < 1e-3 && (rack - seen.rack).abs() < 1e-3
    };
    let Some(g) = m.gaps.iter().find(|g| here(g.travel, g.rack)) else {
        return;
    };
    let ends = g.between.map(|q| view.at(flat(seen.face, q)));
    painter.line_segment(ends, Stroke::new(2.4, p.bad));
    for e in ends {
        painter.circle_filled(e, 3.5, p.bad);
    }
    let said = g
        .gap
        .map_or_else(|| "through each other".to_owned(), |v| bench.length(v));
    let at = ends[0] + vec2(10.0, 12.0);
    text_on(
        painter,
        at,
        Align2::LEFT_TOP,
        &format!("{}: {said}", g.label),
        plain(11.0),
        p.bad,
        p.ground,
    );
}
