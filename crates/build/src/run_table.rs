//! The run log as a table of comma-separated text, one row a run: kept in a spreadsheet at the strip,
//! read back cell by cell.
//!
//! Cells hold what people write: `14 psi`, `24 °C`, `119.8 mph`. A bare number is seconds in a column
//! of times and turns a minute in a column of engine speeds; everything else carries its unit. A text
//! that a spreadsheet would take for a formula is written behind an apostrophe, which is taken off
//! again on reading.

use std::collections::HashMap;

use csv::StringRecord;
use units::{Kind, Pressure, Ratio, RotationSpeed, Shop, Speed, Temperature, Time};

use crate::gap_table::{Lines, guarded, nearest, plain, shown, unguarded};
use crate::{Build, RunRecord, RunSetting, RunTimes, Seen};

/// Largest table read, bytes.
pub const MAX_RUN_TABLE: usize = 1 << 20;
/// Most runs of a build file.
pub const MAX_RUNS: usize = 2000;
/// Longest cell, characters.
const MAX_CELL: usize = 2000;
/// Most shift speeds of a run, as in the build file.
const MAX_SHIFTS: usize = 400;

/// Heads of the columns, in the order they are written.
pub const RUN_COLUMNS: [&str; 21] = [
    "run",
    "when",
    "place",
    "launch",
    "shifts",
    "rear pressure",
    "front pressure",
    "clicks",
    "temperature",
    "station pressure",
    "humidity",
    "60 ft",
    "330 ft",
    "eighth",
    "1000 ft",
    "quarter",
    "speed",
    "0-60",
    "seen",
    "note",
    "counts",
];
const COLUMNS: usize = RUN_COLUMNS.len();
const RUN: usize = 0;
const WHEN: usize = 1;
const PLACE: usize = 2;
const LAUNCH: usize = 3;
const SHIFTS: usize = 4;
const REAR: usize = 5;
const FRONT: usize = 6;
const CLICKS: usize = 7;
const TEMPERATURE: usize = 8;
const STATION: usize = 9;
const HUMIDITY: usize = 10;
const SIXTY: usize = 11;
const THREE_THIRTY: usize = 12;
const EIGHTH: usize = 13;
const THOUSAND: usize = 14;
const QUARTER: usize = 15;
const SPEED: usize = 16;
const ZERO_SIXTY: usize = 17;
const SEEN: usize = 18;
const NOTE: usize = 19;
const COUNTS: usize = 20;

/// What a quantity of a run is of, and its range as a build file takes it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RunRange {
    /// Kind of quantity.
    pub kind: Kind,
    /// Least, SI.
    pub low: f64,
    /// Greatest, SI.
    pub high: f64,
}

impl RunRange {
    const fn new(kind: Kind, low: f64, high: f64) -> Self {
        Self { kind, low, high }
    }

    /// A time on the slip.
    pub const TIME: Self = Self::new(Kind::Time, 0.05, 1000.0);
    /// A speed on the slip.
    pub const SPEED: Self = Self::new(Kind::Speed, 1.0, 300.0);
    /// Launch speed of the engine.
    pub const LAUNCH: Self = Self::new(Kind::RotationSpeed, 10.0, 2500.0);
    /// Shift speed of a gear.
    pub const SHIFT: Self = Self::new(Kind::RotationSpeed, 1.0, 3000.0);
    /// Pressure in a tyre, over the air's.
    pub const TYRE: Self = Self::new(Kind::Pressure, 0.0, 2e6);
    /// Temperature of the air.
    pub const TEMPERATURE: Self = Self::new(Kind::Temperature, 200.0, 340.0);
    /// Station pressure.
    pub const STATION: Self = Self::new(Kind::Pressure, 4e4, 1.15e5);
    /// Relative humidity.
    pub const HUMIDITY: Self = Self::new(Kind::Ratio, 0.0, 1.0);

    /// The value, when it is in the range.
    ///
    /// # Errors
    /// It is not, or it is no number: the range in words.
    pub fn check(&self, si: f64) -> Result<f64, RunTableProblem> {
        if si >= self.low && si <= self.high {
            return Ok(si);
        }
        let bound = |si| crate::file::bound(self.kind, si);
        Err(RunTableProblem::Range {
            got: units::exact(self.kind, si),
            low: bound(self.low),
            high: bound(self.high),
        })
    }
}

