//! Flat parts as DXF, read back by a library that knows nothing of this one.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

#[path = "placement/builds.rs"]
#[allow(dead_code)]
mod builds;

use build::{Assembly, Build, Holes, Node, Place, Plate};
use builds::sample;
use dxf::Drawing;
use dxf::entities::{Entity, EntityType};
use sheets::dxf::{FlatError, FlatPart, PartKind, Unit, file_name, flat_parts, to_dxf};
use units::{Angle, Length};

const UNITS: [Unit; 2] = [Unit::Millimetres, Unit::Inches];

fn load(text: &str) -> Drawing {
    Drawing::load(&mut std::io::Cursor::new(text.as_bytes())).expect("another library reads it")
}

fn per(unit: Unit) -> f64 {
    match unit {
        Unit::Millimetres => 1000.0,
        Unit::Inches => 1.0 / 0.0254,
    }
}

fn on<'a>(d: &'a Drawing, layer: &str) -> Vec<&'a Entity> {
    d.entities().filter(|e| e.common.layer == layer).collect()
}

/// Edges of the cut as pairs of ends, arcs by theirs.
fn edges(d: &Drawing) -> Vec<[[f64; 2]; 2]> {
    on(d, "CUT")
        .into_iter()
        .filter_map(|e| match &e.specific {
            EntityType::Line(l) => Some([[l.p1.x, l.p1.y], [l.p2.x, l.p2.y]]),
            EntityType::Arc(a) => {
                let at = |deg: f64| {
                    let (s, c) = deg.to_radians().sin_cos();
                    [a.center.x + a.radius * c, a.center.y + a.radius * s]
                };
                Some([at(a.start_angle), at(a.end_angle)])
            }
            _ => None,
        })
        .collect()
}

/// Follows the edges round: all of them, back to the first.
fn closed(edges: &[[[f64; 2]; 2]]) -> bool {
    let near = |a: [f64; 2], b: [f64; 2]| (a[0] - b[0]).hypot(a[1] - b[1]) < 1e-5;
    let mut left = edges.to_vec();
    let first = left.remove(0);
    let mut at = first[1];
    while !left.is_empty() {
        let Some(k) = left.iter().position(|e| near(e[0], at) || near(e[1], at)) else {
            return false;
        };
        let e = left.remove(k);
        at = if near(e[0], at) { e[1] } else { e[0] };
    }
    near(at, first[0])
}

fn words(d: &Drawing) -> String {
    on(d, "TEXT")
        .into_iter()
        .filter_map(|e| match &e.specific {
            EntityType::Text(t) => Some(t.value.clone()),
            _ => None,
        })
        .collect::<Vec<_>>()
        .join("\n")
}

fn part(b: &Build, id: &str) -> FlatPart {
    flat_parts(b).into_iter().find(|p| p.id == id).unwrap()
}

