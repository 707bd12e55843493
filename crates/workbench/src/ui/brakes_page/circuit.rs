//! The circuit as a person follows it with a finger: every part in its line, each of them a button.

use build::{CircuitKind, CircuitPart, Part, Severity};
use eframe::egui::{
    Align2, Color32, CursorIcon, Painter, Pos2, Rect, Role, Sense, Stroke, Ui, Vec2, WidgetInfo,
    pos2, vec2,
};

use crate::ui::bench::{Action, Bench, Tray};
use crate::ui::draw::text_fit;
use crate::ui::theme::{bold, plain};

/// Room of a part's symbol, points.
const SYMBOL: Vec2 = vec2(46.0, 34.0);

/// Worst finding of a part.
fn trouble(bench: &Bench<'_>, path: &str) -> Option<Severity> {
    let of = bench.study.findings.iter().filter(|f| match &f.part {
        Part::Field(id) => id.starts_with(path),
        _ => false,
    });
    of.map(|f| f.severity).min()
}

pub(super) fn show(ui: &mut Ui, bench: &Bench<'_>, tray: &mut Tray) {
    let Some(study) = &bench.study.brakes else {
        return;
    };
    let c = &study.circuit;
    let (rect, _) = ui.allocate_exact_size(ui.available_size(), Sense::hover());
    let painter = ui.painter_at(rect);
    // Masters of their own stand in their lines.
    let own = |k: CircuitKind, master| k == master;
    let shared: Vec<&CircuitPart> = c
        .shared
        .iter()
        .filter(|p| !own(p.kind, CircuitKind::FrontMaster) && !own(p.kind, CircuitKind::RearMaster))
        .collect();
    let lane = |master, parts: &'static str| {
        let first = c.shared.iter().filter(move |p| own(p.kind, master));
        let rest = if parts == "front" { &c.front } else { &c.rear };
        first.chain(rest).collect::<Vec<_>>()
    };
    let lanes = [
        ("Front line", lane(CircuitKind::FrontMaster, "front")),
        ("Rear line", lane(CircuitKind::RearMaster, "rear")),
    ];
    let longest = lanes.iter().map(|l| l.1.len()).max().unwrap_or(1);
    let columns = shared.len() + longest;
    let inner = rect.shrink2(vec2(10.0, 8.0));
    let step = inner.width() / columns.max(1) as f32;
    let x = |i: usize| inner.left() + step * (i as f32 + 0.5);
    let parking = c.parking.as_ref();
    let rows = if parking.is_some() { 3.0 } else { 2.0 };
    let y = |row: f32| inner.top() + inner.height() * (row + 0.5) / rows;
    let middle = 0.5 * (y(0.0) + y(1.0));
    let line = Stroke::new(2.0, bench.palette.chalk);
    let reach = 0.5 * SYMBOL.x;
    for i in 1..shared.len() {
        let ends = [pos2(x(i - 1) + reach, middle), pos2(x(i) - reach, middle)];
        painter.line_segment(ends, line);
    }
    let fork = x(shared.len().saturating_sub(1)) + reach;
    for (row, (_, parts)) in lanes.iter().enumerate() {
        let at = y(row as f32);
        let bend = fork + (0.5 * step - reach).max(4.0);
        painter.line_segment([pos2(fork, middle), pos2(bend, middle)], line);
        painter.line_segment([pos2(bend, middle), pos2(bend, at)], line);
        let mut from = bend;
        for i in 0..parts.len() {
            // The wheels stand in one column.
            let col = if i + 1 == parts.len() { longest - 1 } else { i };
            let centre = x(shared.len() + col);
            painter.line_segment([pos2(from, at), pos2(centre - reach, at)], line);
            from = centre + reach;
        }
    }
    for (i, p) in shared.iter().enumerate() {
        part(
            ui,
            &painter,
            bench,
            "Shared",
            p,
            pos2(x(i), middle),
            step,
            tray,
        );
    }
    for (row, (name, parts)) in lanes.iter().enumerate() {
        for (i, p) in parts.iter().enumerate() {
            let col = if i + 1 == parts.len() { longest - 1 } else { i };
            let at = pos2(x(shared.len() + col), y(row as f32));
            part(ui, &painter, bench, name, p, at, step, tray);
        }
    }
    if let Some(p) = parking {
        let at = y(2.0);
        let wheel = x(columns - 1);
        let cable = Stroke::new(1.4, bench.palette.dim);
        let path = [
            pos2(x(0) + reach, at),
            pos2(wheel, at),
            pos2(wheel, y(1.0) + 0.5 * SYMBOL.y + 30.0),
        ];
        crate::ui::draw::dashed(&painter, &path, cable, 6.0, 4.0);
        part(ui, &painter, bench, "Cable", p, pos2(x(0), at), step, tray);
    }
}

