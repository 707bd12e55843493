//! Tube work through the real window code: tubes bent, moved, cut from bars, braces tried and kept;
//! each is one step, nothing clips in a small window, and the page rests when nothing is done.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod screen;
mod window;

use std::time::Duration;

use build::{Build, Part, TubeSection};
use eframe::egui::{self, Event, Key, Modifiers, PointerButton, Pos2, Vec2, vec2};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use screen::Screen;
use units::Length;
use window::{Window, click, drag, fill, open, open_with, sample, undo};
use workbench::ui::bench::Action;
use workbench::ui::handles::{Face, Turn};
use workbench::ui::settings::Settings;
use workbench::ui::tube_page::Topic;

const SIZE: [f32; 2] = [1440.0, 900.0];
const SIXTEENTH: f64 = 0.0254 / 16.0;

fn page<'a>(build: Build, size: [f32; 2]) -> Window<'a> {
    let mut h = open(build, None, size);
    let ctx = h.ctx.clone();
    h.state_mut().act(&ctx, Action::Phase("tube_work".into()));
    h.run();
    h
}

fn act(h: &mut Window<'_>, action: Action) {
    let ctx = h.ctx.clone();
    h.state_mut().act(&ctx, action);
    h.run();
}

fn scroll_and_click(h: &mut Window<'_>, label: &str) {
    h.get_by_label(label).scroll_to_me();
    h.run();
    click(h, label);
}

fn at(h: &Window<'_>, label: &str) -> Pos2 {
    h.get_by_label(label).rect().center()
}

/// Takes an entry of a box that drops down.
fn choose(h: &mut Window<'_>, name: &str, entry: &str) {
    let role = egui::Role::ComboBox;
    h.get_by_role_and_label(role, name).scroll_to_me();
    h.run();
    h.get_by_role_and_label(role, name).click();
    h.run();
    h.get_by_role_and_label(egui::Role::Button, entry)
        .scroll_to_me();
    h.run();
    h.get_by_role_and_label(egui::Role::Button, entry).click();
    h.run();
}

fn node(b: &Build, id: &str) -> [f64; 3] {
    b.assembly.node(id).unwrap().at.si()
}

#[test]
fn a_corner_bends_a_tube_and_its_radius_is_typed() {
    let start = sample("redshank.ron");
    let mut h = page(start.clone(), SIZE);
    act(&mut h, Action::Select(Part::Tube("bar".into())));
    scroll_and_click(&mut h, "Tube bar, add a bend");
    let b = h.state().build().clone();
    let bends = &b.assembly.tube("bar").unwrap().bends;
    assert_eq!(bends.len(), 1);
    // No die chosen: three outside diameters.
    let TubeSection::Round { outside, .. } = b.assembly.tube("bar").unwrap().section else {
        panic!("the bar is round");
    };
    assert!((bends[0].radius.si() - 3.0 * outside.si()).abs() < 1e-9);
    // It stands on the middle of the tube, in hand: its coordinates can be typed.
    let id = bends[0].at.clone();
    let tube = start.assembly.tube("bar").unwrap();
    let (p, q) = (node(&start, &tube.from), node(&start, &tube.to));
    for k in 0..3 {
        assert!((node(&b, &id)[k] - 0.5 * (p[k] + q[k])).abs() < 1e-5);
    }
    let up = node(&b, &id)[2] + 3.0 * 0.0254;
    fill(&mut h, &format!("Node {id}, height"), &format!("{up} m"));
    let part = |h: &Window<'_>| h.state().study().tubes.tube("bar").unwrap().part.clone();
    let made = part(&h).unwrap();
    assert_eq!(made.bends.len(), 1);
    // Half the tube's run across and the rise: twice atan of it.
    let run = (0..2).map(|k| (q[k] - p[k]).powi(2)).sum::<f64>().sqrt();
    let angle = 2.0 * (3.0 * 0.0254 / (0.5 * run)).atan();
    assert!((made.bends[0].bend.angle - angle).abs() < 1e-4);
    act(&mut h, Action::Select(Part::Tube("bar".into())));
    fill(&mut h, "Tube bar, bend 1, radius", "5 1/2");
    let radius = h.state().build().assembly.tube("bar").unwrap().bends[0].radius;
    assert_eq!(radius, Length::from_inches(5.5));
    assert!((part(&h).unwrap().bends[0].bend.radius - 5.5 * 0.0254).abs() < 1e-12);
    let words = h.get_by_label("Bend sheet of Upper bar").value().unwrap();
    assert!(words.starts_with("bend 1 at "), "{words}");
    // Nonsense is not taken.
    let before = h.state().build().clone();
    fill(&mut h, "Tube bar, bend 1, radius", "tight");
    assert_eq!(*h.state().build(), before);
    h.key_press(Key::Escape);
    h.run();
    for _ in 0..3 {
        undo(&mut h);
    }
    assert_eq!(**h.state().build(), start, "three steps");
}

