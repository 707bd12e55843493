//! The hole search and the placement tolerance of whole builds.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

use std::path::Path;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};

use build::{
    Along, Build, Edit, HeldLength, History, HoleOptions, HolePlan, Misplaced, PlacementStudy,
    Target, derive, figure_of, file, reading_of,
};
use units::{Kind, Length, Quantity, Shop};

fn sample(name: &str) -> Build {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples");
    file::load(&path.join(name)).unwrap_or_else(|e| panic!("{e}"))
}

fn run(plan: &HolePlan) -> build::HoleOutcome {
    plan.run(&AtomicU64::new(0), &AtomicBool::new(false))
        .unwrap_or_else(|e| panic!("{e}"))
}

/// What the search says of a combination is what the study says once it is bolted up.
#[test]
fn a_tried_combination_reads_as_the_search_said() {
    for (name, free) in [
        ("redshank.ron", false),
        ("redshank.ron", true),
        ("whimbrel.ron", true),
    ] {
        let mut b = sample(name);
        b.targets.clear();
        let plan = HolePlan::new(
            &b,
            HoleOptions {
                free,
                keep: 40,
                ..HoleOptions::default()
            },
        )
        .unwrap();
        let found = run(&plan);
        assert_eq!(found.evaluated, plan.combinations());
        assert_eq!(found.kept + found.cannot_stand, found.evaluated);
        assert_eq!(found.best.len(), 40, "{name}");
        for f in &found.best {
            let mut h = History::new(b.clone());
            h.apply(&plan.edit(f.index)).unwrap();
            let study = derive(h.build());
            for figure in build::Figure::ALL {
                let Some(d) = reading_of(figure) else {
                    continue;
                };
                assert_eq!(figure_of(d.id), Some(figure));
                let (read, said) = (
                    study.reading(d.id).unwrap().value.clone(),
                    f.figures.get(figure),
                );
                match (read, said) {
                    (Ok(x), Some(y)) => {
                        // Pinion and axle over travel: the study looks at every pose, the search at the ends.
                        let slack = if matches!(
                            figure,
                            build::Figure::PinionChange | build::Figure::Recession
                        ) {
                            2e-3
                        } else {
                            1e-8
                        };
                        assert!(
                            (x - y).abs() <= slack * (1.0 + x.abs()),
                            "{name} {}: {x} {y}",
                            d.id
                        );
                    }
                    (Err(_), None) => {}
                    (x, y) => panic!("{name} {}: {x:?} {y:?}", d.id),
                }
            }
        }
    }
}

#[test]
fn counts_follow_from_the_holes_and_the_present_setting_is_found() {
    let b = sample("redshank.ron");
    let mirrored = HolePlan::new(&b, HoleOptions::default()).unwrap();
    // 4 x 3 uppers, 4 x 3 lowers, one bar.
    assert_eq!(mirrored.combinations(), 144);
    let free = HolePlan::new(
        &b,
        HoleOptions {
            free: true,
            ..HoleOptions::default()
        },
    )
    .unwrap();
    assert_eq!(free.combinations(), 144 * 144);
    for plan in [&mirrored, &free] {
        let now = run(plan).now.unwrap();
        let mut h = History::new(b.clone());
        h.apply(&plan.edit(now)).unwrap();
        assert_eq!(
            **h.build(),
            b,
            "bolting up what is bolted up changes nothing"
        );
    }
    // Unlike holes left and right are no combination of a mirrored search.
    let mut h = History::new(b);
    h.apply(&Edit::SetHole {
        link: "upper".to_owned(),
        end: build::End::Frame,
        side: build::Side::Left,
        hole: 1,
    })
    .unwrap();
    let b = Build::clone(h.build());
    assert_eq!(
        run(&HolePlan::new(&b, HoleOptions::default()).unwrap()).now,
        None
    );
}

