//! Readings of welding.

use units::{Kind, Shop};

use super::{Definition, OURS, PLAIN};

const PULL: &str = "Spraragen & Ettinger 1950, AWS Welding Handbook; Blodgett, Design of Welded Structures (from memory); derived for thin tube";

/// Half a thousandth of an inch: a tape's form farther off than this is not what was read, m.
const TAPED: f64 = 1.3e-5;

/// As fine as it was read.
fn taped(si: f64, shop: &Shop) -> String {
    let kept = units::format_kept(Kind::Length, si, shop);
    match units::parse_typed(Kind::Length, &kept, shop) {
        Ok(back) if (back - si).abs() <= TAPED => kept,
        _ => units::format_fine(Kind::Length, si, shop),
    }
}

/// A weight of ounces: two digits of it.
fn small(si: f64, shop: &Shop) -> String {
    crate::show_to(Kind::Mass, si, si.abs().max(1e-6), shop)
}

fn minutes(si: f64, _: &Shop) -> String {
    format!("{:.0} min of arc", si / 60.0)
}

/// Gas is bought by the cubic foot or by the litre.
fn gas(si: f64, shop: &Shop) -> String {
    if shop.system == units::System::Si {
        format!("{:.0} L", si * 1000.0)
    } else {
        format!("{:.1} ft³", si / 0.3048_f64.powi(3))
    }
}

pub(super) const WELDING: [Definition; 12] = [
    Definition {
        id: "weld.dimension",
        label: "now",
        meaning: "The control dimension as last measured; its band is what it must come out at, plus and minus its tolerance.",
        formula: "measured",
        source: "Tolerance: entered, or ISO 13920 by class and nominal",
        family: true,
        shown: Some(taped),
        ..PLAIN
    },
    Definition {
        id: "weld.change",
        label: "welds change it by",
        meaning: "What all its joints together change it by, from tacks to cold: set it longer by the opposite before tacking. A range, never a point.",
        formula: "Σ f·c over the joints on its way; pull −Δ(a·n), kink θ(k × (Q − O))·n",
        source: PULL,
        family: true,
        fine: true,
        sense: Some(("longer", "shorter")),
        ..PLAIN
    },
    Definition {
        id: "weld.to_come",
        label: "still to come",
        meaning: "What the joints not welded yet will still change it by.",
        formula: "the same sum over the joints not welded",
        source: PULL,
        family: true,
        fine: true,
        sense: Some(("longer", "shorter")),
        ..PLAIN
    },
    Definition {
        id: "weld.per_bead",
        label: "per bead",
        meaning: "How far one correction bead moves it: at first the kink formula and the lever, then this job's own measured moves.",
        formula: "b₀ = kink · |(k × (Q − O))·n| · shop's factor, updated after every measured bead",
        source: "Derived (inherent strain), checked by simulation; 0.02 to 0.06 in at a hoop post is common practice, no source",
        family: true,
        fine: true,
        sense: Some(("longer", "shorter")),
        ..PLAIN
    },
    Definition {
        id: "weld.beads_to_lay",
        label: "beads, then measure",
        kind: Kind::Count,
        meaning: "How many beads to lay before the next measurement.",
        formula: "min(most with the chance of overshoot left, nearest the target)",
        source: "Definition of this program; the chance is chosen",
        family: true,
        ..PLAIN
    },
    Definition {
        id: "weld.joints_left",
        label: "Joints to weld",
        kind: Kind::Count,
        meaning: "Joints of the drawn assembly that are not marked welded.",
        formula: "count",
        source: OURS,
        ..PLAIN
    },
    Definition {
        id: "weld.metal_left",
        label: "Weld metal to lay",
        kind: Kind::Mass,
        meaning: "Weld metal of the joints with a known seam that are not welded yet, gaps included.",
        formula: "7850 kg/m³ · Σ A·ℓ",
        source: "Geometry; coped tubes on their root curve, 5 to 13 % below the swept solid (derived)",
        shown: Some(small),
        ..PLAIN
    },
    Definition {
        id: "weld.gas_left",
        label: "Gas left in cylinder",
        kind: Kind::Time,
        meaning: "Arc time the cylinder still lasts at this job's rate of starts, down to the pressure kept.",
        formula: "usable / need · arc time",
        source: "Ideal gas at 1 atm; surge of the hose counted at every start",
        shown: Some(minutes),
        ..PLAIN
    },
    Definition {
        id: "weld.gas_need",
        label: "Gas for the joints left",
        kind: Kind::Volume,
        meaning: "Gas at one atmosphere that the joints not welded yet need, surges and flow around the arc included.",
        formula: "flow · (arc + starts · (before + after)) + starts · V_hose · p/p_atm",
        source: "Ideal gas at 1 atm",
        shown: Some(gas),
        ..PLAIN
    },
    Definition {
        id: "weld.off",
        label: "Worst control dimension",
        meaning: "The control dimension farthest from what it must come out at, as last measured.",
        formula: "measured − wanted, the largest",
        source: OURS,
        sense: Some(("long", "short")),
        fine: true,
        ..PLAIN
    },
    Definition {
        id: "weld.unmeasured",
        label: "Dimensions not measured cold",
        kind: Kind::Count,
        meaning: "Control dimensions without a measurement after welding; a build without any counts as one.",
        formula: "count",
        source: OURS,
        band: Some((0.0, 0.0)),
        remedy: (
            "",
            "measure every control dimension once all is welded and cold",
        ),
        ..PLAIN
    },
    Definition {
        id: "weld.out_of_tolerance",
        label: "Dimensions out of tolerance",
        kind: Kind::Count,
        meaning: "Measured control dimensions outside their tolerance.",
        formula: "count",
        source: OURS,
        band: Some((0.0, 0.0)),
        remedy: ("", "bring them back before the next phase"),
        ..PLAIN
    },
];
