//! The load of a front wheel over how far its spring is squeezed, where it is not a straight line.

use super::car::LaunchError;

/// Knots of the curve.
const KNOTS: usize = 17;

/// Load over squeeze through knots with their rates (cubic Hermite), straight on beyond the ends. It
/// rises everywhere, and is zero at no squeeze.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FrontCurve {
    start: f64,
    step: f64,
    load: [f64; KNOTS],
    rate: [f64; KNOTS],
    /// Energy up to each knot from the first, N·m.
    energy: [f64; KNOTS],
    /// Energy at no squeeze, N·m.
    at_zero: f64,
}

impl FrontCurve {
    /// Through loads (N) of one wheel at evenly spaced travels (m, bump positive) with their rates
    /// (N/m); `at(z)` gives both. Returns the curve over the squeeze from no load, and the travel at
    /// which that is.
    ///
    /// # Errors
    /// [`LaunchError::BadInput`] where a number is not finite, a rate not positive, or the load falls
    /// between two travels.
    pub fn through<E: Into<LaunchError>>(
        low: f64,
        high: f64,
        mut at: impl FnMut(f64) -> Result<(f64, f64), E>,
    ) -> Result<(Self, f64), LaunchError> {
        let bad = |what, value| Err(LaunchError::BadInput { what, value });
        let step = (high - low) / (KNOTS - 1) as f64;
        if !(step > 0.0 && step.is_finite() && low.is_finite()) {
            return bad("travel of the front wheel", high - low);
        }
        let (mut load, mut rate) = ([0.0; KNOTS], [0.0; KNOTS]);
        for i in 0..KNOTS {
            (load[i], rate[i]) = at(low + step * i as f64).map_err(Into::into)?;
            if !load[i].is_finite() {
                return bad("front wheel load", load[i]);
            }
            if !(rate[i] > 0.0 && rate[i].is_finite()) {
                return bad("front wheel rate", rate[i]);
            }
        }
        for i in 1..KNOTS {
            let mean = (load[i] - load[i - 1]) / step;
            // Fritsch & Carlson (1980): up to three times the mean slope a cubic rises throughout.
            if !(mean > 0.0 && rate[i].max(rate[i - 1]) <= 3.0 * mean) {
                return bad("front wheel rate between two travels", mean);
            }
        }
        let mut curve = Self {
            start: low,
            step,
            load,
            rate,
            energy: [0.0; KNOTS],
            at_zero: 0.0,
        };
        for i in 1..KNOTS {
            curve.energy[i] = curve.energy[i - 1] + curve.piece(i - 1, 1.0)[2];
        }
        let free = curve.unloaded();
        curve.start -= free;
        curve.at_zero = curve.at(0.0)[2];
        Ok((curve, free))
    }

    /// Load, rate and energy from the left knot at a share 0 to 1 of a piece.
    fn piece(&self, i: usize, u: f64) -> [f64; 3] {
        let (h, a, b) = (self.step, self.load[i], self.load[i + 1]);
        let (p, q) = (h * self.rate[i], h * self.rate[i + 1]);
        let (c, d) = (3.0 * (b - a) - 2.0 * p - q, 2.0 * (a - b) + p + q);
        [
            a + u * (p + u * (c + u * d)),
            (p + u * (2.0 * c + 3.0 * u * d)) / h,
            h * u * (a + u * (p / 2.0 + u * (c / 3.0 + u * d / 4.0))),
        ]
    }

    /// Where the load is zero, on the curve's own axis.
    fn unloaded(&self) -> f64 {
        let last = KNOTS - 1;
        if self.load[0] >= 0.0 {
            return self.start - self.load[0] / self.rate[0];
        }
        if self.load[last] <= 0.0 {
            return self.start + self.step * last as f64 - self.load[last] / self.rate[last];
        }
        let i = (1..KNOTS)
            .find(|i| self.load[*i] > 0.0)
            .map_or(0, |i| i - 1);
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..60 {
            let u = 0.5 * (low + high);
            if self.piece(i, u)[0] > 0.0 {
                high = u;
            } else {
                low = u;
            }
        }
        self.start + self.step * (i as f64 + 0.5 * (low + high))
    }

