//! Cases of kinds `frame_static`, `frame_twist_bend`, `frame_mechanisms` and `frame_bent`, and what other frame cases share
//! with them: nodes and members by name, loads and supports, displacements, forces, stresses, tests, sensitivities, braces.

use std::collections::BTreeMap;

use nalgebra::Vector3;
use serde_json::Value;
use structure::brace::{Candidate, Gain, rank_braces, screen, with_brace};
use structure::load_case::{LoadCase, PointMass, STANDARD_GRAVITY};
use structure::members::stresses;
use structure::rig::{self, Pair, RearHold, Test, Tested};
use structure::section::{Properties, bend_flexibility};
use structure::sensitivity::{Share, by_tube};
use structure::{
    Frame, Load, Material, Member, Options, Pins, RigidLink, Section, Solution, SolveError,
    Supports, Symbolic,
};

use crate::compare::{Report, numbers_in};

type Answer<T> = Result<T, String>;

pub fn compare(case: &Value, report: &mut Report) {
    let context = Context {
        case,
        here: case,
        tolerance: Tolerances::of(&case["tolerance"]),
    };
    if let Err(fault) = everything(&context, &case["expected"], "", report) {
        report.check("case", false, || fault);
    }
}

struct Tolerances {
    displacement: f64,
    rotation: f64,
    force: f64,
    stiffness: f64,
    stress: f64,
    sensitivity: f64,
    direction: f64,
}

impl Tolerances {
    fn of(v: &Value) -> Self {
        let read = |name: &str, default: f64| match &v[name] {
            Value::String(text) => numbers_in(text).first().copied().unwrap_or(default),
            Value::Number(n) => n.as_f64().unwrap_or(default),
            _ => default,
        };
        Self {
            displacement: read("displacement", 1e-7),
            rotation: read("rotation", 1e-7),
            force: read("force", 1e-7),
            stiffness: read("stiffness", 1e-7),
            stress: read("stress", 1e-6),
            sensitivity: read("sensitivity", 1e-6),
            direction: read("direction", 1e-6),
        }
    }
}

/// Where a field is looked for: in the part of the case at hand first, then in the whole case.
struct Context<'a> {
    case: &'a Value,
    here: &'a Value,
    tolerance: Tolerances,
}

impl<'a> Context<'a> {
    fn get(&self, name: &str) -> Option<&'a Value> {
        self.here.get(name).or_else(|| self.case.get(name))
    }

    fn inside(&self, here: &'a Value) -> Self {
        Self {
            case: self.case,
            here,
            tolerance: Tolerances::of(&self.case["tolerance"]),
        }
    }
}

fn number(v: &Value, what: &str) -> Answer<f64> {
    v.as_f64().ok_or_else(|| format!("{what} is not a number"))
}

fn numbers(v: &Value) -> Vec<f64> {
    let all = v.as_array().into_iter().flatten();
    all.filter_map(Value::as_f64).collect()
}

fn three(v: &[f64]) -> Vector3<f64> {
    Vector3::from_fn(|k, _| v.get(k).copied().unwrap_or(0.0))
}

struct Named {
    frame: Frame,
    nodes: BTreeMap<String, usize>,
    members: BTreeMap<String, usize>,
    tubes: BTreeMap<String, usize>,
}

fn section(v: &Value) -> Answer<Section> {
    let n = |name: &str| number(&v[name], name);
    let made = match v["kind"].as_str() {
        Some("round") => Section::round(n("od")?, n("wall")?),
        Some("rect") => Section::rectangular(n("height")?, n("width")?, n("wall")?, n("corner")?),
        _ => Section::raw(
            Properties {
                area: n("A")?,
                i_y: n("Iy")?,
                i_z: n("Iz")?,
                j: n("J")?,
                shear_y: n("Asy")?,
                shear_z: n("Asz")?,
            },
            n("cy")?,
            n("cz")?,
        ),
    };
    made.map_err(|e| e.to_string())
}

