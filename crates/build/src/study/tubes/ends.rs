//! How a tube's end is cut.

use geometry::tube::cope::{
    Cope, CopeError, CopeFinding, End, Extreme, HoleSaw, Main, Mitre, NEAR_PARALLEL, NoHoleSaw,
};
use geometry::tube::section::Section;
use units::Kind;

use super::super::Phrase;
use super::super::drawn::{Drawn, Met, Solid};
use crate::{Build, EndCut};

/// One end of a tube.
#[derive(Debug, Clone)]
pub struct EndStudy {
    /// Which.
    pub end: End,
    /// Its node.
    pub node: String,
    /// What it meets: tubes that run through first, then ends in the order drawn.
    pub meets: Vec<Met>,
    /// How it is cut.
    pub shape: EndShape,
}

/// How an end is cut.
#[derive(Debug, Clone)]
pub enum EndShape {
    /// Square: nothing drawn there cuts it.
    Square,
    /// Square, butted to a tube that runs on: its place among the tubes.
    RunsOn(usize),
    /// Mitred with another of the same section.
    Mitre {
        /// Place of the other among the tubes.
        with: usize,
        /// The cut; its radius is half the tube's size in the plane of the two.
        mitre: Mitre,
        /// φ of the side toward the other tube, rad.
        toward: f64,
    },
    /// Coped.
    Cope(Box<CopeStudy>),
    /// Why there is no cut.
    Failed(Phrase),
}

/// A coped end. Lengths in m.
#[derive(Debug, Clone)]
pub struct CopeStudy {
    /// The cut.
    pub cope: Cope,
    /// Its mains, as places among the tubes, in the order the cut knows them.
    pub mains: Vec<usize>,
    /// Cut straight in toward the axis.
    pub square: bool,
    /// Long point of the cut, from the work point into the tube.
    pub long: Extreme,
    /// Short point.
    pub short: Extreme,
    /// Largest gap a square cut leaves at the outside: along the axis, and to the main.
    pub gap: Option<(f64, f64)>,
    /// Settings of a hole saw, or why a plain one will not do.
    pub saw: Result<HoleSaw, NoHoleSaw>,
    /// Remarks on the cut.
    pub remarks: Vec<CopeFinding>,
}

impl EndStudy {
    /// Long point from the work point into the tube, m; negative where the end goes past it.
    pub fn long_point(&self) -> f64 {
        match &self.shape {
            EndShape::Square | EndShape::RunsOn(_) | EndShape::Failed(_) => 0.0,
            EndShape::Mitre { mitre, .. } => mitre.long_point(),
            EndShape::Cope(cut) => cut.long.s,
        }
    }

    /// The cope, where it is one.
    pub fn cope(&self) -> Option<&Cope> {
        match &self.shape {
            EndShape::Cope(cut) => Some(&cut.cope),
            _ => None,
        }
    }
}

impl CopeStudy {
    /// The marked profile at φ (rad) or p (m): from the work point into the tube, m.
    pub fn profile(&self, at: f64) -> f64 {
        if self.square {
            self.cope.square(at)
        } else {
            self.cope.outer(at)
        }
    }
}

pub(super) fn study(
    b: &Build,
    drawn: &Drawn<'_>,
    solid: &Solid<'_>,
    tube: usize,
    end: End,
) -> EndStudy {
    let place = usize::from(end == End::B);
    let meets = &drawn.meets[tube][place];
    EndStudy {
        end,
        node: match end {
            End::A => solid.tube.from.clone(),
            End::B => solid.tube.to.clone(),
        },
        meets: meets.clone(),
        shape: shape(b, drawn, solid, tube, end, meets),
    }
}

/// Half of a section's size along a direction across it, m.
fn half(section: &Section, up: f64, side: f64) -> f64 {
    match *section {
        Section::Round { od, .. } => 0.5 * od,
        Section::Rectangular { height, width, .. } => {
            0.5 * (height * up.abs() + width * side.abs())
        }
    }
}

/// Two of the same section that alone end at a node, or first of all that do.
fn partner(drawn: &Drawn<'_>, solid: &Solid<'_>, tube: usize, meets: &[Met]) -> Option<Met> {
    let first = meets.first()?;
    first.ends_here?;
    let other = drawn.solids[first.tube].as_ref().ok()?;
    if other.section != solid.section {
        return None;
    }
    // A third that was drawn before this one is cut first: this one is coped to both.
    let second = meets.get(1).is_none_or(|m| m.tube > tube);
    second.then_some(*first)
}

