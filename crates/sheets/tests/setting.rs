//! The setting sheet: nothing touches, every number is the study's, and the hole in use is the right one.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

#[path = "placement/builds.rs"]
mod builds;
#[path = "placement/read.rs"]
#[allow(dead_code)]
mod read;

use build::{Bracket, Build, Case, Preload, Side, Sides, Study, definition, derive};
use builds::{nasty, sample};
use read::{attr, paths, squeezed};
use sheets::{
    Format, Item, Page, Paper, Sheet, SheetError, check_page, lines_through_text, setting, svg,
};
use units::{Fraction, Kind, Length, Shop, System, format, format_kept};

const DATE: &str = "25 Nov 2026";
const SAMPLES: [&str; 3] = ["redshank", "whimbrel", "faulty"];
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
    setting(build, &derive(build), shop, paper, DATE).unwrap()
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

/// The words of the sheet in drawing order, wrapped lines joined.
fn whole(sheet: &Sheet) -> String {
    every_text(sheet).join(" ")
}

fn squeeze(text: &str) -> String {
    text.split_whitespace().collect()
}

/// Brackets a link is bolted to, in the build's order: those the sheet draws.
fn drawn(build: &Build) -> Vec<&Bracket> {
    let used = |b: &&Bracket| {
        build
            .rear
            .links
            .iter()
            .any(|l| l.at_frame.bracket == b.id || l.at_axle.bracket == b.id)
    };
    build.rear.brackets.iter().filter(used).collect()
}

/// Builds that strain the parts this sheet has and the placement sheet has not.
fn more() -> Vec<(String, Build)> {
    let red = sample("redshank");
    let mut out = Vec::new();
    let mut add = |name: &str, b: Build| out.push((name.to_owned(), b));

    let mut b = red.clone();
    b.power.coilovers.clear();
    add("no coil-overs", b);

    let mut b = red.clone();
    b.rear.links.clear();
    add("no links", b);

    let mut b = red.clone();
    b.power.coilovers[0].preload = Some(Preload {
        left: Length::from_inches(1.5),
        right: Length::from_inches(2.25),
    });
    b.rear.links[0].at_frame.right_hole = Some(3);
    add("unlike sides", b);

    let mut b = red.clone();
    b.power.coilovers[0].sides = Sides::Single;
    b.power.coilovers[0].label = "the one in the middle, with a label of some length 🔩".into();
    add("one coil-over", b);

    let mut b = red.clone();
    let coil = b.power.coilovers[0].clone();
    for k in 0..24 {
        let mut c = coil.clone();
        c.id = format!("c{k}");
        c.label = format!("coil-over {k}");
        b.power.coilovers.push(c);
    }
    add("many coil-overs", b);

    let mut b = red;
    let (link, bracket) = (b.rear.links[0].clone(), b.rear.brackets[0].clone());
    for k in 0..50 {
        let (mut l, mut x) = (link.clone(), bracket.clone());
        x.id = format!("x{k}");
        x.label = format!("bracket {k}");
        l.id = format!("l{k}");
        l.label = format!("link {k}");
        l.at_frame.bracket.clone_from(&x.id);
        b.rear.brackets.push(x);
        b.rear.links.push(l);
    }
    add("many links", b);
    out
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
    let mut builds: Vec<(String, Build)> = SAMPLES.map(|n| (n.to_owned(), sample(n))).into();
    builds.push(("empty".into(), Build::empty("Nothing")));
    builds.extend(nasty());
    builds.extend(more());
    for (name, build) in &builds {
        let study = derive(build);
        for shop in shops() {
            let sheet = setting(build, &study, &shop, paper, DATE)
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
            if SAMPLES.contains(&name.as_str()) {
                assert!(sheet.document.pages.len() <= 2, "{name} {paper:?} {shop:?}");
                // Nothing of the samples is cut off either.
                let cut: Vec<_> = every_text(&sheet)
                    .into_iter()
                    .filter(|t| t.ends_with('…'))
                    .map(str::to_owned)
                    .collect();
                assert!(cut.is_empty(), "{name} {paper:?} {shop:?}: {cut:?}");
            }
        }
        let sheet = make(build, &Shop::INCH, paper);
        assert!(sheet.export(Format::Pdf).unwrap().starts_with(b"%PDF"));
        let svg = String::from_utf8(sheet.export(Format::Svg).unwrap()).unwrap();
        roxmltree::Document::parse(&svg).unwrap();
        sheet.export(Format::Csv).unwrap();
    }
}

