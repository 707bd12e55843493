//! Cases of the kinds `tube_bend`, `tube_cope` and `tube_cope_set`.
//!
//! A tube is read the same way whichever kind it comes in: straight or bent, round or
//! rectangular, its ends cut or square. An input known under several spellings is looked up
//! by each; one that is not known makes the tube be skipped with the input named.

use std::f64::consts::TAU;

use geometry::tube::bend::{BendError, BendFinding, Centreline, Clamp, LEAST_RATIO, Shop};
use geometry::tube::cope::{
    Cope, CopeError, CopeFinding, CopedTube, End, Extreme, Landing, Main, Mitre, Outside, Pair,
    WrongCut,
};
use geometry::tube::direction::Axes;
use geometry::tube::mass::STEEL;
use geometry::tube::section::Section;
use geometry::tube::shaping::{Springback, outside_wall};
use geometry::{Point3, Vector3};
use serde_json::{Map, Value, json};

use crate::compare::{Report, numbers_in};

pub type Read<T> = Result<T, String>;

pub fn field<'a>(value: &'a Value, names: &[&str]) -> Option<&'a Value> {
    let found = names.iter().find_map(|name| value.get(*name));
    found.filter(|v| !v.is_null())
}

pub fn number(value: &Value, names: &[&str]) -> Option<f64> {
    field(value, names).and_then(Value::as_f64)
}

pub fn list(value: &Value) -> Vec<f64> {
    let items = value.as_array().into_iter().flatten();
    items.filter_map(Value::as_f64).collect()
}

fn vector(value: &Value) -> Read<Vector3<f64>> {
    match list(value)[..] {
        [x, y, z] => Ok(Vector3::new(x, y, z)),
        _ => Err(format!("{value} is not a point")),
    }
}

pub fn known(value: &Value, names: &[&str]) -> Read<()> {
    let fields = value.as_object().ok_or("not an object")?;
    let unknown = fields.keys().find(|key| !names.contains(&key.as_str()));
    unknown.map_or(Ok(()), |key| Err(format!("input {key} is not known")))
}

const HEIGHT: [&str; 3] = ["height", "h", "depth"];
const WIDTH: [&str; 3] = ["width", "b", "w"];
const CORNER: [&str; 5] = [
    "corner",
    "corner_radius",
    "r_corner",
    "radius_corner",
    "outside_corner_radius",
];

/// Height, width and corner radius; usual corners twice the wall.
fn rectangle(value: &Value) -> Option<[f64; 3]> {
    let inner = field(value, &["rect", "rectangular", "section", "box"]).filter(|v| v.is_object());
    let value = inner.unwrap_or(value);
    let height = number(value, &["height", "h"])?;
    let width = number(value, &["width", "w"]).or_else(|| number(value, &["b"]))?;
    let wall = number(value, &["wall", "t"]).unwrap_or(0.0);
    Some([height, width, number(value, &CORNER).unwrap_or(2.0 * wall)])
}

fn section(value: &Value) -> Read<Section> {
    let inner = field(value, &["section", "rect"]).filter(|v| v.is_object());
    let wall =
        number(value, &["wall", "t"]).or_else(|| inner.and_then(|v| number(v, &["wall", "t"])));
    if let Some([height, width, corner]) = rectangle(value) {
        let wall = wall.ok_or("wall is not given")?;
        return Ok(Section::Rectangular {
            height,
            width,
            wall,
            corner,
        });
    }
    let od =
        number(value, &["od", "OD", "diameter"]).or_else(|| inner.and_then(|v| number(v, &["od"])));
    // A bend case may leave the wall out.
    let od = od.ok_or("od is not given")?;
    Ok(Section::round(od, wall.unwrap_or(0.1 * od)))
}

