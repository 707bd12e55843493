//! Readings of what fits around the rear wheels.

use units::Kind;

use super::{Definition, OURS, PLAIN};

const GAP: &str = "Least distance of convex bodies (Gilbert, Johnson & Keerthi 1988); the tyre a cylinder grown by its shoulder radius";
const SUMS: &str = "Sums along the axle, which must close";

pub(super) const CLEARANCE: [Definition; 17] = [
    Definition {
        id: "clearance.least",
        label: "Tightest at a tyre",
        meaning: "Least gap between a rear tyre and anything that stands near it, over the travel of both wheels, with the tyre's growth in service.",
        formula: "min over bodies and poses of distance − shoulder radius − bar radius",
        source: GAP,
        over_range: true,
        remedy: (
            "change the wheel's offset, the travel, or the part in the way",
            "",
        ),
        ..PLAIN
    },
    Definition {
        id: "clearance.gap",
        label: "Gap",
        meaning: "Least gap of a pair over the travel of both wheels. Below zero: they touch by so much.",
        formula: "min over poses of distance − shoulder radius − bar radius",
        source: GAP,
        family: true,
        over_range: true,
        remedy: (
            "change the wheel's offset, the travel, or the part in the way",
            "",
        ),
        ..PLAIN
    },
    Definition {
        id: "clearance.backspacing",
        label: "Backspacing",
        meaning: "Mounting face of the rear wheel to its inboard edge.",
        formula: "(w + 2t)/2 + ET",
        source: SUMS,
        ..PLAIN
    },
    Definition {
        id: "clearance.front_spacing",
        label: "Front spacing",
        meaning: "Mounting face of the rear wheel to its outboard edge.",
        formula: "(w + 2t)/2 − ET",
        source: SUMS,
        ..PLAIN
    },
    Definition {
        id: "clearance.tyre_width",
        label: "Tyre width in service",
        meaning: "Section width on this rim, grown as entered.",
        formula: "(section + 0.4 · (rim width − measuring rim)) · (1 + growth)",
        source: "Rule of the tyre yearbooks (from memory)",
        ..PLAIN
    },
    Definition {
        id: "clearance.tyre_radius",
        label: "Tyre radius in service",
        meaning: "Unloaded radius with its growth at speed.",
        formula: "rim/2 + nominal width · aspect, plus the growth",
        source: OURS,
        ..PLAIN
    },
    Definition {
        id: "clearance.faces",
        label: "Wheel faces apart",
        meaning: "Distance between the mounting faces of the two rear wheels.",
        formula: "track + 2 ET",
        source: SUMS,
        ..PLAIN
    },
    Definition {
        id: "clearance.flanges",
        label: "Axle flanges apart",
        meaning: "Distance between the outer faces of the axle flanges.",
        formula: "track + 2 ET − 2 hat",
        source: SUMS,
        ..PLAIN
    },
    Definition {
        id: "clearance.housing",
        label: "Housing to order",
        meaning: "Distance between the end faces of the housing.",
        formula: "track + 2 ET − 2 hat − 2 brake stack",
        source: SUMS,
        ..PLAIN
    },
    Definition {
        id: "clearance.shaft",
        label: "Length to order",
        meaning: "Outer face of the flange to the end of the spline.",
        formula: "flanges/2 ∓ differential − half the gap between the shafts",
        source: SUMS,
        family: true,
        ..PLAIN
    },
    Definition {
        id: "clearance.pinion",
        label: "Pinion off the centreline",
        meaning: "Where the pinion ends up across the car.",
        formula: "differential + pinion offset",
        source: SUMS,
        sense: Some(("left", "right")),
        ..PLAIN
    },
    Definition {
        id: "clearance.spline",
        label: "Spline engaged",
        meaning: "Least overlap of a measured shaft's spline with its side gear.",
        formula: "overlap of [end, end + spline] with the side gear",
        source: SUMS,
        band: Some((0.0254, f64::INFINITY)),
        remedy: ("order longer shafts", ""),
        ..PLAIN
    },
    Definition {
        id: "clearance.notch",
        label: "Notch needed",
        meaning: "How deep each rail must be notched over the axle tube, with the clearance asked, over the travel of both wheels.",
        formula: "max over poses of z + r/√(1 − d_z²), plus clearance, less the rail's underside",
        source: OURS,
        over_range: true,
        ..PLAIN
    },
    Definition {
        id: "clearance.rail_left",
        label: "Rail left over it",
        meaning: "What remains of the rail's height above that notch.",
        formula: "rail height − notch",
        source: OURS,
        over_range: true,
        ..PLAIN
    },
    Definition {
        id: "clearance.stop_touch",
        label: "Bump stop touches",
        meaning: "Bump travel at which the pad meets the stop, level.",
        formula: "first travel at which pad and face meet",
        source: OURS,
        over_range: true,
        ..PLAIN
    },
    Definition {
        id: "clearance.stop_solid",
        label: "Bump stop solid",
        meaning: "Bump travel at which the stop is squeezed solid, level.",
        formula: "first travel at which pad and face have closed by the stop's loss of height",
        source: OURS,
        over_range: true,
        ..PLAIN
    },
    Definition {
        id: "clearance.stop_room",
        label: "Solid to metal",
        kind: Kind::Length,
        meaning: "Least travel between the solid stop and the axle tube meeting the rail, level and rolled either way.",
        formula: "metal − solid",
        source: OURS,
        over_range: true,
        band: Some((0.0, f64::INFINITY)),
        remedy: ("lower the stop or notch the rail", ""),
        ..PLAIN
    },
];
