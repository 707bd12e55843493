//! The page of the launch run through the real window code: a typed goal is judged as the study judges
//! it, what is typed is what the study of the edited build runs, each change is one step, and nothing
//! asks for a frame unless the launch is being played.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod screen;
mod window;

use std::time::Duration;

use build::{Build, Edit, Goal, GoalOver, History, Part, RunEdit, derive};
use eframe::egui::{self, Key, vec2};
use egui_kittest::kittest::Queryable as _;
use screen::{Screen, button};
use units::{Count, Mass, Time};
use window::{CTRL, Window, click, fill, open, open_with, sample, undo};
use workbench::ui::bench::Action;
use workbench::ui::command::Command;
use workbench::ui::run_page::Topic;
use workbench::ui::settings::Settings;

const SIZE: [f32; 2] = [1440.0, 900.0];

fn page<'a>(build: Build, topic: Topic) -> Window<'a> {
    let mut h = open(build, None, SIZE);
    let ctx = h.ctx.clone();
    h.state_mut().act(&ctx, Action::Phase("goal".into()));
    h.run();
    h.get_by_role_and_label(egui::Role::Button, topic.label())
        .click();
    h.run();
    assert_eq!(h.state().run_page().topic, topic);
    h
}

#[track_caller]
fn says(h: &Window<'_>, text: &str) {
    assert!(
        h.query_all_by_label_contains(text).next().is_some(),
        "nothing says: {text}"
    );
}

fn after(start: &Build, edits: &[Edit]) -> Build {
    let mut history = History::new(start.clone());
    for e in edits {
        history.apply(e).unwrap();
    }
    Build::clone(history.build())
}

fn quarter(b: &Build) -> f64 {
    *derive(b)
        .reading("run.quarter")
        .unwrap()
        .value
        .as_ref()
        .unwrap()
}

#[test]
fn a_typed_goal_is_judged_as_the_study_judges_it() {
    let start = sample("redshank.ron");
    let mut h = page(start.clone(), Topic::Goal);
    for text in ["12.50", "11.90", "10.00"] {
        fill(&mut h, "Goal time", &format!("{text} s"));
        let time = Time::from_si(text.parse().unwrap());
        let over = GoalOver::Quarter;
        let goal = Edit::Run(RunEdit::Goal(Some(Goal { over, time })));
        let expected = after(&start, &[goal]);
        assert_eq!(**h.state().build(), expected, "{text}");
        let study = derive(&expected).run.goal.unwrap();
        let (over, predicted) = (study.over.unwrap(), study.predicted.unwrap());
        if over > 0.0 {
            says(&h, &format!("Misses it by {over:.2} s: {predicted:.2}"));
            let plan = derive(&expected).run.plan().unwrap();
            let meets = plan.changes.iter().filter(|c| c.meets).count();
            let shown = h.query_all_by_label_contains("does not do it").count();
            assert_eq!(shown, plan.changes.len() - meets, "{text}");
        } else {
            says(&h, &format!("Meets it by {:.2} s: {predicted:.2}", -over));
            assert!(
                h.query_by_label_contains("does not do it").is_none(),
                "{text}"
            );
        }
    }
    // The easiest change of the sample's own goal, in the words of a shop.
    fill(&mut h, "Goal time", "11.9 s");
    let plan = h.state().study().run.plan().unwrap();
    let easiest = plan.easiest().unwrap();
    assert_eq!(easiest.parameter, build::Parameter::Friction);
    says(
        &h,
        &format!(
            "✓ {:.1} % more tyre grip: {:.2} s",
            100.0 * easiest.by,
            easiest.then
        ),
    );
}

#[test]
fn a_goal_is_chosen_over_something_else_and_cleared() {
    let start = sample("redshank.ron");
    let mut h = page(start.clone(), Topic::Goal);
    click(&mut h, "Goal over");
    h.get_by_role_and_label(egui::Role::Button, "60 ft on the clock")
        .click();
    h.run();
    let goal = h.state().build().run.goal.unwrap();
    assert_eq!(goal.over, GoalOver::SixtyFoot);
    click(&mut h, "Goal over");
    h.get_by_role_and_label(egui::Role::Button, "none").click();
    h.run();
    assert_eq!(h.state().build().run.goal, None);
    says(&h, "No goal yet");
    undo(&mut h);
    undo(&mut h);
    assert_eq!(**h.state().build(), start);
}

