//! Saves that are cut short, links, rights, locks, autosaves: a good file is always there.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

use std::io;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};

use build::Build;
use build::file::{self, Problem, SaveStep};

fn named(name: &str) -> Build {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples/redshank.ron");
    let mut b = file::load(&path).unwrap();
    b.name = name.to_owned();
    b
}

fn folder() -> (tempfile::TempDir, PathBuf) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("car.ron");
    (folder, path)
}

/// What a file holds: it must read whole, as one build or the other.
fn held(path: &Path) -> String {
    file::load(path).unwrap_or_else(|e| panic!("{e}")).name
}

fn litter(folder: &Path) -> usize {
    let names = std::fs::read_dir(folder).unwrap();
    names
        .filter(|e| {
            let name = e.as_ref().unwrap().file_name();
            name.to_string_lossy().starts_with(".stringline-")
        })
        .count()
}

/// The step from which the new file is in place.
fn is_in_place(step: SaveStep) -> bool {
    step == SaveStep::FlushFolder
}

#[test]
fn every_step_is_asked_in_order() {
    let (_keep, path) = folder();
    let mut seen = Vec::new();
    let mut watch = |s| {
        seen.push(s);
        Ok(())
    };
    file::save_observed(&named("one"), &path, &mut watch).unwrap();
    let first: Vec<SaveStep> = SaveStep::ALL
        .into_iter()
        .filter(|s| *s != SaveStep::Backup)
        .collect();
    assert_eq!(seen, first);
    seen.clear();
    let mut watch = |s| {
        seen.push(s);
        Ok(())
    };
    file::save_observed(&named("two"), &path, &mut watch).unwrap();
    assert_eq!(seen, SaveStep::ALL);
}

#[test]
fn a_save_that_fails_at_any_step_leaves_the_old_file_or_the_new() {
    for stop in SaveStep::ALL {
        let (keep, path) = folder();
        file::save(&named("zero"), &path).unwrap();
        file::save(&named("old"), &path).unwrap();
        let mut fail = |s| match s == stop {
            true => Err(io::Error::other("disk gone")),
            false => Ok(()),
        };
        let error = file::save_observed(&named("new"), &path, &mut fail).unwrap_err();
        let said = error.to_string();
        assert!(said.contains("disk gone"), "{said}");
        let there = if is_in_place(stop) {
            assert!(said.contains("is in place, but"), "{said}");
            assert!(said.contains("save again"), "{said}");
            "new"
        } else {
            assert!(said.contains("was not saved: could not"), "{said}");
            assert!(said.contains("The last good file is untouched"), "{said}");
            "old"
        };
        assert_eq!(held(&path), there, "{stop:?}");
        let backup = held(&file::backup_path(&path));
        match stop {
            SaveStep::Rename | SaveStep::FlushFolder => assert_eq!(backup, "old"),
            _ => assert_eq!(backup, "zero", "{stop:?}"),
        }
        assert_eq!(litter(keep.path()), 0, "{stop:?}");
        // And the next one goes through.
        file::save(&named("next"), &path).unwrap();
        assert_eq!(held(&path), "next");
        assert_eq!(held(&file::backup_path(&path)), there);
    }
}

#[test]
fn a_first_save_that_fails_leaves_nothing_half_written() {
    for stop in SaveStep::ALL {
        let (keep, path) = folder();
        let mut fail = |s| match s == stop {
            true => Err(io::Error::other("disk gone")),
            false => Ok(()),
        };
        let result = file::save_observed(&named("new"), &path, &mut fail);
        assert_eq!(result.is_ok(), stop == SaveStep::Backup, "{stop:?}");
        if is_in_place(stop) || stop == SaveStep::Backup {
            assert_eq!(held(&path), "new");
        } else {
            assert!(!path.exists(), "{stop:?}");
        }
        assert_eq!(litter(keep.path()), 0);
    }
}

#[test]
fn a_panic_at_any_step_leaves_the_old_file_or_the_new() {
    for stop in SaveStep::ALL {
        let (_keep, path) = folder();
        file::save(&named("old"), &path).unwrap();
        let unwound = catch_unwind(AssertUnwindSafe(|| {
            file::save_observed(&named("new"), &path, &mut |s| {
                if s == stop {
                    std::panic::resume_unwind(Box::new("the program ends here"));
                }
                Ok(())
            })
        }));
        assert!(unwound.is_err());
        let there = if is_in_place(stop) { "new" } else { "old" };
        assert_eq!(held(&path), there, "{stop:?}");
        file::save(&named("next"), &path).unwrap();
        assert_eq!(held(&path), "next");
    }
}

const DIES_AT: &str = "STRINGLINE_TEST_DIES_AT";
const DIES_WITH: &str = "STRINGLINE_TEST_DIES_WITH";

/// Run by the test below in a process of its own; does nothing otherwise.
#[test]
fn helper_that_dies_in_a_save() {
    let (Ok(step), Ok(path)) = (std::env::var(DIES_AT), std::env::var(DIES_WITH)) else {
        return;
    };
    let stop = SaveStep::ALL[step.parse::<usize>().unwrap()];
    let _ = file::save_observed(&named("new"), Path::new(&path), &mut |s| {
        if s == stop {
            std::process::abort(); // no destructor runs, as in a power cut
        }
        Ok(())
    });
}

