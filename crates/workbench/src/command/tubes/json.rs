//! Everything the tube study knows, SI, for programs.
//!
//! A quantity is an object: `value` (SI), `unit`, `display`.

use build::{BendStudy, Build, EndShape, EndStudy, Nest, Study, TubeStudy};
use geometry::tube::cope::End;
use serde_json::{Value, json};
use units::{Kind, Shop};

use super::{angle, fine, id, no_saw};

fn length(si: f64, shop: &Shop) -> Value {
    json!({ "value": si, "unit": "m", "display": fine(si, shop) })
}

fn turned(rad: f64) -> Value {
    json!({ "value": rad, "unit": "rad", "display": angle(rad) })
}

fn mass(kg: f64, shop: &Shop) -> Value {
    json!({ "value": kg, "unit": "kg", "display": units::format(Kind::Mass, kg, shop) })
}

pub(super) fn json(b: &Build, study: &Study, shop: &Shop) -> Value {
    let s = &study.tubes;
    let tubes: Vec<Value> = s
        .tubes
        .iter()
        .enumerate()
        .map(|(i, t)| tube(b, i, t, shop))
        .collect();
    let bars: Vec<Value> = s.nests.iter().map(|n| nest(b, n, shop)).collect();
    json!({
        "build": b.name,
        "revision": b.revision,
        "mass": mass(s.mass(), shop),
        "length": length(s.length(), shop),
        "tubes": tubes,
        "bars": bars,
        "caution": build::TUBE_CAUTION,
    })
}

fn tube(b: &Build, i: usize, t: &TubeStudy, shop: &Shop) -> Value {
    let drawn = b.assembly.tubes.get(i);
    let mut out = json!({
        "number": format!("T{}", i + 1),
        "id": t.id,
        "label": t.label,
        "section": drawn.map(|d| super::section(&d.section, shop)),
        "material": drawn.map(|d| d.material.clone()),
    });
    let more = match &t.part {
        Err(why) => json!({ "cut": null, "reason": why.show(shop) }),
        Ok(part) => json!({
            "cut": length(part.cut, shop),
            "centre": part.centre.map(|c| length(c, shop)),
            "mass": mass(part.mass, shop),
            "relative_clock": part.relative_clock.map(turned),
            "bends": part.bends.iter().map(|x| bend(x, shop)).collect::<Vec<_>>(),
            "ends": part.ends.iter().map(|e| end(b, e, shop)).collect::<Vec<_>>(),
        }),
    };
    if let (Some(out), Value::Object(more)) = (out.as_object_mut(), more) {
        out.extend(more);
    }
    out
}

fn bend(x: &BendStudy, shop: &Shop) -> Value {
    json!({
        "node": x.node,
        "angle": turned(x.bend.angle),
        "set": match x.set {
            Ok(rad) => turned(rad),
            Err(why) => json!({ "value": null, "unit": "rad", "reason": why }),
        },
        "turn_clockwise": x.bend.rotation.map(turned),
        "radius": length(x.bend.radius, shop),
        "straight_before": length(x.straight, shop),
        "mark_from_a": length(x.from_a, shop),
        "mark_from_b": length(x.from_b, shop),
        "wall_outside": x.wall.map(|w| json!({
            "estimate": length(w.estimate, shop),
            "by_allowance": w.by_allowance.map(|a| length(a, shop)),
        })),
    })
}

fn end(b: &Build, e: &EndStudy, shop: &Shop) -> Value {
    let letter = match e.end {
        End::A => "A",
        End::B => "B",
    };
    let cut = match &e.shape {
        EndShape::Square => json!({ "shape": "square" }),
        EndShape::RunsOn(other) => json!({ "shape": "butted", "to": id(b, *other) }),
        EndShape::Mitre {
            with,
            mitre,
            toward,
        } => json!({
            "shape": "mitre",
            "with": id(b, *with),
            "included": turned(mitre.included),
            "saw_from_square": turned(mitre.saw),
            "short_side_clock": turned(*toward),
            "long_point": length(mitre.long_point(), shop),
        }),
        EndShape::Failed(why) => json!({ "shape": null, "reason": why.show(shop) }),
        EndShape::Cope(c) => {
            let mains = c.mains.iter().zip(c.cope.pairs()).map(|(m, p)| {
                json!({
                    "tube": id(b, *m),
                    "angle": turned(p.alpha),
                    "offset": length(p.offset, shop),
                    "clock": turned(p.clock),
                })
            });
            json!({
                "shape": "cope",
                "mains": mains.collect::<Vec<_>>(),
                "cut_straight_in": c.square,
                "long_point": length(c.long.s, shop),
                "short_point": length(c.short.s, shop),
                "gap": c.gap.map(|(along, normal)| json!({
                    "along": length(along, shop), "to_the_tube": length(normal, shop),
                })),
                "hole_saw": match &c.saw {
                    Ok(s) => json!({
                        "diameter": length(s.diameter, shop),
                        "from_square": turned(s.from_square),
                        "offset": length(s.offset, shop),
                        "centre_to_long_point": length(s.centre_to_long_point, shop),
                        "cup_depth": length(s.cup_depth, shop),
                    }),
                    Err(why) => json!({ "value": null, "reason": no_saw(why) }),
                },
            })
        }
    };
    let mut out = json!({ "end": letter, "node": e.node });
    if let (Some(out), Value::Object(cut)) = (out.as_object_mut(), cut) {
        out.extend(cut);
    }
    out
}

fn nest(b: &Build, n: &Nest, shop: &Shop) -> Value {
    let mut out = json!({
        "section": super::section(&n.section, shop),
        "material": n.material,
        "pieces": n.tubes.iter().map(|t| id(b, *t)).collect::<Vec<_>>(),
        "length": length(n.length, shop),
        "mass": mass(n.mass, shop),
    });
    let more = match &n.nested {
        Err(why) => json!({ "cut": null, "reason": why.show(shop) }),
        Ok(nested) => {
            let bars = nested.bars.iter().map(|bar| {
                let stock = n.bars.get(bar.stock);
                let pieces = bar.pieces.iter().map(|p| {
                    json!({
                        "tube": n.tubes.get(p.piece).map(|t| id(b, *t)),
                        "start": length(p.start, shop),
                        "length": n.lengths.get(p.piece).map(|l| length(*l, shop)),
                    })
                });
                json!({
                    "stock": stock.and_then(|s| s.0.clone()),
                    "length": stock.map(|s| length(s.1, shop)),
                    "pieces": pieces.collect::<Vec<_>>(),
                    "remnant": length(bar.remnant, shop),
                })
            });
            json!({
                "cut": bars.collect::<Vec<_>>(),
                "bought_bars": nested.bought_bars,
                "bought_length": length(nested.bought_length, shop),
                "least_length": length(nested.least_length, shop),
                "proven": nested.proven,
            })
        }
    };
    if let (Some(out), Value::Object(more)) = (out.as_object_mut(), more) {
        out.extend(more);
    }
    out
}
