//! Cases of kinds `widths` and `clearance_primitives`.

use geometry::distance::{Body, Core, gap, segments};
use geometry::{Point3, Vector3};
use serde_json::{Value, json};
use vehicle::packaging::{Housing, MeasuredShafts, RearWheel, Tyre, TyreShape};

use crate::compare::Report;

type Fallible<T> = Result<T, String>;

fn fault(e: impl std::fmt::Display) -> String {
    e.to_string()
}

fn number(v: &Value, name: &str) -> Fallible<f64> {
    v[name]
        .as_f64()
        .ok_or_else(|| format!("{name} is not a number"))
}

fn numbers(v: &Value) -> Vec<f64> {
    v.as_array()
        .map(|a| a.iter().filter_map(Value::as_f64).collect())
        .unwrap_or_default()
}

fn triple(v: &Value) -> Fallible<[f64; 3]> {
    numbers(v)
        .try_into()
        .map_err(|_| format!("{v} is not a triple"))
}

fn widths(case: &Value) -> Fallible<Value> {
    let (w, t, h) = (&case["wheel"], &case["tyre"], &case["housing"]);
    let wheel = RearWheel {
        rim_width: number(w, "rim_width")?,
        flange_thickness: number(w, "flange_thickness")?,
        offset: number(w, "offset")?,
    };
    let tyre = Tyre {
        nominal_width: number(t, "nominal_width")?,
        aspect: number(t, "aspect")?,
        rim_diameter: number(t, "rim_diameter")?,
        section_width: number(t, "section_width")?,
        measuring_rim_width: number(t, "measuring_rim_width")?,
        load: number(t, "load")?,
        radial_rate: number(t, "radial_rate")?,
        growth_width: t["growth_width"].as_f64().unwrap_or(0.0),
        growth_radius: t["growth_radius"].as_f64().unwrap_or(0.0),
        measured_loaded_radius: t["loaded_radius"].as_f64(),
        measured_rolling_radius: t["rolling_radius"].as_f64(),
    }
    .on(wheel.rim_width)
    .map_err(fault)?;
    let housing = Housing {
        track: number(h, "track")?,
        hat_thickness: number(h, "hat_thickness")?,
        brake_stack: number(h, "brake_stack")?,
        differential_y: number(h, "differential_y")?,
        half_gap: number(h, "half_gap")?,
        pinion_offset: number(h, "pinion_from_differential")?,
    };
    let order = housing.order(&wheel).map_err(fault)?;
    let [inside, outside] = housing.tyre_sides(&tyre);
    let mut ours = json!({
        "overall_rim_width": wheel.overall_width(),
        "backspacing": wheel.backspacing(),
        "front_spacing": wheel.front_spacing(),
        "section_on_rim": tyre.section_width,
        "section_width_in_service": tyre.service_width,
        "diameter": tyre.diameter,
        "loaded_radius_estimate": tyre.loaded_radius,
        "rolling_radius_estimate": tyre.rolling_radius,
        "radius_in_service": tyre.service_radius,
        "mounting_face_width": order.mounting_face_width,
        "axle_flange_width": order.axle_flange_width,
        "housing_end_width": order.housing_end_width,
        "left_shaft": order.left_shaft,
        "right_shaft": order.right_shaft,
        "pinion_y": order.pinion_y,
        "tyre_inside_y": inside,
        "tyre_outside_y": outside,
        "overall_tyre_width": 2.0 * outside,
    });
    if let [from, to] = numbers(&h["side_gear"])[..] {
        let [left, right] = housing
            .engagement(
                &wheel,
                &MeasuredShafts {
                    lengths: [
                        number(h, "left_shaft_measured")?,
                        number(h, "right_shaft_measured")?,
                    ],
                    spline_length: number(h, "spline_length")?,
                    side_gear: [from, to],
                },
            )
            .map_err(fault)?;
        ours["left_engagement"] = json!(left);
        ours["right_engagement"] = json!(right);
    }
    Ok(ours)
}

fn obstacle(v: &Value) -> Fallible<Body> {
    match v["kind"].as_str() {
        Some("box") => {
            let axes = match v["axes"].as_array() {
                None => [Vector3::x(), Vector3::y(), Vector3::z()],
                Some(rows) => {
                    // A rotation matrix by rows: the box's axes are its columns.
                    let rows: Vec<[f64; 3]> = rows.iter().map(triple).collect::<Fallible<_>>()?;
                    let [a, b, c] = rows[..] else {
                        return Err("axes are not three rows".into());
                    };
                    [0, 1, 2].map(|i| Vector3::new(a[i], b[i], c[i]))
                }
            };
            Ok(Body {
                core: Core::Box {
                    centre: Point3::from(triple(&v["centre"])?),
                    half: triple(&v["half"])?,
                    axes,
                },
                grown: 0.0,
            })
        }
        Some("bar") => Ok(Body {
            core: Core::Segment {
                a: Point3::from(triple(&v["a"])?),
                b: Point3::from(triple(&v["b"])?),
            },
            grown: number(v, "radius")?,
        }),
        kind => Err(format!("obstacle of kind {kind:?}")),
    }
}

fn primitives(case: &Value) -> Fallible<Value> {
    let mut gaps = Vec::new();
    for pair in case["pairs"].as_array().ok_or("no pairs")? {
        let t = &pair["tyre"];
        let tyre = TyreShape {
            radius: number(t, "radius")?,
            width: number(t, "width")?,
            shoulder_radius: number(t, "shoulder_radius")?,
        }
        .body(
            Point3::from(triple(&pair["centre"])?),
            Vector3::from(triple(&pair["axis"])?),
        )
        .map_err(fault)?;
        let gap = gap(&tyre, &obstacle(&pair["obstacle"])?).ok_or("not finite")?;
        gaps.push(json!(gap.value()));
    }
    let mut distances = Vec::new();
    for row in case["segments"].as_array().into_iter().flatten() {
        let p: Vec<Point3<f64>> = row
            .as_array()
            .ok_or("a segment pair is none")?
            .iter()
            .map(|p| triple(p).map(Point3::from))
            .collect::<Fallible<_>>()?;
        let [a, b, c, d] = &p[..] else {
            return Err("not four points".into());
        };
        distances.push(segments(a, b, c, d).distance);
    }
    Ok(json!({"gaps": gaps, "segments": distances}))
}

pub fn compare(case: &Value, report: &mut Report) {
    let ours = match case["kind"].as_str() {
        Some("widths") => widths(case),
        _ => primitives(case),
    };
    let ours = match ours {
        Ok(ours) => ours,
        Err(fault) => return report.check("case", false, || fault),
    };
    let relative = case["tolerance"]["relative"].as_f64().unwrap_or(1e-8);
    let floor = case["tolerance"]["absolute_floor"].as_f64().unwrap_or(0.0);
    let whole = super::brakes::whole;
    report.tree(
        "",
        "",
        Some(&whole(&ours)),
        &whole(&case["expected"]),
        &|_, want| Some((relative * want.abs()).max(floor)),
    );
}
