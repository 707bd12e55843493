//! A balance in the words of a car builder.

use geometry::Pose;
use nalgebra::{Point3, Vector3};

use super::car::{LaunchModel, Manoeuvre};
use super::forces::{Coordinates, Placed, System};
use super::newton::{Lu, largest};
use super::path::PathPoint;
use crate::STANDARD_GRAVITY;

/// Loads of the four tyres, N, zero or more.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TyreLoads {
    /// Front left.
    pub front_left: f64,
    /// Front right.
    pub front_right: f64,
    /// Rear left.
    pub rear_left: f64,
    /// Rear right.
    pub rear_right: f64,
}

impl TyreLoads {
    /// Both front tyres, N.
    #[must_use]
    pub fn front(&self) -> f64 {
        self.front_left + self.front_right
    }

    /// Both rear tyres, N.
    #[must_use]
    pub fn rear(&self) -> f64 {
        self.rear_left + self.rear_right
    }

    /// All four, N.
    #[must_use]
    pub fn sum(&self) -> f64 {
        self.front() + self.rear()
    }
}

/// Where the sprung mass stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SprungPose {
    /// Rise of the datum origin, m.
    pub z: f64,
    /// Pitch about y, rad, nose up negative.
    pub pitch: f64,
    /// Roll about x, rad, left side up positive.
    pub roll: f64,
}

/// How well a balance balances. Every figure is a share: 0 is perfect.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Checks {
    /// (Σ tyre loads − weight)/weight.
    pub load_sum: f64,
    /// Moments about y of everything outside the car, about the load-weighted rear contact, over weight × wheelbase.
    pub front_load_moment: f64,
    /// Largest of the nine equations' remainders, over the weight (moments per metre).
    pub residual_max: f64,
    /// Largest force that holds the sprung mass in x and y, over the weight: zero, nothing else holds it.
    pub sprung_x_y: f64,
    /// Power of all forces on the axle for the unit-heave motion of its links, over its largest term. Summed from
    /// forces and velocities, apart from the equations that were solved.
    pub virtual_work: f64,
}

/// A balance. Forces N, lengths m, angles rad; "change" is against 0 g of the same car.
#[derive(Clone, Debug, PartialEq)]
pub struct Balance {
    /// Forward acceleration, m/s², braking negative.
    pub acceleration: f64,
    /// What the car is doing.
    pub manoeuvre: Manoeuvre,
    /// The sprung mass.
    pub sprung: SprungPose,
    /// The axle over the ground, origin between the wheel centres.
    pub axle: Pose,
    /// Tyre loads.
    pub tyre_load: TyreLoads,
    /// Longitudinal force at the rear contacts, left and right, forward positive.
    pub thrust: [f64; 2],
    /// Longitudinal force at the front contacts, left and right, forward positive (braking only).
    pub front_thrust: [f64; 2],
    /// Driveshaft torque, N·m, positive for the usual engine; on the housing it acts about −x.
    pub driveshaft_torque: f64,
    /// Moment about z that must hold the sprung mass, N·m.
    pub yaw_hold_moment: f64,
    /// Force of each rod, tension positive.
    pub rod_force: Vec<f64>,
    /// Length of each coil-over.
    pub coil_length: Vec<f64>,
    /// Push of each coil-over, zero or more.
    pub coil_force: Vec<f64>,
    /// Rise of the middle between the front body points, change.
    pub front_lift: f64,
    /// The same left and right.
    pub front_lift_left_right: [f64; 2],
    /// Sinking of the body over the rear axle (its point where the axle centre is drawn), against the ground, change, down
    /// positive.
    pub rear_squat: f64,
    /// Body moving away from the axle there, change.
    pub rear_separation: f64,
    /// Left less right rear tyre load.
    pub rear_load_difference: f64,
    /// Change of pitch, nose up negative.
    pub pitch_change: f64,
    /// Change of roll.
    pub roll_change: f64,
    /// Whether the front tyres, left and right, are off the ground.
    pub front_wheel_lifted: [bool; 2],
    /// Whether the rear tyres, left and right, are off the ground.
    pub rear_wheel_lifted: [bool; 2],
    /// Checks.
    pub checks: Checks,
    pub(crate) state: Coordinates,
    /// How the state goes on with the acceleration, per m/s²; None where the stiffness is singular.
    pub(crate) rate: Option<Coordinates>,
}

impl Balance {
    /// Acceleration in standard gravities.
    #[must_use]
    pub fn acceleration_g(&self) -> f64 {
        self.acceleration / STANDARD_GRAVITY
    }

    /// Where a point of the sprung mass (sprung axes as drawn, m) stands over the ground, m.
    #[must_use]
    pub fn sprung_point(&self, point: &Point3<f64>) -> Point3<f64> {
        Point3::from(Placed::new(&self.state).on_sprung(&point.coords))
    }