#[test]
fn the_best_lie_in_every_band_and_none_outside_is_missed() {
    let mut b = sample("redshank.ron");
    for t in &mut b.targets {
        match t.reading.as_str() {
            "rear.anti_squat" => (t.low.si, t.high.si) = (0.95, 1.4),
            "rear.ic.station" => t.high.si = 1.8,
            "rear.roll_steer" => t.high.si = 0.06,
            _ => {}
        }
    }
    // A band on the launch as well: it needs the whole study.
    b.targets.push(Target {
        reading: "launch.separation".to_owned(),
        low: Quantity::new(Kind::Length, -0.001),
        high: Quantity::new(Kind::Length, 0.006),
    });
    let plan = HolePlan::new(&b, HoleOptions::default()).unwrap();
    let found = run(&plan);
    assert_eq!(found.in_full, ["launch.separation"]);
    let listed: std::collections::HashSet<u64> = found.best.iter().map(|f| f.index).collect();
    let mut inside = 0;
    for index in 0..plan.combinations() {
        let mut h = History::new(b.clone());
        h.apply(&plan.edit(index)).unwrap();
        let study = derive(h.build());
        let wanted: Vec<bool> = b
            .targets
            .iter()
            .map(|t| study.reading(&t.reading).unwrap().status() == build::Status::InBand)
            .collect();
        let all = wanted.iter().all(|w| *w);
        inside += u64::from(all);
        assert_eq!(
            listed.contains(&index),
            all,
            "combination {index}: {wanted:?}"
        );
    }
    assert!(inside > 0 && inside < plan.combinations() / 2, "{inside}");
    assert!(
        found
            .best
            .windows(2)
            .all(|w| w[0].distance <= w[1].distance)
    );
    let rejected: u64 = found.rejected.iter().map(|r| r.1).sum();
    assert_eq!(found.kept + found.cannot_stand + rejected, found.evaluated);
    assert!(found.looked_at as u64 == found.kept);
    let map = found.map.unwrap();
    let counted: u64 = map.cells.iter().map(|c| c.kept + c.rejected).sum();
    assert_eq!(
        counted + map.kept_outside + map.rejected_outside + found.cannot_stand,
        found.evaluated
    );
}

#[test]
fn a_tried_combination_lets_held_lengths_go_unless_they_stay() {
    let mut b = sample("redshank.ron");
    let long = Length::from_inches(19.0);
    b.rear.links[0].held = Some(HeldLength {
        left: long,
        right: long,
    });
    for held in [false, true] {
        let plan = HolePlan::new(
            &b,
            HoleOptions {
                held,
                ..HoleOptions::default()
            },
        )
        .unwrap();
        let mut h = History::new(b.clone());
        h.apply(&plan.edit(0)).unwrap();
        assert_eq!(h.build().rear.links[0].held.is_some(), held);
        h.undo();
        assert_eq!(**h.build(), b, "one step");
        assert!(!h.undo());
    }
}

#[test]
fn a_search_can_be_called_off_and_a_build_without_links_says_so() {
    let b = sample("redshank.ron");
    let plan = HolePlan::new(
        &b,
        HoleOptions {
            free: true,
            ..HoleOptions::default()
        },
    )
    .unwrap();
    let off = AtomicBool::new(true);
    assert!(
        plan.run(&AtomicU64::new(0), &off)
            .unwrap_err()
            .to_string()
            .contains("called off")
    );
    off.store(false, Ordering::Relaxed);
    let e = HolePlan::new(&Build::empty("x"), HoleOptions::default()).unwrap_err();
    assert!(e.to_string().contains("no links are drawn yet"));
    let mut many = sample("redshank.ron");
    for x in &mut many.rear.brackets {
        x.holes = build::row(40, Length::from_inches(1.0));
    }
    let e = HolePlan::new(
        &many,
        HoleOptions {
            free: true,
            ..HoleOptions::default()
        },
    )
    .unwrap_err();
    assert!(e.to_string().contains("too many"), "{e}");
    let mut b = sample("redshank.ron");
    b.rear.links[1].at_axle.bracket = "gone".to_owned();
    let e = HolePlan::new(&b, HoleOptions::default()).unwrap_err();
    assert!(
        e.to_string().contains("there is no bracket \"gone\""),
        "{e}"
    );
}

