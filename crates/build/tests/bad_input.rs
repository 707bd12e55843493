//! Broken files and fields: each is refused, and the message says what, where and what to do.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

use std::path::Path;

use build::{
    Along, Bracket, Build, Check, CheckKind, Edit, EditError, End, Gap, GapRule, HeldLength,
    History, Holes, Place, SecondReference, Side, Target, file, row,
};
use units::{Angle, Kind, Length, Quantity};

fn good() -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../samples/redshank.ron");
    std::fs::read_to_string(path).unwrap()
}

/// The good file with one piece of text changed; the piece must be there.
fn with(piece: &str, other: &str) -> String {
    let text = good();
    assert!(text.contains(piece), "the sample lost {piece:?}");
    text.replacen(piece, other, 1)
}

fn refuse(text: &str) -> String {
    match file::parse(text, Path::new("car.ron")) {
        Ok(_) => panic!("read without complaint"),
        Err(e) => e.to_string(),
    }
}

/// Line and column, from 1, of the `nth` (from 1) place where `at` stands in `text`; worked out
/// from bytes, apart from the program's own search.
fn place_of(text: &str, at: &str, nth: usize) -> (usize, usize) {
    let (byte, _) = text
        .match_indices(at)
        .nth(nth - 1)
        .unwrap_or_else(|| panic!("{at:?} is not there"));
    let before = &text[..byte];
    let line = before.matches('\n').count() + 1;
    let start = before.rfind('\n').map_or(0, |i| i + 1);
    (line, before[start..].chars().count() + 1)
}

/// A broken piece of the good file.
struct Case {
    name: &'static str,
    piece: &'static str,
    broken: &'static str,
    /// Within `broken`: the text that the caret must stand under.
    caret: &'static str,
    /// All of these are in the message.
    says: &'static [&'static str],
}

const fn case(
    name: &'static str,
    piece: &'static str,
    broken: &'static str,
    caret: &'static str,
    says: &'static [&'static str],
) -> Case {
    Case {
        name,
        piece,
        broken,
        caret,
        says,
    }
}

const WHEELBASE: &str = "wheelbase: \"108 in\"";
const UNIT: &str = "write it like \"12 5/8 in\"";

