//! How a control dimension changes when the joints along it are welded.
//!
//! A control dimension runs from a point P to a point Q; n is the unit [`direction`] from P
//! to Q. Angles are small and every element moves all that lies beyond it, so the changes add:
//! a [`Pull`] changes the dimension by −Δ(a·n), a [`Kink`] by θ·(k × (Q − O))·n. Positive
//! is longer. What shortens a member along itself is a [`Pull`] along it.
//!
//! No published value holds for thin tube, so each kind of joint has a [`Factor`] on its
//! predictions: 1 before anything is measured, with a wide spread, narrowed by the shop's own
//! readings ([`crate::learning`]). [`predict`] gives the change, its 90 % band, the length to
//! set the parts long by, and the chance to be in tolerance. All values SI.

mod elements;
mod factors;
mod predict;
mod student;

pub use elements::{Kink, Pull, direction};
pub use factors::{FACTORS, Factor, FactorChoices, FactorKind, Factors, GREATEST_FREEDOM};
pub use predict::{Contribution, Finding, Prediction, predict};

pub(crate) use predict::{Forecaster, Sums, dot, pure};
pub(crate) use student::two_sided;

#[cfg(test)]
#[allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::float_cmp_const
)]
mod tests;
