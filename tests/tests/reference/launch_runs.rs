//! Cases of kind `launch_run`.

use serde_json::{Value, json};
use vehicle::STANDARD_GRAVITY as G;
use vehicle::run::{
    AxleRide, AxleSpring, Converter, Coupling, Driveline, EventKind, Limit, LinkTable, Mark,
    Parameter, PowerCorrection, RPM, Reading, Resistance, Run, RunCar, RunError, RunModel,
    RunSettings, Sensitivities, TorqueCurve, TyreGrip, Weather, ZERO_CELSIUS,
    default_pitch_inertia, pressure_at_altitude,
};

use crate::compare::{Report, numbers_in};

const INPUTS: [&str; 9] = [
    "id",
    "title",
    "kind",
    "open",
    "gravity",
    "car",
    "tolerance",
    "conventions",
    "note",
];

/// Fields of the car that are read.
const CAR: [&str; 40] = [
    "wheelbase",
    "sprung_mass",
    "sprung_cg",
    "pitch_inertia",
    "axle_mass",
    "axle_cg_height",
    "front_unsprung_mass",
    "front_hub_height",
    "rolling_radius",
    "tyre",
    "front",
    "rear",
    "anti_squat",
    "torque_curve",
    "drive",
    "launch_rpm",
    "gears",
    "final_drive",
    "efficiency",
    "shift_rpm",
    "shift_time",
    "take_up",
    "engine_inertia",
    "input_inertia",
    "shaft_inertia",
    "rear_wheel_inertia",
    "front_wheel_inertia",
    "drag_area",
    "drag_height",
    "rolling_resistance",
    "rollout",
    "weather",
    "power_correction",
    "headwind",
    "converter",
    "stall_rpm",
    "time_limit",
    "note",
    "torque_converter",
    "wind",
];

fn named<'a>(v: &'a Value, names: &[&str]) -> &'a Value {
    names.iter().find_map(|n| v.get(*n)).unwrap_or(&Value::Null)
}

fn number(v: &Value, name: &str) -> Result<f64, String> {
    v[name]
        .as_f64()
        .ok_or_else(|| format!("{name} is not a number"))
}

fn list_of(v: &Value, what: &str) -> Result<Vec<f64>, String> {
    let list = v
        .as_array()
        .ok_or_else(|| format!("{what} is not a list"))?;
    list.iter()
        .map(|n| n.as_f64().ok_or_else(|| format!("{what} holds no number")))
        .collect()
}

fn list(v: &Value, name: &str) -> Result<Vec<f64>, String> {
    list_of(&v[name], name)
}

fn ride(v: &Value) -> Result<AxleRide, String> {
    let table = named(v, &["force_table", "wheel_force", "table", "forces"]);
    let spring = if let Some(rate) = v["wheel_rate"].as_f64() {
        AxleSpring::Rate(rate)
    } else {
        AxleSpring::Table {
            travel: list(table, "travel")?,
            force: list_of(named(table, &["force", "wheel_force"]), "force")?,
        }
    };
    Ok(AxleRide {
        spring,
        bump_damping: number(v, "bump_damping")?,
        rebound_damping: number(v, "rebound_damping")?,
        bump_stop: number(v, "bump_stop")?,
        droop_stop: number(v, "droop_stop")?,
        stop_rate: number(v, "stop_rate")?,
    })
}

fn converter(c: &Value) -> Result<Converter, String> {
    let v = named(c, &["converter", "torque_converter"]);
    let of = |names: &[&str]| list_of(named(v, names), names[0]);
    Ok(Converter {
        speed_ratio: of(&["speed_ratio", "sr", "SR"])?,
        capacity: of(&["capacity", "k", "K", "capacity_factor", "k_factor"])?,
        torque_ratio: of(&["torque_ratio", "tr", "TR"])?,
    })
}

