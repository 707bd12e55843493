//! The hole search against the full solver, combination by combination.
//!
//! The full solver follows every travel and roll in small steps and is itself checked against
//! exact constructions and independent answers elsewhere; the fast judgement of the search
//! must come to the same. Tolerance: 1e-9 of (1 + the value's square), the square because an
//! instant centre far away magnifies the rounding of its pitch rate by its distance squared.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

#[allow(dead_code, reason = "every test file uses a part of it")]
mod common;

use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};

use common::{car, level_bar, rod};
use geometry::{
    Band, DrawnRod, Evaluation, Figure, Group, HoleSearch, Look, MapAxes, MapAxis, Outcome,
    Question, SearchError,
};
use nalgebra::Point3;
use proptest::prelude::*;

const LOOK: Look = Look {
    travel: [-0.05, 0.06],
    roll: [-0.035, 0.03],
};

fn holes(start: [f64; 3], step: [f64; 3], count: usize) -> Vec<Point3<f64>> {
    (0..count)
        .map(|n| {
            let n = n as f64;
            Point3::new(
                start[0] + n * step[0],
                start[1] + n * step[1],
                start[2] + n * step[2],
            )
        })
        .collect()
}

const STIFF: Option<f64> = Some(3.0e7);

fn lower(frame: usize, axle: usize) -> (Vec<Point3<f64>>, Vec<Point3<f64>>) {
    (
        holes([0.62, 0.43, 0.2], [0.0, 0.0, 0.022], frame),
        holes([0.02, 0.43, 0.17], [0.0, 0.0, 0.025], axle),
    )
}

fn upper(frame: usize, axle: usize) -> (Vec<Point3<f64>>, Vec<Point3<f64>>) {
    (
        holes([0.56, 0.4, 0.33], [0.0, 0.0, 0.02], frame),
        holes([0.01, 0.4, 0.45], [0.0, 0.0, 0.024], axle),
    )
}

/// Mirrored pairs on a lateral bar.
fn mirrored() -> HoleSearch {
    let (lf, la) = lower(4, 2);
    let (uf, ua) = upper(3, 2);
    let groups = vec![
        Group::mirrored(&lf, &la, None, STIFF),
        Group::mirrored(&uf, &ua, None, STIFF),
        Group::fixed(level_bar()),
    ];
    HoleSearch::new(car(), groups, LOOK).unwrap()
}

fn flip(points: &[Point3<f64>]) -> Vec<Point3<f64>> {
    points.iter().map(|p| Point3::new(p.x, -p.y, p.z)).collect()
}

/// Left and right free, the bar with two holes.
fn free(length: bool) -> Vec<Group> {
    let (lf, la) = lower(2, 2);
    let (uf, ua) = upper(2, 1);
    let held = |l: f64| length.then_some(l);
    vec![
        Group::single(&lf, &la, held(0.6), STIFF),
        Group::single(&flip(&lf), &flip(&la), held(0.6), STIFF),
        Group::single(&uf, &ua, held(0.56), STIFF),
        Group::single(&flip(&uf), &flip(&ua), held(0.56), STIFF),
        Group::single(
            &holes([-0.14, -0.38, 0.31], [0.0, 0.0, 0.03], 2),
            &[Point3::new(-0.14, 0.36, 0.33)],
            None,
            STIFF,
        ),
    ]
}

fn everything(keep: usize) -> Question {
    Question {
        bands: Vec::new(),
        keep,
        threads: 1,
        map: None,
    }
}

fn run(search: &HoleSearch, question: &Question) -> Outcome {
    let (progress, cancel) = (AtomicU64::new(0), AtomicBool::new(false));
    let outcome = search.run(question, &progress, &cancel).unwrap();
    assert_eq!(progress.into_inner(), search.combinations());
    assert_eq!(outcome.evaluated, search.combinations());
    let rejected: u64 = outcome.rejected.iter().sum();
    assert_eq!(
        outcome.kept + outcome.cannot_stand + rejected,
        outcome.evaluated
    );
    outcome
}

