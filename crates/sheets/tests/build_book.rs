//! The build book: whole, numbered through, true where it must be.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

#[path = "placement/read.rs"]
#[allow(dead_code)]
mod read;

use std::path::Path;

use build::{Build, Study, derive, file};
use sheets::{Document, Format, Item, MEASURE_LINE, Paper, Which, check_page};
use units::Shop;

fn sample(name: &str) -> (Build, Study) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../samples")
        .join(name);
    let b = file::load(&path).unwrap_or_else(|e| panic!("{e}"));
    let study = derive(&b);
    (b, study)
}

fn book(b: &Build, study: &Study, paper: Paper) -> sheets::Sheet {
    Which::BuildBook
        .make(b, study, &Shop::default(), paper, "30 Nov 2026")
        .unwrap()
}

fn texts(document: &Document, page: usize) -> Vec<String> {
    let items = document.pages[page].items.iter();
    items
        .filter_map(|i| match i {
            Item::Text(t) => Some(t.text.clone()),
            _ => None,
        })
        .collect()
}

/// Words with their breaks and blanks taken out, so that a wrapped line is found again.
fn squeezed(document: &Document) -> String {
    (0..document.pages.len())
        .flat_map(|k| texts(document, k))
        .collect::<String>()
        .replace(' ', "")
}

#[test]
fn every_phase_and_every_check_is_in_it() {
    let (b, study) = sample("redshank.ron");
    let document = book(&b, &study, Paper::Letter).document;
    let all = squeezed(&document);
    for p in &b.phases {
        assert!(all.contains(&p.title.replace(' ', "")), "{}", p.title);
        for c in &p.checks {
            assert!(
                all.contains(&c.label.replace(' ', "")),
                "{}: {}",
                p.title,
                c.label
            );
            if let Some(m) = c.marks.last() {
                assert!(all.contains(&m.when.replace(' ', "")), "{}", m.when);
            }
        }
    }
    for which in Which::ALL.into_iter().filter(|w| w.phase().is_some()) {
        assert!(
            all.contains(&which.title().replace(' ', "")),
            "{}",
            which.title()
        );
    }
}

#[test]
fn pages_are_numbered_through_and_the_contents_point_to_them() {
    for (name, paper) in [("redshank.ron", Paper::Letter), ("whimbrel.ron", Paper::A4)] {
        let (b, study) = sample(name);
        let document = book(&b, &study, paper).document;
        let n = document.pages.len();
        for k in 0..n {
            let mark = format!("book page {} of {n}", k + 1);
            assert!(texts(&document, k).contains(&mark), "{name} page {k}");
        }
        // In the contents every chapter's title is followed by its page.
        let front = texts(&document, 0);
        for p in &b.phases {
            let at = front
                .iter()
                .position(|t| *t == p.title)
                .unwrap_or_else(|| panic!("{}", p.title));
            let page: usize = front[at + 1].parse().unwrap();
            assert!(
                texts(&document, page - 1).contains(&p.title),
                "{name}: {} on {page}",
                p.title
            );
        }
    }
}

#[test]
fn a_true_size_line_stays_true_in_the_book() {
    let (b, study) = sample("redshank.ron");
    let document = book(&b, &study, Paper::Letter).document;
    let alone = Which::BracketPlacement
        .make(&b, &study, &Shop::default(), Paper::Letter, "30 Nov 2026")
        .unwrap()
        .document;
    let with_line = |d: &Document| {
        (0..d.pages.len())
            .filter(|k| texts(d, *k).iter().any(|t| t.contains(MEASURE_LINE)))
            .map(|k| d.pages[k].items.clone())
            .collect::<Vec<_>>()
    };
    let (own, bound) = (with_line(&alone), with_line(&document));
    assert!(!own.is_empty());
    for page in own {
        // Item for item where it was, to the last bit.
        assert!(bound.iter().any(|b| page.iter().all(|i| b.contains(i))));
    }
}

#[test]
fn nothing_clashes_and_all_is_where_a_printer_reaches() {
    for name in ["redshank.ron", "whimbrel.ron", "faulty.ron"] {
        let (b, study) = sample(name);
        for paper in Paper::ALL {
            let document = book(&b, &study, paper).document;
            for (k, page) in document.pages.iter().enumerate() {
                let clashes = check_page(page);
                assert!(
                    clashes.is_empty(),
                    "{name} {paper:?} page {}: {clashes:?}",
                    k + 1
                );
            }
        }
    }
}

