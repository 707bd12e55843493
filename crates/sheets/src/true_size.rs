//! The 1:1 block: a drawing at true size with bars to measure before anyone drills.

use crate::canvas::Canvas;
use crate::error::SheetError;
use crate::layout::Composer;
use crate::page::{Ink, MM_PER_IN, Pen, Text, pt};
use crate::type_metrics::cap_height;

/// The line printed with every 1:1 drawing.
pub const MEASURE_LINE: &str = "Measure this bar before you drill. Print at 100 %, actual size.";

const SIZE_LINE: f64 = 11.0;
const SIZE_MARK: f64 = 9.5;
const BAR: Pen = Pen::new(0.25, Ink::Ink);
/// Length of the level inch bar, in.
const LEVEL_IN: u32 = 4;
/// Room the upright bar and its figures need beside the drawing, mm.
const UPRIGHT_ROOM: f64 = 16.0;
/// Room over the drawing, mm.
const TOP: f64 = 3.0;

impl Composer {
    /// Places a drawing at true size, `w` × `h` mm, centred, on one page, with level and upright scale bars.
    ///
    /// What the closure draws is in true millimetres from the top left of the drawing
    /// ([`crate::View::true_size`] maps model metres there).
    ///
    /// # Errors
    /// A drawing that does not fit on the paper; it is never scaled down.
    pub fn true_size(
        &mut self,
        w: f64,
        h: f64,
        draw: impl FnOnce(&mut Canvas),
    ) -> Result<(), SheetError> {
        let width = self.width();
        let beside = 0.5 * (width - w) >= UPRIGHT_ROOM && h >= 2.0 * MM_PER_IN;
        let bars_h = if beside { 26.0 } else { 34.0 };
        let total = TOP + h + bars_h;
        let fits = w > 0.0 && h > 0.0 && w <= width + 1e-6 && total <= self.page_height() + 1e-6;
        if !fits {
            return Err(SheetError::TooLarge {
                what: "a drawing at true size".into(),
                width: w,
                height: h,
                room_width: width,
                room_height: self.page_height() - bars_h - TOP,
            });
        }
        self.draw(total, |c| {
            let mut drawing = Canvas::new(w, h);
            draw(&mut drawing);
            let dx = 0.5 * (width - w);
            c.items.extend(drawing.items.into_iter().map(|mut i| {
                i.shift(dx, TOP);
                i
            }));
            level_bars(c, TOP + h, MEASURE_LINE);
            if beside {
                let inches = if h >= f64::from(LEVEL_IN) * MM_PER_IN {
                    LEVEL_IN
                } else {
                    2
                };
                upright_bar(
                    c,
                    2.0,
                    TOP + 0.5 * (h + f64::from(inches) * MM_PER_IN),
                    inches,
                );
            } else {
                upright_bar(c, 2.0, total - 3.0, 1);
            }
        })
    }
}

/// Height of [`bars`], mm.
pub(crate) const BARS: f64 = 31.0;

/// Everything to measure before a page of drawings at true size is used, from the top of the drawing down: a
/// line of words, level bars, an upright bar and a square.
pub(crate) fn bars(c: &mut Canvas, line: &str) {
    level_bars(c, 0.0, line);
    upright_bar(c, 2.0, 29.5, 1);
    let side = 25.0;
    let at = pt(c.w - side - 2.0, 4.5);
    c.rect(at, side, side, 0.0, Some(BAR), None);
    c.line(at, pt(at.x + side, at.y + side), BAR);
    c.line(pt(at.x, at.y + side), pt(at.x + side, at.y), BAR);
    c.text(Text::new(at.x - 1.6, at.y + side, SIZE_MARK, "25 mm square").right());
}

/// The measuring line, a 4 in bar and a 100 mm bar under each other, from `top` mm down.
fn level_bars(c: &mut Canvas, top: f64, line: &str) {
    let whole = f64::from(LEVEL_IN) * MM_PER_IN;
    let x0 = 0.5 * (c.w - whole);
    let line = Text::new(0.5 * c.w, top + 5.2, SIZE_LINE, line)
        .bold()
        .ink(Ink::Accent)
        .centred();
    c.text(line);

    let y = top + 8.6;
    for k in 0..LEVEL_IN {
        let fill = if k % 2 == 0 { Ink::Ink } else { Ink::White };
        c.rect(
            pt(x0 + f64::from(k) * MM_PER_IN, y),
            MM_PER_IN,
            2.4,
            0.0,
            Some(BAR),
            Some(fill),
        );
    }
    for k in 0..=LEVEL_IN {
        let x = x0 + f64::from(k) * MM_PER_IN;
        c.text(Text::new(x, y + 3.4 + cap_height(SIZE_MARK), SIZE_MARK, k.to_string()).centred());
    }
    c.text(Text::new(
        x0 + whole + 2.4,
        y + 1.2 + 0.5 * cap_height(SIZE_MARK),
        SIZE_MARK,
        format!("{LEVEL_IN} in"),
    ));

    let y = top + 20.4;
    c.line(pt(x0, y), pt(x0 + 100.0, y), Pen::OBJECT);
    for k in 0..=10u32 {
        let x = x0 + f64::from(k) * 10.0;
        let half = if k % 5 == 0 { 1.7 } else { 1.1 };
        c.line(pt(x, y - half), pt(x, y + half), BAR);
    }
    c.text(Text::new(
        x0 + 102.4,
        y + 0.5 * cap_height(SIZE_MARK),
        SIZE_MARK,
        "100 mm",
    ));
}

/// An upright inch bar with its foot at `bottom` mm down: printers scale each way by itself.
fn upright_bar(c: &mut Canvas, x: f64, bottom: f64, inches: u32) {
    for k in 0..inches {
        let fill = if k % 2 == 0 { Ink::Ink } else { Ink::White };
        let y = bottom - f64::from(k + 1) * MM_PER_IN;
        c.rect(pt(x, y), 2.4, MM_PER_IN, 0.0, Some(BAR), Some(fill));
    }
    for k in 0..=inches {
        let y = bottom - f64::from(k) * MM_PER_IN + 0.5 * cap_height(SIZE_MARK);
        let label = if k == inches {
            format!("{k} in")
        } else {
            k.to_string()
        };
        c.text(Text::new(x + 3.6, y, SIZE_MARK, label));
    }
}