#[test]
fn the_time_slip_says_what_the_run_says() {
    let b = sample("redshank.ron");
    let h = page(b.clone(), Topic::Goal);
    let study = derive(&b);
    let run = study.run.run.as_ref().unwrap();
    for mark in vehicle::run::Mark::ALL {
        says(&h, &format!("{:.2} s", run.slip.clock(mark)));
    }
    let plan = study.run.plan().unwrap();
    let bar = plan.bar(build::reading_over(GoalOver::Quarter)).unwrap();
    says(&h, &format!("± {:.2}", bar.sigma));
    for limit in vehicle::run::Limit::ALL {
        if limit == vehicle::run::Limit::Traction {
            says(&h, &format!("tyres {:.0} %", 100.0 * run.share(limit)));
        }
    }
}

#[test]
fn where_a_limit_lies_between_both_slopes_are_shown() {
    let start = sample("redshank.ron");
    let reading = build::reading_over(GoalOver::SixtyFoot);
    // Somewhere between tyres that spin and tyres that hold lies the friction that all thrust needs.
    let kinked = (0..100).find_map(|k| {
        let mut b = start.clone();
        b.power.friction = Count::from_si(1.2 + 0.02 * f64::from(k));
        let plan = derive(&b).run.plan().unwrap();
        plan.sensitivities.effects.iter().find_map(|e| {
            let s = e.slope(reading).filter(|s| s.kinked)?;
            let (below, above) = (-s.below? * e.step, s.above? * e.step);
            (below.abs() > 0.002 && above.abs() > 0.002).then(|| (b.clone(), below, above))
        })
    });
    let (b, below, above) = kinked.expect("no friction has a kink");
    let h = page(b, Topic::Goal);
    says(&h, &format!("{below:+.3} / {above:+.3} ‡"));
    says(&h, "‡ a limit lies between");
}

#[test]
fn a_torque_table_is_pasted_as_one_step_and_a_bad_one_is_refused_with_its_line() {
    let start = sample("redshank.ron");
    let mut h = page(start.clone(), Topic::Engine);
    let role = egui::Role::MultilineTextInput;
    let name = "Torque table, pasted";
    for (text, problem) in [
        ("1500\t300\nsoup", Some("line 2")),
        ("1500 300\n6500 420\n4000 460\n", None),
    ] {
        h.get_by_role_and_label(role, name).scroll_to_me();
        h.run();
        h.get_by_role_and_label(role, name).click();
        h.run();
        h.key_press_modifiers(CTRL, Key::A);
        h.run();
        h.event(egui::Event::Paste(text.to_owned()));
        h.run();
        click(&mut h, "Take these rows");
        if let Some(problem) = problem {
            says(&h, problem);
            assert_eq!(**h.state().build(), start);
        }
    }
    let rows = &h.state().build().run.torque;
    assert_eq!(rows.len(), 3);
    let rpm = 4000.0 * std::f64::consts::PI / 30.0;
    assert!((rows[1].0.si() - rpm).abs() < 1e-9);
    // 1 lb·ft is 1.3558 N·m (NIST SP 811).
    assert!((rows[1].1.si() - 460.0 * 1.355_818).abs() < 1e-3);
    let now = h.state().build().clone();
    let shown = h.state().study().reading("run.quarter").unwrap();
    assert_eq!(*shown.value.as_ref().unwrap(), quarter(&now));
    assert!(quarter(&now) < quarter(&start), "more torque is quicker");
    undo(&mut h);
    assert_eq!(**h.state().build(), start);
}

