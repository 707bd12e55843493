//! The launch run's inputs: engine, driveline, tyres, dampers, air, the goal, the scales, and how sure
//! each is.

use serde::{Deserialize, Serialize};
use units::{
    Area, Count, Damping, Inertia, Length, Mass, Pressure, Ratio, RotationSpeed, Speed, SpringRate,
    Temperature, Time, Torque,
};

use crate::RunRecord;

/// Everything about the run down the strip.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RunData {
    /// Full-throttle torque: (engine speed, torque), rising speed; linear between.
    #[serde(default)]
    pub torque: Vec<(RotationSpeed, Torque)>,
    /// Clutch or converter.
    #[serde(default)]
    pub coupling: CouplingData,
    /// Engine speed the car leaves at: held by the clutch, or stall of the converter.
    pub launch: RotationSpeed,
    /// How far the engine is really held above it; below zero: under it.
    #[serde(default)]
    pub launch_off: RotationSpeed,
    /// Gears, first to last.
    #[serde(default)]
    pub gears: Vec<GearData>,
    /// Time a shift takes without thrust.
    pub shift_time: Time,
    /// Time over which the clutch takes up; zero: at once.
    pub take_up: Time,
    /// Engine with flywheel, or with the converter's pump.
    pub engine_inertia: Inertia,
    /// Gearbox input, or turbine.
    pub input_inertia: Inertia,
    /// Driveshaft.
    pub shaft_inertia: Inertia,
    /// Rear wheels, tyres and discs, both.
    pub rear_wheel_inertia: Inertia,
    /// Front wheels, both.
    pub front_wheel_inertia: Inertia,
    /// Pitch inertia of the sprung mass; left out: 0.85 of its two ends.
    #[serde(default)]
    pub pitch_inertia: Option<Inertia>,
    /// Rolling radius of the rear tyres: travel per turn over 2π.
    pub rolling_radius: Length,
    /// How friction falls with load.
    pub load_sensitivity: Ratio,
    /// Front dampers and stops.
    pub front: RideData,
    /// Rear dampers and stops.
    pub rear: RideData,
    /// Drag area C_d·A.
    pub drag_area: Area,
    /// Height of the drag force.
    pub drag_height: Length,
    /// Rolling resistance over weight.
    pub rolling: Ratio,
    /// Wind against the car.
    #[serde(default)]
    pub headwind: Speed,
    /// Air.
    pub weather: WeatherData,
    /// The torque was measured in standard air and is corrected to this one (SAE J1349).
    #[serde(default)]
    pub correct_power: bool,
    /// How far the front tyre rolls before the clock starts.
    pub rollout: Length,
    /// What the build is meant to do.
    #[serde(default)]
    pub goal: Option<Goal>,
    /// How far off each input may be, one standard deviation.
    #[serde(default)]
    pub unsure: Unsure,
    /// Corner scales.
    #[serde(default)]
    pub scales: Option<Scales>,
    /// The weighing with one axle raised.
    #[serde(default)]
    pub raised: Option<RaisedAxle>,
    /// The runs made, oldest first.
    #[serde(default)]
    pub log: Vec<RunRecord>,
}

/// What joins engine and gearbox.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum CouplingData {
    /// A clutch.
    #[default]
    Clutch,
    /// A torque converter: (speed ratio, K in rpm/√(lb·ft), torque ratio), rising speed ratio.
    Converter(Vec<(f64, f64, f64)>),
}

/// A gear.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GearData {
    /// Engine turns per driveshaft turn.
    pub ratio: Count,
    /// Share of the torque that reaches the tyres.
    pub efficiency: Ratio,
    /// Engine speed at which it is left; not read for the last gear.
    pub shift: RotationSpeed,
}

/// Dampers and stops of one axle, at the wheels, both sides together.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RideData {
    /// Damping in bump.
    pub bump: Damping,
    /// Damping in rebound.
    pub rebound: Damping,
    /// Bump travel to the stop.
    pub bump_stop: Length,
    /// Droop travel to the stop.
    pub droop_stop: Length,
    /// Rate of the stops.
    pub stop_rate: SpringRate,
}

/// The air at the strip.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WeatherData {
    /// Temperature.
    pub temperature: Temperature,
    /// Station pressure: what a barometer standing there reads, not the sea-level value.
    pub pressure: Pressure,
    /// Relative humidity.
    pub humidity: Ratio,
}

