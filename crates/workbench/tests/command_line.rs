//! The `stringline` program as a person at a terminal or a script meets it: what it prints where,
//! what it writes, and with which status it ends. It runs as a process of its own, with no display.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod program;

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Stdio;

use build::{Build, DEFINITIONS, Motion, Over, derive, file};
use program::{Said, command, run};
use serde_json::Value;
use tempfile::TempDir;
use units::{Fraction, Length, Shop, System};

/// Every reading the rear axle must have.
const REAR: [&str; 11] = [
    "rear.ic.station",
    "rear.ic.height",
    "rear.anti_squat",
    "rear.anti_lift",
    "rear.swing_arm.length",
    "rear.roll_centre.height",
    "rear.roll_axis.slope",
    "rear.roll_steer",
    "rear.bind.stretch",
    "rear.pinion.change",
    "rear.axle.recession",
];

const METRIC: Shop = Shop {
    system: System::Si,
    fraction: Fraction::Sixteenth,
};

fn samples() -> PathBuf {
    fs::canonicalize(Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples")).unwrap()
}

/// A folder with the samples in it.
fn folder() -> TempDir {
    let dir = tempfile::tempdir().unwrap();
    for name in ["redshank.ron", "whimbrel.ron", "faulty.ron"] {
        fs::copy(samples().join(name), dir.path().join(name)).unwrap();
    }
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

/// Equal but for the last digit that reading a decimal back may cost.
#[track_caller]
fn same(a: f64, b: f64, what: &str) {
    assert!(
        (a - b).abs() <= 1e-14 + 1e-12 * b.abs(),
        "{what}: {a} for {b}"
    );
}

/// A verdict as the text has it: what a tape does not show is said in thousandths, never as 0.
fn verdict(r: &build::Reading, shop: &Shop) -> String {
    let fine = |by| units::format_fine(units::Kind::Length, by, shop);
    let nothing = r.definition.amount(0.0, shop);
    match r.status() {
        build::Status::Below(by) if r.definition.amount(by, shop) == nothing => {
            format!("{} below band", fine(by))
        }
        build::Status::Above(by) if r.definition.amount(by, shop) == nothing => {
            format!("{} above band", fine(by))
        }
        _ => r.verdict(shop),
    }
}

#[test]
fn readings_as_text_say_id_label_value_and_verdict() {
    let dir = folder();
    for (units, shop) in [("inch", Shop::default()), ("metric", METRIC)] {
        for name in ["redshank.ron", "whimbrel.ron", "faulty.ron"] {
            let build = load(&dir, name);
            let study = derive(&build);
            let text = say(&dir, &format!("readings {name} --units {units}")).well();
            let mut lines = text.lines();
            assert_eq!(
                lines.next().unwrap(),
                format!("{}, revision {}", build.name, build.revision)
            );
            for r in &study.readings {
                let line = lines.next().expect("a line for every reading");
                let id = line.split_whitespace().next().unwrap();
                assert_eq!(id, r.id());
                for part in [
                    r.label().into_owned(),
                    r.display(&shop),
                    match &r.value {
                        Ok(_) => verdict(r, &shop),
                        Err(why) => why.to_string(),
                    },
                ] {
                    assert!(line.contains(&part), "{part:?} is not in {line:?}");
                }
            }
            assert_eq!(lines.next(), None);
        }
    }
    // Shop units by default: feet, inches and sixteenths; metric only when asked.
    let inch = say(&dir, "readings redshank.ron").well();
    assert!(inch.contains("50 3/16\"") && !inch.contains(" mm"));
    let metric = say(&dir, "readings redshank.ron --units metric").well();
    assert!(metric.contains(" mm") && !metric.contains('"'));
    let fine = say(&dir, "readings redshank.ron --fraction 64").well();
    assert!(fine.contains("/64\""), "{fine}");
}

#[test]
fn readings_as_json_are_the_study_with_units_display_and_status() {
    let dir = folder();
    for (units, shop) in [("inch", Shop::default()), ("metric", METRIC)] {
        for name in ["redshank.ron", "whimbrel.ron", "faulty.ron"] {
            let build = load(&dir, name);
            let study = derive(&build);
            let all = json(&say(&dir, &format!("readings {name} --json --units {units}")).well());
            assert_eq!(all["build"], build.name.as_str());
            assert_eq!(all["revision"], build.revision.as_str());
            let list = all["readings"].as_array().unwrap();
            assert_eq!(list.len(), study.readings.len());
            for id in REAR {
                assert!(list.iter().any(|r| r["id"] == id), "{id} is missing");
            }
            for r in list {
                let id = r["id"].as_str().unwrap();
                let model = study.reading(id).unwrap();
                assert_eq!(r["label"], *model.label());
                assert_eq!(r["display"], model.display(&shop), "{id}");
                assert_eq!(r["status"], model.status().word(), "{id}");
                // SI whatever is displayed.
                let unit = match id {
                    "rear.pinion.change" => "rad",
                    "rear.ic.station"
                    | "rear.ic.height"
                    | "rear.swing_arm.length"
                    | "rear.roll_centre.height"
                    | "rear.bind.stretch"
                    | "rear.axle.recession"
                    | "fit_up.worst_gap"
                    | "fit_up.pull_in" => "m",
                    _ if id.starts_with("car.") => "kg",
                    _ if id.starts_with("rear.") || id.starts_with("fit_up.") => "1",
                    _ if id.contains("force")
                        || id.contains(".rod.")
                        || id.contains("_left") && id.starts_with("launch.")
                        || id.contains("_right")
                        || id.ends_with("_difference") =>
                    {
                        "N"
                    }
                    _ => model.kind().si_unit(),
                };
                assert_eq!(r["unit"], unit, "{id}");
                match &model.value {
                    Ok(value) => {
                        same(r["value"].as_f64().unwrap(), *value, id);
                        assert!(r.get("reason").is_none(), "{id} has a value and a reason");
                    }
                    Err(why) => {
                        assert!(r["value"].is_null(), "{id}");
                        assert_eq!(r["reason"], why.to_string(), "{id}");
                    }
                }
                if let Some(band) = model.band {
                    // An open end has no number.
                    for (k, end) in [band.low, band.high].into_iter().enumerate() {
                        match r["band"][k].as_f64() {
                            Some(v) => same(v, end, id),
                            None => assert!(end.is_infinite(), "{id}"),
                        }
                    }
                }
            }
        }
    }
}

/// The sample with both links level in the side view, so that their lines never meet.
fn level_links(dir: &TempDir) -> Build {
    let mut b = load(dir, "redshank.ron");
    for id in ["upper", "lower"] {
        let link = b.rear.link(id).unwrap();
        let height = |end: &build::LinkEnd| {
            let bracket = b.rear.bracket(&end.bracket).unwrap();
            bracket.hole(end.hole).unwrap().si()[2]
        };
        let lift = height(&link.at_axle) - height(&link.at_frame);
        let front = link.at_frame.bracket.clone();
        let bracket = b.rear.brackets.iter_mut().find(|x| x.id == front).unwrap();
        bracket.at.height = Length::from_si(bracket.at.height.si() + lift);
    }
    b
}

#[test]
fn a_reading_without_a_value_says_why() {
    let dir = folder();
    file::save(&level_links(&dir), &dir.path().join("level.ron")).unwrap();
    let all = json(&say(&dir, "readings level.ron --json").well());
    let find = |id: &str| {
        let list = all["readings"].as_array().unwrap();
        list.iter().find(|r| r["id"] == id).unwrap().clone()
    };
    for id in ["rear.ic.station", "rear.ic.height", "rear.swing_arm.length"] {
        let r = find(id);
        assert!(r["value"].is_null(), "{r}");
        assert_eq!(r["status"], "no value");
        let reason = r["reason"].as_str().unwrap();
        assert!(reason.contains("instant centre out of sight"), "{reason}");
    }
    // Level links carry no share of the load transfer (Gillespie, ch. 7: tan φ = 0).
    let anti_squat = find("rear.anti_squat");
    assert!(anti_squat["value"].as_f64().unwrap().abs() < 1e-6);
    assert!(anti_squat.get("reason").is_none());

    say(&dir, "new empty.ron").well();
    let all = json(&say(&dir, "readings empty.ron --json").well());
    for r in all["readings"].as_array().unwrap() {
        if r["id"].as_str().unwrap().starts_with("rear.") {
            assert!(r["value"].is_null());
            assert_eq!(r["reason"], "no links are drawn yet");
        }
    }
}

fn motion(build: &Build) -> Motion {
    derive(build).rear.motion.clone().unwrap()
}

#[test]
fn a_sweep_as_json_is_the_study_in_si() {
    let dir = folder();
    for name in ["redshank.ron", "whimbrel.ron"] {
        let build = load(&dir, name);
        let motion = motion(&build);
        for (word, unit, over, range) in [
            ("travel", "m", Over::Travel, build.rear.travel.si()),
            ("roll", "rad", Over::Roll, build.rear.roll.si()),
        ] {
            let all = json(&say(&dir, &format!("sweep {name} --over {word} --json")).well());
            assert_eq!(all["over"], word);
            assert_eq!(all["units"][word], unit);
            assert_eq!(all["limits"].as_array().unwrap().len(), 0);
            let rows = all["rows"].as_array().unwrap();
            let states = &motion.sweep(over).states;
            assert_eq!((rows.len(), states.len()), (161, 161));
            same(rows[0][word].as_f64().unwrap(), -range, word);
            same(rows[80][word].as_f64().unwrap(), 0.0, word);
            same(rows[160][word].as_f64().unwrap(), range, word);
            for (row, state) in rows.iter().zip(states) {
                let row = row.as_object().unwrap();
                assert_eq!(row.keys().next().unwrap(), word, "the first column");
                for (id, value) in row.iter().skip(1) {
                    let d = build::definition(id).unwrap();
                    assert_eq!(all["units"][id], d.kind.si_unit());
                    match d.in_pose.unwrap()(state) {
                        Some(v) => same(value.as_f64().unwrap(), v, id),
                        None => assert!(value.is_null()),
                    }
                }
                for id in REAR {
                    assert!(row.contains_key(id), "{id} has no column");
                }
            }
        }
    }
}

#[test]
fn a_sweep_as_csv_has_its_units_in_the_head() {
    let dir = folder();
    let build = load(&dir, "redshank.ron");
    let motion = motion(&build);
    for (units, length) in [("inch", "in"), ("metric", "mm")] {
        for (word, over) in [("travel", Over::Travel), ("roll", Over::Roll)] {
            let line = format!("sweep redshank.ron --over {word} --csv --units {units}");
            let text = say(&dir, &line).well();
            let mut reader = csv::Reader::from_reader(text.as_bytes());
            let heads: Vec<String> = reader.headers().unwrap().iter().map(Into::into).collect();
            let first = if word == "travel" { length } else { "deg" };
            assert_eq!(heads[0], format!("{word}, {first}"));
            // One unit in its SI, written out here again on its own.
            let scales: Vec<f64> = heads
                .iter()
                .map(|h| match h.rsplit_once(", ").unwrap().1 {
                    "in" => 0.0254,
                    "mm" => 0.001,
                    "deg" => std::f64::consts::PI / 180.0,
                    "%" => 0.01,
                    other => panic!("{h}: unit {other}"),
                })
                .collect();
            let wrong = if length == "in" { ", mm" } else { ", in" };
            assert!(!heads.iter().any(|h| h.ends_with(wrong)), "{heads:?}");
            let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
            let states = &motion.sweep(over).states;
            assert_eq!((rows.len(), states.len()), (161, 161));
            let columns: Vec<_> = heads[1..]
                .iter()
                .map(|h| {
                    let label = h.rsplit_once(", ").unwrap().0;
                    DEFINITIONS.iter().find(|d| d.label == label).unwrap()
                })
                .collect();
            assert!(columns.len() >= REAR.len());
            for (row, state) in rows.iter().zip(states) {
                let near = |k: usize, si: f64| {
                    let cell: f64 = row[k].parse().unwrap();
                    // Six decimals are written.
                    let off = (cell - si / scales[k]).abs();
                    assert!(off <= 0.51e-6, "{}: {cell} off by {off}", heads[k]);
                };
                near(0, over.of(state));
                for (k, d) in columns.iter().enumerate() {
                    match d.in_pose.unwrap()(state) {
                        Some(v) => near(k + 1, v),
                        None => assert_eq!(&row[k + 1], ""),
                    }
                }
            }
        }
    }
    // As text for eyes: the same rows.
    let text = say(&dir, "sweep redshank.ron --over roll").well();
    assert_eq!(text.lines().count(), 162);
    assert!(text.starts_with("roll, deg"));
}

#[test]
fn a_sweep_that_ends_early_says_where_and_one_that_can_not_be_says_why() {
    let dir = folder();
    let mut b = load(&dir, "redshank.ron");
    // A short upper link, asked to go far.
    b.rear.travel = Length::from_inches(15.0);
    let front = b.rear.brackets.iter_mut().find(|x| x.id == "upper_front");
    front.unwrap().at.station = Length::from_inches(10.0);
    file::save(&b, &dir.path().join("far.ron")).unwrap();
    let all = json(&say(&dir, "sweep far.ron --over travel --json").well());
    let rows = all["rows"].as_array().unwrap().len();
    assert!(rows < 161, "{rows} rows");
    let limits = all["limits"].as_array().unwrap();
    assert!(!limits.is_empty());
    let table = say(&dir, "sweep far.ron --over travel --csv");
    assert_eq!(table.code, 0);
    assert_eq!(table.out.lines().count(), rows + 1);
    assert!(
        table.err.contains("the sweep ends early"),
        "a table can not say it: {}",
        table.err
    );
    assert!(table.err.contains(limits[0].as_str().unwrap()));

    say(&dir, "new empty.ron").well();
    for word in ["travel", "roll"] {
        say(&dir, &format!("sweep empty.ron --over {word} --csv"))
            .trouble(&["no links are drawn yet", "stringline check empty.ron"]);
    }
    say(&dir, "sweep redshank.ron --over roll --json --csv").trouble(&["--json", "--csv"]);
    say(&dir, "sweep redshank.ron").trouble(&["--over"]);
    say(&dir, "sweep redshank.ron --over yaw").trouble(&["yaw", "travel, roll"]);
}

/// Page sizes of a PDF, mm.
fn pdf_pages(path: &Path) -> Vec<[f64; 2]> {
    let pdf = lopdf::Document::load(path).unwrap();
    pdf.get_pages()
        .values()
        .map(|id| {
            let page = pdf.get_dictionary(*id).unwrap();
            let b = page.get(b"MediaBox").unwrap().as_array().unwrap();
            let b: Vec<f64> = b.iter().map(|v| f64::from(v.as_float().unwrap())).collect();
            [b[2] - b[0], b[3] - b[1]].map(|points| points / 72.0 * 25.4)
        })
        .collect()
}

#[test]
fn the_sheet_is_written_as_pdf_svg_and_csv_on_both_papers() {
    let dir = folder();
    // ISO 216 for A4; US Letter is 8 1/2 by 11 in.
    for (paper, [w, h]) in [("letter", [215.9, 279.4]), ("a4", [210.0, 297.0])] {
        let out = |ending: &str| dir.path().join(format!("sheet {paper}.{ending}"));
        let write = |name: &str, ending: &str| {
            let path = out(ending);
            let said = run(
                dir.path(),
                [
                    "sheet",
                    name,
                    "bracket-placement",
                    "--paper",
                    paper,
                    "--out",
                    path.to_str().unwrap(),
                ],
            )
            .well();
            assert_eq!(said.trim_end(), path.to_str().unwrap(), "it says where");
            fs::read(path).unwrap()
        };
        for name in ["redshank.ron", "whimbrel.ron", "faulty.ron"] {
            let build = load(&dir, name);
            let pdf = write(name, "pdf");
            assert!(pdf.starts_with(b"%PDF-"));
            let pages = pdf_pages(&out("pdf"));
            assert!(pages.len() >= 2, "{name}: {} pages", pages.len());
            for [pw, ph] in &pages {
                assert!(
                    (pw - w).abs() < 0.1 && (ph - h).abs() < 0.1,
                    "{pw} x {ph} mm for {paper}"
                );
            }
            let svg = String::from_utf8(write(name, "svg")).unwrap();
            let tree = roxmltree::Document::parse(&svg).unwrap();
            assert_eq!(
                tree.root_element().attribute("width"),
                Some(format!("{w}mm").as_str())
            );
            let words: String = tree.descendants().filter_map(|n| n.text()).collect();
            assert!(words.contains(&build.name), "{name} is not named");

            let table = write(name, "csv");
            let mut reader = csv::ReaderBuilder::new()
                .flexible(true)
                .from_reader(&table[..]);
            assert_eq!(&reader.headers().unwrap()[0], "bracket");
            let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
            for bracket in &build.rear.brackets {
                let holes = rows
                    .iter()
                    .filter(|r| r.get(1) == Some(bracket.label.as_str()))
                    .count();
                assert_eq!(holes, bracket.hole_count(), "{name}: {}", bracket.label);
            }
        }
    }
    // Letter unless asked, and a build with no brackets is told on paper too.
    say(&dir, "new empty.ron").well();
    say(&dir, "sheet empty.ron bracket-placement --out empty.pdf").well();
    let [w, h] = pdf_pages(&dir.path().join("empty.pdf"))[0];
    assert!((w - 215.9).abs() < 0.1 && (h - 279.4).abs() < 0.1);
    // A sheet is made anew each time: writing over an older one is meant.
    say(&dir, "sheet redshank.ron bracket-placement --out empty.pdf").well();
}

#[test]
fn a_sheet_that_can_not_be_written_says_where_and_why() {
    let dir = folder();
    let before = fs::read(dir.path().join("redshank.ron")).unwrap();
    for out in ["a.png", "a", "a.PDFX", "."] {
        say(
            &dir,
            &format!("sheet redshank.ron bracket-placement --out {out}"),
        )
        .trouble(&[out, ".pdf, .svg or .csv"]);
        assert!(out == "." || !dir.path().join(out).exists());
    }
    // A folder that is not there, and a file in a folder's place: nobody may write into either.
    for out in ["none/a.pdf", "whimbrel.ron/a.pdf"] {
        say(
            &dir,
            &format!("sheet redshank.ron bracket-placement --out {out}"),
        )
        .trouble(&[out, "could not be written", "Check the folder"]);
    }
    say(&dir, "sheet redshank.ron bracket-placement").trouble(&["--out"]);
    say(&dir, "sheet redshank.ron nothing --out a.pdf").trouble(&["nothing", "bracket-placement"]);
    say(
        &dir,
        "sheet redshank.ron bracket-placement --out a.pdf --paper a3",
    )
    .trouble(&["a3", "letter, a4"]);
    // The build itself is no place for a sheet.
    fs::copy(dir.path().join("redshank.ron"), dir.path().join("car.csv")).unwrap();
    say(&dir, "sheet car.csv bracket-placement --out ./car.csv").trouble(&["is the build itself"]);
    assert_eq!(fs::read(dir.path().join("car.csv")).unwrap(), before);
}

#[test]
fn check_prints_the_findings_and_its_status_says_whether_one_is_an_error() {
    let dir = folder();
    say(&dir, "new empty.ron").well();
    for (name, code) in [
        ("redshank.ron", 0),
        ("whimbrel.ron", 0),
        ("empty.ron", 0),
        ("faulty.ron", 1),
    ] {
        let said = say(&dir, &format!("check {name}"));
        assert_eq!((said.code, said.err.as_str()), (code, ""), "{name}");
        let study = derive(&load(&dir, name));
        let shop = Shop::default();
        let lines: Vec<&str> = said.out.lines().collect();
        assert_eq!(lines.len(), study.findings.len() + 1, "{name}");
        for (line, f) in lines.iter().zip(&study.findings) {
            for part in [
                f.severity.word().to_owned(),
                f.text.show(&shop),
                f.next.show(&shop),
            ] {
                assert!(line.contains(&part), "{part:?} is not in {line:?}");
            }
        }
        let errors = lines.iter().filter(|l| l.starts_with("error: ")).count();
        assert_eq!(errors > 0, code == 1);
        let last = lines.last().unwrap();
        let word = if errors == 1 { "error" } else { "errors" };
        assert!(last.starts_with(&format!("{errors} {word}, ")), "{last}");
    }
    let inch = say(&dir, "check faulty.ron").out;
    let metric = say(&dir, "check faulty.ron --units metric").out;
    assert!(inch.contains('"') && metric.contains(" mm"));
    say(&dir, "check none.ron").trouble(&["none.ron", "no such file", "stringline new"]);
}

#[test]
fn new_makes_a_file_that_opens_and_never_writes_over_one() {
    let dir = folder();
    assert_eq!(say(&dir, "new fresh").well(), "fresh.ron\n");
    let made = load(&dir, "fresh.ron");
    assert_eq!(made.name, "fresh");
    assert!(made.rear.links.is_empty() && !made.phases.is_empty());
    say(&dir, "check fresh.ron").well();

    for name in ["redshank", "whimbrel", "faulty"] {
        let to = format!("copy of {name}.ron");
        run(dir.path(), ["new", to.as_str(), "--sample", name]).well();
        assert_eq!(load(&dir, &to), load(&dir, &format!("{name}.ron")));
    }

    let before = fs::read(dir.path().join("redshank.ron")).unwrap();
    for line in [
        "new redshank.ron",
        "new redshank",
        "new redshank.ron --sample faulty",
    ] {
        say(&dir, line).trouble(&["redshank.ron", "already", "nothing was written"]);
    }
    assert_eq!(fs::read(dir.path().join("redshank.ron")).unwrap(), before);
    #[cfg(unix)]
    {
        std::os::unix::fs::symlink("nowhere.ron", dir.path().join("link.ron")).unwrap();
        say(&dir, "new link.ron").trouble(&["link.ron", "already"]);
        assert!(
            fs::symlink_metadata(dir.path().join("link.ron"))
                .unwrap()
                .is_symlink()
        );
    }

    say(&dir, "new other.ron --sample redshnk").trouble(&["redshnk", "redshank, whimbrel, faulty"]);
    assert!(!dir.path().join("other.ron").exists());
    let err = say(&dir, "new none/other.ron").trouble(&["none/other.ron", "no folder none"]);
    assert!(!err.contains("os error"), "{err}");
    say(&dir, "new .").trouble(&["is a folder"]);
    say(&dir, "new").trouble(&["<FILE>"]);
}

#[test]
fn a_broken_file_is_told_by_what_where_and_what_to_do_in_every_command() {
    let dir = folder();
    let good = fs::read_to_string(dir.path().join("redshank.ron")).unwrap();
    let line_of = |word: &str| {
        let n = good.lines().position(|l| l.contains(word)).unwrap();
        format!("line {}, column ", n + 1)
    };
    let break_it = |name: &str, from: &str, to: &str| {
        assert!(good.contains(from));
        fs::write(dir.path().join(name), good.replacen(from, to, 1)).unwrap();
    };
    break_it("field.ron", "wheelbase:", "weelbase:");
    break_it("unit.ron", "\"108 in\"", "\"108 lb\"");
    break_it("newer.ron", "version: 5", "version: 999");
    let wheelbase = line_of("wheelbase:");
    let cases: [(&str, &[&str]); 5] = [
        ("field.ron", &["weelbase", "wheelbase", &wheelbase]),
        ("unit.ron", &["108 lb", "length", &wheelbase]),
        ("newer.ron", &["999", "newer"]),
        (".", &["is a folder"]),
        ("none.ron", &["no such file", "spelling"]),
    ];
    for (name, words) in cases {
        for line in [
            "readings FILE",
            "readings FILE --json",
            "sweep FILE --over roll",
            "sheet FILE bracket-placement --out a.pdf",
            "check FILE",
            "weld FILE",
            "weld FILE --json",
            "gaps FILE --out a.pdf",
            "gaps FILE --read a.csv --save",
        ] {
            let err = say(&dir, &line.replace("FILE", name)).trouble(words);
            assert!(err.starts_with(&format!("stringline: {name}")), "{err}");
        }
        // The window is not opened on it either: it is told where it was named.
        say(&dir, name).trouble(words);
    }
    assert!(!dir.path().join("a.pdf").exists());
}

#[test]
fn a_misspelt_command_or_flag_gets_a_suggestion() {
    let dir = folder();
    say(&dir, "readngs redshank.ron").trouble(&["\"readngs\"", "stringline readings", "Commands:"]);
    say(&dir, "chek").trouble(&["\"chek\"", "stringline check"]);
    say(&dir, "sweeep redshank.ron --over roll").trouble(&["\"sweeep\"", "stringline sweep"]);
    let err = say(&dir, "xylophone redshank.ron").trouble(&[
        "\"xylophone\"",
        "readings, sweep, sheet, holes, tolerance, weld, tubes, dxf, gaps, check, new, run, frame, log",
    ]);
    assert!(!err.contains("Did you mean"), "{err}");
    say(&dir, "readings redshank.ron --jsn").trouble(&["--jsn", "--json"]);
    say(&dir, "readings").trouble(&["<FILE>"]);
    say(&dir, "readings redshank.ron --units cubits").trouble(&["cubits", "inch, metric"]);
    for flag in ["--help", "--version"] {
        let said = say(&dir, flag).well();
        assert!(said.contains("tringline"), "{said}");
    }
    for command in [
        "readings",
        "sweep",
        "sheet",
        "holes",
        "tolerance",
        "weld",
        "gaps",
        "check",
        "new",
    ] {
        assert!(say(&dir, "--help").well().contains(command));
        assert!(
            say(&dir, &format!("{command} --help"))
                .well()
                .contains("FILE")
        );
    }
}

/// With nowhere to open a window, the window's command says so and what still works.
#[cfg(target_os = "linux")]
#[test]
fn without_a_display_the_window_is_refused_in_words() {
    let dir = folder();
    for line in ["", "redshank.ron"] {
        say(&dir, line).trouble(&["window could not be opened", "readings", "without a window"]);
    }
}

#[test]
fn a_reader_that_stops_early_is_no_trouble() {
    let dir = folder();
    for line in [
        "sweep redshank.ron --over travel --json",
        "readings redshank.ron",
        "--help",
    ] {
        let mut child = command(dir.path())
            .args(line.split_whitespace())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        drop(child.stdout.take());
        let out = child.wait_with_output().unwrap();
        let err = String::from_utf8(out.stderr).unwrap();
        assert_eq!(err, "", "{line}");
        assert_eq!(out.status.code(), Some(0), "{line}");
    }
    // Nobody listens to the trouble: still told by the status, not by a panic.
    for line in ["check none.ron", "readings redshank.ron --jsn"] {
        let mut child = command(dir.path())
            .args(line.split_whitespace())
            .stdout(Stdio::null())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        drop(child.stderr.take());
        assert_eq!(child.wait().unwrap().code(), Some(2), "{line}");
    }
}

/// A full disk behind `>` must not pass for a complete table.
#[cfg(target_os = "linux")]
#[test]
fn output_that_could_not_be_written_is_trouble() {
    let dir = folder();
    let full = fs::OpenOptions::new()
        .write(true)
        .open("/dev/full")
        .unwrap();
    let out = command(dir.path())
        .args(["sweep", "redshank.ron", "--over", "travel", "--csv"])
        .stdout(full)
        .output()
        .unwrap();
    let err = String::from_utf8(out.stderr).unwrap();
    assert_eq!(out.status.code(), Some(2), "{err}");
    assert!(err.contains("could not be written"), "{err}");
}
