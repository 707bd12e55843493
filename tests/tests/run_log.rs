//! The run log through the real window code: a run is logged with the setting the build is at, a
//! setting comes back in one step, a fitted friction is used only when asked for.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod screen;
mod window;

use std::time::Duration;

use build::{
    Build, Edit, FittedFriction, History, LinkSetting, RunEdit, RunRecord, RunSetting, Seen, derive,
};
use eframe::egui::{self, Key, vec2};
use egui_kittest::kittest::Queryable as _;
use screen::Screen;
use units::{Fraction, System, Time};
use vehicle::run::{Mark, Reading};
use window::{Window, click, fill, open, open_with, sample, undo};
use workbench::ui::bench::Action;
use workbench::ui::settings::Settings;

const SIZE: [f32; 2] = [1440.0, 900.0];

fn page<'a>(build: Build, size: [f32; 2]) -> Window<'a> {
    let mut h = open(build, None, size);
    show(&mut h);
    h
}

fn show(h: &mut Window<'_>) {
    let ctx = h.ctx.clone();
    h.state_mut().act(&ctx, Action::Phase("shake_down".into()));
    h.run();
}

/// Clicks the row of a run, at its name.
fn choose(h: &mut Window<'_>, id: &str) {
    let row = h.get_by_label(&format!("Run {id}")).rect();
    let at = row.left_center() + vec2(20.0, 0.0);
    h.hover_at(at);
    h.step();
    h.drag_at(at);
    h.step();
    h.drop_at(at);
    h.run();
}

fn there(h: &Window<'_>, label: &str) -> bool {
    h.query_by_label(label).is_some()
}

fn says(h: &Window<'_>, text: &str) -> bool {
    h.query_all_by_label_contains(text).next().is_some()
}

#[test]
fn a_run_is_logged_with_typed_times_and_the_builds_setting() {
    let start = sample("redshank.ron");
    let mut h = page(start.clone(), SIZE);
    click(&mut h, "Log a run");
    fill(&mut h, "Run's 60 ft", "1.912");
    fill(&mut h, "Run's Quarter", "11.97");
    fill(&mut h, "Run's Speed", "120.4 mph");
    fill(&mut h, "Run's Rear pressure", "12.5 psi");
    fill(&mut h, "Run's Damper clicks", "rear rebound 8");
    fill(&mut h, "Run's Note", "Cooler track");
    click(&mut h, "left clean");
    assert_eq!(**h.state().build(), start, "only typed");
    click(&mut h, "Log it");
    let now = h.state().build().clone();
    assert_eq!(now.run.log.len(), start.run.log.len() + 1);
    let r = now.run.log.last().unwrap();
    assert_eq!(r.id, "R4");
    assert_eq!(r.times.sixty_foot, Some(Time::from_si(1.912)));
    assert_eq!(r.times.quarter, Some(Time::from_si(11.97)));
    assert!(r.times.eighth.is_none());
    let mut setting = RunSetting::of(&start);
    setting.clicks = "rear rebound 8".into();
    setting.rear_pressure = Some("12.5 psi".parse().unwrap());
    assert_eq!(r.setting, setting);
    assert_eq!(r.weather, start.run.weather);
    assert_eq!(r.seen, [Seen::Clean]);
    assert_eq!(r.note, "Cooler track");
    assert_eq!(r.place, "Eastern strip, right lane", "as the last run");
    assert!(!r.when.is_empty());
    let slip = derive(&start).run.run.as_ref().unwrap().slip;
    let quarter = slip.reading(Reading::Clock(Mark::Quarter)).unwrap();
    assert_eq!(r.predicted.quarter, Some(Time::from_si(quarter)));
    assert!(there(&h, "Run R4"));
    // What the form gave is a log a file can hold.
    let kept = tempfile::tempdir().unwrap();
    let path = kept.path().join("kept.ron");
    build::file::save(&now, &path).unwrap();
    assert_eq!(build::file::load(&path).unwrap().run.log, now.run.log);
    undo(&mut h);
    assert_eq!(**h.state().build(), start);
    assert!(!there(&h, "Run R4"));
}

