//! Fit-up gaps, weld metal, shrinkage, and what a weld takes in heat, filler and gas.
//!
//! All values are SI (m, rad); lengths of a seam are arc lengths. No published point
//! values exist for thin tube, so every prediction here is a band of published
//! estimates, each shown with its source and whether the joint is within the range it
//! was made for. Nothing here approves a weld: structural welds are for qualified
//! people and the rule book decides.
//!
//! - [`fit_up`]: gap readings round a joint and their verdict under a rule.
//! - [`metal`] and [`cope`]: weld metal of fillets, grooves and coped tubes.
//! - [`joint`]: a whole joint: metal, volume, shrinkage, lean and findings in one answer.
//! - [`shrinkage`]: how far the parts pull together.
//! - [`section_pull`]: how a bead shortens, kinks and bows the member it lies on.
//! - [`guard`]: which material may get correction beads.
//! - [`iso13920`]: general tolerances of lengths and angles.
//! - [`control`]: how a control dimension changes, and how sure that is.
//! - [`learning`]: what the shop's own readings teach about the next weld.
//! - [`order`]: in which order to weld, and when to measure.
//! - [`consumables`]: heat, filler and shielding gas.
//! - [`beads`]: correction beads one lay at a time, each followed by a reading.
//! - [`distribution`]: Student's t and chi-square for the ranges and the checks.

pub mod beads;
pub mod consumables;
pub mod control;
pub mod cope;
pub mod distribution;
mod error;
pub mod fit_up;
pub mod guard;
pub mod iso13920;
pub mod joint;
pub mod learning;
pub mod metal;
pub mod order;
mod quadrature;
pub mod section_pull;
pub mod shrinkage;

pub use control::{Contribution, Factor, FactorChoices, FactorKind, Factors, Prediction};
pub use cope::{Cope, CopeMetal};
pub use error::WeldError;
pub use fit_up::{
    FilletCount, FitUp, GapProfile, GapReading, IsoLevel, JointKind, Remark, Rule, Trend, Verdict,
};
pub use joint::{Choices, Joint, Welded};
pub use learning::{Observation, ReadingError};
pub use metal::{Fillet, FilletMetal, Groove, GrooveShape};
pub use shrinkage::{Band, Estimate, Method, Restraint, Setting};
