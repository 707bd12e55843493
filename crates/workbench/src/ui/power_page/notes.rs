//! Words on a drawing that never lie on one another: each looks for the nearest free place, and a thin line leads back
//! to what it speaks of.

use eframe::egui::{
    Color32, FontId, Painter, Pos2, Rect, Stroke, TextFormat, Vec2, text::LayoutJob, vec2,
};

/// Ways tried: distance from the point, points; turn from the preferred direction, degrees.
const DISTANCES: [f32; 11] = [
    7.0, 16.0, 28.0, 42.0, 58.0, 76.0, 98.0, 124.0, 154.0, 190.0, 230.0,
];
const TURNS: [f32; 15] = [
    0.0, 20.0, -20.0, 40.0, -40.0, 62.0, -62.0, 85.0, -85.0, 110.0, -110.0, 140.0, -140.0, 165.0,
    180.0,
];
/// Further away than this a leader is drawn.
const LEADER: f32 = 20.0;

/// One run of words.
pub struct Run {
    /// The words; a line break begins a new line.
    pub text: String,
    /// Their font.
    pub font: FontId,
    /// Their colour.
    pub colour: Color32,
}

impl Run {
    /// A run of words.
    pub fn new(text: impl Into<String>, font: FontId, colour: Color32) -> Self {
        Self {
            text: text.into(),
            font,
            colour,
        }
    }
}

/// What is taken of a drawing.
pub struct Notes {
    bounds: Rect,
    taken: Vec<Rect>,
}

impl Notes {
    /// An empty drawing.
    pub fn new(bounds: Rect) -> Self {
        Self {
            bounds: bounds.shrink(3.0),
            taken: Vec::new(),
        }
    }

    /// No words here.
    pub fn keep_clear(&mut self, rect: Rect) {
        self.taken.push(rect);
    }

    /// No words along this line.
    pub fn keep_line_clear(&mut self, a: Pos2, b: Pos2, half: f32) {
        let n = ((b - a).length() / 12.0).ceil().clamp(1.0, 60.0) as usize;
        for k in 0..=n {
            let at = a.lerp(b, k as f32 / n as f32);
            self.taken
                .push(Rect::from_center_size(at, Vec2::splat(2.0 * half)));
        }
    }

    /// Nearest free place for a box of this size, and how far it is from the point.
    fn place(&self, at: Pos2, prefer: Vec2, size: Vec2) -> Option<(Rect, f32)> {
        let free = |r: &Rect| {
            self.bounds.contains_rect(*r) && !self.taken.iter().any(|t| t.intersects(*r))
        };
        for d in DISTANCES {
            for turn in TURNS {
                let (s, c) = turn.to_radians().sin_cos();
                let way = vec2(prefer.x * c - prefer.y * s, prefer.x * s + prefer.y * c);
                let centre = at + way * d + vec2(way.x * size.x, way.y * size.y) * 0.5;
                let rect = Rect::from_center_size(centre, size);
                if free(&rect) {
                    return Some((rect, d));
                }
            }
        }
        None
    }

    /// Writes runs near a point; `None` when there is no room for them on the drawing.
    pub fn put(
        &mut self,
        painter: &Painter,
        at: Pos2,
        prefer: Vec2,
        runs: &[Run],
        ground: Color32,
    ) -> Option<Rect> {
        let mut job = LayoutJob::default();
        for r in runs {
            job.append(&r.text, 0.0, TextFormat::simple(r.font.clone(), r.colour));
        }
        let galley = painter.fonts_mut(|f| f.layout_job(job));
        let (rect, far) = self.place(at, prefer.normalized(), galley.size())?;
        if far > LEADER {
            let colour = runs.first().map_or(ground, |r| r.colour);
            painter.line_segment(
                [at, rect.expand(2.0).clamp(at)],
                Stroke::new(0.8, ground.lerp_to_gamma(colour, 0.5)),
            );
        }
        painter.rect_filled(rect.expand2(vec2(2.0, 0.0)), 2, ground.gamma_multiply(0.85));
        painter.galley(rect.min, galley, ground);
        self.taken.push(rect.expand2(vec2(4.0, 1.0)));
        Some(rect)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use eframe::egui::pos2;

    #[test]
    fn however_many_words_speak_of_one_point_none_lies_on_another() {
        let mut notes = Notes::new(Rect::from_min_size(Pos2::ZERO, vec2(500.0, 300.0)));
        let size = vec2(120.0, 15.0);
        let mut all: Vec<Rect> = Vec::new();
        for k in 0..30 {
            let at = pos2(240.0 + k as f32, 150.0);
            let Some((r, _)) = notes.place(at, vec2(0.0, -1.0), size) else {
                continue;
            };
            assert!(all.iter().all(|o| !o.intersects(r)), "{k}: {r:?}");
            assert!(notes.bounds.contains_rect(r));
            notes.taken.push(r);
            all.push(r);
        }
        assert!(all.len() >= 20, "only {} found room", all.len());
    }
}
