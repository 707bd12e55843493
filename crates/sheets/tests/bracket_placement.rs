//! The bracket placement sheet: nothing touches, everything is said, and one inch is one inch.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

#[path = "placement/builds.rs"]
mod builds;
#[path = "placement/read.rs"]
mod read;

use build::{Bracket, Build, Sides, derive};
use builds::{nasty, sample};
use read::{attr, circles, extent, numbers_at, paths, squeezed};
use sheets::{
    Format, Item, Page, Paper, Pen, Sheet, SheetError, bracket_placement, check_page,
    lines_through_text, svg,
};
use units::{Fraction, Kind, Shop, System, format_bare_kept};

const DATE: &str = "25 Nov 2026";
const FRACTIONS: [Fraction; 4] = [
    Fraction::Sixteenth,
    Fraction::ThirtySecond,
    Fraction::SixtyFourth,
    Fraction::Decimal,
];

fn shops() -> Vec<Shop> {
    [System::InchPound, System::Si]
        .into_iter()
        .flat_map(|system| FRACTIONS.map(|fraction| Shop { system, fraction }))
        .collect()
}

fn make(build: &Build, shop: &Shop, paper: Paper) -> Sheet {
    bracket_placement(build, &derive(build), shop, paper, DATE).unwrap()
}

fn texts(page: &Page) -> Vec<&str> {
    page.items
        .iter()
        .filter_map(|i| match i {
            Item::Text(t) => Some(t.text.as_str()),
            _ => None,
        })
        .collect()
}

fn every_text(sheet: &Sheet) -> Vec<&str> {
    sheet.document.pages.iter().flat_map(texts).collect()
}

fn has(sheet: &Sheet, needle: &str) -> bool {
    every_text(sheet).iter().any(|t| t.contains(needle))
}

/// Brackets whose templates stand on a page, in the order of their titles.
fn templates<'a>(build: &'a Build, page: &Page) -> Vec<&'a Bracket> {
    texts(page)
        .into_iter()
        .filter_map(|t| {
            let letter = t.strip_suffix(", hole template")?.chars().next()?;
            build.rear.brackets.get(letter as usize - 'A' as usize)
        })
        .collect()
}

#[test]
fn nothing_touches_on_letter() {
    nothing_touches(Paper::Letter);
}

#[test]
fn nothing_touches_on_a4() {
    nothing_touches(Paper::A4);
}

fn nothing_touches(paper: Paper) {
    let mut builds: Vec<(String, Build)> = ["redshank", "whimbrel", "faulty"]
        .map(|n| (n.to_owned(), sample(n)))
        .into();
    builds.push(("empty".into(), Build::empty("Nothing")));
    builds.extend(nasty());
    for (name, build) in &builds {
        let study = derive(build);
        for shop in shops() {
            let sheet = bracket_placement(build, &study, &shop, paper, DATE)
                .unwrap_or_else(|e| panic!("{name} {paper:?} {shop:?}: {e}"));
            for (k, page) in sheet.document.pages.iter().enumerate() {
                let clashes: Vec<String> = check_page(page)
                    .into_iter()
                    .chain(lines_through_text(page))
                    .map(|c| format!("{:?} {}", c.kind, c.detail))
                    .collect();
                assert!(
                    clashes.is_empty(),
                    "{name} {paper:?} {shop:?} page {}: {clashes:#?}",
                    k + 1
                );
            }
        }
        let sheet = make(build, &Shop::INCH, paper);
        assert!(sheet.export(Format::Pdf).unwrap().starts_with(b"%PDF"));
        sheet.export(Format::Svg).unwrap();
        sheet.export(Format::Csv).unwrap();
    }
}

