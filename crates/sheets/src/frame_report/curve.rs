//! Twist along the frame, drawn and listed.

use build::TwistAnswer;
use units::Kind;

use crate::canvas::Canvas;
use crate::error::SheetError;
use crate::layout::Composer;
use crate::ordinate::{Axis, Ordinate, draw};
use crate::page::{Ink, Pen, Pt, Text, pt};
use crate::table::{Cell, Col, Row, Table};
use crate::tubework::Facts;
use crate::type_metrics::cap_height;
use crate::welding::words::{share, short};

const HEIGHT: f64 = 62.0;
const LEFT: f64 = 20.0;
const TOP: f64 = 6.0;
const BOTTOM: f64 = 15.0;
const SIZE: f64 = 8.5;
const GRID: Pen = Pen::new(0.15, Ink::Rule);

pub(super) fn section(sheet: &mut Composer, f: &Facts<'_>) -> Result<(), SheetError> {
    let Ok(twist) = &f.study.frame.twist else {
        return Ok(());
    };
    let usable = |v: f64| v.is_finite() && v.abs() < 1e6;
    if twist.curve.len() < 2 || !twist.curve.iter().all(|p| usable(p.x) && usable(p.phi)) {
        return Ok(());
    }
    let torque = units::format(Kind::Torque, twist.torque, &f.shop);
    sheet.section(
        "Twist along the frame",
        &format!("at {torque} · a steep piece is a soft bay"),
    );
    sheet.draw(HEIGHT, |c| plot(c, twist))?;
    sheet.table(&table(f, twist))
}

/// A round step that divides a span into six at most.
fn step(span: f64) -> f64 {
    let raw = (span / 6.0).max(1e-9);
    let ten = 10_f64.powf(raw.log10().floor());
    let found = [1.0, 2.0, 5.0, 10.0].into_iter().find(|k| k * ten >= raw);
    found.unwrap_or(10.0) * ten
}

fn plot(c: &mut Canvas, twist: &TwistAnswer) {
    let points: Vec<(f64, f64)> = twist
        .curve
        .iter()
        .map(|p| (p.x, p.phi.to_degrees()))
        .collect();
    let fold = |of: fn(&(f64, f64)) -> f64| {
        points
            .iter()
            .map(of)
            .fold((f64::MAX, f64::MIN), |(a, b), v| (a.min(v), b.max(v)))
    };
    let ((x0, x1), (y0, y1)) = (fold(|p| p.0), fold(|p| p.1));
    let (y0, y1) = (y0.min(0.0), y1.max(y0 + 1e-6));
    let every = step(y1 - y0);
    let (low, high) = ((y0 / every).floor() * every, (y1 / every).ceil() * every);
    let (l, r, t, b) = (LEFT, c.w - 4.0, TOP, c.h - BOTTOM);
    let at = |(x, y): (f64, f64)| -> Pt {
        pt(
            l + 3.0 + (r - l - 6.0) * (x - x0) / (x1 - x0).max(1e-9),
            b - (b - t) * (y - low) / (high - low).max(1e-9),
        )
    };
    let lines = ((high - low) / every).round().clamp(1.0, 20.0) as u32;
    let digits = (-every.log10().floor()).clamp(0.0, 6.0) as usize;
    for k in 0..=lines {
        let v = low + f64::from(k) * every;
        let y = at((x0, v)).y;
        c.line(pt(l, y), pt(r, y), GRID);
        let text = format!("{v:.digits$}°").replace('-', "−");
        c.text(Text::new(l - 1.6, y + 0.5 * cap_height(SIZE), SIZE, text).right());
    }
    let marks: Vec<Ordinate> = points
        .iter()
        .enumerate()
        .map(|(k, p)| Ordinate::new(at(*p).x, at(*p).y + 0.9, (k + 1).to_string()).ink(Ink::Dim))
        .collect();
    let before = c.items.len();
    if draw(c, Axis::Below(b + 1.0), (l, r), &marks, SIZE).is_err() {
        c.items.truncate(before);
    }
    let curve: Vec<Pt> = points.iter().map(|p| at(*p)).collect();
    if let Some([from, to]) = twist
        .soft
        .and_then(|i| twist.bays.get(i))
        .map(|b| b.between)
        && let (Some(a), Some(z)) = (curve.get(from), curve.get(to))
    {
        c.line(*a, *z, Pen::new(1.6, Ink::Accent));
    }
    c.polyline(curve.clone(), Pen::new(0.6, Ink::Ink));
    for p in &curve {
        c.circle(*p, 0.9, Some(Pen::OBJECT), Some(Ink::White));
    }
    c.line(pt(l, t), pt(l, b), Pen::THIN);
    c.text(
        Text::new(
            0.0,
            3.0,
            SIZE,
            "twist, from back to front; wide: the softest bay",
        )
        .ink(Ink::Dim),
    );
}

fn table(f: &Facts<'_>, twist: &TwistAnswer) -> Table {
    let (metres, unit) = match f.shop.system {
        units::System::InchPound => (0.3048, "ft"),
        units::System::Si => (1.0, "m"),
    };
    let mut t = Table::new([
        Col::left(""),
        Col::left("place").share(1.0),
        Col::right("ahead"),
        Col::right("twist"),
        Col::left("bay to the next").share(0.6),
        Col::right("of the twist"),
        Col::right(format!("per {unit}")),
    ]);
    for (k, p) in twist.curve.iter().enumerate() {
        let bay = twist
            .bays
            .iter()
            .enumerate()
            .find(|(_, b)| b.between[0] == k);
        let soft = bay.is_some_and(|(i, _)| twist.soft == Some(i));
        let mut row = Row::new([
            Cell::new((k + 1).to_string()).bold(),
            Cell::new(short(&p.label)),
            Cell::new(f.tape(p.x)),
            Cell::new(format!("{:.3}°", p.phi.to_degrees()).replace('-', "−")),
            Cell::new(if soft { "the softest" } else { "" }).accent(),
            Cell::new(bay.map_or_else(String::new, |(_, b)| share(b.share))),
            Cell::new(bay.map_or_else(String::new, |(_, b)| {
                format!("{:.3}°", (b.rate * metres).to_degrees()).replace('-', "−")
            })),
        ]);
        row.tint = soft;
        t.push(row);
    }
    t
}
