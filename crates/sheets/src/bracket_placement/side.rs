//! The side view with stations and heights from the datum.

use build::{Along, Carrier, Side};

use super::drawing::{Area, BEYOND, CAR, LINK, Labels, PLATE, SIZE_LETTER, SIZE_WORD, along};
use super::ticks::{self, Tick, dimension, margin, merged};
use crate::canvas::Canvas;
use crate::ordinate::{Axis, Ordinate};
use crate::page::{Dash, Ink, Pen, Pt, Text, pt};
use crate::parts::facts::{Facts, Piece, Used};
use crate::parts::plate::{extent, outline};
use crate::type_metrics::{fit, width};

/// Room under the view for stations and the datum's name, mm.
const FOOT: f64 = 18.0;
const DATUM: &str = "datum: rear axle centreline, on the floor";
/// Letters past this many brackets would cover the drawing.
const MOST_LETTERS: usize = 120;

/// The model box shown, m: along0, up0, along1, up1.
fn model(facts: &Facts<'_>) -> [f64; 4] {
    let wheels = &facts.build.car.rear;
    let (r, up) = (0.5 * wheels.tyre_diameter.si(), wheels.loaded_radius.si());
    let mut m = [-r, 0.0, r, up + r];
    for p in facts.drawn() {
        let at = p.bracket.at.si();
        let [x0, x1, z0, z1] = extent(&outline(p.bracket));
        m = [
            m[0].min(at[0] + x0),
            m[1].min(at[2] + z0),
            m[2].max(at[0] + x1),
            m[3].max(at[2] + z1),
        ];
    }
    [m[0] - 0.03, m[1] - 0.01, m[2] + 0.15, m[3] + 0.03]
}

/// The height at which the view fills the width, mm.
pub(super) fn best_height(w: f64, facts: &Facts<'_>) -> f64 {
    let m = model(facts);
    ((w - 44.0) * (m[3] - m[1]) / (m[2] - m[0]) + FOOT).max(60.0)
}

/// Line beside the title.
pub(super) fn note(facts: &Facts<'_>) -> String {
    let mut out = "heights and stations of the holes in use".to_owned();
    let far = facts.not_drawn();
    if !far.is_empty() {
        out = format!("{out} · {far}");
    }
    out
}

fn heights(facts: &Facts<'_>, on: Carrier) -> Vec<Tick> {
    let mut out = Vec::new();
    for p in facts.drawn().filter(|p| p.bracket.on == on) {
        for h in p.leading() {
            let side = if h.used == Used::Right { " R" } else { "" };
            out.push(Tick {
                letters: vec![p.letter.clone()],
                value: facts.words.len(h.at[2]) + side,
                at: h.at[2],
                from: h.at[0],
                strong: h.used.anywhere(),
            });
        }
    }
    merged(out, if on == Carrier::Frame { 1.0 } else { -1.0 })
}

fn stations(facts: &Facts<'_>) -> Vec<Tick> {
    let mut out = Vec::new();
    for p in facts.drawn() {
        for h in p.leading() {
            out.push(Tick {
                letters: vec![p.letter.clone()],
                value: facts.words.len(h.at[0]),
                at: h.at[0],
                from: h.at[2],
                strong: h.used.anywhere(),
            });
        }
    }
    merged(out, -1.0)
}

/// Draws the view into the whole canvas.
pub(super) fn draw(c: &mut Canvas, facts: &Facts<'_>) {
    let (front, rear) = (
        heights(facts, Carrier::Frame),
        heights(facts, Carrier::Axle),
    );
    let edge = [
        margin(&rear).max(12.0),
        0.5,
        c.w - margin(&front).max(12.0),
        c.h - FOOT,
    ];
    let area = Area::fit(model(facts), edge);
    let left_out = dimensions(c, facts, &area, &front, &rear);
    car(c, facts, &area);
    // What stands beyond the centreline lies behind.
    for right in [true, false] {
        for p in facts.drawn().filter(|p| on_right(p) == right) {
            plate(c, p, &area);
        }
    }
    links(c, facts, &area);
    for p in facts.drawn() {
        holes(c, p, &area);
    }
    words(c, facts, &area, left_out);
}

