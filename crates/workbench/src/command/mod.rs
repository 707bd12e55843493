//! The command line: readings, sweeps, sheets, checks, new builds, from the same study.

mod frame;
mod gaps;
mod holes;
mod holes_table;
mod log;
mod output;
mod run;
mod tolerance;
mod weld;

pub(crate) use holes_table::{csv, tab_separated};
pub(crate) use output::decimal;

use std::ffi::OsString;
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use build::{Build, Over, Study, file};
use clap::builder::{PossibleValuesParser, TypedValueParser};
use clap::error::ErrorKind;
use clap::{CommandFactory, Parser, Subcommand, ValueEnum};
use units::{Fraction, Shop, System};

/// Plans the build of a fast street car's chassis. Without a command the window opens.
#[derive(Parser)]
#[command(name = "stringline", version, args_conflicts_with_subcommands = true)]
struct Arguments {
    /// Build file to open in the window.
    file: Option<PathBuf>,
    #[command(subcommand)]
    command: Option<Command>,
}

#[derive(Subcommand)]
enum Command {
    /// Print every reading of a build.
    Readings {
        /// Build file.
        file: PathBuf,
        /// As JSON: id, label, SI value, unit, display text, status, reason.
        #[arg(long)]
        json: bool,
        #[command(flatten)]
        units: Units,
    },
    /// Print the rear axle's readings over travel or roll.
    Sweep {
        /// Build file.
        file: PathBuf,
        /// What to sweep.
        #[arg(long, value_enum)]
        over: Axis,
        /// As JSON, SI.
        #[arg(long, conflicts_with = "csv")]
        json: bool,
        /// As CSV, in display units with the units in the head.
        #[arg(long)]
        csv: bool,
        #[command(flatten)]
        units: Units,
    },
    /// Write a sheet for the bench.
    Sheet {
        /// Build file.
        file: PathBuf,
        /// Which sheet.
        #[arg(value_enum)]
        #[arg(value_parser = sheet_names())]
        sheet: sheets::Which,
        /// Where to; the ending says what: .pdf, .svg or .csv.
        #[arg(long)]
        out: PathBuf,
        /// Paper.
        #[arg(long, value_enum, default_value = "letter")]
        paper: PaperSize,
        #[command(flatten)]
        units: Units,
    },
    /// Try every combination of bracket holes against the build's target bands; the best first.
    Holes {
        /// Build file.
        file: PathBuf,
        /// Left and right on holes of their own.
        #[arg(long)]
        free: bool,
        /// Links keep the lengths they are held at, instead of being set to suit.
        #[arg(long)]
        held: bool,
        /// How many of the best to print.
        #[arg(long, default_value_t = 20)]
        keep: usize,
        /// As JSON, SI.
        #[arg(long, conflicts_with = "csv")]
        json: bool,
        /// As CSV, in display units with the units in the head.
        #[arg(long)]
        csv: bool,
        #[command(flatten)]
        units: Units,
    },
    /// Print what misplaced holes cost: how far each figure moves, and which dimensions matter most.
    Tolerance {
        /// Build file.
        file: PathBuf,
        /// How far each hole may be off each way, such as "1/32 in"; else what the build says.
        #[arg(long)]
        plus_minus: Option<String>,
        /// Links keep the drawing's lengths, instead of being set to suit.
        #[arg(long)]
        held: bool,
        /// Random builds to look at.
        #[arg(long, default_value_t = 10_000)]
        samples: usize,
        /// Seed of the random builds: the same one gives the same answer.
        #[arg(long, default_value_t = 1)]
        seed: u64,
        /// As JSON, SI, with every sensitivity.
        #[arg(long)]
        json: bool,
        #[command(flatten)]
        units: Units,
    },
    /// Print what welding does: joints, control dimensions, order, record, beads, filler and gas.
    Weld {
        /// Build file.
        file: PathBuf,
        /// As JSON, SI, everything.
        #[arg(long)]
        json: bool,
        /// Every published estimate of every joint side by side, with its source.
        #[arg(long, conflicts_with = "json")]
        estimates: bool,
        #[command(flatten)]
        units: Units,
    },
    /// Write the fit-up log as a table of CSV, or read one into the build.
    #[command(group = clap::ArgGroup::new("way").required(true))]
    Gaps {
        /// Build file.
        file: PathBuf,
        /// Where to write the table.
        #[arg(long, group = "way", value_name = "TABLE")]
        out: Option<PathBuf>,
        /// Table to read; says what changes.
        #[arg(long, group = "way", value_name = "TABLE")]
        read: Option<PathBuf>,
        /// Keep what was read in the build file.
        #[arg(long, requires = "read", conflicts_with = "out")]
        save: bool,
        #[command(flatten)]
        units: Units,
    },
    /// Print the findings; exit status 1 if any is an error.
    Check {
        /// Build file.
        file: PathBuf,
        #[command(flatten)]
        units: Units,
    },
    /// Make a new build file; never writes over one that is there.
    New {
        /// Where to.
        file: PathBuf,
        /// Start from a shipped sample instead of an empty build.
        #[arg(long)]
        sample: Option<String>,
    },
    /// Print the run down the strip: time slip, limits, events, goal, what moves the times.
    Run {
        /// Build file.
        file: PathBuf,
        /// As JSON, SI, everything.
        #[arg(long, conflicts_with = "csv")]
        json: bool,
        /// The history as CSV, a row every 0.01 s, in display units with the units in the head.
        #[arg(long)]
        csv: bool,
        /// Also run it this many times with the inputs drawn from their ± (1000 when not said).
        #[arg(long, value_name = "RUNS", num_args = 0..=1, default_missing_value = "1000",
            value_parser = clap::value_parser!(u32).range(1..=1_000_000), conflicts_with = "csv")]
        simulate: Option<u32>,
        /// Also the launch at full throttle with tyre slip: an extension, not validated.
        #[arg(long, conflicts_with = "csv")]
        slip: bool,
        #[command(flatten)]
        units: Units,
    },
    /// Print the frame's stiffness: twist and bending, what each tube brings, reserves under power, braces.
    Frame {
        /// Build file.
        file: PathBuf,
        /// As JSON, SI, everything.
        #[arg(long)]
        json: bool,
        #[command(flatten)]
        units: Units,
    },
    /// Print the run log beside the model: what was changed, times, friction, advice.
    Log {
        /// Build file.
        file: PathBuf,
        /// As JSON, SI.
        #[arg(long)]
        json: bool,
        /// The runs as a table, in display units; the window reads it back.
        #[arg(long, conflicts_with = "json")]
        csv: bool,
        #[command(flatten)]
        units: Units,
    },
}