#[test]
fn a_dragged_node_takes_its_mirror_twin_along_in_one_step() {
    let start = sample("redshank.ron");
    let mut h = page(start.clone(), SIZE);
    click(&mut h, "From behind");
    let from = at(&h, "Node eye_l");
    drag(&mut h, from, vec2(29.0, -41.0));
    let b = h.state().build().clone();
    let (l, r) = (node(&b, "eye_l"), node(&b, "eye_r"));
    assert_ne!(l, node(&start, "eye_l"));
    assert_eq!([l[0], -l[1], l[2]], r);
    undo(&mut h);
    assert_eq!(**h.state().build(), start, "both in one step");
    click(&mut h, "Both sides");
    drag(&mut h, from, vec2(29.0, -41.0));
    assert_eq!(node(h.state().build(), "eye_r"), node(&start, "eye_r"));
}

#[test]
fn a_dragged_node_holds_on_to_the_height_of_another_unless_it_moves_freely() {
    let start = sample("redshank.ron");
    let mut h = page(start.clone(), SIZE);
    click(&mut h, "From behind");
    let scale = h.state().tube_page().view.view().scale;
    let target = node(&start, "bar_l")[2];
    let was = node(&start, "eye_l")[2];
    // Three points short of the height of the bar's end: within the catch of five.
    let down = ((was - target) * scale) as f32 - 3.0;
    let from = at(&h, "Node eye_l");
    drag(&mut h, from, vec2(0.0, down));
    assert_eq!(node(h.state().build(), "eye_l")[2], target);
    let settings = Settings {
        snap: false,
        ..Settings::default()
    };
    let mut h = open_with(settings, start, None, SIZE);
    act(&mut h, Action::Phase("tube_work".into()));
    click(&mut h, "From behind");
    let from = at(&h, "Node eye_l");
    drag(&mut h, from, vec2(0.0, down));
    let free = node(h.state().build(), "eye_l")[2];
    assert!((free - target).abs() > 1.0 / scale, "{free} is caught");
}

#[test]
fn the_drawing_is_turned_by_hand_by_slider_and_by_button() {
    let start = sample("redshank.ron");
    let mut h = page(start.clone(), SIZE);
    let turn = |h: &Window<'_>| match h.state().tube_page().view.face {
        Face::Turned(t) => t,
        other => panic!("{other:?}"),
    };
    let before = turn(&h);
    let canvas = at(&h, "Assembly, turned");
    let press = |h: &mut Window<'_>, at: Pos2, pressed: bool| {
        h.event(Event::PointerButton {
            pos: at,
            button: PointerButton::Secondary,
            pressed,
            modifiers: Modifiers::NONE,
        });
        h.step();
    };
    // An empty corner of the sheet.
    let from = canvas + vec2(0.0, -150.0);
    h.hover_at(from);
    h.step();
    press(&mut h, from, true);
    for n in 1..=10 {
        h.hover_at(from + vec2(-5.0 * n as f32, 2.5 * n as f32));
        h.step();
    }
    press(&mut h, from + vec2(-50.0, 25.0), false);
    h.run();
    let after = turn(&h);
    // 0.4 degrees a point, less what the hand moves before it counts as a drag.
    let (round, over) = (after.round - before.round, after.over - before.over);
    assert!((12..=20).contains(&round), "{round}");
    assert!((6..=10).contains(&over), "{over}");
    assert_eq!(**h.state().build(), start, "turning changes nothing");
    click(&mut h, "Side");
    assert_eq!(h.state().tube_page().view.face, Face::Side);
    click(&mut h, "Turned");
    assert_eq!(turn(&h), after, "it is where it was left");
    h.get_by_label("Turn over").focus();
    h.run();
    h.key_press(Key::ArrowRight);
    h.run();
    assert_eq!(turn(&h).over, after.over + 1);
}

