//! The rear axle drawn from the side, from above and from behind.

use build::{AxleState, Build, Carrier, InstantCentre, LinkRole, Part, Side, Sides, Study};
use eframe::egui::{self, Align2, Painter, Pos2, Rect, Stroke, Ui, vec2};

use super::bench::Bench;
use super::canvas::{self, View};
use super::draw::{arrow_head, cg_mark, dash_dot, dashed, text_on};
use super::grips;
use super::handles::{Face, handles, is_bar};
use super::theme::{bold, plain};

/// How strongly a car is drawn.
#[derive(Clone, Copy, PartialEq)]
enum Weight {
    Full,
    Ghost,
}

/// The axle's pose nearest to a travel.
pub fn pose_at(study: &Study, travel: f64) -> Option<AxleState> {
    let motion = study.rear.motion.as_ref().ok()?;
    if travel == 0.0 {
        return Some(motion.ride);
    }
    let off = |s: &AxleState| (s.travel - travel).abs();
    motion
        .travel
        .states
        .iter()
        .min_by(|a, b| off(a).total_cmp(&off(b)))
        .cloned()
}

/// A drawn axle point carried to a pose.
fn carried(b: &Build, pose: Option<&AxleState>, p: [f64; 3]) -> [f64; 3] {
    let Some(s) = pose else {
        return p;
    };
    let origin = b.car.rear.loaded_radius.si();
    let body = geometry::Point3::new(p[0], p[1], p[2] - origin);
    s.pose.place(&body).into()
}

fn axle_centre(b: &Build, pose: Option<&AxleState>) -> [f64; 3] {
    carried(b, pose, [0.0, 0.0, b.car.rear.loaded_radius.si()])
}

/// The side view.
pub fn side(ui: &mut Ui, bench: &Bench<'_>, view: &mut View, travel: f64) {
    let (_, painter) = canvas::begin(ui, "Side view", view);
    if view.fit {
        let (low, high) = side_bounds(bench);
        view.fit_to(low, high, vec2(40.0, 34.0));
        view.stand_on(0.0, 46.0);
    }
    canvas::grid(&painter, view, bench, true);
    let pose = pose_at(bench.study, travel);
    frame_rail(&painter, bench, view);
    if let Some((b, s)) = bench.baseline {
        let ghost = pose_at(s, travel);
        side_links(&painter, bench, view, b, s, ghost.as_ref(), Weight::Ghost);
        side_lines(&painter, bench, view, b, ghost.as_ref(), Weight::Ghost);
    }
    wheels_side(&painter, bench, view, pose.as_ref());
    hundred_line(&painter, bench, view, pose.as_ref());
    brackets(&painter, bench, view, Face::Side, pose.as_ref());
    side_lines(
        &painter,
        bench,
        view,
        bench.build,
        pose.as_ref(),
        Weight::Full,
    );
    side_links(
        &painter,
        bench,
        view,
        bench.build,
        bench.study,
        pose.as_ref(),
        Weight::Full,
    );
    let h = bench.build.car.cg_height.si();
    let cg_x = bench.build.car.wheelbase.si() * (1.0 - bench.build.car.rear_share.si());
    let cg = view.at([cg_x, h]);
    cg_mark(&painter, cg, 9.0, bench.palette.chalk, bench.palette.ground);
    let words = format!("centre of gravity {} up", bench.length(h));
    text_on(
        &painter,
        cg + vec2(0.0, -14.0),
        Align2::CENTER_BOTTOM,
        &words,
        plain(11.5),
        bench.palette.dim,
        bench.palette.ground,
    );
    if travel == 0.0 {
        lay_handles(ui, &painter, bench, view, Face::Side);
    }
}

/// What "fit" shows: tyre, links, and the instant centre where it is near.
fn side_bounds(bench: &Bench<'_>) -> ([f64; 2], [f64; 2]) {
    let b = bench.build;
    let r = 0.5 * b.car.rear.tyre_diameter.si();
    let l = b.car.wheelbase.si();
    let ic = bench
        .study
        .reading("rear.ic.station")
        .and_then(|r| r.value.clone().ok())
        .unwrap_or(0.0);
    let mut ahead = 1.5_f64.max(if (0.0..2.8).contains(&ic) {
        ic + 0.75
    } else {
        0.0
    });
    let mut top = (2.0 * r).max(b.car.cg_height.si()) + 0.12;
    for x in &b.rear.brackets {
        let z = x.hole(x.hole_count()).map_or(0.0, |p| p.height.si());
        top = top.max(z + 0.1);
        ahead = ahead.max(x.at.station.si() + 0.3);
    }
    (
        [-r - 0.05, -0.06],
        [ahead.min(l + 0.2).max(r + 0.3), top.min(3.0)],
    )
}

