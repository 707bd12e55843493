//! The panels of weld-out through the real window code: what is logged, measured, ordered and learned
//! is one step each, what is said is what the study says of the new build, and no build and no size
//! brings it down.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod screen;
mod window;

use std::time::Duration;

use build::{
    BeadReading, Build, CouponTest, DimensionReading, Edit, GasFill, History, Stage, Study, Tube,
    TubeSection, WeldEdit, Welding, derive,
};
use eframe::egui::{self, Key, vec2};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use screen::{Screen, button};
use weld::beads::Why;
use weld::consumables::WillDo;
use weld::control::{Factor, FactorKind};
use window::{CTRL, Window, click, drag, fill, open, open_with, sample, undo};
use workbench::ui::bench::Action;
use workbench::ui::settings::Settings;
use workbench::ui::weld_page::Topic;

const SIZE: [f32; 2] = [1440.0, 900.0];

fn page<'a>(build: Build, topic: Topic) -> Window<'a> {
    let mut h = open(build, None, SIZE);
    show(&mut h, topic);
    h
}

fn show(h: &mut Window<'_>, topic: Topic) {
    let ctx = h.ctx.clone();
    h.state_mut().act(&ctx, Action::Phase("weld_out".into()));
    h.run();
    h.get_by_label(topic.label()).click();
    h.run();
    assert_eq!(h.state().weld_page().weld_out, topic);
}

fn choose(h: &mut Window<'_>, box_: &str, option: &str) {
    click(h, box_);
    let role = egui::Role::Button;
    h.get_by_role_and_label(role, option).scroll_to_me();
    h.run();
    h.get_by_role_and_label(role, option).click();
    h.run();
}

#[track_caller]
fn says(h: &Window<'_>, text: &str) {
    assert!(
        h.query_all_by_label_contains(text).next().is_some(),
        "nothing says: {text}"
    );
}

#[track_caller]
fn silent(h: &Window<'_>, text: &str) {
    assert!(
        h.query_all_by_label_contains(text).next().is_none(),
        "something says: {text}"
    );
}

fn after(start: &Build, edits: &[WeldEdit]) -> Build {
    let mut history = History::new(start.clone());
    for e in edits {
        history.apply(&Edit::Weld(e.clone())).unwrap();
    }
    Build::clone(history.build())
}

fn length(text: &str) -> units::Length {
    text.parse().unwrap()
}

/// What the study advises of the towers.
fn advice(study: &Study) -> weld::beads::Advice {
    study.weld.correction("towers_out").unwrap().advice.unwrap()
}

/// The advice in the words of the window.
fn words(a: &weld::beads::Advice) -> String {
    match a.why {
        Why::LayAndMeasure => format!("{} more, then measure", a.lay),
        Why::Done => "In tolerance: stop here".into(),
        Why::Past => "Past the target: stop".into(),
        Why::NotMoving => "Beads do not move it: stop".into(),
        Why::NextMayOvershoot => "The next bead may overshoot: stop".into(),
    }
}

fn kink() -> Factor {
    Factor::new(FactorKind::Kink, true)
}

fn factors(h: &Window<'_>) -> Vec<f64> {
    let record = h.state().study().weld.record.as_ref().unwrap();
    Factor::ALL.iter().map(|f| record.now.of(*f)).collect()
}

#[test]
fn a_logged_bead_brings_the_advice_the_study_gives_of_it_and_is_one_step() {
    let start = sample("redshank.ron");
    // Nearer, in tolerance, past it, and not moved at all.
    for (reading, why) in [
        ("27.556", None),
        ("27.60", Some(Why::Done)),
        ("27.75", Some(Why::Past)),
        ("27.47", None),
    ] {
        let mut h = page(start.clone(), Topic::Beads);
        says(&h, &words(&advice(h.state().study())));
        fill(&mut h, "Reading after the beads", reading);
        assert_eq!(**h.state().build(), start, "only typed");
        click(&mut h, "Log beads");
        let now = h.state().build().clone();
        let logged = now.weld_out.corrections[0].laid.last().unwrap().clone();
        assert_eq!(logged.value, length(&format!("{reading} in")));
        assert_eq!(logged.who, "MK");
        let lay = advice(&derive(&start)).lay;
        assert_eq!(logged.beads, lay, "as many as advised");
        // On the tube whose turn it is: the left was first, then the right.
        assert_eq!(logged.on, "tower_l");
        let expected = after(
            &start,
            &[WeldEdit::LayBeads {
                correction: "towers_out".into(),
                reading: BeadReading {
                    when: logged.when.clone(),
                    beads: lay,
                    on: "tower_l".into(),
                    value: length(&format!("{reading} in")),
                    who: "MK".into(),
                    note: String::new(),
                },
            }],
        );
        assert_eq!(*now, expected);
        let model = advice(&derive(&expected));
        if let Some(why) = why {
            assert_eq!(model.why, why, "{reading}");
        }
        says(&h, &words(&model));
        assert_eq!(advice(h.state().study()), model);
        undo(&mut h);
        assert_eq!(**h.state().build(), start);
        says(&h, &words(&advice(&derive(&start))));
    }
}

