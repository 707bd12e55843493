//! The run over time: speed, distance, acceleration, pitch, one cursor through all of them.

use build::{EventKind, Run, RunLimit, Sample, StripMark};
use eframe::egui::{self, Align2, EventFilter, Rect, Role, Sense, Ui, WidgetInfo, pos2, vec2};
use egui_plot::{GridMark, Line, LineStyle, Plot, PlotPoints, VLine};
use units::Kind;

use super::super::bench::Bench;
use super::super::draw;
use super::super::plots::{quiet, round_marks};
use super::super::theme::{bold, plain};
use super::cursor::Cursor;
use super::{pieces, words};

/// Equal steps of a history.
const STEPS: usize = 360;
/// Room of the figures left of every plot, so that their times stand below each other.
const AXIS: f32 = 66.0;
/// Height of a plot.
const HEIGHT: f32 = 104.0;

/// Histories at equal steps and close to both sides of every event, where thrust jumps.
pub(super) fn samples(run: &Run) -> Vec<Sample> {
    let end = run.duration();
    let mut times: Vec<f64> = (0..=STEPS).map(|i| end * i as f64 / STEPS as f64).collect();
    for e in &run.events {
        times.extend([e.time - 1e-6, e.time + 1e-6]);
    }
    times.retain(|t| t.is_finite() && *t >= 0.0 && *t <= end);
    times.sort_by(f64::total_cmp);
    run.history_at(&times).unwrap_or_default()
}

/// A quantity of the run.
struct Curve {
    name: &'static str,
    kind: Kind,
    of: fn(&Sample) -> f64,
    colour: fn(&super::super::theme::Palette) -> egui::Color32,
}

const CURVES: [Curve; 4] = [
    Curve {
        name: "Speed",
        kind: Kind::Speed,
        of: |s| s.speed,
        colour: |p| p.upper,
    },
    Curve {
        name: "Distance",
        kind: Kind::Count,
        of: |s| s.travel,
        colour: |p| p.lower,
    },
    Curve {
        name: "Acceleration",
        kind: Kind::Acceleration,
        of: |s| s.acceleration,
        colour: |p| p.centre,
    },
    Curve {
        name: "Pitch, nose up",
        kind: Kind::Angle,
        of: |s| s.nose_up,
        colour: |p| p.hundred,
    },
];

/// Feet of a strip, or metres, of a distance in metres.
fn distance(bench: &Bench<'_>, metres: f64) -> (f64, &'static str) {
    match bench.shop().system {
        units::System::InchPound => (metres / 0.3048, "ft"),
        units::System::Si => (metres, "m"),
    }
}

fn value(bench: &Bench<'_>, c: &Curve, s: &Sample) -> f64 {
    let si = (c.of)(s);
    if c.kind == Kind::Count {
        distance(bench, si).0
    } else {
        units::display_value(c.kind, si, bench.shop())
    }
}

