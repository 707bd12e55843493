//! A figure of the slip against the number of the run, with what the model says of each.

use eframe::egui::{
    Align2, Painter, Pos2, Rect, RichText, Role, Sense, Stroke, Ui, WidgetInfo, pos2, vec2,
};

use super::super::bench::Bench;
use super::super::draw;
use super::super::theme::{bold, plain};
use super::view::{Figure, Run, Shown};
use super::words;

const HEIGHT: f32 = 170.0;
const LEFT: f32 = 52.0;
const BELOW: f32 = 32.0;

/// What is plotted.
#[derive(Debug, Default)]
pub(super) struct Over(Figure);

struct Axes {
    rect: Rect,
    runs: (f64, f64),
    values: (f64, f64),
}

impl Axes {
    fn at(&self, run: usize, value: f64) -> Pos2 {
        let share = |(low, high): (f64, f64), v: f64| {
            ((v - low) / (high - low).max(1e-12)).clamp(0.0, 1.0) as f32
        };
        pos2(
            self.rect.left() + share(self.runs, (run + 1) as f64) * self.rect.width(),
            self.rect.bottom() - share(self.values, value) * self.rect.height(),
        )
    }
}

impl Over {
    pub fn show(
        &mut self,
        ui: &mut Ui,
        bench: &Bench<'_>,
        shown: &Shown<'_>,
        chosen: Option<&str>,
    ) {
        let p = bench.palette;
        ui.horizontal_wrapped(|ui| {
            ui.label(RichText::new("Trend").font(bold(13.0)));
            for f in Figure::ALL {
                let r = ui.selectable_value(&mut self.0, f, f.label());
                let on = self.0 == f;
                r.widget_info(|| {
                    let name = format!("Plot {}", f.label().to_lowercase());
                    WidgetInfo::selected(Role::RadioButton, true, on, name)
                });
            }
        });
        let figure = self.0;
        let mut runs = shown.rows.clone();
        runs.sort_by_key(|r| r.index);
        let points = points(bench, figure, &runs);
        let size = vec2(ui.available_width().max(140.0), HEIGHT);
        let (all, response) = ui.allocate_exact_size(size, Sense::hover());
        response.widget_info(|| {
            let name = format!("{} against runs", figure.label());
            let mut info = WidgetInfo::labeled(Role::Image, true, name);
            info.current_text_value = Some(spoken(bench, figure, &runs));
            info
        });
        let painter = ui.painter().with_clip_rect(all);
        let Some(axes) = axes(all, &points) else {
            painter.text(
                all.center(),
                Align2::CENTER_CENTER,
                format!("no run in sight has a time for the {}", figure.label()),
                plain(12.0),
                p.dim,
            );
            return;
        };
        levels(&painter, bench, &axes, figure);
        below(&painter, bench, &axes, all, &points);
        let model: Vec<Pos2> = points
            .iter()
            .filter_map(|x| Some(axes.at(x.0, x.2?)))
            .collect();
        draw::dashed(&painter, &model, Stroke::new(1.8, p.centre), 5.0, 4.0);
        for at in &model {
            painter.rect_filled(Rect::from_center_size(*at, vec2(6.0, 6.0)), 0, p.centre);
        }
        let line: Vec<(usize, Pos2)> = points
            .iter()
            .filter_map(|x| Some((x.0, axes.at(x.0, x.1?))))
            .collect();
        painter.line(
            line.iter().map(|x| x.1).collect(),
            Stroke::new(2.0, p.upper),
        );
        let many = line.len() > 80;
        for (run, at) in line {
            let is = shown
                .all
                .get(run)
                .is_some_and(|r| chosen == Some(r.record.id.as_str()));
            let ring = Stroke::new(2.0, p.upper);
            if is {
                painter.circle(at, 5.5, p.accent, Stroke::new(2.0, p.ground));
            } else if many {
                painter.circle_filled(at, 2.0, p.upper);
            } else {
                painter.circle(at, 4.0, p.ground, ring);
            }
        }
        legend(&painter, bench, all);
    }
}

