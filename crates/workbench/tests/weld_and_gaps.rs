//! The commands about welding, as a process of their own: the report, its JSON, the table of gaps.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod program;

use std::fs;
use std::path::Path;

use build::{Build, Study, derive, file, show_to};
use program::{Said, run};
use serde_json::Value;
use tempfile::TempDir;
use units::{Fraction, Kind, Shop, System};

const METRIC: Shop = Shop {
    system: System::Si,
    fraction: Fraction::Sixteenth,
};
const SAMPLES: [&str; 3] = ["redshank.ron", "whimbrel.ron", "faulty.ron"];

/// A folder with the samples in it.
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

fn load(dir: &TempDir, name: &str) -> Build {
    file::load(&dir.path().join(name)).unwrap()
}

fn json(text: &str) -> Value {
    serde_json::from_str(text).unwrap()
}

/// Equal but for the last digit that reading a decimal back may cost.
#[track_caller]
fn same(v: &Value, b: f64, what: &str) {
    let a = v
        .as_f64()
        .unwrap_or_else(|| panic!("{what}: {v} is no number"));
    assert!(
        (a - b).abs() <= 1e-14 + 1e-12 * b.abs(),
        "{what}: {a} for {b}"
    );
}

/// A quantity object: its value and unit.
#[track_caller]
fn is(v: &Value, unit: &str, si: f64, what: &str) {
    same(&v["value"], si, what);
    assert_eq!(v["unit"], unit, "{what}");
    assert!(v["display"].is_string(), "{what}: {v}");
}

#[track_caller]
fn spans(v: &Value, [low, point, high]: [f64; 3], what: &str) {
    is(v, "m", point, what);
    same(&v["low"], low, what);
    same(&v["high"], high, what);
}

fn list<'a>(v: &'a Value, key: &str) -> &'a Vec<Value> {
    v[key].as_array().unwrap_or_else(|| panic!("{key}: {v}"))
}

#[test]
fn weld_as_json_is_the_study() {
    let dir = folder();
    for (units, shop) in [("inch", Shop::default()), ("metric", METRIC)] {
        for name in SAMPLES {
            let b = load(&dir, name);
            let study = derive(&b);
            let all = json(&say(&dir, &format!("weld {name} --json --units {units}")).well());
            assert_eq!(all["build"], b.name.as_str());
            assert_eq!(all["revision"], b.revision.as_str());
            assert_eq!(all["assembly"]["drawn"], true);
            joints(&all, &b, &study, &shop);
            dimensions(&all, &b, &study, &shop);
            order(&all, &b, &study);
            record(&all, &study);
            corrections(&all, &b, &study);
            supply(&all, &study);
        }
    }
}

