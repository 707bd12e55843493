//! The run log beside the model, for the command line.

use std::fmt::Write as _;

use build::{
    Build, FittedFriction, JointFit, Predicted, RunRecord, RunTimes, SlipReading, StripMark, Study,
    changed_since, run_advice,
};
use serde_json::{Map, Value, json};
use units::{Kind, Shop};

use super::Trouble;
use super::run::{barometer, difference, reading_of, slip_kind, slip_reading};

/// What a time slip of the log can hold.
const MEASURED: [SlipReading; 7] = [
    SlipReading::Clock(StripMark::SixtyFoot),
    SlipReading::Clock(StripMark::ThreeThirty),
    SlipReading::Clock(StripMark::Eighth),
    SlipReading::Clock(StripMark::Thousand),
    SlipReading::Clock(StripMark::Quarter),
    SlipReading::QuarterTrap,
    SlipReading::ZeroSixty,
];

/// A figure of a time slip, SI.
fn of(times: &RunTimes, r: SlipReading) -> Option<f64> {
    let time = match r {
        SlipReading::Clock(StripMark::SixtyFoot) => times.sixty_foot,
        SlipReading::Clock(StripMark::ThreeThirty) => times.three_thirty,
        SlipReading::Clock(StripMark::Eighth) => times.eighth,
        SlipReading::Clock(StripMark::Thousand) => times.thousand,
        SlipReading::Clock(StripMark::Quarter) => times.quarter,
        SlipReading::ZeroSixty => times.zero_sixty,
        SlipReading::QuarterTrap => return times.quarter_speed.map(|v| v.si()),
        SlipReading::EighthTrap | SlipReading::ZeroSixtyRollout => None,
    };
    time.map(|t| t.si())
}

/// Friction of every run that counts, together, and with what was entered before.
struct Together {
    runs: usize,
    fitted: FittedFriction,
    prior: FittedFriction,
    both: FittedFriction,
}

fn together(b: &Build, log: &[Predicted]) -> Option<Together> {
    let runs = b.run.log.iter().zip(log).filter(|(r, _)| r.learn);
    let fits: Vec<FittedFriction> = runs
        .filter_map(|(_, p)| p.friction.as_ref()?.as_ref().ok().copied())
        .collect();
    let fitted = FittedFriction::together(&fits)?;
    let friction = b.power.friction.si();
    let prior = FittedFriction {
        friction,
        sigma: friction * b.run.unsure.friction.si(),
    };
    Some(Together {
        runs: fits.len(),
        fitted,
        prior,
        both: fitted.with_prior(prior.friction, prior.sigma),
    })
}

pub(super) fn run(b: &Build, study: &Study, shop: &Shop, as_json: bool) -> Result<String, Trouble> {
    let log = study.run.log();
    if as_json {
        Ok(serde_json::to_string_pretty(&json(b, study, &log, shop))? + "\n")
    } else {
        Ok(text(b, study, &log, shop))
    }
}

/// A run with the one before it and what the model says of it.
fn each<'a>(
    b: &'a Build,
    log: &'a [Predicted],
) -> impl Iterator<Item = (Option<&'a RunRecord>, &'a RunRecord, &'a Predicted)> {
    let list = &b.run.log;
    let before = std::iter::once(None).chain(list.iter().map(Some));
    before.zip(list).zip(log).map(|((a, r), p)| (a, r, p))
}

fn text(b: &Build, study: &Study, log: &[Predicted], shop: &Shop) -> String {
    let mut out = format!("{}, revision {}\n", b.name, b.revision);
    if b.run.log.is_empty() {
        let _ = writeln!(out, "No run is logged.");
        return out;
    }
    for (before, record, predicted) in each(b, log) {
        one(&mut out, b, study, (before, record, predicted), shop);
    }
    let _ = writeln!(out, "\nTYRE FRICTION (± one standard deviation)");
    match together(b, log) {
        None => {
            let _ = writeln!(out, "No run that counts gives one.");
        }
        Some(t) => {
            let show = |f: &FittedFriction| format!("{:.3} ± {:.3}", f.friction, f.sigma);
            let _ = writeln!(
                out,
                "{} run{} together: {}",
                t.runs,
                if t.runs == 1 { "" } else { "s" },
                show(&t.fitted)
            );
            let _ = writeln!(out, "entered before: {}", show(&t.prior));
            let _ = writeln!(out, "all together: {}", show(&t.both));
        }
    }
    joint(&mut out, study, shop);
    out
}

/// An engine speed over another with its sign.
fn off(si: f64, shop: &Shop) -> String {
    let size = units::format(Kind::RotationSpeed, si.abs(), shop);
    if size == units::format(Kind::RotationSpeed, 0.0, shop) {
        return size;
    }
    format!("{}{size}", if si < 0.0 { "−" } else { "+" })
}