#[derive(clap::Args, Clone, Copy)]
struct Units {
    /// Display units.
    #[arg(long, value_enum, default_value = "inch")]
    units: Family,
    /// Fineness of lengths: tape fraction, or decimals.
    #[arg(long, value_enum, default_value = "16")]
    fraction: Fineness,
}

#[derive(Clone, Copy, ValueEnum)]
enum Family {
    Inch,
    Metric,
}

#[derive(Clone, Copy, ValueEnum)]
enum Fineness {
    #[value(name = "16")]
    Sixteenth,
    #[value(name = "32")]
    ThirtySecond,
    #[value(name = "64")]
    SixtyFourth,
    Decimal,
}

#[derive(Clone, Copy, ValueEnum)]
enum Axis {
    Travel,
    Roll,
}

/// The sheets by their names.
fn sheet_names() -> impl TypedValueParser<Value = sheets::Which> {
    let all = sheets::Which::ALL;
    PossibleValuesParser::new(all.map(sheets::Which::id)).map(move |name| {
        let found = all.into_iter().find(|w| w.id() == name);
        found.unwrap_or_default()
    })
}

#[derive(Clone, Copy, ValueEnum)]
enum PaperSize {
    Letter,
    A4,
}

impl From<Units> for Shop {
    fn from(u: Units) -> Self {
        Self {
            system: match u.units {
                Family::Inch => System::InchPound,
                Family::Metric => System::Si,
            },
            fraction: match u.fraction {
                Fineness::Sixteenth => Fraction::Sixteenth,
                Fineness::ThirtySecond => Fraction::ThirtySecond,
                Fineness::SixtyFourth => Fraction::SixtyFourth,
                Fineness::Decimal => Fraction::Decimal,
            },
        }
    }
}

/// What was wrong, in words for standard error.
pub(crate) struct Trouble(pub(crate) String);

impl<E: std::fmt::Display> From<E> for Trouble {
    fn from(e: E) -> Self {
        Self(e.to_string())
    }
}

/// Usage or file trouble; findings that are errors give 1.
const TROUBLE: u8 = 2;

