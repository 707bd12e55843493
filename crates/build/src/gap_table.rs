//! The fit-up log as a table of comma-separated text, one row a reading: filled in at the bench in
//! a spreadsheet, read back cell by cell.
//!
//! Cells hold what people write: `1/32 in`, `0.8 mm`. A text that a spreadsheet would take for a
//! formula is written behind an apostrophe, which is taken off again on reading.

use std::collections::HashMap;

use csv::StringRecord;
use units::{Kind, Length, Shop, System};

use crate::{Build, Gap, Joint, JointKind};

/// Largest table read, bytes.
pub const MAX_GAP_TABLE: usize = 1 << 20;
/// Most rows of readings read.
pub const MAX_GAP_ROWS: usize = 20_000;
/// Longest cell, characters.
const MAX_CELL: usize = 2000;
/// Most readings of one joint, as in the build file.
const MAX_GAPS: usize = 120;
/// Most joints of a build file.
const MAX_JOINTS: usize = 2000;
/// Lengths this close are the same, m.
const SAME: f64 = 1e-9;

/// Heads of the columns, in the order they are written.
pub const GAP_COLUMNS: [&str; 10] = [
    "joint", "label", "kind", "leg", "wall", "clock", "gap", "who", "when", "note",
];
const JOINT: usize = 0;
const LABEL: usize = 1;
const KIND: usize = 2;
const LEG: usize = 3;
const WALL: usize = 4;
const CLOCK: usize = 5;
const GAP: usize = 6;
const WHO: usize = 7;
const WHEN: usize = 8;
const NOTE: usize = 9;

/// What can not be read in a table of gaps, and where.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{}{problem}", place(*.line, *.column))]
pub struct GapTableError {
    /// Line of the text, from 1; none when it is about the whole table.
    pub line: Option<usize>,
    /// Head of the column.
    pub column: Option<&'static str>,
    /// What is wrong.
    pub problem: GapTableProblem,
}

fn place(line: Option<usize>, column: Option<&str>) -> String {
    match (line, column) {
        (None, _) => String::new(),
        (Some(line), None) => format!("line {line}: "),
        (Some(line), Some(column)) => format!("line {line}, {column}: "),
    }
}

impl GapTableError {
    /// The message with the file's name before it: "X.csv, line 4, gap: …".
    #[must_use]
    pub fn in_file(&self, name: &str) -> String {
        let between = if self.line.is_some() { ", " } else { ": " };
        format!("{name}{between}{self}")
    }
}

