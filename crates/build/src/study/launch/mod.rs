//! The car under power: from the drawing to the balance, the coil-overs, the links' strength and the
//! driveshaft.

mod coils;
mod findings;
mod links;
mod shaft;
mod values;
mod words;

pub(super) use coils::wheel_forces;
pub use coils::{CoilRide, CoilStudy};
pub use links::LinkStudy;
pub use shaft::ShaftStudy;
pub(super) use shaft::drawn as drawn_shaft;
pub(super) use words::shaft as shaft_words;

pub(super) use findings::findings;

use geometry::{AssembledAxle, DrawnRod, Point3};
use vehicle::launch::{
    Balance, Differential, DrawnCoilover, FrontCurve, LaunchCar, LaunchError, LaunchModel,
    LiftPoint, Manoeuvre, SettledCar, ShaftTorque, TractionLimit,
};

use super::front::{self, FrontSprings};
use super::rear::RearStudy;
use crate::{Build, EngineTurn};

/// What the car does and what its parts bear, at ride height, under power and under braking.
#[derive(Debug, Clone)]
pub struct LaunchStudy {
    /// Every coil-over, left before right of a pair.
    pub coilovers: Vec<CoilStudy>,
    /// Every link's strength, beside the rods of the rear study.
    pub links: Vec<Result<LinkStudy, String>>,
    /// The driveshaft over travel; `None` without one.
    pub shaft: Option<Result<ShaftStudy, String>>,
    /// Swings of the sprung mass on the front wheel rates, Hz.
    pub front_frequency: Result<f64, String>,
    /// The same on the rear wheel rates, Hz.
    pub rear_frequency: Result<f64, String>,
    /// The balances, or why there are none.
    pub reactions: Result<Reactions, String>,
    /// Coil-over and bar of the drawn front end, in place of the plain rates.
    pub(super) springs: Result<FrontSprings, String>,
}

/// The balances looked at.
#[derive(Debug, Clone)]
pub struct Reactions {
    /// The car standing: every other balance starts from it.
    pub settled: SettledCar,
    /// At the acceleration looked at.
    pub drive: Result<Balance, LaunchError>,
    /// Where the rear tyres slip.
    pub traction: Result<TractionLimit, LaunchError>,
    /// Braked as hard as looked at.
    pub braking: Result<Balance, LaunchError>,
    /// Where the first front tyre leaves the ground.
    pub lift: Result<Option<LiftPoint>, LaunchError>,
}

/// Which balance.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Case {
    /// Standing.
    Rest,
    /// At the acceleration looked at.
    Drive,
    /// At the traction limit.
    Traction,
    /// Braking.
    Braking,
}

impl Reactions {
    /// The balance of a case, or why there is none, in words.
    ///
    /// # Errors
    /// The sentence for the person in the shop.
    pub fn balance(&self, case: Case) -> Result<&Balance, String> {
        let found = match case {
            Case::Rest => return Ok(&self.settled.at_rest),
            Case::Drive => self.drive.as_ref(),
            Case::Traction => self.traction.as_ref().map(|t| &t.balance),
            Case::Braking => self.braking.as_ref(),
        };
        found.map_err(words::launch)
    }
}

/// The coil-overs alone: all that a run asks of the parts under power.
pub(super) fn coilovers(b: &Build, rear: &RearStudy) -> Vec<CoilStudy> {
    match &rear.motion {
        Ok(motion) => coils::study(b, motion),
        Err(_) => coils::placed(b),
    }
}

pub(super) fn study(b: &Build, rear: &RearStudy) -> LaunchStudy {
    study_on(b, rear, front::springs_of(b))
}

