//! Straight seams: how they shrink along themselves, and how one beside a tube's middle bows it.

use weld::Choices;
use weld::consumables::heat_input;
use weld::section_pull::{
    AlongBead, AlongPull, Member, PullSettings, Seam, SeamEstimate, SeamJoint, longitudinal,
};

use super::joints::JointWeld;
use super::space::{Line, V3, section, strength, sub};
use crate::{Assembly, Build, Joint, JointKind, Process};

/// A straight seam worked out along itself.
#[derive(Debug, Clone, PartialEq)]
pub struct SeamStudy {
    /// Shortening along the seam, every estimate its inputs allow.
    pub along: Vec<SeamEstimate>,
    /// A plate welded along a tube: what that does to the tube.
    pub bow: Option<Bow>,
}

/// A seam that bows a tube.
#[derive(Debug, Clone, PartialEq)]
pub struct Bow {
    /// The tube.
    pub tube: String,
    /// Middle of the seam on the tube's axis, m.
    pub at: V3,
    /// From the tube's axis toward the plate.
    pub toward: V3,
    /// Force, kink, bow and the cross-check.
    pub pull: AlongPull,
}

/// Net heat of a process as this shop welds, J/m.
pub(super) fn net_heat(b: &Build, process: Process) -> Option<f64> {
    let arc = b.weld_out.arc(process)?;
    heat_input(
        process.thermal_efficiency(),
        arc.voltage.si(),
        arc.current.si(),
        arc.travel.si(),
    )
    .ok()
}

pub(super) fn pull_settings(choices: &Choices, modulus: f64) -> PullSettings {
    PullSettings {
        modulus,
        widening: choices.widening,
        thick: choices.thick,
        ..PullSettings::default()
    }
}

pub(super) fn study(
    b: &Build,
    joints: &[Option<&JointWeld>],
    choices: &Choices,
) -> Vec<Option<SeamStudy>> {
    let list = b.fit_up.joints.iter().enumerate();
    list.map(|(i, j)| one(b, j, joints.get(i).copied().flatten()?, choices))
        .collect()
}

fn one(b: &Build, j: &Joint, work: &JointWeld, choices: &Choices) -> Option<SeamStudy> {
    if j.kind == JointKind::Cope || !work.seam_known {
        return None;
    }
    let a = &b.assembly;
    let heat = net_heat(b, j.process);
    let beside = beside(a, j);
    let member = beside.as_ref().map(|x| x.member);
    let welded = &work.welded;
    let modulus = crate::steel_modulus().si();
    let seam = Seam {
        joint: match j.kind {
            JointKind::Butt => SeamJoint::Butt,
            _ => SeamJoint::Fillet,
        },
        length: welded.length,
        area: Some(welded.area_total),
        member_area: member.map(|m| m.area),
        net_heat: heat,
        current: b.weld_out.arc(j.process).map(|x| x.current.si()),
        thickness: Some(j.wall.si()),
    };
    let along = longitudinal(&seam, &pull_settings(choices, modulus)).ok()?;
    let bow = beside.and_then(|x| {
        let bead = AlongBead {
            area: welded.area_total,
            length: welded.length,
            lever: x.lever,
            net_heat: heat,
        };
        let pull = bead
            .pull(&x.member, &pull_settings(choices, x.modulus))
            .ok()?;
        Some(Bow {
            tube: x.tube,
            at: x.at,
            toward: x.toward,
            pull,
        })
    });
    Some(SeamStudy { along, bow })
}

struct Beside {
    tube: String,
    at: V3,
    toward: V3,
    lever: f64,
    member: Member,
    modulus: f64,
}

/// A plate whose edge lies along a tube: the seam runs along the tube, on its skin.
fn beside(a: &Assembly, j: &Joint) -> Option<Beside> {
    let joins = j.joins.as_ref()?;
    let plate = a.plate(&joins.part)?;
    let tube = a.tube(&joins.onto)?;
    let whole = Line::of(a, tube).ok()?;
    let corners: Vec<V3> = plate
        .outline
        .iter()
        .filter_map(|id| Some(a.node(id)?.at.si()))
        .collect();
    if corners.is_empty() {
        return None;
    }
    let mut middle = [0.0; 3];
    for c in &corners {
        for (m, x) in middle.iter_mut().zip(c) {
            *m += x / corners.len() as f64;
        }
    }
    let at = a.node(&joins.at)?.at.si();
    let line = whole.near(at);
    let on_axis = line.point(line.along_at(at).clamp(0.0, line.length));
    let toward = super::space::unit(line.square(sub(middle, on_axis)))?;
    let (area, second_moment, lever) = section(&tube.section, line, toward);
    let (yield_stress, modulus) = strength(a, &tube.material)?;
    Some(Beside {
        tube: tube.id.clone(),
        at: on_axis,
        toward,
        lever,
        member: Member {
            area,
            second_moment,
            yield_stress,
        },
        modulus,
    })
}
