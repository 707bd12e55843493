//! Height of the centre of gravity from the front load, level and with one end raised.
//!
//! Moments about the rear wheel centre. Springs locked solid, tyres at road pressure, wheels free to
//! roll, fluids and driver as raced. Caution: the raised axle on rated stands, the other wheels chocked,
//! nobody under or beside the car.

use super::{WeighingError, not_negative, positive};

/// Readings of one weighing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HeightReadings {
    /// Weight W of the car, N.
    pub weight: f64,
    /// Load N_f0 of both front tyres, car level, N.
    pub front_level: f64,
    /// Load N_f1 of both front tyres, one end raised, N.
    pub front_raised: f64,
    /// Rise H of the REAR wheel centres against the front's, m; negative if the front was raised.
    pub rise: f64,
    /// Wheelbase L, car level, m.
    pub wheelbase: f64,
    /// Radius r_f of the front tyres under load, m.
    pub front_radius: f64,
    /// Radius r_r of the rear tyres under load, m.
    pub rear_radius: f64,
}

/// Standard deviations σ of the readings, in their units, zero or more.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HeightSigmas {
    /// Of the weight, N.
    pub weight: f64,
    /// Of the front load, level, N.
    pub front_level: f64,
    /// Of the front load, raised, N.
    pub front_raised: f64,
    /// Of the rise, m.
    pub rise: f64,
    /// Of the wheelbase, m.
    pub wheelbase: f64,
    /// Of the front radius, m.
    pub front_radius: f64,
    /// Of the rear radius, m.
    pub rear_radius: f64,
}

/// ∂h/∂reading, m per unit of the reading.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HeightPartials {
    /// By the weight, m/N.
    pub weight: f64,
    /// By the front load, level, m/N.
    pub front_level: f64,
    /// By the front load, raised, m/N.
    pub front_raised: f64,
    /// By the rise.
    pub rise: f64,
    /// By the wheelbase.
    pub wheelbase: f64,
    /// By the front radius.
    pub front_radius: f64,
    /// By the rear radius.
    pub rear_radius: f64,
}

/// The height with its error bar.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MeasuredHeight {
    /// Height h of the centre of gravity above the ground, m.
    pub height: f64,
    /// Standard deviation σ_h, m: root sum of squares of the partials times their σ.
    pub sigma: f64,
    /// Partials.
    pub partials: HeightPartials,
}

/// A value with its derivatives by the seven readings (forward differentiation: exact to rounding).
#[derive(Clone, Copy)]
struct Dual {
    value: f64,
    by: [f64; 7],
}

impl Dual {
    fn reading(value: f64, index: usize) -> Self {
        let mut by = [0.0; 7];
        by[index] = 1.0;
        Self { value, by }
    }

    fn with(self, value: f64, slope: f64) -> Self {
        Self {
            value,
            by: self.by.map(|d| slope * d),
        }
    }

    fn both(self, other: Self, value: f64, a: f64, b: f64) -> Self {
        Self {
            value,
            by: std::array::from_fn(|i| a * self.by[i] + b * other.by[i]),
        }
    }

    fn plus(self, o: Self) -> Self {
        self.both(o, self.value + o.value, 1.0, 1.0)
    }

    fn minus(self, o: Self) -> Self {
        self.both(o, self.value - o.value, 1.0, -1.0)
    }

    fn times(self, o: Self) -> Self {
        self.both(o, self.value * o.value, o.value, self.value)
    }

    fn over(self, o: Self) -> Self {
        let q = self.value / o.value;
        self.both(o, q, 1.0 / o.value, -q / o.value)
    }

    fn sqrt(self) -> Self {
        let root = self.value.sqrt();
        self.with(root, 0.5 / root)
    }

    fn asin(self) -> Self {
        self.with(
            self.value.asin(),
            1.0 / (1.0 - self.value * self.value).sqrt(),
        )
    }

    fn sin(self) -> Self {
        self.with(self.value.sin(), self.value.cos())
    }

    fn cos(self) -> Self {
        self.with(self.value.cos(), -self.value.sin())
    }

    fn tan(self) -> Self {
        let t = self.value.tan();
        self.with(t, 1.0 + t * t)
    }
}

