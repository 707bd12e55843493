//! The right-hand side: from a state to forces, limit and accelerations.
//!
//! Longitudinal motion with heave and pitch of the sprung mass; sums of forces and moments of the
//! sprung mass, the axle reacting drive torque through its links (Gillespie, Fundamentals of Vehicle
//! Dynamics, ch. 1 and 7). Left out: tyre deflection under load transfer, elastic rods, fore-aft motion
//! of the axle against the body, tyre growth, aerodynamic lift, roll, driveshaft torque.

use super::RunError;
use super::car::RunModel;
use super::check::lookup;
use crate::STANDARD_GRAVITY as G;

/// States: x, v, z (rise of the sprung CG), θ (nose up negative), their rates, engine speed.
pub(super) const N: usize = 7;
pub(super) const X: usize = 0;
pub(super) const V: usize = 1;
pub(super) const Z: usize = 2;
pub(super) const TH: usize = 3;
pub(super) const DZ: usize = 4;
pub(super) const DTH: usize = 5;
pub(super) const WE: usize = 6;

/// Time in which the driver lets the front settle to just floating, s.
const FLOAT_TIME: f64 = 0.02;

/// What holds the thrust at an instant.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Limit {
    /// What engine and driveline give.
    Drive,
    /// What the rear tyres hold.
    Traction,
    /// What keeps the front just floating.
    WheelStand,
    /// Nothing comes through between gears.
    Shift,
    /// The engine is at the end of its torque curve in the last gear.
    RevLimit,
}

impl Limit {
    /// All of them.
    pub const ALL: [Self; 5] = [
        Self::Drive,
        Self::Traction,
        Self::WheelStand,
        Self::Shift,
        Self::RevLimit,
    ];

    /// Place in [`Limit::ALL`].
    #[must_use]
    pub const fn index(self) -> usize {
        self as usize
    }
}

impl std::fmt::Display for Limit {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Drive => "drive",
            Self::Traction => "traction",
            Self::WheelStand => "wheel-stand",
            Self::Shift => "shift",
            Self::RevLimit => "rev limit",
        })
    }
}

/// How the engine is tied to the wheels.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Coupled {
    Slipping,
    Locked,
    Fluid,
    Between,
    RevLimit,
}

/// One leg of the run between two events.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Leg {
    pub(super) gear: usize,
    pub(super) coupled: Coupled,
}

/// What the driveline offers.
#[derive(Clone, Copy, Debug)]
struct Push {
    /// Thrust it would give at constant speed, N.
    thrust: f64,
    /// M_rot, kg.
    rotating: f64,
    /// Torque of the engine, N·m, and its speed, rad/s.
    torque: f64,
    speed: f64,
    /// Rate of engine speed, rad/s².
    spin_up: f64,
}

/// The sprung mass in a state, before thrust.
#[derive(Clone, Copy, Debug)]
pub(super) struct Body {
    pub(super) rear_travel: f64,
    pub(super) front_travel: f64,
    front_rate: f64,
    /// Height of the sprung CG, m.
    height: f64,
    rear_lever: f64,
    front_lever: f64,
    /// Forces of springs, dampers and stops on the body, N.
    pub(super) front: f64,
    rear: f64,
    /// t_as − θ, t_as − t_hub, t_hub − θ.
    by_thrust: f64,
    by_spin: f64,
    by_axle: f64,
    /// 1 + t_hub θ.
    turned: f64,
    pub(super) drag: f64,
    damper_power: f64,
}

/// Everything at one instant.
#[derive(Clone, Copy, Debug)]
pub(super) struct Instant {
    pub(super) acceleration: f64,
    pub(super) heave: f64,
    pub(super) pitch: f64,
    pub(super) spin_up: f64,
    pub(super) thrust: f64,
    pub(super) drive_thrust: f64,
    pub(super) traction_thrust: f64,
    pub(super) float_thrust: Option<f64>,
    pub(super) limit: Limit,
    pub(super) front_load: f64,
    pub(super) rear_load: f64,
    pub(super) front_travel: f64,
    pub(super) rear_travel: f64,
    pub(super) drag: f64,
    pub(super) engine_speed: Option<f64>,
    damper_power: f64,
    push: Push,
}

/// Where the power goes, W.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Powers {
    pub(super) engine: f64,
    pub(super) slip_and_held: f64,
    pub(super) driveline: f64,
    pub(super) drag: f64,
    pub(super) rolling: f64,
    pub(super) rotating: f64,
    pub(super) damper: f64,
    pub(super) engine_rotor: f64,
}

