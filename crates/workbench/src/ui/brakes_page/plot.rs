//! A plot of curves over any quantity.

use eframe::egui::{self, Color32, Ui};
use egui_plot::{GridMark, Line, LineStyle, Plot, PlotPoint, Text, VLine};

use crate::ui::bench::Bench;
use crate::ui::theme::plain;

/// A curve in display units.
pub(in crate::ui) struct Curve {
    /// Its name.
    pub name: String,
    /// Its points.
    pub points: Vec<[f64; 2]>,
    /// Its colour.
    pub colour: Color32,
    /// Dashed: the second cue beside the colour.
    pub dashed: bool,
}

/// Curves with upright marks that carry words; axes from zero to the given ends.
#[expect(clippy::too_many_arguments, reason = "a plot is all of these")]
pub(in crate::ui) fn show(
    ui: &mut Ui,
    bench: &Bench<'_>,
    name: &'static str,
    axes: [&str; 2],
    ends: [f64; 2],
    curves: Vec<Curve>,
    marks: &[(f64, String)],
    height: f32,
) {
    let p = bench.palette;
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 6.0;
        for c in &curves {
            let (rect, _) = ui.allocate_exact_size(egui::vec2(24.0, 12.0), egui::Sense::hover());
            let line = [rect.left_center(), rect.right_center()];
            let stroke = egui::Stroke::new(2.2, c.colour);
            if c.dashed {
                crate::ui::draw::dashed(ui.painter(), &line, stroke, 5.0, 4.0);
            } else {
                ui.painter().line_segment(line, stroke);
            }
            ui.label(egui::RichText::new(&c.name).font(plain(11.5)));
        }
        let said = format!("{} over {}", axes[1], axes[0]);
        ui.label(egui::RichText::new(said).font(plain(11.0)).color(p.dim));
    });
    ui.scope(|ui| {
        ui.style_mut()
            .text_styles
            .insert(egui::TextStyle::Body, plain(11.0));
        ui.visuals_mut().widgets.noninteractive.fg_stroke.color = p.dim;
        let tick = |mark: GridMark, _: &std::ops::RangeInclusive<f64>| {
            format!("{}", (mark.value * 1000.0).round() / 1000.0)
        };
        let plot = Plot::new(("brakes", name))
            .height(height)
            .grid_color(p.field)
            .show_background(false)
            .allow_scroll(false)
            .allow_boxed_zoom(false)
            .allow_drag(false)
            .allow_zoom(false)
            .set_margin_fraction(egui::vec2(0.0, 0.0))
            .x_axis_formatter(tick)
            .y_axis_formatter(tick)
            .show(ui, |plot| {
                plot.set_plot_bounds_x(0.0..=ends[0]);
                plot.set_plot_bounds_y(0.0..=ends[1]);
                for (i, (at, words)) in marks.iter().enumerate() {
                    plot.vline(
                        VLine::new(words.clone(), *at)
                            .color(p.dim)
                            .style(LineStyle::dashed_dense())
                            .width(1.0)
                            .allow_hover(false),
                    );
                    // Words one below the other, so that near marks stay legible.
                    let up = ends[1] * (0.97 - 0.07 * (i % 5) as f64);
                    let text = egui::RichText::new(format!(" {words}")).font(plain(11.0));
                    plot.text(
                        Text::new("mark", PlotPoint::new(*at, up), text)
                            .color(p.ink)
                            .anchor(egui::Align2::LEFT_TOP)
                            .allow_hover(false),
                    );
                }
                for c in curves {
                    let mut line = Line::new(c.name, c.points).color(c.colour).width(2.2);
                    if c.dashed {
                        line = line.style(LineStyle::dashed_dense());
                    }
                    plot.line(line);
                }
            });
        plot.response
            .widget_info(|| egui::WidgetInfo::labeled(egui::Role::Image, true, name));
    });
}
