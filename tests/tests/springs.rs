//! Coil-overs and driveshaft through the real window code: what is typed is what the study of the
//! edited build says, each change is one step, and no build and no size brings it down.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod screen;
mod window;

use std::time::Duration;

use build::{Build, Coilover, Edit, History, Severity, derive};
use eframe::egui::{self, Key, vec2};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use screen::Screen;
use window::{CTRL, Window, click, fill, open, open_with, reading, sample, undo};
use workbench::ui::bench::Action;
use workbench::ui::rear_page::Topic;
use workbench::ui::settings::Settings;
use workbench::ui::{driveline_page::usual_shaft, springs_page::usual_pair};

const SIZE: [f32; 2] = [1440.0, 900.0];

fn topic(h: &mut Window<'_>, topic: Topic) {
    h.get_by_label(topic.label()).click();
    h.run();
    assert_eq!(h.state().rear_page().topic, topic);
}

fn coil(b: &Build) -> &Coilover {
    &b.power.coilovers[0]
}

/// The build after these edits, each a step.
fn after(start: &Build, edits: &[Edit]) -> Build {
    let mut history = History::new(start.clone());
    for e in edits {
        history.apply(e).unwrap();
    }
    Build::clone(history.build())
}

#[test]
fn a_typed_rate_moves_the_readings_as_the_study_says_and_is_one_step() {
    let start = sample("redshank.ron");
    let mut h = open(start.clone(), None, SIZE);
    topic(&mut h, Topic::Springs);
    let before = reading(&h, "spring.frequency.rear");
    fill(&mut h, "rear coil-over rate", "175");

    let mut x = coil(&start).clone();
    x.rate = "175 lb/in".parse().unwrap();
    let expected = after(&start, &[Edit::PutCoilover(x)]);
    assert_eq!(**h.state().build(), expected);
    let study = derive(&expected);
    for id in [
        "spring.frequency.rear",
        "spring.wheel_rate.coil.left",
        "spring.preload.coil.left",
    ] {
        let Some(model) = study.reading(id) else {
            panic!("no {id}")
        };
        assert_eq!(reading(&h, id), model.value.clone().unwrap(), "{id}");
    }
    assert!(reading(&h, "spring.frequency.rear") > before + 0.1);
    undo(&mut h);
    assert_eq!(**h.state().build(), start);
}

#[test]
fn eyes_lengths_sides_and_name_are_typed_and_each_is_one_step() {
    let start = sample("redshank.ron");
    let mut h = open(start.clone(), None, SIZE);
    topic(&mut h, Topic::Springs);
    type Set = fn(&mut Coilover);
    let rows: [(&str, &str, Set); 6] = [
        ("rear coil-over upper eye ahead", "-3", |x| {
            x.at_frame.station = "-3 in".parse().unwrap();
        }),
        ("rear coil-over lower eye up", "9 1/4", |x| {
            x.at_axle.height = "9 1/4 in".parse().unwrap();
        }),
        ("rear coil-over shock pulled out", "480 mm", |x| {
            x.extended = "480 mm".parse().unwrap();
        }),
        ("rear coil-over pushed in", "11 1/8", |x| {
            x.compressed = "11 1/8 in".parse().unwrap();
        }),
        ("rear coil-over spring free", "13", |x| {
            x.spring_free = "13 in".parse().unwrap();
        }),
        ("rear coil-over eyes tilt", "12", |x| {
            x.eye_tilt = "12 deg".parse().unwrap();
        }),
    ];
    let mut x = coil(&start).clone();
    for (field, text, set) in rows {
        let before = h.state().build().clone();
        fill(&mut h, field, text);
        set(&mut x);
        assert_eq!(*coil(h.state().build()), x, "{field}");
        undo(&mut h);
        assert_eq!(*h.state().build(), before, "{field}");
        h.key_press_modifiers(CTRL | egui::Modifiers::SHIFT, Key::Z);
        h.run();
    }
    click(&mut h, "one only");
    fill(&mut h, "rear coil-over name", "left shock");
    x.sides = build::Sides::Single;
    x.label = "left shock".into();
    assert_eq!(*coil(h.state().build()), x);
    // Nonsense, and what no file may hold, leaves all as it was.
    let before = h.state().build().clone();
    for (field, text) in [
        ("left shock rate", "soft"),
        ("left shock rate", "1e30 lb/in"),
        ("left shock spring free", "-1"),
        ("left shock eyes tilt", "400"),
        ("left shock upper eye up", "12 lb"),
    ] {
        fill(&mut h, field, text);
        assert_eq!(*h.state().build(), before, "{field} {text}");
        h.key_press(Key::Escape);
        h.run();
    }
}

