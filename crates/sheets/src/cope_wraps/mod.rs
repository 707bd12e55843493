//! Wraps at true size: paper that goes round a tube's end and shows where to cut it.

mod csv;
mod draw;
mod template;
mod tiles;

use build::{Build, EndShape, EndStudy, Study, TUBE_CAUTION};
use units::Shop;

use crate::canvas::Canvas;
use crate::column::{SIZE_NOTE, SIZE_SECTION};
use crate::error::SheetError;
use crate::layout::Composer;
use crate::page::{Face, Paper};
use crate::sheet::Sheet;
use crate::table::{Cell, Col, Row, Table};
use crate::true_size::{BARS, bars};
use crate::tubework::{Facts, ends, setup};
use crate::type_metrics::{fit, wrap_to};
use crate::welding::nothing;
use template::Template;
use tiles::{Tile, tiled};

/// Title of the sheet.
pub(crate) const TITLE: &str = "Cope wraps";
/// The line printed with every page of wraps.
pub const WRAP_MEASURE_LINE: &str =
    "Measure these bars before you cut. Print at 100 %, actual size.";
/// How a wrap is used.
const USE: &str = "Saw the tube square to its length from the cut and bend sheet. Cut the wrap out along its outside. \
Wrap it round the tube, printed side out, the straight heavy edge flush with the sawn end, the letter B pointing to \
end B, the line marked 12 on the scribe line; the two closing lines must meet: if they gap or overlap by more than the \
width of a line, the print or the tube is off size. Scribe along the heavy curve, cut away the side marked waste. A wrap \
on several pages: lay the crosses of the same name on each other.";
/// What the curve stands for.
const FOLLOWS: &str = "The curves mark the outside edge of a cut that follows the other tube through the wall (hole \
saw, mill, or the inside ground away).";
const STRAIGHT_IN: &str =
    "The curves are for cuts straight in toward the tube's axis: torch or grinder, no bevel.";
/// Room over a block's drawing for its title, mm.
const TITLE_ROOM: f64 = 16.0;
/// Between blocks, mm.
const BETWEEN: f64 = 6.0;

/// Composes the sheet of a build and what was derived from it. `date` is printed as given.
///
/// A wrap for every coped end and every mitred end of a round tube, over several pages where one does not hold
/// it; the other ends are listed with how they are cut, or why they can not be.
///
/// # Errors
/// A head so long that no room is left under it.
pub fn cope_wraps(
    build: &Build,
    study: &Study,
    shop: &Shop,
    paper: Paper,
    date: &str,
) -> Result<Sheet, SheetError> {
    let f = Facts::new(build, study, *shop);
    let mut sheet = Composer::new(setup(TITLE, build, study, shop, paper, date));
    let templates: Vec<Template> = f
        .parts()
        .flat_map(|(tube, part)| {
            let f = &f;
            part.ends
                .iter()
                .filter_map(move |end| Template::of(f, tube, part, end))
        })
        .collect();
    if build.assembly.tubes.is_empty() {
        nothing(
            &mut sheet,
            "No tubes yet",
            "No tube is drawn, so there is no end to cut. Draw the assembly, then print this sheet again.",
        )?;
        sheet.caution(TUBE_CAUTION)?;
    } else {
        sheet.caution(TUBE_CAUTION)?;
        if !templates.is_empty() {
            sheet.section("How to use a wrap", "");
            sheet.paragraph(USE)?;
            let square = build.tube_work.cut == build::EndCut::Square;
            sheet.note(if square { STRAIGHT_IN } else { FOLLOWS })?;
        }
        without(&mut sheet, &f)?;
        pages(&mut sheet, &templates)?;
    }
    Ok(Sheet {
        document: sheet.finish(),
        table: csv::table(&templates),
    })
}

/// The wraps, pages of them, with bars to measure on each page.
fn pages(sheet: &mut Composer, templates: &[Template]) -> Result<(), SheetError> {
    let room = (
        sheet.width(),
        sheet.page_height() - BARS - TITLE_ROOM - 2.0 * BETWEEN,
    );
    let mut page = 0;
    for t in templates {
        let tiles = tiled(t, room);
        let count = tiles.len();
        for tile in &tiles {
            let (w, h) = tile.size();
            let full = page != sheet.page_count() || sheet.room() < h + TITLE_ROOM + BETWEEN;
            if full {
                sheet.page_break();
                sheet.draw(BARS, |c| bars(c, WRAP_MEASURE_LINE))?;
                page = sheet.page_count();
            }
            // No more lines than there is room for: the page was chosen with it.
            let width = sheet.width();
            let title = fit(&t.title, Face::Bold, SIZE_SECTION, width);
            let note = wrap_to(&tile.note(t, count), Face::Regular, SIZE_NOTE, width, 2);
            sheet.section(&title, &note.join(" "));
            sheet.draw(h, |c| placed(c, t, tile, w, h))?;
        }
    }
    Ok(())
}

/// A tile in the middle of the page's width.
fn placed(c: &mut Canvas, t: &Template, tile: &Tile, w: f64, h: f64) {
    let mut own = Canvas::new(w, h);
    draw::tile(&mut own, t, tile);
    let dx = 0.5 * (c.w - w);
    c.items.extend(own.items.into_iter().map(|mut i| {
        i.shift(dx, 0.0);
        i
    }));
}

/// The ends that get no wrap.
fn without(sheet: &mut Composer, f: &Facts<'_>) -> Result<(), SheetError> {
    let mut t = Table::new([
        Col::left("tube").share(0.8),
        Col::left("end"),
        Col::left("no wrap, because").share(2.0),
    ]);
    for (tube, why) in f.unmade() {
        t.push(Row::new([
            Cell::new(f.name(tube)),
            Cell::new("A, B"),
            Cell::new(format!("the tube can not be made: {why}")),
        ]));
    }
    let mut square = Vec::new();
    for (tube, part) in f.parts() {
        for end in &part.ends {
            if plain(end) {
                square.push(format!("{} {}", f.number(tube), ends::letter(end.end)));
            } else if Template::of(f, tube, part, end).is_none() {
                t.push(Row::new([
                    Cell::new(f.name(tube)),
                    Cell::new(ends::letter(end.end)),
                    Cell::new(ends::sentences(f, end).join(" ")),
                ]));
            }
        }
    }
    if !t.rows.is_empty() {
        sheet.section("Ends without a wrap", "");
        sheet.table(&t)?;
    }
    if !square.is_empty() {
        sheet.note(&format!("Sawn square: {}.", square.join(", ")))?;
    }
    Ok(())
}

fn plain(end: &EndStudy) -> bool {
    matches!(end.shape, EndShape::Square | EndShape::RunsOn(_))
}
