//! The engine's full-throttle torque.

use super::RunError;
use super::check::{as_many, lookup, not_negative, positive, rising};

/// One revolution per minute in rad/s.
pub const RPM: f64 = std::f64::consts::PI / 30.0;

/// Full-throttle torque over engine speed, linear between the points: what was typed is what runs. Below
/// the first point the engine bogs, the last is the rev limit.
#[derive(Clone, Debug, PartialEq)]
pub struct TorqueCurve {
    /// Engine speeds, rad/s, rising, at least two, the first above zero.
    pub speed: Vec<f64>,
    /// Torque at each, N·m, zero or more.
    pub torque: Vec<f64>,
}

impl TorqueCurve {
    /// A curve from rpm and N·m.
    #[must_use]
    pub fn from_rpm(rpm: &[f64], torque: &[f64]) -> Self {
        Self {
            speed: rpm.iter().map(|n| n * RPM).collect(),
            torque: torque.to_vec(),
        }
    }

    /// # Errors
    /// Fewer than two points, speeds that do not rise, a negative or endless value.
    pub fn check(&self) -> Result<(), RunError> {
        rising("engine speed of the torque curve", &self.speed, 2)?;
        positive("engine speed of the torque curve", self.first())?;
        as_many(
            "torques of the torque curve",
            self.torque.len(),
            self.speed.len(),
        )?;
        for torque in &self.torque {
            not_negative("torque of the torque curve", *torque)?;
        }
        Ok(())
    }

    /// Torque at an engine speed, N·m; at the ends of the table the end value (events end the run
    /// there, no power comes from beyond).
    #[must_use]
    pub fn at(&self, speed: f64) -> f64 {
        lookup(&self.speed, &self.torque, speed)
    }

    /// Lowest speed of the table, rad/s.
    #[must_use]
    pub fn first(&self) -> f64 {
        self.speed.first().copied().unwrap_or(f64::NAN)
    }

    /// Highest speed of the table, rad/s: the rev limit.
    #[must_use]
    pub fn last(&self) -> f64 {
        self.speed.last().copied().unwrap_or(f64::NAN)
    }

    /// Greatest power, W, and the speed it comes at, rad/s. Torque is linear between points, power a
    /// parabola: its top may lie between them.
    #[must_use]
    pub fn peak_power(&self) -> (f64, f64) {
        let mut best = (0.0, self.first());
        for (w, t) in self.speed.windows(2).zip(self.torque.windows(2)) {
            let slope = (t[1] - t[0]) / (w[1] - w[0]);
            let zero = t[0] - slope * w[0];
            let top = if slope < 0.0 {
                (-zero / (2.0 * slope)).clamp(w[0], w[1])
            } else {
                w[1]
            };
            for speed in [w[0], top, w[1]] {
                let power = speed * (zero + slope * speed);
                if power > best.0 {
                    best = (power, speed);
                }
            }
        }
        best
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;

    /// What was typed is what runs; the top of the power may lie between two points.
    #[test]
    fn linear_between_the_points() {
        let curve = TorqueCurve::from_rpm(&[1000.0, 3000.0, 6000.0], &[300.0, 400.0, 160.0]);
        assert!(curve.check().is_ok());
        assert!((curve.at(3000.0 * RPM) - 400.0).abs() < 1e-12);
        assert!((curve.at(4500.0 * RPM) - 280.0).abs() < 1e-12);
        assert!((curve.at(9000.0 * RPM) - 160.0).abs() < 1e-12);
        let (power, speed) = curve.peak_power();
        let sampled = (0..=100_000)
            .map(|i| (1000.0 + 0.05 * f64::from(i)) * RPM)
            .map(|w| (w * curve.at(w), w))
            .fold((0.0, 0.0), |best, p| if p.0 > best.0 { p } else { best });
        assert!(power >= sampled.0 && power / sampled.0 < 1.0 + 1e-8);
        assert!((speed - sampled.1).abs() < 0.01 * RPM * 10.0);
        // T = 400 − 0.08 (n − 3000): n T is greatest at n = 4000 (derived).
        assert!((speed / RPM - 4000.0).abs() < 1e-9);
    }
}
