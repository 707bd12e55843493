//! The front end's page through the real window code: what is dragged, typed or taken over is what the study of
//! the edited build says, each is one step, and no build and no size brings it down.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod window;

use build::{
    AdjusterMoves, ArmRod, Build, Edit, FrontBar, FrontCoil, FrontJoint, History, RollingEdit,
};
use eframe::egui::{self, Key, vec2};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use window::{Window, click, drag, fill, hold, modelled, open, reading, sample, undo};
use workbench::ui::bench::Action;
use workbench::ui::front_page::Topic;

const SIZE: [f32; 2] = [1440.0, 900.0];
const SMALL: [f32; 2] = [1024.0, 700.0];

fn page(build: Build, size: [f32; 2]) -> Window<'static> {
    let mut h = open(build, None, size);
    let ctx = h.ctx.clone();
    h.state_mut().act(&ctx, Action::Phase("front_end".into()));
    h.run();
    h
}

#[test]
fn the_tie_rod_dragged_moves_bump_steer_as_the_model_says_and_is_one_step() {
    let start = sample("redshank.ron");
    let mut h = page(start.clone(), SIZE);
    let before = reading(&h, "front.bump_steer");
    let handle = h
        .get_by_role_and_label(egui::Role::Button, "Tie rod, inner")
        .rect()
        .center();
    drag(&mut h, handle, vec2(0.0, -18.0));
    let now = h.state().build().front_end.clone().unwrap();
    let old = start.front_end.clone().unwrap();
    let (to, from) = (now.tie_rod.inner.si(), old.tie_rod.inner.si());
    assert!(to[2] > from[2] + 0.005, "{to:?} {from:?}");
    assert_eq!(to[0], from[0], "the view does not show it: it stays");

    let edit = Edit::Rolling(RollingEdit::Move {
        point: "front_end.tie_rod.inner".into(),
        to: now.tie_rod.inner,
    });
    let mut history = History::new(start.clone());
    history.apply(&edit).unwrap();
    assert_eq!(**h.state().build(), **history.build());
    for id in ["front.bump_steer", "front.camber", "front.ackermann"] {
        assert_eq!(reading(&h, id), modelled(history.build(), id), "{id}");
    }
    assert!((reading(&h, "front.bump_steer") - before).abs() > 1e-4);
    undo(&mut h);
    assert_eq!(**h.state().build(), start);
}

#[test]
fn escape_takes_a_drag_back_and_arrow_keys_move_by_a_step() {
    let start = sample("redshank.ron");
    let mut h = page(start.clone(), SIZE);
    let handle = h
        .get_by_role_and_label(egui::Role::Button, "Upper ball joint")
        .rect()
        .center();
    hold(&mut h, handle, vec2(9.0, -12.0));
    assert_ne!(**h.state().build(), start);
    h.key_press(Key::Escape);
    h.drop_at(handle);
    h.run();
    assert_eq!(**h.state().build(), start);

    h.get_by_role_and_label(egui::Role::Button, "Upper ball joint")
        .click();
    h.run();
    h.key_press(Key::ArrowUp);
    h.run();
    let moved = |b: &Build| b.front_end.clone().unwrap().upper.ball.si();
    let by = moved(h.state().build())[2] - moved(&start)[2];
    // One step of the tape, or less where the drawn point lay between two.
    assert!(by > 0.0 && by < 0.0033, "{by}");
}

#[test]
fn a_typed_coordinate_is_one_step() {
    let start = sample("redshank.ron");
    let mut h = page(start.clone(), SIZE);
    let label = "front end Tie rod, outer up";
    fill(&mut h, label, "9 1/2");
    let mut expected = start.clone();
    let front = expected.front_end.as_mut().unwrap();
    front.tie_rod.outer.height = "9 1/2 in".parse().unwrap();
    assert_eq!(**h.state().build(), expected);
    assert_eq!(
        reading(&h, "front.bump_steer"),
        modelled(&expected, "front.bump_steer")
    );
    undo(&mut h);
    assert_eq!(**h.state().build(), start);
    fill(&mut h, label, "high");
    assert_eq!(**h.state().build(), start);
}