fn joint(out: &mut String, study: &Study, shop: &Shop) {
    let Some(joint) = study.run.joint_fit() else {
        return;
    };
    let _ = writeln!(
        out,
        "\nFRICTION AND LAUNCH RPM TOGETHER (60 and 330 ft of {}; ± one standard deviation)",
        joint.runs.join(", ")
    );
    let (fit, total) = match (&joint.fit, joint.off) {
        (Ok(fit), Some(total)) => (fit, total),
        (Err(why), _) => {
            let _ = writeln!(out, "No pair: {}", why.show(shop));
            return;
        }
        (Ok(_), None) => return,
    };
    let spread = |si: f64| units::format(Kind::RotationSpeed, si, shop);
    let _ = writeln!(
        out,
        "entered before: {:.3} ± {:.3}, launch off by {} ± {}",
        fit.prior.friction,
        fit.prior.friction_sigma,
        off(joint.entered_off, shop),
        spread(fit.prior.launch_sigma)
    );
    let _ = writeln!(
        out,
        "with the runs: {:.3} ± {:.3}, launch off by {} ± {}, correlation {:+.2}",
        fit.friction,
        fit.friction_sigma,
        off(total, shop),
        spread(fit.launch_sigma),
        fit.correlation
    );
    for line in joint.says() {
        let _ = writeln!(out, "{}.", line.show(shop));
    }
    let _ = writeln!(out, "Nothing uses it until it is taken in the window.");
}

fn one(
    out: &mut String,
    b: &Build,
    study: &Study,
    (before, record, predicted): (Option<&RunRecord>, &RunRecord, &Predicted),
    shop: &Shop,
) {
    let head = [record.id.as_str(), &record.when, &record.place];
    let head: Vec<&str> = head.into_iter().filter(|s| !s.trim().is_empty()).collect();
    let w = &record.weather;
    let _ = writeln!(
        out,
        "\n{}\n  air {}, {}, humidity {}",
        head.join("  "),
        units::format(Kind::Temperature, w.temperature.si(), shop),
        barometer(w.pressure.si(), shop),
        units::format(Kind::Ratio, w.humidity.si(), shop)
    );
    if let Some(before) = before {
        let changed = changed_since(b, &before.setting, &record.setting);
        if changed.is_empty() {
            let _ = writeln!(out, "  set as in {}", before.id);
        }
        let said = |p: &build::Phrase| match p.show(shop) {
            s if s.trim().is_empty() => "not written down".to_owned(),
            s => s,
        };
        for c in changed {
            let _ = writeln!(
                out,
                "  {}: {}, was {} in {}",
                c.what,
                said(&c.is),
                said(&c.was),
                before.id
            );
        }
    }
    if let Err(why) = &predicted.slip {
        let _ = writeln!(out, "  nothing predicted: {}", why.show(shop));
    }
    for r in MEASURED {
        let measured = of(&record.times, r);
        let slip = predicted.slip.as_ref().ok();
        let model = slip.and_then(|s| s.reading(r));
        let kind = slip_kind(r);
        let show = |v: Option<f64>| match (v, kind) {
            (None, _) => "—".to_owned(),
            // A clock writes thousandths.
            (Some(v), Kind::Time) => format!("{v:.3} s"),
            (Some(v), kind) => units::format(kind, v, shop),
        };
        let off = measured.zip(model).map(|(m, p)| m - p);
        let line = format!(
            "  {:<14}  {:>10} measured  {:>10} predicted  {}",
            slip_reading(r).1,
            show(measured),
            show(model),
            off.map_or_else(String::new, |d| difference(kind, d, shop))
        );
        let _ = writeln!(out, "{}", line.trim_end());
    }
    match &predicted.friction {
        None => {
            let _ = writeln!(out, "  no friction: 60 ft was not measured");
        }
        Some(Err(why)) => {
            let _ = writeln!(out, "  no friction: {}", why.show(shop));
        }
        Some(Ok(f)) => {
            let _ = writeln!(
                out,
                "  friction from 60 ft {:.3} ± {:.3}{}",
                f.friction,
                f.sigma,
                if record.learn { "" } else { ", not counted" }
            );
        }
    }
    let seen: Vec<&str> = record.seen.iter().map(|s| s.words()).collect();
    if !seen.is_empty() {
        let _ = writeln!(out, "  seen: {}", seen.join(", "));
    }
    if !record.note.trim().is_empty() {
        let _ = writeln!(out, "  note: {}", record.note.trim().replace('\n', " "));
    }
    for a in run_advice(study, record) {
        let _ = writeln!(out, "  {}", a.show(shop));
    }
}

