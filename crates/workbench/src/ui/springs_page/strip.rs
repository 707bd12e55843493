//! What is left: the shock's stroke and the wheel's travel as strips, in words and colour.

use build::{Coilover, Side};
use eframe::egui::{self, Align2, Rect, Role, Sense, Stroke, Ui, WidgetInfo, pos2, vec2};

use super::super::bench::Bench;
use super::super::draw::text_fit;
use super::super::theme::{bold, plain};
use super::common;

/// Both strips of every spring of a coil-over; one for both sides where they stand alike.
pub(super) fn show(ui: &mut Ui, bench: &Bench<'_>, index: usize, x: &Coilover) {
    common::head(ui, bench, "Stroke and travel left", "at ride height");
    let all: Vec<_> = bench
        .study
        .launch
        .coilovers
        .iter()
        .filter(|c| c.coilover == index)
        .collect();
    let same = matches!(&all[..], [a, b] if alike(a, b));
    for c in all.iter().take(if same { 1 } else { 2 }) {
        let side = match (c.side, same) {
            (Side::Both, _) => "",
            (_, true) => ", both sides",
            (Side::Left, _) => ", left",
            (Side::Right, _) => ", right",
        };
        match &c.ride {
            Ok(ride) => {
                stroke(ui, bench, x, side, c.length, ride);
                travel(ui, bench, side, ride);
            }
            Err(why) => {
                ui.colored_label(bench.palette.bad, format!("Not known: {why}."));
            }
        }
    }
}

fn alike(a: &build::CoilStudy, b: &build::CoilStudy) -> bool {
    match (&a.ride, &b.ride) {
        (Ok(p), Ok(q)) => {
            (a.length - b.length).abs() < 1e-6
                && (p.preload - q.preload).abs() < 1e-6
                && (p.force - q.force).abs() < 1e-3 * p.force.abs().max(1.0)
        }
        (Err(p), Err(q)) => p == q,
        _ => false,
    }
}

/// The shock from shut to pulled out, with where it stands and where the coils touch.
fn stroke(
    ui: &mut Ui,
    bench: &Bench<'_>,
    x: &Coilover,
    side: &str,
    length: f64,
    ride: &build::CoilRide,
) {
    let p = bench.palette;
    let (shut, out) = (x.compressed.si(), x.extended.si());
    let solid = ride.seat.as_ref().map(|s| s.solid_at);
    let words = if length < shut {
        format!("shut: {} past", bench.length(shut - length))
    } else if length > out {
        format!("pulled out: {} past", bench.length(length - out))
    } else {
        format!("ride {}", bench.length(length))
    };
    let good = length > solid.map_or(shut, |s| s.max(shut)) && length < out;
    let said = format!(
        "{words}, shut {}, pulled out {}{}",
        bench.length(shut),
        bench.length(out),
        solid.map_or_else(String::new, |s| format!(
            ", coils touch at {}",
            bench.length(s)
        ))
    );
    let (rect, bar) = lane(ui, bench, &format!("Shock stroke{side}"), &said, 58.0);
    let low = shut.min(length).min(solid.unwrap_or(shut));
    let high = out.max(length).max(solid.unwrap_or(out));
    let at = |v: f64| bar.left() + (bar.width() as f64 * share(v, low, high)) as f32;
    let painter = ui.painter();
    painter.rect_filled(
        Rect::from_x_y_ranges(at(shut).min(at(out))..=at(out).max(at(shut)), bar.y_range()),
        2,
        p.band,
    );
    let tick = |v: f64, colour| {
        painter.vline(
            at(v),
            bar.top() - 3.0..=bar.bottom() + 3.0,
            Stroke::new(1.6, colour),
        );
    };
    tick(shut, p.chalk);
    tick(out, p.chalk);
    let text = |at, anchor, words: &str, font, colour, width| {
        text_fit(painter, at, anchor, words, font, colour, width);
    };
    // Both ends below the bar, each at its mark; where those are too near, at the strip's ends.
    const WORDS: f32 = 96.0;
    let (mut x_shut, mut x_out) = (
        at(shut).clamp(rect.left(), (rect.right() - 2.0 * WORDS).max(rect.left())),
        at(out).clamp((rect.left() + 2.0 * WORDS).min(rect.right()), rect.right()),
    );
    if x_out - x_shut < 2.0 * WORDS {
        (x_shut, x_out) = (rect.left(), rect.right());
    }
    let half = 0.5 * (x_out - x_shut) - 4.0;
    for (x_at, anchor, word, end) in [
        (x_shut, Align2::LEFT_TOP, "shut", shut),
        (x_out, Align2::RIGHT_TOP, "pulled out", out),
    ] {
        let words = format!("{word} {}", bench.length(end));
        let place = pos2(x_at, bar.bottom() + 5.0);
        text(place, anchor, &words, plain(11.0), p.dim, half);
    }
    let mark = if good { "" } else { "! " };
    let colour = if good { p.good } else { p.bad };
    let middle = at(length);
    let tip = pos2(middle, bar.top() + 1.0);
    painter.add(egui::Shape::convex_polygon(
        vec![
            tip + vec2(-5.0, -7.0),
            tip + vec2(5.0, -7.0),
            tip + vec2(0.0, 4.0),
        ],
        colour,
        Stroke::NONE,
    ));
    let label = format!("{mark}{words}");
    let anchor = if middle > rect.center().x {
        Align2::RIGHT_BOTTOM
    } else {
        Align2::LEFT_BOTTOM
    };
    let shift = if middle > rect.center().x {
        12.0
    } else {
        -12.0
    };
    let x_at = (middle + shift).clamp(rect.left(), rect.right());
    let side_room = if middle > rect.center().x {
        x_at - rect.left()
    } else {
        rect.right() - x_at
    };
    // The coils' mark has the other half of the upper line.
    text(
        pos2(x_at, bar.top() - 8.0),
        anchor,
        &label,
        bold(12.0),
        colour,
        side_room * 0.62,
    );
    if let Some(s) = solid {
        let colour = if s > shut { p.accent } else { p.dim };
        let c = at(s);
        let top = bar.top() - 3.0;
        for k in [-2.0, 0.0, 2.0] {
            painter.vline(c + k, top..=bar.bottom() + 3.0, Stroke::new(1.0, colour));
        }
        let words = format!("coils touch {}", bench.length(s));
        let right = c > rect.center().x;
        let anchor = if right {
            Align2::RIGHT_TOP
        } else {
            Align2::LEFT_TOP
        };
        text(
            pos2(c.clamp(rect.left(), rect.right()), bar.bottom() + 19.0),
            anchor,
            &words,
            plain(11.0),
            colour,
            if right {
                c - rect.left()
            } else {
                rect.right() - c
            },
        );
    }
}