/// The car of a case and how its run is timed.
pub fn read(c: &Value) -> Result<(RunCar, RunSettings), String> {
    let wheelbase = number(c, "wheelbase")?;
    let sprung_mass = number(c, "sprung_mass")?;
    let cg = list(c, "sprung_cg")?;
    let tyre = &c["tyre"];
    let links = &c["anti_squat"];
    let curve = &c["torque_curve"];
    let w = &c["weather"];
    let clutch = match c["drive"].as_str() {
        Some("clutch") => true,
        Some(word) if word.contains("converter") => false,
        other => return Err(format!("drive {other:?}")),
    };
    let rpm = |v: f64| v * RPM;
    let launch = named(c, &["launch_rpm", "stall_rpm"]);
    let car = RunCar {
        wheelbase,
        sprung_mass,
        sprung_cg_station: cg[0],
        sprung_cg_height: cg[1],
        pitch_inertia: c["pitch_inertia"]
            .as_f64()
            .unwrap_or_else(|| default_pitch_inertia(sprung_mass, cg[0], wheelbase)),
        axle_mass: number(c, "axle_mass")?,
        axle_cg_height: number(c, "axle_cg_height")?,
        front_unsprung_mass: number(c, "front_unsprung_mass")?,
        front_hub_height: number(c, "front_hub_height")?,
        rolling_radius: number(c, "rolling_radius")?,
        rear_wheel_inertia: number(c, "rear_wheel_inertia")?,
        front_wheel_inertia: number(c, "front_wheel_inertia")?,
        tyre: TyreGrip {
            friction: number(tyre, "mu0")?,
            load_sensitivity: number(tyre, "k")?,
            reference_load: number(tyre, "N0")?,
        },
        front: ride(&c["front"])?,
        rear: ride(&c["rear"])?,
        links: LinkTable {
            travel: list(links, "travel")?,
            tan_as: list(links, "tan_as")?,
            tan_hub: list(links, "tan_hub")?,
        },
        engine: TorqueCurve::from_rpm(&list(curve, "rpm")?, &list(curve, "torque")?),
        driveline: Driveline {
            coupling: if clutch {
                Coupling::Clutch
            } else {
                Coupling::Converter(converter(c)?)
            },
            launch_speed: rpm(launch.as_f64().ok_or("no launch rpm")?),
            gears: list(c, "gears")?,
            efficiency: list(c, "efficiency")?,
            final_drive: number(c, "final_drive")?,
            shift_speed: list(c, "shift_rpm")?.into_iter().map(rpm).collect(),
            shift_time: number(c, "shift_time")?,
            take_up: c["take_up"].as_f64().unwrap_or(0.0),
            engine_inertia: number(c, "engine_inertia")?,
            input_inertia: number(c, "input_inertia")?,
            shaft_inertia: number(c, "shaft_inertia")?,
        },
        resistance: Resistance {
            drag_area: number(c, "drag_area")?,
            drag_height: number(c, "drag_height")?,
            rolling: number(c, "rolling_resistance")?,
            headwind: named(c, &["headwind", "wind"])
                .as_f64()
                .or_else(|| named(w, &["headwind", "wind"]).as_f64())
                .unwrap_or(0.0),
        },
        weather: Weather {
            temperature: number(w, "temperature_c")? + ZERO_CELSIUS,
            pressure: match w["pressure"].as_f64() {
                Some(p) => p,
                None => pressure_at_altitude(number(w, "altitude")?).map_err(|e| e.to_string())?,
            },
            humidity: w["humidity"].as_f64().unwrap_or(0.0),
        },
        correction: match c["power_correction"].as_str() {
            None | Some("none") => PowerCorrection::None,
            Some(word) if word.to_lowercase().contains("j1349") => PowerCorrection::J1349,
            Some(other) => return Err(format!("power correction {other}")),
        },
    };
    let usual = RunSettings::default();
    let settings = RunSettings {
        rollout: c["rollout"].as_f64().unwrap_or(usual.rollout),
        time_limit: c["time_limit"].as_f64().unwrap_or(usual.time_limit),
        ..usual
    };
    Ok((car, settings))
}

const MARKS: [&str; 5] = [
    "sixty_foot",
    "three_thirty",
    "eighth",
    "thousand",
    "quarter",
];

pub const fn limit_word(limit: Limit) -> &'static str {
    match limit {
        Limit::Drive => "drive",
        Limit::Traction => "traction",
        Limit::WheelStand => "wheelstand",
        Limit::Shift => "shift",
        Limit::RevLimit => "revlimit",
    }
}

fn mark_row(of: impl Fn(Mark) -> f64) -> Value {
    MARKS
        .iter()
        .zip(Mark::ALL)
        .map(|(name, mark)| ((*name).to_owned(), json!(of(mark))))
        .collect::<serde_json::Map<_, _>>()
        .into()
}

struct Tolerances {
    time: f64,
    speed: f64,
    peak_g: f64,
    share: f64,
    switch: f64,
    weight: f64,
}

impl Tolerances {
    fn of(case: &Value, weight: f64) -> Self {
        let t = &case["tolerance"];
        let get = |name: &str, usual: f64| match &t[name] {
            Value::String(text) => numbers_in(text).first().copied().unwrap_or(usual),
            v => v.as_f64().unwrap_or(usual),
        };
        Self {
            time: get("time", 1e-3),
            speed: get("speed_relative", 2e-4),
            peak_g: get("peak_g", 2e-3),
            share: get("share", 2e-3),
            switch: get("limit_switch_times", 2e-3),
            weight,
        }
    }