/// Words of each page of the PDF, read by another library, without blanks.
fn pdf_pages(pdf: &lopdf::Document) -> Vec<String> {
    let words = |n: &u32| pdf.extract_text(&[*n]).unwrap();
    pdf.get_pages()
        .keys()
        .map(|n| words(n).split_whitespace().collect())
        .collect()
}

#[test]
fn the_pdf_says_it_all_on_numbered_pages() {
    for name in ["redshank.ron", "faulty.ron"] {
        let (b, study) = sample(name);
        let bytes = book(&b, &study, Paper::Letter).export(Format::Pdf).unwrap();
        let pages = pdf_pages(&read::load(&bytes));
        let n = pages.len();
        for (k, page) in pages.iter().enumerate() {
            let mark = format!("bookpage{}of{n}", k + 1);
            assert!(page.contains(&mark), "{name}: {mark}");
        }
        let all = pages.concat();
        let expect = |words: &str| {
            let bare: String = words.split_whitespace().collect();
            assert!(all.contains(&bare), "{name}: {words}");
        };
        for p in &b.phases {
            expect(&p.title);
            for c in &p.checks {
                expect(&c.label);
            }
        }
        for r in study.readings.iter().filter(|r| r.value.is_ok()) {
            expect(&r.display(&Shop::default()));
        }
        for f in &study.findings {
            expect(&f.sentences(&Shop::default()));
        }
    }
}

#[test]
fn the_bars_measure_true_in_the_books_pdf() {
    let (b, study) = sample("redshank.ron");
    for paper in Paper::ALL {
        let bytes = book(&b, &study, paper).export(Format::Pdf).unwrap();
        let pdf = read::load(&bytes);
        let line: String = MEASURE_LINE.split_whitespace().collect();
        let mut measured = 0;
        for (k, words) in pdf_pages(&pdf).iter().enumerate() {
            if !words.contains(&line) {
                continue;
            }
            let paths = read::paths(&pdf, k as u32 + 1, paper.size().h);
            let long = |w: f64, h: f64| {
                let near =
                    |e: &[f64; 4]| (e[2] - e[0] - w).abs() < 0.1 && (e[3] - e[1] - h).abs() < 0.1;
                paths.iter().filter(|p| near(&read::extent(p))).count()
            };
            // A level line of 100 mm, four level boxes of 1 in (25.4 mm exactly), and upright ones.
            assert!(long(100.0, 0.0) >= 1, "{paper:?} page {}", k + 1);
            assert!(long(25.4, 2.4) >= 4, "{paper:?} page {}", k + 1);
            assert!(long(2.4, 25.4) >= 1, "{paper:?} page {}", k + 1);
            measured += 1;
        }
        assert!(measured > 0, "{paper:?}");
    }
}

#[test]
fn an_empty_build_and_a_faulty_one_have_a_book_too() {
    let empty = Build::empty("New build");
    for (b, study) in [(empty.clone(), derive(&empty)), sample("faulty.ron")] {
        let sheet = book(&b, &study, Paper::A4);
        assert!(sheet.document.pages.len() > b.phases.len());
        let pdf = sheet.export(Format::Pdf).unwrap();
        assert!(pdf.starts_with(b"%PDF"));
        let csv = String::from_utf8(sheet.export(Format::Csv).unwrap()).unwrap();
        let checks: usize = b.phases.iter().map(|p| p.checks.len()).sum();
        assert_eq!(csv.lines().count(), 1 + checks + study.readings.len());
    }
    let all = squeezed(&book(&empty, &derive(&empty), Paper::A4).document);
    assert!(
        all.contains("nothingismockedup"),
        "what is left out is named"
    );
}

#[test]
fn the_housing_order_says_what_the_readings_say() {
    for name in ["redshank.ron", "whimbrel.ron", "faulty.ron"] {
        let (b, study) = sample(name);
        let sheet = Which::HousingOrder
            .make(&b, &study, &Shop::default(), Paper::Letter, "30 Nov 2026")
            .unwrap();
        let all = squeezed(&sheet.document);
        for id in [
            "clearance.housing",
            "clearance.flanges",
            "clearance.faces",
            "clearance.backspacing",
        ] {
            let shown = study.reading(id).unwrap().display(&Shop::default());
            assert!(all.contains(&shown.replace(' ', "")), "{name} {id} {shown}");
        }
        assert!(all.contains("Licensedinspection"));
        for (k, page) in sheet.document.pages.iter().enumerate() {
            let clashes = check_page(page);
            assert!(clashes.is_empty(), "{name} page {}: {clashes:?}", k + 1);
        }
    }
}
