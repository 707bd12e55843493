//! One block of a sheet: titles, text, tables, cautions and drawings stacked in a column that stays whole.

use crate::canvas::Canvas;
use crate::error::SheetError;
use crate::page::{Face, Ink, Item, Pen, Text, pt};
use crate::table::Table;
use crate::table_layout::{Laid, Strip, lay};
use crate::type_metrics::{cap_height, leading, width, wrap, wrap_to};

/// Size of running text, points.
pub const SIZE_BODY: f64 = 9.5;
/// Size of notes, points.
pub const SIZE_NOTE: f64 = 9.0;
/// Size of a section's title, points.
pub const SIZE_SECTION: f64 = 11.0;
/// A block under composition: everything in it stays on one page. Millimetres from its top left corner.
#[derive(Debug, Clone, PartialEq)]
pub struct Column {
    pub(crate) width: f64,
    /// Height used so far, mm.
    pub(crate) y: f64,
    pub(crate) items: Vec<Item>,
}

impl Column {
    pub(crate) fn new(width: f64) -> Self {
        Self {
            width,
            y: 0.0,
            items: Vec::new(),
        }
    }

    /// Width there is, mm.
    pub fn width(&self) -> f64 {
        self.width
    }

    /// Height used so far, mm.
    pub fn height(&self) -> f64 {
        self.y
    }

    /// Leaves room, mm.
    pub fn gap(&mut self, mm: f64) {
        if mm.is_finite() && mm > 0.0 {
            self.y += mm;
        }
    }

    /// A section's title with a note beside it, or under it where it does not fit. Either may be empty.
    pub fn heading(&mut self, title: &str, note: &str) {
        let title_lines = wrap_to(title, Face::Bold, SIZE_SECTION, self.width, 3);
        let first = self.y + cap_height(SIZE_SECTION) + 0.4;
        let mut base = first;
        for (k, line) in title_lines.iter().enumerate() {
            base = first + k as f64 * leading(SIZE_SECTION);
            self.items.push(Item::Text(
                Text::new(0.0, base, SIZE_SECTION, line.clone()).bold(),
            ));
        }
        if !note.trim().is_empty() {
            let x = width(
                title_lines.last().map_or("", String::as_str),
                Face::Bold,
                SIZE_SECTION,
            ) + 5.0;
            if title_lines.len() == 1 && x + width(note, Face::Regular, SIZE_NOTE) <= self.width {
                self.items.push(Item::Text(
                    Text::new(x, base, SIZE_NOTE, note).ink(Ink::Dim),
                ));
            } else {
                for line in wrap_to(note, Face::Regular, SIZE_NOTE, self.width, 6) {
                    base += leading(SIZE_NOTE);
                    self.items.push(Item::Text(
                        Text::new(0.0, base, SIZE_NOTE, line).ink(Ink::Dim),
                    ));
                }
            }
        }
        self.y = base + 2.2;
    }

    /// Wrapped running text.
    pub fn paragraph(&mut self, text: &str) {
        self.styled(text, SIZE_BODY, Face::Regular, Ink::Ink);
    }

    /// Wrapped secondary text.
    pub fn note(&mut self, text: &str) {
        self.styled(text, SIZE_NOTE, Face::Regular, Ink::Dim);
    }

    /// Wrapped text of a given size (points), weight and colour role.
    pub fn styled(&mut self, text: &str, size_pt: f64, face: Face, ink: Ink) {
        for line in wrap(text, face, size_pt, self.width) {
            let base = self.y + 0.5 * (leading(size_pt) + cap_height(size_pt));
            if !line.is_empty() {
                self.items.push(Item::Text(
                    Text::new(0.0, base, size_pt, line).face(face).ink(ink),
                ));
            }
            self.y += leading(size_pt);
        }
    }

    /// A table, unbroken.
    ///
    /// # Errors
    /// Columns that cannot fit, or a row with more cells than columns.
    pub fn table(&mut self, table: &Table) -> Result<(), SheetError> {
        let laid = lay(table, self.width, f64::MAX)?;
        self.strips(&laid, laid.head.iter().chain(&laid.rows));
        Ok(())
    }

    pub(crate) fn strips<'a>(&mut self, laid: &Laid, strips: impl IntoIterator<Item = &'a Strip>) {
        let (mut first, begin) = (true, self.y);
        for strip in strips {
            self.put(&strip.items, 0.0, self.y);
            if strip.rule && laid.rules && !first {
                self.put(&[laid.rule()], 0.0, self.y);
            }
            self.y += strip.h;
            first = false;
        }
        if laid.rules && self.y > begin {
            self.put(&[laid.rule()], 0.0, self.y);
        }
    }

    /// A caution: wrapped text in a box with an accent border.
    pub fn caution(&mut self, text: &str) {
        let pad = 3.6;
        let lines = wrap(text, Face::Regular, SIZE_BODY, self.width - 2.0 * pad);
        let h = lines.len() as f64 * leading(SIZE_BODY) + 2.0 * pad - 0.8;
        let border = Some(Pen::new(0.45, Ink::Accent));
        self.items.push(Item::Rect {
            at: pt(0.0, self.y),
            w: self.width,
            h,
            radius: 1.6,
            pen: border,
            fill: None,
        });
        let mut base = self.y + pad + cap_height(SIZE_BODY) + 0.2;
        for line in lines {
            if !line.is_empty() {
                self.items
                    .push(Item::Text(Text::new(pad, base, SIZE_BODY, line)));
            }
            base += leading(SIZE_BODY);
        }
        self.y += h;
    }

    /// A drawing area of the full width and `height` mm.
    pub fn draw(&mut self, height: f64, draw: impl FnOnce(&mut Canvas)) {
        let mut canvas = Canvas::new(self.width, height);
        draw(&mut canvas);
        self.put(&canvas.items, 0.0, self.y);
        self.gap(height);
    }

    /// Lines to sign on, side by side, with a label under each.
    pub fn signs(&mut self, labels: &[&str]) {
        let gap = 8.0;
        let n = labels.len().max(1) as f64;
        let w = (self.width - gap * (n - 1.0)) / n;
        let line_y = self.y + 9.0;
        let mut low = line_y;
        for (k, label) in labels.iter().enumerate() {
            let x = k as f64 * (w + gap);
            self.items.push(Item::Line {
                from: pt(x, line_y),
                to: pt(x + w, line_y),
                pen: Pen::new(0.2, Ink::Dim),
            });
            let mut base = line_y + 1.7 + cap_height(SIZE_NOTE);
            for line in wrap_to(label, Face::Regular, SIZE_NOTE, w, 3) {
                self.items.push(Item::Text(
                    Text::new(x, base, SIZE_NOTE, line).ink(Ink::Dim),
                ));
                low = low.max(base + 1.0);
                base += leading(SIZE_NOTE);
            }
        }
        self.y = low;
    }

    /// Copies items in, moved by `(dx, dy)` mm.
    pub fn put(&mut self, items: &[Item], dx: f64, dy: f64) {
        self.items.extend(items.iter().cloned().map(|mut i| {
            i.shift(dx, dy);
            i
        }));
    }
}