fn all_of(search: &HoleSearch) -> Vec<Option<Evaluation>> {
    (0..search.combinations())
        .map(|index| match search.evaluate(index) {
            Ok(evaluation) => Some(evaluation),
            Err(SearchError::Axle(_)) => None,
            Err(other) => panic!("{other}"),
        })
        .collect()
}

fn close(figure: Figure, got: Option<f64>, want: Option<f64>) -> Result<(), String> {
    match (got, want) {
        (None, None) => Ok(()),
        (Some(g), Some(w)) if (g - w).abs() <= 1e-9 * (1.0 + w * w) => Ok(()),
        _ => Err(format!("{figure:?}: got {got:?}, full solver {want:?}")),
    }
}

/// Every figure of every combination, fast against full; returns how many were not fast.
fn compare_all(search: &HoleSearch) -> Result<(u64, Vec<Option<Evaluation>>), String> {
    let outcome = run(search, &everything(search.combinations() as usize));
    let full = all_of(search);
    let standing = full.iter().filter(|f| f.is_some()).count() as u64;
    if outcome.kept != standing || outcome.best.len() as u64 != standing {
        return Err(format!("{} kept, {standing} stand", outcome.kept));
    }
    for found in &outcome.best {
        let want = full[found.index as usize].ok_or("does not stand")?;
        for figure in Figure::ALL {
            close(figure, found.figures.get(figure), want.figures.get(figure))
                .map_err(|e| format!("combination {}: {e}", found.index))?;
        }
    }
    Ok((outcome.solved_in_full, full))
}

/// The plain way to judge, from the full solver's figures.
fn judged(evaluation: &Evaluation, bands: &[Band]) -> Option<f64> {
    let mut sum = 0.0;
    for band in bands {
        let value = evaluation.figures.get(band.figure)?;
        if !(band.low <= value && value <= band.high) {
            return None;
        }
        if let Some(target) = band.target {
            sum += ((value - target) / (0.5 * (band.high - band.low))).powi(2);
        }
    }
    Some(sum.sqrt())
}

fn compare_judgement(
    search: &HoleSearch,
    full: &[Option<Evaluation>],
    bands: Vec<Band>,
) -> Result<u64, String> {
    let question = Question {
        bands,
        keep: full.len(),
        threads: 1,
        map: None,
    };
    let outcome = run(search, &question);
    let mut got = vec![None; full.len()];
    let mut last = 0.0;
    for found in &outcome.best {
        got[found.index as usize] = Some(found.distance);
        if found.distance < last {
            return Err("not sorted".into());
        }
        last = found.distance;
    }
    let mut kept = 0;
    for (index, (got, evaluation)) in got.iter().zip(full).enumerate() {
        let want = evaluation.and_then(|e| judged(&e, &question.bands));
        kept += u64::from(want.is_some());
        match (got, want) {
            (None, None) => {}
            (Some(g), Some(w)) if (g - w).abs() <= 1e-6 * (1.0 + w) => {}
            _ => return Err(format!("combination {index}: got {got:?}, want {want:?}")),
        }
    }
    if kept != outcome.kept {
        return Err(format!("{} kept, want {kept}", outcome.kept));
    }
    Ok(kept)
}

/// Bands around the middle of what occurs, their ends between two values that occur, so close
/// (`gap` of its size) to one of them that an estimate would misjudge it.
fn bands_near(full: &[Option<Evaluation>], figures: &[Figure], share: f64, gap: f64) -> Vec<Band> {
    figures
        .iter()
        .filter_map(|figure| {
            let mut values: Vec<f64> = full
                .iter()
                .flatten()
                .filter_map(|e| e.figures.get(*figure))
                .collect();
            values.sort_by(f64::total_cmp);
            let n = values.len();
            let low = values.get((n as f64 * share) as usize)?;
            let high = values.get(n - 1 - (n as f64 * share) as usize)?;
            let gap = gap * (1.0 + low.abs().max(high.abs()).powi(2));
            let (low, high) = (low + gap, high - gap);
            (low < high).then_some(Band {
                figure: *figure,
                low,
                high,
                target: Some(0.7 * low + 0.3 * high),
            })
        })
        .collect()
}

