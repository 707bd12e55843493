//! The shop's record, correction beads, filler and gas in shop words.

use std::fmt::Write as _;

use build::{Build, CorrectionStudy, RecordRow, Study};
use units::{Kind, Shop};
use weld::beads::Why;
use weld::control::Factor;
use weld::guard::{Basis, GuardRemark, Guarded};

use super::{
    CONFIDENCE, chance, change, count, fine, gas, joint_id, kept, metal, minutes, process, weight,
    will_do,
};

pub(super) fn report(b: &Build, study: &Study, shop: &Shop) -> String {
    let mut out = String::new();
    record(&mut out, study, shop);
    corrections(&mut out, b, study, shop);
    supply(&mut out, b, study, shop);
    out
}

fn record(out: &mut String, study: &Study, shop: &Shop) {
    let _ = writeln!(out, "\nTHE SHOP'S RECORD");
    let record = match &study.weld.record {
        Ok(record) => record,
        Err(why) => {
            let _ = writeln!(out, "It can not be read: {}", why.show(shop));
            return;
        }
    };
    let n = record.count();
    let _ = writeln!(
        out,
        "{} count{}",
        count(n, "reading"),
        if n == 1 { "s" } else { "" }
    );
    // The rest stand as they were, and touch nothing here; JSON has them all.
    let pulls = study.weld.dimensions.iter().flat_map(|d| &d.pulls);
    let used: Vec<Factor> = pulls.map(|p| p.contribution.factor).collect();
    let shown = |f: &Factor| used.contains(f) || record.tried[f.index()];
    let list: Vec<Factor> = Factor::ALL.into_iter().filter(shown).collect();
    if !list.is_empty() {
        let _ = writeln!(
            out,
            "Factor on the formulas, and the range it is in nine times of ten:"
        );
    }
    for f in list {
        let Ok((low, high)) = record.now.interval(f, CONFIDENCE) else {
            continue;
        };
        let tried = if record.tried[f.index()] {
            ""
        } else {
            "  not measured by this shop"
        };
        let _ = writeln!(
            out,
            "  {:<24} {:.2}  {low:.2} to {high:.2}{tried}",
            f.label(),
            record.now.of(f)
        );
    }
    for r in &record.rows {
        let counts = match &r.void {
            Some(why) => format!("left out: {why}"),
            None => "counts".to_owned(),
        };
        row(out, r, &counts, shop);
    }
    for r in &record.offered {
        row(out, r, "measured, not learned from yet", shop);
    }
    for c in &record.coupons {
        let why = match (&c.predicted, c.measured) {
            (Err(why), _) => why.show(shop),
            (Ok((by, _)), None) => {
                format!("predicted {}, not measured yet", fine(by.abs(), shop))
            }
            (Ok(_), Some(_)) => continue,
        };
        let _ = writeln!(out, "  coupon {}: {why}", c.id);
    }
}

fn row(out: &mut String, r: &RecordRow, counts: &str, shop: &Shop) {
    let u = &r.row.update;
    let ratio = u.ratio.map_or_else(String::new, |x| {
        format!(
            ", {x:.2} of the formulas' {}",
            fine(u.unfactored.abs(), shop)
        )
    });
    let odd = if r.row.outlier {
        "; less likely than one in a hundred"
    } else {
        ""
    };
    let when = if r.when.is_empty() {
        String::new()
    } else {
        format!(" {}", r.when)
    };
    let _ = writeln!(
        out,
        "  {}{when}: {}{ratio} ({counts}){odd}",
        r.label,
        change(u.measured, shop)
    );
}

/// What the guard says of a material.
fn guarded(g: &Guarded) -> String {
    let mut out = match g.refusal {
        None => "may have beads".to_owned(),
        Some(r) => format!("no beads: {}; {}", r.reason(), r.caution()),
    };
    if let Some(ce) = g.carbon_equivalent {
        let of = match g.basis {
            Some(Basis::MillSheet) => "mill sheet",
            _ => "top of the grade's range",
        };
        let _ = write!(out, "; carbon equivalent {ce:.2} % ({of})");
    }
    let cold = |r: &GuardRemark| matches!(r, GuardRemark::NeverCold { .. });
    if g.remarks.iter().any(cold) {
        out.push_str("; never on cold steel");
    }
    out
}

