//! The brakes as a person follows them with a finger: every part in its line, from pedal to wheel.

use units::Kind;

use super::Phrase;
use crate::{AxleBrake, BrakeKind, Brakes, HoseKind, Masters, ValvePlace};

/// Every part in its line.
#[derive(Debug, Clone, PartialEq)]
pub struct Circuit {
    /// What both lines share, from the pedal on; the masters are the last of it.
    pub shared: Vec<CircuitPart>,
    /// From the master to the front wheels.
    pub front: Vec<CircuitPart>,
    /// From the master to the rear wheels.
    pub rear: Vec<CircuitPart>,
    /// The cable to the rear wheels, where there is a parking brake.
    pub parking: Option<CircuitPart>,
}

/// A part of the circuit.
#[derive(Debug, Clone, PartialEq)]
pub struct CircuitPart {
    /// What it is.
    pub kind: CircuitKind,
    /// Path of its fields.
    pub path: &'static str,
    /// What the shop calls it.
    pub label: String,
    /// Its size in a few words.
    pub size: Phrase,
}

/// What a part of the circuit is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum CircuitKind {
    /// Pedal.
    Pedal,
    /// Vacuum booster.
    Booster,
    /// Balance bar.
    BalanceBar,
    /// One master, one chamber.
    SingleMaster,
    /// One master, two chambers.
    TandemMaster,
    /// Master of the front line.
    FrontMaster,
    /// Master of the rear line.
    RearMaster,
    /// Residual pressure valve: which of its axle's.
    ResidualValve(usize),
    /// Proportioning valve.
    ProportioningValve,
    /// Hoses of the axle.
    Hoses,
    /// Calipers and discs.
    Disc,
    /// Wheel cylinders and drums.
    Drum,
    /// Parking lever with its cable.
    ParkingLever,
}

impl Circuit {
    /// The lines with their names, front first.
    pub fn lines(&self) -> [(&'static str, &[CircuitPart]); 2] {
        [("front", &self.front), ("rear", &self.rear)]
    }

    /// Every part.
    pub fn parts(&self) -> impl Iterator<Item = &CircuitPart> {
        let lines = self.front.iter().chain(&self.rear);
        self.shared.iter().chain(lines).chain(&self.parking)
    }
}

pub(super) fn circuit(b: &Brakes) -> Circuit {
    let mut shared = vec![CircuitPart {
        kind: CircuitKind::Pedal,
        path: "brakes.pedal",
        label: "Pedal".to_owned(),
        size: Phrase::default()
            .q(Kind::Count, b.pedal.ratio.si())
            .t(" : 1"),
    }];
    if let Some(x) = &b.booster {
        shared.push(CircuitPart {
            kind: CircuitKind::Booster,
            path: "brakes.booster",
            label: "Booster".to_owned(),
            size: Phrase::default()
                .len(x.diameter.si())
                .t(if x.diaphragms > 1 { " in tandem" } else { "" }),
        });
    }
    let bore = |kind, label: &str, bore: units::Length| CircuitPart {
        kind,
        path: "brakes.masters",
        label: label.to_owned(),
        size: Phrase::default().kept(bore.si()).t(" bore"),
    };
    match b.masters {
        Masters::Single { bore: d, .. } => {
            shared.push(bore(CircuitKind::SingleMaster, "Single master", d));
        }
        Masters::Tandem { bore: d, .. } => {
            shared.push(bore(CircuitKind::TandemMaster, "Tandem master", d));
        }
        Masters::Twin {
            front_bore,
            rear_bore,
            bar,
            offset,
            ..
        } => {
            let off = offset.si();
            shared.push(CircuitPart {
                kind: CircuitKind::BalanceBar,
                path: "brakes.masters",
                label: "Balance bar".to_owned(),
                size: Phrase::default()
                    .q(Kind::Ratio, 0.5 + off / bar.si())
                    .t(" to the front"),
            });
            shared.push(bore(CircuitKind::FrontMaster, "Front master", front_bore));
            shared.push(bore(CircuitKind::RearMaster, "Rear master", rear_bore));
        }
    }
    Circuit {
        shared,
        front: line(
            &b.front,
            [
                "brakes.front.valves",
                "brakes.front.proportioning",
                "brakes.front.hoses",
                "brakes.front.brake",
            ],
        ),
        rear: line(
            &b.rear,
            [
                "brakes.rear.valves",
                "brakes.rear.proportioning",
                "brakes.rear.hoses",
                "brakes.rear.brake",
            ],
        ),
        parking: b.parking.as_ref().map(|p| CircuitPart {
            kind: CircuitKind::ParkingLever,
            path: "brakes.parking",
            label: if p.foot {
                "Parking pedal"
            } else {
                "Parking lever"
            }
            .to_owned(),
            size: Phrase::default().q(Kind::Count, p.lever.si()).t(" : 1"),
        }),
    }
}

/// A master's outlet comes first, then the line, then a combination valve with its proportioning part.
fn line(
    x: &AxleBrake,
    [valves, proportioning, hoses, brake]: [&'static str; 4],
) -> Vec<CircuitPart> {
    let mut out = Vec::new();
    for place in [
        ValvePlace::MasterOutlet,
        ValvePlace::Line,
        ValvePlace::CombinationValve,
    ] {
        for (i, v) in x.valves.iter().enumerate().filter(|(_, v)| v.at == place) {
            out.push(CircuitPart {
                kind: CircuitKind::ResidualValve(i),
                path: valves,
                label: match place {
                    ValvePlace::MasterOutlet => "Residual valve, in the outlet",
                    ValvePlace::Line => "Residual valve",
                    ValvePlace::CombinationValve => "Residual valve, combination",
                }
                .to_owned(),
                size: Phrase::default().small(Kind::Pressure, v.holds.si()),
            });
        }
    }
    if let Some(p) = &x.proportioning {
        out.push(CircuitPart {
            kind: CircuitKind::ProportioningValve,
            path: proportioning,
            label: "Proportioning valve".to_owned(),
            size: Phrase::from("from ").q(Kind::Pressure, p.knee.si()),
        });
    }
    if !x.hoses.is_empty() {
        let low = x.hoses.iter().all(|h| h.kind == HoseKind::LowExpansion);
        let n = x.hoses.len();
        out.push(CircuitPart {
            kind: CircuitKind::Hoses,
            path: hoses,
            label: if n == 1 { "Hose" } else { "Hoses" }.to_owned(),
            size: Phrase::from(format!("{n} × "))
                .len(x.hoses.iter().map(|h| h.length.si()).sum::<f64>() / n as f64)
                .t(if low { ", low expansion" } else { "" }),
        });
    }
    out.push(match &x.brake {
        BrakeKind::Disc(d) => CircuitPart {
            kind: CircuitKind::Disc,
            path: brake,
            label: "Calipers".to_owned(),
            size: Phrase::from(format!("{} × ", d.pistons_one_side)).kept(d.piston.si()),
        },
        BrakeKind::Drum(d) => CircuitPart {
            kind: CircuitKind::Drum,
            path: brake,
            label: "Wheel cylinders".to_owned(),
            size: Phrase::default().kept(d.cylinder.si()),
        },
    });
    out
}
