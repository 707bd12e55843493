//! A builder's evening through the real window code: open a sample, drag a mount to another hole,
//! see the readings follow, undo, log a gap, tick a check, save, open again and find it all there.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod window;

use build::{Edit, End, History, Side, derive, file};
use eframe::egui::{self, Key, vec2};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use window::{CTRL, click, drag, fill, hold, open, open_with, sample};
use workbench::ui::settings::Settings;

const SIZE: [f32; 2] = [1440.0, 900.0];

#[test]
fn open_drag_undo_log_tick_save_reopen() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("evening.ron");
    let start = sample("redshank.ron");
    file::save(&start, &path).unwrap();
    let mut h = open(file::load(&path).unwrap(), Some(path.clone()), SIZE);

    // Drag the upper link's frame end from its hole to the one above.
    let link = start.rear.link("upper").unwrap();
    let bracket = start.rear.bracket(&link.at_frame.bracket).unwrap();
    let (from, to) = (link.at_frame.hole, link.at_frame.hole + 1);
    let view = h.state().rear_page().side;
    let screen = |n: usize| {
        let [x, _, z] = bracket.hole(n).unwrap().si();
        view.at([x, z])
    };
    let handle = h.get_by_label("upper link, frame end");
    assert!(
        (handle.rect().center() - screen(from)).length() < 1.0,
        "the handle stands on its hole"
    );
    assert_eq!(handle.accesskit_node().role(), egui::Role::Button);
    drag(&mut h, screen(from), screen(to) - screen(from));

    let mut expected = History::new(start.clone());
    expected
        .apply(&Edit::SetHole {
            link: "upper".into(),
            end: End::Frame,
            side: Side::Both,
            hole: to,
        })
        .unwrap();
    assert_eq!(h.state().build(), expected.build());
    let model = derive(expected.build());
    for id in [
        "rear.anti_squat",
        "rear.ic.station",
        "rear.ic.height",
        "rear.roll_steer",
    ] {
        let shown = h
            .state()
            .study()
            .reading(id)
            .unwrap()
            .value
            .clone()
            .unwrap();
        let was = derive(&start).reading(id).unwrap().value.clone().unwrap();
        assert_eq!(shown, model.reading(id).unwrap().value.clone().unwrap());
        assert!((shown - was).abs() > 1e-6, "{id} moved");
    }
    // What the gauge says is what the model says.
    let shop = units::Shop::default();
    let said = h
        .get_by_role_and_label(egui::Role::Button, "Anti-squat")
        .value()
        .unwrap();
    let reading = model.reading("rear.anti_squat").unwrap();
    assert_eq!(
        said,
        format!("{}, {}", reading.display(&shop), reading.verdict(&shop))
    );

    // One drag is one step back.
    h.key_press_modifiers(CTRL, Key::Z);
    h.run();
    assert_eq!(**h.state().build(), start);
    h.key_press_modifiers(CTRL | egui::Modifiers::SHIFT, Key::Z);
    h.run();
    assert_eq!(h.state().build(), expected.build());

    // Log a gap at a joint that has none.
    click(&mut h, "Phase Fit-up and tack");
    let open_joint = start
        .fit_up
        .joints
        .iter()
        .find(|j| j.gaps.is_empty())
        .unwrap();
    click(&mut h, &format!("Joint {}", open_joint.label));
    for clock in ["12", "3", "6", "9"] {
        fill(&mut h, &format!("Gap at {clock} o'clock"), "1/32");
    }
    let logged = h
        .state()
        .build()
        .fit_up
        .joints
        .iter()
        .find(|j| j.id == open_joint.id)
        .unwrap()
        .clone();
    assert_eq!(logged.gaps.len(), 4);
    assert!(
        logged
            .gaps
            .iter()
            .all(|g| g.gap == units::Length::from_inches(1.0 / 32.0))
    );
    assert_eq!(logged.who, "MK");
    let before = derive(&start)
        .reading("fit_up.unlogged")
        .unwrap()
        .value
        .clone()
        .unwrap();
    let after = h
        .state()
        .study()
        .reading("fit_up.unlogged")
        .unwrap()
        .value
        .clone()
        .unwrap();
    assert_eq!(after, before - 1.0);

    // Tick a check.
    click(&mut h, "Phase Rear links");
    let label = &start
        .phase("rear_links")
        .unwrap()
        .check("double")
        .unwrap()
        .label;
    click(&mut h, label);
    let check = h
        .state()
        .build()
        .phase("rear_links")
        .unwrap()
        .check("double")
        .unwrap()
        .clone();
    assert!(
        check.last_mark().is_some_and(|m| m.done && m.who == "MK"),
        "{check:?}"
    );

    // Save, and open again: everything as it was.
    h.key_press_modifiers(CTRL, Key::S);
    h.run();
    let kept = h.state().build().clone();
    drop(h);
    assert_eq!(file::load(&path).unwrap(), *kept);
    let again = open(file::load(&path).unwrap(), Some(path), SIZE);
    assert_eq!(*again.state().build(), kept);
}

