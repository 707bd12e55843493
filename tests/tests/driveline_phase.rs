//! The driveline's phase through the real window code: joints and loop are dragged, ratios typed, each as one step and with
//! what the model says of the edited build.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod screen;
mod window;

use build::{Build, Driveline};
use eframe::egui::{self, Key, vec2};
use egui_kittest::kittest::Queryable as _;
use screen::rests_everywhere;
use window::{Window, click, drag, fill, hold, modelled, phase, reading, sample, undo};
use workbench::ui::driveline_page::phase::Topic;

const SIZE: [f32; 2] = [1440.0, 900.0];
const SMALL: [f32; 2] = [1024.0, 700.0];

fn show(h: &mut Window<'_>, topic: Topic) {
    let tabs = h.get_all_by_label(topic.label());
    tabs.into_iter().next().unwrap().click();
    h.run();
    assert_eq!(h.state().driveline_page().topic, topic);
}

fn handle(h: &Window<'_>, label: &str) -> egui::Pos2 {
    let role = egui::Role::Button;
    h.get_by_role_and_label(role, label).rect().center()
}

#[test]
fn a_dragged_rear_joint_moves_the_angles_as_the_model_says_and_is_one_step() {
    let start = sample("redshank.ron");
    let mut h = phase(start.clone(), SIZE, "driveline");
    let before = reading(&h, "driveline.rear_angle");
    let at = handle(&h, "Driveshaft, rear joint");
    drag(&mut h, at, vec2(0.0, -14.0));
    let now = Build::clone(h.state().build());
    let (old, new) = (
        start.power.driveshaft.unwrap().rear_joint.si(),
        now.power.driveshaft.unwrap().rear_joint.si(),
    );
    assert!(new[2] > old[2] + 0.005, "{old:?} {new:?}");
    assert_eq!(new[1], old[1], "the view does not show it: it stays");
    for id in [
        "driveline.front_angle",
        "driveline.rear_angle",
        "driveline.plunge",
        "driveline.equivalent_angle",
        "driveline.critical",
    ] {
        assert_eq!(reading(&h, id), modelled(&now, id), "{id}");
    }
    assert!((reading(&h, "driveline.rear_angle") - before).abs() > 1e-3);
    undo(&mut h);
    assert_eq!(**h.state().build(), start);
}

#[test]
fn the_front_joint_is_held_back_by_escape_and_stepped_by_arrow_keys() {
    let start = sample("redshank.ron");
    let mut h = phase(start.clone(), SIZE, "driveline");
    let at = handle(&h, "Driveshaft, front joint");
    hold(&mut h, at, vec2(-12.0, 9.0));
    assert_ne!(**h.state().build(), start);
    h.key_press(Key::Escape);
    h.drop_at(at);
    h.run();
    assert_eq!(**h.state().build(), start);
    let role = egui::Role::Button;
    h.get_by_role_and_label(role, "Driveshaft, front joint")
        .click();
    h.run();
    h.key_press(Key::ArrowDown);
    h.run();
    let up = |b: &Build| b.power.driveshaft.unwrap().front_joint.height.si();
    let by = up(&start) - up(h.state().build());
    assert!(by > 0.0 && by < 0.0033, "{by}");
}

#[test]
fn the_loop_is_dragged_along_the_shaft() {
    let start = sample("redshank.ron");
    let mut h = phase(start.clone(), SIZE, "driveline");
    show(&mut h, Topic::Slip);
    let before = reading(&h, "driveline.loop_distance");
    let at = handle(&h, "Safety loop");
    drag(&mut h, at, vec2(-20.0, 0.0));
    let now = Build::clone(h.state().build());
    // Ahead is to the right: to the left takes it away from the front joint.
    assert!(reading(&h, "driveline.loop_distance") > before + 0.01);
    for id in ["driveline.loop_distance", "driveline.loop_gap"] {
        assert_eq!(reading(&h, id), modelled(&now, id), "{id}");
    }
    undo(&mut h);
    assert_eq!(**h.state().build(), start);
}

#[test]
fn final_drives_are_added_typed_and_taken_out() {
    let mut start = sample("redshank.ron");
    let drives = |b: &Build| -> Vec<f64> {
        let d = b.driveline.as_ref().unwrap();
        d.final_drives.iter().map(|r| r.si()).collect()
    };
    let d = start.driveline.as_mut().unwrap();
    d.final_drives = [3.5, 4.1].map(units::Count::from_si).to_vec();
    let mut h = phase(start.clone(), SIZE, "driveline");
    show(&mut h, Topic::Speeds);
    click(&mut h, "Add a final drive");
    assert_eq!(drives(h.state().build()).len(), 3);
    fill(&mut h, "final drive 3", "4.56");
    assert_eq!(drives(h.state().build()), [3.5, 4.1, 4.56]);
    click(&mut h, "Take out final drive 2");
    assert_eq!(drives(h.state().build()), [3.5, 4.56]);
    let study = h.state().study().driveline.clone().unwrap();
    let gearing = study.gearing.as_ref().unwrap();
    let mut offered: Vec<f64> = gearing.choices.iter().map(|c| c.final_drive).collect();
    offered.sort_by(f64::total_cmp);
    assert_eq!(offered, [3.5, 4.56]);
    let typed = Build::clone(h.state().build());
    fill(&mut h, "final drive 1", "tall");
    fill(&mut h, "final drive 2", "0");
    assert_eq!(**h.state().build(), typed, "nonsense changes nothing");
    for _ in 0..3 {
        undo(&mut h);
    }
    assert_eq!(**h.state().build(), start);
}

#[test]
fn a_typed_wall_moves_critical_speed_and_strength() {
    let start = sample("redshank.ron");
    let mut h = phase(start.clone(), SIZE, "driveline");
    show(&mut h, Topic::Strength);
    fill(&mut h, "Tube wall", "1/8");
    let mut expected = start.clone();
    let tube = &mut expected.driveline.as_mut().unwrap().tube;
    tube.wall = "1/8 in".parse().unwrap();
    assert_eq!(**h.state().build(), expected);
    for id in ["driveline.critical", "driveline.torsion_safety"] {
        assert_eq!(reading(&h, id), modelled(&expected, id), "{id}");
    }
    undo(&mut h);
    assert_eq!(**h.state().build(), start);
}

#[test]
fn what_is_missing_is_begun_by_a_button() {
    let mut start = sample("redshank.ron");
    start.driveline = None;
    start.power.driveshaft = None;
    let mut h = phase(start.clone(), SMALL, "driveline");
    click(&mut h, "Draw a driveshaft");
    assert!(h.state().build().power.driveshaft.is_some());
    show(&mut h, Topic::Strength);
    click(&mut h, "Describe the driveline");
    assert_eq!(h.state().build().driveline, Some(Driveline::usual()));
    show(&mut h, Topic::Slip);
    click(&mut h, "Add a loop");
    let hoop = h.state().build().driveline.as_ref().unwrap().hoop;
    assert!(hoop.is_some());
    for _ in 0..3 {
        undo(&mut h);
    }
    assert_eq!(**h.state().build(), start);
}

#[test]
fn no_size_and_no_build_brings_it_down_and_it_is_still_when_idle() {
    let mut bare = sample("redshank.ron");
    bare.power.driveshaft = None;
    let builds = [
        sample("redshank.ron"),
        sample("whimbrel.ron"),
        sample("faulty.ron"),
        bare,
        Build::empty("x"),
    ];
    rests_everywhere(builds, "driveline", &Topic::ALL, |app, topic| {
        app.driveline_page_mut().topic = topic
    });
}
