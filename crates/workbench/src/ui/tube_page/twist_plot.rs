//! Twist over the length of the frame, back to front, with the soft bay named.

use build::TwistAnswer;
use eframe::egui::{Align2, Pos2, Rect, Role, Sense, Stroke, Ui, WidgetInfo, pos2, vec2};
use units::Kind;

use super::super::bench::Bench;
use super::super::draw::text_fit;
use super::super::theme::{bold, plain};

/// Height of the plot, points.
const HEIGHT: f32 = 168.0;

/// What a bay is called: the places at its two ends.
pub(super) fn bay(t: &TwistAnswer, i: usize) -> String {
    let Some(bay) = t.bays.get(i) else {
        return String::new();
    };
    let [a, b] = bay
        .between
        .map(|k| t.curve.get(k).map_or("", |p| p.label.as_str()));
    format!("{a} to {b}")
}

pub(super) fn show(ui: &mut Ui, bench: &Bench<'_>, t: &TwistAnswer) {
    let p = bench.palette;
    let size = vec2(ui.available_width().max(160.0), HEIGHT);
    let (all, r) = ui.allocate_exact_size(size, Sense::hover());
    r.widget_info(|| {
        let mut info = WidgetInfo::labeled(Role::Image, true, "Twist over the length");
        let said: Vec<String> = t
            .curve
            .iter()
            .map(|x| format!("{} {}", x.label, degrees(x.phi)))
            .collect();
        info.current_text_value = Some(said.join(", "));
        info
    });
    if t.curve.len() < 2 {
        return;
    }
    let painter = ui.painter().with_clip_rect(all.intersect(ui.clip_rect()));
    let sheet = Rect::from_min_max(
        pos2(all.left() + 52.0, all.top() + 18.0),
        pos2(all.right() - 12.0, all.bottom() - 30.0),
    );
    let fold = |pick: fn(&build::TwistPoint) -> f64| {
        let values = t.curve.iter().map(pick);
        values.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), v| {
            (a.min(v), b.max(v))
        })
    };
    let ((x0, x1), (low, high)) = (fold(|q| q.x), fold(|q| q.phi));
    let (low, high) = (low.min(0.0), high.max(low + 1e-9));
    let at = |x: f64, phi: f64| -> Pos2 {
        let across = (x - x0) / (x1 - x0).max(1e-9);
        let up = (phi - low) / (high - low);
        pos2(
            sheet.left() + across as f32 * sheet.width(),
            sheet.bottom() - up as f32 * sheet.height(),
        )
    };
    if let Some(i) = t.soft
        && let Some([a, b]) = t
            .bays
            .get(i)
            .map(|b| b.between.map(|k| t.curve.get(k).map_or(x0, |q| q.x)))
    {
        let shade = Rect::from_x_y_ranges(at(a, low).x..=at(b, low).x, sheet.y_range());
        painter.rect_filled(shade, 0, p.faint(p.bad, 0.22));
        let says = format!("softest bay: {}", bay(t, i));
        let room = all.width() - 8.0;
        let wide = painter
            .layout_no_wrap(says.clone(), bold(11.5), p.bad)
            .size()
            .x
            .min(room);
        let most = (all.right() - wide - 4.0).max(all.left());
        let left = (shade.center().x - 0.5 * wide).clamp(all.left(), most);
        text_fit(
            &painter,
            pos2(left, all.top() + 2.0),
            Align2::LEFT_TOP,
            &says,
            bold(11.5),
            p.bad,
            room,
        );
    }
    for k in 0..=4 {
        let phi = low + (high - low) * f64::from(k) / 4.0;
        let y = at(x0, phi).y;
        painter.hline(sheet.x_range(), y, Stroke::new(1.0, p.grid));
        painter.text(
            pos2(sheet.left() - 5.0, y),
            Align2::RIGHT_CENTER,
            degrees(phi),
            plain(10.5),
            p.dim,
        );
    }
    let line: Vec<Pos2> = t.curve.iter().map(|q| at(q.x, q.phi)).collect();
    painter.line(line.clone(), Stroke::new(2.2, p.upper));
    let mut free = f32::NEG_INFINITY;
    for (q, at) in t.curve.iter().zip(&line) {
        painter.circle(*at, 4.0, p.ground, Stroke::new(2.0, p.upper));
        painter.vline(
            at.x,
            sheet.bottom()..=sheet.bottom() + 4.0,
            Stroke::new(1.0, p.dim),
        );
        // Names that would run into one another are left to the reader of the table below.
        let text = painter.layout_no_wrap(q.label.clone(), plain(10.0), p.dim);
        let left = (at.x - 0.5 * text.size().x)
            .clamp(all.left(), (all.right() - text.size().x).max(all.left()));
        if left > free {
            free = left + text.size().x + 6.0;
            painter.galley(pos2(left, sheet.bottom() + 5.0), text, p.dim);
        }
    }
    let foot = format!(
        "twist at {}, back to front, {} to {}",
        bench.show(Kind::Torque, t.torque),
        bench.ahead(x0),
        bench.ahead(x1)
    );
    text_fit(
        &painter,
        pos2(sheet.left(), all.bottom() - 12.0),
        Align2::LEFT_TOP,
        &foot,
        plain(10.5),
        p.dim,
        sheet.width(),
    );
}

/// A twist to a hundredth of a degree, or finer where it is small.
pub(super) fn degrees(rad: f64) -> String {
    let v = rad.to_degrees();
    let places = if v.abs() < 0.1 && v != 0.0 { 3 } else { 2 };
    format!("{v:.places$}°")
}

/// What the soft bay does, in a sentence.
pub(super) fn said(t: &TwistAnswer) -> Option<String> {
    let soft = t.bays.get(t.soft?)?;
    Some(format!(
        "{} takes {:.0} % of the twist: a brace there helps most.",
        bay(t, t.soft?),
        100.0 * soft.share
    ))
}
