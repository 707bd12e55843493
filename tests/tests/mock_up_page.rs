//! The mock-up through the real window code: body corners follow the pointer, what is typed is what the
//! study says, each change is one step.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod screen;
mod window;

use build::{Build, Edit, History, MockUp, derive};
use eframe::egui::{Key, vec2};
use egui_kittest::kittest::Queryable as _;
use screen::rests_everywhere;
use window::{CTRL, Window, drag, fill, open, reading, sample};
use workbench::ui::bench::Action;

const SIZE: [f32; 2] = [1440.0, 900.0];

fn mock_up(b: Build) -> Window<'static> {
    let mut h = open(b, None, SIZE);
    let ctx = h.ctx.clone();
    h.state_mut().act(&ctx, Action::Phase("mock_up".into()));
    h.run();
    h
}

#[test]
fn a_dragged_corner_moves_the_gap_as_the_model_says_and_is_one_step() {
    let start = sample("redshank.ron");
    let mut h = mock_up(start.clone());
    let before = reading(&h, "clearance.gap.tyre.lip");
    let at = h
        .get_by_label("Quarter panel lip, lower inner corner")
        .rect()
        .center();
    // From behind the left side stands left: to the right is inward, toward the tyre.
    drag(&mut h, at, vec2(14.0, 0.0));
    let after = reading(&h, "clearance.gap.tyre.lip");
    assert!(after < before - 0.005, "{before} then {after}");
    let now = Build::clone(h.state().build());
    let model = derive(&now);
    assert_eq!(
        after,
        model
            .reading("clearance.gap.tyre.lip")
            .unwrap()
            .value
            .clone()
            .unwrap()
    );
    let (old, new) = (
        &start.mock_up.as_ref().unwrap().body,
        &now.mock_up.as_ref().unwrap().body,
    );
    assert_eq!(
        old[2].from.station, new[2].from.station,
        "the view does not show it: it stays"
    );
    assert!(new[2].from.offset < old[2].from.offset);
    h.key_press_modifiers(CTRL, Key::Z);
    h.run();
    assert_eq!(**h.state().build(), start);
}

#[test]
fn a_typed_offset_moves_backspacing_and_order() {
    let start = sample("redshank.ron");
    let mut h = mock_up(start.clone());
    h.get_by_label("Wheel and housing").click();
    h.run();
    fill(&mut h, "Rear wheel offset", "-1");
    let mut history = History::new(start.clone());
    history
        .apply(&Edit::Field {
            id: "mock_up.wheel.offset".into(),
            si: -0.0254,
        })
        .unwrap();
    assert_eq!(h.state().build(), history.build());
    let inch = 0.0254;
    assert!((reading(&h, "clearance.backspacing") - 4.5 * inch).abs() < 1e-9);
    assert!((reading(&h, "clearance.faces") - 55.0 * inch).abs() < 1e-9);
    h.key_press_modifiers(CTRL, Key::Z);
    h.run();
    assert_eq!(**h.state().build(), start);
}

#[test]
fn an_empty_build_is_mocked_up_by_one_button() {
    let mut h = mock_up(Build::empty("New build"));
    h.get_by_label("Mock up from the car's figures").click();
    h.run();
    let b = h.state().build();
    assert_eq!(b.mock_up, Some(MockUp::usual(&b.car)));
    h.key_press_modifiers(CTRL, Key::Z);
    h.run();
    assert_eq!(**h.state().build(), Build::empty("New build"));
}

#[test]
fn a_click_on_a_pair_shows_it_and_selects_its_part() {
    let mut h = mock_up(sample("faulty.ron"));
    h.get_by_label("Tyre to quarter panel lip").click();
    h.run();
    assert_eq!(h.state().mock_up_page().pair(), Some("tyre.lip"));
}

#[test]
fn no_size_and_no_build_brings_it_down_and_it_is_still_when_idle() {
    let builds = [
        sample("redshank.ron"),
        sample("faulty.ron"),
        Build::empty("x"),
    ];
    rests_everywhere(builds, "mock_up", &[()], |_, ()| {});
}

#[test]
fn of_two_handles_that_overlap_the_nearer_is_taken() {
    let mut start = sample("redshank.ron");
    let mock = start.mock_up.as_mut().unwrap();
    // The corner of a panel drawn later, a little beside that of an earlier one.
    let corner = mock.body[0].to;
    let by = units::Length::from_inches(0.4);
    let mut other = mock.body[1].clone();
    other.from = build::Place {
        offset: corner.offset + by,
        ..corner
    };
    other.to = build::Place::from_si(other.from.si().map(|v| v + 0.1));
    mock.body[1] = other;
    let names = [
        format!("{}, upper outer corner", mock.body[0].label),
        format!("{}, lower inner corner", mock.body[1].label),
    ];
    let h = mock_up(start.clone());
    let [under, over] = names.map(|n| h.get_by_label(&n).rect().center());
    let apart = over - under;
    assert!(
        (1.0..6.5).contains(&apart.length()),
        "each within the other: {apart:?}"
    );
    for (from, of) in [(under - apart * 0.2, 0), (over + apart * 0.2, 1)] {
        let mut h = mock_up(start.clone());
        drag(&mut h, from, vec2(-9.0, 0.0));
        let now = &h.state().build().mock_up.as_ref().unwrap().body;
        let was = &start.mock_up.as_ref().unwrap().body;
        let moved: Vec<usize> = (0..now.len()).filter(|i| now[*i] != was[*i]).collect();
        assert_eq!(moved, [of]);
    }
}
