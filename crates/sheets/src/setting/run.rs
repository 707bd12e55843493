//! Places to write in: when and where, and a card for every run.

use units::{Kind, Shop, unit_name};

use crate::canvas::Canvas;
use crate::page::{Face, Ink, Pen, Text, pt};
use crate::type_metrics::{cap_height, width};

/// Size of the labels, points.
const SIZE: f64 = 9.0;
/// Height of a line to write on, mm.
const LINE: f64 = 7.4;
/// Height of the row of boxes, mm.
const BOXES: f64 = 8.6;
/// Height of the row of ticks, mm.
const TICKS: f64 = 6.8;
/// A line to write on.
const WRITE: Pen = Pen::new(0.2, Ink::Dim);
/// What the car may have done.
const DID: [&str; 6] = [
    "spun",
    "bogged",
    "stood up",
    "pulled left",
    "pulled right",
    "hit the stop",
];
/// Tyres as they stand under the car, seen from above row by row.
const TYRES: [&str; 4] = ["LF", "RF", "LR", "RR"];

/// A place to write: what, the unit behind it, how much of the row.
struct Field<'a>(&'a str, &'a str, f64);

/// Height of the row of fields under the head, mm.
pub(super) const HEAD_HEIGHT: f64 = LINE;

/// When, where, who, weather.
pub(super) fn head(c: &mut Canvas) {
    let w = c.w;
    let row = [
        Field("date run", "", 1.0),
        Field("track or place", "", 1.7),
        Field("who", "", 0.9),
        Field("weather", "", 1.2),
    ];
    fields(c, 0.0, w, LINE - 2.4, &row);
}

/// Height of a card with so many lines for notes, mm.
pub(super) fn height(notes: usize) -> f64 {
    1.4 + BOXES + LINE + TICKS + (notes + 1) as f64 * LINE
}

/// Lines for notes that fit a card of a height, mm; at least one.
pub(super) fn notes_in(card: f64) -> usize {
    ((card - height(0)) / LINE + 1e-9).clamp(1.0, 12.0) as usize
}

/// Lines stand no wider apart than this to fill a page, mm.
const WIDEST_LINE: f64 = 9.4;

/// Height of a card that fills as much of `room` mm as looks well.
pub(super) fn filled(room: f64, notes: usize) -> f64 {
    let most = height(notes) + (notes + 2) as f64 * (WIDEST_LINE - LINE);
    room.clamp(height(notes), most)
}

/// A card: one run. Its lines are spread over the height there is.
pub(super) fn card(c: &mut Canvas, shop: &Shop, notes: usize) {
    let (w, notes) = (c.w, notes.max(1));
    let line = LINE + (c.h - height(notes)).max(0.0) / (notes + 2) as f64;
    c.line(pt(0.0, 0.0), pt(w, 0.0), Pen::new(0.25, Ink::Ink));
    let mut base = 1.4 + BOXES - 2.6;
    fields(
        c,
        0.0,
        0.42 * w,
        base,
        &[Field("run", "", 0.8), Field("time of day", "", 1.4)],
    );
    pressures(c, 0.45 * w, base, shop);
    base += line;
    let speed = unit_name(Kind::Speed, shop);
    let times = [
        Field("60 ft", "s", 1.0),
        Field("1/8 mile", "s", 1.1),
        Field("at", speed, 0.95),
        Field("1/4 mile", "s", 1.1),
        Field("at", speed, 0.95),
    ];
    fields(c, 0.0, w, base, &times);
    base += TICKS;
    ticks(c, base);
    base += line;
    fields(c, 0.0, w, base, &[Field("notes", "", 1.0)]);
    for _ in 1..notes {
        base += line;
        c.line(pt(0.0, base + 0.8), pt(w, base + 0.8), WRITE);
    }
    base += line;
    fields(c, 0.0, w, base, &[Field("change next", "", 1.0)]);
}

fn label(c: &mut Canvas, x: f64, base: f64, text: &str) -> f64 {
    c.text(Text::new(x, base, SIZE, text).ink(Ink::Dim));
    x + width(text, Face::Regular, SIZE)
}

/// Fields side by side from `x0` to `x1`, mm.
fn fields(c: &mut Canvas, x0: f64, x1: f64, base: f64, row: &[Field<'_>]) {
    let gap = 3.6;
    let room = x1 - x0 - gap * row.len().saturating_sub(1) as f64;
    let parts: f64 = row.iter().map(|f| f.2).sum();
    let mut x = x0;
    for Field(what, unit, part) in row {
        let end = x + room * part / parts;
        let from = label(c, x, base, what) + 1.4;
        let behind = width(unit, Face::Regular, SIZE);
        let to = if unit.is_empty() {
            end
        } else {
            label(c, end - behind, base, unit);
            end - behind - 1.2
        };
        if to > from {
            c.line(pt(from, base + 0.8), pt(to, base + 0.8), WRITE);
        }
        x = end + gap;
    }
}

/// Four boxes for the tyre pressures, from `x0` to the right edge.
fn pressures(c: &mut Canvas, x0: f64, base: f64, shop: &Shop) {
    let title = format!("tyres, {}", unit_name(Kind::Pressure, shop));
    let from = label(c, x0, base, &title) + 3.0;
    let (step, high) = ((c.w - from) / TYRES.len() as f64, 6.2);
    for (k, tyre) in TYRES.iter().enumerate() {
        let x = from + k as f64 * step;
        let left = label(c, x, base, tyre) + 1.2;
        let right = from + (k + 1) as f64 * step - if k + 1 < TYRES.len() { 2.4 } else { 0.0 };
        let top = base - 0.5 * (cap_height(SIZE) + high);
        c.rect(pt(left, top), right - left, high, 0.4, Some(WRITE), None);
    }
}

/// Boxes to tick.
fn ticks(c: &mut Canvas, base: f64) {
    let words: f64 = DID.iter().map(|d| width(d, Face::Regular, SIZE)).sum();
    let side = 3.0;
    let own = words + DID.len() as f64 * (side + 1.4);
    let gap = (c.w - own) / (DID.len() - 1) as f64;
    let mut x = 0.0;
    for did in DID {
        let top = base - 0.5 * (cap_height(SIZE) + side);
        let pen = Some(Pen::new(0.3, Ink::Ink));
        c.rect(pt(x, top), side, side, 0.3, pen, Some(Ink::White));
        c.text(Text::new(x + side + 1.4, base, SIZE, did));
        x += side + 1.4 + width(did, Face::Regular, SIZE) + gap;
    }
}
