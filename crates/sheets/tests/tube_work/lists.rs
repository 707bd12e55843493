//! What the sheets say, against the study and by hand.

use std::f64::consts::PI;

use build::{Assembly, Build, EndShape, StockBar, derive};
use sheets::{Format, Item, Paper, Which};
use units::{Angle, Fraction, Kind, Length, Shop, format_bare};

use super::builds::sample;
use super::made::{bent, node, round, tube, with};
use super::read::squeezed;
use super::{DATE, METRIC, SAMPLES, SHEETS, make, texts};

#[test]
fn the_cut_and_bend_sheet_says_every_tube() {
    for name in ["redshank", "whimbrel"] {
        let b = sample(name);
        let study = derive(&b);
        for shop in [Shop::INCH, METRIC] {
            let sheet = Which::CutAndBend
                .make(&b, &study, &shop, Paper::Letter, DATE)
                .unwrap();
            let read = squeezed(&sheet.export(Format::Pdf).unwrap());
            let fine = Shop {
                fraction: Fraction::Decimal,
                ..shop
            };
            let len = |m: f64| format_bare(Kind::Length, m, &fine);
            let has = |words: &str| {
                let want: String = words.split_whitespace().collect();
                assert!(read.contains(&want), "{name}: no {words:?}");
            };
            for (i, (t, s)) in b.assembly.tubes.iter().zip(&study.tubes.tubes).enumerate() {
                has(&format!("T{} {}", i + 1, t.label));
                let Ok(part) = &s.part else { continue };
                has(&len(part.cut));
                for x in &part.bends {
                    has(&len(x.from_a));
                    has(&len(x.from_b));
                    has(&len(x.straight));
                    has(&format!("{:.1}°", x.bend.angle.to_degrees()));
                    if let Ok(set) = x.set {
                        has(&format!("{:.1}°", set.to_degrees()));
                    }
                }
                for end in &part.ends {
                    if let EndShape::Cope(cut) = &end.shape
                        && cut.gap.is_none()
                        && let Ok(saw) = &cut.saw
                    {
                        has(&format!("{:.1}° from square", saw.from_square.to_degrees()));
                        has(&format!("cup at least {} deep", len(saw.cup_depth)));
                    }
                }
            }
            for words in [
                "Gloves",
                "hole saw grabs",
                "rule book",
                "never predicted",
                "checked by",
            ] {
                has(words);
            }
        }
    }
}

#[test]
fn turns_read_as_the_shop_does_them() {
    // Two bends out of one plane: legs +x, +y, +z. n1 = z, n2 = x; n1 × n2 = y = the leg between: +90°.
    let b = with(Assembly {
        nodes: vec![
            node("a", [0.0, 0.0, 0.0]),
            node("c1", [1.0, 0.0, 0.0]),
            node("c2", [1.0, 1.0, 0.0]),
            node("b", [1.0, 1.0, 1.0]),
        ],
        tubes: vec![bent(
            tube("right", "a", "b", round(0.03, 2e-3)),
            &["c1", "c2"],
            0.1,
        )],
        ..Assembly::default()
    });
    let sheet = make(&b, Which::CutAndBend, &METRIC, Paper::A4);
    let said = texts(&sheet).join(" ");
    assert!(said.contains("90.0° clockwise"), "{said}");
    // Its mirror image turns the other way.
    let mut m = b;
    for n in &mut m.assembly.nodes {
        let p = n.at.si();
        n.at = build::Place::from_si([p[0], -p[1], p[2]]);
    }
    let sheet = make(&m, Which::CutAndBend, &METRIC, Paper::A4);
    let said = texts(&sheet).join(" ");
    assert!(said.contains("90.0° anticlockwise"), "{said}");
    // Straights 1 − 0.1, 1 − 0.2, 1 − 0.1; arcs 0.1 π/2 each.
    let csv = String::from_utf8(sheet.export(Format::Csv).unwrap()).unwrap();
    let cut = 1000.0 * (0.9 + 0.8 + 0.9 + 0.1 * PI);
    assert!(csv.contains(&format!("{cut:.6}")), "{cut}: {csv}");
}

#[test]
fn the_cut_list_fits_its_bars() {
    for name in SAMPLES {
        let b = sample(name);
        let csv = make(&b, Which::CutList, &METRIC, Paper::A4)
            .export(Format::Csv)
            .unwrap();
        let mut reader = csv::Reader::from_reader(csv.as_slice());
        let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
        let study = derive(&b);
        let made = study.tubes.tubes.iter().filter(|t| t.part.is_ok()).count();
        assert_eq!(rows.len(), made, "{name}: every piece once");
        let (kerf, trim) = (1e3 * b.tube_work.kerf.si(), 1e3 * b.tube_work.trim.si());
        let number = |r: &csv::StringRecord, k: usize| r[k].parse::<f64>().unwrap();
        let mut bars: std::collections::BTreeMap<
            (String, String, String),
            Vec<&csv::StringRecord>,
        > = std::collections::BTreeMap::new();
        for r in rows.iter().filter(|r| r[11].is_empty()) {
            let key = (r[0].to_owned(), r[1].to_owned(), r[2].to_owned());
            bars.entry(key).or_default().push(r);
        }
        for (bar, pieces) in &bars {
            let room: f64 = pieces.iter().map(|r| number(r, 9) + kerf).sum();
            assert!(
                room <= number(pieces[0], 3) - trim + kerf + 1e-6,
                "{name} {bar:?}: {room}"
            );
            let left = number(pieces[0], 3) - trim - room;
            assert!(
                (number(pieces[0], 10) - left.max(0.0)).abs() < kerf + 1e-6,
                "{bar:?}"
            );
            let mut from: Vec<(f64, f64)> = pieces
                .iter()
                .map(|r| (number(r, 8), number(r, 9)))
                .collect();
            from.sort_by(|a, b| a.0.total_cmp(&b.0));
            for w in from.windows(2) {
                assert!(
                    w[0].0 + w[0].1 + kerf <= w[1].0 + 1e-6,
                    "{bar:?}: pieces overlap"
                );
            }
        }
    }
}