#[test]
fn the_last_beads_are_taken_back_and_a_plan_is_begun_anew() {
    let start = sample("redshank.ron");
    let mut h = page(start.clone(), Topic::Beads);
    click(&mut h, "Take back the last beads for Towers, eye to eye");
    assert_eq!(h.state().build().weld_out.corrections[0].laid.len(), 1);
    says(&h, "One move measured so far.");
    click(&mut h, "Remove the beads for Towers, eye to eye");
    assert!(h.state().build().weld_out.corrections.is_empty());
    // The towers still stand first: the form is there, filled with a plan that works.
    click(&mut h, "Start correction");
    let c = h.state().build().weld_out.corrections[0].clone();
    assert_eq!(c.dimension, "towers");
    assert_eq!(c.start, length("27 15/32 in"), "what it was measured last");
    assert_eq!(c.sites.len(), 2);
    let study = h.state().study().weld.correction(&c.id).unwrap().clone();
    assert!(study.plan.is_ok(), "{:?}", study.plan);
    assert!(study.sites.iter().all(|s| !s.wrong_way));
    // Nothing is measured of it yet: one bead first.
    assert_eq!(study.advice.unwrap().lay, 1);
    says(&h, "1 more, then measure");
}

#[test]
fn a_refused_material_shows_the_reason_and_no_plan() {
    let mut b = sample("redshank.ron");
    let tower = b
        .assembly
        .tubes
        .iter_mut()
        .find(|t| t.id == "tower_l")
        .unwrap();
    tower.material = "4130".into();
    let study = derive(&b);
    let (_, refusal) = study
        .weld
        .correction("towers_out")
        .unwrap()
        .refusal()
        .unwrap();
    let mut h = page(b.clone(), Topic::Beads);
    says(&h, refusal.reason());
    says(&h, refusal.caution());
    silent(&h, "more, then measure");
    silent(&h, "to reach tolerance");
    assert!(h.query_by_label("Log beads").is_none());
    assert!(
        h.query_by_label("Towers, eye to eye against beads")
            .is_some(),
        "its heading"
    );
    // A new plan on it is refused as well.
    click(&mut h, "Start another correction");
    assert!(
        h.get_by_label("Start correction")
            .accesskit_node()
            .is_disabled()
    );
}

