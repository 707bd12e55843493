//! Numbers of the sheet: as shown, with all their digits, or why there is none.

use build::{Definition, Study};
use units::{Kind, Shop};

use crate::table::Cell;

/// What stands where there is no value.
const NOTHING: &str = "—";

/// A number, or why there is none.
#[derive(Debug, Clone)]
pub(crate) struct Value {
    /// As the shop reads it; a dash where there is none.
    pub(crate) shown: String,
    /// Kind and SI value.
    pub(crate) number: Option<(Kind, f64)>,
    /// Why there is none.
    pub(crate) why: Option<String>,
}

impl Value {
    /// None, and why.
    pub(crate) fn none(why: impl Into<String>) -> Self {
        Self {
            shown: NOTHING.to_owned(),
            number: None,
            why: Some(why.into()),
        }
    }

    /// A number shown in given words.
    pub(crate) fn shown_as(kind: Kind, si: f64, shown: String) -> Self {
        if !si.is_finite() {
            return Self::none("it does not work out to a number");
        }
        Self {
            shown,
            number: Some((kind, si)),
            why: None,
        }
    }

    /// A number somebody set or the drawing gives, as fine as it was meant.
    pub(crate) fn kept(kind: Kind, si: f64, shop: &Shop) -> Self {
        Self::shown_as(kind, si, units::format_kept(kind, si, shop))
    }

    /// A value dressed as a reading.
    pub(crate) fn like(definition: Option<&Definition>, si: f64, shop: &Shop) -> Self {
        match definition {
            Some(d) => Self::shown_as(d.kind, si, d.display(si, shop)),
            None => Self::none("there is no such reading"),
        }
    }

    /// The reading with this id.
    pub(crate) fn reading(study: &Study, id: &str, shop: &Shop) -> Self {
        match study.reading(id) {
            None => Self::none("there is no such reading"),
            Some(r) => match &r.value {
                Ok(si) => Self::shown_as(r.kind(), *si, r.display(shop)),
                Err(why) => Self::none(why.to_string()),
            },
        }
    }

    pub(crate) fn cell(&self) -> Cell {
        Cell::new(self.shown.clone())
    }
}

/// Reasons of missing values, each once with what it concerns, in order of first use.
#[derive(Debug, Default)]
pub(crate) struct Reasons(Vec<(String, Vec<String>)>);

/// More than this many names are counted, not listed.
const MOST_NAMES: usize = 5;

impl Reasons {
    /// Notes why a value is missing; does nothing for one that is there.
    pub(crate) fn note(&mut self, name: &str, value: &Value) {
        let Some(why) = &value.why else { return };
        let name = name.trim().to_owned();
        match self.0.iter_mut().find(|(w, _)| w == why) {
            Some((_, names)) if !names.contains(&name) => names.push(name),
            Some(_) => {}
            None => self.0.push((why.clone(), vec![name])),
        }
    }

    /// One line for each reason.
    pub(crate) fn lines(&self) -> Vec<String> {
        self.0
            .iter()
            .map(|(why, names)| {
                let names = if names.len() <= MOST_NAMES {
                    names.join("; ")
                } else {
                    let first = names[..MOST_NAMES - 1].join("; ");
                    format!("{first} and {} more", names.len() - MOST_NAMES + 1)
                };
                format!("{NOTHING} {names}: {why}")
            })
            .collect()
    }
}
