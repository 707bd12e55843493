//! What stands around the rear wheels, as bodies, and which pairs are watched.

use geometry::{Point3, Vector3};
use vehicle::STANDARD_GRAVITY;
use vehicle::packaging::{
    self, Attached, BarEnd, Obstacle, PackagingError, Rail, Side as At, Tyre,
};

use super::super::{Part, RearStudy, launch, rail};
use crate::{Build, LinkStock, MockUp, NearWheel, Section};

/// Something in the way of a tyre.
#[derive(Debug, Clone, PartialEq)]
pub struct InTheWay {
    /// What the shop calls it.
    pub label: String,
    /// Short name.
    pub id: String,
    /// Its side; none in the middle.
    pub side: Option<At>,
    /// What a click jumps to.
    pub part: Part,
    /// What it is.
    pub kind: Kind,
    /// Its body.
    pub obstacle: Obstacle,
}

/// What sort of thing is in the way.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Frame rail.
    Rail,
    /// Part of the body.
    Body,
    /// Link or lateral bar.
    Link,
    /// Coil-over.
    Coil,
    /// Axle tube.
    Tube,
}

/// Names of a pair, and whether a tyre is one of the two.
pub(super) struct PairOf {
    pub id: String,
    pub label: String,
    pub part: Part,
    pub of_tyre: bool,
}

/// A pair of bodies that is watched.
pub(super) struct Watched {
    pub pair: [packaging::Part; 2],
    pub of: PairOf,
}

/// In the words of a shop.
pub(super) fn words(e: &PackagingError) -> String {
    e.to_string()
}

pub(super) fn tyre(b: &Build, m: &MockUp) -> Tyre {
    let t = &m.tyre;
    let free = 0.5 * t.rim.si() + t.nominal.si() * t.aspect.si();
    Tyre {
        nominal_width: t.nominal.si(),
        aspect: t.aspect.si(),
        rim_diameter: t.rim.si(),
        section_width: t.section.si(),
        measuring_rim_width: t.measuring_rim.si(),
        load: 0.5 * b.car.mass.si() * STANDARD_GRAVITY * b.car.rear_share.si(),
        radial_rate: t.rate.si(),
        growth_width: t.wider.si(),
        growth_radius: t.taller.si() * free,
        measured_loaded_radius: Some(b.car.rear.loaded_radius.si()),
        measured_rolling_radius: Some(b.run.rolling_radius.si()),
    }
}

/// Everything in the way, both sides.
pub(super) fn in_the_way(b: &Build, m: &MockUp, rear: &RearStudy) -> Vec<InTheWay> {
    let mut out = Vec::new();
    rails(b, m, &mut out);
    body(m, &mut out);
    for rod in &rear.rods {
        let link = &b.rear.links[rod.link];
        // Without its stock a link is taken twice as thick as its thread.
        let radius = link
            .stock
            .as_ref()
            .map_or(link.rod_end.thread.si(), stock_radius);
        out.push(bar(
            (&link.id, &link.label),
            Part::Link(link.id.clone()),
            Kind::Link,
            (rod.frame, rod.axle),
            radius,
        ));
    }
    for c in launch::coilovers(b, rear) {
        let x = &b.power.coilovers[c.coilover];
        out.push(bar(
            (&x.id, &x.label),
            Part::Coilover(x.id.clone()),
            Kind::Coil,
            (c.frame, c.axle),
            0.5 * m.spring_outside.si(),
        ));
    }
    tubes(b, &mut out);
    out
}

fn stock_radius(s: &LinkStock) -> f64 {
    0.5 * match s.section {
        Section::Tube { outside, .. } => outside.si(),
        Section::Solid { diameter } => diameter.si(),
    }
}

/// The side a bar stands on wholly; none where it crosses the middle. What a drawing calls left may
/// have been drawn on the right.
fn side_of(frame: [f64; 3], axle: [f64; 3]) -> Option<At> {
    match (frame[1].signum(), axle[1].signum()) {
        (a, b) if a != b => None,
        (a, _) if a < 0.0 => Some(At::Right),
        _ => Some(At::Left),
    }
}

fn bar(
    (id, label): (&str, &str),
    part: Part,
    kind: Kind,
    (frame, axle): ([f64; 3], [f64; 3]),
    radius: f64,
) -> InTheWay {
    InTheWay {
        label: label.to_owned(),
        id: id.to_owned(),
        side: side_of(frame, axle),
        part,
        kind,
        obstacle: Obstacle::Bar {
            a: BarEnd {
                point: Point3::from(frame),
                on: Attached::Frame,
            },
            b: BarEnd {
                point: Point3::from(axle),
                on: Attached::Axle,
            },
            radius,
        },
    }
}