#[test]
fn a_torque_table_is_read_from_a_file() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("dyno.csv");
    std::fs::write(&path, "rpm,Nm\n2000,400\n4000,500\n6000,430\n").unwrap();
    let mut h = page(sample("redshank.ron"), Topic::Engine);
    fill(&mut h, "CSV file of torque", &path.display().to_string());
    click(&mut h, "Read the file");
    let torque: Vec<f64> = h
        .state()
        .build()
        .run
        .torque
        .iter()
        .map(|p| p.1.si())
        .collect();
    assert_eq!(torque, [400.0, 500.0, 430.0]);
    let gone = dir.path().join("none.csv").display().to_string();
    fill(&mut h, "CSV file of torque", &gone);
    click(&mut h, "Read the file");
    says(&h, "Not taken");
}

#[test]
fn an_edited_gear_changes_the_quarter_as_the_study_says_and_is_one_step() {
    let start = sample("redshank.ron");
    let mut h = page(start.clone(), Topic::Engine);
    fill(&mut h, "Gear 1 ratio", "2.4");
    let mut gears = start.run.gears.clone();
    gears[0].ratio = Count::from_si(2.4);
    let expected = after(&start, &[Edit::Run(RunEdit::Gears(gears))]);
    assert_eq!(**h.state().build(), expected);
    let shown = h.state().study().reading("run.quarter").unwrap();
    assert_eq!(*shown.value.as_ref().unwrap(), quarter(&expected));
    assert!((quarter(&expected) - quarter(&start)).abs() > 1e-4);
    undo(&mut h);
    assert_eq!(**h.state().build(), start);
    click(&mut h, "Add a gear");
    assert_eq!(h.state().build().run.gears.len(), 5);
    click(&mut h, "Remove gear 5");
    click(&mut h, "Add a torque point");
    click(&mut h, "Remove torque point 12");
    assert_eq!(**h.state().build(), start);
    click(&mut h, "torque converter");
    assert!(
        h.state().study().run.run.is_ok(),
        "the one to begin with runs"
    );
    fill(&mut h, "Converter row 1 torque ratio", "2.3");
    click(&mut h, "Add a converter row");
    click(&mut h, "clutch");
    for _ in 0..4 {
        undo(&mut h);
    }
    assert_eq!(h.state().build().run, start.run);
}

#[test]
fn the_weights_and_the_height_are_taken() {
    let start = sample("redshank.ron");
    let mut h = page(start.clone(), Topic::Scales);
    fill(&mut h, "Scale left rear", "801 lb");
    let mut scales = start.run.scales.unwrap();
    scales.left_rear = Mass::from_si(801.0 * 0.453_592_37);
    assert_eq!(h.state().build().run.scales, Some(scales));
    assert_eq!(h.state().build().car, start.car, "only typed");
    let corners = derive(h.state().build())
        .run
        .corners
        .clone()
        .unwrap()
        .unwrap();
    says(&h, &format!("{:.1} %", corners.cross_percent));
    click(&mut h, "Take the weights");
    let car = &h.state().build().car;
    // 762 + 733 + 801 + 784 lb.
    assert!((car.mass.si() - 3080.0 * 0.453_592_37).abs() < 1e-6);
    assert!((car.rear_share.si() - 1585.0 / 3080.0).abs() < 1e-9);
    let height = derive(h.state().build())
        .run
        .height
        .clone()
        .unwrap()
        .unwrap();
    click(&mut h, "Take the height");
    assert_eq!(h.state().build().car.cg_height.si(), height.height);
    for _ in 0..3 {
        undo(&mut h);
    }
    assert_eq!(**h.state().build(), start);
}

#[test]
fn four_corners_typed_into_nothing_make_a_weighing() {
    let mut b = sample("redshank.ron");
    b.run.scales = None;
    b.run.raised = None;
    let mut h = page(b, Topic::Scales);
    for (name, text) in [
        ("Scale left front", "700 lb"),
        ("Scale right front", "710 lb"),
        ("Scale left rear", "720 lb"),
    ] {
        fill(&mut h, name, text);
        assert_eq!(h.state().build().run.scales, None, "not all there");
    }
    fill(&mut h, "Scale right rear", "730 lb");
    assert!(h.state().build().run.scales.is_some());
    fill(&mut h, "Front scales, level", "1410 lb");
    fill(&mut h, "Front scales, raised", "1450 lb");
    assert_eq!(h.state().build().run.raised, None);
    fill(&mut h, "Rear wheel centres rose", "20 in");
    assert!(h.state().build().run.raised.is_some());
    click(&mut h, "Clear the raised weighing");
    click(&mut h, "Clear the scales");
    assert_eq!(h.state().build().run.raised, None);
    assert_eq!(h.state().build().run.scales, None);
}