impl Named {
    fn of(model: &Value, report: &mut Report) -> Answer<Self> {
        let mut named = Self {
            frame: Frame::default(),
            nodes: BTreeMap::new(),
            members: BTreeMap::new(),
            tubes: BTreeMap::new(),
        };
        for (name, place) in model["nodes"].as_object().ok_or("no nodes")? {
            named.nodes.insert(name.clone(), named.frame.nodes.len());
            named.frame.nodes.push(three(&numbers(place)));
        }
        let mut sections = Vec::new();
        for (index, given) in model["sections"]
            .as_array()
            .into_iter()
            .flatten()
            .enumerate()
        {
            let ours = section(given)?;
            let n = ours.numbers();
            for (name, got) in [
                ("A", n.area),
                ("Iy", n.i_y),
                ("Iz", n.i_z),
                ("J", n.j),
                ("Asy", n.shear_y),
                ("Asz", n.shear_z),
                ("Am", ours.enclosed_area().unwrap_or(0.0)),
            ] {
                if let Some(want) = given[name].as_f64() {
                    report.number(&format!("section {index} {name}"), got, want, 1e-9 * want);
                }
            }
            sections.push(ours);
        }
        for m in model["members"].as_array().into_iter().flatten() {
            let member = named.member(m, &sections)?;
            let name = m["name"].as_str().ok_or("a member without name")?;
            named
                .members
                .insert(name.to_owned(), named.frame.members.len());
            named.frame.members.push(member);
        }
        for link in model["rigid_links"].as_array().into_iter().flatten() {
            let end = |k: usize, name: &str| match link.get(k) {
                Some(v) => named.node(v),
                None => named.node(&link[name]),
            };
            let (slave, master) = (end(0, "slave")?, end(1, "master")?);
            named.frame.rigid_links.push(RigidLink { slave, master });
        }
        named.frame.options = Options {
            shear: model["shear_deformation"].as_bool().unwrap_or(true),
            bend_flexibility: true,
        };
        Ok(named)
    }

    fn node(&self, v: &Value) -> Answer<usize> {
        let name = v.as_str().ok_or_else(|| format!("{v} names no node"))?;
        let node = self.nodes.get(name).copied();
        node.ok_or_else(|| format!("there is no node {name}"))
    }

    fn pair(&self, v: &Value) -> Answer<Pair> {
        Ok(Pair::new(self.node(&v[0])?, self.node(&v[1])?))
    }

    fn member(&mut self, m: &Value, sections: &[Section]) -> Answer<Member> {
        let given = match &m["section"] {
            Value::Number(n) => {
                let index = n.as_u64().and_then(|n| usize::try_from(n).ok());
                index
                    .and_then(|n| sections.get(n).copied())
                    .ok_or_else(|| format!("no section {n}"))?
            }
            other => section(other)?,
        };
        let tube = m["tube"].as_str().or(m["name"].as_str()).unwrap_or("");
        let count = self.tubes.len();
        let or = |name: &str, default: f64| m[name].as_f64().unwrap_or(default);
        Ok(Member {
            i: self.node(&m["i"])?,
            j: self.node(&m["j"])?,
            section: given,
            material: Material {
                e: or("E", Material::STEEL.e),
                g: or("G", Material::STEEL.g),
                density: or("density", Material::STEEL.density),
            },
            roll: or("roll", 0.0),
            pins: match m["pins"].as_str().unwrap_or("none") {
                "none" => Pins::None,
                "i" => Pins::I,
                "j" => Pins::J,
                "both" => Pins::Both,
                other => return Err(format!("pins {other} are not known")),
            },
            bend_factor: 1.0 / or("ei_factor", 1.0),
            tube: *self.tubes.entry(tube.to_owned()).or_insert(count),
        })
    }

    fn loads(&self, v: &Value) -> Answer<Vec<Load>> {
        let mut out = Vec::new();
        for (name, values) in v.as_object().into_iter().flatten() {
            let v = numbers(values);
            out.push(Load {
                node: self.node(&Value::String(name.clone()))?,
                force: three(&v),
                moment: three(v.get(3..).unwrap_or(&[])),
            });
        }
        Ok(out)
    }

    fn supports(&self, v: &Value) -> Answer<Supports> {
        let mut out = Supports::new();
        for (name, letters) in v.as_object().into_iter().flatten() {
            let node = self.node(&Value::String(name.clone()))?;
            out = out.hold(node, letters.as_str().unwrap_or(""));
        }
        Ok(out)
    }
}

