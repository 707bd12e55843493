//! Readings: one computed number each, with what it means and whether it will do.

use std::borrow::Cow;

use units::{Kind, Shop};

use super::definitions::Definition;

/// One computed number.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// What it is.
    pub definition: &'static Definition,
    /// Which part, where every part of a kind has one.
    pub of: Option<Of>,
    /// SI value, or why there is none.
    pub value: Result<f64, NoValue>,
    /// How sure it is.
    pub certainty: Certainty,
    /// Band it should be in, SI.
    pub band: Option<Band>,
}

/// The part a reading belongs to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Of {
    /// Its id, behind the definition's: `upper.left`.
    pub id: String,
    /// What the shop calls it: "upper link, left".
    pub label: String,
}

/// Why a reading has no value.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NoValue {
    /// The instant centre is beyond 100 m.
    #[error("instant centre out of sight: the axle's path leans {:.3} per unit of travel", if lean.abs() < 5e-4 { 0.0 } else { *lean })]
    AtInfinity {
        /// Slope of the line toward it.
        lean: f64,
    },
    /// Something the reading needs is missing or can not be solved.
    #[error("{0}")]
    Because(String),
}

/// How sure a reading is.
#[derive(Debug, Clone, PartialEq)]
pub enum Certainty {
    /// Follows from the drawing by geometry.
    Exact,
    /// An estimate between two values, SI.
    Estimate {
        /// Least.
        low: f64,
        /// Greatest.
        high: f64,
        /// Where the spread comes from.
        basis: String,
    },
}

/// Limits, SI, both ends inside; an infinite end is open.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Band {
    /// Least.
    pub low: f64,
    /// Greatest.
    pub high: f64,
}

/// How a reading stands against its band.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Status {
    /// Nothing was asked of it.
    NoTarget,
    /// In its band.
    InBand,
    /// Below, by this much, SI.
    Below(f64),
    /// Above, by this much, SI.
    Above(f64),
    /// No value to judge.
    NoValue,
}

impl Status {
    /// One or two words, the same everywhere.
    pub fn word(&self) -> &'static str {
        match self {
            Self::NoTarget => "no target",
            Self::InBand => "in band",
            Self::Below(_) => "below band",
            Self::Above(_) => "above band",
            Self::NoValue => "no value",
        }
    }

    /// Is it out of its band?
    pub fn is_out(&self) -> bool {
        matches!(self, Self::Below(_) | Self::Above(_))
    }
}

impl Band {
    /// How `value` stands against it. An end is inside, with a slack of a part in 10⁹.
    pub fn judge(&self, value: f64) -> Status {
        let ends = [self.low, self.high].into_iter().filter(|e| e.is_finite());
        let slack = 1e-9 * ends.map(f64::abs).sum::<f64>();
        if value < self.low - slack {
            Status::Below(self.low - value)
        } else if value > self.high + slack {
            Status::Above(value - self.high)
        } else {
            Status::InBand
        }
    }
}

impl Reading {
    /// Its stable id: the definition's, with the part's behind it.
    pub fn id(&self) -> Cow<'static, str> {
        match &self.of {
            None => Cow::Borrowed(self.definition.id),
            Some(of) => Cow::Owned(format!("{}.{}", self.definition.id, of.id)),
        }
    }

    /// Is this its id?
    pub fn is(&self, id: &str) -> bool {
        match &self.of {
            None => id == self.definition.id,
            Some(of) => id
                .strip_prefix(self.definition.id)
                .and_then(|rest| rest.strip_prefix('.'))
                .is_some_and(|part| part == of.id),
        }
    }

    /// Its label: the part, then what it is.
    pub fn label(&self) -> Cow<'static, str> {
        match &self.of {
            None => Cow::Borrowed(self.definition.label),
            Some(of) => Cow::Owned(format!("{}: {}", of.label, self.definition.label)),
        }
    }

    /// Its label where the part is known: what it is, and the side.
    pub fn short_label(&self) -> Cow<'static, str> {
        let Some(of) = &self.of else {
            return self.label();
        };
        let side = [", left", ", right"]
            .into_iter()
            .find(|s| of.label.ends_with(s))
            .unwrap_or("");
        Cow::Owned(format!(
            "{}{side}",
            super::advice::capital(self.definition.label)
        ))
    }

    /// Kind of quantity.
    pub fn kind(&self) -> Kind {
        self.definition.kind
    }

    /// How it stands.
    pub fn status(&self) -> Status {
        match (&self.value, &self.band) {
            (Err(_), _) => Status::NoValue,
            (Ok(_), None) => Status::NoTarget,
            (Ok(v), Some(band)) => band.judge(*v),
        }
    }

    /// The value as the shop reads it; a dash where there is none.
    pub fn display(&self, shop: &Shop) -> String {
        match self.value {
            Ok(v) => self.definition.display(v, shop),
            Err(_) => "—".to_owned(),
        }
    }

    /// The verdict in words: "in band", "0.9 % above band".
    pub fn verdict(&self, shop: &Shop) -> String {
        let by = |d: f64| self.definition.amount(d, shop);
        match self.status() {
            Status::Below(d) => format!("{} below band", by(d)),
            Status::Above(d) => format!("{} above band", by(d)),
            other => other.word().to_owned(),
        }
    }
}
