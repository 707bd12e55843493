//! The launch seen from the side, played at true or at a quarter of the speed.

use build::{Run, Sample};
use eframe::egui::{
    self, Align2, Painter, Pos2, Rect, Role, Sense, Stroke, Ui, WidgetInfo, pos2, vec2,
};
use units::Kind;

use super::super::bench::Bench;
use super::super::draw;
use super::super::theme::plain;
use super::cursor::Cursor;
use super::words;

/// Pitch and heave are drawn this many times as large: a degree is hard to see.
const LARGER: f64 = 3.0;
/// Height of the strip.
const HEIGHT: f32 = 142.0;

/// Buttons and the car.
pub(super) fn show(cursor: &mut Cursor, ui: &mut Ui, bench: &Bench<'_>, run: &Run) {
    let end = run.duration();
    ui.horizontal_wrapped(|ui| {
        let (word, name) = if cursor.plays() {
            ("Pause", "Pause the launch")
        } else {
            ("Play", "Play the launch")
        };
        if ui.button(word).accessible_name(name).clicked() {
            if cursor.plays() {
                cursor.pause();
            } else {
                cursor.play(end);
                ui.ctx().request_repaint();
            }
        }
        if ui.button("To the start").clicked() {
            cursor.set(0.0, end);
        }
        for (slow, word) in [(false, "true speed"), (true, "quarter speed")] {
            ui.selectable_value(&mut cursor.slow, slow, word);
        }
    });
    let Ok(s) = run.at(cursor.time) else {
        return;
    };
    let size = vec2(ui.available_width().max(40.0), HEIGHT);
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    response.widget_info(|| {
        let mut info = WidgetInfo::labeled(Role::Image, true, "The car from the side");
        info.current_text_value = Some(pose(bench, run, &s));
        info
    });
    let painter = ui.painter().with_clip_rect(rect.intersect(ui.clip_rect()));
    car(&painter, bench, run, &s, rect);
}

/// The pose in words.
fn pose(bench: &Bench<'_>, run: &Run, s: &Sample) -> String {
    let front = if s.front_load <= 1e-3 * run.car().front_load() {
        "front tyres just floating".to_owned()
    } else {
        format!(
            "front {} {}",
            bench.length(s.front_travel.abs()),
            if s.front_travel > 0.0 { "down" } else { "up" }
        )
    };
    format!(
        "nose up {}, {front}, rear {} {}",
        bench.show(Kind::Angle, s.nose_up),
        bench.length(s.rear_travel.abs()),
        if s.rear_travel > 0.0 { "down" } else { "up" }
    )
}

fn car(painter: &Painter, bench: &Bench<'_>, run: &Run, s: &Sample, rect: Rect) {
    let p = bench.palette;
    let c = run.car();
    let base = c.wheelbase.max(0.1);
    let (rear_r, front_r) = (
        bench
            .build
            .car
            .rear
            .loaded_radius
            .si()
            .clamp(0.05, base / 2.0),
        bench
            .build
            .car
            .front
            .loaded_radius
            .si()
            .clamp(0.05, base / 2.0),
    );
    let scale =
        (f64::from(rect.width()) / (2.1 * base)).min(f64::from(rect.height()) / (0.72 * base));
    let floor = rect.bottom() - 26.0;
    let rear_x = rect.center().x - (0.5 * base * scale) as f32;
    let at = |x: f64, z: f64| pos2(rear_x + (x * scale) as f32, floor - (z * scale) as f32);
    // Ground, with a mark every ten feet that passes below the car.
    painter.hline(rect.x_range(), floor, Stroke::new(1.6, p.chalk));
    let ten = 3.048;
    let left = s.travel - f64::from(rear_x - rect.left()) / scale;
    let right = left + f64::from(rect.width()) / scale;
    let (first, last) = ((left / ten).ceil() as i64, (right / ten).floor() as i64);
    for k in first..=last.min(first + 60) {
        let x = at(k as f64 * ten - s.travel, 0.0).x;
        painter.vline(x, floor..=floor + 5.0, Stroke::new(1.0, p.dim));
        let inside = x > rect.left() + 24.0 && x < rect.right() - 24.0;
        if k >= 0 && inside {
            let text = format!("{} ft", 10 * k);
            painter.text(
                pos2(x, floor + 6.0),
                Align2::CENTER_TOP,
                text,
                plain(10.0),
                p.dim,
            );
        }
    }
    for (x, r) in [(0.0, rear_r), (base, front_r)] {
        let radius = (r * scale) as f32;
        painter.circle_stroke(at(x, r), radius, Stroke::new(1.8, p.chalk));
        painter.circle_stroke(at(x, r), radius * 0.5, Stroke::new(1.0, p.dim));
    }
    // The body: rises over each axle by what its travel says.
    let (over_rear, over_front) = (-LARGER * s.rear_travel, -LARGER * s.front_travel);
    let lift = |x: f64| over_rear + (over_front - over_rear) * x / base;
    let unit = rear_r.min(front_r);
    let outline = [
        (-0.26, 0.85),
        (-0.26, 2.2),
        (0.02, 2.5),
        (0.2, 3.7),
        (0.5, 3.75),
        (0.7, 2.55),
        (1.2, 2.2),
        (1.24, 0.8),
    ];
    let points: Vec<Pos2> = outline
        .into_iter()
        .map(|(x, z)| at(x * base, z * unit + lift(x * base)))
        .collect();
    painter.add(egui::Shape::closed_line(points, Stroke::new(1.6, p.upper)));
    let still: Vec<Pos2> = [(-0.26, 0.85), (1.24, 0.8)]
        .into_iter()
        .map(|(x, z)| at(x * base, z * unit))
        .collect();
    draw::dashed(painter, &still, Stroke::new(1.0, p.dim), 4.0, 4.0);
    let station = c.cg_station();
    let cg = at(station, c.cg_height() + lift(station));
    draw::cg_mark(painter, cg, 6.0, p.ink, p.ground);
    let text = format!(
        "{} · {} · {}",
        words::seconds(s.time),
        bench.show(Kind::Speed, s.speed),
        words::limit(s.limit)
    );
    let line = draw::text_fit(
        painter,
        rect.left_top() + vec2(4.0, 3.0),
        Align2::LEFT_TOP,
        &text,
        plain(12.5),
        p.ink,
        rect.width() * 0.55,
    );
    draw::text_fit(
        painter,
        rect.right_top() + vec2(-4.0, 3.0),
        Align2::RIGHT_TOP,
        "pitch and heave drawn 3 times",
        plain(11.0),
        p.dim,
        (rect.right() - line.right() - 14.0).max(8.0),
    );
}