pub(crate) fn run(args: impl IntoIterator<Item = OsString>) -> ExitCode {
    let args: Vec<OsString> = args.into_iter().collect();
    let first = args.get(1).cloned();
    let outcome = match Arguments::try_parse_from(args) {
        Ok(arguments) => match (arguments.command, arguments.file) {
            (Some(command), _) => execute(command),
            (None, Some(file)) => no_such_command(&file)
                .map_or_else(|| crate::ui::open_window(Some(file)), Err)
                .map(|()| ExitCode::SUCCESS),
            (None, None) => crate::ui::open_window(None).map(|()| ExitCode::SUCCESS),
        },
        Err(e) => {
            // A misspelt command is taken for a file, and what follows it for the mistake.
            let misread = matches!(
                e.kind(),
                ErrorKind::ArgumentConflict | ErrorKind::UnknownArgument
            );
            match first
                .filter(|_| misread)
                .and_then(|a| no_such_command(Path::new(&a)))
            {
                Some(trouble) => Err(trouble),
                None => {
                    // Help and version are no trouble; clap knows which stream and status each takes.
                    let _ = e.print();
                    return ExitCode::from(u8::try_from(e.exit_code()).unwrap_or(TROUBLE));
                }
            }
        }
    };
    outcome.unwrap_or_else(|Trouble(text)| {
        complain(&text);
        ExitCode::from(TROUBLE)
    })
}

/// To standard error, also when nobody listens there.
fn complain(text: &str) {
    let _ = writeln!(io::stderr(), "stringline: {text}");
}

/// What to say when the first word is neither a command nor anything like a file.
fn no_such_command(word: &Path) -> Option<Trouble> {
    let text = word.to_str()?;
    let plain = !text.is_empty() && text.chars().all(|c| c.is_ascii_alphabetic() || c == '-');
    let names: Vec<String> = Arguments::command()
        .get_subcommands()
        .map(|c| c.get_name().to_owned())
        .collect();
    if !plain || text.starts_with('-') || names.iter().any(|n| n == text) || word.exists() {
        return None;
    }
    let near = names
        .iter()
        .map(|n| (strsim::damerau_levenshtein(&text.to_lowercase(), n), n))
        .min()
        .filter(|(d, _)| *d <= 1 + text.chars().count() / 4)
        .map(|(_, n)| format!("Did you mean `stringline {n}`? "))
        .unwrap_or_default();
    Some(Trouble(format!(
        "there is no command and no file \"{text}\". {near}Commands: {}.",
        names.join(", ")
    )))
}

fn open(path: &Path) -> Result<(Build, Study), Trouble> {
    let build = file::load(path)?;
    let study = build::derive(&build);
    Ok((build, study))
}

