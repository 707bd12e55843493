//! Cases of kind `hole_search`.

use std::f64::consts::PI;
use std::sync::atomic::{AtomicBool, AtomicU64};

use geometry::{Band, DrawnRod, Figure, Figures, Group, HoleSearch, Look, Outcome, Question};
use nalgebra::Point3;
use serde_json::{Map, Value};

use crate::compare::Report;
use crate::rear_axle::{number, point_of, read};

const INPUTS: [&str; 11] = [
    "id",
    "title",
    "kind",
    "open",
    "frame",
    "rotation_order",
    "car",
    "rods",
    "search",
    "tolerance",
    "note",
];
const SEARCH: [&str; 8] = [
    "patterns",
    "travel_range",
    "bind_rolls",
    "bands",
    "target",
    "targets",
    "lengths",
    "mirrored",
];

/// The figure a name of the case means, what one SI unit of it is there, and the names under
/// which its tolerance may be stated.
fn figure(name: &str) -> Option<(Figure, f64, &'static [&'static str])> {
    const LENGTH: &[&str] = &["length"];
    const STEER: &[&str] = &["roll_steer"];
    const ANGLE: &[&str] = &["pinion_change", "angle"];
    Some(match name {
        "anti_squat_pct" => (Figure::AntiSquat, 100.0, &["anti_squat_pct"]),
        "anti_squat" => (Figure::AntiSquat, 1.0, &["anti_squat"]),
        "anti_lift_pct" => (
            Figure::AntiLift,
            100.0,
            &["anti_lift_pct", "anti_squat_pct"],
        ),
        "anti_lift" => (Figure::AntiLift, 1.0, &["anti_lift", "anti_squat"]),
        "ic_x" | "ic.x" | "ic_station" => (Figure::IcStation, 1.0, LENGTH),
        "ic_z" | "ic.z" | "ic_height" => (Figure::IcHeight, 1.0, LENGTH),
        "swing_arm_length" => (Figure::SwingArmLength, 1.0, LENGTH),
        "swing_arm_height" => (Figure::SwingArmHeight, 1.0, LENGTH),
        "roll_steer" => (Figure::RollSteer, 1.0, STEER),
        "roll_steer_pct" => (Figure::RollSteer, 100.0, &["roll_steer_pct"]),
        // At design height the height over the ground is the height in sprung-mass axes.
        "roll_centre_above_ground" | "roll_centre_height" | "roll_centre_z" | "roll_centre" => {
            (Figure::RollCentreHeight, 1.0, &["roll_centre", "length"])
        }
        "roll_axis_slope" => (
            Figure::RollAxisSlope,
            1.0,
            &["roll_axis_slope", "roll_steer"],
        ),
        "pinion_change" => (Figure::PinionChange, 1.0, ANGLE),
        "pinion_change_deg" => (Figure::PinionChange, 180.0 / PI, &["pinion_change_deg"]),
        "bind_max" | "bind" | "bind_stretch" => {
            (Figure::BindStretch, 1.0, &["bind_max", "bind", "stretch"])
        }
        "recession" | "recession_max" => (Figure::Recession, 1.0, &["recession", "length"]),
        _ => return None,
    })
}

fn tolerance(stated: &Map<String, Value>, name: &str, also: &[&str]) -> Option<f64> {
    std::iter::once(&name)
        .chain(also)
        .find_map(|n| stated.get(*n).and_then(Value::as_f64))
}

/// A row of holes at one end of one or more rods.
struct Pattern {
    points: Vec<Point3<f64>>,
    on_frame: bool,
    /// The rods, and whether the row is given for the other side of the car.
    rods: Vec<(usize, bool)>,
}

