//! The run log as a table: what is written reads back the same, and what a spreadsheet or a hand
//! makes of it is read or refused by the cell.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

use std::path::Path;

use build::run_table::{MAX_RUN_TABLE, RUN_COLUMNS, read, to_csv};
use build::{Build, Edit, History, RunEdit, RunRecord, RunSetting, RunTimes, Seen, file};
use proptest::prelude::*;
use units::{Fraction, Pressure, Ratio, RotationSpeed, Shop, Speed, System, Temperature, Time};

const METRIC: Shop = Shop {
    system: System::Si,
    fraction: Fraction::Sixteenth,
};

fn sample() -> Build {
    let samples = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples");
    file::load(&samples.join("redshank.ron")).unwrap()
}

#[test]
fn a_log_written_and_read_is_the_same_bit_for_bit() {
    let b = sample();
    assert!(b.run.log.len() >= 3);
    for shop in [Shop::default(), METRIC] {
        let runs = read(&to_csv(&b, &shop), &b).unwrap();
        assert_eq!(runs, b.run.log);
        let mut h = History::new(b.clone());
        h.apply(&Edit::Run(RunEdit::PutRuns(runs))).unwrap();
        assert_eq!(**h.build(), b);
        assert!(h.undo_label().is_none(), "nothing was changed");
    }
}

#[test]
fn the_text_is_what_a_person_would_write() {
    let text = to_csv(&sample(), &Shop::default());
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let head: Vec<String> = reader
        .headers()
        .unwrap()
        .iter()
        .map(str::to_owned)
        .collect();
    assert_eq!(head, RUN_COLUMNS);
    let row = reader.records().nth(1).unwrap().unwrap();
    let cell = |name: &str| &row[head.iter().position(|h| h == name).unwrap()];
    for (column, wanted) in [
        ("run", "R2"),
        ("launch", "3600 rpm"),
        ("shifts", "6200 rpm; 6200 rpm; 6200 rpm; 6200 rpm"),
        ("rear pressure", "14 psi"),
        ("front pressure", ""),
        ("60 ft", "1.96 s"),
        ("quarter", "12.05 s"),
        ("seen", "pulled right"),
        ("counts", "yes"),
    ] {
        assert_eq!(cell(column), wanted, "{column}");
    }
}

#[test]
fn a_known_run_keeps_its_setting_and_what_the_table_leaves_empty() {
    let b = sample();
    let text = "run,60 ft,quarter,seen\nR2,1.90,,spun; pulled left\n";
    let runs = read(text, &b).unwrap();
    let mut wanted = b.run.log[1].clone();
    wanted.times.sixty_foot = Some(Time::from_si(1.9));
    wanted.seen = vec![Seen::Spun, Seen::PulledLeft];
    assert_eq!(runs, [wanted]);
}

#[test]
fn an_unknown_run_is_made_at_the_present_setting_in_the_present_air() {
    let b = sample();
    let text = "run,when,launch,rear pressure,temperature,speed,counts\nT1,2026-07-01,4000,15 psi,68 °F,100 mph,x\n";
    let run = read(text, &b).unwrap().remove(0);
    let mut setting = RunSetting::of(&b);
    setting.launch = "4000 rpm".parse().unwrap();
    setting.rear_pressure = Some("15 psi".parse().unwrap());
    assert_eq!(run.setting, setting);
    assert_eq!(run.weather.pressure, b.run.weather.pressure);
    // 68 °F is 20 °C; 100 mph is 44.704 m/s by definition.
    assert!((run.weather.temperature.si() - 293.15).abs() < 1e-9);
    assert!((run.times.quarter_speed.unwrap().si() - 44.704).abs() < 1e-9);
    assert!(run.learn);
    assert!(run.times.quarter.is_none());
}

#[test]
fn spreadsheets_habits_are_read() {
    let b = sample();
    let wanted = read("run,60 ft\nR1,1.80 s\n", &b).unwrap();
    for text in [
        "\u{feff}run,60 ft\r\nR1,1.80 s\r\n",
        "Run , 60 FT\n R1 , 1.80 \n\n,\n",
        "60 ft,run\n1.8,R1",
        "\n\nrun,60 ft\nR1,\"1.80 s\"\n",
    ] {
        assert_eq!(read(text, &b).unwrap(), wanted, "{text:?}");
    }
}