fn main(value: &Value) -> Read<Main> {
    let names = [
        "point",
        "direction",
        "od",
        "radius",
        "ends_here",
        "name",
        "wall",
        "up",
        "roll",
        "straight",
        "extent",
        "kind",
        "note",
        "rect",
        "section",
        "box",
        "t",
        "shape",
        "r",
        "through",
    ];
    let names: Vec<&str> = [&names[..], &HEIGHT[..], &WIDTH[..], &CORNER[..]].concat();
    known(value, &names)?;
    let direction = vector(&value["direction"])?;
    let outside = match rectangle(value) {
        Some([height, width, corner]) => {
            let up = match field(value, &["up"]) {
                Some(up) => vector(up)?,
                None => {
                    let roll = number(value, &["roll"]).unwrap_or(0.0);
                    Axes::by_up_rule(&direction, roll)
                        .map_err(|e| e.to_string())?
                        .up
                }
            };
            Outside::Rectangular {
                height,
                width,
                corner,
                up,
            }
        }
        None => {
            let od = number(value, &["od"]).map(|od| 0.5 * od);
            let radius = od
                .or_else(|| number(value, &["radius", "r"]))
                .ok_or("od of a main")?;
            Outside::Round { radius }
        }
    };
    let straight = field(value, &["straight", "extent"]).map(list);
    Ok(Main {
        point: Point3::from(vector(&value["point"])?),
        direction,
        outside,
        ends_here: value["ends_here"].as_bool().unwrap_or(false),
        straight: match straight.as_deref() {
            Some([from, to]) => Some([*from, *to]),
            _ => None,
        },
    })
}

fn mains(end: &Value) -> Read<Vec<Main>> {
    match (field(end, &["mains"]), field(end, &["main"])) {
        (Some(list), _) => list.as_array().ok_or("mains")?.iter().map(main).collect(),
        (None, Some(one)) => Ok(vec![main(one)?]),
        (None, None) => Ok(Vec::new()),
    }
}

struct Tube<'a> {
    given: &'a Value,
    section: Section,
    line: Centreline,
    axes: [Axes; 2],
}

enum Made<'a> {
    Tube(Box<Tube<'a>>),
    Fails(BendError),
}

fn read(given: &Value) -> Read<Made<'_>> {
    let names = [
        "a",
        "b",
        "points",
        "clr",
        "od",
        "wall",
        "end_a",
        "end_b",
        "roll",
        "clamp",
        "between",
        "springback",
        "name",
        "note",
        "rect",
        "section",
        "offset",
        "machine_offset",
        "gain",
        "gains",
        "t",
        "kind",
        "shape",
        "r",
        "square_cut",
    ];
    let names: Vec<&str> = [&names[..], &HEIGHT[..], &WIDTH[..], &CORNER[..]].concat();
    known(given, &names)?;
    let points: Vec<Point3<f64>> = match field(given, &["points"]) {
        Some(points) => {
            let points = points.as_array().ok_or("points")?.iter();
            points
                .map(|p| vector(p).map(Point3::from))
                .collect::<Read<_>>()?
        }
        None => vec![vector(&given["a"])?.into(), vector(&given["b"])?.into()],
    };
    let radii = match field(given, &["clr", "radius"]) {
        Some(Value::Array(_)) => list(&given["clr"]),
        Some(one) => vec![one.as_f64().ok_or("clr")?],
        None => Vec::new(),
    };
    let line = match Centreline::new(&points, &radii) {
        Ok(line) => line,
        Err(e) => return Ok(Made::Fails(e)),
    };
    let roll = number(given, &["roll"]).unwrap_or(0.0);
    let axes = [line.axes_a(roll), line.axes_b(roll)].map(|axes| axes.unwrap());
    Ok(Made::Tube(Box::new(Tube {
        given,
        section: section(given)?,
        line,
        axes,
    })))
}

fn arcs(arcs: &[[f64; 2]]) -> Value {
    json!(
        arcs.iter()
            .map(|arc| json!([arc[0], arc[1]]))
            .collect::<Vec<_>>()
    )
}

fn pair_answer(pair: &Pair) -> Value {
    json!({"alpha": pair.alpha, "offset": pair.offset, "clock": pair.clock, "foot_s": pair.foot})
}

/// Pulls the places out of an expected end: any of them is right.
fn places(
    at: &str,
    want: &mut Value,
    got: &[(&str, Extreme)],
    turn: f64,
    near: f64,
    report: &mut Report,
) {
    for (name, extreme) in got {
        let Some(listed) = want.as_object_mut().and_then(|o| o.remove(*name)) else {
            continue;
        };
        let listed = match &listed {
            Value::Array(_) => list(&listed),
            one => one.as_f64().into_iter().collect(),
        };
        let off = listed.iter().map(|place| {
            let off = extreme.at - place;
            (off - (off / turn).round() * turn).abs()
        });
        let off = off.fold(f64::INFINITY, f64::min);
        report.number(&format!("{at} {name}"), off, 0.0, near);
    }
}

