//! Tube work: what to cut, where to bend, how each end meets the others, what it weighs.

mod ends;
mod findings;
mod readings;
mod stock;

use std::sync::Arc;

use geometry::tube::bend::{Bend, Centreline, Shop};
use geometry::tube::cope::{CopedTube, End};
use geometry::tube::section::Section;
use geometry::tube::shaping::{OutsideWall, Springback, outside_wall};

use super::Phrase;
pub use super::drawn::Met;
use super::drawn::{Drawn, Solid, elasticity};
use crate::{Build, Tube};

pub use ends::{CopeStudy, EndShape, EndStudy};
pub(super) use findings::findings;
pub(super) use readings::readings;
pub use stock::Nest;

/// Said wherever tubes are cut and bent.
pub const TUBE_CAUTION: &str = "Gloves on cut edges, eyes covered. A hole saw grabs: clamp the \
     tube. Roll structures and tube sizes: the current rule book and a licensed inspector decide.";

/// Every tube of the assembly as it is to be made.
#[derive(Debug)]
pub struct TubesStudy {
    /// In the assembly's order.
    pub tubes: Vec<TubeStudy>,
    /// Bars to cut them from, one entry for each section and material.
    pub nests: Vec<Nest>,
}

/// A tube as it is to be made.
#[derive(Debug, Clone)]
pub struct TubeStudy {
    /// Its short name.
    pub id: String,
    /// What the shop calls it.
    pub label: String,
    /// How to make it, or why it can not be told.
    pub part: Result<Arc<TubePart>, Phrase>,
}

/// How to make a tube. Lengths in m, angles in rad.
#[derive(Debug, Clone)]
pub struct TubePart {
    /// Its centreline.
    pub line: Centreline,
    /// Its section.
    pub section: Section,
    /// End A and end B.
    pub ends: [EndStudy; 2],
    /// Length to saw: from long point to long point along the unbent tube, gains taken off.
    pub cut: f64,
    /// Along its axis, from surface to surface of what it meets, where both ends meet something.
    pub centre: Option<f64>,
    /// Clock of end B's cut less that of end A's.
    pub relative_clock: Option<f64>,
    /// Mass, kg.
    pub mass: f64,
    /// Bends from A to B.
    pub bends: Vec<BendStudy>,
}

/// One bend of a tube. Lengths in m, angles in rad.
#[derive(Debug, Clone)]
pub struct BendStudy {
    /// Node of its corner.
    pub node: String,
    /// The bend.
    pub bend: Bend,
    /// Angle to bend to on the machine, from the die's table.
    pub set: Result<f64, &'static str>,
    /// Mark from the sawn end A: bend start and the die's offset.
    pub from_a: f64,
    /// Mark from the sawn end B, for bending that end first.
    pub from_b: f64,
    /// Straight before it, from the last bend or from end A's work point.
    pub straight: f64,
    /// Wall left at the outside of the bend; round tube only.
    pub wall: Option<OutsideWall>,
}

impl TubesStudy {
    /// The tube with this name.
    pub fn tube(&self, id: &str) -> Option<&TubeStudy> {
        self.tubes.iter().find(|x| x.id == id)
    }

    /// Mass of all tubes that can be made, kg.
    pub fn mass(&self) -> f64 {
        self.parts().map(|x| x.mass).sum()
    }

    /// Length to saw of all tubes that can be made, m.
    pub fn length(&self) -> f64 {
        self.parts().map(|x| x.cut).sum()
    }

    fn parts(&self) -> impl Iterator<Item = &TubePart> {
        self.tubes
            .iter()
            .filter_map(|x| Some(&**x.part.as_ref().ok()?))
    }
}

/// What a tube's part was worked out from; the same again gives the same part.
#[derive(Debug, Clone, PartialEq)]
struct Made {
    tube: Tube,
    line: Vec<[f64; 3]>,
    mains: [Vec<(Met, geometry::tube::cope::Main)>; 2],
    die: Option<crate::Die>,
    cut: crate::EndCut,
    density: f64,
}

/// A study with what each of its parts was made from.
#[derive(Debug)]
pub(super) struct Kept {
    made: Vec<Option<Made>>,
    pub study: Arc<TubesStudy>,
}

