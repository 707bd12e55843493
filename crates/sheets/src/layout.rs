//! Composes a sheet: blocks are stacked down the page, broken over pages, and framed by head and foot.

use crate::canvas::Canvas;
use crate::column::{Column, SIZE_BODY, SIZE_NOTE};
use crate::error::SheetError;
use crate::head::{Frame, SIDE, SheetSetup};
use crate::page::{Document, Item, Page, Size};
use crate::table::Table;
use crate::table_layout::{Strip, lay};
use crate::type_metrics::leading;

/// Room between blocks, mm.
const GAP: f64 = 4.0;

/// Composes the pages of a sheet from the top down.
///
/// Every call places one block under the last, on a new page where it does not fit. A section's title is
/// kept with the block that follows it.
pub struct Composer {
    setup: SheetSetup,
    frame: Frame,
    size: Size,
    pages: Vec<Vec<Item>>,
    /// Next free place on the last page, mm down; the limit is `bottom`.
    y: f64,
    bottom: f64,
    pending: Option<Column>,
}

impl Composer {
    /// Begins a sheet with its first page.
    pub fn new(setup: SheetSetup) -> Self {
        let frame = Frame::new(&setup);
        let (size, y, bottom) = (setup.paper.size(), frame.top, frame.bottom);
        Self {
            setup,
            frame,
            size,
            pages: vec![Vec::new()],
            y,
            bottom,
            pending: None,
        }
    }

    /// Width of the type area, mm.
    pub fn width(&self) -> f64 {
        self.size.w - 2.0 * SIDE
    }

    /// Height of the type area of an empty page, mm.
    pub fn page_height(&self) -> f64 {
        self.frame.bottom - self.frame.top
    }

    /// Height left on this page, mm, with a title that waits for its block already taken off.
    pub fn room(&self) -> f64 {
        self.bottom - self.y - self.pending.as_ref().map_or(0.0, |p| p.y)
    }

    /// Pages begun so far.
    pub(crate) fn page_count(&self) -> usize {
        self.pages.len()
    }

    /// Begins a new page; does nothing on a page still empty.
    pub fn page_break(&mut self) {
        self.flush();
        if self.pages.last().is_some_and(|p| !p.is_empty()) {
            self.new_page();
        }
    }

    fn new_page(&mut self) {
        self.pages.push(Vec::new());
        self.y = self.frame.top;
        self.bottom = self.frame.bottom;
    }

    /// A section's title with a note (may be empty), kept with what follows.
    pub fn section(&mut self, title: &str, note: &str) {
        self.flush();
        let mut c = Column::new(self.width());
        c.heading(title, note);
        self.pending = Some(c);
    }

    /// Places a title that has nothing following.
    fn flush(&mut self) {
        if let Some(p) = self.pending.take() {
            if self.y + p.y > self.bottom {
                self.new_page();
            }
            self.drop_in(p);
        }
    }

    fn drop_in(&mut self, block: Column) {
        let (dx, dy) = (SIDE, self.y);
        if let Some(page) = self.pages.last_mut() {
            page.extend(block.items.into_iter().map(|mut i| {
                i.shift(dx, dy);
                i
            }));
        }
        self.y += block.y;
    }

    /// Makes sure `height` mm and the waiting title fit on this page, then places the title.
    fn make_room(&mut self, what: &str, height: f64) -> Result<(), SheetError> {
        if height.is_nan() || height > self.room() + 1e-6 {
            let title = self.pending.as_ref().map_or(0.0, |p| p.y);
            if height.is_nan() || height + title > self.page_height() + 1e-6 {
                return Err(SheetError::TooLarge {
                    what: what.to_owned(),
                    width: self.width(),
                    height: height + title,
                    room_width: self.width(),
                    room_height: self.page_height(),
                });
            }
            self.new_page();
        }
        if let Some(p) = self.pending.take() {
            self.drop_in(p);
        }
        Ok(())
    }

    /// Composes a block that stays on one page.
    ///
    /// # Errors
    /// What the closure returns, or that the block is higher than a page.
    pub fn keep(
        &mut self,
        build: impl FnOnce(&mut Column) -> Result<(), SheetError>,
    ) -> Result<(), SheetError> {
        let mut c = Column::new(self.width());
        build(&mut c)?;
        self.make_room("a block", c.y)?;
        self.drop_in(c);
        self.gap(GAP);
        Ok(())
    }

    /// Composes columns side by side, `gap` mm apart, their widths as the `parts` given; they stay on one page.
    ///
    /// # Errors
    /// What the closure returns, or that the block is higher than a page.
    pub fn beside<const N: usize>(
        &mut self,
        parts: [f64; N],
        gap: f64,
        build: impl FnOnce(&mut [Column; N]) -> Result<(), SheetError>,
    ) -> Result<(), SheetError> {
        let room = self.width() - gap * N.saturating_sub(1) as f64;
        let total: f64 = parts.iter().sum();
        let mut columns = parts.map(|p| Column::new(room * p / total));
        build(&mut columns)?;
        let mut whole = Column::new(self.width());
        let mut x = 0.0;
        for c in &columns {
            whole.put(&c.items, x, 0.0);
            whole.y = whole.y.max(c.y);
            x += c.width + gap;
        }
        self.make_room("a block of columns", whole.y)?;
        self.drop_in(whole);
        self.gap(GAP);
        Ok(())
    }

    /// Leaves room, mm, on this page.
    pub fn gap(&mut self, mm: f64) {
        if mm.is_finite() && mm > 0.0 {
            self.y = (self.y + mm).min(self.bottom.max(self.y));
        }
    }

