//! Readings of tube work.

use units::Kind;

use super::{Definition, PLAIN};

const SOLID: &str = "Solid geometry, derived; bends after the centreline rule (Sharma, Production Engineering, from memory)";

pub(super) const TUBES: [Definition; 4] = [
    Definition {
        id: "tubes.mass",
        label: "Tubes, weight",
        kind: Kind::Mass,
        meaning: "All tubes of the drawing as cut, without plates and weld metal.",
        formula: "Σ ρ·A·mean length",
        source: SOLID,
        ..PLAIN
    },
    Definition {
        id: "tubes.length",
        label: "Tubes, length to saw",
        kind: Kind::Length,
        meaning: "Length of all tubes as sawn, long point to long point.",
        formula: "Σ (straights + arcs − gains − long points)",
        source: SOLID,
        ..PLAIN
    },
    Definition {
        id: "tubes.bars",
        label: "Bars to buy",
        kind: Kind::Count,
        meaning: "Fewest bars to buy beside what is on the rack, so that every tube can be cut with the saw cuts and the trim.",
        formula: "Σ(ℓ + kerf) ≤ stock − trim + kerf in every bar",
        source: "Branch and bound with the L2 bound of Martello & Toth, Knapsack Problems (1990), from memory",
        ..PLAIN
    },
    Definition {
        id: "tube.cut",
        label: "Length to saw",
        kind: Kind::Length,
        meaning: "Length of the unbent tube between the long points of its two ends.",
        formula: "straights + arcs − gains − long points",
        source: SOLID,
        family: true,
        ..PLAIN
    },
];
