//! How a figure spreads over the random builds: a histogram with its band.

use build::{Misplaced, placement_label, placement_reading};
use eframe::egui::{self, Ui};
use egui_plot::{
    Bar, BarChart, GridMark, HoverPosition, LineStyle, Plot, PlotPoint, PlotPoints, Polygon, Text,
    VLine,
};

use super::super::bench::Bench;
use super::super::holes_page::count;
use super::super::theme::plain;
use super::{Answer, display};

/// Draws the histogram, this high.
pub(super) fn show(
    ui: &mut Ui,
    bench: &Bench<'_>,
    answer: &Answer,
    figure: Misplaced,
    height: f32,
) {
    let p = bench.palette;
    let Some(s) = &answer.scatter.of(figure).summary else {
        return;
    };
    let (label, kind) = placement_label(figure);
    let shop = *bench.shop();
    let unit = |v: f64| units::display_value(kind, v, &shop);
    let h = &s.histogram;
    let edges: Vec<f64> = h.edges.iter().map(|e| unit(*e)).collect();
    let (Some(first), Some(last)) = (edges.first().copied(), edges.last().copied()) else {
        return;
    };
    let tallest = h.counts.iter().copied().max().unwrap_or(0).max(1) as f64;
    // A single value still has a bar to be seen.
    let whole = (last - first).max(unit(s.median).abs() * 1e-3).max(1e-6);
    let (low, high) = (first - 0.04 * whole, last + 0.04 * whole);
    let top = tallest * 1.22;
    let bars: Vec<Bar> = h
        .counts
        .iter()
        .zip(edges.windows(2))
        .map(|(n, e)| {
            let wide = if e[1] > e[0] {
                e[1] - e[0]
            } else {
                0.04 * whole
            };
            Bar::new(0.5 * (e[0] + e[1]), *n as f64)
                .width(wide * 0.92)
                .fill(p.faint(p.upper, 0.75))
                .stroke(egui::Stroke::NONE)
        })
        .collect();
    let band = placement_reading(figure)
        .and_then(|d| bench.build.target(d.id))
        .map(|t| (unit(t.low.si).max(low), unit(t.high.si).min(high)))
        .filter(|(a, b)| a < b);
    let nominal = answer
        .study
        .sensitivities
        .of(figure)
        .ok()
        .map(|l| unit(l.nominal));
    let name = units::unit_name(kind, bench.shop());
    ui.scope(|ui| {
        ui.style_mut()
            .text_styles
            .insert(egui::TextStyle::Body, plain(11.0));
        ui.visuals_mut().widgets.noninteractive.fg_stroke.color = p.dim;
        let (edges, counts) = (edges.clone(), h.counts.clone());
        let plot = Plot::new(("misplaced", figure))
            .height(height.max(60.0))
            .grid_color(p.field)
            .show_background(false)
            .show_grid([true, false])
            .show_axes([true, false])
            .x_grid_spacer(|input| marks(&input))
            .grid_spacing(10.0..=60.0)
            .allow_scroll(false)
            .allow_boxed_zoom(false)
            .allow_drag(false)
            .allow_zoom(false)
            .allow_double_click_reset(false)
            .set_margin_fraction(egui::vec2(0.0, 0.0))
            .default_x_bounds(low, high)
            .default_y_bounds(0.0, top)
            .x_axis_formatter(
                move |mark: GridMark, range: &std::ops::RangeInclusive<f64>| {
                    let edge = (range.end() - range.start()) * 0.03;
                    if mark.value <= range.start() + edge || mark.value >= range.end() - edge {
                        return String::new();
                    }
                    let v = (mark.value * 1.0e4).round() / 1.0e4;
                    format!("{} {name}", if v == 0.0 { 0.0 } else { v })
                },
            )
            .label_formatter(move |at: &HoverPosition<'_>| {
                let q = match at {
                    HoverPosition::NearDataPoint { position, .. }
                    | HoverPosition::Elsewhere { position } => position,
                };
                let bin = edges.windows(2).position(|e| e[0] <= q.x && q.x <= e[1])?;
                let n = counts.get(bin).copied().unwrap_or(0);
                Some(format!(
                    "{:.2} to {:.2} {name}\n{} builds",
                    edges[bin],
                    edges[bin + 1],
                    count(n as u64)
                ))
            })
            .show(ui, |plot| {
                plot.set_plot_bounds_x(low..=high);
                plot.set_plot_bounds_y(0.0..=top);
                if let Some((a, b)) = band {
                    let shade = PlotPoints::from(vec![[a, 0.0], [b, 0.0], [b, top], [a, top]]);
                    plot.polygon(
                        Polygon::new("band", shade)
                            .fill_color(p.band.gamma_multiply(0.7))
                            .stroke(egui::Stroke::NONE)
                            .allow_hover(false),
                    );
                }
                plot.bar_chart(BarChart::new(label, bars).allow_hover(false));
                let mut words = vec![];
                if s.q95 > s.q05 {
                    for (v, word) in [(s.q05, "5 %"), (s.q95, "95 %")] {
                        plot.vline(
                            VLine::new(word, unit(v))
                                .color(p.centre)
                                .style(LineStyle::dashed_dense())
                                .width(1.5)
                                .allow_hover(false),
                        );
                        words.push((unit(v), word.to_owned(), p.centre, 0.90));
                    }
                }
                if let Some(x) = nominal.filter(|x| (low..=high).contains(x)) {
                    plot.vline(
                        VLine::new("as drawn", x)
                            .color(p.accent)
                            .width(2.0)
                            .allow_hover(false),
                    );
                    words.push((x, "as drawn".to_owned(), p.accent, 0.99));
                }
                for (x, word, colour, up) in words {
                    let left = x > low + 0.7 * (high - low);
                    let anchor = if left {
                        egui::Align2::RIGHT_TOP
                    } else {
                        egui::Align2::LEFT_TOP
                    };
                    let aside = (high - low) * if left { -0.006 } else { 0.006 };
                    let text = egui::RichText::new(&word).font(plain(11.0));
                    plot.text(
                        Text::new(word, PlotPoint::new(x + aside, top * up), text)
                            .color(colour)
                            .anchor(anchor)
                            .allow_hover(false),
                    );
                }
                if let Some((a, _)) = band {
                    let text = egui::RichText::new("band").font(plain(11.0));
                    let at = PlotPoint::new(a + (high - low) * 0.006, top * 0.82);
                    plot.text(
                        Text::new("band word", at, text)
                            .color(p.good)
                            .anchor(egui::Align2::LEFT_TOP)
                            .allow_hover(false),
                    );
                }
            });
        plot.response.widget_info(|| {
            let name = format!("Spread of {}", label.to_lowercase());
            let mut info = egui::WidgetInfo::labeled(egui::Role::Image, true, name);
            info.current_text_value = Some(format!(
                "from {} to {}",
                display(bench, figure, s.min, s.q95 - s.q05),
                display(bench, figure, s.max, s.q95 - s.q05)
            ));
            info
        });
    });
}

/// Some eight round marks over an axis.
fn marks(input: &egui_plot::GridInput) -> Vec<GridMark> {
    let (low, high) = input.bounds;
    let rough = (high - low) / 8.0;
    if !rough.is_finite() || rough <= 0.0 {
        return Vec::new();
    }
    let decade = 10f64.powf(rough.log10().floor());
    let step = [1.0, 2.0, 5.0, 10.0]
        .map(|k| k * decade)
        .into_iter()
        .find(|s| *s >= rough)
        .unwrap_or(rough);
    let (first, last) = ((low / step).ceil() as i64, (high / step).floor() as i64);
    (first..=last.min(first.saturating_add(40)))
        .map(|k| GridMark {
            value: k as f64 * step,
            step_size: step,
        })
        .collect()
}
