//! SVG read back by an XML parser, CSV by its reader, ordinate labels against an independent optimum.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

#[allow(dead_code)] // each test file uses a part
mod demo;

use sheets::ordinate::{Axis, Ordinate, draw, spread};
use sheets::{
    Canvas, Cell, Col, Document, Ink, Item, Mark, Page, Paper, Row, SheetError, Table, Text,
    check_page, csv_out, svg,
};

fn attr(n: &roxmltree::Node<'_, '_>, name: &str) -> f64 {
    n.attribute(name).unwrap().parse().unwrap()
}

#[test]
fn svg_is_well_formed_in_millimetres_and_true() {
    for paper in Paper::ALL {
        let document = demo::demo(paper).unwrap();
        let files = svg::to_svgs(&document).unwrap();
        assert_eq!(files.len(), 3);
        let tree = roxmltree::Document::parse(&files[2]).unwrap();
        let root = tree.root_element();
        let (w, h) = if paper == Paper::Letter {
            ("215.9", "279.4")
        } else {
            ("210", "297")
        };
        assert_eq!(root.attribute("width").unwrap(), format!("{w}mm"));
        assert_eq!(root.attribute("height").unwrap(), format!("{h}mm"));
        assert_eq!(root.attribute("viewBox").unwrap(), format!("0 0 {w} {h}"));
        let square = root
            .descendants()
            .find(|n| n.has_tag_name(("http://www.w3.org/2000/svg", "polygon")))
            .unwrap();
        let xs: Vec<f64> = square
            .attribute("points")
            .unwrap()
            .split(' ')
            .map(|p| p.split_once(',').unwrap().0.parse().unwrap())
            .collect();
        let side = xs.iter().copied().fold(f64::MIN, f64::max)
            - xs.iter().copied().fold(f64::MAX, f64::min);
        assert!((side - 101.6).abs() < 1e-3, "{side}");
        let circles = root
            .descendants()
            .filter(|n| n.tag_name().name() == "circle");
        assert_eq!(
            circles
                .filter(|c| (attr(c, "r") - 0.625 * 25.4).abs() < 1e-3)
                .count(),
            1
        );
        let bars = root.descendants().filter(|n| n.tag_name().name() == "line");
        assert_eq!(
            bars.filter(|l| (attr(l, "x2") - attr(l, "x1") - 100.0).abs() < 1e-3)
                .count(),
            1
        );
        let words: Vec<&str> = root
            .descendants()
            .filter(|n| n.tag_name().name() == "text")
            .filter_map(|n| n.text())
            .collect();
        assert!(words.contains(&sheets::MEASURE_LINE));
        let second = roxmltree::Document::parse(&files[1]).unwrap();
        assert!(
            second
                .descendants()
                .any(|n| n.text() == Some("gusset & plate <both sides>"))
        );
        assert!(
            second
                .descendants()
                .filter(|n| n.tag_name().name() == "text")
                .all(|n| { n.attribute("font-family").unwrap().starts_with("B612,") })
        );
    }
}

#[test]
fn stacked_svg_holds_every_page_once() {
    let document = demo::demo(Paper::A4).unwrap();
    let file = svg::to_svg(&document).unwrap();
    let tree = roxmltree::Document::parse(&file).unwrap();
    assert_eq!(
        tree.root_element()
            .children()
            .filter(|n| n.tag_name().name() == "g")
            .count(),
        3
    );
    assert_eq!(tree.root_element().attribute("height").unwrap(), "907mm");
}

#[test]
fn svg_takes_any_text() {
    let odd = "<&>\"' ]]> \u{0}\u{b}\u{fffe}\u{ffff} 👍 -- &#0; é";
    let page = Page {
        size: Paper::A4.size(),
        items: vec![Item::Text(Text::new(20.0, 20.0, 9.0, odd))],
    };
    let document = Document {
        title: odd.into(),
        pages: vec![page],
    };
    let file = svg::to_svg(&document).unwrap();
    let tree = roxmltree::Document::parse(&file).unwrap();
    let text = tree
        .descendants()
        .find(|n| n.tag_name().name() == "text")
        .unwrap()
        .text()
        .unwrap();
    assert!(
        text.starts_with("<&>\"' ]]> ") && text.ends_with("-- &#0; é"),
        "{text:?}"
    );
    let none = Document {
        title: String::new(),
        pages: vec![],
    };
    assert!(matches!(svg::to_svg(&none), Err(SheetError::NoPages)));
}

#[test]
fn csv_reads_back_and_is_safe_in_a_spreadsheet() {
    let mut t = Table::new([
        Col::left("hole"),
        Col::right("up, in"),
        Col::left("measured"),
    ]);
    t.push(Row::new([
        Cell::new("2").mark(Mark::Filled),
        "15 7/8".into(),
        Cell::blank(),
    ]));
    t.push(Row::new([
        Cell::new("1").mark(Mark::Open),
        "=1+1".into(),
        "-0.5".into(),
    ]));
    t.push(Row::new(["+cmd".into(), "@x".into(), "-2 15/16".into()]));
    t.push(Row::new([
        "quote \" comma , line\nbreak".into(),
        "\t=x".into(),
    ]));
    let text = csv_out::to_csv(&t).unwrap();
    let rows: Vec<Vec<String>> = csv::Reader::from_reader(text.as_bytes())
        .into_records()
        .map(|r| r.unwrap().iter().map(str::to_owned).collect())
        .collect();
    assert!(text.starts_with("hole,\"up, in\",measured\r\n"), "{text}");
    assert_eq!(rows[0], ["[x] 2", "15 7/8", ""]);
    assert_eq!(rows[1], ["[ ] 1", "'=1+1", "-0.5"]);
    assert_eq!(rows[2], ["'+cmd", "'@x", "'-2 15/16"]);
    assert_eq!(rows[3], ["quote \" comma , line\nbreak", "'\t=x", ""]);
    assert_eq!(csv_out::to_csv(&Table::new([])).unwrap(), "");
    t.push(Row::new((0..4).map(|k| Cell::new(k.to_string()))));
    assert!(matches!(
        csv_out::to_csv(&t),
        Err(SheetError::RowTooLong {
            row: 4,
            cells: 4,
            columns: 3
        })
    ));
}

