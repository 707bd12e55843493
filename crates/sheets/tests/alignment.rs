//! The alignment card: nothing touches, the numbers are the study's, what is missing is said.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

#[path = "placement/builds.rs"]
#[allow(dead_code)]
mod builds;
#[path = "placement/read.rs"]
#[allow(dead_code)]
mod read;

use build::{Build, derive};
use builds::sample;
use read::squeezed;
use sheets::{Format, Paper, Which, check_page, lines_through_text};
use units::{Kind, Shop, System};

const DATE: &str = "25 Nov 2026";
const METRIC: Shop = Shop {
    system: System::Si,
    fraction: units::Fraction::Sixteenth,
};

fn squeeze(text: &str) -> String {
    text.split_whitespace().collect()
}

#[test]
fn nothing_touches() {
    let mut bare = sample("redshank");
    bare.front_end = None;
    let mut broken = sample("redshank");
    let front = broken.front_end.as_mut().unwrap();
    front.upper.ball.height = "1 in".parse().unwrap();
    let mut wordy = sample("redshank");
    for a in &mut wordy.front_end.as_mut().unwrap().adjusters {
        a.label = "🔩 Unterlenkerkonsolenverstärkungsblech ".repeat(20);
        a.unit = "a turn of the sleeve ".repeat(20);
    }
    for build in [
        sample("redshank"),
        sample("whimbrel"),
        sample("faulty"),
        Build::empty("Nothing"),
        bare,
        broken,
        wordy,
    ] {
        let study = derive(&build);
        for paper in Paper::ALL {
            for shop in [Shop::default(), METRIC] {
                let sheet = Which::Alignment
                    .make(&build, &study, &shop, paper, DATE)
                    .unwrap_or_else(|e| panic!("{}: {e}", build.name));
                for (k, page) in sheet.document.pages.iter().enumerate() {
                    let clashes: Vec<String> = check_page(page)
                        .into_iter()
                        .chain(lines_through_text(page))
                        .map(|c| format!("{:?} {}", c.kind, c.detail))
                        .collect();
                    assert!(
                        clashes.is_empty(),
                        "{} page {}: {clashes:#?}",
                        build.name,
                        k + 1
                    );
                }
                for format in [Format::Pdf, Format::Svg, Format::Csv] {
                    sheet.export(format).unwrap();
                }
            }
        }
    }
}

#[test]
fn it_says_what_the_study_says() {
    let b = sample("redshank");
    let study = derive(&b);
    for shop in [Shop::default(), METRIC] {
        let sheet = Which::Alignment
            .make(&b, &study, &shop, Paper::Letter, DATE)
            .unwrap();
        let read = squeezed(&sheet.export(Format::Pdf).unwrap());
        let expect = |words: &str| assert!(read.contains(&squeeze(words)), "{words}\n{read}");
        for id in ["front.camber", "front.caster", "front.toe_in"] {
            let v = study.reading(id).unwrap().value.clone().unwrap();
            expect(&format!("{:.2}°", v.to_degrees()).replace("-0.00", "0.00"));
        }
        // The tie rod from its two points as drawn.
        let tie = b.front_end.as_ref().unwrap().tie_rod;
        let (i, o) = (tie.inner.si(), tie.outer.si());
        let long = ((i[0] - o[0]).powi(2) + (i[1] - o[1]).powi(2) + (i[2] - o[2]).powi(2)).sqrt();
        expect(&units::format_kept(Kind::Length, long, &shop));
        expect("Steer lock to lock at full bump and full droop");
        expect("local vehicle code");

        let csv = String::from_utf8(sheet.export(Format::Csv).unwrap()).unwrap();
        let mut rows = csv::Reader::from_reader(csv.as_bytes());
        let heads: Vec<String> = rows.headers().unwrap().iter().map(str::to_owned).collect();
        assert_eq!(
            heads,
            [
                "what",
                "of",
                "value",
                "unit",
                "left measured",
                "right measured"
            ]
        );
        let rows: Vec<csv::StringRecord> = rows.records().map(Result::unwrap).collect();
        let value = |of: &str| -> f64 {
            let row = rows.iter().find(|r| &r[1] == of);
            row.unwrap_or_else(|| panic!("{of}\n{csv}"))[2]
                .parse()
                .unwrap()
        };
        let per_metre = units::display_value(Kind::Length, 1.0, &shop);
        assert!((value("tie rod") - long * per_metre).abs() < 1e-3 * per_metre.max(1.0));
        let changes = rows.iter().filter(|r| &r[0] == "toe change").count();
        assert_eq!(changes, 9, "41 travels, every fifth");
    }
}

#[test]
fn without_a_front_end_it_says_so() {
    let mut b = sample("redshank");
    b.front_end = None;
    let sheet = Which::Alignment
        .make(&b, &derive(&b), &Shop::default(), Paper::A4, DATE)
        .unwrap();
    let read = squeezed(&sheet.export(Format::Pdf).unwrap());
    assert!(read.contains(&squeeze("No front end yet")), "{read}");
}