    fn leaf(&self, path: &str, want: f64) -> Option<f64> {
        let parts: Vec<&str> = path.split('.').collect();
        let last = *parts.last()?;
        match *parts.first()? {
            "clock_start" | "from_first_motion" | "clock" | "zero_sixty" | "seconds_at_limit" => {
                Some(self.time)
            }
            "speed" | "trap" => Some(self.speed * want.abs()),
            "traction_share" | "wheelstand_share" => Some(self.share),
            "peak_g" if last == "value" => Some(self.peak_g),
            // Flat tops: when is not compared.
            "peak_g" => Some(f64::INFINITY),
            "extremes" if last.contains("load") => Some(3e-3 * self.weight),
            "extremes" => Some(2e-4),
            "whole_car" | "air" => Some(1e-9 * (1.0 + want.abs())),
            // Not in the stated tolerances; the other model's figures are far finer than this.
            "energy" => Some(1e-4 * want.abs() + 100.0),
            _ => None,
        }
    }
}

fn summary(run: &Run) -> Value {
    let slip = &run.slip;
    let e = &run.extremes;
    let car = run.car();
    let air = run.model().air();
    let seconds: serde_json::Map<String, Value> = Limit::ALL
        .iter()
        .map(|l| (limit_word(*l).to_owned(), json!(run.seconds(*l))))
        .collect();
    let energy = run.energy().unwrap();
    json!({
        "clock_start": slip.clock_start,
        "from_first_motion": mark_row(|m| slip.from_first_motion[m.index()]),
        "clock": mark_row(|m| slip.clock(m)),
        "speed": mark_row(|m| slip.speed[m.index()]),
        "trap": {"eighth": slip.eighth_trap, "quarter": slip.quarter_trap},
        "zero_sixty": {
            "from_first_motion": slip.zero_sixty,
            "with_rollout": slip.zero_sixty_rollout(),
        },
        "seconds_at_limit": seconds,
        "traction_share": run.share(Limit::Traction),
        "wheelstand_share": run.share(Limit::WheelStand),
        "peak_g": {"value": run.peak.g(), "t": run.peak.time},
        "extremes": {
            "nose_up_max": e.nose_up_max.value,
            "front_travel_min": e.front_travel_min.value,
            "front_travel_max": e.front_travel_max.value,
            "rear_travel_min": e.rear_travel_min.value,
            "rear_travel_max": e.rear_travel_max.value,
            "front_load_min": e.front_load_min.value,
            "front_load_max": e.front_load_max.value,
            "rear_load_min": e.rear_load_min.value,
            "rear_load_max": e.rear_load_max.value,
        },
        "energy": {
            "engine": energy.engine,
            "slip_and_held": energy.slip_and_held,
            "driveline": energy.driveline,
            "drag": energy.drag,
            "rolling": energy.rolling,
            "rotating": energy.rotating,
            "damper": energy.damper,
            "kinetic": energy.kinetic,
            "engine_rotor": energy.engine_rotor,
        },
        "whole_car": {
            "mass": car.mass(),
            "cg_height": car.cg_height(),
            "cg_ahead_of_rear_axle": car.cg_station(),
            "front_load": car.front_load(),
        },
        "air": {
            "pressure": car.weather.pressure,
            "vapour_pressure": air.vapour_pressure,
            "dry_pressure": air.dry_pressure,
            "density": air.density,
            "cf_j1349": air.cf_j1349,
        },
    })
}

pub fn compare(case: &Value, report: &mut Report) {
    if let Err(fault) = compare_case(case, report) {
        report.check("case", false, || fault);
    }
}