#[test]
fn what_is_missing_is_said() {
    let b = Build::empty("Nothing");
    for which in SHEETS {
        let sheet = make(&b, which, &METRIC, Paper::A4);
        let all = texts(&sheet).join(" ");
        assert!(all.contains("No tube is drawn"), "{which:?}: {all}");
        assert!(all.contains("rule book"), "{which:?}");
    }
    let mut b = sample("redshank");
    b.assembly.nodes.retain(|n| n.id != "seat_l");
    for which in SHEETS {
        let all = texts(&make(&b, which, &METRIC, Paper::A4)).join(" ");
        assert!(all.contains("seat_l"), "{which:?}: {all}");
    }
    // A bar too short is said where the bars stand.
    let mut b = sample("redshank");
    b.tube_work.stock = vec![StockBar {
        id: "short".into(),
        section: b.assembly.tubes[0].section,
        material: b.assembly.tubes[0].material.clone(),
        length: Length::from_si(0.2),
        count: None,
    }];
    let all = texts(&make(&b, Which::CutList, &METRIC, Paper::A4)).join(" ");
    assert!(all.contains("Not laid out"), "{all}");
    // A tube turned about its axis moves its scribe line, and the wrap with it.
    let mut b = sample("redshank");
    let before = make(&b, Which::CopeWraps, &METRIC, Paper::A4)
        .export(Format::Csv)
        .unwrap();
    for t in &mut b.assembly.tubes {
        t.turn = Angle::from_degrees(20.0);
    }
    let after = make(&b, Which::CopeWraps, &METRIC, Paper::A4)
        .export(Format::Csv)
        .unwrap();
    assert_ne!(before, after);
}

#[test]
fn the_frame_report_says_what_the_study_knows() {
    for name in ["redshank", "whimbrel"] {
        let b = sample(name);
        let study = derive(&b);
        let frame = &study.frame;
        for shop in [Shop::INCH, METRIC] {
            let sheet = Which::FrameReport
                .make(&b, &study, &shop, Paper::Letter, DATE)
                .unwrap();
            let read = squeezed(&sheet.export(Format::Pdf).unwrap());
            let has = |words: &str| {
                let want: String = words.split_whitespace().collect();
                assert!(read.contains(&want), "{name}: no {words:?} in {read}");
            };
            let twist = frame.twist.as_ref().unwrap();
            has(&format!(
                "Twist {}",
                units::format(Kind::RollStiffness, frame.shown(twist.stiffness), &shop)
            ));
            for r in study
                .readings
                .iter()
                .filter(|r| r.id().starts_with("frame."))
            {
                if r.value.is_ok() {
                    has(&r.display(&shop));
                }
            }
            for p in &twist.curve {
                has(&p.label);
                has(&format!("{:.3}°", p.phi.to_degrees()).replace('-', "−"));
            }
            for s in &frame.tubes {
                has(&format!(
                    "T{} {}",
                    s.tube + 1,
                    b.assembly.tubes[s.tube].label
                ));
            }
            let launch = frame.launch.as_ref().unwrap();
            for r in launch.reserves.iter().flatten() {
                has(&units::format(Kind::Pressure, r.von_mises, &shop));
            }
            for p in frame.braces().unwrap().places.iter().take(5) {
                has(&units::format(Kind::RollStiffness, p.tried.gain, &shop));
            }
            for words in [
                "Linear analysis, joints taken as rigid",
                "no crash, roll-over or fatigue prediction",
                "The current rule book decides roll structures",
                "What was assumed",
            ] {
                has(words);
            }
            // The curve as drawn: its corners stand as the twists do.
            let page = sheet
                .document
                .pages
                .iter()
                .find(|p| {
                    p.items
                        .iter()
                        .any(|i| matches!(i, Item::Text(t) if t.text == "Twist along the frame"))
                })
                .unwrap();
            let n = twist.curve.len();
            let drawn = page.items.iter().any(|i| match i {
                Item::Polyline { points, pen } if points.len() == n && pen.width > 0.5 => {
                    let (first, last) = (points[0], points[n - 1]);
                    let (a, z) = (&twist.curve[0], &twist.curve[n - 1]);
                    points.iter().zip(&twist.curve).all(|(p, q)| {
                        let x = first.x + (last.x - first.x) * (q.x - a.x) / (z.x - a.x);
                        let y = first.y + (last.y - first.y) * (q.phi - a.phi) / (z.phi - a.phi);
                        (p.x - x).abs() < 1e-6 && (p.y - y).abs() < 1e-6
                    })
                }
                _ => false,
            });
            assert!(drawn, "{name}: the curve is not drawn to scale");
        }
    }
    let sheet = make(
        &Build::empty("Nothing"),
        Which::FrameReport,
        &METRIC,
        Paper::A4,
    );
    assert!(texts(&sheet).contains(&"No frame yet"));
    // A frame without its test named says what to name, and keeps the rest.
    let mut b = sample("redshank");
    b.frame_test.front = None;
    let sheet = make(&b, Which::FrameReport, &METRIC, Paper::A4);
    assert!(
        texts(&sheet).contains(&"No twist stiffness"),
        "{:?}",
        texts(&sheet)
    );
}
