//! The car from behind in the pose of a balance: both rear tyres, roll, the springs.

use build::{Build, Carrier, Case, Side, Sides};
use eframe::egui::{Align2, Painter, Pos2, Rect, Shape, Stroke, Ui, pos2, vec2};
use units::Kind;

use super::forces::{self, Scale};
use super::notes::{Notes, Run};
use super::said::load_words;
use super::scene::Scene;
use super::side::BELOW;
use crate::ui::canvas::{self, View};
use crate::ui::draw::{dash_dot, dashed, text_fit};
use crate::ui::grips;
use crate::ui::handles::{Face, eyes, handles};
use crate::ui::theme::{bold, plain};

const FACE: Face = Face::Rear;

/// The view with its handles: eyes and the mounts of single bars.
pub fn show(ui: &mut Ui, scene: &Scene<'_>, view: &mut View) {
    let bench = scene.bench;
    let b = bench.build;
    let p = bench.palette;
    let (_, painter) = canvas::begin(ui, "Car from behind", view);
    let half = 0.5 * (b.car.rear.track.si() + b.car.rear.tyre_width.si());
    if view.fit {
        let mut top = b
            .car
            .rear
            .tyre_diameter
            .si()
            .max(rail_height(b) + b.frame.depth.si());
        for c in &b.power.coilovers {
            top = top.max(c.at_frame.height.si());
        }
        view.fit_to([-half, 0.0], [half, top.min(2.5)], vec2(12.0, 40.0));
        view.stand_on(0.0, BELOW);
    }
    let floor = view.at([0.0, 0.0]).y;
    painter.hline(view.rect.x_range(), floor, Stroke::new(2.0, p.chalk));
    let mut notes = Notes::new(view.rect);
    notes.keep_clear(Rect::from_x_y_ranges(
        view.rect.x_range(),
        floor - 1.0..=floor + 1.0,
    ));
    let title = text_fit(
        &painter,
        view.rect.min + vec2(8.0, 5.0),
        Align2::LEFT_TOP,
        "From behind",
        bold(12.0),
        p.ink,
        view.rect.width() - 16.0,
    );
    notes.keep_clear(title.expand(3.0));
    if let Some(s) = scene.shown.as_ref().filter(|s| s.case != Case::Rest)
        && let Some(d) = build::definition("launch.roll")
    {
        let words = format!(
            "body rolls {}",
            d.display(s.balance.roll_change, bench.shop())
        );
        let rect = text_fit(
            &painter,
            title.left_bottom() + vec2(0.0, 1.0),
            Align2::LEFT_TOP,
            &words,
            plain(11.0),
            p.dim,
            view.rect.width() - 16.0,
        );
        notes.keep_clear(rect.expand(3.0));
    }
    dash_dot(
        &painter,
        &[view.at([0.0, 0.0]), view.at([0.0, 1.2])],
        Stroke::new(1.0, p.faint(p.dim, 0.6)),
    );
    body(&painter, scene, view);
    axle(&painter, scene, view);
    rods(&painter, scene, view, &mut notes);
    let mut placed = handles(b, FACE);
    placed.extend(eyes(b, FACE));
    for h in &placed {
        let at = view.at(grips::stands(bench.build, view, FACE, h, scene.carriage()));
        notes.keep_clear(Rect::from_center_size(at, vec2(18.0, 18.0)));
    }
    loads(&painter, scene, view, &mut notes);
    bar_notes(&painter, scene, view, &mut notes);
    grips::lay(ui, &painter, bench, view, FACE, &placed, scene.carriage());
}

/// Height of the rail's bottom face over the axle, m.
fn rail_height(b: &Build) -> f64 {
    for w in b.frame.line.windows(2) {
        let (a, c) = (w[0].0.si(), w[1].0.si());
        if a <= 0.0 && c >= 0.0 && c > a {
            return w[0].1.si() - a / (c - a) * (w[1].1.si() - w[0].1.si());
        }
    }
    b.frame.line.first().map_or(0.3, |p| p.1.si())
}

/// A box of the drawing carried by a pose.
fn corners(low: [f64; 2], high: [f64; 2]) -> [[f64; 3]; 5] {
    [
        [low[0], low[1]],
        [high[0], low[1]],
        [high[0], high[1]],
        [low[0], high[1]],
        [low[0], low[1]],
    ]
    .map(|[y, z]| [0.0, y, z])
}

/// Both rails, joined by what joins them, and where they were.
fn body(painter: &Painter, scene: &Scene<'_>, view: &View) {
    let b = scene.bench.build;
    let p = scene.bench.palette;
    let z = rail_height(b);
    let (a, c) = (
        b.frame.offset.si(),
        b.frame.offset.si() + b.frame.width.si(),
    );
    for s in [1.0, -1.0] {
        let block = corners([s * a, z], [s * c, z + b.frame.depth.si()]);
        let ghost: Vec<Pos2> = block
            .iter()
            .filter_map(|q| scene.ghost(Carrier::Frame, *q))
            .map(|q| view.at(FACE.flat(q)))
            .collect();
        dashed(
            painter,
            &ghost,
            Stroke::new(1.0, p.faint(p.chalk, 0.35)),
            3.0,
            4.0,
        );
        let now = block.map(|q| view.at(FACE.flat(scene.carry(Carrier::Frame, q))));
        painter.line(now.to_vec(), Stroke::new(1.3, p.chalk.gamma_multiply(0.8)));
    }
    let across = [a, -a].map(|y| {
        view.at(FACE.flat(scene.carry(Carrier::Frame, [0.0, y, z + 0.5 * b.frame.depth.si()])))
    });
    dashed(painter, &across, Stroke::new(1.0, p.dim), 6.0, 4.0);
}