fn bands_from(full: &[Option<Evaluation>], figures: &[Figure], share: f64) -> Vec<Band> {
    bands_near(full, figures, share, 3e-8)
}

#[test]
fn mirrored_pairs_agree_with_the_full_solver() {
    let search = mirrored();
    let (in_full, full) = compare_all(&search).unwrap();
    assert_eq!(in_full, 0, "the fast way does not vouch for a plain car");
    for share in [0.0, 0.1, 0.2] {
        let kept = compare_judgement(
            &search,
            &full,
            bands_from(
                &full,
                &[
                    Figure::AntiSquat,
                    Figure::SwingArmLength,
                    Figure::RollSteer,
                    Figure::PinionChange,
                    Figure::BindStretch,
                ],
                share,
            ),
        )
        .unwrap();
        println!("share {share}: {kept} of {} kept", full.len());
        assert!(share > 0.1 || kept > 0);
    }
}

#[test]
fn free_sides_agree_with_the_full_solver() {
    let search = HoleSearch::new(car(), free(false), LOOK).unwrap();
    let (in_full, full) = compare_all(&search).unwrap();
    println!("{in_full} of {} in full", full.len());
    assert_eq!(in_full, 0);
    for figure in Figure::ALL {
        compare_judgement(&search, &full, bands_from(&full, &[figure], 0.2)).unwrap();
    }
}

#[test]
fn held_lengths_agree_with_the_full_solver() {
    let search = HoleSearch::new(car(), free(true), LOOK).unwrap();
    let (in_full, full) = compare_all(&search).unwrap();
    println!("{in_full} of {} in full", full.len());
    assert!(in_full < full.len() as u64 / 4);
    let ranges = [
        Figure::PinionChange,
        Figure::BindStretch,
        Figure::Recession,
        Figure::IcStation,
    ];
    compare_judgement(&search, &full, bands_from(&full, &ranges, 0.1)).unwrap();
}

/// A pair of links and a triangulated pair hold the axle without a bar: nothing binds.
#[test]
fn triangulated_links_do_not_bind() {
    let (lf, la) = lower(4, 3);
    let groups = vec![
        Group::mirrored(&lf, &la, None, STIFF),
        Group::mirrored(
            &holes([0.5, 0.4, 0.33], [0.0, 0.0, 0.02], 3),
            &holes([0.01, 0.08, 0.46], [0.0, 0.03, 0.0], 2),
            None,
            STIFF,
        ),
    ];
    let search = HoleSearch::new(car(), groups, LOOK).unwrap();
    let (in_full, full) = compare_all(&search).unwrap();
    assert_eq!(in_full, 0);
    for evaluation in full.iter().flatten() {
        assert!(evaluation.figures.get(Figure::BindStretch).unwrap() < 1e-9);
    }
    let figures = [Figure::PinionChange, Figure::RollCentreHeight];
    compare_judgement(&search, &full, bands_from(&full, &figures, 0.1)).unwrap();
}

#[test]
fn index_and_choices_go_round() {
    let search = HoleSearch::new(car(), free(false), LOOK).unwrap();
    assert_eq!(search.combinations(), 4 * 4 * 2 * 2 * 2);
    for index in 0..search.combinations() {
        let choices = search.choices_of(index).unwrap();
        assert_eq!(search.index_of(&choices), Some(index));
        let rods = search.rods(index).unwrap();
        for ((rod, group), choice) in rods.iter().zip(search.groups()).zip(&choices) {
            assert_eq!(rod, &group.choices[*choice][0]);
        }
    }
    // The last group runs fastest.
    assert_eq!(search.choices_of(1).unwrap(), [0, 0, 0, 0, 1]);
    assert_eq!(search.choices_of(search.combinations()), None);
    assert_eq!(search.index_of(&[0, 0, 0, 0, 2]), None);
    assert_eq!(search.index_of(&[0, 0]), None);
    let beyond = search.combinations();
    assert_eq!(
        search.evaluate(beyond).unwrap_err(),
        SearchError::NoSuchCombination {
            index: beyond,
            combinations: beyond
        }
    );
}

