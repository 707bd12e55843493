//! The car under power in the real window code: the slider, the loads shown, a mount dragged where the moved body has
//! carried it, and the ways all of this can go wrong.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod screen;
mod window;

use std::sync::Arc;
use std::time::Duration;

use build::{Build, Case, Edit, End, Place, derive};
use eframe::egui::{self, Event, Key, Pos2, Vec2, vec2};
use egui_kittest::kittest::Queryable as _;
use screen::{Screen, button};
use vehicle::STANDARD_GRAVITY;
use window::{CTRL, Window, click, drag, fill, hold, open, open_with, sample};
use workbench::ui::bench::Action;
use workbench::ui::settings::Settings;

const SIZE: [f32; 2] = [1440.0, 900.0];
const INCH: f64 = 0.0254;

/// Chooses a word of a list.
fn pick(h: &mut Window<'_>, list: &str, word: &str) {
    h.get_by_role_and_label(egui::Role::ComboBox, list)
        .scroll_to_me();
    h.run();
    h.get_by_role_and_label(egui::Role::ComboBox, list).click();
    h.run();
    h.get_by_label(word).click();
    h.run();
}

fn power(build: Build) -> Window<'static> {
    let mut h = open(build, None, SIZE);
    click(&mut h, "Under power");
    h
}

fn slider(h: &Window<'_>) -> egui::Rect {
    h.get_by_role_and_label(egui::Role::Slider, "Acceleration")
        .rect()
}

/// The value of a reading, as the readings on the right tell it.
fn told(h: &Window<'_>, label: &str) -> String {
    h.get_by_role_and_label(egui::Role::Button, label)
        .value()
        .unwrap()
}

#[test]
fn the_slider_sets_the_acceleration_and_everything_follows_in_one_step() {
    let start = sample("redshank.ron");
    let mut h = power(start.clone());
    let rect = slider(&h);
    let from = rect.center();
    hold(&mut h, from, vec2(40.0, 0.0));
    // Still in hand: study and screen are those of the new acceleration already.
    let now = h.state().build().power.acceleration.si();
    assert!(now > 0.5 * STANDARD_GRAVITY && now != start.power.acceleration.si());
    let by_steps = now / (0.01 * STANDARD_GRAVITY);
    assert!(
        (by_steps - by_steps.round()).abs() < 1e-6,
        "{by_steps} steps"
    );
    h.drop_at(from + vec2(40.0, 0.0));
    h.run();
    let now = h.state().build().power.acceleration.si();
    let mut expected = start.clone();
    expected.power.acceleration = units::Acceleration::from_si(now);
    let model = derive(&expected);
    assert_eq!(h.state().study().readings, model.readings);
    let shop = units::Shop::default();
    for (id, label) in [
        ("launch.rear_left", "Left rear tyre"),
        ("launch.front_right", "Right front tyre"),
        ("launch.pitch", "Pitch"),
    ] {
        let value = model.reading(id).unwrap().display(&shop);
        assert!(told(&h, label).starts_with(&value), "{label}");
    }
    // The list of links says what the balance says.
    let balance = model.launch.reactions.as_ref().unwrap();
    let force = balance.drive.as_ref().unwrap().rod_force[1];
    let said = told(&h, "Strength of upper link, right");
    let word = if force < 0.0 { "push" } else { "pull" };
    let value = units::format(units::Kind::Force, force.abs(), &shop);
    assert!(said.starts_with(&format!("{value} {word};")), "{said}");

    h.key_press_modifiers(CTRL, Key::Z);
    h.run();
    assert_eq!(**h.state().build(), start, "one drag is one step");
}

#[test]
fn a_slider_drag_given_up_leaves_all_as_it_was_though_the_button_stays_down() {
    let start = sample("redshank.ron");
    let mut h = power(start.clone());
    let from = slider(&h).center();
    hold(&mut h, from, vec2(40.0, 0.0));
    assert_ne!(**h.state().build(), start);
    h.key_press(Key::Escape);
    h.run();
    assert_eq!(**h.state().build(), start);
    h.hover_at(from + vec2(50.0, 0.0));
    h.run();
    assert_eq!(
        **h.state().build(),
        start,
        "the pointer is still down on it"
    );
    h.drop_at(from + vec2(50.0, 0.0));
    h.run();
    assert_eq!(**h.state().build(), start);
}