#[rustfmt::skip]
const CASES: &[Case] = &[
    case("version 0 has no line", "version: 5", "version: 0", "", &["version 0, which never existed", "Write `version: 5`"]),
    case("newer version", "version: 5", "version: 7", "", &["format version 7", "reads up to 5", "newer Stringline", "nothing was changed"]),
    case("version as text", "version: 5", "version: \"1\"", "\"1\"", &["(version)", "not a whole number", "Write `version: 5`"]),
    case("version negative", "version: 5", "version: -1", "-1", &["(version)", "not a whole number from 1 up"]),
    case("version with a point", "version: 5", "version: 1.5", ".5", &["whole number is needed", "Leave out the point"]),
    case("version beyond every number", "version: 5", "version: 99999999999999999999", "9999", &["(version)", "not a whole number from 1 up"]),
    case("version twice", "version: 5,", "version: 5, version: 5,", " version: 5,", &["`version` stands here twice", "Keep one"]),
    case("unknown field, top", "revision:", "revison:", "revison", &["(revison)", "no field `revison`", "Did you mean `revision`?"]),
    case("unknown field, one down", "cg_height:", "cg_hieght:", "cg_hieght", &["(car.cg_hieght)", "Did you mean `cg_height`?"]),
    case("unknown field, two down", "front: (track:", "front: (trak:", "trak", &["(car.front.trak)", "Did you mean `track`?"]),
    case("unknown field, in a list", "drill:", "dril:", "dril", &["(rear.brackets[0].dril)", "Did you mean `drill`?"]),
    case("unknown field, in a list's part", "at: (station: \"19", "at: (statoin: \"19", "statoin", &["(rear.brackets[0].at.statoin)", "Did you mean `station`?"]),
    case("unknown field, in a choice", "Measure(low: \"100 lb\"", "Measure(lo: \"100 lb\"", "lo:", &["phases[0].checks[3].kind.Measure.lo", "Did you mean `low`?"]),
    case("unknown field like none", "wheelbase:", "sparkplug:", "sparkplug", &["no field `sparkplug`", "Known here: wheelbase, mass, rear_share"]),
    case("unknown choice", "on: Frame", "on: Fram", "Fram", &["(rear.brackets[0].on)", "`Fram` is not a choice", "Did you mean `Frame`?"]),
    case("unknown choice in small letters", "role: Upper", "role: upper", "upper", &["(rear.links[0].role)", "Did you mean `Upper`?"]),
    case("unknown choice with fields", "holes: Row(", "holes: Rwo(", "Rwo", &["`Rwo` is not a choice", "Did you mean `Row`?"]),
    case("unknown choice like none", "rule: AwsD11", "rule: Mine", "Mine", &["(fit_up.rule)", "Known here: AwsD11, Iso5817B, Iso5817C, Iso5817D, Shop"]),
    case("choice in quotes", "on: Frame", "on: \"Frame\"", "\"Frame", &["a choice stands in quotes", "Write it without them"]),
    case("missing field", "drill: \"5/8 in\", plate_width: \"2 in\",\n      )", "plate_width: \"2 in\",\n      )", ")", &["(rear.brackets[0])", "`drill` is missing", "Add `drill: …,`"]),
    case("missing mark field", "who: \"TB\", when: \"2026-02-14 09:23\")", "who: \"TB\")", ")", &["marks[0]", "`when` is missing"]),
    case("duplicate field", "cg_height: \"21 in\",", "cg_height: \"21 in\", cg_height: \"22 in\",", " cg_height: \"22", &["`cg_height` stands here twice", "Keep one"]),
    case("bare number", WHEELBASE, "wheelbase: 108", "108", &["(car.wheelbase)", "a bare number where a length is needed", "with its unit, e.g. \"12 5/8 in\""]),
    case("bare number in quotes", WHEELBASE, "wheelbase: \"108\"", "\"108", &["\"108\": a bare number where a length is needed", UNIT]),
    case("bare number in a band", "low: \"105 %\"", "low: 105", "105", &["(targets[0].low)", "text in quotes is needed", "with its unit"]),
    case("unit outside quotes", WHEELBASE, "wheelbase: 108 in", "108", &["(car.wheelbase)", "a bare number where a length is needed"]),
    case("wrong kind of unit", WHEELBASE, "wheelbase: \"12 lb\"", "\"12", &["(car.wheelbase)", "lb is a weight, a length is needed", UNIT]),
    case("unknown unit", WHEELBASE, "wheelbase: \"108 inn\"", "\"108", &["\"inn\" is not a unit known here (did you mean \"in\"?)", UNIT]),
    case("nonsense for a number", WHEELBASE, "wheelbase: \"long\"", "\"long", &["is not a number", UNIT]),
    case("nothing for a number", WHEELBASE, "wheelbase: \"\"", "\"\"", &["nothing is written here", UNIT]),
    case("zero below the line", WHEELBASE, "wheelbase: \"108 1/0 in\"", "\"108", &["cannot have 0 below the line", UNIT]),
    case("decimal comma", WHEELBASE, "wheelbase: \"108,5 in\"", "\"108", &["the decimal mark is a point", UNIT]),
    case("NaN, bare", WHEELBASE, "wheelbase: NaN", "NaN", &["(car.wheelbase)", "a length is needed"]),
    case("NaN in quotes", WHEELBASE, "wheelbase: \"NaN in\"", "\"NaN", &["is not a number"]),
    case("endless number", "rear_share: \"51 %\"", "rear_share: \"1e999 %\"", "\"1e999", &["(car.rear_share)", "the number is too large"]),
    case("inf for a share", "rear_share: \"51 %\"", "rear_share: inf", "inf", &["(car.rear_share)", "a ratio is needed"]),
    case("NaN for a clock position", "clock: 0,", "clock: NaN,", "NaN", &["(fit_up.joints[0].gaps[0].clock)", "NaN is out of range", "from 0 to 12"]),
    case("-inf for a clock position", "clock: 0,", "clock: -inf,", "-inf", &["gaps[0].clock", "out of range"]),
    case("truth for a length", WHEELBASE, "wheelbase: true", "true", &["`true` stands where something else is needed", "Write a length with its unit"]),
    case("list for a length", WHEELBASE, "wheelbase: [1]", "[1]", &["a list stands where something else is needed", "Write a length with its unit"]),
    case("negative wheelbase", WHEELBASE, "wheelbase: \"-108 in\"", "\"-108", &["(car.wheelbase)", "-108 in is out of range", "from 1000 mm (39 3/8\") to 6000 mm"]),
    case("share over the whole", "rear_share: \"51 %\"", "rear_share: 51", "51", &["5100 % is out of range", "from 5 % to 95 %"]),
    case("weight of a bicycle", "mass: \"3050 lb\"", "mass: \"30 lb\"", "\"30 lb", &["(car.mass)", "30 lb is out of range", "200 kg (441 lb)"]),
    case("rail far away", "(\"-20 in\", \"20 in\")", "(\"-30 in\", \"1600 in\")", "\"1600", &["(frame.line[0][1])", "1600 in is out of range"]),
    case("no drill", "drill: \"5/8 in\"", "drill: \"0 in\"", "\"0 in", &["(rear.brackets[0].drill)", "0 in is out of range"]),
    case("pitch of a ladder", "pitch: \"1 in\"", "pitch: \"100 in\"", "\"100", &["(rear.brackets[0].holes.pitch)", "100 in is out of range"]),
    case("short name twice", "id: \"lower_front\"", "id: \"upper_front\"", "\"upper", &["(rear.brackets[1].id)", "\"upper_front\" is used twice", "another name"]),
    case("short name empty", "id: \"lower_front\"", "id: \"\"", "\"\"", &["(rear.brackets[1].id)", "the short name is empty"]),
    case("check's name twice", "id: \"goal\", label", "id: \"use\", label", "\"use", &["(phases[0].checks[1].id)", "\"use\" is used twice"]),
    case("bracket without holes", "holes: Row(count: 4", "holes: Row(count: 0", "Row", &["(rear.brackets[0].holes)", "0 holes", "from 1 to 40"]),
    case("a thousand million holes", "holes: Row(count: 4", "holes: Row(count: 1000000000", "Row", &["1000000000 holes", "from 1 to 40"]),
    case("fewer than no holes", "count: 4", "count: -4", "-4", &["(rear.brackets[0].holes.Row.count)", "a whole number of 0 or more is needed"]),
    case("half a hole", "count: 4", "count: 4.5", ".5", &["a whole number is needed", "Leave out the point"]),
    case("holes in words", "count: 4", "count: \"four\"", "\"four", &["holes.Row.count", "a whole number is needed", "without quotes"]),
    case("hole a mile off in a list", "List([(\"0 in\", \"0 in\")])", "List([(\"0 in\", \"5280 ft\")])", "\"5280", &["(rear.brackets[4].holes[0][0][1])", "out of range"]),
    case("band upside down", "low: \"105 %\", high: \"125 %\"", "low: \"125 %\", high: \"105 %\"", "\"125", &["(targets[0].low)", "low end is above its high end", "Swap them"]),
    case("band of two kinds", "low: \"105 %\", high: \"125 %\"", "low: \"105 %\", high: \"125 in\"", "\"125", &["(targets[0].high)", "different kinds of quantity", "same kind of unit"]),
    case("limits of two kinds", "Measure(low: \"100 lb\", high: \"2500 lb\")", "Measure(low: \"100 lb\", high: \"2500 in\")", "\"2500", &["(phases[0].checks[3].kind.high)", "two limits are different kinds"]),
    case("limits upside down", "Measure(low: \"100 lb\", high: \"2500 lb\")", "Measure(low: \"2500 lb\", high: \"100 lb\")", "\"2500", &["(phases[0].checks[3].kind.low)", "the least is above the greatest", "Swap them"]),
    case("thirteen o'clock", "clock: 3", "clock: 13", "13", &["(fit_up.joints[0].gaps[1].clock)", "13 is out of range", "from 0 to 12"]),
    case("gap below nothing", "gap: \"1/32 in\"", "gap: \"-1/32 in\"", "\"-1/32", &["(fit_up.joints[0].gaps[1].gap)", "-1/32 in is out of range"]),
    case("no passes", "passes: 1", "passes: 0", "0", &["(fit_up.joints[0].passes)", "0 is out of range", "from 1 to 100"]),
    case("seven fillets on a tee", "fillets: 2", "fillets: 7", "7", &["(fit_up.joints[0].kind.fillets)", "7 is out of range", "from 1 to 2"]),
    case("three hundred fillets", "fillets: 2", "fillets: 300", "300", &["whole number is out of range"]),
    case("hold: yes", "hold: true", "hold: yes", "yes", &["hold)", "Write true or false"]),
    case("trailing brace", "rear_brake_share: \"28 %\",", "rear_brake_share: \"28 %\"],", "],", &["(car)", "a comma is missing before this"]),
    case("comma forgotten", "revision: \"C\",\n  note", "revision: \"C\"\n  note", "note", &["a comma is missing before this", "Put a comma after the value above"]),
    case("colon forgotten", "revision: \"C\",", "revision \"C\",", " \"C", &["a colon is missing", "`name: value,`"]),
    case("quote forgotten", WHEELBASE, "wheelbase: \"108 in", "\"108", &["(car.wheelbase)", "runs over the end of its line", "Put a quote at its end"]),
    case("bad escape", "note: \"Street", "note: \"\\qStreet", "\\q", &["(note)", "a backslash", "two backslashes"]),
    case("one of two", "(\"-20 in\", \"20 in\")", "(\"-30 in\")", "(\"-30", &["(frame.line[0])", "1 value is in these brackets where 2 are needed"]),
    case("three of two", "(\"-20 in\", \"20 in\")", "(\"-20 in\", \"20 in\", \"7 in\")", "\"7 in", &["(frame.line[0])", "a closing bracket is needed here"]),
    case("comment not closed", "// driver in, half fuel", "/* driver in", "/*", &["a comment is not closed", "Close it with */"]),
    case("nested too deep", "note: \"Street", "note: [[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[\"Street", "[[", &["(note)", "a text in quotes is needed here"]),
    case("node's unit wrong", "(id: \"eye_l\", at: (station: \"-6 in\"", "(id: \"eye_l\", at: (station: \"-6 lb\"", "\"-6 lb", &["(assembly.nodes[8].at.station)", "lb is a weight, a length is needed"]),
    case("node far away", "offset: \"13 13/16 in\"", "offset: \"1381 in\"", "\"1381", &["(assembly.nodes[8].at.offset)", "out of range"]),
    case("node twice", "(id: \"eye_r\"", "(id: \"eye_l\"", "\"eye_l", &["(assembly.nodes[9].id)", "used twice"]),
    case("unknown tube field", "from: \"seat_l\"", "form: \"seat_l\"", "form", &["(assembly.tubes[2].form)", "Did you mean `from`?"]),
    case("wall without a bore", "section: Round(outside: \"1 5/8 in\", wall: \"0.134 in\"), material: \"1020 DOM\"),\n      (id: \"tower_l\"", "section: Round(outside: \"1 5/8 in\", wall: \"0.9 in\"), material: \"1020 DOM\"),\n      (id: \"tower_l\"", "\"0.9 in", &["(assembly.tubes[2].section.wall)", "leaves no bore", "under half the outside size"]),
    case("unknown section", "section: Rectangular(", "section: Box(", "Box", &["(assembly.tubes[0].section)", "`Box` is not a choice", "Known here: Round, Rectangular"]),
    case("join of nothing known", "joins: (part: \"tower_l\", onto: \"crossmember\", at: \"foot_l\")", "joins: (part: \"tower_l\", onto: \"crossmember\")", ")", &["joins)", "`at` is missing"]),
    case("dimension's class", "tolerance: Iso13920(A), through: [\"foot_l\", \"seat_r\"]", "tolerance: Iso13920(E), through: [\"foot_l\", \"seat_r\"]", "E)", &["weld_out.dimensions[2].tolerance", "`E` is not a choice"]),
    case("dimension without unit", "want: \"27 5/8 in\"", "want: 27.6", "27.6", &["(weld_out.dimensions[0].want)", "a bare number where a length is needed"]),
    case("no beads laid", "(beads: 1, on: \"tower_l\"", "(beads: 0, on: \"tower_l\"", "0,", &["(weld_out.corrections[0].laid[0].beads)", "out of range", "from 1 to 100"]),
    case("chance of all", "chance: \"5 %\"", "chance: \"100 %\"", "\"100 %", &["(weld_out.corrections[0].chance)", "out of range"]),
    case("bead of no leg", "bead: (lie: Across, leg: \"1/8 in\", length: \"1 1/4 in\"),\n        chance", "bead: (lie: Across, leg: \"0 in\", length: \"1 1/4 in\"),\n        chance", "\"0 in", &["(weld_out.corrections[0].bead.leg)", "out of range"]),
    case("feed as a car's speed", "feed: \"280 in/min\"", "feed: \"280 mph\"", "\"280", &["(weld_out.arcs[0].feed)", "a speed, a feed or travel speed is needed"]),
    case("volts in amps", "voltage: \"18.5 V\"", "voltage: \"18.5 A\"", "\"18.5", &["(weld_out.arcs[0].voltage)", "a current, a voltage is needed"]),
    case("flow as a volume", "flow: \"30 ft³/h\"", "flow: \"30 ft³\"", "\"30", &["(weld_out.gas.flow)", "a volume, a gas flow is needed"]),
    case("pressure below nothing", "keep: \"200 psi\"", "keep: \"-200 psi\"", "\"-200", &["(weld_out.gas.keep)", "out of range"]),
    case("unknown process", "(process: Mig", "(process: Mag", "Mag", &["(weld_out.arcs[0].process)", "`Mag` is not a choice", "Did you mean `Mig`?"]),
    case("coupon measured in degrees", "after: \"6.094 in\"", "after: \"6.094 deg\"", "\"6.094", &["(weld_out.coupons[0].after)", "an angle, a length is needed"]),
    case("unknown face", "face: Left", "face: Outer", "Outer", &["(weld_out.corrections[0].sites[0].face)", "`Outer` is not a choice"]),
    case("unknown choice of the shop", "widening: 1.5", "widening: 0.5", "0.5", &["(weld_out.choices.widening)", "out of range"]),
    case("camber beyond any car", "camber: \"-0.75 deg\"", "camber: \"-75 deg\"", "\"-75 deg\"", &["camber", "out of range", "-20.1°"]),
    case("a direction without length", "along: (1, 0, 0)", "along: (0, 0, 0)", "(0, 0, 0)", &["no length", "ahead, out and up"]),
    case("a bar pivot beyond the bar", "offset: \"0 in\",\n    ),\n    front", "offset: \"2 in\",\n    ),\n    front", "\"2 in\"", &["offset", "out of range"]),
    case("a swept band inside out", "inner: \"4 in\"", "inner: \"6 in\"", "\"6 in\"", &["inner", "out of range"]),
    case("a valve in kilograms", "valves: [(at: Line, holds: \"2 psi\")],\n      hoses: [(length: \"16", "valves: [(at: Line, holds: \"2 kg\")],\n      hoses: [(length: \"16", "\"2 kg\"", &["kg", "psi"]),
    case("a valve nowhere", "valves: [(at: Line, holds: \"2 psi\")],\n      hoses: [(length: \"16", "valves: [(at: Pipe, holds: \"2 psi\")],\n      hoses: [(length: \"16", "Pipe", &["Pipe", "Line"]),
    case("a tube without a bore", "wall: \"0.083 in\", yield_strength: \"50000 psi\"", "wall: \"2 in\", yield_strength: \"50000 psi\"", "\"2 in\"", &["wall", "out of range"]),
    case("a brake of a third kind", "brake: Disc((\n        piston: \"1 3/4 in\"", "brake: Band((\n        piston: \"1 3/4 in\"", "Band", &["Band", "Disc"]),
];

