//! Student's t and chi-square: distribution functions and quantiles.
//!
//! From statrs. Its quantiles are right to rounding for the degrees of freedom of a few
//! readings, but far out (one degree, a chance of 1e-9) and for a million degrees they are
//! not, so all are polished against the distribution function.

use crate::error::{WeldError, finite, share};
use statrs::distribution::{ChiSquared, Continuous, ContinuousCDF, StudentsT};
use statrs::function::beta::beta_reg;

/// Greatest degrees of freedom taken; t is the normal distribution long before.
const MOST_FREEDOM: f64 = 1.0e9;

/// Student's t with ν degrees of freedom, mean 0, scale 1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StudentT {
    nu: f64,
    inner: StudentsT,
}

impl StudentT {
    /// `nu` degrees of freedom ν, 1 to 1e9, whole or not.
    ///
    /// # Errors
    /// ν that is not finite, under 1 or over 1e9.
    pub fn new(nu: f64) -> Result<Self, WeldError> {
        let what = "the degrees of freedom";
        freedom(what, nu)?;
        let inner =
            StudentsT::new(0.0, 1.0, nu).map_err(|_| WeldError::NotPositive { what, value: nu })?;
        Ok(Self { nu, inner })
    }

    /// Degrees of freedom ν.
    #[must_use]
    pub const fn nu(&self) -> f64 {
        self.nu
    }

    /// Chance of at most `x`. NaN for NaN.
    #[must_use]
    pub fn cdf(&self, x: f64) -> f64 {
        if x > 0.0 {
            1.0 - self.outside(x)
        } else {
            self.outside(x)
        }
    }

    /// Chance of more than `x`; keeps its digits where it is small. NaN for NaN.
    #[must_use]
    pub fn tail(&self, x: f64) -> f64 {
        self.cdf(-x)
    }

    /// Chance of more than |x|, 0 to ½.
    fn outside(&self, x: f64) -> f64 {
        if x.is_nan() {
            return f64::NAN; // the library would panic
        }
        let square = x * x;
        if square < self.nu.min(1.0) {
            // The share inside, not the one outside: exact also next to 0.
            0.5 - 0.5 * beta_reg(0.5, 0.5 * self.nu, square / (self.nu + square))
        } else {
            0.5 * beta_reg(0.5 * self.nu, 0.5, self.nu / (self.nu + square))
        }
    }

    /// Chance of more than `low` and at most `high`, exact also where both are far out.
    #[must_use]
    pub fn between(&self, low: f64, high: f64) -> f64 {
        let share = if low > 0.0 {
            self.outside(low) - self.outside(high)
        } else {
            self.cdf(high) - self.cdf(low)
        };
        share.clamp(0.0, 1.0)
    }

    /// Chance of lying farther from 0 than `x`, either side. NaN for NaN.
    #[must_use]
    pub fn two_sided(&self, x: f64) -> f64 {
        2.0 * self.outside(x)
    }

    /// The x with chance `p` of at most x.
    ///
    /// # Errors
    /// `p` not strictly between 0 and 1.
    pub fn quantile(&self, p: f64) -> Result<f64, WeldError> {
        share("the chance", p)?;
        // In the lower half, where the chance keeps its digits.
        let lower = p.min(1.0 - p);
        let found = self.inner.inverse_cdf(lower);
        let start = if found.is_finite() { found } else { 0.0 };
        let x = polish(start, lower, |x| (self.cdf(x), self.inner.pdf(x)));
        Ok(if p > 0.5 { -x } else { x })
    }
}

/// Most Newton steps after the library's search; mostly one or two are taken.
const POLISH: usize = 30;

/// Newton's rule on the logarithm of the chance, which is nearly straight in a tail, from a
/// start near by. `at` gives chance and density.
fn polish(start: f64, p: f64, at: impl Fn(f64) -> (f64, f64)) -> f64 {
    let mut x = start;
    for _ in 0..POLISH {
        let (chance, density) = at(x);
        let step = chance * (chance / p).ln() / density;
        if !step.is_finite() {
            break;
        }
        x -= step;
        if step.abs() <= 4.0 * f64::EPSILON * x.abs() {
            break;
        }
    }
    x
}

fn freedom(what: &'static str, value: f64) -> Result<f64, WeldError> {
    finite(what, value)?;
    if value < 1.0 {
        return Err(WeldError::BelowOne { what, value });
    }
    if value > MOST_FREEDOM {
        let limit = MOST_FREEDOM;
        return Err(WeldError::TooLarge { what, value, limit });
    }
    Ok(value)
}

/// Chance that Student's t with `nu` degrees of freedom is at most `x`.
///
/// # Errors
/// `nu` under 1, over 1e9 or not finite; `x` not finite.
pub fn t_cdf(x: f64, nu: f64) -> Result<f64, WeldError> {
    Ok(StudentT::new(nu)?.cdf(finite("the t value", x)?))
}

