//! What the sheets of the weld-out share: the drawing of the assembly, the words, the numbers.

pub(crate) mod facts;
pub(crate) mod place;
pub(crate) mod scene;
pub(crate) mod solid;
pub(crate) mod words;

use build::{Build, Study};
use units::Shop;

use crate::column::{Column, SIZE_BODY};
use crate::error::SheetError;
use crate::head::SheetSetup;
use crate::layout::Composer;
use crate::page::{Face, Ink, Item, Paper, Pen, pt};
use crate::parts::{knots, subtitle};
use crate::type_metrics::leading;

/// The phase these sheets belong to.
const PHASE: &str = "weld_out";
/// Line at the foot of every page.
const FOOTER: &str =
    "Computed from the build file: a prediction, not a measurement. Not an approval.";

/// Head and foot of a sheet of the weld-out.
pub(crate) fn setup(
    title: &str,
    build: &Build,
    study: &Study,
    shop: &Shop,
    paper: Paper,
    date: &str,
) -> SheetSetup {
    let unit = words::in_full(shop);
    SheetSetup {
        paper,
        title: title.into(),
        subtitle: subtitle(build, date, &format!("lengths in {unit}")),
        knots: knots(study, PHASE),
        footer: FOOTER.into(),
    }
}

/// A box with a bold line and sentences under it: what must not be overlooked.
pub(crate) fn boxed(c: &mut Column, strong: &str, text: &str) {
    let pad = 3.6;
    let mut inner = Column::new(c.width() - 2.0 * pad);
    inner.styled(strong, 12.5, Face::Bold, Ink::Ink);
    if !text.is_empty() {
        inner.gap(0.6);
        inner.styled(text, SIZE_BODY, Face::Regular, Ink::Ink);
    }
    let h = inner.height() + 2.0 * pad - 0.3 * leading(SIZE_BODY);
    let y = c.height();
    c.put(
        &[Item::Rect {
            at: pt(0.0, y),
            w: c.width(),
            h,
            radius: 1.6,
            pen: Some(Pen::new(0.7, Ink::Ink)),
            fill: None,
        }],
        0.0,
        0.0,
    );
    let items = inner.items.clone();
    c.put(&items, pad, y + pad - 0.4);
    c.gap(h);
}

/// A title with nothing under it but why.
pub(crate) fn nothing(sheet: &mut Composer, title: &str, why: &str) -> Result<(), SheetError> {
    sheet.keep(|c| {
        c.heading(title, "");
        c.paragraph(why);
        Ok(())
    })
}

/// Lines to write notes on, with room left for lines to sign on under them.
pub(crate) fn note_lines(sheet: &mut Composer, most: usize) -> Result<(), SheetError> {
    const LINE: f64 = 7.2;
    let mut head = Column::new(sheet.width());
    head.heading("Notes", "");
    let mut signs = Column::new(sheet.width());
    signs.signs(&[""]);
    let under = signs.height() + leading(SIZE_BODY) + 6.0;
    let room = sheet.room() - head.height() - under;
    let lines = ((room / LINE).max(0.0) as usize).min(most);
    if lines == 0 {
        return Ok(());
    }
    sheet.section("Notes", "");
    sheet.draw(LINE * lines as f64, |c| {
        for k in 1..=lines {
            let y = k as f64 * LINE - 0.6;
            c.line(pt(0.0, y), pt(c.w, y), Pen::WRITE);
        }
    })
}