fn wide_groups() -> Vec<Group> {
    let (lf, la) = lower(3, 3);
    let (uf, ua) = upper(3, 2);
    vec![
        Group::single(&lf, &la, None, STIFF),
        Group::single(&flip(&lf), &flip(&la), None, STIFF),
        Group::single(&uf, &ua, None, STIFF),
        Group::single(&flip(&uf), &flip(&ua), None, STIFF),
        Group::fixed(level_bar()),
    ]
}

fn wide_question() -> Question {
    let band = |figure, low, high, target| Band {
        figure,
        low,
        high,
        target,
    };
    Question {
        bands: vec![
            band(Figure::PinionChange, 0.0, 0.1, Some(0.05)),
            band(Figure::AntiSquat, 0.3, 1.8, Some(1.0)),
            band(Figure::BindStretch, 0.0, 0.003, None),
        ],
        keep: 50,
        threads: 1,
        map: Some(MapAxes {
            across: MapAxis {
                figure: Figure::AntiSquat,
                low: 0.0,
                high: 2.0,
                cells: 8,
            },
            up: MapAxis {
                figure: Figure::RollSteer,
                low: -0.1,
                high: 0.2,
                cells: 5,
            },
        }),
    }
}

#[test]
fn threads_do_not_change_the_answer() {
    let search = HoleSearch::new(car(), wide_groups(), LOOK).unwrap();
    let mut question = wide_question();
    let one = run(&search, &question);
    assert!(one.kept > 100 && one.kept < one.evaluated, "{}", one.kept);
    for threads in [2, 3, 7] {
        question.threads = threads;
        assert_eq!(run(&search, &question), one);
    }
}

#[test]
fn the_map_counts_what_the_figures_say() {
    let search = HoleSearch::new(car(), wide_groups(), LOOK).unwrap();
    let mut question = wide_question();
    question.keep = search.combinations() as usize;
    let outcome = run(&search, &question);
    let map = outcome.map.unwrap();
    let axes = map.axes;
    assert!(axes.counts_rejected());
    let everything = run(&search, &everything(question.keep));
    let mut kept = vec![(0, None); map.cells.len()];
    let mut all = vec![0; map.cells.len()];
    let place = |figures: &geometry::Figures| {
        let across = axes.across.cell(figures.get(axes.across.figure)?)?;
        Some(axes.up.cell(figures.get(axes.up.figure)?)? * axes.across.cells + across)
    };
    for found in &outcome.best {
        if let Some(p) = place(&found.figures) {
            kept[p].0 += 1;
            // Sorted: the first of a cell is its best.
            kept[p].1 = kept[p].1.or(Some((found.index, found.distance)));
        }
    }
    for found in &everything.best {
        if let Some(p) = place(&found.figures) {
            all[p] += 1;
        }
    }
    for ((cell, kept), all) in map.cells.iter().zip(&kept).zip(&all) {
        assert_eq!((cell.kept, cell.best), *kept);
        assert_eq!(cell.kept + cell.rejected, *all);
    }
    assert!(map.cells.iter().filter(|c| c.kept > 0).count() > 3);
    let inside: u64 = map.cells.iter().map(|c| c.kept).sum();
    assert_eq!(inside + map.kept_outside, outcome.kept);
    // A map over a range figure needs its value of kept combinations alone.
    if let Some(map) = &mut question.map {
        map.up = MapAxis {
            figure: Figure::Recession,
            low: -0.05,
            high: 0.05,
            cells: 4,
        };
    }
    let outcome = run(&search, &question);
    let map = outcome.map.unwrap();
    assert_eq!(map.rejected_outside, 0);
    assert!(map.cells.iter().all(|c| c.rejected == 0));
    let inside: u64 = map.cells.iter().map(|c| c.kept).sum();
    assert_eq!(inside + map.kept_outside, outcome.kept);
    let row = |f: &geometry::Found| map.axes.up.cell(f.figures.get(Figure::Recession).unwrap());
    for up in 0..4 {
        let got: u64 = (0..8).map(|a| map.cell(a, up).unwrap().kept).sum();
        let want = outcome.best.iter().filter(|f| row(f) == Some(up)).count();
        assert_eq!(got, want as u64);
    }
}