/// What is wrong with a table or a cell of it, and what to do.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum GapTableProblem {
    /// Larger than [`MAX_GAP_TABLE`].
    #[error(
        "it is {bytes} bytes long; a table has at most {MAX_GAP_TABLE}. Is this the right file?"
    )]
    TooLarge {
        /// Its size.
        bytes: usize,
    },
    /// More rows than [`MAX_GAP_ROWS`].
    #[error("more than {MAX_GAP_ROWS} rows. Split the table, or keep the worst readings")]
    TooManyRows,
    /// No head.
    #[error("it is empty. The first line names the columns: {}", GAP_COLUMNS.join(","))]
    Empty,
    /// The head is split by something else than commas.
    #[error("the columns are split by {found}, not commas. Save the sheet as CSV with commas")]
    Separator {
        /// What splits them.
        found: &'static str,
    },
    /// A column nobody asked for.
    #[error(
        "\"{name}\" is no column of this table{}. The columns are {}",
        near(.nearest.as_deref()), GAP_COLUMNS.join(", ")
    )]
    UnknownColumn {
        /// Its head.
        name: String,
        /// A head much like it.
        nearest: Option<String>,
    },
    /// A column that stands twice.
    #[error("this column stands twice. Keep one")]
    TwiceColumn,
    /// A column that must be there.
    #[error("the column \"{name}\" is missing. The columns are {}", GAP_COLUMNS.join(", "))]
    MissingColumn {
        /// Its head.
        name: &'static str,
    },
    /// A row of another length than the head.
    #[error(
        "{found} cells where the head has {wanted}. Put a text with a comma in quotes, and look for a quote that is not closed"
    )]
    Cells {
        /// Cells in the row.
        found: usize,
        /// Cells in the head.
        wanted: usize,
    },
    /// A cell longer than any.
    #[error(
        "{chars} characters are too many for one cell (at most {MAX_CELL}). Look for a quote that is not closed"
    )]
    LongCell {
        /// Its length.
        chars: usize,
    },
    /// A row without a joint.
    #[error("no joint is named. Write its short name on every row{}", near(.example.as_deref()))]
    NoJoint {
        /// One that is in the log.
        example: Option<String>,
    },
    /// A joint that is not in the build and can not be made.
    #[error(
        "\"{id}\" is not in the log{}. To add it write its kind, leg and wall; {missing} is empty",
        near(.nearest.as_deref())
    )]
    UnknownJoint {
        /// Its name.
        id: String,
        /// A joint of much the same name.
        nearest: Option<String>,
        /// The first of the three that is empty.
        missing: &'static str,
    },
    /// A short name no file can hold well.
    #[error(
        "a short name has no line breaks or control characters. Write it in letters and digits"
    )]
    BadName,
    /// Not a kind of joint.
    #[error("\"{text}\" is no kind of joint. Write one of: {}", KINDS.map(|(word, _)| word).join("; "))]
    Kind {
        /// What was written.
        text: String,
    },
    /// Not a length.
    #[error("{}", plain(&.0.to_string()))]
    Length(Box<units::ParseError>),
    /// Not a clock position.
    #[error("\"{text}\" is no place on a clock. Write hours from 0 to 12, like 3 or 10.5 or 10:30")]
    Clock {
        /// What was written.
        text: String,
    },
    /// A length out of range.
    #[error("{got} is out of range. Write {low} to {high}")]
    Range {
        /// What was written.
        got: String,
        /// Least.
        low: String,
        /// Greatest.
        high: String,
    },
    /// A cell that says something else than the joint has.
    #[error(
        "\"{text}\" is not what {id} has: \"{has}\". Write that or leave the cell empty; is this the right joint?"
    )]
    Disagrees {
        /// What was written.
        text: String,
        /// The joint.
        id: String,
        /// What it has.
        has: String,
    },
    /// A gap without a place.
    #[error("the gap has no place. Write where on the clock it was read, like 3")]
    NoClock,
    /// A place without a gap.
    #[error(
        "no gap was read there. Write one, like \"1/32 in\" or \"0 in\", or empty the clock too"
    )]
    NoGap,
    /// Too many readings for one joint.
    #[error("{id} has more than {MAX_GAPS} readings. Keep the worst ones")]
    TooManyGaps {
        /// The joint.
        id: String,
    },
    /// Too many joints for one build.
    #[error("more than {MAX_JOINTS} joints. Split the build")]
    TooManyJoints,
}

fn near(word: Option<&str>) -> String {
    word.map(|w| format!(" (\"{w}\"?)")).unwrap_or_default()
}

/// Kinds of joint by the words for them; the first word of a kind is the one written.
const KINDS: [(&str, JointKind); 5] = [
    ("butt", JointKind::Butt),
    ("tee, one fillet", JointKind::Tee { fillets: 1 }),
    ("tee, two fillets", JointKind::Tee { fillets: 2 }),
    ("lap", JointKind::Lap),
    ("coped tube", JointKind::Cope),
];

fn kind_word(kind: JointKind) -> &'static str {
    let same = |k: JointKind| match (k, kind) {
        (JointKind::Tee { fillets: a }, JointKind::Tee { fillets: b }) => (a >= 2) == (b >= 2),
        _ => k == kind,
    };
    KINDS
        .iter()
        .find(|(_, k)| same(*k))
        .map_or("", |(word, _)| word)
}

fn kind_of(text: &str) -> Option<JointKind> {
    let letters = |t: &str| -> String {
        let letters = t.chars().filter(|c| c.is_alphanumeric());
        letters.flat_map(char::to_lowercase).collect()
    };
    let asked = letters(text);
    let asked = match asked.as_str() {
        "tee1" => "teeonefillet",
        "tee2" => "teetwofillets",
        "cope" => "copedtube",
        other => other,
    };
    let found = KINDS.iter().find(|(word, _)| letters(word) == asked);
    found.map(|(_, kind)| *kind)
}