/// Tyres cut off at the floor, housing.
fn axle(painter: &Painter, scene: &Scene<'_>, view: &View) {
    let b = scene.bench.build;
    let p = scene.bench.palette;
    let floor = view.at([0.0, 0.0]).y;
    let above = painter.with_clip_rect(view.rect.intersect(Rect::everything_above(floor)));
    let (half, hub) = (0.5 * b.car.rear.track.si(), b.car.rear.loaded_radius.si());
    let (w, r) = (
        0.5 * b.car.rear.tyre_width.si(),
        0.5 * b.car.rear.tyre_diameter.si(),
    );
    let carried = |q: [f64; 3]| view.at(FACE.flat(scene.carry(Carrier::Axle, q)));
    for s in [1.0, -1.0] {
        let y = s * half;
        let outline = corners([y - w, hub - r], [y + w, hub + r]).map(carried);
        above.line(outline.to_vec(), Stroke::new(1.5, p.chalk));
    }
    let (tube, wide) = (
        0.5 * b.rear.housing.tube_diameter.si(),
        0.5 * b.rear.housing.width.si(),
    );
    let housing = corners([-wide, hub - tube], [wide, hub + tube]).map(carried);
    painter.add(Shape::line(housing.to_vec(), Stroke::new(1.4, p.chalk)));
    painter.circle_stroke(
        carried([0.0, 0.0, hub]),
        (0.5 * b.rear.housing.centre_diameter.si() * view.scale) as f32,
        Stroke::new(1.0, p.chalk),
    );
}

fn rods(painter: &Painter, scene: &Scene<'_>, view: &View, notes: &mut Notes) {
    let bench = scene.bench;
    let p = bench.palette;
    for c in &bench.study.launch.coilovers {
        let ends = [(Carrier::Frame, c.frame), (Carrier::Axle, c.axle)]
            .map(|(on, q)| view.at(FACE.flat(scene.carry(on, q))));
        let half = (0.028 * view.scale).clamp(3.0, 12.0) as f32;
        forces::spring(painter, ends, half, Stroke::new(1.3, p.chalk));
        notes.keep_line_clear(ends[0], ends[1], half);
    }
    for (rod, r) in bench.study.rear.rods.iter().enumerate() {
        let ends = scene.rod(r).map(|q| view.at(FACE.flat(q)));
        painter.line_segment(ends, Stroke::new(2.0, p.faint(p.chalk, 0.8)));
        let Some(force) = scene.force(rod) else {
            continue;
        };
        let colour = forces::colour(bench, force);
        if r.side == Side::Both {
            forces::along(
                painter,
                ends,
                8.0,
                force,
                Scale::of(bench, view.rect.width()),
                colour,
            );
            notes.keep_line_clear(ends[0], ends[1], 8.0);
        }
        // The second cue beside the colour: a pushed end is filled.
        let fill = if force < 0.0 { colour } else { p.ground };
        painter.circle(ends[1], 4.0, fill, Stroke::new(1.8, colour));
    }
}

fn loads(painter: &Painter, scene: &Scene<'_>, view: &View, notes: &mut Notes) {
    let bench = scene.bench;
    let p = bench.palette;
    let Some(s) = &scene.shown else {
        return;
    };
    let half = 0.5 * bench.build.car.rear.track.si();
    let (now, rest) = (&s.balance.tyre_load, &s.at_rest().tyre_load);
    for (y, load, was, word) in [
        (half, now.rear_left, rest.rear_left, "left "),
        (-half, now.rear_right, rest.rear_right, "right "),
    ] {
        let foot = pos2(view.at([-y, 0.0]).x, view.at([0.0, 0.0]).y);
        let length = Scale::of(bench, view.rect.width()).length(load);
        forces::single(painter, foot, vec2(0.0, -length), p.ink, 2.2);
        let (value, change) = load_words(scene, load, was);
        let runs = [
            Run::new(word, plain(11.0), p.dim),
            Run::new(value, bold(12.0), p.ink),
            Run::new(
                if change.is_empty() {
                    change
                } else {
                    format!("\n{change}")
                },
                plain(11.0),
                p.dim,
            ),
        ];
        let at = foot + vec2(0.0, 2.0);
        notes.put(painter, at, vec2(0.0, 1.0), &runs, p.ground);
    }
}

/// Bars across the car lie in this view: their force is written here too.
fn bar_notes(painter: &Painter, scene: &Scene<'_>, view: &View, notes: &mut Notes) {
    let bench = scene.bench;
    for (k, link) in bench.build.rear.links.iter().enumerate() {
        if link.sides != Sides::Single {
            continue;
        }
        for (rod, r) in scene.rods_of(k) {
            let Some(f) = scene.force(rod) else {
                continue;
            };
            let ends = scene.rod(r).map(|q| view.at(FACE.flat(q)));
            let value = format!("{} {}", bench.show(Kind::Force, f.abs()), forces::word(f));
            let runs = [
                Run::new(format!("{}  ", link.label), plain(11.0), bench.palette.dim),
                Run::new(value, bold(11.5), forces::colour(bench, f)),
            ];
            let middle = ends[0].lerp(ends[1], 0.5);
            notes.put(painter, middle, vec2(0.0, 1.0), &runs, bench.palette.ground);
        }
    }
}