impl RunModel {
    fn push(&self, leg: Leg, time: f64, speed: f64, engine_speed: f64) -> Push {
        let gear = &self.gears[leg.gear];
        let input_speed = speed * gear.per_metre;
        let d = &self.car.driveline;
        let (torque, speed, input, rotating, spin_up) = match leg.coupled {
            Coupled::Slipping => {
                let torque = self.engine.at(d.launch_speed);
                (torque, d.launch_speed, torque, gear.free, 0.0)
            }
            Coupled::Locked | Coupled::RevLimit => {
                let torque = self.engine.at(input_speed);
                (torque, input_speed, torque, gear.locked, 0.0)
            }
            Coupled::Fluid => {
                let torque = self.engine.at(engine_speed);
                let (taken, given) = self
                    .fluid
                    .as_ref()
                    .map_or((0.0, 0.0), |f| f.torques(engine_speed, input_speed));
                let spin_up = (torque - taken) / d.engine_inertia;
                (torque, engine_speed, given, gear.free, spin_up)
            }
            Coupled::Between => (0.0, engine_speed, 0.0, gear.shifting, 0.0),
        };
        let share = if time < d.take_up {
            (time / d.take_up).max(0.0)
        } else {
            1.0
        };
        Push {
            thrust: gear.efficiency * gear.per_metre * input * share,
            rotating,
            torque,
            speed,
            spin_up,
        }
    }

    /// What springs, dampers, stops and air do in a state, and how thrust comes in.
    pub(super) fn body(&self, speed: f64, y: &[f64]) -> Body {
        let car = &self.car;
        let (x_s, h_s) = (car.sprung_cg_station, car.sprung_cg_height);
        let ahead = car.wheelbase - x_s;
        let theta = y[TH];
        let rear_travel = -(y[Z] + x_s * theta);
        let front_travel = -(y[Z] - ahead * theta);
        let rear_rate = -(y[DZ] + x_s * y[DTH]);
        let front_rate = -(y[DZ] - ahead * y[DTH]);
        let front_damping = car.front.damping_force(front_rate);
        let rear_damping = car.rear.damping_force(rear_rate);
        let tan_as = lookup(&car.links.travel, &car.links.tan_as, rear_travel);
        let tan_hub = lookup(&car.links.travel, &car.links.tan_hub, rear_travel);
        let wind = speed + car.resistance.headwind;
        Body {
            rear_travel,
            front_travel,
            front_rate,
            height: h_s + y[Z],
            rear_lever: x_s + theta * (h_s - car.axle_cg_height),
            front_lever: ahead - theta * (h_s - car.front_hub_height),
            front: (self.front_settled + car.front.spring_force(front_travel) + front_damping)
                .max(-car.front_unsprung_mass * G),
            rear: self.rear_settled + car.rear.spring_force(rear_travel) + rear_damping,
            by_thrust: tan_as - theta,
            by_spin: tan_as - tan_hub,
            by_axle: tan_hub - theta,
            turned: 1.0 + tan_hub * theta,
            drag: self.drag * wind * wind.abs(),
            damper_power: front_damping * front_rate + rear_damping * rear_rate,
        }
    }

    /// Vertical force of the axle on the body, N, from thrust, acceleration and the thrust that spins the rear
    /// wheels up (I_wr ω̇/r, N).
    pub(super) fn vertical(&self, b: &Body, thrust: f64, a: f64, spin: f64) -> f64 {
        (b.rear + thrust * b.by_thrust + spin * b.by_spin - self.car.axle_mass * a * b.by_axle)
            / b.turned
    }

    /// Pitch acceleration from the horizontal force `net` at the ground without rolling.
    pub(super) fn pitch(&self, b: &Body, net: f64, a: f64, spin: f64, vertical: f64) -> f64 {
        let car = &self.car;
        let inertial = car.axle_mass * (b.height - car.axle_cg_height)
            + self.front_moved * (b.height - car.front_hub_height);
        (-net * b.height + a * inertial - spin * car.rolling_radius
            + b.drag * (b.height - car.resistance.drag_height)
            + vertical * b.rear_lever
            - b.front * b.front_lever)
            / car.pitch_inertia
    }

    pub(super) fn heave(&self, b: &Body, vertical: f64) -> f64 {
        (b.front + vertical - self.car.sprung_mass * G) / self.car.sprung_mass
    }

