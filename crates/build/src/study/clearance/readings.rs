//! Readings of what fits.

use super::super::{Band, Certainty, Definition, NoValue, Of, Reading};
use super::{ClearanceStudy, Fit};
use crate::Build;

/// Readings of a definition that begins with `clearance.`.
pub(in super::super) fn readings(
    b: &Build,
    s: Option<&ClearanceStudy>,
    d: &'static Definition,
    asked: impl Fn(Option<&Of>) -> Option<Band>,
) -> Vec<Reading> {
    let because = |why: &str| NoValue::Because(why.to_owned());
    let one = |of: Option<Of>, value, band| Reading {
        definition: d,
        of,
        value,
        certainty: Certainty::Exact,
        band,
    };
    let Some(s) = s else {
        if d.family {
            return Vec::new();
        }
        return vec![one(
            None,
            Err(because("nothing is mocked up yet")),
            asked(None),
        )];
    };
    let gap = b.mock_up.as_ref().map(|m| Band {
        low: m.gap.si(),
        high: f64::INFINITY,
    });
    if d.id == "clearance.gap" {
        let Ok(fit) = &s.fit else { return Vec::new() };
        return fit
            .pairs
            .iter()
            .map(|p| {
                let of = Of {
                    id: p.id.clone(),
                    label: p.label.clone(),
                };
                let band = asked(Some(&of)).or(gap.filter(|_| p.of_tyre));
                let value = p.gap().ok_or_else(|| because(THROUGH));
                one(Some(of), value, band)
            })
            .collect();
    }
    if d.id == "clearance.shaft" {
        return ["left", "right"]
            .into_iter()
            .map(|side| {
                let of = Of {
                    id: side.to_owned(),
                    label: format!("axle shaft, {side}"),
                };
                let value = s.order.as_ref().map_err(|e| because(e));
                let value = value.map(|o| match side {
                    "left" => o.left_shaft,
                    _ => o.right_shaft,
                });
                let band = asked(Some(&of));
                one(Some(of), value, band)
            })
            .collect();
    }
    let tightest = d.id == "clearance.least";
    let value = value(s, d.id).map_err(|e| because(&e));
    let band = asked(None).or(gap.filter(|_| tightest));
    vec![one(None, value, band)]
}

const THROUGH: &str = "they run through each other";

fn value(s: &ClearanceStudy, id: &str) -> Result<f64, String> {
    let text = |e: &String| e.clone();
    let order = |pick: fn(&vehicle::packaging::HousingOrder) -> f64| {
        s.order.as_ref().map(pick).map_err(text)
    };
    match id {
        "clearance.backspacing" => return Ok(s.wheel.backspacing()),
        "clearance.front_spacing" => return Ok(s.wheel.front_spacing()),
        "clearance.faces" => return order(|o| o.mounting_face_width),
        "clearance.flanges" => return order(|o| o.axle_flange_width),
        "clearance.housing" => return order(|o| o.housing_end_width),
        "clearance.pinion" => return order(|o| o.pinion_y),
        "clearance.tyre_radius" => {
            return s.tyre.as_ref().map(|t| t.service_radius).map_err(text);
        }
        "clearance.tyre_width" => return s.tyre.as_ref().map(|t| t.service_width).map_err(text),
        "clearance.spline" => {
            let engaged = s.engaged.as_ref().ok_or("no shafts are measured yet")?;
            return engaged.as_ref().map(|e| e[0].min(e[1])).map_err(text);
        }
        _ => {}
    }
    let fit = s.fit.as_ref().map_err(text)?;
    match id {
        "clearance.least" => fit
            .pairs
            .iter()
            .find(|p| p.of_tyre)
            .ok_or_else(|| "nothing stands near the tyres".to_owned())?
            .gap()
            .ok_or_else(|| THROUGH.to_owned()),
        "clearance.notch" => notch(fit, |n| n.depth, f64::max),
        "clearance.rail_left" => notch(fit, |n| n.left, f64::min),
        _ => stop(fit, id),
    }
}

fn notch(
    fit: &Fit,
    pick: fn(&vehicle::packaging::Notch) -> f64,
    worse: fn(f64, f64) -> f64,
) -> Result<f64, String> {
    let both = fit.notches.iter().flatten().map(pick);
    both.reduce(worse)
        .ok_or_else(|| "no rail runs over the axle".to_owned())
}

fn stop(fit: &Fit, id: &str) -> Result<f64, String> {
    let stops = fit.stops.as_ref().ok_or("no bump stops are drawn yet")?;
    let stops = stops.as_ref().map_err(Clone::clone)?;
    let level = stops.level().ok_or("no bump stops are drawn yet")?;
    let found = match id {
        "clearance.stop_touch" => level.touch(),
        "clearance.stop_solid" => level.solid(),
        "clearance.metal" => level.metal(),
        _ => stops.room(),
    };
    found.ok_or_else(|| "not within the travel looked at".to_owned())
}