fn largest(want: &Value, part: impl Fn(usize) -> bool) -> f64 {
    let rows = want.as_object().into_iter().flatten();
    rows.flat_map(|(_, row)| numbers(row).into_iter().enumerate())
        .filter(|(k, _)| part(*k))
        .fold(0.0, |all, (_, v)| all.max(v.abs()))
}

/// Rows of numbers by name; force-like and moment-like entries each by their own largest.
fn rows(
    report: &mut Report,
    at: &str,
    want: &Value,
    got: impl Fn(&str) -> Option<Vec<f64>>,
    scale: (f64, f64),
) {
    for (name, row) in want.as_object().into_iter().flatten() {
        let field = format!("{at} {name}");
        let Some(ours) = got(name) else {
            report.check(&field, false, || "is not there".into());
            continue;
        };
        for (k, want) in numbers(row).into_iter().enumerate() {
            let tolerance = if k % 6 < 3 { scale.0 } else { scale.1 };
            let got = ours.get(k).copied().unwrap_or(f64::NAN);
            report.number(&format!("{field}[{k}]"), got, want, tolerance);
        }
    }
}

/// Fields of a solution; true when the field is one.
fn solution(
    c: &Context,
    named: &Named,
    got: &Solution,
    all: &Value,
    field: &str,
    at: &str,
    report: &mut Report,
) -> bool {
    let want = &all[field];
    let place = |k: usize| k % 6 < 3;
    let forces = &all["member_end_forces_local"];
    let of = |v: &Value| (largest(v, place), largest(v, |k| !place(k)));
    let forces_scale = |v: &Value| {
        let own = of(v);
        let member = of(forces);
        let any = own.0.max(own.1).max(member.0).max(member.1);
        // A frame without moments has only rounding in them.
        let part = |x: f64| if x < 1e-9 * any { any } else { x };
        (
            c.tolerance.force * part(own.0.max(member.0)),
            c.tolerance.force * part(own.1.max(member.1)),
        )
    };
    let at = format!("{at}{field}");
    match field {
        "displacement" => {
            let (u, w) = of(want);
            let scale = (
                c.tolerance.displacement * u,
                c.tolerance.rotation * w.max(1e-9 * u),
            );
            let row = |name: &str| Some(got.displacements[*named.nodes.get(name)?].to_vec());
            rows(report, &at, want, row, scale);
        }
        "reaction" | "reactions" => {
            let row = |name: &str| {
                let node = *named.nodes.get(name)?;
                let found = got.reactions.iter().find(|(n, _)| *n == node)?;
                Some(found.1.to_vec())
            };
            rows(report, &at, want, row, forces_scale(want));
        }
        "member_end_forces_local" => {
            let row = |name: &str| Some(got.end_forces[*named.members.get(name)?].to_vec());
            rows(report, &at, want, row, forces_scale(want));
        }
        "stress" | "stresses" => {
            for (name, parts) in want.as_object().into_iter().flatten() {
                let Some(&member) = named.members.get(name) else {
                    report.skip(&format!("{field}.{name}"));
                    continue;
                };
                let ours = stresses(
                    &named.frame.members[member].section,
                    &got.end_forces[member],
                );
                for (part, values) in parts.as_object().into_iter().flatten() {
                    let read = |end: usize| match part.as_str() {
                        "sigma" | "normal" | "axial_bending" => Some(ours[end].normal),
                        "tau" | "shear" => Some(ours[end].shear),
                        "von_mises" => Some(ours[end].von_mises()),
                        _ => None,
                    };
                    if read(0).is_none() {
                        report.skip(&format!("{field}.{part}"));
                        continue;
                    }
                    let values = match values {
                        Value::Number(n) => vec![n.as_f64().unwrap_or(f64::NAN)],
                        other => numbers(other),
                    };
                    let both = values.len() == 1;
                    for (end, want) in values.into_iter().enumerate() {
                        let got = match (read(0), read(1)) {
                            (Some(a), Some(b)) if both => a.max(b),
                            _ => read(end).unwrap_or(f64::NAN),
                        };
                        let tolerance = c.tolerance.stress * want.abs().max(1.0);
                        report.number(&format!("{at} {name} {part}[{end}]"), got, want, tolerance);
                    }
                }
            }
        }
        _ => return false,
    }
    true
}

