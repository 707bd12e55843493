//! The shop's record, correction beads, filler and gas for programs.

use build::{Build, Correction, CorrectionStudy, Phrase, RecordOf, RecordRow, SiteStudy, Study};
use serde_json::{Value, json};
use units::{Kind, Shop};
use weld::beads::Why;
use weld::control::Factor;
use weld::guard::{Basis, GuardRemark, Guarded};

use super::json::{between, changed, factor_id, known, length, small, unknown, volume};
use super::{CONFIDENCE, chance, fine, gas, joint_id, minutes, process, weight, will_do};

fn share(p: f64) -> Value {
    known(Kind::Ratio, p, chance(p))
}

pub(super) fn record(study: &Study, shop: &Shop) -> Value {
    let record = match &study.weld.record {
        Ok(record) => record,
        Err(why) => return json!({ "reason": why.show(shop) }),
    };
    let factors: Vec<Value> = Factor::ALL
        .into_iter()
        .map(|f| {
            let interval = record.now.interval(f, CONFIDENCE).ok();
            json!({
                "id": factor_id(f),
                "label": f.label(),
                "value": record.now.of(f),
                "low": interval.map(|i| i.0),
                "high": interval.map(|i| i.1),
                "unit": "1",
                "measured": record.tried[f.index()],
            })
        })
        .collect();
    let rows = |list: &[RecordRow]| -> Vec<Value> { list.iter().map(|r| row(r, shop)).collect() };
    let coupons: Vec<Value> = record
        .coupons
        .iter()
        .map(|c| {
            let mut v = json!({
                "id": c.id,
                "measured": c.measured.map_or_else(|| unknown(Kind::Length, "not measured yet"), |m| changed(m, shop)),
            });
            match &c.predicted {
                Ok((by, factor)) => {
                    v["predicted"] = changed(*by, shop);
                    v["factor"] = json!(factor_id(*factor));
                }
                Err(why) => v["predicted"] = unknown(Kind::Length, &why.show(shop)),
            }
            v
        })
        .collect();
    json!({
        "confidence": CONFIDENCE,
        "count": record.count(),
        "factors": factors,
        "readings": rows(&record.rows),
        "offered": rows(&record.offered),
        "coupons": coupons,
    })
}

fn row(r: &RecordRow, shop: &Shop) -> Value {
    let u = &r.row.update;
    let (from, id) = match &r.of {
        RecordOf::Past(label) => ("past", label),
        RecordOf::Coupon(id) => ("coupon", id),
        RecordOf::Dimension(id) => ("dimension", id),
    };
    json!({
        "from": from,
        "id": id,
        "label": r.label,
        "when": r.when,
        "counts": r.learned,
        "left_out": r.void,
        "predicted": changed(u.predicted, shop),
        "before_factor": changed(u.unfactored, shop),
        "measured": changed(u.measured, shop),
        "ratio": u.ratio,
        "chance": u.chance,
        "outlier": r.row.outlier,
    })
}

fn judged(verdict: &Result<Guarded, Phrase>, shop: &Shop) -> Value {
    let g = match verdict {
        Ok(g) => g,
        Err(why) => return json!({ "beads": false, "reason": why.show(shop) }),
    };
    let cold = |r: &GuardRemark| matches!(r, GuardRemark::NeverCold { .. });
    let mut v = json!({
        "beads": g.allows_plan(),
        "carbon_equivalent_per_cent": g.carbon_equivalent,
        "carbon_equivalent_from": g.basis.map(|b| match b {
            Basis::MillSheet => "mill_sheet",
            Basis::RangeTop => "range_top",
        }),
        "never_cold": g.remarks.iter().any(cold),
    });
    if let Some(r) = g.refusal {
        v["reason"] = json!(r.reason());
        v["caution"] = json!(r.caution());
    }
    v
}

pub(super) fn materials(study: &Study, shop: &Shop) -> Vec<Value> {
    let one = |(name, verdict): &(String, Result<Guarded, Phrase>)| {
        let mut v = judged(verdict, shop);
        v["material"] = json!(name);
        v
    };
    study.weld.materials.iter().map(one).collect()
}

pub(super) fn corrections(b: &Build, study: &Study, shop: &Shop) -> Vec<Value> {
    let list = b.weld_out.corrections.iter().zip(&study.weld.corrections);
    list.map(|(c, s)| correction(c, s, shop)).collect()
}

fn site(s: &SiteStudy, shop: &Shop) -> Value {
    let mut v = match &s.first {
        Ok(f) => {
            let words = format!("{} to {}", fine(f.low, shop), fine(f.high, shop));
            json!({
                "first": between(Kind::Length, [f.low, f.point, f.high], words),
                "lengthens": f.lengthens,
                "lever": small(f.lever, shop),
            })
        }
        Err(why) => json!({ "first": unknown(Kind::Length, &why.show(shop)) }),
    };
    v["tube"] = json!(s.tube);
    v["face"] = json!(s.face.word());
    v["laid"] = json!(s.laid);
    v["wrong_way"] = json!(s.wrong_way);
    v["in_range"] = json!(!s.out_of_range);
    v
}

