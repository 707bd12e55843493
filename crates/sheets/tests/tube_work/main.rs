//! The sheets of tube work: nothing touches, wraps are what the geometry says to a tenth of a millimetre on
//! paper, tiles agree, lists add up.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

#[path = "../placement/builds.rs"]
mod builds;
mod lists;
mod made;
mod odd;
#[path = "../placement/read.rs"]
#[allow(dead_code)]
mod read;
mod wraps;

use build::{Build, derive};
use builds::{nasty, sample};
use odd::odd;
use sheets::{Format, Item, Paper, Sheet, Which, check_page, lines_through_text};
use units::{Fraction, Shop, System};

const DATE: &str = "25 Nov 2026";
const SAMPLES: [&str; 3] = ["redshank", "whimbrel", "faulty"];
const SHEETS: [Which; 3] = [Which::CutAndBend, Which::CopeWraps, Which::CutList];
const ALL: [Which; 4] = [
    Which::CutAndBend,
    Which::CopeWraps,
    Which::CutList,
    Which::FrameReport,
];
const METRIC: Shop = Shop {
    system: System::Si,
    fraction: Fraction::Sixteenth,
};
const FINE: Shop = Shop {
    system: System::InchPound,
    fraction: Fraction::Decimal,
};

fn make(b: &Build, which: Which, shop: &Shop, paper: Paper) -> Sheet {
    which.make(b, &derive(b), shop, paper, DATE).unwrap()
}

fn texts(sheet: &Sheet) -> Vec<&str> {
    let items = sheet.document.pages.iter().flat_map(|p| &p.items);
    items
        .filter_map(|i| match i {
            Item::Text(t) => Some(t.text.as_str()),
            _ => None,
        })
        .collect()
}

fn untouched(name: &str, b: &Build, papers: &[Paper], shops: &[Shop]) {
    let study = derive(b);
    for which in ALL {
        for paper in papers {
            for shop in shops {
                let sheet = which
                    .make(b, &study, shop, *paper, DATE)
                    .unwrap_or_else(|e| panic!("{name} {which:?}: {e}"));
                for (k, page) in sheet.document.pages.iter().enumerate() {
                    let clashes: Vec<String> = check_page(page)
                        .into_iter()
                        .chain(lines_through_text(page))
                        .map(|c| format!("{:?} {}", c.kind, c.detail))
                        .take(6)
                        .collect();
                    assert!(
                        clashes.is_empty(),
                        "{name} {which:?} {paper:?} {shop:?} page {}: {clashes:#?}",
                        k + 1
                    );
                }
            }
        }
        let sheet = which.make(b, &study, &METRIC, Paper::A4, DATE).unwrap();
        assert!(sheet.export(Format::Pdf).unwrap().starts_with(b"%PDF"));
        let svg = String::from_utf8(sheet.export(Format::Svg).unwrap()).unwrap();
        roxmltree::Document::parse(&svg).unwrap();
        sheet.export(Format::Csv).unwrap();
    }
}

#[test]
fn nothing_touches_on_the_samples() {
    for name in SAMPLES {
        untouched(
            name,
            &sample(name),
            &Paper::ALL,
            &[Shop::INCH, FINE, METRIC],
        );
    }
}

#[test]
fn nothing_touches_on_odd_builds() {
    let mut all = odd();
    all.push(("empty".into(), Build::empty("Nothing")));
    all.extend(nasty());
    for (name, b) in &all {
        untouched(name, b, &Paper::ALL, &[Shop::INCH, METRIC]);
    }
}