#[track_caller]
fn refused(text: &str, line: Option<usize>, column: Option<&str>, says: &str) {
    let e = read(text, &sample()).unwrap_err();
    assert_eq!(e.line, line, "{e}");
    assert_eq!(e.column, column, "{e}");
    assert!(e.to_string().contains(says), "{e}");
    assert!(!e.to_string().chars().any(char::is_control), "{e:?}");
    assert!(e.in_file("X.csv").starts_with("X.csv"), "{e}");
}

#[test]
fn hostile_tables_are_refused_by_line_and_column() {
    refused("", None, None, "is empty");
    refused("\n\n", None, None, "is empty");
    refused(&" ".repeat(MAX_RUN_TABLE + 1), None, None, "right file?");
    refused("run;60 ft\nR1;2\n", Some(1), None, "semicolons");
    refused("run\t60 ft\nR1\t2\n", Some(1), None, "tabs");
    refused("run,60 fot\nR1,2\n", Some(1), None, "(\"60 ft\"?)");
    refused("run,run\nR1,R1\n", Some(1), Some("run"), "stands twice");
    refused("when,60 ft\nnow,2\n", Some(1), None, "\"run\" is missing");
    refused(
        "run,60 ft\n\nR1\n",
        Some(3),
        None,
        "1 cells where the head has 2",
    );
    refused(
        "run,60 ft\nR1,2,3\n",
        Some(2),
        None,
        "3 cells where the head has 2",
    );
    refused("run,60 ft\n,2\n", Some(2), Some("run"), "no run is named");
    refused(
        "run\n\"a\u{7}b\"\n",
        Some(2),
        Some("run"),
        "control characters",
    );
    refused("run\nR9\nR9\n", Some(3), Some("run"), "stands on line 2");
    refused("run,60 ft\nR1,soon\n", Some(2), Some("60 ft"), "");
    refused("run,60 ft\nR1,2 psi\n", Some(2), Some("60 ft"), "");
    refused(
        "run,60 ft\nR1,-2 s\n",
        Some(2),
        Some("60 ft"),
        "out of range",
    );
    refused("run,60 ft\nR1,0\n", Some(2), Some("60 ft"), "out of range");
    refused("run,quarter\nR1,1e9 s\n", Some(2), Some("quarter"), "");
    refused("run,quarter\nR1,NaN\n", Some(2), Some("quarter"), "");
    refused("run,quarter\nR1,inf s\n", Some(2), Some("quarter"), "");
    refused("run,speed\nR1,120\n", Some(2), Some("speed"), "");
    refused(
        "run,speed\nR1,9000 mph\n",
        Some(2),
        Some("speed"),
        "out of range",
    );
    refused(
        "run,rear pressure\nR1,14\n",
        Some(2),
        Some("rear pressure"),
        "",
    );
    refused(
        "run,humidity\nR1,145 %\n",
        Some(2),
        Some("humidity"),
        "out of range",
    );
    refused(
        "run,temperature\nR1,400 °C\n",
        Some(2),
        Some("temperature"),
        "out of range",
    );
    refused(
        "run,station pressure\nR1,30 psi\n",
        Some(2),
        Some("station pressure"),
        "out of range",
    );
    refused(
        "run,launch\nR1,5 rpm\n",
        Some(2),
        Some("launch"),
        "out of range",
    );
    refused("run,shifts\nR1,6200;;6300\n", Some(2), Some("shifts"), "");
    refused(
        "run,shifts\nR1,6200; 0 rpm\n",
        Some(2),
        Some("shifts"),
        "out of range",
    );
    let many = format!("run,shifts\nR1,{}6200\n", "6;".repeat(401));
    refused(&many, Some(2), Some("shifts"), "out of range");
    let many = format!("run,shifts\nR1,{}6200\n", "99;".repeat(401));
    refused(&many, Some(2), Some("shifts"), "shift speeds");
    refused(
        "run,seen\nR1,spun; puled left\n",
        Some(2),
        Some("seen"),
        "(\"pulled left\"?)",
    );
    refused(
        "run,counts\nR1,maybe\n",
        Some(2),
        Some("counts"),
        "neither yes nor no",
    );
    let long = format!("run,note\nR1,\"{}\n", "x".repeat(3000));
    refused(&long, Some(2), Some("note"), "quote that is not closed");
    let mut runs = String::from("run\n");
    for i in 0..2001 {
        runs += &format!("Q{i}\n");
    }
    // Three are in the log already.
    refused(&runs, Some(1999), None, "2000 runs");
    let esc = "run,seen\nR1,\u{1b}[31mred\n";
    refused(esc, Some(2), Some("seen"), "nothing the log knows");
}

