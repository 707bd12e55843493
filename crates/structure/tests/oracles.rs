//! Random frames against PyNite and scipy: `tests/oracles/frames.py` wrote the fixture.
#![allow(clippy::unwrap_used, clippy::panic, missing_docs)]

#[allow(dead_code, reason = "shared by several tests")]
mod common;

use nalgebra::Vector3;
use serde_json::Value;
use structure::section::Properties;
use structure::{Frame, Load, Member, Options, Pins, RigidLink, Section, Supports, Symbolic, rig};

fn numbers(v: &Value) -> Vec<f64> {
    v.as_array()
        .unwrap()
        .iter()
        .map(|x| x.as_f64().unwrap())
        .collect()
}

fn index(v: &Value) -> usize {
    usize::try_from(v.as_u64().unwrap()).unwrap()
}

fn three(v: &[f64]) -> Vector3<f64> {
    Vector3::new(v[0], v[1], v[2])
}

#[test]
fn random_frames() {
    let text = include_str!("fixtures/frames.json");
    let all: Value = serde_json::from_str(text).unwrap();
    let rows = |v: &Value| v.as_array().unwrap().clone();
    assert_eq!(rows(&all).len(), 8);
    for (number, f) in rows(&all).iter().enumerate() {
        let frame = Frame {
            nodes: rows(&f["nodes"])
                .iter()
                .map(|p| three(&numbers(p)))
                .collect(),
            members: rows(&f["members"])
                .iter()
                .map(|m| {
                    let s = numbers(&m["section"]);
                    let section = Properties {
                        area: s[0],
                        i_y: s[1],
                        i_z: s[2],
                        j: s[3],
                        shear_y: s[4],
                        shear_z: s[5],
                    };
                    let section = Section::raw(section, 0.02, 0.02).unwrap();
                    let mut member = Member::new(index(&m["i"]), index(&m["j"]), section);
                    member.roll = m["roll"].as_f64().unwrap();
                    member.pins = match m["pins"].as_str().unwrap() {
                        "i" => Pins::I,
                        "j" => Pins::J,
                        "both" => Pins::Both,
                        _ => Pins::None,
                    };
                    member
                })
                .collect(),
            rigid_links: rows(&f["links"])
                .iter()
                .map(|l| RigidLink {
                    slave: index(&l[0]),
                    master: index(&l[1]),
                })
                .collect(),
            options: Options {
                shear: f["shear"].as_bool().unwrap(),
                bend_flexibility: true,
            },
        };
        let supports = rows(&f["supports"]).iter().fold(Supports::new(), |s, one| {
            s.hold(index(&one[0]), one[1].as_str().unwrap())
        });
        let loads: Vec<Load> = rows(&f["loads"])
            .iter()
            .map(|l| {
                let v = numbers(&l[1]);
                Load {
                    node: index(&l[0]),
                    force: three(&v),
                    moment: three(&v[3..]),
                }
            })
            .collect();
        let factored = Symbolic::new(&frame, &supports)
            .unwrap()
            .factor(&frame)
            .unwrap();
        let got = factored.solve(&loads).unwrap();
        let want: Vec<Vec<f64>> = rows(&f["displacements"]).iter().map(numbers).collect();
        for part in [0..3, 3..6] {
            let largest = want
                .iter()
                .flat_map(|d| &d[part.clone()])
                .fold(0.0_f64, |m, x| m.max(x.abs()));
            for (node, (d, w)) in got.displacements.iter().zip(&want).enumerate() {
                for k in part.clone() {
                    assert!(
                        (d[k] - w[k]).abs() < 1e-8 * largest,
                        "frame {number} node {node} freedom {k}: {} and {}",
                        d[k],
                        w[k]
                    );
                }
            }
        }
    }
}

/// Twist of the benched frames without shear, from the same script.
#[test]
fn finely_divided_boxes() {
    for (stations, want) in [(5, 925_735.691_294), (20, 483_346.858_146)] {
        let mut frame = common::box_frame(stations, 7);
        frame.options.shear = false;
        let tested = rig::run(&frame, common::box_twist(stations)).unwrap();
        assert!(
            (tested.stiffness - want).abs() < 1e-8 * want,
            "{} and {want}",
            tested.stiffness
        );
    }
}
