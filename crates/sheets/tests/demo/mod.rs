//! An invented sheet that uses every part of the composer.

use sheets::ordinate::{Axis, Ordinate, draw};
use sheets::{
    Canvas, Cell, Col, Composer, Document, Ink, Mark, Paper, Pen, Row, SheetError, SheetSetup,
    Table, Text, View, pt,
};

/// Inches to metres.
const IN: f64 = 0.0254;

/// The parts every demo sheet shares.
pub fn setup(paper: Paper) -> SheetSetup {
    SheetSetup {
        paper,
        title: "Bracket placement".into(),
        subtitle: "Dunlin · rev C · 25 Nov 2026 · all dimensions in inches from the datum, left side shown".into(),
        knots: SheetSetup::knots_at(12, 2),
        footer: "Computed from the build file; measure before you cut. Not an approval.".into(),
    }
}

/// Brackets: letter, name, ahead, out, first hole up, holes, hole in use (from 0).
type Bracket = (
    &'static str,
    &'static str,
    f64,
    &'static str,
    f64,
    usize,
    usize,
);
const BRACKETS: [Bracket; 4] = [
    ("A", "upper front", 19.5, "16 1/4", 14.625, 4, 1),
    ("B", "lower front", 22.5, "17 1/8", 7.0, 4, 1),
    ("C", "upper rear", 1.5, "15 1/2", 19.0, 3, 1),
    ("D", "lower rear", -0.5, "17", 6.875, 3, 1),
];

fn eighths(v: f64) -> String {
    let n = (v.abs() * 8.0).round() as i64;
    let sign = if v < 0.0 && n != 0 { "−" } else { "" };
    let (whole, mut top, mut under) = (n / 8, n % 8, 8);
    while top > 0 && top % 2 == 0 {
        (top, under) = (top / 2, under / 2);
    }
    match (whole, top) {
        (w, 0) => format!("{sign}{w}"),
        (0, t) => format!("{sign}{t}/{under}"),
        (w, t) => format!("{sign}{w} {t}/{under}"),
    }
}

fn side(c: &mut Canvas) -> Result<(), SheetError> {
    let view = View::fit(
        [-14.0 * IN, 0.0, 50.0 * IN, 30.0 * IN],
        [6.0, 2.0, c.w - 30.0, 66.0],
        false,
    );
    let at = |x: f64, z: f64| view.at(x * IN, z * IN);
    c.line(at(-15.0, 0.0), at(50.0, 0.0), Pen::OBJECT);
    c.circle(at(0.0, 14.5), view.len(14.5 * IN), Some(Pen::THIN), None);
    c.circle(at(0.0, 14.5), view.len(1.6 * IN), Some(Pen::OBJECT), None);
    c.polyline(
        [
            at(-13.0, 23.0),
            at(-7.0, 23.0),
            at(0.0, 26.0),
            at(7.0, 23.0),
            at(22.0, 14.0),
            at(49.0, 14.0),
        ],
        Pen::THIN,
    );
    let label = at(0.0, 0.0);
    c.line(
        pt(label.x, label.y - 2.0),
        pt(label.x, label.y + 3.0),
        Pen::DATUM,
    );
    c.text(
        Text::new(
            label.x,
            label.y + 17.5,
            9.0,
            "datum: rear axle centreline, on the floor",
        )
        .centred()
        .ink(Ink::Accent),
    );
    let mut below = vec![Ordinate::new(label.x, label.y, "0").ink(Ink::Accent)];
    let (mut right, mut letters) = (Vec::new(), Vec::new());
    for (letter, _, ahead, _, up, holes, used) in BRACKETS {
        let (foot, head) = (
            at(ahead, up - 0.8),
            at(ahead, up + 1.25 * (holes - 1) as f64 + 0.8),
        );
        c.rect(
            pt(foot.x - 2.6, head.y),
            5.2,
            foot.y - head.y,
            0.8,
            Some(Pen::OBJECT),
            Some(Ink::White),
        );
        for k in 0..holes {
            let fill = if k == used { Ink::Ink } else { Ink::White };
            c.circle(
                at(ahead, up + 1.25 * k as f64),
                0.7,
                Some(Pen::THIN),
                Some(fill),
            );
        }
        letters.push(
            Text::new(foot.x, head.y - 1.2, 11.0, letter)
                .bold()
                .centred()
                .ink(Ink::Accent),
        );
        let in_use = at(ahead, up + 1.25 * used as f64);
        below.push(Ordinate::new(in_use.x, in_use.y, eighths(ahead)));
        right.push(Ordinate::new(in_use.y, in_use.x, eighths(up + 1.25 * used as f64)).bold());
    }
    draw(c, Axis::Below(label.y + 3.0), (6.0, c.w), &below, 9.5)?;
    draw(c, Axis::Right(c.w - 34.0), (0.0, label.y), &right, 9.5)?;
    letters.into_iter().for_each(|l| c.label(l));
    Ok(())
}

fn holes() -> Table {
    let mut t = Table::new([
        Col::left(""),
        Col::left("").share(1.0),
        Col::right("hole"),
        Col::right("ahead"),
        Col::right("out, left / right"),
        Col::right("up"),
        Col::right("drill"),
        Col::right("measured L").fixed(24.0),
        Col::right("measured R").fixed(24.0),
    ]);
    for (letter, name, ahead, out, up, holes, used) in BRACKETS {
        for k in 0..holes {
            let in_use = k == used;
            let (a, b) = if k == 0 {
                (Cell::new(letter).bold().accent(), Cell::new(name))
            } else {
                ("".into(), "".into())
            };
            let mark = if in_use { Mark::Filled } else { Mark::Open };
            let up = Cell::new(eighths(up + 1.25 * k as f64));
            let up = if in_use { up.bold() } else { up };
            let mut row = Row::new([
                a,
                b,
                Cell::new((k + 1).to_string()).mark(mark),
                eighths(ahead).into(),
                out.into(),
                up,
                "5/8".into(),
                Cell::blank(),
                Cell::blank(),
            ]);
            row.tint = in_use;
            row.rule = k == 0;
            t.push(row);
        }
    }
    t
}

