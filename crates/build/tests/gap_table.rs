//! The fit-up log as a table: what is written reads back the same, and what a spreadsheet or a
//! hand makes of it is read or refused by the cell.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

use std::path::Path;

use build::gap_table::{MAX_GAP_ROWS, MAX_GAP_TABLE, read, to_csv};
use build::{Build, Edit, Gap, History, Joint, JointKind, WeldEdit, file};
use proptest::prelude::*;
use units::{Fraction, Length, Shop, System};

const METRIC: Shop = Shop {
    system: System::Si,
    fraction: Fraction::Sixteenth,
};

fn sample(name: &str) -> Build {
    let samples = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples");
    file::load(&samples.join(name)).unwrap()
}

fn inch(i: f64) -> Length {
    Length::from_inches(i)
}

/// Two joints: one with two readings, one with none.
fn small() -> Build {
    let mut b = Build::empty("Small");
    let mut j1 = Joint::new(
        "J1",
        "Left tower",
        JointKind::Cope,
        inch(0.083),
        inch(0.125),
    );
    j1.gaps = vec![
        Gap {
            clock: 12.0,
            gap: inch(1.0 / 32.0),
        },
        Gap {
            clock: 3.0,
            gap: inch(1.0 / 64.0),
        },
    ];
    j1.who = "NK".to_owned();
    j1.note = "Second cut".to_owned();
    let tee = JointKind::Tee { fillets: 2 };
    let j2 = Joint::new("J2", "Right tower", tee, inch(0.25), inch(0.1875));
    b.fit_up.joints = vec![j1, j2];
    b
}

#[track_caller]
fn same_bits(a: &[Gap], b: &[Gap]) {
    let bits = |g: &[Gap]| -> Vec<(u64, u64)> {
        g.iter()
            .map(|g| (g.clock.to_bits(), g.gap.si().to_bits()))
            .collect()
    };
    assert_eq!(bits(a), bits(b));
}

fn apply(b: &Build, joints: Vec<Joint>) -> Build {
    let mut h = History::new(b.clone());
    h.apply(&Edit::Weld(WeldEdit::ReplaceGaps(joints))).unwrap();
    Build::clone(h.build())
}

#[test]
fn every_sample_written_and_read_is_the_same_bit_for_bit() {
    for name in ["redshank.ron", "whimbrel.ron", "faulty.ron"] {
        let b = sample(name);
        for shop in [Shop::default(), METRIC] {
            let table = to_csv(&b, &shop);
            let joints = read(&table, &b).unwrap();
            assert_eq!(joints.len(), b.fit_up.joints.len());
            for (a, x) in joints.iter().zip(&b.fit_up.joints) {
                same_bits(&a.gaps, &x.gaps);
            }
            assert_eq!(joints, b.fit_up.joints, "{name}");
            assert_eq!(apply(&b, joints), b);
        }
    }
}

#[test]
fn a_table_says_what_people_write_one_row_a_reading() {
    let table = to_csv(&small(), &Shop::default());
    let lines: Vec<&str> = table.lines().collect();
    assert_eq!(
        lines,
        [
            "joint,label,kind,leg,wall,clock,gap,who,when,note",
            "J1,Left tower,coped tube,1/8 in,0.083 in,12,1/32 in,NK,,Second cut",
            "J1,Left tower,coped tube,1/8 in,0.083 in,3,1/64 in,NK,,",
            "J2,Right tower,\"tee, two fillets\",3/16 in,1/4 in,,,,,",
        ]
    );
    let mut metric = small();
    metric.fit_up.joints[0].gaps[0].gap = Length::from_mm(0.8);
    assert!(to_csv(&metric, &METRIC).contains(",0.8 mm,"));
}