/// The column, from 1, that the caret's line points at, tabs and all.
fn caret(message: &str) -> (String, usize) {
    let lines: Vec<&str> = message.lines().collect();
    let [.., text, caret] = lines[..] else {
        panic!("no excerpt in {message}");
    };
    let text = text.strip_prefix("  | ").unwrap();
    let pad = caret
        .strip_prefix("  | ")
        .unwrap()
        .strip_suffix('^')
        .unwrap();
    assert!(pad.chars().all(|c| c == ' ' || c == '\t'), "{message}");
    (text.to_owned(), pad.chars().count() + 1)
}

#[test]
fn every_broken_piece_is_named_with_its_place_and_a_remedy() {
    for c in CASES {
        let text = with(c.piece, c.broken);
        let said = refuse(&text);
        for part in c.says {
            assert!(said.contains(part), "{}: no {part:?} in\n{said}", c.name);
        }
        if c.caret.is_empty() {
            assert!(said.starts_with("car.ron: "), "{}:\n{said}", c.name);
            continue;
        }
        // Where the broken piece begins, and the caret's text within it; a blank before it only
        // tells it from an earlier one.
        let begins = good().find(c.piece).unwrap();
        let within = c.broken.find(c.caret).unwrap() + (c.caret.len() - c.caret.trim_start().len());
        let target = &text[begins + within..];
        let nth = text.matches(target).count();
        assert_eq!(nth, 1);
        let (line, col) = place_of(&text, target, 1);
        assert!(
            said.starts_with(&format!("car.ron, line {line}, column {col}")),
            "{}: wanted line {line}, column {col}\n{said}",
            c.name
        );
        let (shown, at) = caret(&said);
        assert_eq!(
            Some(shown.as_str()),
            text.lines().nth(line - 1),
            "{}",
            c.name
        );
        assert_eq!(at, col, "{}:\n{said}", c.name);
    }
    assert!(CASES.len() >= 45);
}

