//! What the sheet says, before it is laid out: both the pages and the CSV are made of it.

use build::{
    Build, Case, CoilStudy, Link, LinkEnd, LinkStudy, RearProblem, RodStudy, Side, Sides, Study,
    definition,
};
use units::{Kind, Shop, format};

use super::value::Value;
use crate::parts::facts::{Facts, Piece};

/// Everything on the sheet.
pub(crate) struct Setting<'a> {
    pub(crate) facts: Facts<'a>,
    pub(crate) shop: Shop,
    pub(crate) rods: Vec<RodLine>,
    pub(crate) coils: Vec<CoilLine>,
    pub(crate) figures: Vec<(&'static str, Value)>,
    pub(crate) cases: Vec<CaseColumn>,
    pub(crate) loads: Vec<LoadLine>,
}

/// One physical link.
pub(crate) struct RodLine {
    pub(crate) label: String,
    pub(crate) side: &'static str,
    pub(crate) length: Value,
    pub(crate) thread: Value,
    /// Thread missing, m, where too little is engaged.
    pub(crate) short: Option<f64>,
    /// "A2", or "?" for a bracket that is not there.
    pub(crate) at_frame: String,
    pub(crate) at_axle: String,
}

/// One physical coil-over.
pub(crate) struct CoilLine {
    pub(crate) label: String,
    pub(crate) side: &'static str,
    pub(crate) rate: Value,
    pub(crate) preload: Value,
    pub(crate) seat: Value,
    pub(crate) length: Value,
}

/// What the car does in one case, in the order of [`CASE_ROWS`].
pub(crate) struct CaseColumn {
    /// Where the car stands: "at rest".
    pub(crate) head: String,
    /// Values; `None` where the question has no sense (change at rest).
    pub(crate) values: Vec<Option<Value>>,
}

/// What one link bears.
pub(crate) struct LoadLine {
    pub(crate) label: String,
    pub(crate) side: &'static str,
    pub(crate) force: Value,
    pub(crate) case: String,
    pub(crate) safety: Value,
    pub(crate) governing: String,
    pub(crate) meets_target: bool,
    /// Cases without a balance, and so not counted.
    pub(crate) without: Vec<String>,
}

/// Figures of the car as set: the reading's id and what it is called here.
const FIGURES: [(&str, &str); 12] = [
    ("rear.anti_squat", "anti-squat"),
    ("rear.ic.station", "instant centre ahead"),
    ("rear.ic.height", "instant centre up"),
    ("rear.roll_steer", "roll steer"),
    ("rear.roll_centre.height", "roll centre up"),
    ("rear.pinion.change", "pinion over travel"),
    ("spring.frequency.front", "front ride frequency"),
    ("spring.frequency.rear", "rear ride frequency"),
    ("launch.rest.height", "rear stands"),
    ("launch.rest.lean", "lean at rest"),
    ("launch.traction.acceleration", "tyres slip at"),
    ("launch.lift_off", "front lifts at"),
];

/// Rows of the table of cases: the end of the reading's id and what it is called here.
pub(crate) const CASE_ROWS: [(&str, &str); 8] = [
    ("front_left", "left front tyre"),
    ("front_right", "right front tyre"),
    ("rear_left", "left rear tyre"),
    ("rear_right", "right rear tyre"),
    ("rear_difference", "rear, left less right"),
    ("squat", "rear squat"),
    ("front_rise", "front rise"),
    ("pitch", "pitch"),
];

impl<'a> Setting<'a> {
    pub(crate) fn new(build: &'a Build, study: &'a Study, shop: Shop) -> Self {
        let facts = Facts::new(build, study, shop);
        Self {
            rods: rods(&facts, &shop),
            coils: coils(build, study, &shop),
            figures: FIGURES
                .map(|(id, label)| (label, Value::reading(study, id, &shop)))
                .into(),
            cases: cases(build, study, &shop),
            loads: loads(build, study, &shop),
            facts,
            shop,
        }
    }

    /// The links bolted to a bracket.
    pub(crate) fn links_on(&self, piece: &Piece<'_>) -> Vec<&'a Link> {
        let id = &piece.bracket.id;
        let on = |l: &&Link| l.at_frame.bracket == *id || l.at_axle.bracket == *id;
        self.facts.build.rear.links.iter().filter(on).collect()
    }
}

/// The word for a side of a part.
fn word(side: Side) -> &'static str {
    match side {
        Side::Left => "left",
        Side::Right => "right",
        Side::Both => "one",
    }
}

/// The end of a part's id.
fn ending(side: Side) -> &'static str {
    match side {
        Side::Left => ".left",
        Side::Right => ".right",
        Side::Both => "",
    }
}

fn rods(facts: &Facts<'_>, shop: &Shop) -> Vec<RodLine> {
    let mut out = Vec::new();
    for (index, link) in facts.build.rear.links.iter().enumerate() {
        let sides: &[Side] = match link.sides {
            Sides::Pair => &[Side::Left, Side::Right],
            Sides::Single => &[Side::Both],
        };
        for side in sides {
            let rod = facts
                .study
                .rear
                .rods
                .iter()
                .find(|r| r.link == index && r.side == *side);
            out.push(rod_line(facts, link, *side, rod, shop));
        }
    }
    out
}

