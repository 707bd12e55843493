//! Mass, static loads and first-order load transfer.

/// Standard gravity, m/s² (ISO 80000-3, exact by definition).
pub const STANDARD_GRAVITY: f64 = 9.806_65;

/// A rigid car on two axles.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Body {
    mass: f64,
    wheelbase: f64,
    cg_height: f64,
    rear_share: f64,
}

/// A car that can not stand on two axles.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[error(
    "no such car: mass {mass} kg, wheelbase {wheelbase} m, centre of gravity {cg_height} m up, rear share {rear_share}"
)]
pub struct BodyError {
    /// Mass, kg.
    pub mass: f64,
    /// Wheelbase, m.
    pub wheelbase: f64,
    /// Height of the centre of gravity, m.
    pub cg_height: f64,
    /// Share of the weight on the rear axle.
    pub rear_share: f64,
}

impl Body {
    /// `mass` kg, `wheelbase` m, `cg_height` m above the ground, `rear_share` of the static weight
    /// on the rear axle, 0 to 1.
    ///
    /// # Errors
    /// A value that is not finite, not positive, or a share outside 0 to 1.
    pub fn new(
        mass: f64,
        wheelbase: f64,
        cg_height: f64,
        rear_share: f64,
    ) -> Result<Self, BodyError> {
        let positive = [mass, wheelbase, cg_height]
            .iter()
            .all(|v| v.is_finite() && *v > 0.0);
        if !positive || !(0.0..=1.0).contains(&rear_share) {
            return Err(BodyError {
                mass,
                wheelbase,
                cg_height,
                rear_share,
            });
        }
        Ok(Self {
            mass,
            wheelbase,
            cg_height,
            rear_share,
        })
    }

    /// Weight, N.
    pub fn weight(&self) -> f64 {
        self.mass * STANDARD_GRAVITY
    }

    /// Static load on the rear axle, N.
    pub fn rear_load(&self) -> f64 {
        self.weight() * self.rear_share
    }

    /// Static load on the front axle, N.
    pub fn front_load(&self) -> f64 {
        self.weight() - self.rear_load()
    }

    /// Load moved from the front to the rear axle at forward acceleration `a` m/s², N:
    /// ΔW = m a h / L (Gillespie, Fundamentals of Vehicle Dynamics, ch. 1).
    pub fn transfer(&self, a: f64) -> f64 {
        self.mass * a * self.cg_height / self.wheelbase
    }

    /// Greatest acceleration of a rear-driven car on tyres of friction `mu`, m/s²:
    /// a = μ g b/(L − μ h), b from the front axle to the centre of gravity; capped where the front
    /// lifts, g c/h with c = L − b (Jazar, Vehicle Dynamics: Theory and Application, ch. 2).
    pub fn rear_drive_limit(&self, mu: f64) -> f64 {
        let b = self.wheelbase * self.rear_share;
        let lift = STANDARD_GRAVITY * (self.wheelbase - b) / self.cg_height;
        let rest = self.wheelbase - mu * self.cg_height;
        if rest <= 0.0 {
            return lift;
        }
        (mu * STANDARD_GRAVITY * b / rest).min(lift)
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;

    /// Jazar, Vehicle Dynamics: Theory and Application, ch. 2, exercise 10 (inputs published, answer
    /// derived from the book's formula): 1550 kg, 2620 mm, equal halves, h 720 mm, μ 0.8 → 5.03 m/s².
    #[test]
    fn jazar_exercise_10() {
        let car = Body::new(1550.0, 2.62, 0.72, 0.5).unwrap();
        assert!((car.rear_drive_limit(0.8) - 5.03).abs() < 0.005);
    }

    /// Same book, exercise 11: 0–100 km/h in 3.2 s needs μ 1.473.
    #[test]
    fn jazar_exercise_11() {
        let car = Body::new(1000.0, 2.286, 0.26, 0.5).unwrap();
        let a = 100.0 / 3.6 / 3.2;
        // The book's g; the limit scales with it.
        let limit = car.rear_drive_limit(1.473) * 9.81 / STANDARD_GRAVITY;
        assert!((limit - a).abs() < 0.01, "{limit} {a}");
    }

    #[test]
    fn transfer_is_moment_balance_and_lift_caps_the_limit() {
        let car = Body::new(1400.0, 2.7, 0.5, 0.55).unwrap();
        assert!((car.front_load() + car.rear_load() - car.weight()).abs() < 1e-9);
        let lift = car.rear_drive_limit(50.0);
        assert!((car.transfer(lift) - car.front_load()).abs() < 1e-9);
        assert!(car.rear_drive_limit(0.5) < lift);
        assert!(Body::new(-1.0, 2.7, 0.5, 0.5).is_err());
        assert!(Body::new(1400.0, f64::NAN, 0.5, 0.5).is_err());
        assert!(Body::new(1400.0, 2.7, 0.5, 1.5).is_err());
    }
}