fn frame_rail(painter: &Painter, bench: &Bench<'_>, view: &View) {
    let stroke = Stroke::new(1.5, bench.palette.chalk.gamma_multiply(0.75));
    let depth = bench.build.frame.depth.si();
    for lift in [0.0, depth] {
        let points: Vec<Pos2> = bench
            .build
            .frame
            .line
            .iter()
            .map(|(x, z)| view.at([x.si(), z.si() + lift]))
            .collect();
        painter.line(points, stroke);
    }
}

fn wheels_side(painter: &Painter, bench: &Bench<'_>, view: &View, pose: Option<&AxleState>) {
    let p = bench.palette;
    let car = &bench.build.car;
    let floor = view.at([0.0, 0.0]).y;
    let above = painter.with_clip_rect(view.rect.intersect(Rect::everything_above(floor)));
    let centre = axle_centre(bench.build, pose);
    let at = view.at([centre[0], centre[2]]);
    let circle = |painter: &Painter, c: Pos2, r: f64, stroke: Stroke, dash: bool| {
        let r = (r * view.scale) as f32;
        if dash {
            let points: Vec<Pos2> = (0..=72)
                .map(|k| c + r * egui::Vec2::angled(std::f32::consts::TAU * k as f32 / 72.0))
                .collect();
            dashed(painter, &points, stroke, 7.0, 4.0);
        } else {
            painter.circle_stroke(c, r, stroke);
        }
    };
    circle(
        &above,
        at,
        0.5 * car.rear.tyre_diameter.si(),
        Stroke::new(1.8, p.chalk),
        true,
    );
    let housing = &bench.build.rear.housing;
    circle(
        painter,
        at,
        0.5 * housing.centre_diameter.si(),
        Stroke::new(1.0, p.chalk),
        false,
    );
    circle(
        painter,
        at,
        0.5 * housing.tube_diameter.si(),
        Stroke::new(1.8, p.chalk),
        false,
    );
    let front = view.at([car.wheelbase.si(), car.front.loaded_radius.si()]);
    circle(
        &above,
        front,
        0.5 * car.front.tyre_diameter.si(),
        Stroke::new(1.2, p.dim),
        true,
    );
}

fn hundred_line(painter: &Painter, bench: &Bench<'_>, view: &View, pose: Option<&AxleState>) {
    let car = &bench.build.car;
    let contact = pose.map_or([0.0, 0.0], |s| [s.contact.x, s.contact.z]);
    let far = [car.wheelbase.si(), car.cg_height.si()];
    let colour = bench.palette.hundred;
    dash_dot(
        painter,
        &[view.at(contact), view.at(far)],
        Stroke::new(1.3, colour),
    );
    let at = view.at(far);
    // Behind the end of the line when the end is off the sheet.
    let at = if view.rect.contains(at) {
        at
    } else {
        let share = (f64::from(view.rect.right() - 60.0) - f64::from(view.at(contact).x))
            / f64::from(at.x - view.at(contact).x).max(1.0);
        view.at([0, 1].map(|k| contact[k] + share.clamp(0.0, 1.0) * (far[k] - contact[k])))
    };
    text_on(
        painter,
        at + vec2(0.0, -12.0),
        Align2::RIGHT_CENTER,
        "100 % line",
        plain(11.0),
        colour,
        bench.palette.ground,
    );
}

pub(super) fn colour_of(bench: &Bench<'_>, role: LinkRole) -> egui::Color32 {
    match role {
        LinkRole::Upper => bench.palette.upper,
        LinkRole::Lower => bench.palette.lower,
        LinkRole::Lateral => bench.palette.good,
    }
}

fn side_links(
    painter: &Painter,
    bench: &Bench<'_>,
    view: &View,
    b: &Build,
    study: &Study,
    pose: Option<&AxleState>,
    weight: Weight,
) {
    for rod in &study.rear.rods {
        let Some(link) = b.rear.links.get(rod.link) else {
            continue;
        };
        let ends = [rod.frame, carried(b, pose, rod.axle)].map(|p| view.at(Face::Side.flat(p)));
        let colour = colour_of(bench, link.role);
        match (weight, rod.side) {
            (Weight::Ghost, _) => dashed(
                painter,
                &ends,
                Stroke::new(1.5, bench.palette.faint(colour, 0.55)),
                4.0,
                3.0,
            ),
            (Weight::Full, Side::Right) if same_side_view(study, rod) => {}
            (Weight::Full, Side::Right) => dashed(
                painter,
                &ends,
                Stroke::new(2.0, colour.gamma_multiply(0.7)),
                5.0,
                4.0,
            ),
            (Weight::Full, _) if is_bar(link) => {
                painter.line_segment(ends, Stroke::new(2.0, colour.gamma_multiply(0.8)));
            }
            (Weight::Full, _) => {
                painter.line_segment(ends, Stroke::new(4.0, colour));
                if link.role == LinkRole::Lower {
                    // The second cue beside the colour: a notch in the middle.
                    let mid = ends[0].lerp(ends[1], 0.5);
                    painter.circle(mid, 3.0, bench.palette.ground, Stroke::new(1.5, colour));
                }
            }
        }
    }
}

