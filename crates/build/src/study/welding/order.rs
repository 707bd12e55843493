//! The weld order with the drift after each joint.

use weld::control::{Contribution, FactorChoices, Factors};
use weld::order::{OrderJoint, Step, drift, measure_when, propose};

use super::dimensions::{DimensionStudy, some};
use super::joints::JointWeld;
use crate::Build;

/// The order and what happens along it.
#[derive(Debug, Clone, PartialEq)]
pub struct OrderStudy {
    /// Joints (places in the fit-up log), first to weld first.
    pub joints: Vec<usize>,
    /// What the rule proposes, the same joints.
    pub proposed: Vec<usize>,
    /// The order was changed by hand.
    pub by_hand: bool,
    /// After each joint of `joints`, the drift of each dimension of `dimensions`.
    pub steps: Vec<Step>,
    /// Dimensions with a way and a tolerance (places in the record).
    pub dimensions: Vec<usize>,
    /// For each of them, the first step (place in `steps`) to measure after.
    pub measure: Vec<Option<usize>>,
    /// Joints of the order that are welded.
    pub welded: usize,
    /// The next joint to weld.
    pub next: Option<usize>,
}

pub(super) fn study(
    b: &Build,
    joints: &[Option<&JointWeld>],
    dimensions: &[DimensionStudy],
    factors: &Factors,
    choices: &FactorChoices,
) -> Result<OrderStudy, weld::WeldError> {
    let placed: Vec<usize> = (0..b.fit_up.joints.len())
        .filter(|i| {
            joints
                .get(*i)
                .copied()
                .flatten()
                .is_some_and(|w| w.place.is_some())
        })
        .collect();
    let chosen: Vec<usize> = (0..dimensions.len())
        .filter(|d| dimensions[*d].tolerance.is_some() && dimensions[*d].way.is_ok())
        .collect();
    let tolerances: Vec<f64> = chosen
        .iter()
        .filter_map(|d| dimensions[*d].tolerance)
        .collect();
    let contributions: Vec<Vec<Vec<Contribution>>> = placed
        .iter()
        .map(|j| {
            let one = |d: &usize| some(&dimensions[*d].pulls, |i| i == *j);
            chosen.iter().map(one).collect()
        })
        .collect();
    let mut order_joints = Vec::with_capacity(placed.len());
    let mut middle = [0.0; 3];
    for (j, list) in placed.iter().zip(&contributions) {
        let at = joints[*j]
            .and_then(|w| w.place.as_ref())
            .map_or([0.0; 3], |p| p.at);
        for (m, x) in middle.iter_mut().zip(at) {
            *m += x / placed.len() as f64;
        }
        let changes = list.iter().map(|c| factors.expected(c)).collect();
        order_joints.push(OrderJoint { changes, at });
    }
    let proposed = propose(&order_joints, &tolerances, middle)?;
    let place_of = |id: &String| placed.iter().position(|j| b.fit_up.joints[*j].id == *id);
    let mut order: Vec<usize> = Vec::new();
    for id in &b.weld_out.order {
        if let Some(p) = place_of(id)
            && !order.contains(&p)
        {
            order.push(p);
        }
    }
    let by_hand = !order.is_empty();
    let is_welded = |p: usize| b.fit_up.joints[placed[p]].welded.is_some();
    if !by_hand {
        // What is welded is welded: it comes first.
        order.extend(proposed.iter().copied().filter(|p| is_welded(*p)));
    }
    let rest: Vec<usize> = proposed
        .iter()
        .copied()
        .filter(|p| !order.contains(p))
        .collect();
    order.extend(rest);
    let mut steps = drift(&order, &contributions, factors, choices)?;
    for step in &mut steps {
        step.joint = placed[step.joint];
    }
    let measure = measure_when(&steps, &tolerances)?;
    let welded = order.iter().filter(|p| is_welded(**p)).count();
    let next = order.iter().find(|p| !is_welded(**p)).map(|p| placed[*p]);
    Ok(OrderStudy {
        joints: order.iter().map(|p| placed[*p]).collect(),
        proposed: proposed.iter().map(|p| placed[*p]).collect(),
        by_hand,
        steps,
        dimensions: chosen,
        measure,
        welded,
        next,
    })
}