proptest! {
    #[test]
    fn any_gaps_and_texts_come_back(
        gaps in prop::collection::vec((0.0..=12.0f64, 0.0..=0.1f64), 0..30),
        label in "\\PC{0,20}", who in "['=+@\t-]{0,4}[a-z]{0,3}", note in "[ -~\n]{0,30}",
        metric: bool,
    ) {
        let mut b = small();
        let j = &mut b.fit_up.joints[0];
        j.gaps = gaps.iter().map(|(c, g)| Gap { clock: *c, gap: Length::from_si(*g) }).collect();
        j.label = label;
        j.who = who.clone();
        j.note = note;
        let shop = if metric { METRIC } else { Shop::default() };
        let table = to_csv(&b, &shop);
        let joints = read(&table, &b).unwrap();
        same_bits(&joints[0].gaps, &b.fit_up.joints[0].gaps);
        prop_assert_eq!(&joints, &b.fit_up.joints);
        // No cell is a formula to a spreadsheet.
        let mut reader = csv::Reader::from_reader(table.as_bytes());
        for cell in reader.records().flat_map(|r| r.unwrap().iter().map(str::to_owned).collect::<Vec<_>>()) {
            prop_assert!(!cell.starts_with(['=', '+', '-', '@']) || cell.parse::<f64>().is_ok(), "{}", cell);
        }
    }

    #[test]
    fn any_text_is_read_or_refused(text in "\\PC{0,200}", tail in "[-a-z0-9,;\"'\n\r/. ]{0,200}") {
        let b = small();
        let _ = read(&text, &b);
        let _ = read(&format!("joint,clock,gap\n{tail}"), &b);
    }
}

const HEAD: &str = "joint,label,kind,leg,wall,clock,gap,who,when,note\n";

#[test]
fn cells_that_a_hand_or_a_spreadsheet_makes_are_read() {
    let b = small();
    // Head in any order and case, a byte order mark, other line ends, empty rows, feet marks.
    let table = "\u{feff}Gap, CLOCK ,Joint\r\n\r\n1/16 in,10:30,J1\r\n,,\r\n\"3/64\"\"\",9 o'clock,J1\r\n0.5mm,4.5,J2\r\n";
    let joints = read(table, &b).unwrap();
    assert_eq!(joints.len(), 2);
    same_bits(
        &joints[0].gaps,
        &[
            Gap {
                clock: 10.5,
                gap: inch(1.0 / 16.0),
            },
            Gap {
                clock: 9.0,
                gap: inch(3.0 / 64.0),
            },
        ],
    );
    assert_eq!(joints[0].who, "NK", "an empty cell keeps what is there");
    assert_eq!(joints[0].note, "Second cut");
    same_bits(
        &joints[1].gaps,
        &[Gap {
            clock: 4.5,
            gap: Length::from_mm(0.5),
        }],
    );
    // Who, when and note of the readings; several notes are kept side by side.
    let table = format!(
        "{HEAD}J2,,tee 2,,,3,0 in,TB,2026-05-04,rocks\nJ2,,Tee two fillets,,,6,0 in,NK,2026-05-05,'=shim\n"
    );
    let j = &read(&table, &b).unwrap()[0];
    assert_eq!(
        (j.who.as_str(), j.when.as_str(), j.note.as_str()),
        ("NK", "2026-05-05", "rocks; =shim")
    );
    assert_eq!(j.leg, inch(0.1875));
    // A joint without clock and gap keeps its readings; only the head changes nothing.
    let kept = read("joint,clock,gap\nJ1,,\n", &b).unwrap();
    assert_eq!(kept, b.fit_up.joints[..1]);
    assert_eq!(read("joint,clock,gap\n", &b).unwrap(), []);
}

#[test]
fn a_joint_that_is_not_in_the_log_is_added() {
    let b = small();
    let table = format!(
        "{HEAD}J9,Cross brace,cope,1/8 in,0.083 in,12,1/32 in,NK,,\nJ9,,,,,6,0 in,,,\nB1,,butt,,3/16 in,,,,,\n"
    );
    let joints = read(&table, &b).unwrap();
    let after = apply(&b, joints);
    let ids: Vec<&str> = after.fit_up.joints.iter().map(|j| j.id.as_str()).collect();
    assert_eq!(ids, ["J1", "J2", "J9", "B1"]);
    let j9 = &after.fit_up.joints[2];
    assert_eq!(
        (j9.kind, j9.leg, j9.wall),
        (JointKind::Cope, inch(0.125), inch(0.083))
    );
    assert_eq!((j9.label.as_str(), j9.gaps.len()), ("Cross brace", 2));
    assert_eq!(
        after.fit_up.joints[3].label, "B1",
        "without a label its name"
    );
    assert_eq!(after.fit_up.joints[..2], b.fit_up.joints[..2]);
}