fn friction(f: &FittedFriction) -> Value {
    json!({
        "value": f.friction, "sigma": f.sigma, "unit": "1",
        "display": format!("{:.3} ± {:.3}", f.friction, f.sigma),
    })
}

fn json(b: &Build, study: &Study, log: &[Predicted], shop: &Shop) -> Value {
    let runs: Vec<Value> = each(b, log)
        .map(|(before, record, predicted)| {
            let changed: Option<Vec<Value>> = before.map(|x| {
                changed_since(b, &x.setting, &record.setting)
                    .iter()
                    .map(|c| json!({ "what": c.what, "was": c.was.show(shop), "is": c.is.show(shop) }))
                    .collect()
            });
            let (mut times, mut model, mut off) = (Map::new(), Map::new(), Map::new());
            let mut then = Map::new();
            for r in MEASURED {
                let id = slip_reading(r).0;
                let kind = slip_kind(r);
                let slip = predicted.slip.as_ref().ok();
                let (m, p) = (of(&record.times, r), slip.and_then(|s| s.reading(r)));
                if let Some(v) = m {
                    times.insert(id.to_owned(), reading_of(r, Some(v), shop));
                }
                if slip.is_some() {
                    model.insert(id.to_owned(), reading_of(r, p, shop));
                }
                if let Some(v) = of(&record.predicted, r) {
                    then.insert(id.to_owned(), reading_of(r, Some(v), shop));
                }
                if let Some((m, p)) = m.zip(p) {
                    let by = m - p;
                    off.insert(
                        id.to_owned(),
                        json!({ "value": by, "unit": kind.si_unit(), "display": difference(kind, by, shop) }),
                    );
                }
            }
            let fitted = match &predicted.friction {
                None => json!({ "value": null, "unit": "1", "reason": "60 ft was not measured" }),
                Some(Err(why)) => json!({ "value": null, "unit": "1", "reason": why.show(shop) }),
                Some(Ok(f)) => friction(f),
            };
            let w = &record.weather;
            let known = |kind: Kind, si: f64| {
                json!({ "value": si, "unit": kind.si_unit(), "display": units::format(kind, si, shop) })
            };
            let mut out = json!({
                "id": record.id,
                "when": record.when,
                "place": record.place,
                "weather": {
                    "temperature": known(Kind::Temperature, w.temperature.si()),
                    "pressure": known(Kind::Pressure, w.pressure.si()),
                    "humidity": known(Kind::Ratio, w.humidity.si()),
                },
                "changed": changed,
                "measured": times,
                "predicted": model,
                "predicted_then": then,
                "difference": off,
                "friction": fitted,
                "counts": record.learn,
                "seen": record.seen.iter().map(|s| s.words()).collect::<Vec<_>>(),
                "note": record.note,
                "advice": run_advice(study, record).iter().map(|a| a.show(shop)).collect::<Vec<_>>(),
            });
            if let Err(why) = &predicted.slip {
                out["reason"] = json!(why.show(shop));
            }
            out
        })
        .collect();
    let all = together(b, log).map(|t| {
        json!({
            "runs": t.runs,
            "fitted": friction(&t.fitted),
            "entered": friction(&t.prior),
            "together": friction(&t.both),
        })
    });
    let both = study.run.joint_fit().map(|j| joint_json(&j, shop));
    json!({
        "build": b.name, "revision": b.revision, "runs": runs, "friction": all,
        "friction_and_launch": both,
    })
}

fn joint_json(joint: &JointFit, shop: &Shop) -> Value {
    let fit = match &joint.fit {
        Ok(fit) => fit,
        Err(why) => return json!({ "runs": joint.runs, "fitted": null, "reason": why.show(shop) }),
    };
    let pair = |mu: f64, mu_sigma: f64, si: Option<f64>, sigma: f64| {
        json!({
            "friction": { "value": mu, "sigma": mu_sigma, "unit": "1", "display": format!("{mu:.3} ± {mu_sigma:.3}") },
            "launch_off": {
                "value": si, "sigma": sigma, "unit": Kind::RotationSpeed.si_unit(),
                "display": si.map(|v| format!("{} ± {}", off(v, shop), units::format(Kind::RotationSpeed, sigma, shop))),
            },
        })
    };
    json!({
        "runs": joint.runs,
        "entered": pair(fit.prior.friction, fit.prior.friction_sigma, Some(joint.entered_off), fit.prior.launch_sigma),
        "fitted": pair(fit.friction, fit.friction_sigma, joint.off, fit.launch_sigma),
        "correlation": fit.correlation,
        "tells_friction": fit.tells_friction(),
        "tells_launch": fit.tells_launch(),
        "tells_apart": fit.tells_apart(),
        "at_a_limit": fit.kinked,
        "says": joint.says().iter().map(|p| p.show(shop)).collect::<Vec<_>>(),
    })
}
