//! Readings of the launch run.

use units::Kind;

use super::{Definition, OURS, PLAIN};

const RUN: &str = "Time integration of heave, pitch and driveline with traction and wheel-stand limits; closed forms and Bevan, Theory of Machines, as checks (from memory). A model, not a promise";

/// A time in seconds with three decimals would promise too much.
const fn slip(
    id: &'static str,
    label: &'static str,
    meaning: &'static str,
    formula: &'static str,
) -> Definition {
    Definition {
        id,
        label,
        kind: Kind::Time,
        meaning,
        formula,
        source: RUN,
        ..PLAIN
    }
}

pub(super) const RUNS: [Definition; 16] = [
    slip(
        "run.sixty_foot",
        "60 ft",
        "Time to 60 ft on the clock, which starts after the rollout.",
        "t(60 ft) − t(rollout)",
    ),
    slip(
        "run.three_thirty",
        "330 ft",
        "Time to 330 ft on the clock.",
        "t(330 ft) − t(rollout)",
    ),
    slip(
        "run.eighth",
        "Eighth mile",
        "Time to 660 ft on the clock.",
        "t(660 ft) − t(rollout)",
    ),
    slip(
        "run.thousand",
        "1000 ft",
        "Time to 1000 ft on the clock.",
        "t(1000 ft) − t(rollout)",
    ),
    slip(
        "run.quarter",
        "Quarter mile",
        "Time to 1320 ft on the clock.",
        "t(1320 ft) − t(rollout)",
    ),
    Definition {
        id: "run.quarter.speed",
        label: "Quarter mile speed",
        kind: Kind::Speed,
        meaning: "Mean speed over the last 66 ft of the quarter mile, as a trap measures it.",
        formula: "66 ft / time",
        source: RUN,
        ..PLAIN
    },
    slip(
        "run.zero_sixty",
        "0–60 mph",
        "Time from first motion to 60 mph.",
        "t(26.8224 m/s)",
    ),
    slip(
        "run.zero_sixty.rollout",
        "0–60 mph with rollout",
        "The same less the time of the rollout; the car moves already when that clock starts.",
        "t(26.8224 m/s) − t(rollout)",
    ),
    Definition {
        id: "run.peak_g",
        label: "Greatest acceleration",
        kind: Kind::Acceleration,
        meaning: "Greatest forward acceleration of the run.",
        formula: "max a",
        source: RUN,
        ..PLAIN
    },
    Definition {
        id: "run.traction_limited_share",
        label: "Time at the tyres' limit",
        kind: Kind::Ratio,
        meaning: "Share of the time to the quarter mile in which the rear tyres hold less than the engine gives.",
        formula: "seconds at that limit / seconds to 1320 ft",
        source: RUN,
        ..PLAIN
    },
    Definition {
        id: "run.wheel_stand_share",
        label: "Time with the front floating",
        kind: Kind::Ratio,
        meaning: "Share of the time in which the front tyres carry nothing and the thrust is held back for it.",
        formula: "seconds at that limit / seconds to 1320 ft",
        source: RUN,
        ..PLAIN
    },
    Definition {
        id: "run.nose_up",
        label: "Pitch in the run",
        kind: Kind::Angle,
        meaning: "Greatest pitch of the body in the run, nose up.",
        formula: "max −θ",
        source: RUN,
        ..PLAIN
    },
    Definition {
        id: "run.front_rise",
        label: "Front rise in the run",
        meaning: "How far the front comes up in the run.",
        formula: "max droop travel",
        source: RUN,
        ..PLAIN
    },
    Definition {
        id: "run.preload_shift",
        label: "Preload at peak g",
        kind: Kind::Mass,
        meaning: "What spring seats set unlike left and right put on the left rear tyre over the right one at the run's greatest acceleration; below zero: on the right one. The run itself has no roll: this is from the balance under power.",
        formula: "(RL − RR as set) − (RL − RR with both seats at their mean)",
        source: OURS,
        ..PLAIN
    },
    Definition {
        id: "run.measured_cg_height",
        label: "Centre of gravity up, weighed",
        meaning: "Height of the centre of gravity from the weighing with one axle raised, with its error bar.",
        formula: "moments about the rear wheel centre",
        source: "Statics; springs locked solid, tyres at road pressure, wheels free to roll",
        ..PLAIN
    },
    Definition {
        id: "run.cross_weight",
        label: "Cross weight",
        kind: Kind::Ratio,
        meaning: "Right front and left rear over the whole weight, from the corner scales.",
        formula: "(RF + LR) / W",
        source: OURS,
        ..PLAIN
    },
];
