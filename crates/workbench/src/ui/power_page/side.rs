//! The car from the left in the pose of a balance: loads, link forces, squat and rise.

use build::{Carrier, Case, Side};
use eframe::egui::{self, Align2, Painter, Pos2, Rect, Stroke, Ui, vec2};
use units::Kind;

use super::forces::{self, Scale};
use super::notes::{Notes, Run};
use super::said;
use super::scene::Scene;
use crate::ui::canvas::{self, View};
use crate::ui::draw::{cg_mark, dashed};
use crate::ui::grips;
use crate::ui::handles::{Face, eyes, handles};
use crate::ui::rear_draw::plate;
use crate::ui::theme::{bold, plain};

const FACE: Face = Face::Side;
/// Room under the floor for the loads, points.
pub const BELOW: f32 = 58.0;

/// The view with its handles.
pub fn show(ui: &mut Ui, scene: &Scene<'_>, view: &mut View) {
    let bench = scene.bench;
    let (_, painter) = canvas::begin(ui, "Car from the side", view);
    if view.fit {
        let (low, high) = bounds(scene);
        view.fit_to(low, high, vec2(14.0, 46.0));
        view.stand_on(0.0, BELOW);
    }
    canvas::grid(&painter, view, bench, false);
    let floor = view.at([0.0, 0.0]).y;
    painter.hline(
        view.rect.x_range(),
        floor,
        Stroke::new(2.0, bench.palette.chalk),
    );
    let mut notes = Notes::new(view.rect);
    notes.keep_clear(Rect::from_x_y_ranges(
        view.rect.x_range(),
        floor - 1.0..=floor + 1.0,
    ));
    heading(&painter, scene, view, &mut notes);
    rails(&painter, scene, view);
    tyres(&painter, scene, view);
    coilovers(&painter, scene, view, &mut notes);
    links(&painter, scene, view, &mut notes);
    brackets(&painter, scene, view, &mut notes);
    let cg = centre_of_gravity(&painter, scene, view);
    let mut placed = handles(bench.build, FACE);
    placed.extend(eyes(bench.build, FACE));
    for h in &placed {
        let at = view.at(grips::stands(bench.build, view, FACE, h, scene.carriage()));
        notes.keep_clear(Rect::from_center_size(at, vec2(20.0, 20.0)));
    }
    notes.keep_clear(Rect::from_center_size(cg, vec2(20.0, 20.0)));
    if scene.shown.is_some() {
        said::loads(&painter, scene, view, &mut notes);
        said::thrusts(&painter, scene, view, &mut notes);
        said::heights(&painter, scene, view, &mut notes);
        said::link_notes(&painter, scene, view, &mut notes);
        said::spring_notes(&painter, scene, view, &mut notes);
    }
    let words = [Run::new(
        "centre of gravity",
        plain(11.0),
        bench.palette.dim,
    )];
    notes.put(&painter, cg, vec2(1.0, -0.4), &words, bench.palette.ground);
    grips::lay(ui, &painter, bench, view, FACE, &placed, scene.carriage());
}

/// The whole car, tyre to tyre.
fn bounds(scene: &Scene<'_>) -> ([f64; 2], [f64; 2]) {
    let b = scene.bench.build;
    let (rear, front) = (
        0.5 * b.car.rear.tyre_diameter.si(),
        0.5 * b.car.front.tyre_diameter.si(),
    );
    let mut top = (2.0 * rear).max(b.car.cg_height.si() + 0.1);
    for (_, z) in &b.frame.line {
        top = top.max(z.si() + b.frame.depth.si());
    }
    for c in &b.power.coilovers {
        top = top.max(c.at_frame.height.si());
    }
    (
        [-rear - 0.2, 0.0],
        [b.car.wheelbase.si() + front + 0.2, top.min(2.5)],
    )
}