#[expect(
    clippy::too_many_arguments,
    reason = "a part in its place is all of these"
)]
fn part(
    ui: &Ui,
    painter: &Painter,
    bench: &Bench<'_>,
    line: &str,
    p: &CircuitPart,
    at: Pos2,
    step: f32,
    tray: &mut Tray,
) {
    let palette = bench.palette;
    let room = Rect::from_center_size(at + vec2(0.0, 10.0), vec2(step - 4.0, SYMBOL.y + 42.0));
    let id = ui.scope_id().with(("circuit", line, p.path, p.kind));
    let r = ui
        .interact(room, id, Sense::click())
        .on_hover_cursor(CursorIcon::PointingHand);
    let name = format!("{line}: {}", p.label);
    let size = p.size.show(bench.shop());
    r.widget_info(|| {
        let mut info = WidgetInfo::labeled(Role::Button, true, &name);
        info.current_text_value = Some(size.clone());
        info
    });
    if r.clicked() {
        r.request_focus();
        tray.put(Action::Select(Part::Field(p.path)));
    }
    let chosen = chosen(bench) == Some(p.path);
    let (colour, mark) = match trouble(bench, p.path) {
        Some(Severity::Error) => (palette.bad, Some("!")),
        Some(Severity::Warning) => (palette.accent, Some("!")),
        _ => (palette.chalk, None),
    };
    let symbol_rect = Rect::from_center_size(at, SYMBOL);
    let fill = if chosen || r.hovered() || r.has_focus() {
        palette.field
    } else {
        palette.ground
    };
    painter.rect_filled(symbol_rect.expand(2.0), 4, fill);
    if chosen {
        let edge = Stroke::new(2.0, palette.accent);
        painter.rect_stroke(
            symbol_rect.expand(4.0),
            6,
            edge,
            eframe::egui::StrokeKind::Outside,
        );
    }
    symbol(painter, p.kind, symbol_rect, colour, fill);
    if let Some(mark) = mark {
        let corner = symbol_rect.right_top() + vec2(-2.0, -2.0);
        painter.circle_filled(corner, 8.0, colour);
        painter.text(
            corner,
            Align2::CENTER_CENTER,
            mark,
            bold(12.0),
            palette.on_accent,
        );
    }
    let (wide, below) = (step - 6.0, symbol_rect.bottom());
    for (text, font, ink, dy) in [
        (p.label.as_str(), plain(11.5), palette.ink, 12.0),
        (size.as_str(), plain(11.0), palette.dim, 26.0),
    ] {
        // Left edge so that the words stand in the middle, or fill the room.
        let galley = painter.layout_no_wrap(text.to_owned(), font.clone(), ink);
        let half = 0.5 * galley.size().x.min(wide);
        text_fit(
            painter,
            pos2(at.x - half, below + dy),
            Align2::LEFT_CENTER,
            text,
            font,
            ink,
            wide,
        );
    }
    r.on_hover_text(format!("{name}, {size}"));
}