/// Words of the file reader or the language that no shop person should meet.
#[test]
fn no_message_speaks_the_readers_language() {
    for c in CASES {
        let said = refuse(&with(c.piece, c.broken));
        let first = said.lines().next().unwrap();
        for jargon in [
            "RON",
            "Expected",
            "struct",
            "variant",
            "tuple",
            "serde",
            "enum",
            "Unexpected",
            "identifier",
            "..",
            "?.",
        ] {
            let plain = first.replace("car.ron", "");
            assert!(!plain.contains(jargon), "{}: {jargon} in {first}", c.name);
        }
        assert!(first.ends_with(['.', '?']), "{}: {first}", c.name);
    }
}

#[test]
fn files_that_are_no_build_at_all() {
    let whole = good();
    // Behind a bracket that closes a link, so that no text is open.
    let cut = &whole[..whole.find("),\n    ],\n  ),\n\n  power").unwrap()];
    let end = format!("line {}, column 1", whole.lines().count() + 1);
    let end = end.as_str();
    let in_text = &whole[..whole.find("Redshank\"").unwrap() + 4];
    #[rustfmt::skip]
    let cases: Vec<(&str, String, Vec<&str>)> = vec![
        ("empty", String::new(), vec!["car.ron: is empty", ".bak"]),
        ("blanks", " \n\t\n".to_owned(), vec!["is empty"]),
        ("cut off", cut.to_owned(), vec!["the file ends too early", "cut off", ".bak", ", line "]),
        ("cut off in a text", in_text.to_owned(), vec!["(name)", "this text is not closed", ".bak", "line 6, column 9"]),
        ("last bracket gone", whole.trim_end().trim_end_matches(')').to_owned(), vec!["the file ends too early"]),
        ("junk behind", format!("{whole}xyz"), vec![end, "something follows after the build's closing bracket", "Delete it", "| xyz"]),
        ("comment open at the end", format!("{whole}/* so"), vec![end, "a comment is not closed"]),
        ("prose", "hello world".to_owned(), vec!["line 1, column 1", "does not begin like a build", "`(version: 5,`", "right file?"]),
        ("another notation", "{\"version\": 1}".to_owned(), vec!["does not begin like a build"]),
        ("a number", "5".to_owned(), vec!["does not begin like a build"]),
        ("brackets for ever", "[".repeat(100_000), vec!["does not begin like a build"]),
        ("brackets for ever inside", format!("(version: 5, note: {}", "(a: ".repeat(100_000)), vec!["(note)", "a text in quotes is needed"]),
        ("no version", with("version: 5,", ""), vec!["(version)", "does not say its format version", "Begin it with `(version: 5,`"]),
        ("nothing in brackets", "()".to_owned(), vec!["does not say its format version"]),
        ("unknown extension", format!("#![enable(magic)]\n{whole}"), vec!["line 1", "`magic`", "Delete this line"]),
        ("newer with fields of its own", "(version: 6, hovers: true, wheels: [], rear: {})".to_owned(), vec!["format version 6", "reads up to 5"]),
    ];
    for (name, text, says) in cases {
        let said = refuse(&text);
        for part in says {
            assert!(said.contains(part), "{name}: no {part:?} in\n{said}");
        }
    }
}