#[test]
fn brackets_read_back_as_they_are() {
    for name in ["redshank", "whimbrel"] {
        let b = sample(name);
        for bracket in &b.rear.brackets {
            let p = part(&b, &bracket.id);
            assert_eq!(p.kind, PartKind::Bracket);
            for unit in UNITS {
                let k = per(unit);
                let text = to_dxf(&p, unit).unwrap();
                assert!(text.contains("$ACADVER\r\n  1\r\nAC1009\r\n"));
                let d = load(&text);
                assert!(closed(&edges(&d)), "{name} {}", bracket.id);
                // Holes: as many, at drill size, as far apart as the build has them.
                let holes: Vec<([f64; 2], f64)> = on(&d, "CUT")
                    .into_iter()
                    .filter_map(|e| match &e.specific {
                        EntityType::Circle(c) => Some(([c.center.x, c.center.y], c.radius)),
                        _ => None,
                    })
                    .collect();
                assert_eq!(holes.len(), bracket.hole_count());
                for (i, (a, r)) in holes.iter().enumerate() {
                    assert!((2.0 * r - k * bracket.drill.si()).abs() < 1e-6);
                    for (j, (z, _)) in holes.iter().enumerate() {
                        let (p, q) = (
                            bracket.hole(i + 1).unwrap().si(),
                            bracket.hole(j + 1).unwrap().si(),
                        );
                        let want = k * (0..3).map(|n| (p[n] - q[n]).powi(2)).sum::<f64>().sqrt();
                        let got = (a[0] - z[0]).hypot(a[1] - z[1]);
                        assert!(
                            (got - want).abs() < 1e-5,
                            "{}: {got} for {want}",
                            bracket.id
                        );
                    }
                }
                // As wide as the build says; the extent in the head is the outline's.
                let all = edges(&d);
                let least = |n: usize| all.iter().flatten().map(|p| p[n]).fold(f64::MAX, f64::min);
                let most = |n: usize| all.iter().flatten().map(|p| p[n]).fold(f64::MIN, f64::max);
                if let Holes::Row { .. } = bracket.holes {
                    assert!((most(0) - least(0) - k * bracket.plate_width.si()).abs() < 1e-5);
                }
                let h = &d.header;
                for (head, own) in [
                    (h.minimum_drawing_extents.x, least(0)),
                    (h.minimum_drawing_extents.y, least(1)),
                    (h.maximum_drawing_extents.x, most(0)),
                    (h.maximum_drawing_extents.y, most(1)),
                ] {
                    assert!((head - own).abs() < 1e-5, "{head} {own}");
                }
                let said = words(&d);
                let full = unit.in_full().to_uppercase();
                assert!(said.contains(&format!("UNITS: {full}")), "{said}");
                assert!(file_name(&p, unit).ends_with(&format!("_{}.dxf", unit.name())));
                // Nothing but the layers named.
                assert!(
                    d.entities()
                        .all(|e| ["CUT", "MARK", "TEXT"].contains(&e.common.layer.as_str()))
                );
                assert_eq!(on(&d, "MARK").len(), 2 * holes.len());
            }
        }
    }
}

/// A plate with these corners.
fn plate(corners: &[[f64; 3]]) -> Build {
    let mut b = Build::empty("Plates");
    let names: Vec<String> = (0..corners.len()).map(|k| format!("p{k}")).collect();
    b.assembly = Assembly {
        nodes: corners
            .iter()
            .zip(&names)
            .map(|(at, id)| Node {
                id: id.clone(),
                at: Place::from_si(*at),
            })
            .collect(),
        plates: vec![Plate {
            id: "rib".into(),
            label: "Rib × 4 — left".into(),
            outline: names,
            thickness: Length::from_si(4.76e-3),
            material: "1018".into(),
        }],
        ..Assembly::default()
    };
    b
}

/// A point of a plane that stands askew in the car.
fn askew(u: f64, v: f64) -> [f64; 3] {
    let (s, c) = 0.7_f64.sin_cos();
    let (t, d) = 1.1_f64.sin_cos();
    // Two unit vectors square to each other: columns of a turn about z, then about x.
    let (a, b) = ([c, s * d, s * t], [-s, c * d, c * t]);
    [0, 1, 2].map(|i| 0.4 * (i as f64) + u * a[i] + v * b[i])
}

#[test]
fn a_plate_is_laid_flat_at_its_size() {
    // An L of 5 corners inwards: edges and area known.
    let flat = [
        [0.0, 0.0],
        [0.3, 0.0],
        [0.3, 0.05],
        [0.1, 0.05],
        [0.1, 0.2],
        [0.0, 0.2],
    ];
    let b = plate(&flat.map(|[u, v]| askew(u, v)));
    let p = part(&b, "rib");
    for unit in UNITS {
        let k = per(unit);
        let d = load(&to_dxf(&p, unit).unwrap());
        let e = edges(&d);
        assert_eq!(e.len(), 6);
        assert!(closed(&e));
        for (i, edge) in e.iter().enumerate() {
            let (p, q) = (flat[i], flat[(i + 1) % 6]);
            let want = k * (p[0] - q[0]).hypot(p[1] - q[1]);
            let got = (edge[0][0] - edge[1][0]).hypot(edge[0][1] - edge[1][1]);
            assert!((got - want).abs() < 1e-5, "{got} {want}");
        }
        let area: f64 = e
            .iter()
            .map(|[a, b]| 0.5 * (a[0] * b[1] - b[0] * a[1]))
            .sum();
        assert!((area.abs() - k * k * 0.03).abs() < 1e-3 * k, "{area}");
        let said = words(&d);
        assert!(said.contains("plate Rib x 4 - left, cut 1"), "{said}");
        assert!(said.contains("not trimmed to the tubes"), "{said}");
    }
    assert_eq!(file_name(&p, Unit::Millimetres), "plate-rib_mm.dxf");
}