fn dimensions(
    c: &mut Canvas,
    facts: &Facts<'_>,
    area: &Area,
    front: &[Tick],
    rear: &[Tick],
) -> usize {
    let [l, t, r, b] = area.edge;
    let zero = area.view.at(0.0, 0.0);
    let by_height = |k: &Tick| {
        let p = area.view.at(k.from, k.at);
        (p.y, p.x)
    };
    let mut out = dimension(c, Axis::Right(r + 0.5), (t, b), front, None, by_height);
    out += dimension(c, Axis::Left(l - 0.5), (t, b), rear, None, by_height);
    let datum = Ordinate::new(zero.x, zero.y, "0").ink(Ink::Accent);
    out += dimension(
        c,
        Axis::Below(b + 0.5),
        (0.0, c.w),
        &stations(facts),
        Some(datum),
        |k| {
            let p = area.view.at(k.at, k.from);
            (p.x, p.y)
        },
    );
    let half = 0.5 * width(DATUM, crate::page::Face::Regular, SIZE_WORD);
    c.text(
        Text::new(
            zero.x.clamp(half, (c.w - half).max(half)),
            c.h - 2.2,
            SIZE_WORD,
            DATUM,
        )
        .centred()
        .ink(Ink::Accent),
    );
    c.line(pt(zero.x, zero.y), pt(zero.x, b + 0.5), Pen::DATUM);
    out
}

/// Floor, rails, tyre and housing.
fn car(c: &mut Canvas, facts: &Facts<'_>, area: &Area) {
    let (b, view) = (facts.build, &area.view);
    let [x0, ..] = area.model();
    let x1 = area.model()[2];
    let depth = b.frame.depth.si();
    let bottom: Vec<(f64, f64)> = b.frame.line.iter().map(|(x, z)| (x.si(), z.si())).collect();
    let top: Vec<(f64, f64)> = bottom.iter().map(|(x, z)| (*x, z + depth)).collect();
    area.polyline(c, &bottom, CAR);
    area.polyline(c, &top, CAR);
    let wheels = &b.car.rear;
    let (r, up) = (0.5 * wheels.tyre_diameter.si(), wheels.loaded_radius.si());
    // The tyre stands on the floor: the free circle is cut where the car's weight flattens it.
    let ring: Vec<(f64, f64)> = (0..=144)
        .map(|k| f64::from(k) / 144.0 * std::f64::consts::TAU)
        .map(|a| (r * a.sin(), (up - r * a.cos()).max(0.0)))
        .collect();
    area.polyline(c, &ring, CAR);
    let housing = &b.rear.housing;
    for d in [housing.centre_diameter, housing.tube_diameter] {
        c.circle(view.at(0.0, up), view.len(0.5 * d.si()), Some(CAR), None);
    }
    area.line(c, (x0, 0.0), (x1, 0.0), Pen::OBJECT);
    if let Some(reference) = facts.reference() {
        let at = reference.at.si();
        let pen = Pen::new(0.2, Ink::Dim).dashed(Dash::DashDot);
        let [_, z0, _, z1] = area.model();
        match reference.along {
            Along::Height => area.line(c, (x0, at), (x1, at), pen),
            Along::Station => area.line(c, (at, z0), (at, z1), pen),
            Along::Offset => {}
        }
    }
    // Datum: a target where the axle's plumb line meets the floor.
    c.circle(view.at(0.0, 0.0), 1.0, Some(Pen::DATUM), Some(Ink::White));
}

