//! The tape gauge: a value, a strip of tape with the target band shaded, a pointer, the verdict.

use build::{Band, Edit, Reading, Status, Target};
use eframe::egui::{
    self, Align2, CursorIcon, Rect, Role, Sense, Shape, Stroke, WidgetInfo, pos2, vec2,
};

use super::bench::{Bench, Tray};
use super::theme::{bold, plain};
use super::typed;

const HEIGHT: f32 = 46.0;
const HEIGHT_PLAIN: f32 = 24.0;

/// One reading; a click opens its definition and its band.
pub fn show(ui: &mut egui::Ui, bench: &Bench<'_>, reading: &Reading, tray: &mut Tray) {
    let p = bench.palette;
    let has_tape = reading.band.is_some();
    let size = vec2(
        ui.available_width(),
        if has_tape { HEIGHT } else { HEIGHT_PLAIN },
    );
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    let response = response.on_hover_cursor(CursorIcon::PointingHand);
    // One coil-over needs no name of its own.
    let label =
        if bench.build.power.coilovers.len() == 1 && reading.definition.id.starts_with("spring.") {
            reading.short_label()
        } else {
            reading.label()
        };
    let value = reading.display(bench.shop());
    let verdict = match &reading.value {
        Ok(_) => reading.verdict(bench.shop()),
        Err(why) => why.to_string(),
    };
    response.widget_info(|| {
        let mut info = WidgetInfo::labeled(Role::Button, true, label.as_ref());
        info.current_text_value = Some(format!("{value}, {verdict}"));
        info
    });
    if response.clicked() {
        response.request_focus();
    }
    let painter = ui.painter();
    if response.hovered() || response.has_focus() {
        painter.rect_filled(rect.expand2(vec2(6.0, 0.0)), 4, p.field.gamma_multiply(0.6));
    }
    let y = rect.top() + 10.0;
    let number = painter.text(
        pos2(rect.right(), y),
        Align2::RIGHT_CENTER,
        &value,
        bold(14.0),
        p.ink,
    );
    let wide = number.left() - rect.left() - 8.0;
    super::draw::text_fit(
        painter,
        pos2(rect.left(), y),
        Align2::LEFT_CENTER,
        &label,
        plain(13.0),
        p.ink,
        wide,
    );
    if has_tape {
        let tape = Rect::from_min_size(
            pos2(rect.left(), rect.top() + 20.0),
            vec2(rect.width(), 9.0),
        );
        draw_tape(painter, tape, reading, bench);
        let (mark, colour) = match reading.status() {
            Status::InBand => ("✓ ", p.good),
            Status::Below(_) | Status::Above(_) => ("! ", p.bad),
            Status::NoTarget | Status::NoValue => ("", p.dim),
        };
        let at = pos2(rect.left(), rect.top() + 37.0);
        super::draw::text_fit(
            painter,
            at,
            Align2::LEFT_CENTER,
            &format!("{mark}{verdict}"),
            plain(11.0),
            colour,
            rect.width(),
        );
    }
    egui::Popup::from_toggle_button_response(&response)
        .close_behavior(egui::PopupCloseBehavior::CloseOnClickOutside)
        .width(330.0)
        .show(|ui| definition(ui, bench, reading, tray));
}

