//! The paper wraps of a tube's ends in small: cut line, scribe line, clock marks.

use build::{CopeStudy, EndShape, Tube, TubePart};
use eframe::egui::{
    Align2, Painter, Pos2, Rect, Role, Sense, Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2,
};
use geometry::tube::cope::{End, Wrap};
use geometry::tube::section::Section;

use super::super::bench::Bench;
use super::super::draw::{dashed, text_fit};
use super::super::springs_page::common;
use super::super::theme::{bold, plain};
use super::words;

/// Steps round the tube.
const STEPS: usize = 180;
/// Height of the drawing, points.
const HEIGHT: f32 = 118.0;

/// Both ends, side by side where there is room.
pub(super) fn show(ui: &mut Ui, bench: &Bench<'_>, tube: &Tube, part: &TubePart) {
    let cuts: Vec<(End, &CopeStudy)> = part
        .ends
        .iter()
        .filter_map(|e| match &e.shape {
            EndShape::Cope(cut) => Some((e.end, &**cut)),
            _ => None,
        })
        .collect();
    if cuts.is_empty() {
        return;
    }
    common::head(
        ui,
        bench,
        "Wraps",
        "printed side out, end B up the page; print them at 100 % from the cut sheet",
    );
    let room = ui.available_width();
    let gap = 10.0;
    let beside = room > 420.0 && cuts.len() == 2;
    let width = if beside { 0.5 * (room - gap) } else { room };
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = gap;
        for (end, cut) in cuts {
            one(ui, bench, tube, end, cut, width.max(120.0));
        }
    });
}

fn one(ui: &mut Ui, bench: &Bench<'_>, tube: &Tube, end: End, cut: &CopeStudy, width: f32) {
    let p = bench.palette;
    let letter = match end {
        End::A => "A",
        End::B => "B",
    };
    let (all, r) = ui.allocate_exact_size(vec2(width, HEIGHT), Sense::hover());
    let paper = bench.build.tube_work.paper.si();
    let Ok(wrap) = cut.cope.wrap(paper, cut.square, STEPS) else {
        return;
    };
    let depth = wrap.cut.iter().map(|q| q[1]).fold(0.0, f64::max);
    r.widget_info(|| {
        let name = format!("Wrap of {}, end {letter}", tube.label);
        let mut info = WidgetInfo::labeled(Role::Image, true, name);
        info.current_text_value = Some(format!(
            "{} round, cut {} deep",
            words::marked(bench, wrap.girth),
            words::marked(bench, depth)
        ));
        info
    });
    let painter = ui.painter().with_clip_rect(all.intersect(ui.clip_rect()));
    let head = format!(
        "End {letter}: {} round, {} deep",
        words::marked(bench, wrap.girth),
        words::marked(bench, depth)
    );
    text_fit(
        &painter,
        all.left_top() + vec2(2.0, 1.0),
        Align2::LEFT_TOP,
        &head,
        bold(12.0),
        p.ink,
        all.width() - 4.0,
    );
    let sheet = Rect::from_min_max(
        pos2(all.left() + 2.0, all.top() + 20.0),
        pos2(all.right() - 2.0, all.bottom() - 16.0),
    );
    painter.rect(
        sheet,
        2,
        p.faint(p.chalk, 0.08),
        Stroke::new(1.0, p.dim),
        StrokeKind::Inside,
    );
    curve(&painter, bench, sheet, cut, &wrap, depth);
}

/// The cut line over the girth; the same scale both ways where it is tall enough to be read.
fn curve(
    painter: &Painter,
    bench: &Bench<'_>,
    sheet: Rect,
    cut: &CopeStudy,
    wrap: &Wrap,
    depth: f64,
) {
    let p = bench.palette;
    let across = f64::from(sheet.width()) / wrap.girth.max(1e-6);
    let up = (f64::from(sheet.height() - 20.0) / depth.max(1e-6)).min(2.5 * across);
    let at = |q: [f64; 2]| -> Pos2 {
        let x = sheet.left() + ((q[0] + 0.5 * wrap.girth) * across) as f32;
        let y = (q[1] * up) as f32;
        // The long-point line is the straight edge of the paper.
        let y = if wrap.up_the_page {
            sheet.bottom() - 8.0 - y
        } else {
            sheet.top() + 8.0 + y
        };
        pos2(x, y)
    };
    let edge = at([0.0, 0.0]).y;
    painter.hline(sheet.x_range(), edge, Stroke::new(1.0, p.dim));
    if matches!(cut.cope.section(), Section::Round { .. }) {
        for quarter in [-1.0, 1.0] {
            let x = at([quarter * 0.25 * wrap.girth, 0.0]).x;
            dashed(
                painter,
                &[pos2(x, sheet.top()), pos2(x, sheet.bottom())],
                Stroke::new(1.0, p.dim.gamma_multiply(0.7)),
                3.0,
                3.0,
            );
            let text = if quarter < 0.0 { "−90°" } else { "90°" };
            let below = pos2(x, sheet.bottom() + 2.0);
            painter.text(below, Align2::CENTER_TOP, text, plain(10.0), p.dim);
        }
    }
    let x = at([wrap.scribe, 0.0]).x;
    painter.vline(x, sheet.y_range(), Stroke::new(1.4, p.accent));
    let below = pos2(x, sheet.bottom() + 2.0);
    painter.text(
        below,
        Align2::CENTER_TOP,
        "scribe line",
        plain(10.0),
        p.accent,
    );
    for (clock, main) in wrap.clocks.iter().zip(&cut.mains) {
        let x = at([*clock, 0.0]).x;
        let tip = if wrap.up_the_page {
            sheet.top() + 2.0
        } else {
            sheet.bottom() - 2.0
        };
        let way = if wrap.up_the_page { 7.0 } else { -7.0 };
        painter.line_segment(
            [pos2(x - 4.0, tip), pos2(x, tip + way)],
            Stroke::new(1.4, p.upper),
        );
        painter.line_segment(
            [pos2(x + 4.0, tip), pos2(x, tip + way)],
            Stroke::new(1.4, p.upper),
        );
        let anchor = if wrap.up_the_page {
            Align2::LEFT_TOP
        } else {
            Align2::LEFT_BOTTOM
        };
        let left = (sheet.right() - x - 8.0).max(0.0);
        if left > 30.0 {
            text_fit(
                painter,
                pos2(x + 6.0, tip),
                anchor,
                words::name(bench, *main),
                plain(10.0),
                p.upper,
                left,
            );
        }
    }
    let line: Vec<Pos2> = wrap.cut.iter().map(|q| at(*q)).collect();
    painter.line(line, Stroke::new(2.0, p.chalk));
}