fn rod_line(
    facts: &Facts<'_>,
    link: &Link,
    side: Side,
    rod: Option<&RodStudy>,
    shop: &Shop,
) -> RodLine {
    let hole = |e: &LinkEnd| {
        let hole = match side {
            Side::Right => e.right_hole.unwrap_or(e.hole),
            _ => e.hole,
        };
        format!("{}{hole}", facts.letter_of(&e.bracket).unwrap_or("?"))
    };
    let (length, thread, short) = match rod {
        Some(r) => (
            Value::kept(Kind::Length, r.length, shop),
            if r.engaged > 0.0 {
                Value::kept(Kind::Length, r.engaged, shop)
            } else {
                Value::shown_as(Kind::Length, r.engaged, "none".to_owned())
            },
            (r.reserve < 0.0).then_some(-r.reserve),
        ),
        None => {
            let why = match &facts.study.rear.motion {
                Err(RearProblem::LinkEnd { id, what, .. }) if *id == link.id => what.clone(),
                _ => "an end is not on a hole".to_owned(),
            };
            (Value::none(why.clone()), Value::none(why), None)
        }
    };
    RodLine {
        label: link.label.clone(),
        side: word(side),
        length,
        thread,
        short,
        at_frame: hole(&link.at_frame),
        at_axle: hole(&link.at_axle),
    }
}

fn coils(build: &Build, study: &Study, shop: &Shop) -> Vec<CoilLine> {
    let line = |c: &CoilStudy| {
        let x = build.power.coilovers.get(c.coilover)?;
        let read = |what: &str| {
            Value::reading(
                study,
                &format!("spring.{what}.{}{}", x.id, ending(c.side)),
                shop,
            )
        };
        Some(CoilLine {
            label: x.label.clone(),
            side: word(c.side),
            rate: Value::kept(Kind::SpringRate, x.rate.si(), shop),
            preload: read("preload"),
            seat: read("seat"),
            length: Value::kept(Kind::Length, c.length, shop),
        })
    };
    study.launch.coilovers.iter().filter_map(line).collect()
}

fn cases(build: &Build, study: &Study, shop: &Shop) -> Vec<CaseColumn> {
    let power = &build.power;
    let g = |a: f64| format(Kind::Acceleration, a, shop);
    let limit = study.launch.reactions.as_ref().ok();
    let limit = limit.and_then(|r| r.traction.as_ref().ok());
    let slips = study
        .reading("launch.traction.acceleration")
        .is_some_and(|r| r.value.is_ok());
    let limit = match limit {
        Some(t) if slips => format!("tyres slip\n{}", g(t.acceleration)),
        // The front comes up before the tyres slip.
        Some(t) => format!("the most it takes\n{}", g(t.acceleration)),
        None => "tyres slip".to_owned(),
    };
    let column = |head: String, prefix: &str| CaseColumn {
        head,
        values: CASE_ROWS
            .map(|(what, _)| {
                Some(Value::reading(
                    study,
                    &format!("launch.{prefix}{what}"),
                    shop,
                ))
            })
            .into(),
    };
    vec![
        at_rest(study, shop),
        column(format!("launch\n{}", g(power.acceleration.si())), ""),
        column(limit, "traction."),
        column(format!("braking\n{}", g(power.braking.si())), "braking."),
    ]
}

/// The car standing has loads, and no change against itself.
fn at_rest(study: &Study, shop: &Shop) -> CaseColumn {
    let balance = match &study.launch.reactions {
        Ok(r) => r.balance(Case::Rest),
        Err(why) => Err(why.clone()),
    };
    let value = |what: &str| {
        let b = match &balance {
            Ok(b) => b,
            Err(why) => return Some(Value::none(why.clone())),
        };
        let si = match what {
            "front_left" => b.tyre_load.front_left,
            "front_right" => b.tyre_load.front_right,
            "rear_left" => b.tyre_load.rear_left,
            "rear_right" => b.tyre_load.rear_right,
            "rear_difference" => b.rear_load_difference,
            _ => return None,
        };
        Some(Value::like(definition(&format!("launch.{what}")), si, shop))
    };
    CaseColumn {
        head: "at rest".to_owned(),
        values: CASE_ROWS.map(|(what, _)| value(what)).into(),
    }
}

fn loads(build: &Build, study: &Study, shop: &Shop) -> Vec<LoadLine> {
    let mut out = Vec::new();
    for (r, strength) in study.rear.rods.iter().zip(&study.launch.links) {
        let Some(link) = build.rear.links.get(r.link) else {
            continue;
        };
        let base = LoadLine {
            label: link.label.clone(),
            side: word(r.side),
            force: Value::none(""),
            case: String::new(),
            safety: Value::none(""),
            governing: String::new(),
            meets_target: true,
            without: Vec::new(),
        };
        out.push(match strength {
            Err(why) => LoadLine {
                force: Value::none(why.clone()),
                safety: Value::none(why.clone()),
                ..base
            },
            Ok(s) => LoadLine {
                safety: Value::reading(
                    study,
                    &format!("link.safety.{}{}", link.id, ending(r.side)),
                    shop,
                ),
                governing: s.governing().unwrap_or_default(),
                meets_target: s.verdict.meets_target,
                without: s.without.clone(),
                ..worst(s, base, shop)
            },
        });
    }
    out
}

/// The largest force in any case, and the case.
fn worst(s: &LinkStudy, line: LoadLine, shop: &Shop) -> LoadLine {
    let worst = s
        .cases
        .iter()
        .max_by(|a, b| a.force.abs().total_cmp(&b.force.abs()));
    match worst {
        Some(w) => LoadLine {
            force: Value::like(definition("launch.rod"), w.force, shop),
            case: w.name.clone(),
            ..line
        },
        None => LoadLine {
            force: Value::none("no case has a balance"),
            ..line
        },
    }
}
