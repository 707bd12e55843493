//! The commands about the run down the strip and its log, as a process of their own.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod program;

use std::fs;
use std::path::Path;

use build::{Build, RunLimit, StripMark, Study, derive, file};
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

fn load(dir: &TempDir, name: &str) -> Build {
    file::load(&dir.path().join(name)).unwrap()
}

fn json(text: &str) -> Value {
    serde_json::from_str(text).unwrap()
}

fn list<'a>(v: &'a Value, key: &str) -> &'a Vec<Value> {
    v[key].as_array().unwrap_or_else(|| panic!("{key}: {v}"))
}

/// A quantity object: its value, unit and words.
#[track_caller]
fn is(v: &Value, unit: &str, si: f64, what: &str) {
    let a = v["value"]
        .as_f64()
        .unwrap_or_else(|| panic!("{what}: {v} has no value"));
    assert!(
        (a - si).abs() <= 1e-12 * (1.0 + si.abs()),
        "{what}: {a} for {si}"
    );
    assert_eq!(v["unit"], unit, "{what}");
    assert!(v["display"].is_string(), "{what}: {v}");
}

#[test]
fn run_as_json_is_the_study() {
    let dir = folder();
    for name in SAMPLES {
        for units in ["inch", "metric"] {
            let b = load(&dir, name);
            let study = derive(&b);
            let all = json(&say(&dir, &format!("run {name} --json --units {units}")).well());
            assert_eq!(all["build"], b.name.as_str());
            let readings = list(&all, "readings");
            let mine = study.readings.iter().filter(|r| r.id().starts_with("run."));
            assert_eq!(readings.len(), mine.clone().count());
            for (v, r) in readings.iter().zip(mine) {
                assert_eq!(v["id"], r.id().as_ref());
                match &r.value {
                    Ok(x) => is(v, r.kind().si_unit(), *x, &r.id()),
                    Err(why) => assert_eq!(v["reason"], why.to_string()),
                }
            }
            match &study.run.run {
                Ok(_) => the_run(&all, &study),
                Err(why) => {
                    assert!(all["run"].is_null());
                    assert_eq!(all["reason"], why.show(&units::Shop::default()));
                }
            }
        }
    }
    // A test of nothing else than missing runs would prove little.
    assert!(derive(&load(&dir, "redshank.ron")).run.run.is_ok());
}

fn the_run(all: &Value, study: &Study) {
    let r = study.run.run.as_ref().unwrap();
    let v = &all["run"];
    for (m, mark) in list(v, "marks").iter().zip(StripMark::ALL) {
        is(&m["clock"], "s", r.slip.clock(mark), "clock");
        let feet = m["distance"]["value"].as_f64().unwrap() / 0.3048;
        assert!(
            [60.0, 330.0, 660.0, 1000.0, 1320.0]
                .iter()
                .any(|f| (feet - f).abs() < 1e-9)
        );
        is(&m["speed"], "m/s", r.slip.speed[mark.index()], "speed");
    }
    is(&v["quarter_speed"], "m/s", r.slip.quarter_trap, "trap");
    is(
        &v["peak"]["acceleration"],
        "m/s²",
        r.peak.acceleration,
        "peak",
    );
    let limits = list(v, "limits");
    let shares = limits.iter().map(|l| l["share"]["value"].as_f64().unwrap());
    assert!(
        (shares.sum::<f64>() - 1.0).abs() < 1e-9,
        "shares of the run"
    );
    for (x, l) in limits.iter().zip(RunLimit::ALL) {
        is(&x["time"], "s", r.seconds(l), &l.to_string());
        assert_eq!(x["limit"], l.to_string());
    }
    assert_eq!(list(v, "events").len(), r.events.len());
    assert_eq!(list(v, "stops").len(), r.stops.len());
    is(
        &v["extremes"]["nose_up_max"],
        "rad",
        r.extremes.nose_up_max.value,
        "nose up",
    );
    // The engine's work is what became of it, to a thousandth (engineering check of the run).
    let e = |key: &str| v["energy"][key]["value"].as_f64().unwrap();
    let spent = [
        "slip_and_held",
        "driveline",
        "drag",
        "rolling",
        "rotating",
        "engine_rotor",
        "kinetic",
    ];
    let spent: f64 = spent.into_iter().map(e).sum();
    assert!((e("engine") - spent).abs() < 1e-3 * e("engine"));
    // The air of the run by hand: ideal gas, Magnus.
    let w = &all["weather"];
    let at = |key: &str| w[key]["value"].as_f64().unwrap();
    let (t, p, rh) = (at("temperature"), at("pressure"), at("humidity"));
    let c = t - 273.15;
    let vapour = rh * 610.94 * (17.625 * c / (c + 243.04)).exp();
    let density = (p - vapour) / (287.05 * t) + vapour / (461.5 * t);
    let said = v["air"]["density"]["value"].as_f64().unwrap();
    assert!((said - density).abs() < 1e-9, "{said} for {density}");
    let plan = study.run.plan().unwrap();
    for (x, bar) in list(all, "uncertainty").iter().zip(&plan.bars) {
        // Reading a decimal back may cost the last digit.
        assert!((x["sigma"].as_f64().unwrap() - bar.sigma).abs() < 1e-14);
        // Independent inputs: root of the sum of squares.
        let from = list(x, "from").iter().map(|c| c["value"].as_f64().unwrap());
        let sum: f64 = from.map(|v| v * v).sum();
        assert!((sum.sqrt() - bar.sigma).abs() < 1e-12);
    }
    assert_eq!(list(all, "sensitivities").len(), 11);
    for (x, c) in list(all, "changes").iter().zip(&plan.changes) {
        assert_eq!(x["input"], c.parameter.to_string());
        assert_eq!(x["meets"], c.meets);
        is(&x["then"], "s", c.then, "then");
    }
    let g = study.run.goal.as_ref().unwrap();
    is(&all["goal"]["too_slow_by"], "s", g.over.unwrap(), "over");
}