impl HeightReadings {
    /// The height of the centre of gravity with its error bar: D = √(L² + (r_r − r_f)²),
    /// p_0 = asin((r_r − r_f)/D), p_1 = asin((r_r − r_f + H)/D), e = D(N_f1 − N_f0)/(W(tan p_1 − tan p_0)),
    /// c = N_f0 D/W − e tan p_0, h = r_r + e cos p_0 − c sin p_0. Equal radii: h = r + L ΔN/(W tan p_1).
    ///
    /// # Errors
    /// A figure that is not positive or not finite, a load above the weight, a rise of 0 or beyond the
    /// distance of the wheel centres.
    pub fn height(&self, sigmas: &HeightSigmas) -> Result<MeasuredHeight, WeighingError> {
        self.check(sigmas)?;
        let weight = Dual::reading(self.weight, 0);
        let level = Dual::reading(self.front_level, 1);
        let raised = Dual::reading(self.front_raised, 2);
        let rise = Dual::reading(self.rise, 3);
        let wheelbase = Dual::reading(self.wheelbase, 4);
        let front = Dual::reading(self.front_radius, 5);
        let rear = Dual::reading(self.rear_radius, 6);

        let step = rear.minus(front);
        let apart = wheelbase.times(wheelbase).plus(step.times(step)).sqrt();
        let before = step.over(apart).asin();
        let after = step.plus(rise).over(apart).asin();
        let up = apart
            .times(raised.minus(level))
            .over(weight.times(after.tan().minus(before.tan())));
        let along = level
            .times(apart)
            .over(weight)
            .minus(up.times(before.tan()));
        let h = rear
            .plus(up.times(before.cos()))
            .minus(along.times(before.sin()));
        let [
            by_weight,
            by_level,
            by_raised,
            by_rise,
            by_wheelbase,
            by_front,
            by_rear,
        ] = h.by;
        let partials = HeightPartials {
            weight: by_weight,
            front_level: by_level,
            front_raised: by_raised,
            rise: by_rise,
            wheelbase: by_wheelbase,
            front_radius: by_front,
            rear_radius: by_rear,
        };
        let square: f64 =
            h.by.iter()
                .zip(sigmas.list())
                .map(|(d, s)| (d * s).powi(2))
                .sum();
        Ok(MeasuredHeight {
            height: h.value,
            sigma: square.sqrt(),
            partials,
        })
    }

    fn check(&self, sigmas: &HeightSigmas) -> Result<(), WeighingError> {
        positive("weight", self.weight)?;
        positive("front load, level", self.front_level)?;
        positive("front load, raised", self.front_raised)?;
        positive("wheelbase", self.wheelbase)?;
        positive("front tyre radius", self.front_radius)?;
        positive("rear tyre radius", self.rear_radius)?;
        if !self.rise.is_finite() {
            return Err(WeighingError::BadInput {
                what: "rise",
                value: self.rise,
            });
        }
        for (what, value) in [
            ("front load, level", self.front_level),
            ("front load, raised", self.front_raised),
        ] {
            if value >= self.weight {
                return Err(WeighingError::MoreThanTheCar {
                    what,
                    value,
                    weight: self.weight,
                });
            }
        }
        let step = self.rear_radius - self.front_radius;
        let apart = self.wheelbase.hypot(step);
        if self.rise.abs() < 1e-6 || (step + self.rise).abs() >= apart {
            return Err(WeighingError::NoSuchRise {
                rise: self.rise,
                most: apart - step.abs(),
            });
        }
        for (what, value) in [
            "σ of the weight",
            "σ of the front load, level",
            "σ of the front load, raised",
            "σ of the rise",
            "σ of the wheelbase",
            "σ of the front radius",
            "σ of the rear radius",
        ]
        .into_iter()
        .zip(sigmas.list())
        {
            not_negative(what, value)?;
        }
        Ok(())
    }
}