/// Everything expected in one part of a case.
fn everything(c: &Context, expected: &Value, at: &str, report: &mut Report) -> Answer<()> {
    let fields = expected.as_object().ok_or("nothing is expected")?;
    let Some(model) = c.get("model").or(c.here.get("nodes").map(|_| c.here)) else {
        // Several models: each with its own part of the expected.
        let models = c.case["models"].as_object().ok_or("no model")?;
        for (name, expected) in fields {
            match models.get(name) {
                Some(part) => {
                    everything(&c.inside(part), expected, &format!("{at}{name} "), report)?;
                }
                None => report.skip(name),
            }
        }
        return Ok(());
    };
    let mut named = Named::of(model, report)?;
    let points = match (c.get("front_points"), c.get("rear_points")) {
        (Some(front), Some(rear)) => Some((named.pair(front)?, named.pair(rear)?)),
        _ => None,
    };
    let twist = |frame: &Frame, hold: RearHold| -> Answer<Tested> {
        let (front, rear) = points.ok_or("no front and rear points")?;
        rig::run(frame, Test::Twist { front, rear, hold }).map_err(|e| e.to_string())
    };
    let mut answer = None;
    for (field, want) in fields {
        match field.as_str() {
            "displacement"
            | "reaction"
            | "reactions"
            | "member_end_forces_local"
            | "stress"
            | "stresses" => {
                if answer.is_none() {
                    answer = Some(one_load(c, &named)?);
                }
                match &answer {
                    Some(Ok(got)) => {
                        solution(c, &named, got, expected, field, at, report);
                    }
                    Some(Err(fault)) => report.check(field, false, || fault.clone()),
                    None => {}
                }
            }
            "free_motions"
            | "answer_given"
            | "nodes_moving"
            | "largest_node_translation_direction" => {
                mechanism(c, &named, field, want, at, report)?;
            }
            "mass" => {
                let want = number(want, field)?;
                report.number(&format!("{at}mass"), named.frame.mass(), want, 1e-9 * want);
            }
            "twist" => twist_fields(c, &named, &twist, want, at, report)?,
            "bend" | "bending" => bend_fields(c, &named, points, want, at, report)?,
            "twist_stiffness" => {
                let want = number(want, field)?;
                let got = twist(&named.frame, RearHold::Determinate)?.stiffness;
                let tolerance = c.tolerance.stiffness * want;
                report.number(&format!("{at}{field}"), got, want, tolerance);
            }
            "curve" => {
                let tested = twist(&named.frame, RearHold::Determinate)?;
                curve(c, &named, &tested, want, at, report)?;
            }
            "ei_factor" => {
                let want = number(want, field)?;
                let got = named.frame.members.iter().map(|m| 1.0 / m.bend_factor);
                let got = got.fold(1.0, f64::min);
                report.number(&format!("{at}{field}"), got, want, 1e-9);
                ovalling(c, &named, want, at, report);
            }
            "sensitivity_by_tube" | "sensitivity" => {
                let tested = twist(&named.frame, RearHold::Determinate)?;
                sensitivities(c, &named, &tested, want, at, report)?;
            }
            "braces" | "brace" => {
                let tested = twist(&named.frame, RearHold::Determinate)?;
                braces(c, &mut named, &tested, want, at, report)?;
            }
            "acceleration" | "angular_acceleration" | "alpha" | "cg" | "total_mass" => {
                relief(c, &named, field, want, at, report)?;
            }
            "published" => published(c, &named, want, report)?,
            _ => match c.get(field).filter(|v| v.get("loads").is_some()) {
                // A load of its own: its loads and supports stand in the case under the same name.
                Some(load) => {
                    let got = solve(&named, load)?.map_err(|e| e.to_string())?;
                    for (inner, _) in want.as_object().into_iter().flatten() {
                        let at = format!("{at}{field} ");
                        if !solution(c, &named, &got, want, inner, &at, report) {
                            report.skip(&format!("{field}.{inner}"));
                        }
                    }
                }
                None => report.skip(field),
            },
        }
    }
    Ok(())
}