#[test]
fn a_spring_fitted_from_the_chooser_is_one_step_and_swings_within_the_band() {
    let start = sample("redshank.ron");
    let mut h = open(start.clone(), None, SIZE);
    topic(&mut h, Topic::Springs);
    fill(&mut h, "Frequency from", "1.62");
    fill(&mut h, "Frequency to", "1.8");
    assert_eq!(**h.state().build(), start, "looking changes nothing");
    // What is offered is what the whole range of the catalogue gives in the band, found one by one.
    let band = 1.62..=1.8;
    let swings = |pounds: f64| {
        let mut x = coil(&start).clone();
        x.rate = format!("{pounds} lb/in").parse().unwrap();
        let b = after(&start, &[Edit::PutCoilover(x)]);
        let r = derive(&b).reading("spring.frequency.rear").unwrap().clone();
        r.value.unwrap()
    };
    let mut offered = 0;
    for pounds in (80..=300).step_by(10) {
        let name = format!("Fit the {pounds} lb/in spring");
        let f = swings(f64::from(pounds));
        // Left and right differ by a hair: their mean decides at the band's edge.
        if (f - band.start()).abs() > 0.01 && (f - band.end()).abs() > 0.01 {
            assert_eq!(
                h.query_by_label(&name).is_some(),
                band.contains(&f),
                "{pounds} lb/in swings at {f} Hz"
            );
        }
        offered += usize::from(h.query_by_label(&name).is_some());
    }
    assert!(offered >= 2, "{offered} springs to choose from");
    let first = (80..=300)
        .step_by(10)
        .find(|p| {
            h.query_by_label(&format!("Fit the {p} lb/in spring"))
                .is_some()
        })
        .unwrap();
    let height = reading(&h, "launch.rest.height");
    click(&mut h, &format!("Fit the {first} lb/in spring"));
    let mut x = coil(&start).clone();
    x.rate = format!("{first} lb/in").parse().unwrap();
    let fitted = coil(h.state().build());
    assert!((fitted.rate.si() - x.rate.si()).abs() < 1e-6);
    let f = reading(&h, "spring.frequency.rear");
    assert!((1.61..=1.81).contains(&f), "{f} Hz");
    // The seat took it up: the car stands where it stood.
    assert!((reading(&h, "launch.rest.height") - height).abs() < 1e-4);
    undo(&mut h);
    assert_eq!(**h.state().build(), start);
}

/// Is there any spring to fit?
fn offers(h: &Window<'_>) -> bool {
    h.query_all_by_label_contains("Fit the").next().is_some()
}

#[test]
fn a_chooser_asked_for_nonsense_says_so() {
    let mut h = open(sample("redshank.ron"), None, SIZE);
    topic(&mut h, Topic::Springs);
    for (field, text, said) in [
        ("Rate step", "0", "Rates and step must be above zero."),
        ("Rate step", "0.000001", "more than five thousand springs"),
        ("Rate step", "10", ""),
        ("Least rate", "400", "The greatest rate is below"),
        ("Least rate", "-3", "Rates and step must be above zero."),
        ("Least rate", "80", ""),
        ("Frequency from", "9", "The frequency band ends before"),
        ("Frequency to", "9.5", "No spring of these rates"),
    ] {
        fill(&mut h, field, text);
        if said.is_empty() {
            assert!(offers(&h), "{field} {text}");
        } else {
            assert!(
                h.query_by_label_contains(said).is_some(),
                "{field} {text}: {said}"
            );
            assert!(!offers(&h), "{field} {text}");
        }
    }
}

#[test]
fn preload_by_hand_left_and_right() {
    let start = sample("redshank.ron");
    let mut h = open(start.clone(), None, SIZE);
    topic(&mut h, Topic::Springs);
    let held = reading(&h, "spring.preload.coil.left");
    click(&mut h, "set by hand");
    let by_hand = coil(h.state().build()).preload.unwrap();
    // It begins at what held the ride height, as a person would set it: to a hundredth of an inch.
    assert!((by_hand.left.si() - held).abs() <= 0.5 * 0.000_254 + 1e-12);
    fill(&mut h, "rear coil-over preload left", "1 3/4");
    fill(&mut h, "rear coil-over preload right", "1 1/4");
    let p = coil(h.state().build()).preload.unwrap();
    assert_eq!(p.left, "1 3/4 in".parse().unwrap());
    assert_eq!(p.right, "1 1/4 in".parse().unwrap());
    let study = derive(h.state().build());
    for id in [
        "spring.force.coil.left",
        "spring.force.coil.right",
        "launch.rest.lean",
        "launch.rest.height",
    ] {
        let model = study.reading(id).unwrap().value.clone().unwrap();
        assert_eq!(reading(&h, id), model, "{id}");
    }
    // Half an inch more on the left: 65 lb more in a spring of 130 lb/in.
    let more = reading(&h, "spring.force.coil.left") - reading(&h, "spring.force.coil.right");
    let pounds = more / 4.448_221_615_260_5;
    assert!((pounds - 65.0).abs() < 0.5, "{pounds} lb");
    for _ in 0..3 {
        undo(&mut h);
    }
    assert_eq!(**h.state().build(), start, "three steps");
    h.key_press_modifiers(CTRL | egui::Modifiers::SHIFT, Key::Z);
    h.run();
    click(&mut h, "held by the ride height");
    assert_eq!(coil(h.state().build()).preload, None);
}

