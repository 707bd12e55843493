//! The build book: every phase with its record, its readings, what is found, and its sheets, as one document.

mod phase;

use build::{Build, Phase, Study};
use units::Shop;

use crate::chassis::DEFER;
use crate::error::SheetError;
use crate::head::{SIDE, SheetSetup};
use crate::layout::Composer;
use crate::page::{Document, Ink, Item, Page, Paper, Text};
use crate::parts::{knots, subtitle};
use crate::sheet::Sheet;
use crate::table::{Cell, Col, Row, Table};
use crate::{Which, build_summary};

/// Title of the sheet.
pub(crate) const TITLE: &str = "Build book";
const FOOTER: &str =
    "What was computed from the build file and what people wrote into it. Not an approval.";
const CAUTION: &str = "A record for the shop. It proves no weld, brake or roll structure: qualified people and a \
licensed inspector do. Brakes are proven at walking pace before anything else. Stands, never a jack alone.";
/// Size of the book's page number, points.
const NUMBER: f64 = 8.0;
/// Its baseline, mm down: under the strip no printer reaches, over the title's line.
const NUMBER_AT: f64 = 9.4;

/// A part of the book: what the contents call it, and its pages.
struct Chapter {
    title: String,
    inset: bool,
    document: Document,
}

/// Composes the book of a build and what was derived from it. `date` is printed as given.
///
/// A title page with its contents, the summary, then every phase in order: checks with their record,
/// readings, findings, and the sheets that belong to it, true size where they are. A sheet with nothing
/// to say is left out, and the phase's page says so.
///
/// # Errors
/// A head so long that no room is left under it.
pub fn build_book(
    build: &Build,
    study: &Study,
    shop: &Shop,
    paper: Paper,
    date: &str,
) -> Result<Sheet, SheetError> {
    let mut chapters = vec![Chapter {
        title: crate::build_summary::TITLE.to_owned(),
        inset: false,
        document: build_summary(build, study, shop, paper, date)?.document,
    }];
    for p in &build.phases {
        let mut sheets = Vec::new();
        let mut left_out = Vec::new();
        for which in Which::ALL
            .into_iter()
            .filter(|w| w.phase() == Some(p.id.as_str()))
        {
            match which.missing(build, study) {
                Some(why) => left_out.push(format!("{}: {why}", which.title())),
                None => match which.make(build, study, shop, paper, date) {
                    Ok(sheet) => sheets.push((which, sheet)),
                    Err(e) => left_out.push(format!("{}: {e}", which.title())),
                },
            }
        }
        chapters.push(Chapter {
            title: p.title.clone(),
            inset: false,
            document: phase::record(build, study, shop, paper, date, p, &left_out)?,
        });
        chapters.extend(sheets.into_iter().map(|(which, sheet)| Chapter {
            title: which.title().to_owned(),
            inset: true,
            document: sheet.document,
        }));
    }
    // A sheet whose phase the build does not have stands at the end.
    for which in Which::ALL {
        let homeless = which.phase().is_some_and(|p| build.phase(p).is_none());
        if homeless && which.missing(build, study).is_none() {
            chapters.push(Chapter {
                title: which.title().to_owned(),
                inset: true,
                document: which.make(build, study, shop, paper, date)?.document,
            });
        }
    }
    let front = bound(build, study, paper, date, &chapters)?;
    let mut pages: Vec<Page> = front.pages;
    pages.extend(chapters.into_iter().flat_map(|c| c.document.pages));
    let all = pages.len();
    for (k, page) in pages.iter_mut().enumerate() {
        number(page, k + 1, all);
    }
    Ok(Sheet {
        document: Document {
            title: format!("{TITLE}, {}", build.name),
            pages,
        },
        table: csv(build, study, shop),
    })
}

/// The title page with contents that know how many pages they take themselves.
fn bound(
    build: &Build,
    study: &Study,
    paper: Paper,
    date: &str,
    chapters: &[Chapter],
) -> Result<Document, SheetError> {
    let mut taken = 1;
    loop {
        let front = front(build, study, paper, date, chapters, taken)?;
        if front.pages.len() <= taken {
            return Ok(front);
        }
        taken = front.pages.len();
    }
}

fn front(
    build: &Build,
    study: &Study,
    paper: Paper,
    date: &str,
    chapters: &[Chapter],
    taken: usize,
) -> Result<Document, SheetError> {
    let mut sheet = Composer::new(SheetSetup {
        paper,
        title: TITLE.into(),
        subtitle: subtitle(build, date, ""),
        knots: knots(study, ""),
        footer: FOOTER.into(),
    });
    if !build.note.trim().is_empty() {
        sheet.paragraph(build.note.trim())?;
    }
    sheet.section(
        "Contents",
        "the book's page stands at the top of every page",
    );
    let mut t = Table::new([Col::left("").share(1.0), Col::right("page")]);
    let mut page = taken + 1;
    for c in chapters {
        let title = if c.inset {
            Cell::new(format!("– {}", c.title)).dim()
        } else {
            Cell::new(c.title.clone()).bold()
        };
        t.push(Row::new([title, Cell::new(page.to_string())]));
        page += c.document.pages.len();
    }
    sheet.table(&t)?;
    sheet.caution(&format!("{CAUTION} {DEFER}"))?;
    sheet.signs(&["builder", "inspected by", "date"])?;
    Ok(sheet.finish())
}

/// The book's own number, over the sheet's: at the foot there is no room a printer reaches.
fn number(page: &mut Page, n: usize, of: usize) {
    let text = Text::new(
        page.size.w - SIDE,
        NUMBER_AT,
        NUMBER,
        format!("book page {n} of {of}"),
    );
    page.items.push(Item::Text(text.ink(Ink::Dim).right()));
}

/// Every check with its record, then every reading.
fn csv(build: &Build, study: &Study, shop: &Shop) -> Table {
    let mut t = Table::new(
        [
            "phase",
            "what",
            "limits",
            "hold point",
            "state or value",
            "who",
            "when",
            "note",
        ]
        .map(Col::left),
    );
    let mut push = |cells: [String; 8]| t.push(Row::new(cells.map(Cell::from)));
    for (p, s) in build.phases.iter().zip(&study.phases) {
        for (c, judged) in p.checks.iter().zip(&s.checks) {
            let mark = c.last_mark();
            push([
                p.title.clone(),
                c.label.clone(),
                phase::limits(c, shop),
                if c.hold { "yes" } else { "" }.to_owned(),
                phase::state(c, &judged.state, shop),
                mark.map_or_else(String::new, |m| m.who.clone()),
                mark.map_or_else(String::new, |m| m.when.clone()),
                mark.map_or_else(String::new, |m| m.note.clone()),
            ]);
        }
    }
    for r in &study.readings {
        push([
            phase_of(build, r.definition.id).map_or_else(String::new, |p| p.title.clone()),
            r.label().into_owned(),
            String::new(),
            String::new(),
            r.display(shop),
            String::new(),
            String::new(),
            r.verdict(shop),
        ]);
    }
    t
}

/// The phase a reading belongs to, by the beginning of its id.
fn phase_of<'a>(build: &'a Build, id: &str) -> Option<&'a Phase> {
    phase::READINGS
        .iter()
        .find(|(_, of)| of.iter().any(|x| id.starts_with(x)))
        .and_then(|(phase, _)| build.phase(phase))
}
