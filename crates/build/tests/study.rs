//! Checks, hold points, findings and advice.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

use std::path::Path;

use build::{
    Bracket, Build, Check, CheckKind, CheckState, Deriver, Edit, End, Finding, History, Mark, Miss,
    Part, Phase, Place, Severity, Side, Status, Study, Target, definition, derive, file,
};
use units::{Kind, Length, Quantity, Shop};

fn sample(name: &str) -> Build {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples");
    file::load(&folder.join(name)).unwrap_or_else(|e| panic!("{e}"))
}

fn q(text: &str) -> Quantity {
    units::parse_any(text).unwrap()
}

fn mark(done: bool, value: Option<&str>) -> Mark {
    Mark {
        done,
        who: "TB".to_owned(),
        when: "2026-05-02 10:00".to_owned(),
        note: String::new(),
        value: value.map(q),
    }
}

fn check(id: &str, kind: CheckKind) -> Check {
    Check {
        id: id.to_owned(),
        label: format!("The {id}"),
        kind,
        hold: false,
        caution: String::new(),
        marks: Vec::new(),
    }
}

fn measure(low: Option<&str>, high: Option<&str>) -> CheckKind {
    CheckKind::Measure {
        low: low.map(q),
        high: high.map(q),
    }
}

fn rule(readings: &[&str]) -> CheckKind {
    CheckKind::Rule {
        readings: readings.iter().map(|r| (*r).to_owned()).collect(),
    }
}

fn phase(id: &str, waits_for: &[&str], checks: Vec<Check>) -> Phase {
    Phase {
        id: id.to_owned(),
        title: format!("Phase {id}"),
        caution: String::new(),
        waits_for: waits_for.iter().map(|w| (*w).to_owned()).collect(),
        checks,
    }
}

fn with_phases(phases: Vec<Phase>) -> Build {
    let mut b = sample("redshank.ron");
    b.phases = phases;
    b
}

fn state(study: &Study, phase: &str, check: &str) -> CheckState {
    let p = study.phases.iter().find(|p| p.id == phase).unwrap();
    p.checks
        .iter()
        .find(|c| c.id == check)
        .unwrap()
        .state
        .clone()
}

/// The state of one check with these marks.
fn judged(kind: CheckKind, marks: &[Mark]) -> CheckState {
    let mut c = check("it", kind);
    c.marks = marks.to_vec();
    state(
        &derive(&with_phases(vec![phase("p", &[], vec![c])])),
        "p",
        "it",
    )
}

fn said(findings: &[Finding], part: &Part) -> Vec<(Severity, String, String)> {
    let shop = Shop::default();
    findings
        .iter()
        .filter(|f| f.part == *part)
        .map(|f| (f.severity, f.text.show(&shop), f.next.show(&shop)))
        .collect()
}

#[test]
fn a_tick_is_done_and_undone_by_the_last_mark() {
    assert_eq!(judged(CheckKind::Tick, &[]), CheckState::Open);
    assert_eq!(
        judged(CheckKind::Tick, &[mark(true, None)]),
        CheckState::Passed
    );
    let taken_back = [mark(true, None), mark(false, None)];
    assert_eq!(judged(CheckKind::Tick, &taken_back), CheckState::Open);
    let again = [mark(true, None), mark(false, None), mark(true, None)];
    assert_eq!(judged(CheckKind::Tick, &again), CheckState::Passed);
}

