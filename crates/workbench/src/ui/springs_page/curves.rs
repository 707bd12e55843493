//! Several curves over travel in one plot, with limits drawn as lines with words.

use eframe::egui::{self, Color32, Ui};
use egui_plot::{
    GridMark, HLine, HoverPosition, Line, LineStyle, Plot, PlotPoint, Points, Text, VLine,
};
use units::Kind;

use super::super::bench::Bench;
use super::super::theme::{bold, plain};

/// A curve: (travel m, value SI).
pub struct Series {
    /// What its label says.
    pub name: &'static str,
    /// Its points, in the order of the travel.
    pub points: Vec<[f64; 2]>,
    /// Its colour.
    pub colour: Color32,
    /// Dashed: the second cue beside the colour.
    pub dashed: bool,
}

/// A limit across the plot.
pub struct Limit {
    /// Where, SI.
    pub at: f64,
    /// What it says.
    pub words: String,
}

/// Names of the curves with the way they are drawn.
pub fn legend(ui: &mut Ui, series: &[Series]) {
    ui.spacing_mut().item_spacing.x = 5.0;
    for s in series {
        let (rect, _) = ui.allocate_exact_size(egui::vec2(24.0, 12.0), egui::Sense::hover());
        let ends = [rect.left_center(), rect.right_center()];
        let stroke = egui::Stroke::new(2.2, s.colour);
        if s.dashed {
            super::super::draw::dashed(ui.painter(), &ends, stroke, 5.0, 4.0);
        } else {
            ui.painter().line_segment(ends, stroke);
        }
        ui.label(egui::RichText::new(s.name).font(plain(11.5)));
    }
}

/// Lowest and highest of all there is to see.
fn range(points: impl Iterator<Item = f64>) -> (f64, f64) {
    points.fold((f64::INFINITY, f64::NEG_INFINITY), |(lo, hi), v| {
        (lo.min(v), hi.max(v))
    })
}

