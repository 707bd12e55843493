//! Readings of the brakes.

use units::{Kind, Shop, System};

use super::{Definition, OURS, PLAIN};

const CHAIN: &str = "Limpert, Brake Design and Safety, ch. 5 and 7 (from memory)";
const VALVES: &str =
    "2 psi for discs below the fluid, 10 psi for drums: common practice, no source";
const STROKE: &str =
    "Volumes of clearance, flex, hoses (SAE J1401 limits, from memory) and fluid over the bores";

/// A rise of temperature: no zero to shift.
fn rise(kelvin: f64, shop: &Shop) -> String {
    match shop.system {
        System::InchPound => format!("{:.0} °F", kelvin * 1.8),
        System::Si => format!("{kelvin:.0} °C"),
    }
}

/// A distance along the road.
fn road(metres: f64, shop: &Shop) -> String {
    match shop.system {
        System::InchPound => format!("{:.0} ft", metres / 0.3048),
        System::Si => format!("{metres:.1} m"),
    }
}

/// A pressure of a few psi.
fn low(pascal: f64, shop: &Shop) -> String {
    if pascal == 0.0 {
        return units::format(Kind::Pressure, 0.0, shop);
    }
    crate::study::show_to(Kind::Pressure, pascal, pascal, shop)
}

pub(super) const BRAKES: [Definition; 23] = [
    Definition {
        id: "brakes.pressure.front",
        label: "Front pressure",
        kind: Kind::Pressure,
        meaning: "Pressure at the front wheels at the foot force looked at.",
        formula: "max(0, F · R · η · booster · share − spring) / A · η, behind the valves",
        source: CHAIN,
        ..PLAIN
    },
    Definition {
        id: "brakes.pressure.rear",
        label: "Rear pressure",
        kind: Kind::Pressure,
        meaning: "Pressure at the rear wheels at the foot force looked at.",
        formula: "max(0, F · R · η · booster · share − spring) / A · η, behind the valves",
        source: CHAIN,
        ..PLAIN
    },
    Definition {
        id: "brakes.demand",
        label: "Braking asked for",
        kind: Kind::Acceleration,
        meaning: "Deceleration the brakes make at the foot force looked at, if the tyres hold.",
        formula: "g · (F front + F rear) / W, F = 2T/r of each axle",
        source: CHAIN,
        remedy: (
            "fit a smaller master bore or a longer pedal ratio",
            "fit a larger master bore or a shorter pedal ratio",
        ),
        ..PLAIN
    },
    Definition {
        id: "brakes.unassisted",
        label: "Braking without assist",
        kind: Kind::Acceleration,
        meaning: "The same with no vacuum in the booster.",
        formula: "g · (F front + F rear) / W with the push of the foot alone",
        source: CHAIN,
        remedy: (
            "fit a longer pedal ratio or a smaller master bore",
            "take what it gives",
        ),
        ..PLAIN
    },
    Definition {
        id: "brakes.front_share",
        label: "Front brake share",
        kind: Kind::Ratio,
        meaning: "Share of the brake force that the front axle makes at the foot force looked at.",
        formula: "F front / (F front + F rear)",
        source: CHAIN,
        remedy: (
            "move brake force to the front",
            "move brake force to the rear",
        ),
        ..PLAIN
    },
    Definition {
        id: "brakes.first_lock.pedal",
        label: "Pedal at first lock",
        kind: Kind::Force,
        meaning: "Foot force at which the first axle locks on the best surface looked at (the car's tyre friction where none is listed).",
        formula: "least F with F axle = μ · N axle",
        source: CHAIN,
        remedy: (
            "fit a larger master bore or a shorter pedal ratio",
            "fit a smaller master bore, a longer pedal ratio or a booster",
        ),
        ..PLAIN
    },
    Definition {
        id: "brakes.first_lock.rate",
        label: "Braking at first lock",
        kind: Kind::Acceleration,
        meaning: "Deceleration at which the first axle locks there: more than that and the car slides.",
        formula: "g · z, z = (F front + F rear) / W",
        source: CHAIN,
        remedy: (
            "bring the balance nearer to the ideal curve",
            "take what it gives",
        ),
        ..PLAIN
    },
    Definition {
        id: "brakes.efficiency",
        label: "Tyre grip used",
        kind: Kind::Ratio,
        meaning: "Share of the grip of both axles that is used when the first one locks.",
        formula: "z / μ at first lock",
        source: CHAIN,
        remedy: ("bring the balance nearer to the ideal curve", ""),
        ..PLAIN
    },
    Definition {
        id: "brakes.rear_first",
        label: "Rear locks first from",
        kind: Kind::Acceleration,
        meaning: "Least deceleration from which the rear axle would lock before the front: there the car spins. No value is what is wanted.",
        formula: "least z below μ with F rear / N rear > F front / N front",
        source: CHAIN,
        remedy: ("take brake force off the rear", ""),
        ..PLAIN
    },
    Definition {
        id: "brakes.pedal_travel",
        label: "Pedal travel",
        meaning: "How far the pad goes down at first lock.",
        formula: "R · Σ (dead stroke + V / A) of the pistons",
        source: STROKE,
        remedy: ("", "stiffen what gives, or fit a larger bore"),
        ..PLAIN
    },
    Definition {
        id: "brakes.stroke_share",
        label: "Pedal travel used",
        kind: Kind::Ratio,
        meaning: "Share of the pedal's travel used at first lock; more than two thirds leaves too little for hot brakes.",
        formula: "pedal travel / travel to the stop",
        source: "Two thirds: common practice, no source",
        band: Some((0.0, 2.0 / 3.0)),
        remedy: ("", "stiffen what gives, or fit a larger bore"),
        ..PLAIN
    },
    Definition {
        id: "brakes.residual.front",
        label: "Front residual",
        kind: Kind::Pressure,
        meaning: "Pressure all residual valves of the front line hold together.",
        formula: "Σ ratings: in series they add",
        source: VALVES,
        shown: Some(low),
        ..PLAIN
    },
    Definition {
        id: "brakes.residual.rear",
        label: "Rear residual",
        kind: Kind::Pressure,
        meaning: "Pressure all residual valves of the rear line hold together.",
        formula: "Σ ratings: in series they add",
        source: VALVES,
        shown: Some(low),
        ..PLAIN
    },
    Definition {
        id: "brakes.valves.front",
        label: "Front residual valves",
        kind: Kind::Count,
        meaning: "Residual valves on the way to the front wheels, those built into master or combination valve too: never more than one.",
        formula: "count",
        source: VALVES,
        band: Some((0.0, 1.0)),
        remedy: ("", "leave one only"),
        ..PLAIN
    },
    Definition {
        id: "brakes.valves.rear",
        label: "Rear residual valves",
        kind: Kind::Count,
        meaning: "Residual valves on the way to the rear wheels, those built into master or combination valve too: never more than one.",
        formula: "count",
        source: VALVES,
        band: Some((0.0, 1.0)),
        remedy: ("", "leave one only"),
        ..PLAIN
    },
    Definition {
        id: "brakes.return_least",
        label: "Least pedal return",
        kind: Kind::Force,
        meaning: "Least force at the pad that brings the pedal back, over its travel; below zero it sticks.",
        formula: "least (Σ spring torques − friction) / pad radius",
        source: OURS,
        remedy: ("fit a stronger return spring", ""),
        ..PLAIN
    },
    Definition {
        id: "brakes.return_margin",
        label: "Pedal return margin",
        kind: Kind::Count,
        meaning: "What brings the pedal back over the friction that holds it, at its least over the travel.",
        formula: "least Σ spring torques / Σ friction torques",
        source: "1.5 asked: common practice, no source",
        band: Some((1.5, 1000.0)),
        remedy: ("fit a stronger return spring, or take friction out", ""),
        ..PLAIN
    },
    Definition {
        id: "brakes.parking.up",
        label: "Parks nose up to",
        kind: Kind::Slope,
        meaning: "Steepest grade the parking brake holds with the nose up, at the lever force looked at.",
        formula: "least of sin γ = ΣT/(r W) and tan γ = μ a/(L − μ h)",
        source: "Statics; 20 % asked by UN ECE R13-H (from memory)",
        remedy: ("gear the lever lower", ""),
        ..PLAIN
    },
    Definition {
        id: "brakes.parking.down",
        label: "Parks nose down to",
        kind: Kind::Slope,
        meaning: "Steepest grade the parking brake holds with the nose down: the rear tyres carry less there.",
        formula: "least of sin γ = ΣT/(r W) and tan γ = μ a/(L + μ h)",
        source: "Statics; 20 % asked by UN ECE R13-H (from memory)",
        remedy: ("gear the lever lower", ""),
        ..PLAIN
    },
    Definition {
        id: "brakes.parking.force",
        label: "Lever force needed",
        kind: Kind::Force,
        meaning: "Force at the parking lever that holds the car on the grade asked, the worse way round.",
        formula: "W sin γ · r / torque per lever force",
        source: "Statics; 400 N by hand, 500 N by foot at most: UN ECE R13-H (from memory)",
        remedy: ("", "gear the lever lower"),
        ..PLAIN
    },
    Definition {
        id: "brakes.rotor_rise.front",
        label: "Front rotor warms by",
        kind: Kind::Temperature,
        meaning: "Mean rise of a front rotor in the stop looked at; no cooling, no fade.",
        formula: "½ m k v² · share / 2 / (m rotor · 480 J/kg K)",
        source: "Limpert, Brake Design and Safety, ch. 3 (from memory)",
        shown: Some(rise),
        remedy: ("", "fit a heavier rotor"),
        ..PLAIN
    },
    Definition {
        id: "brakes.rotor_rise.rear",
        label: "Rear rotor warms by",
        kind: Kind::Temperature,
        meaning: "Mean rise of a rear rotor in the stop looked at; no cooling, no fade.",
        formula: "½ m k v² · share / 2 / (m rotor · 480 J/kg K)",
        source: "Limpert, Brake Design and Safety, ch. 3 (from memory)",
        shown: Some(rise),
        remedy: ("", "fit a heavier rotor"),
        ..PLAIN
    },
    Definition {
        id: "brakes.stop_distance",
        label: "Stopping distance",
        meaning: "Way from seeing it to standing, for the stop looked at.",
        formula: "v² / (2 z g) + v · reaction time",
        shown: Some(road),
        remedy: ("", "look at a harder stop, if the tyres hold it"),
        ..PLAIN
    },
];
