//! The rules of the house, kept by reading the sources: floors, who may name which library, where
//! colours are made, no unfinished code, every module of a size one person can read.
#![allow(clippy::unwrap_used, clippy::panic, missing_docs)]

use std::collections::BTreeMap;
use std::fs;
use std::ops::Range;
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
            let name = p
                .strip_prefix(root())
                .unwrap()
                .to_string_lossy()
                .replace('\\', "/");
            let text = fs::read_to_string(&p).unwrap();
            (name, text)
        })
        .collect()
}

/// Every outermost `#[cfg(test)] mod …` of a file, attributes between them or not: where it stands in
/// the text, and the file of its body where that is another one.
fn test_modules(text: &str) -> Vec<(Range<usize>, Option<String>)> {
    let mut out = Vec::new();
    let mut seek = 0;
    while let Some(found) = text[seek..].find("#[cfg(test)]\n") {
        let start = seek + found;
        let mut at = start;
        seek = start + 1;
        if start > 0 && !text[..start].ends_with('\n') {
            continue; // inside something: an item, a string, a comment
        }
        // Past the attributes: each ends with `]` at the end of its line.
        while text[at..].starts_with("#[") {
            let Some(end) = text[at..].find("]\n") else {
                break;
            };
            at += end + 2;
        }
        let Some(rest) = text[at..].strip_prefix("mod ") else {
            continue;
        };
        let name: String = rest
            .chars()
            .take_while(|c| c.is_alphanumeric() || *c == '_')
            .collect();
        let file = rest[name.len()..].starts_with(';').then(|| {
            let named = text[start..at].split_once("#[path = \"");
            named.map_or_else(
                || format!("{name}.rs"),
                |(_, n)| n.split('"').next().unwrap().to_owned(),
            )
        });
        // The formatter puts the closing brace of an outermost module alone at the line's beginning.
        let end = if file.is_some() {
            at + "mod ;".len() + name.len()
        } else {
            text[at..].find("\n}").map_or(text.len(), |n| at + n + 2)
        };
        out.push((start..end, file));
        seek = end;
    }
    out
}

/// Code without comment lines and without test modules.
fn code(text: &str) -> String {
    let mut body = String::new();
    let mut from = 0;
    for (range, ..) in test_modules(text) {
        body.push_str(&text[from..range.start]);
        from = range.end;
    }
    body.push_str(&text[from..]);
    body.lines()
        .filter(|l| !l.trim_start().starts_with("//"))
        .collect::<Vec<_>>()
        .join("\n")
}

/// The library sources of a folder: no tests, benches or examples, and no file that only a
/// `#[cfg(test)] mod name;` brings in.
fn library(below: &str) -> Vec<(String, String)> {
    let all = sources(below);
    let mut tests = Vec::new();
    for (name, text) in &all {
        let (folder, file) = name.rsplit_once('/').unwrap();
        let inside = match file {
            "lib.rs" | "main.rs" | "mod.rs" => folder.to_owned(),
            other => format!("{folder}/{}", other.trim_end_matches(".rs")),
        };
        for file in test_modules(text).into_iter().filter_map(|(_, f)| f) {
            // A path attribute is read from the folder of the file that holds it.
            tests.push(format!("{folder}/{file}"));
            tests.push(format!("{inside}/{file}"));
        }
    }
    all.into_iter()
        .filter(|(name, _)| name.contains("/src/"))
        .filter(|(name, _)| !tests.contains(name))
        .collect()
}

#[test]
fn test_modules_are_cut_off_and_nothing_else_is() {
    let text = "fn a() {}\n\n#[cfg(test)]\n#[allow(\n    clippy::panic,\n    clippy::unwrap_used\n)]\nmod tests {\n    \
        fn b() {\n        x.unwrap();\n    }\n}\n\n#[cfg(test)]\nmod properties;\n\n\
        #[cfg(test)]\n#[path = \"laws_tests.rs\"]\nmod tests;\n\n#[cfg(test)]\nfn c() {}\n\
        // .unwrap() in words\nfn d() {}\n";
    let left = code(text);
    for kept in ["fn a()", "fn c()", "fn d()"] {
        assert!(left.contains(kept), "{kept} was cut off: {left}");
    }
    for cut in ["fn b()", "unwrap", "allow", "properties"] {
        assert!(!left.contains(cut), "{cut} was left: {left}");
    }
    let files: Vec<_> = test_modules(text).into_iter().map(|(_, f)| f).collect();
    assert_eq!(
        files,
        [
            None,
            Some("properties.rs".to_owned()),
            Some("laws_tests.rs".to_owned())
        ]
    );
}