/// Starts that a spreadsheet takes for a formula.
const FORMULA: [char; 6] = ['=', '+', '-', '@', '\t', '\r'];

fn computed(text: &str) -> bool {
    text.starts_with(FORMULA) || text.trim_start().starts_with(FORMULA)
}

/// Behind an apostrophe where a spreadsheet would compute it, or where the apostrophe of the text
/// itself would be taken off on reading.
pub(crate) fn guarded(text: &str) -> String {
    let formula = computed(text) && text.parse::<f64>().is_err();
    if formula || unguarded(text) != text.trim() {
        format!("'{text}")
    } else {
        text.to_owned()
    }
}

/// A cell without blanks round it and without the apostrophe of [`guarded`].
pub(crate) fn unguarded(text: &str) -> &str {
    match text.trim_start().strip_prefix('\'') {
        Some(rest) if computed(rest) || rest.trim_start().starts_with('\'') => rest.trim(),
        _ => text.trim(),
    }
}

/// A length as the shop writes it, if that is the very value; else as the file has it.
fn length(l: Length, shop: &Shop) -> String {
    let si = l.si();
    if shop.system == System::Si {
        let kept = units::format_kept(Kind::Length, si, shop);
        if units::parse(Kind::Length, &kept).is_ok_and(|v| v.to_bits() == si.to_bits()) {
            return kept;
        }
    }
    units::exact(Kind::Length, si)
}

/// The fit-up log as comma-separated text with a head: a row for each reading, and one with clock
/// and gap left empty for each joint without any. [`read`] gives the same gaps back bit for bit.
#[must_use]
pub fn to_csv(build: &Build, shop: &Shop) -> String {
    let mut writer = csv::Writer::from_writer(Vec::new());
    // Memory takes every record; all are as long as the head.
    let _ = writer.write_record(GAP_COLUMNS);
    for j in &build.fit_up.joints {
        let mut readings: Vec<Option<&Gap>> = j.gaps.iter().map(Some).collect();
        if readings.is_empty() {
            readings.push(None);
        }
        for (i, g) in readings.into_iter().enumerate() {
            let note = if i == 0 { j.note.as_str() } else { "" };
            let row: [String; 10] = [
                j.id.clone(),
                j.label.clone(),
                kind_word(j.kind).to_owned(),
                length(j.leg, shop),
                length(j.wall, shop),
                g.map_or_else(String::new, |g| g.clock.to_string()),
                g.map_or_else(String::new, |g| length(g.gap, shop)),
                j.who.clone(),
                j.when.clone(),
                note.to_owned(),
            ];
            let _ = writer.write_record(row.iter().map(|c| guarded(c)));
        }
    }
    String::from_utf8(writer.into_inner().unwrap_or_default()).unwrap_or_default()
}

/// A joint being read.
struct Begun {
    joint: Joint,
    /// Readings of the table; they replace the joint's when there are any.
    gaps: Vec<Gap>,
    notes: Vec<String>,
}

