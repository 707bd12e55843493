//! What the run needs to know of the car, checked.

use super::RunError;
use super::air::{Air, Weather};
use super::check::{as_many, extended, finite, lookup, not_negative, positive, rising, within};
use super::driveline::{Coupling, Driveline, Fluid, Gear};
use super::engine::TorqueCurve;
use crate::STANDARD_GRAVITY as G;

/// The spring of one axle at the wheels, both sides together.
#[derive(Clone, Debug, PartialEq)]
pub enum AxleSpring {
    /// Constant wheel rate K, N/m, positive (spring rate × MR², both sides).
    Rate(f64),
    /// Wheel force over travel (coil force × MR, both sides). Only its change from travel 0 counts: at
    /// travel 0 the springs carry the settled sprung weight. Linear between the points and on beyond them.
    Table {
        /// Travel, m, bump positive, rising, at least two points; 0 is the settled 0 g pose.
        travel: Vec<f64>,
        /// Wheel force, N, not falling.
        force: Vec<f64>,
    },
}

/// Springs, dampers and stops of one axle, at the wheels, both sides together.
#[derive(Clone, Debug, PartialEq)]
pub struct AxleRide {
    /// Spring.
    pub spring: AxleSpring,
    /// Damping in bump, N·s/m at the wheel (damper rate × MR²), zero or more.
    pub bump_damping: f64,
    /// Damping in rebound, likewise.
    pub rebound_damping: f64,
    /// Bump travel at which the stop begins, m, zero or more.
    pub bump_stop: f64,
    /// Droop travel at which the stop begins, m, zero or more.
    pub droop_stop: f64,
    /// Rate of either stop, N/m, positive (4 to 5·10⁵ per axle is common practice, no source).
    pub stop_rate: f64,
}

/// Two equal tyres with load sensitivity: μ(N) = μ0 (1 − k (N/N0 − 1)), N the load of one tyre.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TyreGrip {
    /// Friction μ0 at the load N0, positive.
    pub friction: f64,
    /// Load sensitivity k, 0 to below 1 (0.05–0.10 at the static load is common practice, no source).
    pub load_sensitivity: f64,
    /// Load N0 of one tyre, N, positive.
    pub reference_load: f64,
}

/// What the links make of thrust, over rear travel; linear between the points, held beyond the ends.
#[derive(Clone, Debug, PartialEq)]
pub struct LinkTable {
    /// Rear travel, m, bump positive, rising, at least two points; 0 is the settled 0 g pose.
    pub travel: Vec<f64>,
    /// tan φ_as = −dx_C/dz of the tyre contact at each (anti-squat % = 100 tan φ_as/(h/L)).
    pub tan_as: Vec<f64>,
    /// tan φ_hub = −dx/dz of the axle's centre of gravity at each.
    pub tan_hub: Vec<f64>,
}

/// What holds the car back.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Resistance {
    /// Drag area C_d·A, m², zero or more.
    pub drag_area: f64,
    /// Height the drag acts at, m.
    pub drag_height: f64,
    /// Rolling resistance coefficient, zero or more.
    pub rolling: f64,
    /// Headwind, m/s; a tailwind is negative.
    pub headwind: f64,
}

/// Whether the torque curve is to be brought to the weather of the day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PowerCorrection {
    /// The curve is what the engine gives on the day.
    None,
    /// The curve is corrected to SAE J1349; on the day it gives that divided by CF. Naturally aspirated only.
    J1349,
}

