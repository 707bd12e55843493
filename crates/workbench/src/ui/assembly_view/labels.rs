//! Room for labels: each takes the first free place, or none.

use eframe::egui::{Pos2, Rect, Vec2, vec2};

/// What is taken of the sheet.
#[derive(Debug)]
pub struct Room {
    sheet: Rect,
    taken: Vec<Rect>,
    drawn: Vec<(Pos2, f32)>,
}

impl Room {
    /// An empty sheet.
    pub fn new(sheet: Rect) -> Self {
        Self {
            sheet,
            taken: Vec::new(),
            drawn: Vec::new(),
        }
    }

    /// A stroke of the drawing this wide each way: labels rather stand beside it.
    pub fn stroke(&mut self, a: Pos2, b: Pos2, half: f32) {
        let (a, b) = (self.sheet.clamp(a), self.sheet.clamp(b));
        let steps = ((b - a).length() / 9.0).ceil().clamp(1.0, 400.0) as u32;
        for k in 0..=steps {
            self.drawn
                .push((a + (b - a) * (k as f32 / steps as f32), half));
        }
    }

    /// Is this place clear of the drawing's strokes?
    fn clear(&self, rect: Rect) -> bool {
        let off = |p: Pos2| (rect.clamp(p) - p).length();
        self.drawn.iter().all(|(p, half)| off(*p) > *half)
    }

    /// Keeps a place free of labels.
    pub fn keep(&mut self, rect: Rect) {
        self.taken.push(rect);
    }

    /// Is this place free and on the sheet?
    pub fn free(&self, rect: Rect) -> bool {
        self.sheet.contains_rect(rect) && !self.taken.iter().any(|x| x.intersects(rect))
    }

    /// Takes the first free one of some places; none where all are taken.
    pub fn first(&mut self, places: impl IntoIterator<Item = Rect>) -> Option<Rect> {
        let found = places.into_iter().find(|r| self.free(*r))?;
        self.taken.push(found);
        Some(found)
    }

    /// Takes the first free one clear of all strokes; of those that are only free where `over` allows it.
    pub fn clearest(&mut self, places: &[Rect], over: bool) -> Option<Rect> {
        let free = || places.iter().filter(|r| self.free(**r));
        let found = free().find(|r| self.clear(**r));
        let found = *found.or_else(|| free().next().filter(|_| over))?;
        self.taken.push(found);
        Some(found)
    }

    /// A label beside a point: round it, further out each time round, beginning where `away` points.
    pub fn beside(&mut self, at: Pos2, size: Vec2, away: Vec2, reach: f32) -> Option<Rect> {
        let start = if away.length_sq() > 1e-6 {
            away.angle()
        } else {
            -std::f32::consts::FRAC_PI_2
        };
        let places = [1.0, 1.45, 1.95, 2.6].into_iter().flat_map(move |far| {
            [0, 1, -1, 2, -2, 3, -3, 4, -4, 5, -5, 6]
                .into_iter()
                .map(move |k| {
                    let d = Vec2::angled(start + k as f32 * std::f32::consts::PI / 6.0);
                    // A wide label stands further to the side than above.
                    let out = vec2(
                        d.x * (reach * far + 0.5 * size.x - 0.5 * size.y),
                        d.y * reach * far,
                    );
                    Rect::from_center_size(at + out, size)
                })
        });
        self.first(places)
    }
}