/// The same on front springs that are known already.
pub(super) fn study_on(
    b: &Build,
    rear: &RearStudy,
    springs: Result<FrontSprings, String>,
) -> LaunchStudy {
    let motion = match &rear.motion {
        Ok(motion) => motion,
        Err(problem) => {
            let why = || problem.to_string();
            return LaunchStudy {
                coilovers: coils::placed(b),
                links: rear.rods.iter().map(|_| Err(why())).collect(),
                shaft: b.power.driveshaft.map(|_| Err(why())),
                front_frequency: front_frequency(b, &springs),
                rear_frequency: Err(why()),
                reactions: Err(why()),
                springs,
            };
        }
    };
    let coilovers = coils::study(b, motion);
    let reactions = reactions(b, rear, &coilovers, &springs);
    LaunchStudy {
        links: links::study(b, rear, reactions.as_ref().ok()),
        shaft: b
            .power
            .driveshaft
            .map(|d| shaft::study(motion, &d, b.driveline.as_ref())),
        front_frequency: front_frequency(b, &springs),
        rear_frequency: coils::rear_frequency(b, &coilovers),
        reactions,
        coilovers,
        springs,
    }
}

/// Half the front sprung mass on one wheel rate.
fn front_frequency(b: &Build, springs: &Result<FrontSprings, String>) -> Result<f64, String> {
    let front = b.car.mass.si() * (1.0 - b.car.rear_share.si()) - b.power.front_unsprung.si();
    let springs = springs.as_ref().map_err(Clone::clone)?;
    let rate = springs
        .coil
        .as_ref()
        .map_or(b.power.front_wheel_rate.si(), |c| c.ride.rate.wheel_rate);
    vehicle::springs::ride_frequency(rate, 0.5 * front).map_err(|e| words::spring(&e))
}

/// Rear sprung weight at ride height, N: what the coil-overs hold up.
fn rear_sprung_weight(b: &Build) -> f64 {
    (b.car.mass.si() * b.car.rear_share.si() - b.power.rear_unsprung.si())
        * vehicle::STANDARD_GRAVITY
}

/// The car without links and coil-overs, standing as drawn at rest.
fn launch_car(b: &Build, springs: &FrontSprings) -> Result<LaunchCar, String> {
    let (car, power) = (&b.car, &b.power);
    let (mass, unsprung) = (car.mass.si(), power.rear_unsprung.si());
    let sprung = mass - unsprung;
    let (axle_height, wheelbase) = (car.rear.loaded_radius.si(), car.wheelbase.si());
    let station = wheelbase * (1.0 - car.rear_share.si());
    let g = vehicle::STANDARD_GRAVITY;
    let front_load = mass * g * (1.0 - car.rear_share.si());
    let rear_load = mass * g * car.rear_share.si();
    let hub = car.front.loaded_radius.si();
    let (front_rate, front_free_height, front_curve) = match &springs.coil {
        None => {
            let rate = power.front_wheel_rate.si();
            (rate, hub + 0.5 * front_load / rate, None)
        }
        Some(coil) => {
            // What is not sprung stands on the tyre whatever the spring does.
            let unsprung = 0.5 * front_load - coil.holds_at_wheel();
            let (low, high) = coil.reach();
            let at = |z: f64| {
                let (force, rate) = coil.at_wheel(z);
                Ok::<_, LaunchError>((force + unsprung, rate))
            };
            let (curve, free) =
                FrontCurve::through(low, high, at).map_err(|e| words::launch(&e))?;
            (coil.ride.rate.wheel_rate, hub - free, Some(curve))
        }
    };
    Ok(LaunchCar {
        wheelbase,
        sprung_mass: sprung,
        // The axle's own centre of gravity is taken in the middle of its wheel centres.
        sprung_cg: Point3::new(
            mass * station / sprung,
            0.0,
            (mass * car.cg_height.si() - unsprung * axle_height) / sprung,
        ),
        axle_mass: unsprung,
        axle_cg: Point3::new(0.0, 0.0, axle_height),
        axle_height,
        rear_track: car.rear.track.si(),
        front_track: car.front.track.si(),
        front_hub_height: hub,
        front_rate,
        front_free_height,
        front_curve,
        tyre_rate: power.rear_tyre_rate.si(),
        tyre_free_radius: axle_height + 0.5 * rear_load / power.rear_tyre_rate.si(),
        final_drive: power.final_drive.si(),
        differential: match power.differential {
            crate::Differential::Locked => Differential::Locked,
            crate::Differential::Open => Differential::Open,
        },
        shaft_torque: match power.engine {
            EngineTurn::Usual => ShaftTorque::Usual,
            EngineTurn::Reversed => ShaftTorque::Reversed,
        },
        front_roll_stiffness: springs
            .bar
            .as_ref()
            .map_or(power.front_bar.si(), |x| x.stiffness.roll_stiffness),
        rear_roll_stiffness: power.rear_bar.si(),
    })
}

