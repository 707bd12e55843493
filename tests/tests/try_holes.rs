//! The hole search and the placement tolerance through the real window code: searched to the end,
//! tried, undone, called off, marked stale; and an idle window afterwards.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod screen;
mod window;

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU64};
use std::time::{Duration, Instant};

use build::{
    Build, Edit, End, Figure, HoleOptions, HoleOutcome, HolePlan, Misplaced, PlacementStudy,
    Target, placement_label,
};
use eframe::egui::{self, Key};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use screen::Screen;
use units::{Kind, Quantity, Shop, System};
use window::{CTRL, Window, open, open_with, sample};
use workbench::ui::bench::Action;
use workbench::ui::settings::Settings;

const SIZE: [f32; 2] = [1440.0, 900.0];
/// No search of a sample takes this long, even unoptimised on a busy machine.
const PATIENCE: Duration = Duration::from_secs(240);

fn click(h: &mut Window<'_>, label: &str) {
    h.get_by_label(label).click();
    h.run();
}

/// A row may run on under the edge of its list: its beginning is in sight.
fn click_row(h: &mut Window<'_>, label: &str) {
    let at = h.get_by_label(label).rect().left_center() + egui::vec2(30.0, 0.0);
    h.hover_at(at);
    h.run();
    h.drag_at(at);
    h.run();
    h.drop_at(at);
    h.run();
}

/// Frames until `done`.
#[track_caller]
fn wait(h: &mut Window<'_>, what: &str, done: impl Fn(&Window<'_>) -> bool) {
    let began = Instant::now();
    while !done(h) {
        assert!(began.elapsed() < PATIENCE, "{what} does not end");
        h.step();
        std::thread::sleep(Duration::from_millis(5));
    }
    h.run();
}

#[track_caller]
fn search(h: &mut Window<'_>) {
    let again = h.query_by_label("Try every hole again").is_some();
    click(
        h,
        if again {
            "Try every hole again"
        } else {
            "Try every hole"
        },
    );
    wait(h, "the search", |h| {
        !h.state().rear_page().holes.is_running()
    });
}

fn found(h: &Window<'_>) -> HoleOutcome {
    let (_, outcome) = h.state().rear_page().holes.found().expect("searched");
    outcome.clone()
}

/// Bands that some combinations of the sample meet and others do not.
fn with_room(mut b: Build) -> Build {
    for t in &mut b.targets {
        match t.reading.as_str() {
            "rear.anti_squat" => (t.low.si, t.high.si) = (1.0, 1.7),
            "rear.ic.station" => t.high.si = 2.0,
            "rear.roll_steer" => t.high.si = 0.07,
            _ => {}
        }
    }
    b
}

fn plan(b: &Build, free: bool) -> HolePlan {
    let options = HoleOptions {
        free,
        keep: 500,
        cells: 30,
        ..HoleOptions::default()
    };
    HolePlan::new(b, options).unwrap()
}

fn run(plan: &HolePlan) -> HoleOutcome {
    plan.run(&AtomicU64::new(0), &AtomicBool::new(false))
        .unwrap()
}

#[test]
fn every_hole_is_tried_and_the_best_bolted_up_as_one_step() {
    let start = with_room(sample("redshank.ron"));
    let mut h = open(start.clone(), None, SIZE);
    click(&mut h, "Try holes");
    assert!(h.query_by_label("144 combinations").is_some());
    click(&mut h, "Left and right each its own");
    assert!(h.query_by_label("20,736 combinations").is_some());
    click(&mut h, "Left and right alike");
    search(&mut h);

    // What the page shows is what the search itself finds.
    let plan = plan(&start, false);
    let (shown, own) = (found(&h), run(&plan));
    assert_eq!((shown.evaluated, shown.kept), (144, own.kept));
    assert_eq!(shown.cannot_stand, own.cannot_stand);
    assert_eq!((&shown.rejected, &shown.best), (&own.rejected, &own.best));
    assert_eq!(shown.map, own.map);
    assert!(own.kept > 1 && own.kept < 144, "{}", own.kept);
    let said = format!("{} are in every band", own.kept);
    assert!(h.query_by_label_contains(&said).is_some(), "{said}");

    // The first row bolts the best up; one step takes it back.
    assert_ne!(own.now, Some(own.best[0].index), "something to change");
    click_row(&mut h, "Combination 1");
    let bolted = h.state().build().clone();
    assert_ne!(*bolted, start);
    for x in plan.holes(own.best[0].index) {
        let link = bolted.rear.link(&x.link).unwrap();
        let end = match x.end {
            End::Frame => &link.at_frame,
            End::Axle => &link.at_axle,
        };
        assert_eq!((end.hole, end.right_hole), (x.hole, None), "{x:?}");
    }
    // The readings are those of the row.
    let read = h.state().study().reading("rear.anti_squat").unwrap();
    let row = own.best[0].figures.get(Figure::AntiSquat).unwrap();
    assert!((read.value.clone().unwrap() - row).abs() < 1e-8);
    let row = h.get_by_label("Combination 1").value().unwrap();
    assert!(row.ends_with("bolted up now"), "{row}");
    // Trying is no change of the question: the result stays.
    assert!(h.query_by_label("Try every hole").is_some());
    assert_eq!(found(&h), shown);
    h.key_press_modifiers(CTRL, Key::Z);
    h.run();
    assert_eq!(**h.state().build(), start);
    assert_eq!(found(&h), shown);
}

