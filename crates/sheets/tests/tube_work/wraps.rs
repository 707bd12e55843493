//! Wraps measured on the printed page.

use std::f64::consts::{PI, TAU};

use build::Assembly;
use sheets::{Format, Paper, Which};
use units::Length;

use super::builds::sample;
use super::made::{self, branches, node, round, tube, with};
use super::odd::large;
use super::read::{extent, load, paths};
use super::{METRIC, make};

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
            let bytes = make(&b, Which::CopeWraps, &METRIC, paper)
                .export(Format::Pdf)
                .unwrap();
            let wraps = printed(&bytes, paper);
            assert_eq!(wraps.len(), 2, "{name}");
            for (end, wrap) in wraps.iter().enumerate() {
                let round = TAU * (1e3 * branch.r + 0.5 * paper_mm);
                assert!(
                    (wrap.girth - round).abs() < 2e-3,
                    "{name}: {} for {round}",
                    wrap.girth
                );
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
        tubes: vec![
            tube("one", "o", "a", round(2.0 * r, 2e-3)),
            tube("two", "b", "o", round(2.0 * r, 2e-3)),
        ],
        ..Assembly::default()
    });
    let bytes = make(&b, Which::CopeWraps, &METRIC, Paper::A4)
        .export(Format::Pdf)
        .unwrap();
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
            assert!(
                (got - want).abs() < 0.1,
                "{:.0}°: {got} for {want}",
                phi.to_degrees()
            );
        }
    }
}

#[test]
fn tiles_show_the_same_where_they_overlap() {
    for od in [0.25, 0.3] {
        let b = large(od);
        for paper in Paper::ALL {
            let bytes = make(&b, Which::CopeWraps, &METRIC, paper)
                .export(Format::Pdf)
                .unwrap();
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

                let half = 0.5 * paper.size().w;
                let right: Vec<[f64; 2]> = one.iter().copied().filter(|c| c[0] > half).collect();
                let left: Vec<[f64; 2]> = two.iter().copied().filter(|c| c[0] < half).collect();
                if right.len() != 2 || left.len() != 2 {
                    continue;
                }
                seams += 1;

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
        let bytes = make(&b, Which::CopeWraps, &METRIC, paper)
            .export(Format::Pdf)
            .unwrap();
        let doc = load(&bytes);
        let mut with_wraps = 0;
        for n in doc.get_pages().keys() {
            let all = paths(&doc, *n, paper.size().h);
            if !all.iter().any(|p| p.len() > 600) {
                continue;
            }
            with_wraps += 1;
            let hundred = all.iter().any(|p| {
                p.len() == 2
                    && (p[0][1] - p[1][1]).abs() < 1e-3
                    && ((p[0][0] - p[1][0]).abs() - 100.0).abs() < 1e-3
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
            assert!(
                hundred && square && inch == 5,
                "page {n}: {hundred} {square} {inch}"
            );
        }
        assert!(with_wraps > 5);
    }
}
