//! The composer: nothing touches, nothing is lost, tables break between groups with their head repeated.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

#[allow(dead_code)] // each test file uses a part
mod demo;

use sheets::{
    Align, Cell, ClashKind, Col, Composer, Document, Face, Ink, Item, Page, Paper, Pen, Row,
    SheetError, Table, Text, check_page, lines_through_text, pt, type_metrics,
};

fn texts(page: &Page) -> impl Iterator<Item = &Text> {
    page.items
        .iter()
        .filter_map(|i| if let Item::Text(t) = i { Some(t) } else { None })
}

fn has(page: &Page, text: &str) -> bool {
    texts(page).any(|t| t.text == text)
}

#[test]
fn demo_pages_are_in_order() {
    for paper in Paper::ALL {
        for document in [
            demo::demo(paper).unwrap(),
            demo::thirty_rows(paper).unwrap(),
        ] {
            assert!(document.pages.len() >= 2);
            for (k, page) in document.pages.iter().enumerate() {
                assert_eq!(check_page(page), vec![], "{paper:?} page {k}");
                assert_eq!(lines_through_text(page), vec![], "{paper:?} page {k}");
            }
        }
    }
}

#[test]
fn thirty_rows_break_once_with_the_head_repeated_and_no_row_lost() {
    for paper in Paper::ALL {
        let document = demo::thirty_rows(paper).unwrap();
        assert_eq!(document.pages.len(), 2);
        for page in &document.pages {
            assert_eq!(
                texts(page).filter(|t| t.text == "what to look at").count(),
                1,
                "one head on each page"
            );
        }
        for k in 1..=30 {
            let name = format!("r{k:02}");
            let seen: usize = document
                .pages
                .iter()
                .map(|p| texts(p).filter(|t| t.text == name).count())
                .sum();
            assert_eq!(seen, 1, "{name}");
        }
        // Groups of five stay together.
        for group in 0..6 {
            let on_first = (1..=5)
                .filter(|k| has(&document.pages[0], &format!("r{:02}", group * 5 + k)))
                .count();
            assert!(
                on_first == 0 || on_first == 5,
                "group {group}: {on_first} of 5 rows on the first page"
            );
        }
        assert!(has(&document.pages[0], "1 of 2") && has(&document.pages[1], "2 of 2"));
        assert!(has(&document.pages[1], "fitted by") && !has(&document.pages[0], "fitted by"));
    }
}

/// A small linear congruential generator (Knuth's MMIX constants, from memory): the same texts every run.
struct Dice(u64);

impl Dice {
    fn roll(&mut self, n: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 33) as usize) % n
    }

    fn words(&mut self, most: usize) -> String {
        const STOCK: [&str; 12] = [
            "set",
            "long",
            "19 1/2",
            "gusset",
            "−2 15/16",
            "ÅÄÖ",
            "jpqgy",
            "→",
            "diagonals",
            "(A)",
            "x",
            "heatshrinkablecablesleeve",
        ];
        (0..self.roll(most + 1))
            .map(|_| STOCK[self.roll(STOCK.len())])
            .collect::<Vec<_>>()
            .join(" ")
    }
}

