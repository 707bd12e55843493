//! Edits of the assembly and of the weld-out record.

use crate::edit::{gone, put, take};
use crate::{
    ArcSetting, Assembly, Bead, BeadReading, Build, ControlDimension, Correction, Coupon,
    DimensionReading, EditError, GasFill, Joins, Joint, Material, Node, PastReading, Place, Plate,
    Process, Stage, Tube, Welding,
};

/// A change to the assembly or to the weld-out record.
#[derive(Debug, Clone, PartialEq)]
#[expect(
    clippy::large_enum_variant,
    reason = "an edit lives for one frame; boxes would only hide its parts"
)]
pub enum WeldEdit {
    /// Names the drawing.
    Label(String),
    /// Adds a node or replaces the one with its id.
    PutNode(Node),
    /// Moves a node; every part on it follows.
    MoveNode {
        /// The node.
        node: String,
        /// Where to.
        to: Place,
    },
    /// Removes a node nothing uses.
    RemoveNode(String),
    /// Adds a tube or replaces the one with its id.
    PutTube(Tube),
    /// Draws a tube between two places in one step: with the nodes and joints that come with it.
    DrawTube {
        /// New nodes.
        nodes: Vec<Node>,
        /// The tube.
        tube: Tube,
        /// Its joints.
        joints: Vec<Joint>,
    },
    /// Removes a tube no joint or bead uses.
    RemoveTube(String),
    /// Adds a plate or replaces the one with its id.
    PutPlate(Plate),
    /// Removes a plate no joint uses.
    RemovePlate(String),
    /// Adds a material of the build's own or replaces it.
    PutMaterial(Material),
    /// Removes one nothing is made of.
    RemoveMaterial(String),
    /// Says which parts a joint joins.
    SetJoins {
        /// The joint.
        joint: String,
        /// The parts, or none.
        joins: Option<Joins>,
    },
    /// A joint is welded, or is not.
    SetWelded {
        /// The joint.
        joint: String,
        /// Who and when, or none.
        welded: Option<Welding>,
    },
    /// Adds a control dimension or replaces the one with its id.
    PutDimension(ControlDimension),
    /// Removes a control dimension no correction is for.
    RemoveDimension(String),
    /// Records a measurement of a control dimension.
    MeasureDimension {
        /// The dimension.
        dimension: String,
        /// What was read.
        reading: DimensionReading,
    },
    /// Takes the last measurement of a control dimension back.
    TakeBackReading {
        /// The dimension.
        dimension: String,
    },
    /// Counts a dimension's change in the shop's record, or not.
    Learn {
        /// The dimension or coupon.
        id: String,
        /// Whether it counts.
        learn: bool,
    },
    /// Leaves a dimension, coupon or past reading out of the record with a reason, or takes it
    /// in again.
    Void {
        /// Its id; a past reading: its label.
        id: String,
        /// The reason, or none.
        reason: Option<String>,
    },
    /// Sets the order the joints are welded in.
    Order(Vec<String>),
    /// Adds a coupon or replaces the one with its id.
    PutCoupon(Coupon),
    /// Removes a coupon.
    RemoveCoupon(String),
    /// Adds correction beads or replaces those with its id.
    PutCorrection(Correction),
    /// Removes a correction and its record.
    RemoveCorrection(String),
    /// Changes the bead of a correction.
    SetBead {
        /// The correction.
        correction: String,
        /// The bead.
        bead: Bead,
    },
    /// Records beads laid and the dimension once cold.
    LayBeads {
        /// The correction.
        correction: String,
        /// What was laid and measured.
        reading: BeadReading,
    },
    /// Takes the last beads of a correction back.
    TakeBackBeads {
        /// The correction.
        correction: String,
    },
    /// Adds the settings of a process or replaces them.
    PutArc(ArcSetting),
    /// Removes the settings of a process.
    RemoveArc(Process),
    /// What is in the cylinder.
    Fill(GasFill),
    /// Takes in what was learned on another build.
    BringRecord(Vec<PastReading>),
    /// Forgets a reading of another build.
    RemovePast(String),
    /// Replaces the fit-up joints: a log read from a table.
    ReplaceGaps(Vec<Joint>),
}