#[test]
fn a_turned_view_is_a_rotation() {
    // Lengths in a plane across the line of sight are drawn true, and what is lifted lies there again.
    for (round, over) in [(0, 0), (38, 24), (-120, -60), (179, 89), (90, 0), (-90, 90)] {
        let face = Face::Turned(Turn { round, over });
        let [right, up, eye] = Turn { round, over }.axes();
        let dot = |a: [f64; 3], b: [f64; 3]| a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
        for (a, b, want) in [
            (right, right, 1.0),
            (up, up, 1.0),
            (eye, eye, 1.0),
            (right, up, 0.0),
            (right, eye, 0.0),
            (up, eye, 0.0),
        ] {
            assert!((dot(a, b) - want).abs() < 1e-12);
        }
        let p = [1.2, -0.4, 0.7];
        let q = face.flat(p);
        let moved = face.lift([q[0] + 0.3, q[1] - 0.2], p);
        let now = face.flat(moved);
        assert!((now[0] - q[0] - 0.3).abs() < 1e-9 && (now[1] - q[1] + 0.2).abs() < 1e-9);
        // Nothing toward the eye or away.
        let by = std::array::from_fn(|k| moved[k] - p[k]);
        assert!(dot(by, eye).abs() < 1e-9);
    }
    // Round 0, over 0 is the view from behind; round 90 that from the right; over 90 that from above.
    let p = [1.2, -0.4, 0.7];
    let near = |a: [f64; 2], b: [f64; 2]| (a[0] - b[0]).hypot(a[1] - b[1]) < 1e-12;
    assert!(near(
        Face::Turned(Turn { round: 0, over: 0 }).flat(p),
        Face::Rear.flat(p)
    ));
    assert!(near(
        Face::Turned(Turn { round: 90, over: 0 }).flat(p),
        [p[0], p[2]]
    ));
    assert!(near(
        Face::Turned(Turn {
            round: 90,
            over: 90
        })
        .flat(p),
        Face::Plan.flat(p)
    ));
}

#[test]
fn arrow_keys_nudge_along_one_coordinate_of_a_turned_view() {
    let start = sample("redshank.ron");
    let mut h = page(start.clone(), SIZE);
    click(&mut h, "Both sides");
    act(&mut h, Action::Select(Part::Node("eye_l".into())));
    for (key, axis) in [(Key::ArrowRight, None), (Key::ArrowUp, Some(2))] {
        let was = node(h.state().build(), "eye_l");
        h.key_press(key);
        h.run();
        let now = node(h.state().build(), "eye_l");
        let moved: Vec<usize> = (0..3).filter(|k| now[*k] != was[*k]).collect();
        assert_eq!(moved.len(), 1, "{was:?} to {now:?}");
        let by = (now[moved[0]] - was[moved[0]]).abs();
        assert!((by - SIXTEENTH).abs() < 1e-9, "{by}");
        assert!(axis.is_none_or(|k| moved[0] == k));
        undo(&mut h);
    }
    assert_eq!(**h.state().build(), start);
}