/// `lower_front` is the frame end of every rod whose name holds the word `lower`; `rear` the
/// end on the axle. A rod named for the right gets the mirror image of a row that names no side.
fn pattern(name: &str, points: &Value, rods: &[String]) -> Result<Pattern, String> {
    const FRAME: [&str; 6] = ["front", "frame", "body", "chassis", "a", "inner"];
    const AXLE: [&str; 6] = ["rear", "axle", "housing", "b", "outer", "back"];
    let words: Vec<&str> = name.split('_').collect();
    let end = words
        .iter()
        .rposition(|w| FRAME.contains(w) || AXLE.contains(w))
        .ok_or_else(|| format!("pattern {name} names no end"))?;
    let on_frame = FRAME.contains(&words[end]);
    let rest: Vec<&str> = words
        .iter()
        .enumerate()
        .filter(|(n, _)| *n != end)
        .map(|(_, w)| *w)
        .collect();
    let sided = rest.contains(&"left") || rest.contains(&"right");
    let rods: Vec<(usize, bool)> = rods
        .iter()
        .enumerate()
        .filter(|(_, rod)| rest.iter().all(|w| rod.split('_').any(|r| r == *w)))
        .map(|(n, rod)| (n, !sided && rod.split('_').any(|r| r == "right")))
        .collect();
    if rods.is_empty() {
        return Err(format!("pattern {name} belongs to no rod"));
    }
    let points = points
        .as_array()
        .ok_or("a pattern is not a list")?
        .iter()
        .map(point_of)
        .collect::<Result<_, String>>()?;
    Ok(Pattern {
        points,
        on_frame,
        rods,
    })
}

/// Rods that share a pattern, with the patterns they share: one group of the search.
struct Shared {
    rods: Vec<usize>,
    patterns: Vec<usize>,
}

fn shared(patterns: &[Pattern], rods: usize) -> Vec<Shared> {
    let mut of_rod: Vec<usize> = (0..rods).collect();
    for pattern in patterns {
        let first = of_rod[pattern.rods[0].0];
        let joined: Vec<usize> = pattern.rods.iter().map(|(r, _)| of_rod[*r]).collect();
        for group in &mut of_rod {
            if joined.contains(group) {
                *group = first;
            }
        }
    }
    let mut names = of_rod.clone();
    names.sort_unstable();
    names.dedup();
    let group = |name: usize| Shared {
        rods: (0..rods).filter(|r| of_rod[*r] == name).collect(),
        patterns: (0..patterns.len())
            .filter(|p| of_rod[patterns[*p].rods[0].0] == name)
            .collect(),
    };
    names.into_iter().map(group).collect()
}

fn group(shared: &Shared, patterns: &[Pattern], drawn: &[DrawnRod]) -> Group {
    let counts = shared.patterns.iter().map(|p| patterns[*p].points.len());
    let choices = (0..counts.product::<usize>()).map(|choice| {
        let mut rods: Vec<DrawnRod> = shared.rods.iter().map(|r| drawn[*r]).collect();
        let mut rest = choice;
        for pattern in shared.patterns.iter().rev().map(|p| &patterns[*p]) {
            let hole = pattern.points[rest % pattern.points.len()];
            rest /= pattern.points.len();
            for (rod, mirrored) in &pattern.rods {
                let at = shared.rods.iter().position(|r| r == rod).unwrap();
                let side = if *mirrored { -1.0 } else { 1.0 };
                let hole = Point3::new(hole.x, side * hole.y, hole.z);
                if pattern.on_frame {
                    rods[at].frame_point = hole;
                } else {
                    rods[at].housing_point = hole;
                }
            }
        }
        rods
    });
    Group {
        choices: choices.collect(),
    }
}

struct Case {
    search: HoleSearch,
    patterns: Vec<Pattern>,
    shared: Vec<Shared>,
}

impl Case {
    /// The index of a combination given as one hole per pattern.
    fn index(&self, combo: &Value) -> Option<u64> {
        let holes: Vec<usize> = combo
            .as_array()?
            .iter()
            .filter_map(|h| Some(h.as_u64()? as usize))
            .collect();
        if holes.len() != self.patterns.len() {
            return None;
        }
        let choice = |s: &Shared| {
            s.patterns
                .iter()
                .fold(0, |c, p| c * self.patterns[*p].points.len() + holes[*p])
        };
        let choices: Vec<usize> = self.shared.iter().map(choice).collect();
        self.search.index_of(&choices)
    }
}

/// Compares one case.
pub fn compare(case: &Value, report: &mut Report) {
    if let Err(fault) = compare_case(case, report) {
        report.check("case", false, || fault);
    }
}

