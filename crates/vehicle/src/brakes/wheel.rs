//! Disc and drum: torque for a pressure, and the fluid they take.

use super::{BrakeError, bore_area, finite, not_negative, positive, share};

/// How friction is spread over a swept band.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SweptBand {
    /// Mean radius (r_o + r_i)/2: worn-in pads.
    Mean,
    /// Uniform pressure: ⅔(r_o³ − r_i³)/(r_o² − r_i²).
    UniformPressure,
}

impl SweptBand {
    /// Effective radius r_e of the band from `inner` to `outer` (m), m.
    ///
    /// # Errors
    /// [`BrakeError::BadInput`] unless 0 ≤ inner < outer.
    pub fn effective_radius(self, outer: f64, inner: f64) -> Result<f64, BrakeError> {
        not_negative("inner radius of the swept band", inner)?;
        positive("outer radius of the swept band", outer)?;
        positive("width of the swept band", outer - inner)?;
        Ok(match self {
            Self::Mean => 0.5 * (outer + inner),
            // The cubes over the squares with the common factor r_o − r_i taken out.
            Self::UniformPressure => {
                2.0 / 3.0 * (outer * outer + outer * inner + inner * inner) / (outer + inner)
            }
        })
    }
}

/// A disc brake at one wheel. The pistons of ONE side count, of a fixed caliper too: the other side is the reaction.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Disc {
    /// Piston area A_p on one side of the disc, m², positive.
    pub piston_area: f64,
    /// Pad friction μ, positive.
    pub mu: f64,
    /// Effective radius r_e, m, positive.
    pub effective_radius: f64,
    /// Pressure p₀ that moves the pads against the seals, Pa, zero or more.
    pub threshold_pressure: f64,
    /// Efficiency η, above 0, at most 1.
    pub efficiency: f64,
    /// Clearance c of each pad, m, zero or more.
    pub pad_clearance: f64,
    /// Stiffness of the caliper K_c, N/m, positive; None: stiff.
    pub caliper_stiffness: Option<f64>,
    /// Stiffness of one pad K_p, N/m, positive; None: stiff.
    pub pad_stiffness: Option<f64>,
}

impl Disc {
    /// Area of the pistons of one side from their diameters (m), m².
    #[must_use]
    pub fn area_of(pistons_one_side: &[f64]) -> f64 {
        pistons_one_side.iter().map(|d| bore_area(*d)).sum()
    }
}

/// A drum brake at one wheel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Drum {
    /// Area A_cyl of ONE piston of the wheel cylinder, m², positive.
    pub cylinder_area: f64,
    /// Shoe factor C: drag of both shoes at the drum radius over the force of one piston, positive.
    pub shoe_factor: f64,
    /// Drum radius r_d, m, positive.
    pub drum_radius: f64,
    /// Pressure p₀ that lifts the shoes off their springs, Pa, zero or more.
    pub threshold_pressure: f64,
    /// Efficiency η, above 0, at most 1.
    pub efficiency: f64,
    /// Travel x of each piston until the linings touch, m, zero or more.
    pub shoe_travel: f64,
    /// Fluid taken per pressure once they touch, m³/Pa, zero or more.
    pub compliance: f64,
}

/// A foundation brake.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Brake {
    /// Disc.
    Disc(Disc),
    /// Drum.
    Drum(Drum),
}

impl Brake {
    /// # Errors
    /// [`BrakeError::BadInput`].
    pub fn check(&self) -> Result<(), BrakeError> {
        match self {
            Self::Disc(d) => {
                positive("piston area", d.piston_area)?;
                positive("pad friction", d.mu)?;
                positive("effective radius", d.effective_radius)?;
                not_negative("pressure that moves the pads", d.threshold_pressure)?;
                share("caliper efficiency", d.efficiency)?;
                not_negative("pad clearance", d.pad_clearance)?;
                for (what, k) in [
                    ("caliper stiffness", d.caliper_stiffness),
                    ("pad stiffness", d.pad_stiffness),
                ] {
                    if let Some(k) = k {
                        positive(what, k)?;
                    }
                }
                Ok(())
            }
            Self::Drum(d) => {
                positive("wheel cylinder area", d.cylinder_area)?;
                positive("shoe factor", d.shoe_factor)?;
                positive("drum radius", d.drum_radius)?;
                not_negative("pressure that lifts the shoes", d.threshold_pressure)?;
                share("wheel cylinder efficiency", d.efficiency)?;
                not_negative("shoe travel", d.shoe_travel)?;
                not_negative("drum compliance", d.compliance).map(|_| ())
            }
        }
    }

    /// Pressure below which nothing touches, Pa.
    #[must_use]
    pub fn threshold_pressure(&self) -> f64 {
        match self {
            Self::Disc(d) => d.threshold_pressure,
            Self::Drum(d) => d.threshold_pressure,
        }
    }