#[test]
fn a_measured_value_is_judged_against_its_limits() {
    let m = || measure(Some("-1/16 in"), Some("1/16 in"));
    assert_eq!(judged(m(), &[]), CheckState::Open);
    for inside in ["0 in", "1/32 in", "-1/32 in", "0.0624 in", "1 mm"] {
        assert_eq!(
            judged(m(), &[mark(true, Some(inside))]),
            CheckState::Passed,
            "{inside}"
        );
    }
    // Exactly on a limit passes, however it is written: 1/16 in = 1.5875 mm.
    for on in [
        "1/16 in",
        "-1/16 in",
        "0.0625 in",
        "1.5875 mm",
        "-1.5875 mm",
        "0.0015875 m",
    ] {
        assert_eq!(
            judged(m(), &[mark(true, Some(on))]),
            CheckState::Passed,
            "{on}"
        );
    }
    let over = judged(m(), &[mark(true, Some("3/32 in"))]);
    assert_eq!(
        over,
        CheckState::Failed(Miss::Over(q("3/32 in"), q("1/16 in")))
    );
    let under = judged(m(), &[mark(true, Some("-3/32 in"))]);
    assert_eq!(
        under,
        CheckState::Failed(Miss::Under(q("-3/32 in"), q("-1/16 in")))
    );
    // A hair past it does not pass.
    for past in ["1.5876 mm", "-1.5876 mm"] {
        let s = judged(m(), &[mark(true, Some(past))]);
        assert!(matches!(s, CheckState::Failed(_)), "{past}");
    }
    // Taken back, or recorded without a value: nothing is measured.
    let back = [mark(true, Some("0 in")), mark(false, None)];
    assert_eq!(judged(m(), &back), CheckState::Open);
    let back = [mark(true, Some("0 in")), mark(false, Some("0 in"))];
    assert_eq!(judged(m(), &back), CheckState::Open);
    assert_eq!(judged(m(), &[mark(true, None)]), CheckState::Open);
    // Measured again: the last one counts.
    let again = [mark(true, Some("1 in")), mark(true, Some("0 in"))];
    assert_eq!(judged(m(), &again), CheckState::Passed);
}

#[test]
fn a_limit_left_out_is_open() {
    let least = || measure(Some("3/4 in"), None);
    assert_eq!(
        judged(least(), &[mark(true, Some("90 in"))]),
        CheckState::Passed
    );
    assert_eq!(
        judged(least(), &[mark(true, Some("3/4 in"))]),
        CheckState::Passed
    );
    assert!(matches!(
        judged(least(), &[mark(true, Some("11/16 in"))]),
        CheckState::Failed(Miss::Under(..))
    ));
    let most = || measure(None, Some("3 in"));
    assert_eq!(
        judged(most(), &[mark(true, Some("-9 in"))]),
        CheckState::Passed
    );
    assert!(matches!(
        judged(most(), &[mark(true, Some("3 1/64 in"))]),
        CheckState::Failed(Miss::Over(..))
    ));
    assert_eq!(
        judged(measure(None, None), &[mark(true, Some("7 lb"))]),
        CheckState::Passed
    );
}

#[test]
fn another_kind_of_quantity_is_a_miss_of_its_own() {
    let m = measure(Some("0 in"), Some("1 in"));
    let s = judged(m, &[mark(true, Some("12 lb"))]);
    assert_eq!(s, CheckState::Failed(Miss::Kind(q("12 lb"))));
    let CheckState::Failed(miss) = s else {
        unreachable!()
    };
    assert_eq!(
        miss.words().show(&Shop::default()),
        "12 lb is another kind of quantity than the limits"
    );
}

#[test]
fn misses_say_by_how_much() {
    let shop = Shop::default();
    let over = Miss::Over(q("3/16 in"), q("1/16 in")).words().show(&shop);
    assert_eq!(over, "1/8\" over the greatest");
    let under = Miss::Under(q("-3/16 in"), q("1/16 in")).words().show(&shop);
    assert_eq!(under, "1/4\" under the least");
}

