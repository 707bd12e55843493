//! The dimension against the beads, with the tolerance and the forecast, to plot on by hand.

use units::{Fraction, Kind, System, display_value, from_display_value};
use weld::beads::{Advice, Plan};

use super::card::Card;
use super::table::ahead;
use crate::canvas::Canvas;
use crate::error::SheetError;
use crate::layout::Composer;
use crate::page::{Dash, Face, Ink, Pen, Pt, Text, pt};
use crate::type_metrics::{cap_height, width};
use crate::welding::facts::Facts;

const SIZE: f64 = 8.0;
/// Height, mm.
const HIGH: f64 = 105.0;
/// Least height it is squeezed to, mm.
const LEAST: f64 = 60.0;
/// Beads of the past that are shown.
const PAST: u32 = 24;
/// Most grid lines up.
const LINES: f64 = 12.0;
const GRID: Pen = Pen::new(0.12, Ink::Rule);
const FRAME: Pen = Pen::new(0.25, Ink::Ink);
const TARGET: Pen = Pen::new(0.35, Ink::Ink).dashed(Dash::DashDot);
const LAID: Pen = Pen::new(0.45, Ink::Ink);
const MEAN: Pen = Pen::new(0.35, Ink::Accent).dashed(Dash::Dashed);
const BAND: Pen = Pen::new(0.25, Ink::Accent).dashed(Dash::Fine);

/// The grid up, SI: first line, step, count.
fn grid(low: f64, high: f64, f: &Facts<'_>) -> (f64, f64, usize) {
    let shop = &f.shop;
    let show = |m: f64| display_value(Kind::Length, m, shop);
    let (a, b) = (show(low), show(high));
    let needs = ((b - a) / LINES).max(1e-9);
    let step = if shop.system == System::InchPound && shop.fraction != Fraction::Decimal {
        // 1/64, 1/32, … then whole inches.
        let mut s = 1.0 / 64.0;
        while s < needs && s < 1e9 {
            s *= 2.0;
        }
        s
    } else {
        let tenth = 10_f64.powf(needs.log10().floor());
        let all = [1.0, 2.0, 5.0, 10.0];
        let least = if shop.system == System::Si {
            0.05
        } else {
            0.001
        };
        let s = all
            .into_iter()
            .map(|m| m * tenth)
            .find(|s| *s >= needs * (1.0 - 1e-9));
        s.unwrap_or(10.0 * tenth).max(least)
    };
    let first = (a / step).ceil() * step;
    let count = (((b - first) / step + 1e-6).floor().max(0.0) as usize).min(60) + 1;
    let zero = from_display_value(Kind::Length, first, shop);
    let next = from_display_value(Kind::Length, first + step, shop);
    (zero, next - zero, count)
}

pub(super) fn graph(
    sheet: &mut Composer,
    f: &Facts<'_>,
    card: &Card<'_>,
    plan: &Plan,
    advice: &Advice,
) -> Result<(), SheetError> {
    let height = if sheet.room() >= LEAST + 8.0 {
        (sheet.room() - 8.0).min(HIGH)
    } else {
        HIGH
    };
    sheet.section(
        "Graph",
        "shaded: the tolerance · dots: measured · dashed: expected from here, with its range · plot every reading",
    );
    let name = card.name(f);
    sheet.draw(height, |c| draw(c, f, &name, plan, advice))
}

