//! Fit-up gaps, weld metal and transverse shrinkage.
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

pub mod cope;
mod error;
pub mod fit_up;
pub mod joint;
pub mod metal;
mod quadrature;
pub mod shrinkage;

pub use cope::{Cope, CopeMetal};
pub use error::WeldError;
pub use fit_up::{
    FilletCount, FitUp, GapProfile, GapReading, IsoLevel, JointKind, Remark, Rule, Trend, Verdict,
};
pub use joint::{Choices, Joint, Welded};
pub use metal::{Fillet, FilletMetal, Groove, GrooveShape};
pub use shrinkage::{Band, Estimate, Method, Restraint, Setting};