#[test]
fn a_bracket_follows_the_pointer_by_steps_and_the_keys_nudge_it() {
    let start = sample("redshank.ron");
    let mut h = open(start.clone(), None, SIZE);
    let handle = h.get_by_label("bracket upper front").rect().center();
    let scale = h.state().rear_page().side.scale;
    let inches = |n: f64| (n * 0.0254 * scale) as f32;
    drag(&mut h, handle, vec2(inches(1.5), inches(-0.75)));
    let moved = h.state().build().rear.bracket("upper_front").unwrap().at;
    let was = start.rear.bracket("upper_front").unwrap().at;
    let d = |a: units::Length, b: units::Length| (a.inches() - b.inches()) * 16.0;
    // To the nearest sixteenth of where the pointer went, and exactly on the tape.
    for (got, want) in [
        (d(moved.station, was.station), 24.0),
        (d(moved.height, was.height), 12.0),
    ] {
        assert!((got - want).abs() <= 1.0, "{got} sixteenths for {want}");
        assert!((got - got.round()).abs() < 1e-9, "off the tape: {got}");
    }
    assert_eq!(moved.offset, was.offset);

    h.get_by_label("bracket upper front").focus();
    h.run();
    for _ in 0..3 {
        h.key_press(Key::ArrowUp);
        h.run();
    }
    h.key_press(Key::ArrowLeft);
    h.run();
    let nudged = h.state().build().rear.bracket("upper_front").unwrap().at;
    assert!((d(nudged.height, moved.height) - 3.0).abs() < 1e-9);
    assert!((d(nudged.station, moved.station) + 1.0).abs() < 1e-9);
    // Each nudge is a step of its own.
    for _ in 0..4 {
        h.key_press_modifiers(CTRL, Key::Z);
        h.run();
    }
    assert_eq!(
        h.state().build().rear.bracket("upper_front").unwrap().at,
        moved
    );
}

#[test]
fn a_typed_coordinate_does_what_a_drag_does_and_nonsense_changes_nothing() {
    let start = sample("redshank.ron");
    let mut h = open(start.clone(), None, SIZE);
    let at = h.get_by_label("bracket lower front").rect().center();
    h.hover_at(at);
    h.step();
    h.drag_at(at);
    h.step();
    h.drop_at(at);
    h.run();
    fill(&mut h, "lower front ahead", "23 1/8");
    let typed = h
        .state()
        .build()
        .rear
        .bracket("lower_front")
        .unwrap()
        .at
        .station;
    assert_eq!(typed, "23 1/8 in".parse().unwrap());
    let before = h.state().build().clone();
    for nonsense in ["twelve", "12 lb", "1/0", "-", "9999 m", "12 5/8 5/8"] {
        fill(&mut h, "lower front up", nonsense);
        assert_eq!(*h.state().build(), before, "{nonsense}");
        h.key_press(Key::Escape);
        h.run();
    }
    fill(&mut h, "lower front up", "200 mm");
    assert_eq!(
        h.state()
            .build()
            .rear
            .bracket("lower_front")
            .unwrap()
            .at
            .height
            .si(),
        0.2
    );
}

