//! Fluid, piston strokes and pedal travel: where a soft or low pedal comes from.

use super::balance::BrakeBalance;
use super::car::Ends;
use super::pedal::Master;
use super::wheel::Brake;
use super::{BrakeError, not_negative, positive};

/// Share of the pedal's travel used at first lock above which there is too little left (common practice, no source).
pub const WARNING_SHARE: f64 = 2.0 / 3.0;
/// Growth of a regular 1/8 in hose, m²/Pa: 0.66 cm³/ft at 1000 psi (limit of SAE J1401, from memory).
pub const REGULAR_HOSE: f64 = 0.66e-6 / (0.3048 * 6_894_757.293_168_361);
/// Growth of a low-expansion 1/8 in hose, m²/Pa: 0.33 cm³/ft at 1000 psi (limit of SAE J1401, from memory).
pub const LOW_EXPANSION_HOSE: f64 = 0.33e-6 / (0.3048 * 6_894_757.293_168_361);

/// A flexible hose.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hose {
    /// Length, m, zero or more.
    pub length: f64,
    /// Growth k_h, m³ per metre and pascal, zero or more.
    pub growth: f64,
}

/// A circuit with what it feeds. Rigid lines do not grow.
#[derive(Clone, Debug, PartialEq)]
pub struct PlumbedCircuit {
    /// Brakes of each wheel it feeds.
    pub brakes: Vec<Brake>,
    /// Its hoses.
    pub hoses: Vec<Hose>,
    /// Fluid under pressure V, m³, zero or more.
    pub trapped_volume: f64,
    /// Bulk modulus of the fluid β, Pa, positive.
    pub bulk_modulus: f64,
    /// Stroke of its piston before the port closes, m, zero or more.
    pub dead_stroke: f64,
    /// Full stroke of its piston, m, positive.
    pub full_stroke: f64,
}

/// A volume (m³) or a travel (m) by where it goes.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct VolumeParts {
    /// Pistons and pads or shoes coming out.
    pub clearance: f64,
    /// Calipers, pads and drums giving.
    pub flex: f64,
    /// Hoses growing.
    pub hose: f64,
    /// Fluid pressed together.
    pub fluid: f64,
}

impl VolumeParts {
    /// The sum.
    #[must_use]
    pub fn total(&self) -> f64 {
        self.clearance + self.flex + self.hose + self.fluid
    }

    /// Every part times `factor`.
    #[must_use]
    pub fn scaled(&self, factor: f64) -> Self {
        Self {
            clearance: self.clearance * factor,
            flex: self.flex * factor,
            hose: self.hose * factor,
            fluid: self.fluid * factor,
        }
    }

    fn plus(&self, other: &Self) -> Self {
        Self {
            clearance: self.clearance + other.clearance,
            flex: self.flex + other.flex,
            hose: self.hose + other.hose,
            fluid: self.fluid + other.fluid,
        }
    }
}

impl PlumbedCircuit {
    fn check(&self) -> Result<(), BrakeError> {
        for brake in &self.brakes {
            brake.check()?;
        }
        for hose in &self.hoses {
            not_negative("hose length", hose.length)?;
            not_negative("hose growth", hose.growth)?;
        }
        not_negative("trapped volume", self.trapped_volume)?;
        positive("bulk modulus", self.bulk_modulus)?;
        not_negative("dead stroke", self.dead_stroke)?;
        positive("full stroke", self.full_stroke).map(|_| ())
    }

    /// Fluid the circuit takes at a pressure (Pa, zero or more), m³.
    ///
    /// # Errors
    /// [`BrakeError::BadInput`].
    pub fn volume(&self, pressure: f64) -> Result<VolumeParts, BrakeError> {
        self.check()?;
        not_negative("pressure", pressure)?;
        let mut parts = VolumeParts {
            hose: self.hoses.iter().map(|h| h.length * h.growth).sum::<f64>() * pressure,
            fluid: self.trapped_volume * pressure / self.bulk_modulus,
            ..VolumeParts::default()
        };
        for brake in &self.brakes {
            let [clearance, flex] = brake.fluid(pressure);
            parts.clearance += clearance;
            parts.flex += flex;
        }
        Ok(parts)
    }
}

/// Masters, circuits and the pedal's room.
#[derive(Clone, Debug, PartialEq)]
pub struct StrokeBudget {
    /// Masters.
    pub master: Master,
    /// Pedal ratio R, positive.
    pub pedal_ratio: f64,
    /// Travel of the pad to its stop, m, positive.
    pub pedal_travel: f64,
    /// Front circuit; of a single master its strokes count for the one piston.
    pub front: PlumbedCircuit,
    /// Rear circuit.
    pub rear: PlumbedCircuit,
}

/// A tandem master with one circuit lost: its piston runs to its end before the other one works.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LostCircuit {
    /// Push rod travel, m.
    pub push_rod_travel: f64,
    /// Pedal travel, m.
    pub pedal_travel: f64,
    /// Room left at the pad, m; negative: the pedal is on its stop before the live circuit has its pressure.
    pub room: f64,
    /// It fits in the pedal's travel and in the live piston's stroke.
    pub fits: bool,
}