#[test]
fn random_sheets_never_touch_and_never_lose_a_row() {
    let mut dice = Dice(7);
    for round in 0..60 {
        let mut setup = demo::setup(Paper::ALL[dice.roll(2)]);
        setup.title = dice.words(12);
        setup.subtitle = dice.words(40);
        setup.footer = dice.words(30);
        setup.knots.truncate(dice.roll(13));
        let mut s = Composer::new(setup);
        let mut rows = 0;
        for _ in 0..2 + dice.roll(6) {
            match dice.roll(6) {
                0 => s.section(&dice.words(10), &dice.words(12)),
                1 => s.paragraph(&dice.words(400)).unwrap(),
                2 => s.caution(&dice.words(60)).unwrap(),
                3 => s.signs(&[&dice.words(5), &dice.words(3)]).unwrap(),
                4 => s
                    .beside([1.0, 2.0], 6.0, |[a, b]| {
                        a.heading(&dice.words(4), &dice.words(4));
                        a.note(&dice.words(20));
                        b.caution(&dice.words(20));
                        Ok(())
                    })
                    .unwrap(),
                _ => {
                    let n = 1 + dice.roll(7);
                    let aligns = [Align::Left, Align::Right, Align::Centre];
                    let mut t = Table::new((0..n).map(|_| {
                        let mut c = Col::left(dice.words(3));
                        c.align = aligns[dice.roll(3)];
                        c
                    }));
                    for _ in 0..dice.roll(50) {
                        rows += 1;
                        let mut cells = vec![Cell::new(format!("#{rows}"))];
                        for _ in 1..n {
                            let cell = if dice.roll(4) == 0 {
                                Cell::blank()
                            } else {
                                Cell::new(dice.words(6))
                            };
                            cells.push(if dice.roll(3) == 0 {
                                cell.mark(sheets::Mark::Open).bold()
                            } else {
                                cell
                            });
                        }
                        let mut row = Row::new(cells);
                        row.rule = dice.roll(5) == 0;
                        row.tint = dice.roll(5) == 0;
                        t.push(row);
                    }
                    s.table(&t).unwrap();
                }
            }
        }
        let document = s.finish();
        for (k, page) in document.pages.iter().enumerate() {
            assert_eq!(check_page(page), vec![], "round {round} page {k}");
        }
        let all: Vec<&str> = document
            .pages
            .iter()
            .flat_map(texts)
            .map(|t| t.text.as_str())
            .collect();
        for r in 1..=rows {
            let name = format!("#{r}");
            assert_eq!(
                all.iter().filter(|t| **t == name).count(),
                1,
                "round {round}: row {name}"
            );
        }
    }
}

#[test]
fn a_long_paragraph_runs_over_pages_with_every_word_in_order() {
    let words: Vec<String> = (0..4000).map(|k| format!("w{k}")).collect();
    let mut s = Composer::new(demo::setup(Paper::A4));
    s.section("Long", "");
    s.paragraph(&words.join(" ")).unwrap();
    let document = s.finish();
    assert!(document.pages.len() > 2);
    let read: Vec<String> = document
        .pages
        .iter()
        .flat_map(texts)
        .filter(|t| t.text.starts_with('w'))
        .flat_map(|t| t.text.split(' ').map(str::to_owned).collect::<Vec<_>>())
        .collect();
    assert_eq!(read, words);
    for page in &document.pages {
        assert_eq!(check_page(page), vec![]);
        let lines = texts(page).filter(|t| t.text.starts_with('w')).count();
        assert!(lines >= 2, "no single line alone on a page");
    }
}

#[test]
fn a_title_is_never_left_behind() {
    for lead in 0..80 {
        let mut s = Composer::new(demo::setup(Paper::Letter));
        s.draw(150.0 + f64::from(lead), |_| ()).unwrap();
        s.section("Kept title", "");
        s.caution("kept with the title above").unwrap();
        let document = s.finish();
        let page = document
            .pages
            .iter()
            .find(|p| has(p, "Kept title"))
            .unwrap();
        assert!(has(page, "kept with the title above"), "lead {lead}");
    }
}

#[test]
fn what_does_not_fit_is_said_with_numbers() {
    let mut s = Composer::new(demo::setup(Paper::Letter));
    let err = s.true_size(200.0, 50.0, |_| ()).unwrap_err();
    assert!(
        matches!(err, SheetError::TooLarge { width, .. } if width == 200.0),
        "{err}"
    );
    assert!(s.true_size(50.0, f64::NAN, |_| ()).is_err());
    assert!(s.draw(400.0, |_| ()).is_err());
    assert!(s.draw(f64::INFINITY, |_| ()).is_err());
    let mut t = Table::new([Col::left("a")]);
    t.push(Row::new(["1".into(), "2".into()]));
    assert!(matches!(
        s.table(&t),
        Err(SheetError::RowTooLong {
            row: 0,
            cells: 2,
            columns: 1
        })
    ));
    let wide = Table::new((0..60).map(|k| Col::left(format!("c{k}"))));
    assert!(matches!(
        s.table(&wide),
        Err(SheetError::TableTooWide { columns: 60, .. })
    ));
    // The sheet is still usable after a refusal.
    s.table(&Table::new([])).unwrap();
    s.table(&Table::new([Col::left("only a head")])).unwrap();
    let document = s.finish();
    assert!(has(&document.pages[0], "nothing listed"));
    assert_eq!(check_page(&document.pages[0]), vec![]);
}