#[test]
fn a_bad_cell_is_refused_by_line_and_column_with_what_to_write() {
    let b = small();
    let row = |cells: &str| format!("{HEAD}J1,,,,,3,0 in,,,\n\n{cells}\n");
    let many = |n: usize, row: &str| format!("{HEAD}{}", row.repeat(n));
    let long = "x".repeat(2001);
    // The text; where it is refused; words of the message.
    let cases: [(&str, String, &str, &[&str]); 34] = [
        (
            "empty",
            String::new(),
            "X.csv: ",
            &["empty", "joint,label,kind"],
        ),
        ("only blank lines", "\n\n".to_owned(), "X.csv: ", &["empty"]),
        (
            "semicolons",
            "joint;clock;gap\nJ1;3;0 in\n".to_owned(),
            "X.csv, line 1: ",
            &["semicolons", "commas"],
        ),
        (
            "tabs",
            "joint\tclock\tgap\n".to_owned(),
            "X.csv, line 1: ",
            &["tabs"],
        ),
        (
            "unknown column",
            "joint,clok,gap\n".to_owned(),
            "X.csv, line 1: ",
            &["\"clok\"", "(\"clock\"?)"],
        ),
        (
            "a column twice",
            "joint,gap,clock,gap\n".to_owned(),
            "X.csv, line 1, gap: ",
            &["twice"],
        ),
        (
            "no gap column",
            "joint,clock\n".to_owned(),
            "X.csv, line 1: ",
            &["\"gap\" is missing"],
        ),
        (
            "no head",
            "J1,3,0 in\n".to_owned(),
            "X.csv, line 1: ",
            &["\"j1\" is no column"],
        ),
        (
            "short row",
            row("J1,,,,,3"),
            "X.csv, line 4: ",
            &["6 cells", "10"],
        ),
        (
            "long row",
            row("J1,,tee, two fillets,,,3,0 in,,,"),
            "X.csv, line 4: ",
            &["11 cells", "quotes"],
        ),
        (
            "open quote",
            row("\"J1,,,,,3,0 in,,,\nJ2,,,,,3,0 in,,,"),
            "X.csv, line 4: ",
            &["1 cells", "quote that is not closed"],
        ),
        (
            "no joint",
            row(",,,,,3,0 in,,,"),
            "X.csv, line 4, joint: ",
            &["no joint is named", "J1"],
        ),
        (
            "unknown joint",
            row("J11,,,,,3,0 in,,,"),
            "X.csv, line 4, kind: ",
            &[
                "\"J11\" is not in the log",
                "(\"J1\"?)",
                "kind, leg and wall",
                "kind is empty",
            ],
        ),
        (
            "unknown joint, half described",
            row("Q,,cope,1/8 in,,3,0 in,,,"),
            "X.csv, line 4, wall: ",
            &["\"Q\"", "wall is empty"],
        ),
        (
            "new joint, bad kind",
            row("Q,,scarf,1/8 in,1/8 in,3,0 in,,,"),
            "X.csv, line 4, kind: ",
            &["\"scarf\"", "cope", "tee, one fillet"],
        ),
        (
            "which tee",
            row("Q,,tee,1/8 in,1/8 in,3,0 in,,,"),
            "X.csv, line 4, kind: ",
            &["tee, two fillets"],
        ),
        (
            "new joint, wall too thin",
            row("Q,,cope,1/8 in,0.001 in,3,0 in,,,"),
            "X.csv, line 4, wall: ",
            &["0.001 in", "0.2 mm"],
        ),
        (
            "new joint, huge leg",
            row("Q,,cope,1 ft,1/8 in,3,0 in,,,"),
            "X.csv, line 4, leg: ",
            &["1 ft", "100 mm"],
        ),
        (
            "new joint, name of control characters",
            row("Q\u{1b}[31m,,cope,1/8 in,1/8 in,3,0 in,,,"),
            "X.csv, line 4, joint: ",
            &["control characters"],
        ),
        (
            "new joint that changes its wall",
            format!("{HEAD}Q,,cope,1/8 in,1/8 in,3,0 in,,,\nQ,,,,1/4 in,6,0 in,,,\n"),
            "X.csv, line 3, wall: ",
            &["1/4 in", "Q has", "1/8 in"],
        ),
        (
            "another label",
            row("J1,Right tower,,,,3,0 in,,,"),
            "X.csv, line 4, label: ",
            &["Right tower", "Left tower", "the right joint?"],
        ),
        (
            "another kind",
            row("J1,,lap,,,3,0 in,,,"),
            "X.csv, line 4, kind: ",
            &["lap", "cope"],
        ),
        (
            "another leg",
            row("J1,,,3/16 in,,3,0 in,,,"),
            "X.csv, line 4, leg: ",
            &["3/16 in", "1/8 in"],
        ),
        (
            "gap without unit",
            row("J1,,,,,3,1/32,,,"),
            "X.csv, line 4, gap: ",
            &["\"1/32\"", "bare number", "write it like"],
        ),
        (
            "gap in pounds",
            row("J1,,,,,3,1 lb,,,"),
            "X.csv, line 4, gap: ",
            &["\"1 lb\""],
        ),
        (
            "a date for a gap",
            row("J1,,,,,3,32-Jan,,,"),
            "X.csv, line 4, gap: ",
            &["32-Jan"],
        ),
        (
            "a gap that steers the terminal",
            row("J1,,,,,3,\u{1b}[31m1 in\u{7},,,"),
            "X.csv, line 4, gap: ",
            &["[31m1 in"],
        ),
        (
            "negative gap",
            row("J1,,,,,3,'-1/32 in,,,"),
            "X.csv, line 4, gap: ",
            &["-1/32 in is out of range", "0 in"],
        ),
        (
            "gap of a foot",
            row("J1,,,,,3,1 ft,,,"),
            "X.csv, line 4, gap: ",
            &["1 ft", "100 mm"],
        ),
        (
            "gap without clock",
            row("J1,,,,,,1/32 in,,,"),
            "X.csv, line 4, clock: ",
            &["no place"],
        ),
        (
            "clock without gap",
            row("J1,,,,,3,,,,"),
            "X.csv, line 4, gap: ",
            &["no gap was read"],
        ),
        (
            "thirteen o'clock",
            row("J1,,,,,13,0 in,,,"),
            "X.csv, line 4, clock: ",
            &["\"13\"", "0 to 12"],
        ),
        (
            "long cell",
            row(&format!("J1,,,,,3,0 in,,,{long}")),
            "X.csv, line 4, note: ",
            &["2001 characters"],
        ),
        (
            "121 readings",
            many(121, "J1,,,,,3,0 in,,,\n"),
            "X.csv, line 122, joint: ",
            &["more than 120 readings"],
        ),
    ];
    for (what, text, at, words) in cases {
        let e = read(&text, &b).expect_err(what).in_file("X.csv");
        assert!(e.starts_with(at), "{what}: {e}");
        for w in words {
            assert!(e.contains(w), "{what}: {w:?} is not said: {e}");
        }
        assert!(
            !e.contains(char::is_control) && e.chars().count() < 400,
            "{what}: {e}"
        );
    }
    for clock in [
        "NaN", "inf", "-1", "1e400", "10:75", "10:3", "noon", "3,5", "12.01", "13:00",
    ] {
        let e = read(&row(&format!("J1,,,,,\"{clock}\",0 in,,,")), &b).unwrap_err();
        assert_eq!((e.line, e.column), (Some(4), Some("clock")), "{clock}: {e}");
    }
}