fn compare_case(case: &Value, report: &mut Report) -> Result<(), String> {
    for key in case.as_object().ok_or("no object")?.keys() {
        if !INPUTS.contains(&key.as_str()) && key != "expected" && key != "sensitivity" {
            report.note(format!("input not read: {key}"));
        }
    }
    for key in case["car"].as_object().ok_or("no car")?.keys() {
        if !CAR.contains(&key.as_str()) {
            report.note(format!("input not read: car.{key}"));
        }
    }
    if let Some(g) = case["gravity"].as_f64() {
        report.number("gravity", G, g, 1e-12);
    }
    let (car, settings) = read(&case["car"])?;
    let expected = case["expected"].as_object().ok_or("no expected")?;
    let outcome = RunModel::new(&car).and_then(|m| m.run(&settings));
    let named = ["error", "failure", "outcome", "named_result", "result"];
    if let Some(words) = named.iter().find_map(|n| expected.get(*n)) {
        match outcome {
            Ok(_) => report.check("outcome", false, || format!("a run, expected {words}")),
            Err(e) => {
                let same = words.as_str().is_none_or(|w| same_outcome(&e, w));
                report.check("outcome", same, || format!("got {e}, expected {words}"));
                report.note(format!("outcome: {e}"));
            }
        }
        return Ok(());
    }
    let run = outcome.map_err(|e| e.to_string())?;
    let tolerances = Tolerances::of(case, car.mass() * G);
    let ours = summary(&run);
    for (key, want) in expected {
        match key.as_str() {
            "events" => events(&run, want, &tolerances, report),
            "limit_switches" => switches(&run, want, &tolerances, report),
            "history" => history(&run, want, &tolerances, report),
            _ => report.tree("run", key, ours.get(key), want, &|path, want| {
                // The error of the other model's integration is its own.
                let own = path == "energy.imbalance"
                    // What a converter loses and what the driver holds back behind it have no stated split.
                    || (path.starts_with("energy") && run.model().car().driveline.coupling != Coupling::Clutch);
                if own {
                    None
                } else {
                    tolerances.leaf(path, want)
                }
            }),
        }
    }
    if let Some(rows) = case["sensitivity"]["rows"].as_object() {
        sensitivities(&car, &settings, rows, report)?;
    }
    let energy = run.energy().map_err(|e| e.to_string())?;
    report.number(
        "energy imbalance",
        energy.imbalance(),
        0.0,
        1e-3 * energy.engine,
    );
    Ok(())
}

fn same_outcome(e: &RunError, words: &str) -> bool {
    let words = words.to_lowercase();
    match e {
        RunError::DoesNotMove { .. } => words.contains("move"),
        RunError::Bogs { .. } => words.contains("bog"),
        RunError::ThrustLocks { .. } => words.contains("lock"),
        RunError::NeverReaches { .. } => words.contains("reach") || words.contains("time"),
        _ => false,
    }
}

fn events(run: &Run, want: &Value, tolerances: &Tolerances, report: &mut Report) {
    let rows = want.as_array().cloned().unwrap_or_default();
    let word = |row: &Value| row[1].as_str().unwrap_or("").to_owned();
    let kind = |word: &str| match word {
        "clutch locked" => Some(EventKind::ClutchLocked),
        "shift" => Some(EventKind::Shift),
        "in gear" => Some(EventKind::InGear),
        w if w.contains("rev") => Some(EventKind::RevLimit),
        w if w.contains("take") => Some(EventKind::TakeUpOver),
        w if w.contains("finish") => Some(EventKind::Finish),
        _ => None,
    };
    let kinds: Vec<_> = rows.iter().map(|r| kind(&word(r))).collect();
    for (row, kind) in rows.iter().zip(&kinds) {
        report.check("events", kind.is_some(), || {
            format!("no event is called {}", word(row))
        });
    }
    let optional = [
        EventKind::TakeUpOver,
        EventKind::Finish,
        EventKind::RevLimit,
    ];
    let ours: Vec<_> = run
        .events
        .iter()
        .filter(|e| !optional.contains(&e.kind) || kinds.contains(&Some(e.kind)))
        .collect();
    report.check("events", ours.len() == rows.len(), || {
        format!("{} events, expected {}", ours.len(), rows.len())
    });
    for (our, (row, kind)) in ours.iter().zip(rows.iter().zip(&kinds)) {
        let at = format!("event {}", word(row));
        report.check(&at, Some(our.kind) == *kind, || format!("got {}", our.kind));
        if let Some(t) = row[0].as_f64() {
            report.number(&at, our.time, t, tolerances.time);
        }
        if let Some(gear) = row[2].as_u64() {
            report.check(&at, our.gear as u64 == gear, || {
                format!("gear {}", our.gear)
            });
        }
    }
}

fn switches(run: &Run, want: &Value, tolerances: &Tolerances, report: &mut Report) {
    let rows = want.as_array().cloned().unwrap_or_default();
    let ours: Vec<_> = run.switches.iter().filter(|s| !s.at_event).collect();
    report.check("limit switches", ours.len() == rows.len(), || {
        format!("{ours:?}, expected {rows:?}")
    });
    for (our, row) in ours.iter().zip(&rows) {
        if let Some(t) = row[0].as_f64() {
            report.number("limit switch", our.time, t, tolerances.switch);
        }
        let words = [limit_word(our.from), limit_word(our.to)];
        let same = row[1] == words[0] && row[2] == words[1];
        report.check("limit switch", same, || {
            format!("{words:?}, expected {row}")
        });
    }
}