#[test]
fn a_rule_passes_when_every_reading_is_in_band() {
    let unknown = |reading: &str, why: &'static str| CheckState::Unknown {
        reading: reading.to_owned(),
        why,
    };
    // Redshank's anti-squat is 108.7 % in 105 % to 125 %, its weights have no band.
    assert_eq!(judged(rule(&["rear.anti_squat"]), &[]), CheckState::Passed);
    assert_eq!(
        judged(rule(&["rear.anti_squat", "rear.ic.station"]), &[]),
        CheckState::Passed
    );
    assert_eq!(
        judged(rule(&[]), &[mark(true, None)]),
        unknown("", "the rule names no reading")
    );
    assert_eq!(
        judged(rule(&["car.front_weight"]), &[]),
        unknown("car.front_weight", "no target band is set")
    );
    assert_eq!(
        judged(rule(&["rear.antisquat"]), &[]),
        unknown("rear.antisquat", "there is no such reading")
    );
    assert_eq!(
        judged(rule(&["rear.anti_squat", "car.rear_weight"]), &[]),
        unknown("car.rear_weight", "no target band is set")
    );
    // A tick does not overrule it.
    let mut b = with_phases(vec![phase(
        "p",
        &[],
        vec![check("it", rule(&["rear.anti_squat"]))],
    )]);
    b.targets = vec![Target {
        reading: "rear.anti_squat".to_owned(),
        low: q("110 %"),
        high: q("125 %"),
    }];
    b.phases[0].checks[0].marks = vec![mark(true, None)];
    let study = derive(&b);
    let value = study
        .reading("rear.anti_squat")
        .unwrap()
        .value
        .clone()
        .unwrap();
    let anti_squat = build::definition("rear.anti_squat").unwrap();
    let failed = CheckState::Failed(Miss::Reading(anti_squat, value));
    assert_eq!(state(&study, "p", "it"), failed);
    // A band of another kind is no band.
    b.targets[0].low = q("42 in");
    b.targets[0].high = q("56 in");
    let study = derive(&b);
    assert_eq!(
        state(&study, "p", "it"),
        unknown("rear.anti_squat", "no target band is set")
    );
    let found = said(
        &study.findings,
        &Part::Reading("rear.anti_squat".to_owned()),
    );
    assert!(
        found
            .iter()
            .any(|(_, t, n)| t.contains("another kind of quantity") && n == "Write it as a ratio"),
        "{found:?}"
    );
    // No links, no value.
    b.rear.links.clear();
    b.targets[0].low = q("1 %");
    b.targets[0].high = q("2 %");
    assert_eq!(
        state(&derive(&b), "p", "it"),
        unknown("rear.anti_squat", "it has no value")
    );
}

#[test]
fn a_reading_exactly_on_the_end_of_its_band_is_in_it() {
    let mut b = sample("redshank.ron");
    let value = derive(&b)
        .reading("rear.anti_squat")
        .unwrap()
        .value
        .clone()
        .unwrap();
    let status = |b: &Build| derive(b).reading("rear.anti_squat").unwrap().status();
    let i = b
        .targets
        .iter()
        .position(|t| t.reading == "rear.anti_squat")
        .unwrap();
    let mut set = |low: f64, high: f64| {
        b.targets[i].low = Quantity::new(Kind::Ratio, low);
        b.targets[i].high = Quantity::new(Kind::Ratio, high);
        status(&b)
    };
    assert_eq!(set(value, value + 0.1), Status::InBand);
    assert_eq!(set(value - 0.1, value), Status::InBand);
    assert_eq!(set(value, value), Status::InBand);
    let Status::Below(by) = set(value + 0.01, value + 0.1) else {
        panic!()
    };
    assert!((by - 0.01).abs() < 1e-12);
    let Status::Above(by) = set(value - 0.1, value - 0.01) else {
        panic!()
    };
    assert!((by - 0.01).abs() < 1e-12);
}

/// Tack waits for the gaps, paint for both.
fn held_up() -> Build {
    let mut gaps = check("gaps", CheckKind::Tick);
    gaps.hold = true;
    let mut sizes = check("sizes", measure(Some("0 in"), Some("1 in")));
    sizes.hold = true;
    with_phases(vec![
        phase("fit", &[], vec![gaps, check("clean", CheckKind::Tick)]),
        phase("tack", &["fit/gaps"], vec![sizes]),
        phase(
            "paint",
            &["fit/gaps", "tack/sizes"],
            vec![check("masked", CheckKind::Tick)],
        ),
    ])
}

fn put(h: &mut History, phase: &str, check: &str, mark: Mark) -> Study {
    h.apply(&Edit::Mark {
        phase: phase.to_owned(),
        check: check.to_owned(),
        mark,
    })
    .unwrap();
    derive(h.build())
}

fn waits(study: &Study) -> Vec<usize> {
    study.phases.iter().map(|p| p.waits.len()).collect()
}

#[test]
fn hold_points_hold_later_phases_and_let_them_go() {
    let mut h = History::new(held_up());
    let study = derive(h.build());
    assert_eq!(waits(&study), [0, 1, 2]);
    assert_eq!(study.phases[1].waits[0].phase, "Phase fit");
    assert_eq!(study.phases[1].waits[0].check, "The gaps");
    assert_eq!((study.phases[0].done, study.phases[0].total), (0, 2));

    let study = put(&mut h, "fit", "clean", mark(true, None));
    assert_eq!(waits(&study), [0, 1, 2], "not a hold point");
    let study = put(&mut h, "fit", "gaps", mark(true, None));
    assert_eq!(waits(&study), [0, 0, 1]);
    assert_eq!((study.phases[0].done, study.phases[0].total), (2, 2));
    let study = put(&mut h, "tack", "sizes", mark(true, Some("2 in")));
    assert_eq!(waits(&study), [0, 0, 1], "measured, and not good enough");
    let study = put(&mut h, "tack", "sizes", mark(true, Some("1/2 in")));
    assert_eq!(waits(&study), [0, 0, 0]);
    // Taken back: the phase waits again, and so it does after undo.
    let study = put(&mut h, "fit", "gaps", mark(false, None));
    assert_eq!(waits(&study), [0, 1, 1]);
    assert!(h.undo());
    assert_eq!(waits(&derive(h.build())), [0, 0, 0]);
}

