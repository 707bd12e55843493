//! The commands about tubes and flat parts, as a process of their own.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod program;

use std::fs;
use std::path::Path;

use build::{EndShape, derive, file};
use program::{Said, run};
use serde_json::Value;
use tempfile::TempDir;

const SAMPLES: [&str; 3] = ["redshank.ron", "whimbrel.ron", "faulty.ron"];

fn folder() -> TempDir {
    let samples = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples");
    let dir = tempfile::tempdir().unwrap();
    for name in SAMPLES {
        fs::copy(samples.join(name), dir.path().join(name)).unwrap();
    }
    dir
}

fn say(dir: &TempDir, line: &str) -> Said {
    run(dir.path(), line.split_whitespace())
}

#[test]
fn tubes_as_json_is_the_study() {
    let dir = folder();
    for name in SAMPLES {
        let b = file::load(&dir.path().join(name)).unwrap();
        let study = derive(&b);
        let text = say(&dir, &format!("tubes {name} --json")).well();
        let v: Value = serde_json::from_str(&text).unwrap();
        let close = |v: &Value, want: f64| {
            let got = v["value"].as_f64().unwrap();
            assert!(
                (got - want).abs() <= 1e-12 * want.abs().max(1.0),
                "{got} {want}"
            );
            assert!(v["unit"].is_string() && v["display"].is_string());
        };
        close(&v["mass"], study.tubes.mass());
        close(&v["length"], study.tubes.length());
        let tubes = v["tubes"].as_array().unwrap();
        assert_eq!(tubes.len(), study.tubes.tubes.len());
        for (v, t) in tubes.iter().zip(&study.tubes.tubes) {
            assert_eq!(v["id"], t.id);
            match &t.part {
                Err(_) => assert!(v["reason"].is_string()),
                Ok(part) => {
                    close(&v["cut"], part.cut);
                    assert_eq!(v["bends"].as_array().unwrap().len(), part.bends.len());
                    for (v, x) in v["bends"].as_array().unwrap().iter().zip(&part.bends) {
                        close(&v["mark_from_a"], x.from_a);
                        close(&v["mark_from_b"], x.from_b);
                        close(&v["angle"], x.bend.angle);
                    }
                    for (v, e) in v["ends"].as_array().unwrap().iter().zip(&part.ends) {
                        if let EndShape::Cope(c) = &e.shape {
                            assert_eq!(v["shape"], "cope");
                            close(&v["long_point"], c.long.s);
                            assert_eq!(v["hole_saw"]["diameter"].is_object(), c.saw.is_ok());
                        }
                    }
                }
            }
        }
        assert_eq!(v["bars"].as_array().unwrap().len(), study.tubes.nests.len());
    }
}

#[test]
fn tubes_in_words_and_as_a_table() {
    let dir = folder();
    let text = say(&dir, "tubes redshank.ron").well();
    for words in [
        "T1 rail_l Frame rail, left",
        "saw to",
        "bend 1 at hoop_top_l",
        "hole saw",
        "BARS",
        "CAUTION",
        "proven",
    ] {
        assert!(text.contains(words), "no {words:?}:\n{text}");
    }
    let metric = say(&dir, "tubes redshank.ron --units metric").well();
    assert!(metric.contains(" mm") && !metric.contains('"'), "{metric}");
    let csv = say(&dir, "tubes redshank.ron --csv").well();
    let b = file::load(&dir.path().join("redshank.ron")).unwrap();
    let tubes = csv.lines().filter(|l| l.contains(",tube,")).count();
    assert_eq!(tubes, b.assembly.tubes.len());
    let empty = dir.path().join("empty.ron");
    say(&dir, "new empty.ron").well();
    assert!(empty.exists());
    assert!(
        say(&dir, "tubes empty.ron")
            .well()
            .contains("No tube is drawn")
    );
}

#[test]
fn the_sheets_are_written_by_name() {
    let dir = folder();
    for name in ["cut-and-bend", "cope-wraps", "cut-list", "frame-report"] {
        for ending in ["pdf", "svg", "csv"] {
            let out = format!("{name}.{ending}");
            say(&dir, &format!("sheet redshank.ron {name} --out {out}")).well();
            assert!(fs::metadata(dir.path().join(&out)).unwrap().len() > 200);
        }
    }
}

#[test]
fn dxf_is_a_file_a_part_and_nothing_is_written_over() {
    let dir = folder();
    let b = file::load(&dir.path().join("redshank.ron")).unwrap();
    let said = say(&dir, "dxf redshank.ron --out parts --mm").well();
    let parts = dir.path().join("parts");
    let files = fs::read_dir(&parts).unwrap().count();
    assert_eq!(
        files,
        said.lines().filter(|l| l.contains("_mm.dxf")).count()
    );
    assert!(files >= b.rear.brackets.len().min(1));
    for f in fs::read_dir(&parts).unwrap() {
        let text = fs::read_to_string(f.unwrap().path()).unwrap();
        assert!(text.contains("UNITS: MILLIMETRES") && text.ends_with("EOF\r\n"));
    }
    // Another unit, another name: beside the others. The same again is refused.
    say(&dir, "dxf redshank.ron --out parts --in").well();
    assert_eq!(fs::read_dir(&parts).unwrap().count(), 2 * files);
    let before: Vec<_> = fs::read_dir(&parts)
        .unwrap()
        .map(|f| f.unwrap().path())
        .map(|p| fs::write(&p, "mine").map(|()| p).unwrap())
        .collect();
    say(&dir, "dxf redshank.ron --out parts --in").trouble(&[
        "already",
        "--force",
        "nothing was written",
    ]);
    assert!(
        before
            .iter()
            .all(|p| fs::read_to_string(p).unwrap() == "mine")
    );
    say(&dir, "dxf redshank.ron --out parts --in --force").well();
    assert!(
        before
            .iter()
            .any(|p| fs::read_to_string(p).unwrap() != "mine")
    );
    say(&dir, "new empty.ron").well();
    say(&dir, "dxf empty.ron --out parts").trouble(&["no plates and no brackets"]);
    // A file where the folder should be.
    fs::write(dir.path().join("taken"), "x").unwrap();
    say(&dir, "dxf redshank.ron --out taken").trouble(&["taken"]);
}