#[test]
fn files_that_can_not_be_read() {
    let folder = tempfile::tempdir().unwrap();
    let says = |path: &Path, parts: &[&str]| {
        let said = file::load(path).unwrap_err().to_string();
        assert!(said.starts_with(&path.display().to_string()), "{said}");
        for part in parts {
            assert!(said.contains(part), "no {part:?} in\n{said}");
        }
    };
    let put = |name: &str, bytes: &[u8]| {
        let path = folder.path().join(name);
        std::fs::write(&path, bytes).unwrap();
        path
    };
    says(folder.path(), &["is a folder", "Name the build file"]);
    says(
        &folder.path().join("gone.ron"),
        &["there is no such file", "Check the spelling"],
    );
    says(&put("empty.ron", b""), &["is empty", ".bak"]);
    says(
        &put("picture.ron", b"\x89PNG\r\n\x1a\n\0\xff"),
        &["is not text from byte 0 on", "right file?"],
    );
    let mut late = good().into_bytes();
    late[900] = 0xFF;
    says(&put("late.ron", &late), &["is not text from byte 900 on"]);
    let big = folder.path().join("big.ron");
    let sparse = std::fs::File::create(&big).unwrap();
    sparse.set_len(file::MAX_FILE_SIZE as u64 + 1).unwrap();
    says(&big, &["4194305 bytes", "at most 4194304", "right file?"]);
    // Exactly the greatest size is read.
    let mut full = good();
    full.push_str(&" ".repeat(file::MAX_FILE_SIZE - full.len()));
    assert!(file::load(&put("full.ron", full.as_bytes())).is_ok());
    full.push(' ');
    assert!(refuse(&full).contains("at most 4194304"));
}