#[test]
fn a_text_a_spreadsheet_would_compute_is_written_behind_an_apostrophe() {
    let mut b = sample();
    for note in [
        "=1+1",
        "@cmd",
        "-left",
        "'quoted",
        "+",
        "\t=x",
        "a, \"b\"\nc",
    ] {
        b.run.log[0].note = note.to_owned();
        b.run.log[0].setting.clicks = note.to_owned();
        let text = to_csv(&b, &Shop::default());
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        for row in reader.records() {
            for cell in &row.unwrap() {
                assert!(
                    !cell.starts_with(['=', '+', '-', '@', '\t', '\r']),
                    "{cell}"
                );
            }
        }
        assert_eq!(read(&text, &b).unwrap(), b.run.log, "{note:?}");
    }
}

fn times() -> impl Strategy<Value = RunTimes> {
    let time = || proptest::option::of((0.05..1000.0).prop_map(Time::from_si));
    let speed = proptest::option::of((1.0..300.0).prop_map(Speed::from_si));
    (time(), time(), time(), time(), time(), time(), speed).prop_map(
        |(sixty_foot, three_thirty, eighth, thousand, quarter, zero_sixty, quarter_speed)| {
            RunTimes {
                sixty_foot,
                three_thirty,
                eighth,
                thousand,
                quarter,
                quarter_speed,
                zero_sixty,
            }
        },
    )
}

fn run() -> impl Strategy<Value = RunRecord> {
    let tyre = || proptest::option::of((0.0..2e6).prop_map(Pressure::from_si));
    (
        times(),
        (10.0..2500.0, proptest::collection::vec(1.0..3000.0, 1..6)),
        (tyre(), tyre()),
        (200.0..340.0, 4e4..1.15e5, 0.0..1.0),
        proptest::sample::subsequence(Seen::ALL.to_vec(), 0..=7),
        ("[ -~]{0,20}", "[ -~]{0,20}", any::<bool>()),
    )
        .prop_map(
            |(times, (launch, shifts), (rear, front), air, seen, (note, place, learn))| {
                let mut run = sample().run.log[0].clone();
                run.times = times;
                run.setting.launch = RotationSpeed::from_si(launch);
                run.setting.shifts = shifts.into_iter().map(RotationSpeed::from_si).collect();
                run.setting.rear_pressure = rear;
                run.setting.front_pressure = front;
                run.weather.temperature = Temperature::from_si(air.0);
                run.weather.pressure = Pressure::from_si(air.1);
                run.weather.humidity = Ratio::from_si(air.2);
                run.seen = seen;
                run.note = note.trim().to_owned();
                run.place = place.trim().to_owned();
                run.learn = learn;
                run
            },
        )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn any_run_is_read_into_an_empty_log_as_it_was(run in run(), metric: bool) {
        let mut b = sample();
        b.run.log = vec![run.clone()];
        let shop = if metric { METRIC } else { Shop::default() };
        let text = to_csv(&b, &shop);
        // Into the same log with the values gone: all of them come from the table.
        let mut bare = b.clone();
        let r = &mut bare.run.log[0];
        r.times = RunTimes::default();
        r.seen.clear();
        r.note.clear();
        r.place.clear();
        r.setting.shifts.clear();
        r.setting.rear_pressure = None;
        r.setting.front_pressure = None;
        r.setting.launch = RotationSpeed::from_si(100.0);
        r.weather = b.run.weather;
        r.learn = !run.learn;
        prop_assert_eq!(read(&text, &bare).unwrap(), vec![run]);
    }

    #[test]
    fn no_text_brings_it_down(text in "(run|60 ft|seen|R1|,|;|\"|\n|\r|'|=|9|psi|.){0,40}") {
        if let Err(e) = read(&text, &sample()) {
            prop_assert!(!e.to_string().is_empty());
        }
    }
}