#[test]
fn run_as_text_says_it_in_shop_words() {
    let dir = folder();
    let b = load(&dir, "redshank.ron");
    let study = derive(&b);
    let r = study.run.run.as_ref().unwrap();
    let text = say(&dir, "run redshank.ron").well();
    for part in [
        "TIME SLIP",
        "LIMITS",
        "EVENTS",
        "EXTREMES",
        "ENERGY",
        "GOAL",
        "WHAT MOVES THE TIMES",
        "AIR",
        "WEIGHING",
    ] {
        assert!(text.lines().any(|l| l.starts_with(part)), "{part}\n{text}");
    }
    let line = |head: &str| {
        let found = text.lines().find(|l| l.starts_with(head));
        found.unwrap_or_else(|| panic!("{head}\n{text}"))
    };
    let plan = study.run.plan().unwrap();
    let sixty = plan.bars.first().unwrap();
    let said = line("60 ft");
    assert!(
        said.contains(&format!("{:.2} s  ± {:.2} s", sixty.value, sixty.sigma)),
        "{said}"
    );
    assert!(line("0–60 mph  ").contains(&format!("{:.2} s", r.slip.zero_sixty.unwrap())));
    assert!(
        line("0–60 mph with rollout")
            .contains(&format!("{:.2} s", r.slip.zero_sixty_rollout().unwrap()))
    );
    assert!(line("traction").contains(&format!("{:.2} s", r.seconds(RunLimit::Traction))));
    let easiest = plan.easiest().unwrap();
    assert!(line("Easiest change").contains(&easiest.parameter.to_string()));
    assert!(text.contains("Closed course only") && text.contains("not a promise"));
    assert!(!text.contains(" mm") && text.contains(" ft"));
    let text = say(&dir, "run redshank.ron --units metric").well();
    assert!(
        text.contains(" mm") && text.contains(" kJ") && !text.contains('"'),
        "{text}"
    );
}

#[test]
fn run_as_csv_is_the_history() {
    let dir = folder();
    let study = derive(&load(&dir, "redshank.ron"));
    let r = study.run.run.as_ref().unwrap();
    for (units, heads, foot, mph) in [
        (
            "inch",
            ["distance, ft", "speed, mph", "front travel, in"],
            1.0,
            2.236_936_292,
        ),
        (
            "metric",
            ["distance, m", "speed, km/h", "front travel, mm"],
            0.3048,
            3.6,
        ),
    ] {
        let text = say(&dir, &format!("run redshank.ron --csv --units {units}")).well();
        let mut table = csv::Reader::from_reader(text.as_bytes());
        let head: Vec<String> = table.headers().unwrap().iter().map(str::to_owned).collect();
        for h in heads {
            assert!(head.iter().any(|x| x == h), "{h}: {head:?}");
        }
        let column = |what: &str| head.iter().position(|h| h.starts_with(what)).unwrap();
        let (time, way, speed) = (column("time"), column("distance"), column("speed"));
        let rows: Vec<csv::StringRecord> = table.records().map(Result::unwrap).collect();
        assert_eq!(rows.len(), (r.duration() * 100.0) as usize + 1);
        let number = |row: &csv::StringRecord, k: usize| row[k].parse::<f64>().unwrap();
        // The way is the speed added up (trapezoids), from the line to a hundredth before the finish.
        let mut sum = 0.0;
        for (k, pair) in rows.windows(2).enumerate() {
            let (a, b) = (&pair[0], &pair[1]);
            assert!((number(a, time) - 0.01 * k as f64).abs() < 1e-6);
            sum += 0.005 * (number(a, speed) + number(b, speed)) / mph;
            let metres = number(b, way) / foot * 0.3048;
            assert!(
                (sum - metres).abs() < 0.01 + 1e-3 * metres,
                "{sum} {metres}"
            );
        }
        let last = number(rows.last().unwrap(), way) / foot;
        assert!((1317.0..=1320.0).contains(&last), "{last}");
        let limits = column("limit");
        for l in ["drive", "traction", "shift"] {
            assert!(rows.iter().any(|r| &r[limits] == l), "{l}");
        }
    }
    say(&dir, "run redshank.ron --csv --json").trouble(&["--csv", "--json"]);
}