/// Thirty rows in groups of five; the row's number is in its second cell.
pub fn thirty() -> Table {
    let mut t = Table::new([
        Col::left("joint"),
        Col::right("row"),
        Col::left("what to look at").share(1.0),
        Col::right("gap, in"),
        Col::left("done"),
        Col::right("measured").fixed(26.0),
    ]);
    for k in 0..30 {
        let what = match k % 3 {
            0 => {
                "cope to the rail, outside face; shine a light through from the far side and turn the tube until none shows"
            }
            1 => "gusset & plate <both sides>",
            _ => "tack #3, \"opposed\"",
        };
        let mut row = Row::new([
            Cell::new(if k % 5 == 0 {
                format!("J{}", k / 5 + 1)
            } else {
                String::new()
            })
            .bold()
            .accent(),
            Cell::new(format!("r{:02}", k + 1)),
            what.into(),
            Cell::new(format!("{}/32", k % 4 + 1)),
            Cell::new("").mark(if k < 3 { Mark::Ticked } else { Mark::Box }),
            Cell::blank(),
        ]);
        row.rule = k % 5 == 0;
        row.tint = k == 7;
        t.push(row);
    }
    t
}

/// Place of the square drawn at true size, m in the drawing's plane: left, bottom, side.
pub const SQUARE_IN: f64 = 4.0;
/// Diameter of the circle at true size, in.
pub const CIRCLE_IN: f64 = 1.25;

/// A sheet with a square of 4 in and a circle of 1.25 in at true size.
pub fn template(sheet: &mut Composer) -> Result<(), SheetError> {
    sheet.page_break();
    sheet.section(
        "A · upper front bracket, hole template",
        "true size, left plate seen from outside; the right plate is the mirror of it",
    );
    let (w, h) = (110.0, 130.0);
    sheet.true_size(w, h, |c| {
        let view = View::true_size(pt(0.5 * w, 0.5 * h));
        let half = 0.5 * SQUARE_IN * IN;
        let corners = [(-half, -half), (half, -half), (half, half), (-half, half)]
            .map(|(x, z)| view.at(x, z));
        c.polygon(corners, Some(Pen::OBJECT), None);
        c.circle(
            view.at(0.0, 0.0),
            view.len(0.5 * CIRCLE_IN * IN),
            Some(Pen::OBJECT),
            None,
        );
        c.cross(view.at(0.0, 0.0), 20.0, Pen::THIN);
        c.text(
            Text::new(0.5 * w, 4.0, 9.5, "19 1/2 ahead of the axle")
                .centred()
                .ink(Ink::Accent),
        );
    })
}

/// The whole demonstration: a bracket sheet, a table of thirty rows, a template.
pub fn demo(paper: Paper) -> Result<Document, SheetError> {
    let mut s = Composer::new(setup(paper));
    s.section("Side", "");
    let mut drawn = Ok(());
    s.draw(90.0, |c| drawn = side(c))?;
    drawn?;
    s.section(
        "Holes",
        "the hole in use is filled · tolerance ± 1/32 unless noted",
    );
    s.table(&holes())?;
    let mut links = Table::new([Col::left(""), Col::right(""), Col::left("").share(1.0)]).plain();
    for (name, length, note) in [
        ("upper", "18 17/32", "1 1/8 in thread each end, 3/4 left"),
        ("lower", "23 1/32", "1 1/8 in thread each end, 3/4 left"),
        ("lateral bar", "30 3/8", "level at ride height"),
    ] {
        links.push(Row::new([
            name.into(),
            Cell::new(length).bold(),
            Cell::new(note).dim(),
        ]));
    }
    s.beside([1.15, 1.0], 8.0, |[left, right]| {
        left.heading("Links, eye to eye", "set both sides equal");
        left.table(&links)?;
        right.caution(
            "Before you weld: diagonals equal, axle square to the line, both sides from one datum. Car on stands, chocked. Structural welds: qualified welder, current rule book.",
        );
        Ok(())
    })?;
    s.signs(&[
        "left side checked",
        "right side checked",
        "checked by, date",
    ])?;
    s.page_break();
    s.section("Fit-up", "every joint, before the next tack");
    s.table(&thirty())?;
    s.paragraph("Tack opposite sides in turn. Let it cool, then measure; the cold number is the one to write down. Joints with more gap than the limit go back to the notcher, not to the welder.")?;
    template(&mut s)?;
    Ok(s.finish())
}

/// Two pages at most: the table of thirty rows by itself.
pub fn thirty_rows(paper: Paper) -> Result<Document, SheetError> {
    let mut s = Composer::new(setup(paper));
    s.section("Fit-up", "every joint, before the next tack");
    s.draw(70.0, |c| {
        c.rect(pt(0.0, 0.0), c.w, c.h, 2.0, Some(Pen::THIN), None)
    })?;
    s.table(&thirty())?;
    s.signs(&["fitted by", "checked by, date"])?;
    Ok(s.finish())
}
