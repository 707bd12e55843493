//! Readings in the order they were taken.

use super::{Observation, Update};
use crate::control::{FACTORS, Factor, Factors};
use crate::error::WeldError;
use serde::{Deserialize, Serialize};

/// A reading in the shop's list.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Entry {
    /// The reading.
    pub observation: Observation,
    /// Taken out by the user (the reason is kept where the list is kept): it stays listed
    /// but teaches nothing.
    pub voided: bool,
}

/// One row of the history.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// What the reading did, or would have done where it is voided.
    pub update: Update,
    /// Whether it is voided.
    pub voided: bool,
    /// The factors after it; as before it where it is voided.
    pub factors: Factors,
    /// Kinds this reading is about whose interval after it reaches 0.
    pub reaching_zero: Vec<Factor>,
    /// Finding: less likely than one in a hundred before it was taken, and not voided.
    pub outlier: bool,
}

/// Applies readings one after the other to `start`; intervals at `confidence`. The last row
/// holds what is known now.
///
/// # Errors
/// Those of [`Factors::update`] and [`Factors::interval`].
pub fn history(start: &Factors, entries: &[Entry], confidence: f64) -> Result<Vec<Row>, WeldError> {
    start.check()?;
    let mut factors = start.clone();
    let mut rows = Vec::with_capacity(entries.len());
    for entry in entries {
        let (after, update) = factors.update(&entry.observation)?;
        if !entry.voided {
            factors = after;
        }
        let mut reaching_zero = Vec::new();
        for factor in Factor::ALL {
            if entry.observation.by_factor[factor.index()] != 0.0
                && factors.interval(factor, confidence)?.0 <= 0.0
            {
                reaching_zero.push(factor);
            }
        }
        rows.push(Row {
            outlier: update.is_outlier() && !entry.voided,
            update,
            voided: entry.voided,
            factors: factors.clone(),
            reaching_zero,
        });
    }
    Ok(rows)
}

/// Which kinds have a reading that is not voided, places as in [`Factor::ALL`].
#[must_use]
pub fn tried(entries: &[Entry]) -> [bool; FACTORS] {
    std::array::from_fn(|i| {
        entries
            .iter()
            .any(|entry| !entry.voided && entry.observation.by_factor[i] != 0.0)
    })
}