#[test]
fn the_pdf_says_every_hole_and_every_link() {
    for name in ["redshank", "whimbrel", "faulty"] {
        let build = sample(name);
        let study = derive(&build);
        for paper in Paper::ALL {
            // Both systems on both papers, every fineness on one.
            for shop in shops()
                .into_iter()
                .filter(|s| paper == Paper::Letter || s.fraction == Fraction::default())
            {
                let len = |v: f64| format_bare_kept(Kind::Length, v, &shop);
                let sheet = bracket_placement(&build, &study, &shop, paper, DATE).unwrap();
                let read = squeezed(&sheet.export(Format::Pdf).unwrap());
                let expect = |parts: &[String]| {
                    let want: String = parts.concat().split_whitespace().collect();
                    assert!(read.contains(&want), "{name} {shop:?}: no {want:?}");
                };
                let at = build.rear.second_reference.as_ref().unwrap().at.si();
                for b in &build.rear.brackets {
                    for n in 1..=b.hole_count() {
                        let p = b.hole(n).unwrap().si();
                        let out = match b.sides {
                            Sides::Pair => len(p[1]),
                            Sides::Single => {
                                format!(
                                    "{} {}",
                                    len(p[1].abs()),
                                    if p[1] > 0.0 { "L" } else { "R" }
                                )
                            }
                        };
                        // One row of the table, cell after cell.
                        expect(&[n.to_string(), len(p[0]), out, len(p[2]), len(p[2] - at)]);
                    }
                    expect(std::slice::from_ref(&b.label));
                }
                for rod in &study.rear.rods {
                    let link = &build.rear.links[rod.link];
                    let d: f64 = (0..3).map(|k| (rod.frame[k] - rod.axle[k]).powi(2)).sum();
                    let length = link.held.map_or(d.sqrt(), |h| {
                        if rod.side == build::Side::Right {
                            h.right.si()
                        } else {
                            h.left.si()
                        }
                    });
                    // Thread in: half of what the body and the reach of both ends exceed the length by.
                    let engaged = 0.5 * (link.body.si() + 2.0 * link.rod_end.reach.si() - length);
                    expect(&[len(length), len(engaged)]);
                }
                for words in [
                    DATE,
                    &format!("rev {}", build.revision),
                    &build.name,
                    "Before you weld: diagonals equal, axle square to the line, both sides from one datum.",
                    "Car on stands",
                    "qualified welder",
                    "rule book",
                    "local codes",
                    "Computed from the build file; measure before you cut. Not an approval.",
                    "left side checked",
                    "right side checked",
                    sheets::MEASURE_LINE,
                    "tolerance ± ",
                ] {
                    expect(&[words.to_owned()]);
                }
            }
        }
    }
}

#[test]
fn redshank_by_hand() {
    // From the file: upper link from (19 1/2, 13 1/2, 15 1/2) to (1 1/2, 13, 18 3/8):
    // √(18² + 0.5² + 2.875²) = 18.235 in; body 14 3/4, reach 2 7/8 twice: thread 1.1325 in, less 3/4: 0.3825 in.
    // Rise 2.875 in 18 to the rear: 9.1°; out 0.5 in 18: 1.6°. Diagonal √(18² + 26.5² + 2.875²) = 32.164 in.
    let sheet = make(&sample("redshank"), &Shop::INCH, Paper::Letter);
    let read = squeezed(&sheet.export(Format::Pdf).unwrap());
    for row in [
        "219 1/213 1/215 1/24 5/165/8",
        "upper link A2, C2 the holes 18 1/4 1 1/8 3/8 9.1° down 1.6° out",
        "upper link 32 3/16 32 3/16",
        "±1/32in",
    ] {
        let want: String = row.split_whitespace().collect();
        assert!(read.contains(&want), "{row}");
    }
    let decimal = Shop {
        system: System::InchPound,
        fraction: Fraction::Decimal,
    };
    let sheet = make(&sample("redshank"), &decimal, Paper::A4);
    let read = squeezed(&sheet.export(Format::Pdf).unwrap());
    for row in ["18.235 1.132 0.382 9.1° down", "upper link 32.164"] {
        let want: String = row.split_whitespace().collect();
        assert!(read.contains(&want), "{row}");
    }
    // Two holes of each pair to write in, one of each single bracket; two diagonals of two links.
    let written: Vec<usize> = sheet.document.pages[..2]
        .iter()
        .map(|p| {
            p.items
                .iter()
                .filter(|i| matches!(i, Item::Line { pen, .. } if *pen == Pen::WRITE))
                .count()
        })
        .collect();
    assert_eq!(written, [2 * 14 + 2, 4]);
    // Every bracket has its letter on both views, apart from the tables.
    for page in &sheet.document.pages[..2] {
        for letter in ["A", "B", "C", "D", "E", "F"] {
            let shown = page
                .items
                .iter()
                .any(|i| matches!(i, Item::Text(t) if t.text == letter && t.size_pt > 11.0));
            assert!(shown, "{letter}");
        }
    }
}