#[test]
fn both_answers_to_bump_steer_are_taken_over_and_leave_none() {
    let mut start = sample("redshank.ron");
    // A rack an inch too high: bump steer to be rid of.
    let front = start.front_end.as_mut().unwrap();
    let up = front.tie_rod.inner.height.si() + 0.0254;
    front.tie_rod.inner.height = units::Length::from_si(up);
    let mut h = page(start.clone(), SIZE);
    let before = reading(&h, "front.bump_steer").abs();
    assert!(before > 1e-4, "{before}");
    click(&mut h, "Bump steer");
    assert_eq!(h.state().front_page().topic, Topic::Bump);
    click(&mut h, "Take over the rack height");
    // Exact in the rods: what is left is rounding.
    assert!(reading(&h, "front.bump_steer").abs() < 1e-9 * before.max(1.0));
    undo(&mut h);
    assert_eq!(**h.state().build(), start);
    click(&mut h, "Take over height and length");
    assert!(reading(&h, "front.bump_steer").abs() < 1e-9);
    assert!(reading(&h, "front.curvature").abs() < 1e-8);
    undo(&mut h);
    assert_eq!(**h.state().build(), start);
}

#[test]
fn without_a_front_end_one_button_draws_one() {
    let mut start = sample("redshank.ron");
    start.front_end = None;
    let mut h = page(start.clone(), SMALL);
    click(&mut h, "Draw a front end to start from");
    let drawn = h.state().build().front_end.clone().unwrap();
    assert_eq!(drawn, build::FrontEnd::usual(&start.car));
    assert!(h.state().study().front.as_ref().unwrap().motion.is_ok());
    undo(&mut h);
    assert_eq!(**h.state().build(), start);
}

#[test]
fn every_topic_and_view_of_every_build_stands_in_a_small_window() {
    let mut flat = sample("redshank.ron");
    let front = flat.front_end.as_mut().unwrap();
    // The upper ball joint under the lower one: nothing goes together.
    front.upper.ball.height = "1 in".parse().unwrap();
    let builds = [
        sample("redshank.ron"),
        sample("whimbrel.ron"),
        sample("faulty.ron"),
        flat,
    ];
    for build in builds {
        for size in [SMALL, SIZE] {
            let mut h = page(build.clone(), size);
            for face in ["From behind", "From above", "From the left"] {
                // The record has no drawing.
                let tabs = h.get_all_by_label(Topic::ALL[0].label());
                tabs.into_iter().next().unwrap().click();
                h.run();
                h.get_by_label(face).click();
                h.run();
                for topic in Topic::ALL {
                    let tabs = h.get_all_by_label(topic.label());
                    let first = tabs.into_iter().next().unwrap();
                    first.click();
                    h.run();
                    assert_eq!(h.state().front_page().topic, topic);
                }
            }
            assert_eq!(**h.state().build(), build, "looking changes nothing");
        }
    }
}

#[test]
fn a_gap_clicked_shows_its_worst_pose() {
    let start = sample("redshank.ron");
    let mut h = page(start, SIZE);
    click(&mut h, "What touches");
    let study = h.state().study().front.clone().unwrap();
    let motion = study.motion.as_ref().unwrap();
    let worst = motion.gaps.first().expect("a gap");
    let prefix = format!("{} at ", worst.label);
    let rows = h.get_all_by_role(egui::Role::Button);
    let row = rows
        .into_iter()
        .find(|n| {
            n.accesskit_node()
                .label()
                .is_some_and(|l| l.starts_with(&prefix))
        })
        .expect("its row");
    row.click();
    h.run();
    let step = 0.0033;
    assert!((h.state().front_page().travel - worst.travel).abs() < step);
    assert!((h.state().front_page().rack - worst.rack).abs() < step);
}