#[test]
fn rows_and_cells_are_reached_by_keys() {
    let start = with_room(sample("redshank.ron"));
    let mut h = open(start.clone(), None, SIZE);
    click(&mut h, "Try holes");
    search(&mut h);
    let plan = plan(&start, false);
    let best = found(&h).best;
    h.get_by_label("Best combinations").focus();
    h.run();
    for key in [Key::ArrowDown, Key::ArrowDown, Key::ArrowUp, Key::Enter] {
        h.key_press(key);
        h.run();
    }
    let mut expected = build::History::new(start.clone());
    expected.apply(&plan.edit(best[1].index)).unwrap();
    assert_eq!(h.state().build(), expected.build());

    // The map begins at its nearest cell: the best of all.
    let map = "Map of Anti-squat over Instant centre ahead";
    h.get_by_label(map).focus();
    h.run();
    h.run();
    h.key_press(Key::Enter);
    h.run();
    let mut expected = build::History::new(start);
    expected.apply(&plan.edit(best[0].index)).unwrap();
    assert_eq!(h.state().build(), expected.build());
}

#[test]
fn a_click_on_the_map_bolts_the_best_of_the_cell_up() {
    let start = with_room(sample("redshank.ron"));
    let mut h = open(start.clone(), None, SIZE);
    click(&mut h, "Try holes");
    search(&mut h);
    let map = found(&h).map.unwrap();
    let (across, up) = (map.axes.across.cells, map.axes.up.cells);
    // A cell whose best is not bolted up now.
    let now = found(&h).now;
    let (k, index) = map
        .cells
        .iter()
        .enumerate()
        .filter_map(|(k, c)| Some((k, c.best?.0)))
        .find(|(_, i)| Some(*i) != now)
        .unwrap();
    let rect = h
        .get_by_label("Map of Anti-squat over Instant centre ahead")
        .rect();
    let at = egui::pos2(
        rect.left() + rect.width() * ((k % across) as f32 + 0.5) / across as f32,
        rect.bottom() - rect.height() * ((k / across) as f32 + 0.5) / up as f32,
    );
    h.hover_at(at);
    h.step();
    h.drag_at(at);
    h.step();
    h.drop_at(at);
    h.run();
    let mut expected = build::History::new(start);
    expected
        .apply(&plan(&h.state().build().clone(), false).edit(index))
        .unwrap();
    assert_eq!(h.state().build(), expected.build());
}

#[test]
fn left_and_right_free_finds_what_the_search_finds() {
    let start = with_room(sample("redshank.ron"));
    let mut h = open(start.clone(), None, SIZE);
    click(&mut h, "Try holes");
    click(&mut h, "Left and right each its own");
    search(&mut h);
    let own = run(&plan(&start, true));
    let shown = found(&h);
    assert_eq!(shown.evaluated, 20_736);
    assert_eq!((shown.kept, &shown.rejected), (own.kept, &own.rejected));
    assert_eq!(shown.best, own.best);
    // Only the rows in sight are there at all.
    assert!(shown.best.len() > 100);
    assert!(h.query_by_label("Combination 1").is_some());
    assert!(h.query_by_label("Combination 100").is_none());
    // What is copied has a line for each, and the sides told apart.
    click(&mut h, "Copy table");
    let copied = h
        .output()
        .platform_output
        .commands
        .iter()
        .find_map(|c| match c {
            egui::OutputCommand::CopyText(text) => Some(text.clone()),
            _ => None,
        });
    if let Some(text) = copied {
        check_table(&text, shown.best.len());
    }
}