#[test]
fn only_the_best_are_returned() {
    let search = HoleSearch::new(car(), wide_groups(), LOOK).unwrap();
    let mut question = wide_question();
    question.keep = search.combinations() as usize;
    let all = run(&search, &question);
    for keep in [0, 1, 7, 50] {
        question.keep = keep;
        assert_eq!(run(&search, &question).best, all.best[..keep]);
    }
}

#[test]
fn a_cancelled_search_says_so() {
    let search = HoleSearch::new(car(), wide_groups(), LOOK).unwrap();
    let (progress, cancel) = (AtomicU64::new(0), AtomicBool::new(true));
    let got = search.run(&wide_question(), &progress, &cancel);
    assert_eq!(got, Err(SearchError::Cancelled { done: 0 }));
    // Cancelled from outside while it runs: either it was done already or it stops early.
    let cancel = AtomicBool::new(false);
    let got = std::thread::scope(|scope| {
        scope.spawn(|| {
            while progress.load(Ordering::Relaxed) == 0 {
                std::thread::yield_now();
            }
            cancel.store(true, Ordering::Relaxed);
        });
        search.run(&wide_question(), &progress, &cancel)
    });
    match got {
        Ok(outcome) => assert_eq!(outcome.evaluated, search.combinations()),
        Err(error) => {
            let done = progress.load(Ordering::Relaxed);
            assert_eq!(error, SearchError::Cancelled { done });
            assert!(done > 0);
        }
    }
}

/// Order of the groups: the same combinations under permuted indices.
#[test]
fn permuting_groups_permutes_the_answer() {
    let order = [3, 0, 4, 2, 1];
    let groups = wide_groups();
    let permuted: Vec<Group> = order.iter().map(|g| groups[*g].clone()).collect();
    let straight = HoleSearch::new(car(), groups, LOOK).unwrap();
    let turned = HoleSearch::new(car(), permuted, LOOK).unwrap();
    let mut question = wide_question();
    question.keep = straight.combinations() as usize;
    let (a, b) = (run(&straight, &question), run(&turned, &question));
    assert_eq!(
        (a.kept, a.cannot_stand, &a.rejected),
        (b.kept, b.cannot_stand, &b.rejected)
    );
    let mut by_index = vec![None; question.keep];
    for found in &b.best {
        by_index[found.index as usize] = Some(*found);
    }
    for found in &a.best {
        let choices = straight.choices_of(found.index).unwrap();
        let turned_choices: Vec<usize> = order.iter().map(|g| choices[*g]).collect();
        let other = by_index[turned.index_of(&turned_choices).unwrap() as usize].unwrap();
        assert!((found.distance - other.distance).abs() < 1e-9);
        for figure in Figure::ALL {
            close(figure, found.figures.get(figure), other.figures.get(figure)).unwrap();
        }
    }
}

/// The mirror image of a combination has the same side view and, over a symmetric range of
/// roll, the same bind (the bar mirrored with it).
#[test]
fn mirror_images_are_equal() {
    let look = Look {
        travel: [-0.05, 0.05],
        roll: [-0.035, 0.035],
    };
    let groups = wide_groups();
    let bar = level_bar();
    let mut other = groups.clone();
    other[4] = Group::fixed(DrawnRod {
        frame_point: Point3::new(bar.frame_point.x, -bar.frame_point.y, bar.frame_point.z),
        housing_point: Point3::new(
            bar.housing_point.x,
            -bar.housing_point.y,
            bar.housing_point.z,
        ),
        ..bar
    });
    let keep = 3000;
    let a = HoleSearch::new(car(), groups, look).unwrap();
    let b = HoleSearch::new(car(), other, look).unwrap();
    let (x, y) = (run(&a, &everything(keep)), run(&b, &everything(keep)));
    assert_eq!(x.kept, a.combinations());
    for found in &x.best {
        let c = a.choices_of(found.index).unwrap();
        let image = b.index_of(&[c[1], c[0], c[3], c[2], 0]).unwrap();
        // Nothing is ranked: the list is in order of the index.
        let image = y.best[image as usize];
        for figure in [
            Figure::AntiSquat,
            Figure::RollSteer,
            Figure::PinionChange,
            Figure::BindStretch,
            Figure::Recession,
        ] {
            close(figure, found.figures.get(figure), image.figures.get(figure)).unwrap();
        }
    }
}

