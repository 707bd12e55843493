//! An idle window asks for no frame; a dragged handle is where the pointer is, with everything that
//! follows from it, in the very frame that heard of the pointer, laid out once.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod screen;
mod window;

use std::sync::Arc;
use std::time::Duration;

use build::{Build, derive};
use eframe::egui::{Event, Pos2, Vec2, vec2};
use screen::{Frame, Screen, button};
use window::sample;
use workbench::ui::bench::Action;
use workbench::ui::command::Command;

const SIZE: Vec2 = vec2(1440.0, 900.0);

/// Settles, then stays settled.
#[track_caller]
fn rests(s: &mut Screen, what: &str) {
    assert!(s.settle().is_some(), "{what}: asks for frames without end");
    for n in 0..5 {
        let again = s.frame(Vec::new()).again;
        assert_eq!(
            again,
            Duration::MAX,
            "{what}: still frame {n} asks for another"
        );
    }
}

#[test]
fn an_idle_frame_asks_for_no_other_on_any_page() {
    for build in [
        sample("redshank.ron"),
        sample("whimbrel.ron"),
        sample("faulty.ron"),
        Build::empty("Empty"),
    ] {
        let phases = build.phases.clone();
        let name = build.name.clone();
        let mut s = Screen::new(build, SIZE);
        rests(&mut s, &name);
        for p in &phases {
            s.act(Action::Phase(p.id.clone()));
            assert!(
                s.frame(Vec::new()).again < Duration::MAX,
                "what was done is shown"
            );
            rests(&mut s, &format!("{name}, {}", p.title));
        }
        s.act(Action::Run(Command::Print));
        rests(&mut s, &format!("{name}, sheet preview"));
    }
}

#[test]
fn a_pointer_at_rest_asks_for_no_frame_once_its_tip_is_shown() {
    let mut s = Screen::new(sample("redshank.ron"), SIZE);
    rests(&mut s, "page");
    let names = [
        "bracket upper front",
        "upper link, frame end",
        "Anti-squat",
        "Phase Rear links",
        "Side view",
    ];
    for name in names {
        // A name may be said of a widget more than once: the first is as good as any.
        let at = named(&mut s, name).center();
        s.frame(vec![Event::PointerMoved(at)]);
        rests(&mut s, name);
    }
    s.frame(vec![Event::PointerGone]);
    rests(&mut s, "pointer gone");
}

#[test]
fn a_page_rests_after_a_drag_and_while_a_baseline_is_shown() {
    let mut s = Screen::new(sample("redshank.ron"), SIZE);
    s.act(Action::Run(Command::PinBaseline));
    rests(&mut s, "baseline");
    for name in ["upper link, frame end", "bracket upper front"] {
        let before = Arc::clone(s.app.build());
        let from = named(&mut s, name).center();
        take(&mut s, from);
        for n in 1..=10 {
            s.frame(vec![Event::PointerMoved(from - 3.0 * n as f32 * Vec2::Y)]);
        }
        // Held still, too: no frame while the hand rests.
        rests(&mut s, &format!("{name}, held"));
        let end = from - 30.0 * Vec2::Y;
        s.frame(vec![button(end, false)]);
        s.frame(vec![Event::PointerGone]);
        rests(&mut s, &format!("{name}, let go"));
        assert_ne!(*before, **s.app.build(), "{name}");
    }
}

/// Where a named widget stands now. Names are told whole only in the first frame after a change, so
/// the whole page is asked for again.
fn named(s: &mut Screen, name: &str) -> eframe::egui::Rect {
    s.frame(Vec::new()).rect(name)
}

/// Hovers and presses.
fn take(s: &mut Screen, at: Pos2) {
    s.frame(vec![Event::PointerMoved(at)]);
    s.frame(vec![button(at, true)]);
}

/// The study shown is the one of the build shown: nothing lags a frame behind.
#[track_caller]
fn follows(s: &Screen) {
    let (shown, model) = (s.app.study(), derive(s.app.build()));
    assert_eq!(shown.readings, model.readings);
    assert_eq!(shown.findings, model.findings);
    assert_eq!(shown.phases, model.phases);
}