fn solve(named: &Named, with: &Value) -> Answer<Result<Solution, SolveError>> {
    let supports = named.supports(&with["supports"])?;
    let loads = named.loads(&with["loads"])?;
    let factored = Symbolic::new(&named.frame, &supports).and_then(|s| s.factor(&named.frame));
    Ok(factored
        .map_err(SolveError::from)
        .and_then(|f| f.solve(&loads)))
}

/// The answer to the case's loads, with inertia relief where it names masses.
fn one_load(c: &Context, named: &Named) -> Answer<Result<Solution, String>> {
    if c.get("masses").or(c.get("point_masses")).is_some() {
        return Ok(fly(c, named).map(|a| a.solution));
    }
    let with = |name: &str| c.get(name).cloned().unwrap_or(Value::Null);
    let both = serde_json::json!({ "loads": with("loads"), "supports": with("supports") });
    Ok(solve(named, &both)?.map_err(|e| e.to_string()))
}

fn fly(c: &Context, named: &Named) -> Answer<structure::load_case::CaseAnswer> {
    let masses = c.get("masses").or(c.get("point_masses"));
    let mut points = Vec::new();
    for (name, mass) in masses.and_then(Value::as_object).into_iter().flatten() {
        points.push(PointMass {
            node: named.node(&Value::String(name.clone()))?,
            mass: number(mass, "a mass")?,
        });
    }
    let supports = match c.get("supports") {
        Some(v) => Some(named.supports(v)?),
        None => None,
    };
    let flag = |name: &str| c.get(name).and_then(Value::as_bool);
    let case = LoadCase {
        loads: named.loads(c.get("loads").unwrap_or(&Value::Null))?,
        masses: points,
        own_mass: flag("own_mass").or(flag("self_mass")).unwrap_or(true),
        gravity: match c.get("gravity") {
            Some(Value::Number(g)) => Vector3::z() * -g.as_f64().unwrap_or(STANDARD_GRAVITY).abs(),
            Some(v) => three(&numbers(v)),
            None => Vector3::z() * -STANDARD_GRAVITY,
        },
        expected: None,
    };
    structure::load_case::solve(&named.frame, &case, supports.as_ref()).map_err(|e| e.to_string())
}

fn relief(
    c: &Context,
    named: &Named,
    field: &str,
    want: &Value,
    at: &str,
    report: &mut Report,
) -> Answer<()> {
    let got = fly(c, named)?;
    let ours = match field {
        "acceleration" => got.acceleration,
        "cg" => got.centre,
        "total_mass" => Vector3::new(got.mass, 0.0, 0.0),
        _ => got.angular,
    };
    let values = match want {
        Value::Number(n) => vec![n.as_f64().unwrap_or(f64::NAN)],
        other => numbers(other),
    };
    let scale = values.iter().fold(1e-3_f64, |a, v| a.max(v.abs()));
    for (k, want) in values.into_iter().enumerate() {
        let tolerance = c.tolerance.force * scale;
        report.number(&format!("{at}{field}[{k}]"), ours[k], want, tolerance);
    }
    Ok(())
}

fn mechanism(
    c: &Context,
    named: &Named,
    field: &str,
    want: &Value,
    at: &str,
    report: &mut Report,
) -> Answer<()> {
    let supports = named.supports(c.get("supports").unwrap_or(&Value::Null))?;
    let factored = Symbolic::new(&named.frame, &supports)
        .and_then(|s| s.factor(&named.frame))
        .map_err(|e| e.to_string())?;
    let free = factored.free_motions();
    let at = format!("{at}{field}");
    match field {
        "free_motions" => {
            let got = free.map_or(0, |f| f.count);
            let same = want.as_u64() == u64::try_from(got).ok();
            report.check(&at, same, || format!("got {got}, expected {want}"));
            if let Some(free) = free {
                report.note(format!("{at}: {free}"));
            }
        }
        "answer_given" => {
            let loads = named.loads(c.get("loads").unwrap_or(&Value::Null))?;
            let got = factored.solve(&loads);
            report.check(&at, want.as_bool() == Some(got.is_ok()), || {
                format!("got {:?}, expected {want}", got.err())
            });
        }
        "nodes_moving" => {
            let mut wanted = Vec::new();
            for name in want.as_array().into_iter().flatten() {
                wanted.push(named.node(name)?);
            }
            wanted.sort_unstable();
            let got = free.map_or(Vec::new(), |f| f.nodes.clone());
            report.check(&at, got == wanted, || {
                format!("got {got:?}, expected {wanted:?}")
            });
        }
        _ => {
            let wanted = three(&numbers(want));
            let got = free
                .and_then(|f| f.motions.first())
                .map_or(Vector3::zeros(), |m| m.direction);
            let got = if got.dot(&wanted) < 0.0 { -got } else { got };
            for k in 0..3 {
                report.number(
                    &format!("{at}[{k}]"),
                    got[k],
                    wanted[k],
                    c.tolerance.direction,
                );
            }
        }
    }
    Ok(())
}