/// What the build is meant to do.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Goal {
    /// Over what.
    pub over: GoalOver,
    /// In this time or less.
    pub time: Time,
}

/// What a goal is measured over.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum GoalOver {
    /// 60 ft on the clock.
    SixtyFoot,
    /// 0–60 mph from first motion.
    ZeroSixty,
    /// 0–60 mph less the rollout.
    ZeroSixtyRollout,
    /// Eighth of a mile.
    Eighth,
    /// Quarter mile.
    Quarter,
}

/// One standard deviation of the inputs that decide the time.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Unsure {
    /// Of power, over power.
    pub power: Ratio,
    /// Of weight.
    pub mass: Mass,
    /// Of tyre friction, over friction.
    pub friction: Ratio,
    /// Of the centre of gravity's height.
    pub cg_height: Length,
    /// Of its station.
    pub cg_station: Length,
    /// Of the launch speed.
    #[serde(default = "usual_launch_spread")]
    pub launch: RotationSpeed,
}

/// 200 rpm (a choice).
fn usual_launch_spread() -> RotationSpeed {
    RotationSpeed::from_si(200.0 * std::f64::consts::PI / 30.0)
}

impl Default for Unsure {
    /// 3 % power, 10 lb, 5 % friction, 1/2 in up and along, 200 rpm at launch (choices).
    fn default() -> Self {
        Self {
            power: Ratio::from_si(0.03),
            mass: Mass::from_si(10.0 * 0.453_592_37),
            friction: Ratio::from_si(0.05),
            cg_height: Length::from_inches(0.5),
            cg_station: Length::from_inches(0.5),
            launch: usual_launch_spread(),
        }
    }
}

/// Corner scales, with driver and half fuel.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Scales {
    /// Left front.
    pub left_front: Mass,
    /// Right front.
    pub right_front: Mass,
    /// Left rear.
    pub left_rear: Mass,
    /// Right rear.
    pub right_rear: Mass,
}

/// The weighing with the rear raised (or the front: a rise below zero), springs locked solid.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RaisedAxle {
    /// Both front scales, level.
    pub front_level: Mass,
    /// Both front scales, raised.
    pub front_raised: Mass,
    /// How far the rear wheel centres rose against the front's.
    pub rise: Length,
    /// Front wheel centre up while weighing.
    pub front_radius: Length,
    /// Rear wheel centre up while weighing, level.
    pub rear_radius: Length,
    /// Error of one scale reading of the front, one standard deviation.
    pub scale_error: Mass,
    /// Error of the rise.
    pub rise_error: Length,
}

impl Default for RunData {
    /// A small V8 of round figures without torque points: nothing follows until they are typed.
    fn default() -> Self {
        let rpm = |x: f64| RotationSpeed::from_si(x * std::f64::consts::PI / 30.0);
        let ride = |bump: f64, rebound: f64| RideData {
            bump: Damping::from_si(bump),
            rebound: Damping::from_si(rebound),
            bump_stop: Length::from_inches(3.0),
            droop_stop: Length::from_inches(3.0),
            stop_rate: SpringRate::from_si(4.5e5),
        };
        Self {
            torque: Vec::new(),
            coupling: CouplingData::Clutch,
            launch: rpm(3500.0),
            launch_off: rpm(0.0),
            gears: Vec::new(),
            shift_time: Time::from_si(0.25),
            take_up: Time::from_si(0.0),
            engine_inertia: Inertia::from_si(0.25),
            input_inertia: Inertia::from_si(0.03),
            shaft_inertia: Inertia::from_si(0.02),
            rear_wheel_inertia: Inertia::from_si(3.2),
            front_wheel_inertia: Inertia::from_si(2.2),
            pitch_inertia: None,
            rolling_radius: Length::from_inches(13.8),
            load_sensitivity: Ratio::from_si(0.07),
            front: ride(3000.0, 4000.0),
            rear: ride(3500.0, 5000.0),
            drag_area: Area::from_si(0.75),
            drag_height: Length::from_inches(24.0),
            rolling: Ratio::from_si(0.015),
            headwind: Speed::from_si(0.0),
            weather: WeatherData {
                temperature: Temperature::from_si(288.15),
                pressure: Pressure::from_si(101_325.0),
                humidity: Ratio::from_si(0.5),
            },
            correct_power: false,
            rollout: Length::from_inches(12.0),
            goal: None,
            unsure: Unsure::default(),
            scales: None,
            raised: None,
            log: Vec::new(),
        }
    }
}