fn side_word(side: Side) -> &'static str {
    match side {
        Side::Left => "left",
        Side::Right => "right",
        Side::Both => "one",
    }
}

fn part(id: &str, side: Side) -> String {
    match side {
        Side::Left => format!("{id}.left"),
        Side::Right => format!("{id}.right"),
        Side::Both => id.to_owned(),
    }
}

/// A reading as the study shows it.
fn shown(study: &Study, id: &str, shop: &Shop) -> String {
    study
        .reading(id)
        .unwrap_or_else(|| panic!("no reading {id}"))
        .display(shop)
}

#[test]
fn the_pdf_says_what_the_study_says() {
    for name in SAMPLES {
        let build = sample(name);
        let study = derive(&build);
        for paper in Paper::ALL {
            for shop in shops()
                .into_iter()
                .filter(|s| paper == Paper::Letter || s.fraction == Fraction::default())
            {
                let sheet = setting(&build, &study, &shop, paper, DATE).unwrap();
                let read = squeezed(&sheet.export(Format::Pdf).unwrap());
                let expect = |parts: &[String]| {
                    let want = squeeze(&parts.concat());
                    assert!(
                        read.contains(&want),
                        "{name} {paper:?} {shop:?}: no {want:?}"
                    );
                };
                for words in [
                    "Setting sheet",
                    DATE,
                    &build.name,
                    &format!("rev {}", build.revision),
                    "date run",
                    "track or place",
                    "who",
                    "weather",
                    "as set",
                    "clicks, bump",
                    "clicks, rebound",
                    "60 ft",
                    "1/8 mile",
                    "1/4 mile",
                    "change next",
                    "notes",
                    "seat to seat",
                    "spun",
                    "bogged",
                    "stood up",
                    "pulled left",
                    "pulled right",
                    "hit the stop",
                    "LF",
                    "RF",
                    "LR",
                    "RR",
                    "Compressed springs",
                    "Driveshaft loop",
                    "safe place",
                    "The current rule book and licensed practice decide, not this program.",
                ] {
                    expect(&[words.to_owned()]);
                }
                links_and_loads(&build, &study, &shop, &expect);
                for c in &study.launch.coilovers {
                    let x = &build.power.coilovers[c.coilover];
                    let id = part(&x.id, c.side);
                    expect(&[
                        side_word(c.side).to_owned(),
                        format_kept(Kind::SpringRate, x.rate.si(), &shop),
                        shown(&study, &format!("spring.preload.{id}"), &shop),
                        shown(&study, &format!("spring.seat.{id}"), &shop),
                        format_kept(Kind::Length, c.length, &shop),
                    ]);
                }
                for (id, label) in [
                    ("rear.anti_squat", "anti-squat"),
                    ("rear.ic.station", "instant centre ahead"),
                    ("rear.ic.height", "instant centre up"),
                    ("rear.roll_steer", "roll steer"),
                    ("rear.pinion.change", "pinion over travel"),
                    ("spring.frequency.front", "front ride frequency"),
                    ("spring.frequency.rear", "rear ride frequency"),
                    ("launch.traction.acceleration", "tyres slip at"),
                    ("launch.lift_off", "front lifts at"),
                ] {
                    expect(&[label.to_owned(), shown(&study, id, &shop)]);
                    if let Err(why) = &study.reading(id).unwrap().value {
                        expect(&[why.to_string()]);
                    }
                }
                let rest = study.launch.reactions.as_ref().ok();
                let rest = rest.map(|r| r.balance(Case::Rest).unwrap());
                for (what, label) in [
                    ("front_left", "left front tyre"),
                    ("front_right", "right front tyre"),
                    ("rear_left", "left rear tyre"),
                    ("rear_right", "right rear tyre"),
                    ("rear_difference", "rear, left less right"),
                    ("squat", "rear squat"),
                    ("front_rise", "front rise"),
                    ("pitch", "pitch"),
                ] {
                    let at_rest = rest.and_then(|b| {
                        let t = &b.tyre_load;
                        Some(match what {
                            "front_left" => t.front_left,
                            "front_right" => t.front_right,
                            "rear_left" => t.rear_left,
                            "rear_right" => t.rear_right,
                            "rear_difference" => b.rear_load_difference,
                            _ => return None,
                        })
                    });
                    let d = definition(&format!("launch.{what}")).unwrap();
                    let mut row = vec![label.to_owned()];
                    row.push(match (at_rest, rest) {
                        (Some(v), _) => d.display(v, &shop),
                        (None, None) if !matches!(what, "squat" | "front_rise" | "pitch") => {
                            "—".into()
                        }
                        _ => String::new(),
                    });
                    for case in ["", "traction.", "braking."] {
                        row.push(shown(&study, &format!("launch.{case}{what}"), &shop));
                    }
                    expect(&row);
                }
            }
        }
    }
}

