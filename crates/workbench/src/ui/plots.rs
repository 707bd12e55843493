//! Curves of a reading over travel or roll, with its band, the baseline and where the car stands.

use build::{DEFINITIONS, Definition, Over, definition};
use eframe::egui::{self, Ui};
use egui_plot::{
    GridMark, HoverPosition, Line, LineStyle, Plot, PlotPoint, PlotPoints, Points, Polygon, Text,
    VLine,
};
use units::Kind;

use super::bench::Bench;
use super::theme::{bold, plain};

/// What the plot shows.
#[derive(Debug, Clone, PartialEq)]
pub struct Choice {
    /// Reading id, or `ic.path` for the instant centre's path.
    pub what: &'static str,
    /// Over travel or roll.
    pub over: Over,
}

/// Id of the instant centre's path, which is two readings against each other.
pub const IC_PATH: &str = "ic.path";

impl Default for Choice {
    fn default() -> Self {
        Self {
            what: "rear.anti_squat",
            over: Over::Travel,
        }
    }
}

fn label(what: &str) -> &'static str {
    if what == IC_PATH {
        "Instant centre's path"
    } else {
        definition(what).map_or("", |d| d.label)
    }
}

/// Head line with the choices, then the plot.
pub fn show(ui: &mut Ui, bench: &Bench<'_>, choice: &mut Choice) {
    ui.horizontal_wrapped(|ui| {
        egui::ComboBox::from_id_salt("curve")
            .selected_text(egui::RichText::new(label(choice.what)).font(bold(13.0)))
            .width(if ui.available_width() < 420.0 {
                118.0
            } else {
                150.0
            })
            .show_ui(ui, |ui| {
                for d in DEFINITIONS.iter().filter(|d| d.in_pose.is_some()) {
                    ui.selectable_value(&mut choice.what, d.id, d.label);
                }
                ui.selectable_value(&mut choice.what, IC_PATH, label(IC_PATH));
            })
            .response
            .widget_info(|| {
                let mut info = egui::WidgetInfo::labeled(egui::Role::ComboBox, true, "Curve of");
                info.current_text_value = Some(label(choice.what).to_owned());
                info
            });
        for (over, word) in [(Over::Travel, "over travel"), (Over::Roll, "over roll")] {
            ui.selectable_value(&mut choice.over, over, word);
        }
        let words = definition(choice.what).and_then(|d| {
            if d.over_range {
                return Some("pose by pose; the gauge judges the whole range".to_owned());
            }
            let band = bench.study.reading(d.id)?.band?;
            let show = |v| d.display(v, bench.shop());
            Some(format!("band {} to {}", show(band.low), show(band.high)))
        });
        if let Some(text) = words {
            ui.add(
                egui::Label::new(
                    egui::RichText::new(text)
                        .font(plain(11.0))
                        .color(bench.palette.dim),
                )
                .truncate(),
            );
        }
    });
    if choice.what == IC_PATH {
        ic_path(ui, bench, choice.over);
    } else if let Some(d) = definition(choice.what) {
        curve(ui, bench, d, choice.over);
    }
}

fn axis(over: Over) -> (Kind, &'static str, [&'static str; 3]) {
    match over {
        Over::Travel => (Kind::Length, "travel", ["droop", "ride", "bump"]),
        Over::Roll => (Kind::Angle, "axle roll", ["right up", "level", "left up"]),
    }
}

fn in_units(bench: &Bench<'_>, points: &[[f64; 2]], x: Kind, y: Kind) -> Vec<[f64; 2]> {
    let shop = bench.shop();
    points
        .iter()
        .map(|p| {
            [
                units::display_value(x, p[0], shop),
                units::display_value(y, p[1], shop),
            ]
        })
        .collect()
}