fn links(c: &mut Canvas, facts: &Facts<'_>, area: &Area) {
    for rod in &facts.study.rear.rods {
        let (a, b) = ((rod.axle[0], rod.axle[2]), (rod.frame[0], rod.frame[2]));
        let pen = match rod.side {
            Side::Both => LINK.dashed(Dash::DashDot),
            Side::Left => LINK,
            Side::Right => {
                let left = facts.study.rear.rod(rod.link, Side::Left);
                let same = |l: &build::RodStudy| {
                    (0..3).step_by(2).all(|k| {
                        (l.frame[k] - rod.frame[k]).abs() < 1e-6
                            && (l.axle[k] - rod.axle[k]).abs() < 1e-6
                    })
                };
                if left.is_some_and(same) {
                    continue;
                }
                BEYOND
            }
        };
        area.line(c, a, b, pen);
    }
}

/// Paper extent of a plate: left, top, right, bottom, mm.
fn plate_box(p: &Piece<'_>, area: &Area) -> [f64; 4] {
    let at = p.bracket.at.si();
    let [x0, x1, z0, z1] = extent(&outline(p.bracket));
    let (a, b) = (
        area.view.at(at[0] + x0, at[2] + z1),
        area.view.at(at[0] + x1, at[2] + z0),
    );
    [a.x, a.y, b.x, b.y]
}

fn on_right(p: &Piece<'_>) -> bool {
    !p.pair() && p.bracket.at.offset.si() < 0.0
}

fn plate(c: &mut Canvas, p: &Piece<'_>, area: &Area) {
    let at = p.bracket.at.si();
    let corners: Vec<Pt> = outline(p.bracket)
        .into_iter()
        .map(|(x, z)| area.view.at(at[0] + x, at[2] + z))
        .collect();
    let pen = if on_right(p) { BEYOND } else { PLATE };
    // White, so that the leaders of other brackets do not run through it.
    c.polygon(corners, Some(pen), Some(Ink::White));
}

fn holes(c: &mut Canvas, p: &Piece<'_>, area: &Area) {
    let radius = area.view.len(0.5 * p.bracket.drill.si()).clamp(0.35, 0.9);
    for h in &p.holes {
        let centre = area.view.at(h.at[0], h.at[2]);
        let fill = if h.used.on_left() {
            Ink::Ink
        } else {
            Ink::White
        };
        c.circle(centre, radius, Some(Pen::new(0.25, Ink::Ink)), Some(fill));
        if h.used == Used::Right {
            c.circle(centre, 0.45 * radius, None, Some(Ink::Ink));
        }
    }
}

fn words(c: &mut Canvas, facts: &Facts<'_>, area: &Area, left_out: usize) {
    let mut labels = Labels::new(c);
    let [l, t, r, b] = area.edge;
    // Words bound to a line first; letters find room more easily.
    let floor = area.view.at(0.0, 0.0).y;
    let front = Text::new(0.0, 0.0, SIZE_WORD, "front →").ink(Ink::Dim);
    labels.put(c, &front, [r, floor - 0.4, r, floor], [l, t, r, b]);
    if let Some(reference) = facts.reference() {
        let value = format!(" {}", facts.words.len(reference.at.si()));
        let room = 70.0 - width(&value, crate::page::Face::Regular, SIZE_WORD);
        let name = fit(
            &reference.label,
            crate::page::Face::Regular,
            SIZE_WORD,
            room,
        );
        let text = Text::new(0.0, 0.0, SIZE_WORD, name + &value).ink(Ink::Dim);
        let at = area.view.at(reference.at.si(), reference.at.si());
        match reference.along {
            Along::Height if at.y > t && at.y < b => {
                labels.put_at(c, &text, &along(at.y, l, r), [l, t, r, b]);
            }
            Along::Station if at.x > l && at.x < r => {
                labels.put(c, &text, [at.x, t, at.x, t], [l, t, r, b]);
            }
            _ => {}
        }
    }
    for p in facts.drawn().take(MOST_LETTERS) {
        let text = Text::new(0.0, 0.0, SIZE_LETTER, p.letter.clone())
            .bold()
            .ink(Ink::Accent);
        labels.put(c, &text, plate_box(p, area), [l, t, r, b]);
    }
    let rest = Text::new(0.0, 0.0, SIZE_WORD, ticks::say(left_out)).ink(Ink::Dim);
    labels.put(c, &rest, [l, t, l, t], [l, t, r, b]);
}
