//! True-size hole templates, one for each bracket.

use build::Bracket;

use crate::canvas::{Canvas, View};
use crate::error::SheetError;
use crate::layout::Composer;
use crate::ordinate::{Axis, Ordinate, draw};
use crate::page::{Dash, Face, Ink, Pen, Pt, Text, pt};
use crate::parts::facts::{Facts, Hole, Piece, Used};
use crate::parts::plate::{extent, outline};
use crate::table::{Cell, Col, Mark, Row, Table};
use crate::type_metrics::{cap_height, width};

const SIZE: f64 = 9.0;
/// Over the plate: the station's note and the end of its line, mm.
const OVER: f64 = 10.0;
/// Under the plate: the end of the line and which way is front, mm.
const UNDER: f64 = 13.0;
/// Left of the plate: the end of the line through the hole in use, mm.
const LEFT: f64 = 8.0;
/// From the plate to the labels: leader, its jog, some air, mm.
const LEADER: f64 = 9.0;
/// How far a hole's cross reaches past it, mm.
const CROSS: f64 = 3.0;
const CENTRE: Pen = Pen::new(0.25, Ink::Accent).dashed(Dash::Dashed);

/// The templates of all brackets, small ones sharing a page.
pub(super) fn pages(sheet: &mut Composer, facts: &Facts<'_>) -> Result<(), SheetError> {
    for p in facts.pieces.iter().filter(|p| !p.holes.is_empty()) {
        one(sheet, facts, p)?;
    }
    Ok(())
}

fn one(sheet: &mut Composer, facts: &Facts<'_>, p: &Piece<'_>) -> Result<(), SheetError> {
    let which = if p.pair() {
        "left plate seen from outside; the right plate is the mirror of it"
    } else {
        "seen from the left side of the car"
    };
    let title = format!("{} · {}, hole template", p.letter, p.bracket.label.trim());
    // Where the labels carry each hole's station, the one drill is said here instead of on every line.
    let drill = if straight(p) {
        String::new()
    } else {
        let size = facts.words.exact(p.bracket.drill.si());
        format!(" · every hole drill {size}")
    };
    sheet.section(&title, &format!("true size · {which}{drill}"));
    let full = Template::new(facts, p, true);
    if full.fits(sheet) {
        return place(sheet, &full);
    }
    // Too wide with its words beside it: the numbers of the holes alone, the words in a table.
    let short = Template::new(facts, p, false);
    if short.fits(sheet) {
        place(sheet, &short)?;
        sheet.section(&format!("{} · its holes", p.letter), "");
        return sheet.table(&coordinates(facts, p));
    }
    let w = &facts.words;
    let (wide, high) = short.plate_size();
    sheet.paragraph(&format!(
        "This plate is too large for true size on this paper: it needs {} × {} {}. Scribe it from these \
         coordinates, and check the diagonals between the end holes.",
        w.len(wide),
        w.len(high),
        w.unit()
    ))?;
    sheet.table(&coordinates(facts, p))
}

/// Whether all holes stand at one station.
fn straight(p: &Piece<'_>) -> bool {
    let first = p.bracket.at.station.si();
    p.holes.iter().all(|h| (h.at[0] - first).abs() < 1e-5)
}

fn place(sheet: &mut Composer, t: &Template<'_>) -> Result<(), SheetError> {
    let (w, h) = t.size;
    sheet.true_size(w, h, |c| t.draw(c))
}

/// A template measured and ready to be drawn.
struct Template<'a> {
    bracket: &'a Bracket,
    holes: &'a [Hole],
    corners: Vec<(f64, f64)>,
    /// Extent of plate, holes and crosses, mm ahead of and up from hole 1: ahead 0, ahead 1, up 0, up 1.
    extent: [f64; 4],
    labels: Vec<String>,
    station: String,
    /// Hole the upright centre line runs through.
    leading: usize,
    /// Width and height of the drawing, mm.
    size: (f64, f64),
}

impl<'a> Template<'a> {
    fn new(facts: &Facts<'_>, p: &'a Piece<'_>, full: bool) -> Self {
        let corners = outline(p.bracket);
        let [mut x0, mut x1, mut z0, mut z1] = extent(&corners).map(|v| 1000.0 * v);
        let reach = 500.0 * p.bracket.drill.si() + CROSS + 0.2;
        for (x, z) in (1..=p.bracket.hole_count()).filter_map(|n| p.bracket.hole_shift(n)) {
            let (x, z) = (1000.0 * x, 1000.0 * z);
            (x0, x1) = (x0.min(x - reach), x1.max(x + reach));
            (z0, z1) = (z0.min(z - reach), z1.max(z + reach));
        }
        let (plate_w, plate_h) = (x1 - x0, z1 - z0);
        let leading = p.holes.iter().position(|h| h.used.anywhere()).unwrap_or(0);
        let straight = straight(p);
        let labels: Vec<String> = p
            .holes
            .iter()
            .map(|h| label(facts, p, h, full, straight))
            .collect();
        let words = labels
            .iter()
            .map(|l| width(l, Face::Bold, SIZE))
            .fold(0.0, f64::max);
        let stack = labels.len() as f64 * (1.3 * cap_height(SIZE) + 1.0) + 1.0;
        let place = facts.words.station(p.holes[leading].at[0]);
        let station = if straight {
            place
        } else {
            format!("hole {}: {place}", p.holes[leading].n)
        };
        let note = width(&station, Face::Regular, SIZE) + 1.0;
        Self {
            bracket: p.bracket,
            holes: &p.holes,
            corners,
            extent: [x0, x1, z0, z1],
            labels,
            station,
            leading,
            size: (
                (LEFT + plate_w + LEADER + words + 1.0).max(note),
                OVER + plate_h.max(stack) + UNDER,
            ),
        }
    }

