//! Small painting helpers.

use eframe::egui::{
    self, Align2, Color32, FontId, Painter, Pos2, Rect, Shape, Stroke, Vec2, pos2, vec2,
};

/// Text cut with an ellipsis where it is wider than `width`.
pub fn text_fit(
    painter: &Painter,
    at: Pos2,
    anchor: Align2,
    text: &str,
    font: FontId,
    colour: Color32,
    width: f32,
) -> Rect {
    let mut job = egui::text::LayoutJob::simple_singleline(text.to_owned(), font, colour);
    job.wrap = egui::text::TextWrapping::truncate_at_width(width.max(8.0));
    let galley = painter.fonts_mut(|f| f.layout_job(job));
    let rect = anchor.anchor_size(at, galley.size());
    painter.galley(rect.min, galley, colour);
    rect
}

/// Text on a patch of the ground, so that strokes do not run through it.
pub fn text_on(
    painter: &Painter,
    at: Pos2,
    anchor: Align2,
    text: &str,
    font: FontId,
    colour: Color32,
    ground: Color32,
) -> Rect {
    let galley = painter.layout_no_wrap(text.to_owned(), font, colour);
    let rect = anchor.anchor_size(at, galley.size());
    painter.rect_filled(rect.expand2(vec2(3.0, 0.0)), 2, ground.gamma_multiply(0.85));
    painter.galley(rect.min, galley, colour);
    rect
}

/// Dashes along a line.
pub fn dashed(painter: &Painter, points: &[Pos2], stroke: Stroke, dash: f32, gap: f32) {
    painter.extend(Shape::dashed_line(points, stroke, dash, gap));
}

/// Dash-dot along a line.
pub fn dash_dot(painter: &Painter, points: &[Pos2], stroke: Stroke) {
    painter.extend(Shape::dashed_line_with_offset(
        points,
        stroke,
        &[10.0, 2.0],
        &[4.0, 4.0],
        0.0,
    ));
}

/// An arrow head at `tip` along `along`.
pub fn arrow_head(painter: &Painter, tip: Pos2, along: Vec2, size: f32, colour: Color32) {
    let d = along.normalized();
    let n = vec2(-d.y, d.x);
    let base = tip - d * size;
    painter.add(Shape::convex_polygon(
        vec![tip, base + n * size * 0.45, base - n * size * 0.45],
        colour,
        Stroke::NONE,
    ));
}

/// The quartered disc that marks a centre of gravity.
pub fn cg_mark(painter: &Painter, at: Pos2, r: f32, ink: Color32, ground: Color32) {
    painter.circle_filled(at, r, ground);
    for quarter in [0, 2] {
        let a0 = quarter as f32 * std::f32::consts::FRAC_PI_2;
        let mut points = vec![at];
        for k in 0..=8 {
            let a = a0 + std::f32::consts::FRAC_PI_2 * k as f32 / 8.0;
            points.push(pos2(at.x + r * a.cos(), at.y + r * a.sin()));
        }
        painter.add(Shape::convex_polygon(points, ink, Stroke::NONE));
    }
    painter.circle_stroke(at, r, Stroke::new(1.5, ink));
}
