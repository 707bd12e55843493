//! Random edits of the assembly and of the weld-out record.

use build::{
    Bead, BeadReading, Build, DimensionReading, Lie, Material, Node, PastPull, PastReading, Plate,
    PullKind, Stage, Tube, TubeSection, WeldEdit, Welding,
};
use units::{Angle, Length, Pressure};

use crate::seed::Seed;

impl Seed {
    fn node(&self, b: &Build) -> String {
        self.id(b.assembly.nodes.iter().map(|n| &n.id))
    }

    pub(crate) fn weld(&self, b: &Build) -> WeldEdit {
        let (a, w) = (&b.assembly, &b.weld_out);
        let tube = self.id(a.tubes.iter().map(|t| &t.id));
        let dimension = self.id(w.dimensions.iter().map(|d| &d.id));
        let correction = self.id(w.corrections.iter().map(|c| &c.id));
        let joint = self.id(b.fit_up.joints.iter().map(|j| &j.id));
        let node = Node {
            id: self.words.clone(),
            at: self.place(),
        };
        let drawn = || Tube {
            id: self.words.clone(),
            label: self.words.clone(),
            from: self.node(b),
            to: self.words.clone(),
            section: if self.at.is_multiple_of(2) {
                TubeSection::Round {
                    outside: Length::from_si(0.002 + 0.1 * self.part),
                    wall: Length::from_si(0.02 * self.wild.abs()),
                }
            } else {
                TubeSection::Rectangular {
                    height: Length::from_si(0.01 + 0.1 * self.part),
                    width: Length::from_si(0.02 + 0.1 * self.part),
                    wall: Length::from_si(0.004),
                    corner: None,
                }
            },
            material: self.words.clone(),
            turn: Angle::from_si(self.wild),
            bends: Vec::new(),
            die: None,
            ends: build::Ends::Welded,
        };
        let bead = Bead {
            lie: [Lie::Across, Lie::Along][self.at % 2],
            leg: Length::from_si(0.0005 + 0.02 * self.part),
            length: Length::from_si(0.01 + self.part),
        };
        let reading = DimensionReading {
            stage: [
                Stage::Set,
                Stage::Tacked,
                Stage::After(joint.clone()),
                Stage::Welded,
                Stage::Corrected,
            ][self.also % 5]
                .clone(),
            value: Length::from_si(self.part + 0.2),
            who: self.words.clone(),
            when: self.words.clone(),
            note: self.words.clone(),
        };
        match self.at % 24 {
            0 => WeldEdit::PutNode(node),
            1 | 2 => WeldEdit::MoveNode {
                node: self.node(b),
                to: self.place(),
            },
            3 => WeldEdit::RemoveNode(self.node(b)),
            4 => WeldEdit::PutTube(drawn()),
            5 => WeldEdit::DrawTube {
                nodes: vec![node],
                tube: drawn(),
                joints: vec![self.joint()],
            },
            6 => WeldEdit::RemoveTube(tube),
            7 => WeldEdit::PutPlate(Plate {
                id: self.words.clone(),
                label: self.words.clone(),
                outline: a
                    .nodes
                    .iter()
                    .skip(self.also % 4)
                    .map(|n| n.id.clone())
                    .collect(),
                thickness: Length::from_si(0.003 + 0.01 * self.part),
                material: self.words.clone(),
            }),
            8 => WeldEdit::RemovePlate(self.id(a.plates.iter().map(|p| &p.id))),
            9 => WeldEdit::PutMaterial(Material {
                id: self.words.clone(),
                label: self.words.clone(),
                family: build::Family::Steel,
                yield_strength: Pressure::from_si(1e6 + 1e9 * self.part),
                modulus: None,
                shear_modulus: None,
                density: None,
                mill_sheet: Some(build::Composition {
                    carbon: self.part,
                    ..Default::default()
                }),
            }),
            10 => WeldEdit::SetWelded {
                joint,
                welded: self.also.is_multiple_of(2).then(|| Welding {
                    who: self.words.clone(),
                    when: self.words.clone(),
                }),
            },
            11 => WeldEdit::SetJoins {
                joint,
                joins: Some(build::Joins {
                    part: tube,
                    onto: self.words.clone(),
                    at: self.node(b),
                }),
            },
            12 => WeldEdit::MeasureDimension { dimension, reading },
            13 => WeldEdit::TakeBackReading { dimension },
            14 => WeldEdit::Learn {
                id: dimension,
                learn: self.also.is_multiple_of(2),
            },
            15 => WeldEdit::Void {
                id: dimension,
                reason: self.also.is_multiple_of(2).then(|| self.words.clone()),
            },
            16 => WeldEdit::Order(b.fit_up.joints.iter().rev().map(|j| j.id.clone()).collect()),
            17 => WeldEdit::LayBeads {
                correction,
                reading: BeadReading {
                    beads: (self.also % 4) as u32,
                    on: tube,
                    value: Length::from_si(self.part),
                    who: String::new(),
                    when: self.words.clone(),
                    note: String::new(),
                },
            },
            18 => WeldEdit::TakeBackBeads { correction },
            19 => WeldEdit::SetBead { correction, bead },
            20 => WeldEdit::RemoveDimension(dimension),
            21 => WeldEdit::RemoveCorrection(correction),
            22 => WeldEdit::BringRecord(vec![PastReading {
                label: self.words.clone(),
                when: self.words.clone(),
                pulls: vec![PastPull {
                    kind: PullKind::Kink,
                    thin: true,
                    change: Length::from_si(0.01 * self.wild),
                }],
                scatter: Length::from_si(0.001 * self.part),
                change: Length::from_si(0.01 * self.part),
                error: Length::from_si(0.001 * self.part),
                void: None,
            }]),
            _ => WeldEdit::ReplaceGaps(vec![self.joint()]),
        }
    }
}