    /// Wrapped running text; broken between lines where the page ends.
    ///
    /// # Errors
    /// A type area too low for two lines under the waiting title.
    pub fn paragraph(&mut self, text: &str) -> Result<(), SheetError> {
        let mut c = Column::new(self.width());
        c.paragraph(text);
        self.split_lines(c, SIZE_BODY)
    }

    /// Wrapped secondary text; broken between lines where the page ends.
    ///
    /// # Errors
    /// As for [`Composer::paragraph`].
    pub fn note(&mut self, text: &str) -> Result<(), SheetError> {
        let mut c = Column::new(self.width());
        c.note(text);
        self.split_lines(c, SIZE_NOTE)
    }

    fn split_lines(&mut self, whole: Column, size_pt: f64) -> Result<(), SheetError> {
        let step = leading(size_pt);
        let mut left = (whole.y / step).round() as usize;
        let mut items = whole.items.into_iter().peekable();
        let mut top = 0.0;
        while left > 0 {
            let mut n = (((self.room() + 1e-6) / step).max(0.0) as usize).min(left);
            // Never a single line alone at the foot of a page, nor at the head of the next.
            if n < left.min(2) {
                self.make_room("a paragraph", step * left.min(2) as f64)?;
                continue;
            }
            if n > 2 && left - n == 1 {
                n -= 1;
            }
            self.make_room("a paragraph", step * n as f64)?;
            let mut part = Column::new(whole.width);
            part.y = step * n as f64;
            while let Some(mut item) =
                items.next_if(|i| matches!(i, Item::Text(t) if t.y < top + part.y))
            {
                item.shift(0.0, -top);
                part.items.push(item);
            }
            top += part.y;
            left -= n;
            self.drop_in(part);
        }
        self.gap(2.0);
        Ok(())
    }

    /// A caution: wrapped text in a box with an accent border, on one page.
    ///
    /// # Errors
    /// A box higher than a page.
    pub fn caution(&mut self, text: &str) -> Result<(), SheetError> {
        self.keep(|c| {
            c.caution(text);
            Ok(())
        })
    }

    /// A drawing area of the full width and `height` mm.
    ///
    /// # Errors
    /// A height greater than a page.
    pub fn draw(&mut self, height: f64, draw: impl FnOnce(&mut Canvas)) -> Result<(), SheetError> {
        if !height.is_finite() {
            return Err(SheetError::TooLarge {
                what: "a drawing".into(),
                width: self.width(),
                height,
                room_width: self.width(),
                room_height: self.page_height(),
            });
        }
        self.keep(|c| {
            c.draw(height, draw);
            Ok(())
        })
    }

    /// A table; broken between rows where the page ends, with its head repeated. Groups (rows from one rule
    /// to the next) are kept whole where a page can hold them.
    ///
    /// # Errors
    /// Columns that cannot fit, or a row with more cells than columns.
    pub fn table(&mut self, table: &Table) -> Result<(), SheetError> {
        let title = self.pending.as_ref().map_or(0.0, |p| p.y);
        let tall = self.page_height() - title;
        // A head of many lines may take half the page, a row the other half.
        let laid = lay(table, self.width(), 0.45 * tall)?;
        let head_h = laid.head.as_ref().map_or(0.0, |h| h.h);
        let mut at = 0;
        while at < laid.rows.len() {
            // What must come next in one piece: a whole group, or at least a row where it is too high.
            let need = |from: usize, limit: f64| -> f64 {
                let group: f64 = laid.rows[from..group_end(&laid.rows, from)]
                    .iter()
                    .map(|s| s.h)
                    .sum();
                if group <= limit {
                    group
                } else {
                    laid.rows[from].h
                }
            };
            self.make_room("a table row", head_h + need(at, tall - head_h))?;
            let mut used = head_h;
            let mut end = at;
            while end < laid.rows.len() && used + need(end, tall - head_h) <= self.room() + 1e-6 {
                used += laid.rows[end].h;
                end += 1;
            }
            let end = end.max(at + 1);
            let mut part = Column::new(self.width());
            part.strips(&laid, laid.head.iter().chain(&laid.rows[at..end]));
            self.drop_in(part);
            at = end;
            if at < laid.rows.len() {
                self.new_page();
            }
        }
        self.gap(GAP);
        Ok(())
    }

    /// Lines to sign on, at the foot of this page (or of the next, where there is no room).
    ///
    /// # Errors
    /// A block higher than a page.
    pub fn signs(&mut self, labels: &[&str]) -> Result<(), SheetError> {
        let mut c = Column::new(self.width());
        c.signs(labels);
        self.make_room("the lines to sign on", c.y)?;
        let (y, h) = (self.y, c.y);
        self.y = self.bottom - h;
        self.drop_in(c);
        self.bottom -= h + 2.0;
        self.y = y;
        Ok(())
    }

    /// Closes the sheet: head, page count and foot are put on every page.
    pub fn finish(mut self) -> Document {
        self.flush();
        if self.pages.len() > 1 && self.pages.last().is_some_and(Vec::is_empty) {
            self.pages.pop();
        }
        let m = self.pages.len();
        let pages = self.pages.into_iter().enumerate().map(|(k, content)| {
            let mut items = self.frame.page(k + 1, m);
            items.extend(content);
            Page {
                size: self.size,
                items,
            }
        });
        Document {
            title: self.setup.title.clone(),
            pages: pages.collect(),
        }
    }
}

fn group_end(rows: &[Strip], from: usize) -> usize {
    (from + 1..rows.len())
        .find(|k| rows[*k].rule)
        .unwrap_or(rows.len())
}
