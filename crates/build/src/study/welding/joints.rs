//! A joint of the document as the weld mechanics see it: sizes from the parts it joins.

use weld::joint::{Extra, Gap as RootGap, MainTube, Shape};
use weld::{
    Choices, Cope, FilletCount, GapProfile, GapReading, GrooveShape, Restraint, Rule, Setting,
    WeldError, Welded,
};

use super::super::Phrase;
use super::space::{Line, Meeting, TubeEnd, V3, ellipse, meet, strength};
use crate::{Assembly, Edges, Held, Joins, Joint, JointKind, TubeSection, WeldChoices};

/// A joint worked out.
#[derive(Debug, Clone, PartialEq)]
pub struct JointWeld {
    /// The joint as the mechanics see it.
    pub joint: weld::Joint,
    /// Metal, shrinkage, kink and findings.
    pub welded: Welded,
    /// What its gaps cost against a tight joint.
    pub extra: Option<Extra>,
    /// The length of its seam is known; else it was taken as one metre, and volumes mean nothing.
    pub seam_known: bool,
    /// Where it is, when the parts it joins are drawn.
    pub place: Option<Place3>,
}

/// Answers for a joint worked out earlier under the same choices.
pub(in super::super) type Before<'a> = &'a dyn Fn(&weld::Joint) -> Option<(Welded, Option<Extra>)>;

/// Where a joint is in the assembly.
#[derive(Debug, Clone, PartialEq)]
pub struct Place3 {
    /// Its node, m.
    pub at: V3,
    /// From the joint along the part that ends there, unit: the pull-in draws the part the other
    /// way.
    pub along: V3,
    /// A round tube on a round tube.
    pub meeting: Option<Meeting>,
    /// Area of the main, m², where it is a round tube.
    pub main_area: Option<f64>,
}

/// The document's choices in the form of the mechanics.
pub(in super::super) fn choices(c: &WeldChoices) -> Choices {
    Choices {
        convexity: c.crown.si(),
        cap: c.cap.si(),
        gap_depth: c.gap_depth.si(),
        thick: c.thick.si(),
        widening: c.widening.si(),
        ..Choices::DEFAULT
    }
}

pub(in super::super) fn setting(j: &Joint) -> Setting {
    Setting {
        restraint: match j.held {
            Held::Free => Restraint::Free,
            Held::Tacked => Restraint::Tacked,
            Held::Fixtured => Restraint::Fixtured,
        },
        passes: j.passes,
    }
}

/// The joint's parts as lines, with the end that ends at its node.
struct Ends<'a> {
    section: &'a TubeSection,
    line: Line,
    end: TubeEnd,
    onto: Option<(&'a crate::Tube, Line)>,
    base: f64,
}

fn ends<'a>(a: &'a Assembly, joins: &Joins) -> Result<Option<Ends<'a>>, Phrase> {
    let missing = |id: &str| Phrase::from(format!("there is no part {id} in the assembly"));
    if a.node(&joins.at).is_none() {
        return Err(Phrase::from(format!(
            "there is no node {} for it",
            joins.at
        )));
    }
    let Some(part) = a.tube(&joins.part) else {
        // A plate has no end of its own: its joint has a place but no line.
        return match a.plate(&joins.part) {
            Some(_) if a.part_label(&joins.onto).is_some() => Ok(None),
            Some(_) => Err(missing(&joins.onto)),
            None => Err(missing(&joins.part)),
        };
    };
    let line = Line::of(a, part)?;
    let end = if part.from == joins.at {
        TubeEnd::A
    } else if part.to == joins.at {
        TubeEnd::B
    } else {
        return Err(Phrase::from(format!(
            "{} does not end at node {}",
            part.label, joins.at
        )));
    };
    let onto = a.tube(&joins.onto);
    let base = match (onto, a.plate(&joins.onto)) {
        (Some(tube), _) => tube.section.wall().si(),
        (None, Some(plate)) => plate.thickness.si(),
        (None, None) => return Err(missing(&joins.onto)),
    };
    let onto = match onto {
        Some(tube) => {
            let at = a.node(&joins.at).map_or(line.from, |n| n.at.si());
            Some((tube, Line::of(a, tube)?.near(at).clone()))
        }
        None => None,
    };
    Ok(Some(Ends {
        section: &part.section,
        line: line.at_end(end).clone(),
        end,
        onto,
        base,
    }))
}

