//! Turns a table into strips one row high, which the composer stacks and breaks over pages.

use crate::canvas::Canvas;
use crate::error::SheetError;
use crate::page::{Align, Face, Ink, Item, Pen, Text, pt};
use crate::table::{Cell, Col, Mark, Row, Table, Width};
use crate::type_metrics::{cap_height, leading, width, wrap_to};

const PAD: f64 = 1.3;
const LEAST: f64 = 6.0;
const AIR: f64 = 4.0;
const MARK_ROOM: f64 = 3.9;
const RULE: Pen = Pen::new(0.25, Ink::Ink);

/// One row, drawn with its top at 0.
#[derive(Debug)]
pub(crate) struct Strip {
    pub(crate) h: f64,
    pub(crate) items: Vec<Item>,
    /// Begins a group.
    pub(crate) rule: bool,
}

/// A table ready to be stacked.
#[derive(Debug)]
pub(crate) struct Laid {
    pub(crate) head: Option<Strip>,
    pub(crate) rows: Vec<Strip>,
    pub(crate) w: f64,
    /// Draw rules under head, between groups and at the end.
    pub(crate) rules: bool,
}

impl Laid {
    /// A rule across the table at the top of a strip.
    pub(crate) fn rule(&self) -> Item {
        Item::Line {
            from: pt(0.0, 0.0),
            to: pt(self.w, 0.0),
            pen: RULE,
        }
    }
}

/// Lays a table out `w` mm wide; no row becomes higher than `max_h` mm.
pub(crate) fn lay(table: &Table, w: f64, max_h: f64) -> Result<Laid, SheetError> {
    for (row, r) in table.rows.iter().enumerate() {
        if r.cells.len() > table.columns.len() {
            return Err(SheetError::RowTooLong {
                row,
                cells: r.cells.len(),
                columns: table.columns.len(),
            });
        }
    }
    if table.columns.is_empty() {
        return Ok(Laid {
            head: None,
            rows: Vec::new(),
            w,
            rules: false,
        });
    }
    let edges = columns(table, w)?;
    let set = Setter {
        table,
        edges,
        w,
        max_h,
    };
    let head = (!table.plain).then(|| set.head());
    let mut rows: Vec<Strip> = table.rows.iter().map(|r| set.row(r)).collect();
    if rows.is_empty() && !table.plain {
        rows.push(set.nothing());
    }
    Ok(Laid {
        head,
        rows,
        w,
        rules: !table.plain,
    })
}

/// Left edges of the columns and the right edge of the last, mm.
fn columns(table: &Table, w: f64) -> Result<Vec<f64>, SheetError> {
    let n = table.columns.len();
    let bad = |needs: f64| SheetError::TableTooWide {
        columns: n,
        needs,
        width: w,
    };
    let natural: Vec<f64> = (0..n).map(|k| natural(table, k)).collect();
    let least: Vec<f64> = (0..n)
        .map(|k| match table.columns[k].width {
            Width::Fixed(mm) => mm.max(LEAST),
            _ => natural[k].min(2.0 * LEAST),
        })
        .collect();
    let needs: f64 = least.iter().sum();
    if needs.is_nan() || needs > w + 1e-6 {
        return Err(bad(needs));
    }
    let wish: f64 = natural.iter().sum();
    let widths: Vec<f64> = if wish <= w {
        let weight = |c: &Col| match c.width {
            Width::Share(s) if s > 0.0 && s.is_finite() => s,
            _ => 0.0,
        };
        let shared: f64 = table.columns.iter().map(weight).sum();
        let autos = table
            .columns
            .iter()
            .filter(|c| c.width == Width::Auto)
            .count();
        // Figures get some air before a column that takes its share of the spare room.
        let air = if shared > 0.0 {
            (0.5 * (w - wish) / autos.max(1) as f64).min(AIR)
        } else {
            0.0
        };
        let spare = w - wish - air * autos as f64;
        (0..n)
            .map(|k| {
                let c = &table.columns[k];
                natural[k]
                    + match c.width {
                        Width::Auto if shared > 0.0 => air,
                        _ if shared > 0.0 => spare * weight(c) / shared,
                        Width::Auto => spare / autos as f64,
                        _ => 0.0,
                    }
            })
            .collect()
    } else {
        // Narrow the wide ones: every column keeps its least, the rest is dealt out up to a common limit.
        let (mut lo, mut hi) = (0.0, wish);
        for _ in 0..60 {
            let cap = 0.5 * (lo + hi);
            let sum: f64 = (0..n).map(|k| natural[k].min(cap).max(least[k])).sum();
            if sum > w { hi = cap } else { lo = cap }
        }
        (0..n).map(|k| natural[k].min(lo).max(least[k])).collect()
    };
    let mut edges = vec![0.0];
    let mut at = 0.0;
    for width in widths {
        at += width;
        edges.push(at);
    }
    Ok(edges)
}