fn links_and_loads(build: &Build, study: &Study, shop: &Shop, expect: &dyn Fn(&[String])) {
    let letter = |id: &str| {
        let k = build.rear.brackets.iter().position(|b| b.id == id).unwrap();
        char::from(b'A' + u8::try_from(k).unwrap())
    };
    for (k, rod) in study.rear.rods.iter().enumerate() {
        let link = &build.rear.links[rod.link];
        let right = rod.side == Side::Right;
        let hole = |e: &build::LinkEnd| match e.right_hole {
            Some(n) if right => n,
            _ => e.hole,
        };
        // The length and the thread by themselves, from the points and the parts.
        let d: f64 = (0..3).map(|k| (rod.frame[k] - rod.axle[k]).powi(2)).sum();
        let length = link
            .held
            .map_or(d.sqrt(), |h| if right { h.right.si() } else { h.left.si() });
        let engaged = 0.5 * (link.body.si() + 2.0 * link.rod_end.reach.si() - length);
        let side = side_word(rod.side).to_owned();
        let mut row = vec![
            side.clone(),
            format_kept(Kind::Length, length, shop),
            format_kept(Kind::Length, engaged, shop),
        ];
        let spare = engaged - link.rod_end.thread.si();
        if spare >= 0.0 {
            row.push(format!(
                "{}{}",
                letter(&link.at_frame.bracket),
                hole(&link.at_frame)
            ));
            row.push(format!(
                "{}{}",
                letter(&link.at_axle.bracket),
                hole(&link.at_axle)
            ));
        } else {
            row.push(", short ".to_owned());
        }
        expect(&row);
        match &study.launch.links[k] {
            Err(why) => expect(std::slice::from_ref(why)),
            Ok(s) => {
                let worst = s.cases.iter().fold((0.0, ""), |w: (f64, &str), c| {
                    if c.force.abs() > w.0.abs() {
                        (c.force, &c.name)
                    } else {
                        w
                    }
                });
                let way = if worst.0 < 0.0 { "push" } else { "pull" };
                let low = if s.verdict.meets_target {
                    ""
                } else {
                    ", too low"
                };
                expect(&[
                    side,
                    format(Kind::Force, worst.0.abs(), shop),
                    way.to_owned(),
                    worst.1.to_owned(),
                    shown(
                        study,
                        &format!("link.safety.{}", part(&link.id, rod.side)),
                        shop,
                    ),
                    low.to_owned(),
                    s.governing().unwrap(),
                ]);
            }
        }
    }
}