fn count(fillets: u8) -> FilletCount {
    if fillets >= 2 {
        FilletCount::Two
    } else {
        FilletCount::One
    }
}

/// Works a joint out; `readings` are its gaps, one per clock position. `before` answers for a
/// joint worked out earlier under the same choices.
pub(in super::super) fn work_out(
    j: &Joint,
    a: &Assembly,
    rule: &Rule,
    choices: &Choices,
    readings: &[GapReading],
    before: Before<'_>,
) -> Result<JointWeld, Phrase> {
    let say = |e: WeldError| Phrase::from(e.to_string());
    let parts = match &j.joins {
        Some(joins) => ends(a, joins)?,
        None => None,
    };
    let place = match &j.joins {
        Some(joins) => place(a, joins, parts.as_ref(), j.kind)?,
        None => None,
    };
    let wall = parts
        .as_ref()
        .map_or(j.wall.si(), |p| p.section.wall().si());
    let leg = j.leg.si();
    let seam = j.length.map(|l| l.si()).or_else(|| {
        let p = parts.as_ref()?;
        Some(seam_round(p))
    });
    let base = j
        .base
        .map(|b| b.si())
        .or(parts.as_ref().map(|p| p.base))
        .unwrap_or(wall);
    let (shape, seam_known) = match j.kind {
        JointKind::Butt => (
            Shape::Butt {
                edges: match j.edges {
                    Edges::Square => GrooveShape::Square,
                    Edges::Vee { bevel, face } => GrooveShape::V {
                        bevel: bevel.si(),
                        root_face: face.si(),
                    },
                    Edges::Bevel { bevel, face } => GrooveShape::SingleBevel {
                        bevel: bevel.si(),
                        root_face: face.si(),
                    },
                },
                thickness: wall,
                cap: None,
                root_cap: None,
            },
            seam.is_some(),
        ),
        JointKind::Tee { fillets } => (Shape::tee(base, wall, leg, count(fillets)), seam.is_some()),
        JointKind::Lap => (
            Shape::Lap {
                thickness: wall,
                leg,
                fillets: FilletCount::Two,
                convexity: None,
            },
            seam.is_some(),
        ),
        JointKind::Cope => (cope(j, a, parts.as_ref(), place.as_ref(), choices)?, true),
    };
    let gap = if readings.is_empty() {
        RootGap::CLOSED
    } else {
        RootGap::Read(GapProfile::closed(readings).map_err(say)?)
    };
    let joint = weld::Joint {
        shape,
        length: seam.unwrap_or(1.0),
        gap,
        rule: Some(*rule),
        setting: setting(j),
    };
    let (welded, extra) = match before(&joint) {
        Some(known) => known,
        None => {
            let welded = joint.weld(choices).map_err(say)?;
            let extra = (!readings.is_empty())
                .then(|| extra(&joint, &welded, choices))
                .flatten();
            (welded, extra)
        }
    };
    Ok(JointWeld {
        joint,
        welded,
        extra,
        seam_known,
        place,
    })
}

/// What the gaps cost; a square butt without a gap has no metal to compare with.
fn extra(joint: &weld::Joint, with: &Welded, choices: &Choices) -> Option<Extra> {
    let tight = weld::Joint {
        gap: RootGap::CLOSED,
        ..joint.clone()
    };
    let without = tight.weld(choices).ok()?;
    let point = |w: &Welded| {
        let band = w.pull_in.as_ref().or(w.across.as_ref());
        band.map_or(0.0, |b| b.point)
    };
    Some(Extra {
        volume: with.volume - without.volume,
        shrinkage: point(with) - point(&without),
    })
}