fn unit(bench: &Bench<'_>, c: &Curve) -> &'static str {
    if c.kind == Kind::Count {
        distance(bench, 0.0).1
    } else {
        units::unit_name(c.kind, bench.shop())
    }
}

/// All plots with the strip of limits under the first.
pub(super) fn show(
    cursor: &mut Cursor,
    ui: &mut Ui,
    bench: &Bench<'_>,
    run: &Run,
    samples: &[Sample],
) {
    if samples.len() < 2 {
        return;
    }
    read_out(ui, bench, run, cursor.time);
    for (i, curve) in CURVES.iter().enumerate() {
        let frame = one(cursor, ui, bench, run, samples, curve);
        if i == 0 {
            strip(ui, bench, run, frame, cursor.time);
        }
    }
}

/// Everything at the cursor, in words.
pub(super) fn at_cursor(bench: &Bench<'_>, run: &Run, time: f64) -> String {
    let Ok(s) = run.at(time) else {
        return String::new();
    };
    let (far, unit) = distance(bench, s.travel);
    let engine = s.engine_speed.map_or_else(
        || "between gears".to_owned(),
        |w| format!("gear {}, {}", s.gear, bench.show(Kind::RotationSpeed, w)),
    );
    let clock = s.time - run.slip.clock_start;
    format!(
        "At {} from first motion ({clock:+.2} s on the clock): {}, {far:.0} {unit}, {}, nose up {}, {engine}, front \
         tyres {}, rear {}; limited by: {}.",
        words::seconds(s.time),
        bench.show(Kind::Speed, s.speed),
        bench.show(Kind::Acceleration, s.acceleration),
        bench.show(Kind::Angle, s.nose_up),
        bench.show(Kind::Force, s.front_load),
        bench.show(Kind::Force, s.rear_load),
        words::limit(s.limit)
    )
}

fn read_out(ui: &mut Ui, bench: &Bench<'_>, run: &Run, time: f64) {
    pieces::head(
        ui,
        bench,
        "The run",
        "drag in a plot, or click one and use the arrow keys",
    );
    // As many lines as it may take: the plots below stay where they are under a hand.
    let lines = (720.0 / ui.available_width().max(120.0)).ceil() + 1.0;
    let size = egui::vec2(ui.available_width(), 16.0 * lines.min(5.0));
    let down = egui::Layout::top_down(egui::Align::Min);
    ui.allocate_ui_with_layout(size, down, |ui| {
        ui.set_min_size(size);
        pieces::say(ui, bench.palette.ink, at_cursor(bench, run, time));
    });
}

/// Times with the words that stand at them.
type Marked = Vec<(f64, String)>;

/// Marks of the strip and events, with the words that stand at them.
fn lines(run: &Run) -> (Marked, Marked) {
    let marks = StripMark::ALL.map(|m| (run.slip.from_first_motion[m.index()], m.to_string()));
    let events = run.events.iter().filter_map(|e| {
        let words = match e.kind {
            EventKind::ClutchLocked => "clutch locked".to_owned(),
            EventKind::Shift => format!("shift {}–{}", e.gear, e.gear + 1),
            EventKind::RevLimit => "rev limit".to_owned(),
            EventKind::TakeUpOver => "take-up over".to_owned(),
            EventKind::InGear | EventKind::Finish => return None,
        };
        Some((e.time, words))
    });
    (marks.to_vec(), events.collect())
}

fn one(
    cursor: &mut Cursor,
    ui: &mut Ui,
    bench: &Bench<'_>,
    run: &Run,
    samples: &[Sample],
    c: &Curve,
) -> Rect {
    let p = bench.palette;
    let end = run.duration();
    let points: Vec<[f64; 2]> = samples
        .iter()
        .map(|s| [s.time, value(bench, c, s)])
        .collect();
    let (mut low, mut high) = (0.0_f64, 0.0_f64);
    for q in points.iter().filter(|q| q[1].is_finite()) {
        low = low.min(q[1]);
        high = high.max(q[1]);
    }
    let pad = ((high - low) * 0.06).max(1e-6);
    // Words of marks stand in the distance plot, of events in the acceleration plot.
    let (marks, events) = lines(run);
    let (words, room) = match c.kind {
        Kind::Count => (&marks, 0.55),
        Kind::Acceleration => (&events, 0.55),
        _ => (&Vec::new(), 0.0),
    };
    let top = high + pad + room * (high - low);
    let bottom = low - if low < 0.0 { pad } else { 0.0 };
    let at = run.at(cursor.time).ok();
    let now = at.map(|s| value(bench, c, &s));
    let name = unit(bench, c);
    let title = format!("{} over time", c.name);
    // No minus before nothing.
    let now = now.map(|v| if v.abs() < 0.005 { 0.0 } else { v });
    let said = now.map_or_else(String::new, |v| format!("{v:.2} {name}"));
    ui.horizontal(|ui| {
        ui.add_space(AXIS);
        ui.label(egui::RichText::new(c.name).font(bold(11.5)));
        ui.label(egui::RichText::new(&said).font(plain(11.5)).color(p.accent));
    });
    let response = ui
        .scope(|ui| {
            quiet(ui, bench);
            Plot::new(("run", c.name))
                .height(HEIGHT)
                .grid_color(p.field)
                .show_background(false)
                .y_axis_min_width(AXIS)
                .x_grid_spacer(|input| round_marks(&input, 10.0))
                .y_grid_spacer(|input| round_marks(&input, 4.0))
                .grid_spacing(10.0..=60.0)
                .allow_scroll(false)
                .allow_boxed_zoom(false)
                .allow_drag(false)
                .allow_zoom(false)
                .allow_axis_zoom_drag(false)
                .allow_double_click_reset(false)
                .set_margin_fraction(vec2(0.0, 0.0))
                .default_x_bounds(0.0, end)
                .default_y_bounds(bottom, top)
                .show_crosshair(false)
                .x_axis_formatter(move |m: GridMark, range: &std::ops::RangeInclusive<f64>| {
                    if m.value == 0.0 || m.value > range.end() * 0.97 {
                        return String::new();
                    }
                    format!("{} s", (m.value * 100.0).round() / 100.0)
                })
                .y_axis_formatter(move |m: GridMark, range: &std::ops::RangeInclusive<f64>| {
                    if m.value > range.end() - 0.06 * (range.end() - range.start()) {
                        return String::new();
                    }
                    format!("{} {name}", (m.value * 1000.0).round() / 1000.0)
                })
                .label_formatter(|_: &egui_plot::HoverPosition<'_>| None)
                .show(ui, |plot| {
                    plot.set_plot_bounds_x(0.0..=end);
                    plot.set_plot_bounds_y(bottom..=top);
                    for (list, style, shown) in [
                        (
                            &marks,
                            LineStyle::dotted_dense(),
                            c.kind != Kind::Acceleration,
                        ),
                        (&events, LineStyle::dashed_dense(), c.kind != Kind::Count),
                    ] {
                        if !shown {
                            continue;
                        }
                        for (t, word) in list {
                            plot.vline(
                                VLine::new(word.clone(), *t)
                                    .color(p.faint(p.dim, 0.7))
                                    .style(style)
                                    .width(1.0)
                                    .allow_hover(false),
                            );
                        }
                    }
                    plot.line(
                        Line::new(c.name, points)
                            .color((c.colour)(p))
                            .width(2.0)
                            .allow_hover(false),
                    );
                    plot.vline(
                        VLine::new("cursor", cursor.time)
                            .color(p.accent)
                            .width(1.6)
                            .allow_hover(false),
                    );
                    if let Some(y) = now {
                        let dot = PlotPoints::from(vec![[cursor.time, y]]);
                        plot.points(
                            egui_plot::Points::new("now", dot)
                                .radius(4.0)
                                .color(p.accent)
                                .allow_hover(false),
                        );
                    }
                })
        })
        .inner;
    let plot = response.response;
    let frame = *response.transform.frame();
    let painter = ui.painter().with_clip_rect(frame.intersect(ui.clip_rect()));
    let mut before = f64::NEG_INFINITY;
    let mut level = 0;
    for (t, word) in words {
        // Words close after others stand one line lower.
        level = if t - before < 0.16 * end {
            (level + 1) % 2
        } else {
            0
        };
        before = *t;
        let x = response.transform.position_from_point_x(*t);
        let (anchor, by) = if *t > 0.86 * end {
            (Align2::RIGHT_TOP, -4.0)
        } else {
            (Align2::LEFT_TOP, 4.0)
        };
        let at = pos2(x + by, frame.top() + 2.0 + 13.0 * level as f32);
        draw::text_on(&painter, at, anchor, word, plain(10.5), p.dim, p.ground);
    }
    plot.widget_info(|| {
        let mut info = WidgetInfo::slider(true, cursor.time, &title);
        info.current_text_value = Some(format!("{:.2} s: {said}", cursor.time));
        info
    });
    if plot.clicked() || plot.dragged() {
        plot.request_focus();
        if let Some(at) = plot.interact_pointer_pos() {
            cursor.set(response.transform.value_from_position(at).x, end);
            ui.ctx().request_repaint();
        }
    }
    if plot.has_focus() {
        let filter = EventFilter {
            horizontal_arrows: true,
            ..EventFilter::default()
        };
        ui.memory_mut(|m| m.set_focus_lock_filter(plot.id, filter));
        let before = cursor.time;
        cursor.keys(ui, end);
        if cursor.time != before {
            ui.ctx().request_repaint();
        }
        let line = egui::Stroke::new(1.0, p.accent);
        ui.painter()
            .rect_stroke(frame, 2, line, egui::StrokeKind::Inside);
    }
    frame
}

/// Stretches of the run with what limits each.
fn stretches(run: &Run) -> Vec<(f64, f64, RunLimit)> {
    let end = run.duration();
    let mut out: Vec<(f64, f64, RunLimit)> = Vec::new();
    let mut from = 0.0;
    let first = run.at(0.0).map_or(RunLimit::Drive, |s| s.limit);
    let mut limit = run.switches.first().map_or(first, |s| s.from);
    for s in &run.switches {
        if s.time > from {
            out.push((from, s.time.min(end), limit));
            from = s.time.min(end);
        }
        limit = s.to;
    }
    if end > from {
        out.push((from, end, limit));
    }
    out
}

/// What limits each moment, coloured and in words.
fn strip(ui: &mut Ui, bench: &Bench<'_>, run: &Run, frame: Rect, time: f64) {
    let p = bench.palette;
    let list = stretches(run);
    let end = run.duration();
    let size = vec2(ui.available_width().max(40.0), 22.0);
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    let lane = Rect::from_x_y_ranges(frame.x_range(), rect.top() + 2.0..=rect.bottom() - 2.0);
    let words_of = || {
        let said: Vec<String> = list
            .iter()
            .map(|(a, b, l)| format!("{a:.2} to {b:.2} s {}", words::limit(*l)))
            .collect();
        said.join("; ")
    };
    response.widget_info(|| {
        let mut info = WidgetInfo::labeled(Role::Image, true, "What limits each moment");
        info.current_text_value = Some(words_of());
        info
    });
    let painter = ui.painter();
    let x = |t: f64| lane.left() + (t / end) as f32 * lane.width();
    for (a, b, l) in &list {
        let part = Rect::from_x_y_ranges(x(*a)..=x(*b).max(x(*a) + 1.0), lane.y_range());
        let colour = words::colour(p, *l);
        painter.rect_filled(part, 0, p.faint(colour, 0.35));
        painter.hline(
            part.x_range(),
            part.bottom(),
            egui::Stroke::new(2.0, colour),
        );
        let galley = painter.layout_no_wrap(words::limit(*l).to_owned(), plain(11.0), p.ink);
        if galley.size().x + 6.0 <= part.width() {
            let at = part.center() - 0.5 * galley.size();
            painter.galley(pos2(at.x, at.y), galley, p.ink);
        }
    }
    let now = x(time.clamp(0.0, end));
    painter.vline(now, lane.y_range(), egui::Stroke::new(1.6, p.accent));
    // Those too short for their word are said below, in their colour.
    let mut kinds: Vec<RunLimit> = list.iter().map(|(_, _, l)| *l).collect();
    kinds.sort_by_key(|l| l.index());
    kinds.dedup();
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 6.0;
        ui.add_space((frame.left() - rect.left()).max(0.0));
        for l in kinds {
            let (at, _) = ui.allocate_exact_size(vec2(12.0, 10.0), Sense::hover());
            ui.painter().rect_filled(at, 1, words::colour(p, l));
            let text = egui::RichText::new(words::limit(l)).font(plain(11.0));
            ui.label(text.color(p.dim));
        }
    });
}