/// Value of the CSV line that begins with these cells.
fn csv_value(csv: &str, section: &str, name: &str, side: &str, what: &str) -> (f64, String) {
    let mut reader = csv::Reader::from_reader(csv.as_bytes());
    let row = reader
        .records()
        .map(|r| r.unwrap())
        .find(|r| [&r[0], &r[1], &r[2], &r[3]] == [section, name, side, what])
        .unwrap_or_else(|| panic!("no line {section}, {name}, {side}, {what}"));
    (row[4].parse().unwrap(), row[5].to_owned())
}

#[test]
fn redshank_by_hand() {
    // From the file: upper link from (19 1/2, 13 1/2, 15 1/2) to (1 1/2, 13, 18 3/8):
    // √(18² + 0.5² + 2.875²) = 18.2350 in; body 14 3/4, reach 2 7/8 twice: thread 1.1325 in.
    // Coil-over from (−2 1/2, 15 1/2, 23 1/4) to (−4, 18 1/2, 8 3/4): √(1.5² + 3² + 14.5²) = 14.8829 in.
    let build = sample("redshank");
    let sheet = make(&build, &Shop::INCH, Paper::Letter);
    let read = squeezed(&sheet.export(Format::Pdf).unwrap());
    for row in [
        "left 18 1/4\" 1 1/8\" A2 C2",
        "right 18 1/4\" 1 1/8\" A2 C2",
        "hole 2 of 4",
        "hole 3 of 4",
        "safety factor asked: 3",
        "launch 0.70 g",
        "braking 0.80 g",
    ] {
        assert!(read.contains(&squeeze(row)), "{row}");
    }
    let csv = String::from_utf8(sheet.export(Format::Csv).unwrap()).unwrap();
    let near = |(got, unit): (f64, String), want: f64, unit_wanted: &str, by: f64| {
        assert!((got - want).abs() <= by, "{got} is not {want}");
        assert_eq!(unit, unit_wanted);
    };
    near(
        csv_value(&csv, "link", "upper link", "left", "eye to eye"),
        18.2350,
        "in",
        1e-4,
    );
    near(
        csv_value(
            &csv,
            "link",
            "upper link",
            "right",
            "thread engaged, each end",
        ),
        1.1325,
        "in",
        1e-4,
    );
    let coil = |what| csv_value(&csv, "coil-over", "rear coil-over", "left", what);
    near(coil("eye to eye at ride height"), 14.8829, "in", 1e-4);
    near(coil("rate"), 130.0, "lb/in", 1e-9);
    // Seat to seat is what the squeeze leaves of 14 in of spring.
    let (preload, _) = coil("preload");
    near(
        coil("seat to seat, shock pulled out"),
        14.0 - preload,
        "in",
        1e-9,
    );
    // At rest the four tyres carry the car: 3050 lb, 51 % of it behind.
    let rest = |what| csv_value(&csv, "predicted", "at rest", "", what).0;
    let rear = rest("left rear tyre") + rest("right rear tyre");
    let front = rest("left front tyre") + rest("right front tyre");
    assert!((rear + front - 3050.0).abs() < 0.01 && (rear - 0.51 * 3050.0).abs() < 2.0);
    // Under power the same weight, moved back by m a h/L (Gillespie, Fundamentals of Vehicle Dynamics, ch. 1),
    // with h as the body stands then: the centre of gravity is 108 · 0.49 = 52.92 in ahead of the rear axle.
    // Within 1 %: the axle's own mass does not rise, and the pitch leans the body back a little.
    let power = |what| csv_value(&csv, "predicted", "launch, 0.70 g", "", what).0;
    let moved = power("left rear tyre") + power("right rear tyre") - rear;
    let ahead = 52.92 / 108.0;
    let rise = power("front rise") * ahead - power("rear squat") * (1.0 - ahead);
    let wanted = 3050.0 * 0.7 * (21.0 + rise) / 108.0;
    assert!((moved - wanted).abs() < 0.01 * wanted, "{moved} {wanted}");
    // A driveshaft that turns as most do loads the left rear tyre.
    assert!(power("rear, left less right") > 0.0);

    let metric = make(&build, &Shop::METRIC, Paper::A4);
    let csv = String::from_utf8(metric.export(Format::Csv).unwrap()).unwrap();
    near(
        csv_value(&csv, "link", "upper link", "left", "eye to eye"),
        463.169,
        "mm",
        0.01,
    );
    let read = squeezed(&metric.export(Format::Pdf).unwrap());
    for row in ["left 463 mm 29 mm A2 C2", "tyres, kPa", "km/h"] {
        assert!(read.contains(&squeeze(row)), "{row}");
    }
}