#[test]
fn every_phase_opens_in_both_unit_systems_on_every_sample_and_an_empty_build() {
    let empty = build::Build::empty("Empty");
    for build in [
        sample("redshank.ron"),
        sample("whimbrel.ron"),
        sample("faulty.ron"),
        empty,
    ] {
        for system in [units::System::InchPound, units::System::Si] {
            for size in [[1024.0, 700.0], [1920.0, 1080.0]] {
                let shop = units::Shop {
                    system,
                    ..Default::default()
                };
                let settings = Settings {
                    shop,
                    dark: Some(true),
                    ..Default::default()
                };
                let mut h = open_with(settings, build.clone(), None, size);
                for p in &build.phases {
                    click(&mut h, &format!("Phase {}", p.title));
                }
                h.key_press_modifiers(CTRL, Key::P);
                h.run();
                assert!(h.query_by_label_contains("Page 1 of").is_some());
            }
        }
    }
}

#[test]
fn the_palette_finds_a_command_by_a_few_letters() {
    let mut h = open(sample("redshank.ron"), None, SIZE);
    h.key_press_modifiers(CTRL, Key::K);
    h.run();
    h.get_by_label("Command to find").type_text("pin base");
    h.run();
    h.key_press(Key::Enter);
    h.run();
    assert!(
        h.query_by_label("Drop baseline").is_some(),
        "the baseline is pinned"
    );
}

#[test]
fn a_check_of_ones_own_is_added_measured_and_removed() {
    let mut h = open(sample("redshank.ron"), None, SIZE);
    let count = h.state().build().phase("rear_links").unwrap().checks.len();
    click(&mut h, "Add check…");
    h.get_by_role_and_label(egui::Role::TextInput, "What to check")
        .click();
    h.run();
    h.get_by_role_and_label(egui::Role::TextInput, "What to check")
        .type_text("Bushing crush");
    h.run();
    h.get_by_label("measure").click();
    h.run();
    h.get_by_role_and_label(egui::Role::TextInput, "At most")
        .click();
    h.run();
    h.get_by_role_and_label(egui::Role::TextInput, "At most")
        .type_text("1/16 in");
    h.run();
    h.get_by_label("Set").click();
    h.run();
    let phase = h.state().build().phase("rear_links").unwrap().clone();
    assert_eq!(phase.checks.len(), count + 1);
    let added = phase.checks.last().unwrap();
    assert_eq!(added.label, "Bushing crush");
    click(&mut h, "Bushing crush");
    h.get_by_role_and_label(egui::Role::TextInput, "Measured")
        .click();
    h.run();
    h.get_by_role_and_label(egui::Role::TextInput, "Measured")
        .type_text("3/32");
    h.run();
    h.get_by_label("Record").click();
    h.run();
    let check = h
        .state()
        .build()
        .phase("rear_links")
        .unwrap()
        .check(&added.id)
        .unwrap()
        .clone();
    let value = check.last_mark().unwrap().value.unwrap();
    assert_eq!(value.si, units::Length::from_inches(3.0 / 32.0).si());
    let study = h
        .state()
        .study()
        .phases
        .iter()
        .find(|p| p.id == "rear_links")
        .unwrap()
        .clone();
    let state = &study.checks.last().unwrap().state;
    assert!(
        matches!(state, build::CheckState::Failed(build::Miss::Over(..))),
        "{state:?}"
    );
}

