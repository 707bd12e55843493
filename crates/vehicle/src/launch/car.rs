//! What the balance needs to know of the car, checked; and how it can fail.

use super::front_curve::FrontCurve;
use geometry::{DrawnRod, MAX_RODS};
use nalgebra::{Point3, Vector3};
use thiserror::Error;

use super::balance::Balance;
use super::path::LimitKind;

/// Most coil-overs one axle can have.
pub const MAX_COILOVERS: usize = 4;

/// How the axle shares its thrust between the wheels.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Differential {
    /// Equal halves.
    Open,
    /// Both wheels turn together: thrust in proportion to the tyre loads.
    Locked,
}

/// Whether driveshaft torque acts, and which way the engine turns.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ShaftTorque {
    /// Left out.
    Off,
    /// Engine clockwise seen from the front, the usual case: loads the left rear tyre.
    Usual,
    /// Engine the other way round: loads the right rear tyre.
    Reversed,
}

impl ShaftTorque {
    /// +1 usual, −1 reversed, 0 off.
    #[must_use]
    pub const fn sense(self) -> f64 {
        match self {
            Self::Off => 0.0,
            Self::Usual => 1.0,
            Self::Reversed => -1.0,
        }
    }
}

/// What the car is doing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Manoeuvre {
    /// Driven by the rear wheels.
    Drive,
    /// Braked at both ends, brakes on the housing at the rear.
    Brake {
        /// Share p_r of the brake force at the rear, 0 to 1.
        rear_share: f64,
    },
}

/// The car without its links and coil-overs. Points in sprung-mass axes at design ride height.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LaunchCar {
    /// Wheelbase L, m, positive.
    pub wheelbase: f64,
    /// Sprung mass m_s, kg, positive; the front unsprung mass is counted with it.
    pub sprung_mass: f64,
    /// Centre of gravity of the sprung mass, m.
    pub sprung_cg: Point3<f64>,
    /// Mass of the rear axle with wheels m_u, kg, zero or more.
    pub axle_mass: f64,
    /// Centre of gravity of the axle, as drawn, m.
    pub axle_cg: Point3<f64>,
    /// Height of the rear wheel centres as drawn, m, positive.
    pub axle_height: f64,
    /// Distance between the rear wheel centres, m, positive.
    pub rear_track: f64,
    /// Distance t_f between the front body points, m, positive.
    pub front_track: f64,
    /// Height of the front body points (hub height), m.
    pub front_hub_height: f64,
    /// Front wheel rate k_f of each side, N/m, positive.
    pub front_rate: f64,
    /// Height of a front body point at which its spring is free, m, positive.
    pub front_free_height: f64,
    /// Load over squeeze of each front wheel where it is not a straight line; the rate k_f is then the
    /// one at the drawn height.
    pub front_curve: Option<FrontCurve>,
    /// Vertical rate k_t of each rear tyre, N/m, positive.
    pub tyre_rate: f64,
    /// Height of a rear wheel centre at which its tyre just touches, m, positive.
    pub tyre_free_radius: f64,
    /// Final drive ratio N (pinion turns per wheel turn), positive.
    pub final_drive: f64,
    /// Differential.
    pub differential: Differential,
    /// Driveshaft torque.
    pub shaft_torque: ShaftTorque,
    /// Roll stiffness K_f added at the front, N·m/rad, zero or more.
    pub front_roll_stiffness: f64,
    /// Roll stiffness K_r added at the rear, N·m/rad, zero or more.
    pub rear_roll_stiffness: f64,
}

impl LaunchCar {
    /// m_s + m_u, kg.
    #[must_use]
    pub fn mass(&self) -> f64 {
        self.sprung_mass + self.axle_mass
    }

    /// Weight, N.
    #[must_use]
    pub fn weight(&self) -> f64 {
        self.mass() * crate::STANDARD_GRAVITY
    }

    /// Height h of the whole car's centre of gravity as drawn, m.
    #[must_use]
    pub fn cg_height(&self) -> f64 {
        (self.sprung_mass * self.sprung_cg.z + self.axle_mass * self.axle_cg.z) / self.mass()
    }

    /// Station of the whole car's centre of gravity ahead of the rear axle as drawn, m.
    #[must_use]
    pub fn cg_station(&self) -> f64 {
        (self.sprung_mass * self.sprung_cg.x + self.axle_mass * self.axle_cg.x) / self.mass()
    }