fn joints(all: &Value, b: &Build, study: &Study, shop: &Shop) {
    let rows = list(all, "joints");
    assert_eq!(rows.len(), b.fit_up.joints.len());
    for ((v, j), s) in rows.iter().zip(&b.fit_up.joints).zip(&study.fit_up.joints) {
        assert_eq!(v["id"], j.id.as_str());
        assert_eq!(v["label"], j.label.as_str());
        assert_eq!(v["welded"].is_null(), j.welded.is_none(), "{}", j.id);
        is(&v["leg"], "m", j.leg.si(), &j.id);
        match s.worst {
            Some((gap, at)) => {
                is(&v["gap_worst"], "m", gap, &j.id);
                same(&v["gap_worst_clock_hours"], at, &j.id);
                is(&v["gap_mean"], "m", s.mean.unwrap(), &j.id);
            }
            None => {
                assert!(v["gap_worst"]["value"].is_null() && v["gap_worst"]["reason"].is_string());
            }
        }
        match &s.judged {
            Ok(f) => {
                let word = match f.verdict {
                    weld::Verdict::Good => "good",
                    weld::Verdict::EnlargeLeg { .. } => "enlarge_leg",
                    weld::Verdict::Reject => "reject",
                    weld::Verdict::NotLogged { .. } => "not_logged",
                };
                assert_eq!(v["verdict"], word, "{}", j.id);
                is(&v["required_leg"], "m", f.required_leg, &j.id);
            }
            Err(e) => assert_eq!(v["verdict_reason"], e.to_string()),
        }
        match &s.weld {
            Ok(w) if w.seam_known => {
                is(&v["seam"], "m", w.welded.length, &j.id);
                is(&v["metal_volume"], "m³", w.welded.volume, &j.id);
                // Steel: 7850 kg/m³.
                is(&v["metal"], "kg", 7850.0 * w.welded.volume, &j.id);
                let extra = w.extra.map(|x| x.volume);
                assert_eq!(
                    v["gap_metal_volume"]["value"].as_f64().is_some(),
                    extra.is_some()
                );
            }
            Ok(_) => assert!(v["seam"]["value"].is_null() && v["seam"]["reason"].is_string()),
            Err(e) => assert_eq!(v["metal_volume"]["reason"], e.show(shop)),
        }
        match &s.shrinkage {
            Ok(p) => {
                spans(&v["pull_in"], [p.low, p.point, p.high], &j.id);
                assert_eq!(v["in_range"], !p.out_of_range);
                let estimates = list(v, "estimates");
                assert_eq!(estimates.len(), p.estimates.len());
                for (v, e) in estimates.iter().zip(&p.estimates) {
                    is(v, "m", e.value, &j.id);
                    assert_eq!(v["method"], e.method.name());
                    assert_eq!(v["source"], e.source);
                    assert_eq!(v["in_range"], e.in_range);
                }
            }
            Err(e) => assert_eq!(v["pull_in"]["reason"], e.show(shop)),
        }
    }
}

fn dimensions(all: &Value, b: &Build, study: &Study, shop: &Shop) {
    let rows = list(all, "dimensions");
    assert_eq!(rows.len(), b.weld_out.dimensions.len());
    let list_ = b.weld_out.dimensions.iter().zip(&study.weld.dimensions);
    for (v, (d, s)) in rows.iter().zip(list_) {
        assert_eq!(v["id"], d.id.as_str());
        is(&v["wanted"], "m", d.want.si(), &d.id);
        match s.tolerance {
            Some(t) => is(&v["tolerance"], "m", t, &d.id),
            None => assert!(v["tolerance"]["reason"].is_string()),
        }
        let missing = list(v, "not_counted").iter().map(|x| x.as_str().unwrap());
        let ids = s.missing.iter().map(|i| b.fit_up.joints[*i].id.as_str());
        assert_eq!(missing.collect::<Vec<_>>(), ids.collect::<Vec<_>>());
        match &s.now {
            Some((now, stage)) => {
                is(&v["now"], "m", *now, &d.id);
                assert_eq!(v["stage"], stage.word());
                is(&v["off"], "m", now - d.want.si(), &d.id);
                let out = s
                    .tolerance
                    .is_some_and(|t| (now - d.want.si()).abs() > t + 1e-9);
                assert_eq!(v["status"] == "out", out, "{}", d.id);
            }
            None => assert_eq!(v["now"]["reason"], "not measured yet"),
        }
        match &s.whole {
            Some(p) => {
                spans(&v["change"], [p.low, p.change, p.high], &d.id);
                // What the joints do adds up to the change.
                let parts = list(v, "joints").iter();
                let sum: f64 = parts.map(|x| x["change"]["value"].as_f64().unwrap()).sum();
                assert!(
                    (sum - p.change).abs() < 1e-12,
                    "{}: {sum} {}",
                    d.id,
                    p.change
                );
                let step = units::step(Kind::Length, shop);
                let set = s.set_long(step).unwrap();
                is(&v["set_long"], "m", set, &d.id);
                assert!((set / step - (set / step).round()).abs() < 1e-9);
                assert!((set + p.change).abs() <= 0.5 * step + 1e-12);
            }
            None => assert!(v["change"]["reason"].is_string() && v["reason"].is_string()),
        }
        match s.expected() {
            Some((point, low, high)) => spans(&v["expected"], [low, point, high], &d.id),
            None => assert!(v["expected"]["reason"].is_string()),
        }
        if let Some(p) = s.chance {
            is(&v["chance"], "1", p, &d.id);
        }
        if let Some(p) = &s.to_come {
            spans(&v["to_come"], [p.low, p.change, p.high], &d.id);
        }
    }
}

