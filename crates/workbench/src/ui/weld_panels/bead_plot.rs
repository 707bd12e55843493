//! The dimension against the beads laid: measured points, the tolerance, what the next may do.

use build::{ControlDimension, Correction, CorrectionStudy};
use eframe::egui::{
    self, Align2, Painter, Pos2, Rect, Role, Sense, Shape, Stroke, Ui, WidgetInfo, pos2, vec2,
};
use weld::beads::{Forecast, Why};

use super::super::bench::Bench;
use super::super::draw;
use super::super::theme::{bold, plain};
use super::words;

/// Beads looked ahead at most, on the plot.
const AHEAD: u32 = 8;
/// Least room left of the plot for the figures, points.
const LEFT: f32 = 60.0;
/// Room below it, points.
const BELOW: f32 = 34.0;

/// The points measured: (beads laid, dimension m); the first is before any.
pub(super) fn measured(c: &Correction) -> Vec<(u32, f64)> {
    let mut beads = 0_u32;
    let mut all = vec![(0, c.start.si())];
    for x in &c.laid {
        beads = beads.saturating_add(x.beads);
        all.push((beads, x.value.si()));
    }
    all
}

struct Axes {
    rect: Rect,
    beads: f64,
    low: f64,
    high: f64,
}

impl Axes {
    fn at(&self, beads: f64, metres: f64) -> Pos2 {
        let across = beads / self.beads.max(1e-9);
        let up = ((metres - self.low) / (self.high - self.low).max(1e-12)).clamp(-0.2, 1.2);
        pos2(
            self.rect.left() + across as f32 * self.rect.width(),
            self.rect.bottom() - up as f32 * self.rect.height(),
        )
    }
}

/// Shows the plot of a correction in a room of this height.
pub(super) fn show(
    ui: &mut Ui,
    bench: &Bench<'_>,
    d: &ControlDimension,
    tolerance: f64,
    c: &Correction,
    s: &CorrectionStudy,
    height: f32,
) {
    let p = bench.palette;
    let size = vec2(ui.available_width().max(160.0), height.max(120.0));
    let (all, response) = ui.allocate_exact_size(size, Sense::hover());
    let points = measured(c);
    let laid = points.last().map_or(0, |x| x.0);
    let lay = s.advice.as_ref().map_or(0, |a| a.lay);
    let going = s
        .advice
        .as_ref()
        .is_some_and(|a| a.why == Why::LayAndMeasure);
    let forecast = if going {
        s.forecast((lay + 2).min(AHEAD))
    } else {
        Vec::new()
    };
    let want = d.want.si();
    let figure = words::size(bench, want);
    let figure = ui.painter().layout_no_wrap(figure, bold(11.5), p.ink);
    let sheet = Rect::from_min_max(
        pos2(
            all.left() + LEFT.max(figure.size().x + 12.0),
            all.top() + 34.0,
        ),
        pos2(all.right() - 10.0, all.bottom() - BELOW),
    );
    let axes = axes(sheet, &points, &forecast, want, tolerance, laid);
    response.widget_info(|| {
        let name = format!("{} against beads", d.label);
        let mut info = WidgetInfo::labeled(Role::Image, true, name);
        let said: Vec<String> = points
            .iter()
            .map(|(n, v)| format!("{n} beads {}", words::size(bench, *v)))
            .collect();
        info.current_text_value = Some(said.join(", "));
        info
    });
    let painter = ui.painter().with_clip_rect(all);
    // The tolerance, shaded.
    let shade = Rect::from_two_pos(
        axes.at(0.0, want - tolerance),
        axes.at(axes.beads, want + tolerance),
    );
    painter.rect_filled(shade.intersect(axes.rect), 0, p.band.gamma_multiply(0.7));
    levels(
        &painter,
        bench,
        &axes,
        want,
        tolerance,
        axes.rect.left() - all.left(),
    );
    marks_below(&painter, bench, &axes, all);
    ahead(&painter, bench, &axes, laid, &forecast);
    let line: Vec<Pos2> = points
        .iter()
        .map(|(n, v)| axes.at(f64::from(*n), *v))
        .collect();
    painter.line(line.clone(), Stroke::new(2.2, p.upper));
    for at in line {
        painter.circle(at, 4.5, p.ground, Stroke::new(2.0, p.upper));
    }
    if going && lay > 0 {
        stop(&painter, bench, &axes, s, laid + lay);
    }
}

fn axes(
    rect: Rect,
    points: &[(u32, f64)],
    forecast: &[Forecast],
    want: f64,
    tolerance: f64,
    laid: u32,
) -> Axes {
    let ends = forecast.iter().flat_map(|f| {
        // A wild range must not press all the rest flat.
        [
            f.mean,
            f.low.max(want - 6.0 * tolerance),
            f.high.min(want + 6.0 * tolerance),
        ]
    });
    let values = points.iter().map(|x| x.1).chain(ends);
    let values = values.chain([want - tolerance, want + tolerance]);
    let (low, high) = values
        .filter(|v| v.is_finite())
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), v| {
            (a.min(v), b.max(v))
        });
    let pad = ((high - low) * 0.07).max(1e-5);
    let beads = laid + forecast.len().saturating_sub(1) as u32 + 1;
    Axes {
        rect,
        beads: f64::from(beads.max(5)),
        low: low - pad,
        high: high + pad,
    }
}