#[test]
fn a_joint_is_moved_in_the_order_by_button_and_by_hand_and_ticked() {
    let start = sample("redshank.ron");
    let mut h = page(start.clone(), Topic::Order);
    let ids = |h: &Window<'_>| -> Vec<String> {
        let order = h.state().study().weld.order.as_ref().unwrap();
        let joints = &h.state().build().fit_up.joints;
        order.joints.iter().map(|i| joints[*i].id.clone()).collect()
    };
    let label = |h: &Window<'_>, k: usize| -> String {
        let id = &ids(h)[k];
        let joints = &h.state().build().fit_up.joints;
        joints.iter().find(|j| j.id == *id).unwrap().label.clone()
    };
    let was = ids(&h);
    let five = label(&h, 4);
    click(&mut h, &format!("Weld {five} later"));
    let mut swapped = was.clone();
    swapped.swap(4, 5);
    assert_eq!(h.state().build().weld_out.order, swapped);
    assert_eq!(ids(&h), swapped);
    // By keyboard: the button that was pressed goes with its joint.
    let back = format!("Weld {five} earlier");
    h.get_by_label(&back).focus();
    h.run();
    h.key_press(Key::Space);
    h.run();
    assert_eq!(ids(&h), was);
    // By hand: the first row to below the third.
    let first = label(&h, 0);
    let third = label(&h, 2);
    let grip = |h: &Window<'_>, label: &str| {
        h.get_by_label(&format!("Drag {label} to its place"))
            .rect()
            .center()
    };
    h.get_by_label(&format!("Drag {first} to its place"))
        .scroll_to_me();
    h.run();
    let (from, to) = (grip(&h, &first), grip(&h, &third));
    drag(&mut h, from, vec2(0.0, to.y - from.y + 22.0));
    let mut moved = was.clone();
    let one = moved.remove(0);
    moved.insert(2, one);
    assert_eq!(ids(&h), moved);
    let before = h.state().build().clone();
    click(&mut h, "Use the proposed order");
    assert!(h.state().build().weld_out.order.is_empty());
    undo(&mut h);
    assert_eq!(*h.state().build(), before, "each is one step");
    // A tick is signed: of the next joint to weld.
    let next = h.state().study().weld.order.as_ref().unwrap().next.unwrap();
    let next = h.state().build().fit_up.joints[next].clone();
    assert_eq!(next.welded, None);
    let joint = |h: &Window<'_>| {
        let joints = &h.state().build().fit_up.joints;
        joints
            .iter()
            .find(|j| j.id == next.id)
            .unwrap()
            .welded
            .clone()
    };
    click(&mut h, &format!("Welded: {}", next.label));
    assert!(matches!(joint(&h), Some(Welding { who, when }) if who == "MK" && when.len() == 16));
    click(&mut h, &format!("Welded: {}", next.label));
    assert_eq!(joint(&h), None);
}

/// Redshank with the towers measured tacked and again all welded.
fn welded() -> Build {
    let start = sample("redshank.ron");
    after(
        &start,
        &[WeldEdit::MeasureDimension {
            dimension: "towers".into(),
            reading: DimensionReading {
                stage: Stage::Welded,
                value: length("27.58 in"),
                who: "NK".into(),
                when: "2026-05-04 10:00".into(),
                note: String::new(),
            },
        }],
    )
}

#[test]
fn the_factors_change_only_when_learning_is_asked_for() {
    let start = sample("redshank.ron");
    let mut h = page(start.clone(), Topic::Pull);
    click(&mut h, "Dimension Towers, eye to eye");
    let before = factors(&h);
    choose(&mut h, "Measured when", "welded");
    fill(&mut h, "Measured value", "27.58");
    click(&mut h, "Write it down");
    assert_eq!(
        h.state().build().weld_out.dimensions[0]
            .readings
            .last()
            .unwrap()
            .stage,
        Stage::Welded
    );
    assert_eq!(factors(&h), before, "measured, and not learned from");
    let record = h.state().study().weld.record.as_ref().unwrap();
    let offered = record.offered[0].row.factors.clone();
    let text = format!("to {:.2}", offered.of(kink()));
    says(&h, &text);
    click(&mut h, "Learn from Towers, eye to eye");
    let now = factors(&h);
    assert_ne!(now, before);
    for (f, v) in Factor::ALL.iter().zip(&now) {
        // What was shown before it was pressed is what it did.
        assert!((offered.of(*f) - v).abs() < 1e-12, "{}", f.label());
    }
    says(&h, "It counts in the shop's record.");
    undo(&mut h);
    assert_eq!(factors(&h), before);
}

#[test]
fn a_reading_is_left_out_for_a_reason_and_taken_in_again() {
    let mut h = page(sample("redshank.ron"), Topic::Record);
    let coupon = "1 5/8 coped on 1 5/8, vise";
    let before = factors(&h);
    click(&mut h, &format!("Leave out {coupon}"));
    assert!(
        h.get_by_label("Leave it out")
            .accesskit_node()
            .is_disabled()
    );
    fill(&mut h, "Reason to leave it out", "the tape slipped");
    click(&mut h, "Leave it out");
    let coupons = |h: &Window<'_>| h.state().build().weld_out.coupons[0].void.clone();
    assert_eq!(coupons(&h).as_deref(), Some("the tape slipped"));
    says(&h, "left out: the tape slipped");
    assert_ne!(factors(&h), before);
    click(&mut h, &format!("Take {coupon} in again"));
    assert_eq!(coupons(&h), None);
    assert_eq!(factors(&h), before);
}