#[test]
fn a_coil_over_is_added_chosen_and_removed() {
    let start = sample("redshank.ron");
    let mut h = open(start.clone(), None, SIZE);
    topic(&mut h, Topic::Springs);
    click(&mut h, "Add a coil-over");
    let all = h.state().build().power.coilovers.clone();
    assert_eq!(all.len(), 2);
    let second = &all[1].label;
    // The new one is in hand; the first can be taken again.
    assert!(h.query_by_label(&format!("{second} rate")).is_some());
    click(&mut h, "Coil-over rear coil-over");
    assert!(h.query_by_label("rear coil-over rate").is_some());
    click(&mut h, &format!("Coil-over {second}"));
    click(&mut h, &format!("Remove {second}"));
    assert_eq!(**h.state().build(), start);
}

#[test]
fn the_usual_pair_and_shaft_are_without_fault_on_a_car_that_stands() {
    for name in ["redshank.ron", "whimbrel.ron"] {
        let mut b = sample(name);
        b.power.coilovers.clear();
        b.power.driveshaft = None;
        let pair = usual_pair(&b);
        let b = after(
            &b,
            &[
                Edit::PutCoilover(pair.clone()),
                Edit::Driveshaft(Some(usual_shaft(&b))),
            ],
        );
        let study = derive(&b);
        for f in &study.findings {
            let about = matches!(&f.part, build::Part::Coilover(_) | build::Part::Driveshaft);
            let bad = f.severity != Severity::Remark;
            assert!(
                !(about && bad),
                "{name}: {}",
                f.sentences(&units::Shop::default())
            );
        }
        let f = study.reading("spring.frequency.rear").unwrap();
        let f = f.value.clone().unwrap();
        assert!((1.2..1.7).contains(&f), "{name}: {f} Hz");
        // Another one stands clear of it.
        let next = usual_pair(&b);
        assert_ne!(next.id, pair.id);
        assert!((next.at_axle.station.si() - pair.at_axle.station.si()).abs() > 0.1);
    }
    // Out of proportion, it is still one that a file may hold.
    let mut b = Build::empty("Odd");
    for (id, si) in [
        ("car.rear.track", 0.5),
        ("car.rear.tyre_width", 0.8),
        ("rear.travel", 0.4),
        ("power.rear_unsprung", 1000.0),
        ("car.mass", 5000.0),
        ("rear.housing.width", 0.3),
    ] {
        b = after(&b, &[Edit::Field { id: id.into(), si }]);
        let pair = usual_pair(&b);
        after(
            &b,
            &[
                Edit::PutCoilover(pair),
                Edit::Driveshaft(Some(usual_shaft(&b))),
            ],
        );
    }
}

#[test]
fn an_empty_build_gets_its_first_pair_and_shaft_by_a_button() {
    let mut h = open(Build::empty("Empty"), None, [1024.0, 700.0]);
    topic(&mut h, Topic::Springs);
    click(&mut h, "Add a pair of coil-overs");
    assert_eq!(h.state().build().power.coilovers.len(), 1);
    fill(&mut h, "Front wheel rate", "150");
    let rate = h.state().build().power.front_wheel_rate;
    assert_eq!(rate, "150 lb/in".parse().unwrap());
    topic(&mut h, Topic::Driveline);
    click(&mut h, "Draw a driveshaft");
    assert!(h.state().build().power.driveshaft.is_some());
    click(&mut h, "Take out the driveshaft");
    assert_eq!(h.state().build().power.driveshaft, None);
}