/// Axes within a hair of one line, rad: 0.1°.
const IN_LINE: f64 = 0.001_745;

fn shape(
    b: &Build,
    drawn: &Drawn<'_>,
    solid: &Solid<'_>,
    tube: usize,
    end: End,
    meets: &[Met],
) -> EndShape {
    let Some(landing) = solid.landing(end) else {
        return EndShape::Failed(Phrase::from("its direction there can not be told"));
    };
    let u = landing.inward();
    if let Some(met) = partner(drawn, solid, tube, meets)
        && let Ok(other) = &drawn.solids[met.tube]
    {
        let away = other.as_main(&met).direction;
        let included = u.cross(&away).norm().atan2(u.dot(&away));
        if std::f64::consts::PI - included < IN_LINE {
            return EndShape::RunsOn(met.tube);
        }
        let across = away - u * away.dot(&u);
        let toward = landing.axes.phi(&across);
        let (side, up) = toward.sin_cos();
        if let Ok(mitre) = Mitre::new(half(&solid.section, up, side), included) {
            return EndShape::Mitre {
                with: met.tube,
                mitre,
                toward,
            };
        }
    }
    let all: Vec<(usize, Main)> = meets
        .iter()
        .filter(|m| m.cuts)
        .filter_map(|m| Some((m.tube, drawn.solids[m.tube].as_ref().ok()?.as_main(m))))
        .collect();
    // A tube that ends there and runs the other way in line never touches this end.
    let onward = |main: &Main| {
        let m = main.direction;
        main.ends_here && m.cross(&u).norm().atan2(-m.dot(&u)) < NEAR_PARALLEL
    };
    let cutting: Vec<&(usize, Main)> = all.iter().filter(|(_, main)| !onward(main)).collect();
    if cutting.is_empty() {
        return match all.first() {
            Some((other, _)) => EndShape::RunsOn(*other),
            None => EndShape::Square,
        };
    }
    let mains: Vec<Main> = cutting.iter().map(|(_, main)| *main).collect();
    let numbers: Vec<usize> = cutting.iter().map(|(i, _)| *i).collect();
    match Cope::new(&solid.section, &landing, &mains) {
        Ok(cope) => {
            let square = b.tube_work.cut == EndCut::Square;
            let long = if square {
                cope.square_long_point()
            } else {
                cope.long_point()
            };
            let gap = square.then(|| widest_gap(&cope));
            EndShape::Cope(Box::new(CopeStudy {
                mains: numbers,
                square,
                long,
                short: cope.short_point(),
                gap,
                saw: cope.hole_saw(),
                remarks: cope.findings(),
                cope,
            }))
        }
        Err(e) => EndShape::Failed(failure(b, &numbers, &e)),
    }
}

/// Places looked at round a square cut.
const LOOKS: u32 = 120;

fn widest_gap(cope: &Cope) -> (f64, f64) {
    let turn = cope.section().turn();
    (0..LOOKS)
        .map(|i| turn * f64::from(i) / f64::from(LOOKS))
        .map(|at| (cope.square_gap(at), cope.square_gap_normal(at)))
        .fold((0.0, 0.0), |most, gap| {
            (most.0.max(gap.0), most.1.max(gap.1))
        })
}

fn failure(b: &Build, mains: &[usize], e: &CopeError) -> Phrase {
    let name = |main: usize| {
        let tube = mains.get(main).and_then(|i| b.assembly.tubes.get(*i));
        tube.map_or_else(|| "the other tube".to_owned(), |t| t.label.clone())
    };
    match e {
        CopeError::Misses { main, clearance } => {
            Phrase::from(format!("it passes {} by ", name(*main)))
                .len(*clearance)
                .t(" without touching it")
        }
        CopeError::Overhang { arcs, inside } => Phrase::from(format!(
            "part of its {} edge meets nothing ({} {}): no wrap",
            if *inside { "inside" } else { "outside" },
            arcs.len(),
            if arcs.len() == 1 {
                "stretch"
            } else {
                "stretches"
            }
        )),
        CopeError::NearParallel { main, alpha } => {
            Phrase::from(format!("it lies nearly along {}, at ", name(*main)))
                .q(Kind::Angle, *alpha)
                .t(": no cope under 10°")
        }
        _ => Phrase::from("its sizes or place there are no tube's"),
    }
}