fn curve(ui: &mut Ui, bench: &Bench<'_>, d: &'static Definition, over: Over) {
    let p = bench.palette;
    let (x_kind, x_word, ends) = axis(over);
    let poses = bench.study.curve(d.id, over);
    let points = in_units(bench, &poses, x_kind, d.kind);
    let base = bench
        .baseline
        .map(|(_, s)| in_units(bench, &s.curve(d.id, over), x_kind, d.kind));
    if points.is_empty() {
        no_curve(ui, bench);
        return;
    }
    let unit = |v| units::display_value(d.kind, v, bench.shop());
    let reading = bench.study.reading(d.id);
    let band = reading
        .filter(|_| !d.over_range)
        .and_then(|r| r.band)
        .map(|b| (unit(b.low), unit(b.high)));
    let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
    let base_points = base.iter().flatten();
    for v in points
        .iter()
        .chain(base_points)
        .map(|q| q[1])
        .chain(band.iter().flat_map(|b| [b.0, b.1]))
    {
        low = low.min(v);
        high = high.max(v);
    }
    let pad = ((high - low) * 0.08).max(1e-6);
    let (x0, x1) = (points[0][0], points[points.len() - 1][0]);
    // A swing or a worst value has no one pose to stand at.
    let here = poses
        .iter()
        .filter(|_| !d.over_range)
        .min_by(|a, b| a[0].abs().total_cmp(&b[0].abs()))
        .map(|q| {
            (
                units::display_value(x_kind, q[0], bench.shop()),
                unit(q[1]),
                d.display(q[1], bench.shop()),
            )
        });
    let x_unit = units::unit_name(x_kind, bench.shop());
    let shop = *bench.shop();
    let grid_x = x_unit.to_owned();
    quiet(ui, bench);
    let plot = Plot::new(("curve", d.id, over))
        .grid_color(p.field)
        .show_background(false)
        .x_grid_spacer(|input| marks(&input))
        .y_grid_spacer(|input| marks(&input))
        .grid_spacing(10.0..=60.0)
        .show_axes(true)
        .show_grid(true)
        .allow_scroll(false)
        .allow_boxed_zoom(false)
        .allow_drag(false)
        .allow_zoom(false)
        .set_margin_fraction(egui::vec2(0.0, 0.0))
        .default_x_bounds(x0.min(x1), x0.max(x1))
        .default_y_bounds(low - pad, high + pad)
        .x_axis_formatter(
            move |mark: GridMark, range: &std::ops::RangeInclusive<f64>| {
                let edge = (range.end() - range.start()) * 0.02;
                if mark.value == 0.0 {
                    ends[1].to_owned()
                } else if mark.value <= range.start() + edge || mark.value >= range.end() - edge {
                    String::new()
                } else {
                    format!("{:+} {grid_x}", (mark.value * 1000.0).round() / 1000.0)
                }
            },
        )
        .label_formatter(move |h: &HoverPosition<'_>| {
            let q = match h {
                HoverPosition::NearDataPoint { position, .. }
                | HoverPosition::Elsewhere { position } => position,
            };
            let value = d.display(units::from_display_value(d.kind, q.y, &shop), &shop);
            Some(format!("{x_word} {:+.2} {x_unit}\n{value}", q.x))
        })
        .show(ui, |plot| {
            plot.set_plot_bounds_x(x0.min(x1)..=x0.max(x1));
            plot.set_plot_bounds_y((low - pad)..=(high + pad));
            if let Some((a, b)) = band {
                let shade = PlotPoints::from(vec![[x0, a], [x1, a], [x1, b], [x0, b]]);
                plot.polygon(
                    Polygon::new("band", shade)
                        .fill_color(p.band.gamma_multiply(0.7))
                        .stroke(egui::Stroke::NONE)
                        .allow_hover(false),
                );
            }
            plot.vline(
                VLine::new("ride height", 0.0)
                    .color(p.dim)
                    .style(LineStyle::dashed_dense())
                    .width(1.0)
                    .allow_hover(false),
            );
            if let Some(base) = base {
                plot.line(
                    Line::new("baseline", base)
                        .color(p.dim)
                        .style(LineStyle::dashed_dense())
                        .width(1.4),
                );
            }
            plot.line(Line::new(d.label, points).color(p.upper).width(2.2));
            if let Some((x, y, text)) = here {
                plot.points(Points::new("now", vec![[x, y]]).radius(4.5).color(p.accent));
                let at = PlotPoint::new(x + (x1 - x0) * 0.015, y + (high - low + pad) * 0.07);
                plot.text(
                    Text::new("value now", at, egui::RichText::new(text).font(bold(13.0)))
                        .color(p.ink)
                        .anchor(egui::Align2::LEFT_BOTTOM)
                        .allow_hover(false),
                );
            }
            let low_y = low - pad * 0.4;
            for (x, word, anchor) in [
                (x0, ends[0], egui::Align2::LEFT_BOTTOM),
                (x1, ends[2], egui::Align2::RIGHT_BOTTOM),
            ] {
                plot.text(
                    Text::new(
                        word,
                        PlotPoint::new(x, low_y),
                        egui::RichText::new(word).font(plain(10.5)),
                    )
                    .color(p.dim)
                    .anchor(anchor)
                    .allow_hover(false),
                );
            }
        });
    plot.response.widget_info(|| {
        egui::WidgetInfo::labeled(egui::Role::Image, true, format!("{} {x_word}", d.label))
    });
}

