//! Pieces every panel of weld-out is made of: columns, rows, strips, choosers.

use std::hash::Hash;

use build::WeldEdit;
use eframe::egui::{
    self, Align2, ComboBox, CursorIcon, Panel, Rect, Role, ScrollArea, Sense, Stroke, Ui,
    WidgetInfo, pos2, vec2,
};

use super::super::bench::{Bench, Tray};
use super::super::theme::{bold, plain};
use super::super::{draw, typed};
use units::Kind;

/// Width from which two columns stand side by side, points.
const BESIDE: f32 = 640.0;
/// Width of a field for a length, points.
pub(in crate::ui) const FIELD: f32 = 96.0;

/// One column of a panel.
pub(in crate::ui) type Column<S> = fn(&mut S, &mut Ui, &Bench<'_>, &mut Tray);

/// Two columns side by side, each scrolling for itself; where there is no room for both, the
/// second below the first in one that scrolls.
#[expect(clippy::too_many_arguments, reason = "a page is all of these")]
pub(in crate::ui) fn two<S>(
    state: &mut S,
    ui: &mut Ui,
    bench: &Bench<'_>,
    tray: &mut Tray,
    name: &'static str,
    share: f32,
    first: Column<S>,
    second: Column<S>,
) {
    let beside = egui::Frame::NONE.inner_margin(egui::Margin {
        left: 10,
        ..egui::Margin::ZERO
    });
    let room = ui.available_width();
    if room >= BESIDE {
        Panel::right(name)
            .resizable(true)
            .default_size((room * (1.0 - share)).max(260.0))
            .size_range(240.0..=(room - 300.0).max(250.0))
            .frame(beside)
            .show(ui, |ui| {
                scroll(ui, (name, 1), |ui| second(state, ui, bench, tray));
            });
        egui::Frame::NONE
            .inner_margin(egui::Margin {
                right: 8,
                ..egui::Margin::ZERO
            })
            .show(ui, |ui| {
                scroll(ui, (name, 0), |ui| first(state, ui, bench, tray));
            });
        return;
    }
    scroll(ui, (name, 2), |ui| {
        first(state, ui, bench, tray);
        ui.separator();
        second(state, ui, bench, tray);
    });
}

/// A column that scrolls up and down and is never wider than what is in sight.
pub(in crate::ui) fn scroll(
    ui: &mut Ui,
    salt: impl Hash + std::fmt::Debug,
    contents: impl FnOnce(&mut Ui),
) {
    ScrollArea::vertical()
        .id_salt(salt)
        .auto_shrink(false)
        .show(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 4.0;
            contents(ui);
            ui.add_space(6.0);
        });
}

/// Puts an edit of the weld-out record in the tray.
pub(in crate::ui) fn edit(tray: &mut Tray, edit: WeldEdit) {
    tray.edit(build::Edit::Weld(edit));
}

/// Words that wrap.
pub(in crate::ui) fn say(ui: &mut Ui, text: impl Into<String>) {
    ui.add(egui::Label::new(egui::RichText::new(text).font(plain(12.5))).wrap());
}

/// Words of a colour that wrap.
pub(in crate::ui) fn say_in(ui: &mut Ui, colour: egui::Color32, text: impl Into<String>) {
    let text = egui::RichText::new(text).font(plain(12.5)).color(colour);
    ui.add(egui::Label::new(text).wrap());
}

/// A row of a list that can be chosen.
pub(in crate::ui) struct Row<'a> {
    /// What the row is of, for a reader of the screen: "Dimension Towers".
    pub name: String,
    /// Left words of the first line.
    pub label: &'a str,
    /// Right words of the first line.
    pub right: &'a str,
    /// Colour of the right words.
    pub colour: egui::Color32,
    /// Lines below, which wrap.
    pub under: &'a str,
    /// What is drawn rather than written, for a reader of the screen.
    pub drawn: &'a str,
    /// It is the chosen one.
    pub chosen: bool,
    /// Written greyed.
    pub faint: bool,
}

/// Shows a row; the rectangle of its first line's middle comes back with the response.
pub(in crate::ui) fn row(ui: &mut Ui, bench: &Bench<'_>, row: &Row<'_>) -> egui::Response {
    strip_row(ui, bench, row, 0.0, |_, _| {})
}

