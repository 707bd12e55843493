//! Pedal, booster, master cylinders, proportioning valve.

use super::{BrakeError, bad, bore_area, finite, not_negative, positive, share};

/// The pedal: F_in = F_pedal·R·η.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pedal {
    /// Pedal ratio R, pad travel over push rod travel, positive.
    pub ratio: f64,
    /// Efficiency η, above 0, at most 1.
    pub efficiency: f64,
}

impl Pedal {
    pub(super) fn check(&self) -> Result<(), BrakeError> {
        positive("pedal ratio", self.ratio)?;
        share("pedal efficiency", self.efficiency).map(|_| ())
    }

    /// Force at the push rod for a force at the pad, N.
    #[must_use]
    pub fn force_in(&self, pedal_force: f64) -> f64 {
        pedal_force * self.ratio * self.efficiency
    }
}

/// A booster: adds (B − 1)·F_in up to the assist limit, its knee; slope 1 beyond.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Booster {
    /// Gain B up to the knee, 1 or more.
    pub gain: f64,
    /// Greatest assist A, N, zero or more.
    pub assist_limit: f64,
}

impl Booster {
    /// Assist limit of a vacuum booster, N: vacuum (Pa below the atmosphere) × diaphragm area (m², of all diaphragms) × η.
    ///
    /// # Errors
    /// [`BrakeError::BadInput`].
    pub fn vacuum(
        gain: f64,
        vacuum: f64,
        diaphragm_area: f64,
        efficiency: f64,
    ) -> Result<Self, BrakeError> {
        let booster = Self {
            gain,
            assist_limit: not_negative("vacuum", vacuum)?
                * positive("diaphragm area", diaphragm_area)?
                * share("booster efficiency", efficiency)?,
        };
        booster.check()?;
        Ok(booster)
    }

    pub(super) fn check(&self) -> Result<(), BrakeError> {
        not_negative("assist limit", self.assist_limit)?;
        if self.gain >= 1.0 && self.gain.is_finite() {
            Ok(())
        } else {
            Err(bad("booster gain", self.gain, "1 or more"))
        }
    }

    /// Push on the master for the force at the push rod, N.
    #[must_use]
    pub fn push(&self, force_in: f64) -> f64 {
        force_in + ((self.gain - 1.0) * force_in).min(self.assist_limit)
    }

    /// Force at the push rod at the knee, N; None: gain 1 has none.
    #[must_use]
    pub fn knee(&self) -> Option<f64> {
        (self.gain > 1.0).then(|| self.assist_limit / (self.gain - 1.0))
    }
}

/// A bar that shares the push between two masters.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BalanceBar {
    /// Distance w between the clevises, m, positive.
    pub width: f64,
    /// Pivot off the middle e, m, + toward the front master, at most w/2 either way.
    pub offset: f64,
}

impl BalanceBar {
    /// Share of the front master, 0 to 1: ½ + e/w. The rear has the rest.
    #[must_use]
    pub fn front_share(&self) -> f64 {
        0.5 + self.offset / self.width
    }

    fn check(&self) -> Result<(), BrakeError> {
        positive("balance bar width", self.width)?;
        finite("balance bar offset", self.offset)?;
        if self.offset.abs() <= 0.5 * self.width {
            Ok(())
        } else {
            Err(BrakeError::PivotOutsideBar {
                offset: self.offset,
                width: self.width,
            })
        }
    }
}

/// The master cylinders. Bores and spring forces by circuit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Master {
    /// One chamber: one pressure everywhere.
    Single {
        /// Bore, m, positive.
        bore: f64,
        /// Efficiency η, above 0, at most 1.
        efficiency: f64,
        /// Force of the return spring, N, zero or more.
        spring_force: f64,
    },
    /// Two chambers in one bore: the same pressure in both circuits.
    Tandem {
        /// Bore, m, positive.
        bore: f64,
        /// Efficiency η, above 0, at most 1.
        efficiency: f64,
        /// Force of the return springs, N, zero or more.
        spring_force: f64,
    },
    /// Two masters on a balance bar, front then rear.
    Twin {
        /// The bar.
        bar: BalanceBar,
        /// Bores, m, positive.
        bores: [f64; 2],
        /// Efficiencies η, above 0, at most 1.
        efficiencies: [f64; 2],
        /// Forces of the return springs, N, zero or more.
        spring_forces: [f64; 2],
    },
}