/// Centres of holes in the template, mm from hole 1: forward is to the left, up is up (down the page is +).
fn wanted(b: &Bracket) -> Vec<[f64; 2]> {
    (1..=b.hole_count())
        .map(|n| b.hole_shift(n).unwrap())
        .map(|(ahead, up)| [-1000.0 * ahead, -1000.0 * up])
        .collect()
}

fn same_pattern(found: &[[f64; 2]], b: &Bracket) {
    let want = wanted(b);
    assert_eq!(found.len(), want.len(), "{}", b.label);
    // Hole 1 is where it must be: any of the found, if all others then fall into place.
    let fits = found.iter().any(|first| {
        want.iter().all(|w| {
            found
                .iter()
                .any(|f| (f[0] - first[0] - w[0]).hypot(f[1] - first[1] - w[1]) < 0.01)
        })
    });
    assert!(fits, "{}: {found:?} is not {want:?}", b.label);
}

#[test]
fn templates_are_true_in_the_pdf() {
    for name in ["redshank", "whimbrel", "faulty"] {
        let build = sample(name);
        for paper in Paper::ALL {
            let sheet = make(&build, &Shop::INCH, paper);
            let pdf = read::load(&sheet.export(Format::Pdf).unwrap());
            let mut seen = 0;
            for (k, page) in sheet.document.pages.iter().enumerate() {
                let on_page = templates(&build, page);
                if on_page.is_empty() {
                    continue;
                }
                seen += on_page.len();
                let found = paths(&pdf, k as u32 + 1, paper.size().h);
                let mut holes = Vec::new();
                let drill = 1000.0 * on_page[0].drill.si();
                for p in &found {
                    let [l, t, r, b] = extent(p);
                    // The job asks for 0.1 mm; the coordinates are true to a hundredth.
                    if (r - l - drill).abs() < 0.01 && (b - t - drill).abs() < 0.01 {
                        holes.push([0.5 * (l + r), 0.5 * (t + b)]);
                    }
                }
                holes.sort_by(|a, b| a[1].total_cmp(&b[1]));
                let mut rest = &holes[..];
                for b in &on_page {
                    assert_eq!(b.drill, on_page[0].drill, "one drill on a page of samples");
                    let (mine, others) = rest.split_at(b.hole_count());
                    same_pattern(mine, b);
                    rest = others;
                }
                assert!(rest.is_empty());
                // The bars: four inches of four boxes, ten centimetres of one line, upright inches.
                let size = |w: f64, h: f64| {
                    found
                        .iter()
                        .map(|p| extent(p))
                        .filter(|e| {
                            (e[2] - e[0] - w).abs() < 0.01 && (e[3] - e[1] - h).abs() < 0.01
                        })
                        .count()
                };
                assert_eq!(size(25.4, 2.4), 4 * on_page.len());
                assert_eq!(size(100.0, 0.0), on_page.len());
                let upright = size(2.4, 25.4);
                assert!(upright >= 2 * on_page.len(), "{upright} upright inches");
            }
            assert_eq!(seen, build.rear.brackets.len());
        }
    }
}

#[test]
fn templates_are_true_in_the_svg() {
    for name in ["redshank", "whimbrel"] {
        let build = sample(name);
        let sheet = make(&build, &Shop::METRIC, Paper::A4);
        let files = svg::to_svgs(&sheet.document).unwrap();
        for (file, page) in files.iter().zip(&sheet.document.pages) {
            let on_page = templates(&build, page);
            let Some(first) = on_page.first() else {
                continue;
            };
            let tree = roxmltree::Document::parse(file).unwrap();
            let mut holes = circles(&tree, 500.0 * first.drill.si());
            holes.sort_by(|a, b| a[1].total_cmp(&b[1]));
            let mut rest = &holes[..];
            for b in &on_page {
                let (mine, others) = rest.split_at(b.hole_count());
                same_pattern(mine, b);
                rest = others;
            }
            assert!(rest.is_empty());
            let bars = tree.descendants().filter(|n| {
                n.tag_name().name() == "line"
                    && (attr(n, "x2") - attr(n, "x1") - 100.0).abs() < 1e-3
            });
            assert_eq!(bars.count(), on_page.len());
        }
        let whole = String::from_utf8(sheet.export(Format::Svg).unwrap()).unwrap();
        roxmltree::Document::parse(&whole).unwrap();
    }
}