#[test]
fn a_phase_begun_while_it_waits_is_a_finding() {
    let mut h = History::new(held_up());
    let about = |s: &Study| said(&s.findings, &Part::Phase("paint".to_owned()));
    assert!(about(&derive(h.build())).is_empty());
    let study = put(&mut h, "paint", "masked", mark(true, None));
    let found = about(&study);
    assert_eq!(
        found,
        [(
            Severity::Warning,
            "Phase paint is begun, but \"The gaps\" in Phase fit is still open".to_owned(),
            "Close that hold point in Phase fit first".to_owned()
        )]
    );
    put(&mut h, "fit", "gaps", mark(true, None));
    let study = put(&mut h, "tack", "sizes", mark(true, Some("1 in")));
    assert!(about(&study).is_empty());
    // Taken back before the hold point opens again: it is not begun.
    put(&mut h, "paint", "masked", mark(false, None));
    let study = put(&mut h, "fit", "gaps", mark(false, None));
    assert!(about(&study).is_empty());
}

#[test]
fn a_wait_for_nothing_is_a_finding_and_holds_nobody() {
    let mut b = held_up();
    b.phases[2].waits_for = vec![
        "fit/gone".to_owned(),
        "gone/gaps".to_owned(),
        "gaps".to_owned(),
        "fit/clean".to_owned(),
    ];
    let study = derive(&b);
    let found = said(&study.findings, &Part::Phase("paint".to_owned()));
    let texts: Vec<&str> = found.iter().map(|f| f.1.as_str()).collect();
    assert_eq!(
        texts,
        [
            "Phase paint waits for \"fit/gone\", and there is no such check",
            "Phase paint waits for \"gone/gaps\", and there is no such check",
            "Phase paint waits for \"gaps\", and there is no such check",
            "Phase paint waits for \"The clean\", which is not a hold point",
        ]
    );
    assert_eq!(study.phases[2].waits.len(), 1);
}

#[test]
fn phases_that_wait_for_each_other_both_wait() {
    let mut b = held_up();
    b.phases[0].waits_for = vec!["tack/sizes".to_owned(), "fit/gaps".to_owned()];
    assert_eq!(waits(&derive(&b)), [2, 1, 2]);
}

#[test]
fn a_measured_miss_is_a_finding_with_its_size() {
    let mut h = History::new(held_up());
    let study = put(&mut h, "tack", "sizes", mark(true, Some("1 1/4 in")));
    let part = Part::Check("tack".to_owned(), "sizes".to_owned());
    assert_eq!(
        said(&study.findings, &part),
        [(
            Severity::Warning,
            "The sizes: 1/4\" over the greatest".to_owned(),
            "Mend it and measure again, or note why it may stay".to_owned()
        )]
    );
    let study = put(&mut h, "tack", "sizes", mark(true, Some("1 in")));
    assert!(said(&study.findings, &part).is_empty());
}

#[test]
fn findings_are_sorted_worst_first_and_end_in_a_next_step() {
    for name in ["faulty.ron", "redshank.ron", "whimbrel.ron"] {
        let study = derive(&sample(name));
        assert!(study.findings.is_sorted_by_key(|f| f.severity), "{name}");
        for f in &study.findings {
            let next = f.next.show(&Shop::default());
            assert!(next.starts_with(char::is_uppercase), "{name}: {next:?}");
        }
    }
    let study = derive(&sample("faulty.ron"));
    let kinds: std::collections::HashSet<Severity> =
        study.findings.iter().map(|f| f.severity).collect();
    assert_eq!(kinds.len(), 3, "a sample with all three");
    assert!(Severity::Error < Severity::Warning && Severity::Warning < Severity::Remark);
}