fn history(run: &Run, want: &Value, tolerances: &Tolerances, report: &mut Report) {
    for row in want.as_array().cloned().unwrap_or_default() {
        let Some(t) = row["t"].as_f64() else {
            continue;
        };
        let at = format!("history at {t} s");
        let s = run.at(t).unwrap();
        let car = run.car();
        let stopped = |ride: &AxleRide, travel: f64| {
            travel > ride.bump_stop - 1e-4 || travel < -ride.droop_stop + 1e-4
        };
        let on_stop = stopped(&car.front, s.front_travel) || stopped(&car.rear, s.rear_travel);
        let load = if on_stop { 1e-2 } else { 3e-3 } * tolerances.weight;
        for (key, value) in row.as_object().cloned().unwrap_or_default() {
            let field = format!("{at} {key}");
            let expected = value.as_f64().unwrap_or(0.0);
            let (got, tolerance) = match key.as_str() {
                "t" => continue,
                "x" => (s.travel, 1e-3 + 1e-4 * expected.abs()),
                "v" => (s.speed, 5e-3),
                // Not stated: the thrust's tolerance over the mass.
                "a" => (s.acceleration, 3e-3 * G),
                "nose_up" => (s.nose_up, 2e-4),
                "rear_travel" => (s.rear_travel, 2e-4),
                "front_travel" => (s.front_travel, 2e-4),
                "front_load" => (s.front_load, load),
                "rear_load" => (s.rear_load, load),
                "thrust" => (s.thrust, 3e-3 * tolerances.weight),
                "limit" => {
                    let near = run.switches.iter().any(|w| (w.time - t).abs() < 2e-3);
                    report.check(&field, near || value == limit_word(s.limit), || {
                        format!("got {}, expected {value}", s.limit)
                    });
                    continue;
                }
                "gear" => {
                    report.check(&field, value == s.gear, || format!("got {}", s.gear));
                    continue;
                }
                "engine_rpm" | "rpm" => match s.engine_speed {
                    Some(w) => (w / RPM, 5.0),
                    None => continue,
                },
                _ => {
                    report.skip(&format!("history {key}"));
                    continue;
                }
            };
            report.number(&field, got, expected, tolerance);
        }
    }
}

fn sensitivities(
    car: &RunCar,
    settings: &RunSettings,
    rows: &serde_json::Map<String, Value>,
    report: &mut Report,
) -> Result<(), String> {
    let ours = Sensitivities::of(car, settings).map_err(|e| e.to_string())?;
    for (name, row) in rows {
        // Steps and slopes of engine speeds are per rpm there.
        let (parameter, unit) = match name.as_str() {
            "power" => (Parameter::Power, 1.0),
            "mass" => (Parameter::Mass, 1.0),
            "mu0" => (Parameter::Friction, 1.0),
            "cg_height" => (Parameter::CgHeight, 1.0),
            "cg_x" => (Parameter::CgStation, 1.0),
            "final_drive" => (Parameter::FinalDrive, 1.0),
            "anti_squat" => (Parameter::AntiSquat, 1.0),
            "springs" => (Parameter::Springs, 1.0),
            "dampers" => (Parameter::Dampers, 1.0),
            "shift_rpm" => (Parameter::ShiftSpeed, RPM),
            "launch_rpm" => (Parameter::LaunchSpeed, RPM),
            _ => {
                report.skip(&format!("sensitivity {name}"));
                continue;
            }
        };
        let step = number(row, "step")?;
        report.number("step", parameter.step() / unit, step, 1e-9 * step);
        for (key, reading) in [
            ("sixty_foot", Reading::Clock(Mark::SixtyFoot)),
            ("zero_sixty", Reading::ZeroSixty),
            ("quarter", Reading::Clock(Mark::Quarter)),
        ] {
            let (Some(want), Some(slope)) = (row[key].as_f64(), ours.slope(parameter, reading))
            else {
                report.skip(&format!("sensitivity {name} {key}"));
                continue;
            };
            // 2 % of the value and 1 ms per full step.
            let tolerance = 0.02 * want.abs() + 1e-3 / (2.0 * step);
            let field = format!("sensitivity {name} {key}");
            report.number(&field, slope.central * unit, want, tolerance);
        }
    }
    Ok(())
}
