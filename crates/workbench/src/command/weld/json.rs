//! Everything the weld study knows, SI, for programs: joints, dimensions, order.
//!
//! A quantity is an object: `value` (SI, or null with a `reason`), `unit`, `display`; an estimate
//! has `low` and `high` as well. Lengths of change are positive where longer.

use build::{
    Build, ControlDimension, DimensionStudy, Joint, JointStudy, OrderStudy, Pulling, SeamStudy,
    Study,
};
use serde_json::{Map, Value, json};
use units::{Kind, Shop};
use weld::control::{Factor, FactorKind, Factors, Prediction};

use super::{
    change, changes, fine, held, how, joint_id, kept, kind, limit, little, mass, off, plus_minus,
    process, record_json, rule, seam_method, tool, verdict, way, weight,
};

/// A quantity with a value.
pub(super) fn known(kind: Kind, si: f64, display: String) -> Value {
    json!({ "value": si, "unit": kind.si_unit(), "display": display })
}

/// A quantity without one.
pub(super) fn unknown(kind: Kind, reason: &str) -> Value {
    json!({ "value": null, "unit": kind.si_unit(), "reason": reason })
}

/// A quantity between two ends.
pub(super) fn between(kind: Kind, [low, point, high]: [f64; 3], display: String) -> Value {
    json!({
        "value": point, "low": low, "high": high, "unit": kind.si_unit(), "display": display,
    })
}

pub(super) fn length(si: f64, shop: &Shop) -> Value {
    known(Kind::Length, si, kept(si, shop))
}

pub(super) fn small(si: f64, shop: &Shop) -> Value {
    known(Kind::Length, si, fine(si, shop))
}

pub(super) fn volume(si: f64, shop: &Shop) -> Value {
    known(Kind::Volume, si, little(si, shop))
}

pub(super) fn changed(si: f64, shop: &Shop) -> Value {
    known(Kind::Length, si, change(si, shop))
}

fn predicted(p: &Prediction, shop: &Shop) -> Value {
    between(
        Kind::Length,
        [p.low, p.change, p.high],
        changes(p.low, p.high, shop),
    )
}

/// A stable name of a factor: `cope_thin`.
pub(super) fn factor_id(f: Factor) -> String {
    let kind = match f.kind {
        FactorKind::Butt => "butt",
        FactorKind::Tee => "tee",
        FactorKind::Lap => "lap",
        FactorKind::Cope => "cope",
        FactorKind::Kink => "kink",
    };
    format!("{kind}{}", if f.thin { "_thin" } else { "" })
}

pub(in crate::command) fn json(b: &Build, study: &Study, shop: &Shop) -> Value {
    let list = b.fit_up.joints.iter().zip(&study.fit_up.joints);
    let joints: Vec<Value> = list
        .enumerate()
        .map(|(i, (j, s))| joint(j, s, study.weld.seams.get(i), shop))
        .collect();
    let factors = study.weld.record.as_ref().ok().map(|r| &r.now);
    let list = b.weld_out.dimensions.iter().zip(&study.weld.dimensions);
    let dimensions: Vec<Value> = list
        .map(|(d, s)| dimension(b, d, s, factors, shop))
        .collect();
    let order = match &study.weld.order {
        Ok(order) => order_json(b, order, shop),
        Err(why) => json!({ "reason": why.show(shop) }),
    };
    let a = &b.assembly;
    json!({
        "build": b.name,
        "revision": b.revision,
        "assembly": {
            "label": a.label,
            "drawn": !a.is_empty(),
            "nodes": a.nodes.len(),
            "tubes": a.tubes.len(),
            "plates": a.plates.len(),
        },
        "gap_rule": rule(b.fit_up.rule),
        "joints": joints,
        "dimensions": dimensions,
        "order": order,
        "record": record_json::record(study, shop),
        "materials": record_json::materials(study, shop),
        "corrections": record_json::corrections(b, study, shop),
        "supply": record_json::supply(b, study, shop),
    })
}