/// Readings asked to be a little more, and a little less, than they are.
fn asked(b: &Build) -> Vec<Build> {
    let study = derive(b);
    let mut out = Vec::new();
    for r in &study.readings {
        let Ok(v) = r.value else { continue };
        if r.definition.id.starts_with("fit_up.") {
            continue;
        }
        let span = 0.05 * v.abs().max(0.02);
        for (low, high) in [(v + span, v + 2.0 * span), (v - 2.0 * span, v - span)] {
            let mut b = b.clone();
            let kind = r.definition.band_kind();
            b.targets = vec![Target {
                reading: r.id().into_owned(),
                low: Quantity::new(kind, low),
                high: Quantity::new(kind, high),
            }];
            out.push(b);
        }
    }
    out
}

fn miss(b: &Build) -> f64 {
    match derive(b).reading(&b.targets[0].reading).unwrap().status() {
        Status::Below(d) | Status::Above(d) => d,
        _ => 0.0,
    }
}

#[test]
fn the_hole_that_advice_names_brings_the_reading_nearer() {
    let shop = Shop::default();
    let (mut tried, mut in_band) = (0, 0);
    for name in ["redshank.ron", "whimbrel.ron", "faulty.ron"] {
        // Only the band differs: what has been worked out is kept.
        let mut kept = Deriver::default();
        for b in asked(&sample(name)) {
            let id = b.targets[0].reading.clone();
            let study = kept.derive(&b);
            let found = said(&study.findings, &Part::Reading(id.clone()));
            let [(severity, text, next)] = &found[..] else {
                panic!("{name} {id}: {found:?}");
            };
            assert_eq!(*severity, Severity::Warning);
            let label = study.reading(&id).unwrap().label();
            assert!(
                text.starts_with(&format!("{label} is ")) && text.ends_with(" its band"),
                "{text}"
            );
            let Some(advice) = next.strip_prefix("Try ") else {
                assert!(
                    !next.is_empty() && next.starts_with(char::is_uppercase),
                    "{id}: {next:?}"
                );
                continue;
            };
            // "upper link, frame end in hole 3: it reads 112 %, in band"
            let (link, rest) = advice.split_once(", ").unwrap();
            let (end, rest) = rest.split_once(" end in hole ").unwrap();
            let (hole, reads) = rest.split_once(": it reads ").unwrap();
            let link = b
                .rear
                .links
                .iter()
                .find(|l| l.label.to_lowercase() == link)
                .unwrap();
            let mut h = History::new(b.clone());
            h.apply(&Edit::SetHole {
                link: link.id.clone(),
                end: if end == "frame" {
                    End::Frame
                } else {
                    End::Axle
                },
                side: Side::Both,
                hole: hole.parse().unwrap(),
            })
            .unwrap();
            let (before, after) = (miss(&b), miss(h.build()));
            assert!(after < before, "{name} {id}: {advice}: {before} to {after}");
            let value = derive(h.build())
                .reading(&id)
                .unwrap()
                .value
                .clone()
                .unwrap();
            let (shown, verdict) = reads.rsplit_once(", ").unwrap();
            assert_eq!(
                shown,
                definition(&id).unwrap().display(value, &shop),
                "{name} {id}"
            );
            assert_eq!(
                verdict,
                if after > 0.0 {
                    "nearer the band"
                } else {
                    "in band"
                }
            );
            tried += 1;
            in_band += usize::from(after == 0.0);

            // No other neighbouring hole does better.
            for l in b
                .rear
                .links
                .iter()
                .filter(|l| l.sides == build::Sides::Pair && l.held.is_none())
            {
                for (end, at) in [(End::Frame, &l.at_frame), (End::Axle, &l.at_axle)] {
                    for hole in [at.hole.wrapping_sub(1), at.hole + 1] {
                        let mut h = History::new(b.clone());
                        let edit = Edit::SetHole {
                            link: l.id.clone(),
                            end,
                            side: Side::Both,
                            hole,
                        };
                        if h.apply(&edit).is_ok()
                            && derive(h.build()).reading(&id).unwrap().value.is_ok()
                        {
                            assert!(
                                miss(h.build()) >= after * (1.0 - 1e-9),
                                "{name} {id}: {edit:?}"
                            );
                        }
                    }
                }
            }
        }
    }
    assert!(tried >= 20, "advice named a hole {tried} times only");
    assert!(in_band >= 1);
}

