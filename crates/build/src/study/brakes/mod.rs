//! The brakes from pedal to ground.

use super::{Band, Certainty, Definition, Finding, NoValue, Of, Reading};
use crate::Build;

/// The brakes from pedal to ground.
#[derive(Debug, Clone)]
pub struct BrakeStudy {}

/// None while nothing is drawn.
pub(super) fn study(b: &Build) -> Option<BrakeStudy> {
    b.brakes.as_ref().map(|_| BrakeStudy {})
}

/// Readings of a definition.
pub(super) fn readings(
    _b: &Build,
    s: Option<&BrakeStudy>,
    d: &'static Definition,
    asked: impl Fn(Option<&Of>) -> Option<Band>,
) -> Vec<Reading> {
    let value = match s {
        None => Err(NoValue::Because("no brakes are laid out yet".to_owned())),
        Some(_) => Err(NoValue::Because("there is no such reading".to_owned())),
    };
    vec![Reading {
        definition: d,
        of: None,
        value,
        certainty: Certainty::Exact,
        band: asked(None),
    }]
}

pub(super) fn findings(_b: &Build, _s: &BrakeStudy, _out: &mut Vec<Finding>) {}