/// The instant centre in the side view over the sweep.
fn ic_path(ui: &mut Ui, bench: &Bench<'_>, over: Over) {
    let p = bench.palette;
    // Poses without an instant centre are in neither curve.
    let pairs = |s: &build::Study| -> Vec<[f64; 3]> {
        let (x, z) = (
            s.curve("rear.ic.station", over),
            s.curve("rear.ic.height", over),
        );
        x.iter().zip(&z).map(|(a, b)| [a[0], a[1], b[1]]).collect()
    };
    let path = |pairs: &[[f64; 3]]| {
        let flat: Vec<[f64; 2]> = pairs.iter().map(|p| [p[1], p[2]]).collect();
        in_units(bench, &flat, Kind::Length, Kind::Length)
    };
    let poses = pairs(bench.study);
    let points = path(&poses);
    let level = (0..poses.len()).min_by(|a, b| poses[*a][0].abs().total_cmp(&poses[*b][0].abs()));
    let Some(now) = level.and_then(|i| points.get(i).copied()) else {
        no_curve(ui, bench);
        return;
    };
    let unit = units::unit_name(Kind::Length, bench.shop());
    quiet(ui, bench);
    Plot::new(("ic path", over))
        .grid_color(p.field)
        .show_background(false)
        .x_grid_spacer(|input| marks(&input))
        .y_grid_spacer(|input| marks(&input))
        .grid_spacing(10.0..=60.0)
        .allow_scroll(false)
        .allow_boxed_zoom(false)
        .x_axis_label(format!("ahead, {unit}"))
        .y_axis_label(format!("up, {unit}"))
        .label_formatter(move |h: &HoverPosition<'_>| match h {
            HoverPosition::NearDataPoint { position, .. } => Some(format!(
                "{:.1} {unit} ahead\n{:.1} {unit} up",
                position.x, position.y
            )),
            HoverPosition::Elsewhere { .. } => None,
        })
        .show(ui, |plot| {
            if let Some((_, s)) = bench.baseline {
                plot.line(
                    Line::new("baseline", path(&pairs(s)))
                        .color(p.dim)
                        .style(LineStyle::dashed_dense()),
                );
            }
            plot.line(
                Line::new("instant centre", points)
                    .color(p.centre)
                    .width(2.2),
            );
            plot.points(
                Points::new("ride height", vec![now])
                    .radius(4.5)
                    .color(p.accent),
            );
        });
}

/// Some eight round marks over an axis.
fn marks(input: &egui_plot::GridInput) -> Vec<GridMark> {
    round_marks(input, 8.0)
}

/// Round marks over an axis, at most about this many.
pub(super) fn round_marks(input: &egui_plot::GridInput, most: f64) -> Vec<GridMark> {
    let (low, high) = input.bounds;
    let rough = (high - low) / most;
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

/// Axis figures small and dim: the curve is what is looked at.
pub(super) fn quiet(ui: &mut Ui, bench: &Bench<'_>) {
    ui.style_mut()
        .text_styles
        .insert(egui::TextStyle::Body, plain(11.0));
    ui.visuals_mut().widgets.noninteractive.fg_stroke.color = bench.palette.dim;
}

fn no_curve(ui: &mut Ui, bench: &Bench<'_>) {
    ui.centered_and_justified(|ui| {
        let why = match &bench.study.rear.motion {
            Err(e) => format!("No curve: {e}."),
            Ok(_) => "No curve: the instant centre is out of sight all the way.".to_owned(),
        };
        ui.colored_label(bench.palette.dim, why);
    });
}