/// The scale said on the sheet, model over paper.
fn scale(sheet: &Sheet) -> f64 {
    let text = whole(sheet);
    let rest = text.split("scale 1 : ").nth(1).expect("a scale is said");
    rest.split(' ').next().unwrap().parse().unwrap()
}

/// Holes in use: left, right.
fn in_use(build: &Build, b: &Bracket, n: usize) -> (bool, bool) {
    let ends = build.rear.links.iter().flat_map(|l| {
        [(&l.at_frame, l.sides), (&l.at_axle, l.sides)]
            .into_iter()
            .filter(|(e, _)| e.bracket == b.id)
    });
    ends.fold((false, false), |(left, right), (e, sides)| {
        let other = e.right_hole.unwrap_or(e.hole);
        (
            left || e.hole == n,
            right || (sides == Sides::Pair && other == n),
        )
    })
}

#[test]
fn the_hole_in_use_is_black_and_where_it_is() {
    let mut builds: Vec<Build> = SAMPLES.map(sample).into();
    builds.extend(
        more()
            .into_iter()
            .filter(|(n, _)| n == "unlike sides")
            .map(|(_, b)| b),
    );
    for build in builds {
        for paper in Paper::ALL {
            let sheet = make(&build, &Shop::INCH, paper);
            let scale = scale(&sheet);
            assert!(scale >= 2.0, "true size is left to the templates");
            let file = &svg::to_svgs(&sheet.document).unwrap()[0];
            let tree = roxmltree::Document::parse(file).unwrap();
            let pdf = read::load(&sheet.export(Format::Pdf).unwrap());
            let in_pdf = paths(&pdf, 1, paper.size().h);
            let circles: Vec<_> = tree
                .descendants()
                .filter(|n| n.tag_name().name() == "circle")
                .collect();
            let mut at = 0;
            for b in drawn(&build) {
                let radius = 500.0 * b.drill.si() / scale;
                let mine: Vec<_> = circles
                    .iter()
                    .skip(at)
                    .filter(|c| (attr(c, "r") - radius).abs() < 2e-3)
                    .take(b.hole_count())
                    .collect();
                let first = [attr(mine[0], "cx"), attr(mine[0], "cy")];
                let mut black = 0;
                for (k, c) in mine.iter().enumerate() {
                    let (ahead, up) = b.hole_shift(k + 1).unwrap();
                    let want = [
                        first[0] + 1000.0 * ahead / scale,
                        first[1] - 1000.0 * up / scale,
                    ];
                    let got = [attr(c, "cx"), attr(c, "cy")];
                    let off = (got[0] - want[0]).hypot(got[1] - want[1]);
                    assert!(off < 0.01, "{} hole {}: {off} mm off", b.label, k + 1);
                    let (left, right) = in_use(&build, b, k + 1);
                    let ink = c.attribute("fill").unwrap();
                    assert_eq!(
                        ink == "#22282c",
                        left || right,
                        "{} hole {}",
                        b.label,
                        k + 1
                    );
                    black += usize::from(left || right);
                    // The same circle is in the PDF.
                    let there = in_pdf.iter().map(|p| read::extent(p)).any(|[l, t, r, b]| {
                        (0.5 * (l + r) - want[0]).abs() < 0.01
                            && (0.5 * (t + b) - want[1]).abs() < 0.01
                            && (r - l - 2.0 * radius).abs() < 0.01
                    });
                    assert!(there, "{} hole {} is not in the PDF", b.label, k + 1);
                }
                assert!(black >= 1);
                at = circles
                    .iter()
                    .position(|c| c == *mine.last().unwrap())
                    .unwrap()
                    + 1
                    + black;
            }
        }
    }
}

