//! Readings of the driveline.

use units::{Kind, Shop};

use super::{Definition, OURS, PLAIN};

const JOINTS: &str = "Form of SAE AE-7, Universal Joint and Driveshaft Design Manual (from memory); Hooke joint: Khurmi & Gupta, Theory of Machines, ch. 9";
const SHAFTS: &str = "Euler-Bernoulli beam pinned at its joints, yokes left out (from memory)";
const ROAD: &str =
    "Rolling without slip of the tyre; the converter slips as at the trap of the run";

fn shaken(si: f64, _: &Shop) -> String {
    format!("{si:.0} rad/s²")
}

fn ratio(si: f64, _: &Shop) -> String {
    format!("{si:.2}")
}

/// A small angle, where a tenth of a degree says too little.
fn fine_angle(si: f64, _: &Shop) -> String {
    format!("{:.2}°", si.to_degrees())
}

pub(super) const DRIVELINE: [Definition; 20] = [
    Definition {
        id: "driveline.equivalent_angle",
        label: "Equivalent joint angle",
        kind: Kind::Angle,
        meaning: "One joint of this angle would shake the pinion as much as both joints together do, at ride height: side view, plan and phase of the yokes counted.",
        formula: "√|Σ β² e^{2jψ}|, ψ of each joint a quarter turn on, with phase less plane angle",
        source: JOINTS,
        shown: Some(fine_angle),
        remedy: ("", "make the working angles alike and the yokes in phase"),
        ..PLAIN
    },
    Definition {
        id: "driveline.equivalent_launch",
        label: "Equivalent angle, launch",
        kind: Kind::Angle,
        meaning: "The same with the axle where the launch puts it, links stretched and all.",
        formula: "√|Σ β² e^{2jψ}|",
        source: JOINTS,
        shown: Some(fine_angle),
        remedy: ("", "set the pinion for where it stands under power"),
        ..PLAIN
    },
    Definition {
        id: "driveline.equivalent_worst",
        label: "Equivalent angle, worst",
        kind: Kind::Angle,
        meaning: "Largest equivalent angle over the travel looked at and in the launch.",
        formula: "max over poses",
        source: JOINTS,
        shown: Some(fine_angle),
        over_range: true,
        remedy: (
            "",
            "make the links closer to parallel, so that the pinion swings less",
        ),
        ..PLAIN
    },
    Definition {
        id: "driveline.torsional",
        label: "Pinion shaken",
        kind: Kind::Count,
        meaning: "Acceleration the joints put on the pinion at ride height and the highest shaft speed.",
        formula: "ω² · equivalent angle²",
        source: "400 rad/s²: chart based on SAE AE-7 (from memory)",
        shown: Some(shaken),
        band: Some((0.0, 400.0)),
        remedy: ("", "make the working angles alike and the yokes in phase"),
        ..PLAIN
    },
    Definition {
        id: "driveline.shaft_acceleration",
        label: "Shaft shaken",
        kind: Kind::Count,
        meaning: "Acceleration of the shaft itself at ride height and the highest shaft speed, the greater of drive and coast.",
        formula: "ω² · β² of the first joint (drive) or the last one (coast)",
        source: "1000 rad/s²: driveline literature (from memory)",
        shown: Some(shaken),
        band: Some((0.0, 1000.0)),
        remedy: ("", "make the joint angles smaller"),
        ..PLAIN
    },
    Definition {
        id: "driveline.top_shaft",
        label: "Highest shaft speed",
        kind: Kind::RotationSpeed,
        meaning: "Speed of the driveshaft at the top speed entered, or at the redline in top gear: an overdrive turns the shaft faster than the engine.",
        formula: "v / r · final drive, or redline / top gear",
        source: OURS,
        ..PLAIN
    },
    Definition {
        id: "driveline.critical",
        label: "Critical speed",
        kind: Kind::RotationSpeed,
        meaning: "Speed at which the shaft's tube would whip.",
        formula: "(π² / ℓ²) · √(E I / (ρ A))",
        source: SHAFTS,
        remedy: ("fit a larger tube or a shorter shaft", ""),
        ..PLAIN
    },
    Definition {
        id: "driveline.critical_share",
        label: "Of critical speed",
        kind: Kind::Ratio,
        meaning: "Share of the critical speed used at the highest shaft speed.",
        formula: "highest shaft speed / critical speed",
        source: "70 %: common practice, no source",
        band: Some((0.0, 0.7)),
        remedy: ("", "fit a larger tube or a shorter shaft"),
        ..PLAIN
    },
    Definition {
        id: "driveline.longest",
        label: "Longest shaft",
        meaning: "Longest shaft of this tube, joint to joint, that stays at 70 % of its critical speed.",
        formula: "ℓ · √(0.7 / share)",
        source: SHAFTS,
        ..PLAIN
    },
    Definition {
        id: "driveline.engagement",
        label: "Spline still in",
        meaning: "Least engagement of the slip yoke over the travel looked at and in the launch.",
        formula: "engagement at ride height − plunge",
        source: "One spline diameter: common practice, no source",
        over_range: true,
        remedy: ("fit a longer yoke or a longer shaft", ""),
        ..PLAIN
    },
    Definition {
        id: "driveline.bottoming",
        label: "Slip room left",
        meaning: "Least room before the slip yoke bottoms over the travel looked at and in the launch.",
        formula: "room at ride height + plunge",
        source: "1 in: common practice, no source",
        over_range: true,
        remedy: ("shorten the shaft", ""),
        ..PLAIN
    },
    Definition {
        id: "driveline.loop_distance",
        label: "Loop behind front joint",
        meaning: "From the front joint to the loop's plane along the shaft, at ride height.",
        formula: "along the shaft",
        source: "The current rule book decides",
        remedy: ("", "move the loop forward"),
        ..PLAIN
    },
    Definition {
        id: "driveline.loop_gap",
        label: "Gap in the loop",
        meaning: "Least gap between the shaft's tube and its loop over the travel looked at and in the launch.",
        formula: "inside radius − off centre − tube radius",
        source: OURS,
        over_range: true,
        remedy: ("centre the loop on the shaft, or make it larger", ""),
        ..PLAIN
    },
    Definition {
        id: "driveline.torque",
        label: "Driveshaft torque",
        kind: Kind::Torque,
        meaning: "Greatest torque of the driveshaft, the shock included: what the engine gives in first gear, or what the tyres hold.",
        formula: "min(T engine · gear · converter · η, μ N r / final drive) · shock",
        source: "Shock 1.5: common practice, no source",
        ..PLAIN
    },
    Definition {
        id: "driveline.torsion_safety",
        label: "Shaft tube safety",
        kind: Kind::Count,
        meaning: "Shear yield of the driveshaft's tube over its stress.",
        formula: "(S_y / √3) / (T D / 2J)",
        source: "Torsion of a round tube; Shigley, Mechanical Engineering Design (from memory)",
        shown: Some(ratio),
        remedy: ("fit a larger or thicker tube", ""),
        ..PLAIN
    },
    Definition {
        id: "driveline.axle_safety",
        label: "Axle shaft safety",
        kind: Kind::Count,
        meaning: "Shear yield of the axle shaft over its stress at the smallest section.",
        formula: "(S_y / √3) / (16 T d / π (d⁴ − d_i⁴))",
        source: "Torsion of a round shaft; Shigley, Mechanical Engineering Design (from memory)",
        shown: Some(ratio),
        remedy: ("fit a thicker or stronger shaft", ""),
        ..PLAIN
    },
    Definition {
        id: "driveline.spline_shear",
        label: "Axle spline shear",
        kind: Kind::Pressure,
        meaning: "Shear stress at the pitch line of the axle shaft's spline, half its teeth carrying.",
        formula: "(2T / d_p) / (½ n · engagement · π d_p / 2n)",
        source: "Machinery's Handbook form (from memory)",
        remedy: ("", "lengthen the engagement, or fit a larger spline"),
        ..PLAIN
    },
    Definition {
        id: "driveline.sixty_rpm",
        label: "Engine at 60 mph",
        kind: Kind::RotationSpeed,
        meaning: "Engine speed at 60 mph (97 km/h) in the lowest gear that reaches it.",
        formula: "v · gear · final drive / (r · (1 − slip))",
        source: ROAD,
        ..PLAIN
    },
    Definition {
        id: "driveline.trap_rpm",
        label: "Engine at the trap",
        kind: Kind::RotationSpeed,
        meaning: "Engine speed at the run's trap speed in the gear it is passed in.",
        formula: "v · gear · final drive / (r · (1 − slip))",
        source: ROAD,
        remedy: (
            "fit a shorter final drive (higher number)",
            "fit a longer final drive (lower number)",
        ),
        ..PLAIN
    },
    Definition {
        id: "driveline.final_drive",
        label: "Final drive for the goal",
        kind: Kind::Count,
        meaning: "Final drive that puts the engine at the speed wanted at the trap (the redline where none is entered).",
        formula: "ω wanted · r · (1 − slip) / (v trap · gear)",
        source: ROAD,
        shown: Some(ratio),
        ..PLAIN
    },
];
