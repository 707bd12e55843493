//! Tube work for the command line: what to cut, bend, cope and buy; and flat parts for a table.

mod dxf;
mod json;
mod text;

use build::{Build, Study, TubeSection, grade};
use geometry::tube::cope::NoHoleSaw;
use units::{Kind, Shop};

use super::Trouble;
use crate::ui::clock;

pub(super) use dxf::{Asked, write};

/// How the answer is printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Form {
    Text,
    Json,
    Csv,
}

impl Form {
    pub(super) fn of(json: bool, csv: bool) -> Self {
        match (json, csv) {
            (true, _) => Self::Json,
            (_, true) => Self::Csv,
            _ => Self::Text,
        }
    }
}

pub(super) fn run(b: &Build, study: &Study, shop: &Shop, form: Form) -> Result<String, Trouble> {
    match form {
        Form::Text => Ok(text::report(b, study, shop)),
        Form::Json => Ok(serde_json::to_string_pretty(&json::json(b, study, shop))? + "\n"),
        Form::Csv => {
            // The sheet's own table: one line a tube, bend and end.
            let sheet = sheets::cut_and_bend(b, study, shop, sheets::Paper::A4, &clock::today())?;
            Ok(sheets::csv_out::to_csv(&sheet.table)?)
        }
    }
}

/// A computed length, to a thousandth of an inch or a hundredth of a millimetre.
fn fine(si: f64, shop: &Shop) -> String {
    units::format_fine(Kind::Length, si, shop)
}

/// A length somebody chose.
fn kept(si: f64, shop: &Shop) -> String {
    units::format_kept(Kind::Length, si, shop)
}

fn angle(rad: f64) -> String {
    let text = format!("{:.1}°", rad.to_degrees());
    if text == "-0.0°" {
        "0.0°".into()
    } else {
        text
    }
}

/// "1 3/4" × 0.120" round".
fn section(s: &TubeSection, shop: &Shop) -> String {
    match s {
        TubeSection::Round { outside, wall } => {
            format!(
                "{} × {} round",
                kept(outside.si(), shop),
                kept(wall.si(), shop)
            )
        }
        TubeSection::Rectangular {
            height,
            width,
            wall,
            ..
        } => format!(
            "{} high × {} wide × {}",
            kept(height.si(), shop),
            kept(width.si(), shop),
            kept(wall.si(), shop)
        ),
    }
}

fn material<'a>(b: &'a Build, id: &'a str) -> &'a str {
    let own = b.assembly.materials.iter().find(|m| m.id == id);
    own.map(|m| m.label.as_str())
        .or_else(|| grade(id).map(|g| g.label))
        .unwrap_or(id)
}

/// Short name of a tube, by its place.
fn id(b: &Build, tube: usize) -> &str {
    b.assembly.tubes.get(tube).map_or("", |t| t.id.as_str())
}

fn no_saw(why: &NoHoleSaw) -> String {
    match why {
        NoHoleSaw::SeveralMains(n) => format!("no plain hole saw, it meets {n} tubes"),
        NoHoleSaw::NotRound => "no plain hole saw, the other tube is rectangular".into(),
        NoHoleSaw::EndsHere => "no plain hole saw, the other tube ends there too".into(),
    }
}

/// "1 tube", "2 tubes".
fn count(n: usize, what: &str) -> String {
    format!("{n} {what}{}", if n == 1 { "" } else { "s" })
}
