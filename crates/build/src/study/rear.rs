//! The rear axle on its links: from brackets and holes to rods, poses and curves.

use geometry::{
    AssembledAxle, AxleCar, AxleError, AxleLinkage, AxleState, Curve, DrawnRod, Moving, Point3,
};
use units::Kind;

use super::{Finding, Part, Phrase, Severity};
use crate::{Build, Car, Carrier, LinkEnd, Rear, Side, Sides};

/// Poses in a sweep: ± the range in 161 steps.
pub const SWEEP_STEPS: usize = 161;

/// The links as they stand and how the axle moves on them.
#[derive(Debug, Clone)]
pub struct RearStudy {
    /// Every rod that could be placed, in the build's order, left before right.
    pub rods: Vec<RodStudy>,
    /// How the axle moves, or why it can not.
    pub motion: Result<Motion, RearProblem>,
}

/// One physical link.
#[derive(Debug, Clone, PartialEq)]
pub struct RodStudy {
    /// Index of the link in the build.
    pub link: usize,
    /// Left or right of a pair; `Both` for a single bar.
    pub side: Side,
    /// Its end on the frame, m.
    pub frame: [f64; 3],
    /// Its end on the axle as drawn, m.
    pub axle: [f64; 3],
    /// Eye to eye as drawn, m.
    pub drawn: f64,
    /// Eye to eye as built, m: the held length, or the drawn one.
    pub length: f64,
    /// Thread engaged at each end, m.
    pub engaged: f64,
    /// Engagement beyond one thread diameter, m; negative is too little.
    pub reserve: f64,
    /// Rise toward the front in the side view, rad.
    pub side_angle: f64,
    /// Splay in plan, rad: frame end further left than axle end is positive.
    pub plan_angle: f64,
}

/// How the axle moves on its links.
#[derive(Debug, Clone)]
pub struct Motion {
    /// The axle on its links, assembled at ride height.
    pub axle: AssembledAxle,
    /// At ride height, level.
    pub ride: AxleState,
    /// Over travel, level; with where the rods stop reaching, if they do.
    pub travel: Curve,
    /// Over roll, at ride height.
    pub roll: Curve,
}

/// What a sweep runs over.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Over {
    /// Travel, m, bump positive.
    Travel,
    /// Axle roll, rad, left wheel in bump positive.
    Roll,
}

impl Over {
    /// Where a pose is on the way, m or rad.
    pub fn of(self, s: &AxleState) -> f64 {
        match self {
            Self::Travel => s.travel,
            Self::Roll => s.roll,
        }
    }
}

impl Motion {
    /// The sweep over travel or roll.
    pub fn sweep(&self, over: Over) -> &Curve {
        match over {
            Over::Travel => &self.travel,
            Over::Roll => &self.roll,
        }
    }
}

/// Why there is no motion.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum RearProblem {
    /// No links drawn yet.
    #[error("no links are drawn yet")]
    NoLinks,
    /// A link's end is not on a hole.
    #[error("{link}: {what}")]
    LinkEnd {
        /// Id of the link.
        id: String,
        /// Its label.
        link: String,
        /// What is wrong.
        what: String,
    },
    /// The rods do not hold the axle, or do not reach.
    #[error("{}", axle_words(.0))]
    Axle(AxleError),
}

/// What an axle error means in the shop.
fn axle_words(e: &AxleError) -> String {
    match e {
        AxleError::CannotAssemble { share, .. } => format!(
            "the links do not go together at ride height: they reach {:.0} % of the way to the lengths held",
            share * 100.0
        ),
        AxleError::OutOfReach { .. } => "the links stop reaching within the range looked at".to_owned(),
        AxleError::BadCar { what, .. } => format!("the {what} can not be right"),
        AxleError::MixedStiffness { .. } | AxleError::Motion(_) => {
            "the links do not hold the axle: it takes four links and a lateral bar, or four that triangulate".to_owned()
        }
    }
}

impl RearStudy {
    /// The rod of a link on a side.
    pub fn rod(&self, link: usize, side: Side) -> Option<&RodStudy> {
        self.rods
            .iter()
            .find(|r| r.link == link && (r.side == side || r.side == Side::Both))
    }
}