fn corrections(out: &mut String, b: &Build, study: &Study, shop: &Shop) {
    let _ = writeln!(out, "\nCORRECTION BEADS");
    for (material, verdict) in &study.weld.materials {
        let says = match verdict {
            Ok(g) => guarded(g),
            Err(why) => why.show(shop),
        };
        let _ = writeln!(out, "{material}: {says}");
    }
    if b.weld_out.corrections.is_empty() {
        let _ = writeln!(out, "None is planned.");
    }
    for (c, s) in b.weld_out.corrections.iter().zip(&study.weld.corrections) {
        let label = b.weld_out.dimension(&c.dimension);
        let _ = writeln!(
            out,
            "{}  {}, from {}, {} beads of {} leg, {} long",
            c.id,
            label.map_or(c.dimension.as_str(), |d| d.label.as_str()),
            kept(c.start.si(), shop),
            match c.bead.lie {
                build::Lie::Across => "cross",
                build::Lie::Along => "lengthwise",
            },
            kept(c.bead.leg.si(), shop),
            kept(c.bead.length.si(), shop)
        );
        sites(out, b, s, shop);
        plan(out, b, s, shop);
    }
}

fn sites(out: &mut String, b: &Build, s: &CorrectionStudy, shop: &Shop) {
    for site in &s.sites {
        let label = b.assembly.part_label(&site.tube).unwrap_or(&site.tube);
        let first = match &site.first {
            Ok(f) => format!(
                "a bead moves it {} to {}, about {}, {}{}",
                fine(f.low, shop),
                fine(f.high, shop),
                fine(f.point, shop),
                if f.lengthens { "longer" } else { "shorter" },
                if site.out_of_range {
                    " (outside every formula's range)"
                } else {
                    ""
                }
            ),
            Err(why) => why.show(shop),
        };
        let _ = writeln!(
            out,
            "    {label}, {} face, {} laid: {first}",
            site.face.word(),
            site.laid
        );
    }
}

fn plan(out: &mut String, b: &Build, s: &CorrectionStudy, shop: &Shop) {
    let plan = match &s.plan {
        Ok(plan) => plan,
        Err(why) => {
            let _ = writeln!(out, "    no plan: {}", why.show(shop));
            return;
        }
    };
    let bead = plan.per_bead();
    let (laid, moves) = (plan.beads_laid() as usize, plan.moves().len());
    let so_far = match moves {
        0 => "none laid yet: a bead is expected to move it".to_owned(),
        n => format!(
            "{} laid, measured {}: a bead moves it",
            count(laid, "bead"),
            count(n, "time")
        ),
    };
    let _ = writeln!(
        out,
        "    {so_far} {} to {}, about {}",
        fine(bead.low, shop),
        fine(bead.high, shop),
        fine(bead.value, shop)
    );
    if let Some(a) = &s.advice {
        let at = s.next_site.and_then(|i| s.sites.get(i)).map(|site| {
            let label = b.assembly.part_label(&site.tube).unwrap_or(&site.tube);
            format!(" on {label}, {} face", site.face.word())
        });
        let what = if a.why == Why::LayAndMeasure {
            let beads = count(a.lay as usize, "bead");
            format!(
                "lay {beads}{}, let it cool, then measure",
                at.unwrap_or_default()
            )
        } else {
            format!("lay none: {}", a.why.word())
        };
        let _ = writeln!(out, "    {what}");
        let more = chance(a.overshoot_chance_one_more);
        let over = match a.overshoot_chance {
            Some(p) => format!("{}, with one bead more {more}", chance(p)),
            None => format!("with one bead {more}"),
        };
        let _ = writeln!(
            out,
            "    chance to pass the tolerance {over}; {} of {} spent",
            chance(a.chance_spent),
            chance(plan.job().settings.chance)
        );
        let beads = |n: Option<u32>| {
            let most = plan.job().settings.most_beads;
            n.map_or_else(|| format!("more than {most}"), |n| n.to_string())
        };
        let [few, middle, many] = a.beads_to_come.map(beads);
        let spread = if few == many {
            String::new()
        } else {
            format!(" ({few} if they move it far, {many} if little)")
        };
        if a.why == Why::LayAndMeasure {
            let _ = writeln!(out, "    beads until it is in tolerance: {middle}{spread}");
        }
        if moves > 1 {
            let _ = writeln!(
                out,
                "    the moves {}",
                if a.disagree {
                    "do not agree with each other: one bead at a time"
                } else {
                    "agree with each other"
                }
            );
        }
    }
    if let Some(m) = &s.members {
        let _ = writeln!(
            out,
            "    first member {} a bead, second {}: {}",
            fine(m.means[0], shop),
            fine(m.means[1], shop),
            if m.differ {
                "they do not move alike"
            } else {
                "they move alike"
            }
        );
    }
}