/// A row with a strip of this height between its lines.
pub(in crate::ui) fn strip_row(
    ui: &mut Ui,
    bench: &Bench<'_>,
    row: &Row<'_>,
    strip: f32,
    paint: impl FnOnce(&egui::Painter, Rect),
) -> egui::Response {
    let p = bench.palette;
    let ink = if row.faint { p.dim } else { p.ink };
    let width = ui.available_width().max(40.0);
    let inner = width - 12.0;
    let font = if row.chosen { bold(13.0) } else { plain(13.0) };
    let right = ui
        .painter()
        .layout(row.right.to_owned(), bold(13.0), row.colour, inner * 0.6);
    let label_width = (inner - right.size().x - 10.0).max(40.0);
    let label = ui
        .painter()
        .layout(row.label.to_owned(), font, ink, label_width);
    let under = ui
        .painter()
        .layout(row.under.to_owned(), plain(11.5), p.dim, inner);
    let under_height = if row.under.is_empty() {
        0.0
    } else {
        under.size().y + 1.0
    };
    let first = label.size().y.max(right.size().y);
    let height = (first + strip + under_height + 6.0).max(24.0);
    let (rect, response) = ui.allocate_exact_size(vec2(width, height), Sense::click());
    response.widget_info(|| {
        let mut info = WidgetInfo::selected(Role::ListBoxOption, true, row.chosen, &row.name);
        info.current_text_value = Some([row.right, row.drawn, row.under].join("; "));
        info
    });
    if response.clicked() {
        response.request_focus();
    }
    let painter = ui.painter();
    if row.chosen || response.hovered() || response.has_focus() {
        let fill = if row.chosen {
            p.field
        } else {
            p.field.gamma_multiply(0.5)
        };
        painter.rect_filled(rect, 4, fill);
    }
    if response.has_focus() {
        let line = Stroke::new(1.0, p.accent);
        painter.rect_stroke(rect.shrink(0.5), 4, line, egui::StrokeKind::Inside);
    }
    if row.chosen {
        let mark = Rect::from_min_size(rect.min, vec2(2.5, rect.height()));
        painter.rect_filled(mark, 0, p.accent);
    }
    let (left, top) = (rect.left() + 8.0, rect.top() + 3.0);
    let at = pos2(rect.right() - 4.0 - right.size().x, top);
    painter.galley(at, right, row.colour);
    painter.galley(pos2(left, top), label, ink);
    if strip > 0.0 {
        let lane = Rect::from_min_size(pos2(left, top + first), vec2(inner - 4.0, strip));
        paint(painter, lane);
    }
    painter.galley(pos2(left, top + first + strip + 1.0), under, p.dim);
    response.on_hover_cursor(CursorIcon::PointingHand)
}

/// A scale along a strip, holding zero and everything it is made of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(in crate::ui) struct Scale {
    low: f64,
    high: f64,
}

impl Scale {
    /// Over these values; zero belongs to it.
    pub fn over(values: impl IntoIterator<Item = f64>) -> Self {
        let values = values.into_iter().filter(|v| v.is_finite());
        let (low, high) = values.fold((0.0_f64, 0.0_f64), |(a, b), v| (a.min(v), b.max(v)));
        let width = (high - low).max(1e-9);
        Self {
            low: low - 0.06 * width,
            high: high + 0.06 * width,
        }
    }

    /// The same both ways.
    pub fn both_ways(values: impl IntoIterator<Item = f64>) -> Self {
        let values = values.into_iter().filter(|v| v.is_finite());
        let most = values.fold(0.0_f64, |m, v| m.max(v.abs())).max(1e-9) * 1.06;
        Self {
            low: -most,
            high: most,
        }
    }

    fn at(self, lane: Rect, v: f64) -> f32 {
        let share = ((v - self.low) / (self.high - self.low)).clamp(0.0, 1.0);
        lane.left() + share as f32 * lane.width()
    }
}

/// What stands on a strip.
#[derive(Debug, Clone, Copy, Default)]
pub(in crate::ui) struct Marks {
    /// Where the long mark stands.
    pub from: f64,
    /// A lightly drawn range below the other.
    pub light: Option<(f64, f64)>,
    /// Ends of the tolerance.
    pub limits: Option<(f64, f64)>,
    /// The range.
    pub band: Option<(f64, f64)>,
    /// The point.
    pub point: Option<f64>,
}

