//! The bend sheet in small: the unbent tube, where each bend begins, how it is turned and bent.

use build::{Tube, TubePart};
use eframe::egui::{Align2, Rect, Role, Sense, Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2};

use super::super::bench::Bench;
use super::super::draw::{dashed, text_fit};
use super::super::theme::{bold, plain};
use super::words;

/// Height of the strip of tube, points.
const TUBE: f32 = 16.0;
/// Rows of figures above it and below it.
const ROWS: usize = 2;
const ROW: f32 = 13.0;

pub(super) fn show(ui: &mut Ui, bench: &Bench<'_>, tube: &Tube, part: &TubePart) {
    let p = bench.palette;
    let above = ROW * ROWS as f32 + 6.0;
    let size = vec2(ui.available_width().max(120.0), 2.0 * above + TUBE + 16.0);
    let (all, r) = ui.allocate_exact_size(size, Sense::hover());
    r.widget_info(|| {
        let name = format!("Bend sheet of {}", tube.label);
        let mut info = WidgetInfo::labeled(Role::Image, true, name);
        let marks: Vec<String> = part
            .bends
            .iter()
            .enumerate()
            .map(|(i, x)| format!("bend {} at {}", i + 1, words::marked(bench, x.from_a)))
            .collect();
        info.current_text_value = Some(marks.join(", "));
        info
    });
    let painter = ui.painter().with_clip_rect(all.intersect(ui.clip_rect()));
    let strip = Rect::from_min_size(
        pos2(all.left() + 16.0, all.top() + above),
        vec2(all.width() - 32.0, TUBE),
    );
    let whole = part.cut.max(1e-6);
    let x = |metres: f64| strip.left() + (metres / whole).clamp(0.0, 1.0) as f32 * strip.width();
    painter.rect(
        strip,
        2,
        p.faint(p.chalk, 0.2),
        Stroke::new(1.3, p.chalk),
        StrokeKind::Inside,
    );
    let middle = strip.center().y;
    for (letter, at, anchor) in [
        ("A", strip.left() - 4.0, Align2::RIGHT_CENTER),
        ("B", strip.right() + 4.0, Align2::LEFT_CENTER),
    ] {
        painter.text(pos2(at, middle), anchor, letter, bold(12.0), p.accent);
    }
    let die = tube
        .die
        .as_ref()
        .and_then(|id| bench.build.tube_work.die(id));
    let offset = die.map_or(0.0, |d| d.mark.si());
    let room = strip.width() / (part.bends.len() as f32).max(1.0) * ROWS as f32;
    for (i, bend) in part.bends.iter().enumerate() {
        // The mark stands beyond the bend's start by the die's offset.
        let start = bend.from_a - offset;
        let end = start + bend.bend.arc;
        let arc = Rect::from_x_y_ranges(x(start)..=x(end), strip.y_range()).shrink2(vec2(0.0, 1.3));
        painter.rect_filled(arc, 0, p.faint(p.accent, 0.35));
        let mark = x(bend.from_a);
        let row = ROW * (i % ROWS) as f32;
        let top = strip.top() - 5.0 - row;
        painter.vline(mark, top..=strip.bottom(), Stroke::new(1.6, p.accent));
        let says = format!("{} {}", i + 1, words::marked(bench, bend.from_a));
        text_fit(
            &painter,
            pos2(mark + 3.0, top + 2.0),
            Align2::LEFT_BOTTOM,
            &says,
            bold(11.0),
            p.ink,
            room,
        );
        let bottom = strip.bottom() + 4.0 + row;
        dashed(
            &painter,
            &[
                pos2(arc.center().x, strip.bottom()),
                pos2(arc.center().x, bottom + 4.0),
            ],
            Stroke::new(1.0, p.dim),
            2.0,
            2.0,
        );
        let mut says = words::angle(bench, bend.set.unwrap_or(bend.bend.angle));
        says = match bend.set {
            Ok(_) => format!("set {says}"),
            Err(_) => format!("bend {says}"),
        };
        if let Some(turn) = bend.bend.rotation.filter(|r| r.abs() > 5e-4) {
            says = format!("{}, {says}", words::turn(bench, turn));
        }
        text_fit(
            &painter,
            pos2(arc.center().x + 3.0, bottom),
            Align2::LEFT_TOP,
            &says,
            plain(11.0),
            p.ink,
            (all.right() - arc.center().x - 6.0).min(room * 1.2),
        );
    }
    let y = all.bottom() - 13.0;
    let text = format!(
        "unbent, {} long; marks from end A",
        words::marked(bench, part.cut)
    );
    text_fit(
        &painter,
        pos2(strip.left(), y),
        Align2::LEFT_TOP,
        &text,
        plain(10.5),
        p.dim,
        strip.width(),
    );
}