/// The car of a launch run, at rest, 0 g, full tyre load. Heights above the ground, stations ahead of
/// the rear axle.
#[derive(Clone, Debug, PartialEq)]
pub struct RunCar {
    /// Wheelbase L, m, positive.
    pub wheelbase: f64,
    /// Sprung mass m_s, kg, positive.
    pub sprung_mass: f64,
    /// Station x_s of the sprung mass's centre of gravity, m, between the axles.
    pub sprung_cg_station: f64,
    /// Height h_s of it, m, positive.
    pub sprung_cg_height: f64,
    /// Pitch inertia I_y of the sprung mass about its centre of gravity, kg·m², positive; see
    /// [`default_pitch_inertia`].
    pub pitch_inertia: f64,
    /// Rear unsprung mass m_r, kg, zero or more, centre of gravity at the axle.
    pub axle_mass: f64,
    /// Height h_r of its centre of gravity, m.
    pub axle_cg_height: f64,
    /// Front unsprung mass m_f, kg; 0 = counted with the sprung mass.
    pub front_unsprung_mass: f64,
    /// Height h_f of its centre of gravity, m.
    pub front_hub_height: f64,
    /// Rolling radius r of the rear tyres, m, positive.
    pub rolling_radius: f64,
    /// Inertia of both rear wheels with discs I_wr, kg·m², zero or more.
    pub rear_wheel_inertia: f64,
    /// Inertia of both front wheels with discs I_wf, kg·m², zero or more.
    pub front_wheel_inertia: f64,
    /// Rear tyres.
    pub tyre: TyreGrip,
    /// Front springs, dampers, stops.
    pub front: AxleRide,
    /// Rear springs, dampers, stops.
    pub rear: AxleRide,
    /// Rear links.
    pub links: LinkTable,
    /// Engine.
    pub engine: TorqueCurve,
    /// Driveline.
    pub driveline: Driveline,
    /// Drag and rolling.
    pub resistance: Resistance,
    /// Weather.
    pub weather: Weather,
    /// Power correction.
    pub correction: PowerCorrection,
}

/// I_y = 0.85·m_s x_s (L − x_s), kg·m² (common practice, no source: 0.75 to 1.0).
#[must_use]
pub fn default_pitch_inertia(sprung_mass: f64, station: f64, wheelbase: f64) -> f64 {
    0.85 * sprung_mass * station * (wheelbase - station)
}

impl RunCar {
    /// M = m_s + m_r + m_f, kg.
    #[must_use]
    pub fn mass(&self) -> f64 {
        self.sprung_mass + self.axle_mass + self.front_unsprung_mass
    }

    /// Height h of the whole car's centre of gravity, m.
    #[must_use]
    pub fn cg_height(&self) -> f64 {
        (self.sprung_mass * self.sprung_cg_height
            + self.axle_mass * self.axle_cg_height
            + self.front_unsprung_mass * self.front_hub_height)
            / self.mass()
    }

    /// Station of the whole car's centre of gravity ahead of the rear axle, m.
    #[must_use]
    pub fn cg_station(&self) -> f64 {
        (self.sprung_mass * self.sprung_cg_station + self.front_unsprung_mass * self.wheelbase)
            / self.mass()
    }

    /// Static load of both front tyres, N.
    #[must_use]
    pub fn front_load(&self) -> f64 {
        self.mass() * G * self.cg_station() / self.wheelbase
    }

    /// Static load of both rear tyres, N.
    #[must_use]
    pub fn rear_load(&self) -> f64 {
        self.mass() * G - self.front_load()
    }

    /// Anti-squat at a rear travel as a fraction of 100 %: tan φ_as/(h/L).
    #[must_use]
    pub fn anti_squat(&self, travel: f64) -> f64 {
        lookup(&self.links.travel, &self.links.tan_as, travel) * self.wheelbase / self.cg_height()
    }