/// Paints a strip: a line, the mark it counts from, a range and a point.
pub(in crate::ui) fn strip(
    painter: &egui::Painter,
    bench: &Bench<'_>,
    lane: Rect,
    scale: Scale,
    m: &Marks,
) {
    let p = bench.palette;
    let y = lane.center().y;
    painter.hline(
        lane.x_range(),
        y,
        Stroke::new(1.2, p.dim.gamma_multiply(0.5)),
    );
    let bar = |(a, b): (f64, f64), half: f32, colour: egui::Color32| {
        let (a, b) = (scale.at(lane, a), scale.at(lane, b));
        let bar =
            Rect::from_x_y_ranges(a.min(b)..=a.max(b).max(a.min(b) + 1.5), y - half..=y + half);
        painter.rect_filled(bar, 2, colour);
    };
    if let Some(light) = m.light {
        bar(light, 2.5, p.dim.gamma_multiply(0.35));
    }
    if let Some(band) = m.band {
        bar(band, 4.5, p.band);
    }
    for limit in m.limits.iter().flat_map(|(a, b)| [*a, *b]) {
        let x = scale.at(lane, limit);
        let ends = [pos2(x, y - 7.0), pos2(x, y + 7.0)];
        draw::dashed(painter, &ends, Stroke::new(1.0, p.dim), 2.0, 2.0);
    }
    let x = scale.at(lane, m.from);
    painter.vline(x, y - 7.0..=y + 7.0, Stroke::new(1.4, p.dim));
    if let Some(point) = m.point {
        let x = scale.at(lane, point);
        painter.vline(x, y - 7.0..=y + 7.0, Stroke::new(2.6, p.good));
    }
}

/// Figures in the room right of a strip, cut rather than run over.
pub(in crate::ui) fn beside(painter: &egui::Painter, bench: &Bench<'_>, room: Rect, text: &str) {
    draw::text_fit(
        painter,
        room.left_center(),
        Align2::LEFT_CENTER,
        text,
        plain(11.5),
        bench.palette.dim,
        room.width(),
    );
}

/// One of several, in a box that drops down; true when it was changed.
pub(in crate::ui) fn chooser<T: PartialEq + Clone>(
    ui: &mut Ui,
    name: &str,
    width: f32,
    now: &mut T,
    options: &[(T, String)],
) -> bool {
    let before = now.clone();
    let found = options.iter().find(|(v, _)| v == now);
    let shown = found.map_or("choose", |(_, words)| words.as_str());
    let room = ui.available_width().max(60.0);
    ComboBox::from_id_salt(("weld chooser", name))
        .selected_text(shown)
        .width(width.min(room))
        .truncate()
        .show_ui(ui, |ui| {
            for (value, words) in options {
                ui.selectable_value(now, value.clone(), words);
            }
        })
        .response
        .widget_info(|| {
            let mut info = WidgetInfo::labeled(Role::ComboBox, true, name);
            info.current_text_value = Some(shown.to_owned());
            info
        });
    *now != before
}

/// A bench whose fields show this length as it is: what was measured to a hundredth must not read
/// rounded to the tape.
pub(in crate::ui) fn exactly<T>(
    bench: &Bench<'_>,
    metres: Option<f64>,
    field: impl FnOnce(&Bench<'_>) -> T,
) -> T {
    let kept = |v: f64| {
        let text = bench.kept(Kind::Length, v);
        let back = units::parse_typed(Kind::Length, &text, bench.shop());
        back.is_ok_and(|b| (b - v).abs() <= 2e-5)
    };
    if metres.is_none_or(kept) {
        return field(bench);
    }
    let mut settings = bench.settings.clone();
    settings.shop.fraction = units::Fraction::Decimal;
    field(&Bench {
        settings: &settings,
        ..*bench
    })
}

/// A length of a form that is not in the document yet.
pub(in crate::ui) fn draft_length(
    ui: &mut Ui,
    bench: &Bench<'_>,
    name: &str,
    slot: &mut Option<f64>,
    tray: &mut Tray,
) {
    let salt = ("weld draft", name);
    let typed = exactly(bench, *slot, |bench| {
        typed::optional(ui, bench, salt, name, Kind::Length, *slot, FIELD, tray)
    });
    if let Some(v) = typed {
        *slot = v;
    }
}

/// A short line of words of a form that is not in the document yet.
pub(in crate::ui) fn draft_words(
    ui: &mut Ui,
    bench: &Bench<'_>,
    name: &str,
    slot: &mut String,
    width: f32,
    tray: &mut Tray,
) {
    let salt = ("weld draft", name);
    let width = width.min(ui.available_width().max(40.0));
    if let Some(v) = typed::words(ui, bench, salt, name, slot, width, tray) {
        *slot = v;
    }
}

/// A spin box for a small number of things.
pub(in crate::ui) fn count(ui: &mut Ui, name: &str, slot: &mut u32, most: u32) {
    let spin = egui::DragValue::new(slot)
        .range(1..=most)
        .update_while_editing(false)
        .speed(0.05);
    ui.add(spin)
        .widget_info(|| WidgetInfo::labeled(Role::SpinButton, true, name));
}

/// A cell that a spreadsheet must not take for a formula.
pub(in crate::ui) fn cell(text: &str) -> String {
    let text = text.replace(['\t', '\n', '\r'], " ");
    if text.starts_with(['=', '+', '-', '@']) {
        format!("'{text}")
    } else {
        text
    }
}