/// What can not be read in a table of runs, and where.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{}{problem}", place(*.line, *.column))]
pub struct RunTableError {
    /// Line of the text, from 1; none when it is about the whole table.
    pub line: Option<usize>,
    /// Head of the column.
    pub column: Option<&'static str>,
    /// What is wrong.
    pub problem: RunTableProblem,
}

fn place(line: Option<usize>, column: Option<&str>) -> String {
    match (line, column) {
        (None, _) => String::new(),
        (Some(line), None) => format!("line {line}: "),
        (Some(line), Some(column)) => format!("line {line}, {column}: "),
    }
}

impl RunTableError {
    /// The message with the file's name before it: "X.csv, line 4, 60 ft: …".
    #[must_use]
    pub fn in_file(&self, name: &str) -> String {
        let between = if self.line.is_some() { ", " } else { ": " };
        format!("{name}{between}{self}")
    }
}

/// What is wrong with a table or a cell of it, and what to do.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum RunTableProblem {
    /// Larger than [`MAX_RUN_TABLE`].
    #[error(
        "it is {bytes} bytes long; a table has at most {MAX_RUN_TABLE}. Is this the right file?"
    )]
    TooLarge {
        /// Its size.
        bytes: usize,
    },
    /// No head.
    #[error("it is empty. The first line names the columns: {}", RUN_COLUMNS.join(","))]
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
        near(.nearest.as_deref()), RUN_COLUMNS.join(", ")
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
    /// The column of the runs' names is missing.
    #[error("the column \"run\" is missing. It names each run, like R1")]
    MissingColumn,
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
    /// A row without a run.
    #[error("no run is named. Write its short name on every row, like R1")]
    NoRun,
    /// A short name no file can hold well.
    #[error(
        "a short name has no line breaks or control characters. Write it in letters and digits"
    )]
    BadName,
    /// A run that stands twice.
    #[error("run {id} stands on line {first} already. Give each run a name of its own")]
    TwiceRun {
        /// The run.
        id: String,
        /// Line of the first.
        first: usize,
    },
    /// Not a quantity of the column's kind.
    #[error("{}", plain(&.0.to_string()))]
    Value(Box<units::ParseError>),
    /// Out of range.
    #[error("{got} is out of range. Write {low} to {high}")]
    Range {
        /// What was written.
        got: String,
        /// Least.
        low: String,
        /// Greatest.
        high: String,
    },
    /// Not something that can be seen.
    #[error(
        "\"{text}\" is nothing the log knows{}. Write, split by semicolons: {}",
        near(.nearest.as_deref()), Seen::ALL.map(Seen::words).join("; ")
    )]
    Seen {
        /// What was written.
        text: String,
        /// Words much like it.
        nearest: Option<String>,
    },
    /// Neither yes nor no.
    #[error("\"{text}\" is neither yes nor no. Write yes where the run counts for the friction")]
    Counts {
        /// What was written.
        text: String,
    },
    /// Too many shift speeds.
    #[error("more than {MAX_SHIFTS} shift speeds. Write one for each gear")]
    TooManyShifts,
    /// Too many runs for one build.
    #[error("more than {MAX_RUNS} runs. Split the log")]
    TooManyRuns,
}

fn near(word: Option<&str>) -> String {
    word.map(|w| format!(" (\"{w}\"?)")).unwrap_or_default()
}

/// A quantity as the shop writes it, if that is the very value; else as the file has it.
fn value(kind: Kind, si: f64, shop: &Shop) -> String {
    for text in [
        units::format(kind, si, shop),
        units::format_kept(kind, si, shop),
    ] {
        if units::parse(kind, &text).is_ok_and(|v| v.to_bits() == si.to_bits()) {
            return text;
        }
    }
    units::exact(kind, si)
}