    fn check(&self) -> Result<(), LaunchError> {
        let positive = [
            ("wheelbase", self.wheelbase),
            ("sprung mass", self.sprung_mass),
            ("rear axle height", self.axle_height),
            ("rear track", self.rear_track),
            ("front track", self.front_track),
            ("front wheel rate", self.front_rate),
            ("front free height", self.front_free_height),
            ("tyre rate", self.tyre_rate),
            ("tyre free radius", self.tyre_free_radius),
            ("final drive ratio", self.final_drive),
        ];
        let not_negative = [
            ("axle mass", self.axle_mass),
            ("front roll stiffness", self.front_roll_stiffness),
            ("rear roll stiffness", self.rear_roll_stiffness),
        ];
        let finite = [
            ("front hub height", self.front_hub_height),
            ("sprung CG station", self.sprung_cg.x),
            ("sprung CG offset", self.sprung_cg.y),
            ("sprung CG height", self.sprung_cg.z),
            ("axle CG station", self.axle_cg.x),
            ("axle CG offset", self.axle_cg.y),
            ("axle CG height", self.axle_cg.z),
        ];
        let bad = positive
            .into_iter()
            .find(|(_, v)| !(*v > 0.0 && v.is_finite()))
            .or_else(|| {
                let mut rest = not_negative.into_iter();
                rest.find(|(_, v)| !(*v >= 0.0 && v.is_finite()))
            })
            .or_else(|| finite.into_iter().find(|(_, v)| !v.is_finite()));
        match bad {
            Some((what, value)) => Err(LaunchError::BadInput { what, value }),
            None => Ok(()),
        }
    }
}

/// A coil-over as drawn, in sprung-mass axes at design ride height.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DrawnCoilover {
    /// End on the sprung mass, m.
    pub frame_point: Point3<f64>,
    /// End on the housing, as drawn, m.
    pub housing_point: Point3<f64>,
    /// Spring rate, N/m, positive.
    pub rate: f64,
    /// Distance between the ends at which the spring is free, m, positive.
    pub free_length: f64,
}

/// Why there is no balance.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum LaunchError {
    /// A figure is out of range.
    #[error("{what} is {value}")]
    BadInput {
        /// Which figure.
        what: &'static str,
        /// Its value, SI.
        value: f64,
    },
    /// Too many rods or coil-overs.
    #[error("{count} {what} given, at most {most} can be solved")]
    TooMany {
        /// What.
        what: &'static str,
        /// How many were given.
        count: usize,
        /// How many there may be.
        most: usize,
    },
    /// A rod without a stiffness: the balance needs it.
    #[error("rod {rod} has no stiffness")]
    NoStiffness {
        /// Index of the rod.
        rod: usize,
    },
    /// A figure of a rod is out of range.
    #[error("rod {rod}: {what} is {value}")]
    BadRod {
        /// Index of the rod.
        rod: usize,
        /// Which figure.
        what: &'static str,
        /// Its value, SI.
        value: f64,
    },
    /// A figure of a coil-over is out of range.
    #[error("coil-over {coilover}: {what} is {value}")]
    BadCoilover {
        /// Index of the coil-over.
        coilover: usize,
        /// Which figure.
        what: &'static str,
        /// Its value, SI.
        value: f64,
    },
    /// The car finds no place to stand at 0 g.
    #[error(
        "the car does not settle at rest: at {:.1} % of the way to the held rod lengths {residual:.3e} N are left over",
        share * 100.0
    )]
    DoesNotSettle {
        /// How far from the drawn to the held rod lengths a balance exists, 0 to 1.
        share: f64,
        /// Largest force or moment left over in the last state, N or N·m.
        residual: f64,
        /// Heave, pitch and roll of the sprung mass and x, y, z, φ, θ, ψ of the axle in it, m and rad.
        last: [f64; 9],
    },
    /// The only place it finds to stand is far from the drawn one: nothing holds it up or the axle in place.
    #[error("at rest the car collapses: turned by {turned:.2} rad, moved by {moved:.2} m")]
    Collapses {
        /// Largest angle of body or axle, rad.
        turned: f64,
        /// Largest way of body or axle from the drawn place, m.
        moved: f64,
    },
    /// At rest the tyres of one end carry nothing: the car tips over as it stands.
    #[error("at rest there are {kind}")]
    TipsAtRest {
        /// Which end is off the ground.
        kind: LimitKind,
    },
    /// No balance exists at the acceleration asked for.
    #[error("no balance at {asked_g:.4} g: {kind} from {largest_g:.4} g on")]
    NoBalance {
        /// Acceleration asked for, in standard gravities, forward positive.
        asked_g: f64,
        /// Largest acceleration (in magnitude) that has a balance, in standard gravities.
        largest_g: f64,
        /// What ends it.
        kind: LimitKind,
        /// The balance there.
        last: Box<Balance>,
    },
    /// The solver gave up on the way; nothing is said about whether a balance exists.
    #[error("the balance was lost at {reached_g:.4} g on the way to {asked_g:.4} g")]
    Lost {
        /// Acceleration asked for, in standard gravities.
        asked_g: f64,
        /// Acceleration reached, in standard gravities.
        reached_g: f64,
        /// The balance there.
        last: Box<Balance>,
    },
}