#[test]
fn a_dimension_is_measured_and_the_last_taken_back() {
    let start = sample("redshank.ron");
    let mut h = page(start.clone(), Topic::Pull);
    click(&mut h, "Dimension Left eye to right rail");
    fill(&mut h, "Measured value", "36 5/8");
    click(&mut h, "Write it down");
    let d = h
        .state()
        .build()
        .weld_out
        .dimension("square_l")
        .unwrap()
        .clone();
    let r = d.readings.last().unwrap();
    assert_eq!(
        (r.stage.clone(), r.value),
        (Stage::Set, length("36 5/8 in"))
    );
    assert_eq!(r.who, "MK");
    // 36 5/8 against 36 39/64.
    says(&h, "1/64\" long");
    // Nonsense stays in its field.
    fill(&mut h, "Measured value", "about a yard");
    assert!(
        h.get_by_label("Write it down")
            .accesskit_node()
            .is_disabled()
    );
    h.key_press(Key::Escape);
    h.run();
    click(
        &mut h,
        "Take back the last measurement of Left eye to right rail",
    );
    assert_eq!(**h.state().build(), start);
}

#[test]
fn what_is_set_long_is_what_the_study_says_in_both_units() {
    let b = sample("redshank.ron");
    let study = derive(&b);
    for (shop, name) in [
        (units::Shop::INCH, "inches"),
        (units::Shop::METRIC, "millimetres"),
    ] {
        let settings = Settings {
            shop,
            ..Settings::default()
        };
        let mut h = open_with(settings, b.clone(), None, SIZE);
        show(&mut h, Topic::Pull);
        let step = units::step(units::Kind::Length, &shop);
        for (d, s) in b.weld_out.dimensions.iter().zip(&study.weld.dimensions) {
            let by = s.set_long(step).unwrap();
            let name_of = format!("Dimension {}", d.label);
            let row = h.get_by_label(&name_of);
            let said = row.value().unwrap();
            let first = said.split(';').next().unwrap().to_owned();
            let bare = units::format_bare(units::Kind::Length, by.abs(), &shop);
            let long = if d.id == "towers" || d.id == "rails" {
                "wide"
            } else {
                "long"
            };
            let expected = if by == 0.0 {
                "none".to_owned()
            } else {
                format!("set {long} {bare}")
            };
            assert!(by >= 0.0, "these all pull in");
            assert!(
                first.starts_with(&expected),
                "{name}: {said}, not {expected}"
            );
        }
    }
}

#[test]
fn the_cylinder_verdict_is_the_studys_and_follows_its_gauge() {
    let start = sample("redshank.ron");
    let mut h = page(start.clone(), Topic::Gas);
    // Boyle: what is let out of it down to the pressure kept, at one atmosphere. A quarter more than
    // the joints need is a plain yes.
    let gas = &start.weld_out.gas;
    let need = derive(&start).weld.supply.gas.as_ref().unwrap().need;
    let psi = 6_894.757_293_168;
    let gauge_for = |times: f64| {
        let pascals = gas.keep.si() + times * need * 101_325.0 / gas.cylinder.si();
        format!("{:.0} psi", pascals / psi)
    };
    for (gauge, verdict) in [
        (gauge_for(1.5), WillDo::Yes),
        (gauge_for(1.1), WillDo::Tight),
        (gauge_for(0.8), WillDo::No),
    ] {
        let gauge = gauge.as_str();
        fill(&mut h, "Cylinder pressure", gauge);
        let gas = h.state().study().weld.supply.gas.clone().unwrap();
        assert_eq!(gas.will_do, verdict, "{gauge}");
        assert_eq!(
            h.state().build().weld_out.gas.pressure,
            gauge.parse().unwrap()
        );
        let (yes, others) = match verdict {
            WillDo::Yes => ("Yes: the cylinder", ["Tight:", "No: the cylinder"]),
            WillDo::Tight => ("Tight: it may", ["Yes: the", "No: the cylinder"]),
            WillDo::No => ("No: the cylinder", ["Yes: the", "Tight:"]),
        };
        says(&h, yes);
        for other in others {
            silent(&h, other);
        }
    }
    choose(&mut h, "Gas in the cylinder", "carbon dioxide");
    assert_eq!(h.state().build().weld_out.gas.fill, GasFill::CarbonDioxide);
    says(&h, "Carbon dioxide is liquid in the cylinder");
    says(&h, "weigh the cylinder");
    // The seams nobody knows are named.
    says(&h, "Upper front bracket, left, to rail inside face");
    // Arc settings: each is one step; an emptied feed is taken away.
    fill(&mut h, "MIG amps", "140");
    h.get_by_label("MIG wire feed").click();
    h.run();
    h.key_press_modifiers(CTRL, Key::A);
    h.key_press(Key::Backspace);
    h.key_press(Key::Enter);
    h.run();
    let arc = &h.state().build().weld_out.arcs[0];
    assert_eq!((arc.current.si(), arc.feed), (140.0, None));
    let model = derive(h.state().build());
    assert_eq!(h.state().study().weld.supply, model.weld.supply);
}