impl WeldEdit {
    /// What the undo menu calls it; `b` is the document before it.
    pub(crate) fn label(&self, b: &Build) -> String {
        let a = &b.assembly;
        let part = |id: &String| a.part_label(id).unwrap_or(id).to_owned();
        let joint = |id: &String| {
            let found = b.fit_up.joints.iter().find(|j| j.id == *id);
            found.map_or_else(|| id.clone(), |j| j.label.clone())
        };
        let dimension = |id: &String| {
            let found = b.weld_out.dimension(id);
            found.map_or_else(|| id.clone(), |d| d.label.clone())
        };
        let corrected = |id: &String| {
            let found = b.weld_out.correction(id);
            found.map_or_else(|| id.clone(), |c| dimension(&c.dimension))
        };
        let entry = |id: &String| {
            let coupon = b.weld_out.coupons.iter().find(|c| c.id == *id);
            coupon.map_or_else(|| dimension(id), |c| c.label.clone())
        };
        let verb = |old: bool| if old { "Change" } else { "Add" };
        match self {
            Self::Label(_) => "Name the drawing".to_owned(),
            Self::PutNode(x) => format!("{} node {}", verb(a.node(&x.id).is_some()), x.id),
            Self::MoveNode { node, .. } => format!("Move node {node}"),
            Self::RemoveNode(id) => format!("Remove node {id}"),
            Self::PutTube(x) => format!("{} {}", verb(a.tube(&x.id).is_some()), x.label),
            Self::DrawTube { tube, .. } => format!("Draw {}", tube.label),
            Self::RemoveTube(id) | Self::RemovePlate(id) => format!("Remove {}", part(id)),
            Self::PutPlate(x) => format!("{} {}", verb(a.plate(&x.id).is_some()), x.label),
            Self::PutMaterial(x) => {
                let old = a.materials.iter().any(|m| m.id == x.id);
                format!("{} material {}", verb(old), x.id)
            }
            Self::RemoveMaterial(id) => format!("Remove material {id}"),
            Self::SetJoins { joint: id, .. } => format!("Say what {} joins", joint(id)),
            Self::SetWelded {
                joint: id, welded, ..
            } => match welded {
                Some(_) => format!("Weld {}", joint(id)),
                None => format!("{} is not welded", joint(id)),
            },
            Self::PutDimension(x) => {
                let old = b.weld_out.dimension(&x.id).is_some();
                format!("{} dimension {}", verb(old), x.label)
            }
            Self::RemoveDimension(id) => format!("Remove dimension {}", dimension(id)),
            Self::MeasureDimension { dimension: id, .. } => format!("Measure {}", dimension(id)),
            Self::TakeBackReading { dimension: id } => {
                format!("Take back measurement of {}", dimension(id))
            }
            Self::Learn { id, learn: true } => format!("Learn from {}", entry(id)),
            Self::Learn { id, learn: false } => format!("Do not learn from {}", entry(id)),
            Self::Void {
                id,
                reason: Some(_),
            } => format!("Leave out {}", entry(id)),
            Self::Void { id, reason: None } => format!("Take {} in again", entry(id)),
            Self::Order(_) => "Change the weld order".to_owned(),
            Self::PutCoupon(x) => {
                let old = b.weld_out.coupons.iter().any(|c| c.id == x.id);
                format!("{} coupon {}", verb(old), x.label)
            }
            Self::RemoveCoupon(id) => format!("Remove coupon {}", entry(id)),
            Self::PutCorrection(x) => format!("Plan beads for {}", dimension(&x.dimension)),
            Self::RemoveCorrection(id) => format!("Remove beads for {}", corrected(id)),
            Self::SetBead { correction, .. } => {
                format!("Change the bead for {}", corrected(correction))
            }
            Self::LayBeads {
                correction,
                reading,
            } => {
                let n = b.weld_out.correction(correction).map_or(0, |c| {
                    c.laid.iter().fold(0_u32, |n, x| n.saturating_add(x.beads))
                });
                match reading.beads {
                    1 => format!("Log bead {}", n.saturating_add(1)),
                    k => format!(
                        "Log beads {} to {}",
                        n.saturating_add(1),
                        n.saturating_add(k)
                    ),
                }
            }
            Self::TakeBackBeads { correction } => {
                format!("Take back beads for {}", corrected(correction))
            }
            Self::PutArc(_) | Self::RemoveArc(_) => "Change arc settings".to_owned(),
            Self::Fill(_) => "Choose the gas".to_owned(),
            Self::BringRecord(_) => "Bring in another build's record".to_owned(),
            Self::RemovePast(id) => format!("Forget {id}"),
            Self::ReplaceGaps(_) => "Read the fit-up log from a table".to_owned(),
        }
    }