fn check_table(text: &str, rows: usize) {
    let lines: Vec<&str> = text.lines().collect();
    assert_eq!(lines.len(), rows + 1);
    assert!(
        lines[0].contains("upper link left, frame hole"),
        "{}",
        lines[0]
    );
    let columns = lines[0].split('\t').count();
    assert!(lines.iter().all(|l| l.split('\t').count() == columns));
}

#[test]
fn a_search_is_called_off_by_its_button_by_a_change_and_by_another_file() {
    // A band on the launch makes it long: each combination is looked at in full.
    let mut start = sample("redshank.ron");
    start.targets.clear();
    start.targets.push(Target {
        reading: "launch.separation".to_owned(),
        low: Quantity::new(Kind::Length, 5.0),
        high: Quantity::new(Kind::Length, 6.0),
    });
    let mut h = open(start.clone(), None, SIZE);
    click(&mut h, "Try holes");
    click(&mut h, "Left and right each its own");
    assert!(h.query_by_label_contains("Looked at one by one").is_some());

    click(&mut h, "Try every hole");
    assert!(h.state().rear_page().holes.is_running());
    click(&mut h, "Call it off");
    assert!(!h.state().rear_page().holes.is_running());
    assert!(h.query_by_label("The search was called off.").is_some());
    assert!(h.state().rear_page().holes.found().is_none());

    let ctx = h.ctx.clone();
    click(&mut h, "Try every hole");
    assert!(h.state().rear_page().holes.is_running());
    h.state_mut().act(
        &ctx,
        Action::Edit(Edit::Field {
            id: "car.cg_height".into(),
            si: 0.6,
        }),
    );
    h.run();
    assert!(!h.state().rear_page().holes.is_running());
    assert!(h.query_by_label_contains("changed while it ran").is_some());

    click(&mut h, "Try every hole");
    assert!(h.state().rear_page().holes.is_running());
    h.state_mut().adopt(sample("whimbrel.ron"), None);
    h.run();
    assert!(!h.state().rear_page().holes.is_running());
    assert!(h.state().rear_page().holes.found().is_none());
}

#[test]
fn a_result_is_stale_once_anything_but_the_holes_changes() {
    let start = with_room(sample("redshank.ron"));
    let mut h = open(start.clone(), None, SIZE);
    click(&mut h, "Try holes");
    search(&mut h);
    let ctx = h.ctx.clone();
    let stale = |h: &Window<'_>| h.query_by_label_contains("Stale").is_some();
    let act = |h: &mut Window<'_>, edit: Edit| {
        h.state_mut().act(&ctx, Action::Edit(edit));
        h.run();
    };
    // Neither holes nor what the search does not read.
    act(
        &mut h,
        Edit::SetHole {
            link: "upper".into(),
            end: End::Frame,
            side: build::Side::Left,
            hole: 4,
        },
    );
    act(&mut h, Edit::Rename("Another name".into()));
    act(
        &mut h,
        Edit::Field {
            id: "rear.placement_tolerance".into(),
            si: 0.002,
        },
    );
    assert!(!stale(&h));
    // A band.
    let mut band = start.target("rear.anti_squat").unwrap().clone();
    band.high.si = 1.3;
    act(&mut h, Edit::PutTarget(band));
    assert!(stale(&h));
    search(&mut h);
    assert!(!stale(&h));
    // The drawing: then nothing is tried either.
    act(
        &mut h,
        Edit::Field {
            id: "car.cg_height".into(),
            si: 0.6,
        },
    );
    assert!(stale(&h));
    let before = h.state().build().clone();
    click_row(&mut h, "Combination 1");
    assert_eq!(*h.state().build(), before);
    search(&mut h);
    assert!(!stale(&h));
    // Other choices.
    click(&mut h, "Left and right each its own");
    assert!(stale(&h));
    click(&mut h, "Left and right alike");
    assert!(!stale(&h));
}

#[test]
fn nothing_left_says_which_band_throws_out_most() {
    let mut start = sample("redshank.ron");
    start.target("rear.anti_squat").unwrap();
    for t in &mut start.targets {
        if t.reading == "rear.anti_squat" {
            (t.low.si, t.high.si) = (8.0, 9.0);
        }
    }
    let mut h = open(start, None, SIZE);
    click(&mut h, "Try holes");
    search(&mut h);
    assert_eq!(found(&h).kept, 0);
    let hint = "None is left: anti-squat throws out most";
    assert!(h.query_by_label_contains(hint).is_some());
}