/// Round a tube's end, cut to lie on what it stands on.
fn seam_round(p: &Ends<'_>) -> f64 {
    // A plate's own slope is not drawn; a tube on it is taken as square.
    let slope = p.onto.as_ref().map_or(1.0, |(tube, main)| {
        let across = match tube.section {
            TubeSection::Round { .. } => return 1.0,
            TubeSection::Rectangular { .. } => super::space::dot(p.line.along, main.along),
        };
        (1.0 - across * across).max(0.05).sqrt()
    });
    match *p.section {
        TubeSection::Round { outside, .. } => {
            let r = 0.5 * outside.si();
            ellipse(r / slope, r)
        }
        TubeSection::Rectangular { height, width, .. } => 2.0 * (height.si() + width.si()) / slope,
    }
}

fn place(
    a: &Assembly,
    joins: &Joins,
    parts: Option<&Ends<'_>>,
    kind: JointKind,
) -> Result<Option<Place3>, Phrase> {
    let Some(at) = a.node(&joins.at).map(|n| n.at.si()) else {
        return Ok(None);
    };
    let Some(p) = parts else {
        return Ok(None);
    };
    let along = match p.end {
        TubeEnd::A => p.line.along,
        TubeEnd::B => p.line.along.map(|x| -x),
    };
    let round = matches!(p.section, TubeSection::Round { .. });
    let (meeting, main_area) = match &p.onto {
        Some((tube, main)) if round && kind == JointKind::Cope => match tube.section {
            TubeSection::Round { .. } => {
                let m = meet(&p.line, p.end, main)?;
                let area = super::space::section(&tube.section, main, m.branch).0;
                (Some(m), Some(area))
            }
            TubeSection::Rectangular { .. } => {
                return Err(Phrase::from(format!(
                    "{} is rectangular: a tube that stands on it is a tee",
                    tube.label
                )));
            }
        },
        _ => (None, None),
    };
    Ok(Some(Place3 {
        at,
        along,
        meeting,
        main_area,
    }))
}

fn cope(
    j: &Joint,
    a: &Assembly,
    parts: Option<&Ends<'_>>,
    place: Option<&Place3>,
    choices: &Choices,
) -> Result<Shape, Phrase> {
    let leg = j.leg.si();
    if let Some(p) = parts {
        let (Some((main, _)), Some(meeting)) =
            (&p.onto, place.and_then(|place| place.meeting.as_ref()))
        else {
            return Err(Phrase::from("a cope stands on a round tube: call it a tee"));
        };
        let TubeSection::Round { outside, wall } = main.section else {
            return Err(Phrase::from("a cope stands on a round tube: call it a tee"));
        };
        let TubeSection::Round {
            outside: branch,
            wall: branch_wall,
        } = *p.section
        else {
            return Err(Phrase::from(
                "a rectangular tube is not coped: call it a tee",
            ));
        };
        let main_tube = strength(a, &main.material).map(|(yield_strength, modulus)| MainTube {
            wall: wall.si(),
            modulus,
            yield_strength,
        });
        return Ok(Shape::Cope {
            tubes: Cope {
                branch_radius: 0.5 * branch.si(),
                branch_wall: branch_wall.si(),
                main_radius: 0.5 * outside.si(),
                angle: meeting.angle,
                offset: meeting.offset,
                leg,
                convexity: choices.convexity,
                twelve: meeting.twelve,
                clock_with_phi: meeting.clock_with_phi,
            },
            main: main_tube,
        });
    }
    let Some(t) = &j.tubes else {
        return Err(Phrase::from(
            "the tubes of this cope are not known: say which it joins, or write their sizes",
        ));
    };
    Ok(Shape::Cope {
        tubes: Cope {
            angle: t.angle.si(),
            offset: t.offset.si(),
            convexity: choices.convexity,
            ..Cope::square(0.5 * t.branch.si(), j.wall.si(), 0.5 * t.main.si(), leg)
        },
        main: None,
    })
}