fn curve(
    c: &Context,
    named: &Named,
    tested: &Tested,
    want: &Value,
    at: &str,
    report: &mut Report,
) -> Answer<()> {
    let torque = c.get("twist_torque").and_then(Value::as_f64).unwrap_or(1.0);
    let mut pairs = Vec::new();
    for pair in c
        .get("curve_pairs")
        .and_then(Value::as_array)
        .into_iter()
        .flatten()
    {
        pairs.push(named.pair(pair)?);
    }
    let got = tested.curve(&pairs, torque);
    let wanted: Vec<Vec<f64>> = want.as_array().into_iter().flatten().map(numbers).collect();
    report.check(&format!("{at}curve"), got.len() == wanted.len(), || {
        format!("{} points, expected {}", got.len(), wanted.len())
    });
    let scale = wanted.iter().fold(0.0_f64, |a, p| a.max(p[1].abs()));
    for (k, (got, want)) in got.iter().zip(&wanted).enumerate() {
        report.number(&format!("{at}curve[{k}] x"), got.x, want[0], 1e-9);
        let tolerance = c.tolerance.rotation * scale;
        report.number(&format!("{at}curve[{k}] phi"), got.phi, want[1], tolerance);
    }
    Ok(())
}

fn twist_fields(
    c: &Context,
    named: &Named,
    twist: &dyn Fn(&Frame, RearHold) -> Answer<Tested>,
    expected: &Value,
    at: &str,
    report: &mut Report,
) -> Answer<()> {
    let torque = c.get("twist_torque").and_then(Value::as_f64).unwrap_or(1.0);
    let tested = twist(&named.frame, RearHold::Determinate)?;
    let answer = tested.scaled(torque);
    let at = format!("{at}twist ");
    for (field, want) in expected.as_object().into_iter().flatten() {
        if field == "curve" {
            curve(c, named, &tested, want, &at, report)?;
            continue;
        }
        if solution(c, named, &answer, expected, field, &at, report) {
            continue;
        }
        let got = match field.as_str() {
            "stiffness" => tested.stiffness,
            "per_degree" => tested.per_degree(),
            "lbft_per_degree" => tested.pound_feet_per_degree(),
            "phi_front" => torque / tested.stiffness,
            "without_shear_deformation" => {
                let mut frame = named.frame.clone();
                frame.options.shear = false;
                twist(&frame, RearHold::Determinate)?.stiffness
            }
            "without_bend_flexibility" => {
                let mut frame = named.frame.clone();
                frame.options.bend_flexibility = false;
                twist(&frame, RearHold::Determinate)?.stiffness
            }
            "rear_clamped" => twist(&named.frame, RearHold::Clamped)?.stiffness,
            _ => {
                report.skip(&format!("twist.{field}"));
                continue;
            }
        };
        let want = number(want, field)?;
        let tolerance = c.tolerance.stiffness * want.abs();
        report.number(&format!("{at}{field}"), got, want, tolerance);
    }
    Ok(())
}