#[test]
fn the_cursor_moved_by_key_reads_another_time() {
    let mut h = page(sample("redshank.ron"), Topic::Goal);
    says(&h, "At 0.00 s from first motion");
    for name in [
        "Speed over time",
        "Distance over time",
        "Acceleration over time",
        "Pitch, nose up over time",
    ] {
        let before = h.state().run_page().time();
        h.get_by_label(name).focus();
        h.run();
        h.key_press(Key::ArrowRight);
        h.run();
        h.key_press(Key::ArrowRight);
        h.run();
        let time = h.state().run_page().time();
        assert!((time - before - 0.1).abs() < 1e-9, "{name}: {time}");
        says(&h, &format!("At {time:.2} s from first motion"));
    }
    h.key_press(Key::End);
    h.run();
    let end = h.state().study().run.run.as_ref().unwrap().duration();
    assert_eq!(h.state().run_page().time(), end);
    h.key_press(Key::Home);
    h.run();
    assert_eq!(h.state().run_page().time(), 0.0);
}

#[test]
fn the_cursor_is_dragged() {
    let mut h = page(sample("redshank.ron"), Topic::Goal);
    let rect = h.get_by_label("Speed over time").rect();
    window::drag(&mut h, rect.center(), vec2(60.0, 0.0));
    let time = h.state().run_page().time();
    let end = h.state().study().run.run.as_ref().unwrap().duration();
    let expected = end * f64::from(0.5 + 60.0 / rect.width());
    assert!((time - expected).abs() < 0.02 * end, "{time} {expected}");
}

#[test]
fn fields_and_pitch_inertia_are_typed() {
    let start = sample("redshank.ron");
    let mut h = page(start.clone(), Topic::Chassis);
    fill(&mut h, "Rear rebound damping", "6000 N·s/m");
    assert!((h.state().build().run.rear.rebound.si() - 6000.0).abs() < 1e-6);
    undo(&mut h);
    click(&mut h, "own figure");
    let own = h.state().build().run.pitch_inertia.unwrap().si();
    let car = h.state().study().run.car.as_ref().unwrap();
    assert_eq!(car.pitch_inertia, own);
    click(&mut h, "rule of thumb");
    assert_eq!(**h.state().build(), start);
    click(&mut h, "Torque is for standard air: correct it (SAE J1349)");
    assert!(h.state().build().run.correct_power);
    // Air of the standard itself: SAE J1349 corrects by nothing at 99 kPa dry, 25 °C.
    let w = &h.state().build().run.weather;
    let air = vehicle::run::Air::of(&vehicle::run::Weather {
        temperature: w.temperature.si(),
        pressure: w.pressure.si(),
        humidity: w.humidity.si(),
    })
    .unwrap();
    says(&h, &format!("{:.3}", air.density));
    says(&h, &format!("{:.3}", air.cf_j1349));
}

#[test]
fn a_remark_of_the_run_leads_to_its_topic() {
    let mut h = open(sample("redshank.ron"), None, SIZE);
    let ctx = h.ctx.clone();
    for (part, topic) in [
        (Part::Reading("run.quarter".into()), Topic::Goal),
        (Part::Field("run.weather.pressure"), Topic::Chassis),
        (Part::Field("run.launch"), Topic::Engine),
        (Part::Reading("run.cross_weight".into()), Topic::Scales),
        (Part::Field("car.mass"), Topic::Car),
    ] {
        h.state_mut().act(&ctx, Action::Phase("weld_out".into()));
        h.state_mut().act(&ctx, Action::Select(part.clone()));
        h.run();
        assert_eq!(h.state().run_page().topic, topic, "{part:?}");
        h.get_by_role_and_label(egui::Role::Button, topic.label());
    }
}