fn ranges(at: &str, want: &mut Value, got: &Value, near: f64, report: &mut Report) {
    let Some(wanted) = want.as_object_mut().and_then(|o| o.remove("phi_ranges")) else {
        return;
    };
    let sorted = |value: &Value| {
        let mut all: Vec<Vec<f64>> = value.as_array().into_iter().flatten().map(list).collect();
        all.sort_by(|a, b| a[0].total_cmp(&b[0]));
        all
    };
    let (wanted, got) = (sorted(&wanted), sorted(&got["phi_ranges"]));
    report.check(
        &format!("{at} phi_ranges"),
        wanted.len() == got.len(),
        || format!("{got:?}, expected {wanted:?}"),
    );
    for (wanted, got) in wanted.iter().flatten().zip(got.iter().flatten()) {
        // A start at half a turn may stand at either end of it.
        let off = got - wanted;
        let off = off - (off / TAU).round() * TAU;
        report.number(&format!("{at} phi_ranges"), off, 0.0, near);
    }
}

struct Tolerances {
    length: f64,
    angle: f64,
    extreme: f64,
    square: f64,
    mass: f64,
    range: f64,
}

impl Tolerances {
    fn of(case: &Value) -> Self {
        let t = &case["tolerance"];
        let read = |name: &str, usual: f64| match &t[name] {
            Value::String(words) => numbers_in(words).first().copied().unwrap_or(usual),
            value => value.as_f64().unwrap_or(usual),
        };
        Self {
            length: read("length", 1e-8),
            angle: read("angle", 1e-8),
            extreme: read("phi_of_extreme", 1e-4),
            square: read("square_profile", 1e-7),
            mass: read("mass", 1e-6),
            range: read("phi_range", 1e-6),
        }
    }

    fn leaf(&self, path: &str, want: f64) -> Option<f64> {
        let leaf = path
            .rsplit('.')
            .find(|part| part.parse::<usize>().is_err())?;
        let angles = [
            "alpha",
            "clock",
            "angle",
            "rotation_from_previous",
            "set_angle",
            "relative_clock",
            "angle_from_square",
            "plane_normal",
            "direction",
            "scribe",
            "included",
            "saw_angle",
        ];
        Some(if leaf.starts_with("mass") || leaf == "volume" {
            self.mass * want.abs()
        } else if leaf.contains("square") && leaf != "angle_from_square" {
            self.square
        } else if angles.iter().any(|name| leaf.contains(name)) {
            self.angle
        } else {
            self.length
        })
    }
}

/// The words of the cases for a failed cope.
fn failure(error: &CopeError) -> Value {
    match error {
        CopeError::Misses { clearance, .. } => json!({"kind": "misses", "clearance": clearance}),
        CopeError::Overhang { arcs: free, .. } => {
            json!({"kind": "overhang", "phi_ranges": arcs(free), "p_ranges": arcs(free)})
        }
        CopeError::NearParallel { alpha, .. } => json!({"kind": "near_parallel", "alpha": alpha}),
        other => json!({"kind": other.to_string()}),
    }
}

fn bend_failure(error: &BendError) -> Value {
    match error {
        BendError::LegTooShort { leg, length, short } => json!({
            "kind": "setbacks_longer_than_leg", "leg": leg, "run": leg, "length": length,
            "short": short, "amount": short, "short_by": short, "excess": short, "over": short,
            "needed": length + short,
        }),
        BendError::TooSharp { corner, angle } => {
            json!({"kind": "too_sharp", "corner": corner, "angle": angle})
        }
        BendError::Coincident { first } => {
            json!({"kind": "coincident_points", "point": first, "first": first, "leg": first})
        }
        other => json!({"kind": other.to_string()}),
    }
}