    /// Width and height of the plate, m.
    fn plate_size(&self) -> (f64, f64) {
        let [x0, x1, z0, z1] = extent(&self.corners);
        (x1 - x0, z1 - z0)
    }

    /// Whether the drawing with its bars and title fits on an empty page.
    fn fits(&self, sheet: &Composer) -> bool {
        let (w, h) = self.size;
        // Bars and room over the drawing as the true-size block has them, and a title of three lines.
        w <= sheet.width() && h + 37.0 + 20.0 <= sheet.page_height()
    }

    fn draw(&self, c: &mut Canvas) {
        let [x0, x1, z0, z1] = self.extent;
        let (plate_w, plate_h) = (x1 - x0, z1 - z0);
        let slack = 0.5 * (c.h - OVER - UNDER - plate_h);
        // Front to the left: that is how the left side is seen from outside.
        let view = View {
            origin: pt(LEFT + x1, OVER + slack + z1),
            mm_per_m: 1000.0,
            mirrored: true,
        };
        let (left, right) = (LEFT, LEFT + plate_w);
        let (top, bottom) = (OVER + slack, OVER + slack + plate_h);
        let first = self.bracket.at.si();
        let centre = |h: &Hole| view.at(h.at[0] - first[0], h.at[2] - first[2]);

        let marks: Vec<Ordinate> = self
            .holes
            .iter()
            .zip(&self.labels)
            .map(|(h, label)| {
                let at = centre(h);
                let o = Ordinate::new(at.y, at.x, label.clone());
                if h.used.anywhere() { o.bold() } else { o }
            })
            .collect();
        // The labels have room by construction: the drawing is as high as their stack.
        let range = (OVER, c.h - UNDER);
        if draw(c, Axis::Right(right + 2.0), range, &marks, SIZE).is_err() {
            c.text(Text::new(0.0, c.h - 4.5, SIZE, "no room for the labels").ink(Ink::Dim));
        }
        let corners: Vec<Pt> = self.corners.iter().map(|(x, z)| view.at(*x, *z)).collect();
        c.polygon(corners, Some(Pen::OBJECT), Some(Ink::White));
        let line = self.holes.get(self.leading).map(centre);
        if let Some(at) = line {
            c.line(pt(at.x, top - 5.0), pt(at.x, bottom + 4.0), CENTRE);
            let half = 0.5 * width(&self.station, Face::Regular, SIZE);
            let x = at.x.clamp(half, (c.w - half).max(half));
            c.text(
                Text::new(x, top - 6.2, SIZE, self.station.clone())
                    .centred()
                    .ink(Ink::Accent),
            );
        }
        let radius = 500.0 * self.bracket.drill.si();
        for h in self.holes {
            let at = centre(h);
            if h.used.anywhere() {
                c.line(pt(left - 6.5, at.y), pt(right + 1.5, at.y), CENTRE);
            }
            c.circle(at, radius, Some(Pen::OBJECT), None);
            c.cross(at, radius + CROSS, Pen::THIN);
        }
        c.text(Text::new(0.0, c.h - 3.5, SIZE, "← front of the car").ink(Ink::Dim));
    }
}

fn label(facts: &Facts<'_>, p: &Piece<'_>, h: &Hole, full: bool, straight: bool) -> String {
    let w = &facts.words;
    let used = match h.used {
        Used::No => "",
        Used::Yes => ", in use",
        Used::Left => ", in use left",
        Used::Right => ", in use right",
    };
    if !full {
        return format!("{}{used}", h.n);
    }
    let rest = if straight {
        format!("drill {}", w.exact(p.bracket.drill.si()))
    } else {
        let way = if h.at[0] < 0.0 { "behind" } else { "ahead" };
        format!("{} {way}", w.len(h.at[0].abs()))
    };
    format!("hole {}{used} · {} up · {rest}", h.n, w.len(h.at[2]))
}

/// Where the holes are, from the datum and from hole 1.
fn coordinates(facts: &Facts<'_>, p: &Piece<'_>) -> Table {
    let w = &facts.words;
    let mut t = Table::new([
        Col::left("hole"),
        Col::right("ahead of hole 1"),
        Col::right("up from hole 1"),
        Col::right("ahead"),
        Col::right("up"),
        Col::right("drill"),
    ]);
    let first = p.bracket.at.si();
    for h in &p.holes {
        let used = h.used.anywhere();
        let dress = |v: String| {
            let cell = Cell::new(v);
            if used { cell.bold() } else { cell }
        };
        let mut row = Row::new([
            dress(label(facts, p, h, false, true)).mark(if used {
                Mark::Filled
            } else {
                Mark::Open
            }),
            dress(w.len(h.at[0] - first[0])),
            dress(w.len(h.at[2] - first[2])),
            dress(w.len(h.at[0])),
            dress(w.len(h.at[2])),
            dress(w.exact(p.bracket.drill.si())),
        ]);
        row.tint = used;
        t.push(row);
    }
    t
}