#[test]
fn a_leaning_row_leans_to_the_front_on_the_left() {
    // Whimbrel's lower rear row leans back 5°: seen from outside on the left, its top is to the right.
    let build = sample("whimbrel");
    let sheet = make(&build, &Shop::INCH, Paper::Letter);
    let page = sheet
        .document
        .pages
        .iter()
        .find(|p| texts(p).iter().any(|t| t.starts_with("D · ")))
        .unwrap();
    let mut holes: Vec<_> = page
        .items
        .iter()
        .filter_map(|i| match i {
            Item::Circle { centre, radius, .. } if (radius - 0.3125 * 25.4).abs() < 1e-6 => {
                Some(*centre)
            }
            _ => None,
        })
        .collect();
    holes.sort_by(|a, b| b.y.total_cmp(&a.y));
    let [low, high] = holes[..] else { panic!() };
    // 7/8 in at 5°: 1.937 mm behind, 22.140 mm up.
    assert!((high.x - low.x - 1.937).abs() < 0.01 && (low.y - high.y - 22.140).abs() < 0.01);
    assert!(texts(page).contains(&"← front of the car"));
}

#[test]
fn csv_reads_back_to_the_model() {
    let mut all: Vec<Build> = ["redshank", "whimbrel", "faulty"].map(sample).into();
    all.extend(nasty().into_iter().map(|(_, b)| b));
    for build in all {
        let sheet = make(&build, &Shop::INCH, Paper::Letter);
        let bytes = sheet.export(Format::Csv).unwrap();
        let mut reader = csv::Reader::from_reader(&bytes[..]);
        let head = reader.headers().unwrap().clone();
        let column = |name: &str| {
            head.iter()
                .position(|h| h == name)
                .unwrap_or_else(|| panic!("no column {name} in {head:?}"))
        };
        let rows: Vec<csv::StringRecord> = reader.records().map(|r| r.unwrap()).collect();
        let mut k = 0;
        for b in &build.rear.brackets {
            for n in 1..=b.hole_count() {
                let row = &rows[k];
                k += 1;
                assert_eq!(row[column("hole")].parse::<usize>().unwrap(), n);
                let p = b.hole(n).unwrap().si();
                for (unit, metres) in [("mm", 1e-3), ("in", 0.0254)] {
                    for (name, want) in [
                        ("station, ahead +", p[0]),
                        ("offset, left +", p[1]),
                        ("height", p[2]),
                        ("drill", b.drill.si()),
                    ] {
                        let cell = &row[column(&format!("{name} ({unit})"))];
                        let got: f64 = cell.parse().unwrap();
                        assert!((got * metres - want).abs() < 2e-11, "{name} {cell} {want}");
                    }
                }
            }
        }
        assert_eq!(k, rows.len());
    }
    let red = make(&sample("redshank"), &Shop::METRIC, Paper::A4);
    let text = String::from_utf8(red.export(Format::Csv).unwrap()).unwrap();
    let line = text.lines().nth(2).unwrap();
    assert_eq!(
        numbers_at(line, 7),
        [
            495.3, 342.9, 393.7, 15.875, 109.5375, 19.5, 13.5, 15.5, 0.625, 4.3125
        ]
    );
    assert!(
        line.starts_with("A,upper front,frame,\"left, and its mirror on the right\",2,yes,yes,")
    );
    assert!(text.contains("E,\"lateral bar, frame\",frame,one,1,no,yes,520.7,-317.5,"));
}

#[test]
fn an_empty_build_says_so_on_one_page() {
    for paper in Paper::ALL {
        let sheet = make(&Build::empty("Nothing yet"), &Shop::INCH, paper);
        assert_eq!(sheet.document.pages.len(), 1);
        assert!(has(&sheet, "No brackets yet") && has(&sheet, "no brackets, so there is"));
        let csv = String::from_utf8(sheet.export(Format::Csv).unwrap()).unwrap();
        assert_eq!(csv.lines().count(), 1);
    }
}

#[test]
fn left_and_right_holes_that_differ_are_shown() {
    let mut build = sample("redshank");
    build.rear.links[0].at_frame.right_hole = Some(3);
    let sheet = make(&build, &Shop::INCH, Paper::Letter);
    let first = texts(&sheet.document.pages[0]);
    assert!(first.contains(&"2 L") && first.contains(&"3 R"));
    assert!(first.contains(&"A 15 1/2") && first.contains(&"A 16 1/2 R"));
    let second = texts(&sheet.document.pages[1]);
    assert!(second.contains(&"upper link, left") && second.contains(&"upper link, right"));
    assert!(second.contains(&"A2, C2") && second.contains(&"A3, C2"));
    assert!(has(&sheet, "hole 3, in use right"));
    let csv = String::from_utf8(sheet.export(Format::Csv).unwrap()).unwrap();
    assert!(csv.contains("A,upper front,frame,\"left, and its mirror on the right\",2,yes,no,"));
    assert!(csv.contains("A,upper front,frame,\"left, and its mirror on the right\",3,no,yes,"));
}

