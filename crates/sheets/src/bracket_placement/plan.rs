//! The plan, seen from above: how far out everything stands.

use build::{Along, Carrier, Side};

use super::drawing::{Area, CAR, LINK, Labels, SIZE_LETTER, SIZE_WORD, along};
use super::ticks::{self, Tick, dimension, margin, merged};
use crate::canvas::Canvas;
use crate::ordinate::Axis;
use crate::page::{Dash, Face, Ink, Pen, Text, pt};
use crate::parts::facts::{Facts, Piece, Used};
use crate::parts::plate::{extent, outline};
use crate::type_metrics::{fit, width};

const MOST_LETTERS: usize = 120;
/// How thick a plate is drawn, mm on paper: the build does not say.
const THICK: f64 = 1.3;

/// The model box shown, m: along0, left0, along1, left1. The right side is cut past its last part.
fn model(facts: &Facts<'_>) -> [f64; 4] {
    let car = &facts.build.car.rear;
    let r = 0.5 * car.tyre_diameter.si();
    let out = 0.5 * (car.track.si() + car.tyre_width.si());
    let mut m = [-r, -out, r, out];
    for p in facts.drawn() {
        let at = p.bracket.at.si();
        let [x0, x1, ..] = extent(&outline(p.bracket));
        m = [
            m[0].min(at[0] + x0),
            m[1].min(-at[1].abs()),
            m[2].max(at[0] + x1),
            m[3].max(at[1].abs()),
        ];
    }
    [m[0] - 0.03, m[1] - 0.02, m[2] + 0.15, m[3] + 0.02]
}

/// The height at which the view fills the width, mm.
pub(super) fn best_height(w: f64, facts: &Facts<'_>) -> f64 {
    let m = model(facts);
    ((w - 44.0) * (m[3] - m[1]) / (m[2] - m[0])).max(60.0)
}

/// Line beside the title.
pub(super) fn note(facts: &Facts<'_>) -> String {
    let mut out =
        "seen from above, left side up · out from the centreline, both sides alike".to_owned();
    let far = facts.not_drawn();
    if !far.is_empty() {
        out = format!("{out} · {far}");
    }
    out
}

fn offsets(facts: &Facts<'_>, on: Carrier) -> Vec<Tick> {
    let mut out = Vec::new();
    for p in facts.drawn().filter(|p| p.bracket.on == on) {
        let Some(h) = p.leading().into_iter().next() else {
            continue;
        };
        let value = if p.pair() {
            facts.words.len(h.at[1])
        } else {
            facts.words.out_with_side(h.at[1])
        };
        out.push(Tick {
            letters: vec![p.letter.clone()],
            value,
            at: h.at[1],
            from: h.at[0],
            strong: true,
        });
    }
    merged(out, if on == Carrier::Frame { 1.0 } else { -1.0 })
}

/// Draws the view into the whole canvas.
pub(super) fn draw(c: &mut Canvas, facts: &Facts<'_>) {
    let (front, rear) = (
        offsets(facts, Carrier::Frame),
        offsets(facts, Carrier::Axle),
    );
    let edge = [
        margin(&rear).max(12.0),
        0.5,
        c.w - margin(&front).max(12.0),
        c.h - 0.5,
    ];
    let area = Area::fit(model(facts), edge);
    let [l, t, r, b] = edge;
    let place = |k: &Tick| {
        let p = area.view.at(k.from, k.at);
        (p.y, p.x)
    };
    let mut left_out = dimension(c, Axis::Right(r + 0.5), (t, b), &front, None, place);
    left_out += dimension(c, Axis::Left(l - 0.5), (t, b), &rear, None, place);
    car(c, facts, &area);
    for rod in &facts.study.rear.rods {
        let pen = if rod.side == Side::Both {
            LINK.dashed(Dash::DashDot)
        } else {
            LINK
        };
        area.line(
            c,
            (rod.axle[0], rod.axle[1]),
            (rod.frame[0], rod.frame[1]),
            pen,
        );
    }
    for p in facts.drawn() {
        plate(c, p, 1.0, &area);
        if p.pair() {
            plate(c, p, -1.0, &area);
        }
    }
    words(c, facts, &area, left_out);
}