#[test]
fn a_process_that_dies_at_any_step_leaves_the_old_file_or_the_new() {
    for (index, stop) in SaveStep::ALL.into_iter().enumerate() {
        let (_keep, path) = folder();
        file::save(&named("old"), &path).unwrap();
        let status = std::process::Command::new(std::env::current_exe().unwrap())
            .args(["--exact", "helper_that_dies_in_a_save"])
            .env(DIES_AT, index.to_string())
            .env(DIES_WITH, &path)
            .stdout(std::process::Stdio::null())
            .stderr(std::process::Stdio::null())
            .status()
            .unwrap();
        assert!(!status.success(), "{stop:?} was never reached");
        let there = if is_in_place(stop) { "new" } else { "old" };
        assert_eq!(held(&path), there, "{stop:?}");
        // What it left lying about does not stand in the way.
        file::save(&named("next"), &path).unwrap();
        assert_eq!(held(&path), "next");
        assert_eq!(held(&file::backup_path(&path)), there);
    }
}

#[test]
fn the_backup_is_the_save_before() {
    let (keep, path) = folder();
    file::save(&named("one"), &path).unwrap();
    assert!(!file::backup_path(&path).exists());
    for (now, before) in [("two", "one"), ("three", "two")] {
        file::save(&named(now), &path).unwrap();
        assert_eq!(held(&path), now);
        assert_eq!(held(&file::backup_path(&path)), before);
    }
    assert_eq!(std::fs::read_dir(keep.path()).unwrap().count(), 2);
}

#[cfg(unix)]
#[test]
fn rights_and_links_stay_as_they_were() {
    use std::os::unix::fs::{PermissionsExt, symlink};
    let mode = |p: &Path| std::fs::metadata(p).unwrap().permissions().mode() & 0o7777;
    let (keep, path) = folder();
    file::save(&named("one"), &path).unwrap();
    assert_eq!(mode(&path), 0o644);
    for rights in [0o600, 0o664, 0o640] {
        std::fs::set_permissions(&path, std::fs::Permissions::from_mode(rights)).unwrap();
        file::save(&named("two"), &path).unwrap();
        assert_eq!(mode(&path), rights);
        assert_eq!(mode(&file::backup_path(&path)), rights);
    }

    // Through a link in another folder, and through one that leads nowhere yet.
    let elsewhere = tempfile::tempdir().unwrap();
    let link = elsewhere.path().join("link.ron");
    symlink(&path, &link).unwrap();
    file::save(&named("three"), &link).unwrap();
    assert!(std::fs::symlink_metadata(&link).unwrap().is_symlink());
    assert_eq!(held(&path), "three");
    assert_eq!(held(&link), "three");
    assert_eq!(mode(&path), 0o640);
    assert_eq!(std::fs::read_dir(elsewhere.path()).unwrap().count(), 1);
    let ahead = keep.path().join("ahead.ron");
    symlink("fresh.ron", &ahead).unwrap();
    file::save(&named("four"), &ahead).unwrap();
    assert!(std::fs::symlink_metadata(&ahead).unwrap().is_symlink());
    assert_eq!(held(&keep.path().join("fresh.ron")), "four");

    // Two names of one file share its lock.
    let _lock = file::lock(&path).unwrap();
    let error = file::lock(&link).unwrap_err();
    assert!(matches!(*error.problem, Problem::InUse));
}

/// A folder that takes no files: by its rights, or for a user whom rights do not stop, by the system.
#[cfg(target_os = "linux")]
fn closed_folder(inside: &Path) -> PathBuf {
    use std::os::unix::fs::PermissionsExt;
    std::fs::set_permissions(inside, std::fs::Permissions::from_mode(0o555)).unwrap();
    let probe = inside.join("probe");
    if std::fs::write(&probe, b"").is_err() {
        return inside.to_owned();
    }
    std::fs::remove_file(probe).unwrap();
    PathBuf::from("/proc")
}

#[cfg(target_os = "linux")]
#[test]
fn a_folder_that_takes_no_files_is_named() {
    let keep = tempfile::tempdir().unwrap();
    let path = closed_folder(keep.path()).join("car.ron");
    for error in [
        file::save(&named("one"), &path).unwrap_err(),
        file::write_autosave(&named("one"), &path).unwrap_err(),
    ] {
        let said = error.to_string();
        assert!(said.contains("car.ron"), "{said}");
        assert!(
            said.contains("could not make a new file beside it"),
            "{said}"
        );
        assert!(said.contains("save under another name"), "{said}");
    }
    let said = file::lock(&path).unwrap_err().to_string();
    assert!(said.contains("can not be locked"), "{said}");
    assert!(said.contains("takes no new files"), "{said}");
    assert!(!path.exists());
}