fn joint(j: &Joint, s: &JointStudy, seam: Option<&Option<SeamStudy>>, shop: &Shop) -> Value {
    let mut out = Map::new();
    let mut put = |key: &str, value: Value| {
        out.insert(key.to_owned(), value);
    };
    put("id", json!(j.id));
    put("label", json!(j.label));
    put("kind", json!(kind(j.kind)));
    put("held", json!(held(j.held)));
    put("passes", json!(j.passes));
    put("process", json!(process(j.process)));
    put("leg", length(j.leg.si(), shop));
    put("wall", length(j.wall.si(), shop));
    let joins = j.joins.as_ref();
    put(
        "joins",
        json!(joins.map(|x| json!({ "part": x.part, "onto": x.onto, "at": x.at }))),
    );
    let welded = j.welded.as_ref();
    put(
        "welded",
        json!(welded.map(|x| json!({ "who": x.who, "when": x.when }))),
    );
    let no_gap = "no gap is logged";
    put("readings", json!(j.gaps.len()));
    put("complete", json!(s.complete));
    put(
        "gap_worst",
        s.worst
            .map_or_else(|| unknown(Kind::Length, no_gap), |(g, _)| length(g, shop)),
    );
    put("gap_worst_clock_hours", json!(s.worst.map(|w| w.1)));
    put(
        "gap_mean",
        s.mean
            .map_or_else(|| unknown(Kind::Length, no_gap), |g| small(g, shop)),
    );
    match &s.judged {
        Ok(f) => {
            put("verdict", json!(verdict(&f.verdict).0));
            put("gap_limit", length(f.limit, shop));
            put("required_leg", length(f.required_leg, shop));
        }
        Err(why) => {
            put("verdict", Value::Null);
            put("verdict_reason", json!(why.to_string()));
            put("required_leg", unknown(Kind::Length, &why.to_string()));
        }
    }
    let no_seam = "the length of its seam is not known";
    let why = match &s.weld {
        Err(why) => Some(why.show(shop)),
        Ok(w) if !w.seam_known => Some(no_seam.to_owned()),
        Ok(_) => None,
    };
    let work = s.weld.as_ref().ok();
    match (&why, work) {
        (None, Some(w)) => {
            put("seam", length(w.welded.length, shop));
            put("metal_volume", volume(w.welded.volume, shop));
            let kg = mass(w.welded.volume);
            put("metal", known(Kind::Mass, kg, weight(kg, shop)));
            let x = w.extra.as_ref();
            put(
                "gap_metal_volume",
                x.map_or_else(|| unknown(Kind::Volume, no_gap), |x| volume(x.volume, shop)),
            );
        }
        _ => {
            let why = why.unwrap_or_default();
            put("seam", unknown(Kind::Length, &why));
            put("metal_volume", unknown(Kind::Volume, &why));
            put("metal", unknown(Kind::Mass, &why));
            put("gap_metal_volume", unknown(Kind::Volume, &why));
        }
    }
    if let Some(x) = work.and_then(|w| w.extra.as_ref()) {
        put("gap_pull_in", small(x.shrinkage, shop));
    }
    match &s.shrinkage {
        Ok(p) => {
            let words = format!("{} to {}", fine(p.low, shop), fine(p.high, shop));
            put(
                "pull_in",
                between(Kind::Length, [p.low, p.point, p.high], words),
            );
            put("in_range", json!(!p.out_of_range));
            let estimates: Vec<Value> = p
                .estimates
                .iter()
                .map(|e| {
                    let mut v = small(e.value, shop);
                    v["method"] = json!(e.method.name());
                    v["source"] = json!(e.source);
                    v["in_range"] = json!(e.in_range);
                    v["note"] = json!(e.note);
                    v
                })
                .collect();
            put("estimates", json!(estimates));
        }
        Err(why) => {
            put("pull_in", unknown(Kind::Length, &why.show(shop)));
            put("in_range", Value::Null);
            put("estimates", json!([]));
        }
    }
    let kink = work.and_then(|w| w.welded.main_kink.as_ref());
    put(
        "main_kink",
        json!(kink.map(|k| {
            let angle = |v: f64| build::show_to(Kind::Angle, v, k.point, shop);
            let words = format!("{} to {}", angle(k.low), angle(k.high));
            let mut v = between(Kind::Angle, [k.low, k.point, k.high], words);
            v["in_range"] = json!(!k.out_of_range);
            v
        })),
    );
    put(
        "along_seam",
        json!(seam.and_then(Option::as_ref).map(|s| along(s, shop))),
    );
    Value::Object(out)
}

fn along(s: &SeamStudy, shop: &Shop) -> Value {
    let estimates: Vec<Value> = s
        .along
        .iter()
        .map(|e| {
            let mut v = small(e.value, shop);
            v["method"] = json!(seam_method(e.method));
            v["source"] = json!(e.method.source());
            v
        })
        .collect();
    let bow = s.bow.as_ref().map(|x| {
        json!({ "tube": x.tube, "middle": changed(x.pull.mid_deflection, shop)["value"], "unit": "m" })
    });
    json!({ "estimates": estimates, "bows": bow })
}

