//! The sheets of tube work: nothing touches, wraps are what the geometry says to a tenth of a millimetre on
//! paper, tiles agree, lists add up.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

#[path = "placement/builds.rs"]
mod builds;
#[path = "tube_work/builds.rs"]
mod made;
#[path = "placement/read.rs"]
#[allow(dead_code)]
mod read;

use std::f64::consts::{PI, TAU};

use build::{Assembly, Build, EndCut, EndShape, StockBar, derive};
use builds::{nasty, sample};
use made::{bent, branches, node, round, tube, with};
use read::{extent, load, paths, squeezed};
use sheets::{Format, Item, Paper, Sheet, Which, check_page, lines_through_text};
use units::{Angle, Fraction, Kind, Length, Shop, System, format_bare};

const DATE: &str = "25 Nov 2026";
const SAMPLES: [&str; 3] = ["redshank", "whimbrel", "faulty"];
const SHEETS: [Which; 3] = [Which::CutAndBend, Which::CopeWraps, Which::CutList];
const ALL: [Which; 4] = [Which::CutAndBend, Which::CopeWraps, Which::CutList, Which::FrameReport];
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

fn rectangular(height: f64, width: f64, wall: f64) -> build::TubeSection {
    build::TubeSection::Rectangular {
        height: Length::from_si(height),
        width: Length::from_si(width),
        wall: Length::from_si(wall),
        corner: None,
    }
}

/// Assemblies that strain the sheets.
fn odd() -> Vec<(String, Build)> {
    let mut out: Vec<(String, Build)> = Vec::new();
    let mut add = |name: &str, b: Build| out.push((name.into(), b));
    let red = sample("redshank");

    let mut b = red.clone();
    for (k, t) in b.assembly.tubes.iter_mut().enumerate() {
        t.label = match k % 3 {
            0 => "Unterlenkerkonsolenverstärkungsrohr, das vordere linke von zweien ".repeat(3),
            1 => "🔩 上下 <b>&\"' ".repeat(8),
            _ => String::new(),
        };
    }
    add("wordy", b);

    let mut b = red.clone();
    b.tube_work.cut = EndCut::Square;
    b.tube_work.paper = Length::from_si(0.3e-3);
    b.tube_work.stock.clear();
    add("cut straight in", b);

    let mut b = red.clone();
    b.assembly.nodes.retain(|n| n.id != "seat_l" && n.id != "hoop_top_l");
    add("nodes missing", b);

    let mut b = red.clone();
    for n in &mut b.assembly.nodes {
        let p = n.at.si();
        n.at = build::Place::from_si([0.0, p[1], p[2]]);
    }
    add("all in one plane", b);

    for stock in [1e-3, 0.4] {
        let mut b = red.clone();
        for s in &mut b.tube_work.stock {
            s.length = Length::from_si(stock);
        }
        add("bars too short", b);
    }

    // Large tubes: wraps over several pages.
    for od in [0.1016, 0.25, 0.6] {
        add("large", large(od));
    }
    // A rectangular branch, a rectangular main, tiny tubes.
    let nodes = vec![
        node("l", [0.0, 1.0, 0.0]),
        node("r", [0.0, -1.0, 0.0]),
        node("m", [0.0, 0.2, 0.0]),
        node("n", [0.8, -0.1, 0.3]),
        node("k", [0.4, 0.05, 0.15]),
        node("o", [0.4, 0.05, 0.9]),
        node("q", [0.0, -0.6, 0.0]),
        node("s", [0.3, -0.6, 0.2]),
    ];
    let tubes = vec![
        tube("main", "l", "r", round(0.06, 3e-3)),
        tube("box", "m", "n", rectangular(0.0508, 0.0254, 3e-3)),
        tube("post", "k", "o", round(0.02, 2e-3)),
        tube("thin", "q", "s", round(3e-3, 0.5e-3)),
    ];
    add(
        "rectangular and thin",
        with(Assembly {
            nodes,
            tubes,
            ..Assembly::default()
        }),
    );
    // A snake of many bends, one without a die.
    let n = 34;
    let nodes: Vec<_> = (0..=n)
        .map(|k| {
            let s = f64::from(k);
            let side = if k % 2 == 0 { 0.12 } else { -0.12 };
            node(&format!("n{k}"), [0.4 * s, side, 0.05 * (s * 0.7).sin()])
        })
        .collect();
    let corners: Vec<String> = (1..n).map(|k| format!("n{k}")).collect();
    let names: Vec<&str> = corners.iter().map(String::as_str).collect();
    let snake = bent(tube("snake", "n0", &format!("n{n}"), round(0.03, 2e-3)), &names, 0.1);
    add(
        "a snake",
        with(Assembly {
            nodes,
            tubes: vec![snake],
            ..Assembly::default()
        }),
    );
    out
}