#[test]
fn a_time_out_of_range_is_told_and_not_taken() {
    let start = sample("redshank.ron");
    let mut h = page(start.clone(), SIZE);
    click(&mut h, "Log a run");
    fill(&mut h, "Run's Quarter", "5000 s");
    assert!(says(&h, "out of range"));
    fill(&mut h, "Run's Eighth", "soon");
    click(&mut h, "Log it");
    let r = h.state().build().run.log.last().unwrap().clone();
    assert_eq!(r.id, "R4");
    assert!(r.times.quarter.is_none() && r.times.eighth.is_none());
}

#[test]
fn a_setting_is_restored_in_one_step_and_undone() {
    let mut start = sample("redshank.ron");
    let rate = start.power.coilovers[0].rate;
    let other = units::SpringRate::from_si(rate.si() * 1.1);
    // R2 was made with other holes and another spring than the build is at.
    start.run.log[1].setting.links = RunSetting::of(&start).links;
    start.run.log[1].setting.links[0].frame = 1;
    start.run.log[1].setting.coils = RunSetting::of(&start).coils;
    start.run.log[1].setting.coils[0].rate = other;
    assert_ne!(start.rear.links[0].at_frame.hole, 1);
    let mut h = page(start.clone(), SIZE);
    choose(&mut h, "R2");
    click(&mut h, "Restore this setting");
    let now = h.state().build().clone();
    assert_eq!(now.rear.links[0].at_frame.hole, 1);
    assert_eq!(now.power.coilovers[0].rate, other);
    assert_eq!(now.run.launch, start.run.log[1].setting.launch);
    let mut history = History::new(start.clone());
    history
        .apply(&Edit::Run(RunEdit::Restore("R2".into())))
        .unwrap();
    assert_eq!(now, *history.build());
    undo(&mut h);
    assert_eq!(**h.state().build(), start);
}

#[test]
fn a_setting_whose_parts_are_gone_says_so_and_is_not_restored() {
    let mut start = sample("redshank.ron");
    start.run.log[2].setting.links.push(LinkSetting {
        link: "old bar".into(),
        frame: 1,
        frame_right: None,
        axle: 1,
        axle_right: None,
        held: None,
    });
    start.run.log[1].setting.links[0].frame = 99;
    let mut h = page(start.clone(), SIZE);
    assert!(says(&h, "no link called \"old bar\""));
    h.get_by_label("Restore this setting").click();
    h.run();
    assert_eq!(**h.state().build(), start);
    choose(&mut h, "R2");
    assert!(says(&h, "has no hole 99"));
}

#[test]
fn the_fitted_friction_is_used_only_by_its_button() {
    let start = sample("redshank.ron");
    let mut h = page(start.clone(), SIZE);
    let fits: Vec<FittedFriction> = derive(&start)
        .run
        .log()
        .iter()
        .zip(&start.run.log)
        .filter(|(_, r)| r.learn)
        .map(|(p, _)| *p.friction.as_ref().unwrap().as_ref().unwrap())
        .collect();
    assert_eq!(fits.len(), 2);
    // Means by inverse variance, of the runs and of what was entered.
    let entered = start.power.friction.si();
    let spread = entered * start.run.unsure.friction.si();
    let all = fits
        .iter()
        .map(|f| (f.friction, f.sigma))
        .chain([(entered, spread)]);
    let (sum, weight) = all.fold((0.0, 0.0), |(s, w), (mu, sigma): (f64, f64)| {
        (s + mu / (sigma * sigma), w + 1.0 / (sigma * sigma))
    });
    assert_eq!(h.state().build().power.friction, start.power.friction);
    click(&mut h, "Use the fitted friction");
    let now = h.state().build().power.friction.si();
    assert!((now - sum / weight).abs() < 1e-9, "{now} {}", sum / weight);
    assert!((now - entered).abs() > 1e-6);
    undo(&mut h);
    assert_eq!(**h.state().build(), start);
    // A run more or less is another fit, and still nothing is used.
    click(&mut h, "Run R2 counts for the friction");
    assert!(!h.state().build().run.log[1].learn);
    assert_eq!(h.state().build().power.friction, start.power.friction);
}

