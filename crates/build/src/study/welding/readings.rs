//! Readings of welding: each control dimension, each correction, filler and gas.

use super::super::{Band, Certainty, Definition, NoValue, Of, Reading};
use super::WeldStudy;
use crate::{Build, ControlDimension, Stage};

fn of(d: &ControlDimension) -> Of {
    Of {
        id: d.id.clone(),
        label: d.label.clone(),
    }
}

fn none(why: impl Into<String>) -> NoValue {
    NoValue::Because(why.into())
}

/// Value, how sure, and a band of its own.
type Made = (Result<f64, NoValue>, Certainty, Option<Band>);

/// Readings of a definition that begins with `weld.`; bands of their own where nothing else is
/// asked.
pub(in super::super) fn readings(
    b: &Build,
    study: &WeldStudy,
    d: &'static Definition,
    asked: impl Fn(Option<&Of>) -> Option<Band>,
) -> Vec<Reading> {
    let estimate = |low: f64, high: f64, basis: &str| Certainty::Estimate {
        low,
        high,
        basis: basis.to_owned(),
    };
    let single = |value: Result<f64, NoValue>| {
        vec![Reading {
            definition: d,
            of: None,
            value,
            certainty: Certainty::Exact,
            band: asked(None),
        }]
    };
    let each = |make: &dyn Fn(usize, &ControlDimension) -> Option<Made>| {
        let list = b.weld_out.dimensions.iter().enumerate();
        list.filter_map(|(i, x)| {
            let (value, certainty, own) = make(i, x)?;
            let of = of(x);
            let band = asked(Some(&of)).or(own);
            Some(Reading {
                definition: d,
                of: Some(of),
                value,
                certainty,
                band,
            })
        })
        .collect::<Vec<_>>()
    };
    let basis = |i: usize| {
        let thin = study.dimensions[i]
            .pulls
            .iter()
            .any(|p| p.contribution.factor.thin);
        let count = study.record.as_ref().map_or(0, |r| r.count());
        let range = if thin {
            "outside every formula's range, widened"
        } else {
            "published estimates side by side"
        };
        match count {
            0 => format!("{range}; nothing measured by this shop yet"),
            1 => format!("{range}; narrowed by 1 reading of this shop"),
            n => format!("{range}; narrowed by {n} readings of this shop"),
        }
    };
    match d.id {
        "weld.dimension" => each(&|i, x| {
            let s = study.dimensions.get(i)?;
            let band = s.tolerance.map(|t| Band {
                low: x.want.si() - t,
                high: x.want.si() + t,
            });
            let value = match &s.now {
                Some((value, _)) => Ok(*value),
                None => Err(none("not measured yet")),
            };
            Some((value, Certainty::Exact, band))
        }),
        "weld.change" | "weld.to_come" => each(&|i, _| {
            let s = study.dimensions.get(i)?;
            let p = if d.id == "weld.change" {
                s.whole.as_ref()
            } else {
                s.to_come.as_ref()
            };
            Some(match (p, &s.way) {
                (Some(p), _) => (Ok(p.change), estimate(p.low, p.high, &basis(i)), None),
                (None, Err(why)) => (
                    Err(none(why.show(&units::Shop::default()))),
                    Certainty::Exact,
                    None,
                ),
                (None, Ok(_)) => (
                    Err(none("the shop's record can not be read")),
                    Certainty::Exact,
                    None,
                ),
            })
        }),
        "weld.per_bead" => each(&|i, _| {
            let c = study.correction_of(i)?;
            Some(match &c.plan {
                Ok(plan) => {
                    let bead = plan.per_bead();
                    let sign = plan.toward();
                    let ends = [sign * bead.low, sign * bead.high];
                    let text = match plan.moves().len() {
                        0 => "the kink formula and the lever".to_owned(),
                        1 => "1 measured move".to_owned(),
                        n => format!("{n} measured moves"),
                    };
                    (
                        Ok(sign * bead.value),
                        estimate(ends[0].min(ends[1]), ends[0].max(ends[1]), &text),
                        None,
                    )
                }
                Err(why) => (
                    Err(none(why.show(&units::Shop::default()))),
                    Certainty::Exact,
                    None,
                ),
            })
        }),
        "weld.beads_to_lay" => each(&|i, _| {
            let c = study.correction_of(i)?;
            let advice = c.advice.as_ref()?;
            Some((Ok(f64::from(advice.lay)), Certainty::Exact, None))
        }),
        "weld.joints_left" => single(match &study.order {
            Ok(order) if !order.joints.is_empty() => Ok((order.joints.len() - order.welded) as f64),
            Ok(_) => Err(none("no joint of the assembly is drawn yet")),
            Err(why) => Err(none(why.show(&units::Shop::default()))),
        }),
        "weld.metal_left" => single(match study.supply.rows.as_slice() {
            [] => Err(none("no joint with a known seam is left to weld")),
            rows => {
                let masses = rows.iter().filter_map(|r| r.filler.as_ref());
                Ok(masses.map(|f| f.metal).sum())
            }
        }),
        "weld.gas_left" => single(match &study.supply.gas {
            Ok(supply) => supply
                .endurance
                .arc_time
                .ok_or_else(|| none("the joints left take no arc time")),
            Err(why) => Err(none(why.show(&units::Shop::default()))),
        }),
        "weld.gas_need" => single(match &study.supply.gas {
            Ok(supply) => Ok(supply.need),
            Err(why) => Err(none(why.show(&units::Shop::default()))),
        }),
        "weld.off" => single({
            let offs: Vec<f64> = b
                .weld_out
                .dimensions
                .iter()
                .zip(&study.dimensions)
                .filter_map(|(x, s)| s.off(x))
                .collect();
            let worst = |a: f64, v: f64| if v.abs() > a.abs() { v } else { a };
            match offs.as_slice() {
                [] => Err(none("no control dimension is measured yet")),
                list => Ok(list.iter().copied().fold(0.0, worst)),
            }
        }),
        "weld.unmeasured" => single(Ok({
            let cold = |s: &super::DimensionStudy| {
                let stage = s.now.as_ref().map(|n| &n.1);
                matches!(stage, Some(Stage::Welded | Stage::Corrected))
            };
            match study.dimensions.len() {
                0 => 1.0,
                _ => study.dimensions.iter().filter(|s| !cold(s)).count() as f64,
            }
        })),
        "weld.out_of_tolerance" => single(Ok(b
            .weld_out
            .dimensions
            .iter()
            .zip(&study.dimensions)
            .filter(|(x, s)| {
                let off = s.off(x).map(f64::abs);
                off.zip(s.tolerance).is_some_and(|(off, t)| off > t + 1e-9)
            })
            .count() as f64)),
        _ => Vec::new(),
    }
}