    /// Pose of the axle seen from the sprung mass, for the geometry of the loaded car: its rotation and
    /// position in sprung-mass axes.
    #[must_use]
    pub fn axle_in_sprung(&self) -> Pose {
        relative(&Placed::new(&self.state))
    }
}

/// Pose of the axle in sprung axes.
pub(crate) fn relative(placed: &Placed) -> Pose {
    let back = placed.sprung.rotation.transpose();
    let origin = placed.on_axle(&Vector3::zeros()) - placed.on_sprung(&Vector3::zeros());
    // R = Rz(ψ)·Rx(φ)·Ry(θ): R32 = sin φ, R31 = −cos φ sin θ, R12 = −sin ψ cos φ.
    let r = back * placed.axle.rotation;
    Pose {
        position: Point3::from(back * origin),
        phi: r[(2, 1)].clamp(-1.0, 1.0).asin(),
        theta: (-r[(2, 0)]).atan2(r[(2, 2)]),
        psi: (-r[(0, 1)]).atan2(r[(1, 1)]),
    }
}

/// Heights that changes are taken of.
pub(crate) struct Heights {
    front: [f64; 2],
    rear_body: f64,
    rear_axle: f64,
}

impl Heights {
    pub(crate) fn of(model: &LaunchModel, q: &Coordinates) -> Self {
        let placed = Placed::new(q);
        let rear = Vector3::new(0.0, 0.0, model.car.axle_height);
        Self {
            front: model.front_points().map(|p| placed.on_sprung(&p).z),
            rear_body: placed.on_sprung(&rear).z,
            rear_axle: q[5],
        }
    }
}

/// The balance at a point of the path, changes against the state `rest`.
pub(crate) fn read(
    model: &LaunchModel,
    at: &PathPoint,
    manoeuvre: Manoeuvre,
    rest: &Coordinates,
) -> Balance {
    let q = &at.q;
    let car = &model.car;
    let system = model.system(q, at.a, manoeuvre, &[]);
    let acting = &system.acting;
    let (now, then) = (Heights::of(model, q), Heights::of(model, rest));
    let lift = [0, 1].map(|i: usize| now.front[i] - then.front[i]);
    let sum = sum_up(model, at, &system);
    let (rods, coils) = (model.rods.len(), model.coilovers.len());
    Balance {
        acceleration: at.a,
        manoeuvre,
        sprung: SprungPose {
            z: q[0],
            pitch: q[1],
            roll: q[2],
        },
        axle: Pose {
            position: Point3::new(q[3], q[4], q[5]),
            phi: q[6],
            theta: q[7],
            psi: q[8],
        },
        tyre_load: TyreLoads {
            front_left: acting.front_load[0],
            front_right: acting.front_load[1],
            rear_left: acting.rear_load[0],
            rear_right: acting.rear_load[1],
        },
        thrust: acting.thrust,
        front_thrust: [acting.front_thrust; 2],
        driveshaft_torque: acting.shaft_torque,
        yaw_hold_moment: sum.yaw_hold,
        rod_force: acting.rod_force[..rods].to_vec(),
        coil_length: acting.coil_length[..coils].to_vec(),
        coil_force: acting.coil_force[..coils].to_vec(),
        front_lift: 0.5 * (lift[0] + lift[1]),
        front_lift_left_right: lift,
        rear_squat: then.rear_body - now.rear_body,
        rear_separation: (now.rear_body - now.rear_axle) - (then.rear_body - then.rear_axle),
        rear_load_difference: acting.rear_load[0] - acting.rear_load[1],
        pitch_change: q[1] - rest[1],
        roll_change: q[2] - rest[2],
        front_wheel_lifted: acting.front_load.map(|n| n <= 0.0),
        rear_wheel_lifted: acting.rear_load.map(|n| n <= 0.0),
        checks: Checks {
            load_sum: sum.load,
            front_load_moment: sum.moment,
            residual_max: largest(&system.residual) / car.weight(),
            sprung_x_y: sum.sprung_x_y,
            virtual_work: sum.power,
        },
        state: *q,
        rate: Lu::new(system.stiffness).map(|lu| lu.solve(&system.by_acceleration).map(|v| -v)),
    }
}

struct Sums {
    load: f64,
    moment: f64,
    yaw_hold: f64,
    sprung_x_y: f64,
    power: f64,
}