fn execute(command: Command) -> Result<ExitCode, Trouble> {
    let mut status = ExitCode::SUCCESS;
    let text = match command {
        Command::Readings { file, json, units } => {
            let (build, study) = open(&file)?;
            let shop = units.into();
            if json {
                output::readings_json(&build, &study, &shop)?
            } else {
                plain(&output::readings_text(&build, &study, &shop))
            }
        }
        Command::Sweep {
            file,
            over,
            json,
            csv,
            units,
        } => {
            let (build, study) = open(&file)?;
            let over = match over {
                Axis::Travel => Over::Travel,
                Axis::Roll => Over::Roll,
            };
            let motion = study.rear.motion.as_ref().map_err(|e| {
                Trouble(format!(
                    "{}: there is no sweep: {e}. See `stringline check {}`.",
                    build.name,
                    file.display()
                ))
            })?;
            if json {
                output::sweep_json(&build, motion, over)?
            } else {
                // A table has no room for the reason that it ends early.
                let sweep = motion.sweep(over);
                for limit in [&sweep.low_limit, &sweep.high_limit].into_iter().flatten() {
                    complain(&format!("{}: the sweep ends early: {limit}.", build.name));
                }
                output::sweep_table(motion, over, &units.into(), csv)?
            }
        }
        Command::Sheet {
            file,
            sheet,
            out,
            paper,
            units,
        } => {
            let (build, study) = open(&file)?;
            if same_file(&file, &out) {
                return Err(Trouble(format!(
                    "{}: is the build itself. Choose another name for the sheet; nothing was written.",
                    out.display()
                )));
            }
            let paper = match paper {
                PaperSize::Letter => sheets::Paper::Letter,
                PaperSize::A4 => sheets::Paper::A4,
            };
            output::write_sheet(sheet, &build, &study, &units.into(), paper, &out)?;
            format!("{}\n", out.display())
        }
        Command::Check { file, units } => {
            let (_, study) = open(&file)?;
            if study.has_error() {
                status = ExitCode::from(1);
            }
            plain(&output::findings_text(&study, &units.into()))
        }
        Command::Holes {
            file,
            free,
            held,
            keep,
            json,
            csv,
            units,
        } => {
            let build = file::load(&file)?;
            let options = build::HoleOptions {
                free,
                held,
                keep,
                ..build::HoleOptions::default()
            };
            let form = match (json, csv) {
                (true, _) => holes::Form::Json,
                (_, true) => holes::Form::Csv,
                _ => holes::Form::Text,
            };
            let text = holes::run(&build, options, form, &units.into())?;
            if form == holes::Form::Text {
                plain(&text)
            } else {
                text
            }
        }
        Command::Tolerance {
            file,
            plus_minus,
            held,
            samples,
            seed,
            json,
            units,
        } => {
            let build = file::load(&file)?;
            let plus_minus = plus_minus
                .map(|t| units::parse(units::Kind::Length, &t))
                .transpose()
                .map_err(|e| Trouble(format!("--plus-minus: {e}")))?;
            let asked = tolerance::Asked {
                plus_minus,
                held,
                samples,
                seed,
                json,
            };
            let text = tolerance::run(build, &asked, &units.into())?;
            if json { text } else { plain(&text) }
        }
        Command::Weld {
            file,
            json,
            estimates,
            units,
        } => {
            let (build, study) = open(&file)?;
            let text = weld::run(&build, &study, &units.into(), (json, estimates))?;
            if json { text } else { plain(&text) }
        }
        Command::Run {
            file,
            json,
            csv,
            simulate,
            slip,
            units,
        } => {
            let (build, study) = open(&file)?;
            let form = run::Form::of(json, csv);
            let extra = run::Extra { simulate, slip };
            let text = run::run(&build, &study, &units.into(), form, extra)?;
            if form == run::Form::Text {
                plain(&text)
            } else {
                text
            }
        }
        Command::Frame { file, json, units } => {
            let (build, study) = open(&file)?;
            let text = frame::run(&build, &study, &units.into(), json)?;
            if json { text } else { plain(&text) }
        }
        Command::Log {
            file,
            json,
            csv,
            units,
        } => {
            let (build, study) = open(&file)?;
            if csv {
                build::run_table::to_csv(&build, &units.into())
            } else {
                let text = log::run(&build, &study, &units.into(), json)?;
                if json { text } else { plain(&text) }
            }
        }
        Command::Gaps {
            file,
            out,
            read,
            save,
            units,
        } => {
            let shop = units.into();
            match (out, read) {
                (Some(out), _) => gaps::write(&file, &out, &shop)?,
                (None, Some(table)) => plain(&gaps::read(&file, &table, save, &shop)?),
                // The group asks for one of them.
                (None, None) => String::new(),
            }
        }
        Command::New { file, sample } => new_file(&file, sample.as_deref())?,
    };
    let mut out = io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        // A reader that closes the pipe early has what it wanted.
        Err(e) if e.kind() != io::ErrorKind::BrokenPipe => Err(Trouble(format!(
            "standard output could not be written ({e}). What was printed is not complete."
        ))),
        _ => Ok(status),
    }
}

fn same_file(a: &Path, b: &Path) -> bool {
    let real = |p: &Path| p.canonicalize().ok();
    real(a).is_some_and(|a| real(b) == Some(a))
}

fn new_file(path: &Path, sample: Option<&str>) -> Result<String, Trouble> {
    if path.is_dir() {
        return Err(Trouble(format!(
            "{}: is a folder. Name the build file inside it.",
            path.display()
        )));
    }
    let path = file::with_extension(path);
    // A link to nowhere is there too.
    if path.symlink_metadata().is_ok() {
        return Err(Trouble(format!(
            "{}: there is a file of this name already. Choose another name; nothing was written.",
            path.display()
        )));
    }
    if let Some(folder) = path.parent().filter(|f| !f.as_os_str().is_empty())
        && !folder.is_dir()
    {
        return Err(Trouble(format!(
            "{}: there is no folder {}. Make it first, or choose another.",
            path.display(),
            folder.display()
        )));
    }
    let build = match sample {
        None => {
            let stem = path
                .file_stem()
                .map_or_else(|| "Build".into(), |s| s.to_string_lossy().into_owned());
            Build::empty(&stem)
        }
        Some(name) => {
            let Some((_, text)) = crate::SAMPLES.iter().find(|(n, _)| *n == name) else {
                let names: Vec<&str> = crate::SAMPLES.iter().map(|(n, _)| *n).collect();
                return Err(Trouble(format!(
                    "there is no sample \"{name}\". Choose one of: {}.",
                    names.join(", ")
                )));
            };
            file::parse(text, Path::new(name))?
        }
    };
    file::save(&build, &path)?;
    Ok(format!("{}\n", path.display()))
}

/// Names come from a file: nothing in them may steer the terminal.
fn plain(text: &str) -> String {
    text.chars()
        .map(|c| if c.is_control() && c != '\n' { ' ' } else { c })
        .collect()
}
