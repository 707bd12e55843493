//! Tubes, cuts, bends and bars in shop words.

use std::fmt::Write as _;

use build::{Build, EndShape, EndStudy, Nest, Study, TUBE_CAUTION, TubePart};
use geometry::tube::cope::End;
use units::{Kind, Shop};

use super::{angle, count, fine, id, kept, material, no_saw, section};

pub(super) fn report(b: &Build, study: &Study, shop: &Shop) -> String {
    let s = &study.tubes;
    let mut out = format!("{}, revision {}\n", b.name, b.revision);
    if b.assembly.tubes.is_empty() {
        out.push_str("No tube is drawn.\n");
        return out;
    }
    let _ = writeln!(
        out,
        "{}, {} to saw, {}",
        count(s.tubes.len(), "tube"),
        units::format_feet(s.length(), shop),
        mass(s.mass(), shop)
    );
    out.push_str("\nTUBES\n");
    for (i, (tube, made)) in b.assembly.tubes.iter().zip(&s.tubes).enumerate() {
        let _ = writeln!(
            out,
            "  T{} {} {}: {}, {}",
            i + 1,
            tube.id,
            tube.label,
            section(&tube.section, shop),
            material(b, &tube.material)
        );
        match &made.part {
            Err(why) => {
                let _ = writeln!(out, "      can not be made: {}", why.show(shop));
            }
            Ok(part) => one(&mut out, b, part, shop),
        }
    }
    let _ = writeln!(
        out,
        "\nBARS (saw cut {}, trim {})",
        kept(b.tube_work.kerf.si(), shop),
        kept(b.tube_work.trim.si(), shop)
    );
    for n in &s.nests {
        bars(&mut out, b, n, shop);
    }
    let _ = writeln!(out, "\nCAUTION: {TUBE_CAUTION}");
    out
}

fn mass(kg: f64, shop: &Shop) -> String {
    units::format(Kind::Mass, kg, shop)
}

fn one(out: &mut String, b: &Build, part: &TubePart, shop: &Shop) {
    let centre = part.centre.map_or_else(String::new, |c| {
        format!(", {} surface to surface", fine(c, shop))
    });
    let clock = part.relative_clock.map_or_else(String::new, |c| {
        format!(", ends clocked {} apart", angle(c))
    });
    let _ = writeln!(
        out,
        "      saw to {}{centre}, {}{clock}",
        fine(part.cut, shop),
        mass(part.mass, shop)
    );
    for (k, x) in part.bends.iter().enumerate() {
        let set = match x.set {
            Ok(rad) => format!("set to {}", angle(rad)),
            Err(why) => format!("no angle to set ({why})"),
        };
        let turn = match x.bend.rotation {
            None => String::new(),
            Some(r) if r.abs() < 5e-4 => ", no turn".into(),
            Some(r) => format!(
                ", turn {} {} first",
                angle(r.abs()),
                if r > 0.0 {
                    "clockwise"
                } else {
                    "anticlockwise"
                }
            ),
        };
        let _ = writeln!(
            out,
            "      bend {} at {}: mark {} from A, {} from B{turn}; {}, {set}; radius {}; {} straight before",
            k + 1,
            x.node,
            fine(x.from_a, shop),
            fine(x.from_b, shop),
            angle(x.bend.angle),
            kept(x.bend.radius, shop),
            fine(x.straight, shop)
        );
    }
    for end in &part.ends {
        let letter = match end.end {
            End::A => "A",
            End::B => "B",
        };
        let _ = writeln!(out, "      {letter} at {}: {}", end.node, cut(b, end, shop));
    }
}

fn cut(b: &Build, end: &EndStudy, shop: &Shop) -> String {
    match &end.shape {
        EndShape::Square => "square".into(),
        EndShape::RunsOn(other) => format!("square, butted to {}", id(b, *other)),
        EndShape::Mitre {
            with,
            mitre,
            toward,
        } => format!(
            "mitred with {}, saw {} from square, short side at clock {}",
            id(b, *with),
            angle(mitre.saw),
            angle(*toward)
        ),
        EndShape::Failed(why) => format!("NO CUT: {}", why.show(shop)),
        EndShape::Cope(cope) => {
            let mains = cope.mains.iter().zip(cope.cope.pairs()).map(|(m, p)| {
                format!(
                    "coped to {} at {}, offset {}, clock {}",
                    id(b, *m),
                    angle(p.alpha),
                    fine(p.offset, shop),
                    angle(p.clock)
                )
            });
            let mut all: Vec<String> = mains.collect();
            all.push(format!(
                "long point {} from the work point, {} deep",
                fine(cope.long.s, shop),
                fine(cope.short.s - cope.long.s, shop)
            ));
            if let Some((along, normal)) = cope.gap {
                all.push(format!(
                    "cut straight in, open by up to {} along the axis, {} to the tube",
                    fine(along, shop),
                    fine(normal, shop)
                ));
            } else {
                all.push(match &cope.saw {
                    Ok(s) => format!(
                        "hole saw {}, {} from square, centre to long point {}, cup {} deep",
                        kept(s.diameter, shop),
                        angle(s.from_square),
                        fine(s.centre_to_long_point.abs(), shop),
                        fine(s.cup_depth, shop)
                    ),
                    Err(why) => no_saw(why),
                });
            }
            all.join("; ")
        }
    }
}

fn bars(out: &mut String, b: &Build, n: &Nest, shop: &Shop) {
    let _ = writeln!(
        out,
        "  {}, {}: {}, {}, {}",
        section(&n.section, shop),
        material(b, &n.material),
        count(n.tubes.len(), "piece"),
        units::format_feet(n.length, shop),
        mass(n.mass, shop)
    );
    let nested = match &n.nested {
        Err(why) => {
            let _ = writeln!(out, "      not laid out: {}", why.show(shop));
            return;
        }
        Ok(nested) => nested,
    };
    let proof = if nested.proven {
        "proven: nothing less will do".to_owned()
    } else {
        let gap = (nested.bought_length - nested.least_length).max(0.0);
        format!(
            "not proven: at most {} too much",
            units::format_feet(gap, shop)
        )
    };
    let _ = writeln!(
        out,
        "      buy {}, {}; {proof}",
        count(nested.bought_bars, "bar"),
        units::format_feet(nested.bought_length, shop)
    );
    for (k, bar) in nested.bars.iter().enumerate() {
        let (name, length) = n
            .bars
            .get(bar.stock)
            .map_or((None, 0.0), |(name, length)| (name.as_deref(), *length));
        let pieces: Vec<String> = bar
            .pieces
            .iter()
            .map(|p| {
                let tube = n.tubes.get(p.piece).copied().unwrap_or(0);
                let length = n.lengths.get(p.piece).copied().unwrap_or(0.0);
                format!(
                    "{} {} at {}",
                    id(b, tube),
                    fine(length, shop),
                    fine(p.start, shop)
                )
            })
            .collect();
        let _ = writeln!(
            out,
            "      bar {}, {} of {}: {}; {} left",
            k + 1,
            name.unwrap_or("usual bar"),
            units::format_feet(length, shop),
            pieces.join(", "),
            fine(bar.remnant, shop)
        );
    }
}