fn order(all: &Value, b: &Build, study: &Study) {
    let order = study.weld.order.as_ref().unwrap();
    let v = &all["order"];
    let id = |place: &usize| b.fit_up.joints[*place].id.as_str();
    assert_eq!(v["next"].as_str(), order.next.as_ref().map(id));
    assert_eq!(v["welded"], order.welded);
    let rows = list(v, "joints");
    assert_eq!(rows.len(), order.joints.len());
    for (i, (row, place)) in rows.iter().zip(&order.joints).enumerate() {
        assert_eq!(row["joint"], id(place));
        let drift = list(row, "drift");
        for (k, (x, d)) in drift.iter().zip(&order.steps[i].dimensions).enumerate() {
            spans(x, [d.low, d.drift, d.high], id(place));
            assert_eq!(x["measure"], order.measure[k] == Some(i));
            let dimension = &b.weld_out.dimensions[order.dimensions[k]];
            assert_eq!(x["dimension"], dimension.id.as_str());
        }
    }
}

fn record(all: &Value, study: &Study) {
    let record = study.weld.record.as_ref().unwrap();
    let factors = list(&all["record"], "factors");
    assert_eq!(factors.len(), 10);
    for (v, f) in factors.iter().zip(weld::control::Factor::ALL) {
        same(&v["value"], record.now.of(f), f.label());
        let (low, high) = record.now.interval(f, 0.9).unwrap();
        same(&v["low"], low, f.label());
        same(&v["high"], high, f.label());
        assert_eq!(v["label"], f.label());
    }
    for (key, rows) in [("readings", &record.rows), ("offered", &record.offered)] {
        let found = list(&all["record"], key);
        assert_eq!(found.len(), rows.len());
        for (v, r) in found.iter().zip(rows) {
            assert_eq!(v["label"], r.label.as_str());
            is(&v["measured"], "m", r.row.update.measured, &r.label);
            match r.row.update.ratio {
                Some(x) => same(&v["ratio"], x, &r.label),
                None => assert!(v["ratio"].is_null()),
            }
        }
    }
}

fn corrections(all: &Value, b: &Build, study: &Study) {
    let rows = list(all, "corrections");
    assert_eq!(rows.len(), b.weld_out.corrections.len());
    for (v, s) in rows.iter().zip(&study.weld.corrections) {
        assert_eq!(v["id"], s.id.as_str());
        for (g, (tube, _, verdict)) in list(v, "guard").iter().zip(&s.guarded) {
            assert_eq!(g["tube"], tube.as_str());
            assert_eq!(g["beads"], verdict.as_ref().unwrap().allows_plan());
        }
        match &s.plan {
            Ok(plan) => {
                let p = &v["plan"];
                let bead = plan.per_bead();
                spans(&p["per_bead"], [bead.low, bead.value, bead.high], &s.id);
                assert_eq!(p["lay"], s.advice.unwrap().lay);
                assert_eq!(list(p, "moves").len(), plan.moves().len());
                same(&p["spent_chance"]["value"], plan.chance_spent(), &s.id);
            }
            Err(why) => {
                assert!(v["plan"].is_null());
                assert_eq!(v["reason"], why.show(&Shop::default()));
            }
        }
    }
}