#[test]
fn what_is_strange_but_right_is_read() {
    for text in [
        format!("\u{feff}{}", good()),
        good().replace('\n', "\r\n"),
        with(
            "note: \"Street",
            "note: \"\u{1b}[31m\u{7} 🚗 žluťoučký \\n \\u{0} Street",
        ),
        with("name: \"Redshank\"", "name: r#\"Red \"shank\" (\"#"),
        with("version: 5,", "/* a /* nested */ comment */ version: 5,"),
        format!("#![enable(implicit_some)]\n{}", good()),
        with(
            "body: \"14 3/4 in\"",
            "held: Some((left: \"18 in\", right: \"18 in\")), body: \"14 3/4 in\"",
        ),
    ] {
        let b = file::parse(&text, Path::new("car.ron")).unwrap_or_else(|e| panic!("{e}"));
        let again = file::to_text(&b).unwrap();
        assert_eq!(file::parse(&again, Path::new("car.ron")).unwrap(), b);
    }
}

/// Notation that a person may use and the program does not write: the line is found all the same.
#[test]
fn places_are_found_in_any_notation() {
    let negative = |text: String| text.replacen("\"108 in\"", "\"-108 in\"", 1);
    for text in [
        negative(format!("#![enable(implicit_some)]\n\n{}", good())),
        negative(with("name: \"Redshank\"", "name: r##\"wheelbase: (\"#\"##")),
        negative(with(
            "  car: (",
            "  /* car: ( /* ( */ */ car: ( // wheelbase: 1",
        )),
        negative(with("name: \"Redshank\"", "name: \"Rödshänk \\\" 🚗 (\"")),
        negative(good().replace('\n', "\r\n")),
        negative(good().replace("    wheelbase: ", "\t\twheelbase:\t")),
        negative(good().replace("wheelbase: ", "/* é🚗 */ wheelbase: ")),
    ] {
        let (line, col) = place_of(&text, "\"-108", 1);
        let said = refuse(&text);
        assert!(
            said.contains(&format!("line {line}, column {col} (car.wheelbase)")),
            "{said}"
        );
    }
    let some = with(
        "body: \"14 3/4 in\"",
        "held: Some((left: \"18 in\", right: \"0 in\")), body: \"14 3/4 in\"",
    );
    let (line, col) = place_of(&some, "\"0 in\")), body", 1);
    assert!(refuse(&some).contains(&format!(
        "line {line}, column {col} (rear.links[0].held.right)"
    )));
}

#[test]
fn caret_follows_tabs_and_wide_letters_and_long_lines() {
    let tabs = with("    wheelbase: \"108 in\"", "\t\twheelbase:\t\"-108 in\"");
    let said = refuse(&tabs);
    assert!(
        said.ends_with("\n  | \t\twheelbase:\t\"-108 in\",\n  | \t\t          \t^"),
        "{said}"
    );

    // é is one column wide, the car two.
    let wide = with("name: \"Redshank\",", "name: \"é🚗\", nam: 1,");
    let said = refuse(&wide);
    assert!(said.contains("line 6, column 15 (nam)"), "{said}");
    assert!(
        said.ends_with("\n  |   name: \"é🚗\", nam: 1,\n  |                ^"),
        "{said}"
    );

    let one_line: String = good()
        .lines()
        .map(|l| l.split("//").next().unwrap().trim())
        .collect();
    let said = refuse(&one_line.replacen("passes: 1", "passes: 0", 1));
    let lines: Vec<Vec<char>> = said.lines().map(|l| l.chars().collect()).collect();
    assert_eq!(lines.len(), 3);
    assert!(lines[1].len() < 140);
    let at = lines[2].iter().position(|c| *c == '^').unwrap();
    assert_eq!(lines[1][at], '0');
    assert_eq!(lines[1][at - 8..at].iter().collect::<String>(), "passes: ");
}