fn answer(h: &mut Window<'_>) {
    wait(h, "the tolerance", |h| {
        !h.state().rear_page().tolerance.is_behind()
    });
}

#[test]
fn the_tolerance_page_names_the_dimensions_that_the_study_names() {
    let start = sample("redshank.ron");
    let mut h = open(start.clone(), None, SIZE);
    click(&mut h, "Misplaced holes");
    answer(&mut h);
    let study = PlacementStudy::new(&start, false).unwrap();
    let shop = Shop::default();
    let own = study
        .scatter(
            &start,
            10_000,
            1,
            &AtomicU64::new(0),
            &AtomicBool::new(false),
        )
        .unwrap();
    let (_, scatter) = h.state().rear_page().tolerance.answer().unwrap().unwrap();
    assert_eq!(*scatter, own);
    for figure in [Misplaced::AntiSquat, Misplaced::RollSteer] {
        if figure != Misplaced::AntiSquat {
            click(&mut h, "Figure that spreads");
            // The gauge of the same name stands at the right of the list.
            let label = placement_label(figure).0;
            let entry = h
                .get_all_by_label(label)
                .min_by(|a, b| a.rect().left().total_cmp(&b.rect().left()))
                .unwrap()
                .rect()
                .center();
            h.hover_at(entry);
            h.step();
            h.drag_at(entry);
            h.step();
            h.drop_at(entry);
            h.run();
        }
        let most = study.most(figure, 3);
        assert_eq!(most.len(), 3);
        for m in &most {
            let said = study.sentence(&start, figure, m).show(&shop);
            assert!(h.query_by_label_contains(&said).is_some(), "{said}");
        }
        let drawn = h.get_by_label("Side view of what matters most").value();
        let first = &start.rear.brackets[most[0].bracket].label;
        assert!(drawn.unwrap().starts_with(&format!("1 {first}")));
    }
}

#[test]
fn a_typed_tolerance_is_one_step_and_is_reckoned_again() {
    let start = sample("redshank.ron");
    let mut h = open(start.clone(), None, SIZE);
    click(&mut h, "Misplaced holes");
    answer(&mut h);
    let spread = |h: &Window<'_>| {
        let (_, s) = h.state().rear_page().tolerance.answer().unwrap().unwrap();
        s.of(Misplaced::AntiSquat)
            .summary
            .as_ref()
            .unwrap()
            .standard_deviation
    };
    let before = spread(&h);
    let name = "Hole placement ±";
    h.get_by_role_and_label(egui::Role::TextInput, name).click();
    h.run();
    h.key_press_modifiers(CTRL, Key::A);
    h.run();
    h.get_by_role_and_label(egui::Role::TextInput, name)
        .type_text("1/16");
    h.run();
    h.key_press(Key::Enter);
    h.run();
    answer(&mut h);
    assert_eq!(
        h.state().build().rear.placement_tolerance.si(),
        0.0254 / 16.0
    );
    // The sample says 1/32: twice as far off, twice the spread, but for the bend of the curve.
    assert!((spread(&h) / before - 2.0).abs() < 0.02);
    h.key_press_modifiers(CTRL, Key::Z);
    h.run();
    assert_eq!(**h.state().build(), start);
    answer(&mut h);
    assert_eq!(spread(&h), before);
    // Another seed is another thousand builds of the same spread.
    click(&mut h, "1,000 random builds");
    answer(&mut h);
    assert!((spread(&h) / before - 1.0).abs() < 0.15 && spread(&h) != before);
}

/// A window that shows what is done asks for nothing more.
#[test]
fn both_pages_rest_once_the_work_is_done() {
    let mut s = Screen::new(with_room(sample("redshank.ron")), egui::vec2(1440.0, 900.0));
    s.settle().unwrap();
    let press = |s: &mut Screen, name: &str| {
        let at = s.frame(Vec::new()).rect(name).center();
        s.frame(vec![egui::Event::PointerMoved(at)]);
        s.frame(vec![screen::button(at, true)]);
        s.frame(vec![screen::button(at, false)]);
        s.frame(vec![egui::Event::PointerGone]);
    };
    let rests = |s: &mut Screen, what: &str| {
        let began = Instant::now();
        let mut quiet = 0;
        while quiet < 5 {
            assert!(began.elapsed() < PATIENCE, "{what}: never rests");
            let again = s.frame(Vec::new()).again;
            quiet = if again == Duration::MAX { quiet + 1 } else { 0 };
            if again > Duration::ZERO && again < Duration::MAX {
                // While it works it looks at most twenty times a second.
                assert!(again >= Duration::from_millis(49), "{what}: {again:?}");
                std::thread::sleep(Duration::from_millis(5));
            }
        }
    };
    press(&mut s, "Try holes");
    rests(&mut s, "before the search");
    press(&mut s, "Try every hole");
    while s.app.rear_page().holes.is_running() {
        s.frame(Vec::new());
        std::thread::sleep(Duration::from_millis(5));
    }
    rests(&mut s, "after the search");
    assert!(s.app.rear_page().holes.found().is_some());
    press(&mut s, "Misplaced holes");
    while s.app.rear_page().tolerance.is_behind() {
        s.frame(Vec::new());
        std::thread::sleep(Duration::from_millis(5));
    }
    rests(&mut s, "after the random builds");
}