    /// Clamp of the pads or force of one wheel cylinder piston, N, never negative.
    #[must_use]
    pub fn actuating_force(&self, pressure: f64) -> f64 {
        let (area, efficiency) = match self {
            Self::Disc(d) => (d.piston_area, d.efficiency),
            Self::Drum(d) => (d.cylinder_area, d.efficiency),
        };
        (pressure - self.threshold_pressure()).max(0.0) * area * efficiency
    }

    /// Torque per newton of actuating force, m: 2 μ r_e of a disc, C r_d of a drum.
    #[must_use]
    pub fn torque_arm(&self) -> f64 {
        match self {
            Self::Disc(d) => 2.0 * d.mu * d.effective_radius,
            Self::Drum(d) => d.shoe_factor * d.drum_radius,
        }
    }

    /// Torque of one wheel at a pressure (Pa), N·m, never negative.
    #[must_use]
    pub fn torque(&self, pressure: f64) -> f64 {
        self.actuating_force(pressure) * self.torque_arm()
    }

    /// Fluid of one wheel at a pressure (Pa): clearance and flex, m³. The clearance is taken up in full.
    #[must_use]
    pub fn fluid(&self, pressure: f64) -> [f64; 2] {
        match self {
            Self::Disc(d) => {
                let give = |k: Option<f64>| k.map_or(0.0, f64::recip);
                let flex = give(d.caliper_stiffness) + 2.0 * give(d.pad_stiffness);
                [
                    2.0 * d.piston_area * d.pad_clearance,
                    d.piston_area * d.piston_area * pressure * flex,
                ]
            }
            Self::Drum(d) => [
                2.0 * d.cylinder_area * d.shoe_travel,
                d.compliance * pressure,
            ],
        }
    }
}

/// Which way a shoe lies in the sense of rotation.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sense {
    /// The drum drags the shoe into itself.
    Leading,
    /// The drum pushes the shoe away.
    Trailing,
}

/// One shoe on a fixed pivot (Shigley, Mechanical Engineering Design, ch. 16, long shoe).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PivotedShoe {
    /// Lining friction μ, positive.
    pub mu: f64,
    /// Drum radius r, m, positive.
    pub drum_radius: f64,
    /// Pivot to drum centre a, m, positive.
    pub pivot_distance: f64,
    /// Arm c of the actuating force about the pivot, m, positive.
    pub actuating_arm: f64,
    /// Where the lining begins and ends, rad from the pivot, 0 ≤ θ₁ < θ₂ ≤ π.
    pub lining: [f64; 2],
}

impl PivotedShoe {
    /// Arms t of the torque, f of the friction moment and n of the normal moment, all per μ-weighted or plain
    /// lining pressure p_max·b·r/sin θ_max, m.
    fn arms(&self) -> Result<[f64; 3], BrakeError> {
        positive("lining friction", self.mu)?;
        positive("drum radius", self.drum_radius)?;
        positive("pivot distance", self.pivot_distance)?;
        positive("arm of the actuating force", self.actuating_arm)?;
        let [from, to] = self.lining;
        not_negative("start of the lining", from)?;
        finite("end of the lining", to)?;
        positive("length of the lining", to - from)?;
        not_negative("angle left beyond the lining", std::f64::consts::PI - to)?;
        let a = self.pivot_distance;
        let t = self.mu * self.drum_radius * (from.cos() - to.cos());
        let f = t - self.mu * 0.5 * a * (to.sin().powi(2) - from.sin().powi(2));
        let n = a * (0.5 * (to - from) - 0.25 * ((2.0 * to).sin() - (2.0 * from).sin()));
        Ok([t, f, n])
    }

    /// Shoe factor C of this one shoe: drag at the drum radius over the actuating force, t·c/((n ∓ f)·r).
    ///
    /// # Errors
    /// [`BrakeError::SelfLocking`] of a leading shoe with n ≤ f; [`BrakeError::BadInput`].
    pub fn factor(&self, sense: Sense) -> Result<f64, BrakeError> {
        let [t, f, n] = self.arms()?;
        let rest = match sense {
            Sense::Leading => n - f,
            Sense::Trailing => n + f,
        };
        if rest > 0.0 {
            Ok(t * self.actuating_arm / (rest * self.drum_radius))
        } else {
            Err(BrakeError::SelfLocking {
                normal: n,
                friction: f,
            })
        }
    }

    /// Moments of friction and of the normal force about the pivot, and torque on the drum, N·m, for the greatest lining
    /// pressure (Pa) on a lining of width `width` (m): M_f, M_N, T.
    ///
    /// # Errors
    /// [`BrakeError::BadInput`].
    pub fn moments(&self, greatest_pressure: f64, width: f64) -> Result<[f64; 3], BrakeError> {
        not_negative("lining pressure", greatest_pressure)?;
        positive("lining width", width)?;
        let [t, f, n] = self.arms()?;
        let [from, to] = self.lining;
        // Pressure goes with sin θ: it is greatest at a quarter turn, or at the end nearest to it.
        let quarter = std::f64::consts::FRAC_PI_2;
        let top = quarter.clamp(from, to).sin();
        let scale = greatest_pressure * width * self.drum_radius / top;
        Ok([f * scale, n * scale, t * scale])
    }
}
