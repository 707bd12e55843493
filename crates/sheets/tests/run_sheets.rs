//! The run card and the build summary: nothing touches, the numbers are the study's, hostile builds are borne.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

#[path = "placement/builds.rs"]
mod builds;
#[path = "placement/read.rs"]
#[allow(dead_code)]
mod read;

use build::{Build, CheckState, Seen, SlipReading, StripMark, derive};
use builds::{nasty, sample};
use read::squeezed;
use sheets::{Format, Item, Paper, Sheet, Which, check_page, lines_through_text};
use units::{Kind, Shop, System};

const DATE: &str = "25 Nov 2026";
const SAMPLES: [&str; 3] = ["redshank", "whimbrel", "faulty"];
const BOTH: [Which; 2] = [Which::RunCard, Which::BuildSummary];
const METRIC: Shop = Shop {
    system: System::Si,
    fraction: units::Fraction::Sixteenth,
};

fn squeeze(text: &str) -> String {
    text.split_whitespace().collect()
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

#[test]
fn nothing_touches() {
    let mut builds: Vec<(String, Build)> = SAMPLES.map(|n| (n.to_owned(), sample(n))).into();
    builds.push(("empty".into(), Build::empty("Nothing")));
    builds.extend(nasty());
    let mut b = sample("redshank");
    b.run.gears.clear();
    builds.push(("no gears".into(), b));
    let mut b = sample("redshank");
    let gear = b.run.gears[0];
    b.run.gears = vec![gear; 40];
    for p in &mut b.phases {
        p.title = "a title that goes on ".repeat(30);
        for c in &mut p.checks {
            c.hold = true;
            c.label = "🔩上下 a hold point, Unterlenkerkonsolenverstärkungsblech ".repeat(20);
            c.marks.clear();
        }
    }
    builds.push(("wordy".into(), b));
    for (name, build) in &builds {
        let study = derive(build);
        for which in BOTH {
            for paper in Paper::ALL {
                for shop in [Shop::default(), METRIC] {
                    let sheet = which
                        .make(build, &study, &shop, paper, DATE)
                        .unwrap_or_else(|e| panic!("{name} {which:?}: {e}"));
                    for (k, page) in sheet.document.pages.iter().enumerate() {
                        let clashes: Vec<String> = check_page(page)
                            .into_iter()
                            .chain(lines_through_text(page))
                            .map(|c| format!("{:?} {}", c.kind, c.detail))
                            .collect();
                        assert!(
                            clashes.is_empty(),
                            "{name} {which:?} page {}: {clashes:#?}",
                            k + 1
                        );
                    }
                    if SAMPLES.contains(&name.as_str()) {
                        let most = if which == Which::RunCard { 1 } else { 2 };
                        let pages = sheet.document.pages.len();
                        assert!(
                            pages <= most,
                            "{name} {which:?} {paper:?} {shop:?}: {pages}"
                        );
                    }
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
fn the_run_card_says_what_is_set_and_predicted() {
    let b = sample("redshank");
    let study = derive(&b);
    let run = study.run.run.as_ref().unwrap();
    let plan = study.run.plan().unwrap();
    for shop in [Shop::default(), METRIC] {
        let sheet = Which::RunCard
            .make(&b, &study, &shop, Paper::Letter, DATE)
            .unwrap();
        let read = squeezed(&sheet.export(Format::Pdf).unwrap());
        let expect = |words: &str| assert!(read.contains(&squeeze(words)), "{words}\n{read}");
        let sixty = SlipReading::Clock(StripMark::SixtyFoot);
        let sigma = plan.bar(sixty).unwrap().sigma;
        expect(&format!(
            "{:.2} s ± {sigma:.2}",
            run.slip.reading(sixty).unwrap()
        ));
        for r in &study.rear.rods {
            expect(&units::format_kept(Kind::Length, r.length, &shop));
        }
        for c in &b.power.coilovers {
            expect(&units::format_kept(Kind::SpringRate, c.rate.si(), &shop));
        }
        expect(&units::format(
            Kind::RotationSpeed,
            b.run.launch.si(),
            &shop,
        ));
        for s in Seen::ALL {
            expect(s.words());
        }
        for w in [
            "run 1",
            "run 4",
            "Closed course only",
            "Brakes proven first",
            "insurance",
            "humidity",
            "clicks rear",
        ] {
            expect(w);
        }
    }
    let csv = Which::RunCard
        .make(&b, &study, &METRIC, Paper::A4, DATE)
        .unwrap();
    let csv = String::from_utf8(csv.export(Format::Csv).unwrap()).unwrap();
    let quarter = format!("{:.9}", run.slip.clock(StripMark::Quarter));
    assert!(csv.contains(quarter.trim_end_matches('0')), "{csv}");
    // No run: it says why.
    let b = Build::empty("Nothing");
    let study = derive(&b);
    let sheet = Which::RunCard
        .make(&b, &study, &METRIC, Paper::A4, DATE)
        .unwrap();
    assert!(texts(&sheet).join(" ").contains("nothing predicted: "));
}

#[test]
fn the_summary_names_phases_holds_findings_and_bands() {
    for name in SAMPLES {
        let b = sample(name);
        let study = derive(&b);
        let shop = Shop::default();
        let sheet = Which::BuildSummary
            .make(&b, &study, &shop, Paper::Letter, DATE)
            .unwrap();
        let read = squeezed(&sheet.export(Format::Pdf).unwrap());
        let expect =
            |words: &str| assert!(read.contains(&squeeze(words)), "{name}: {words}\n{read}");
        for (p, s) in b.phases.iter().zip(&study.phases) {
            expect(&format!("{}{} of {}", p.title, s.done, s.total));
        }
        let first_hold = b.phases.iter().zip(&study.phases).find_map(|(p, s)| {
            let mut list = p.checks.iter().zip(&s.checks);
            list.find(|(c, s)| c.hold && s.state != CheckState::Passed)
                .map(|(c, _)| c)
        });
        if let Some(c) = first_hold {
            let first: String = c.label.split_whitespace().take(3).collect();
            expect(&first);
        }
        for r in study
            .readings
            .iter()
            .filter(|r| r.band.is_some() && r.value.is_ok())
        {
            expect(&r.display(&shop));
            expect(&r.verdict(&shop));
        }
        if let Some(worst) = study.findings.first() {
            expect(worst.severity.word());
        }
        expect(&format!("rev {}", b.revision));
        expect(DATE);
        expect("builder");
    }
}