/// The plot. `shown` is the travel of the pose that is drawn beside it, m.
#[expect(clippy::too_many_arguments, reason = "a plot is all of these")]
pub fn show(
    ui: &mut Ui,
    bench: &Bench<'_>,
    name: &'static str,
    kind: Kind,
    series: Vec<Series>,
    limits: Vec<Limit>,
    shown: f64,
    height: f32,
) {
    let p = bench.palette;
    let shop = *bench.shop();
    let x = |v: f64| units::display_value(Kind::Length, v, &shop);
    let y = |v: f64| units::display_value(kind, v, &shop);
    let (x0, x1) = range(series.iter().flat_map(|s| s.points.iter().map(|q| x(q[0]))));
    let (low, high) = range(
        series
            .iter()
            .flat_map(|s| s.points.iter().map(|q| y(q[1])))
            .chain(limits.iter().map(|l| y(l.at))),
    );
    if !(x1 > x0 && low.is_finite() && high.is_finite()) {
        ui.allocate_ui(egui::vec2(ui.available_width(), height), |ui| {
            ui.colored_label(p.dim, "No curve yet.");
        });
        return;
    }
    let pad = ((high - low) * 0.12).max(high.abs() * 0.02).max(1e-6);
    ui.scope(|ui| {
        ui.style_mut()
            .text_styles
            .insert(egui::TextStyle::Body, plain(11.0));
        ui.visuals_mut().widgets.noninteractive.fg_stroke.color = p.dim;
        let unit = units::unit_name(Kind::Length, &shop);
        let plot = Plot::new(("over travel", name))
            .height(height)
            .grid_color(p.field)
            .show_background(false)
            .x_grid_spacer(|input| marks(&input))
            .y_grid_spacer(|input| marks(&input))
            .grid_spacing(10.0..=60.0)
            .allow_scroll(false)
            .allow_boxed_zoom(false)
            .allow_drag(false)
            .allow_zoom(false)
            .set_margin_fraction(egui::vec2(0.0, 0.0))
            .x_axis_formatter(
                move |mark: GridMark, range: &std::ops::RangeInclusive<f64>| {
                    let edge = (range.end() - range.start()) * 0.02;
                    if mark.value == 0.0 {
                        "ride".to_owned()
                    } else if mark.value <= range.start() + edge || mark.value >= range.end() - edge
                    {
                        String::new()
                    } else {
                        format!("{:+} {unit}", (mark.value * 1000.0).round() / 1000.0)
                    }
                },
            )
            .label_formatter(move |h: &HoverPosition<'_>| {
                let (which, q) = match h {
                    HoverPosition::NearDataPoint {
                        plot_name,
                        position,
                        ..
                    } => (*plot_name, position),
                    HoverPosition::Elsewhere { position } => ("", position),
                };
                let value = units::format(kind, units::from_display_value(kind, q.y, &shop), &shop);
                let value = format!("{which} {value}");
                Some(format!("travel {:+.2} {unit}\n{}", q.x, value.trim()))
            })
            .show(ui, |plot| {
                plot.set_plot_bounds_x(x0..=x1);
                plot.set_plot_bounds_y((low - pad)..=(high + pad));
                plot.vline(
                    VLine::new("pose shown", x(shown))
                        .color(p.dim)
                        .style(LineStyle::dashed_dense())
                        .width(1.0)
                        .allow_hover(false),
                );
                for l in &limits {
                    plot.hline(
                        HLine::new(l.words.clone(), y(l.at))
                            .color(p.bad)
                            .style(LineStyle::dashed_loose())
                            .width(1.2)
                            .allow_hover(false),
                    );
                    let at = PlotPoint::new(x1 - (x1 - x0) * 0.01, y(l.at) + pad * 0.08);
                    let words = egui::RichText::new(&l.words).font(plain(11.0));
                    plot.text(
                        Text::new("limit", at, words)
                            .color(p.bad)
                            .anchor(egui::Align2::RIGHT_BOTTOM)
                            .allow_hover(false),
                    );
                }
                for s in series {
                    let at = nearest(&s.points, shown).map(|q| [x(q[0]), y(q[1])]);
                    let points: Vec<[f64; 2]> =
                        s.points.iter().map(|q| [x(q[0]), y(q[1])]).collect();
                    let mut line = Line::new(s.name, points).color(s.colour).width(2.2);
                    if s.dashed {
                        line = line.style(LineStyle::dashed_dense());
                    }
                    plot.line(line);
                    if let Some(at) = at {
                        let dot = Points::new(s.name, vec![at]).radius(4.0).color(s.colour);
                        plot.points(dot.allow_hover(false));
                    }
                }
                for (at, word, anchor) in [
                    (x0, "droop", egui::Align2::LEFT_BOTTOM),
                    (x1, "bump", egui::Align2::RIGHT_BOTTOM),
                ] {
                    let words = egui::RichText::new(word).font(bold(10.5));
                    plot.text(
                        Text::new(word, PlotPoint::new(at, low - pad * 0.9), words)
                            .color(p.dim)
                            .anchor(anchor)
                            .allow_hover(false),
                    );
                }
            });
        plot.response.widget_info(|| {
            egui::WidgetInfo::labeled(egui::Role::Image, true, format!("{name} over travel"))
        });
    });
}

/// The point nearest to a travel.
pub fn nearest(points: &[[f64; 2]], travel: f64) -> Option<[f64; 2]> {
    let off = |q: &[f64; 2]| (q[0] - travel).abs();
    points
        .iter()
        .min_by(|a, b| off(a).total_cmp(&off(b)))
        .copied()
}

/// Some six round marks over an axis.
fn marks(input: &egui_plot::GridInput) -> Vec<GridMark> {
    let (low, high) = input.bounds;
    let rough = (high - low) / 6.0;
    if !rough.is_finite() || rough <= 0.0 {
        return Vec::new();
    }
    let decade = 10f64.powf(rough.log10().floor());
    let step = [1.0, 2.0, 5.0, 10.0]
        .map(|k| k * decade)
        .into_iter()
        .find(|s| *s >= rough)
        .unwrap_or(rough);
    let first = (low / step).ceil() as i64;
    let last = (high / step).floor() as i64;
    (first..=last.min(first + 40))
        .map(|k| GridMark {
            value: k as f64 * step,
            step_size: step,
        })
        .collect()
}