/// The run log as comma-separated text with a head, a row for each run. [`read`] gives the same runs
/// back bit for bit against the same build.
#[must_use]
pub fn to_csv(build: &Build, shop: &Shop) -> String {
    let mut writer = csv::Writer::from_writer(Vec::new());
    // Memory takes every record; all are as long as the head.
    let _ = writer.write_record(RUN_COLUMNS);
    for run in &build.run.log {
        let _ = writer.write_record(row(run, shop).iter().map(|c| guarded(c)));
    }
    String::from_utf8(writer.into_inner().unwrap_or_default()).unwrap_or_default()
}

fn row(run: &RunRecord, shop: &Shop) -> [String; COLUMNS] {
    let rpm = |s: RotationSpeed| value(Kind::RotationSpeed, s.si(), shop);
    let tyre = |p: Option<Pressure>| p.map(|p| value(Kind::Pressure, p.si(), shop));
    let time = |t: Option<Time>| t.map(|t| value(Kind::Time, t.si(), shop));
    let (s, w, t) = (&run.setting, &run.weather, &run.times);
    let shifts: Vec<String> = s.shifts.iter().map(|x| rpm(*x)).collect();
    let seen: Vec<&str> = run.seen.iter().map(|x| x.words()).collect();
    let speed = t.quarter_speed.map(|v| value(Kind::Speed, v.si(), shop));
    [
        run.id.clone(),
        run.when.clone(),
        run.place.clone(),
        rpm(s.launch),
        shifts.join("; "),
        tyre(s.rear_pressure).unwrap_or_default(),
        tyre(s.front_pressure).unwrap_or_default(),
        s.clicks.clone(),
        value(Kind::Temperature, w.temperature.si(), shop),
        value(Kind::Pressure, w.pressure.si(), shop),
        value(Kind::Ratio, w.humidity.si(), shop),
        time(t.sixty_foot).unwrap_or_default(),
        time(t.three_thirty).unwrap_or_default(),
        time(t.eighth).unwrap_or_default(),
        time(t.thousand).unwrap_or_default(),
        time(t.quarter).unwrap_or_default(),
        speed.unwrap_or_default(),
        time(t.zero_sixty).unwrap_or_default(),
        seen.join("; "),
        run.note.clone(),
        if run.learn { "yes" } else { "no" }.to_owned(),
    ]
}

type Bad = (usize, RunTableProblem);