/// The stretches of the rails within reach of a tyre: beyond its radius, its travel and a foot.
fn rails(b: &Build, m: &MockUp, out: &mut Vec<InTheWay>) {
    let reach = 0.5 * b.car.rear.tyre_diameter.si() + m.bump.si() + 0.3048;
    for stretch in rail::stretches(&b.frame, 0.0, reach) {
        for (side, sign) in [(At::Left, 1.0), (At::Right, -1.0)] {
            let mut centre = stretch.centre;
            centre.y *= sign;
            out.push(InTheWay {
                label: "frame rail".to_owned(),
                id: "rail".to_owned(),
                side: Some(side),
                part: Part::Field("frame.offset"),
                kind: Kind::Rail,
                obstacle: Obstacle::Box {
                    centre,
                    half: stretch.half,
                    axes: stretch.axes,
                    on: Attached::Frame,
                },
            });
        }
    }
}

fn body(m: &MockUp, out: &mut Vec<InTheWay>) {
    for x in m.body.iter().filter(|x| x.near == NearWheel::Rear) {
        let (from, to) = (Point3::from(x.from.si()), Point3::from(x.to.si()));
        for (side, sign) in [(At::Left, 1.0), (At::Right, -1.0)] {
            let mut centre = nalgebra::center(&from, &to);
            centre.y *= sign;
            let half = (to - from) * 0.5;
            out.push(InTheWay {
                label: x.label.clone(),
                id: x.id.clone(),
                side: Some(side),
                part: Part::Body(x.id.clone()),
                kind: Kind::Body,
                obstacle: Obstacle::Box {
                    centre,
                    half: [half.x, half.y, half.z],
                    axes: [Vector3::x(), Vector3::y(), Vector3::z()],
                    on: Attached::Frame,
                },
            });
        }
    }
}

/// The axle tubes, from the centre section out to the housing's ends.
fn tubes(b: &Build, out: &mut Vec<InTheWay>) {
    let h = &b.rear.housing;
    let (end, z) = (0.5 * h.width.si(), b.car.rear.loaded_radius.si());
    let inner = (0.5 * h.centre_diameter.si()).min(0.5 * end);
    for (side, sign) in [(At::Left, 1.0), (At::Right, -1.0)] {
        let at = |y: f64| BarEnd {
            point: Point3::new(0.0, sign * y, z),
            on: Attached::Axle,
        };
        out.push(InTheWay {
            label: "axle tube".to_owned(),
            id: "tube".to_owned(),
            side: Some(side),
            part: Part::Field("rear.housing.tube_diameter"),
            kind: Kind::Tube,
            obstacle: Obstacle::Bar {
                a: at(inner),
                b: at(end),
                radius: 0.5 * h.tube_diameter.si(),
            },
        });
    }
}

/// Which pairs are watched: each tyre with what stands on its side or in the middle, and what
/// swings with the axle against the body; coil-overs against links. What is bolted together is
/// left out, and the axle tube under the rail, which the bump stop answers for.
pub(super) fn watched(parts: &[InTheWay]) -> Vec<Watched> {
    let mut out = Vec::new();
    let lower = |s: &str| {
        let mut c = s.chars();
        c.next().map_or_else(String::new, |f| {
            f.to_lowercase().collect::<String>() + c.as_str()
        })
    };
    for (i, p) in parts.iter().enumerate() {
        if p.kind == Kind::Tube {
            continue;
        }
        for side in [At::Left, At::Right] {
            if p.side.is_none_or(|s| s == side) {
                out.push(Watched {
                    pair: [packaging::Part::Tyre(side), packaging::Part::Obstacle(i)],
                    of: PairOf {
                        id: format!("tyre.{}", p.id),
                        label: format!("Tyre to {}", lower(&p.label)),
                        part: p.part.clone(),
                        of_tyre: true,
                    },
                });
            }
        }
    }
    for (i, p) in parts.iter().enumerate() {
        for (k, q) in parts.iter().enumerate() {
            let against = matches!(
                (p.kind, q.kind),
                (Kind::Tube | Kind::Link | Kind::Coil, Kind::Body) | (Kind::Coil, Kind::Link)
            );
            let same = p.side.is_none() || q.side.is_none() || p.side == q.side;
            if against && same {
                out.push(Watched {
                    pair: [packaging::Part::Obstacle(i), packaging::Part::Obstacle(k)],
                    of: PairOf {
                        id: format!("{}.{}", p.id, q.id),
                        label: format!(
                            "{} to {}",
                            super::super::advice::capital(&p.label),
                            lower(&q.label)
                        ),
                        part: q.part.clone(),
                        of_tyre: false,
                    },
                });
            }
        }
    }
    out
}

/// The rail over the axle tube on a side (+1 left); none where no rail runs there.
pub(super) fn rail_over_axle(b: &Build, sign: f64) -> Option<Rail> {
    let f = &b.frame;
    let span = f
        .line
        .windows(2)
        .find(|p| p[0].0.si() <= 0.0 && p[1].0.si() >= 0.0)?;
    let ([x0, z0], [x1, z1]) = (
        [span[0].0.si(), span[0].1.si()],
        [span[1].0.si(), span[1].1.si()],
    );
    let share = if x1 > x0 { -x0 / (x1 - x0) } else { 0.0 };
    Some(Rail {
        edges: [sign * f.offset.si(), sign * (f.offset.si() + f.width.si())],
        underside: z0 + share * (z1 - z0),
        height: f.depth.si(),
    })
}