/// What the car does, in a line or two, and how to read the arrows.
fn heading(painter: &Painter, scene: &Scene<'_>, view: &View, notes: &mut Notes) {
    let bench = scene.bench;
    let p = bench.palette;
    let Some(s) = &scene.shown else {
        return;
    };
    let say = |id: &str, si: f64| {
        build::definition(id).map_or_else(String::new, |d| d.display(si, bench.shop()))
    };
    let x = s.balance;
    let mut job = egui::text::LayoutJob::default();
    job.wrap.max_width = (view.rect.width() - 20.0).max(60.0);
    let mut add = |text: String, font, colour| {
        job.append(&text, 0.0, egui::TextFormat::simple(font, colour));
    };
    let how = match s.case {
        Case::Rest => "standing".to_owned(),
        Case::Braking => format!(
            "braking {}",
            bench.show(Kind::Acceleration, -x.acceleration)
        ),
        _ => bench.show(Kind::Acceleration, x.acceleration),
    };
    add(how, bold(13.0), p.ink);
    if s.case != Case::Rest {
        add(
            format!(
                "   pitch {}, roll {}, body and axle {}",
                say("launch.pitch", -x.pitch_change),
                say("launch.roll", x.roll_change),
                say("launch.separation", x.rear_separation),
            ),
            plain(12.0),
            p.ink,
        );
    }
    add("\npull ".to_owned(), plain(11.0), p.pull);
    add("← → single strokes   ".to_owned(), plain(11.0), p.dim);
    add("push ".to_owned(), plain(11.0), p.push);
    add("→ ← double strokes".to_owned(), plain(11.0), p.dim);
    if scene.factor != 1.0 && s.case != Case::Rest {
        add(
            format!(
                "\nmovement drawn {} times as large, arrows not",
                scene.factor
            ),
            bold(11.0),
            p.centre,
        );
    }
    let galley = painter.fonts_mut(|f| f.layout_job(job));
    let rect = Align2::LEFT_TOP.anchor_size(view.rect.min + vec2(10.0, 6.0), galley.size());
    painter.rect_filled(rect.expand(3.0), 3, p.ground.gamma_multiply(0.85));
    painter.galley(rect.min, galley, p.ink);
    notes.keep_clear(rect.expand(4.0));
}

fn rails(painter: &Painter, scene: &Scene<'_>, view: &View) {
    let b = scene.bench.build;
    let p = scene.bench.palette;
    for lift in [0.0, b.frame.depth.si()] {
        let line = |place: &dyn Fn([f64; 3]) -> Option<[f64; 3]>| -> Vec<Pos2> {
            b.frame
                .line
                .iter()
                .filter_map(|(x, z)| Some(view.at(FACE.flat(place([x.si(), 0.0, z.si() + lift])?))))
                .collect()
        };
        let ghost = line(&|q| scene.ghost(Carrier::Frame, q));
        dashed(
            painter,
            &ghost,
            Stroke::new(1.0, p.faint(p.chalk, 0.35)),
            3.0,
            4.0,
        );
        let now = line(&|q| Some(scene.carry(Carrier::Frame, q)));
        painter.line(now, Stroke::new(1.6, p.chalk.gamma_multiply(0.8)));
    }
}

/// Wheels: a dashed tyre cut off at the floor.
fn tyres(painter: &Painter, scene: &Scene<'_>, view: &View) {
    let b = scene.bench.build;
    let p = scene.bench.palette;
    let floor = view.at([0.0, 0.0]).y;
    let above = painter.with_clip_rect(view.rect.intersect(Rect::everything_above(floor)));
    let ring = |c: Pos2, r: f64, stroke: Stroke| {
        let r = (r * view.scale) as f32;
        let points: Vec<Pos2> = (0..=72)
            .map(|k| c + r * egui::Vec2::angled(std::f32::consts::TAU * k as f32 / 72.0))
            .collect();
        dashed(&above, &points, stroke, 7.0, 4.0);
    };
    let hub = [0.0, 0.0, b.car.rear.loaded_radius.si()];
    if let Some(g) = scene.ghost(Carrier::Axle, hub) {
        let r = (0.5 * b.rear.housing.tube_diameter.si() * view.scale) as f32;
        painter.circle_stroke(
            view.at(FACE.flat(g)),
            r,
            Stroke::new(1.0, p.faint(p.chalk, 0.35)),
        );
    }
    let at = view.at(FACE.flat(scene.carry(Carrier::Axle, hub)));
    ring(
        at,
        0.5 * b.car.rear.tyre_diameter.si(),
        Stroke::new(1.8, p.chalk),
    );
    for (d, w) in [
        (b.rear.housing.centre_diameter, 1.0),
        (b.rear.housing.tube_diameter, 1.6),
    ] {
        painter.circle_stroke(
            at,
            (0.5 * d.si() * view.scale) as f32,
            Stroke::new(w, p.chalk),
        );
    }
    let (l, r) = (b.car.wheelbase.si(), 0.5 * b.car.front.tyre_diameter.si());
    let lifts = [true, false].map(|left| scene.wheel_lift(left));
    for (k, lift) in lifts.into_iter().enumerate() {
        if k == 1 && lift == lifts[0] {
            continue; // behind the left one
        }
        let c = view.at([l, b.car.front.loaded_radius.si() + lift]);
        let width = if k == 0 { 1.5 } else { 0.9 };
        ring(c, r, Stroke::new(width, p.chalk));
        painter.circle_stroke(c, 4.0, Stroke::new(1.0, p.dim));
    }
}

