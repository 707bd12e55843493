//! What welding does to the assembly: dimensions, order, record, correction beads, filler and gas.

mod beads;
mod dimensions;
mod findings;
pub(super) mod joints;
mod order;
mod readings;
mod record;
mod seams;
mod space;
mod supply;
mod way;

pub use beads::{CorrectionStudy, SiteStudy};
pub use dimensions::{DimensionStudy, How, Pulling};
pub use joints::{JointWeld, Place3};
pub use order::OrderStudy;
pub use record::{CouponStudy, RecordOf, RecordRow, RecordStudy, record_of};
pub use seams::{Bow, SeamStudy};
pub use space::{Line, Meeting};
pub use supply::{SupplyRow, SupplyStudy};
pub use way::Leg;

pub(super) use findings::findings;
pub(super) use readings::readings;

use weld::control::{Contribution, Factor};
use weld::guard::Guarded;
use weld::learning::Observation;

use super::{FitUpStudy, Phrase};
use crate::Build;

/// Everything about welding that follows from a build.
#[derive(Debug, Clone, PartialEq)]
pub struct WeldStudy {
    /// Each tube on its centreline, or why it is not drawn; in the document's order.
    pub tubes: Vec<Result<Line, Phrase>>,
    /// Each joint's straight seam worked out along itself, in the fit-up log's order.
    pub seams: Vec<Option<SeamStudy>>,
    /// Each control dimension, in the document's order.
    pub dimensions: Vec<DimensionStudy>,
    /// The weld order, or why there is none.
    pub order: Result<OrderStudy, Phrase>,
    /// The shop's record, or why it can not be read.
    pub record: Result<RecordStudy, Phrase>,
    /// Correction beads, in the document's order.
    pub corrections: Vec<CorrectionStudy>,
    /// Filler and gas.
    pub supply: SupplyStudy,
    /// Materials of the assembly judged for beads: name and verdict, each once.
    pub materials: Vec<(String, Result<Guarded, Phrase>)>,
}

impl WeldStudy {
    /// The control dimension with this id.
    pub fn dimension(&self, id: &str) -> Option<&DimensionStudy> {
        self.dimensions.iter().find(|d| d.id == id)
    }

    /// The correction with this id.
    pub fn correction(&self, id: &str) -> Option<&CorrectionStudy> {
        self.corrections.iter().find(|c| c.id == id)
    }

    /// The correction of a control dimension: the last one begun.
    pub fn correction_of(&self, dimension: usize) -> Option<&CorrectionStudy> {
        let mut all = self.corrections.iter().rev();
        all.find(|c| c.dimension == Some(dimension))
    }

    /// What a coupon or dimension teaches, if it was measured.
    pub fn observation(&self, build: &Build, of: &RecordOf) -> Option<Observation> {
        let choices = record::factor_choices(&build.weld_out.choices);
        match of {
            RecordOf::Past(_) => None,
            RecordOf::Coupon(id) => {
                let coupon = build.weld_out.coupons.iter().find(|c| c.id == *id)?;
                let record = self.record.as_ref().ok()?;
                let study = record.coupons.iter().find(|c| c.id == *id)?;
                let (change, factor) = study.predicted.as_ref().ok()?;
                Observation::new(
                    &[Contribution::new(*factor, *change)],
                    study.measured?,
                    record::reading_error(&coupon.tool),
                    &choices,
                )
                .ok()
            }
            RecordOf::Dimension(id) => {
                let d = build.weld_out.dimension(id)?;
                let (before, after, _) = record::before_and_after(d)?;
                let pulls = &self.dimension(id)?.pulls;
                Observation::new(
                    &dimensions::some(pulls, |_| true),
                    after - before,
                    record::reading_error(&d.tool),
                    &choices,
                )
                .ok()
            }
        }
    }

    /// The shop's factor of a kind as (factor, low, high), once the record can be read.
    pub fn factor(&self, factor: Factor) -> Option<(f64, f64, f64)> {
        let record = self.record.as_ref().ok()?;
        let (low, high) = record.now.interval(factor, 0.90).ok()?;
        Some((record.now.of(factor), low, high))
    }
}

pub(super) fn study(b: &Build, fit_up: &FitUpStudy) -> WeldStudy {
    let say = |e: weld::WeldError| Phrase::from(e.to_string());
    let a = &b.assembly;
    let choices = joints::choices(&b.weld_out.choices);
    let rule = super::fit_up::rule(b.fit_up.rule);
    let worked: Vec<Option<&JointWeld>> =
        fit_up.joints.iter().map(|j| j.weld.as_ref().ok()).collect();
    let network = way::Network::of(b);
    let seams = seams::study(b, &worked, &choices);
    let mut dimensions: Vec<DimensionStudy> = b
        .weld_out
        .dimensions
        .iter()
        .map(|d| dimensions::geometry(b, &network, &worked, &seams, d))
        .collect();
    let record = record::study(b, &dimensions, &rule, &choices).map_err(say);
    let numbers = record::factor_choices(&b.weld_out.choices);
    let (order, corrections) = match &record {
        Ok(record) => {
            let thin_kink = Factor::new(weld::control::FactorKind::Kink, true).index();
            let tried = record.tried[thin_kink];
            for d in &mut dimensions {
                dimensions::forecast(d, b, &record.now, &numbers, tried);
            }
            let order = order::study(b, &worked, &dimensions, &record.now, &numbers).map_err(say);
            let corrections = b
                .weld_out
                .corrections
                .iter()
                .map(|c| beads::study(b, &network, c, &dimensions, &record.now, &choices))
                .collect();
            (order, corrections)
        }
        Err(e) => (Err(e.clone()), Vec::new()),
    };
    let mut materials: Vec<(String, Result<Guarded, Phrase>)> = Vec::new();
    let tubes = a.tubes.iter().map(|t| (&t.material, t.section.wall().si()));
    let plates = a.plates.iter().map(|p| (&p.material, p.thickness.si()));
    for (material, wall) in tubes.chain(plates) {
        if !materials.iter().any(|(name, _)| name == material) {
            materials.push((material.clone(), beads::judged(a, material, wall)));
        }
    }
    WeldStudy {
        tubes: a.tubes.iter().map(|t| Line::of(a, t)).collect(),
        supply: supply::study(b, &worked),
        seams,
        dimensions,
        order,
        record,
        corrections,
        materials,
    }
}
