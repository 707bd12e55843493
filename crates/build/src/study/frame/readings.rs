//! Readings of the frame.

use super::super::{Band, Certainty, Definition, NoValue, Reading};
use super::FrameStudy;

/// Joints taken as rigid, nominal walls, tubes to their nodes: how far off (common practice, no source).
const UNSURE: f64 = 0.15;
/// Copes, weld metal and a mill's tolerance on the wall (common practice, no source).
const MASS_UNSURE: f64 = 0.05;

/// The reading of a definition that begins with `frame.`.
pub(in super::super) fn reading(
    study: &FrameStudy,
    d: &'static Definition,
    band: Option<Band>,
) -> Reading {
    let rough = "joints taken as rigid, nominal walls; common practice, no source";
    let (value, part, basis) = match d.id {
        "frame.twist_stiffness" => (study.determinate(), UNSURE, rough),
        "frame.twist_stiffness.clamped" => (study.clamped(), UNSURE, rough),
        "frame.bending_stiffness" => (
            study
                .bending
                .as_ref()
                .map(|b| b.stiffness)
                .map_err(Clone::clone),
            UNSURE,
            rough,
        ),
        "frame.mass" => (
            study.shape.as_ref().map(|s| s.mass()).map_err(Clone::clone),
            MASS_UNSURE,
            "centrelines to their nodes, nominal walls; copes and weld metal not counted",
        ),
        _ => (study.lowest_reserve(), UNSURE, rough),
    };
    let stiffness = d.id.ends_with("_stiffness") || d.id.ends_with(".clamped");
    let (value, basis) = match (value, stiffness) {
        (Ok(v), true) => {
            let basis = match (study.factor, study.corrected) {
                (None, _) => basis.to_owned(),
                (Some(f), true) => {
                    format!("computed, times {f:.3} from the last measured twist test")
                }
                (Some(f), false) => {
                    format!("{basis}; the last measured twist test is {f:.3} of this")
                }
            };
            (Ok(study.shown(v)), basis)
        }
        (value, _) => (value, basis.to_owned()),
    };
    let certainty = match value {
        Ok(v) => Certainty::Estimate {
            low: v * (1.0 - part),
            high: v * (1.0 + part),
            basis,
        },
        Err(_) => Certainty::Exact,
    };
    Reading {
        definition: d,
        of: None,
        value: value.map_err(NoValue::Because),
        certainty,
        band,
    }
}