    /// Load (N), rate (N/m) and energy (N·m) at a squeeze (m).
    pub(crate) fn at(&self, squeeze: f64) -> [f64; 3] {
        let x = (squeeze - self.start) / self.step;
        let last = KNOTS - 1;
        let beyond = |knot: usize, d: f64| {
            let (f, k) = (self.load[knot], self.rate[knot]);
            [
                f + k * d,
                k,
                self.energy[knot] + d * (f + 0.5 * k * d) - self.at_zero,
            ]
        };
        let sound = x > 0.0;
        if !sound {
            return beyond(0, x * self.step);
        }
        if x >= last as f64 {
            return beyond(last, (x - last as f64) * self.step);
        }
        let i = (x as usize).min(last - 1);
        let [f, k, e] = self.piece(i, x - i as f64);
        [f, k, self.energy[i] + e - self.at_zero]
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;

    fn straight() -> (FrontCurve, f64) {
        let line = |z: f64| Ok::<_, LaunchError>((3000.0 + 24_000.0 * z, 24_000.0));
        FrontCurve::through(-0.08, 0.08, line).unwrap()
    }

    /// A straight line through the knots is that line, with the energy of a spring.
    #[test]
    fn a_straight_line_is_a_spring() {
        let (curve, free) = straight();
        assert!((free + 3000.0 / 24_000.0).abs() < 1e-12);
        for x in [-0.05, 0.0, 0.03, 0.1, 0.15, 0.21, 0.4] {
            let [f, k, e] = curve.at(x);
            assert!((f - 24_000.0 * x).abs() < 1e-8, "{x}: {f}");
            assert!((k - 24_000.0).abs() < 1e-6);
            assert!((e - 12_000.0 * x * x).abs() < 1e-8, "{x}: {e}");
        }
    }

    /// Rate and load are the derivatives of load and energy (central differences), over knots too.
    #[test]
    fn rate_and_load_are_derivatives() {
        let bent = |z: f64| {
            Ok::<_, LaunchError>((3000.0 + 24_000.0 * z + 9e4 * z * z, 24_000.0 + 18e4 * z))
        };
        let (curve, free) = FrontCurve::through(-0.08, 0.08, bent).unwrap();
        assert!(curve.at(0.0)[0].abs() < 1e-9 && curve.at(0.0)[2].abs() < 1e-12);
        let h = 1e-6;
        for i in -20..60 {
            let x = 0.005 * f64::from(i) + 0.001;
            let [f, k, _] = curve.at(x);
            let d = |n: usize| (curve.at(x + h)[n] - curve.at(x - h)[n]) / (2.0 * h);
            assert!((d(0) - k).abs() < 1e-4 * k.abs(), "{x}: {} {k}", d(0));
            assert!(
                (d(2) - f).abs() < 1e-4 * (1.0 + f.abs()),
                "{x}: {} {f}",
                d(2)
            );
        }
        // The cubic goes through a parabola exactly.
        let z = 0.0123;
        assert!((curve.at(z - free)[0] - bent(z).unwrap().0).abs() < 1e-8);
    }

    #[test]
    fn a_load_that_falls_is_refused() {
        let falls = |z: f64| Ok::<_, LaunchError>((3000.0 - 100.0 * z, -100.0));
        assert!(FrontCurve::through(-0.1, 0.1, falls).is_err());
        let nan = |_: f64| Ok::<_, LaunchError>((f64::NAN, 1.0));
        assert!(FrontCurve::through(-0.1, 0.1, nan).is_err());
        assert!(FrontCurve::through(0.1, -0.1, nan).is_err());
    }
}