/// What one end answers; the coordinates it is asked at.
fn end_answer(cope: &Cope, at: &[f64]) -> Value {
    let along = |f: &dyn Fn(f64) -> f64| json!(at.iter().map(|x| f(*x)).collect::<Vec<_>>());
    let outer = cope.outer_least();
    let mut all = json!({
        "outer": along(&|x| cope.outer(x)),
        "inner": along(&|x| cope.inner(x)),
        "square": along(&|x| cope.square(x)),
        "square_gap_axial": along(&|x| cope.square_gap(x)),
        "square_gap_normal": along(&|x| cope.square_gap_normal(x)),
        "long_point": outer.s,
        "short_point": cope.short_point().s,
        "inner_min": cope.inner_least().s,
        "square_long_point": cope.square_long_point().s,
        "depth": cope.depth(),
        "axis_s": cope.axis(),
        "pairs": cope.pairs().iter().map(pair_answer).collect::<Vec<_>>(),
        "governs": at.iter().map(|x| governs(cope, *x)).collect::<Vec<_>>(),
    });
    if let [pair] = cope.pairs() {
        all["pair"] = pair_answer(pair);
    }
    all["hole_saw"] = match cope.hole_saw() {
        Ok(saw) => json!({
            "diameter": saw.diameter, "angle_from_square": saw.from_square, "offset": saw.offset,
            "centre_to_long_point": saw.centre_to_long_point, "cup_depth": saw.cup_depth,
        }),
        Err(_) => Value::Null,
    };
    all
}

fn governs(cope: &Cope, at: f64) -> usize {
    let turn = cope.section().turn();
    let within = |arc: &[f64; 2]| {
        [-turn, 0.0, turn]
            .iter()
            .any(|lap| (arc[0]..=arc[1]).contains(&(at + lap)))
    };
    let arcs = cope.governing();
    arcs.iter()
        .find(|g| within(&g.arc))
        .map_or(usize::MAX, |g| g.main)
}

/// The finding of ours in the words of the cases.
fn bend_finding(finding: &BendFinding) -> Option<Value> {
    match finding {
        BendFinding::EndStraightShort {
            run,
            length,
            needed,
        } => Some(json!({
            "kind": "end_straight_short", "run": run, "length": length, "needed": needed,
        })),
        BendFinding::BetweenShort {
            run,
            length,
            needed,
        } => Some(json!({
            "kind": "straight_between_bends_short", "run": run, "length": length, "needed": needed,
        })),
        BendFinding::OutsideSpringback { bend, angle } => Some(json!({
            "kind": "outside_springback_table", "bend": bend, "corner": bend + 1, "angle": angle,
        })),
        _ => None,
    }
}

fn point(p: &Point3<f64>) -> Value {
    json!([p.x, p.y, p.z])
}

fn direction(v: &Vector3<f64>) -> Value {
    json!([v.x, v.y, v.z])
}

fn bends(tube: &Tube, from: [f64; 2]) -> Read<Map<String, Value>> {
    let (line, given) = (&tube.line, tube.given);
    let rows = field(given, &["springback"]).map(|rows| {
        let rows: Vec<[f64; 2]> = rows
            .as_array()
            .into_iter()
            .flatten()
            .map(|row| [list(row)[0], list(row)[1]])
            .collect();
        Springback::new(&rows).unwrap()
    });
    let gains = match field(given, &["gain", "gains"]) {
        Some(Value::Array(gains)) => gains.iter().filter_map(Value::as_f64).collect(),
        Some(one) => vec![one.as_f64().ok_or("gain")?; line.bends().len()],
        None => Vec::new(),
    };
    let shop = Shop {
        gains,
        offset: number(given, &["offset", "machine_offset"]).unwrap_or(0.0),
        ..Shop::default()
    };
    let marks = line.marks(&shop).map_err(|e| e.to_string())?;
    let [from_a, from_b] = from;
    let cut = line
        .marks(&Shop {
            from_a,
            from_b,
            ..shop
        })
        .map_err(|e| e.to_string())?;
    let plain = line.marks(&Shop::default()).map_err(|e| e.to_string())?;
    let bends: Vec<Value> = line
        .bends()
        .iter()
        .enumerate()
        .map(|(i, bend)| {
            let mut one = json!({
                "corner": bend.corner, "angle": bend.angle, "radius": bend.radius,
                "setback": bend.setback, "arc": bend.arc,
                "start_from_a": bend.start, "end_from_a": bend.end,
                "tangent_in": point(&bend.tangent_in), "tangent_out": point(&bend.tangent_out),
                "centre": point(&bend.centre), "plane_normal": direction(&bend.normal),
                "rotation_from_previous": bend.rotation,
                "start_from_b": plain.from_b[i],
                "mark_from_a": marks.from_a[i], "mark_from_b": marks.from_b[i],
                "start_from_long_a": cut.from_a[i], "start_from_long_b": cut.from_b[i],
                "start_from_long_point_a": cut.from_a[i],
                "start_from_long_point_b": cut.from_b[i],
            });
            if let Some(table) = &rows {
                one["set_angle"] = json!(table.angle_to_set(bend.angle));
            }
            if let Section::Round { od, wall } = tube.section {
                let wall = outside_wall(bend.radius, od, wall).unwrap();
                one["wall_outside"] = json!(wall.estimate);
                one["outside_wall"] = json!(wall.estimate);
            }
            one
        })
        .collect();
    let clamp = match (number(given, &["clamp"]), number(given, &["between"])) {
        (None, None) => None,
        (at_end, between) => Some(Clamp {
            at_end: at_end.unwrap_or(0.0),
            between: between.unwrap_or(0.0),
        }),
    };
    let od = match tube.section {
        Section::Round { od, .. } => od,
        Section::Rectangular { height, .. } => height,
    };
    let findings = line.findings(clamp, od, LEAST_RATIO, rows.as_ref());
    let all = json!({
        "bends": bends, "straights": line.straights(), "cut_length": marks.cut_length,
        "corner_to_corner": line.corner_to_corner(),
        "findings": findings.iter().filter_map(bend_finding).collect::<Vec<_>>(),
    });
    match all {
        Value::Object(all) => Ok(all),
        _ => Err("bends".to_owned()),
    }
}