#[test]
fn a_dragged_bracket_and_all_that_follows_are_in_the_frame_of_the_pointer() {
    let mut s = Screen::new(sample("redshank.ron"), SIZE);
    rests(&mut s, "page");
    let name = "bracket upper front";
    let from = named(&mut s, name).center();
    take(&mut s, from);
    let start = Arc::clone(s.app.build());
    // The handle need not stand on the bracket's own point: where it was taken is kept.
    let own = |s: &Screen| {
        let [x, _, z] = s.app.build().rear.bracket("upper_front").unwrap().at.si();
        s.app.rear_page().side.at([x, z])
    };
    let grip = from - own(&s);
    let mut moved = 0;
    let path = (1..=40).map(|n| {
        let a = n as f32 * 0.35;
        from + 3.0 * n as f32 / 4.0 * vec2(a.cos(), a.sin()) + 8.0 * Vec2::X
    });
    for pointer in path {
        let before = Arc::clone(s.app.build());
        let readings = s.app.study().readings.clone();
        let frame: Frame = s.frame(vec![Event::PointerMoved(pointer)]);
        // The table of a part that was just chosen is measured once before it is shown (`egui::Grid`).
        let fresh = moved == 0;
        assert!(
            frame.passes == 1 || fresh,
            "laid out {} times",
            frame.passes
        );
        // To the tape's sixteenth: at most half a step off in either direction.
        let half = (0.5 * 0.0254 / 16.0 * s.app.rear_page().side.scale) as f32 + 0.01;
        let off = own(&s) + grip - pointer;
        assert!(
            off.x.abs() <= half && off.y.abs() <= half,
            "the bracket is {off:?} off the pointer, more than {half}"
        );
        // What is drawn and told has moved as well.
        let drawn = frame.rect(name).center();
        assert!(
            (drawn - own(&s) - grip).length() < 0.6,
            "drawn at {drawn:?}"
        );
        follows(&s);
        if *before != **s.app.build() {
            moved += 1;
            assert_ne!(s.app.study().readings, readings, "the study is the old one");
        }
    }
    assert!(moved >= 35, "only {moved} of 40 frames moved the bracket");
    // Nothing else was touched.
    let mut other = Build::clone(s.app.build());
    let b = &mut other.rear.brackets;
    let back = start.rear.bracket("upper_front").unwrap().at;
    b.iter_mut().find(|b| b.id == "upper_front").unwrap().at = back;
    assert_eq!(other, *start);
}

#[test]
fn a_link_end_is_on_its_new_hole_in_the_frame_in_which_the_pointer_crosses() {
    let mut s = Screen::new(sample("redshank.ron"), SIZE);
    rests(&mut s, "page");
    let hole = |s: &Screen| s.app.build().rear.link("upper").unwrap().at_frame.hole;
    let first = hole(&s);
    let view = s.app.rear_page().side;
    let place = |n: usize| {
        let bracket = s.app.build().rear.bracket("upper_front").unwrap();
        let [x, _, z] = bracket.hole(n).unwrap().si();
        view.at([x, z])
    };
    let (from, to) = (place(first), place(first + 1));
    take(&mut s, from);
    // Past the distance below which a press may still be a click, and back.
    for aside in [10.0, 0.0] {
        s.frame(vec![Event::PointerMoved(from + aside * Vec2::X)]);
        assert_eq!(hole(&s), first, "{aside} aside");
    }
    // Still nearer to the first hole: nothing changes.
    for part in [0.25, 0.45] {
        s.frame(vec![Event::PointerMoved(from + part * (to - from))]);
        assert_eq!(hole(&s), first, "at {part}");
    }
    let frame = s.frame(vec![Event::PointerMoved(from + 0.55 * (to - from))]);
    assert_eq!(hole(&s), first + 1);
    follows(&s);
    let drawn = frame.rect("upper link, frame end").center();
    assert!(
        (drawn - to).length() < 0.6,
        "drawn at {drawn:?}, not {to:?}"
    );
    let frame = s.frame(vec![Event::PointerMoved(from + 0.45 * (to - from))]);
    assert_eq!(hole(&s), first, "and back again");
    follows(&s);
    assert!((frame.rect("upper link, frame end").center() - from).length() < 0.6);
}
