//! Readings of the frame.

use units::Kind;

use super::{Definition, PLAIN};

const BEAMS: &str = "Linear elastic space frame: Przemieniecki, Theory of Matrix Structural Analysis; shear areas Cowper, J. Appl. Mech. 33 (1966); bends von Kármán 1911 (from memory)";

pub(super) const FRAME: [Definition; 5] = [
    Definition {
        id: "frame.twist_stiffness",
        label: "Twist stiffness",
        kind: Kind::RollStiffness,
        meaning: "Torque that twists the frame by one degree between the nodes held at the rear and the nodes loaded at the front. The rear is held without strain. Joints taken as rigid.",
        formula: "T / (φ front − φ rear), φ = (z left − z right) / (y left − y right) of displacements",
        source: BEAMS,
        remedy: (
            "add a brace out of the plane, close the soft bay, or thicken the tubes that gain most per weight",
            "take weight off the tubes that gain least",
        ),
        ..PLAIN
    },
    Definition {
        id: "frame.twist_stiffness.clamped",
        label: "Twist, rear clamped",
        kind: Kind::RollStiffness,
        meaning: "The same with the rear nodes clamped in all six ways: another, stiffer test. Compare it only with a frame that was clamped.",
        formula: "T / (φ front − φ rear) with the rear nodes held in x, y, z and all turns",
        source: BEAMS,
        remedy: (
            "add a brace out of the plane, close the soft bay, or thicken the tubes that gain most per weight",
            "take weight off the tubes that gain least",
        ),
        ..PLAIN
    },
    Definition {
        id: "frame.bending_stiffness",
        label: "Bending stiffness",
        kind: Kind::SpringRate,
        meaning: "Load on the middle nodes over how far they sag, the frame held up at its four corners.",
        formula: "W / mean sag of the two middle nodes, W/2 on each",
        source: BEAMS,
        remedy: (
            "deepen the rails or truss them",
            "take weight off the rails",
        ),
        ..PLAIN
    },
    Definition {
        id: "frame.mass",
        label: "Frame weight",
        kind: Kind::Mass,
        meaning: "Weight of the tubes that are joined to the tested piece, along their centrelines to their nodes.",
        formula: "Σ density · section area · centreline length",
        source: "Nominal sizes; density 7850 kg/m³ where the material has none",
        remedy: ("", "take weight off the tubes that gain least stiffness"),
        ..PLAIN
    },
    Definition {
        id: "frame.lowest_reserve",
        label: "Lowest tube reserve",
        kind: Kind::Count,
        meaning: "Least of strength over load of any tube of the frame at the acceleration looked at: yield, or giving way as a column. Welds and brackets are not in it.",
        formula: "min over tubes of yield / von Mises stress and column load / compression; rigid inertia against links, springs and driveshaft",
        source: "Beam stresses added on the safe side; columns Shigley & Mischke, Mechanical Engineering Design (from memory)",
        remedy: (
            "move the bracket to a joint, add a tube there, or take a larger section",
            "",
        ),
        ..PLAIN
    },
];
