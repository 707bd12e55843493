//! Joints, control dimensions and the weld order in shop words.

use std::fmt::Write as _;

use build::{Build, ControlDimension, DimensionStudy, Joint, JointStudy, Study};
use units::{Kind, Shop};
use weld::Verdict;
use weld::control::Factors;

use super::{
    chance, change, changes, clock, count, fine, held, how, joint_id, kept, kind, limit, metal,
    method, off, plus_minus, process, rule, seam_method, tool, verdict, way,
};

pub(super) fn report(b: &Build, study: &Study, shop: &Shop, estimates: bool) -> String {
    let mut out = format!("{}, revision {}\n", b.name, b.revision);
    let a = &b.assembly;
    if a.is_empty() {
        let _ = writeln!(
            out,
            "No assembly is drawn: where a weld pulls is not known."
        );
    } else {
        let label = if a.label.is_empty() {
            "Assembly"
        } else {
            &a.label
        };
        let _ = writeln!(
            out,
            "{label}: {}, {}, {}",
            count(a.tubes.len(), "tube"),
            count(a.plates.len(), "plate"),
            count(a.nodes.len(), "node")
        );
    }
    joints(&mut out, b, study, shop, estimates);
    dimensions(&mut out, b, study, shop);
    order(&mut out, b, study, shop);
    out
}

fn joints(out: &mut String, b: &Build, study: &Study, shop: &Shop, estimates: bool) {
    let _ = writeln!(
        out,
        "\nJOINTS ({} in the log, gaps by {})",
        b.fit_up.joints.len(),
        rule(b.fit_up.rule)
    );
    for (i, (j, s)) in b.fit_up.joints.iter().zip(&study.fit_up.joints).enumerate() {
        joint(out, j, s, shop, estimates);
        if estimates {
            seam(out, study, i, shop);
        }
    }
}

fn joint(out: &mut String, j: &Joint, s: &JointStudy, shop: &Shop, estimates: bool) {
    let welded = match &j.welded {
        Some(w) => format!("; welded {} {}", w.who, w.when),
        None => "; not welded".to_owned(),
    };
    let _ = writeln!(
        out,
        "{}  {} ({}, {}, {}, {} pass{}{})",
        j.id,
        j.label,
        kind(j.kind),
        held(j.held),
        process(j.process),
        j.passes,
        if j.passes == 1 { "" } else { "es" },
        welded.trim_end()
    );
    match &s.weld {
        Ok(w) if w.seam_known => {
            let extra = w.extra.map_or_else(String::new, |x| {
                format!(", {} of it for the gaps", metal(x.volume, shop))
            });
            let _ = writeln!(
                out,
                "    seam {}, metal {}{extra}",
                units::format(Kind::Length, w.welded.length, shop),
                metal(w.welded.volume, shop)
            );
        }
        Ok(_) => {
            let _ = writeln!(
                out,
                "    seam not known: write its length, or say what it joins"
            );
        }
        Err(why) => {
            let _ = writeln!(out, "    {}", why.show(shop));
        }
    }
    let gap = match (s.worst, s.mean) {
        (Some((worst, at)), Some(mean)) => format!(
            "gap {} worst at {} o'clock, {} mean: ",
            kept(worst, shop),
            clock(at),
            fine(mean, shop)
        ),
        _ => String::new(),
    };
    let judged = match &s.judged {
        Ok(f) => {
            let (_, words) = verdict(&f.verdict);
            let leg = match f.verdict {
                Verdict::Reject => format!(" of {}", kept(f.limit, shop)),
                _ if f.required_leg > 0.0 => format!(", leg {}", kept(f.required_leg, shop)),
                _ => String::new(),
            };
            format!("{words}{leg}")
        }
        Err(why) => why.to_string(),
    };
    let _ = writeln!(out, "    {gap}{judged}");
    match &s.shrinkage {
        Ok(p) => {
            let range = if p.out_of_range {
                "outside every formula's range, spread widened"
            } else {
                "in the range of a formula"
            };
            let _ = writeln!(
                out,
                "    pulls in {} to {}, about {}: {range}",
                fine(p.low, shop),
                fine(p.high, shop),
                fine(p.point, shop)
            );
            if estimates {
                for e in &p.estimates {
                    let _ = writeln!(
                        out,
                        "      {:<18}  {:>9}  {:<12}  {}; {}",
                        method(e),
                        fine(e.value, shop),
                        if e.in_range {
                            "in range"
                        } else {
                            "out of range"
                        },
                        e.source,
                        e.note
                    );
                }
            }
        }
        Err(why) => {
            let _ = writeln!(out, "    no pull-in: {}", why.show(shop));
        }
    }
    if let Ok(w) = &s.weld
        && let Some(k) = &w.welded.main_kink
    {
        let angle = |v: f64| build::show_to(Kind::Angle, v, k.point, shop);
        let _ = writeln!(
            out,
            "    kinks what it stands on {} to {}, about {}",
            angle(k.low),
            angle(k.high),
            angle(k.point)
        );
    }
}