#[test]
fn what_is_wrong_is_said_on_the_sheet() {
    // Turnstone's upper link: thread shorter than its diameter; its lower links are held at two lengths.
    let sheet = make(&sample("faulty"), &Shop::INCH, Paper::Letter);
    assert!(has(&sheet, "short 1/8"));
    assert!(has(&sheet, "lower link, left") && has(&sheet, "held, holes 23 1/2"));

    let mut build = sample("redshank");
    build.rear.links[1].at_axle.bracket = "gone".into();
    let study = derive(&build);
    assert!(study.rear.motion.is_err());
    let sheet = make(&build, &Shop::INCH, Paper::Letter);
    assert!(has(
        &sheet,
        "Look at this first. lower link: there is no bracket"
    ));
    assert!(has(&sheet, "not on a hole"));
    assert!(has(&sheet, "18 1/4"), "the other links are still there");

    let mut build = sample("redshank");
    build.rear.links.clear();
    let sheet = make(&build, &Shop::INCH, Paper::Letter);
    assert!(has(&sheet, "only the brackets are shown") && has(&sheet, "none drawn yet"));
}

#[test]
fn a_plate_too_large_for_the_paper_becomes_a_table() {
    let mut build = sample("redshank");
    build.rear.brackets[0].holes = build::Holes::Row {
        count: 40,
        pitch: units::Length::from_inches(1.0),
        lean: units::Angle::from_degrees(0.0),
    };
    let sheet = make(&build, &Shop::INCH, Paper::Letter);
    assert!(has(&sheet, "too large for true size") && has(&sheet, "2 × 41 in"));
    assert!(has(&sheet, "up from hole 1"));
    let page = sheet
        .document
        .pages
        .iter()
        .find(|p| texts(p).iter().any(|t| t.starts_with("A · upper front")))
        .unwrap();
    assert!(texts(page).contains(&"39"), "hole 40 is 39 in over hole 1");
    assert!(has(&sheet, "B · lower front, hole template"));
}

#[test]
fn drills_and_tolerance_are_never_rounded_to_something_else() {
    let mut build = sample("redshank");
    build.rear.brackets[0].drill = units::Length::from_inches(21.0 / 32.0);
    let sheet = make(&build, &Shop::INCH, Paper::Letter);
    assert!(has(&sheet, "drill 21/32") && has(&sheet, "tolerance ± 1/32 in"));
    let sheet = make(&build, &Shop::METRIC, Paper::A4);
    assert!(has(&sheet, "drill 16.7") && has(&sheet, "tolerance ± 0.8 mm"));
    // Written as 16 mm, a 5/8 in hole would be an eighth of a millimetre too large.
    assert!(has(&sheet, "drill 15.9") && has(&sheet, "rounded to 1 mm"));
}

#[test]
fn same_build_same_bytes() {
    for format in [Format::Pdf, Format::Svg, Format::Csv] {
        let make = || {
            make(&sample("redshank"), &Shop::INCH, Paper::A4)
                .export(format)
                .unwrap()
        };
        assert_eq!(make(), make());
    }
}

#[test]
fn numbers_that_are_none_are_refused_not_printed() {
    let mut build = sample("redshank");
    build.rear.brackets[0].at.station = units::Length::from_si(f64::NAN);
    let sheet = bracket_placement(&build, &derive(&build), &Shop::INCH, Paper::Letter, DATE);
    if let Ok(sheet) = sheet {
        assert!(matches!(
            sheet.export(Format::Pdf),
            Err(SheetError::NotFinite { .. })
        ));
    }
}

#[test]
fn formats_go_by_the_ending() {
    for (name, format) in [
        ("a/b.pdf", Some(Format::Pdf)),
        ("B.PDF", Some(Format::Pdf)),
        ("x.Svg", Some(Format::Svg)),
        ("x.y.csv", Some(Format::Csv)),
        ("pdf", None),
        ("x.ron", None),
        ("x.", None),
        ("", None),
    ] {
        assert_eq!(Format::of(std::path::Path::new(name)), format, "{name}");
    }
}
