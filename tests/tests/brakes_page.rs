//! The brakes' page through the real window code: what is typed, chosen, added or taken out is one step and what the model
//! says of the edited build.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod screen;
mod window;

use build::{Brakes, Build, Masters, Part, Severity};
use eframe::egui;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use screen::rests_everywhere;
use window::{Window, click, fill, modelled, phase, reading, sample, undo};
use workbench::ui::brakes_page::Topic;

const SIZE: [f32; 2] = [1440.0, 900.0];
const PLUMBING: &str = "plumbing";

fn page(b: Build) -> Window<'static> {
    let h = phase(b, SIZE, PLUMBING);
    assert_eq!(h.state().brakes_page().topic, Topic::Circuit);
    h
}

fn show(h: &mut Window<'_>, topic: Topic) {
    let tabs = h.get_all_by_label(topic.label());
    tabs.into_iter().next().unwrap().click();
    h.run();
    assert_eq!(h.state().brakes_page().topic, topic);
}

/// Chooses the first part of the circuit whose name begins so.
fn choose(h: &mut Window<'_>, prefix: &str) {
    let parts = h.get_all_by_role(egui::Role::Button);
    let part = parts.into_iter().find(|n| {
        let label = n.accesskit_node().label();
        label.is_some_and(|l| l.starts_with(prefix))
    });
    part.unwrap_or_else(|| panic!("no part {prefix}")).click();
    h.run();
}

#[test]
fn a_typed_pedal_ratio_moves_force_and_travel_as_the_model_says() {
    let start = sample("redshank.ron");
    let mut h = page(start.clone());
    let before = reading(&h, "brakes.demand");
    choose(&mut h, "Shared: Pedal");
    fill(&mut h, "Pedal ratio", "5");
    let mut expected = start.clone();
    let brakes = expected.brakes.as_mut().unwrap();
    brakes.pedal.ratio = units::Count::from_si(5.0);
    assert_eq!(**h.state().build(), expected);
    for id in ["brakes.demand", "brakes.pedal_travel", "brakes.front_share"] {
        assert_eq!(reading(&h, id), modelled(&expected, id), "{id}");
    }
    assert!(reading(&h, "brakes.demand") < before, "less lever");
    fill(&mut h, "Pedal ratio", "long");
    fill(&mut h, "Pedal ratio", "-2");
    assert_eq!(**h.state().build(), expected, "nonsense changes nothing");
    undo(&mut h);
    assert_eq!(**h.state().build(), start);
}

#[test]
fn a_second_valve_in_a_line_is_told_at_once_and_taken_out_again() {
    let start = sample("redshank.ron");
    let mut h = page(start.clone());
    let said = |h: &Window<'_>| {
        let all = h.state().study().findings.iter();
        all.filter(|f| matches!(f.part, Part::Field(id) if id.starts_with("brakes.front.valves")))
            .filter(|f| f.severity != Severity::Remark)
            .count()
    };
    assert_eq!(said(&h), 0);
    choose(&mut h, "Front line: Calipers");
    click(&mut h, "Add a valve");
    let valves = |h: &Window<'_>| {
        h.state()
            .build()
            .brakes
            .as_ref()
            .unwrap()
            .front
            .valves
            .len()
    };
    assert_eq!(valves(&h), 2);
    assert!(said(&h) > 0, "a doubled valve goes unsaid");
    click(&mut h, "Take out front line valve 2");
    assert_eq!(said(&h), 0);
    assert_eq!(**h.state().build(), start);
    undo(&mut h);
    assert_eq!(valves(&h), 2);
    undo(&mut h);
    assert_eq!(**h.state().build(), start);
}

#[test]
fn any_surface_is_taken_out_but_the_last() {
    let mut start = sample("redshank.ron");
    let brakes = start.brakes.as_mut().unwrap();
    brakes.surfaces = [0.5, 0.8, 1.0].map(units::Count::from_si).to_vec();
    let mut h = page(start.clone());
    show(&mut h, Topic::Balance);
    let left = |h: &Window<'_>| -> Vec<f64> {
        let brakes = h.state().build().brakes.as_ref().unwrap();
        brakes.surfaces.iter().map(|m| m.si()).collect()
    };
    click(&mut h, "Take out friction 1");
    assert_eq!(left(&h), [0.8, 1.0]);
    click(&mut h, "Take out friction 2");
    assert_eq!(left(&h), [0.8]);
    let last = h.get_by_label("Take out friction 1");
    assert!(last.accesskit_node().is_disabled());
    click(&mut h, "Add a surface");
    assert_eq!(left(&h).len(), 2);
    for _ in 0..3 {
        undo(&mut h);
    }
    assert_eq!(**h.state().build(), start);
}

#[test]
fn another_kind_of_master_keeps_bore_and_stroke() {
    let start = sample("redshank.ron");
    let mut h = page(start.clone());
    choose(&mut h, "Front line: Front master");
    let Masters::Twin {
        front_bore, stroke, ..
    } = start.brakes.as_ref().unwrap().masters
    else {
        panic!("the sample has two masters");
    };
    click(&mut h, "one, tandem");
    let now = h.state().build().brakes.as_ref().unwrap().masters;
    let Masters::Tandem {
        bore, front_stroke, ..
    } = now
    else {
        panic!("{now:?}");
    };
    assert_eq!((bore, front_stroke), (front_bore, stroke));
    undo(&mut h);
    assert_eq!(**h.state().build(), start);
}

#[test]
fn without_brakes_one_button_lays_them_out_and_another_takes_them_out() {
    let mut start = sample("redshank.ron");
    start.brakes = None;
    let mut h = page(start.clone());
    click(&mut h, "Lay out the brakes");
    let usual = Brakes::usual(&start.car);
    assert_eq!(h.state().build().brakes, Some(usual));
    assert!(h.state().study().brakes.is_some());
    click(&mut h, "Take the brakes out");
    assert_eq!(**h.state().build(), start);
    undo(&mut h);
    undo(&mut h);
    assert_eq!(**h.state().build(), start);
}

#[test]
fn no_size_and_no_build_brings_it_down_and_it_is_still_when_idle() {
    let mut bare = sample("whimbrel.ron");
    let brakes = bare.brakes.as_mut().unwrap();
    (brakes.parking, brakes.pedal_return, brakes.booster) = (None, None, None);
    brakes.surfaces.clear();
    let builds = [
        sample("redshank.ron"),
        sample("whimbrel.ron"),
        sample("faulty.ron"),
        bare,
        Build::empty("x"),
    ];
    rests_everywhere(builds, PLUMBING, &Topic::ALL, |app, topic| {
        app.brakes_page_mut().topic = topic
    });
}