/// Tyres, rails, axle and the two datum lines.
fn car(c: &mut Canvas, facts: &Facts<'_>, area: &Area) {
    let b = facts.build;
    let [x0, y0, x1, y1] = area.model();
    let wheels = &b.car.rear;
    let (r, half, out) = (
        0.5 * wheels.tyre_diameter.si(),
        0.5 * wheels.tyre_width.si(),
        0.5 * wheels.track.si(),
    );
    let ring =
        |x0: f64, y0: f64, x1: f64, y1: f64| [(x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0)];
    let ends = (b.frame.line.first(), b.frame.line.last());
    for side in [1.0, -1.0] {
        area.polyline(c, &ring(-r, side * out - half, r, side * out + half), CAR);
        if let (Some(first), Some(last)) = ends {
            let (inner, wide) = (b.frame.offset.si(), b.frame.width.si());
            for y in [inner, inner + wide] {
                area.line(c, (first.0.si(), side * y), (last.0.si(), side * y), CAR);
            }
        }
    }
    let h = &b.rear.housing;
    let (tube, centre, wide) = (
        0.5 * h.tube_diameter.si(),
        0.5 * h.centre_diameter.si(),
        0.5 * h.width.si(),
    );
    area.polyline(c, &ring(-tube, -wide, tube, wide), CAR);
    area.polyline(c, &ring(-centre, -centre, centre, centre), CAR);
    let line = Pen::new(0.25, Ink::Accent).dashed(Dash::DashDot);
    area.line(c, (x0, 0.0), (x1, 0.0), line);
    area.line(c, (0.0, y0), (0.0, y1), line);
    if let Some(reference) = facts.reference()
        && reference.along == Along::Offset
    {
        let at = reference.at.si();
        let pen = Pen::new(0.2, Ink::Dim).dashed(Dash::DashDot);
        area.line(c, (x0, at), (x1, at), pen);
        area.line(c, (x0, -at), (x1, -at), pen);
    }
}

/// Paper extent of a plate on one side: left, top, right, bottom, mm.
fn plate_box(p: &Piece<'_>, side: f64, area: &Area) -> [f64; 4] {
    let at = p.bracket.at.si();
    let [x0, x1, ..] = extent(&outline(p.bracket));
    let (a, b) = (
        area.view.at(at[0] + x0, side * at[1]),
        area.view.at(at[0] + x1, side * at[1]),
    );
    [a.x, a.y - 0.5 * THICK, b.x, b.y + 0.5 * THICK]
}

fn plate(c: &mut Canvas, p: &Piece<'_>, side: f64, area: &Area) {
    let [l, t, r, b] = plate_box(p, side, area);
    let corners = [pt(l, t), pt(r, t), pt(r, b), pt(l, b)];
    c.polygon(corners, Some(super::drawing::PLATE), Some(Ink::White));
    for h in p.leading() {
        let here = match (h.used, p.pair()) {
            (Used::No, _) => continue,
            (Used::Left, true) => side > 0.0,
            (Used::Right, true) => side < 0.0,
            _ => true,
        };
        if here {
            let centre = area.view.at(h.at[0], side * h.at[1]);
            c.circle(centre, 0.85, None, Some(Ink::Ink));
        }
    }
}

fn words(c: &mut Canvas, facts: &Facts<'_>, area: &Area, left_out: usize) {
    let mut labels = Labels::new(c);
    let edge = area.edge;
    let [l, t, r, _] = edge;
    for p in facts.drawn().take(MOST_LETTERS) {
        let text = Text::new(0.0, 0.0, SIZE_LETTER, p.letter.clone())
            .bold()
            .ink(Ink::Accent);
        labels.put(c, &text, plate_box(p, 1.0, area), edge);
    }
    let zero = area.view.at(0.0, 0.0);
    let word = |labels: &mut Labels, c: &mut Canvas, text: String, ink: Ink, near: [f64; 4]| {
        labels.put(
            c,
            &Text::new(0.0, 0.0, SIZE_WORD, text).ink(ink),
            near,
            edge,
        );
    };
    word(
        &mut labels,
        c,
        "centreline, front →".into(),
        Ink::Accent,
        [r, zero.y - 0.4, r, zero.y + 0.4],
    );
    for rod in facts
        .study
        .rear
        .rods
        .iter()
        .filter(|k| k.side == Side::Both)
    {
        let Some(link) = facts.build.rear.links.get(rod.link) else {
            continue;
        };
        let mid = |k: usize| 0.5 * (rod.axle[k] + rod.frame[k]);
        let at = area.view.at(mid(0), mid(1));
        let text = fit(&link.label, Face::Regular, SIZE_WORD, 50.0);
        word(
            &mut labels,
            c,
            text,
            Ink::Dim,
            [at.x - 2.0, at.y - 2.0, at.x + 2.0, at.y + 2.0],
        );
    }
    if let Some(reference) = facts.reference()
        && reference.along == Along::Offset
    {
        let value = format!(" {}", facts.words.len(reference.at.si()));
        let room = 70.0 - width(&value, Face::Regular, SIZE_WORD);
        let text = fit(&reference.label, Face::Regular, SIZE_WORD, room) + &value;
        let at = area.view.at(0.0, reference.at.si());
        labels.put_at(
            c,
            &Text::new(0.0, 0.0, SIZE_WORD, text).ink(Ink::Dim),
            &along(at.y, l, r),
            edge,
        );
    }
    word(&mut labels, c, ticks::say(left_out), Ink::Dim, [l, t, l, t]);
}