    /// # Errors
    /// The first figure that can not be, by name and value.
    pub fn check(&self) -> Result<(), RunError> {
        for (what, value) in [
            ("wheelbase", self.wheelbase),
            ("sprung mass", self.sprung_mass),
            ("height of the sprung CG", self.sprung_cg_height),
            ("pitch inertia", self.pitch_inertia),
            ("rolling radius", self.rolling_radius),
            ("tyre friction", self.tyre.friction),
            ("reference load of the tyre", self.tyre.reference_load),
        ] {
            positive(what, value)?;
        }
        for (what, value) in [
            ("rear unsprung mass", self.axle_mass),
            ("height of the rear axle's CG", self.axle_cg_height),
            ("front unsprung mass", self.front_unsprung_mass),
            ("height of the front hubs", self.front_hub_height),
            ("inertia of the rear wheels", self.rear_wheel_inertia),
            ("inertia of the front wheels", self.front_wheel_inertia),
            ("drag area", self.resistance.drag_area),
            ("rolling resistance", self.resistance.rolling),
        ] {
            not_negative(what, value)?;
        }
        let s = self.sprung_cg_station;
        if !(s > 0.0 && s < self.wheelbase) {
            return Err(RunError::OutOfRange {
                what: "station of the sprung CG",
                value: s,
                least: 0.0,
                most: self.wheelbase,
            });
        }
        let k = self.tyre.load_sensitivity;
        not_negative("load sensitivity of the tyre", k)?;
        within("load sensitivity of the tyre", k, 0.0, 0.99)?;
        finite("height of the drag", self.resistance.drag_height)?;
        finite("headwind", self.resistance.headwind)?;
        check_ride(&self.front, &FRONT)?;
        check_ride(&self.rear, &REAR)?;
        let links = &self.links;
        rising("travel of the link table", &links.travel, 2)?;
        as_many(
            "tan φ_as of the link table",
            links.tan_as.len(),
            links.travel.len(),
        )?;
        as_many(
            "tan φ_hub of the link table",
            links.tan_hub.len(),
            links.travel.len(),
        )?;
        for (a, h) in links.tan_as.iter().zip(&links.tan_hub) {
            finite("tan φ_as of the link table", *a)?;
            finite("tan φ_hub of the link table", *h)?;
        }
        self.engine.check()?;
        self.driveline
            .check(self.engine.first(), self.engine.last())?;
        Air::of(&self.weather)?;
        Ok(())
    }
}

/// Names of the figures of one axle.
struct RideNames {
    rate: &'static str,
    travel: &'static str,
    force: &'static str,
    forces: &'static str,
    bump: &'static str,
    rebound: &'static str,
    bump_stop: &'static str,
    droop_stop: &'static str,
    stop_rate: &'static str,
}

const FRONT: RideNames = RideNames {
    rate: "front wheel rate",
    travel: "travel of the front wheel forces",
    force: "front wheel force",
    forces: "front wheel forces",
    bump: "front bump damping",
    rebound: "front rebound damping",
    bump_stop: "front bump stop",
    droop_stop: "front droop stop",
    stop_rate: "rate of the front stops",
};

const REAR: RideNames = RideNames {
    rate: "rear wheel rate",
    travel: "travel of the rear wheel forces",
    force: "rear wheel force",
    forces: "rear wheel forces",
    bump: "rear bump damping",
    rebound: "rear rebound damping",
    bump_stop: "rear bump stop",
    droop_stop: "rear droop stop",
    stop_rate: "rate of the rear stops",
};

fn check_ride(ride: &AxleRide, names: &RideNames) -> Result<(), RunError> {
    match &ride.spring {
        AxleSpring::Rate(rate) => positive(names.rate, *rate)?,
        AxleSpring::Table { travel, force } => {
            rising(names.travel, travel, 2)?;
            as_many(names.forces, force.len(), travel.len())?;
            for value in force {
                finite(names.force, *value)?;
            }
            if let Some(w) = force.windows(2).find(|w| w[1] < w[0]) {
                return Err(RunError::NotRising {
                    what: names.force,
                    before: w[0],
                    value: w[1],
                });
            }
        }
    }
    not_negative(names.bump, ride.bump_damping)?;
    not_negative(names.rebound, ride.rebound_damping)?;
    not_negative(names.bump_stop, ride.bump_stop)?;
    not_negative(names.droop_stop, ride.droop_stop)?;
    positive(names.stop_rate, ride.stop_rate)
}

impl AxleRide {
    /// Spring and stops at a travel, less the settled force, N.
    pub(super) fn spring_force(&self, travel: f64) -> f64 {
        let spring = match &self.spring {
            AxleSpring::Rate(rate) => rate * travel,
            AxleSpring::Table { travel: xs, force } => {
                extended(xs, force, travel) - extended(xs, force, 0.0)
            }
        };
        spring + self.stop_rate * self.stop_travel(travel)
    }

    /// How far a stop is pressed in, m: bump positive, droop negative, 0 between them.
    pub(super) fn stop_travel(&self, travel: f64) -> f64 {
        if travel > self.bump_stop {
            travel - self.bump_stop
        } else if travel < -self.droop_stop {
            travel + self.droop_stop
        } else {
            0.0
        }
    }

