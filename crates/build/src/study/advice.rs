//! What to do about a reading out of its band: the neighbouring holes are tried, and the one that
//! brings the reading nearest its band is named with what it would read.

use super::rear::{assemble, place};
use super::{Band, Finding, Part, Phrase, Reading, Severity, Status};
use crate::{Build, End, Link, Sides};

/// What the next hole would do.
struct Try {
    label: String,
    end: End,
    hole: usize,
    value: f64,
    miss: f64,
}

pub(super) fn out_of_band(b: &Build, readings: &[Reading], out: &mut Vec<Finding>) {
    for r in readings {
        let (Ok(value), Some(band)) = (&r.value, r.band) else {
            continue;
        };
        let (by, which, remedy) = match r.status() {
            Status::Below(by) => (by, "below", r.definition.remedy.0),
            Status::Above(by) => (by, "above", r.definition.remedy.1),
            _ => continue,
        };
        let own = ["weld.", "run.", "clearance.", "front.", "brakes."]
            .iter()
            .any(|of| r.definition.id.starts_with(of))
            || super::definitions::of_driveline(r.definition);
        let own_finding = own && b.target(&r.id()).is_none();
        if r.definition.id.starts_with("fit_up.") || own_finding {
            continue; // each joint and each dimension has a finding of its own
        }
        let text = Phrase::from(format!("{} is ", r.label()))
            .amount(r.definition, by)
            .t(format!(" {which} its band"));
        let next = match best_hole(b, r, band, *value) {
            Some(t) => {
                let end = match t.end {
                    End::Frame => "frame",
                    End::Axle => "axle",
                };
                Phrase::from(format!(
                    "Try {}, {end} end in hole {}: it reads ",
                    t.label.to_lowercase(),
                    t.hole
                ))
                .reading(r.definition, t.value)
                .t(if t.miss > 0.0 {
                    ", nearer the band"
                } else {
                    ", in band"
                })
            }
            None if remedy.is_empty() => "Change what it follows from, or its band".into(),
            None => capital(remedy).into(),
        };
        out.push(Finding::new(
            Severity::Warning,
            Part::Reading(r.id().into_owned()),
            text,
            next,
        ));
    }
}

pub(super) fn capital(s: &str) -> String {
    let mut chars = s.chars();
    chars
        .next()
        .map_or_else(String::new, |c| c.to_uppercase().chain(chars).collect())
}

fn miss(band: Band, v: f64) -> f64 {
    match band.judge(v) {
        Status::Below(d) | Status::Above(d) => d,
        _ => 0.0,
    }
}

/// The neighbouring hole, both sides alike, that brings the reading nearest its band; `None` when
/// no hole is better, or the reading is not one of a single pose.
fn best_hole(b: &Build, r: &Reading, band: Band, now: f64) -> Option<Try> {
    if r.definition.over_range {
        return None;
    }
    let pick = r.definition.in_pose?;
    let mut best: Option<Try> = None;
    let mut rear = b.rear.clone();
    for i in 0..b.rear.links.len() {
        let link = &b.rear.links[i];
        if link.sides == Sides::Single || link.held.is_some() {
            continue;
        }
        for end in [End::Frame, End::Axle] {
            for hole in neighbours(b, link, end) {
                rear.links[i] = with_hole(link, end, hole);
                let (rods, problem) = place(&rear);
                if problem.is_some() {
                    continue;
                }
                let Ok(axle) = assemble(&b.car, &rods) else {
                    continue;
                };
                let Some(value) = axle.state_at(&axle.design).ok().and_then(|s| pick(&s)) else {
                    continue;
                };
                let miss = miss(band, value);
                if miss < best.as_ref().map_or(self::miss(band, now), |t| t.miss) {
                    best = Some(Try {
                        label: link.label.clone(),
                        end,
                        hole,
                        value,
                        miss,
                    });
                }
            }
        }
        rear.links[i].clone_from(link);
    }
    best
}

fn neighbours(b: &Build, link: &Link, end: End) -> Vec<usize> {
    let at = match end {
        End::Frame => &link.at_frame,
        End::Axle => &link.at_axle,
    };
    let count = b
        .rear
        .bracket(&at.bracket)
        .map_or(0, crate::Bracket::hole_count);
    [at.hole.wrapping_sub(1), at.hole + 1]
        .into_iter()
        .filter(|h| (1..=count).contains(h))
        .collect()
}

fn with_hole(link: &Link, end: End, hole: usize) -> Link {
    let mut link = link.clone();
    let at = match end {
        End::Frame => &mut link.at_frame,
        End::Axle => &mut link.at_axle,
    };
    at.hole = hole;
    at.right_hole = None;
    link
}
