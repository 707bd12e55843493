//! The front end over travel and rack.

use super::{Band, Certainty, Definition, Finding, NoValue, Of, Reading};
use crate::Build;

/// The front end over travel and rack.
#[derive(Debug, Clone)]
pub struct FrontStudy {}

/// None while nothing is drawn.
pub(super) fn study(b: &Build) -> Option<FrontStudy> {
    b.front_end.as_ref().map(|_| FrontStudy {})
}

/// Readings of a definition.
pub(super) fn readings(
    _b: &Build,
    s: Option<&FrontStudy>,
    d: &'static Definition,
    asked: impl Fn(Option<&Of>) -> Option<Band>,
) -> Vec<Reading> {
    let value = match s {
        None => Err(NoValue::Because("no front end is drawn yet".to_owned())),
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

pub(super) fn findings(_b: &Build, _s: &FrontStudy, _out: &mut Vec<Finding>) {}