/// Path of the part whose fields are shown.
pub(super) fn chosen(bench: &Bench<'_>) -> Option<&'static str> {
    let Some(Part::Field(id)) = bench.selected else {
        return None;
    };
    let circuit = &bench.study.brakes.as_ref()?.circuit;
    circuit
        .parts()
        .map(|p| p.path)
        .find(|path| id.starts_with(path))
}

/// A shape for each kind, our own.
fn symbol(painter: &Painter, kind: CircuitKind, r: Rect, colour: Color32, fill: Color32) {
    let pen = Stroke::new(2.0, colour);
    let thin = Stroke::new(1.4, colour);
    let c = r.center();
    let bar = |from: Pos2, to: Pos2, pen: Stroke| {
        painter.line_segment([from, to], pen);
    };
    let body = |rect: Rect| {
        painter.rect_filled(rect, 3, fill);
        painter.rect_stroke(rect, 3, pen, eframe::egui::StrokeKind::Middle);
    };
    match kind {
        CircuitKind::Pedal => {
            let pivot = c + vec2(-4.0, -14.0);
            bar(pivot, c + vec2(-12.0, 13.0), pen);
            bar(
                c + vec2(-19.0, 9.0),
                c + vec2(-5.0, 16.0),
                Stroke::new(4.0, colour),
            );
            painter.circle_stroke(pivot, 3.5, pen);
            bar(c + vec2(-8.0, 0.0), r.right_center(), thin);
        }
        CircuitKind::Booster => {
            painter.circle_filled(c, 16.0, fill);
            painter.circle_stroke(c, 16.0, pen);
            bar(c + vec2(0.0, -16.0), c + vec2(0.0, 16.0), thin);
        }
        CircuitKind::BalanceBar => {
            bar(
                c + vec2(0.0, -15.0),
                c + vec2(0.0, 15.0),
                Stroke::new(4.0, colour),
            );
            painter.circle_filled(c, 5.0, colour);
        }
        CircuitKind::SingleMaster
        | CircuitKind::TandemMaster
        | CircuitKind::FrontMaster
        | CircuitKind::RearMaster => {
            body(Rect::from_center_size(c + vec2(0.0, 3.0), vec2(42.0, 16.0)));
            body(Rect::from_center_size(
                c + vec2(0.0, -10.0),
                vec2(26.0, 10.0),
            ));
            bar(c + vec2(-10.0, -3.0), c + vec2(-10.0, 9.0), thin);
            if kind == CircuitKind::TandemMaster {
                bar(c + vec2(6.0, -3.0), c + vec2(6.0, 9.0), thin);
            }
        }
        CircuitKind::ResidualValve(_) => {
            let tip = c + vec2(11.0, 0.0);
            let (a, b) = (c + vec2(-9.0, -11.0), c + vec2(-9.0, 11.0));
            bar(r.left_center(), c + vec2(-9.0, 0.0), pen);
            bar(tip, r.right_center(), pen);
            painter.add(eframe::egui::Shape::convex_polygon(
                vec![a, tip, b],
                fill,
                pen,
            ));
            bar(tip + vec2(0.0, -11.0), tip + vec2(0.0, 11.0), pen);
        }
        CircuitKind::ProportioningValve => {
            body(Rect::from_center_size(c, vec2(32.0, 26.0)));
            bar(c + vec2(-11.0, 9.0), c + vec2(0.0, -3.0), thin);
            bar(c + vec2(0.0, -3.0), c + vec2(12.0, -8.0), thin);
        }
        CircuitKind::Hoses => {
            let wave: Vec<Pos2> = (0..=24)
                .map(|i| {
                    let t = i as f32 / 24.0;
                    let x = r.left() + t * r.width();
                    pos2(x, c.y + 7.0 * (t * std::f32::consts::TAU * 1.5).sin())
                })
                .collect();
            painter.line(wave, Stroke::new(3.0, colour));
        }
        CircuitKind::Disc => {
            painter.circle_filled(c, 16.0, fill);
            painter.circle_stroke(c, 16.0, pen);
            painter.circle_stroke(c, 6.0, thin);
            painter.rect_filled(
                Rect::from_center_size(c + vec2(-13.0, 0.0), vec2(10.0, 18.0)),
                3,
                colour,
            );
        }
        CircuitKind::Drum => {
            painter.circle_filled(c, 16.0, fill);
            painter.circle_stroke(c, 16.0, Stroke::new(3.0, colour));
            painter.circle_stroke(c, 10.5, thin);
            painter.rect_filled(
                Rect::from_center_size(c + vec2(0.0, -9.0), vec2(12.0, 7.0)),
                2,
                colour,
            );
        }
        CircuitKind::ParkingLever => {
            bar(
                c + vec2(-14.0, 12.0),
                c + vec2(14.0, -12.0),
                Stroke::new(4.0, colour),
            );
            painter.circle_stroke(c + vec2(-14.0, 12.0), 3.5, pen);
        }
    }
}