fn supply(all: &Value, study: &Study) {
    let s = &study.weld.supply;
    let rows = list(&all["supply"], "processes");
    assert_eq!(rows.len(), s.rows.len());
    for (v, r) in rows.iter().zip(&s.rows) {
        is(&v["metal"], "kg", r.filler.unwrap().metal, "metal");
        is(&v["seam"], "m", r.seam, "seam");
        if let Some(t) = r.arc_time {
            is(&v["arc_time"], "s", t, "arc time");
        }
    }
    let gas = &all["supply"]["gas"];
    match &s.gas {
        Ok(x) => {
            is(&gas["need"], "m³", x.need, "gas");
            is(&gas["usable"], "m³", x.usable, "gas");
        }
        Err(why) => assert_eq!(gas["reason"], why.show(&Shop::default())),
    }
}

#[test]
fn weld_as_text_says_it_in_shop_words() {
    let dir = folder();
    let shop = Shop::default();
    let b = load(&dir, "redshank.ron");
    let study = derive(&b);
    let text = say(&dir, "weld redshank.ron").well();
    let fine = |v: f64| units::format_fine(Kind::Length, v, &shop);
    let kept = |v: f64| units::format_kept(Kind::Length, v, &shop);
    for part in [
        "JOINTS",
        "CONTROL DIMENSIONS",
        "WELD ORDER",
        "THE SHOP'S RECORD",
        "CORRECTION BEADS",
        "FILLER AND GAS",
    ] {
        assert!(text.lines().any(|l| l.starts_with(part)), "{part}\n{text}");
    }
    for (j, s) in b.fit_up.joints.iter().zip(&study.fit_up.joints) {
        let at = text
            .find(&format!("\n{}  {} (", j.id, j.label))
            .expect(&j.id);
        let mine: Vec<&str> = text[at + 1..].lines().take(5).collect();
        let mine = mine.join("\n");
        let p = s.shrinkage.as_ref().unwrap();
        let pull = format!(
            "pulls in {} to {}, about {}: ",
            fine(p.low),
            fine(p.high),
            fine(p.point)
        );
        assert!(mine.contains(&pull), "{pull}\n{mine}");
        let range = mine.contains("outside every formula's range");
        assert_eq!(range, p.out_of_range, "{mine}");
        if let Ok(w) = &s.weld
            && w.seam_known
        {
            let kg = 7850.0 * w.welded.volume;
            let metal = format!("metal {}", show_to(Kind::Mass, kg, kg, &shop));
            assert!(mine.contains(&metal), "{metal}\n{mine}");
        }
        if let Some((gap, _)) = s.worst {
            assert!(mine.contains(&format!("gap {} worst", kept(gap))), "{mine}");
        }
    }
    for (d, s) in b.weld_out.dimensions.iter().zip(&study.weld.dimensions) {
        // 2 mm of the metric table is on no tape.
        let tolerance = s.tolerance.unwrap();
        let tolerance = match d.tolerance {
            build::Limit::Within(_) => kept(tolerance),
            build::Limit::Iso13920(_) => "0.079\"".to_owned(),
        };
        let head = format!(
            "{}  {}: {} ± {tolerance} (",
            d.id,
            d.label,
            kept(d.want.si())
        );
        assert!(text.contains(&head), "{head}");
        let p = s.whole.as_ref().unwrap();
        assert!(p.high < 0.0, "the sample's welds shorten everything");
        let change = format!(
            "welds change it by {} to {} shorter, about {} shorter",
            fine(-p.high),
            fine(-p.low),
            fine(-p.change)
        );
        assert!(text.contains(&change), "{change}");
        let set = s.set_long(units::step(Kind::Length, &shop)).unwrap();
        assert!(text.contains(&format!("set it {} long", kept(set))));
    }
    let advice = study.weld.corrections[0].advice.unwrap();
    assert!(
        text.contains(&format!("lay {} beads on ", advice.lay)),
        "{text}"
    );
    assert!(!text.contains(" mm"));
    // Every published estimate only when asked, each with its source.
    assert!(!text.contains("Spraragen"));
    let all = say(&dir, "weld redshank.ron --estimates").well();
    let estimates = study.fit_up.joints.iter();
    let n: usize = estimates
        .map(|s| s.shrinkage.as_ref().unwrap().estimates.len())
        .sum();
    let shown = all
        .lines()
        .filter(|l| l.contains("out of range  ") || l.contains("in range  "));
    assert_eq!(shown.count(), n);
    assert!(all.contains("Spraragen & Ettinger 1950") && all.contains("along the seam"));
    // The other system; a steel that gets no beads; what is wrong said where it is.
    let text = say(&dir, "weld whimbrel.ron --units metric").well();
    assert!(text.contains(" mm") && !text.contains('"'));
    assert!(
        text.contains("4130: no beads: chromium-molybdenum by name"),
        "{text}"
    );
    assert!(text.contains("no plan: 4130"));
    let text = say(&dir, "weld faulty.ron").well();
    for part in [
        "there is no part rail in the assembly",
        "no way from end to end: node loose is on no tube or plate",
        "without a tolerance",
        "moves it the wrong way",
        "the cylinder will not finish",
        "past the limit of",
    ] {
        assert!(text.contains(part), "{part}\n{text}");
    }
    say(&dir, "weld redshank.ron --json --estimates").trouble(&["--estimates"]);
}

