//! Invented cars for the launch run.

use vehicle::run::{
    AxleRide, AxleSpring, Converter, Coupling, Driveline, LinkTable, PowerCorrection, RPM,
    Resistance, RunCar, RunModel, TorqueCurve, TyreGrip, Weather,
};

/// A street car with four gears and a clutch.
pub fn street() -> RunCar {
    RunCar {
        wheelbase: 2.7,
        sprung_mass: 1210.0,
        sprung_cg_station: 1.33,
        sprung_cg_height: 0.565,
        pitch_inertia: 1800.0,
        axle_mass: 150.0,
        axle_cg_height: 0.335,
        front_unsprung_mass: 80.0,
        front_hub_height: 0.32,
        rolling_radius: 0.33,
        rear_wheel_inertia: 3.0,
        front_wheel_inertia: 2.0,
        tyre: TyreGrip {
            friction: 1.15,
            load_sensitivity: 0.07,
            reference_load: 3600.0,
        },
        front: AxleRide {
            spring: AxleSpring::Rate(42_000.0),
            bump_damping: 3000.0,
            rebound_damping: 4300.0,
            bump_stop: 0.07,
            droop_stop: 0.085,
            stop_rate: 4e5,
        },
        rear: AxleRide {
            spring: AxleSpring::Rate(45_000.0),
            bump_damping: 3500.0,
            rebound_damping: 5000.0,
            bump_stop: 0.08,
            droop_stop: 0.08,
            stop_rate: 5e5,
        },
        links: LinkTable {
            travel: vec![-0.08, 0.0, 0.08],
            tan_as: vec![0.25, 0.2, 0.14],
            tan_hub: vec![-0.02, -0.08, -0.14],
        },
        engine: TorqueCurve::from_rpm(
            &[1200.0, 2000.0, 3000.0, 4000.0, 5000.0, 6000.0, 6600.0],
            &[400.0, 470.0, 530.0, 550.0, 530.0, 450.0, 380.0],
        ),
        driveline: Driveline {
            coupling: Coupling::Clutch,
            launch_speed: 3500.0 * RPM,
            gears: vec![2.9, 1.9, 1.34, 1.0],
            efficiency: vec![0.87, 0.88, 0.89, 0.9],
            final_drive: 3.7,
            shift_speed: vec![6300.0 * RPM; 3],
            shift_time: 0.25,
            take_up: 0.0,
            engine_inertia: 0.25,
            input_inertia: 0.03,
            shaft_inertia: 0.02,
        },
        resistance: Resistance {
            drag_area: 0.75,
            drag_height: 0.6,
            rolling: 0.015,
            headwind: 0.0,
        },
        weather: Weather::default(),
        correction: PowerCorrection::None,
    }
}

/// The same with a converter and three gears.
pub fn automatic() -> RunCar {
    let mut car = street();
    car.driveline = Driveline {
        coupling: Coupling::Converter(Converter {
            speed_ratio: vec![0.0, 0.3, 0.6, 0.8, 0.9, 0.97],
            // rpm/√(lb·ft) over 11.12.
            capacity: [140.0, 142.0, 150.0, 168.0, 205.0, 330.0]
                .iter()
                .map(|k| k / 11.12)
                .collect(),
            torque_ratio: vec![2.0, 1.65, 1.25, 1.05, 1.0, 0.98],
        }),
        launch_speed: 2600.0 * RPM,
        gears: vec![2.48, 1.48, 1.0],
        efficiency: vec![0.87, 0.88, 0.9],
        shift_speed: vec![6000.0 * RPM; 2],
        ..car.driveline
    };
    car
}

/// Nothing that resists, nothing that turns but what is said.
pub fn bare(mut car: RunCar) -> RunCar {
    car.resistance = Resistance {
        drag_area: 0.0,
        drag_height: 0.5,
        rolling: 0.0,
        headwind: 0.0,
    };
    car.front_wheel_inertia = 0.0;
    car.rear_wheel_inertia = 0.0;
    car.driveline.engine_inertia = 0.0;
    car.driveline.input_inertia = 0.0;
    car.driveline.shaft_inertia = 0.0;
    car.tyre.load_sensitivity = 0.0;
    car
}

/// One gear, a clutch that slips all the way: a constant thrust, N.
pub fn constant_thrust(car: RunCar, thrust: f64) -> RunCar {
    let mut car = bare(car);
    let torque = thrust * car.rolling_radius;
    car.engine = TorqueCurve {
        speed: vec![100.0, 2000.0],
        torque: vec![torque, torque],
    };
    car.driveline.launch_speed = 2000.0;
    car.driveline.gears = vec![1.0];
    car.driveline.efficiency = vec![1.0];
    car.driveline.shift_speed = vec![];
    car.driveline.final_drive = 1.0;
    car
}

/// Suspension so stiff that it hardly moves, near critical damping.
pub fn stiff(mut car: RunCar, rate: f64) -> RunCar {
    let damping = 2.0 * (rate * 0.5 * car.sprung_mass).sqrt();
    for ride in [&mut car.front, &mut car.rear] {
        ride.spring = AxleSpring::Rate(rate);
        ride.bump_damping = damping;
        ride.rebound_damping = damping;
    }
    car
}

pub fn model(car: &RunCar) -> RunModel {
    RunModel::new(car).unwrap()
}