/// The target with its own figure, its limits and as many tolerances below as there are.
fn levels(
    painter: &Painter,
    bench: &Bench<'_>,
    axes: &Axes,
    want: f64,
    tolerance: f64,
    at_least: f32,
) {
    let p = bench.palette;
    // Steps of one tolerance, or of as many as keep the figures apart.
    let room = (axes.rect.height() / 20.0).max(2.0) as f64;
    let mut step = 1.0;
    while (axes.high - axes.low) / (tolerance * step) > room && step < 1e6 {
        step *= 2.0;
    }
    let figures = (at_least - 6.0).max(20.0);
    let first = ((axes.low - want) / (tolerance * step)).ceil() as i64;
    let last = ((axes.high - want) / (tolerance * step)).floor() as i64;
    for k in first..=last.min(first.saturating_add(60)) {
        let off = k as f64 * step * tolerance;
        let at = axes.at(0.0, want + off);
        painter.hline(axes.rect.x_range(), at.y, Stroke::new(1.0, p.grid));
        let text = if k == 0 {
            words::size(bench, want)
        } else {
            let sign = if k > 0 { "+" } else { "−" };
            format!("{sign}{}", words::size(bench, off.abs()))
        };
        let font = if k == 0 { bold(11.5) } else { plain(11.0) };
        let colour = if k == 0 { p.ink } else { p.dim };
        draw::text_fit(
            painter,
            at - vec2(6.0, 0.0),
            Align2::RIGHT_CENTER,
            &text,
            font,
            colour,
            figures,
        );
    }
}

fn marks_below(painter: &Painter, bench: &Bench<'_>, axes: &Axes, all: Rect) {
    let p = bench.palette;
    let most = (axes.rect.width() / 26.0).max(1.0) as f64;
    let step = (axes.beads / most).ceil().max(1.0);
    let mut n = 0.0;
    while n <= axes.beads {
        let at = pos2(axes.at(n, 0.0).x, axes.rect.bottom() + 4.0);
        let text = format!("{n}");
        painter.text(at, Align2::CENTER_TOP, text, plain(11.0), p.dim);
        n += step;
    }
    painter.text(
        pos2(axes.rect.center().x, all.bottom() - 1.0),
        Align2::CENTER_BOTTOM,
        "beads laid",
        plain(11.0),
        p.dim,
    );
}

/// What the next beads may do: a dashed line in its range.
fn ahead(painter: &Painter, bench: &Bench<'_>, axes: &Axes, laid: u32, forecast: &[Forecast]) {
    if forecast.len() < 2 {
        return;
    }
    let p = bench.palette;
    let at = |f: &Forecast, v: f64| axes.at(f64::from(laid) + f64::from(f.beads), v);
    let fill = p.upper.gamma_multiply(0.28);
    for w in forecast.windows(2) {
        let [a, b] = w else { continue };
        let corners = vec![at(a, a.low), at(b, b.low), at(b, b.high), at(a, a.high)];
        painter.add(Shape::convex_polygon(corners, fill, Stroke::NONE));
    }
    let line: Vec<Pos2> = forecast.iter().map(|f| at(f, f.mean)).collect();
    draw::dashed(painter, &line, Stroke::new(2.0, p.upper), 6.0, 4.0);
}

/// Where to stop and measure.
fn stop(painter: &Painter, bench: &Bench<'_>, axes: &Axes, s: &CorrectionStudy, beads: u32) {
    let p = bench.palette;
    let Some(advice) = &s.advice else { return };
    let x = axes.at(f64::from(beads), 0.0).x;
    let ends = [pos2(x, axes.rect.top() - 30.0), pos2(x, axes.rect.bottom())];
    draw::dashed(painter, &ends, Stroke::new(1.8, p.accent), 4.0, 3.0);
    let right = x - axes.rect.left() < 190.0;
    let (anchor, by) = if right {
        (Align2::LEFT_CENTER, 8.0)
    } else {
        (Align2::RIGHT_CENTER, -8.0)
    };
    let lines = [
        (
            format!("{} more, then measure", advice.lay),
            bold(12.5),
            p.accent,
        ),
        (
            advice.overshoot_chance.map_or_else(String::new, |o| {
                format!("chance of overshoot {}", words::chance(o))
            }),
            plain(11.0),
            p.ink,
        ),
    ];
    for (k, (text, font, colour)) in lines.into_iter().enumerate() {
        let at = pos2(x + by, axes.rect.top() - 24.0 + 15.0 * k as f32);
        let patch: egui::Color32 = p.ground;
        draw::text_on(painter, at, anchor, &text, font, colour, patch);
    }
}