#[test]
fn a_bar_is_added_changed_and_taken_off_the_rack() {
    let start = sample("redshank.ron");
    let mut h = page(start.clone(), SIZE);
    click(&mut h, "Cut list");
    let nest = h.state().study().tubes.nests[0].section;
    let add: String = h
        .get_all_by_role(egui::Role::Button)
        .filter_map(|n| n.accesskit_node().label().map(|l| l.to_string()))
        .find(|l| l.starts_with("Add a bar of "))
        .unwrap();
    scroll_and_click(&mut h, &add);
    let b = h.state().build().clone();
    assert_eq!(b.tube_work.stock.len(), start.tube_work.stock.len() + 1);
    let new = b.tube_work.stock.last().unwrap().clone();
    assert_eq!(new.section, nest);
    assert_eq!(new.length, Length::from_inches(240.0));
    fill(&mut h, &format!("Bar {}, length", new.id), "12 ft");
    fill(&mut h, &format!("Bar {}, how many", new.id), "2");
    let b = h.state().build().clone();
    let changed = b.tube_work.stock.last().unwrap();
    assert_eq!(
        (changed.length, changed.count),
        (Length::from_inches(144.0), Some(2))
    );
    scroll_and_click(&mut h, &format!("Remove bar {}", new.id));
    assert_eq!(h.state().build().tube_work.stock, start.tube_work.stock);
    for _ in 0..4 {
        undo(&mut h);
    }
    assert_eq!(**h.state().build(), start, "four steps");
    fill(&mut h, "saw cut", "1/8");
    assert_eq!(h.state().build().tube_work.kerf, Length::from_inches(0.125));
}

#[test]
fn every_piece_of_the_cut_list_is_on_one_bar() {
    let mut h = page(sample("redshank.ron"), SIZE);
    click(&mut h, "Cut list");
    let tubes = h.state().build().assembly.tubes.clone();
    for t in &tubes {
        let name = format!("Piece {}", t.id);
        assert_eq!(h.query_all_by_label(&name).count(), 1, "{name}");
    }
    scroll_and_click(&mut h, "Piece bar");
    click(&mut h, "Tubes");
    assert!(
        h.query_by_label("Tube bar, add a bend").is_some(),
        "it is in hand"
    );
}

#[test]
fn a_die_gets_rows_and_a_tube_its_angle_to_set() {
    let start = sample("redshank.ron");
    let mut h = page(start.clone(), SIZE);
    click(&mut h, "Dies");
    let rows = start.tube_work.dies[0].springback.len();
    scroll_and_click(&mut h, "Die six, add a row");
    assert_eq!(
        h.state().build().tube_work.dies[0].springback.len(),
        rows + 1
    );
    fill(&mut h, &format!("Die six, row {}, set", rows + 1), "158");
    let last = h.state().build().tube_work.dies[0].springback[rows];
    assert!((last.set.degrees() - 158.0).abs() < 1e-9);
    scroll_and_click(&mut h, "Remove die six");
    assert_eq!(
        h.state().build().tube_work.dies.len(),
        1,
        "a tube is bent on it"
    );
    undo(&mut h);
    undo(&mut h);
    assert_eq!(**h.state().build(), start);
    scroll_and_click(&mut h, "Add a die");
    assert_eq!(h.state().build().tube_work.dies.len(), 2);
}

#[test]
fn a_brace_is_tried_then_kept_in_one_step_with_its_mirror_image_then_undone() {
    let start = sample("redshank.ron");
    let mut h = page(start.clone(), SIZE);
    click(&mut h, "Braces");
    choose(&mut h, "Brace from", "kick_l");
    choose(&mut h, "Brace to", "hoop_foot_r");
    assert_eq!(**h.state().build(), start, "trying draws nothing");
    let now = h.state().study().frame.determinate().unwrap();
    scroll_and_click(&mut h, "Keep it");
    let b = h.state().build().clone();
    let more = b.assembly.tubes.len() - start.assembly.tubes.len();
    assert_eq!(more, 2, "left and right");
    let after = h.state().study().frame.determinate().unwrap();
    assert!(after > now, "{now} to {after}");
    undo(&mut h);
    assert_eq!(**h.state().build(), start, "one step");
}