/// Reads a table of gaps against a build: every joint it names, in its order, with the table's
/// readings in place of the joint's own. A joint all of whose rows have neither clock nor gap keeps
/// its readings; empty cells of who, when and note keep what it has. A joint that is not in the
/// build is made from its kind, leg and wall (a butt needs no leg).
///
/// # Errors
/// The first cell, row or head that can not be read: which line and column, and what to write.
/// Nothing is half-read.
pub fn read(text: &str, build: &Build) -> Result<Vec<Joint>, GapTableError> {
    let whole = |problem| GapTableError {
        line: None,
        column: None,
        problem,
    };
    if text.len() > MAX_GAP_TABLE {
        return Err(whole(GapTableProblem::TooLarge { bytes: text.len() }));
    }
    // Spreadsheets begin a text with a byte order mark.
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .from_reader(text.as_bytes());
    let mut lines = Lines::new(text);
    let mut record = StringRecord::new();
    let mut head: Option<Head> = None;
    let mut list = List::new(build);
    let mut rows = 0_usize;
    // A text in memory that is UTF-8 and may have rows of any length has no other error.
    while reader.read_record(&mut record).unwrap_or(false) {
        let at = record.position().map_or(0, csv::Position::byte);
        let line = lines.line_at(usize::try_from(at).unwrap_or(usize::MAX));
        let fail = |column: Option<usize>, problem| GapTableError {
            line: Some(line),
            column: column.and_then(|c| GAP_COLUMNS.get(c).copied()),
            problem,
        };
        let Some(head) = &head else {
            head = Some(Head::of(&record).map_err(|(column, p)| fail(column, p))?);
            continue;
        };
        if record.iter().all(|c| c.trim().is_empty()) {
            continue;
        }
        rows += 1;
        if rows > MAX_GAP_ROWS {
            return Err(fail(None, GapTableProblem::TooManyRows));
        }
        let (found, wanted) = (record.len(), head.wanted);
        if found != wanted {
            return Err(fail(None, GapTableProblem::Cells { found, wanted }));
        }
        let cells: [&str; 10] = std::array::from_fn(|column| head.cell(&record, column));
        list.row(&cells)
            .map_err(|(column, p)| fail(Some(column), p))?;
    }
    if head.is_none() {
        return Err(whole(GapTableProblem::Empty));
    }
    Ok(list.finish())
}

/// Which cell of a row each column is.
struct Head {
    cells: [Option<usize>; 10],
    wanted: usize,
}

impl Head {
    fn of(record: &StringRecord) -> Result<Self, (Option<usize>, GapTableProblem)> {
        let first = record.get(0).unwrap_or_default();
        for (mark, found) in [(';', "semicolons"), ('\t', "tabs")] {
            if record.len() == 1 && first.contains(mark) {
                return Err((None, GapTableProblem::Separator { found }));
            }
        }
        let mut cells = [None; 10];
        for (i, name) in record.iter().enumerate() {
            let name = name.trim().to_lowercase();
            let Some(column) = GAP_COLUMNS.iter().position(|c| *c == name) else {
                let nearest = nearest(&name, GAP_COLUMNS.into_iter());
                let name = shown(&name);
                return Err((None, GapTableProblem::UnknownColumn { name, nearest }));
            };
            if cells[column].replace(i).is_some() {
                return Err((Some(column), GapTableProblem::TwiceColumn));
            }
        }
        for column in [JOINT, CLOCK, GAP] {
            if cells[column].is_none() {
                let name = GAP_COLUMNS[column];
                return Err((None, GapTableProblem::MissingColumn { name }));
            }
        }
        Ok(Self {
            cells,
            wanted: record.len(),
        })
    }

    fn cell<'a>(&self, record: &'a StringRecord, column: usize) -> &'a str {
        let text = self.cells[column].and_then(|i| record.get(i));
        unguarded(text.unwrap_or_default())
    }
}

type Bad = (usize, GapTableProblem);

/// The joints named so far, in the table's order.
struct List<'a> {
    build: &'a Build,
    begun: Vec<Begun>,
    places: HashMap<String, usize>,
    added: usize,
}

impl<'a> List<'a> {
    fn new(build: &'a Build) -> Self {
        Self {
            build,
            begun: Vec::new(),
            places: HashMap::new(),
            added: 0,
        }
    }

    fn row(&mut self, cells: &[&str; 10]) -> Result<(), Bad> {
        for (column, text) in cells.iter().enumerate() {
            let chars = text.chars().count();
            if chars > MAX_CELL {
                return Err((column, GapTableProblem::LongCell { chars }));
            }
        }
        let place = self.joint(cells)?;
        let Some(begun) = self.begun.get_mut(place) else {
            return Ok(());
        };
        agrees(&begun.joint, cells)?;
        if let Some(gap) = gap(cells)? {
            if begun.gaps.len() >= MAX_GAPS {
                let id = shown(&begun.joint.id);
                return Err((JOINT, GapTableProblem::TooManyGaps { id }));
            }
            begun.gaps.push(gap);
        }
        for (text, to) in [
            (cells[WHO], &mut begun.joint.who),
            (cells[WHEN], &mut begun.joint.when),
        ] {
            if !text.is_empty() && to.trim() != text {
                text.clone_into(to);
            }
        }
        let note = cells[NOTE];
        if !note.is_empty() && !begun.notes.iter().any(|n| n == note) {
            begun.notes.push(note.to_owned());
        }
        Ok(())
    }