/// Shortening along a straight seam, every estimate.
fn seam(out: &mut String, study: &Study, place: usize, shop: &Shop) {
    let Some(Some(s)) = study.weld.seams.get(place) else {
        return;
    };
    for e in &s.along {
        let _ = writeln!(
            out,
            "      {:<18}  {:>9}  along the seam, {}",
            seam_method(e.method),
            fine(e.value, shop),
            e.method.source()
        );
    }
}

fn dimensions(out: &mut String, b: &Build, study: &Study, shop: &Shop) {
    let _ = writeln!(out, "\nCONTROL DIMENSIONS");
    if b.weld_out.dimensions.is_empty() {
        let _ = writeln!(out, "None is written down.");
    }
    let factors = study.weld.record.as_ref().ok().map(|r| &r.now);
    for (d, s) in b.weld_out.dimensions.iter().zip(&study.weld.dimensions) {
        dimension(out, b, d, s, factors, shop);
    }
}

fn dimension(
    out: &mut String,
    b: &Build,
    d: &ControlDimension,
    s: &DimensionStudy,
    factors: Option<&Factors>,
    shop: &Shop,
) {
    let tolerance = match s.tolerance {
        Some(t) => format!(
            "± {} ({})",
            plus_minus(d.tolerance, t, shop),
            limit(d.tolerance)
        ),
        None => "without a tolerance".to_owned(),
    };
    let _ = writeln!(
        out,
        "{}  {}: {} {tolerance}, by {}",
        d.id,
        d.label,
        kept(d.want.si(), shop),
        tool(&d.tool)
    );
    match (&s.now, s.off(d)) {
        (Some((now, stage)), Some(by)) => {
            let verdict = match s.tolerance {
                Some(t) if by.abs() > t + 1e-9 => ": out of tolerance",
                Some(_) => ": in tolerance",
                None => "",
            };
            let _ = writeln!(
                out,
                "    now {} ({}), {}{verdict}",
                kept(*now, shop),
                stage.word(),
                off(by, shop)
            );
        }
        _ => {
            let _ = writeln!(out, "    not measured yet");
        }
    }
    match &s.way {
        Ok(legs) => {
            let _ = writeln!(out, "    by way of {}", way(b, legs).join(", "));
        }
        Err(why) => {
            let _ = writeln!(out, "    no way from end to end: {}", why.show(shop));
        }
    }
    if !s.missing.is_empty() {
        let ids: Vec<&str> = s.missing.iter().map(|i| joint_id(b, *i)).collect();
        let _ = writeln!(
            out,
            "    not counted, could not be worked out: {}",
            ids.join(", ")
        );
    }
    if s.whole.is_some() && s.pulls.is_empty() {
        let _ = writeln!(out, "    no weld changes it");
        return;
    }
    if let Some(p) = &s.whole {
        let _ = writeln!(
            out,
            "    welds change it by {}, about {}",
            changes(p.low, p.high, shop),
            change(p.change, shop)
        );
        let set = s.set_long(units::step(Kind::Length, shop));
        let set = set.map_or_else(String::new, |by| match by {
            0.0 => "set it as it must come out".to_owned(),
            by if by > 0.0 => format!("set it {} long", kept(by, shop)),
            by => format!("set it {} short", kept(-by, shop)),
        });
        let likely = s.chance.map_or_else(String::new, |p| {
            format!(
                "; set exactly, chance to come out in tolerance {}",
                chance(p)
            )
        });
        let _ = writeln!(out, "    {set}{likely}");
    }
    match &s.to_come {
        Some(p) if p.low == 0.0 && p.high == 0.0 => {
            let _ = writeln!(out, "    nothing still to come");
        }
        Some(p) => {
            let _ = writeln!(
                out,
                "    still to come {}, about {}",
                changes(p.low, p.high, shop),
                change(p.change, shop)
            );
            if let Some((point, low, high)) = s.expected() {
                let _ = writeln!(
                    out,
                    "    expected at the end {} to {}, about {}",
                    fine(low, shop),
                    fine(high, shop),
                    fine(point, shop)
                );
            }
        }
        None => {}
    }
    for p in &s.pulls {
        let c = &p.contribution;
        let factor = factors.map_or(1.0, |f| f.of(c.factor));
        let _ = writeln!(
            out,
            "      {:<6} {:<9} {:>16}  (factor {factor:.2}, {})",
            joint_id(b, p.joint),
            how(p.how),
            change(factor * c.change, shop),
            c.factor.label()
        );
    }
}

