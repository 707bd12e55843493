//! The rules of the house, kept by reading the sources: floors, who may name which library, where
//! colours are made, no unfinished code, every module of a size one person can read.
#![allow(clippy::unwrap_used, clippy::panic, missing_docs)]

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

/// Every Rust source below a folder, with its path from the root.
fn sources(below: &str) -> Vec<(String, String)> {
    fn walk(dir: &Path, out: &mut Vec<PathBuf>) {
        for entry in fs::read_dir(dir).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                if path.file_name().is_some_and(|n| n != "target") {
                    walk(&path, out);
                }
            } else if path.extension().is_some_and(|e| e == "rs") {
                out.push(path);
            }
        }
    }
    let mut files = Vec::new();
    walk(&root().join(below), &mut files);
    files.sort();
    assert!(!files.is_empty(), "no sources below {below}");
    files
        .into_iter()
        .map(|p| {
            let name = p.strip_prefix(root()).unwrap().to_string_lossy().replace('\\', "/");
            let text = fs::read_to_string(&p).unwrap();
            (name, text)
        })
        .collect()
}

/// Code without comment lines and without the test module at a file's end.
fn code(text: &str) -> String {
    let body = text.split("#[cfg(test)]\nmod ").next().unwrap();
    body.lines().filter(|l| !l.trim_start().starts_with("//")).collect::<Vec<_>>().join("\n")
}

const FLOORS: &[(&str, u32)] = &[
    ("units", 0),
    ("geometry", 1),
    ("weld", 2),
    ("vehicle", 2),
    ("build", 3),
    ("sheets", 4),
    ("workbench", 5),
];

/// Names in a manifest's `[dependencies]`.
fn dependencies(name: &str) -> Vec<String> {
    let text = fs::read_to_string(root().join(format!("crates/{name}/Cargo.toml"))).unwrap();
    let mut inside = false;
    let mut out = Vec::new();
    for line in text.lines() {
        if line.starts_with('[') {
            inside = line == "[dependencies]";
        } else if inside && let Some(name) = line.split(['.', ' ', '=']).next() {
            if !name.is_empty() && !name.starts_with('#') {
                out.push(name.to_owned());
            }
        }
    }
    out
}

#[test]
fn a_crate_uses_only_floors_below_it() {
    let floor: BTreeMap<&str, u32> = FLOORS.iter().copied().collect();
    for entry in fs::read_dir(root().join("crates")).unwrap() {
        let name = entry.unwrap().file_name().to_string_lossy().into_owned();
        let own = *floor.get(name.as_str()).unwrap_or_else(|| panic!("{name} stands on no floor: add it to the list"));
        for dep in dependencies(&name) {
            if let Some(other) = floor.get(dep.as_str()) {
                assert!(*other < own, "{name} (floor {own}) uses {dep} (floor {other})");
            }
        }
    }
}

#[test]
fn nothing_below_the_window_knows_egui() {
    for (name, _) in FLOORS.iter().filter(|(_, f)| *f < 5) {
        for dep in dependencies(name) {
            assert!(!dep.contains("egui") && dep != "eframe", "{name} uses {dep}");
        }
    }
}

#[test]
fn the_lower_floors_do_no_input_or_output() {
    for crate_name in ["units", "geometry", "weld", "vehicle"] {
        for (name, text) in sources(&format!("crates/{crate_name}/src")) {
            if name.ends_with("tests.rs") {
                continue;
            }
            let code = code(&text);
            for forbidden in [
                "std::fs", "std::io", "std::net", "std::env", "std::time", "std::process", "println!", "eprintln!",
                "thread_local!", "static mut", "OnceLock", "LazyLock", "Mutex", "thread_rng",
            ] {
                assert!(!code.contains(forbidden), "{name} names {forbidden}");
            }
        }
    }
}

/// The files of a crate's sources whose code matches.
fn naming(pattern: &str) -> Vec<String> {
    sources("crates")
        .into_iter()
        .filter(|(name, text)| name.contains("/src/") && !name.ends_with("tests.rs") && code(text).contains(pattern))
        .map(|(name, _)| name)
        .collect()
}

#[test]
fn each_outside_library_has_one_door() {
    for name in naming("ron::") {
        assert!(name.starts_with("crates/build/src/file/"), "{name} names RON");
    }
    assert_eq!(naming("krilla::"), ["crates/sheets/src/pdf.rs"]);
    assert_eq!(naming("rfd::"), ["crates/workbench/src/ui/files.rs"]);
}

#[test]
fn one_file_makes_colours() {
    for pattern in ["Color32::from_", "Color32::WHITE", "Color32::BLACK", "Color32::RED", "Color32::from_gray", "Rgba::from_"] {
        for name in naming(pattern) {
            assert_eq!(name, "crates/workbench/src/ui/theme.rs", "{name} makes a colour by {pattern}");
        }
    }
}

#[test]
fn nothing_is_left_unfinished() {
    for (name, text) in sources("crates") {
        if !name.contains("/src/") {
            continue;
        }
        let code = code(&text);
        for forbidden in ["todo!(", "unimplemented!(", "dbg!(", ".unwrap()", "TODO", "FIXME", "XXX"] {
            assert!(!code.contains(forbidden) || name.ends_with("tests.rs"), "{name} holds {forbidden}");
        }
        if name.ends_with("tests.rs") {
            continue;
        }
        let body = text.split("#[cfg(test)]\nmod ").next().unwrap();
        for kind in ["#[allow(", "#[expect("] {
            for part in body.split(kind).skip(1) {
                let attribute = part.split(")]").next().unwrap();
                assert!(attribute.contains("reason ="), "{name} silences a lint without a reason: {attribute}");
            }
        }
    }
}

#[test]
fn modules_stay_readable() {
    for (name, text) in sources("crates") {
        let lines = text.lines().count();
        assert!(lines <= 900, "{name} has {lines} lines: it does more than one thing");
    }
}

#[test]
fn fonts_carry_their_licences() {
    let fonts = root().join("assets/fonts");
    for f in fs::read_dir(&fonts).unwrap() {
        let name = f.unwrap().file_name().to_string_lossy().into_owned();
        if name.ends_with(".otf") || name.ends_with(".ttf") {
            let family = if name.starts_with("B612") { "B612.LICENSE" } else { "DejaVu.LICENSE" };
            assert!(fonts.join(family).exists(), "{name} has no licence beside it");
        }
    }
}