fn supply(out: &mut String, b: &Build, study: &Study, shop: &Shop) {
    let s = &study.weld.supply;
    let _ = writeln!(out, "\nFILLER AND GAS for the joints not welded yet");
    if s.rows.is_empty() {
        let _ = writeln!(out, "No joint with a known seam is left to weld.");
    }
    for r in &s.rows {
        let mut parts = vec![format!(
            "{}, {} of seam, metal {}",
            count(r.joints, "joint"),
            units::format(Kind::Length, r.seam, shop),
            r.filler
                .map_or_else(|| metal(r.volume, shop), |f| weight(f.metal, shop))
        )];
        if let Some(f) = &r.filler {
            parts.push(format!("filler {}", weight(f.consumed, shop)));
        }
        match (r.rods, r.wire) {
            (Some(rods), _) => parts.push(format!("{} rods", rods.ceil())),
            (None, Some(wire)) => parts.push(format!("wire {}", long(wire, shop))),
            _ => {}
        }
        if let Some(t) = r.arc_time {
            parts.push(format!("arc time {}", minutes(t)));
        }
        if let Some(q) = r.net_heat {
            let heat = units::format(Kind::HeatInput, q, shop);
            parts.push(format!("{heat} net"));
        }
        parts.push(format!("{} starts", r.starts));
        if let Some(why) = &r.missing {
            parts.push(why.show(shop));
        }
        let _ = writeln!(out, "{}: {}", process(r.process), parts.join(", "));
    }
    if !s.unknown.is_empty() {
        let ids: Vec<&str> = s.unknown.iter().map(|p| joint_id(b, *p)).collect();
        let _ = writeln!(out, "Not counted, seam not known: {}", ids.join(", "));
    }
    match &s.gas {
        Ok(x) => {
            let (_, words) = will_do(x.will_do);
            let mut left = Vec::new();
            if let Some(t) = x.endurance.arc_time {
                left.push(format!("{} of arc", minutes(t)));
            }
            if let Some(n) = x.endurance.starts {
                left.push(count(n.floor().clamp(0.0, 1e9) as usize, "start"));
            }
            let _ = writeln!(
                out,
                "Gas: {} needed, {} to use: {words}; it lasts {}",
                gas(x.need, shop),
                gas(x.usable, shop),
                left.join(" or ")
            );
        }
        Err(why) => {
            let _ = writeln!(out, "Gas: {}", why.show(shop));
        }
    }
}

/// Wire off a spool: feet, or metres.
fn long(si: f64, shop: &Shop) -> String {
    match shop.system {
        units::System::InchPound => format!("{:.0} ft", si / 0.3048),
        units::System::Si => format!("{si:.1} m"),
    }
}
