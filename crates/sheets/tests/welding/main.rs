//! The sheets of the weld-out: nothing touches, every number is the study's, nothing is missing, nothing panics.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod odd;

#[path = "../placement/builds.rs"]
#[allow(dead_code)]
mod builds;
#[path = "../placement/read.rs"]
#[allow(dead_code)]
mod read;

use build::{Build, Correction, Material, Stage, Study, derive};
use builds::sample;
use odd::{all, ladder, nasty};
use read::squeezed;
use sheets::{Format, Item, Page, Paper, Sheet, SheetError, Which, check_page, lines_through_text};
use units::{Fraction, Length, Pressure, Shop, System, format_fine, parse_typed};

const DATE: &str = "25 Nov 2026";
const SHEETS: [Which; 3] = [Which::WeldOrder, Which::DimensionRecord, Which::BeadCard];
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

fn make(which: Which, build: &Build, shop: &Shop, paper: Paper) -> Sheet {
    which
        .make(build, &derive(build), shop, paper, DATE)
        .unwrap()
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

fn whole(sheet: &Sheet) -> String {
    let all: Vec<&str> = sheet.document.pages.iter().flat_map(texts).collect();
    all.join(" ")
}

fn squeeze(text: &str) -> String {
    text.split_whitespace().collect()
}

/// Rows of a sheet's CSV with their heads.
fn records(sheet: &Sheet) -> (Vec<String>, Vec<Vec<String>>) {
    let bytes = sheet.export(Format::Csv).unwrap();
    let mut reader = csv::Reader::from_reader(bytes.as_slice());
    let head = reader
        .headers()
        .unwrap()
        .iter()
        .map(str::to_owned)
        .collect();
    let rows = reader
        .records()
        .map(|r| r.unwrap().iter().map(str::to_owned).collect())
        .collect();
    (head, rows)
}

fn field(head: &[String], row: &[String], name: &str) -> String {
    let k = head
        .iter()
        .position(|h| h == name)
        .unwrap_or_else(|| panic!("no column {name}: {head:?}"));
    row[k].clone()
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
    for (name, build) in &all() {
        let study = derive(build);
        for which in SHEETS {
            // The slow one in two dresses only.
            let shops = if *name == "three hundred joints" {
                vec![Shop::INCH, Shop::METRIC]
            } else {
                shops()
            };
            for shop in shops {
                let sheet = which
                    .make(build, &study, &shop, paper, DATE)
                    .unwrap_or_else(|e| panic!("{which:?} {name} {paper:?} {shop:?}: {e}"));
                for (k, page) in sheet.document.pages.iter().enumerate() {
                    let clashes: Vec<String> = check_page(page)
                        .into_iter()
                        .chain(lines_through_text(page))
                        .map(|c| format!("{:?} {}", c.kind, c.detail))
                        .collect();
                    assert!(
                        clashes.is_empty(),
                        "{which:?} {name} {paper:?} {shop:?} page {}: {clashes:#?}",
                        k + 1
                    );
                }
                assert!(!whole(&sheet).contains("NaN"), "{which:?} {name}");
                if *name == "redshank" {
                    assert!(
                        sheet.document.pages.len() <= 2,
                        "{which:?} {paper:?} {shop:?}"
                    );
                    assert!(!whole(&sheet).contains('…'), "{which:?} {paper:?} {shop:?}");
                }
            }
            let sheet = which.make(build, &study, &Shop::INCH, paper, DATE).unwrap();
            assert!(sheet.export(Format::Pdf).unwrap().starts_with(b"%PDF"));
            let svg = String::from_utf8(sheet.export(Format::Svg).unwrap()).unwrap();
            roxmltree::Document::parse(&svg).unwrap();
            records(&sheet);
        }
    }
}

/// The words of the PDF hold these, one after the other, without spaces.
fn expect(read: &str, parts: &[String]) {
    let want = squeeze(&parts.concat());
    assert!(read.contains(&want), "no {want:?} in {read}");
}

/// The coarsest form from the shop's own on that is right, else thousandths.
fn kept(si: f64, shop: &Shop) -> String {
    let from = FRACTIONS.iter().position(|f| *f == shop.fraction).unwrap();
    for fraction in &FRACTIONS[from..] {
        let shop = Shop {
            fraction: *fraction,
            ..*shop
        };
        let text = units::format_bare(units::Kind::Length, si, &shop);
        if parse_typed(units::Kind::Length, &text, &shop).is_ok_and(|v| (v - si).abs() < 1e-7) {
            return text;
        }
    }
    bare_fine(si, shop)
}

fn bare_fine(si: f64, shop: &Shop) -> String {
    let text = format_fine(units::Kind::Length, si, shop);
    text.trim_end_matches('"')
        .trim_end_matches(" mm")
        .to_owned()
}

fn signed(si: f64, shop: &Shop) -> String {
    let text = bare_fine(si.abs(), shop);
    if text.bytes().all(|b| b == b'0' || b == b'.') {
        return text;
    }
    format!("{}{text}", if si > 0.0 { "+" } else { "−" })
}

#[test]
fn the_weld_order_says_what_the_study_says() {
    let build = sample("redshank");
    let study = derive(&build);
    let order = study.weld.order.as_ref().unwrap();
    for paper in Paper::ALL {
        for shop in [Shop::INCH, Shop::METRIC] {
            let sheet = Which::WeldOrder
                .make(&build, &study, &shop, paper, DATE)
                .unwrap();
            let text = squeeze(&whole(&sheet));
            let read = squeezed(&sheet.export(Format::Pdf).unwrap());
            for words in [
                "Weld order",
                DATE,
                &build.name,
                "from behind",
                "from above",
                "helmet",
                "zinc",
                "Fire watch",
                "Cylinder chained",
                "Closed tubes vented",
                "qualified people only",
                "rule book decides on roll structures",
                "checked by, date",
                "all welded and cold",
                "will do",
                "Other joints of the log",
            ] {
                expect(&read, &[words.to_owned()]);
            }
            for (step, place) in order.joints.iter().enumerate() {
                let whole_number = (step + 1).to_string();
                let rows = sheet.document.pages.iter().flat_map(texts);
                // Joints behind one another in a view share a mark: "3, 5".
                let marks = rows.filter(|t| t.split(", ").any(|x| x == whole_number));
                assert!(marks.count() >= 3, "{step}");
                let j = &build.fit_up.joints[*place];
                expect(
                    &read,
                    &[(step + 1).to_string(), j.id.clone(), j.label.clone()],
                );
                let joins = j.joins.as_ref().unwrap();
                let part = |id: &str| build.assembly.part_label(id).unwrap().to_owned();
                expect(
                    &text,
                    &[part(&joins.part), " on ".into(), part(&joins.onto)],
                );
                // Value and band of every drift stand one under the other.
                for d in &order.steps[step].dimensions {
                    let half = 0.5 * (d.high - d.low);
                    let cell = [
                        signed(d.drift, &shop),
                        format!("±{}", bare_fine(half, &shop)),
                    ];
                    expect(&text, &cell);
                }
            }
            // Joints of the log that nobody drew are welded as well.
            for id in ["J1", "J2", "J3", "J4", "J5"] {
                expect(&read, &[id.to_owned()]);
            }
        }
    }
}

#[test]
fn a_joint_still_to_be_measured_after_has_a_line_and_a_measured_one_its_reading() {
    let mut build = sample("redshank");
    for j in &mut build.fit_up.joints {
        j.welded = None;
    }
    let study = derive(&build);
    let order = study.weld.order.as_ref().unwrap();
    let sheet = make(Which::WeldOrder, &build, &Shop::INCH, Paper::Letter);
    let text = whole(&sheet);
    let mut want = std::collections::BTreeMap::<usize, Vec<usize>>::new();
    for (k, m) in order.measure.iter().enumerate() {
        want.entry(m.unwrap())
            .or_default()
            .push(order.dimensions[k]);
    }
    for list in want.values() {
        let letters: Vec<String> = list
            .iter()
            .map(|d| char::from(b'A' + *d as u8).to_string())
            .collect();
        assert!(
            text.contains(&format!("measure now: {}", letters.join(", "))),
            "{text}"
        );
    }
    assert!(!text.contains("not on record"));
    assert!(text.contains("measured 27 15/32") && text.contains("0 of 10 welded"));
    // Seven of ten joints were welded without a reading that was asked for.
    let text = whole(&make(
        Which::WeldOrder,
        &sample("redshank"),
        &Shop::INCH,
        Paper::Letter,
    ));
    assert!(text.contains("not on record: A, C") && !text.contains("measure now: A, C"));
}

#[test]
fn gaps_grow_the_leg_or_stop_the_weld() {
    let (_, build) = nasty()
        .into_iter()
        .find(|(n, _)| *n == "wide gaps, no arc")
        .unwrap();
    let text = whole(&make(Which::WeldOrder, &build, &Shop::INCH, Paper::Letter));
    // AWS D1.1: a gap of 1/8 asks for 3/16 + 1/8 = 5/16; one of 1/4 is past the limit of 3/16.
    assert!(text.contains("5/16 for 3/16"), "{text}");
    assert!(text.contains("1/4 at 12 TOO WIDE"), "{text}");
    assert!(text.contains("3 passes") && text.contains("MIG, free"));
    assert!(text.contains("write volts, amps, travel and wire for it"));
    let (head, rows) = records(&make(Which::WeldOrder, &build, &Shop::INCH, Paper::Letter));
    let of = |id: &str| {
        rows.iter()
            .find(|r| field(&head, r, "joint") == id)
            .unwrap()
    };
    assert_eq!(field(&head, of("C2"), "leg required in"), "0.3125");
    assert_eq!(field(&head, of("C1"), "verdict"), "reject");
}

#[test]
fn the_dimension_record_says_what_the_study_says() {
    let build = sample("redshank");
    let study = derive(&build);
    for shop in shops() {
        let sheet = Which::DimensionRecord
            .make(&build, &study, &shop, Paper::Letter, DATE)
            .unwrap();
        let text = squeeze(&whole(&sheet));
        let read = squeezed(&sheet.export(Format::Pdf).unwrap());
        for words in [
            "Dimension record",
            "The shop's factors",
            "from 2 readings of this shop",
            "set up",
            "tacked",
            "welded, cold",
            "corrected",
            "after C8",
            "after 2 beads",
            "ISO 13920 A",
            "record complete, date",
            "Notes",
        ] {
            expect(&read, &[words.to_owned()]);
        }
        for (d, s) in build.weld_out.dimensions.iter().zip(&study.weld.dimensions) {
            expect(&read, std::slice::from_ref(&d.label));
            expect(&text, &[kept(d.want.si(), &shop), "±".into()]);
            expect(&text, &[kept(s.drawn.unwrap(), &shop)]);
            let p = s.whole.as_ref().unwrap();
            let range = [
                signed(p.change, &shop),
                signed(p.low, &shop),
                "to".into(),
                signed(p.high, &shop),
            ];
            expect(&text, &range);
            // The allowance is the prediction turned round, to the step the shop shows.
            let step = units::step(units::Kind::Length, &shop);
            let allowance = s.set_long(step).unwrap();
            let off = allowance + p.change;
            assert!(off.abs() <= 0.5 * step + 1e-9, "{off} {step}");
            let words = if allowance == 0.0 {
                "none".to_owned()
            } else {
                let shown = units::format_bare(units::Kind::Length, allowance.abs(), &shop);
                format!(
                    "set {shown} {}",
                    if allowance > 0.0 { "long" } else { "short" }
                )
            };
            expect(&text, &[words]);
            for r in &d.readings {
                expect(
                    &text,
                    &[
                        kept(r.value.si(), &shop),
                        signed(r.value.si() - d.want.si(), &shop),
                    ],
                );
            }
        }
    }
}

#[test]
fn the_record_in_csv_reads_back() {
    let build = sample("redshank");
    let study = derive(&build);
    for (shop, metres) in [(Shop::INCH, 0.0254), (Shop::METRIC, 1e-3)] {
        let sheet = Which::DimensionRecord
            .make(&build, &study, &shop, Paper::A4, DATE)
            .unwrap();
        let (head, rows) = records(&sheet);
        for (d, s) in build.weld_out.dimensions.iter().zip(&study.weld.dimensions) {
            let mine: Vec<_> = rows
                .iter()
                .filter(|r| field(&head, r, "dimension") == d.label)
                .collect();
            assert!(mine.len() >= 4, "{}", d.label);
            let number = |name: &str| field(&head, mine[0], name).parse::<f64>().unwrap() * metres;
            assert!((number("wanted") - d.want.si()).abs() < 1e-10);
            assert!((number("as drawn") - s.drawn.unwrap()).abs() < 1e-10);
            assert!((number("predicted change") - s.whole.as_ref().unwrap().change).abs() < 1e-10);
            assert!((number("tolerance") - s.tolerance.unwrap()).abs() < 1e-10);
            let read = mine
                .iter()
                .filter(|r| !field(&head, r, "measured").is_empty())
                .count();
            let beads = build
                .weld_out
                .corrections
                .iter()
                .filter(|c| c.dimension == d.id)
                .map(|c| c.laid.len())
                .sum::<usize>();
            assert_eq!(read, d.readings.len() + beads);
        }
        // The last bead left the towers short: 27.547 against 27 5/8.
        let last = rows
            .iter()
            .find(|r| field(&head, r, "measured when") == "after 2 beads")
            .unwrap();
        assert!(
            (field(&head, last, "off").parse::<f64>().unwrap() * metres + 0.078 * 0.0254).abs()
                < 1e-9
        );
        assert!(field(&head, last, "verdict").starts_with("out"));
    }
}

#[test]
fn the_bead_card_says_what_the_plan_says() {
    let build = sample("redshank");
    let study: Study = derive(&build);
    let plan = study.weld.corrections[0].plan.as_ref().unwrap();
    let advice = plan.next();
    for paper in Paper::ALL {
        for shop in shops() {
            let sheet = Which::BeadCard
                .make(&build, &study, &shop, paper, DATE)
                .unwrap();
            let text = squeeze(&whole(&sheet));
            let read = squeezed(&sheet.export(Format::Pdf).unwrap());
            for words in [
                "Bead card",
                "Towers, eye to eye",
                &format!("Lay {} beads on the left face of Tower, left", advice.lay),
                "Let it cool to the hand. Measure. Write it down.",
                "When to stop",
                "Dress flush on mild steel only",
                "Look for cracks after correction",
                "beads laid",
                "opposite face",
                "what holds it",
                "a smaller bead",
                "looked for cracks",
                "stringer across the tube",
            ] {
                expect(&read, &[words.to_owned()]);
            }
            for (k, x) in plan.forecast(advice.lay).iter().enumerate().skip(1) {
                let half = 0.5 * (x.high - x.low);
                let number = (plan.beads_laid() as usize + k).to_string();
                expect(
                    &text,
                    &[
                        number,
                        "Tower,left".into(),
                        bare_fine(x.mean, &shop),
                        format!("±{}", bare_fine(half, &shop)),
                    ],
                );
            }
            let mut before = plan.job().first_reading;
            for m in plan.moves() {
                let at = m.reading.measured;
                expect(
                    &text,
                    &[kept(at, &shop), signed(at - before, &shop), "yes".into()],
                );
                before = at;
            }
        }
    }
    let (head, rows) = records(&make(Which::BeadCard, &build, &Shop::INCH, Paper::Letter));
    let laid: Vec<_> = rows
        .iter()
        .filter(|r| field(&head, r, "what") == "laid")
        .collect();
    assert_eq!(laid.len(), 2);
    // 27 15/32 to 27.509 to 27.547.
    let moved: Vec<f64> = laid
        .iter()
        .map(|r| field(&head, r, "moved").parse().unwrap())
        .collect();
    assert!(
        (moved[0] - 0.040_25).abs() < 1e-6 && (moved[1] - 0.038).abs() < 1e-6,
        "{moved:?}"
    );
    assert!(rows.iter().any(|r| field(&head, r, "what") == "to come"));
}

/// Lines to write on and boxes to tick.
fn places_to_write(sheet: &Sheet) -> usize {
    let dim = [sheets::Ink::Rule, sheets::Ink::Dim];
    sheet
        .document
        .pages
        .iter()
        .flat_map(|p| &p.items)
        .filter(|i| match i {
            Item::Line { from, to, pen } => dim.contains(&pen.ink) && (from.y - to.y).abs() < 1e-9,
            Item::Rect { w, h, .. } => (w - 2.3).abs() < 1e-6 && (h - 2.3).abs() < 1e-6,
            _ => false,
        })
        .count()
}

#[test]
fn a_refused_material_gets_no_plan_and_nothing_to_fill_in() {
    let (_, build) = nasty().into_iter().find(|(n, _)| *n == "chromoly").unwrap();
    for paper in Paper::ALL {
        let sheet = make(Which::BeadCard, &build, &Shop::INCH, paper);
        let read = squeezed(&sheet.export(Format::Pdf).unwrap());
        for words in [
            "NO PLAN",
            "4130",
            "chromium-molybdenum by name",
            "hard, brittle zone that cracks",
            "Lay no bead on it",
        ] {
            expect(&read, &[words.to_owned()]);
        }
        assert_eq!(sheet.document.pages.len(), 1);
        assert_eq!(places_to_write(&sheet), 0);
        for words in ["Let it cool", "expected after it", "Graph"] {
            assert!(!read.contains(&squeeze(words)), "{words}");
        }
        let (head, rows) = records(&sheet);
        assert_eq!(rows.len(), 1);
        assert_eq!(field(&head, &rows[0], "what"), "no plan");
        assert!(field(&head, &rows[0], "why there is no plan").contains("chromium-molybdenum"));
    }
    // A material that nobody knows is refused as well.
    let mut build = sample("redshank");
    build.assembly.materials.push(Material {
        id: "shed".into(),
        label: "found in the shed".into(),
        family: build::Family::Steel,
        yield_strength: Pressure::from_si(3e8),
        modulus: None,
        shear_modulus: None,
        density: None,
        mill_sheet: None,
    });
    for t in &mut build.assembly.tubes {
        t.material = "shed".into();
    }
    let text = whole(&make(Which::BeadCard, &build, &Shop::INCH, Paper::Letter));
    assert!(text.contains("NO PLAN") && text.contains("composition unknown"));
    assert!(
        places_to_write(&make(
            Which::BeadCard,
            &sample("redshank"),
            &Shop::INCH,
            Paper::Letter
        )) > 10
    );
}

#[test]
fn stopped_jobs_say_stop() {
    let mut build = sample("redshank");
    let with = |build: &mut Build, f: &dyn Fn(&mut Correction)| {
        let mut b = build.clone();
        f(&mut b.weld_out.corrections[0]);
        whole(&make(Which::BeadCard, &b, &Shop::INCH, Paper::Letter))
    };
    let inch = Length::from_inches;
    let text = with(&mut build, &|c| c.laid[1].value = inch(27.625));
    assert!(text.contains("DONE: within its tolerance") && text.contains("nothing to be laid"));
    let text = with(&mut build, &|c| c.laid[1].value = inch(27.80));
    assert!(text.contains("STOP: past its target"), "{text}");
    let text = with(&mut build, &|c| {
        for x in &mut c.laid {
            x.value = c.start;
        }
        let more = c.laid[1].clone();
        c.laid.extend(std::iter::repeat_n(more, 6));
    });
    assert!(text.contains("STOP: beads do not move it"), "{text}");
}

#[test]
fn corrections_have_a_card_each() {
    let (_, build) = nasty()
        .into_iter()
        .find(|(n, _)| *n == "many corrections")
        .unwrap();
    let sheet = make(Which::BeadCard, &build, &Shop::INCH, Paper::Letter);
    let count = build.weld_out.corrections.len();
    let pages: Vec<String> = sheet
        .document
        .pages
        .iter()
        .map(|p| texts(p).join(" "))
        .collect();
    for k in 1..=count {
        let mine = format!("card {k} of {count}");
        assert_eq!(
            pages.iter().filter(|p| p.contains(&mine)).count(),
            1,
            "{mine}"
        );
    }
}

#[test]
fn what_is_missing_is_said() {
    for paper in Paper::ALL {
        for shop in [Shop::INCH, Shop::METRIC] {
            let empty = Build::empty("Nothing yet");
            for (which, words) in [
                (Which::WeldOrder, "No assembly is drawn"),
                (Which::DimensionRecord, "No control dimension is entered"),
                (Which::DimensionRecord, "No assembly is drawn"),
                (Which::BeadCard, "No correction beads are planned"),
                (Which::BeadCard, "What to do"),
            ] {
                let sheet = make(which, &empty, &shop, paper);
                assert_eq!(sheet.document.pages.len(), 1, "{which:?}");
                assert!(whole(&sheet).contains(words), "{which:?}: {words}");
            }
        }
    }
    let mut b = sample("redshank");
    b.weld_out.corrections.clear();
    let text = whole(&make(Which::BeadCard, &b, &Shop::INCH, Paper::Letter));
    assert!(
        text.contains("Past its tolerance now: A Towers, eye to eye, 0.156 short"),
        "{text}"
    );
    for j in &mut b.fit_up.joints {
        j.joins = None;
    }
    let text = whole(&make(Which::WeldOrder, &b, &Shop::INCH, Paper::Letter));
    assert!(text.contains("No joint of the fit-up log names the parts it joins"));
    b.fit_up.joints.clear();
    let text = whole(&make(Which::WeldOrder, &b, &Shop::INCH, Paper::Letter));
    assert!(text.contains("The fit-up log has no joints"));
}

#[test]
fn three_hundred_joints_go_over_pages_with_their_heads() {
    let build = ladder(300);
    let study = derive(&build);
    assert_eq!(study.weld.order.as_ref().unwrap().joints.len(), 300);
    let sheet = Which::WeldOrder
        .make(&build, &study, &Shop::INCH, Paper::Letter, DATE)
        .unwrap();
    let pages: Vec<_> = sheet.document.pages.iter().map(texts).collect();
    assert!(pages.len() > 10);
    let heads = pages
        .iter()
        .filter(|p| p.contains(&"worst gap") || p.contains(&"welded by, when"))
        .count();
    assert!(heads >= pages.len() - 2, "{heads} of {}", pages.len());
    let (head, rows) = records(&sheet);
    assert_eq!(rows.len(), 300);
    let steps: Vec<usize> = rows
        .iter()
        .map(|r| field(&head, r, "step").parse().unwrap())
        .collect();
    assert!(steps.iter().copied().eq(1..=300));
    // No number is broken over two lines.
    for step in 1..=300 {
        let step = step.to_string();
        assert!(
            pages.iter().flatten().any(|t| *t == step),
            "step {step} stands whole"
        );
    }
    let text = squeezed(&sheet.export(Format::Pdf).unwrap());
    for k in 0..150 {
        assert!(text.contains(&squeeze(&format!("rung {k}, l"))), "rung {k}");
    }
}

/// Tubes are drawn at their true width at the scale said.
#[test]
fn tubes_have_their_true_width() {
    let build = sample("redshank");
    let sheet = make(Which::DimensionRecord, &build, &Shop::INCH, Paper::Letter);
    let text = whole(&sheet);
    let scale: f64 = text
        .split("scale 1 : ")
        .nth(1)
        .unwrap()
        .split(' ')
        .next()
        .unwrap()
        .parse()
        .unwrap();
    // The upper bar lies across: from behind it is a rectangle 25.5546 in long and 1 1/4 high.
    let (long, high) = (25.5546 * 25.4 / scale, 1.25 * 25.4 / scale);
    let found = sheet.document.pages[0].items.iter().any(|i| match i {
        Item::Polygon {
            points,
            pen: Some(_),
            ..
        } => {
            let x = points.iter().map(|p| p.x);
            let y = points.iter().map(|p| p.y);
            let w = x.clone().fold(f64::MIN, f64::max) - x.fold(f64::MAX, f64::min);
            let h = y.clone().fold(f64::MIN, f64::max) - y.fold(f64::MAX, f64::min);
            (w - long).abs() < 0.02 && (h - high).abs() < 0.02
        }
        _ => false,
    });
    assert!(found, "scale 1 : {scale}");
}

#[test]
fn same_build_same_bytes() {
    let build = sample("redshank");
    for which in SHEETS {
        for f in [Format::Pdf, Format::Svg, Format::Csv] {
            let once = || {
                make(which, &build, &Shop::INCH, Paper::A4)
                    .export(f)
                    .unwrap()
            };
            assert_eq!(once(), once());
        }
    }
}

#[test]
fn numbers_that_are_none_are_not_printed() {
    let mut build = sample("redshank");
    build.assembly.nodes[4].at.station = Length::from_si(f64::NAN);
    build.weld_out.dimensions[0].want = Length::from_si(f64::NAN);
    build.weld_out.dimensions[1].readings[0].value = Length::from_si(f64::INFINITY);
    build.weld_out.corrections[0].start = Length::from_si(f64::NAN);
    build.weld_out.corrections[0].bead.length = Length::from_si(f64::NAN);
    build.fit_up.joints[5].leg = Length::from_si(f64::NAN);
    build.weld_out.gas.pressure = Pressure::from_si(f64::NAN);
    let study = derive(&build);
    for which in SHEETS {
        match which.make(&build, &study, &Shop::INCH, Paper::Letter, DATE) {
            Ok(sheet) => {
                // Only a reason may name it: "the target is NaN".
                let text = whole(&sheet);
                let reasons = study
                    .weld
                    .corrections
                    .iter()
                    .filter_map(|c| c.plan.as_ref().err());
                let said: usize = reasons
                    .map(|why| why.show(&Shop::INCH).matches("NaN").count())
                    .sum();
                let found = text.matches("NaN").count();
                assert!(
                    found == if which == Which::BeadCard { said } else { 0 },
                    "{which:?} {text}"
                );
                assert!(!text.contains("inf "), "{which:?}");
                let bytes = sheet.export(Format::Pdf);
                assert!(
                    matches!(bytes, Ok(_) | Err(SheetError::NotFinite { .. })),
                    "{which:?}"
                );
            }
            Err(e) => assert!(matches!(e, SheetError::TooLarge { .. }), "{e}"),
        }
    }
}

#[test]
fn a_reading_after_a_joint_stands_under_it() {
    let mut build = sample("redshank");
    build.weld_out.dimensions[1]
        .readings
        .push(build::DimensionReading {
            stage: Stage::After("C9".into()),
            value: Length::from_inches(31.96875),
            who: "TB".into(),
            when: "2026-05-04 09:00".into(),
            note: "clamp still on".into(),
        });
    let text = whole(&make(Which::WeldOrder, &build, &Shop::INCH, Paper::Letter));
    assert!(text.contains("measured 31 31/32"), "{text}");
    let text = whole(&make(
        Which::DimensionRecord,
        &build,
        &Shop::INCH,
        Paper::Letter,
    ));
    for words in [
        "after C9",
        "31 31/32",
        "clamp still on",
        "TB 2026-05-04 09:00",
    ] {
        assert!(text.contains(words), "{words}");
    }
}
