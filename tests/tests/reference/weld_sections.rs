//! Cases of kinds `weld_beads_section`, `weld_guard` and `weld_iso13920`.

use serde_json::{Map, Value, json};
use weld::guard::{Composition, Family, GuardSettings, Material, guard};
use weld::iso13920::{self, ToleranceClass};
use weld::section_pull::{
    AlongBead, ArcBead, Kink, Member, PullSettings, Seam, SeamJoint, SeamMethod, Share,
    longitudinal,
};

use crate::compare::Report;

/// Yield stress where a case names none and the answer does not depend on it.
const ANY_YIELD: f64 = 350.0e6;

pub fn beads(case: &Value, report: &mut Report) {
    compare(
        case,
        report,
        &["along", "across", "longitudinal"],
        |system| {
            let mut got = Map::new();
            for (kind, answer) in [
                ("along", along as fn(&Value) -> Result<Value, String>),
                ("across", across),
                ("longitudinal", seams),
            ] {
                if let Some(rows) = system[kind].as_array() {
                    let answers: Result<Vec<Value>, String> = rows.iter().map(answer).collect();
                    got.insert(kind.to_owned(), Value::Array(answers?));
                }
            }
            Ok(Value::Object(got))
        },
    );
}

pub fn materials(case: &Value, report: &mut Report) {
    compare(case, report, &["materials"], |system| {
        let rows: Result<Vec<Value>, String> =
            list(system, "materials")?.iter().map(judged).collect();
        Ok(json!({ "rows": rows? }))
    });
}

pub fn tolerances(case: &Value, report: &mut Report) {
    compare(case, report, &["mm", "legs_mm"], |system| {
        let by_class = |answer: &dyn Fn(ToleranceClass) -> Option<f64>| {
            ToleranceClass::ALL.map(answer).to_vec()
        };
        let mut linear = Vec::new();
        for mm in system["mm"].as_array().into_iter().flatten() {
            let metres = mm.as_f64().ok_or("a length is not a number")? * 1.0e-3;
            let row = by_class(&|class| {
                iso13920::linear(metres, class)
                    .ok()
                    .flatten()
                    .map(|tolerance| tolerance * 1.0e3)
            });
            linear.push(json!({ "mm": mm, "tolerance_mm": row }));
        }
        let mut angle = Vec::new();
        for mm in system["legs_mm"].as_array().into_iter().flatten() {
            let metres = mm.as_f64().ok_or("a leg is not a number")? * 1.0e-3;
            let row = by_class(&|class| iso13920::angular(metres, class).ok().flatten());
            angle.push(json!({ "short_leg_mm": mm, "rad": row }));
        }
        Ok(json!({ "linear": linear, "angle": angle }))
    });
}

fn compare(
    case: &Value,
    report: &mut Report,
    inputs: &[&str],
    answer: impl Fn(&Value) -> Result<Value, String>,
) {
    let system = &case["system"];
    for field in system.as_object().into_iter().flat_map(Map::keys) {
        if !inputs.contains(&field.as_str()) {
            report.skip(&format!("system.{field}"));
        }
    }
    let stated = &case["tolerance"];
    let (Some(relative), Some(floor)) = (
        stated["relative"].as_f64(),
        stated["absolute_floor"].as_f64(),
    ) else {
        report.check("tolerance", false, || "none stated".to_owned());
        return;
    };
    let tolerance = |_: &str, want: f64| Some((relative * want.abs()).max(floor));
    match answer(system) {
        Ok(got) => report.tree("", "", Some(&got), &case["expected"], &tolerance),
        Err(fault) => report.check("case", false, || fault),
    }
}

fn list<'a>(value: &'a Value, name: &str) -> Result<&'a Vec<Value>, String> {
    value[name]
        .as_array()
        .ok_or_else(|| format!("{name} is not a list"))
}

fn number(value: &Value, name: &str) -> Result<f64, String> {
    value[name]
        .as_f64()
        .ok_or_else(|| format!("{name} is not a number"))
}

fn settings(row: &Value) -> PullSettings {
    let mut settings = PullSettings::default();
    if let Some(modulus) = row["E"].as_f64() {
        settings.modulus = modulus;
    }
    settings
}

fn tube(row: &Value) -> Result<Member, String> {
    let yield_stress = row["fy"].as_f64().unwrap_or(ANY_YIELD);
    Member::round_tube(number(row, "od")?, number(row, "t")?, yield_stress)
        .map_err(|e| e.to_string())
}