    /// Place of the row's joint in the list; it is begun where it was not named before.
    fn joint(&mut self, cells: &[&str; 10]) -> Result<usize, Bad> {
        let id = cells[JOINT];
        let log = &self.build.fit_up.joints;
        if id.is_empty() {
            let example = log.first().map(|j| shown(&j.id));
            return Err((JOINT, GapTableProblem::NoJoint { example }));
        }
        if let Some(place) = self.places.get(id) {
            return Ok(*place);
        }
        let known = log.iter().find(|j| j.id.trim() == id);
        let joint = match known {
            Some(j) => j.clone(),
            None => {
                self.added += 1;
                if log.len() + self.added > MAX_JOINTS {
                    return Err((JOINT, GapTableProblem::TooManyJoints));
                }
                new_joint(self.build, cells)?
            }
        };
        let place = self.begun.len();
        self.places.insert(id.to_owned(), place);
        self.begun.push(Begun {
            joint,
            gaps: Vec::new(),
            notes: Vec::new(),
        });
        Ok(place)
    }

    fn finish(self) -> Vec<Joint> {
        let one = |b: Begun| {
            let mut joint = b.joint;
            if !b.gaps.is_empty() {
                joint.gaps = b.gaps;
            }
            let note = b.notes.join("; ");
            if !note.is_empty() && joint.note.trim() != note {
                joint.note = note;
            }
            joint
        };
        self.begun.into_iter().map(one).collect()
    }
}

fn new_joint(build: &Build, cells: &[&str; 10]) -> Result<Joint, Bad> {
    let id = cells[JOINT];
    if id.chars().any(char::is_control) {
        return Err((JOINT, GapTableProblem::BadName));
    }
    let kind = if cells[KIND].is_empty() {
        None
    } else {
        Some(kind_cell(cells[KIND])?)
    };
    let needs_leg = kind != Some(JointKind::Butt);
    let empty = |column: usize| cells[column].is_empty() && (column != LEG || needs_leg);
    if let Some(missing) = [KIND, LEG, WALL].into_iter().find(|c| empty(*c)) {
        let ids = build.fit_up.joints.iter().map(|j| j.id.as_str());
        let problem = GapTableProblem::UnknownJoint {
            id: shown(id),
            nearest: nearest(id, ids),
            missing: GAP_COLUMNS[missing],
        };
        return Err((missing, problem));
    }
    let leg = match cells[LEG] {
        "" => Length::ZERO,
        text => ranged(LEG, text, 0.0, 0.1)?,
    };
    let wall = ranged(WALL, cells[WALL], 0.0002, 0.2)?;
    let label = if cells[LABEL].is_empty() {
        id
    } else {
        cells[LABEL]
    };
    Ok(Joint::new(
        id,
        label,
        kind.unwrap_or(JointKind::Butt),
        wall,
        leg,
    ))
}

/// Cells that describe a joint may only say what it is: a slip there is a reading under the wrong
/// joint.
fn agrees(j: &Joint, cells: &[&str; 10]) -> Result<(), Bad> {
    let disagrees = |column: usize, has: &str| {
        let problem = GapTableProblem::Disagrees {
            text: shown(cells[column]),
            id: shown(&j.id),
            has: shown(has),
        };
        Err((column, problem))
    };
    let label = cells[LABEL];
    if !label.is_empty() && label != j.label.trim() {
        return disagrees(LABEL, &j.label);
    }
    if !cells[KIND].is_empty() && kind_word(kind_cell(cells[KIND])?) != kind_word(j.kind) {
        return disagrees(KIND, kind_word(j.kind));
    }
    for (column, has) in [(LEG, j.leg), (WALL, j.wall)] {
        let text = cells[column];
        if !text.is_empty() && (cell_length(column, text)? - has.si()).abs() > SAME {
            return disagrees(column, &units::exact(Kind::Length, has.si()));
        }
    }
    Ok(())
}