#[test]
fn what_is_no_flat_part_says_why() {
    let square = [[0.0, 0.0], [0.2, 0.0], [0.2, 0.2], [0.0, 0.2]];
    let why = |b: &Build| part(b, "rib").shape.unwrap_err();
    let mut corners = square.map(|[u, v]| askew(u, v));
    corners[2][2] += 4e-3;
    let b = plate(&corners);
    match why(&b) {
        // Lifted by h out of the plane, a square's corners stand h/4 off the plane that serves all four.
        FlatError::NotFlat { off, .. } => {
            let lifted = 4e-3 * 1.1_f64.cos();
            assert!((off - 0.25 * lifted).abs() < 0.02e-3, "{off}");
        }
        e => panic!("{e}"),
    }
    assert!(to_dxf(&part(&b, "rib"), Unit::Inches).is_err());
    // A hair off is flat.
    let mut corners = square.map(|[u, v]| askew(u, v));
    corners[2][2] += 1e-4;
    part(&plate(&corners), "rib").shape.unwrap();
    // Crossed like a bow tie, and one that crosses with an area left.
    let bow = [[0.0, 0.0], [0.2, 0.2], [0.2, 0.0], [0.0, 0.2]].map(|[u, v]| askew(u, v));
    assert!(
        matches!(why(&plate(&bow)), FlatError::Crosses { .. }),
        "{}",
        why(&plate(&bow))
    );
    let loops = [[0.0, 0.0], [0.4, 0.0], [0.4, 0.3], [0.1, -0.05]].map(|[u, v]| askew(u, v));
    assert!(matches!(why(&plate(&loops)), FlatError::Crosses { .. }));
    let line = [[0.0, 0.0], [0.1, 0.0], [0.3, 0.0]].map(|[u, v]| askew(u, v));
    assert!(matches!(why(&plate(&line)), FlatError::OnOneLine));
    let two = [[0.0, 0.0], [0.1, 0.0]].map(|[u, v]| askew(u, v));
    assert!(matches!(why(&plate(&two)), FlatError::TooFewCorners(2)));
    let same = [[0.0, 0.0], [0.1, 0.0], [0.1, 0.0], [0.0, 0.1]].map(|[u, v]| askew(u, v));
    assert!(matches!(why(&plate(&same)), FlatError::SamePlace { .. }));
    let mut b = plate(&square.map(|[u, v]| askew(u, v)));
    b.assembly.nodes.pop();
    assert!(matches!(why(&b), FlatError::NoNode(id) if id == "p3"));
    let mut b = plate(&square.map(|[u, v]| askew(u, v)));
    b.assembly.nodes[1].at = Place::from_si([f64::NAN, 0.0, 0.0]);
    assert!(matches!(why(&b), FlatError::NotUsable));

    // Brackets.
    let red = sample("redshank");
    let first = red.rear.brackets[0].id.clone();
    let with = |edit: &dyn Fn(&mut build::Bracket)| {
        let mut b = red.clone();
        edit(&mut b.rear.brackets[0]);
        part(&b, &first).shape
    };
    let wide = with(&|x| x.drill = Length::from_si(0.5));
    assert!(matches!(wide, Err(FlatError::OverEdge { .. })), "{wide:?}");
    let close = with(&|x| {
        x.holes = Holes::Row {
            count: 3,
            pitch: Length::from_si(1e-3),
            lean: Angle::default(),
        };
    });
    assert!(
        matches!(
            close,
            Err(FlatError::HolesMeet {
                first: 1,
                second: 2
            })
        ),
        "{close:?}"
    );
}
