//! The parking brake on a grade, nose up and nose down.

use super::car::BrakeCar;
use super::{BrakeError, finite, positive, share};

/// Grade a parking brake should hold either way (UN ECE R13-H, from memory). A remark, not an approval.
pub const TARGET_GRADE: f64 = 0.2;
/// Greatest force at a hand lever, N (UN ECE R13-H, from memory).
pub const GREATEST_HAND_FORCE: f64 = 400.0;
/// Greatest force at a foot lever, N (UN ECE R13-H, from memory).
pub const GREATEST_FOOT_FORCE: f64 = 500.0;

/// What the cable works on. The wheel rolls back nose up and forward nose down: a drum has a shoe factor for each sense.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Foundation {
    /// Drum.
    Drum {
        /// Shoe factor nose up (the drum would turn backward), positive.
        factor_nose_up: f64,
        /// Shoe factor nose down (forward), positive.
        factor_nose_down: f64,
        /// Drum radius, m, positive.
        drum_radius: f64,
    },
    /// Disc.
    Disc {
        /// Pad friction μ, positive.
        mu: f64,
        /// Effective radius, m, positive.
        effective_radius: f64,
    },
}

/// A parking brake on the rear wheels behind an equaliser.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ParkingBrake {
    /// Force at the lever or pedal, N, positive.
    pub hand_force: f64,
    /// Lever ratio, positive.
    pub lever_ratio: f64,
    /// Efficiency of the cables η, above 0, at most 1.
    pub cable_efficiency: f64,
    /// Ratio of the lever at the wheel, positive.
    pub wheel_lever_ratio: f64,
    /// What it works on.
    pub foundation: Foundation,
    /// Loaded radius of the rear tyre, m, positive.
    pub loaded_radius: f64,
}

/// Which way the car stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Slope {
    /// Nose up: it would roll back.
    NoseUp,
    /// Nose down.
    NoseDown,
}

/// One way on one grade. Grades are tan γ (1 = 100 %).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GradeHold {
    /// Torque of one wheel, N·m.
    pub torque_per_wheel: f64,
    /// Force the brakes of both wheels can hold at the ground, N.
    pub force: f64,
    /// Steepest grade the brake holds; None: any, it is stronger than the car is heavy.
    pub grade_by_brake: Option<f64>,
    /// Steepest grade the rear tyres hold; None: any (nose up, all weight goes to the rear before they slide).
    pub grade_by_tyre: Option<f64>,
    /// Steepest grade that is held; None: any.
    pub max_grade: Option<f64>,
    /// The tyres give up before the brake.
    pub tyre_limited: bool,
    /// Force needed on the asked grade, N.
    pub needed_force: f64,
    /// Load on the rear axle there, N; below zero: the car would tip over.
    pub rear_load: f64,
    /// Whether the car stands.
    pub holds: bool,
    /// Force at the lever that brings the brake to what is needed, N, whether or not the tyres hold.
    pub hand_force_needed: f64,
}

/// Both ways on one grade.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ParkingRow {
    /// Tension of the cable to each wheel, N.
    pub cable_tension_each: f64,
    /// Force on the shoes or pads, N.
    pub actuating_force: f64,
    /// Nose up.
    pub nose_up: GradeHold,
    /// Nose down.
    pub nose_down: GradeHold,
}

impl ParkingBrake {
    fn check(&self) -> Result<(), BrakeError> {
        positive("hand force", self.hand_force)?;
        positive("lever ratio", self.lever_ratio)?;
        share("cable efficiency", self.cable_efficiency)?;
        positive("ratio of the lever at the wheel", self.wheel_lever_ratio)?;
        positive("loaded radius", self.loaded_radius)?;
        match self.foundation {
            Foundation::Drum {
                factor_nose_up,
                factor_nose_down,
                drum_radius,
            } => {
                positive("shoe factor nose up", factor_nose_up)?;
                positive("shoe factor nose down", factor_nose_down)?;
                positive("drum radius", drum_radius).map(|_| ())
            }
            Foundation::Disc {
                mu,
                effective_radius,
            } => {
                positive("pad friction", mu)?;
                positive("effective radius", effective_radius).map(|_| ())
            }
        }
    }

    fn arm(&self, slope: Slope) -> f64 {
        match self.foundation {
            Foundation::Drum {
                factor_nose_up,
                factor_nose_down,
                drum_radius,
            } => {
                drum_radius
                    * match slope {
                        Slope::NoseUp => factor_nose_up,
                        Slope::NoseDown => factor_nose_down,
                    }
            }
            Foundation::Disc {
                mu,
                effective_radius,
            } => 2.0 * mu * effective_radius,
        }
    }

    /// The brake on a grade (tan γ, zero or more) on tyres of friction `mu`.
    ///
    /// # Errors
    /// [`BrakeError::BadInput`].
    pub fn on_grade(&self, car: &BrakeCar, mu: f64, grade: f64) -> Result<ParkingRow, BrakeError> {
        self.check()?;
        car.check()?;
        positive("tyre friction", mu)?;
        super::not_negative("grade", grade)?;
        let cable_tension_each = finite(
            "cable tension",
            self.hand_force * self.lever_ratio * self.cable_efficiency / 2.0,
        )?;
        let actuating_force = cable_tension_each * self.wheel_lever_ratio;
        let one = |slope| self.hold(car, mu, grade, slope, actuating_force);
        Ok(ParkingRow {
            cable_tension_each,
            actuating_force,
            nose_up: one(Slope::NoseUp),
            nose_down: one(Slope::NoseDown),
        })
    }

    fn hold(&self, car: &BrakeCar, mu: f64, grade: f64, slope: Slope, actuating: f64) -> GradeHold {
        let weight = car.weight();
        let up = match slope {
            Slope::NoseUp => 1.0,
            Slope::NoseDown => -1.0,
        };
        let torque_per_wheel = actuating * self.arm(slope);
        let force = 2.0 * torque_per_wheel / self.loaded_radius;
        let sine = force / weight;
        let grade_by_brake = (sine < 1.0).then(|| sine / (1.0 - sine * sine).sqrt());
        let rest = car.wheelbase - up * mu * car.cg_height;
        let grade_by_tyre = (rest > 0.0).then(|| mu * car.cg_to_front / rest);
        let max_grade = match (grade_by_brake, grade_by_tyre) {
            (Some(b), Some(t)) => Some(b.min(t)),
            (one, other) => one.or(other),
        };
        let cosine = 1.0 / grade.hypot(1.0);
        let sine = grade * cosine;
        let needed_force = weight * sine;
        let rear_load =
            weight * (car.cg_to_front * cosine + up * car.cg_height * sine) / car.wheelbase;
        GradeHold {
            torque_per_wheel,
            force,
            grade_by_brake,
            grade_by_tyre,
            max_grade,
            tyre_limited: grade_by_tyre.is_some_and(|t| grade_by_brake.is_none_or(|b| t < b)),
            needed_force,
            rear_load,
            holds: needed_force <= force.min(mu * rear_load),
            hand_force_needed: self.hand_force * needed_force / force,
        }
    }
}
