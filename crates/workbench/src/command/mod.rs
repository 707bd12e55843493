//! The command line: readings, sweeps, sheets, checks, new builds, from the same study.

mod output;

pub(crate) use output::decimal;

use std::ffi::OsString;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use build::{Build, Over, Study, file};
use clap::{Parser, Subcommand, ValueEnum};
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
        sheet: Sheet,
        /// Where to; the ending says what: .pdf, .svg or .csv.
        #[arg(long)]
        out: PathBuf,
        /// Paper.
        #[arg(long, value_enum, default_value = "letter")]
        paper: PaperSize,
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

#[derive(Clone, Copy, ValueEnum)]
enum Sheet {
    BracketPlacement,
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
    let arguments = match Arguments::try_parse_from(args) {
        Ok(a) => a,
        Err(e) => {
            // Help and version are no trouble; clap knows which stream and status each takes.
            let _ = e.print();
            return ExitCode::from(u8::try_from(e.exit_code()).unwrap_or(TROUBLE));
        }
    };
    let outcome = match arguments.command {
        None => crate::ui::open_window(arguments.file).map(|()| ExitCode::SUCCESS),
        Some(command) => execute(command),
    };
    outcome.unwrap_or_else(|Trouble(text)| {
        eprintln!("stringline: {text}");
        ExitCode::from(TROUBLE)
    })
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
                output::readings_text(&build, &study, &shop)
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
                output::sweep_table(motion, over, &units.into(), csv)?
            }
        }
        Command::Sheet {
            file,
            sheet: Sheet::BracketPlacement,
            out,
            paper,
            units,
        } => {
            let (build, study) = open(&file)?;
            let paper = match paper {
                PaperSize::Letter => sheets::Paper::Letter,
                PaperSize::A4 => sheets::Paper::A4,
            };
            output::write_sheet(&build, &study, &units.into(), paper, &out)?;
            format!("{}\n", out.display())
        }
        Command::Check { file, units } => {
            let (_, study) = open(&file)?;
            if study.has_error() {
                status = ExitCode::from(1);
            }
            output::findings_text(&study, &units.into())
        }
        Command::New { file, sample } => new_file(&file, sample.as_deref())?,
    };
    use std::io::Write;
    // A reader that closes the pipe early has what it wanted.
    let _ = std::io::stdout().write_all(text.as_bytes());
    Ok(status)
}

fn new_file(path: &Path, sample: Option<&str>) -> Result<String, Trouble> {
    let path = file::with_extension(path);
    if path.exists() {
        return Err(Trouble(format!(
            "{}: there is a file of this name already. Choose another name; nothing was written.",
            path.display()
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