#[test]
fn every_hole_is_numbered_and_the_sides_are_told_apart() {
    let build = more()
        .into_iter()
        .find(|(n, _)| n == "unlike sides")
        .unwrap()
        .1;
    let sheet = make(&build, &Shop::INCH, Paper::Letter);
    let all = every_text(&sheet);
    for words in ["2 L", "3 R", "hole 2 L, 3 R of 4"] {
        assert!(all.contains(&words), "{words}");
    }
    assert!(whole(&sheet).contains("L left, R right"));
    assert!(all.contains(&"A2") && all.contains(&"A3"));
    // The squeeze that was set is on the sheet, side by side.
    for words in ["1.500\" squeezed", "2.250\" squeezed"] {
        assert!(whole(&sheet).contains(words), "{words}");
    }
    let redshank = sample("redshank");
    let sheet = make(&redshank, &Shop::INCH, Paper::Letter);
    assert!(!whole(&sheet).contains("too close to number them all"));
    // Rows of 4, 4, 3, 3 holes and two single ones: that many of each number.
    for (n, count) in [("1", 6), ("2", 4), ("3", 4), ("4", 2)] {
        let found = every_text(&sheet).iter().filter(|t| **t == n).count();
        assert_eq!(found, count, "hole {n}");
    }
}

#[test]
fn there_is_room_to_write() {
    for paper in Paper::ALL {
        let build = sample("redshank");
        let sheet = make(&build, &Shop::INCH, paper);
        let text = every_text(&sheet);
        let count = |w: &str| text.iter().filter(|t| **t == w).count();
        let runs = count("change next");
        assert!((1..=3).contains(&runs));
        for did in [
            "spun",
            "bogged",
            "stood up",
            "pulled left",
            "pulled right",
            "hit the stop",
        ] {
            assert_eq!(count(did), runs);
        }
        // One box to tick for each, one to write in for each tyre.
        let boxes = |wide: &dyn Fn(f64) -> bool| {
            sheet
                .document
                .pages
                .iter()
                .flat_map(|p| &p.items)
                .filter(
                    |i| matches!(i, Item::Rect { w, h, pen: Some(_), .. } if wide(*w) && *h < 8.0),
                )
                .count()
        };
        assert_eq!(boxes(&|w| (w - 3.0).abs() < 1e-6), 6 * runs);
        assert_eq!(boxes(&|w| w > 9.0), 4 * runs);
    }
}

#[test]
fn an_empty_build_says_so_on_one_page() {
    for paper in Paper::ALL {
        for shop in shops() {
            let sheet = make(&Build::empty("Nothing yet"), &shop, paper);
            assert_eq!(sheet.document.pages.len(), 1);
            let text = whole(&sheet);
            for words in [
                "no bracket has a link on it yet",
                "none drawn yet",
                "no links are drawn yet",
                "change next",
                "Compressed springs",
            ] {
                assert!(text.contains(words), "{words}");
            }
            let csv = String::from_utf8(sheet.export(Format::Csv).unwrap()).unwrap();
            let mut reader = csv::Reader::from_reader(csv.as_bytes());
            for row in reader.records().map(|r| r.unwrap()) {
                assert!(
                    row[4].is_empty() != row[7].is_empty(),
                    "a value or a reason: {row:?}"
                );
            }
        }
    }
}

