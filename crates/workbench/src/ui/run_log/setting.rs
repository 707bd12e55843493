//! A setting written out: holes, springs, launch, clicks, pressures.

use build::{Build, Changed, HeldLength, Preload, RunSetting};
use units::Kind;

use super::super::bench::Bench;

/// Every line of a setting: what, and how it stands.
pub(super) fn lines(bench: &Bench<'_>, s: &RunSetting) -> Vec<(String, String)> {
    let b = bench.build;
    let mut out = Vec::new();
    for l in &s.links {
        let label = b.rear.link(&l.link).map_or_else(
            || format!("{} (not in the build any more)", l.link),
            |x| x.label.clone(),
        );
        let mut text = format!(
            "frame {}, axle {}",
            hole(l.frame, l.frame_right),
            hole(l.axle, l.axle_right)
        );
        if let Some(HeldLength { left, right, .. }) = l.held {
            text += &format!(
                ", held {} left, {} right",
                bench.kept(Kind::Length, left.si()),
                bench.kept(Kind::Length, right.si())
            );
        }
        out.push((label, text));
    }
    for c in &s.coils {
        let label = b.power.coilover(&c.coilover).map_or_else(
            || format!("{} (not in the build any more)", c.coilover),
            |x| x.label.clone(),
        );
        let mut text = format!(
            "{}, {} free",
            bench.kept(Kind::SpringRate, c.rate.si()),
            bench.kept(Kind::Length, c.spring_free.si())
        );
        if let Some(Preload { left, right, .. }) = c.preload {
            text += &format!(
                ", preload {} left, {} right",
                bench.kept(Kind::Length, left.si()),
                bench.kept(Kind::Length, right.si())
            );
        }
        out.push((label, text));
    }
    let rpm = |r: units::RotationSpeed| bench.kept(Kind::RotationSpeed, r.si());
    out.push(("Launch".to_owned(), rpm(s.launch)));
    if !s.shifts.is_empty() {
        let shifts: Vec<String> = s.shifts.iter().take(12).map(|x| rpm(*x)).collect();
        out.push(("Shifts".to_owned(), shifts.join(", ")));
    }
    if !s.clicks.is_empty() {
        out.push(("Damper clicks".to_owned(), s.clicks.clone()));
    }
    for (what, p) in [
        ("Rear pressure", s.rear_pressure),
        ("Front pressure", s.front_pressure),
    ] {
        if let Some(p) = p {
            out.push((what.to_owned(), bench.kept(Kind::Pressure, p.si())));
        }
    }
    if let Some(k) = s.load_sensitivity {
        out.push((
            "Tyre load sensitivity".to_owned(),
            bench.kept(Kind::Ratio, k.si()),
        ));
    }
    out
}

fn hole(left: usize, right: Option<usize>) -> String {
    match right {
        Some(right) if right != left => format!("hole {left} left, {right} right"),
        _ => format!("hole {left}"),
    }
}

/// A change in words.
pub(super) fn changed(bench: &Bench<'_>, c: &Changed) -> String {
    let shop = bench.shop();
    let or_none = |t: String| if t.is_empty() { "none".to_owned() } else { t };
    format!(
        "{}: {}, was {}",
        c.what,
        or_none(c.is.show(shop)),
        or_none(c.was.show(shop))
    )
}

/// Why a setting can not be bolted up any more: a hole that its bracket has not.
pub(super) fn unfit(b: &Build, s: &RunSetting) -> Option<String> {
    for l in &s.links {
        let Some(link) = b.rear.link(&l.link) else {
            return Some(format!(
                "The build has no link called \"{}\" any more",
                l.link
            ));
        };
        for (end, holes) in [
            (&link.at_frame, [Some(l.frame), l.frame_right]),
            (&link.at_axle, [Some(l.axle), l.axle_right]),
        ] {
            let Some(bracket) = b.rear.bracket(&end.bracket) else {
                continue;
            };
            let n = bracket.hole_count();
            if let Some(hole) = holes.into_iter().flatten().find(|h| *h == 0 || *h > n) {
                return Some(format!("{} has no hole {hole} any more", bracket.label));
            }
        }
    }
    let gone = s
        .coils
        .iter()
        .find(|c| b.power.coilover(&c.coilover).is_none())?;
    Some(format!(
        "The build has no coil-over called \"{}\" any more",
        gone.coilover
    ))
}