#[test]
fn a_missing_folder_and_a_folder_for_a_file_are_named() {
    let (keep, _) = folder();
    let lost = keep.path().join("no such folder").join("car.ron");
    let said = file::save(&named("one"), &lost).unwrap_err().to_string();
    assert!(
        said.contains("could not make a new file beside it"),
        "{said}"
    );
    let inner = keep.path().join("car.ron");
    std::fs::create_dir(&inner).unwrap();
    let said = file::save(&named("one"), &inner).unwrap_err().to_string();
    assert!(said.contains("was not saved"), "{said}");
    assert!(inner.is_dir());
    assert_eq!(litter(keep.path()), 0);
}

#[test]
fn a_second_window_finds_the_file_in_use() {
    let (keep, path) = folder();
    file::save(&named("one"), &path).unwrap();
    let first = file::lock(&path).unwrap();
    let error = file::lock(&path).unwrap_err();
    assert!(matches!(*error.problem, Problem::InUse));
    let said = error.to_string();
    assert!(said.contains("open in another window"), "{said}");
    assert!(said.contains("save under another name"), "{said}");
    // Another file is free, and a save does not lose the lock.
    drop(file::lock(&keep.path().join("other.ron")).unwrap());
    file::save(&named("two"), &path).unwrap();
    assert!(file::lock(&path).is_err());
    drop(first);
    drop(file::lock(&path).unwrap());
    let left: Vec<_> = std::fs::read_dir(keep.path())
        .unwrap()
        .map(|e| e.unwrap().file_name())
        .filter(|n| n.to_string_lossy().ends_with(".lock"))
        .collect();
    assert!(left.is_empty(), "{left:?}");
}

/// Windows that open and close at the same time: never two at once.
#[test]
fn a_lock_has_one_holder() {
    use std::sync::atomic::{AtomicUsize, Ordering};
    let (_keep, path) = folder();
    let (inside, taken) = (AtomicUsize::new(0), AtomicUsize::new(0));
    std::thread::scope(|scope| {
        for _ in 0..4 {
            scope.spawn(|| {
                for _ in 0..20_000 {
                    if let Ok(lock) = file::lock(&path) {
                        assert_eq!(inside.fetch_add(1, Ordering::SeqCst), 0);
                        taken.fetch_add(1, Ordering::SeqCst);
                        std::thread::yield_now();
                        inside.fetch_sub(1, Ordering::SeqCst);
                        drop(lock);
                    }
                }
            });
        }
    });
    assert!(taken.load(Ordering::SeqCst) > 0);
}

#[test]
fn unsaved_work_is_offered_until_it_is_saved() {
    let (keep, path) = folder();
    let saved = named("saved");
    file::save(&saved, &path).unwrap();
    assert_eq!(file::newer_autosave(&path, Some(&saved)), None);
    let work = named("work");
    file::write_autosave(&work, &path).unwrap();
    assert_eq!(held(&path), "saved", "the file itself is not touched");
    assert_eq!(
        file::newer_autosave(&path, Some(&saved)),
        Some(work.clone())
    );
    // Lost file: the work is still there.
    assert_eq!(file::newer_autosave(&path, None), Some(work.clone()));
    // The same as the file: nothing to offer.
    assert_eq!(file::newer_autosave(&path, Some(&work)), None);
    file::write_autosave(&named("more work"), &path).unwrap();
    assert_eq!(
        file::newer_autosave(&path, Some(&saved)).map(|b| b.name),
        Some("more work".to_owned())
    );
    assert_eq!(litter(keep.path()), 0);
    file::discard_autosave(&path);
    assert!(!file::autosave_path(&path).exists());
    assert_eq!(file::newer_autosave(&path, Some(&saved)), None);
    file::discard_autosave(&path); // gone already: no matter
    assert_eq!(held(&path), "saved");
}

#[test]
fn a_damaged_autosave_is_ignored() {
    let (_keep, path) = folder();
    let saved = named("saved");
    file::save(&saved, &path).unwrap();
    let whole = file::to_text(&named("work")).unwrap();
    for damaged in [
        String::new(),
        whole[..whole.len() / 2].to_owned(),
        whole.replacen("version: 5", "version: 9", 1),
        whole.replacen("wheelbase: \"108 in\"", "wheelbase: \"-1 in\"", 1),
        format!("{whole}x"),
    ] {
        assert_ne!(damaged, whole);
        std::fs::write(file::autosave_path(&path), &damaged).unwrap();
        assert_eq!(file::newer_autosave(&path, Some(&saved)), None);
        assert_eq!(file::newer_autosave(&path, None), None);
    }
    std::fs::write(file::autosave_path(&path), [0xFF, 0xFE]).unwrap();
    assert_eq!(file::newer_autosave(&path, None), None);
    std::fs::write(file::autosave_path(&path), whole).unwrap();
    assert!(file::newer_autosave(&path, Some(&saved)).is_some());
}

#[test]
fn an_extension_is_added_where_none_is_typed() {
    for (typed, full) in [
        ("car", "car.ron"),
        ("car.ron", "car.ron"),
        ("my.car", "my.car"),
    ] {
        assert_eq!(file::with_extension(Path::new(typed)), Path::new(full));
    }
}