pub(super) fn study(car: &Car, rear: &Rear) -> RearStudy {
    let (rods, problem) = place(rear);
    let motion = match problem {
        Some(p) => Err(p),
        None if rods.is_empty() => Err(RearProblem::NoLinks),
        None => motion(car, rear, &rods),
    };
    RearStudy { rods, motion }
}

/// The rods the brackets and holes give, and the first end that is on no hole.
pub(super) fn place(rear: &Rear) -> (Vec<RodStudy>, Option<RearProblem>) {
    let mut rods = Vec::new();
    let mut problem = None;
    for (index, link) in rear.links.iter().enumerate() {
        let sides: &[Side] = match link.sides {
            Sides::Pair => &[Side::Left, Side::Right],
            Sides::Single => &[Side::Both],
        };
        for &side in sides {
            let ends = end(rear, &link.at_frame, Carrier::Frame, side)
                .and_then(|a| Ok((a, end(rear, &link.at_axle, Carrier::Axle, side)?)));
            match ends {
                Ok((frame, axle)) => {
                    let d = [0, 1, 2].map(|k| frame[k] - axle[k]);
                    let drawn = (d[0] * d[0] + d[1] * d[1] + d[2] * d[2]).sqrt();
                    let length = link.held.map_or(drawn, |h| match side {
                        Side::Right => h.right.si(),
                        _ => h.left.si(),
                    });
                    let engaged = link.engaged(length);
                    rods.push(RodStudy {
                        link: index,
                        side,
                        frame,
                        axle,
                        drawn,
                        length,
                        engaged,
                        reserve: engaged - link.rod_end.thread.si(),
                        side_angle: d[2].atan2(d[0]),
                        plan_angle: d[1].atan2(d[0]),
                    });
                }
                Err(what) => {
                    problem.get_or_insert(RearProblem::LinkEnd {
                        id: link.id.clone(),
                        link: link.label.clone(),
                        what,
                    });
                }
            }
        }
    }
    (rods, problem)
}

pub(super) fn end(rear: &Rear, end: &LinkEnd, on: Carrier, side: Side) -> Result<[f64; 3], String> {
    let Some(bracket) = rear.bracket(&end.bracket) else {
        return Err(format!("there is no bracket \"{}\"", end.bracket));
    };
    if bracket.on != on {
        let (want, is) = match on {
            Carrier::Frame => ("frame", "axle"),
            Carrier::Axle => ("axle", "frame"),
        };
        return Err(format!(
            "its {want} end is on {}, which is on the {is}",
            bracket.label
        ));
    }
    let hole = match side {
        Side::Right => end.right_hole.unwrap_or(end.hole),
        _ => end.hole,
    };
    let Some(at) = bracket.hole(hole) else {
        return Err(format!("{} has no hole {hole}", bracket.label));
    };
    Ok(match (side, bracket.sides) {
        (Side::Right, Sides::Pair) => at.mirrored().si(),
        _ => at.si(),
    })
}

/// What the figures need to know of the car.
pub(super) fn axle_car(car: &Car) -> AxleCar {
    AxleCar {
        wheelbase: car.wheelbase.si(),
        mass: car.mass.si(),
        cg_height: car.cg_height.si(),
        loaded_radius: car.rear.loaded_radius.si(),
        rear_brake_share: car.rear_brake_share.si(),
        rear_track: car.rear.track.si(),
    }
}

/// The axle on placed rods, at ride height.
pub(super) fn assemble(car: &Car, rods: &[RodStudy]) -> Result<AssembledAxle, RearProblem> {
    let car = axle_car(car);
    let drawn: Vec<DrawnRod> = rods
        .iter()
        .map(|r| DrawnRod {
            frame_point: Point3::from(r.frame),
            housing_point: Point3::from(r.axle),
            length: (r.length != r.drawn).then_some(r.length),
            stiffness: None,
        })
        .collect();
    AxleLinkage::drawn(&car, &drawn)
        .and_then(|l| l.assemble(car))
        .map_err(RearProblem::Axle)
}

