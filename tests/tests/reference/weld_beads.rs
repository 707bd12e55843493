//! Cases of kind `weld_bead_plan`: a bead plan followed reading by reading.

use serde_json::{Map, Value, json};
use weld::beads::{BeadSettings, Interval, Job, Move, Plan, Side, SideMove, two_members};

use crate::compare::Report;

const INPUTS: [&str; 8] = [
    "target",
    "measured",
    "tolerance",
    "b0",
    "sigma_x",
    "chance",
    "readings",
    "moves",
];

pub fn compare(case: &Value, report: &mut Report) {
    let system = &case["system"];
    for field in system.as_object().into_iter().flat_map(Map::keys) {
        if !INPUTS.contains(&field.as_str()) {
            report.skip(&format!("system.{field}"));
        }
    }
    let stated = &case["tolerance"];
    let (Some(relative), Some(floor), Some(chance)) = (
        stated["relative"].as_f64(),
        stated["absolute_floor"].as_f64(),
        stated["absolute_by_name"]["chances and p values"].as_f64(),
    ) else {
        report.check("tolerance", false, || "none stated".to_owned());
        return;
    };
    let tolerance = |path: &str, want: f64| {
        // A chance far under the stated tolerance is still held to its digits.
        let absolute = if path.contains("chance") || path.ends_with("two_sided_p") {
            chance.min(1.0e-3 * want.abs()).max(floor)
        } else {
            floor
        };
        Some((relative * want.abs()).max(absolute))
    };
    match answer(system) {
        Ok(got) => {
            report.tree("", "", Some(&got), &case["expected"], &tolerance);
            complete("", &got, &case["expected"], report);
        }
        Err(fault) => report.check("case", false, || fault),
    }
}

/// Every expected field has an answer: none is passed over.
fn complete(path: &str, got: &Value, want: &Value, report: &mut Report) {
    match want {
        Value::Object(fields) => {
            for (key, value) in fields {
                let path = format!("{path}.{key}");
                report.check(&path, got.get(key).is_some(), || "no answer".to_owned());
                complete(&path, &got[key], value, report);
            }
        }
        Value::Array(items) => {
            for (index, value) in items.iter().enumerate() {
                complete(&format!("{path}.{index}"), &got[index], value, report);
            }
        }
        _ => {}
    }
}

fn number(value: &Value, name: &str) -> Result<f64, String> {
    value[name]
        .as_f64()
        .ok_or_else(|| format!("{name} is not a number"))
}

fn list<'a>(value: &'a Value, name: &str) -> Result<&'a Vec<Value>, String> {
    value[name]
        .as_array()
        .ok_or_else(|| format!("{name} is not a list"))
}

fn beads(value: &Value) -> Result<u32, String> {
    let count = value.as_u64().and_then(|count| u32::try_from(count).ok());
    count.ok_or_else(|| format!("{value} is not a number of beads"))
}

fn answer(system: &Value) -> Result<Value, String> {
    let job = Job {
        target: number(system, "target")?,
        tolerance: number(system, "tolerance")?,
        first_reading: number(system, "measured")?,
        reading_sd: number(system, "sigma_x")?,
        per_bead: number(system, "b0")?,
        settings: BeadSettings {
            chance: number(system, "chance")?,
            ..BeadSettings::default()
        },
    };
    let mut plan = Plan::start(&job).map_err(|e| e.to_string())?;
    let mut rows = vec![row(&plan, None)];
    for reading in list(system, "readings")? {
        let measured = number(reading, "measured")?;
        let taken = plan
            .measured(beads(&reading["beads"])?, measured)
            .map_err(|e| e.to_string())?;
        rows.push(row(&plan, Some(taken)));
    }
    Ok(json!({ "toward": plan.toward(), "rows": rows, "members": members(system, &job)? }))
}

fn row(plan: &Plan, taken: Option<Move>) -> Value {
    let advice = plan.next();
    let (Interval { value, scale, .. }, per_bead) = (plan.position(), plan.per_bead());
    let mut row = json!({
        "after": plan.beads_laid(),
        "dimension": plan.dimension(),
        "position": value,
        "position_scale": scale,
        "per_bead": per_bead.value,
        "per_bead_scale": per_bead.scale,
        "per_bead_low": per_bead.low,
        "per_bead_high": per_bead.high,
        "cov": plan.covariance(),
        "nu": plan.freedom(),
        "s2": plan.scatter_factor(),
        "lay": advice.lay,
        "why": advice.why.word(),
        "overshoot_chance": advice.overshoot_chance,
        "overshoot_chance_one_more": advice.overshoot_chance_one_more,
        "chance_spent": advice.chance_spent,
        "beads_05_50_95": advice.beads_to_come,
        "disagree": advice.disagree,
        "chi2": advice.chi2,
        "moves": advice.moves,
    });
    if let Some(taken) = taken {
        row["move"] = json!({
            "expected_reading": taken.expected,
            "S": taken.variance,
            "innovation": taken.innovation,
            "z2": taken.z2,
            "two_sided_p": taken.two_sided_p,
        });
    }
    row
}

fn members(system: &Value, job: &Job) -> Result<Value, String> {
    let mut moves = Vec::new();
    for row in list(system, "moves")? {
        let side = match row[0].as_str() {
            Some("left") => Side::Left,
            Some("right") => Side::Right,
            other => return Err(format!("side {other:?}")),
        };
        moves.push(SideMove {
            side,
            beads: beads(&row[1])?,
            change: row[2].as_f64().ok_or("a move is not a number")?,
        });
    }
    let scatter = job.settings.bead_scatter * job.per_bead;
    let answer = two_members(&moves, scatter, job.reading_sd).map_err(|e| e.to_string())?;
    let members = answer.ok_or("one side has no move")?;
    Ok(json!({ "means": members.means, "z": members.z, "warn": members.differ }))
}