fn kind_cell(text: &str) -> Result<JointKind, Bad> {
    let bad = || {
        let text = shown(text);
        (KIND, GapTableProblem::Kind { text })
    };
    kind_of(text).ok_or_else(bad)
}

fn cell_length(column: usize, text: &str) -> Result<f64, Bad> {
    units::parse(Kind::Length, text).map_err(|e| (column, GapTableProblem::Length(Box::new(e))))
}

fn ranged(column: usize, text: &str, low: f64, high: f64) -> Result<Length, Bad> {
    let si = cell_length(column, text)?;
    if si >= low && si <= high {
        return Ok(Length::from_si(si));
    }
    let bound = |si| crate::file::bound(Kind::Length, si);
    let problem = GapTableProblem::Range {
        got: shown(text),
        low: bound(low),
        high: bound(high),
    };
    Err((column, problem))
}

fn gap(cells: &[&str; 10]) -> Result<Option<Gap>, Bad> {
    match (cells[CLOCK], cells[GAP]) {
        ("", "") => Ok(None),
        ("", _) => Err((CLOCK, GapTableProblem::NoClock)),
        (_, "") => Err((GAP, GapTableProblem::NoGap)),
        (at, size) => Ok(Some(Gap {
            clock: clock(at)?,
            gap: ranged(GAP, size, 0.0, 0.1)?,
        })),
    }
}

/// Hours from 0 to 12: `3`, `10.5`, `10:30`, `3 o'clock`.
fn clock(text: &str) -> Result<f64, Bad> {
    let plain = text.strip_suffix("o'clock").unwrap_or(text).trim();
    let hours = match plain.split_once(':') {
        None => plain.parse::<f64>().ok(),
        Some((hours, minutes)) => {
            let (h, m) = (hours.parse::<u8>().ok(), minutes.parse::<u8>().ok());
            let both = h.zip(m).filter(|(_, m)| *m < 60 && minutes.len() == 2);
            both.map(|(h, m)| f64::from(h) + f64::from(m) / 60.0)
        }
    };
    let bad = || {
        let text = shown(text);
        (CLOCK, GapTableProblem::Clock { text })
    };
    hours.filter(|h| (0.0..=12.0).contains(h)).ok_or_else(bad)
}

/// A word much like another one.
pub(crate) fn nearest<'a>(word: &str, words: impl Iterator<Item = &'a str>) -> Option<String> {
    let word: String = word.chars().take(40).collect();
    let limit = 1 + word.chars().count() / 4;
    words
        .map(|w| {
            (
                strsim::damerau_levenshtein(&word.to_lowercase(), &w.to_lowercase()),
                w,
            )
        })
        .filter(|(d, _)| *d <= limit)
        .min()
        .map(|(_, w)| shown(w))
}

/// A cell for a message: not long, and nothing in it that a terminal obeys.
pub(crate) fn shown(text: &str) -> String {
    let mut out: String = plain(text).chars().take(60).collect();
    if text.chars().nth(60).is_some() {
        out.push('…');
    }
    out
}

pub(crate) fn plain(text: &str) -> String {
    let one = |c: char| if c.is_control() { ' ' } else { c };
    text.chars().map(one).collect()
}

/// Counts lines as bytes go by; a row's own line, past the empty ones before it.
pub(crate) struct Lines<'a> {
    text: &'a [u8],
    at: usize,
    line: usize,
}

impl<'a> Lines<'a> {
    pub(crate) fn new(text: &'a str) -> Self {
        Self {
            text: text.as_bytes(),
            at: 0,
            line: 1,
        }
    }

    /// The line of the first byte from `at` on that ends no line; `at` only grows.
    pub(crate) fn line_at(&mut self, at: usize) -> usize {
        while let Some(byte) = self.text.get(self.at) {
            let ends = matches!(byte, b'\n' | b'\r');
            if self.at >= at && !ends {
                break;
            }
            let pair = *byte == b'\r' && self.text.get(self.at + 1) == Some(&b'\n');
            if ends && !pair {
                self.line += 1;
            }
            self.at += 1;
        }
        self.line
    }
}