/// A right link that hides behind the left one.
fn same_side_view(study: &Study, rod: &build::RodStudy) -> bool {
    let near = |a: [f64; 3], b: [f64; 3]| (a[0] - b[0]).abs() < 1e-6 && (a[2] - b[2]).abs() < 1e-6;
    study
        .rear
        .rod(rod.link, Side::Left)
        .is_some_and(|l| near(l.frame, rod.frame) && near(l.axle, rod.axle))
}

/// Projected link lines, swing arm and instant centre.
fn side_lines(
    painter: &Painter,
    bench: &Bench<'_>,
    view: &View,
    b: &Build,
    pose: Option<&AxleState>,
    weight: Weight,
) {
    let Some(s) = pose else {
        return;
    };
    let p = bench.palette;
    let contact = [s.contact.x, s.contact.z];
    let InstantCentre::At { x, z } = s.instant_centre else {
        if weight == Weight::Full {
            far_arrow(
                painter,
                bench,
                view,
                contact,
                slope_of(s),
                "instant centre out of sight: links parallel",
            );
        }
        return;
    };
    let ic = view.at([x, z]);
    let ghost = weight == Weight::Ghost;
    let tone = |c| if ghost { p.faint(c, 0.55) } else { c };
    if !ghost {
        for (role, dash) in [(LinkRole::Upper, 3.0), (LinkRole::Lower, 8.0)] {
            let link = b
                .rear
                .links
                .iter()
                .find(|l| l.role == role && l.sides == Sides::Pair);
            let end = link.and_then(|l| b.rear.bracket(&l.at_frame.bracket)?.hole(l.at_frame.hole));
            if let Some(end) = end {
                let from = view.at(Face::Side.flat(end.si()));
                let to = clip(view, from, ic);
                dashed(
                    painter,
                    &[from, to],
                    Stroke::new(1.2, colour_of(bench, role)),
                    dash,
                    4.0,
                );
            }
        }
    }
    let from = view.at(contact);
    let stroke = Stroke::new(1.4, tone(p.chalk));
    if ghost {
        dashed(painter, &[from, clip(view, from, ic)], stroke, 4.0, 4.0);
    } else {
        painter.line_segment([from, clip(view, from, ic)], stroke);
    }
    if view.rect.shrink(14.0).contains(ic) {
        let colour = tone(p.centre);
        painter.circle_stroke(ic, 6.0, Stroke::new(1.8, colour));
        for d in [vec2(1.0, 0.0), vec2(0.0, 1.0)] {
            painter.line_segment([ic - d * 9.0, ic + d * 9.0], Stroke::new(1.2, colour));
        }
        if ghost {
            return;
        }
        let room_below = view.at([0.0, 0.0]).y.min(view.rect.bottom()) - ic.y;
        let below = room_below > 52.0;
        let (anchor, dy) = if below {
            (Align2::LEFT_TOP, 8.0)
        } else {
            (Align2::LEFT_BOTTOM, -8.0)
        };
        let room = view.rect.right() - ic.x > 190.0;
        let (anchor, dx) = if room {
            (anchor, 12.0)
        } else {
            // Against the edge: left of the point it would lie on the links.
            (
                Align2([egui::Align::Max, anchor.0[1]]),
                view.rect.right() - ic.x - 6.0,
            )
        };
        let where_is = format!("{} · {} up", bench.ahead(x), bench.length(z));
        if !below && room_below > 28.0 {
            let line = format!("instant centre {where_is}");
            let anchor = Align2([anchor.0[0], egui::Align::Min]);
            text_on(
                painter,
                ic + vec2(dx, 9.0),
                anchor,
                &line,
                bold(12.0),
                colour,
                p.ground,
            );
            return;
        }
        let (first, second) = if below { (0.0, 16.0) } else { (-16.0, 0.0) };
        text_on(
            painter,
            ic + vec2(dx, dy + first),
            anchor,
            "instant centre",
            bold(12.0),
            colour,
            p.ground,
        );
        text_on(
            painter,
            ic + vec2(dx, dy + second),
            anchor,
            &where_is,
            plain(12.0),
            p.ink,
            p.ground,
        );
    } else if !ghost {
        let words = format!("instant centre {} · {} up", bench.ahead(x), bench.length(z));
        far_arrow_to(painter, bench, view, from, ic, &words);
    }
}

fn slope_of(s: &AxleState) -> f64 {
    match s.instant_centre {
        InstantCentre::Infinity { slope } => slope,
        InstantCentre::At { .. } => 0.0,
    }
}