#[test]
fn faults_are_typed() {
    let groups = wide_groups();
    let refuse = |groups: Vec<Group>, look: Look| HoleSearch::new(car(), groups, look).err();
    assert_eq!(refuse(vec![], LOOK), Some(SearchError::NoGroups));
    let mut g = groups.clone();
    g[1].choices.clear();
    assert_eq!(refuse(g, LOOK), Some(SearchError::EmptyGroup { group: 1 }));
    let mut g = groups.clone();
    g[2].choices[1].push(level_bar());
    assert!(matches!(
        refuse(g, LOOK),
        Some(SearchError::UnevenGroup {
            group: 2,
            choice: 1,
            rods: 2,
            expected: 1
        })
    ));
    let mut g = groups.clone();
    g.extend(vec![Group::fixed(level_bar()); 4]);
    assert_eq!(refuse(g, LOOK), Some(SearchError::TooManyRods { rods: 9 }));
    assert_eq!(
        refuse(groups[..3].to_vec(), LOOK),
        Some(SearchError::TooFewRods { rods: 3 })
    );
    let many = Group {
        choices: vec![vec![level_bar()]; 70_000],
    };
    assert_eq!(
        refuse(vec![many; 4], LOOK),
        Some(SearchError::TooManyCombinations)
    );
    let mut g = groups.clone();
    g[4].choices[0][0].stiffness = None;
    assert_eq!(
        refuse(g, LOOK),
        Some(SearchError::MixedStiffness {
            group: 4,
            choice: 0
        })
    );
    for fault in 0..3 {
        let mut g = groups.clone();
        let rod = &mut g[0].choices[2][0];
        match fault {
            0 => rod.stiffness = Some(0.0),
            1 => rod.length = Some(f64::NAN),
            _ => rod.frame_point.y = f64::INFINITY,
        }
        assert!(matches!(
            refuse(g, LOOK),
            Some(SearchError::BadRod {
                group: 0,
                choice: 2,
                ..
            })
        ));
    }
    let mut look = LOOK;
    look.roll = [0.1, -0.1];
    assert!(matches!(
        refuse(groups.clone(), look),
        Some(SearchError::BadRange { what: "roll", .. })
    ));
    let mut bad = car();
    bad.wheelbase = -1.0;
    assert!(matches!(
        HoleSearch::new(bad, groups.clone(), LOOK).err(),
        Some(SearchError::Axle(_))
    ));
    let search = HoleSearch::new(car(), groups, LOOK).unwrap();
    let ask = |change: fn(&mut Question)| {
        let mut question = wide_question();
        change(&mut question);
        search
            .run(&question, &AtomicU64::new(0), &AtomicBool::new(false))
            .err()
    };
    for change in [
        (|q: &mut Question| q.bands[1].low = 2.0) as fn(&mut Question),
        |q| q.bands[1].low = f64::NAN,
        |q| q.bands[1].low = f64::NEG_INFINITY,
        |q| (q.bands[1].low, q.bands[1].high) = (1.0, 1.0),
        |q| q.bands[1].target = Some(f64::NAN),
    ] {
        assert!(matches!(
            ask(change),
            Some(SearchError::BadBand { band: 1, .. })
        ));
    }
    for change in [
        (|q: &mut Question| q.map.as_mut().unwrap().up.cells = 0) as fn(&mut Question),
        |q| q.map.as_mut().unwrap().up.cells = usize::MAX,
        |q| q.map.as_mut().unwrap().across.high = 0.0,
    ] {
        assert!(matches!(ask(change), Some(SearchError::BadAxis { .. })));
    }
    // A band open to one side, without a target, is a band.
    assert_eq!(
        ask(|q| (q.bands[2].low, q.bands[2].high) = (f64::NEG_INFINITY, f64::INFINITY)),
        None
    );
}