/// Every coordinate moved by the tolerance in the document itself: the study's readings change by what the sensitivity says.
#[test]
fn sensitivities_are_what_moving_the_bracket_does() {
    let b = sample("redshank.ron");
    let p = PlacementStudy::new(&b, false).unwrap();
    // 4 pairs on two sides, two single brackets, three coordinates each.
    assert_eq!(p.coordinates.len(), (4 * 2 + 2) * 3);
    let step = 1e-5;
    for (figure, id) in [
        (Misplaced::AntiSquat, "rear.anti_squat"),
        (Misplaced::IcStation, "rear.ic.station"),
        (Misplaced::IcHeight, "rear.ic.height"),
        (Misplaced::RollSteer, "rear.roll_steer"),
    ] {
        let linear = p.sensitivities.of(figure).unwrap();
        let read = |b: &Build| derive(b).reading(id).unwrap().value.clone().unwrap();
        assert!((linear.nominal - read(&b)).abs() < 1e-9);
        for (bracket, x) in b.rear.brackets.iter().enumerate() {
            for (k, along) in [Along::Station, Along::Offset, Along::Height]
                .into_iter()
                .enumerate()
            {
                // Both sides of a pair move together in the document, mirrored: the offset of the right one backwards.
                let slope: f64 = p
                    .coordinates
                    .iter()
                    .zip(&linear.slopes)
                    .filter(|(c, _)| c.bracket == bracket && c.along == along)
                    .map(|(c, s)| {
                        if k == 1 && c.side == build::Side::Right {
                            -s
                        } else {
                            *s
                        }
                    })
                    .sum();
                let moved = |d: f64| {
                    let mut b = b.clone();
                    let mut at = x.at.si();
                    at[k] += d;
                    b.rear.brackets[bracket].at = build::Place::from_si(at);
                    read(&b)
                };
                let seen = (moved(step) - moved(-step)) / (2.0 * step);
                let size = linear.slopes.iter().fold(0.0_f64, |m, s| m.max(s.abs()));
                assert!(
                    (seen - slope).abs() < 1e-4 * size,
                    "{id} {} {along:?}: {seen} {slope}",
                    x.label
                );
            }
        }
    }
}

#[test]
fn three_dimensions_that_matter_most_are_named_in_words() {
    let b = sample("redshank.ron");
    let p = PlacementStudy::new(&b, false).unwrap();
    let most = p.most(Misplaced::AntiSquat, 3);
    assert_eq!(most.len(), 3);
    // Heights turn the link lines; offsets do not.
    assert!(most.iter().all(|m| m.along == Along::Height), "{most:?}");
    assert!(most.windows(2).all(|w| w[0].share >= w[1].share));
    let said = p
        .sentence(&b, Misplaced::AntiSquat, &most[0])
        .show(&Shop::default());
    assert!(
        said.contains("height: 1/32\" off on one side moves anti-squat "),
        "{said}"
    );
    let scatter = p
        .scatter(&b, 4000, 7, &AtomicU64::new(0), &AtomicBool::new(false))
        .unwrap();
    let d = scatter.of(Misplaced::AntiSquat);
    let linear = p.sensitivities.of(Misplaced::AntiSquat).unwrap();
    let s = d.summary.as_ref().unwrap();
    // Of 4000 samples the spread is known to about 1 %.
    assert!((s.standard_deviation / linear.standard_deviation - 1.0).abs() < 0.06);
    assert!((s.mean - linear.nominal).abs() < 0.1 * linear.standard_deviation);
    // Nothing is off by more than the worst case, but for the bend of the curve.
    assert!(s.max < linear.nominal + 1.02 * linear.worst_case);
    assert!(d.inside.unwrap() > 0.3, "the band of the sample");
}

#[test]
fn placement_of_builds_that_do_not_stand_says_why() {
    assert!(
        PlacementStudy::new(&Build::empty("x"), false)
            .unwrap_err()
            .contains("no links")
    );
    let mut b = sample("redshank.ron");
    b.rear.brackets[5].at = b.rear.brackets[4].at;
    assert!(!PlacementStudy::new(&b, false).unwrap_err().is_empty());
    let mut b = sample("redshank.ron");
    b.rear.placement_tolerance = Length::from_si(0.0);
    let p = PlacementStudy::new(&b, true).unwrap();
    assert!(p.most(Misplaced::AntiSquat, 3).is_empty());
    let s = p
        .scatter(&b, 100, 1, &AtomicU64::new(0), &AtomicBool::new(false))
        .unwrap();
    assert_eq!(
        s.of(Misplaced::AntiSquat)
            .summary
            .as_ref()
            .unwrap()
            .standard_deviation,
        0.0
    );
}