fn band(kink: &Kink) -> Value {
    let estimates: Vec<Value> = kink
        .estimates
        .iter()
        .map(|e| json!({ "name": e.method.word(), "value": e.value, "in_range": e.in_range }))
        .collect();
    json!({
        "estimates": estimates,
        "yield_limited": kink.yield_limited,
        "low": kink.low,
        "point": kink.point,
        "high": kink.high,
        "out_of_range": kink.out_of_range,
    })
}

fn along(row: &Value) -> Result<Value, String> {
    let bead = AlongBead {
        area: number(row, "area")?,
        length: number(row, "length")?,
        lever: number(row, "d")?,
        net_heat: row["q_net"].as_f64(),
    };
    let pull = bead
        .pull(&tube(row)?, &settings(row))
        .map_err(|e| e.to_string())?;
    let mut got = json!({
        "V": pull.volume,
        "kappa": pull.curvature,
        "force": pull.force,
        "yield_force": pull.yield_force,
        "mid_deflection": pull.mid_deflection,
        "shortening": pull.shortening,
        "disagree": pull.disagree,
        "kink": band(&pull.kink),
    });
    if let (Some(force), Some(ratio)) = (pull.tendon_force, pull.tendon_ratio) {
        got["tendon_force"] = json!(force);
        got["tendon_ratio"] = json!(ratio);
    }
    Ok(got)
}

fn across(row: &Value) -> Result<Value, String> {
    let bead = ArcBead {
        area: number(row, "area")?,
        outside: number(row, "od")?,
        wall: number(row, "t")?,
        half_angle: number(row, "half_angle")?,
    };
    let pull = bead.pull(&settings(row)).map_err(|e| e.to_string())?;
    let mut got = json!({
        "length": pull.length,
        "lever": pull.lever,
        "out_of_range": pull.out_of_range,
    });
    let mut add = |end: &str, share: Share| {
        got[format!("V_{end}")] = json!(share.volume);
        got[format!("kink_{end}")] = json!(share.kink);
        got[format!("shortening_{end}")] = json!(share.shortening);
    };
    add("low", pull.low);
    add("point", pull.point);
    add("high", pull.high);
    Ok(got)
}

fn seams(row: &Value) -> Result<Value, String> {
    let seam = Seam {
        joint: match row["joint"].as_str() {
            Some("butt") => SeamJoint::Butt,
            Some("fillet" | "tee" | "lap") => SeamJoint::Fillet,
            other => return Err(format!("joint {other:?}")),
        },
        length: number(row, "length")?,
        area: row["area"].as_f64(),
        member_area: row["member_area"].as_f64(),
        net_heat: row["q_net"].as_f64(),
        current: row["current"].as_f64(),
        thickness: row["t"].as_f64(),
    };
    let mut got = Map::new();
    for estimate in longitudinal(&seam, &settings(row)).map_err(|e| e.to_string())? {
        let name = match estimate.method {
            SeamMethod::Force => "force_blodgett",
            SeamMethod::Tendon => "force_tendon",
            SeamMethod::King => "king",
            SeamMethod::Allowance => "allowance",
        };
        got.insert(name.to_owned(), json!(estimate.value));
    }
    Ok(Value::Object(got))
}

fn sheet(row: &Value) -> Option<Composition> {
    let elements = row["composition"].as_object()?;
    let of = |symbol: &str| elements.get(symbol).and_then(Value::as_f64).unwrap_or(0.0);
    Some(Composition {
        carbon: of("C"),
        manganese: of("Mn"),
        silicon: of("Si"),
        chromium: of("Cr"),
        molybdenum: of("Mo"),
        vanadium: of("V"),
        nickel: of("Ni"),
        copper: of("Cu"),
    })
}

fn judged(row: &Value) -> Result<Value, String> {
    let material = Material {
        name: row["name"].as_str().ok_or("no name")?.to_owned(),
        family: match row["family"].as_str() {
            None => Family::Steel,
            Some(word) if word.ends_with("steel") && !word.contains("stainless") => Family::Steel,
            Some(_) => Family::Other,
        },
        mill_sheet: sheet(row),
        ..Material::default()
    };
    let answer = guard(&material, &GuardSettings::default()).map_err(|e| e.to_string())?;
    Ok(json!({
        "name": material.name,
        "ce": answer.carbon_equivalent,
        "reason": answer.refusal.map(|refusal| refusal.reason()),
    }))
}