#[test]
fn the_acceleration_is_typed_too_and_the_cases_are_chosen() {
    let mut h = power(sample("redshank.ron"));
    fill(&mut h, "Acceleration, typed", "0.5");
    let set = h.state().build().power.acceleration.si();
    assert!((set - 0.5 * STANDARD_GRAVITY).abs() < 1e-12);
    for (name, case) in [
        ("At rest", Case::Rest),
        ("Tyres slip", Case::Traction),
        ("Braking", Case::Braking),
        ("At the acceleration", Case::Drive),
    ] {
        click(&mut h, name);
        assert_eq!(h.state().rear_page().power.case, case);
    }
}

/// Where the pose shown carries a point of the frame, on the screen.
fn carried(h: &Window<'_>, on: build::Carrier, p: [f64; 3]) -> Pos2 {
    let page = &h.state().rear_page().power;
    let pose = page
        .carriage(h.state().build(), h.state().study())
        .unwrap()
        .carry(on, p);
    page.side.at([pose[0], pose[2]])
}

fn moved(b: &Build) -> [f64; 3] {
    b.rear.bracket("upper_front").unwrap().at.si()
}

#[test]
fn a_mount_dragged_in_the_moved_pose_ends_where_the_pointer_says_on_the_board() {
    for factor in ["1", "5"] {
        for case in ["At the acceleration", "Braking"] {
            let start = sample("redshank.ron");
            let mut h = power(start.clone());
            click(&mut h, case);
            click(&mut h, &format!("Movement drawn {factor} times"));
            let was = moved(&start);
            let frame = build::Carrier::Frame;
            // The hand wants the hole here, on the board.
            let want = [was[0] + 1.5 * INCH, was[1], was[2] + 0.75 * INCH];
            let by = carried(&h, frame, want) - carried(&h, frame, was);
            let from = h.get_by_label("bracket upper front").rect().center();
            drag(&mut h, from, by);
            let got = moved(h.state().build());
            // The tape has sixteenths.
            for k in [0, 2] {
                let sixteenths = (got[k] - want[k]) / (INCH / 16.0);
                assert!(
                    sixteenths.abs() <= 1.0,
                    "×{factor} {case}: axis {k} is {sixteenths} sixteenths off"
                );
                let on_tape = (got[k] - was[k]) / (INCH / 16.0);
                assert!((on_tape - on_tape.round()).abs() < 1e-6);
            }
            assert_eq!(got[1], was[1]);
            assert_eq!(
                h.state().study().readings,
                derive(h.state().build()).readings
            );
            h.key_press_modifiers(CTRL, Key::Z);
            h.run();
            assert_eq!(**h.state().build(), start, "one drag is one step");
        }
    }
}

#[test]
fn a_mount_dragged_in_the_moved_pose_is_given_up_by_escape() {
    let start = sample("redshank.ron");
    let mut h = power(start.clone());
    click(&mut h, "Braking");
    let from = h.get_by_label("bracket upper front").rect().center();
    let by = vec2(37.0, -22.0);
    hold(&mut h, from, by);
    assert_ne!(**h.state().build(), start);
    h.key_press(Key::Escape);
    h.run();
    assert_eq!(**h.state().build(), start);
    h.hover_at(from + 1.5 * by);
    h.run();
    h.drop_at(from + 1.5 * by);
    h.run();
    assert_eq!(**h.state().build(), start);
}

#[test]
fn a_link_end_takes_the_hole_under_the_pointer_in_the_moved_pose() {
    let start = sample("redshank.ron");
    let mut h = power(start.clone());
    click(&mut h, "Movement drawn 5 times");
    click(&mut h, "Braking");
    let link = start.rear.link("upper").unwrap();
    let bracket = start.rear.bracket(&link.at_frame.bracket).unwrap();
    let (now, next) = (link.at_frame.hole, link.at_frame.hole + 1);
    let at =
        |h: &Window<'_>, n: usize| carried(h, build::Carrier::Frame, bracket.hole(n).unwrap().si());
    let (from, to) = (at(&h, now), at(&h, next));
    let handle = h.get_by_label("upper link, frame end").rect().center();
    assert!(
        (handle - from).length() < 1.0,
        "it stands where it is carried"
    );
    drag(&mut h, from, to - from);
    let hole = h.state().build().rear.link("upper").unwrap().at_frame.hole;
    assert_eq!(hole, next);
    assert_eq!(
        h.state().rear_page().topic,
        workbench::ui::rear_page::Topic::Power,
        "a part in hand does not turn the page"
    );
}

