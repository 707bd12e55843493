//! A rectangle to draw in, in paper millimetres, and the map from model metres to it.

use crate::page::{Ink, Item, Pen, Pt, Text, pt};
use crate::type_metrics::{leading, wrap};

/// A drawing area: origin at its top left, x right, y down, millimetres.
#[derive(Debug, Clone, PartialEq)]
pub struct Canvas {
    /// Width, mm.
    pub w: f64,
    /// Height, mm.
    pub h: f64,
    /// What has been drawn, in order.
    pub items: Vec<Item>,
}

impl Canvas {
    /// An empty area.
    pub fn new(w: f64, h: f64) -> Self {
        Self {
            w,
            h,
            items: Vec::new(),
        }
    }

    /// A straight line.
    pub fn line(&mut self, from: Pt, to: Pt, pen: Pen) {
        self.items.push(Item::Line { from, to, pen });
    }

    /// Straight pieces end to end.
    pub fn polyline(&mut self, points: impl Into<Vec<Pt>>, pen: Pen) {
        self.items.push(Item::Polyline {
            points: points.into(),
            pen,
        });
    }

    /// A closed outline.
    pub fn polygon(&mut self, points: impl Into<Vec<Pt>>, pen: Option<Pen>, fill: Option<Ink>) {
        self.items.push(Item::Polygon {
            points: points.into(),
            pen,
            fill,
        });
    }

    /// An upright rectangle by its top left corner.
    pub fn rect(
        &mut self,
        at: Pt,
        w: f64,
        h: f64,
        radius: f64,
        pen: Option<Pen>,
        fill: Option<Ink>,
    ) {
        self.items.push(Item::Rect {
            at,
            w,
            h,
            radius,
            pen,
            fill,
        });
    }

    /// A circle.
    pub fn circle(&mut self, centre: Pt, radius: f64, pen: Option<Pen>, fill: Option<Ink>) {
        self.items.push(Item::Circle {
            centre,
            radius,
            pen,
            fill,
        });
    }

    /// A text; one without words leaves no item.
    pub fn text(&mut self, text: Text) {
        if !text.text.trim().is_empty() {
            self.items.push(Item::Text(text));
        }
    }

    /// A text on a white ground, so that lines drawn before do not run through it. The text must stand level.
    pub fn label(&mut self, text: Text) {
        if let Some([a, _, b, _]) = crate::check::text_corners(&text) {
            let air = 0.5;
            let (w, h) = (b.x - a.x + 2.0 * air, b.y - a.y + 2.0 * air);
            self.rect(pt(a.x - air, a.y - air), w, h, 0.0, None, Some(Ink::White));
        }
        self.text(text);
    }

    /// A text wrapped to `width` mm, the first baseline where `first` stands; gives the last baseline, mm.
    pub fn wrapped(&mut self, first: &Text, width: f64) -> f64 {
        let mut y = first.y;
        for (k, line) in wrap(&first.text, first.face, first.size_pt, width)
            .into_iter()
            .enumerate()
        {
            y = first.y + k as f64 * leading(first.size_pt);
            self.text(Text {
                y,
                text: line,
                ..first.clone()
            });
        }
        y
    }

    /// A cross of two lines through `centre`, each reaching `half` mm either way: a hole's centre.
    pub fn cross(&mut self, centre: Pt, half: f64, pen: Pen) {
        self.line(
            pt(centre.x - half, centre.y),
            pt(centre.x + half, centre.y),
            pen,
        );
        self.line(
            pt(centre.x, centre.y - half),
            pt(centre.x, centre.y + half),
            pen,
        );
    }
}

/// A map from a plane of the model (metres, `along` to the right unless mirrored, `up` up) to the paper.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct View {
    /// Where the model's (0, 0) falls, mm.
    pub origin: Pt,
    /// Paper millimetres for one model metre; 1000 is true size.
    pub mm_per_m: f64,
    /// Whether `along` runs to the left.
    pub mirrored: bool,
}

impl View {
    /// True size with the model's (0, 0) at `origin`.
    pub const fn true_size(origin: Pt) -> Self {
        Self {
            origin,
            mm_per_m: 1000.0,
            mirrored: false,
        }
    }

    /// The largest view that shows the model box `[along0, up0, along1, up1]` (m) centred in the paper
    /// box `[x, y, w, h]` (mm).
    pub fn fit(model: [f64; 4], paper: [f64; 4], mirrored: bool) -> Self {
        let (w, h) = (
            (model[2] - model[0]).abs().max(1e-6),
            (model[3] - model[1]).abs().max(1e-6),
        );
        let mm_per_m = (paper[2] / w).min(paper[3] / h);
        let mid = [0.5 * (model[0] + model[2]), 0.5 * (model[1] + model[3])];
        let sign = if mirrored { -1.0 } else { 1.0 };
        let origin = pt(
            paper[0] + 0.5 * paper[2] - sign * mid[0] * mm_per_m,
            paper[1] + 0.5 * paper[3] + mid[1] * mm_per_m,
        );
        Self {
            origin,
            mm_per_m,
            mirrored,
        }
    }

    /// Paper place of a model point, m.
    pub fn at(&self, along: f64, up: f64) -> Pt {
        let sign = if self.mirrored { -1.0 } else { 1.0 };
        pt(
            self.origin.x + sign * along * self.mm_per_m,
            self.origin.y - up * self.mm_per_m,
        )
    }

    /// Paper length of a model length, mm from m.
    pub fn len(&self, metres: f64) -> f64 {
        metres * self.mm_per_m
    }
}