/// Strokes at a pair of pressures.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PedalTravel {
    /// Fluid of the front and rear circuit, m³.
    pub volumes: [VolumeParts; 2],
    /// Piston strokes of the front and rear circuit, m; of a single master twice the one.
    pub piston_strokes: [f64; 2],
    /// Which pistons run out of stroke.
    pub out_of_stroke: [bool; 2],
    /// Push rod travel, m.
    pub push_rod_travel: f64,
    /// Travel of the pad, m.
    pub pedal_travel: f64,
    /// Part of it before the ports close, m.
    pub dead_travel: f64,
    /// The rest of it by where the fluid goes, m.
    pub parts: VolumeParts,
    /// Share of the pedal's travel that is used.
    pub share: f64,
    /// Angle of the balance bar, rad, + front end ahead; None: no bar.
    pub bar_angle: Option<f64>,
}

impl PedalTravel {
    /// More than [`WARNING_SHARE`] of the travel is used.
    #[must_use]
    pub fn too_long(&self) -> bool {
        self.share > WARNING_SHARE
    }
}

impl StrokeBudget {
    fn check(&self) -> Result<(), BrakeError> {
        self.master.check()?;
        positive("pedal ratio", self.pedal_ratio)?;
        positive("pedal travel", self.pedal_travel).map(|_| ())
    }

    /// Strokes and pedal travel at pressures at the front and rear wheels (Pa, zero or more).
    ///
    /// # Errors
    /// [`BrakeError`].
    pub fn at(&self, pressures: Ends) -> Result<PedalTravel, BrakeError> {
        self.check()?;
        let volumes = [
            self.front.volume(pressures.front)?,
            self.rear.volume(pressures.rear)?,
        ];
        let areas = [self.master.area(0), self.master.area(1)];
        let dead = [self.front.dead_stroke, self.rear.dead_stroke];
        // How much of the push rod's travel a travel of each piston makes, and its dead stroke.
        let (weights, strokes, dead_rod) = match self.master {
            Master::Single { .. } => {
                let stroke = dead[0] + (volumes[0].total() + volumes[1].total()) / areas[0];
                ([1.0, 1.0], [stroke; 2], dead[0])
            }
            Master::Tandem { .. } => (
                [1.0, 1.0],
                [0, 1].map(|i| dead[i] + volumes[i].total() / areas[i]),
                dead[0] + dead[1],
            ),
            Master::Twin { bar, .. } => {
                let front = bar.front_share();
                let weights = [front, 1.0 - front];
                (
                    weights,
                    [0, 1].map(|i| dead[i] + volumes[i].total() / areas[i]),
                    weights[0] * dead[0] + weights[1] * dead[1],
                )
            }
        };
        let ratio = self.pedal_ratio;
        let parts = volumes[0]
            .scaled(ratio * weights[0] / areas[0])
            .plus(&volumes[1].scaled(ratio * weights[1] / areas[1]));
        let dead_travel = ratio * dead_rod;
        let pedal_travel = dead_travel + parts.total();
        let bar_angle = match self.master {
            Master::Twin { bar, .. } => Some(((strokes[0] - strokes[1]) / bar.width).atan()),
            _ => None,
        };
        let full = match self.master {
            Master::Single { .. } => [self.front.full_stroke; 2],
            _ => [self.front.full_stroke, self.rear.full_stroke],
        };
        Ok(PedalTravel {
            volumes,
            piston_strokes: strokes,
            out_of_stroke: [strokes[0] > full[0], strokes[1] > full[1]],
            push_rod_travel: pedal_travel / ratio,
            pedal_travel,
            dead_travel,
            parts,
            share: pedal_travel / self.pedal_travel,
            bar_angle,
        })
    }

    /// Strokes at a pedal force (N) of a balance whose masters these are.
    ///
    /// # Errors
    /// [`BrakeError`].
    pub fn at_pedal_force(
        &self,
        balance: &BrakeBalance,
        pedal_force: f64,
    ) -> Result<PedalTravel, BrakeError> {
        not_negative("pedal force", pedal_force)?;
        self.at(balance.wheel_pressures(pedal_force))
    }

    /// A tandem master that has lost its front and its rear circuit, at the pressures the live one is to reach. None: not a tandem
    /// master.
    ///
    /// # Errors
    /// [`BrakeError`].
    pub fn one_circuit_lost(
        &self,
        pressures: Ends,
    ) -> Result<Option<[LostCircuit; 2]>, BrakeError> {
        if !matches!(self.master, Master::Tandem { .. }) {
            self.check()?;
            return Ok(None);
        }
        let whole = self.at(pressures)?;
        let full = [self.front.full_stroke, self.rear.full_stroke];
        Ok(Some([0, 1].map(|lost| {
            let live = 1 - lost;
            let push_rod_travel = full[lost] + whole.piston_strokes[live];
            let pedal_travel = self.pedal_ratio * push_rod_travel;
            let room = self.pedal_travel - pedal_travel;
            LostCircuit {
                push_rod_travel,
                pedal_travel,
                room,
                fits: room >= 0.0 && !whole.out_of_stroke[live],
            }
        })))
    }
}