    /// Damping force at a rate of travel, N.
    pub(super) fn damping_force(&self, rate: f64) -> f64 {
        rate * if rate > 0.0 {
            self.bump_damping
        } else {
            self.rebound_damping
        }
    }

    /// The travel whose settled force is `force` below the static one, m (negative).
    fn travel_of_droop(&self, force: f64) -> f64 {
        let mut low = -0.1;
        while self.spring_force(low) > -force && low > -1e9 {
            low *= 2.0;
        }
        let mut high = 0.0;
        // Not falling, piecewise linear: halve until nothing is left between.
        for _ in 0..200 {
            let middle = 0.5 * (low + high);
            if self.spring_force(middle) > -force {
                high = middle;
            } else {
                low = middle;
            }
        }
        0.5 * (low + high)
    }
}

/// A checked car, with what does not change during a run worked out.
#[derive(Clone, Debug, PartialEq)]
pub struct RunModel {
    pub(super) car: RunCar,
    pub(super) air: Air,
    /// Torque on the day.
    pub(super) engine: TorqueCurve,
    pub(super) fluid: Option<Fluid>,
    pub(super) gears: Vec<Gear>,
    /// M_a = M + I_wf/r², kg.
    pub(super) moved: f64,
    /// Rolling resistance R, N.
    pub(super) rolling: f64,
    /// ½ρ C_dA, kg/m.
    pub(super) drag: f64,
    /// I_wr/r², kg.
    pub(super) wheels: f64,
    /// m_f + I_wf/r², kg.
    pub(super) front_moved: f64,
    /// Settled spring forces, N.
    pub(super) front_settled: f64,
    pub(super) rear_settled: f64,
    /// Front travel whose settled tyre load is 0, m.
    pub(super) float: f64,
    /// α and β of the traction limit F = N(α − βN).
    pub(super) grip: f64,
    pub(super) fade: f64,
}

impl RunModel {
    /// # Errors
    /// The first figure that can not be, by name and value.
    pub fn new(car: &RunCar) -> Result<Self, RunError> {
        car.check()?;
        let air = Air::of(&car.weather)?;
        let mut engine = car.engine.clone();
        if car.correction == PowerCorrection::J1349 {
            for torque in &mut engine.torque {
                *torque /= air.cf_j1349;
            }
        }
        let square = car.rolling_radius * car.rolling_radius;
        let front_settled = car.sprung_mass * G * car.sprung_cg_station / car.wheelbase;
        let tyre = &car.tyre;
        Ok(Self {
            air,
            engine,
            fluid: match &car.driveline.coupling {
                Coupling::Clutch => None,
                Coupling::Converter(c) => Some(Fluid::of(c)),
            },
            gears: (0..car.driveline.gears.len())
                .map(|g| {
                    Gear::of(
                        &car.driveline,
                        g,
                        car.rolling_radius,
                        car.rear_wheel_inertia,
                    )
                })
                .collect(),
            moved: car.mass() + car.front_wheel_inertia / square,
            rolling: car.resistance.rolling * car.mass() * G,
            drag: 0.5 * air.density * car.resistance.drag_area,
            wheels: car.rear_wheel_inertia / square,
            front_moved: car.front_unsprung_mass + car.front_wheel_inertia / square,
            front_settled,
            rear_settled: car.sprung_mass * G - front_settled,
            float: car
                .front
                .travel_of_droop(front_settled + car.front_unsprung_mass * G),
            grip: tyre.friction * (1.0 + tyre.load_sensitivity),
            fade: tyre.friction * tyre.load_sensitivity / (2.0 * tyre.reference_load),
            car: car.clone(),
        })
    }

    /// The car.
    #[must_use]
    pub const fn car(&self) -> &RunCar {
        &self.car
    }

    /// The air of the day.
    #[must_use]
    pub const fn air(&self) -> &Air {
        &self.air
    }

    /// Front travel at which the settled front tyre load is zero, m (negative).
    #[must_use]
    pub const fn float_travel(&self) -> f64 {
        self.float
    }
}
