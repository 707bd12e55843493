//! Student's t, standard form, by the regularised incomplete beta function.

use statrs::distribution::{Continuous, ContinuousCDF, StudentsT};
use statrs::function::beta::beta_reg;

/// P(T > |x|) with `nu` degrees of freedom, 0 to ½.
fn tail(x: f64, nu: f64) -> f64 {
    let square = x * x;
    if square < nu {
        // The share inside, not the one outside: exact also next to 0.
        0.5 - 0.5 * beta_reg(0.5, 0.5 * nu, square / (nu + square))
    } else {
        0.5 * beta_reg(0.5 * nu, 0.5, nu / (nu + square))
    }
}

/// P(T ≤ x) with `nu` > 0 degrees of freedom; x may be infinite, not NaN.
pub(super) fn t_cdf(x: f64, nu: f64) -> f64 {
    if x > 0.0 {
        1.0 - tail(x, nu)
    } else {
        tail(x, nu)
    }
}

/// P(low < T ≤ high), exact also where both are far out on one side.
pub(super) fn t_between(low: f64, high: f64, nu: f64) -> f64 {
    let share = if low > 0.0 {
        tail(low, nu) - tail(high, nu)
    } else {
        t_cdf(high, nu) - t_cdf(low, nu)
    };
    share.clamp(0.0, 1.0)
}

/// P(|T| > |x|).
pub(crate) fn two_sided(x: f64, nu: f64) -> f64 {
    2.0 * tail(x, nu)
}

/// The value T exceeds with chance `upper`, 0 < `upper` < ½.
pub(super) fn t_upper(upper: f64, nu: f64) -> f64 {
    let Ok(student) = StudentsT::new(0.0, 1.0, nu) else {
        return f64::NAN;
    };
    // statrs finds it to some 1e-8; two Newton steps on the tail polish it.
    let mut t = student.inverse_cdf(1.0 - upper).abs();
    for _ in 0..2 {
        let step = (tail(t, nu) - upper) / student.pdf(t);
        if step.is_finite() && t + step > 0.0 {
            t += step;
        }
    }
    t
}