/// What makes the front end more than rods is added, described and taken out by hand: a step each.
#[test]
fn coil_over_bar_adjusters_and_joints_are_added_typed_and_taken_out() {
    let mut start = sample("redshank.ron");
    let front = start.front_end.as_mut().unwrap();
    (front.coil_over, front.bar) = (None, None);
    front.adjusters.clear();
    front.joints.clear();
    let front = start.front_end.clone().unwrap();
    let now = |h: &Window<'_>| h.state().build().front_end.clone().unwrap();
    let motion = |h: &Window<'_>| {
        let study = h.state().study().front.clone().unwrap();
        study.motion.clone().unwrap()
    };
    let mut h = page(start.clone(), SIZE);

    click(&mut h, "Draw a coil-over");
    assert_eq!(now(&h).coil_over, Some(FrontCoil::usual(&front)));
    assert!(motion(&h).coil.unwrap().is_ok());
    let after = Build::clone(h.state().build());
    assert_eq!(
        reading(&h, "front.wheel_rate"),
        modelled(&after, "front.wheel_rate")
    );
    fill(&mut h, "Front spring free length", "14");
    assert_eq!(
        now(&h).coil_over.unwrap().free,
        Some("14 in".parse().unwrap())
    );
    fill(&mut h, "Front spring free length", "");
    assert_eq!(now(&h).coil_over.unwrap().free, None);

    click(&mut h, "Draw an anti-roll bar");
    assert_eq!(now(&h).bar, Some(FrontBar::usual(&front)));
    assert!(motion(&h).bar.unwrap().is_ok());
    let solid = reading(&h, "front.bar_stiffness");
    fill(&mut h, "Anti-roll bar wall", "1/8");
    assert!(
        reading(&h, "front.bar_stiffness") < solid,
        "a tube twists more"
    );
    click(&mut h, "Take the bar out");
    assert_eq!(now(&h).bar, None);
    click(&mut h, "Take the coil-over out");
    assert_eq!(now(&h), front);

    click(&mut h, "Adjusters");
    click(&mut h, "Add an adjuster");
    fill(&mut h, "Adjuster 1 move 1 by", "1/8");
    fill(&mut h, "Adjuster 1 name", "Left sleeve");
    let sleeve = &now(&h).adjusters[0];
    assert_eq!(sleeve.label, "Left sleeve");
    let (rod, per_turn) = (ArmRod::TieRod, "1/8 in".parse().unwrap());
    assert_eq!(sleeve.moves, [AdjusterMoves::Length { rod, per_turn }]);
    let (rate, _) = motion(&h).adjusters[0].unwrap();
    assert!(rate.toe_in.abs() > 1e-3, "a tie rod sleeve turns the wheel");
    click(&mut h, "Remove Left sleeve");
    assert!(now(&h).adjusters.is_empty());

    click(&mut h, "What touches");
    click(&mut h, "Add a joint");
    assert_eq!(now(&h).joints, [FrontJoint::usual(&front)]);
    fill(&mut h, "Joint 1 stud out", "-0.2");
    fill(&mut h, "Joint 1 limit", "25");
    assert!((motion(&h).joints[0].room - 25f64.to_radians()).abs() < 25f64.to_radians());
    let joint = now(&h).joints[0].clone();
    assert!((joint.limit.si() - 25f64.to_radians()).abs() < 1e-12);
    assert_eq!(joint.along.1.si(), -0.2);
    fill(&mut h, "Joint 1 stud up", "0");
    fill(&mut h, "Joint 1 stud out", "0");
    assert_eq!(
        now(&h).joints[0].along.1.si(),
        -0.2,
        "a stud must point somewhere"
    );
    click(&mut h, "Remove Joint 1");
    assert_eq!(now(&h), front);
}