#[test]
fn a_coupon_is_added_measured_and_learned_from_when_told() {
    let start = sample("redshank.ron");
    let mut h = page(start.clone(), Topic::Record);
    let before = factors(&h);
    fill(&mut h, "Coupon before", "6.2");
    click(&mut h, "Add coupon");
    let coupons = &h.state().build().weld_out.coupons;
    let c = coupons.last().unwrap().clone();
    assert_eq!(coupons.len(), 3);
    assert!(matches!(&c.test, CouponTest::Joint(j) if j.joins.is_none() && j.gaps.is_empty()));
    assert!(!c.learn);
    fill(&mut h, &format!("{} after", c.label), "6.18");
    assert_eq!(factors(&h), before, "measured, and not learned from");
    let learn: Vec<String> = h
        .query_all_by_label_contains("Learn from Scrap")
        .filter_map(|n| n.accesskit_node().label())
        .collect();
    assert!(!learn.is_empty(), "the offer");
    // The offer stands in the history and with its coupon: either will do.
    let node = h.query_all_by_label(&learn[0]).last().unwrap();
    node.scroll_to_me();
    h.run();
    h.query_all_by_label(&learn[0]).last().unwrap().click();
    h.run();
    assert!(h.state().build().weld_out.coupons.last().unwrap().learn);
    assert_ne!(factors(&h), before);
}

#[test]
fn another_builds_record_is_brought_in_from_its_file() {
    let mut start = sample("redshank.ron");
    start.name = "Another car".into();
    start.weld_out.coupons.clear();
    let mut h = page(start.clone(), Topic::Record);
    says(&h, "Nothing learned yet");
    let path = window::sample_path("redshank.ron");
    fill(
        &mut h,
        "File of the other build",
        &path.display().to_string(),
    );
    click(&mut h, "Bring it in");
    let other = sample("redshank.ron");
    let list = build::record_of(&other, &derive(&other).weld);
    assert_eq!(list.len(), 2);
    assert_eq!(h.state().build().weld_out.past, list);
    says(&h, "2 readings of Redshank brought in.");
    // What was left out here stays left out when it is brought in again.
    click(&mut h, &format!("Leave out {}", list[0].label));
    fill(&mut h, "Reason to leave it out", "other welder");
    click(&mut h, "Leave it out");
    click(&mut h, "Bring it in");
    let past = &h.state().build().weld_out.past;
    assert_eq!(past.len(), 2);
    assert_eq!(past[0].void.as_deref(), Some("other welder"));
    fill(&mut h, "File of the other build", "/nowhere/at/all.ron");
    click(&mut h, "Bring it in");
    says(&h, "Not brought in");
}