#[test]
fn friction_and_launch_rpm_are_used_together_only_by_their_button() {
    let start = sample("redshank.ron");
    let mut h = page(start.clone(), [1440.0, 900.0]);
    let joint = h.state().study().run.joint_fit().unwrap();
    let fit = joint.fit.as_ref().unwrap().clone();
    assert_eq!(joint.runs, ["R2", "R3"]);
    assert!(says(
        &h,
        &format!("{:.3} ± {:.3}", fit.friction, fit.friction_sigma)
    ));
    // Its tyres hold less than the engine gives: nothing is known of the launch rpm, and that is said.
    assert!(!fit.tells_launch());
    assert!(says(&h, "hardly anything of the launch rpm"));
    assert_eq!(**h.state().build(), start);
    click(&mut h, "Use the fitted friction and launch rpm");
    let taken = h.state().build().clone();
    assert_eq!(taken.power.friction.si(), fit.friction);
    assert_eq!(taken.run.launch_off.si(), joint.off.unwrap());
    undo(&mut h);
    assert_eq!(**h.state().build(), start);
}

#[test]
fn filters_leave_the_runs_that_were_asked_for() {
    let mut start = sample("redshank.ron");
    start.run.log[0].times.sixty_foot = None;
    let mut h = page(start, SIZE);
    assert!(there(&h, "3 of 3"));
    click(&mut h, "Clean only");
    assert!(there(&h, "Run R3") && !there(&h, "Run R1") && !there(&h, "Run R2"));
    click(&mut h, "Show all");
    click(&mut h, "With 60 ft");
    assert!(there(&h, "2 of 3") && !there(&h, "Run R1"));
    click(&mut h, "Show all");
    let place = h.get_by_role_and_label(egui::Role::TextInput, "Only at this place");
    place.click();
    h.run();
    let place = h.get_by_role_and_label(egui::Role::TextInput, "Only at this place");
    place.type_text("nowhere");
    h.run();
    assert!(there(&h, "0 of 3"));
    assert!(says(&h, "No run is left"));
}

#[test]
fn heads_sort_the_rows_both_ways() {
    let mut h = page(sample("redshank.ron"), SIZE);
    let top = |h: &Window<'_>, id: &str| h.get_by_label(&format!("Run {id}")).rect().top();
    assert!(top(&h, "R1") < top(&h, "R3"));
    click(&mut h, "Sort by quarter");
    assert!(top(&h, "R3") < top(&h, "R2") && top(&h, "R2") < top(&h, "R1"));
    click(&mut h, "Sort by quarter");
    assert!(top(&h, "R1") < top(&h, "R2"));
}

#[test]
fn a_run_is_removed_and_comes_back() {
    let start = sample("redshank.ron");
    let mut h = page(start.clone(), SIZE);
    choose(&mut h, "R1");
    click(&mut h, "Remove run R1");
    assert_eq!(h.state().build().run.log.len(), 2);
    assert!(!there(&h, "Run R1"));
    undo(&mut h);
    assert_eq!(**h.state().build(), start);
    // By keys alone: the row that was clicked last has the arrows.
    choose(&mut h, "R3");
    h.key_press(Key::ArrowUp);
    h.run();
    assert!(there(&h, "Remove run R2"));
}

#[test]
fn advice_names_its_number_and_files_are_kept_by_path() {
    let start = sample("redshank.ron");
    let mut h = page(start, SIZE);
    choose(&mut h, "R1");
    assert!(says(&h, "Spun: the model is at the tyres' limit for"));
    fill(&mut h, "Add a file to run R1", "photos/r1.jpg");
    assert_eq!(h.state().build().run.log[0].files, ["photos/r1.jpg"]);
    click(&mut h, "Remove photos/r1.jpg");
    assert!(h.state().build().run.log[0].files.is_empty());
}

