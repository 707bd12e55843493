//! Readings of tube work.

use super::super::{Band, Certainty, Definition, NoValue, Of, Reading};
use super::TubesStudy;

/// Readings of a definition that begins with `tube`.
pub(in super::super) fn readings(
    s: &TubesStudy,
    d: &'static Definition,
    asked: impl Fn(Option<&Of>) -> Option<Band>,
) -> Vec<Reading> {
    let reading = |of: Option<Of>, value: Result<f64, NoValue>| {
        let band = asked(of.as_ref());
        Reading {
            definition: d,
            of,
            value,
            certainty: Certainty::Exact,
            band,
        }
    };
    if d.id == "tube.cut" {
        return s
            .tubes
            .iter()
            .map(|x| {
                let of = Of {
                    id: x.id.clone(),
                    label: x.label.clone(),
                };
                let why = |_| NoValue::Because("the tube can not be made as drawn".to_owned());
                reading(Some(of), x.part.as_ref().map(|p| p.cut).map_err(why))
            })
            .collect();
    }
    let value = if s.tubes.is_empty() {
        Err(NoValue::Because("no tube is drawn".to_owned()))
    } else {
        match d.id {
            "tubes.mass" => Ok(s.mass()),
            "tubes.length" => Ok(s.length()),
            _ => bars(s),
        }
    };
    vec![reading(None, value)]
}

fn bars(s: &TubesStudy) -> Result<f64, NoValue> {
    s.nests
        .iter()
        .map(|n| match &n.nested {
            Ok(nested) => Ok(nested.bought_bars as f64),
            Err(_) => Err(NoValue::Because(
                "one section's pieces do not fit its bars".to_owned(),
            )),
        })
        .sum()
}
