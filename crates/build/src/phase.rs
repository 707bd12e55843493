//! Phases, their checks, and the marks people leave on them.

use serde::{Deserialize, Serialize};
use units::Quantity;

/// One phase of the build.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Phase {
    /// Short name, unique in the build.
    pub id: String,
    /// What the rail shows.
    pub title: String,
    /// What can hurt, in one or two short sentences.
    #[serde(default)]
    pub caution: String,
    /// Hold points that must pass first, each `phase/check`.
    #[serde(default)]
    pub waits_for: Vec<String>,
    /// What must not be forgotten.
    pub checks: Vec<Check>,
}

/// One thing to check.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Check {
    /// Short name, unique in its phase.
    pub id: String,
    /// One short shop sentence.
    pub label: String,
    /// How it is checked.
    pub kind: CheckKind,
    /// Later phases may wait for it.
    #[serde(default)]
    pub hold: bool,
    /// What can hurt.
    #[serde(default)]
    pub caution: String,
    /// Everything ever recorded here, oldest first; the last one counts.
    #[serde(default)]
    pub marks: Vec<Mark>,
}

/// How a check is passed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum CheckKind {
    /// A person says so.
    Tick,
    /// A measured value within limits; a limit left out is open.
    Measure {
        /// Least value that passes.
        #[serde(default)]
        low: Option<Quantity>,
        /// Greatest value that passes.
        #[serde(default)]
        high: Option<Quantity>,
    },
    /// Every reading named is in its band.
    Rule {
        /// Reading ids.
        readings: Vec<String>,
    },
}

/// What a person recorded about a check. Marks are added, never changed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Mark {
    /// Ticked, or taken back.
    pub done: bool,
    /// Initials or name.
    #[serde(default)]
    pub who: String,
    /// Date and time, as the clock of the bench wrote it.
    pub when: String,
    /// What was seen.
    #[serde(default)]
    pub note: String,
    /// The measured value.
    #[serde(default)]
    pub value: Option<Quantity>,
}

impl Check {
    /// The mark that counts.
    pub fn last_mark(&self) -> Option<&Mark> {
        self.marks.last()
    }
}

impl Phase {
    /// The check with this id.
    pub fn check(&self, id: &str) -> Option<&Check> {
        self.checks.iter().find(|c| c.id == id)
    }
}