#[test]
fn what_a_brace_is_said_to_gain_is_what_it_gains() {
    let start = sample("redshank.ron");
    let mut h = page(start.clone(), SIZE);
    click(&mut h, "Both sides");
    click(&mut h, "Braces");
    choose(&mut h, "Brace from", "kick_l");
    choose(&mut h, "Brace to", "hoop_foot_r");
    let before = h.state().study().frame.determinate().unwrap();
    scroll_and_click(&mut h, "Keep it");
    let after = h.state().study().frame.determinate().unwrap();
    undo(&mut h);
    choose(&mut h, "Brace from", "kick_l");
    choose(&mut h, "Brace to", "hoop_foot_r");
    let shop = h.state().settings().shop;
    let said = units::format(units::Kind::RollStiffness, after - before, &shop);
    assert!(
        h.query_by_label_contains(&format!("+{said}")).is_some(),
        "+{said}"
    );
}

#[test]
fn a_twist_test_is_logged_used_and_taken_back() {
    let start = sample("redshank.ron");
    let mut h = page(start.clone(), SIZE);
    click(&mut h, "Twist test");
    scroll_and_click(&mut h, "Log the test");
    assert_eq!(**h.state().build(), start, "nothing was typed");
    for (field, text) in [
        ("torque", "500 ft lb"),
        ("left up", "0.210"),
        ("right down", "0.205"),
        ("dials apart", "30"),
    ] {
        fill(&mut h, &format!("Twist test, {field}"), text);
    }
    scroll_and_click(&mut h, "Log the test");
    let b = h.state().build().clone();
    assert_eq!(b.frame_test.measured.len(), 1);
    let x = &b.frame_test.measured[0];
    assert_eq!(
        (x.left_up, x.apart),
        ("0.210 in".parse().unwrap(), "30 in".parse().unwrap())
    );
    let frame = h.state().study().frame.clone();
    let twist = (0.415_f64 / 30.0).atan();
    let stiffness = x.torque.si() / twist;
    assert!((frame.measured[0].stiffness.unwrap() / stiffness - 1.0).abs() < 1e-12);
    scroll_and_click(&mut h, "use it: all shown stiffnesses times this");
    assert!(h.state().build().frame_test.use_measured);
    scroll_and_click(&mut h, "Take the last test back");
    assert!(h.state().build().frame_test.measured.is_empty());
    for _ in 0..3 {
        undo(&mut h);
    }
    assert_eq!(**h.state().build(), start);
}

#[test]
fn remarks_and_readings_lead_to_their_topic() {
    let mut h = open(sample("redshank.ron"), None, SIZE);
    act(&mut h, Action::Select(Part::Tube("bar".into())));
    assert_eq!(h.state().tube_page().topic, Topic::Tubes);
    assert!(h.query_by_label("Tube bar, add a bend").is_some());
    act(&mut h, Action::Phase("goal".into()));
    for (reading, topic) in [
        ("frame.twist_stiffness", Topic::Stiffness),
        ("frame.lowest_reserve", Topic::Loads),
        ("tubes.bars", Topic::CutList),
    ] {
        act(&mut h, Action::Phase("goal".into()));
        act(&mut h, Action::Select(Part::Reading(reading.into())));
        assert_eq!(h.state().tube_page().topic, topic, "{reading}");
    }
}

/// Everything named lies within the window.
#[track_caller]
fn within(s: &mut Screen, size: [f32; 2], what: &str) {
    let frame = s.frame(Vec::new());
    for (name, rect) in &frame.named {
        assert!(
            rect.left() >= -0.5 && rect.right() <= size[0] + 0.5,
            "{what}: {name} at {rect:?}"
        );
    }
}

