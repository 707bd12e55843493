//! Room for labels: each takes the first free place, or none.

use eframe::egui::{Pos2, Rect, Vec2, vec2};

/// What is taken of the sheet.
#[derive(Debug)]
pub struct Room {
    sheet: Rect,
    taken: Vec<Rect>,
}

impl Room {
    /// An empty sheet.
    pub fn new(sheet: Rect) -> Self {
        Self {
            sheet,
            taken: Vec::new(),
        }
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