    pub(crate) fn apply(&self, b: &mut Build) -> Result<(), EditError> {
        let w = &mut b.weld_out;
        let a = &mut b.assembly;
        match self {
            Self::Label(x) => a.label.clone_from(x),
            Self::PutNode(x) => put(&mut a.nodes, x, |x| &x.id),
            Self::MoveNode { node, to } => {
                let found = a.nodes.iter_mut().find(|x| x.id == *node);
                found.ok_or_else(|| gone("node", node))?.at = *to;
            }
            Self::RemoveNode(id) => {
                refuse_node(b, id)?;
                take(&mut b.assembly.nodes, id, "node", |x| &x.id)?;
            }
            Self::PutTube(x) => put(&mut a.tubes, x, |x| &x.id),
            Self::DrawTube {
                nodes,
                tube,
                joints,
            } => {
                for x in nodes {
                    put(&mut a.nodes, x, |x| &x.id);
                }
                put(&mut a.tubes, tube, |x| &x.id);
                for x in joints {
                    put(&mut b.fit_up.joints, x, |x| &x.id);
                }
            }
            Self::RemoveTube(id) => {
                refuse_part(b, id)?;
                take(&mut b.assembly.tubes, id, "tube", |x| &x.id)?;
            }
            Self::PutPlate(x) => put(&mut a.plates, x, |x| &x.id),
            Self::RemovePlate(id) => {
                refuse_part(b, id)?;
                take(&mut b.assembly.plates, id, "plate", |x| &x.id)?;
            }
            Self::PutMaterial(x) => put(&mut a.materials, x, |x| &x.id),
            Self::RemoveMaterial(id) => {
                refuse_material(a, id)?;
                take(&mut a.materials, id, "material", |x| &x.id)?;
            }
            Self::SetJoins { joint, joins } => joint_mut(b, joint)?.joins.clone_from(joins),
            Self::SetWelded { joint, welded } => joint_mut(b, joint)?.welded.clone_from(welded),
            Self::PutDimension(x) => put(&mut w.dimensions, x, |x| &x.id),
            Self::RemoveDimension(id) => {
                if w.corrections.iter().any(|c| c.dimension == *id) {
                    return Err(EditError::Invalid {
                        what: "Correction beads were laid for this dimension".to_owned(),
                        hint: "Remove the beads first".to_owned(),
                    });
                }
                take(&mut w.dimensions, id, "dimension", |x| &x.id)?;
            }
            Self::MeasureDimension { dimension, reading } => {
                dimension_mut(b, dimension)?.readings.push(reading.clone());
            }
            Self::TakeBackReading { dimension } => {
                if dimension_mut(b, dimension)?.readings.pop().is_none() {
                    return Err(nothing("measurement"));
                }
            }
            Self::Learn { id, learn } => {
                if let Some(x) = w.dimensions.iter_mut().find(|x| x.id == *id) {
                    x.learn = *learn;
                } else {
                    coupon_mut(b, id)?.learn = *learn;
                }
            }
            Self::Void { id, reason } => {
                if reason.as_ref().is_some_and(|r| r.trim().is_empty()) {
                    return Err(EditError::Invalid {
                        what: "A reading is left out for a reason".to_owned(),
                        hint: "Write why: a slipped tape, a broken tack".to_owned(),
                    });
                }
                if let Some(x) = w.dimensions.iter_mut().find(|x| x.id == *id) {
                    x.void.clone_from(reason);
                } else if let Some(x) = w.past.iter_mut().find(|x| x.label == *id) {
                    x.void.clone_from(reason);
                } else {
                    coupon_mut(b, id)?.void.clone_from(reason);
                }
            }
            Self::Order(x) => w.order.clone_from(x),
            Self::PutCoupon(x) => put(&mut w.coupons, x, |x| &x.id),
            Self::RemoveCoupon(id) => take(&mut w.coupons, id, "coupon", |x| &x.id)?,
            Self::PutCorrection(x) => put(&mut w.corrections, x, |x| &x.id),
            Self::RemoveCorrection(id) => {
                take(&mut w.corrections, id, "correction", |x| &x.id)?;
            }
            Self::SetBead { correction, bead } => correction_mut(b, correction)?.bead = *bead,
            Self::LayBeads {
                correction,
                reading,
            } => correction_mut(b, correction)?.laid.push(reading.clone()),
            Self::TakeBackBeads { correction } => {
                if correction_mut(b, correction)?.laid.pop().is_none() {
                    return Err(nothing("bead"));
                }
            }
            Self::PutArc(x) => match w.arcs.iter_mut().find(|old| old.process == x.process) {
                Some(old) => old.clone_from(x),
                None => w.arcs.push(x.clone()),
            },
            Self::RemoveArc(process) => w.arcs.retain(|x| x.process != *process),
            Self::Fill(x) => w.gas.fill = *x,
            Self::BringRecord(list) => {
                for x in list {
                    put(&mut w.past, x, |x| &x.label);
                }
            }
            Self::RemovePast(id) => take(&mut w.past, id, "reading", |x| &x.label)?,
            Self::ReplaceGaps(list) => {
                for x in list {
                    put(&mut b.fit_up.joints, x, |x| &x.id);
                }
            }
        }
        Ok(())
    }
}