/// Gaps of an end cut wrong: other mains, or other figures of the one main.
fn wrong_cut(cope: &Cope, wrong: &Value, at: &[f64]) -> Read<Value> {
    let landing = cope.landing();
    let mains = match mains(wrong)? {
        given if !given.is_empty() => given,
        _ => {
            let [mut pair] = *cope.pairs() else {
                return Err("a wrong cut to several mains".to_owned());
            };
            let more = |value: &mut f64, whole: &[&str], change: &[&str]| {
                if let Some(v) = number(wrong, whole) {
                    *value = v;
                }
                *value += number(wrong, change).unwrap_or(0.0);
            };
            more(
                &mut pair.alpha,
                &["alpha", "angle"],
                &["d_alpha", "alpha_error", "angle_error"],
            );
            more(&mut pair.offset, &["offset"], &["d_offset", "offset_error"]);
            more(&mut pair.clock, &["clock"], &["d_clock", "clock_error"]);
            let od = number(
                wrong,
                &["od", "main_od", "saw_diameter", "diameter", "saw_od"],
            );
            let od = od.or_else(|| cope.hole_saw().ok().map(|saw| saw.diameter));
            vec![pair.main(landing, 0.5 * od.ok_or("diameter of the saw")?)]
        }
    };
    let cut = Cope::new(cope.section(), landing, &mains).map_err(|e| e.to_string())?;
    let gap = WrongCut::new(cope, &cut);
    let outer: Vec<f64> = at.iter().map(|x| gap.outer(*x)).collect();
    let inner: Vec<f64> = at.iter().map(|x| gap.inner(*x)).collect();
    Ok(json!({
        "gap": outer, "outer": outer, "gap_outer": outer, "inner": inner, "gap_inner": inner,
        "max": gap.largest().0, "largest": gap.largest().0, "gap_max": gap.largest().0,
        "stands_back": gap.stands_back(),
    }))
}