pub(super) fn study(b: &Build, earlier: Option<&Kept>) -> Kept {
    let drawn = Drawn::of(&b.assembly, &b.fit_up.joints);
    let mut made = Vec::with_capacity(drawn.solids.len());
    let mut tubes = Vec::with_capacity(drawn.solids.len());
    for (i, (solid, tube)) in drawn.solids.iter().zip(&b.assembly.tubes).enumerate() {
        let mine = solid.as_ref().ok().map(|s| made_from(b, &drawn, s, i));
        let before = earlier.and_then(|kept| {
            let same = kept.made.get(i)?.as_ref()? == mine.as_ref()?;
            same.then(|| kept.study.tubes.get(i)?.part.as_ref().ok().cloned())?
        });
        let part = match (before, solid) {
            (Some(part), _) => Ok(part),
            (None, Ok(solid)) => part(b, &drawn, solid, i).map(Arc::new),
            (None, Err(e)) => Err(e.clone()),
        };
        tubes.push(TubeStudy {
            id: tube.id.clone(),
            label: tube.label.clone(),
            part,
        });
        made.push(mine);
    }
    let nests = stock::nests(b, &tubes, earlier.map(|kept| &*kept.study));
    Kept {
        made,
        study: Arc::new(TubesStudy { tubes, nests }),
    }
}

fn made_from(b: &Build, drawn: &Drawn<'_>, solid: &Solid<'_>, i: usize) -> Made {
    let mains = |end: usize| {
        let met = &drawn.meets[i][end];
        let with = met.iter().filter_map(|m| {
            let other = drawn.solids[m.tube].as_ref().ok()?;
            Some((*m, other.as_main(m)))
        });
        with.collect()
    };
    let nodes = b.assembly.nodes_of(solid.tube);
    Made {
        tube: solid.tube.clone(),
        line: nodes
            .filter_map(|id| Some(b.assembly.node(id)?.at.si()))
            .collect(),
        mains: [mains(0), mains(1)],
        die: solid
            .tube
            .die
            .as_ref()
            .and_then(|id| b.tube_work.die(id))
            .cloned(),
        cut: b.tube_work.cut,
        density: elasticity(&b.assembly, &solid.tube.material).2,
    }
}

fn part(b: &Build, drawn: &Drawn<'_>, solid: &Solid<'_>, i: usize) -> Result<TubePart, Phrase> {
    let tube = solid.tube;
    let ends = [End::A, End::B].map(|end| ends::study(b, drawn, solid, i, end));
    let die = tube.die.as_ref().and_then(|id| b.tube_work.die(id));
    let count = solid.line.bends().len();
    let shop = Shop {
        gains: die.map_or_else(Vec::new, |d| vec![d.gain.si(); count]),
        offset: die.map_or(0.0, |d| d.mark.si()),
        from_a: ends[0].long_point(),
        from_b: ends[1].long_point(),
    };
    let marks = solid
        .line
        .marks(&shop)
        .map_err(|_| Phrase::from("its bends can not be marked: look at the die"))?;
    let table = die.filter(|d| !d.springback.is_empty()).and_then(|d| {
        let rows: Vec<[f64; 2]> = d
            .springback
            .iter()
            .map(|row| [row.wanted.si(), row.set.si()])
            .collect();
        Springback::new(&rows).ok()
    });
    let set = |angle: f64| {
        let Some(table) = &table else {
            return Err(match die {
                None => "no die chosen",
                Some(_) => "the die has no springback table",
            });
        };
        table
            .angle_to_set(angle)
            .ok_or("outside the die's springback table")
    };
    // Where the tube runs straight through a corner there is no bend.
    let corners: Vec<&str> = b.assembly.nodes_of(tube).collect();
    let bends = solid
        .line
        .bends()
        .iter()
        .zip(marks.from_a.iter().zip(&marks.from_b))
        .zip(solid.line.straights())
        .map(|((bend, (from_a, from_b)), straight)| BendStudy {
            node: corners.get(bend.corner).copied().unwrap_or("").to_owned(),
            set: set(bend.angle),
            from_a: *from_a,
            from_b: *from_b,
            straight: *straight,
            wall: match solid.section {
                Section::Round { od, wall } => outside_wall(bend.radius, od, wall).ok(),
                Section::Rectangular { .. } => None,
            },
            bend: *bend,
        })
        .collect();
    let coped = CopedTube {
        section: &solid.section,
        length: solid.line.length(),
        a: ends[0].cope(),
        b: ends[1].cope(),
    };
    let density = elasticity(&b.assembly, &tube.material).2;
    let both = coped.a.is_some() && coped.b.is_some();
    Ok(TubePart {
        cut: marks.cut_length,
        centre: if both { coped.centre() } else { None },
        relative_clock: coped.relative_clock(),
        mass: coped.mass(density),
        line: solid.line.clone(),
        section: solid.section,
        bends,
        ends,
    })
}