fn order(out: &mut String, b: &Build, study: &Study, shop: &Shop) {
    let _ = writeln!(out, "\nWELD ORDER");
    let order = match &study.weld.order {
        Ok(order) => order,
        Err(why) => {
            let _ = writeln!(out, "None: {}", why.show(shop));
            return;
        }
    };
    if order.joints.is_empty() {
        let _ = writeln!(out, "No joint of the assembly is drawn yet.");
        return;
    }
    let _ = writeln!(
        out,
        "{}, {} of {} welded",
        if order.by_hand {
            "Set by hand"
        } else {
            "As proposed"
        },
        order.welded,
        order.joints.len()
    );
    let name = |place: usize| {
        let found = order.dimensions.get(place);
        let d = found.and_then(|d| b.weld_out.dimensions.get(*d));
        d.map_or("", |d| d.id.as_str())
    };
    for (i, (place, step)) in order.joints.iter().zip(&order.steps).enumerate() {
        let Some(j) = b.fit_up.joints.get(*place) else {
            continue;
        };
        let mark = if j.welded.is_some() {
            "welded"
        } else if order.next == Some(*place) {
            "next"
        } else {
            ""
        };
        let line = format!("{:>3}  {:<6} {}", i + 1, j.id, j.label);
        let _ = writeln!(
            out,
            "{line}{}{mark}",
            if mark.is_empty() { "" } else { ": " }
        );
        let before = i.checked_sub(1).and_then(|i| order.steps.get(i));
        for (k, drift) in step.dimensions.iter().enumerate() {
            let measure = if order.measure.get(k) == Some(&Some(i)) {
                "  measure it now"
            } else {
                ""
            };
            // What the joint does not move stands as before.
            let was = before.and_then(|s| s.dimensions.get(k));
            let still = was.map_or(drift.low == 0.0 && drift.high == 0.0, |w| w == drift);
            if still && measure.is_empty() {
                continue;
            }
            let _ = writeln!(
                out,
                "       {:<12} {:>16} so far, {}{measure}",
                name(k),
                change(drift.drift, shop),
                changes(drift.low, drift.high, shop)
            );
        }
    }
    if order.proposed != order.joints {
        let ids: Vec<&str> = order.proposed.iter().map(|p| joint_id(b, *p)).collect();
        let _ = writeln!(out, "Proposed from scratch: {}", ids.join(", "));
    }
}