const FLOORS: &[(&str, u32)] = &[
    ("units", 0),
    ("geometry", 1),
    ("weld", 2),
    ("vehicle", 2),
    ("structure", 2),
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
        } else if inside
            && let Some(name) = line.split(['.', ' ', '=']).next()
            && !name.is_empty()
            && !name.starts_with('#')
        {
            out.push(name.to_owned());
        }
    }
    out
}

#[test]
fn a_crate_uses_only_floors_below_it() {
    let floor: BTreeMap<&str, u32> = FLOORS.iter().copied().collect();
    for entry in fs::read_dir(root().join("crates")).unwrap() {
        let name = entry.unwrap().file_name().to_string_lossy().into_owned();
        let own = *floor
            .get(name.as_str())
            .unwrap_or_else(|| panic!("{name} stands on no floor: add it to the list"));
        for dep in dependencies(&name) {
            if let Some(other) = floor.get(dep.as_str()) {
                assert!(
                    *other < own,
                    "{name} (floor {own}) uses {dep} (floor {other})"
                );
            }
        }
    }
}

#[test]
fn nothing_below_the_window_knows_egui() {
    for (name, _) in FLOORS.iter().filter(|(_, f)| *f < 5) {
        for dep in dependencies(name) {
            assert!(
                !dep.contains("egui") && dep != "eframe",
                "{name} uses {dep}"
            );
        }
    }
}

#[test]
fn the_lower_floors_do_no_input_or_output() {
    for crate_name in ["units", "geometry", "weld", "vehicle", "structure"] {
        for (name, text) in library(&format!("crates/{crate_name}/src")) {
            let code = code(&text);
            for forbidden in [
                "std::fs",
                "std::io",
                "std::net",
                "std::env",
                "std::time",
                "std::process",
                "println!",
                "eprintln!",
                "thread_local!",
                "static mut",
                "OnceLock",
                "LazyLock",
                "Mutex",
                "thread_rng",
            ] {
                assert!(!code.contains(forbidden), "{name} names {forbidden}");
            }
        }
    }
}

/// The library files whose code matches.
fn naming(pattern: &str) -> Vec<String> {
    library("crates")
        .into_iter()
        .filter(|(_, text)| code(text).contains(pattern))
        .map(|(name, _)| name)
        .collect()
}

#[test]
fn each_outside_library_has_one_door() {
    for name in naming("ron::") {
        assert!(
            name.starts_with("crates/build/src/file/"),
            "{name} names RON"
        );
    }
    assert_eq!(naming("krilla::"), ["crates/sheets/src/pdf.rs"]);
    assert_eq!(naming("rfd::"), ["crates/workbench/src/ui/files.rs"]);
}

#[test]
fn one_file_makes_colours() {
    for pattern in [
        "Color32::from_",
        "Color32::WHITE",
        "Color32::BLACK",
        "Color32::RED",
        "Color32::from_gray",
        "Rgba::from_",
    ] {
        for name in naming(pattern) {
            assert_eq!(
                name, "crates/workbench/src/ui/theme.rs",
                "{name} makes a colour by {pattern}"
            );
        }
    }
}

#[test]
fn nothing_is_left_unfinished() {
    for (name, text) in library("crates") {
        // Words of unfinished work hide in comments too.
        for forbidden in ["TODO", "FIXME", "XXX"] {
            assert!(!text.contains(forbidden), "{name} holds {forbidden}");
        }
        let code = code(&text);
        for forbidden in ["todo!(", "unimplemented!(", "dbg!(", ".unwrap()"] {
            assert!(!code.contains(forbidden), "{name} holds {forbidden}");
        }
        for kind in ["#[allow(", "#[expect(", "#![allow(", "#![expect("] {
            for part in code.split(kind).skip(1) {
                let attribute = part.split(")]").next().unwrap();
                assert!(
                    attribute.contains("reason ="),
                    "{name} silences a lint without a reason: {attribute}"
                );
            }
        }
    }
}

#[test]
fn modules_stay_readable() {
    for (name, text) in sources("crates") {
        let lines = text.lines().count();
        assert!(
            lines <= 900,
            "{name} has {lines} lines: it does more than one thing"
        );
    }
}

#[test]
fn fonts_carry_their_licences() {
    let fonts = root().join("assets/fonts");
    for f in fs::read_dir(&fonts).unwrap() {
        let name = f.unwrap().file_name().to_string_lossy().into_owned();
        if name.ends_with(".otf") || name.ends_with(".ttf") {
            let family = if name.starts_with("B612") {
                "B612.LICENSE"
            } else {
                "DejaVu.LICENSE"
            };
            assert!(
                fonts.join(family).exists(),
                "{name} has no licence beside it"
            );
        }
    }
}
