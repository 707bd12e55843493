//! Cases of kind `weighing`.

use serde_json::{Value, json};
use vehicle::weighing::{CornerLoads, HeightReadings, HeightSigmas};

use crate::compare::Report;

fn number(v: &Value, name: &str) -> Result<f64, String> {
    v[name]
        .as_f64()
        .ok_or_else(|| format!("{name} is not a number"))
}

fn readings(v: &Value) -> Result<HeightReadings, String> {
    Ok(HeightReadings {
        weight: number(v, "W")?,
        front_level: number(v, "Nf0")?,
        front_raised: number(v, "Nf1")?,
        rise: number(v, "rise")?,
        wheelbase: number(v, "L")?,
        front_radius: number(v, "rf")?,
        rear_radius: number(v, "rr")?,
    })
}

fn sigmas(v: &Value) -> Result<HeightSigmas, String> {
    Ok(HeightSigmas {
        weight: number(v, "W")?,
        front_level: number(v, "Nf0")?,
        front_raised: number(v, "Nf1")?,
        rise: number(v, "rise")?,
        wheelbase: number(v, "L")?,
        front_radius: number(v, "rf")?,
        rear_radius: number(v, "rr")?,
    })
}

pub fn compare(case: &Value, report: &mut Report) {
    if let Err(fault) = compare_case(case, report) {
        report.check("case", false, || fault);
    }
}

fn compare_case(case: &Value, report: &mut Report) -> Result<(), String> {
    let corner = &case["corner"];
    let loads: Vec<f64> = corner["loads"]
        .as_array()
        .ok_or("no loads")?
        .iter()
        .filter_map(Value::as_f64)
        .collect();
    let [left_front, right_front, left_rear, right_rear] = loads[..] else {
        return Err("not four loads".into());
    };
    let weights = CornerLoads {
        left_front,
        right_front,
        left_rear,
        right_rear,
        wheelbase: number(corner, "wheelbase")?,
        front_track: number(corner, "front_track")?,
        rear_track: number(corner, "rear_track")?,
    }
    .weights()
    .map_err(|e| e.to_string())?;
    let sigma = sigmas(&case["sigma"])?;
    let rear = readings(&case["raised_rear"])?
        .height(&sigma)
        .map_err(|e| e.to_string())?;
    let front = readings(&case["raised_front"])?
        .height(&sigma)
        .map_err(|e| e.to_string())?;
    let p = rear.partials;
    let ours = json!({
        "corner": {
            "weight": weights.weight,
            "front_pct": weights.front_percent,
            "left_pct": weights.left_percent,
            "cross_pct": weights.cross_percent,
            "cg_x": weights.cg_station,
            "cg_y": weights.cg_offset,
            "rear_bite": weights.rear_bite,
        },
        "cg_height": rear.height,
        "sigma_h": rear.sigma,
        "partials": {
            "W": p.weight,
            "Nf0": p.front_level,
            "Nf1": p.front_raised,
            "rise": p.rise,
            "L": p.wheelbase,
            "rf": p.front_radius,
            "rr": p.rear_radius,
        },
        "cg_height_raised_front": front.height,
    });
    let t = &case["tolerance"];
    let length = number(t, "length")?;
    let relative = number(t, "relative")?;
    let partials = number(t, "partials_relative")?;
    report.tree("", "", Some(&ours), &case["expected"], &|path, want| {
        // The figures are written to ten digits.
        Some(match path {
            p if p.starts_with("partials") => partials * want.abs(),
            "corner.cg_x" | "corner.cg_y" | "cg_height" | "cg_height_raised_front" | "sigma_h" => {
                length
            }
            _ => relative * want.abs(),
        })
    });
    Ok(())
}
