//! Readings of the car under power, its coil-overs, links and driveshaft.

use units::Kind;

use super::{Definition, OURS, PLAIN};

const BALANCE: &str = "Quasi-static balance of this program, checked against Gillespie, Fundamentals of Vehicle Dynamics, ch. 1, 2 and 7 (from memory)";

/// Every one of them.
pub(super) const POWER: [Definition; 56] = [
    Definition {
        id: "launch.rear_left",
        label: "Left rear tyre",
        kind: Kind::Force,
        meaning: "Load on the tyre at the acceleration looked at.",
        formula: "N of the balance: sprung mass (heave, pitch, roll) and axle (six coordinates) on elastic links, coil-overs along their lines, tyre springs",
        source: BALANCE,
        ..PLAIN
    },
    Definition {
        id: "launch.rear_right",
        label: "Right rear tyre",
        kind: Kind::Force,
        meaning: "Load on the tyre at the acceleration looked at.",
        formula: "N of the balance: sprung mass (heave, pitch, roll) and axle (six coordinates) on elastic links, coil-overs along their lines, tyre springs",
        source: BALANCE,
        ..PLAIN
    },
    Definition {
        id: "launch.front_left",
        label: "Left front tyre",
        kind: Kind::Force,
        meaning: "Load on the tyre at the acceleration looked at.",
        formula: "N of the balance: sprung mass (heave, pitch, roll) and axle (six coordinates) on elastic links, coil-overs along their lines, tyre springs",
        source: BALANCE,
        ..PLAIN
    },
    Definition {
        id: "launch.front_right",
        label: "Right front tyre",
        kind: Kind::Force,
        meaning: "Load on the tyre at the acceleration looked at.",
        formula: "N of the balance: sprung mass (heave, pitch, roll) and axle (six coordinates) on elastic links, coil-overs along their lines, tyre springs",
        source: BALANCE,
        ..PLAIN
    },
    Definition {
        id: "launch.rear_difference",
        label: "Rear left less right",
        kind: Kind::Force,
        meaning: "How much more the left rear tyre carries than the right at the acceleration looked at.",
        formula: "N left − N right",
        source: BALANCE,
        sense: Some(("on the left", "on the right")),
        remedy: (
            "squeeze the left spring, or free the right one",
            "squeeze the right spring, or free the left one",
        ),
        ..PLAIN
    },
    Definition {
        id: "launch.squat",
        label: "Rear squat",
        meaning: "How far the body over the rear axle sinks at the acceleration looked at, against the floor and against the car standing.",
        formula: "z at rest − z, of the body point where the axle centre is drawn",
        source: BALANCE,
        fine: true,
        sense: Some(("down", "up")),
        remedy: ("lower anti-squat", "raise anti-squat"),
        ..PLAIN
    },
    Definition {
        id: "launch.front_rise",
        label: "Front rise",
        meaning: "How far the body over the front axle rises at the acceleration looked at.",
        formula: "z − z at rest, of the middle between the front wheels",
        source: BALANCE,
        fine: true,
        sense: Some(("up", "down")),
        remedy: ("", "stiffen the front springs, or bring weight forward"),
        ..PLAIN
    },
    Definition {
        id: "launch.separation",
        label: "Rear separation",
        meaning: "How far body and rear axle move apart at the acceleration looked at: apart lengthens the coil-overs, together squeezes them.",
        formula: "travel at rest − travel",
        source: BALANCE,
        fine: true,
        sense: Some(("apart", "together")),
        remedy: ("raise anti-squat", "lower anti-squat"),
        ..PLAIN
    },
    Definition {
        id: "launch.pitch",
        label: "Pitch",
        kind: Kind::Angle,
        meaning: "Turn of the body about the axis across the car at the acceleration looked at.",
        formula: "−(θ − θ at rest)",
        source: BALANCE,
        sense: Some(("nose up", "nose down")),
        ..PLAIN
    },
    Definition {
        id: "launch.roll",
        label: "Roll",
        kind: Kind::Angle,
        meaning: "Lean of the body at the acceleration looked at, against the car standing.",
        formula: "φ − φ at rest",
        source: BALANCE,
        sense: Some(("left side up", "right side up")),
        remedy: ("squeeze the left spring", "squeeze the right spring"),
        ..PLAIN
    },
    Definition {
        id: "launch.rod",
        label: "link force",
        kind: Kind::Force,
        meaning: "Force along the link at the acceleration looked at: pull stretches it, push squeezes it.",
        formula: "E·A/L · stretch",
        source: BALANCE,
        family: true,
        sense: Some(("pull", "push")),
        ..PLAIN
    },
    Definition {
        id: "launch.traction.rear_left",
        label: "Left rear tyre at the limit",
        kind: Kind::Force,
        meaning: "Load on the tyre where the rear tyres slip.",
        formula: "N of the balance: sprung mass (heave, pitch, roll) and axle (six coordinates) on elastic links, coil-overs along their lines, tyre springs",
        source: BALANCE,
        ..PLAIN
    },
    Definition {
        id: "launch.traction.rear_right",
        label: "Right rear tyre at the limit",
        kind: Kind::Force,
        meaning: "Load on the tyre where the rear tyres slip.",
        formula: "N of the balance: sprung mass (heave, pitch, roll) and axle (six coordinates) on elastic links, coil-overs along their lines, tyre springs",
        source: BALANCE,
        ..PLAIN
    },
    Definition {
        id: "launch.traction.front_left",
        label: "Left front tyre at the limit",
        kind: Kind::Force,
        meaning: "Load on the tyre where the rear tyres slip.",
        formula: "N of the balance: sprung mass (heave, pitch, roll) and axle (six coordinates) on elastic links, coil-overs along their lines, tyre springs",
        source: BALANCE,
        ..PLAIN
    },
    Definition {
        id: "launch.traction.front_right",
        label: "Right front tyre at the limit",
        kind: Kind::Force,
        meaning: "Load on the tyre where the rear tyres slip.",
        formula: "N of the balance: sprung mass (heave, pitch, roll) and axle (six coordinates) on elastic links, coil-overs along their lines, tyre springs",
        source: BALANCE,
        ..PLAIN
    },
    Definition {
        id: "launch.traction.rear_difference",
        label: "Rear left less right at the limit",
        kind: Kind::Force,
        meaning: "How much more the left rear tyre carries than the right where the rear tyres slip.",
        formula: "N left − N right",
        source: BALANCE,
        sense: Some(("on the left", "on the right")),
        remedy: (
            "squeeze the left spring, or free the right one",
            "squeeze the right spring, or free the left one",
        ),
        ..PLAIN
    },
    Definition {
        id: "launch.traction.squat",
        label: "Rear squat at the limit",
        meaning: "How far the body over the rear axle sinks where the rear tyres slip, against the floor and against the car standing.",
        formula: "z at rest − z, of the body point where the axle centre is drawn",
        source: BALANCE,
        fine: true,
        sense: Some(("down", "up")),
        remedy: ("lower anti-squat", "raise anti-squat"),
        ..PLAIN
    },
    Definition {
        id: "launch.traction.front_rise",
        label: "Front rise at the limit",
        meaning: "How far the body over the front axle rises where the rear tyres slip.",
        formula: "z − z at rest, of the middle between the front wheels",
        source: BALANCE,
        fine: true,
        sense: Some(("up", "down")),
        remedy: ("", "stiffen the front springs, or bring weight forward"),
        ..PLAIN
    },
    Definition {
        id: "launch.traction.separation",
        label: "Rear separation at the limit",
        meaning: "How far body and rear axle move apart where the rear tyres slip: apart lengthens the coil-overs, together squeezes them.",
        formula: "travel at rest − travel",
        source: BALANCE,
        fine: true,
        sense: Some(("apart", "together")),
        remedy: ("raise anti-squat", "lower anti-squat"),
        ..PLAIN
    },
    Definition {
        id: "launch.traction.pitch",
        label: "Pitch at the limit",
        kind: Kind::Angle,
        meaning: "Turn of the body about the axis across the car where the rear tyres slip.",
        formula: "−(θ − θ at rest)",
        source: BALANCE,
        sense: Some(("nose up", "nose down")),
        ..PLAIN
    },
    Definition {
        id: "launch.traction.roll",
        label: "Roll at the limit",
        kind: Kind::Angle,
        meaning: "Lean of the body where the rear tyres slip, against the car standing.",
        formula: "φ − φ at rest",
        source: BALANCE,
        sense: Some(("left side up", "right side up")),
        remedy: ("squeeze the left spring", "squeeze the right spring"),
        ..PLAIN
    },
    Definition {
        id: "launch.traction.rod",
        label: "link force at the limit",
        kind: Kind::Force,
        meaning: "Force along the link where the rear tyres slip: pull stretches it, push squeezes it.",
        formula: "E·A/L · stretch",
        source: BALANCE,
        family: true,
        sense: Some(("pull", "push")),
        ..PLAIN
    },
    Definition {
        id: "launch.braking.rear_left",
        label: "Left rear tyre braking",
        kind: Kind::Force,
        meaning: "Load on the tyre at the braking looked at.",
        formula: "N of the balance: sprung mass (heave, pitch, roll) and axle (six coordinates) on elastic links, coil-overs along their lines, tyre springs",
        source: BALANCE,
        ..PLAIN
    },
    Definition {
        id: "launch.braking.rear_right",
        label: "Right rear tyre braking",
        kind: Kind::Force,
        meaning: "Load on the tyre at the braking looked at.",
        formula: "N of the balance: sprung mass (heave, pitch, roll) and axle (six coordinates) on elastic links, coil-overs along their lines, tyre springs",
        source: BALANCE,
        ..PLAIN
    },
    Definition {
        id: "launch.braking.front_left",
        label: "Left front tyre braking",
        kind: Kind::Force,
        meaning: "Load on the tyre at the braking looked at.",
        formula: "N of the balance: sprung mass (heave, pitch, roll) and axle (six coordinates) on elastic links, coil-overs along their lines, tyre springs",
        source: BALANCE,
        ..PLAIN
    },
    Definition {
        id: "launch.braking.front_right",
        label: "Right front tyre braking",
        kind: Kind::Force,
        meaning: "Load on the tyre at the braking looked at.",
        formula: "N of the balance: sprung mass (heave, pitch, roll) and axle (six coordinates) on elastic links, coil-overs along their lines, tyre springs",
        source: BALANCE,
        ..PLAIN
    },
    Definition {
        id: "launch.braking.rear_difference",
        label: "Rear left less right braking",
        kind: Kind::Force,
        meaning: "How much more the left rear tyre carries than the right at the braking looked at.",
        formula: "N left − N right",
        source: BALANCE,
        sense: Some(("on the left", "on the right")),
        remedy: (
            "squeeze the left spring, or free the right one",
            "squeeze the right spring, or free the left one",
        ),
        ..PLAIN
    },
    Definition {
        id: "launch.braking.squat",
        label: "Rear squat braking",
        meaning: "How far the body over the rear axle sinks at the braking looked at, against the floor and against the car standing.",
        formula: "z at rest − z, of the body point where the axle centre is drawn",
        source: BALANCE,
        fine: true,
        sense: Some(("down", "up")),
        remedy: ("lower anti-squat", "raise anti-squat"),
        ..PLAIN
    },
    Definition {
        id: "launch.braking.front_rise",
        label: "Front rise braking",
        meaning: "How far the body over the front axle rises at the braking looked at.",
        formula: "z − z at rest, of the middle between the front wheels",
        source: BALANCE,
        fine: true,
        sense: Some(("up", "down")),
        remedy: ("", "stiffen the front springs, or bring weight forward"),
        ..PLAIN
    },
    Definition {
        id: "launch.braking.separation",
        label: "Rear separation braking",
        meaning: "How far body and rear axle move apart at the braking looked at: apart lengthens the coil-overs, together squeezes them.",
        formula: "travel at rest − travel",
        source: BALANCE,
        fine: true,
        sense: Some(("apart", "together")),
        remedy: ("raise anti-squat", "lower anti-squat"),
        ..PLAIN
    },
    Definition {
        id: "launch.braking.pitch",
        label: "Pitch braking",
        kind: Kind::Angle,
        meaning: "Turn of the body about the axis across the car at the braking looked at.",
        formula: "−(θ − θ at rest)",
        source: BALANCE,
        sense: Some(("nose up", "nose down")),
        ..PLAIN
    },
    Definition {
        id: "launch.braking.roll",
        label: "Roll braking",
        kind: Kind::Angle,
        meaning: "Lean of the body at the braking looked at, against the car standing.",
        formula: "φ − φ at rest",
        source: BALANCE,
        sense: Some(("left side up", "right side up")),
        remedy: ("squeeze the left spring", "squeeze the right spring"),
        ..PLAIN
    },
    Definition {
        id: "launch.braking.rod",
        label: "link force braking",
        kind: Kind::Force,
        meaning: "Force along the link at the braking looked at: pull stretches it, push squeezes it.",
        formula: "E·A/L · stretch",
        source: BALANCE,
        family: true,
        sense: Some(("pull", "push")),
        ..PLAIN
    },
    Definition {
        id: "launch.coilover_force",
        label: "spring force",
        kind: Kind::Force,
        meaning: "Push of the coil-over at the acceleration looked at.",
        formula: "k · (free − length)",
        source: BALANCE,
        family: true,
        ..PLAIN
    },
    Definition {
        id: "launch.coilover_length",
        label: "length under power",
        meaning: "Eye to eye at the acceleration looked at.",
        formula: "distance between the eyes",
        source: BALANCE,
        family: true,
        fine: true,
        ..PLAIN
    },
    Definition {
        id: "launch.lift_off",
        label: "Front lifts at",
        kind: Kind::Acceleration,
        meaning: "Largest acceleration before the first front tyre leaves the ground.",
        formula: "first a with N = 0 at a front tyre",
        source: BALANCE,
        remedy: ("bring the centre of gravity down or forward", ""),
        ..PLAIN
    },
    Definition {
        id: "launch.traction.acceleration",
        label: "Tyres slip at",
        kind: Kind::Acceleration,
        meaning: "Acceleration at which the rear tyres slip with the friction entered. Open differential: the lighter tyre decides.",
        formula: "thrust = μ · N",
        source: "Gillespie, Fundamentals of Vehicle Dynamics, ch. 2 (from memory), on the full balance",
        remedy: (
            "raise the centre of gravity or move weight rearward, or use more tyre",
            "",
        ),
        ..PLAIN
    },
    Definition {
        id: "launch.rest.height",
        label: "Rear stands",
        meaning: "Height of the rear of the body at rest against the drawing, with the seats as set.",
        formula: "z at rest − z drawn",
        source: BALANCE,
        fine: true,
        sense: Some(("high", "low")),
        remedy: ("turn the seats up", "turn the seats down"),
        ..PLAIN
    },
    Definition {
        id: "launch.rest.lean",
        label: "Lean at rest",
        kind: Kind::Angle,
        meaning: "Lean of the body standing, from unlike seats, links or holes.",
        formula: "φ at rest",
        source: BALANCE,
        sense: Some(("left side up", "right side up")),
        remedy: ("turn the left seat up", "turn the right seat up"),
        ..PLAIN
    },
    Definition {
        id: "spring.motion_ratio",
        label: "motion ratio",
        kind: Kind::Count,
        meaning: "Change of the coil-over's length per travel of the wheels, both alike, at ride height.",
        formula: "−dL/dz",
        source: "Gillespie, Fundamentals of Vehicle Dynamics, ch. 7; Milliken & Milliken, Race Car Vehicle Dynamics, ch. 16 (from memory)",
        family: true,
        ..PLAIN
    },
    Definition {
        id: "spring.wheel_rate",
        label: "wheel rate",
        kind: Kind::SpringRate,
        meaning: "What one coil-over adds to the rate of the axle at ride height: its rate by the motion ratio squared, and what the change of the ratio adds.",
        formula: "k · MR² + F · dMR/dz",
        source: "Gillespie, Fundamentals of Vehicle Dynamics, ch. 7; Milliken & Milliken, Race Car Vehicle Dynamics, ch. 16 (from memory)",
        family: true,
        ..PLAIN
    },
    Definition {
        id: "spring.force",
        label: "force at ride height",
        kind: Kind::Force,
        meaning: "Force in the spring with the car standing.",
        formula: "sprung weight over motion ratio, or as set",
        source: "Gillespie, Fundamentals of Vehicle Dynamics, ch. 7; Milliken & Milliken, Race Car Vehicle Dynamics, ch. 16 (from memory)",
        family: true,
        ..PLAIN
    },
    Definition {
        id: "spring.preload",
        label: "preload",
        meaning: "Squeeze of the spring with the shock pulled out: as set, or what holds the ride height.",
        formula: "F/k − (pulled out − length)",
        source: OURS,
        family: true,
        fine: true,
        sense: Some(("squeezed", "loose")),
        ..PLAIN
    },
    Definition {
        id: "spring.seat",
        label: "seat to seat",
        meaning: "Between the spring seats with the shock pulled out: set and measure this.",
        formula: "free length − preload",
        source: OURS,
        family: true,
        ..PLAIN
    },
    Definition {
        id: "spring.bump_left",
        label: "bump left",
        meaning: "Wheel travel from ride height until the shock is shut or the coils touch.",
        formula: "by the axle's path",
        source: OURS,
        family: true,
        remedy: ("use a shock with more stroke, or move an eye", ""),
        ..PLAIN
    },
    Definition {
        id: "spring.droop_left",
        label: "droop left",
        meaning: "Wheel travel from ride height until the shock is pulled out.",
        formula: "by the axle's path",
        source: OURS,
        family: true,
        remedy: ("use a shock with more stroke, or move an eye", ""),
        ..PLAIN
    },
    Definition {
        id: "spring.tilt",
        label: "eye tilt over travel",
        kind: Kind::Angle,
        meaning: "Most the eyes tilt from the line drawn over the travel looked at.",
        formula: "angle between the coil-over and its line at ride height, seen from either end",
        source: OURS,
        family: true,
        over_range: true,
        ..PLAIN
    },
    Definition {
        id: "spring.frequency.front",
        label: "Front ride frequency",
        kind: Kind::Frequency,
        meaning: "Swings per second of the front of the body on its wheel rates, tyres not counted.",
        formula: "√(K/m) / 2π",
        source: "Gillespie, Fundamentals of Vehicle Dynamics, ch. 7; Milliken & Milliken, Race Car Vehicle Dynamics, ch. 16 (from memory)",
        remedy: ("stiffen the front springs", "soften the front springs"),
        ..PLAIN
    },
    Definition {
        id: "spring.frequency.rear",
        label: "Rear ride frequency",
        kind: Kind::Frequency,
        meaning: "Swings per second of the rear of the body on its wheel rates, tyres not counted.",
        formula: "√(ΣK/m) / 2π",
        source: "Gillespie, Fundamentals of Vehicle Dynamics, ch. 7; Milliken & Milliken, Race Car Vehicle Dynamics, ch. 16 (from memory)",
        remedy: ("stiffen the rear springs", "soften the rear springs"),
        ..PLAIN
    },
    Definition {
        id: "link.safety",
        label: "safety factor",
        kind: Kind::Count,
        meaning: "Least of strength over load of tube, rod ends and bolts, over launch, traction limit, braking and bump.",
        formula: "min over parts and cases of capacity / |force|; columns by Euler or Johnson, pinned ends",
        source: "Shigley & Mischke, Mechanical Engineering Design, 5th ed., columns (from memory); bolts: SAE J429",
        family: true,
        ..PLAIN
    },
    Definition {
        id: "link.stress",
        label: "axial stress",
        kind: Kind::Pressure,
        meaning: "Largest axial stress of the tube in those cases.",
        formula: "force / area",
        source: "Shigley & Mischke, Mechanical Engineering Design, 5th ed., columns (from memory); bolts: SAE J429",
        family: true,
        sense: Some(("pull", "push")),
        ..PLAIN
    },
    Definition {
        id: "driveline.front_angle",
        label: "Front joint angle",
        kind: Kind::Angle,
        meaning: "Working angle of the driveshaft's front joint at ride height.",
        formula: "between transmission output and shaft",
        source: "Angle between the two axes that meet in the joint, in space; limits are common practice, no source",
        ..PLAIN
    },
    Definition {
        id: "driveline.rear_angle",
        label: "Rear joint angle",
        kind: Kind::Angle,
        meaning: "Working angle of the driveshaft's rear joint at ride height.",
        formula: "between shaft and pinion",
        source: "Angle between the two axes that meet in the joint, in space; limits are common practice, no source",
        ..PLAIN
    },
    Definition {
        id: "driveline.difference",
        label: "Joint angles differ",
        kind: Kind::Angle,
        meaning: "Front working angle less rear at ride height: alike, the pinion turns evenly.",
        formula: "front − rear",
        source: "Angle between the two axes that meet in the joint, in space; limits are common practice, no source",
        ..PLAIN
    },
    Definition {
        id: "driveline.worst_angle",
        label: "Joint angle over travel",
        kind: Kind::Angle,
        meaning: "Largest working angle of either joint over the travel looked at.",
        formula: "max over travel",
        source: "Angle between the two axes that meet in the joint, in space; limits are common practice, no source",
        over_range: true,
        ..PLAIN
    },
    Definition {
        id: "driveline.plunge",
        label: "Driveshaft slip over travel",
        meaning: "How far the slip moves in and out over the travel looked at.",
        formula: "farthest out − farthest in",
        source: "Angle between the two axes that meet in the joint, in space; limits are common practice, no source",
        over_range: true,
        fine: true,
        ..PLAIN
    },
];
