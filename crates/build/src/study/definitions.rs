//! What every reading means: its id, label, kind, definition, formula and source.

use geometry::{AxleState, InstantCentre};
use units::{Kind, Shop};

/// What a reading is.
pub struct Definition {
    /// Stable id.
    pub id: &'static str,
    /// Label on gauges and sheets.
    pub label: &'static str,
    /// Kind of quantity.
    pub kind: Kind,
    /// Meaning in one or two sentences.
    pub meaning: &'static str,
    /// Formula with its symbols.
    pub formula: &'static str,
    /// Where the definition comes from.
    pub source: &'static str,
    /// Every part of a kind has one: ids and labels of the parts are added.
    pub family: bool,
    /// Judged over the whole travel or roll, not in one pose.
    pub over_range: bool,
    /// Small lengths where a tape's fraction says too little: shown in thousandths.
    pub fine: bool,
    /// Words behind the value for its sign: (positive, negative).
    pub sense: Option<(&'static str, &'static str)>,
    /// Band when the build gives none, SI.
    pub band: Option<(f64, f64)>,
    /// What to do when it is below or above its band.
    pub remedy: (&'static str, &'static str),
    /// Its value in one pose of the rear axle, where it has one; curves are made of these.
    pub in_pose: Option<fn(&AxleState) -> Option<f64>>,
}

impl std::fmt::Debug for Definition {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_tuple("Definition").field(&self.id).finish()
    }
}

impl PartialEq for Definition {
    fn eq(&self, other: &Self) -> bool {
        self.id == other.id
    }
}

impl Definition {
    /// Kind its band is written in: per cents of every sort are plain ratios in the file.
    pub fn band_kind(&self) -> Kind {
        match self.kind {
            Kind::AngleRatio | Kind::Slope => Kind::Ratio,
            kind => kind,
        }
    }

    /// A value as the shop reads it.
    pub fn display(&self, si: f64, shop: &Shop) -> String {
        match self.sense {
            // Nothing has no side.
            Some(_) if self.amount(si.abs(), shop) == self.amount(0.0, shop) => {
                self.amount(0.0, shop)
            }
            Some((positive, negative)) => {
                let word = if si < 0.0 { negative } else { positive };
                format!("{} {word}", self.amount(si.abs(), shop))
            }
            None => self.amount(si, shop),
        }
    }

    /// A value without the word for its sign.
    pub fn amount(&self, si: f64, shop: &Shop) -> String {
        let show = if self.fine {
            units::format_fine
        } else {
            units::format
        };
        show(self.kind, si, shop)
    }
}

const MILLIKEN: &str = "Gillespie, Fundamentals of Vehicle Dynamics, ch. 7; Milliken & Milliken, Race Car Vehicle Dynamics, ch. 17 (from memory)";
const GILLESPIE: &str = "Gillespie, Fundamentals of Vehicle Dynamics, ch. 7 (from memory)";
const BALANCE: &str = "Quasi-static balance of this program, checked against Gillespie, Fundamentals of Vehicle Dynamics, ch. 1, 2 and 7 (from memory)";
const OURS: &str = "Definition of this program, on ISO 8855 axes";

const PLAIN: Definition = Definition {
    id: "",
    label: "",
    kind: Kind::Length,
    meaning: "",
    formula: "",
    source: OURS,
    family: false,
    over_range: false,
    fine: false,
    sense: None,
    band: None,
    remedy: ("", ""),
    in_pose: None,
};