/// Coincident holes, a link of no length, links that lie in one plane, a bar along the car and
/// one along the axle tube: typed or counted, and like the full solver.
#[test]
fn degenerate_patterns_agree_with_the_full_solver() {
    let link = |a: [f64; 3], b: [f64; 3]| vec![rod(a, b)];
    let groups = vec![
        Group {
            choices: vec![
                link([0.6, 0.42, 0.2], [0.02, 0.42, 0.18]),
                link([0.6, 0.42, 0.2], [0.02, 0.42, 0.18]),
                // No length.
                link([0.02, 0.42, 0.18], [0.02, 0.42, 0.18]),
                // Upper and lower links in one plane through the axle centre line.
                link([0.6, 0.42, 0.33], [0.02, 0.42, 0.33]),
            ],
        },
        Group {
            choices: vec![
                link([0.6, -0.42, 0.2], [0.02, -0.42, 0.18]),
                link([0.6, -0.42, 0.33], [0.02, -0.42, 0.33]),
            ],
        },
        Group {
            choices: vec![
                link([0.55, 0.4, 0.36], [0.01, 0.4, 0.47]),
                link([0.55, 0.4, 0.33], [0.01, 0.4, 0.33]),
                // Straight up: does nothing for pitch where height is held.
                link([0.0, 0.4, 0.9], [0.0, 0.4, 0.47]),
            ],
        },
        Group {
            choices: vec![
                link([0.55, -0.4, 0.36], [0.01, -0.4, 0.47]),
                link([0.55, -0.4, 0.33], [0.01, -0.4, 0.33]),
                link([0.0, -0.4, 0.9], [0.0, -0.4, 0.47]),
            ],
        },
        Group {
            choices: vec![
                vec![level_bar()],
                // Along the axle tube, through its centre.
                link([0.0, -0.5, 0.33], [0.0, 0.4, 0.33]),
                // Along the car: nothing holds the axle sideways.
                link([0.6, 0.0, 0.3], [0.1, 0.0, 0.3]),
                // So short that its end cannot travel.
                link([-0.14, 0.33, 0.33], [-0.14, 0.36, 0.33]),
                // Of a nanometre.
                link([-0.14, 0.36, 0.33], [-0.14, 0.36 + 2e-9, 0.33]),
            ],
        },
    ];
    let search = HoleSearch::new(car(), groups, LOOK).unwrap();
    let (in_full, full) = compare_all(&search).unwrap();
    let standing = full.iter().flatten().count();
    println!(
        "{standing} of {} stand, {in_full} went through the full solver",
        full.len()
    );
    assert!(standing > 10 && standing < full.len());
    assert!(full.iter().flatten().any(|e| e.travel_limit.is_some()));
    for figure in [Figure::PinionChange, Figure::BindStretch, Figure::AntiSquat] {
        compare_judgement(&search, &full, bands_from(&full, &[figure], 0.15)).unwrap();
    }
}

/// A car with everything random within what is built, a few holes on every bracket.
#[derive(Clone, Debug)]
struct RandomCar {
    at: Vec<f64>,
    free: bool,
    held: bool,
    triangulated: bool,
    soft_bar: bool,
}