/// The coil-overs; a right one that hides behind the left is not drawn.
fn coilovers(painter: &Painter, scene: &Scene<'_>, view: &View, notes: &mut Notes) {
    let p = scene.bench.palette;
    for c in &scene.bench.study.launch.coilovers {
        let ends = [(Carrier::Frame, c.frame), (Carrier::Axle, c.axle)]
            .map(|(on, q)| view.at(FACE.flat(scene.carry(on, q))));
        let (width, tone) = match c.side {
            Side::Right => (1.0, p.faint(p.chalk, 0.5)),
            _ => (1.5, p.chalk),
        };
        let half = (0.028 * view.scale).clamp(3.0, 14.0) as f32;
        forces::spring(painter, ends, half, Stroke::new(width, tone));
        if c.side != Side::Right {
            notes.keep_line_clear(ends[0], ends[1], half);
        }
    }
}

/// Links as plain strokes: colour means force here. Left arrows lie over the link, right ones under it, fainter.
fn links(painter: &Painter, scene: &Scene<'_>, view: &View, notes: &mut Notes) {
    let bench = scene.bench;
    let p = bench.palette;
    let scale = Scale::of(bench, view.rect.width());
    for (rod, r) in bench.study.rear.rods.iter().enumerate() {
        let ghost = [(Carrier::Frame, r.frame), (Carrier::Axle, r.axle)]
            .map(|(on, q)| scene.ghost(on, q).map(|q| view.at(FACE.flat(q))));
        if let ([Some(a), Some(b)], true) = (ghost, r.side != Side::Right) {
            dashed(
                painter,
                &[a, b],
                Stroke::new(1.0, p.faint(p.chalk, 0.35)),
                3.0,
                4.0,
            );
        }
        let ends = scene.rod(r).map(|q| view.at(FACE.flat(q)));
        let right = r.side == Side::Right;
        if right {
            dashed(
                painter,
                &ends,
                Stroke::new(1.5, p.faint(p.chalk, 0.6)),
                5.0,
                4.0,
            );
        } else {
            painter.line_segment(ends, Stroke::new(3.0, p.chalk));
            notes.keep_line_clear(ends[0], ends[1], 7.0);
        }
        let Some(force) = scene.force(rod) else {
            continue;
        };
        // Up on the screen is the left side's, whichever way the link runs.
        let over = if ends[1].x < ends[0].x { 1.0 } else { -1.0 };
        let aside = match r.side {
            Side::Right => -8.0 * over,
            _ => 8.0 * over,
        };
        let colour = forces::colour(bench, force);
        let tone = if right { p.faint(colour, 0.75) } else { colour };
        forces::along(painter, ends, aside, force, scale, tone);
    }
}

fn brackets(painter: &Painter, scene: &Scene<'_>, view: &View, notes: &mut Notes) {
    let bench = scene.bench;
    let p = bench.palette;
    for x in &bench.build.rear.brackets {
        let holes: Vec<Pos2> = (1..=x.hole_count())
            .filter_map(|n| Some(view.at(FACE.flat(scene.carry(x.on, x.hole(n)?.si())))))
            .collect();
        let (Some(first), Some(last)) = (holes.first(), holes.last()) else {
            continue;
        };
        let chosen = matches!(bench.selected, Some(build::Part::Bracket(id)) if *id == x.id);
        let colour = if chosen {
            p.accent
        } else {
            p.chalk.gamma_multiply(0.8)
        };
        let half = ((0.5 * x.plate_width.si() * view.scale) as f32).max(5.0);
        plate(painter, *first, *last, half, Stroke::new(1.0, colour));
        let r = ((0.5 * x.drill.si() * view.scale) as f32).clamp(1.5, half * 0.8);
        for h in &holes {
            painter.circle_stroke(*h, r, Stroke::new(1.0, colour));
        }
        notes.keep_line_clear(*first, *last, 8.0);
    }
}

/// The whole car's centre of gravity where sprung mass and axle are now.
fn centre_of_gravity(painter: &Painter, scene: &Scene<'_>, view: &View) -> Pos2 {
    let bench = scene.bench;
    let p = bench.palette;
    let car = &bench.build.car;
    let drawn = [
        car.wheelbase.si() * (1.0 - car.rear_share.si()),
        0.0,
        car.cg_height.si(),
    ];
    let at = scene.shown.as_ref().map_or(drawn, |s| {
        let m = s.settled.model().car();
        let body = s.pose.carry(Carrier::Frame, m.sprung_cg.into());
        let axle = s.pose.carry(Carrier::Axle, m.axle_cg.into());
        [0, 1, 2].map(|k| (m.sprung_mass * body[k] + m.axle_mass * axle[k]) / m.mass())
    });
    let screen = view.at(FACE.flat(at));
    cg_mark(painter, screen, 8.0, p.chalk, p.ground);
    screen
}