#[test]
fn closing_with_unsaved_work_asks_first() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("a.ron");
    file::save(&sample("redshank.ron"), &path).unwrap();
    let mut h = open(file::load(&path).unwrap(), Some(path), SIZE);
    let ctx = h.ctx.clone();
    h.state_mut().act(
        &ctx,
        workbench::ui::bench::Action::Edit(Edit::Rename("Changed".into())),
    );
    h.run();
    h.state_mut()
        .act(&ctx, workbench::ui::bench::Action::OpenSample(1));
    h.run();
    assert!(h.query_by_label("Save before you go?").is_some());
    h.get_by_label("Cancel").click();
    h.run();
    assert_eq!(h.state().build().name, "Changed");
    h.state_mut()
        .act(&ctx, workbench::ui::bench::Action::OpenSample(1));
    h.run();
    assert!(
        h.query_by_label("Save before you go?").is_some(),
        "asked again: nothing was saved"
    );
    h.get_by_label("Go on without saving").click();
    h.run();
    assert_eq!(h.state().build().name, sample("whimbrel.ron").name);
}

#[test]
fn unsaved_work_is_offered_after_a_crash() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("a.ron");
    let saved = sample("redshank.ron");
    file::save(&saved, &path).unwrap();
    let mut later = saved.clone();
    later.note = "written after the last save".into();
    file::write_autosave(&later, &path).unwrap();
    let mut h = open(file::load(&path).unwrap(), Some(path), SIZE);
    h.get_by_label("Take it back").click();
    h.run();
    assert_eq!(**h.state().build(), later);
}

#[test]
fn escape_gives_a_drag_up_and_the_next_edit_is_a_step_of_its_own() {
    let start = sample("redshank.ron");
    let mut h = open(start.clone(), None, SIZE);
    let at = h.get_by_label("bracket upper front").rect().center();
    hold(&mut h, at, vec2(40.0, -20.0));
    assert_ne!(**h.state().build(), start, "it moved while held");
    h.key_press(Key::Escape);
    h.run();
    assert_eq!(**h.state().build(), start, "given up");
    h.drop_at(at);
    h.run();
    assert_eq!(**h.state().build(), start);
    let ctx = h.ctx.clone();
    for name in ["One", "Two"] {
        h.state_mut().act(
            &ctx,
            workbench::ui::bench::Action::Edit(Edit::Rename(name.into())),
        );
        h.run();
    }
    h.key_press_modifiers(CTRL, Key::Z);
    h.run();
    assert_eq!(h.state().build().name, "One");
}

#[test]
fn a_drag_off_the_sheet_ends_when_the_button_is_let_go() {
    let mut h = open(sample("redshank.ron"), None, SIZE);
    let at = h.get_by_label("bracket upper front").rect().center();
    hold(&mut h, at, vec2(-900.0, 200.0));
    h.drop_at(at + vec2(-900.0, 200.0));
    h.run();
    let moved = h.state().build().clone();
    let ctx = h.ctx.clone();
    h.state_mut().act(
        &ctx,
        workbench::ui::bench::Action::Edit(Edit::Rename("After".into())),
    );
    h.run();
    h.key_press_modifiers(CTRL, Key::Z);
    h.run();
    assert_eq!(
        *h.state().build(),
        moved,
        "the drag and the edit after it are two steps"
    );
}

#[test]
fn escape_leaves_a_typed_field_as_it_was() {
    let start = sample("redshank.ron");
    let mut h = open(start.clone(), None, SIZE);
    h.key_press_modifiers(CTRL, Key::D);
    h.run();
    h.get_by_role_and_label(egui::Role::TextInput, "Wheelbase")
        .click();
    h.run();
    h.key_press_modifiers(CTRL, Key::A);
    h.run();
    h.get_by_role_and_label(egui::Role::TextInput, "Wheelbase")
        .type_text("99");
    h.run();
    h.key_press(Key::Escape);
    h.run();
    assert_eq!(**h.state().build(), start);
}