impl RandomCar {
    fn search(&self) -> HoleSearch {
        let u = |n: usize, low: f64, high: f64| low + (high - low) * self.at[n % self.at.len()];
        let car = geometry::AxleCar {
            cg_height: u(0, 0.45, 0.7),
            wheelbase: u(1, 2.3, 3.1),
            loaded_radius: u(2, 0.29, 0.4),
            ..car()
        };
        let r = car.loaded_radius;
        let lower_frame = holes(
            [u(3, 0.4, 0.9), u(4, 0.25, 0.5), r + u(5, -0.16, -0.06)],
            [u(6, -0.02, 0.02), 0.0, u(7, 0.01, 0.03)],
            2,
        );
        let lower_axle = holes(
            [u(8, -0.05, 0.08), u(9, 0.35, 0.5), r + u(10, -0.18, -0.1)],
            [0.0, 0.0, u(11, -0.03, -0.01)],
            2,
        );
        let inboard = if self.triangulated { 0.1 } else { 0.38 };
        let upper_frame = holes(
            [u(12, 0.35, 0.7), u(13, 0.36, 0.48), r + u(14, -0.02, 0.09)],
            [0.0, u(15, -0.02, 0.02), u(16, 0.01, 0.025)],
            2,
        );
        let upper_axle = holes(
            [
                u(17, -0.03, 0.05),
                u(18, inboard, inboard + 0.08),
                r + u(19, 0.1, 0.18),
            ],
            [0.0, 0.0, u(20, 0.01, 0.025)],
            2,
        );
        let k = |n: usize| Some(u(n, 1.0e7, 5.0e7));
        // Held near the lengths of the middle of the pattern.
        let held = |a: &[Point3<f64>], b: &[Point3<f64>]| {
            self.held
                .then(|| 0.5 * ((a[0] - b[0]).norm() + (a[1] - b[1]).norm()))
        };
        let mut groups = Vec::new();
        for (n, (a, b)) in [(&lower_frame, &lower_axle), (&upper_frame, &upper_axle)]
            .into_iter()
            .enumerate()
        {
            let (length, k) = (held(a, b), k(21 + n));
            if self.free {
                groups.push(Group::single(a, b, length, k));
                groups.push(Group::single(&flip(a), &flip(b), length, k));
            } else {
                groups.push(Group::mirrored(a, b, length, k));
            }
        }
        if !self.triangulated {
            let bar = holes(
                [u(23, -0.25, -0.1), -u(24, 0.3, 0.5), r + u(25, -0.1, 0.1)],
                [0.0, 0.0, 0.04],
                2,
            );
            let end = Point3::new(bar[0].x, u(26, 0.3, 0.5), r + u(27, -0.1, 0.1));
            let k = if self.soft_bar { Some(2.0e6) } else { k(28) };
            groups.push(Group::single(&bar, &[end], None, k));
        }
        let look = Look {
            travel: [u(29, -0.09, -0.03), u(30, 0.03, 0.09)],
            roll: [u(31, -0.07, -0.02), u(32, 0.02, 0.07)],
        };
        HoleSearch::new(car, groups, look).unwrap()
    }
}

fn random_car() -> impl Strategy<Value = RandomCar> {
    (
        prop::collection::vec(0.0..1.0_f64, 33),
        any::<bool>(),
        any::<bool>(),
        any::<bool>(),
        any::<bool>(),
    )
        .prop_map(|(at, free, held, triangulated, soft_bar)| RandomCar {
            at,
            free,
            held,
            triangulated,
            soft_bar,
        })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn random_patterns_agree_with_the_full_solver(random in random_car()) {
        let search = random.search();
        let (_, full) = compare_all(&search).map_err(TestCaseError::fail)?;
        for figures in [
            &[Figure::PinionChange, Figure::BindStretch][..],
            &[Figure::AntiSquat, Figure::Recession],
            &[Figure::RollSteer, Figure::IcHeight, Figure::BindStretch],
        ] {
            // Down to a gap at which rounding decides, up to that of one step of the solver.
            for gap in [3e-8, 1e-7, 1e-6, 1e-5, 1e-4] {
                for share in [0.05, 0.25] {
                    let bands = bands_near(&full, figures, share, gap);
                    compare_judgement(&search, &full, bands).map_err(TestCaseError::fail)?;
                }
            }
        }
    }
}