/// Compares one tube, straight or bent, with its expected answers.
fn tube(at: &str, given: &Value, want: &Value, tolerances: &Tolerances, report: &mut Report) {
    let mut want = want.clone();
    let made = match read(given) {
        Ok(made) => made,
        Err(why) => return report.skip(&format!("{at}: {why}")),
    };
    let tube = match made {
        Made::Tube(tube) => tube,
        Made::Fails(error) => {
            let wanted = &want["failure"];
            report.check(at, !wanted.is_null(), || format!("failed: {error}"));
            let got = bend_failure(&error);
            // The name of the failure is ours; its numbers are compared.
            match wanted {
                Value::Object(_) => {
                    let mut wanted = wanted.clone();
                    if let Some(kind) = wanted.as_object_mut().and_then(|o| o.remove("kind")) {
                        report.note(format!("{at}: failure {kind}, ours {}", got["kind"]));
                    }
                    report.tree(at, "failure", Some(&got), &wanted, &|p, v| {
                        tolerances.leaf(p, v)
                    });
                }
                kind => report.note(format!("{at}: failure {kind}, ours {}", got["kind"])),
            }
            return;
        }
    };
    let coordinate = ["phi", "p", "around", "perimeter", "p_around"];
    let asked = field(&want, &coordinate).map(list).unwrap_or_default();
    let turn = tube.section.turn();
    let mut all = Map::new();
    let mut copes: [Option<Cope>; 2] = [None, None];
    for (index, (name, end)) in [("end_a", End::A), ("end_b", End::B)]
        .into_iter()
        .enumerate()
    {
        let mains = match mains(&given[name]) {
            Ok(mains) => mains,
            Err(why) => return report.skip(&format!("{at}: {why}")),
        };
        let landing = Landing {
            point: match end {
                End::A => tube.line.end_a(),
                End::B => tube.line.end_b(),
            },
            axes: tube.axes[index],
            end,
        };
        let place = format!("{at} {name}");
        if mains.is_empty() {
            all.insert(name.to_owned(), json!({"square_end": true}));
            continue;
        }
        let here = field(&want[name], &coordinate).map_or_else(|| asked.clone(), list);
        let mut got = match Cope::new(&tube.section, &landing, &mains) {
            Ok(cope) => {
                let fails = want[name].get("failure").is_some();
                report.check(&place, !fails, || {
                    "an answer where none is expected".to_owned()
                });
                let mut got = end_answer(&cope, &here);
                let wrong = field(
                    &given[name],
                    &["wrong", "wrong_cut", "cut", "as_cut", "cut_with"],
                );
                if let Some(wrong) = wrong {
                    match wrong_cut(&cope, wrong, &here) {
                        Ok(gaps) => {
                            for key in ["wrong", "wrong_cut", "gap", "gaps"] {
                                got[key] = gaps.clone();
                            }
                        }
                        Err(why) => report.skip(&format!("{place}: {why}")),
                    }
                }
                let extremes = [
                    ("long_point_phi", cope.outer_least()),
                    ("short_point_phi", cope.short_point()),
                    ("long_point_p", cope.outer_least()),
                    ("short_point_p", cope.short_point()),
                ];
                places(
                    &place,
                    &mut want[name],
                    &extremes,
                    turn,
                    tolerances.extreme,
                    report,
                );
                let acute = |f: &CopeFinding| matches!(f, CopeFinding::Acute { .. });
                got["acute"] = json!(cope.findings().iter().any(acute));
                copes[index] = Some(cope);
                got
            }
            Err(error) => {
                let fails = want[name].get("failure").is_some();
                report.check(&place, fails, || format!("failed: {error}"));
                let got = failure(&error);
                if fails {
                    ranges(
                        &place,
                        &mut want[name]["failure"],
                        &got,
                        tolerances.range,
                        report,
                    );
                }
                json!({"failure": got})
            }
        };
        if let [only] = &mains[..]
            && got.get("pair").is_none()
        {
            got["pair"] = Pair::new(&landing, only).map_or(Value::Null, |p| pair_answer(&p));
        }
        for key in coordinate {
            got[key] = json!(here);
        }
        all.insert(name.to_owned(), got);
    }
    for key in coordinate {
        all.insert(key.to_owned(), json!(asked));
    }
    let [a, b] = [copes[0].as_ref(), copes[1].as_ref()];
    let whole = CopedTube {
        section: &tube.section,
        length: tube.line.length(),
        a,
        b,
    };
    let more = json!({
        "axis_length": whole.length,
        "direction": direction(&tube.axes[0].along),
        "scribe": direction(&tube.axes[0].up),
        "scribe_a": direction(&tube.axes[0].up),
        "scribe_b": direction(&tube.axes[1].up),
        "direction_a": direction(&tube.axes[0].along),
        "direction_b": direction(&tube.axes[1].along),
        "girth": tube.section.girth(),
        "perimeter_length": tube.section.girth(),
        "long_to_long": whole.total(),
        "long_to_long_square": whole.total_square(),
        "generator_length": asked.iter().map(|x| whole.at(*x)).collect::<Vec<_>>(),
        "axis_between_surfaces": whole.centre(),
        "volume": whole.volume(),
        "mass": STEEL * whole.volume(),
        "mass_mean_radius": whole.mass(STEEL),
        "relative_clock": whole.relative_clock(),
    });
    for (key, value) in more.as_object().into_iter().flatten() {
        all.insert(key.clone(), value.clone());
    }
    let ends = [a, b].map(|cope| cope.map_or(0.0, |c| c.long_point().s));
    match bends(&tube, ends) {
        Ok(bent) => all.extend(bent),
        Err(why) => report.skip(&format!("{at}: {why}")),
    }
    // Findings in any order; the kinds the case does not know are left out.
    if let Some(wanted) = want.as_object_mut().and_then(|o| o.remove("findings")) {
        findings(at, &wanted, &all["findings"], tolerances, report);
    }
    let got = Value::Object(all);
    report.tree(at, "", Some(&got), &want, &|path, value| {
        tolerances.leaf(path, value)
    });
}