/// Forces and moments added up as vectors, apart from the nine equations.
fn sum_up(model: &LaunchModel, at: &PathPoint, system: &System) -> Sums {
    let car = &model.car;
    let acting = &system.acting;
    let placed = Placed::new(&at.q);
    let weight = car.weight();
    let loads = acting.front_load.iter().chain(&acting.rear_load);
    let load = (loads.sum::<f64>() - weight) / weight;

    let body_force = |mass: f64| Vector3::new(-mass * at.a, 0.0, -mass * STANDARD_GRAVITY);
    let ground = |p: Vector3<f64>| Vector3::new(p.x, p.y, 0.0);
    let front = model.front_points().map(|p| ground(placed.on_sprung(&p)));
    let wheels = model.wheel_centres().map(|p| placed.on_axle(&p));
    let sprung_cg = placed.on_sprung(&car.sprung_cg.coords);
    let axle_cg = placed.on_axle(&model.axle_cg);
    let contact = |i: usize, rear: bool| {
        if rear {
            let force = Vector3::new(acting.thrust[i], 0.0, acting.rear_load[i]);
            (ground(wheels[i]), force)
        } else {
            let force = Vector3::new(acting.front_thrust, 0.0, acting.front_load[i]);
            (front[i], force)
        }
    };
    // From outside, about the load-weighted rear contact.
    let rear_sum = acting.rear_load[0] + acting.rear_load[1];
    let pivot = if rear_sum > 0.0 {
        (ground(wheels[0]) * acting.rear_load[0] + ground(wheels[1]) * acting.rear_load[1])
            / rear_sum
    } else {
        ground(0.5 * (wheels[0] + wheels[1]))
    };
    let outside = [
        contact(0, false),
        contact(1, false),
        contact(0, true),
        contact(1, true),
        (sprung_cg, body_force(car.sprung_mass)),
        (axle_cg, body_force(car.axle_mass)),
    ];
    let moment: f64 = outside.iter().map(|(p, f)| (p - pivot).cross(f).y).sum();

    // On the sprung mass; and the power on the axle for its links' heave.
    let mut on_sprung = Vector3::zeros();
    let mut turning = 0.0;
    let mut push = |p: &Vector3<f64>, f: &Vector3<f64>| {
        on_sprung += f;
        turning += p.cross(f).z;
    };
    for i in 0..2 {
        let (p, f) = contact(i, false);
        push(&p, &f);
    }
    push(&sprung_cg, &body_force(car.sprung_mass));
    let twist = heave_twist(model, &placed);
    let centre = placed.on_axle(&Vector3::zeros());
    let (mut power, mut biggest) = (0.0_f64, 0.0_f64);
    let mut work = |term: f64| {
        power += term;
        biggest = biggest.max(term.abs());
    };
    let velocity = |p: &Vector3<f64>| twist.0 + twist.1.cross(&(p - centre));
    for i in 0..2 {
        let (p, f) = contact(i, true);
        work(f.dot(&velocity(&p)));
    }
    work(body_force(car.axle_mass).dot(&velocity(&axle_cg)));
    work(-acting.shaft_torque * twist.1.x);
    work(-car.rear_roll_stiffness * (at.q[6] - at.q[2]) * twist.1.x);
    let bars = model.rods.iter().zip(&acting.rod_force);
    let coils = model.coilovers.iter().zip(&acting.coil_force);
    let tensions = bars
        .map(|(b, f)| (b, *f))
        .chain(coils.map(|(b, f)| (b, -f)));
    for (bar, tension) in tensions {
        let (a, b) = (placed.on_sprung(&bar.frame), placed.on_axle(&bar.axle));
        let pull = (b - a).normalize() * tension;
        push(&a, &pull);
        work(-pull.dot(&velocity(&b)));
    }
    Sums {
        load,
        moment: moment / (weight * car.wheelbase),
        yaw_hold: -turning,
        sprung_x_y: on_sprung.x.abs().max(on_sprung.y.abs()) / weight,
        power: if biggest > 0.0 {
            power.abs() / biggest
        } else {
            0.0
        },
    }
}

/// Velocity of the axle centre and spin of the axle, ground axes, for the unit-heave motion of the links in this
/// pose with the sprung mass held; straight up where the rods do not determine it.
fn heave_twist(model: &LaunchModel, placed: &Placed) -> (Vector3<f64>, Vector3<f64>) {
    use geometry::{Prescribed, Rod, solve_velocity};
    let rods: Vec<Rod> = model
        .rods
        .iter()
        .map(|b| Rod {
            frame_point: Point3::from(b.frame),
            body_point: Point3::from(b.axle),
            length: b.length,
            stiffness: b.stiffness,
        })
        .collect();
    let rates = Prescribed::height_and_roll(1.0, 0.0);
    match solve_velocity(&rods, &relative(placed), &rates) {
        Ok(found) => {
            let r = placed.sprung.rotation;
            (r * found.twist.v, r * found.twist.w)
        }
        Err(_) => (Vector3::z(), Vector3::zeros()),
    }
}