/// The wheel's way both ways against the travel looked at.
fn travel(ui: &mut Ui, bench: &Bench<'_>, side: &str, ride: &build::CoilRide) {
    let p = bench.palette;
    let asked = bench.build.rear.travel.si();
    let Some(budget) = &ride.budget else {
        ui.colored_label(
            p.bad,
            "Travel left is not known: spring and shock do not fit each other at ride height.",
        );
        return;
    };
    let words = |word: &str, left: Option<f64>| match left {
        Some(v) if v < asked => (
            format!(
                "! {word} {} of {} looked at",
                bench.length(v),
                bench.length(asked)
            ),
            v,
            p.bad,
        ),
        _ => (
            format!("✓ {word}: all {} looked at", bench.length(asked)),
            asked,
            p.good,
        ),
    };
    let droop = words("droop", budget.droop);
    let bump = words("bump", budget.bump);
    let said = format!("{}, {}", droop.0, bump.0);
    let (rect, bar) = lane(ui, bench, &format!("Wheel travel left{side}"), &said, 44.0);
    let painter = ui.painter();
    let at = |v: f64| bar.left() + (bar.width() as f64 * share(v, -asked, asked)) as f32;
    for (sense, (_, left, colour)) in [(-1.0, &droop), (1.0, &bump)] {
        let (a, b) = (at(0.0), at(sense * left));
        let way = Rect::from_x_y_ranges(a.min(b)..=a.max(b), bar.y_range());
        painter.rect_filled(way, 1, colour.gamma_multiply(0.75));
        if *left < asked {
            painter.vline(
                b,
                bar.top() - 3.0..=bar.bottom() + 3.0,
                Stroke::new(2.0, *colour),
            );
        }
    }
    painter.vline(
        at(0.0),
        bar.top() - 4.0..=bar.bottom() + 4.0,
        Stroke::new(1.6, p.ink),
    );
    painter.text(
        pos2(at(0.0), bar.top() - 5.0),
        Align2::CENTER_BOTTOM,
        "ride",
        plain(11.0),
        p.dim,
    );
    let half = 0.5 * rect.width() - 6.0;
    for (x_at, anchor, (text, _, colour)) in [
        (rect.left(), Align2::LEFT_TOP, &droop),
        (rect.right(), Align2::RIGHT_TOP, &bump),
    ] {
        let at = pos2(x_at, bar.bottom() + 5.0);
        text_fit(painter, at, anchor, text, plain(11.5), *colour, half);
    }
}

fn share(v: f64, low: f64, high: f64) -> f64 {
    if high > low {
        ((v - low) / (high - low)).clamp(0.0, 1.0)
    } else {
        0.5
    }
}

/// A named strip: its whole rectangle and the bar in it.
fn lane(ui: &mut Ui, bench: &Bench<'_>, name: &str, said: &str, height: f32) -> (Rect, Rect) {
    ui.label(
        egui::RichText::new(name)
            .font(plain(11.5))
            .color(bench.palette.dim),
    );
    let size = vec2(ui.available_width().max(60.0), height);
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    response.widget_info(|| {
        let mut info = WidgetInfo::labeled(Role::Image, true, name);
        info.current_text_value = Some(said.to_owned());
        info
    });
    let bar = Rect::from_min_size(
        rect.left_top() + vec2(6.0, 16.0),
        vec2(rect.width() - 12.0, 9.0),
    );
    ui.painter().rect_filled(bar, 2, bench.palette.field);
    (rect, bar)
}