impl HeightSigmas {
    const fn list(&self) -> [f64; 7] {
        [
            self.weight,
            self.front_level,
            self.front_raised,
            self.rise,
            self.wheelbase,
            self.front_radius,
            self.rear_radius,
        ]
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;

    const NONE: HeightSigmas = HeightSigmas {
        weight: 0.0,
        front_level: 0.0,
        front_raised: 0.0,
        rise: 0.0,
        wheelbase: 0.0,
        front_radius: 0.0,
        rear_radius: 0.0,
    };

    /// Front load of a rigid car turned by `pitch` about its rear wheel centre, from the coordinates of
    /// its points alone (moments about the rear contact).
    fn front_load(weight: f64, cg: [f64; 2], l: f64, rf: f64, rr: f64, rise: f64) -> f64 {
        // Car axes: rear wheel centre at the origin, front wheel centre at (l, rf − rr) when level.
        let (dx, dz) = (l, rf - rr);
        let apart = dx.hypot(dz);
        // Rear centre is `rise + rr − rf` above the front centre when raised.
        let nose_down = ((rise + rr - rf) / apart).asin() - ((rr - rf) / apart).asin();
        let (s, c) = nose_down.sin_cos();
        let turn = |x: f64, z: f64| x * c + z * s;
        weight * turn(cg[0], cg[1] - rr) / turn(dx, dz)
    }

    #[test]
    fn a_known_centre_is_found_again() {
        for (rf, rr) in [(0.33, 0.33), (0.31, 0.35), (0.36, 0.32)] {
            for rise in [0.5, 0.3, -0.45] {
                let (w, l, cg) = (14_000.0, 2.75, [1.31, 0.56]);
                let readings = HeightReadings {
                    weight: w,
                    front_level: front_load(w, cg, l, rf, rr, 0.0),
                    front_raised: front_load(w, cg, l, rf, rr, rise),
                    rise,
                    wheelbase: l,
                    front_radius: rf,
                    rear_radius: rr,
                };
                let found = readings.height(&NONE).unwrap();
                assert!((found.height - 0.56).abs() < 1e-12, "{}", found.height);
            }
        }
    }

    /// ± 7 N on each front reading at a rise of 0.5 m is ± 10 mm; twice the rise halves it.
    #[test]
    fn raise_as_high_as_is_safe() {
        let (w, l, r, cg) = (14_000.0, 2.75, 0.33, [1.38, 0.6]);
        let bar = |rise: f64| {
            HeightReadings {
                weight: w,
                front_level: front_load(w, cg, l, r, r, 0.0),
                front_raised: front_load(w, cg, l, r, r, rise),
                rise,
                wheelbase: l,
                front_radius: r,
                rear_radius: r,
            }
            .height(&HeightSigmas {
                front_level: 7.0,
                front_raised: 7.0,
                ..NONE
            })
            .unwrap()
            .sigma
        };
        assert!((bar(0.5) - 0.010).abs() < 0.001, "{}", bar(0.5));
        assert!((bar(1.0) / bar(0.5) - 0.5).abs() < 0.06);
    }

    #[test]
    fn every_bad_figure_is_named() {
        let good = HeightReadings {
            weight: 14_000.0,
            front_level: 7000.0,
            front_raised: 7300.0,
            rise: 0.5,
            wheelbase: 2.75,
            front_radius: 0.32,
            rear_radius: 0.34,
        };
        assert!(good.height(&NONE).is_ok());
        type Put = fn(&mut HeightReadings, f64);
        let fields: [(&str, Put); 6] = [
            ("weight", |c, v| c.weight = v),
            ("front load, level", |c, v| c.front_level = v),
            ("front load, raised", |c, v| c.front_raised = v),
            ("wheelbase", |c, v| c.wheelbase = v),
            ("front tyre radius", |c, v| c.front_radius = v),
            ("rear tyre radius", |c, v| c.rear_radius = v),
        ];
        for (name, put) in fields {
            for bad in [f64::NAN, f64::INFINITY, -1.0, 0.0] {
                let mut r = good;
                put(&mut r, bad);
                let e = r.height(&NONE).unwrap_err();
                assert!(
                    matches!(e, WeighingError::BadInput { what, .. } if what == name),
                    "{e}"
                );
            }
        }
        for rise in [0.0, 2.8, -2.8] {
            let e = HeightReadings { rise, ..good }.height(&NONE).unwrap_err();
            assert!(matches!(e, WeighingError::NoSuchRise { .. }));
        }
        assert!(
            HeightReadings {
                rise: f64::NAN,
                ..good
            }
            .height(&NONE)
            .is_err()
        );
        let e = HeightReadings {
            front_raised: 15_000.0,
            ..good
        }
        .height(&NONE)
        .unwrap_err();
        assert!(matches!(e, WeighingError::MoreThanTheCar { .. }));
        let sigmas = HeightSigmas {
            rise: f64::NAN,
            ..NONE
        };
        assert!(good.height(&sigmas).is_err());
    }
}