#[test]
fn a_table_is_written_read_and_refused_by_the_cell() {
    let start = sample("redshank.ron");
    let mut h = page(start.clone(), SIZE);
    let ctx = h.ctx.clone();
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("runs.csv");
    h.state_mut().act(&ctx, Action::WriteRuns(path.clone()));
    h.run();
    let text = std::fs::read_to_string(&path).unwrap();
    assert_eq!(
        build::run_table::read(&text, &start).unwrap(),
        start.run.log
    );
    std::fs::write(&path, "run,60 ft\nR1,1.88\nT9,2.01\n").unwrap();
    h.state_mut().act(&ctx, Action::ReadRuns(path.clone()));
    h.run();
    let now = h.state().build().clone();
    assert_eq!(now.run.log.len(), 4);
    assert_eq!(now.run.log[0].times.sixty_foot, Some(Time::from_si(1.88)));
    undo(&mut h);
    assert_eq!(**h.state().build(), start, "one step");
    std::fs::write(&path, "run,60 ft\nR1,1.88\nT9,soon\n").unwrap();
    h.state_mut().act(&ctx, Action::ReadRuns(path));
    h.run();
    assert_eq!(**h.state().build(), start, "nothing is half-read");
    assert!(says(&h, "line 3, 60 ft"));
}

#[test]
fn an_empty_log_is_one_sentence_and_a_button() {
    let mut start = sample("redshank.ron");
    start.run.log.clear();
    let mut h = page(start, SIZE);
    assert!(says(&h, "No run is logged yet"));
    click(&mut h, "Log a run");
    click(&mut h, "Log it");
    assert_eq!(h.state().build().run.log.len(), 1);
    assert!(there(&h, "Run R1"));
}

/// Builds nobody would make.
fn odd() -> Vec<Build> {
    let start = sample("redshank.ron");
    let mut none = start.clone();
    none.run.log.clear();
    let mut gone = start.clone();
    gone.rear.links.clear();
    gone.power.coilovers.clear();
    gone.run.torque.clear();
    let mut wild = start.clone();
    let r: &mut RunRecord = &mut wild.run.log[0];
    r.id = String::new();
    r.place = "\u{202e}long ".repeat(200);
    r.times.quarter = Some(Time::from_si(f64::NAN));
    r.times.sixty_foot = Some(Time::from_si(1e300));
    r.setting.shifts = vec![units::RotationSpeed::from_si(0.0); 300];
    r.setting.links[0].frame = usize::MAX;
    r.setting.clicks = "=\n\t".into();
    r.files = vec![String::new(); 50];
    r.seen = Seen::ALL.to_vec();
    vec![none, gone, wild, start]
}

#[test]
fn no_log_no_size_and_no_units_bring_it_down() {
    for size in [[1440.0, 900.0], [1024.0, 700.0], [240.0, 160.0]] {
        for system in [System::InchPound, System::Si] {
            for b in odd() {
                let settings = Settings {
                    shop: units::Shop {
                        system,
                        fraction: Fraction::Sixteenth,
                    },
                    dark: Some(true),
                    ..Settings::default()
                };
                let mut h = open_with(settings, b, None, size);
                show(&mut h);
                if let Some(button) = h.query_by_label("Log a run") {
                    button.click_accesskit();
                    h.run();
                }
            }
        }
    }
}

#[test]
fn many_runs_lay_out_only_the_rows_in_sight() {
    let mut b = sample("redshank.ron");
    // Without an engine the model is at once done with each of them.
    b.run.torque.clear();
    let one = b.run.log[0].clone();
    b.run.log = (0..500)
        .map(|i| {
            let mut r = one.clone();
            r.id = format!("Q{i}");
            r
        })
        .collect();
    let mut h = page(b, SIZE);
    assert!(there(&h, "500 of 500"));
    // The last one is in hand and in sight.
    assert!(there(&h, "Run Q499"));
    assert!(!there(&h, "Run Q0"));
    click(&mut h, "Sort by run");
    choose(&mut h, "Q499");
    h.key_press(Key::End);
    h.run();
    assert!(there(&h, "Run Q0"));
}

#[test]
fn an_idle_page_asks_for_no_frame() {
    for empty in [false, true] {
        let mut b = sample("redshank.ron");
        if empty {
            b.run.log.clear();
        }
        let mut s = Screen::new(b, vec2(1440.0, 900.0));
        s.act(Action::Phase("shake_down".into()));
        assert!(s.settle().is_some(), "it never comes to rest");
        for _ in 0..20 {
            assert_eq!(s.frame(Vec::new()).again, Duration::MAX);
        }
    }
}