/// Builds that are not whole in one way or another.
fn odd() -> Vec<Build> {
    let whole = sample("redshank.ron");
    let change = |f: fn(&mut Build)| {
        let mut b = whole.clone();
        f(&mut b);
        b
    };
    vec![
        Build::empty("Empty"),
        sample("faulty.ron"),
        sample("whimbrel.ron"),
        change(|b| b.run.torque.clear()),
        change(|b| b.run.torque.truncate(1)),
        change(|b| b.run.gears.clear()),
        change(|b| b.run.gears[0].ratio = Count::from_si(0.0)),
        change(|b| b.power.friction = Count::from_si(1e-6)),
        change(|b| b.power.coilovers.clear()),
        change(|b| b.run.rollout = units::Length::from_si(0.0)),
        change(|b| b.run.weather.pressure = units::Pressure::from_si(-1.0)),
        change(|b| b.car.mass = Mass::from_si(0.0)),
        change(|b| b.car.wheelbase = units::Length::from_si(f64::NAN)),
        change(|b| {
            let s = b.run.scales.as_mut().unwrap();
            *s = build::Scales {
                left_front: Mass::from_si(0.0),
                right_front: Mass::from_si(0.0),
                left_rear: Mass::from_si(0.0),
                right_rear: Mass::from_si(0.0),
            };
        }),
        change(|b| b.run.raised.as_mut().unwrap().rise = units::Length::from_si(99.0)),
    ]
}

#[test]
fn no_build_and_no_size_brings_it_down() {
    for b in odd() {
        let topics = Topic::ALL;
        for size in [[300.0, 200.0], [820.0, 560.0]] {
            let settings = Settings {
                dark: Some(true),
                shop: units::Shop {
                    system: units::System::Si,
                    ..Default::default()
                },
                ..Default::default()
            };
            let mut h = open_with(settings, b.clone(), None, size);
            let ctx = h.ctx.clone();
            for topic in topics {
                h.state_mut().act(&ctx, Action::Phase("goal".into()));
                if let Some(tab) = h.query_by_role_and_label(egui::Role::Button, topic.label()) {
                    tab.click();
                }
                h.run();
            }
        }
    }
}

#[test]
fn an_empty_build_says_what_is_missing_and_where_it_is_typed() {
    let h = page(Build::empty("Empty"), Topic::Goal);
    says(&h, "Engine and gears");
    says(&h, "No run: ");
}

/// Frames until a thing has come about.
fn until(h: &mut Window<'_>, there: impl Fn(&Window<'_>) -> bool) {
    for _ in 0..4000 {
        h.step();
        if there(h) {
            return;
        }
        std::thread::sleep(Duration::from_millis(5));
    }
    panic!("it does not come about");
}

#[test]
fn a_thousand_runs_are_made_on_request_and_dropped_when_an_input_changes() {
    let b = sample("redshank.ron");
    let mut h = page(b.clone(), Topic::Goal);
    assert!(h.state().run_page().simulated().is_none());
    h.get_by_label("Run a thousand").scroll_to_me();
    h.run();
    h.get_by_label("Run a thousand").click();
    h.step();
    h.step();
    assert!(h.state().run_page().simulates());
    until(&mut h, |h| h.state().run_page().simulated().is_some());
    h.run();
    // What the study itself simulates, and the goal's share of it in words.
    let own = derive(&b).run.simulate(1000, 1, |_| true).unwrap();
    assert_eq!(h.state().run_page().simulated().unwrap(), &own);
    let goal = b.run.goal.unwrap();
    let share = own
        .share_within(build::reading_over(goal.over), goal.time.si())
        .unwrap();
    says(
        &h,
        &format!("{:.0} of 1000 runs meet the goal", 1000.0 * share),
    );
    assert_eq!(**h.state().build(), b);
    // Another goal asks the same runs; another power asks others.
    let ctx = h.ctx.clone();
    let time = Time::from_si(20.0);
    let over = goal.over;
    let easy = Edit::Run(RunEdit::Goal(Some(Goal { over, time })));
    h.state_mut().act(&ctx, Action::Edit(easy));
    h.run();
    says(&h, "1000 of 1000 runs meet the goal");
    let mass = Edit::Field {
        id: "car.mass".into(),
        si: 0.9 * b.car.mass.si(),
    };
    h.state_mut().act(&ctx, Action::Edit(mass));
    h.run();
    assert!(h.state().run_page().simulated().is_none());
    says(&h, "An input has changed since the runs were made");
}