#[test]
fn a_build_without_an_assembly_says_so_and_is_no_trouble() {
    let dir = folder();
    say(&dir, "new empty.ron").well();
    let text = say(&dir, "weld empty.ron").well();
    assert!(text.contains("No assembly is drawn"), "{text}");
    let all = json(&say(&dir, "weld empty.ron --json").well());
    assert_eq!(all["assembly"]["drawn"], false);
    for key in ["joints", "dimensions", "corrections", "materials"] {
        assert_eq!(list(&all, key).len(), 0, "{key}");
    }
    assert!(all["supply"]["gas"]["reason"].is_string());
    // A log without a drawing keeps its joints.
    let mut b = load(&dir, "redshank.ron");
    b.assembly = build::Assembly::default();
    b.weld_out = build::WeldOut::default();
    b.fit_up.joints.retain(|j| j.joins.is_none());
    file::save(&b, &dir.path().join("log.ron")).unwrap();
    let text = say(&dir, "weld log.ron").well();
    assert!(
        text.contains("No assembly is drawn") && text.contains("\nJ1  "),
        "{text}"
    );
    assert!(
        text.contains("Not counted, seam not known: J1, J2, J3, J4, J5"),
        "{text}"
    );
}

#[test]
fn gaps_go_to_a_table_and_come_back() {
    let dir = folder();
    let path = |name: &str| dir.path().join(name);
    for name in SAMPLES {
        for units in ["inch", "metric"] {
            let said = say(&dir, &format!("gaps {name} --out t.csv --units {units}")).well();
            assert_eq!(said, "t.csv\n");
            let before = fs::read(path(name)).unwrap();
            let said = say(&dir, &format!("gaps {name} --read t.csv --save")).well();
            assert_eq!(said, "Nothing changes.\n", "{name}");
            assert_eq!(fs::read(path(name)).unwrap(), before, "{name}");
        }
    }
    // A joint measured, one read again, one new: told first, kept only when asked.
    let before = fs::read(path("redshank.ron")).unwrap();
    let table = "joint,label,kind,leg,wall,clock,gap,who,when,note\n\
        J5,,,,,12,1/32 in,NK,2026-05-06 08:00,\nJ5,,,,,3,3/64 in,NK,2026-05-06 08:01,\n\
        J1,,,,,6,5/64 in,,,\nX1,Cross brace,coped tube,1/8 in,0.083 in,12,0.25 in,TB,,\n";
    fs::write(path("t.csv"), table).unwrap();
    let said = say(&dir, "gaps redshank.ron --read t.csv").well();
    for part in [
        "J5  Lateral bar bracket to crossmember: 2 readings, worst 3/64\" at 3 o'clock, in limit (had no readings)",
        "J1  Upper front bracket, left, to rail inside face: 1 reading, worst 5/64\"",
        "(had 4 readings)",
        "X1  Cross brace: 1 reading, worst 1/4\" at 12 o'clock, past the limit (new joint)",
        "Nothing was written: add --save",
    ] {
        assert!(said.contains(part), "{part}\n{said}");
    }
    assert_eq!(fs::read(path("redshank.ron")).unwrap(), before);
    let said = say(&dir, "gaps redshank.ron --read t.csv --save").well();
    assert!(said.ends_with("Saved in redshank.ron.\n"), "{said}");
    let after = load(&dir, "redshank.ron");
    let find = |id: &str| after.fit_up.joints.iter().find(|j| j.id == id).unwrap();
    assert_eq!(find("J5").gaps.len(), 2);
    assert_eq!(find("J5").when, "2026-05-06 08:01");
    assert_eq!(find("J1").gaps.len(), 1);
    assert_eq!(find("X1").who, "TB");
    // The file before it is kept as its backup, and no lock is left behind.
    assert_eq!(
        fs::read(file::backup_path(&path("redshank.ron"))).unwrap(),
        before
    );
    let lock = |e: &fs::DirEntry| e.file_name().to_string_lossy().contains("lock");
    let files = fs::read_dir(dir.path()).unwrap().map(Result::unwrap);
    assert_eq!(files.filter(lock).count(), 0);
    // What was saved is what was told.
    let said = say(&dir, "gaps redshank.ron --read t.csv").well();
    assert_eq!(said, "Nothing changes.\n");
}