#[test]
fn a_build_without_a_run_says_what_is_missing() {
    let dir = folder();
    say(&dir, "new empty.ron").well();
    let text = say(&dir, "run empty.ron").well();
    assert!(text.contains("NO RUN\nMissing: "), "{text}");
    assert!(
        text.contains("torque curve") && text.contains("GOAL\nNone is set."),
        "{text}"
    );
    let all = json(&say(&dir, "run empty.ron --json").well());
    assert!(all["run"].is_null() && all["reason"].is_string(), "{all}");
    assert!(all["plan_reason"].is_string());
    say(&dir, "run empty.ron --csv").trouble(&["there is no run", "torque curve"]);
    let text = say(&dir, "log empty.ron").well();
    assert!(text.contains("No run is logged."), "{text}");
    let all = json(&say(&dir, "log empty.ron --json").well());
    assert_eq!(list(&all, "runs").len(), 0);
    assert!(all["friction"].is_null());
    // Tyres that hold next to nothing: the engine is there, the run is given up after a minute.
    let mut b = load(&dir, "redshank.ron");
    b.power.friction = units::Count::from_si(0.05);
    file::save(&b, &dir.path().join("ice.ron")).unwrap();
    let text = say(&dir, "run ice.ron").well();
    assert!(text.contains("NO RUN\nMissing: "), "{text}");
}

#[test]
fn log_is_the_log_beside_the_model() {
    let dir = folder();
    let b = load(&dir, "redshank.ron");
    let study = derive(&b);
    let log = study.run.log();
    assert!(b.run.log.len() > 1);
    let all = json(&say(&dir, "log redshank.ron --json").well());
    let runs = list(&all, "runs");
    assert_eq!(runs.len(), b.run.log.len());
    for ((v, r), p) in runs.iter().zip(&b.run.log).zip(log.iter()) {
        assert_eq!(v["id"], r.id.as_str());
        let measured = r.times.sixty_foot.unwrap().si();
        let model = p.slip.as_ref().unwrap().clock(StripMark::SixtyFoot);
        is(&v["measured"]["run.sixty_foot"], "s", measured, &r.id);
        is(&v["predicted"]["run.sixty_foot"], "s", model, &r.id);
        is(
            &v["difference"]["run.sixty_foot"],
            "s",
            measured - model,
            &r.id,
        );
        let fit = p.friction.as_ref().unwrap().as_ref().unwrap();
        is(&v["friction"], "1", fit.friction, &r.id);
        assert_eq!(v["counts"], r.learn);
        // Not measured, so no difference either.
        assert_eq!(
            r.times.three_thirty.is_some(),
            !v["difference"]["run.three_thirty"].is_null()
        );
    }
    // Together by hand: inverse variances of the runs that count.
    let (mut weights, mut sum) = (0.0, 0.0);
    for (v, r) in runs.iter().zip(&b.run.log).filter(|(_, r)| r.learn) {
        let f = &v["friction"];
        let weight = f["sigma"].as_f64().unwrap().powi(-2);
        assert!(weight > 0.0, "{}", r.id);
        weights += weight;
        sum += weight * f["value"].as_f64().unwrap();
    }
    let fitted = &all["friction"]["fitted"];
    assert!((fitted["value"].as_f64().unwrap() - sum / weights).abs() < 1e-9);
    assert!((fitted["sigma"].as_f64().unwrap() - weights.powf(-0.5)).abs() < 1e-9);
    assert!(runs[0]["changed"].is_null());
    let changed = list(&runs[1], "changed");
    assert!(!changed.is_empty());
    let text = say(&dir, "log redshank.ron").well();
    for r in &b.run.log {
        assert!(text.contains(&format!("\n{}  ", r.id)), "{text}");
        for s in &r.seen {
            assert!(text.contains(s.words()), "{text}");
        }
    }
    for c in changed {
        let (what, is, was) = (&c["what"], &c["is"], &c["was"]);
        let line = format!(
            "  {}: {}, was {} in {}",
            what.as_str().unwrap(),
            is.as_str().unwrap(),
            was.as_str().unwrap(),
            b.run.log[0].id
        );
        assert!(text.contains(&line), "{line}\n{text}");
    }
    assert!(text.contains("all together: "), "{text}");
    // A setting that is the same is said to be.
    let mut b = b;
    let mut again = b.run.log[0].clone();
    again.id = "R0".into();
    b.run.log.insert(0, again);
    file::save(&b, &dir.path().join("same.ron")).unwrap();
    let text = say(&dir, "log same.ron").well();
    assert!(text.contains("set as in R0"), "{text}");
}