#[test]
fn a_build_begun_from_nothing_says_what_to_do_first() {
    let b = Build::empty("New");
    let study = derive(&b);
    assert!(!study.has_error(), "{:#?}", study.findings);
    let found = said(&study.findings, &Part::Phase("rear_links".to_owned()));
    assert!(
        found
            .iter()
            .any(|(_, t, n)| t.contains("No links are drawn yet")
                && n.contains("add brackets and links"))
    );
    assert_eq!(study.phases.len(), 12);
    assert!(study.phases.iter().all(|p| p.done == 0));
    // And it is a file like any other.
    let text = file::to_text(&b).unwrap();
    assert_eq!(file::parse(&text, Path::new("new.ron")).unwrap(), b);
}

#[test]
fn a_link_on_no_hole_is_an_error_that_names_it() {
    let good = sample("redshank.ron");
    let lower = Part::Link("lower".to_owned());
    let wrong = |change: &dyn Fn(&mut Build)| {
        let mut b = good.clone();
        change(&mut b);
        let study = derive(&b);
        assert!(study.rear.motion.is_err());
        let mut found = said(&study.findings, &lower);
        assert_eq!(found.len(), 1, "{found:?}");
        assert_eq!(found[0].0, Severity::Error);
        found.remove(0).1
    };
    assert_eq!(
        wrong(&|b| b.rear.links[1].at_frame.hole = 9),
        "lower link: lower front has no hole 9"
    );
    assert_eq!(
        wrong(&|b| b.rear.links[1].at_frame.hole = 0),
        "lower link: lower front has no hole 0"
    );
    assert_eq!(
        wrong(&|b| b.rear.links[1].at_axle.right_hole = Some(7)),
        "lower link: lower rear has no hole 7"
    );
    assert_eq!(
        wrong(&|b| b.rear.links[1].at_frame.bracket = "gone".to_owned()),
        "lower link: there is no bracket \"gone\""
    );
    assert_eq!(
        wrong(&|b| b.rear.links[1].at_frame.bracket = "lower_rear".to_owned()),
        "lower link: its frame end is on lower rear, which is on the axle"
    );
}

#[test]
fn a_side_of_a_single_bar_is_the_bar() {
    let mut b = sample("redshank.ron");
    let bar: &mut Bracket = &mut b.rear.brackets[4];
    bar.holes = build::row(3, Length::from_inches(1.0));
    for side in [Side::Both, Side::Left, Side::Right] {
        let mut h = History::new(b.clone());
        h.apply(&Edit::SetHole {
            link: "bar".to_owned(),
            end: End::Frame,
            side,
            hole: 3,
        })
        .unwrap();
        let at = &h.build().rear.link("bar").unwrap().at_frame;
        assert_eq!((at.hole, at.right_hole), (3, None), "{side:?}");
    }
    // Of a pair, one side alone.
    let mut h = History::new(b);
    for (side, hole, wanted) in [
        (Side::Right, 1, (2, Some(1))),
        (Side::Left, 3, (3, Some(1))),
        (Side::Left, 1, (1, None)),
        (Side::Both, 4, (4, None)),
    ] {
        h.apply(&Edit::SetHole {
            link: "upper".to_owned(),
            end: End::Frame,
            side,
            hole,
        })
        .unwrap();
        let at = &h.build().rear.link("upper").unwrap().at_frame;
        assert_eq!((at.hole, at.right_hole), wanted);
    }
}

#[test]
fn parallel_links_have_no_instant_centre_and_say_so() {
    let mut b = sample("redshank.ron");
    // Every link level: uppers and lowers at one height front and rear each.
    for (front, rear) in [(0, 2), (1, 3)] {
        let z = b.rear.brackets[rear].at.height;
        let at = &mut b.rear.brackets[front].at;
        *at = Place { height: z, ..*at };
    }
    for l in &mut b.rear.links[..2] {
        (l.at_frame.hole, l.at_axle.hole) = (1, 1);
    }
    let study = derive(&b);
    let found = said(
        &study.findings,
        &Part::Reading("rear.ic.station".to_owned()),
    );
    assert_eq!(found.len(), 1, "{found:?}");
    assert!(
        found[0].1.contains("parallel in the side view"),
        "{found:?}"
    );
    assert!(found[0].2.starts_with(char::is_uppercase), "{found:?}");
    assert_eq!(
        study.reading("rear.ic.station").unwrap().status(),
        Status::NoValue
    );
}