/// Place in the log, measured and predicted in the shop's unit.
fn points(
    bench: &Bench<'_>,
    f: Figure,
    runs: &[Run<'_>],
) -> Vec<(usize, Option<f64>, Option<f64>)> {
    let unit = |v: f64| units::display_value(f.kind(), v, bench.shop());
    runs.iter()
        .map(|r| (r.index, r.measured(f).map(unit), r.predicted(f).map(unit)))
        .collect()
}

fn axes(all: Rect, points: &[(usize, Option<f64>, Option<f64>)]) -> Option<Axes> {
    points.iter().find_map(|x| x.1)?;
    let values = points.iter().flat_map(|x| [x.1, x.2]).flatten();
    let (low, high) = values.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), v| {
        (a.min(v), b.max(v))
    });
    let pad = ((high - low) * 0.12).max(high.abs() * 0.004).max(1e-6);
    let first = points.first().map_or(0, |x| x.0) as f64 + 1.0;
    let last = points.last().map_or(0, |x| x.0) as f64 + 1.0;
    let side = ((last - first) * 0.04).max(0.25);
    Some(Axes {
        rect: Rect::from_min_max(
            pos2(all.left() + LEFT, all.top() + 22.0),
            pos2(all.right() - 8.0, all.bottom() - BELOW),
        ),
        runs: (first - side, last + side),
        values: (low - pad, high + pad),
    })
}

/// A round step that leaves at most so many levels.
fn step(range: f64, most: f64) -> f64 {
    let rough = (range / most.max(1.0)).max(1e-9);
    let ten = 10_f64.powf(rough.log10().floor());
    let found = [1.0, 2.0, 5.0].into_iter().find(|k| k * ten >= rough);
    found.unwrap_or(10.0) * ten
}

fn levels(painter: &Painter, bench: &Bench<'_>, axes: &Axes, figure: Figure) {
    let p = bench.palette;
    let (low, high) = axes.values;
    let step = step(high - low, (axes.rect.height() / 26.0) as f64);
    let places = (-step.log10().floor()).clamp(0.0, 4.0) as usize;
    let first = (low / step).ceil();
    for k in 0..40 {
        let v = (first + f64::from(k)) * step;
        if v > high {
            break;
        }
        let y = axes.at(0, v).y;
        painter.hline(axes.rect.x_range(), y, Stroke::new(1.0, p.grid));
        let at = pos2(axes.rect.left() - 6.0, y);
        let text = format!("{v:.places$}");
        painter.text(at, Align2::RIGHT_CENTER, text, plain(11.0), p.dim);
    }
    let unit = match figure {
        Figure::Speed => units::unit_name(figure.kind(), bench.shop()),
        _ => "s",
    };
    let at = pos2(axes.rect.left() - 6.0, axes.rect.top() - 16.0);
    painter.text(at, Align2::RIGHT_CENTER, unit, plain(11.0), p.dim);
}

fn below(
    painter: &Painter,
    bench: &Bench<'_>,
    axes: &Axes,
    all: Rect,
    points: &[(usize, Option<f64>, Option<f64>)],
) {
    let p = bench.palette;
    let most = (axes.rect.width() / 34.0).max(1.0) as usize;
    let first = points.first().map_or(0, |x| x.0);
    let last = points.last().map_or(0, |x| x.0);
    let every = ((last - first) / most.max(1) + 1).max(1);
    for run in (first..=last).step_by(every) {
        let at = pos2(axes.at(run, 0.0).x, axes.rect.bottom() + 3.0);
        let text = format!("{}", run + 1);
        painter.text(at, Align2::CENTER_TOP, text, plain(11.0), p.dim);
    }
    painter.text(
        pos2(axes.rect.center().x, all.bottom() - 1.0),
        Align2::CENTER_BOTTOM,
        "run number",
        plain(11.0),
        p.dim,
    );
}

fn legend(painter: &Painter, bench: &Bench<'_>, all: Rect) {
    let p = bench.palette;
    let y = all.top() + 8.0;
    let right = pos2(all.right() - 8.0, y);
    let rect = painter.text(right, Align2::RIGHT_CENTER, "predicted", plain(11.0), p.ink);
    let ends = [pos2(rect.left() - 26.0, y), pos2(rect.left() - 6.0, y)];
    draw::dashed(painter, &ends, Stroke::new(1.8, p.centre), 5.0, 4.0);
    let at = pos2(ends[0].x - 14.0, y);
    let rect = painter.text(at, Align2::RIGHT_CENTER, "measured", plain(11.0), p.ink);
    let at = pos2(rect.left() - 10.0, y);
    painter.circle(at, 4.0, p.ground, Stroke::new(2.0, p.upper));
}

fn spoken(bench: &Bench<'_>, f: Figure, runs: &[Run<'_>]) -> String {
    let one = |r: &Run<'_>| {
        let measured = words::measured(bench, f.kind(), r.measured(f)?);
        let predicted = r.predicted(f).map_or_else(String::new, |v| {
            format!(" predicted {}", words::predicted(bench, f.kind(), v))
        });
        Some(format!("{} {measured}{predicted}", r.record.id))
    };
    let said: Vec<String> = runs.iter().filter_map(one).take(40).collect();
    said.join(", ")
}