fn bend_fields(
    c: &Context,
    named: &Named,
    points: Option<(Pair, Pair)>,
    expected: &Value,
    at: &str,
    report: &mut Report,
) -> Answer<()> {
    let (front, rear) = points.ok_or("no front and rear points")?;
    let middle = named.pair(c.get("bend_load_points").ok_or("no load points")?)?;
    let load = c.get("bend_load").and_then(Value::as_f64).unwrap_or(1.0);
    let test = Test::Bending {
        front,
        rear,
        middle,
    };
    let tested = rig::run(&named.frame, test).map_err(|e| e.to_string())?;
    let answer = tested.scaled(load);
    let at = format!("{at}bend ");
    for (field, want) in expected.as_object().into_iter().flatten() {
        if solution(c, named, &answer, expected, field, &at, report) {
            continue;
        }
        match field.as_str() {
            "stiffness" | "deflection" => {
                let want = number(want, field)?;
                let got = if field == "stiffness" {
                    tested.stiffness
                } else {
                    load / tested.stiffness
                };
                let tolerance = c.tolerance.stiffness * want.abs();
                report.number(&format!("{at}{field}"), got, want, tolerance);
            }
            "support_z" => {
                for (name, want) in want.as_object().into_iter().flatten() {
                    let node = named.node(&Value::String(name.clone()))?;
                    let got = answer.reactions.iter().find(|(n, _)| *n == node);
                    let got = got.map_or(f64::NAN, |(_, r)| r[2]);
                    let want = number(want, name)?;
                    let tolerance = c.tolerance.force * load;
                    report.number(&format!("{at}{field} {name}"), got, want, tolerance);
                }
            }
            "sensitivity_by_tube" => sensitivities(c, named, &tested, want, &at, report)?,
            _ => report.skip(&format!("bend.{field}")),
        }
    }
    Ok(())
}

/// The ovalling factor by our own formula, from the case's bend radii.
fn ovalling(c: &Context, named: &Named, want: f64, at: &str, report: &mut Report) {
    let bent = named.frame.members.iter().find(|m| m.bend_factor != 1.0);
    let radii = c.get("geometry").and_then(Value::as_object);
    let radius = radii
        .into_iter()
        .flatten()
        .find_map(|(_, g)| g["clr"].as_f64());
    if let (Some(m), Some(radius)) = (bent, radius) {
        let got = 1.0 / bend_flexibility(&m.section, radius);
        report.number(&format!("{at}ovalling"), got, want, 1e-9);
    }
}

fn share(s: &Share, field: &str, stiffness: f64) -> Option<f64> {
    let (wall, od) = (s.wall, s.outside_diameter);
    Some(match field {
        "dK_dwall" => wall?.stiffness,
        "dm_dwall" => wall?.mass,
        "per_kg" | "per_kg_wall" => wall?.per_kilogram(),
        "dK_dod" | "dK_dOD" => od?.stiffness,
        "dm_dod" | "dm_dOD" => od?.mass,
        "per_kg_od" | "per_kg_OD" => od?.per_kilogram(),
        "mass" => s.mass,
        "energy" => s.energy,
        "energy_share" => s.energy_share,
        "share_of_stiffness_per_kg" => wall?.per_kilogram() / stiffness,
        _ => return None,
    })
}

fn sensitivities(
    c: &Context,
    named: &Named,
    tested: &Tested,
    want: &Value,
    at: &str,
    report: &mut Report,
) -> Answer<()> {
    let shares = by_tube(&named.frame, tested).map_err(|e| e.to_string())?;
    for (name, fields) in want.as_object().into_iter().flatten() {
        let tube = named.tubes.get(name).and_then(|t| shares.get(t));
        let Some(tube) = tube else {
            report.skip(&format!("sensitivity.{name}"));
            continue;
        };
        for (field, want) in fields.as_object().into_iter().flatten() {
            match (share(tube, field, tested.stiffness), want.as_f64()) {
                (Some(got), Some(want)) => {
                    // Parts that do next to nothing are compared by the whole.
                    let floor = if field.starts_with("dK") || field.starts_with("per_kg") {
                        1e-6 * tested.stiffness
                    } else {
                        1e-12
                    };
                    let tolerance = c.tolerance.sensitivity * want.abs().max(floor);
                    report.number(&format!("{at}{name} {field}"), got, want, tolerance);
                }
                _ => report.skip(&format!("sensitivity.{field}")),
            }
        }
    }
    Ok(())
}