/// The value Student's t with `nu` degrees of freedom stays at or below with chance `p`.
///
/// # Errors
/// `nu` under 1, over 1e9 or not finite; `p` not strictly between 0 and 1.
pub fn t_quantile(p: f64, nu: f64) -> Result<f64, WeldError> {
    StudentT::new(nu)?.quantile(p)
}

/// The value chi-square with `k` degrees of freedom stays at or below with chance `p`.
///
/// # Errors
/// `k` under 1, over 1e9 or not finite; `p` not strictly between 0 and 1.
pub fn chi2_quantile(p: f64, k: f64) -> Result<f64, WeldError> {
    let what = "the degrees of freedom";
    freedom(what, k)?;
    share("the chance", p)?;
    let chi = ChiSquared::new(k).map_err(|_| WeldError::NotPositive { what, value: k })?;
    let x = polish(chi.inverse_cdf(p), p, |x| (chi.cdf(x), chi.pdf(x)));
    finite("the chi-square value", x)
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
mod tests {
    use super::*;
    use std::f64::consts::PI;

    fn close(got: f64, wanted: f64, share: f64) {
        assert!(
            (got - wanted).abs() <= share * wanted.abs(),
            "{got} for {wanted}"
        );
    }

    /// ν = 1 is the Cauchy and ν = 2 has a closed form too; both exact.
    #[test]
    fn t_has_its_closed_forms() {
        for x in [-40.0, -3.0, -0.5, 0.0, 0.2, 1.0, 7.0_f64] {
            let cauchy = 0.5 + x.atan() / PI;
            assert!((t_cdf(x, 1.0).unwrap() - cauchy).abs() < 1e-13);
            let two = 0.5 + x / (2.0 * (2.0 + x * x).sqrt());
            assert!((t_cdf(x, 2.0).unwrap() - two).abs() < 1e-13);
        }
        for p in [1e-6, 0.01, 0.3, 0.75, 0.999] {
            close(t_quantile(p, 1.0).unwrap(), (PI * (p - 0.5)).tan(), 1e-9);
            let root = (2.0 * p - 1.0) * (1.0 / (2.0 * p * (1.0 - p))).sqrt();
            close(t_quantile(p, 2.0).unwrap(), root, 1e-9);
        }
    }

    /// Printed tables (NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.2 and
    /// 1.3.6.7.4, from memory), three places.
    #[test]
    fn quantiles_are_the_printed_ones() {
        for (p, nu, wanted) in [
            (0.95, 8.0, 1.860),
            (0.975, 10.0, 2.228),
            (0.995, 5.0, 4.032),
            (0.95, 30.0, 1.697),
        ] {
            let got = t_quantile(p, nu).unwrap();
            assert!((got - wanted).abs() <= 5.1e-4, "{got} for {wanted}");
        }
        for (p, k, wanted) in [
            (0.95, 1.0, 3.841),
            (0.95, 3.0, 7.815),
            (0.95, 10.0, 18.307),
            (0.99, 4.0, 13.277),
        ] {
            let got = chi2_quantile(p, k).unwrap();
            assert!((got - wanted).abs() <= 5.1e-4, "{got} for {wanted}");
        }
        // Two degrees of freedom are exponential.
        close(
            chi2_quantile(0.95, 2.0).unwrap(),
            -2.0 * 0.05_f64.ln(),
            1e-12,
        );
    }

    /// The quantile undoes the distribution function, in tails too; the two tails mirror.
    #[test]
    fn quantile_undoes_the_distribution() {
        for nu in [1.0, 4.5, 8.0, 11.0, 200.0, 1.0e6] {
            let t = StudentT::new(nu).unwrap();
            for p in [1e-9, 1e-4, 0.05, 0.4, 0.5, 0.6, 0.95] {
                let x = t.quantile(p).unwrap();
                close(t.cdf(x), p, 1e-9);
                if p > 0.5 {
                    assert_eq!(x, -t.quantile(1.0 - p).unwrap());
                }
            }
            assert!(t.quantile(0.5).unwrap().abs() < 1e-9);
            close(t.two_sided(-2.0), t.cdf(-2.0) + t.tail(2.0), 1e-14);
        }
    }

    #[test]
    fn nonsense_is_refused() {
        for nu in [0.0, -1.0, 0.5, 2e9, f64::NAN, f64::INFINITY] {
            assert!(t_cdf(1.0, nu).is_err());
            assert!(t_quantile(0.9, nu).is_err());
            assert!(chi2_quantile(0.9, nu).is_err());
        }
        for p in [0.0, 1.0, -0.1, 1.1, f64::NAN, f64::INFINITY] {
            assert!(t_quantile(p, 8.0).is_err());
            assert!(chi2_quantile(p, 8.0).is_err());
        }
        assert!(t_cdf(f64::NAN, 8.0).is_err());
        assert!(StudentT::new(8.0).unwrap().cdf(f64::NAN).is_nan());
    }
}