#[test]
fn a_typed_driveshaft_angle_is_judged_against_the_limits() {
    let start = sample("redshank.ron");
    let mut h = open(start.clone(), None, SIZE);
    topic(&mut h, Topic::Driveline);
    let before = reading(&h, "driveline.rear_angle");
    let over = |h: &Window<'_>| h.query_all_by_label_contains("! more than").count();
    assert_eq!(over(&h), 0);
    fill(&mut h, "driveshaft pinion up", "6");
    let mut d = start.power.driveshaft.unwrap();
    d.pinion_up = units::Angle::from_degrees(6.0);
    let expected = after(&start, &[Edit::Driveshaft(Some(d))]);
    assert_eq!(**h.state().build(), expected);
    let model = derive(&expected);
    let model = model.reading("driveline.rear_angle").unwrap();
    assert_eq!(
        reading(&h, "driveline.rear_angle"),
        model.value.clone().unwrap()
    );
    // The shaft lies in the middle plane: 2.7 degrees more pinion are 2.7 more at its joint.
    let more = (reading(&h, "driveline.rear_angle") - before).to_degrees();
    assert!((more - 2.7).abs() < 1e-6, "{more}");
    assert!(
        h.query_all_by_label_contains("The rear joint works at")
            .count()
            >= 2,
        "the remark is on the page and in the status line"
    );
    // The rear joint and the difference of both.
    assert_eq!(over(&h), 2);
    undo(&mut h);
    assert_eq!(**h.state().build(), start);

    click(&mut h, "in the shaft");
    let slip = h.state().build().power.driveshaft.unwrap().slip;
    assert_eq!(slip, build::Slip::Shaft);
    fill(&mut h, "driveshaft front joint up", "14 1/8");
    let d = h.state().build().power.driveshaft.unwrap();
    assert_eq!(d.front_joint.height, "14 1/8 in".parse().unwrap());
    for word in ["Difference", "Slip", "Joint angles"] {
        click(&mut h, word);
    }
}

#[test]
fn no_build_and_no_size_brings_the_pages_down() {
    let mut bent = sample("redshank.ron");
    let x = &mut bent.power.coilovers[0];
    x.at_axle = x.at_frame;
    let d = bent.power.driveshaft.as_mut().unwrap();
    d.rear_joint = d.front_joint;
    let mut nothing = sample("redshank.ron");
    let x = &mut nothing.power.coilovers[0];
    x.rate = units::SpringRate::from_si(-1e7);
    x.extended = units::Length::from_si(0.0);
    x.spring_free = units::Length::from_si(0.0);
    let mut many = sample("whimbrel.ron");
    for _ in 0..4 {
        let next = usual_pair(&many);
        many.power.coilovers.push(next);
    }
    for build in [
        Build::empty("Empty"),
        sample("faulty.ron"),
        bent,
        nothing,
        many,
    ] {
        for system in [units::System::InchPound, units::System::Si] {
            for size in [[320.0, 200.0], [820.0, 560.0], [1920.0, 1080.0]] {
                let shop = units::Shop {
                    system,
                    ..Default::default()
                };
                let settings = Settings {
                    shop,
                    dark: Some(true),
                    ..Default::default()
                };
                let mut h = open_with(settings, build.clone(), None, size);
                for t in [Topic::Springs, Topic::Driveline] {
                    // In a tiny window the tab may be out of sight: its part is not.
                    let ctx = h.ctx.clone();
                    let part = match t {
                        Topic::Springs => build::Part::Reading("spring.frequency.rear".into()),
                        _ => build::Part::Driveshaft,
                    };
                    h.state_mut().act(&ctx, Action::Select(part));
                    h.run();
                    assert_eq!(h.state().rear_page().topic, t);
                }
            }
        }
    }
}

#[test]
fn an_idle_page_asks_for_no_frame() {
    for build in [
        sample("redshank.ron"),
        sample("faulty.ron"),
        Build::empty("Empty"),
    ] {
        let mut s = Screen::new(build, vec2(1440.0, 900.0));
        for part in [
            build::Part::Reading("spring.frequency.rear".into()),
            build::Part::Driveshaft,
        ] {
            s.act(Action::Select(part.clone()));
            assert!(s.settle().is_some(), "{part}: asks for frames without end");
            for n in 0..5 {
                let again = s.frame(Vec::new()).again;
                assert_eq!(again, Duration::MAX, "{part}: still frame {n}");
            }
        }
    }
}

#[test]
fn every_field_and_button_has_a_name() {
    for t in [Topic::Springs, Topic::Driveline] {
        let mut h = open(sample("redshank.ron"), None, [1920.0, 1080.0]);
        topic(&mut h, t);
        let roles = [
            egui::Role::TextInput,
            egui::Role::Button,
            egui::Role::RadioButton,
            egui::Role::Slider,
        ];
        for role in roles {
            for node in h.query_all_by_role(role) {
                let name = node.accesskit_node().label().unwrap_or_default();
                assert!(!name.trim().is_empty(), "{t:?}: a {role:?} without a name");
            }
        }
    }
}