fn braces(
    c: &Context,
    named: &mut Named,
    tested: &Tested,
    want: &Value,
    at: &str,
    report: &mut Report,
) -> Answer<()> {
    let given = ["braces", "candidates", "brace"]
        .into_iter()
        .find_map(|n| c.get(n));
    let list: Vec<(String, &Value)> = match given {
        Some(Value::Array(rows)) => rows
            .iter()
            .enumerate()
            .map(|(k, row)| {
                (
                    row["name"].as_str().map_or(k.to_string(), str::to_owned),
                    row,
                )
            })
            .collect(),
        Some(Value::Object(rows)) => rows.iter().map(|(k, v)| (k.clone(), v)).collect(),
        _ => {
            report.skip("braces");
            return Ok(());
        }
    };
    let model = c.get("model").ok_or("no model")?;
    let mut sections = Vec::new();
    for s in model["sections"].as_array().into_iter().flatten() {
        sections.push(section(s)?);
    }
    for (index, (name, row)) in list.iter().enumerate() {
        let want = match want {
            Value::Array(rows) => rows.get(index),
            other => other.get(name),
        };
        let Some(want) = want else {
            report.skip(&format!("braces.{name}"));
            continue;
        };
        let mut row = (*row).clone();
        if row["section"].is_null() {
            row["section"] = c.get("brace_section").cloned().unwrap_or(Value::Null);
        }
        let member = named.member(&row, &sections)?;
        let candidate = Candidate {
            i: member.i,
            j: member.j,
            section: member.section,
            material: member.material,
        };
        let quick = screen(tested, &candidate).map_err(|e| e.to_string())?;
        let pinned = with_brace(&named.frame, tested, member.pinned(Pins::Both));
        let pinned = pinned.map_err(|e| e.to_string())?.0;
        let welded = with_brace(&named.frame, tested, member.pinned(Pins::None));
        let welded = welded.map_err(|e| e.to_string())?.0;
        let ranked = rank_braces(tested, &[candidate]);
        report.check(&format!("{at}{name} ranked"), ranked.len() == 1, || {
            "no gain".into()
        });
        for (field, want) in want.as_object().into_iter().flatten() {
            let of: Option<&Gain> = match field.as_str() {
                f if f.contains("screen") => Some(&quick),
                f if f.contains("pinned") => Some(&pinned),
                f if f.contains("welded") || f.contains("exact") => Some(&welded),
                "gain" | "per_kg" | "stiffness" | "mass" | "gain_per_kg" => Some(&welded),
                _ => None,
            };
            match (of, want.as_f64()) {
                (Some(g), Some(want)) => {
                    let got = if field.contains("per_kg") {
                        g.per_kilogram()
                    } else if field.contains("gain") {
                        g.gain
                    } else if field == "mass" {
                        g.mass
                    } else {
                        g.stiffness
                    };
                    let scale = if field == "mass" {
                        want
                    } else {
                        tested.stiffness
                    };
                    let tolerance = c.tolerance.stiffness * scale;
                    report.number(&format!("{at}{name} {field}"), got, want, tolerance);
                }
                _ => report.skip(&format!("braces.{field}")),
            }
        }
    }
    Ok(())
}

/// Values printed in a book, in its own units and axes.
fn published(c: &Context, named: &Named, want: &Value, report: &mut Report) -> Answer<()> {
    for (field, values) in want.as_object().into_iter().flatten() {
        let Some(name) = field.strip_suffix("_inches_and_rad_textbook_axes_XYZ") else {
            report.skip(&format!("published.{field}"));
            continue;
        };
        let got = one_load(c, named)??;
        let d = got.displacements[named.node(&Value::String(name.to_owned()))?];
        // Textbook X, Y, Z = x, z, -y.
        let turned = |k: usize| [d[k], d[k + 2], -d[k + 1]];
        let inches = turned(0).map(|u| u / 0.0254);
        let ours = inches.into_iter().chain(turned(3));
        for (k, (got, want)) in ours.zip(numbers(values)).enumerate() {
            let tolerance = 0.005 * want.abs();
            report.number(&format!("published {field}[{k}]"), got, want, tolerance);
        }
    }
    Ok(())
}
