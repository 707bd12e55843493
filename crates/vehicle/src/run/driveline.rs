//! Clutch or converter, gears, final drive.

use super::RunError;
use super::check::{as_many, lookup, not_negative, positive, rising, within};

/// What couples the engine to the gearbox.
#[derive(Clone, Debug, PartialEq)]
pub enum Coupling {
    /// Engine held at launch speed, the clutch slips until the car has caught up, then it is locked.
    Clutch,
    /// A torque converter, never locked.
    Converter(Converter),
}

/// A torque converter in the form of SAE J643: capacity factor and torque ratio over speed ratio
/// SR = turbine speed / pump speed.
#[derive(Clone, Debug, PartialEq)]
pub struct Converter {
    /// Speed ratios, 0 to 1, rising, at least two.
    pub speed_ratio: Vec<f64>,
    /// Capacity factor K = ω_pump/√T_pump at each, rad/s/√(N·m), positive (at SR = 1 it is not used: the
    /// converter carries nothing there). 11.12 rpm/√(lb·ft) are 1.
    pub capacity: Vec<f64>,
    /// Torque ratio TR = turbine torque / pump torque at each, positive.
    pub torque_ratio: Vec<f64>,
}

impl Converter {
    fn check(&self) -> Result<(), RunError> {
        let n = self.speed_ratio.len();
        rising("speed ratio of the converter", &self.speed_ratio, 2)?;
        for ratio in &self.speed_ratio {
            within("speed ratio of the converter", *ratio, 0.0, 1.0)?;
        }
        as_many("capacities of the converter", self.capacity.len(), n)?;
        as_many("torque ratios of the converter", self.torque_ratio.len(), n)?;
        for k in &self.capacity {
            positive("capacity of the converter", *k)?;
        }
        for ratio in &self.torque_ratio {
            positive("torque ratio of the converter", *ratio)?;
        }
        Ok(())
    }
}

/// From the flywheel to the rear wheels.
#[derive(Clone, Debug, PartialEq)]
pub struct Driveline {
    /// Clutch or converter.
    pub coupling: Coupling,
    /// Engine speed at the start, rad/s: held while a clutch slips; of a converter the speed it is stalled at.
    pub launch_speed: f64,
    /// Gear ratios G from first to last, positive, falling.
    pub gears: Vec<f64>,
    /// Overall efficiency η of each gear, above 0, at most 1.
    pub efficiency: Vec<f64>,
    /// Final drive ratio N, positive.
    pub final_drive: f64,
    /// Engine speed at which each gear but the last is left, rad/s.
    pub shift_speed: Vec<f64>,
    /// Time without drive at each shift, s, zero or more.
    pub shift_time: f64,
    /// Take-up time t_u in which the thrust comes in, s, zero or more.
    pub take_up: f64,
    /// Inertia I_e of the engine with flywheel or converter pump, kg·m², zero or more (positive with a converter).
    pub engine_inertia: f64,
    /// Inertia I_in of gearbox input or turbine, kg·m², zero or more.
    pub input_inertia: f64,
    /// Inertia I_ds of the driveshaft, kg·m², zero or more.
    pub shaft_inertia: f64,
}

impl Driveline {
    pub(super) fn check(&self, first: f64, last: f64) -> Result<(), RunError> {
        if self.gears.is_empty() {
            return Err(RunError::TooFew {
                what: "gears",
                count: 0,
                least: 1,
            });
        }
        for ratio in &self.gears {
            positive("gear ratio", *ratio)?;
        }
        let falling: Vec<f64> = self.gears.iter().rev().copied().collect();
        rising("gear ratio, from last to first", &falling, 1)?;
        as_many("efficiencies", self.efficiency.len(), self.gears.len())?;
        for eta in &self.efficiency {
            positive("efficiency", *eta)?;
            within("efficiency", *eta, 0.0, 1.0)?;
        }
        positive("final drive ratio", self.final_drive)?;
        as_many("shift speeds", self.shift_speed.len(), self.gears.len() - 1)?;
        positive("launch speed", self.launch_speed)?;
        // Below the table is no bad input: it bogs, and the run says so.
        within("launch speed", self.launch_speed, 0.0, last)?;
        for speed in &self.shift_speed {
            within("shift speed", *speed, first, last)?;
        }
        not_negative("shift time", self.shift_time)?;
        not_negative("take-up time", self.take_up)?;
        not_negative("engine inertia", self.engine_inertia)?;
        not_negative("gearbox input inertia", self.input_inertia)?;
        not_negative("driveshaft inertia", self.shaft_inertia)?;
        if let Coupling::Converter(converter) = &self.coupling {
            converter.check()?;
            positive("engine inertia", self.engine_inertia)?;
        }
        Ok(())
    }
}

/// A converter ready to run: 1/K² and TR over SR, 1/K² zero at SR = 1.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Fluid {
    speed_ratio: Vec<f64>,
    inverse_square: Vec<f64>,
    torque_ratio: Vec<f64>,
}

impl Fluid {
    pub(super) fn of(c: &Converter) -> Self {
        let mut fluid = Self {
            speed_ratio: c.speed_ratio.clone(),
            inverse_square: c.capacity.iter().map(|k| 1.0 / (k * k)).collect(),
            torque_ratio: c.torque_ratio.clone(),
        };
        if fluid.speed_ratio.last().is_some_and(|last| *last >= 1.0) {
            if let Some(last) = fluid.inverse_square.last_mut() {
                *last = 0.0;
            }
        } else {
            fluid.speed_ratio.push(1.0);
            fluid.inverse_square.push(0.0);
            let last = fluid.torque_ratio.last().copied().unwrap_or(1.0);
            fluid.torque_ratio.push(last);
        }
        fluid
    }

    /// Pump and turbine torque, N·m; none from a turbine that runs ahead.
    pub(super) fn torques(&self, pump: f64, turbine: f64) -> (f64, f64) {
        if pump <= 0.0 || turbine >= pump {
            return (0.0, 0.0);
        }
        let ratio = turbine / pump;
        let taken = pump * pump * lookup(&self.speed_ratio, &self.inverse_square, ratio);
        let given = taken * lookup(&self.speed_ratio, &self.torque_ratio, ratio);
        (taken, given)
    }
}

/// What one gear makes of torque and inertia.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Gear {
    /// Overall ratio i, input turns per wheel turn, over the rolling radius, 1/m.
    pub(super) per_metre: f64,
    pub(super) efficiency: f64,
    /// M_rot with the engine free, kg.
    pub(super) free: f64,
    /// M_rot with the engine locked, kg.
    pub(super) locked: f64,
    /// M_rot between gears, kg.
    pub(super) shifting: f64,
}

impl Gear {
    pub(super) fn of(d: &Driveline, gear: usize, radius: f64, wheels: f64) -> Self {
        let efficiency = d.efficiency[gear];
        let overall = d.final_drive * d.gears[gear];
        let square = radius * radius;
        let shaft = wheels + efficiency * d.shaft_inertia * d.final_drive.powi(2);
        let input = efficiency * overall * overall;
        Self {
            per_metre: overall / radius,
            efficiency,
            free: (shaft + input * d.input_inertia) / square,
            locked: (shaft + input * (d.input_inertia + d.engine_inertia)) / square,
            shifting: shaft / square,
        }
    }
}