fn ends(value: &Value) -> Option<[f64; 2]> {
    let all: Vec<f64> = value.as_array()?.iter().filter_map(Value::as_f64).collect();
    let low = all.iter().copied().fold(f64::INFINITY, f64::min);
    let high = all.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    (low <= high).then_some([low, high])
}

fn prepare(case: &Value, names: &[&str]) -> Result<Case, String> {
    let (car, mut drawn) = read(case)?;
    let search = &case["search"];
    let held = search["lengths"].as_str() == Some("held");
    for rod in drawn.iter_mut().filter(|r| held && r.length.is_none()) {
        rod.length = Some((rod.housing_point - rod.frame_point).norm());
    }
    let rods: Vec<String> = case["rods"]
        .as_array()
        .into_iter()
        .flatten()
        .map(|r| r["name"].as_str().unwrap_or_default().to_owned())
        .collect();
    let patterns = names
        .iter()
        .map(|name| pattern(name, &search["patterns"][*name], &rods))
        .collect::<Result<Vec<_>, String>>()?;
    let shared = shared(&patterns, drawn.len());
    let groups = shared.iter().map(|s| group(s, &patterns, &drawn)).collect();
    let look = Look {
        travel: ends(&search["travel_range"]).unwrap_or([0.0; 2]),
        roll: ends(&search["bind_rolls"]).unwrap_or([0.0; 2]),
    };
    Ok(Case {
        search: HoleSearch::new(car, groups, look).map_err(|e| e.to_string())?,
        patterns,
        shared,
    })
}

fn bands(search: &Value, report: &mut Report) -> Result<Vec<Band>, String> {
    let targets = search
        .get("target")
        .or_else(|| search.get("targets"))
        .and_then(Value::as_object);
    let given = search["bands"].as_object().ok_or("no bands")?;
    let mut bands = Vec::new();
    for (name, range) in given {
        let Some((figure, unit, _)) = figure(name) else {
            return Err(format!("a band on {name}, which is not known"));
        };
        let end = |n: usize, open: f64| range[n].as_f64().unwrap_or(open) / unit;
        let target = targets.and_then(|t| t.get(name)).and_then(Value::as_f64);
        bands.push(Band {
            figure,
            low: end(0, f64::NEG_INFINITY),
            high: end(1, f64::INFINITY),
            target: target.map(|t| t / unit),
        });
    }
    for name in targets.into_iter().flat_map(Map::keys) {
        if !given.contains_key(name) {
            report.skip(&format!("target {name} without a band"));
        }
    }
    Ok(bands)
}

fn run(search: &HoleSearch, bands: Vec<Band>) -> Result<Outcome, String> {
    let question = Question {
        bands,
        keep: search.combinations() as usize,
        threads: 2,
        map: None,
    };
    search
        .run(&question, &AtomicU64::new(0), &AtomicBool::new(false))
        .map_err(|e| e.to_string())
}

fn compare_case(case: &Value, report: &mut Report) -> Result<(), String> {
    for (fields, known) in [(case, &INPUTS[..]), (&case["search"], &SEARCH[..])] {
        for key in fields.as_object().ok_or("not an object")?.keys() {
            if key != "expected" && !known.contains(&key.as_str()) {
                report.skip(&format!("input {key}"));
            }
        }
    }
    let stated = case["tolerance"].as_object().ok_or("no tolerance")?;
    let expected = case["expected"].as_object().ok_or("no expected")?;
    let names: Vec<&str> = match expected.get("names").and_then(Value::as_array) {
        Some(names) => names.iter().filter_map(Value::as_str).collect(),
        None => case["search"]["patterns"]
            .as_object()
            .ok_or("no patterns")?
            .keys()
            .map(String::as_str)
            .collect(),
    };
    let ready = prepare(case, &names)?;
    let judged = run(&ready.search, bands(&case["search"], report)?)?;
    let everything = run(&ready.search, Vec::new())?;
    report.note(format!(
        "{} combinations, {} kept, {} went through the full solver",
        judged.evaluated, judged.kept, judged.solved_in_full
    ));
    let count = ready.search.combinations() as usize;
    let mut distance = vec![None; count];
    for found in &judged.best {
        distance[found.index as usize] = Some(found.distance);
    }
    let mut figures = vec![None; count];
    for found in &everything.best {
        figures[found.index as usize] = Some(found.figures);
    }
    for (key, want) in expected {
        match (key.as_str(), want) {
            ("names", _) => {}
            ("all" | "ranked" | "kept" | "best", Value::Array(rows)) => {
                for (place, row) in rows.iter().enumerate() {
                    let at = format!("{key} {place}");
                    let Some(index) = ready.index(&row["combo"]) else {
                        report.check(&at, false, || format!("no combination {}", row["combo"]));
                        continue;
                    };
                    let full = ready.search.evaluate(index).ok().map(|e| e.figures);
                    let place = index as usize;
                    let (fast, distance) = (figures[place], distance[place]);
                    compare_row(&at, row, distance, [fast, full], stated, report);
                }
                if key == "all" {
                    report.check(key, rows.len() == count, || {
                        format!("{} rows for {count} combinations", rows.len())
                    });
                } else {
                    ranking(key, rows, &ready, &judged, stated, report);
                }
            }
            ("kept" | "kept_count", Value::Number(n)) => {
                report.check(key, n.as_u64() == Some(judged.kept), || {
                    format!("got {}, expected {n}", judged.kept)
                });
            }
            _ => report.skip(key),
        }
    }
    Ok(())
}