fn motion(car: &Car, rear: &Rear, rods: &[RodStudy]) -> Result<Motion, RearProblem> {
    let axle = assemble(car, rods)?;
    let (travel, roll) = (rear.travel.si(), rear.roll.si());
    Ok(Motion {
        ride: axle.state_at(&axle.design).map_err(RearProblem::Axle)?,
        travel: axle
            .travel_curve(0.0, -travel, travel, SWEEP_STEPS)
            .map_err(RearProblem::Axle)?,
        roll: axle
            .roll_curve(0.0, -roll, roll, SWEEP_STEPS)
            .map_err(RearProblem::Axle)?,
        axle,
    })
}

/// Left and right may differ by this much before the axle stands crooked: 1/32 in.
const UNEQUAL: f64 = 0.000_793_75;

pub(super) fn findings(b: &Build, study: &RearStudy, out: &mut Vec<Finding>) {
    match &study.motion {
        Ok(motion) => limits(motion, out),
        Err(problem) => out.push(problem_finding(problem)),
    }
    for (index, link) in b.rear.links.iter().enumerate() {
        let part = || Part::Link(link.id.clone());
        let rods: Vec<&RodStudy> = study.rods.iter().filter(|r| r.link == index).collect();
        if let Some(short) = rods.iter().find(|r| r.reserve < 0.0) {
            out.push(Finding::new(
                Severity::Error,
                part(),
                Phrase::from(format!("{}: only ", link.label))
                    .len(short.engaged.max(0.0))
                    .t(" of thread engaged, less than its diameter of ")
                    .len(link.rod_end.thread.si()),
                "Make the link's tube longer, or use rod ends with more shank",
            ));
        }
        if let [left, right] = rods[..]
            && (left.length - right.length).abs() > UNEQUAL
            && (left.drawn - right.drawn).abs() <= UNEQUAL
        {
            out.push(Finding::new(
                Severity::Warning,
                part(),
                Phrase::from(format!("{}: left and right differ by ", link.label))
                    .len((left.length - right.length).abs())
                    .t(", so the axle does not stand square"),
                "Set both to the same length, then square the axle to the frame",
            ));
        }
        if let Some(r) = rods
            .iter()
            .find(|r| (r.length - r.drawn).abs() > 0.05 * r.drawn)
        {
            out.push(Finding::new(
                Severity::Warning,
                part(),
                Phrase::from(format!("{}: held at ", link.label))
                    .len(r.length)
                    .t(", but the holes are ")
                    .len(r.drawn)
                    .t(" apart"),
                "Reset the length, or choose another hole",
            ));
        }
    }
    sideways(b, study, out);
    for bracket in &b.rear.brackets {
        plate(bracket, out);
        let used =
            |l: &&crate::Link| l.at_frame.bracket == bracket.id || l.at_axle.bracket == bracket.id;
        if !b.rear.links.iter().any(|l| used(&l)) {
            out.push(Finding::new(
                Severity::Remark,
                Part::Bracket(bracket.id.clone()),
                format!("Nothing is bolted to {}", bracket.label),
                "Bolt a link to it, or remove it",
            ));
        }
    }
}

/// Links that all run straight ahead let the axle wander sideways.
fn sideways(b: &Build, study: &RearStudy, out: &mut Vec<Finding>) {
    /// Splay under which a link holds next to nothing sideways, rad: 2 degrees (own value).
    const STRAIGHT: f64 = 0.035;
    let holds = |r: &RodStudy| r.plan_angle.sin().abs() > STRAIGHT;
    if study.rods.len() >= 3 && !study.rods.iter().any(holds) {
        out.push(Finding::new(
            Severity::Error,
            rear_page(),
            "Nothing holds the axle sideways",
            "Add a lateral bar, or splay one pair of links",
        ));
    }
    for l in &b.rear.links {
        if l.role == crate::LinkRole::Lateral && l.sides == Sides::Pair {
            out.push(Finding::new(
                Severity::Warning,
                Part::Link(l.id.clone()),
                format!("{} is drawn on both sides", l.label),
                "One lateral bar is enough: two fight each other over travel",
            ));
        }
    }
}