    /// Forces and accelerations of a state.
    pub(super) fn instant(&self, leg: Leg, time: f64, y: &[f64; N]) -> Result<Instant, RunError> {
        let car = &self.car;
        let speed = y[V].max(0.0);
        let ahead = car.wheelbase - car.sprung_cg_station;
        let b = self.body(speed, y);
        let against = self.rolling + b.drag;

        let push = self.push(leg, time, speed, y[WE]);
        let offered = if leg.coupled == Coupled::RevLimit {
            against
        } else {
            self.moved * (push.thrust - against) / (self.moved + push.rotating) + against
        };
        let own = match leg.coupled {
            Coupled::Between => Limit::Shift,
            Coupled::RevLimit => Limit::RevLimit,
            _ => Limit::Drive,
        };

        // Everything is linear in the thrust F: values at F = 0 and at F = 1 N.
        let at = |thrust: f64| {
            let a = (thrust - against) / self.moved;
            let vertical = self.vertical(&b, thrust, a, self.wheels * a);
            let pitch = self.pitch(&b, thrust - self.rolling, a, self.wheels * a, vertical);
            // Acceleration of the body over the front axle, up.
            (vertical, self.heave(&b, vertical) - ahead * pitch)
        };
        let ((v0, rise0), (v1, rise1)) = (at(0.0), at(1.0));
        let unloaded = v0 + car.axle_mass * G;
        let traction = self
            .traction(unloaded, v1 - v0, 1.0)
            .ok_or_else(|| self.locks(&b, time, v1 - v0))?;
        // At most what lets the front settle to just floating.
        let per_thrust = rise1 - rise0;
        let float_thrust = (per_thrust > 0.0).then(|| {
            let (rise, rate) = (-b.front_travel, -b.front_rate);
            let allowed =
                (-self.float - rise) / (FLOAT_TIME * FLOAT_TIME) - 2.0 * rate / FLOAT_TIME;
            ((allowed - rise0) / per_thrust).max(0.0)
        });

        let (mut thrust, mut limit) = (offered, own);
        if traction < thrust {
            (thrust, limit) = (traction, Limit::Traction);
        }
        if let Some(most) = float_thrust.filter(|f| *f < thrust) {
            (thrust, limit) = (most, Limit::WheelStand);
        }

        let mut acceleration = (thrust - against) / self.moved;
        let mut net = thrust - self.rolling;
        if y[V] <= 0.0 && acceleration < 0.0 {
            // Held by the ground: it does not roll back, and nothing speeds up with it.
            acceleration = 0.0;
            thrust = thrust.min(push.thrust);
            net = b.drag;
        }
        let spin = self.wheels * acceleration;
        let vertical = self
            .vertical(&b, thrust, acceleration, spin)
            .max(-car.axle_mass * G);
        let held = leg.coupled == Coupled::RevLimit;
        Ok(Instant {
            acceleration,
            heave: self.heave(&b, vertical),
            pitch: self.pitch(&b, net, acceleration, spin, vertical),
            spin_up: if held { 0.0 } else { push.spin_up },
            thrust,
            drive_thrust: if acceleration > 0.0 || y[V] > 0.0 {
                offered
            } else {
                push.thrust
            },
            traction_thrust: traction,
            float_thrust,
            limit,
            front_load: b.front + car.front_unsprung_mass * G,
            rear_load: vertical + car.axle_mass * G,
            front_travel: b.front_travel,
            rear_travel: b.rear_travel,
            drag: b.drag,
            engine_speed: match leg.coupled {
                Coupled::Between if self.fluid.is_none() => None,
                Coupled::RevLimit if self.fluid.is_some() => Some(y[WE]),
                _ => Some(push.speed),
            },
            damper_power: b.damper_power,
            push,
        })
    }

    pub(super) fn locks(&self, b: &Body, time: f64, load_per_thrust: f64) -> RunError {
        RunError::ThrustLocks {
            time,
            travel: b.rear_travel,
            load_per_thrust,
            friction: self.grip,
        }
    }

    /// Rates of the states.
    pub(super) fn rates(&self, leg: Leg, time: f64, y: &[f64; N]) -> Result<[f64; N], RunError> {
        let i = self.instant(leg, time, y)?;
        Ok([
            y[V].max(0.0),
            i.acceleration,
            y[DZ],
            y[DTH],
            i.heave,
            i.pitch,
            i.spin_up,
        ])
    }

    /// Most thrust the rear tyres hold, F = φN(α − βN) with N = B + τF, φ the share of the friction that is
    /// used; None without a root.
    pub(super) fn traction(&self, unloaded: f64, per_thrust: f64, share: f64) -> Option<f64> {
        if unloaded <= 0.0 {
            return Some(0.0);
        }
        let (grip, fade) = (share * self.grip, share * self.fade);
        let b = 1.0 - per_thrust * grip;
        let root = b * b + 4.0 * per_thrust * fade * unloaded;
        let below = b + root.max(0.0).sqrt();
        if root < 0.0 || below <= 0.0 {
            return None;
        }
        let load = 2.0 * unloaded / below;
        Some(share * (load * (self.grip - self.fade * load)).max(0.0))
    }

    /// Where the engine's power goes at an instant. Behind a clutch the driver holds back with the
    /// throttle: the engine gives what comes through. Ahead of a converter it follows its own curve.
    pub(super) fn powers(&self, leg: Leg, y: &[f64; N], i: &Instant) -> Powers {
        let speed = y[V].max(0.0);
        let gear = &self.gears[leg.gear];
        let used = i.thrust * speed;
        let rotating = i.push.rotating * i.acceleration * speed;
        let through = used + rotating;
        let shaft = through / gear.efficiency;
        let (engine, engine_rotor) = match leg.coupled {
            Coupled::Slipping => {
                let thrust = i.thrust + i.push.rotating * i.acceleration;
                let torque = thrust / (gear.per_metre * gear.efficiency);
                (torque * i.push.speed, 0.0)
            }
            Coupled::Fluid => (
                i.push.torque * i.push.speed,
                self.car.driveline.engine_inertia * i.spin_up * i.push.speed,
            ),
            Coupled::Locked | Coupled::Between | Coupled::RevLimit => (shaft, 0.0),
        };
        Powers {
            engine,
            slip_and_held: engine - engine_rotor - shaft,
            driveline: shaft - through,
            drag: i.drag * speed,
            rolling: self.rolling * speed,
            rotating,
            damper: i.damper_power,
            engine_rotor,
        }
    }
}