fn natural(table: &Table, k: usize) -> f64 {
    let col = &table.columns[k];
    if let Width::Fixed(mm) = col.width {
        return mm.max(LEAST);
    }
    let head = if table.plain {
        0.0
    } else {
        width(&col.head, Face::Regular, table.size_pt)
    };
    let cells = table.rows.iter().filter_map(|r| r.cells.get(k)).map(|c| {
        let text = c
            .text
            .split('\n')
            .map(|l| width(l, c.face, table.size_pt))
            .fold(0.0, f64::max);
        let written = if c.write_line { 16.0 } else { 0.0 };
        text.max(written) + if c.mark.is_some() { MARK_ROOM } else { 0.0 }
    });
    (cells.fold(head, f64::max) + 2.0 * PAD + 0.05).max(LEAST)
}

struct Setter<'a> {
    table: &'a Table,
    edges: Vec<f64>,
    w: f64,
    max_h: f64,
}

impl Setter<'_> {
    fn size(&self) -> f64 {
        self.table.size_pt
    }

    fn row_h(&self, lines: usize, writing: bool) -> f64 {
        let one = if writing { 1.55 } else { 1.46 } * self.size() * crate::page::MM_PER_PT;
        one + lines.saturating_sub(1) as f64 * leading(self.size())
    }

    fn max_lines(&self) -> usize {
        ((self.max_h - self.row_h(1, true)) / leading(self.size())).clamp(0.0, 2000.0) as usize + 1
    }

    fn lines(&self, k: usize, cell: &Cell) -> Vec<String> {
        let mark = if cell.mark.is_some() { MARK_ROOM } else { 0.0 };
        let room = self.edges[k + 1] - self.edges[k] - 2.0 * PAD - mark;
        wrap_to(&cell.text, cell.face, self.size(), room, self.max_lines())
    }

    fn head(&self) -> Strip {
        let cells: Vec<Cell> = self
            .table
            .columns
            .iter()
            .map(|c| Cell::new(c.head.clone()).dim())
            .collect();
        let lines: Vec<Vec<String>> = cells
            .iter()
            .enumerate()
            .map(|(k, c)| self.lines(k, c))
            .collect();
        let h = self.row_h(lines.iter().map(Vec::len).max().unwrap_or(1), false) + 0.5;
        let mut c = Canvas::new(self.w, h);
        c.rect(pt(0.0, 0.0), self.w, h, 0.0, None, Some(Ink::Head));
        for (k, cell) in cells.iter().enumerate() {
            self.cell(&mut c, k, cell, &lines[k], 0.25);
        }
        c.line(pt(0.0, h), pt(self.w, h), RULE);
        Strip {
            h,
            items: c.items,
            rule: false,
        }
    }

    fn row(&self, row: &Row) -> Strip {
        let lines: Vec<Vec<String>> = row
            .cells
            .iter()
            .enumerate()
            .map(|(k, c)| self.lines(k, c))
            .collect();
        let writing = self
            .table
            .rows
            .iter()
            .any(|r| r.cells.iter().any(|c| c.write_line));
        let h = self.row_h(lines.iter().map(Vec::len).max().unwrap_or(1), writing);
        let mut c = Canvas::new(self.w, h);
        if row.tint {
            c.rect(pt(0.0, 0.0), self.w, h, 0.0, None, Some(Ink::Tint));
        }
        let lift = 0.5 * (self.row_h(1, writing) - self.row_h(1, false));
        for (k, cell) in row.cells.iter().enumerate() {
            self.cell(&mut c, k, cell, &lines[k], lift);
            if cell.write_line {
                let y = h - 1.1;
                let free = lines[k]
                    .last()
                    .map_or(0.0, |l| width(l, cell.face, self.size()));
                let mark = if cell.mark.is_some() { MARK_ROOM } else { 0.0 };
                let x0 = self.edges[k] + PAD + mark + if free > 0.0 { free + 1.5 } else { 0.0 };
                let x1 = self.edges[k + 1] - PAD;
                if x1 > x0 {
                    c.line(pt(x0, y), pt(x1, y), Pen::WRITE);
                }
            }
        }
        Strip {
            h,
            items: c.items,
            rule: row.rule,
        }
    }

    fn nothing(&self) -> Strip {
        let h = self.row_h(1, false);
        let mut c = Canvas::new(self.w, h);
        let line = wrap_to(
            "nothing listed",
            Face::Regular,
            self.size(),
            self.w - 2.0 * PAD,
            1,
        )
        .concat();
        c.text(Text::new(PAD, self.baseline(0.0), self.size(), line).ink(Ink::Dim));
        Strip {
            h,
            items: c.items,
            rule: false,
        }
    }

    fn baseline(&self, lift: f64) -> f64 {
        lift + 0.5 * (self.row_h(1, false) + cap_height(self.size()))
    }

    fn cell(&self, c: &mut Canvas, k: usize, cell: &Cell, lines: &[String], lift: f64) {
        let (x0, x1) = (self.edges[k] + PAD, self.edges[k + 1] - PAD);
        let base = self.baseline(lift);
        let mark = if cell.mark.is_some() { MARK_ROOM } else { 0.0 };
        let widest = lines
            .iter()
            .map(|l| width(l, cell.face, self.size()))
            .fold(0.0, f64::max);
        // Mark and text are aligned together, so marks of one column stand in one line when texts are alike.
        let (x, text_x) = match self.table.columns[k].align {
            Align::Left => (x0, x0 + mark),
            Align::Right => (x1 - widest - mark, x1),
            Align::Centre => (0.5 * (x0 + x1 - widest - mark), 0.5 * (x0 + x1 + mark)),
        };
        if let Some(m) = cell.mark {
            draw_mark(c, m, x + 1.2, base - 0.5 * cap_height(self.size()));
        }
        for (n, line) in lines.iter().enumerate().filter(|(_, l)| !l.is_empty()) {
            let y = base + n as f64 * leading(self.size());
            c.text(
                Text::new(text_x, y, self.size(), line.clone())
                    .face(cell.face)
                    .ink(cell.ink)
                    .align(self.table.columns[k].align),
            );
        }
    }
}

fn draw_mark(c: &mut Canvas, mark: Mark, x: f64, y: f64) {
    let pen = Some(Pen::new(0.3, Ink::Ink));
    match mark {
        Mark::Open => c.circle(pt(x, y), 0.95, pen, Some(Ink::White)),
        Mark::Filled => c.circle(pt(x, y), 0.95, pen, Some(Ink::Ink)),
        Mark::Box | Mark::Ticked => {
            c.rect(pt(x - 1.15, y - 1.15), 2.3, 2.3, 0.3, pen, Some(Ink::White));
            if mark == Mark::Ticked {
                let tick = [pt(x - 0.7, y), pt(x - 0.2, y + 0.6), pt(x + 0.75, y - 0.7)];
                c.polyline(tick, Pen::new(0.45, Ink::Ink));
            }
        }
    }
}