#[test]
fn control_characters_do_not_reach_the_terminal() {
    for text in [
        with(WHEELBASE, "wheelbase: \"\u{1b}[2J108 in\""),
        with("id: \"lower_front\"", "id: \"\u{1b}[2J\"").replacen(
            "id: \"upper_rear\"",
            "id: \"\u{1b}[2J\"",
            1,
        ),
        with("revision: \"C\",", "revision: \"\u{7}\", revison: \"C\","),
    ] {
        let said = refuse(&text);
        assert!(
            said.chars().all(|c| !c.is_control() || c == '\n'),
            "{said:?}"
        );
    }
}

// Edits that the window could send.

fn build() -> Build {
    file::parse(&good(), Path::new("redshank.ron")).unwrap()
}

/// What an edit is refused with; nothing may have changed.
fn refuse_edit(edit: &Edit) -> EditError {
    let mut h = History::new(build());
    let error = h.apply(edit).expect_err("taken without complaint");
    assert_eq!(**h.build(), build());
    assert!(h.undo_label().is_none() && !h.is_unsaved());
    error
}

fn inch(v: f64) -> Length {
    Length::from_inches(v)
}

#[test]
fn edits_that_do_not_fit_say_why() {
    let b = build();
    let field = |id: &str, si: f64| Edit::Field {
        id: id.to_owned(),
        si,
    };
    let hole = |link: &str, hole: usize| Edit::SetHole {
        link: link.to_owned(),
        end: End::Frame,
        side: Side::Both,
        hole,
    };
    let bracket = |change: &dyn Fn(&mut Bracket)| {
        let mut x = b.rear.brackets[0].clone();
        change(&mut x);
        Edit::PutBracket(x)
    };
    let joint = |change: &dyn Fn(&mut build::Joint)| {
        let mut x = b.fit_up.joints[0].clone();
        change(&mut x);
        Edit::PutJoint(x)
    };
    let band = |low: Quantity, high: Quantity| {
        Edit::PutTarget(Target {
            reading: "rear.anti_squat".to_owned(),
            low,
            high,
        })
    };
    let check = |low: f64, high: f64| Edit::PutCheck {
        phase: "goal".to_owned(),
        check: Check {
            id: "lf".to_owned(),
            label: "Left front".to_owned(),
            kind: CheckKind::Measure {
                low: Some(Quantity::new(Kind::Mass, low)),
                high: Some(Quantity::new(Kind::Mass, high)),
            },
            hold: false,
            caution: String::new(),
            marks: Vec::new(),
        },
    };
    let name = |s: &str| s.to_owned();
    #[rustfmt::skip]
    let cases: Vec<(Edit, Vec<&str>)> = vec![
        (field("car.wheelbase", -1.0), vec!["Wheelbase: -1000 mm is out of range", "from 1000 mm (39 3/8\") to 6000 mm"]),
        (field("car.wheelbase", f64::NAN), vec!["Wheelbase: NaN", "is out of range"]),
        (field("car.mass", f64::INFINITY), vec!["Weight: inf", "is out of range", "200 kg (441 lb)"]),
        (field("car.rear_share", 51.0), vec!["Rear share: 5100 % is out of range", "from 5 % to 95 %"]),
        (field("rear.placement_tolerance", 1.0), vec!["Hole placement ±: 1000 mm is out of range"]),
        (field("car.wings", 1.0), vec!["There is no field called \"car.wings\"", "choose another, or undo"]),
        (Edit::MoveBracket {bracket: name("gone"), to: Place::default(), }, vec!["There is no bracket called \"gone\""]),
        (Edit::MoveBracket {bracket: name("upper_front"), to: Place {height: inch(9999.0),..Place::default() }, }, vec!["upper front, height: 9999 in is out of range", "Write a value from"]),
        (Edit::MoveBracket {bracket: name("upper_front"), to: Place {station: Length::from_si(f64::NAN),..Place::default() }, }, vec!["upper front, station: NaN", "out of range"]),
        (bracket(&|x| x.holes = row(0, inch(1.0))), vec!["upper front, holes: 0 holes", "from 1 to 40"]),
        (bracket(&|x| x.holes = row(1_000_000_000, inch(1.0))), vec!["1000000000 holes", "from 1 to 40"]),
        (bracket(&|x| x.holes = Holes::List(Vec::new())), vec!["0 holes"]),
        (bracket(&|x| {x.holes = Holes::List(vec![(inch(0.0), inch(0.0)), (inch(0.0), inch(900.0))]) }), vec!["upper front, hole 2: 900 in is out of range"]),
        (bracket(&|x| {x.holes = Holes::Row {count: 3, pitch: inch(1.0), lean: Angle::from_si(f64::NAN), } }), vec!["upper front, holes, lean: NaN"]),
        (bracket(&|x| x.drill = inch(0.0)), vec!["upper front, drill: 0 in is out of range"]),
        (bracket(&|x| x.id = String::new()), vec!["the short name is empty", "a name of its own"]),
        (Edit::RemoveBracket(name("lower_rear")), vec!["lower link is bolted to it", "choose another bracket for that link first"]),
        (Edit::RemoveBracket(name("gone")), vec!["There is no bracket called \"gone\""]),
        (hole("lower", 0), vec!["lower front has no hole 0", "Choose one from 1 to 4"]),
        (hole("lower", 5), vec!["lower front has no hole 5", "Choose one from 1 to 4"]),
        (hole("gone", 1), vec!["There is no link called \"gone\""]),
        (Edit::RemoveLink(name("gone")), vec!["There is no link called \"gone\""]),
        (Edit::HoldLength {link: name("lower"), held: Some(HeldLength {left: inch(20.0), right: inch(-20.0), }), }, vec!["lower link, held, right: -20 in is out of range"]),
        (Edit::HoldLength {link: name("gone"), held: None, }, vec!["There is no link called \"gone\""]),
        (Edit::SecondReference(Some(SecondReference {label: name("wall"), along: Along::Station, at: inch(1e6), })), vec!["second reference: 1000000 in is out of range"]),
        (band(Quantity::new(Kind::Ratio, 1.25), Quantity::new(Kind::Ratio, 1.05)), vec!["Anti-squat, low: the band's low end is above its high end", "Swap them"]),
        (band(Quantity::new(Kind::Ratio, 1.0), Quantity::new(Kind::Length, 1.0)), vec!["Anti-squat, high: the two ends", "same kind of unit"]),
        (band(Quantity::new(Kind::Ratio, f64::NAN), Quantity::new(Kind::Ratio, 1.0)), vec!["Anti-squat, low: this is not a finite number"]),
        (Edit::RemoveTarget(name("rear.gone")), vec!["There is no target called \"rear.gone\""]),
        (Edit::Rule(GapRule::Shop {grow_above: inch(0.25), reject_above: inch(0.125), }), vec!["reject above: 1/8 in is out of range", "from 1/4 in"]),
        (joint(&|j| j.passes = 0), vec!["Upper front bracket, left, to rail inside face, passes: 0 is out of range", "from 1 to 100"]),
        (joint(&|j| j.gaps[1].clock = 13.0), vec!["gap 2, clock: 13 is out of range", "from 0 to 12"]),
        (joint(&|j| j.gaps[0].gap = inch(-0.1)), vec!["gap 1, gap: -0.1 in is out of range"]),
        (joint(&|j| {j.gaps = vec![Gap {clock: 1.0, gap: inch(0.0) }; 121] }), vec!["more than 120 gaps", "Keep the worst ones"]),
        (joint(&|j| j.kind = build::JointKind::Tee { fillets: 0 }), vec!["fillets: 0 is out of range"]),
        (Edit::RemoveJoint(name("J9")), vec!["There is no joint called \"J9\""]),
        (check(5.0, 4.0), vec!["Goal and weights, Left front, low: the least is above the greatest", "Swap them"]),
        (Edit::RemoveCheck {phase: name("goal"), check: name("gone"), }, vec!["There is no check called \"gone\""]),
        (Edit::MoveCheck {phase: name("gone"), check: name("lf"), to: 0, }, vec!["There is no phase called \"gone\""]),
        (Edit::AddPhase(b.phases[0].clone()), vec!["There is a phase \"goal\" already", "another name"]),
        (Edit::RemovePhase(name("gone")), vec!["There is no phase called \"gone\""]),
        (Edit::MovePhase {phase: name("gone"), to: 3, }, vec!["There is no phase called \"gone\""]),
    ];
    for (edit, says) in &cases {
        let said = refuse_edit(edit).to_string();
        for part in says {
            assert!(said.contains(part), "no {part:?} in {said}");
        }
        assert!(
            !said.contains('_') && !said.contains("]"),
            "a path, not words: {said}"
        );
    }
}

#[test]
fn adding_a_phase_twice_is_refused_the_second_time() {
    let mut h = History::new(build());
    let phase = build::Phase {
        id: "wiring".to_owned(),
        title: "Wiring".to_owned(),
        caution: String::new(),
        waits_for: Vec::new(),
        checks: Vec::new(),
    };
    h.apply(&Edit::AddPhase(phase.clone())).unwrap();
    let once = build::Build::clone(h.build());
    let said = h.apply(&Edit::AddPhase(phase)).unwrap_err().to_string();
    assert_eq!(
        said,
        "There is a phase \"wiring\" already. Give it another name"
    );
    assert_eq!(**h.build(), once);
}

/// A build made in code with a value no file may hold is refused when it is written, not written.
#[test]
fn a_build_that_can_not_be_written_is_not_written() {
    let mut b = build();
    b.car.wheelbase = Length::from_si(f64::NAN);
    let said = file::to_text(&b).unwrap_err().to_string();
    assert!(said.contains("can not be written as text"), "{said}");
    assert!(said.contains("finite number"), "{said}");
}
