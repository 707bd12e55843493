//! Cases of kind `friction_fit`.

use serde_json::Value;
use vehicle::run::{FrictionError, FrictionFit, InputSigma, Parameter, RPM};

use crate::compare::Report;
use crate::launch_runs::read;

fn any(v: &Value, names: &[&str]) -> Option<f64> {
    names.iter().find_map(|n| v.get(*n)?.as_f64())
}

const TIMES: [&str; 7] = [
    "measured_sixty_foot",
    "measured_time",
    "measured",
    "sixty_foot",
    "t60",
    "t_60ft",
    "time",
];
const TIME_SIGMAS: [&str; 5] = [
    "sigma_time",
    "sigma_t",
    "sigma",
    "time_sigma",
    "sixty_foot_sigma",
];

/// σ of the other inputs, where they are given under the names of the sensitivities.
fn others(case: &Value) -> Vec<InputSigma> {
    let rows = ["input_sigma", "sigmas", "other_sigma", "others", "sigma"]
        .iter()
        .find_map(|n| case.get(*n)?.as_object());
    let known = [
        ("power", Parameter::Power, 1.0),
        ("mass", Parameter::Mass, 1.0),
        ("final_drive", Parameter::FinalDrive, 1.0),
        ("cg_height", Parameter::CgHeight, 1.0),
        ("cg_x", Parameter::CgStation, 1.0),
        ("anti_squat", Parameter::AntiSquat, 1.0),
        ("springs", Parameter::Springs, 1.0),
        ("dampers", Parameter::Dampers, 1.0),
        ("shift_rpm", Parameter::ShiftSpeed, RPM),
        ("launch_rpm", Parameter::LaunchSpeed, RPM),
    ];
    known
        .into_iter()
        .filter_map(|(name, parameter, unit)| {
            let sigma = rows?.get(name)?.as_f64()? * unit;
            Some(InputSigma { parameter, sigma })
        })
        .collect()
}

pub fn compare(case: &Value, report: &mut Report) {
    if let Err(fault) = compare_case(case, report) {
        report.check("case", false, || fault);
    }
}

fn compare_case(case: &Value, report: &mut Report) -> Result<(), String> {
    let lists = ["fits", "rows", "measurements"];
    if let Some(rows) = lists.iter().find_map(|n| case.get(*n)?.as_array()) {
        for row in rows {
            let want = row.get("expected").unwrap_or(row);
            one(case, row, want, report)?;
        }
        return Ok(());
    }
    one(case, case, &case["expected"], report)
}

fn one(case: &Value, from: &Value, want: &Value, report: &mut Report) -> Result<(), String> {
    let (car, settings) = read(&case["car"])?;
    let measured = any(from, &TIMES)
        .or_else(|| any(&case["measurement"], &TIMES))
        .or_else(|| any(&case["measured"], &TIMES))
        .ok_or("no measured time")?;
    let sigma = any(from, &TIME_SIGMAS)
        .or_else(|| any(case, &TIME_SIGMAS))
        .or_else(|| any(&case["measurement"], &TIME_SIGMAS))
        .or_else(|| any(&case["sigma"], &["time", "t", "sixty_foot"]))
        .unwrap_or(0.0);
    let fit = FrictionFit::of(&car, &settings, measured, sigma, &others(case));
    let words = ["error", "failure", "outcome", "result"];
    if let Some(words) = words.iter().find_map(|n| want.get(*n)?.as_str()) {
        let words = words.to_lowercase();
        let same = match &fit {
            Err(FrictionError::TooFast { .. }) => words.contains("fast"),
            Err(FrictionError::TooSlow { .. }) => words.contains("slow"),
            Err(FrictionError::DoesNotDepend { .. }) => words.contains("depend"),
            _ => false,
        };
        report.check("outcome", same, || format!("got {fit:?}, expected {words}"));
        return Ok(());
    }
    let fit = fit.map_err(|e| e.to_string())?;
    let t = &case["tolerance"];
    let friction = any(t, &["mu0", "mu", "friction"])
        .unwrap_or(any(t, &["time"]).unwrap_or(1e-3) / fit.slope.abs());
    let relative = any(t, &["sigma_relative", "relative"]).unwrap_or(0.02);
    for (names, got, tolerance) in [
        (&["mu0", "mu", "friction"][..], fit.friction, Some(friction)),
        (
            &["sigma_mu", "sigma_mu0", "mu_sigma", "sigma"],
            fit.sigma,
            None,
        ),
        (&["slope", "dt_dmu", "dt_dmu0"], fit.slope, None),
    ] {
        match any(want, names) {
            Some(w) => report.number(names[0], got, w, tolerance.unwrap_or(relative * w.abs())),
            None => report.skip(names[0]),
        }
    }
    Ok(())
}