fn findings(at: &str, wanted: &Value, got: &Value, tolerances: &Tolerances, report: &mut Report) {
    let empty = Vec::new();
    let wanted = wanted.as_array().unwrap_or(&empty);
    let got = got.as_array().unwrap_or(&empty);
    for one in wanted {
        let same = |g: &&Value| {
            let place = |v: &Value| v["run"].as_u64().or_else(|| v["corner"].as_u64());
            g["kind"] == one["kind"] && place(g) == place(one)
        };
        let found = got.iter().find(same);
        report.check(&format!("{at} findings"), found.is_some(), || {
            format!("{one} is missing")
        });
        if let Some(found) = found {
            report.tree(at, "findings", Some(found), one, &|p, v| {
                tolerances.leaf(p, v)
            });
        }
    }
    let short = |list: &[Value]| {
        let named = |v: &&Value| v["kind"].as_str().is_some_and(|k| k.contains("short"));
        list.iter().filter(named).count()
    };
    report.check(
        &format!("{at} findings"),
        short(wanted) == short(got),
        || format!("{got:?}, expected {wanted:?}"),
    );
}

/// A mitre asked for in a set.
fn mitre(at: &str, given: &Value, want: &Value, tolerances: &Tolerances, report: &mut Report) {
    let od = number(given, &["od"]);
    let included = number(given, &["included", "included_angle", "beta", "angle"]);
    let (Some(od), Some(included)) = (od, included) else {
        return report.skip(&format!("{at}: inputs of a mitre"));
    };
    let made = match Mitre::new(0.5 * od, included) {
        Ok(made) => made,
        Err(e) => return report.check(at, want.get("failure").is_some(), || e.to_string()),
    };
    let phi = field(want, &["phi"]).map(list).unwrap_or_default();
    let profile: Vec<f64> = phi.iter().map(|x| made.profile(0.5 * od, *x)).collect();
    let wrong = number(given, &["wrong", "error", "delta", "angle_error"]);
    let got = json!({
        "saw": made.saw, "saw_angle": made.saw, "angle_from_square": made.saw, "phi": phi,
        "outer": profile, "profile": profile, "s": profile, "long_point": made.long_point(),
        "short_point": -made.long_point(), "gap": wrong.map(|w| made.gap(w)),
    });
    report.tree(at, "", Some(&got), want, &|path, value| {
        tolerances.leaf(path, value)
    });
}

fn any(at: &str, given: &Value, want: &Value, tolerances: &Tolerances, report: &mut Report) {
    let inner = field(given, &["mitre"]);
    match inner {
        Some(inner) => mitre(at, inner, want, tolerances, report),
        None if given.get("included").is_some() || given.get("included_angle").is_some() => {
            mitre(at, given, want, tolerances, report);
        }
        None => tube(at, given, want, tolerances, report),
    }
}

/// Cases of one tube or of several by name.
pub fn tubes(case: &Value, report: &mut Report) {
    let tolerances = Tolerances::of(case);
    let expected = &case["expected"];
    let set = field(case, &["branches", "tubes", "lists", "cases", "mitres"]);
    if let Some(set) = set {
        let named: Vec<(String, &Value)> = match set {
            Value::Object(set) => set.iter().map(|(k, v)| (k.clone(), v)).collect(),
            Value::Array(set) => set
                .iter()
                .enumerate()
                .map(|(i, v)| (i.to_string(), v))
                .collect(),
            _ => Vec::new(),
        };
        for (name, given) in named {
            let want = match expected {
                Value::Array(list) => name.parse::<usize>().ok().and_then(|i| list.get(i)),
                other => other.get(&name),
            };
            match want {
                Some(want) => any(&name, given, want, &tolerances, report),
                None => report.skip(&name),
            }
        }
        return;
    }
    match field(case, &["tube", "branch", "mitre"]) {
        Some(given) => any("", given, expected, &tolerances, report),
        None => report.check("tube", false, || "no tube in the case".to_owned()),
    }
}