/// Reads a table of runs against a build: every run it names, in its order. A run that is in the log
/// keeps its links, coil-overs, files and predicted times, and an empty cell keeps what it has. A run
/// that is not is made at the build's present setting and in its present air, where the table does
/// not say otherwise.
///
/// # Errors
/// The first cell, row or head that can not be read: which line and column, and what to write.
/// Nothing is half-read.
pub fn read(text: &str, build: &Build) -> Result<Vec<RunRecord>, RunTableError> {
    let whole = |problem| RunTableError {
        line: None,
        column: None,
        problem,
    };
    if text.len() > MAX_RUN_TABLE {
        return Err(whole(RunTableProblem::TooLarge { bytes: text.len() }));
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
    let mut runs = Vec::new();
    let mut places: HashMap<String, usize> = HashMap::new();
    let mut added = 0_usize;
    // A text in memory that is UTF-8 and may have rows of any length has no other error.
    while reader.read_record(&mut record).unwrap_or(false) {
        let at = record.position().map_or(0, csv::Position::byte);
        let line = lines.line_at(usize::try_from(at).unwrap_or(usize::MAX));
        let fail = |column: Option<usize>, problem| RunTableError {
            line: Some(line),
            column: column.and_then(|c| RUN_COLUMNS.get(c).copied()),
            problem,
        };
        let Some(head) = &head else {
            head = Some(Head::of(&record).map_err(|(column, p)| fail(column, p))?);
            continue;
        };
        if record.iter().all(|c| c.trim().is_empty()) {
            continue;
        }
        let (found, wanted) = (record.len(), head.wanted);
        if found != wanted {
            return Err(fail(None, RunTableProblem::Cells { found, wanted }));
        }
        let cells: [&str; COLUMNS] = std::array::from_fn(|column| head.cell(&record, column));
        let (run, new) = one(&cells, build).map_err(|(column, p)| fail(Some(column), p))?;
        if let Some(first) = places.insert(run.id.clone(), line) {
            let id = shown(&run.id);
            return Err(fail(Some(RUN), RunTableProblem::TwiceRun { id, first }));
        }
        added += usize::from(new);
        if build.run.log.len() + added > MAX_RUNS {
            return Err(fail(None, RunTableProblem::TooManyRuns));
        }
        runs.push(run);
    }
    if head.is_none() {
        return Err(whole(RunTableProblem::Empty));
    }
    Ok(runs)
}

/// Which cell of a row each column is.
struct Head {
    cells: [Option<usize>; COLUMNS],
    wanted: usize,
}

impl Head {
    fn of(record: &StringRecord) -> Result<Self, (Option<usize>, RunTableProblem)> {
        let first = record.get(0).unwrap_or_default();
        for (mark, found) in [(';', "semicolons"), ('\t', "tabs")] {
            if record.len() == 1 && first.contains(mark) {
                return Err((None, RunTableProblem::Separator { found }));
            }
        }
        let mut cells = [None; COLUMNS];
        for (i, name) in record.iter().enumerate() {
            let name = name.trim().to_lowercase();
            let Some(column) = RUN_COLUMNS.iter().position(|c| *c == name) else {
                let nearest = nearest(&name, RUN_COLUMNS.into_iter());
                let name = shown(&name);
                return Err((None, RunTableProblem::UnknownColumn { name, nearest }));
            };
            if cells[column].replace(i).is_some() {
                return Err((Some(column), RunTableProblem::TwiceColumn));
            }
        }
        if cells[RUN].is_none() {
            return Err((None, RunTableProblem::MissingColumn));
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

/// The run of a row, and whether it is a new one.
fn one(cells: &[&str; COLUMNS], build: &Build) -> Result<(RunRecord, bool), Bad> {
    for (column, text) in cells.iter().enumerate() {
        let chars = text.chars().count();
        if chars > MAX_CELL {
            return Err((column, RunTableProblem::LongCell { chars }));
        }
    }
    let id = cells[RUN];
    if id.is_empty() {
        return Err((RUN, RunTableProblem::NoRun));
    }
    if id.chars().any(char::is_control) {
        return Err((RUN, RunTableProblem::BadName));
    }
    let known = build.run.log.iter().find(|r| r.id.trim() == id);
    let mut run = known.cloned().unwrap_or_else(|| RunRecord {
        id: id.to_owned(),
        when: String::new(),
        place: String::new(),
        setting: RunSetting::of(build),
        weather: build.run.weather,
        times: RunTimes::default(),
        seen: Vec::new(),
        note: String::new(),
        files: Vec::new(),
        predicted: RunTimes::default(),
        learn: false,
    });
    words(cells, &mut run);
    setting(cells, &mut run.setting)?;
    if let Some(si) = quantity(cells, TEMPERATURE, RunRange::TEMPERATURE)? {
        run.weather.temperature = Temperature::from_si(si);
    }
    if let Some(si) = quantity(cells, STATION, RunRange::STATION)? {
        run.weather.pressure = Pressure::from_si(si);
    }
    if let Some(si) = quantity(cells, HUMIDITY, RunRange::HUMIDITY)? {
        run.weather.humidity = Ratio::from_si(si);
    }
    times(cells, &mut run.times)?;
    if !cells[SEEN].is_empty() {
        run.seen = seen(cells[SEEN])?;
    }
    if !cells[COUNTS].is_empty() {
        run.learn = yes(cells[COUNTS])?;
    }
    Ok((run, known.is_none()))
}

fn words(cells: &[&str; COLUMNS], run: &mut RunRecord) {
    for (text, to) in [
        (cells[WHEN], &mut run.when),
        (cells[PLACE], &mut run.place),
        (cells[CLICKS], &mut run.setting.clicks),
        (cells[NOTE], &mut run.note),
    ] {
        if !text.is_empty() && to.trim() != text {
            text.clone_into(to);
        }
    }
}

fn setting(cells: &[&str; COLUMNS], s: &mut RunSetting) -> Result<(), Bad> {
    if let Some(si) = quantity(cells, LAUNCH, RunRange::LAUNCH)? {
        s.launch = RotationSpeed::from_si(si);
    }
    if !cells[SHIFTS].is_empty() {
        let mut shifts = Vec::new();
        for text in cells[SHIFTS].split(';') {
            let si = of_text(SHIFTS, text.trim(), RunRange::SHIFT)?;
            shifts.push(RotationSpeed::from_si(si));
            if shifts.len() > MAX_SHIFTS {
                return Err((SHIFTS, RunTableProblem::TooManyShifts));
            }
        }
        s.shifts = shifts;
    }
    for (column, to) in [(REAR, &mut s.rear_pressure), (FRONT, &mut s.front_pressure)] {
        if let Some(si) = quantity(cells, column, RunRange::TYRE)? {
            *to = Some(Pressure::from_si(si));
        }
    }
    Ok(())
}

fn times(cells: &[&str; COLUMNS], t: &mut RunTimes) -> Result<(), Bad> {
    for (column, to) in [
        (SIXTY, &mut t.sixty_foot),
        (THREE_THIRTY, &mut t.three_thirty),
        (EIGHTH, &mut t.eighth),
        (THOUSAND, &mut t.thousand),
        (QUARTER, &mut t.quarter),
        (ZERO_SIXTY, &mut t.zero_sixty),
    ] {
        if let Some(si) = quantity(cells, column, RunRange::TIME)? {
            *to = Some(Time::from_si(si));
        }
    }
    if let Some(si) = quantity(cells, SPEED, RunRange::SPEED)? {
        t.quarter_speed = Some(Speed::from_si(si));
    }
    Ok(())
}

/// The quantity of a cell; none where it is empty.
fn quantity(cells: &[&str; COLUMNS], column: usize, range: RunRange) -> Result<Option<f64>, Bad> {
    match cells[column] {
        "" => Ok(None),
        text => of_text(column, text, range).map(Some),
    }
}

fn of_text(column: usize, text: &str, range: RunRange) -> Result<f64, Bad> {
    // A slip prints bare seconds, a tachometer bare turns: there is no other unit to mistake them for.
    let unit = match range.kind {
        Kind::Time => " s",
        Kind::RotationSpeed => " rpm",
        _ => "",
    };
    let bare = text.bytes().all(|b| b.is_ascii_digit() || b == b'.');
    let si = if bare {
        units::parse(range.kind, &format!("{text}{unit}"))
    } else {
        units::parse(range.kind, text)
    };
    let si = si.map_err(|e| (column, RunTableProblem::Value(Box::new(e))))?;
    range.check(si).map_err(|mut e| {
        if let RunTableProblem::Range { got, .. } = &mut e {
            *got = shown(text);
        }
        (column, e)
    })
}

/// Letters and digits alone, small.
fn letters(text: &str) -> String {
    let letters = text.chars().filter(|c| c.is_alphanumeric());
    letters.flat_map(char::to_lowercase).collect()
}

fn seen(text: &str) -> Result<Vec<Seen>, Bad> {
    let mut out: Vec<Seen> = Vec::new();
    for part in text.split(';').map(str::trim).filter(|p| !p.is_empty()) {
        let asked = letters(part);
        let asked = match asked.as_str() {
            "spun" | "spin" => "spunthetyres",
            "stop" | "hitstop" => "hitastop",
            "clean" => "leftclean",
            "wheelie" => "stoodup",
            other => other,
        };
        let found = Seen::ALL.into_iter().find(|s| letters(s.words()) == asked);
        let Some(found) = found else {
            let nearest = nearest(part, Seen::ALL.into_iter().map(Seen::words));
            let text = shown(part);
            return Err((SEEN, RunTableProblem::Seen { text, nearest }));
        };
        if !out.contains(&found) {
            out.push(found);
        }
    }
    Ok(out)
}

fn yes(text: &str) -> Result<bool, Bad> {
    match letters(text).as_str() {
        "yes" | "y" | "true" | "1" | "x" => Ok(true),
        "no" | "n" | "false" | "0" => Ok(false),
        _ => {
            let text = shown(text);
            Err((COUNTS, RunTableProblem::Counts { text }))
        }
    }
}
