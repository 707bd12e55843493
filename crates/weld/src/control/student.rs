//! Student's t where a number that fails its check has been refused before.

use crate::distribution::StudentT;

/// `of` the distribution with `nu` degrees of freedom; NaN where there is none.
fn with(nu: f64, of: impl Fn(&StudentT) -> f64) -> f64 {
    StudentT::new(nu).map_or(f64::NAN, |t| of(&t))
}

/// P(low < T ≤ high).
pub(super) fn t_between(low: f64, high: f64, nu: f64) -> f64 {
    with(nu, |t| t.between(low, high))
}

/// P(|T| > |x|).
pub(crate) fn two_sided(x: f64, nu: f64) -> f64 {
    with(nu, |t| t.two_sided(x))
}

/// The value T exceeds with chance `upper`, 0 < `upper` < ½.
pub(super) fn t_upper(upper: f64, nu: f64) -> f64 {
    with(nu, |t| t.quantile(upper).map_or(f64::NAN, |x| -x))
}