fn draw(c: &mut Canvas, f: &Facts<'_>, name: &str, plan: &Plan, advice: &Advice) {
    let job = plan.job();
    let laid = plan.beads_laid();
    let first = laid.saturating_sub(PAST);
    let last = laid.saturating_add(ahead(advice).max(6));
    // Readings by the beads they came after.
    let mut at = 0_u32;
    let mut points = vec![(0_u32, job.first_reading)];
    for m in plan.moves() {
        at = at.saturating_add(m.reading.beads);
        points.push((at, m.reading.measured));
    }
    points.retain(|(k, _)| *k >= first);
    let forecast: Vec<(u32, [f64; 3])> = plan
        .forecast(ahead(advice))
        .into_iter()
        .map(|x| (laid.saturating_add(x.beads), [x.low, x.mean, x.high]))
        .collect();

    let (mut low, mut high) = (
        job.target - 1.8 * job.tolerance,
        job.target + 1.8 * job.tolerance,
    );
    for (_, v) in &points {
        low = low.min(*v);
        high = high.max(*v);
    }
    // The range may be wider than is of use: up to four tolerances past the rest.
    let (floor, roof) = (low - 2.0 * job.tolerance, high + 2.0 * job.tolerance);
    for (_, [a, _, b]) in &forecast {
        low = low.min(a.max(floor));
        high = high.max(b.min(roof));
    }
    let pad = 0.04 * (high - low);
    let (low, high) = (low - pad, high + pad);
    let (zero, step, count) = grid(low, high, f);
    let labels: Vec<(f64, String)> = (0..count)
        .map(|k| zero + k as f64 * step)
        .filter(|v| *v <= high)
        .map(|v| (v, f.kept(v)))
        .collect();
    let widest = labels
        .iter()
        .map(|(_, t)| width(t, Face::Regular, SIZE))
        .fold(0.0, f64::max);
    let cap = cap_height(SIZE);
    let (left, right, top, bottom) = (widest + 2.8, c.w - 26.0, cap + 3.2, c.h - 2.0 * cap - 4.6);
    let x = |k: f64| left + (right - left) * (k - f64::from(first)) / f64::from(last - first);
    let y = |v: f64| bottom - (bottom - top) * (v - low) / (high - low);

    let (t0, t1) = (y(job.target + job.tolerance), y(job.target - job.tolerance));
    c.rect(
        pt(left, t0),
        right - left,
        t1 - t0,
        0.0,
        None,
        Some(Ink::Head),
    );
    let every = (f64::from(last - first) / 20.0).ceil().max(1.0) as u32;
    for k in first..=last {
        let at = x(f64::from(k));
        c.line(pt(at, top), pt(at, bottom), GRID);
        if (k - first).is_multiple_of(every) {
            c.line(pt(at, bottom), pt(at, bottom + 0.9), FRAME);
            let text = Text::new(at, bottom + 1.6 + cap, SIZE, k.to_string());
            c.text(text.centred());
        }
    }
    let mut free = f64::MAX;
    for (v, text) in &labels {
        let at = y(*v);
        c.line(pt(left, at), pt(right, at), GRID);
        if free - at > 1.25 * cap {
            free = at;
            let text = Text::new(left - 2.2, at + 0.5 * cap, SIZE, text.clone());
            c.text(text.right().ink(Ink::Dim));
        }
    }
    for (v, what) in [
        (job.target + job.tolerance, "longest"),
        (job.target, "wanted"),
        (job.target - job.tolerance, "shortest"),
    ] {
        let at = y(v);
        let pen = if what == "wanted" { TARGET } else { FRAME };
        c.line(pt(left, at), pt(right, at), pen);
    }
    right_labels(c, f, plan, right, &y);
    c.rect(
        pt(left, top),
        right - left,
        bottom - top,
        0.0,
        Some(FRAME),
        None,
    );
    c.text(
        Text::new(
            left,
            top - 1.4,
            SIZE,
            crate::type_metrics::fit(name, Face::Regular, SIZE, 0.6 * c.w),
        )
        .ink(Ink::Dim),
    );
    c.text(
        Text::new(
            0.5 * (left + right),
            bottom + 2.0 * cap + 3.6,
            SIZE,
            "beads laid",
        )
        .centred()
        .ink(Ink::Dim),
    );

    for (which, pen) in [(0, BAND), (1, MEAN), (2, BAND)] {
        let line: Vec<[f64; 2]> = forecast
            .iter()
            .map(|(k, v)| [f64::from(*k), v[which]])
            .collect();
        for [p, q] in clipped(&line, low, high) {
            c.line(pt(x(p[0]), y(p[1])), pt(x(q[0]), y(q[1])), pen);
        }
    }
    let path: Vec<Pt> = points
        .iter()
        .map(|(k, v)| pt(x(f64::from(*k)), y(*v)))
        .collect();
    if path.len() > 1 {
        c.polyline(path.clone(), LAID);
    }
    for p in path {
        c.circle(p, 1.0, Some(Pen::new(0.3, Ink::Ink)), Some(Ink::Ink));
    }
}

/// Words beside the tolerance, kept apart.
fn right_labels(c: &mut Canvas, f: &Facts<'_>, plan: &Plan, right: f64, y: &dyn Fn(f64) -> f64) {
    let job = plan.job();
    let marks = [
        (job.target + job.tolerance, Face::Regular),
        (job.target, Face::Bold),
        (job.target - job.tolerance, Face::Regular),
    ];
    let cap = cap_height(SIZE);
    let mid = y(job.target);
    for (k, (v, face)) in marks.into_iter().enumerate() {
        let own = y(v);
        // Where the band is narrow on paper the outer two make room for the middle one.
        let at = match k {
            0 => own.min(mid - 1.6 * cap),
            2 => own.max(mid + 1.6 * cap),
            _ => own,
        };
        let text = crate::type_metrics::fit(&f.kept(v), face, SIZE, 24.0);
        c.text(Text::new(right + 1.6, at + 0.5 * cap, SIZE, text).face(face));
    }
}

/// Stretches of a line between two heights.
fn clipped(line: &[[f64; 2]], low: f64, high: f64) -> Vec<[[f64; 2]; 2]> {
    let mut out = Vec::new();
    for pair in line.windows(2) {
        let (p, q) = (pair[0], pair[1]);
        let rise = q[1] - p[1];
        let (mut s, mut e) = (0.0_f64, 1.0_f64);
        if rise.abs() < 1e-15 {
            if p[1] < low || p[1] > high {
                continue;
            }
        } else {
            let (a, b) = ((low - p[1]) / rise, (high - p[1]) / rise);
            s = s.max(a.min(b));
            e = e.min(a.max(b));
        }
        if s < e {
            let at = |t: f64| [p[0] + t * (q[0] - p[0]), p[1] + t * rise];
            out.push([at(s), at(e)]);
        }
    }
    out
}