/// Every reading of the rear axle, the car under power, its springs and links, and the fit-up log.
pub const DEFINITIONS: &[Definition] = &[
    Definition {
        id: "rear.anti_squat",
        label: "Anti-squat",
        kind: Kind::Ratio,
        meaning: "Share of the load transfer that the links carry under power instead of the rear springs. 100 % neither squats nor rises. Uses the whole car's centre of gravity height.",
        formula: "100 · tan φ / (h/L), tan φ = −dx/dz of the tyre contact in heave = rise over run from contact to instant centre; h centre of gravity up, L wheelbase",
        source: MILLIKEN,
        remedy: (
            "raise the lower links' front ends or drop the upper links' front ends",
            "drop the lower links' front ends or raise the upper links' front ends",
        ),
        in_pose: Some(|s| Some(s.anti_squat)),
        ..PLAIN
    },
    Definition {
        id: "rear.ic.station",
        label: "Instant centre ahead",
        meaning: "Where the upper and lower link lines meet in the side view, measured ahead of the rear axle.",
        formula: "x + v_z/ω_y of the axle in unit heave",
        source: MILLIKEN,
        remedy: (
            "make the links closer to parallel in the side view",
            "lean the upper and lower links more toward each other",
        ),
        in_pose: Some(|s| ic(s).map(|p| p.0)),
        ..PLAIN
    },
    Definition {
        id: "rear.ic.height",
        label: "Instant centre up",
        meaning: "Height of that meeting point above the floor.",
        formula: "z − v_x/ω_y of the axle in unit heave",
        source: MILLIKEN,
        remedy: (
            "raise the lower links' front ends",
            "lower the lower links' front ends",
        ),
        in_pose: Some(|s| ic(s).map(|p| p.1)),
        ..PLAIN
    },
    Definition {
        id: "rear.swing_arm.length",
        label: "Side-view swing arm",
        meaning: "Run from the rear tyre's contact to the instant centre.",
        formula: "x of the instant centre − x of the contact",
        source: GILLESPIE,
        remedy: (
            "make the links closer to parallel in the side view",
            "lean the upper and lower links more toward each other",
        ),
        in_pose: Some(|s| s.swing_arm_length),
        ..PLAIN
    },
    Definition {
        id: "rear.anti_lift",
        label: "Anti-lift, braking",
        kind: Kind::Ratio,
        meaning: "Share of the rear's rise under braking that the links hold down, with the brakes on the housing.",
        formula: "100 · p · tan φ / (h/L), p the rear share of the brake force",
        source: MILLIKEN,
        remedy: (
            "raise anti-squat, or move brake force rearward",
            "lower anti-squat, or move brake force forward",
        ),
        in_pose: Some(|s| Some(s.anti_lift)),
        ..PLAIN
    },
    Definition {
        id: "rear.roll_steer",
        label: "Roll steer",
        kind: Kind::AngleRatio,
        meaning: "Degrees the axle steers per degree of axle roll. Under: the axle steers the car out of the turn (steady). Over: into it.",
        formula: "−dψ/dφ in unit roll at held height",
        source: GILLESPIE,
        sense: Some(("under", "over")),
        remedy: (
            "drop the lower links' front ends, or raise the lateral bar",
            "raise the lower links' front ends, or lower the lateral bar",
        ),
        in_pose: Some(|s| Some(s.roll_steer)),
        ..PLAIN
    },
    Definition {
        id: "rear.roll_centre.height",
        label: "Roll centre up",
        meaning: "Height above the floor, at the axle, of the axis the axle rolls about.",
        formula: "(z − z of the contact) + v_y/ω_x in unit roll",
        source: GILLESPIE,
        remedy: (
            "raise the lateral bar or the uppers' meeting point",
            "lower the lateral bar or the uppers' meeting point",
        ),
        in_pose: Some(|s| Some(s.roll_centre_above_ground)),
        ..PLAIN
    },
    Definition {
        id: "rear.roll_axis.slope",
        label: "Roll axis slope",
        kind: Kind::Slope,
        meaning: "Rise of the roll axis per length toward the front. Rising toward the front steers over, falling steers under.",
        formula: "ω_z/ω_x in unit roll",
        source: GILLESPIE,
        sense: Some(("rising ahead", "falling ahead")),
        remedy: ("raise the links' front ends", "lower the links' front ends"),
        in_pose: Some(|s| Some(s.roll_axis_slope)),
        ..PLAIN
    },
    Definition {
        id: "rear.pinion.change",
        over_range: true,
        label: "Pinion over travel",
        kind: Kind::Angle,
        meaning: "How far the pinion angle swings from full droop to full bump, within the travel looked at.",
        formula: "largest − smallest pinion angle over the travel",
        remedy: ("", "make the links closer to parallel and equal in length"),
        in_pose: Some(|s| Some(s.pinion_up)),
        ..PLAIN
    },
    Definition {
        id: "rear.bind.stretch",
        over_range: true,
        label: "Bind in roll",
        fine: true,
        meaning: "What the links would have to stretch for the axle to roll: the rubber, the rod ends or the brackets give instead. The worst link over the roll looked at.",
        formula: "largest |stretch| of any link in the least-squares pose with height and roll held",
        remedy: (
            "",
            "splay the links less, or let rubber ends take it; a lateral bar longer and level binds less",
        ),
        in_pose: Some(|s| Some(s.bind_max)),
        ..PLAIN
    },
    Definition {
        id: "rear.axle.recession",
        over_range: true,
        label: "Axle over travel",
        sense: Some(("back", "ahead")),
        meaning: "How far the axle moves toward the rear over the travel looked at, the largest with its sign; ahead is negative.",
        formula: "−(x − x at ride height)",
        remedy: ("", "level the lower links"),
        in_pose: Some(|s| Some(s.recession)),
        ..PLAIN
    },
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
    Definition {
        id: "car.front_weight",
        label: "Front axle weight",
        kind: Kind::Mass,
        meaning: "Static weight on the two front tyres.",
        formula: "weight · (1 − rear share)",
        ..PLAIN
    },
    Definition {
        id: "car.rear_weight",
        label: "Rear axle weight",
        kind: Kind::Mass,
        meaning: "Static weight on the two rear tyres.",
        formula: "weight · rear share",
        ..PLAIN
    },
    Definition {
        id: "car.transfer_per_g",
        label: "Weight moved back per g",
        kind: Kind::Mass,
        meaning: "Weight that leaves the front tyres for the rear tyres at 1 g ahead. It does not depend on the links.",
        formula: "m · h / L",
        source: "Gillespie, Fundamentals of Vehicle Dynamics, ch. 1 (from memory)",
        ..PLAIN
    },
    Definition {
        id: "fit_up.worst_gap",
        label: "Worst gap",
        fine: true,
        meaning: "Largest gap logged at any joint.",
        formula: "max over joints and clock positions",
        ..PLAIN
    },
    Definition {
        id: "fit_up.pull_in",
        label: "Largest pull-in",
        fine: true,
        meaning: "How far the weld that pulls most will draw its parts together, a first estimate: the middle of the published estimates, with their spread.",
        formula: "√(least · greatest) of the published estimates, times restraint and passes",
        source: "Spraragen & Ettinger 1950; Blodgett; The Welding Institute (from memory)",
        ..PLAIN
    },
    Definition {
        id: "fit_up.out_of_limit",
        label: "Joints out of limit",
        kind: Kind::Count,
        meaning: "Joints whose worst gap the chosen rule rejects.",
        formula: "count",
        source: "The gap rule chosen in the fit-up log",
        band: Some((0.0, 0.0)),
        remedy: (
            "",
            "cut or cope the part again, or have the procedure qualified",
        ),
        ..PLAIN
    },
    Definition {
        id: "fit_up.unlogged",
        label: "Joints not logged",
        kind: Kind::Count,
        meaning: "Joints without a gap at four clock positions or more; a log without joints counts as one.",
        formula: "count",
        source: OURS,
        band: Some((0.0, 0.0)),
        remedy: (
            "",
            "measure the gap at 12, 3, 6 and 9 o'clock before tacking",
        ),
        ..PLAIN
    },
];

fn ic(s: &AxleState) -> Option<(f64, f64)> {
    match s.instant_centre {
        InstantCentre::At { x, z } => Some((x, z)),
        InstantCentre::Infinity { .. } => None,
    }
}

/// The definition with this id.
pub fn definition(id: &str) -> Option<&'static Definition> {
    let named = |d: &&Definition| {
        d.id == id
            || d.family
                && id
                    .strip_prefix(d.id)
                    .is_some_and(|part| part.len() > 1 && part.starts_with('.'))
    };
    DEFINITIONS.iter().find(named)
}
