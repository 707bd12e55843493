//! The commands that try holes and misplace them, as a process of their own.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod program;

use std::fs;
use std::path::Path;

use build::{Build, derive, file};
use program::{Said, run};
use serde_json::Value;
use tempfile::TempDir;

/// A folder with a sample in it.
fn folder() -> TempDir {
    let samples = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples");
    let dir = tempfile::tempdir().unwrap();
    fs::copy(
        samples.join("redshank.ron"),
        dir.path().join("redshank.ron"),
    )
    .unwrap();
    dir
}

fn say(dir: &TempDir, line: &str) -> Said {
    run(dir.path(), line.split_whitespace())
}

fn load(dir: &TempDir, name: &str) -> Build {
    file::load(&dir.path().join(name)).unwrap()
}

fn json(text: &str) -> Value {
    serde_json::from_str(text).unwrap()
}

#[test]
fn holes_are_tried_as_text_json_and_csv() {
    let dir = folder();
    let text = say(&dir, "holes redshank.ron").well();
    assert!(
        text.starts_with("Redshank: 144 combinations judged, "),
        "{text}"
    );
    assert!(text.contains("upper frame ") && text.contains("Anti-squat threw out"));
    let all = json(&say(&dir, "holes redshank.ron --free --keep 7 --json").well());
    assert_eq!(all["combinations"], 20_736);
    let best = all["best"].as_array().unwrap();
    assert_eq!(best.len(), 7);
    // What a combination is said to read, the study reads once its holes are bolted up.
    let mut build = load(&dir, "redshank.ron");
    for h in best[0]["holes"].as_array().unwrap() {
        let link = build
            .rear
            .links
            .iter_mut()
            .find(|l| l.id == h["link"].as_str().unwrap())
            .unwrap();
        let at = if h["end"] == "frame" {
            &mut link.at_frame
        } else {
            &mut link.at_axle
        };
        let hole = h["hole"].as_u64().unwrap() as usize;
        match h["side"].as_str().unwrap() {
            "right" => at.right_hole = Some(hole),
            _ => at.hole = hole,
        }
    }
    let study = derive(&build);
    for (id, value) in best[0]["figures"].as_object().unwrap() {
        let read = study.reading(id).unwrap().value.clone().unwrap();
        assert!(
            (read - value.as_f64().unwrap()).abs() < 2e-3 * (1.0 + read.abs()),
            "{id}"
        );
    }
    let table = say(&dir, "holes redshank.ron --csv --units metric --keep 2").well();
    let mut reader = csv::Reader::from_reader(table.as_bytes());
    let head = reader.headers().unwrap().clone();
    assert_eq!(&head[0], "Rank");
    assert!(
        head.iter().any(|h| h == "Instant centre ahead, mm")
            && head.iter().any(|h| h == "lower link, axle hole")
    );
    assert_eq!(
        reader
            .records()
            .filter(|r| r.as_ref().unwrap().len() == head.len())
            .count(),
        2
    );
    // A build without links, and more than can be listed.
    say(&dir, "new empty.ron").well();
    say(&dir, "holes empty.ron").trouble(&["no links are drawn yet"]);
    say(&dir, "holes redshank.ron --keep 99999999").trouble(&["at most"]);
}

#[test]
fn misplaced_holes_are_said_as_text_and_json() {
    let dir = folder();
    let text = say(&dir, "tolerance redshank.ron --fraction 32").well();
    assert!(
        text.contains("off by up to 1/32\"")
            && text.contains("lower front, height: 1/32\" off on one side"),
        "{text}"
    );
    let one = say(&dir, "tolerance redshank.ron --json --samples 500 --seed 3").well();
    assert_eq!(
        one,
        say(&dir, "tolerance redshank.ron --json --samples 500 --seed 3").well()
    );
    let all = json(&one);
    let figures = all["figures"].as_array().unwrap();
    assert_eq!(figures.len(), 6);
    let anti_squat = &figures[0];
    assert_eq!(anti_squat["id"], "rear.anti_squat");
    let (linear, random) = (
        anti_squat["standard_deviation"].as_f64().unwrap(),
        anti_squat["random"]["standard_deviation"].as_f64().unwrap(),
    );
    // 500 samples know a spread to about 3 %.
    assert!((random / linear - 1.0).abs() < 0.15, "{random} {linear}");
    let twice = json(
        &say(
            &dir,
            "tolerance redshank.ron --json --samples 500 --plus-minus 1/16in",
        )
        .well(),
    );
    let wider = twice["figures"][0]["standard_deviation"].as_f64().unwrap();
    assert!((wider / linear - 2.0).abs() < 1e-9);
    for (bad, says) in [
        ("--samples 0", "ask for 1 to"),
        ("--plus-minus 5in", "write 0 to 3/4 in"),
        ("--plus-minus 5lb", "--plus-minus"),
        ("--plus-minus=-1in", "--plus-minus"),
    ] {
        say(&dir, &format!("tolerance redshank.ron {bad}")).trouble(&[says]);
    }
}