fn one(items: Vec<Item>) -> Page {
    Page {
        size: Paper::Letter.size(),
        items,
    }
}

fn text(x: f64, y: f64, t: &str) -> Item {
    Item::Text(Text::new(x, y, 10.0, t))
}

/// `check_page` must find what is planted, or the tests above prove nothing.
#[test]
fn planted_clashes_are_found() {
    let kinds = |page: &Page| {
        check_page(page)
            .into_iter()
            .map(|c| c.kind)
            .collect::<Vec<_>>()
    };
    assert_eq!(
        kinds(&one(vec![
            text(50.0, 50.0, "19 1/2"),
            text(55.0, 50.0, "22 1/2")
        ])),
        [ClashKind::TextOnText]
    );
    assert_eq!(
        kinds(&one(vec![
            text(50.0, 50.0, "19 1/2"),
            text(80.0, 50.0, "22 1/2")
        ])),
        []
    );
    assert_eq!(
        kinds(&one(vec![
            text(50.0, 50.0, "hoop"),
            text(50.0, 52.0, "hoop")
        ])),
        [ClashKind::TextOnText]
    );
    assert_eq!(
        kinds(&one(vec![
            text(50.0, 50.0, "hoop"),
            text(50.0, 55.0, "hoop")
        ])),
        []
    );
    assert_eq!(
        kinds(&one(vec![text(3.0, 50.0, "left")])),
        [ClashKind::OutsideMargin]
    );
    assert_eq!(
        kinds(&one(vec![text(200.0, 50.0, "far too long for that")])),
        [ClashKind::OutsideMargin]
    );
    assert_eq!(
        kinds(&one(vec![text(50.0, 278.0, "foot")])),
        [ClashKind::OutsideMargin]
    );
    assert_eq!(
        kinds(&one(vec![text(f64::NAN, 50.0, "?")])),
        [ClashKind::NotFinite]
    );
    let circle = |x: f64| Item::Circle {
        centre: pt(x, 50.0),
        radius: 10.0,
        pen: Some(Pen::THIN),
        fill: None,
    };
    assert_eq!(kinds(&one(vec![circle(16.2)])), [ClashKind::OutsideMargin]);
    assert_eq!(kinds(&one(vec![circle(16.5)])), []);
    // Turned a quarter, a text leaves the row beside it free and takes the column above.
    let up =
        Item::Text(Text::new(50.0, 50.0, 10.0, "turned text").turned(std::f64::consts::FRAC_PI_2));
    assert_eq!(kinds(&one(vec![up.clone(), text(52.0, 50.0, "level")])), []);
    assert_eq!(
        kinds(&one(vec![up, text(45.0, 42.0, "level")])),
        [ClashKind::TextOnText]
    );
    let line = |x: f64| Item::Line {
        from: pt(x, 40.0),
        to: pt(x, 60.0),
        pen: Pen::THIN,
    };
    assert_eq!(
        lines_through_text(&one(vec![line(52.0), text(50.0, 50.0, "word")])).len(),
        1
    );
    assert_eq!(
        lines_through_text(&one(vec![line(49.0), text(50.0, 50.0, "word")])).len(),
        0
    );
}