/// Where trouble with the linkage as a whole is mended.
fn rear_page() -> Part {
    Part::Phase("rear_links".to_owned())
}

fn problem_finding(problem: &RearProblem) -> Finding {
    match problem {
        RearProblem::NoLinks => Finding::new(
            Severity::Remark,
            rear_page(),
            "No links are drawn yet, so the rear axle has no readings",
            "In Rear links, add brackets and links, or start from a sample",
        ),
        RearProblem::LinkEnd { id, link, what } => Finding::new(
            Severity::Error,
            Part::Link(id.clone()),
            format!("{link}: {what}"),
            "Choose a bracket and a hole that are there",
        ),
        RearProblem::Axle(AxleError::CannotAssemble { share, .. }) => Finding::new(
            Severity::Error,
            rear_page(),
            format!(
                "The axle can not be put together at ride height: the rods reach only {:.0} % of the way to the lengths held",
                share * 100.0
            ),
            "Reset the held lengths, or correct the one that is far from its holes",
        ),
        RearProblem::Axle(e) => Finding::new(
            Severity::Error,
            rear_page(),
            format!("The rear axle does not solve: {}", axle_words(e)),
            "A rear axle needs four links and a lateral bar, or four links that triangulate",
        ),
    }
}

fn limits(motion: &Motion, out: &mut Vec<Finding>) {
    for limit in [
        &motion.travel.low_limit,
        &motion.travel.high_limit,
        &motion.roll.low_limit,
        &motion.roll.high_limit,
    ]
    .into_iter()
    .flatten()
    {
        let text = match limit {
            AxleError::OutOfReach {
                moving: Moving::Travel,
                begins_at,
                ..
            } => Phrase::from("The links stop reaching at ")
                .fine(begins_at.abs())
                .t(if *begins_at < 0.0 {
                    " of droop"
                } else {
                    " of bump"
                }),
            AxleError::OutOfReach {
                moving: Moving::Roll,
                begins_at,
                ..
            } => Phrase::from("The links stop reaching at ")
                .q(Kind::Angle, begins_at.abs())
                .t(" of roll"),
            other => format!("The links stop reaching: {}", axle_words(other)).into(),
        };
        out.push(Finding::new(
            Severity::Error,
            rear_page(),
            text,
            "Lengthen the short link, or stop the axle before it gets there",
        ));
    }
}

/// Plate edges and hole spacing, against the drill: common practice, no source.
fn plate(bracket: &crate::Bracket, out: &mut Vec<Finding>) {
    let (drill, label) = (bracket.drill.si(), &bracket.label);
    let part = || Part::Bracket(bracket.id.clone());
    if bracket.plate_width.si() < 2.0 * drill {
        out.push(Finding::new(
            Severity::Warning,
            part(),
            Phrase::from(format!("{label}: "))
                .len(drill)
                .t(" holes in a plate ")
                .len(bracket.plate_width.si())
                .t(" wide"),
            "Leave at least half a hole of plate on each side",
        ));
    }
    let holes: Vec<(f64, f64)> = (1..=bracket.hole_count())
        .filter_map(|n| bracket.hole_shift(n))
        .collect();
    let mut least = f64::INFINITY;
    for (i, a) in holes.iter().enumerate() {
        for b in &holes[i + 1..] {
            least = least.min((a.0 - b.0).hypot(a.1 - b.1));
        }
    }
    if least < drill {
        out.push(Finding::new(
            Severity::Error,
            part(),
            Phrase::from(format!("{label}: holes "))
                .len(least)
                .t(" apart run into each other at ")
                .len(drill)
                .t(" drill"),
            "Space them wider, or use a smaller bolt",
        ));
    } else if least < 1.2 * drill {
        out.push(Finding::new(
            Severity::Warning,
            part(),
            Phrase::from(format!("{label}: only "))
                .len(least - drill)
                .t(" of plate between holes"),
            "Space them wider, or stagger the row",
        ));
    }
}