#[test]
fn save_takes_what_is_still_being_typed() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("a.ron");
    file::save(&sample("redshank.ron"), &path).unwrap();
    let mut h = open(file::load(&path).unwrap(), Some(path.clone()), SIZE);
    h.key_press_modifiers(CTRL, Key::D);
    h.run();
    h.get_by_role_and_label(egui::Role::TextInput, "Wheelbase")
        .click();
    h.run();
    h.key_press_modifiers(CTRL, Key::A);
    h.run();
    h.get_by_role_and_label(egui::Role::TextInput, "Wheelbase")
        .type_text("109 1/2");
    h.run();
    h.key_press_modifiers(CTRL, Key::S);
    h.run();
    assert_eq!(
        file::load(&path).unwrap().car.wheelbase,
        units::Length::from_inches(109.5)
    );
}

#[test]
fn giving_work_up_for_a_file_that_does_not_open_keeps_it() {
    let mut h = open(sample("redshank.ron"), None, SIZE);
    let ctx = h.ctx.clone();
    h.state_mut().act(
        &ctx,
        workbench::ui::bench::Action::Edit(Edit::Rename("Precious".into())),
    );
    h.run();
    let nowhere = std::path::PathBuf::from("no such file.ron");
    h.state_mut()
        .act(&ctx, workbench::ui::bench::Action::OpenPath(nowhere));
    h.run();
    h.get_by_label("Go on without saving").click();
    h.run();
    assert_eq!(h.state().build().name, "Precious");
    h.get_by_label("Close").click();
    h.run();
    h.state_mut()
        .act(&ctx, workbench::ui::bench::Action::OpenSample(1));
    h.run();
    assert!(
        h.query_by_label("Save before you go?").is_some(),
        "it still counts as unsaved"
    );
}

#[test]
fn a_tiny_window_draws_without_a_panic() {
    for size in [
        [320.0, 240.0],
        [400.0, 900.0],
        [1400.0, 300.0],
        [820.0, 560.0],
    ] {
        for name in ["redshank.ron", "faulty.ron"] {
            let mut build = sample(name);
            // The instant centre off the sheet draws its arrow.
            if let Some(b) = build
                .rear
                .brackets
                .iter_mut()
                .find(|b| b.id == "upper_front")
            {
                b.at.height = units::Length::from_inches(17.0);
            }
            let mut h = open(build, None, size);
            h.run();
        }
    }
}

#[test]
fn a_typed_path_can_be_typed_at_once_and_entered() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("typed.ron");
    let mut h = open(sample("redshank.ron"), None, SIZE);
    let ctx = h.ctx.clone();
    let ask = workbench::ui::dialog::Dialog::Path {
        want: workbench::ui::files::Want::Save,
        text: String::new(),
        hint: String::new(),
    };
    h.state_mut()
        .act(&ctx, workbench::ui::bench::Action::Ask(ask));
    h.run();
    let field = h.get_by_role_and_label(egui::Role::TextInput, "File");
    assert!(field.is_focused(), "nothing to click first");
    field.type_text(path.to_str().unwrap());
    h.run();
    h.key_press(Key::Enter);
    h.run();
    assert_eq!(file::load(&path).unwrap(), **h.state().build());
}

#[test]
fn dragging_a_number_is_one_step() {
    let start = sample("redshank.ron");
    let mut h = open(start.clone(), None, SIZE);
    let at = h.get_by_label("bracket upper front").rect().center();
    hold(&mut h, at, vec2(0.0, 0.0));
    h.drop_at(at);
    h.run();
    let number = h
        .get_by_role_and_label(egui::Role::SpinButton, "upper front holes")
        .rect()
        .center();
    drag(&mut h, number, vec2(160.0, 0.0));
    let count = h
        .state()
        .build()
        .rear
        .bracket("upper_front")
        .unwrap()
        .hole_count();
    assert!(count > 5, "{count} holes");
    h.key_press_modifiers(CTRL, Key::Z);
    h.run();
    assert_eq!(**h.state().build(), start);
}