#[test]
fn a_missing_value_says_why() {
    for (name, words) in [
        ("no coil-overs", "no coil-overs are drawn yet"),
        ("no links", "no links are drawn yet"),
    ] {
        let build = more().into_iter().find(|(n, _)| n == name).unwrap().1;
        for paper in Paper::ALL {
            let sheet = make(&build, &Shop::INCH, paper);
            let text = whole(&sheet);
            assert!(
                text.contains("none drawn yet") && text.contains(words),
                "{name}"
            );
            assert!(every_text(&sheet).contains(&"—"));
        }
    }
    // Turnstone: no balance at 3 g, links without stock, a shock that is shut at ride height.
    let sheet = make(&sample("faulty"), &Shop::INCH, Paper::Letter);
    let text = whole(&sheet);
    for words in [
        "no balance at 3.00 g",
        "no tube, rod end or bolt is entered for it",
        "short 1/8",
        "23 5/8\"",
        "23 3/8\"",
    ] {
        assert!(text.contains(words), "{words}");
    }
    let mut build = sample("redshank");
    build.rear.links[1].at_axle.hole = 9;
    let sheet = make(&build, &Shop::INCH, Paper::Letter);
    let text = whole(&sheet);
    assert!(text.contains("Look at this first.") && text.contains("9 (not there)"));
    assert!(
        text.contains("upper link, left") || text.contains("lower link, left; lower link, right:")
    );
}

#[test]
fn long_tables_go_on_with_their_heads() {
    let build = more()
        .into_iter()
        .find(|(n, _)| n == "many links")
        .unwrap()
        .1;
    let sheet = make(&build, &Shop::INCH, Paper::A4);
    let pages: Vec<_> = sheet.document.pages.iter().map(texts).collect();
    let heads = pages.iter().filter(|p| p.contains(&"hole at axle")).count();
    assert!(heads >= 2, "{heads}");
    let rods = sheet
        .document
        .pages
        .iter()
        .flat_map(texts)
        .filter(|t| *t == "C2")
        .count();
    // The upper link and fifty like it, both sides.
    assert_eq!(rods, 102);
    // Every bracket is drawn, and is named again in the tables.
    for k in 0..50 {
        assert!(pages.iter().flatten().any(|t| *t == format!("bracket {k}")));
    }
}

#[test]
fn csv_reads_back_to_the_model() {
    for name in SAMPLES {
        let build = sample(name);
        let study = derive(&build);
        for shop in [Shop::INCH, Shop::METRIC] {
            let sheet = make(&build, &shop, Paper::A4);
            let csv = String::from_utf8(sheet.export(Format::Csv).unwrap()).unwrap();
            let metres = if shop == Shop::METRIC { 1e-3 } else { 0.0254 };
            for rod in &study.rear.rods {
                let link = &build.rear.links[rod.link];
                let (got, _) =
                    csv_value(&csv, "link", &link.label, side_word(rod.side), "eye to eye");
                assert!((got * metres - rod.length).abs() < 2e-11);
            }
            let rows = csv.lines().count() - 1;
            let (rods, coils) = (study.rear.rods.len(), study.launch.coilovers.len());
            let loads: usize = study
                .launch
                .links
                .iter()
                .map(|l| if l.is_ok() { 4 } else { 2 })
                .sum();
            // Twelve figures; four cases of eight rows, less three that have no sense at rest.
            assert_eq!(rows, 4 * rods + 4 * coils + 12 + 4 * 8 - 3 + loads);
        }
    }
}

#[test]
fn same_build_same_bytes() {
    for f in [Format::Pdf, Format::Svg, Format::Csv] {
        let make = || {
            make(&sample("redshank"), &Shop::INCH, Paper::A4)
                .export(f)
                .unwrap()
        };
        assert_eq!(make(), make());
    }
}

#[test]
fn numbers_that_are_none_are_not_printed() {
    let mut build = sample("redshank");
    build.rear.brackets[0].at.station = Length::from_si(f64::NAN);
    build.power.coilovers[0].rate = units::SpringRate::from_si(f64::NAN);
    match setting(&build, &derive(&build), &Shop::INCH, Paper::Letter, DATE) {
        Ok(sheet) => {
            assert!(!whole(&sheet).contains("NaN"));
            assert!(matches!(
                sheet.export(Format::Pdf),
                Err(SheetError::NotFinite { .. })
            ));
        }
        Err(e) => assert!(matches!(e, SheetError::TooLarge { .. }), "{e}"),
    }
}