fn correction(c: &Correction, s: &CorrectionStudy, shop: &Shop) -> Value {
    let sites: Vec<Value> = s.sites.iter().map(|x| site(x, shop)).collect();
    let guarded: Vec<Value> = s
        .guarded
        .iter()
        .map(|(tube, material, verdict)| {
            let mut v = judged(verdict, shop);
            v["tube"] = json!(tube);
            v["material"] = json!(material);
            v
        })
        .collect();
    let mut v = json!({
        "id": c.id,
        "dimension": c.dimension,
        "start": length(c.start.si(), shop),
        "sites": sites,
        "guard": guarded,
    });
    let plan = match &s.plan {
        Ok(plan) => plan,
        Err(why) => {
            v["plan"] = Value::Null;
            v["reason"] = json!(why.show(shop));
            return v;
        }
    };
    let bead = plan.per_bead();
    let words = format!("{} to {}", fine(bead.low, shop), fine(bead.high, shop));
    let moves: Vec<Value> = plan
        .moves()
        .iter()
        .map(|m| {
            json!({
                "beads": m.reading.beads,
                "measured": length(m.reading.measured, shop),
                "expected": small(m.expected_dimension, shop),
                "chance": m.two_sided_p,
            })
        })
        .collect();
    let mut p = json!({
        "toward": if plan.toward() < 0.0 { "shorter" } else { "longer" },
        "laid": plan.beads_laid(),
        "moves": moves,
        "per_bead": between(Kind::Length, [bead.low, bead.value, bead.high], words),
        "accepted_chance": share(plan.job().settings.chance),
        "spent_chance": share(plan.chance_spent()),
        "agree": !plan.disagree(),
    });
    if let Some(a) = &s.advice {
        let next = s.next_site.and_then(|i| s.sites.get(i));
        p["lay"] = json!(a.lay);
        p["why"] = json!(match a.why {
            Why::LayAndMeasure => "lay_and_measure",
            Why::Done => "done",
            Why::Past => "past",
            Why::NotMoving => "not_moving",
            Why::NextMayOvershoot => "next_may_overshoot",
        });
        p["where"] = json!(next.map(|x| json!({ "tube": x.tube, "face": x.face.word() })));
        p["overshoot_chance"] = a
            .overshoot_chance
            .map_or_else(|| unknown(Kind::Ratio, "no bead is to be laid"), share);
        p["overshoot_chance_one_more"] = share(a.overshoot_chance_one_more);
        let [few, middle, many] = a.beads_to_come;
        p["beads_to_come"] = json!({ "value": middle, "low": few, "high": many, "unit": "1" });
    }
    if let Some(m) = &s.members {
        p["members"] = json!({
            "means": [small(m.means[0], shop), small(m.means[1], shop)],
            "alike": !m.differ,
        });
    }
    v["plan"] = p;
    v
}

pub(super) fn supply(b: &Build, study: &Study, shop: &Shop) -> Value {
    let s = &study.weld.supply;
    let none = |kind: Kind, why: Option<&Phrase>| {
        let why = why.map_or_else(|| "not written down".to_owned(), |w| w.show(shop));
        unknown(kind, &why)
    };
    let rows: Vec<Value> = s
        .rows
        .iter()
        .map(|r| {
            let why = r.missing.as_ref();
            let mass = |kg: f64| known(Kind::Mass, kg, weight(kg, shop));
            json!({
                "process": process(r.process),
                "joints": r.joints,
                "starts": r.starts,
                "seam": length(r.seam, shop),
                "metal_volume": volume(r.volume, shop),
                "metal": r.filler.map_or_else(|| none(Kind::Mass, why), |f| mass(f.metal)),
                "filler": r.filler.map_or_else(|| none(Kind::Mass, why), |f| mass(f.consumed)),
                "wire": r.wire.map_or_else(|| none(Kind::Length, why), |w| length(w, shop)),
                "rods": r.rods,
                "arc_time": r.arc_time.map_or_else(|| none(Kind::Time, why), |t| known(Kind::Time, t, minutes(t))),
                "net_heat": r.net_heat.map_or_else(|| none(Kind::HeatInput, why), |q| known(Kind::HeatInput, q, units::format(Kind::HeatInput, q, shop))),
            })
        })
        .collect();
    let ids: Vec<&str> = s.unknown.iter().map(|p| joint_id(b, *p)).collect();
    let air = |si: f64| known(Kind::Volume, si, gas(si, shop));
    let cylinder = match &s.gas {
        Ok(x) => {
            let e = &x.endurance;
            let nothing = |kind| unknown(kind, "the job has none of it");
            json!({
                "need": air(x.need),
                "usable": air(x.usable),
                "verdict": will_do(x.will_do).0,
                "lasts_arc_time": e.arc_time.map_or_else(|| nothing(Kind::Time), |t| known(Kind::Time, t, minutes(t))),
                "lasts_starts": e.starts,
                "lasts_seam": e.seam.map_or_else(|| nothing(Kind::Length), |l| length(l, shop)),
            })
        }
        Err(why) => {
            json!({ "need": null, "usable": null, "verdict": null, "reason": why.show(shop) })
        }
    };
    json!({ "processes": rows, "not_counted": ids, "gas": cylinder })
}
