//! Coil-over, anti-roll bar and roll.

use geometry::front::{BarEnd, BarEndState, CoilOver, CoilOverState, CornerState, Front};
use geometry::{Point3, Vector3};
use vehicle::STANDARD_GRAVITY;
use vehicle::front::{
    AntiRollBar, BarStiffness, CoilSpring, RollCar, RollLoads, WheelRate, axle_roll_stiffness,
    tube_torsion, wheel_roll_stiffness,
};

use super::super::{RearStudy, launch};
use super::{FrontProblem, drawn};
use crate::{Build, FrontEnd};

/// Travels at which the coil-over is looked at.
const TRAVELS: usize = 17;

/// The coil-over of one front wheel.
#[derive(Debug, Clone, PartialEq)]
pub struct FrontCoilStudy {
    /// At ride height.
    pub ride: FrontCoilAt,
    /// Length between the eyes at which the spring is free, m: as entered, or what holds the car.
    pub free: f64,
    /// Force of the spring at ride height that would hold the car there, N.
    pub holds: f64,
    /// From droop to bump; where the wheel is not reached it ends.
    pub travel: Vec<FrontCoilAt>,
}

/// The coil-over in one pose.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FrontCoilAt {
    /// Travel of the wheel, m.
    pub z: f64,
    /// Length and motion ratio.
    pub state: CoilOverState,
    /// Force and rate at the wheel.
    pub rate: WheelRate,
}

impl FrontCoilStudy {
    /// Force at the wheel that holds the drawn height, N.
    pub fn holds_at_wheel(&self) -> f64 {
        self.holds * self.ride.state.motion_ratio
    }

    /// First and last travel that is reached, m.
    pub fn reach(&self) -> (f64, f64) {
        let end = |a: Option<&FrontCoilAt>| a.map_or(0.0, |a| a.z);
        (end(self.travel.first()), end(self.travel.last()))
    }

    /// Force and rate at the wheel at a travel, N and N/m: between the travels looked at by a cubic
    /// through force and rate.
    pub fn at_wheel(&self, z: f64) -> (f64, f64) {
        let i = self.travel.partition_point(|a| a.z <= z);
        let i = i.clamp(1, self.travel.len().saturating_sub(1).max(1));
        let (Some(a), Some(b)) = (self.travel.get(i - 1), self.travel.get(i)) else {
            return (self.ride.rate.wheel_force, self.ride.rate.wheel_rate);
        };
        let h = b.z - a.z;
        let u = (z - a.z) / h;
        let (f, g) = (a.rate.wheel_force, b.rate.wheel_force);
        let (p, q) = (h * a.rate.wheel_rate, h * b.rate.wheel_rate);
        let (c, d) = (3.0 * (g - f) - 2.0 * p - q, 2.0 * (f - g) + p + q);
        (
            f + u * (p + u * (c + u * d)),
            (p + u * (2.0 * c + 3.0 * u * d)) / h,
        )
    }
}

/// The anti-roll bar.
#[derive(Debug, Clone, PartialEq)]
pub struct FrontBarStudy {
    /// One end at ride height.
    pub ride: BarEndState,
    /// What it adds.
    pub stiffness: BarStiffness,
}

/// The part of the car's weight that one front spring holds up, N.
fn sprung_corner(b: &Build) -> f64 {
    let front = b.car.mass.si() * (1.0 - b.car.rear_share.si());
    0.5 * (front - b.power.front_unsprung.si()) * STANDARD_GRAVITY
}

pub(super) fn coil(
    b: &Build,
    f: &FrontEnd,
    front: &Front,
) -> Option<Result<FrontCoilStudy, String>> {
    let c = f.coil_over.as_ref()?;
    let over = CoilOver {
        on_frame: drawn::point(c.at_frame),
        on_arm: drawn::on_arm(c.on, c.at_arm),
    };
    let work = || -> Result<FrontCoilStudy, String> {
        let corner = &front.left;
        let say = |e| FrontProblem(e).to_string();
        let ride = over.state(corner, &corner.design.pose, 0.0).map_err(say)?;
        let sound = ride.motion_ratio > 0.01;
        if !sound {
            return Err("the spring does not shorten in bump".to_owned());
        }
        let holds = sprung_corner(b) / ride.motion_ratio;
        let rate = c.rate.si();
        let sound = rate > 0.0;
        if !sound {
            return Err("the spring rate is not above zero".to_owned());
        }
        let free = c.free.map_or(ride.length + holds / rate, |l| l.si());
        let spring = CoilSpring {
            rate,
            free_length: free,
        };
        let at = |z: f64, state: CoilOverState| {
            let rate = spring.wheel_rate(&state).map_err(|e| e.to_string())?;
            Ok::<_, String>(FrontCoilAt { z, state, rate })
        };
        let (low, high) = (-f.droop.si(), f.bump.si());
        let mut travel = Vec::with_capacity(TRAVELS);
        for i in 0..TRAVELS {
            let z = low + (high - low) * i as f64 / (TRAVELS - 1) as f64;
            let Ok(p) = corner.position(z, 0.0) else {
                continue;
            };
            travel.push(at(z, over.state(corner, &p.pose, 0.0).map_err(say)?)?);
        }
        Ok(FrontCoilStudy {
            ride: at(0.0, ride)?,
            free,
            holds,
            travel,
        })
    };
    Some(work())
}