fn far_arrow(
    painter: &Painter,
    bench: &Bench<'_>,
    view: &View,
    from: [f64; 2],
    slope: f64,
    words: &str,
) {
    let far = [from[0] + 60.0, from[1] + 60.0 * slope];
    far_arrow_to(painter, bench, view, view.at(from), view.at(far), words);
}

/// An arrow at the sheet's edge toward something off it.
fn far_arrow_to(
    painter: &Painter,
    bench: &Bench<'_>,
    view: &View,
    from: Pos2,
    to: Pos2,
    words: &str,
) {
    let p = bench.palette;
    let inside = view.rect.shrink(16.0);
    if !inside.is_positive() {
        return;
    }
    let from = inside.clamp(from);
    let tip = clip_to(inside, from, to);
    painter.line_segment(
        [tip - (to - from).normalized() * 26.0, tip],
        Stroke::new(2.0, p.centre),
    );
    arrow_head(painter, tip, to - from, 11.0, p.centre);
    let left = tip.x > view.rect.center().x;
    let anchor = if left {
        Align2::RIGHT_BOTTOM
    } else {
        Align2::LEFT_BOTTOM
    };
    let shift = vec2(
        if left { -6.0 } else { 6.0 },
        if tip.y < inside.top() + 24.0 {
            26.0
        } else {
            -8.0
        },
    );
    text_on(
        painter,
        tip + shift,
        anchor,
        words,
        bold(12.0),
        p.centre,
        p.ground,
    );
}

fn clip(view: &View, from: Pos2, to: Pos2) -> Pos2 {
    clip_to(view.rect.expand(40.0), from, to)
}

/// Where the way from `from` (inside) to `to` leaves the rectangle.
fn clip_to(rect: Rect, from: Pos2, to: Pos2) -> Pos2 {
    let d = to - from;
    let mut share: f32 = 1.0;
    for (a, v, low, high) in [
        (from.x, d.x, rect.left(), rect.right()),
        (from.y, d.y, rect.top(), rect.bottom()),
    ] {
        if v > 0.0 {
            share = share.min(((high - a) / v).max(0.0));
        } else if v < 0.0 {
            share = share.min(((low - a) / v).max(0.0));
        }
    }
    from + d * share
}

/// Bracket plates with their holes.
pub(super) fn brackets(
    painter: &Painter,
    bench: &Bench<'_>,
    view: &View,
    face: Face,
    pose: Option<&AxleState>,
) {
    let p = bench.palette;
    for x in &bench.build.rear.brackets {
        if (x.sides == Sides::Pair) != (face == Face::Side) && face != Face::Side {
            continue;
        }
        let carry = |q: [f64; 3]| match x.on {
            Carrier::Axle => carried(bench.build, pose, q),
            Carrier::Frame => q,
        };
        let holes: Vec<Pos2> = (1..=x.hole_count())
            .filter_map(|n| Some(view.at(face.flat(carry(x.hole(n)?.si())))))
            .collect();
        let (Some(first), Some(last)) = (holes.first(), holes.last()) else {
            continue;
        };
        let chosen = matches!(bench.selected, Some(Part::Bracket(id)) if *id == x.id);
        let colour = if chosen { p.accent } else { p.chalk };
        let half = ((0.5 * x.plate_width.si() * view.scale) as f32).max(6.0);
        if face == Face::Side {
            plate(
                painter,
                *first,
                *last,
                half,
                Stroke::new(if chosen { 1.8 } else { 1.2 }, colour),
            );
        }
        let r = ((0.5 * x.drill.si() * view.scale) as f32).clamp(2.0, half * 0.8);
        for h in &holes {
            painter.circle_stroke(*h, r, Stroke::new(1.0, colour));
        }
    }
}

/// A plate round a row of holes, its corners cut.
pub(super) fn plate(painter: &Painter, a: Pos2, b: Pos2, half: f32, stroke: Stroke) {
    let d = if (b - a).length() < 0.5 {
        vec2(0.0, -1.0)
    } else {
        (b - a).normalized()
    };
    let n = vec2(-d.y, d.x);
    let c = half * 0.35;
    let (a, b) = (a - d * half, b + d * half);
    let outline = vec![
        a + n * (half - c),
        a + n * half + d * c,
        b + n * half - d * c,
        b + n * (half - c),
        b - n * (half - c),
        b - n * half - d * c,
        a - n * half + d * c,
        a - n * (half - c),
    ];
    painter.add(egui::Shape::closed_line(outline, stroke));
}

/// Lays and paints the handles of a face.
pub(super) fn lay_handles(
    ui: &mut Ui,
    painter: &Painter,
    bench: &Bench<'_>,
    view: &View,
    face: Face,
) {
    let placed = handles(bench.build, face);
    grips::lay(ui, painter, bench, view, face, &placed, None);
}