/// Sum of squared moves of the best placement on a grid of `step`, by trying every placement.
fn best_by_trial(wanted: &[f64], sizes: &[f64], gap: f64, range: (f64, f64), step: f64) -> f64 {
    fn go(k: usize, from: f64, w: &[f64], s: &[f64], gap: f64, hi: f64, step: f64) -> f64 {
        if k == w.len() {
            return 0.0;
        }
        let (mut best, mut at) = (f64::INFINITY, from + 0.5 * s[k]);
        while at + 0.5 * s[k] <= hi + 1e-9 {
            let rest = go(k + 1, at + 0.5 * s[k] + gap, w, s, gap, hi, step);
            best = best.min((at - w[k]).powi(2) + rest);
            at += step;
        }
        best
    }
    go(0, range.0, wanted, sizes, gap, range.1, step)
}

#[test]
fn spread_is_the_least_move_that_keeps_labels_apart() {
    let cases: [(&[f64], &[f64]); 6] = [
        (&[5.0, 12.0, 18.0], &[3.0, 3.0, 3.0]),
        (&[10.0, 10.0, 10.0], &[4.0, 2.0, 4.0]),
        (&[0.0, 0.5, 19.5, 20.0], &[3.0, 3.0, 3.0, 3.0]),
        (&[19.0, 19.5, 20.0], &[5.0, 3.0, 4.0]),
        (&[-4.0, 3.0, 3.5, 9.0], &[4.0, 3.0, 2.0, 3.0]),
        (&[7.0], &[2.0]),
    ];
    let range = (0.0, 20.0);
    for (wanted, sizes) in cases {
        let got = spread(wanted, sizes, 1.0, range).unwrap();
        for k in 0..got.len() {
            assert!(
                got[k] - 0.5 * sizes[k] >= range.0 - 1e-9
                    && got[k] + 0.5 * sizes[k] <= range.1 + 1e-9
            );
            if k > 0 {
                assert!(
                    got[k] - got[k - 1] >= 0.5 * (sizes[k] + sizes[k - 1]) + 1.0 - 1e-9,
                    "{got:?}"
                );
            }
        }
        let cost: f64 = got.iter().zip(wanted).map(|(g, w)| (g - w).powi(2)).sum();
        let trial = best_by_trial(wanted, sizes, 1.0, range, 0.125);
        assert!(
            cost <= trial + 1e-9,
            "{wanted:?}: cost {cost}, by trial {trial}"
        );
    }
    assert_eq!(
        spread(&[5.0, 12.0, 18.0], &[3.0; 3], 1.0, range).unwrap(),
        [5.0, 12.0, 18.0],
        "free labels stay"
    );
    let unsorted = spread(&[12.0, 5.0], &[3.0, 3.0], 1.0, range).unwrap();
    assert_eq!(unsorted, [12.0, 5.0]);
    assert!(matches!(
        spread(&[1.0; 6], &[4.0; 6], 1.0, range),
        Err(SheetError::NoRoom { labels: 6, .. })
    ));
    assert!(spread(&[f64::NAN], &[1.0], 1.0, range).is_err());
    assert_eq!(spread(&[], &[], 1.0, range).unwrap(), Vec::<f64>::new());
}

#[test]
fn crowded_ordinates_do_not_touch_on_any_side() {
    for axis in [
        Axis::Below(150.0),
        Axis::Above(60.0),
        Axis::Right(150.0),
        Axis::Left(60.0),
    ] {
        let marks: Vec<Ordinate> = [100.0, 100.3, 101.0, 104.0, 104.0, 120.0]
            .into_iter()
            .enumerate()
            .map(|(k, at)| Ordinate::new(at, 100.0 + k as f64, format!("{k} 15/16")).ink(Ink::Dim))
            .collect();
        let mut c = Canvas::new(215.9, 279.4);
        draw(&mut c, axis, (20.0, 200.0), &marks, 9.5).unwrap();
        let page = Page {
            size: Paper::Letter.size(),
            items: c.items,
        };
        assert_eq!(check_page(&page), vec![], "{axis:?}");
        assert_eq!(sheets::lines_through_text(&page), vec![], "{axis:?}");
        assert_eq!(page.items.len(), 12);
    }
    // The same place named twice is labelled once, its leader from the farther feature.
    let twice = [
        Ordinate::new(50.0, 40.0, "7"),
        Ordinate::new(50.0, 30.0, "7").bold(),
    ];
    let mut c = Canvas::new(100.0, 100.0);
    draw(&mut c, Axis::Below(60.0), (0.0, 100.0), &twice, 9.5).unwrap();
    assert_eq!(c.items.len(), 2);
    assert!(matches!(&c.items[0], Item::Polyline { points, .. } if points[0].y == 30.0));
}
