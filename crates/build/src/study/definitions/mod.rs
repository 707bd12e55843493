//! What every reading means: its id, label, kind, definition, formula and source.

mod brakes;
mod clearance;
mod driveline;
mod frame;
mod front;
mod power;
mod run;
mod tubes;
mod welding;

use geometry::{AxleState, InstantCentre};
use units::{Kind, Shop};

/// What a reading is.
#[derive(Clone, Copy)]
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
    /// Its own form, where neither the tape's nor the thousandths will do.
    pub shown: Option<fn(f64, &Shop) -> String>,
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
        if let Some(shown) = self.shown {
            return shown(si, shop);
        }
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
    shown: None,
    sense: None,
    band: None,
    remedy: ("", ""),
    in_pose: None,
};

/// Readings of the rear axle, the car and the fit-up log.
const OWN: [Definition; 18] = [
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

/// Every reading: of the rear axle, the car and the fit-up log, then of the car under power, its
/// springs, links and shaft, of welding, of tube work, of the frame, then of the launch run.
pub const DEFINITIONS: &[Definition] = &ALL;

/// The tables one after the other.
const TABLES: [&[Definition]; 10] = [
    &OWN,
    &power::POWER,
    &welding::WELDING,
    &tubes::TUBES,
    &frame::FRAME,
    &run::RUNS,
    &front::FRONT,
    &brakes::BRAKES,
    &driveline::DRIVELINE,
    &clearance::CLEARANCE,
];

const COUNT: usize = {
    let (mut count, mut table) = (0, 0);
    while table < TABLES.len() {
        count += TABLES[table].len();
        table += 1;
    }
    count
};

static ALL: [Definition; COUNT] = {
    let mut all = [PLAIN; COUNT];
    let (mut at, mut table) = (0, 0);
    while table < TABLES.len() {
        let mut i = 0;
        while i < TABLES[table].len() {
            all[at] = TABLES[table][i];
            at += 1;
            i += 1;
        }
        table += 1;
    }
    all
};

/// Is it a reading of the driveline's own data, beyond the two joint angles?
pub(super) fn of_driveline(d: &Definition) -> bool {
    driveline::DRIVELINE.iter().any(|x| x.id == d.id)
}

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