/// One combination: by the fast judgement and by the full solver.
fn compare_row(
    at: &str,
    row: &Value,
    distance: Option<f64>,
    figures: [Option<Figures>; 2],
    stated: &Map<String, Value>,
    report: &mut Report,
) {
    for (name, want) in row.as_object().into_iter().flatten() {
        let field = format!("{at} {name}");
        match name.as_str() {
            "combo" => {}
            "kept" => report.check(&field, Some(distance.is_some()) == want.as_bool(), || {
                format!("got {}, expected {want}", distance.is_some())
            }),
            "distance" => match (distance, want.as_f64()) {
                (Some(got), Some(want)) => {
                    let tolerance = stated.get(name).and_then(Value::as_f64);
                    report.number(&field, got, want, tolerance.unwrap_or(1e-7));
                }
                // A distance may be stated of one that is left out, too.
                (None, Some(_)) if row["kept"] == Value::Bool(false) => {
                    report.skip("distance of a combination left out");
                }
                (got, want) => report.check(&field, got.is_none() && want.is_none(), || {
                    format!("got {got:?}, expected {want:?}")
                }),
            },
            _ => {
                let Some((figure, unit, also)) = figure(name) else {
                    report.skip(name);
                    continue;
                };
                let Some(tolerance) = tolerance(stated, name, also) else {
                    report.skip(&format!("{name}, without tolerance"));
                    continue;
                };
                for (how, figures) in ["", " in full"].iter().zip(&figures) {
                    let field = format!("{field}{how}");
                    let got = figures.and_then(|f| f.get(figure)).map(|v| v * unit);
                    match (got, want.as_f64()) {
                        (Some(got), Some(want)) => report.number(&field, got, want, tolerance),
                        (got, want) => {
                            report.check(&field, got.is_none() && want.is_none(), || {
                                format!("got {got:?}, expected {want:?}")
                            })
                        }
                    }
                }
            }
        }
    }
}

/// The order of the kept ones: equal places but for ties within the tolerance.
fn ranking(
    key: &str,
    rows: &[Value],
    ready: &Case,
    judged: &Outcome,
    stated: &Map<String, Value>,
    report: &mut Report,
) {
    let tolerance = number(&Value::Object(stated.clone()), "distance").unwrap_or(1e-7);
    if key == "ranked" || key == "kept" {
        report.check(key, rows.len() == judged.best.len(), || {
            format!("{} kept, expected {}", judged.best.len(), rows.len())
        });
    }
    for (place, (row, found)) in rows.iter().zip(&judged.best).enumerate() {
        let tied = row["distance"]
            .as_f64()
            .is_some_and(|d| (d - found.distance).abs() <= tolerance);
        let same = ready.index(&row["combo"]) == Some(found.index);
        report.check(&format!("{key} place {place}"), same || tied, || {
            format!("got combination {}, expected {}", found.index, row["combo"])
        });
    }
}