fn dimension(
    b: &Build,
    d: &ControlDimension,
    s: &DimensionStudy,
    factors: Option<&Factors>,
    shop: &Shop,
) -> Value {
    let not_yet = "not measured yet";
    let no_way = s.way.as_ref().map_or_else(
        |e| e.show(shop),
        |_| "the shop's record can not be read".to_owned(),
    );
    let by = s.off(d);
    let status = match (by, s.tolerance) {
        (Some(by), Some(t)) if by.abs() > t + 1e-9 => "out",
        (Some(_), Some(_)) => "in",
        _ => "unknown",
    };
    let step = units::step(Kind::Length, shop);
    let whole = s.whole.as_ref();
    let foreseen = |p: Option<&Prediction>| {
        p.map_or_else(|| unknown(Kind::Length, &no_way), |p| predicted(p, shop))
    };
    let pulls: Vec<Value> = s.pulls.iter().map(|p| pull(b, p, factors, shop)).collect();
    let (ends, reason) = match &s.way {
        Ok(legs) => (json!(way(b, legs)), None),
        Err(why) => (Value::Null, Some(why.show(shop))),
    };
    let mut out = json!({
        "id": d.id,
        "label": d.label,
        "from": d.from,
        "to": d.to,
        "tool": tool(&d.tool),
        "wanted": length(d.want.si(), shop),
        "tolerance": s.tolerance.map_or_else(|| unknown(Kind::Length, "it has no tolerance"), |t| known(Kind::Length, t, plus_minus(d.tolerance, t, shop))),
        "tolerance_from": limit(d.tolerance),
        "drawn": s.drawn.map_or_else(|| unknown(Kind::Length, "its ends are not drawn"), |v| small(v, shop)),
        "now": s.now.as_ref().map_or_else(|| unknown(Kind::Length, not_yet), |(v, _)| length(*v, shop)),
        "stage": s.now.as_ref().map(|(_, stage)| stage.word()),
        "off": by.map_or_else(|| unknown(Kind::Length, not_yet), |v| known(Kind::Length, v, off(v, shop))),
        "status": status,
        "way": ends,
        "change": foreseen(whole),
        "set_long": s.set_long(step).map_or_else(|| unknown(Kind::Length, &no_way), |v| length(v, shop)),
        "set_long_step": length(step, shop),
        "chance": s.chance.map_or_else(|| unknown(Kind::Ratio, "nothing to judge it by"), |p| known(Kind::Ratio, p, super::chance(p))),
        "to_come": foreseen(s.to_come.as_ref()),
        "expected": s.expected().map_or_else(
            || unknown(Kind::Length, if s.now.is_none() { not_yet } else { &no_way }),
            |(point, low, high)| between(Kind::Length, [low, point, high], format!("{} to {}", fine(low, shop), fine(high, shop))),
        ),
        "joints": pulls,
        "not_counted": s.missing.iter().map(|i| joint_id(b, *i)).collect::<Vec<_>>(),
    });
    if let Some(reason) = reason {
        out["reason"] = json!(reason);
    }
    out
}

fn pull(b: &Build, p: &Pulling, factors: Option<&Factors>, shop: &Shop) -> Value {
    let c = &p.contribution;
    let factor = factors.map_or(1.0, |f| f.of(c.factor));
    json!({
        "joint": joint_id(b, p.joint),
        "how": how(p.how).replace(' ', "_"),
        "factor": factor_id(c.factor),
        "factor_value": factor,
        "before_factor": changed(c.change, shop),
        "change": changed(factor * c.change, shop),
        "lean": small(c.lean, shop),
    })
}

fn order_json(b: &Build, order: &OrderStudy, shop: &Shop) -> Value {
    let dimension = |place: usize| {
        let found = order.dimensions.get(place);
        let d = found.and_then(|d| b.weld_out.dimensions.get(*d));
        d.map(|d| d.id.as_str())
    };
    let joints: Vec<Value> = order
        .joints
        .iter()
        .zip(&order.steps)
        .enumerate()
        .map(|(i, (place, step))| {
            let drift: Vec<Value> = step
                .dimensions
                .iter()
                .enumerate()
                .map(|(k, x)| {
                    let words = changes(x.low, x.high, shop);
                    let mut v = between(Kind::Length, [x.low, x.drift, x.high], words);
                    v["dimension"] = json!(dimension(k));
                    v["measure"] = json!(order.measure.get(k) == Some(&Some(i)));
                    v
                })
                .collect();
            let j = b.fit_up.joints.get(*place);
            json!({
                "joint": joint_id(b, *place),
                "label": j.map(|j| j.label.as_str()),
                "welded": j.is_some_and(|j| j.welded.is_some()),
                "drift": drift,
            })
        })
        .collect();
    let proposed: Vec<&str> = order.proposed.iter().map(|p| joint_id(b, *p)).collect();
    json!({
        "by_hand": order.by_hand,
        "welded": order.welded,
        "next": order.next.map(|p| joint_id(b, p)),
        "joints": joints,
        "proposed": proposed,
    })
}