#[test]
fn nothing_panics_on_any_build_in_any_window() {
    let mut odd = sample("redshank.ron");
    odd.rear.placement_tolerance = units::Length::from_si(0.0);
    odd.rear.links.truncate(1);
    let mut parallel = sample("redshank.ron");
    parallel.targets.clear();
    // Both links alike in the side view: the instant centre is out of sight.
    for (from, to) in [("lower_front", "upper_front"), ("lower_rear", "upper_rear")] {
        let at = parallel.rear.bracket(from).unwrap().at;
        let to = parallel
            .rear
            .brackets
            .iter_mut()
            .find(|b| b.id == to)
            .unwrap();
        to.at = build::Place {
            height: at.height + units::Length::from_inches(9.0),
            ..at
        };
    }
    for b in [
        sample("faulty.ron"),
        Build::empty("Empty"),
        odd,
        parallel,
        sample("whimbrel.ron"),
    ] {
        for size in [
            [240.0, 160.0],
            [420.0, 300.0],
            [1024.0, 700.0],
            [1920.0, 1080.0],
        ] {
            let settings = Settings {
                shop: Shop {
                    system: System::Si,
                    ..Default::default()
                },
                dark: Some(true),
                ..Default::default()
            };
            let mut h = open_with(settings, b.clone(), None, size);
            let ctx = h.ctx.clone();
            h.state_mut().act(&ctx, Action::Phase("rear_links".into()));
            h.run();
            let large = size[0] > 1000.0;
            if h.query_by_label("Misplaced holes").is_none() {
                assert!(!large);
                continue;
            }
            click(&mut h, "Misplaced holes");
            if h.state().rear_page().topic == workbench::ui::rear_page::Topic::Placement {
                answer(&mut h);
                let answered = h.state().rear_page().tolerance.answer().unwrap();
                assert_eq!(answered.is_ok(), PlacementStudy::new(&b, false).is_ok());
            }
            click(&mut h, "Try holes");
            let ready = HolePlan::new(&b, HoleOptions::default()).is_ok();
            if large && ready {
                search(&mut h);
                assert_eq!(found(&h).evaluated, found(&h).evaluated.max(1));
            } else if large {
                let reason = HolePlan::new(&b, HoleOptions::default()).unwrap_err();
                let words = reason.to_string();
                let tail = &words[words.len() / 2..];
                assert!(h.query_by_label_contains(tail).is_some(), "{words}");
            }
        }
    }
}

/// The widgets of both pages all have a name.
#[test]
fn every_control_has_a_name() {
    let mut h = open(with_room(sample("redshank.ron")), None, [1024.0, 700.0]);
    for topic in ["Try holes", "Misplaced holes"] {
        click(&mut h, topic);
        if topic == "Try holes" {
            search(&mut h);
        } else {
            answer(&mut h);
        }
        let nameless = h
            .root()
            .children_recursive()
            .filter(|n| {
                let n = n.accesskit_node();
                let control = matches!(
                    n.role(),
                    egui::Role::Button
                        | egui::Role::ComboBox
                        | egui::Role::SpinButton
                        | egui::Role::TextInput
                        | egui::Role::RadioButton
                        | egui::Role::Row
                        | egui::Role::Table
                );
                control && n.label().is_none_or(|l| l.trim().is_empty())
            })
            .map(|n| format!("{:?} at {:?}", n.accesskit_node().role(), n.rect()))
            .collect::<Vec<_>>();
        assert!(nameless.is_empty(), "{topic}: {nameless:?}");
    }
    let _ = Arc::clone(h.state().build());
}