/// Contrast by WCAG 2.1, definitions of relative luminance and contrast ratio: at least 4.5 : 1 for text.
#[test]
fn text_inks_keep_their_contrast_on_every_ground() {
    let luminance = |ink: Ink| {
        let [r, g, b] = ink.rgb().map(|v| {
            let v = f64::from(v) / 255.0;
            if v <= 0.03928 {
                v / 12.92
            } else {
                ((v + 0.055) / 1.055).powf(2.4)
            }
        });
        0.2126 * r + 0.7152 * g + 0.0722 * b
    };
    let ratio = |a: Ink, b: Ink| {
        let (a, b) = (luminance(a), luminance(b));
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    };
    for ground in [Ink::White, Ink::Tint] {
        for ink in [Ink::Ink, Ink::Dim] {
            assert!(
                ratio(ink, ground) >= 4.5,
                "{ink:?} on {ground:?}: {}",
                ratio(ink, ground)
            );
        }
    }
    assert!(
        ratio(Ink::Dim, Ink::Head) >= 4.5,
        "{}",
        ratio(Ink::Dim, Ink::Head)
    );
    assert!(
        ratio(Ink::Accent, Ink::White) >= 4.5,
        "{}",
        ratio(Ink::Accent, Ink::White)
    );
    // Black and white: the done knot and the open one cannot be taken for each other.
    assert!(ratio(Ink::Ink, Ink::White) > 7.0);
}

/// Widths in font units summed from the fonts' cmap and hmtx tables by a separate script.
#[test]
fn widths_agree_with_the_font_tables() {
    let cases = [
        ("19 1/2 ahead, drill 5/8", Face::Regular, 22_900.0 / 2000.0),
        ("Bracket placement", Face::Bold, 17_800.0 / 2000.0),
        ("0000000000", Face::Regular, 13_000.0 / 2000.0),
    ];
    for (text, face, em) in cases {
        let w = type_metrics::width(text, face, 72.0) / 25.4;
        assert!((w - em).abs() < 1e-9, "{text}: {w} em, table says {em}");
    }
}

#[test]
fn wrapping_keeps_every_character_and_the_width() {
    let text =
        "a heatshrinkablecablesleeveofnoendwhatsoever and some more   words\n\nafter a blank line";
    for width in [0.0, 3.0, 12.0, 40.0, 500.0] {
        let lines = type_metrics::wrap(text, Face::Regular, 10.0, width);
        let joined: String = lines
            .concat()
            .chars()
            .filter(|c| !c.is_whitespace())
            .collect();
        let want: String = text.chars().filter(|c| !c.is_whitespace()).collect();
        assert_eq!(joined, want);
        for l in &lines {
            assert!(
                type_metrics::width(l, Face::Regular, 10.0) <= width + 1e-6
                    || l.chars().count() == 1,
                "{l}"
            );
        }
    }
    assert_eq!(type_metrics::wrap("", Face::Bold, 9.0, 10.0), [""]);
    assert_eq!(type_metrics::fit("short", Face::Bold, 9.0, 100.0), "short");
    assert!(type_metrics::fit("much too long for it", Face::Bold, 9.0, 12.0).ends_with('…'));
}

#[test]
fn coverage_is_told() {
    assert_eq!(
        type_metrics::missing("½ → − ± ° ′ ″ ✓ ⚠ ● ○ ☐ ≤ Ω plain\n"),
        vec![]
    );
    assert_eq!(type_metrics::missing("a 日 b 日"), vec!['日']);
    assert_eq!(
        type_metrics::clean("a\tb\u{200b}c 日"),
        "a b\u{0063} \u{fffd}".to_owned()
    );
    // A character only the fallback has splits the run.
    let fonts: Vec<_> = type_metrics::runs("a○b", Face::Regular)
        .into_iter()
        .map(|r| r.font)
        .collect();
    use type_metrics::FontId::{FallbackRegular, Regular};
    assert_eq!(fonts, [Regular, FallbackRegular, Regular]);
}

#[test]
fn an_empty_sheet_is_one_page() {
    let document: Document = Composer::new(demo::setup(Paper::A4)).finish();
    assert_eq!(document.pages.len(), 1);
    assert!(has(&document.pages[0], "1 of 1"));
}
