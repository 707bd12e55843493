//! The car of the run from the build's parts, and the scales.

use vehicle::STANDARD_GRAVITY;
use vehicle::run::{
    AxleRide, AxleSpring, Converter, Coupling, Driveline, LinkTable, Mark, PowerCorrection, RPM,
    Reading, Resistance, RunCar, TorqueCurve, TyreGrip, Weather, default_pitch_inertia,
};
use vehicle::weighing::{CornerLoads, CornerWeights, HeightReadings, HeightSigmas, MeasuredHeight};

use super::super::front::FrontSprings;
use super::super::launch::wheel_forces;
use super::super::{CoilStudy, Phrase, RearStudy};
use crate::{Build, CouplingData, GoalOver, RideData};

/// rad/s/√(N·m) of 1 rpm/√(lb·ft).
const CAPACITY: f64 = RPM / 1.164_394_5; // √(1 lb·ft in N·m)

/// The reading a goal is about.
pub const fn reading_over(over: GoalOver) -> Reading {
    match over {
        GoalOver::SixtyFoot => Reading::Clock(Mark::SixtyFoot),
        GoalOver::ZeroSixty => Reading::ZeroSixty,
        GoalOver::ZeroSixtyRollout => Reading::ZeroSixtyRollout,
        GoalOver::Eighth => Reading::Clock(Mark::Eighth),
        GoalOver::Quarter => Reading::Clock(Mark::Quarter),
    }
}

pub(super) fn car(
    b: &Build,
    rear: &RearStudy,
    coils: &[CoilStudy],
    front: &Result<FrontSprings, String>,
) -> Result<RunCar, Phrase> {
    let r = &b.run;
    if r.torque.len() < 2 {
        return Err(Phrase::from("the torque curve has fewer than two points"));
    }
    if r.gears.is_empty() {
        return Err(Phrase::from("no gear is entered"));
    }
    let motion = rear
        .motion
        .as_ref()
        .map_err(|e| Phrase::from(e.to_string()))?;
    let states = &motion.travel.states;
    if states.len() < 2 {
        return Err(Phrase::from("the rear links do not reach over the travel"));
    }
    let links = LinkTable {
        travel: states.iter().map(|s| s.travel).collect(),
        tan_as: states.iter().map(|s| s.tan_as).collect(),
        tan_hub: states.iter().map(|s| -s.dxdz).collect(),
    };
    if coils.is_empty() {
        return Err(Phrase::from("no coil-overs are drawn yet"));
    }
    let (bump_stop, droop_stop) = rear_stops(&r.rear, coils);
    let rear_spring = {
        let forces = wheel_forces(b, motion, coils).map_err(Phrase::from)?;
        let within = |z: f64| z > -droop_stop - BEYOND && z < bump_stop + BEYOND;
        let (travel, force) = forces.into_iter().filter(|(z, _)| within(*z)).unzip();
        AxleSpring::Table { travel, force }
    };
    let front = front.as_ref().map_err(|e| Phrase::from(e.clone()))?;
    let front_spring = match &front.coil {
        None => AxleSpring::Rate(2.0 * b.power.front_wheel_rate.si()),
        Some(coil) => AxleSpring::Table {
            travel: coil.travel.iter().map(|a| a.z).collect(),
            force: coil
                .travel
                .iter()
                .map(|a| 2.0 * a.rate.wheel_force)
                .collect(),
        },
    };
    let (mass, wheelbase) = (b.car.mass.si(), b.car.wheelbase.si());
    let (m_r, m_f) = (b.power.rear_unsprung.si(), b.power.front_unsprung.si());
    let sprung = mass - m_r - m_f;
    if sprung <= 0.0 {
        return Err(Phrase::from("the unsprung parts weigh more than the car"));
    }
    let (h_r, h_f) = (
        b.car.rear.loaded_radius.si(),
        b.car.front.loaded_radius.si(),
    );
    let station = wheelbase * (1.0 - b.car.rear_share.si());
    let x_s = (mass * station - m_f * wheelbase) / sprung;
    let h_s = (mass * b.car.cg_height.si() - m_r * h_r - m_f * h_f) / sprung;
    let rear_load = mass * STANDARD_GRAVITY * b.car.rear_share.si();
    let ride = |d: &RideData, spring: AxleSpring| AxleRide {
        spring,
        bump_damping: d.bump.si(),
        rebound_damping: d.rebound.si(),
        bump_stop: d.bump_stop.si(),
        droop_stop: d.droop_stop.si(),
        stop_rate: d.stop_rate.si(),
    };
    let speeds: Vec<f64> = r.torque.iter().map(|p| p.0.si()).collect();
    let coupling = match &r.coupling {
        CouplingData::Clutch => Coupling::Clutch,
        CouplingData::Converter(points) => Coupling::Converter(Converter {
            speed_ratio: points.iter().map(|p| p.0).collect(),
            capacity: points.iter().map(|p| p.1 * CAPACITY).collect(),
            torque_ratio: points.iter().map(|p| p.2).collect(),
        }),
    };
    let last = r.gears.len().saturating_sub(1);
    Ok(RunCar {
        wheelbase,
        sprung_mass: sprung,
        sprung_cg_station: x_s,
        sprung_cg_height: h_s,
        pitch_inertia: r
            .pitch_inertia
            .map_or_else(|| default_pitch_inertia(sprung, x_s, wheelbase), |i| i.si()),
        axle_mass: m_r,
        axle_cg_height: h_r,
        front_unsprung_mass: m_f,
        front_hub_height: h_f,
        rolling_radius: r.rolling_radius.si(),
        rear_wheel_inertia: r.rear_wheel_inertia.si(),
        front_wheel_inertia: r.front_wheel_inertia.si(),
        tyre: TyreGrip {
            friction: b.power.friction.si(),
            load_sensitivity: r.load_sensitivity.si(),
            reference_load: 0.5 * rear_load,
        },
        front: ride(&r.front, front_spring),
        rear: AxleRide {
            bump_stop,
            droop_stop,
            ..ride(&r.rear, rear_spring)
        },
        links,
        engine: TorqueCurve {
            speed: speeds,
            torque: r.torque.iter().map(|p| p.1.si()).collect(),
        },
        driveline: Driveline {
            coupling,
            launch_speed: r.launch.si() + r.launch_off.si(),
            gears: r.gears.iter().map(|g| g.ratio.si()).collect(),
            efficiency: r.gears.iter().map(|g| g.efficiency.si()).collect(),
            final_drive: b.power.final_drive.si(),
            shift_speed: r.gears[..last].iter().map(|g| g.shift.si()).collect(),
            shift_time: r.shift_time.si(),
            take_up: r.take_up.si(),
            engine_inertia: r.engine_inertia.si(),
            input_inertia: r.input_inertia.si(),
            shaft_inertia: r.shaft_inertia.si(),
        },
        resistance: Resistance {
            drag_area: r.drag_area.si(),
            drag_height: r.drag_height.si(),
            rolling: r.rolling.si(),
            headwind: r.headwind.si(),
        },
        weather: Weather {
            temperature: r.weather.temperature.si(),
            pressure: r.weather.pressure.si(),
            humidity: r.weather.humidity.si(),
        },
        correction: if r.correct_power {
            PowerCorrection::J1349
        } else {
            PowerCorrection::None
        },
    })
}