#[test]
fn eyes_of_coil_overs_are_dragged_and_nudged() {
    let start = sample("redshank.ron");
    let mut h = power(start.clone());
    click(&mut h, "At rest");
    let name = "rear coil-over, upper eye";
    // Both views have it; the one from the side is the first.
    let rect = |h: &Window<'_>| {
        let side = h.state().rear_page().power.side.rect;
        let all: Vec<_> = h.get_all_by_label(name).map(|n| n.rect()).collect();
        assert_eq!(all.len(), 2, "one in each view");
        *all.iter().find(|r| side.contains(r.center())).unwrap()
    };
    let scale = h.state().rear_page().power.side.scale;
    let from = rect(&h).center();
    drag(&mut h, from, vec2((INCH * scale) as f32, 0.0));
    let eye = |h: &Window<'_>| h.state().build().power.coilover("coil").unwrap().at_frame;
    let was = start.power.coilover("coil").unwrap().at_frame;
    let sixteenths = |a: Place| (a.station.inches() - was.station.inches()) * 16.0;
    assert!((sixteenths(eye(&h)) - 16.0).abs() <= 1.0);
    let dragged = eye(&h);
    h.key_press(Key::ArrowRight);
    h.run();
    assert!((sixteenths(eye(&h)) - sixteenths(dragged) - 1.0).abs() < 1e-6);
    h.key_press_modifiers(CTRL, Key::Z);
    h.run();
    h.key_press_modifiers(CTRL, Key::Z);
    h.run();
    assert_eq!(**h.state().build(), start);
}

#[test]
fn a_car_without_coil_overs_says_so_and_the_button_gives_it_loads() {
    let mut start = sample("redshank.ron");
    start.power.coilovers.clear();
    let mut h = power(start);
    assert!(h.query_by_label("No coil-overs yet").is_some());
    assert!(told(&h, "Strength of upper link, left").starts_with('—'));
    click(&mut h, "Add a pair of coil-overs");
    assert!(h.state().study().launch.reactions.is_ok());
    assert!(h.query_by_label("No coil-overs yet").is_none());
    assert!(!told(&h, "Strength of upper link, left").starts_with('—'));
}

#[test]
fn beyond_the_last_balance_the_last_one_is_shown_and_said() {
    let mut h = power(sample("faulty.ron"));
    let study = h.state().study().launch.reactions.as_ref().unwrap();
    let why = study.balance(Case::Drive).unwrap_err();
    let Err(vehicle::launch::LaunchError::NoBalance { last, .. }) = &study.drive else {
        panic!("the faulty car balances at 3 g");
    };
    let force = last.rod_force[0];
    let shop = units::Shop::default();
    let value = units::format(units::Kind::Force, force.abs(), &shop);
    assert!(told(&h, "Strength of upper link, left").starts_with(&value));
    let tail = &why[3..];
    assert!(h.query_by_label_contains(tail).is_some(), "{why}");
    // A case that has a balance shows it without a remark.
    click(&mut h, "Braking");
    assert!(h.query_by_label_contains("Shown at").is_none());
}