fn nothing(what: &str) -> EditError {
    EditError::Invalid {
        what: format!("There is no {what} to take back"),
        hint: "Nothing was changed".to_owned(),
    }
}

fn used(what: String) -> EditError {
    EditError::Invalid {
        what,
        hint: "Change or remove that first".to_owned(),
    }
}

fn refuse_node(b: &Build, id: &str) -> Result<(), EditError> {
    let a = &b.assembly;
    let tube = a
        .tubes
        .iter()
        .find(|x| a.nodes_of(x).any(|node| node == id));
    let plate = a
        .plates
        .iter()
        .find(|x| x.outline.iter().any(|node| node == id));
    let joint = b
        .fit_up
        .joints
        .iter()
        .find(|j| j.joins.as_ref().is_some_and(|joins| joins.at == id));
    let dimension = b
        .weld_out
        .dimensions
        .iter()
        .find(|d| d.from == id || d.to == id || d.through.iter().any(|node| node == id));
    let user = tube
        .map(|x| &x.label)
        .or(plate.map(|x| &x.label))
        .or(joint.map(|x| &x.label))
        .or(dimension.map(|x| &x.label));
    if user.is_none() && b.frame_test.names(id) {
        return Err(used(format!("The frame test names node {id}")));
    }
    user.map_or(Ok(()), |label| {
        Err(used(format!("{label} runs to node {id}")))
    })
}

fn refuse_part(b: &Build, id: &str) -> Result<(), EditError> {
    let joint = b.fit_up.joints.iter().find(|j| {
        let joins = j.joins.as_ref();
        joins.is_some_and(|joins| joins.part == id || joins.onto == id)
    });
    if let Some(j) = joint {
        return Err(used(format!("Joint {} is on it", j.label)));
    }
    let beads = b
        .weld_out
        .corrections
        .iter()
        .any(|c| c.sites.iter().any(|s| s.tube == id) || c.laid.iter().any(|x| x.on == id));
    if beads {
        return Err(used("Correction beads lie on it".to_owned()));
    }
    Ok(())
}

fn refuse_material(a: &Assembly, id: &str) -> Result<(), EditError> {
    let tube = a.tubes.iter().find(|x| x.material == id).map(|x| &x.label);
    let plate = a.plates.iter().find(|x| x.material == id).map(|x| &x.label);
    match tube.or(plate) {
        Some(label) => Err(used(format!("{label} is made of it"))),
        None => Ok(()),
    }
}

fn joint_mut<'a>(b: &'a mut Build, id: &str) -> Result<&'a mut Joint, EditError> {
    let found = b.fit_up.joints.iter_mut().find(|x| x.id == id);
    found.ok_or_else(|| gone("joint", id))
}

fn dimension_mut<'a>(b: &'a mut Build, id: &str) -> Result<&'a mut ControlDimension, EditError> {
    let found = b.weld_out.dimensions.iter_mut().find(|x| x.id == id);
    found.ok_or_else(|| gone("dimension", id))
}

fn coupon_mut<'a>(b: &'a mut Build, id: &str) -> Result<&'a mut Coupon, EditError> {
    let found = b.weld_out.coupons.iter_mut().find(|x| x.id == id);
    found.ok_or_else(|| gone("coupon", id))
}

fn correction_mut<'a>(b: &'a mut Build, id: &str) -> Result<&'a mut Correction, EditError> {
    let found = b.weld_out.corrections.iter_mut().find(|x| x.id == id);
    found.ok_or_else(|| gone("correction", id))
}

impl Stage {
    /// The word for it.
    pub fn word(&self) -> String {
        match self {
            Self::Set => "set up".to_owned(),
            Self::Tacked => "tacked".to_owned(),
            Self::After(joint) => format!("after {joint}"),
            Self::Welded => "welded".to_owned(),
            Self::Corrected => "corrected".to_owned(),
        }
    }
}