/// How far beyond the stops the wheel forces are listed, m.
const BEYOND: f64 = 0.01;

/// Rear travel to the stops, bump and droop, m: as typed, or less where a coil-over is all the way in, bound
/// solid or all the way out before.
fn rear_stops(typed: &RideData, coils: &[CoilStudy]) -> (f64, f64) {
    let (mut bump, mut droop) = (typed.bump_stop.si(), typed.droop_stop.si());
    let rides = coils.iter().filter_map(|c| c.ride.as_ref().ok());
    for budget in rides.filter_map(|r| r.budget.as_ref()) {
        bump = budget.bump.map_or(bump, |z| bump.min(z));
        droop = budget.droop.map_or(droop, |z| droop.min(z));
    }
    (bump, droop)
}

pub(super) fn corners(b: &Build) -> Option<Result<CornerWeights, Phrase>> {
    let s = b.run.scales.as_ref()?;
    let newtons = |m: units::Mass| m.si() * STANDARD_GRAVITY;
    let loads = CornerLoads {
        left_front: newtons(s.left_front),
        right_front: newtons(s.right_front),
        left_rear: newtons(s.left_rear),
        right_rear: newtons(s.right_rear),
        wheelbase: b.car.wheelbase.si(),
        front_track: b.car.front.track.si(),
        rear_track: b.car.rear.track.si(),
    };
    Some(loads.weights().map_err(|e| Phrase::from(e.to_string())))
}

/// Error of a taped wheelbase or wheel radius, m (a choice).
const TAPED: f64 = 0.002;

/// The height, and what its error bar is made of, the largest first: (input, its part, m).
type Weighed = (MeasuredHeight, Vec<(&'static str, f64)>);

pub(super) fn height(b: &Build) -> Option<Result<Weighed, Phrase>> {
    let x = b.run.raised.as_ref()?;
    let newtons = |m: units::Mass| m.si() * STANDARD_GRAVITY;
    let readings = HeightReadings {
        weight: newtons(b.car.mass),
        front_level: newtons(x.front_level),
        front_raised: newtons(x.front_raised),
        rise: x.rise.si(),
        wheelbase: b.car.wheelbase.si(),
        front_radius: x.front_radius.si(),
        rear_radius: x.rear_radius.si(),
    };
    let error = newtons(x.scale_error);
    let sigmas = HeightSigmas {
        weight: error * std::f64::consts::SQRT_2,
        front_level: error,
        front_raised: error,
        rise: x.rise_error.si(),
        wheelbase: TAPED,
        front_radius: TAPED,
        rear_radius: TAPED,
    };
    let measured = readings.height(&sigmas);
    Some(
        measured
            .map(|measured| {
                let d = &measured.partials;
                let mut parts = vec![
                    (
                        "the front scales, level",
                        d.front_level * sigmas.front_level,
                    ),
                    (
                        "the front scales, raised",
                        d.front_raised * sigmas.front_raised,
                    ),
                    ("the rise", d.rise * sigmas.rise),
                    ("the weight", d.weight * sigmas.weight),
                    ("the wheelbase", d.wheelbase * sigmas.wheelbase),
                    (
                        "the front wheel's radius",
                        d.front_radius * sigmas.front_radius,
                    ),
                    (
                        "the rear wheel's radius",
                        d.rear_radius * sigmas.rear_radius,
                    ),
                ];
                parts.sort_by(|a, b| b.1.abs().total_cmp(&a.1.abs()));
                (measured, parts)
            })
            .map_err(|e| Phrase::from(e.to_string())),
    )
}
