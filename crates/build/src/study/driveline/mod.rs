//! The driveline over travel and its speeds.

use super::{
    Band, Certainty, Definition, Finding, LaunchStudy, NoValue, Of, Reading, RearStudy, RunStudy,
};
use crate::Build;

/// The driveline over travel and its speeds.
#[derive(Debug, Clone)]
pub struct DrivelineStudy {}

/// None while nothing is drawn.
pub(super) fn study(
    b: &Build,
    _rear: &RearStudy,
    _launch: &LaunchStudy,
    _run: &RunStudy,
) -> Option<DrivelineStudy> {
    b.driveline.as_ref().map(|_| DrivelineStudy {})
}

/// Readings of a definition.
pub(super) fn readings(
    _b: &Build,
    s: Option<&DrivelineStudy>,
    d: &'static Definition,
    asked: impl Fn(Option<&Of>) -> Option<Band>,
) -> Vec<Reading> {
    let value = match s {
        None => Err(NoValue::Because("no driveline is described yet".to_owned())),
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

pub(super) fn findings(_b: &Build, _s: &DrivelineStudy, _out: &mut Vec<Finding>) {}