#[test]
fn what_a_link_is_made_of_is_entered_beside_it_and_judged() {
    let start = sample("faulty.ron");
    assert!(start.rear.link("lower").unwrap().stock.is_none());
    let mut h = power(start);
    let row = "Strength of lower link, left";
    assert!(told(&h, row).contains("enter tube"));
    click(&mut h, row);
    click(&mut h, "Enter tube and bolts of lower link");
    for (field, text) in [
        ("lower link outside", "1 1/2"),
        ("lower link wall", "0.12"),
        ("lower link yield", "50000 psi"),
        ("lower link rod end rating", "20000 lb"),
        ("lower link bolt diameter", "3/4"),
    ] {
        fill(&mut h, field, text);
    }
    let stock = h.state().build().rear.link("lower").unwrap().stock.unwrap();
    let build::Section::Tube { outside, wall } = stock.section else {
        panic!("{stock:?}");
    };
    assert_eq!(outside, units::Length::from_inches(1.5));
    assert_eq!(wall, units::Length::from_inches(0.12));
    assert_eq!(stock.rod_end_rating.unwrap(), "20000 lbf".parse().unwrap());
    assert_eq!(
        stock.bolt.unwrap().diameter,
        units::Length::from_inches(0.75)
    );
    click(&mut h, "Done");
    let said = told(&h, row);
    let study = derive(h.state().build());
    let model = study.launch.links[2].as_ref().unwrap();
    let factor = model.verdict.governing.unwrap().factor;
    assert!(said.contains(&model.governing().unwrap()), "{said}");
    assert!(said.contains(&format!("{factor:.1}")), "{factor}: {said}");
    // Nonsense is refused, and nothing is lost.
    let before = Arc::clone(h.state().build());
    click(&mut h, row);
    for nonsense in ["thin", "9 lb", "-1 in", "900 in"] {
        fill(&mut h, "lower link wall", nonsense);
        assert_eq!(*h.state().build(), before, "{nonsense}");
        h.key_press(Key::Escape);
        h.run();
    }
}

#[test]
fn the_numbers_of_the_car_under_power_are_typed_here() {
    let mut h = power(sample("redshank.ron"));
    click(&mut h, "Numbers");
    for f in build::fields::FIELDS
        .iter()
        .filter(|f| f.id.starts_with("power."))
    {
        assert!(
            h.query_by_role_and_label(egui::Role::TextInput, f.label)
                .is_some(),
            "{}",
            f.label
        );
    }
    fill(&mut h, "Tyre friction", "1.1");
    assert_eq!(h.state().build().power.friction.si(), 1.1);
    pick(&mut h, "Differential", "open");
    assert_eq!(
        h.state().build().power.differential,
        build::Differential::Open
    );
    pick(&mut h, "Engine turns", "reversed");
    assert_eq!(h.state().build().power.engine, build::EngineTurn::Reversed);
}

/// Every state that may reach the page: samples, nothing at all, links that do not solve, rates of nothing.
fn states() -> Vec<Build> {
    let mut bare = sample("redshank.ron");
    bare.rear.links.clear();
    let mut loose = sample("redshank.ron");
    loose.rear.links.pop();
    let mut soft = sample("redshank.ron");
    soft.power.front_wheel_rate = units::SpringRate::from_si(0.0);
    let mut airborne = sample("redshank.ron");
    airborne.power.acceleration = units::Acceleration::from_si(60.0);
    let mut flat = sample("redshank.ron");
    flat.frame.line.clear();
    vec![
        sample("redshank.ron"),
        sample("whimbrel.ron"),
        sample("faulty.ron"),
        Build::empty("Empty"),
        bare,
        loose,
        soft,
        airborne,
        flat,
    ]
}

#[test]
fn no_size_no_state_and_no_units_make_it_fall_over() {
    for build in states() {
        for system in [units::System::InchPound, units::System::Si] {
            for size in [
                [320.0, 240.0],
                [400.0, 900.0],
                [1024.0, 700.0],
                [1920.0, 1080.0],
            ] {
                let settings = Settings {
                    shop: units::Shop {
                        system,
                        ..Default::default()
                    },
                    dark: Some(true),
                    ..Default::default()
                };
                let mut h = open_with(settings, build.clone(), None, size);
                let ctx = h.ctx.clone();
                let part = build::Part::Field("power.acceleration");
                h.state_mut().act(&ctx, Action::Select(part));
                h.run();
                let b = Arc::clone(h.state().build());
                for link in b.rear.links.iter().take(1) {
                    let part = build::Part::Link(link.id.clone());
                    h.state_mut().act(&ctx, Action::Select(part));
                    h.run();
                }
            }
        }
    }
}