#[test]
fn the_thousand_runs_are_called_off() {
    let mut h = page(sample("redshank.ron"), Topic::Goal);
    h.get_by_label("Run a thousand").scroll_to_me();
    h.run();
    h.get_by_label("Run a thousand").click();
    h.step();
    h.step();
    h.get_by_label("Call it off").click();
    h.run();
    assert!(!h.state().run_page().simulates() && h.state().run_page().simulated().is_none());
    says(&h, "The runs were called off");
}

#[test]
fn what_if_the_tyres_slip_stands_beside_the_run_and_says_that_nothing_validates_it() {
    let b = sample("redshank.ron");
    let mut h = page(b.clone(), Topic::Goal);
    assert!(h.state().run_page().with_slip().is_none());
    let label = "Tyre slip and a driver who is not perfect";
    h.get_by_label(label).scroll_to_me();
    h.run();
    h.get_by_label(label).click();
    until(&mut h, |h| h.state().run_page().with_slip().is_some());
    h.run();
    let study = derive(&b);
    let launch = build::SlipLaunch {
        tyre: build::TyreCurve::default(),
        throttle: 1.0,
        release_speed: b.run.launch.si(),
    };
    let own = study.run.with_slip(&launch).unwrap();
    let plain = study.run.run.as_ref().unwrap();
    let mark = build::StripMark::SixtyFoot;
    let costs = own.slip.clock(mark) - plain.slip.clock(mark);
    says(&h, &format!("{costs:+.2} s"));
    says(&h, "Not validated");
    // Nothing of the document and no time of the run goes by it.
    assert_eq!(**h.state().build(), b);
    assert_eq!(h.state().study().run.run.as_ref().unwrap().slip, plain.slip);
}

#[test]
fn it_asks_for_frames_only_while_the_launch_is_played() {
    let size = vec2(1440.0, 900.0);
    let mut s = Screen::new(sample("redshank.ron"), size);
    s.act(Action::Phase("goal".into()));
    assert!(s.settle().is_some(), "asks for frames without end");
    let at = s.frame(Vec::new()).rect("Play the launch").center();
    s.frame(vec![egui::Event::PointerMoved(at)]);
    s.frame(vec![button(at, true)]);
    s.frame(vec![button(at, false)]);
    s.frame(vec![egui::Event::PointerGone]);
    assert!(s.app.run_page().plays());
    let from = s.app.run_page().time();
    for n in 0..60 {
        assert!(s.frame(Vec::new()).again < Duration::MAX, "frame {n}");
    }
    // Sixty frames of a sixtieth at true speed.
    let gone = s.app.run_page().time() - from;
    assert!((gone - 1.0).abs() < 1e-6, "{gone}");
    // Another page: it stands still and asks for nothing.
    s.act(Action::Run(Command::CarForm));
    assert!(s.settle().is_some());
    assert!(!s.app.run_page().plays());
}

#[test]
fn it_plays_to_the_end_and_rests() {
    let size = vec2(1440.0, 900.0);
    let mut s = Screen::new(sample("redshank.ron"), size);
    s.act(Action::Phase("goal".into()));
    s.settle();
    let at = s.frame(Vec::new()).rect("Play the launch").center();
    for e in [
        egui::Event::PointerMoved(at),
        button(at, true),
        button(at, false),
        egui::Event::PointerGone,
    ] {
        s.frame(vec![e]);
    }
    let end = s.app.study().run.run.as_ref().unwrap().duration();
    for _ in 0..(60.0 * end) as usize + 10 {
        s.frame(Vec::new());
    }
    assert_eq!(s.app.run_page().time(), end);
    assert!(s.settle().is_some());
    assert_eq!(s.frame(Vec::new()).again, Duration::MAX);
}
