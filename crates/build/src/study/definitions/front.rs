//! Readings of the front end.

use units::{Kind, Shop, System};

use super::{Definition, GILLESPIE, MILLIKEN, OURS, PLAIN};

const ISO: &str = "ISO 8855; Reimpell, The Automotive Chassis (from memory)";
const RODS: &str = "Five rods with spherical ends per corner, solved exactly";

const ANGLE: Definition = Definition {
    kind: Kind::Angle,
    source: ISO,
    shown: Some(hundredths),
    ..PLAIN
};

/// An alignment angle, to a hundredth of a degree.
fn hundredths(si: f64, _: &Shop) -> String {
    let text = format!("{:.2}°", si.to_degrees());
    // No minus before a zero.
    match text.strip_prefix('-') {
        Some(rest) if rest.chars().all(|c| !c.is_ascii_digit() || c == '0') => rest.to_owned(),
        _ => text,
    }
}

/// A circle on the ground, in feet or metres.
fn on_the_ground(si: f64, shop: &Shop) -> String {
    match shop.system {
        System::InchPound => format!("{:.1} ft", si / 0.3048),
        System::Si => format!("{si:.1} m"),
    }
}

pub(super) const FRONT: [Definition; 27] = [
    Definition {
        id: "front.camber",
        label: "Camber",
        meaning: "Lean of a front wheel at ride height, wheels straight; top outward is positive.",
        formula: "angle of the wheel plane to straight up, front view",
        ..ANGLE
    },
    Definition {
        id: "front.toe_in",
        label: "Toe-in of one wheel",
        meaning: "Heading of a front wheel toward the middle at ride height; the two together toe twice as much.",
        formula: "angle of the wheel plane to straight ahead, plan",
        ..ANGLE
    },
    Definition {
        id: "front.caster",
        label: "Caster",
        meaning: "Lean of the steering axis toward the rear at its top, side view.",
        formula: "atan(−u_x/u_z), u from lower to upper ball joint",
        ..ANGLE
    },
    Definition {
        id: "front.kingpin",
        label: "Kingpin inclination",
        meaning: "Lean of the steering axis toward the middle at its top, front view.",
        formula: "atan(−u_y/u_z) of the left side",
        ..ANGLE
    },
    Definition {
        id: "front.scrub",
        label: "Scrub radius",
        meaning: "Middle of the tyre's contact outboard of the steering axis, at the ground.",
        formula: "distance across the tyre from axis to contact",
        source: ISO,
        sense: Some(("outboard", "inboard")),
        ..PLAIN
    },
    Definition {
        id: "front.trail",
        label: "Mechanical trail",
        meaning: "Steering axis ahead of the middle of the contact, at the ground.",
        formula: "distance along the tyre from contact to axis",
        source: ISO,
        sense: Some(("ahead", "behind")),
        ..PLAIN
    },
    Definition {
        id: "front.camber_gain",
        label: "Camber in an inch of bump",
        meaning: "Change of camber per inch (25.4 mm) of bump at ride height.",
        formula: "dγ/dz · 1 in",
        source: RODS,
        ..ANGLE
    },
    Definition {
        id: "front.roll_centre.height",
        label: "Front roll centre up",
        meaning: "Where the line from the contact to the front-view instant centre meets the middle of the car.",
        formula: "y_C · v_y/v_z of the contact in front-view motion",
        source: MILLIKEN,
        sense: Some(("above ground", "below ground")),
        ..PLAIN
    },
    Definition {
        id: "front.anti_dive",
        label: "Anti-dive",
        kind: Kind::Ratio,
        meaning: "Share of the load transfer that the front links carry in braking. Below zero they pull the nose down: pro-dive.",
        formula: "p_f · tan φ / (h/L), tan φ = v_x/v_z of the contact with the caliper on the knuckle",
        source: GILLESPIE,
        sense: Some(("", "pro-dive")),
        ..PLAIN
    },
    Definition {
        id: "front.bump_steer",
        label: "Toe-in in an inch of bump",
        meaning: "Change of one wheel's toe per inch (25.4 mm) of bump at ride height, rack held; toe-in positive.",
        formula: "dδ/dz · 1 in",
        source: RODS,
        ..ANGLE
    },
    Definition {
        id: "front.bump_steer.range",
        label: "Toe change over travel",
        meaning: "Largest less smallest toe of one wheel over the travel looked at, rack centred.",
        formula: "max δ − min δ",
        source: RODS,
        over_range: true,
        ..ANGLE
    },
    Definition {
        id: "front.rack_height",
        label: "Rack to move",
        meaning: "How far both inner tie-rod ends must go up, the tie rods cut again to keep the toe, so that toe does not change at ride height.",
        formula: "solved: dδ/dz = 0",
        source: RODS,
        fine: true,
        sense: Some(("up", "down")),
        ..PLAIN
    },
    Definition {
        id: "front.steering_ratio",
        label: "Steering ratio",
        kind: Kind::Count,
        meaning: "Turn of the steering wheel over the mean turn of the front wheels, straight ahead.",
        formula: "(2π / rack per turn) / (dδ/ds)",
        source: ISO,
        ..PLAIN
    },
    Definition {
        id: "front.lock",
        label: "Inner wheel at lock",
        meaning: "Steer of the inner wheel where the steering ends: the rack's end, a tyre that touches or a joint at its limit.",
        formula: "first of the three",
        over_range: true,
        ..ANGLE
    },
    Definition {
        id: "front.ackermann",
        label: "Ackermann at lock",
        kind: Kind::Ratio,
        meaning: "How much more the inner wheel turns, over what both need to roll about one point: 0 parallel, 100 % ideal, below zero reversed.",
        formula: "(δ_i − δ_o)/(δ_i − δ_o*), cot δ_o* = cot δ_i + t_k/L",
        source: ISO,
        over_range: true,
        ..PLAIN
    },
    Definition {
        id: "front.turning_circle",
        label: "Turning circle, kerb to kerb",
        meaning: "At lock, rolling slowly, without tyre slip.",
        formula: "2 (L/sin δ_o + scrub) + tyre width",
        source: ISO,
        shown: Some(on_the_ground),
        over_range: true,
        ..PLAIN
    },
    Definition {
        id: "front.motion_ratio",
        label: "Front motion ratio",
        kind: Kind::Ratio,
        meaning: "How much the front coil-over shortens per wheel travel at ride height.",
        formula: "−dL/dz",
        source: OURS,
        ..PLAIN
    },
    Definition {
        id: "front.wheel_rate",
        label: "Front wheel rate",
        kind: Kind::SpringRate,
        meaning: "Rate of one front wheel against the body at ride height. The launch uses it in place of the plain rate.",
        formula: "k·MR² + F·dMR/dz",
        source: MILLIKEN,
        ..PLAIN
    },
    Definition {
        id: "front.spring_force",
        label: "Front spring at ride height",
        kind: Kind::Force,
        meaning: "Push of one front spring with the car at the drawn height.",
        formula: "k·(free − L)",
        source: OURS,
        ..PLAIN
    },
    Definition {
        id: "front.bar_stiffness",
        label: "Front anti-roll bar",
        kind: Kind::RollStiffness,
        meaning: "Roll stiffness the bar adds, arms stiff.",
        formula: "½·κ·θ'²·t², κ = 2GJ/ℓ",
        source: MILLIKEN,
        ..PLAIN
    },
    Definition {
        id: "front.roll_gradient",
        label: "Roll in a 1 g corner",
        meaning: "Lean of the body per g of cornering on springs and bars of both ends, tyres stiff.",
        formula: "m_s h_r/(K_f + K_r − m_s g h_r) · g",
        source: MILLIKEN,
        ..ANGLE
    },
    Definition {
        id: "front.tie_rod_force",
        label: "Tie rod in braking",
        kind: Kind::Force,
        meaning: "Force in one tie rod in the braking looked at, wheels straight.",
        formula: "−M/(u·(b − P)×e), M the moment about the steering axis",
        source: "Statics of the knuckle",
        sense: Some(("pulled", "pushed")),
        ..PLAIN
    },
    Definition {
        id: "front.handwheel",
        label: "Handwheel, one wheel braking",
        kind: Kind::Torque,
        meaning: "Torque at the steering wheel if only one front wheel braked as in the braking looked at: both alike cancel.",
        formula: "rack force · rack per turn/2π",
        source: "Statics of the knuckle",
        ..PLAIN
    },
    Definition {
        id: "front.tightest",
        label: "Tightest in front",
        meaning: "Least gap of anything watched at the front over travel and rack.",
        formula: "min over pairs and poses",
        source: OURS,
        over_range: true,
        ..PLAIN
    },
    Definition {
        id: "front.gap",
        label: "Gap",
        meaning: "Least gap of a pair over travel and rack. Below zero: they touch by so much.",
        formula: "distance of the axes − both radii; the tyre a cylinder grown by its shoulder",
        source: OURS,
        family: true,
        over_range: true,
        ..PLAIN
    },
    Definition {
        id: "front.joint",
        label: "Tilt left",
        kind: Kind::Angle,
        meaning: "Limit of a joint less its greatest tilt over travel and rack: keep 2°.",
        formula: "limit − max tilt",
        source: OURS,
        family: true,
        over_range: true,
        ..PLAIN
    },
    Definition {
        id: "front.curvature",
        label: "Toe curve in an inch of bump",
        meaning: "How the toe curve bends: second derivative times half an inch squared; tells a tie rod of the wrong length.",
        formula: "½ d²δ/dz² · (1 in)²",
        source: RODS,
        ..ANGLE
    },
];