/// A rod ready for the balance.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Bar {
    /// End on the sprung mass, sprung axes from the datum origin, m.
    pub(crate) frame: Vector3<f64>,
    /// End on the axle from the axle origin, axle axes, m.
    pub(crate) axle: Vector3<f64>,
    /// Own length, m.
    pub(crate) length: f64,
    /// Axial stiffness, N/m.
    pub(crate) stiffness: f64,
}

/// Car, rods and coil-overs, checked and ready to settle.
#[derive(Clone, Debug, PartialEq)]
pub struct LaunchModel {
    pub(crate) car: LaunchCar,
    pub(crate) rods: Vec<Bar>,
    pub(crate) coilovers: Vec<Bar>,
    /// Axle CG from the axle origin, axle axes, m.
    pub(crate) axle_cg: Vector3<f64>,
}

impl LaunchModel {
    /// The model as drawn. A rod's own length is the drawn distance where none is held; preload is a
    /// held length that differs from it. Every rod needs a stiffness.
    ///
    /// # Errors
    /// A typed fault of the input: [`LaunchError::BadInput`], [`LaunchError::TooMany`],
    /// [`LaunchError::NoStiffness`], [`LaunchError::BadRod`], [`LaunchError::BadCoilover`].
    pub fn drawn(
        car: &LaunchCar,
        rods: &[DrawnRod],
        coilovers: &[DrawnCoilover],
    ) -> Result<Self, LaunchError> {
        car.check()?;
        for (what, count, most) in [
            ("rods", rods.len(), MAX_RODS),
            ("coil-overs", coilovers.len(), MAX_COILOVERS),
        ] {
            if count > most {
                return Err(LaunchError::TooMany { what, count, most });
            }
        }
        let origin = Vector3::new(0.0, 0.0, car.axle_height);
        let rods = rods
            .iter()
            .enumerate()
            .map(|(rod, r)| {
                let bad = |what, value| LaunchError::BadRod { rod, what, value };
                let drawn = (r.housing_point - r.frame_point).norm();
                let stiffness = r.stiffness.ok_or(LaunchError::NoStiffness { rod })?;
                let length = r.length.unwrap_or(drawn);
                positive("drawn length", drawn).map_err(|(w, v)| bad(w, v))?;
                positive("length", length).map_err(|(w, v)| bad(w, v))?;
                positive("stiffness", stiffness).map_err(|(w, v)| bad(w, v))?;
                Ok(Bar {
                    frame: r.frame_point.coords,
                    axle: r.housing_point.coords - origin,
                    length,
                    stiffness,
                })
            })
            .collect::<Result<Vec<_>, LaunchError>>()?;
        let coilovers = coilovers
            .iter()
            .enumerate()
            .map(|(coilover, c)| {
                let bad = |(what, value)| LaunchError::BadCoilover {
                    coilover,
                    what,
                    value,
                };
                positive("drawn length", (c.housing_point - c.frame_point).norm()).map_err(bad)?;
                positive("free length", c.free_length).map_err(bad)?;
                positive("rate", c.rate).map_err(bad)?;
                Ok(Bar {
                    frame: c.frame_point.coords,
                    axle: c.housing_point.coords - origin,
                    length: c.free_length,
                    stiffness: c.rate,
                })
            })
            .collect::<Result<Vec<_>, LaunchError>>()?;
        Ok(Self {
            car: *car,
            rods,
            coilovers,
            axle_cg: car.axle_cg.coords - origin,
        })
    }

    /// The car.
    #[must_use]
    pub const fn car(&self) -> &LaunchCar {
        &self.car
    }
}

/// The value if it is above 1e-6 and finite.
fn positive(what: &'static str, value: f64) -> Result<f64, (&'static str, f64)> {
    if value > 1e-6 && value.is_finite() {
        Ok(value)
    } else {
        Err((what, value))
    }
}