pub(super) fn bar_end(f: &FrontEnd) -> Option<BarEnd> {
    let x = f.bar.as_ref()?;
    Some(BarEnd {
        axis_point: drawn::point(x.pivot),
        axis: Vector3::y(),
        arm_end: drawn::point(x.arm_end),
        link: drawn::on_link(x.on, x.link),
        link_length: None,
    })
}

pub(super) fn bar(b: &Build, f: &FrontEnd, front: &Front) -> Option<Result<FrontBarStudy, String>> {
    let (x, end) = (f.bar.as_ref()?, bar_end(f)?);
    let work = || -> Result<FrontBarStudy, String> {
        let corner = &front.left;
        let ride = end
            .state(corner, &corner.design.pose, 0.0)
            .map_err(|e| FrontProblem(e).to_string())?;
        let outer = x.outside.si();
        let inner = x.wall.map_or(0.0, |w| outer - 2.0 * w.si());
        let say = |e: vehicle::front::FrontForceError| e.to_string();
        let torsion =
            tube_torsion(x.shear_modulus.si(), outer, inner, x.length.si()).map_err(say)?;
        let stiffness = AntiRollBar {
            torsion,
            lever: ride.lever,
            turn_per_travel: ride.turn_per_travel,
            arm: None,
        }
        .stiffness(b.car.front.track.si())
        .map_err(say)?;
        Ok(FrontBarStudy { ride, stiffness })
    };
    Some(work())
}

/// Roll gradient and front load transfer, springs and bars of both ends.
pub(super) fn roll(
    b: &Build,
    rear: &RearStudy,
    ride: &CornerState,
    coil: Option<&Result<FrontCoilStudy, String>>,
    bar: Option<&Result<FrontBarStudy, String>>,
) -> Result<RollLoads, String> {
    let rate = match coil {
        Some(Ok(c)) => c.ride.rate.wheel_rate,
        Some(Err(e)) => return Err(e.clone()),
        None => b.power.front_wheel_rate.si(),
    };
    let track = b.car.front.track.si();
    let bar = match bar {
        Some(Ok(x)) => x.stiffness.roll_stiffness,
        Some(Err(e)) => return Err(e.clone()),
        None => b.power.front_bar.si(),
    };
    let motion = rear.motion.as_ref().map_err(ToString::to_string)?;
    let springs = rear_springs(b, rear)?;
    let (l, mass) = (b.car.wheelbase.si(), b.car.mass.si());
    let (m_f, m_r) = (b.power.front_unsprung.si(), b.power.rear_unsprung.si());
    let sprung = mass - m_f - m_r;
    let sound = sprung > 0.0;
    if !sound {
        return Err("the unsprung parts weigh more than the car".to_owned());
    }
    let station = (mass * l * (1.0 - b.car.rear_share.si()) - m_f * l) / sprung;
    let (h_f, h_r) = (
        b.car.front.loaded_radius.si(),
        b.car.rear.loaded_radius.si(),
    );
    let height = (mass * b.car.cg_height.si() - m_f * h_f - m_r * h_r) / sprung;
    let (front_centre, rear_centre) = (ride.roll_centre_above_ground, motion.ride.roll_centre_z);
    let axis = rear_centre + (front_centre - rear_centre) * station / l;
    RollCar {
        sprung_mass: sprung,
        roll_lever: height - axis,
        front_stiffness: wheel_roll_stiffness(rate, track) + bar,
        rear_stiffness: axle_roll_stiffness(&springs) + b.power.rear_bar.si(),
        wheelbase: l,
        cg_to_rear: station,
        front_roll_centre: front_centre,
        front_unsprung_mass: m_f,
        front_unsprung_height: h_f,
        front_track: track,
    }
    .loads()
    .map_err(|e| e.to_string())
}

/// Rate, force, dL/dφ and d²L/dφ² of every rear coil-over at ride height.
fn rear_springs(b: &Build, rear: &RearStudy) -> Result<Vec<(f64, f64, f64, f64)>, String> {
    /// Roll of the differences, rad.
    const STEP: f64 = 1e-3;
    let motion = rear.motion.as_ref().map_err(ToString::to_string)?;
    let axle = &motion.axle;
    let roll = |phi: f64| axle.position(0.0, phi).map_err(|e| e.to_string());
    let poses = [roll(-STEP)?.pose, axle.design.pose, roll(STEP)?.pose];
    let coils = launch::coilovers(b, rear);
    if coils.is_empty() {
        return Err("no coil-overs are drawn yet".to_owned());
    }
    coils
        .iter()
        .map(|c| {
            let on_axle = Point3::from(Point3::from(c.axle) - axle.linkage.origin);
            let frame = Point3::from(c.frame);
            let [a, m, z] = poses.map(|p| (p.place(&on_axle) - frame).norm());
            let force = c.ride.as_ref().map_err(Clone::clone)?.force;
            Ok((
                b.power.coilovers[c.coilover].rate.si(),
                force,
                (z - a) / (2.0 * STEP),
                (z - 2.0 * m + a) / (STEP * STEP),
            ))
        })
        .collect()
}