/// The strip covers the band and as much again on each side; a pointer beyond stands at its end.
fn draw_tape(painter: &egui::Painter, tape: Rect, reading: &Reading, bench: &Bench<'_>) {
    let p = bench.palette;
    painter.rect_filled(tape, 1, p.field);
    let Some(band) = reading.band else {
        return;
    };
    let band = closed(&band, *reading.value.as_ref().unwrap_or(&0.0));
    let width = (band.high - band.low).max(1e-9 + band.high.abs() * 0.02);
    let (low, high) = scale(&band, width);
    let x = |v: f64| {
        let share = ((v - low) / (high - low)).clamp(0.0, 1.0);
        tape.left() + share as f32 * tape.width()
    };
    let shade = Rect::from_x_y_ranges(x(band.low)..=x(band.high), tape.y_range());
    painter.rect_filled(shade, 1, p.band);
    for k in 0..=40 {
        let at = tape.left() + tape.width() * k as f32 / 40.0;
        let long = if k % 8 == 0 { 6.0 } else { 3.0 };
        painter.vline(
            at,
            tape.top()..=tape.top() + long,
            Stroke::new(1.0, p.dim.gamma_multiply(0.7)),
        );
    }
    if let Ok(v) = reading.value {
        let colour = if reading.status().is_out() {
            p.bad
        } else {
            p.good
        };
        let tip = pos2(x(v), tape.top() + 1.0);
        painter.add(Shape::convex_polygon(
            vec![tip, tip + vec2(5.0, 10.0), tip + vec2(-5.0, 10.0)],
            colour,
            Stroke::new(1.0, p.panel),
        ));
    }
}

/// An open end drawn twice as far from the other as the value is.
fn closed(band: &Band, value: f64) -> Band {
    let far = |end: f64| 2.0 * (value - end).abs().max(end.abs()).max(1e-6);
    let (low, high) = match (band.low.is_finite(), band.high.is_finite()) {
        (true, true) => (band.low, band.high),
        (true, false) => (band.low, band.low + far(band.low)),
        (false, true) => (band.high - far(band.high), band.high),
        (false, false) => (value - far(value), value + far(value)),
    };
    Band { low, high }
}

fn scale(band: &Band, width: f64) -> (f64, f64) {
    let low = band.low - width;
    // A band that does not reach below nothing keeps its tape above it.
    let low = if band.low >= 0.0 { low.max(0.0) } else { low };
    (low, band.high + width)
}

fn definition(ui: &mut egui::Ui, bench: &Bench<'_>, reading: &Reading, tray: &mut Tray) {
    let d = reading.definition;
    ui.set_max_width(330.0);
    ui.label(egui::RichText::new(d.label).font(bold(14.0)));
    if let Err(why) = &reading.value {
        ui.colored_label(bench.palette.bad, why.to_string());
    }
    ui.label(d.meaning);
    if let build::Certainty::Estimate { low, high, basis } = &reading.certainty {
        let (low, high) = (d.amount(*low, bench.shop()), d.amount(*high, bench.shop()));
        ui.label(format!("An estimate: from {low} to {high}, {basis}."));
    }
    ui.label(egui::RichText::new(d.formula).color(bench.palette.dim));
    ui.label(
        egui::RichText::new(d.source)
            .small()
            .color(bench.palette.dim),
    );
    if d.id.starts_with("fit_up.") || d.id.starts_with("weld.") {
        return;
    }
    ui.separator();
    let id = reading.id();
    let target = bench.build.target(&id);
    let (low, high) = target.map_or_else(
        || {
            let v = *reading.value.as_ref().unwrap_or(&0.0);
            (v, v)
        },
        |t| (t.low.si, t.high.si),
    );
    ui.horizontal(|ui| {
        let mut end = |ui: &mut egui::Ui, word: &str, si| {
            ui.label(word);
            let name = format!("{} {}", d.label, word.to_lowercase());
            typed::field(ui, bench, (word, d.id), &name, d.kind, si, 72.0, tray)
        };
        let low_new = end(ui, "Band from", low);
        let high_new = end(ui, "to", high);
        if low_new.is_some() || high_new.is_some() {
            let (a, b) = (low_new.unwrap_or(low), high_new.unwrap_or(high));
            let q = |si| units::Quantity {
                kind: d.band_kind(),
                si,
            };
            tray.edit(Edit::PutTarget(Target {
                reading: id.clone().into_owned(),
                low: q(a.min(b)),
                high: q(a.max(b)),
            }));
        }
        if target.is_some() && ui.button("Clear").clicked() {
            tray.edit(Edit::RemoveTarget(id.into_owned()));
        }
    });
}