#[test]
fn nothing_runs_over_the_side_of_a_small_window_in_any_topic() {
    for size in [[1024.0, 700.0], [820.0, 560.0]] {
        for build in [
            sample("redshank.ron"),
            sample("whimbrel.ron"),
            sample("faulty.ron"),
            Build::empty("Empty"),
        ] {
            let name = build.name.clone();
            let mut s = Screen::new(build, Vec2::from(size));
            s.act(Action::Phase("tube_work".into()));
            s.settle();
            for topic in Topic::ALL {
                press(&mut s, topic.label());
                assert_eq!(s.app.tube_page().topic, topic);
                within(&mut s, size, &format!("{name}, {topic:?}"));
            }
        }
    }
}

fn press(s: &mut Screen, name: &str) {
    let at = s.frame(Vec::new()).rect(name).center();
    s.frame(vec![Event::PointerMoved(at)]);
    s.frame(vec![screen::button(at, true)]);
    s.frame(vec![screen::button(at, false)]);
    s.frame(vec![Event::PointerGone]);
    assert!(s.settle().is_some());
}

#[test]
fn the_page_rests_in_every_topic() {
    for build in [
        sample("redshank.ron"),
        sample("faulty.ron"),
        Build::empty("Empty"),
    ] {
        let mut s = Screen::new(build, Vec2::from(SIZE));
        s.act(Action::Phase("tube_work".into()));
        s.settle();
        for topic in Topic::ALL {
            press(&mut s, topic.label());
            for _ in 0..5 {
                assert_eq!(s.frame(Vec::new()).again, Duration::MAX, "{topic:?}");
            }
        }
    }
}

#[test]
fn no_part_in_hand_brings_any_topic_down() {
    let hostile = {
        let mut b = sample("redshank.ron");
        // Both ends at one place, a corner that is not there, a radius no leg has room for.
        let tubes = &mut b.assembly.tubes;
        tubes[0].to = tubes[0].from.clone();
        tubes[1].bends.push(build::Bend {
            at: "gone".into(),
            radius: Length::from_inches(3.0),
        });
        let hoop = tubes
            .iter_mut()
            .find(|t| !t.bends.is_empty() && t.id != "gone")
            .unwrap();
        hoop.bends[0].radius = Length::from_inches(300.0);
        b.frame_test.rear = Some(build::Pair {
            label: String::new(),
            left: "gone".into(),
            right: "gone".into(),
        });
        b
    };
    for build in [hostile, sample("faulty.ron"), Build::empty("Empty")] {
        for settings in [
            Settings::default(),
            Settings {
                shop: units::Shop::METRIC,
                dark: Some(true),
                ..Settings::default()
            },
        ] {
            let mut h = open_with(settings, build.clone(), None, [1024.0, 700.0]);
            act(&mut h, Action::Phase("tube_work".into()));
            let tubes: Vec<String> = build
                .assembly
                .tubes
                .iter()
                .take(6)
                .map(|t| t.id.clone())
                .collect();
            for topic in Topic::ALL {
                click(&mut h, topic.label());
                for id in &tubes {
                    act(&mut h, Action::Select(Part::Tube(id.clone())));
                }
                act(&mut h, Action::Select(Part::Node("gone".into())));
                act(&mut h, Action::Select(Part::Build));
            }
        }
    }
}

#[test]
fn the_first_tube_is_drawn_on_an_empty_floor() {
    let mut h = page(Build::empty("Empty"), SIZE);
    click(&mut h, "From behind");
    click(&mut h, "Draw the first tube");
    let canvas = at(&h, "Assembly, from behind");
    drag(&mut h, canvas + vec2(60.0, 80.0), vec2(120.0, -60.0));
    let b = h.state().build().clone();
    assert_eq!(b.assembly.tubes.len(), 2, "both sides");
    assert!(h.query_by_label("Choose tube T1").is_some());
    undo(&mut h);
    assert!(h.state().build().assembly.is_empty());
}