/// The rods with their elasticity: E·A over the length.
pub(super) fn elastic_rods(b: &Build, rear: &RearStudy) -> Vec<DrawnRod> {
    rear.rods
        .iter()
        .map(|r| DrawnRod {
            frame_point: Point3::from(r.frame),
            housing_point: Point3::from(r.axle),
            length: (r.length != r.drawn).then_some(r.length),
            stiffness: Some(links::stiffness(&b.rear.links[r.link], r.length)),
        })
        .collect()
}

/// The car standing on these coil-overs.
fn settled(
    b: &Build,
    rear: &RearStudy,
    coilovers: &[CoilStudy],
    front: &Result<FrontSprings, String>,
) -> Result<SettledCar, String> {
    let front = front.as_ref().map_err(Clone::clone)?;
    if coilovers.is_empty() {
        return Err("no coil-overs are drawn yet".to_owned());
    }
    let mut springs = Vec::new();
    for c in coilovers {
        let free_length = c.ride.as_ref().map_err(Clone::clone)?.free_length;
        springs.push(DrawnCoilover {
            frame_point: Point3::from(c.frame),
            housing_point: Point3::from(c.axle),
            rate: b.power.coilovers[c.coilover].rate.si(),
            free_length,
        });
    }
    LaunchModel::drawn(&launch_car(b, front)?, &elastic_rods(b, rear), &springs)
        .and_then(LaunchModel::settle)
        .map_err(|e| words::launch(&e))
}

/// What seats set unlike left and right put on the left rear tyre over the right one at an acceleration
/// (m/s²), against both set to their mean, N; below zero: on the right.
pub(super) fn preload_shift(
    b: &Build,
    rear: &RearStudy,
    launch: &LaunchStudy,
    acceleration: f64,
) -> Result<f64, String> {
    let unlike = |c: &crate::Coilover| c.preload.is_some_and(|p| p.left != p.right);
    if !b.power.coilovers.iter().any(unlike) {
        return Ok(0.0);
    }
    let over = |car: &SettledCar| {
        let balance = car.balance(acceleration).map_err(|e| words::launch(&e))?;
        Ok::<f64, String>(balance.tyre_load.rear_left - balance.tyre_load.rear_right)
    };
    let mut alike = b.clone();
    for p in alike
        .power
        .coilovers
        .iter_mut()
        .filter_map(|c| c.preload.as_mut())
    {
        let mean = units::Length::from_si(0.5 * (p.left.si() + p.right.si()));
        (p.left, p.right) = (mean, mean);
    }
    let set = &launch.reactions.as_ref().map_err(Clone::clone)?.settled;
    let mean = settled(
        &alike,
        rear,
        &self::coilovers(&alike, rear),
        &launch.springs,
    )?;
    Ok(over(set)? - over(&mean)?)
}

fn reactions(
    b: &Build,
    rear: &RearStudy,
    coilovers: &[CoilStudy],
    springs: &Result<FrontSprings, String>,
) -> Result<Reactions, String> {
    let settled = settled(b, rear, coilovers, springs)?;
    let brake = Manoeuvre::Brake {
        rear_share: b.car.rear_brake_share.si(),
    };
    Ok(Reactions {
        drive: settled.balance(b.power.acceleration.si()),
        traction: settled.traction_limit(b.power.friction.si()),
        braking: settled.balance_at(brake, -b.power.braking.si()),
        lift: settled.front_lift(),
        settled,
    })
}

/// How a coil-over sits on the axle it is drawn on.
fn mount(
    axle: &AssembledAxle,
    frame: [f64; 3],
    housing: [f64; 3],
) -> Result<vehicle::springs::CoiloverMount, String> {
    vehicle::springs::CoiloverMount::drawn(axle, Point3::from(frame), Point3::from(housing))
        .map_err(|e| words::spring(&e))
}