impl Master {
    pub(super) fn check(&self) -> Result<(), BrakeError> {
        if let Self::Twin { bar, .. } = self {
            bar.check()?;
        }
        for circuit in 0..2 {
            let (_, bore, efficiency, spring) = self.circuit(circuit);
            positive("master bore", bore)?;
            share("master efficiency", efficiency)?;
            not_negative("master spring force", spring)?;
        }
        Ok(())
    }

    /// Share of the push, bore, efficiency and spring force behind the front (0) or rear (1) circuit.
    fn circuit(&self, circuit: usize) -> (f64, f64, f64, f64) {
        match *self {
            Self::Single {
                bore,
                efficiency,
                spring_force,
            }
            | Self::Tandem {
                bore,
                efficiency,
                spring_force,
            } => (1.0, bore, efficiency, spring_force),
            Self::Twin {
                bar,
                bores,
                efficiencies,
                spring_forces,
            } => {
                let front = bar.front_share();
                let i = circuit.min(1);
                let share = if i == 0 { front } else { 1.0 - front };
                (share, bores[i], efficiencies[i], spring_forces[i])
            }
        }
    }

    /// Pressure in the front and rear circuit for a push on the master or the bar, Pa:
    /// max(0, F_push·share − F_spring)/A_mc·η.
    #[must_use]
    pub fn pressures(&self, push: f64) -> [f64; 2] {
        [0, 1].map(|i| {
            let (share, bore, efficiency, spring) = self.circuit(i);
            (push * share - spring).max(0.0) / bore_area(bore) * efficiency
        })
    }

    /// Push at which a circuit reaches a pressure (Pa, zero or more), N; None: it never does, its share is zero.
    pub(super) fn push_for(&self, circuit: usize, pressure: f64) -> Option<f64> {
        let (share, bore, efficiency, spring) = self.circuit(circuit);
        let push = (pressure * bore_area(bore) / efficiency + spring) / share;
        push.is_finite().then_some(push)
    }

    /// Piston area behind the front (0) or rear (1) circuit, m².
    #[must_use]
    pub fn area(&self, circuit: usize) -> f64 {
        bore_area(self.circuit(circuit).1)
    }
}

/// A proportioning valve, rising pressure: p up to the knee, slope s beyond. The hysteresis of release is left out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ProportioningValve {
    /// Knee pressure p_k, Pa, zero or more.
    pub knee: f64,
    /// Slope s beyond, 0 to below 1.
    pub slope: f64,
}

impl ProportioningValve {
    pub(super) fn check(&self) -> Result<(), BrakeError> {
        not_negative("knee pressure of the proportioning valve", self.knee)?;
        if (0.0..1.0).contains(&self.slope) {
            Ok(())
        } else {
            Err(bad(
                "slope of the proportioning valve",
                self.slope,
                "from 0 to below 1",
            ))
        }
    }

    /// Pressure behind the valve, Pa.
    #[must_use]
    pub fn outlet(&self, pressure: f64) -> f64 {
        pressure.min(self.knee) + self.slope * (pressure - self.knee).max(0.0)
    }

    /// Pressure in front of the valve for one behind it; None: beyond what a slope of zero lets through.
    pub(super) fn inlet(&self, outlet: f64) -> Option<f64> {
        if outlet <= self.knee {
            return Some(outlet);
        }
        let inlet = self.knee + (outlet - self.knee) / self.slope;
        inlet.is_finite().then_some(inlet)
    }
}