#[test]
fn a_table_too_large_is_not_looked_at() {
    let b = small();
    let big = format!("{HEAD}{}", ",".repeat(MAX_GAP_TABLE));
    let e = read(&big, &b).unwrap_err().in_file("X.csv");
    assert!(
        e.starts_with("X.csv: it is ") && e.contains("at most 1048576"),
        "{e}"
    );
    // As many rows as are read, over many joints; one more is refused.
    let rows = |n: usize| {
        let mut t = "joint,kind,leg,wall,clock,gap\n".to_owned();
        for i in 0..n {
            let joint = format!("Q{}", i / 100);
            t += &format!("{joint},lap,3mm,3mm,3,0in\n");
        }
        t
    };
    assert_eq!(read(&rows(MAX_GAP_ROWS), &b).unwrap().len(), 200);
    let e = read(&rows(MAX_GAP_ROWS + 1), &b).unwrap_err();
    assert_eq!(e.line, Some(MAX_GAP_ROWS + 2));
    // More joints than a build holds.
    let joints: String = (0..2001).map(|i| format!("Q{i},lap,3mm,3mm,,\n")).collect();
    let e = read(&format!("joint,kind,leg,wall,clock,gap\n{joints}"), &b).unwrap_err();
    assert!(e.to_string().contains("more than 2000 joints"), "{e}");
}