/// One large tube on a larger one, and back on another at a rake.
fn large(od: f64) -> Build {
    let far = 6.0 * od;
    with(Assembly {
        nodes: vec![
            node("l", [0.0, 4.0, 0.0]),
            node("r", [0.0, -4.0, 0.0]),
            node("o", [0.0, 0.0, 0.0]),
            node("p", [far, 0.1 * od, 0.2 * od]),
            node("v", [far - 2.0, 3.0, 0.2 * od]),
            node("w", [far + 2.0, -3.0 + 0.2 * od, 0.2 * od]),
        ],
        tubes: vec![
            tube("main", "l", "r", round(1.25 * od, 4e-3)),
            tube("other", "v", "w", round(1.1 * od, 4e-3)),
            tube("branch", "o", "p", round(od, 4e-3)),
        ],
        ..Assembly::default()
    })
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
        untouched(name, &sample(name), &Paper::ALL, &[Shop::INCH, FINE, METRIC]);
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

/// The cut on a page and the straight edge it is measured from, mm: the polyline of most corners, and the level
/// line of its width under or over it.
struct Printed {
    curve: Vec<[f64; 2]>,
    flush: f64,
    middle: f64,
    girth: f64,
}

/// Every wrap of a PDF, in its order.
fn printed(bytes: &[u8], paper: Paper) -> Vec<Printed> {
    let doc = load(bytes);
    let height = paper.size().h;
    let mut out = Vec::new();
    for n in doc.get_pages().keys() {
        let all = paths(&doc, *n, height);
        for curve in all.iter().filter(|p| p.len() > 600) {
            let [l, t, r, b] = extent(curve);
            let level = |p: &&Vec<[f64; 2]>| {
                p.len() == 2
                    && (p[0][1] - p[1][1]).abs() < 1e-3
                    && (p[0][0].min(p[1][0]) - l).abs() < 0.01
                    && (p[0][0].max(p[1][0]) - r).abs() < 0.01
            };
            // The straight edge touches the cut where its outside edge is the long point, or stands off it
            // where the inside is; the body's edge is 22 mm off on the other side.
            let mut edges: Vec<f64> = all.iter().filter(level).map(|p| p[0][1]).collect();
            edges.sort_by(|a, z| {
                let off = |y: &f64| (y - b).abs().min((y - t).abs());
                off(a).total_cmp(&off(z))
            });
            out.push(Printed {
                curve: curve.clone(),
                flush: edges[0],
                middle: 0.5 * (l + r),
                girth: r - l,
            });
        }
    }
    out
}

/// y of the printed cut over the straight edge at x from the scribe line, mm.
fn over(p: &Printed, x: f64) -> f64 {
    let at = p.middle + x;
    let pair = p
        .curve
        .windows(2)
        .find(|w| at >= w[0][0] - 1e-4 && at <= w[1][0] + 1e-4)
        .unwrap_or_else(|| panic!("nothing at {x}"));
    let k = (at - pair[0][0]) / (pair[1][0] - pair[0][0]).max(1e-9);
    let y = pair[0][1] + k.clamp(0.0, 1.0) * (pair[1][1] - pair[0][1]);
    (y - p.flush).abs()
}

#[test]
fn the_printed_wrap_is_the_closed_form_at_24_clocks() {
    // Closed form of one round main (engineering definitions, section 9), worked out here from the vectors.
    let mut worst: f64 = 0.0;
    for (name, branch) in branches() {
        for (paper_mm, paper) in [(0.0, Paper::Letter), (0.1, Paper::A4)] {
            let mut b = branch.build();
            b.tube_work.paper = Length::from_si(paper_mm * 1e-3);
            let bytes = make(&b, Which::CopeWraps, &METRIC, paper).export(Format::Pdf).unwrap();
            let wraps = printed(&bytes, paper);
            assert_eq!(wraps.len(), 2, "{name}");
            for (end, wrap) in wraps.iter().enumerate() {
                let round = TAU * (1e3 * branch.r + 0.5 * paper_mm);
                assert!((wrap.girth - round).abs() < 2e-3, "{name}: {} for {round}", wrap.girth);
                // End A: the cut stands over the straight edge; end B: under it, end B up the page.
                let lowest = extent(&wrap.curve)[3];
                let below = lowest <= wrap.flush + 1e-3;
                assert_eq!(below, end == 0, "{name}: which way is up at end {end}");
                let long = branch.long(end);
                for k in 0..24 {
                    let phi = PI * (f64::from(k) / 12.0 - 1.0);
                    let want = 1e3 * (branch.profile(end, phi, branch.r) - long);
                    let x = phi * (1e3 * branch.r + 0.5 * paper_mm);
                    let got = over(wrap, x);
                    worst = worst.max((got - want).abs());
                    assert!(
                        (got - want).abs() < 0.1,
                        "{name} end {end} at {:.0}°: {got} for {want} mm",
                        phi.to_degrees()
                    );
                }
            }
        }
    }
    println!("worst of 288 places: {worst:.5} mm");
}

#[test]
fn a_mitred_round_end_has_its_wrap() {
    // s = r cos φ' cot(β/2) (engineering definitions, section 9), φ' = 0 toward the other tube.
    let (r, beta) = (0.020, 1.9_f64);
    let b = with(Assembly {
        nodes: vec![
            node("o", [0.0, 0.0, 0.0]),
            node("a", [1.0, 0.0, 0.0]),
            node("b", [beta.cos(), beta.sin(), 0.0]),
        ],
        tubes: vec![tube("one", "o", "a", round(2.0 * r, 2e-3)), tube("two", "b", "o", round(2.0 * r, 2e-3))],
        ..Assembly::default()
    });
    let bytes = make(&b, Which::CopeWraps, &METRIC, Paper::A4).export(Format::Pdf).unwrap();
    let wraps = printed(&bytes, Paper::A4);
    assert_eq!(wraps.len(), 2);
    // One: along +x, up z, e2 = x × z = −y; the other tube lies toward +y: φ = −90°. Two runs to the node: its
    // d points from b to the origin, e2 = d × z; toward the first tube's x made perpendicular to d.
    let d = [-beta.cos(), -beta.sin(), 0.0];
    let e2 = made::cross(d, [0.0, 0.0, 1.0]);
    let x = [1.0, 0.0, 0.0];
    let across = made::sub(x, made::scale(d, made::dot(x, d)));
    let toward = [-0.5 * PI, made::dot(across, e2).atan2(across[2])];
    for (wrap, toward) in wraps.iter().zip(toward) {
        for k in 0..24 {
            let phi = PI * (f64::from(k) / 12.0 - 1.0);
            let cot = 1.0 / (0.5 * beta).tan();
            let want = 1e3 * r * cot * ((phi - toward).cos() + 1.0);
            let got = over(wrap, 1e3 * r * phi);
            assert!((got - want).abs() < 0.1, "{:.0}°: {got} for {want}", phi.to_degrees());
        }
    }
}

#[test]
fn tiles_show_the_same_where_they_overlap() {
    for od in [0.1016, 0.25] {
        let b = large(od);
        for paper in Paper::ALL {
            let bytes = make(&b, Which::CopeWraps, &METRIC, paper).export(Format::Pdf).unwrap();
            let doc = load(&bytes);
            let pages: Vec<Vec<Vec<[f64; 2]>>> = doc
                .get_pages()
                .keys()
                .map(|n| paths(&doc, *n, paper.size().h))
                .collect();
            // Crosses: circles of 1.6 mm radius with their middles.
            let crosses = |page: &Vec<Vec<[f64; 2]>>| -> Vec<[f64; 2]> {
                let mut at: Vec<[f64; 2]> = page
                    .iter()
                    .filter_map(|p| {
                        let [l, t, r, b] = extent(p);
                        let ring = ((r - l) - 3.2).abs() < 0.01 && ((b - t) - 3.2).abs() < 0.01;
                        (ring && p.len() > 3).then_some([0.5 * (l + r), 0.5 * (t + b)])
                    })
                    .collect();
                at.sort_by(|a, b| a[1].total_cmp(&b[1]).then(a[0].total_cmp(&b[0])));
                at
            };
            let mut seams = 0;
            for pair in pages.windows(2) {
                let (one, two) = (crosses(&pair[0]), crosses(&pair[1]));
                if one.is_empty() || two.is_empty() {
                    continue;
                }
                // The crosses of the first that lie to its right are those of the second to its left.
                let mid = |p: &[[f64; 2]]| p.iter().map(|c| c[0]).sum::<f64>() / p.len() as f64;
                let half = 0.5 * paper.size().w;
                let right: Vec<[f64; 2]> = one.iter().copied().filter(|c| c[0] > half).collect();
                let left: Vec<[f64; 2]> = two.iter().copied().filter(|c| c[0] < half).collect();
                if right.len() != 2 || left.len() != 2 {
                    continue;
                }
                seams += 1;
                let _ = mid;
                let shift = [left[0][0] - right[0][0], left[0][1] - right[0][1]];
                let again = [left[1][0] - right[1][0], left[1][1] - right[1][1]];
                assert!(
                    (shift[0] - again[0]).abs() < 2e-3 && (shift[1] - again[1]).abs() < 2e-3,
                    "{shift:?} {again:?}"
                );
                // Corners of the cut on the first page, moved, lie on those of the second.
                let curve = |page: &Vec<Vec<[f64; 2]>>| -> Vec<[f64; 2]> {
                    let longest = page.iter().max_by_key(|p| p.len()).unwrap();
                    longest.clone()
                };
                let (a, z) = (curve(&pair[0]), curve(&pair[1]));
                let begin = z.iter().map(|p| p[0]).fold(f64::MAX, f64::min);
                let mut shared = 0;
                for p in &a {
                    let moved = [p[0] + shift[0], p[1] + shift[1]];
                    if moved[0] < begin + 0.5 {
                        continue;
                    }
                    shared += 1;
                    let near = z
                        .windows(2)
                        .map(|w| off(moved, w[0], w[1]))
                        .fold(f64::MAX, f64::min);
                    assert!(near < 0.01, "{moved:?} is {near} mm off on the next page");
                }
                assert!(shared > 10, "{shared} corners shared");
            }
            assert!(seams >= 2, "{od} {paper:?}: {seams} seams");
        }
    }
}

/// Distance of a point from a stretch.
fn off(p: [f64; 2], a: [f64; 2], b: [f64; 2]) -> f64 {
    let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
    let len = (dx * dx + dy * dy).max(1e-12);
    let k = (((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / len).clamp(0.0, 1.0);
    (p[0] - a[0] - k * dx).hypot(p[1] - a[1] - k * dy)
}

#[test]
fn bars_to_measure_stand_on_every_page_of_wraps() {
    let b = sample("redshank");
    for paper in Paper::ALL {
        let bytes = make(&b, Which::CopeWraps, &METRIC, paper).export(Format::Pdf).unwrap();
        let doc = load(&bytes);
        let mut with_wraps = 0;
        for n in doc.get_pages().keys() {
            let all = paths(&doc, *n, paper.size().h);
            if !all.iter().any(|p| p.len() > 600) {
                continue;
            }
            with_wraps += 1;
            let hundred = all.iter().any(|p| {
                p.len() == 2 && (p[0][1] - p[1][1]).abs() < 1e-3 && ((p[0][0] - p[1][0]).abs() - 100.0).abs() < 1e-3
            });
            let square = all.iter().any(|p| {
                let [l, t, r, b] = extent(p);
                ((r - l) - 25.0).abs() < 1e-3 && ((b - t) - 25.0).abs() < 1e-3
            });
            let inch = all
                .iter()
                .filter(|p| {
                    let [l, t, r, b] = extent(p);
                    ((r - l) - 25.4).abs() < 1e-3 && ((b - t) - 2.4).abs() < 1e-3
                        || ((b - t) - 25.4).abs() < 1e-3 && ((r - l) - 2.4).abs() < 1e-3
                })
                .count();
            assert!(hundred && square && inch == 5, "page {n}: {hundred} {square} {inch}");
        }
        assert!(with_wraps > 5);
    }
}

#[test]
fn the_cut_and_bend_sheet_says_every_tube() {
    for name in ["redshank", "whimbrel"] {
        let b = sample(name);
        let study = derive(&b);
        for shop in [Shop::INCH, METRIC] {
            let sheet = Which::CutAndBend.make(&b, &study, &shop, Paper::Letter, DATE).unwrap();
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
                        && let Ok(saw) = &cut.saw
                    {
                        has(&format!("{:.1}° from square", saw.from_square.to_degrees()));
                        has(&format!("cup at least {} deep", len(saw.cup_depth)));
                    }
                }
            }
            for words in ["Gloves", "hole saw grabs", "rule book", "never predicted", "checked by"] {
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
        tubes: vec![
            bent(tube("right", "a", "b", round(0.03, 2e-3)), &["c1", "c2"], 0.1),
        ],
        ..Assembly::default()
    });
    let sheet = make(&b, Which::CutAndBend, &METRIC, Paper::A4);
    assert!(texts(&sheet).contains(&"90.0° clockwise"), "{:?}", texts(&sheet));
    // Its mirror image turns the other way.
    let mut m = b;
    for n in &mut m.assembly.nodes {
        let p = n.at.si();
        n.at = build::Place::from_si([p[0], -p[1], p[2]]);
    }
    let sheet = make(&m, Which::CutAndBend, &METRIC, Paper::A4);
    assert!(texts(&sheet).contains(&"90.0° anticlockwise"));
    // Straights 1 − 0.1, 1 − 0.2, 1 − 0.1; arcs 0.1 π/2 each.
    let csv = String::from_utf8(sheet.export(Format::Csv).unwrap()).unwrap();
    let cut = 1000.0 * (0.9 + 0.8 + 0.9 + 0.1 * PI);
    assert!(csv.contains(&format!("{cut:.6}")), "{cut}: {csv}");
}

#[test]
fn the_cut_list_fits_its_bars() {
    for name in SAMPLES {
        let b = sample(name);
        let csv = make(&b, Which::CutList, &METRIC, Paper::A4).export(Format::Csv).unwrap();
        let mut reader = csv::Reader::from_reader(csv.as_slice());
        let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
        let study = derive(&b);
        let made = study.tubes.tubes.iter().filter(|t| t.part.is_ok()).count();
        assert_eq!(rows.len(), made, "{name}: every piece once");
        let (kerf, trim) = (1e3 * b.tube_work.kerf.si(), 1e3 * b.tube_work.trim.si());
        let number = |r: &csv::StringRecord, k: usize| r[k].parse::<f64>().unwrap();
        let mut bars: std::collections::BTreeMap<(String, String, String), Vec<&csv::StringRecord>> =
            std::collections::BTreeMap::new();
        for r in rows.iter().filter(|r| r[11].is_empty()) {
            let key = (r[0].to_owned(), r[1].to_owned(), r[2].to_owned());
            bars.entry(key).or_default().push(r);
        }
        for (bar, pieces) in &bars {
            let room: f64 = pieces.iter().map(|r| number(r, 9) + kerf).sum();
            assert!(room <= number(pieces[0], 3) - trim + kerf + 1e-6, "{name} {bar:?}: {room}");
            let left = number(pieces[0], 3) - trim - room;
            assert!((number(pieces[0], 10) - left.max(0.0)).abs() < kerf + 1e-6, "{bar:?}");
            let mut from: Vec<(f64, f64)> = pieces.iter().map(|r| (number(r, 8), number(r, 9))).collect();
            from.sort_by(|a, b| a.0.total_cmp(&b.0));
            for w in from.windows(2) {
                assert!(w[0].0 + w[0].1 + kerf <= w[1].0 + 1e-6, "{bar:?}: pieces overlap");
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
    let before = make(&b, Which::CopeWraps, &METRIC, Paper::A4).export(Format::Csv).unwrap();
    for t in &mut b.assembly.tubes {
        t.turn = Angle::from_degrees(20.0);
    }
    let after = make(&b, Which::CopeWraps, &METRIC, Paper::A4).export(Format::Csv).unwrap();
    assert_ne!(before, after);
}

#[test]
fn the_frame_report_says_what_the_study_knows() {
    for name in ["redshank", "whimbrel"] {
        let b = sample(name);
        let study = derive(&b);
        let frame = &study.frame;
        for shop in [Shop::INCH, METRIC] {
            let sheet = Which::FrameReport.make(&b, &study, &shop, Paper::Letter, DATE).unwrap();
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
            for r in study.readings.iter().filter(|r| r.id().starts_with("frame.")) {
                if r.value.is_ok() {
                    has(&r.display(&shop));
                }
            }
            for p in &twist.curve {
                has(&p.label);
                has(&format!("{:.3}°", p.phi.to_degrees()).replace('-', "−"));
            }
            for s in &frame.tubes {
                has(&format!("T{} {}", s.tube + 1, b.assembly.tubes[s.tube].label));
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
                .find(|p| p.items.iter().any(|i| matches!(i, Item::Text(t) if t.text == "Twist along the frame")))
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
    let sheet = make(&Build::empty("Nothing"), Which::FrameReport, &METRIC, Paper::A4);
    assert!(texts(&sheet).contains(&"No frame yet"));
    // A frame without its test named says what to name, and keeps the rest.
    let mut b = sample("redshank");
    b.frame_test.front = None;
    let sheet = make(&b, Which::FrameReport, &METRIC, Paper::A4);
    assert!(texts(&sheet).contains(&"No twist stiffness"), "{:?}", texts(&sheet));
}
