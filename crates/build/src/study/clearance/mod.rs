//! What fits around the rear wheels.

use super::{Band, Certainty, Definition, Finding, NoValue, Of, Reading, RearStudy};
use crate::Build;

/// What fits around the rear wheels.
#[derive(Debug, Clone)]
pub struct ClearanceStudy {}

/// None while nothing is drawn.
pub(super) fn study(b: &Build, _rear: &RearStudy) -> Option<ClearanceStudy> {
    b.mock_up.as_ref().map(|_| ClearanceStudy {})
}

/// Readings of a definition.
pub(super) fn readings(
    _b: &Build,
    s: Option<&ClearanceStudy>,
    d: &'static Definition,
    asked: impl Fn(Option<&Of>) -> Option<Band>,
) -> Vec<Reading> {
    let value = match s {
        None => Err(NoValue::Because("nothing is mocked up yet".to_owned())),
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

pub(super) fn findings(_b: &Build, _s: &ClearanceStudy, _out: &mut Vec<Finding>) {}