/// Builds with everything in them that can be wrong at once.
fn odd() -> Vec<Build> {
    let mut all = vec![
        Build::empty("Empty"),
        sample("faulty.ron"),
        sample("whimbrel.ron"),
        sample("redshank.ron"),
        welded(),
    ];
    // A record without its drawing: dimensions, beads and order name what is not there.
    let mut b = sample("redshank.ron");
    b.assembly = build::Assembly::default();
    all.push(b);
    // Beads on a tube that is rectangular, far too long, on its end face.
    let mut b = sample("redshank.ron");
    for c in &mut b.weld_out.corrections {
        c.sites[0].tube = "crossmember".into();
        c.sites[0].at = length("3000 mm");
        c.sites.truncate(1);
        c.laid.clear();
    }
    all.push(b);
    // No joints, and all that was learned with them.
    let mut b = sample("redshank.ron");
    b.fit_up.joints.clear();
    b.weld_out.order = vec!["C1".into(), "nobody".into()];
    all.push(b);
    // A tube of no length, a dimension from a point to itself, no tolerance, nothing to want.
    let mut b = sample("redshank.ron");
    let t: &mut Tube = &mut b.assembly.tubes[0];
    t.to.clone_from(&t.from);
    t.section = TubeSection::Round {
        outside: length("1 in"),
        wall: length("0.2 mm"),
    };
    let d = &mut b.weld_out.dimensions[0];
    d.to.clone_from(&d.from);
    d.want = length("1 mm");
    d.tolerance = build::Limit::Iso13920(build::ToleranceClass::A);
    all.push(b);
    // Many beads that disagree wildly.
    let mut b = sample("redshank.ron");
    for k in 0..60 {
        b.weld_out.corrections[0].laid.push(BeadReading {
            beads: 20,
            on: "tower_r".into(),
            value: length(if k % 2 == 0 { "1 in" } else { "300 in" }),
            who: String::new(),
            when: String::new(),
            note: String::new(),
        });
    }
    all.push(b);
    all
}

#[test]
fn no_build_and_no_window_brings_a_panel_down() {
    for size in [[1440.0, 900.0], [1024.0, 700.0], [240.0, 160.0]] {
        for shop in [units::Shop::INCH, units::Shop::METRIC] {
            for b in odd() {
                let settings = Settings {
                    shop,
                    dark: Some(true),
                    ..Settings::default()
                };
                let mut h = open_with(settings, b, None, size);
                let ctx = h.ctx.clone();
                h.state_mut().act(&ctx, Action::Phase("weld_out".into()));
                h.run();
                for topic in Topic::WELD_OUT {
                    // In a window this small the tabs are out of reach of a pointer.
                    if let Some(tab) = h.query_by_label(topic.label()) {
                        tab.click_accesskit();
                        h.run();
                        assert_eq!(h.state().weld_page().weld_out, topic);
                    }
                }
            }
        }
    }
}

#[test]
fn an_empty_build_says_what_to_do_on_every_panel() {
    let mut h = open(Build::empty("Empty"), None, SIZE);
    for (topic, text) in [
        (Topic::Pull, "No control dimensions yet"),
        (Topic::Order, "No joint is drawn yet"),
        (Topic::Beads, "No control dimensions yet"),
        (Topic::Record, "Nothing learned yet"),
        (Topic::Gas, "Nothing with a known seam is left to weld"),
    ] {
        show(&mut h, topic);
        says(&h, text);
    }
}

#[test]
fn an_idle_panel_asks_for_no_frame() {
    for build in odd() {
        let name = build.name.clone();
        let mut s = Screen::new(build, vec2(1440.0, 900.0));
        s.act(Action::Phase("weld_out".into()));
        for topic in Topic::WELD_OUT {
            s.settle();
            let frame = s.frame(Vec::new());
            let tab = frame.named.iter().find(|(n, _)| n == topic.label());
            let at = tab
                .unwrap_or_else(|| panic!("{name}: no {}", topic.label()))
                .1
                .center();
            s.frame(vec![egui::Event::PointerMoved(at)]);
            s.frame(vec![button(at, true)]);
            s.frame(vec![button(at, false)]);
            s.frame(vec![egui::Event::PointerGone]);
            assert!(
                s.settle().is_some(),
                "{name}, {}: frames without end",
                topic.label()
            );
            assert_eq!(s.app.weld_page().weld_out, topic);
            for n in 0..5 {
                let again = s.frame(Vec::new()).again;
                assert_eq!(
                    again,
                    Duration::MAX,
                    "{name}, {}: still frame {n}",
                    topic.label()
                );
            }
        }
    }
}

#[test]
fn every_field_and_button_has_a_name() {
    for topic in Topic::WELD_OUT {
        if topic == Topic::Parts {
            continue;
        }
        let h = page(welded(), topic);
        for role in [
            egui::Role::TextInput,
            egui::Role::Button,
            egui::Role::ComboBox,
            egui::Role::CheckBox,
            egui::Role::SpinButton,
            egui::Role::ListBoxOption,
        ] {
            for node in h.query_all_by_role(role) {
                let label = node.accesskit_node().label().unwrap_or_default();
                assert!(
                    !label.trim().is_empty(),
                    "{}: {role:?} {:?}",
                    topic.label(),
                    node.rect()
                );
            }
        }
    }
}