#[test]
fn a_table_that_can_not_be_read_or_kept_changes_nothing() {
    let dir = folder();
    let path = |name: &str| dir.path().join(name);
    let before = fs::read(path("redshank.ron")).unwrap();
    let head = "joint,clock,gap\n";
    fs::write(
        path("unit.csv"),
        format!("{head}J1,3,1/32 in\n\nJ2,3,1/32\n"),
    )
    .unwrap();
    fs::write(path("joint.csv"), format!("{head}J77,3,1/32 in\n")).unwrap();
    fs::write(path("bytes.csv"), b"joint,clock,gap\nJ1,3,\xff\xfe in\n").unwrap();
    fs::write(path("big.csv"), "x".repeat((1 << 20) + 1)).unwrap();
    for (line, words) in [
        (
            "--read unit.csv --save",
            &["unit.csv, line 4, gap: ", "\"1/32\"", "bare number"] as &[&str],
        ),
        (
            "--read joint.csv --save",
            &["joint.csv, line 2, kind: ", "J77", "kind, leg and wall"],
        ),
        (
            "--read bytes.csv --save",
            &["bytes.csv: is not text from byte 21 on", "UTF-8"],
        ),
        (
            "--read big.csv --save",
            &["big.csv: is larger than 1048576 bytes"],
        ),
        (
            "--read none.csv --save",
            &["none.csv: there is no such file"],
        ),
        ("--read . --save", &["is a folder"]),
        (
            "--out ./redshank.ron",
            &["is the build itself", "nothing was written"],
        ),
        ("--out none/t.csv", &["none/t.csv", "could not be written"]),
        ("--out t.csv --save", &["--save"]),
        ("--out t.csv --read unit.csv", &["--out", "--read"]),
        ("", &["--out", "--read"]),
    ] {
        say(&dir, &format!("gaps redshank.ron {line}")).trouble(words);
        assert_eq!(fs::read(path("redshank.ron")).unwrap(), before, "{line}");
    }
    assert!(!path("t.csv").exists());
    // Open in a window: its save would be lost, or this one.
    fs::write(path("good.csv"), format!("{head}J1,3,1/16 in\n")).unwrap();
    let lock = file::lock(&path("redshank.ron")).unwrap();
    say(&dir, "gaps redshank.ron --read good.csv --save").trouble(&["open in another window"]);
    assert_eq!(fs::read(path("redshank.ron")).unwrap(), before);
    drop(lock);
    say(&dir, "gaps redshank.ron --read good.csv --save").well();
    assert_ne!(fs::read(path("redshank.ron")).unwrap(), before);
}
