//! The brake circuit and the driveline sheet: nothing touches, the numbers are the study's.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

#[path = "placement/builds.rs"]
mod builds;
#[path = "placement/read.rs"]
#[allow(dead_code)]
mod read;

use build::{Build, derive};
use builds::{nasty, sample};
use read::squeezed;
use sheets::{Format, Paper, Which, check_page, lines_through_text};
use units::{Shop, System};

const DATE: &str = "25 Nov 2026";
const BOTH: [Which; 2] = [Which::BrakeCircuit, Which::Driveline];
const METRIC: Shop = Shop {
    system: System::Si,
    fraction: units::Fraction::Sixteenth,
};

fn squeeze(text: &str) -> String {
    text.split_whitespace().collect()
}

#[test]
fn nothing_touches() {
    let samples = ["redshank", "whimbrel", "faulty"];
    let mut builds: Vec<(String, Build)> = samples.map(|n| (n.to_owned(), sample(n))).into();
    builds.push(("empty".into(), Build::empty("Nothing")));
    builds.extend(nasty());
    for (name, build) in &builds {
        let study = derive(build);
        for which in BOTH {
            for paper in Paper::ALL {
                for shop in [Shop::default(), METRIC] {
                    let sheet = which
                        .make(build, &study, &shop, paper, DATE)
                        .unwrap_or_else(|e| panic!("{name} {which:?}: {e}"));
                    for page in &sheet.document.pages {
                        let clashes: Vec<String> = check_page(page)
                            .into_iter()
                            .chain(lines_through_text(page))
                            .map(|c| format!("{:?} {}", c.kind, c.detail))
                            .collect();
                        assert!(clashes.is_empty(), "{name} {which:?}: {clashes:#?}");
                    }
                    assert!(sheet.document.pages.len() <= 3, "{name} {which:?}");
                }
            }
            let sheet = which.make(build, &study, &METRIC, Paper::A4, DATE).unwrap();
            assert!(sheet.export(Format::Pdf).unwrap().starts_with(b"%PDF"));
            let svg = String::from_utf8(sheet.export(Format::Svg).unwrap()).unwrap();
            roxmltree::Document::parse(&svg).unwrap();
            sheet.export(Format::Csv).unwrap();
        }
    }
}

#[test]
fn they_say_what_the_study_says() {
    let b = sample("redshank");
    let study = derive(&b);
    for (which, ids) in [
        (
            Which::BrakeCircuit,
            ["brakes.stop_distance", "brakes.rotor_rise.front"],
        ),
        (
            Which::Driveline,
            ["driveline.critical", "driveline.engagement"],
        ),
    ] {
        for shop in [Shop::default(), METRIC] {
            let sheet = which.make(&b, &study, &shop, Paper::Letter, DATE).unwrap();
            let read = squeezed(&sheet.export(Format::Pdf).unwrap());
            for id in ids {
                let value = study.reading(id).unwrap().display(&shop);
                assert!(read.contains(&squeeze(&value)), "{id} {value}");
            }
            assert!(read.contains("rulebook") || read.contains("vehiclecode"));
        }
    }
}
