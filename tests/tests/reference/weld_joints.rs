//! Cases of kind `weld_joints`.
//!
//! An input known under several spellings is looked up by each; a joint with an input that
//! is not known is skipped with the input named, for its answer could not be trusted.

use std::collections::BTreeSet;
use std::f64::consts::{FRAC_PI_2, TAU};

use serde_json::{Map, Value, json};
use units::Length;
use weld::joint::{Finding, Gap, MainKink, MainTube, Metal, Shape};
use weld::{
    Band, Choices, Cope, FilletCount, GapProfile, GapReading, GrooveShape, IsoLevel, Joint,
    Restraint, Rule, Setting, Welded,
};

use crate::compare::{Report, numbers_in};

/// One object of the case, remembering what was read from it.
struct Inputs<'a> {
    fields: &'a Map<String, Value>,
    known: BTreeSet<&'static str>,
}

impl<'a> Inputs<'a> {
    fn new(value: &'a Value) -> Result<Self, String> {
        Ok(Self {
            fields: value.as_object().ok_or("not an object")?,
            known: BTreeSet::new(),
        })
    }

    fn get(&mut self, names: &[&'static str]) -> Option<&'a Value> {
        self.known.extend(names);
        let found = names.iter().find_map(|name| self.fields.get(*name));
        found.filter(|value| !value.is_null())
    }

    fn number(&mut self, names: &[&'static str]) -> Result<Option<f64>, String> {
        match self.get(names) {
            None => Ok(None),
            Some(value) => match value.as_f64() {
                Some(number) => Ok(Some(number)),
                None => Err(format!("{} is not a number", names[0])),
            },
        }
    }

    fn need(&mut self, names: &[&'static str]) -> Result<f64, String> {
        self.number(names)?
            .ok_or_else(|| format!("{} is not given", names[0]))
    }

    fn word(&mut self, names: &[&'static str]) -> Option<String> {
        self.get(names)
            .and_then(Value::as_str)
            .map(str::to_lowercase)
    }

    fn unknown(&self) -> Vec<&'a str> {
        let names = self.fields.keys().map(String::as_str);
        names.filter(|name| !self.known.contains(name)).collect()
    }
}

/// Half of a diameter, or a radius.
fn radius(
    inputs: &mut Inputs,
    radii: &[&'static str],
    diameters: &[&'static str],
) -> Result<f64, String> {
    match inputs.number(radii)? {
        Some(radius) => Ok(radius),
        None => Ok(0.5 * inputs.need(diameters)?),
    }
}

fn rule(value: Option<&Value>) -> Result<Option<Rule>, String> {
    let Some(value) = value else {
        return Ok(None);
    };
    if let Some(word) = value.as_str() {
        let word = word.to_lowercase();
        return match word
            .trim_start_matches("iso5817")
            .trim_matches([' ', '_', '-'])
        {
            "none" => Ok(None),
            "aws" | "aws_d1.1" | "aws d1.1" => Ok(Some(Rule::Aws)),
            "b" | "iso_b" => Ok(Some(Rule::Iso5817(IsoLevel::B))),
            "c" | "iso_c" => Ok(Some(Rule::Iso5817(IsoLevel::C))),
            "d" | "iso_d" => Ok(Some(Rule::Iso5817(IsoLevel::D))),
            _ => Err(format!("rule {word} is not known")),
        };
    }
    let limits: Vec<f64> = match value {
        Value::Array(list) => list.iter().filter_map(Value::as_f64).collect(),
        _ => [["unchanged", "grow_above"], ["reject", "reject_above"]]
            .iter()
            .filter_map(|names| names.iter().find_map(|name| value[*name].as_f64()))
            .collect(),
    };
    match limits[..] {
        [unchanged, reject] => Ok(Some(Rule::Shop {
            unchanged: Length::from_si(unchanged),
            reject: Length::from_si(reject),
        })),
        _ => Err("rule is neither a name nor two limits".to_owned()),
    }
}

/// Readings as pairs or as objects, by the clock or along the seam.
fn gap(inputs: &mut Inputs, closed: bool, length: f64) -> Result<Gap, String> {
    let names = ["gap", "gaps", "gap_readings", "readings", "gap_by_clock"];
    let Some(value) = inputs.get(&names) else {
        return Ok(Gap::CLOSED);
    };
    if let Some(gap) = value.as_f64() {
        return Ok(Gap::Even(gap));
    }
    let list = value.as_array().ok_or("gap is neither number nor list")?;
    if list.is_empty() {
        return Ok(Gap::CLOSED);
    }
    let mut readings = Vec::new();
    for entry in list {
        let place = ["clock", "hours", "hour", "at", "position", "x"];
        let pair = match entry {
            Value::Array(pair) => [pair.first(), pair.get(1)].map(|v| v.and_then(Value::as_f64)),
            _ => [
                place.iter().find_map(|name| entry[*name].as_f64()),
                entry["gap"].as_f64(),
            ],
        };
        match pair {
            [Some(position), Some(gap)] => readings.push(GapReading::new(position, gap)),
            _ => return Err(format!("gap reading {entry} is not understood")),
        }
    }
    let profile = if closed {
        GapProfile::closed(&readings)
    } else {
        GapProfile::open(length, &readings)
    };
    profile.map(Gap::Read).map_err(|e| e.to_string())
}

fn shape(inputs: &mut Inputs) -> Result<Shape, String> {
    let kind = inputs.word(&["kind"]).ok_or("kind is not given")?;
    let fillets = |inputs: &mut Inputs, usual| match inputs.number(&["fillets"])? {
        Some(1.0) => Ok(FilletCount::One),
        Some(2.0) => Ok(FilletCount::Two),
        None => Ok(usual),
        Some(n) => Err(format!("{n} fillets")),
    };
    let crown = ["convex", "convexity"];
    match kind.as_str() {
        "butt" => {
            let thickness = inputs.need(&["t", "thickness"])?;
            let edges = inputs
                .word(&["groove", "shape", "prep", "edges", "edge", "type"])
                .unwrap_or_else(|| "square".to_owned());
            let root_face = inputs.number(&["root_face", "f"])?.unwrap_or(0.0);
            let one = inputs.number(&["bevel", "beta", "bevel_angle"])?;
            let included = inputs.number(&["included", "included_angle", "angle"])?;
            let single = edges.contains("bevel");
            let bevel = one.or(included.map(|a| if single { a } else { 0.5 * a }));
            let edges = match edges.as_str() {
                "square" | "i" => GrooveShape::Square,
                "v" | "single_v" | "vee" => GrooveShape::V {
                    bevel: bevel.ok_or("bevel is not given")?,
                    root_face,
                },
                "single_bevel" | "bevel" | "half_v" | "single bevel" => GrooveShape::SingleBevel {
                    bevel: bevel.ok_or("bevel is not given")?,
                    root_face,
                },
                other => return Err(format!("groove {other} is not known")),
            };
            Ok(Shape::Butt {
                edges,
                thickness,
                cap: inputs.number(&["cap", "cap_height", "h"])?,
                root_cap: inputs.number(&["root_cap", "root_cap_height", "h_r"])?,
            })
        }
        "tee" => Ok(Shape::Tee {
            base: inputs.need(&["t", "t_base", "thickness"])?,
            stem: inputs.need(&["t_stem", "t_s"])?,
            leg: inputs.need(&["leg", "D"])?,
            dihedral: inputs.number(&["dihedral", "psi"])?.unwrap_or(FRAC_PI_2),
            second_dihedral: None,
            fillets: fillets(inputs, FilletCount::Two)?,
            convexity: inputs.number(&crown)?,
        }),
        "lap" => Ok(Shape::Lap {
            thickness: inputs.need(&["t", "thickness"])?,
            leg: inputs.need(&["leg", "D"])?,
            fillets: fillets(inputs, FilletCount::Two)?,
            convexity: inputs.number(&crown)?,
        }),
        "cope" | "coped" | "coped_tube" | "tube" => coped(inputs),
        other => Err(format!("joint kind {other} is not modelled")),
    }
}

fn coped(inputs: &mut Inputs) -> Result<Shape, String> {
    let main_radius = radius(
        inputs,
        &["R", "r_main", "main_radius"],
        &["od_main", "main_od", "OD", "D_main"],
    )?;
    let branch_radius = radius(
        inputs,
        &["r", "r_branch", "branch_radius"],
        &["od_branch", "branch_od", "od"],
    )?;
    let branch_wall = inputs.need(&[
        "t_branch",
        "branch_wall",
        "wall_branch",
        "t_stem",
        "t_s",
        "t",
        "wall",
    ])?;
    let against = inputs.word(&["end"]).is_some_and(|end| end == "b");
    let hour = inputs.number(&["twelve_hours"])?.unwrap_or(0.0) * TAU / 12.0;
    // The clock ψ of t: φ' = φ − ψ at end A and ψ − φ at end B, so φ = 0 lies at −ψ or ψ.
    let psi = inputs.number(&["clock", "psi", "clocking"])?.unwrap_or(0.0);
    let tubes = Cope {
        branch_radius,
        branch_wall,
        main_radius,
        angle: inputs.number(&["alpha", "angle"])?.unwrap_or(FRAC_PI_2),
        offset: inputs.number(&["offset", "e"])?.unwrap_or(0.0),
        leg: inputs.need(&["leg", "D"])?,
        convexity: inputs
            .number(&["convex", "convexity"])?
            .unwrap_or(Choices::DEFAULT.convexity),
        twelve: hour + if against { psi } else { -psi },
        clock_with_phi: !against,
    };
    let wall = inputs.number(&["t_main", "main_wall", "wall_main"])?;
    let modulus = inputs.number(&["E", "modulus", "youngs"])?;
    let yields = inputs.number(&["fy", "f_y", "yield", "fy_main"])?;
    let main = match (wall, yields) {
        (Some(wall), Some(yield_strength)) => Some(MainTube {
            wall,
            modulus: modulus.unwrap_or(200.0e9),
            yield_strength,
        }),
        _ => None,
    };
    Ok(Shape::Cope { tubes, main })
}

fn read(value: &Value) -> Result<Joint, String> {
    let mut inputs = Inputs::new(value)?;
    inputs.get(&["name", "note", "comment"]);
    let shape = shape(&mut inputs)?;
    let closed = matches!(shape, Shape::Cope { .. });
    // A cope's seam is its root curve; a joint without a length is one metre.
    let length = inputs.number(&["length", "seam"])?.unwrap_or(1.0);
    let gap = gap(&mut inputs, closed, length)?;
    let rule = rule(inputs.get(&["rule", "gap_rule"]))?;
    let restraint = match inputs.word(&["restraint"]).as_deref() {
        Some("free") => Restraint::Free,
        Some("tacked") | None => Restraint::Tacked,
        Some("fixtured" | "fixture") => Restraint::Fixtured,
        Some(other) => return Err(format!("restraint {other} is not known")),
    };
    let passes = inputs.number(&["passes"])?.unwrap_or(1.0);
    let unknown = inputs.unknown();
    if !unknown.is_empty() {
        return Err(format!("inputs not known: {}", unknown.join(", ")));
    }
    Ok(Joint {
        shape,
        length,
        gap,
        rule,
        setting: Setting {
            restraint,
            passes: passes as u32,
        },
    })
}

fn band(band: &Band) -> Value {
    let estimates: Vec<Value> = band
        .estimates
        .iter()
        .map(|e| json!({"name": e.method.name(), "value": e.value, "in_range": e.in_range}))
        .collect();
    json!({
        "estimates": estimates, "low": band.low, "point": band.point, "high": band.high,
        "out_of_range": band.out_of_range,
    })
}

fn kink(kink: &MainKink) -> Value {
    json!({
        "lever": kink.lever, "footprint": kink.footprint, "force": kink.force,
        "yield_force": kink.yield_force, "yield_limited": kink.yield_limited,
        "estimates": [{"name": "metal", "value": kink.by_metal, "in_range": !kink.out_of_range}],
        "low": kink.low, "point": kink.point, "high": kink.high,
        "out_of_range": kink.out_of_range, "side": kink.side,
    })
}

/// Our answer with the field names of the cases.
fn answer(welded: &Welded) -> Value {
    let mut all = Map::new();
    let metal = match &welded.metal {
        Metal::Butt(m) => json!({
            "area": m.area, "width": m.width, "included": m.included_angle,
            "included_angle": m.included_angle,
        }),
        Metal::Fillet(m) => json!({
            "leg": m.leg, "throat": m.throat, "face_width": m.face_width, "area": m.area,
        }),
        Metal::Cope(m) => {
            let fields = json!({
                "length": m.length, "volume": m.volume, "area": m.area, "mean_area": m.area,
                "mean_gap": m.mean_gap, "gap_mean": m.mean_gap, "lean_cos": m.lean_cos,
                "lean_sin": m.lean_sin,
            });
            all.extend(fields.as_object().unwrap().clone());
            fields
        }
    };
    all.insert("metal".to_owned(), metal);
    all.insert("area_total".to_owned(), json!(welded.area_total));
    all.insert("length".to_owned(), json!(welded.length));
    all.insert("volume".to_owned(), json!(welded.volume));
    let mut transverse = Map::new();
    if let Some(across) = &welded.across {
        transverse.insert("across".to_owned(), band(across));
    }
    if let Some(pull_in) = &welded.pull_in {
        transverse.insert("pull_in".to_owned(), band(pull_in));
    }
    if let Some(lean) = &welded.lean {
        let fields = json!({"toward_t": lean.toward_t, "toward_w": lean.toward_w});
        transverse.insert("lean".to_owned(), fields.clone());
        all.insert("lean".to_owned(), fields);
    }
    all.insert("transverse".to_owned(), Value::Object(transverse));
    if let Some(main) = &welded.main_kink {
        all.insert("main_kink".to_owned(), kink(main));
        all.insert("main_kink_side".to_owned(), json!(main.side));
    }
    let has = |test: fn(&Finding) -> bool| welded.findings.iter().any(test);
    let findings = json!({
        "root_care": has(|f| matches!(f, Finding::RootFusion { .. })),
        "not_strength": has(|f| matches!(f, Finding::NotStrength { .. })),
        "throat_below": has(|f| matches!(f, Finding::ThroatBelow { .. })),
    });
    all.insert("findings".to_owned(), findings);
    Value::Object(all)
}

pub fn compare(case: &Value, report: &mut Report) {
    let relative = numbers_in(&case["tolerance"]["relative"].to_string());
    let relative = relative.first().copied().unwrap_or(1e-8);
    let floor = case["tolerance"]["absolute_floor"].as_f64();
    let floor = floor.unwrap_or(1e-16);
    let by_name: Vec<(String, f64)> = case["tolerance"]["absolute_by_name"]
        .as_object()
        .into_iter()
        .flatten()
        .filter_map(|(names, value)| Some((names.clone(), value.as_f64()?)))
        .collect();
    let tolerance = |path: &str, want: f64| {
        let leaf = path.rsplit('.').next().unwrap_or(path);
        let named = by_name.iter().find(|(names, _)| {
            names
                .split(|c: char| !(c.is_ascii_alphanumeric() || c == '_'))
                .any(|name| name == leaf)
        });
        let absolute = named.map_or(floor, |(_, value)| value.max(floor));
        Some((relative * want.abs()).max(absolute))
    };
    let joints = case["system"]["joints"].as_array();
    let expected = case["expected"]["joints"].as_array();
    let (Some(joints), Some(expected)) = (joints, expected) else {
        report.check("joints", false, || "no joints in the case".to_owned());
        return;
    };
    report.check("joints", joints.len() == expected.len(), || {
        format!("{} joints, {} expected", joints.len(), expected.len())
    });
    for (given, want) in joints.iter().zip(expected) {
        let name = given["name"].as_str().unwrap_or("joint");
        let joint = match read(given) {
            Ok(joint) => joint,
            Err(why) => {
                report.skip(&format!("{name}: {why}"));
                continue;
            }
        };
        let fails = ["failure", "error"].iter().any(|f| want.get(*f).is_some());
        match joint.weld(&Choices::DEFAULT) {
            Ok(welded) => {
                report.check(name, !fails, || {
                    "an answer where none is expected".to_owned()
                });
                let mut ours = answer(&welded);
                ours["name"] = given["name"].clone();
                report.tree(name, "", Some(&ours), want, &tolerance);
            }
            Err(e) => report.check(name, fails, || format!("failed: {e}")),
        }
    }
}