#[test]
fn wild_drags_of_every_handle_leave_a_whole_document() {
    for name in ["redshank.ron", "faulty.ron"] {
        let start = sample(name);
        let mut h = power(start);
        click(&mut h, "Movement drawn 5 times");
        for handle in [
            "bracket upper front",
            "bracket lower rear",
            "upper link, frame end",
            "lower link, axle end",
        ] {
            for by in [vec2(900.0, -700.0), vec2(-600.0, 300.0), vec2(3.0, 2000.0)] {
                let Some(node) = h.query_by_label(handle) else {
                    continue;
                };
                let from = node.rect().center();
                drag(&mut h, from, by);
                h.key_press_modifiers(CTRL, Key::Z);
                h.run();
            }
        }
        let text = build::file::to_text(h.state().build()).unwrap();
        build::file::parse(&text, std::path::Path::new("again")).unwrap();
    }
}

#[track_caller]
fn rests(s: &mut Screen, what: &str) {
    assert!(s.settle().is_some(), "{what}: asks for frames without end");
    for n in 0..5 {
        let again = s.frame(Vec::new()).again;
        assert_eq!(again, Duration::MAX, "{what}: still frame {n}");
    }
}

#[test]
fn an_idle_page_asks_for_no_frame_and_its_curves_are_worked_out_once() {
    for build in states() {
        let name = build.name.clone();
        let mut s = Screen::new(build, vec2(1440.0, 900.0));
        let part = build::Part::Field("power.acceleration");
        s.act(Action::Select(part));
        rests(&mut s, &name);
        assert_eq!(s.app.rear_page().power.curves_worked_out(), 1, "{name}");
        // Another acceleration is another point on the same curves.
        s.act(Action::Edit(Edit::Field {
            id: "power.acceleration".to_owned(),
            si: 3.0,
        }));
        rests(&mut s, &name);
        assert_eq!(s.app.rear_page().power.curves_worked_out(), 1, "{name}");
        s.act(Action::Edit(Edit::Field {
            id: "power.friction".to_owned(),
            si: 0.9,
        }));
        rests(&mut s, &name);
        assert_eq!(s.app.rear_page().power.curves_worked_out(), 2, "{name}");
    }
}

#[test]
fn a_mount_held_still_asks_for_no_frame() {
    let mut s = Screen::new(sample("redshank.ron"), vec2(1440.0, 900.0));
    let part = build::Part::Field("power.acceleration");
    s.act(Action::Select(part));
    rests(&mut s, "page");
    let from = s.frame(Vec::new()).rect("bracket upper front").center();
    s.frame(vec![Event::PointerMoved(from)]);
    s.frame(vec![button(from, true)]);
    for n in 1..=10 {
        s.frame(vec![Event::PointerMoved(from - 3.0 * n as f32 * Vec2::Y)]);
    }
    rests(&mut s, "held");
    s.frame(vec![button(from - 30.0 * Vec2::Y, false)]);
    s.frame(vec![Event::PointerGone]);
    rests(&mut s, "let go");
}

#[test]
fn a_frame_of_the_slider_shows_the_study_of_that_frame() {
    let mut s = Screen::new(sample("redshank.ron"), vec2(1440.0, 900.0));
    let part = build::Part::Field("power.acceleration");
    s.act(Action::Select(part));
    rests(&mut s, "page");
    let at = s.frame(Vec::new()).rect("Acceleration").center();
    s.frame(vec![Event::PointerMoved(at)]);
    s.frame(vec![button(at, true)]);
    let mut seen = Vec::new();
    for n in 1..=20 {
        s.frame(vec![Event::PointerMoved(at + 2.0 * n as f32 * Vec2::X)]);
        seen.push(s.app.build().power.acceleration.si());
        assert_eq!(
            s.app.study().readings,
            derive(s.app.build()).readings,
            "nothing lags"
        );
    }
    assert!(
        seen.windows(2).filter(|w| w[1] > w[0]).count() >= 15,
        "{seen:?}"
    );
    s.frame(vec![button(at + 40.0 * Vec2::X, false)]);
    // Eyes can be moved by edit as well, wherever they end.
    s.act(Action::Edit(Edit::MoveEye {
        coilover: "coil".to_owned(),
        end: End::Axle,
        to: Place::from_si([0.0, 0.0, 0.0]),
    }));
    rests(&mut s, "an eye on the floor");
}
